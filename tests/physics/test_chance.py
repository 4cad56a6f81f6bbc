"""Success rates and their intervals: published examples, scipy, and drawn tries."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from mechbench.physics import chance
from mechbench.physics.chance import at_most, success_interval, within_tries
from tests.published import MEMORY, READ, check

OPENSTAX = "OpenStax Introductory Statistics 2e, "


def test_binomial_of_openstax():
    source = OPENSTAX + "Example 4.13"
    check("chance", "at most 12 of 20, p 0.41", at_most(12, 20, 0.41), 0.9738, 0.001, source, READ)
    check("chance", "mean of 20 tries, p 0.41", chance.expected_successes(20, 0.41), 8.2, 0.001, source, READ)
    check("chance", "sd of 20 tries, p 0.41", chance.successes_sd(20, 0.41), 2.2, 0.001, source, READ)


def test_wald_and_plus_four_of_openstax():
    low, high = success_interval(421, 500, method="wald")
    check("chance", "421 of 500, Wald, low", low, 0.81003, 0.002, OPENSTAX + "Example 8.10", READ)
    check("chance", "421 of 500, Wald, high", high, 0.87397, 0.002, OPENSTAX + "Example 8.10", READ)
    low, high = success_interval(6, 25, method="plus four")
    check("chance", "6 of 25, plus four, low", low, 0.113, 0.002, OPENSTAX + "Example 8.12", READ)
    check("chance", "6 of 25, plus four, high", high, 0.439, 0.002, OPENSTAX + "Example 8.12", READ)


def test_wilson_of_newcombe():
    source = (
        "R. G. Newcombe, Statistics in Medicine 17 (1998) 857-872, Table I (score method without continuity correction)"
    )
    for k, n, low, high in (
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ):
        got = success_interval(k, n)
        check("chance", f"{k} of {n}, Wilson, low", got[0], low, 0.01 if k == 1 else 0.004, source, MEMORY)
        check("chance", f"{k} of {n}, Wilson, high", got[1], high, 0.004, source, MEMORY)


@settings(deadline=None)
@given(st.integers(1, 2000), st.floats(0, 1), st.sampled_from([0.8, 0.95, 0.99]))
def test_wilson_equals_scipys(n, share, confidence):
    k = round(share * n)
    reference = stats.binomtest(k, n).proportion_ci(confidence, method="wilson")
    assert success_interval(k, n, confidence) == pytest.approx((reference.low, reference.high), abs=1e-9)


@settings(deadline=None)
@given(st.integers(0, 3000), st.floats(0, 1), st.floats(0, 1))
def test_binomial_equals_scipys(n, share, p):
    k = round(share * n)
    assert at_most(k, n, p) == pytest.approx(stats.binom.cdf(k, n, p), abs=1e-9)
    assert chance.successes_sd(n, p) == pytest.approx(stats.binom.std(n, p), abs=1e-6)


def test_the_interval_holds_the_true_rate_about_as_often_as_it_says():
    worked = np.random.default_rng(4).binomial(25, 0.85, 20_000)
    low, high = success_interval(worked, 25)
    assert np.mean((low <= 0.85) & (0.85 <= high)) == pytest.approx(0.95, abs=0.02)
    low, high = success_interval(worked, 25, method="wald")
    assert np.mean((low <= 0.85) & (0.85 <= high)) < 0.93  # why wald is not the usual one


@given(st.integers(1, 400), st.floats(0, 1))
def test_more_tries_and_less_confidence_make_it_narrower(n, share):
    k = round(share * n)
    low, high = success_interval(k, n)
    assert 0 <= low <= k / n + 1e-12 and k / n - 1e-12 <= high <= 1
    wide, narrow = success_interval(k, n, 0.99), success_interval(10 * k, 10 * n)
    assert wide[1] - wide[0] > high - low > narrow[1] - narrow[0]
    assert success_interval(n - k, n) == pytest.approx((1 - high, 1 - low))


@given(st.floats(0, 1), st.integers(0, 6))
def test_within_tries_is_the_complement_of_none(p, n):
    assert within_tries(p, n) == pytest.approx(1 - at_most(0, n, p))
    assert within_tries(p, 1) == pytest.approx(p)


def test_ends_and_arrays():
    np.testing.assert_array_equal(at_most(3, 10, [0.0, 1.0]), [1.0, 0.0])
    assert at_most(10, 10, 1.0) == 1.0 and at_most(0, 0, 0.5) == 1.0
    low, high = success_interval([0, 20], 20)
    assert (low[0], high[1]) == (0.0, 1.0) and (high[0], low[1]) == pytest.approx((0.1611, 0.8389), abs=1e-4)
    np.testing.assert_allclose(within_tries(0.5, [1, 2, 3]), [0.5, 0.75, 0.875])


@pytest.mark.parametrize(
    "name, call",
    [
        ("tries", lambda: success_interval(5, 4)),
        ("tries", lambda: success_interval(0, 0)),
        ("successes", lambda: success_interval(-1, 4)),
        ("successes", lambda: success_interval(1.5, 4)),
        ("confidence", lambda: success_interval(1, 4, 1.0)),
        ("method", lambda: success_interval(1, 4, method="exact")),
        ("tries", lambda: at_most(5, 4, 0.5)),
        ("chance", lambda: at_most(1, 4, 1.5)),
        ("chance", lambda: chance.expected_successes(4, -0.1)),
        ("tries", lambda: chance.successes_sd(-1, 0.1)),
        ("chance", lambda: within_tries(np.nan, 2)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} (is|are) .*, but .* must be .*; .*\.$"):
        call()

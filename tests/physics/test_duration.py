"""Low-likely-high estimates against published formulas and scipy's distributions."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from mechbench.physics import duration
from mechbench.physics.duration import Drawn, Duration, shorter, spread_of
from tests.published import check

GRIST = "table of three-point estimates, Grist Project Management page; cross-check scipy.stats"
KNOWN = "formula and inputs read on the page named; numbers recomputed from first principles"
WIZEDU = "PERT assignment with printed solution (wizedu question 717873)"
THREE = st.tuples(st.floats(0.0, 20.0), st.floats(0.0, 20.0), st.floats(0.0, 20.0)).map(sorted)


def test_three_point_estimates_of_2_4_9():
    for what, got, expected in (
        ("triangular mean", duration.triangular_mean(2, 4, 9), 5.0),
        ("triangular variance", duration.triangular_sd(2, 4, 9) ** 2, 2.1667),
        ("PERT mean", duration.pert_mean(2, 4, 9), 4.5),
        ("PERT sd, rule of thumb", duration.pert_sd(2, 9), 1.1667),
    ):
        check("duration", f"{what} of 2, 4, 9", got, expected, 1e-4, GRIST, KNOWN)
    beta = stats.beta(1 + 4 * 2 / 7, 1 + 4 * 5 / 7, 2, 7)
    check(
        "duration",
        "PERT mean equals that of the beta distribution",
        duration.pert_mean(2, 4, 9),
        beta.mean(),
        1e-9,
        "scipy.stats.beta with a weight of 4",
        "reference library",
    )
    assert beta.std() == pytest.approx(np.sqrt((4.5 - 2) * (9 - 4.5) / 7))  # what the rule of thumb stands for
    assert duration.pert_sd(2, 9) / beta.std() == pytest.approx(0.92, abs=0.005)


def test_expected_times_of_a_printed_project():
    printed = {
        "A": ((5, 5, 7), 5.33, 0.33),
        "B": ((1, 2, 5), 2.33, 0.67),
        "D": ((4, 8, 13), 8.17, 1.50),
        "E": ((1, 10, 17), 9.67, 2.67),
        "K": ((6, 10, 13), 9.83, 1.17),
    }
    for name, ((low, likely, high), mean, sd) in printed.items():
        check(
            "duration",
            f"PERT mean of activity {name} (days)",
            duration.pert_mean(low, likely, high),
            mean,
            0.0025,
            WIZEDU,
            "printed to two decimals on the page named",
        )
        check(
            "duration",
            f"PERT sd of activity {name} (days)",
            duration.pert_sd(low, high),
            sd,
            0.011,
            WIZEDU,
            "printed to two decimals on the page named",
        )


@settings(deadline=None)
@given(THREE, st.floats(0.0, 1.0))
def test_triangular_equals_scipys(three, share):
    low, likely, high = three
    if high - low < 1e-3:
        return
    reference = stats.triang((likely - low) / (high - low), low, high - low)
    assert duration.triangular_mean(*three) == pytest.approx(reference.mean(), rel=1e-9)
    assert duration.triangular_sd(*three) == pytest.approx(reference.std(), rel=1e-6)
    assert duration.triangular_at(share, *three) == pytest.approx(reference.ppf(share), abs=1e-6)


@given(THREE, st.floats(0.1, 5.0))
def test_seconds_and_milliseconds_tell_the_same(three, size):
    scaled = [size * one for one in three]
    for rule in (duration.triangular_mean, duration.triangular_sd, duration.pert_mean):
        assert rule(*scaled) == pytest.approx(size * rule(*three), abs=1e-9)
    assert three[0] - 1e-9 <= duration.pert_mean(*three) <= three[2] + 1e-9


def test_drawn_tries_have_that_mean_and_spread():
    human = Duration(1.0, 2.0, 4.0)
    drawn = spread_of(human.at(np.random.default_rng(3).random(100_000)))
    assert drawn.mean == pytest.approx(human.mean, abs=4 * drawn.error)
    assert drawn.sd == pytest.approx(human.sd, rel=0.01)
    assert (drawn.low, drawn.median, drawn.high) == pytest.approx(
        [human.at(one) for one in (0.05, 0.5, 0.95)], rel=0.02
    )


def test_one_number_three_numbers_and_a_duration():
    assert duration.duration(2) == Duration(2.0, 2.0, 2.0) == duration.duration(Duration(2, 2, 2))
    assert duration.duration((1, 2, 3)) == Duration(1.0, 2.0, 3.0)
    fixed = duration.duration(1.5)
    assert (fixed.mean, fixed.sd) == (1.5, 0.0)
    np.testing.assert_array_equal(fixed.at([0.0, 0.3, 1.0]), 1.5)


@given(THREE, st.floats(0.0, 30.0))
def test_shorter_is_never_below_nothing(three, saved):
    less = shorter(Duration(*three), saved)
    assert (less.low, less.likely, less.high) == pytest.approx([max(one - saved, 0.0) for one in three])


def test_drawn_times_are_their_own_quantiles():
    drawn = Drawn([4.0, 1.0, 2.0, 3.0, 10.0])
    np.testing.assert_array_equal(drawn.at([0.0, 0.25, 0.5, 0.625, 1.0]), [1.0, 2.0, 3.0, 3.5, 10.0])
    assert (drawn.low, drawn.high, drawn.mean, drawn.sd) == (1.0, 10.0, 4.0, pytest.approx(np.std([4, 1, 2, 3, 10])))
    assert duration.duration(drawn) is drawn
    np.testing.assert_array_equal(shorter(drawn, 2.5).values, [0.0, 0.0, 0.5, 1.5, 7.5])


def test_spread_of_few_values_by_hand():
    spread = spread_of([2.0, 4.0, 9.0])
    assert (spread.mean, spread.sd, spread.error) == pytest.approx((5.0, np.sqrt(13.0), np.sqrt(13 / 3)))
    assert spread.median == 4.0
    assert spread_of([1.0, 3.0]).sd == pytest.approx(np.sqrt(2.0))


def test_arrays_equal_scalars():
    low, likely = np.array([0.5, 1.0]), np.array([[1.0], [2.0]])
    for rule in (duration.triangular_mean, duration.triangular_sd, duration.pert_mean):
        many = rule(low, likely, 3.0)
        assert many.shape == (2, 2)
        assert many[1, 0] == pytest.approx(rule(0.5, 2.0, 3.0))
    assert duration.triangular_at([0.2, 0.7], 1.0, 2.0, 3.0)[1] == pytest.approx(
        duration.triangular_at(0.7, 1.0, 2.0, 3.0)
    )


@pytest.mark.parametrize(
    "name, call",
    [
        ("low", lambda: duration.triangular_mean(-1, 2, 3)),
        ("likely", lambda: duration.triangular_sd(3, 2, 4)),
        ("high", lambda: Duration(1, 2, 1.5)),
        ("share", lambda: duration.triangular_at(1.1, 1, 2, 3)),
        ("low", lambda: duration.pert_mean(np.nan, 2, 3)),
        ("high", lambda: duration.pert_sd(2, 1)),
        ("time", lambda: duration.duration((1.0, 2.0))),
        ("time", lambda: duration.duration("soon")),
        ("values", lambda: Drawn([1.0])),
        ("values", lambda: Drawn([1.0, -1.0])),
        ("share", lambda: Drawn([1.0, 2.0]).at(1.5)),
        ("share", lambda: Duration(1.0, 2.0, 3.0).at(-0.5)),
        ("saved", lambda: shorter(1.0, -1.0)),
        ("values", lambda: spread_of([1.0])),
        ("values", lambda: spread_of([1.0, np.nan])),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} (is|are) .*, but .* must be .*; .*\.$"):
        call()

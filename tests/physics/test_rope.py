"""Ropes: against published examples of capstan, tackle, falling load, and against an integrated slack start."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from mechbench.physics import rope
from mechbench.physics.constants import GRAVITY
from mechbench.quantity import to_si
from tests.published import COMPANION, READ, check


def test_capstan_against_published_values():
    check(
        "rope",
        "capstan, 5 turns at friction 0.6 [-]",
        rope.capstan_ratio(0.6, 5 * 2 * np.pi),
        153552935,
        1e-8,
        "Wikipedia, Capstan equation, table",
        READ,
    )
    khurmi = "Khurmi & Gupta, Theory of Machines, 14th ed., Example 11.5 p. 343"
    hold = 9000 / rope.capstan_ratio(0.25, 2.5 * 2 * np.pi)
    check("rope", "capstan winch, hand force for 9 kN [N]", hold, 177.33, 2e-4, khurmi, COMPANION)
    power = (9000 - hold) * 2 * np.pi * 20 / 60 * 0.150
    check("rope", "capstan winch, power at 20 rpm [kW]", power / 1000, 2.772, 2e-4, khurmi, COMPANION)


def test_tackle_against_published_values():
    college = "OpenStax College Physics 2e, section 9.5, exercise with printed answer"
    pull = rope.tackle_pull((115 + 7.00) * 9.80, 4)
    check("rope", "four-part tackle with heavy blocks, rope [N]", pull, 299, 1e-3, college, READ)
    check(
        "rope",
        "the same, force on the ceiling, pulling straight up [N]",
        rope.anchor_force((115 + 7.00) * 9.80, pull, True),
        897,
        1e-3,
        college,
        READ,
    )
    check(
        "rope",
        "tackle of ratio 5 at 75 % [N]",
        rope.tackle_pull(1000.0, 5, 0.75),
        266.67,
        1e-4,
        "A. K. Tayal, Engineering Mechanics, Example 8-4 p. 185",
        COMPANION,
    )
    handbook = (
        "Pipeline Rules of Thumb Handbook, block and tackle, 4 parts with 0.917 a sheave; printed with rounded steps"
    )
    check(
        "rope",
        "mechanical advantage of 4 parts, 0.917 a sheave [-]",
        4 * rope.tackle_efficiency(4, 0.917),
        3.25,
        5e-3,
        handbook,
        READ,
    )


def test_tackle_of_sixteen_lines_against_the_published_practice():
    """N = 16 lines over S = 16 sheaves on roller bearings, K = 1.04."""
    source = "API Recommended Practice 9B, figure 1, case A, as quoted in a wire rope selection by it (scribd.com)"
    eta = rope.tackle_efficiency(16, 1 / 1.04)
    check("rope", "efficiency of 16 lines on roller bearings [-]", eta, 0.728, 1e-3, source, READ)
    fast_line = rope.tackle_pull(1.0, 16, eta)
    check("rope", "fast line factor of 16 lines on roller bearings [-]", fast_line, 0.086, 3e-3, source, READ)


@pytest.mark.parametrize("pulleys", [3, 4, 5])
def test_one_pulley_fewer_or_more_counts_once(pulleys):
    """Four parts by a winch that lifts itself (3 pulleys), from the fixed block (4), and over one more on the way."""
    parts = 0.9 ** np.arange(pulleys - 3, pulleys + 1)  # pull of each part for 1 N at the end that is pulled
    assert rope.tackle_efficiency(4, 0.9, pulleys) == pytest.approx(parts.sum() / 4)
    k = 1 / 0.9
    assert rope.tackle_efficiency(4, 0.9, pulleys) == pytest.approx((k**4 - 1) / (k**pulleys * 4 * (k - 1)))
    assert rope.tackle_efficiency(4, 1.0, pulleys) == 1.0


def test_strength_of_a_published_cord_with_its_knot():
    standard = (
        "MIL-C-5040H, Type III cord, minimum breaking strength 550 lbf (secondary sources: the text's tables are"
        " unreadable)"
    )
    check(
        "rope",
        "factor of type III cord, 550 lbf, at 2446.5 N [-]",
        rope.safety_factor(to_si(550, "lbf"), 1.0, 2446.5),
        1.0,
        1e-4,
        standard,
        READ,
    )
    assert rope.safety_factor(1000.0, 0.5, 250.0) == pytest.approx(2.0)
    assert rope.safety_factor(1000.0, 0.5, 0.0) == np.inf


def test_a_falling_load_against_a_published_example():
    """25 N from 175.96 mm on a steel rod of 10 mm, 1 m long: 150 MPa. The rod is the cord."""
    source = (
        "worked example of a textbook, question 1.27 of its chapter 1, at holooly.com (the book is not named there)"
    )
    area = np.pi / 4 * 0.010**2
    pull = rope.drop_load(25.0 / GRAVITY, 0.17596, 200e9 * area / 1.0)
    check(
        "rope", "stress in a rod that catches a falling load [MPa]", pull / area / 1e6, 150.0, 1e-4, source, COMPANION
    )
    assert rope.drop_load(3.0, 0.0, 5000.0) == pytest.approx(2 * 3.0 * GRAVITY), (
        "a load put on suddenly doubles its weight"
    )


def slack_start(mass, speed, k, drum_mass):
    """Highest cord pull by integration: a turning drum, a spring, a load that can't go below the floor."""

    def rhs(t, y):
        stretch, drum, load = y
        pull = max(k * stretch, 0.0)
        lift = pull - mass * GRAVITY
        return [drum - load, -pull / drum_mass, lift / mass if load > 0 or lift > 0 else 0.0]

    period = 2 * np.pi * np.sqrt(mass / k)
    run = solve_ivp(rhs, (0, 4 * period), [0.0, speed, 0.0], rtol=1e-9, atol=1e-12, max_step=period / 400)
    return k * run.y[0].max()


@pytest.mark.parametrize(
    "mass, speed, k, drum_mass", [(15.0, 0.15, 12000.0, 190.0), (15.0, 0.6, 4000.0, 5.0), (15.0, 0.05, 4000.0, 5.0)]
)
def test_a_slack_start_against_integration(mass, speed, k, drum_mass):
    expected = slack_start(mass, speed, k, drum_mass)
    check(
        "rope",
        f"snatch load of a slack start at {speed} m/s, drum of {drum_mass} kg [N]",
        rope.snatch_load(mass * GRAVITY, mass, speed, k, drum_mass),
        expected,
        1e-3,
        "two bodies and a spring, integrated by scipy",
        "recomputed here",
    )


def test_limits_of_the_snatch_load():
    weight = 15 * GRAVITY
    assert rope.snatch_load(weight, 15.0, 0.0, 9000.0) == pytest.approx(weight)
    assert rope.snatch_load(weight, 15.0, 0.3, 9000.0, 1e9) == pytest.approx(
        rope.snatch_load(weight, 15.0, 0.3, 9000.0), rel=1e-6
    )
    assert rope.snatch_load(weight, 15.0, 0.3, 9000.0) == pytest.approx(weight + 0.3 * np.sqrt(9000.0 * 15.0))
    both = rope.snatch_load(weight, 15.0, np.array([0.01, 0.3]), 4000.0, np.array([5.0, np.inf]))
    assert both[0] < weight and both[1] == rope.snatch_load(weight, 15.0, 0.3, 4000.0)
    border = weight / np.sqrt(4000.0 * 5.0)  # the drum just lifts the load
    assert rope.snatch_load(weight, 15.0, border * (1 + 1e-9), 4000.0, 5.0) == pytest.approx(
        rope.snatch_load(weight, 15.0, border * (1 - 1e-9), 4000.0, 5.0), rel=1e-6
    )


def test_half_the_cord_is_twice_as_stiff_and_breaks_at_its_stretch():
    assert rope.stiffness(1200.0, 0.1, 0.5) == 2 * rope.stiffness(1200.0, 0.1, 1.0)
    assert rope.stiffness(1200.0, 0.1, 0.8) * (0.1 * 0.8) == pytest.approx(1200.0)


def test_virtual_work_of_a_tackle():
    """Power in is power out: the rope moves n times as far; with losses the rest stays in the pulleys."""
    for falls in (1, 2, 5):
        for each in (1.0, 0.93):
            eta = rope.tackle_efficiency(falls, each)
            pull = rope.tackle_pull(100.0, falls, eta)
            assert pull * falls * eta == pytest.approx(100.0)
            parts = pull * each ** np.arange(1, falls + 1)  # each pulley passes on a share of the pull
            assert parts.sum() == pytest.approx(100.0)


def test_half_wraps_multiply():
    assert rope.capstan_ratio(0.3, 3 * np.pi) == pytest.approx(rope.capstan_ratio(0.3, np.pi) ** 3)


def test_scalars_equal_arrays():
    speeds, drums = np.array([0.0, 0.1, 0.5]), np.array([3.0, np.inf, 50.0])
    many = rope.snatch_load(110.0, 12.0, speeds, 8000.0, drums)
    assert np.array_equal(many, [rope.snatch_load(110.0, 12.0, v, 8000.0, m) for v, m in zip(speeds, drums)])
    assert np.array_equal(rope.tackle_efficiency([1, 3], 0.9), [rope.tackle_efficiency(n, 0.9) for n in (1, 3)])


@pytest.mark.parametrize(
    "wrong, says",
    [
        (lambda: rope.safety_factor(1200.0, 1.2, 1.0), "knot_keeps is 1.2"),
        (lambda: rope.safety_factor(0.0, 0.6, 1.0), "breaking_strength is 0"),
        (lambda: rope.stiffness(1200.0, 0.0, 1.0), "stretch_at_break is 0"),
        (lambda: rope.snatch_load(1.0, 0.0, 1.0, 1.0), "mass is 0"),
        (lambda: rope.snatch_load(0.0, 1.0, 1.0, 1.0), "weight is 0"),
        (lambda: rope.snatch_load(1.0, 1.0, -1.0, 1.0), "speed is -1"),
        (lambda: rope.snatch_load(1.0, 1.0, 1.0, 1.0, 0.0), "drum_mass is 0"),
        (lambda: rope.drop_load(1.0, -0.1, 1.0), "height is -0.1"),
        (lambda: rope.capstan_ratio(-0.1, 1.0), "friction is -0.1"),
        (lambda: rope.tackle_pull(1.0, 0), "falls is 0"),
        (lambda: rope.tackle_efficiency(2, 0.0), "pulley_efficiency is 0"),
        (lambda: rope.tackle_efficiency([2, 3], 0.9, 1), "pulleys is 1, but 3 falls need at least 2"),
        (lambda: rope.anchor_force(-1.0, 1.0, True), "load is -1"),
    ],
)
def test_bad_input_is_one_sentence_that_names_it(wrong, says):
    with pytest.raises(ValueError, match=says):
        wrong()

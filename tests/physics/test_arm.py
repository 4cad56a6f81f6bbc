"""Arm: published inertia and balance, springs against geometry and energy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mechbench.physics import arm, chained, drive, motion
from tests.published import COMPANION, READ, RECOMPUTED, check

PAIR = chained.Pair(0.35, 0.30, 0.25, 0.20, 0.05, 0.40, 40, 20, np.radians(274))  # its inertia changes along the swing
HIBBELER = "Hibbeler & Gupta, Engineering Mechanics, Example 11.5, p. 433"


# ---- published ----------------------------------------------------------------------------------------------------


def test_inertia_and_torque_of_an_arm_with_a_payload():
    source = "OpenStax University Physics Vol. 1, Example 11.6"
    empty, loaded = arm.link_inertia(2.0, 1.0, 1.0), arm.link_inertia(2.0, 1.0, 2.5)
    check("arm", "inertia, empty [kg·m2]", empty, 1.67, 3e-3, source, READ)
    check("arm", "inertia, with payload [kg·m2]", loaded, 3.17, 3e-3, source, READ)
    check("arm", "angular momentum at 0.1 pi rad/s [kg·m2/s]", empty * 0.1 * np.pi, 0.5236, 3e-3, source, READ)
    check("arm", "torque to reach that speed in 0.1 s [N·m]", empty * 0.1 * np.pi / 0.1, 5.236, 3e-3, source, READ)


def test_equilibrium_of_a_link_on_a_spring():
    """The link hangs at theta from upright; its spring stays vertical, so only the weight's torque is ours."""
    theta = np.radians(np.linspace(20, 80, 6001))
    weight = arm.link_torque(10.0, 0.3, np.pi / 2 - theta)
    spring = 200.0 * 0.6**2 * (1 - np.cos(theta)) * np.sin(theta)
    balance = theta[np.argmin(np.abs(spring - weight))]
    check("arm", "angle at which link and spring balance [deg]", np.degrees(balance), 53.8, 2e-3, HIBBELER, COMPANION)


def test_a_spring_of_no_free_length_balances_a_weight_at_every_angle():
    source = "JPE Precision Point, 'Static balancing': m g l = c a r"
    mass, length, above, pin = 2.0, 0.30, 0.10, 0.08
    rate = mass * 9.80665 * length / (above * pin)
    check("arm", "rate of the balancing spring [N/m]", rate, 735.499, 1e-6, source, RECOMPUTED)
    spring = arm.Spring(rate, 0.0, 0.0, 1.0, 0.0, above, pin)
    angle = np.radians(np.linspace(-80, 260, 69))
    left = arm.link_torque(mass, length, angle) - arm.spring_torque(spring, angle)
    assert np.max(np.abs(left)) < 1e-9 * mass * 9.80665 * length


# ---- springs ------------------------------------------------------------------------------------------------------

SPRING = arm.Spring(600.0, 0.08, 4.0, 0.20, -0.02, 0.11, 0.06, 0.1)


@given(st.floats(-3.0, 3.0))
def test_spring_torque_is_the_slope_of_its_energy(angle):
    def energy(a):
        stretch = max(arm.spring_length(SPRING, a)[0] - SPRING.free_length, 0.0)
        return SPRING.initial_tension * stretch + SPRING.rate * stretch**2 / 2

    small = 1e-6
    if abs(arm.spring_length(SPRING, angle)[0] - SPRING.free_length) > 1e-5:
        slope = -(energy(angle + small) - energy(angle - small)) / (2 * small)
        assert arm.spring_torque(SPRING, angle) == pytest.approx(slope, abs=1e-6)


def test_a_loose_spring_gives_nothing_and_a_long_one_is_said():
    loose = arm.Spring(600.0, 0.25, 4.0, 0.40, 0.0, 0.10, 0.06)
    assert arm.spring_torque(loose, 0.3) == 0.0
    assert not arm.spring_length(arm.Spring(600.0, 0.05, 4.0, 0.08, 0.0, 0.10, 0.06), -1.2)[1]
    straight = arm.Spring(600.0, 0.02, 0.0, 0.3, 0.0, 0.10, 0.06)
    assert arm.spring_torque(straight, np.pi / 2) == pytest.approx(0.0, abs=1e-12), "its line runs through the pivot"


def test_best_spring_equals_trying_each_and_refuses_overstretching():
    angle = np.radians(np.linspace(-40, 80, 60))
    load = arm.link_torque(0.6, 0.4, angle)
    springs = [
        arm.Spring(c, free, 4.0, 2.5 * free, 0.0, 0.10, 0.06)
        for c in (150, 300, 600, 1200)
        for free in (0.05, 0.06, 0.08)
    ]
    place, left = arm.best_spring(springs, angle, load)
    tried = []
    for spring in springs:
        fits = all(arm.spring_length(spring, a)[1] for a in angle)
        tried.append(max(abs(t - arm.spring_torque(spring, a)) for a, t in zip(angle, load)) if fits else np.inf)
    assert left == pytest.approx(tried)
    assert place == int(np.argmin(tried)) and np.isinf(left).any() and np.isfinite(left).any()
    assert arm.best_spring([arm.Spring(600, 0.01, 0, 0.011, 0, 0.1, 0.06)], angle, load)[0] == -1


# ---- the swing ----------------------------------------------------------------------------------------------------


def test_up_and_down_are_one_swing_turned_round():
    angle = np.radians(np.linspace(-30, 90, 41))
    torque, inertia = chained.torque(PAIR, angle), chained.inertia(PAIR, angle)
    up, down = arm.swing(angle, torque, inertia), arm.swing(angle[::-1], torque[::-1], inertia[::-1])
    assert up.q[0] == down.q[0] == 0 and up.q[-1] == pytest.approx(down.q[-1])
    assert up.load_torque == pytest.approx(-down.load_torque[::-1])
    line = drive.Line(1.25, 1.4, 0.25, 0.048, 0.729, 0.63)
    both = [motion.move(line, load, motion.Bus(12.5, 0.15)) for load in (up, down)]
    for done in both:
        assert done.why[0, 0] == "arrived" and done.balance_error[0, 0] < 1e-3
    assert both[1].time[0, 0] < both[0].time[0, 0], "down is quicker: the weight helps"


def test_a_counter_spring_lifts_quicker_and_reaches_the_bottom_slower():
    angle = np.radians(np.linspace(-40, 40, 41))
    weight = arm.link_torque(1.2, 0.4, angle)
    spring = arm.Spring(1200.0, 0.06, 4.0, 0.3, 0.0, 0.10, 0.06)
    line = drive.Line(1.25, 1.12, 0.25, 0.0307, 0.729, 0.63)
    inertia = arm.link_inertia(0.0, 0.4, 1.2)

    def time(table, way):
        return motion.move(
            line, arm.swing(angle[::way], table[::way], inertia), motion.Bus(12.5, 0.15), end="pass"
        ).time[0, 0]

    helped = weight - arm.spring_torque(spring, angle)
    assert np.max(np.abs(helped)) < np.max(np.abs(weight))
    assert time(helped, 1) < time(weight, 1) and time(helped, -1) > time(weight, -1)


def test_bending_against_a_numerical_integral_of_curvature():
    force, length, stiffness = 12.0, 0.45, arm.tube_stiffness(70e9, 0.020, 0.0015)
    x = np.linspace(0, length, 200001)
    slope = np.cumsum(force * (length - x) / stiffness) * (x[1] - x[0])
    assert arm.tip_bending(force, length, stiffness) == pytest.approx(np.sum(slope) * (x[1] - x[0]), rel=1e-4)
    solid = arm.tube_stiffness(70e9, 0.020, 0.010)
    assert solid == pytest.approx(70e9 * 0.02**4 / 12)


def test_a_fall_releases_what_lifting_cost():
    angle = np.linspace(-np.pi / 2, np.pi / 2, 20001)
    torque = arm.link_torque(0.8, 0.3, angle)
    work = np.sum(0.5 * (torque[1:] + torque[:-1]) * np.diff(angle))
    assert arm.drop_energy(0.8, 0.6) == pytest.approx(work, rel=1e-6)


@pytest.mark.parametrize("pin_angle, anchor", [(0.0, (0.0, 0.10)), (0.4, (-0.05, 0.08)), (-0.3, (0.06, -0.02))])
def test_a_spring_is_as_long_as_loose_where_it_goes_slack(pin_angle, anchor):
    """By measuring: just beside the angles the hooks are nearer on one side and further on the other."""
    spring = arm.Spring(600.0, 0.07, 4.0, 0.30, *anchor, 0.08, pin_angle)
    first, last = arm.slack_angles(spring)
    assert arm.spring_length(spring, np.array([first, last]))[0] == pytest.approx(0.07, rel=1e-12)
    inside, outside = np.array([first + 1e-3, last - 1e-3]), np.array([first - 1e-3, last + 1e-3])
    assert np.all(arm.spring_torque(spring, inside) == 0) and np.all(arm.spring_torque(spring, outside) != 0)


def test_a_spring_that_is_never_or_always_slack_has_no_such_angles():
    short, long = (arm.Spring(600.0, free, 4.0, 1.0, 0.0, 0.10, 0.06) for free in (0.03, 0.17))
    assert arm.slack_angles(short) == arm.slack_angles(long) == (np.inf, np.inf)
    assert arm.slack_angles(arm.Spring(600.0, 0.05, 4.0, 1.0, 0.0, 0.0, 0.06)) == (np.inf, np.inf), "on the pivot"


@pytest.mark.parametrize(
    "wrong, says",
    [
        (lambda: arm.link_torque(-1.0, 0.3, 0.0), "mass is -1"),
        (lambda: arm.link_torque(1.0, -0.3, 0.0), "length is -0.3"),
        (lambda: arm.link_inertia(1.0, 0.0, 1.0), "length is 0"),
        (lambda: arm.Spring(600.0, 0.08, 4.0, 0.08, 0.0, 0.1, 0.06), "longest is 0.08"),
        (lambda: arm.Spring(-1.0, 0.08, 4.0, 0.2, 0.0, 0.1, 0.06), "rate is -1"),
        (lambda: arm.best_spring([], [0.0, 1.0], [1.0, 1.0]), "springs is empty"),
        (lambda: arm.swing([0.0, 1.0, 0.5], 1.0, 1.0), "angle turns back"),
        (lambda: arm.tube_stiffness(70e9, 0.02, 0.011), "wall is 0.011"),
        (lambda: arm.tip_bending(1.0, 0.4, 0.0), "stiffness is 0"),
        (lambda: arm.band_torque(-1.0, 0.05), "force is -1"),
        (lambda: arm.drop_energy(1.0, -0.1), "height is -0.1"),
    ],
)
def test_bad_input_is_one_sentence_that_names_it(wrong, says):
    with pytest.raises(ValueError, match=says):
        wrong()


def test_a_band_on_a_drum_does_the_work_of_its_force():
    assert arm.band_torque(20.0, 0.05) * 2.0 == pytest.approx(20.0 * (0.05 * 2.0)), (
        "torque times angle is force times way"
    )


def test_swings_up_and_down_in_one_table():
    """Each row goes its own way, as it does alone."""
    up = np.radians(np.linspace(-30, 90, 7))
    both = np.stack([up, up[::-1]])
    torque = arm.link_torque(0.5, 0.3, both)
    together = arm.swing(both, torque, 0.06)
    for row in range(2):
        alone = arm.swing(both[row], torque[row], 0.06)
        assert np.array_equal(together.q[row], alone.q) and np.array_equal(together.load_torque[row], alone.load_torque)
    with pytest.raises(ValueError, match="turns back"):
        arm.swing(np.stack([up, np.r_[up[:3], up[:4]]]), torque, 0.06)

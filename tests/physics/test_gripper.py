"""Gripper: published grips, pads against the sum of their friction, jaws against virtual work and free bodies."""

import numpy as np
import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq, fsolve, linprog

from mechbench.physics import gripper
from mechbench.physics.constants import GRAVITY
from mechbench.physics.gripper import Jaws
from mechbench.physics.linkage import Fourbar, dead_points, pose
from tests.published import COMPANION, MEMORY, READ, check

PARALLEL = Jaws(0.080, 0.060)
PIVOT = Jaws(0.080, 0.060, True, 0.090)

# ---- published ----------------------------------------------------------------------------------------------------


def test_two_fingers_that_hold_eight_kilograms():
    force = gripper.carried_force(8.0) * 9.8 / GRAVITY
    check(
        "gripper",
        "least grip of two fingers, 8 kg, friction 0.5 [N]",
        gripper.squeeze_needed(force, 0.5),
        78.4,
        1e-9,
        "solved question 'minimum gripping force ... 2 finger gripper' (askfilo.com, g = 9.8)",
        READ,
    )


def test_carton_moved_quickly():
    """A factor of 3 on the weight is the weight and an upward acceleration of 2 g."""
    force = gripper.carried_force(10 / GRAVITY, upward=2 * GRAVITY)
    check(
        "gripper",
        "grip of a 10 lbf carton at a g factor of 3 [lbf]",
        gripper.squeeze_needed(force, 0.25),
        60.0,
        1e-9,
        "Groover et al., Industrial Robotics, example on gripper force",
        MEMORY,
    )


def test_twist_of_a_round_pad():
    torque = 0.05 * 20e3 * gripper.disc_lever(0.075)
    check(
        "gripper",
        "power lost in a flat pivot of 150 mm at 100 rpm [W]",
        torque * 2 * np.pi * 100 / 60,
        523.6,
        1e-4,
        "Khurmi & Gupta, Theory of Machines, 14th ed., Example 10.16 p. 288",
        COMPANION,
    )


@pytest.mark.parametrize("friction, expected", [(0.7, 137.0), (0.6, 118.0)])
def test_friction_of_a_crate(friction, expected):
    """20 kg on the floor: the floor is one pad, so it takes half of what two pads would hold."""
    held = gripper.held_force(20.0 * 9.80, friction) / 2
    check(
        "gripper",
        f"friction of 196 N at mu = {friction} [N]",
        held,
        expected,
        4e-3,
        "OpenStax University Physics Vol. 1, Example 6.10",
        READ,
    )


def test_toggle_clamp():
    """Lever AB and link BD of 25 each, B 7 beside the wall on which D slides, 48 above A.

    The wall is the circle of a jaw's arm without end: its pivot lies far to the left, at the height of D.
    """
    arm = 1e6
    clamp = Fourbar(25.0, 25.0, arm, np.hypot(arm, 48.0))
    lever = np.arctan2(24, 7) - np.arctan2(48.0, -arm)
    torque = 40 * np.cos(np.radians(60)) + 16 * np.sin(np.radians(60))
    squeeze = torque * gripper.rod_drive(clamp, lever, branch=-1)[0] / arm
    check(
        "gripper",
        "clamp force over handle force",
        squeeze,
        2.42,
        2e-3,
        "Baker & Haynes, Engineering Statics, chapter 6, example 'Toggle Clamp'",
        READ,
    )


# ---- pads ---------------------------------------------------------------------------------------------------------


def pad(kind, count=60_000):
    """Points of a contact with even pressure, in a plane whose second axis is the force's, and its twisting lever."""
    turn = np.arange(count) * np.pi * (3 - np.sqrt(5))
    radius, place = 0.02 * np.sqrt((np.arange(count) + 0.5) / count), 0.03 * (2 * (np.arange(count) + 0.5) / count - 1)
    return {
        "disc": (radius * np.cos(turn), radius * np.sin(turn), gripper.disc_lever(0.02)),
        "along": (0 * place, place, gripper.line_lever(0.06)),
        "across": (place, 0 * place, gripper.line_lever(0.06)),
    }[kind]


def held_exactly(kind, offset):
    """Force over mu N of a pad that slips about a point, with its line of action at an offset: sums over its points."""
    x, y, _ = pad(kind)

    def force_and_twist(centre):
        away = np.hypot(x - centre, y) + 1e-15
        return -np.mean((x - centre) / away), -np.mean((x * (x - centre) + y * y) / away)

    def miss(logarithm):
        force, twist = force_and_twist(np.exp(logarithm))
        return twist + offset * force

    return force_and_twist(np.exp(brentq(miss, np.log(1e-5), np.log(1e4))))[0]


@pytest.mark.parametrize("kind, least, most", [("disc", 0.93, 1.0), ("along", 1.0, 1.05), ("across", 0.86, 1.0)])
def test_ellipse_of_slip_and_twist_against_the_sum_over_a_pad(kind, least, most):
    shares = [
        held_exactly(kind, offset) * gripper.twist_factor(offset, pad(kind)[2])
        for offset in np.geomspace(2e-3, 0.2, 12)
    ]
    assert least - 2e-3 < min(shares) and max(shares) < most + 2e-3
    assert min(shares) < least + 0.02 if least < 1 else max(shares) > most - 0.02, "the limits told are the real ones"


@pytest.mark.parametrize("kind", ["disc", "along", "across"])
def test_twist_alone_against_the_sum_over_a_pad(kind):
    x, y, lever = pad(kind)
    assert np.mean(np.hypot(x, y)) == pytest.approx(lever, rel=1e-4)


def most_weight(friction, tilt):
    """The most that two pads in a V carry, for one newton between them: a linear program over two cones of friction.

    Unknown are the three components of one contact force (the other is its mirror image): x towards the piece along the
    squeeze, y out of the V, z up. Equal to 1 along x, 0 along y; z as large as the cone lets it be.
    """
    inward, along = np.array([np.cos(tilt), np.sin(tilt), 0]), np.array([-np.sin(tilt), np.cos(tilt), 0])
    facets = [
        np.cos(w) * along + np.sin(w) * np.array([0, 0, 1]) for w in np.linspace(0, 2 * np.pi, 1440, endpoint=False)
    ]
    best = linprog(
        [0, 0, -1],
        A_ub=np.array(facets) - friction * inward,
        b_ub=np.zeros(len(facets)),
        A_eq=[[1, 0, 0], [0, 1, 0]],
        b_eq=[1, 0],
        bounds=[(None, None)] * 3,
    )
    return -best.fun if best.success else 0.0


@pytest.mark.parametrize("friction", [0.3, 0.6, 1.1])
def test_tilted_pads_against_a_linear_program(friction):
    for tilt in np.radians([-40, -25, -10, 0, 5, 16, 30, 45]):
        assert gripper.tilted_friction(friction, tilt) == pytest.approx(most_weight(friction, tilt), abs=3e-5)


def test_a_pad_that_tilts_too_far_pushes_the_piece_out():
    edge = np.arctan(0.6)
    assert gripper.tilted_friction(0.6, edge + 0.01) == 0 < gripper.tilted_friction(0.6, edge - 0.01)
    assert gripper.squeeze_needed(2.0, gripper.tilted_friction(0.6, edge + 0.01)) == np.inf
    assert gripper.tilted_friction(0.6, 0.0) == pytest.approx(0.6)
    assert gripper.tilted_friction(0.6, 0.3) == gripper.tilted_friction(0.6, -0.3)


@given(
    st.floats(0.05, 2.0),
    st.floats(-9.0, 9.0),
    st.floats(-9.0, 9.0),
    st.floats(0.1, 1.2),
    st.floats(1.0, 4.0),
    st.floats(1.0, 4.0),
)
def test_squeeze_holds_exactly_what_it_must(mass, up, level, friction, factor, twist):
    force = gripper.carried_force(mass, up, level)
    squeeze = gripper.squeeze_needed(force, friction, factor, twist)
    assert gripper.held_force(squeeze, friction) == pytest.approx(force * factor * twist)
    assert gripper.carried_force(mass, up, level) == gripper.carried_force(mass, up, -level)
    assert gripper.squeeze_needed(3 * force, friction, factor, twist) == pytest.approx(3 * squeeze)


def test_carried_force_by_components():
    assert gripper.carried_force(0.16) == pytest.approx(0.16 * GRAVITY)
    assert gripper.carried_force(0.16, -GRAVITY) == pytest.approx(0, abs=1e-12), "in free fall"
    assert gripper.carried_force(0.16, 3.0, 5.0) == pytest.approx(0.16 * np.linalg.norm([GRAVITY + 3.0, 5.0]))
    assert gripper.squeeze_needed(0.0, 0.0) == 0.0 and gripper.squeeze_needed(1.0, 0.0) == np.inf


# ---- jaws ---------------------------------------------------------------------------------------------------------


def test_squeeze_by_virtual_work():
    """One motion: both levers turn by a, each pad moves half the change of the gap."""
    a, lever, straight, torque = sympy.symbols("a l g T", positive=True)
    right = sympy.Matrix([straight / 2, 0]) + lever * sympy.Matrix([sympy.sin(a), sympy.cos(a)])
    gap = 2 * right[0]
    squeeze = sympy.lambdify((a, lever, straight, torque), 2 * torque / sympy.diff(gap, a))
    for angle in np.radians([-70, -20, 0, 35, 80]):
        at = PARALLEL.straight_gap + 2 * PARALLEL.lever * np.sin(angle)
        assert gripper.jaw_angle(PARALLEL, at) == pytest.approx(angle)
        assert gripper.squeeze_given(PARALLEL, 0.7, at) == pytest.approx(float(squeeze(angle, 0.08, 0.06, 0.7)))


@pytest.mark.parametrize("ahead", [0.0, 0.03, 0.09])
def test_parallel_jaw_as_free_bodies(ahead):
    """Pad on two levers l at angle a, 25 mm apart; lever 1 is turned by T, lever 2 is a two-force body.

    Unknown: force of lever 1 on the pad (x, y), force of lever 2 along itself, squeeze. A pad that squeezes further
    ahead loads the pins more, but the squeeze is the same.
    """
    lever, apart, torque, angle = PARALLEL.lever, 0.025, 0.5, np.radians(24)
    along = np.array([np.sin(angle), np.cos(angle)])
    first, second, contact = np.array([0.0, 0.0]), np.array([0.0, apart]), np.array([-0.01, ahead])
    cross = lambda r, f: r[0] * f[1] - r[1] * f[0]
    equations = np.array(
        [
            [1, 0, along[0], 1],
            [0, 1, along[1], 0],
            [cross(first, (1, 0)), cross(first, (0, 1)), cross(second, along), cross(contact, (1, 0))],
            [cross(lever * along, (-1, 0)), cross(lever * along, (0, -1)), 0, 0],  # lever 1 about its pivot
        ]
    )
    solution = np.linalg.solve(equations, [0, 0, 0, -torque])
    gap = PARALLEL.straight_gap + 2 * lever * np.sin(angle)
    assert gripper.squeeze_given(PARALLEL, torque, gap) == pytest.approx(abs(solution[3]))


@given(st.floats(-0.085, 0.21), st.floats(0.05, 2.0))
def test_power_in_is_power_out(gap, torque):
    step = 1e-7
    turn = gripper.jaw_angle(PARALLEL, gap + step) - gripper.jaw_angle(PARALLEL, gap - step)
    work = gripper.squeeze_given(PARALLEL, torque, gap) * 2 * step
    assert work == pytest.approx(2 * torque * turn, rel=1e-4)


def test_over_centre_and_out_of_reach():
    edge = PARALLEL.straight_gap + 2 * PARALLEL.lever
    assert gripper.squeeze_given(PARALLEL, 0.5, edge) == np.inf
    assert gripper.squeeze_given(PARALLEL, 0.5, 0.218) > 4 * gripper.squeeze_given(PARALLEL, 0.5, 0.06)
    with pytest.raises(ValueError, match="gap is 0.221 m, but these jaws reach"):
        gripper.jaw_angle(PARALLEL, 0.221)


def test_only_pivot_jaws_tilt_their_pads():
    assert gripper.pad_tilt(PARALLEL, 0.15) == 0
    assert gripper.pad_tilt(PIVOT, 0.090) == pytest.approx(0)
    assert gripper.pad_tilt(PIVOT, 0.12) == pytest.approx(np.arcsin(0.06 / 0.16) - np.arcsin(0.03 / 0.16))
    assert gripper.pad_tilt(PIVOT, 0.07) < 0 < gripper.pad_tilt(PIVOT, 0.11)
    both = Jaws(0.080, 0.060, np.array([False, True]), 0.090)
    assert gripper.pad_tilt(both, 0.12) == pytest.approx([0, gripper.pad_tilt(PIVOT, 0.12)])
    assert gripper.squeeze_given(PIVOT, 0.5, 0.1) == gripper.squeeze_given(PARALLEL, 0.5, 0.1)


def test_one_servo_for_both_jaws_gives_half_the_torque_to_each():
    assert gripper.geared_torque(1.0, driven=1) == 2 * gripper.geared_torque(1.0) == 1.0
    assert gripper.geared_torque(1.0, 3.0, 0.9) == pytest.approx(1.35)


def rod_by_statics(horn, rod, arm, ground, angle, start):
    """Torque on the jaw's arm for one newton metre on the horn: the rod is a two-force body between its pins."""
    a = horn * np.array([np.cos(angle), np.sin(angle)])
    turn = fsolve(lambda t: np.hypot(ground + arm * np.cos(t) - a[0], arm * np.sin(t) - a[1]) - rod, start)[0]
    b = np.array([ground + arm * np.cos(turn), arm * np.sin(turn)])
    line = (b - a) / rod
    force = 1.0 / (a[0] * line[1] - a[1] * line[0])
    return abs(force * (arm * np.cos(turn) * line[1] - arm * np.sin(turn) * line[0]))


@pytest.mark.parametrize("degrees", [30, 60, 100, 140])
def test_horn_and_rod_by_statics(degrees):
    sizes, angle = (0.020, 0.050, 0.030, 0.060), np.radians(degrees)
    advantage, _ = gripper.rod_drive(Fourbar(*sizes), angle)
    assert advantage == pytest.approx(rod_by_statics(*sizes, angle, pose(Fourbar(*sizes), angle).output_angle))


def test_over_centre_of_horn_and_rod():
    fourbar = Fourbar(0.020, 0.050, 0.030, 0.060)
    stretched, _, has, _ = dead_points(fourbar)
    assert has
    near, to_go = gripper.rod_drive(fourbar, stretched + 0.01)
    further, more = gripper.rod_drive(fourbar, stretched + 0.30)
    assert to_go == pytest.approx(0.01) and more == pytest.approx(0.30)
    assert near > 10 * further and gripper.rod_drive(fourbar, stretched + 1e-9)[0] > 1e4
    assert gripper.rod_drive(fourbar, stretched + 0.1 + 2 * np.pi)[1] == pytest.approx(0.1), (
        "a whole turn changes nothing"
    )
    assert gripper.rod_drive(Fourbar(0.020, 0.060, 0.060, 0.010), 0.5)[1] == np.inf, "a drag link is never in line"


def test_letting_one_of_two_go():
    both = gripper.unbalance(0.1, 0.16, 0.16, 6.0, 6.0)
    left, right = gripper.unbalance(0.1, 0.16, 0.0, 6.0, 0.0), gripper.unbalance(0.1, 0.0, 0.16, 0.0, 6.0)
    assert both == (0.0, 0.0)
    assert left == pytest.approx((6.0, 0.16 * GRAVITY * 0.05))
    assert np.array(left) == pytest.approx(-np.array(right))
    assert gripper.unbalance(0.1, 0.16, 0.0, 6.0, 0.0, upward=GRAVITY)[1] == pytest.approx(2 * left[1])


def test_arrays_equal_scalars():
    gaps, friction = np.array([0.02, 0.06, 0.11]), np.array([[0.3], [0.7]])
    jaws = Jaws(np.array([0.06, 0.08, 0.1]), 0.05, np.array([True, False, True]), 0.080)
    tilt = gripper.pad_tilt(jaws, gaps)
    many = gripper.squeeze_needed(2.0, gripper.tilted_friction(friction, tilt), 1.5, gripper.twist_factor(0.02, 0.01))
    assert many.shape == (2, 3)
    for i, j in np.ndindex(2, 3):
        one = Jaws([0.06, 0.08, 0.1][j], 0.05, [True, False, True][j], 0.080)
        left = gripper.tilted_friction(friction[i, 0], gripper.pad_tilt(one, gaps[j]))
        assert many[i, j] == pytest.approx(gripper.squeeze_needed(2.0, left, 1.5, gripper.twist_factor(0.02, 0.01)))
        assert gripper.squeeze_given(jaws, 0.5, gaps)[j] == pytest.approx(gripper.squeeze_given(one, 0.5, gaps[j]))


@pytest.mark.parametrize(
    "name, call",
    [
        ("mass", lambda: gripper.carried_force(0.0)),
        ("upward", lambda: gripper.carried_force(1.0, np.nan)),
        ("level", lambda: gripper.carried_force(1.0, 0.0, np.inf)),
        ("force", lambda: gripper.squeeze_needed(-1.0, 0.5)),
        ("friction", lambda: gripper.squeeze_needed(1.0, -0.5)),
        ("safety_factor", lambda: gripper.squeeze_needed(1.0, 0.5, 0.9)),
        ("twist", lambda: gripper.squeeze_needed(1.0, 0.5, 1.0, 0.5)),
        ("squeeze", lambda: gripper.held_force(-1.0, 0.5)),
        ("friction", lambda: gripper.held_force(1.0, -0.5)),
        ("radius", lambda: gripper.disc_lever(0.0)),
        ("length", lambda: gripper.line_lever(-0.1)),
        ("offset", lambda: gripper.twist_factor(-0.1, 0.01)),
        ("lever", lambda: gripper.twist_factor(0.1, 0.0)),
        ("lever", lambda: Jaws(0.0, 0.06)),
        ("straight_gap", lambda: Jaws(0.08, np.nan)),
        ("square_gap", lambda: Jaws(0.08, 0.06, True, np.inf)),
        ("gap", lambda: gripper.squeeze_given(PARALLEL, 0.5, -0.2)),
        ("torque", lambda: gripper.squeeze_given(PARALLEL, -0.5, 0.1)),
        ("friction", lambda: gripper.tilted_friction(-0.1, 0.0)),
        ("tilt", lambda: gripper.tilted_friction(0.5, 1.6)),
        ("servo_torque", lambda: gripper.geared_torque(-1.0)),
        ("ratio", lambda: gripper.geared_torque(1.0, 0.0)),
        ("efficiency", lambda: gripper.geared_torque(1.0, 1.0, 1.1)),
        ("driven", lambda: gripper.geared_torque(1.0, 1.0, 1.0, 0)),
        ("spacing", lambda: gripper.unbalance(0.0, 0.1, 0.1, 1.0, 1.0)),
        ("left_mass", lambda: gripper.unbalance(0.1, -0.1, 0.1, 1.0, 1.0)),
        ("right_mass", lambda: gripper.unbalance(0.1, 0.1, -0.1, 1.0, 1.0)),
        ("left_squeeze", lambda: gripper.unbalance(0.1, 0.1, 0.1, -1.0, 1.0)),
        ("right_squeeze", lambda: gripper.unbalance(0.1, 0.1, 0.1, 1.0, -1.0)),
        ("upward", lambda: gripper.unbalance(0.1, 0.1, 0.1, 1.0, 1.0, np.nan)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but .*; .*\.$"):
        call()

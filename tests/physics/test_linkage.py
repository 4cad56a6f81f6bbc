"""Four-bar: published poses, classes and speeds, a blind root search, finite differences, and the laws of geometry."""

import numpy as np
import pytest
import sympy
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import fsolve

from mechbench.physics import linkage
from mechbench.physics.linkage import Fourbar
from tests.published import COMPANION, MEMORY, READ, RECOMPUTED, check

NORTON = "Norton, Design of Machinery, four-bar vector-loop example of chapter 4 (Example 4-1 in recent editions)"
ROCKER = Fourbar(0.040, 0.120, 0.080, 0.100)  # a crank-rocker
ANGLE = st.floats(-3.1, 3.1)
LENGTH = st.floats(0.02, 0.3)


def degrees(angle):
    return np.degrees(angle) % 360


# ---- published ----------------------------------------------------------------------------------------------------


def test_both_poses_of_norton():
    for branch, coupler, output in [(1, 20.3, 57.3), (-1, -61.0, -98.0)]:
        pose = linkage.pose(ROCKER, np.radians(40), branch)
        name = "open" if branch == 1 else "crossed"
        check("linkage", f"coupler angle, {name} [deg]", np.degrees(pose.coupler_angle), coupler, 1e-3, NORTON, MEMORY)
        check("linkage", f"output angle, {name} [deg]", np.degrees(pose.output_angle), output, 1e-3, NORTON, MEMORY)
        assert pose.assembles


def test_both_poses_with_more_digits():
    source = "golden values of public test suites, said there to be verified by a blind root search"
    known = "read in public repositories that carry the numbers"
    for branch, coupler, output in [(1, 0.35396, 1.0010322), (-1, -1.06496, -1.71203)]:
        pose = linkage.pose(ROCKER, 0.7, branch)
        check("linkage", f"coupler angle at 0.7 rad, branch {branch}", pose.coupler_angle, coupler, 1e-5, source, known)
        check("linkage", f"output angle at 0.7 rad, branch {branch}", pose.output_angle, output, 1e-5, source, known)


def test_both_poses_with_all_links_long():
    source = "university four-bar assignment with printed answers (transtutors question 13676847)"
    fourbar = Fourbar(35.0, 25.0, 15.0, 10.0)
    for branch, coupler, output in [(1, 254.1745, 334.0983), (-1, 187.3223, 107.3985)]:
        pose = linkage.pose(fourbar, np.radians(30), branch)
        check(
            "linkage",
            f"long links, coupler angle, branch {branch} [deg]",
            degrees(pose.coupler_angle),
            coupler,
            1e-6,
            source,
            READ,
        )
        check(
            "linkage",
            f"long links, output angle, branch {branch} [deg]",
            degrees(pose.output_angle),
            output,
            1e-6,
            source,
            READ,
        )
    assert linkage.grashof(fourbar) == "triple rocker", "10 + 35 is more than 15 + 25"


def test_grashof_classes_of_link_sets():
    source = "link sets: Norton, problem 2-15; rules: IIT Kharagpur Virtual Lab, RRRR double crank, theory"
    known = "sets and rule read; numbers recomputed from first principles"
    sets = [
        ((2, 4.5, 7, 9), -0.5, "crank-rocker"),
        ((2, 3.5, 7, 9), 0.5, "triple rocker"),
        ((2, 4.0, 6, 8), 0.0, "change point"),
    ]
    for lengths, excess, kind in sets:
        got = linkage.grashof_excess(Fourbar(*lengths))
        if excess:
            check("linkage", f"shortest and longest less the others, {lengths}", got, excess, 1e-9, source, known)
        else:
            assert got == 0.0
        assert linkage.grashof(Fourbar(*lengths)) == kind


def test_the_shortest_link_gives_the_class():
    lengths = (2.0, 4.5, 7.0, 9.0)
    kinds = [linkage.grashof(Fourbar(*np.roll(lengths, turn))) for turn in range(4)]
    assert kinds == ["crank-rocker", "double rocker", "rocker-crank", "double crank"]
    assert linkage.grashof(Fourbar(1.0, 1.0, 1.0, 4.0)) == "cannot close"


def test_extreme_transmission_angles():
    source = "cos mu = (b2 + c2 - (d -+ a)2) / (2 b c), standard result"
    for angle, expected in [(0.0, 26.38), (np.pi, 86.42)]:
        got = np.degrees(linkage.transmission_angle(ROCKER, angle))
        check(
            "linkage",
            f"transmission angle at {np.degrees(angle):.0f} deg [deg]",
            got,
            expected,
            1e-3,
            source,
            RECOMPUTED,
        )
    least = np.degrees(linkage.least_transmission_angle(ROCKER, -3.0, 3.5))
    check("linkage", "least transmission angle of a whole turn [deg]", least, 26.38, 1e-3, source, RECOMPUTED)


def test_speed_of_a_rocker_from_a_velocity_diagram():
    source = "Khurmi & Gupta, Theory of Machines, 14th ed., Example 7.1 p. 148 (crank at 60 deg, 120 rpm)"
    known = COMPANION + "; the book measures it in a drawing; the crank's angle and two lengths are from memory"
    fourbar = Fourbar(0.040, 0.150, 0.080, 0.150)
    _, rate = linkage.rates(fourbar, np.radians(60))
    check("linkage", "speed of the output link [rad/s]", rate * 120 * 2 * np.pi / 60, 4.8, 0.01, source, known)


def test_freudenstein_equation_holds_in_every_pose():
    """K1 cos(out) - K2 cos(in) + K3 = cos(in - out), with the ratios as published in 1955; angles between lines."""
    a, b, c, d = ROCKER.input, ROCKER.coupler, ROCKER.output, ROCKER.ground
    angle = np.linspace(-3, 3, 41)
    for branch in (1, -1):
        out = linkage.pose(ROCKER, angle, branch).output_angle
        left = d / a * np.cos(out) - d / c * np.cos(angle) + (a**2 - b**2 + c**2 + d**2) / (2 * a * c)
        np.testing.assert_allclose(left, np.cos(angle - out), atol=1e-12)


# ---- a blind root search, derivatives, finite differences ---------------------------------------------------------


def loop(unknown, fourbar, angle):
    third, fourth = unknown
    return [
        fourbar.input * np.cos(angle)
        + fourbar.coupler * np.cos(third)
        - fourbar.output * np.cos(fourth)
        - fourbar.ground,
        fourbar.input * np.sin(angle) + fourbar.coupler * np.sin(third) - fourbar.output * np.sin(fourth),
    ]


def test_every_root_of_a_blind_search_is_one_of_the_two_branches():
    random = np.random.default_rng(7)
    found = 0
    for _ in range(60):
        fourbar = Fourbar(*random.uniform(0.03, 0.2, 4))
        angle = random.uniform(-np.pi, np.pi)
        root, info, good, _ = fsolve(
            loop, random.uniform(-np.pi, np.pi, 2), (fourbar, angle), full_output=True, xtol=1e-13
        )
        poses = [linkage.pose(fourbar, angle, branch) for branch in (1, -1)]
        closed = good == 1 and np.max(np.abs(info["fvec"])) < 1e-10
        assert not closed or poses[0].assembles
        if not poses[0].assembles:
            continue
        found += closed
        for pose in poses:
            assert np.max(np.abs(loop([pose.coupler_angle, pose.output_angle], fourbar, angle))) < 1e-12
        if closed:
            miss = [
                abs(np.exp(1j * root[0]) - np.exp(1j * p.coupler_angle))
                + abs(np.exp(1j * root[1]) - np.exp(1j * p.output_angle))
                for p in poses
            ]
            assert min(miss) < 1e-6
    assert found > 20


@pytest.mark.parametrize("branch", [1, -1])
def test_rates_against_sympy_and_finite_differences(branch):
    """The loop equations are differentiated by sympy, apart from ours; the differences come from our poses alone."""
    t, a, b, c, d = sympy.symbols("t a b c d")
    third, fourth = sympy.Function("third")(t), sympy.Function("fourth")(t)
    loops = [
        a * sympy.cos(t) + b * sympy.cos(third) - c * sympy.cos(fourth) - d,
        a * sympy.sin(t) + b * sympy.sin(third) - c * sympy.sin(fourth),
    ]
    u, v, p, q = sympy.symbols("u v p q")
    equations = [e.diff(t).subs({third.diff(t): p, fourth.diff(t): q}).subs({third: u, fourth: v}) for e in loops]
    solved = sympy.solve(equations, [p, q])
    by_sympy = sympy.lambdify((t, u, v, a, b, c, d), [solved[p], solved[q]])
    angle = np.linspace(-3, 3, 61)
    pose = linkage.pose(ROCKER, angle, branch)
    got = linkage.rates(ROCKER, angle, branch)
    np.testing.assert_allclose(
        got, by_sympy(angle, pose.coupler_angle, pose.output_angle, 0.04, 0.12, 0.08, 0.10), rtol=1e-10
    )
    h = 1e-6
    ahead, behind = (linkage.pose(ROCKER, angle + s * h, branch) for s in (1, -1))
    turn = [
        np.angle(np.exp(1j * (getattr(ahead, n) - getattr(behind, n)))) / (2 * h)
        for n in ("coupler_angle", "output_angle")
    ]
    np.testing.assert_allclose(got, turn, rtol=1e-6, atol=1e-8)


@pytest.mark.parametrize("branch", [1, -1])
def test_coupler_curve_keeps_its_distances_and_its_rate(branch):
    angle = np.linspace(-3, 3, 61)
    pose = linkage.pose(ROCKER, angle, branch)
    x, y, assembles = linkage.coupler_curve(ROCKER, angle, 0.07, 0.03, branch)
    assert assembles.all()
    a_x, a_y = 0.04 * np.cos(angle), 0.04 * np.sin(angle)
    b_x, b_y = 0.10 + 0.08 * np.cos(pose.output_angle), 0.08 * np.sin(pose.output_angle)
    np.testing.assert_allclose(np.hypot(x - a_x, y - a_y), np.hypot(0.07, 0.03))
    np.testing.assert_allclose(np.hypot(x - b_x, y - b_y), np.hypot(0.12 - 0.07, 0.03))
    left = (b_x - a_x) * (y - a_y) - (b_y - a_y) * (x - a_x)
    np.testing.assert_allclose(left, 0.12 * 0.03, err_msg="across is to the left of the coupler")
    h = 1e-6
    ahead, behind = (linkage.coupler_curve(ROCKER, angle + s * h, 0.07, 0.03, branch) for s in (1, -1))
    got = linkage.coupler_point_rate(ROCKER, angle, 0.07, 0.03, branch)
    np.testing.assert_allclose(got, [(p - m) / (2 * h) for p, m in zip(ahead[:2], behind[:2])], rtol=1e-5, atol=1e-8)


def test_a_nearly_straight_symmetric_path():
    """Crank 1, ground 2, coupler and output 2.5, point at twice the coupler (Hoecken's proportions, from memory).

    Coupler, output and the coupler's free part are equal, so the path is symmetric, whatever the proportions; with
    these it is straight besides.
    """
    turn = np.radians(np.linspace(0, 90, 91))
    x, y, _ = linkage.coupler_curve(Fourbar(1.0, 2.5, 2.5, 2.0), np.pi + turn, 5.0, 0.0)
    other_x, other_y, _ = linkage.coupler_curve(Fourbar(1.0, 2.5, 2.5, 2.0), np.pi - turn, 5.0, 0.0)
    np.testing.assert_allclose(other_y, y, atol=1e-12)
    np.testing.assert_allclose(other_x - x[0], x[0] - x, atol=1e-12)
    assert np.ptp(y) < 3e-3 * 2 * np.ptp(x)
    assert 2 * np.ptp(x) > 3.9


# ---- laws ---------------------------------------------------------------------------------------------------------


@given(LENGTH, LENGTH, LENGTH, LENGTH, ANGLE)
def test_the_two_branches_are_mirror_images_in_the_diagonal(a, b, c, d, angle):
    fourbar = Fourbar(a, b, c, d)
    plus, minus = linkage.pose(fourbar, angle, 1), linkage.pose(fourbar, angle, -1)
    assume(plus.assembles)
    diagonal = np.arctan2(-a * np.sin(angle), d - a * np.cos(angle))
    assert np.exp(1j * (plus.coupler_angle + minus.coupler_angle)) == pytest.approx(np.exp(2j * diagonal), abs=1e-7)
    assert np.exp(1j * (plus.output_angle + minus.output_angle)) == pytest.approx(np.exp(2j * diagonal), abs=1e-7)
    mirrored = linkage.pose(fourbar, -angle, -1)
    assert np.exp(-1j * mirrored.output_angle) == pytest.approx(np.exp(1j * plus.output_angle), abs=1e-7)


@given(LENGTH, LENGTH, LENGTH, LENGTH, ANGLE, st.floats(0.1, 50.0))
def test_scaling_all_lengths_changes_no_angle_and_no_rate(a, b, c, d, angle, size):
    one, big = Fourbar(a, b, c, d), Fourbar(size * a, size * b, size * c, size * d)
    assume(linkage.transmission_angle(one, angle) > 0.02)
    np.testing.assert_allclose(linkage.rates(big, angle), linkage.rates(one, angle), rtol=1e-6, atol=1e-6)
    assert linkage.transmission_angle(big, angle) == pytest.approx(linkage.transmission_angle(one, angle), rel=1e-6)
    assert linkage.grashof_excess(big) == pytest.approx(size * linkage.grashof_excess(one), abs=1e-9 * size)


@given(LENGTH, LENGTH, LENGTH, LENGTH, ANGLE)
def test_transmission_angle_lies_between_coupler_and_output(a, b, c, d, angle):
    fourbar = Fourbar(a, b, c, d)
    pose = linkage.pose(fourbar, angle)
    assume(pose.assembles)
    between = np.arccos(np.clip(np.abs(np.cos(pose.coupler_angle - pose.output_angle)), 0, 1))
    assert linkage.transmission_angle(fourbar, angle) == pytest.approx(between, abs=1e-6)


@given(LENGTH, LENGTH, LENGTH, LENGTH, ANGLE, st.floats(0.1, 6.5))
def test_least_transmission_angle_of_a_swing(a, b, c, d, start, turn):
    fourbar = Fourbar(a, b, c, d)
    angle = np.linspace(start, start + turn, 4001)
    least = linkage.least_transmission_angle(fourbar, start, start + turn)
    sampled = linkage.transmission_angle(fourbar, angle)
    assert least <= sampled.min() + 1e-9
    assert least == pytest.approx(sampled.min(), abs=0.06)
    assert linkage.least_transmission_angle(fourbar, start + turn, start) == least


@pytest.mark.parametrize(
    "start, end", [(-1.0, 1.0), (5.0, 7.0), (-7.0, -5.0), (2.0, 4.0), (-4.0, -2.0), (0.5, 2.5), (3.3, 6.0), (2.0, 7.0)]
)
@pytest.mark.parametrize("lengths", [(0.04, 0.12, 0.08, 0.10), (0.04, 0.08, 0.07, 0.10)])
def test_least_transmission_angle_where_the_swing_passes_half_turns(lengths, start, end):
    """The first linkage pushes worst at 0 degrees, the second at 180: the grid holds both places exactly."""
    fourbar = Fourbar(*lengths)
    angle = np.union1d(np.linspace(start, end, 2001), [k * np.pi for k in range(-3, 4) if start <= k * np.pi <= end])
    expected = linkage.transmission_angle(fourbar, angle).min()
    assert linkage.least_transmission_angle(fourbar, start, end) == pytest.approx(expected, abs=1e-9)


@given(LENGTH, LENGTH, LENGTH, LENGTH, ANGLE)
def test_power_goes_through_and_the_advantage_is_its_inverse_rate(a, b, c, d, angle):
    fourbar = Fourbar(a, b, c, d)
    assume(linkage.transmission_angle(fourbar, angle) > 0.02)
    rate = linkage.rates(fourbar, angle)[1]
    assume(abs(rate) > 1e-6)
    advantage = linkage.mechanical_advantage(fourbar, angle)
    assert advantage * rate == pytest.approx(1.0)
    back = Fourbar(c, b, a, d)  # driven from the other end: the same loop seen in a mirror
    turned = np.pi - linkage.pose(fourbar, angle).output_angle
    branch = -1 if np.cos(linkage.pose(back, turned, -1).output_angle - (np.pi - angle)) > 1 - 1e-9 else 1
    assume(linkage.transmission_angle(back, turned) > 0.02)
    assert linkage.mechanical_advantage(back, turned, branch) == pytest.approx(rate, rel=1e-4, abs=1e-6)


@given(LENGTH, LENGTH, LENGTH, LENGTH)
def test_input_range_is_where_it_assembles(a, b, c, d):
    fourbar = Fourbar(a, b, c, d)
    least, most, closes = linkage.input_range(fourbar)
    angle = np.linspace(0, np.pi, 2001)
    assembles = linkage.pose(fourbar, angle).assembles
    inside = (angle >= least - 1e-9) & (angle <= most + 1e-9) & closes
    assert np.sum(inside != assembles) <= 2, "at most the grid's neighbours of the two limits differ"
    full = closes and least == 0 and most == np.pi
    kind = linkage.grashof(fourbar)
    assume(abs(linkage.grashof_excess(fourbar)) > 1e-6)
    assert full == (kind in ("crank-rocker", "double crank")), "Grashof's rule"
    assert closes == (kind != "cannot close")


@pytest.mark.parametrize("lengths", [(0.04, 0.12, 0.08, 0.10), (0.10, 0.06, 0.09, 0.08), (0.09, 0.05, 0.10, 0.12)])
@pytest.mark.parametrize("branch", [1, -1])
def test_dead_points_are_where_the_output_turns_back(lengths, branch):
    fourbar = Fourbar(*lengths)
    angle = np.linspace(-np.pi, np.pi, 200001)
    rate = linkage.rates(fourbar, angle, branch)[1]
    turns_back = (rate[1:] * rate[:-1] < 0) & np.isfinite(rate[1:]) & np.isfinite(rate[:-1])
    expected = np.sort(angle[1:][turns_back])
    stretched, folded, has_stretched, has_folded = linkage.dead_points(fourbar, branch)
    got = np.sort([a for a, has in ((stretched, has_stretched), (folded, has_folded)) if has])
    np.testing.assert_allclose(got, expected, atol=1e-4)
    for there in got:
        assert abs(linkage.rates(fourbar, there, branch)[1]) < 1e-6
        assert (
            linkage.mechanical_advantage(fourbar, there + 1e-9, branch) > 1e5
            or linkage.mechanical_advantage(fourbar, there - 1e-9, branch) > 1e5
        )


def test_at_a_toggle_the_advantage_is_nothing_and_the_rate_without_bound():
    fourbar = Fourbar(0.10, 0.06, 0.09, 0.08)
    least, most, _ = linkage.input_range(fourbar)
    limit = most if most < np.pi else least
    assert linkage.transmission_angle(fourbar, limit) < 1e-3
    beyond = limit + 0.1 if limit == most else limit - 0.1
    pose = linkage.pose(fourbar, beyond)
    assert not pose.assembles and np.isfinite([pose.coupler_angle, pose.output_angle]).all()
    assert np.isposinf(linkage.rates(fourbar, beyond)).all()
    assert linkage.mechanical_advantage(fourbar, beyond) == 0.0
    assert linkage.transmission_angle(fourbar, beyond) == 0.0


def test_arrays_are_free_of_nan_and_equal_scalars():
    fourbar = Fourbar(np.array([[0.04], [0.10]]), 0.06, np.array([[0.09], [0.05]]), 0.08)
    angle = np.linspace(-np.pi, np.pi, 33)
    pose = linkage.pose(fourbar, angle)
    assert pose.assembles.shape == pose.output_angle.shape == (2, 33)
    assert pose.assembles.any() and not pose.assembles.all()
    for values in (
        pose.coupler_angle,
        pose.output_angle,
        *linkage.rates(fourbar, angle),
        linkage.mechanical_advantage(fourbar, angle),
    ):
        assert not np.isnan(values).any()
    for row, (a, c) in enumerate([(0.04, 0.09), (0.10, 0.05)]):
        for place in (0, 7, 20):
            one = linkage.pose(Fourbar(a, 0.06, c, 0.08), angle[place])
            assert one.output_angle == pytest.approx(pose.output_angle[row, place], abs=1e-12)
            assert one.assembles == pose.assembles[row, place]
    assert list(linkage.grashof(Fourbar([0.04, 0.2], 0.06, 0.09, 0.08))) == ["crank-rocker", "triple rocker"]


def test_pin_on_the_other_pivot_fixes_nothing():
    pose = linkage.pose(Fourbar(0.1, 0.05, 0.05, 0.1), 0.0)
    assert not pose.assembles and np.isfinite([pose.coupler_angle, pose.output_angle]).all()


# ---- bad input ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name, call",
    [
        ("input", lambda: Fourbar(0.0, 1.0, 1.0, 1.0)),
        ("coupler", lambda: Fourbar(1.0, -1.0, 1.0, 1.0)),
        ("output", lambda: Fourbar(1.0, 1.0, np.inf, 1.0)),
        ("ground", lambda: Fourbar(1.0, 1.0, 1.0, 0.0)),
        ("tilt", lambda: Fourbar(1.0, 1.0, 1.0, 1.0, np.nan)),
        ("angle", lambda: linkage.pose(ROCKER, np.nan)),
        ("branch", lambda: linkage.pose(ROCKER, 0.5, 0)),
        ("along", lambda: linkage.coupler_curve(ROCKER, 0.5, np.inf, 0.0)),
        ("start", lambda: linkage.least_transmission_angle(ROCKER, np.inf, 1.0)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} (is|are|give) .*, but .*; .*\.$"):
        call()

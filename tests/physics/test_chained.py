"""Chained pair: the published chain law, virtual work against Lagrange's equation, paths that must be straight or
round.
"""

import numpy as np
import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st

from mechbench.physics import arm, chained, parallel
from tests.published import check

PAIR = chained.Pair(0.35, 0.30, 0.25, 0.20, 0.05, 0.40, 40, 20, np.radians(274))


def test_direction_of_a_chained_link():
    """The arm at 10 rpm for a minute: the second link's direction against the published speeds."""
    source = "Digital Mechanism and Gear Library, item 19581023, n4 = n1 (z4 - z2) / z4"
    for fixed, moving, turns in [(20, 20, 0.0), (20, 40, 5.0), (40, 20, -10.0)]:
        pair = chained.Pair(0.3, 0.2, 0, 0, 0, 0, fixed, moving, 0.1)
        direction = chained.path(pair, 0.0, 20 * np.pi, 5)[2]
        got = (direction[-1] - direction[0]) / (2 * np.pi)
        assert 10 * chained.second_rate(pair) == pytest.approx(turns)
        if turns:
            check(
                "chained",
                f"turns of the second link in 10 turns of the arm, {fixed}:{moving}",
                got,
                turns,
                1e-9,
                source,
                "formula read; numbers recomputed from first principles",
            )
        else:
            assert got == 0.0, "equal sprockets keep the direction"
        ratio = chained.ratio(20 * np.pi, turns * 2 * np.pi)
        check(
            "chained",
            f"ratio of sprockets that turns it so, {fixed}:{moving}",
            ratio,
            fixed / moving,
            1e-9,
            source,
            "formula read; numbers recomputed from first principles",
        )


# ---- where it goes ------------------------------------------------------------------------------------------------


def test_equal_links_at_two_to_one_run_straight():
    """The tip of the second link is then a point on the rim of a circle that rolls inside one of twice its size."""
    pair = chained.Pair(0.3, 0.3, 0, 0, 0, 0, 40, 20, np.pi + 0.8)
    x, y, _ = chained.path(pair, -1.0, 2.0, 41)
    along = np.exp(0.4j)
    np.testing.assert_allclose(((x + 1j * y) / along).real, 0.0, atol=1e-12)


def test_equal_sprockets_move_the_tip_on_a_circle():
    pair = chained.Pair(0.3, 0.2, 0, 0, 0, 0, 24, 24, 0.5)
    x, y, direction = chained.path(pair, -1.0, 2.0)
    np.testing.assert_allclose(direction, 0.5)
    np.testing.assert_allclose(
        (x, y), parallel.parallel_path(0.3, np.linspace(-1, 2, 61), 0.2 * np.cos(0.5), 0.2 * np.sin(0.5))
    )


@given(
    st.floats(0.1, 0.5),
    st.floats(0.1, 0.5),
    st.integers(10, 40),
    st.integers(10, 40),
    st.floats(-3, 3),
    st.floats(-2, 2),
    st.floats(0.2, 3),
)
def test_reach_holds_the_whole_path(first, second, base, elbow, offset, start, swing):
    pair = chained.Pair(first, second, 0, 0, 0, 0, base, elbow, offset)
    reach = chained.reach(pair, start, start + swing)
    x, y, _ = chained.path(pair, start, start + swing, 5001)
    elbow_x, elbow_y, *_ = chained.pose(pair, np.linspace(start, start + swing, 5001))
    slack = 1e-4 * (first + second)
    for ends, values in (
        ((reach.backward, reach.forward), np.r_[x, elbow_x]),
        ((reach.down, reach.up), np.r_[y, elbow_y]),
    ):
        assert ends == pytest.approx((values.min(), values.max()), abs=slack)
    assert reach.far == pytest.approx(np.hypot(x, y).max(), abs=slack)
    assert reach.far <= first + second + 1e-12


def test_two_points_of_a_path_are_its_ends():
    pair = chained.Pair(0.3, 0.2, 0, 0, 0, 0, 40, 20, 0.5)
    x, y, direction = chained.path(pair, 0.1, 1.0, 2)
    _, _, tip_x, tip_y = chained.pose(pair, np.array([0.1, 1.0]))
    np.testing.assert_allclose((x, y), (tip_x, tip_y))
    np.testing.assert_allclose(direction, chained.angles(pair, np.array([0.1, 1.0]))[1])


def test_arrays_equal_scalars():
    pair = chained.Pair(0.3, np.array([[0.2], [0.25]]), 0, 0, 0, 0, 40, 20, 0.5)
    x, y, direction = chained.path(pair, np.array([0.1, 0.2]), 1.0, 7)
    assert x.shape == y.shape == direction.shape == (2, 7)
    one = chained.path(chained.Pair(0.3, 0.25, 0, 0, 0, 0, 40, 20, 0.5), 0.2, 1.0, 7)
    np.testing.assert_allclose(x[1], one[0])
    assert chained.reach(pair, 0.1, 1.0).up.shape == (2,)


# ---- against Lagrange ----------------------------------------------------------------------------


def by_lagrange(pair):
    """Weight torque and inertia of a pair from its energies, by sympy; written apart from chained.py."""
    a, w = sympy.symbols("a w")
    second = pair.offset + a - sympy.Rational(pair.base_teeth, pair.elbow_teeth) * a
    along = lambda length, angle: sympy.Matrix([length * sympy.cos(angle), length * sympy.sin(angle)])
    elbow = along(pair.first_length, a)
    lumps = [
        (along(pair.first_length / 2, a), pair.first_mass),
        (elbow + along(pair.second_length / 2, second), pair.second_mass),
        (elbow, pair.elbow_mass),
        (elbow + along(pair.second_length, second), pair.tip_mass),
    ]
    kinetic = sum(m * (p.diff(a) * w).dot(p.diff(a) * w) / 2 for p, m in lumps)
    kinetic += pair.first_mass * pair.first_length**2 / 24 * w**2
    kinetic += pair.second_mass * pair.second_length**2 / 24 * (second.diff(a) * w) ** 2
    potential = sum(m * 9.80665 * p[1] for p, m in lumps)
    return sympy.lambdify(a, potential.diff(a)), sympy.lambdify(a, kinetic.diff(w, 2))


@pytest.mark.parametrize("teeth", [(40, 20), (20, 20), (20, 40), (32, 24)])
def test_torque_and_inertia_of_a_chained_pair_by_virtual_work(teeth):
    pair = chained.Pair(0.35, 0.30, 0.25, 0.20, 0.05, 0.40, *teeth, np.radians(200))
    torque, inertia = by_lagrange(pair)
    for angle in np.radians(np.linspace(-30, 200, 24)):
        assert chained.torque(pair, angle) == pytest.approx(torque(angle), abs=1e-9)
        assert chained.inertia(pair, angle) == pytest.approx(float(inertia(angle)), rel=1e-9)


def test_the_motor_does_not_feel_the_sum_of_both_joints():
    angle = np.radians(20)
    first, second = chained.angles(PAIR, angle)
    elbow_joint = arm.link_torque(PAIR.second_mass, 0.15, second) + arm.link_torque(PAIR.tip_mass, 0.30, second)
    base_alone = arm.link_torque(0.25, 0.175, first) + arm.link_torque(0.2 + 0.05 + 0.4, 0.35, first)
    assert abs(chained.torque(PAIR, angle) - (base_alone + elbow_joint)) > 0.3
    assert chained.torque(PAIR, angle) == pytest.approx(base_alone - elbow_joint), "rate -1: it counts the other way"


def test_the_tip_goes_where_trigonometry_says_and_moves_as_the_inertia_says():
    angle, small = np.radians(50), 1e-6
    tip = lambda a: np.array(chained.pose(PAIR, a)[2:])
    speed = np.linalg.norm((tip(angle + small) - tip(angle - small)) / (2 * small))
    only_tip = chained.Pair(0.35, 0.30, 0, 0, 0, 1.0, 40, 20, np.radians(274))
    assert chained.inertia(only_tip, angle) == pytest.approx(speed**2, rel=1e-6)
    assert np.hypot(*(tip(angle) - np.array(chained.pose(PAIR, angle)[:2]))) == pytest.approx(0.30)


# ---- bad input ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name, call",
    [
        ("base_teeth", lambda: chained.Pair(0.3, 0.3, 0.1, 0.1, 0, 0, 20.5, 20, 0.0)),
        ("first_turn", lambda: chained.ratio(0.0, 1.0)),
        ("second_turn", lambda: chained.ratio(1.0, np.nan)),
        ("points", lambda: chained.path(chained.Pair(0.3, 0.2, 0, 0, 0, 0, 40, 20, 0), 0, 1, 1)),
        ("end", lambda: chained.reach(chained.Pair(0.3, 0.2, 0, 0, 0, 0, 40, 20, 0), 0, np.inf)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but it must be .*; .*\.$"):
        call()


@pytest.mark.parametrize("base, elbow", [(40, 20), (20, 20), (15, 30)])
def test_way_of_the_tip_for_each_radian_by_differences(base, elbow):
    pair = chained.Pair(0.35, 0.28, 0.2, 0.2, 0.0, 0.3, base, elbow, 1.1)
    angle, step = np.linspace(-1.0, 3.0, 23), 1e-6
    ahead, behind = (np.array(chained.pose(pair, angle + side * step)[2:]) for side in (1, -1))
    assert chained.tip_rate(pair, angle) == pytest.approx(np.hypot(*(ahead - behind)) / (2 * step), rel=1e-7)

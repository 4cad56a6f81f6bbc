"""Footprint, the floor's push and wheel loads: published examples, scipy's hull, and least squares by another road."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import nnls
from scipy.spatial import ConvexHull, QhullError

from mechbench.physics import footing
from mechbench.physics.balance import braking_limit
from mechbench.physics.constants import GRAVITY
from mechbench.physics.footing import first_lift, footprint, nearest_edge, room, wheel_loads
from tests.published import COMPANION, MEMORY, READ, RECOMPUTED, check

SQUARE = np.array([(0.15, 0.16), (0.15, -0.16), (-0.15, 0.16), (-0.15, -0.16)])
TRIANGLE = np.array([(0.2, 0.0), (-0.1, 0.15), (-0.1, -0.15)])
SPOT = st.tuples(st.floats(-0.4, 0.4), st.floats(-0.4, 0.4))
ANGLE = st.floats(-np.pi, np.pi)


# --- footprint ------------------------------------------------------------------------------------------------------


@settings(deadline=None)
@given(st.lists(SPOT, min_size=3, max_size=9))
def test_hull_equals_scipys(spots):
    try:
        reference = ConvexHull(spots)
    except QhullError:
        return
    assume(reference.volume > 1e-4)
    around = footprint(spots)
    x, y = around.corners.T
    area = 0.5 * np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)
    length = np.sum(np.hypot(*(np.roll(around.corners, -1, axis=0) - around.corners).T))
    assert area == pytest.approx(reference.volume, abs=footing.GRID)  # above 0: it turns to the left
    assert length == pytest.approx(reference.area, abs=9 * footing.GRID)


def test_hull_of_many_drawn_points_equals_scipys():
    rng = np.random.default_rng(6)
    for count in (3, 4, 5, 8, 20, 60) * 10:
        spots = rng.uniform(-0.4, 0.4, (count, 2))
        corners = {tuple(spot) for spot in footprint(spots).corners}
        assert corners == {tuple(spot) for spot in spots[ConvexHull(spots).vertices]}


def test_a_thin_footprint_is_one_and_a_line_is_none():
    """Wherever the origin is: three wheels in a row and a fourth that is off it by 10 um, then by less than 1 um."""
    row = np.array([(0.0, 0.0), (0.2, 0.0), (0.4, 0.0), (0.4, 0.0)])
    for origin in (np.zeros(2), np.array([3.0, -2.0])):
        thin = row + origin
        thin[3, 1] += 1e-5
        assert len(footprint(thin).corners) == 3
        assert nearest_edge(footprint(thin), *(origin + (0.3, 0.0)))[0] == pytest.approx(0.0, abs=1e-7)
        thin[3, 1] -= 1e-5 - 2e-7
        with pytest.raises(ValueError, match="^wheels are all in one line, but they must be"):
            footprint(thin)


@settings(deadline=None)
@given(st.floats(-0.1, 0.1), st.floats(-0.1, 0.1), ANGLE)
def test_room_ends_on_the_edge(x, y, angle):
    for spots in (SQUARE, TRIANGLE):
        around = footprint(spots)
        far = room(around, x, y, angle)
        inside = np.min(around.offsets - around.normals @ (x, y))
        if inside < 0:
            assert far == pytest.approx(inside)
        else:
            end = np.array([x + far * np.cos(angle), y + far * np.sin(angle)])
            assert np.min(around.offsets - around.normals @ end) == pytest.approx(0.0, abs=1e-9)


def test_nearest_edge_is_the_least_room_of_all_directions():
    rng, angles = np.random.default_rng(2), np.linspace(-np.pi, np.pi, 20001)
    for x, y in rng.uniform(-0.08, 0.08, (20, 2)):
        around = footprint(TRIANGLE)
        distance, direction = nearest_edge(around, x, y)
        rooms = room(around, x, y, angles)
        assert distance == pytest.approx(rooms.min(), abs=1e-7)
        assert room(around, x, y, direction) == pytest.approx(distance)


def test_outside_is_told_in_every_direction():
    around = footprint(SQUARE)
    np.testing.assert_allclose(room(around, 0.20, 0.0, [0.0, 1.0, np.pi]), -0.05)
    distance, direction = nearest_edge(around, [0.20, -0.20], 0.0)
    np.testing.assert_allclose(distance, -0.05)
    np.testing.assert_allclose(np.abs(direction), [0.0, np.pi])


# --- the floor's push -----------------------------------------------------------------------------------------------


def test_crate_pushed_at_an_angle():
    source = "Hibbeler & Gupta, Engineering Mechanics, Example 8.1 p. 305"
    force = np.radians(30)
    push = footing.floor_push(
        20 * 9.81 / GRAVITY,
        0.0,
        0.4,
        push_ahead=80 * np.cos(force),
        push_down=80 * np.sin(force),
        push_x=-0.4,
        push_height=0.2,
    )
    check("footing", "crate pushed at 30 degrees: friction (N)", -push.along, 69.3, 0.001, source, COMPANION)
    check("footing", "crate pushed at 30 degrees: normal force (N)", push.normal, 236.2, 0.001, source, COMPANION)
    check(
        "footing",
        "crate pushed at 30 degrees: where the normal acts (mm)",
        1000 * push.place,
        -9.08,
        0.001,
        source,
        COMPANION,
    )


def test_car_speeding_up_a_grade():
    """Weights as masses under our own g; 1 g is 32.2 ft/s2 in the book."""
    source = "Meriam & Kraige, Engineering Mechanics: Dynamics, Sample Problem 6/1"
    known = MEMORY + "; inputs read, recomputation agrees"
    weight, wheels = 3220.0, np.array([(60.0, 30.0), (60.0, -30.0), (-60.0, 30.0), (-60.0, -30.0)])
    push = footing.floor_push(weight / GRAVITY, 0.0, 24.0, 44.0**2 / (2 * 200) * GRAVITY / 32.2, np.arctan(0.1))
    check("footing", "car up a grade: tractive force (lb)", push.along, 804, 0.001, source, known)
    loads = wheel_loads(wheels, push.normal, push.place, 0.0).loads
    check("footing", "car up a grade: front axle (lb)", loads[:2].sum(), 1441, 0.001, source, known)
    check("footing", "car up a grade: rear axle (lb)", loads[2:].sum(), 1763, 0.001, source, known)


@settings(deadline=None)
@given(st.floats(-0.1, 0.1), st.floats(0.05, 0.5))
def test_pressure_point_reaches_the_edge_at_the_limit(x, height):
    ahead, back = 0.15 - x, 0.15 + x
    assert footing.floor_push(8.0, x, height, -braking_limit(ahead, height)).place == pytest.approx(0.15)
    assert footing.floor_push(8.0, x, height, braking_limit(back, height)).place == pytest.approx(-0.15)
    for slope in (-0.1, 0.2):
        up = footing.floor_push(8.0, x, height, braking_limit(back, height, slope), slope)
        assert up.place == pytest.approx(-0.15)


def test_pushing_moves_the_pressure_point_back_to_front():
    still = footing.floor_push(10.0, 0.02, 0.2)
    assert (still.normal, still.along, still.place) == pytest.approx((98.0665, 0.0, 0.02))
    held = footing.floor_push(10.0, 0.02, 0.2, push_ahead=-20.0, push_height=0.1)  # pushing against another robot
    assert held.along == pytest.approx(20.0) and held.place == pytest.approx(0.02 - 20 * 0.1 / 98.0665)
    pressed = footing.floor_push(10.0, 0.0, 0.2, push_down=10.0, push_x=0.3)
    assert pressed.place == pytest.approx(10 * 0.3 / 108.0665)


# --- wheels ---------------------------------------------------------------------------------------------------------


def test_three_wheeled_truck():
    """The box's centre is 540 mm behind the front wheel, 625 mm ahead of the axle, 515 and 195 mm beside its wheels."""
    source = (
        "three-wheeled truck with a 103 kg box, worked answer of a statics problem (homeworksource 1024868), g = 9.8"
    )
    wheels = 1e-3 * np.array([(540.0, 0.0), (-625.0, 515.0), (-625.0, -195.0)])
    loads = wheel_loads(wheels, 103 * 9.8, 0.0, 0.0).loads
    for what, got, expected in zip(("front wheel", "wheel A", "wheel B"), loads, (541.52, 128.50, 339.38)):
        check("footing", f"three-wheeled truck, {what} (N)", got, expected, 0.001, source, READ)


def test_four_wheels_share_in_two_directions():
    """On a rectangle the share of each wheel is 1/4 + x/(2 wheelbase) + y/(2 track), while no wheel lifts."""
    shares = wheel_loads(SQUARE, 1.0, 0.03, -0.02).loads
    for (x, y), share in zip(SQUARE, shares):
        check(
            "footing",
            f"share of the wheel at {x:g}, {y:g}",
            share,
            0.25 + np.sign(x) * 0.03 / 0.6 + np.sign(y) * -0.02 / 0.64,
            1e-12,
            "equal springs under a rigid rectangle: moments about its two middle lines",
            RECOMPUTED,
        )


@settings(deadline=None, max_examples=200)
@given(st.lists(SPOT, min_size=3, max_size=6, unique=True), st.floats(0, 1), st.floats(0, 1), st.floats(0, 1))
def test_loads_equal_non_negative_least_squares(spots, a, b, c):
    """Equal springs that can't pull: the loads with the least sum of squares that balance. scipy finds them by
    penalty.
    """
    try:
        assume(ConvexHull(spots).volume > 5e-3)
    except QhullError:
        return
    weights = np.resize([a**4, b**4, c**4], len(spots)) + 1e-3  # often near an edge, where wheels lift
    x, y = weights @ np.array(spots) / weights.sum()
    loads = wheel_loads(spots, 1.0, x, y).loads
    stiff = 1e4
    rows = np.vstack([np.eye(len(spots)), stiff * np.ones(len(spots)), 10 * stiff * np.array(spots).T])
    reference, _ = nnls(rows, np.concatenate([np.zeros(len(spots)), stiff * np.array([1.0, 10 * x, 10 * y])]))
    np.testing.assert_allclose(loads, reference, atol=1e-3)
    assert loads @ loads == pytest.approx(reference @ reference, abs=1e-4)


@settings(deadline=None)
@given(SPOT, st.floats(1.0, 300.0))
def test_loads_balance_the_weight(point, weight):
    for spots in (SQUARE, TRIANGLE):
        result = wheel_loads(spots, weight, *point)
        assert result.loads.sum() == pytest.approx(weight) and np.all(result.loads >= 0)
        inside = nearest_edge(footprint(spots), *point)[0]
        assert result.tips == (inside < -1e-9)
        if inside > 0:
            assert result.loads @ spots / weight == pytest.approx(point, abs=1e-9)


def test_a_tipping_robot_rests_on_the_edge():
    result = wheel_loads(SQUARE, 100.0, [0.3, 0.3, 0.0], [0.0, 0.3, 0.0])
    np.testing.assert_array_equal(result.tips, [True, True, False])
    np.testing.assert_allclose(result.loads[0], [50, 50, 0, 0], atol=1e-9)
    np.testing.assert_allclose(result.loads[1], [100, 0, 0, 0], atol=1e-9)
    np.testing.assert_allclose(result.loads[2], 25.0)


def test_on_the_edge_it_does_not_tip_yet():
    on, over = wheel_loads(SQUARE, 100.0, 0.15, 0.0), wheel_loads(SQUARE, 100.0, 0.1501, 0.0)
    assert not on.tips and over.tips
    np.testing.assert_allclose(on.loads, over.loads, atol=1e-9)


def test_a_wheel_off_the_floor_at_rest_leaves_no_braking():
    for direction in (0.0, 1.0, np.pi, -2.0):
        assert first_lift(SQUARE, 0.12, 0.13, 0.3, direction) == 0.0


def test_near_a_corner_the_far_wheel_lifts_before_anything_tips():
    result = wheel_loads(SQUARE, 100.0, 0.12, 0.13)
    assert not result.tips and result.loads[3] == 0.0 and np.all(result.loads[:3] > 0)


@settings(deadline=None)
@given(st.floats(-0.06, 0.06), st.floats(-0.06, 0.06), st.floats(0.1, 0.6), ANGLE)
def test_first_lift_never_comes_after_tipping(x, y, height, angle):
    tips = braking_limit(room(footprint(TRIANGLE), x, y, angle), height)
    assume(tips > 1e-6)
    assert first_lift(TRIANGLE, x, y, height, angle) == pytest.approx(tips, abs=1e-6)  # on 3 wheels both are one
    limit = first_lift(SQUARE, x, y, height, angle)
    assert limit <= braking_limit(room(footprint(SQUARE), x, y, angle), height) + 1e-9
    shift = limit * height / GRAVITY
    at_limit = wheel_loads(SQUARE, 1.0, x + shift * np.cos(angle), y + shift * np.sin(angle)).loads
    assert at_limit.min() == pytest.approx(0.0, abs=1e-9)
    before = wheel_loads(SQUARE, 1.0, x + 0.99 * shift * np.cos(angle), y + 0.99 * shift * np.sin(angle)).loads
    assert limit == 0.0 or before.min() > 0


def test_straight_braking_of_a_symmetric_robot_lifts_both_rear_wheels_at_once():
    assert first_lift(SQUARE, 0.02, 0.0, 0.3, 0.0) == pytest.approx(braking_limit(0.13, 0.3))


def test_arrays_equal_scalars():
    x, y = np.linspace(-0.1, 0.1, 5), np.linspace(0.05, -0.05, 5)
    many, lifts = wheel_loads(SQUARE, 100.0, x, y), first_lift(SQUARE, x, y, 0.3, 0.5)
    pushes = footing.floor_push(10.0, x, 0.3, -2.0)
    for i in range(5):
        np.testing.assert_allclose(many.loads[i], wheel_loads(SQUARE, 100.0, x[i], y[i]).loads)
        assert lifts[i] == pytest.approx(first_lift(SQUARE, x[i], y[i], 0.3, 0.5))
        assert pushes.place[i] == pytest.approx(footing.floor_push(10.0, x[i], 0.3, -2.0).place)
    assert wheel_loads(SQUARE, 100.0, x[:, None], y).loads.shape == (5, 5, 4)


@pytest.mark.parametrize(
    "name, call",
    [
        ("wheels", lambda: footprint([(0.0, 0.0), (0.1, 0.0)])),
        ("wheels", lambda: footprint([(0.0, 0.0), (0.1, 0.1), (0.2, 0.2)])),
        ("wheels", lambda: footprint([(0.0, 0.0, 0.0), (0.1, 0.0, 0.0), (0.0, 0.1, 0.0), (0.1, 0.1, 0.1)])),
        ("wheels", lambda: footprint([(0.0, 0.0), (0.1, np.nan), (0.2, 0.2)])),
        ("x", lambda: room(footprint(SQUARE), np.nan, 0.0, 0.0)),
        ("direction", lambda: room(footprint(SQUARE), 0.0, 0.0, np.inf)),
        ("mass", lambda: footing.floor_push(0.0, 0.0, 0.1)),
        ("height", lambda: footing.floor_push(1.0, 0.0, -0.1)),
        ("push_down", lambda: footing.floor_push(1.0, 0.0, 0.1, push_down=-20.0)),
        ("wheels", lambda: wheel_loads(np.arange(18.0).reshape(9, 2) ** 1.1, 1.0, 0.0, 0.0)),
        ("push_down", lambda: footing.floor_push(1.0, 0.0, 0.1, push_down=[0.0, -20.0])),
        ("normal", lambda: wheel_loads(SQUARE, 0.0, 0.0, 0.0)),
        ("y", lambda: wheel_loads(SQUARE, 1.0, 0.0, np.nan)),
        ("height", lambda: first_lift(SQUARE, 0.0, 0.0, 0.0, 0.0)),
        ("wheels", lambda: first_lift(SQUARE[:2], 0.0, 0.0, 0.1, 0.0)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} (is|are) .*, but .* must be .*; .*\.$"):
        call()

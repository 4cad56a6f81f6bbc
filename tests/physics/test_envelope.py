"""Start cube and reach: shapes filled with points, and a folding robot by hand."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.distance import pdist

from mechbench.physics import envelope
from mechbench.physics.envelope import Box, Link, extent, link_end, reach_spare, sticking_out

FRAME = Box("frame", -0.20, 0.20, -0.18, 0.18, 0.0, 0.20)
PLACE, SIZE, ANGLE = st.floats(-0.5, 0.5), st.floats(0.01, 0.6), st.floats(-4.0, 4.0)


def points_of(link, count=4000):
    """Points all along the outline of a link, on both of its sides."""
    turn = np.linspace(0, 2 * np.pi, count)
    end = link_end(link)
    rim = [
        np.column_stack([x + link.thickness / 2 * np.cos(turn), z + link.thickness / 2 * np.sin(turn)])
        for x, z in ((link.x, link.z), end)
    ]
    both = np.vstack(rim)
    return np.vstack(
        [np.column_stack([both[:, 0], np.full(len(both), y), both[:, 1]]) for y in (link.y_low, link.y_high)]
    )


@settings(deadline=None)
@given(PLACE, PLACE, SIZE, ANGLE, st.floats(0.0, 0.1), PLACE, SIZE)
def test_extent_of_a_link_equals_its_outline(x, z, length, angle, thickness, y, width):
    link = Link("arm", x, z, length, angle, thickness, y, y + width)
    cloud, reach = points_of(link), extent([link])
    assert (reach.x_low, reach.y_low, reach.z_low) == pytest.approx(tuple(cloud.min(axis=0)), abs=1e-6)
    assert (reach.x_high, reach.y_high, reach.z_high) == pytest.approx(tuple(cloud.max(axis=0)), abs=1e-6)


@settings(deadline=None)
@given(st.lists(st.tuples(PLACE, SIZE, PLACE, SIZE), min_size=1, max_size=5), ANGLE)
def test_widest_equals_the_longest_of_all_pairs_of_corners(boxes, angle):
    shapes = [Box(str(i), x, x + dx, y, y + dy, 0.0, 0.1) for i, (x, dx, y, dy) in enumerate(boxes)]
    arm = Link("arm", 0.0, 0.3, 0.4, angle, 0.0, -0.05, 0.05)
    corners = [(x, y) for s in shapes for x in (s.x_low, s.x_high) for y in (s.y_low, s.y_high)]
    corners += [(x, y) for x in (0.0, link_end(arm)[0]) for y in (-0.05, 0.05)]
    reach, (xs, ys) = extent([*shapes, arm]), zip(*corners)
    assert reach.widest == pytest.approx(pdist(corners).max())
    assert (reach.x_low, reach.x_high, reach.y_low, reach.y_high) == pytest.approx((min(xs), max(xs), min(ys), max(ys)))
    assert (reach.z_low, reach.z_high) == pytest.approx((min(0.0, link_end(arm)[1]), max(0.3, link_end(arm)[1])))


def test_arm_that_folds():
    """Two links of 350 mm pivoted 380 mm up: folded onto each other they fit the cube, raised they do not."""

    def robot(first, second):
        lower = Link("lower link", -0.15, 0.38, 0.35, first, 0.04, -0.03, 0.03)
        return [FRAME, lower, Link("upper link", *link_end(lower), 0.35, second, 0.04, -0.03, 0.03)]

    folded, out = robot(0.0, np.pi), robot(np.radians(60), np.radians(60))
    assert sticking_out(folded, 0.45, 0.45, 0.45) == ()
    assert [(p.name, p.axis, p.end) for p in sticking_out(out, 0.45, 0.45, 0.45)] == [
        ("upper link", "z", "high"),
        ("lower link", "z", "high"),
    ]
    height, level = reach_spare(out, 1.0, 1.0)
    assert height == pytest.approx(1.0 - (0.38 + 0.70 * np.sin(np.radians(60)) + 0.02))
    assert level == pytest.approx(1.0 - np.hypot(0.40, 0.36))  # across the frame


def test_which_part_sticks_out_by_how_much():
    roller, hook = Box("roller", 0.20, 0.27, -0.1, 0.1, 0.02, 0.08), Box("hook", -0.22, -0.2, 0.0, 0.02, 0.1, 0.47)
    parts = {(p.name, p.axis, p.end): p.by for p in sticking_out([FRAME, roller, hook], 0.45, 0.45, 0.45)}
    assert parts == pytest.approx(
        {
            ("roller", "x", "high"): 0.04,
            ("hook", "x", "low"): 0.04,
            ("frame", "x", "low"): 0.02,
            ("hook", "z", "high"): 0.02,
        }
    )
    drawn_in = Box("roller", 0.16, 0.23, -0.1, 0.1, 0.02, 0.08)
    low_hook = Box("hook", -0.22, -0.2, 0.0, 0.02, 0.1, 0.45)
    assert sticking_out([FRAME, drawn_in, low_hook], 0.45, 0.45, 0.45) == ()


def test_under_the_floor_and_exactly_full():
    assert sticking_out([Box("cube", -0.2, 0.25, 0.0, 0.45, 0.0, 0.45)], 0.45, 0.45, 0.45) == ()
    (only,) = sticking_out([Box("skid", 0.0, 0.1, 0.0, 0.1, -0.01, 0.1)], 0.45, 0.45, 0.45)
    assert (only.axis, only.end, only.by) == ("z", "low", pytest.approx(0.01))


@settings(deadline=None)
@given(PLACE, PLACE, st.floats(0.1, 0.9))
def test_pushing_the_robot_about_changes_nothing_level(dx, dy, limit):
    def at(x, y):
        shapes = [Box("a", x, x + 0.4, y, y + 0.3, 0.0, 0.2), Link("b", x, 0.2, 0.5, 0.5, 0.02, y, y + 0.05)]
        return extent(shapes).widest, {(p.name, p.axis, p.end): p.by for p in sticking_out(shapes, limit, limit, limit)}

    here, there = at(0.0, 0.0), at(dx, dy)
    assert here[0] == pytest.approx(there[0])
    assert here[1] == pytest.approx(there[1])


def test_of_a_swing_the_worst_angle_counts():
    swing = np.radians(np.linspace(0, 180, 181))
    arm = Link("arm", 0.0, 0.3, 0.4, swing, 0.04, -0.02, 0.02)
    reach = extent([FRAME, arm])
    assert reach.z_high.shape == reach.widest.shape == (181,)
    for i in (0, 45, 120):
        one = extent([FRAME, Link("arm", 0.0, 0.3, 0.4, swing[i], 0.04, -0.02, 0.02)])
        assert (reach.x_high[i], reach.z_high[i], reach.widest[i]) == pytest.approx(
            (one.x_high, one.z_high, one.widest)
        )
    parts = {(p.name, p.axis): p.by for p in sticking_out([FRAME, arm], 0.6, 0.6, 0.45)}
    assert parts["arm", "z"] == pytest.approx(0.3 + 0.4 + 0.02 - 0.45)
    assert parts["arm", "x"] == pytest.approx(0.42 + 0.20 - 0.6)


@pytest.mark.parametrize(
    "name, call",
    [
        ("shapes", lambda: extent([])),
        ("x_high of frame", lambda: Box("frame", 0.1, 0.0, 0.0, 0.1, 0.0, 0.1)),
        ("z_low of frame", lambda: Box("frame", 0.0, 0.1, 0.0, 0.1, np.nan, 0.1)),
        ("length of arm", lambda: Link("arm", 0.0, 0.0, -0.1, 0.0, 0.0, 0.0, 0.0)),
        ("thickness of arm", lambda: Link("arm", 0.0, 0.0, 0.1, 0.0, -0.1, 0.0, 0.0)),
        ("angle of arm", lambda: Link("arm", 0.0, 0.0, 0.1, np.inf, 0.0, 0.0, 0.0)),
        ("y_high of arm", lambda: Link("arm", 0.0, 0.0, 0.1, 0.0, 0.0, 0.1, 0.0)),
        ("x_limit", lambda: sticking_out([FRAME], 0.0, 0.4, 0.4)),
        ("z_limit", lambda: sticking_out([FRAME], 0.4, 0.4, -0.4)),
        ("height_limit", lambda: reach_spare([FRAME], 0.0, 1.0)),
        ("level_limit", lambda: envelope.reach_spare([FRAME], 1.0, 0.0)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} (is|are) .*, but .* must be .*; .*\.$"):
        call()

"""The balance picture: places to scale, one arrow of weight and braking, and the same verdict as the sizing."""

import numpy as np
import pytest

from tests.drawing.read_back import corners, pictured

LOOSE = {"raised_mass": 3.0, "raised_height": 0.9}
GRIPS = {"wheels": "traction_80"}  # so well that it tips before its wheels slip


def drawn(values=None, **turns):
    return pictured("balance", values or {}, **turns)


def tip_of(arrow):
    """Where an arrow ends: its outline begins at the tail and has the tip fourth."""
    return arrow.patch.get_xy()[3]


@pytest.mark.parametrize("ramp", [0.0, 0.4, np.pi / 4])
@pytest.mark.parametrize("values", [{}, {"raised_forward": -0.4}, {"raised_forward": 0.4, "wheelbase": 0.1}])
def test_centre_of_gravity_lies_where_the_sizing_says_seen_from_the_front_wheel(values, ramp):
    picture, report, now = drawn(values, ramp=ramp)
    to_scale = np.diff(picture.side.transData.transform([(0, 0), (1, 1)]), axis=0).ravel()
    assert to_scale[0] == pytest.approx(to_scale[1])
    edge, centre = (np.ravel(mark.get_data()) for mark in (picture.edge, picture.centre))
    seen = centre - edge
    along, up = np.array([np.cos(ramp), -np.sin(ramp)]), np.array([np.sin(ramp), np.cos(ramp)])
    assert seen @ up == pytest.approx(report.good["centre_height"])
    assert now.wheelbase / 2 + seen @ along == pytest.approx(report.good["centre_forward"])
    middle = corners(picture.raised)[:4].mean(axis=0) - edge
    assert (middle @ up, now.wheelbase / 2 + middle @ along) == pytest.approx((now.raised_height, now.raised_forward))


def test_without_braking_the_arrow_points_straight_down_whatever_the_floor():
    for ramp in (0.0, 0.3, 0.6):
        picture, _, _ = drawn(braking_now=0.0, ramp=ramp)
        assert tip_of(picture.press)[0] == pytest.approx(np.ravel(picture.centre.get_data())[0])
        assert not picture.push.patch.get_visible()


@pytest.mark.parametrize("values", [GRIPS, LOOSE, {"raised_forward": 0.2}])
def test_the_arrow_reaches_the_edge_just_at_the_braking_that_the_sizing_gives(values):
    limit = drawn(values)[1].good["braking"]
    picture, _, _ = drawn(values, braking_now=limit)
    assert tip_of(picture.press) == pytest.approx(np.ravel(picture.edge.get_data()), abs=1e-9)
    assert "It stands" in drawn(values, braking_now=0.99 * limit)[0].told.get_text()
    assert "It tips" in drawn(values, braking_now=1.01 * limit)[0].told.get_text()


def test_it_begins_to_tip_at_the_tilt_that_the_sizing_gives():
    wide = LOOSE | {"raised_forward": 0.0, "track": 0.4}  # so that it does not tip sideways first
    limit = drawn(wide)[1].good["tilt"]
    for share, words in ((0.98, "It stands"), (1.02, "It tips")):
        picture, _, _ = drawn(wide, braking_now=0.0, ramp=share * limit)
        assert words in picture.told.get_text()


def test_a_low_robot_slips_before_it_tips():
    picture, report, _ = drawn({"raised_mass": 0.0}, braking_now=9.0)
    assert report.good["grip"] < 9.0 < report.good["braking"] and "slip" in picture.told.get_text()


def test_a_robot_that_falls_at_rest_is_told_so():
    assert "backwards" in drawn({"forward": -0.2, "wheelbase": 0.2}, braking_now=0.0)[0].told.get_text()
    picture, report, _ = drawn({"forward": 0.2, "wheelbase": 0.2}, braking_now=0.0)
    assert report.good["braking"] < 0 and "It tips" in picture.told.get_text()
    assert picture.here.get_data()[1][0] == 0 and not picture.ahead.line.get_visible()


@pytest.mark.parametrize("values", [{}, {"raised_height": 0.3}, {"raised_mass": 5.0}])
def test_the_mark_stands_on_the_curve_and_the_lines_are_those_of_the_sizing(values):
    picture, report, now = drawn(values)
    (x,), (y,) = picture.here.get_data()
    assert y == pytest.approx(report.good["braking"]) and x == pytest.approx(1000 * now.raised_height)
    assert y == pytest.approx(np.interp(x, *picture.tips.get_data()), rel=2e-3)
    assert picture.slips.get_data()[1][0] == pytest.approx(report.good["grip"])
    assert picture.wanted.get_data()[1][0] == pytest.approx(now.braking_wanted)


@pytest.mark.parametrize("turns", [{"ramp": np.pi / 4}, {"braking_now": 10.0}])
@pytest.mark.parametrize(
    "values",
    [
        {"raised_height": 1.0, "raised_forward": 0.4},
        {"raised_height": 1.0, "raised_forward": -0.4, "wheelbase": 0.45},
        {"raised_height": 0.05},
        {"wheelbase": 0.1},
        {"height": 0.4},
        {"forward": -0.2, "mass": 30.0},
    ],
)
def test_robot_and_words_stay_in_view_at_the_ends_of_the_sliders(values, turns):
    picture, _, _ = drawn(values, **turns)
    (left, right), (low, high) = picture.side.get_xlim(), picture.side.get_ylim()
    points = np.vstack([corners(part) for part in (picture.body, *picture.wheels, picture.raised)])
    assert (
        left < points[:, 0].min()
        and points[:, 0].max() < right
        and low < points[:, 1].min()
        and points[:, 1].max() <= high
    )
    renderer, page = picture.figure.canvas.get_renderer(), picture.figure.bbox
    words = [
        text for text in (picture.told, picture.height.text, picture.ahead.text, picture.push.text) if text.get_text()
    ]
    boxes = [text.get_window_extent(renderer) for text in words]
    plot = picture.limits.get_tightbbox(renderer)
    for one, box in zip(words, boxes):
        assert page.x0 <= box.x0 and page.y0 <= box.y0 and box.y1 <= page.y1 and box.x1 <= plot.x0 + 2, one.get_text()
    pairs = [(a, b) for i, a in enumerate(boxes) for b in boxes[:i] if a.padded(-1.5).overlaps(b.padded(-1.5))]
    assert not pairs


@pytest.mark.parametrize("height", [0.1, 0.14, 0.16, 0.18, 0.2, 0.3, 0.5, 0.67, 0.8, 1.0])
def test_the_words_of_the_push_do_not_cover_the_bodys_upper_edge(height):
    for braking in (0.5, 3.0, 10.0):
        picture, _, _ = drawn({"raised_height": height}, braking_now=braking)
        renderer = picture.figure.canvas.get_renderer()
        words = picture.push.text.get_bbox_patch().get_window_extent(renderer)
        body = picture.body.patch.get_window_extent(renderer)
        over = words.x0 < body.x1 and body.x0 < words.x1
        assert not (over and words.y0 < body.y1 < words.y1)

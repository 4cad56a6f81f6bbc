"""The linkage's picture shows the links to scale and closed, its angles are true, and the torques are those of the
sizing.
"""

import numpy as np
import pytest

import mechbench as mb
from mechbench.catalog import sizing_of
from mechbench.drawing.palette import LIGHT
from mechbench.drawing.picture import Screen
from mechbench.mechanisms.linkage.picture import LinkagePicture, joints
from tests.drawing.read_back import corners, ends, motion_of, pictured, state

# A parallelogram; the bench of the lesson begins with it.
EQUAL = {
    "input": 0.15,
    "coupler": 0.08,
    "output": 0.15,
    "ground": 0.08,
    "start": np.radians(45),
    "turn": np.radians(90),
    "tilt": np.radians(-90),
    "arm_length": 0.26,
}
STATES = [
    {},
    EQUAL,
    {**EQUAL, "coupler": 0.11},
    {"branch": "crossed"},
    {"arm_angle": np.radians(60)},
    {"arm_length": 0.6},
]


def drawn(place=0.3, **values):
    return pictured("linkage", values, place=place)


@pytest.mark.parametrize("values, place", [*zip(STATES, (0.0, 0.37, 1.0, 0.5, 0.8, 0.2))])
def test_links_are_as_long_as_asked_and_hang_together(values, place):
    picture, _, now = drawn(place, **values)
    (pivot, pin), (first, far), (foot, top) = (ends(part) for part in (picture.input, picture.coupler, picture.output))
    assert np.hypot(*(pin - pivot)) == pytest.approx(now.input) and np.hypot(*(far - first)) == pytest.approx(
        now.coupler
    )
    assert np.hypot(*(top - foot)) == pytest.approx(now.output) and np.hypot(*(foot - pivot)) == pytest.approx(
        now.ground
    )
    assert first == pytest.approx(pin) and top == pytest.approx(far)
    assert np.hypot(*(np.subtract(*ends(picture.arm)))) == pytest.approx(now.arm_length)


def test_opposite_links_of_equal_length_keep_the_couplers_direction():
    told = {drawn(place, **EQUAL)[0].told.get_text().split("\n")[1].split(",")[0] for place in (0.0, 0.4, 1.0)}
    assert told == {"coupler points -90 deg"}


def test_the_path_is_that_of_the_tip_and_rises_as_the_sizing_says():
    for place in (0.0, 1.0):
        picture, report, _ = drawn(place, **EQUAL)
        x, y = picture.path.get_data()
        assert y[-1] - y[0] == pytest.approx(report.good["rise"])
        assert ends(picture.arm)[1] == pytest.approx([x[int(-place)], y[int(-place)]])


def test_the_angle_between_coupler_and_output_is_drawn_as_it_is_told():
    for values in STATES:
        for place in (0.0, 1.0):
            picture, _, _ = drawn(place, **values)
            centre, points = ends(picture.coupler)[1], np.column_stack(picture.between.get_data())
            first, last = points[0] - centre, points[-1] - centre
            drawn_angle = np.degrees(np.arccos(first @ last / np.hypot(*first) / np.hypot(*last)))
            told = float(picture.told.get_text().split(": ")[-1].removesuffix(" deg"))
            assert drawn_angle <= 90.001 and drawn_angle == pytest.approx(told, abs=0.51)


def test_torques_are_those_of_the_sizing():
    for values in ({}, EQUAL, {**EQUAL, "payload": 2.0}, {"drive": "slim_planetary_74"}):
        picture, report, now = drawn(**values)
        _, asked = picture.asked.get_data()
        assert np.max(np.abs(asked)) == pytest.approx(report.good["worst_torque"], rel=0.01)
        assert picture.can.get_data()[1][0] - np.max(asked) == pytest.approx(report.good["spare"], rel=0.01)
    strong = drawn()[0].can.get_data()[1][0]
    assert strong == pytest.approx(drawn(payload=1.0)[0].can.get_data()[1][0], rel=0.01), (
        "what the drive gives does not hang on the load"
    )


def test_where_the_links_do_not_meet_it_says_so_and_draws_no_path():
    picture, report, now = drawn(1.0, **{**EQUAL, "coupler": 0.01})
    assert np.isinf(report.good["time"]) and "do not meet" in picture.stuck.get_text()
    assert "do not meet" in picture.told.get_text() and not picture.between.get_visible()
    x, _ = picture.path.get_data()
    meets = joints(now, np.linspace(now.start, now.start + now.turn, x.size))["meets"]
    assert (np.isnan(x) == ~meets).all() and 0 < meets.sum() < x.size
    assert drawn(**EQUAL)[0].stuck.get_text() == ""


def test_the_mark_follows_the_slider():
    for place, angle in ((0.0, 45.0), (0.5, 90.0), (1.0, 135.0)):
        assert drawn(place, **EQUAL)[0].here.get_data()[0][0] == pytest.approx(angle)


@pytest.mark.parametrize(
    "name, ends_of_slider",
    [
        ("input", (0.01, 0.2)),
        ("coupler", (0.01, 0.3)),
        ("output", (0.01, 0.3)),
        ("ground", (0.01, 0.3)),
        ("arm_length", (0.02, 0.6)),
        ("payload", (0.02, 2.0)),
        ("turn", (np.radians(5), np.radians(270))),
        ("tilt", (-np.pi, np.pi)),
        ("arm_angle", (-np.pi, np.pi)),
        ("start", (-np.pi, np.pi)),
    ],
)
def test_all_stays_in_view_at_both_ends_of_each_slider_and_apart_from_the_words(name, ends_of_slider):
    for value in ends_of_slider:
        found, screen = state(sizing_of("linkage"), {**EQUAL, name: value}), Screen(LinkagePicture, LIGHT)
        for place in (0.0, 1.0):
            screen.image(*found, {"place": place})
            picture = screen.picture
            points = np.vstack(
                [corners(part) for part in (picture.input, picture.coupler, picture.output, picture.arm, picture.piece)]
            )
            (left, right), (low, high) = picture.side.get_xlim(), picture.side.get_ylim()
            renderer = picture.figure.canvas.get_renderer()
            words = [
                text.get_window_extent(renderer).transformed(picture.side.transData.inverted())
                for text in (picture.told, picture.weight.text)
            ]
            assert left < points[:, 0].min() and points[:, 0].max() < right and points[:, 1].max() < high
            assert words[0].y1 < points[:, 1].min() and not words[0].overlaps(words[1])
            assert left <= words[1].x0 and words[1].x1 <= right and words[1].y0 >= low


def test_the_scale_stands_still_while_the_linkage_turns():
    bench = mb.bench("linkage", EQUAL)
    screen = Screen(LinkagePicture, LIGHT)
    views = set()
    for place in np.linspace(0, 1, 11):
        screen.image(bench.report, bench._now, {"place": place})
        views.add((*screen.picture.side.get_xlim(), *screen.picture.side.get_ylim()))
    assert len(views) == 1


def test_it_moves_through_its_turn_in_the_time_found():
    moves, report, _ = motion_of("linkage", EQUAL)
    assert moves.seconds == pytest.approx(report.good["time"]) and moves.told.startswith("It arrives after ")
    place = moves.extra["place"]
    assert place[0] == 0 and place[-1] == pytest.approx(1) and np.all(np.diff(place) >= 0)


def test_links_that_do_not_meet_stand_and_say_so():
    moves, report, _ = motion_of("linkage", {**EQUAL, "coupler": 0.01})
    assert report.good["time"] == np.inf and set(moves.extra["place"]) == {0.0}
    assert moves.told == "It can't move: on the way the links do not meet."


@pytest.mark.parametrize("branch, plate", [("open", True), ("crossed", False)])
def test_a_parallel_arm_has_its_bars_and_its_plate_named(branch, plate):
    """Its opposite links are equal; put together crossed, the same links turn the coupler, and carry no plate."""
    words = repr(mb.labelled("linkage", **EQUAL, branch=branch))
    assert ("coupler, the plate" in words) == ("input, a bar" in words) == ("output, a bar" in words) == plate
    assert "plate" not in repr(mb.labelled("linkage", **{**EQUAL, "coupler": 0.07}))

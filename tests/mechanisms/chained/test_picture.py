"""The chained arm's picture: links to scale, the second one turned by the chain, and the torques that the sizing
found.
"""

import numpy as np
import pytest

from mechbench.catalog import sizing_of
from mechbench.drawing.palette import LIGHT
from mechbench.drawing.picture import Screen
from mechbench.mechanisms.chained.picture import ChainedPicture
from tests.drawing.read_back import corners, ends, motion_of, pictured, state

SAME = {
    "base": "chain_18",
    "elbow": "chain_18",
    "start_angle": np.radians(-30),
    "end_angle": np.radians(80),
    "second_angle": 0.0,
}
STATES = [
    {},
    SAME,
    {**SAME, "elbow": "chain_9"},
    {**SAME, "base": "chain_9"},
    {"first_length": 0.6, "second_length": 0.2},
]


def drawn(place=0.3, **values):
    return pictured("chained", values, place=place)


@pytest.mark.parametrize("values", STATES)
def test_links_are_as_long_as_asked_and_hang_together(values):
    picture, _, now = drawn(0.7, **values)
    (pivot, elbow), (start, tip) = ends(picture.first), ends(picture.second)
    assert pivot == pytest.approx([0, 0], abs=1e-9) and start == pytest.approx(elbow)
    assert np.hypot(*elbow) == pytest.approx(now.first_length) and np.hypot(*(tip - start)) == pytest.approx(
        now.second_length
    )


@pytest.mark.parametrize(
    "values, share", [(SAME, 0.0), ({**SAME, "elbow": "chain_9"}, -1.0), ({**SAME, "base": "chain_9"}, 0.5)]
)
def test_the_second_link_turns_by_one_less_the_ratio_and_the_mark_of_its_sprocket_with_it(values, share):
    turned = []
    for place in (0.0, 1.0):
        picture, _, _ = drawn(place, **values)
        begin, end = ends(picture.second)
        across, up = np.diff(picture.marks[1].get_data(), axis=1)[:, 0]
        turned.append(np.degrees([np.arctan2(*(end - begin)[::-1]), np.arctan2(up, across)]))
        still = np.array(picture.marks[0].get_data())
        assert still[0] == pytest.approx([0, 0], abs=1e-9), "the sprocket on the frame never turns"
    assert np.subtract(turned[1], turned[0]) == pytest.approx([110 * share] * 2)


def test_angles_are_told_from_level_and_against_the_first_link():
    told = drawn(1.0, **{**SAME, "elbow": "chain_9"})[0].told.get_text()
    assert told == "first link: 80 deg from level\nsecond link: -80 deg from level\nsecond against first: -160 deg"


def test_the_path_ends_where_the_sizing_says():
    picture, report, now = drawn(1.0)
    x, y = picture.path.get_data()
    assert (x[-1], y[-1] + now.pivot_height) == pytest.approx((report.good["end_ahead"], report.good["end_height"]))
    assert ends(picture.second)[1] == pytest.approx([x[-1], y[-1]])


@pytest.mark.parametrize(
    "values", [{}, SAME, {"payload": 1.5}, {"start_angle": np.radians(150), "end_angle": np.radians(-20)}]
)
def test_torques_are_those_of_the_sizing(values):
    picture, report, _ = drawn(**values)
    asked, can = picture.asked.get_data()[1], picture.can.get_data()[1][0]
    assert np.max(np.abs(asked)) == pytest.approx(report.good["worst_torque"], rel=0.01)
    assert can == pytest.approx(drawn()[0].can.get_data()[1][0], rel=0.01), (
        "what the drive gives does not hang on the swing"
    )


def test_the_mark_on_the_curve_follows_the_slider_also_on_the_way_down():
    for values in ({}, {"start_angle": np.radians(150), "end_angle": np.radians(-20)}):
        for place in (0.0, 0.5, 1.0):
            picture, _, now = drawn(place, **values)
            at, value = (data[0] for data in picture.here.get_data())
            degrees, asked = picture.asked.get_data()
            assert at == pytest.approx(np.degrees(now.start_angle + place * (now.end_angle - now.start_angle)))
            assert value == pytest.approx(asked[np.argmin(np.abs(degrees - at))], abs=0.01)


@pytest.mark.parametrize(
    "name, values",
    [
        ("first_length", (0.1, 0.7)),
        ("second_length", (0.1, 0.7)),
        ("pivot_height", (0.0, 0.7)),
        ("payload", (0.05, 2.0)),
        ("second_angle", (-np.pi, 2 * np.pi)),
        ("start_angle", (-np.pi / 2, np.radians(269))),
        ("end_angle", (-np.pi / 2, 1.5 * np.pi)),
        ("base", ("chain_9", "chain_34")),
        ("elbow", ("chain_9", "chain_34")),
    ],
)
def test_all_stays_in_view_at_both_ends_of_each_slider_and_apart_from_the_words(name, values):
    for value in values:
        found, screen = state(sizing_of("chained"), {name: value}), Screen(ChainedPicture, LIGHT)
        for place in (0.0, 1.0):
            screen.image(*found, {"place": place})
            picture = screen.picture
            points = np.vstack(
                [corners(part) for part in (picture.first, picture.second, picture.base, picture.elbow, picture.piece)]
            )
            (left, right), (_, high) = picture.side.get_xlim(), picture.side.get_ylim()
            renderer = picture.figure.canvas.get_renderer()
            words = [
                text.get_window_extent(renderer).transformed(picture.side.transData.inverted())
                for text in (picture.told, picture.weight.text)
            ]
            assert left < points[:, 0].min() and points[:, 0].max() < right and points[:, 1].max() < high
            assert words[0].y1 < min(points[:, 1].min(), picture.floor.get_data()[1][0]) and not words[0].overlaps(
                words[1]
            )
            assert left <= words[1].x0 and words[1].x1 <= right and words[0].x1 <= right


def test_it_moves_through_its_swing_in_the_time_found():
    moves, report, _ = motion_of("chained", SAME)
    assert moves.seconds == pytest.approx(report.good["time"]) and moves.told.startswith("It arrives after ")
    place = moves.extra["place"]
    assert place[0] == 0 and place[-1] == pytest.approx(1) and np.all(np.diff(place) >= 0)


def test_a_stalled_one_stops_on_its_way():
    moves, report, now = motion_of("chained", {"start_angle": "-90 deg", "payload": 4.0})
    assert report.good["time"] == np.inf and 0 < moves.extra["place"][-1] < 1
    angle = now.start_angle + (now.end_angle - now.start_angle) * moves.extra["place"][-1]
    assert float(moves.told.removeprefix("It stalls at ").split()[0]) == pytest.approx(np.degrees(angle), abs=0.1)

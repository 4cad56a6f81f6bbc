"""The scissor's picture opens its cells to scale, and its pushes are those of the sizing."""

import numpy as np
import pytest

from tests.drawing.read_back import corners, motion_of, pictured


def drawn(raised=0.3, **values):
    return pictured("scissor", values, raised=raised)


@pytest.mark.parametrize("raised", [0.0, 0.5, 1.0])
@pytest.mark.parametrize("cells", ["1", "4"])
def test_every_arm_keeps_its_length_and_its_angle(raised, cells):
    picture, _, now = drawn(raised, cells=cells)
    angle = now.start + raised * (now.end - now.start)
    for arms in (picture.front, picture.rear):
        x, y = arms.get_data()
        assert len(x) == int(cells) + 1
        assert np.hypot(np.diff(x), np.diff(y)) == pytest.approx(now.arm)
        assert np.abs(np.diff(y) / now.arm) == pytest.approx(np.sin(angle))


def test_the_platform_rises_by_what_the_sizing_says():
    low, report, _ = drawn(0.0)
    high, _, _ = drawn(1.0)
    tops = [picture.front.get_data()[1].max() for picture in (low, high)]
    assert tops[0] == pytest.approx(report.good["folded"])
    assert tops[1] - tops[0] == pytest.approx(report.good["rise"])


def test_the_foot_slides_in_and_the_arrow_pushes_it():
    low, report, _ = drawn(0.0)
    high, _, _ = drawn(1.0)
    feet = [picture.rear.get_data()[0][0] for picture in (low, high)]
    assert feet[1] < feet[0]
    lengths = [np.ptp(picture.push.patch.get_xy()[:, 0]) for picture in (low, high)]
    assert lengths[1] < lengths[0], "at the start the arrow is long"
    assert low.push.text.get_text() == f"{report.good['push']:.3g} N"


@pytest.mark.parametrize("values", [{}, {"cells": "4", "load": 0.8}, {"start": 0.1}])
def test_the_push_at_the_start_is_the_sizings(values):
    picture, report, _ = drawn(0.0, **values)
    assert picture.asked.get_data()[1][0] == pytest.approx(report.good["push"])
    assert picture.here.get_data()[1][0] == pytest.approx(report.good["push"])


def test_what_the_drive_gives_is_more_than_asked_by_the_spare_torque():
    picture, report, now = drawn(load=1.0)
    given, asked = picture.can.get_data()[1], picture.asked.get_data()[1]
    assert (given[0] - asked[0]) * now.drum_radius == pytest.approx(report.good["spare"])


@pytest.mark.parametrize(
    "values, gets_up", [({"load": 0.4}, True), ({"load": 2.0}, False), ({"placement": "arm"}, False)]
)
def test_the_curves_cross_where_it_does_not_get_off_the_ground(values, gets_up):
    picture, report, _ = drawn(**values)
    angles, given = picture.can.get_data()
    asked = np.interp(angles, *picture.asked.get_data())
    assert (np.min(given - asked) > 0) == gets_up == (report.good["spare"] > 0)


def test_a_rod_that_does_not_reach_draws_no_curve():
    picture, report, _ = drawn(placement="horn", horn=0.01, rod=0.02)
    assert not np.isfinite(report.good["time"])
    assert len(picture.can.get_data()[0]) == 0


def test_a_drive_far_stronger_than_needed_is_told_in_words():
    picture, _, _ = drawn(placement="screw")
    assert "the drive can give" in picture.told.get_text()
    assert picture.pushes.get_ylim()[1] < 3 * picture.asked.get_data()[1].max()


@pytest.mark.parametrize(
    "values",
    [
        {"cells": "4", "arm": 0.5},
        {"cells": "1", "arm": 0.5},
        {"arm": 0.06},
        {"end": np.radians(80)},
        {"start": np.radians(3)},
    ],
)
@pytest.mark.parametrize("raised", [0.0, 1.0])
def test_scissor_and_load_stay_in_view(values, raised):
    picture, _, _ = drawn(raised, **values)
    points = np.vstack(
        [corners(part) for part in (picture.platform, picture.load, picture.floor)] + [picture.push.patch.get_xy()]
    )
    (left, right), (low, high) = picture.side.get_xlim(), picture.side.get_ylim()
    assert (
        left < points[:, 0].min()
        and points[:, 0].max() < right
        and low < points[:, 1].min()
        and points[:, 1].max() < high
    )


def test_it_rises_in_the_time_found_and_then_does_what_the_sizing_says():
    for values in ({}, {"load": 0.1, "placement": "screw"}):
        moves, report, _ = motion_of("scissor", values)
        raised = moves.extra["raised"]
        arrived = int(np.argmax(raised >= 1 - 1e-9))
        assert moves.times[arrived] == pytest.approx(report.good["time"], abs=0.006)
        stays = report.good["holds"] >= report.good["worst_torque"]
        assert raised[-1] == pytest.approx(1 if stays else 0)
        assert ("it stays:" if stays else "it falls in") in moves.told


def test_a_rod_that_does_not_reach_moves_nothing():
    moves, report, _ = motion_of("scissor", {"placement": "horn", "rod": 0.05})
    assert report.good["time"] == np.inf
    assert set(moves.extra["raised"]) == {0.0} and "does not reach" in moves.told

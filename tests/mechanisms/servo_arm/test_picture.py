"""The picture of an arm on servos shows arm, servo and gears to scale, and the torques that the sizing found."""

import numpy as np
import pytest

from mechbench.catalog import sizing_of
from mechbench.engine.inputs import Tables
from tests.drawing.read_back import corners, motion_of, pictured


def drawn(place=0.3, **values):
    return pictured("servo_arm", values, place=place)[:2]


def test_the_tip_runs_on_a_circle_and_the_worst_torque_is_the_top_of_the_curve():
    picture, report = drawn(length=0.3, payload=0.3)
    assert np.hypot(*picture.path.get_data()) == pytest.approx(0.3)
    asked, can = picture.asked.get_data()[1], picture.can.get_data()[1]
    assert np.max(np.abs(asked)) == pytest.approx(report.good["worst_torque"], rel=0.01)
    assert can[0] - np.max(asked) == pytest.approx(report.good["spare"], rel=0.01)


def test_gears_touch_at_their_pitch_circles_and_turn_by_their_teeth():
    """Two gears of module m stand m (z1 + z2) / 2 apart (ISO 53's pitch circles; definition)."""
    pictures = [drawn(place, last_stage="nylon_18_to_34")[0] for place in (0.0, 1.0)]
    module = 0.001
    for picture in pictures:
        assert picture.driver.centre == pytest.approx([0.0, -module * (18 + 34) / 2])
        tips = np.hypot(*corners(picture.driven).T)
        assert tips.max() == pytest.approx(module * (34 / 2 + 1), rel=1e-6)
    before, after = pictures
    turned = [getattr(after, wheel).angle - getattr(before, wheel).angle for wheel in ("driver", "driven")]
    assert turned[1] == pytest.approx(np.radians(110)) and turned[0] == pytest.approx(-turned[1] * 34 / 18)


def test_wheels_are_drawn_only_where_there_are_some_and_a_belt_only_between_pulleys():
    bare, geared = drawn()[0], drawn(last_stage="nylon_18_to_34")[0]
    assert not bare.driver.patch.get_visible() and geared.driver.patch.get_visible()
    assert not geared.belt.get_visible()
    looped = drawn(last_stage=_first("pulleys"))[0]
    assert looped.belt.get_visible() and looped.driver.centre[1] < 0


def _first(table):
    names = Tables(sizing_of("servo_arm"))("last_stages").names
    wheel = Tables(sizing_of("servo_arm")).kit.table(table).names[0]
    return next(name for name in names if name.startswith(f"{wheel}_to_"))


def test_the_mark_follows_the_slider():
    for place, angle in ((0.0, -20.0), (0.5, 35.0), (1.0, 90.0)):
        assert drawn(place)[0].here.get_data()[0][0] == pytest.approx(angle)


def test_it_moves_through_its_swing_in_the_time_found_and_stalls_where_it_stalls():
    moves, report, _ = motion_of("servo_arm", {"payload": 0.3})
    assert moves.seconds == pytest.approx(report.good["time"])
    place = moves.extra["place"]
    assert place[0] == 0 and place[-1] == pytest.approx(1) and np.all(np.diff(place) >= 0)
    heavy, report, _ = motion_of("servo_arm", {"payload": 1.4, "start_angle": "-60 deg"})
    assert report.good["time"] == np.inf and "stalls" in heavy.told


def test_the_line_of_what_it_holds_for_long_is_where_the_verdict_turns():
    """The largest moment that just meets its holding share lies on that line."""
    picture, report = drawn(payload=0.3)
    line = picture.long.get_data()[1][0]
    assert report.good["worst_torque"] / line == pytest.approx(report.good["share"] / report.bounds["share"])

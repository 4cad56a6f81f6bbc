"""The arm's picture shows the arm to scale, and the torques that the sizing found."""

import numpy as np
import pytest

from tests.drawing.read_back import motion_of, pictured


def drawn(place=0.3, **values):
    return pictured("arm", values, place=place)[:2]


@pytest.mark.parametrize("length", [0.2, 0.4, 0.85])
def test_the_tip_runs_on_a_circle_of_the_arms_length_and_stays_in_view(length):
    picture, _ = drawn(length=length)
    x, y = picture.path.get_data()
    assert np.hypot(x, y) == pytest.approx(length)
    assert picture.half > length and picture.half < 2.2 * length


def test_worst_torque_is_the_top_of_the_curve():
    # where a spring goes slack the curve jumps, and the picture's finer points see the edge better: 5 % there
    for values, near in (({}, 0.01), ({"spring": "spring_0_50_70"}, 0.05), ({"payload": 1.0, "length": 0.6}, 0.01)):
        picture, report = drawn(**values)
        _, asked = picture.asked.get_data()
        assert np.max(np.abs(asked)) == pytest.approx(report.good["worst_torque"], rel=near)
        _, can = picture.can.get_data()
        assert can[0] - np.max(asked) == pytest.approx(report.good["spare"], rel=near)


def test_a_spring_takes_torque_away_and_is_drawn_only_when_chosen():
    bare, _ = drawn()
    helped, _ = drawn(spring="spring_0_50_70")
    assert not bare.spring.get_visible() and helped.spring.get_visible()
    assert np.max(helped.asked.get_data()[1]) < np.max(bare.asked.get_data()[1])
    assert helped.alone.get_data()[1] == pytest.approx(bare.alone.get_data()[1])


def test_the_mark_follows_the_slider():
    for place, angle in ((0.0, -40.0), (0.5, 30.0), (1.0, 100.0)):
        picture, _ = drawn(place)
        assert picture.here.get_data()[0][0] == pytest.approx(angle)


def test_it_moves_through_its_swing_in_the_time_found():
    moves, report, _ = motion_of("arm", {"payload": 0.9})
    assert moves.seconds == pytest.approx(report.good["time"])
    place = moves.extra["place"]
    assert place[0] == 0 and place[-1] == pytest.approx(1) and np.all(np.diff(place) >= 0)

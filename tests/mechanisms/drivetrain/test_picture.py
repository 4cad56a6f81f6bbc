"""The drivetrain's picture shows the run that the sizing found."""

import numpy as np
import pytest

from mechbench.mechanisms.drivetrain.sizing import Drivetrain
from mechbench.physics.motion import rotor_at
from tests.drawing.read_back import motion_of, pictured


def drawn(moment=0.2, **values):
    return pictured("drivetrain", values, moment=moment)[:2]


@pytest.mark.parametrize("values", [{}, {"gearbox": "planetary_25"}, {"distance": 5.0, "mass": 10.0}])
def test_the_run_ends_at_the_time_found_with_the_distance_gone(values):
    picture, report = drawn(**values)
    time, speed = picture.speed.get_data()
    assert time[-1] == pytest.approx(report.good["time"]) and speed[-1] == 0.0
    # The curve is drawn through places along the way; the peak lies between two of them.
    assert 0.98 * report.good["top_speed"] < np.max(speed) < report.good["top_speed"] * (1 + 1e-9)
    gone = np.sum(0.5 * (speed[1:] + speed[:-1]) * np.diff(time))
    assert gone == pytest.approx(report.values["distance"], rel=0.03)


def test_forces_point_ahead_while_speeding_up_and_back_while_braking():
    start, _ = drawn(0.1)
    end, _ = drawn(0.97)
    assert start.told.get_text().startswith("speeding up") and end.told.get_text().startswith("braking")
    assert np.max(start.push.patch.get_xy()[:, 0]) > 0.02 and np.min(end.push.patch.get_xy()[:, 0]) < -0.02


def test_wheels_stand_on_the_floor_and_turn_as_far_as_they_roll():
    picture, report = drawn(0.5)
    spokes = picture.spokes[0].get_data()
    assert np.nanmin(spokes[1]) > 0
    assert float(picture.told.get_text().split("\n")[1].split()[0]) < report.values["distance"]


def spoke(picture):
    """Angle of the first spoke of a wheel, from its middle outwards."""
    x, y = (values[:2] for values in picture.spokes[0].get_data())
    return np.arctan2(y[1] - y[0], x[1] - x[0])


def test_it_runs_in_its_own_time_and_strokes_in_the_floor_stay_where_they_are():
    moves, report, now = motion_of("drivetrain")
    assert moves.seconds == pytest.approx(report.good["time"])
    for time in (0.0, 0.3, 0.7, moves.seconds):
        extra = moves.at(time)
        assert extra["moment"] == pytest.approx(time / moves.seconds)
        picture, *_ = pictured("drivetrain", {}, **extra)
        gone = float(picture.told.get_text().split("\n")[1].split()[0])
        x = picture.marks.get_data()[0][::3]
        assert np.diff(x) == pytest.approx(0.1) and np.mod(x[0] + gone + 0.05, 0.1) == pytest.approx(0.05, abs=0.006)


def test_wheels_that_slip_turn_further_than_they_roll():
    """By hand: spokes of a robot that grips have turned by the way over the radius, those of one that slips more."""
    grips, slips = {"start_limit": "2 A"}, {}
    for values, further in ((grips, False), (slips, True)):
        moves, report, now = motion_of("drivetrain", values)
        assert ("slip" in moves.told) == further
        picture, *_ = pictured("drivetrain", values, **moves.at(moves.seconds))
        turned = now.distance / now.wheel.radius
        off = np.mod(-spoke(picture) - turned + np.pi / 5, 2 * np.pi / 5) - np.pi / 5
        assert (abs(off) > 0.05) == further


def test_the_words_say_that_wheels_slip_as_long_as_they_do():
    """By hand: what the wheels turn further than the robot rolls is all there when they grip; who holds back never
    slips.
    """
    _, report, now = pictured("drivetrain", {}, moment=0.0)
    slips, done = report.good["slips"], Drivetrain.run(now)
    rolled = np.interp([slips, done.time[0, 0]], done.t[0, 0], done.q[0, 0])
    further = rotor_at(done, np.array([slips, done.time[0, 0]])) - rolled
    assert further[0] == pytest.approx(further[1], abs=0.05) and further[0] > 0.1  # rad
    share = slips / report.good["time"]
    for moment, expected in ((0.1 * share, True), (0.9 * share, True), (1.1 * share, False), (0.9, False)):
        assert ("wheels slip" in drawn(moment)[0].told.get_text()) == expected
        assert "wheels slip" not in drawn(moment, start_limit="2 A")[0].told.get_text()


def test_at_the_end_it_stands_and_nothing_pushes_it():
    picture, _ = drawn(1.0)
    assert picture.told.get_text().startswith("standing")
    assert not picture.push.patch.get_visible() and picture.push.text.get_text() == ""

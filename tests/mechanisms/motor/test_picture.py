"""The motor's picture shows what the sizing found."""

import numpy as np
import pytest

import mechbench as mb
from mechbench.drawing.palette import LIGHT
from mechbench.drawing.picture import Screen
from mechbench.mechanisms.motor.picture import MotorPicture
from tests.drawing.read_back import pictured


def drawn(system="metric", **values):
    """The picture of a state, and the report behind it."""
    return pictured("motor", values, system=system)[:2]


def points(line):
    return tuple(float(v[0]) for v in line.get_data())


@pytest.mark.parametrize(
    "values", [{}, {"load_torque": 0.1}, {"motor": "stout", "load_torque": 0.2}, {"count": "3", "load_torque": 0.2}]
)
def test_point_of_work_lies_on_the_motors_line(values):
    picture, report = drawn(**values)
    speed, torque = points(picture.point)
    line_speed, line_torque = picture.gives.get_data()
    assert np.interp(torque, line_torque, line_speed) == pytest.approx(speed, rel=1e-6)
    assert speed == pytest.approx(report.good["speed"] * 60 / (2 * np.pi))
    assert points(picture.efficiency_point)[1] == pytest.approx(100 * report.good["efficiency"])


def test_curves_peak_where_the_textbook_says():
    """Most power at half the free speed; best efficiency (1 - sqrt(I_0 / I_s))^2 (Hughes & Drury, section 3.4, from
    memory).

    On a battery the resistances of winding and battery add up, and efficiency is told from the battery's terminals.
    """
    picture, _ = drawn()
    speed, power = picture.power.get_data()
    assert speed[np.argmax(power)] == pytest.approx(speed.max() / 2, rel=0.02)
    assert max(power) == pytest.approx(100)
    _, efficiency = picture.efficiency.get_data()
    on_terminals = (1 - np.sqrt(0.36 * (16 / 8.8) / 16.7)) ** 2
    assert np.nanmax(efficiency) == pytest.approx(100 * on_terminals, rel=0.03)


def test_warming_meets_the_limit_when_the_report_says_so():
    picture, report = drawn(load_torque=0.12)
    time, rise = picture.warms.get_data()
    keep = np.isfinite(rise)
    assert np.interp(report.good["hot_after"], time[keep], rise[keep]) == pytest.approx(90.0, rel=2e-3)
    assert points(picture.reached) == pytest.approx((report.good["hot_after"], 90.0))
    cool, report = drawn(load_torque=0.02)
    assert report.good["hot_after"] == np.inf and len(cool.reached.get_data()[0]) == 0


def test_a_motor_that_stalls_says_so():
    picture, report = drawn(load_torque=0.4)
    assert points(picture.point)[0] == 0.0 and "stalled" in picture.told.get_text()
    assert picture.torque_axes.get_ylim()[1] > 0.4


def test_us_units_on_the_axes_and_in_the_lines():
    picture, _ = drawn("us", load_torque=0.1)
    assert picture.torque_axes.get_title(loc="left") == "Torque [lbf·in]"
    # 1 N·m = 8.8507 lbf·in (NIST SP 811, Appendix B.8, rounded)
    assert points(picture.point)[1] == pytest.approx(0.88507, rel=1e-4)


def test_axes_do_not_jump_while_the_load_moves():
    bench, screen, seen = mb.bench("motor"), Screen(MotorPicture, LIGHT), set()
    for torque in np.linspace(0.0, 0.15, 31):
        bench.set(load_torque=torque)
        screen.image(bench.report, bench._now, {})
        picture = screen.picture
        seen.add(
            (
                *picture.torque_axes.get_xlim(),
                *picture.torque_axes.get_ylim(),
                *picture.heat_axes.get_xlim(),
                *picture.heat_axes.get_ylim(),
            )
        )
    assert len(seen) == 1

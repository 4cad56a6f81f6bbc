"""The intake sizing: roller, wall and drive act as they do in physics; the traps of the scenario are found."""

import numpy as np
import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.engine.inputs import Tables

SIZING = sizing_of("intake")


def good(**values):
    return judge(SIZING, values).good


def test_carrying_meets_the_motor_line():
    """Power balance of the whole chain: battery, motor, gearbox, roller, wall and ramp, from the shown findings
    alone.
    """
    found = good(squeeze="4 mm")
    drag = 0.25 * found["press"] + 0.150 * 9.80665 * (np.sin(np.radians(20)) + 0.25 * np.cos(np.radians(20)))
    amps = drag * 0.025 / (12.25 * 0.88**2 * 0.0198)
    assert found["press"] == pytest.approx(1300 * 0.004)
    assert found["current"] == pytest.approx(amps + 0.36, rel=0.02)
    turning = found["surface"] / 0.025 * 12.25
    assert turning * 0.0198 + found["current"] * 16 / 8.8 == pytest.approx(16.7 - 0.11 * found["current"], rel=0.02)


def test_the_turning_speed_of_the_roller_in_rpm():
    """50 mm across and 1.6 m/s: 1.5 x 1.6 m/s over a way round of 157.08 mm is 15.279 turns a second, 916.7 rpm."""
    roller = Tables(SIZING)("gripping_rollers")
    name = roller.names[int(np.argmin(np.abs(roller.columns["diameter"] - 0.050)))]
    assert roller.row(name)["diameter"] == pytest.approx(0.050)
    found = good(roller=name, ground_speed="1.6 m/s")
    assert found["roller_needed"] * 60 / (2 * np.pi) == pytest.approx(916.73, abs=0.01)
    assert found["roller_speed"] * 60 / (2 * np.pi) == pytest.approx(found["surface"] / (np.pi * 0.050) * 60)
    assert SIZING.finding("roller_speed").unit == SIZING.finding("roller_needed").unit == "rpm"
    rolling = good(roller=name, ground_speed="1.6 m/s", other="rolling")
    assert rolling["roller_needed"] == pytest.approx(2 * found["roller_needed"])  # the piece is half as fast
    # What turns as fast as needed takes the piece in 1.5 times as fast as the robot drives.
    assert found["ratio"] / 1.5 == pytest.approx(found["roller_speed"] / found["roller_needed"])


def test_a_wall_needs_more_grip_than_a_second_roller():
    wall, rolling, two = (good(squeeze="6 mm", other=o) for o in ("wall", "rolling", "roller"))
    assert wall["nip"] < rolling["nip"] < two["nip"]
    assert rolling["surface"] / rolling["ratio"] == pytest.approx(2 * wall["surface"] / wall["ratio"]), (
        "it rolls at half the speed"
    )
    assert two["press"] == pytest.approx(wall["press"] / 2) and two["nip_angle"] < wall["nip_angle"]
    assert two["jam_current"] == pytest.approx(wall["jam_current"])


def test_four_millimetres_against_a_wall_fail_on_a_bad_day_only():
    report = judge(SIZING, {"squeeze": "4 mm"})
    assert report.good_margin["nip"] > 0 > report.bad_margin["nip"]
    assert judge(SIZING).works_on_bad_day


def test_the_servo_without_end_is_too_slow_for_a_moving_robot():
    slow, driven = good(drive="turner"), good()
    assert slow["ratio"] < 0.5 < 1.5 < driven["ratio"]
    assert good(drive="turner", ground_speed="0 m/s")["ratio"] == np.inf


def test_a_hard_roller_slides():
    assert good(roller="hard_25")["nip"] < 1


def test_how_deep_it_could_be_squeezed_is_where_the_nip_has_nothing_to_spare():
    for other in ("wall", "roller", "rolling"):
        deepest = good(other=other)["deepest"]
        if deepest < 0.012:
            assert good(other=other, squeeze=deepest)["nip"] == pytest.approx(1, abs=1e-6)


def test_a_gap_that_is_too_wide_to_coast_over():
    near, far = good(next_start="60 mm"), good(next_start="400 mm", ground_speed="0.3 m/s", drive="slim_planetary_56")
    assert near["coasts"] > 0 > far["coasts"]


def test_more_motors_turn_faster_under_load():
    one, two = (
        good(squeeze="8 mm", drive="slim_planetary_4_6"),
        good(squeeze="8 mm", drive="slim_planetary_4_6", count="2"),
    )
    assert two["surface"] > one["surface"] and two["jam_current"] < one["jam_current"]


def test_a_ramp_too_steep_for_the_press():
    assert good(slope="70 deg", squeeze="0.5 mm")["climbs"] < 1 < good(slope="70 deg", squeeze="4 mm")["climbs"]

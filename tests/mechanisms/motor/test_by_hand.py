"""Motors at a load by hand, with motors and battery of the kit by hand: running, stalled, and never too hot."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from mechbench.catalog import judge
from mechbench.mechanisms.powertrain import at_load
from tests.mechanisms.by_hand_swing import (
    BATTERY_OHMS,
    BATTERY_VOLTS,
    BRISK,
    FEATHER,
    KIT,
    MOST_AMPS,
    STOUT,
    agrees,
    at_least,
    at_most,
    judged,
    sagged,
    seconds_until_too_hot,
    stalled_amps,
)

RPM = 2 * math.pi / 60


def by_hand(motor, count, load, start_rise=0.0):
    """All findings of `count` motors that share a load and turn: torque = k (I - I_0), voltage = R I + k speed."""
    amps = load / count / motor.constant + motor.idle
    volts = sagged(count * amps)
    speed = (volts - motor.ohms * amps) / motor.constant
    return {
        "speed": speed,
        "current": amps,
        "hot_after": seconds_until_too_hot(motor, amps, start_rise),
        "spare": count * motor.constant * (stalled_amps(motor, count) - motor.idle) - load,
        "power": load * speed,
        "efficiency": load * speed / (volts * count * amps),
        "volts": volts,
        "mass": count * motor.mass,
    }


def test_two_motors_that_start_warm():
    report = judge(
        "motor",
        {
            "load_torque": "0.15 N·m",
            "speed_wanted": "2500 rpm",
            "run_time": "50 s",
            "motor": "brisk",
            "count": "2",
            "start_rise": "20 K",
        },
        KIT,
    )
    hand = by_hand(BRISK, 2, 0.15, 20.0)
    # Each carries 0.075 N·m; R = 14 V / 8 A, k = (0.187 / 7.8 + (14 - 0.2 x 1.75) / 568.7) / 2 = 0.023988 N·m/A.
    assert hand["current"] == pytest.approx(0.075 / 0.023988 + 0.2, rel=1e-4) and 0 < hand["hot_after"] < 200
    agrees(report, hand)
    judged(
        report,
        {"speed": 2500 * RPM, "current": MOST_AMPS, "hot_after": 50.0},
        {
            "speed": at_least(hand["speed"], 2500 * RPM),
            "current": at_most(hand["current"], 18.0),
            "hot_after": at_least(hand["hot_after"], 50.0),
        },
    )


def test_two_motors_that_stall():
    """0.2 N·m is more than two small motors give: they stand, draw what the winding lets through, do no work."""
    report = judge(
        "motor",
        {
            "load_torque": "0.2 N·m",
            "motor": "feather",
            "count": "2",
            "run_time": "12 s",
        },
        KIT,
    )
    amps = 15.8 / (2 * 0.10 + 14 / 3.5)  # two on one battery: its resistance feels both currents
    assert amps == pytest.approx(stalled_amps(FEATHER, 2))
    agrees(
        report,
        {
            "speed": 0.0,
            "current": amps,
            "hot_after": seconds_until_too_hot(FEATHER, amps),
            "spare": 2 * FEATHER.constant * (amps - 0.10) - 0.2,
            "power": 0.0,
            "efficiency": 0.0,
            "volts": BATTERY_VOLTS - BATTERY_OHMS * 2 * amps,
            "mass": 0.24,
        },
    )
    assert report.good["spare"] < 0 and report.good_margin["speed"] == -1.0


def test_three_motors_that_never_get_too_hot():
    """Even at the allowed rise the air takes more, 90 K / 3.2 K/W = 28 W, than the warm winding makes."""
    report = judge(
        "motor",
        {
            "load_torque": "0.3 N·m",
            "motor": "stout",
            "count": "3",
            "speed_wanted": "3600 rpm",
        },
        KIT,
    )
    hand = by_hand(STOUT, 3, 0.3)
    assert hand["current"] ** 2 * STOUT.ohms * (1 + 0.00393 * 90) < 90 / 3.2 and hand["hot_after"] == math.inf
    agrees(report, hand)
    assert report.good_margin["hot_after"] == math.inf


def test_without_a_load_only_the_motors_own_friction_is_turned():
    report = judge("motor", {"load_torque": 0.0, "motor": "brisk", "count": "2"}, KIT)
    agrees(report, by_hand(BRISK, 2, 0.0))
    assert report.good["current"] == pytest.approx(0.20) and report.good["power"] == report.good["efficiency"] == 0.0


def test_a_controller_that_holds_the_current_back():
    """One stout motor would draw 23 A standing on this battery; no more than 18 A come through."""
    good = judge("motor", {"motor": "stout", "load_torque": "0.3 N·m", "count": "1"}, KIT).good
    assert stalled_amps(STOUT, 1) > 22
    assert good["spare"] == pytest.approx(STOUT.constant * (MOST_AMPS - STOUT.idle) - 0.3, rel=1e-9)


@pytest.mark.parametrize("torque, amps, speed", [(0.57, 19.5, 151.25 / 0.03), (0.60, 20.5, 0.0)])
def test_a_load_that_asks_more_than_the_controller_gives_stands(torque, amps, speed):
    """k = 0.03 N·m/A, I_0 = 0.5 A: 0.57 N·m ask 19.5 A, 0.6 N·m ask 20.5 A, and 20 A are let through. On 200 V the
    motor of 2 ohm would turn with either: (200 - (2 + 0.5) 19.5) / 0.03 = 151.25 / 0.03 rad/s.
    """
    part = SimpleNamespace(resistance=2.0, torque_constant=0.03, free_current=0.5)
    supply = SimpleNamespace(open_circuit=200.0, resistance=0.5)
    volts, current, turning = at_load(part, 1, np.array([torque]), supply, 20.0)
    assert current[0] == pytest.approx(amps) and volts[0] == pytest.approx(200 - 0.5 * amps)
    assert turning[0] == pytest.approx(speed)

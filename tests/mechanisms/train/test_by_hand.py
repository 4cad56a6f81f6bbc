"""A gear train for a load by hand, with parts of the kit by hand.

Running and stalled, with gearboxes or last stage the weaker part.
"""

import math

import pytest

from mechbench.catalog import judge
from tests.mechanisms.by_hand_swing import (
    BRISK,
    CHAIN,
    FEATHER,
    GEAR,
    GEARBOX_STAGE,
    KIT,
    LINK_LOAD,
    LINK_OF_20,
    LINK_PLAY,
    MOST_AMPS,
    STOUT,
    agrees,
    at_least,
    at_most,
    driven_backwards,
    jammed,
    judged,
    sagged,
    seconds_until_too_hot,
    sprocket,
    stalled_amps,
    wheels,
)

DEG, RPM = math.pi / 180, 2 * math.pi / 60


def by_hand(motor, count, stages, ratio, load, carried, last_efficiency=1.0):
    """Findings of motors, gearboxes and last stage; `ratio` is that of the whole train, which bears `carried`."""
    efficiency = GEARBOX_STAGE**stages * last_efficiency
    driven = driven_backwards(GEARBOX_STAGE) ** stages * driven_backwards(last_efficiency)
    stall = stalled_amps(motor, count)
    amps = min(load / ratio / efficiency / count / motor.constant + motor.idle, stall)
    turning = (sagged(count * amps) - motor.ohms * amps) / motor.constant / ratio
    return {
        "speed": max(turning, 0.0) if amps < stall else 0.0,
        "current": amps,
        "hot_after": seconds_until_too_hot(motor, amps),
        "ratio": ratio,
        "efficiency": efficiency,
        "stall_torque": efficiency * ratio * count * motor.constant * (stall - motor.idle),
        # the load must first overcome the gears, then the friction that the idle current stands for, through the ratio
        "holds": count * motor.constant * motor.idle * ratio / driven,
        "torque_used": load / carried,
        **jammed(motor, count, ratio * efficiency, carried),
    }


def test_two_motors_through_gearboxes_and_a_chain_whose_gearboxes_are_the_weaker_part():
    """Two 5:1 gearboxes (one stage, 3.5 N·m each with a small motor) and sprockets of 30 and 36 teeth."""
    report = judge(
        "train",
        {
            "load_torque": "1.1 N·m",
            "speed_wanted": "300 rpm",
            "play_allowed": "4 deg",
            "run_time": "100 s",
            "motor": "brisk",
            "gearbox": "turn_5",
            "last_stage": "link_30_to_36",
            "count": "2",
        },
        KIT,
    )
    carried = 2 * 3.5 * 1.2 * CHAIN
    assert carried < LINK_LOAD * sprocket(36) / 2
    play = 1.8 * DEG / 1.2 + LINK_PLAY / (sprocket(36) / 2)  # [gearboxes] turn_5: backlash
    hand = by_hand(BRISK, 2, 1, 5 * 1.2, 1.1, carried, CHAIN) | {
        "play": play,
        "mass": 2 * (0.31 + 0.04) + wheels(LINK_OF_20, 30, 36),
    }
    assert 0 < hand["hot_after"] < math.inf
    agrees(report, hand)
    bounds = {"speed": 300 * RPM, "torque_used": 1.0, "current": MOST_AMPS, "hot_after": 100.0, "play": 4 * DEG}
    judged(
        report,
        bounds,
        {
            "speed": at_least(hand["speed"], 300 * RPM),
            "torque_used": at_most(1.1 / carried, 1.0),
            "current": at_most(hand["current"], 18.0),
            "hot_after": at_least(hand["hot_after"], 100.0),
            "play": at_most(play, 4 * DEG),
        },
    )


def test_three_large_motors_whose_chain_is_the_weaker_part():
    """Three 56:1 gearboxes (three stages, 22 N·m each with a large motor) on one pair of sprockets, 11 and 22 teeth."""
    report = judge(
        "train",
        {
            "load_torque": "12 N·m",
            "motor": "stout",
            "gearbox": "turn_56",
            "last_stage": "link_11_to_22",
            "count": "3",
        },
        KIT,
    )
    carried = LINK_LOAD * sprocket(22) / 2
    assert carried < 3 * 22.0 * 2 * CHAIN
    agrees(
        report,
        by_hand(STOUT, 3, 3, 112.0, 12.0, carried, CHAIN)
        | {
            "play": 2.6 * DEG / 2 + LINK_PLAY / (sprocket(22) / 2),  # [gearboxes] turn_56: backlash
            "mass": 3 * (0.62 + 3 * 0.04) + wheels(LINK_OF_20, 11, 22),
        },
    )


def test_three_large_motors_on_one_shaft_without_a_last_stage():
    """Three 14:1 gearboxes (two stages, 14 N·m each with a large motor) on one output: nothing else carries."""
    report = judge(
        "train",
        {
            "load_torque": "8 N·m",
            "motor": "stout",
            "gearbox": "turn_14",
            "last_stage": "none",
            "count": "3",
        },
        KIT,
    )
    hand = by_hand(STOUT, 3, 2, 14.0, 8.0, 3 * 14.0)
    assert hand["speed"] > 0 and hand["stall_torque"] > 8.0
    agrees(report, hand | {"play": 2.2 * DEG, "mass": 3 * (0.62 + 2 * 0.04)})


def test_a_chain_that_speeds_up_is_as_strong_as_its_driving_sprocket():
    """Its 500 N on 22 teeth, passed on to 9 teeth without losses: a little less than 500 N on the circle of 9 teeth."""
    report = judge(
        "train",
        {
            "load_torque": "2 N·m",
            "motor": "brisk",
            "gearbox": "turn_72",
            "last_stage": "link_22_to_9",
            "count": "2",
        },
        KIT,
    )
    carried = LINK_LOAD * sprocket(22) / 2 * 9 / 22
    assert carried < LINK_LOAD * sprocket(9) / 2 and carried < 2 * 11.0 * 9 / 22 * CHAIN
    agrees(
        report,
        by_hand(BRISK, 2, 3, 72 * 9 / 22, 2.0, carried, CHAIN)
        | {
            "play": 2.6 * DEG * 22 / 9 + LINK_PLAY / (sprocket(9) / 2),
            "mass": 2 * (0.31 + 3 * 0.04) + wheels(LINK_OF_20, 22, 9),
        },
    )


def test_a_pair_of_gears_after_one_gearbox_with_a_large_motor():
    """[spur_gears] module 1 mm, play 0.12 mm; nylon: 1.1 N·m and 3.6 g on 20 teeth. 90 teeth carry 4.95 N·m."""
    report = judge(
        "train",
        {
            "load_torque": "1.5 N·m",
            "motor": "brisk",
            "gearbox": "turn_14",
            "last_stage": "nylon_15_to_90",
            "count": "1",
        },
        KIT,
    )
    hand = by_hand(BRISK, 1, 2, 14 * 6, 1.5, 1.1 * 90 / 20, GEAR)
    agrees(
        report,
        hand
        | {
            "play": 2.2 * DEG / 6 + 0.12 / 45,  # [gearboxes] turn_14: backlash
            "mass": 0.31 + 2 * 0.04 + wheels(0.0036, 15, 90),
        },
    )
    assert hand["hot_after"] == math.inf


def test_two_motors_that_stall_without_a_last_stage():
    report = judge(
        "train",
        {
            "load_torque": "2.5 N·m",
            "motor": "feather",
            "gearbox": "turn_14",
            "count": "2",
            "run_time": "12 s",
        },
        KIT,
    )
    hand = by_hand(FEATHER, 2, 2, 14.0, 2.5, 2 * 7.0)
    assert hand["speed"] == 0.0 and hand["stall_torque"] < 2.5
    agrees(report, hand | {"play": 2.2 * DEG, "mass": 2 * (0.12 + 2 * 0.04)})
    assert report.good_margin["speed"] == -1.0
    assert report.good_margin["torque_used"] == pytest.approx(1 - 2.5 / 14)


def test_a_large_motor_stalls_where_its_controller_holds_it_back():
    """One stout motor would draw 23 A standing on this battery; the controller lets 18 A through."""
    given = {"motor": "stout", "gearbox": "turn_14", "last_stage": "none", "count": "1"}
    assert stalled_amps(STOUT, 1) > 22
    most = STOUT.constant * 14 * GEARBOX_STAGE**2 * (MOST_AMPS - STOUT.idle)
    below, over = (judge("train", given | {"load_torque": share * most}, KIT).good for share in (0.99, 1.01))
    assert below["stall_torque"] == over["stall_torque"] == pytest.approx(most, rel=1e-9)
    assert below["speed"] > 0 and below["current"] < MOST_AMPS
    assert over["speed"] == 0 and over["current"] == pytest.approx(1.01 * (MOST_AMPS - 0.60) + 0.60, rel=1e-9), "asked"


def test_strong_enough_for_the_load_and_broken_by_a_jam():
    """One stout motor behind 224:1, 24 N·m: held to 18 A when it is stuck, and that breaks the box."""
    report = judge("train", {"load_torque": "4 N·m", "motor": "stout", "gearbox": "turn_224", "count": "1"}, KIT)
    pushed = 224 * GEARBOX_STAGE**4 * STOUT.constant * (MOST_AMPS - 0.60)
    assert report.good["torque_used"] == pytest.approx(4 / 24)
    assert report.good["jam"] == pytest.approx(pushed / 24.0, rel=1e-9) and pushed > 3 * 24.0
    limited = report.good["safe_current"]
    assert 224 * GEARBOX_STAGE**4 * STOUT.constant * (limited - 0.60) == pytest.approx(24.0)

"""An arm on servos by hand: lever, straight line of a servo, and its move by an adaptive solver.

Two servos through nylon gears, one servo alone beyond its turn, one that turns without end, and one that stalls.
Nothing here calls the physics of mechbench; sources stand in tests/mechanisms/by_hand_moves.py.
"""

from dataclasses import replace
from math import cos, inf, radians, sin

import pytest
from pytest import approx

from mechbench.catalog import judge, sizing_of
from mechbench.engine.inputs import Tables
from tests.mechanisms.by_hand_moves import GRAVITY, KIT, QUICK, SERVO_RAIL, Piece, losses, move, on_servo_plate

DEG = radians(1)
# [servos] of tests/whole_robot/by_hand_kit/parts.toml: stall torque N·m, stall current A, s for 60 deg, travel rad
HEAVY = (2.9, 3.9, 0.21, 240 * DEG)
NIMBLE = (0.70, 2.4, 0.09, 240 * DEG)
TINY = (0.18, 0.6, 0.10, 160 * DEG)
HOLDING, PLAY = 0.35, 0.8 * DEG
RAIL, PAIR = 7.0, 6.5  # [servo_rail] current_limit, pair_limit
# [spur_gears] efficiency, allowed_on_20 of nylon, play at the pitch circle; module 1 mm
GEAR, NYLON_ON_20, GEAR_PLAY = 0.94, 1.1, 0.00012


def most_amps(count):
    """One servo's share of the rail: two share an output, all share the rail."""
    return min(PAIR / min(count, 2), RAIL / count)


def shaft_of(plate, count, ratio, driving, driven):
    """Servos side by side with one pair of gears behind them."""
    one = on_servo_plate(*plate[:3], limit=most_amps(count))
    return replace(
        one,
        resistance=one.resistance / count,
        constant=one.constant * ratio,
        rotor=one.rotor * count * ratio**2,
        driving=one.driving * driving,
        driven=one.driven * driven,
        limit=one.limit * count,
    )


def hand(v, plate, count, ratio=1.0, driving=1.0, driven=1.0, gears=inf, gear_play=0.0):
    """All findings of an arm whose worst place is level, or its end that is nearest to level."""
    stall, stall_amps, _, travel = plate
    start, end = v["start_angle"], v["end_angle"]
    moment = (v["payload"] + v["arm_mass"] / 2) * v["length"] * GRAVITY
    about_pivot = (v["payload"] + v["arm_mass"] / 3) * v["length"] ** 2
    level = 1.0 if start <= 0 <= end else max(abs(cos(start)), abs(cos(end)))
    worst = moment * level
    shaft = shaft_of(plate, count, ratio, driving, driven)
    piece = Piece(end - start, lambda q: moment * cos(start + q), lambda q: 0.0, lambda q: about_pivot)
    amps = min(SERVO_RAIL.volts / shaft.resistance, shaft.limit)
    full = shaft.driving * shaft.constant * amps
    able = full > max(moment * cos(start), 0.0)
    done = move(shaft, SERVO_RAIL, [piece], how=QUICK) if able else None
    share = worst / (count * stall * ratio * driving)
    high = 1.0 if start < 90 * DEG < end else max(sin(start), sin(end))
    return {
        "time": done.time if able else inf,
        "spare": full - worst,
        "share": share,
        "travel": ratio * (end - start) / travel,
        "current": done.motor_peak if able else amps,
        "strength": worst / gears,
        "droop": (PLAY / ratio + gear_play) * v["length"],
        "worst_torque": worst,
        "hold_current": count * stall_amps * min(share, 1.0),
        "jam": full / gears,
        "falls_with": moment * (high - min(sin(start), sin(end))),
    }


def agrees(report, by_hand):
    assert set(by_hand) == set(report.good), "each finding has its value by hand"
    for name, value in by_hand.items():
        rel = {"time": 1.5e-3, "current": 1e-6}.get(name, 1e-9)
        assert report.good[name] == approx(value, rel=rel, abs=1e-12), name


def judged(state, **texts):
    return judge("servo_arm", {**{name: float(value) for name, value in state.items()}, **texts}, KIT)


def test_two_servos_through_gears_from_below_level_to_past_the_top():
    """25 teeth drive 45. On one output two servos get half of the pair's limit each, less than they take to start."""
    state = dict(payload=0.62, arm_mass=0.14, length=0.31, start_angle=-35 * DEG, end_angle=95 * DEG)
    ratio = 45 / 25
    # one tooth's force is the same on both wheels; torque on the driven one is what it may carry
    gears = min(NYLON_ON_20 * 25 / 20 * ratio, NYLON_ON_20 * 45 / 20)
    driving, driven = losses(GEAR)
    found = hand(state, HEAVY, 2, ratio, driving, driven, gears, GEAR_PLAY / 0.0225)
    assert most_amps(2) < HEAVY[1] and found["current"] == approx(2 * most_amps(2))
    report = judged(
        state, servo="heavy", count="2", last_stage="nylon_25_to_45", time_wanted="2 s", droop_allowed="20 mm"
    )
    agrees(report, found)
    assert report.bounds == approx(
        {
            "time": 2.0,
            "spare": 0.0,
            "share": HOLDING,
            "travel": 1.0,
            "current": RAIL,
            "strength": 1.0,
            "droop": 0.020,
        }
    )
    for name in ("travel", "strength"):
        assert report.good_margin[name] == approx(1 - found[name]), name
    assert report.good_margin["share"] == approx((HOLDING - found["share"]) / HOLDING)
    assert report.good_margin["droop"] == approx((0.020 - found["droop"]) / 0.020)


def test_three_servos_share_the_rail():
    """A third of its limit is less than half of a pair's: each starts with 2.33 A, and no more is to spare."""
    state = dict(payload=0.9, arm_mass=0.2, length=0.28, start_angle=-30 * DEG, end_angle=60 * DEG)
    found = hand(state, HEAVY, 3)
    assert RAIL / 3 < PAIR / 2 < HEAVY[1] and found["current"] == approx(RAIL)
    agrees(judged(state, servo="heavy", count="3", last_stage="none"), found)


def test_one_servo_alone_holds_its_arm_away_from_level():
    """Between 20 and 80 degrees it is worst at 20; its own gears carry all that it gives, so nothing breaks."""
    state = dict(payload=0.12, arm_mass=0.05, length=0.22, start_angle=20 * DEG, end_angle=80 * DEG)
    agrees(judged(state, servo="nimble", last_stage="none"), hand(state, NIMBLE, 1))


def test_a_ratio_takes_the_servo_beyond_its_turn():
    """18 teeth drive 70: 110 degrees of the arm are 428 of the servo, which has 240."""
    state = dict(payload=0.35, arm_mass=0.08, length=0.30, start_angle=-20 * DEG, end_angle=90 * DEG)
    driving, driven = losses(GEAR)
    found = hand(state, NIMBLE, 1, 70 / 18, driving, driven, NYLON_ON_20 * 18 / 20 * 70 / 18, GEAR_PLAY / 0.035)
    assert found["travel"] == approx(70 / 18 * 110 / 240)
    report = judged(state, servo="nimble", last_stage="nylon_18_to_70")
    agrees(report, found)
    assert not report.works and report.good_margin["travel"] < 0


def test_a_servo_that_turns_without_end_knows_no_angle():
    state = dict(payload=0.1, arm_mass=0.05, length=0.2, start_angle=0.0, end_angle=60 * DEG)
    report = judged(state, servo="turner", last_stage="none")
    assert report.good["travel"] == inf and report.good_margin["travel"] == -inf and not report.works


def test_too_heavy_an_arm_stalls_where_it_starts():
    state = dict(payload=0.3, arm_mass=0.05, length=0.3, start_angle=0.0, end_angle=60 * DEG)
    found = hand(state, TINY, 1)
    assert found["time"] == inf and found["share"] > 1
    agrees(judged(state, servo="tiny", last_stage="none"), found)


@pytest.mark.parametrize("start, end, top, low", [(80, 180, 1.0, 0.0), (-40, 170, 1.0, -0.6427876)])
def test_a_fall_goes_from_the_highest_place_to_the_lower_end(start, end, top, low):
    """Sines from a table. Straight up is the top where the swing passes it; else its higher end."""
    state = dict(payload=0.3, arm_mass=0.1, length=0.25, start_angle=start * DEG, end_angle=end * DEG)
    assert judged(state).good["falls_with"] == approx((0.3 + 0.1 / 2) * 0.25 * GRAVITY * (top - low), rel=1e-6)


def test_level_is_the_worst_place_although_no_end_is_level():
    """The largest of 20 001 places by hand, and the same arm in a mirror."""
    state = dict(payload=0.3, arm_mass=0.1, length=0.25, start_angle=-33 * DEG, end_angle=71.3 * DEG)
    moment = (0.3 + 0.05) * 0.25 * GRAVITY
    by_hand = max(moment * cos((-33 + 104.3 * n / 20_000) * DEG) for n in range(20_001))
    one = judged(state)
    assert one.good["worst_torque"] == approx(by_hand, rel=1e-7)
    other = judged({**state, "start_angle": 213 * DEG, "end_angle": 108.7 * DEG})
    for name, value in one.good.items():
        assert other.good[name] == approx(value, rel=1e-6, abs=1e-9), name


def test_a_swing_of_no_angle_is_refused_in_a_sentence():
    with pytest.raises(ValueError, match="end_angle is the same as start_angle, but the arm must swing"):
        judge("servo_arm", {"start_angle": "20 deg", "end_angle": "20 deg"}, KIT)


def test_every_servo_on_the_shaft_weighs():
    """[servos.heavy] 80 g each, [spur_gears] 3.6 g for 20 teeth, by teeth squared."""
    sizing = sizing_of("servo_arm")
    picked = sizing.picked_mass({"servo": "heavy", "count": "2", "last_stage": "nylon_25_to_45"}, Tables(sizing, KIT))
    assert picked["servo"] == approx(0.16) and picked["last_stage"] == approx(0.0036 * (1.25**2 + 2.25**2))


def test_a_ratio_trades_time_for_torque():
    """Through 3 : 1 a servo turns three times as far for the same swing, and has a third of the torque to hold."""
    state = dict(payload=0.05, arm_mass=0.01, length=0.1, start_angle=0.0, end_angle=60 * DEG)
    slow = judged(state, servo="heavy", last_stage="nylon_18_to_54").good
    quick = judged(state, servo="heavy", last_stage="none").good
    assert slow["time"] > 2.5 * quick["time"] and slow["share"] == approx(quick["share"] / 3 / GEAR)
    assert slow["travel"] == approx(3 * quick["travel"])

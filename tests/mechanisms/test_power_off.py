"""Who stays up with the power off: what is held against what must be, on a bad day; common sense, no source."""

import pytest

import mechbench as mb
from mechbench.catalog import NAMES, judge, sizing_of
from mechbench.engine.inputs import Tables
from mechbench.engine.spec import HANGS, RAISES
from tests.drawing.read_back import motion_of
from tests.mechanisms.by_hand_handling import KIT

HOLDING = tuple(name for name in NAMES if sizing_of(name).ROLE in (RAISES, HANGS)) + ("gripper",)
BY_SERVOS = "gripper", "servo_arm"  # servos alone turn these, and nothing that they hold is counted


def told(name, kit=KIT, system="metric", **values):
    report = judge(name, values, kit)
    return report, sizing_of(name).power_off(report, system)


def test_whatever_raises_hangs_or_grips_says_whether_it_stays():
    assert set(HOLDING) == {"arm", "chained", "lift", "winch", "linkage", "scissor", "servo_arm", "gripper"}
    for name in NAMES:
        said = sizing_of(name).power_off(judge(name, {}))
        assert (said is not None) == (name in HOLDING), name


@pytest.mark.parametrize("name", [name for name in HOLDING if name not in BY_SERVOS])
def test_both_numbers_are_findings_and_the_answer_is_which_is_more_on_a_bad_day(name):
    sizing, answers = sizing_of(name), set()
    motor_picks = "drive" if name in ("scissor", "linkage") else "gearbox"
    for part in Tables(sizing, KIT)(next(f.table for f in sizing.FIELDS if f.name == motor_picks)).names:
        values = {motor_picks: part} | ({"ratchet": "none"} if name == "winch" else {})
        report, (stays, words) = told(name, **values)
        held, needed = (report.bad[finding] for finding in sizing.POWER_OFF)
        assert stays == (held >= needed) and " and " in words and words.endswith("is needed on a bad day")
        assert held <= report.good[sizing.POWER_OFF[0]] and needed >= report.good[sizing.POWER_OFF[1]]
        answers.add(stays)
    assert False in answers, "no train holds everything"


SHOWN = [name for name in HOLDING if name not in BY_SERVOS and "off" in motion_of(name, kit=KIT)[0].extra]


@pytest.mark.parametrize("name", SHOWN)
def test_what_is_said_of_the_move_agrees_with_that_verdict(name):
    """Where the verdict is that it falls, nobody reads beside the film that it stays up, and the other way round."""
    assert {"lift", "winch", "scissor"} == set(SHOWN)
    sizing, answers = sizing_of(name), set()
    motor_picks = "drive" if name == "scissor" else "gearbox"
    for part in Tables(sizing, KIT)(next(f.table for f in sizing.FIELDS if f.name == motor_picks)).names:
        for more in ({"ratchet": "none"}, {}) if name == "winch" else ({},):
            values = {motor_picks: part} | more
            _, (stays, _) = told(name, **values)
            moves, _, _ = motion_of(name, values, KIT)
            if "With the power off" in moves.told:
                assert ("it stays:" in moves.told) == stays, (values, moves.told)
                assert any(word in moves.told for word in ("falls: keep", "falls in", "sinks in")) != stays, (
                    values,
                    moves.told,
                )
                answers.add(stays)
    assert answers == {True, False}


def test_friction_holds_what_a_slow_gearbox_asks_and_not_what_a_quick_one_does():
    """Its weight asks 0.22 N·m. The idle torque of 0.6 A times some 0.033 N·m/A is more than 1.4 N·m behind 72 : 1, and
    about 0.1 N·m behind 5 : 1.
    """
    light = {"payload": "0.2 kg", "arm_mass": "0.05 kg", "length": "100 mm"}
    slow, quick = (told("arm", **light, motor="stout", gearbox=box)[1] for box in ("turn_72", "turn_5"))
    assert slow[0] and not quick[0]
    assert slow[1].startswith("friction alone, which a knock can loosen, holds ")


def test_a_ratchet_is_named_where_there_is_one():
    ratchet, none = (told("winch", **values)[1] for values in ({}, {"ratchet": "none"}))
    assert ratchet[0] and ratchet[1].startswith("the ratchet holds 26 N·m, and ")
    assert not none[0] and none[1].startswith("friction alone")


def test_a_drive_that_does_not_reach_is_held_by_nothing():
    """A thread too flat to turn back holds any weight, but a rod too short to be built in holds none."""
    assert told("scissor", placement="screw", lead="1 mm", screw_diameter="20 mm", thread_friction="0.3")[1][0]
    report, (stays, words) = told("scissor", placement="horn", drive="turner", rod="20 mm", horn="10 mm")
    assert report.bad["worst_torque"] == float("inf") and not stays and "unlimited is needed" in words


def test_a_servo_is_no_brake_and_units_are_those_asked_for():
    for name, needed, unit in (("gripper", "needed", "N"), ("servo_arm", "worst_torque", "N·m")):
        report, (stays, words) = told(name)
        assert not stays and mb.quantity.show(report.bad[needed], unit) in words
    assert "lbf·in" in told("lift", system="us")[1][1] and "lbf" in told("gripper", system="us")[1][1]

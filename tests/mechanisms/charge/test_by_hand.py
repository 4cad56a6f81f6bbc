"""A battery's charge by hand: charge over current, Ohm's law, the fuse as straight lines in logarithms.

tests/whole_robot/by_hand_kit/parts.toml: [battery] 15.8 V and 0.10 ohm, 14.1 V nearly empty, 0.17 ohm worn, 2.4 A·h;
[controller] 8.2 V; [spreads] friction 0.25 down, 0.15 up. A coulomb is an ampere for a second (SI Brochure, 9th
edition, from memory), so an ampere-hour is 3600 of them.
"""

import math

import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.engine.inputs import Tables
from tests.mechanisms.by_hand_handling import KIT, agree, at_least, bounds_agree, fuse_seconds, judged


def by_hand(amps, hours, usable, wanted):
    """All findings of a battery of so many ampere-hours at a current."""
    lasts = usable * hours * 3600 / amps
    return {
        "drawn": amps,
        "lasts": lasts,
        "volts": 15.8 - 0.10 * amps,
        "fuse_lasts": fuse_seconds(amps),
        "all_of_it": hours * 3600 / amps,
        "matches": lasts / wanted,
        "used": wanted / lasts,
        "worn_volts": 14.1 - 0.17 * amps,
        "power": (15.8 - 0.10 * amps) * amps,
        "heat": 0.10 * amps**2,
    }


def test_the_question_of_a_pit():
    """2.8 A·h at 9 A: 2.8 / 9 h = 18 min 40 s of all of it, 14 min 56 s of 80 %."""
    report = judged("charge", current="9 A", capacity="2.8 A·h")
    assert report.good["all_of_it"] == pytest.approx(18 * 60 + 40, rel=1e-12)
    assert report.good["lasts"] == pytest.approx(14 * 60 + 56, rel=1e-12)
    assert report.good["fuse_lasts"] == math.inf, "a fuse of 25 A carries it for ever"


def test_a_current_that_melts_the_fuse_first():
    """50 A is 2 times the rating; 1.9 A·h, of which 75 % count, must last 2 min."""
    report = judged("charge", current="50 A", capacity="1.9 A·h", usable="75 %", time_wanted="2 min")
    agree(report, by_hand(50.0, 1.9, 0.75, 120.0))
    bounds_agree(report, {"lasts": at_least(120.0), "volts": at_least(8.2), "fuse_lasts": at_least(120.0)})
    assert report.weakest(bad=False) == "fuse_lasts" and report.good["lasts"] < 120 < report.good["all_of_it"]


def test_a_slow_overload_and_a_current_that_the_fuse_carries():
    for amps in (30.0, 20.0):
        agree(judged("charge", current=amps, time_wanted=60.0), by_hand(amps, 2.4, 0.8, 60.0))


def test_a_battery_does_not_go_below_0():
    """150 A through 0.10 ohm leave 0.8 V of a full battery; of a worn one 14.1 V / 0.17 ohm = 83 A is all."""
    found = judged("charge", current="150 A").good
    assert found["volts"] == pytest.approx(0.8) and found["worn_volts"] == 0


def test_a_bad_day_takes_more_current_from_a_worse_battery():
    report = judged("charge", current="10 A", capacity="2.4 A·h", time_wanted="100 s")
    usual = by_hand(10.0, 2.4, 0.8, 100.0)
    assert usual["lasts"] / 1.15 < report.bad["lasts"] < usual["lasts"]
    assert 14.1 - 0.17 * 11.5 < report.bad["volts"] < usual["volts"]


def test_what_is_kept_back_is_said():
    sizing = sizing_of("charge")
    told = lambda **values: sizing.note(judge("charge", values, KIT).values, Tables(sizing, KIT))
    # 0.8 x 2.8 A·h at 9 A are 14.93 min, 2.8 A·h are 18.67 min.
    assert told(current="9 A", capacity="2.8 A·h") == (
        "At 9 A the charge lasts 14.9 min, counted with 80 % of the 2.8 A·h on the label (usable=100% for all of it)."
    )
    assert told(current="9 A", capacity="2.8 A·h", usable="100 %") == "At 9 A the charge lasts 18.7 min."
    assert told(current="3 A", count=3, capacity="2.8 A·h", usable="100 %") == "At 9 A the charge lasts 18.7 min."


def test_four_motors_at_5_amperes_are_20_amperes():
    """0.8 x 3.0 A·h at 4 x 5 A: 2.4 / 20 h are 7.2 min."""
    four = judged("charge", current="5 A", count=4, capacity="3 A·h", time_wanted="2 min")
    agree(four, by_hand(20.0, 3.0, 0.8, 120.0))
    assert four.good["lasts"] == pytest.approx(7.2 * 60, rel=1e-12)
    assert four.values["count"] == 4 and judged("charge").values["count"] == 1

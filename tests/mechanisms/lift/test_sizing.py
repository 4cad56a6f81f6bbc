"""The lift sizing: riggings, spring and spool act as they do in physics, and the days are solved row by row."""

import math

import numpy as np
import pytest

from mechbench import quantity
from mechbench.catalog import judge, sizing_of
from mechbench.engine.inputs import Tables
from mechbench.engine.report_text import verdict

SIZING = sizing_of("lift")


def test_riggings_trade_time_for_torque_and_fall_with_the_same_energy():
    # On the spool of 28 mm five turns of cord lie side by side: 0.48 m of the 0.55 m that continuous rigging winds.
    three = {"stages": "3", "gearbox": "planetary_21", "drum": "spool_28"}
    cascade, continuous = (judge(SIZING, {"rigging": r, **three}).good for r in ("cascade", "continuous"))
    assert cascade["time"] < continuous["time"] and cascade["spare"] < continuous["spare"]
    assert cascade["falls_with"] == continuous["falls_with"] and cascade["rise"] == continuous["rise"]
    assert cascade["layers"] == 1 and continuous["layers"] == 2
    assert cascade["rise"] == pytest.approx(3 * 0.183 * np.sin(np.radians(70)))


def test_a_helping_spring_holds_it_up():
    upright = {"lean": "90 deg", "stages": "3"}
    none, spring = (judge(SIZING, {"spring": s, **upright}).good for s in ("none", "constant_9"))
    assert none["stays_up"] < spring["stays_up"] and none["spring_used"] == 0
    assert spring["spring_used"] == pytest.approx(3 * 0.183 / 0.650)
    assert none["return_pull"] == 0, "an upright lift sinks by itself"


def test_a_belt_runs_on_its_pitch_radius_and_bears_its_working_load():
    belt, finer = (judge(SIZING, {"drum": d}).good for d in ("belt_22", "belt_48"))
    assert belt["cord_used"] == finer["cord_used"] and belt["layers"] == 1
    assert belt["spare"] > finer["spare"]
    cord = judge(SIZING, {"drum": "spool_40"}).good["cord_used"]
    # The belt bears 110 N; the cord 1500 N, of which a knot keeps 0.55, a third of that wanted.
    assert belt["cord_used"] * 110 == pytest.approx(cord * 1500 * 0.55 / 3)


def test_a_long_overhang_binds():
    assert judge(SIZING, {"offset": "234 mm"}).good["binds"] == pytest.approx(2 * 0.15 * 234 / (250 - 183))
    assert judge(SIZING, {"offset": "234 mm"}).good_margin["binds"] < 0


def test_a_second_motor_shortens_the_way_up():
    one, two = (judge(SIZING, {"count": n, "payload": "2 kg"}).good for n in ("1", "2"))
    assert two["time"] < one["time"] and two["current"] > one["current"]


def test_a_rise_that_is_missed_is_named_before_a_time_that_is_missed():
    report = judge(sizing_of("lift"), {"rise_wanted": "900 mm", "payload": "4 kg"})
    assert report.good_margin["time"] < report.good_margin["rise"] < 0
    assert verdict(report).startswith("Does not work: rise of the top is ")
    enough = judge(sizing_of("lift"), {"payload": "4 kg"})
    assert enough.good_margin["rise"] >= 0 and "rise" not in verdict(enough).split("(")[0]


def test_what_limits_the_rise_is_said():
    """Three stages of the kit's usual slide, leaning: the height of a triangle."""
    sizing = sizing_of("lift")
    tables = Tables(sizing)
    report = judge(sizing, {"stages": "3", "lean": "50 deg"})
    travel = tables("slides").row(report.values["slide"])["stage_travel"]
    assert report.good["rise"] == pytest.approx(3 * travel * math.sin(math.radians(50)))
    assert sizing.because(report, "rise", False) == (
        f"rise of the top is {quantity.show(report.good['rise'], 'mm')} (at least 580 mm), limited by 3 stages and a"
        " lean of 50 deg from level"
    )
    assert verdict(report).endswith(sizing.because(report, "rise", False) + ".")
    assert "limited by 1 stage and" in sizing.because(judge(sizing, {"stages": "1"}), "rise", False)
    assert sizing.because(report, "time", False) == ""

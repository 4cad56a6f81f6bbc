"""The lift sizing: riggings, spring and spool act as they do in physics, and the days are solved row by row."""

import numpy as np
import pytest

from mechbench.catalog import judge, sizing_of

SIZING = sizing_of("lift")


def test_riggings_trade_time_for_torque_and_fall_with_the_same_energy():
    cascade, continuous = (judge(SIZING, {"rigging": r}).good for r in ("cascade", "continuous"))
    assert cascade["time"] < continuous["time"] and cascade["spare"] < continuous["spare"]
    assert cascade["falls_with"] == continuous["falls_with"] and cascade["rise"] == continuous["rise"]
    assert cascade["layers"] == 1 and continuous["layers"] == 2
    assert cascade["rise"] == pytest.approx(3 * 0.230 * np.sin(np.radians(70)))


def test_a_helping_spring_holds_it_up():
    none, spring = (judge(SIZING, {"spring": s, "lean": "90 deg"}).good for s in ("none", "constant_5"))
    assert none["stays_up"] < spring["stays_up"] and none["spring_used"] == 0
    assert spring["spring_used"] == pytest.approx(0.69 / 0.70)
    assert none["return_pull"] == 0, "an upright lift sinks by itself"


def test_a_belt_runs_on_its_pitch_radius_and_bears_its_working_load():
    belt, finer = (judge(SIZING, {"drum": d}).good for d in ("belt_24", "belt_48"))
    assert belt["cord_used"] == finer["cord_used"] and belt["layers"] == 1
    assert belt["spare"] > finer["spare"]
    cord = judge(SIZING, {"drum": "spool_24"}).good["cord_used"]
    assert belt["cord_used"] * 100 == pytest.approx(cord * 720 / 3)


def test_a_long_overhang_binds():
    assert judge(SIZING, {"offset": "234 mm"}).good["binds"] == pytest.approx(2 * 0.15 * 234 / 70)
    assert judge(SIZING, {"offset": "234 mm"}).good_margin["binds"] < 0


def test_a_second_motor_shortens_the_way_up():
    one, two = (judge(SIZING, {"count": n, "payload": "2 kg"}).good for n in ("1", "2"))
    assert two["time"] < one["time"] and two["current"] > one["current"]

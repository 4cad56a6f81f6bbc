"""The winch sizing: snatch load, tilt and holding as by hand, on every day of the spread."""

import numpy as np
import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.physics import rope
from mechbench.physics.constants import GRAVITY

SIZING = sizing_of("winch")
WEIGHT = 11.5 * GRAVITY
STIFF = 1500 / 0.09  # N, of the cord: its strength over its stretch
RADIUS = 0.020 + 0.0025 / 2  # m, of the first layer: cord of 2.5 mm on a core of 40 mm


def test_only_the_ratchet_holds_with_the_power_off():
    report, without = judge(SIZING), judge(SIZING, {"ratchet": "none"})
    assert report.works_on_bad_day and report.good["holds"] == pytest.approx(16.0 - WEIGHT * RADIUS)
    assert not without.works and without.good["holds"] == pytest.approx(
        without.good["friction_holds"] - WEIGHT * RADIUS
    )


def test_the_snatch_load_comes_from_the_speed_of_the_slack_drum():
    """After 500 mm of slack the drum runs free: its speed by hand from the motor's line."""
    good = judge(SIZING, {"slack": "500 mm"}).good
    free = (16.7 - 1.93 * 0.36) / 0.0198 / 97.3 * RADIUS
    coasting = rope.snatch_load(WEIGHT, 11.5, free, STIFF / 0.36, 0.88**3 * 7.4e-6 * 97.3**2 / RADIUS**2)
    endless = rope.snatch_load(WEIGHT, 11.5, free, STIFF / 0.36)
    assert coasting < good["snatch"] < endless, "the motor pulls on, but not so hard that nothing slows the drum"
    assert judge(SIZING).good["snatch"] < good["snatch"]
    assert judge(SIZING).bad["snatch"] != judge(SIZING).good["snatch"], "each day has its own mass and speed"


def test_height_is_lost_by_tilt_and_stretch():
    good = judge(SIZING, {"ahead": "40 mm"}).good
    tilt = np.arctan(40 / 220)
    drop = 0.320 * (np.cos(tilt) - 1) + 0.160 * np.sin(tilt)
    assert good["tilt"] == pytest.approx(tilt) and good["tilt_costs"] == pytest.approx(drop)
    assert good["clear"] == pytest.approx(0.090 - drop - WEIGHT * 0.36 / STIFF)


def test_a_pulley_on_the_hook_halves_the_pull_and_takes_longer():
    one, two = (judge(SIZING, {"falls": n}).good for n in ("1", "2"))
    assert 0.5 * one["pull"] < two["pull"] < 0.6 * one["pull"]
    assert two["time"] > one["time"] and two["side_load"] < one["side_load"] and two["factor"] > one["factor"]


def test_cord_already_on_the_spool_lifts_on_a_higher_layer():
    bare, full = (judge(SIZING, {"before": b}).good for b in ("0 mm", "2000 mm"))
    assert full["layers"] == 3 and bare["layers"] == 1
    assert full["spare"] < bare["spare"] and full["snatch"] > bare["snatch"] and full["full"] > bare["full"]

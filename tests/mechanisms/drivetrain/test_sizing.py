"""The drivetrain sizing: its answers on the course's robots, and that each input acts where it should."""

import numpy as np
import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables, complete
from mechbench.physics.constants import GRAVITY

SIZING = sizing_of("drivetrain")
WREN = {"wheel": "traction_90", "count": "2", "gearbox": "planetary_12", "driven": "rear", "mass": "10 kg"}


def test_the_fuse_chooses_the_ratio():
    found = [judge(SIZING, {"gearbox": f"planetary_{ratio}"}).good for ratio in (12, 16, 20)]
    times, currents, push = ([f[name] for f in found] for name in ("time", "current", "push_current"))
    assert max(times) / min(times) < 1.15, "time is flat"
    assert currents == sorted(currents, reverse=True) and push[0] > 1.4 * push[2]
    assert found[0]["fuse_lasts"] < found[1]["fuse_lasts"] < found[2]["fuse_lasts"] == np.inf
    assert found[0]["spins"] < 1 < found[1]["spins"]


def test_grip_of_two_driven_wheels_is_their_share_of_the_weight():
    good = judge(SIZING, WREN).good
    assert good["push"] == pytest.approx(0.60 * 1.0 * 10 * GRAVITY)
    assert good["sideways_time"] == np.inf and judge(SIZING).good["sideways_time"] > judge(SIZING).good["time"]


def test_a_raised_centre_of_gravity_brakes_gently_and_needs_longer():
    low, high = (judge(SIZING, {"height": h}).good for h in ("120 mm", "300 mm"))
    assert high["braking"] == pytest.approx(0.15 / 0.30 * GRAVITY) and high["time"] > low["time"] + 0.05
    assert high["stays_down"] < 1 < low["stays_down"]


def test_four_gripping_wheels_far_apart_cannot_turn_and_omnis_at_one_end_can():
    four = judge(SIZING, {"wheel": "traction_90", "wheelbase": "400 mm"}).good
    assert four["turns"] == pytest.approx(400 / 350), (
        "the trade's rule: four gripping wheels want more track than wheelbase"
    )
    assert judge(SIZING, WREN).good["turns"] < 0.2 and judge(SIZING).good["turns"] == 0


def test_a_robot_that_would_rear_up_is_told_so_without_an_error():
    good = judge(SIZING, {**WREN, "height": "300 mm", "wheelbase": "200 mm"}).good
    assert good["stays_down"] < 1 and np.isfinite(good["time"])


def test_the_curve_of_the_fuse_reaches_solve():
    tables = Tables(SIZING)
    x = columns(SIZING, complete(SIZING, {}, tables), tables)
    assert x.fuse.ratio.shape == x.fuse.time.shape == (1, 3)

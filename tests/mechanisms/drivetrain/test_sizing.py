"""The drivetrain sizing: its answers on the course's robots, and that each input acts where it should."""

import numpy as np
import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.desk import most
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables, complete
from mechbench.mechanisms.drivetrain.sizing import bus_of, chassis_of, line_of
from mechbench.physics import drivetrain, motion
from mechbench.physics.constants import GRAVITY

SIZING = sizing_of("drivetrain")
FIRST = 1e-6  # m, the way of a first moment
WREN = {"wheel": "traction_80", "count": "2", "gearbox": "planetary_16", "driven": "rear", "mass": "10 kg"}


def test_the_fuse_chooses_the_ratio():
    found = [judge(SIZING, {"gearbox": f"planetary_{ratio}"}).good for ratio in (12, 16, 21)]
    times, currents, push = ([f[name] for f in found] for name in ("time", "current", "push_current"))
    assert max(times) / min(times) < 1.15, "time is flat"
    assert currents == sorted(currents, reverse=True) and push[0] > 1.4 * push[2]
    assert push[1] > 1.1 * 15 > push[2], "a fuse of 15 A carries 110 % for ever"
    assert found[0]["fuse_lasts"] < found[1]["fuse_lasts"] < found[2]["fuse_lasts"] == np.inf
    assert judge(SIZING, {"gearbox": "planetary_4_6"}).good["spins"] < 1 < found[0]["spins"]


def test_grip_of_two_driven_wheels_is_their_share_of_the_weight():
    good = judge(SIZING, WREN).good
    assert good["push"] == pytest.approx(0.60 * 0.9 * 10 * GRAVITY)
    assert good["sideways_time"] == np.inf and judge(SIZING).good["sideways_time"] > judge(SIZING).good["time"]


def test_a_raised_centre_of_gravity_brakes_gently_and_needs_longer():
    low, high = (judge(SIZING, {"height": h}).good for h in ("120 mm", "300 mm"))
    assert high["braking"] == pytest.approx(0.175 / 0.30 * GRAVITY) and high["time"] > low["time"] + 0.05
    assert high["stays_down"] < 1 < low["stays_down"]


def test_four_gripping_wheels_far_apart_cannot_turn_and_omnis_at_one_end_can():
    four = judge(SIZING, {"wheel": "traction_80", "wheelbase": "400 mm"}).good
    assert four["turns"] == pytest.approx(400 / 340), (
        "the trade's rule: four gripping wheels want more track than wheelbase"
    )
    assert judge(SIZING, WREN).good["turns"] < 0.2 and judge(SIZING).good["turns"] == 0


@pytest.mark.parametrize("values", [{}, WREN, {**WREN, "height": "300 mm"}, {"gearbox": "planetary_4_6"}])
def test_what_a_robot_asks_without_a_run_is_what_a_run_tells_too(values):
    tables = Tables(SIZING)
    found = SIZING.needed(columns(SIZING, complete(SIZING, values, tables), tables))
    good = judge(SIZING, values).good
    assert set(found) == {"turns", "slope"} and good["slope"] > 0
    assert {name: float(np.ravel(value)[0]) for name, value in found.items()} == pytest.approx(
        {name: good[name] for name in found}, rel=1e-12
    )


def test_a_robot_that_would_rear_up_is_told_so_without_an_error():
    good = judge(SIZING, {**WREN, "height": "300 mm", "wheelbase": "200 mm"}).good
    assert good["stays_down"] < 1 and np.isfinite(good["time"])


@pytest.mark.parametrize("driven", ["all", "rear", "front"])
def test_a_higher_robot_that_must_hold_back_is_never_quicker(driven):
    """Every height of the slider. From where balance holds it back, time only grows, and evenly."""
    found = over("height", np.linspace(0.02, 0.50, 481), driven=driven, count="2")
    for name in ("time", "sideways_time", "stays_down", "slope", "top_speed", "current"):
        assert np.all(np.abs(np.diff(found[name])) < 0.06 * found[name][1:]), name
    held = found["stays_down"] < 1
    assert held.any() == (driven != "front"), "front wheels lose their grip long before it could tip backwards"
    assert np.all(np.diff(found["time"][held]) > 0) and np.all(found["slips"][held] == 0)
    assert np.all(np.diff(found["time"][found["height"] > 0.35]) > 0)
    assert np.all(np.diff(found["stays_down"]) < 0)


def test_two_driven_wheels_are_never_better_than_themselves_with_all_the_weight():
    """Past the height at which all weight is on the rear wheels they grip no more than four wheels would."""
    heights = np.linspace(0.30, 0.50, 41)
    rear, four = (over("height", heights, driven=driven) for driven in ("rear", "all"))
    assert np.all(rear["time"] > four["time"]) and np.all(rear["push"] < four["push"])


def test_room_before_it_tips_is_that_of_a_run_at_full_throttle():
    """What the solver's own run reaches in its first moment, with nobody holding back."""
    for driven, height in (("rear", 0.25), ("rear", 0.45), ("front", 0.25), ("all", 0.45), ("all", 0.12)):
        x = column({"driven": driven, "height": height, "count": "2"})
        robot, rear_share = chassis_of(x)
        done = motion.move(line_of(x), drivetrain.sprint(robot, FIRST), bus_of(x), end="pass")
        first = (done.speed[0, 0, -1] * x.wheel.radius[0]) ** 2 / 2 / FIRST
        tips = (1 - rear_share[0]) * 0.35 / height * GRAVITY
        assert SIZING.solve(x)["stays_down"][0] == pytest.approx(tips / first, rel=2e-3)


def test_slope_of_the_usual_robot():
    """mu N = m g (sin s + c cos s), and on the driven end N = m g (0.6 cos s ± h / l sin s): a slope brings weight to
    the rear, from the front. So tan s = mu - c with all wheels, else (0.6 mu - c) / (1 ∓ mu h / l).
    """
    found = {driven: np.tan(judge(SIZING, {"driven": driven}).good["slope"]) for driven in ("all", "front", "rear")}
    mu, c, steep = 0.68, 0.02, 140 / 350
    assert found == {
        "all": pytest.approx(mu - c),
        "front": pytest.approx((0.6 * mu - c) / (1 + mu * steep)),
        "rear": pytest.approx((0.6 * mu - c) / (1 - mu * steep)),
    }


def test_held_back_the_motors_draw_an_even_current_and_no_wheel_slips():
    """Until full voltage gives no more than that; from there on as any run."""
    x = column({"height": 0.45})
    done = SIZING.run(x)
    speed, amps = done.speed[0, 0], done.current[0, 0]
    up = slice(0, int(np.argmax(speed)) + 1)
    even = amps[up] == amps[0]
    assert 3 < np.sum(even) < np.size(even) and done.slip_time[0, 0] == done.slip_current[0, 0] == 0
    assert np.all(even[:-1] >= even[1:]) and np.all(np.diff(amps[up][~even]) < 0)
    assert done.bus_current[0] == pytest.approx(amps[0], rel=1e-3), "at full voltage it all comes from the battery"
    assert SIZING.run(x, np.full(1, 1.0)).time[0, 0] > done.time[0, 0], "gentler both ways, where a robot asks for it"


def column(values):
    tables = Tables(SIZING)
    return columns(SIZING, complete(SIZING, values, tables), tables)


def over(name, numbers, **values):
    """All findings over one input, and that input."""
    x = column(values)
    setattr(x, name, numbers)
    return {name: numbers} | SIZING.solve(x)


def test_the_curve_of_the_fuse_reaches_solve():
    tables = Tables(SIZING)
    x = columns(SIZING, complete(SIZING, {}, tables), tables)
    assert x.fuse.ratio.shape == x.fuse.time.shape == (1, 3)


def test_wheels_that_are_not_driven_are_looked_for_only_where_there_are_some():
    tables = Tables(SIZING)
    usual = {field.name: field.first(tables) for field in SIZING.FIELDS}
    assert SIZING.idle(usual | {"driven": "all"}, tables) == ("free_wheel", "driven_share")
    others = [name for name in tables("driven_ends").names if name != "all"]
    assert len(others) == 2 and all(SIZING.idle(usual | {"driven": one}, tables) == () for one in others)
    # What is called idle changes nothing.
    found = [judge(SIZING, {"free_wheel": name}).good for name in tables("drive_wheels").names]
    found += [judge(SIZING, {"driven_share": share}).good for share in ("30 %", "80 %")]
    assert all(one == pytest.approx(found[0]) for one in found)
    assert "free_wheel" not in most._parts(SIZING, {}, tables)
    assert "free_wheel" in most._parts(SIZING, {"driven": others[0]}, tables)

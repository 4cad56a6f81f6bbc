"""The power sizing: its answers by hand and step by step, and that each input acts where it should."""

from types import SimpleNamespace

import numpy as np
import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables, complete
from mechbench.kits import kit
from mechbench.mechanisms.power.sizing import INSTANTS, LIMITS, UNITS, planned, shortest
from mechbench.physics import battery, control, motor

SIZING = sizing_of("power")


def found(**values):
    return judge(SIZING, values).good


def inputs(**values):
    tables = Tables(SIZING)
    return columns(SIZING, complete(SIZING, values, tables), tables)


def test_the_cruise_of_a_trapezoid_by_hand():
    """In the middle third the speed is even: torque of the load, gear losses, copper, and the battery's sag, in
    plain sums.
    """
    row, box = (
        SimpleNamespace(**kit().table("motors").row("slim")),
        SimpleNamespace(**kit().table("gearboxes").row("planetary_74")),
    )
    done = planned(inputs(time_wanted="1 s", angle="140 deg", load_torque="1.5 N·m"), np.array([1.0]))
    middle = INSTANTS.size // 2
    speed = 1.5 * np.radians(140) / 1.0
    amps = 1.5 / (box.efficiency * box.ratio * row.torque_constant) + row.free_current
    hot = row.resistance * (1 + row.copper_coefficient * float(done.rise[0]))
    volts = row.torque_constant * box.ratio * speed + hot * amps
    assert done.speed[0, middle] == pytest.approx(speed) and done.amps[0, middle] == pytest.approx(amps)
    assert done.motor_volts[0, middle] == pytest.approx(volts)
    total = done.battery_amps[0, middle]
    assert (total - 6.0) * (16.7 - 0.11 * total) == pytest.approx(volts * amps), "the controller passes on power"
    assert done.volts[0, middle] == pytest.approx(battery.voltage(battery.Battery(16.7, 0.11), total))


@pytest.mark.parametrize("profile", control.SHAPES)
def test_peaks_are_caught_exactly(profile):
    unit = UNITS[control.SHAPES.index(profile)]
    assert (unit[1].max(), unit[2].max()) == pytest.approx(control.peaks(profile, 1, 1), rel=1e-7)


@pytest.mark.parametrize("profile", control.SHAPES)
@pytest.mark.parametrize("between", ["rests", "holds"])
def test_heat_is_that_of_the_whole_history(profile, between):
    """Every move and pause of the match, instant by instant; a pause that holds keeps its current."""
    x = inputs(profile=profile, between=between, pause="1.5 s", load_torque="3 N·m")
    done, number = planned(x, x.time_wanted), round(200 / 2.5)
    widths = np.full(INSTANTS.size, 1.0 / INSTANTS.size)
    steps = np.tile(np.append(widths, 1.5), number)
    amps = np.tile(np.append(done.amps[0], done.hold[0]), number)
    row = SimpleNamespace(**kit().table("motors").row("slim"))
    rises = motor.rise_over(row, np.append(0.0, np.cumsum(steps)), np.append(amps, 0.0))
    assert float(done.rise[0]) == pytest.approx(rises[-1], rel=0.02)
    assert rises.max() - float(done.rise[0]) < 5.0, "K: a winding is a little warmer at the end of a move"


def test_gentle_at_the_ends_costs_a_higher_peak():
    thirds, soft = found(profile="trapezoid"), found(profile="cycloidal")
    assert (
        soft["current"] > thirds["current"]
        and soft["room"] < thirds["room"]
        and soft["off"] == pytest.approx(4 / 3 * thirds["off"])
    )


def test_a_slower_move_is_easier_for_everything_but_the_clock():
    slow, fast = found(time_wanted="1.6 s"), found(time_wanted="0.8 s")
    assert (
        slow["room"] > fast["room"]
        and slow["current"] < fast["current"]
        and slow["off"] == pytest.approx(fast["off"] / 2)
    )
    assert slow["least"] == fast["least"] or slow["least_heat"] == pytest.approx(fast["least_heat"], rel=0.01)


def test_everything_on_the_battery_sags_it_and_takes_the_drives_voltage():
    alone, crowded = found(other_current="0 A"), found(other_current="20 A")
    assert alone["volts"] - crowded["volts"] > 0.11 * 20
    assert crowded["room"] == pytest.approx(alone["room"] - (alone["volts"] - crowded["volts"]), abs=0.1)
    assert crowded["charge"] - alone["charge"] == pytest.approx(20 * 200 / (3.3 * 3600), rel=0.03)


def test_the_fuse_counts_overloads_and_nothing_below_its_rating():
    assert found(other_current="10 A")["fuse_used"] == 0
    over = judge(SIZING, {"other_current": "30 A", "pause": "0 s", "run_time": "120 s"})
    total = over.good["charge"] * 3.3 * 3600 / 120  # A, the mean
    fuse = battery.Fuse(15.0, (1.35, 2.0, 3.5), (600.0, 5.0, 0.5), 1.1, (0.75, 0.15, 0.04))
    assert over.good["fuse_used"] == pytest.approx(120 / battery.time_to_blow(fuse, total), rel=0.15)
    assert over.good["fuse_used"] > 1 and over.good_margin["fuse_used"] < 0


def test_holding_between_the_moves_warms():
    assert found(between="holds", load_torque="3 N·m")["rise"] > found(between="rests", load_torque="3 N·m")["rise"] + 3
    assert found(start_rise="30 K")["rise"] > found()["rise"] + 5


def test_the_place_is_known_by_loop_and_encoder():
    good = found(gearbox="planetary_16", load_torque="0.5 N·m")
    assert good["off"] == pytest.approx(1.5 * np.radians(140) * 0.015) and good["step"] == pytest.approx(
        2 * np.pi / 34 / 16.1
    )
    assert good["play"] > good["step"], "the encoder sees less than the play that it can't see"


@pytest.mark.parametrize("limit", LIMITS)
@pytest.mark.parametrize(
    "values",
    [{}, {"other_current": "15 A", "pause": "0.5 s", "count": "2"}, {"gearbox": "planetary_25", "motor": "stout"}],
)
def test_a_shortest_time_just_keeps_its_limit(limit, values):
    """A little longer is within it, a little shorter is not."""
    least = found(**values)[f"least_{limit}"]
    if least == 0 or np.isinf(least) or not 0.1 <= 0.98 * least <= 5 / 1.02:
        return
    judged = {
        "drive": ("room", "current", "strength"),
        "battery": ("volts",),
        "fuse": ("fuse_used",),
        "heat": ("rise",),
        "loop": ("off",),
    }[limit]
    for factor, works in ((1.001, True), (0.985, False)):
        margins = judge(SIZING, {**values, "time_wanted": factor * least}).good_margin
        assert all(margins[name] >= 0 for name in judged) == works, (factor, least)


def test_the_longest_of_the_shortest_times_limits():
    good = found()
    assert good["least"] == max(good[f"least_{limit}"] for limit in LIMITS)
    assert (
        judge(SIZING, {"time_wanted": 1.02 * good["least"]}).works
        and not judge(SIZING, {"time_wanted": 0.98 * good["least"]}).works
    )


def test_some_limit_is_met_by_each_of_the_five():
    """Each limit can be the one that counts; otherwise it would be idle."""
    wide = {"error_allowed": "45 deg"}
    cases = {
        "drive": {},
        "loop": {"error_allowed": "2 deg", "load_torque": "0.2 N·m"},
        "heat": {
            "gearbox": "planetary_16",
            "count": "2",
            "load_torque": "1 N·m",
            "pause": "0 s",
            "start_rise": "90 K",
            **wide,
        },
        "fuse": {
            "motor": "stout",
            "gearbox": "planetary_12",
            "count": "3",
            "load_torque": "0.2 N·m",
            "mass": "50 g",
            "pause": "0 s",
            "other_current": "18 A",
            **wide,
        },
        "battery": {
            "motor": "stout",
            "gearbox": "planetary_4_6",
            "count": "4",
            "load_torque": "2 N·m",
            "mass": "2 kg",
            "other_current": "20 A",
            "run_time": "10 s",
            "pause": "20 s",
            **wide,
        },
    }
    for limit, values in cases.items():
        x = inputs(**values)
        if limit == "battery":
            x.fuse.rating = 4 * x.fuse.rating  # else the fuse melts first, all motors on or not
        times = {name: float(np.ravel(time)[0]) for name, time in shortest(x).items()}
        assert max(times, key=times.get) == limit, times


def test_a_drive_that_is_too_weak_says_so_and_stays_in_the_world():
    good = found(load_torque="20 N·m")
    assert good["room"] < 0 and np.isinf(good["least_drive"]) and good["strength"] > 1
    assert good["volts"] > 10 and good["all_current"] < 6 + 16.7 / 1.818
    hot = found(load_torque="20 N·m", pause="0 s", run_time="600 s", motor="stout")
    assert np.isinf(hot["rise"])

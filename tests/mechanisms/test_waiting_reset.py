"""A reset that waits (reset_after of the kit): the lowest voltage that counts is the one that lasts as long.

The reference is a first principle: under an unchanging load the speed of a motor on a battery grows by an exponential,
so the voltage is known at each instant; it comes back evenly slower, so that the first window is the lowest one.
"""

import math
import re
from pathlib import Path

import numpy as np
import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.engine import report_text
from mechbench.kits import copy_kit, kit
from mechbench.kits.load import read_kit
from mechbench.physics import motion
from mechbench.physics.drive import Line

SAG = ("drivetrain", "lift", "arm", "chained", "winch", "power", "robot")
WAITS = (0.0, 1e-6, 0.01, 0.05, 0.1, 0.2, 0.5, 2.0, 10.0)


def waiting(folder, wait):
    """The course's own kit with a reset that waits so many seconds."""
    copy_kit(folder)
    parts = folder / "parts.toml"
    text = re.sub(r"reset_after = .*", f'reset_after = "{wait} s"', parts.read_text(encoding="utf-8"), count=1)
    parts.write_text(text, encoding="utf-8")
    return read_kit(folder)


@pytest.fixture(scope="module")
def kits(tmp_path_factory):
    return [waiting(tmp_path_factory.mktemp("kit") / "own", wait) for wait in WAITS]


def test_a_kit_that_does_not_say_it_is_the_same_kit(kits, tmp_path_factory):
    assert kits[0].controller.reset_after == 0.0 and kits[5].digest == kit().digest
    text = (Path(kits[0].folder) / "parts.toml").read_text(encoding="utf-8")
    parts = tmp_path_factory.mktemp("kit") / "own" / "parts.toml"
    copy_kit(parts.parent)
    parts.write_text(text.replace('reset_after = "0.0 s"', ""), encoding="utf-8")
    assert read_kit(parts.parent).digest == kits[0].digest
    assert len({one.digest for one in kits}) == len(kits), "another wait is another kit"


@pytest.mark.parametrize("name", SAG)
def test_a_longer_wait_never_gives_a_lower_voltage(name, kits):
    """At once it is the voltage of before; then it grows without a jump, and no higher than the battery rests."""
    good, bad = zip(*((report.good["volts"], report.bad["volts"]) for report in (judge(name, {}, one) for one in kits)))
    for volts in (good, bad):
        assert np.all(np.isfinite(volts)) and np.all(np.diff(volts) >= -1e-9), volts
        assert volts[1] == pytest.approx(volts[0], abs=1e-3)
        assert volts[-1] <= kit().battery.open_circuit
    assert judge(name).good == judge(name, {}, kits[5]).good and good[-1] > good[0]


@pytest.mark.parametrize("name", SAG)
def test_nothing_else_changes_but_what_follows_from_it(name, kits):
    now, waits = judge(name, {}, kits[0]).good, judge(name, {}, kits[5]).good
    differ = {finding for finding in now if now[finding] != waits[finding]}
    assert differ <= {"volts", "least_battery", "least"}


@pytest.mark.parametrize("name", SAG)
def test_what_is_asked_says_for_how_long(name, kits):
    finding = sizing_of(name).finding("volts")
    asked = [report_text.asked(judge(name, {}, one), finding) for one in (kits[0], kits[5])]
    assert asked == ["at least 11 V", "at least 11 V over 0.2 s"]


def test_a_run_by_an_exponential():
    """x' = (a - x) / T: after the wait the motors' speed is a (1 - exp(-wait / T)), and the battery gives E - R I."""
    line, bus, wait = Line(0.4, 0.5, 1.0, 0.02, 0.9, 0.9), motion.Bus(14.0, 0.1, 7.0, 0.2), 0.2
    inertia, drag = 0.3, 0.8
    load = motion.Load(np.linspace(0.0, 60.0, 4001), 0.0, drag, inertia)
    done = motion.move(line, load, bus, end="pass")
    whole = inertia + 0.9 * 0.02  # losses of the gears take of what speeds up the rotor, too
    ohms = 0.4 + 0.1
    slows = 0.9 * 0.5**2 / ohms / whole
    starts = (0.9 * 0.5 * (14.0 / ohms - 1.0) - drag) / whole
    speed = starts / slows * (1 - math.exp(-slows * wait))
    volts = 14.0 - 0.1 * (14.0 - 0.5 * speed) / ohms
    assert done.why[0, 0] == "arrived" and done.time[0, 0] > 1.0
    assert motion.lasting_volts(done, bus)[0] == pytest.approx(volts, rel=1e-5)
    assert done.volts_min[0] == pytest.approx(14.0 - 0.1 * 14.0 / ohms, rel=1e-12)


def test_what_never_arrives_stands_on_at_its_lowest_voltage():
    line = Line(1.3, 1.152, 0.28, 0.033, 0.729, 0.628)
    for weight, why in ((2.0, "arrived"), (12.0, "stalled")):
        bus = motion.Bus(14.0, 0.12, 7.0, [0.0, 0.2, 9.0])
        done = motion.move(line, motion.Load(np.linspace(0, 1.5, 61), weight, 0.1, 0.12), bus)
        assert (done.why == why).all()
        found = motion.lasting_volts(done, bus)
        assert found[0] == done.volts_min[0]
        assert (found[1:] == done.volts_min[1:]).all() if why == "stalled" else found[0] < found[1] < found[2] == 14.0


def test_several_drives_are_refused_in_a_sentence():
    line = Line(1.3, 1.152, 0.28, 0.033, 0.729, 0.628)
    load, bus = motion.Load(np.linspace(0, 1.5, 61), 2.0, 0.1, 0.12), motion.Bus(14.0, 0.12, 7.0, 0.2)
    with pytest.raises(ValueError, match=r"^move has 2 drives, but only one is looked at; give a move of one drive\.$"):
        motion.lasting_volts(motion.move([line, line], [load, load], bus), bus)


def test_a_limited_start_lifts_the_voltage_that_lasts(kits):
    each = judge("drivetrain", {"count": "2"}).good["current"] / 2
    limits = [{"start_limit": f"{share * each:.3f} A"} for share in (1.0, 0.8, 0.5)]
    volts = [judge("drivetrain", {"count": "2", **limit}, kits[4]).good["volts"] for limit in limits]
    assert volts[0] < volts[1] < volts[2]

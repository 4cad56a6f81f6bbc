"""Every input of every mechanism from one end of its range to the other: nothing is lost, nothing jumps without a
reason, and nothing gets better where it must get worse; at the defaults and at settings drawn at random. What must
not get better on a good day must not on bad days either. Common sense and first principles, no source.
"""

import numpy as np
import pytest

from mechbench.catalog import NAMES, ROBOT, judge, sizing_of
from mechbench.engine import judge as judging
from mechbench.engine.spec import Field, Finding, Sizing
from mechbench.mechanisms.power import sizing as power
from tests.mechanisms.sweeps import found_at, jumps, lost, placed, places, settings, turns_back
from tests.tries import tries

MECHANISMS = [name for name in NAMES if name != ROBOT]  # robots have sweeps of their own
STEPS, SETTINGS = tries(60, thorough=200), tries(2, thorough=30)
DAYS_PLACES = 7

# Inputs with places that can't be built, which `solve` refuses: a swing needs two angles.
REFUSES = {(name, angle) for name in ("arm", "chained", "servo_arm") for angle in ("start_angle", "end_angle")}
# Angles that are sums of others may be crumbs of rounding.
CRUMBS = {("chained", "worst_angle")}
# Findings that jump, and why.
NOT_BEGUN = "a swing that could not be stopped at its end is not begun, and draws nothing"
NOT_CLOSED = "bars that don't close, or can't turn that far, swing nothing"
SLACKENS = "a spring that just hangs loose loses its initial tension at once"
STALLS = "the motor stalls where the load asks more current than its controller lets through"
AT_ONCE = "many times begin to fail at once: a lagging drive draws the same; or 0 for less than any time that is tried"
JUMPS = {
    ("winch", "layers"): "they are counted; the radius, and so the torque on the drum, grows with each",
    ("winch", "spare"): "the torque on the drum grows with each layer",
    ("winch", "holds"): "the torque on the drum grows with each layer",
    ("winch", "fuse_used"): "the current does, with the torque on the drum; next to no slack: it is looked at in steps",
    **{("motor", finding): STALLS for finding in ("speed", "power", "efficiency")},
    ("train", "speed"): STALLS,
    **{(name, "current"): NOT_BEGUN for name in ("arm", "chained", "linkage", "servo_arm")},
    **{("linkage", finding): NOT_CLOSED for finding in ("rise", "advantage", "swing")},
    ("chained", "worst_angle"): "another place of the swing becomes the worst one",
    **{("chained", finding): SLACKENS for finding in ("worst_torque", "strength", "hot_after")},
    **{
        (name, "spare"): "where start and end are swapped, the weight helps that resisted"
        for name in ("arm", "chained", "servo_arm")
    },
    ("drivetrain", "slips"): "none while the driver holds back, though just before the wheels may have slipped",
    ("drivetrain", "fuse_used"): "wheels that just stop slipping draw less than the fuse carries for ever",
    ("drivetrain", "push_current"): "wheels that just stop spinning under a controller's limit: the motors stand",
    ("drivetrain", "fuse_lasts"): "it follows from that current",
    ("drivetrain", "current"): "wheels that slip until the brakes go on, or just grip before",
    ("intake", "enters"): "short or narrow enough, it passes at any heading; a little more, and not crosswise",
    ("cycle", "end"): "who leaves too late can't hang, or not even park",
    ("cycle", "points"): "the points of the end are in them",
    **{("power", f"least_{limit}"): AT_ONCE for limit in ("drive", "battery", "fuse", "heat")},
    ("power", "least"): "it is the longest of those",
}

# What rises (an input, or a column of a part or record), and what must not fall (+) or not rise (-) then.
WORSE = {
    # Slow trips may gain more by a second than quick ones, whose goal is full anyway.
    "trips": {
        "trip_time": "-points -before -trips -trips_before -filled",
        "saved": "+points +gain +trips +filled",
        "driving_time": "+points +before +trips +trips_before +trip_allowed +filled",
        "trips_wanted": "-trip_allowed",
    },
    "winch": {
        "mass": "+time -spare +snatch -factor -holds +strength -clear +pull",
        "pulley_efficiency": "-time +spare -pull",
        "battery.open_circuit": "-time +spare",
    },
    "lift": {"payload": "+time -spare +strength +cord_used +falls_with", "battery.open_circuit": "-time +spare"},
    "arm": {"payload": "-spare +worst_torque +strength -hot_after +falls_with", "battery.open_circuit": "-time +spare"},
    "chained": {"battery.open_circuit": "-time +spare"},
    "linkage": {"battery.open_circuit": "-time +spare"},
    "scissor": {
        "load": "+time -spare +strength +holding +push",
        "friction": "+time -spare +strength",
        "thread_friction": "+time -spare +strength +holds",
        "pin_play": "+rocking",
        "battery.open_circuit": "-time +spare",
    },
    "train": {
        "load_torque": "-speed +torque_used +current -hot_after",
        "battery.open_circuit": "+speed +stall_torque",
    },
    "motor": {
        "load_torque": "-speed +current -hot_after -spare -volts",
        "start_rise": "-hot_after",
        "battery.open_circuit": "+speed +spare",
    },
    "pair": {"load_torque": "+strength +torque_in", "first_torque": "+torque_out +strength"},
    "drivetrain": {
        "mass": "+time +sideways_time -slope -top_speed -even_speed -sideways_speed",
        "height": "-stays_down -braking +sideways_time",
        "wheel.rolling": "-slope +sideways_time -even_speed",
        "wheel.along": "-time +slope +push -stays_down",
        "battery.open_circuit": "-time -sideways_time +slope +top_speed +even_speed +free_speed",
        "battery.resistance": "+time +sideways_time -slope -top_speed -even_speed -free_speed",
        "gearbox.efficiency": "-time +slope +top_speed",
        "distance": "+time +sideways_time +top_speed +sideways_speed",
        "start_limit": "-time -sideways_time +current -volts +push +push_current -push_volts",
    },
    "balance": {
        "track": "+sideways +tilt",
        "wheels.along": "+grip -way",
        "speed": "+way",
        "mass": "+total +one_front",
    },
    "intake": {
        "piece_mass": "-ratio -climbs +current -surface -roller_speed +period",
        "ground_speed": "-ratio +roller_needed",
        "slope": "-ratio -climbs +current -coasts",
        "roller.friction": "+nip +climbs +deepest +jam_current +strength",
        "battery.open_circuit": "+ratio -period",
        "battery.resistance": "-ratio +period",
        "drive.efficiency": "+ratio -current",
        "pen_depth": "-reaches",
        "width": "-enters",
    },
    "cycle": {
        "drive_time": "+time -count -points",
        "raise_time": "+time -points -may_wait",
        "grab_time": "+time -points",
        "place_time": "+time -points",
        "success": "+points +clean",
        "jam_chance": "+time -points -clean",
        "closing_time": "-end",
    },
    "gripper": {
        "piece_mass": "+needed +wrist_share +wrist_torque +roll -holds",
        "squeeze": "+holds +squeeze_set +share +rail",
        "upward": "+needed +wrist_share -holds",
        "other_current": "+rail +rail_stuck",
    },
    "servo_arm": {
        "payload": "+time -spare +share +worst_torque +strength +hold_current +falls_with",
        "length": "+time -spare +share +worst_torque +strength +droop +falls_with",
        "servo.stall_torque": "-time +spare -share -hold_current",
        "last_stage.efficiency": "-time +spare -share",
    },
    "charge": {
        "current": "-lasts -all_of_it -matches -volts -worn_volts -fuse_lasts +used +heat +drawn",
        "count": "-lasts -all_of_it -matches -volts -worn_volts -fuse_lasts +used +heat +drawn",
        "capacity": "+lasts +all_of_it +matches -used",
        "usable": "+lasts +matches -used",
        "time_wanted": "-matches +used",
        "battery.open_circuit": "+volts +power",
        "battery.resistance": "-volts -power +heat",
    },
    "power": {
        "time_wanted": "+volts +room -all_current -off -strength -top_speed",
        "load_torque": "+strength",
        "other_current": "+all_current +charge -volts -room",
        "start_rise": "+rise -room",
        "angle": "+off +top_speed",
    },
}

ROWS = [(name, path) for name, paths in WORSE.items() for path in paths]
# What is held, so that a row of WORSE is true.
HELD = {
    # A load may help against a spring, and helps to swing down.
    ("arm", "payload"): {"spring": "none", "start_angle": np.radians(-40.0), "end_angle": np.radians(100.0)},
    ("arm", "battery.open_circuit"): {"spring": "none"},
    # A load helps to swing down.
    **{
        ("servo_arm", path): {"start_angle": np.radians(-30.0), "end_angle": np.radians(90.0)}
        for path in ("payload", "length", "servo.stall_torque", "last_stage.efficiency")
    },
    ("balance", "mass"): {"forward": 0.0},  # behind the rear wheels, more mass lifts the front ones
}
# What is chosen besides the defaults, so that the input counts at all.
COUNTS = {
    ("winch", "pulley_efficiency"): {"falls": "2"},
    ("linkage", "battery.open_circuit"): {"drive": "stout_planetary_116"},  # a servo runs on a rail of its own
    ("scissor", "battery.open_circuit"): {"drive": "stout_planetary_116"},
    ("scissor", "thread_friction"): {"placement": "screw"},
    **{
        ("drivetrain", path): {"gearbox": "planetary_4_6"}  # else the grip limits the slope
        for path in ("mass", "battery.open_circuit", "battery.resistance", "gearbox.efficiency")
    },
}
# How far a finding may go back all the same, as a share.
EXACT = 1e-9
ROUGH = {
    # A time over a table of places, and wheels that slip no more.
    **{
        (name, "time"): 2e-4
        for name in ("winch", "lift", "arm", "servo_arm", "chained", "linkage", "scissor", "drivetrain")
    },
    # How fast a move is, and the current it gets, make the winding warmer or cooler, and so its resistance: a test
    # below holds them exactly without that.
    **{("power", finding): 0.06 for finding in ("volts", "all_current", "room")},
}


@pytest.fixture(autouse=True)
def no_shortest_times(monkeypatch):
    """They take most of the time to find."""
    if tries(True, thorough=False):
        monkeypatch.setattr(power, "shortest", lambda x: dict.fromkeys(power.LIMITS, np.zeros(1)))


def beginnings(name, path, count):
    """The defaults with what the row needs, and `count` settings drawn at random that keep what must be held."""
    defaults, *others = (values | HELD.get((name, path), {}) for values in settings(name, count))
    yield defaults | COUNTS.get((name, path), {})
    yield from others


def turned(name, path, found, rough=ROUGH):
    """Findings that got better all the same: by how much, and the whole line."""
    told = {}
    for way in WORSE[name][path].split():
        back = turns_back(found[way[1:]], {"+": 1, "-": -1}[way[0]])
        if back > rough.get((name, way[1:]), EXACT):
            told[way] = back, found[way[1:]].tolist()
    return told


@pytest.mark.parametrize("name", MECHANISMS)
def test_no_input_makes_a_finding_jump_or_lose_its_number(name):
    may_jump, crumbs = ({finding for one, finding in table if one == name} for table in (JUMPS, CRUMBS))
    for values in settings(name, SETTINGS):
        for field in sizing_of(name).FIELDS:
            at = places(name, values, field.name, STEPS)
            found = found_at(name, values, field.name, at)
            assert lost(found, (name, field.name) in REFUSES, crumbs) == [], (field.name, values)
            if isinstance(field, Field):  # from one part to the next anything may change
                assert jumps(name, values, field.name, at, found, may_jump) == [], values


@pytest.mark.parametrize(("name", "path"), ROWS)
def test_nothing_gets_better_when_it_must_get_worse(name, path):
    for values in beginnings(name, path, tries(3, thorough=30)):
        found = found_at(name, values, path, places(name, values, path, STEPS))
        assert turned(name, path, found) == {}, values


@pytest.mark.parametrize(("name", "path"), ROWS)
def test_nothing_gets_better_on_bad_days_either(name, path, monkeypatch):
    """A value that on 19 of 20 fixed days is not worse goes the way that each of those days goes."""
    values, bad = next(beginnings(name, path, 0)), []
    for number in places(name, values, path, DAYS_PLACES):
        with monkeypatch.context() as changed:
            columns = judging.columns
            changed.setattr(judging, "columns", lambda *given: placed(columns(*given), path, number))
            bad.append(judge(name, values).bad)
    assert turned(name, path, {finding: np.array([day[finding] for day in bad]) for finding in bad[0]}) == {}


@pytest.mark.parametrize("path", WORSE["power"])
def test_a_winding_that_keeps_its_resistance_gets_nothing_back(path):
    for values in settings("power", tries(3, thorough=30)):
        values |= {"motor.copper_coefficient": 0.0}
        found = found_at("power", values, path, places("power", values, path, STEPS))
        assert turned("power", path, found, rough={}) == {}, values


def test_the_tables_are_about_what_there_is():
    findings = {(name, finding.name) for name in MECHANISMS for finding in sizing_of(name).FINDINGS}
    assert (JUMPS.keys() | ROUGH.keys() | CRUMBS) - findings == set()
    assert set(WORSE) == set(MECHANISMS), "of each mechanism something must get worse"


class Steps(Sizing):
    """One finding jumps, and one is steep, a thousand times steeper than beside it, and turns back at its end."""

    NAME = "steps"
    FIELDS = (Field("given", "Given", "", 0.0, 10.0, 5.0, "a number"),)
    FINDINGS = (Finding("jumps", "jumps", "", ""), Finding("steep", "steep", "", ""))

    @staticmethod
    def solve(x):
        """The step is at pi."""
        steep = 1 + np.clip(1000 * (x.given - np.pi), 0, 5)
        return {"jumps": 1 + (x.given > np.pi), "steep": np.where(x.given > 9, 0.9 * steep, steep)}


def test_a_jump_is_found_and_a_steep_slope_is_none():
    at = np.linspace(0, 10, 41)
    found = found_at(Steps, {"given": 5.0}, "given", at)
    (told,) = jumps(Steps, {"given": 5.0}, "given", at, found)
    assert told.startswith("jumps from 1 to 2 at given = ")
    assert float(told.split()[-1]) == pytest.approx(np.pi, abs=1e-8)
    assert jumps(Steps, {"given": 5.0}, "given", at, found, ("jumps",)) == []


def test_what_turns_back_and_what_is_lost_is_told():
    found = found_at(Steps, {"given": 5.0}, "given", np.linspace(0, 10, 41))
    assert turns_back(found["jumps"], 1) == 0 and turns_back(found["jumps"], -1) == pytest.approx(1 / 2)
    assert turns_back(found["steep"], 1) == pytest.approx(0.1)
    assert turns_back(np.array([1.0, np.inf, 5.0]), 1) == np.inf and turns_back(np.array([1.0, np.inf]), 1) == 0
    assert turns_back(np.array([1.0, np.nan, 3.0]), 1) == np.inf
    broken = {"one": np.array([1.0, np.nan, 3.0]), "two": np.array([1.0, np.nan, 1e-17])}
    assert lost(broken) == ["one", "two"] and lost(broken, may_refuse=True) == ["two"]
    assert lost(broken, may_refuse=True, crumbs=("two",)) == []

"""Every finding of the power sizing by hand: a move from rest to rest, its torque, battery, heat and fuse.

Sources: Newton's second law, Ohm's and Kirchhoff's laws as in OpenStax University Physics (from memory); one lump of
heat, as in Dubey, Fundamentals of Electrical Drives (from memory), integrated here by scipy too, with the resistance
growing as it warms; the fuse as straight lines between its printed points in logarithms. Integrals over a move are
Gauss sums of this file's own. No function of mechbench is used.
"""

import math
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq, minimize_scalar

from tests.mechanisms.by_hand_handling import (
    agree,
    altered_kit,
    at_least,
    at_most,
    bounds_agree,
    constants,
    driven_by_the_load,
    fuse_seconds,
    judged,
    rows_agree,
    some_agree,
)

# tests/whole_robot/by_hand_kit/parts.toml: nameplate, rotor kg·m2, heat capacity J/K, thermal resistance K/W, counts,
# for a large frame.
MOTORS = {
    "feather": ((14.0, 10823, 0.10, 0.0408, 3.5), 2.1e-6, 9.0, 11.0, 16, 0),
    "brisk": ((14.0, 5431, 0.20, 0.187, 8.0), 9.5e-6, 24.0, 5.5, 16, 0),
    "stout": ((14.0, 4205, 0.60, 0.725, 24.0), 4.2e-5, 60.0, 3.2, 20, 1),
}
COPPER, MOST_RISE = 0.00393, 90.0  # 1/K, K
GEARBOXES = {  # ratio, stages, backlash deg, allowed N·m on a small and a large frame
    "turn_14": (14.0, 2, 2.2, (7.0, 14.0)),
    "turn_25": (25.0, 2, 2.2, (7.0, 14.0)),
    "turn_56": (56.0, 3, 2.6, (11.0, 22.0)),
    "turn_72": (72.0, 3, 2.6, (11.0, 22.0)),
    "turn_100": (100.0, 3, 2.6, (11.0, 22.0)),
    "turn_224": (224.0, 4, 2.9, (13.0, 24.0)),
}
STAGE = 0.92
OPEN_CIRCUIT, INNER, CAPACITY = 15.8, 0.10, 2.4 * 3600
OUTPUT_LIMIT, RESET, LOOP = 18.0, 8.2, 0.012
# Speed and acceleration of each shape for a way of 1 in a time of 1, from its definition; between the places where it
# jumps.
SHAPES = {
    "trapezoid": (
        lambda u: 4.5 * min(u, 1 / 3, 1 - u),
        lambda u: 4.5 if u < 1 / 3 else 0.0 if u < 2 / 3 else -4.5,
        (0, 1 / 3, 2 / 3, 1),
    ),
    "triangle": (lambda u: 4 * min(u, 1 - u), lambda u: 4.0 if u < 0.5 else -4.0, (0, 0.5, 1)),
    "half_cosine": (
        lambda u: math.pi / 2 * math.sin(math.pi * u),
        lambda u: math.pi**2 / 2 * math.cos(math.pi * u),
        (0, 0.5, 1),
    ),
    "cycloidal": (
        lambda u: 1 - math.cos(2 * math.pi * u),
        lambda u: 2 * math.pi * math.sin(2 * math.pi * u),
        (0, 0.25, 0.5, 0.75, 1),
    ),
}
POINTS, WEIGHTS = np.polynomial.legendre.leggauss(20)


def gauss(value, borders):
    """Mean of a value over the move: 20 points in each stretch between two borders."""
    total = 0.0
    for low, high in zip(borders, borders[1:]):
        total += (
            (high - low) / 2 * sum(w * value((low + high) / 2 + (high - low) / 2 * p) for p, w in zip(POINTS, WEIGHTS))
        )
    return total


def drive_of(v):
    """All motors behind their gearboxes as one, on the output shaft."""
    plate, rotor, heat, cooling, counts, large = MOTORS[v["motor"]]
    ratio, stages, backlash, allowed = GEARBOXES[v["gearbox"]]
    resistance, constant = constants(*plate)
    return SimpleNamespace(
        cold=resistance / v["count"],
        k=constant * ratio,
        idle=plate[2] * v["count"],
        rotor=rotor * v["count"] * ratio**2,
        there=STAGE**stages,
        back=driven_by_the_load(STAGE) ** stages,
        one=resistance,
        heat=heat,
        cooling=cooling,
        counts=counts,
        ratio=ratio,
        backlash=math.radians(backlash),
        allowed=allowed[large],
        limit=OUTPUT_LIMIT * v["count"],
    )


def asked(v, time):
    """Functions of the share of the move: speed, torque of the load and current of all motors together."""
    one, (speed, push, _) = drive_of(v), SHAPES[v["profile"]]
    inertia = v["mass"] * v["radius"] ** 2

    def torque(u):
        return v["load_torque"] + inertia * push(u) * v["angle"] / time**2

    def amps(u):
        load = torque(u)
        through = load / one.there if load >= 0 else load * one.back
        return (through + one.rotor * push(u) * v["angle"] / time**2) / one.k + one.idle

    return lambda u: speed(u) * v["angle"] / time, torque, amps


def left(v):
    """What everything else leaves of the battery's voltage, not less than nothing."""
    return max(OPEN_CIRCUIT - v.get("inner", INNER) * v["other_current"], 0.0)


def given(v, amps, resistance, speed):
    """A drive gets no more than the controllers let through, and than it takes standing still. Braking it makes a
    voltage itself, and the battery can be turned against it.
    """
    one = drive_of(v)
    own, source = one.k * speed, left(v)
    inner = v.get("inner", INNER)
    if amps < 0:
        return -min(-amps, one.limit, max((source + own) / (resistance + inner), own / resistance))
    return min(amps, source / (resistance + inner), one.limit)


def warm(v, rms):
    """Rise after the run at a constant current: what is made less what cools is a straight line over the rise."""
    one = drive_of(v)
    warming, settling = rms**2 * one.one / one.heat, (1 / one.cooling - rms**2 * one.one * COPPER) / one.heat
    gone = math.exp(-settling * v["run_time"])
    rise = v["start_rise"] * gone + warming / settling * (1 - gone)
    return rise if rise < 1000 else math.inf  # where copper melts


def from_battery(power, v):
    """Current that gives a power beside the others' current: the smaller root of (E - R I) (I - others) = P."""
    half = (OPEN_CIRCUIT + INNER * v["other_current"]) / 2
    return (half - math.sqrt(half**2 - INNER * (OPEN_CIRCUIT * v["other_current"] + power))) / INNER


def planned(v, time):
    """All that a move in a time brings."""
    one, (speed, torque, amps) = drive_of(v), asked(v, time)
    borders = SHAPES[v["profile"]][2]

    def longer(u, resistance):
        """The same push with less current takes so many times longer."""
        got = given(v, amps(u), resistance, speed(u))
        return amps(u) / got if got > 0 else 1.0

    hold = max(one.back * v["load_torque"] / one.k - one.idle, 0.0) if v["between"] == "holds" else 0.0
    # The same push (amperes times seconds) with less current takes longer: I^2 t of what it gets, times asked / got.
    moving = gauss(lambda u: given(v, amps(u), one.cold, speed(u)) ** 2 * longer(u, one.cold), borders)
    rms = math.sqrt((time * moving + v["pause"] * hold**2) / (time + v["pause"])) / v["count"]
    rise = warm(v, rms)
    hot = one.cold * (1 + COPPER * min(rise, MOST_RISE))

    def volts(u):
        return one.k * speed(u) + hot * amps(u)

    def battery(u):
        """Amperes of everything. A drive that can't follow is fully on: it takes what it asks, as far as it gets it."""
        got, own = given(v, amps(u), hot, speed(u)), one.k * speed(u)
        if own + hot * got > own + hot * (left(v) - own) / (hot + INNER):
            return v["other_current"] + max(got, 0.0)
        return from_battery(max((own + hot * got) * got, 0.0), v)

    def braking(u):
        """Braking it comes through all lower speeds; the most is looked for among them, one by one."""
        if amps(u) >= 0:
            return 0.0
        slower = np.linspace(0.0, speed(u), 400)
        took = []
        for w in slower:
            got = -given(v, amps(u), hot, w)
            took.append(from_battery(max((hot * got - one.k * w) * got, 0.0), v))
        return max(took)

    waiting = from_battery(hot * given(v, hold, hot, 0.0) ** 2, v)
    moves = v["run_time"] / (time + v["pause"])
    return SimpleNamespace(
        speed=speed,
        torque=torque,
        amps=amps,
        volts=volts,
        battery=battery,
        braking=braking,
        waiting=waiting,
        rms=rms,
        rise=rise,
        borders=borders,
        fuse=lambda: (
            moves
            * (
                time * gauss(lambda u: longer(u, hot) / fuse_seconds(battery(u)), borders)
                + v["pause"] / fuse_seconds(waiting)
            )
        ),
        charge=lambda: (
            moves * (time * gauss(lambda u: longer(u, hot) * battery(u), borders) + v["pause"] * waiting) / CAPACITY
        ),
        room=lambda u: OPEN_CIRCUIT - INNER * battery(u) - abs(volts(u)),
    )


def most(value, borders):
    """The highest value over the move: inside each stretch, its ends counted."""
    found = []
    for low, high in zip(borders, borders[1:]):
        ends = (low + 1e-12, high - 1e-12)
        grid = np.linspace(*ends, 13)
        best = max(grid, key=value)
        near = minimize_scalar(
            lambda u: -value(u),
            bounds=(max(best - 0.09, ends[0]), min(best + 0.09, ends[1])),
            method="bounded",
            options={"xatol": 1e-10},
        )
        found += [value(best), -near.fun]
    return max(found)


def by_hand(v):
    """All findings of one state but the shortest times."""
    one, done = drive_of(v), planned(v, v["time_wanted"])
    top, highest = most(done.speed, done.borders), most(done.battery, done.borders)
    highest = max(highest, *(done.braking(u) for u in np.linspace(1e-9, 1 - 1e-9, 25)))
    return {
        "room": -most(lambda u: -done.room(u), done.borders),
        "current": most(lambda u: abs(done.amps(u)), done.borders) / v["count"],
        "volts": OPEN_CIRCUIT - INNER * max(highest, done.waiting),
        "fuse_used": done.fuse(),
        "rise": done.rise,
        "off": top * LOOP,
        "strength": most(lambda u: abs(done.torque(u)), done.borders) / v["count"] / one.allowed,
        "rms": done.rms,
        "all_current": highest,
        "charge": done.charge(),
        "step": 2 * math.pi / (one.counts * one.ratio),
        "play": one.backlash,
        "top_speed": top,
        "least_loop": top * v["time_wanted"] * LOOP / v["error_allowed"],
        # held fast: the motors stand, no more than the controllers let through
        "jam": one.there
        * one.k
        * (min(OPEN_CIRCUIT / (one.cold + INNER), one.limit) - one.idle)
        / (v["count"] * one.allowed),
        "safe_current": one.allowed / (one.there * one.k) + one.idle / v["count"],
    }


USUAL = dict(
    angle=math.radians(115),
    time_wanted=0.9,
    pause=1.3,
    run_time=90.0,
    load_torque=2.1,
    mass=0.42,
    radius=0.31,
    other_current=4.5,
    error_allowed=math.radians(5),
    profile="trapezoid",
    motor="brisk",
    gearbox="turn_56",
    count=2,
    between="rests",
    start_rise=7.0,
)
STATES = {
    "two motors, thirds, at rest between": {},
    "two motors hold between": {"between": "holds", "load_torque": 3.4, "pause": 2.2},
    "one large motor, halves": {
        "profile": "triangle",
        "count": 1,
        "motor": "stout",
        "gearbox": "turn_14",
        "load_torque": 1.3,
        "other_current": 11.0,
    },
    "slows down by the gears' and the motor's own power": {
        "load_torque": 0.2,
        "mass": 2.0,
        "time_wanted": 0.8,
        "start_rise": 0.0,
    },
    "the fuse feels moves and pauses": {
        "other_current": 28.5,
        "motor": "feather",
        "gearbox": "turn_100",
        "load_torque": 3.0,
        "time_wanted": 1.8,
        "between": "holds",
        "run_time": 40.0,
    },
    "lags for want of voltage": {
        "motor": "feather",
        "gearbox": "turn_14",
        "load_torque": 3.0,
        "time_wanted": 0.6,
        "run_time": 30.0,
    },
    "lags for want of current": {
        "motor": "stout",
        "gearbox": "turn_14",
        "count": 1,
        "load_torque": 6.0,
        "time_wanted": 0.6,
    },
    "lags for want of current alone": {
        "motor": "stout",
        "gearbox": "turn_25",
        "count": 1,
        "load_torque": 4.0,
        "mass": 2.0,
        "angle": math.radians(30),
        "time_wanted": 0.32,
        "radius": 0.4,
        "pause": 20.0,
        "start_rise": 0.0,
    },
    "too hot": {"motor": "feather", "gearbox": "turn_100", "count": 1, "load_torque": 3.2, "pause": 0.2},
    "melts": {"motor": "feather", "gearbox": "turn_100", "count": 1, "load_torque": 6.5, "pause": 0.0},
}
# Soft shapes: found at the ends of twelve parts of the move, so that what is worst between two of them is a little
# missed.
SOFT_STATES = {
    "half a cosine": {
        "profile": "half_cosine",
        "count": 3,
        "motor": "feather",
        "gearbox": "turn_100",
        "angle": math.radians(90),
    },
    "cycloidal, holds between": {"profile": "cycloidal", "between": "holds", "gearbox": "turn_72", "load_torque": 3.0},
}
LIMITS = ("drive", "battery", "fuse", "heat", "loop")
SAMPLED = {
    "room": 1e-7,
    "off": 1e-7,
    "top_speed": 1e-7,
    "least_loop": 1e-7,
    "all_current": 1e-7,
    "volts": 1e-7,
    "charge": 1e-4,
    "fuse_used": 2e-4,
}


def typed(v):
    return v | {"count": str(v["count"])}


@pytest.mark.parametrize("name", STATES | SOFT_STATES)
def test_every_finding(name):
    """The shortest times, but for that of the program's loop, have tests of their own below."""
    state = USUAL | (STATES | SOFT_STATES)[name]
    report = judged("power", **typed(state))
    shortest = {f"least_{limit}": report.good[f"least_{limit}"] for limit in LIMITS[:-1]}
    soft = {"room": 0.02, "all_current": 5e-3, "volts": 3e-4, "charge": 1e-3} if name in SOFT_STATES else {}
    found = by_hand(state)
    agree(
        report, found | shortest | {"least": max(*shortest.values(), report.good["least_loop"])}, loose=SAMPLED | soft
    )


def test_the_states_meet_what_they_are_named_for():
    found = {name: by_hand(USUAL | change) for name, change in STATES.items()}
    for name, want in (("lags for want of voltage", "room"), ("lags for want of current", "current")):
        assert found[name]["room"] < 0 and (found[name]["current"] > OUTPUT_LIMIT) == (want == "current")
    # The controller chops: it takes a little less from the battery than it lets through the motor.
    assert 4.5 + 0.95 * OUTPUT_LIMIT < found["lags for want of current"]["all_current"] < 4.5 + OUTPUT_LIMIT
    alone = found["lags for want of current alone"]
    assert alone["room"] > 0 and alone["current"] > OUTPUT_LIMIT, "voltage enough, but no current"
    assert MOST_RISE < found["too hot"]["rise"] < 1000 and found["melts"]["rise"] == math.inf
    slows = planned(USUAL | STATES["slows down by the gears' and the motor's own power"], 0.8)
    assert slows.torque(0.9) < 0 and slows.amps(0.9) < 0
    assert slows.battery(0.9) == pytest.approx(4.5), "nothing is taken back"
    holds = planned(USUAL | STATES["two motors hold between"], 0.9)
    assert holds.waiting > 4.5
    fuse = planned(USUAL | STATES["the fuse feels moves and pauses"], 1.8)
    assert fuse_seconds(fuse.waiting) < math.inf and fuse.battery(0.3) > fuse.waiting


def test_the_rise_is_that_of_a_lump_of_heat_step_by_step():
    """Integrated by scipy: heat in the resistance as it grows, less what cools."""
    for change in ({}, {"between": "holds", "load_torque": 4.0, "start_rise": 31.0}, STATES["too hot"]):
        state = USUAL | change
        good, one = judged("power", **typed(state)).good, drive_of(state)

        def rate(_, rise):
            return (good["rms"] ** 2 * one.one * (1 + COPPER * rise) - rise / one.cooling) / one.heat

        done = solve_ivp(rate, (0, 90.0), [state["start_rise"]], rtol=1e-11, atol=1e-11)
        assert good["rise"] == pytest.approx(done.y[0, -1], rel=1e-7)


# What each limit asks of a move in a time: at most 0 where it is kept.
BEYOND = {
    "drive": lambda v, done: max(
        most(lambda u: -done.room(u), done.borders),
        most(lambda u: abs(done.amps(u)), done.borders) / drive_of(v).limit - 1,
        most(lambda u: abs(done.torque(u)), done.borders) / v["count"] / drive_of(v).allowed - 1,
    ),
    "battery": lambda v, done: RESET - OPEN_CIRCUIT + INNER * max(most(done.battery, done.borders), done.waiting),
    "fuse": lambda v, done: done.fuse() - 1,
    "heat": lambda v, done: done.rise - MOST_RISE,
}
WHOLE = 60.0 / 0.05  # shortest times are sought from 0.05 s to 60 s: twelve places, each step halved six times
FINENESS = WHOLE ** (1 / 11 / 64)
LIMITED = {
    "voltage": ("drive", {}),
    "the controllers": (
        "drive",
        {
            "motor": "stout",
            "gearbox": "turn_25",
            "count": 1,
            "load_torque": 4.0,
            "angle": math.radians(30),
            "mass": 2.0,
            "radius": 0.4,
            "pause": 20.0,
            "start_rise": 0.0,
        },
    ),
    "the gears": (
        "drive",
        {
            "motor": "brisk",
            "gearbox": "turn_224",
            "load_torque": 17.25,
            "mass": 12.0,
            "radius": 0.6,
            "angle": math.radians(30),
        },
    ),
    # Between the two shortest times that are tried.
    "voltage, soon": (
        "drive",
        {"angle": math.radians(10), "mass": 0.05, "radius": 0.05, "load_torque": 0.3, "run_time": 10.0, "pause": 20.0},
    ),
    "the battery": (
        "battery",
        {
            "motor": "stout",
            "gearbox": "turn_14",
            "count": 4,
            "load_torque": 8.0,
            "other_current": 29.0,
            "mass": 2.0,
            "pause": 60.0,
            "run_time": 60.0,
            "start_rise": 0.0,
        },
    ),
    "the fuse": (
        "fuse",
        {"motor": "stout", "gearbox": "turn_14", "count": 3, "load_torque": 2.5, "other_current": 18.0, "pause": 0.0},
    ),
    "heat": (
        "heat",
        {
            "motor": "feather",
            "gearbox": "turn_100",
            "count": 1,
            "load_torque": 0.9,
            "pause": 0.1,
            "mass": 3.0,
            "start_rise": 20.0,
        },
    ),
    "heat while it holds": (
        "heat",
        {"between": "holds", "gearbox": "turn_25", "load_torque": 3.6, "mass": 1.5, "run_time": 120.0},
    ),
}


@pytest.mark.parametrize("name", LIMITED)
def test_the_shortest_time_keeps_its_limit_and_a_shorter_one_does_not(name):
    """At the time found the limit is kept; by one step of the search less it is not."""
    limit, change = LIMITED[name]
    state = USUAL | change
    good = judged("power", **typed(state)).good
    least, beyond = good[f"least_{limit}"], BEYOND[limit]
    assert 0.05 < least < 5 and (least < 0.095) == (name == "voltage, soon") and FINENESS < 1.0102
    kept, broken = (beyond(state, planned(state, time)) for time in (least * 1.0005, least / FINENESS / 1.0005))
    assert kept <= 0 < broken
    braking = planned(state, least / FINENESS / 1.0005)
    assert min(braking.amps(u) for u in np.linspace(0, 1, 50)) > -drive_of(state).limit, (
        "the controllers could brake it so"
    )
    assert good["least"] == max(good[f"least_{one}"] for one in LIMITS) >= least
    for factor in (1.05, 1.3, 2.0):
        assert beyond(state, planned(state, least * factor)) < 0


def test_what_limits_the_drive_differs():
    """Voltage, current and strength are each the first to give out in one of the states above."""
    for name, wanted in (("voltage", 0), ("the controllers", 1), ("the gears", 2)):
        state = USUAL | LIMITED[name][1]
        least = judged("power", **typed(state)).good["least_drive"]
        done, one = planned(state, least / 1.02), drive_of(state)
        beyond = (
            -most(lambda u: -done.room(u), done.borders) < 0,
            most(lambda u: abs(done.amps(u)), done.borders) > one.limit,
            most(lambda u: abs(done.torque(u)), done.borders) / state["count"] > one.allowed,
        )
        assert beyond == tuple(place == wanted for place in range(3)), name


def test_no_time_will_do_and_any_time_will_do():
    """Too weak, or too hot by holding alone: never. A fuse and a battery that hardly feel the drive: no limit."""
    weak = USUAL | {"motor": "feather", "gearbox": "turn_14", "load_torque": 3.0}
    good = judged("power", **typed(weak)).good
    assert good["least_drive"] == good["least"] == math.inf and good["least_fuse"] == 0 == good["least_battery"]
    assert all(BEYOND["drive"](weak, planned(weak, time)) > 0 for time in np.geomspace(0.5, 60.0, 12))
    holding = USUAL | {"between": "holds", "load_torque": 16.0, "gearbox": "turn_72", "pause": 20.0, "run_time": 300.0}
    good = judged("power", **typed(holding)).good
    assert good["least_heat"] == math.inf
    assert all(BEYOND["heat"](holding, planned(holding, time)) > 0 for time in np.geomspace(0.5, 60.0, 12))


def test_others_alone_may_blow_the_fuse():
    """30 A of everything else for 600 s: no time of a move helps."""
    assert fuse_seconds(30.0) < 600.0
    assert (
        judged("power", other_current="30 A", run_time="600 s", motor="feather", gearbox="turn_100").good["least_fuse"]
        == math.inf
    )


def test_a_battery_that_others_use_up(tmp_path):
    """30 A through 0.6 ohm are more than its 15.8 V: nothing is left to drive with, and braking alone heats."""
    kit = altered_kit(
        tmp_path,
        parts={
            'resistance = "0.10 ohm"': 'resistance = "0.60 ohm"',
            'resistance_worn = "0.17 ohm"': 'resistance_worn = "0.60 ohm"',
        },
    )
    state = USUAL | {"other_current": 30.0, "load_torque": 0.0, "mass": 1.1}
    report, (speed, _, amps) = judged("power", kit, **typed(state)), asked(state, 0.9)
    shorted = lambda u: drive_of(state).k * speed(u) / drive_of(state).cold  # its own voltage alone brakes it
    braking = gauss(lambda u: min(max(-amps(u), 0.0), shorted(u)) ** 2, SHAPES["trapezoid"][2])
    rms = math.sqrt(0.9 * braking / (0.9 + 1.3)) / 2
    assert braking > 0 and left(state | {"inner": 0.6}) == 0
    some_agree(
        report,
        {"rms": rms, "rise": warm(state, rms), "volts": 0.0, "all_current": 30.0, "charge": 30.0 * 90 / CAPACITY},
        loose={"rms": 0.03, "rise": 2e-3},  # found at 24 instants, though it bends between two of them
    )


def test_many_at_once():
    """Shapes without a soft end, rests and holds, motors and gearboxes, side by side."""
    values = {
        name: value for name, value in USUAL.items() if name not in ("profile", "between", "motor", "gearbox", "count")
    }
    vary = {
        "profile": ["trapezoid", "triangle"],
        "between": ["holds", "rests"],
        "motor": ["brisk", "stout"],
        "gearbox": ["turn_56", "turn_72"],
        "count": ["1", "2"],
    }
    rows_agree(
        "power", values, vary, lambda choice: by_hand(USUAL | choice | {"count": int(choice["count"])}), loose=SAMPLED
    )


def test_bounds():
    state = USUAL | {"gearbox": "turn_72"}
    bounds_agree(
        judged("power", **typed(state)),
        {
            "room": at_least(0.0, whole=5.0),
            "current": at_most(OUTPUT_LIMIT),
            "volts": at_least(RESET),
            "fuse_used": at_most(1.0),
            "rise": at_most(MOST_RISE),
            "off": at_most(math.radians(5)),
            "strength": at_most(1.0),
        },
    )


def test_a_drive_braked_against_the_battery_takes_power_from_it():
    """A controller is a switch that is on for a share of the time, either way round: the motor feels that share of the
    battery's voltage, and the battery feels that share of the motor's current. The share is found by bisection.
    """
    state = USUAL | {"load_torque": 0.1, "mass": 2.0, "time_wanted": 0.22, "start_rise": 0.0, "run_time": 10.0}
    done, one = planned(state, 0.22), drive_of(state)
    hot = one.cold * (1 + COPPER * done.rise)
    against = 0
    for u in (0.5, 0.6, 0.68, 0.72, 0.76, 0.8, 0.84, 0.9, 0.99):
        amps = done.amps(u)
        asked_volts = one.k * done.speed(u) + hot * amps

        def felt(share, amps=amps):
            return share * (OPEN_CIRCUIT - INNER * (share * amps + state["other_current"])), share * amps

        if not felt(-1.0)[0] < asked_volts < felt(1.0)[0]:
            continue  # all of the battery is not enough: it lags
        share = brentq(lambda share: felt(share)[0] - asked_volts, -1.0, 1.0)
        assert done.battery(u) == pytest.approx(state["other_current"] + max(felt(share)[1], 0.0), rel=1e-9), u
        against += asked_volts < 0
    assert against >= 2
    good = judged("power", **typed(state)).good
    assert good["all_current"] == pytest.approx(max(done.battery(u) for u in np.linspace(0.67, 1.0, 2000)), rel=0.01)

"""What stands between the battery and a load, for every mechanism that motors turn: last stage, train, battery, fuse.

Contents: turning, up_to (what is shown first); NONE, KINDS, STAGE, last_stages, with_none (tables); whole_train,
carried, gearbox_carries (the train); JAM, jammed, stalled, most_torque (stuck, or from rest); at_load (a motor at a
load); bus_of (what feeds it); fuse_lasts, fuse_share, fuse_used, OF_A_MOVE, drawn (the fuse); lowest_voltage (the
battery); runaway (what can't be braked in time); column (against points of a travel).
"""

import numpy as np

from mechbench.engine.spec import Finding, Nearest
from mechbench.kits import Table, figures, two_wheels
from mechbench.kits.by_figures import family_of
from mechbench.physics import battery, drive, gearing, motion

NONE = "none"
# About how quickly the output of a gearbox turns without load, rad/s. Chosen.
ARM_SPEED, WINCH_SPEED, SPOOL_SPEED, ROLLER_SPEED = 10.0, 8.0, 54.0, 70.0
PARTS = 8  # of each part of a move, as the fuse feels it
# What of a move `fuse_used` looks at.
OF_A_MOVE = ("time", "bus_current", "part_time", "part_from", "part_to", "part_bend", "part_held")
# Columns of a last stage. kind: one of KINDS. tooth: module of gears, pitch of belt or chain. Pictures need kind and
# what follows.
STAGE = (
    "ratio",
    "efficiency",
    "efficiency_driven",
    "backlash",
    "allowed",
    "mass",
    "kind",
    "teeth_in",
    "teeth_out",
    "tooth",
    "diameter_in",
    "diameter_out",
)
KINDS = {NONE: 0.0, "gear": 1.0, "belt": 2.0, "chain": 3.0}

# What every mechanism with a gearbox tells: its gears may be strong enough for the load, and too weak for a jam.
JAM = (
    Finding(
        "jam",
        "stuck: share of the gears' strength",
        "%",
        "output held fast, motor fully on: above 100 % gears break, unless the program limits the current",
        worse="more",
        also=("jammed", "jams", "stuck", "stall", "stalls", "stalled"),
    ),
    Finding(
        "safe_current",
        "current that the gears bear, stuck",
        "A",
        "of one motor: let the program allow no more, and a jam does not break the gears",
        worse="less",
        also=("current_limit", "limit"),
    ),
)


def turning(speed):
    """The gearbox that turns an output at about this speed without load, behind the kit's usual motor."""
    return Nearest("ratio", lambda kit: figures.free_speed(kit) / speed, log=True)


def up_to(number):
    """So many motors, or as many as the game allows a robot."""

    def of(table, tables):
        most = figures.motors_limit(tables.kit)
        return table.names[int(max(min(number, most or number), 1)) - 1]

    return of


def last_stages(kit, table_of=None):
    """All pairs of gears, pulleys and sprockets of the kit as one table; "none" first.

    table_of: gives a table by its name, where it is not the kit's own
    """
    none = "no last stage"
    names, labels, wheels_of, bands, rows = (
        [NONE],
        {NONE: none},
        [(NONE, none)],
        {},
        [(1.0, 1.0, 1.0, 0.0, np.inf, 0.0, KINDS[NONE], 1.0, 1.0, 0.0, 0.0, 0.0)],
    )
    for kind, table in (("gear", "spur_gears"), ("belt", "pulleys"), ("chain", "sprockets")):
        wheels = (table_of or kit.table)(table)
        families = [family_of(name) for name in wheels.names]
        said = [two_wheels.words_of(wheels.labels[name]) for name in wheels.names]
        for i, first in enumerate(wheels.names):
            for j in range(len(wheels)):
                if i != j and families[i] == families[j]:
                    teeth = wheels.columns["teeth"][[i, j]]
                    rows.append(_pair(wheels.columns, i, j, kind))
                    names.append(f"{first}_to_{int(teeth[1])}")
                    labels[names[-1]] = two_wheels.label_of(said[i], *teeth)
                    wheels_of.append((families[i], said[i]))
                    bands[names[-1]] = wheels.assumed.get(first, {})  # the same of both wheels
    columns = dict(zip(STAGE, np.array(rows).T))
    texts = dict(zip((two_wheels.FAMILY, two_wheels.WHEELS), zip(*wheels_of)))
    return Table("last_stages", names, NONE, labels, columns, texts, assumed=bands)


def _pair(columns, i, j, kind):
    """One driving and one driven wheel as a stage; what a wheel may pass on is seen from the driven one."""
    ratio = columns["teeth"][j] / columns["teeth"][i]
    efficiency = columns["efficiency"][i]
    allowed = min(columns["allowed"][i] * ratio, columns["allowed"][j])
    backlash = columns["play"][i] / (columns["pitch_diameter"][j] / 2)
    mass = columns["mass"][i] + columns["mass"][j]
    driven = gearing.efficiency_driven(efficiency)
    tooth = columns["module" if kind == "gear" else "pitch"][i]
    sizes = (
        columns["teeth"][i],
        columns["teeth"][j],
        tooth,
        columns["pitch_diameter"][i],
        columns["pitch_diameter"][j],
    )
    return (ratio, efficiency, driven, backlash, allowed, mass, KINDS[kind], *sizes)


def with_none(table, name, label, usual=NONE, **neutral):
    """A table of the kit with "none" first, whose numbers are 0 unless given."""
    columns = {key: np.r_[neutral.get(key, 0.0), values] for key, values in table.columns.items()}
    return Table(
        name, (NONE, *table.names), usual or NONE, {NONE: label, **table.labels}, columns, assumed=table.assumed
    )


def whole_train(gearbox, last):
    """The gearbox and the last stage as one train without mass; each argument holds columns. What it bears: carried."""

    def both(first, second):
        return np.stack(np.broadcast_arrays(first, second), axis=-1)

    return gearing.combine(
        both(gearbox.ratio, last.ratio),
        np.ones(2),
        both(gearbox.efficiency, last.efficiency),
        both(gearbox.efficiency_driven, last.efficiency_driven),
        both(gearbox.backlash, last.backlash),
        np.full(2, np.inf),
        np.zeros(2),
    )


def carried(x, count):
    """What the train may carry: each motor has its own gearbox, but all share the last stage."""
    boxes = count * gearbox_carries(x)
    return np.minimum(boxes * x.last_stage.ratio * x.last_stage.efficiency, x.last_stage.allowed)


def gearbox_carries(x):
    """What one gearbox may carry behind a motor of that size."""
    return np.where(x.motor.size == 0, x.gearbox.allowed_small, x.gearbox.allowed_large)


def stalled(line, bus):
    """Torque of motors held fast at full voltage, on a battery that sags, or at their controllers' limit."""
    return drive.stall_torque(line, bus.open_circuit * line.resistance / (line.resistance + bus.resistance))


def most_torque(line, bus):
    """The most that a drive gives from rest, as motion.move tells it of a load without grip that ends [S]."""
    current = np.minimum(bus.open_circuit / (line.resistance + bus.resistance), line.current_limit)
    return line.efficiency * line.torque_constant * (current - line.free_current)


def jammed(line, carried, bus, count=1):
    """The findings of JAM: `count` motors with their gears as one line, held fast; `carried` is what the gears bear."""
    return {
        "jam": stalled(line, bus) / carried,
        "safe_current": drive.current_for_torque(line, carried) / count,
    }


def at_load(part, count, torque, battery, limit):
    """Voltage, current of one motor, and speed when `count` motors share a torque on one battery.

    The current is what the load asks, or what a motor that stands draws; the controller lets no more than `limit`
    through, so where more is asked the motor stands, too: speed 0.
    """
    asked = torque / count / part.torque_constant + part.free_current
    stalled = battery.open_circuit / (part.resistance + count * battery.resistance)
    amps = np.minimum(asked, stalled)
    volts = battery.open_circuit - battery.resistance * count * amps
    turns = (asked < stalled) & (asked <= limit * (1 + 1e-12))
    speed = np.where(turns, (volts - part.resistance * amps) / part.torque_constant, 0.0)
    return volts, amps, np.maximum(speed, 0.0)


def bus_of(x):
    """The battery and reset of the kit, as motion wants them."""
    return motion.Bus(x.battery.open_circuit, x.battery.resistance, x.controller.reset_level, x.controller.reset_after)


def fuse_share(by):
    """The finding for what fuse_used gives; `by` says what uses it up."""
    told = f"by {by}; at 100 % it melts; a short peak counts little, 0 %: it carries this for ever"
    return Finding(
        "fuse_used", "share of the fuse used up", "%", told, "at most", 100.0, also=("fuse", "blow", "blows", "breaker")
    )


def lowest_voltage(when):
    """The finding for the lowest voltage that lasts as long as the kit's reset waits; `when` says in which move."""
    asked, wait = "controller.reset_level", "controller.reset_after"
    return Finding(
        "volts",
        "lowest battery voltage",
        "V",
        when,
        "at least",
        asked,
        lasts=wait,
        also=("voltage", "battery", "brownout", "reset", "resets", "sag", "sags"),
    )


def fuse_lasts(x, amps):
    """How long the kit's fuse carries a current [S], or currents [S,N]; on a bad day it is as quick as its type may be.

    Its points are the same in every row, its patience is not.
    """
    fuse, wide = x.fuse, np.ndim(amps) > 1
    rating, patience = (column(value) if wide else value for value in (fuse.rating, fuse.patience))
    points = (tuple(values[0]) for values in (fuse.ratio, fuse.time, fuse.time_quick))
    ratio, slow, quick = points
    return battery.time_to_blow(battery.Fuse(rating, ratio, slow, float(fuse.holds[0]), quick, patience), amps)


def fuse_used(x, line, done):
    """Share of the fuse's patience that a move of one drive uses up [S]: each part of it weighs by its own current.

    A drive that never arrives stands, and takes its highest current until the fuse melts.
    """
    melts = np.isfinite(fuse_lasts(x, done.bus_current))
    if not melts.any():  # a search has thousands of rows that its fuse carries for ever
        return np.zeros(len(done.time))
    seconds, amps = drawn(x, line, done)
    rates, stands = 1 / fuse_lasts(x, amps), np.where(melts, np.inf, 0.0)
    return np.where(np.isfinite(done.time[:, 0]), np.sum(seconds * rates, axis=-1), stands)


def drawn(x, line, done):
    """What a move of one drive draws from the battery, in order: seconds, and the current that long, each [S,N]; no
    seconds where it never arrives.

    It follows the rotors, which of wheels that slip are up to speed long before the robot is.
    """
    arrives = column(np.isfinite(done.time[:, 0]))
    seconds = np.where(arrives, done.part_time[:, 0], 0.0)
    turns, held = _turning(done), done.part_held[:, 0, :, None]
    source, inner = (column(part)[..., None] for part in (x.battery.open_circuit, x.battery.resistance))
    ohms, constant = (column(part)[..., None] for part in (line.resistance, line.torque_constant))
    amps = np.where(held == 0, (source - constant * turns) / (ohms + inner), held)
    # A controller that chops has the battery give the power that its motors take.
    power = amps * (ohms * amps + constant * turns)
    chopped = 2 * power / (source + np.sqrt(np.maximum(source**2 - 4 * inner * power, 0.0)))
    taken = np.where(held == 0, amps, chopped)
    return np.repeat(seconds / PARTS, PARTS, axis=-1), taken.reshape(len(taken), -1)


def _turning(done):
    """Speed of the rotors of one drive at some instants of each part of its move [S,K,PARTS]."""
    share = (np.arange(PARTS) + 0.5) / PARTS
    first, last, bend = (part[:, 0, :, None] for part in (done.part_from, done.part_to, done.part_bend))
    curved = bend > 1e-6
    gone = np.where(curved, np.expm1(-bend * share) / np.expm1(-np.where(curved, bend, 1.0)), share)
    return first + (last - first) * gone


def runaway(*moves):
    """Of moves of one drive that can't be braked in time: which current would, and from which share of the way on.

    0 where all of them can be; of several moves the first that can't.
    """
    found = {"stop_current": 0.0, "stop_from": 0.0}
    for done in reversed(moves):
        lost, way = done.why[:, 0] == "limited", done.q[:, 0, -1] - done.q[:, 0, 0]
        parts = done.stop_current[:, 0], (done.where[:, 0] - done.q[:, 0, 0]) / way
        found = {name: np.where(lost, part, found[name]) for name, part in zip(found, parts)}
    return found


def column(values):
    """[S] as [S,1], to stand against points of a travel."""
    return np.atleast_1d(values)[:, None]

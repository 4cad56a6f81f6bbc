"""What stands between the battery and a load, for every mechanism that motors turn: last stage, train, battery, fuse.

Contents: NONE, KINDS, STAGE, last_stages, with_none (tables); whole_train, carried (the train); at_load (a motor at a
load); bus_of, fuse_of (what feeds it); runaway (what can't be braked in time); column (against points of a travel).
"""

import numpy as np

from mechbench.kits import Table
from mechbench.physics import battery, gearing, motion

NONE = "none"
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


def last_stages(kit):
    """All pairs of gears, pulleys and sprockets of the kit as one table; "none" first."""
    names, labels, rows = (
        [NONE],
        {NONE: "no last stage"},
        [(1.0, 1.0, 1.0, 0.0, np.inf, 0.0, KINDS[NONE], 1.0, 1.0, 0.0, 0.0, 0.0)],
    )
    for kind, table in (("gear", "spur_gears"), ("belt", "pulleys"), ("chain", "sprockets")):
        wheels = kit.table(table)
        for i, first in enumerate(wheels.names):
            for j, second in enumerate(wheels.names):
                same = first.rsplit("_", 1)[0] == second.rsplit("_", 1)[0]
                if i != j and same:
                    rows.append(_pair(wheels.columns, i, j, kind))
                    names.append(f"{first}_to_{int(wheels.columns['teeth'][j])}")
                    labels[names[-1]] = f"{wheels.labels[first]} to {int(wheels.columns['teeth'][j])}"
    columns = dict(zip(STAGE, np.array(rows).T))
    return Table("last_stages", names, NONE, labels, columns)


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
    return Table(name, (NONE, *table.names), usual, {NONE: label, **table.labels}, columns)


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
    boxes = count * np.where(x.motor.size == 0, x.gearbox.allowed_small, x.gearbox.allowed_large)
    return np.minimum(boxes * x.last_stage.ratio * x.last_stage.efficiency, x.last_stage.allowed)


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
    """The battery and reset level of the kit, as motion wants them."""
    return motion.Bus(x.battery.open_circuit, x.battery.resistance, x.controller.reset_level)


def fuse_of(x):
    """The kit's fuse; its curve is the same in every row."""
    return battery.Fuse(x.fuse.rating, tuple(x.fuse.ratio[0]), tuple(x.fuse.time[0]), float(x.fuse.holds[0]))


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

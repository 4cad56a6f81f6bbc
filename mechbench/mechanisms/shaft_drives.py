"""What can turn a shaft: every motor of the kit behind every gearbox that goes with it, and every servo, as one table.

Contents: shaft_drives, endless, line_of, bus_of.

A sizing whose mechanism is turned by "a servo or a geared motor" picks from this table. Motors run on the battery,
servos on the servo rail's fixed voltage; the column `servo` tells which.
"""

from dataclasses import fields

import numpy as np

from mechbench.kits import Table, pairing
from mechbench.physics import drive, motion, motor
from mechbench.physics.servo import servo_line

# allowed: torque that must not be exceeded; holding: torque that it can hold for long without getting too hot.
COLUMNS = (
    "servo",
    "resistance",
    "torque_constant",
    "free_current",
    "rotor_inertia",
    "efficiency",
    "efficiency_driven",
    "current_limit",
    "allowed",
    "holding",
    "travel",
    "play",
    "mass",
)
RAIL_RESERVE = (
    0.9  # a servo's own electronics brake it down to this share of the rail's voltage; common practice, no source
)


def shaft_drives(kit):
    """All servos, then all motors with all gearboxes that go with them, of the kit."""
    names, labels, rows, bands = [], {}, [], {}
    motors, boxes = kit.table("motors"), kit.table("gearboxes")
    for name in kit.table("servos").names:
        names.append(name)
        labels[name] = kit.table("servos").labels[name]
        rows.append(_servo_row(kit, kit.table("servos").row(name)))
    for first, box in pairing.pairs(motors, boxes):
        names.append(pairing.name_of(motors, first, box))
        labels[names[-1]] = (
            motors.labels[first] if names[-1] == first else f"{motors.labels[first]}, {boxes.labels[box]}"
        )
        part, gears = motors.row(first), boxes.row(box)
        rows.append(_motor_row(kit, part, gears))
        assumed = motors.assumed.get(first, {}), boxes.assumed.get(box, {})
        bands[names[-1]] = _bands(kit, part, gears, assumed, rows[-1])
    columns = dict(zip(COLUMNS, np.array(rows).T))
    return Table("shaft_drives", names, kit.table("servos").usual, labels, columns, assumed=bands)


def endless(table, tables):
    """The first that turns without end: a servo, or else a geared motor."""
    return next((name for name, travel in zip(table.names, table.columns["travel"]) if np.isinf(travel)), None)


def _servo_row(kit, part):
    line = servo_line(part["voltage"], part["stall_torque"], part["stall_current"], part["free_speed"])
    return (
        1.0,
        *_constants(line),
        min(kit.servo_rail.current_limit, kit.servo_rail.pair_limit),
        part["stall_torque"],
        part["holding_torque"],
        part["travel"],
        part["play"],
        part["mass"],
    )


def _motor_row(kit, part, box):
    numbers = motor.Motor(**{field.name: part[field.name] for field in fields(motor.Motor)})
    line = drive.line(numbers, box["ratio"], box["efficiency"], box["efficiency_driven"])
    allowed = box["allowed_small"] if part["size"] == 0 else box["allowed_large"]
    held = (motor.continuous_current(numbers) + line.free_current) * line.torque_constant / line.efficiency_driven
    return (
        0.0,
        *_constants(line),
        kit.controller.output_limit,
        allowed,
        held,
        np.inf,
        box["backlash"],
        part["mass"] + box["mass"],
    )


def _bands(kit, part, box, own, row):
    """The bands of what was assumed of a motor and its gearbox (`own` of each), as their row has it.

    An end of a band is the row that this end makes: half the rotor's inertia is half behind gears too, but half the
    mass of a motor is more than half of motor and gearbox.
    """
    bands = {}
    for place, assumed in enumerate(own):
        for key, shares in assumed.items():
            pairs = [[dict(part), dict(box)] for _ in shares]
            for pair, share in zip(pairs, shares):
                pair[place][key] *= share
            for column, middle, *ends in zip(COLUMNS, row, *(_motor_row(kit, *pair) for pair in pairs)):
                if ends != [middle, middle]:
                    bands[column] = tuple(sorted(end / middle for end in ends))
    return bands


def _constants(line):
    return tuple(float(getattr(line, name)) for name in COLUMNS[1:7])


def line_of(x, ratio=1.0, efficiency=1.0, efficiency_driven=1.0):
    """The chosen drive's Line, behind a further stage where there is one; x.drive holds the columns."""
    part = x.drive
    own = drive.Line(*(getattr(part, name) for name in COLUMNS[1:8]))
    return drive.behind(own, ratio, efficiency, efficiency_driven)


def bus_of(x):
    """The battery for motors, the servo rail for servos."""
    servos = x.drive.servo == 1
    rail = x.servo_rail.voltage
    return motion.Bus(
        np.where(servos, rail, x.battery.open_circuit),
        np.where(servos, 0.0, x.battery.resistance),
        np.where(servos, RAIL_RESERVE * rail, x.controller.reset_level),
    )

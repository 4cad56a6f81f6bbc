"""Numbers that follow from the files: computed here once, so that no sizing computes them again.

Contents: DERIVED (table or record -> Derived), derived (the numbers of one part), Column.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from mechbench.physics.belt import belt_torque, chain_torque, pulley_diameter, sprocket_diameter
from mechbench.physics.gearing import efficiency_driven
from mechbench.physics.motor import from_nameplate
from mechbench.physics.teeth import pitch_diameter

INFINITE = float("inf")


def _motor(v):
    motor = from_nameplate(v["voltage"], v["free_speed"], v["free_current"], v["stall_torque"], v["stall_current"])
    return {
        "resistance": motor.resistance,
        "torque_constant": motor.torque_constant,
        "free_current": motor.free_current,
        "size": float(v["frame"] == "large"),
        "geared": v.get("geared", 0.0),
    }


def _gearbox(v):
    count = v.get("stage_count", len(v["stages"]))  # of a gearmotor's gears it is told, see kits/gearmotors.py
    return {
        "ratio": math.prod(v["stages"]),
        "stage_count": float(count),
        "efficiency": v["efficiency_per_stage"] ** count,
        # Stage by stage: the load of one stage is what the stage before it has to carry.
        "efficiency_driven": efficiency_driven(v["efficiency_per_stage"]) ** count,
        "overhung_moment": v["overhung_load"] * v["overhang"],
        "mass": v.get("mass", v["mass_per_stage"] * count),
        "built_in": v.get("built_in", 0.0),
    }


def _servo(v):
    speed = v["free_speed"] or math.radians(60) / v["time_per_60_deg"]
    return {
        "free_speed": speed,
        "time_per_60_deg": math.radians(60) / speed,
        "travel": v["travel"] or INFINITE,
        "endless": float(v["travel"] is None),
        "holding_torque": v["holding_share"] * v["stall_torque"],
    }


def _spur_gear(v):
    return {
        "pitch_diameter": pitch_diameter(v["module"], v["teeth"]),
        # The same force on a tooth whatever the size of the wheel: a little on the safe side for large ones.
        "allowed": v["allowed_on_20"] * v["teeth"] / 20,
        "mass": _wheel_mass(v),
    }


def _wheel_mass(v):
    """Weigh a wheel by teeth squared, as a disc of one thickness, from a wheel of 20 teeth."""
    return v["mass_of_20"] * (v["teeth"] / 20) ** 2


def _bevel_gear(v):
    return {"large_diameter": v["small_diameter"] * v["ratio"]}


def _pulley(v):
    return {
        "pitch_diameter": pulley_diameter(v["pitch"], v["teeth"]),
        "allowed": belt_torque(v["working_load"], v["pitch"], v["teeth"]),
        "mass": _wheel_mass(v),
    }


def _sprocket(v):
    return {
        "pitch_diameter": sprocket_diameter(v["pitch"], v["teeth"]),
        "allowed": chain_torque(v["working_load"], v["pitch"], v["teeth"]),
        "mass": _wheel_mass(v),
    }


def _round_part(v):
    return {"radius": v["diameter"] / 2, "inertia": v["mass"] * v["diameter"] ** 2 / 8}


def _slide(v):
    return {"stage_overlap": v["stage_length"] - v["stage_travel"]}


def _cord(v):
    return {
        "knotted_strength": v["breaking_strength"] * v["knot_keeps"],
        "pull_per_stretch": v["breaking_strength"] / v["stretch_at_break"],
    }


def _spool(v):
    return {"radius": v["diameter"] / 2}


def _extension_spring(v):
    stretch = v["free_length"] * (v["stretch_to"] - 1)
    return {
        "longest": v["free_length"] * v["stretch_to"],
        "most_force": v["initial_tension"] + v["rate"] * stretch,
        "most_energy": (v["initial_tension"] + v["rate"] * stretch / 2) * stretch,
    }


def _fuse(v):
    return {"time_quick": v["time_quick"] or v["time"], "patience": 0.5}


def _constant_spring(v):
    return {"most_energy": v["force"] * v["travel"]}


@dataclass(frozen=True)
class Column:
    """One number that follows: its kind of quantity (or "number"), and one line of help."""

    kind: str
    help: str


@dataclass(frozen=True)
class Derived:
    """What follows for a table: the function of one part's values, and the columns that it gives."""

    of: Callable
    columns: dict


_LENGTH_RADIUS = Column("length", "half the diameter")
_WHEEL = {"radius": _LENGTH_RADIUS, "inertia": Column("inertia", "as a solid disc of its mass")}
_MASS = Column("mass", "mass, by teeth squared from a wheel of 20 teeth")

DERIVED = {
    "motors": Derived(
        _motor,
        {
            "resistance": Column("resistance", "of the winding, cold"),
            "torque_constant": Column("torque-constant", "torque for each ampere, and as well voltage for each rad/s"),
            "free_current": Column("current", "current that turns into no torque: the free current"),
            "size": Column("number", "0 for a small frame, 1 for a large one"),
            "geared": Column("number", "1 for a gearmotor, which goes with its own gears alone, else 0"),
        },
    ),
    "gearboxes": Derived(
        _gearbox,
        {
            "ratio": Column("number", "turns of the motor for one turn of the output shaft"),
            "stage_count": Column("number", "number of stages"),
            "efficiency": Column("number", "share of the power that gets through when the motor drives"),
            "efficiency_driven": Column("number", "the same when the load drives the motor"),
            "overhung_moment": Column("torque", "highest bending of the output shaft by a sideways pull"),
            "mass": Column("mass", "mass of the gearbox, without motor"),
            "built_in": Column("number", "1 for the gears of a gearmotor, which go with that motor alone, else 0"),
        },
    ),
    "servos": Derived(
        _servo,
        {
            "free_speed": Column("turning-speed", "speed without load"),
            "time_per_60_deg": Column("time", "time to turn 60 degrees without load"),
            "travel": Column("angle", "from end to end; infinite where it turns without end"),
            "endless": Column("number", "1 where it turns without end, else 0"),
            "holding_torque": Column("torque", "torque that it can hold for long"),
        },
    ),
    "spur_gears": Derived(
        _spur_gear,
        {
            "pitch_diameter": Column("length", "module times teeth"),
            "allowed": Column("torque", "highest torque on this wheel"),
            "mass": _MASS,
        },
    ),
    "bevel_gears": Derived(_bevel_gear, {"large_diameter": Column("length", "pitch diameter of the large wheel")}),
    "pulleys": Derived(
        _pulley,
        {
            "pitch_diameter": Column("length", "pitch times teeth over pi"),
            "allowed": Column("torque", "torque at which the belt carries its working load"),
            "mass": _MASS,
        },
    ),
    "sprockets": Derived(
        _sprocket,
        {
            "pitch_diameter": Column("length", "pitch over the sine of half the angle from tooth to tooth"),
            "allowed": Column("torque", "torque at which the chain carries its working load"),
            "mass": _MASS,
        },
    ),
    "wheels": Derived(_round_part, _WHEEL),
    "rollers": Derived(_round_part, _WHEEL),
    "slides": Derived(_slide, {"stage_overlap": Column("length", "what stays inside when a stage is all the way out")}),
    "cords": Derived(
        _cord,
        {
            "knotted_strength": Column("force", "least pull that breaks it at a knot"),
            "pull_per_stretch": Column(
                "force", "pull for a stretch by its own length, as a straight line to the break"
            ),
        },
    ),
    "spools": Derived(_spool, {"radius": _LENGTH_RADIUS}),
    "extension_springs": Derived(
        _extension_spring,
        {
            "longest": Column("length", "longest allowed length"),
            "most_force": Column("force", "force at the longest allowed length"),
            "most_energy": Column("energy", "energy stored from free to longest allowed length"),
        },
    ),
    "fuse": Derived(
        _fuse,
        {
            "time_quick": Column("time", "until the quickest of its type melts"),
            "patience": Column("number", "0 as the quickest of its type, 0.5 in the middle, 1 as the slowest"),
        },
    ),
    "constant_springs": Derived(
        _constant_spring, {"most_energy": Column("energy", "energy stored when all pulled out")}
    ),
}


def derived(table, values):
    """Give the numbers that follow from one part's checked values; none for a table or record without such numbers."""
    return DERIVED[table].of(values) if table in DERIVED else {}

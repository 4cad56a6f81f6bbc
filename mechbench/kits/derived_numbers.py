"""Numbers that follow from the files: computed here once, so that no sizing computes them again.

Contents: DERIVED (table -> columns that follow, with kind and help), derived (the numbers of one part).
"""

import math

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
    }


def _gearbox(v):
    count = len(v["stages"])
    return {
        "ratio": math.prod(v["stages"]),
        "stage_count": float(count),
        "efficiency": v["efficiency_per_stage"] ** count,
        # Stage by stage: the load of one stage is what the stage before it has to carry.
        "efficiency_driven": efficiency_driven(v["efficiency_per_stage"]) ** count,
        "overhung_moment": v["overhung_load"] * v["overhang"],
        "mass": v["mass_per_stage"] * count,
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


def _constant_spring(v):
    return {"most_energy": v["force"] * v["travel"]}


_LENGTH_RADIUS = ("length", "half the diameter")
_WHEEL = {"radius": _LENGTH_RADIUS, "inertia": ("inertia", "as a solid disc of its mass")}
_MASS = ("mass", "mass, by teeth squared from a wheel of 20 teeth")

DERIVED = {
    "motors": (
        _motor,
        {
            "resistance": ("resistance", "of the winding, cold"),
            "torque_constant": ("torque-constant", "torque for each ampere, and as well voltage for each rad/s"),
            "free_current": ("current", "current that turns into no torque: the free current"),
            "size": ("number", "0 for a small frame, 1 for a large one"),
        },
    ),
    "gearboxes": (
        _gearbox,
        {
            "ratio": ("number", "turns of the motor for one turn of the output shaft"),
            "stage_count": ("number", "number of stages"),
            "efficiency": ("number", "share of the power that gets through when the motor drives"),
            "efficiency_driven": ("number", "the same when the load drives the motor"),
            "overhung_moment": ("torque", "highest bending of the output shaft by a sideways pull"),
            "mass": ("mass", "mass of the gearbox, without motor"),
        },
    ),
    "servos": (
        _servo,
        {
            "free_speed": ("turning-speed", "speed without load"),
            "time_per_60_deg": ("time", "time to turn 60 degrees without load"),
            "travel": ("angle", "from end to end; infinite where it turns without end"),
            "endless": ("number", "1 where it turns without end, else 0"),
            "holding_torque": ("torque", "torque that it can hold for long"),
        },
    ),
    "spur_gears": (
        _spur_gear,
        {
            "pitch_diameter": ("length", "module times teeth"),
            "allowed": ("torque", "highest torque on this wheel"),
            "mass": _MASS,
        },
    ),
    "bevel_gears": (_bevel_gear, {"large_diameter": ("length", "pitch diameter of the large wheel")}),
    "pulleys": (
        _pulley,
        {
            "pitch_diameter": ("length", "pitch times teeth over pi"),
            "allowed": ("torque", "torque at which the belt carries its working load"),
            "mass": _MASS,
        },
    ),
    "sprockets": (
        _sprocket,
        {
            "pitch_diameter": ("length", "pitch over the sine of half the angle from tooth to tooth"),
            "allowed": ("torque", "torque at which the chain carries its working load"),
            "mass": _MASS,
        },
    ),
    "wheels": (_round_part, _WHEEL),
    "rollers": (_round_part, _WHEEL),
    "slides": (_slide, {"stage_overlap": ("length", "what stays inside when a stage is all the way out")}),
    "cords": (
        _cord,
        {
            "knotted_strength": ("force", "least pull that breaks it at a knot"),
            "pull_per_stretch": ("force", "pull for a stretch by its own length, as a straight line to the break"),
        },
    ),
    "spools": (_spool, {"radius": _LENGTH_RADIUS}),
    "extension_springs": (
        _extension_spring,
        {
            "longest": ("length", "longest allowed length"),
            "most_force": ("force", "force at the longest allowed length"),
            "most_energy": ("energy", "energy stored from free to longest allowed length"),
        },
    ),
    "constant_springs": (_constant_spring, {"most_energy": ("energy", "energy stored when all pulled out")}),
}


def derived(table, values):
    """Give the numbers that follow from one part's checked values; none for a table without such numbers."""
    return DERIVED[table][0](values) if table in DERIVED else {}

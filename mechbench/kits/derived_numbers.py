"""Numbers that follow from the files: computed here once, so that no sizing computes them again.

Contents: DERIVED (table or record -> Derived), derived (the numbers of one part), Column; assume, assume_motor (what no
label gives), told_of_assumed.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from mechbench.physics import assumed
from mechbench.physics.belt import belt_torque, chain_torque, pulley_diameter, sprocket_diameter
from mechbench.physics.gearing import efficiency_driven
from mechbench.physics.motor import constant_from_stall, from_nameplate
from mechbench.physics.teeth import pitch_diameter
from mechbench.quantity import show

INFINITE = float("inf")
UNTOLD = ("counts_per_turn", "shaft_diameter")  # of a motor, where nobody gives them: no rule does either


def assume(parts):
    """Give the parts (table name -> list of Part) with what no label gives filled in, by the rules of physics.assumed.

    A number that follows from an assumed one, such as heat from mass, is an assumption of its own. What no rule tells,
    such as the counts of an encoder, stays None.
    """
    motors = [assume_motor(one) for one in parts["motors"]]
    boxes = [_filled(one, lambda v: _of_gearbox(v, motors)) for one in parts["gearboxes"]]
    more = {table: [_filled(one, rules) for one in parts[table]] for table, rules in RULES.items()}
    return {**parts, "motors": motors, "gearboxes": boxes, **more}


def told_of_assumed(before, after):
    """Sentences about what of the battery was assumed: it has no band, so no report tells it. before, after: parts."""
    for given, whole in zip(before["battery"], after["battery"]):
        lacks = [key for key in OF_BATTERY if given.values[key] is None]
        if lacks:
            numbers = " and ".join(show(whole.values[key], unit) for key, unit in OF_BATTERY.items() if key in lacks)
            told = f"no label gives {' and '.join(lacks)}, so {numbers} {'is' if len(lacks) == 1 else 'are'} assumed"
            yield f"In {whole.file}, [battery]: {told}; measure and write what you find."


def assume_motor(part):
    """A part with the values of a motor, with what no label gives filled in."""
    return _filled(part, _of_motor)


def _filled(part, rules):
    """A part with every missing number that a rule gives; each rule sees what those before it gave."""
    values, bands = dict(part.values), dict(part.assumed)
    for key, (rule, band) in rules(values).items():
        if values[key] is None:
            values[key] = float(rule())
            bands |= {BAND_OF.get(key, key): band} if band else {}
    return part if values == part.values else replace(part, values=values, assumed=bands)


UNBREAKABLE = 1e4  # N·m that gears bear that nothing can break: the most that a kit may write for any
# Sideways pull of an output shaft for each newton metre it may carry, 1/m, and how far out it may act, m: common
# practice, no source.
PULL_PER_TORQUE, OVERHANG = 20.0, 0.015
OF_BATTERY = {"open_circuit_empty": "V", "resistance": "ohm"}  # what is told, with its unit
OLD = 2.0  # resistance of an old battery over that of a good one: common practice, no source
# What stands in for what no label of a small part gives: common practice, no source.
ALUMINIUM, STEEL, TUBE, PRINTED = 2700.0, 7850.0, 500.0, 600.0  # kg/m3 of the outline; a tube and a print are hollow
CHAIN_WIDTH = 0.3  # of a sprocket's pitch
SOFT_ROLLER, STAGE_DRAG, ROUGHLY = 1500.0, 3.0, (0.3, 3.0)  # N/m, N, and the band of both
CORD_STRETCH, CORD_BAND = 0.1, (0.3, 2.5)  # share; from a stiff braid to a soft one
FLANGE = 0.020  # m that a spool's rim is wider than its core
BAND_OF = {"allowed_on_20": "allowed"}  # the number that sums use, where it follows from the assumed one alone
PLATE = ("voltage", "free_speed", "stall_torque", "stall_current")


def _of_motor(v):
    """Key of a motor -> its rule and its band; None without one."""

    def inertia():
        constant = constant_from_stall(v["stall_torque"], v["stall_current"], v["free_current"])
        return assumed.rotor_inertia(constant, v["voltage"] / v["stall_current"])

    return {
        "free_current": (lambda: assumed.free_current(*(v[key] for key in PLATE)), None),
        "rotor_inertia": (inertia, assumed.INERTIA_BAND),
        "mass": (lambda: assumed.mass(v["stall_torque"], v["free_speed"]), assumed.MASS_BAND),
        "heat_capacity": (lambda: assumed.heat_capacity(v["mass"]), assumed.HEAT_BAND),
        "thermal_resistance": (lambda: assumed.thermal_resistance(v["mass"]), assumed.HEAT_BAND),
        "max_rise": (lambda: assumed.ALLOWED_RISE, None),
        "copper_coefficient": (lambda: assumed.COPPER, None),
    }


def _of_gearbox(v, motors):
    """The same of a gearbox: it bears the strongest motor of a frame held fast, or of all where there is none of it.

    A team puts its gearboxes behind all its motors of a frame. Which of them the maker expected, nobody knows: the band
    reaches down to the weakest.
    """
    side = {
        "overhung_load": (lambda: PULL_PER_TORQUE * v["allowed_small"], None),
        "overhang": (lambda: OVERHANG, None),
    }
    if not motors:  # nothing stands in front of it, so nothing breaks it
        return {f"allowed_{frame}": (lambda: UNBREAKABLE, None) for frame in ("small", "large")} | side
    rules, train = {}, _gear_ratio(v)
    for frame in ("small", "large"):
        own = [one.values for one in motors if one.values["frame"] == frame] or [one.values for one in motors]
        stalls = [assumed.strength(one["stall_torque"], train["ratio"], train["efficiency"]) for one in own]
        low, high = assumed.STRENGTH_BAND
        band = low * min(stalls) / max(stalls), high
        rules[f"allowed_{frame}"] = (lambda strongest=max(stalls): strongest), band
    return rules | side


def _of_battery(v):
    """The same of a battery: it is old when its resistance has doubled."""
    return {
        "open_circuit_empty": (lambda: assumed.empty_voltage(v["nominal"], v["open_circuit"]), None),
        "resistance": (lambda: assumed.battery_resistance(v["nominal"], v["capacity"]), None),
        "resistance_worn": (lambda: OLD * v["resistance"], None),
    }


def _full(density, diameter, length):
    """Mass of a full cylinder."""
    return density * math.pi / 4 * diameter**2 * length


def _of_spur_gear(v):
    return {
        "allowed_on_20": (lambda: assumed.tooth_strength(v["module"], v["face"]), assumed.TOOTH_BAND),
        "mass_of_20": (lambda: _full(ALUMINIUM, 20 * v["module"], v["face"]), None),
    }


def _of_pulley(v):
    return {"mass_of_20": (lambda: _full(ALUMINIUM, 20 * v["pitch"] / math.pi, v["width"]), None)}


def _of_sprocket(v):
    return {"mass_of_20": (lambda: _full(STEEL, 20 * v["pitch"] / math.pi, CHAIN_WIDTH * v["pitch"]), None)}


def _of_roller(v):
    return {
        "stiffness": (lambda: SOFT_ROLLER, ROUGHLY),
        "mass": (lambda: _full(TUBE, v["diameter"], v["length"]), None),
    }


def _of_slide(v):
    return {"drag": (lambda: STAGE_DRAG, ROUGHLY)}


def _of_cord(v):
    return {"stretch_at_break": (lambda: CORD_STRETCH, CORD_BAND)}


def _of_spool(v):
    return {
        "flange_diameter": (lambda: v["diameter"] + FLANGE, None),
        "mass": (lambda: _full(PRINTED, v["flange_diameter"], v["width"]), None),
    }


RULES = {
    "battery": _of_battery,
    "spur_gears": _of_spur_gear,
    "pulleys": _of_pulley,
    "sprockets": _of_sprocket,
    "rollers": _of_roller,
    "slides": _of_slide,
    "cords": _of_cord,
    "spools": _of_spool,
}


def _motor(v):
    motor = from_nameplate(v["voltage"], v["free_speed"], v["free_current"], v["stall_torque"], v["stall_current"])
    return {
        "resistance": motor.resistance,
        "torque_constant": motor.torque_constant,
        "free_current": motor.free_current,
        "size": float(v["frame"] == "large"),
        "geared": v.get("geared", 0.0),
    }


def _gear_ratio(v):
    count = v.get("stage_count", len(v["stages"]))  # of a gearmotor's gears it is told: kits/gearmotors.py
    return {"ratio": math.prod(v["stages"]), "stages": count, "efficiency": v["efficiency_per_stage"] ** count}


def _gearbox(v):
    train = _gear_ratio(v)
    return {
        "ratio": train["ratio"],
        "stage_count": float(train["stages"]),
        "efficiency": train["efficiency"],
        # Stage by stage: the load of one stage is what the stage before it has to carry.
        "efficiency_driven": efficiency_driven(v["efficiency_per_stage"]) ** train["stages"],
        "overhung_moment": v["overhung_load"] * v["overhang"],
        "mass": v.get("mass", v["mass_per_stage"] * train["stages"]),
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

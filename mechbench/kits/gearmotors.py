"""Gearmotors of a kit: from what a label prints to a row of [motors] and a row of [gearboxes] of the same name.

Contents: check (one [gearmotors] part), whole_counts (what an encoder on a motor's own shaft can count), with_rows,
rows_of (one gearmotor), most_passed, as_stages (what gears do, as a row of gearboxes has it).

Where the label prints no ratio, N is 1 and the motor's row is the motor as it is felt at the output shaft.
"""

import math

from mechbench.kits.derived_numbers import OVERHANG, PULL_PER_TORQUE, UNBREAKABLE, assume_motor
from mechbench.kits.read import Part
from mechbench.physics import assumed, gearmotor
from mechbench.physics.motor import free_speed, stall_current, stall_torque

LABEL = ("output_speed", "output_stall", "stall_current")
POINTS = ("torques", "speeds", "currents")
NONE = "none"
GEARS_MASS = 0.6  # mass of the gears over that of the motor, where nobody weighed them; common practice, no source
BARE_PULL, BARE_OVERHANG = 20.0, 0.01  # N, m: of a motor's own shaft; common practice, no source
LEAST_COUNTS = 1.0  # of an encoder, in one turn of the motor's own shaft


def check(part):
    """Raise KitError for what a label can't say."""
    v = part.values
    _one_way(part)
    if v["free_current"] is not None and v["stall_current"] is not None and v["stall_current"] <= 2 * v["free_current"]:
        raise part.fault("stall_current", " is not even twice free_current; look at the label again.")
    _counts(part)
    if v["ratio"] is None and v["rotor_inertia"] is not None:
        raise part.fault(
            "rotor_inertia", " is of the rotor itself, but no ratio says how the output shaft feels it; add ratio."
        )
    _read(part)


def _one_way(part):
    """The label's figures or two measured points, each whole, not both."""
    v = part.values
    given = [key for key in (*LABEL, *POINTS) if v[key] is not None]
    if set(given) not in (set(LABEL), set(POINTS)):
        lacks = [key for key in (POINTS if set(given) <= set(POINTS) and given else LABEL) if key not in given]
        what = f"lacks {', '.join(lacks)}" if lacks else f"has {', '.join(given)}"
        raise part.fault(
            (lacks or given)[0],
            f": it {what}, but it must have either {', '.join(LABEL)} as the label prints them, or {', '.join(POINTS)} "
            "at two loads; give one of the two sets whole.",
        )
    if v["torques"] is not None and v["free_current"] is not None:
        raise part.fault("free_current", ": torques and currents at two loads tell it already; take one of them out.")


def _read(part):
    """The Gearmotor of one part."""
    v, ratio = part.values, part.values["ratio"] or 1.0
    try:
        if v["torques"] is not None:
            return gearmotor.from_points(v["voltage"], v["torques"], v["speeds"], v["currents"], ratio)
        return gearmotor.from_label(*(v[key] for key in ("voltage", *LABEL, "free_current")), ratio)
    except ValueError as wrong:
        raise part.fault("torques" if v["torques"] is not None else "output_stall", f": {wrong}") from None


def _counts(part):
    """Counts in one turn of the shaft that the motor's row stands for; None where there is no encoder."""
    v, ratio = part.values, part.values["ratio"]
    counts, at = v["counts_per_turn"], v["counts_at"]
    if counts is None:
        return None
    if at is None:
        raise part.fault(
            "counts_at", ' is not there; add counts_at = "motor" or "output": the shaft that counts_per_turn is of.'
        )
    if at == "motor" and ratio is None:
        raise part.fault(
            "counts_at",
            ' is "motor", but no ratio says how often that shaft turns; add ratio, or count one turn of the output '
            'shaft by hand and write counts_at = "output".',
        )
    if at == "motor":
        whole_counts(part)
        return counts
    if ratio is not None and counts / ratio < LEAST_COUNTS:
        raise part.fault(
            "counts_per_turn",
            f" is {counts:g} at the output shaft, which makes {counts / ratio:.2g} in one turn of the motor, but it "
            f'must be {LEAST_COUNTS:g} at least; are they counted at the motor? Then write counts_at = "motor".',
        )
    return counts / (ratio or 1.0)


def whole_counts(part):
    """Refuse what no encoder on a motor's own shaft can count: a part of a count is the gears' doing."""
    counts = part.values["counts_per_turn"]
    if counts is not None and counts != round(counts):
        raise part.fault(
            "counts_per_turn",
            f" is {counts:g}, but one turn of a motor's own shaft has a whole number of counts; this looks like one "
            "turn of an output shaft: divide by the ratio, or round where the label did.",
        )


def with_rows(parts):
    """The kit's parts with a row of motors and one of gearboxes for each gearmotor; a kit without any gearbox gets the
    row "none".

    No gears get above 1 on a good day, so what is read as lossless is taken as what such a day makes 1.
    """
    up = max((part.values["up"] for part in parts["spreads"] if part.name == "efficiency"), default=0.0)
    most = most_passed(up)
    pairs = [rows_of(part, most) for part in parts["gearmotors"]]
    motors, gears = ([pair[i] for pair in pairs] for i in (0, 1))
    boxes = parts["gearboxes"] or [_no_gearbox(most)]
    return {**parts, "motors": [*parts["motors"], *motors], "gearboxes": [*boxes, *gears]}


def most_passed(up):
    """The highest efficiency of gears that is not above 1 on a day on which it is so much higher."""
    return 1 / (1 + up)


def rows_of(part, most):
    """The row of motors and the row of gearboxes of one gearmotor; its gears pass on `most` at most."""
    read = _read(part)
    motor = _motor_row(part, gearmotor.motor_of(read))
    return motor, _gears_row(part, read, motor, min(float(read.efficiency), most))


def _motor_row(part, one):
    """The motor in it; what the label does not print is assumed as for every motor."""
    v = part.values
    kept = ("rotor_inertia", "heat_capacity", "thermal_resistance", "max_rise", "copper_coefficient", "shaft_diameter")
    values = {
        "label": v["label"],
        "frame": "small",
        "voltage": one.voltage,
        "free_speed": free_speed(one, one.voltage),
        "free_current": one.free_current,
        "stall_torque": stall_torque(one, one.voltage),
        "stall_current": stall_current(one, one.voltage),
        "counts_per_turn": _counts(part),
        "mass": v["mass"] and v["mass"] / (1 + GEARS_MASS),
        **{key: v[key] for key in kept},
        "geared": 1.0,
        "have": v.get("have"),
    }
    return assume_motor(Part(part.name, part.file, part.path, values))


def _gears_row(part, read, motor, efficiency):
    """Its gears; they bear the motor held fast, once, where nobody says what they bear."""
    v, m = part.values, motor.values
    held = assumed.strength(m["stall_torque"], read.ratio, read.efficiency)
    bands = {} if v["allowed"] else dict.fromkeys(("allowed_small", "allowed_large"), assumed.STRENGTH_BAND)
    bands |= {"mass": motor.assumed["mass"]} if "mass" in motor.assumed else {}
    bears = v["allowed"] or held
    values = {
        **as_stages(f"own gears of {v['label']}", float(read.ratio), efficiency, bears, GEARS_MASS * m["mass"]),
        "backlash": v["backlash"],
        "overhung_load": v["overhung_load"] or PULL_PER_TORQUE * bears,
        "overhang": v["overhang"] or OVERHANG,
        "built_in": 1.0,
    }
    return Part(part.name, part.file, part.path, values, bands)


def _no_gearbox(most):
    values = {
        **as_stages("no gearbox", 1.0, most, UNBREAKABLE, 0.0),
        "backlash": 0.0,
        "overhung_load": BARE_PULL,
        "overhang": BARE_OVERHANG,
    }
    return Part(NONE, "parts.toml", ("gearboxes", NONE), values)


def as_stages(label, ratio, efficiency, bears, mass):
    """What a row of gearboxes must have: as so many stages, a broken number of them, as lose what it loses."""
    return {
        "label": label,
        "stages": (ratio,),
        "stage_count": math.log(efficiency) / math.log(gearmotor.STAGE),
        "efficiency_per_stage": gearmotor.STAGE,
        "allowed_small": bears,
        "allowed_large": bears,
        "mass_per_stage": 0.0,
        "mass": mass,
    }

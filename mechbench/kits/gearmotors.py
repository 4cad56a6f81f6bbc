"""Gearmotors of a kit: from what a label prints to a row of [motors] and a row of [gearboxes] of the same name.

Contents: check (one [gearmotors] part), whole_counts (what an encoder on a motor's own shaft can count), with_rows.

Where the label prints no ratio, N is 1 and the motor's row is the motor as it is felt at the output shaft.
"""

import math

from mechbench.kits.read import Part
from mechbench.physics import assumed, gearmotor
from mechbench.physics.motor import Motor, free_speed, stall_torque

LABEL = ("output_speed", "output_stall", "stall_current")
POINTS = ("torques", "speeds", "currents")
NONE = "none"
GEARS_MASS = 0.6  # mass of the gears over that of the motor, where nobody weighed them; common practice, no source
# Sideways pull on the output shaft, as force per torque that the gears bear: common practice, no source.
PULL_PER_TORQUE, OVERHANG = 20.0, 0.015
BARE_PULL, BARE_OVERHANG = 20.0, 0.01  # N, m: of a motor's own shaft; common practice, no source
SHEAR = 4e7  # N/m2 in an output shaft at its stall torque, for a diameter that is drawn alone: assumed
COUNTS = 1.0  # in one turn where no encoder is told of: nobody knows where in its turn it is
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
            ' is "motor", but no ratio says how often that shaft turns; add ratio, or count one turn of the output shaft '
            'by hand and write counts_at = "output".',
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
            f" is {counts:g}, but one turn of a motor's own shaft has a whole number of counts; this looks like one turn "
            "of an output shaft: divide by the ratio, or round where the label did.",
        )


def with_rows(parts, up):
    """The kit's parts with a row of motors and one of gearboxes for each gearmotor; a kit without any gearbox gets the
    row "none". up: by which share the efficiency may be better on a good day; no gears may get above 1 by that.
    """
    most = 1 / (1 + up)
    pairs = [_rows(part, most) for part in parts["gearmotors"]]
    motors, gears = ([pair[i] for pair in pairs] for i in (0, 1))
    boxes = parts["gearboxes"] or [_no_gearbox(most)]
    return {**parts, "motors": [*parts["motors"], *motors], "gearboxes": [*boxes, *gears]}


def _rows(part, most):
    v, read = part.values, _read(part)
    one = gearmotor.motor_of(read)
    mass = v["mass"] or (1 + GEARS_MASS) * _motor_mass(one)
    own, eta, ratio = mass / (1 + GEARS_MASS), min(float(read.efficiency), most), float(read.ratio)
    motor = {
        "label": v["label"],
        "frame": "small",
        "voltage": v["voltage"],
        "free_speed": free_speed(one, one.voltage),
        "free_current": one.free_current,
        "stall_torque": stall_torque(one, one.voltage),
        "stall_current": one.voltage / one.resistance,
        "rotor_inertia": v["rotor_inertia"] or assumed.rotor_inertia(one.torque_constant, one.resistance),
        "heat_capacity": v["heat_capacity"] or assumed.heat_capacity(own),
        "thermal_resistance": v["thermal_resistance"] or assumed.thermal_resistance(own),
        "max_rise": v["max_rise"] or assumed.ALLOWED_RISE,
        "copper_coefficient": assumed.COPPER if v["copper_coefficient"] is None else v["copper_coefficient"],
        "counts_per_turn": _counts(part) or COUNTS,
        "shaft_diameter": v["shaft_diameter"] or (16 * _held(read) / (math.pi * SHEAR)) ** (1 / 3),
        "mass": own,
        "geared": 1.0,
    }
    gears = _gears(f"own gears of {v['label']}", ratio, eta, v["allowed"] or _held(read), v["backlash"], mass - own)
    gears["overhung_load"] = v["overhung_load"] or PULL_PER_TORQUE * gears["allowed_small"]
    gears["overhang"] = v["overhang"] or OVERHANG
    return Part(part.name, part.file, part.path, motor), Part(
        part.name, part.file, part.path, {**gears, "built_in": 1.0}
    )


def _motor_mass(one: Motor):
    return assumed.mass(stall_torque(one, one.voltage), free_speed(one, one.voltage))


def _held(read):
    """Torque of the output shaft at standstill."""
    one = gearmotor.motor_of(read)
    return stall_torque(one, one.voltage) * read.ratio * read.efficiency


def _no_gearbox(most):
    return Part(
        NONE,
        "parts.toml",
        ("gearboxes", NONE),
        {**_gears("no gearbox", 1.0, most, math.inf, 0.0, 0.0), "overhung_load": BARE_PULL, "overhang": BARE_OVERHANG},
    )


def _gears(label, ratio, efficiency, allowed, backlash, mass):
    """A row of gearboxes: as so many stages of STAGE, a broken number of them, as lose what it loses."""
    count = math.log(efficiency) / math.log(gearmotor.STAGE)
    return {
        "label": label,
        "stages": (ratio,),
        "stage_count": count,
        "efficiency_per_stage": gearmotor.STAGE,
        "backlash": backlash,
        "allowed_small": allowed,
        "allowed_large": allowed,
        "mass_per_stage": 0.0,
        "mass": mass,
    }

"""Checks of parts.toml that need more than one key: nameplates that close, bounds in order, names that exist.

Contents: check_parts, odd_parts. What must agree in game.toml: agree_game.py.
"""

from mechbench.kits import gearmotors
from mechbench.kits.faults import nearest, shown
from mechbench.kits.gearmotors import whole_counts
from mechbench.kits.schema import SHAPES
from mechbench.physics.gearmotor import LEAST_EFFICIENCY
from mechbench.physics.motor import LEAST_SHARE, MOST_SHARE, constant_from_free_run
from mechbench.wording import closest

LOW_SHARE = 0.97  # of a printed stall torque over that of the other figures: rounding alone explains 3 %
MANY_COUNTS = 200  # of an encoder on a motor's own shaft; common practice, no source
NAMEPLATE = ("voltage", "free_speed", "free_current")


def check_parts(parts, faults, to_come=()):
    """Add to faults whatever in parts (table name -> list of Part) contradicts another.

    to_come : tables that nobody has written yet; what stands there meanwhile contradicts nothing
    """
    for table, check in CHECKS.items():
        for part in parts[table]:
            with faults.caught():
                check(part)
    written = {table: () if table in to_come else listed for table, listed in parts.items()}
    with faults.caught():
        _names_are_left(written)
    _pairs_exist(parts, faults)
    for battery in written["battery"]:
        for controller in written["controller"]:
            with faults.caught():
                _battery_above_reset(battery, controller)
    _efficiency_stays_below_one(parts, faults)


def _at_most(part, low, high, what):
    """Check that key low is at most key high."""
    if part.values[low] > part.values[high]:
        raise part.fault(low, f" is more than {high}, but {what}; change one of the two.")


def _motor(part):
    v = part.values
    if v["stall_current"] <= 2 * v["free_current"]:
        raise part.fault("stall_current", " is not even twice free_current; look at the nameplate again.")
    whole_counts(part)
    made, share = _torque_by_the_rest(v)
    if LEAST_SHARE <= share <= MOST_SHARE:
        return
    off = f"{100 * abs(share - 1):.0f} % {'above' if share > 1 else 'below'}"
    explained = f"{100 - 100 * LEAST_SHARE:.0f} % below to {100 * MOST_SHARE - 100:.0f} % above"
    gears = "this looks like a gearmotor: write its label under [gearmotors], or "
    raise part.fault(
        "stall_torque",
        f" is {off} the {made:.3g} N·m of voltage, free_speed and stall_current, which are trusted, but a label's "
        f"rounding and losses explain {explained} only; {gears if LEAST_EFFICIENCY <= share < 1 else ''}"
        "look at all figures and their units again.",
    )


def _torque_by_the_rest(v):
    """The stall torque that the other figures of a nameplate make, and the printed one as a share of it."""
    constant = constant_from_free_run(*(v[key] for key in NAMEPLATE[:3]), v["voltage"] / v["stall_current"])
    made = constant * (v["stall_current"] - v["free_current"])
    return made, v["stall_torque"] / made


def odd_parts(parts):
    """Notes about what is odd in parts.toml but may be so: a torque that losses would have to explain, many counts."""
    for part in parts["motors"]:
        v, where = part.values, f"In {part.file}, [{'.'.join(part.path)}]"
        _, share = _torque_by_the_rest(v)
        if share < LOW_SHARE:
            yield (
                f"{where}: stall_torque is {100 - 100 * share:.0f} % below what the other figures make: are these of"
                " the motor alone, without gears?"
            )
        counts = v["counts_per_turn"]
        if counts is not None and counts > MANY_COUNTS:
            yield (
                f"{where}: counts_per_turn is {counts:g}, many for one turn of a motor's own shaft: is it one turn of"
                " an output shaft? Then divide by the ratio."
            )


def _names_are_left(parts):
    """A gearmotor makes a row of motors and one of gearboxes, and turns a shaft as servos do: its name and label must
    be free in all three.
    """
    for part in parts["gearmotors"]:
        for table in (*SHAPES["gearmotors"].rows_of, "servos"):
            for other in parts[table]:
                for what, word, taken in (
                    ("name", part.name, other.name),
                    ("label", part.values["label"], other.values["label"]),
                ):
                    if word == taken:
                        raise part.fault(what, f" {shown(word)} is that of [{'.'.join(other.path)}] too; change one.")


def _servo(part):
    v = part.values
    if (v["time_per_60_deg"] is None) == (v["free_speed"] is None):
        raise part.fault(
            "time_per_60_deg",
            " and free_speed: one of the two must be there and not both; a servo that "
            "turns without end has free_speed.",
        )
    if (v["travel"] is None) != (v["time_per_60_deg"] is None):
        raise part.fault(
            "travel",
            " belongs together with time_per_60_deg; give both, or free_speed alone for a servo "
            "that turns without end.",
        )


def _slide(part):
    _at_most(part, "fewest", "most", "it must be at most that")
    if part.values["stage_travel"] >= part.values["stage_length"]:
        raise part.fault(
            "stage_travel",
            " is not less than stage_length, but some of the stage must stay inside; change one of the two.",
        )


def _spool(part):
    if part.values["flange_diameter"] <= part.values["diameter"]:
        raise part.fault(
            "flange_diameter", " is not more than diameter, but the rim must keep the cord on; change one of the two."
        )


def _battery(part):
    _at_most(part, "open_circuit_empty", "open_circuit", "an empty battery gives less than a full one")
    _at_most(part, "resistance", "resistance_worn", "a worn battery has more resistance than a good one")


def _fuse(part):
    v = part.values
    if v["ratio"] is None or v["time"] is None:
        lacks = "ratio" if v["ratio"] is None else "time"
        raise part.fault(lacks, " is missing: ratio and time belong together: give both, or leave both out.")
    if len(v["ratio"]) != len(v["time"]):
        raise part.fault(
            "time", f" has {len(v['time'])} values, but ratio has {len(v['ratio'])}; give one time for each ratio."
        )
    quick = v["time_quick"] or v["time"]
    if len(quick) != len(v["time"]):
        raise part.fault(
            "time_quick", f" has {len(quick)} values, but time has {len(v['time'])}; give one time for each ratio."
        )
    if any(first > second for first, second in zip(quick, v["time"])):
        raise part.fault("time_quick", " is longer than time somewhere; give the quickest fuse the shorter times.")
    if v["ratio"][0] <= v["holds"]:
        raise part.fault("ratio", " starts at a current that holds says never melts the fuse; start it above holds.")


CHECKS = {
    "motors": _motor,
    "gearmotors": gearmotors.check,
    "servos": _servo,
    "slides": _slide,
    "spools": _spool,
    "battery": _battery,
    "fuse": _fuse,
}


def _pairs_exist(parts, faults):
    pairs = [part.name for part in parts["friction"]]
    for table, shape in SHAPES.items():
        for key in [key for key, entry in shape.entries.items() if entry.kind == "pair"]:
            for part in parts[table]:
                if part.values[key] not in pairs:
                    faults.found += part.fault(
                        key,
                        f" is {shown(part.values[key])}, which is no pair of [friction]; "
                        f"{_pair_meant(part.values[key], pairs)}",
                    ).faults


def _pair_meant(name, pairs):
    return nearest(name, pairs) if closest(name, pairs) else "add it there, with label and value."


def _battery_above_reset(battery, controller):
    if controller.values["reset_level"] >= battery.values["open_circuit_empty"]:
        raise controller.fault(
            "reset_level",
            " is not below open_circuit_empty of [battery], so the robot would never start; change one of the two.",
        )


def _efficiency_stays_below_one(parts, faults):
    shares = [
        (part, key)
        for table, shape in SHAPES.items()
        for key in shape.entries
        if key.startswith("efficiency")
        for part in parts[table]
    ]
    for spread in (part for part in parts["spreads"] if part.name == "efficiency"):
        over = [one for one in shares if one[0].values[one[1]] * (1 + spread.values["up"]) > 1]
        if over:
            part, key = over[0]
            faults.found += spread.fault(
                "up",
                f" lifts {key} of [{'.'.join(part.path)}] above 1 on a good day, which cannot "
                "be; make one of the two smaller.",
            ).faults

"""What can't be, or is odd, among parts that must fit a robot of this game: sizes and masses.

Contents: check_sizes (parts.toml against game.toml), check_robots (robots.toml).
"""

import math
from collections import Counter

from mechbench.kits.agree_game import HEAVIEST
from mechbench.kits.faults import KitError, place

UNDER = 0.001  # m: so much under the floor is rounding
LIGHTEST = 1.0  # kg/m3, of a part in its box: an empty frame has more
# Table -> the sizes of its parts that must fit into a robot's start box.
INSIDE = {"wheels": ("diameter", "width"), "rollers": ("diameter", "length"), "spools": ("flange_diameter", "width")}
WEIGHED = ("motors", "gearmotors", "servos", "wheels", "rollers", "spools", "battery")


def check_sizes(parts, limits, faults, to_come=()):
    """Refuse parts that no robot of this game can have: larger than the start box, heavier than a robot may be.

    to_come : tables that nobody has written yet; what stands there meanwhile is no fault
    """
    parts = {table: () if table in to_come else listed for table, listed in parts.items()}
    diagonal = math.hypot(*limits["start_box"])
    for table, keys in INSIDE.items():
        for part in parts[table]:
            for key in keys:
                size = part.values.get(key)
                if size is not None and size > diagonal:
                    faults.found += part.fault(
                        key,
                        f" is {size:.3g} m, but the start box is {diagonal:.3g} m from corner to corner; look "
                        "at the unit.",
                    ).faults
    for table in WEIGHED:
        for part in parts.get(table, ()):
            mass = part.values.get("mass")
            if mass is not None and mass > limits["mass"] / 2:
                faults.found += part.fault(
                    "mass",
                    f" is {mass:.3g} kg, more than half of what a whole robot may weigh ({limits['mass']:.3g} kg);"
                    " look at the unit.",
                ).faults


# Input of a mechanism -> the tables of what is picked there, as many as its count says.
COUNTED = {"motor": ("motors", "gearmotors"), "gearbox": ("gearboxes",), "servo": ("servos",)}


def check_robots(plans, parts, faults):
    """Refuse parts of robots without size or under the floor; give notes about masses that don't go with a size, and
    about robots that need more of a part than the team has.
    """
    notes = []
    for plan in plans:
        for name, part in plan.parts.items():
            where = ("robots", plan.name, "parts", name)
            for pose in ("", "raised_"):
                at, size = part.get(f"{pose}at"), part.get(f"{pose}size")
                with faults.caught():
                    _has_size(where, f"{pose}size", size)
                    _over_the_floor(where, f"{pose}at", at or part.get("at"), size or part.get("size"))
            notes += _odd_mass(where, part)
        notes += _never_there(plan)
        notes += _too_few(plan, parts)
    return notes


def _too_few(plan, parts):
    """A plan whose mechanisms name a part more often than the team has it."""
    where, needed = place("robots.toml", ("robots", plan.name)), Counter()
    for one in plan.mechanisms.values():
        for field in COUNTED:
            needed[field, one.inputs.get(field)] += _whole(one.inputs.get("count", 1))
    for (field, name), number in needed.items():
        for part in (part for table in COUNTED[field] for part in parts.get(table, ()) if part.name == name):
            have = part.values["have"]
            if have is not None and number > have:
                label = part.values["label"]
                yield f"{where}: it needs {number} of {label}, but the team has {have}: build another one?"


def _whole(count):
    """How many a count says; 0 where it is no plain number: what reads the mechanism tells."""
    return int(count) if str(count).isdigit() else 0


def _never_there(plan):
    """A plan with a closing task that it never reaches, or never tries."""
    where = place("robots.toml", ("robots", plan.name))
    if plan.closing and not plan.values["leave"]:
        yield f"{where}: it has steps for the closing task, but leave is 0 s, so it never gets there; when does it go?"
    elif plan.closing and plan.values["tries"] and not plan.values["closing_chance"]:
        yield f"{where}: it tries the closing task, but closing_chance is 0: how often does a try work?"
    if plan.values["besides"] and not plan.values["besides_chance"]:
        yield f"{where}: it does {plan.values['besides']} besides, but besides_chance is 0: how often does that work?"


def _has_size(where, key, size):
    if size is not None and min(size) <= 0:
        raise KitError(f"{place('robots.toml', where, key)} has a side of 0 mm, but every part takes room; measure it.")


def _over_the_floor(where, key, at, size):
    if at is not None and size is not None and at[2] - size[2] / 2 < -UNDER:
        below = 1000 * (size[2] / 2 - at[2])
        raise KitError(
            f"{place('robots.toml', where, key)}: the part reaches {below:.3g} mm under the floor; its middle is"
            " half its height up at least."
        )


def _odd_mass(where, part):
    mass, size = part.get("mass"), part.get("size")
    if not mass or size is None or min(size) <= 0:
        return
    density = mass / math.prod(size)
    if density < LIGHTEST:
        yield (
            f"{place('robots.toml', where)}: {1000 * mass:.3g} g in a box that large is lighter than foam: is it in kg?"
        )
    if density > HEAVIEST:
        yield f"{place('robots.toml', where)}: {mass:.3g} kg in a box that small is heavier than steel: which is wrong?"

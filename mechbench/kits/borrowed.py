"""What a kit does not say is the course's own: whole tables of parts, friction pairs and spreads; labels say so.

Contents: with_own, check_without, told_of_own, labelled, SUFFIX.

A table that [kit] names in `without` is empty: of that the team has nothing. Where the lessons need a part all the
same, the course's own stays. A fuse of which only the rating is known melts as the course's own, at the same shares of
its rating. The guard of the course's own controller waits for the same share of a team's battery.
"""

from dataclasses import replace

from mechbench.kits.own import OWN_FOLDER, own_parts
from mechbench.kits.schema import MAY_BE_EMPTY, PAIRS_OF_KIND, REQUIRED_PAIRS, SHAPES

PARTS = "parts.toml"
SUFFIX = " (course's own)"
ENTRY_BY_ENTRY = ("friction", "spreads")  # of these a kit may give some
CURVE = ("ratio", "time", "time_quick")  # of a fuse: they belong together


def with_own(found, folder):
    """Fill what a kit leaves out.

    Returns parts (table -> list of Part), usual (table -> name), and the names of the tables that are the course's own.
    """
    if folder.absolute() == OWN_FOLDER:
        return found.parts, found.usual, ()
    own = own_parts()
    parts, usual, borrowed = dict(found.parts), dict(found.usual), []
    left_out = set(_without(found)).intersection(MAY_BE_EMPTY)
    own_drives = ("motors", "gearboxes") if "gearmotors" in found.given and "motors" not in found.given else ()
    for table, shape in SHAPES.items():
        here = (*found.given, *ENTRY_BY_ENTRY, *own_drives, *left_out, "kit", "gearmotors")
        if shape.file == PARTS and table not in here:
            parts[table], usual[table] = [labelled(part) for part in own.parts[table]], own.usual[table]
            borrowed.append(table)
    parts["wheels"] = [_with_pairs(one) for one in parts["wheels"]]
    parts["fuse"] = [_with_curve(one, own.parts["fuse"][0]) for one in parts["fuse"]]
    if _guards_another(found):
        parts["controller"] = [_on_battery(one, parts["battery"][0], own) for one in parts["controller"]]
    _add(parts, own, "spreads", {part.name for part in own.parts["spreads"]})
    _add(parts, own, "friction", {*REQUIRED_PAIRS, *_pairs_of(parts)})
    usual["friction"] = usual["friction"] or parts["friction"][0].name
    if not parts["kit"] and parts["game"]:
        label = parts["game"][0].values["label"]
        parts["kit"] = [replace(own.parts["kit"][0], values={"label": f"{label} kit", "without": ()})]
    return parts, usual, tuple(borrowed)


def _without(found):
    """Tables of which the team has nothing."""
    return found.parts["kit"][0].values["without"] if found.parts["kit"] else ()


def check_without(found, faults):
    """Refuse a table of which the team has none, and which is there all the same."""
    for table in set(_without(found)).intersection(found.given):
        faults.found += (
            found.parts["kit"][0]
            .fault("without", f" has {table}, but there is a table [{table}]; take one of the two out.")
            .faults
        )


def told_of_own(found):
    """Sentences about what is the course's own though a kit gives a part of it."""
    if _guards_another(found):
        (guard,) = (_on_battery(one, found.parts["battery"][0], own_parts()) for one in own_parts().parts["controller"])
        yield (
            "In parts.toml there is a [battery] and no [controller]: the course's own cuts off below the same share of"
            f" its voltage, {guard.values['reset_level']:.3g} V."
        )
    if any(_bare(one.values) for one in found.parts["fuse"]):
        yield (
            "In parts.toml, [fuse]: only its rating is given, so it is taken to melt as the course's own fuse, at the"
            " same shares of its rating; its data sheet tells more."
        )


def _guards_another(found):
    """Whether the course's own controller works on a battery of the team's."""
    return "battery" in found.given and "controller" not in found.given and bool(found.parts["battery"])


def _on_battery(controller, battery, own):
    """A controller of the course's own, whose guard waits for the same share of the voltage in a battery's name."""
    share = controller.values["reset_level"] / own.parts["battery"][0].values["nominal"]
    level = float(f"{share * battery.values['nominal']:.3g}")
    return replace(controller, values=controller.values | {"reset_level": level})


def _bare(values):
    return all(values[key] is None for key in CURVE)


def _with_curve(fuse, own):
    """A fuse with what it holds, and with the whole curve of the course's own where it gives none of it."""
    v = fuse.values
    keys = ("holds", *CURVE) if _bare(v) else ("holds",)
    return replace(fuse, values=v | {key: own.values[key] for key in keys if v[key] is None})


def _with_pairs(wheel):
    """A wheel with the friction pairs of its kind, where it names none; a plain tyre grips sideways as ahead."""
    v, (along, across) = wheel.values, PAIRS_OF_KIND[wheel.values["kind"]]
    ahead = v["along"] or along
    return replace(wheel, values=v | {"along": ahead, "across": v["across"] or (ahead if along == across else across)})


def _add(parts, own, table, wanted):
    """Entries of the course's own that are wanted and not given."""
    here = {part.name for part in parts[table]}
    more = [part for part in own.parts[table] if part.name in wanted - here]
    parts[table] = [*parts[table], *map(labelled, more)]


def _pairs_of(parts):
    """Friction pairs that parts name."""
    for table, shape in SHAPES.items():
        for key, entry in shape.entries.items():
            if entry.kind == "pair":
                yield from (part.values[key] for part in parts[table])


def labelled(part):
    """The same part, whose label says that it is not of this kit."""
    if "label" not in part.values:
        return part
    return replace(part, values={**part.values, "label": part.values["label"] + SUFFIX})

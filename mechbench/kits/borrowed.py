"""What a kit does not say is the course's own: whole tables of parts, friction pairs and spreads; labels say so.

Contents: with_own, labelled, SUFFIX.

A table that [kit] names in `without` is empty: of that the team has nothing.
"""

from dataclasses import replace

from mechbench.kits.own import OWN_FOLDER, own_parts
from mechbench.kits.schema import GAME, MAY_BE_EMPTY, SHAPES

SUFFIX = " (course's own)"
ENTRY_BY_ENTRY = ("friction", "spreads")  # of these a kit may give some


def with_own(found, folder):
    """Fill what a kit leaves out.

    Returns parts (table -> list of Part), usual (table -> name), and the names of the tables that are the course's own.
    """
    if folder.absolute() == OWN_FOLDER:
        return found.parts, found.usual, ()
    own = own_parts()
    parts, usual, borrowed = dict(found.parts), dict(found.usual), []
    left_out = set(parts["kit"][0].values["without"]) if parts["kit"] else set()
    for table in SHAPES:
        if table in GAME or table == "kit" or table in left_out & set(MAY_BE_EMPTY):
            continue
        if table in ENTRY_BY_ENTRY:
            here = {part.name for part in parts[table]}
            more = [part for part in own.parts[table] if part.name not in here]
            parts[table] = [*parts[table], *(labelled(part) for part in more)]
            usual[table] = usual[table] or own.usual[table]
        elif table not in found.given:
            parts[table], usual[table] = [labelled(part) for part in own.parts[table]], own.usual[table]
            borrowed.append(table)
    if not parts["kit"] and parts["game"]:
        label = parts["game"][0].values["label"]
        parts["kit"] = [replace(own.parts["kit"][0], values={"label": f"{label} kit", "without": ()})]
    return parts, usual, tuple(borrowed)


def labelled(part):
    """The same part, whose label says that it is not of this kit."""
    if "label" not in part.values:
        return part
    return replace(part, values={**part.values, "label": part.values["label"] + SUFFIX})

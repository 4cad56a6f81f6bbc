"""A game that has been read: its entries as records, in SI units, with what follows from them.

Contents: game_of, goals_table; with_ways, told_of_ways (how far it is, where the rules do not tell).

    game.label, game.field.length, game.limits.mass          records
    game.pieces["bobbin"].width, game.goals["rafter"].height ...   tables of named entries, in the order of the file
    game.usual_piece                                         the usual piece, else the most numerous, or None
"""

import math
from dataclasses import replace
from types import MappingProxyType

from mechbench.kits.agree_game import plural_of
from mechbench.kits.schema import GAME
from mechbench.kits.sizes import sides, volume
from mechbench.kits.tables import Record, Table
from mechbench.quantity import show
from mechbench.wording import listed

NOTHING = "none"
# Numbers of a goal that sizings and pictures use, and what each is.
GOAL_COLUMNS = {
    "height": ("length", "of its board, edge or sill over the floor"),
    "rim": ("length", "height of the small wall along its front edge"),
    "depth": ("length", "from the front edge to the back; infinite where there is none"),
    "points": ("points", "points for one piece"),
    "capacity": ("number", "pieces that count there in one match"),
    "way": ("length", "from the middle of the field"),
    "launch": ("number", "1 where pieces are launched into it, else 0"),
    "number": ("number", "its place in the list"),
}


# From the middle of the field to half way to its end, and the same of a field of which nothing is known.
OF_THE_FIELD, USUAL_WAY = 0.25, 1.5  # share of its length, m: assumed
HAVE_WAYS = ("places", "goals", "closing")


def with_ways(parts, given):
    """Give the parts with a way for every place, goal and closing task that has none; given: tables of the files."""
    way = _usual_way(parts, given)
    ways = {
        table: [one if _has_way(one) else replace(one, values=one.values | {"way": way}) for one in parts[table]]
        for table in HAVE_WAYS
    }
    return {**parts, **ways}


def told_of_ways(parts, given):
    """A sentence about the ways that were not given; parts: as the files have them."""
    lack = [one.values["label"] for table in HAVE_WAYS for one in parts[table] if not _has_way(one)]
    if lack:
        rule = ", a quarter of the field's length" if _field_is_known(parts, given) else ""
        way = show(_usual_way(parts, given), "m")
        yield f"In game.toml, way of {listed(lack)} is not given: {way} is assumed{rule}."


def _usual_way(parts, given):
    return OF_THE_FIELD * parts["field"][0].values["length"] if _field_is_known(parts, given) else USUAL_WAY


def _field_is_known(parts, given):
    return "field" in given and bool(parts["field"])


def _has_way(part):
    return part.values["way"] is not None


def game_of(parts, usual):
    """Give the Record of a game from its checked parts."""
    entries = {table: _entries(table, parts) for table, shape in GAME.items() if not shape.single}
    named = usual["pieces"] if parts["pieces"] else ""
    inside = {
        "label": parts["game"][0].values["label"],
        "field": _field(parts["field"][0].values),
        "limits": _limits(parts["limits"][0].values),
        **{table: MappingProxyType(listed) for table, listed in entries.items()},
    }
    return Record("game", {**inside, "usual_piece": _usual_piece(entries["pieces"], named)})


def _entries(table, parts):
    make = {"pieces": _piece, "places": _place, "goals": _goal, "bonuses": _bonus, "human": _human}
    return {part.name: make.get(table, _as_it_is)(part, parts) for part in parts[table]}


def _as_it_is(part, parts):
    label = part.values.get("label") or part.name.replace("_", " ")
    return Record(part.name, {**part.values, "name": part.name, "label": label})


def _field(v):
    return Record("field", {**v, "width": v["width"] or v["length"]})


def _limits(v):
    long, wide, high = v["start_box"]
    return Record("limits", {**v, "start_length": long, "start_width": wide, "start_height": high})


def _piece(part, parts):
    v = part.values
    width, length, height = sides(v)
    held = sum(
        place.values["counts"][place.values["pieces"].index(part.name)]
        for place in parts["places"]
        if place.values["counts"] and part.name in place.values["pieces"]
    )
    follows = {
        "width": width,
        "length": length,
        "height": height,
        "volume": volume(v),
        "narrow": min(width, height),
        "plural": plural_of(v),
    }
    return Record(part.name, {**v, "name": part.name, **follows, "count": v["count"] or held})


def _place(part, parts):
    return Record(part.name, {**part.values, "name": part.name})


def _goal(part, parts):
    v = part.values
    takes = tuple(one.name for one in parts["pieces"]) if v["takes"] is None else v["takes"]
    return Record(part.name, {**v, "name": part.name, "takes": takes})


def _bonus(part, parts):
    v = part.values
    goals = tuple(one.name for one in parts["goals"]) if v["goals"] is None else v["goals"]
    need = v["need"]
    if v["kind"] == "set" and need is None:
        need = max(one.values["colours"] for one in parts["pieces"])
    label = v["label"] or part.name.replace("_", " ")
    return Record(part.name, {**v, "name": part.name, "label": label, "goals": goals, "need": need})


def _human(part, parts):
    """A step with how often it happens: what stands for a part of a cycle happens as often as that."""
    v = part.values
    usually = {"find": "piece", "line_up": "trip", "held_up": "trip", "clear_jam": "jam"}
    return Record(part.name, {**v, "name": part.name, "when": v["when"] or usually.get(v["stands_for"], "trip")})


def _usual_piece(pieces, named):
    if named:
        return pieces[named]
    return max(pieces.values(), key=lambda piece: piece.count) if pieces else None


def goals_table(game, first):
    """The goals as a Table to choose from, `first` the usual one; one of no points where the game has none."""
    rows = [{key: _number(goal, key, place) for key in GOAL_COLUMNS} for place, goal in enumerate(game.goals.values())]
    labels = {name: goal.label for name, goal in game.goals.items()}
    if not rows:
        rows, labels = [dict.fromkeys(GOAL_COLUMNS, 0.0)], {NOTHING: "no goal in this game"}
    return Table(
        name="goals",
        names=list(labels),
        usual=first.name if first else NOTHING,
        labels=labels,
        columns={key: [row[key] for row in rows] for key in GOAL_COLUMNS},
        kinds={key: kind for key, (kind, _) in GOAL_COLUMNS.items()},
        help={key: help for key, (_, help) in GOAL_COLUMNS.items()},
    )


def _number(goal, key, place):
    if key == "number":
        return float(place)
    if key == "launch":
        return float(goal.kind == "launch")
    value = getattr(goal, key)
    return math.inf if value is None else float(value)

"""What the entries of a game are for: defaults, lessons and exercises ask for a role, never for an entry's name.

Contents: roles.

A role that the game lacks is None.
"""

import numpy as np

from mechbench.kits.tables import Record

EACH = 10.0  # s that a piece takes at least, however low the place where it is put: assumed
PER_METRE = 50.0  # s more for each metre of height: assumed


def roles(kit):
    """All roles of a kit's game, under their names."""
    game, goals = kit.game, _goals(kit.game)
    first = sorted(goals, key=lambda goal: -goal.points / (EACH + PER_METRE * goal.height))
    pens, beam, closing, match = game.pens, game.beam, game.closing, game.match
    low = beam.clear_height < game.robot.height_limit
    hang = {"bar_height": closing.bar_height, "bar_diameter": closing.bar_diameter, "clear": closing.wheels_clear}
    found = {
        "piece": _piece(game.piece),
        "flat": None,
        "highest": max(goals, key=lambda goal: (goal.height, goal.points), default=None),
        "best": max(goals, key=lambda goal: goal.points, default=None),
        "first": first[0] if first else None,
        "second": first[1] if len(first) > 1 else None,
        "low": Record("low", {key: getattr(beam, key) for key in ("clear_height", "way_round")}) if low else None,
        "reach_in": Record("reach_in", {"depth": pens.depth, "gap": pens.gap}) if pens.count else None,
        "hang": Record("hang", hang | {"judged_after": closing.judged_after, "points": closing.hang_points}),
        "ramp": None,
        "match": Record("match", {**{key: getattr(match, key) for key in match}, "pause": 0.0}),
    }
    return Record("roles", found)


def _piece(piece):
    values = {key: getattr(piece, key) for key in piece}
    sizes = {"width": piece.diameter, "length": piece.diameter, "height": piece.height}
    return Record("piece", values | sizes | {"lying_share": piece.fallen_share})


def _goals(game):
    table = game.shelves
    rows = ((name, table.row(name)) for name in table.names)
    return [
        Record(name, {**row, "name": name, "label": table.labels[name], "kind": "shelf", "rim": row.get("lip")})
        for name, row in rows
        if np.isfinite(row["height"])
    ]

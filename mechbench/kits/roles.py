"""What a game's entries are for lessons, defaults and exercises, which never name one: its roles.

Contents: roles_of (a Record of all roles).

A role that a game has not is None. Records that sums need whatever the game has (match, people, bonus, ending, limits)
are always there, with 0 or no bound where the game says nothing.

    piece            the usual piece; with its sides as width, length, height
    flat             a piece that is lower than a third of its width
    highest          the highest goal; of equals the one with more points
    best             the goal with the most points for a piece
    first, second    the goals with the most points, the best first
    reach_in         the deepest pen
    low              the obstacle to pass under
    hang, ramp, zone the closing task of that kind
    pair, set, threshold   the bonus of that kind
    self_driving     the self-driving phase
"""

import math

from mechbench.kits.tables import Record

FLAT = 1 / 3


def roles_of(game):
    """Give the roles of a game that has been read, as one Record."""
    goals, piece = _goals(game), _piece(game)
    by_points = sorted(goals, key=lambda goal: -goal.points)
    closing, match = game.closing, game.match
    hang = {"bar_height": closing.bar_height, "bar_diameter": closing.bar_diameter, "clear": closing.wheels_clear}
    hang = Record("hang", {**hang, "judged_after": closing.judged_after, "points": closing.hang_points})
    zone = Record("zone", {"points": closing.park_points})
    roles = {
        "piece": piece,
        "flat": piece if piece.height < FLAT * piece.width else None,
        "highest": max(goals, key=lambda goal: (goal.height, goal.points), default=None),
        "best": by_points[0] if by_points else None,
        "first": by_points[0] if by_points else None,
        "second": by_points[1] if len(by_points) > 1 else None,
        "reach_in": game.pens if game.pens.count else None,
        "low": game.beam if game.beam.way_round or game.beam.clear_height < game.robot.height_limit else None,
        "hang": hang,
        "ramp": None,
        "zone": zone,
        "place": None,
        "pair": Record("pair", {"points": game.bonus.same_colour_pair}) if game.bonus.same_colour_pair else None,
        "set": None,
        "threshold": None,
        "self_driving": match if match.self_driving else None,
        "match": Record("match", {**{name: getattr(match, name) for name in match}, "pause": 0.0}),
        "people": game.human,
        "bonus": Record("bonus", {"pair": game.bonus.same_colour_pair, "factor": game.bonus.self_driving_factor}),
        "ending": _ending(hang, zone),
        "limits": _limits(game.robot),
    }
    return Record("roles", roles)


def _piece(game):
    one = game.piece
    sides = {"width": one.diameter, "length": one.diameter, "lying_share": one.fallen_share}
    return Record("piece", {**{name: getattr(one, name) for name in one}, **sides})


def _goals(game):
    table = game.shelves
    return [
        Record(name, {**table.row(name), "name": name, "label": table.labels[name], "kind": "shelf"})
        for name in table.names
    ]


def _limits(robot):
    edge = robot.start_cube
    start = {"start_length": edge, "start_width": edge, "start_height": edge}
    most = {"mass": robot.mass_limit, "motors": robot.motors, "servos": robot.servos, "drives": math.inf}
    return Record("limits", {**most, **start})


def _ending(hang, zone):
    return Record(
        "ending",
        {"tried": "hang", "left": "zone", "tried_points": hang.points, "left_points": zone.points},
    )

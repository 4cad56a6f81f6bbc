"""What a game's entries are for lessons, defaults and exercises, which never name one: its roles.

Contents: roles_of (a Record of all roles), time_for_one (seconds for a piece).

A role that a game has not is None. Records that sums need whatever the game has (match, people, bonus, ending, limits)
are always there, with 0 or no bound where the game says nothing. So is `seen`, for drawings of the field.

    piece            the usual piece, else the most numerous; with its sides as width, length, height
    flat             the most numerous piece that is lower than a third of its width
    highest          the highest goal to which a piece is brought, not launched; of equals the one with more points;
                     together: all that are as high, "west and east, both 430 mm high"; taken: what it takes, in words
    best             the goal with the most points for a piece
    first, second    the goals with the most points a second: see _rate
    reach_in         the deepest pen
    low              the lowest obstacle to pass under
    hang, ramp, zone, place    the closing task of that kind with the most points
    pair, set, threshold       the bonus of that kind with the most points
    self_driving     the self-driving phase
"""

from operator import attrgetter

from mechbench.kits.schema_game import ROLES_OF_PEOPLE
from mechbench.kits.tables import Record
from mechbench.quantity import show

FLAT = 1 / 3
# A robot of which nothing is known yet: how fast it gets there and how fast it raises a piece. Assumed.
SPEED, RAISING = 0.8, 0.5  # m/s
USUAL_PIECE, USUAL_ROBOT = 0.1, 0.45  # m, as they are drawn where the game tells no size: assumed
NO_TIME = {"low": 0.0, "likely": 0.0, "high": 0.0}


def roles_of(game):
    """Give the roles of a game that has been read, as one Record."""
    by_rate = sorted(_goals(game), key=lambda goal: -_rate(game, goal))
    piece = game.usual_piece
    raised = [goal for goal in _goals(game) if goal.kind != "launch"]
    pens = [place for place in game.places.values() if place.kind == "pen"]
    closing = list(game.closing.values())
    roles = {
        "piece": piece,
        "flat": _most([one for one in game.pieces.values() if one.height < FLAT * one.width], lambda one: one.count),
        "highest": _with_those_alike(_most(raised, lambda goal: (goal.height, goal.points)), raised, game.pieces),
        "best": _with_those_alike(_most(_goals(game), lambda goal: goal.points), _goals(game), game.pieces),
        "first": by_rate[0] if by_rate else None,
        "second": by_rate[1] if len(by_rate) > 1 else None,
        "reach_in": _most(pens, lambda place: place.depth),
        "low": _most(_of_kind(game.obstacles, "low"), lambda one: -one.clear_height),
        **{kind: _most(_of_kind(game.closing, kind), _points) for kind in ("hang", "ramp", "zone", "place")},
        **{kind: _most(_of_kind(game.bonuses, kind), _points) for kind in ("pair", "set", "threshold")},
        "self_driving": next(iter(_of_kind(game.phases, "self_driving")), None),
        "match": _match(game),
        "people": _people(game),
        "bonus": _bonus(game),
        "ending": _ending(closing),
        "limits": game.limits,
        "seen": _seen(game),
    }
    return Record("roles", roles)


def _with_those_alike(goal, goals, pieces):
    """The same goal, for sentences: in `together` all that are as high, "west and east, both 430 mm high"; in `taken`
    what it takes, "piece" where that is every piece.
    """
    if goal is None:
        return None
    labels = [one.label for one in goals if one.height == goal.height]
    taken = [one.label for one in pieces.values() if one.name in goal.takes]
    every = not taken or len(taken) == len(pieces) > 1
    many = {1: "", 2: " both"}.get(len(labels), " all")
    height = show(goal.height, "mm")
    told = labels[0] if len(labels) == 1 else f"{', '.join(labels[:-1])} and {labels[-1]}"
    more = {"together": f"{told},{many} {height} high", "taken": "piece" if every else " or ".join(taken)}
    return Record(goal.name, {**{key: getattr(goal, key) for key in goal}, **more})


def _goals(game):
    return list(game.goals.values())


def _of_kind(table, kind):
    return [one for one in table.values() if one.kind == kind]


def _points(one):
    return one.points


def _most(listed, by):
    """The first of those with the most."""
    return max(listed, key=by) if listed else None


def _rate(game, goal):
    """Points a second of a robot of which nothing is known, where people are as quick as usual."""
    return goal.points / time_for_one(game, goal, attrgetter("likely"))


def time_for_one(game, goal, step):
    """Seconds for one piece of a robot of which nothing is known, above 0: what people do, the way there and back, and
    raising. step: gives the time of one of people's steps.
    """
    people = _people(game)
    there = goal.way + min((place.way for place in game.places.values()), default=0.0)
    steps = people.find, people.line_up, people.held_up, people.more_piece, people.more_trip
    return max(sum(map(step, steps)) + 2 * there / SPEED + goal.height / RAISING, 1e-9)


def _match(game):
    """Times of all phases of a kind; factor: on points of pieces scored while it drives itself."""
    time = {
        kind: sum(phase.time for phase in _of_kind(game.phases, kind)) for kind in ("self_driving", "pause", "driven")
    }
    driven = _of_kind(game.phases, "driven")[0]
    alone = _of_kind(game.phases, "self_driving")
    factor = alone[0].factor if alone else 1.0
    return Record("match", {**time, "closing": driven.closing, "factor": factor, "driven_factor": driven.factor})


def _people(game):
    """The four steps of a cycle, and all other steps with the usual piece together, for each piece, trip and jam."""
    found, usual = {}, game.usual_piece
    others = [one for one in game.human.values() if not one.stands_for]
    others = [one for one in others if one.pieces is None or (usual and usual.name in one.pieces)]
    for role in ROLES_OF_PEOPLE:
        step = next((one for one in game.human.values() if one.stands_for == role), None)
        found[role] = step or Record(role, {**NO_TIME, "label": ""})
    for when in ("piece", "trip", "jam"):
        more = [one for one in others if one.when == when]
        sums = {key: sum(getattr(one, key) for one in more) for key in NO_TIME}
        found[f"more_{when}"] = Record(f"more_{when}", {**sums, "label": " and ".join(one.label for one in more)})
    return Record("people", found)


def _seen(game):
    """The field from above: its sides, the place of the usual piece that is nearest to the middle (known: 1 where there
    is one), how wide a piece is, and a robot as large as it may be; where the game tells none, a usual size.
    """
    usual, box = game.usual_piece, (game.limits.start_length, game.limits.start_width)
    places = game.places.values()
    ways = [one.way for one in places if usual and usual.name in one.pieces] or [one.way for one in places]
    return Record(
        "seen",
        {
            "length": game.field.length,
            "width": game.field.width,
            "way": min(ways, default=game.field.length / 4),
            "known": float(bool(ways)),
            "piece": usual.width if usual else USUAL_PIECE,
            "robot_length": box[0] if box[0] < game.field.length else USUAL_ROBOT,
            "robot_width": box[1] if box[1] < game.field.width else USUAL_ROBOT,
        },
    )


def _bonus(game):
    """What a cycle's sum needs of the bonuses: points for a pair, and the factor on what is scored by itself."""
    pairs, match = _of_kind(game.bonuses, "pair"), _match(game)
    return Record(
        "bonus",
        {
            "pair": max((one.points for one in pairs), default=0.0),
            "factor": match.factor / match.driven_factor,
        },
    )


def _ending(closing):
    """What the end is worth: the task that is tried (hanging, else the one with the most points), and the one that is
    left where it fails: the best of those which it can't be scored besides. 0 where there is none.
    """
    moves = [one for one in closing if one.kind != "place"]
    tried = _most([one for one in moves if one.kind == "hang"] or moves, _points)
    others = [one for one in moves if one is not tried and one.kind != "hang"]
    left = _most(others, _points)
    return Record(
        "ending",
        {
            "tried": tried.name if tried else "",
            "left": left.name if left else "",
            "tried_points": tried.points if tried else 0.0,
            "left_points": left.points if left else 0.0,
            "tried_label": tried.label if tried else "the closing task",
        },
    )

"""What exercises take from the game of a kit, by role and never by the name of an entry; and what they may need of it.

    NEEDS                 name of a need -> Need; exercises and sentences of lessons name them
    lacking(needs, kit)   those of some needs that a kit's game does not meet; unmet(exercise, kit): of an exercise's
    goals(kit)            the table of all goals
    usual_points(kit)     points of a piece at the second goal of the file, where there is one
    in_a_match(kit, times)   times for cycles, all shorter where the longest does not fit in a match
    mass_limit(kit)       the highest mass that the rules allow; one of the course's own game where they don't say

The roles themselves are in kits/roles.py.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from mechbench.wording import nearest, quoted

# How an exercise begins where the game in force lacks what it is about.
PIECES_ELSEWHERE = "In another game robots carry pieces."
GOALS_ELSEWHERE = "In another game robots bring pieces to goals."
HANGS_ELSEWHERE = "In another game robots hang from a bar at the end."
TWO_ELSEWHERE = "In another game robots bring two pieces to a goal at once."
FOR_CYCLES = 0.9  # of the driven time: some of it is for the end
NO_LIMIT = 18.0  # kg, where the rules give none: what the course's own game allows


@dataclass(frozen=True)
class Need:
    """Something of a game that an exercise is about.

    lacks : what a game has not, for "Your game has ..."
    met : function of a kit -> whether its game has it
    """

    lacks: str
    met: Callable


def _role(name):
    return lambda kit: getattr(kit.roles, name) is not None


def _start_box(kit):
    return math.isfinite(kit.roles.limits.start_length)


def _pen(kit):
    return kit.roles.reach_in is not None and kit.roles.reach_in.gap is not None


def _shelf(kit):
    known = kit.roles.first, kit.roles.second, kit.roles.best, kit.roles.highest
    return any(goal is not None and goal.kind == "shelf" for goal in known)


def _colours(kit):
    return kit.roles.piece is not None and (kit.roles.piece.colours or 1) > 1


def _people(kit):
    return min(kit.roles.people.find.likely, kit.roles.people.line_up.likely) > 0


def _two_ends(kit):
    return 0 < kit.roles.ending.left_points < kit.roles.ending.tried_points


def _set_at_once(kit):
    return kit.roles.set is not None and kit.roles.limits.hold >= kit.roles.set.need


NEEDS = {
    "flat": Need("no flat pieces", _role("flat")),
    "colours": Need("pieces of one colour only", _colours),
    "second": Need("no second goal", _role("second")),
    "self_driving": Need("no self-driving time", _role("self_driving")),
    "zone": Need("no zone to park in", _role("zone")),
    "set": Need("no points for sets", _role("set")),
    "set_at_once": Need("no set that a robot can bring at once", _set_at_once),
    "piece": Need("no pieces", _role("piece")),
    "goal": Need("no goals for pieces", _role("best")),
    "shelf": Need("no shelves", _shelf),
    "reach_in": Need("no pens", _pen),
    "low": Need("no low obstacle", _role("low")),
    "hang": Need("no bar to hang from", _role("hang")),
    "ending": Need("no closing task", lambda kit: bool(kit.roles.ending.tried)),
    "two_ends": Need("no easier closing task to do in place of the hardest one", _two_ends),
    "two": Need("no robots that hold more than one piece", lambda kit: kit.roles.limits.hold >= 2),
    "ramp": Need("no ramp at the end", _role("ramp")),
    "pair": Need("no points for pairs", _role("pair")),
    "threshold": Need("no points from a certain number of pieces on", _role("threshold")),
    "closing": Need("no closing time", lambda kit: kit.roles.match.closing > 0),
    "start_box": Need("no box in which a robot starts", _start_box),
    "mass_limit": Need("no limit to a robot's mass", lambda kit: math.isfinite(kit.roles.limits.mass)),
    "people": Need("no times for finding a piece and lining up", _people),
}


def lacking(needs, kit):
    """Those of some needs that the game of a kit does not meet, in the same order."""
    for need in needs:
        if need not in NEEDS:
            raise ValueError(f"{quoted(need)} is nothing that a game may have; {nearest(need, NEEDS)}")
    return tuple(need for need in needs if not NEEDS[need].met(kit))


def unmet(exercise, kit):
    """The needs of an exercise that the game of a kit does not meet, in the order in which the exercise names them."""
    return lacking(exercise.needs, kit)


def goals(kit):
    """The table of all goals, in the order of the file."""
    return kit.table("goals")


def usual_points(kit):
    """Points of a piece at the second goal of the file, where there is one."""
    points = goals(kit).columns["points"]
    return float(points[min(1, len(points) - 1)])


def in_a_match(kit, times):
    """Times for cycles, in s: where the longest does not fit in the driven time, all by the same share shorter."""
    longest = FOR_CYCLES * kit.roles.match.driven
    if max(times) <= longest:
        return list(times)
    return [max(round(time * longest / max(times)), 1) for time in times]


def mass_limit(kit):
    """The highest mass that the rules allow a robot."""
    limit = kit.roles.limits.mass
    return limit if math.isfinite(limit) else NO_LIMIT

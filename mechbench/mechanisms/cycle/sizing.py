"""Sizing: a cycle from piece to piece, the driver's steps in. How long, what overlaps, and how many points a match?"""

from dataclasses import replace
from functools import cache

import numpy as np

from mechbench.engine.spec import CHOICE, JOB, Field, Finding, Pick, Sizing
from mechbench.kits import Table, figures
from mechbench.kits import kit as kit_in_force
from mechbench.mechanisms.carried import carried
from mechbench.physics import cycle
from mechbench.physics.cycle import Step, for_pieces, piece_rate, schedule, series
from mechbench.physics.rounding import difference
from mechbench.wording import quoted

AFTER, DURING = "after", "during"
GRAB_LABEL = "Taking one piece in"
GOAL = "where the pieces are put; where it takes other pieces, the robot brings those, in the same times"


def raising(kit):
    """When the arm or lift is raised: two ways to choose from."""
    labels = {AFTER: "after driving", DURING: "while driving"}
    return Table(
        "raising",
        (AFTER, DURING),
        DURING,
        labels,
        {"during": [0.0, 1.0]},
        {},
        {"during": "number"},
        {"during": "1 while driving"},
    )


@cache
def steps_of(pieces, overlapping):
    """The steps of a cycle in which so many pieces are carried; the kind of each leads to its time in times_of."""
    steps = [
        Step("find", 0.0, each=True),
        Step("grab", 0.0, each=True),
        Step("drive", 0.0),
        Step("held up", 0.0),
        Step("raise", 0.0),
        Step("line up", 0.0),
        Step("place", 0.0, each=True),
        Step("back", 0.0),
        Step("jam", 0.0),
    ]
    if not overlapping:
        return for_pieces(series(steps), pieces)
    waits = {
        "grab": "find",
        "drive": "grab",
        "held up": "drive",
        "raise": "grab",
        "line up": "held up",
        "place": ("line up", "raise"),
        "back": "place",
        "jam": "back",
    }
    return for_pieces([Step(step.name, 0.0, waits.get(step.name, ()), each=step.each) for step in steps], pieces)


def times_of(x):
    """Time of each kind of step on each day."""
    return {
        "find": x.find.likely + x.more_piece.likely,
        "grab": x.grab_time,
        "drive": x.drive_time,
        "held up": x.held_up.likely,
        "raise": x.raise_time,
        "line up": x.line_up.likely + x.more_trip.likely,
        "place": x.place_time,
        "back": x.drive_time,
        "jam": x.jam_chance * (x.clear_jam.likely + x.more_jam.likely),
    }


def steps_of_people(values, kit):
    """The steps of one cycle with people's as quickest, usual and slowest; all else is as in times_of.

    What people do besides, where the game says so, is a step of its own that the one it belongs to waits for.
    """
    people = kit.roles.people
    machine = {
        "grab": values["grab_time"],
        "drive": values["drive_time"],
        "raise": values["raise_time"],
        "place": values["place_time"],
        "back": values["drive_time"],
        "jam": 0.0,
    }
    human = {"find": people.find, "held up": people.held_up, "line up": people.line_up}
    besides = {"find": people.more_piece, "line up": people.more_trip}
    clearing = [sum(both) for both in zip(_three(people.clear_jam), _three(people.more_jam))]
    made = []
    for step in steps_of(int(values["pieces"]), values["raising"] == DURING):
        if step.kind in besides and besides[step.kind].high > 0:
            made.append(replace(step, name=f"before {step.name}", time=_three(besides[step.kind])))
            step = replace(step, after=(made[-1].name,))
        if step.kind == "jam":
            step = replace(step, trouble=values["jam_chance"], recovery=clearing)
        time = _three(human[step.kind]) if step.kind in human else machine[step.kind]
        made.append(replace(step, time=time))
    return made


def _three(step):
    return step.low, step.likely, step.high


def _plan(x, rows):
    """Total of the cycle, and by how much raising may be slower, for what each row has chosen."""
    times = {name: np.broadcast_to(time, rows) for name, time in times_of(x).items()}
    total, slack = np.zeros(rows), np.zeros(rows)
    for pieces in range(1, int(np.max(x.pieces.number)) + 1):
        for overlapping in (False, True):
            chosen = (x.pieces.number == pieces) & (x.raising.during == overlapping)
            steps = steps_of(pieces, overlapping)
            plan = schedule(steps, np.stack([times[step.kind] for step in steps], axis=-1))
            raised = [step.name for step in steps].index("raise")
            total, slack = np.where(chosen, plan.total, total), np.where(chosen, plan.slack[:, raised], slack)
    return total, slack


def end_points(x):
    """Points at the end, on average. Where the closing task fails, or there is no time for it, the next best is left.

    The way there is taken to be as long as the way to the goal: who leaves later than that does not even get there.
    """
    done = np.where(x.leave >= x.closing_time, x.closing_chance, 0.0)
    there = np.where(x.leave >= x.drive_time, 1 - done, 0.0)
    return done * x.ending.tried_points + there * x.ending.left_points


def so_far(x, total, driven):
    """Pieces in the first goal and in the next one, and points without the end, after so many seconds of driving;
    all on average.
    """
    cycles = driven / total
    pieces = cycles * x.pieces.number * x.success
    start = np.minimum(x.start_pieces, x.goal.capacity)
    first = np.minimum(pieces, x.goal.capacity - start)
    room = np.where(x.next_goal.number == x.goal.number, 0.0, x.next_goal.capacity)
    then = np.minimum(pieces - first, room)
    pairs = np.minimum(cycles * np.floor(x.pieces.number / 2) * x.success**2 * x.pair_chance, (first + then) / 2)
    scored = (start * x.bonus.factor + first) * x.goal.points + then * x.next_goal.points
    return start + first, then, scored * x.match.driven_factor + pairs * x.bonus.pair


def _other_steps(game, goal):
    """What people do for the pieces that a goal takes and is not counted, and what is counted though it is for the
    usual piece alone; empty where there is neither.
    """
    usual = game.usual_piece
    own = [one for one in game.human.values() if not one.stands_for and one.pieces is not None]
    missing = [one.label for one in own if set(one.pieces) & set(goal.takes) and usual.name not in one.pieces]
    besides = [one.label for one in own if not set(one.pieces) & set(goal.takes) and usual.name in one.pieces]
    told = [
        f"{' and '.join(map(quoted, labels))} {'is' if len(labels) == 1 else 'are'} {how}"
        for labels, how in ((missing, "not counted"), (besides, "counted"))
        if labels
    ]
    if not told:
        return ""
    return (
        f"This goal takes no {usual.plural}, but what people do is counted as for {usual.plural}: {', '.join(told)}."
        f" Put the difference into {quoted(GRAB_LABEL)}."
    )


class Cycle(Sizing):
    """Find, grab, drive, line up, place, drive back: again and again until it is time for the closing task."""

    NAME = "cycle"
    ALSO = ("cycles", "score", "points", "cycle_time")
    FORMERLY = {"shelf": "goal", "next_shelf": "next_goal", "bar_time": "closing_time", "hang_chance": "closing_chance"}
    VERSION = 3  # 2: hanging takes time. 3: goals and closing tasks of any game
    TITLE = "A cycle from piece to piece"
    QUESTION = "How long is a cycle with the driver's steps in, and how many points is that a match?"
    FIELDS = (
        Field(
            "points_wanted",
            "Points wanted",
            "points",
            0.0,
            200.0,
            70.0,
            "in a match, on average, with start and end; as usual what a plain robot makes in this game: one piece"
            " after another into the handy goal, as quickly as people and ways let it",
            JOB,
            follows=figures.at_most(figures.of_plain_match),
            also=("score",),
        ),
        Field(
            "drive_time",
            "Driving, one way",
            "s",
            0.3,
            10.0,
            1.6,
            "from pieces to goal, and the same back",
            also=("drive", "driving", "travel"),
        ),
        Field(
            "raise_time", "Raising", "s", 0.1, 10.0, 1.2, "arm or lift up to the goal", also=("raise", "lift", "arm")
        ),
        Pick(
            "raising",
            "When to raise",
            "raising",
            DURING,
            "while driving saves time, but a raised robot must brake gently",
        ),
        Pick(
            "pieces",
            "Pieces in one cycle",
            "carried",
            "2",
            "how many are carried at once; the game sets the most",
            CHOICE,
            more=True,
            also=("carry", "load"),
        ),
        Pick("goal", "Goal", "goals", figures.handy_goal, GOAL, CHOICE, more=True),
        Pick(
            "next_goal",
            "Goal after that",
            "goals",
            figures.goal_after,
            "where they are put when the first goal is full; other pieces in the same times, where it takes those",
            CHOICE,
            more=True,
            about=figures.has_next_goal,
        ),
        Field(
            "grab_time",
            GRAB_LABEL,
            "s",
            0.1,
            5.0,
            0.5,
            "from touching it to having it",
            CHOICE,
            more=True,
            also=("grab", "take", "intake"),
        ),
        Field(
            "place_time",
            "Letting one piece go",
            "s",
            0.1,
            5.0,
            0.4,
            "from standing in front of the goal to having let go",
            CHOICE,
            more=True,
            also=("place", "release", "drop"),
        ),
        Field(
            "success",
            "Pieces that end in the goal",
            "%",
            10.0,
            100.0,
            90.0,
            "counted over many tries",
            CHOICE,
            more=True,
            also=("accuracy", "hits"),
        ),
        Field(
            "jam_chance",
            "Cycles with a jam or a drop",
            "%",
            0.0,
            50.0,
            10.0,
            "counted over many cycles",
            CHOICE,
            more=True,
            also=("jam", "jams"),
        ),
        Field(
            "pair_chance",
            "Pairs of one colour",
            "%",
            0.0,
            100.0,
            0.0,
            "of two pieces put down together: same colour, and touching",
            CHOICE,
            more=True,
            about=figures.has("pair"),
        ),
        Field(
            "start_pieces",
            "Pieces while self-driving",
            "",
            0.0,
            6.0,
            1.0,
            "scored before the driver takes over, on average",
            CHOICE,
            more=True,
            follows=figures.started(1.0),
            about=figures.has("self_driving"),
        ),
        Field(
            "leave",
            "Leave for the closing task",
            "s",
            0.0,
            60.0,
            32.0,
            "before the end of the match; too late, and only the next best is left, or not even that",
            CHOICE,
            more=True,
            follows=figures.exactly(figures.closing_time, 0.8),
            about=figures.has_closing,
        ),
        Field(
            "closing_time",
            "Time for the closing task",
            "s",
            1.0,
            60.0,
            24.0,
            "the way there with it: who leaves later than that can't do it",
            CHOICE,
            more=True,
            follows=figures.exactly(figures.closing_time, 0.6),
            about=figures.has_closing,
            also=("hang", "closing", "endgame"),
        ),
        Field(
            "closing_chance",
            "Chance that it works",
            "%",
            0.0,
            100.0,
            60.0,
            "the closing task, of all matches, if there is time; where it fails the next best is left",
            CHOICE,
            more=True,
            follows=figures.if_closing(0.6),
            about=figures.has_closing,
        ),
    )
    FINDINGS = (
        Finding(
            "points",
            "points a match",
            "points",
            "on average: start, cycles, pairs and end; other bonuses are in a whole robot's points alone",
            "at least",
            "points_wanted",
            also=("score",),
        ),
        Finding(
            "time",
            "time of a cycle",
            "s",
            "from one cycle's start to the next, with the driver's steps and a share for jams",
            worse="more",
            also=("cycle", "cycle_time", "seconds"),
        ),
        Finding(
            "count",
            "cycles a match",
            "",
            "until it leaves for the closing task; parts of a cycle counted",
            worse="less",
            also=("cycles", "n"),
        ),
        Finding(
            "first",
            "pieces in the first goal",
            "",
            "in a match, with those of the self-driving time; not more than count there",
            worse="less",
        ),
        Finding("then", "pieces in the goal after that", "", "once the first goal is full", worse="less"),
        Finding(
            "end",
            "points at the end",
            "points",
            "of closing tasks, on average; nothing when it leaves too late",
            worse="less",
        ),
        Finding("a_minute", "pieces a minute", "", "that end in the goal", worse="less"),
        Finding(
            "people",
            "share of the driver's steps",
            "%",
            "finding, lining up and waiting, of the whole cycle",
            also=("driver",),
        ),
        Finding(
            "may_wait",
            "raising may be slower by",
            "s",
            "before the cycle gets longer; 0 when it is on the longest way",
            worse="less",
        ),
        Finding(
            "second",
            "one second saved a cycle is worth",
            "points",
            "in a match; half the cycle where it is shorter than two seconds",
            also=("worth", "gain", "saved"),
        ),
        Finding("clean", "cycles without trouble", "%", "no jam and every piece in the goal", worse="less"),
    )
    RECORDS = (
        "roles.match",
        "roles.ending",
        "roles.bonus",
        "roles.people.find",
        "roles.people.line_up",
        "roles.people.held_up",
        "roles.people.clear_jam",
        "roles.people.more_piece",
        "roles.people.more_trip",
        "roles.people.more_jam",
    )
    TABLES = {"raising": raising, "carried": carried}
    SPREADS = {
        "find.likely": "human_find",
        "line_up.likely": "human_line_up",
        "held_up.likely": "human_held_up",
        "clear_jam.likely": "human_clear_jam",
        "more_piece.likely": "human_more_piece",
        "more_trip.likely": "human_more_trip",
        "more_jam.likely": "human_more_jam",
    }
    OPENS_WITH = ()
    RANK = ("-points",)
    USES = (cycle.schedule, cycle.for_pieces, cycle.piece_rate)

    @classmethod
    def note(cls, values, tables):
        """People's steps are those for the game's usual piece: which are not, where the goal takes other pieces."""
        game = getattr(tables.kit, "game", None)  # a record that is opened again holds none
        goal = game.goals.get(values["goal"]) if game else None
        if goal is None or game.usual_piece is None or game.usual_piece.name in goal.takes:
            return ""
        return _other_steps(game, goal)

    @staticmethod
    def steps(values, kit=None):
        """The steps of the cycle of a bench's values, people's now quick, now slow: for mb.cycle.total_time, which
        gives its mean, and for total_spread and worth.
        """
        return steps_of_people(values, kit or kit_in_force())

    @staticmethod
    def solve(x):
        """Longest way through the steps, then the cycles that the driven time holds."""
        number, times = x.pieces.number, times_of(x)
        rows = np.broadcast_shapes(*(np.shape(one) for one in (*times.values(), number, x.raising.during)))
        total, slack = _plan(x, rows)
        time = x.match.driven - x.leave
        first, then, scored = so_far(x, total, time)
        end = end_points(x)
        quicker = so_far(x, total - np.minimum(1.0, total / 2), time)[2]
        return {
            "points": scored + end,
            "time": total,
            "count": time / total,
            "first": first,
            "then": then,
            "end": end,
            "a_minute": 60 * piece_rate(number, total, x.success),
            "people": (number * times["find"] + times["line up"] + times["held up"]) / total,
            "may_wait": slack,
            "second": difference(quicker, scored),
            "clean": (1 - x.jam_chance) * x.success**number,
        }

"""Sizing: trips of a robot in a match. How many points, and what is one second saved in each trip worth?"""

import numpy as np

from mechbench.engine.columns import columns
from mechbench.engine.spec import CHOICE, JOB, Field, Finding, Pick, Sizing
from mechbench.kits import figures
from mechbench.mechanisms.carried import carried
from mechbench.physics.rounding import difference


class Trips(Sizing):
    """A robot that fetches pieces and scores them, again and again, until the closing time."""

    NAME = "trips"
    ALSO = ("trip", "score", "points", "cycles")
    FORMERLY = {"shelf": "goal"}
    # 2: goals of any game. 3: no more pieces than the game lets a robot hold. 4: no more than the goal takes; filled
    VERSION = 4
    TITLE = "Trips in a match"
    QUESTION = "How many points do my trips make, and what is one second saved in each worth?"
    FIELDS = (
        Field(
            "trip_time",
            "Time of one trip",
            "s",
            4.0,
            30.0,
            12.0,
            "from one piece scored to the next one",
            also=("trip", "time", "cycle", "cycle_time", "round", "lap"),
        ),
        Field(
            "saved",
            "Saved in each trip",
            "s",
            0.0,
            3.0,
            1.0,
            "how much quicker each trip becomes",
            also=("less", "faster", "quicker", "sooner", "gain"),
        ),
        Field(
            "points_wanted",
            "Points wanted",
            "points",
            0.0,
            200.0,
            30.0,
            "with the quicker trip, from these trips alone",
            JOB,
            follows=figures.even(figures.worth, 6),
            also=("score", "points_needed"),
        ),
        Pick(
            "goal", "Goal", "goals", figures.handy_goal, "where the pieces are put", CHOICE, more=True, also=("target",)
        ),
        Pick(
            "pieces",
            "Pieces in one trip",
            "carried",
            "1",
            "how many pieces one trip brings; the game sets the most",
            CHOICE,
            more=True,
            also=("carry", "load"),
        ),
    )
    FINDINGS = (
        Finding(
            "points",
            "score with the quicker trip",
            "points",
            "parts of a trip counted: over many matches they add up; no more pieces than the goal takes",
            "at least",
            "points_wanted",
            effect=True,
            also=("score",),
        ),
        Finding("before", "points before", "points", "with the slower trip", worse="less", also=("now", "old")),
        Finding(
            "gain",
            "gained by the time saved",
            "points",
            "points of the quicker robot less points before",
            worse="less",
            also=("more", "saved", "worth", "second"),
        ),
        Finding(
            "trips",
            "trips in a match",
            "x",
            "with the quicker trip",
            worse="less",
            also=("n", "count", "cycles", "number", "rounds", "laps"),
        ),
        Finding(
            "filled",
            "pieces brought, of those it takes",
            "%",
            "with the quicker trip; above 100 % the goal is full before the end. 0 where it takes any number",
            also=("full", "fills"),
        ),
    )
    RECORDS = ("roles.match",)
    TABLES = {"carried": carried}
    OPENS_WITH = ()
    SPREADS = {"trip_time": "friction"}
    RANK = ("-points",)

    @classmethod
    def note(cls, values, tables):
        """That the goal gets full, where it does."""
        if cls.solve(columns(cls, values, tables))["filled"][0] <= 1:
            return ""
        takes = tables("goals").row(values["goal"])["capacity"]
        return f"This goal takes {takes:g} pieces in one match; what these trips bring beyond that counts nothing."

    @classmethod
    def because(cls, report, name, bad):
        """A full goal takes no points more, however quick the trips are."""
        found = report.bad if bad else report.good
        return "the goal is full before the end" if name == "points" and found["filled"] > 1 else ""

    @staticmethod
    def solve(x):
        """Trips fill the driven time up to the closing time, and the goal takes what they bring until it is full."""
        time = x.match.driven - x.match.closing
        before, points = scored(x, x.trip_time), scored(x, x.trip_time - x.saved)
        trips = time / (x.trip_time - x.saved)
        return {
            "points": points,
            "before": before,
            "gain": difference(points, before),
            "trips": trips,
            # A game without any goal has one of no points that takes nothing.
            "filled": np.where(x.goal.capacity > 0, trips * x.pieces.number / np.maximum(x.goal.capacity, 1e-9), 0.0),
        }


def scored(x, trip_time):
    """Points of a match with trips of this time: each piece that the goal still takes."""
    brought = (x.match.driven - x.match.closing) / trip_time * x.pieces.number
    return np.minimum(brought, x.goal.capacity) * x.goal.points * x.match.driven_factor

"""Sizing: trips of a robot in a match. How many points, and what is one second saved in each trip worth?"""

import numpy as np

from mechbench.engine.columns import columns
from mechbench.engine.spec import CHOICE, JOB, Field, Finding, Pick, Sizing
from mechbench.kits import figures
from mechbench.mechanisms.carried import carried
from mechbench.physics.rounding import difference
from mechbench.quantity import show

USUAL_TRIP = 20.0  # s, of a robot that nobody calls quick: assumed


LEFT = 0.1  # of a trip, at least, however much is saved: on a lucky day all of a short one could be saved


class Trips(Sizing):
    """A robot that fetches pieces and scores them, again and again, until the closing time."""

    NAME = "trips"
    ALSO = ("trip", "score", "points", "cycles")
    FORMERLY = {"shelf": "goal"}
    # 2: goals of any game. 3: no more pieces than the game lets a robot hold. 4: no more than the goal takes; filled;
    # driving_time, trips_wanted
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
            "how much quicker each trip becomes; a tenth of it is left at least",
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
        Field(
            "trips_wanted",
            "Trips wanted",
            "x",
            1.0,
            100.0,
            6.0,
            "in one match, with the quicker trip",
            JOB,
            more=True,
            follows=figures.even(figures.trips_time, 1 / USUAL_TRIP, step=1.0),
            also=("cycles_wanted",),
        ),
        Field(
            "driving_time",
            "Driving time",
            "s",
            10.0,
            1000.0,
            125.0,
            "in which it makes trips: people drive, and the closing time has not begun",
            CHOICE,
            more=True,
            follows=figures.trips_time,
            also=("match", "match_time", "match_length", "total_time"),
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
            "trips_before",
            "trips in a match, as they are now",
            "x",
            "driving time over the time of one trip, nothing saved",
            worse="less",
            also=("n", "count", "cycles", "number", "rounds", "laps"),
        ),
        Finding(
            "trips",
            "trips in a match, with the quicker trip",
            "x",
            "driving time over the time of one trip less what is saved",
            "at least",
            "trips_wanted",
            also=("n", "count", "cycles", "number", "rounds", "laps"),
        ),
        Finding(
            "trip_allowed",
            "time that one trip may take",
            "s",
            "for the trips wanted: driving time over trips wanted",
            worse="less",
            also=("allowed",),
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
        """How many trips there are, as they are now and quicker; that the goal gets full, where it does."""
        found = cls.solve(columns(cls, values, tables))
        now, quicker = (show(float(found[name][0]), "x") for name in ("trips_before", "trips"))
        trip, saved, time = (show(values[name], "s") for name in ("trip_time", "saved", "driving_time"))
        told = f"{now} trips of {trip} in {time}{f'; with {saved} saved in each {quicker}' if values['saved'] else ''}."
        if found["filled"][0] <= 1:
            return told
        takes = tables("goals").row(values["goal"])["capacity"]
        return (
            f"{told} This goal takes {takes:g} pieces in one match; what these trips bring beyond that counts nothing."
        )

    @classmethod
    def because(cls, report, name, bad):
        """A full goal takes no points more, however quick the trips are."""
        found = report.bad if bad else report.good
        return "the goal is full before the end" if name == "points" and found["filled"] > 1 else ""

    @staticmethod
    def solve(x):
        """Trips fill the driving time, and the goal takes what they bring until it is full."""
        quicker = np.maximum(x.trip_time - x.saved, LEFT * x.trip_time)
        before, points = scored(x, x.trip_time), scored(x, quicker)
        trips = x.driving_time / quicker
        return {
            "points": points,
            "before": before,
            "gain": difference(points, before),
            "trips_before": x.driving_time / x.trip_time,
            "trips": trips,
            "trip_allowed": x.driving_time / x.trips_wanted,
            # A game without any goal has one of no points that takes nothing.
            "filled": np.where(x.goal.capacity > 0, trips * x.pieces.number / np.maximum(x.goal.capacity, 1e-9), 0.0),
        }


def scored(x, trip_time):
    """Points of a match with trips of this time: each piece that the goal still takes."""
    brought = x.driving_time / trip_time * x.pieces.number
    return np.minimum(brought, x.goal.capacity) * x.goal.points * x.match.driven_factor

"""Sizing: trips of a robot in a match. How many points, and what is one second saved in each trip worth?"""

from mechbench.engine.spec import CHOICE, JOB, Field, Finding, Pick, Sizing
from mechbench.kits import figures
from mechbench.mechanisms.carried import carried


class Trips(Sizing):
    """A robot that fetches pieces and scores them, again and again, until the closing time."""

    NAME = "trips"
    ALSO = ("trip", "score", "points", "cycles")
    FORMERLY = {"shelf": "goal"}
    VERSION = 3  # 2: goals of any game. 3: no more pieces than the game lets a robot hold
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
            also=("trip", "time", "cycle", "cycle_time"),
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
            also=("score",),
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
            "parts of a trip counted: over many matches they add up; the goal never gets full here: see `size cycle`",
            "at least",
            "points_wanted",
            also=("score",),
        ),
        Finding("before", "points before", "points", "with the slower trip", worse="less"),
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
            also=("n", "count", "cycles", "many"),
        ),
    )
    RECORDS = ("roles.match",)
    TABLES = {"carried": carried}
    OPENS_WITH = ()
    SPREADS = {"trip_time": "friction"}
    RANK = ("-points",)

    @staticmethod
    def solve(x):
        """Trips fill the driven time up to the closing time; the goal does not fill up."""
        time = x.match.driven - x.match.closing
        each = x.goal.points * x.pieces.number
        before = each * time / x.trip_time
        points = each * time / (x.trip_time - x.saved)
        return {"points": points, "before": before, "gain": points - before, "trips": time / (x.trip_time - x.saved)}

"""A tiny kit and a tiny sizing of the engine's own tests, with numbers that are worked out in the head.

A shelf carries a load on a board; a weight is 10 N for each kilogram. On day n the load is heavier by its spread: with
one spread the 256 days are the 255 steps of 1/256 and one day at 1/512 (Halton's sequence in base 2, written out in
test_days.py). MASS runs from 0 to 0.256, so that a day is heavier by 0.001, 0.002 ... 0.255, and one by 0.0005.
"""

import numpy as np

from mechbench.engine.spec import JOB, Field, Finding, Pick, Sizing
from mechbench.kits import Kit, Record, Spread, Table

MASS = Spread("relative", 0.0, 0.256)
GIVE = Spread("absolute", -0.001, 0.002)
BOARDS = Table(
    "boards",
    ("thin", "middle", "thick"),
    "middle",
    {"middle": "Middle board"},
    {"strength": [100.0, 200.0, 400.0], "give": [0.004, 0.002, 0.001], "mass": [1.0, 2.0, 4.0]},
)
DRIVES = Table("drives", ("wheel", "horn"), "wheel", {}, {"servo": [0.0, 1.0]})
PLAIN = Table("plain", ("bolt", "nut"), "bolt", {}, {"mass": [0.1, 0.2]})
TABLES = {table.name: table for table in (BOARDS, DRIVES, PLAIN)}
SPREADS = {"mass": MASS, "give": GIVE}


def toy_kit(digest="toy", **records):
    """A kit with these tables and spreads, and the records that a test needs."""
    none = dict.fromkeys(("game", "roles", "battery", "fuse", "controller", "servo_rail"))
    return Kit(
        "Toys", digest, "", **{**none, **records}, robots=(), notes=(), borrowed=(), _tables=TABLES, _spreads=SPREADS
    )


def record(name, **values):
    """A record of a kit."""
    return Record(name, values)


class Shelf(Sizing):
    """Does the board carry the load?"""

    NAME = "shelf"
    FIELDS = (
        Field("load", "Load on the shelf", "kg", 1, 50, 10, "What it carries", group=JOB),
        Field("sag_allowed", "Sag allowed", "mm", 1, 200, 100, "How far it may sag", group=JOB),
        Pick("board", "Board", "boards", "middle", "What carries it"),
        Pick("count", "How many boards", "counts", "1", "Side by side"),
    )
    FINDINGS = (
        Finding("weight", "weight on the board", "N", "Of the load", "at most", "board.strength"),
        Finding("sag", "sag in the middle", "mm", "Under the load", "at most", "sag_allowed"),
        Finding("mass", "mass of the board", "kg", "Of the board"),
    )
    SPREADS = {"load": "mass"}
    RANK = ("mass",)
    DRAWN = ("bend",)

    @staticmethod
    def solve(x):
        """Weight 10 N/kg; a board sags by so much for each kilogram."""
        sag = x.load * x.board.give
        return {"weight": 10 * x.load, "sag": sag, "mass": x.board.mass * np.ones_like(x.load), "bend": 2 * sag}

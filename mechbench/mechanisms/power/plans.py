"""The shapes of a plan: how the speed rises and falls over the time of a move, one hill for each shape.

Contents: Plans.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Arrow
from mechbench.mechanisms.power.sizing import unit_moves
from mechbench.physics.control import SHAPES

INSTANTS, UNITS = unit_moves(60)
LONG, HIGH = 3.0, 0.9  # how long a move is drawn, and how high a mean speed of 1
PLACES = ((0.0, 2.6), (4.0, 2.6), (0.0, 0.0), (4.0, 0.0))  # where each hill begins, in the order of SHAPES
ROLES = "give", "ask", "power", "limit"


class Plans(Picture):
    """Four hills of speed, of the same width and with the same room below: the same way in the same time."""

    VIEW = "shapes of a plan"
    SHOWS = (
        "Four shapes of a plan: the speed over the time of one move. All four go as far in the same time, so the room"
        " below each line is the same; the pointed ones must be quicker in the middle."
    )
    LABELLED_HIGH = 4.0

    def build(self):
        """A base line and a hill for each shape, and what is told by along and up."""
        look = self.look
        self.side = self.figure.add_axes((0.0, 0.0, 1.0, 1.0))
        self.side.set(xlim=(-1.0, 8.0), ylim=(-1.0, 5.2), aspect="equal")
        self.side.set_axis_off()
        base = np.vstack([[(x, y), (x + LONG, y), (np.nan, np.nan)] for x, y in PLACES])
        self.base = self.move(self.side.plot(*base.T, color=look.quiet, linewidth=1.2)[0])
        self.hills = {}
        for (x, y), name, (_, speed, _), role in zip(PLACES, SHAPES, UNITS, ROLES):
            line = self.side.plot(x + LONG * INSTANTS, y + HIGH * speed, **look.line(role, 2.6))[0]
            self.hills[name] = self.move(line)
        self.time, self.speed = Arrow(self, self.side, "share"), Arrow(self, self.side, "share")

    def update(self, report, now, extra):
        """The shapes are the same for every move; the arrows tell what is along and what is up."""
        (first, low), (second, _) = PLACES[:2]
        self.time.place((second, low - 0.3), (LONG, 0.0))
        self.speed.place((first - 0.3, low), (0.0, 1.6 * HIGH))

    def labels(self, report, now, marks):
        """The four shapes, and the three thirds of the first."""
        x, y = PLACES[0]
        thirds = [x + LONG * share / 3 for share in range(4)]
        third = lambda name, i: marks.length(name, (thirds[i], y - 0.25), (thirds[i + 1], y - 0.25))
        told = {
            "trapezoid": "thirds: up, even, down; the push changes suddenly",
            "triangle": "half of the time speeding up, half slowing down",
            "half_cosine": "a smooth hill, but the push still starts suddenly",
            "cycloidal": "it starts and ends softly, so its middle is quickest",
        }
        return [
            *(Label(name.replace("_", " "), self.hills[name], told[name]) for name in SHAPES),
            Label("speeding up", third("up", 0), "a third of the time"),
            Label("even speed", third("even", 1), "a third of the time: no push"),
            Label("slowing down", third("down", 2), "a third of the time"),
            Label("time", self.time, "along: from the start of the move to its end"),
            Label("speed", self.speed, "up: how fast it is at this moment"),
        ]

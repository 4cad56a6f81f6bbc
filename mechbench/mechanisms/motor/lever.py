"""A lever on a shaft with a mass at its end, seen along the shaft: what torque is, as a sketch.

Contents: Lever.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Arrow, Part, Turn, block, circle

REACH, BEYOND = 5.0, 0.35  # from the middle of the shaft to the cord; how much longer the bar is at each end
SHAFT, BAR = 0.42, 0.5  # radius of the shaft; width of the bar
HUB, ROUND = 0.85, 1.45  # radius of the bar's round end, and of the arrow of torque
MASS, HANGS = (1.5, 1.3), 2.6  # width and height of the mass; how far its middle is below the bar
PULL = 1.5  # length of the arrow of force


class Lever(Picture):
    """A bar that sits on a shaft, level; a mass hangs from its end."""

    VIEW = "lever"
    SHOWS = "A bar on a shaft, and a mass that hangs from its end: a sketch, seen along the shaft."
    LABELLED_HIGH = 3.6

    def build(self):
        """All parts; nothing in it depends on a number."""
        look = self.look
        self.side = self.figure.add_axes((0.0, 0.0, 1.0, 1.0))
        self.side.set(xlim=(-2.2, REACH + 1.6), ylim=(-HANGS - MASS[1] / 2 - PULL - 0.3, 2.3), aspect="equal")
        self.side.set_axis_off()
        part = lambda outline, **how: Part(self, self.side, outline, **how)
        self.cord = self.move(self.side.plot([REACH, REACH], [0, -HANGS], color=look.ink, linewidth=1.8)[0])
        self.bar = part(block(REACH + BEYOND, BAR, ((REACH + BEYOND) / 2, 0)), face=look.colour("give"))
        self.hub = part(circle(HUB), face=look.colour("give"))
        self.shaft = part(circle(SHAFT), face=look.paper)
        self.mass = part(block(*MASS), face=look.grid)
        self.mass.place(0.0, (REACH, -HANGS))
        self.force = Arrow(self, self.side, "ask")
        self.torque = Turn(self, self.side)

    def update(self, report, now, extra):
        """Arrows need the scale of the page; the rest of a sketch stays as it is."""
        self.force.place((REACH, -HANGS - MASS[1] / 2), (0.0, -PULL))
        self.torque.place((0.0, 0.0), ROUND, -1, middle=np.pi / 2)

    def labels(self, report, now, marks):
        """Shaft, lever and force first: torque is made of these."""
        high = HUB + 0.25
        return [
            Label("shaft", self.shaft, "a round rod that turns, seen from its end"),
            Label("bar", self.bar, "sits on the shaft and turns with it"),
            Label(
                "lever",
                marks.length("lever", (0.0, -high), (REACH, -high)).line,
                "the distance from the middle of the shaft to where the force pulls",
            ),
            Label("mass", self.mass, "hangs on a cord"),
            Label("force", self.force, "the Earth pulls on the mass: its weight"),
            Label("torque", self.torque.line, "how hard the force turns the shaft"),
        ]

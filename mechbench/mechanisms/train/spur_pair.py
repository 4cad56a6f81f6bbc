"""Two spur gears from the front, their teeth meshing: a pair of no kit, with the ratio 3.

Contents: SpurPair.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Part, Turn, circle, gear, mesh_angle

TEETH, MODULE = (15, 45), 1.0  # of driver and driven
SHAFT, WAY = 2.2, 0.62  # radius of a shaft, in modules; of the arrow of turning, as a share of the wheel's


class SpurPair(Picture):
    """Driver at the left, driven wheel at the right."""

    VIEW = "spur gears"
    SHOWS = "Two spur gears from the front: they turn opposite ways."
    LABELLED_HIGH = 3.6

    def build(self):
        """Both wheels on their shafts, with the way in which each turns; nothing in it depends on a number."""
        self.side = self.figure.add_axes((0.0, 0.0, 1.0, 1.0))
        radii = [MODULE * teeth / 2 for teeth in TEETH]
        apart, edge = sum(radii), 2.5 * MODULE
        self.side.set(xlim=(-radii[0] - edge, apart + radii[1] + edge), aspect="equal")
        self.side.set_ylim(-radii[1] - edge, radii[1] + edge)
        self.side.set_axis_off()
        centres, angles = ((0.0, 0.0), (apart, 0.0)), (0.0, mesh_angle(0.0, *TEETH, 0.0))
        part = lambda outline, **how: Part(self, self.side, outline, width=1.0, **how)
        self.wheels = [part(gear(teeth, MODULE)) for teeth in TEETH]
        self.shafts = [part(circle(SHAFT), face=self.look.paper) for _ in TEETH]
        self.turns = [Turn(self, self.side) for _ in TEETH]
        for i, way in enumerate((1, -1)):
            self.wheels[i].place(angles[i], centres[i])
            self.shafts[i].place(0.0, centres[i])
            self.turns[i].place(centres[i], WAY * radii[i], way, middle=-np.pi / 2)

    def update(self, report, now, extra):
        """A sketch stays as it is."""

    def labels(self, report, now, marks):
        """Two wheels, where they meet, and how they turn."""
        times = TEETH[1] // TEETH[0]
        meet = marks.point("meet", (MODULE * TEETH[0] / 2, 0.0))
        return [
            Label("driver", self.wheels[0], f"turns {times} times for one turn of the other", f"{TEETH[0]} teeth"),
            Label("driven", self.wheels[1], "the slower one", f"{TEETH[1]} teeth"),
            Label("teeth mesh", meet, "a tooth in a gap: none can slip"),
            Label("driver turns", self.turns[0].line, "one way"),
            Label("driven turns", self.turns[1].line, "the other way"),
        ]

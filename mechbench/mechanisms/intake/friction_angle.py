"""The friction angle as a drawing on paper: a push, the pull at a right angle to its end, and the slanted line.

Contents: FrictionAngle.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Arrow

PUSH = 0.10  # m on paper, however hard the push is: the angle is the same
REST = 0.35  # how far the surface reaches beyond the pull, as a share of the push


class FrictionAngle(Picture):
    """A push on a surface and the most that friction can pull for it; to scale, with the roller's friction."""

    VIEW = "friction angle"
    SHOWS = (
        "The friction angle, drawn on paper: the push as a line of 10 cm straight onto the surface, and at its end, at"
        " a right angle, the most that friction can pull."
    )
    LABELLED_HIGH = 3.4

    def build(self):
        """The surface, two arrows and the slanted line."""
        look = self.look
        self.side = self.figure.add_axes((0.0, 0.0, 1.0, 1.0))
        self.side.set_axis_off()
        self.side.set_aspect("equal")
        self.surface = self.move(self.side.plot([], [], color=look.ink, linewidth=3, solid_capstyle="butt")[0])
        self.square = self.move(self.side.plot([], [], color=look.quiet, linewidth=1.0)[0])
        self.slanted = self.move(self.side.plot([], [], color=look.ink, linewidth=1.8)[0])
        self.push = Arrow(self, self.side, "ask")
        self.pull = Arrow(self, self.side, "give")

    def update(self, report, now, extra):
        """Draw both as long as the friction says."""
        pull = now.roller.friction * PUSH
        self.side.set_xlim(-REST * PUSH, pull + REST * PUSH)
        self.side.set_ylim(-0.1 * PUSH, 1.1 * PUSH)
        self.stale = True
        self.surface.set_data([-0.3 * PUSH, pull + 0.3 * PUSH], [0.0, 0.0])
        corner = 0.08 * PUSH
        self.square.set_data([0.0, corner, corner], [corner, corner, 0.0])
        self.slanted.set_data([0.0, pull], [PUSH, 0.0])
        self.push.place((0.0, PUSH), (0.0, -PUSH))
        self.pull.place((0.0, 0.0), (pull, 0.0))

    def labels(self, report, now, marks):
        """The two arrows, the slanted line and its angle."""
        share = now.roller.friction
        angle = float(np.arctan(share))
        arc = marks.angle("friction angle", (0.0, PUSH), 0.45 * PUSH, -np.pi / 2, -np.pi / 2 + angle)
        return [
            Label("push", self.push, "how hard the roller presses on the piece", "10 cm on paper"),
            Label(
                "pull",
                self.pull,
                f"the most that friction gives: {share:.2g} times the push",
                f"{100 * share * PUSH:.2g} cm on paper",
            ),
            Label("slanted line", self.slanted, "from the beginning of the push to the end of the pull"),
            Label(
                "friction angle",
                arc,
                "between the push and the slanted line; it follows from the friction coefficient alone",
                self.said(angle, "deg"),
            ),
            Label("surface", self.surface, "where roller and piece touch"),
            Label("right angle", self.square, "pull and push stand square to each other"),
        ]

"""What the pictures of arms share: the counter-spring, and the torques along the swing.

Contents: POINTS, SwingPicture.
"""

import numpy as np

from mechbench.drawing.picture import Picture
from mechbench.engine.spec import CHOICE, Field
from mechbench.mechanisms.moved import motion_of

POINTS = 91


class SwingPicture(Picture):
    """Left: what swings, at one place of its swing. Right: what is asked along the swing and what can be given.

    Subclasses build what swings (`_build_arm`) and draw it; `self.half` is half the height of what is shown.
    """

    EXTRA = (Field("place", "Along the swing", "%", 0.0, 100.0, 30.0, "where on its way the arm is drawn", CHOICE),)
    ANGLE = "angle of the arm [deg]"

    def build(self):
        """The parts that swing and the plot of torques."""
        self.side = self.figure.add_axes((0.01, 0.02, 0.46, 0.94))
        self.side.set_axis_off()
        self.side.set_aspect("equal")
        self._build_arm()
        self.torques = self.figure.add_axes((0.57, 0.135, 0.395, 0.61))
        self._build_torques()

    def _build_torques(self):
        look, axes = self.look, self.torques
        axes.set_title(f"Torque at the pivot [{self.unit('N·m')}]", pad=52)
        axes.set_xlabel(self.ANGLE, labelpad=1)
        self.zero = self.move(axes.plot([], [], color=look.quiet, linewidth=0.8)[0])
        self.can = self.move(axes.plot([], [], **look.line("limit", 1.8), label="the drive can give")[0])
        self.alone = self.move(axes.plot([], [], **look.line("share", 2.4), label="weight alone")[0])
        self.asked = self.move(axes.plot([], [], **look.line("ask"), label="asked of the drive")[0])
        self.here = self.move(axes.plot([], [], **look.mark("ask", 9), clip_on=False)[0])
        # First, so that where it says nothing no gap is left between the other two.
        legend = axes.legend(
            handles=[self.alone, self.can, self.asked],
            loc="lower left",
            bbox_to_anchor=(0, 1),
            borderaxespad=0.05,
            frameon=False,
            handlelength=2.2,
            labelspacing=0.1,
        )
        self.said_alone = legend.legend_handles[0], legend.get_texts()[0]

    def _show_alone(self, shown):
        """The weight alone has a line, and its words, only where a spring makes it another one than what is asked."""
        if self.said_alone[0].get_visible() != shown:
            self.stale = True
        for artist in (self.alone, *self.said_alone):
            artist.set_visible(shown)

    def _update_spring(self, now, here):
        self.spring.set_visible(bool(now.spring.rate > 0))
        anchor, pin = np.array([0, now.anchor_height]), now.pin_distance * np.array([np.cos(here), np.sin(here)])
        along = pin - anchor
        length = np.hypot(*along)
        across = np.array([-along[1], along[0]]) / max(length, 1e-9) * 0.03 * self.half
        share = np.r_[0, np.linspace(0.15, 0.85, 13), 1]
        swing = np.r_[0, 0, np.tile([1, -1], 6)[:11], 0, 0]
        coil = anchor + np.outer(share, along) + np.outer(swing, across)
        self.spring.set_data(*coil.T)

    def draw_torques(self, angle, here, weight, left, gives):
        """The torques over the swing: of the weight alone, with the spring's help, and what the drive gives."""
        degrees = np.degrees(angle)
        self._show_alone(not np.allclose(weight, left))
        low, high = min(weight.min(), left.min(), 0.0), max(weight.max(), left.max(), gives)
        self.reach(self.torques, "y", self.shown(high, "N·m"), start=-self.lowest(-self.shown(low, "N·m")))
        if self.torques.get_xlim() != (degrees[0], degrees[-1]):
            self.torques.set_xlim(degrees[0], degrees[-1])
            self.stale = True
        ends, way = degrees[[0, -1]], np.sign(degrees[-1] - degrees[0])
        self.zero.set_data(ends, [0, 0])
        self.can.set_data(ends, [self.shown(gives, "N·m")] * 2)
        self.alone.set_data(degrees, self.shown(weight, "N·m"))
        self.asked.set_data(degrees, self.shown(left, "N·m"))
        at = np.interp(way * np.degrees(here), way * degrees, left)
        self.here.set_data([np.degrees(here)], [self.shown(at, "N·m")])

    def swing_of(self, done, start, end):
        """The motion of a solved swing between two angles."""
        way = end - start
        place = lambda q: self.said(round(start + np.sign(way) * q, 3), "deg")
        return motion_of(done, "place", lambda q: q / abs(way), place)

    def lowest(self, needed):
        """How far the axis of torque goes below 0, in steps."""
        self.below = getattr(self, "below", 0.0)
        if not 0.35 * self.below < needed <= self.below:
            self.below = float(np.ceil(needed * 2) / 2)
        return self.below

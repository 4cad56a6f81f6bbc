"""The picture of a swinging arm: to scale with its counter-spring, and the torques along the swing.

Contents: ArmPicture.
"""

import numpy as np

from mechbench.bench.draw.shapes import Arrow, Part, block, circle
from mechbench.bench.picture import Picture
from mechbench.physics import arm
from mechbench.sizing.arm import spring_of, weight_torque
from mechbench.sizing.describe import CHOICE, Field

POINTS = 91
ROOM = 1.18  # around the longest reach


class ArmPicture(Picture):
    """Left: the arm at one place of its swing, with the path of its tip. Right: what is asked and what can be given."""

    EXTRA = (Field("place", "Along the swing", "%", 0.0, 100.0, 30.0, "where on its way the arm is drawn", CHOICE),)

    def build(self):
        """The arm's parts and the plot of torques."""
        self.side = self.figure.add_axes((0.01, 0.02, 0.46, 0.94))
        self.side.set_axis_off()
        self.side.set_aspect("equal")
        self._build_arm()
        self.torques = self.figure.add_axes((0.57, 0.135, 0.395, 0.61))
        self._build_torques()

    def _build_arm(self):
        look, side = self.look, self.side
        self.path = self.move(side.plot([], [], **look.line("share", 1.8))[0])
        self.level = self.move(side.plot([], [], color=look.quiet, linewidth=0.8)[0])
        self.post = Part(self, side, np.zeros((4, 2)), face=look.grid)
        self.spring = self.move(side.plot([], [], color=look.colour("power"), linewidth=1.8, solid_joinstyle="round")[0])
        self.beam = Part(self, side, np.zeros((4, 2)))
        self.pivot = Part(self, side, circle(0.012), face=look.paper)
        self.piece = Part(self, side, np.zeros((4, 2)), face=look.colour("ask"))
        self.weight = Arrow(self, side, "ask")
        self.weight.text.set_bbox({"facecolor": look.paper, "edgecolor": "none", "pad": 1})
        self.angle_told = self.move(side.text(0.02, 0.02, "", transform=side.transAxes, va="bottom"))

    def _build_torques(self):
        look, axes = self.look, self.torques
        axes.set_title(f"Torque at the pivot [{self.unit('N·m')}]", pad=52)
        axes.set_xlabel("angle of the arm [deg]", labelpad=1)
        self.zero = self.move(axes.plot([], [], color=look.quiet, linewidth=0.8)[0])
        self.can = self.move(axes.plot([], [], **look.line("limit", 1.8), label="the drive can give")[0])
        self.alone = self.move(axes.plot([], [], **look.line("share", 2.4), label="weight alone")[0])
        self.asked = self.move(axes.plot([], [], **look.line("ask"), label="asked, with the spring")[0])
        self.here = self.move(axes.plot([], [], **look.mark("ask", 9), clip_on=False)[0])
        axes.legend(loc="lower left", bbox_to_anchor=(0, 1), borderaxespad=0.05, frameon=False, handlelength=2.2, labelspacing=0.1)

    def update(self, report, now, extra):
        """Place the arm and draw the torques over the whole swing."""
        angle = np.linspace(now.start_angle, now.end_angle, POINTS)
        here = now.start_angle + (now.end_angle - now.start_angle) * extra["place"]
        self._update_arm(now, angle, here)
        self._update_torques(report, now, angle, here)

    def _update_arm(self, now, angle, here):
        reach = now.length * ROOM
        self._frame(reach, now.anchor_height)
        tip = now.length * np.array([np.cos(here), np.sin(here)])
        self.path.set_data(now.length * np.cos(angle), now.length * np.sin(angle))
        self.level.set_data([-self.half, self.half], [0, 0])
        self.post.reshape(block(0.03, self.half + now.anchor_height, (0, (now.anchor_height - self.half) / 2)))
        thick = 0.04 * self.half
        self.beam.reshape(block(now.length, thick, (now.length / 2, 0)))
        self.beam.place(here)
        self.pivot.reshape(circle(0.8 * thick))
        self.piece.reshape(block(2.2 * thick, 2.2 * thick))
        self.piece.place(0.0, tip)
        self.weight.place(tip, (0, -0.22 * self.half), self.said(now.payload * arm.GRAVITY, "N"))
        self._update_spring(now, here)
        self.angle_told.set_text(f"arm at {self.said(here, 'deg')}")

    def _frame(self, reach, anchor):
        """Room for the whole swing, in steps, so that the scale does not jump at every change."""
        self.half = getattr(self, "half", 0.0)
        needed = max(reach, 1.3 * anchor)
        if not 0.55 * self.half < needed <= self.half:
            self.half = np.ceil(needed * 10) / 10
            self.side.set_xlim(-self.half, self.half)
            self.side.set_ylim(-self.half, self.half)
            self.stale = True

    def _update_spring(self, now, here):
        shown = now.spring.rate > 1e-6
        self.spring.set_visible(bool(shown))
        anchor, pin = np.array([0, now.anchor_height]), now.pin_distance * np.array([np.cos(here), np.sin(here)])
        along = pin - anchor
        length = np.hypot(*along)
        across = np.array([-along[1], along[0]]) / max(length, 1e-9) * 0.03 * self.half
        share = np.r_[0, np.linspace(0.15, 0.85, 13), 1]
        swing = np.r_[0, 0, np.tile([1, -1], 6)[:11], 0, 0]
        coil = anchor + np.outer(share, along) + np.outer(swing, across)
        self.spring.set_data(*coil.T)

    def _update_torques(self, report, now, angle, here):
        weight = weight_torque(now, angle)[0]
        left = weight - np.ravel(arm.spring_torque(spring_of(now), angle))
        can = report.good["spare"] + np.max(left)
        degrees = np.degrees(angle)
        self._range(degrees, self.shown(min(weight.min(), left.min(), 0.0), "N·m"), self.shown(max(weight.max(), left.max(), can), "N·m"))
        self.zero.set_data(degrees[[0, -1]], [0, 0])
        self.can.set_data(degrees[[0, -1]], [self.shown(can, "N·m")] * 2)
        self.alone.set_data(degrees, self.shown(weight, "N·m"))
        self.asked.set_data(degrees, self.shown(left, "N·m"))
        at = np.interp(np.degrees(here), degrees, left)
        self.here.set_data([np.degrees(here)], [self.shown(at, "N·m")])

    def _range(self, degrees, low, high):
        self.reach(self.torques, "y", high, start=-self.lowest(-low))
        if self.torques.get_xlim() != (degrees[0], degrees[-1]):
            self.torques.set_xlim(degrees[0], degrees[-1])
            self.stale = True

    def lowest(self, needed):
        """How far the axis of torque goes below 0, in steps."""
        self.below = getattr(self, "below", 0.0)
        if not 0.35 * self.below < needed <= self.below:
            self.below = float(np.ceil(needed * 2) / 2)
        return self.below

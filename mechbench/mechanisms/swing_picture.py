"""What the pictures of arms share: the counter-spring, an arm of one link, and the torques along the swing.

Contents: POINTS, SwingPicture, OneArmPicture.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Arrow, Part, block, circle
from mechbench.engine.spec import CHOICE, Field
from mechbench.mechanisms.moved import motion_of
from mechbench.mechanisms.single_arm import weight_torque
from mechbench.physics.constants import GRAVITY

POINTS = 91
ROOM = 1.18  # around the longest reach of one link


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
            handles=[self.alone, self.can, *self._more_lines(axes), self.asked],
            loc="lower left",
            bbox_to_anchor=(0, 1),
            borderaxespad=0.05,
            frameon=False,
            handlelength=2.2,
            labelspacing=0.1,
        )
        self.said_alone = legend.legend_handles[0], legend.get_texts()[0]

    def _more_lines(self, axes):
        """More lines that the legend names."""
        return []

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


class OneArmPicture(SwingPicture):
    """An arm of one link with a payload at its tip. A subclass says what turns it: SIZING with its `run`, and what is
    drawn behind the arm.
    """

    VIEW, LABELLED_AT = "from the side", {"place": 0.45}
    SHOWS = "An arm from the side, to scale, at one place of its swing."
    SIZING = None

    def _build_behind(self):
        """What is drawn on the frame, behind the arm."""

    def _update_behind(self, now, here):
        """Place it for an angle of the arm."""

    def _update_more_lines(self, now, angle):
        """Draw them over the swing."""

    def frame_top(self, now):
        """How far the frame reaches above the pivot."""
        return 0.0

    def asked_of(self, now, angle, weight):
        """The torque asked of the drive, from that of the weight alone."""
        return weight

    def more_labels(self, now, marks, here):
        """The names of what is behind the arm."""
        return []

    def _build_arm(self):
        look, side = self.look, self.side
        self.path = self.move(side.plot([], [], **look.path())[0])
        self.level = self.move(side.plot([], [], color=look.quiet, linewidth=0.8)[0])
        self.post = Part(self, side, np.zeros((4, 2)), face=look.grid)
        self._build_behind()
        self.beam = Part(self, side, np.zeros((4, 2)))
        self.pivot = Part(self, side, circle(0.012), face=look.paper)
        self.piece = Part(self, side, np.zeros((4, 2)), face=look.colour("ask"))
        self.weight = Arrow(self, side, "ask")
        self.weight.text.set_bbox({"facecolor": look.paper, "edgecolor": "none", "pad": 1})
        self.angle_told = self.move(side.text(0.02, 0.02, "", transform=side.transAxes, va="bottom"))

    def update(self, report, now, extra):
        """Place the arm and draw the torques over the whole swing."""
        angle = np.linspace(now.start_angle, now.end_angle, POINTS)
        here = now.start_angle + (now.end_angle - now.start_angle) * extra["place"]
        self._update_arm(now, angle, here)
        weight = weight_torque(now, angle)[0]
        self._update_more_lines(now, angle)
        self.draw_torques(angle, here, weight, self.asked_of(now, angle, weight), report.drawn["gives"])

    def motion(self, report, now):
        """The swing from its start angle, from rest to rest."""
        return self.swing_of(self.SIZING.run(now), now.start_angle, now.end_angle)

    def _update_arm(self, now, angle, here):
        reach, top = now.length * ROOM, self.frame_top(now)
        self._frame(reach, top)
        tip = now.length * np.array([np.cos(here), np.sin(here)])
        self.path.set_data(now.length * np.cos(angle), now.length * np.sin(angle))
        self.level.set_data([-self.half, self.half], [0, 0])
        self.post.reshape(block(0.03, self.half + top, (0, (top - self.half) / 2)))
        thick = 0.04 * self.half
        self.beam.reshape(block(now.length, thick, (now.length / 2, 0)))
        self.beam.place(here)
        self.pivot.reshape(circle(0.8 * thick))
        self.piece.reshape(block(2.2 * thick, 2.2 * thick))
        self.piece.place(0.0, tip)
        self.weight.place(tip, (0, -0.22 * self.half), self.said(now.payload * GRAVITY, "N"))
        self._update_behind(now, here)
        self.angle_told.set_text(f"arm at {self.said(here, 'deg')}")

    def _frame(self, reach, top):
        """Room for the whole swing, in steps, so that the scale does not jump at every change."""
        self.half = getattr(self, "half", 0.0)
        needed = max(reach, 1.3 * top)
        if not 0.55 * self.half < needed <= self.half:
            self.half = np.ceil(needed * 10) / 10
            self.side.set_xlim(-self.half, self.half)
            self.side.set_ylim(-self.half, self.half)
            self.stale = True

    def labels(self, report, now, marks):
        """The arm's parts, and how far out sideways its tip is."""
        here, tip = self.beam.angle, self.piece.centre
        low = min(0.0, tip[1]) - 0.10 * self.half
        sideways = marks.length("sideways", (0.0, low), (tip[0], low))
        angle = marks.angle("angle", (0.0, 0.0), 0.45 * now.length, 0.0, here)
        return [
            Label("arm", self.beam, "a stiff bar that turns about the pivot", self.said(now.length, "mm")),
            Label("pivot", self.pivot, "the point that stays in place"),
            Label("piece", self.piece, "what the arm carries at its tip, its far end", self.said(now.payload, "kg")),
            Label("weight", self.weight, "pulls straight down", self.said(now.payload * GRAVITY, "N")),
            Label("frame", self.post, "the robot; it holds the pivot"),
            Label("level", self.level, "from here the angle is counted: up is more than 0 deg, down is less"),
            Label("angle from level", angle, "how far the arm points up", self.said(here, "deg")),
            Label("sideways", sideways, "how far out the tip is from the pivot", self.said(abs(tip[0]), "mm")),
            *self.more_labels(now, marks, here),
            Label("path of the tip", self.path, "from the start of the swing to its end"),
        ]

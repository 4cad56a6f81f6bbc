"""The picture of a swinging arm: to scale with its counter-spring, and the torques along the swing.

Contents: ArmPicture.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.shapes import Arrow, Part, block, circle
from mechbench.mechanisms.arm.sizing import Arm
from mechbench.mechanisms.single_arm import weight_torque
from mechbench.mechanisms.swing import spring_of
from mechbench.mechanisms.swing_picture import POINTS, SwingPicture
from mechbench.physics import arm

ROOM = 1.18  # around the longest reach


class ArmPicture(SwingPicture):
    """Left: the arm at one place of its swing, with the path of its tip. Right: what is asked and what can be given."""

    VIEW, LABELLED_AT = "from the side", {"place": 0.45}
    SHOWS = "An arm from the side, to scale, at one place of its swing."

    def _build_arm(self):
        look, side = self.look, self.side
        self.path = self.move(side.plot([], [], **look.path())[0])
        self.level = self.move(side.plot([], [], color=look.quiet, linewidth=0.8)[0])
        self.post = Part(self, side, np.zeros((4, 2)), face=look.grid)
        self.spring = self.move(
            side.plot([], [], color=look.colour("power"), linewidth=1.8, solid_joinstyle="round")[0]
        )
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
        self._update_torques(report, now, angle, here)

    def motion(self, report, now):
        """The swing from its start angle, from rest to rest."""
        return self.swing_of(Arm.run(now), now.start_angle, now.end_angle)

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

    def labels(self, report, now, marks):
        """The arm's parts, and how far out sideways its tip is."""
        here, sprung = self.beam.angle, now.spring.rate > 0
        tip = self.piece.centre
        low = min(0.0, tip[1]) - 0.10 * self.half
        sideways = marks.length("sideways", (0.0, low), (tip[0], low))
        angle = marks.angle("angle", (0.0, 0.0), 0.45 * now.length, 0.0, here)
        pin = now.pin_distance * np.array([np.cos(here), np.sin(here)])
        return [
            Label("arm", self.beam, "a stiff bar that turns about the pivot", self.said(now.length, "mm")),
            Label("pivot", self.pivot, "the point that stays in place"),
            Label("piece", self.piece, "what the arm carries at its tip, its far end", self.said(now.payload, "kg")),
            Label("weight", self.weight, "pulls straight down", self.said(now.payload * arm.GRAVITY, "N")),
            Label("frame", self.post, "the robot; it holds the pivot"),
            Label("level", self.level, "from here the angle is counted: up is more than 0 deg, down is less"),
            Label("angle from level", angle, "how far the arm points up", self.said(here, "deg")),
            Label("sideways", sideways, "how far out the tip is from the pivot", self.said(abs(tip[0]), "mm")),
            Label("counter-spring", self.spring, "pulls the arm up, so that the motor has less to do"),
            Label("anchor", marks.point("anchor", (0.0, now.anchor_height)), "where the spring is hooked to the frame")
            if sprung
            else None,
            Label("pin", marks.point("pin", pin), "where the spring is hooked to the arm") if sprung else None,
            Label("path of the tip", self.path, "from the start of the swing to its end"),
        ]

    def _frame(self, reach, anchor):
        """Room for the whole swing, in steps, so that the scale does not jump at every change."""
        self.half = getattr(self, "half", 0.0)
        needed = max(reach, 1.3 * anchor)
        if not 0.55 * self.half < needed <= self.half:
            self.half = np.ceil(needed * 10) / 10
            self.side.set_xlim(-self.half, self.half)
            self.side.set_ylim(-self.half, self.half)
            self.stale = True

    def _update_torques(self, report, now, angle, here):
        weight = weight_torque(now, angle)[0]
        left = weight - np.ravel(arm.spring_torque(spring_of(now), angle))
        self.draw_torques(angle, here, weight, left, report.drawn["gives"])

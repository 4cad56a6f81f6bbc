"""The picture of a scissor: its cells to scale, the push at the sliding foot, and that push over the stroke.

Contents: ScissorPicture.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Arrow, Dimension, Part, block
from mechbench.engine.spec import CHOICE, Field
from mechbench.mechanisms.moved import OFF, motion_of, stays, still, then_off
from mechbench.mechanisms.scissor.sizing import LiftingScissor, stroke
from mechbench.physics import scissor
from mechbench.physics.constants import GRAVITY

FINE = 61  # points of the plain curve
PLATE, OF_ARM = 0.012, 0.06  # m, thickness drawn of platform and base; for short arms this share of one
MOST = 4  # times the highest push that is asked: what the drive can give beyond that is told in words
ROOM, BELOW = 1.2, 0.075  # of what is drawn, in the picture's height; room below the floor, as a share of that


class ScissorPicture(Picture):
    """Left: the scissor at one place of its stroke, with the push at its foot. Right: the push asked and given over
    the stroke.
    """

    VIEW = "from the side"
    SHOWS = "A scissor lift from the side, to scale, raised a part of its way."
    EXTRA = (
        Field(
            "raised",
            "Raised by",
            "%",
            0.0,
            100.0,
            30.0,
            "share of its stroke by which the scissor is drawn raised",
            CHOICE,
        ),
    )

    def build(self):
        """The parts of the scissor and the plot of pushes."""
        self.side = self.figure.add_axes((0.01, 0.02, 0.46, 0.96))
        self.side.set_axis_off()
        self._build_scissor()
        self.pushes = self.figure.add_axes((0.58, 0.135, 0.39, 0.61))
        self._build_pushes()

    def _build_scissor(self):
        look, side = self.look, self.side
        self.floor = Part(self, side, np.zeros((4, 2)), face=look.grid, width=1.0)
        self.rear = self.move(side.plot([], [], color=look.quiet, linewidth=4.0, solid_capstyle="round", zorder=2)[0])
        self.front = self.move(side.plot([], [], color=look.ink, linewidth=4.0, solid_capstyle="round", zorder=2.2)[0])
        self.pins = self.move(
            side.plot(
                [],
                [],
                linestyle="none",
                marker="o",
                markersize=6,
                color=look.paper,
                markeredgecolor=look.ink,
                zorder=2.4,
            )[0]
        )
        self.platform = Part(self, side, np.zeros((4, 2)), face=look.grid, width=1.0)
        self.load = Part(self, side, np.zeros((4, 2)), face=look.colour("ask"))
        self.weight = Arrow(self, side, "ask")
        self.push = Arrow(self, side, "give")
        self.height = Dimension(self, side)
        self.push.text.set(ha="left", va="bottom")
        self.height.text.set_ha("right")
        self.told = self.move(side.text(0.0, 1.0, "", transform=side.transAxes, va="top"))

    def _build_pushes(self):
        look, axes = self.look, self.pushes
        axes.set_title(f"Push at the foot [{self.unit('N')}]", pad=52)
        axes.set_xlabel("angle of the arms [deg]", labelpad=1)
        self.can = self.move(axes.plot([], [], **look.line("limit", 1.8), label="the drive can give")[0])
        self.weighs = self.move(axes.plot([], [], **look.line("share", 2.4), label="weight that counts")[0])
        self.asked = self.move(axes.plot([], [], **look.line("ask"), label="push that is asked")[0])
        self.here = self.move(axes.plot([], [], **look.mark("ask", 9))[0])
        axes.legend(
            loc="lower left",
            bbox_to_anchor=(0, 1),
            borderaxespad=0.05,
            frameon=False,
            handlelength=2.2,
            labelspacing=0.1,
        )

    def update(self, report, now, extra):
        """Raise the scissor and draw the push over the whole stroke."""
        part = scissor.Scissor(now.cells.number, now.arm, now.load, now.cell_mass)
        angle = now.start + (now.end - now.start) * extra["raised"]
        counts = GRAVITY * (part.load + part.cells * part.cell_mass / 2)
        push = float(scissor.foot_force(part, angle))
        self._frame(part, now)
        self._update_scissor(part, angle)
        self._update_arrows(part, angle, push)
        self._update_pushes(report, part, now, counts, angle, push)
        if extra.get("off"):
            self.told.set_text(f"{self.told.get_text()}\n{OFF}")

    def motion(self, report, now):
        """Up from its start, then what it does with the power off."""
        _, angle, _, reaches, load = stroke(now)
        if not reaches.all():
            return still({"raised": 0.0}, "It can't move: on the way the rod does not reach.")
        share = lambda q: np.interp(q, load.q[0], (angle[0] - now.start) / (now.end - now.start))
        place = lambda q: self.said(float(np.interp(q, load.q[0], angle[0])), "deg")
        done, fall = LiftingScissor.run(now)
        up = motion_of(done, "raised", share, place)
        return then_off(up, done, fall, "raised", lambda q: share(load.q[0, -1] - q), sure=stays(report))

    # --- the scissor ------------------------------------------------------------------------------------------------

    def _frame(self, part, now):
        """Room for the scissor raised and folded, in steps, so that the scale does not jump at every change."""
        box = self.side.get_position()
        shape = box.width * self.SIZE[0] / (box.height * self.SIZE[1])
        high, wide = float(scissor.height(part, now.end)), part.arm * np.cos(now.start)
        changed = self.room(self.side, max(ROOM * (high + 2 * PLATE), wide / (0.40 * shape)), BELOW)
        self.size = np.ptp(self.side.get_ylim())
        self.wide = shape * self.size
        if changed:
            self.side.set_xlim(-0.33 * self.wide, 0.67 * self.wide)

    def _update_scissor(self, part, angle):
        n, across, step = round(part.cells), part.arm * np.cos(angle), part.arm * np.sin(angle)
        level = np.arange(n + 1) * step
        zigzag = np.where(np.arange(n + 1) % 2, across, 0.0)
        self.front.set_data(zigzag, level)
        self.rear.set_data(across - zigzag, level)
        middles = (np.arange(n) + 0.5) * step
        x = np.r_[zigzag, across - zigzag, np.full(n, across / 2)]
        self.pins.set_data(x, np.r_[level, level, middles])
        long, plate = part.arm * 1.02, min(PLATE, OF_ARM * part.arm)
        self.floor.reshape(block(1.1 * part.arm, plate, (part.arm / 2, -plate)))
        self.platform.reshape(block(long, plate, (long / 2 - 0.01 * part.arm, plate)))
        self.platform.place(0.0, (0.0, level[-1]))
        size = 0.07 * self.size
        self.load.reshape(block(1.4 * size, size, (0, size / 2 + 1.5 * plate)))
        self.load.place(0.0, (across / 2, level[-1]))
        x = -0.04 * self.wide
        self.height.place((x, level[-1]), (x, 0.0), self.said(level[-1], "mm"))

    def _update_arrows(self, part, angle, push):
        foot = part.arm * np.cos(angle)
        long = np.clip(push / (GRAVITY * part.load) * 0.03, 0.05, 0.25) * self.wide
        self.push.place((foot + 0.02 * self.wide + long, 0.0), (-long, 0.0), self.said(push, "N"))
        self.push.text.set_position((foot + 0.045 * self.wide, 0.012 * self.size))

    def labels(self, report, now, marks):
        """Arms, pins, feet and platform."""
        level = np.array(self.front.get_ydata())
        step, across = level[1] - level[0], float(self.front.get_xdata()[1])
        angle = marks.angle("angle", (0.0, 0.0), 0.45 * across, 0.0, float(np.arctan2(step, across)))
        cell = marks.length("cell", (1.12 * across, step), (1.12 * across, 2 * step)) if now.cells.number > 1 else None
        return [
            Label("arm", self.front, "two arms cross in each cell", self.said(now.arm, "mm")),
            Label("second arm", self.rear, "as long as the first, behind it"),
            Label("cell", cell, "one pair of crossed arms; cells stand on each other") if cell else None,
            Label("pin", self.pins, "joins arms, so that they can turn"),
            Label("sliding foot", marks.point("foot", (across, 0.0)), "slides along the base"),
            Label("fixed foot", marks.point("fixed", (0.0, 0.0)), "turns, but stays in place"),
            Label("push", self.push, "of the drive at the sliding foot: it pulls the feet together"),
            Label("base", self.floor, "part of the robot"),
            Label("platform", self.platform, "stays level while it rises"),
            Label("load", self.load, "what is lifted", self.said(now.load, "kg")),
            Label("height", self.height, "from the base to the platform", self.said(float(level[-1]), "mm")),
            Label(
                "angle of the arms",
                angle,
                "flat arms need a hard push",
                self.said(float(np.arctan2(step, across)), "deg"),
            ),
        ]

    # --- pushes -----------------------------------------------------------------------------------------------------

    def _update_pushes(self, report, part, now, counts, angle, push):
        angles = np.linspace(now.start, now.end, FINE)
        asked = scissor.foot_force(part, angles)
        degrees, (where, can) = np.degrees(angles), self.kept("given", report, lambda: _given(report, now))
        least = can.min() if can.size else 0.0
        top = max(asked.max(), counts, least if least < MOST * asked.max() else 0.0)
        more = f"\nthe drive can give {self.said(least, 'N')} or more" if least > top else ""
        self.told.set_text(f"arms at {self.said(round(angle, 4), 'deg')}{more}")
        self.reach(self.pushes, "x", degrees[-1])
        self.reach(self.pushes, "y", self.shown(1.06 * top, "N"))
        self.asked.set_data(degrees, self.shown(asked, "N"))
        self.weighs.set_data(degrees[[0, -1]], [self.shown(counts, "N")] * 2)
        self.can.set_data(np.degrees(where), self.shown(can, "N"))
        self.here.set_data([np.degrees(angle)], [self.shown(push, "N")])


def _given(report, now):
    """Angles, and the push at the foot that is left of the drive's torque after friction; none where it does not
    reach.
    """
    part, angle, rate, reaches, load = stroke(now)
    if not reaches.all():
        return np.zeros(0), np.zeros(0)
    return np.ravel(angle), np.ravel((report.drawn["gives"] - load.friction_torque) * rate / (part.arm * np.sin(angle)))

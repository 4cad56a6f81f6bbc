"""The picture of a chained arm: both links, sprockets and chain to scale, and the torque that its one motor feels.

Contents: ChainedPicture.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.shapes import Arrow, Part, belt, block, cog
from mechbench.drawing.view import ARROW, below_zero, keep_in_view
from mechbench.mechanisms.chained.sizing import ChainedArm, pair_of
from mechbench.mechanisms.swing import spring_of
from mechbench.mechanisms.swing_picture import POINTS, SwingPicture
from mechbench.physics import arm, chained

SPOKE = np.radians(90)  # where a sprocket's mark stands when its link is level


class ChainedPicture(SwingPicture):
    """Left: both links at one place of the swing, with the path of the tip. Right: what is asked and what can be
    given.
    """

    ANGLE = "angle of the first link [deg]"
    VIEW = "from the side"
    SHOWS = "A chained arm from the side, to scale, at one place of its swing: two links, and one motor for both."
    LABELLED_HIGH, LABELLED_AT = 4.8, {"place": 0.1}

    def _build_arm(self):
        look, side = self.look, self.side
        self.path = self.move(side.plot([], [], **look.path())[0])
        self.floor = self.move(side.plot([], [], color=look.quiet, linewidth=1.2)[0])
        self.post = self.move(side.plot([], [], color=look.grid, linewidth=7.0, solid_capstyle="butt")[0])
        self.level = self.move(side.plot([], [], color=look.quiet, linewidth=0.8)[0])
        none = np.zeros((4, 2))
        self.first = Part(self, side, none, zorder=2.1)
        self.second = Part(self, side, none, face=look.colour("power"), zorder=2.2)
        self.base = Part(self, side, none, face=look.grid, zorder=2.3, width=1.0)
        self.elbow = Part(self, side, none, face=look.colour("power"), zorder=2.4, width=1.0)
        self.chain = self.move(side.plot([], [], color=look.ink, linewidth=1.4, linestyle=(0, (2, 1)), zorder=2.5)[0])
        self.marks = [self.move(side.plot([], [], color=look.ink, linewidth=2.2, zorder=2.6)[0]) for _ in range(2)]
        coil = {"color": look.colour("share"), "linewidth": 1.8, "solid_joinstyle": "round", "zorder": 2.7}
        self.spring = self.move(side.plot([], [], **coil)[0])
        self.piece = Part(self, side, none, face=look.colour("ask"), zorder=2.8)
        self.weight = Arrow(self, side, "ask")
        self.weight.text.set_bbox({"facecolor": look.paper, "edgecolor": "none", "pad": 1})
        self.told = self.move(side.text(0.02, 0.01, "", transform=side.transAxes, va="bottom", linespacing=1.3))

    def update(self, report, now, extra):
        """Place both links and draw the torques over the whole swing."""
        angle = np.linspace(now.start_angle, now.end_angle, POINTS)
        here = now.start_angle + (now.end_angle - now.start_angle) * extra["place"]
        pair = pair_of(now)
        elbow, tip = self.kept("way", report, lambda: _places(pair, angle))
        self._show_swing(now, elbow, tip)
        self._update_links(now, pair, here)
        self._update_spring(now, here)
        self.path.set_data(*tip.T)
        self._update_torques(report, now, pair, angle, here)

    def motion(self, report, now):
        """The swing from its start angle, from rest to rest."""
        return self.swing_of(ChainedArm.run(now), now.start_angle, now.end_angle)

    def _show_swing(self, now, elbow, tip):
        """Room for the whole swing, the floor and the spring's anchor."""
        anchor = now.anchor_height if now.spring.rate > 0 else 0.0
        self.size = keep_in_view(
            self, self.side, np.vstack([elbow, tip, [[0.0, -now.pivot_height], [0.0, anchor]]]), tip
        )
        self.half = self.size / 2  # by which the spring is drawn

    def _update_links(self, now, pair, here):
        (elbow,), (tip,) = _places(pair, np.array([here]))
        second = float(chained.angles(pair, here)[1][0, 0])
        thick = 0.026 * self.size
        self.first.reshape(block(now.first_length, thick, (now.first_length / 2, 0)))
        self.first.place(here)
        self.second.reshape(block(now.second_length, thick, (now.second_length / 2, 0)))
        self.second.place(second, elbow)
        self._update_chain(now, here, second, elbow)
        self.piece.reshape(block(2.2 * thick, 2.2 * thick))
        self.piece.place(0.0, tip)
        self.weight.place(tip, (0, -ARROW * self.size), self.said(now.payload * arm.GRAVITY, "N"))
        (left, right), reach = self.side.get_xlim(), 0.35 * now.second_length
        self.floor.set_data([left, right], [-now.pivot_height] * 2)
        self.post.set_data([0, 0], [-now.pivot_height, 0])
        self.level.set_data([elbow[0], elbow[0] + reach], [elbow[1], elbow[1]])
        self.told.set_text(
            f"first link: {_degrees(here)} from level\nsecond link: {_degrees(second)} from level\n"
            f"second against first: {_degrees(second - here)}"
        )

    def labels(self, report, now, marks):
        """Links, sprockets and chain."""
        long = lambda length: self.said(length, "mm")
        pivot, elbow = (marks.point(name, part.centre) for name, part in (("pivot", self.base), ("elbow", self.elbow)))
        return [
            Label("first link", self.first, "the motor swings it about the pivot", long(now.first_length)),
            Label("second link", self.second, "the chain turns it about the elbow", long(now.second_length)),
            Label("pivot", pivot, "the point that stays in place"),
            Label("elbow", elbow, "the joint between the two links"),
            Label("frame sprocket", self.base, "fixed to the frame: it never turns", f"{now.base.teeth:.0f} teeth"),
            Label("elbow sprocket", self.elbow, "fixed to the second link", f"{now.elbow.teeth:.0f} teeth"),
            Label("chain", self.chain, "joins both sprockets"),
            Label("frame", self.post, "the robot; it holds the pivot"),
            Label("piece", self.piece, "what the second link carries", self.said(now.payload, "kg")),
            Label("weight", self.weight, "pulls straight down", self.said(now.payload * arm.GRAVITY, "N")),
            Label("counter-spring", self.spring, "pulls the first link up"),
            Label("path of the end", self.path, "from the start of the swing to its end"),
            Label("floor", self.floor, "on which the robot stands"),
        ]

    def _update_chain(self, now, here, second, elbow):
        """Sprockets with a mark each: the base's stands still, the elbow's turns with the second link."""
        radii = now.base.pitch_diameter / 2, now.elbow.pitch_diameter / 2
        wheels = (self.base, radii[0], now.base, 0.0, np.zeros(2)), (self.elbow, radii[1], now.elbow, second, elbow)
        for (part, radius, wheel, turned, centre), mark in zip(wheels, self.marks):
            part.reshape(cog(round(wheel.teeth), radius, 0.25 * wheel.pitch))
            part.place(turned, centre)
            way = turned + SPOKE
            mark.set_data(*np.array([centre, centre + radius * np.array([np.cos(way), np.sin(way)])]).T)
        apart = now.first_length > 1.01 * abs(radii[0] - radii[1])
        self.chain.set_visible(bool(apart))
        if apart:
            loop = belt((0.0, 0.0), radii[0], elbow, radii[1])
            self.chain.set_data(*np.vstack([loop, loop[:1]]).T)

    def _update_torques(self, report, now, pair, angle, here):
        weight = self.kept("weight", report, lambda: chained.torque(pair, angle[None, :])[0])
        left = weight - np.ravel(arm.spring_torque(spring_of(now), angle))
        self.draw_torques(angle, here, weight, left, report.drawn["gives"])

    def lowest(self, needed):
        """How far the axis of torque goes below 0, in steps."""
        return below_zero(self.torques, needed)


def _places(pair, angle):
    """Elbow and tip [N,2] for angles of the first link, from the pivot."""
    x, y, tip_x, tip_y = (np.ravel(part) for part in chained.pose(pair, np.atleast_1d(angle)[None, :]))
    return np.column_stack([x, y]), np.column_stack([tip_x, tip_y])


def _degrees(angle):
    return f"{round(float(np.degrees(angle)))} deg"

"""The picture of a slide lift: stages, spool and cord to scale, and the torque on the spool along the way.

Contents: LiftPicture.
"""

from dataclasses import replace

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture, fitted
from mechbench.drawing.shapes import Arrow, Dimension, Part, block, circle
from mechbench.engine.spec import CHOICE, Field
from mechbench.mechanisms.lift.sizing import SlideLift, drum_of, slides_of
from mechbench.mechanisms.moved import OFF, motion_of, stays, then_off
from mechbench.physics import lift, winch

MOST = 4  # stages for which the picture has parts
POINTS = 121
PITCH, THICK, RUN = (
    0.040,
    0.016,
    0.35,
)  # m from slide to slide and of each slide; where a cord runs, as a share of the pitch
FLOOR, RIGHT = 0.03, 0.72  # m below the lift's foot; how far the picture goes to the right, as a share of its height
ROOM_BELOW = 0.25  # below the load, for its arrow, as a share of the height
ROUND = np.linspace(np.pi, 0, 9)


class LiftPicture(Picture):
    """Left: the lift at one place of its way, with spool and cord. Right: torque that each rigging asks for and the
    drive gives.
    """

    VIEW = "from the side"
    SHOWS = "A slide lift from the side, to scale, raised a part of its way."
    LABELLED_HIGH = 4.8
    EXTRA = (
        Field(
            "raised", "Raised by", "%", 0.0, 100.0, 60.0, "share of its way by which the lift is drawn raised", CHOICE
        ),
    )

    def build(self):
        """The parts of the lift and the plot of torques."""
        self.side = self.figure.add_axes((0.01, 0.02, 0.46, 0.96))
        self.side.set_axis_off()
        self._build_lift()
        self.torques = self.figure.add_axes((0.57, 0.135, 0.40, 0.61))
        self._build_torques()

    def _build_lift(self):
        look, side = self.look, self.side
        self.floor = self.move(side.plot([], [], color=look.quiet, linewidth=1.2)[0])
        self.post = self.move(side.plot([], [], color=look.quiet, linewidth=3)[0])
        self.goal = self.move(side.plot([], [], **look.line("limit", 1.4))[0])
        self.goal_told = self.move(side.text(0, 0, "", va="bottom"))
        self.slides = [
            Part(self, side, np.zeros((4, 2)), face=look.grid if number == 0 else None, width=1.0)
            for number in range(MOST + 1)
        ]
        self.cord = self.move(side.plot([], [], color=look.colour("power"), linewidth=1.4, zorder=3)[0])
        self.flange = Part(self, side, circle(0.02), face=look.paper, zorder=2.5)
        self.spool = Part(self, side, circle(0.01), zorder=2.6)
        self.spoke = self.move(side.plot([], [], color=look.ink, linewidth=1.6, zorder=3.1)[0])
        self.load = Part(self, side, np.zeros((4, 2)), face=look.colour("ask"), zorder=4)
        self.weight = Arrow(self, side, "ask")
        self.way = Dimension(self, side)
        self.off = self.move(side.text(0, 0, "", va="bottom"))
        for text in (self.weight.text, self.way.text):
            text.set_ha("left")
        self.weight.text.set_bbox({"facecolor": look.paper, "edgecolor": "none", "pad": 1})

    def _build_torques(self):
        look, axes = self.look, self.torques
        axes.set_title(f"Torque on the spool [{self.unit('N·m')}]", pad=52)
        axes.set_xlabel(f"rise of the top [{self.unit('mm')}]", labelpad=1)
        self.can = self.move(axes.plot([], [], **look.line("limit", 1.8), label="the drive can give")[0])
        self.other = self.move(axes.plot([], [], **look.line("share", 1.8), label="asked, the other rigging")[0])
        self.asked = self.move(axes.plot([], [], **look.line("ask"), label="asked, as rigged")[0])
        self.here = self.move(axes.plot([], [], **look.mark("ask", 9), clip_on=False)[0])
        axes.legend(
            loc="lower left",
            bbox_to_anchor=(0, 1),
            borderaxespad=0.05,
            frameon=False,
            handlelength=2.2,
            labelspacing=0.1,
        )

    def update(self, report, now, extra):
        """Raise the lift and draw the torques over the whole way."""
        slides, drum = slides_of(now), drum_of(now)
        wound = extra["raised"] * slides.travel * (1 if slides.cascade else slides.stages)
        feet = self.feet = np.r_[0.0, lift.stage_ways(slides, wound)]
        self._frame(slides, now)
        self._update_slides(slides, feet)
        self._update_cord(slides, drum, now, feet, wound)
        self._update_load(slides, now, feet)
        self._update_torques(report, slides, drum, extra["raised"])
        self._tell_power(drum, now, extra.get("off"))

    def motion(self, report, now):
        """Up from rest to rest, and what the raised lift does with the power off."""
        slides, drum = slides_of(now), drum_of(now)
        travel = slides.travel * (1 if slides.cascade else slides.stages)
        raised = lambda q: winch.cord_at(drum, 0.0, travel, q) / travel
        high = slides.stages * slides.travel * np.sin(slides.lean)
        done, fall = SlideLift.run(now)
        end = done.q[0, 0, -1]
        up = motion_of(done, "raised", raised, lambda q: self.said(raised(q) * high, "mm"))
        return then_off(up, done, fall, "raised", lambda q: raised(end - q), sure=stays(report))

    def _tell_power(self, drum, now, off):
        """Say that the power is off, above the spool, where the line of the floor never runs."""
        flange = self.at(0.01, -RUN * PITCH - float(winch.layer_radius(drum, 1)))[1] + now.drum.flange_radius
        self.off.set_position((self.side.get_xlim()[0] + 0.02 * self.size, flange + 0.02 * self.size))
        self.off.set_text(OFF if off else "")

    # --- the lift ---------------------------------------------------------------------------------------------------

    def _frame(self, slides, now):
        """Room for the lift with all stages out, in steps, so that the scale does not jump at every change."""
        span = slides.length + slides.stages * slides.travel
        ahead = PITCH * slides.stages + now.offset + 0.1
        up, along = np.sin(slides.lean), np.cos(slides.lean)
        rise = max(slides.stages * slides.travel * up, now.rise_wanted)
        # the last one: a flat lift stands on a post, so high that its load and the arrow below it clear the floor
        needed = max(
            (span * along + ahead) / RIGHT,
            (slides.length * up + rise) * 1.05,
            (rise + ahead * along) / (1.05 - ROOM_BELOW),
        )
        size = fitted(needed, getattr(self, "size", None))
        if size != getattr(self, "size", None):
            self.size = size
            box = self.side.get_position()
            shape = box.width * self.SIZE[0] / (box.height * self.SIZE[1])
            self.side.set_ylim(-0.08 * size, 1.07 * size)
            self.side.set_xlim((RIGHT - 1.15 * shape) * size, RIGHT * size)
            self.stale = True
        self.axis, self.ahead = np.array([along, up]), np.array([up, -along])
        load_low = slides.length * up - ahead * along - ROOM_BELOW * size
        self.origin = np.array([0.0, max(PITCH * slides.stages * along, -load_low, 0.0)])

    def at(self, along, ahead):
        """Places along the rails and in front of the fixed slide as points of the picture."""
        return self.origin + np.multiply.outer(along, self.axis) + np.multiply.outer(ahead, self.ahead)

    def _update_slides(self, slides, feet):
        for number, part in enumerate(self.slides):
            part.show(number < feet.size)
            if number < feet.size:
                part.reshape(block(slides.length, THICK, (slides.length / 2, 0)))
                part.place(slides.lean, self.at(feet[number], number * PITCH))
        self.floor.set_data([-self.size, 2 * self.size], [-FLOOR, -FLOOR])
        self.post.set_data([0, 0], [-FLOOR, self.origin[1]])

    def _update_cord(self, slides, drum, now, feet, wound):
        radius = float(winch.layer_radius(drum, 1))
        spool = np.array([0.01, -RUN * PITCH - radius])
        runs = _cascade(feet, slides.length) if slides.cascade else _continuous(feet, slides.length)
        runs[0] = np.vstack([[spool[0], -RUN * PITCH], runs[0]])
        gap = np.full((1, 2), np.nan)
        points = np.vstack([part for run in runs for part in (run, gap)])
        self.cord.set_data(*self.at(points[:, 0], points[:, 1]).T)
        centre = self.at(*spool)
        self.flange.reshape(circle(now.drum.flange_radius))
        self.flange.place(0.0, centre)
        self.spool.reshape(circle(radius))
        self.spool.place(0.0, centre)
        turned = wound / radius
        self.spoke.set_data(*np.array([centre, centre + radius * np.array([np.cos(turned), np.sin(turned)])]).T)

    def _update_load(self, slides, now, feet):
        top = feet[-1] + slides.length
        size = 0.07 * self.size
        centre = self.at(top - size / 2, (feet.size - 1) * PITCH + THICK / 2 + now.offset)
        self.load.reshape(block(size, size))
        self.load.place(slides.lean, centre)
        self.weight.place(centre, (0, -0.13 * self.size), self.said(slides.payload * lift.GRAVITY, "N"))
        low, high = (self.at(place, 0.0)[1] for place in (slides.length, top))
        left, right = self.side.get_xlim()
        x = left + 0.03 * self.size
        rise = high - low
        self.way.place((x, low), (x, high), self.said(rise, "mm") if rise > 0.03 * self.size else "")
        goal = low + now.rise_wanted
        self.goal.set_data([left, right], [goal, goal])
        above = (low + high) / 2 <= goal  # on the side where the words of the rise are not
        self.goal_told.set_va("bottom" if above else "top")  # at the left, where neither slides nor load come
        self.goal_told.set_position((left + 0.06 * self.size, goal + (0.018 if above else -0.018) * self.size))
        self.goal_told.set_text("rise wanted")

    def described(self, now):
        """What the drawing shows, with its rigging."""
        if slides_of(now).cascade:
            return f"{self.SHOWS} Rigging: cascade. Each stage has a cord of its own, and all stages move at once."
        return f"{self.SHOWS} Rigging: continuous. One cord runs through all slides, and one stage moves after another."

    def labels(self, report, now, marks):
        """Slides, cord and spool, and how far the stages are out."""
        slides, last = slides_of(now), self.feet.size - 1
        way = marks.length("way of the first stage", *self.at([0.0, self.feet[1]], [-1.1 * PITCH] * 2))
        wheel = marks.point("wheel", self.at(self.feet[0] + slides.length, 0.0))
        tied = marks.point("tied", self.at(self.feet[-1] + 0.02, last * PITCH))
        counted = "of all stages this one is drawn out furthest"
        return [
            Label("fixed slide", self.slides[0], "it belongs to the robot and does not move"),
            Label("first stage", self.slides[1], "slides along the fixed slide"),
            Label("last stage", self.slides[last], counted) if last > 1 else None,
            Label("load", self.load, "what the lift carries at its top", self.said(slides.payload, "kg")),
            Label("weight", self.weight, "pulls straight down"),
            Label("cord", self.cord, "pulls the stages out"),
            Label("wheel", wheel, "at the top of the slide: the cord turns round it"),
            Label("end of the cord", tied, "tied to the foot of the last stage"),
            Label("spool", self.spool, "a motor turns it, and it winds the cord"),
            Label(
                "way of the first stage",
                way,
                "how far it is out now; its travel is how far it can go",
                self.said(float(self.feet[1]), "mm"),
            ),
            Label("rise", self.way, "how much higher the top is now") if self.way.text.get_text() else None,
            Label("rise wanted", self.goal, "so high must the top come", self.said(now.rise_wanted, "mm")),
            Label("floor", self.floor, "on which the robot stands"),
        ]

    # --- torques ----------------------------------------------------------------------------------------------------

    def _update_torques(self, report, slides, drum, raised):
        both = slides, replace(slides, cascade=not slides.cascade)
        (way, torque), (other_way, other) = self.kept("asked", report, lambda: [_asked(one, drum) for one in both])
        can = report.drawn["gives"]
        up = np.sin(slides.lean)
        rises = [self.shown(part * up, "mm") for part in (way, other_way)]
        self.reach(self.torques, "x", rises[0][-1])
        self.reach(self.torques, "y", self.shown(max(torque.max(), other.max(), can), "N·m"))
        self.asked.set_data(rises[0], self.shown(torque, "N·m"))
        self.other.set_data(rises[1], self.shown(other, "N·m"))
        self.can.set_data([0, rises[0][-1]], [self.shown(can, "N·m")] * 2)
        here = raised * rises[0][-1]
        self.here.set_data([here], [np.interp(here, rises[0], self.shown(torque, "N·m"))])


def _asked(slides, drum):
    """Way of the top along the rails, and the torque on the spool that raises it steadily.

    With one cord through all stages it steps where the next stage begins to slide: one stage more to raise, and the
    friction of another rail, which is less where the one that stops has a short guide.
    """
    bare = lift.raise_load(
        slides, winch.Drum(1.0, np.inf, 1.0, 0.0), points=POINTS
    )  # at 1 m, torque is pull and angle is cord
    wound, pull = np.ravel(bare.q), np.ravel(bare.load_torque + bare.friction_torque)
    first, climbs = winch.layer_jumps(drum, 0.0, wound[-1])
    layer = first + np.sum(wound[:, None] > climbs, axis=-1)
    return wound * (slides.stages if slides.cascade else 1), pull * winch.layer_radius(drum, layer)


def _over(foot, length, number):
    """The cord over the wheel at the top of a slide: up behind it, round, and down in front of it."""
    radius = RUN * PITCH
    return np.column_stack([foot + length + radius * np.sin(ROUND), number * PITCH + radius * np.cos(ROUND)])


def _cascade(feet, length):
    """A cord for each stage: from the slide two below, over the slide below, to the foot of the stage; the first
    from the spool.
    """
    runs = []
    for stage in range(1, feet.size):
        start = [] if stage == 1 else [[feet[stage - 2] + 0.9 * length, (stage - 1 - RUN) * PITCH]]
        end = [[feet[stage] + 0.02, (stage - 1 + RUN) * PITCH], [feet[stage] + 0.02, stage * PITCH]]
        runs.append(np.vstack([*start, _over(feet[stage - 1], length, stage - 1), end]))
    return runs


def _continuous(feet, length):
    """One cord through all slides: over the top of each, round the foot of the next, tied to the foot of the last."""
    parts = []
    for stage in range(1, feet.size):
        parts.append(_over(feet[stage - 1], length, stage - 1))
        radius, middle = (0.5 - RUN) * PITCH, (stage - 0.5) * PITCH
        parts.append(np.column_stack([feet[stage] + 0.02 - radius * np.sin(ROUND), middle + radius * np.cos(ROUND)]))
    parts[-1] = np.array([[feet[-1] + 0.02, (feet.size - 2 + RUN) * PITCH], [feet[-1] + 0.02, (feet.size - 1) * PITCH]])
    return [np.vstack(parts)]

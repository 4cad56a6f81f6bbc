"""The picture of a robot that may tip: from the side, to scale, on a floor that may slope; and what its height does to
braking.

Contents: BalancePicture.

The drawing turns about the point where the front wheel touches the floor: that is the edge about which the robot tips.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Arrow, Dimension, Part, block, circle, placed
from mechbench.engine.spec import CHOICE, Field
from mechbench.physics import balance, footing
from mechbench.physics.balance import Part as Lump

POINTS = 121
EDGE = 0.5  # where the front wheel stands in the drawing, as a share of its width
BELOW = 0.19  # room below the floor for the dimension, as a share of the height
OVERHANG, LUMP = 0.06, 0.04  # m: the base beyond the wheels; half a side of what is raised
LETTERS = 0.042  # half the height of a line of words with the paper behind it, as a share of the height
FULL = 0.28  # how long the arrow of a braking of g is, as a share of the height


class BalancePicture(Picture):
    """Left: where weight and braking together press on the floor. Right: braking before it tips, over the height of
    what is raised.
    """

    VIEW = "from the side"
    SHOWS = "A robot from the side, to scale. It drives to the right and brakes, with its load raised."
    LABELLED_HIGH = 4.8
    EXTRA = (
        Field("braking_now", "It brakes with", "m/s2", 0.0, 10.0, 3.0, "braking for which the robot is drawn", CHOICE),
        Field(
            "ramp",
            "Floor slopes down ahead by",
            "deg",
            0.0,
            45.0,
            0.0,
            "slope of the floor on which the robot is drawn",
            CHOICE,
        ),
    )

    def build(self):
        """The robot's parts and the plot of braking."""
        self.side = self.figure.add_axes((0.01, 0.01, 0.52, 0.86))
        self.side.set_axis_off()
        self._build_robot()
        self.limits = self.figure.add_axes((0.60, 0.135, 0.365, 0.61))
        self._build_limits()

    def _build_robot(self):
        look, side = self.look, self.side
        self.floor = self.move(side.plot([], [], color=look.quiet, linewidth=1.6)[0])
        self.mast = self.move(side.plot([], [], color=look.quiet, linewidth=3.0)[0])
        self.body = Part(self, side, np.zeros((4, 2)))
        self.wheels = [Part(self, side, circle(0.05), face=look.grid) for _ in range(2)]
        self.raised = Part(self, side, np.zeros((4, 2)), face=look.colour("ask"))
        self.ahead = Dimension(self, side)
        self.height = Dimension(self, side)
        self.press = Arrow(self, side, "power")
        self.push = Arrow(self, side, "give", zorder=6.2)
        self.push.text.set_ha("left")
        for text in (self.push.text, self.height.text, self.ahead.text):
            text.set_bbox({"facecolor": look.paper, "edgecolor": "none", "pad": 0.5})
        self.edge = self.move(side.plot([], [], **look.mark("share", 9), zorder=6.5)[0])
        self.centre = self.move(side.plot([], [], **look.mark("limit", 10), zorder=6.6)[0])
        self.told = self.move(
            side.text(0.015, 0.985, "", transform=self.figure.transFigure, va="top", linespacing=1.25)
        )

    def _build_limits(self):
        look, axes = self.look, self.limits
        axes.set_title(f"Braking [{self.unit('m/s2')}]", pad=52)
        axes.set_xlabel(f"height of what is raised [{self.unit('mm')}]", labelpad=1)
        axes.set_xlim(0, self.shown(1.05, "mm"))
        self.tips = self.move(axes.plot([], [], **look.line("give"), label="before it tips")[0])
        self.slips = self.move(axes.plot([], [], **look.line("limit", 1.8), label="before its wheels slip")[0])
        self.wanted = self.move(axes.plot([], [], **look.line("ask", 1.8), label="wanted")[0])
        self.here = self.move(axes.plot([], [], **look.mark("give", 9))[0])
        axes.legend(
            loc="lower left",
            bbox_to_anchor=(0, 1),
            borderaxespad=0.05,
            frameon=False,
            handlelength=2.2,
            labelspacing=0.1,
        )

    def update(self, report, now, extra):
        """Draw the robot with its centre of gravity, and how hard it may brake at every height."""
        self.turn = -extra["ramp"]
        self._frame(now)
        centre = np.array([report.good["centre_forward"], report.good["centre_height"]])
        self._update_robot(now, centre)
        self._update_forces(now, centre, report.good["total"], extra)
        self._update_limits(report, now)

    # --- the robot --------------------------------------------------------------------------------------------------

    @property
    def size(self):
        """How high the drawing reaches above the edge about which the robot tips, in m."""
        return self.side.get_ylim()[1]

    def at(self, x, z, now):
        """A place on the robot (ahead of the middle, above the floor) as a point of the drawing."""
        return placed(np.array([x - now.wheelbase / 2, z]), self.turn)

    def _frame(self, now):
        """Room for the robot on this slope, in steps, so that the scale does not jump at every change."""
        back, front = now.wheelbase / 2 + OVERHANG, now.raised_forward + 2 * LUMP
        top = now.wheels.radius + _deep(now)
        corners = np.array(
            [
                self.at(x, z, now)
                for x, z in (
                    (-back, 0.0),
                    (-back, max(0.12, top)),
                    (now.raised_forward - 2 * LUMP, now.raised_height + LUMP),
                    (front, now.raised_height + LUMP),
                    (front, now.raised_height - LUMP),
                    (now.forward, now.height),
                    (back, max(0.12, top)),
                )
            ]
        )
        box = self.side.get_position()
        shape = box.width * self.SIZE[0] / (box.height * self.SIZE[1])
        tall = 1.0 + BELOW
        needed = max(
            1.04 * corners[:, 1].max(),
            corners[:, 0].max() / ((1 - EDGE) * shape * tall),
            -corners[:, 0].min() / (EDGE * shape * tall),
        )
        if self.room(self.side, needed, BELOW):
            wide = shape * tall * self.size
            self.side.set_xlim(-EDGE * wide, (1 - EDGE) * wide)

    def _update_robot(self, now, centre):
        radius, half = now.wheels.radius, now.wheelbase / 2
        deep = _deep(now)
        self.body.reshape(block(now.wheelbase + 2 * OVERHANG, deep, (-half, radius + deep / 2)))
        self.body.place(self.turn)
        for wheel, x in zip(self.wheels, (-half, half)):
            wheel.reshape(circle(radius))
            wheel.place(self.turn, self.at(x, radius, now))
        foot = np.clip(now.raised_forward, -half, half)
        self.mast.set_data(
            *np.array([self.at(foot, radius + deep, now), self.at(now.raised_forward, now.raised_height, now)]).T
        )
        self.raised.show(now.raised_mass > 0)
        self.mast.set_visible(bool(now.raised_mass > 0))
        self.raised.reshape(block(2 * LUMP, 2 * LUMP))
        self.raised.place(self.turn, self.at(now.raised_forward, now.raised_height, now))
        self.edge.set_data(*self.at(half, 0.0, now)[:, None])
        self.centre.set_data(*self.at(*centre, now)[:, None])
        self._update_lengths(now, centre)

    def _update_lengths(self, now, centre):
        half, under = now.wheelbase / 2, -0.05 * self.size
        room = half - centre[0]
        self.ahead.place(
            self.at(centre[0], under, now),
            self.at(half, under, now),
            f"x = {self.said(room, 'mm')}" if room > 0 else "",
        )
        self.ahead.text.set_ha("right" if self.turn < -0.1 else "center")  # on a slope beside its line, not across it
        top = self.at(*centre, now)
        self.height.place(top, self.at(centre[0], 0.0, now), f"h = {self.said(centre[1], 'mm')}")
        left, right = self.side.get_xlim()
        beside = top[0] - left < 0.32 * (right - left)
        self.height.text.set_ha("left" if beside else "right")
        above = 0.075 if not beside else max(0.075, self._lifted(now, centre) + 0.07)
        self.height.text.set_position(top + np.array([0.0 if beside else -0.03, above]) * self.size)

    def _lifted(self, now, centre):
        """How far above the centre of gravity the words of the push stand, as a share of the size: where the body's
        upper edge would run through them, they stand on it.
        """
        edge = (now.wheels.radius + _deep(now) - centre[1]) / self.size
        return edge + LETTERS if abs(edge) < LETTERS else 0.0

    def _update_forces(self, now, centre, mass, extra):
        half = now.wheelbase / 2
        floor = footing.floor_push(mass, centre[0], centre[1], acceleration=-extra["braking_now"], slope=-extra["ramp"])
        place = float(floor.place)
        start = self.at(*centre, now)
        self.press.place(start, self.at(place, 0.0, now) - start)
        ends = -half - OVERHANG - 0.12 * self.size, max(half + OVERHANG + 0.12 * self.size, place + 0.04 * self.size)
        self.floor.set_data(*np.array([self.at(x, 0.0, now) for x in ends]).T)
        along = FULL * self.size * extra["braking_now"] / balance.GRAVITY
        self.push.place(
            start,
            self.at(centre[0] + along, centre[1], now) - start,
            f"push {self.said(mass * extra['braking_now'], 'N')}",
        )
        self.push.text.set_y(self.push.text.get_position()[1] + self._lifted(now, centre) * self.size)
        leans, room = float(-floor.along / floor.normal), (half - centre[0]) / centre[1]
        self.told.set_text(_verdict(leans, room, now.wheels.along, (place + half) / now.wheelbase))

    def labels(self, report, now, marks):
        """What is heavy, what it stands on, and the two lengths that decide."""
        half, good, said = now.wheelbase / 2, report.good, self.said
        low = -0.14 * self.size
        wheelbase = marks.length("wheelbase", self.at(-half, low, now), self.at(half, low, now))
        room = half - good["centre_forward"]
        return [
            Label("centre of gravity", self.centre, "where all weight seems to pull"),
            Label(
                "height h", self.height, "of the centre of gravity above the floor", said(good["centre_height"], "mm")
            ),
            Label("room x", self.ahead, "from the centre of gravity to the edge, level", said(room, "mm")),
            Label("edge", self.edge, "where the front wheels touch the floor: over this it tips"),
            Label("wheelbase", wheelbase, "from the rear wheels to the front wheels", said(now.wheelbase, "mm")),
            Label("robot's base", self.body, "what is low: frame, motors, battery"),
            Label("front wheel", self.wheels[1], "carries more when the robot brakes"),
            Label("rear wheel", self.wheels[0], "leaves the floor first when it tips"),
            Label("raised load", self.raised, "what is heavy and high", said(now.raised_mass, "kg")),
            Label("mast", self.mast, "stands for the lift or arm that raises it"),
            Label("push of braking", self.push, "the weight wants to go on ahead"),
            Label("weight and push", self.press, "both together press on the floor here; at the edge it tips"),
        ]

    # --- how hard it may brake --------------------------------------------------------------------------------------

    def _update_limits(self, report, now):
        heights = np.linspace(0.01, 1.0, POINTS)
        lumps = [
            Lump("rest", now.mass, now.forward, 0.0, now.height),
            Lump("raised", now.raised_mass, now.raised_forward, 0.0, heights),
        ]
        centre = balance.centre_of_gravity(lumps)
        braking = balance.braking_limit(now.wheelbase / 2 - centre.x, centre.z)
        here, grip = max(report.good["braking"], 0.0), report.good["grip"]
        self.reach(self.limits, "y", self.shown(max(1.25 * grip, now.braking_wanted, here), "m/s2"))
        self.tips.set_data(self.shown(heights, "mm"), self.shown(braking, "m/s2"))
        for line, level in ((self.slips, grip), (self.wanted, now.braking_wanted)):
            line.set_data(self.limits.get_xlim(), [self.shown(level, "m/s2")] * 2)
        self.here.set_data([self.shown(now.raised_height, "mm")], [self.shown(here, "m/s2")])


def _deep(now):
    """How high the body is drawn above its wheels' axes, so that its middle is at its centre of gravity."""
    return max(0.05, 2 * (now.height - now.wheels.radius))


def _verdict(leans, room, grip, front):
    """What the robot does. `leans`: push along the floor over push square to it; at `room` it tips, at `grip` it
    slips.
    """
    if leans > min(room, grip):
        return (
            "It tips: the rear wheels leave the floor." if room < grip else "Its wheels slip: they can't hold so much."
        )
    if front < 0:
        return "It falls over backwards."
    return f"It stands. The front wheels\ncarry {100 * front:.0f} % of the weight."

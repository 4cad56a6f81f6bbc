"""A drivetrain from above: four wheels with what turns them, its wheelbase and its track.

Contents: FromAbove.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Arrow, Part, block

MOTOR = 0.10, 0.036  # m, a usual motor with its gearbox, from above
SLANTED, SLANT = 6, np.radians(45)  # rollers that are seen on a wheel; common practice, no source
AIR = 0.008  # m, between a wheel and the frame
AHEAD = 0.07  # m, the arrow that tells which way is ahead


class FromAbove(Picture):
    """The robot's frame and wheels, to scale; ahead is to the right."""

    VIEW = "from above"
    SHOWS = "A robot on four wheels from above, to scale. It drives ahead to the right."
    LABELLED_HIGH = 4.6

    def build(self):
        """Frame, wheels, motors and the lines between wheels."""
        look = self.look
        self.side = self.figure.add_axes((0.0, 0.0, 1.0, 1.0))
        self.side.set_axis_off()
        self.side.set_aspect("equal")
        self.frame = Part(self, self.side, np.zeros((4, 2)), face=look.grid)
        self.motors = [Part(self, self.side, np.zeros((4, 2)), face=look.colour("give")) for _ in range(4)]
        self.wheels = [Part(self, self.side, np.zeros((4, 2))) for _ in range(4)]
        self.rollers = self.move(self.side.plot([], [], color=look.quiet, linewidth=1.4)[0])
        self.footprint = self.move(self.side.plot([], [], **look.line("share", 1.8))[0])
        self.edge = self.move(self.side.plot([], [], **look.line("ask", 2.2))[0])
        self.centre = self.move(self.side.plot([], [], **look.mark("limit", 9))[0])
        self.ahead = Arrow(self, self.side, "power")

    def update(self, report, now, extra):
        """Place all of it."""
        long, wide = now.wheelbase / 2, now.track / 2
        corners = np.array([(long, wide), (-long, wide), (-long, -wide), (long, -wide)])
        reach = long + now.wheel.radius + 2 * AHEAD
        self.side.set_xlim(-reach, reach)
        self.side.set_ylim(-wide - 0.08, wide + 0.08)
        self.stale = True
        lines = []
        for wheel, motor, (x, y) in zip(self.wheels, self.motors, corners):
            driven = now.driven.end in (0.0, -np.sign(x))
            kind = now.wheel if driven else now.free_wheel
            wheel.reshape(block(2 * kind.radius, kind.width))
            wheel.place(0.0, (x, y))
            motor.show(bool(driven) and now.count.number >= (4 if now.driven.end == 0 else 2))
            inner = wide - kind.width / 2
            motor.reshape(block(MOTOR[1], min(MOTOR[0], 0.9 * inner)))
            motor.place(0.0, (x, np.sign(y) * (inner - min(MOTOR[0], 0.9 * inner) / 2)))
            lines += _rollers(x, y, kind) if kind.goes_sideways else []
        inner = wide - max(now.wheel.width, now.free_wheel.width) / 2 - AIR
        self.frame.reshape(block(2 * long + 0.06, 2 * inner))
        self.rollers.set_data(*np.array(lines or [(np.nan, np.nan)]).T)
        self.rollers.set_visible(bool(lines))
        self.footprint.set_data(*np.vstack([corners, corners[:1]]).T)
        self.edge.set_data([long, long], [-wide, wide])
        self.centre.set_data([0.0], [0.0])
        self.ahead.place((long + now.wheel.radius + 0.3 * AHEAD, 0.0), (AHEAD, 0.0))

    def labels(self, report, now, marks):
        """Wheels and motors, and the two lengths between wheels."""
        long, wide, said = now.wheelbase / 2, now.track / 2, self.said
        low = -wide - max(now.wheel.width, now.free_wheel.width) / 2 - 0.025
        back = -long - max(now.wheel.radius, now.free_wheel.radius) - 0.025
        motor = next((one for one in self.motors if one.patch.get_visible()), self.motors[0])
        return [
            Label("frame", self.frame, "carries motors, battery and all mechanisms"),
            Label("front wheel", self.wheels[0], "turned by its motor, or rolling along"),
            Label("rear wheel", self.wheels[1], "behind it on the same side"),
            Label("motor, gearbox", motor, "they turn a wheel; drawn as a box of usual size"),
            Label("slanted rollers", self.rollers, "on the rim of a mecanum wheel: they let the robot go sideways"),
            Label(
                "wheelbase",
                marks.length("wheelbase", (-long, low), (long, low)),
                "from the middle of the rear wheels to that of the front wheels",
                said(now.wheelbase, "mm"),
            ),
            Label(
                "track",
                marks.length("track", (back, -wide), (back, wide)),
                "from the middle of the left wheels to that of the right wheels",
                said(now.track, "mm"),
            ),
            Label("footprint", self.footprint, "the line around all places where wheels touch the floor"),
            Label("front edge", self.edge, "the line over which the robot tips when it brakes too hard"),
            Label("centre of gravity", self.centre, "where all weight seems to pull; it stays inside the footprint"),
            Label("ahead", self.ahead, "the way it drives"),
        ]


def _rollers(x, y, kind):
    """Slanted lines on a wheel: seen from above, those of all four wheels point to the middle."""
    way = np.sign(x * y)
    lines = []
    for place in (np.arange(SLANTED) + 0.5) / SLANTED * 2 - 1:
        half = kind.width / 2 * 0.8
        middle, lean = x + 0.8 * kind.radius * place, half / np.tan(SLANT) * way
        lines += [(middle - lean, y - half), (middle + lean, y + half), (np.nan, np.nan)]
    return lines

"""Who gets what from the battery: a sketch of wires, no plan to build by.

Contents: Wiring.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Part, block, circle

THICK, MIDDLE, THIN = 5.0, 2.6, 1.6  # points: wires for all current, for one motor, for sensors
ROUND, RAIL = (-6.2, 1.0), 3.2  # middles of battery and controller; how far wires run above and below the middle
MOTORS, SMALL = (1.7, -1.7), 0.0  # levels of motors and of what needs little
EDGE, USERS = 2.5, 5.2  # the controller's right side, and where its users begin


class Wiring(Picture):
    """Battery, fuse and switch in one thick wire; the controller shares out what comes."""

    VIEW = "wiring"
    SHOWS = (
        "Who gets what from the battery: a sketch, and no plan to build by. How thick wires are, and which fuse and"
        " switch belong there, is told by your event's rules, by local codes and by licensed practice. Unplug before"
        " hands go in."
    )
    LABELLED_HIGH = 4.8

    def build(self):
        """Wires first, then what they join; nothing moves."""
        self.side = self.figure.add_axes((0.0, 0.0, 1.0, 1.0))
        self.side.set(xlim=(-8.0, 8.0), ylim=(-4.2, 4.2), aspect="equal")
        self.side.set_axis_off()
        battery, controller = ROUND
        above, under = (
            [(battery, way * 1.5), (battery, way * RAIL), (controller, way * RAIL), (controller, way * 1.0)]
            for way in (1, -1)
        )
        self.plus, self.minus = self._wire("ask", THICK, above), self._wire("limit", THICK, under)
        pair = lambda y, apart: [[(EDGE, y + way * apart), (USERS, y + way * apart)] for way in (1, -1)]
        self.to_motors = self._wire("give", MIDDLE, *pair(MOTORS[0], 0.25), *pair(MOTORS[1], 0.25))
        self.to_small = self._wire("power", THIN, *pair(SMALL, 0.12))
        over = MOTORS[0] + 1.1
        self.signal = self._wire("share", THIN, [(7.0, MOTORS[0]), (7.0, over), (2.0, over), (2.0, 2.0)])
        self._build_parts(battery, controller)

    def _wire(self, role, width, *runs):
        points = np.vstack([[*run, (np.nan, np.nan)] for run in runs])
        ends = {"solid_capstyle": "butt", "solid_joinstyle": "miter"}
        return self.move(self.side.plot(*points.T, color=self.look.colour(role), linewidth=width, **ends)[0])

    def _build_parts(self, battery, controller):
        look = self.look
        part = lambda outline, **how: Part(self, self.side, outline, **how)
        self.battery = part(block(1.7, 3.0, (battery, 0.0)))
        zigzag = [(battery + (0.3 * (-1) ** i if 0 < i < 7 else 0.0), 0.2 + 0.15 * i) for i in range(8)]
        self.resistance = self._wire("limit", 1.8, zigzag)
        self.fuse = part(block(1.5, 0.8, (-3.9, RAIL)), face=look.paper)
        self.melts = self._wire("ask", 1.2, [(-4.65, RAIL), (-3.15, RAIL)])
        self.switch = part(block(1.5, 0.8, (-1.4, RAIL)), face=look.grid)
        self.lever = self._wire("limit", 3.0, [(-1.9, RAIL - 0.1), (-0.9, RAIL + 0.15)])
        self.controller = part(block(2 * (EDGE - controller), 4.4, (controller, 0.0)))
        self.encoder = part(block(0.7, 0.9, (7.0, MOTORS[0])), face=look.colour("share"))
        self.motors = [part(block(1.5, 1.2, (USERS + 0.75, y)), face=look.colour("give")) for y in MOTORS]
        self.shafts = [part(block(0.6, 0.25, (USERS + 1.8, MOTORS[1])), face=look.grid)]
        self.small = part(_circle_at(0.45, (USERS + 0.45, SMALL)), face=look.colour("power"))

    def update(self, report, now, extra):
        """A sketch stays as it is."""

    def labels(self, report, now, marks):
        """From the battery to those who use it, with what this bench finds."""
        good, said = report.good, self.said
        inside = "inside the battery and in its wires: here some voltage is lost"
        one = "the most of one motor's current; from the battery comes less while the motor is slow"
        others = "servos, sensors and other motors, as far as they are switched on"
        return [
            Label("battery", self.battery, "everything takes its current from it", said(now.battery.open_circuit, "V")),
            Label("resistance", self.resistance, inside, said(now.battery.resistance, "ohm")),
            Label("fuse", self.fuse, "a thin wire in it melts first; told is its rating", said(now.fuse.rating, "A")),
            Label("switch", self.switch, "switches everything off: within reach, and known to everybody"),
            Label("thick wire", self.plus, "all current flows here; told is the most", said(good["all_current"], "A")),
            Label("wire back", self.minus, "as thick: the same current flows back to the battery"),
            Label("controller", self.controller, "runs the program, and gives each motor what the program says"),
            Label("motor wire", self.to_motors, one, said(good["current"], "A")),
            Label("motor", self.motors[1], "each has its own output of the controller"),
            Label("all else", self.small, others, said(now.other_current, "A")),
            Label("encoder", self.encoder, "counts steps while the motor turns"),
            Label("signal", self.signal, "a thin wire that tells the count; hardly any current flows"),
        ]


def _circle_at(radius, centre):
    """A circle about a point."""
    return circle(radius) + np.asarray(centre)

"""The picture of a winch: the hanging robot and the drum cut open, both to scale, and the torque on the drum while it
winds.

Contents: WinchPicture.
"""

import numpy as np
from matplotlib.patches import PathPatch
from matplotlib.path import Path

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Arrow, Dimension, Part, block, circle
from mechbench.engine.spec import CHOICE, Field
from mechbench.mechanisms.moved import OFF, motion_of, stays, then_off
from mechbench.mechanisms.winch.sizing import Winch, drum_of
from mechbench.physics import winch
from mechbench.physics.constants import GRAVITY

WHEEL, BAR = 0.045, 0.0125  # m, radii drawn: a wheel at most, and the bar
HOOK = 1.5  # its radius, in radii of the bar
OVER_BAR = np.radians(np.linspace(-80, 200, 30))  # from the cord below the bar over its top
ROOM = 0.06  # m kept free around the robot
FINE = 200  # tilts that are tried while a wheel is still on the floor
BELOW, WORDS = 0.05, 0.17  # shares of the height: below the floor, and at the top for words


class WinchPicture(Picture):
    """Left: the robot under its bar. Middle: the drum cut open, layer by layer. Right: torque asked and given along
    the way.
    """

    VIEW = "from the side"
    SHOWS = "A robot that hangs from a bar, from the side, to scale. Its winch has wound the cord and pulled it up."
    BESIDES = ("drum_layers", "ratchet")
    EXTRA = (Field("wound", "Wound", "%", 0.0, 100.0, 100.0, "share of the cord that is wound in the picture", CHOICE),)

    def build(self):
        """The parts of robot and drum, and the plot of torques."""
        self.side = self.figure.add_axes((0.005, 0.02, 0.275, 0.96))
        self.cut = self.figure.add_axes((0.285, 0.02, 0.215, 0.96))
        for axes in (self.side, self.cut):
            axes.set_axis_off()
        self._build_robot()
        self._build_drum()
        self.torques = self.figure.add_axes((0.60, 0.135, 0.375, 0.61))
        self._build_torques()

    def _build_robot(self):
        look, side = self.look, self.side
        self.floor = self.move(side.plot([], [], color=look.quiet, linewidth=1.2)[0])
        self.cord = self.move(side.plot([], [], color=look.colour("power"), linewidth=1.6, zorder=1)[0])
        self.bar = Part(self, side, circle(BAR), face=look.ink)
        self.hooked = self.move(side.plot([], [], color=look.ink, linewidth=2.2, solid_capstyle="round", zorder=3)[0])
        self.body = Part(self, side, np.zeros((4, 2)))
        self.mast = Part(self, side, np.zeros((4, 2)), zorder=1.5)
        self.wheels = [Part(self, side, circle(WHEEL), face=look.grid) for _ in range(2)]
        self.drum = Part(self, side, circle(0.02), face=look.paper, zorder=3)
        self.centre = self.move(side.plot([], [], **look.mark("ask", 7))[0])
        self.weight = Arrow(self, side, "ask")
        self.told = self.move(side.text(0.04, 1.0, "", transform=side.transAxes, va="top"))

    def _build_drum(self):
        look, cut = self.look, self.cut
        cut.text(0.5, 1.0, "the drum, cut open", transform=cut.transAxes, ha="center", va="top")
        self.flanges = [Part(self, cut, np.zeros((4, 2)), face=look.grid, width=1.0) for _ in range(2)]
        self.core = Part(self, cut, np.zeros((4, 2)), width=1.0)
        self.turns = self._cords(look.body)
        self.newest = self._cords(look.colour("power"))
        self.axis = self.move(
            cut.plot([], [], color=look.quiet, linewidth=0.8, linestyle=(0, (8, 3, 2, 3)), zorder=3)[0]
        )
        self.radius = Dimension(self, cut)
        self.radius.text.set_ha("left")
        self.layer = self.move(cut.text(0.5, 0.0, "", transform=cut.transAxes, ha="center", va="bottom"))

    def _cords(self, face):
        """Many circles in one outline."""
        found = PathPatch(Path(np.zeros((1, 2))), facecolor=face, edgecolor=self.look.ink, linewidth=0.9, zorder=2.5)
        self.cut.add_patch(found)
        return self.move(found)

    def _build_torques(self):
        look, axes = self.look, self.torques
        axes.set_title(f"Torque on the drum [{self.unit('N·m')}]", pad=52)
        axes.set_xlabel(f"cord wound [{self.unit('mm')}]", labelpad=1)
        self.can = self.move(axes.plot([], [], **look.line("limit", 1.8), label="the drive can give")[0])
        self.bare = self.move(axes.plot([], [], **look.line("share", 2.4), label="if all stayed on layer 1")[0])
        self.asked = self.move(axes.plot([], [], **look.line("ask"), label="asked")[0])
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
        """Wind the cord, hang the robot, and draw the torques over the whole way."""
        drum = drum_of(now)
        travel = now.slack + now.falls.number * now.lift_height
        wound = extra["wound"] * travel
        way, asked = self.kept("asked", report, lambda: _asked(drum, report.good["pull"], now, travel))
        can = report.drawn["gives"]
        wound = min(wound, _stalls_at(way, asked, can))  # further than that the motor never gets
        self._update_robot(report.good, now, wound)
        self._update_drum(drum, now, travel, wound)
        here = _at(way, asked, wound)
        full = wound + now.before > winch.cord_capacity(drum)[1]
        self.layer.set_text(self.layer.get_text() + (": stalls here" if here > can else ": overflows" if full else ""))
        self._update_torques(drum, report.good["pull"], way, asked, can, wound, here)
        if extra.get("off"):
            self.told.set_text(f"{self.told.get_text()}\n{OFF}")

    def motion(self, report, now):
        """Slack, lift, and what the hanging robot does with the power off: without a ratchet it may sink."""
        drum, travel = drum_of(now), now.slack + now.falls.number * now.lift_height
        # Swing carries a stalling winch a little further, and the load takes that back: here it stands.
        stop = _stalls_at(*_asked(drum, report.good["pull"], now, travel), report.drawn["gives"])
        wound = lambda q: np.minimum(winch.cord_at(drum, now.before, travel, q), stop)
        done, fall = Winch.run(now)
        end = done.q[0, 0, -1]
        up = motion_of(done, "wound", lambda q: wound(q) / travel, lambda q: f"{self.said(wound(q), 'mm')} of cord")
        floor = np.interp(now.slack, wound(np.linspace(0, end, FINE)), np.linspace(0, end, FINE))
        sure = stays(report)
        kept = "the ratchet" if sure and now.ratchet.torque > 0 else ""
        return then_off(
            up, done, fall, "wound", lambda q: wound(end - q) / travel, end - floor, kept, sure, Winch.FALLS[0]
        )

    # --- the robot --------------------------------------------------------------------------------------------------

    def _update_robot(self, good, now, wound):
        falls = now.falls.number
        stretch = now.lift_height - good["tilt_costs"] - good["clear"]
        lifted = max((wound - now.slack) / falls - stretch, 0.0)
        tilt = _tilt_at(lifted, now)
        place = lambda ahead, below: np.array([0, now.wheel_below + lifted]) + _turned(ahead, -below, tilt)
        self._frame(now)
        self.floor.set_data([-2 * self.high, 2 * self.high], [0, 0])
        self._update_parts(now, tilt, place)
        self._update_cord(now, place(0.0, 0.0), falls * now.cord_length + now.slack - wound, falls)
        centre = place(now.ahead, now.below)
        self.centre.set_data(*centre[:, None])
        self.weight.place(centre, (0, -0.13 * self.high))
        air = min(place(x, now.wheel_below)[1] for x in (now.wheel_ahead, -now.wheel_ahead))
        clear = f"air below it {self.said(air, 'mm')}" if air > 5e-4 else "it stands on the floor"
        weight, leans = self.said(now.mass * GRAVITY, "N"), self.said(round(tilt, 4), "deg")
        self.told.set_text(f"weight {weight}\n{clear}\ntilt {leans}")

    def _frame(self, now):
        """Room for the robot on the floor and hanging, in steps, so that the scale does not jump at every change."""
        self.hook = now.wheel_below + max(now.cord_length, now.lift_height + ROOM)
        far = now.wheel_ahead + WHEEL
        tilt = float(winch.hang_tilt(now.ahead, now.below))
        corners = np.array(
            [
                _turned(x, -z, tilt)
                for x in (far, -far, now.ahead)
                for z in (now.wheel_below, 0.4 * now.wheel_below, now.below)
            ]
        )
        wide = 2 * max(far, np.abs(corners[:, 0]).max()) + ROOM
        box = self.side.get_position()
        shape = box.width * self.SIZE[0] / (box.height * self.SIZE[1])
        high = max((self.hook + ROOM) / (1 - BELOW - WORDS), wide / shape)
        if self.room(self.side, (1 - BELOW) * high, BELOW / (1 - BELOW)):
            half = shape * np.ptp(self.side.get_ylim()) / 2
            self.side.set_xlim(-half, half)
        self.high = np.ptp(self.side.get_ylim())

    def _update_parts(self, now, tilt, place):
        size = min(WHEEL, 0.3 * now.wheel_below, 0.45 * now.wheel_ahead)
        for wheel, x in zip(self.wheels, (now.wheel_ahead, -now.wheel_ahead)):
            wheel.reshape(circle(size))
            wheel.place(0.0, place(x, now.wheel_below) + size * np.array([np.sin(tilt), np.cos(tilt)]))
        low, top = now.wheel_below - 0.7 * size, 0.45 * now.wheel_below
        self.body.reshape(block(2 * now.wheel_ahead, low - top, (0, -(low + top) / 2)))
        self.mast.reshape(block(0.5 * size, top, (0, -top / 2)))
        for part in (self.body, self.mast):
            part.place(-tilt, place(0.0, 0.0))
        self.drum.reshape(circle(now.spool.flange_diameter / 2))
        self.drum.place(0.0, place(0.0, (low + top) / 2))

    def _update_cord(self, now, exit, length, falls):
        """From where it leaves the robot to the hook: falls side by side; what is slack hangs out to the rear."""
        top = np.array([0.0, self.hook])
        distance = self.hook - exit[1]
        loose = max(length - falls * now.cord_length, 0.0) / falls
        bow = min(2 / np.pi * np.sqrt(distance * loose), 0.28 * self.high)
        share = np.linspace(0, 1, 31)
        runs = []
        for number in range(round(falls)):
            aside = (number - (falls - 1) / 2) * 0.012
            run = exit + np.outer(share, top - exit) + np.outer(np.sin(np.pi * share), [-bow, 0]) + [aside, 0]
            runs += [run, np.full((1, 2), np.nan)]
        self.cord.set_data(*np.vstack(runs).T)
        self.bar.place(0.0, top)
        self.hooked.set_data(*(top[:, None] + HOOK * BAR * np.array([np.cos(OVER_BAR), np.sin(OVER_BAR)])))

    def labels(self, report, now, marks):
        """The robot's parts, and what holds it."""
        return [
            Label("bar", self.bar, "a part of the field; it carries the robot"),
            Label("hook", self.hooked, "at the end of the cord; it lies over the bar"),
            Label("cord", self.cord, "runs from the drum up to the hook; the winch winds it up"),
            Label("mast", self.mast, "where the cord leaves the robot: here it is held"),
            Label("drum", self.drum, "a motor turns it, and it winds the cord"),
            Label("robot's frame", self.body, "hangs below the cord"),
            Label("wheel", self.wheels[1], "must come up so far from the floor as the game asks"),
            Label("centre of gravity", self.centre, "where all weight seems to pull; it hangs below the hook"),
            Label("weight", self.weight, "pulls straight down", self.said(now.mass * GRAVITY, "N")),
            Label("floor", self.floor, "stand beside the robot, never below it"),
        ]

    # --- the drum ---------------------------------------------------------------------------------------------------

    def _update_drum(self, drum, now, travel, wound):
        most = float(winch.layers_used(drum, now.before + travel))
        self._frame_drum(drum, most)
        self.core.reshape(block(drum.width, 2 * drum.core_radius))
        thick = 0.05 * self.half
        for flange, way in zip(self.flanges, (-1, 1)):
            flange.reshape(block(thick, 2 * drum.flange_radius, (way * (drum.width + thick) / 2, 0)))
        end = drum.width / 2 + 2.2 * thick
        self.axis.set_data([-end, end], [0, 0])
        layer, places = _turns(drum, now.before + wound)
        self.turns.set_path(_circles(places[:-1], drum.cord_diameter / 2))
        self.newest.set_path(_circles(places[-1:], drum.cord_diameter / 2))
        radius = float(winch.layer_radius(drum, layer))
        self.radius.place((end, 0), (end, radius), f"radius\n{told_radius(self, radius)}")
        self.layer.set_text(f"layer {layer}")

    def _frame_drum(self, drum, most):
        """Room for flanges, all layers and the radius's number."""
        box = self.cut.get_position()
        shape = box.width * self.SIZE[0] / (box.height * self.SIZE[1])
        outer = max(drum.flange_radius, drum.core_radius + most * drum.cord_diameter)
        if self.room(self.cut, max(1.22 * outer, 1.4 * drum.width / shape), 1.0):
            half = self.cut.get_ylim()[1]
            self.cut.set_xlim(-0.55 * shape * half, 1.45 * shape * half)
        self.half = self.cut.get_ylim()[1]

    # --- torques ----------------------------------------------------------------------------------------------------

    def _update_torques(self, drum, pull, way, asked, can, wound, here):
        bare = np.where(asked > 0, pull * winch.layer_radius(drum, 1), 0.0)
        self.reach(self.torques, "x", self.shown(way[-1], "mm"))
        self.reach(self.torques, "y", self.shown(1.06 * max(asked.max(), can), "N·m"))
        across = self.shown(way, "mm")
        self.can.set_data(across[[0, -1]], [self.shown(can, "N·m")] * 2)
        self.bare.set_data(across, self.shown(bare, "N·m"))
        self.asked.set_data(across, self.shown(asked, "N·m"))
        self.here.set_data([self.shown(wound, "mm")], [self.shown(here, "N·m")])


def told_radius(picture, radius):
    """A radius as text, rounded in one way everywhere."""
    return picture.said(round(float(radius), 4), "mm")


def _turned(x, z, tilt):
    """A point of the robot as it stands, turned by a tilt that lets the front (+x) sink."""
    return np.array([x * np.cos(tilt) + z * np.sin(tilt), z * np.cos(tilt) - x * np.sin(tilt)])


def _tilt_at(lifted, now):
    """The tilt at a lift of the hook line: at first the front wheel still stands on the floor, and the rear comes
    up.
    """
    tilts = np.linspace(0, float(winch.hang_tilt(now.ahead, now.below)), FINE)
    drop = np.maximum.accumulate(winch.hang_drop(tilts, now.wheel_ahead, now.wheel_below))
    return float(np.interp(lifted, drop, tilts)) if drop[-1] > 0 else float(tilts[-1])


def _asked(drum, pull, now, travel):
    """Cord wound, and the torque that the load asks there: 0 while the cord is slack, then a step up with each
    layer.
    """
    first, climbs = winch.layer_jumps(drum, now.before, travel)
    inner = [place for place in (now.slack, *climbs) if 0 < place < travel]
    edges = np.unique([0.0, *inner, travel])
    middle = (edges[:-1] + edges[1:]) / 2
    layer = first + np.sum(middle[:, None] > climbs, axis=-1)
    torque = np.where(middle > now.slack, pull * winch.layer_radius(drum, layer), 0.0)
    return np.repeat(edges, 2)[1:-1], np.repeat(torque, 2)


def _at(way, asked, wound):
    """Torque at a place; at a step, the torque behind it."""
    return float(asked[min(np.searchsorted(way, wound, side="right"), way.size - 1)])


def _stalls_at(way, asked, can):
    """Where the load first asks for more than the drive can give; infinite when it never does."""
    return float(way[np.argmax(asked > can)]) if np.any(asked > can) else np.inf


def _turns(drum, length):
    """The layer that is being wound, and the middle of every turn in the section, the newest last."""
    side = int(winch.turns_a_layer(drum))
    ends = winch.layer_jumps(drum, 0.0, max(length, 1e-6))[1]
    layer = int(np.sum(length > ends * (1 + 1e-9))) + 1
    below = ends[layer - 2] if layer > 1 else 0.0
    started = int(np.clip(np.ceil((length - below) / (ends[layer - 1] - below) * side - 1e-6), 1, side))
    places = []
    for number in range(1, layer + 1):
        across = (np.arange(side) - (side - 1) / 2) * drum.cord_diameter * (1 if number % 2 else -1)
        kept = across if number < layer else across[:started]
        places.append(np.column_stack([kept, np.full(kept.size, winch.layer_radius(drum, number))]))
    return layer, np.vstack(places)


def _circles(centres, radius):
    """Outline of circles about these places, and about their mirror images below the axis."""
    both = np.vstack([centres, centres * (1, -1)])
    ring = circle(radius, 24)
    ring = np.vstack([ring, ring[:1]])
    points = (both[:, None, :] + ring).reshape(-1, 2)
    codes = np.tile([Path.MOVETO, *[Path.LINETO] * (len(ring) - 2), Path.CLOSEPOLY], len(both))
    return Path(points, codes) if len(both) else Path(np.zeros((1, 2)))

"""The picture of a four-bar: its links to scale with the path of the arm's tip, and the torque that its drive feels.

Contents: LinkagePicture, joints.
"""

import numpy as np
from matplotlib.lines import Line2D

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Arrow, Part, block, circle
from mechbench.drawing.view import ARROW, below_zero, keep_in_view
from mechbench.engine.spec import CHOICE, Field
from mechbench.mechanisms.linkage.sizing import LiftingFourbar, fourbar_of, lumps_of
from mechbench.mechanisms.moved import motion_of, still
from mechbench.physics import arm, linkage, linkage_load

POINTS = 121
HIGHEST = 3.0  # near a toggle the torque has no bound: shown up to so many times what the drive can give


class LinkagePicture(Picture):
    """Left: the four-bar at one place of its turn, its angles, the path of its tip. Right: torque asked and given."""

    VIEW = "from the side"
    SHOWS = "A four-bar linkage from the side, to scale, at one place of its turn: four links in a ring."
    EXTRA = (Field("place", "Along the turn", "%", 0.0, 100.0, 30.0, "where on its way the linkage is drawn", CHOICE),)

    def build(self):
        """The links and the plot of torques."""
        self.side = self.figure.add_axes((0.01, 0.02, 0.48, 0.96))
        self.side.set_axis_off()
        self._build_links()
        self.torques = self.figure.add_axes((0.58, 0.135, 0.39, 0.69))
        self._build_torques()

    def _build_links(self):
        look, side = self.look, self.side
        self.path = self.move(side.plot([], [], **look.path())[0])
        self.frame = self.move(side.plot([], [], color=look.quiet, linewidth=5.0, zorder=1.8)[0])
        none = np.zeros((4, 2))
        self.arm = Part(self, side, none, zorder=2.1)
        self.output = Part(self, side, none, zorder=2.2)
        self.coupler = Part(self, side, none, face=look.colour("power"), zorder=2.3)
        self.input = Part(self, side, none, face=look.colour("give"), zorder=2.4)
        self.piece = Part(self, side, none, face=look.colour("ask"), zorder=2.5)
        self.pins = [Part(self, side, none, face=look.paper, zorder=2.6) for _ in range(4)]
        self.turned = self.move(side.plot([], [], color=look.ink, linewidth=1.4, zorder=3)[0])
        self.between = self.move(side.plot([], [], color=look.ink, linewidth=2.4, zorder=3)[0])
        self.weight = Arrow(self, side, "ask")
        self.weight.text.set_bbox({"facecolor": look.paper, "edgecolor": "none", "pad": 1})
        self.told = self.move(side.text(0.02, 0.01, "", transform=side.transAxes, va="bottom", linespacing=1.3))
        faces = {"input": look.colour("give"), "coupler": look.colour("power"), "output, arm": look.body}
        square = {"linestyle": "none", "marker": "s", "markersize": 9, "markeredgecolor": look.ink}
        marks = [Line2D([], [], markerfacecolor=face, label=name, **square) for name, face in faces.items()]
        side.legend(
            handles=marks,
            ncols=3,
            loc="upper left",
            borderaxespad=0.0,
            frameon=False,
            handletextpad=0.1,
            columnspacing=0.9,
        )

    def _build_torques(self):
        look, axes = self.look, self.torques
        axes.set_title(f"Torque at the input [{self.unit('N·m')}]", pad=36)
        axes.set_xlabel("angle of the input [deg]", labelpad=1)
        self.zero = self.move(axes.plot([], [], color=look.quiet, linewidth=0.8)[0])
        self.can = self.move(axes.plot([], [], **look.line("limit", 1.8), label="the drive can give")[0])
        self.asked = self.move(axes.plot([], [], **look.line("ask"), label="asked by the weights")[0])
        self.here = self.move(axes.plot([], [], **look.mark("ask", 9))[0])
        self.stuck = self.move(axes.text(0.5, 0.97, "", transform=axes.transAxes, ha="center", va="top"))
        self.stuck.set_bbox({"facecolor": look.paper, "edgecolor": "none", "pad": 1})
        axes.legend(
            loc="lower left",
            bbox_to_anchor=(0, 1),
            borderaxespad=0.05,
            frameon=False,
            handlelength=2.2,
            labelspacing=0.1,
        )

    def update(self, report, now, extra):
        """Place the links and draw the torques over the whole turn."""
        angle = now.start + now.turn * np.linspace(0, 1, POINTS)
        here = now.start + now.turn * extra["place"]
        way, ends = self.kept("way", report, lambda: joints(now, angle)), joints(now, np.array([here]))
        names = ("input_pivot", "input_pin", "output_pin", "output_pivot", "tip")
        self.size = keep_in_view(self, self.side, np.vstack([way[name] for name in names]), way["tip"])
        self._update_links(now, {name: points[0] for name, points in ends.items()})
        self._update_angles(now, here, {name: points[0] for name, points in ends.items()})
        self.path.set_data(*np.where(way["meets"][:, None], way["tip"], np.nan).T)
        self._update_torques(report, now, angle, here)

    def motion(self, report, now):
        """The turn of the input link, from rest to rest."""
        done = LiftingFourbar.run(now)
        if done is None:
            return still({"place": 0.0}, "It can't move: on the way the links do not meet.")
        place = lambda q: self.said(round(now.start + np.sign(now.turn) * q, 3), "deg")
        return motion_of(done, "place", lambda q: q / abs(now.turn), place)

    def labels(self, report, now, marks):
        """The four links, their pins, and the two angles."""
        long = lambda length: self.said(length, "mm")
        drive, pin, _, pivot = self.pins
        bar, plate, carries = (", a bar", ", the plate", "keeps its direction") if _parallel(now) else ("", "", "")
        return [
            Label("ground", self.frame, "the frame between the two pivots; it does not move", long(now.ground)),
            Label(f"input{bar}", self.input, "the link that the drive turns", long(now.input)),
            Label(f"coupler{plate}", self.coupler, carries or "joins the input to the output", long(now.coupler)),
            Label(f"output{bar}", self.output, "swings about the second pivot", long(now.output)),
            Label("drive's shaft", drive, "the pivot of the input: the drive turns it"),
            Label("pin", pin, "joins two links, so that they can turn"),
            Label("second pivot", pivot, "the output swings about it"),
            Label("arm", self.arm, "fixed to the output; it carries the piece at its tip", long(now.arm_length)),
            Label("piece", self.piece, "what the arm carries"),
            Label("weight", self.weight, "pulls straight down", self.said(now.payload * arm.GRAVITY, "N")),
            Label("path of the tip", self.path, "from the start of the turn to its end"),
            Label("input's angle", self.turned, "counted from the line between the pivots"),
            Label("coupler to output", self.between, "the angle between them: near 0 deg the coupler hardly pushes"),
        ]

    # --- the links --------------------------------------------------------------------------------------------------

    def _update_links(self, now, at):
        thick = 0.026 * self.size
        self.frame.set_data(*np.array([at["input_pivot"], at["output_pivot"]]).T)
        for part, length, name, start in (
            (self.input, now.input, "input", "input_pivot"),
            (self.coupler, now.coupler, "coupler", "input_pin"),
            (self.output, now.output, "output", "output_pivot"),
            (self.arm, now.arm_length, "arm", "output_pivot"),
        ):
            part.reshape(block(length, thick, (length / 2, 0)))
            part.place(at[f"{name}_angle"], at[start])
        meets = at["output_pivot"] + now.output * _along(at["output_angle"])
        for pin, place in zip(self.pins, (at["input_pivot"], at["input_pin"], meets, at["output_pivot"])):
            pin.reshape(circle(0.36 * thick, 24))
            pin.place(0.0, place)
        self.pins[0].reshape(circle(thick, 40))  # the drive's shaft
        self.piece.reshape(block(2.2 * thick, 2.2 * thick))
        self.piece.place(0.0, at["tip"])
        self.weight.place(at["tip"], (0, -ARROW * self.size), self.said(now.payload * arm.GRAVITY, "N"))

    def _update_angles(self, now, here, at):
        """Two arcs, the input's angle and the one between coupler and output, and what they are in words."""
        fourbar = fourbar_of(now)
        push = float(linkage.transmission_angle(fourbar, here)[0, 0])
        self.turned.set_data(*_arc(at["input_pivot"], min(0.10 * self.size, 0.6 * now.input), now.tilt, here))
        self.between.set_visible(bool(at["meets"]))
        back, down = at["coupler_angle"] + np.pi, at["output_angle"] + np.pi
        if np.abs(_turned(down - back)) > np.pi / 2:  # the acute angle is the one on the coupler's far side
            back += np.pi
        radius = min(0.09 * self.size, 0.6 * now.coupler, 0.6 * now.output)
        self.between.set_data(*_arc(at["output_pin"], radius, back, _turned(down - back)))
        last = f"coupler to output: {_degrees(push)}" if at["meets"] else "here the links do not meet"
        self.told.set_text(
            f"input: {_degrees(here)} from the pivots' line\n"
            f"coupler points {_level(at['coupler_angle'])}, arm {_level(at['arm_angle'])}\n{last}"
        )

    # --- torques ----------------------------------------------------------------------------------------------------

    def _update_torques(self, report, now, angle, here):
        torque = self.kept("asked", report, lambda: _asked(now, angle))
        known = torque[np.isfinite(torque)] if np.isfinite(torque).any() else np.zeros(1)
        can = report.drawn["gives"]
        meets = np.isfinite(can)
        self.stuck.set_text("" if meets else "on a part of the way\nthe links do not meet")
        most = HIGHEST * can if can > 0 else np.inf
        low, high = max(min(known.min(), 0.0), -most), max(min(known.max(), most), np.nan_to_num(can), 0.1)
        degrees = np.degrees(angle)
        self.reach(self.torques, "y", self.shown(high, "N·m"), start=-below_zero(self.torques, -self.shown(low, "N·m")))
        if self.torques.get_xlim() != (degrees[0], degrees[-1]):
            self.torques.set_xlim(degrees[0], degrees[-1])
            self.stale = True
        ends = degrees[[0, -1]]
        self.zero.set_data(ends, [0, 0])
        self.can.set_data(ends, [self.shown(can, "N·m")] * 2)
        self.asked.set_data(degrees, self.shown(torque, "N·m"))
        self.here.set_data([np.degrees(here)], [np.interp(np.degrees(here), degrees, self.shown(torque, "N·m"))])


def _parallel(now):
    """Whether opposite links are equal and stay parallel, so that the coupler keeps its direction."""
    return bool(np.allclose([now.input, now.coupler], [now.output, now.ground]) and now.branch.side > 0)


def _asked(now, angle):
    """Torque that the weights ask at the input; not a number where the links do not meet."""
    torque = np.ravel(linkage_load.weight_torque(fourbar_of(now), lumps_of(now), angle[None, :], now.branch.side))
    return np.where(np.isfinite(torque), torque, np.nan)


def joints(now, angle):
    """Places of all pins and of the tip [N,2], and absolute angles of the links [N], for angles of the input link."""
    here = linkage.pose(fourbar_of(now), angle[None, :], now.branch.side)
    inward, across, outward = (
        np.ravel(part) + now.tilt for part in (here.input_angle, here.coupler_angle, here.output_angle)
    )
    pivot = np.zeros((angle.size, 2))
    other = pivot + now.ground * _along(now.tilt)
    pin = now.input * _along(inward)
    return {
        "input_angle": inward,
        "coupler_angle": across,
        "output_angle": outward,
        "arm_angle": outward + now.arm_angle,
        "input_pivot": pivot,
        "output_pivot": other,
        "input_pin": pin,
        "output_pin": pin + now.coupler * _along(across),
        "tip": other + now.arm_length * _along(outward + now.arm_angle),
        "meets": np.ravel(here.assembles),
    }


def _along(angle):
    return np.stack([np.cos(angle), np.sin(angle)], axis=-1)


def _arc(centre, radius, start, turn):
    return (centre + radius * _along(start + turn * np.linspace(0, 1, 25))).T


def _turned(angle):
    """The same direction within half a turn, -pi to pi."""
    return (angle + np.pi) % (2 * np.pi) - np.pi


def _degrees(angle):
    return f"{round(float(np.degrees(angle)))} deg"


def _level(angle):
    """A direction in whole degrees from level."""
    return _degrees(_turned(angle))

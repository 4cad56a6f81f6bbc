"""A ratchet: a toothed wheel beside the drum, and the lever that stops it; a sketch of no ratchet in particular.

Contents: Ratchet.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Arrow, Part, Turn, circle

TEETH, CREST, NOTCH = 12, 1.0, 0.78  # the wheel: how many, and its radius on a tooth and between two
DRUM, STOPPED = 0.5, np.pi / 2  # the drum's radius; where on the wheel the lever stands
PIVOT = 1.75, 1.35  # of the lever
THICK = 0.11  # half of the lever


class Ratchet(Picture):
    """The wheel may turn against the clock; the steep side of a tooth runs into the lever the other way."""

    VIEW = "ratchet"
    SHOWS = (
        "A ratchet seen along the drum's axis: a sketch of no ratchet in particular. The drum may wind, but the cord"
        " can't pull it back."
    )
    LABELLED_HIGH = 3.8

    def build(self):
        """Wheel, drum and cord, lever and spring; nothing moves."""
        look = self.look
        self.side = self.figure.add_axes((0.0, 0.0, 1.0, 1.0))
        self.side.set(xlim=(-3.0, 3.6), ylim=(-1.4, 2.4), aspect="equal")
        self.side.set_axis_off()
        line = lambda points, **how: self.move(self.side.plot(*np.array(points).T, **how)[0])
        part = lambda outline, **how: Part(self, self.side, outline, **how)
        self.wheel = part(teeth(), face=look.grid)
        self.drum = part(circle(DRUM))
        self.shaft = part(circle(0.1), face=look.ink)
        self.cord = line([(-DRUM, 0.0), (-DRUM, 1.9)], color=look.colour("power"), linewidth=3.0)
        self.pull = Arrow(self, self.side, "ask")
        self.spring = line(_spring(), color=look.colour("share"), linewidth=1.6)
        self.lever = part(lever(), face=look.colour("give"))
        self.pivot = part(circle(0.08) + PIVOT, face=look.ink)
        self.winds = Turn(self, self.side)

    def update(self, report, now, extra):
        """A sketch stays as it is, but arrows are as large as the drawing lets them."""
        self.pull.place((-DRUM, 1.3), (0.0, 0.9))
        self.winds.place((0.0, 0.0), 1.2, 1, middle=np.pi)

    def labels(self, report, now, marks):
        """What turns, what stops it, and which way."""
        on = lambda share, radius: radius * np.array([np.cos(share), np.sin(share)])
        step = 2 * np.pi / TEETH
        right = STOPPED - 2 * step
        return [
            Label("ratchet wheel", self.wheel, "a toothed wheel that turns with the drum"),
            Label("lever", self.lever, "falls between two teeth"),
            Label("pivot", self.pivot, "the lever turns about it; it is fixed to the frame"),
            Label("spring", self.spring, "presses the lever between the teeth"),
            Label("steep side", marks.point("steep", on(right, (CREST + NOTCH) / 2)), "runs into the lever: it stops"),
            Label(
                "sloping side",
                marks.point("sloping", on(right - step / 2, (CREST + NOTCH) / 2)),
                "lifts the lever and slips below it: the drum winds on",
            ),
            Label("drum", self.drum, "on the same shaft, in front of the wheel"),
            Label("shaft", self.shaft, "a motor with its gearbox turns it"),
            Label("cord", self.cord, "runs up to the hook"),
            Label("pull", self.pull, "of the hanging robot: it wants to turn the drum back"),
            Label("may turn", self.winds, "only this way: it winds the cord"),
        ]


def teeth():
    """Outline of the wheel: against the clock each tooth falls off slowly, from a steep side that looks with it."""
    angles = STOPPED + 2 * np.pi / TEETH * np.arange(TEETH)
    corners = np.stack([NOTCH * _around(angles), CREST * _around(angles)], axis=1)
    return corners.reshape(-1, 2)


def _around(angles):
    return np.column_stack([np.cos(angles), np.sin(angles)])


def lever():
    """Outline of the lever, from its pivot to the steep side of the tooth at which it stands."""
    tip, pivot = np.array([0.0, NOTCH]), np.array(PIVOT)
    along = (tip - pivot) / np.hypot(*(tip - pivot))
    across = np.array([-along[1], along[0]])
    behind = pivot - 2 * THICK * along
    return np.array(
        [
            tip,
            (0.0, CREST),
            tip + (0.35, 0.45),
            pivot - THICK * across,
            behind,
            pivot + THICK * across,
            tip + (0.2, 0.02),
        ]
    )


def _spring():
    """A spring that pushes the lever down from a fixed place above it."""
    start, end, turns = np.array([1.0, 2.1]), np.array([1.0, 1.2]), 9
    share = np.linspace(0, 1, turns)
    aside = np.where((share > 0) & (share < 1), 0.12 * (-1.0) ** np.arange(turns), 0.0)
    return start + np.outer(share, end - start) + np.outer(aside, [1.0, 0.0])

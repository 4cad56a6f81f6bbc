"""A motor cut open along its shaft: what is inside, as a sketch of no motor in particular.

Contents: CutOpen.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Part, block

LONG, HALF = 10.0, 4.0  # of the housing; every length is a share of these, as motors have them about
WALL, MAGNET, AIR = 0.35, 0.75, 0.2
CORE, SHAFT = (4.6, -0.3), 0.45  # length and middle of the rotor's core; half the shaft
TURNS = 5  # of the winding that are seen at each end of the core


class CutOpen(Picture):
    """Housing and magnets, which stand; rotor, winding and shaft, which turn; brushes between them."""

    VIEW = "cut open"
    SHOWS = "A motor cut open along its shaft: a sketch of no motor in particular. Coloured parts carry current."
    LABELLED_HIGH = 4.4

    def build(self):
        """All parts; nothing in it depends on a number."""
        look = self.look
        self.side = self.figure.add_axes((0.0, 0.0, 1.0, 1.0))
        self.side.set(xlim=(-LONG, LONG), ylim=(-1.4 * HALF, 1.4 * HALF), aspect="equal")
        self.side.set_axis_off()
        part = lambda *outline, **how: Part(self, self.side, block(*outline), **how)
        radius = HALF - WALL - MAGNET - AIR
        self.housing = part(LONG, 2 * HALF, (0, 0), face=look.grid)
        self.inside = part(LONG - 2 * WALL, 2 * (HALF - WALL), (0, 0), face=look.paper, width=0.8)
        at = HALF - WALL - MAGNET / 2
        self.magnets = [part(1.1 * CORE[0], MAGNET, (CORE[1], way * at), face=look.colour("share")) for way in (1, -1)]
        self.shaft = part(1.55 * LONG, 2 * SHAFT, (0.22 * LONG, 0))
        self.bearings = [part(0.7, 1.5, (way * (LONG - WALL - 0.7) / 2, 0), face=look.paper) for way in (1, -1)]
        self.shaft_over = part(1.55 * LONG, 2 * SHAFT, (0.22 * LONG, 0), width=0.9)
        self.core = part(CORE[0], 2 * radius, (CORE[1], 0))
        ends = [(CORE[1] + way * (CORE[0] / 2 + 0.3), 0.0) for way in (1, -1)]
        self.coils = [part(0.6, 1.7 * radius, end, face=look.colour("power")) for end in ends]
        self.wires = self.move(self.side.plot([], [], color=look.colour("power"), linewidth=2.2)[0])
        levels = np.linspace(-0.75, 0.75, TURNS) * radius
        left, right = CORE[1] - CORE[0] / 2, CORE[1] + CORE[0] / 2
        lines = [point for y in levels for point in ((left, y), (right, y), (np.nan, np.nan))]
        self.wires.set_data(*np.array(lines).T)
        place = -LONG / 2 + WALL + 1.25
        self.contacts = part(0.9, 1.9, (place, 0), face=look.colour("power"))
        self.brushes = [part(0.6, 0.6, (place, way * 1.27), face=look.colour("ask")) for way in (1, -1)]
        self.springs = [self._spring(place, way) for way in (1, -1)]

    def _spring(self, place, way):
        """A blade from the housing to a brush."""
        line = self.side.plot([], [], color=self.look.colour("ask"), linewidth=2.0)[0]
        line.set_data([place, place - 0.35, place + 0.35, place], way * np.array([1.6, 1.95, 2.5, HALF - WALL]))
        return self.move(line)

    def update(self, report, now, extra):
        """A sketch stays as it is."""

    def labels(self, report, now, marks):
        """What stands, what turns, and what brings the current."""
        return [
            Label("housing", self.housing, "stands still and holds the magnets"),
            Label("magnet", self.magnets[0], "pushes the rotor round when current flows"),
            Label("rotor", self.core, "an iron core that turns"),
            Label(
                "winding", self.coils[0], "a coil of copper wire on the rotor; current flows through it and warms it"
            ),
            Label("brush", self.brushes[0], "a springy contact: it brings the current to the turning rotor"),
            Label("spring", self.springs[1], "presses the brush on"),
            Label("contacts", self.contacts, "on the shaft: the ends of the winding; the brushes rub on them"),
            Label("bearing", self.bearings[0], "holds the shaft, so that it turns easily"),
            Label("shaft", self.shaft_over, "the round rod that turns the load"),
        ]

"""One stage of a planetary gearbox from the front: a set of wheels with nearly the ratio of the gearbox's stages.

Contents: PlanetaryStage.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Part, circle, gear, mesh_angle
from mechbench.physics.planetary import planet_teeth, planetary_ratio, planets_fit

PLANETS, MODULE = 3, 1.0
SUNS, RINGS = range(9, 31), range(27, 121)  # teeth that are tried
LEAST_PLANET = 9  # teeth
RIM, AXLE = 4.0, 0.25  # of the ring outside its teeth, in modules; of an axle, as a share of the planet


class PlanetaryStage(Picture):
    """Sun, planets, ring and carrier; the ring is held, the sun drives."""

    VIEW = "planetary stage"
    SHOWS = (
        "One stage of a planetary gearbox from the front. Teeth that mesh are drawn to one scale; how many there are is"
        " chosen so that the stage has nearly the ratio of this gearbox's stages."
    )

    def build(self):
        """The wheels, which get their teeth at the first update."""
        look, nothing = self.look, np.zeros((3, 2))
        self.side = self.figure.add_axes((0.0, 0.0, 1.0, 1.0))
        self.side.set_aspect("equal")
        self.side.set_axis_off()
        part = lambda **how: Part(self, self.side, nothing, width=1.0, **how)
        self.ring, self.inside = part(face=look.grid), part(face=look.paper)
        self.planets = [part() for _ in range(PLANETS)]
        self.sun = part(face=look.colour("give"))
        line = {"color": look.colour("power"), "linewidth": 5.0, "solid_joinstyle": "round"}
        self.carrier = self.move(self.side.plot([], [], **line)[0])
        self.axles = [part(face=look.paper) for _ in range(PLANETS)]
        self.shaft = part(face=look.paper)

    def update(self, report, now, extra):
        """Choose the teeth and place all wheels so that they mesh."""
        sun, ring = self.teeth = _teeth(now.gearbox.ratio ** (1 / now.gearbox.stage_count))
        planet = int(planet_teeth(sun, ring))
        outer = MODULE * (ring / 2 + 1) + RIM
        self.side.set_xlim(-1.05 * outer, 1.05 * outer)
        self.side.set_ylim(-1.05 * outer, 1.05 * outer)
        self.stale = True
        self.ring.reshape(circle(outer, 180))
        self.sun.reshape(gear(sun, MODULE))
        self.shaft.reshape(circle(0.2 * MODULE * sun))
        ways = np.pi / 2 + 2 * np.pi * np.arange(PLANETS) / PLANETS
        centres = MODULE * (sun + planet) / 2 * np.column_stack([np.cos(ways), np.sin(ways)])
        for wheel, axle, way, centre in zip(self.planets, self.axles, ways, centres):
            wheel.reshape(gear(planet, MODULE))
            wheel.place(mesh_angle(0.0, sun, planet, way), centre)
            axle.reshape(circle(AXLE * MODULE * planet / 2))
            axle.place(0.0, centre)
        # A tooth of a planet lies in a gap of the ring: seen from the planet's axle, both are as far from the way out.
        turned = ways[0] - (ways[0] - self.planets[0].angle) * planet / ring
        self.inside.reshape(gear(ring, MODULE, inside=True))
        self.inside.place(turned)
        self.carrier.set_data(*np.vstack([centres, centres[:1]]).T)

    def labels(self, report, now, marks):
        """The four members."""
        sun, ring = self.teeth
        ratio = float(planetary_ratio(sun, ring, "ring", "sun"))
        return [
            Label("sun", self.sun, "the small gear in the middle: the motor turns it", f"{sun} teeth"),
            Label("planet", self.planets[1], "rolls between sun and ring", f"{planet_teeth(sun, ring):.0f} teeth"),
            Label("ring", self.ring, "the toothed ring outside: it is held", f"{ring} teeth"),
            Label(
                "carrier",
                self.carrier,
                "holds the axles; while it turns once, the sun turns so often",
                f"{ratio:.3g} : 1",
            ),
            Label("axle", self.axles[0], "a planet turns about it, and it goes round with the carrier"),
            Label("motor's shaft", self.shaft, "or the carrier of the stage before"),
        ]


def _teeth(ratio):
    """Teeth of sun and ring that three planets fit between, with the ratio that is nearest; the fewest of equals."""
    there = [
        (sun, ring)
        for sun in SUNS
        for ring in RINGS
        if (ring - sun) % 2 == 0 and (ring - sun) / 2 >= LEAST_PLANET and planets_fit(sun, ring, PLANETS)
    ]
    return min(there, key=lambda one: (round(abs(1 + one[1] / one[0] - ratio), 3), one[1]))

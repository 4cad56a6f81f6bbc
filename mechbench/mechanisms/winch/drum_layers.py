"""A winch's drum, cut open, with its third layer half wound; to scale, whatever way this winch pulls.

Contents: DrumLayers.
"""

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.mechanisms.winch import picture
from mechbench.mechanisms.winch.sizing import drum_of
from mechbench.physics import winch

ORDINALS = "first", "second", "third"


class DrumLayers(picture.WinchPicture):
    """The drum of the bench's picture alone, full enough to see the layers."""

    VIEW, MACHINE, BESIDES = "drum layers", "cut", ()
    SHOWS = (
        "A drum cut open along its axis, to scale, while the cord is wound. Each small circle is a turn of cord, cut"
        " through; the newest one is coloured."
    )

    def update(self, report, now, extra):
        """Wind two layers and half of a third, or as much as the flanges hold."""
        drum = drum_of(now)
        ends = winch.layer_jumps(drum, 0.0, 1e-6)[1]
        length = min((ends[1] + ends[2]) / 2, float(winch.cord_capacity(drum)[1]))
        self.ends = ends[ends < length * (1 - 1e-9)]
        self._update_drum(drum, now, length - now.before, length - now.before)

    def labels(self, report, now, marks):
        """Core, flanges, layers, and the radius that grows."""
        drum, said = drum_of(now), self.said
        side, half, count = int(winch.turns_a_layer(drum)), drum.width / 2, len(self.ends) + 1
        across = (np.arange(side) - (side - 1) / 2) * drum.cord_diameter
        rings = []
        for layer in range(1, count + 1):
            place = across[min(side - 1, layer)] if layer < count else across[0] * (1 if layer % 2 else -1)
            at = (place, float(winch.layer_radius(drum, layer)))
            rings.append(
                Label(f"{ORDINALS[layer - 1]} layer", marks.point(f"layer {layer}", at), "turns at one height")
            )
        first = float(winch.layer_radius(drum, 1))
        low = -drum.flange_radius - 0.08 * self.half
        inner = marks.length("radius of the first layer", (0.0, 0.0), (0.0, first))
        return [
            Label("core", self.core, "the bare drum", said(2 * drum.core_radius, "mm")),
            Label(
                "flange", self.flanges[0], "the disc at each side keeps the cord in", said(2 * drum.flange_radius, "mm")
            ),
            *rings,
            Label("newest turn", self.newest, "the cord that is being wound now", said(drum.cord_diameter, "mm")),
            Label(
                "radius of the first layer",
                inner,
                "from the axis to the middle of the cord",
                picture.told_radius(self, first),
            ),
            Label(
                "radius now",
                self.radius,
                "larger with each layer: the drum pulls faster and less hard",
                picture.told_radius(self, winch.layer_radius(drum, count)),
            ),
            Label(
                "width", marks.length("width", (-half, low), (half, low)), "between the flanges", said(2 * half, "mm")
            ),
            Label("axis", self.axis, "about which the drum turns"),
        ]

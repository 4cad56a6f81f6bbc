"""The forces on a piece between two pads, seen from the front: what squeezes, what carries, and what pulls down.

Contents: Forces.
"""

from mechbench.drawing.labelled import Label
from mechbench.mechanisms.gripper import picture
from mechbench.physics import gripper


class Forces(picture.GripperPicture):
    """The piece of the bench's picture alone, with all forces of one scale."""

    VIEW, MACHINE, BESIDES = "forces", "front", ()
    SHOWS = "A piece between two pads, from the front. All arrows of forces have one scale."

    def described(self, now):
        """What the drawing shows."""
        return self.SHOWS

    def labels(self, report, now, marks):
        """Squeeze from both sides, friction upwards, and what must be carried."""
        carried = float(gripper.carried_force(now.piece_mass, now.upward, now.level))
        return [
            Label("piece", self.body, "what is held"),
            Label("left pad", self.pads[0], "pressed on the piece by its jaw"),
            Label("right pad", self.pads[1], "pressed on the piece by the other jaw"),
            Label(
                "squeeze", self.squeezes[0], "of each jaw; it carries nothing by itself", self.said(now.squeeze, "N")
            ),
            Label("friction", self.rubs[1], "at each pad: this carries the piece, and it grows with the squeeze"),
            Label(
                "to carry",
                self.carried,
                "weight, and the push of the moves, on both pads together",
                self.said(carried, "N"),
            ),
        ]

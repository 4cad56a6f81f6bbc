"""The field from above with the steps of one trip.

Contents: OneTrip.
"""

from mechbench.drawing.labelled import Label
from mechbench.mechanisms import field_picture


class OneTrip(field_picture.FieldPicture):
    """What a robot does again and again, each step where it does it."""

    def labels(self, report, now, marks):
        """Things first, then the steps with their numbers, in which they follow each other."""
        seen = now.seen
        ring = lambda name, x, y: marks.point(name, self.at(x, y))
        left, right = self.left(seen), self.right(seen)
        return [
            *self.things(now),
            Label(
                "trip", self.round, "once round: from one piece scored to the next one", self.said(now.trip_time, "s")
            ),
            Label("1 find a piece", ring("find", left, -self.aside), "see the next piece and drive up to it"),
            Label("2 take it in", ring("take", -self.pieces_way, 0.0), "from touching it to having it"),
            Label("3 drive", self.drive, "to the goal"),
            Label("4 line up", ring("line up", right, self.aside), "turn and stop just in front of the goal"),
            Label("5 lift", ring("lift", right, 0.0), "raise the piece as high as the goal"),
            Label("6 let go", ring("let go", self.goal_way, 0.0), "the piece stays in the goal"),
            Label("7 drive back", self.back, "to the pieces"),
        ]

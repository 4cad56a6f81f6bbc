"""The field from above with the steps of one cycle, and how long each is.

Contents: OneCycle.
"""

from mechbench.drawing.labelled import Label
from mechbench.drawing.shapes import Part, block
from mechbench.mechanisms import field_picture
from mechbench.mechanisms.cycle.sizing import times_of

MACHINE, PEOPLE = "a step of the machine", "a step of people"
HELD_UP = 0.62  # of the straight way: where another robot stands


class OneCycle(field_picture.FieldPicture):
    """Where each step of a cycle is done, by the machine or by people."""

    def build(self):
        """Another robot besides, which is in the way."""
        super().build()
        self.other = Part(self, self.side, block(0.0, 0.0), face=self.look.quiet)

    def update(self, report, now, extra):
        """Put the other robot on the way."""
        super().update(report, now, extra)
        seen = now.seen
        self.other.show(times_of(now)["held up"] > 0)
        self.other.reshape(block(0.7 * seen.robot_length, 0.7 * seen.robot_width))
        x = self.left(seen) + HELD_UP * (self.right(seen) - self.left(seen))
        self.other.place(self.turn, self.at(x, self.aside + 0.45 * seen.robot_width))

    def labels(self, report, now, marks):
        """Things first, then the steps in their order, each with its time."""
        seen, time = now.seen, times_of(now)
        said = lambda kind: self.said(time[kind], "s") if time[kind] else ""
        ring = lambda name, x, y: marks.point(name, self.at(x, y))
        left, right = self.left(seen), self.right(seen)
        during = bool(now.raising.during)
        raised = ring("raise", 0.7 * left + 0.3 * right, self.aside) if during else ring("raise", right, 0.0)
        when = "while it drives: these two steps overlap" if during else "after driving"
        return [
            *self.things(now),
            Label("cycle", self.round, "once round, again and again", self.said(report.good["time"], "s")),
            Label("find", ring("find", left, -self.aside), f"{PEOPLE}: see the next piece", said("find")),
            Label("take in", ring("take", -self.pieces_way, 0.0), f"{MACHINE}, for each piece", said("grab")),
            Label("drive", self.drive, f"{MACHINE}: to the goal", said("drive")),
            Label("raise", raised, f"{MACHINE}, {when}", said("raise")),
            Label("be held up", self.other, f"{PEOPLE}: another robot is in the way", said("held up")),
            Label("line up", ring("line up", right, self.aside), f"{PEOPLE}: in front of the goal", said("line up")),
            Label("let go", ring("let go", self.goal_way, 0.0), f"{MACHINE}, for each piece", said("place")),
            Label("drive back", self.back, f"{MACHINE}: to the pieces", said("back")),
            Label("clear a jam", ring("jam", left, 0.0), f"{PEOPLE}: in some cycles; the mean of all", said("jam")),
        ]

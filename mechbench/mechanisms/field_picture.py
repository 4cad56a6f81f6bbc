"""A field from above with the way of one trip: pieces, goal, and a robot that drives there and back. Trips and cycles
share it.

Contents: FieldPicture.

A game tells how far pieces and goal are from the middle of its field, not on which side: here the pieces lie at the
left and the goal at the right, so that the way from one to the other leads through the middle.
"""

import math

import numpy as np

from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture
from mechbench.drawing.shapes import Arrow, Part, block, circle, placed

ASIDE = 0.72  # of a robot's width: from the middle line to the way there and to the way back
GOAL = 0.12, 0.6  # m: how deep and how long a goal is drawn
HEAP = ((0.0, 0.0), (0.4, 1.2), (0.4, -1.2), (1.3, 0.4), (1.4, 1.7), (1.5, -1.0))  # places of pieces, in their widths
ALONG = 0.12, 0.88  # which share of the straight way the arrow of driving covers


class FieldPicture(Picture):
    """The field to scale; the way there above the middle line, the way back below it."""

    VIEW = "field from above"
    SHOWS = (
        "A field from above, to scale, with the way of one trip. A robot fetches pieces at the left and brings them to"
        " the goal at the right. How far both are from the middle is told by the game; the sides are chosen here."
    )
    LABELLED_HIGH = 4.8
    RECORDS = ("roles.seen",)

    def build(self):
        """Floor, pieces, goal, the robot twice, and the way round."""
        look = self.look
        self.side = self.figure.add_axes((0.0, 0.0, 1.0, 1.0))
        self.side.set_axis_off()
        self.side.set_aspect("equal")
        part = lambda **how: Part(self, self.side, np.zeros((4, 2)), **how)
        self.field = part(width=2.0)
        self.middle = self.move(self.side.plot([], [], **look.mark("limit", 8))[0])
        self.round = self.move(self.side.plot([], [], **look.line("share", 1.8))[0])
        self.goal = part(face=look.colour("ask"))
        self.heap = [part(face=look.colour("power"), width=0.8) for _ in HEAP]
        self.robot = part(face=look.grid)
        self.there = part(face=look.paper, line="--")
        self.drive, self.back = (Arrow(self, self.side, "give") for _ in range(2))

    def update(self, report, now, extra):
        """Place all of it as far from the middle as the game says."""
        seen = now.seen
        self.pieces_way, self.goal_way = seen.way, now.goal.way if now.goal.capacity > 0 else seen.length / 4
        furthest = max(self.pieces_way, self.goal_way)
        self.turn = math.acos(min(1.0, seen.length / 2 / furthest)) if furthest > 0 else 0.0
        self.aside = ASIDE * seen.robot_width
        reach = max(seen.length / 2, furthest + GOAL[0]) + 0.3
        self.side.set_xlim(-reach, reach)
        self.side.set_ylim(-max(seen.width / 2, reach / 2), max(seen.width / 2, reach / 2))
        self.stale = True
        self.field.reshape(block(seen.length, seen.width))
        self.middle.set_data([0.0], [0.0])
        self._update_things(seen)
        self._update_way(seen)

    def _update_things(self, seen):
        self.goal.reshape(block(*GOAL))
        self.goal.place(self.turn, self.at(self.goal_way + GOAL[0] / 2, 0.0))
        for piece, (behind, beside) in zip(self.heap, HEAP):
            piece.reshape(circle(seen.piece / 2, 40))
            piece.place(0.0, self.at(-self.pieces_way - (0.5 + behind) * seen.piece, beside * seen.piece))
        for robot, x in ((self.robot, self.left(seen)), (self.there, self.right(seen))):
            robot.reshape(block(seen.robot_length, seen.robot_width))
            robot.place(self.turn, self.at(x, 0.0))

    def _update_way(self, seen):
        left, right = self.left(seen), self.right(seen)
        bend = np.linspace(np.pi / 2, -np.pi / 2, 30)
        ends = np.array([np.cos(bend), np.sin(bend)]).T * (seen.robot_length / 2, self.aside)
        points = np.vstack([ends + (right, 0.0), -ends + (left, 0.0), ends[:1] + (right, 0.0)])
        self.round.set_data(*placed(points, self.turn).T)
        along = np.array([left, right]) @ [[1 - share for share in ALONG], list(ALONG)]
        way = self.at(along[1] - along[0], 0.0)
        self.drive.place(self.at(along[0], self.aside), way)
        self.back.place(self.at(along[1], -self.aside), -way)

    def at(self, x, y):
        """A point, x along the way from the middle of the field and y to its left."""
        return placed([(x, y)], self.turn)[0]

    def left(self, seen):
        """Where the middle of the robot is, along the way, while it takes pieces in."""
        return -self.pieces_way + seen.robot_length / 2

    def right(self, seen):
        """Where it is while it lets them go."""
        return self.goal_way - seen.robot_length / 2

    def things(self, now):
        """Labels of what lies and stands on the field."""
        seen, far = now.seen, "so far from the middle"
        told = f"where they lie, {far}" if seen.known else "where they lie is not told by this game"
        goal = f"where pieces score, {far}" if now.goal.capacity > 0 else "this game has none; drawn where one could be"
        length = f"its floor, seen from above; drawn {self.said(seen.length, 'm')} long"
        return [
            Label("field", self.field, length),
            Label("middle", self.middle, "of the field: ways are counted from here"),
            Label("pieces", self.heap[0], told, self.said(seen.way, "m") if seen.known else ""),
            Label("goal", self.goal, goal, self.said(now.goal.way, "m") if now.goal.capacity > 0 else ""),
            Label("robot", self.robot, "as long and as wide as it may be at the start"),
        ]

"""The picture of a whole robot: from the side, to scale, folded and raised; and its cycle, step by step.

Contents: RobotPicture.
"""

import numpy as np
from matplotlib import rc_context
from matplotlib.patches import Polygon, Rectangle

from mechbench.drawing.picture import Picture, style
from mechbench.drawing.shapes import circle
from mechbench.physics.cycle import schedule
from mechbench.whole_robot.body import FOLDED, RAISED
from mechbench.whole_robot.score import cycle_of
from mechbench.whole_robot.sizing import CHOSEN, changed_robot
from mechbench.whole_robot.work import NEVER, Days, Work

DASHED, DOTTED = (0, (5, 3)), (0, (1.5, 2))
BAR = 0.72  # height of a step's bar, of the room it has
LONGEST = 60.0  # s, a step is drawn no longer than this
WHEEL = 0.048  # m, drawn: the wheels' own size is among the drivetrain's inputs


class RobotPicture(Picture):
    """Left: the robot folded (full) and raised (dashed), in its start box, beside what it must pass under.
    Right: one cycle."""

    SIZE = (7.0, 4.0)

    def build(self):
        """Two axes; all on them is drawn anew with each robot."""
        self._shown = None
        self.side = self.figure.add_axes((0.0, 0.0, 0.46, 0.86))
        self.steps = self.figure.add_axes((0.645, 0.08, 0.335, 0.775))
        self.figure.text(0.01, 0.985, "from the side, to scale", va="top")
        self.figure.text(0.52, 0.985, "one cycle, a good day [s]", va="top")
        self.figure.text(0.01, 0.925, "full: folded, dashed: raised", va="top", color=self.look.quiet)
        self.figure.text(0.52, 0.925, "striped: people; thin: costs no time", va="top", color=self.look.quiet)

    def update(self, report, now, extra):
        """Build the robot of these inputs and draw it, when it is another one."""
        chosen = {name: one(now) for name, one in CHOSEN.items()}
        if chosen == self._shown:
            return
        self._shown, self.stale = chosen, True
        robot = changed_robot(**chosen)
        work = Work(robot, Days.good())
        with rc_context(style(self.look)):  # what is drawn anew would else have matplotlib's own colours
            self._side(work)
            self._cycle(work)

    # from the side ---------------------------------------------------------------------------------------------------

    def _side(self, work):
        axes, look, roles = self.side, self.look, work.robot.kit.roles
        axes.clear()
        axes.set_axis_off()
        axes.set_aspect("equal")
        folded, raised = work.bodies[FOLDED], work.bodies[RAISED]
        long, tall = _start_box(roles.limits, folded)
        low, high = folded.extent.x_low, folded.extent.x_high
        left = min(raised.extent.x_low, low, high - long) - 0.03
        right = max(raised.extent.x_high, high, left + long) + 0.13
        top = max(raised.extent.z_high, tall) + 0.03
        axes.plot([left, right], [0, 0], color=look.quiet, linewidth=1.2)
        if long > 0:
            box = Rectangle((high - long, 0), long, tall, facecolor="none", edgecolor=look.quiet)
            box.set(linestyle=DOTTED, linewidth=1.3)
            axes.add_patch(box)
            axes.text(
                high - long + 0.01,
                tall - 0.012,
                "start box",
                va="top",
                color=look.quiet,
                fontsize=10,
                zorder=3,
                bbox={"facecolor": look.paper, "edgecolor": "none", "pad": 1},
            )
        low_one = roles.low
        if low_one is not None and low_one.clear_height < top:
            under = low_one.clear_height
            axes.plot([high + 0.02, right], [under, under], **look.line("limit", 1.8))
            axes.text(right, under + 0.012, low_one.label, ha="right", va="bottom")
        for box in folded.boxes:
            axes.add_patch(_outline(box, look.body, look.ink, "-"))
        for box, before in zip(raised.boxes, folded.boxes):
            if box != before:
                axes.add_patch(_outline(box, "none", look.colour("give"), DASHED))
        half = work.robot.value("wheelbase") / 2
        for x in (-half, half):
            axes.add_patch(Polygon(circle(WHEEL) + (x, WHEEL), facecolor=look.paper, edgecolor=look.ink, linewidth=1.4))
        for body, role in ((folded, "limit"), (raised, "give")):
            centre = body.stance.centre
            axes.plot([centre.x], [centre.z], **look.mark(role, 9))
        axes.set_xlim(left, right)
        axes.set_ylim(-0.03, top)

    # the cycle -------------------------------------------------------------------------------------------------------

    def _cycle(self, work):
        axes, look = self.steps, self.look
        axes.clear()
        cycle = cycle_of(work)
        plan = schedule(cycle.steps, np.minimum(cycle.times[0], LONGEST))
        for row, (step, start, finish, slack) in enumerate(zip(cycle.steps, plan.start, plan.finish, plan.slack)):
            by_people = bool(work.robot.plan.steps[step.kind]["human"])
            waited_for = slack < 1e-6
            role = look.colour("ask" if by_people else "give") if waited_for else look.quiet
            axes.barh(
                row,
                finish - start,
                left=start,
                height=BAR if waited_for else BAR / 2,
                facecolor=look.body,
                edgecolor=role,
                linewidth=1.6,
                hatch="////" if by_people else None,
            )
            if cycle.times[0, row] >= NEVER / 2:
                axes.text((start + finish) / 2, row, "never ends", ha="center", va="center")
        names = [step.name.replace("_", " ") for step in cycle.steps]
        axes.set_yticks(range(len(names)), names)
        axes.tick_params(axis="y", length=0)
        axes.set_ylim(len(names) - 0.4, -0.6)
        axes.set_xlim(0, float(plan.total) * 1.04)
        axes.grid(axis="y", visible=False)


def _start_box(limits, body):
    """Length and height of the start box as the robot stands in it; 0 where the game sets none."""
    sides = limits.start_length, limits.start_width
    if not np.isfinite(limits.start_height):
        return 0.0, 0.0
    length, width, _ = body.size
    fits = sides[0] - length if sides[0] - length >= 0 and sides[1] - width >= 0 else -1.0
    return (sides if fits >= 0 or sides[0] >= sides[1] else sides[::-1])[0], limits.start_height


def _outline(box, face, edge, line):
    return Rectangle(
        (box.x_low, box.z_low),
        box.x_high - box.x_low,
        box.z_high - box.z_low,
        facecolor=face,
        edgecolor=edge,
        linestyle=line,
        linewidth=1.2,
    )

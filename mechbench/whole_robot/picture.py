"""The picture of a whole robot: from the side, to scale, folded and as it works; and its cycle, step by step.

Contents: RobotPicture.
"""

import numpy as np
from matplotlib import rc_context
from matplotlib.patches import Polygon, Rectangle

from mechbench import quantity
from mechbench.drawing.labelled import Label
from mechbench.drawing.picture import Picture, style
from mechbench.drawing.shapes import circle
from mechbench.engine.spec import DRIVES, HANGS, HOLDS, RAISES, TAKES
from mechbench.physics.cycle import schedule
from mechbench.whole_robot.body import FOLDED
from mechbench.whole_robot.score import cycle_of
from mechbench.whole_robot.sizing import CHOSEN, RAISING, changed_robot, raises, ratio_said
from mechbench.whole_robot.work import NEVER, Days, Work

DASHED, DOTTED = (0, (5, 3)), (0, (1.5, 2))
BAR = 0.72  # height of a step's bar, of the room it has
LONGEST = 60.0  # s, a step is drawn no longer than this
WHEEL = 0.048  # m, of a robot without a drivetrain
DOES = {
    DRIVES: "moves the robot",
    TAKES: "takes pieces in",
    HOLDS: "holds pieces",
    RAISES: "raises pieces",
    HANGS: "pulls the robot up",
}
GAP = 0.02  # m, between the robot and the line that it must pass under


class RobotPicture(Picture):
    """Left: the robot folded (full) and raised (dashed), or in the poses in which it works, in its start box, beside
    what it must pass under. Right: one cycle.
    """

    SIZE = (7.0, 4.0)
    VIEW = "from the side"
    SHOWS = (
        "A whole robot from the side, to scale: each of its parts as a box. Full lines: folded, as it drives. Dashed"
        " lines: raised, as it works."
    )
    LABELLED_HIGH = 5.0

    def build(self):
        """Two axes; all on them is drawn anew with each robot."""
        self._shown = None
        self.side = self.figure.add_axes((0.0, 0.0, 0.46, 0.80))
        self.steps = self.figure.add_axes((0.645, 0.08, 0.335, 0.775))
        self.figure.text(0.01, 0.985, "from the side, to scale", va="top")
        self.scores = self.figure.text(0.52, 0.985, "", va="top")
        self.figure.text(0.01, 0.925, "full: folded, dashed: raised", va="top", color=self.look.quiet)
        self.figure.text(0.52, 0.925, "striped: people; thin: costs no time", va="top", color=self.look.quiet)
        self.has = self.figure.text(0.01, 0.865, "", va="top", color=self.look.quiet)

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
        self.scores.set_text(_scores(report.good))
        self.has.set_text(_has(robot))

    # from the side ---------------------------------------------------------------------------------------------------

    def _side(self, work):
        axes, look, roles = self.side, self.look, work.robot.kit.roles
        axes.clear()
        axes.set_axis_off()
        self.boxes, self.moved, self.centres, self.start_box, self.under, self.work = {}, [], [], None, None, work
        axes.set_aspect("equal")
        folded, working = work.bodies[FOLDED], list(work.working.values())
        long, tall = _start_box(roles.limits, folded)
        low, high = folded.extent.x_low, folded.extent.x_high
        left = min(*(body.extent.x_low for body in working), low, high - long) - 0.03
        right = max(*(body.extent.x_high for body in working), high, left + long) + 0.13
        top = max(*(body.extent.z_high for body in working), tall) + 0.03
        low_one = roles.low
        if low_one is not None and low_one.clear_height < top:
            right = max(right, self._room_for_words(low_one.label, left, high + GAP, top + 0.03))
        axes.plot([left, right], [0, 0], color=look.quiet, linewidth=1.2)
        if long > 0:
            box = Rectangle((high - long, 0), long, tall, facecolor="none", edgecolor=look.quiet)
            box.set(linestyle=DOTTED, linewidth=1.3)
            self.start_box = axes.add_patch(box)
            axes.text(
                high - long + 0.01,
                tall + 0.008,
                "start box",
                va="bottom",
                color=look.quiet,
                fontsize=10,
                zorder=3,
                bbox={"facecolor": look.paper, "edgecolor": "none", "pad": 1},
            )
        if low_one is not None and low_one.clear_height < top:
            under = low_one.clear_height
            self.under = axes.plot([high + GAP, right], [under, under], **look.line("limit", 1.8))[0]
            axes.text(right, under + 0.012, low_one.label, ha="right", va="bottom")
        largest = max(map(_area, folded.boxes), default=1.0)
        for box in folded.boxes:  # a small one is not hidden by a large one, such as that around a slanting arm
            drawn = axes.add_patch(_outline(box, look.body, look.ink, "-", zorder=2 - _area(box) / largest))
            self.boxes[box.name] = drawn
        for box in (box for body in working for box in body.boxes if box not in folded.boxes):
            self.moved.append(axes.add_patch(_outline(box, "none", look.colour("give"), DASHED, zorder=2.2)))
        half, radius = work.robot.value("wheelbase") / 2, _wheel(work.robot)
        for x in (-half, half):
            wheel = Polygon(circle(radius) + (x, radius), facecolor=look.paper, edgecolor=look.ink, linewidth=1.4)
            wheel.set_zorder(2.1)
            self.wheel = axes.add_patch(wheel)
        for body, role in ((folded, "limit"), *((body, "give") for body in working if body is not folded)):
            centre = body.stance.centre
            self.centres += axes.plot([centre.x], [centre.z], **look.mark(role, 9), zorder=2.3)
        axes.set_xlim(left, right)
        axes.set_ylim(-0.03, top)

    def _room_for_words(self, words, left, start, tall):
        """How far to the right the drawing must reach from `left`, so that words from `start` on are inside; in m."""
        shown = self.side.text(0, 0, words)
        inches = shown.get_window_extent(self.figure.canvas.get_renderer()).width / self.figure.dpi
        shown.remove()
        wide, high = self.side.get_position().size * self.SIZE
        # One metre is as long as the drawing's width or its height allows, whichever is less.
        return max(start + inches * tall / high, left + (start - left) / (1 - inches / wide))

    def labels(self, report, now, marks):
        """Its parts by the names of its plan, and what stands around them."""
        told, low = _told_of(self.work), self.work.robot.kit.roles.low
        highest = max(self.moved, key=lambda patch: patch.get_y() + patch.get_height(), default=None)
        raised = [Label("centre, raised", one, "of gravity, as it works") for one in self.centres[1:2]]
        return [
            *(Label(name.replace("_", " "), box, told[name]) for name, box in self.boxes.items()),
            Label("raised", highest, "dashed: where a part is while the robot works") if highest else None,
            Label("wheel", self.wheel, "one of four") if "wheel" not in self.boxes else None,
            Label("start box", self.start_box, "in which the robot must fit at first") if self.start_box else None,
            Label(low.label, self.under, "low: a higher robot must go round it") if self.under else None,
            Label("centre of gravity", self.centres[0], "folded: where all weight seems to pull"),
            *raised,
        ]

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
        names = [work.robot.step_label(step) for step in cycle.steps]
        axes.set_yticks(range(len(names)), names)
        axes.tick_params(axis="y", length=0)
        axes.xaxis.set_major_formatter("{x:g} s")
        axes.set_ylim(len(names) - 0.4, -0.6)
        axes.set_xlim(0, float(plan.total) * 1.04)
        axes.grid(axis="y", visible=False)


def _scores(good):
    """Points of a match and time of a cycle, above the cycle."""
    ends = np.isfinite(good["time"])
    cycle = f"{quantity.show(good['time'], 's')} a cycle" if ends else "no cycle ends"
    return f"a good day: {quantity.show(good['points'], 'points')}, {cycle}"


def _has(robot):
    """Ratios of its drive and of what raises, and when it raises: what the bench calls "as planned" is seen here."""
    driving, raiser, told = robot.of_role(DRIVES)[:1], robot.raiser, []
    for one in (*driving, *([raiser] if raiser is not None else [])):
        has = " ".join(filter(None, (one.label, ratio_said(one))))
        told.append(", ".join(filter(None, (has, RAISING.get(raises(robot), "") if one is raiser else ""))))
    return "; ".join(told)


def _told_of(work):
    """What each part does: by the role of its mechanism; of the others, how heavy they are."""
    told = {one.name: f"a part of the robot, {quantity.show(one.mass, 'kg')}" for one in work.bodies[FOLDED].parts}
    for name, one in work.robot.plan.mechanisms.items():
        does = DOES.get(work.robot.mechanisms[name].sizing.ROLE, "")
        called = name.replace("_", " ")
        if one.part == name:
            told[one.part] = does or told.get(one.part, "")
        else:
            told[one.part] = f"a part of the {called}{', which ' if does else ''}{does}"
    return told


def _start_box(limits, body):
    """Length and height of the start box as the robot stands in it; 0 where the game sets none."""
    sides = limits.start_length, limits.start_width
    if not np.isfinite(limits.start_height):
        return 0.0, 0.0
    length, width, _ = body.size
    fits = sides[0] - length if sides[0] - length >= 0 and sides[1] - width >= 0 else -1.0
    return (sides if fits >= 0 or sides[0] >= sides[1] else sides[::-1])[0], limits.start_height


def _wheel(robot):
    """Radius of its driven wheels, in m."""
    driving = robot.of_role(DRIVES)
    return driving[0].tables("drive_wheels").row(driving[0].values["wheel"])["radius"] if driving else WHEEL


def _area(box):
    return (box.x_high - box.x_low) * (box.z_high - box.z_low)


def _outline(box, face, edge, line, zorder):
    return Rectangle(
        (box.x_low, box.z_low),
        box.x_high - box.x_low,
        box.z_high - box.z_low,
        facecolor=face,
        edgecolor=edge,
        linestyle=line,
        linewidth=1.2,
        zorder=zorder,
    )

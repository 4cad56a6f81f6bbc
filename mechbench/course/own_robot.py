"""The learner's own robot beside the plan it starts from: what differs, what fails now, and which choice does it.

Contents: Own, own (a robot by name with the designs in use), told_names, faults, misses.

Both robots are judged as the design review does, and stand side by side as `mb.against` puts designs.
"""

from dataclasses import dataclass
from functools import lru_cache

from mechbench.course.own_designs import changes_of, lines_of
from mechbench.desk.against import Against
from mechbench.desk.record import Design
from mechbench.desk.review import holds_back, stand
from mechbench.engine import report_text, side_by_side
from mechbench.engine.inputs import Tables
from mechbench.whole_robot.build import build

REMEMBERED = 64  # robots that were judged a moment ago
ALWAYS = ("points", "mass", "start_box", "volts", "peak")  # told where they are the same, too
NAMES = "A: as planned", "B: with my designs"
AT_ONCE = "all at once"


@dataclass(frozen=True)
class Own:
    """A robot as planned and with the learner's designs.

    name, kit : of the robot
    lines : a Line for each of its mechanisms; used : names of the mechanisms whose design is in use
    before, after : Standing as planned, and with the designs
    problem : a sentence where the designs can't be on one robot; it is then as planned
    """

    name: str
    kit: object
    lines: tuple
    used: tuple
    before: object
    after: object
    problem: str = ""

    @property
    def changed(self):
        """Whether anything is other than planned."""
        return bool(self.after.changes)

    @property
    def both(self):
        """The two as designs side by side, A and B."""
        pair = (self.before, self.after)
        designs = tuple(Design(one.report, Tables(one.report.sizing, one.kit)) for one in pair)
        return Against(designs, NAMES)

    def first(self, after):
        """What holds it back first, as planned or with the designs."""
        one = self.after if after else self.before
        return holds_back(one.robot, one.report, one.mechanisms)


def own(name, kit, designs, used):
    """The robot of that name with the designs of those mechanisms, as far as they can be used."""
    lines = tuple(lines_of(build(name, kit), designs))
    chosen = tuple(line.name for line in lines if line.usable and line.name in used)
    before = after = _stand(name, kit, ())
    problem = ""
    try:
        after = _with(name, kit, lines, chosen)
    except ValueError as wrong:
        problem = f"These designs can't be on one robot: {' '.join(str(wrong).split())} Leave one of them out."
    return Own(name, kit, lines, chosen, before, after, problem)


def _with(name, kit, lines, used):
    return _stand(name, kit, tuple(changes_of(lines, used).items()))


@lru_cache(maxsize=REMEMBERED)
def _stand(name, kit, changes):
    return stand(name, kit, changes=dict(changes))


def told_names(own):
    """Names of the findings that are told: what differs, what is missed, and a few always."""
    rows = side_by_side.rows((own.before.report, own.after.report))
    moved = [row.finding.name for row in rows if any(_tells(cell) for cell in (*row.good, *row.bad))]
    return tuple(name for name in own.before.report.good if name in (*ALWAYS, *moved))


def _tells(cell):
    return not cell.met or cell.mark not in (None, side_by_side.SAME)


# --- what fails, and by which choice ---------------------------------------------------------------------------------


def faults(own):
    """Sentences on what is not met with the designs: each that is new with the choices that do it, then the others."""
    before, after = misses(own.before), misses(own.after)
    told = [f"New: {after[key]}. {_cause(own, key)}" for key in after if key not in before]
    old = "; ".join(said for key, said in after.items() if key in before)
    return [*told, *([f"Not met as planned, either: {old}."] if old else [])]


def _cause(own, key):
    """Which choices do it: each one that mends it where it alone is as planned. Of what a mechanism misses by itself
    its own design is asked first.
    """
    labels = {line.name: line.mechanism.label for line in own.lines}
    mends = lambda one: key not in misses(_with(own.name, own.kit, own.lines, [x for x in own.used if x != one]))
    mine = key[0]
    by = [mine] if mine in own.used and mends(mine) else [one for one in own.used if one != mine and mends(one)]
    if not by:
        return "It comes from several of your designs together."
    return f"It comes from your {' or your '.join(labels[one] for one in by)}: as planned there, it is met."


def misses(standing):
    """What is not met: (mechanism or nothing, finding) -> a clause. Of a mechanism by itself only what is nearest."""
    report, found = standing.report, {}
    for name in report.bad_margin:
        if report.good_margin[name] < 0:
            found["", name] = f"{report_text.missed(report, name, False)}, even on a good day"
        elif report.bad_margin[name] < 0:
            found["", name] = f"{report_text.missed(report, name, True)} on a bad day"
    if not found and report.joint_margin < 0:
        found["", ""] = report_text.nearest(report)
    for name, one in standing.mechanisms.items():
        if one.joint_margin < 0:
            found[name, ""] = f"the {standing.robot.mechanisms[name].label} by itself: {report_text.nearest(one)}"
    return found

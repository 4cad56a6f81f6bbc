"""Why a finding of a whole robot fails, with the name of the mechanism: the cause, not the effect.

Contents: reason, strength.
"""

import numpy as np

from mechbench import quantity
from mechbench.engine.judge import on_a_bad_day
from mechbench.engine.report_text import number
from mechbench.engine.spec import DRIVES, HANGS, HOLDS, RAISES, TAKES
from mechbench.whole_robot.ability import goal_heights, hook_height, raised_hook, raised_piece
from mechbench.whole_robot.body import FOLDED
from mechbench.whole_robot.build import HANG
from mechbench.whole_robot.score import cycle_of
from mechbench.whole_robot.work import NEVER


def reason(work, name):
    """Why the finding of that name fails on the work's days, as a clause: "the lift rises 216 mm of 523 mm for ...".

    Of points: which mechanism takes most of the time.

    One day is told as it is; of several, for each number the value that is not worse on 19 of 20. Empty where the
    finding itself says it all.
    """
    return _REASONS[name](work) if name in _REASONS else ""


def _value(values, worse="less"):
    return float(on_a_bad_day(np.asarray(values, dtype=float), worse))


def _told(mechanism, finding, values, bound, sure=""):
    """'the lift's friction is ... (at most 100 %)'."""
    value, limit = _value(values, finding.worse_way), float(np.ravel(bound)[0])
    shown = number(finding, value, bound=limit)
    whose = mechanism.label + ("'" if mechanism.label.endswith("s") else "'s")
    return f"the {whose} {finding.label} is {shown} ({finding.sense} {number(finding, limit)}{sure})"


def _need(does):
    """A reason: what one thing needs and is least sure."""

    def reason_of(work):
        met = [(mechanism, one) for mechanism in work.robot.mechanisms.values() for one in work.needs(mechanism.name)]
        met = [(mechanism, one) for mechanism, one in met if one.need.does == does and _value(one.chance) < 1]
        if not met:
            return ""
        mechanism, one = min(met, key=lambda pair: _value(pair[1].chance))
        return _told(mechanism, one.finding, one.value, one.full, "" if one.need.full is None else " to be sure")

    return reason_of


def _worst(finding_name):
    """A reason: the mechanism that is worst in a finding which several have."""

    def reason_of(work):
        having = work.robot.having(finding_name)
        if not having:
            return ""
        margins = {one.name: _value(work.margin(one.name, finding_name)) for one in having}
        worst = min(having, key=lambda one: margins[one.name])
        finding = worst.sizing.finding(finding_name)
        bound = finding.bound_si(work.inputs(worst))
        return _told(worst, finding, work.findings(worst.name)[finding_name], bound)

    return reason_of


def _reaches(work):
    """How far it rises, and how far it should."""
    robot, before = work.robot, work.robot.value("held_at")
    gets, raiser = _value(raised_piece(work)), robot.raiser
    goal, high = max(zip(robot.value("goals"), goal_heights(robot)), key=lambda pair: pair[1])
    label = robot.kit.game.goals[goal].label
    if np.isinf(high):
        return f"pieces are launched into the {label}, and nothing of the robot launches"
    if raiser is None:
        return f"a piece is held {_mm(before)} over the floor, and the {label} asks for {_mm(high)}"
    if gets != before:
        return f"the {raiser.label} rises {_mm(gets - before)} of {_mm(high - before)} for the {label}"
    return _need(RAISES)(work) or f"the {raiser.label} never gets up"


def _closes(work):
    """Why it can't do the closing task that it tries."""
    task = work.robot.tried
    if task is None:
        return "the game has no closing task for it to try" if not work.robot.kit.game.closing else "it has no task to try"
    if task.kind == HANG:
        return _hangs(work)
    if task.kind == "ramp":
        folded = work.bodies[FOLDED].extent.z_high
        if folded > task.clear_height:
            return f"it is {_mm(folded)} high, and over the ramp there are {_mm(task.clear_height)}"
        return f"it does not climb {quantity.show(task.slope, 'deg')}"
    return ""


def _hangs(work):
    """No winch, a hook that is too low, a winch that never lifts, or what hanging needs."""
    hangers, gets, high = work.robot.of_role(HANGS), _value(raised_hook(work)), hook_height(work.robot)
    if not hangers:
        return "nothing of it lifts the robot at the bar"
    if gets < high:
        return f"the hook gets {_mm(gets)} of {_mm(high)} high at the bar"
    stuck = [one.label for one in hangers if np.isinf(_value(work.findings(one.name)["time"], "more"))]
    return f"the {stuck[0]} never lifts the robot" if stuck else _need(HANGS)(work)


def _slowest(work):
    """The mechanism that takes most of a cycle's time; empty where a cycle never ends, or people take all of it."""
    cycle, robot = cycle_of(work), work.robot
    whole, taken = _value(cycle.time, "more"), {}
    for step, times in zip(cycle.steps, cycle.times.T):
        planned = robot.plan.steps[step.kind]
        if not planned["human"]:
            label = robot.mechanisms[planned["mechanism"]].label if planned["mechanism"] else _driver(robot)
            taken[label] = taken.get(label, 0.0) + times
    if not taken or whole >= NEVER / 2:
        return ""
    label, times = max(taken.items(), key=lambda pair: float(np.mean(pair[1])))
    return f"of each cycle of {_s(whole)} the {label} takes {_s(_value(times, 'more'))}"


def _driver(robot):
    return robot.of_role(DRIVES)[0].label


def _s(seconds):
    return quantity.show(seconds, "s")


def _mm(metres):
    return quantity.show(metres, "mm")


_REASONS = {
    "points": _slowest,
    "takes": _need(TAKES),
    "holds": _need(HOLDS),
    "reaches": _reaches,
    "closes": _closes,
    "drives": _need(DRIVES),
    "spare": _worst("spare"),
    "strength": _worst("strength"),
}

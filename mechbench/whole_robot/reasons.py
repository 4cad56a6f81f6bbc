"""Why a finding of a whole robot fails, with the name of the mechanism: the cause, not the effect.

Contents: reason; BESIDE (findings whose number is told before the reason); rests_on (what of a robot is a guess).
"""

import numpy as np

from mechbench import quantity
from mechbench.engine.judge import on_a_bad_day
from mechbench.engine.report_text import number
from mechbench.engine.spec import DRIVES, HANGS, HOLDS, RAISES, TAKES
from mechbench.kits.robots import POSES
from mechbench.physics.envelope import extent
from mechbench.whole_robot.ability import goal_heights, hook_height, raised_hook, raised_piece
from mechbench.whole_robot.body import FOLDED
from mechbench.whole_robot.build import HANG
from mechbench.whole_robot.score import cycle_of
from mechbench.whole_robot.work import NEVER, Days, Work, power

SIDES = "long", "wide", "high"
UP = 2


def reason(work, name):
    """Why the finding of that name fails on the work's days, as a clause: "the lift rises 216 mm of 523 mm for ...".

    Of points: which mechanism takes most of the time.

    One day is told as it is; of several, for each number the value that is not worse on 19 of 20. Empty where the
    finding itself says it all.
    """
    return _REASONS[name](work) if name in _REASONS else ""


def _value(values, worse="less"):
    return float(on_a_bad_day(np.atleast_1d(np.asarray(values, dtype=float)), worse))


def _told(mechanism, finding, values, bound, sure=""):
    """'the lift's friction is ... (at most 100 %)'."""
    value, limit = _value(values, finding.worse_way), float(np.ravel(bound)[0])
    shown = number(finding, value, bound=limit)
    whose = mechanism.label + ("'" if mechanism.label.endswith("s") else "'s")
    return f"the {whose} {finding.label} is {shown} ({finding.sense} {number(finding, limit)}{sure})"


# What is missing, where the finding's own words say it too shortly.
_IN_WORDS = {"turns": "it can't turn on the spot: turning needs {shown} of the {label}'s push"}


def _missing(mechanism, one):
    """What a mechanism lacks to do something, from what it needs."""
    if one.finding.name not in _IN_WORDS:
        return _told(mechanism, one.finding, one.value, one.full, "" if one.need.full is None else " to be sure")
    value, limit = _value(one.value, one.finding.worse_way), float(np.ravel(one.full)[0])
    shown = number(one.finding, value, bound=limit)
    return _IN_WORDS[one.finding.name].format(shown=shown, label=mechanism.label)


def _need(does):
    """A reason: what one thing needs and is least sure."""

    def reason_of(work):
        met = [(mechanism, one) for mechanism in work.robot.mechanisms.values() for one in work.needs(mechanism.name)]
        met = [(mechanism, one) for mechanism, one in met if one.need.does == does and _value(one.chance) < 1]
        if not met:
            return ""
        mechanism, one = min(met, key=lambda pair: _value(pair[1].chance))
        return _missing(mechanism, one)

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
    if gets < before:
        return (
            f"the {raiser.label} ends {_mm(before - gets)} lower than it begins, and the {label} asks for {_mm(high)}"
        )
    if gets != before:
        return f"the {raiser.label} rises {_mm(gets - before)} of {_mm(high - before)} for the {label}"
    return _need(RAISES)(work) or f"the {raiser.label} never gets up"


def _closes(work):
    """Why it can't do the closing task that it tries."""
    task = work.robot.tried
    if task is None:
        return (
            "the game has no closing task for it to try" if not work.robot.kit.game.closing else "it has no task to try"
        )
    if stuck := _stuck(work, "closing"):
        return stuck
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


def _points(work):
    """What it never gets past, else the mechanism that takes most of a cycle's time."""
    return _stuck(work, "steps") or _slowest(work)


def _stuck(work, kind):
    """Which obstacle without a way round it does not pass, in a cycle or a try at the closing task."""
    for step in getattr(work.robot.plan, kind).values():
        if work.stuck(step):
            label = work.robot.kit.game.obstacles[step["passes"]].label
            return f"it does not pass the {label}, and there is no way round it"
    return ""


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


def _heaviest(work):
    """Its heaviest part."""
    part = max(work.bodies[FOLDED].parts, key=lambda one: one.mass)
    return f"its heaviest part is {_called(part.name)}, {quantity.show(part.mass, 'kg')}"


def _draws_most(worst):
    """A reason: the mechanism that draws most, in a cycle or in a try at the closing task, whichever is worse."""

    def reason_of(work):
        plan = work.robot.plan
        kinds = {"steps": cycle_of(work)} | ({"closing": cycle_of(work, "closing", pieces=1)} if plan.closing else {})
        found = {kind: power(work, done.steps, done.times, kind) for kind, done in kinds.items()}
        kind = max(found, key=lambda one: worst(found[one]))
        draws = {name: _value(found[kind].draws[name], "more") for name in _running(work.robot, getattr(plan, kind))}
        if not any(draws.values()):
            return ""
        most, peak = max(draws, key=draws.get), _value(found[kind].peak, "more")
        amps = [quantity.show(one, "A") for one in (draws[most], peak)]
        return f"the {work.robot.mechanisms[most].label} draws most, {amps[0]} of {amps[1]} at the highest"

    return reason_of


def _running(robot, steps):
    """Names of the mechanisms that run in some steps."""
    named = {name for step in steps.values() for name in (step["mechanism"], *step["beside"]) if name}
    if any(step["drive"] is not None for step in steps.values()):
        named.add(robot.of_role(DRIVES)[0].name)
    return [name for name in robot.mechanisms if name in named]


# --- poses, and what is guessed ---------------------------------------------------------------------------------------


def rests_on(robot):
    """Sentences: which guesses balance and outlines rest on, and how to measure; none where all was measured."""
    work = Work(robot, Days.good())
    clauses = _guessed_height(_least_standing(work)[1]), _guessed_outline(robot)
    return tuple(f"{clause[:1].upper()}{clause[1:]}." for clause in clauses if clause)


def _least_standing(work):
    """The pose, of those in which it works, in which it stands least, and its body."""
    return min(work.working.items(), key=lambda pair: _value(pair[1].sure_braking(work.bad_guess)))


def _guessed_height(body):
    """That the middle of mass is a guess, what counts most in it, and how it is measured; empty where it is known."""
    centre, off = body.stance.centre, body.unsure
    if off is None or 2 * off.z_sd**2 < centre.z_sd**2:  # what was measured leaves more open
        return ""
    place = {one.name: one.mass * one.place_sd for one in body.guessed}
    mass = {one.name: abs(one.z - centre.z) * one.mass_sd for one in body.guessed}
    most = max(place, key=lambda name: place[name] ** 2 + mass[name] ** 2)
    what = f"{'place' if place[most] >= mass[most] else 'mass'} of {_called(most)}"
    return (
        f"the height of the middle of mass is a guess, {1000 * centre.z:.0f} ± {1000 * off.z_sd:.0f} mm (most of it: "
        f"the {what}); weigh the robot on two scales, one under each axle, level and tilted"
    )


def _guessed_outline(robot):
    """That the room a mechanism takes is a guess; empty where no outline is one."""
    guessed = [_called(name) for name, one in robot.plan.parts.items() if one.get("outline_off")]
    return f"the place of {guessed[0]} is a guess, and so is the room; measure where it is mounted" if guessed else ""


def _called(part):
    return f"the {part.replace('_', ' ')}"


def _of_a_pose(worst, *clauses):
    """A reason: in which of its own poses a robot fails; what is too large, and what of that is a guess."""

    def reason_of(work):
        pose, body = worst(work)
        told = [f"so it is in its pose {pose.replace('_', ' ')}"] if pose not in POSES else []
        return "; ".join(filter(None, (*told, *(clause(work, body) for clause in clauses))))

    return reason_of


def _over_the_limits(work, body):
    """How high or long it is beside what is allowed, whichever leaves less room; empty where both fit."""
    limits, reach = work.robot.kit.roles.limits, extent(body.sure_boxes(work.bad_guess))
    high, level = (_value(one, "more") for one in (reach.z_high, reach.widest))
    if limits.height - high >= 0 <= limits.level - level:
        return ""
    if limits.height - high <= limits.level - level:
        return f"it is {_mm(high)} high, and {_mm(limits.height)} are allowed; {_furthest(body, UP)}"
    return f"it is {_mm(level)} long, level, and {_mm(limits.level)} are allowed"


def _over_the_box(work, body):
    """Which side is too large for the start box, of the way in which it fits best; empty where it fits."""
    limits = work.robot.kit.roles.limits
    size = [_value(one, "more") for one in body.sure_size(work.bad_guess)]
    box = limits.start_length, limits.start_width
    ways = [(*box, limits.start_height), (*box[::-1], limits.start_height)]
    rooms = [[room - one for room, one in zip(way, size)] for way in ways]
    best = max((0, 1), key=lambda one: min(rooms[one]))
    side = int(np.argmin(rooms[best]))
    if rooms[best][side] >= 0:
        return ""
    what = f"it is {_mm(size[side])} {SIDES[side]}, and there are {_mm(ways[best][side])}"
    return f"{what}; {_furthest(body, side)}"


def _furthest(body, side):
    """'the frame reaches furthest': the parts at both ends of a side, upwards at its top."""
    axis = "xyz"[side]
    ends = [max(body.boxes, key=lambda box: getattr(box, f"{axis}_high")).name]
    if side != UP:
        ends.append(min(body.boxes, key=lambda box: getattr(box, f"{axis}_low")).name)
    names = list(dict.fromkeys(map(_called, ends)))
    return f"{' and '.join(names)} {'reaches' if len(names) == 1 else 'reach'} furthest"


def _least_room(work):
    """The pose, of those in which it works, in which it has the least room to the limits, and its body."""
    limits, bad = work.robot.kit.roles.limits, work.bad_guess
    return min(work.working.items(), key=lambda pair: _value(pair[1].room_left(limits, bad)))


def _folded(work):
    return FOLDED, work.bodies[FOLDED]


OF_A_POSE = {
    "stands": _of_a_pose(_least_standing, lambda work, body: _guessed_height(body)),
    "reach": _of_a_pose(_least_room, _over_the_limits, lambda work, body: _guessed_outline(work.robot)),
    "start_box": _of_a_pose(_folded, _over_the_box, lambda work, body: _guessed_outline(work.robot)),
}
BESIDE = {
    **OF_A_POSE,
    "mass": _heaviest,
    "volts": _draws_most(lambda drawn: -_value(drawn.lasting)),
    "fuse": _draws_most(lambda drawn: _value(drawn.fuse_share, "more")),
}
_REASONS = {
    **BESIDE,
    "points": _points,
    "takes": _need(TAKES),
    "holds": _need(HOLDS),
    "reaches": _reaches,
    "closes": _closes,
    "drives": _need(DRIVES),
    "spare": _worst("spare"),
    "strength": _worst("strength"),
}

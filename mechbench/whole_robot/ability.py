"""What a robot can do on each day: take a piece in, hold it, reach its goals, do the closing task, drive.

Contents: CLEAR, Able, able, raised_piece, goal_heights, raised_hook, hook_height, hanging.

The mechanisms themselves say what must be met (NEEDS) and how high they raise (raised_to). What is missed is not done
at all: no piece is taken, held or brought to that goal, nothing hangs. What is met with little to spare works less
often; how much less often is an assumption (engine/spec.py: Need). A time longer than wanted costs time alone.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.engine.spec import DRIVES, HANGS, HOLDS, TAKES
from mechbench.whole_robot.body import FOLDED
from mechbench.whole_robot.build import HANG
from mechbench.whole_robot.work import LEAST_BRAKING, climbs, least

LAUNCH = "launch"  # kind of a goal
CLEAR = 0.010  # m, of a piece's underside over the rim of a goal: assumed


@dataclass(frozen=True)
class Able:
    """What a robot can do on its days.

    takes, holds: chance for a piece [rows]; room: of a raised piece's underside over what each goal of the plan asks
    [rows, goals]; closes (the closing task that it tries), left (what is left where that fails), drives: 1 or 0 [rows].
    """

    takes: np.ndarray
    holds: np.ndarray
    room: np.ndarray
    closes: np.ndarray
    left: np.ndarray
    drives: np.ndarray


def able(work):
    """What the robot can do on the days of its work. Which closing task is left, its tries decide, and they are of the
    match alone: so that task is told beside what else it depends on.
    """
    left = work.robot.left and work.robot.left.name
    return work.once("able", lambda: work.shared(("able", left), lambda: _able(work)))


def _able(work):
    stands = work.bodies[FOLDED].braking >= LEAST_BRAKING
    return Able(
        takes=_chance(work, TAKES),
        holds=_chance(work, HOLDS),
        room=raised_piece(work)[:, None] - goal_heights(work.robot),
        closes=_does(work, work.robot.tried),
        left=_does(work, work.robot.left),
        drives=stands * (_chance(work, DRIVES) > 0).astype(float),
    )


def _chance(work, does):
    """The chance that all is met which one thing needs [rows]: as sure as the weakest of them."""
    met = [one for name in work.robot.mechanisms for one in work.needs(name)]
    return least([one.chance for one in met if one.need.does == does], work.days.rows)


def raised_piece(work):
    """Height of the underside of a piece when it is raised [rows]."""
    raiser, before = work.robot.raiser, work.robot.value("held_at")
    if raiser is None:
        return np.full(work.days.rows, before)
    return work.raised_to(raiser.name, before, _half(work.robot.piece))


def _half(piece):
    return 0.0 if piece is None else piece.height / 2


def goal_heights(robot):
    """How high that underside must get for each goal of the plan: over the board, its rim, and a bit.

    Infinite for a goal into which pieces are launched: no mechanism here launches, and raising a piece is not enough.
    """
    goals = [robot.kit.game.goals[name] for name in robot.value("goals")]
    return np.array([_asked(goal) for goal in goals])


def _asked(goal):
    return np.inf if goal.kind == LAUNCH else goal.height + goal.rim + CLEAR


def raised_hook(work):
    """Height of the hook in a try at hanging [rows]."""
    before, raiser = work.robot.value("hook_at"), work.robot.hook_raiser
    if before is None:
        before = (work.robot.value("cord_exit") or (0.0, 0.0, 0.0))[2]
    return np.full(work.days.rows, before) if raiser is None else work.raised_to(raiser.name, before)


def hook_height(robot):
    """How high the hook must get: over the bar."""
    bar = robot.tried if robot.tried is not None and robot.tried.kind == HANG else robot.kit.roles.hang
    return np.inf if bar is None else bar.bar_height + bar.bar_diameter


def _does(work, task):
    """1 on the days on which it can do a closing task, else 0: hang, climb a ramp, or just be there."""
    if task is None or any(map(work.stuck, work.robot.plan.closing.values())):
        return np.zeros(work.days.rows)
    if task.kind == HANG:
        return hanging(work)
    if task.kind == "ramp":
        under = work.bodies[FOLDED].extent.z_high <= task.clear_height
        return under * climbs(work, task.slope).astype(float)
    return np.ones(work.days.rows)


def hanging(work):
    """1 on the days on which the hook gets over the bar, the winch lifts the robot, and all that it needs is met."""
    hangers = work.robot.of_role(HANGS)
    if not hangers:
        return np.zeros(work.days.rows)
    lifted = np.all([np.isfinite(work.findings(one.name)["time"]) for one in hangers], axis=0)
    hooked = raised_hook(work) >= hook_height(work.robot)
    return (lifted & hooked & (_chance(work, HANGS) > 0)).astype(float)

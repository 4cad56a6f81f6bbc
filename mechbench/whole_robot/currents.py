"""Who draws how much current in a whole robot, beside the fuse and beside the current at which the robot resets.

Contents: User, Currents, currents_of.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.engine.days import DAYS
from mechbench.engine.judge import Report, on_a_bad_day
from mechbench.whole_robot.build import Robot
from mechbench.whole_robot.score import cycle_of
from mechbench.whole_robot.work import Days, Work, battery_on, power


@dataclass(frozen=True)
class User:
    """One that draws current: what people call it, and its highest current from the battery."""

    name: str
    amps: float


@dataclass(frozen=True)
class Currents:
    """All that draws in one robot on a good day, in A; the users, the greatest first, add up to all_on.

    at_once: the most that runs at the same time, in a cycle or in a try at the closing task; fuse: what it is rated
    for; resets, resets_bad: from which current on the battery sags below the reset level, on a good and on a bad day;
    level: that voltage, in V; wait: it must last so long, in s.
    """

    robot: str
    users: tuple[User, ...]
    all_on: float
    at_once: float
    fuse: float
    resets: float
    resets_bad: float
    level: float
    wait: float


def currents_of(robot: Robot, report: Report) -> Currents:
    """The currents of a robot whose report, of the sizing of whole robots, is given."""
    work, kit = Work(robot, Days.good()), robot.kit
    cycle = cycle_of(work)
    drawn = power(work, cycle.steps, cycle.times)
    one = lambda column: float(np.ravel(column)[0])
    draws = {_called(robot, name): one(amps) for name, amps in drawn.draws.items()}
    always = {"electronics": kit.controller.electronics, "lamps and the rest": robot.value("more_current")}
    servos = one(drawn.rest) - sum(always.values())
    users = [User(name, amps) for name, amps in {**draws, "servos, moving": servos, **always}.items() if amps > 1e-9]
    return Currents(
        robot=robot.label,
        users=tuple(sorted(users, key=lambda user: -user.amps)),
        all_on=one(drawn.all_on),
        at_once=report.good["peak"],
        fuse=kit.fuse.rating,
        resets=one(_to_level(work)),
        resets_bad=float(on_a_bad_day(_to_level(Work(robot, Days.spread(DAYS))))),
        level=kit.controller.reset_level,
        wait=kit.controller.reset_after,
    )


def _called(robot: Robot, name: str) -> str:
    """A mechanism's name in the robot's file, and what it is: "keel (a drivetrain)"."""
    one = robot.mechanisms[name]
    title = one.sizing.TITLE
    return f"{one.label} ({title[0].lower()}{title[1:]})"


def _to_level(work: Work) -> np.ndarray:
    """The current at which the battery comes down to the reset level [rows]."""
    volts, resistance = battery_on(work)
    level = work.robot.kit.controller.reset_level
    return np.maximum(volts - level, 0.0) / np.broadcast_to(resistance, np.shape(volts))

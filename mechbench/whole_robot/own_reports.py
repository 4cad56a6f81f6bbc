"""A robot's mechanisms, each judged by its own sizing with what the robot gives it; and which of them fall.

Contents: own_report, Held, with_power_off.
"""

from typing import NamedTuple

from mechbench.engine import power_off
from mechbench.engine.judge import Report, judge
from mechbench.whole_robot.build import Mechanism, Robot
from mechbench.whole_robot.work import Days, Work


class Held(NamedTuple):
    """What one mechanism does with the power off: what people call it, whether it stays (None: not known), what holds
    it, or why that is not known, and what it does where it does not stay.
    """

    name: str
    stays: bool | None
    words: str
    falls: str = "falls"


def own_report(work: Work, mechanism: Mechanism) -> Report:
    """A mechanism judged by its own sizing, with what the robot gives it."""
    given = {key: float(value) for key, value in work.given(mechanism).items()}
    return judge(mechanism.sizing, mechanism.values | given, work.robot.kit)


def with_power_off(robot: Robot, system: str = "metric") -> list[Held]:
    """Each mechanism that could fall with the power off, in the order of the plan."""
    work = Work(robot, Days.good())
    each = [_held(work, one, system) for one in robot.mechanisms.values() if power_off.tells(one.sizing)]
    return [one for one in each if one is not None]


def _held(work: Work, mechanism: Mechanism, system: str) -> Held | None:
    try:
        told = power_off.told(own_report(work, mechanism), system)
    except ValueError as wrong:  # the robot gives it what its sizing does not take
        return Held(mechanism.label, None, str(wrong))
    return None if told is None else Held(mechanism.label, *told, mechanism.sizing.FALLS[0])

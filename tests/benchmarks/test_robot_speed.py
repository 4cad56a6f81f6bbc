"""A slider of the whole robot beside the same robot judged with nothing known of it, in one run: what was found is not
found again.

Three sliders: one that the match alone feels, so that no mechanism moves anew; another count of pieces, so that the
cycle and its currents are made anew; a gearbox that was not met before, so that the robot drives anew.
"""

from itertools import count
from statistics import median

import pytest

from mechbench.catalog import judge
from mechbench.engine.spec import DRIVES
from mechbench.kits import kit
from mechbench.whole_robot import sizing, work
from mechbench.whole_robot.build import robots
from tests.benchmarks.ratios import at_most, processor_time

pytestmark = pytest.mark.benchmark
TRIES = 6
GOAL_MATCH, BOUND_MATCH = 0.15, 0.3
GOAL_CYCLE, BOUND_CYCLE = 0.3, 0.6
GOAL_DRIVE, BOUND_DRIVE = 0.6, 0.9


def other_gearboxes(robot):
    """Some of the kit's gearboxes that its drive does not have."""
    (drive,) = robot.of_role(DRIVES)
    return [name for name in kit().table("gearboxes").names if name != drive.values["gearbox"]][:TRIES]


def moved(robot, slider, value):
    """Processor time of a move of one slider, in seconds, whatever was asked before."""
    sizing._found.cache_clear()
    return processor_time(lambda: judge("robot", {"which": robot.name, slider: value}))


def without_its_cycle(robot):
    """Processor time of a robot whose mechanisms are known and whose cycles and currents are not."""
    for key in [key for key in work._kept if key[0] in ("cycle", "power")]:
        del work._kept[key]
    return moved(robot, "carries", "1")


def test_sliders_of_a_whole_robot(hold):
    robot = max(robots(), key=lambda one: len(one.mechanisms))
    sooner = count(1)

    def anew():
        work._kept.clear()
        return moved(robot, "leave_sooner", 0.0)

    def measure():
        whole = median(anew() for _ in range(TRIES))
        match = median(moved(robot, "leave_sooner", next(sooner) / 8) for _ in range(TRIES))
        cycle = median(without_its_cycle(robot) for _ in range(TRIES))
        drive = median(moved(robot, "drive_gearbox", name) for name in other_gearboxes(robot))
        told = f"{robot.label}; all anew: {1000 * whole:.0f} ms"
        slider = "a slider of a robot beside all of it anew"
        return [
            at_most(f"{slider}: of the match alone", match / whole, BOUND_MATCH, GOAL_MATCH, told),
            at_most(f"{slider}: of the cycle", cycle / whole, BOUND_CYCLE, GOAL_CYCLE, told),
            at_most(f"{slider}: another drive", drive / whole, BOUND_DRIVE, GOAL_DRIVE, told),
        ]

    hold(measure)

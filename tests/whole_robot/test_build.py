"""Building robots: what a plan's numbers mean, a changed robot among the others, and what mechanisms bring along."""

import numpy as np
import pytest

from mechbench.catalog import sizing_of
from mechbench.engine.inputs import Tables
from mechbench.whole_robot.build import build, kit_with, robots


def test_a_changed_robot_takes_its_own_place_in_a_kit_and_no_other():
    changed = build("stork", changes={"carries": 1})
    kit = kit_with(changed)
    assert [plan.name for plan in kit.robots] == [robot.name for robot in robots()]
    assert [plan.values["carries"] for plan in kit.robots] == [1, 1, 2]  # the first robot carries one, the last one two
    assert build("swift", kit).plan == build("swift").plan
    assert kit.digest != changed.kit.digest


def test_a_plain_number_of_a_plan_is_a_name_where_a_part_is_picked_and_a_number_elsewhere():
    """count = 4 is the choice "4"; a length of 0.4 stays 0.4 m."""
    robot = build("wren", changes={"drive.count": 4, "arm.length": 0.4})
    assert robot.mechanisms["drive"].values["count"] == "4" and robot.mechanisms["arm"].values["length"] == 0.4


def test_a_plan_may_give_a_part_by_its_figures_but_no_battery_of_its_own():
    """One robot has one battery: that of the kit, or the one that is asked with the whole robot."""
    robot = build("wren", changes={"drive.wheel": "92 mm", "drive.gearbox": "14:1"})
    drive = robot.mechanisms["drive"]
    assert (drive.values["wheel"], drive.values["gearbox"]) == ("92mm", "14:1")
    assert drive.tables("drive_wheels").row("92mm")["radius"] == pytest.approx(0.046)
    with pytest.raises(ValueError, match="battery is given, but the robot's own parts and steps give it"):
        build("wren", changes={"drive.battery": "2 A·h"})


@pytest.mark.parametrize("name", ["arm", "chained"])
def test_two_motors_of_an_arm_draw_twice_what_one_is_said_to_draw(name):
    found = {"current": np.array([9.0, 5.0])}
    assert sizing_of(name).battery_current(found, 2).tolist() == [18.0, 10.0]


@pytest.mark.parametrize("drive, count, servos", [("own", "1", 3), ("shared", "1", 2), ("own", "2", 5)])
def test_servos_of_a_gripper_are_those_of_the_jaws_and_one_for_the_wrist(drive, count, servos):
    """Two jaws on servos of their own, or on one that they share."""
    sizing = sizing_of("gripper")
    values = {"drive": drive, "count": count}
    assert sizing.motors_and_servos(values, Tables(sizing)) == (0, servos)

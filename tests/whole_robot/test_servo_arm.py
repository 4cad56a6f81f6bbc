"""A robot whose arm is turned by servos: it takes the time that the arm takes, weighs its servos, draws from the rail
and needs no motor for it. Expected values: sums by hand with the numbers that the kit prints, and what the arm's own
sizing finds; its findings are checked by hand in tests/mechanisms/servo_arm.
"""

from dataclasses import replace

import numpy as np
import pytest

from mechbench.catalog import judge
from mechbench.kits import kit
from mechbench.kits.robots import FILE, read_robots
from mechbench.whole_robot.build import build
from mechbench.whole_robot.work import Days, Work

PLAN = """
[robots.small]
label = "Small"
wheelbase = "300 mm"
track = "340 mm"
mass = "6.1 kg"
goals = ["loom_west", "hamper"]

[robots.small.mechanisms.drive]
sizing = "drivetrain"

[robots.small.mechanisms.arm]
sizing = "servo_arm"
payload = "0.28 kg"
arm_mass = "0.06 kg"
length = "{length}"
start_angle = "-20 deg"
end_angle = "80 deg"
count = "{count}"

[robots.small.steps]
way = {{ drive = "2.2 m" }}
raise = {{ mechanism = "arm", after = ["way"] }}
let_go = {{ drive = "0.3 m", after = ["raise"], pose = "raised" }}
back = {{ drive = "2.2 m", after = ["let_go"] }}
"""
GIVEN = {"payload": "0.28 kg", "arm_mass": "0.06 kg", "start_angle": "-20 deg", "end_angle": "80 deg"}


@pytest.fixture
def small(tmp_path):
    """Give a function that builds the robot with an arm of that length on so many servos."""

    def make(length="240 mm", count="1"):
        (tmp_path / FILE).write_text(PLAN.format(length=length, count=count), encoding="utf-8")
        return build("small", replace(kit(), robots=read_robots(tmp_path), digest=f"small {length} {count} {tmp_path}"))

    return make


def test_it_takes_the_time_that_the_arm_takes_and_a_longer_arm_takes_longer(small):
    times = []
    for length in ("240 mm", "300 mm"):
        work = Work(small(length), Days.good())
        times.append(float(np.ravel(work.findings("arm")["time"])[0]))
        alone = judge("servo_arm", {**GIVEN, "length": length}).good["time"]
        assert times[-1] == pytest.approx(alone, rel=1e-6)
    assert times[1] > 1.05 * times[0]


def test_its_servos_are_servos_and_weigh_each(small):
    one, two = small(count="1"), small(count="2")
    servo = kit().table("servos").row(one.mechanisms["arm"].values["servo"])
    assert one.mechanisms["arm"].by_servo
    weights = [robot.plan.parts["arm_motors"]["mass"] for robot in (one, two)]
    assert weights == pytest.approx([servo["mass"], 2 * servo["mass"]])


def test_it_draws_from_the_servo_rail_alone_more_while_it_starts_than_while_it_holds(small):
    arm = small().mechanisms["arm"]
    found = Work(small(), Days.good()).findings("arm")
    rest, moving = arm.rail_current(found)
    servo = kit().table("servos").row(arm.values["servo"])
    # level is on the way: (0.28 + 0.06 / 2) kg at 0.24 m, over the stall torque, of the stall current
    share = (0.28 + 0.03) * 9.80665 * 0.24 / servo["stall_torque"]
    assert rest[0] == pytest.approx(share * servo["stall_current"])
    assert moving[0] == pytest.approx(servo["stall_current"]) and not np.any(arm.battery_current(found))


def test_an_arm_near_its_servos_stall_seldom_stays_up(small):
    """Of 800 mm it asks 2.43 N·m at level: it comes up, and higher, but the servo can't hold it there for long."""
    servo = kit().table("servos").row("strong")
    share = (0.28 + 0.03) * 9.80665 * 0.8 / servo["stall_torque"]
    assert servo["holding_share"] < share < 1
    near, far = (
        judge("robot", {"which": "small"}, small(length).kit).good["points"] for length in ("240 mm", "800 mm")
    )
    assert 0 < far < near / 2

"""All sizings by name: what learners, commands and robots ask for in words is found here.

Contents: ORDER, NAMES, sizing_of, picture_of, judge, search.
"""

from mechbench import mechanisms
from mechbench.engine import judge as judging
from mechbench.engine import search as searching
from mechbench.engine.spec import nearest

ROBOT = "robot"  # the sizing made of sizings
# The order of the course. A new mechanism gets its place here.
ORDER = ("trips", "motor", "train", "pair", "arm", "chained", "drivetrain", "lift", "winch", "linkage", "scissor", "balance", "cycle",
         "intake", "gripper", "power", ROBOT)  # fmt: skip


def _names():
    there = {*mechanisms.names(), ROBOT}
    return tuple(name for name in ORDER if name in there) + tuple(sorted(there - set(ORDER)))


NAMES = _names()


def sizing_of(name):
    """The sizing of that name (or the sizing itself); the nearest right name is said for an unknown one."""
    if isinstance(name, type):
        return name
    if name not in NAMES:
        raise ValueError(f"{str(name)[:40]!r} is not a sizing; {nearest(name, NAMES)}")
    if name == ROBOT:
        from mechbench.whole_robot.sizing import WholeRobot

        return WholeRobot
    return mechanisms.part_of(name, mechanisms.SIZING)


def picture_of(name):
    """The picture of a sizing; one without its own shows how far each finding is inside what is asked."""
    if name == ROBOT:
        from mechbench.whole_robot.picture import RobotPicture

        return RobotPicture
    own = mechanisms.part_of(name, mechanisms.PICTURE) if name in NAMES else None
    if own is None:
        from mechbench.drawing.margins import MarginsPicture

        return MarginsPicture
    return own


def judge(sizing, values=None, kit=None):
    """Judge one set of inputs (text with units, SI numbers, part names) with the parts of a kit."""
    return judging.judge(sizing_of(sizing), values, kit)


def search(sizing, values=None, vary=None, kit=None, **more):
    """Judge every combination of `vary`: see engine/search.py, which takes the sizing itself."""
    return searching.search(sizing_of(sizing), values, vary, kit, **more)

"""All sizings by name: what learners, commands and robots ask for in words is found here.

Contents: ORDER, NAMES, sizing_of, picture_of, drawings_of, judge, search.
"""

from collections.abc import Mapping
from typing import Any

from mechbench import mechanisms
from mechbench.engine import judge as judging
from mechbench.engine import search as searching
from mechbench.engine.spec import Sizing
from mechbench.kits import Kit
from mechbench.wording import nearest, quoted

ROBOT = "robot"  # the sizing made of sizings
# The order of the course. A new mechanism gets its place here.
ORDER = (
    "trips",
    "motor",
    "train",
    "pair",
    "arm",
    "chained",
    "drivetrain",
    "lift",
    "winch",
    "linkage",
    "scissor",
    "balance",
    "cycle",
    "intake",
    "gripper",
    "servo_arm",
    "power",
    "charge",
    ROBOT,
)


def _names() -> tuple[str, ...]:
    there = {*mechanisms.names(), ROBOT}
    return tuple(name for name in ORDER if name in there) + tuple(sorted(there - set(ORDER)))


NAMES = _names()


def sizing_of(name: str | type[Sizing]) -> type[Sizing]:
    """The sizing of that name (or the sizing itself); the nearest right name is said for an unknown one."""
    if isinstance(name, type):
        return name
    if name not in NAMES:
        raise ValueError(f"{quoted(name)} is not a sizing; {nearest(name, NAMES)}")
    if name == ROBOT:
        from mechbench.whole_robot.sizing import WholeRobot

        return WholeRobot
    return mechanisms.part_of(name, mechanisms.SIZING)


def picture_of(name: str) -> type:
    """The picture of a sizing; one without its own shows how far each finding is inside what is asked."""
    if name == ROBOT:
        from mechbench.whole_robot.picture import RobotPicture

        return RobotPicture
    own = mechanisms.part_of(name, mechanisms.PICTURE) if name in NAMES else None
    if own is None:
        from mechbench.drawing.margins import MarginsPicture

        return MarginsPicture
    return own


def drawings_of(name: str) -> dict[str, type]:
    """The drawings of a sizing with the names of the parts, each by its own name; the usual one first."""
    picture: Any = picture_of(name)
    own = [picture] if picture.VIEW else []
    return {one.VIEW: one for one in (*own, *(mechanisms.part_of(name, file) for file in picture.BESIDES))}


def judge(
    sizing: str | type[Sizing], values: Mapping[str, Any] | None = None, kit: Kit | None = None
) -> judging.Report:
    """Judge one set of inputs (text with units, SI numbers, part names) with the parts of a kit."""
    return judging.judge(sizing_of(sizing), values, kit)


def search(
    sizing: str | type[Sizing],
    values: Mapping[str, Any] | None = None,
    vary: Mapping[str, Any] | None = None,
    kit: Kit | None = None,
    **more: Any,
) -> searching.Ranking:
    """Judge every combination of `vary`: see engine/search.py, which takes the sizing itself."""
    return searching.search(sizing_of(sizing), values, vary, kit, **more)

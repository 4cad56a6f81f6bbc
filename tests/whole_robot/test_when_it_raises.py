"""When a robot raises, read by hand from the order of its steps."""

import pytest

from mechbench.whole_robot.build import build
from mechbench.whole_robot.sizing import AFTER, DURING, raises

# A robot that first drives empty to where pieces are handed over: its raising waits for the grip, as does its way to
# the goal, so both begin together, however far the empty way is.
EMPTY_WAY_FIRST, ITS_WAY = "swift", "way_to"


@pytest.mark.parametrize("empty", [None, "1 m", "3.4 m"])
def test_a_way_without_pieces_is_not_the_way_to_the_goal(empty):
    assert raises(build(EMPTY_WAY_FIRST, changes={f"{ITS_WAY}.drive": empty} if empty else None)) == DURING


def test_what_waits_for_the_way_is_raised_after_it():
    robot = build(EMPTY_WAY_FIRST)
    raising = next(name for name, step in robot.plan.steps.items() if step["mechanism"] == robot.raiser.name)
    assert raises(build(EMPTY_WAY_FIRST, changes={f"{raising}.after": ("way",)})) == AFTER

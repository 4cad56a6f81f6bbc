"""Sweeps of the robots: an input in steps from end to end. No NaN, no unexplained jump, nothing better by what makes it
worse. Common sense and first principles, no source.
"""

import numpy as np
import pytest

from mechbench.catalog import sizing_of
from mechbench.engine.inputs import Tables, complete
from mechbench.kits import kit
from mechbench.whole_robot.build import build
from mechbench.whole_robot.score import cycle_of
from mechbench.whole_robot.work import Days, Work, power
from tests.mechanisms.swept import ends, nans, swept
from tests.tries import tries

STEPS = tries(8, 20)
ROBOTS = [plan.name for plan in kit().robots]
# When it leaves decides on the time for the bar, and with it on these.
OF_THE_BAR = ("end_points", "points", "cycles", "pieces")


@pytest.mark.parametrize("name", ROBOTS)
def test_when_it_leaves_moves_points_alone_and_not_by_leaps(name):
    sizing = sizing_of("robot")
    at = np.linspace(*ends(sizing.field("leave_sooner")), STEPS)
    found = swept(sizing, complete(sizing, {"which": name}, Tables(sizing)), "leave_sooner", at)
    assert nans(found) == []
    for finding, line in found.items():
        if finding not in OF_THE_BAR:
            assert np.ptp(line[np.isfinite(line)]) == 0, finding
    steps = np.abs(np.diff(found["points"])) / np.maximum(found["points"][1:], found["points"][:-1])
    assert steps.max() < 0.2
    assert np.all(np.diff(found["cycles"]) <= 1e-9), "who leaves sooner never does more cycles"


@pytest.mark.parametrize("name", ROBOTS)
def test_more_current_never_helps(name):
    """All days at once: the battery sags further, and more of the fuse is used up."""
    drawn = []
    for amps in np.linspace(0.0, 12.0, STEPS):
        work = Work(build(name).with_changes({"more_current": float(amps)}), Days.spread(16))
        cycle = cycle_of(work)
        drawn.append(power(work, cycle.steps, cycle.times))
    for line, sign in (("volts", -1), ("peak", 1), ("fuse_share", 1), ("all_on", 1)):
        values = np.array([getattr(one, line) for one in drawn])
        assert np.isfinite(values).all() and np.all(sign * np.diff(values, axis=0) >= -1e-9), line
        if line in ("volts", "peak"):
            assert np.all(sign * np.diff(values, axis=0) > 0), line
    rises = np.diff([one.peak for one in drawn], axis=0)
    assert np.all(rises < 0.2 * np.array([one.peak for one in drawn])[1:]), "no jump"

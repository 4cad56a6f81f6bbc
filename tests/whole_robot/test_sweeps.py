"""Sweeps of the robots: an input in steps from end to end. No NaN, no unexplained jump, nothing better by what makes it
worse. Common sense and first principles, no source.
"""

import numpy as np
import pytest

from mechbench.catalog import ROBOT
from mechbench.kits import kit
from mechbench.whole_robot.build import build
from mechbench.whole_robot.score import cycle_of
from mechbench.whole_robot.work import Days, Work, power
from tests.mechanisms.sweeps import found_at, lost, places, settings, steep, turns_back
from tests.tries import tries

STEPS, EXACT = tries(8, thorough=20), 1e-9
ROBOTS = [plan.name for plan in kit().robots]
# When it leaves decides on the time for the bar, and with it on these.
OF_THE_BAR = ("end_points", "points", "cycles", "pieces")


@pytest.mark.parametrize("name", ROBOTS)
def test_when_it_leaves_moves_points_alone_and_not_by_leaps(name):
    values = next(settings(ROBOT, 0)) | {"which": name}
    found = found_at(ROBOT, values, "leave_sooner", places(ROBOT, values, "leave_sooner", STEPS))
    assert lost(found) == []
    for finding, line in found.items():
        if finding not in OF_THE_BAR:
            assert np.ptp(line[np.isfinite(line)]) == 0, finding
    assert not steep(found["points"][:-1], found["points"][1:], 0).any()
    assert turns_back(found["cycles"], -1) <= EXACT, "who leaves sooner never does more cycles"


@pytest.mark.parametrize("name", ROBOTS)
def test_more_current_never_helps(name):
    """All days at once: the battery sags further, and more of the fuse is used up."""
    drawn = []
    for amps in np.linspace(0.0, 12.0, STEPS):
        work = Work(build(name).with_changes({"more_current": float(amps)}), Days.spread(16))
        cycle = cycle_of(work)
        drawn.append(power(work, cycle.steps, cycle.times))
    for line, sign in (("volts", -1), ("peak", 1), ("fuse_share", 1), ("all_on", 1)):
        days = np.array([getattr(one, line) for one in drawn]).T
        assert np.isfinite(days).all() and all(turns_back(day, sign) <= EXACT for day in days), line
        if line in ("volts", "peak"):
            assert np.all(sign * np.diff(days) > 0), line
    peaks = np.array([one.peak for one in drawn])
    assert not steep(peaks[:-1], peaks[1:], 0).any(), "no jump"

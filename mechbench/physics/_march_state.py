"""What a march knows between two steps: where each row is (State), and the segment of its table there (View)."""

from dataclasses import dataclass

import numpy as np
from numpy import count_nonzero

from mechbench.physics._march_layout import INERTIA, POSITION

# What a row does: full voltage; braking by plan; arrived; come to where it can no longer be stopped in time.
GO, BRAKE, ARRIVED, REFUSED = range(4)


@dataclass(frozen=True)
class Modes:
    """What each row does [R]. Most steps leave it as it is, so what follows from it is kept, too."""

    mode: np.ndarray
    going: np.ndarray
    braking: np.ndarray
    arrived: np.ndarray
    active: np.ndarray  # neither arrived nor refused
    all_going: bool
    any_braking: bool

    @staticmethod
    def of(mode):
        """The record of rows in these modes."""
        going, braking, active = mode == GO, mode == BRAKE, mode < ARRIVED
        return Modes(mode, going, braking, mode == ARRIVED, active, bool(going.all()), bool(count_nonzero(braking)))

    def after(self, rows, mode):
        """The record when these rows have changed to another mode."""
        changed = self.mode.copy()
        changed[rows] = mode
        return Modes.of(changed)


@dataclass(frozen=True)
class State:
    """Where each row is [R]. A step makes a new one and changes nothing in the old one."""

    segment: np.ndarray  # of its table
    x: np.ndarray  # place in the segment: 0 at its first point, 1 at its last
    speed: np.ndarray
    rotor: np.ndarray  # speed of the rotor, as seen at the output; above `speed` while wheels slip
    speed_before: np.ndarray  # where the last step began
    time: np.ndarray
    modes: Modes
    slipping: np.ndarray
    # Rows that have just passed a level of current (see Law) stand exactly on it, where rounding would decide on which
    # side they are. So the side is kept for them, until time has gone on.
    passed: np.ndarray  # [2,R]
    gripped: np.ndarray  # rows whose wheels have just gripped: passed, too, but their current may be over any limit
    over: np.ndarray  # [2,R]
    still: np.ndarray  # no time has gone on in the last step


@dataclass(frozen=True)
class View:
    """The segment in view of each row [R], or [F,R] with a first axis as LOAD_NAMES (see Tables)."""

    left: np.ndarray  # [F,R] at its first point
    rise: np.ndarray  # [F,R] from there to its last point
    length: np.ndarray  # 1 for a repeated point, which is stepped over
    half_slope: np.ndarray  # 1/2 dJ/dq: times the speed squared it is the torque of a changing inertia
    square_first: np.ndarray  # of the highest speed that can still be braked, at the first point
    square_last: np.ndarray  # the same at the last point
    braking_current: np.ndarray
    braking_own_inertia: np.ndarray  # see Braking
    braking_load_share: np.ndarray

    def load_inertia(self, x):
        """The load's inertia at place x."""
        return self.left[INERTIA] + self.rise[INERTIA] * x


def start(layout, plan):
    """Everything at rest at the first point."""
    zero, none = np.zeros(layout.row_count), np.zeros((2, layout.row_count), dtype=bool)
    modes = Modes.of(np.where(plan.runaway == 0, REFUSED, GO))
    nowhere = layout.nowhere
    segment = np.zeros(layout.row_count, dtype=int)
    moving = segment, zero, zero, zero, zero, zero, modes, nowhere
    return State(*moving, passed=none, gripped=nowhere, over=none, still=nowhere)


def look_up(layout, plan, segment):
    """The segment in view of each row."""
    here = layout.rows * (layout.point_count - 1) + segment
    left, rise = layout.tables.lefts.take(here, axis=1), layout.tables.rises.take(here, axis=1)
    length = np.where(rise[POSITION] > 0, rise[POSITION], 1.0)
    return View(left, rise, length, 0.5 * rise[INERTIA] / length, *plan.segments.take(here, axis=1))

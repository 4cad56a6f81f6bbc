"""What ends a step: braking begins, a row stands still, wheels grip, a current passes a level, or its segment ends."""

from dataclasses import dataclass

import numpy as np
from numpy import count_nonzero

from mechbench.physics._exponential import (
    LONG,
    NEWTON,
    meeting,
    time_share,
    time_to,
    time_to_speed,
    time_to_stop,
    travel,
)


@dataclass(frozen=True)
class Events:
    """The next event of each row [R]: when it is, and which of them it is."""

    time: np.ndarray  # until then; inf where nothing more happens
    ahead: np.ndarray  # distance to the end of the segment, or to where braking begins
    arrives: np.ndarray  # at the end of its segment
    brakes: np.ndarray  # its speed meets the braking curve
    stands: np.ndarray  # it comes to a stand
    grips: np.ndarray  # its wheels have slipped and grip again
    passes: np.ndarray  # its current passes a level (see Law) [2,R]

    def within(self, t):
        """Those that happen in a step of time t; no event in the other rows of a case with several drives."""
        now = self.time <= t
        parts = self.arrives, self.brakes, self.stands, self.grips, self.passes
        return Events(self.time, self.ahead, *(now & part for part in parts))


def next_events(layout, view, state, law, pace, rotor, source):
    """The next event of each row; the levels of current lie where this source puts them."""
    going, rest = state.modes.going, (1 - state.x) * view.length
    t = time_to(rest, *pace)
    gets_there = np.isfinite(t)
    w = travel(*pace, np.where(gets_there, t, 0.0))[1]
    square = w**2 * law.inertia / law.inertia_at(view, 1.0)  # of the speed at the end of the segment
    ahead, brakes = rest, going & gets_there & (square > view.square_last)
    if count_nonzero(brakes):
        found, to_brake = _to_braking(view, state, law, pace, brakes, square, t)
        t, ahead = np.where(brakes, found, t), np.where(brakes, to_brake, rest)
    stands = going & (state.speed > 0) & ~gets_there
    if count_nonzero(stands):
        t, w = np.where(stands, time_to_stop(*pace), t), np.where(stands, 0.0, w)
        stands &= np.isfinite(t)
    grips, u = layout.nowhere, w
    if count_nonzero(law.slips):
        wait = np.where(law.slips & going, _to_grip(layout, view, state, law, pace, rotor, t), np.inf)
        grips = wait < t
        t, brakes, stands = np.minimum(t, wait), brakes & ~grips, stands & ~grips
        u = np.where(law.slips, travel(*rotor, np.minimum(t, LONG))[1], w)
    over = (source - layout.drives.torque_constant * u) / layout.loop_resistance > law.levels
    passes = (over != law.over) & going & ~state.passed
    if count_nonzero(passes):
        wait, passes = _to_level(layout, law, rotor, passes, source, t)
        first = wait < t
        t, brakes, stands, grips = np.minimum(t, wait), brakes & ~first, stands & ~first, grips & ~first
    if not state.modes.all_going:
        braked = rest / np.maximum(_braked_speed(layout, view, state), 1e-12)
        t = np.where(going, t, np.where(state.modes.braking, braked, np.inf))
    arrives = ~(brakes | stands | grips | passes.any(axis=0))
    return Events(t, ahead, arrives, brakes, stands, grips, passes)


def _to_grip(layout, view, state, law, pace, rotor, t):
    """Time until the rotor of slipping wheels has no more speed than its load, inf where that is after t."""
    rows = np.nonzero(law.slips)[0]
    moves = (state.speed > 0) | (pace.acceleration > 0)
    starts = ~state.slipping & (rotor.acceleration < 0)  # both slow down, the load faster: no longer alike at once
    speed, acceleration = pace.speed, pace.acceleration
    if layout.tables.inertia_changes:
        speed, acceleration = _true_pace(view, state, law, pace, t)
    body = np.where(moves, speed, 0.0), np.where(moves, acceleration, 0.0)
    found = np.full(len(t), np.inf)
    found[rows] = meeting(*(part[rows] for part in (*rotor, *body, t)))
    return np.where(starts, np.inf, found)


def _true_pace(view, state, law, pace, t):
    """Speed of slipping wheels' load as it is, straight over a step of time t, where the frozen inertia shifts it.

    A rotor that nears its load slowly meets it at quite another time where that is a little quicker or slower.
    """
    gets_there = np.isfinite(t) & (t > 0)
    long = np.where(gets_there, t, 1.0)
    s, w = travel(*pace, long)
    x = np.minimum(state.x + s / view.length, 1.0)
    true = w * np.sqrt(law.inertia / law.inertia_at(view, x))
    speed = np.where(gets_there, state.speed, pace.speed)
    return speed, np.where(gets_there, (true - state.speed) / long, pace.acceleration)


def _to_braking(view, state, law, pace, brakes, square, t):
    """Time and distance until the speed meets the braking curve, in rows that brake before t.

    Found by Newton's method, from where both would meet if the square of the speed grew straight over the distance, to
    `square` at the segment's end. On a long segment a step of it may lead out of what is left between times when the
    speed is below the curve and above it; then half of that is left.
    """
    first, last = np.where(brakes, view.square_first, 0.0), np.where(brakes, view.square_last, 1.0)
    grade = (last - first) / view.length
    here = first + state.x * (last - first)
    short = here - state.speed**2
    closing = square - last + short
    share = np.clip(short / np.where(closing > 0, closing, 1.0), 0.0, 1.0)
    found = np.where(brakes & (share > 0), time_to(share * ((1 - state.x) * view.length), *pace), 0.0)
    below, above = np.zeros_like(found), np.where(brakes, t, 0.0)
    for _ in range(4 * NEWTON):
        s, w = travel(*pace, found)
        kept = law.inertia / law.inertia_at(view, state.x + s / view.length)  # of the energy of motion
        acceleration = pace.acceleration - pace.rate * (w - pace.speed)
        over = w * w * kept - here - grade * s
        below, above = np.where(over < 0, found, below), np.where(over > 0, found, above)
        nearer = found - over / np.maximum(w * (2 * acceleration * kept - grade), 1e-9)
        nearer = np.where((below <= nearer) & (nearer <= above), nearer, 0.5 * (below + above))
        change = np.where(found > 0, found - nearer, 0.0)
        found = found - change
        if (np.abs(change) <= 1e-9 * found).all():
            break
    return found, travel(*pace, found)[0]


def _to_level(layout, law, rotor, passes, source, t):
    """Time until rows pass a level of current, inf for the others; and which level it is, where that is before t."""
    at_level = (source - layout.loop_resistance * law.levels) / layout.drives.torque_constant
    wait = time_to_speed(np.where(passes, at_level - rotor.speed, 0.0), rotor.acceleration, rotor.rate)
    wait = np.where(passes, np.where(np.isfinite(wait), wait, 0.0), np.inf)
    first = wait.min(axis=0)
    return first, passes & (wait == first) & (first < t)


def _planned(view, brakes, x):
    """Speed on the braking curve at place x of the segment."""
    first, last = (np.where(brakes, square, 0.0) for square in (view.square_first, view.square_last))
    return np.sqrt(np.maximum(first + x * (last - first), 0.0))


def _braked_speed(layout, view, state):
    """Mean speed over time of rows that brake, from here to the end of the segment."""
    brakes = state.modes.braking
    w0, w1 = (_planned(view, brakes, x) for x in (state.x, 1.0))
    w0 = np.where(state.speed > 0, state.speed, w0)  # a hair before the end it stands but for its last digits
    if not layout.tables.inertia_changes:
        return 0.5 * (w0 + w1)
    own, share = np.where(brakes, view.braking_own_inertia, 1.0), np.where(brakes, view.braking_load_share, 0.0)
    places = state.x, 1.0, state.x + (1 - state.x) * time_share(w0, w1)
    here, there, middle = (own + share * view.load_inertia(x) for x in places)
    return 0.5 * (w0 * np.sqrt(here / middle) + w1 * np.sqrt(there / middle))

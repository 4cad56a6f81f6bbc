"""Points that a march goes by without a step, written down at its end.

One drive under a load that is the same at every point follows one law from event to event, wherever points lie. So it
is marched over the first and the last point alone; what it did at those between follows from the step they lie in, of
all rows at once: [N,R] for N points between.
"""

from dataclasses import replace
from typing import NamedTuple

import numpy as np

from mechbench.physics._exponential import time_to, travel
from mechbench.physics._march_battery import supply_alone
from mechbench.physics._march_layout import POSITION
from mechbench.physics._march_state import BRAKE, Modes


class Steps(NamedTuple):
    """What is kept of steps, to say later what happened within them [K,R]."""

    end: np.ndarray  # place in the segment where it ends
    until: np.ndarray  # time then
    rotor_to: np.ndarray  # speed of the rotor then
    x: np.ndarray  # the State in which it begins
    time: np.ndarray
    mode: np.ndarray
    rotor: np.ndarray
    speed: np.ndarray
    acceleration: np.ndarray  # the Pace of loads, and of rotors
    rate: np.ndarray
    rotor_acceleration: np.ndarray
    rotor_rate: np.ndarray
    limited: np.ndarray  # the Law
    slips: np.ndarray
    current: np.ndarray
    current_fall: np.ndarray

    @staticmethod
    def of(taken):
        """All steps, each as State, Step and Stretch."""
        return Steps(*np.array([_values(*one) for one in taken], dtype=float).swapaxes(0, 1))

    def at(self, number):
        """That step of each row, by number [N,R]."""
        place = number * number.shape[-1] + np.arange(number.shape[-1])
        return Steps(*(part.ravel().take(place) for part in self))


def _values(state, step, stretch):
    """One step, as the fields of Steps."""
    law, pace, rotor = step.law, step.pace, step.rotor
    return (
        *(stretch.x, state.time + stretch.time, stretch.rotor_speed),
        *(state.x, state.time, state.modes.mode, state.rotor),
        *(pace.speed, pace.acceleration, pace.rate, rotor.acceleration, rotor.rate),
        *(law.limited, law.slips, law.current, law.current_fall),
    )


def ends_alone(layout):
    """The same march over the first and the last point; as it is where its load changes, or drives share a battery."""
    tables = layout.tables
    if not layout.alone or layout.point_count < 3 or tables.load_changes or tables.has_jumps:
        return layout
    values = tables.values[:, :, [0, -1]]
    steps = np.diff(values, axis=2)
    felt, parts = len(tables.lefts), {"values": values, "steps": steps, "repeats": layout.nowhere}
    parts |= {"lefts": values[:felt, :, 0], "rises": steps[:felt, :, 0], "kept": np.arange(2)}
    return replace(layout, point_count=2, tables=replace(tables, **parts))


def write_between(layout, ends, view, taken, diary):
    """Write into the diary of a march over its `ends` what happened at the other points of `layout`.

    view: its one segment; taken: its steps, each as State, Step and Stretch.
    """
    between = (layout.point_count - 2, layout.row_count)
    inner = {name: np.full(between, np.inf if name == "t" else 0.0) for name in diary.points}
    if taken:
        inner, diary.stretches = _passed(layout, ends, view, taken)
    diary.points = {name: np.vstack([pair[:, 0], inner[name], pair[:, 1]]).T for name, pair in diary.points.items()}


def _passed(layout, ends, view, taken):
    """What is known at each point between, by name [N,R], and the stretches cut there."""
    steps, q = Steps.of(taken), layout.tables.values[POSITION].T
    way, inner = q[-1] - q[0], q[1:-1]
    number = (steps.end[:, None] < (inner - q[0]) / way).sum(axis=0)  # of the step in which it goes by
    reached = number < len(taken)
    lies = steps.at(np.where(reached, number, 0))
    t, speed, rotor = _within(lies, inner - q[0] - lies.x * way, view.square_first * ((q[-1] - inner) / way))
    t = np.where(reached, np.minimum(lies.time + t, lies.until), np.inf)
    state, step, _ = taken[0]
    state = replace(state, rotor=lies.rotor, modes=Modes.of(lies.mode))
    law = replace(step.law, limited=lies.limited > 0, current=lies.current, current_fall=lies.current_fall)
    supply = supply_alone(ends, view, state, law, rotor)
    known = {"speed": speed, "current": supply.current, "volts": supply.volts}
    known = {name: np.where(reached, value, 0.0) for name, value in known.items()}
    return {"t": t, **known}, _cut(layout, view, steps, lies, t, rotor)


def _within(lies, distance, square):
    """Time, and speeds of load and rotor, at a distance from where a step begins; square: of the speed if it brakes."""
    braking = lies.mode == BRAKE
    pace = lies.speed, lies.acceleration, lies.rate
    going = time_to(np.maximum(distance, 0.0), *pace)
    going = np.where(np.isfinite(going), going, 0.0)
    planned = np.sqrt(np.where(braking, np.maximum(square, 0.0), 0.0))
    t = np.where(braking, distance / np.maximum(0.5 * (lies.speed + planned), 1e-12), going)
    speed = np.where(braking, planned, np.maximum(travel(*pace, going)[1], 0.0))
    own = travel(lies.rotor, lies.rotor_acceleration, lies.rotor_rate, going)[1]
    return t, speed, np.where((lies.slips > 0) & ~braking, np.maximum(own, speed), speed)


def _cut(layout, view, steps, lies, t, rotor):
    """Each step cut where it goes by a point, as the stretches of a diary [K+N,5,R].

    Parts begin at points and where steps begin, and end at points and where steps end: put in order by time, the
    first beginning goes with the first end. Points come before an event of the same time, which ends their step.
    """
    begins, ends = np.vstack([t, steps.time]), np.vstack([t, steps.until])
    number, there = np.argsort(begins, axis=0, kind="stable"), np.argsort(ends, axis=0, kind="stable")
    begins, ends = begins[number, layout.rows], ends[there, layout.rows]
    passed = np.isfinite(begins)
    lasts = np.where(passed, ends, 0.0) - np.where(passed, begins, 0.0)
    both = lambda name: np.vstack([getattr(lies, name), getattr(steps, name)])[number, layout.rows]
    braking, limited = both("mode") == BRAKE, both("limited") > 0
    held = np.where(braking, view.braking_current, np.where(limited, layout.drives.current_limit, 0.0))
    first, last = np.vstack([rotor, steps.rotor])[number, layout.rows], np.vstack([rotor, steps.rotor_to])
    bend = np.where(braking, 0.0, both("rotor_rate") * lasts)
    parts = lasts, first, last[there, layout.rows], bend, held
    return np.array([np.where(passed, part, 0.0) for part in parts]).swapaxes(0, 1)

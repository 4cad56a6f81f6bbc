"""The solver of moves from inside: its records are only read. What it finds: test_motion and test_motion_events."""

import importlib
from dataclasses import fields, is_dataclass
from pathlib import Path

import numpy as np
import pytest

from mechbench.physics import _march
from mechbench.physics.motion import Bus, Load, move
from tests.physics.test_motion import Slice, small_line

FILES = sorted(Path(_march.__file__).parent.glob("_march*.py"))


def arrays(value):
    """All arrays in a record and in the records that it holds."""
    if isinstance(value, np.ndarray):
        return [value]
    parts = [getattr(value, field.name) for field in fields(value)] if is_dataclass(value) else []
    parts = value if isinstance(value, tuple) else parts
    return [array for part in parts for array in arrays(part)]


def read_only(function, seen):
    """The same function, for which all arrays of its arguments can only be read."""

    def guarded(*given):
        for array in arrays(given):
            array.setflags(write=False)
            seen.append(array)
        return function(*given)

    return guarded


def growing_load():
    """One drive that picks parts up, then slows down while its load grows, with wheels that slip at first."""
    q = np.r_[np.linspace(0, 10, 9), np.linspace(10, 20, 9)]
    inertia = np.r_[np.full(9, 0.02), np.linspace(0.03, 0.05, 9)]
    return [small_line(16, 4, limit=2.5)], [
        Load(q, 0.1, 0.1, inertia, torque_limit=0.9, limit_slope=0.001, braking_limit=0.6)
    ]


def lift_and_robot():
    """Two drives on one battery; the lift holds its load when it has arrived."""
    case = Slice()
    lift = Load(np.r_[np.linspace(0, 11, 9), np.linspace(11, 23, 9)], 0.2, 0.1, np.repeat([4e-4, 6e-4], 9))
    robot = Load(
        np.linspace(0, 33, 18), 0.0, case.rolling, case.mass * case.wheel**2, case.torque_limit, case.limit_slope
    )
    return list(case.lines()), [lift, robot]


@pytest.mark.parametrize("machine", [growing_load, lift_and_robot])
def test_a_step_changes_nothing_that_it_is_given(machine, monkeypatch):
    lines, loads = machine()
    free = move(lines, loads, Bus(14.0, 0.2), after="hold")
    assert (free.why == "arrived").all() and free.slip_time.max() > 0 and free.current.min() < 0
    seen = []
    for name in ("plan_braking", "look_up", "next_step", "advance", "reach", "over_jumps", "answer"):
        monkeypatch.setattr(_march, name, read_only(getattr(_march, name), seen))
    guarded = move(lines, loads, Bus(14.0, 0.2), after="hold")
    for field in (one for one in fields(free) if one.name != "march"):
        assert (getattr(guarded, field.name) == getattr(free, field.name)).all(), field.name
    assert len(seen) > 1000
    with pytest.raises(ValueError, match="read-only"):
        seen[-1][...] = 0


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_records_are_frozen(path):
    module = importlib.import_module(f"mechbench.physics.{path.stem}")
    own = [thing for thing in vars(module).values() if isinstance(thing, type) and thing.__module__ == module.__name__]
    records = [one for one in own if one.__name__ not in ("March", "Diary")]
    loose = [one.__name__ for one in records if not (issubclass(one, tuple) or one.__dataclass_params__.frozen)]
    assert not loose

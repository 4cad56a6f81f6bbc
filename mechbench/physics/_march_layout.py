"""Layout of a march: drives, battery and loads in rows. Nothing of it changes during a run.

A row is one drive of one case. With S cases and D drives there are R = S D rows; the drives of a case are neighbours.
Segment n of a table runs from point n to point n + 1; values run straight between them.
"""

from dataclasses import dataclass, fields

import numpy as np

# What a table holds, and the names of the same things in motion.Load.
POSITION, LOAD_TORQUE, FRICTION_TORQUE, INERTIA, TORQUE_LIMIT, LIMIT_SLOPE, BRAKING_LIMIT = range(7)
LOAD_NAMES = ("q", "load_torque", "friction_torque", "inertia", "torque_limit", "limit_slope", "braking_limit")
NO_LIMIT = 1e30  # in place of infinity, so that straight lines between points stay finite


@dataclass(frozen=True)
class Drives:
    """Constants of each row's drive [R]; the names are those of drive.Line."""

    resistance: np.ndarray
    torque_constant: np.ndarray
    free_current: np.ndarray
    rotor_inertia: np.ndarray
    efficiency: np.ndarray
    efficiency_driven: np.ndarray
    current_limit: np.ndarray


@dataclass(frozen=True)
class Battery:
    """Constants of each row's battery [R]; the names are those of motion.Bus."""

    open_circuit: np.ndarray
    resistance: np.ndarray
    reset_level: np.ndarray


@dataclass(frozen=True)
class Tables:
    """The loads of all rows over position, first axis as LOAD_NAMES."""

    values: np.ndarray  # at the points [7,R,N]
    steps: np.ndarray  # from each point to the next [7,R,N-1]
    # What is felt at each step, rows and segments in one axis [F,R(N-1)]; limits of torque only where there are any.
    lefts: np.ndarray  # values at the first point of each segment
    rises: np.ndarray  # steps
    repeats: np.ndarray  # whether its first point is repeated, so that it is stepped over [R(N-1)]
    kept: np.ndarray  # which points the caller gave; the others were put in by finer_ends
    has_jumps: bool
    has_torque_limit: bool
    inertia_changes: bool
    load_changes: bool  # anything but the position


@dataclass(frozen=True)
class Layout:
    """All that a march is given, in rows."""

    case_count: int
    drive_count: int
    row_count: int
    point_count: int
    rows: np.ndarray  # 0, 1, 2 ... [R]
    case: np.ndarray  # of each row [R]
    drives: Drives
    battery: Battery
    loop_resistance: np.ndarray  # of drive and battery together [R]
    tables: Tables
    holds: bool  # drives that have arrived hold their load; else they idle
    nowhere: np.ndarray  # False in every row [R]

    @property
    def alone(self):
        """Whether each case has one drive, which has the battery for itself."""
        return self.drive_count == 1

    def place(self, state):
        """The position of every row."""
        segment = self.rows, state.segment
        return self.tables.values[POSITION][segment] + self.tables.steps[POSITION][segment] * state.x

    def total(self, values):
        """Sum over the drives of each case, given back to every row."""
        if self.alone:
            return values
        return values.reshape(self.case_count, self.drive_count).sum(axis=1)[self.case]

    def nearest(self, times):
        """The least time of each case's drives, given back to every row; 0 for a case in which nothing more happens."""
        least = times if self.alone else times.reshape(self.case_count, self.drive_count).min(axis=1)[self.case]
        return np.where(np.isfinite(least), least, 0.0)


def lay_out(lines, loads, bus, holds):
    """Lay lines, loads and battery out in rows; ValueError where their shapes do not fit together."""
    points, cases, count = _points(loads), _cases(lines, loads, bus), len(lines)
    drives = Drives(*(_in_rows([getattr(line, name) for line in lines], cases) for name in _names(Drives)))
    battery = Battery(*(_in_rows([getattr(bus, name)] * count, cases) for name in _names(Battery)))
    tables = _tables(loads, cases, points)
    return Layout(
        case_count=cases,
        drive_count=count,
        row_count=cases * count,
        point_count=tables.values.shape[2],
        rows=np.arange(cases * count),
        case=np.repeat(np.arange(cases), count),
        drives=drives,
        battery=battery,
        loop_resistance=drives.resistance + battery.resistance,
        tables=tables,
        holds=holds,
        nowhere=np.zeros(cases * count, dtype=bool),
    )


def finer_ends(values, always):
    """Split the first and the last segment where loads change in them; also which points were there before.

    Near its ends a move's speed grows like a root of the distance, so a load frozen over a whole segment is too coarse
    there. Under an unchanging load steps are exact as they are.
    """
    first, second, before, last = (values[:, :, n : n + 1] for n in (0, 1, values.shape[2] - 2, values.shape[2] - 1))
    starts = [first + (second - first) / 9] if always or not np.allclose(first[1:], second[1:], 1e-12, 0) else []
    ends = [last + (before - last) / 9] if always or not np.allclose(before[1:], last[1:], 1e-12, 0) else []
    inner = values[:, :, 1:-1]
    fine = np.concatenate([first, *starts, inner, *ends, last], axis=2)
    return fine, np.r_[0, 1 + len(starts) + np.arange(inner.shape[2]), fine.shape[2] - 1]


def _tables(loads, cases, points):
    """The tables of all loads in rows."""
    wide = (cases, points)
    stack = [[np.broadcast_to(np.asarray(getattr(load, n), dtype=float), wide) for load in loads] for n in LOAD_NAMES]
    rows = cases * len(loads)
    values = np.minimum(np.array(stack).transpose(0, 2, 1, 3).reshape(7, rows, points), NO_LIMIT)
    values, kept = finer_ends(values, always=len(loads) > 1)  # several drives also feel each other's sag
    steps, has_torque_limit = np.diff(values, axis=2), bool((values[TORQUE_LIMIT] < NO_LIMIT).any())
    felt, repeats = BRAKING_LIMIT if has_torque_limit else TORQUE_LIMIT, (steps[POSITION] == 0).ravel()
    return Tables(
        values=values,
        steps=steps,
        lefts=values[:felt, :, :-1].reshape(felt, -1),
        rises=steps[:felt].reshape(felt, -1),
        repeats=repeats,
        kept=kept,
        has_jumps=bool(repeats.any()),
        has_torque_limit=has_torque_limit,
        inertia_changes=bool(steps[INERTIA].any()),
        load_changes=bool(steps[LOAD_TORQUE:].any()),
    )


def _in_rows(parts, cases):
    """One value a drive (a number, or one a case) as one value a row [R]."""
    columns = [np.broadcast_to(np.asarray(part, dtype=float), (cases,)) for part in parts]
    return np.stack(columns, axis=1).reshape(cases * len(parts))


def _names(record):
    return [field.name for field in fields(record)]


def _points(loads):
    """The number of points that all loads share."""
    points = {np.shape(load.q)[-1] for load in loads}
    if len(points) > 1:
        raise ValueError(f"loads have {sorted(points)} points, but all must have the same number; resample them.")
    count = points.pop()
    for load in loads:
        for name in LOAD_NAMES:
            shape = np.shape(getattr(load, name))
            if shape and shape[-1] not in (1, count):
                raise ValueError(f"{name} has {shape[-1]} points, but q has {count}; give one value a point.")
    return count


def _cases(lines, loads, bus):
    """The number of cases that lines, loads and battery share."""
    shapes = [np.shape(getattr(line, name)) for line in lines for name in _names(Drives)]
    shapes += [np.shape(getattr(load, name))[:-1] for load in loads for name in LOAD_NAMES]
    shapes += [np.shape(getattr(bus, name)) for name in _names(Battery)]
    try:
        (cases,) = np.broadcast_shapes((1,), *shapes)
    except ValueError:
        message = "lines, loads and bus have different numbers of cases; give one value, or one a case."
        raise ValueError(message) from None
    return cases

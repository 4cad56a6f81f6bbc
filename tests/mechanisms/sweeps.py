"""Sweeps of a sizing: an input in steps from end to end, and what its findings do on the way, on a good day.

A jump is told from a steep slope by looking closer: the step is halved again and again, and a jump stays as high as it
was.

Where a name is asked, the class of a sizing will do.

Contents: drawn, settings, places, placed, found_at, findings, lost, steep, jumps, turns_back.
"""

import zlib

import numpy as np

from mechbench.catalog import sizing_of
from mechbench.engine.columns import columns, take
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.pairs import geared_inputs, go_together, paired
from mechbench.engine.spec import Field, Pick

JUMP = 0.2  # share of the larger of both values
SMALL = 1e-3  # of the largest value of a sweep: less than that is next to nothing
CRUMB = 1e-13  # what rounding leaves of a difference that should be 0
HALVINGS = 30  # of a step, until it is as good as nothing


def ends(field):
    """Low and high end of a slider, in SI."""
    return field.to_si(field.low), field.to_si(field.high)


def drawn(name, count, random, kit=None):
    """Inputs drawn at random, `count` rows: numbers evenly over their ranges, parts from their tables."""
    sizing, tables = sizing_of(name), Tables(sizing_of(name), kit)
    values = {}
    for field in sizing.FIELDS:
        if isinstance(field, Field):
            values[field.name] = random.uniform(*ends(field), count)
        else:
            values[field.name] = list(random.choice(field.options(tables), count))
    for row in range(count) if geared_inputs(sizing) else ():  # a gearmotor takes its own gears along
        together = paired(sizing, {one: line[row] for one, line in values.items()}, tables)
        for one in geared_inputs(sizing):
            values[one][row] = together[one]
    return sizing, take(columns(sizing, values, tables), np.arange(count))


def settings(name, count):
    """The defaults, and `count` settings drawn at random: from whole sliders, and in turn from near the defaults."""
    sizing, tables = sizing_of(name), Tables(sizing_of(name))
    random = np.random.default_rng(zlib.crc32(name.encode()))
    yield complete(sizing, {}, tables)
    for number in range(count):
        one = {}
        for field in sizing.FIELDS:
            if isinstance(field, Field):
                low, high = ends(field)
                near = field.first() + random.uniform(-0.25, 0.25) * (high - low)
                one[field.name] = float(np.clip(near, low, high) if number % 2 else random.uniform(low, high))
            else:
                one[field.name] = str(random.choice(field.options(tables)))
        yield complete(sizing, paired(sizing, one, tables), tables)


def places(name, values, path, steps):
    """Where to look along an input: a slider from end to end, a part in all kinds that go with the others, and a column
    of a part or of a record ("battery.open_circuit") from 0.8 to 1.3 of itself; an efficiency goes from 0.55 to 1.
    """
    sizing, tables = sizing_of(name), Tables(sizing_of(name))
    field = next((field for field in sizing.FIELDS if field.name == path), None)
    if isinstance(field, Pick):
        return [part for part in field.options(tables) if go_together(sizing, {**values, path: part}, tables)]
    if field:
        return np.linspace(*ends(field), steps)
    if path.endswith("efficiency"):
        return np.linspace(0.55, 1.0, steps)
    part, _, column = path.rpartition(".")
    return getattr(getattr(columns(sizing, values, tables), part), column)[0] * np.linspace(0.8, 1.3, steps)


def placed(x, path, numbers):
    """The same columns, and in one of them these numbers: an input's own, or that of a part or record."""
    part, _, column = path.rpartition(".")
    setattr(getattr(x, part) if part else x, column, np.atleast_1d(np.asarray(numbers, dtype=float)))
    return x


def found_at(name, values, path, at):
    """All findings at some places along an input: name -> [places]. `values` may hold columns of parts and records too,
    by their paths. A reset acts at once here: of one that waits, a quicker move may miss the wait.
    """
    sizing, tables = sizing_of(name), Tables(sizing_of(name))
    picked = isinstance(at, list)
    x = columns(sizing, values | {path: at} if picked else values, tables)
    if "controller" in sizing.RECORDS:
        placed(x, "controller.reset_after", 0.0)
    for column in (column for column in values if "." in column):
        placed(x, column, values[column])
    x = take(x if picked else placed(x, path, at), np.arange(len(at)))
    return findings(sizing, x, len(at))


def findings(sizing, x, rows):
    """Each finding [rows]; nan in rows that can't be built, which are found by halving."""
    try:
        found = sizing.solve(x)
    except ValueError:
        if rows == 1:
            return {finding.name: np.array([np.nan]) for finding in sizing.FINDINGS}
        halves = np.array_split(np.arange(rows), 2)
        parts = [findings(sizing, take(x, half), len(half)) for half in halves]
        return {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}
    return {f.name: np.broadcast_to(np.asarray(found[f.name], dtype=float), (rows,)) for f in sizing.FINDINGS}


def lost(found, may_refuse=False, crumbs=()):
    """Findings that are no number, and those that are crumbs of rounding where they should be 0.

    may_refuse: places where no finding has a number can't be built, and are left out; `crumbs` names findings that may
    be crumbs.
    """
    refused = np.all([np.isnan(line) for line in found.values()], axis=0) & may_refuse
    told = []
    for name, line in found.items():
        crumb = (line != 0) & (np.abs(line) < CRUMB) & (name not in crumbs)
        if np.any((np.isnan(line) | crumb) & ~refused):
            told.append(name)
    return told


def steep(before, after, largest):
    """Two numbers of which one is a fifth off the other, and not both next to nothing; to "never" there is no way but a
    jump.
    """
    with np.errstate(invalid="ignore"):
        apart = np.abs(after - before)
        return np.isfinite(apart) & (
            apart > np.maximum(JUMP * np.maximum(np.abs(before), np.abs(after)), SMALL * largest)
        )


def jumps(name, values, path, at, found, may_jump=()):
    """Where findings jump, in words; those in `may_jump` are not looked at."""
    which, low, high, left, right, largest = _steep_steps(at, {k: v for k, v in found.items() if k not in may_jump})
    for _ in range(HALVINGS):
        if not which.size:
            break
        middle = 0.5 * (low + high)
        closer = found_at(name, values, path, middle)
        there = np.array([closer[finding][row] for row, finding in enumerate(which)])
        with np.errstate(invalid="ignore"):
            first = np.abs(there - left) > np.abs(right - there)  # the half with more of the step
        high, right = np.where(first, middle, high), np.where(first, there, right)
        low, left = np.where(first, low, middle), np.where(first, left, there)
        still = steep(left, right, largest)
        which, low, high, left, right, largest = (part[still] for part in (which, low, high, left, right, largest))
    return [f"{f} from {a:.6g} to {b:.6g} at {path} = {p:.10g}" for f, a, b, p in zip(which, left, right, low)]


def _steep_steps(at, found):
    """The steep steps of all findings: which finding, both ends and values, and the largest value of its sweep."""
    steps = []
    for name, line in found.items():
        largest = np.max(np.abs(line[np.isfinite(line)]), initial=0.0)
        for n in np.flatnonzero(steep(line[:-1], line[1:], largest)):
            steps.append((name, at[n], at[n + 1], line[n], line[n + 1], largest))
    which, *numbers = zip(*steps) if steps else ((),) * 6
    return np.array(which, dtype=object), *(np.array(part, dtype=float) for part in numbers)


def turns_back(line, sign):
    """By how much a line goes against `sign` (1: must not fall, -1: must not rise) from the furthest that it reached.

    At most, as a share of the larger of both; without end from "never", and where something is no number.
    """
    line = sign * line
    furthest = np.maximum.accumulate(line)
    size = np.maximum(np.maximum(np.abs(furthest), np.abs(line)), 1e-12)
    with np.errstate(invalid="ignore"):
        back = np.where(line == furthest, 0.0, (furthest - line) / size)
    return float(np.max(np.where(np.isnan(back), np.inf, back)))

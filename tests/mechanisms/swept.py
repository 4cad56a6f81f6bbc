"""Sweeps: an input in small steps from one end of its range to the other, and what its findings do on the way.

A jump is told from a steep slope by looking closer: between the two values the step is halved again and again, and a
jump stays as high as it was.

Contents: settings, swept, jumps, numbers_only, falls, rises.
"""

import numpy as np

from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.spec import Field

STEEP = 0.2  # share of the larger of both values, and of a twentieth of all that the sweep covers
HALVINGS = 10


def settings(sizing, number, seed):
    """The usual inputs, and `number` sets of others drawn at random, as numbers and names."""
    tables, dice = Tables(sizing), np.random.default_rng(seed)
    yield complete(sizing, {}, tables)
    for _ in range(number):
        drawn = {}
        for field in sizing.FIELDS:
            if isinstance(field, Field):
                low, high = field.to_si(field.low), field.to_si(field.high)
                # Most of a range is far from the usual: half of the draws stay near it.
                near = field.first() + (dice.random() - 0.5) * 0.5 * (high - low) * dice.integers(0, 2)
                drawn[field.name] = float(np.clip(near, low, high))
            else:
                drawn[field.name] = str(dice.choice(field.options(tables)))
        yield complete(sizing, drawn, tables)


def swept(sizing, values, name, at):
    """All findings on a good day at some values of one input: name -> [values]."""
    tables = Tables(sizing)
    found = sizing.solve(columns(sizing, {**values, name: np.asarray(at)}, tables))
    return {f.name: np.broadcast_to(np.asarray(found[f.name], dtype=float), np.shape(at)) for f in sizing.FINDINGS}


def ends(field):
    """Low and high end of an input, in SI."""
    return field.to_si(field.low), field.to_si(field.high)


def jumps(sizing, values, name, at, found, left_out=()):
    """Where a finding jumps: (finding, input, before, after); those in `left_out` may jump, and their test says why."""
    told = []
    for finding, line in found.items():
        if finding in left_out:
            continue
        for place in _steep(line):
            low, high = _closer(sizing, values, name, finding, at[place], at[place + 1])
            if _is_steep(low[1], high[1], line):
                told.append((finding, high[0], low[1], high[1]))
                break
    return told


def _steep(line):
    return [i for i in range(len(line) - 1) if _is_steep(line[i], line[i + 1], line)]


def _is_steep(before, after, line):
    if not (np.isfinite(before) and np.isfinite(after)):
        return False  # to "never", or to no limit, there is no way but a jump
    finite = line[np.isfinite(line)]
    least = STEEP * np.ptp(finite) / 20
    return abs(after - before) > max(STEEP * max(abs(before), abs(after)), least)


def _closer(sizing, values, name, finding, low, high):
    """The steepest of halves of halves of a step: both ends with their values."""
    for _ in range(HALVINGS):
        three = np.array([low, (low + high) / 2, high])
        line = swept(sizing, values, name, three)[finding]
        steps = np.nan_to_num(np.abs(np.diff(line)), nan=0.0, posinf=0.0)
        half = int(np.argmax(steps))
        low, high, ends_ = three[half], three[half + 1], (line[half], line[half + 1])
    return (low, ends_[0]), (high, ends_[1])


def nans(found):
    """Findings that are no number somewhere."""
    return [name for name, line in found.items() if np.isnan(line).any()]


def turns_back(line, sign, slack=1e-6):
    """By how much a line goes against `sign` (1: must not fall, -1: must not rise) at most, as a share of its size."""
    steps = sign * np.diff(line[np.isfinite(line)])
    size = np.max(np.abs(line[np.isfinite(line)]), initial=1e-12)
    worst = float(-np.min(steps, initial=0.0) / size)
    return worst if worst > slack else 0.0

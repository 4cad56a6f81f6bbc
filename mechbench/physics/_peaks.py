"""Where along a way something is most, between the points of a table as well; and a table with those places in it."""

import numpy as np

GRID, ROUNDS, FINER = 33, 3, 6.0  # places of the first look; closer looks by a parabola, each so many times as close
NEAR = 1e-7  # share of the way below which a place is the way's end


def place_of_most(function, start, end):
    """Place [S,1] between start and end [S,1], in either direction, where function(places [S,N]) is largest.

    The height of a smooth peak is found to a hundred-thousandth. A jump of the function is not: name such places to
    `with_places`.
    """
    return places_of_most(lambda places: (function(places),), start, end)


def places_of_most(functions, start, end):
    """The same of several functions that have most of their work in common: functions(places [S,N]) gives the values of
    each of K functions; the places are [S,K].
    """
    at = lambda share: np.array(np.broadcast_arrays(*functions(start + (end - start) * share)))
    even = np.linspace(0.0, 1.0, GRID)
    first = even[np.argmax(at(even[None, :]), axis=-1)].T
    here, step = first, 1 / (GRID - 1)
    for _ in range(ROUNDS):
        here = _closer(at, here, step)
        step = step / FINER
    both = np.stack(np.broadcast_arrays(first, here), axis=-1)
    best = np.take_along_axis(both, np.argmax(_each_its_own(at, both), axis=-1)[..., None], axis=-1)[..., 0]
    return start + (end - start) * best


def _each_its_own(at, places):
    """Values of each function at its own places [S,K,N]."""
    rows, count, number = places.shape
    values = at(places.reshape(rows, -1))
    values = values.reshape(count, -1, count, number)
    own = np.arange(count)
    return np.broadcast_to(values[own, :, own].swapaxes(0, 1), places.shape)


def _closer(at, here, step):
    """The top of the parabola through three places, around each [S,K]; the highest of the three where that is none."""
    sides = np.clip(here[..., None] + step * np.array([-1.0, 0.0, 1.0]), 0.0, 1.0)
    values = _each_its_own(at, sides)
    low, middle, high = np.moveaxis(np.where(np.isfinite(values), values, 0.0), -1, 0)
    bend = low - 2 * middle + high
    inside = np.isfinite(values).all(axis=-1) & (bend < 0) & (np.diff(sides) > 0).all(axis=-1)
    top = here + np.clip(0.5 * (low - high) / np.where(inside, bend, 1.0), -1.0, 1.0) * step
    highest = np.take_along_axis(sides, np.argmax(values, axis=-1)[..., None], axis=-1)[..., 0]
    return np.where(inside, np.clip(top, 0.0, 1.0), highest)


def with_places(start, end, points, more):
    """Places [S, points + K] from start to end [S,1], evenly spread, and K more [S,K] among them, in order.

    Where one of the K is not on the way, or at its end, the middle stands in for it.
    """
    share = (more - start) / (end - start)
    share = np.where((share > NEAR) & (share < 1 - NEAR), share, 0.5)
    even = np.broadcast_to(np.linspace(0.0, 1.0, points), (len(share), points))
    return start + (end - start) * np.sort(np.concatenate([even, share], axis=-1), axis=-1)

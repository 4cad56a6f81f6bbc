"""Where along a way something is most, between the points of a table as well; and a table with those places in it."""

import numpy as np

GRID, FINER, ROUNDS = 61, 21, 3  # places of the first look, of each closer one; closer looks
NEAR = 1e-7  # share of the way below which a place is the way's end


def place_of_most(function, start, end):
    """Place [S,1] between start and end [S,1], in either direction, where function(places [S,N]) is largest.

    A smooth peak is found to a millionth of the way, a kink or jump of the function only to a thousandth: name such
    places to `with_places`.
    """
    low, high = 0.0 * start, 0.0 * start + 1.0
    for count in (GRID, *[FINER] * ROUNDS):
        shares = low + (high - low) * np.linspace(0.0, 1.0, count)
        best = np.argmax(function(start + (end - start) * shares), axis=-1)[:, None]
        here = np.take_along_axis(shares, best, axis=-1)
        step = (high - low) / (count - 1)
        low, high = np.maximum(here - step, 0.0), np.minimum(here + step, 1.0)
    return start + (end - start) * here


def with_places(start, end, points, more):
    """Places [S, points + K] from start to end [S,1], evenly spread, and K more [S,K] among them, in order.

    Where one of the K is not on the way, or at its end, the middle stands in for it.
    """
    share = (more - start) / (end - start)
    share = np.where((share > NEAR) & (share < 1 - NEAR), share, 0.5)
    even = np.broadcast_to(np.linspace(0.0, 1.0, points), (len(share), points))
    return start + (end - start) * np.sort(np.concatenate([even, share], axis=-1), axis=-1)

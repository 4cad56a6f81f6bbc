"""Rounding: a difference of two numbers that only rounding keeps apart is 0.

Contents: difference.
"""

import numpy as np

EPSILON = np.finfo(float).eps


def difference(first, second, largest=None, steps=8):
    """Give a difference, and exactly 0 where it is no more than rounding of the numbers that it came from.

    Equation: a - b; 0 where |a - b| <= steps eps z, z the larger of |a|, |b| and largest; eps = 2^-52

    Parameters
    ----------
    first : [any] a; all arguments broadcast
    second : [any] b, in the same unit
    largest : [any] of the numbers that a and b were computed from, where these were larger than a and b
    steps : [whole] roundings on the way to a and b, each of at most half an eps; at least 1

    Returns
    -------
    difference : [any] a - b; without end where one of them is

    Valid: what is truly that small can't be told from rounding, whatever one does.
    Raises: nothing.
    Source: Goldberg, What every computer scientist should know about floating-point arithmetic (1991), section 1.2
        (from memory).

    >>> print(difference(0.3, 0.1 + 0.2), f"{difference(0.3, 0.299999):.1e}")
    0.0 1.0e-06
    """
    first, second = np.asarray(first, dtype=float), np.asarray(second, dtype=float)
    same = first == second  # also where both are without end
    apart = np.where(same, 0.0, first) - np.where(same, 0.0, second)
    size = np.maximum(np.abs(first), np.abs(second))
    if largest is not None:
        size = np.maximum(size, np.abs(largest))
    return np.where(np.isfinite(apart) & (np.abs(apart) <= steps * EPSILON * size), 0.0, apart)[()]

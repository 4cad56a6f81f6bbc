"""Checks of arguments: each returns its value as floats or raises one clear sentence.

Contents: finite, positive, not_negative, fraction, between, at_least, whole.
"""

import math

import numpy as np

from mechbench.wording import quoted


def _refuse(name, value, bound, way_out):
    bad = np.asarray(value).ravel()
    shown = ", ".join(f"{x:g}" for x in bad[:3]) + (" ..." if bad.size > 3 else "")
    raise ValueError(f"{name} is {shown}, but it must be {bound}; {way_out}.")


def _any(found):
    """Whether something is found: in one number, or in an array of them, of which a bench asks hundreds of times."""
    return found if type(found) is bool else found.any()


def finite(name, value, way_out="give a plain finite number"):
    """Return value as a float or float array; refuse what is not a finite number."""
    if type(value) is float and math.isfinite(value):
        return value  # most of what is checked is one number, and numpy takes its time for one
    try:
        numbers = np.asarray(value, dtype=float)
    except (TypeError, ValueError):
        raise ValueError(f"{name} is {quoted(value)}, but it must be a number; {way_out}.") from None
    if not np.isfinite(numbers).all():
        _refuse(name, numbers, "finite", way_out)
    return numbers if numbers.ndim else float(numbers)


def positive(name, value, way_out="give a number above 0"):
    """Return value; refuse 0 and less."""
    numbers = finite(name, value)
    if _any(numbers <= 0):
        _refuse(name, numbers, "above 0", way_out)
    return numbers


def not_negative(name, value, way_out="give 0 or more"):
    """Return value; refuse less than 0."""
    numbers = finite(name, value)
    if _any(numbers < 0):
        _refuse(name, numbers, "0 or more", way_out)
    return numbers


def between(name, value, low, high, way_out=None):
    """Return value; refuse what lies outside low to high (both allowed)."""
    numbers = finite(name, value)
    if _any(numbers < low) or _any(numbers > high):
        _refuse(name, numbers, f"from {low:g} to {high:g}", way_out or f"give a number from {low:g} to {high:g}")
    return numbers


def at_least(name, value, least, way_out):
    """Return value; refuse what is below least, a bound that may differ from number to number."""
    numbers = finite(name, value)
    if type(numbers) is type(least) is float and numbers >= least:
        return numbers
    each, bounds = np.broadcast_arrays(numbers, least)
    low = each < bounds - 1e-12 * np.abs(bounds)
    if np.any(low):
        _refuse(name, each[low][0], f"at least {bounds[low][0]:g}", way_out)
    return numbers


def fraction(name, value, way_out="give a fraction, 0.9 for 90 %"):
    """Return value; refuse 0 and less, and more than 1."""
    numbers = finite(name, value)
    if _any(numbers <= 0) or _any(numbers > 1):
        _refuse(name, numbers, "above 0 and at most 1", way_out)
    return numbers


def whole(name, value, low, way_out=None):
    """Return value as whole numbers; refuse fractions and what is less than low."""
    numbers = finite(name, value)
    if np.any(np.asarray(numbers) != np.round(numbers)) or np.any(np.asarray(numbers) < low):
        _refuse(name, numbers, f"a whole number of at least {low}", way_out or f"count again from {low}")
    return np.asarray(numbers).astype(int) if np.ndim(numbers) else int(numbers)

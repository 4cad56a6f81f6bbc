"""Good days and bad days: what varies from day to day, as rows of columns.

Contents: DAYS, day_fractions, spread_columns.

There are 256 fixed days, spread evenly over what may vary (a low-discrepancy sequence: the same days on every machine,
no random numbers).
"""

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from mechbench.engine.columns import each
from mechbench.engine.spec import Columns, Sizing

DAYS = 256
_PRIMES = (2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37)


def _mirrored(number: int, base: int) -> float:
    """The digits of a number in a base, mirrored at the point: 6 = 110 in base 2 gives 0.011."""
    value, place = 0.0, 1.0
    while number:
        place /= base
        number, digit = divmod(number, base)
        value += digit * place
    return value


@cache
def day_fractions(dimensions: int, days: int = DAYS) -> NDArray[np.float64]:
    """Spread `days` points evenly over a unit cube of that many dimensions, the same on every machine.

    Halton's sequence: the digits of 1, 2, 3 ... in a prime base, mirrored at the point (J. H. Halton, Numerische
    Mathematik 2 (1960) 84-90; from memory).
    """
    if dimensions > len(_PRIMES):
        raise ValueError(f"a sizing has {dimensions} spreads, but at most {len(_PRIMES)} can vary; join some of them.")
    points = np.array([[_mirrored(n, base) for base in _PRIMES[:dimensions]] for n in range(1, days + 1)])
    points = points.reshape(days, dimensions)
    points.flags.writeable = False
    return points


def spread_columns(sizing: type[Sizing], x: Columns, tables: Any, fractions: NDArray[np.float64]) -> Columns:
    """Give x on other days: `fractions` [rows, dimensions] runs from 0 (low end) to 1 (high end); nan leaves alone."""
    day = each(lambda column: column, x)
    for i, (path, name) in enumerate(sizing.SPREADS.items()):
        spread = tables.kit.spread(name)
        part, _, column = path.rpartition(".")
        owner = getattr(day, part) if part else day
        value = getattr(owner, column)
        shift = spread.low + fractions[:, i] * (spread.high - spread.low)
        shift = np.where(np.isnan(shift), 0.0, shift)
        setattr(owner, column, value * (1 + shift) if spread.kind == "relative" else value + shift)
    return day

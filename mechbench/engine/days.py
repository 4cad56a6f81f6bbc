"""Good days and bad days: what varies from day to day, as rows of columns.

Contents: DAYS, day_fractions, spread_columns.

There are 256 fixed days, spread evenly over what may vary (a low-discrepancy sequence: the same days on every machine,
no random numbers). Numbers that were assumed vary within their bands, after all that varies for every kit: the days of
a kit that prints everything are the same with or without them.
"""

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from mechbench.engine.bands import NO_BANDS, Bands
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


def _first_primes(count: int) -> list[int]:
    """The first so many primes."""
    found: list[int] = []
    number = 2
    while len(found) < count:
        if all(number % prime for prime in found):
            found.append(number)
        number += 1
    return found


@cache
def day_fractions(dimensions: int, days: int = DAYS, bands: int = 0) -> NDArray[np.float64]:
    """Spread `days` points evenly over a unit cube of so many dimensions and bands, the same on every machine.

    Halton's sequence: the digits of 1, 2, 3 ... in a prime base, mirrored at the point (J. H. Halton, Numerische
    Mathematik 2 (1960) 84-90; from memory). For bands, of which there may be many: what is behind the point in 1, 2, 3
    ... times the root of a prime (Richtmyer's sequence; from memory), since Halton's is uneven in large bases.
    """
    if dimensions > len(_PRIMES):
        raise ValueError(f"a sizing has {dimensions} spreads, but at most {len(_PRIMES)} can vary; join some of them.")
    points = np.array([[_mirrored(n, base) for base in _PRIMES[:dimensions]] for n in range(1, days + 1)])
    points = points.reshape(days, dimensions)
    if bands:
        roots = np.sqrt(np.array(_first_primes(bands), dtype=float))
        points = np.hstack([points, np.arange(1, days + 1)[:, None] * roots % 1.0])
    points.flags.writeable = False
    return points


def spread_columns(
    sizing: type[Sizing], x: Columns, tables: Any, fractions: NDArray[np.float64], bands: Bands = NO_BANDS
) -> Columns:
    """Give x on other days: `fractions` [rows, dimensions and bands] runs from 0 (low end) to 1 (high end); nan leaves
    alone.
    """
    day = each(lambda column: column, x)
    for i, (path, name) in enumerate(sizing.SPREADS.items()):
        spread = tables.kit.spread(name)
        part, _, column = path.rpartition(".")
        owner = getattr(day, part) if part else day
        value = getattr(owner, column)
        shift = spread.low + fractions[:, i] * (spread.high - spread.low)
        shift = np.where(np.isnan(shift), 0.0, shift)
        setattr(owner, column, value * (1 + shift) if spread.kind == "relative" else value + shift)
    for i, path in enumerate(bands.paths):
        part, _, column = path.rpartition(".")
        owner = getattr(day, part)
        share = bands.share(i, 2 * fractions[:, len(sizing.SPREADS) + i] - 1)
        setattr(owner, column, getattr(owner, column) * share)
    return day

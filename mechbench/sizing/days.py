"""Good days and bad days: inputs turned into columns, one row a day.

Contents: DAYS, day_fractions, complete, columns.

A bad day is one whole day, not a mix of worst corners. There are 256 fixed days, spread evenly over what may vary
(a low-discrepancy sequence: the same days on every machine, no random numbers).
"""

import operator
from functools import lru_cache
from types import SimpleNamespace

import numpy as np

from mechbench.kit import Table
from mechbench.kit import kit as kit_in_force
from mechbench.sizing.describe import Pick

DAYS = 256
COUNTS = Table(
    "counts", ("1", "2", "3", "4"), "1", {n: n for n in "1234"}, {"number": np.arange(1.0, 5.0)}, {}, {"number": "count"},
    {"number": "how many"},
)


_PRIMES = (2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37)


def _mirrored(number, base):
    """The digits of a number in a base, mirrored at the point: 6 = 110 in base 2 gives 0.011."""
    value, place = 0.0, 1.0
    while number:
        place /= base
        number, digit = divmod(number, base)
        value += digit * place
    return value


@lru_cache(maxsize=None)
def day_fractions(dimensions, days=DAYS):
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


@lru_cache(maxsize=64)
def _made_table(function, digest, kit):
    return function(kit)


class Tables:
    """Look-up of tables by name for one sizing: the kit's own, and those that the sizing makes from the kit."""

    def __init__(self, sizing, kit=None):
        self.sizing, self.kit = sizing, kit or kit_in_force()

    def __call__(self, name):
        if name == "counts":
            return COUNTS
        if name in self.sizing.TABLES:
            return _made_table(self.sizing.TABLES[name], self.kit.digest, self.kit)
        return self.kit.table(name)


def complete(sizing, values, tables):
    """Fill defaults, read text, check every value; refuse unknown names with the nearest right one."""
    for name in values:
        sizing.field(name)
    whole = {}
    for field in sizing.FIELDS:
        if isinstance(field, Pick):
            given = values.get(field.name)
            whole[field.name] = field.first(tables) if given is None else field.read(given, tables)
        else:
            given = values.get(field.name)
            whole[field.name] = field.to_si(field.default) if given is None else field.read(given)
    return whole


def columns(sizing, values, tables):
    """Turn checked values into a namespace of columns; a list of values (or part names) becomes a longer column."""
    x = SimpleNamespace()
    for path in sizing.RECORDS:
        setattr(x, path.rpartition(".")[2], _record_columns(operator.attrgetter(path)(tables.kit)))
    for field in sizing.FIELDS:
        value = values[field.name]
        if isinstance(field, Pick):
            table = tables(field.table)
            rows = [table.index(value)] if isinstance(value, str) else _places(table, value)
            setattr(x, field.name, SimpleNamespace(**{c: v[rows] for c, v in table.columns.items()}))
        else:
            setattr(x, field.name, np.atleast_1d(np.asarray(value, dtype=float)))
    return x


def _places(table, names):
    """The place of each name in a table; quick for thousands of names."""
    place = {name: i for i, name in enumerate(table.names)}
    return np.array([place[name] for name in names])


def _record_columns(record):
    """The plain numbers of a record of the kit, as columns of one row; a list of numbers (the fuse's curve) as [1, P]."""
    numbers = {key: getattr(record, key) for key in record}
    return SimpleNamespace(**{k: np.array([v], dtype=float) for k, v in numbers.items() if isinstance(v, (int, float, tuple))})


def spread_columns(sizing, x, tables, fractions):
    """Give x on other days: `fractions` [rows, dimensions] runs from 0 (low end) to 1 (high end); nan leaves alone."""
    day = SimpleNamespace(**{k: SimpleNamespace(**vars(v)) if isinstance(v, SimpleNamespace) else v for k, v in vars(x).items()})
    for i, (path, name) in enumerate(sizing.SPREADS.items()):
        spread = tables.kit.spread(name)
        part, _, column = path.rpartition(".")
        owner = getattr(day, part) if part else day
        value = getattr(owner, column)
        shift = spread.low + fractions[:, i] * (spread.high - spread.low)
        shift = np.where(np.isnan(shift), 0.0, shift)
        setattr(owner, column, value * (1 + shift) if spread.kind == "relative" else value + shift)
    return day

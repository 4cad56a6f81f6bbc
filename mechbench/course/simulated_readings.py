"""The shop at home: readings of a measurement, made up with a hidden value and honest noise, for whoever has no bench.

Contents: Readings, readings_of (for a learner), shop_readings (for an exercise that was posed), columns_in_si.

The noise is the learner's own: the same name always gets the same readings.
"""

import hashlib

import numpy as np

from mechbench import quantity
from mechbench.course.learner_numbers import SEPARATOR, pose
from mechbench.wording import listed, quoted


class Readings:
    """Columns of readings, as the instruments showed them. A column is read as `data.force` or `data["force"]`.

    columns : name -> read-only array of numbers in the column's unit
    units : name -> unit
    about : what was measured
    """

    def __init__(self, columns, units, about):
        self.columns, self.units, self.about = dict(columns), dict(units), about
        for column in self.columns.values():
            column.flags.writeable = False

    def __getitem__(self, name):
        if name not in self.columns:
            raise KeyError(f"no column {quoted(name)}; there are {listed(self.columns)}")
        return self.columns[name]

    def __getattr__(self, name):
        columns = self.__dict__.get("columns", {})
        if name in columns:
            return columns[name]
        raise AttributeError(f"no column {quoted(name)}; there are {listed(columns)}")

    def __dir__(self):
        return [*super().__dir__(), *self.columns]

    def __iter__(self):
        return iter(self.columns)

    def __len__(self):
        return len(next(iter(self.columns.values())))

    def __repr__(self):
        heads = [f"{name} [{quantity.written(self.units[name])}]".replace(" []", "") for name in self.columns]
        body = [_as_shown(column) for column in self.columns.values()]
        widths = [max(len(head), *map(len, cells)) for head, cells in zip(heads, body)]
        rows = [heads, *zip(*body)]
        table = ["   ".join(cell.rjust(width) for cell, width in zip(row, widths)) for row in rows]
        return "\n".join([self.about, "", *table])


def _as_shown(column):
    """Numbers as an instrument shows them: all of a column with as many decimals."""
    decimals = max(len(f"{value:g}".partition(".")[2]) for value in column)
    return [f"{value:.{decimals}f}" for value in column]


def shop_readings(posed, key):
    """Measure: the readings that a canonical name gets for an exercise that was posed."""
    exercise = posed.exercise
    words = SEPARATOR.join(("mechbench", "readings", exercise.id, str(exercise.revision), key))
    seed = int.from_bytes(hashlib.sha256(words.encode("utf-8")).digest(), "big")
    measured = exercise.shop.measure(posed.si, np.random.Generator(np.random.PCG64(seed)))
    columns = {name: np.array(numbers, dtype=float) for name, (numbers, _) in measured.items()}
    return Readings(columns, {name: unit for name, (_, unit) in measured.items()}, posed.fill(exercise.shop.about))


def readings_of(exercise, key="", practice=0, kit=None):
    """The readings of a learner for an exercise of the shop."""
    if getattr(exercise, "shop", None) is None:
        raise ValueError(f"{exercise.id} has no readings; only an exercise of the shop has.")
    return shop_readings(pose(exercise, key, practice, kit), f"{key}{SEPARATOR}{practice}" if practice else key)


def columns_in_si(readings):
    """The columns as arrays in SI."""
    return {name: quantity.to_si(column, readings.units[name]) for name, column in readings.columns.items()}

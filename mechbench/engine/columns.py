"""Inputs as columns of plain numbers, one row a case.

Contents: columns, take, repeated.
"""

import operator
from types import SimpleNamespace

import numpy as np

from mechbench.engine.spec import Pick


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
    return SimpleNamespace(
        **{k: np.array([v], dtype=float) for k, v in numbers.items() if isinstance(v, (int, float, tuple))}
    )


def each(change, x):
    """The same namespace with every column changed, those of parts and records too."""
    return SimpleNamespace(
        **{k: each(change, v) if isinstance(v, SimpleNamespace) else change(v) for k, v in vars(x).items()}
    )


def take(x, rows):
    """The given rows of a namespace of columns; columns of one row stand for all."""
    return each(lambda column: column[rows] if len(column) > 1 else np.repeat(column, len(rows), axis=0), x)


def repeated(x, rows, times):
    """The same columns several times over, one block of `rows` rows after the other."""

    def again(column):
        whole = np.broadcast_to(column, (rows, *np.shape(column)[1:]))
        return np.tile(whole, (times, *[1] * (whole.ndim - 1)))

    return each(again, x)

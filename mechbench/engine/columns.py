"""Inputs as columns of plain numbers, one row a case.

Contents: columns, each, take, repeated, joined; in_rows (what is found from them).
"""

import operator
from collections.abc import Callable, Mapping, Sequence
from types import SimpleNamespace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from mechbench.engine.spec import Columns, Findings, Pick, Sizing


def columns(sizing: type[Sizing], values: Mapping[str, Any], tables: Any, records: Sequence[str] = ()) -> Columns:
    """Turn checked values into a namespace of columns; a list of values (or part names) becomes a longer column.

    records: of the kit, that are wanted besides those of the sizing.
    """
    x = SimpleNamespace()
    for path in (*sizing.RECORDS, *records):
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


def _places(table: Any, names: Sequence[str]) -> NDArray[np.intp]:
    """The place of each name in a table; quick for thousands of names."""
    place = {name: i for i, name in enumerate(table.names)}
    return np.array([place[name] for name in names])


def _record_columns(record: Any) -> Columns:
    """The plain numbers of a record of the kit, as columns of one row; a list of numbers (the fuse's curve) as [1,
    P].
    """
    numbers = {key: getattr(record, key) for key in record}
    return SimpleNamespace(
        **{k: np.array([v], dtype=float) for k, v in numbers.items() if isinstance(v, (int, float, tuple))}
    )


def each(change: Callable[[NDArray[Any]], NDArray[Any]], x: Columns) -> Columns:
    """The same namespace with every column changed, those of parts and records too."""
    return SimpleNamespace(
        **{k: each(change, v) if isinstance(v, SimpleNamespace) else change(v) for k, v in vars(x).items()}
    )


def take(x: Columns, rows: NDArray[np.intp]) -> Columns:
    """The given rows of a namespace of columns; columns of one row stand for all."""
    return each(lambda column: column[rows] if len(column) > 1 else np.repeat(column, len(rows), axis=0), x)


def repeated(x: Columns, rows: int, times: int) -> Columns:
    """The same columns several times over, one block of `rows` rows after the other."""

    def again(column: NDArray[Any]) -> NDArray[Any]:
        whole = np.broadcast_to(column, (rows, *np.shape(column)[1:]))
        return np.tile(whole, (times, *[1] * (whole.ndim - 1)))

    return each(again, x)


def joined(many: Sequence[Columns], rows: Sequence[int]) -> Columns:
    """Several namespaces of the same columns as one, block after block of so many rows."""

    def one(parts: list[Any]) -> Any:
        if isinstance(parts[0], SimpleNamespace):
            return SimpleNamespace(**{name: one([getattr(part, name) for part in parts]) for name in vars(parts[0])})
        return np.concatenate([np.broadcast_to(part, (n, *np.shape(part)[1:])) for part, n in zip(parts, rows)])

    return one(list(many))


def in_rows(sizing: type[Sizing], found: Findings, rows: int) -> Findings:
    """What `solve` gave, each finding one number a row; an author's slip is told by the finding's name."""
    missing = [name for name in (*(f.name for f in sizing.FINDINGS), *sizing.DRAWN) if name not in found]
    if missing:
        raise TypeError(f"{sizing.__name__}.solve does not give {', '.join(missing)}; FINDINGS or DRAWN promises it.")
    wrong = {name: np.shape(value) for name, value in found.items() if np.shape(value) not in ((), (1,), (rows,))}
    if wrong:
        name, shape = next(iter(wrong.items()))
        raise TypeError(f"{sizing.__name__}.solve gives {name} in the shape {shape}; give one number a row, {(rows,)}.")
    return {name: np.broadcast_to(np.asarray(value, dtype=float), (rows,)) for name, value in found.items()}

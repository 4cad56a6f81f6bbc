"""Rows that are alike are worked out once. Of the combinations that a search tries, most move like another one.

Two gear pairs of one ratio and one efficiency move a load alike, however strong or heavy they are.

Contents: once, different.
"""

import numpy as np

FEW = 1000  # rows; a bench's days are fewer and hardly alike, so that looking for kinds would only hold its slider up


def once(work, *parts):
    """Give work(*parts), a dict of columns, worked out only for those rows in which some column of some part differs.

    A part is a dataclass of columns, or one column. `work` sees nothing but its parts, so nothing that it needs
    can be left out of the comparison.
    """
    columns = np.broadcast_arrays(*(np.atleast_1d(column) for part in parts for column in _columns(part)))
    if len(columns[0]) <= FEW:
        return work(*parts)
    rows, place = different(columns)
    short = iter([column[rows] for column in columns])
    found = work(*(_like(part, [next(short) for _ in _columns(part)]) for part in parts))
    return {name: column[place] for name, column in found.items()}


def different(columns):
    """Give one row of each kind, and for every row the place of its kind among them; columns of equal length."""
    varying = [column for column in columns if np.any(column != column[0])] or [columns[0]]
    _, rows, place = np.unique(np.stack(varying, axis=-1), axis=0, return_index=True, return_inverse=True)
    return rows, np.ravel(place)


def _columns(part):
    return list(vars(part).values()) if hasattr(part, "__dict__") else [part]


def _like(part, columns):
    """A part of the same kind with other columns."""
    return type(part)(**dict(zip(vars(part), columns))) if hasattr(part, "__dict__") else columns[0]

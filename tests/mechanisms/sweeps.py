"""Inputs of a sizing in steps, or drawn at random, and the columns of findings that come of them; on a good day."""

import numpy as np

from mechbench.catalog import sizing_of
from mechbench.engine.columns import columns, take
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.spec import Field


def sweep(name, field, steps, others=None, kit=None):
    """Places of one input, and the findings there [steps]: nan where it can't be built.

    A number goes in even steps from its least to its greatest value, a pick through all parts of its table.
    """
    sizing, tables = sizing_of(name), Tables(sizing_of(name), kit)
    asked = sizing.field(field)
    if isinstance(asked, Field):
        places = np.linspace(asked.to_si(asked.low), asked.to_si(asked.high), steps)
    else:
        places = list(asked.options(tables))
    values = complete(sizing, dict(others or {}), tables) | {field: places}
    x = columns(sizing, values, tables)
    return places, findings(sizing, take(x, np.arange(len(places))), len(places))


def drawn(name, count, random, kit=None):
    """Inputs drawn at random, `count` rows: numbers evenly over their ranges, parts from their tables."""
    sizing, tables = sizing_of(name), Tables(sizing_of(name), kit)
    values = {}
    for field in sizing.FIELDS:
        if isinstance(field, Field):
            values[field.name] = random.uniform(field.to_si(field.low), field.to_si(field.high), count)
        else:
            values[field.name] = list(random.choice(field.options(tables), count))
    return sizing, take(columns(sizing, values, tables), np.arange(count))


def setting(name, random, kit=None):
    """One setting of all inputs drawn at random, as values for `sweep`."""
    sizing, tables = sizing_of(name), Tables(sizing_of(name), kit)
    one = {}
    for field in sizing.FIELDS:
        if isinstance(field, Field):
            one[field.name] = float(random.uniform(field.to_si(field.low), field.to_si(field.high)))
        else:
            one[field.name] = str(random.choice(field.options(tables)))
    return one


def findings(sizing, x, rows):
    """Each finding [rows]; nan in rows that can't be built, which are found by halving."""
    try:
        found = sizing.solve(x)
    except ValueError:
        if rows == 1:
            return {finding.name: np.array([np.nan]) for finding in sizing.FINDINGS}
        halves = np.array_split(np.arange(rows), 2)
        parts = [findings(sizing, take(x, half), len(half)) for half in halves]
        return {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}
    return {f.name: np.broadcast_to(np.asarray(found[f.name], dtype=float), (rows,)) for f in sizing.FINDINGS}

"""Inputs of a sizing in steps, or drawn at random, and the columns of findings that come of them; on a good day."""

import numpy as np

from mechbench.catalog import sizing_of
from mechbench.engine.columns import columns, take
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.spec import Field


def sweep(name, field, steps, others=None, kit=None):
    """Places of one input, and the findings there [steps]: nan where it can't be built.

    A number goes in even steps from its least to its greatest value, a pick through all parts of its table, a number of
    a record of the kit ("battery.open_circuit") from 0.8 to 1.1 of itself.
    """
    sizing, tables = sizing_of(name), Tables(sizing_of(name), kit)
    values = complete(sizing, dict(others or {}), tables)
    record, _, column = field.rpartition(".")
    if record:
        x = take(columns(sizing, values, tables), np.zeros(steps, dtype=int))
        places = getattr(getattr(x, record), column) * np.linspace(0.8, 1.1, steps)
        setattr(getattr(x, record), column, places)
        return places, findings(sizing, x, steps)
    asked = sizing.field(field)
    places = list(asked.options(tables)) if not isinstance(asked, Field) else _even(asked, steps)
    x = columns(sizing, values | {field: places}, tables)
    return places, findings(sizing, take(x, np.arange(len(places))), len(places))


def _even(field, steps):
    return np.linspace(field.to_si(field.low), field.to_si(field.high), steps)


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

"""Inputs read and checked: text with units, numbers and names of parts against a sizing's own fields and the kit's
tables.

Contents: COUNTS, Tables, complete, changed.
"""

from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

import numpy as np

from mechbench.engine.opening import opening, plain
from mechbench.engine.pairs import geared_inputs, go_together, paired
from mechbench.engine.spec import Sizing
from mechbench.kits import Kit, Table
from mechbench.kits import kit as kit_in_force

COUNTS = Table(
    "counts",
    ("1", "2", "3", "4"),
    "1",
    {n: n for n in "1234"},
    {"number": np.arange(1.0, 5.0)},
    kinds={"number": "count"},
    help={"number": "how many"},
)


@lru_cache(maxsize=64)
def _made_table(function: Any, digest: str, kit: Kit) -> Table:
    return function(kit)


class Tables:
    """Look-up of tables by name for one sizing: the kit's own, and those that the sizing makes from the kit."""

    def __init__(self, sizing: type[Sizing], kit: Kit | None = None):
        self.sizing, self._given = sizing, kit or kit_in_force()
        self.kit = sizing.kit_for(self._given)

    def instead(self, values: Mapping[str, Any]) -> str:
        """Say what stands in for that which the kit lacks; empty where it lacks nothing."""
        return self.sizing.instead(self._given, values)

    def __call__(self, name: str) -> Table:
        if name == "counts":
            return COUNTS
        if name in self.sizing.TABLES:
            return _made_table(self.sizing.TABLES[name], self.kit.digest, self.kit)
        return self.kit.filled(name)


def complete(sizing: type[Sizing], values: Mapping[str, Any], tables: Tables, opened: bool = True) -> dict[str, Any]:
    """Read text, check every value, fill in what the sizing opens with; unknown names are refused with the nearest one.

    opened=False fills in the plain defaults, whether they work or not.
    """
    for name in values:
        sizing.field(name)
    given = {name: value for name, value in sizing.by_todays_names(values).items() if value is not None}
    read = {one.name: one.read(given[one.name], tables) for one in sizing.FIELDS if one.name in given}
    rest: Mapping[str, Any] = {}
    if len(read) < len(sizing.FIELDS):
        rest = opening(sizing, tables).values if opened else plain(sizing, tables)
    whole = {one.name: read[one.name] if one.name in read else rest[one.name] for one in sizing.FIELDS}
    return sizing.agreed(paired(sizing, whole, tables, read), read, tables)


def changed(
    sizing: type[Sizing],
    values: Mapping[str, Any],
    read: Mapping[str, Any],
    tables: Tables,
    fixed: Iterable[str] = (),
) -> dict[str, Any]:
    """Whole values with some of them changed, which were read before: a motor takes its gears with it, where those that
    were chosen do not go with it. What is fixed stays.
    """
    whole = {**values, **read}
    inputs = geared_inputs(sizing)
    if inputs is None or inputs[0] not in read or go_together(sizing, whole, tables):
        return paired(sizing, whole, tables, whole)
    usual = opening(sizing, tables).values[inputs[1]]
    return paired(sizing, whole, tables, {inputs[0], *read, *fixed}, usual)

"""Inputs read and checked: text with units, numbers and names of parts against a sizing's own fields and the kit's
tables.

Contents: COUNTS, Tables, complete.
"""

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import numpy as np

from mechbench.engine.opening import opening, paired, plain
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
        self.sizing, self.kit = sizing, kit or kit_in_force()

    def __call__(self, name: str) -> Table:
        if name == "counts":
            return COUNTS
        if name in self.sizing.TABLES:
            return _made_table(self.sizing.TABLES[name], self.kit.digest, self.kit)
        return self.kit.table(name)


def complete(sizing: type[Sizing], values: Mapping[str, Any], tables: Tables, opened: bool = True) -> dict[str, Any]:
    """Read text, check every value, fill in what the sizing opens with; unknown names are refused with the nearest one.

    opened=False fills in the plain defaults, whether they work or not.
    """
    for name in values:
        sizing.field(name)
    given = {name: value for name, value in values.items() if value is not None}
    read = {one.name: one.read(given[one.name], tables) for one in sizing.FIELDS if one.name in given}
    if len(read) == len(sizing.FIELDS):
        return read
    rest = opening(sizing, tables).values if opened else plain(sizing, tables)
    return paired(sizing, {one.name: read.get(one.name, rest[one.name]) for one in sizing.FIELDS}, tables, read)

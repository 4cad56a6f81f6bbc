"""Inputs read and checked: text with units, numbers and names of parts against a sizing's own fields and the kit's
tables.

Contents: COUNTS, Tables, complete.
"""

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import numpy as np

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
        return self.kit.filled(name)


def complete(sizing: type[Sizing], values: Mapping[str, Any], tables: Tables) -> dict[str, Any]:
    """Fill defaults, read text, check every value; refuse unknown names with the nearest right one."""
    for name in values:
        sizing.field(name)
    whole: dict[str, Any] = {}
    for field in sizing.FIELDS:
        given = values.get(field.name)
        whole[field.name] = field.first(tables) if given is None else field.read(given, tables)
    return whole

"""Inputs read and checked: text with units, numbers and names of parts against a sizing's own fields and the kit's
tables.

Contents: COUNTS, Tables, complete, changed, that_fit, geared_inputs (which of its inputs are a motor and
its gearbox).
"""

from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

import numpy as np

from mechbench.engine.spec import Pick, Sizing
from mechbench.kits import Kit, Table, pairing
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


def complete(sizing: type[Sizing], values: Mapping[str, Any], tables: Tables) -> dict[str, Any]:
    """Fill defaults, read text, check every value; refuse unknown names with the nearest right one."""
    for name in values:
        sizing.field(name)
    whole: dict[str, Any] = {}
    for field in sizing.FIELDS:
        given = values.get(field.name)
        whole[field.name] = field.first(tables) if given is None else field.read(given, tables)
    return _paired(sizing, whole, {name for name, given in values.items() if given is not None}, tables)


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
    if inputs is None or inputs[0] not in read or _go_together(inputs, whole, tables):
        return _paired(sizing, whole, set(whole), tables)
    return _paired(sizing, whole, {inputs[0], *read, *fixed}, tables)


def geared_inputs(sizing: type[Sizing]) -> tuple[str, str] | None:
    """Names of the inputs that pick a motor and the gearbox behind it; None where a sizing has not both."""
    picked = {f.table: f.name for f in sizing.FIELDS if isinstance(f, Pick)}
    return (picked["motors"], picked["gearboxes"]) if {"motors", "gearboxes"} <= set(picked) else None


def that_fit(sizing: type[Sizing], values: Mapping[str, Any], field: Pick, tables: Any) -> tuple[str, ...]:
    """Names of the parts that can be chosen for one input while the others stay; gears follow their motor."""
    names, inputs = field.options(tables), geared_inputs(sizing)
    if inputs is None or field.name != inputs[1]:
        return names
    return tuple(name for name in names if _go_together(inputs, {**values, field.name: name}, tables))


def _go_together(inputs: tuple[str, str], whole: Mapping[str, Any], tables: Any) -> bool:
    return pairing.go_together(tables("motors"), whole[inputs[0]], tables("gearboxes"), whole[inputs[1]])


def _paired(sizing: type[Sizing], whole: dict[str, Any], given: set[str], tables: Tables) -> dict[str, Any]:
    """Whole values in which motor and gearbox go together: what was not given follows what was; ValueError where both
    were.
    """
    inputs = geared_inputs(sizing)
    if inputs is None or _go_together(inputs, whole, tables):
        return whole
    motors, boxes, (motor, box) = tables("motors"), tables("gearboxes"), inputs
    if box not in given:
        usual = str(sizing.field(box).first(tables))
        whole[box] = pairing.gears_for(motors, whole[motor], boxes, usual)
    elif motor not in given:
        whole[motor] = pairing.motor_for(motors, whole[motor], boxes, whole[box])
    if not _go_together(inputs, whole, tables):
        raise ValueError(pairing.wrong_pair(motors, whole[motor], boxes, whole[box]))
    return whole

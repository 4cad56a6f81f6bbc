"""Inputs read and checked: text with units, numbers and names of parts against a sizing's own fields and the kit's
tables.

A part may be given by its figures ("92 mm"): then these tables alone have it. So may the battery and the fuse, which
are no inputs, where the sizing's sums use them.

Contents: COUNTS, Tables, Supply, supplies (battery and fuse, where they may be given), complete, changed.
"""

from collections.abc import Iterable, Mapping
from copy import copy
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np

from mechbench.engine.opening import opening, plain
from mechbench.engine.pairs import geared_inputs, go_together, paired
from mechbench.engine.spec import Pick, Sizing
from mechbench.kits import Kit, Table, by_figures
from mechbench.kits import kit as kit_in_force
from mechbench.wording import quoted

if TYPE_CHECKING:  # it is loaded where a part is given by its figures
    from mechbench.kits.own_rows import Own

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
        self._own: dict[tuple[str, str], Own] = {}

    @property
    def plain(self) -> "Tables":
        """These tables without what was given by figures."""
        return self if self.kit is self.kit.plain else Tables(self.sizing, self.kit.plain)

    def fresh(self) -> "Tables":
        """New ones with the same kit, without what was given by figures: what they are given changes these nowhere."""
        return Tables(self.sizing, self._given)

    def apart(self) -> "Tables":
        """The same again, with what was given by figures: what either is given later changes the other one nowhere."""
        other = Tables(self.sizing, self._given)
        other.kit, other._own = self.kit, dict(self._own)
        return other

    @property
    def recorded(self) -> dict[str, float]:
        """Figures that ranges must reach, as parts that were given by figures ask."""
        return {} if self.kit is self.kit.plain else self.sizing.reach(self)

    @property
    def said(self) -> list[str]:
        """What was taken from which part of the kit, a sentence for each part that was given by figures."""
        told = dict.fromkeys(own.said for own in self._own.values())
        return [one for one in told if not any(more != one and more.startswith(one) for more in told)]

    @property
    def first(self) -> list[str]:
        """How figures were read that may mean another thing, in sentences that come before an answer."""
        return list(dict.fromkeys(told for own in self._own.values() for told in own.first))

    def own_of(self, values: Mapping[str, Any]) -> "dict[str, Own]":
        """Inputs that have, in these values, a part that was given by figures; battery and fuse always."""
        return {
            name: own
            for (name, part), own in self._own.items()
            if name in by_figures.RECORDS or values.get(name) == part
        }

    def reads_figures(self, table: str, given: Any) -> bool:
        """Whether what was given for a part of a table may be figures."""
        return by_figures.looks_like(table, given, self.kit.plain)

    def one_by_one(self, table: str, text: str) -> list[str]:
        """The parts of a list with commas between, in which the figures of one part stay together."""
        return by_figures.one_by_one(table, text, self.kit.plain, self(table).names)

    def add(self, name: str, text: Any) -> str:
        """Take a part by its figures, "92 mm" for the input "wheel", or another battery or fuse; give the part's name.

        ValueError says in a sentence what can't be read, or can't be.
        """
        if name in by_figures.RECORDS and not _is_input(self.sizing, name):
            return self._add_record(name, text)
        field = self.sizing.field(name)
        if not isinstance(field, Pick) or field.table not in by_figures.WAYS:
            raise ValueError(f"{name} is {quoted(text)}, but nothing of it can be given by figures; name a part.")
        from mechbench.kits.own_rows import own_part

        return self._keep(field.name, own_part(self.kit, field.table, text, field.name))

    def _add_record(self, name: str, text: Any) -> str:
        if name not in self.sizing.RECORDS:
            raise ValueError(f"{name} is given, but no sum of {self.sizing.NAME} needs the {name}; leave it out.")
        from mechbench.kits.own_rows import own_record

        own = own_record(self.kit, name, text)
        self._own = {key: one for key, one in self._own.items() if key[0] != name}
        return self._keep(name, own)

    def behind(self, motor: str, name: str, pair: str) -> str:
        """Put two wheels that were given by their teeth, for the input `name`, behind a motor that has gears; give the
        name of the gearbox that both are.
        """
        from mechbench.kits.own_rows import own_pair_behind

        return self._keep(name, own_pair_behind(self.kit, motor, self._own[name, pair]))

    def _keep(self, name: str, own: "Own") -> str:
        self.kit = own.kit
        self._own[name, own.name] = own
        return own.name

    def instead(self, values: Mapping[str, Any]) -> str:
        """Say what stands in for that which the kit lacks; empty where it lacks nothing."""
        return self.sizing.instead(self._given, values)

    def __call__(self, name: str) -> Table:
        if name == "counts":
            return COUNTS
        if name in self.sizing.TABLES:
            return _made_table(self.sizing.TABLES[name], self.kit.digest, self.kit)
        return self.kit.filled(name)


@dataclass(frozen=True)
class Supply:
    """Battery or fuse, which every sizing has from the kit: no input, but it may be given by figures all the same."""

    name: str
    label: str
    help: str
    also: tuple[str, ...] = ()

    def at(self, tables: Any = None) -> "Supply":
        """The same: it has no range that follows a kit."""
        return self

    def read(self, given: str, tables: Tables) -> str:
        """Take the figures; give them as they can be typed again."""
        return tables.add(self.name, given)

    def read_apart(self, given: str, tables: Tables) -> str:
        """The same, without putting them into these tables."""
        return self.read(given, copy(tables))


def supplies(sizing: type[Sizing]) -> tuple[Supply, ...]:
    """Battery and fuse, those that the sizing's sums use."""
    names = [name for name in by_figures.RECORDS if name in sizing.RECORDS and not _is_input(sizing, name)]
    return tuple(Supply(name, name.capitalize(), f"another {name} than the kit's") for name in names)


def _is_input(sizing: type[Sizing], name: str) -> bool:
    return any(one.name == name for one in sizing.FIELDS)


def _without_supplies(sizing: type[Sizing], values: Mapping[str, Any], tables: Tables) -> dict[str, Any]:
    """The values of inputs; a battery or fuse among the others goes into the tables."""
    left = dict(values)
    for name in by_figures.RECORDS:
        if name in left and not _is_input(sizing, name) and (given := left.pop(name)) is not None:
            tables.add(name, given)
    return left


def complete(sizing: type[Sizing], values: Mapping[str, Any], tables: Tables, opened: bool = True) -> dict[str, Any]:
    """Read text, check every value, fill in what the sizing opens with; unknown names are refused with the nearest one.

    opened=False fills in the plain defaults, whether they work or not and whatever is given, as a robot's plan takes
    them. What is not given does not follow a part that
    was given by figures: it is as with the kit alone. battery="2.8 A·h" and fuse="15 A" are taken, too, where the
    sizing's sums use them.
    """
    values = _without_supplies(sizing, values, tables)
    for name in values:
        sizing.field(name)
    given = {name: value for name, value in sizing.by_todays_names(values).items() if value is not None}
    # Parts first: one that is given by its figures may widen the range of a number.
    order = sorted(sizing.FIELDS, key=lambda one: not isinstance(one, Pick))
    read = {one.name: one.read(given[one.name], tables) for one in order if one.name in given}
    rest: Mapping[str, Any] = {}
    if len(read) < len(sizing.FIELDS):
        rest = opening(sizing, tables).values if opened else plain(sizing, getattr(tables, "plain", tables))
    whole = {one.name: read[one.name] if one.name in read else rest[one.name] for one in sizing.FIELDS}
    whole = paired(sizing, whole, tables, read)
    return sizing.agreed(whole, read, tables) if opened else whole


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

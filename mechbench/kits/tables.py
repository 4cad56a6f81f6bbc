"""What a kit is once it has been read: tables of parts, records, spreads and the kit itself. SI floats inside.

Contents: Table, Record, Spread, Kit.
"""

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

import numpy as np

from mechbench.kits.faults import KitError, nearest, shown


@dataclass(frozen=True)
class Spread:
    """How far a number may be from what the kit says on a good or a bad day.

    On a day with s, from `low` to `high`, a value v is v (1 + s) where `kind` is "relative", and v + s, in SI units,
    where it is "absolute". Both ends are alike where every day but a good one is as bad as it may be.
    """

    kind: str
    low: float
    high: float


class Record:
    """Named values that are read as attributes, such as `kit().battery.resistance`; it cannot be changed."""

    def __init__(self, name, values):
        self.__dict__["_name"] = name
        self.__dict__["_values"] = MappingProxyType(dict(values))

    def __getattr__(self, key):
        if key.startswith("_"):
            raise AttributeError(key)
        try:
            return self._values[key]
        except KeyError:
            raise AttributeError(f"{self._name} has no {key}; {nearest(key, self._values)}") from None

    def __setattr__(self, key, value):
        raise AttributeError(f"{self._name}.{key} cannot be changed here; change it in the kit's file.")

    def __dir__(self):
        return [*super().__dir__(), *self._values]

    def __iter__(self):
        return iter(self._values)

    def __repr__(self):
        return f"Record({self._name}: {', '.join(self._values)})"


class Table:
    """The parts of one kind: one float array for each column (SI units), one value for each part.

    Attributes
    ----------
    name : the table's name, such as "motors"
    names : the parts' names, in the order of the file
    usual : name of the part that a lesson shows first
    labels : part name -> the name that people read
    columns : column -> read-only float64 array
    texts : column -> tuple of texts
    kinds : column -> its kind of quantity, or "number"; none for tables that a sizing makes
    help : column -> one line that says what it is
    assumed : part name -> column -> (lowest, highest) share of the number, for numbers that no label gives; only parts
        with such numbers. Without a band, a number that nobody gives and no rule tells is nan.
    have : part name -> how many of them the team has; only parts of which the kit says so
    """

    def __init__(self, name, names, usual, labels, columns, texts=(), kinds=(), help=(), assumed=(), have=()):
        self.name = name
        self.names = tuple(names)
        self.usual = usual
        self.labels = MappingProxyType(dict(labels))
        self.columns = MappingProxyType({key: _locked(values) for key, values in columns.items()})
        self.texts = MappingProxyType({key: tuple(values) for key, values in dict(texts).items()})
        self.kinds = MappingProxyType(dict(kinds))
        self.help = MappingProxyType(dict(help))
        self.have = MappingProxyType(dict(have))
        self.assumed = MappingProxyType(
            {
                part: MappingProxyType(dict(bands))
                for part, bands in dict(assumed).items()
                if part in self.names and bands
            }
        )

    def __len__(self) -> int:
        return len(self.names)

    def __repr__(self):
        return f"Table({self.name}: {', '.join(self.names[:6])}{' ...' if len(self) > 6 else ''})"

    def index(self, name: str) -> int:
        """Give the place of a part in every column, 0 for the first one."""
        try:
            return self.names.index(name)
        except ValueError:
            raise KitError(
                f"The kit's table {self.name} has no part {shown(name)}; {nearest(name, self.names)}"
            ) from None

    def row(self, name: str) -> dict[str, float]:
        """Give the numbers of one part: column -> float."""
        place = self.index(name)
        return {key: float(values[place]) for key, values in self.columns.items()}

    def joined(self, other: "Table") -> "Table":
        """Give this table with the parts of another one of the same columns behind its own."""
        columns = {key: np.r_[values, other.columns[key]] for key, values in self.columns.items()}
        return Table(
            self.name,
            (*self.names, *other.names),
            self.usual or other.usual,
            {**self.labels, **other.labels},
            columns,
            {key: (*texts, *other.texts[key]) for key, texts in self.texts.items()},
            self.kinds,
            self.help,
            {**self.assumed, **other.assumed},
            {**self.have, **other.have},
        )

    def closest(self, column: str, value: float) -> str:
        """Name the part whose number in column is closest to value, the first of equals; never a gearmotor's own gears,
        which nobody can choose for another motor.
        """
        if column not in self.columns:
            raise KitError(
                f"The kit's table {self.name} has no column {shown(column)}; {nearest(column, self.columns)}"
            )
        off = np.abs(self.columns[column] - value)
        own = self.columns["built_in"] == 1 if "built_in" in self.columns else np.zeros(len(self), dtype=bool)
        return self.names[int(np.argmin(off if own.all() else np.where(own, np.inf, off)))]


def _locked(values):
    array = np.array(values, dtype=float)
    array.flags.writeable = False
    return array


@dataclass(frozen=True, eq=False, repr=False)
class Kit:
    """All that a folder of kit files says, in SI units.

    Attributes
    ----------
    name : the kit's name, as people read it
    digest : 12 hexadecimal digits that change when a name or a number in the files changes, not with labels or comments
    folder : where the files are
    game : record of the game: `game.field.width`, `game.goals["low"].height` ... (see game.py)
    roles : what the game's entries are, for whoever must not name one: `roles.piece.mass` (see roles.py)
    battery, fuse, controller, servo_rail : records of the electricity
    robots : whole robots, as Plans; none where the folder has no robots.toml
    notes : sentences about what is odd in the files
    borrowed : names of the tables of parts that are the course's own, for the kit has none
    without : names of the tables of which it says that the team has nothing
    added : what was added to it for one sizing alone, part by part (own_rows.py); nothing in a kit as its files say
    """

    name: str
    digest: str
    folder: str
    game: Record
    roles: Record
    battery: Record
    fuse: Record
    controller: Record
    servo_rail: Record
    robots: tuple
    notes: tuple
    borrowed: tuple
    _tables: dict
    _spreads: dict
    without: tuple = ()
    _own_tables: Callable[[], dict] = dict  # gives the course's own, of what a team may be without: seldom asked for
    added: tuple = ()
    _plain: "Kit | None" = None

    def __repr__(self):
        return f"Kit({self.name}, {self.digest})"

    @property
    def plain(self) -> "Kit":
        """The kit as its files say, without what was added."""
        return self._plain or self

    def with_more(self, what: str, rows: Mapping[str, Table] = MappingProxyType({}), spreads: Any = (), **more: Any):
        """Give the kit with one more thing, such as "wheel: 92mm": rows of its tables, or other records and spreads.

        What was added before for the same record goes.
        """
        added = tuple(sorted({*(one for one in self.added if one.split(" ")[0] not in more), what}))
        tables = {name: self._tables[name].joined(row) for name, row in rows.items()}
        mark = hashlib.sha256("\n".join(added).encode("utf-8")).hexdigest()[:6]
        return replace(
            self,
            digest=f"{self.plain.digest}+{mark}",
            added=added,
            _tables={**self._tables, **tables},
            _spreads={**self._spreads, **dict(spreads)},
            _plain=self.plain,
            **more,
        )

    def table(self, name: str) -> Table:
        """Give the table of parts with this name, such as "motors"."""
        return self._named(self._tables, name, "table")

    def filled(self, name: str) -> Table:
        """Give the table with this name; the course's own where the team has none of these parts, for a sizing has to
        show something: its labels say so. What was added for one sizing comes after them.
        """
        table = self.table(name)
        if len(self.plain.table(name)):
            return table
        return self.own_table(name).joined(table) if len(table) else self.own_table(name)

    def own_table(self, name: str) -> Table:
        """Give the course's own table with this name, one of those that a team may be without."""
        return self._named(self._own_tables(), name, "table of the course's own")

    def tables(self) -> tuple[str, ...]:
        """Give the names of all tables of parts."""
        return tuple(self._tables)

    def spread(self, name: str) -> Spread:
        """Give the spread with this name: mass, friction, efficiency, fuse, one of the battery's or a human step's."""
        return self._named(self._spreads, name, "spread")

    def spreads(self) -> tuple[str, ...]:
        """Give the names of all spreads."""
        return tuple(self._spreads)

    def friction(self, name: str) -> float:
        """Give the coefficient of friction of the pair with this name, such as "slide_rail"."""
        return self.table("friction").row(name)["value"]

    def _named(self, known, name, what):
        try:
            return known[name]
        except (KeyError, TypeError):
            raise KitError(f"The kit has no {what} {shown(name)}; {nearest(name, known)}") from None

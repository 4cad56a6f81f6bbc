"""What a sizing is: its inputs, its findings, and one pure function between them.

Contents: Field, Pick; in_game (of what a game has); Nearest (a part by a figure); two_digits; Finding, Need, Lump,
Sizing; RUNAWAY; DRIVES, RAISES, HANGS, TAKES, HOLDS (what a mechanism does for a whole robot).

Everything that a face needs (slider, command, record, search) is read from here, without solving: name, label, unit,
range, default, help.

A sizing is a subclass of Sizing with tables at class level and a static `solve(x)`. Inside `solve` every input is a
column of plain SI numbers, one value a row: `x.load_torque` for a field, `x.motor.resistance` for a pick's column.
"""

import math
import operator
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from numbers import Integral, Real
from types import SimpleNamespace
from typing import Any, ClassVar, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from mechbench import quantity
from mechbench.kits.borrowed import SUFFIX
from mechbench.wording import nearest, quoted

JOB, CHOICE = "job", "choice"
DRIVES, RAISES, HANGS = "drives", "raises", "hangs"
TAKES, HOLDS = "takes", "holds"
# Inputs inside `solve`, and what it finds: every value a column, one row a case.
Columns = SimpleNamespace
Findings = dict[str, NDArray[np.float64]]
# What `solve` may give besides, for the words of a report: the braking current that would stop a move that can't be
# braked in time, 0 where it can, and from which share of its way on.
RUNAWAY = "stop_current", "stop_from"
NEXT = 0.99  # up to the next whole number, for what is counted
SAME = 1e-6  # of a bound: what is nearer to it equals it
MOST = 1e30  # so that no number is near to a bound without end


@dataclass(frozen=True)
class Field:
    """A number that is given. Range and default are in `unit`, the unit that people see.

    group is JOB ("the job asks") or CHOICE ("you choose"); more=True hides it behind "more" at first.
    follows is a function of a kit that gives the default of its game in SI ("the piece's width"); where it gives None,
    the game lacks that, and `default` stands. A game's figure outside the range widens it, to half or double the
    figure; a figure of 0, or of the wrong sign, is taken to the nearer end of the range instead.
    about is a function of a kit that says whether its game has what the field is about: where it has not, a bench has
    no slider for it, and the command does not list it.
    also: other words that people type for it, as they are typed in one word: "weight", "height".
    ends: "low", "high", "both" or "none": at which ends of the range the number itself ends, so that beyond them it
    means nothing; where it is "", it ends at 0, and a share at 100 %. The other ends are those of this range alone.
    """

    name: str
    label: str
    unit: str
    low: float
    high: float
    default: float
    help: str
    group: str = CHOICE
    more: bool = False
    step: float | None = None
    follows: Callable[[Any], float | None] | None = None
    about: Callable[[Any], bool] | None = None
    also: tuple[str, ...] = ()
    ends: str = ""

    def at(self, tables: Any = None) -> "Field":
        """The same field with default and range as they are with the kit of these tables.

        Tables of a record name the `whole_kit` that is in force, and the `recorded` values of another kit, by name:
        what was inside the range then is inside now. Those with parts that were given by figures name what these reach.
        """
        if self.follows is None:
            return self
        here = self._following(getattr(tables, "whole_kit", None) or getattr(tables, "kit", None))
        value = getattr(tables, "recorded", {}).get(self.name)
        if value is None or not math.isfinite(value):
            return here
        shown = quantity.from_si(value, self.unit)
        return replace(here, low=min(here.low, shown), high=max(here.high, shown))

    def _following(self, kit: Any) -> "Field":
        """Default and range with a whole kit; without one they stay."""
        whole = getattr(kit, "roles", None) is not None and hasattr(kit, "table")
        figure = self.follows(kit) if whole and self.follows is not None else None
        if figure is None:
            return self
        default = float(f"{quantity.from_si(figure, self.unit):.10g}")
        low = two_digits(default / 2, math.floor) if 0 < default < self.low else self.low
        high = two_digits(default * 2, math.ceil) if default > self.high > 0 else self.high
        return replace(self, default=min(max(default, low), high), low=low, high=high)

    def first(self, tables: Any = None) -> float:
        """The default, in SI."""
        return self.to_si(self.at(tables).default)

    def to_si(self, number: float) -> float:
        """Turn a number in the shown unit into SI."""
        return quantity.to_si(number, self.unit)

    def read(self, given: str | float, tables: Any = None) -> float:
        """Turn text with a unit, or a plain SI number, into SI; refuse what lies outside the range."""
        here = self.at(tables)
        low, high = self.to_si(here.low), self.to_si(here.high)
        if isinstance(given, str):
            value = quantity.read(given, quantity.kind_of(self.unit)).value
        elif isinstance(given, Real) and not isinstance(given, bool) and not math.isnan(given):
            value = float(given)
        else:
            raise ValueError(
                f"{self.name} is {quoted(given)}, but it must be one number from {quantity.show(low, self.unit)} to "
                f"{quantity.show(high, self.unit)}; choose a value in that range."
            )
        slack = 1e-5 * max(abs(low), abs(high))  # a bound that was written in another unit is rounded
        if not low - slack <= value <= high + slack:
            raise ValueError(
                f"{self.name} is {quantity.show(value, self.unit)}, but it must be from "
                f"{quantity.show(low, self.unit)} to {quantity.show(high, self.unit)}{here._ended(value > high)};"
                " choose a value in that range."
            )
        return min(max(value, low), high)

    def _ended(self, above: bool) -> str:
        """What ends at the higher end of the range (or the lower one): the number itself, or only this range."""
        by_itself = (self.unit == "%" and self.high == 100) if above else self.low == 0
        if self.ends:
            by_itself = self.ends in ("both", "high" if above else "low")
        if by_itself:
            return f" ({'above' if above else 'below'} that it means nothing)"
        return f" ({'larger' if above else 'smaller'} values exist, but are not calculated here)"


def two_digits(number: float, way: Callable[[float], int]) -> float:
    """A number above 0 to two digits, up or down (math.ceil, math.floor); what has two digits stays."""
    place = 10.0 ** (math.floor(math.log10(number)) - 1)
    return float(f"{way(number / place * (1 - 1e-12 if way is math.ceil else 1 + 1e-12)) * place:.10g}")


@dataclass(frozen=True)
class Nearest:
    """The part whose number in a column is nearest to a figure, the first of equals; in SI, or a function of the kit.

    Ratios are compared as ratios (log=True): 32 is as near to 64 as 128 is.
    """

    column: str
    figure: float | Callable[[Any], float]
    log: bool = False

    def __call__(self, table: Any, tables: Any) -> str | None:
        """The part's name, with the kit of these tables; None in a table without parts or that column."""
        return self.of(table, getattr(tables, "kit", None))

    def of(self, table: Any, kit: Any) -> str | None:
        """The same with a kit."""
        if not len(table) or self.column not in table.columns or (callable(self.figure) and kit is None):
            return None
        figure = self.figure(kit) if callable(self.figure) else self.figure
        return table.names[int(np.argmin(self.away(table.columns[self.column], figure)))]

    def away(self, values: NDArray[np.float64], figure: float) -> NDArray[np.float64]:
        """How far each value is from the figure."""
        if not self.log:
            return np.where(values == figure, 0.0, np.abs(values - figure))
        sure = np.where(values > 0, values, 1.0)
        return np.where(values > 0, np.abs(np.log(sure / figure)), np.inf)


@dataclass(frozen=True)
class Pick:
    """A part that is chosen by name from a table of the kit; its numbers become columns.

    The default is None for what the table says is usual, or a function of the table and of all tables: the part that is
    nearest to a figure (Nearest), or what a role of the game asks for. A name may be given only of a table that the
    sizing makes itself ("none", "cascade"): parts have other names in another kit.
    """

    name: str
    label: str
    table: str
    default: str | Callable[[Any, Any], str | None] | None
    help: str
    group: str = CHOICE
    more: bool = False
    about: Callable[[Any], bool] | None = None  # as that of a Field
    also: tuple[str, ...] = ()  # as that of a Field

    def at(self, tables: Any = None) -> "Pick":
        """The same pick: a table has its parts, whatever the kit."""
        return self

    def options(self, tables: Callable[[str], Any]) -> tuple[str, ...]:
        """Names of the parts that can be chosen."""
        return tables(self.table).names

    def read(self, given: str, tables: Callable[[str], Any]) -> str:
        """Check a part's name against the kit; the name "2" may be given as the number 2.

        Tables that `add` parts take figures, too: "92 mm".
        """
        names = self.options(tables)
        named = str(given) if isinstance(given, (str, Integral)) and not isinstance(given, bool) else ""
        if named in names:
            return named
        if labelled := self.labelled(named, tables):
            return labelled
        reads, add = getattr(tables, "reads_figures", None), getattr(tables, "add", None)
        if reads and add and reads(self.table, given):
            return str(add(self.name, given))
        raise ValueError(f"{self.name} is {quoted(given)}, which the kit does not have; {nearest(given, names)}")

    def labelled(self, given: str, tables: Callable[[str], Any]) -> str:
        """The part of that label, whatever its case and blanks; "" where none has it, or more than one. For a blank an
        underscore or a comma may stand, as a command line likes it; whose part it is may be left out.
        """
        asked = _squeezed(given)
        labels = getattr(tables(self.table), "labels", {})
        readings = lambda label: {_squeezed(label), _squeezed(label.replace(SUFFIX, ""))}
        meant = [name for name in self.options(tables) if asked and asked in readings(labels.get(name, ""))]
        return meant[0] if len(meant) == 1 else ""

    def first(self, tables: Callable[[str], Any]) -> str:
        """The part shown first: the default, or the table's usual part where there is none."""
        table = tables(self.table)
        chosen = self.default(table, tables) if callable(self.default) else self.default
        return chosen if chosen is not None and chosen in table.names else str(table.usual)


def _squeezed(label: str) -> str:
    """A label in small letters, without blanks and what may stand for one on a command line; a decimal comma stays."""
    return re.sub(r"[\s_]|(?<!\d),|,(?!\d)", "", label.lower())


def in_game(fields: Iterable[Field | Pick], kit: Any) -> list[Field | Pick]:
    """Those inputs that are about what the game of a kit has."""
    return [one for one in fields if one.about is None or one.about(kit)]


@dataclass(frozen=True)
class Finding:
    """A number that is found, and what is asked of it.

    sense is "at least", "at most" or "" (for information); bound is a number in `unit` or the name of a column.
    worse is for what nothing is asked of: "more" or "less" is worse on a bad day; where it is "", both ends are shown.
    scale (in `unit`) is the size that counts as "a lot" where the bound is 0, so that a margin can be told in per cent.
    counted is for whole numbers that are known surely, such as motors: exactly the bound is not "nearly too many".
    held is for what stands at the bound by itself, such as a current that a controller holds: met is enough to spare.
    effect is for what follows from other findings, such as points: where one of these fails too, that one is named.
    lacks is said in place of a number without end, where the kit may lack what it takes to know it.
    lasts is the column of a record that says for how long the number must last to count, 0 at once.
    also: other words that people type for it, as those of a Field.
    """

    name: str
    label: str
    unit: str
    help: str
    sense: str = ""
    bound: float | str = 0.0
    scale: float | None = None
    digits: int = 3  # that are shown
    counted: bool = False
    held: bool = False
    worse: str = ""
    effect: bool = False
    lacks: str = ""
    lasts: str = ""
    also: tuple[str, ...] = ()

    @property
    def worse_way(self) -> str:
        """Whether "more" or "less" of it is worse; "" where neither is."""
        return {"at most": "more", "at least": "less"}.get(self.sense, self.worse)

    def bound_si(self, x: Columns) -> Any:
        """The bound in SI: a number, or the column of a field ("time_wanted") or record ("controller.output_limit")."""
        if isinstance(self.bound, str):
            return operator.attrgetter(self.bound)(x)
        return quantity.to_si(self.bound, self.unit)

    def size(self, bound: ArrayLike) -> Any:
        """What counts as "a lot", in SI: the bound itself, or `scale`."""
        bound = np.asarray(bound, dtype=float)
        if self.scale is not None:
            return quantity.to_si(self.scale, self.unit)
        return np.where((bound == 0) | ~np.isfinite(bound), 1.0, np.abs(bound))

    def room(self, value: ArrayLike, bound: ArrayLike) -> NDArray[np.float64]:
        """How far a value in SI is inside a bound, below 0 where it misses: nothing else compares the two.

        What equals its bound but for rounding meets it, so that the last digits of a computed number decide nothing.
        """
        value, bound = np.asarray(value, dtype=float), np.asarray(bound, dtype=float)
        inside = (value - bound) * (1.0 if self.sense == "at least" else -1.0)
        same = np.abs(inside) <= SAME * np.where(bound == 0, self.size(bound), np.minimum(np.abs(bound), MOST))
        return np.where(same, 0.0, inside)

    def margin(self, value: ArrayLike, x: Columns) -> NDArray[np.float64]:
        """How far inside the bound, as a share of it: 0.1 is 10 % to spare, below 0 is not enough."""
        bound = self.bound_si(x)
        room = self.room(value, bound)
        if self.held:
            return np.where(room >= 0, 1.0, room / self.size(bound))
        return (room + NEXT * (room > -NEXT) if self.counted else room) / self.size(bound)


@dataclass(frozen=True)
class Need:
    """What a whole robot needs of a finding, to be able to do something: TAKES, HOLDS, RAISES, HANGS or DRIVES.

    The chance that it can is 0 at `least` and below (for "at most": above), 1 from `full` on, and grows evenly between:
    an assumption. Both are in the finding's unit, or a function of the columns of inputs that gives them in SI; None is
    the finding's own bound. Where both are the same, it can or it can't.
    """

    does: str
    finding: str
    least: float | Callable[[Columns], Any] | None = None
    full: float | Callable[[Columns], Any] | None = None

    def chance(self, finding: Finding, value: ArrayLike, x: Columns) -> NDArray[np.float64]:
        """The chance that it can, 0 to 1, by the value of the finding in SI."""
        least, full = (self.end(end, finding, x) for end in (self.least, self.full))
        least = np.minimum(least, full) if finding.sense == "at least" else np.maximum(least, full)
        way = np.where(full == least, 1.0, full - least)
        grown = np.where(full == least, 0.0, np.clip((np.asarray(value, dtype=float) - least) / way, 0.0, 1.0))
        return np.where(finding.room(value, full) >= 0, 1.0, grown)

    @staticmethod
    def end(end: Any, finding: Finding, x: Columns) -> NDArray[np.float64]:
        """`least` or `full` in SI."""
        given = finding.bound_si(x) if end is None else end(x) if callable(end) else quantity.to_si(end, finding.unit)
        return np.asarray(given, dtype=float)


class Lump(NamedTuple):
    """A part that a mechanism brings to a whole robot: its mass, its middle (ahead, left, up, from the mounting place)
    and the box around it (along, across, up; None: a block as heavy as motors are for their size).

    made_of: the inputs that give the mass, none where the kit's parts give it; holds: the pieces are held here.
    place_off: standard deviation of the middle where the mounting place is known.
    """

    name: str
    mass: float
    at: tuple[float, float, float] = (0.0, 0.0, 0.0)
    size: tuple[float, float, float] | None = None
    made_of: tuple[str, ...] = ()
    holds: bool = False
    place_off: float = 0.0


class Sizing:
    """Base of all sizings. A subclass gives the tables and `solve`."""

    NAME: ClassVar[str] = ""  # on the command line and in a notebook
    ALSO: ClassVar[tuple[str, ...]] = ()  # other words that people type for it: "rope", "hoist"
    VERSION: ClassVar[int] = 1  # goes up when a field or a finding changes
    TITLE: ClassVar[str] = ""  # what people read
    QUESTION: ClassVar[str] = ""  # the question it answers, as a learner would ask it
    FIELDS: ClassVar[tuple[Field | Pick, ...]] = ()  # Field and Pick, in the order shown
    FORMERLY: ClassVar[Mapping[str, str]] = {}  # name that an input had in an older edition -> its name
    FINDINGS: ClassVar[tuple[Finding, ...]] = ()  # Finding, in the order shown
    SPREADS: ClassVar[
        Mapping[str, str]
    ] = {}  # column ("load_torque", "battery.resistance") -> name of a spread in the kit
    RANK: ClassVar[tuple[str, ...]] = ()  # names of findings to make small, for search; "-name" to make large
    USES: ClassVar[
        tuple[Callable[..., Any], ...]
    ] = ()  # physics functions whose equations and sources belong in the record
    DRAWN: ClassVar[tuple[str, ...]] = ()  # what `solve` gives besides, for the picture alone
    RECORDS: ClassVar[
        tuple[str, ...]
    ] = ()  # records of the kit whose numbers are columns too: "battery"; "roles.match" is x.match
    TABLES: ClassVar[
        Mapping[str, Callable[[Any], Any]]
    ] = {}  # name of a table that is made from the kit -> function of the kit
    # It is built from the whole kit, so that a record can't hold its parts: opened again, it takes the kit in force.
    WHOLE_KIT: ClassVar[bool] = False
    # For the search: at_best(x) gives some of the findings, without moving anything, each at least as good as solve's.
    at_best: ClassVar[Callable[[Columns], Findings] | None] = None
    # For a bench: pictured(x) gives, without moving anything, all that the picture reads of what solve gives, and just
    # that; then the picture is seen before all days are judged.
    pictured: ClassVar[Callable[[Columns], Findings] | None] = None
    # Finding -> a number that never makes it worse as it gets less, and the method that finds it: see engine/mend.py.
    MENDS: ClassVar[Mapping[str, tuple[str, str]]] = {}
    # Where its defaults don't work with some kit (engine/opening.py): the picks that may be others, None for all that
    # are chosen; chosen numbers that may be others, with what is tried; and the figures that are halved where that is
    # not enough.
    OPENS_WITH: ClassVar[tuple[str, ...] | None] = None
    TRIES: ClassVar[Mapping[str, tuple[str, ...]]] = {}
    LESS: ClassVar[tuple[str, ...]] = ()
    # For whole robots: what it does for the robot (DRIVES, RAISES, HANGS or nothing of these); the inputs that the
    # robot's own parts give, so that a plan must not; those that are of the piece that the plan takes, or of another
    # entry of the game, where a plan says nothing (name -> role and number, "piece.mass"); and what must be met so that
    # the robot can do its work.
    ROLE: ClassVar[str] = ""
    GIVEN: ClassVar[tuple[str, ...]] = ()
    FROM_GAME: ClassVar[Mapping[str, str]] = {}
    MOUNT_HEIGHT: ClassVar[str] = ""  # the input that says how high over the floor it is mounted, where one does
    NEEDS: ClassVar[tuple[Need, ...]] = ()
    # The finding that tells what is held with the power off, and the one that tells what must be held.
    POWER_OFF: ClassVar[tuple[str, str] | None] = None
    # What it does with the power off where it does not stay, and the caution that is said with it.
    FALLS: ClassVar[tuple[str, str]] = ("falls", "Keep hands out until it is roped or pinned.")

    @classmethod
    def kit_for(cls, kit: Any) -> Any:
        """The kit that it works with: this one, or the course's own where this one has nothing that it could judge."""
        return kit

    @classmethod
    def instead(cls, kit: Any, values: Mapping[str, Any]) -> str:
        """Say what stands in for that which this kit lacks (see kit_for); empty where it lacks nothing."""
        return ""

    @classmethod
    def agreed(cls, values: dict[str, Any], given: Iterable[str], tables: Any) -> dict[str, Any]:
        """The same inputs; of those whose names are not in `given`, some may follow from what was given."""
        return values

    @classmethod
    def idle(cls, values: Mapping[str, Any], tables: Any) -> tuple[str, ...]:
        """Names of inputs that change nothing with these values: nobody needs to look for another one there."""
        return ()

    @classmethod
    def reach(cls, tables: Any) -> dict[str, float]:
        """Figures in SI up to which the ranges of numbers reach where a part was given by its figures, by name."""
        return {}

    @classmethod
    def note(cls, values: Mapping[str, Any], tables: Any) -> str:
        """What its sums leave out, or take otherwise than one may think, with these values; empty where nothing."""
        return ""

    @staticmethod
    def solve(x: Columns) -> Findings:
        """Turn columns of inputs into columns of findings, by name; pure, broadcasting over rows."""
        raise TypeError("a sizing must give its own solve(x)")

    @classmethod
    def field(cls, name: str) -> Field | Pick:
        """Look up an input by name, or by one that it had before; the nearest right one is said for an unknown name."""
        for field in cls.FIELDS:
            if field.name == cls.FORMERLY.get(name, name):
                return field
        raise ValueError(f"{quoted(name)} is not an input of {cls.NAME}; {nearest(name, [f.name for f in cls.FIELDS])}")

    @classmethod
    def by_todays_names(cls, values: Mapping[str, Any]) -> dict[str, Any]:
        """The same values, each by the name that its input has today."""
        return {cls.FORMERLY.get(name, name): value for name, value in values.items()}

    @classmethod
    def given(cls, robot: Any, body: Any, values: Mapping[str, Any]) -> dict[str, float]:
        """The inputs of GIVEN by name, from a whole robot, its body in a pose, and the plan's own inputs."""
        return {}

    @classmethod
    def by_servo(cls, values: Mapping[str, Any], tables: Callable[[str], Any]) -> bool:
        """Whether servos turn it, which run on a rail of their own: a part that is picked says so in its column
        "servo".
        """
        picked = (tables(f.table).row(values[f.name]) for f in cls.FIELDS if isinstance(f, Pick))
        return any(part.get("servo") == 1 for part in picked)

    @classmethod
    def motors_and_servos(cls, values: Mapping[str, Any], tables: Callable[[str], Any]) -> tuple[int, int]:
        """How many motors and how many servos turn it: `count` of what is picked as "motor" or "drive"."""
        if not {"motor", "drive"} & {f.name for f in cls.FIELDS}:
            return 0, 0
        number = int(values.get("count", "1"))
        return (0, number) if cls.by_servo(values, tables) else (number, 0)

    @classmethod
    def picked_mass(cls, values: Mapping[str, Any], tables: Callable[[str], Any]) -> dict[str, float | None]:
        """Mass of all that is picked under each name, None where the kit gives none: each of `count` motors and geared
        drives has its own gearbox, of everything else there is one.
        """
        own = {name: int(values.get("count", "1")) for name in ("motor", "gearbox", "drive")}
        rows = {f.name: tables(f.table).row(values[f.name]) for f in cls.FIELDS if isinstance(f, Pick)}
        return {name: own.get(name, 1) * row["mass"] if "mass" in row else None for name, row in rows.items()}

    @classmethod
    def lumps(
        cls, values: Mapping[str, Any], tables: Callable[[str], Any], share: float, moving: tuple[str, ...] = ()
    ) -> tuple[Lump, ...]:
        """The parts that it brings to a whole robot, at a share of its way: 0 is folded, 1 is raised.

        The first one is that in which its motors sit. Here all that is picked, in one lump at its mounting place;
        `moving` names what of that moves, and is no part of it.
        """
        picked = cls.picked_mass(values, tables)
        return (Lump("motors", sum(mass or 0.0 for name, mass in picked.items() if name not in moving)),)

    @classmethod
    def machine(cls, values: Mapping[str, Any], tables: Any) -> Any:
        """The whole robot that these inputs describe, for what is asked of robots alone; None where they are no
        robot.
        """
        return None

    @classmethod
    def called(cls, values: Mapping[str, Any], tables: Any) -> dict[str, dict[str, str]]:
        """Other words for what is chosen, where these inputs say what it means: pick -> name -> words."""
        return {}

    @classmethod
    def battery_current(cls, found: Findings, number: int) -> NDArray[np.float64]:
        """The highest current that `number` motors draw from the battery, from findings [rows]: the finding
        "current", of all.
        """
        return found["current"] if "current" in found else np.zeros(np.shape(next(iter(found.values()))))

    @classmethod
    def rail_current(cls, found: Findings, number: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Where servos turn it: their current on the servo rail while they rest, and while they move [rows]."""
        most = cls.battery_current(found, number)
        return np.zeros(np.shape(most)), most

    @classmethod
    def has(cls, name: str) -> bool:
        """Whether it has a finding of that name."""
        return any(f.name == name for f in cls.FINDINGS)

    @classmethod
    def finding(cls, name: str) -> Finding:
        """Look up a finding by name."""
        return next(f for f in cls.FINDINGS if f.name == name)

    @classmethod
    def raised_to(cls, x: Columns, found: Findings, before: ArrayLike, below: float = 0.0) -> NDArray[np.float64]:
        """How high it raises what was `before` (RAISES); `below` is from the middle of what is held to that point."""
        return np.asarray(before, dtype=float) + found["rise"]

    @classmethod
    def because(cls, report: Any, name: str, bad: bool) -> str:
        """Why a finding fails on a good or a bad day, as a clause, where its own number does not say it; else empty."""
        return ""

    @classmethod
    def power_off(cls, report: Any, system: str = "metric") -> tuple[bool, str] | None:
        """Whether it stays as it is with the power off, on a bad day too, and what holds how much, in words without a
        full stop; None where nothing can fall or let go.
        """
        if cls.POWER_OFF is None:
            return None
        (held, told), (needed, asked) = (cls._on_a_bad_day(report, name, system) for name in cls.POWER_OFF)
        by = cls.held_by(report.values)
        return bool(held >= needed < math.inf), f"{by} holds {told}, and {asked} is needed on a bad day"

    @classmethod
    def _on_a_bad_day(cls, report: Any, name: str, system: str) -> tuple[float, str]:
        value = report.bad[name]
        return value, quantity.show(value, cls.finding(name).unit, system=system)

    @classmethod
    def held_by(cls, values: Mapping[str, Any]) -> str:
        """What holds it with the power off, in words."""
        return "friction alone, which a knock can loosen,"

    @classmethod
    def weakest_of(cls, margins: Mapping[str, float]) -> str | None:
        """The finding to be named: the one with the least margin; an effect fails only where nothing else does."""
        effects = {f.name for f in cls.FINDINGS if f.effect}
        failing = [name for name, margin in margins.items() if margin < 0 and name not in effects]
        return min(failing or margins, key=lambda name: margins[name]) if margins else None

    @classmethod
    def judged(cls) -> tuple[Finding, ...]:
        """The findings of which something is asked."""
        return tuple(f for f in cls.FINDINGS if f.sense)

"""What a sizing opens with, on the screen, on the command line and in a search, before anybody has given anything.

Contents: Opening, opening, as_opened, plain.

1. The defaults of its fields. Where they work on a good day with the kit in force, that is all.
2. Where they don't, other parts are looked for: one other part, then two, then three (CHANGES), the nearest first,
   until everything asked is met on a good day. What the sizing lists in TRIES counts as a part.
3. Where no parts do, what is asked is eased to what the best parts give, with some to spare (EASED): a longer time, a
   lower rise. Only wishes are eased, never a limit such as the strength of gears.
4. Where that is not enough, what the sizing calls LESS (a payload, a torque) is halved, up to three times, and 2 and 3
   are tried again, with two other parts at most.
5. Where nothing works, it opens with its defaults, and its report says what fails.

The answer is the same on every machine; it is found once for each kit. What a learner gives changes nothing else: an
input that is not given is always what the sizing opens with, so that `size arm payload=1kg` differs from the opened
bench in its payload alone. (A gearmotor alone is followed: its own gears come with it.) The mechanisms of a whole robot
are not opened: what their plan leaves out has its plain default, whether that works or not.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from typing import Any

import numpy as np
from numpy.typing import NDArray

from mechbench import quantity
from mechbench.engine.columns import columns, in_rows, take
from mechbench.engine.pairs import go_together, paired
from mechbench.engine.spec import CHOICE, JOB, Columns, Field, Nearest, Pick, Sizing, two_digits
from mechbench.kits.figures import motors_limit

ENOUGH = 0.05  # of margin, so that it does not open on the edge
EASED = 0.8  # of what it gives is asked, or as much more of what is to be small
HALVINGS = 3
CHANGES = 3  # parts that are changed at once, at most
CHANGES_OF_LESS = 2  # where the job is smaller already
ROWS = 4_000  # combinations of one set of parts; a larger set is left out
MOST_ROWS = 8_000  # in all
FEW = 100  # of one set of parts, where it is clear already that some wish is not met
# Which other part is tried first: what is changed most easily.
FIRST = (
    "gearboxes",
    "counts",
    "motors",
    "roller_drives",
    "shaft_drives",
    "servos",
    "drums",
    "spools",
    "cords",
    "slides",
    "last_stages",
)
# How near two parts are: by the first of these columns that their table has.
SIZES = ("ratio", "torque_constant", "stall_torque", "number", "diameter", "radius", "rate", "force", "teeth")
ALIKE = 0.1  # parts whose ratios differ by less stand for each other, where there are many


@dataclass(frozen=True)
class Opening:
    """The inputs that a sizing opens with; whether they work on a good day; the names of those that are not the plain
    defaults.
    """

    values: dict[str, Any]
    works: bool
    changed: tuple[str, ...] = ()


_found: dict[tuple[type[Sizing], str], Opening] = {}


def opening(sizing: type[Sizing], tables: Any) -> Opening:
    """What the sizing opens with, with the kit of these tables; a part that was given by figures changes nothing."""
    tables = getattr(tables, "plain", tables)
    key = sizing, tables.kit.digest
    if key not in _found:
        _found[key] = _look(sizing, tables)
    return _found[key]


def plain(sizing: type[Sizing], tables: Any) -> dict[str, Any]:
    """The defaults as they are, without asking whether they work."""
    return {one.name: one.first(tables) for one in sizing.FIELDS}


def as_opened(sizing: type[Sizing], tables: Any) -> tuple[Field | Pick, ...]:
    """The sizing's fields with range and default as they are with the kit of these tables."""
    values = opening(sizing, tables).values
    here: list[Field | Pick] = []
    for one in sizing.FIELDS:
        if isinstance(one, Pick):
            here.append(replace(one, default=values[one.name]))
        else:
            shown = float(f"{quantity.from_si(values[one.name], one.unit):.10g}")
            here.append(replace(one.at(tables), default=shown))
    return tuple(here)


def _look(sizing: type[Sizing], tables: Any) -> Opening:
    usual = paired(sizing, plain(sizing, tables), tables)
    for halvings in range(HALVINGS + 1):
        start = _lighter(sizing, usual, tables, halvings)
        if halvings and not any(start[name] != usual[name] for name in sizing.LESS):
            break
        hunt = _Hunt(sizing, start, tables)
        if hunt.works:
            return _opening(usual, start)
        values = hunt.other_parts(CHANGES_OF_LESS if halvings else CHANGES) or hunt.eased()
        if values:
            return _opening(usual, values)
    return Opening(usual, False)


def _opening(usual: Mapping[str, Any], values: dict[str, Any]) -> Opening:
    return Opening(values, True, tuple(name for name in values if values[name] != usual[name]))


def _lighter(sizing: type[Sizing], usual: dict[str, Any], tables: Any, halvings: int) -> dict[str, Any]:
    """The same job with less of LESS, never below the range of the field."""
    less = {name: usual[name] / 2**halvings for name in sizing.LESS} if halvings else {}
    low = {name: one.to_si(one.at(tables).low) for name in less if isinstance(one := sizing.field(name), Field)}
    return {**usual, **{name: max(value, low[name]) for name, value in less.items()}}


# --- what could be chosen instead -----------------------------------------------------------------------------------


def _by_nearness(table: Any, name: str) -> list[str]:
    """The parts of a table, the nearest to one of them first, that one itself included."""
    column = next((key for key in SIZES if key in table.columns), None)
    if column is None:
        return [name, *(other for other in table.names if other != name)]
    values, own = table.columns[column], table.row(name)[column]
    near = Nearest(column, own, log=own > 0).away(values, own)
    near[table.index(name)] = -1.0
    return [table.names[i] for i in np.argsort(near, kind="stable")]


def _options(pick: Pick, chosen: str, tables: Any) -> list[str]:
    """Other parts than the chosen one, the nearest first; of many with nearly the same ratio only the strongest."""
    table = tables(pick.table)
    names = [name for name in _by_nearness(table, chosen) if name != chosen]
    if pick.table == "counts" and pick.name == "count":
        most = motors_limit(tables.kit) if tables.kit.roles is not None else None
        names = [name for name in names if int(name) <= (most or math.inf)]
    if len(names) <= len(SIZES) or not {"ratio", "allowed"} <= set(table.columns):
        return names
    strongest: dict[int, str] = {}
    for name in names:
        row = table.row(name)
        alike = round(math.log(row["ratio"]) / ALIKE)
        if alike not in strongest or row["allowed"] > table.row(strongest[alike])["allowed"]:
            strongest[alike] = name
    kept = set(strongest.values())
    return [name for name in names if name in kept]


class _Hunt:
    """One search for parts that do one job, on a good day."""

    def __init__(self, sizing: type[Sizing], start: dict[str, Any], tables: Any):
        self.sizing, self.start, self.tables, self.rows = sizing, start, tables, 0
        wishes = {one.name for one in sizing.FIELDS if isinstance(one, Field) and one.group == JOB}
        self.wishes = [one.name for one in sizing.judged() if one.bound in wishes]
        self.best: tuple[float, dict[str, Any]] | None = None  # of what meets all but wishes: least margin, values
        self.works = self._judged((), [{}])[0] >= 0

    @cached_property
    def options(self) -> dict[str, list[Any]]:
        """What each pick, and each input of TRIES, may be instead; mostly nobody asks."""
        sizing, tables = self.sizing, self.tables
        options: dict[str, list[Any]] = {one.name: _options(one, self.start[one.name], tables) for one in self._picks()}
        for name, tried in sizing.TRIES.items():
            options[name] = [sizing.field(name).read(one, tables) for one in tried]
        return options

    def other_parts(self, changes: int) -> dict[str, Any] | None:
        """The least change of parts that works; of those with as many changes one with enough to spare."""
        for number in range(1, changes + 1):
            just = None
            for names, grid in self._grids(number, ROWS):
                least = self._judged(names, grid)
                if np.any(least >= ENOUGH):
                    return {**self.start, **grid[int(np.argmax(least >= ENOUGH))]}
                if just is None and np.any(least >= 0):
                    just = {**self.start, **grid[int(np.argmax(least))]}
            if just:
                return just
        return None

    def eased(self) -> dict[str, Any] | None:
        """What the best of a few parts gives is asked, and a little less."""
        self.rows = 0
        for number in (1, 2) if self.sizing.at_best else ():  # else they were all solved already
            for names, grid in self._grids(number, FEW):
                self._judged(names, grid, wishes_too=False)
        if self.best is None:
            return None
        values = dict(self.best[1])
        for _ in range(2):  # what is asked may itself change what is found
            found, margins = self._solve(columns(self.sizing, values, self.tables), 1)
            for finding in self.sizing.judged():
                wish = next((one for one in self.sizing.FIELDS if one.name == finding.bound), None)
                if isinstance(wish, Field) and finding.name in self.wishes and margins[finding.name][0] < 0:
                    wish = wish.at(self.tables)
                    values[wish.name] = _eased(wish, finding.sense, float(found[finding.name][0]), values[wish.name])
            margins = self._solve(columns(self.sizing, values, self.tables), 1)[1]
            if min(float(margin[0]) for margin in margins.values()) >= 0:
                return values
        return None

    def _picks(self) -> list[Pick]:
        """What may be another part, what is changed most easily first."""
        allowed = self.sizing.OPENS_WITH
        picks = [one for one in self.sizing.FIELDS if isinstance(one, Pick) and one.group == CHOICE]
        picks = [one for one in picks if allowed is None or one.name in allowed]
        known = lambda one: one.table in FIRST and (one.table != "counts" or one.name == "count")
        return sorted(picks, key=lambda one: FIRST.index(one.table) if known(one) else len(FIRST))

    def _grids(self, number: int, most: int) -> Iterator[tuple[tuple[str, ...], list[dict[str, Any]]]]:
        """Every set of so many picks with all others of each, the nearest first; too large ones left out."""
        for names in combinations(self.options, number):
            sizes = [len(self.options[name]) for name in names]
            if not 0 < math.prod(sizes) <= min(most, MOST_ROWS - self.rows):
                continue
            places = sorted(np.ndindex(*sizes), key=lambda place: (sum(place), place))
            grid = [{name: self.options[name][i] for name, i in zip(names, place)} for place in places]
            grid = [chosen for chosen in grid if go_together(self.sizing, {**self.start, **chosen}, self.tables)]
            if grid:
                yield names, grid

    def _judged(
        self, varied: tuple[str, ...], grid: list[dict[str, Any]], wishes_too: bool = True
    ) -> NDArray[np.float64]:
        """The least margin of each combination; the best that meets all but wishes is kept.

        What can't meet its limits is not solved, nor what can't meet a wish where that is asked, too.
        """
        self.rows += len(grid)
        chosen = {name: [one[name] for one in grid] for name in varied}
        try:
            x = columns(self.sizing, {**self.start, **chosen}, self.tables)
        except ValueError:  # it can't be built at all, such as a robot of a kit without robots
            return np.full(len(grid), -np.inf)
        asked = [one.name for one in self.sizing.judged() if wishes_too or one.name not in self.wishes]
        margins = self._solve(x, len(grid), asked if varied else [])[1]
        none = np.full(len(grid), np.inf)
        soft = np.min([none, *(margins[name] for name in self.wishes)], axis=0)
        hard = np.min([none, *(column for name, column in margins.items() if name not in self.wishes)], axis=0)
        if np.any(hard >= 0):
            rounded = np.where(hard >= 0, np.round(np.minimum(soft, 0.0), 1), -np.inf)
            row = int(np.argmax(rounded))
            if self.best is None or rounded[row] > self.best[0]:
                self.best = float(rounded[row]), {**self.start, **(grid[row] if varied else {})}
        return np.minimum(soft, hard)

    def _solve(self, x: Columns, rows: int, asked: Sequence[str] = ()) -> tuple[dict[str, Any], dict[str, Any]]:
        """Findings and margins on a good day, -inf where a row can't be built or misses what is asked at its best."""
        judged = self.sizing.judged()
        found = {one.name: np.full(rows, np.nan) for one in judged}
        margins = {one.name: np.full(rows, -np.inf) for one in judged}
        for here, one_found in self._solvable(x, self._promising(x, rows, asked)):
            part = take(x, here)
            for one in judged:
                found[one.name][here] = one_found[one.name]
                margins[one.name][here] = one.margin(one_found[one.name], part)
        return found, margins

    def _promising(self, x: Columns, rows: int, asked: Sequence[str]) -> NDArray[np.intp]:
        """Rows that may meet what is asked, as far as that is known without a move."""
        if self.sizing.at_best is None or not asked:
            return np.arange(rows)
        best = self.sizing.at_best(x)
        known = [one for one in self.sizing.judged() if one.name in best and one.name in asked]
        margins = [np.broadcast_to(one.margin(best[one.name], x), (rows,)) for one in known]
        return np.flatnonzero(np.min([np.full(rows, np.inf), *margins], axis=0) >= 0)

    def _solvable(self, x: Columns, rows: NDArray[np.intp]) -> Iterator[tuple[NDArray[np.intp], dict[str, Any]]]:
        """Rows with what is found of them; those that can't be built are left out."""
        if not len(rows):
            return
        try:
            yield rows, in_rows(self.sizing, self.sizing.solve(take(x, rows)), len(rows))
        except ValueError:
            if len(rows) > 1:
                yield from self._solvable(x, rows[: len(rows) // 2])
                yield from self._solvable(x, rows[len(rows) // 2 :])


def _eased(wish: Field, sense: str, found: float, asked: float) -> float:
    """A wish that what was found meets with some to spare, to two digits, inside its field's range; else as asked."""
    value = found * EASED if sense == "at least" else found / EASED
    if not math.isfinite(value) or value <= 0:
        return asked
    shown = two_digits(quantity.from_si(value, wish.unit), math.floor if sense == "at least" else math.ceil)
    return wish.to_si(min(max(shown, wish.low), wish.high))

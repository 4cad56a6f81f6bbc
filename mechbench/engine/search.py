"""The sizing turned round: every combination of parts judged, the ones that work ranked, the nearest miss told.

Contents: Candidate, Ranking, search, in_full.

How 70 000 combinations are judged in a second: what a combination reaches at its very best costs next to nothing (the
sizing's `at_best`: strength, play, a speed that can't be exceeded), and what misses even so is not solved. The others
are solved on a good day, all in one call; a lift solves those that move alike only once (`unique_rows.py`). Only the
first of the ranking are solved on many days, and more only as long as too few of them fit.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from mechbench.engine.bands import Bands, bands_of
from mechbench.engine.columns import columns, take
from mechbench.engine.days import day_fractions, spread_columns
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.judge import on_a_bad_day, score, worse_days
from mechbench.engine.pairs import geared_inputs
from mechbench.engine.spec import Columns, Field, Findings, Pick, Sizing
from mechbench.kits import Kit, pairing
from mechbench.wording import quoted

SEARCH_DAYS = 64  # days a finalist is judged on; the shown ones are judged on all days by judge()
FIRST_DAYS = 16  # days that are enough to see that most combinations won't do
FINALISTS = 48
ENOUGH = 10  # that fit; more are not looked for once the finalists are judged
MOST = 250_000  # combinations
Judged = TypeVar("Judged")  # a choice and its report, as who asks keeps them
COUNTED = 1_000  # combinations that miss at their very best, and are solved all the same to count what else they miss


@dataclass(frozen=True)
class Candidate:
    """One combination: what varies, its findings on a good day, and its least margin on a good and on a bad day.

    The margin on a bad day is that of all findings at once (joint_margin of a Report), never above that of a good day.
    """

    choice: dict[str, Any]
    good: dict[str, float]
    good_margin: float
    bad_margin: float
    weakest: str

    @property
    def works(self) -> bool:
        """Everything asked is met on a good day."""
        return self.good_margin >= 0

    @property
    def works_on_bad_day(self) -> bool:
        """Everything asked is met on a bad day too."""
        return self.bad_margin >= 0


@dataclass(frozen=True)
class Ranking:
    """Candidates, the best first; `tried` counts all combinations, `missed` how many of them miss each finding."""

    sizing: type[Sizing]
    values: dict[str, Any]
    candidates: tuple[Candidate, ...]
    tried: int
    missed: dict[str, int] = field(default_factory=dict)
    impossible: tuple[Any, ...] = ()  # how many can't be built, and why the first of them can't
    counted: bool = True  # else there are so many combinations that some may miss more than `missed` tells

    @property
    def fitting(self) -> tuple[Candidate, ...]:
        """Those that work on a good and on a bad day."""
        return tuple(c for c in self.candidates if c.works_on_bad_day and c.works)

    @property
    def nearest_miss(self) -> Candidate | None:
        """The candidate that misses by least, or None when some fit: on a good day, or, where some work then, on a
        bad day.
        """
        if self.fitting or not self.candidates:
            return None
        return max(self.candidates, key=lambda c: (min(c.good_margin, 0.0), c.bad_margin))


def search(
    sizing: type[Sizing],
    values: Mapping[str, Any] | None = None,
    vary: Mapping[str, Iterable[Any] | None] | None = None,
    kit: Kit | None = None,
    finalists: int = FINALISTS,
    days: int = SEARCH_DAYS,
    enough: int = ENOUGH,
    rank: Sequence[str] | Callable[[Mapping[str, Any], int], ArrayLike] | None = None,
) -> Ranking:
    """Judge every combination of `vary` (pick name -> part names, or None for the whole table; field -> values).

    Order: works on a bad day, works on a good day, then the findings named in `rank` (left out: the sizing's RANK), or
    the numbers, small ones first, that it gives for whole values and so many rows; then the order of the kit, so it is
    stable. The list holds the first `finalists` of them, and more until `enough` fit.
    """
    tables = Tables(sizing, kit)
    vary = sizing.by_todays_names(vary or {})
    given = {k: v for k, v in sizing.by_todays_names(values or {}).items() if k not in vary and v is not None}
    left = {field.name for field in sizing.FIELDS} - {*given, *vary}
    values = complete(sizing, given, tables, opened=bool(left))
    grid = _that_go_together(sizing, _grid(sizing, dict(vary), tables), values, set(given), tables)
    tried, whole = len(next(iter(grid.values()))) if grid else 1, {**values, **grid}
    keys = np.asarray(rank(whole, tried), dtype=float) if callable(rank) else sizing.RANK if rank is None else rank
    hunt = _Hunt(sizing, columns(sizing, whole, tables), tried, tables, bands_of(sizing, whole, tables), keys)
    hunt.solve(np.flatnonzero(hunt.bound >= 0))
    hunt.solve_near_misses(finalists)
    judged = hunt.judge(finalists, days, enough)
    candidates = tuple(hunt.candidate(row, bad, {n: grid[n][row] for n in grid}) for row, bad in judged)
    missed, counted = hunt.count()
    return Ranking(sizing, values, candidates, hunt.tried, missed, tuple(hunt.impossible), counted)


def in_full(
    ranking: Ranking,
    judged: Callable[[list[dict[str, Any]]], list[Judged]],
    enough: Callable[[list[Judged]], bool],
    at_once: int,
) -> list[Judged]:
    """The choices that fit, the best first, `judged` on all days until there are `enough`; where none fits the nearest
    miss alone, nothing where nothing can be built. So many are judged `at_once`, which is quicker than one by one.

    On all days a choice may just fail that just held on the days of the search, or just hold.
    """
    ones: list[Judged] = []
    choices = [candidate.choice for candidate in ranking.fitting]
    for begin in range(0, len(choices), at_once):
        if enough(ones):
            break
        for one in judged(choices[begin : begin + at_once]):
            if not enough(ones):
                ones.append(one)
    return ones or judged([one.choice for one in [ranking.nearest_miss] if one])


def _grid(sizing: type[Sizing], vary: dict[str, Any], tables: Tables) -> dict[str, list[Any]]:
    """All combinations of what varies: name -> column of values, in a fixed order (the last name runs fastest)."""
    for name, given in vary.items():
        field = sizing.field(name)
        if given is not None:
            vary[name] = tuple(field.read(value, tables) for value in _listed(field, given))
        elif isinstance(field, Pick):
            vary[name] = field.options(tables)
        else:
            raise ValueError(f"{name} is a number: give the values to try, for example a list of five.")
    count = int(np.prod([len(options) for options in vary.values()]))
    if count > MOST:
        raise ValueError(
            f"There are {count} combinations of {', '.join(vary)}, but at most {MOST} can be tried; name fewer parts."
        )
    mesh = np.meshgrid(*(np.arange(len(options)) for options in vary.values()), indexing="ij")
    return {name: [vary[name][i] for i in m.ravel()] for name, m in zip(vary, mesh)}


def _that_go_together(
    sizing: type[Sizing], grid: dict[str, list[Any]], values: Mapping[str, Any], given: set[str], tables: Tables
) -> dict[str, list[Any]]:
    """The combinations without pairs of motor and gearbox that do not go together; where no gearbox was asked for, each
    motor has the one that is taken with it.
    """
    inputs = geared_inputs(sizing)
    if inputs is None or not set(inputs) & set(grid):
        return grid
    motors, boxes, box = tables("motors"), tables("gearboxes"), inputs[1]
    count = len(next(iter(grid.values())))
    fronts, backs = (grid.get(name, [values[name]] * count) for name in inputs)
    if box not in grid and box not in given:
        taken = {name: pairing.gears_for(motors, name, boxes, values[box]) for name in set(fronts)}
        backs = [taken[name] for name in fronts]
        grid = grid if set(backs) == {values[box]} else {**grid, box: backs}
    fits = {pair: pairing.go_together(motors, pair[0], boxes, pair[1]) for pair in set(zip(fronts, backs))}
    rows = [i for i, pair in enumerate(zip(fronts, backs)) if fits[pair]]
    if not rows:
        raise ValueError(pairing.wrong_pair(motors, fronts[0], boxes, backs[0]))
    return grid if len(rows) == count else {name: [column[i] for i in rows] for name, column in grid.items()}


def _listed(field: Field | Pick, given: Any) -> tuple[Any, ...]:
    """The values of one input that are to be tried, one or more."""
    if isinstance(given, str) or not isinstance(given, Iterable):
        raise ValueError(f"{field.name} is {quoted(given)}, but it must be a list of what to try; write [{given!r}].")
    values = tuple(given)
    if not values:
        whole = ", or give None for the whole table" if isinstance(field, Pick) else ""
        raise ValueError(f"{field.name} has no values to try; name one or more in a list{whole}.")
    return values


class _Hunt:
    """One search: what is known of each row (a row is one combination)."""

    def __init__(self, sizing: type[Sizing], x: Columns, tried: int, tables: Tables, bands: Bands, rank: Any):
        self.rank = rank  # names of findings, or a number for each row
        self.sizing, self.x, self.tried, self.tables, self.bands = sizing, x, tried, tables, bands
        self.names = [f.name for f in sizing.judged()]
        self.bound, self.bounds = self._at_best()
        self.solved = np.zeros(tried, dtype=bool)
        self.impossible: list[Any] = []
        self.least = np.full(tried, -np.inf)
        self.margins = {name: np.full(tried, -np.inf) for name in self.names}
        self.found = {f.name: np.full(tried, np.nan) for f in sizing.FINDINGS}

    def _at_best(self) -> tuple[NDArray[np.float64], Findings]:
        """The least margin of each row at its very best, and the margins of what is known of it."""
        if self.sizing.at_best is None:
            return np.full(self.tried, np.inf), {}
        best = self.sizing.at_best(self.x)
        margins = {
            f.name: np.broadcast_to(f.margin(best[f.name], self.x), (self.tried,))
            for f in self.sizing.judged()
            if f.name in best
        }
        return np.min(list(margins.values()), axis=0), margins

    def solve(self, rows: NDArray[np.intp]) -> None:
        """Solve rows on a good day; those that can't be built stay as they are, and are counted."""
        if not len(rows):
            return
        some = take(self.x, rows)
        try:
            found = self.sizing.solve(some)
        except ValueError as wrong:
            if len(rows) > 1:
                self.solve(rows[: len(rows) // 2])
                self.solve(rows[len(rows) // 2 :])
            else:
                self.impossible = [self.impossible[0] + 1, self.impossible[1]] if self.impossible else [1, str(wrong)]
            return
        for name in self.found:
            self.found[name][rows] = found[name]
        margins, least = score(self.sizing, some, {k: np.broadcast_to(v, (len(rows),)) for k, v in found.items()})
        self.least[rows] = least
        for name, column in margins.items():
            self.margins[name][rows] = column
        self.solved[rows] = True

    def solve_near_misses(self, count: int) -> None:
        """Where nothing works: solve those whose bound is highest, more at a time, until no other can come nearer."""
        left = np.flatnonzero(self.bound < 0)
        left = left[np.argsort(-self.bound[left], kind="stable")]
        while len(left) and self.least.max() < 0 and self.bound[left[0]] > self.least.max():
            self.solve(left[:count])
            left, count = left[count:], 2 * count

    def count(self) -> tuple[dict[str, int], bool]:
        """How many rows miss each finding on a good day, and whether all are known: a row that misses something at its
        very best was not solved, and what it misses besides is known only when it is.
        """
        left = np.flatnonzero(~self.solved & (self.bound < 0))
        if len(left) <= COUNTED:
            self.solve(left)
            left = left[:0]
        missed = {}
        for name in self.names:
            unsolved = self.bounds[name] < 0 if name in self.bounds else False
            missed[name] = int(np.sum(np.where(self.solved, self.margins[name] < 0, unsolved & (self.bound < 0))))
        return missed, not len(left)

    def order(self) -> NDArray[np.intp]:
        """Rows that were solved, the best first: works on a good day, then RANK, then the order of the kit."""
        rows = np.flatnonzero(np.isfinite(self.found[self.sizing.FINDINGS[0].name]) | (self.least > -np.inf))
        keys = self._keys(rows)
        return rows[np.lexsort([rows, *keys[::-1], -np.minimum(self.least[rows], 0.0)])]

    def _keys(self, rows: NDArray[np.intp]) -> list[NDArray[np.float64]]:
        """What the rows are ranked by, the first key first; where numbers were given, what the sizing ranks by then."""
        given = isinstance(self.rank, np.ndarray)
        first, names = ([self.rank[rows]], self.sizing.RANK) if given else ([], self.rank)
        return first + [self.found[name.lstrip("-")][rows] * (-1 if name.startswith("-") else 1) for name in names]

    def judge(self, finalists: int, days: int, enough: int) -> list[tuple[int, float]]:
        """Pairs of row and least margin on the bad day, the best first."""
        order = self.order()
        first, rest = order[:finalists], order[finalists:]
        rest = rest[self.least[rest] >= 0]
        bad = dict(zip(first, self._bad_margin(first, days)))
        while len(rest) and sum(margin >= 0 and self.least[row] >= 0 for row, margin in bad.items()) < enough:
            some, rest = self._promising(rest[:finalists], days), rest[finalists:]
            bad.update(zip(some, self._bad_margin(some, days)))
        place = {row: i for i, row in enumerate(order)}
        worst = lambda row: (max(-bad[row], 0.0), max(-self.least[row], 0.0), place[row])
        return [(row, bad[row]) for row in sorted(bad, key=worst)]

    def _promising(self, rows: NDArray[np.intp], days: int) -> NDArray[np.intp]:
        """Those rows that have not failed too often on the first few days."""
        least = self._on_days(rows, self._days(days)[:FIRST_DAYS])
        return rows[np.sum(least < 0, axis=1) <= worse_days(days)]

    def _bad_margin(self, rows: NDArray[np.intp], days: int) -> NDArray[np.float64]:
        least = self._on_days(rows, self._days(days))
        return np.minimum(on_a_bad_day(least), self.least[rows])

    def _days(self, days: int) -> NDArray[np.float64]:
        return day_fractions(len(self.sizing.SPREADS), days, len(self.bands))

    def _on_days(self, rows: NDArray[np.intp], fractions: NDArray[np.float64]) -> NDArray[np.float64]:
        """Solve rows on days, all in one call; least margins [rows, days]."""
        shape = (len(rows), len(fractions))
        if not len(rows):
            return np.zeros(shape)
        each = np.repeat(rows, len(fractions))
        days = np.tile(fractions, (len(rows), 1))
        day = spread_columns(self.sizing, take(self.x, each), self.tables, days, self.bands.take(each))
        found = {k: np.broadcast_to(v, (len(rows) * len(fractions),)) for k, v in self.sizing.solve(day).items()}
        return score(self.sizing, day, found)[1].reshape(shape)

    def candidate(self, row: int, bad: float, choice: dict[str, Any]) -> Candidate:
        """What is known of a row."""
        weakest = self.sizing.weakest_of({name: self.margins[name][row] for name in self.names}) or ""
        good = {name: float(column[row]) for name, column in self.found.items()}
        return Candidate(choice, good, float(self.least[row]), float(bad), weakest)

"""A sizing turned round for one number: its largest or smallest value with which all still works, and the ranges that
work.

Contents: Furthest, furthest, Ranges, working_ranges; failing (what is missed, by name); At (one value, judged), Range
(the numbers that people type for an input), Tries (one number at many values), in_order; MOST, LEAST; GOOD,
BAD, TOGETHER.

A value works where everything asked is met on a good day and on 19 of 20 days, whatever was assumed (`surely_works` of
a Report). The values that work need not hang together: numbers over the whole range are looked at from its end inwards,
and only the last change is bracketed, between numbers of three digits, until no such number lies between one that works
and one that does not. So what is told can be typed as it stands, and the next number beyond it fails.

What works may be a narrow band. The usual value is looked at in any case; on a good day numbers a 240th of the range
apart at most (even where the margin is flat, a band of 0.5 % of the range is found); and where a margin grows towards
a place between two numbers, that place is closed in on. What may be missed is a band that is narrower on a bad day
than a step of EVEN (or COARSE) and towards which no margin grows, or one such step inside what can't be built at all.
So where nothing was found, it is told how many values were tried, not that none works.

Why it is quick: many values are solved in one call; what fails on a good day, or on more of the weakest days than may
fail of all, is not solved on all days.
"""

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from mechbench import quantity
from mechbench.engine.bands import bands_of
from mechbench.engine.columns import columns, in_rows, take
from mechbench.engine.days import DAYS, day_fractions, spread_columns
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.judge import Report, judge_with, on_a_bad_day, score, worse_days
from mechbench.engine.spec import Field, Pick, Sizing

MOST, LEAST = "most", "least"
GOOD, BAD, TOGETHER = "good", "bad", "together"
DIGITS = 3  # of a number that people type
FINEST = 4  # places below the first digit of the range: near 0 numbers are no finer than that
EVEN, GROWING = 65, 33  # values over the range: evenly spaced, and growing by the same factor
WIDE = 20  # from here on the high end of a range is so many times the low one that small values need their own
COARSE = 25  # values for working_ranges: there each is solved on all days
FILLED = 240  # steps of the whole range, on a good day, where both ends of a step of the grid fail then
PEAKS = 4  # places that are closed in on, at most
FURTHER = 3  # times as far as a margin that bends down only could grow
COMPARED = 3  # numbers whose weakest days show how near others come
ROUNDS = 8  # of closing in: each leaves a ninth
AT_ONCE = 8  # values that are looked at in one call, and between two neighbours
WEAKEST = 32  # days, more than may fail
NEAR = 1e-3  # as near to the best
BEYOND = 1e-4  # of the range, to see whether physics ends where it does
INSIDE = 0.9  # of what is found, for a row that shows how much there is to spare


class Range:
    """The numbers that people type for an input: of three digits, in the unit that is shown, from `low` to `high`."""

    def __init__(self, one: Field, unit: str):
        self.unit, self._ends = unit, (one.to_si(one.low), one.to_si(one.high))
        low, high = (float(quantity.from_si(end, unit)) for end in self._ends)
        counted = one.step is not None and not one.unit and float(one.step).is_integer()
        self._whole = float(one.step) if counted and one.step else None  # pieces, say: whole numbers alone
        self._finest = 10.0 ** (math.floor(math.log10(high - low)) - FINEST)
        self.low, self.high = self._rounded(low, math.ceil), self._rounded(high, math.floor)

    def to_si(self, number: float) -> float:
        """In SI, inside the range of the input."""
        return min(max(float(quantity.to_si(number, self.unit)), self._ends[0]), self._ends[1])

    def near(self, number: float) -> float:
        """The nearest of them."""
        return min(max(self._rounded(number, round), self.low), self.high)

    def next(self, number: float, way: int) -> float | None:
        """The next of them above (way 1) or below (-1); None at the end of the range."""
        step = self._step(number + way * 1e-9 * max(abs(number), self._finest))
        place = number / step
        beyond = math.floor(place + 1e-6) + 1 if way > 0 else math.ceil(place - 1e-6) - 1
        found = float(f"{beyond * step:.10g}")
        return found if self.low <= found <= self.high else None

    def grid(self, even: int = EVEN, growing: int = GROWING) -> list[float]:
        """Numbers over the whole range, the lowest first; where it is wide, more of the small ones."""
        values = list(np.linspace(self.low, self.high, even))
        if 0 < self.low * WIDE < self.high:
            values += list(np.geomspace(self.low, self.high, growing))
        return sorted({self.near(float(value)) for value in values})

    def around(self, number: float) -> list[float]:
        """The nearest of them, and the next on each side."""
        here = self.near(number)
        return [n for n in (self.next(here, -1), here, self.next(here, 1)) if n is not None]

    def between(self, one: float, other: float, count: int = AT_ONCE) -> list[float]:
        """A few of them between two, in their order from one to the other; empty where there is none."""
        way = 1 if other > one else -1
        even = (self.near(float(n)) for n in np.linspace(one, other, count + 2)[1:-1])
        found = dict.fromkeys(n for n in even if (n - one) * way > 0 and (other - n) * way > 0)
        after = self.next(one, way)
        return list(found) or ([after] if after is not None and (other - after) * way > 0 else [])

    def _step(self, number: float) -> float:
        """From one of them to the next, near a number."""
        if self._whole:
            return self._whole
        if number == 0:
            return self._finest
        return max(10.0 ** (math.floor(math.log10(abs(number))) - DIGITS + 1), self._finest)

    def _rounded(self, number: float, way: Any) -> float:
        step = self._step(number)
        place = number / step
        whole = round(place) if abs(place - round(place)) < 1e-6 else way(place)
        return float(f"{whole * step:.10g}")


class Tries:
    """One number of a sizing at many values, with all other inputs as they are given."""

    def __init__(self, sizing: type[Sizing], values: Mapping[str, Any], name: str, tables: Tables, unit: str):
        one = sizing.field(name)
        if not isinstance(one, Field):
            raise TypeError(f"{sizing.NAME}: {name} is no number.")
        self.sizing, self.name, self.tables = sizing, name, tables
        self.range = Range(one.at(tables), unit)
        rest = {given: value for given, value in values.items() if given != name}
        self.given = {name, *sizing.by_todays_names(rest)}
        usual = complete(sizing, rest, tables)
        self.usual = float(quantity.from_si(usual[name], unit))
        self.values = {**usual, name: self.range.to_si(self.range.low)}
        self.x = columns(sizing, self.values, tables)
        self.bands = bands_of(sizing, self.values, tables)
        self.days = day_fractions(len(sizing.SPREADS), DAYS, len(self.bands))
        self.weak = self.days[:WEAKEST]
        self.sure = True  # whether what works only as assumed does not count
        self.problems: dict[float, str] = {}  # number -> why it can't be built
        self.good: dict[float, float] = {}  # number -> its least margin on a good day
        self.nearness: dict[float, tuple[float, float]] = {}  # number -> how far a good and a bad day fall short

    def judge(self, number: float) -> Report:
        """Everything about one value; ValueError where it can't be built."""
        return judge_with(self.sizing, self._with(number), self.tables)

    def _with(self, number: float) -> dict[str, Any]:
        """All inputs with one value, and what follows from it, as where it is typed."""
        whole = {**self.values, self.name: self.range.to_si(number)}
        return self.sizing.agreed(whole, self.given, self.tables)

    def first(self, numbers: Sequence[float]) -> int | None:
        """The place of the first number that works; None where none does."""
        good = self.on_a_good_day(numbers)
        places = np.flatnonzero(good >= 0)
        for start in range(0, len(places), AT_ONCE):
            some = places[start : start + AT_ONCE]
            for place in some[self._may_work([numbers[i] for i in some])]:
                if self._work([numbers[place]])[0]:
                    return int(place)
        return None

    def all_that_work(self, numbers: Sequence[float]) -> list[bool]:
        """Of each number whether it works."""
        good = self.on_a_good_day(numbers)
        work: dict[float, bool] = {}
        places = [int(i) for i in np.flatnonzero(good >= 0)]
        for start in range(0, len(places), AT_ONCE):
            some = [numbers[i] for i in places[start : start + AT_ONCE]]
            some = [number for number, may in zip(some, self._may_work(some)) if may]
            work |= dict(zip(some, self._work(some)))
        return [work.get(number, False) for number in numbers]

    def grid(self, even: int = EVEN, growing: int = GROWING) -> list[float]:
        """Numbers over the whole range, the lowest first, with the usual one; more where all fails on a good day."""
        numbers = sorted({*self.range.grid(even, growing), *self.range.around(self.usual)})
        good = self.on_a_good_day(numbers)
        step = (self.range.high - self.range.low) / FILLED
        more: list[float] = []
        for i in range(len(numbers) - 1):
            if max(good[i], good[i + 1]) < 0 and not np.isneginf(good[i : i + 2]).all():
                count = max(math.ceil((numbers[i + 1] - numbers[i]) / step - 1e-6) - 1, 1)
                more += self.range.between(numbers[i], numbers[i + 1], count)
        self.on_a_good_day(more)
        return sorted({*numbers, *more})

    def furthest(self, way: str) -> float | None:
        """The largest (MOST) or smallest number that works; None where none was found."""
        numbers = self.grid()
        if way == MOST:
            numbers.reverse()
        place = self.first(numbers)
        outer = (
            self.closed_in(numbers, ()) if place is None else self.closed_in(numbers[: place + 1], (numbers[place],))
        )
        if outer:
            number, inside = min(outer.items(), key=lambda one: one[0])
            return self.bracket(inside, numbers[number - 1]) if number else inside
        return None if place is None else self.bracket(numbers[place], numbers[place - 1]) if place else numbers[0]

    def closed_in(self, numbers: Sequence[float], working: Collection[float]) -> dict[int, float]:
        """Places in a row of numbers that were looked at -> a number that works between the neighbours of this place,
        where all three fail and the margin grows from both sides; at the PEAKS best places. `working` are those of the
        row that work.
        """
        if len(numbers) < 2:
            return {}
        self._compare([number for number in numbers if number not in working])
        near = [self.nearness[number] for number in numbers]
        peaks = [
            i
            for i, (number, here) in enumerate(zip(numbers, near))
            if number not in working and here[0] > -np.inf and (here[0] < 0 or here[1] > -np.inf)
            if (here > near[i - 1] if i else here > near[1]) and (i + 1 == len(near) or here >= near[i + 1])
        ]
        found: dict[int, float] = {}
        for i in sorted(peaks, key=lambda place: near[place], reverse=True)[:PEAKS]:
            works = self._climb([numbers[j] for j in (i - 1, i, i + 1) if 0 <= j < len(numbers)])
            if works is not None:
                found[i] = works
        return found

    def _climb(self, numbers: list[float]) -> float | None:
        """A number that works near the best of two or three neighbours, each time closer around it."""
        for _ in range(ROUNDS):
            best, works = self._best_on_all_days(numbers)
            if works or self.nearness[best] >= (0, 0):  # or it works as assumed alone
                return best if works else None
            place = numbers.index(best)
            sides = [numbers[i] for i in (place - 1, place + 1) if 0 <= i < len(numbers)]
            points = [n for side in sides for n in self.range.between(best, side)]
            if not points or self._hopeless(best, sides):
                return None
            numbers = sorted([*sides, best, *points])
            good = self.on_a_good_day(numbers)
            self._may_work([number for number, margin in zip(numbers, good) if margin >= 0])
        return None

    def _best_on_all_days(self, numbers: Sequence[float]) -> tuple[float, bool]:
        """The nearest of these numbers, and whether it works: days on which one fails are then looked at for all."""
        while True:
            best = max(numbers, key=self.nearness.__getitem__)
            if self.nearness[best] < (0, 0):
                return best, False
            before = self.weak
            if self._work([best])[0]:
                return best, True
            self.weak = np.unique(np.vstack([before, self.weak]), axis=0)
            if self.nearness[best] >= (0, 0):
                return best, False
            self._may_work([number for number in numbers if self.nearness[number] >= (0, 0)])

    def _hopeless(self, best: float, sides: Sequence[float]) -> bool:
        """Whether a margin that bends down only, or FURTHER times as little, can't reach 0 between these neighbours:
        between two it grows by no more than it did up to there.
        """
        here, around = self.nearness[best], [self.nearness[side] for side in sides]
        kind = 0 if here[0] < 0 else 1
        if kind and any(near[0] < 0 for near in around):
            return False
        grown = max((here[kind] - near[kind]) / abs(best - side) for near, side in zip(around, sides))
        return here[kind] + FURTHER * grown * max(abs(best - side) for side in sides) < 0

    def _compare(self, numbers: Sequence[float]) -> None:
        """See how near those that fail on a bad day alone come, on the same days: the weakest of a few of them."""
        fail = [number for number in numbers if self.nearness[number][0] >= 0 > self.nearness[number][1]]
        if len(fail) < 2:
            return
        least = self._least(_some(fail, COMPARED), self.days)
        weakest = np.argsort(least, axis=1, kind="stable")[:, : worse_days(DAYS) + 1]
        self.weak = self.days[np.unique(weakest)]
        self._may_work(fail)

    def refused_beyond(self, number: float, out: int) -> bool:
        """Whether what lies just beyond a number at the end of the range is refused by physics itself."""
        x = take(self.x, np.zeros(1, dtype=np.intp))
        beyond = number + out * BEYOND * (self.range.high - self.range.low)
        setattr(x, self.name, np.atleast_1d(quantity.to_si(beyond, self.range.unit)))
        try:
            self.sizing.solve(x)
        except ValueError:
            return True
        return False

    def on_a_good_day(self, numbers: Sequence[float]) -> NDArray[np.float64]:
        """The least margin of each number on a good day."""
        new = [number for number in dict.fromkeys(numbers) if number not in self.good]
        margins = self._least(new, np.full((1, self.days.shape[1]), np.nan))[:, 0]
        self.good |= {number: float(margin) for number, margin in zip(new, margins)}
        self.nearness |= {number: (min(self.good[number], 0.0), -np.inf) for number in new}
        return np.array([self.good[number] for number in numbers])

    def nearest_miss(self) -> float | None:
        """The number that falls short by least, of those that were looked at; None where none can be built.

        On a good day where all fail then; else on a bad one: by the days that are weakest near the best of a few, and
        then on all days for those that come next to the best.
        """
        built = {number: short for number, short in self.nearness.items() if short[0] > -np.inf}
        if not built:
            return None
        best = max(short[0] for short in built.values())
        equal = [number for number, short in built.items() if short[0] == best]
        self._work([self._best_of(_some(equal))])
        for start in range(0, len(equal), AT_ONCE):
            self._may_work(equal[start : start + AT_ONCE])
        nearest = max(self.nearness[number][1] for number in equal)
        some = _some([n for n in equal if np.isclose(self.nearness[n][1], nearest, rtol=NEAR)])
        return max(some, key=self._how_near)

    def _best_of(self, numbers: Sequence[float]) -> float:
        """The first of those numbers with the largest margin on a bad day."""
        return numbers[int(np.argmax(on_a_bad_day(self._least(numbers, self.days))))]

    def _how_near(self, number: float) -> tuple[float, int, int]:
        """How near one number comes: its margin on a bad day, then how few findings miss, then on how many days."""
        try:
            report = self.judge(number)
        except ValueError:
            return -np.inf, 0, 0
        missed = sum(margin < 0 for margin in (*report.good_margin.values(), *report.bad_margin.values()))
        return round(report.joint_margin, 9), -missed, report.days_in_100

    def bracket(self, inside: float, beyond: float) -> float:
        """The furthest number that works, from one that does towards one that does not; the next one does not."""
        while points := self.range.between(beyond, inside):
            place = self.first(points)
            if place is None:
                beyond = points[-1]
            else:
                inside, beyond = points[place], points[place - 1] if place else beyond
        return inside

    def _may_work(self, numbers: Sequence[float]) -> NDArray[np.bool_]:
        """Those that do not fail on more of the weakest days than may fail of all days."""
        least = self._least(numbers, self.weak)
        allowed = worse_days(DAYS)
        for number, row in zip(numbers, np.sort(least, axis=1)):
            self._falls_short(number, float(row[allowed]))
        return np.sum(least < 0, axis=1) <= allowed

    def _falls_short(self, number: float, margin: float) -> None:
        """Note a number's margin on a bad day; by some of the days it is too large, so the least counts."""
        good, bad = self.nearness[number]
        self.nearness[number] = (good, margin if bad == -np.inf else min(bad, margin))

    def _work(self, numbers: Sequence[float]) -> list[bool]:
        """Whether each number works, on all days; the days that are weakest at the last come first from then on."""
        least = self._least(numbers, self.days)
        if len(least):
            self.weak = self.days[np.argsort(least[-1], kind="stable")[:WEAKEST]]
        bad = on_a_bad_day(least)
        for number, margin in zip(numbers, bad):
            self._falls_short(number, float(margin))
        sure = lambda number: not (self.sure and len(self.bands)) or self.judge(number).surely_works
        return [bool(margin >= 0) and sure(number) for number, margin in zip(numbers, bad)]

    def _least(self, numbers: Sequence[float], fractions: NDArray[np.float64]) -> NDArray[np.float64]:
        """The least margin of each number on each day [numbers, days]; -inf where a number can't be built."""
        count, days = len(numbers), len(fractions)
        if not count:
            return np.zeros((0, days))
        x = take(self.x, np.zeros(count * days, dtype=np.intp))
        rows = [self._with(number) for number in numbers]
        for name in {name for row in rows for name in row if row[name] != self.values[name]} | {self.name}:
            setattr(x, name, np.repeat([row[name] for row in rows], days))
        try:
            day = spread_columns(self.sizing, x, self.tables, np.tile(fractions, (count, 1)), self.bands)
            found = in_rows(self.sizing, self.sizing.solve(day), count * days)
        except ValueError as wrong:
            if count == 1:
                self.problems[numbers[0]] = str(wrong)
                return np.full((1, days), -np.inf)
            half = count // 2
            return np.vstack([self._least(numbers[:half], fractions), self._least(numbers[half:], fractions)])
        return score(self.sizing, day, found)[1].reshape(count, days)


def _some(numbers: Sequence[float], count: int = AT_ONCE) -> list[float]:
    """A few of many numbers, evenly chosen."""
    return [numbers[int(i)] for i in np.unique(np.linspace(0, len(numbers) - 1, count).round())]


@dataclass(frozen=True)
class At:
    """One value of the input, in SI or a part's name; its report, or why it can't be built."""

    value: Any
    report: Report | None
    problem: str = ""

    @property
    def works(self) -> bool:
        """Everything asked is met on a bad day too, whatever was assumed."""
        return self.report is not None and self.report.surely_works


@dataclass(frozen=True)
class Furthest:
    """The largest (way MOST) or smallest value that works; where none does, `found` is None and `miss` the nearest.

    beyond is the next value that can be typed, which fails; None where the range ends: physics says whether nature ends
    there, too. inside has more to spare. as_assumed is told where what no label gives is what ends it: the value that
    still works if that is as it was assumed. tried is how many values were looked at.
    """

    sizing: type[Sizing]
    input: Field | Pick
    way: str
    unit: str
    found: At | None
    beyond: At | None = None
    inside: At | None = None
    miss: At | None = None
    physics: bool = False
    as_assumed: At | None = None
    tried: int = 0


def furthest(
    sizing: type[Sizing],
    values: Mapping[str, Any],
    name: str,
    way: str,
    tables: Tables,
    unit: str = "",
) -> Furthest:
    """The largest or smallest value of an input with which the sizing works; `unit` is that in which it is typed.

    The input is a number, or a pick whose parts are counts; of these all are tried.
    """
    one = sizing.field(name).at(tables)
    values = {given: value for given, value in sizing.by_todays_names(values).items() if given != one.name}
    if isinstance(one, Pick):
        return _furthest_count(sizing, values, one, way, tables)
    tries = Tries(sizing, values, one.name, tables, unit or one.unit)
    number = tries.furthest(way)
    if number is None:
        told = Furthest(sizing, one, way, tries.range.unit, None, miss=_miss(tries), tried=len(tries.good))
    else:
        told = _told(tries, one, way, number)
    next_one = told.miss if number is None else told.beyond
    if next_one is None or next_one.report is None or next_one.report.known:
        return told
    tries.sure = False
    assumed = tries.furthest(way)
    return told if assumed is None else replace(told, as_assumed=_at(tries, assumed))


def _told(tries: Tries, one: Field, way: str, number: float) -> Furthest:
    """What was bracketed, judged in full, with its neighbours; goes on outwards as long as the next one works too."""
    out = 1 if way == MOST else -1
    here, beyond = _at(tries, number), None
    while (after := tries.range.next(number, out)) is not None:
        beyond = _at(tries, after)
        if not beyond.works:
            break
        number, here, beyond = after, beyond, None
    inner = _inside(tries.range, number, out)
    inside = None if inner is None else _at(tries, inner)
    physics = beyond is None and tries.refused_beyond(number, out)
    return Furthest(tries.sizing, one, way, tries.range.unit, here, beyond, inside, physics=physics)


def _inside(numbers: Range, number: float, out: int) -> float | None:
    """A number a tenth less far out than this one, of its own size or of that of the range; None at the other end."""
    size = max(abs(number), (numbers.high - numbers.low) / 10)
    inner = numbers.near(float(f"{number - out * (1 - INSIDE) * size:.2g}"))
    return inner if (number - inner) * out > 0 else None


def _at(tries: Tries, number: float) -> At:
    value = tries.range.to_si(number)
    try:
        return At(value, tries.judge(number))
    except ValueError as wrong:
        return At(value, None, str(wrong))


def _furthest_count(sizing: type[Sizing], values: Mapping[str, Any], one: Pick, way: str, tables: Tables) -> Furthest:
    """The same for a pick whose parts are counts: every one is judged."""
    judged = [_count_at(sizing, {**values, one.name: name}, name, tables) for name in in_order(one, tables)]
    if way == MOST:
        judged.reverse()
    places = [i for i, at in enumerate(judged) if at.works]
    if not places:
        built = [at for at in judged if at.report]
        short = lambda at: (min(0.0, *at.report.good_margin.values(), 0.0), at.report.joint_margin)
        nearest = max(built, key=short) if built else judged[0]
        return Furthest(sizing, one, way, "", None, miss=nearest, tried=len(judged))
    place = places[0]
    beyond, inside = judged[place - 1] if place else None, judged[place + 1] if place + 1 < len(judged) else None
    return Furthest(sizing, one, way, "", judged[place], beyond, inside)


def _count_at(sizing: type[Sizing], values: Mapping[str, Any], name: str, tables: Tables) -> At:
    try:
        return At(name, judge_with(sizing, values, tables))
    except ValueError as wrong:
        return At(name, None, str(wrong))


def in_order(one: Pick, tables: Tables) -> list[str]:
    """The counts that a pick offers, the smallest first; empty where its parts are no counts."""
    names = one.options(tables)
    return sorted(names, key=int) if names and all(name.isdigit() for name in names) else []


@dataclass(frozen=True)
class Ranges:
    """The ranges of a number that work, each by its two ends, the smallest and the largest; and how many were tried."""

    sizing: type[Sizing]
    input: Field
    unit: str
    runs: tuple[tuple[Furthest, Furthest], ...]
    miss: At | None
    tried: int = 0


def working_ranges(
    sizing: type[Sizing], values: Mapping[str, Any], name: str, tables: Tables, unit: str = ""
) -> Ranges:
    """Every range of a number's values with which the sizing works, each end bracketed to the next number that fails.

    What may be missed is said at the top of this file.
    """
    one = sizing.field(name).at(tables)
    if not isinstance(one, Field):
        raise TypeError(f"{sizing.NAME}: {name} is no number.")
    values = {given: value for given, value in sizing.by_todays_names(values).items() if given != one.name}
    tries = Tries(sizing, values, one.name, tables, unit or one.unit)
    numbers, work = _worked(tries)
    runs = []
    for i, works in enumerate(work):
        if works and not (i and work[i - 1]):
            last = next((j for j in range(i, len(work)) if not work[j]), len(work)) - 1
            low = tries.bracket(numbers[i], numbers[i - 1]) if i else numbers[i]
            high = tries.bracket(numbers[last], numbers[last + 1]) if last + 1 < len(work) else numbers[last]
            runs.append((low, high))
    told = tuple((_told(tries, one, LEAST, low), _told(tries, one, MOST, high)) for low, high in runs)
    return Ranges(sizing, one, tries.range.unit, told, None if runs else _miss(tries), len(tries.good))


def _worked(tries: Tries) -> tuple[list[float], list[bool]]:
    """Numbers over the whole range, and of each whether it works; those in narrow bands among them."""
    numbers = tries.grid(COARSE, COARSE)
    work = dict(zip(numbers, tries.all_that_work(numbers)))
    for place, number in tries.closed_in(numbers, {number for number in numbers if work[number]}).items():
        low = tries.bracket(number, numbers[place - 1]) if place else number
        high = tries.bracket(number, numbers[place + 1]) if place + 1 < len(numbers) else number
        inner = tries.range.between(low, high, 2 * AT_ONCE)  # so narrow a band may have a gap
        work |= {low: True, **dict(zip(inner, tries.all_that_work(inner))), number: True, high: True}
    return sorted(work), [work[number] for number in sorted(work)]


def _miss(tries: Tries) -> At:
    """The nearest miss; where nothing can be built, why the first can't."""
    nearest = tries.nearest_miss()
    return At(None, None, next(iter(tries.problems.values()), "")) if nearest is None else _at(tries, nearest)


def failing(report: Report) -> tuple[tuple[str, ...], str]:
    """Names of the findings that are missed, the worst first, and when: GOOD (on a good day already), BAD (on a bad day
    by themselves), or TOGETHER (each is met on 19 of 20 days, but not on the same ones; the most often missed two).

    An effect is named only where nothing else fails; none are named where all is met as far as is known.
    """
    for margins, when in ((report.good_margin, GOOD), (report.bad_margin, BAD)):
        missed = sorted((name for name, margin in margins.items() if margin < 0), key=lambda name: margins[name])
        if missed:
            return _causes(report, missed), when
    if report.joint_margin >= 0:
        return (), BAD
    often = sorted((name for name, days in report.missed_days.items() if days > 0), key=report.missed_days.__getitem__)
    return _causes(report, often[::-1])[:2], TOGETHER


def _causes(report: Report, names: Sequence[str]) -> tuple[str, ...]:
    """Those that are no effect of others; all where there are only effects."""
    return tuple(name for name in names if not report.sizing.finding(name).effect) or tuple(names)

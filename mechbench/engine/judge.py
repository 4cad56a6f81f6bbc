"""From inputs to a report: findings on a good day, on a bad day, on how many days it works, and what hurts most.

Contents: Report, judge, judge_with, judge_all, pictured, score, worse_days, on_a_bad_day, JUDGING; FAILS, GOOD_DAY,
BAD_DAY.

A bad day is told finding by finding: the value that on 19 of 20 days is not worse, or that of the good day where even
that is worse. Such values need not fall on one day: they are never added up, and never drawn as one state. Whether
everything is met at once is another question; it is answered by the margin that on 19 of 20 days all findings keep.

Numbers that no label gives were assumed, each with a band (`bands.py`); they vary from day to day within it, and the
good day has the assumed ones. The verdict is one of three: FAILS (not even a good day), GOOD_DAY (not on a bad one),
BAD_DAY (on a bad day too). It is not known where it would be another one with some number printed that lies in its
band. Looked at are corners of the bands: for each finding that is asked, all numbers at the ends that are worst for it,
and at those that are best. A finding that only rises or only falls with each number is worst and best there, so a wider
band can only make a verdict less known. The numbers named are those that turn the verdict alone, from one end to the
other; where none does, all that matter.
"""

import operator
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from mechbench.engine.bands import Assumed, Bands, bands_of
from mechbench.engine.columns import columns, in_rows, joined
from mechbench.engine.days import DAYS, day_fractions, spread_columns
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.spec import RUNAWAY, Columns, Finding, Findings, Sizing
from mechbench.kits import Kit

BAD_SHARE = 0.05  # of all days may be worse than a bad day
# The number of this rule, which records keep. 1: one sampled day gave all bad values; 2: each finding by itself
JUDGING = 2
FAILS, GOOD_DAY, BAD_DAY = 0, 1, 2  # verdicts
PROBED = 8  # of the worst days, and as many others, on which each assumed number goes to both ends of its band
WEAKEST = (
    64  # days that are enough to name the numbers: what all others meet easily, one number alone seldom takes away
)


@dataclass(frozen=True)
class Report:
    """What a sizing found. Values in SI; margins as shares of the bound; no words (report_text.py makes them).

    bad holds, for each finding by itself, its value on a bad day; of a finding that has no worse way it is the end that
    is further from the good day, and `ends` holds both. joint_margin is the least margin of all that is asked which is
    kept on 19 of 20 days, and on the good day.
    """

    sizing: type[Sizing]
    values: dict[str, Any]
    good: dict[str, float]
    bad: dict[str, float]
    good_margin: dict[str, float]
    bad_margin: dict[str, float]
    days_in_100: int
    joint_margin: float = np.inf
    missed_days: dict[str, float] = field(default_factory=dict)  # finding -> on how many of 100 days it is not met
    ends: dict[str, tuple[float, float]] = field(default_factory=dict)
    hurts: tuple[tuple[str, float], ...] = ()  # (column path, loss of margin), the worst first
    kit_digest: str = ""
    bounds: dict[str, float] = field(default_factory=dict)  # finding -> bound in SI
    lasting: dict[str, float] = field(default_factory=dict)  # finding -> s that it must last to count, where it must
    drawn: dict[str, float] = field(default_factory=dict)  # for the picture, on the good day
    good_runaway: tuple[float, float] | None = None  # of a move that can't be braked in time: see spec.RUNAWAY
    bad_runaway: tuple[float, float] | None = None
    assumed: tuple[Assumed, ...] = ()  # numbers that no label gives and that change some finding
    rests_on: tuple[Assumed, ...] = ()  # those of them within whose bands the verdict turns
    margins: dict[str, NDArray[np.float64]] = field(
        default_factory=dict, compare=False, repr=False
    )  # good day, all days

    def joint(self, names: Iterable[str]) -> float:
        """The least margin of some of what is asked that is kept at once on 19 of 20 days, and on the good day."""
        least = np.min([self.margins[name] for name in names], axis=0)
        return min(float(least[0]), float(on_a_bad_day(least[1:])))

    @property
    def works(self) -> bool:
        """Everything asked is met on a good day."""
        return all(m >= 0 for m in self.good_margin.values())

    @property
    def works_on_bad_day(self) -> bool:
        """Everything asked is met at once, on a good day and on at least 19 of 20 days."""
        return self.joint_margin >= 0

    @property
    def verdict(self) -> int:
        """FAILS, GOOD_DAY or BAD_DAY, with the numbers that were assumed."""
        return BAD_DAY if self.works_on_bad_day else GOOD_DAY if self.works else FAILS

    @property
    def known(self) -> bool:
        """The verdict is the same wherever in their bands the assumed numbers lie."""
        return not self.rests_on

    @property
    def surely_works(self) -> bool:
        """Everything asked is met, on a bad day too, whatever was assumed."""
        return self.verdict == BAD_DAY and self.known

    def weakest(self, bad: bool = True) -> str | None:
        """Name of the finding to be told: the one with the least margin, a cause before its effect; None where nothing
        is asked.
        """
        return self.sizing.weakest_of(self.bad_margin if bad else self.good_margin)


def score(sizing: type[Sizing], x: Columns, found: Findings) -> tuple[Findings, NDArray[np.float64]]:
    """Margins of all that is asked, by finding, and the least of each row [rows]."""
    rows = max((np.size(v) for v in found.values()), default=1)
    margins = {f.name: np.broadcast_to(f.margin(found[f.name], x), (rows,)) for f in sizing.judged()}
    return margins, np.min(list(margins.values()), axis=0) if margins else np.full(rows, np.inf)


def worse_days(days: int) -> int:
    """How many of so many days may be worse than a bad day."""
    return int(np.floor(BAD_SHARE * days))


def on_a_bad_day(values: NDArray[np.float64], worse: str = "less") -> Any:
    """The value that on 19 of 20 days is not worse; `values` is [..., days]. One of them, never one between two."""
    place = worse_days(values.shape[-1])
    return np.sort(values, axis=-1)[..., -1 - place if worse == "more" else place]


def _bad(finding: Finding, good: float, days: NDArray[np.float64]) -> tuple[float, tuple[float, float]]:
    """A finding's value on a bad day, never better than the good one, and the lowest and highest of 19 of 20 days."""
    low, high = (float(on_a_bad_day(days, worse)) for worse in ("less", "more"))
    low, high = min(low, good), max(high, good)
    further = high if high - good >= good - low else low
    return {"less": low, "more": high}.get(finding.worse_way, further), (low, high)


def judge(sizing: type[Sizing], values: Mapping[str, Any] | None = None, kit: Kit | None = None) -> Report:
    """Judge one set of inputs (text with units, SI numbers, part names) with the parts of a kit."""
    return judge_with(sizing, values or {}, Tables(sizing, kit))


def judge_with(sizing: type[Sizing], values: Mapping[str, Any], tables: Tables) -> Report:
    """Judge one set of inputs with the parts of these tables; all days are solved in one call."""
    one = _days_of(sizing, values, tables)
    return _report(one, sizing.solve(one.day))


def judge_all(sizing: type[Sizing], many: Sequence[Mapping[str, Any]], tables: Tables) -> list[Report]:
    """Judge several sets of inputs as judge_with does, in a fraction of the time: the days of all are solved in one
    call. What is found differs from that of each alone by rounding at most.
    """
    ones = [_days_of(sizing, values, tables) for values in many]
    if len(ones) < 2:
        return [_report(one, sizing.solve(one.day)) for one in ones]
    rows = [len(one.fractions) for one in ones]
    found = in_rows(sizing, sizing.solve(joined([one.day for one in ones], rows)), sum(rows))
    parts = {name: np.split(value, np.cumsum(rows)[:-1]) for name, value in found.items()}
    return [_report(one, {name: part[i] for name, part in parts.items()}) for i, one in enumerate(ones)]


@dataclass(frozen=True)
class _Days:
    """One set of inputs on a good day, on all days, and with each number alone at either end of its spread."""

    sizing: type[Sizing]
    tables: Tables
    values: dict[str, Any]
    x: Columns
    bands: Bands
    fractions: NDArray[np.float64]  # see days.spread_columns
    day: Columns


def _days_of(sizing: type[Sizing], values: Mapping[str, Any], tables: Tables) -> _Days:
    values = complete(sizing, values, tables)
    x = columns(sizing, values, tables)
    bands = bands_of(sizing, values, tables)
    dimensions = len(sizing.SPREADS) + len(bands)
    ends = np.full((2 * dimensions, dimensions), np.nan)
    for i in range(dimensions):
        ends[2 * i, i], ends[2 * i + 1, i] = 0.0, 1.0
    good_day = np.full((1, dimensions), np.nan)
    fractions = np.vstack([good_day, day_fractions(len(sizing.SPREADS), DAYS, len(bands)), ends])
    return _Days(sizing, tables, values, x, bands, fractions, spread_columns(sizing, x, tables, fractions, bands))


def _report(one: _Days, found: Findings) -> Report:
    """What `solve` found on these days, as a report."""
    sizing, x, bands = one.sizing, one.x, one.bands
    found = in_rows(sizing, found, len(one.fractions))
    margins, least = score(sizing, one.day, found)
    days = slice(1, 1 + DAYS)
    told = _Turns(sizing, x, one.tables, bands, one.fractions[: 1 + DAYS], least[: 1 + DAYS]) if len(bands) else None
    bad = {f.name: _bad(f, float(found[f.name][0]), found[f.name][days]) for f in sizing.FINDINGS}
    return Report(
        sizing=sizing,
        values=one.values,
        good={f.name: float(found[f.name][0]) for f in sizing.FINDINGS},
        bad={name: value for name, (value, _) in bad.items()},
        good_margin={k: float(v[0]) for k, v in margins.items()},
        bad_margin={k: min(float(v[0]), float(on_a_bad_day(v[days]))) for k, v in margins.items()},
        days_in_100=int(np.floor(100 * np.mean(least[days] >= 0))),
        joint_margin=min(float(least[0]), float(on_a_bad_day(least[days]))),
        missed_days={k: 100 * float(np.mean(v[days] < 0)) for k, v in margins.items()},
        ends={f.name: bad[f.name][1] for f in sizing.FINDINGS if not f.worse_way},
        hurts=_hurts((*sizing.SPREADS, *bands.paths), margins),
        kit_digest=one.tables.kit.digest,
        bounds={f.name: float(np.ravel(f.bound_si(x))[0]) for f in sizing.judged()},
        lasting=_lasting(sizing, x),
        drawn={name: float(found[name][0]) for name in sizing.DRAWN},
        good_runaway=_runaway(found, 0),
        bad_runaway=_runaway(found, 1 + int(np.argsort(least[days], kind="stable")[worse_days(DAYS)])),
        assumed=told.assumed() if told else (),
        rests_on=told.rests_on() if told else (),
        margins={k: v[: 1 + DAYS] for k, v in margins.items()},
    )


def pictured(sizing: type[Sizing], values: Mapping[str, Any], tables: Tables) -> Report | None:
    """A report for the picture alone, before anything is judged; None where the picture needs what a move gives."""
    if sizing.pictured is None:
        return None
    values = complete(sizing, values, tables)
    found = {
        name: float(np.ravel(value)[0]) for name, value in sizing.pictured(columns(sizing, values, tables)).items()
    }
    drawn = {name: found[name] for name in sizing.DRAWN}
    return Report(sizing, values, good=found, bad={}, good_margin={}, bad_margin={}, days_in_100=0, drawn=drawn)


def _lasting(sizing: type[Sizing], x: Columns) -> dict[str, float]:
    """For how long what must last has to, to count; without those that count at once."""
    waits = {f.name: float(np.ravel(operator.attrgetter(f.lasts)(x))[0]) for f in sizing.judged() if f.lasts}
    return {name: wait for name, wait in waits.items() if wait > 0}


def _verdict(least: NDArray[np.float64]) -> int:
    """The verdict by the least margins of a good day and of all days, or of the weakest, in this order; of a good day
    alone FAILS or GOOD_DAY.
    """
    if least[0] < 0:
        return FAILS
    return BAD_DAY if len(least) > 1 and np.sum(least[1:] < 0) <= worse_days(DAYS) else GOOD_DAY


class _Turns:
    """Whether a verdict turns within the bands of numbers that were assumed, and by which of them."""

    def __init__(self, sizing, x, tables, bands: Bands, fractions, least):
        self.sizing, self.x, self.tables, self.bands = sizing, x, tables, bands
        self.days, self.least = fractions, least
        self.spreads = len(sizing.SPREADS)
        self.changes, self.pulls = self._probed()
        self.matters = np.flatnonzero(np.any(self.pulls != 0, axis=1))  # to something that is asked

    def assumed(self) -> tuple[Assumed, ...]:
        """The numbers that change some finding."""
        return tuple(self._one(i) for i in np.flatnonzero(self.changes))

    def rests_on(self) -> tuple[Assumed, ...]:
        """The numbers within whose bands the verdict turns; none where it is the same everywhere."""
        if not len(self.matters) or not self._turns():
            return ()
        alone = []
        for i in self.matters:
            for place in (-1.0, 1.0):
                corner = np.zeros(len(self.bands))
                corner[i] = place
                alone.append(corner)
        weakest = 1 + np.argsort(self.least[1:], kind="stable")[:WEAKEST]
        verdicts = self._verdicts(alone, self.days[np.r_[0, weakest]])
        turn = [i for i, low, high in zip(self.matters, verdicts[::2], verdicts[1::2]) if low != high]
        return tuple(self._one(i) for i in turn or self.matters)

    def _turns(self) -> bool:
        """Whether any corner has another verdict. What fails can only get better, and for that a good day is enough;
        what works on a bad day can only get worse.
        """
        now, best, good_day = _verdict(self.least), self._corners(), self.days[:1]
        better = self._verdicts(best, good_day if now == FAILS else self.days) if now != BAD_DAY else []
        worst = [-corner for corner in best]
        worse = self._verdicts(worst, good_day if now == GOOD_DAY else self.days) if now != FAILS else []
        return {*better, *worse} != {now}

    def _one(self, i: Any) -> Assumed:
        path = self.bands.paths[i]
        part, _, column = path.rpartition(".")
        value = float(getattr(getattr(self.x, part), column)[0])
        return Assumed(path, value, float(self.bands.low[i, 0]), float(self.bands.high[i, 0]))

    def _probed(self) -> tuple[NDArray[np.bool_], NDArray[np.float64]]:
        """For each number whether it changes a finding, and by how much its high end lifts each margin, over the low
        one [numbers, judged]; on a good day, on the worst and on some others.
        """
        worst = 1 + np.argsort(self.least[1:], kind="stable")[:PROBED]
        some = self.days[np.r_[0, worst, 1 : 1 + PROBED]]
        probes = []
        for i in range(len(self.bands)):
            for end in (0.0, 1.0):
                probe = some.copy()
                probe[:, self.spreads + i] = end
                probes.append(probe)
        found, margins, _ = self._solved(np.vstack(probes))
        shape = (len(self.bands), 2, len(some))
        both = [one.reshape(shape) for one in found.values()]
        changes = np.any([np.any(one[:, 0] != one[:, 1], axis=-1) for one in both], axis=0)
        steps = [np.clip(one, -10, 10).reshape(shape) for one in margins.values()]
        pulls = [np.sum(one[:, 1] - one[:, 0], axis=-1) for one in steps]
        return changes, np.stack(pulls, axis=-1) if pulls else np.zeros((len(self.bands), 0))

    def _corners(self) -> list[NDArray[np.float64]]:
        """For each finding the corner that is best for it, each once; the one across is worst. A number that leaves the
        finding alone goes where it is best for all of them together.
        """
        whole = np.sign(np.sum(self.pulls, axis=1))
        best = [np.where(pull != 0, np.sign(pull), whole) for pull in self.pulls.T if np.any(pull != 0)]
        return [np.array(one) for one in dict.fromkeys(tuple(corner.tolist()) for corner in best)]

    def _verdicts(self, corners: list[NDArray[np.float64]], days: NDArray[np.float64]) -> list[int]:
        """The verdict on these days with the numbers printed as they are at each corner."""
        blocks = []
        for corner in corners:
            block = days.copy()
            block[:, self.spreads :] = (corner + 1) / 2
            blocks.append(block)
        least = self._solved(np.vstack(blocks))[2].reshape(len(corners), -1)
        return [_verdict(one) for one in least]

    def _solved(self, fractions: NDArray[np.float64]) -> tuple[Findings, Findings, NDArray[np.float64]]:
        """Findings, margins, and the least margin, on other days."""
        day = spread_columns(self.sizing, self.x, self.tables, fractions, self.bands)
        found = in_rows(self.sizing, self.sizing.solve(day), len(fractions))
        return found, *score(self.sizing, day, found)


def _runaway(found: Findings, row: int) -> tuple[float, float] | None:
    """What is told of a move that can't be braked in time; None where it can, or where nothing is known of it."""
    current, share = (float(found[name][row]) if name in found else 0.0 for name in RUNAWAY)
    return (current, share) if current > 0 else None


def _hurts(paths: tuple[str, ...], margins: Findings) -> tuple[tuple[str, float], ...]:
    """Rank the inputs by how much margin is lost when each alone goes to the worse end of its spread.

    A finding that is the same on every day (play, say) can hide nothing here: only those that vary count.
    """
    varying = [m for m in margins.values() if np.ptp(np.clip(m, -10, 10)) > 1e-12]
    if not varying:
        return ()
    least = np.min(np.clip(varying, -10, 10), axis=0)
    good, ends = least[0], least[1 + DAYS :]
    losses = [good - np.min(ends[2 * i : 2 * i + 2]) for i in range(len(paths))]
    ranked = sorted(zip(paths, losses), key=lambda pair: -pair[1])
    return tuple((path, float(loss)) for path, loss in ranked if loss > 1e-9)

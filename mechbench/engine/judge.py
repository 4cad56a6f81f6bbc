"""From inputs to a report: findings on a good day, on a bad day, on how many days it works, and what hurts most.

Contents: Report, judge, judge_with, score, worse_days, on_a_bad_day, JUDGING.

A bad day is told finding by finding: the value that on 19 of 20 days is not worse, or that of the good day where even
that is worse. Such values need not fall on one day: they are never added up, and never drawn as one state. Whether
everything is met at once is another question; it is answered by the margin that on 19 of 20 days all findings keep.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from mechbench.engine.columns import columns, in_rows
from mechbench.engine.days import DAYS, day_fractions, spread_columns
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.spec import RUNAWAY, Columns, Finding, Findings, Sizing
from mechbench.kits import Kit

BAD_SHARE = 0.05  # of all days may be worse than a bad day
# The number of this rule, which records keep. 1: one sampled day gave all bad values; 2: each finding by itself
JUDGING = 2


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
    drawn: dict[str, float] = field(default_factory=dict)  # for the picture, on the good day
    good_runaway: tuple[float, float] | None = None  # of a move that can't be braked in time: see spec.RUNAWAY
    bad_runaway: tuple[float, float] | None = None

    @property
    def works(self) -> bool:
        """Everything asked is met on a good day."""
        return all(m >= 0 for m in self.good_margin.values())

    @property
    def works_on_bad_day(self) -> bool:
        """Everything asked is met at once, on a good day and on at least 19 of 20 days."""
        return self.joint_margin >= 0

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
    values = complete(sizing, values, tables)
    x = columns(sizing, values, tables)
    dimensions = len(sizing.SPREADS)
    ends = np.full((2 * dimensions, dimensions), np.nan)
    for i in range(dimensions):
        ends[2 * i, i], ends[2 * i + 1, i] = 0.0, 1.0
    good_day = np.full((1, dimensions), np.nan)
    day = spread_columns(sizing, x, tables, np.vstack([good_day, day_fractions(dimensions), ends]))
    rows = 1 + DAYS + 2 * dimensions
    found = in_rows(sizing, sizing.solve(day), rows)
    margins, least = score(sizing, day, found)
    days = slice(1, 1 + DAYS)
    bad = {f.name: _bad(f, float(found[f.name][0]), found[f.name][days]) for f in sizing.FINDINGS}
    return Report(
        sizing=sizing,
        values=values,
        good={f.name: float(found[f.name][0]) for f in sizing.FINDINGS},
        bad={name: value for name, (value, _) in bad.items()},
        good_margin={k: float(v[0]) for k, v in margins.items()},
        bad_margin={k: min(float(v[0]), float(on_a_bad_day(v[days]))) for k, v in margins.items()},
        days_in_100=int(np.floor(100 * np.mean(least[days] >= 0))),
        joint_margin=min(float(least[0]), float(on_a_bad_day(least[days]))),
        missed_days={k: 100 * float(np.mean(v[days] < 0)) for k, v in margins.items()},
        ends={f.name: bad[f.name][1] for f in sizing.FINDINGS if not f.worse_way},
        hurts=_hurts(sizing, margins),
        kit_digest=tables.kit.digest,
        bounds={f.name: float(np.ravel(f.bound_si(x))[0]) for f in sizing.judged()},
        drawn={name: float(found[name][0]) for name in sizing.DRAWN},
        good_runaway=_runaway(found, 0),
        bad_runaway=_runaway(found, 1 + int(np.argsort(least[days], kind="stable")[worse_days(DAYS)])),
    )


def _runaway(found: Findings, row: int) -> tuple[float, float] | None:
    """What is told of a move that can't be braked in time; None where it can, or where nothing is known of it."""
    current, share = (float(found[name][row]) if name in found else 0.0 for name in RUNAWAY)
    return (current, share) if current > 0 else None


def _hurts(sizing: type[Sizing], margins: Findings) -> tuple[tuple[str, float], ...]:
    """Rank the inputs by how much margin is lost when each alone goes to the worse end of its spread.

    A finding that is the same on every day (play, say) can hide nothing here: only those that vary count.
    """
    varying = [m for m in margins.values() if np.ptp(np.clip(m, -10, 10)) > 1e-12]
    if not varying:
        return ()
    least = np.min(np.clip(varying, -10, 10), axis=0)
    good, ends = least[0], least[1 + DAYS :]
    losses = [good - np.min(ends[2 * i : 2 * i + 2]) for i in range(len(sizing.SPREADS))]
    ranked = sorted(zip(sizing.SPREADS, losses), key=lambda pair: -pair[1])
    return tuple((path, float(loss)) for path, loss in ranked if loss > 1e-9)

"""From inputs to a report: findings on a good day, on a bad day, on how many days it works, and what hurts most.

Contents: Report, judge, judge_with, score, in_rows, worse_days, bad_row.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from mechbench.engine.columns import columns
from mechbench.engine.days import DAYS, day_fractions, spread_columns
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.spec import RUNAWAY, Columns, Findings, Sizing
from mechbench.kits import Kit

BAD_SHARE = 0.05  # the bad day is the one that 19 of 20 days beat
BEYOND, MOST_BEYOND = 1e-9, 1e3  # weight of margins beyond 1, and how far they count


@dataclass(frozen=True)
class Report:
    """What a sizing found. Values in SI; margins as shares of the bound; no words (report_text.py makes them)."""

    sizing: type[Sizing]
    values: dict[str, Any]
    good: dict[str, float]
    bad: dict[str, float]
    good_margin: dict[str, float]
    bad_margin: dict[str, float]
    days_in_100: int
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
        """Everything asked is met on a bad day too."""
        return all(m >= 0 for m in self.bad_margin.values())

    def weakest(self, bad: bool = True) -> str | None:
        """Name of the finding with the least margin, or None where nothing is asked."""
        margins = self.bad_margin if bad else self.good_margin
        return min(margins, key=lambda name: margins[name]) if margins else None


def score(
    sizing: type[Sizing], x: Columns, found: Findings
) -> tuple[Findings, NDArray[np.float64], NDArray[np.float64]]:
    """Margins of all that is asked, by finding; the least of each row; and how good each row's day is [rows].

    A day on which something is not met is worse than any on which all is met, and the worse the less is met. Days on
    which all is met are told apart by the mean margin: the least alone would call a day bad on which one number, say
    the current, is a little higher because all else is better. Margins count up to 1; where days are equal by that,
    what they have beyond it decides, so that a wish that every day meets does not change which day is bad.
    """
    rows = max((np.size(v) for v in found.values()), default=1)
    margins = {f.name: np.broadcast_to(f.margin(found[f.name], x), (rows,)) for f in sizing.judged()}
    if not margins:
        return margins, np.full(rows, np.inf), np.zeros(rows)
    table = np.array(list(margins.values()))
    least = table.min(axis=0)
    ample = np.clip(table, 0, 1).mean(axis=0) + BEYOND * np.clip(table, 0, MOST_BEYOND).mean(axis=0)
    return margins, least, np.where(least < 0, least, ample)


def in_rows(sizing: type[Sizing], found: Findings, rows: int) -> Findings:
    """What `solve` gave, each finding one number a row; an author's slip is told by the finding's name."""
    missing = [name for name in (*(f.name for f in sizing.FINDINGS), *sizing.DRAWN) if name not in found]
    if missing:
        raise TypeError(f"{sizing.__name__}.solve does not give {', '.join(missing)}; FINDINGS or DRAWN promises it.")
    wrong = {name: np.shape(value) for name, value in found.items() if np.shape(value) not in ((), (1,), (rows,))}
    if wrong:
        name, shape = next(iter(wrong.items()))
        raise TypeError(f"{sizing.__name__}.solve gives {name} in the shape {shape}; give one number a row, {(rows,)}.")
    return {name: np.broadcast_to(np.asarray(value, dtype=float), (rows,)) for name, value in found.items()}


def worse_days(days: int) -> int:
    """How many of so many days may be worse than the bad day."""
    return int(np.floor(BAD_SHARE * days))


def bad_row(goodness: NDArray[np.float64]) -> NDArray[np.intp]:
    """The row that 19 of 20 beat; stable where rows are equal. `goodness` is [..., days]."""
    return np.argsort(goodness, axis=-1, kind="stable")[..., worse_days(goodness.shape[-1])]


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
    margins, least, goodness = score(sizing, day, found)
    bad = 1 + int(bad_row(goodness[1 : 1 + DAYS]))
    return Report(
        sizing=sizing,
        values=values,
        good={f.name: float(found[f.name][0]) for f in sizing.FINDINGS},
        bad={f.name: float(found[f.name][bad]) for f in sizing.FINDINGS},
        good_margin={k: float(v[0]) for k, v in margins.items()},
        bad_margin={k: float(v[bad]) for k, v in margins.items()},
        days_in_100=int(np.floor(100 * np.mean(least[1 : 1 + DAYS] >= 0))),
        hurts=_hurts(sizing, margins),
        kit_digest=tables.kit.digest,
        bounds={f.name: float(np.ravel(f.bound_si(x))[0]) for f in sizing.judged()},
        drawn={name: float(found[name][0]) for name in sizing.DRAWN},
        good_runaway=_runaway(found, 0),
        bad_runaway=_runaway(found, bad),
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

"""Bad days of every sizing: against many days drawn at random, and never better where the job is harder.

The 256 fixed days of the engine are an even sample; here the same spreads are drawn by numpy's own generator.
"""

from functools import cache

import numpy as np
import pytest

from mechbench.catalog import NAMES, judge, sizing_of
from mechbench.engine.columns import columns, in_rows
from mechbench.engine.days import DAYS, spread_columns
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.judge import score, worse_days
from mechbench.engine.spec import Field
from tests.tries import tries

DRAWN = tries(8 * DAYS, 80 * DAYS)
# Between the 256 days lies 1/256 each; numpy's days scatter by sqrt(0.05 0.95 / drawn), of which 5 are taken.
SCATTER = 5 * (0.05 * 0.95 / DRAWN) ** 0.5 + 4 / DAYS
WORSE = worse_days(DAYS) / DAYS
LEAST = "the least margin"
VARY = [name for name in NAMES if sizing_of(name).SPREADS]


def days_drawn(name, values):
    """Findings, and the least margin of all that is asked, on days drawn at random, in parts as large as a report."""
    sizing, tables = sizing_of(name), Tables(sizing_of(name))
    x = columns(sizing, complete(sizing, values, tables), tables)
    parts = []
    for luck in np.array_split(np.random.default_rng(1).random((DRAWN, len(sizing.SPREADS))), DRAWN // DAYS):
        day = spread_columns(sizing, x, tables, luck)
        found = in_rows(sizing, sizing.solve(day), len(luck))
        parts.append({**found, LEAST: score(sizing, day, found)[1]})
    whole = {key: np.concatenate([part[key] for part in parts]) for key in parts[0]}
    return whole, whole.pop(LEAST)


@cache
def edge(name):
    """Inputs at which some days miss: one wish lies between what a good and a bad day give."""
    sizing, report = sizing_of(name), judge(name)
    wishes = {f.name: f for f in sizing.FIELDS if isinstance(f, Field)}
    for finding in sizing.judged():
        wish = wishes.get(finding.bound) if isinstance(finding.bound, str) else None
        good, bad = report.good[finding.name], report.bad[finding.name]
        if wish and np.isfinite([good, bad]).all() and good != bad:
            asked = good + 0.8 * (bad - good)
            if wish.to_si(wish.low) <= asked <= wish.to_si(wish.high):
                return {wish.name: float(asked)}
    return {}


@pytest.mark.parametrize("name", VARY)
def test_days_in_100_and_bad_values_are_those_of_many_days_drawn_at_random(name):
    report = judge(name, edge(name))
    found, least = days_drawn(name, edge(name))
    share = np.mean(least >= 0)
    # As near as 256 days drawn at random come in two of three cases, and as near as the drawn ones are known.
    near = (share * (1 - share) / DAYS) ** 0.5 + 3 * (share * (1 - share) / DRAWN) ** 0.5 + 0.01
    assert report.days_in_100 / 100 == pytest.approx(share, abs=near)
    for finding in sizing_of(name).FINDINGS:
        days, bad, good = found[finding.name], report.bad[finding.name], report.good[finding.name]
        near = 1e-9 * max(abs(bad), 1e-9)
        more, less = np.mean(days > bad + near), np.mean(days < bad - near)
        worse = {"more": more, "less": less, "": min(more, less)}[finding.worse_way]
        assert worse <= WORSE + SCATTER, (finding.name, worse)
        if bad != good and np.ptp(days) > near and finding.worse_way:
            at_least = {"more": np.mean(days >= bad - near), "less": np.mean(days <= bad + near)}[finding.worse_way]
            assert at_least >= WORSE - SCATTER, (finding.name, at_least)


def test_the_edge_is_one():
    """Most sizings have a wish that some days miss, so that the days are counted and not all or none."""
    counted = [judge(name, edge(name)).days_in_100 for name in VARY]
    assert sum(0 < days < 100 for days in counted) >= len(VARY) // 2, dict(zip(VARY, counted))

"""What one smaller number would mend: where a finding fails, the largest value of a number at which it no longer does.

Contents: Mend, mended.

A sizing says in MENDS which of its numbers never makes a finding worse as it gets less. So there is one value up to
which the finding is met on a bad day, and it is found by halving.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from mechbench import quantity
from mechbench.engine.bands import bands_of
from mechbench.engine.columns import columns
from mechbench.engine.days import DAYS, day_fractions, spread_columns
from mechbench.engine.judge import Report, judge_with, on_a_bad_day
from mechbench.engine.spec import Columns, Field, Findings, two_digits

HALVINGS = 12  # to a four-thousandth of the range: finer than two digits


@dataclass(frozen=True)
class Mend:
    """A number that mends what fails, its value in SI, and the whole report with it."""

    field: Field
    value: float
    report: Report


def mended(report: Report, tables: Any) -> Mend | None:
    """What mends the finding that a verdict names, on a bad day too; None where all is met, or where no number does."""
    name = None if report.works_on_bad_day else report.weakest(bad=report.works)
    if name is None:
        return None
    margins = report.bad_margin if report.works else report.good_margin
    if name not in report.sizing.MENDS or margins[name] >= 0:  # each met by itself, only not all at once
        return None
    sizing, (number, finds) = report.sizing, report.sizing.MENDS[name]
    field = sizing.field(number)
    if not isinstance(field, Field):
        raise TypeError(f"{sizing.NAME}: MENDS names {number}, which is no number.")
    field = field.at(tables)
    met = _Met(report, tables, name, number, getattr(sizing, finds))
    low, high = field.to_si(field.low), report.values[number]
    if high <= low or not met(low):
        return None
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if met(middle) else (low, middle)
    value = max(field.to_si(two_digits(quantity.from_si(low, field.unit), math.floor)), field.to_si(field.low))
    return Mend(field, value, judge_with(sizing, {**report.values, number: value}, tables))


class _Met:
    """Whether a finding is met on a good and on a bad day with a number at some value."""

    def __init__(self, report: Report, tables: Any, name: str, number: str, find: Callable[[Columns], Findings]):
        self.report, self.tables, self.number, self.find = report, tables, number, find
        self.finding, sizing = report.sizing.finding(name), report.sizing
        self.bands = bands_of(sizing, report.values, tables)
        days = day_fractions(len(sizing.SPREADS), DAYS, len(self.bands))
        self.days = np.vstack([np.full((1, days.shape[1]), np.nan), days])

    def __call__(self, value: float) -> bool:
        x = columns(self.report.sizing, {**self.report.values, self.number: value}, self.tables)
        day = spread_columns(self.report.sizing, x, self.tables, self.days, self.bands)
        margin = self.finding.margin(self.find(day)[self.finding.name], day)
        margin = np.broadcast_to(margin, (len(self.days),))
        return bool(min(margin[0], on_a_bad_day(margin[1:])) >= 0)

"""The largest ratio with which a finding stays within a bound: before the wheels slip.

Contents: Within, largest.
"""

from typing import NamedTuple

from mechbench import quantity
from mechbench.desk.arguments import values_of
from mechbench.engine.judge import judge_with

TRIES = 12  # halvings between a ratio that stays within and one that does not, two digits each
FROM = 1.0  # the least ratio that is tried


class Within(NamedTuple):
    """An input that picks a gearbox, and the finding that a larger ratio brings to its bound, in `unit`."""

    pick: str
    finding: str
    bound: float
    unit: str


def largest(sizing, given, asked, tables):
    """The largest ratio of two digits, as it is typed, that stays within on a good day, and a sentence on it; "" for
    the ratio where none does.

    given : the other inputs, name -> text
    """
    field, bound = sizing.field(asked.pick), quantity.to_si(asked.bound, asked.unit)
    label, limit = sizing.finding(asked.finding).label, quantity.show(bound, asked.unit)
    table = tables(field.table)
    kit = sorted((float(table.row(name)["ratio"]), name) for name in field.options(tables) if _is_bare(table, name))
    stays = lambda text: _good_day(sizing, {**given, asked.pick: text}, asked.finding, tables) <= bound
    low, high = FROM, next((ratio for ratio, name in kit if not stays(name)), 0.0)
    if not stays(_typed(FROM)):
        return "", f"With every ratio, {label} is more than {limit}."
    if not high:
        return kit[-1][1], f"With every ratio of the kit, {label} is at most {limit}; {kit[-1][1]} is the largest."
    for _ in range(TRIES):
        middle = float(f"{(low + high) / 2:.2g}")
        if middle in (low, high):
            break
        low, high = (middle, high) if stays(_typed(middle)) else (low, middle)
    fits = [name for ratio, name in kit if ratio <= low]
    near = f"the largest of the kit is {fits[-1]}" if fits else "none of the kit is that small"
    return _typed(low), f"Largest ratio with {label} at most {limit}, on a good day: {low:g} : 1; {near}."


def _typed(ratio):
    return f"{ratio:g}:1"


def _is_bare(table, name):
    """Whether a gearbox can stand behind a motor: gears that are built into one can't."""
    return not table.row(name).get("built_in", 0)


def _good_day(sizing, given, finding, tables):
    """A finding on a good day; grip and strength both vary, so a bad day is a range of it."""
    fresh = tables.fresh()
    return judge_with(sizing, values_of(sizing, given, fresh), fresh).good[finding]

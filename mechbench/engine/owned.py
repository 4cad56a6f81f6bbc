"""What is told beside a verdict: what of a part was given by figures and what is taken from which part of the kit; what
a team has too few of, where its kit says how many; what sums leave out.

Contents: note_of, too_few, taken, read_as, given_by_figures.
"""

from collections.abc import Callable, Mapping
from typing import Any

from mechbench.engine.spec import Pick, Sizing

COUNTED = {"motors": 0, "gearboxes": 0, "servos": 1}  # table -> its place in what motors_and_servos gives


def note_of(sizing: type[Sizing], values: Mapping[str, Any], tables: Any) -> str:
    """All that is told beside the verdict on these values; empty where there is nothing to tell."""
    return " ".join(filter(None, (taken(values, tables), too_few(sizing, values, tables), sizing.note(values, tables))))


def taken(values: Mapping[str, Any], tables: Any) -> str:
    """Say of each part in these values that was given by figures what the figures left open; empty without such."""
    return " ".join(dict.fromkeys(own.said for own in given_by_figures(values, tables).values()))


def read_as(values: Mapping[str, Any], tables: Any) -> list[str]:
    """How figures of parts in these values were read that may mean another thing, in sentences that come first."""
    own = given_by_figures(values, tables).values()
    return list(dict.fromkeys(told for one in own for told in getattr(one, "first", ())))


def given_by_figures(values: Mapping[str, Any], tables: Any) -> Mapping[str, Any]:
    """Inputs, and battery or fuse, that were given by figures -> these as `typed`, and what is `said` of them."""
    own_of = getattr(tables, "own_of", None)
    return own_of(values) if own_of else {}


def too_few(sizing: type[Sizing], values: Mapping[str, Any], tables: Callable[[str], Any]) -> str:
    """Say which parts are taken more often than the team has them; empty where it has enough, or nobody says so."""
    told = []
    for field in sizing.FIELDS:
        if not isinstance(field, Pick) or field.table not in COUNTED:
            continue
        table, name = tables(field.table), values[field.name]
        taken, have = sizing.motors_and_servos(values, tables)[COUNTED[field.table]], table.have.get(name)
        if have is not None and taken > have:
            told.append(f"This takes {taken} of {table.labels[name]}, but your team has {have}.")
    return " ".join(told)

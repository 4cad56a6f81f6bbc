"""Whether a team has as many motors and servos as a sizing takes; the kit says how many there are, where it does.

Contents: too_few.
"""

from collections.abc import Callable, Mapping
from typing import Any

from mechbench.engine.spec import Pick, Sizing

COUNTED = {"motors": 0, "gearboxes": 0, "servos": 1}  # table -> its place in what motors_and_servos gives


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

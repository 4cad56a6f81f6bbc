"""Inputs that belong together: a motor and the gearbox behind it. The rule itself is in kits/pairing.py.

Contents: geared_inputs (which inputs these are), go_together, paired (values made to go together), that_fit (what can
be chosen).
"""

from collections.abc import Iterable, Mapping
from typing import Any

from mechbench.engine.owned import given_by_figures
from mechbench.engine.spec import Pick, Sizing
from mechbench.kits import by_figures, pairing


def geared_inputs(sizing: type[Sizing]) -> tuple[str, str] | None:
    """Names of the inputs that pick a motor and the gearbox behind it; None where a sizing has not both."""
    picked = {f.table: f.name for f in sizing.FIELDS if isinstance(f, Pick)}
    return (picked["motors"], picked["gearboxes"]) if {"motors", "gearboxes"} <= set(picked) else None


def go_together(sizing: type[Sizing], whole: Mapping[str, Any], tables: Any) -> bool:
    """Whether motor and gearbox go together in these values; True where a sizing has not both."""
    inputs = geared_inputs(sizing)
    if inputs is None:
        return True
    return pairing.go_together(tables("motors"), whole[inputs[0]], tables("gearboxes"), whole[inputs[1]])


def paired(
    sizing: type[Sizing], whole: dict[str, Any], tables: Any, given: Iterable[str] = (), usual: str = ""
) -> dict[str, Any]:
    """Whole values in which motor and gearbox go together: what was not given follows what was; ValueError where both
    were. usual: the gearbox to take for a motor without gears of its own; left out: the default.
    """
    inputs, given = geared_inputs(sizing), set(given)
    if inputs is None or go_together(sizing, whole, tables):
        return whole
    motors, boxes, (motor, box) = tables("motors"), tables("gearboxes"), inputs
    whole = dict(whole)
    if box not in given:
        whole[box] = pairing.gears_for(motors, whole[motor], boxes, usual or str(sizing.field(box).first(tables)))
    elif motor not in given:
        whole[motor] = pairing.motor_for(motors, whole[motor], boxes, whole[box])
    if _is_pair_behind(sizing, whole, tables, motor, box):
        whole[box] = tables.behind(whole[motor], box, whole[box])
    if not go_together(sizing, whole, tables):
        raise ValueError(_wrong(sizing, whole, tables, motor, box))
    return whole


def _wrong(sizing: type[Sizing], whole: Mapping[str, Any], tables: Any, motor: str, box: str) -> str:
    """Say what is wrong with a pair, and the way out; of a motor that was given by figures what these are."""
    own, motors = given_by_figures(whole, tables), tables("motors")
    wheels = f"; wheels behind its gears are given by their teeth: {_last_stage(sizing) or box}=15:40"
    if motor in own and pairing.geared(motors, whole[motor]):
        return (
            f"{motor}={whole[motor]} is a motor with gears of its own, so {box}={whole[box]} can't go with it; leave"
            f" {box} out{wheels}, and of a motor without gears write {by_figures.BARE_MOTOR.example}."
        )
    wrong = pairing.wrong_pair(motors, whole[motor], tables("gearboxes"), whole[box])
    return f"{wrong[:-1]}{wheels}." if box in own else wrong


def _is_pair_behind(sizing: type[Sizing], whole: Mapping[str, Any], tables: Any, motor: str, box: str) -> bool:
    """Whether the gearbox is two wheels by their teeth that can stand behind a motor with gears: not where the sizing
    has an input of its own for these.
    """
    own = given_by_figures(whole, tables).get(box)
    if own is None or not getattr(own, "one_pair", False) or _last_stage(sizing):
        return False
    return pairing.geared(tables("motors"), whole[motor])


def _last_stage(sizing: type[Sizing]) -> str:
    """Name of the input that picks a last stage; empty where a sizing has none."""
    return next((f.name for f in sizing.FIELDS if isinstance(f, Pick) and f.table == "last_stages"), "")


def that_fit(sizing: type[Sizing], values: Mapping[str, Any], field: Pick, tables: Any) -> tuple[str, ...]:
    """Names of the parts that can be chosen for one input while the others stay; gears follow their motor."""
    names, inputs = field.options(tables), geared_inputs(sizing)
    if inputs is None or field.name != inputs[1]:
        return names
    return tuple(name for name in names if go_together(sizing, {**values, field.name: name}, tables))

"""What a call in a notebook gives, read: which sizing, with which kit, inputs and units; a slip is one sentence.

Contents: Called, called, read, several, listed_values, only_by_name, not_supply, units.
"""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from numbers import Real

from mechbench import quantity
from mechbench.catalog import NAMES, sizing_of
from mechbench.desk.arguments import BadQuestion, inputs_meant, value_of, values_of
from mechbench.desk.spoken import all_of_it, beside, way
from mechbench.desk.tokens import plain, tokens
from mechbench.engine.inputs import Supply, Tables
from mechbench.engine.spec import Field
from mechbench.wording import quoted, shortened

SYSTEMS = ("metric", "us")


@dataclass(frozen=True)
class Called:
    """A call that was read: `values` are the inputs that were given (SI numbers, names of parts), `more` those that
    were given several values, or a range, as they were given; `said` how other words were taken.
    """

    sizing: type
    tables: Tables
    values: dict
    system: str
    more: dict
    said: tuple = ()


def called(name, kit=None, system=None, given=None, lists=False, ranges=False, stray=(), kind="size"):
    """Read a call; whether it takes inputs with a list of values, and with a range, is said by `lists` and `ranges`.

    kind : "size", "find" ...; stray : what was given without a name, which is refused
    """
    if isinstance(name, str) and not name:
        raise BadQuestion(f"No sizing is named; begin with one of {', '.join(NAMES)}.")
    said = []
    sizing = _sizing(name, said, kind)
    only_by_name(sizing, kind, (*stray, *([kit] if isinstance(kit, (Mapping, str, float, int)) else [])))
    system, given = _system(sizing, system, dict(given or {}))
    tables = Tables(sizing, kit)
    takes = lambda value: several(value) and (ranges if isinstance(value, str) else lists)
    more = {name: value for name, value in given.items() if takes(value)}
    values = read(sizing, {name: value for name, value in given.items() if name not in more}, tables, said)
    return Called(sizing, tables, values, units(system), more, tuple(said))


def _sizing(name, said, kind):
    """The sizing of that name, or of another word for it, which is said."""
    if isinstance(name, type) or name in NAMES:
        return sizing_of(name)
    if plain(str(name)) in NAMES:  # "Arm"
        return sizing_of(plain(str(name)))
    meant = [one for one in NAMES if plain(str(name)) in sizing_of(one).ALSO]
    if len(meant) > 1:
        raise BadQuestion(f"{quoted(name)} can be {' or '.join(meant)}; name one of these.")
    if meant:
        said.append(f"{shortened(name)}: taken as {meant[0]}, {sizing_of(meant[0]).TITLE}.")
    if not meant and isinstance(name, str) and len(name.split()) > 1:
        raise BadQuestion(_whole_line(name, kind))
    try:
        return sizing_of(meant[0] if meant else name)
    except ValueError as wrong:
        raise BadQuestion(str(wrong)) from None


def _whole_line(text, kind):
    """The sentence for a whole line of the command in one text: the same as a call."""
    from mechbench.desk import which_sizing  # a line is read; few calls ask that

    meant, _ = which_sizing.read(tokens(text.split()), {})
    second = _second(meant.sizing, kind)
    line = which_sizing.line_of(meant, [f"--{kind} {second}"] if second else [])
    return f"A sizing and each of its inputs are given apart: {all_of_it(line)}."


def _second(sizing, kind):
    """What a kind of call is given after the sizing, as an example; "" where that takes none."""
    other = next((f.name for f in sizing.FIELDS[1:] if isinstance(f, Field)), sizing.FIELDS[0].name)
    return {"find": "motor,gearbox", "most": other, "least": other, "sweep": other}.get(kind, "")


def _system(sizing, system, given):
    """The units to show, which people also give as units="us", and the inputs without them."""
    if "units" in given and not any(one.name == "units" for one in sizing.FIELDS):
        system = system or given.pop("units")
    return system, given


def only_by_name(sizing, kind, stray, asked=""):
    """Refuse what was given without a name, with the way to give it; asked: what stands first, if not the sizing."""
    if not stray:
        return
    one, example = stray[0], sizing.FIELDS[0].name
    name, equals, value = one.partition("=") if isinstance(one, str) else ("", "", "")
    if isinstance(one, Mapping):
        such = "**values"
    elif equals:
        such = f'{name.strip()}="{value.strip()}"'
    elif isinstance(one, (str, float, int)):
        such = f'{example}="{one}"' if isinstance(one, str) else f"{example}={one}"
    else:
        such = "kit=..."
    first = asked or sizing.NAME
    second = _second(sizing, kind)
    before = f'"{second}", ' if second else ""
    raise BadQuestion(f'Inputs are given by name: mb.{kind}("{first}", {before}{such}).')


def read(sizing, given, tables, said=None):
    """Inputs as they were given, one value each, as SI numbers and names of parts; None is left out: it is as usual."""
    for name, value in given.items():
        if several(value):
            raise BadQuestion(_one_at_a_time(sizing, name, value))
    try:
        return values_of(sizing, {name: value for name, value in given.items() if value is not None}, tables, said)
    except ValueError as wrong:
        raise BadQuestion(f"{wrong}{_in_si(sizing, given, str(wrong))}") from None


def _in_si(sizing, given, refused):
    """Where a number without a unit was refused: in which unit it was taken, and how to give another."""
    for name, value in given.items():
        meant = inputs_meant(sizing, name)
        if isinstance(value, bool) or not isinstance(value, Real) or len(meant) != 1:
            continue
        if isinstance(meant[0], Field) and refused.startswith(meant[0].name):
            unit = quantity.written(quantity.si_unit(quantity.kind_of(meant[0].unit)))
            shown = quantity.written(meant[0].unit)
            if unit:
                safer = f"a text with a unit, such as {meant[0].name}='{value:g} {shown}', is safer."
                return f" A number alone is in SI units: {value:g} is {value:g} {unit}; {safer}"
    return ""


def several(value):
    """Whether what is given for one input is more than one value: a list, or a range such as "0.2..0.8 kg"."""
    return ".." in value if isinstance(value, str) else hasattr(value, "__len__") and not isinstance(value, Mapping)


def listed_values(field, given, tables):
    """The values of a list for one input, read."""
    # Only one battery can be in the tables: of several each design has its own.
    one = field.read_apart if isinstance(field, Supply) else lambda value, tables: value_of(field, value, tables)
    values = tuple(one(value, tables) for value in given)
    if not values:
        raise BadQuestion(f"{field.name} has no values to try; name one or more in the list.")
    return values


def not_supply(sizing, found, kind):
    """The input that is to be looked for; another battery or fuse is refused, with the way to compare a few."""
    if not isinstance(found, Supply):
        return found
    raise BadQuestion(f"{found.name} is taken one at a time by {way(kind)}; {beside(sizing, found.name)} compares two.")


def _one_at_a_time(sizing, name, value):
    if isinstance(value, str):
        return f'{name} is a range; mb.sweep("{sizing.NAME}", {name}="{value}") runs it through that.'
    many = f'mb.sweep("{sizing.NAME}", {name}=[...])'
    return f"{name} has {len(value)} values, but one answer takes one; {many} goes through all of them."


def units(system=None):
    """The units to show: those that were asked for, else those of the setting."""
    chosen = str(system or os.environ.get("MECHBENCH_UNITS") or "metric").lower()
    if chosen not in SYSTEMS:
        raise BadQuestion(f"system is {quoted(chosen)}, but it must be 'metric' or 'us'; choose one of these.")
    return chosen

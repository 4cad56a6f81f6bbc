"""Examples and one-line help for the keys of a kit: from the schema, and from what the course's own kit has there.

Contents: example, typed_example, alike, help_line, bounds.
"""

import tomllib
from functools import cache

from mechbench.kits.own import OWN_FOLDER
from mechbench.kits.schema import FILES, SHAPES


@cache
def _own():
    """The course's own files, table -> what they have."""
    tables = {}
    for file in FILES:
        tables |= tomllib.loads((OWN_FOLDER / file).read_text(encoding="utf-8"))
    return tables


def example(table, key, kind=""):
    """What the course's own kit has there, in an entry of that kind if there is one; None where it has nothing."""
    shape, entry = SHAPES[table], SHAPES[table].entries[key]
    own = _own().get(table, {})
    entries = [own] if shape.single else [one for one in own.values() if isinstance(one, dict)]
    entries.sort(key=lambda one: one.get(shape.by) != kind)
    given = [one[key] for one in entries if key in one]
    return given[0] if given and not entry.names else None


def typed_example(table, key, kind=""):
    """The same as a person would type it: a share in per cent, a list with "and" or x between; "" without example."""
    entry, given = SHAPES[table].entries[key], example(table, key, kind)
    if given is None:
        return ""
    if entry.is_share:
        return f"{100 * given:g} %"
    if not isinstance(given, list):
        return str(given)
    texts = [str(one) for one in given]
    numbers, units = zip(*(text.partition(" ")[::2] for text in texts))
    if len(set(units)) == 1 and "width" in entry.help:  # sizes
        return f"{' x '.join(numbers)} {units[0]}"
    return " and ".join(filter(None, (", ".join(texts[:-1]), texts[-1])))


def alike(table, key, kind=""):
    """A quantity that one of this key may be like: its example, else one of another key of the table; "" without."""
    entries = SHAPES[table].entries
    keys = (key, *(one for one, entry in entries.items() if entry.kind == entries[key].kind))
    given = [example(table, one, kind) for one in keys] if entries[key].is_quantity else []
    return next((one[0] if isinstance(one, list) else one for one in given if one), "")


def help_line(entry):
    """What a key is, what it may be, and what it means to leave it out."""
    return f"{entry.help}{_may_be(entry)}{f'; left out: {entry.left_out}' if entry.left_out else ''}"


def _may_be(entry):
    if entry.choices:
        return f": {', '.join(entry.choices)}"
    return f" ({bounds(entry)})" if bounds(entry) else ""


def bounds(entry):
    """From where to where a number may be; "" for what has no bounds."""
    return "" if entry.low is None else f"from {entry.low} to {entry.high}"

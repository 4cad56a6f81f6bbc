"""From what a person types, in a terminal or in a cell of a spreadsheet, to what a kit's file would hold, checked.

Contents: value_of, name_of.
"""

import re
import unicodedata

from mechbench.kits.faults import KitError
from mechbench.kits.read import NAME, RESERVED, read_value
from mechbench.quantity import UnreadableQuantity, read

PLAIN_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?")
WITH_UNIT = re.compile(r"[+-]?[\d.,]+\s*([^\d\s.,+-].*)")
LONGEST_NAME = 40


def value_of(text, entry, where, names=()):
    """Read the text of one key as the value that a TOML file would give it; KitError, as the kit's reader words it.

    where : what the sentence begins with
    names : label or name in small letters -> name, of the entries that this key may name
    """
    text = " ".join(text.split())
    if entry.many:
        value = [_one(part, entry, where, dict(names)) for part in _parts(text, entry)]
    else:
        value = _one(text, entry, where, dict(names))
    read_value(where, value, entry)
    return value


def _parts(text, entry):
    """The values of a list: parted by semicolons, else by commas, else by x; a unit at the end is that of all."""
    mark = ";" if ";" in text else "," if "," in text else r"\s[x×]\s|×" if entry.is_quantity else ";"
    parts = [part.strip() for part in re.split(mark, text.strip("[] ")) if part.strip()]
    unit = WITH_UNIT.fullmatch(parts[-1]) if parts and entry.is_quantity else None
    return [f"{part} {unit[1]}" if unit and PLAIN_NUMBER.fullmatch(part) else part for part in parts]


def _one(text, entry, where, names):
    if entry.kind == "choice":
        folded = text.lower().replace(" ", "_").replace("-", "_")
        return folded if folded in entry.choices else text
    if entry.names or entry.kind == "pair":
        return names.get(text.strip("\"'").lower(), text)
    if entry.kind == "words":
        return text
    if entry.is_quantity and not PLAIN_NUMBER.fullmatch(text):
        return text
    return _number(text, where)


def _number(text, where):
    try:
        number = read(text, "number").value
    except UnreadableQuantity as error:
        raise KitError(f"{where}: {error}") from None
    return int(number) if number == int(number) else number


def name_of(label, taken, otherwise):
    """Make the name of an entry from its label, "West loom" -> west_loom, other than those taken.

    otherwise : a word for a label that has no letter a to z, or begins with none
    """
    plain = unicodedata.normalize("NFKD", label).encode("ascii", "ignore").decode().lower()
    name = re.sub("[^a-z0-9]+", "_", plain).strip("_")[: LONGEST_NAME - 4].strip("_")
    if not NAME.fullmatch(name):
        name = f"{otherwise}_{name}".strip("_")[: LONGEST_NAME - 4].strip("_")
    free, number = name, 1
    while free in taken or free in RESERVED:
        number += 1
        free = f"{name}_{number}"
    return free

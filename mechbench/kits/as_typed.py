"""From what a person types, in a terminal or in a cell of a spreadsheet, to what a kit's file would hold, checked.

Contents: value_of, left_out, says_nothing, is_none, such, name_of, own_grip.

What people type first is taken where it has one meaning: "10 %" and "one in ten" for 0.1, "3.6 and 5" or "480 x 480 x
420 mm" for a list, "6 points", "2:20" for a time, "pots" for the piece named pot, a measured 0.95 for a friction pair;
and "no limit", "none" or "don't know" where a key may be left out.
"""

import re
import unicodedata

from mechbench.kits.entry import REQUIRED
from mechbench.kits.faults import KitError, shown
from mechbench.kits.read import NAME, RESERVED, as_share, read_value
from mechbench.quantity import UnreadableQuantity, read

PLAIN_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?")
WITH_UNIT = re.compile(r"[+-]?[\d.,]+\s*([^\d\s.,+-].*)")
LONGEST_NAME = 40
UNTOLD = ("-", "--", "–", "—", "?", "skip", "don't know", "dont know", "do not know", "not known", "unknown", "no idea")
UNTOLD = (*UNTOLD, "n/a", "na", "not given")
NONE = ("none", "no", "no limit", "unlimited", "infinite", "any number", "without limit", "nothing", "not limited")
ALL = ("all", "any", "both", "everything", "everywhere", "all of them", "every one")
COUNTED = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
WORDS = {word: float(number) for number, word in enumerate(COUNTED, 1)}
WORDS |= {"double": 2.0, "twice": 2.0, "triple": 3.0, "half": 0.5, "a half": 0.5, "a third": 0.3333, "a quarter": 0.25}
# Words in front of a number, or behind it, that change nothing.
ROUND_ABOUT = re.compile(r"^(?:about|from|around|ca\.?|approx\.?|at most|up to|max\.?|~|≈|[x×](?=\d))\s*")
BEHIND = re.compile(r"\s*(?:times|[x×]|:\s*1)$")
ONE_IN = re.compile(r"(\w+)\s+(?:in|of|out of)\s+(\w+)")
FOR_60 = re.compile(r"\s*/\s*60\s*(?:°|deg|degrees)?$")  # behind a servo's time, as its label prints it
MEASURED = re.compile(r"([+-]?\d+(?:[.,]\d+)?)(?: on .*)?")  # a coefficient of friction, and on what
CLOCK = re.compile(r"(\d{1,3}):([0-5]\d)")
ARTICLE = re.compile(r"^(?:the|a|an|all)\s+")
FORMS = {"number": "6", "count": "6"}


# --- nothing --------------------------------------------------------------------------------------------------------


def left_out(text, entry):
    """Whether a text says that a key is left out, by whatever words, where it may be."""
    return entry.default is not REQUIRED and says_nothing(text, entry)


def says_nothing(text, entry):
    """Whether a text says nothing, by whatever words: of a key that means all when it is left out, "all" does."""
    word = _plain(text)
    return not word or word in UNTOLD or word in (ALL if entry.left_out.startswith("all") else NONE)


def is_none(text):
    """Whether a text says that there is none, or that nobody knows."""
    return _plain(text) in (*UNTOLD, *NONE)


def _plain(text):
    return " ".join(text.lower().replace("’", "'").split()).rstrip(".!")


# --- values ---------------------------------------------------------------------------------------------------------


def value_of(text, entry, where, names=()):
    """Read the text of one key as the value that a TOML file would give it; KitError, as the kit's reader words it.

    A number for a friction pair is given as it is: see own_grip. where : what the sentence begins with
    names : label or name in small letters -> name, of the entries that this key may name
    """
    text, names = " ".join(text.split()), dict(names)
    if entry.kind == "pair" and (measured := MEASURED.fullmatch(ROUND_ABOUT.sub("", text))):
        return _grip(measured[1], entry, where)
    if entry.many:
        value = _listed(text, entry, where, names)
    else:
        value = _one(text, entry, where, names)
    read_value(where, value, entry)
    return value


def _grip(text, entry, where):
    """A measured coefficient of friction, where a friction pair is named."""
    number, most = _read_number(text, entry, where), 3
    if not 0 < number <= most:
        raise KitError(f"{where} is {number:g}, but a coefficient of friction is above 0 and at most {most}.")
    return number


def _listed(text, entry, where, names):
    if names and text.lower() in (*ALL, "all pieces"):
        return list(dict.fromkeys(names.values()))
    if entry.names and entry.least <= 1 and text.lower() in names:  # a label may have an "and" of its own
        return [names[text.lower()]]
    values = [_one(part, entry, where, names) for part in _parts(text, entry)]
    if entry.least == entry.most != len(values):
        has = "one value" if len(values) == 1 else f"{len(values)} values"
        form = ': write "and" between them' if entry.names else f", such as {such(entry)}"
        raise KitError(f"{where} has {has}, but {entry.least} are asked{form}.")
    return values


def _parts(text, entry):
    """The values of a list: parted by semicolons, else by "and" and commas, else by x; a unit at the end is of all."""
    text = text.strip("[] ")
    if ";" in text:
        mark = ";"
    elif re.search(r"\sand\s|\s[&+]\s", text):
        mark = r"\sand\s|\s[&+]\s|,\s"
    elif "," in text:
        mark = r",\s" if ", " in text else ","
    elif entry.kind in ("words", "name"):
        mark = ";"
    else:
        mark = r"\s*[x×]\s*(?=\d)|\s(?:by|to)\s|(?<=\d)\s(?=\d)"
    parts = [part.strip() for part in re.split(mark, text) if part.strip()]
    unit = WITH_UNIT.fullmatch(parts[-1]) if parts and entry.is_quantity else None
    return [f"{part} {unit[1]}" if unit and PLAIN_NUMBER.fullmatch(part) else part for part in parts]


def _one(text, entry, where, names):
    if entry.kind == "choice":
        return _chosen(text, entry)
    if entry.kind == "pair":
        return names.get(text.strip("\"'").lower(), text)
    if entry.names:
        return _named(text, names)
    if entry.kind == "words":
        return text
    if entry.is_quantity:
        return _quantity(text, entry, where)
    return _number(text, entry, where)


def _chosen(text, entry):
    """The choice that a text means: the word itself, alone among others, by its beginning, or by what it means."""
    folded = re.sub(r"[\s-]+", "_", text.lower())
    meant = [
        [one for one in entry.choices if one == folded],
        [one for one in entry.choices if f"_{one}_" in f"_{folded}_" or f"_{folded}_" in f"_{one}_"],
        [one for one in entry.choices if len(folded) > len("ab") and one.startswith(folded)],
        [one for one, means in zip(entry.choices, entry.means) if _begin_alike(folded, means)],
        [one for one, means in zip(entry.choices, entry.means) if folded in re.findall(r"\w+", means.lower())],
    ]
    return next((found[0] for found in meant if len(found) == 1), text)


def _begin_alike(folded, means):
    first = folded.partition("_")[0]
    return len(first) > len("you") and means.lower().split()[0] == first


def _named(text, names):
    """The name that a text means: a label, a part of one label alone, one or several of it; else the text."""
    word = text.strip("\"'").lower()
    plain = ARTICLE.sub("", word)
    for one in (word, plain, plain.removesuffix("s")):
        if one in names:
            return names[one]
    for one in (plain, plain.removesuffix("s")):
        meant = {name for label, name in names.items() if one and re.search(rf"\b{re.escape(one)}\b", label)}
        if len(meant) == 1:
            return meant.pop()
    meant = {name for label, name in names.items() if re.search(rf"\b{re.escape(label)}\b", word)}
    return meant.pop() if len(meant) == 1 else text


def _quantity(text, entry, where):
    """Text with a unit; a time as a clock shows it, and 0 of anything, need none. The reader refuses other numbers."""
    plain = ROUND_ABOUT.sub("", text)
    plain = FOR_60.sub("", plain) if entry.kind == "time" else plain
    if entry.kind == "time" and (clock := CLOCK.fullmatch(plain)):
        return f"{60 * int(clock[1]) + int(clock[2])} s"
    unit = str(entry.low).partition(" ")[2]
    if PLAIN_NUMBER.fullmatch(plain):
        number = _read_number(plain, entry, where)
        return f"0 {unit}" if number == 0 else _whole(number)
    return plain or text


def _number(text, entry, where):
    plain = ROUND_ABOUT.sub("", text.lower())
    plain = BEHIND.sub("", plain) if PLAIN_NUMBER.match(plain) else plain
    number = WORDS.get(plain)
    if number is None and entry.is_share:
        number = _share(plain)
    if number is None:
        number = _read_number(_without_noun(plain, entry), entry, where, text)
    if entry.is_share and number > entry.high:
        raise KitError(
            f"{where} is {shown(_whole(number))}, but it must be from {entry.low} to {entry.high}, such as"
            f' "{such(entry)}" ({entry.help}).'
        )
    return _whole(number)


def _whole(number):
    return int(number) if number == int(number) else number


def _share(plain):
    """The number of "10 %" or "one in ten"; None where it is no such text."""
    hit = ONE_IN.fullmatch(plain)
    some, of = ([WORDS.get(one) or (float(one) if one.isdigit() else 0.0) for one in hit.groups()]) if hit else (0, 0)
    return round(some / of, 4) if some and of else as_share(plain)


def _without_noun(plain, entry):
    """The number alone of "6 points" or "10 pots", where things are counted and the word behind it is no unit."""
    hit = re.fullmatch(r"([+-]?\d[\d.,]*)\s*([^\W\d_][^\d]*)", plain)
    if not hit or not (entry.kind == "count" or re.search(r"\b(?:pieces?|points)\b", entry.help)):
        return plain
    try:
        return hit[1] if read(plain).kind in ("points", "count", "number") else plain
    except UnreadableQuantity as error:
        return hit[1] if error.reason == "unknown unit" else plain


def _read_number(plain, entry, where, text=""):
    try:
        return read(plain, "number").value
    except UnreadableQuantity as error:
        said = str(error).replace(plain, text) if text else str(error)
        wanted = "a share" if entry.is_share else "numbers" if entry.many else "a number"
        said = said.replace("write one number, for example 3.2", f"write {wanted}, such as {such(entry)}")
        raise KitError(f"{where}: {said.replace('for example 3.2', f'such as {such(entry)}')}") from None


def such(entry):
    """An example of the right form, for a key of which no better one is known."""
    unit = str(entry.low).partition(" ")[2]
    if entry.is_share:
        return "10 %"
    if entry.kind == "length" and entry.many:
        return f"{' x '.join(['480', '480', '420'][-entry.least :] if entry.least > 1 else ['480', '420'])} {unit}"
    if entry.many:
        return f"3.6 {unit}".strip() + " and " + f"5 {unit}".strip() if entry.kind != "count" else "24 and 12"
    return FORMS.get(entry.kind, f"... {unit}")


def own_grip(tables, table, name, key, value, floor="floor"):
    """Enter a measured coefficient of friction that stands where a friction pair is named: a pair of its own."""
    label = tables[table][name].get("label", name.replace("_", " "))
    on = {"along": f"on {floor}", "across": f"on {floor}, sideways", "grip": "on the pieces"}.get(key, key)
    pair = f"{name[: LONGEST_NAME - len(key) - 1]}_{key}"
    tables.setdefault("friction", {})[pair] = {"label": f"{label} {on}"[:80], "value": value}
    tables[table][name][key] = pair


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

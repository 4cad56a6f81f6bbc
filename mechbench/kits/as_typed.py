"""From what a person types, in a terminal or in a cell of a spreadsheet, to what a kit's file would hold, checked.

Contents: value_of, told, left_out, says_nothing, is_none, nobody_knows, no_time, refuse_unknown, refuse_as_name,
sizes_in, three_times_in, such, name_of, own_grip.

What people type first is taken where it has one meaning: "10 %" and "one in ten" for 0.1, "3.6 and 5" or "480 x 480 x
420 mm" for a list, "6 points", "2:20" for a time, "pots" for the piece named pot, a measured 0.95 for a friction pair;
and "no limit", "none" or "don't know" where a key may be left out. A bare number is taken with the unit of an example
where no other usual unit makes it anything near that. Words behind a number are passed over where the question says
them too ("1.9 m longer"); others may change what is meant, so they are refused. `told` says what was taken.
"""

import re
import unicodedata

from mechbench.kits.entry import REQUIRED
from mechbench.kits.faults import KitError, shown
from mechbench.kits.read import NAME, RESERVED, as_share, read_value
from mechbench.quantity import UnreadableQuantity, read

PLAIN_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+)")
WITH_UNIT = re.compile(r"[+-]?[\d.,]+\s*([^\d\s.,+-].*)")
LONGEST_NAME = 40
NOT_KNOWN = ("don't know", "dont know", "do not know", "not known", "unknown", "no idea", "we don't know", "not sure")
UNTOLD = ("-", "--", "–", "—", "?", "skip", *NOT_KNOWN, "n/a", "na", "not given")
NO_LIMIT = ("no limit", "unlimited", "infinite", "any number", "without limit", "not limited")
NONE = ("none", "no", "nothing", *NO_LIMIT, "as many as you like", "as many as you want")
NO_TIME = ("nothing", "none", "no time", "at once", "zero")
EVERY_ONE = ("all", "all of them", "every one", "all of them lie", "all lie")
ALL = (*EVERY_ONE, "any", "both", "everything", "everywhere")
COUNTED = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
WORDS = {word: float(number) for number, word in enumerate(COUNTED, 1)}
WORDS |= {"double": 2.0, "twice": 2.0, "triple": 3.0, "half": 0.5, "a half": 0.5, "a third": 0.3333, "a quarter": 0.25}
# Words in front of a number, or behind it, that change nothing.
ROUND_ABOUT = re.compile(r"^(?:about|from|around|ca\.?|approx\.?|at most|up to|max\.?|~|≈|[x×](?=\d))\s*")
BEHIND = re.compile(r"\s*(?:times|[x×]|:\s*1)$")
ONE_IN = re.compile(r"(\w+)\s+(?:in|of|out of)\s+(\w+)")
FOR_60 = re.compile(r"\s*/\s*60\s*(?:°|deg|degrees)?$")  # behind a servo's time, as its label prints it
COUNT_OF = re.compile(rf"^({'|'.join(COUNTED)})\s+(?=[^\W\d_])")  # "two" of "two colours"
IN_ALL = re.compile(r"\s+(?:in all|in total|altogether)$")
OR_MORE, AND_MORE = re.compile(r"\s+(?:or|and) more$"), "from how many on"
MEASURED = re.compile(r"([+-]?\d+(?:[.,]\d+)?)(?: on .*)?")  # a coefficient of friction, and on what
TIME = r"[\d.,]+(?:\s*[a-z]+)?"
THREE_TIMES = re.compile(
    rf"(?:(?:about|usually|mostly)\s+)?(?P<likely>{TIME})\s*[,(]\s*(?:from\s+)?"
    rf"(?P<low>{TIME})\s*(?:to|-|–)\s*(?P<high>{TIME})\)?"
)
CLOCK = re.compile(r"(\d{1,3}):([0-5]\d)")
ANY_SIDE = re.compile(r"(?:they\s+)?(?:all\s+)?(?:lie\s+)?(?:on\s+)?any side(?:\s+up)?")
ARTICLE = re.compile(r"^(?:the|a|an|all)\s+")
NOT = re.compile(r"\b(?:not|no|never|neither|without|except|instead)\b|n't\b")
WITHOUT = re.compile(r"\b(?:no|not|without)\s+")  # "no load" and "without load" are one word, and "load" is another
SIZES = re.compile(r"\d[\d.,]*\s*[a-z]*\s*(?:[x×]|by)\s*(?=\d)(?!10\s*[\^*])", re.IGNORECASE)
# Words behind a value that change nothing, and those that may: of one or of several, more or less than something.
FILLERS = ("the", "a", "an", "of", "about", "roughly", "measured", "for", "only", "just", "our", "please")
EACH, TOGETHER = ("each", "apiece"), ("both", "all", "together")
COMPARING = {"lower", "upper", "higher", "two"}  # of a part of the thing in the question, of the value behind it
PARTED = "stage"  # where this is asked about, "each" may be of the whole
CHANGES = (
    "more",
    "less",
    "fewer",
    "or",
    "plus",
    "minus",
    "per",
    "other",
    "others",
    "half",
    "dozen",
    "hundred",
    *TOGETHER,
)
CHANGES = (*CHANGES, "thousand", "pairs", "pair", "sets", "set", *COUNTED[1:])
# Words behind a value, and words of the question of which one says the same there.
ALIKE = {"high": {"height", "highest", "floor"}, "tall": {"height", "highest", "high", "floor"}, "stall": {"still"}}
ALIKE |= {"deep": {"depth"}, "wide": {"width"}, "long": {"length"}, "thick": {"thickness"}, "wires": {"wiring"}}
ALIKE |= {"length": {"long"}, "width": {"wide"}, "height": {"high", "highest"}, "depth": {"deep"}, "wire": {"wiring"}}
ALIKE |= {"centre": {"middle"}, "center": {"middle"}}
# Units that people write without a word, by what is asked; NEAR: how far from an example a number may be.
NEAR = 7
USUAL = {
    "length": ("mm", "cm", "m", "in", "ft"),
    "mass": ("g", "kg", "oz", "lb"),
    "time": ("s", "ms", "min"),
    "torque": ("N·m", "N·cm", "mN·m", "kgf·cm", "lbf·in", "lbf·ft", "ozf·in"),
    "force": ("N", "kN", "kgf", "lbf"),
    "turning-speed": ("rpm",),
    "angle": ("deg",),
    "voltage": ("V",),
    "current": ("A", "mA"),
    "charge": ("A·h", "mA·h"),
    "resistance": ("ohm", "mohm"),
}
FORMS = {"number": "6", "count": "6"}


# --- nothing --------------------------------------------------------------------------------------------------------


def left_out(text, entry, called=""):
    """Whether a text says that a key is left out, by whatever words, where it may be."""
    return entry.default is not REQUIRED and says_nothing(text, entry, called)


def says_nothing(text, entry, called=""):
    """Whether a text says nothing, by whatever words, those of its question among them: of a key that means all when it
    is left out, "all" does; of what people call edge, "no edge" does.
    """
    word, (empty, *_) = _plain(text), re.split("[;,]", entry.left_out)
    none = ALL if entry.left_out.startswith("all") else (*NONE, f"no {called.lower()}" if called else "")
    return not word or word in UNTOLD or word in none or word == empty


def nobody_knows(text):
    """Whether a text says that its writer does not know."""
    return _plain(text) in NOT_KNOWN


def refuse_unknown(text, entry, where, example=""):
    """Refuse "don't know" where leaving a key out means that there is none: what nobody knows is not nothing."""
    if entry.left_out == NONE[0] and nobody_knows(text):
        such_as = f", such as {example}," if example else ""
        raise KitError(
            f"{where} is not nothing because nobody knows it: type about how much{such_as} or {NONE[0]} where there is"
            f" {NONE[0]}."
        )


def no_time(text, entry):
    """Whether a text says by a word that something takes no time, where that may be."""
    return entry.kind == "time" and str(entry.low).startswith("0 ") and _plain(text) in NO_TIME


def refuse_as_name(text, where, alone=True):
    """Refuse a name that is a number, and where names are asked one by one, several at once."""
    if not any(sign.isalpha() for sign in text):
        raise KitError(f"{where} is {shown(text)}, but a name has a letter; type a name.")
    if alone and re.search("[,;]", text):
        raise KitError(f"{where} is {shown(text)}: one name at a time, without comma; others are asked after it.")


def is_none(text):
    """Whether a text says that there is none, or that nobody knows."""
    return _plain(text) in (*UNTOLD, *NONE)


def _plain(text):
    return " ".join(text.lower().replace("’", "'").split()).rstrip(".!")


# --- values ---------------------------------------------------------------------------------------------------------


def value_of(text, entry, where, names=(), example=""):
    """Read the text of one key as the value that a TOML file would give it; KitError, as the kit's reader words it.

    A number for a friction pair is given as it is: see own_grip. where : what the sentence begins with
    names : label or name in small letters -> name, of the entries that this key may name
    example : such as "72 mm", what a number without a unit may be like
    """
    text, names = " ".join(text.split()), dict(names)
    if entry.kind == "pair" and (measured := MEASURED.fullmatch(ROUND_ABOUT.sub("", text))):
        return _grip(measured[1], entry, where)
    if entry.many:
        value = _listed(text, entry, where, names, example)
    else:
        value = _one(text, entry, where, names, example)
    read_value(where, value, entry)
    return value


def _grip(text, entry, where):
    """A measured coefficient of friction, where a friction pair is named."""
    number, most = _read_number(text, entry, where), 3
    if not 0 < number <= most:
        raise KitError(f"{where} is {number:g}, but a coefficient of friction is above 0 and at most {most}.")
    return number


def told(text, value, entry, labels=()):
    """What a text was taken for, for people, where that is not what it says; else "".

    labels : name -> what people call it, of the entries that the key may name
    """
    labels, values = dict(labels), value if isinstance(value, list) else [value]
    shown_as = [_for_people(one, entry, labels) for one in values]
    if entry.kind == "words" or _folded(text) in map(_folded, (_row(shown_as), *map(str, values))):
        return ""
    try:
        parts = _parts(text, entry) if entry.many else [text]
        plain = [_folded(part) for part in parts]
        known = [{_folded(one), _folded(name), *_endings(one)} for one, name in zip(shown_as, map(str, values))]
        as_they_are = len(plain) == len(known) and all(part in one for part, one in zip(plain, known))
        as_numbers = not entry.is_quantity and [read(part, "number").value for part in parts] == values
    except UnreadableQuantity:
        as_numbers = False
    return "" if as_they_are or as_numbers else _row(shown_as)


def _row(texts):
    return " and ".join(filter(None, (", ".join(texts[:-1]), texts[-1])))


def _for_people(value, entry, labels):
    if isinstance(value, str):
        return labels.get(value, value.replace("_", " "))
    return f"{100 * value:.4g} %" if entry.is_share else f"{value:g}"


def _folded(text):
    return re.sub(r"[\s_-]", "", ARTICLE.sub("", text.lower())).replace(",", ".")


def _endings(label):
    return (_folded(label) + "s",)


def _listed(text, entry, where, names, example):
    if names and text.lower() in (*ALL, "all pieces"):
        return list(dict.fromkeys(names.values()))
    if entry.names and entry.least <= 1 and text.lower() in names:  # a label may have an "and" of its own
        return [names[text.lower()]]
    values = [_one(part, entry, where, names, example) for part in _parts(text, entry)]
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


def _one(text, entry, where, names, example):
    if entry.kind == "choice":
        return _chosen(text, entry)
    if entry.kind == "pair":
        return names.get(text.strip("\"'").lower(), text)
    if entry.names:
        return _named(text, names)
    if entry.kind == "words":
        return text
    if entry.is_quantity:
        return _quantity(text, entry, where, example)
    return _number(text, entry, where)


def _chosen(text, entry):
    """The choice that a text means: the word itself, alone among others, by its beginning, or by what it means."""
    folded = "_".join(word for word in re.split(r"[\s-]+", text.lower()) if not ARTICLE.match(f"{word} "))
    meant = [[one for one in entry.choices if one == folded]]
    meant += (
        []
        if NOT.search(text.lower())
        else [
            [one for one in entry.choices if f"_{one}_" in f"_{folded}_" or f"_{folded}_" in f"_{one}_"],
            [one for one in entry.choices if len(folded) > len("ab") and one.startswith(folded)],
            [one for one, means in zip(entry.choices, entry.means) if _begin_alike(folded, means)],
            [one for one, means in zip(entry.choices, entry.means) if folded in re.findall(r"\w+", means.lower())],
        ]
    )
    return next((found[0] for found in meant if len(found) == 1), text)


def _begin_alike(folded, means):
    first = folded.partition("_")[0]
    return len(first) > len("you") and means.lower().split()[0] == first


def _named(text, names):
    """The name that a text means: a label, a part of one label alone, one or several of it; else the text. What says
    more than a label may mean its opposite, and is no name.
    """
    word = text.strip("\"'").lower()
    plain = ARTICLE.sub("", word)
    for one in (word, plain, plain.removesuffix("s")):
        if one in names:
            return names[one]
    for one in (plain, plain.removesuffix("s")):
        meant = {name for label, name in names.items() if one and re.search(rf"\b{re.escape(one)}\b", label)}
        if len(meant) == 1:
            return meant.pop()
    behind = {name for label, name in names.items() for rest in _around(label, word) if set(rest.split()) <= {*FILLERS}}
    return behind.pop() if len(behind) == 1 else text


def _around(label, word):
    """What stands around a label in a text; nothing where it is not in it."""
    hit = re.search(rf"\b{re.escape(label)}\b", word)
    return [f"{word[: hit.start()]} {word[hit.end() :]}"] if hit else []


def _quantity(text, entry, where, example):
    """Text with a unit; a time as a clock shows it, and 0 of anything, need none, nor does a number that is near the
    example in its unit alone. The reader refuses other numbers.
    """
    if no_time(text, entry):
        return "0 s"
    plain = ROUND_ABOUT.sub("", text)
    plain = FOR_60.sub("", plain) if entry.kind == "time" else plain
    if entry.kind == "time" and (clock := CLOCK.fullmatch(plain)):
        return f"{60 * int(clock[1]) + int(clock[2])} s"
    if SIZES.search(plain):
        raise KitError(f"{where} has {len(SIZES.findall(plain)) + 1} values, but one is asked here: write it alone.")
    if PLAIN_NUMBER.fullmatch(plain):
        number = _read_number(plain, entry, where)
        unit = str(entry.low).partition(" ")[2] if number == 0 else _unit_of(number, entry, example)
        return f"{plain if number else 0} {unit}" if unit else _whole(number)
    return _without_words(plain, entry, where) or text


def _unit_of(number, entry, example):
    """The unit of an example, where a number in no other usual unit is near it; else ""."""
    unit, usual = str(example).partition(" ")[2], USUAL.get(entry.kind, ())
    if unit not in usual or number <= 0:
        return ""
    size = read(str(example), entry.kind).value
    near = [one for one in usual if 1 / NEAR <= read(f"{number} {one}", entry.kind).value / size <= NEAR]
    return unit if near == [unit] else ""


def _without_words(plain, entry, where):
    """The quantity alone, where the words behind it are those of the question; KitError where they are others."""
    hit = re.match(r"[+-]?[\d.,]+\s*", plain)
    words = plain[hit.end() :].split() if hit else []
    for count in range(len(words) - 1, 0, -1):
        quantity, rest = hit[0] + " ".join(words[:count]), " ".join(words[count:])
        if not _readable(quantity, entry.kind) or re.search(r"\d", rest):
            continue
        if _adds_nothing(rest, entry):
            return quantity
        raise KitError(
            f"{where} is {shown(plain)}, and {shown(rest)} may change what is meant; write it alone, such as"
            f" {quantity}, if that is what is asked ({entry.help})."
        )
    return plain


def _readable(text, kind):
    try:
        return bool(read(text, kind))
    except UnreadableQuantity:
        return False


def _adds_nothing(text, entry):
    """Whether words behind a value are those of its question, and do not change what is meant."""
    asked = _words_of(f"{entry.help} {entry.title}")
    is_of_one = (entry.kind == "mass" or "one" in asked) and not asked & {*TOGETHER, *COMPARING, PARTED}
    known = {*FILLERS, *(EACH if is_of_one else ()), *asked} - COMPARING
    return all(word in known or ALIKE.get(word, set()) & asked for word in _words_of(text))


def _words_of(text):
    return {*re.findall(r"[^\W\d_]+(?:-[^\W\d_]+)*", WITHOUT.sub("no-", text.lower()))}


def _number(text, entry, where):
    plain = ROUND_ABOUT.sub("", text.lower())
    plain = BEHIND.sub("", plain) if PLAIN_NUMBER.match(plain) else plain
    number = 1.0 if entry.is_share and plain in EVERY_ONE else WORDS.get(plain)
    if number is None and ANY_SIDE.fullmatch(plain) and "any side" in entry.help:
        plain = "two in three"  # as the question says of a box
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
    """The number alone of "6 points", "two colours" or "12 in all", where things are counted and the word behind it is
    no unit.
    """
    plain = IN_ALL.sub("", plain) if entry.kind == "count" else plain
    plain = OR_MORE.sub("", plain) if AND_MORE in entry.help else plain
    plain = f"{WORDS[plain]:g}" if plain in COUNTED else COUNT_OF.sub(lambda hit: f"{WORDS[hit[1]]:g} ", plain, count=1)
    hit = re.fullmatch(r"([+-]?\d[\d.,]*)\s*([^\W\d_][^\d]*)", plain)
    if not hit or not (entry.kind == "count" or re.search(r"\b(?:pieces?|points)\b", entry.help)):
        return plain
    if _words_of(hit[2]) & {*CHANGES} - _words_of(entry.help) or NOT.search(hit[2]):
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


def sizes_in(text):
    """The sizes of "112 x 96 x 90 mm", each with the unit; [] where a text has not several."""
    if not SIZES.search(text):
        return []
    parts = [part.strip() for part in re.split(r"\s*(?:[x×]|\bby\b)\s*(?=\d)", text, flags=re.IGNORECASE)]
    unit = WITH_UNIT.fullmatch(parts[-1])
    return [f"{part} {unit[1]}" if unit and PLAIN_NUMBER.fullmatch(part) else part for part in parts]


def three_times_in(text):
    """Quickest, usual and slowest time of "about 1 s (0.5 to 3)" or "0.5, 1, 3 s", each with the unit; else []."""
    if hit := THREE_TIMES.fullmatch(text):
        parts = [hit["low"], hit["likely"], hit["high"]]
    else:
        parts = [part.strip() for part in re.split(r";|,\s", text)]
    units = [one[1] for part in parts if (one := WITH_UNIT.fullmatch(part))]
    if len(parts) != 3 or len(set(units)) != 1:
        return []
    return [f"{part} {units[0]}" if PLAIN_NUMBER.fullmatch(part) else part for part in parts]


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

"""One quantity in another unit: the command `convert 35 ozf·in N·m`, and mb.convert("35 ozf·in", "N·m").

Contents: convert (for notebooks), command, looks_like, read, Converted, text_of, data_of.

`to`, `in`, `into` and `as` may stand before the unit asked, and nothing need to; without a unit asked, the usual ones
of the same kind are told.
"""

import json
from dataclasses import dataclass, replace
from fractions import Fraction
from html import escape

from mechbench import quantity
from mechbench.command_line import typed
from mechbench.desk.command_words import BadQuestion, Option, answered, options_lines, read_words
from mechbench.desk.rich_text import Shown
from mechbench.desk.spoken import way
from mechbench.desk.tokens import as_torque
from mechbench.wording import quoted

TYPED = f"{typed()} convert"
OPTIONS = {
    "--help": Option("", "how it is asked"),
    "--json": Option("", "print it as JSON, for another program"),
}
BETWEEN = ("to", "in", "into", "as", "is", "=", "->")
SHORT, FULL = 3, 6  # digits that are shown
MOST_UNITS = 6
GRAVITY = 9.80665  # m/s2, standard gravity: exact by definition, NIST SP 811 (2008) App. B.8
RULE, LONG = 64, 48  # the finest marks of a rule, and how many inches one has at most
LONGEST = 12  # words of a question


@dataclass(frozen=True, repr=False)
class Converted(Shown):
    """A quantity as it was read, and the same in each unit asked: unit -> number; notes are sentences."""

    reading: quantity.Reading
    kind: str
    numbers: dict
    notes: tuple = ()

    @property
    def value(self):
        """The quantity in SI units."""
        return self.reading.value

    def __getitem__(self, unit):
        """The number in one of the units that are told."""
        if unit in self.numbers:
            return self.numbers[unit]
        raise KeyError(f"{quoted(unit)} is not told here, but {', '.join(self.numbers)}; ask for that unit.")

    def __float__(self):
        """The number in the unit asked, the first one."""
        return next(iter(self.numbers.values()))

    def __repr__(self):
        return text_of(self)

    def _repr_html_(self):
        return "".join(f"<div>{escape(quantity.unbroken(line))}</div>" for line in text_of(self).splitlines())

    def to_dict(self):
        """The same as plain data."""
        return data_of(self)


def convert(*words):
    """One quantity in another unit: mb.convert("35 ozf·in", "N·m"); without a unit asked, in the usual ones.

    words : the quantity, then the unit; or both in one text, "14 in to mm"

    What it gives has the number in the unit asked as float(...), in any unit told as ["N·m"], and in SI as .value.
    """
    if not words:
        raise BadQuestion(f"Nothing is given to convert; {_usage()}.")
    return read(" ".join(map(str, words)).split())


def _usage():
    """What to type, as a line or as a call."""
    line = f"{TYPED} 14 in mm" if way("size") != "mb.size" else 'mb.convert("14 in", "mm")'
    return f"write a number with its unit, and the unit asked: {line}"


def command(arguments):
    """Answer one line typed after `convert`; give the exit code: 0, or 2 where it can't be converted."""
    return answered(_print, arguments)


def _print(arguments):
    options, words = read_words(arguments, OPTIONS)
    if "--help" in options or not words:
        print("\n".join(_help()))
        return 0
    found = read(words)
    print(json.dumps(data_of(found), indent=1) if "--json" in options else text_of(found))
    return 0


def _help():
    return [
        f"{TYPED} NUMBER UNIT [to] UNIT",
        "",
        "One quantity in another unit; without a second unit, in the usual ones.",
        "",
        f"  {TYPED} 35 ozf·in N·m",
        f"  {TYPED} 14 in to mm",
        f"  {TYPED} 3 1/2 in",
        "",
        *options_lines(OPTIONS),
        "",
        "The exit code is 0, or 2 where it can't be converted: one sentence says why.",
    ]


# --- reading --------------------------------------------------------------------------------------------------------


def looks_like(words):
    """Whether words are a conversion, without that they say so: a quantity, then a unit, and nothing else."""
    words, _ = _weights(words)
    if not words or not words[0].lstrip("+-−.")[:1].isdigit():
        return False
    return any(_is_unit(unit) and _may_be_a_quantity(text) for text, unit in _ways(words, False))


def _may_be_a_quantity(text):
    """Whether a text is a quantity, or a number with one word that may be a unit nobody knows: 35 parsec."""
    _, *unit = text.split()
    return len(unit) <= 1 or bool(_of_kind_alone(text))


def _of_kind_alone(text):
    try:
        return quantity.read(text).kind
    except ValueError:
        return ""


def read(words):
    """A Converted from words such as 14 in to mm; refused in one sentence."""
    words, said = _weights([word for word in words if word != "="])
    if len(words) > LONGEST:
        raise BadQuestion(f"{quoted(' '.join(words))} is more than a number and two units; {_usage()}.")
    wrong = None
    for number, unit in _ways(words, True):
        if unit and not _is_unit(unit):
            continue
        try:
            found = _between(number, unit) if unit else _in_usual_units(number)
            return replace(found, notes=(*said, *found.notes))
        except ValueError as fault:
            wrong = wrong or fault
    raise BadQuestion(str(wrong) if wrong else _no_unit(words))


def _weights(words):
    """Words in which kg·cm, as it stands on a servo's label, is the torque that is meant; and a note on that."""
    plain = " ".join(words)
    meant = as_torque(plain)
    if meant == plain:
        return words, ()
    return meant.split(), ("kg·cm is taken as kgf·cm: the torque of the weight of so many kilograms, at 1 cm.",)


def _no_unit(words):
    """The sentence for words of which the last ones are no unit."""
    try:
        quantity.read(" ".join(words))
    except ValueError as wrong:
        first = str(wrong).rstrip(".")
        return first if first.endswith("?") else f"{first}; {_usage()}."
    return f"{quoted(' '.join(words))} can't be read; {_usage()}."


def _ways(words, alone):
    """Ways to part words into a quantity and a unit, the likeliest first; alone: all of it may be the quantity."""
    joined = lambda some: " ".join(some)
    marked = [at for at, word in enumerate(words) if word.lower() in BETWEEN and 0 < at < len(words) - 1]
    for at in reversed(marked):
        yield joined(words[:at]), joined(words[at + 1 :])
    for at in range(len(words) - 1, 0, -1):
        if words[at - 1].lower() not in BETWEEN[:1] + BETWEEN[2:]:
            yield joined(words[:at]), joined(words[at:])
    if alone:
        yield joined(words), ""


def _is_unit(text):
    try:
        return bool(text) and (not text[0].isdigit() or text.startswith("1/")) and bool(quantity.kind_of(text))
    except ValueError:
        return False


def _between(text, unit):
    """One quantity in one unit, of a kind that both have."""
    pairs = [pair for kind in quantity.KINDS for pair in [_of_kind(text, unit, kind)] if pair]
    if not pairs:
        raise BadQuestion(_kinds_differ(text, unit))
    reading, asked = next((pair for pair in pairs if not pair[0].note), pairs[0])
    notes = [reading.note] if reading.note else []
    absolute = next((pair for pair in pairs if pair[0].kind == "temperature"), None)
    if absolute and reading.kind != "temperature":
        difference = quantity.show(reading.value, asked.unit)
        notes.append(f"As a difference of temperatures: {difference}.")
        reading, asked = absolute
    number = float(quantity.from_si(reading.value, asked.unit))
    return Converted(reading, reading.kind, {asked.unit: number}, (*notes, *_on_a_rule(number, asked.unit)))


def _of_kind(text, unit, kind):
    """The quantity, and one of the unit, both read in a kind; None where one of them is of another kind."""
    try:
        return quantity.read(text, kind), quantity.read(f"1 {unit}", kind)
    except ValueError:
        return None


def _kinds_differ(text, unit):
    """The sentence for a quantity and a unit that measure different things; of mass and weight with the figure."""
    reading = quantity.read(text)
    kind = quantity.kind_of(unit)
    differ = f"{quoted(text)} is {quantity.KINDS[reading.kind]}, and {unit} measures {quantity.KINDS[kind]}"
    show = lambda value, shown: quantity.show(value, shown, digits=SHORT)
    if (reading.kind, kind) == ("mass", "force"):
        weighs = show(reading.value * GRAVITY, unit)
        return f"{differ}; where gravity is standard, {show(reading.value, reading.unit)} weighs {weighs}."
    if (reading.kind, kind) == ("force", "mass"):
        mass = show(reading.value / GRAVITY, unit)
        return f"{differ}; where gravity is standard, that is the weight of {mass}."
    if not reading.unit:
        return f"{quoted(text)} has no unit; {_usage()}."
    same = ", ".join(filter(None, map(quantity.written, quantity.units_of(reading.kind)[:MOST_UNITS])))
    return f"{differ}; ask for one of {same}."


def _in_usual_units(text):
    reading = quantity.read(text)
    if not reading.unit or reading.kind in ("number", "count"):
        raise BadQuestion(f"{quoted(text)} has no unit; {_usage()}.")
    units = [unit for unit in quantity.units_of(reading.kind) if unit != reading.unit][:MOST_UNITS]
    numbers = {unit: float(quantity.from_si(reading.value, unit)) for unit in units}
    if not numbers:
        raise BadQuestion(f"There is no other unit here for {quantity.KINDS[reading.kind]} than {reading.unit}.")
    return Converted(reading, reading.kind, numbers)


def _on_a_rule(number, unit):
    """The nearest mark of an inch rule, as a note."""
    if unit != "in" or not 0 < abs(number) <= LONG:
        return ()
    marks = Fraction(round(abs(number) * RULE), RULE)
    whole, part = divmod(marks, 1)
    if part == 0 and whole == abs(number) or marks == 0:
        return ()
    told = " ".join(filter(None, (str(whole) if whole else "", str(part) if part else "")))
    exact = "On a rule" if float(marks) == abs(number) else "Nearest mark of a rule"
    return (f"{exact}: {'-' if number < 0 else ''}{told} in.",)


# --- showing --------------------------------------------------------------------------------------------------------


def text_of(found):
    """A line for each unit, short and with more digits, then what is to be said."""
    reading = found.reading
    left = f"{reading.number:.10g} {quantity.written(reading.unit)}"
    lines = []
    for unit in found.numbers:
        short, full = (_shown(found, unit, digits) for digits in (SHORT, FULL))
        lines.append(f"{left} = {short}" + (f"   ({full})" if full != short else ""))
    return "\n".join([*lines, *found.notes])


def _shown(found, unit, digits):
    return quantity.show(found.reading.value, unit, digits=digits)


def data_of(found):
    """The same as plain data."""
    return {
        "text": found.reading.text,
        "kind": found.kind,
        "si": found.reading.value,
        "number": found.reading.number,
        "unit": found.reading.unit,
        "in": found.numbers,
        "notes": list(found.notes),
    }

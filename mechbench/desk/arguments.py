"""What may be typed after `size` or `correct`, read into a Line; inputs, findings and parts by what was typed for them.
What can't be read is refused in one sentence.

Contents: TYPED, OPTIONS, Line, BadQuestion, read_line, path_named, input_named, inputs_meant,
inputs_of, finding_named, findings_meant, closest_of, close_word, nearest_of, seen_first, taken_as, part_named,
words_apart, values_of, value_of, as_typed.

A name may be cut short as long as it stays clear: `load=2Nm` for load_torque, `gearbox=74` for planetary_74. Another
word for it (`also` of a Field) is taken too, and that is said.
"""

import re
from dataclasses import dataclass, field
from pathlib import Path

from mechbench import quantity
from mechbench.command_line import typed
from mechbench.desk.command_words import BadQuestion, Option, read_words
from mechbench.desk.spoken import help_tells
from mechbench.desk.tokens import plain
from mechbench.engine.inputs import Supply, supplies
from mechbench.engine.spec import Field, Pick
from mechbench.kits import two_wheels
from mechbench.wording import closest, listed, nearest, one_slip_apart, quoted, shortened

TYPED = f"{typed()} size"
SHORTEST = 4  # letters of a word that is taken for a slip of another
ALIKE = 0.8  # how like another word it must be, from 0 to 1: resistance is no distance
OPTIONS = {
    "--help": Option("", "the inputs and findings of a sizing, with an example"),
    "--us": Option("", "show inches, pounds and so on"),
    "--metric": Option("", "show metric units"),
    "--find": Option(
        "INPUT,INPUT", "try every part of the kit for these inputs, and rank what works; of a number: where"
    ),
    "--most": Option("INPUT", "the largest value that still works, and what limits it"),
    "--least": Option("INPUT", "the smallest one; of a finding or mass: the parts that work with the least of it"),
    "--sweep": Option("INPUT=LOW..HIGH", "run one input through a range"),
    "--steps": Option("N", "how many values a sweep has; 11 when left out"),
    "--against": Option("INPUT=ONE,OTHER", "put designs side by side; a record's FILE.html may stand for a design"),
    "--ask": Option("WORDS", "answer a question of the pit, by some of its words or its number; --ask list shows all"),
    "--first": Option("", "of a whole robot: which change of one part gains most points on a bad day"),
    "--picture": Option("FILE.png", "draw the machine, or the sweep, into a file"),
    "--record": Option("FILE.html", "write the design record on one page; FILE.md for Markdown"),
    "--measured": Option("FINDING=VALUE", "what was measured afterwards, for the record; once for each finding"),
    "--reopen": Option("FILE", "open a record again; its numbers must come out as before"),
    "--json": Option("", "print everything as JSON, for another program"),
}


@dataclass
class Line:
    """A line that was read: the first word (a sizing, "" for none), a file where one may stand, inputs and options."""

    name: str = ""
    file: str = ""
    given: dict = field(default_factory=dict)
    options: dict = field(default_factory=dict)

    def has(self, option):
        """True where an option was typed."""
        return option in self.options

    def one(self, option):
        """What followed an option, "" where it was not typed; refused where it was typed twice."""
        found = self.options.get(option, [])
        if len(found) > 1:
            raise BadQuestion(f"{option} is given twice; give it once.")
        return found[0] if found else ""


def read_line(arguments, options=None, file=False):
    """Read the words after a command; options are those of `size` where none are given; file=True: a file may
    follow.
    """
    chosen, words = read_words(arguments, options or OPTIONS)
    line = Line(options=chosen)
    for word in words:
        if "=" in word:
            _take_input(line, word)
        elif not line.name and not line.given:
            line.name = word
        elif file and not line.file:
            line.file = word
        else:
            raise BadQuestion(_stray(word, line))
    return line


def _take_input(line, word):
    name, _, value = word.partition("=")
    if name in line.given:
        raise BadQuestion(f"{quoted(name)} is given twice; give it once.")
    line.given[name] = value


def _stray(word, line):
    last = next(reversed(line.given.items()), None)
    if last:
        name, value = last
        return f"{quoted(word)} has no '='; leave out the space before it: {shortened(name)}={shortened(value + word)}."
    return (
        f"{quoted(word)} has no '='; an input reads NAME=VALUE, such as load=2Nm, and only one sizing can be asked at"
        " once."
    )


def path_named(text, endings=()):
    """A typed path, refused where it can be none, or where its ending is not one of these."""
    if not text.strip() or "\x00" in text:
        raise BadQuestion(f"{quoted(text)} can't be the name of a file; give another name.")
    path = Path(text)
    if endings and path.suffix.lower() not in endings:
        raise BadQuestion(f"{quoted(path.name)} does not end in {' or '.join(endings)}; give the file such a name.")
    return path


def input_named(sizing, typed_name, said=None):
    """The input that was meant: by its name, by another word for it (then a sentence goes to `said`), or by the
    beginning of it where only one has that.
    """
    return _one_of(sizing, typed_name, inputs_meant(sizing, typed_name), inputs_of(sizing), "an input", said)


def finding_named(sizing, typed_name, said=None):
    """The finding that was meant, in the same way."""
    return _one_of(sizing, typed_name, findings_meant(sizing, typed_name), sizing.FINDINGS, "a finding", said)


def inputs_meant(sizing, typed_name):
    """The inputs that a word can mean; one where it is clear, none where it is no input."""
    low = plain(typed_name)
    return _meant(sizing.FORMERLY.get(low, low), inputs_of(sizing))


def inputs_of(sizing):
    """All inputs, and battery and fuse where they may be given."""
    return (*sizing.FIELDS, *supplies(sizing))


def findings_meant(sizing, typed_name):
    """The findings that a word can mean."""
    return _meant(plain(typed_name), sizing.FINDINGS)


def _meant(low, known):
    """Those of a name; else those that have it as another word; else those that begin so; else words that do."""
    tests = (
        lambda one: one.name == low,
        lambda one: low in one.also,
        lambda one: one.name.startswith(low),
    )
    return next(filter(None, ([one for one in known if test(one)] for test in tests)), []) if low else []


def _one_of(sizing, typed_name, meant, known, what, said):
    if len(meant) == 1:
        if said is not None:
            said += taken_as(typed_name, meant[0])
        return meant[0]
    if meant:
        raise BadQuestion(f"{quoted(typed_name)} can be {' or '.join(one.name for one in meant)}; write more of it.")
    raise BadQuestion(f"{quoted(typed_name)} is not {what} of {sizing.NAME}; {nearest_of(typed_name, known)}")


def closest_of(typed_name, known):
    """The name of the input or finding that was surely meant by a word that is none; "" where none is that near."""
    words = {word: one.name for one in known for word in one.also} | {one.name: one.name for one in known}
    return words.get(close_word(typed_name, words), "")


def close_word(typed_name, words):
    """The one of words from which another differs by a slip of the keyboard or little more; "" where none does.

    A word that is only somewhat like another names something else: worse than no help. Nor is a first letter wrong by
    a slip: power is not lower.
    """
    low = plain(typed_name)
    if len(low) < SHORTEST:
        return ""
    alike = [word for word in words if word[:1] == low[:1]]
    return next((word for word in alike if one_slip_apart(low, word)), "") or closest(low, alike, ALIKE)


def nearest_of(typed_name, known):
    """Say which of inputs or findings was surely meant, or which are seen first; the end of a sentence."""
    near = closest_of(typed_name, known)
    return f"did you mean {quoted(near)}?" if near else seen_first(known)


def seen_first(known):
    """Say which inputs or findings there are, those before `more`; the end of a sentence."""
    first = [one.name for one in known if not getattr(one, "more", False)]
    more = len(known) - len(first)
    return f"choose from {listed(first)}{f'; {help_tells()} tells {more} more' if more else ''}."


def taken_as(typed_name, one):
    """A sentence in a list where an input was named by another word for it; nothing where by its own."""
    low = plain(typed_name)
    if one.name.startswith(low):
        return []
    return [f"{shortened(low)}: taken as {one.name}, {one.label}."]


def part_named(field_, typed_part, tables):
    """The part that was meant: by its name, or by some whole words of it where only one part has them; else by its
    figures, which the tables then have as a part.
    """
    names = field_.options(tables)
    if typed_part.strip() in names:  # as own parts are called, with large letters: 275rpm,2.6Nm
        return typed_part.strip()
    low = typed_part.strip().lower().replace("-", "_").replace(" ", "_")
    if low in names:
        return low
    if labelled := field_.labelled(typed_part, tables):
        return labelled
    meant = [name for name in names if low and f"_{low}_" in f"_{name}_"]
    if len(meant) == 1:
        return meant[0]
    if meant:
        raise BadQuestion(f"{field_.name}={quoted(typed_part)} can be {listed(meant)}; write more of it.")
    if tables.reads_figures(field_.table, typed_part):
        return _by_figures(field_.name, typed_part, tables)
    raise BadQuestion(f"{field_.name}={quoted(typed_part)} is no part of the kit; {nearest(low, names)}")


def words_apart(sizing, text, tables):
    """The words of a list of inputs and parts, 'motor=275rpm,2.6Nm,slim,gearbox': figures of one part stay together."""
    words = []
    for some in re.split(r",(?=[^,=]*=)", text):
        name, given, rest = some.partition("=")
        if not given:
            words += some.split(",")
            continue
        found = input_named(sizing, name)
        apart = tables.one_by_one(found.table, rest) if isinstance(found, Pick) else rest.split(",")
        words += [f"{name}={''.join(apart[:1])}", *apart[1:]]
    return [word for word in words if word]


def _by_figures(name, text, tables):
    try:
        return tables.add(name, text)
    except ValueError as wrong:
        raise BadQuestion(str(wrong)) from None


def values_of(sizing, given, tables, said=None):
    """Inputs as typed -> name -> SI number or part; refused in one sentence."""
    meant = {}
    for typed_name, text in given.items():
        found = input_named(sizing, typed_name, said)
        if found.name in meant:
            raise BadQuestion(f"{found.name} is given twice; give it once.")
        meant[found.name] = found, text
    # Parts first: one that is given by its figures may widen the range of a number.
    order = sorted(meant, key=lambda name: isinstance(meant[name][0], Field))
    read = {name: value_of(*meant[name], tables) for name in order}
    return {name: read[name] for name in meant}


def value_of(found, text, tables):
    """One input's text as SI number or part; of battery and fuse as figures. In a notebook a number is one in SI."""
    if isinstance(found, Supply):
        return _by_figures(found.name, str(text), tables)
    if not isinstance(text, str):
        return found.read(text, tables)
    if isinstance(found, Pick):
        return part_named(found, text, tables)
    try:
        return found.read(text, tables)
    except ValueError as wrong:
        said = str(wrong)
        raise BadQuestion(said if said.startswith(found.name) else f"{found.name}: {said}") from None


def as_typed(field_, value, system="metric", tables=None):
    """An input's value as it can be typed again: 0.36kg, 2Nm, planetary_74; with its tables steel_gear_18:56, too."""
    if isinstance(value, str):
        return two_wheels.typed(tables(field_.table), value) if tables else value
    return quantity.show(value, field_.unit, digits=6, system=system).replace(" ", "").replace("·", "")

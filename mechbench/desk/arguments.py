"""What may be typed after `size` or `correct`, read into a Line; what can't be read is refused in one sentence.

Contents: TYPED, OPTIONS, CANT, Line, BadQuestion, answered, options_lines, read_line, path_named, input_named,
finding_named, part_named, words_apart, values_of, value_of, as_typed.

A name may be cut short as long as it stays clear: `load=2Nm` for load_torque, `gearbox=74` for planetary_74.
"""

import argparse
import os
import re
import sys
from dataclasses import dataclass, field
from pathlib import Path

from mechbench import quantity
from mechbench.command_line import BadLine, Parser, typed
from mechbench.desk import text_table
from mechbench.engine.inputs import Supply, supplies
from mechbench.engine.spec import Field, Pick
from mechbench.wording import listed, nearest, quoted, shortened

TYPED = f"{typed()} size"
CANT = 2  # exit code: the question can't be answered


class BadQuestion(ValueError):
    """A line that can't be answered: one sentence that says why, and the way out."""


@dataclass(frozen=True)
class Option:
    """A word that begins with --; `takes` names what follows it, empty where nothing does."""

    takes: str
    help: str


OPTIONS = {
    "--help": Option("", "the inputs and findings of a sizing, with an example"),
    "--us": Option("", "show inches, pounds and so on"),
    "--metric": Option("", "show metric units"),
    "--find": Option("INPUT,INPUT", "try every part of the kit for these inputs, and rank what works"),
    "--sweep": Option("INPUT=LOW..HIGH", "run one input through a range"),
    "--steps": Option("N", "how many values a sweep has; 11 when left out"),
    "--first": Option("", "of a whole robot: which change of one part gains most points on a bad day"),
    "--picture": Option("FILE.png", "draw the machine, or the sweep, into a file"),
    "--record": Option("FILE.html", "write the design record on one page; FILE.md for Markdown"),
    "--measured": Option("FINDING=VALUE", "what was measured afterwards, for the record; once for each finding"),
    "--reopen": Option("FILE", "open a record again; its numbers must come out as before"),
    "--json": Option("", "print everything as JSON, for another program"),
}
SHORT = {"--help": ("-h",)}


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


def answered(answer, arguments):
    """Let a command answer, and give its exit code; where it can't, one sentence says why, and the code is CANT."""
    try:
        return answer(arguments)
    except BrokenPipeError:
        # Whoever read the output has enough (`... | head`); Python would complain once more while it ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except OSError as error:
        said = unusable(error)
    except ValueError as wrong:
        said = " ".join(str(wrong).split())
    print(said, file=sys.stderr)
    return CANT


def _parser(options):
    """What reads a line's options; inputs, and whatever else stands in a line, are left to read_line."""
    layout = lambda prog: argparse.HelpFormatter(prog, max_help_position=30, width=text_table.WIDTH)
    parser = Parser("", usage=argparse.SUPPRESS, add_help=False, formatter_class=layout)
    for name, option in options.items():
        more = {"action": "append", "metavar": option.takes} if option.takes else {"action": "store_true"}
        parser.add_argument(name, *SHORT.get(name, ()), help=option.help, **more)
    return parser


def options_lines(options):
    """Options with what they do, as lines of help."""
    return _parser(options).format_help().splitlines()


def read_line(arguments, options=None, file=False):
    """Read the words after a command; options are those of `size` where none are given; file=True: a file may
    follow.
    """
    options = options or OPTIONS
    parser = _parser(options)
    try:
        chosen, words = parser.read_known(arguments)
    except BadLine as fault:
        raise BadQuestion(str(fault)) from None
    given = {name: getattr(chosen, name.lstrip("-")) for name in options}
    line = Line(options={name: [] if value is True else value for name, value in given.items() if value})
    for word in words:
        if word.startswith("-") and not word[1:2].isdigit():
            raise BadQuestion(parser.not_known(word))
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


def unusable(error):
    """Say in a sentence which file can't be used, and what the system says about it."""
    name = quoted(str(error.filename)) if error.filename else "The file"
    return f"{name} can't be used: {error.strerror or 'it is not as expected'}."


def input_named(sizing, typed_name):
    """The input that was meant: by its name, or by the beginning of it where only one has that."""
    return _named(sizing, typed_name, (*sizing.FIELDS, *supplies(sizing)), "an input")


def finding_named(sizing, typed_name):
    """The finding that was meant, in the same way."""
    return _named(sizing, typed_name, sizing.FINDINGS, "a finding")


def _named(sizing, typed_name, known, what):
    names = {one.name: one for one in known}
    low = typed_name.strip().lower().replace("-", "_")
    low = sizing.FORMERLY.get(low, low)
    if low in names:
        return names[low]
    begun = [name for name in names if low and name.startswith(low)]
    if len(begun) == 1:
        return names[begun[0]]
    if begun:
        raise BadQuestion(f"{quoted(typed_name)} can be {' or '.join(begun)}; write more of it.")
    raise BadQuestion(f"{quoted(typed_name)} is not {what} of {sizing.NAME}; {nearest(low, names)}")


def part_named(field_, typed_part, tables):
    """The part that was meant: by its name, or by some whole words of it where only one part has them; else by its
    figures, which the tables then have as a part.
    """
    names = field_.options(tables)
    low = typed_part.strip().lower().replace("-", "_").replace(" ", "_")
    if low in names:
        return low
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


def values_of(sizing, given, tables):
    """Inputs as typed -> name -> SI number or part; refused in one sentence."""
    meant = {}
    for typed_name, text in given.items():
        found = input_named(sizing, typed_name)
        if found.name in meant:
            raise BadQuestion(f"{found.name} is given twice; give it once.")
        meant[found.name] = found, text
    # Parts first: one that is given by its figures may widen the range of a number.
    order = sorted(meant, key=lambda name: isinstance(meant[name][0], Field))
    read = {name: value_of(*meant[name], tables) for name in order}
    return {name: read[name] for name in meant}


def value_of(found, text, tables):
    """One input's text as SI number or part; of battery and fuse as figures."""
    if isinstance(found, Pick):
        return part_named(found, text, tables)
    if isinstance(found, Supply):
        return _by_figures(found.name, text, tables)
    try:
        return found.read(text, tables)
    except ValueError as wrong:
        said = str(wrong)
        raise BadQuestion(said if said.startswith(found.name) else f"{found.name}: {said}") from None


def as_typed(field_, value, system="metric"):
    """An input's value as it can be typed again: 0.36kg, 2Nm, planetary_74."""
    if isinstance(value, str):
        return value
    return quantity.show(value, field_.unit, digits=6, system=system).replace(" ", "").replace("·", "")

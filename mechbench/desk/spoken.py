"""What to type, in the words of whoever asked: a call in a notebook, or a line after `size`.

Contents: at_command, way, option, again, help_tells, every_sizing, beside, all_questions, all_of_it, pit_again.

A sentence that refuses something says the way out. The same sentence serves both: these words are the ones that differ.
"""

import re
from contextlib import contextmanager
from contextvars import ContextVar

from mechbench.command_line import typed
from mechbench.kits import by_figures

_at_command = ContextVar("at_command", default=False)


@contextmanager
def at_command():
    """While a command answers, sentences speak of its line; else of calls in a notebook."""
    before = _at_command.set(True)
    try:
        yield
    finally:
        _at_command.reset(before)


def way(kind):
    """A kind of answer: "--find", or "mb.find"."""
    return f"--{kind}" if _at_command.get() else f"mb.{kind}"


def option(name):
    """What goes with it: "--steps", or "steps"."""
    return f"--{name}" if _at_command.get() else name


def again(sizing, kind, given):
    """How to ask a kind of answer of a sizing: --find motor,gearbox, or mb.find("arm", "motor,gearbox")."""
    return f"--{kind} {given}" if _at_command.get() else f'mb.{kind}("{sizing.NAME}", "{given}")'


def help_tells():
    """Where the help of a sizing is: --help, or mb.inputs."""
    return "--help" if _at_command.get() else "mb.inputs"


def every_sizing():
    """Where all sizings are listed with their questions, as the end of a sentence; a notebook has no such list."""
    return f"; {typed()} size alone tells what each answers" if _at_command.get() else ""


def beside(sizing, name):
    """How to put two batteries or fuses side by side."""
    first = by_figures.RECORDS[name].example
    other = re.sub(r"[0-9.]+", lambda number: f"{2 * float(number[0]):g}", first)
    if _at_command.get():
        return f"--against {name}={first},{other}"
    return f'mb.against("{sizing.NAME}", {name}=["{first}", "{other}"])'


def all_questions():
    """How to see all questions of the pit."""
    return f"{typed()} size --ask list" if _at_command.get() else "mb.pit_questions()"


def all_of_it(line):
    """A line after `size`, as it is asked here: "arm payload=0.3kg" in full, or as a call."""
    if _at_command.get():
        return f"{typed()} size {line}"
    name, *words = line.split()
    asked = re.findall(r"--(find|sweep|most|least|against) (\S+)", line)
    kind = asked[0][0] if asked else "size"
    given = [word.split("=", 1) for word in words if "=" in word and word[0] != "-"]
    inputs = [f'{one}="{value}"' for one, value in given if (kind, f"{one}={value}") not in asked]
    texts = [f'"{text}"' if kind != "against" else _designs(text) for _, text in asked]
    steps = [f"steps={count}" for count in re.findall(r"--steps (\d+)", line)]
    told = ", ".join([f'"{name}"', *texts, *inputs, *steps])
    return f"mb.{kind}({told})"


def _designs(text):
    """Designs of one input in a call: motor=["slim", "stout"]."""
    name, _, values = text.partition("=")
    told = ", ".join(f'"{value}"' for value in values.split(","))
    return f"{name}=[{told}]"


def pit_again(number, name, value):
    """A question of the pit, by its number, with an input of one's own."""
    if _at_command.get():
        return f"{typed()} size --ask {number} {name}={value}"
    return f'mb.pit({number}, {name}="{value}")'

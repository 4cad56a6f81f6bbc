"""What to type, in the words of whoever asked: a call in a notebook, or a line after `size`.

Contents: at_command, way, option, again.

A sentence that refuses something says the way out. The same sentence serves both: these words are the ones that differ.
"""

from contextlib import contextmanager
from contextvars import ContextVar

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

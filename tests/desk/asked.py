"""Asking a command in process, as the tests of desk/ do: exit code, what it said, what it complained."""

import contextlib
import io
from dataclasses import dataclass

from mechbench.desk import correct, size_command


@dataclass(frozen=True)
class Said:
    """What a command gave."""

    code: int
    out: str
    err: str


def ask(line, of=size_command):
    """Run one line (a text to be split at blanks, or a list of words) after `size`, or after `correct`."""
    out, err = io.StringIO(), io.StringIO()
    words = line.split() if isinstance(line, str) else list(line)
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = of.command(words)
    return Said(code, out.getvalue(), err.getvalue())


def ask_correct(line):
    """Run one line after `correct`."""
    return ask(line, correct)


def is_one_sentence(text):
    """A complaint: one line, not long, that ends like a sentence."""
    return text.count("\n") == 1 and len(text) < 700 and text.rstrip("\n").endswith((".", "?", "…", "'"))

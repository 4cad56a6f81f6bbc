"""The words after `python3 -m mechbench COMMAND`: read with argparse, refused in one sentence and with the exit code 2.

Contents: typed, Parser, BadLine, BAD_LINE, number, one_of. The standard library alone: the launcher uses it before
anything is installed.
"""

import argparse
import sys

from mechbench.wording import closest, listed, nearest, quoted

BAD_LINE = 2  # exit code: the line can't be read


class BadLine(Exception):
    """A line that can't be read: one sentence that says why, and the way out.

    It is no ValueError: in place of one of these, argparse would put words of its own.
    """


def typed(platform=sys.platform):
    """Give what a person types before a command."""
    return "py -m mechbench" if platform == "win32" else "python3 -m mechbench"


class Parser(argparse.ArgumentParser):
    """Reads the words after a command. An option is never cut short, so that a new one can't change what an old line
    means.

    A `type` is a function of the text that raises ValueError with how the text must be, "it must be like 3.12."
    """

    def __init__(self, command, **more):
        self._by_name = {}  # "--help/-h" -> what argparse knows of it
        super().__init__(prog=f"{typed()} {command}".strip(), allow_abbrev=False, exit_on_error=False, **more)

    def add_argument(self, *names, type=None, **more):
        """Add an option or a word, as argparse does."""
        if type is not None:
            more["type"] = _in_a_sentence(names[0], type)
        action = self._by_name["/".join(names)] = super().add_argument(*names, **more)
        return action

    def parse_args(self, args=None, namespace=None):
        """Give what was typed, by name; a line that can't be read is told, and ends the program."""
        chosen, left = self.parse_some(args)
        if left:
            self.refuse(self.not_known(left[0]))
        return chosen

    def parse_some(self, args=None):
        """Give what was typed, by name, and the words that are left over; a line that can't be read ends the
        program.
        """
        try:
            return self.read_known(args)
        except BadLine as fault:
            self.refuse(fault)

    def refuse(self, sentence):
        """Tell what is wrong with a line, and end the program."""
        print(sentence, file=sys.stderr)
        sys.exit(BAD_LINE)

    def read_known(self, words):
        """Give what was typed, by name, and the words that are left over; BadLine where an option can't be read."""
        try:
            return self.parse_known_args(words)
        except argparse.ArgumentError as fault:
            raise BadLine(self._refused(fault)) from None

    def error(self, message):
        """Refuse a line: what argparse says, as a sentence with the way out."""
        raise BadLine(f"{message[:1].upper()}{message[1:]}; {self.prog} --help tells what can be typed.")

    def not_known(self, word):
        """Say what is wrong with a word that was left over."""
        if not word.startswith("-"):
            return f"{quoted(word)} is one word too many; {self.prog} --help tells what can be typed."
        name = word.partition("=")[0]
        options = [max(action.option_strings, key=len) for action in self._by_name.values() if action.option_strings]
        # The two marks in front would make every option a little like every other.
        near = closest(name.lstrip("-"), [option.lstrip("-") for option in options])
        way_out = f"did you mean '--{near}'?" if near else f"choose from {listed(options)}."
        return f"There is no option {quoted(name)}; {way_out}"

    def _refused(self, fault):
        action = self._by_name.get(fault.argument_name)
        if action is None:
            self.error(fault.message)
        name = action.option_strings[0] if action.option_strings else fault.argument_name
        if action.nargs == 0:
            return f"{name} takes nothing after it; write it alone."
        return f"{name} needs {action.metavar or 'something'} after it: {action.help}."


def _in_a_sentence(name, read):
    def reading(text):
        try:
            return read(text)
        except ValueError as fault:
            raise BadLine(f"{name} is {quoted(text)}, but {fault}") from None

    return reading


def number(text):
    """Read a plain number."""
    try:
        return float(text)
    except ValueError:
        raise ValueError("it must be a plain number, such as 90.") from None


def one_of(names):
    """Make a reader of one of some words."""

    def read(text):
        if text not in names:
            raise ValueError(f"there is no such one; {nearest(text, names)}")
        return text

    return read

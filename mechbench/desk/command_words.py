"""The words after a command that answers in a sentence or two: its options, and all other words; what can't be answered
is refused in one sentence.

Contents: CANT, BadQuestion, Option, answered, unusable, options_lines, read_words.

It loads quickly: no kit, no numbers.
"""

import argparse
import os
import sys
from dataclasses import dataclass

from mechbench.command_line import BadLine, Parser
from mechbench.desk import text_table
from mechbench.desk.spoken import at_command
from mechbench.wording import quoted

CANT = 2  # exit code: the question can't be answered
SHORT = {"--help": ("-h",)}


class BadQuestion(ValueError):
    """A line that can't be answered: one sentence that says why, and the way out."""


@dataclass(frozen=True)
class Option:
    """A word that begins with --; `takes` names what follows it, empty where nothing does."""

    takes: str
    help: str


def answered(answer, arguments):
    """Let a command answer, and give its exit code; where it can't, one sentence says why, and the code is CANT."""
    try:
        with at_command():
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


def read_words(arguments, options):
    """Options that were typed, each with what followed it (a list, empty for a word alone), and all other words."""
    parser = _parser(options)
    try:
        chosen, words = parser.read_known(arguments)
    except BadLine as fault:
        raise BadQuestion(str(fault)) from None
    given = {name: getattr(chosen, name.lstrip("-").replace("-", "_")) for name in options}
    for word in words:
        if word.startswith("-") and word != "->" and not word[1:2].isdigit():
            raise BadQuestion(parser.not_known(word))
    return {name: [] if value is True else value for name, value in given.items() if value}, words


def unusable(error):
    """Say in a sentence which file can't be used, and what the system says about it."""
    name = quoted(str(error.filename)) if error.filename else "The file"
    return f"{name} can't be used: {error.strerror or 'it is not as expected'}."

"""Two wheels in a line as people say them: 16 to 48 teeth, driver 16 driven 48, 18t and 36t; and a chain by its number.

Contents: Teeth, find_teeth, chain_pitch.
"""

import re
from typing import NamedTuple

from mechbench.desk.common_words import DRIVEN, DRIVER, OF_WHEELS, SAYS_NOTHING
from mechbench.desk.tokens import Value, Word

TEETH = frozenset(("teeth", "tooth", "t", "z"))
BETWEEN = SAYS_NOTHING | OF_WHEELS | TEETH | DRIVER | DRIVEN
COUNT = re.compile(r"([0-9]+)(?:-?(?:t|T|z|teeth|tooth))?")
# The first figure of a chain's number is its pitch in eighths of an inch: 6.35 mm for 25 (ANSI B29.1, from memory).
CHAIN = re.compile(r"#([2-9])[015][a-z]?")
EIGHTH_OF_AN_INCH = 0.0254 / 8


class Teeth(NamedTuple):
    """Two numbers of teeth, the driving wheel first, and the words of the line that said so, from `start` to `end`."""

    first: str
    second: str
    start: int
    end: int

    @property
    def text(self):
        """As wheels are given: 16:48."""
        return f"{self.first}:{self.second}"


def find_teeth(tokens, counts_other):
    """The two wheels in a line; None where it has not just two numbers of teeth with nothing else between them.

    counts_other : whether the number at a place counts or measures something else, such as 2 motors
    """
    found = {at: COUNT.fullmatch(one.text) for at, one in enumerate(tokens) if isinstance(one, Value)}
    places = [at for at, match in found.items() if match and not counts_other(at)]
    if len(places) != 2:
        return None
    one, other = places
    between = tokens[one + 1 : other]
    if not all(isinstance(word, Word) and word.name in BETWEEN for word in between):
        return None
    if any(tokens[at].against for at in places):
        return None
    start, end = one, other + 1
    while start > 0 and _says_which(tokens[start - 1]):
        start -= 1
    while end < len(tokens) and _of_teeth(tokens[end]):
        end += 1
    teeth = found[one][1], found[other][1]
    if _second_drives(tokens[start:one], between, tokens[other + 1 : end]):
        teeth = teeth[::-1]
    return Teeth(*teeth, start, end)


def _says_which(token):
    return isinstance(token, Word) and token.name in DRIVER | DRIVEN


def _of_teeth(token):
    return isinstance(token, Word) and token.name in TEETH | DRIVER | DRIVEN


def _second_drives(before, between, behind):
    """Whether words call the first of two wheels the driven one, or the second the driving one."""
    words = [one.name for one in (*before, *between, *behind) if _says_which(one)]
    return bool(words) and (words[0] in DRIVEN if len(words) > 1 or before else _alone(words[0], between, behind))


def _alone(word, between, behind):
    """The same where one of the wheels alone is called so, and not before the first."""
    last = any(one.name == word for one in behind) or _says_which(between[-1])
    return word in (DRIVER if last else DRIVEN)


def chain_pitch(name):
    """The pitch of a chain that is named by its number, #25, in m; None where a word is no such name."""
    match = CHAIN.fullmatch(name)
    return int(match[1]) * EIGHTH_OF_AN_INCH if match else None

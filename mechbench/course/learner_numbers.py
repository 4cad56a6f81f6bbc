"""A learner's own numbers: the same name gives the same numbers, on every machine and in every year.

canonical                    a name as it counts: upper and lower case, look-alike characters and spaces don't matter
row_index, practice_index    which row of an exercise is asked; own_row: both, for a learner
shuffled                     the order in which options or items are shown
rounded, near_tie            numbers as they are shown; shown_ratio: a ratio of gears
in_unit                      an SI number as the pair (number, unit) that stands in a row
fill                         a template with numbers in
Posed, pose                  an exercise with the numbers of one learner

No name is the book's learner, who gets the first row. Named learners get one of the other rows, so that a worked answer
shows the way but not the number.
"""

import hashlib
import math
import operator
import unicodedata
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import count
from types import SimpleNamespace

from mechbench import quantity
from mechbench.course import slips
from mechbench.course.exercise import Choice, Exercise, Order
from mechbench.kits import kit as kit_in_force
from mechbench.wording import quoted

LONGEST_NAME = 60
SHORTER = "a nickname of a few letters will do"
DIGITS = 4
TIE = 1e-6
SEPARATOR = "\x1f"


def canonical(name):
    """Give a name as it counts.

    >>> canonical("  Ana   M ")
    'ana m'
    """
    if not isinstance(name, str):
        raise ValueError(f"name is {quoted(name)}, but it must be text; write it between quotes.")
    if len(name) > 20 * LONGEST_NAME:
        raise ValueError(f"name has {len(name)} characters, but it must have 1 to {LONGEST_NAME}; {SHORTER}.")
    kept = "".join(mark for mark in name if unicodedata.category(mark) != "Cf")
    folded = unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", kept).casefold())
    key = " ".join(folded.split())
    if any(unicodedata.category(mark) in ("Cs", "Cc") for mark in key):
        raise ValueError("name holds a character that is no letter, digit or sign; type it again on the keyboard.")
    if not 1 <= len(key) <= LONGEST_NAME:
        raise ValueError(f"name has {len(key)} characters, but it must have 1 to {LONGEST_NAME}; {SHORTER}.")
    return key


def _number(*words):
    """Give a whole number below 2**64 that these words always give."""
    text = SEPARATOR.join(("mechbench", *map(str, words)))
    return int.from_bytes(hashlib.sha256(text.encode("utf-8")).digest()[:8], "big")


def row_index(exercise_id, revision, key, rows):
    """Tell which of that many rows a canonical name gets; no name gets row 0, the book's."""
    if not key or rows < 2:
        return 0
    return 1 + _number(exercise_id, revision, key) % (rows - 1)


def practice_index(graded, practice, rows):
    """Tell which row the practice question of that number (1, 2 ...) gets: each of the other rows in turn."""
    if rows < 2:
        return graded
    return (graded + 1 + (practice - 1) % (rows - 1)) % rows


def shuffled(names, exercise_id, revision, key):
    """Give names in an order that the canonical name decides, always the same for the same name."""
    return tuple(sorted(names, key=lambda name: _number(exercise_id, revision, key, name)))


def rounded(number, digits=DIGITS):
    """Give a number at the digits that are shown.

    >>> rounded(0.0235678)
    0.02357
    """
    return float(f"{float(number):.{digits - 1}e}")


def near_tie(number, digits=DIGITS):
    """Tell whether a number lies so near the middle of two shown numbers that machines may differ on it."""
    if number == 0 or rounded(number, digits) == number:
        return False
    step = 10.0 ** (math.floor(math.log10(abs(number))) - digits + 1)
    return abs(abs(number) / step % 1 - 0.5) * step < TIE * abs(number)


def shown_ratio(ratio):
    """Give a ratio of gears at three digits; at four where three would be rounded up by one reader, down by another.

    >>> shown_ratio(21.16), shown_ratio(12.25)
    (21.2, 12.25)
    """
    return rounded(ratio, 4 if near_tie(ratio, 3) else 3)


def in_unit(si, unit):
    """Give an SI number as the pair (number, unit) that stands in a row.

    >>> in_unit(0.075, "mm")
    (75.0, 'mm')
    """
    return rounded(quantity.from_si(si, unit)), unit


def _as_pair(given):
    return given if isinstance(given, tuple) else (given, "")


@lru_cache(16384)  # a class asks for the same numbers again and again
def shown(given):
    """Give a text as it is, and a number or a pair (number, unit) as it is shown."""
    if isinstance(given, str):
        return given
    number, unit = _as_pair(given)
    return quantity.show(quantity.to_si(rounded(number), unit), unit, digits=DIGITS)


@lru_cache(16384)
def _si(given):
    if isinstance(given, str):
        return given
    number, unit = _as_pair(given)
    return float(quantity.to_si(rounded(number), unit))


def fill(template, texts):
    """Put texts in place of the {names} of a template; an unknown name is a ValueError that says which are known."""
    try:
        return template.format_map(texts)
    except (KeyError, IndexError, AttributeError) as fault:
        known = ", ".join(texts) or "none"
        raise ValueError(f"the text asks for {{{fault.args[0]}}}, but the names known here are: {known}.") from None


@dataclass(frozen=True)
class Posed:
    """An exercise with the numbers of one learner.

    row : the row it was posed with: name -> (number, unit), a number, or a text
    texts : name -> number as shown
    si : the same numbers in SI, as attributes
    order : names of the options or items as shown
    has_another : whether there is another one like it
    practice : 0 for the graded question, 1, 2 ... for another one like it
    parts : the kit whose parts are asked about and judged: `kit`, or one with parts of the course's own kit
    note : what is said before the question
    """

    exercise: Exercise
    kit: object
    texts: dict
    si: SimpleNamespace
    order: tuple = ()
    has_another: bool = False
    practice: int = 0
    row: dict | None = None
    parts: object = None
    note: str = ""

    @cached_property
    def slips(self):
        """The slips of a Quantity that can be told apart with these numbers."""
        return slips.kept(self.exercise, self.si)

    def fill(self, template, **more):
        """A text of the exercise with the numbers in."""
        return fill(template, {**self.texts, **more})

    def part(self, name):
        """The option or item of that name."""
        parts = self.exercise.items if isinstance(self.exercise, Order) else self.exercise.options
        return next(part for part in parts if part.name == name)


def posed(exercise, row, kit, key="", has_another=False, practice=0, parts=None, note=""):
    """Pose an exercise with a given row."""
    texts = {name: shown(given) for name, given in row.items()}
    si = SimpleNamespace(**{name: _si(given) for name, given in row.items()})
    # In practice options and items stand in another order: nobody should answer by the letter that was right before.
    mixed_by = f"{key}{SEPARATOR}{practice}" if practice else key
    order = _order(exercise, mixed_by)
    return Posed(exercise, kit, texts, si, order, has_another, practice, row, parts or kit, note)


def _order(exercise, key):
    if isinstance(exercise, Order):
        names = tuple(item.name for item in exercise.items)
        turns = (shuffled(names, exercise.id, exercise.revision, f"{key}{SEPARATOR}{turn}") for turn in count())
        # An order that stands there solved, or half solved, would be no question.
        return next(mixed for mixed in turns if 2 * sum(map(operator.eq, mixed, names)) < len(names))
    names = tuple(option.name for option in getattr(exercise, "options", ()))
    return shuffled(names, exercise.id, exercise.revision, key) if isinstance(exercise, Choice) and key else names


def own_row(exercise, key, practice, kit):
    """Tell which row of an exercise a canonical name gets, in the graded question or in practice."""
    count = len(_kit_rows().table(exercise, kit))
    index = row_index(exercise.id, exercise.revision, key, count)
    return practice_index(index, practice, count) if practice else index


def pose(exercise, key="", practice=0, kit=None):
    """Pose an exercise to a learner; practice 1, 2 ... gives other rows, never the graded one where there are
    others.
    """
    kit = kit or kit_in_force()
    asked = _kit_rows().settled(exercise, kit, own_row(exercise, key, practice, kit))
    has_another = len(_kit_rows().table(exercise, kit)) > 1
    return posed(exercise, asked.row, kit, key, has_another, practice, asked.parts, asked.note)


def _kit_rows():
    # Loaded here: to tell which rows can be asked, it poses them.
    from mechbench.course import kit_rows

    return kit_rows

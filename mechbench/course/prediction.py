"""What is said to a guess that was made before sliding: it is told again, beside what the bench shows. No grade.

Contents: told, not_yet (where there is no guess), because_of.
"""

import math

from mechbench import quantity
from mechbench.course.grading import option_meant
from mechbench.course.learner_numbers import fill

SAID, SAID_FIRST, BENCH = "You said:", "Your first guess:", "The bench shows:"
CLOSE = 0.15  # of what the bench shows: a guess this near is called close
FAR = 3  # times as much, or a third: told as the surprise


def because_of(shown):
    """Why the bench shows that, with its numbers in."""
    texts = {name: given if isinstance(given, str) else _number(given) for name, given in shown.numbers.items()}
    return fill(shown.because, texts)


def _number(given):
    """As a bench tells it."""
    number, unit = given if isinstance(given, tuple) else (given, "")
    return quantity.show(quantity.to_si(number, unit), unit)


def told(posed, raw, once=True):
    """What to say to a guess, as paragraphs; once: no other guess was made after it."""
    shown = posed.exercise.shows(posed.kit)
    compared = _options_compared if posed.exercise.options else _numbers_compared
    said, bench, kind = compared(posed, raw, shown)
    return [f"{SAID if once else SAID_FIRST} {said}", f"{BENCH} {bench}", f"{because_of(shown)} {kind}".strip()]


def _options_compared(posed, raw, shown):
    guessed, found = option_meant(posed, raw), posed.part(shown.option)
    if guessed.name == found.name:
        return posed.fill(guessed.text), "just that.", ""
    return posed.fill(guessed.text), posed.fill(found.text), posed.fill(guessed.feedback)


def _numbers_compared(posed, raw, shown):
    unit = posed.exercise.unit
    guessed, found = quantity.read(raw, posed.exercise.kind).value, shown.option
    said, bench = f"{quantity.show(guessed, unit)}.", f"{quantity.show(found, unit)}."
    if abs(guessed - found) <= CLOSE * abs(found):
        return said, bench, "That was close."
    ratio = guessed / found if found else math.inf
    if 1 / FAR < ratio < FAR:
        return said, bench, "Not far off."
    return said, bench, f"So it is much {'less' if ratio >= FAR else 'more'} than it seems at first."


def not_yet(exercise):
    return (
        f'Your guess comes back here, beside what the bench shows: make it above, under "{exercise.title}", and press '
        "Record my prediction."
    )

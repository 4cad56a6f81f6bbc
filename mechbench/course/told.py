"""Whether the texts of an exercise that was posed tell its answer.

    telling(one)   its hints, feedback and question, filled with its numbers, of which a number is the answer
    texts_of(exercise)   all texts that are seen before the answer is right

An author sees to it that none does, with the course's own kit. Another kit may bring an answer to a number that stands
in a text: such a row is left out (kit_rows.py).
"""

import re

from mechbench import quantity
from mechbench.course.exercise import Quantity

NUMBER_IN_TEXT = re.compile(r"-?\d+(?:[.,]\d+)?(?:e-?\d+)?")


def texts_of(exercise):
    """Title, question, hints and feedback."""
    feedback = [part.feedback for part in (*getattr(exercise, "slips", ()), *getattr(exercise, "options", ()))]
    feedback += [item.early for item in getattr(exercise, "items", ())]
    feedback += getattr(exercise, "advice", {}).values()
    return [exercise.title, exercise.text, *exercise.hints, *feedback]


def telling(one):
    """Those of its texts, filled, that tell the answer; none where no number is asked."""
    filled = [one.fill(text) for text in texts_of(one.exercise)]
    return [text for text in filled if isinstance(one.exercise, Quantity) and _tells(text, one)]


def _tells(text, one):
    """Tell whether a number in a text, alone or with the unit behind it, is the answer."""
    exercise, truth = one.exercise, one.exercise.answer(one.si)
    given = " ".join(one.texts.values())
    for hit in NUMBER_IN_TEXT.finditer(text):
        digits = len(hit.group().replace(".", "").replace("-", "").lstrip("0"))
        if hit.group() in NUMBER_IN_TEXT.findall(given) or digits < 2:
            continue
        value = quantity.to_si(float(hit.group().replace(",", ".")), exercise.unit)
        if abs(value - truth) < 0.005 * abs(truth):
            return True
    return False

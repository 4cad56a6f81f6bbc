"""The question as plain text, with the learner's numbers in; the screen, the terminal and the paper show the same.

Contents: statement (all of it), question, asked_for (what an answer looks like), by_letter and lettered (options and
items), inputs, options_of, input_lines, paper_lines and design_in_words (of a Challenge), readings_code (of the shop),
percent, state_line, outcome_line, LETTERS, STATES.
"""

from dataclasses import dataclass

from mechbench import quantity
from mechbench.catalog import sizing_of
from mechbench.course.exercise import Challenge, Choice, Order, Prediction, Quantity
from mechbench.engine.inputs import Tables
from mechbench.engine.spec import Pick

LETTERS = "abcdefghijklmnop"


@dataclass(frozen=True)
class Told:
    """How a state is told: never by a colour alone."""

    sign: str
    words: str


# State of a grade -> how it is told.
STATES = {
    "not tried": Told("–", "Not tried yet"),
    "not yet": Told("○", "Not yet"),
    "right": Told("✓", "Right"),
    "recorded": Told("●", "Recorded"),
}


@dataclass(frozen=True)
class Lettered:
    """An option or an item as it is shown: its letter, its name in the exercise, its text with the numbers in."""

    letter: str
    name: str
    text: str


def state_line(state):
    """The state in a sign and words."""
    return f"{STATES[state].sign} {STATES[state].words}"


def outcome_line(state, raw):
    """What became of one answer, in a sign and words: one that could not be compared was no try."""
    told = STATES["not tried"].sign, "No try counted"
    return " ".join(told) if state == "not tried" and raw.strip() else state_line(state)


def by_letter(posed):
    """Letter -> name of the option or item that is shown with it."""
    return dict(zip(LETTERS, posed.order))


def lettered(posed):
    """Each option or item, in the order shown."""
    return [Lettered(letter, name, posed.fill(posed.part(name).text)) for letter, name in by_letter(posed).items()]


def percent(share):
    """A share in words: 0.03 is '3 %'."""
    return f"{100 * share:.3g} %"


def question(posed):
    """What is asked, with the numbers in."""
    require = getattr(posed.exercise, "require", "")
    return f"{posed.note} {posed.fill(f'{posed.exercise.text} {require}')}".strip()


def asked_for(posed):
    """Say in a sentence or two what an answer looks like and what counts as right."""
    return _ASKED[type(posed.exercise)](posed, posed.exercise)


def _asked_quantity(posed, exercise):
    within = f"Up to {percent(exercise.tolerance)} off counts as right."
    return f"Answer with {quantity.KINDS[exercise.kind]}{_units_in_words(exercise)}. {within}"


def _units_in_words(exercise):
    """', in N·m or another unit'; nothing where a number may stand alone."""
    unit = quantity.written(exercise.unit)
    if not unit or exercise.kind == "points":
        return ""
    return f", in {unit}" + (" or another unit" if len(quantity.units_of(exercise.kind)) > 1 else "")


def _asked_choice(posed, exercise):
    return "Choose one." if posed.practice else "Choose one. Tries are counted."


def _asked_order(posed, exercise):
    return (
        f"Put them in order, {posed.fill(exercise.scale)}: all letters, for example"
        f" {' '.join(LETTERS[: len(posed.order)])}."
    )


def _asked_prediction(posed, exercise):
    free = "Guess before you look. A prediction is recorded and never marked wrong."
    if exercise.options:
        return f"Choose one. {free}"
    return f"Answer with {quantity.KINDS[exercise.kind]}{_units_in_words(exercise)}. {free}"


def _asked_challenge(posed, exercise):
    days = "on a good day and on a bad day" if exercise.bad_day else "on a good day"
    return f"It must work {days}. Many answers are right."


_ASKED = {
    Quantity: _asked_quantity,
    Choice: _asked_choice,
    Order: _asked_order,
    Prediction: _asked_prediction,
    Challenge: _asked_challenge,
}


def inputs(posed):
    """The inputs of a Challenge that the learner sets."""
    sizing = sizing_of(posed.exercise.sizing)
    return [sizing.field(name) for name in posed.exercise.choose]


def options_of(posed, pick):
    """Name -> label of each part that a pick of a Challenge allows."""
    tables = Tables(sizing_of(posed.exercise.sizing), posed.parts)
    labels = tables(pick.table).labels
    return {name: labels.get(name, name) for name in pick.options(tables)}


def readings_code(posed):
    """The line of code that gives the readings of the shop for this question."""
    practice = f", practice={posed.practice}" if posed.practice else ""
    return f'data = mb.readings("{posed.exercise.id}"{practice})'


def input_lines(posed):
    """One line for each input to set: its name in an answer, what it is, and what it may be."""
    for entry in inputs(posed):
        yield f"{entry.name} ({entry.label}): {_may_be(posed, entry, ', ', lambda name, label: name)}"


def paper_lines(posed):
    """The same for paper, in words alone; labels may hold commas."""
    for entry in inputs(posed):
        yield f"{entry.label}: {_may_be(posed, entry, '; ', lambda name, label: label)}"


def _may_be(posed, entry, between, say):
    if isinstance(entry, Pick):
        said = [say(*part) for part in options_of(posed, entry).items()]
        return between.join(said) if len(said) <= 12 else f"{len(said)} parts, from {said[0]} to {said[-1]}"
    return f"{entry.low:g} to {entry.high:g} {quantity.written(entry.unit)}".rstrip()


def design_in_words(posed, raw):
    """An answer of a design, "motor = slim; squeeze = 4 mm", as it is read on paper."""
    given = dict(part.split(" = ", 1) for part in raw.split("; ") if part)
    labels = {entry.name: options_of(posed, entry) for entry in inputs(posed) if isinstance(entry, Pick)}
    heads = {entry.name: entry.label for entry in inputs(posed)}
    return "; ".join(f"{heads[name]}: {labels.get(name, {}).get(value, value)}" for name, value in given.items())


def statement(posed):
    """The whole question as plain text."""
    exercise = posed.exercise
    lines = [f"{exercise.title} [{exercise.id}]", question(posed)]
    lines += [f"  {one.letter}) {one.text}" for one in lettered(posed)]
    if isinstance(exercise, Challenge):
        lines += [f"  {line}" for line in input_lines(posed)]
    if getattr(exercise, "shop", None):
        lines.append(f"The readings: {readings_code(posed)}")
    return "\n".join([*lines, asked_for(posed)])

"""Grading: from an exercise, a canonical name and the raw text of an answer to a state and what to say.

Contents: Grade, grade, grade_posed, answer_text, judged (what is found of a design), option_meant. What is said of a
design stands in design_feedback.py.

Nothing of an answer is ever evaluated or run: a number is read by `quantity`, everything else is looked up. What is
said never holds the right answer while the answer is not right. An answer that could not be compared with the right one
is "not tried": a unit that is missing, or a text that can't be read, costs no try.
"""

import math
import re
from dataclasses import dataclass

from mechbench import quantity
from mechbench.catalog import judge, sizing_of
from mechbench.course import registry
from mechbench.course.design_feedback import ALL_AT_ONCE, as_text, asked_lines, missed_of
from mechbench.course.exercise import Challenge, Choice, Order, Prediction, Quantity
from mechbench.course.learner_numbers import pose
from mechbench.course.question_text import by_letter, inputs, options_of, percent
from mechbench.course.slips import values_of
from mechbench.engine import assumed_text, report_text
from mechbench.engine.spec import Pick
from mechbench.wording import nearest, quoted, shortened

NOT_TRIED, NOT_YET, RIGHT, RECORDED = "not tried", "not yet", "right", "recorded"
LONGEST_RAW = 200
CLOSE = 0.05  # further off is no slip of rounding
READ_OFF = 0.10  # so far off may be what is read from a table in haste
AT_ONCE = "all at once not met"  # a slip: each by itself is met on 19 of 20 days, all together are not
POWERS_OF_TEN = (10, 100, 1000, 1_000_000)


@dataclass(frozen=True)
class Grade:
    """How an answer stands.

    state : "not tried", "not yet", "right", or "recorded" for a prediction
    slip : name of the slip or of the wrong option, where it is a known one
    message : what to say; several lines for a challenge
    value, unit : a number that could be read, in SI, and the unit it was written in
    table, after : of a challenge, the same in rows for the screen (design_feedback.Line), and what is said below them
    """

    state: str
    slip: str = ""
    message: str = ""
    value: float | None = None
    unit: str = ""
    table: tuple = ()
    after: str = ""


def grade(exercise, key="", raw="", practice=0, kit=None):
    """Grade the raw text of an answer; `key` is the canonical name, empty for the book's numbers.

    exercise : an exercise, or its id
    practice : 0 for the graded question, 1, 2 ... for another one like it
    """
    if isinstance(exercise, str):
        exercise = registry.exercise(exercise)
    return grade_posed(pose(exercise, key, practice, kit), raw)


def grade_posed(posed, raw):
    """Grade the raw text of an answer to an exercise that was posed."""
    if not isinstance(raw, str):
        raise ValueError(f"raw is {shortened(raw)}, but an answer must be text; write it between quotes.")
    if not raw.strip():
        chosen = isinstance(posed.exercise, Challenge) or getattr(posed.exercise, "options", ())
        return Grade(NOT_TRIED, message=f"Nothing is {'chosen' if chosen else 'written'} yet.")
    try:
        _check_text(raw)
        return _GRADERS[type(posed.exercise)](posed, posed.exercise, raw)
    except _Unreadable as fault:
        return Grade(NOT_TRIED, message=str(fault))


class _Unreadable(ValueError):
    """The text can't be read surely as an answer of this kind; the sentence says why."""


def _check_text(raw):
    if len(raw) > LONGEST_RAW:
        raise _Unreadable(
            f"This is {len(raw)} characters long, but an answer has at most {LONGEST_RAW}: write it shorter."
        )
    if any("\ud800" <= mark <= "\udfff" for mark in raw):
        raise _Unreadable("This holds a broken character: type the answer again on the keyboard.")


def _read(raw, kind):
    try:
        return quantity.read(raw, kind)
    except quantity.UnreadableQuantity as fault:
        raise _Unreadable(str(fault)) from None


# --- quantity ------------------------------------------------------------------------------------------------------


def _within(value, target, tolerance):
    return abs(value - target) <= tolerance * abs(target)


def _fits(exercise, value, target):
    """Whether a value counts as the right one, or as that of a wrong path."""
    turns = (-1, 0, 1) if exercise.direction else (0,)
    return any(_within(value + turn * math.tau, target, exercise.tolerance) for turn in turns)


def answer_text(posed):
    """The answer of a quantity as it is shown once it was found."""
    # A hair above, so that an answer in the middle of two shown numbers is rounded alike on every machine.
    return quantity.show(posed.exercise.answer(posed.si) * (1 + 1e-9), posed.exercise.unit)


def _grade_quantity(posed, exercise, raw):
    reading = _read(raw, exercise.kind)
    value, truth = reading.value, exercise.answer(posed.si)
    if _fits(exercise, value, truth):
        message = posed.fill(exercise.explain, answer=answer_text(posed))
        return Grade(RIGHT, "", _noted(reading, message), value, reading.unit)
    slip = _slip_of(posed, exercise, value)
    _ask_about_thousands(posed, exercise, reading, slip)
    if slip:
        return Grade(NOT_YET, slip.name, _noted(reading, posed.fill(slip.feedback)), value, reading.unit)
    advice = _general_advice(posed, exercise, reading, truth)
    return Grade(NOT_YET, "", _noted(reading, advice), value, reading.unit)


def _slip_of(posed, exercise, value):
    """The wrong path that gives a value, or None."""
    return next((slip for slip in posed.slips if _fits(exercise, value, slip.formula(posed.si))), None)


def _noted(reading, message):
    return f"{reading.note} {message}".strip()


def _ask_about_thousands(posed, exercise, reading, slip):
    """Refuse 5.230 rpm where 5230 rpm is right or a known slip: a try for a dot that was meant otherwise is unfair.

    Where the number as it was read is a known slip too, that one counts, but for a right one. The sentence is the same
    in each case, so it does not tell which one it is.
    """
    other = quantity.with_thousands(reading.text, exercise.kind)
    if other is None:
        return
    is_right = _fits(exercise, other.value, exercise.answer(posed.si))
    if is_right or (slip is None and _slip_of(posed, exercise, other.value)):
        unit = quantity.written(reading.unit)
        as_read, as_thousands = (f"{one.number:.15g} {unit}".strip() for one in (reading, other))
        raise _Unreadable(
            f"{quoted(reading.text)} is read as {as_read}, because a dot is a decimal point here: write {as_thousands} "
            f"if you mean thousands, or {as_read} if you do not."
        )


def _general_advice(posed, exercise, reading, truth):
    """Help with a wrong number that is no known slip."""
    value, tolerance = reading.value, exercise.tolerance
    if _within(-value, truth, tolerance):
        return "The size fits, the sign does not: look again at which direction counts as positive."
    for power in POWERS_OF_TEN:
        if _within(value, truth * power, tolerance) or _within(value, truth / power, tolerance):
            direction = "large" if abs(value) > abs(truth) else "small"
            return (
                f"The digits fit, but the number is {power} times too {direction}. Look at each unit: 1 m is 100 cm or "
                "1000 mm, 1 kg is 1000 g."
            )
    if _fits_in_another_unit(reading, truth, tolerance):
        return (
            f"The digits fit, but not with {quantity.written(reading.unit)}. Look at the unit of each number that you"
            " put in: 1 m is 100 cm or 1000 mm, 1 kg is 1000 g, 1 min is 60 s."
        )
    if value * truth > 0 and _within(value, truth, CLOSE) and not _may_be_a_slip(posed, exercise, value):
        usual = "Perhaps a number was rounded too early or copied wrongly, or a small part was left out."
        return f"Close, but more than {percent(tolerance)} away. {posed.fill(exercise.near) or usual}"
    if exercise.near and _within(value, truth, READ_OFF):
        return f"More than {percent(tolerance)} away. {posed.fill(exercise.near)}"
    return "Not this number. Go through the steps once more, and write the unit beside each number. A hint may help."


def _fits_in_another_unit(reading, truth, tolerance):
    """Whether the number would be right with another unit of its kind."""
    others = (unit for unit in quantity.units_of(reading.kind) if unit != reading.unit)
    return any(_within(quantity.to_si(reading.number, unit), truth, tolerance) for unit in others)


def _may_be_a_slip(posed, exercise, value):
    """Whether a number may come of a wrong path that these numbers do not tell apart: "close" would say too much."""
    left_out = [slip for slip in exercise.slips if slip not in posed.slips]
    return any(_within(value, wrong, exercise.tolerance) for wrong in values_of(left_out, posed.si))


# --- choice, prediction --------------------------------------------------------------------------------------------


def option_meant(posed, raw):
    """Find the option that is meant: by its letter on screen or by its name."""
    word = raw.strip().casefold().rstrip(".)")
    letters = by_letter(posed)
    name = letters.get(word, word)
    if name not in posed.order:
        raise _Unreadable(f"{quoted(raw.strip())} is none of the choices: write one letter, a to {max(letters)}.")
    return posed.part(name)


def _grade_choice(posed, exercise, raw):
    option = option_meant(posed, raw)
    feedback = posed.fill(option.feedback)
    if option.right:
        return Grade(RIGHT, "", f"{feedback} {posed.fill(exercise.explain)}".strip())
    return Grade(NOT_YET, option.name, feedback)


def _grade_prediction(posed, exercise, raw):
    if exercise.options:
        option = option_meant(posed, raw)
        said, reading = posed.fill(option.text), None
    else:
        reading = _read(raw, exercise.kind)
        said = reading.text
    message = f"You predict: {said.rstrip('.')}. {posed.fill(exercise.explain)}"
    if reading is None:
        return Grade(RECORDED, "", message)
    return Grade(RECORDED, "", _noted(reading, message), reading.value, reading.unit)


# --- order ---------------------------------------------------------------------------------------------------------


def _names_in_order(posed, raw):
    """Read letters or names, set apart by spaces or commas; letters may also stand together ("bac")."""
    letters = by_letter(posed)
    parts = [part for part in re.split(r"[\s,;>]+", raw.strip().casefold()) if part]
    if len(parts) == 1 and set(parts[0]) <= set(letters):
        parts = list(parts[0])
    names = [letters.get(part, part) for part in parts]
    for part, name in zip(parts, names):
        if name not in posed.order:
            raise _Unreadable(f"{quoted(part.strip())} is none of the letters: use a to {max(letters)}.")
        if names.count(name) > 1:
            raise _Unreadable(f"{quoted(part.strip())} is there more than once: write each letter once.")
    if len(names) < len(posed.order):
        raise _Unreadable(f"{len(names)} of {len(posed.order)} letters are there: write each letter once.")
    return names


def _grade_order(posed, exercise, raw):
    names = _names_in_order(posed, raw)
    right = [item.name for item in exercise.items]
    if names == right:
        return Grade(RIGHT, "", posed.fill(exercise.explain))
    for before, item in zip(exercise.items, exercise.items[1:]):
        if names.index(item.name) < names.index(before.name):
            letter = next(letter for letter, name in by_letter(posed).items() if name == item.name)
            return Grade(NOT_YET, f"{item.name} too early", f"Look at {letter} again. {posed.fill(item.early)}")
    raise AssertionError("an order that is not right has two neighbours the wrong way round")


# --- challenge -----------------------------------------------------------------------------------------------------


def _settings(posed, raw):
    """Read "name = value; name = value"; every input to choose once, and nothing else."""
    fields = {entry.name: entry for entry in inputs(posed)}
    found = {}
    for part in filter(None, (part.strip() for part in raw.split(";"))):
        name, equals, value = (piece.strip() for piece in part.partition("="))
        if not equals or not value:
            raise _Unreadable(f"{quoted(part.strip())} is no setting: write name = value, and ; between two settings.")
        name = sizing_of(posed.exercise.sizing).FORMERLY.get(name, name)  # as an older edition wrote it
        if name not in fields:
            raise _Unreadable(f"{quoted(name.strip())} is not yours to set here; {nearest(name, fields)}")
        if name in found:
            raise _Unreadable(f"{name} is set twice: set it once.")
        found[name] = _setting(posed, fields[name], value)
    missing = [f"{entry.label} ({name})" for name, entry in fields.items() if name not in found]
    if missing:
        raise _Unreadable(f"Still to be set: {', '.join(missing)}.")
    return found


def _setting(posed, entry, value):
    """Read one value within the sizing's own bounds; a part by its name or by its label."""
    if isinstance(entry, Pick):
        options = options_of(posed, entry)
        by_label = {label.casefold(): name for name, label in options.items()}
        name = value if value in options else by_label.get(value.casefold(), value)
        if name not in options:
            raise _Unreadable(f"{entry.name}: the kit has no {quoted(value.strip())}; {nearest(value, options)}")
        return name
    try:
        return entry.read(value)
    except ValueError as fault:
        sentence = str(fault)
        raise _Unreadable(sentence if sentence.startswith(entry.name) else f"{entry.name}: {sentence}") from None


def _judge(posed, raw):
    """What the sizing finds of a design."""
    settings = _settings(posed, raw)
    try:
        return judge(sizing_of(posed.exercise.sizing), {**fixed_inputs(posed), **settings}, posed.parts)
    except ValueError as fault:  # parts that do not go together, as a motor with gears of its own and a gearbox
        raise _Unreadable(str(fault)) from None


def fixed_inputs(posed):
    """What a design's task asks, by the names that the sizing's inputs have today: a row keeps those it was made with,
    as its digest follows them.
    """
    fixed = {name: getattr(posed.si, name) for name in posed.exercise.fixed}
    return sizing_of(posed.exercise.sizing).by_todays_names(fixed)


def judged(posed, raw):
    """What the sizing finds of a design that was typed as an answer; None where the text can't be read as one."""
    try:
        _check_text(raw)
        return _judge(posed, raw)
    except _Unreadable:
        return None


def _grade_challenge(posed, exercise, raw):
    report = _judge(posed, raw)
    lines = asked_lines(posed, report)
    missed = missed_of(lines)
    if missed:
        state, slip, after = NOT_YET, f"{missed[0]} not met", ""
    elif exercise.bad_day and report.joint(exercise.asked_of(report.sizing)) < 0:
        besides = any(line.missed or line.also for line in lines)
        state, slip, after = NOT_YET, AT_ONCE, ALL_AT_ONCE if besides else report_text.verdict(report)
    else:
        rests = assumed_text.rests(report)  # graded on the days all the same: nobody here can measure the part
        state, slip, after = RIGHT, "", "\n".join([posed.fill(exercise.explain), *filter(None, (rests,))])
    return Grade(state, slip, as_text(lines, after), table=lines, after=after)


_GRADERS = {
    Quantity: _grade_quantity,
    Choice: _grade_choice,
    Order: _grade_order,
    Prediction: _grade_prediction,
    Challenge: _grade_challenge,
}

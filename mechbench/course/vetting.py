"""What is wrong with an exercise, in sentences: for its author to read, and for the tests, which allow none.

    from mechbench.course.registry import exercise
    from mechbench.course.vetting import problems
    print("\n".join(problems(exercise("start-here-lever"))))

Contents: problems, answers_to_try (for a Challenge). Every row of the exercise is tried, with the kit in force or the
one given.
"""

import math
import re
from itertools import permutations

from mechbench import quantity
from mechbench.catalog import sizing_of
from mechbench.course import kit_rows
from mechbench.course.exercise import Challenge, Choice, Order, Prediction, Quantity
from mechbench.course.grading import NOT_TRIED, NOT_YET, RECORDED, RIGHT, answer_text, grade_posed
from mechbench.course.kit_rows import FEWEST_ROWS
from mechbench.course.learner_numbers import DIGITS, near_tie, posed
from mechbench.course.lessons import NAMES
from mechbench.course.of_game import NEEDS
from mechbench.course.prediction import because_of
from mechbench.course.question_text import LETTERS, statement
from mechbench.course.registry import prefix, stand_ins
from mechbench.course.simulated_readings import columns_in_si, shop_readings
from mechbench.course.slips import FROM_OTHER_SLIP, FROM_TRUTH, apart
from mechbench.course.told import telling
from mechbench.kits import kit as kit_in_force

FAULTS = (KeyError, AttributeError, ValueError, ArithmeticError)
SHOP_NAMES = 40
SLUG = re.compile(r"[a-z][a-z0-9]*(?:-[a-z0-9]+)+")
WORD = re.compile(r"[a-z][a-z0-9-]+")


def problems(exercise, kit=None):
    """List what is wrong with an exercise, one sentence each; an empty list is a good exercise."""
    kit = kit or kit_in_force()
    found = list(_of_the_frame(exercise))
    try:
        all_asked = [kit_rows.settled(exercise, kit, place) for place in range(len(kit_rows.table(exercise, kit)))]
    except FAULTS as fault:
        found.append(f"its rows can't be made from this kit: {fault}")
        all_asked = []
    found += _of_rows(exercise, [asked.row for asked in all_asked])
    for number, asked in enumerate(all_asked):
        for check in (_CHECKS[type(exercise)], _of_texts):
            found += [f"row {number}: {sentence}" for sentence in _all_of(check, exercise, asked, kit)]
    return [f"{exercise.id}: {sentence}" for sentence in dict.fromkeys(found)]


def _all_of(check, exercise, asked, kit):
    """All that a check finds; where it breaks on a faulty exercise, what it broke on is found too."""
    found = []
    try:
        for sentence in check(posed(exercise, asked.row, kit, parts=asked.parts, note=asked.note)):
            found.append(sentence)
    except FAULTS as fault:
        found.append(str(fault))
    return found


def _of_the_frame(exercise):
    """What is wrong whatever the numbers are."""
    if exercise.lesson not in NAMES:
        yield f"lesson={exercise.lesson!r} is none of {', '.join(NAMES)}"
    if not SLUG.fullmatch(exercise.id) or not exercise.id.startswith(prefix(exercise.lesson)):
        yield f"its id must be small letters and digits with - between words, and begin with {prefix(exercise.lesson)}"
    if not isinstance(exercise.revision, int) or exercise.revision < 1:
        yield f"revision={exercise.revision!r} must be a whole number from 1"
    if not 2 <= len(exercise.hints) <= 3 and not isinstance(exercise, Prediction):
        yield f"it has {len(exercise.hints)} hints, but it must have 2 or 3"
    if not exercise.explain.strip():
        yield "explain is empty: say why"
    for need in exercise.needs:
        if need not in NEEDS:
            yield f"needs={need!r} is none of {', '.join(NEEDS)}"
    if (exercise.instead or exercise.elsewhere) and not exercise.needs:
        yield "instead and elsewhere stand for what a game lacks: name it in needs"
    if exercise.instead and exercise.instead not in {one.id for one in stand_ins(exercise.lesson)}:
        yield f"instead={exercise.instead!r} is no exercise of STAND_INS in its lesson"
    for older in exercise.earlier:
        if older.id != exercise.id or older.revision >= exercise.revision or not _keeps_rows(older, exercise):
            yield (
                "each exercise in earlier keeps the id, has a lower revision, and its rows as a plain list, or made"
                " from the kit by a function of its own"
            )
    if len({older.revision for older in exercise.earlier}) < len(exercise.earlier):
        yield "two exercises in earlier have the same revision"


def _keeps_rows(older, exercise):
    """Whether an older revision asks what it asked, whatever becomes of the rows of today's.

    Rows that were made from the kit must be made again, for each kit with which it was answered.
    """
    return not callable(older.rows) or (callable(exercise.rows) and older.rows is not exercise.rows)


def _of_rows(exercise, rows):
    """Enough rows, all alike in their names, no number that is rounded differently on another machine."""
    has_numbers = isinstance(exercise, (Quantity, Challenge))
    if has_numbers and len(rows) < FEWEST_ROWS:
        yield f"it has {len(rows)} rows, but it must have at least {FEWEST_ROWS}, so that there is another one like it"
    if len({repr(row) for row in rows}) < len(rows):
        yield "two of its rows are the same"
    for number, row in enumerate(rows):
        if row.keys() != rows[0].keys():
            yield f"row {number}: its names differ from those of row 0"
        for name, given in row.items():
            value = given[0] if isinstance(given, tuple) else given
            if not isinstance(value, str) and near_tie(value):
                yield f"row {number}: {name} = {value!r} lies in the middle of two numbers of {DIGITS} digits; round it"


def _of_texts(one):
    """Texts that can't be filled, and hints that tell the answer."""
    exercise = one.exercise
    statement(one)
    answer = answer_text(one) if isinstance(exercise, Quantity) else ""
    one.fill(exercise.explain, answer=answer)
    for text in telling(one):
        yield f"a hint, feedback or the question tells the answer, {answer}: {text!r}"


# --- quantity ------------------------------------------------------------------------------------------------------


def _of_quantity(one):
    exercise = one.exercise
    if exercise.unit not in quantity.units_of(exercise.kind):
        yield f"unit={exercise.unit!r} is none of {', '.join(quantity.units_of(exercise.kind))}"
        return
    truth = exercise.answer(one.si)
    if not math.isfinite(truth) or truth == 0:
        yield f"its answer is {truth}, but it must be finite and not 0"
        return
    yield from _truth_is_right(one, truth)
    yield from _slips_apart(one, truth)
    if exercise.shop is not None:
        yield from _of_shop(one, truth)


def texts_of(value, kind, digits=(3, 4)):
    """An SI value as people would write it: in every unit of its kind, with 3 and 4 digits, point or comma."""
    for unit in quantity.units_of(kind):
        if unit == "fraction" and value > 1:
            continue  # a share of more than 1 without % is refused, in a sentence of its own
        for count in digits:
            number = f"{quantity.from_si(value, unit):.{count}g}"
            if kind == "count":
                number = f"{value:.0f}"
            yield f"{number} {quantity.written(unit)}".strip()
            if count == 3:
                yield f"{number} {quantity.written(unit)}".strip().replace(".", ",").replace("-", "\u2212")


def _truth_is_right(one, truth):
    for text in texts_of(truth, one.exercise.kind):
        told = grade_posed(one, text)
        if told.state != RIGHT:
            yield f"the answer written {text!r} is not graded right: {told.message}"
    bare = f"{quantity.from_si(truth, one.exercise.unit):.4g}"
    needs_unit = quantity.written(one.exercise.unit) not in ("", "points")
    if needs_unit and grade_posed(one, bare).state == RIGHT:
        yield f"the answer without unit, {bare!r}, is graded right"
    for wrong in (
        *(() if one.exercise.direction else (-truth,)),  # half a turn either way is one direction
        100 * truth,
        truth * (1 + 1.5 * one.exercise.tolerance),
        truth * (1 - 1.5 * one.exercise.tolerance),
    ):
        text = f"{quantity.from_si(wrong, one.exercise.unit):.6g} {quantity.written(one.exercise.unit)}"
        if grade_posed(one, text).state != NOT_YET:
            yield f"{text!r} is graded right, but the answer is {answer_text(one)}"


def _slips_apart(one, truth):
    """Every slip far enough from the answer and from each other slip, and found again by its value.

    With numbers of another kit than the course's own, a slip that is too near does not count: see slips.py.
    """
    exercise, tolerance = one.exercise, one.exercise.tolerance
    all_count = not callable(exercise.rows) or kit_rows.is_own(one.parts)
    counted = exercise.slips if all_count else one.slips
    values = {slip.name: slip.formula(one.si) for slip in counted}
    if len(values) < len(counted):
        yield "two slips have the same name"
    if not values:
        yield "it has no slips: name the wrong paths that people take"
    for name, value in values.items():
        if not math.isfinite(value):
            yield f"slip {name!r} gives {value}"
        elif apart(value, truth) < FROM_TRUTH * tolerance:
            yield (
                f"slip {name!r} is {100 * apart(value, truth):.1f} % from the answer, but at least"
                f" {300 * tolerance:.0f} % is asked"
            )
        else:
            yield from _slip_is_found(one, name, value)
    for first, second in ((a, b) for a in values for b in values if a < b):
        if apart(values[first], values[second]) < FROM_OTHER_SLIP * tolerance:
            yield (
                f"slips {first!r} and {second!r} are too near to each other: {values[first]:.4g} and"
                f" {values[second]:.4g} in SI"
            )


def _slip_is_found(one, name, value):
    for text in texts_of(value, one.exercise.kind, digits=(4,)):
        told = grade_posed(one, text)
        if (told.state, told.slip) != (NOT_YET, name):
            yield f"slip {name!r}, written {text!r}, is graded {told.state!r} with slip {told.slip!r}: {told.message}"


def _of_shop(one, truth):
    """A good fit finds the hidden value within the tolerance, whoever's noise it is."""
    for number in range(SHOP_NAMES):
        columns = shop_readings(one, f"vetting {number}")
        value = one.exercise.shop.fit(columns_in_si(columns), one.si)
        if not abs(value - truth) <= one.exercise.tolerance * abs(truth):
            yield (
                f"the fit to the readings finds {quantity.show(value, one.exercise.unit)}, but hidden is"
                f" {answer_text(one)}; less noise, more readings or a wider tolerance"
            )


# --- choice, prediction, order -------------------------------------------------------------------------------------


def _of_parts(names):
    if len(set(names)) < len(names):
        yield "two options or items have the same name"
    if not 2 <= len(names) <= len(LETTERS):
        yield f"it has {len(names)} options or items, but it must have 2 to {len(LETTERS)}"
    for name in names:
        if not WORD.fullmatch(name):
            yield f"the name {name!r} must be two or more small letters, digits and -"


def _of_choice(one):
    options = one.exercise.options
    yield from _of_parts([option.name for option in options])
    if sum(option.right for option in options) != 1:
        yield f"{sum(option.right for option in options)} of its options are right, but it must be one"
    for option in options:
        if not option.feedback.strip():
            yield f"option {option.name!r} has no feedback"
        told = grade_posed(one, option.name)
        expected = (RIGHT, "") if option.right else (NOT_YET, option.name)
        if (told.state, told.slip) != expected:
            yield f"option {option.name!r} is graded {told.state!r} with slip {told.slip!r}"


def _of_prediction(one):
    exercise = one.exercise
    if exercise.options:
        yield from _of_parts([option.name for option in exercise.options])
        answers = [option.name for option in exercise.options]
        if any(option.right for option in exercise.options):
            yield "an option of a prediction is marked right, but a prediction has no right one"
    elif exercise.kind in quantity.KINDS and exercise.unit in quantity.units_of(exercise.kind):
        answers = [f"3 {quantity.written(exercise.unit)}"]
    else:
        yield "it needs options, or a kind of quantity and one of its units"
        return
    if any(grade_posed(one, answer).state != RECORDED for answer in answers):
        yield "an answer of the asked form is not recorded"
    if grade_posed(one, "?").state != NOT_TRIED:
        yield "an answer that can't be read is recorded"
    yield from _of_what_is_shown(one)


def _of_what_is_shown(one):
    """What comes back after the bench: computed by the sizing with this kit, an option or a number, and its reason."""
    exercise, shown = one.exercise, one.exercise.shows(one.kit)
    names = [option.name for option in exercise.options]
    if names and shown.option not in names:
        yield f"the bench shows {shown.option!r}, which is none of its options"
    if not names and not math.isfinite(shown.option):
        yield f"the bench shows {shown.option}, but it must be a number"
    for option in exercise.options:
        if not option.feedback.strip():
            yield f"option {option.name!r} has no feedback: say kindly what is true in it"
    if not shown.because.strip():
        yield "it says what the bench shows, but not why"
    for name, given in shown.numbers.items():
        value = given[0] if isinstance(given, tuple) else given
        if not isinstance(value, str) and not math.isfinite(value):
            yield f"{name} is {value}, but it must be a number to be told"
    because_of(shown)


def _of_order(one):
    names = [item.name for item in one.exercise.items]
    yield from _of_parts(names)
    for item in one.exercise.items[1:]:
        if not item.early.strip():
            yield f"item {item.name!r} has no feedback for those who put it too early"
    if len(names) > 6:
        yield f"it has {len(names)} items, but more than 6 are tiresome to order"
        return
    for order in permutations(names):
        told = grade_posed(one, " ".join(order))
        if (told.state == RIGHT) != (list(order) == names) or (told.state == NOT_YET and not told.message):
            yield f"the order {' '.join(order)!r} is graded {told.state!r}"


# --- challenge -----------------------------------------------------------------------------------------------------


def _of_challenge(one):
    """At least one answer is right and at least one is wrong, and every requirement has its advice."""
    exercise, sizing = one.exercise, sizing_of(one.exercise.sizing)
    judged = {finding.name for finding in sizing.judged()}
    if not judged:
        yield f"the sizing {exercise.sizing!r} asks nothing that could be met"
    if judged != exercise.advice.keys():
        yield f"advice is for {', '.join(sorted(exercise.advice))}, but the sizing judges {', '.join(sorted(judged))}"
    for name in exercise.fixed:
        if sizing.field(name).name in exercise.choose:
            yield f"{name} is both fixed and to be chosen"
        sizing.field(name)
        if not hasattr(one.si, name):
            yield f"{name} is fixed, but it is no name of the row"
    answers = list(answers_to_try(one))
    states = set()
    # The best one is likely right and an end of the ranges likely wrong: few have to be graded.
    for answer in (answers[0], *answers[-2:], *answers[1:-2]):
        states.add(grade_posed(one, answer).state)
        if {RIGHT, NOT_YET} <= states:
            return
    # A team whose few parts all do the job has an easy question, which is no fault of its author.
    for state, words in ((RIGHT, "right"), (NOT_YET, "wrong")) if kit_rows.is_own(one.kit) else ((RIGHT, "right"),):
        if state not in states:
            yield f"no answer is {words}: tried {len(answers)}, the best ones found and the ends of every range"


def answers_to_try(one):
    """Raw answers to try: the best that a search finds, and the first and last value of every input."""
    yield from kit_rows.found_answers(one)
    yield from kit_rows.ends_of_ranges(one)


_CHECKS = {
    Quantity: _of_quantity,
    Choice: _of_choice,
    Prediction: _of_prediction,
    Order: _of_order,
    Challenge: _of_challenge,
}

"""What an answer was asked: the very numbers of its question, kept with the answer, and their digest.

    Question                     digest and row, as they stand in an Attempt
    question(posed, raw)         the Question of an answer
    is_same(attempt, posed)      whether an answer was given to what is asked now
    of_old()                     a function that finds the Question of an answer of an edition that kept none
    posed_again(attempt, key, kits)   the exercise as it was posed, from the numbers kept with the answer
    own_kit, is_fixed            the course's own kit; whether an exercise asks the same with every kit
    asked_with(digest, kits)     the kit that asked

A digest covers the exercise's id and revision and the numbers of its row, as shown and with their units. Texts of a row
are names of parts, which a kit may change without asking anything else.

A design is judged by much of the kit besides its row. Its digest has a second half: what the sizing found of that very
design, on a good and on a bad day, at the digits that are shown. So it follows each number of the kit on which the
verdict rests, of the parts that the answer names as of battery, spreads or a whole robot, and no other number.

Readings of the shop are made from the row and the name alone: the row covers them.
"""

import hashlib
import json
import math
from dataclasses import dataclass

from mechbench import quantity
from mechbench.course import former_kit, kit_rows, registry
from mechbench.course.exercise import Challenge, Quantity
from mechbench.course.grading import RIGHT, grade_posed, judged
from mechbench.course.learner_numbers import DIGITS, SEPARATOR, pose, posed, rounded
from mechbench.course.progress import POSED_LIMIT
from mechbench.kits import kit as kit_in_force
from mechbench.kits.load import own_kit
from mechbench.wording import listed, quoted

LONGEST_NAME = 80  # of a part in a row
SANE = 100  # times what the kits at hand ask: further off is no robot for students
REMEMBERED = 256  # designs that were judged a moment ago
JOINT = "-"  # between the two halves of a design's digest
# What a row that was never posed may break in an exercise.
FAULTS = (ValueError, ArithmeticError, LookupError, AttributeError, TypeError, StopIteration)


@dataclass(frozen=True)
class Question:
    """What an answer was asked. `row` is JSON: name -> [number, unit], a number or a text; both empty: not known."""

    digest: str = ""
    row: str = ""


NOT_KNOWN = Question()
_found = {}  # design, numbers and kit -> second half of its digest


# --- telling one question from another -----------------------------------------------------------------------------


def question(posed, raw=""):
    """Give the Question of an answer to an exercise that was posed."""
    row = {name: _plain(given) for name, given in posed.row.items()}
    text = json.dumps(row, ensure_ascii=False, separators=(",", ":"))
    return Question(_row_digest(posed) + _design_digest(posed, raw), text)


def _plain(given):
    if isinstance(given, str):
        return given[:LONGEST_NAME]
    return [rounded(given[0]), given[1]] if isinstance(given, tuple) else rounded(given)


def _hashed(words):
    return hashlib.sha256(SEPARATOR.join(words).encode("utf-8")).hexdigest()[:12]


def _row_digest(posed):
    numbers = {name: _plain(given) for name, given in posed.row.items() if not isinstance(given, str)}
    told = [f"{name}={given!r}" for name, given in sorted(numbers.items())]
    return _hashed([posed.exercise.id, str(posed.exercise.revision), *told])


def _design_digest(posed, raw):
    if not isinstance(posed.exercise, Challenge):
        return ""
    asked = (posed.exercise.id, _row_digest(posed), posed.parts, raw)
    if asked not in _found:
        while len(_found) >= REMEMBERED:
            _found.pop(next(iter(_found)))
        _found[asked] = _digest_of_report(judged(posed, raw))
    return _found[asked]


def _digest_of_report(report):
    if report is None:
        return ""
    found = {"good": report.good, "bad": report.bad, "bound": report.bounds, "all": {"joint": report.joint_margin}}
    told = [f"{day}.{name}={_digits(value)}" for day, all in found.items() for name, value in sorted(all.items())]
    return JOINT + _hashed(told)


def _digits(value):
    return f"{rounded(value) + 0.0:.{DIGITS - 1}e}" if math.isfinite(value) else str(value)


def of_row(digest):
    """The half of a digest that stands for the row."""
    return digest.partition(JOINT)[0]


def is_same(attempt, posed):
    """Tell whether an answer was given to the question, or to the practice question, that is posed now."""
    if (attempt.practice, attempt.revision) != (posed.practice, posed.exercise.revision):
        return False
    row, same_kit = _row_digest(posed), attempt.kit_digest == posed.kit.digest
    if attempt.posed_digest and of_row(attempt.posed_digest) != row:
        return False
    if same_kit or attempt.posed_digest == row + _design_digest(posed, attempt.raw):
        return True
    if JOINT in attempt.posed_digest:
        return False
    # Of an old edition, and its kit is gone: what is right by today's numbers is right.
    return attempt.state == RIGHT == grade_posed(posed, attempt.raw).state


# --- answers of an edition that kept no numbers --------------------------------------------------------------------


def of_old():
    """Give a function of (exercise, revision, kit digest, practice, key) that gives the Question of an old answer.

    Its numbers are found where its kit is in force or the course's own, and where they are the same with every kit. A
    design gets the half of its row: to judge all designs of a class again would take minutes.
    """
    known = {}

    def numbers_of(id, revision, kit_digest, practice, key):
        kits = _kits_at_hand()
        asked = id, revision, kit_digest, practice, key, *(kit.digest for kit in kits)
        if asked not in known:
            try:
                known[asked] = _old_question(id, revision, kit_digest, practice, key, kits)
            except FAULTS:
                known[asked] = NOT_KNOWN  # An exercise of another edition, or a kit that is not at hand.
        return known[asked]

    return numbers_of


def _old_question(id, revision, kit_digest, practice, key, kits):
    exercise = registry.exercise(id, revision)
    used = kits[0] if is_fixed(exercise) else asked_with(kit_digest, {kit.digest: kit for kit in kits})
    if used is None:
        return NOT_KNOWN
    return question(pose(exercise, key, practice, used))


def _kits_at_hand():
    """The course's own kit, and before it that in force where it can be read."""
    try:
        return [kit_in_force(), own_kit()]
    except ValueError:
        return [own_kit()]


def asked_with(digest, kits):
    """The kit of a digest: one at hand (digest -> Kit), or the course's own of an earlier edition; else None."""
    return kits.get(digest) or former_kit.kit(digest)


def is_fixed(exercise):
    """Tell whether an exercise asks the same with every kit."""
    return not callable(exercise.rows) and not isinstance(exercise, Challenge)


# --- from the numbers kept with an answer --------------------------------------------------------------------------


def posed_again(attempt, key, kits):
    """Pose an exercise with the numbers that stand with an answer, and tell whether only the answer has them;
    ValueError where it could never have asked them.

    key : canonical name of the learner
    kits : those at hand, digest -> Kit, the one in force first

    Where the answer's kit is at hand, or where every kit asks the same, the numbers must be that learner's own to the
    last digit. Of a kit that is not at hand is checked: the digest fits the numbers; names, units, and which of them
    are texts or whole numbers; no number has another sign or is more than 100 times off what the kits at hand ask; the
    answer can be computed. What can't be checked: whether there was such a kit, and whether these were that learner's
    own numbers of it. Who grades is told so.
    """
    exercise = registry.exercise(attempt.exercise, attempt.revision)
    known, asked = asked_with(attempt.kit_digest, kits), of_row(attempt.posed_digest)
    for kit in [known] if known else kits.values():
        mine = pose(exercise, key, attempt.practice, kit)
        if _row_digest(mine) == asked:
            return mine, False
    if known or not callable(exercise.rows):
        raise ValueError(f"{exercise.id} never asked this learner these numbers: the file was changed by hand.")
    again = _from_row(exercise, attempt, key, kits)
    if _row_digest(again) != asked:
        raise ValueError(f"The numbers that {exercise.id} asked don't fit their digest: the file was changed by hand.")
    return again, True


def _from_row(exercise, attempt, key, kits):
    try:
        row = _row(attempt.posed)
        _check_row(row, [one.row for kit in kits.values() for one in kit_rows.table(exercise, kit)])
        again = posed(exercise, row, next(iter(kits.values())), key, practice=attempt.practice)
        _check_answers(again)
    except FAULTS as fault:
        raise ValueError(f"{exercise.id} could never have asked these numbers: {str(fault).rstrip('.')}.") from None
    return again


def _row(text):
    try:
        data = json.loads(text) if len(text) <= POSED_LIMIT else None
    except (ValueError, RecursionError):
        data = None
    if not isinstance(data, dict):
        raise ValueError("they are missing or can't be read")
    return {name: tuple(given) if isinstance(given, list) else given for name, given in data.items()}


def _check_row(row, known):
    """Refuse a row of which something can't be, measured against the rows that the kits at hand ask."""
    if row.keys() != known[0].keys():
        odd = sorted(row.keys() ^ known[0].keys())[0]
        raise ValueError(f"{quoted(odd)} is {'too much' if odd in row else 'missing'}")
    for name, given in row.items():
        others = [one[name] for one in known]
        if isinstance(others[0], str):
            _check_name(name, given)
        else:
            _check_number(name, *_number_and_unit(name, given), [_number_and_unit(name, one) for one in others])


def _check_name(name, given):
    if not isinstance(given, str) or len(given) > LONGEST_NAME or not given.isprintable():
        raise ValueError(f"{name} must be a text of at most {LONGEST_NAME} letters")


def _number_and_unit(name, given):
    pair = given if isinstance(given, tuple) else (given, "")
    right_kind = len(pair) == 2 and isinstance(pair[0], (int, float)) and not isinstance(pair[0], bool)
    if not (right_kind and isinstance(pair[1], str) and math.isfinite(pair[0])):
        raise ValueError(f"{name} must be a number and a unit")
    return float(pair[0]), pair[1]


def _check_number(name, number, unit, others):
    units = dict.fromkeys(other for _, other in others)
    if unit not in units:
        raise ValueError(f"{name} is in {quoted(unit)}, but it must be in {listed(units)}")
    asked = [value for value, _ in others]
    low, high = _sane_bounds(asked)
    if not low <= number <= high:
        raise ValueError(
            f"{name} is {number:.4g}, but it must be from {low:.4g} to {high:.4g} {quantity.written(unit)}".rstrip()
        )
    if not unit and all(value == round(value) for value in asked) and number != round(number):
        raise ValueError(f"{name} is {number:g}, but it must be a whole number")


def _sane_bounds(asked):
    """From what the kits at hand ask to what any kit might: of one sign, where all are of one."""
    if min(asked) > 0:
        return min(asked) / SANE, max(asked) * SANE
    if max(asked) < 0:
        return min(asked) * SANE, max(asked) / SANE
    most = SANE * max(map(abs, asked))
    return (0.0 if min(asked) >= 0 else -most), (0.0 if max(asked) <= 0 else most)


def _check_answers(again):
    """Refuse a row with which the exercise can't be answered at all."""
    if not isinstance(again.exercise, Quantity):
        return
    truth = again.exercise.answer(again.si)
    if not math.isfinite(truth) or truth == 0:
        raise ValueError("with them it has no answer")
    for slip in again.exercise.slips:
        slip.formula(again.si)

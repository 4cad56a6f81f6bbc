"""The rows of an exercise for a kit, whatever the kit has: any number of gearboxes, a single motor, no slides.

    table(exercise, kit)         all rows, the book's row first; made(exercise, kit): anew
    settled(exercise, kit, place)   the row of that place as it is posed
    topped_up(kit)               a kit, and behind its parts those of the course's own kit

With the course's own kit rows are what the exercise says; with that of an earlier edition, what they were. With another
one:

1. A row counts when its numbers have an answer that no text tells, and when a wrong path can be told from it.
2. Where the kit gives fewer than FEWEST_ROWS, rows follow that are made from its parts and those of the course's own
   kit together; where these are too few, rows of the course's own kit alone. The question says so.
   An exercise about what the game lacks, that says what is `elsewhere`, has rows of the course's own kit.
3. What a Challenge asks of a design is eased, step by step, until a design of the kit's own parts is right; where no
   step helps, the course's own parts stand beside the kit's. Where all that the kit has is right, the question is easy.
"""

import copy
import math
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np

from mechbench.course import former_kit
from mechbench.course.exercise import Challenge, Quantity
from mechbench.course.learner_numbers import posed, rounded
from mechbench.course.of_game import unmet
from mechbench.course.told import telling
from mechbench.engine import assumed_text
from mechbench.kits.load import own_kit

FEWEST_ROWS = 4
STEPS = 5  # times that a design's task is eased
BEST = 20  # designs that a search finds
WIDE = 500  # times the low end of a range is its high one, from which on it is called wide
MARK = "(course's own)"
SOME_STAND_IN = "Too few parts of your kit fit this question, so parts of the course's own kit stand in."
ALL_STAND_IN = "Your kit lacks the parts for this question, so the course's own stand in."
MOST_KEPT = 2000
# What a row function may break on where a kit lacks what it looks for.
LACKS = (LookupError, AttributeError, ValueError, ArithmeticError, TypeError, StopIteration)


@dataclass(frozen=True)
class Asked:
    """One row of an exercise.

    row : name -> (number, unit), a number or a text
    parts : the kit whose parts the question is about
    note : what is said before the question
    """

    row: dict
    parts: object
    note: str = ""


def is_own(kit):
    """Tell whether a kit is the course's own, wherever it was read from."""
    return kit.digest == own_kit().digest


# --- rows ----------------------------------------------------------------------------------------------------------

_KEPT = {}  # (id of an exercise, id of a kit, what) -> both, which so keep their ids, and what was found


def _remembered(exercise, kit, what, find):
    """Find a thing once for an exercise and a kit: a class asks for it again with every learner."""
    who = id(exercise), id(kit), what
    if who not in _KEPT:
        if len(_KEPT) >= MOST_KEPT:
            _KEPT.clear()
        _KEPT[who] = exercise, kit, find()
    return _KEPT[who][-1]


def table(exercise, kit):
    """All rows of an exercise for a kit, each an Asked, the book's row first."""
    return _remembered(exercise, kit, "rows", lambda: made(exercise, kit))


def made(exercise, kit):
    """The same, made anew."""
    if callable(exercise.rows) and former_kit.is_former(kit):
        return [Asked(row, kit) for row in former_kit.rows(exercise)]
    if exercise.elsewhere and unmet(exercise, kit):
        # A design that can be eased is still made of the kit's own parts.
        parts = kit if getattr(exercise, "ease", {}) else own_kit()
        return [Asked(row, parts, exercise.elsewhere) for row in exercise.table(own_kit())]
    if not callable(exercise.rows) or is_own(kit):
        return [Asked(row, kit) for row in exercise.table(kit)]
    fewest = FEWEST_ROWS if isinstance(exercise, (Quantity, Challenge)) else 1
    found = _sound(exercise, kit, kit, "")
    if len(found) < fewest:
        found = _joined(found, _sound(exercise, kit, topped_up(kit), SOME_STAND_IN))
    if len(found) < fewest:
        found = _joined(found, [Asked(row, own_kit(), ALL_STAND_IN) for row in exercise.table(own_kit())])
    return found


def _sound(exercise, kit, parts, note):
    """The rows that some parts give, each once, without those that can't be asked."""
    try:
        rows = exercise.table(parts)
    except LACKS:
        return []
    return _joined([], [Asked(row, parts, note) for row in rows if _can_be_asked(exercise, row, kit)])


def _joined(first, more):
    """Rows, and behind them those that are new."""
    there = {repr(asked.row) for asked in first}
    found = list(first)
    for asked in more:
        if repr(asked.row) not in there:
            there.add(repr(asked.row))
            found.append(asked)
    return found


def _can_be_asked(exercise, row, kit):
    """Tell whether a row has an answer that no text tells and, where slips are named, one that can be told from it."""
    numbers = [given[0] if isinstance(given, tuple) else given for given in row.values()]
    if not all(isinstance(number, str) or math.isfinite(number) for number in numbers):
        return False
    if not isinstance(exercise, Quantity):
        return True
    try:
        one = posed(exercise, row, kit)
        truth = exercise.answer(one.si)
        return bool(math.isfinite(truth) and truth != 0 and one.slips and not telling(one))
    except LACKS:
        return False


# --- designs -------------------------------------------------------------------------------------------------------


def settled(exercise, kit, place):
    """The row of that place as it is posed: with a Challenge, as hard as the kit's own parts allow."""
    asked = _as_assumed(exercise, table(exercise, kit)[place])
    # A Challenge without `ease` asks for what its rows found that the kit can do.
    if not getattr(exercise, "ease", {}) or is_own(asked.parts) or former_kit.is_former(kit):
        return asked
    return _remembered(exercise, kit, place, lambda: _doable(exercise, kit, asked, place))


def _as_assumed(exercise, asked):
    """The row, and before the question what of it no label gives."""
    rests_on = exercise.rests_on and exercise.rests_on(asked.row, asked.parts)
    if not rests_on:
        return asked
    name, part, column = rests_on
    said = assumed_text.one_line(asked.parts.table(name), part, column)
    return replace(asked, note=f"{asked.note} {said}".strip())


def _doable(exercise, kit, asked, place):
    wider = Asked(asked.row, topped_up(kit), f"{asked.note} {SOME_STAND_IN}".strip())
    for tried in (asked, wider):
        for step in range(STEPS):
            eased = replace(tried, row=_eased(exercise, tried.row, step))
            if _can_be_met(exercise, kit, eased):
                return eased
    own = exercise.table(own_kit())
    return Asked(own[place % len(own)], own_kit(), f"{asked.note} {ALL_STAND_IN}".strip())


def _eased(exercise, row, step):
    """What is asked of a design, easier by some steps; step 0 leaves it as it is."""
    if step == 0:
        return row
    return {name: _times(given, exercise.ease.get(name, 1.0) ** step) for name, given in row.items()}


def _times(given, factor):
    if factor == 1.0:
        return given
    return rounded(given[0] * factor, 2), given[1]


def _can_be_met(exercise, kit, asked):
    # Loaded here: a question of another kind needs no search, and grading needs this module.
    from mechbench.course.grading import RIGHT, grade_posed

    one = posed(exercise, asked.row, kit, parts=asked.parts)
    try:  # the best one is likely right: few have to be graded
        return any(grade_posed(one, raw).state == RIGHT for raw in (*found_answers(one), *ends_of_ranges(one)))
    except LACKS:  # the kit lacks a part, or its game a role, without which nothing can be judged
        return False


def ends_of_ranges(one):
    """Two answers to a Challenge: the first, and the last, of every input."""
    # Loaded here: as above.
    from mechbench import quantity
    from mechbench.course.question_text import inputs, options_of
    from mechbench.engine.spec import Pick

    ends = {}
    for entry in inputs(one):
        if isinstance(entry, Pick):
            names = list(options_of(one, entry))
            ends[entry.name] = names[0], names[-1]
        else:
            unit = quantity.written(entry.unit)
            ends[entry.name] = tuple(f"{value:g} {unit}".strip() for value in (entry.low, entry.high))
    return ["; ".join(f"{name} = {pair[end]}" for name, pair in ends.items()) for end in (0, 1)]


def found_answers(one):
    """The best answers to a Challenge that a search finds, as raw texts."""
    # Loaded here: as above.
    from mechbench.catalog import search, sizing_of
    from mechbench.course.grading import fixed_inputs
    from mechbench.course.question_text import inputs
    from mechbench.engine.inputs import Tables
    from mechbench.engine.spec import Pick

    sizing = sizing_of(one.exercise.sizing)
    vary = {
        entry.name: None if isinstance(entry, Pick) else [entry.to_si(value) for value in _spread(entry)]
        for entry in inputs(one)
    }
    kit = Tables(sizing, one.parts).kit
    for candidate in search(sizing, fixed_inputs(one), vary, kit, finalists=BEST).candidates[:BEST]:
        yield "; ".join(f"{name} = {written(sizing.field(name), value)}" for name, value in candidate.choice.items())


def _spread(entry):
    """Nine numbers by even steps over the range of an input; nine more by even ratios, where it is so wide that steps
    leave out what is small.
    """
    steps = np.linspace(entry.low, entry.high, 9)
    wide = 0 < entry.low * WIDE <= entry.high
    return np.union1d(steps, np.geomspace(entry.low, entry.high, 9)) if wide else steps


def written(entry, value):
    """One setting of a design as people write it."""
    from mechbench import quantity
    from mechbench.engine.spec import Pick

    if isinstance(entry, Pick):
        return value
    return f"{quantity.from_si(value, entry.unit):.6g} {quantity.written(entry.unit)}".strip()


# --- parts of two kits ---------------------------------------------------------------------------------------------

_TOPPED = {}  # id of a kit -> the kit, which so keeps its id, and both kits' parts


def topped_up(kit):
    """A kit, and behind the parts of each of its tables those of the course's own kit, told by their labels."""
    if id(kit) not in _TOPPED:
        if len(_TOPPED) >= 16:
            _TOPPED.clear()
        own = own_kit()
        both = {name: kit.table(name) if name == "goals" else _both(kit.table(name), own) for name in kit.tables()}
        # What is worked out of a kit is kept by its digest: other parts need another one.
        _TOPPED[id(kit)] = kit, replace(kit, digest=f"{kit.digest}+{own.digest}", _tables=both)
    return _TOPPED[id(kit)][-1]


def _both(table, own):
    """One table with the parts of two kits; a name that the kit has is its own part alone."""
    other = own.table(table.name)
    places = [place for place, name in enumerate(other.names) if name not in table.names]
    joined = copy.copy(table)
    joined.names = (*table.names, *(other.names[place] for place in places))
    more = {other.names[place]: f"{other.labels[other.names[place]]} {MARK}" for place in places}
    joined.labels = MappingProxyType({**table.labels, **more})
    joined.columns = MappingProxyType(
        {key: _longer(values, other.columns[key], places) for key, values in table.columns.items()}
    )
    joined.texts = MappingProxyType(
        {key: (*texts, *(other.texts[key][place] for place in places)) for key, texts in table.texts.items()}
    )
    # What nobody printed of a part stays assumed, whichever kit the part is of.
    assumed = {name: other.assumed[name] for name in more if name in other.assumed}
    joined.assumed = MappingProxyType({**table.assumed, **assumed})
    return joined


def _longer(values, more, places):
    longer = np.concatenate([values, more[places]])
    longer.flags.writeable = False
    return longer

"""Designs leave something to choose and something to miss: on the course's own kit, for each row that a learner gets,
at least 3 and at most a third of all that can be chosen is right, and what the bench opens with is not.

Each day one row of each design is counted, with MECHBENCH_THOROUGH=1 all.
"""

from dataclasses import replace

import pytest

from mechbench.catalog import search, sizing_of
from mechbench.course import kit_rows, registry
from mechbench.course.exercise import Challenge
from mechbench.course.grading import NOT_YET, fixed_inputs, grade_posed
from mechbench.course.kit_rows import written
from mechbench.course.learner_numbers import posed
from mechbench.course.on_bench import opened
from mechbench.course.question_text import inputs
from mechbench.engine.inputs import Tables
from mechbench.engine.spec import Pick
from mechbench.kits.load import own_kit
from tests.tries import tries

DESIGNS = [exercise for exercise in registry.everything() if isinstance(exercise, Challenge)]
FEWEST, LARGEST_SHARE = 3, 1 / 3
ROWS = [(one, place) for one in DESIGNS for place in range(min(tries(1, thorough=99), len(one.table(own_kit()))))]


def _posed(design, place):
    asked = kit_rows.settled(design, own_kit(), place)
    return posed(design, asked.row, own_kit(), parts=asked.parts)


def _asking_only(exercise):
    """The sizing, where what the text does not ask is found but not judged."""
    sizing = sizing_of(exercise.sizing)
    asked = exercise.asked_of(sizing)
    findings = tuple(one if one.name in asked else replace(one, sense="", bound=None) for one in sizing.FINDINGS)
    return type(sizing.__name__, (sizing,), {"FINDINGS": findings})


def counted(one):
    """How many designs are right, and how many there are: all parts, and of each number nine steps over its range."""
    vary = {
        entry.name: None
        if isinstance(entry, Pick)
        else [entry.to_si(float(value)) for value in kit_rows._spread(entry)]
        for entry in inputs(one)
    }
    sizing = _asking_only(one.exercise)
    kit = Tables(sizing, one.parts).kit
    found = search(sizing, fixed_inputs(one), vary, kit, finalists=10**6, enough=10**6)
    return len(found.fitting), found.tried


@pytest.mark.parametrize("design, place", ROWS, ids=lambda it: getattr(it, "id", it))
def test_at_least_three_and_at_most_a_third_of_all_choices_are_right(design, place):
    right, tried = counted(_posed(design, place))
    assert FEWEST <= right <= LARGEST_SHARE * tried, f"{right} of {tried}"


@pytest.mark.parametrize("design", DESIGNS, ids=lambda design: design.id)
def test_what_the_bench_opens_with_is_not_right(design):
    for place in range(len(design.table(own_kit()))):
        one = _posed(design, place)
        at_first = opened(design.sizing, one.parts)
        raw = "; ".join(f"{entry.name} = {written(entry, at_first[entry.name])}" for entry in inputs(one))
        told = grade_posed(one, raw)
        assert told.state == NOT_YET, raw


@pytest.mark.parametrize("design", DESIGNS, ids=lambda design: design.id)
def test_what_is_asked_is_judged_by_the_sizing(design):
    judged = {finding.name for finding in sizing_of(design.sizing).judged()}
    assert set(design.asks) <= judged and len(set(design.asks)) == len(design.asks)

"""The largest value that works, beside judging every value that can be typed one by one; ratios only, both in one run.

What both find is the same, value for value: no number of three digits beyond what is told works, and none of a sample
on this side of it is missed.
"""

import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.engine.furthest import MOST, Range, furthest
from mechbench.engine.inputs import Tables
from mechbench.engine.spec import Field
from tests.benchmarks.ratios import at_least, processor_time

pytestmark = pytest.mark.benchmark
BOUND = 3
ASKED = [
    ("arm", "payload"),
    ("lift", "payload"),
    ("drivetrain", "mass"),
    ("winch", "lift_height"),
    ("gripper", "piece_mass"),
    ("linkage", "payload"),
]
PLACES = 300  # over the range, judged one by one


def typed(name, field):
    """So many numbers of three digits over the whole range, in SI, the largest first."""
    one = sizing_of(name).field(field).at(Tables(sizing_of(name)))
    assert isinstance(one, Field)
    numbers = Range(one, one.unit)
    return [numbers.to_si(number) for number in reversed(numbers.grid(PLACES, PLACES))]


@pytest.mark.parametrize("name, field", ASKED, ids=[name for name, _ in ASKED])
def test_the_most_against_judging_one_by_one(name, field, hold):
    sizing, tables = sizing_of(name), Tables(sizing_of(name))
    judge(name)  # loads what is loaded once
    found = furthest(sizing, {}, field, MOST, tables)
    values = typed(name, field)
    works = [value for value in values if judge(name, {field: value}).surely_works]
    assert works and max(works) <= found.found.value, "both find the same, or the ratio means nothing"
    assert not [value for value in works if value > found.found.value]
    assert found.found.value < min(value for value in values if value > max(works))

    def measure():
        search = processor_time(lambda: furthest(sizing, {}, field, MOST, tables), 3)
        alone = processor_time(lambda: [judge(name, {field: value}) for value in values[:30]]) / 30 * len(values)
        told = f"{len(values)} values one by one in {alone:.2f} s, the search in {search:.2f} s"
        return [
            at_least(f"{len(values)} judgements of {name}, beside --most {field}", alone / search, BOUND, told=told)
        ]

    hold(measure)

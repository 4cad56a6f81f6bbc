"""When a ratio fails: not by its goal, and by its bound only after three misses in a row. These tests time nothing."""

import pytest

from tests.benchmarks.ratios import at_least, at_most, held


def rounds(*ratios):
    """A measurement that gives other ratios each time, and counts how often it was asked."""
    given = iter(ratios)

    def measure():
        measure.asked += 1
        return next(given)

    measure.asked = 0
    return measure


def small(value, what="a"):
    return at_most(what, value, bound=2.0, goal=1.0)


def test_within_its_bound_it_is_measured_once_and_a_missed_goal_is_said():
    said, measure = [], rounds([small(1.5)], [])
    held(measure, said.append)
    assert measure.asked == 1 and said == ["a: 1.5 times (goal at most 1: missed; bound at most 2)."]


def test_what_misses_its_bound_is_measured_anew_and_may_hold_the_third_time():
    said, measure = [], rounds([small(2.1)], [small(9)], [small(0.9)])
    held(measure, said.append)
    assert measure.asked == 3 and [line.count("missed") for line in said] == [2, 2, 0]


def test_the_same_ratio_missed_three_times_fails_and_is_named():
    measure = rounds(*[[small(1.0, "holds"), small(2.1, "fails")]] * 3)
    with pytest.raises(pytest.fail.Exception, match="3 times in a row: fails$"):
        held(measure, lambda line: None)
    assert measure.asked == 3


def test_ratios_that_miss_in_turn_do_not_fail():
    held(rounds([small(9, "a"), small(1, "b")], [small(1, "a"), small(9, "b")]), lambda line: None)


def test_a_large_one_is_held_from_below_and_one_without_a_bound_never_fails():
    said = []
    held(rounds([at_least("speed", 40, bound=20, goal=100, told="4 ms"), at_most("other", 7, bound=None)]), said.append)
    assert said == [
        "speed: 40 times (goal at least 100: missed; bound at least 20). 4 ms",
        "other: 7 times (no limit).",
    ]
    with pytest.raises(pytest.fail.Exception):
        held(rounds(*[[at_least("speed", 19, bound=20)]] * 3), said.append)

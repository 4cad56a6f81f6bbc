"""Designs side by side: marks, which of them works, the largest differences; by numbers worked out in the head."""

import math
from dataclasses import replace

import pytest

from mechbench.engine import side_by_side
from mechbench.engine.inputs import Tables
from mechbench.engine.judge import judge_with
from mechbench.engine.side_by_side import BETTER, LESS, MORE, OTHER, SAME, WORSE, mark_of
from mechbench.engine.spec import Finding
from tests.engine.toys import Shelf, toy_kit


def shelf(**values):
    return judge_with(Shelf, values, Tables(Shelf, toy_kit()))


# 10 kg on the middle board: 100 N, sag 20 mm; on the thick one 10 mm; its mass 2 kg and 4 kg.
MIDDLE, THICK = shelf(board="middle"), shelf(board="thick")


def test_numbers_and_marks_of_each_finding():
    weight, sag, mass = side_by_side.rows([MIDDLE, THICK])
    assert [cell.text for cell in weight.good] == ["100 N", "100 N"] and weight.good[1].mark is SAME
    assert [cell.text for cell in sag.good] == ["20 mm", "10 mm"]
    assert (sag.good[0].mark, sag.good[1].mark, sag.bad[1].mark) == (None, BETTER, BETTER)  # at most 100 mm
    assert [cell.text for cell in mass.good] == ["2 kg", "4 kg"] and mass.good[1].mark is MORE  # neither is worse
    assert weight.asked == "at most 200 N; B: at most 400 N" and sag.asked == "at most 100 mm" and mass.asked == ""


def test_turned_round_each_mark_is_the_other_one():
    marks = [row.good[1].mark for row in side_by_side.rows([THICK, MIDDLE])]
    assert marks == [SAME, WORSE, LESS]


@pytest.mark.parametrize("worse, up, down", [("more", WORSE, BETTER), ("less", BETTER, WORSE), ("", MORE, LESS)])
def test_marks_go_by_the_way_that_is_worse(worse, up, down):
    finding = Finding("mass", "mass", "kg", "Of the board", worse=worse)
    assert finding.worse_way == worse
    assert mark_of(finding, MIDDLE, THICK, False) is up and mark_of(finding, THICK, MIDDLE, False) is down


def test_a_range_that_is_wider_at_both_ends_is_neither_more_nor_less():
    wide = replace(MIDDLE, ends={"mass": (1.0, 5.0)})
    narrow = replace(MIDDLE, ends={"mass": (2.0, 4.0)})
    mass = Shelf.finding("mass")
    assert mark_of(mass, wide, narrow, True) is OTHER
    assert mark_of(mass, replace(MIDDLE, ends={"mass": (1.0, 4.0)}), narrow, True) is MORE


def test_a_design_beside_itself_differs_in_nothing():
    assert side_by_side.differing([MIDDLE, MIDDLE]) == ()
    assert all(cell.mark is SAME for row in side_by_side.rows([MIDDLE, MIDDLE]) for cell in (row.good[1], row.bad[1]))
    assert side_by_side.sentence([MIDDLE, MIDDLE]) == (
        "A and B work, on a bad day too. A and B come out the same on a bad day."
    )


def test_which_inputs_differ_in_the_order_of_the_sizing():
    assert side_by_side.differing([MIDDLE, shelf(board="thick", load=12.0)]) == ("load", "board")


def test_which_works():
    # 20 kg are 200 N: exactly what the middle board bears, and more on most days; 30 kg are 300 N.
    just, breaks = shelf(board="middle", load=20.0), shelf(board="middle", load=30.0)
    assert side_by_side.which([breaks, THICK, just, MIDDLE]) == (
        "B and D work, on a bad day too; C works on a good day only; A does not work."
    )


def test_largest_differences_by_hand():
    # On a bad day the load is heavier by the share that on 19 of 20 days is not passed. Of 256 days, 12 may be worse:
    # the steps are 0.001, 0.002 ... 0.255, so that 0.243 is the highest left. 20 mm and 10 mm become 24.86 mm and
    # 12.43 mm, half as much.
    assert MIDDLE.bad["sag"] == pytest.approx(0.02486) and THICK.bad["sag"] == pytest.approx(0.01243)
    said = side_by_side.largest(MIDDLE, THICK)
    # The mass is in RANK, so it counts among what is asked; both differ by half of the larger number.
    assert said == (
        "B beside A, on a bad day: sag in the middle 12.4 mm, not 24.9 mm (50 % less: better);"
        " mass of the board 4 kg, not 2 kg (100 % more)."
    )


def test_a_number_without_end_is_the_largest_difference():
    endless = replace(THICK, bad={**THICK.bad, "weight": math.inf})
    assert side_by_side.largest(MIDDLE, endless).startswith("B beside A, on a bad day: weight on the board")

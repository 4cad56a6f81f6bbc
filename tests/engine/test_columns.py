"""Inputs as columns: one row a case, of fields, parts and records alike."""

from types import SimpleNamespace

import numpy as np
import pytest

from mechbench.engine.columns import columns, each, repeated, take
from mechbench.engine.inputs import Tables
from mechbench.engine.spec import Sizing
from tests.engine.toys import Shelf, record, toy_kit

VALUES = {"load": 12.0, "sag_allowed": 0.05, "board": "thick", "count": "3"}


class WithRecords(Shelf):
    """The shelf, and two records of the kit."""

    RECORDS = ("battery", "roles.match")


def columns_of(x):
    """All columns as lists, by path."""
    return {
        path: column.tolist()
        for name, value in vars(x).items()
        for path, column in (
            [(f"{name}.{k}", v) for k, v in vars(value).items()]
            if isinstance(value, SimpleNamespace)
            else [(name, value)]
        )
    }


def test_one_case_is_columns_of_one_row():
    x = columns(Shelf, VALUES, Tables(Shelf, toy_kit()))
    assert columns_of(x) == {
        "load": [12.0],
        "sag_allowed": [0.05],
        "board.strength": [400.0],
        "board.give": [0.001],
        "board.mass": [4.0],
        "count.number": [3.0],
    }


def test_lists_of_numbers_and_of_parts_are_longer_columns():
    x = columns(Shelf, {**VALUES, "load": [1, 2, 3], "board": ["thick", "thin", "thick"]}, Tables(Shelf, toy_kit()))
    assert x.load.dtype == float and x.load.tolist() == [1, 2, 3] and x.board.strength.tolist() == [400, 100, 400]
    assert x.board.give.tolist() == [0.001, 0.004, 0.001] and x.count.number.tolist() == [3]


def test_numbers_of_records_are_columns_and_their_texts_are_not():
    match = record("match", length=120, label="a match")
    kit = toy_kit(battery=record("battery", resistance=0.1, curve=(1.0, 2.0)), roles=record("roles", match=match))
    x = columns(WithRecords, VALUES, Tables(WithRecords, kit))
    assert vars(x.match).keys() == {"length"} and x.match.length.tolist() == [120.0]
    assert x.battery.resistance.tolist() == [0.1] and x.battery.curve.tolist() == [[1.0, 2.0]]


def test_an_unknown_part_in_a_list_is_no_part():
    with pytest.raises(KeyError):
        columns(Shelf, {**VALUES, "board": ["thick", "glass"]}, Tables(Shelf, toy_kit()))


def some():
    """A column of three rows, and a part with a column of one row and one of three rows of two."""
    part = SimpleNamespace(one=np.array([7.0]), pairs=np.array([[1.0, 2.0], [3.0, 4.0], [5.0, 6.0]]))
    return SimpleNamespace(a=np.array([10.0, 20.0, 30.0]), part=part)


def test_every_column_is_changed_and_the_old_ones_stay():
    old = some()
    new = each(lambda column: 2 * column, old)
    assert columns_of(new) == {"a": [20, 40, 60], "part.one": [14], "part.pairs": [[2, 4], [6, 8], [10, 12]]}
    assert columns_of(old) == columns_of(some())


def test_rows_are_taken_in_the_order_asked_and_one_row_stands_for_all():
    taken = take(some(), np.array([2, 0, 2, 2]))
    assert columns_of(taken) == {
        "a": [30, 10, 30, 30],
        "part.one": [7, 7, 7, 7],
        "part.pairs": [[5, 6], [1, 2], [5, 6], [5, 6]],
    }


def test_blocks_of_all_rows_follow_each_other():
    blocks = repeated(some(), 3, 2)
    assert columns_of(blocks) == {
        "a": [10, 20, 30, 10, 20, 30],
        "part.one": [7] * 6,
        "part.pairs": [[1, 2], [3, 4], [5, 6], [1, 2], [3, 4], [5, 6]],
    }


def test_a_sizing_without_inputs_has_no_columns():
    assert columns_of(columns(Sizing, {}, Tables(Sizing, toy_kit()))) == {}

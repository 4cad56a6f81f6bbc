"""Inputs are read, completed and refused; tables are looked up by name."""

import numpy as np
import pytest

from mechbench.engine.inputs import Tables, complete
from mechbench.engine.spec import Sizing
from mechbench.kits import Table
from mechbench.kits import kit as kit_in_force
from tests.engine.toys import BOARDS, Shelf, toy_kit

TABLES = Tables(Shelf, toy_kit())


def test_what_is_not_given_has_its_default():
    usual = {"load": 10.0, "sag_allowed": 0.1, "board": "middle", "count": "1"}
    assert complete(Shelf, {}, TABLES) == pytest.approx(usual)
    assert complete(Shelf, {"load": None, "board": None}, TABLES) == pytest.approx(usual)


def test_what_is_given_is_read_in_the_order_of_the_sizing():
    whole = complete(Shelf, {"count": "2", "sag_allowed": "5 cm", "load": 20}, TABLES)
    assert list(whole) == ["load", "sag_allowed", "board", "count"]
    assert whole == {"load": 20.0, "sag_allowed": pytest.approx(0.05), "board": "middle", "count": "2"}


@pytest.mark.parametrize(
    "given, said",
    [
        ({"lod": 3}, "'lod' is not an input of shelf; did you mean 'load'?"),
        (
            {"load": 60},
            "load is 60 kg, but it must be from 1 kg to 50 kg (only the slider ends there, physics goes on above);"
            " choose a value in that range.",
        ),
        (
            {"load": float("nan")},
            "load is 'nan', but it must be one number from 1 kg to 50 kg; choose a value in that range.",
        ),
        (
            {"load": [5, 6]},
            "load is '[5, 6]', but it must be one number from 1 kg to 50 kg; choose a value in that range.",
        ),
        ({"load": True}, "load is 'True', but it must be one number from 1 kg to 50 kg; choose a value in that range."),
        ({"board": ["thin"]}, "board is '['thin']', which the kit does not have; did you mean 'thin'?"),
        ({"count": 7}, "count is '7', which the kit does not have; choose from 1, 2, 3, 4."),
        ({"count": True}, "count is 'True', which the kit does not have; choose from 1, 2, 3, 4."),
        ({"board": "thinn"}, "board is 'thinn', which the kit does not have; did you mean 'thin'?"),
        ({"count": "7"}, "count is '7', which the kit does not have; choose from 1, 2, 3, 4."),
    ],
)
def test_bad_input_is_one_sentence(given, said):
    with pytest.raises(ValueError) as refused:
        complete(Shelf, given, TABLES)
    assert str(refused.value) == said


@pytest.mark.parametrize("two", [2, np.int64(2), "2"])
def test_a_part_whose_name_is_a_number_may_be_given_as_a_number(two):
    assert complete(Shelf, {"count": two}, TABLES)["count"] == "2"


def test_counts_are_the_same_whatever_the_kit():
    assert TABLES("counts").names == ("1", "2", "3", "4") and TABLES("counts").columns["number"].tolist() == [
        1,
        2,
        3,
        4,
    ]
    assert TABLES("boards") is BOARDS


def test_a_table_that_the_sizing_makes_is_made_once_for_a_kit():
    """It goes before the kit's own of that name; it is made again only for another kit."""
    made = []

    def boards(kit):
        made.append(kit)
        return Table("boards", ("single",), "single", {}, {"number": np.array([1.0])})

    class Made(Sizing):
        TABLES = {"boards": boards}

    first, second = toy_kit("first"), toy_kit("second")
    tables = Tables(Made, first)
    assert tables("boards").names == ("single",) and tables("boards") is tables("boards")
    assert Tables(Made, first)("boards") is tables("boards") is not Tables(Made, second)("boards")
    assert made == [first, second] and tables("plain") is first.table("plain")


def test_without_a_kit_it_is_the_one_in_force():
    assert Tables(Shelf).kit is kit_in_force() and Tables(Shelf, toy_kit()).kit.digest == "toy"

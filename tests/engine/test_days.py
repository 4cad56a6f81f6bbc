"""Good and bad days: fixed points spread evenly, and what varies with them."""

import numpy as np
import pytest

from mechbench.catalog import NAMES, sizing_of
from mechbench.engine.columns import columns
from mechbench.engine.days import DAYS, day_fractions, spread_columns
from mechbench.engine.inputs import Tables, complete
from tests.engine.toys import Shelf, toy_kit

TABLES = Tables(Shelf, toy_kit())
NAN = np.nan


def test_days_are_the_points_of_haltons_sequence():
    """The digits of 1, 2, 3 ... mirrored at the point, in base 2, 3 and 5 (Halton 1960, from memory), by hand."""
    twos = [1 / 2, 1 / 4, 3 / 4, 1 / 8, 5 / 8, 3 / 8, 7 / 8, 1 / 16, 9 / 16]
    threes = [1 / 3, 2 / 3, 1 / 9, 4 / 9, 7 / 9, 2 / 9, 5 / 9, 8 / 9, 1 / 27]
    fives = [1 / 5, 2 / 5, 3 / 5, 4 / 5, 1 / 25, 6 / 25, 11 / 25, 16 / 25, 21 / 25]
    assert day_fractions(3, 9) == pytest.approx(np.transpose([twos, threes, fives]), rel=1e-14)


def test_one_spread_varies_in_256_even_steps():
    """In base 2 the numbers 1 to 255 fill all steps of 1/256; 256 is 1 0000 0000, mirrored 0.0000 0000 1: 1/512."""
    assert DAYS == 256
    assert np.sort(day_fractions(1)[:, 0]).tolist() == [1 / 512, *(np.arange(1, 256) / 256)]


def test_twelve_numbers_vary_in_twelve_prime_bases_and_no_more():
    """The first point is 1 over the base."""
    assert 1 / day_fractions(12, 1)[0] == pytest.approx([2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37])
    with pytest.raises(ValueError) as refused:
        day_fractions(13)
    assert str(refused.value) == "a sizing has 13 spreads, but at most 12 can vary; join some of them."


def test_days_are_made_once_and_cannot_be_changed():
    assert day_fractions(2) is day_fractions(2) and day_fractions(0).shape == (DAYS, 0)
    with pytest.raises(ValueError, match="read-only"):
        day_fractions(2)[0, 0] = 0.0


def test_days_fill_their_range_evenly():
    """Discrepancy far below that of random points: no box from 0 to a corner is off by over 4 % (random: 9 %)."""
    points = day_fractions(8)[:, :4]
    assert points.shape == (DAYS, 4) and points.min() >= 0 and points.max() < 1
    for corner in day_fractions(4, 40):
        assert np.mean(np.all(points < corner, axis=1)) == pytest.approx(np.prod(corner), abs=0.04)
    for column in day_fractions(8).T:
        assert np.histogram(column, 8, (0, 1))[0] == pytest.approx(DAYS / 8, abs=6)


class Bending(Shelf):
    """The shelf with a board that gives more or less: the load varies by a share, the board by so many m/kg."""

    SPREADS = {"load": "mass", "board.give": "give"}


def test_a_share_is_of_the_number_and_an_amount_is_added():
    """Load 10 kg, 0 to 25.6 % more; give 2 mm/kg, 1 mm/kg less to 2 mm/kg more."""
    x = columns(Bending, complete(Bending, {}, TABLES), TABLES)
    day = spread_columns(Bending, x, TABLES, np.array([[0.0, 1.0], [1.0, 0.0], [0.5, 0.5], [NAN, NAN], [NAN, 1.0]]))
    assert day.load == pytest.approx([10, 12.56, 11.28, 10, 10], rel=1e-12)
    assert day.board.give == pytest.approx([0.004, 0.001, 0.0025, 0.002, 0.004], rel=1e-12)
    assert day.board.strength.tolist() == [200] and day.sag_allowed.tolist() == [0.1], "the others stay"
    assert x.load.tolist() == [10] and x.board.give.tolist() == [0.002], "the usual day is not touched"


def test_rows_that_are_days_already_vary_row_by_row():
    x = columns(Bending, {**complete(Bending, {}, TABLES), "load": [10.0, 20.0]}, TABLES)
    day = spread_columns(Bending, x, TABLES, np.array([[1.0, 0.0], [0.5, NAN]]))
    assert day.load == pytest.approx([12.56, 22.56], rel=1e-12) and day.board.give == pytest.approx(
        [0.001, 0.002], rel=1e-12
    )


@pytest.mark.parametrize("name", sorted(NAMES))
def test_every_spread_names_a_column_and_keeps_it_possible(name):
    sizing, tables = sizing_of(name), Tables(sizing_of(name))
    x = columns(sizing, complete(sizing, {}, tables), tables)
    ends = np.array([[0.0] * len(sizing.SPREADS), [1.0] * len(sizing.SPREADS)])
    day = spread_columns(sizing, x, tables, ends)
    for path in sizing.SPREADS:
        part, _, column = path.rpartition(".")
        value = getattr(getattr(day, part) if part else day, column)
        assert np.all(value >= 0)
        if "efficiency" in column:
            assert np.all((value > 0) & (value <= 1))

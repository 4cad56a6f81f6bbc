"""The shop at home: the same readings for the same name, honest noise, a hidden value that a fit finds."""

import numpy as np
import pytest
from scipy import stats

from mechbench.course import registry
from mechbench.course.grading import grade
from mechbench.course.learner_numbers import pose
from mechbench.course.simulated_readings import columns_in_si, readings_of, shop_readings
from tests.course.samples import SHOP, TORQUE

TIMES = registry.exercise("start-here-stopwatch")


def test_the_same_name_gets_the_same_readings_and_another_name_others():
    first, again, other = (readings_of(SHOP, key) for key in ("ana m", "ana m", "finn"))
    assert np.array_equal(first.force, again.force) and not np.array_equal(first.force, other.force)
    assert not np.array_equal(first.force, readings_of(SHOP, "ana m", practice=1).force)


def test_readings_never_change():
    """Frozen: stored notebooks hold the book's readings."""
    assert readings_of(SHOP, "").force.tolist() == BOOK_FORCES


BOOK_FORCES = [1.2, 2.0, 3.1, 4.4, 5.1, 6.6, 7.9, 7.7, 9.2, 9.7, 11.3, 12.0]


def test_the_fit_of_a_reference_library_finds_the_hidden_value():
    """Slope of force over weight by scipy's own least squares, a fit that is not ours."""
    for i in range(30):
        key = f"name {i}"
        columns = columns_in_si(readings_of(SHOP, key))
        slope = stats.linregress(9.80665 * columns["mass"], columns["force"]).slope
        hidden = SHOP.answer(pose(SHOP, key).si)
        assert slope == pytest.approx(hidden, rel=0.1)
        ours = SHOP.shop.fit(columns, None)
        assert grade(SHOP, key, f"{ours:.3f}").state == "right"


def test_the_noise_is_as_large_as_it_is_said_to_be_and_leans_to_no_side():
    """Trips differ by 8 %, the thumb by 0.1 s: the mean of many learners' errors is 0 within its own error.

    The first trip and the last are slow and quick by a share of their own. With many more readings the watch's tenths
    would show in the last line.
    """
    errors = []
    for i in range(140):
        one = pose(TIMES, f"name {i}")
        errors.append((shop_readings(one, f"name {i}").time[1:-1] - one.si.trip) / one.si.trip)
    errors = np.concatenate(errors)
    assert abs(errors.mean()) < 4 * errors.std() / np.sqrt(errors.size)
    assert errors.std() == pytest.approx(0.08, rel=0.05)
    assert stats.kstest(errors / errors.std(), "norm").pvalue > 1e-3


def test_a_mean_is_right_more_often_than_one_reading():
    """Otherwise there would be nothing to learn from it."""

    def rights(pick):
        keys = [f"name {i}" for i in range(100)]
        return sum(grade(TIMES, key, f"{pick(readings_of(TIMES, key).time):.2f} s").state == "right" for key in keys)

    assert rights(np.mean) == 100 and rights(lambda times: times[0]) < 85


def test_columns_are_read_by_name_and_cannot_be_spoiled():
    data = readings_of(SHOP, "")
    assert list(data) == ["mass", "force"] and len(data) == 12 and data["force"] is data.force
    with pytest.raises(ValueError):
        data.force[0] = 0
    with pytest.raises(AttributeError, match="no column 'forse'; there are mass, force"):
        data.forse
    with pytest.raises(KeyError, match="no column"):
        data["forse"]


def test_readings_are_shown_as_a_table_with_units():
    lines = repr(readings_of(SHOP, "")).splitlines()
    assert (
        lines[0] == "A scale pulls a box." and lines[2].split() == ["mass", "[kg]", "force", "[N]"] and len(lines) == 15
    )
    assert len({len(line) for line in lines[2:]}) == 1


def test_readings_do_not_show_the_hidden_value():
    one = pose(TIMES, "ana m")
    assert one.texts["trip"] not in repr(readings_of(TIMES, "ana m")).split() and one.texts["trip"] not in one.fill(
        TIMES.text
    )


def test_an_exercise_without_shop_has_no_readings():
    with pytest.raises(ValueError, match="arm-sample-torque has no readings"):
        readings_of(TORQUE)

"""What one smaller number mends: on a toy in the head, and on the drivetrain against whole judgements."""

import pytest

from mechbench.catalog import sizing_of
from mechbench.engine import report_text
from mechbench.engine.inputs import Tables
from mechbench.engine.judge import judge_with
from mechbench.engine.mend import mended
from tests.engine.toys import Shelf, toy_kit


class Mends(Shelf):
    """A lighter load weighs less."""

    MENDS = {"weight": ("load", "solve")}


TOYS = Tables(Mends, toy_kit())


def test_the_largest_number_of_two_digits_that_meets_it_on_a_bad_day():
    """On 12 of 256 days it may be missed; on the next best the load is heavier by 0.243: 200 N / 12.43 are 16.09 kg."""
    found = mended(judge_with(Mends, {"load": 30.0}, TOYS), TOYS)
    assert (found.field.name, found.value) == ("load", pytest.approx(16.0)) and found.report.works_on_bad_day
    assert not judge_with(Mends, {"load": 16.1}, TOYS).works_on_bad_day
    assert report_text.mended(found) == "With the load on the shelf at 16 kg it works, on a bad day too."


def test_nothing_is_said_where_it_works_or_where_no_number_mends_it():
    assert mended(judge_with(Mends, {"load": 10.0}, TOYS), TOYS) is None
    assert mended(judge_with(Shelf, {"load": 30.0}, Tables(Shelf, toy_kit())), Tables(Shelf, toy_kit())) is None
    assert report_text.mended(None) == ""

    class Weak(Mends):
        MENDS = {"weight": ("sag_allowed", "solve")}  # mends nothing: the load weighs the same

    assert mended(judge_with(Weak, {"load": 30.0}, TOYS), TOYS) is None


def test_the_limit_at_which_a_drivetrains_fuse_lasts():
    """The next limit of two digits, 0.1 A more, misses it on a bad day; the one that is told does not."""
    drivetrain = sizing_of("drivetrain")
    tables = Tables(drivetrain)
    report = judge_with(drivetrain, {}, tables)
    assert report.weakest() == "fuse_lasts" and not report.works_on_bad_day, "else this asks nothing"
    found = mended(report, tables)
    assert found.field.name == "start_limit"
    step = lambda limit: judge_with(drivetrain, {"start_limit": limit}, tables)
    assert step(found.value).works_on_bad_day
    assert step(found.value + 0.1).bad_margin["fuse_lasts"] < 0
    assert found.value == pytest.approx(round(found.value, 1))


def test_what_that_costs_is_said():
    """With the run to be done in 1.17 s the limit that saves the fuse makes the run too slow, and that is said."""
    drivetrain = sizing_of("drivetrain")
    tables = Tables(drivetrain)
    report = judge_with(drivetrain, {"time_wanted": 1.17}, tables)
    sentence = report_text.mended(mended(report, tables))
    assert sentence.startswith("With the current limit of each drive motor at ")
    assert "that is met; what is missed then: time to get there and stop, at best, is " in sentence

"""Judging: days, verdicts, and the promise that a sizing is told apart from its faces. Tried on every sizing."""

import numpy as np
import pytest

from mechbench import quantity
from mechbench.catalog import NAMES, judge, sizing_of
from mechbench.engine import report_text
from mechbench.engine.columns import columns
from mechbench.engine.days import DAYS
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.judge import Report, bad_row, score, worse_days
from mechbench.engine.judge import judge as judge_class
from mechbench.engine.search import search as search_class
from mechbench.engine.spec import CHOICE, JOB, Field, Finding, Pick, Sizing
from mechbench.kits import kit
from tests.engine.toys import Shelf, toy_kit

EVERY = sorted(NAMES)


# --- by hand, on a shelf ---------------------------------------------------------------------------------------------


def shelf(load, sizing=Shelf, **values):
    """A report of the shelf: 10 N for each kilogram, at most 200 N; on the bad day the load is 24.3 % heavier."""
    return judge_class(sizing, {"load": load, **values}, toy_kit())


def test_a_report_by_hand():
    """10 kg: 100 of 200 N, 20 of 100 mm; the 13th worst of 256 days has 243/256 of the 25.6 % that may come on top."""
    report = shelf(10)
    assert report.good == pytest.approx({"weight": 100, "sag": 0.02, "mass": 2}, rel=1e-12)
    assert report.bad == pytest.approx({"weight": 124.3, "sag": 0.02486, "mass": 2}, rel=1e-12)
    assert report.good_margin == pytest.approx({"weight": 0.5, "sag": 0.8}, rel=1e-12)
    assert report.bad_margin == pytest.approx({"weight": 0.3785, "sag": 0.7514}, rel=1e-12)
    assert report.bounds == pytest.approx({"weight": 200, "sag": 0.1}) and report.drawn == pytest.approx({"bend": 0.04})
    assert (report.days_in_100, report.kit_digest, report.sizing) == (100, "toy", Shelf)
    assert report.values == {"load": 10, "sag_allowed": pytest.approx(0.1), "board": "middle", "count": "1"}


@pytest.mark.parametrize("load, days", [(18, 43), (16.01, 97), (19.99, 0), (20, 0), (25, 0)])
def test_days_are_counted_down_to_whole_ones_in_100(load, days):
    """18 kg hold up to 200/180 - 1 = 0.1111: 111 steps and the day at 0.0005, 112 of 256 are 43.75. 16.01 kg hold
    0.2492: 249 steps and the one, 97.66. 19.99 kg hold 0.0005002: the one, 0.39."""
    assert shelf(load).days_in_100 == days


def test_exactly_the_bound_works():
    """20 kg are 200 N; on every other day they are more."""
    report = shelf(20)
    assert report.good_margin["weight"] == 0 and report.works and not report.works_on_bad_day
    assert not shelf(20.001).works and shelf(16).works_on_bad_day
    edge = Report(Shelf, {}, {}, {}, {"a": 0.0}, {"a": 0.0}, 100)
    assert edge.works and edge.works_on_bad_day


@pytest.mark.parametrize("over, works", [(1e-12, True), (0.9e-6, True), (1.1e-6, False)])
def test_the_last_digits_do_not_decide_whether_it_works(over, works):
    """20 kg are 200 N, which is all that the board carries; so in the report, in its words and in a search."""
    load = 20 * (1 + over)
    report = shelf(load)
    assert report.works == works
    assert report_text.verdict(report).startswith("Works on a good day only, on 0 of" if works else "Does not work")
    (found,) = search_class(Shelf, {}, {"board": ["middle"], "load": [load]}, toy_kit()).candidates
    assert found.works == works


def test_the_weakest_may_be_another_one_on_a_bad_day():
    report = Report(Shelf, {}, {}, {}, {"a": 0.1, "b": 0.2}, {"a": 0.05, "b": -0.3}, 40)
    assert report.weakest(bad=False) == "a" and report.weakest() == report.weakest(bad=True) == "b"


class Varied(Shelf):
    """The board varies too, by an amount; so does its mass, of which as much is asked as it nearly has on any day."""

    FINDINGS = (*Shelf.FINDINGS, Finding("steady", "steady", "", "The same on every day", "at most", 1.0))
    SPREADS = {"load": "mass", "board.give": "give", "board.mass": "mass"}

    @staticmethod
    def solve(x):
        """A finding more that is always nearest to its bound."""
        return {**Shelf.solve(x), "steady": 0.99}


def test_what_hurts_is_the_margin_lost_when_each_input_alone_is_at_its_worse_end():
    """Weight: 0.5 to spare, 0.372 with 25.6 % more load: 0.128 lost. Sag: 10 kg at 4 mm/kg are 40 of 50 mm: 0.2 left of
    the least, 0.5: 0.3 lost. The mass, of which nothing is asked, hurts nothing; what is steady hides nothing."""
    report = shelf(10, Varied, sag_allowed="50 mm")
    assert [path for path, _ in report.hurts] == ["board.give", "load"]
    assert [loss for _, loss in report.hurts] == pytest.approx([0.3, 0.128], rel=1e-9)
    assert report.weakest() == "steady"


def test_what_is_ten_times_inside_its_bound_or_outside_is_not_told_apart():
    """Of a load that is 1 kg on a thick board, 0.1 of 200 mm sag; the sizing asks for a sag of at least 1 mm."""

    class Springy(Shelf):
        FINDINGS = (Finding("sag", "sag", "mm", "x", "at least", 1.0),)
        SPREADS = {"board.give": "give"}
        DRAWN = ()

    assert shelf(10, Springy).hurts == (("board.give", pytest.approx(10 - 9, rel=1e-9)),), (
        "19 counts as 10; the low end is worse"
    )


def test_where_nothing_is_asked_every_day_is_good():
    class Told(Shelf):
        FINDINGS = Shelf.FINDINGS[2:]

    report = shelf(10, Told)
    assert (report.hurts, report.days_in_100, report.good_margin, report.weakest()) == ((), 100, {}, None)
    assert report.works and report.works_on_bad_day and report.bad == pytest.approx({"mass": 2})


class TwoAsked(Sizing):
    """Two findings, at least 1 each, so that a margin is what is found less 1."""

    FINDINGS = (Finding("a", "a", "", "x", "at least", 1.0), Finding("b", "b", "", "x", "at least", 1.0))


def test_how_good_a_day_is_by_hand():
    """Mean of both margins counted up to 1, and 1e-9 of their mean counted up to 1000; below 0 the least."""
    found = {"a": np.array([1.5, 0.8, 4.0, 2001.0, 1.0, 0.5]), "b": np.array([1.3, 1.9, 1.3, 1.3, 1.0, 0.2])}
    margins, least, goodness = score(TwoAsked, None, found)
    assert margins["a"] == pytest.approx([0.5, -0.2, 3, 2000, 0, -0.5]) and margins["b"] == pytest.approx(
        [0.3, 0.9, 0.3, 0.3, 0, -0.8]
    )
    assert least == pytest.approx([0.3, -0.2, 0.3, 0.3, 0, -0.8])
    hand = [0.4 + 0.4e-9, -0.2, 0.65 + 1.65e-9, 0.65 + 500.15e-9, 0, -0.8]
    assert goodness == pytest.approx(hand, rel=1e-13, abs=1e-15)


def test_without_anything_asked_all_days_are_alike():
    margins, least, goodness = score(Sizing, None, {"a": np.ones(3)})
    assert margins == {} and list(least) == [np.inf] * 3 and list(goodness) == [0] * 3


def test_one_of_twenty_days_may_be_worse_than_the_bad_day():
    assert [worse_days(days) for days in (256, 64, 40, 39, 20, 19)] == [12, 3, 2, 1, 1, 0]
    days = np.arange(20.0)
    assert bad_row(np.array([days, -days])).tolist() == [1, 18]
    assert bad_row(np.array([3.0, 1.0, 1.0, 1.0] * 5)) == 2, "the second of those that are equally bad"


# --- on every sizing -------------------------------------------------------------------------------------------------


def test_the_bad_day_is_the_one_that_19_of_20_beat():
    least = np.random.default_rng(1).normal(size=DAYS)
    row = bad_row(least)
    beaten_by = np.mean(least > least[row])
    assert 0.945 <= beaten_by <= 0.955


@pytest.mark.parametrize("name", EVERY)
def test_findings_are_known_without_solving(name):
    sizing = sizing_of(name)
    report = judge(sizing)
    assert set(report.good) == {f.name for f in sizing.FINDINGS}, "solve gives what the table promises"
    for finding in sizing.FINDINGS:
        quantity.kind_of(finding.unit)
        assert finding.sense in ("", "at least", "at most") and finding.label and finding.help
    for rank in sizing.RANK:
        assert rank.lstrip("-") in report.good
    names = [f.name for f in sizing.FIELDS]
    assert len(set(names)) == len(names)
    for field in sizing.FIELDS:
        assert field.group in (JOB, CHOICE) and field.label and field.help
        if isinstance(field, Field):
            assert field.low <= field.default <= field.high and field.low < field.high


@pytest.mark.parametrize("name", EVERY)
def test_both_ends_of_every_input_give_numbers_and_a_sentence(name):
    sizing, tables = sizing_of(name), Tables(sizing_of(name))
    for field in sizing.FIELDS:
        ends = field.options(tables) if isinstance(field, Pick) else (field.to_si(field.low), field.to_si(field.high))
        for value in (ends[0], ends[-1]):
            report = judge(sizing, {field.name: value})
            assert not any(np.isnan(v) for v in (*report.good.values(), *report.bad.values())), (field.name, value)
            for system in ("metric", "us"):
                assert report_text.verdict(report, system).endswith(".")


@pytest.mark.parametrize("name", EVERY)
def test_a_column_of_cases_equals_them_one_by_one(name):
    sizing, tables = sizing_of(name), Tables(sizing_of(name))
    field = next(f for f in sizing.FIELDS if isinstance(f, Field))
    values = [field.to_si(v) for v in np.linspace(field.low, field.high, 5)]
    base = complete(sizing, {}, tables)
    many = sizing.solve(columns(sizing, {**base, field.name: values}, tables))
    for i, value in enumerate(values):
        one = sizing.solve(columns(sizing, {**base, field.name: value}, tables))
        for key in one:
            assert np.ravel(one[key])[0] == pytest.approx(np.broadcast_to(many[key], (5,))[i], rel=1e-9), key


@pytest.mark.parametrize("name", EVERY)
def test_a_bad_day_is_one_whole_day_and_no_better_than_most(name):
    report = judge(sizing_of(name))
    bad, good = (np.mean(np.clip(list(m.values()), -1, 1)) for m in (report.bad_margin, report.good_margin))
    assert bad <= good
    assert 0 <= report.days_in_100 <= 100
    assert report.works_on_bad_day == (report.days_in_100 >= 95)
    assert report.kit_digest == kit().digest


@pytest.mark.parametrize("name", EVERY)
@pytest.mark.parametrize(
    "make, says",
    [
        (lambda f: {f.name + "x": "1 m"}, "did you mean"),
        (lambda f: {f.name: "banana"}, "no number|not a number|number"),
        (lambda f: {f.name: 1e9}, "must be from"),
    ],
)
def test_bad_input_is_one_sentence(name, make, says):
    field = next(f for f in sizing_of(name).FIELDS if isinstance(f, Field))
    with pytest.raises(ValueError, match=says):
        judge(sizing_of(name), make(field))


def test_unknown_part_and_unknown_sizing_get_the_nearest_right_one():
    with pytest.raises(ValueError, match="did you mean 'small'"):
        judge(sizing_of("motor"), {"motor": "smal"})
    with pytest.raises(ValueError, match="did you mean 'train'"):
        sizing_of("trian")

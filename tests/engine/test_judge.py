"""Judging: days, verdicts, and the promise that a sizing is told apart from its faces. Tried on every sizing."""

import numpy as np
import pytest

from mechbench import quantity
from mechbench.catalog import NAMES, judge, sizing_of
from mechbench.engine import report_text
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.judge import Report, judge_all, judge_with, on_a_bad_day, score, worse_days
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
    edge = Report(Shelf, {}, {}, {}, {"a": 0.0}, {"a": 0.0}, 100, 0.0)
    assert edge.works and edge.works_on_bad_day


@pytest.mark.parametrize("over, works", [(1e-12, True), (0.9e-6, True), (1.1e-6, False)])
def test_the_last_digits_do_not_decide_whether_it_works(over, works):
    """20 kg are 200 N, which is all that the board carries; so in the report, in its words and in a search."""
    load = 20 * (1 + over)
    report = shelf(load)
    assert report.works == works
    opening = "Works on a good day, but on none of 100 days." if works else "Does not work."
    assert report_text.opening(report) == opening
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


def test_margins_by_finding_and_the_least_of_each_row():
    found = {"a": np.array([1.5, 0.8, 4.0, 0.5]), "b": np.array([1.3, 1.9, 1.3, 0.2])}
    margins, least = score(TwoAsked, None, found)
    assert margins["a"] == pytest.approx([0.5, -0.2, 3, -0.5]) and margins["b"] == pytest.approx([0.3, 0.9, 0.3, -0.8])
    assert least == pytest.approx([0.3, -0.2, 0.3, -0.8])


def test_without_anything_asked_nothing_is_missed():
    margins, least = score(Sizing, None, {"a": np.ones(3)})
    assert margins == {} and list(least) == [np.inf] * 3


def test_one_of_twenty_days_may_be_worse_than_a_bad_day():
    assert [worse_days(days) for days in (256, 64, 40, 39, 20, 19)] == [12, 3, 2, 1, 1, 0]
    days = np.arange(20.0)
    assert on_a_bad_day(np.array([days, -days])).tolist() == [1, -18]
    assert on_a_bad_day(np.array([days, -days]), "more").tolist() == [18, -1]
    assert on_a_bad_day(np.array([np.inf, 1.0, np.inf, 3.0] * 5), "more") == np.inf, "one of them, not one between two"


class Opposed(Sizing):
    """A board that must carry and must bend: one is missed on heavy days, the other one on light days."""

    FIELDS = Shelf.FIELDS
    FINDINGS = (
        Finding("heavy", "heavy", "N", "x", "at most", 124.0),
        Finding("light", "light", "N", "x", "at least", 101.0),
        Finding("told", "told", "N", "x"),
        Finding("less", "less", "N", "x", worse="less"),
        Finding("more", "more", "N", "x", worse="more"),
    )
    SPREADS = {"load": "mass"}

    @staticmethod
    def solve(x):
        """10 N for each kilogram."""
        return dict.fromkeys(("heavy", "light", "told", "less", "more"), 10.0 * x.load)


def test_a_bad_day_is_told_finding_by_finding():
    """10 kg, heavier by 0.1 % steps up to 25.5 %, and one day by 0.05 %: the 13th heaviest is 124.3 N, the 13th
    lightest (0.05, 0.1, ... 1.2 %) 101.2 N. The good day, 100 N, is lighter still, and a bad day is never better."""
    report = shelf(10, Opposed)
    assert report.bad == pytest.approx({"heavy": 124.3, "light": 100, "told": 124.3, "less": 100, "more": 124.3})
    assert report.ends == {"told": pytest.approx((100, 124.3))}
    assert report.bad_margin == pytest.approx({"heavy": -0.3 / 124, "light": -1 / 101})


class Both(Opposed):
    """The same, met on the good day: 9 N more are asked at most, and as many as come on 12 of 256 days at least."""

    FINDINGS = (
        Finding("heavy", "heavy", "N", "x", "at most", 124.3),
        Finding("light", "light", "N", "x", "at least", 101.2),
    )

    @staticmethod
    def solve(x):
        """On the good day, 10 kg exactly, 110 N; else 10 N for each kilogram."""
        weight = np.where(np.abs(x.load - 10) < 1e-9, 110.0, 10.0 * x.load)
        return {"heavy": weight, "light": weight}


def test_what_is_met_one_by_one_may_be_missed_at_once():
    """12 days are heavier than 124.3 N, 12 days lighter than 101.2 N: each alone is met on 19 of 20 days, both only on
    232 of 256, 90.6 %. The 13th worst day of all is one of these 24."""
    report = shelf(10, Both)
    assert report.works and all(margin >= 0 for margin in report.bad_margin.values())
    assert report.days_in_100 == 90 and report.joint_margin < 0 and not report.works_on_bad_day
    assert report.missed_days == pytest.approx({"heavy": 100 * 12 / 256, "light": 100 * 12 / 256})


# --- on every sizing -------------------------------------------------------------------------------------------------


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
def test_a_bad_day_is_never_better_and_agrees_with_the_days(name):
    report = judge(sizing_of(name))
    for finding in sizing_of(name).FINDINGS:
        good, bad = report.good[finding.name], report.bad[finding.name]
        assert {"more": bad >= good, "less": bad <= good, "": True}[finding.worse_way], finding.name
        if not finding.worse_way:
            low, high = report.ends[finding.name]
            assert low <= good <= high and bad in (low, high), finding.name
    assert all(report.bad_margin[name] <= margin for name, margin in report.good_margin.items())
    assert report.joint_margin <= min([*report.bad_margin.values(), np.inf])
    assert 0 <= report.days_in_100 <= 100
    assert report.works_on_bad_day == (report.works and report.days_in_100 >= 95)
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
    with pytest.raises(ValueError, match="did you mean 'slim'"):
        judge(sizing_of("motor"), {"motor": "slm"})
    with pytest.raises(ValueError, match="did you mean 'train'"):
        sizing_of("trian")


@pytest.mark.parametrize("name", EVERY)
def test_several_judged_at_once_are_judged_as_each_alone(name):
    """A row takes as many of Newton's steps as the slowest one asks for, so that the last digits differ."""
    sizing, tables = sizing_of(name), Tables(sizing_of(name))
    values = complete(sizing, {}, tables)
    picks = [f for f in sizing.FIELDS if isinstance(f, Pick) and len(f.options(tables)) > 1]
    many, alone = [], []
    for choice in ({}, *({pick.name: pick.options(tables)[-1]} for pick in picks[:4])):
        try:
            alone.append(judge_with(sizing, {**values, **choice}, tables))
            many.append({**values, **choice})
        except ValueError:
            continue  # parts that don't go together
    for one, same in zip(alone, judge_all(sizing, many, tables), strict=True):
        assert (same.values, same.verdict, same.days_in_100) == (one.values, one.verdict, one.days_in_100)
        for numbers in ("good", "bad", "good_margin", "bad_margin", "drawn"):
            assert getattr(same, numbers) == pytest.approx(getattr(one, numbers), rel=1e-8, abs=1e-9, nan_ok=True)


def test_nothing_is_judged_where_nothing_is_given():
    assert judge_all(Shelf, [], Tables(Shelf, toy_kit())) == []

"""Judging: days, verdicts, and the promise that a sizing is told apart from its faces. Tried on every sizing."""

import re

import numpy as np
import pytest

from mechbench import quantity
from mechbench.kits import kit
from mechbench.catalog import NAMES, sizing_of
from mechbench.engine import report_text
from mechbench.engine.columns import columns
from mechbench.engine.days import DAYS, day_fractions, spread_columns
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.spec import CHOICE, Field, Finding, JOB, Pick
from mechbench.catalog import judge
from mechbench.engine.judge import bad_row

EVERY = sorted(NAMES)


def test_days_fill_their_range_evenly():
    """Discrepancy far below that of random points: no box between 0 and a corner is off by more than 4 % (random: 9 %)."""
    points = day_fractions(8)[:, :4]
    assert points.shape == (DAYS, 4) and points.min() >= 0 and points.max() < 1
    for corner in day_fractions(4, 40):
        assert np.mean(np.all(points < corner, axis=1)) == pytest.approx(np.prod(corner), abs=0.04)
    for column in day_fractions(8).T:
        assert np.histogram(column, 8, (0, 1))[0] == pytest.approx(DAYS / 8, abs=6)


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
    assert np.mean(np.clip(list(report.bad_margin.values()), -1, 1)) <= np.mean(np.clip(list(report.good_margin.values()), -1, 1))
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


def test_words_follow_the_margin():
    """The four verdicts, each from inputs that lead there."""
    motor = sizing_of("motor")
    says = [report_text.verdict(judge(motor, {"load_torque": f"{t} mN·m", "run_time": "1 s"})) for t in (5, 120, 200)]
    assert says[0].startswith("Works, on a bad day too")
    assert says[2].startswith("Does not work: speed at the load is 0 rpm")
    for torque in range(40, 100):
        report = judge(motor, {"load_torque": torque / 1000, "speed_wanted": "3500 rpm", "run_time": "1 s"})
        worst = min(report.bad_margin.values())
        start = report_text.verdict(report).split(" ")[0:2]
        if report.works and worst < 0:
            assert start == ["Works", "on"]
        elif report.works and worst < report_text.CLOSE:
            assert start == ["Just", "works,"]


def test_what_never_arrives_is_said_so():
    report = judge("arm", {"gearbox": "planetary_4"})
    assert np.isinf(report.good["time"])
    assert report_text.verdict(report) == "Does not work: it never arrives (time for the swing: at most 1.2 s)."


CURRENT = Finding("current", "current", "A", "x", "at most", 15.0)


@pytest.mark.parametrize("value, text", [(15.02, "15.02 A"), (15.0003, "15.0003 A"), (16.04, "16 A"), (14.98, "15 A"), (15.0, "15 A"),
                                         (15 + 1e-12, "15 A")])
def test_a_number_beside_the_bound_that_it_misses_has_the_digits_that_show_it(value, text):
    assert report_text.number(CURRENT, value, bound=15.0) == text
    assert report_text.number(CURRENT, value) == f"{value:.3g} A"


def test_nor_does_rounding_hide_a_speed_that_is_too_low():
    speed = Finding("speed", "speed", "m/s", "x", "at least", 1.5)
    assert report_text.number(speed, 1.4996, bound=1.5) == "1.4996 m/s" and report_text.number(speed, 1.5004, bound=1.5) == "1.5 m/s"
    assert report_text.number(speed, 1.4996, "us", bound=1.5) == "4.9199 ft/s" and report_text.number(speed, 1.5, "us") == "4.92 ft/s"


def test_verdict_and_lines_show_why_a_bound_is_missed_by_a_hair():
    motor, asked = sizing_of("motor"), {"load_torque": "30 mN·m", "run_time": "1 s"}
    speed = judge(motor, asked).good["speed"]
    report = judge(motor, {**asked, "speed_wanted": float(speed * 1.0002)})
    bound, found = (quantity.show(v, "rpm", digits=9) for v in (report.bounds["speed"], speed))
    assert bound != found and report.good_margin["speed"] < 0
    told = re.fullmatch(r"Does not work: speed at the load is (.*) rpm \(at least (.*) rpm\)\.", report_text.verdict(report))
    assert told and told[1] != told[2]
    assert f"speed at the load {told[1]} rpm" in report_text.should_see(report, [])


def test_a_bound_of_zero_needs_a_scale():
    finding = Finding("x", "x", "N·m", "x", "at least", 0.0, scale=2.0)
    assert finding.margin(1.0, None) == pytest.approx(0.5)
    assert finding.margin(-1.0, None) == pytest.approx(-0.5)

"""Judging: days, verdicts, and the promise that a sizing is told apart from its faces. Tried on every sizing."""

import numpy as np
import pytest

from mechbench import quantity
from mechbench.kits import kit
from mechbench.catalog import NAMES, sizing_of
from mechbench.engine import report_text
from mechbench.engine.columns import columns
from mechbench.engine.days import DAYS
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.spec import CHOICE, Field, JOB, Pick
from mechbench.catalog import judge
from mechbench.engine.judge import bad_row

EVERY = sorted(NAMES)


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

"""Figures that were asked for come first: on a page of letters, as data, on a notebook's page."""

import json

import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.desk import answer, asked_first, record
from mechbench.desk.text_table import WIDTH
from mechbench.engine.inputs import Tables
from mechbench.engine.spec import Field, Finding, Sizing


class Trolley(Sizing):
    """Round numbers: 10 kg on a slope that takes 2 s; on a bad day a tenth more."""

    NAME, TITLE, QUESTION = "trolley", "A trolley", "How long?"
    FIELDS = (Field("load", "Load", "kg", 1.0, 100.0, 10.0, "on it"),)
    FINDINGS = (
        Finding("time", "time to the top", "s", "from rest", "at most", 2.1),
        Finding("push", "push", "N", "of the hand", "at most", 150.0),
        Finding("noise", "noise steps", "", "for information", worse="more"),
        Finding("rope", "pull of the rope", "N", "at the hook", "at most", 90.0),
    )
    SPREADS = {"load": "mass"}

    @staticmethod
    def solve(x):
        return {"time": 0.2 * x.load, "push": 10 * x.load, "noise": 3 + 0 * x.load, "rope": 9.5 * x.load}


@pytest.fixture
def report():
    return record.design(Trolley, {}, Tables(Trolley)).report


def test_each_figure_says_both_days_what_is_asked_and_whether_it_is_met(report):
    bad = report.bad["push"]
    assert report.good["push"] == 100 and 100 < bad <= 112, "the spread of masses is twelve in a hundred at most"
    time, push, noise, rope = asked_first.lines_of(report, ("time", "push", "noise", "rope"))
    assert (
        time.strip()
        == f"time to the top: 2 s (bad day {bad / 50:.3g} s; asked: at most 2.1 s) works on a good day only"
    )
    assert push.strip() == f"push: 100 N (bad day {bad:.3g} N; asked: at most 150 N) works"
    assert noise.strip() == "noise steps: 3", "what is for information is met by nothing, and is the same on a bad day"
    assert rope.strip().endswith("(bad day " + f"{0.095 * 10 * bad:.3g} N; asked: at most 90 N) does not work")


def test_a_page_tells_how_it_was_read_then_the_figures_then_the_verdict_then_all():
    design = record.design(Trolley, {}, Tables(Trolley), focus=("push",), said=("'shove' is taken for push.",))
    lines = [line.strip() for line in answer.text_of(design).splitlines() if line.strip()]
    assert lines[0] == "A trolley" and lines[1] == "'shove' is taken for push." and lines[2].startswith("push: 100 N (")
    assert lines[3].startswith("Does not work: pull of the rope") and any("good day" in line for line in lines[4:])
    assert sum(line.startswith("push ") for line in lines) == 1, "it stays in the table of all"


def test_a_page_without_a_question_is_as_it_was():
    plain = answer.text_of(record.design(Trolley, {}, Tables(Trolley)))
    assert plain.splitlines()[2].startswith("  Does not work: ") and "works" not in plain.split("good day")[1]


def test_data_begin_with_what_was_asked_for_and_a_record_has_none_of_it(tmp_path):
    design = record.design(Trolley, {}, Tables(Trolley), focus=("push", "noise"), said=("Read so.",))
    data = record.data_of(design)
    assert next(iter(data)) == "asked_for" and json.dumps(data)
    first, second = data["asked_for"]
    assert (first["finding"], first["good"], first["works"]) == ("push", 100.0, True)
    assert (second["finding"], second["works"]) == ("noise", None) and data["said"] == ["Read so."]
    assert "asked_for" not in record.data_of(record.design(Trolley, {}, Tables(Trolley)))
    arm = record.design(sizing_of("arm"), {}, Tables(sizing_of("arm")), focus=("time",))
    assert "asked_for" not in record.write(arm, tmp_path / "arm.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", ["arm", "robot", "winch", "lift", "gripper"])
@pytest.mark.parametrize("system", ["metric", "us"])
def test_every_figure_fits_the_window(name, system):
    report = judge(name)
    for finding in report.sizing.FINDINGS:
        lines = asked_first.lines_of(report, (finding.name,), system)
        assert (
            lines and all(len(line) <= WIDTH for line in lines) and finding.label in " ".join(lines).replace("\n", " ")
        )


def test_on_a_page_the_same_stands_large_and_nothing_is_said_by_colour_alone(report):
    html = asked_first.html_of(report, ("time", "push", "noise"))
    assert html.count("mb-figure ") == 3 and "works&nbsp;on&nbsp;a&nbsp;good&nbsp;day&nbsp;only" in html
    assert html.index("2&nbsp;s") < html.index("time to the top"), "the number comes first"


def test_a_verdict_that_rests_on_what_was_assumed_says_so(report, monkeypatch):
    monkeypatch.setattr(type(report), "known", property(lambda self: False))
    assert asked_first.lines_of(report, ("push",))[0].endswith(" works, as assumed")

"""What mb.size gives: used as numbers, shown as a page, written as a record, changed; and what a slip is told."""

import copy
import json
import math
from html import unescape

import numpy as np
import pytest
from IPython.core.completer import provisionalcompleter
from IPython.core.interactiveshell import InteractiveShell
from traitlets.config import Config

import mechbench as mb
from mechbench import quantity
from mechbench.catalog import NAMES, judge, sizing_of
from mechbench.desk import answer, record
from mechbench.desk.sized import PUBLIC_NAMES, Sized
from mechbench.engine import power_off, report_text
from mechbench.engine.inputs import Tables
from tests.desk.test_record import Page


@pytest.fixture(scope="module")
def arm():
    return mb.size("arm", payload="0.5 kg")


# --- as numbers -----------------------------------------------------------------------------------------------------


def test_findings_are_numbers_of_a_good_day_by_name_and_by_dot(arm):
    report = judge("arm", {"payload": 0.5})
    assert arm["time"] == arm.time == arm.good["time"] == report.good["time"] and isinstance(arm.time, float)
    assert arm.bad["time"] == report.bad["time"] != arm.time
    assert dict(arm) == report.good and arm.good == report.good and arm.bad == report.bad


def test_it_is_gone_through_like_a_dictionary_of_findings(arm):
    names = [f.name for f in sizing_of("arm").FINDINGS]
    assert list(arm) == list(arm.keys()) == names and len(arm) == len(names)
    assert "time" in arm and "payload" not in arm and list(arm.items()) == [(name, arm[name]) for name in names]


def test_inputs_and_the_verdict_stand_beside(arm):
    assert arm.values["payload"] == 0.5 and arm.given == {"payload": 0.5} and set(arm.given) < set(arm.values)
    assert (arm.works, arm.works_on_bad_day, arm.days_in_100) == (
        arm.report.works,
        arm.report.works_on_bad_day,
        arm.report.days_in_100,
    )
    assert arm.verdict == report_text.verdict(arm.report) and arm.sizing is sizing_of("arm")


def test_numbers_and_texts_with_units_give_the_same(arm):
    assert mb.size("arm", payload=np.float64(0.5)).report == arm.report
    assert mb.size("arm", payload="500 g").report == arm.report
    assert mb.size("arm", payload=None).report == mb.size("arm").report, "None is as it opens"


def test_plain_data_is_that_of_the_record(arm):
    tables = Tables(sizing_of("arm"))
    assert arm.to_dict() == record.data_of(record.design(sizing_of("arm"), {"payload": 0.5}, tables))
    assert json.loads(json.dumps(arm.to_dict()))["findings"]["time"]["good"] == arm.time


def test_it_can_be_copied(arm):
    assert copy.copy(arm).time == arm.time


@pytest.mark.parametrize("name", NAMES)
def test_no_finding_hides_behind_a_name_of_the_result_and_no_input_behind_one_of_the_call(name):
    """r.time is a finding: were one called "values", r.values would give something else."""
    sizing = sizing_of(name)
    assert not {f.name for f in sizing.FINDINGS} & set(PUBLIC_NAMES)
    of_calls = {"name", "kit", "system", "parts", "swept", "steps", "of", "measured"}
    assert not {f.name for f in sizing.FIELDS} & of_calls


# --- changed --------------------------------------------------------------------------------------------------------


def test_changed_gives_another_one_and_leaves_this_one(arm):
    heavier = arm.changed(payload="0.8 kg", motor="stout")
    assert heavier.report == judge("arm", {"payload": 0.8, "motor": "stout"}) and arm.values["payload"] == 0.5
    assert (
        heavier.given == {"payload": 0.8, "motor": "stout"}
        and heavier.changed(payload=0.5, motor=None).time == arm.time
    )


def test_parts_by_figures_are_said_and_stay_where_they_were_given():
    sized = mb.size("arm", payload="0.5 kg", battery="2.8 A·h", motor="275 rpm, 2.6 N·m")
    page = unescape(sized._repr_html_()).replace("\u00a0", " ")
    for said in sized.tables.said:
        assert said in page and said in " ".join(str(sized).split())
    assert len(sized.tables.said) == 2 and "Battery 2.8" in page[page.index("You gave") : page.index("As usual")]
    data = sized.to_dict()
    other = sized.changed(battery="1.4 A·h", payload="0.4 kg")
    assert sized.to_dict() == data and other.values["motor"] == sized.values["motor"]
    assert other.good == mb.size("arm", payload=0.4, battery="1.4 A·h", motor="275 rpm, 2.6 N·m").good
    plain = mb.size("arm", payload=0.5)
    assert plain.changed(battery="1.4 A·h").volts != plain.volts == plain.changed().volts
    assert sized.changed(battery=None, motor=None).good == plain.good


def test_another_word_for_an_input_is_taken_and_said():
    sized = mb.size("arm", weight="0.5 kg")
    assert sized.given == {"payload": 0.5} and "taken as payload" in sized._repr_html_()


def test_another_word_for_a_sizing_is_taken_and_said_where_it_is_clear():
    sized = mb.size("pulley", distance="60 mm")
    assert sized.sizing is sizing_of("pair") and "pulley: taken as pair" in sized._repr_html_()
    with pytest.raises(ValueError, match="'battery' can be .* or .*; name one of these"):
        mb.size("battery")


def test_the_caution_on_what_falls_stands_on_the_page():
    sized = mb.size("winch", ratchet="none")
    told = power_off.sentence(sized.report)
    assert told and told in unescape(sized._repr_html_()).replace("\u00a0", " ")


# --- shown ----------------------------------------------------------------------------------------------------------


def test_a_short_text_of_two_lines_and_the_whole_page_when_printed(arm):
    lines = repr(arm).splitlines()
    assert len(lines) == 2 and all(len(line) <= 120 for line in lines)
    assert (
        lines[0].startswith("arm: ") and f"time {report_text.number(arm.sizing.finding('time'), arm.time)}" in lines[0]
    )
    assert lines[1].startswith(report_text.opening(arm.report)[:20])
    made = record.design(arm.sizing, {"payload": 0.5}, Tables(arm.sizing))
    assert str(arm) == answer.text_of(made, {"payload": 0.5})


@pytest.mark.parametrize("name", NAMES)
def test_the_page_tells_verdict_inputs_and_every_finding(name):
    sized = mb.size(name)
    page = Page(sized._repr_html_())
    said = " ".join(page.texts).replace("\u00a0", " ")
    assert sized.verdict in said and len(repr(sized).splitlines()) == 2
    for finding in sized.sizing.FINDINGS:
        for text, _ in report_text.both_days(sized.report, finding):
            assert finding.label in said and text in said, finding.name


def test_what_was_given_stands_first(arm):
    page = arm._repr_html_().replace("\u00a0", " ")
    given = f"{arm.sizing.field('payload').label} 0.5 kg"
    assert page.index("You gave") < page.index(given) < page.index("As usual") < page.index("Arm length")
    assert "You gave" not in mb.size("arm")._repr_html_()


def test_units_are_those_asked_for(monkeypatch):
    assert " lb" in mb.size("arm", system="us")._repr_html_().replace("\u00a0", " ")
    monkeypatch.setenv("MECHBENCH_UNITS", "us")
    assert " lb" in mb.size("arm")._repr_html_().replace("\u00a0", " ")


def test_tab_offers_public_names_and_findings_alone(arm):
    assert dir(arm) == sorted([*PUBLIC_NAMES, *arm])
    assert arm._ipython_key_completions_() == list(arm)
    assert not [name for name in dir(arm) if name.startswith("_")]


# --- written --------------------------------------------------------------------------------------------------------


def test_it_writes_its_record(arm, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    written = arm.record("arm.html", measured={"time": "0.9 s"})
    again = mb.reopen("arm.html")
    assert written.path.name == "arm.html" and again.values == arm.values and again.report.good == arm.report.good
    assert mb.record(arm, "arm.html").path.name == "arm-2.html"


# --- slips ----------------------------------------------------------------------------------------------------------


def test_an_unknown_finding_is_told_with_the_nearest_one(arm):
    with pytest.raises(KeyError) as of_key:
        arm["tme"]
    with pytest.raises(AttributeError) as of_dot:
        arm.tme
    for raised in (of_key, of_dot):
        assert str(raised.value) == "'tme' is not a finding of arm; did you mean 'time'?"
    with pytest.raises(KeyError, match="did you mean 'time'"):
        arm.bad["tme"]


def test_an_input_asked_as_a_finding_is_told_where_it_is(arm):
    with pytest.raises(KeyError, match=r"'payload' is an input of arm: \.values\['payload'\] has it"):
        arm["payload"]


@pytest.mark.parametrize(
    "call, says",
    [
        (lambda: mb.size("arrm"), "'arrm' is not a sizing; did you mean 'arm'"),
        (lambda: mb.size("arm", paylod=1), "'paylod' is not an input of arm; did you mean 'payload'"),
        (
            lambda: mb.size("arm", {"payload": 0.5}),
            r"Inputs are given by name: mb\.size\(.arm., \*\*values\)",
        ),
        (lambda: mb.size("arm", system="imperial"), "'imperial', but it must be 'metric' or 'us'"),
        (lambda: mb.size("arm", payload="0.5..1 kg"), r'mb.sweep\("arm", payload="0.5..1 kg"\)'),
        (lambda: mb.size("arm", payload=[0.5, 1]), r'payload has 2 values.*mb.sweep\("arm", payload=\[...\]\)'),
        (lambda: mb.size("arm", payload=math.nan), "must be one number"),
        (lambda: mb.size("arm", motor=3), "'3'"),
        (lambda: mb.size(), "begin with one of trips, motor"),
    ],
)
def test_a_slip_is_one_sentence(call, says):
    with pytest.raises(ValueError, match=says) as raised:
        call()
    assert "--" not in str(raised.value) and "\n" not in str(raised.value)


# --- what can be given ----------------------------------------------------------------------------------------------


def test_inputs_and_findings_are_listed_with_units_and_ranges():
    told = mb.inputs("arm")
    text = repr(told)
    for one in (*sizing_of("arm").FIELDS, *sizing_of("arm").FINDINGS):
        assert f"{one.name} " in text and one.label in text, one.name
    payload = sizing_of("arm").field("payload")
    assert mb.quantity.show(payload.to_si(payload.high), payload.unit) in text
    assert "at most 0.8 s (time_wanted)" in text and "usually 0.35 kg" in text
    assert report_text.asked(judge("arm"), sizing_of("arm").finding("current")) in text
    assert "<table>" in told._repr_html_() and max(map(len, text.splitlines())) <= 100


def test_the_question_mark_explains():
    assert 'mb.size("arm", payload="0.5 kg")' in mb.size.__doc__
    assert Sized.__doc__.startswith("A sizing") and "payload" in mb.size("arm").__doc__


def test_a_notebooks_python_offers_names_and_explains(monkeypatch, tmp_path):
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path))
    shell = InteractiveShell.instance(config=Config({"HistoryManager": {"enabled": False}}))
    try:
        assert shell.run_cell("import mechbench as mb\nr = mb.size('arm')").success
        with provisionalcompleter():
            offered = lambda text: {one.text for one in shell.Completer.completions(text, len(text))}
            assert offered("r.") == set(dir(shell.user_ns["r"])) and "time" in offered("r['")
            assert {"size", "most", "against"} <= offered("mb.") and "PUBLIC" not in offered("mb.")
        told = shell.object_inspect_text("r")
    finally:
        InteractiveShell.clear_instance()
    payload = sizing_of("arm").field("payload")
    ends = " to ".join(quantity.show(payload.to_si(end), "kg") for end in (payload.low, payload.high))
    assert f"{ends}; usually 0.35 kg" in told and "at most 0.8 s (time_wanted)" in told

"""The questions that are asked in a pit, each asked by command as pit_questions.py has it, and by its own words; new
sizings only need a line there.
"""

import json
import re
from functools import cache

import pytest

from mechbench.catalog import NAMES, judge, sizing_of
from mechbench.course.lessons import ROOT
from mechbench.desk.arguments import TYPED, read_line, values_of
from mechbench.desk.pit_questions import EVERY, QUESTIONS, QUICK, number_of, question_meant
from mechbench.desk.quick_reference import Reference, formulas, pit_questions, rules_of_thumb
from mechbench.engine import report_text
from mechbench.engine.inputs import Tables
from tests.desk.asked import ask, is_one_sentence

asked = cache(ask)  # with the course's own kit: a search takes a while
BY_NAME = pytest.mark.parametrize("question", EVERY, ids=lambda q: q.asked[:40])
# What a student in a hurry types, and the number of the question that is meant.
TYPED_IN_A_HURRY = {
    "reset": 4,
    "why does it reset": 4,
    "brownout": 4,
    "who draws current": 4,
    "tip": 5,
    "how hard may we brake": 5,
    "motor hot": 1,
    "ratio": 2,
    "strafe": 3,
    "stopping distance": 3,
    "servo": 6,
    "spool": 7,
    "does the cord hold": 8,
    "roller": 9,
    "lose seconds": 10,
    "belt length": 11,
    "chain": 11,
    "tip drops": 12,
    "arm spring": 13,
    "teeth": 14,
}


def test_there_are_ten_and_every_one_has_its_sizing():
    assert len(QUESTIONS) == 10 and EVERY == (*QUESTIONS, *QUICK)
    for question in EVERY:
        assert question.lines and set(question.answers) <= set(NAMES), question.asked
        asked = {line.split()[0] for line in question.lines}
        assert set(question.answers) == asked, "each sizing that is asked has findings to look for, and no other"


@BY_NAME
def test_a_question_is_answered(question):
    told = dict.fromkeys(question.answers, "")
    for line in question.lines:
        said = ask(line)
        assert said.code in (0, 1) and said.err == "", (line, said.err)
        told[line.split()[0]] += said.out
        if "--find" in line:
            assert "combination" in said.out and "days in 100" in said.out
            told[line.split()[0]] += asked(f"--ask {number_of(question)}").out  # which tells the best of it in full
    for name, findings in question.answers.items():
        labels = {f.name: f.label for f in sizing_of(name).FINDINGS}
        for finding in findings:
            assert (
                labels[finding] in told[name]
                or finding in told[name].split()
                or f"best {labels[finding]}" in " ".join(told[name].split())
            ), (name, finding)


def test_ratios_are_answered_with_the_next_one_up_and_down():
    question = next(q for q in QUESTIONS if "ratio" in q.asked)
    said = ask(question.lines[0]).out
    assert "next ratio down" in said and "next ratio up" in said


@BY_NAME
def test_a_question_opens_a_bench(question):
    sizing = sizing_of(question.sizing)
    line = read_line(question.lines[0].split())
    assert question.show and all(sizing.field(name) for name in (*question.show, *line.given))


# --- asked by its own words -----------------------------------------------------------------------------------------


def usual_report(text):
    """One line of a question, read and judged apart from the answer; of a search nothing."""
    line = read_line(text.split())
    sizing = sizing_of(line.name)
    return None if line.has("--find") else judge(sizing, values_of(sizing, line.given, Tables(sizing)))


@BY_NAME
def test_asked_by_its_own_words_the_figures_come_first_and_are_those_of_its_sizing(question):
    """Each figure: label and number of a good day as the judge finds them, before any verdict or table."""
    said = ask(["--ask", question.asked])
    assert said.code in (0, 1) and said.err == "" and said.out.startswith(question.asked.split(",")[0][:60])
    lines = [" ".join(line.split()) for line in said.out.splitlines()]
    assert max(map(len, said.out.splitlines())) <= 100
    left = dict(question.answers)
    for text in question.lines:
        name = text.split()[0]
        report = usual_report(text)
        names = left.pop(name, ())
        if report is None or "--sweep" in text:
            continue
        for finding in (sizing_of(name).finding(one) for one in names):
            told = f"{finding.label}: {report_text.found(report, finding, report.good)}"
            assert any(line.startswith(told) for line in lines), told
        assert any(line.startswith("All of it: ") and line.endswith(text[-20:]) for line in lines)
    first = next(place for place, line in enumerate(lines) if line.startswith(("Works", "Just works", "Does not")))
    labels = [sizing_of(question.sizing).finding(one).label for one in question.answers[question.sizing]]
    assert all(any(line.startswith(f"{label}: ") for line in lines[:first]) for label in labels)


@BY_NAME
def test_every_figure_is_explained_and_is_no_code_name(question):
    """A rookie reads labels and units; names with an underscore are for typing alone."""
    said = asked(f"--ask {number_of(question)}")
    to_type = rf"[^\n]*{re.escape(TYPED)}[^\n]*(\n {{6}}[^\n]*)*"
    shown = re.sub(to_type, "", said.out)
    assert not re.search(r"\w_\w|--", shown), shown
    for name, findings in question.answers.items():
        for finding in map(sizing_of(name).finding, findings):
            assert finding.label != finding.name or finding.help, (name, finding.name)


@BY_NAME
def test_as_data_the_figures_come_first_and_both_days_are_the_judges(question):
    said = ask(["--ask", str(number_of(question)), "--json"])
    data = json.loads(said.out)
    assert next(iter(data)) == "asked_for" and data["question"] == question.asked
    told = [(one["sizing"], one["finding"]) for one in data["asked_for"]]
    assert told == [(name, finding) for name, findings in question.answers.items() for finding in findings]
    first = question.lines[0]
    report = usual_report(first)
    for one in data["asked_for"] if report else ():
        if one["sizing"] == first.split()[0]:
            for day in ("good", "bad"):
                assert one[day] == pytest.approx(getattr(report, day)[one["finding"]]) or one[day] == "inf"


@pytest.mark.parametrize("typed, number", TYPED_IN_A_HURRY.items(), ids=TYPED_IN_A_HURRY)
def test_some_words_are_enough(typed, number):
    assert question_meant(typed) is EVERY[number - 1] is question_meant(typed.split())
    assert number_of(EVERY[number - 1]) == number


@pytest.mark.parametrize("typed", ["", "arm", "payload length", "why", "0", "16", "reset of the big green weather map"])
def test_words_that_mean_no_single_one_are_refused_with_the_way_to_the_list(typed):
    assert question_meant(typed) is None
    said = ask(["--ask", typed])
    assert said.code == 2 and is_one_sentence(said.err) and "--ask list" in said.err


def test_the_list_numbers_every_question():
    said = ask(["--ask", "list"])
    lines = " ".join(said.out.split())
    assert said.code == 0 and all(f"{number} {one.asked}" in lines for number, one in enumerate(EVERY, 1))


def test_own_numbers_go_to_every_sizing_that_has_such_an_input():
    told = ask(["--ask", "spring", "payload=0.5kg"]).out
    assert "payload=0.5kg --find spring" in told
    report = judge("balance", {"raised_height": "0.9 m", "raised_mass": "1 kg"})
    finding = sizing_of("balance").finding("braking")
    lighter = ask(["--ask", "5", "raised_mass=1kg"]).out
    assert f"{finding.label}: {report_text.found(report, finding, report.good)}" in lighter
    refused = ask(["--ask", "5", "payload=1kg"])
    assert refused.code == 2 and is_one_sentence(refused.err) and "payload" in refused.err


def test_the_last_line_of_an_answer_can_be_typed():
    for question in EVERY:
        last = asked(f"--ask {number_of(question)}").out.split("With your own numbers: ")[1]
        again = ask(last.replace(TYPED, "").split())
        assert again.code in (0, 1) and again.err == "", last


def test_why_it_resets_is_a_chart_of_currents_on_the_page_and_as_a_picture(tmp_path):
    picture = tmp_path / "currents.png"
    said = ask(["--ask", "reset", "--picture", str(picture)])
    assert picture.read_bytes().startswith(b"\x89PNG") and "The picture is" in said.out
    assert "F  15 A" in said.out and "all of this at the same time" in said.out
    data = json.loads(ask(["--ask", "reset", "--json"]).out)["currents"]
    assert sum(data["users"].values()) == pytest.approx(judge("robot").good["all_on"])


@pytest.mark.parametrize("name", ["bare", "flat", "second_kit"])
def test_a_kit_without_robots_says_whose_robot_it_is(monkeypatch, name):
    monkeypatch.setenv("MECHBENCH_KIT", str(ROOT / "tests" / "kits" / name))
    told = " ".join(ask(["--ask", "reset"]).out.split())
    own = name != "second_kit"
    assert ("Your kit has no robots" in told) is own and "what the fuse is rated for" in told


def test_an_answer_goes_with_no_other_kind():
    said = ask(["--ask", "reset", "--find", "motor"])
    assert said.code == 2 and is_one_sentence(said.err) and "--find" in said.err


# --- other kits -----------------------------------------------------------------------------------------------------


def test_with_another_kit_all_is_answered_too(monkeypatch):
    """A mentor's kit has other parts: no question may name one of the course's own."""
    monkeypatch.setenv("MECHBENCH_KIT", str(ROOT / "tests" / "kits" / "second_kit"))
    for question in EVERY:
        for line in question.lines:
            said = ask(line)
            assert said.code in (0, 1) and said.err == "", (line, said.err)
    told = repr(pit_questions())
    assert all(question.asked in told for question in QUESTIONS)
    assert len(repr(formulas())) > 1000 and len(repr(rules_of_thumb())) > 1000
    reference = Reference()
    for question in EVERY:
        assert reference.ask(question.asked).bench.report is not None


def test_with_another_kit_help_and_its_examples_run(monkeypatch):
    monkeypatch.setenv("MECHBENCH_KIT", str(ROOT / "tests" / "kits" / "second_kit"))
    for name in NAMES:
        examples = [
            line.strip().removeprefix(TYPED)
            for line in ask(f"{name} --help").out.splitlines()
            if line.startswith(f"  {TYPED} ")
        ]
        assert examples and all(ask(example).code in (0, 1) for example in examples), name


@pytest.mark.parametrize("words", ["how long does battery last", "battery last", "how long does the battery last?"])
def test_how_long_a_battery_lasts_is_a_question_of_its_own(words):
    assert question_meant(words).answers == {"charge": ("lasts", "volts")}

"""The questions that are asked in a pit, each asked by command as pit_questions.py has it; new sizings only need a line
there.
"""

import pytest

from mechbench.catalog import NAMES, sizing_of
from mechbench.course.lessons import ROOT
from mechbench.desk.arguments import TYPED
from mechbench.desk.pit_questions import QUESTIONS, QUICK
from mechbench.desk.quick_reference import Reference, formulas, pit_questions, rules_of_thumb, values_of_line
from tests.desk.asked import ask


def test_there_are_ten_and_every_one_has_its_sizing():
    assert len(QUESTIONS) == 10
    for question in (*QUESTIONS, *QUICK):
        assert question.lines and set(question.answers) <= set(NAMES), question.asked
        asked = {line.split()[0] for line in question.lines}
        assert set(question.answers) == asked, "each sizing that is asked has findings to look for, and no other"


@pytest.mark.parametrize("question", (*QUESTIONS, *QUICK), ids=lambda q: q.asked[:40])
def test_a_question_is_answered(question):
    told = dict.fromkeys(question.answers, "")
    for line in question.lines:
        said = ask(line)
        assert said.code in (0, 1) and said.err == "", (line, said.err)
        told[line.split()[0]] += said.out
        if "--find" in line:
            assert "combination" in said.out and "days in 100" in said.out
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


@pytest.mark.parametrize("question", (*QUESTIONS, *QUICK), ids=lambda q: q.asked[:40])
def test_a_question_opens_a_bench(question):
    for name in values_of_line(question):
        sizing_of(question.sizing).field(name)


def test_with_another_kit_all_is_answered_too(monkeypatch):
    """A mentor's kit has other parts: no question may name one of the course's own."""
    monkeypatch.setenv("MECHBENCH_KIT", str(ROOT / "tests" / "kits" / "second_kit"))
    for question in (*QUESTIONS, *QUICK):
        for line in question.lines:
            said = ask(line)
            assert said.code in (0, 1) and said.err == "", (line, said.err)
    told = repr(pit_questions())
    assert all(question.asked in told for question in QUESTIONS)
    assert len(repr(formulas())) > 1000 and len(repr(rules_of_thumb())) > 1000
    reference = Reference()
    for question in (*QUESTIONS, *QUICK):
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

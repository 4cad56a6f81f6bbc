"""The quick reference in a real JupyterLab: one cell, then each question asked in a pit, from choice to answer."""

import shutil

import pytest

from mechbench.course.lessons import ROOT
from mechbench.desk import pit
from mechbench.desk.reference import values_of_line
from mechbench.sizing import size, words
from mechbench.sizing.judge import judge

pytestmark = pytest.mark.browser
BENCH = "quick-reference-bench"


def test_ten_questions_from_choice_to_answer(lab):
    shutil.copy(ROOT / "lessons" / "quick_reference.ipynb", lab.folder / "quick_reference.ipynb")
    page = lab.open("quick_reference.ipynb", page_anew=False)
    page.run(BENCH)
    page.wait_text(BENCH, words.verdict(judge("arm")))
    page.show(BENCH)
    chooser = page.control("Asked in a pit", BENCH)
    for question in (*pit.QUESTIONS[1:], pit.QUESTIONS[0]):
        verdict = words.verdict(judge(size(question.sizing), values_of_line(question)))
        chooser.choose(question.asked)
        page.wait_text(BENCH, f"size {question.lines[0]}")
        page.wait_text(BENCH, verdict)
        assert page.picture(BENCH)
    assert page.errors() == [] and lab.console_errors() == []

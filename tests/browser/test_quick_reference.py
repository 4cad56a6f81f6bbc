"""The quick reference in a real JupyterLab: one cell, then each question asked in a pit, from choice to answer."""

import shutil

import pytest

from mechbench.catalog import judge
from mechbench.course.lessons import ROOT
from mechbench.desk import pit_answer, spoken
from mechbench.desk.pit_questions import QUESTIONS
from mechbench.engine import report_text

pytestmark = pytest.mark.browser
BENCH = "quick-reference-bench"


def test_ten_questions_from_choice_to_answer(lab):
    shutil.copy(ROOT / "lessons" / "quick_reference.ipynb", lab.folder / "quick_reference.ipynb")
    page = lab.open("quick_reference.ipynb", page_anew=False)
    page.run(BENCH)
    page.wait_text(BENCH, report_text.verdict(judge("arm")))
    page.show(BENCH)
    chooser = page.control("Asked in a pit", BENCH)
    for question in (*QUESTIONS[1:], QUESTIONS[0]):
        verdict = report_text.verdict(pit_answer.look(question).parts[0].design.report)
        chooser.choose(question.asked)
        page.wait_text(BENCH, spoken.all_of_it(question.lines[0]))
        page.wait_text(BENCH, verdict)
        assert page.picture(BENCH)
    assert page.errors() == [] and lab.console_errors() == []

"""The quick reference in a real JupyterLab: one cell, then each question asked in a pit, timed from choice to answer."""

import shutil
import time

import pytest

from mechbench.course.lessons import ROOT
from mechbench.desk import questions
from mechbench.desk.reference import values_of_line
from mechbench.sizing import size, words
from mechbench.sizing.judge import judge

pytestmark = pytest.mark.browser
BENCH, SECONDS = "quick-reference-bench", 20


def test_ten_questions_from_choice_to_answer(lab):
    shutil.copy(ROOT / "lessons" / "quick_reference.ipynb", lab.folder / "quick_reference.ipynb")
    page = lab.open("quick_reference.ipynb")
    page.wait_kernel()
    began = time.monotonic()
    page.run(BENCH)
    page.wait_text(BENCH, words.verdict(judge("arm")), SECONDS)
    print(f"first bench after {time.monotonic() - began:.1f} s")
    page.show(BENCH)
    chooser = page.control("Asked in a pit", BENCH)
    for question in (*questions.QUESTIONS[1:], questions.QUESTIONS[0]):
        verdict = words.verdict(judge(size(question.sizing), values_of_line(question)))
        began = time.monotonic()
        chooser.choose(question.asked)
        page.wait_text(BENCH, f"size {question.lines[0]}", SECONDS)
        page.wait_text(BENCH, verdict, SECONDS)
        print(f"{time.monotonic() - began:.2f} s: {question.asked}")
        assert page.picture(BENCH)
    assert page.errors() == [] and lab.console_errors() == []

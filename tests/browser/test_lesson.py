"""A whole lesson as a rookie goes through it, in a real JupyterLab: lesson 02 from lessons/, nothing prepared."""

import shutil

import pytest

from mechbench.course import registry
from mechbench.course.handin_file import read
from mechbench.course.learner_numbers import pose
from mechbench.course.lessons import ROOT
from mechbench.kits import kit

pytestmark = pytest.mark.browser
SPEED, PAIRS, TORQUE = "gearing-speed-out", "gearing-two-pairs", "gearing-torque-out"


@pytest.fixture
def page(lab):
    name = "02_gearing.ipynb"
    shutil.copy(ROOT / "lessons" / name, lab.folder / name)
    page = lab.open(name)
    page.run_all()
    assert page.errors() == []
    return page


def true_answer(name):
    question = registry.exercise(name)
    return question.answer(pose(question).si)


def slip(name, slip_name):
    question = registry.exercise(name)
    return next(s for s in question.slips if s.name == slip_name).formula(pose(question).si)


def test_lesson_02_from_run_all_to_the_hand_in(page, lab):
    # a slider by keyboard: picture and verdict change
    bench = "gearing-bench"
    before, said = page.picture_bytes(bench), page.text(bench)
    page.show(bench)
    slider = page.control("Torque of the load", bench)
    slider.press("right", 30)
    lab.wait(lambda: page.picture_bytes(bench) != before, "a new picture")
    lab.wait(lambda: page.text(bench) != said, "a new verdict")

    # rightly, in another unit than the one asked for
    right = page.control("Your answer:", f"{SPEED}-ask")
    right.type(f"{true_answer(SPEED):.4g} rad/s")
    page.wait_text(f"{SPEED}-ask", "✓ Right")

    # wrongly, by a known slip: its own feedback shows, then the hint
    wrong = page.control("Your answer:", f"{TORQUE}-ask")
    wrong.type(f"{slip(TORQUE, 'loss counted once'):.4g} N·m")
    page.wait_text(f"{TORQUE}-ask", "You counted the loss once")
    page.control("Open hint 1 of 2", f"{TORQUE}-ask").press("enter")
    page.wait_text(f"{TORQUE}-ask", "Hint 1: Without friction the torque grows by the ratio.")

    # another day: the kernel is new, what was answered is still there
    page.restart()
    for cell in ("gearing-import", f"{SPEED}-ask", f"{TORQUE}-ask", "gearing-hand-in"):
        page.run(cell)
    page.wait_text(f"{SPEED}-ask", "✓ Right")
    page.wait_text(f"{TORQUE}-ask", "Not yet")

    # the hand-in: one button, one file, and its reader finds both answers
    page.control("Make my hand-in file", "gearing-hand-in").press("enter")
    lab.wait(lambda: list(lab.folder.glob("*.json")), "a hand-in file")
    handed = read(next(lab.folder.glob("*.json")))
    found = {attempt.exercise: attempt for attempt in handed.attempts if attempt.raw}
    assert found[SPEED].state == "right" and found[TORQUE].slip == "loss counted once"
    hints = {attempt.exercise: attempt.hints for attempt in handed.attempts}
    assert (hints[SPEED], hints[TORQUE]) == (0, 1)
    assert handed.kit == kit().digest
    assert lab.console_errors() == []

"""Lesson 02 by keyboard alone, from the page as it opens to the hand-in: no mouse, and no click made by a script.

After every key: the focus is somewhere; on our controls it is seen (a line of 3 px that stands out from the ground by
3 to 1, WCAG 2.1, success criteria 2.4.7 and 1.4.11); what has it stands inside the window. The page around them is
JupyterLab's.
"""

import shutil

import pytest
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys

from mechbench.course import registry
from mechbench.course.handin_file import read
from mechbench.course.learner_numbers import pose
from mechbench.course.lessons import ROOT
from tests.browser.colour import COLOUR

pytestmark = pytest.mark.browser
LESSON = "02_gearing.ipynb"
MOST_IN_A_CELL = 15

# What has the focus: its kind, its name, its cell, whether it is ours, and how well its line is seen.
FOCUS = (
    COLOUR
    + """
let e = document.activeElement, style = getComputedStyle(e), box = e.closest('.mechbench-control');
let label = e.labels && e.labels[0] || (box && box.querySelector('label')) || e;
let node = e.closest('.jp-Cell'), cells = jupyterapp.shell.currentWidget.content.widgets;
let window = e.closest('.jp-WindowedPanel-outer') || document.body;
let place = e.getBoundingClientRect(), shown = window.getBoundingClientRect();
return {
  kind: e.getAttribute('role') || e.type || (e.matches('.jp-Cell') ? 'cell' : e.tagName),
  name: label.innerText.trim().split('\\n')[0],
  cell: node ? cells.find(c => c.node === node).model.id : '', ours: !!e.closest('.mechbench-focus'),
  line: style.outlineStyle == 'solid' ? parseFloat(style.outlineWidth) : 0,
  contrast: contrast(parse(style.outlineColor), ground(box || e.parentElement)),
  inside: place.top >= shown.top - 1 && place.bottom <= shown.bottom + 1};
"""
)
# Every cell: id, type, and whether it has been run.
CELLS = """return jupyterapp.shell.currentWidget.content.widgets.map(c =>
  [c.model.id, c.model.type, c.model.type != 'code'
    || c.model.executionCount > 0 && c.model.executionState == 'idle'])"""
TEXT = """return jupyterapp.shell.currentWidget.content.widgets.find(c => c.model.id == arguments[0]).node.innerText"""


class Learner:
    """Somebody with a keyboard: keys go to what has the focus, and nothing else is done."""

    def __init__(self, page):
        self.page, self.lab = page, page.lab

    def press(self, *keys, held=None):
        """Press keys one after the other, with one of them held down; give what has the focus then."""
        hand = ActionChains(self.lab.driver)
        if held:
            hand.key_down(held)
        hand.send_keys(*keys)
        if held:
            hand.key_up(held)
        hand.perform()
        return self.focus()

    def focus(self):
        """What has the focus now; it must be something, and be seen."""
        now = self.lab.js(FOCUS)
        assert now["kind"] != "BODY", "the focus is lost"
        if now["ours"]:
            # A browser scrolls to what has the focus a moment after the key.
            self.lab.wait(lambda: self.lab.js(FOCUS)["inside"], f"{now} inside the window")
            assert now["line"] >= 3 and now["contrast"] >= 3, now
        return now

    def cell(self, wanted):
        """Go to a cell with J and K."""
        order = [cell[0] for cell in self.lab.js(CELLS)]
        for _ in order:
            # The page gives the focus to the next cell a moment after the key.
            self.lab.wait(lambda: self.lab.js(FOCUS)["cell"] in order, "the focus in a cell")
            now = self.focus()
            if (now["kind"], now["cell"]) == ("cell", wanted):
                return
            self.press("j" if order.index(now["cell"]) < order.index(wanted) else "k")
        raise AssertionError(f"{wanted} is not reached: {now}")

    def tab_to(self, name, kind=None, back=False, most=25):
        """Press Tab, or Shift + Tab to go back, until the focus is on the control of that name."""
        for _ in range(most):
            now = self.press(Keys.TAB, held=Keys.SHIFT if back else None)
            if now["name"].startswith(name) and kind in (None, now["kind"]):
                return now
        raise AssertionError(f"{name} is not reached: {now}")

    def stays(self, look, what):
        """Wait until something has come of a key; the focus must be where it was."""
        before = self.focus()
        self.lab.wait(look, what)
        self.page.wait_kernel()
        now = self.focus()
        assert (now["kind"], now["cell"]) == (before["kind"], before["cell"]), (before, now)
        return now

    def reads(self, cell, words):
        """Wait until words stand in a cell, without scrolling to it; the focus must stay."""
        return self.stays(lambda: words in self.lab.js(TEXT, cell), f"{words!r} in {cell}")

    def value(self):
        """What stands in the box, list or slider that has the focus."""
        return self.lab.js("let e = document.activeElement; return e.getAttribute('aria-valuetext') || e.value")


@pytest.fixture
def learner(lab):
    shutil.copy(ROOT / "lessons" / LESSON, lab.folder / LESSON)
    before = set(lab.folder.glob("handin*.json"))
    learner = Learner(lab.open(LESSON))
    learner.handed = lambda: set(lab.folder.glob("handin*.json")) - before
    yield learner
    lab.theme("light")
    for file in learner.handed():
        file.unlink()


def true_answer(name):
    question = registry.exercise(name)
    return question.answer(pose(question).si)


def test_lesson_02_by_keyboard(learner, lab):
    assert learner.focus()["kind"] == "cell"  # as `start` opens it
    everything(learner)
    predict(learner)
    bench(learner)
    question(learner)
    code_cell(learner)
    other_questions(learner)
    hand_in(learner)
    assert learner.page.errors() == [] and lab.console_errors() == []
    out_and_in_again(learner)
    on_dark_ground(learner, lab)


def everything(learner):
    """Run all cells: Ctrl + A, Ctrl + Enter."""
    learner.press("a", held=Keys.CONTROL)
    learner.press(Keys.ENTER, held=Keys.CONTROL)
    learner.lab.wait(lambda: all(ran for _, _, ran in learner.lab.js(CELLS)), "every cell run")
    learner.page.wait_kernel()
    assert learner.page.errors() == []


def predict(learner):
    ask = "gearing-bigger-ratio-ask"
    learner.cell(ask)
    learner.tab_to("b) ", "radio")
    assert learner.press(Keys.SPACE)["name"].startswith("b) ")
    learner.tab_to("Record my prediction")
    learner.press(Keys.ENTER)
    assert learner.reads(ask, "Recorded")["name"] == "Record my prediction"
    learner.reads("gearing-bigger-ratio-guess", "The bench shows: just that.")


def bench(learner):
    cell, lab = "gearing-bench", learner.lab
    picture = lambda: lab.js("return document.querySelector('.mb-picture').src")
    verdict = lambda: lab.js("return document.querySelector('.mb-said').innerText")
    cells = lab.js(CELLS)
    learner.cell(cell)

    learner.tab_to("Torque of the load", "text")
    learner.press("a", held=Keys.CONTROL)
    learner.press("3 N·m", Keys.ENTER)
    learner.tab_to("Torque of the load", "slider")
    learner.stays(lambda: float(learner.value()) == pytest.approx(3), f"the typed load, not {learner.value()}")
    for key in (Keys.ARROW_RIGHT, Keys.ARROW_DOWN, Keys.END):
        drawn, said = picture(), verdict()
        learner.press(key)
        learner.stays(lambda: picture() != drawn and verdict() != said, "another picture and verdict")
    assert "Does not work" in verdict()

    learner.tab_to("Gearbox")
    chosen, drawn = learner.value(), picture()
    learner.press(Keys.ARROW_DOWN)
    learner.stays(lambda: learner.value() != chosen and picture() != drawn, "another gearbox")
    # On a cell these letters add, change and cut cells.
    assert learner.press("b", "m", "x")["name"] == "Gearbox"
    assert lab.js(CELLS) == cells

    learner.tab_to("More to choose")
    learner.press(Keys.SPACE)
    learner.reads(cell, "How many motors")
    assert learner.press(Keys.TAB)["cell"] == cell

    learner.tab_to("All numbers")
    learner.press(Keys.ENTER)
    learner.reads(cell, "What hurts most")
    learner.tab_to("US")
    learner.press(Keys.ENTER)
    assert learner.reads(cell, "lbf·in")["name"] == "US"
    learner.tab_to("Turn the motor", "slider")
    drawn = picture()
    learner.press(Keys.ARROW_RIGHT)
    learner.stays(lambda: picture() != drawn, "the motor turned")


def question(learner):
    """A wrong answer, both hints, and another one like it."""
    ask = "gearing-two-pairs-ask"
    learner.cell(ask)
    learner.tab_to("Your answer:")
    learner.press("123", Keys.ENTER)
    learner.reads(ask, "Not yet")
    learner.tab_to("Open hint 1 of 2")
    learner.press(Keys.ENTER)
    learner.reads(ask, "Hint 1:")
    learner.press(Keys.ENTER)
    assert learner.reads(ask, "Hint 2:")["name"] == "All hints are open"
    learner.press(Keys.ENTER)
    learner.tab_to("Another one like it")
    learner.press(Keys.ENTER)
    learner.reads(ask, "Practice (does not change your grade)")
    assert learner.press(Keys.TAB)["name"] == "Your answer:"
    learner.press(Keys.TAB)  # out of the box, where J is a letter


def code_cell(learner):
    """The same question, answered in code: Enter goes into a cell, Escape leaves it, Ctrl + Enter runs it."""
    cell = "gearing-two-pairs-answer"
    learner.cell(cell)
    assert learner.press(Keys.ENTER)["kind"] == "textbox"
    learner.press(Keys.END, held=Keys.CONTROL)
    learner.press(Keys.ENTER, f"mb.ask('gearing-two-pairs').answer({true_answer('gearing-two-pairs')})")
    assert learner.press(Keys.ESCAPE)["kind"] == "cell"
    learner.press(Keys.ENTER, held=Keys.CONTROL)
    learner.reads(cell, "✓ Right")


def other_questions(learner):
    learner.cell("gearing-idler-ask")
    learner.tab_to("c) ", "radio")
    learner.press(Keys.SPACE)
    learner.tab_to("Check my answer")
    learner.press(Keys.ENTER)
    learner.reads("gearing-idler-ask", "Tries: 1.")

    order = "gearing-torque-order-ask"
    learner.cell(order)
    learner.tab_to("Down")
    learner.press(Keys.ENTER)
    boxes = "return [...document.querySelectorAll('input')].filter(e => e.value == 'b a c d').length"
    assert learner.stays(lambda: learner.lab.js(boxes), "another order")["name"] == "Down"
    learner.tab_to("Check my answer")
    learner.press(Keys.SPACE)
    learner.reads(order, "Tries: 1.")

    design = "gearing-design-ask"
    learner.cell(design)
    for name in ("Motor", "Gearbox", "Last stage"):
        learner.tab_to(name)
        before = learner.value()
        learner.press(Keys.ARROW_DOWN)
        assert learner.value() != before
    learner.tab_to("Test my design")
    learner.press(Keys.ENTER)
    learner.reads(design, "Tries: 1.")


def hand_in(learner):
    learner.cell("gearing-hand-in")
    learner.tab_to("Make my hand-in file")
    learner.press(Keys.ENTER)
    assert learner.reads("gearing-hand-in", "Written:")["name"] == "Make my hand-in file"
    (file,) = learner.handed()
    states = {attempt.exercise: attempt.state for attempt in read(file).attempts if attempt.raw}
    assert states["gearing-two-pairs"] == "right" and states["gearing-bigger-ratio"] == "recorded"
    assert {"gearing-idler", "gearing-torque-order", "gearing-design"} <= set(states)


def out_and_in_again(learner):
    """Nothing holds the keyboard: Tab leads out at the end of the notebook, Shift + Tab at its top; and in again."""
    inside = lambda: learner.lab.js("return !!document.activeElement.closest('.jp-Notebook')")
    last = learner.lab.js(CELLS)[-1][0]
    learner.cell(last)
    for _ in range(MOST_IN_A_CELL):  # the page's own buttons for a cell come first
        if inside():
            learner.press(Keys.TAB)
    assert not inside()
    assert learner.press(Keys.TAB, held=Keys.SHIFT)["cell"] == last

    learner.cell("gearing-title")
    learner.tab_to("Skip to main panel", back=True)  # not further: what comes before it is the browser's own bar
    assert not inside()
    learner.press(Keys.ENTER)
    learner.lab.wait(inside, "the notebook again")


def on_dark_ground(learner, lab):
    """The focus is seen in the dark theme too: `press` looks at it on every control of a bench and of a design."""
    lab.theme("dark")
    for cell, last in (("gearing-bench", "US"), ("gearing-design-ask", "Another one like it")):
        learner.cell(cell)
        learner.tab_to(last)

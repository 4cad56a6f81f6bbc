"""An exercise in a real JupyterLab: typed and answered by keyboard, feedback at once, found again after a restart."""

import re

import pytest

from tests.browser.colour import COLOUR

pytestmark = pytest.mark.browser

CELLS = (
    "mb.ask('start-here-lever')",
    "mb.ask('start-here-sheet')",
    "mb.ask('start-here-speeds')",
    "mb.ask('start-here-first-design')",
    "mb.warm_up('motors')",
)


def answer_of(key):
    from mechbench.course.learner_numbers import pose
    from mechbench.course.registry import exercise

    lever = exercise("start-here-lever")
    return lever.answer(pose(lever, key).si)


@pytest.fixture
def name(request):
    """A learner of each test's own, because all tests share one progress file."""
    return request.node.name[:40]


@pytest.fixture
def page(notebook, name):
    page = notebook(f"import mechbench as mb\nmb.learner({name.upper()!r})", *CELLS, name=f"{name}.ipynb")
    page.run_all()
    return page


def test_answering_by_keyboard(page, lab, name):
    assert f"Numbers for: {name}." in page.text("cell-1")
    box = page.control("Your answer:", "cell-2")
    box.type(f"{100 * answer_of(name):.4g} N·m")
    for words in ("as if it were metres", "○ Not yet", "Tries: 1. Saved."):
        page.wait_text("cell-2", words)
    page.control("Open hint 1 of 2", "cell-2").press("enter")
    page.wait_text("cell-2", "Hint 1: Write the length in metres")
    box.type(f"{answer_of(name) / 0.0980665:.4g} kgf cm", enter=False)
    page.control("Check my answer", "cell-2").press("space")
    page.wait_text("cell-2", "✓ Right")
    page.wait_text("cell-2", "Tries: 2. Hints opened: 1. Saved.")

    first = page.show("cell-3").find_elements("css selector", "input[type=radio]")[0]
    lab.js("arguments[0].focus()", first)
    first.send_keys(" ")
    page.control("Check my answer", "cell-3").press("enter")
    page.wait_text("cell-3", "Tries: 1. Saved.")

    order = page.control("Your order:", "cell-4")
    assert order.value == "a b c d"
    page.control("Down", "cell-4").press("enter")
    lab.wait(lambda: order.value == "b a c d", "order after Down")

    page.control("Motor", "cell-5").choose("stout motor")
    page.control("How many motors", "cell-5").choose("4")
    page.control("Test my design", "cell-5").press("enter")
    page.wait_text("cell-5", "✓ Right")
    told = page.text("cell-5")
    assert all(words in told for words in ("Current of one motor", "at most 10 A", "Good day", "Bad day", "To try"))
    assert page.errors() == [] and lab.console_errors() == []


def test_the_last_letters_typed_before_enter_are_not_lost(page):
    """Enter and text come as two messages from the browser; each answer must be graded whole."""
    box = page.control("Your answer:", "cell-2")
    for number in range(8):
        box.type(f"1{number}.{number}37 N·m")
        told = page.wait_text("cell-2", f"Tries: {number + 1}.")
        assert re.search(r"Read as (\S+) N·m", told)[1].startswith(f"1{number}."), told


def test_answers_are_found_after_a_restart(page):
    page.control("Your answer:", "cell-2").type("0.123 N·m")
    page.wait_text("cell-2", "Saved.")
    page.restart()
    page.run("cell-1")
    page.run("cell-2")
    told = page.wait_text("cell-2", "Your answer from before.")
    assert "○ Not yet" in told and page.control("Your answer:", "cell-2").value == "0.123 N·m"


def test_a_form_of_another_nickname_takes_nothing_until_its_cell_is_run_again(notebook, name):
    """The nickname is chosen by a button while a form of the book is on screen."""
    first = notebook(f"import mechbench as mb\nmb.learner({name!r})", CELLS[0], name=f"{name}.ipynb")
    first.run_all()
    page = notebook('import mechbench as mb\nmb.learner("")', CELLS[0], name=f"{name}_next.ipynb")
    page.run_all()
    assert "Numbers for: the book." in page.text("cell-1")
    page.wait_text("cell-2", "Answers go to: the book (no nickname)")
    page.control(f"Go on as {name}", "cell-1").press("enter")
    page.wait_text("cell-1", f"Numbers for: {name}.")
    page.wait_text("cell-2", f"This form belongs to the book, and the notebook is now for {name}: it takes nothing.")
    page.control("Your answer:", "cell-2").type(f"{answer_of(name):.4g} N·m")
    page.run("cell-2")
    page.wait_text("cell-2", f"Answers go to: {name}")
    assert "Not tried yet" in page.text("cell-2") and "belongs to" not in page.text("cell-2")
    page.control("Open hint 1 of 2", "cell-2").press("enter")
    page.wait_text("cell-2", "Hint 1:")
    page.run("cell-2")
    page.wait_text("cell-2", "Hint 1:")
    page.control("Your answer:", "cell-2").type("15*8")
    for words in ("– No try counted.", "'15*8' is still to be worked out"):
        page.wait_text("cell-2", words)
    page.control("Your answer:", "cell-2").type(f"{answer_of(name):.4g} N·m")
    page.wait_text("cell-2", "Tries: 1. Hints opened: 1. Saved.")
    assert page.errors() == []


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_words_stand_out_from_the_ground(page, lab, theme):
    """Contrast of at least 4.5 to 1 for every word of the form (WCAG 2.1, success criterion 1.4.3)."""
    lab.theme(theme)
    page.control("Your answer:", "cell-2").type("0.123 N·m")
    page.wait_text("cell-2", "Saved.")
    ratios = lab.js(CONTRAST, page.show("cell-2"))
    lab.theme("light")
    assert len(ratios) >= 6 and min(ratios) >= 4.5, ratios


CONTRAST = (
    COLOUR
    + """
let found = [];
for (let e of arguments[0].querySelectorAll(
    ['p', 'strong', 'button', 'label'].map(tag => '.jp-OutputArea-output ' + tag).join(', '))) {
  if (!e.innerText.trim() || !e.getClientRects().length) continue;
  found.push(contrast(parse(getComputedStyle(e).color), ground(e)));
}
return found;
"""
)


# How wide each list's longest choice is written, and how wide the list is inside, in pixels.
LISTS = """
let pen = document.createElement('canvas').getContext('2d');
return [...document.querySelectorAll('.jp-OutputArea select')].map(list => {
  let look = getComputedStyle(list), room = list.clientWidth - parseFloat(look.paddingLeft);
  pen.font = look.font;
  return [Math.max(...[...list.options].map(o => pen.measureText(o.text).width)), room];
});
"""


def test_the_longest_choice_of_a_design_fits_its_list(notebook, lab):
    page = notebook("import mechbench as mb\nmb.learner('wide')", "mb.ask('lift-design')", "mb.ask('gripper-design')")
    page.run_all()
    lists = lab.js(LISTS)
    assert len(lists) >= 5 and max(words for words, _ in lists) > 200
    arrow = 14  # px
    assert all(words + arrow <= room for words, room in lists), lists

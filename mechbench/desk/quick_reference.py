"""What the quick reference shows: every sizing as a bench behind one chooser, formulas, rules, questions.

Contents: reference, Reference, formulas, rules_of_thumb, pit_questions.
"""

from html import escape

import ipywidgets as w

from mechbench.benches.bench import Bench
from mechbench.catalog import NAMES, sizing_of
from mechbench.desk import pit_answer
from mechbench.desk.formula_sheet import sheet_html, sheet_text
from mechbench.desk.pit_page import PitPage, picture_html
from mechbench.desk.pit_questions import EVERY
from mechbench.desk.rich_text import Note, Page
from mechbench.desk.rules_of_thumb import rules_markdown

NO_QUESTION = "(none)"


def reference(name="arm"):
    """Open the quick reference: a chooser of sizings and of questions asked in a pit, with the bench below."""
    return Reference(name)


class Reference:
    """One chooser for all benches. `bench` is the one on screen; `choose(name)` and `ask(question)` do what a click
    does.
    """

    def __init__(self, name="arm"):
        self._benches, self._pages, self._silent = {}, {}, False
        self._sizings = w.Dropdown(
            description="Size",
            options=[(sizing_of(one).TITLE, one) for one in NAMES],
            value=sizing_of(name).NAME,
        )
        asked = [NO_QUESTION, *(one.asked for one in EVERY)]
        self._questions = w.Dropdown(description="Asked in a pit", options=asked, value=NO_QUESTION)
        for control, help_text in (
            (self._sizings, "Every sizing of this course"),
            (self._questions, "Tells the figures that are asked for, and opens the bench that answers"),
        ):
            control.tooltip = help_text
            control.style.description_width = "110px"
            control.layout.width = "auto"
        self._said, self._below = w.HTML(), w.VBox()
        self._sizings.observe(lambda change: self._silent or self.choose(change.new), "value")
        self._questions.observe(lambda change: self._silent or self.ask(change.new), "value")
        self.view = w.VBox(
            [self._sizings, self._questions, self._said, self._below],
            layout={"max_width": "772px", "overflow": "hidden"},
        )
        self.view.add_class("mechbench-focus")  # the style for it comes with the bench
        self.choose(name)

    def choose(self, name):
        """Put a sizing's bench on screen."""
        sizing = sizing_of(name)
        if sizing.NAME not in self._benches:  # it is made once and kept
            self._benches[sizing.NAME] = Bench(sizing)
        self.bench = self._benches[sizing.NAME]
        self._show(sizing.NAME, NO_QUESTION, sizing.QUESTION, self.bench.view)
        return self

    def ask(self, asked):
        """Put the answer to a question on screen, its figures first, and the bench below, set as the question says."""
        if asked == NO_QUESTION:
            return self.choose(self._sizings.value)
        question = pit_answer.meant(str(asked))
        if question.asked not in self._pages:
            self._pages[question.asked] = PitPage(question)
        page = self._pages[question.asked]
        self.bench = page.bench
        self._show(question.sizing, question.asked, question.asked, page.headless)
        return self

    def _show(self, name, asked, said, view):
        self._silent = True
        try:
            self._sizings.value, self._questions.value = name, asked
        finally:
            self._silent = False
        self._said.value = f"<div style='line-height:1.4'>{escape(said)}</div>"
        self._below.children = (view,)

    def __repr__(self):
        return f"{self.bench.sizing.TITLE}. {self.bench.sentence}"

    def _repr_mimebundle_(self, include=None, exclude=None):
        still = {kind: data for kind, data in self.bench._repr_mimebundle_().items() if kind == "image/png"}
        return {**self.view._repr_mimebundle_(), **still, "text/plain": repr(self)}


def formulas():
    """The formula sheet."""
    return Page(sheet_html(), sheet_text())


def rules_of_thumb():
    """Rules of thumb, each with where it comes from."""
    return Note(rules_markdown())


def pit_questions():
    """Questions asked in a pit, each with its number and the answer to the usual example, the figures first."""
    answers = [pit_answer.look(question) for question in EVERY]
    blocks = [f"<h3>{number}. {escape(one.question.asked)}</h3>{_block(one)}" for number, one in enumerate(answers, 1)]
    return Page("".join(blocks), "\n\n\n".join(f"{number}. {one!r}" for number, one in enumerate(answers, 1)))


def _block(found):
    """An answer on a page that nothing moves, with its chart of currents on the paper that goes with the page."""
    first, rest = pit_answer.html_of(found)
    return first + (picture_html(found.currents) if found.currents else "") + rest

"""What the quick reference shows: every sizing as a bench behind one chooser, formulas, rules, questions.

Contents: reference, Reference, formulas, rules_of_thumb, pit_questions.
"""

from html import escape

import ipywidgets as w

from mechbench.benches.bench import Bench
from mechbench.catalog import NAMES, judge, sizing_of
from mechbench.desk.arguments import TYPED, read_line, values_of
from mechbench.desk.find import look, short_of
from mechbench.desk.formula_sheet import sheet_html, sheet_text
from mechbench.desk.pit_questions import QUESTIONS, QUICK
from mechbench.desk.rich_text import Note, Page
from mechbench.desk.rules_of_thumb import rules_markdown
from mechbench.engine import report_text
from mechbench.engine.inputs import Tables

NO_QUESTION = "(none)"


def reference(name="arm"):
    """Open the quick reference: a chooser of sizings and of questions asked in a pit, with the bench below."""
    return Reference(name)


class Reference:
    """One chooser for all benches. `bench` is the one on screen; `choose(name)` and `ask(question)` do what a click
    does.
    """

    def __init__(self, name="arm"):
        self._benches, self._silent = {}, False
        self._sizings = w.Dropdown(
            description="Size",
            options=[(sizing_of(one).TITLE, one) for one in NAMES],
            value=sizing_of(name).NAME,
        )
        asked = [NO_QUESTION, *(one.asked for one in _questions())]
        self._questions = w.Dropdown(description="Asked in a pit", options=asked, value=NO_QUESTION)
        for control, help_text in (
            (self._sizings, "Every sizing of this course"),
            (self._questions, "Opens the bench that answers"),
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
        name = self._open(name)
        self._show(name, NO_QUESTION, sizing_of(name).QUESTION)
        return self

    def _open(self, name):
        """Make the bench of a sizing the present one; it is made once and kept."""
        name = sizing_of(name).NAME
        if name not in self._benches:
            self._benches[name] = Bench(sizing_of(name))
        self.bench = self._benches[name]
        return name

    def ask(self, asked):
        """Put the bench on screen that answers a question, set as the question says."""
        question = next((one for one in _questions() if one.asked == asked), None)
        if question is None:
            return self.choose(self._sizings.value)
        # Each list is told its value once: a second one would overwrite what was chosen in the meantime.
        self._open(question.sizing)
        self.bench.set(**values_of_line(question))
        self._show(question.sizing, asked, f"{asked} On the command line: {TYPED} {question.lines[0]}")
        return self

    def _show(self, name, asked, said):
        self._silent = True
        try:
            self._sizings.value, self._questions.value = name, asked
        finally:
            self._silent = False
        self._said.value = f"<div style='line-height:1.4'>{escape(said)}</div>"
        self._below.children = (self.bench.view,)

    def __repr__(self):
        return f"{self.bench.sizing.TITLE}. {self.bench.sentence}"

    def _repr_mimebundle_(self, include=None, exclude=None):
        still = {kind: data for kind, data in self.bench._repr_mimebundle_().items() if kind == "image/png"}
        return {**self.view._repr_mimebundle_(), **still, "text/plain": repr(self)}


def _questions():
    """All questions that it answers."""
    return [*QUESTIONS, *QUICK]


def values_of_line(question):
    """The inputs that a question's first line gives, by name."""
    line = read_line(question.lines[0].split())
    return values_of(sizing_of(line.name), line.given, Tables(sizing_of(line.name)))


def formulas():
    """The formula sheet."""
    return Page(sheet_html(), sheet_text())


def rules_of_thumb():
    """Rules of thumb, each with where it comes from."""
    return Note(rules_markdown())


def pit_questions():
    """Questions asked in a pit, each with the answer to the usual example."""
    lines = []
    for question in _questions():
        typed = "<br>".join(f"`size {line}`" for line in question.lines)
        lines.append(f"| {question.asked} | {'; '.join(_answers(question))} | {typed} |")
    return Note(
        "\n".join(
            ["| asked | answer for the usual example | to type after `mechbench` |", "| --- | --- | --- |", *lines]
        )
    )


def _answers(question):
    """What each line of a question finds: its findings, or the best parts."""
    told = dict(question.answers)
    for text in question.lines:
        line = read_line(text.split())
        sizing = sizing_of(line.name)
        tables = Tables(sizing)
        values = values_of(sizing, line.given, tables)
        if line.has("--find"):
            yield short_of(look(sizing, line.one("--find"), values, tables))
        elif line.name in told:
            report = judge(sizing, values)
            names = told.pop(line.name)
            yield ", ".join(
                f"{f.label} {report_text.number(f, report.good[f.name])}" for f in sizing.FINDINGS if f.name in names
            )

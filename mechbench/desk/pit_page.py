"""A question of the pit in a notebook: its figures first and large, then the bench with the sliders that matter.

Contents: pit (for notebooks), PitPage, picture_html.
"""

import os
from base64 import b64encode
from dataclasses import replace
from html import escape

import ipywidgets as w

from mechbench.benches.bench import Bench
from mechbench.catalog import sizing_of
from mechbench.desk import current_chart, pit_answer
from mechbench.desk.arguments import as_typed, input_named, read_line
from mechbench.desk.called import only_by_name
from mechbench.desk.called import units as units_of
from mechbench.desk.pit_questions import Question
from mechbench.desk.record import Design
from mechbench.desk.rich_text import image_of_looks
from mechbench.desk.sized import sized_of


def pit(question="", *stray, kit=None, system=None, units=None, **values):
    """Answer a question of the pit: mb.pit("why does it reset"), mb.pit(5, raised_mass="1 kg").

    question : some words of it, or its number in mb.pit_questions(); values : inputs in place of the usual ones;
    system : "metric" or "us"
    """
    asked = pit_answer.meant(str(question))
    only_by_name(sizing_of(asked.sizing), "pit", stray, asked=question)
    chosen = system or units
    return PitPage(asked, kit, units_of(chosen) if chosen else os.environ.get("MECHBENCH_UNITS"), values)


def picture_html(currents):
    """The chart of who draws what, on the paper that goes with the page, with the same in words."""
    return image_of_looks(lambda look: current_chart.png(currents, look), current_chart.words(currents))


class _Following(Bench):
    """A bench that lets somebody know when it has told something new."""

    then = None

    def _tell(self):
        super()._tell()
        if self.then:
            self.then()


class PitPage:
    """A question with its answer. `bench` is the bench below the figures, set as the answer's first line says; `answer`
    follows it; `view` is all of it.
    """

    def __init__(self, question: Question, kit=None, system=None, values=None):
        found = pit_answer.look(question, values, system or Bench._chosen["system"], kit)
        self.question, self._found, first = question, found, found.parts[0]
        shown = sized_of(first.design.report, first.design.tables, found.system, {}).values
        self.bench = _Following(first.sizing, shown, question.show, kit=kit, system=system)
        self._told, self._chart, self._rest = w.HTML(), w.HTML(), w.HTML()
        self.headless = w.VBox(
            [self._told, self._chart, self._rest, self.bench.view]
        )  # where the question is told anyway
        self.view = w.VBox([w.HTML(f"<h3>{escape(question.asked)}</h3>"), self.headless])
        self.bench.then = self._tell
        self._tell()

    @property
    def answer(self):
        """The answer as the bench is set now."""
        bench, first = self.bench, self._found.parts[0]
        if bench.report is None:
            return self._found
        now = replace(first, line=self._line(), design=Design(bench.report, bench.tables, system=bench.system))
        charted = pit_answer.currents_of(self.question, bench.report, bench.tables)
        others = self._found.parts[1:]
        return replace(self._found, parts=(now, *others), currents=charted, system=bench.system)

    def _line(self):
        """The line that asks for what the bench shows: what was asked for, and what was changed since."""
        first, sizing = self._found.parts[0], self.bench.sizing
        line = read_line(first.line.split())
        asked = {input_named(sizing, name).name: text for name, text in line.given.items()}
        before, now = first.design.report.values, self.bench.values
        changed = [f for f in sizing.FIELDS if now[f.name] != before[f.name]]
        if not changed:
            return first.line
        asked |= {f.name: as_typed(f, now[f.name], self.bench.system) for f in changed}
        return " ".join([sizing.NAME, *(f"{name}={text}" for name, text in asked.items())])

    def _tell(self):
        if self.bench.report is None:  # the bench says what is wrong
            return
        found = self.answer
        self._told.value, self._rest.value = pit_answer.html_of(found)
        self._chart.value = picture_html(found.currents) if found.currents else ""

    def __repr__(self):
        return pit_answer.text_of(self.answer)

    def _repr_mimebundle_(self, include=None, exclude=None):
        found = self.answer
        still = self.bench._repr_mimebundle_().get("image/png")
        if found.currents:
            still = b64encode(current_chart.png(found.currents)).decode()
        shown = {**self.view._repr_mimebundle_(), "text/plain": repr(self)}
        return {**shown, "image/png": still} if still else shown

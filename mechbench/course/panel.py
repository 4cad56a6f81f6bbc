"""The screen of one exercise: question, answer box, feedback, hints, another one like it.

Contents: Panel, in_a_column. All of it works by keyboard; states are told in a sign and words; colours are JupyterLab's
own, so that light and dark themes both read well.
"""

import asyncio
import html

import ipywidgets as widgets

from mechbench import quantity
from mechbench.benches.page import FOCUS
from mechbench.course.design_feedback import ALSO, met
from mechbench.course.exercise import Challenge, Choice, Order, Prediction, Quantity
from mechbench.course.grading import NOT_TRIED, NOT_YET, RIGHT
from mechbench.course.nickname import owner
from mechbench.course.question_text import (
    asked_for,
    inputs,
    lettered,
    options_of,
    outcome_line,
    question,
    readings_code,
    state_line,
)
from mechbench.course.simulated_readings import readings_of
from mechbench.engine.spec import Pick

# Blue-green, orange, blue of the Okabe-Ito palette; the word beside it says the same.
EDGE = {"right": "#009E73", "not yet": "#D55E00", "recorded": "#0072B2"}
FAINT = "var(--jp-content-font-color2)"

# The browser tells of Enter first and of the text right after it.
WAIT_FOR_TEXT = 0.12

# An option that is too long for the page takes two lines, instead of running over the next one.
STYLE = (
    FOCUS
    + """<style>
.mechbench-choice .widget-radio-box { padding-left: 4px; }
.mechbench-choice .widget-radio-box label
  { height: auto !important; white-space: normal !important; line-height: 1.35 !important; margin-bottom: 4px; }
.mechbench-design { border-collapse: collapse; margin: 4px 0 8px 0; line-height: 1.3; }
.mechbench-design th, .mechbench-design td
  { text-align: left; vertical-align: top; padding: 3px 12px 3px 0; font-weight: normal;
    border-bottom: 1px solid var(--jp-border-color2); }
.mechbench-design tr:first-child th { color: var(--jp-content-font-color2); }
.mechbench-done { color: var(--jp-content-font-color2); background: transparent; }
</style>"""
)

_BUTTON_WORDS = {Prediction: "Record my prediction", Challenge: "Test my design"}


def _paragraphs(text):
    return "".join(f"<p style='margin:0 0 6px 0'>{html.escape(line)}</p>" for line in text.split("\n") if line.strip())


def _design_table(grade):
    """What is asked of a design as a table, what is missed first; below it what else is said."""
    head = "".join(f"<th scope='col'>{words}</th>" for words in ("Asked", "Good day", "Bad day", "To try"))
    rows = "".join(f"<tr>{''.join(_cells(line))}</tr>" for line in grade.table)
    return f"<table class='mechbench-design'><tr>{head}</tr>{rows}</table>{_paragraphs(grade.after)}"


def _cells(line):
    also = f"<em>{ALSO}:</em> " if line.also else ""
    asked = f"{also}{html.escape(line.label)}<br>{html.escape(line.asked)}"
    yield f"<th scope='row'>{asked}</th>"
    for found, is_met in ((line.good, line.good_met), (line.bad, line.bad_met)):
        said = (
            f"{html.escape(found)}<br>{met(is_met) if is_met else f'<strong>{met(is_met)}</strong>'}" if found else ""
        )
        yield f"<td>{said}</td>"
    yield f"<td>{html.escape(line.to_try)}</td>"


def _html(inside="", **style):
    look = {"color": "var(--jp-content-font-color1)", "line-height": "1.45", "max-width": "46em", **style}
    css = ";".join(f"{name.replace('_', '-')}:{value}" for name, value in look.items())
    return f'<div style="{css}">{inside}</div>'


def _button(words, on_click, tooltip=""):
    layout = widgets.Layout(width="auto", flex="0 0 auto", align_self="flex-start")
    button = widgets.Button(description=words, tooltip=tooltip, layout=layout)
    button.on_click(lambda _: on_click())
    return button


def in_a_column(parts):
    """Widgets one below the other."""
    return widgets.VBox(list(parts))


def _in_a_row(parts):
    return widgets.HBox(list(parts), layout=widgets.Layout(flex_flow="row wrap", align_items="center"))


def _show(widget, visible):
    widget.layout.display = "" if visible else "none"


class Panel:
    """The form of an Ask. `widget` is what goes on screen; `refresh` shows the state of the Ask."""

    def __init__(self, ask):
        self.ask = ask
        posed = ask.posed
        self.head, self.feedback = widgets.HTML(), widgets.HTML()
        self.form = _FORMS[type(ask.exercise)](posed, self._submit_soon)
        asked = widgets.HTML(_html(_paragraphs(question(posed)) + self._asked()))
        check = _button(_BUTTON_WORDS.get(type(ask.exercise), "Check my answer"), self._submit_soon, ask.exercise.title)
        self.hints = [widgets.HTML() for _ in ask.exercise.hints]
        self.hint_button = _button("", ask.next_hint)
        self.another_button = _button("Another one like it", self._another, "Other numbers, for practice")
        self.practice = widgets.VBox([])
        below = _in_a_row([self.hint_button, self.another_button])
        style = widgets.HTML(STYLE, layout={"display": "none"})
        self.widget = widgets.VBox(
            [self.head, asked, self.form.widget, check, self.feedback, *self.hints, below, self.practice, style],
            layout=widgets.Layout(
                border_left="3px solid var(--jp-border-color1)", padding="2px 0 2px 14px", margin="6px 0"
            ),
        ).add_class("mechbench-focus")
        shown = ask.shown_grade()
        if shown:
            self.form.put(shown[0])
        self.refresh()

    def _asked(self):
        return self._readings() + f"<p style='margin:0;color:{FAINT}'>{html.escape(asked_for(self.ask.posed))}</p>"

    def _readings(self):
        """How to read the readings of the shop; those of a practice question stand here, for no cell shows them."""
        ask = self.ask
        if getattr(ask.exercise, "shop", None) is None:
            return ""
        line = f"<p>The readings: <code>{html.escape(readings_code(ask.posed))}</code></p>"
        if not ask.practice:
            return line
        return f"{line}<pre>{html.escape(repr(readings_of(ask.exercise, ask.learner.key, ask.practice)))}</pre>"

    def _submit_soon(self):
        """Grade as soon as the text is there; at once where no loop runs, as in a test."""
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            self.ask.submit(self.form.raw())
            return
        loop.call_later(WAIT_FOR_TEXT, self._submit_when_still, self.form.raw())

    def _submit_when_still(self, seen):
        raw = self.form.raw()
        if raw != seen:
            asyncio.get_running_loop().call_later(WAIT_FOR_TEXT, self._submit_when_still, raw)
        else:
            self.ask.submit(raw)

    def _another(self):
        """Put one practice question below, in place of the one before."""
        self._last = (self._last if self.practice.children else self.ask).another()
        self.practice.children = [self._last.panel().widget]

    def refresh(self):
        """Show state, feedback and hints as they are now."""
        ask = self.ask
        self.refresh_head()
        self.feedback.value = self._feedback()
        for area, number in zip(self.hints, range(1, len(self.hints) + 1)):
            opened = number <= len(ask.hints_shown)
            area.value = _html(f"<em>Hint {number}:</em> {html.escape(ask.hints_shown[number - 1])}") if opened else ""
            _show(area, opened)
        opened, total = len(ask.hints_shown), len(self.hints)
        self.hint_button.description = f"Open hint {opened + 1} of {total}" if opened < total else "All hints are open"
        if (
            opened == total
        ):  # Not disabled: a button that is switched off under the keyboard's focus drops it, to nowhere.
            self.hint_button.add_class("mechbench-done")
        _show(self.hint_button, total > 0)
        _show(self.another_button, ask.posed.has_another)

    def refresh_head(self):
        """Show title, state, and whose form it is."""
        ask = self.ask
        practice = "Practice (does not change your grade): " if ask.practice else ""
        title = html.escape(f"{practice}{ask.exercise.title}")
        state = html.escape(state_line(ask.state))
        self.head.value = _html(
            f"<strong>{title}</strong> &nbsp; <span style='white-space:nowrap'>{state}</span>{self._whose()}"
        )

    def _whose(self):
        """Whose form it is, and that it takes nothing where the notebook is another learner's by now."""
        ask = self.ask
        name = owner(ask.learner) if ask.learner.key else "the book (no nickname)"
        whose = f"<p style='margin:0;color:{FAINT}'>Answers go to: {html.escape(name)}</p>"
        if not ask.of_another:
            return whose
        return f"{whose}<p role='status' style='margin:0'><strong>{html.escape(ask.of_another)}</strong></p>"

    def _feedback(self):
        """What came of the last answer, now or before."""
        shown = self.ask.shown_grade()
        if shown is None:
            return _html(f"<div role='status'>{_paragraphs(self.ask.asked_before)}</div>") * bool(self.ask.asked_before)
        raw, grade = shown
        if grade.state == NOT_TRIED and self.ask.grade is None:
            return ""
        earlier = "" if self.ask.grade is not None else "Your answer from before. "
        state = f"{earlier}{outcome_line(grade.state, raw)}."
        if grade.state == NOT_YET and self.ask.state == RIGHT:
            state += " Your right answer from before still counts."
        told = f"<strong>{state}</strong>{_design_table(grade) if grade.table else _paragraphs(grade.message)}"
        count = f"Tries: {self.ask.tries}. " if self.ask.tries else ""
        hints = f"Hints opened: {self.ask.hints_open}. " if self.ask.hints_open else ""
        before = f" {self.ask.asked_before}".rstrip()
        small = html.escape(f"{self._read_as(grade)}{count}{hints}{self.ask.saved}{before}")
        edge = EDGE.get(grade.state, "var(--jp-border-color1)")
        inside = f"<div role='status'>{told}<p style='margin:0;color:{FAINT}'>{small}</p></div>"
        return _html(inside, border_left=f"5px solid {edge}", padding="4px 10px", margin="4px 0")

    def _read_as(self, grade):
        """How a number was read, so that a comma or a unit taken otherwise is seen."""
        return f"Read as {quantity.show(grade.value, grade.unit, digits=4)}. " if grade.value is not None else ""


# --- the answer's form, one for each kind --------------------------------------------------------------------------


def _text_box(label, placeholder, on_enter):
    """A labelled box; Enter is the browser's own message, so that leaving the box does not hand in half an answer.

    Text is sent once, on Enter or on leaving the box. Sent letter by letter, its last part waits for the kernel's reply
    to the part before it, and on a busy machine comes long after Enter.
    """
    box = widgets.Text(
        description=label,
        placeholder=placeholder,
        continuous_update=False,
        style={"description_width": "initial"},
        layout=widgets.Layout(width="28em", max_width="calc(100% - 4px)"),
    )
    box.on_msg(lambda _, content, buffers: on_enter() if content.get("event") == "submit" else None)
    return box


class _TextForm:
    """A quantity, or a prediction of one."""

    def __init__(self, posed, on_enter):
        unit = quantity.written(posed.exercise.unit)
        self.box = _text_box(
            "Your answer:", f"number and unit, such as 3.2 {unit}".strip() if unit else "a number", on_enter
        )
        self.widget = self.box

    def raw(self):
        return self.box.value

    def put(self, raw):
        self.box.value = raw


class _ChoiceForm:
    """A choice, or a prediction among options."""

    def __init__(self, posed, on_enter):
        self.posed = posed
        options = [(f"{one.letter}) {one.text}", one.name) for one in lettered(posed)]
        self.buttons = widgets.RadioButtons(
            options=options,
            value=None,
            description="Your choice:",
            style={"description_width": "initial"},
            layout=widgets.Layout(width="auto", max_width="60em"),
        )
        self.buttons.add_class("mechbench-choice")
        self.widget = self.buttons

    def raw(self):
        return self.buttons.value or ""

    def put(self, raw):
        names = {one.letter: one.name for one in lettered(self.posed)}
        name = names.get(raw.strip().casefold().rstrip(".)"), raw.strip().casefold())
        if name in self.posed.order:
            self.buttons.value = name


class _OrderForm:
    """Items with buttons up and down; the letters in the box say the same and can be typed instead."""

    def __init__(self, posed, on_enter):
        self.texts = {one.letter: one.text for one in lettered(posed)}
        self.letter_of = {one.name: one.letter for one in lettered(posed)}
        self.letters = list(self.texts)
        self.labels = [widgets.HTML() for _ in self.letters]
        self.box = _text_box("Your order:", "letters, such as b a c", on_enter)
        rows = [
            _in_a_row(
                [
                    _button("Up", lambda place=place: self._move(place, -1), "Move this one up"),
                    _button("Down", lambda place=place: self._move(place, 1), "Move this one down"),
                    label,
                ]
            )
            for place, label in enumerate(self.labels)
        ]
        self.widget = in_a_column([*rows, self.box])
        self.box.observe(lambda change: self._read(change["new"]), "value")
        self._show_letters()

    def _move(self, place, step):
        other = place + step
        if 0 <= other < len(self.letters):
            self.letters[place], self.letters[other] = self.letters[other], self.letters[place]
            self._show_letters()

    def _show_letters(self):
        self.box.value = " ".join(self.letters)
        for label, letter in zip(self.labels, self.letters):
            label.value = _html(html.escape(f"{letter}) {self.texts[letter]}"), padding="0 0 0 8px")

    def _read(self, typed):
        """Move the items to where typed letters put them, once all letters are there."""
        letters = [mark for mark in typed.casefold() if mark.isalpha()]
        if sorted(letters) == sorted(self.texts) and letters != self.letters:
            self.letters = letters
            for label, letter in zip(self.labels, self.letters):
                label.value = _html(html.escape(f"{letter}) {self.texts[letter]}"), padding="0 0 0 8px")

    def raw(self):
        return self.box.value

    def put(self, raw):
        """Show an answer as letters; one that was written in code may name the items."""
        names = raw.casefold().split()
        self.box.value = " ".join(self.letter_of[name] for name in names) if set(names) <= set(self.letter_of) else raw


class _ChallengeForm:
    """One list or box for each input that the learner sets."""

    LABEL, LIST = 14.0, 20.0  # em: room for a label; the least for a list
    LETTER, ARROW = 0.58, 3.0  # em: a letter on average; a list's arrow and rims

    def __init__(self, posed, on_enter):
        words = (len(text) for e in inputs(posed) if isinstance(e, Pick) for text in options_of(posed, e).values())
        self.width = self.LABEL + max(self.LIST, self.ARROW + self.LETTER * max(words, default=0))
        self.controls = {entry.name: self._control(posed, entry, on_enter) for entry in inputs(posed)}
        self.widget = in_a_column(self.controls.values())

    def _control(self, posed, entry, on_enter):
        style = {"description_width": f"{self.LABEL:g}em"}
        layout = widgets.Layout(width=f"{self.width:g}em", max_width="calc(100% - 4px)")
        if isinstance(entry, Pick):
            options = [("choose one", ""), *((label, name) for name, label in options_of(posed, entry).items())]
            return widgets.Dropdown(options=options, value="", description=entry.label, style=style, layout=layout)
        unit = quantity.written(entry.unit)
        box = _text_box(entry.label, f"{entry.low:g} to {entry.high:g} {unit}".rstrip(), on_enter)
        box.style, box.layout = style, layout
        return box

    def raw(self):
        return "; ".join(f"{name} = {control.value}" for name, control in self.controls.items() if control.value)

    def put(self, raw):
        for part in raw.split(";"):
            name, _, value = (piece.strip() for piece in part.partition("="))
            control = self.controls.get(name)
            if isinstance(control, widgets.Text):
                control.value = value
            elif control is not None and value in [key for _, key in control.options]:
                control.value = value


_FORMS = {
    Quantity: _TextForm,
    Choice: _ChoiceForm,
    Order: _OrderForm,
    Prediction: lambda posed, on_enter: (_ChoiceForm if posed.exercise.options else _TextForm)(posed, on_enter),
    Challenge: _ChallengeForm,
}

"""The nickname of a notebook's learner: between quotes, asked about where it may be a slip, offered in the next lesson.

    checked(name)     the name, or one sentence on how a nickname is written
    ask_if_near(name) a name one letter away from a known one: a ValueError that asks which one is meant
    escaped(text)     a name as Markdown
    owner(learner)    who that is, in a sentence
    Offer             what the first cell shows where others have answered on this computer

Nothing is kept for this but the learners in the progress file, so whoever is deleted there is offered no more.
"""

import html
import json
import re

from mechbench.course.learner_numbers import canonical
from mechbench.course.progress import ProgressError, store
from mechbench.desk.rich_text import Note
from mechbench.wording import one_slip_apart, shortened

MOST_OFFERED = 4
RUN_BELOW = "Run the cells below again: in the menu, Run > Run Selected Cell and All Below."
BOOK = "Numbers for: **the book**. Put a nickname between the quotes to get numbers of your own."


def checked(name):
    """Give a name that is text; for anything else a ValueError says how it is written."""
    if isinstance(name, str):
        return name
    shown = name.__name__ if callable(name) and hasattr(name, "__name__") else shortened(name)
    meant = "" if name is None else _in_code(re.sub(r"^\W+|\W+$", "", shown))[1:-1]
    raise ValueError(f'name is {shown}, but a nickname stands between quotes: write mb.learner("{meant}").')


def ask_if_near(name):
    """Raise a ValueError that asks, where a name is new on this computer and one letter away from a known one."""
    key = canonical(name)
    try:
        known = store().learners()
    except ProgressError:
        return
    near = [learner.shown for learner in known if is_near(learner.key, key)]
    if near and key not in {learner.key for learner in known}:
        raise ValueError(
            f"'{shortened(name)}' is new on this computer, but '{near[0]}' is known: if that is you, write "
            f"mb.learner({_in_code(near[0])}); if you are new, write mb.learner({_in_code(name)}, new=True)."
        )


def is_near(one, other):
    """Tell whether one canonical name is a slip of one letter in another.

    Digits are no slips: whoever calls himself ana2 does so because there is an ana. Nor are names of one letter.
    """
    if min(len(one), len(other)) < 2:
        return False
    return one_slip_apart(one, other) and re.sub("[0-9]", "", one) != re.sub("[0-9]", "", other)


def _in_code(name):
    return json.dumps(name, ensure_ascii=False)


def escaped(text):
    """Give a text as Markdown that shows just this text."""
    return re.sub(r"([\\`*_{}\[\]()<>#+!|~$&-])", r"\\\1", text)


def owner(learner):
    """Say who a learner is."""
    return learner.key or "the book"


def note_of(learner):
    """Say in Markdown whose numbers a notebook shows."""
    if not learner.key:
        return BOOK
    return f"Numbers for: **{escaped(learner.key)}**. Same name, same numbers, on every computer. A nickname is enough."


def note_or_offer(learner, choose):
    """Give what the first cell shows where no nickname is written: with buttons, if others answered here before.

    choose : function of a name; it makes that the notebook's learner and gives it
    """
    names = [one.shown for one in store().lately(MOST_OFFERED) if one.key != learner.key]
    return Offer(learner, names, choose) if names or learner.key else Note(note_of(learner))


class Offer:
    """Whose numbers these are, and a button for each nickname known here. As text it is the note alone."""

    def __init__(self, learner, names, choose):
        import ipywidgets as widgets

        from mechbench.benches.page import FOCUS

        self.note, self._choose = note_of(learner), choose
        self.told = widgets.HTML()
        self._tell(learner)
        choices = {f"Go on as {canonical(name)}": name for name in names}
        if learner.key:
            choices["The book's numbers"] = ""
        layout = widgets.Layout(flex_flow="row wrap")
        self.buttons = [widgets.Button(description=words, layout={"width": "auto"}) for words in choices]
        for button, name in zip(self.buttons, choices.values()):
            button.on_click(lambda _, name=name: self._take(name))
        self.widget = widgets.VBox([self.told, widgets.HBox(self.buttons, layout=layout), widgets.HTML(FOCUS)])
        self.widget.add_class("mechbench-focus")

    def _take(self, name):
        self._tell(self._choose(name), RUN_BELOW)

    def _tell(self, learner, more=""):
        rest = note_of(learner).split("**")[-1]
        whose = f"Numbers for: <strong>{html.escape(owner(learner))}</strong>{html.escape(rest)} {html.escape(more)}"
        style = "color:var(--jp-content-font-color1);line-height:1.45;max-width:46em"
        self.told.value = f"<div role='status' style='{style}'>{whose.rstrip()}</div>"

    def _repr_mimebundle_(self, include=None, exclude=None):
        return {**self.widget._repr_mimebundle_(), "text/markdown": self.note, "text/plain": self.note}

    def __repr__(self):
        return self.note

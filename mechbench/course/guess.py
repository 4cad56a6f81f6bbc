"""The guess that was made before sliding comes back after the bench, beside what the bench shows.

    mb.your_guess("motors-most-power")     "You said: ... The bench shows: ..." and why

Contents: your_guess, Guess.

Until a guess is recorded, a sentence says where to make it; the answer stands there as soon as it is.
"""

import html

from mechbench.course import ask as asking
from mechbench.course import offered, registry
from mechbench.course.exercise import Prediction
from mechbench.course.learner_numbers import pose
from mechbench.course.prediction import BENCH, SAID, SAID_FIRST, not_yet, told
from mechbench.course.progress import store
from mechbench.kits import kit as kit_in_force
from mechbench.wording import quoted

EDGE = "#0072B2"  # as of what is recorded


class Guess:
    """One prediction with its answer, for whoever is the learner of the notebook now. Shown live; `print` tells it.

    As stored text it is the same for everybody: a notebook's file tells nobody's guess.
    """

    def __init__(self, exercise):
        self.exercise, self._widget, self._kept = exercise, None, {}
        asking.guesses_on_screen.add(self)

    def paragraphs(self):
        """What is said now."""
        someone = asking.current_learner()
        posed = pose(self.exercise, someone.key)
        past = asking.past_of(store().attempts(someone, self.exercise.id), posed)
        raw = past.raw or self._kept.get(someone.key)
        return told(posed, raw, once=not past.changed) if raw else [not_yet(self.exercise)]

    def recorded(self, learner, raw):
        """Take a guess that was recorded a moment ago, and show the answer; it counts, too, where a full disk lost
        it.
        """
        self._kept.setdefault(learner.key, raw)
        self.refresh()

    def refresh(self):
        """Show what is said now, where it is on screen."""
        if self._widget is not None:
            self._widget.value = _page(self.paragraphs())

    def _repr_mimebundle_(self, include=None, exclude=None):
        if self._widget is None:
            import ipywidgets as widgets

            self._widget = widgets.HTML()
            self._widget.of_guess = self  # it lives as long as what shows it
        self.refresh()
        return {**self._widget._repr_mimebundle_(), "text/plain": not_yet(self.exercise)}

    def __repr__(self):
        return "\n".join(self.paragraphs())


def _page(paragraphs):
    """Paragraphs as HTML; whose words stand first is bold."""
    lines = []
    for text in paragraphs:
        head = next((head for head in (SAID, SAID_FIRST, BENCH) if text.startswith(head)), "")
        bold = f"<strong>{head}</strong>" if head else ""
        lines.append(f"<p style='margin:0 0 6px 0'>{bold}{html.escape(text.removeprefix(head))}</p>")
    style = "color:var(--jp-content-font-color1);line-height:1.45;max-width:46em;padding:4px 10px"
    style += f";border-left:5px solid {EDGE}"
    return f"<div role='status' style='{style}'>{''.join(lines)}</div>"


def your_guess(id):
    """Show the guess of this notebook's learner beside what the bench shows, as the last line of a cell."""
    exercise, kit = registry.exercise(id), kit_in_force()
    if not isinstance(exercise, Prediction):
        raise ValueError(f"{quoted(id)} is no prediction; only a guess before a bench comes back after it.")
    found = offered.in_place_of(exercise, kit)
    return Guess(found) if found else asking.LeftOut(exercise, kit)


__all__ = ["Guess", "your_guess"]

"""A learner's progress as a quiet card: what is done, what is open, what was right at the first try, what to repeat.

    mb.progress("motors")    one lesson, at its top and at its hand-in
    mb.progress()            all lessons

Contents: progress, Card, Standing, standings.

It follows whoever is the learner of the notebook, and each answer as it is given. It compares nobody with anybody. As
stored text it is the same for everybody: a notebook's file tells nobody's answers.
"""

import html
from dataclasses import dataclass

from mechbench.course import ask as asking
from mechbench.course import core, offered
from mechbench.course.grading import NOT_TRIED, NOT_YET, RECORDED, RIGHT
from mechbench.course.lessons import LESSONS, lesson
from mechbench.course.progress import store

ABOUT = "Here stands what you have done, what is open, and what to repeat."
NOBODY = "Put a nickname in the first cell, then a card here keeps what you have done."
MANY_TRIES = 3  # what took so many is worth a second look
DONE, HALF, OPEN = "■", "◪", "□"
NOT_RIGHT, LATER = "not right yet", "right once, then wrong in a later practice"


@dataclass(frozen=True)
class Standing:
    """How a learner stands with one exercise: its best state, and at which try it was right first (0: never).

    slipped : it was right once, and the last answer since, in practice or a warm-up, was wrong
    """

    exercise: object
    state: str = NOT_TRIED
    right_at: int = 0
    slipped: bool = False

    @property
    def done(self):
        """Right, or a guess that is recorded."""
        return self.state in (RIGHT, RECORDED)

    @property
    def sign(self):
        """One letter for a row of them."""
        return DONE if self.done else OPEN if self.state == NOT_TRIED else HALF

    @property
    def repeat(self):
        """Why it is worth repeating; empty where it is not."""
        if self.state == NOT_YET:
            return NOT_RIGHT
        if self.slipped:
            return LATER
        return f"right at try {self.right_at}" if self.right_at >= MANY_TRIES else ""


def standings(attempts, exercises):
    """How the learner of these attempts stands with each of some exercises, in their order."""
    answered = {}
    for attempt in attempts:
        if attempt.raw and attempt.state != NOT_TRIED:
            answered.setdefault(attempt.exercise, []).append(attempt)
    return [_standing(one, answered.get(one.id, [])) for one in exercises]


def _standing(exercise, answers):
    mine = [one.state for one in answers if (one.practice, one.revision) == (0, exercise.revision)]
    if not mine:
        return Standing(exercise)
    best = asking.best_of(mine)
    right_at = mine.index(RIGHT) + 1 if RIGHT in mine else 0
    last = answers[-1]
    return Standing(exercise, best, right_at, best == RIGHT and last.practice > 0 and last.state == NOT_YET)


class Card:
    """The progress of whoever is the learner of the notebook now. Shown live; `print` tells it."""

    def __init__(self, name=""):
        self.name, self._widget = name, None
        asking.cards_on_screen.add(self)

    def lines(self):
        """What it says now: pairs of a head and its words."""
        learner = asking.current_learner()
        if not learner.key:
            return [("", NOBODY)]
        attempts = store().attempts(learner)
        return _of_lesson(self.name, attempts) if self.name else _of_course(attempts)

    def refresh(self):
        """Show what holds now, where it is on screen."""
        if self._widget is not None:
            self._widget.value = _page(self.lines())

    def _repr_mimebundle_(self, include=None, exclude=None):
        return {**self.widget._repr_mimebundle_(), "text/plain": ABOUT}

    @property
    def widget(self):
        """What stands on screen."""
        if self._widget is None:
            import ipywidgets as widgets

            self._widget = widgets.HTML()
            self._widget.of_card = self  # it lives as long as what shows it
        self.refresh()
        return self._widget

    def __repr__(self):
        return "\n".join(": ".join(filter(None, line)) for line in self.lines())


def _of_lesson(name, attempts):
    inner, outer = _both(name, attempts)
    lines = [("Core", f"{_signs(inner)} {_count(inner)}")]
    if outer:
        lines.append(("More", f"{_signs(outer)} {_count(outer)}"))
    everything = [*inner, *outer]
    first = [one for one in everything if one.right_at == 1]
    still = [one for one in inner if one.state == NOT_TRIED]
    lines.append(("Right at the first try", _titles(first) if first else ""))
    lines.append(("Open in the core", _titles(still) if still else ""))
    lines.append(("To repeat", _reasons(everything)))
    return [line for line in lines if line[1]]


def _of_course(attempts):
    lines, everything, following = [], [], ""
    for known in LESSONS:
        inner, outer = _both(known.name, attempts)
        everything += [*inner, *outer]
        more = f"; more: {_count(outer)}" if any(one.state != NOT_TRIED for one in outer) else ""
        lines.append((known.heading, f"{_signs(inner)} {_count(inner)}{more}"))
        if not following and not all(one.done for one in inner):
            still = next(one for one in inner if not one.done)
            following = f"lesson {known.heading}, '{still.exercise.title}'"
    first = sum(one.right_at == 1 for one in everything)
    lines.append(("Right at the first try", str(first) if first else ""))
    lines.append(("To repeat", _reasons(everything)))
    lines.append(("Next", following or "the core of every lesson is done"))
    return [line for line in lines if line[1]]


def _both(name, attempts):
    """How a learner stands with the core of a lesson, and with the rest, as the game in force has them."""
    there = offered.exercises(name)
    in_core = {found.id for found in map(offered.in_place_of, core.exercises(name)) if found}
    stand = standings(attempts, there)
    return [one for one in stand if one.exercise.id in in_core], [
        one for one in stand if one.exercise.id not in in_core
    ]


def _signs(stand):
    return "".join(one.sign for one in stand)


def _count(stand):
    return f"{sum(one.done for one in stand)} of {len(stand)} done"


def _titles(stand):
    return " · ".join(one.exercise.title for one in stand)


def _reasons(stand):
    return " · ".join(f"{one.exercise.title} ({one.repeat})" for one in stand if one.repeat)


def _page(lines):
    """Lines as HTML; the signs are for the eye alone, since the count says the same."""
    rows = []
    for head, words in lines:
        signs = words.partition(" ")[0] if words[:1] in (DONE, HALF, OPEN) else ""
        shown = f"<span aria-hidden='true' style='letter-spacing:2px'>{signs}</span>" if signs else ""
        bold = f"<strong>{html.escape(head)}:</strong> " if head else ""
        rows.append(f"<p style='margin:0 0 2px 0'>{bold}{shown}{html.escape(words.removeprefix(signs))}</p>")
    style = "color:var(--jp-content-font-color1);line-height:1.45;max-width:46em;padding:4px 10px"
    style += ";border-left:5px solid var(--jp-border-color1)"
    return f"<div style='{style}'>{''.join(rows)}</div>"


def progress(name=""):
    """Show how far this notebook's learner is, in one lesson or in all, as the last line of a cell."""
    if name:
        lesson(name)  # a sentence where there is none of that name
    return Card(name)


__all__ = ["Card", "Standing", "progress", "standings"]

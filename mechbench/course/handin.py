"""Handing in: a learner's answers as one file for the mentor, and the grades made again from it.

    hand_in("motors")          the button in a notebook, with the progress card of the lesson
    write(learner)             write the file and give its path
    read(path)                 read one from anywhere; HandInError says in a sentence why not
    regrade(handin)            the grades, made again from what was typed
    command(arguments)         the command `handin NAME`

The file holds the name as typed, the answers, hints, and times to the minute; nothing about the computer or the
account. It is feedback, not an examination: the solutions come with the course.
"""

import html
import os
from dataclasses import dataclass
from pathlib import Path

from mechbench.command_line import Parser
from mechbench.course import former_kit, progress, registry
from mechbench.course.exercise import Challenge
from mechbench.course.grading import RIGHT, grade_posed
from mechbench.course.handin_file import HandIn, HandInError, called, read, showable, text_of
from mechbench.course.learner_numbers import pose
from mechbench.course.nickname import owner
from mechbench.course.posed_numbers import FAULTS, asked_with, is_fixed, own_kit, posed_again, question
from mechbench.course.robot_notes import is_note
from mechbench.desk.safe_write import write_new
from mechbench.kits import kit as kit_in_force

NOT_GRADED = "not graded"
MOST_KNOWN = 200_000  # grades that are kept for the hand-ins to come
LONGEST_IN_NAME = 30
ABOUT = (
    "Your hand-in is one file for your mentor. It holds your nickname, your answers, the hints you opened and the "
    "times to the minute. It holds nothing about this computer."
)


@dataclass(frozen=True)
class Regraded:
    """One attempt with the grade that the typed answer earns; `state` is "not graded" where `note` says why.

    from_file : the numbers that were asked are known from the file alone
    """

    attempt: progress.Attempt
    state: str
    slip: str = ""
    note: str = ""
    from_file: bool = False


def write(learner, folder=None):
    """Write a learner's answers into a new file in a folder (the current one), which is made where it is not there, and
    give its path.

    A file that is there already is never touched. HandInError says in a sentence why nothing could be written.
    """
    place = Path(folder if folder is not None else os.curdir)
    try:
        attempts = progress.store().attempts(learner, strict=True)
    except progress.ProgressError as error:
        raise HandInError(str(error)) from error
    if not any(attempt.raw and not is_note(attempt) for attempt in attempts):  # hints alone are no answers
        raise HandInError("There is nothing to hand in yet: answer an exercise first.")
    stem = f"handin_{_for_a_file_name(learner.key)}_{progress.now()[:10]}"
    try:
        place.mkdir(parents=True, exist_ok=True)
        return write_new(place / f"{stem}.json", text_of(learner, attempts))
    except OSError as error:
        raise HandInError(
            f"No file could be written in {place.absolute()} ({error.strerror}): name another folder."
        ) from error


def _for_a_file_name(key):
    # Letters and digits only: whatever else stands in a name could be a part of a path.
    kept = "".join(mark if mark.isalnum() else "-" for mark in key[:LONGEST_IN_NAME])
    return "-".join(filter(None, kept.split("-"))) or ("learner" if key else "book")


def regrade(handin, kits=(), known=None):
    """Grade every attempt of a hand-in again, from the typed answer and the numbers that were asked.

    kits : the kits that the class worked with; the one in force when they are left out. They, and the course's own, say
        which numbers were asked; of another kit the numbers that stand with the answer are taken, if they could be. An
        answer without numbers, of the first edition, needs its kit.
    known : a dict that keeps grades from one hand-in to the next, so that one and the same answer to the same numbers
        is graded once for a whole class
    """
    known = {} if known is None else known
    kits = {kit.digest: kit for kit in [*(kits or [kit_in_force()]), own_kit()]}
    posed, grades = {}, {}
    graded = []
    for attempt in handin.attempts:
        asked = (attempt.exercise, attempt.revision, attempt.kit_digest, attempt.practice, attempt.posed_digest)
        if asked not in posed:
            unknown = attempt.exercise in handin.unknown
            posed[asked] = (_unknown(attempt), False) if unknown else _posed(attempt, handin.key, kits)
        answer = (asked, attempt.raw, attempt.state)
        if answer not in grades:
            grades[answer] = _graded(attempt, *posed[asked], kits, known)
        graded.append(Regraded(attempt, *grades[answer], from_file=posed[asked][1]))
    return graded


def _unknown(attempt):
    # The nearest name is not looked for: a stranger's file may hold thousands of them.
    return f"'{showable(attempt.exercise, 40)}' is no exercise of this edition."


def _posed(attempt, key, kits):
    """Give the exercise as it was posed, or a sentence that says why that cannot be done; and whether only the file
    has these numbers.
    """
    try:
        if attempt.posed_digest:
            return posed_again(attempt, key, kits)
        exercise = registry.exercise(attempt.exercise, attempt.revision)
        kit = asked_with(attempt.kit_digest, kits)
        if kit or is_fixed(exercise):
            return pose(exercise, key, attempt.practice, kit), False
    except ValueError as error:
        return str(error), False
    return f"It was made with {_another_kit(attempt, kits)}: grade it with that kit.", False


def _another_kit(attempt, kits):
    return f"another kit ({showable(attempt.kit_digest, 20)}, not {next(iter(kits))})"


def _graded(attempt, posed, from_file, kits, known):
    if isinstance(posed, str):
        return NOT_GRADED, "", posed
    try:
        state, slip = _grade(posed, attempt.raw, known)
    except FAULTS as fault:
        if not from_file:
            raise
        return NOT_GRADED, "", f"{attempt.exercise} could never have asked these numbers: {fault}"
    if state != attempt.state and state != RIGHT and not _same_parts(attempt, posed, kits):
        return NOT_GRADED, "", _of_other_parts(attempt, kits)
    return state, slip, ""


def _of_other_parts(attempt, kits):
    if former_kit.kit(attempt.kit_digest):
        return "Its parts are of the course's kit of an earlier edition, which is gone: read the answer itself."
    return f"Its parts are of {_another_kit(attempt, kits)}: grade it with that kit."


def _same_parts(attempt, posed, kits):
    """Tell whether a design is judged by the numbers of its own kit here. Where it is not, only what is right here too,
    or wrong here too, is certain.
    """
    if not isinstance(posed.exercise, Challenge) or attempt.kit_digest in kits:
        return True
    return question(posed, attempt.raw).digest == attempt.posed_digest


def _grade(posed, raw, known):
    """State and slip."""
    asked = posed.exercise.id, posed.exercise.revision, posed.parts.digest
    answer = (*asked, *vars(posed.si).values(), *posed.order, raw)
    if answer not in known:
        if len(known) >= MOST_KNOWN:
            known.clear()
        grade = grade_posed(posed, raw)
        known[answer] = grade.state, grade.slip
    return known[answer]


# --- the button and the command ------------------------------------------------------------------------------------


class HandInForm:
    """What the file will hold, the progress card, one button, and where the file is; elsewhere than on screen the
    first sentence only.
    """

    def __init__(self, learner, lesson=""):
        import ipywidgets as widgets

        from mechbench.benches.page import FOCUS
        from mechbench.course.card import Card

        self.learner = learner
        narrow = widgets.Layout(width="auto", align_self="flex-start")
        self.button = widgets.Button(description="Make my hand-in file", layout=narrow)
        self.button.on_click(lambda _: self.press())
        self.told = widgets.HTML()
        about = _on_screen(f"Hand-in of {owner(learner)}. {ABOUT}")
        card = Card(lesson).widget
        self.widget = widgets.VBox([widgets.HTML(FOCUS + about), card, self.button, self.told])
        self.widget.add_class("mechbench-focus")

    def press(self):
        """Write the file beside the notebook and say where it is, or why there is none."""
        from mechbench.course.ask import current_learner

        now_for = current_learner()
        if now_for.key != self.learner.key:
            said = f"This button belongs to {owner(self.learner)}, and the notebook is now for {owner(now_for)}"
            self.told.value = _on_screen(f"{said}: nothing is written. Run its cell again.", "role='status'")
            return
        try:
            # No folder here: a notebook is passed on, and a folder's name often holds the account's.
            said = _written(self.learner, write(self.learner), "beside this notebook")
        except HandInError as error:
            said = str(error)
        self.told.value = _on_screen(said, "role='status'")

    def _repr_mimebundle_(self, include=None, exclude=None):
        return {**self.widget._repr_mimebundle_(), "text/plain": ABOUT}

    def __repr__(self):
        return ABOUT


def _on_screen(text, more=""):
    style = "color:var(--jp-content-font-color1);line-height:1.45;max-width:46em"
    return f"<div {more} style='{style}'>{html.escape(text)}</div>"


def hand_in(lesson=""):
    """Show how far this notebook's learner is, in one lesson or in all, and the button that writes the hand-in beside
    the notebook.
    """
    from mechbench.course.ask import current_learner

    return HandInForm(current_learner(), lesson)


def _written(learner, path, where):
    attempts = [one for one in progress.store().attempts(learner) if one.raw and not is_note(one)]
    count, asked = len(attempts), len({attempt.exercise for attempt in attempts})
    name = f"'{learner.shown}'" if learner.key else "the book learner (no name)"
    return (
        f"Written: {path.name}, with {count} answer{'s' * (count != 1)} by {name} to {asked} "
        f"exercise{'s' * (asked != 1)}. It is {where}; give it to your mentor."
    )


def command(arguments):
    """Do `handin NAME [--to FOLDER]`: write a learner's hand-in and say where; give the exit code."""
    parser = Parser("handin", description="Write one learner's answers into a file.")
    parser.add_argument("name", metavar="NAME", help="the learner's name, as typed in the lessons")
    parser.add_argument("--to", metavar="FOLDER", help="where the file goes; the current folder when left out")
    chosen = parser.parse_args(arguments)
    try:
        learner = progress.store().find(chosen.name)
        if learner is None:
            print(progress.nobody(chosen.name))
            return 1
        path = write(learner, chosen.to)
        print(_written(learner, path, f"in the folder {path.absolute().parent}"))
    except (progress.ProgressError, ValueError) as error:
        print(error)
        return 1
    return 0


__all__ = ["HandIn", "HandInError", "Regraded", "called", "command", "hand_in", "read", "regrade", "write"]

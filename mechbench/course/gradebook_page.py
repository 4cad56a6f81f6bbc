"""The gradebook as one page: what to teach again, how each lesson went, learners by exercises, what was not read.

Contents: page (piece by piece), counted (a Trouble in numbers, as words). How it looks is templates/gradebook.html.
"""

from pathlib import Path

from mechbench.course.exercise import Challenge, Prediction
from mechbench.course.gradebook import has_answer
from mechbench.course.grading import NOT_TRIED, NOT_YET, RECORDED, RIGHT
from mechbench.course.learner_numbers import pose
from mechbench.course.lessons import lesson
from mechbench.course.misconceptions import wrong_path
from mechbench.course.progress import EDITION, now
from mechbench.course.question_text import STATES
from mechbench.desk import printed_page

TEMPLATES = Path(__file__).parent / "templates"
SHOWN_FIRST = 10
MOST_NAMES = 8
MOST_OTHERS = 3
CLASSES = {RIGHT: "right", NOT_YET: "yet", RECORDED: "noted", NOT_TRIED: "none"}
KINDS = {Prediction: "prediction", Challenge: "design"}


def page(book, paths, worst):
    """Give the page; `paths` and `worst` are what wrong_paths and troubles found in the book."""
    posed = {exercise.id: pose(exercise, kit=book.kit) for exercise in book.exercises}
    return printed_page.page(
        TEMPLATES,
        "gradebook",
        title=f"Gradebook, {len(book.learners)} learners",
        facts=_facts(book),
        again=[_one_again(trouble, posed) for trouble in worst[:SHOWN_FIRST]],
        less_often=_less_often(worst[SHOWN_FIRST:], posed),
        lessons=[_lesson_row(book, name, there) for name, there in _by_lesson(book).items()],
        exercises=_exercises(book, paths, posed),
        unread=book.unread,
        odd=book.odd,
        passed_over=book.passed_over,
        grids=_grids(book),
    )


def counted(trouble):
    """Say in words how many took a wrong path, and how many of them are not right yet."""
    took, stuck = len(trouble.took), len(trouble.stuck)
    if took == 1:
        rest = "not right yet" if stuck else "right by now"
    elif stuck in (0, took):
        rest = "none of them has it right yet" if stuck else "all of them have it right by now"
    else:
        rest = f"{stuck} of them {'do' if stuck > 1 else 'does'} not have it right yet"
    return f"{took} of {trouble.answered} learners, {rest}"


def _facts(book):
    kits = ", ".join(f"{kit.name} ({kit.digest})" for kit in book.kits)
    return {
        "Learners": len(book.learners),
        "Not read": len(book.unread),
        "Worth a look": len(book.odd),
        "Made": f"{now().replace('T', ' ').rstrip('Z')} UTC",
        "Kit": kits,
        "Edition": EDITION,
    }


# --- what to teach again -------------------------------------------------------------------------------------------


def _one_again(trouble, posed):
    wrong = _path(trouble, posed)
    return {
        "title": trouble.exercise.title,
        "lesson": lesson(trouble.exercise.lesson).heading,
        "did": wrong.did,
        "say": wrong.say,
        "counted": counted(trouble),
        "stuck": _some(trouble.stuck),
    }


def _less_often(troubles, posed):
    return "; ".join(f"{one.exercise.title} ({_path(one, posed).did}, {len(one.took)})" for one in troubles)


def _path(trouble, posed):
    return wrong_path(posed[trouble.exercise.id], trouble.slip)


def _some(names):
    more = len(names) - MOST_NAMES
    return ", ".join(names[:MOST_NAMES]) + (f" and {more} more" if more > 0 else "")


# --- lessons and exercises -----------------------------------------------------------------------------------------


def _by_lesson(book):
    names = dict.fromkeys(exercise.lesson for exercise in book.exercises)
    return {name: [exercise for exercise in book.exercises if exercise.lesson == name] for name in names}


def _begun(book):
    """The lessons in which somebody answered something; the others would only fill paper."""
    touched = {id for learner in book.learners for id in learner.standings}
    return {name: there for name, there in _by_lesson(book).items() if touched & {exercise.id for exercise in there}}


def _lesson_row(book, name, there):
    asked = [exercise.id for exercise in there if has_answer(exercise)]
    began = [
        learner
        for learner in book.learners
        if any(exercise.id in learner.standings and learner.standings[exercise.id].last for exercise in there)
    ]
    right = [sum(id in learner.standings and learner.standings[id].state == RIGHT for id in asked) for learner in began]
    return {
        "title": lesson(name).heading,
        "began": len(began),
        "exercises": len(asked),
        "right": f"{sum(right)} of {len(asked) * len(began)}" if began else "–",
        "all_right": sum(count == len(asked) for count in right),
    }


def _exercises(book, paths, posed):
    for name, there in _begun(book).items():
        rows = [_exercise_row(exercise, _counts(book, exercise.id), paths[exercise.id], posed) for exercise in there]
        yield {"title": lesson(name).heading, "rows": rows}


def _counts(book, id):
    """How many learners tried an exercise, have it right and opened a hint, and how many tries they took."""
    told = [
        learner.standings[id] for learner in book.learners if id in learner.standings and learner.standings[id].last
    ]
    return {
        "tried": len(told),
        "right": sum(one.state == RIGHT for one in told),
        "tries": sum(one.tries for one in told),
        "hinted": sum(one.hints > 0 for one in told),
    }


def _exercise_row(exercise, counts, here, posed):
    tried, tries = counts["tried"], counts["tries"]
    most = f"{_path(here[0], posed).did} ({len(here[0].took)})" if here else "–"
    others = "; ".join(f"{_path(one, posed).did} ({len(one.took)})" for one in here[1 : 1 + MOST_OTHERS]) or "–"
    row = {
        "title": exercise.title,
        **counts,
        "tries": f"{tries / tried:.1f}" if tried else "–",
        "most": most,
        "others": others,
    }
    return row if has_answer(exercise) else {**row, "right": "recorded", "tries": "–", "hinted": "–"}


# --- learners by exercises -----------------------------------------------------------------------------------------


def _grids(book):
    """A table of learners for each lesson; row by row, for there may be very many."""
    for name, there in _begun(book).items():
        heads = [{"title": exercise.title, "kind": KINDS.get(type(exercise), "")} for exercise in there]
        yield {"title": lesson(name).heading, "heads": heads, "rows": _rows(book, there)}


def _rows(book, there):
    for learner in book.learners:
        yield {"name": learner.name, "cells": [_cell(learner.standings.get(exercise.id)) for exercise in there]}


def _cell(standing):
    """One cell: a sign and a word, with tries and hints below."""
    state = standing.state if standing else NOT_TRIED
    told = []
    if standing and standing.tries:
        told.append(f"{standing.tries} tr{'ies' if standing.tries > 1 else 'y'}")
    if standing and standing.hints:
        told.append(f"{standing.hints} hint{'s' * (standing.hints > 1)}")
    return {"mark": CLASSES[state], "sign": STATES[state].sign, "state": state, "below": ", ".join(told)}

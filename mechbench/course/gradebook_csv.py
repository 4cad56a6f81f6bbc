"""The gradebook as a table for a spreadsheet: one line for each learner and exercise.

Contents: lines, harmless.
"""

import csv
import io

from mechbench.course.grading import NOT_TRIED
from mechbench.course.handin_file import said
from mechbench.course.learner_numbers import pose
from mechbench.course.lessons import lesson
from mechbench.course.misconceptions import wrong_path

HEAD = (
    "learner",
    "lesson",
    "exercise",
    "state",
    "tries",
    "hints",
    "wrong paths taken",
    "last answer",
    "first time (UTC)",
    "last time (UTC)",
    "file",
    "exercise id",
)
# A cell that begins with one of these is run as a formula by spreadsheets; the wide ones count as their narrow twins.
FORMULA = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")


def harmless(text):
    """Give a text as a cell that no spreadsheet takes for a formula; the mark ' in front says "text"."""
    text = said(text)
    return f"'{text}" if text.startswith(FORMULA) else text


def lines(book, separator=","):
    """Give the lines of the table one by one, the head first."""
    yield _line(HEAD, separator)
    asked = [(exercise, lesson(exercise.lesson).heading, pose(exercise, kit=book.kit)) for exercise in book.exercises]
    for learner in book.learners:
        for exercise, heading, posed in asked:
            yield _line(_cells(learner, exercise, heading, posed), separator)


def _cells(learner, exercise, heading, posed):
    standing = learner.standings.get(exercise.id)
    if standing is None:
        row = (NOT_TRIED, 0, 0, "", "", "", "")
    else:
        wrong = "; ".join(wrong_path(posed, slip).did for slip in standing.slips)
        row = (standing.state, standing.tries, standing.hints, wrong, standing.raw, standing.first, standing.last)
    return (learner.name, heading, exercise.title, *row, learner.files[-1], exercise.id)


def _line(cells, separator):
    file = io.StringIO(newline="")
    csv.writer(file, delimiter=separator).writerow(cell if isinstance(cell, int) else harmless(cell) for cell in cells)
    return file.getvalue()

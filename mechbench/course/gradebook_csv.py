"""The gradebook as a table for a spreadsheet: one line for each learner and exercise.

Contents: lines, line, harmless.

Spreadsheets run a cell as a formula where it begins with a sign such as =. A table is opened with whatever separator
the spreadsheet takes, which need not be the one that it was written with: a cell may come apart at each comma,
semicolon or tab in it. So each cell is quoted, and such a sign is made harmless wherever a cell could begin.
"""

import csv
import re
from functools import lru_cache
from types import SimpleNamespace

from mechbench.course.gradebook_alike import MOST_NAMES
from mechbench.course.grading import NOT_TRIED
from mechbench.course.handin_file import said
from mechbench.course.learner_numbers import pose
from mechbench.course.lessons import lesson
from mechbench.course.misconceptions import wrong_path
from mechbench.wording import listed

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
    "answers shared with",
    "file",
    "exercise id",
)
# The signs of a formula and what Unicode holds to be the same sign in another form (wide, small, raised, lowered).
SIGNS = "=+\\-@−＝＋－＠﹦﹢﹣﹫⁼⁺⁻₌₊₋⩵⩶﬩"
# Where a cell could begin, and a sign there; quotes and spaces between the two may be dropped by a spreadsheet.
FORMULA = re.compile(rf"(^|[,;|\t\r\n])([\"\s]*)(?=[{SIGNS}])")


@lru_cache(4096)  # most cells of a table stand in it once for each learner
def harmless(text):
    """Give a text as a cell that no spreadsheet takes for a formula; the mark ' in front of a sign says "text"."""
    return FORMULA.sub(r"\1\2'", said(text))


def lines(book, separator=","):
    """Give the lines of the table one by one, the head first."""
    yield line(HEAD, separator)
    asked = [(exercise, lesson(exercise.lesson).heading, pose(exercise, kit=book.kit)) for exercise in book.exercises]
    for learner in book.learners:
        for exercise, heading, posed in asked:
            shared = listed(book.same_answers.get((learner.name, exercise.id), ()), MOST_NAMES)
            yield line((*_cells(learner, exercise, heading, posed), shared, learner.files[-1], exercise.id), separator)


def _cells(learner, exercise, heading, posed):
    standing = learner.standings.get(exercise.id)
    if standing is None:
        row = (NOT_TRIED, 0, 0, "", "", "", "")
    else:
        wrong = "; ".join(wrong_path(posed, slip).did for slip in standing.slips)
        row = (standing.state, standing.tries, standing.hints, wrong, standing.raw, standing.first, standing.last)
    return (learner.name, heading, exercise.title, *row)


# A file that gives back what is written into it, so that a line is had as a text.
_ECHO = SimpleNamespace(write=lambda text: text)


def line(cells, separator=","):
    """Give one line of the table; numbers are ours and stay numbers, texts may be anybody's."""
    writer = csv.writer(_ECHO, delimiter=separator, quoting=csv.QUOTE_ALL)
    return writer.writerow(harmless(cell) if isinstance(cell, str) else cell for cell in cells)

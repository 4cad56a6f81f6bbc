"""Lessons show what they name: a drawing with the names of the parts under "The picture"."""

import re

import pytest

from mechbench.course import notebook
from mechbench.course.lessons import LESSONS, ROOT
from tests.house.notebook_rules import calls

# Lessons that have no such drawing yet. The list may only get shorter.
LACKING = {"start_here", "power", "cycle"}
PICTURE = "The picture"


def drawings(cells):
    """The heading under which each mb.labelled of a notebook stands."""
    heading, found = "", []
    for cell in cells:
        heads = re.findall(r"^## (.*)$", cell["source"], re.MULTILINE) if cell["cell_type"] == "markdown" else []
        heading = heads[-1] if heads else heading
        found += [heading for _ in calls(cell, "labelled")] if cell["cell_type"] == "code" else []
    return found


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda lesson: lesson.name)
def test_a_lesson_draws_what_it_names_under_the_picture(lesson):
    found = drawings(notebook.read(ROOT / "solutions" / f"{lesson.stem}.ipynb")["cells"])
    assert (PICTURE in found) == (lesson.name not in LACKING), "take it off LACKING once it has its drawing"


def test_the_heading_is_that_above_the_cell():
    cells = [
        notebook.markdown("a-1", "# A\n\n## The picture\n\nWords."),
        notebook.code("a-2", 'mb.labelled("intake")'),
        notebook.markdown("a-3", "### More\n\n## Exercises"),
        notebook.code("a-4", 'mb.labelled("intake")\nmb.labelled("intake", "friction angle")'),
    ]
    assert drawings(cells) == [PICTURE, "Exercises", "Exercises"]

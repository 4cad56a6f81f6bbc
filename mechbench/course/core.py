"""Which exercises are the core of a lesson: those that its notebook asks before the part "More".

exercises("motors")    the exercises of its core, in the registry's order
"""

from functools import cache

from mechbench.course import lesson_template, registry
from mechbench.course.lessons import lesson, lesson_of, sources
from mechbench.course.notebook import calls, read


def exercises(name):
    """The exercises of a lesson's core, in the order in which the course has them; none where no notebook is there."""
    asked = _asked_by(lesson(name).stem)
    return tuple(one for one in registry.exercises(name) if one.id in asked)


@cache
def _asked_by(stem):
    """The ids of what the notebook of a lesson asks in its core."""
    found = [lesson_of(source) for source in sources() if source.stem == stem]
    return frozenset(id for path in found for id in _asked_first(read(path)["cells"]))


def _asked_first(cells):
    """The ids of what is asked before "More"."""
    for cell in cells:
        if cell["source"].startswith(f"## {lesson_template.MORE}"):
            return
        if cell["cell_type"] == "code":
            yield from calls(cell, "ask")

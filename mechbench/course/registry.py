"""Finding exercises: by lesson or by id. A lesson's file in exercises/ is loaded when it is first asked for.

Contents: lessons, exercises, stand_ins, everything, exercise, prefix.
"""

import importlib
import pkgutil
from functools import cache

from mechbench.course import exercises as _folder
from mechbench.course.lessons import NAMES
from mechbench.wording import nearest, quoted, shortened


@cache
def lessons():
    """The names of the lessons that have exercises, in the order of the course."""
    there = {found.name for found in pkgutil.iter_modules(_folder.__path__)}
    return tuple(lesson for lesson in NAMES if lesson in there)


@cache
def prefix(lesson):
    """What the ids of a lesson's exercises begin with."""
    return lesson.replace("_", "-") + "-"


def _module(lesson):
    return importlib.import_module(f"{_folder.__name__}.{lesson}")


def _of(lesson):
    return _module(lesson).EXERCISES


def exercises(lesson=None):
    """All exercises, or those of one lesson, in the order in which they are asked.

    >>> [exercise.lesson for exercise in exercises("start_here")][:2]
    ['start_here', 'start_here']
    """
    if lesson is None:
        return tuple(exercise for known in lessons() for exercise in _of(known))
    if lesson not in lessons():
        raise ValueError(f"{quoted(lesson)} is no lesson with exercises; {nearest(lesson, lessons())}")
    return tuple(_of(lesson))


@cache
def stand_ins(lesson):
    """The exercises of a lesson that are asked only where a game lacks what another one is about."""
    return tuple(getattr(_module(lesson), "STAND_INS", ()))


def everything():
    """All exercises that may be asked, with any kit."""
    return tuple(exercise for lesson in lessons() for exercise in (*_of(lesson), *stand_ins(lesson)))


def exercise(id, revision=None):
    """The exercise of that id, as it is asked now or as it was in an older revision."""
    likely = [lesson for lesson in lessons() if str(id).startswith(prefix(lesson))]
    found = next((known for lesson in likely for known in (*_of(lesson), *stand_ins(lesson)) if known.id == id), None)
    if found is None:
        raise ValueError(f"{quoted(id)} is no exercise; {nearest(id, [known.id for known in exercises()])}")
    if revision in (None, found.revision):
        return found
    for older in found.earlier:
        if older.revision == revision:
            return older
    raise ValueError(
        f"revision={shortened(revision)} of {id} is not known here, where {found.revision} is the newest; "
        "it was made with another edition of the course."
    )

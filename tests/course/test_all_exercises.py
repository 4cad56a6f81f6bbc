"""Every row of every exercise of every lesson, with the course's own kit and with another one.

New exercises need no test of their own: whatever stands in mechbench/course/exercises/ is taken up here.
"""

import importlib
import pkgutil
from pathlib import Path

import pytest

from mechbench.catalog import NAMES
from mechbench.course import exercises as folder
from mechbench.course import registry
from mechbench.course.vetting import problems
from tests.course.samples import KITS

EXERCISES = registry.everything()
FEWEST = 5
FEWEST_KINDS = 3


@pytest.mark.parametrize("kit", KITS.values(), ids=KITS)
@pytest.mark.parametrize("exercise", EXERCISES, ids=lambda exercise: exercise.id)
def test_every_row(exercise, kit):
    assert problems(exercise, kit) == []


@pytest.mark.parametrize("kit", KITS.values(), ids=KITS)
def test_every_row_of_older_revisions(kit):
    assert [sentence for exercise in EXERCISES for older in exercise.earlier for sentence in problems(older, kit)] == []


def test_ids_are_there_once():
    ids = [exercise.id for exercise in EXERCISES]
    assert len(set(ids)) == len(ids)


def test_every_file_is_a_lesson_and_holds_its_own_exercises():
    """Or another mechanism's, which a lesson asks besides its own."""
    files = {found.name for found in pkgutil.iter_modules(folder.__path__)}
    assert files and files > set(registry.lessons())
    for other in files - set(registry.lessons()):
        asked = importlib.import_module(f"{folder.__name__}.{other}").EXERCISES
        known = {exercise.id for exercise in registry.exercises()}
        assert other in NAMES and asked and {exercise.id for exercise in asked} <= known
    for lesson in registry.lessons():
        assert {exercise.lesson for exercise in registry.exercises(lesson)} == {lesson}


@pytest.mark.parametrize("lesson", registry.lessons())
def test_a_lesson_has_enough_exercises_of_several_kinds(lesson):
    there = registry.exercises(lesson)
    assert len(there) >= FEWEST
    assert len({type(exercise) for exercise in there}) >= FEWEST_KINDS
    assert sum(exercise.short for exercise in there) >= 3, "later lessons warm up with them"


def test_exercises_name_nothing_outside_the_course():
    for path in Path(folder.__path__[0]).glob("*.py"):
        text = path.read_text(encoding="utf-8").lower()
        assert "http" not in text and "www." not in text, path.name

"""The core of each lesson: five exercises and what is guessed before, as its notebook asks them."""

import pytest

from mechbench.course import core, registry
from mechbench.course.exercise import Challenge, Prediction
from mechbench.course.lessons import NAMES


@pytest.mark.parametrize("lesson", NAMES)
def test_a_core_has_at_least_one_guess_and_five_exercises(lesson):
    """The five: as every lesson's plan has them; a design and a measurement stand apart."""
    found = core.exercises(lesson)
    guesses = [one for one in found if isinstance(one, Prediction)]
    assert guesses and len(found) - len(guesses) == 5
    assert not [one for one in found if isinstance(one, Challenge) or getattr(one, "shop", None)]
    assert list(found) == [one for one in registry.exercises(lesson) if one in found]


def test_the_core_of_two_lessons_read_by_hand():
    names = {
        lesson: [one.id.removeprefix(f"{lesson}-") for one in core.exercises(lesson)] for lesson in ("motors", "cycle")
    }
    assert sorted(names["motors"]) == ["burns", "current", "heat-order", "line", "most-power", "power"]
    assert sorted(names["cycle"]) == ["mean", "overlap", "pieces", "quicker-lift", "second", "which-step"]

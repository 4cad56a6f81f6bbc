"""Exercises as data, the registry that finds them, and revisions."""

from dataclasses import FrozenInstanceError, replace

import pytest

from mechbench.course import registry
from mechbench.course.exercise import Quantity
from mechbench.course.grading import grade
from mechbench.course.learner_numbers import pose
from mechbench.course.lessons import NAMES
from mechbench.course.question_text import statement
from tests.course.samples import ALL, CHALLENGE, CHOICE, KITS, ORDER, SHOP, TORQUE


def test_an_exercise_cannot_be_changed():
    with pytest.raises(FrozenInstanceError):
        TORQUE.text = "another"


def test_rows_are_a_list_or_a_function_of_the_kit():
    made = replace(TORQUE, rows=lambda kit: [{"mass": (kit.roles.piece.mass, "kg"), "out": (30, "cm")}])
    assert TORQUE.table(KITS["own"]) == list(TORQUE.rows)
    masses = {name: pose(made, kit=kit).si.mass for name, kit in KITS.items()}
    assert (
        masses == {name: pytest.approx(kit.roles.piece.mass) for name, kit in KITS.items()}
        and len(set(masses.values())) == 2
    )


def test_fields_are_named_so_that_none_can_be_mixed_up():
    with pytest.raises(TypeError):
        Quantity("arm-x", "arm")


# --- statement -----------------------------------------------------------------------------------------------------


def test_statement_of_a_quantity():
    assert (
        statement(pose(TORQUE)) == "A sample [arm-sample-torque]\n"
        "A mass of 2 kg sits 30 cm out; what torque does it give, forwards counted positive?\n"
        "Answer with a torque, in N·m or another unit. Up to 3 % off counts as right."
    )


def test_statement_of_a_choice_and_an_order_has_letters():
    assert "  a) the brake\n  b) the worm\n  c) hope\nChoose one." in statement(pose(CHOICE))
    lines = statement(pose(ORDER)).splitlines()
    assert [line[:5] for line in lines[2:6]] == ["  a) ", "  b) ", "  c) ", "  d) "] and "from short to long" in lines[
        6
    ]


def test_statement_of_a_challenge_says_what_may_be_set():
    told = statement(pose(CHALLENGE))
    assert (
        f"motor (Motor): {', '.join(KITS['own'].table('motors').names)}\n" in told
        and "start_rise (Warm already by): 0 to 90 K" in told
    )
    assert "on a good day and on a bad day" in told


def test_statement_of_a_shop_says_where_the_readings_are():
    assert 'data = mb.readings("arm-sample-shop")' in statement(pose(SHOP))


@pytest.mark.parametrize("exercise", ALL, ids=lambda exercise: exercise.id)
def test_statements_differ_by_name_where_there_are_numbers(exercise):
    told = {statement(pose(exercise, f"name {i}", kit=KITS["own"])) for i in range(20)}
    has_own = len(exercise.table(KITS["own"])) > 1 and "{" in exercise.text or exercise in (CHOICE, ORDER)
    assert len(told) > 1 if has_own else len(told) == 1


# --- registry ------------------------------------------------------------------------------------------------------


def test_lessons_are_in_the_order_of_the_course():
    there = registry.lessons()
    assert there and list(there) == [lesson for lesson in NAMES if lesson in there]


def test_an_exercise_is_found_by_its_id_and_an_unknown_id_is_answered_with_the_nearest():
    assert registry.exercise("start-here-lever").title == "Pull on a lever"
    with pytest.raises(ValueError, match="did you mean 'start-here-lever'"):
        registry.exercise("start-here-levr")
    with pytest.raises(ValueError, match="is no exercise"):
        registry.exercise("zzzz")
    with pytest.raises(ValueError, match="did you mean 'start_here'"):
        registry.exercises("start_her")


def test_asking_for_one_lesson_loads_no_other(tmp_path):
    import subprocess
    import sys

    code = (
        "import sys; from mechbench.course import registry; registry.exercise('start-here-lever'); print([m for m in"
        " sys.modules if m.startswith('mechbench.course.exercises.')])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.stdout.strip() == "['mechbench.course.exercises.start_here']", done.stderr


# --- revisions -----------------------------------------------------------------------------------------------------


def test_an_older_revision_stays_gradeable(monkeypatch):
    """The formula and the rows changed; an answer to the old question is judged by the old ones."""
    old = replace(TORQUE, id="start-here-torque", lesson="start_here")
    new = replace(
        old, revision=2, rows=tuple({**row, "out": (2 * row["out"][0], "cm")} for row in old.rows), earlier=(old,)
    )
    monkeypatch.setattr(registry, "_of", lambda lesson: (new,))
    assert registry.exercise("start-here-torque") is new and registry.exercise("start-here-torque", 1) is old
    answer = f"{old.answer(pose(old, 'ana').si):.4g} N·m"
    assert grade(registry.exercise("start-here-torque", 1), "ana", answer).state == "right"
    assert grade(new, "ana", answer).state == "not yet"
    with pytest.raises(ValueError, match="revision=7 of start-here-torque is not known here, where 2 is the newest"):
        registry.exercise("start-here-torque", 7)

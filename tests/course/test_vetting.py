"""The check of exercises can fail: every fault that it looks for is planted once and found."""

from dataclasses import replace

import pytest

from mechbench.course.exercise import Item, Option, Shown, Slip
from mechbench.course.vetting import problems
from tests.course.samples import ALL, CHALLENGE, CHOICE, GUESS, KITS, ORDER, PREDICTION, SHOP, TORQUE

KIT = KITS["own"]


@pytest.mark.parametrize("exercise", ALL, ids=lambda exercise: exercise.id)
def test_a_good_exercise_has_no_problems(exercise):
    assert problems(exercise, KIT) == []


def _slips(*more):
    return (*TORQUE.slips, *(Slip(name, formula, words) for name, formula, words in more))


def _made(kit):
    return list(TORQUE.rows)


def test_an_older_revision_may_make_its_rows_from_the_kit_too():
    old = replace(TORQUE, rows=lambda kit: list(TORQUE.rows))
    assert problems(replace(TORQUE, rows=_made, revision=2, earlier=(old,)), KIT) == []


PLANTED = {
    "lesson unknown": (replace(TORQUE, lesson="algebra"), "lesson='algebra' is none of"),
    "id of another lesson": (replace(TORQUE, id="lift-sample"), "its id must be"),
    "id in capitals": (replace(TORQUE, id="arm-Sample"), "its id must be"),
    "revision": (replace(TORQUE, revision=0), "revision=0 must be"),
    "too few hints": (replace(TORQUE, hints=("One.",)), "it has 1 hints"),
    "no explanation": (replace(TORQUE, explain=" "), "explain is empty"),
    "older revision not frozen": (
        replace(TORQUE, revision=2, earlier=(replace(TORQUE, rows=lambda kit: []),)),
        "rows as a plain list",
    ),
    "older revision with today's rows": (
        replace(TORQUE, rows=_made, revision=2, earlier=(replace(TORQUE, rows=_made),)),
        "by a function of its own",
    ),
    "older revision not older": (replace(TORQUE, earlier=(TORQUE,)), "has a lower revision"),
    "too few rows": (replace(TORQUE, rows=TORQUE.rows[:2]), "it has 2 rows"),
    "a row twice": (replace(TORQUE, rows=(*TORQUE.rows, TORQUE.rows[0])), "two of its rows are the same"),
    "row without a name": (replace(TORQUE, rows=(*TORQUE.rows, {"mass": (7, "kg")})), "its names differ"),
    "rounding tie": (
        replace(TORQUE, rows=(*TORQUE.rows, {"mass": (1.2345, "kg"), "out": (30, "cm")})),
        "in the middle of two numbers",
    ),
    "unit of a row unknown": (
        replace(TORQUE, rows=(*TORQUE.rows, {"mass": (7, "stone"), "out": (30, "cm")})),
        "'stone' is not in the table",
    ),
    "unknown number in a hint": (replace(TORQUE, hints=("See {force}.", "So.")), "asks for {force}"),
    "kit without the part": (
        replace(TORQUE, rows=lambda kit: [{"mass": kit.table("lasers")}]),
        "its rows can't be made",
    ),
    "hint tells": (replace(TORQUE, hints=("It is -5.886.", "So.")), "tells the answer"),
    "hint tells, rounded": (replace(TORQUE, hints=("It is near -5.89 N·m.", "So.")), "tells the answer"),
    "feedback tells": (replace(TORQUE, slips=_slips(("x", lambda r: 4.0, "No, -5.89 N·m."))), "tells the answer"),
    "question tells": (replace(TORQUE, text="Is it -5.886 N·m with {mass} and {out}?"), "tells the answer"),
    "wrong unit": (replace(TORQUE, unit="N"), "unit='N' is none of"),
    "answer 0": (replace(TORQUE, answer=lambda r: 0.0), "its answer is 0.0"),
    "answer nan": (replace(TORQUE, answer=lambda r: float("nan")), "its answer is nan"),
    "no slips": (replace(TORQUE, slips=()), "it has no slips"),
    "slip near the answer": (
        replace(TORQUE, slips=_slips(("g = 10.5", lambda r: -10.5 * r.mass * r.out, "g."))),
        "'g = 10.5' is 6.6 % from the answer",
    ),
    "slips near each other": (
        replace(TORQUE, slips=_slips(("a", lambda r: -r.mass * r.out * 1.05, "a."))),
        "'a' and 'mass for weight' are too near",
    ),
    "slip of the same name": (replace(TORQUE, slips=(*TORQUE.slips, TORQUE.slips[0])), "two slips have the same name"),
    "slip infinite": (replace(TORQUE, slips=_slips(("x", lambda r: float("inf"), "x."))), "slip 'x' gives inf"),
    "shop too noisy": (replace(SHOP, tolerance=0.004), "the fit to the readings finds"),
    "two right": (
        replace(CHOICE, options=(*CHOICE.options, Option("glue", "glue", "Yes.", right=True))),
        "2 of its options are right",
    ),
    "none right": (replace(CHOICE, options=CHOICE.options[::2]), "0 of its options are right"),
    "no feedback": (
        replace(CHOICE, options=(*CHOICE.options, Option("glue", "glue"))),
        "option 'glue' has no feedback",
    ),
    "name like a letter": (
        replace(CHOICE, options=(*CHOICE.options, Option("a", "glue", "No."))),
        "the name 'a' must be",
    ),
    "option twice": (
        replace(CHOICE, options=(*CHOICE.options, CHOICE.options[0])),
        "two options or items have the same name",
    ),
    "right prediction": (replace(PREDICTION, options=CHOICE.options), "marked right"),
    "prediction of nothing": (replace(GUESS, unit="m"), "it needs options, or a kind"),
    "prediction shows what is no option": (
        replace(PREDICTION, shows=lambda kit: Shown("sideways", "So.")),
        "the bench shows 'sideways', which is none of its options",
    ),
    "prediction without a reason": (replace(PREDICTION, shows=lambda kit: Shown("faster", " ")), "not why"),
    "reason with an unknown number": (replace(PREDICTION, shows=lambda kit: Shown("faster", "{x}.")), "asks for {x}"),
    "reason with a number that is none": (
        replace(PREDICTION, shows=lambda kit: Shown("faster", "{x}.", {"x": (float("nan"), "s")})),
        "x is nan",
    ),
    "prediction with a bench that breaks": (replace(PREDICTION, shows=lambda kit: kit.table("lasers")), "lasers"),
    "prediction without a kind word": (
        replace(PREDICTION, options=(*PREDICTION.options, Option("stops", "It stops."))),
        "option 'stops' has no feedback",
    ),
    "number shown is none": (replace(GUESS, shows=lambda kit: Shown(float("inf"), "So.")), "the bench shows inf"),
    "item without feedback": (
        replace(ORDER, items=(*ORDER.items, Item("mile", "a mile"))),
        "item 'mile' has no feedback",
    ),
    "too many items": (replace(ORDER, items=(*ORDER.items, *(Item(f"x-{i}", "x", "x") for i in range(3)))), "7 items"),
    "advice missing": (replace(CHALLENGE, advice={"speed": "x"}), "advice is for speed, but the sizing judges current"),
    "fixed and free": (replace(CHALLENGE, choose=("motor", "load_torque")), "both fixed and to be chosen"),
    "fixed but not in the row": (
        replace(CHALLENGE, fixed=("start_rise",), choose=("motor", "count")),
        "no name of the row",
    ),
    "no such input": (replace(CHALLENGE, choose=("motr",)), "'motr' is not an input"),
    "nothing is right": (
        replace(CHALLENGE, rows=tuple({**row, "speed_wanted": (6900, "rpm")} for row in CHALLENGE.rows)),
        "no answer is right",
    ),
    "nothing is wrong": (
        replace(
            CHALLENGE,
            choose=("motor", "count"),
            rows=tuple(
                {**row, "load_torque": (i / 1e4, "N·m"), "speed_wanted": (9, "rpm")}
                for i, row in enumerate(CHALLENGE.rows, 1)
            ),
        ),
        "no answer is wrong",
    ),
}


@pytest.mark.parametrize("fault", PLANTED)
def test_a_planted_fault_is_found(fault):
    exercise, words = PLANTED[fault]
    found = problems(exercise, KIT)
    assert any(words in sentence for sentence in found), found
    assert all(sentence.startswith(f"{exercise.id}: ") for sentence in found)


def test_a_right_answer_that_grading_refuses_is_found(monkeypatch):
    """Were the tolerance lost in grading, every row would say so."""
    from mechbench.course import grading

    monkeypatch.setattr(grading, "_within", lambda value, target, tolerance: value == target)
    found = problems(TORQUE, KIT)
    assert sum("is not graded right" in sentence for sentence in found) > 20


def test_a_sign_that_grading_forgets_is_found(monkeypatch):
    from mechbench.course import grading

    monkeypatch.setattr(
        grading, "_within", lambda value, target, tolerance: abs(abs(value) - abs(target)) <= tolerance * abs(target)
    )
    assert any("is graded right, but the answer is" in sentence for sentence in problems(TORQUE, KIT))


def test_a_hint_may_repeat_a_number_of_the_question():
    """A number that the learner sees anyway is no secret, even where it happens to equal the answer."""
    row = {"mass": (2, "kg"), "out": (30, "cm")}
    same = replace(
        TORQUE,
        answer=lambda r: 30.0,
        hints=("Look at {out}.", "So."),
        slips=(Slip("x", lambda r: 3.7, "x."),),
        rows=(row,) * 4,
    )
    assert not any("tells the answer" in sentence for sentence in problems(same, KIT))

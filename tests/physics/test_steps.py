"""What waits for what: orders against brute force, circles named, and a cycle for several pieces by hand."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mechbench.physics.steps import Step, for_pieces, in_order, series, step_mean, step_sd


@given(st.permutations(range(7)), st.lists(st.tuples(st.integers(0, 6), st.integers(0, 6)), max_size=12))
def test_every_step_comes_after_those_it_waits_for(order, pairs):
    waits = {i: {min(pair) for pair in pairs if max(pair) == i and pair[0] != pair[1]} for i in range(7)}
    steps = [Step(str(i), 1.0, after=tuple(str(j) for j in waits[i])) for i in order]
    done = in_order(steps)
    assert sorted(done) == [str(i) for i in range(7)]
    assert all(done.index(str(j)) < done.index(str(i)) for i in range(7) for j in waits[i])


def test_two_jars_by_hand():
    steps = series(
        [
            Step("find", 1.2, each=True),
            Step("grab", 0.5, each=True),
            Step("drive", 2.0),
            Step("line up", 1.5),
            Step("place", 0.4, each=True),
            Step("back", 2.0),
        ]
    )
    assert [(step.name, step.after) for step in for_pieces(steps, 2)] == [
        ("find", ()),
        ("grab", ("find",)),
        ("find (2)", ("grab",)),
        ("grab (2)", ("find (2)",)),
        ("drive", ("grab (2)",)),
        ("line up", ("drive",)),
        ("place", ("line up",)),
        ("place (2)", ("place", "line up")),
        ("back", ("place (2)",)),
    ]
    assert sum(step.time.mean for step in for_pieces(steps, 3)) == pytest.approx(3 * 2.1 + 5.5)
    assert for_pieces(steps, 1) == steps


def test_a_group_that_branches_waits_with_all_of_it():
    steps = [
        Step("find", 1.0, each=True),
        Step("left", 1.0, "find", each=True),
        Step("right", 2.0, "find", each=True),
        Step("drive", 1.0, ("left", "right")),
    ]
    made = {step.name: step.after for step in for_pieces(steps, 2)}
    assert made["find (2)"] == ("left", "right") and made["left (2)"] == ("find (2)",)
    assert made["drive"] == ("left (2)", "right (2)")


def test_groups_that_meet_are_one():
    steps = [Step("a", 1.0, each=True), Step("b", 1.0, each=True), Step("c", 1.0, ("a", "b"), each=True)]
    made = {step.name: step.after for step in for_pieces(steps, 2)}
    assert made["a (2)"] == made["b (2)"] == ("c",)


@given(st.integers(1, 4), st.lists(st.booleans(), min_size=1, max_size=6))
def test_in_a_series_nothing_is_lost(pieces, marks):
    steps = series([Step(str(i), 1.0 + i, each=mark) for i, mark in enumerate(marks)])
    made = for_pieces(steps, pieces)
    assert len(made) == sum(pieces if mark else 1 for mark in marks)
    assert len(in_order(made)) == len(made)


def test_trouble_by_drawing():
    step = Step("grab", (0.3, 0.5, 1.1), trouble=0.2, recovery=(2.0, 6.0, 9.0))
    rng = np.random.default_rng(8)
    times = step.time.at(rng.random(400_000)) + (rng.random(400_000) < 0.2) * step.recovery.at(rng.random(400_000))
    assert step_mean(step) == pytest.approx(times.mean(), rel=0.005)
    assert step_sd(step) == pytest.approx(times.std(), rel=0.005)
    assert step_sd(Step("find", (0.5, 1.0, 3.5))) == pytest.approx(Step("find", (0.5, 1.0, 3.5)).time.sd)
    assert step_mean(Step("sure", 2.0, trouble=1.0, recovery=3.0)) == 5.0
    assert step_sd(Step("sure", 2.0, trouble=1.0, recovery=3.0)) == 0.0


def test_names_may_stand_alone():
    assert Step("place", 0.5, after="drive").after == ("drive",)
    assert Step("place", 0.5, after=["drive", "raise"]).after == ("drive", "raise")


@pytest.mark.parametrize(
    "says, steps",
    [
        ("after of 'lift' is 'lift', but it must not lead back to 'lift'", [Step("lift", 1.0, after="lift")]),
        (
            "after of 'a' is 'c', but it must not lead back to 'a' \\(each waits for the next: a, c, b, a\\)",
            [Step("a", 1.0, "c"), Step("b", 1.0, "a"), Step("c", 1.0, "b")],
        ),
        (
            "after of 'place' is 'drvie', but it must be the name of a step; did you mean 'drive'",
            [Step("drive", 1.0), Step("place", 1.0, "drvie")],
        ),
        (
            "after of 'place' is 'zz', but it must be the name of a step; add that step",
            [Step("drive", 1.0), Step("place", 1.0, "zz")],
        ),
        ("name is 'a' for two steps, but it must be different", [Step("a", 1.0), Step("a", 2.0)]),
        ("steps is empty, but it must be", []),
    ],
)
def test_steps_that_cannot_be_done_are_named(says, steps):
    for ask in (in_order, lambda steps: for_pieces(steps, 2)):
        with pytest.raises(ValueError, match="^" + says + ".*\\.$"):
            ask(steps)


def test_a_circle_behind_good_steps_is_found():
    rest = [Step("x", 1.0, "y"), Step("y", 1.0, "x")]
    for order in itertools.permutations([Step("a", 1.0), Step("b", 1.0, ("a", "x")), *rest]):
        with pytest.raises(ValueError, match="each waits for the next: (x, y, x|y, x, y)"):
            in_order(order)


@pytest.mark.parametrize(
    "name, call",
    [
        ("trouble of 'a'", lambda: Step("a", 1.0, trouble=1.2)),
        ("low", lambda: Step("a", -1.0)),
        ("likely", lambda: Step("a", (2.0, 1.0, 3.0))),
        ("high", lambda: Step("a", 1.0, recovery=(1.0, 2.0, 1.0))),
        ("pieces", lambda: for_pieces([Step("a", 1.0)], 0)),
        ("pieces", lambda: for_pieces([Step("a", 1.0)], 1.5)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} (is|are) .*, but .* must be .*; .*\.$"):
        call()

"""A learner's progress as a card. Counted by hand from answers that are given here one by one."""

import re

import pytest

import mechbench
from mechbench.course import ask as asking
from mechbench.course import card, registry
from mechbench.course.ask import Ask, ask, learner
from mechbench.course.grading import answer_text
from mechbench.course.lessons import LESSONS

CORE = ("most-power", "line", "current", "power", "burns", "heat-order")


@pytest.fixture(autouse=True)
def fresh(tmp_path, monkeypatch):
    """A new progress file, and a notebook in which nobody has said a name."""
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path))
    monkeypatch.setitem(asking._notebook, "learner", None)
    monkeypatch.setattr(asking, "display", lambda note: None)


def right(id, practice=0):
    """Answer an exercise right, as the learner of now."""
    one = Ask(registry.exercise(id), asking.current_learner(), practice)
    one.submit(answer_text(one.posed))


def wrong(id, practice=0, digit="9"):
    """The same with another digit in front."""
    one = Ask(registry.exercise(id), asking.current_learner(), practice)
    one.submit(digit + answer_text(one.posed))


def lines_of(shown):
    return dict(line.partition(": ")[::2] for line in repr(shown).split("\n"))


def title(id):
    return registry.exercise(f"motors-{id}").title


def test_notebooks_call_it_by_one_name():
    assert mechbench.progress is card.progress


def test_without_a_nickname_it_says_what_it_is_for():
    right("motors-line")
    assert repr(card.progress("motors")) == card.NOBODY == repr(card.progress())


def test_a_lesson_worked_half():
    learner("ana")
    ask("motors-most-power").answer("a")
    right("motors-line")
    wrong("motors-current")
    right("motors-current")
    wrong("motors-power")
    told = lines_of(card.progress("motors"))
    assert told["Core"].endswith(" 3 of 6 done")  # the guess, and two that are right
    signs = told["Core"].split(" ")[0]
    assert (signs.count(card.DONE), signs.count(card.HALF), signs.count(card.OPEN)) == (3, 1, 2)
    assert told["Right at the first try"] == title("line")
    assert set(told["Open in the core"].split(" · ")) == {title("burns"), title("heat-order")}
    assert told["To repeat"] == f"{title('power')} (not right yet)"
    more = len(registry.exercises("motors")) - len(CORE)
    assert told["More"].endswith(f" 0 of {more} done")


def test_what_took_many_tries_or_slipped_later_is_worth_repeating():
    learner("ana")
    wrong("motors-line", digit="8")
    right("motors-line")
    assert "To repeat" not in lines_of(card.progress("motors")), "right at the second try"
    wrong("motors-power", digit="7")
    wrong("motors-power", digit="8")
    right("motors-power")
    right("motors-current")
    wrong("motors-current", practice=1)
    again = {f"{title('power')} (right at try 3)", f"{title('current')} (right once, then wrong in a later practice)"}
    assert set(lines_of(card.progress("motors"))["To repeat"].split(" · ")) == again
    right("motors-current", practice=2)
    assert lines_of(card.progress("motors"))["To repeat"] == f"{title('power')} (right at try 3)"


def test_all_lessons_and_what_is_next():
    learner("ana")
    right("motors-line")
    told = lines_of(card.progress())
    assert [head for head in told if head[:2].isdigit()] == [known.heading for known in LESSONS]
    assert told["01 Motors"].endswith(" 1 of 6 done") and told["Right at the first try"] == "1"
    assert told["Next"].startswith(f"lesson {LESSONS[0].heading}, '")


def test_another_learner_sees_nothing_of_it_and_the_file_tells_nobody():
    shown = card.progress("motors")
    live = shown.widget
    learner("ana")
    right("motors-line")
    assert "1 of 6 done" in live.value
    learner("bo")
    assert "0 of 6 done" in live.value and "ana" not in live.value
    assert shown._repr_mimebundle_()["text/plain"] == card.ABOUT


def test_signs_are_for_the_eye_alone():
    learner("ana")
    live = card.progress("motors").widget.value
    assert re.search(rf"<span aria-hidden='true'[^>]*>{card.OPEN}+</span> 0 of 6 done", live)


def test_the_hand_in_holds_it():
    learner("ana")
    form = mechbench.hand_in("motors")
    right("motors-line")
    assert any("1 of 6 done" in getattr(part, "value", "") for part in form.widget.children)


def test_an_unknown_lesson_is_a_sentence():
    with pytest.raises(ValueError, match="'motor' is no lesson yet"):
        card.progress("motor")


def test_words_are_text():
    assert "&lt;b&gt;:</strong> a &amp; b" in card._page([("<b>", "a & b")])

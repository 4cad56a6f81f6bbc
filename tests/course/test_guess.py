"""A guess before sliding comes back after the bench: what is said, to whom, and when."""

from dataclasses import replace

import pytest

import mechbench
from mechbench.course import ask as asking
from mechbench.course import guess, registry
from mechbench.course.ask import ask
from mechbench.course.exercise import Shown
from mechbench.course.guess import your_guess
from mechbench.course.learner_numbers import pose
from mechbench.course.prediction import told
from mechbench.course.progress import store
from tests.course.samples import ALL, GUESS, PREDICTION

ABOVE = 'make it above, under "A sample"'


@pytest.fixture(autouse=True)
def fresh(tmp_path, monkeypatch):
    """A new progress file, a notebook in which nobody has said a name, and the samples as a lesson."""
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path))
    monkeypatch.setitem(asking._notebook, "learner", None)
    monkeypatch.setattr(asking, "display", lambda note: None)
    own = registry._of
    monkeypatch.setattr(registry, "_of", lambda lesson: ALL if lesson == "arm" else own(lesson))


def on_screen(one):
    """The HTML that stands in the page, and follows by itself."""
    bundle = one._repr_mimebundle_()
    assert "application/vnd.jupyter.widget-view+json" in bundle
    return one._widget


def test_notebooks_call_it_by_one_name():
    assert mechbench.your_guess is your_guess


def test_without_a_guess_one_sentence_says_where_to_make_it():
    said = repr(your_guess("arm-sample-prediction"))
    assert ABOVE in said and "Record my prediction" in said and said.count(".") == 1


def test_another_guess_than_what_the_bench_shows():
    ask("arm-sample-prediction").answer("slower")
    assert repr(your_guess("arm-sample-prediction")).split("\n") == [
        "You said: It slows down.",
        "The bench shows: It speeds up.",
        "It gains 2 m/s. Half of it is true.",
    ]


def test_the_same_guess_as_what_the_bench_shows():
    ask("arm-sample-prediction").answer("b")
    said = repr(your_guess("arm-sample-prediction"))
    assert said == "You said: It speeds up.\nThe bench shows: just that.\nIt gains 2 m/s."


def test_a_guess_that_was_changed_is_told_as_the_first_one():
    ask("arm-sample-prediction").answer("slower")
    ask("arm-sample-prediction").answer("slower")
    assert repr(your_guess("arm-sample-prediction")).startswith("You said: It slows down.\n")
    ask("arm-sample-prediction").answer("b")
    assert repr(your_guess("arm-sample-prediction")).startswith("Your first guess: It slows down.\n")
    assert "<strong>Your first guess:</strong>" in on_screen(your_guess("arm-sample-prediction")).value


@pytest.mark.parametrize(
    ("raw", "kind"),
    [("4.4 s", "close"), ("4400 ms", "close"), ("6 s", "Not far off"), ("30 s", "much less"), ("0.5 s", "much more")],
)
def test_a_number_beside_what_the_bench_shows(raw, kind):
    first, bench, why = told(pose(GUESS), raw)
    assert first.startswith("You said: ") and bench == "The bench shows: 4 s." and why.startswith("It falls 0.5 m. ")
    assert kind in why


@pytest.mark.parametrize("option", PREDICTION.options, ids=lambda option: option.name)
@pytest.mark.parametrize("shown", PREDICTION.options, ids=lambda option: option.name)
def test_nobody_is_told_to_be_wrong(option, shown):
    said = " ".join(told(pose(replace(PREDICTION, shows=lambda kit: Shown(shown.name, "So."))), option.name))
    assert not {"wrong", "mistake", "right", "correct", "sorry"} & set(said.lower().replace(".", " ").split())


def test_the_first_guess_comes_back_because_it_was_made_before_sliding():
    ask("arm-sample-prediction").answer("slower").answer("faster")
    assert "Your first guess: It slows down." in repr(your_guess("arm-sample-prediction"))


def test_it_fills_in_as_soon_as_a_guess_is_recorded_whichever_cell_ran_first():
    shown, question = your_guess("arm-sample-prediction"), ask("arm-sample-prediction")
    widget = on_screen(shown)
    assert ABOVE in widget.value.replace("&quot;", '"')
    question.answer("a")
    assert "<strong>You said:</strong> It slows down." in widget.value and ABOVE not in widget.value


def test_what_can_not_be_read_is_no_guess():
    widget = on_screen(your_guess("arm-sample-prediction"))
    ask("arm-sample-prediction").answer("upwards?")
    assert "You said" not in widget.value


def test_with_another_nickname_it_is_the_guess_of_that_one():
    mechbench.learner("Ana")
    ask("arm-sample-prediction").answer("slower")
    widget = on_screen(your_guess("arm-sample-prediction"))
    assert "It slows down." in widget.value
    mechbench.learner("Wim")
    assert "You said" not in widget.value
    ask("arm-sample-prediction").answer("faster")
    assert "You said:</strong> It speeds up." in widget.value
    mechbench.learner("Ana")
    assert "You said:</strong> It slows down." in widget.value


def test_a_guess_that_a_full_disk_lost_still_comes_back(monkeypatch):
    widget = on_screen(your_guess("arm-sample-prediction"))
    monkeypatch.setattr(asking.Ask, "_keep", lambda self, raw, grade: "Not kept: the disk is full.")
    ask("arm-sample-prediction").answer("slower")
    assert store().attempts(asking.current_learner()) == [] and "It slows down." in widget.value


def test_a_file_tells_nobodys_guess():
    before = your_guess("arm-sample-prediction")._repr_mimebundle_()["text/plain"]
    ask("arm-sample-prediction").answer("slower")
    assert your_guess("arm-sample-prediction")._repr_mimebundle_()["text/plain"] == before


def test_what_is_typed_is_never_markup():
    odd = replace(PREDICTION, shows=lambda kit: Shown("faster", "Because <b>5</b> & so."))
    page = guess._page(told(pose(odd), "a"))
    assert "&lt;b&gt;5&lt;/b&gt; &amp; so." in page


def test_only_predictions_come_back():
    with pytest.raises(ValueError, match="is no prediction"):
        your_guess("arm-sample-torque")

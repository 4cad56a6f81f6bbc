"""What a learner sees and does in a notebook: exercises on screen and in code, saved, and found again."""

import os
import re
import sys
from dataclasses import replace
from pathlib import Path

import ipywidgets as widgets
import pytest

import mechbench
from mechbench.course import ask as asking
from mechbench.course import database, kit_rows, lessons, registry
from mechbench.course.ask import Ask, ask, current_learner, learner, past_of, readings, say, warm_up
from mechbench.course.kit_rows import Asked
from mechbench.course.learner_numbers import pose
from mechbench.course.posed_numbers import question
from mechbench.course.progress import Attempt, Receipt, Store, store
from mechbench.course.simulated_readings import columns_in_si
from mechbench.kits import kit, read_kit
from mechbench.kits.load import own_kit
from tests.course import hardship
from tests.course.classroom import wrong
from tests.course.samples import ALL, CHALLENGE, CHOICE, GUESS, LARGE, ORDER, PREDICTION, SHOP, SMALL, TORQUE

RIGHT = "-5.886 N·m"
FLAT = Path(__file__).parents[1] / "kits" / "flat"


@pytest.fixture(autouse=True)
def fresh(tmp_path, monkeypatch):
    """A new progress file and a notebook in which nobody has said a name; the samples stand in for a lesson."""
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path))
    monkeypatch.setitem(asking._notebook, "learner", None)
    own = registry._of
    monkeypatch.setattr(registry, "_of", lambda lesson: ALL if lesson == "arm" else own(lesson))
    there = registry.lessons()
    monkeypatch.setattr(registry, "lessons", lambda: tuple(sorted({*there, "arm"}, key=lessons.NAMES.index)))


@pytest.fixture
def shown(monkeypatch):
    """What was displayed."""
    notes = []
    monkeypatch.setattr(asking, "display", notes.append)
    return notes


def kept(exercise=None):
    return store().attempts(current_learner(), exercise)


def find(widget, kind, description=None):
    """All widgets of a kind inside another, in the order of the screen."""
    inside = (
        [widget] if isinstance(widget, kind) and description in (None, getattr(widget, "description", None)) else []
    )
    return inside + [one for child in getattr(widget, "children", ()) for one in find(child, kind, description)]


def text_of(widget):
    """The words of all visible HTML inside a widget."""
    parts = [one.value for one in find(widget, widgets.HTML) if one.layout.display != "none"]
    return re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", " ".join(parts)))


def press(widget, description):
    find(widget, widgets.Button, description)[0].click()


def enter(box):
    """What the browser sends when Enter is pressed in a box."""
    box._handle_custom_msg({"event": "submit"}, [])


# --- in code -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("given", [(RIGHT,), (-5.886, "N·m"), (-588.6, "N·cm"), ("-5,89", "N·m")])
def test_an_answer_in_code(given):
    one = ask("arm-sample-torque").answer(*given)
    assert one.state == "right" and one.grade.message == "It is -5.89 N·m."
    assert [(a.raw, a.state, a.revision, a.practice, a.unit) for a in kept()] == [
        (" ".join(map(str, given)), "right", 1, 0, given[-1].split()[-1])
    ]
    assert kept()[0].value == pytest.approx(-5.886, rel=1e-3) and kept()[0].kit_digest == mechbench.kit().digest


def test_a_design_in_code():
    one = ask("arm-sample-challenge").answer(motor=LARGE, count=2, start_rise="10 K")
    assert one.state == "right" and kept()[0].raw == f"motor = {LARGE}; count = 2; start_rise = 10 K"


def test_the_other_kinds_in_code():
    assert ask("arm-sample-choice").answer("b").state == "right"
    assert ask("arm-sample-prediction").answer("a").state == "recorded"
    assert ask("arm-sample-order").answer("a b c d").state == "not yet"


def test_what_is_shown_as_text():
    one = ask("arm-sample-torque")
    before = repr(one)
    assert before.splitlines()[0] == "A sample [arm-sample-torque]"
    one.answer("-0.6 N·m").hint()
    assert repr(one) == f"{before}\nHint 1: Think of 2 kg.\nYour answer: -0.6 N·m\n○ Not yet. Kilograms are no newtons."


def test_the_text_is_the_same_on_every_run_whatever_was_answered_before():
    first = ask("arm-sample-torque")._repr_mimebundle_()
    ask("arm-sample-torque").answer(RIGHT)
    again = ask("arm-sample-torque")._repr_mimebundle_()
    assert first["text/plain"] == again["text/plain"]
    answered = [ask("arm-sample-torque").answer(RIGHT)._repr_mimebundle_()["text/plain"] for _ in range(2)]
    assert answered[0] == answered[1] and answered[0].endswith("Your answer: -5.886 N·m\n✓ Right. It is -5.89 N·m.")


@pytest.mark.parametrize("exercise", ALL, ids=lambda exercise: exercise.id)
def test_a_bundle_is_a_live_view_and_a_text_without_object_names(exercise, capsys):
    bundle = ask(exercise.id)._repr_mimebundle_()
    assert set(bundle) == {"application/vnd.jupyter.widget-view+json", "text/plain"}
    assert (
        "<" not in bundle["text/plain"]
        and "object" not in bundle["text/plain"]
        and "(" not in bundle["text/plain"].splitlines()[0]
    )
    assert capsys.readouterr().out == ""


def test_an_unknown_id_is_answered_with_the_nearest():
    with pytest.raises(ValueError, match="did you mean 'arm-sample-torque'"):
        ask("arm-sample-torqe")


# --- on screen -----------------------------------------------------------------------------------------------------


def test_enter_and_button_grade_what_is_typed():
    one = ask("arm-sample-torque")
    screen = one.panel().widget
    assert "– Not tried yet" in text_of(screen)
    box = find(screen, widgets.Text)[0]
    box.value = "-0.6 N·m"
    assert kept() == []  # typing alone hands nothing in
    enter(box)
    assert (
        "○ Not yet" in text_of(screen)
        and "Kilograms are no newtons." in text_of(screen)
        and "Tries: 1. Saved." in text_of(screen)
    )
    box.value = "-5,89 N·m"
    press(screen, "Check my answer")
    assert "✓ Right" in text_of(screen) and "Read as -5.89 N·m. Tries: 2. Saved." in text_of(screen)
    assert [a.state for a in kept()] == ["not yet", "right"] and kept()[0].slip == "mass for weight"


def test_right_stays_right():
    one = ask("arm-sample-torque").answer(RIGHT).answer("-9 N·m")
    assert one.state == "right" and one.grade.state == "not yet"
    assert "✓ Right" in find(one.panel().widget, widgets.HTML)[0].value and "still counts" in text_of(
        one.panel().widget
    )


def test_hints_open_one_by_one_and_are_counted():
    one = ask("arm-sample-torque")
    screen = one.panel().widget
    assert "Hint 1:" not in text_of(screen)
    press(screen, "Open hint 1 of 2")
    assert "Hint 1: Think of 2 kg." in text_of(screen) and "Hint 2:" not in text_of(screen)
    one.submit("-1 N·m")
    press(screen, "Open hint 2 of 2")
    one.submit(RIGHT)
    assert [a.hints for a in kept() if a.raw] == [1, 2] and "Hints opened: 2." in text_of(screen)
    press(
        screen, "All hints are open"
    )  # It is left enabled, so that the keyboard's focus stays on it; nothing more is counted.
    assert one.hints_open == 2 and "Hints opened: 2." in text_of(screen)


def test_a_hint_that_was_opened_stays_open_and_is_counted_when_the_cell_is_run_again():
    press(ask("arm-sample-torque").panel().widget, "Open hint 1 of 2")
    again = ask("arm-sample-torque")
    screen = again.panel().widget
    assert again.hints_open == 1 and (again.state, again.tries) == ("not tried", 0)
    assert "Hint 1: Think of 2 kg." in text_of(screen) and "Hint 2:" not in text_of(screen)
    press(screen, "Open hint 2 of 2")
    last = ask("arm-sample-torque")
    assert last.hints_open == 2 and "Hint 2:" in text_of(last.panel().widget)
    last.answer(RIGHT)
    assert [a.hints for a in kept() if a.raw] == [2] and last.tries == 1
    assert find(last.panel().widget, widgets.Button, "All hints are open")


def test_a_hint_opened_between_two_same_answers_does_not_make_them_two_tries():
    one = ask("arm-sample-torque").answer("-1 N·m")
    press(one.panel().widget, "Open hint 1 of 2")
    again = ask("arm-sample-torque").answer("-1 N·m")
    assert again.tries == 1 and [a.raw for a in kept() if a.raw] == ["-1 N·m"] and again.hints_open == 1
    assert find(again.panel().widget, widgets.Text)[0].value == "-1 N·m"


def test_hints_of_practice_are_its_own():
    one = ask("arm-sample-torque")
    one.another().hint()
    assert ask("arm-sample-torque").hints_open == 0 and kept() == []


def test_hints_opened_by_code_are_the_same_text_on_every_run():
    texts = [repr(ask("arm-sample-torque").hint()) for _ in range(2)]
    assert texts[0] == texts[1] and texts[0].count("Hint ") == 1 and ask("arm-sample-torque").hints_open == 1


@pytest.mark.parametrize("raw", ["-5.886", "15*8 N·m", "15*8", "hello", "5 m", "-5.886 fathom"])
def test_what_cannot_be_compared_costs_no_try(raw):
    one = ask("arm-sample-torque").answer("-1 N·m").answer(raw)
    assert (one.tries, one.state, one.saved) == (1, "not yet", "") and len(kept()) == 1
    told = text_of(one.panel().widget)
    assert "– No try counted." in told and "○ Not yet" in told and "Tries: 1." in told
    assert "– No try counted." in one.text() and f"Your answer: {raw}" in one.text()
    assert ask("arm-sample-torque").answer(raw).tries == 1


def test_the_same_answer_twice_counts_once():
    one = ask("arm-sample-torque").answer("-1 N·m").answer(" -1   N·m")
    assert one.tries == 1 and len(kept()) == 1 and "counted once" in one.saved
    assert ask("arm-sample-torque").answer("-1 N·m").tries == 1 and len(kept()) == 1


def test_another_one_like_it_leaves_the_grade_alone():
    one = ask("arm-sample-torque")
    screen = one.panel().widget
    press(screen, "Another one like it")
    assert "Practice (does not change your grade)" in text_of(screen)
    other = pose(TORQUE, "", 1)
    box = find(screen, widgets.Text)[1]
    box.value = f"{TORQUE.answer(other.si):.4g} N·m"
    enter(box)
    assert [(a.practice, a.state) for a in kept()] == [(1, "right")] and one.state == "not tried"
    assert ask("arm-sample-torque").state == "not tried"
    press(screen, "Another one like it")
    assert len(find(screen, widgets.Text)) == 2 and pose(TORQUE, "", 2).texts["mass"] in text_of(screen)


def test_another_one_of_the_shop_shows_readings_of_its_own():
    """Readings of the graded question would never give the answer of the practice question."""
    one = ask("arm-sample-shop")
    screen = one.panel().widget
    assert "practice=" not in text_of(screen)
    press(screen, "Another one like it")
    told = text_of(screen)
    assert "practice=1" in told and all(
        f"{force:.1f}" in told for force in readings("arm-sample-shop", practice=1).force
    )
    columns = columns_in_si(readings("arm-sample-shop", practice=1))
    assert one.another().submit(f"{SHOP.shop.fit(columns, None):.3f}").state == "right"


def test_in_practice_the_right_option_has_another_letter_now_and_then():
    """So the letter of the graded question is no help in a warm-up."""
    for exercise in (CHOICE, ORDER):
        shown = [pose(exercise, "ana", practice).order for practice in range(6)]
        assert len(set(shown)) > 1 and shown == [pose(exercise, "ana", practice).order for practice in range(6)]


def test_an_exercise_with_one_row_has_no_other_one():
    button = find(ask("arm-sample-choice").panel().widget, widgets.Button, "Another one like it")[0]
    assert button.layout.display == "none"


def test_a_choice_on_screen():
    one = ask("arm-sample-choice")
    screen = one.panel().widget
    radio = find(screen, widgets.RadioButtons)[0]
    press(screen, "Check my answer")
    assert "Nothing is chosen yet" in text_of(screen) and kept() == []
    radio.index = 0
    press(screen, "Check my answer")
    assert "A shorted motor creeps." in text_of(screen) and kept()[0].raw == "brake"
    radio.index = 1
    press(screen, "Check my answer")
    assert "✓ Right" in text_of(screen) and "Tries: 2." in text_of(screen)


def test_an_order_given_by_names_is_shown_as_letters():
    given = ask("arm-sample-order")
    given.answer(" ".join(item.name for item in ORDER.items))
    assert given.state == "right"
    letters = " ".join("abcd"[pose(ORDER).order.index(item.name)] for item in ORDER.items)
    assert [box.value for box in find(given.panel().widget, widgets.Text)] == [letters]
    given.answer("d c b a")
    assert [box.value for box in find(given.panel().widget, widgets.Text)] == ["d c b a"]


def test_an_order_is_moved_by_buttons_or_typed():
    one = ask("arm-sample-order")
    screen = one.panel().widget
    box = find(screen, widgets.Text)[0]
    assert box.value == "a b c d"
    find(screen, widgets.Button, "Down")[0].click()
    assert box.value == "b a c d"
    find(screen, widgets.Button, "Up")[3].click()
    assert box.value == "b a d c"
    find(screen, widgets.Button, "Up")[0].click()
    assert box.value == "b a d c"
    box.value = "d c b a"
    assert [value[:2] for value in _item_lines(screen)] == ["d)", "c)", "b)", "a)"]
    box.value = " ".join("abcd"[pose(ORDER).order.index(item.name)] for item in ORDER.items)
    enter(box)
    assert one.state == "right"


def _item_lines(screen):
    return [
        re.sub("<[^>]*>", "", one.value)
        for one in find(screen, widgets.HTML)
        if re.match(r"<div[^>]*>[a-d]\)", one.value)
    ]


def test_a_prediction_on_screen():
    one = ask("arm-sample-prediction")
    screen = one.panel().widget
    find(screen, widgets.RadioButtons)[0].index = 1
    press(screen, "Record my prediction")
    assert (
        "● Recorded" in text_of(screen)
        and "You predict: It speeds up." in text_of(screen)
        and "Tries" not in text_of(screen)
    )
    assert find(ask("arm-sample-guess").panel().widget, widgets.Text)


def test_a_design_on_screen():
    one = ask("arm-sample-challenge")
    screen = one.panel().widget
    press(screen, "Test my design")
    assert "Nothing is chosen yet" in text_of(screen)
    motor, count = find(screen, widgets.Dropdown)
    motor.value, count.value = LARGE, "2"
    press(screen, "Test my design")
    assert "(start_rise)." in text_of(screen)
    find(screen, widgets.Text)[0].value = "10 °C"
    press(screen, "Test my design")
    assert one.state == "right" and "Speed at the load (at least 2500 rpm): good day" in repr(one)
    told = one.panel().feedback.value
    assert "<th scope='col'>Good day</th>" in told and "Speed at the load<br>at least 2500 rpm" in told
    assert "NOT met" not in told
    motor.value, count.value = SMALL, "1"
    press(screen, "Test my design")
    told = one.panel().feedback.value
    assert one.grade.state == "not yet" and "<strong>NOT met</strong>" in told
    head, *rows = told.split("</tr>")[:-1]
    assert "To try" in head and "NOT met" in rows[0] and "NOT met" not in rows[-1]


@pytest.mark.parametrize("exercise", ALL, ids=lambda exercise: exercise.id)
def test_every_control_has_a_name(exercise):
    screen = ask(exercise.id).panel().widget
    controls = find(screen, (widgets.Button, widgets.Text, widgets.Dropdown, widgets.RadioButtons))
    assert len(controls) >= 2
    for control in controls:
        assert control.description.strip(), control


def test_what_is_typed_is_never_markup():
    one = ask("arm-sample-torque")
    one.submit("<img src=x onerror=alert(1)> 3 N·m")
    values = " ".join(each.value for each in find(one.panel().widget, widgets.HTML))
    assert "<img" not in values and "&lt;img" in values


def test_state_is_told_in_words_and_a_sign():
    for raw, words in ((RIGHT, "✓ Right"), ("-1 N·m", "○ Not yet")):
        assert words in text_of(Ask(TORQUE, current_learner()).answer(raw).panel().widget)


# --- saved ---------------------------------------------------------------------------------------------------------


class FullDisk:
    """A store that cannot keep anything, and says so."""

    def __init__(self, pending):
        self.receipt = Receipt(
            False, pending, "Your answer waits in a file of its own." if pending else "NOT SAVED. The disk is full."
        )

    def learner(self, name):
        return store().learner(name)

    def attempts(self, *_):
        return []

    def again(self, *_):
        return ""

    def record(self, *_):
        return self.receipt


@pytest.mark.parametrize("pending", [True, False])
def test_saved_is_said_only_when_the_store_says_so(monkeypatch, pending):
    current_learner()
    monkeypatch.setattr(asking, "store", lambda: FullDisk(pending))
    told = text_of(ask("arm-sample-torque").answer(RIGHT).panel().widget)
    assert not re.search(r"(?<!NOT )Saved|confirmed", told) and FullDisk(pending).receipt.message in told


SAME = "The same answer as before; it is kept and counted once."


def test_the_same_answer_again_is_counted_once_while_it_is_kept():
    one = ask("arm-sample-torque").answer(RIGHT).answer(RIGHT)
    assert one.saved.startswith(SAME) and one.tries == 1 and [attempt.raw for attempt in kept()] == [RIGHT]
    assert ask("arm-sample-torque").answer(RIGHT).saved.startswith(SAME)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such limit")
def test_an_answer_that_a_full_disk_refused_is_kept_when_it_is_given_again():
    one = ask("arm-sample-torque").answer("-1 N·m")
    with hardship.no_file_longer_than(0):
        one.answer(RIGHT)
        assert one.saved.startswith("NOT SAVED.") and (one.state, one.tries) == ("not yet", 1)
        one.answer(RIGHT)
        assert one.saved.startswith("NOT SAVED.") and "kept as" not in one.saved
    one.answer(RIGHT)
    assert one.saved.startswith("Saved.") and (one.state, one.tries) == ("right", 2)
    assert [attempt.raw for attempt in Store(store().folder).attempts(current_learner())] == ["-1 N·m", RIGHT]


def forgotten(folder):
    Store(folder).forget("ana")


def deleted(folder):
    for path in folder.iterdir():
        path.unlink()


def replaced(folder):
    """The file of another day, in which only another learner answered."""
    other = Store(folder / "other")
    other.record(other.learner("ben"), _attempt("1 N·m", "not yet"))
    os.replace(folder / "other" / database.NAME, folder / database.NAME)


@pytest.mark.parametrize("meanwhile", [forgotten, deleted, replaced])
def test_an_answer_that_is_gone_meanwhile_is_kept_anew_when_it_is_given_again(meanwhile, shown):
    learner("ana")
    one = ask("arm-sample-torque").answer(RIGHT)
    meanwhile(store().folder)
    one.answer(RIGHT)
    assert one.saved.startswith("Saved.")
    assert [attempt.raw for attempt in Store(store().folder).attempts(current_learner())] == [RIGHT]


def test_the_same_answer_again_while_it_waits_is_called_waiting(monkeypatch):
    monkeypatch.setattr(database, "BUSY_SECONDS", 0.1)
    one = ask("arm-sample-torque")
    with hardship.locked(store().folder / database.NAME):
        one.answer(RIGHT).answer(RIGHT)
        assert "it waits in a file of its own" in one.saved and len(list(store().folder.glob("pending-*"))) == 1
    one.answer(RIGHT)
    assert one.saved.startswith(SAME) and one.tries == 1 and [attempt.raw for attempt in kept()] == [RIGHT]


def test_coming_back_shows_what_was_answered():
    first = ask("arm-sample-torque").hint()
    first.answer("-0.6 N·m").answer(RIGHT)
    again = ask("arm-sample-torque")
    screen = again.panel().widget
    assert (again.state, again.tries, again.hints_open) == ("right", 2, 1)
    assert find(screen, widgets.Text)[0].value == RIGHT
    told = text_of(screen)
    assert (
        "Your answer from before. ✓ Right" in told
        and "It is -5.89 N·m." in told
        and "Tries: 2. Hints opened: 1." in told
    )
    assert "Hint 1:" in told and find(screen, widgets.Button, "Open hint 2 of 2")


@pytest.mark.parametrize(
    "exercise, raw",
    [
        (CHOICE, "a"),
        (ORDER, "d c b a"),
        (PREDICTION, "slower"),
        (GUESS, "3 s"),
        (CHALLENGE, f"motor = {SMALL}; count = 1; start_rise = 5 K"),
        (SHOP, "0.5"),
    ],
)
def test_coming_back_fills_every_kind_of_form(exercise, raw):
    state = ask(exercise.id).answer(raw).state
    panel = ask(exercise.id).panel()
    assert panel.form.raw() == {"a": "brake"}.get(raw, raw) and "Your answer from before." in text_of(panel.widget)
    assert panel.ask.state == state


def _attempt(raw, state, exercise=TORQUE, **more):
    asked = question(pose(exercise), raw)
    given = {"exercise": exercise.id, "revision": 1, "kit_digest": "k", "raw": raw, "state": state}
    return Attempt(**given | {"posed_digest": asked.digest, "posed": asked.row} | more)


def test_what_counts_of_the_past():
    attempts = [
        _attempt("1 N·m", "not yet", hints=2),
        _attempt("2 N·m", "right"),
        _attempt("3 N·m", "not yet"),
        _attempt("4 N·m", "right", practice=1),
        _attempt("5 N·m", "right", revision=2),
        _attempt("6 N·m", "right", posed_digest="another"),
    ]
    past = past_of(attempts, pose(TORQUE))
    assert (past.state, past.raw, past.tries, past.hints) == ("right", "2 N·m", 3, 2)
    assert (past.elsewhere, past_of(attempts[:5], pose(TORQUE)).elsewhere) == ("right", "not tried")
    assert past_of([], pose(TORQUE)).state == "not tried"
    guesses = [_attempt("slower", "recorded", PREDICTION), _attempt("faster", "recorded", PREDICTION)]
    assert past_of(guesses, pose(PREDICTION)).raw == "slower"  # the one made before sliding


def test_a_new_revision_starts_afresh(monkeypatch):
    ask("arm-sample-torque").answer(RIGHT)
    again = Ask(replace(TORQUE, revision=2, earlier=(TORQUE,)), current_learner())
    assert again.state == "not tried" and again.shown_grade() is None


def test_a_text_too_long_is_neither_kept_nor_counted():
    one = ask("arm-sample-torque").answer("9" * 5000)
    assert one.grade.state == "not tried" and one.tries == 0 and kept() == [] and one.saved == ""
    assert "5000 characters" in one.text()


# --- the learner ---------------------------------------------------------------------------------------------------


def test_learner_shows_the_key_and_gives_own_numbers(shown):
    learner("  Ana   M ")
    assert "**ana m**" in shown[0].markdown and "nickname" in shown[0].markdown
    assert current_learner().key == "ana m" and ask("arm-sample-torque").posed.texts == pose(TORQUE, "ana m").texts
    learner()
    assert "the book" in repr(shown[1]) and ask("arm-sample-torque").posed.texts == pose(TORQUE).texts


def test_answers_belong_to_the_learner_of_the_notebook(shown):
    learner("ana")
    ask("arm-sample-torque").answer("-1 N·m")
    learner("finn")
    assert kept() == [] and ask("arm-sample-torque").tries == 0
    learner("ANA")
    assert len(kept()) == 1


def test_what_is_not_in_order_with_the_answers_is_shown_once_with_the_learner(shown):
    (store().folder / "damaged-2026-03-01-0.sqlite").write_bytes(b"")
    learner("ana")
    learner("ana")
    assert [r"damaged\-2026\-03\-01\-0.sqlite is a damaged file" in note.markdown for note in shown] == [
        False,
        True,
        False,
    ]


def test_a_name_is_never_markup(shown):
    learner("<b>`x`*y*_z_[a](b)")
    assert shown[0].markdown.startswith(r"Numbers for: **\<b\>\`x\`\*y\*\_z\_\[a\]\(b\)**.")


def test_a_name_that_is_none_is_refused_and_changes_nothing(shown):
    learner("ana")
    with pytest.raises(ValueError, match="61 characters"):
        learner("x" * 61)
    assert current_learner().key == "ana"


# --- whose form it is ----------------------------------------------------------------------------------------------


def answers_of(name):
    return [attempt.raw for attempt in store().attempts(store().learner(name)) if attempt.raw]


def test_a_form_names_its_owner(shown):
    assert "Answers go to: the book (no nickname)" in text_of(ask("arm-sample-torque").panel().widget)
    learner("Ana  M")
    for exercise in ALL:
        assert "Answers go to: ana m" in text_of(ask(exercise.id).panel().widget)
    screen = ask("arm-sample-torque").panel().widget
    press(screen, "Another one like it")
    assert text_of(screen).count("Answers go to: ana m") == 2


@pytest.mark.parametrize("before, after", [("ana", "finn"), ("", "finn"), ("ana", "")])
def test_a_form_of_another_learner_says_so_and_takes_nothing(shown, before, after):
    learner(before)
    one = ask("arm-sample-torque")
    screen = one.panel().widget
    assert "belongs to" not in text_of(screen)
    learner(after)
    names = {"": "the book", "ana": "ana", "finn": "finn"}
    says = (
        f"This form belongs to {names[before]}, and the notebook is now for {names[after]}: it takes nothing. "
        "Run its cell again."
    )
    assert says in text_of(screen)  # at once, before anything is typed
    box = find(screen, widgets.Text)[0]
    box.value = RIGHT
    enter(box)
    press(screen, "Check my answer")
    press(screen, "Open hint 1 of 2")
    assert answers_of(before) == answers_of(after) == [] and one.hints_open == 0 and one.tries == 0
    assert says in text_of(screen) and "Saved" not in text_of(screen)
    press(screen, "Another one like it")
    enter(find(screen, widgets.Text)[1])
    assert answers_of(before) == answers_of(after) == []
    learner(before)
    assert "belongs to" not in text_of(screen)
    enter(box)
    assert answers_of(before) == [RIGHT]


def test_an_answer_in_code_to_a_form_of_another_learner_is_refused_too(shown):
    learner("ana")
    one = ask("arm-sample-torque")
    learner("finn")
    one.answer(RIGHT)
    assert "This form belongs to ana, and the notebook is now for finn" in one.text()
    assert one.submit(RIGHT).state == "not tried" and answers_of("ana") == answers_of("finn") == []


def test_the_same_name_written_otherwise_is_the_same_learner(shown):
    learner("Ana M")
    one = ask("arm-sample-torque")
    learner(" ana  m")
    assert not one.of_another and one.answer("-1 N·m").tries == 1 and answers_of("ana m") == ["-1 N·m"]


def test_a_hand_in_of_another_learner_is_not_written(shown, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    learner("ana")
    ask("arm-sample-torque").answer(RIGHT)
    form = mechbench.hand_in()
    assert "Hand-in of ana." in text_of(form.widget)
    learner("finn")
    form.press()
    assert "belongs to ana, and the notebook is now for finn" in text_of(form.widget)
    assert list(tmp_path.glob("handin*")) == []
    learner("ana")
    form.press()
    assert len(list(tmp_path.glob("handin*"))) == 1


def test_an_answer_without_a_nickname_says_at_each_save_that_it_is_nobodys(shown):
    one = ask("arm-sample-torque")
    for raw in ("-1 N·m", "-2 N·m", "-2 N·m", RIGHT):
        one.answer(raw)
        assert one.saved.endswith(
            "It is kept as the book's answer and belongs to nobody: put a nickname in the first cell to have your own."
        )
    learner("ana")
    assert "nobody" not in ask("arm-sample-torque").answer(RIGHT).saved


# --- sentences, readings, warm-up ----------------------------------------------------------------------------------


def test_say_shows_markdown_and_the_same_as_text(shown):
    say("The **{name}** stalls at {stall}, {share} of it.", name="round motor", stall=(0.175, "N·m"), share=0.5)
    assert shown[0]._repr_mimebundle_() == dict.fromkeys(
        ("text/markdown", "text/plain"), "The **round motor** stalls at 0.175 N·m, 0.5 of it."
    )
    with pytest.raises(ValueError, match="asks for {stal}"):
        say("{stal}", stall=3)


def test_readings_are_the_learners(shown):
    learner("ana")
    mine = readings("arm-sample-shop")
    learner()
    assert mine.force.tolist() != readings("arm-sample-shop").force.tolist()


def test_the_first_lesson_has_no_warm_up():
    assert "first lesson" in repr(warm_up("start_here"))
    with pytest.raises(ValueError, match="'algebra' is no lesson"):
        warm_up("algebra")


def test_a_warm_up_is_three_short_questions_from_earlier_lessons():
    for lesson in ("motors", "gearing", "winch"):
        asks = warm_up(lesson).asks
        place = lessons.NAMES.index(lesson)
        assert len({one.exercise.id for one in asks}) == 3 and all(one.exercise.short and one.practice for one in asks)
        assert all(lessons.NAMES.index(one.exercise.lesson) < place for one in asks)
    assert TORQUE in [one.exercise for one in warm_up("winch").asks]
    assert [one.exercise.id for one in warm_up("motors").asks] != [one.exercise.id for one in warm_up("gearing").asks]


def test_a_warm_up_is_practice():
    one = warm_up("winch").asks[0]
    one.answer(wrong(one.posed))
    assert kept()[0].practice > 0 and ask(one.exercise.id).state == "not tried"


def test_the_learners_own_slips_come_first_and_the_book_has_none(shown):
    learner("ana")
    before = [one.exercise.id for one in warm_up("lift").asks]
    last = [e for e in registry.exercises("start_here") if e.short and e.id not in before and hasattr(e, "slips")][-1]
    slip = last.slips[0].formula(pose(last, "ana").si)
    ask(last.id).answer(f"{slip:.5g} {last.unit}")
    assert kept()[0].slip == last.slips[0].name
    assert [one.exercise.id for one in warm_up("lift").asks] == [last.id, *before[:2]]
    learner()
    ask(last.id).answer(f"{last.slips[0].formula(pose(last).si):.5g} {last.unit}")
    assert [one.exercise.id for one in warm_up("lift").asks] == before


def test_a_warm_up_on_screen_is_a_column_of_exercises():
    bundle = warm_up("winch")._repr_mimebundle_()
    assert (
        len(re.findall(r" \[[a-z0-9-]+\]$", bundle["text/plain"], re.MULTILINE)) == 3
        and "application/vnd.jupyter.widget-view+json" in bundle
    )


def test_the_names_that_notebooks_use():
    for name in ("ask", "learner", "say", "readings", "warm_up"):
        assert getattr(mechbench, name) is getattr(asking, name)


# --- the parts of a design -------------------------------------------------------------------------------------------


def test_a_design_tells_of_which_parts_it_is():
    one = ask(CHALLENGE.id)
    assert one.kit is kit()
    assert one.options("motor") == list(kit().table("motors").names)


def test_a_design_of_another_kit_tells_that_kits_parts(monkeypatch):
    """Where parts of the course's own stand in, a search has to try these too: the question says which kit that is."""
    other = replace(kit(), digest="another")
    monkeypatch.setattr(kit_rows, "settled", lambda exercise, _, place: Asked(CHALLENGE.rows[place], other))
    assert ask(CHALLENGE.id).kit is other


def test_what_is_left_out_shows_its_way_with_the_courses_own_parts():
    left = asking.LeftOut(registry.exercise("winch-design"), read_kit(FLAT))
    assert left.kit is own_kit() and left.options("spool") == list(own_kit().table("spools").names)

"""The gradebook: grades made again from what was typed, the planted slips found, and nothing believed that a file says.

Outside references: the csv module's reader for RFC 4180; the cells that spreadsheets run are those of OWASP, "CSV
Injection" (from memory); the content policy is that of W3C, "Content Security Policy Level 3" (from memory); contrast
is that of WCAG 2.2, 1.4.3.
"""

import base64
import csv
import hashlib
import html.parser
import io
import json
import os
import random
import re
import subprocess
import sys
import threading
import unicodedata
import zipfile
from dataclasses import replace

import pytest

from mechbench.course import gradebook, gradebook_command, gradebook_csv, handin_file, lessons, progress, registry
from mechbench.course.exercise import Challenge, Choice, Order, Prediction, Quantity
from mechbench.course.gradebook import read_folder, troubles, wrong_paths
from mechbench.course.grading import NOT_TRIED, NOT_YET, RECORDED, RIGHT
from mechbench.course.learner_numbers import canonical, pose
from mechbench.desk import printed_page
from mechbench.drawing.palette import contrast
from mechbench.kits import kit
from tests.course.classroom import Classroom, can_slip, planted_slips, right, slipped, slips_of, wrong
from tests.course.samples import KITS
from tests.tries import tries

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such links and pipes")
QUANTITY = next(
    exercise for exercise in registry.exercises() if isinstance(exercise, Quantity) and len(exercise.slips) > 1
)
# One whose numbers follow the kit.
FOLLOWS = next(one for one in registry.exercises() if isinstance(one, Quantity) and callable(one.rows))
OTHER_KIT = KITS["second"]
UIDS = (f"{number:032x}" for number in range(1, 10_000))


def learner(name, uid=None):
    return progress.Learner(uid or next(UIDS), name, canonical(name) if name else "")


def attempt(exercise, raw, state=NOT_YET, at="2026-03-02T15:04Z", made_with=None, **more):
    return progress.Attempt(exercise.id, exercise.revision, (made_with or kit()).digest, raw, state, at=at, **more)


def hand_in(folder, who, attempts, name=None, **changes):
    """Write a hand-in as the course does; `changes` are made to its top afterwards, as by a hand."""
    data = json.loads(handin_file.text_of(who, attempts)) | changes
    path = folder / (name or f"handin_{len(list(folder.iterdir()))}.json")
    path.write_text(json.dumps(data), encoding="utf-8")
    return path


@pytest.fixture
def folder(tmp_path):
    place = tmp_path / "handed in"
    place.mkdir()
    return place


def run(folder, *more):
    return gradebook_command.command([str(folder), *more])


def made(folder, *more):
    """Run the command with an output folder beside the hand-ins and give (page, rows of the table)."""
    out = folder.parent / "out"
    assert run(folder, "--to", str(out), *more) == 0
    page, table = out / gradebook.PAGE, out / gradebook.TABLE
    return page.read_text(encoding="utf-8"), list(
        csv.reader(io.StringIO(table.read_text(encoding="utf-8-sig"), newline=""))
    )


# --- grades are made again -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("exercise", registry.exercises(), ids=lambda exercise: exercise.id)
def test_right_and_wrong_answers_of_every_exercise(folder, exercise):
    for name, answer in (("ana", right), ("bo", wrong)):
        # The file says the opposite of what is true.
        told = NOT_YET if answer is right else RIGHT
        hand_in(folder, learner(name), [attempt(exercise, answer(pose(exercise, name)), told, hints=2)])
    ana, bo = read_folder(folder).learners
    recorded = isinstance(exercise, Prediction)
    assert ana.standings[exercise.id].state == (RECORDED if recorded else RIGHT)
    assert bo.standings[exercise.id].state == (RECORDED if recorded else NOT_YET)
    assert ana.standings[exercise.id].tries == (0 if recorded else 1) and ana.standings[exercise.id].hints == 2


def test_what_a_file_says_of_its_grades_changes_nothing(folder, tmp_path):
    honest, lying = folder / "honest", folder / "lying"
    for place, truth in ((honest, True), (lying, False)):
        Classroom(3, 6, honest=truth).write(place)
    one, other = read_folder(honest), read_folder(lying)
    assert [found.standings for found in one.learners] == [found.standings for found in other.learners]
    assert one.odd == [] and len(other.odd) == 6 and all("marked otherwise" in line for line in other.odd)


def test_the_best_state_counts_and_all_tries(folder):
    posed = pose(QUANTITY, "ana")
    raws = [slipped(posed, slips_of(QUANTITY.id)[0]), right(posed), wrong(posed)]
    hand_in(
        folder,
        learner("ana"),
        [attempt(QUANTITY, raw, hints=number, at=f"2026-03-02T15:0{number}Z") for number, raw in enumerate(raws)],
    )
    found = read_folder(folder).learners[0].standings[QUANTITY.id]
    assert (found.state, found.tries, found.hints, found.slips) == (RIGHT, 3, 2, slips_of(QUANTITY.id)[:1])
    assert found.raw == raws[-1] and found.first == "2026-03-02T15:00Z" and found.last == "2026-03-02T15:02Z"


def test_a_hint_that_was_opened_counts_and_is_no_answer(folder):
    """The course keeps an opened hint as an attempt without a text."""
    posed = pose(QUANTITY, "ana")
    rows = [("", NOT_TRIED, 1), (wrong(posed), NOT_YET, 1), ("", NOT_TRIED, 2)]
    attempts = [
        attempt(QUANTITY, raw, state, hints=hints, at=f"2026-03-02T15:0{number}Z")
        for number, (raw, state, hints) in enumerate(rows)
    ]
    hand_in(folder, learner("ana"), attempts)
    hand_in(folder, learner("bo"), attempts[:1])
    book = read_folder(folder)
    ana, bo = (one.standings[QUANTITY.id] for one in book.learners)
    assert (ana.state, ana.tries, ana.hints, ana.raw) == (NOT_YET, 1, 2, wrong(posed))
    assert ana.first == ana.last == "2026-03-02T15:01Z"
    assert (bo.state, bo.tries, bo.hints, bo.raw, bo.last) == (NOT_TRIED, 0, 1, "", "")
    assert book.odd == []
    page, table = made(folder)
    assert "2 hints" in page and "1 hint" in page


def test_an_unreadable_text_of_an_earlier_edition_is_no_try_and_no_reason_to_wonder(folder):
    hand_in(folder, learner("ana"), [attempt(QUANTITY, "15*8", NOT_YET)])
    hand_in(folder, learner("bo"), [attempt(QUANTITY, "15*8", RIGHT)])
    book = read_folder(folder)
    assert [one.standings[QUANTITY.id].tries for one in book.learners] == [0, 0]
    assert len(book.odd) == 1 and "marked otherwise" in book.odd[0]  # that of bo, who says that it is right


def test_practice_leaves_the_grade_alone_and_its_slips_are_counted(folder):
    posed = pose(QUANTITY, "ana", 3)
    hand_in(folder, learner("ana"), [attempt(QUANTITY, slipped(posed, slips_of(QUANTITY.id)[0]), practice=3)])
    book = read_folder(folder)
    found = book.learners[0].standings[QUANTITY.id]
    assert (found.state, found.tries, found.slips) == (NOT_TRIED, 0, slips_of(QUANTITY.id)[:1])
    assert troubles(wrong_paths(book))[0].took == ("ana",)


def test_each_learner_is_graded_with_the_own_numbers(folder):
    answers = {name: right(pose(QUANTITY, name)) for name in ("ana", "bo", "cleo", "dan", "eve")}
    assert len(set(answers.values())) > 1
    for name in answers:
        hand_in(folder, learner(name), [attempt(QUANTITY, raw) for raw in answers.values()])
    for found in read_folder(folder).learners:
        same = sum(raw == answers[found.key] for raw in answers.values())
        assert found.standings[QUANTITY.id].state == RIGHT and found.standings[QUANTITY.id].tries == 5 and same >= 1


def test_an_old_revision_stays_gradeable(folder, monkeypatch):
    frozen = replace(QUANTITY, rows=tuple(QUANTITY.table(kit())))
    newer = replace(
        QUANTITY,
        revision=QUANTITY.revision + 1,
        rows=lambda kit: list(reversed(QUANTITY.table(kit))),
        earlier=(frozen,),
    )
    module = sys.modules[f"mechbench.course.exercises.{QUANTITY.lesson}"]
    old = attempt(QUANTITY, right(pose(QUANTITY, "ana")))
    monkeypatch.setattr(module, "EXERCISES", tuple(newer if one is QUANTITY else one for one in module.EXERCISES))
    hand_in(folder, learner("ana"), [old])
    assert read_folder(folder).learners[0].standings[QUANTITY.id].state == RIGHT


# --- what to teach again -------------------------------------------------------------------------------------------


def test_thirty_learners_with_ten_planted_slips(folder, capsys):
    planted = planted_slips(random.Random(20), 10)
    room = Classroom(20, 30, planted)
    room.write(folder)
    book = read_folder(folder)
    first = troubles(wrong_paths(book))[:10]
    assert {trouble.exercise.id: trouble.slip for trouble in first} == planted
    page, _ = made(folder)
    again = page[page.index('id="again"') : page.index('id="lessons"')]
    items = [html.unescape(item) for item in re.findall(r"<li>.*?</li>", again, re.DOTALL)]
    for id, slip in planted.items():
        exercise = registry.exercise(id)
        (item,) = (text for text in items if f"<h3>{exercise.title} " in text)
        assert said_of(exercise, slip) in item
    assert "Teach again first:" in capsys.readouterr().out


def said_of(exercise, slip):
    """The feedback of a slip, with the book's numbers, straight from the exercise."""
    parts = exercise.slips if isinstance(exercise, Quantity) else exercise.options
    return pose(exercise).fill(next(part.feedback for part in parts if part.name == slip))


@pytest.mark.parametrize("seed", range(10))
def test_without_stray_slips_the_names_are_those_that_took_them(folder, seed):
    planted = planted_slips(random.Random(seed), 6)
    room = Classroom(seed, 12, planted, stray=0, exercises=[one for one in registry.exercises() if can_slip(one)])
    room.write(folder)
    found = {trouble.exercise.id: trouble for trouble in troubles(wrong_paths(read_folder(folder)))}
    for id, names in room.took.items():
        if names:
            assert (found[id].slip, sorted(found[id].took)) == (planted[id], sorted(names))
    assert found.keys() <= planted.keys()


def test_who_is_not_right_yet_counts_twice(folder):
    one, other = [exercise for exercise in registry.exercises() if isinstance(exercise, Quantity)][:2]
    for name in ("ana", "bo", "cleo"):
        posed = pose(one, name)
        hand_in(folder, learner(name), [attempt(one, slipped(posed, one.slips[0].name)), attempt(one, right(posed))])
    for name in ("dan", "eve"):
        hand_in(folder, learner(name), [attempt(other, slipped(pose(other, name), other.slips[0].name))])
    first, second = troubles(wrong_paths(read_folder(folder)))
    assert (first.exercise.id, first.weight, first.stuck) == (other.id, 4, ("dan", "eve"))
    assert (second.exercise.id, second.weight, second.stuck) == (one.id, 3, ())


def test_of_one_exercise_the_path_that_most_took_is_told(folder):
    few, many = slips_of(QUANTITY.id)[:2]
    for name, slip, then in (("ana", few, None), ("bo", many, right), ("cleo", many, right)):
        posed = pose(QUANTITY, name)
        hand_in(
            folder,
            learner(name),
            [attempt(QUANTITY, slipped(posed, slip)), *([attempt(QUANTITY, then(posed))] if then else [])],
        )
    paths = wrong_paths(read_folder(folder))
    assert [trouble.slip for trouble in paths[QUANTITY.id]] == [many, few] and troubles(paths)[0].took == ("bo", "cleo")


@pytest.mark.parametrize("exercise", registry.exercises(), ids=lambda exercise: exercise.id)
def test_every_slip_of_every_exercise_has_words(exercise):
    from mechbench.course.misconceptions import wrong_path

    posed = pose(exercise)
    names = {
        Quantity: lambda: [slip.name for slip in exercise.slips],
        Choice: lambda: [option.name for option in exercise.options if not option.right],
        Order: lambda: [f"{item.name} too early" for item in exercise.items[1:]],
        Challenge: lambda: [f"{finding} not met" for finding in exercise.advice],
        Prediction: list,
    }[type(exercise)]()
    for name in names:
        found = wrong_path(posed, name)
        assert found.did and found.say and "{" not in found.did + found.say
    assert wrong_path(posed, "a slip of an older edition").did == "a slip of an older edition"


# --- the same learner, the same name -------------------------------------------------------------------------------


def test_the_same_learner_twice_is_one_row_and_answers_count_once(folder):
    ana, posed = learner("Ana"), pose(QUANTITY, "ana")
    early = [attempt(QUANTITY, wrong(posed), at="2026-03-02T15:00Z")]
    hand_in(folder, ana, early, made="2026-03-02T15:10Z")
    hand_in(
        folder, ana, [*early, attempt(QUANTITY, right(posed), RIGHT, at="2026-03-02T15:30Z")], made="2026-03-02T15:40Z"
    )
    hand_in(folder, ana, early, made="2026-03-02T15:10Z")
    book = read_folder(folder)
    (only,) = book.learners
    assert (
        only.standings[QUANTITY.id].tries == 2 and only.standings[QUANTITY.id].state == RIGHT and len(only.files) == 3
    )
    assert book.odd == [
        "'handin_0.json' and 'handin_1.json' and 'handin_2.json' are of the same learner; an answer that "
        "stands in several counts once."
    ]


def test_early_answers_that_only_an_old_file_holds_are_kept(folder):
    ana, posed = learner("Ana"), pose(QUANTITY, "ana")
    hand_in(folder, ana, [attempt(QUANTITY, right(posed))], made="2026-03-02T15:10Z")
    hand_in(
        folder, ana, [attempt(QUANTITY, wrong(posed), at="2026-03-03T15:00Z")], made="2026-03-03T15:10Z", left_out=1
    )
    found = read_folder(folder).learners[0].standings[QUANTITY.id]
    assert found.state == RIGHT and found.tries == 2 and found.last == "2026-03-03T15:00Z"


def test_of_very_many_files_of_one_learner_what_is_left_out_is_said(folder, monkeypatch):
    monkeypatch.setattr(gradebook, "MOST_EARLIER", 3)
    for number in range(6):
        at = f"2026-03-02T15:0{number}Z"
        hand_in(folder, learner("Ana", "a" * 32), [attempt(QUANTITY, f"{number + 1} {QUANTITY.unit}", at=at)], made=at)
    book = read_folder(folder)
    assert book.learners[0].standings[QUANTITY.id].tries == 4, "the newest file and three answers of older ones"
    assert any("3 were graded, 2 were not" in line for line in book.odd)


def test_one_id_under_very_many_names_is_one_short_sentence(folder):
    for number in range(60):
        hand_in(folder, learner(f"learner {number}", "a" * 32), [attempt(QUANTITY, "1 N")])
    (line,) = read_folder(folder).odd
    assert "(60 in all) came with one and the same id" in line and len(line) < 600


def test_an_answer_given_twice_within_a_minute_stays_two_tries(folder):
    ana, posed = learner("Ana"), pose(QUANTITY, "ana")
    again = [
        attempt(QUANTITY, wrong(posed)),
        attempt(QUANTITY, slipped(posed, slips_of(QUANTITY.id)[0])),
        attempt(QUANTITY, wrong(posed)),
    ]
    for _ in range(2):
        hand_in(folder, ana, again)
    assert read_folder(folder).learners[0].standings[QUANTITY.id].tries == 3


def test_a_score_edited_in_one_of_two_files_makes_no_new_answer(folder):
    ana = learner("Ana")
    for state in (NOT_YET, RIGHT):
        hand_in(folder, ana, [attempt(QUANTITY, wrong(pose(QUANTITY, "ana")), state)])
    assert read_folder(folder).learners[0].standings[QUANTITY.id].tries == 1


def test_two_learners_of_one_name_are_two_rows_and_that_is_said(folder):
    for raw in (right(pose(QUANTITY, "ana")), wrong(pose(QUANTITY, "ana"))):
        hand_in(folder, learner("Ana"), [attempt(QUANTITY, raw)])
    book = read_folder(folder)
    assert [one.name for one in book.learners] == ["Ana (1)", "Ana (2)"]
    assert {one.standings[QUANTITY.id].state for one in book.learners} == {RIGHT, NOT_YET}
    assert any("2 learners are called 'ana'" in line for line in book.odd)


def test_learners_without_a_name_are_told_apart(folder):
    for _ in range(2):
        hand_in(folder, learner(""), [attempt(QUANTITY, right(pose(QUANTITY)))])
    book = read_folder(folder)
    assert [one.name for one in book.learners] == [f"{gradebook.NO_NAME} (1)", f"{gradebook.NO_NAME} (2)"]
    assert any("gave no name" in line for line in book.odd)


def test_one_id_under_two_names_is_said(folder):
    uid = next(UIDS)
    for name in ("ana", "bo"):
        hand_in(folder, learner(name, uid), [attempt(QUANTITY, right(pose(QUANTITY, name)))])
    book = read_folder(folder)
    assert len(book.learners) == 2 and any("'ana', 'bo' came with one and the same id" in line for line in book.odd)


# --- another kit, another edition ----------------------------------------------------------------------------------


@pytest.fixture
def with_two_kits(folder):
    made_with = [attempt(FOLLOWS, right(pose(FOLLOWS, "ana", kit=one)), made_with=one) for one in (kit(), OTHER_KIT)]
    hand_in(folder, learner("ana"), made_with)
    hand_in(folder, learner("bo"), [attempt(FOLLOWS, right(pose(FOLLOWS, "bo", kit=OTHER_KIT)), made_with=OTHER_KIT)])
    return folder


def test_answers_made_with_another_kit_are_said_and_not_guessed(with_two_kits):
    book = read_folder(with_two_kits)
    ana, bo = book.learners
    assert ana.standings[FOLLOWS.id].tries == 1 and bo.standings == {}
    assert book.unread == [
        f"'handin_{number}.json': 1 of {count} answers not graded. It was made with another kit ({OTHER_KIT.digest},"
        f" not {kit().digest}): grade it with that kit (gradebook FOLDER --kit FOLDER_OF_THE_KIT)."
        for number, count in ((0, 2), (1, 1))
    ]


def test_with_that_kit_they_are_graded_too(with_two_kits):
    page, rows = made(with_two_kits, "--kit", OTHER_KIT.folder)
    tries = {row[0]: row[4] for row in rows if row[-1] == FOLLOWS.id}
    assert tries == {"ana": "2", "bo": "1"} and OTHER_KIT.digest in page and "not graded." not in page


def test_a_kit_that_is_none_is_refused_in_a_sentence(folder, capsys):
    hand_in(folder, learner("ana"), [attempt(QUANTITY, "1 N")])
    assert run(folder, "--kit", str(folder)) == 1
    assert capsys.readouterr().err.count("\n") == 1 and list(folder.parent.iterdir()) == [folder]


def test_another_edition_and_unknown_exercises_are_said(folder):
    strange = [
        replace(attempt(QUANTITY, "1 N"), exercise="motors-no-such-thing"),
        replace(attempt(QUANTITY, "1 N"), revision=99),
    ]
    hand_in(folder, learner("ana"), strange, edition="9.9")
    book = read_folder(folder)
    assert "edition 9.9" in book.odd[0] and "'motors-no-such-thing'" in book.odd[0]
    assert (
        book.unread[0].startswith("'handin_0.json': 2 of 2 answers not graded. revision=99")
        and book.learners[0].standings == {}
    )


def test_dates_in_the_future_are_said_and_the_answer_counts(folder):
    hand_in(folder, learner("ana"), [attempt(QUANTITY, right(pose(QUANTITY, "ana")), RIGHT, at="9999-12-31T23:59Z")])
    book = read_folder(folder)
    assert "carry a date in the future" in book.odd[0] and book.learners[0].standings[QUANTITY.id].state == RIGHT


def test_a_fault_in_grading_one_hand_in_leaves_the_others(folder, monkeypatch):
    for name in ("ana", "bo"):
        hand_in(folder, learner(name), [attempt(QUANTITY, right(pose(QUANTITY, name)))])
    grade = gradebook.regrade

    def broken(handin, *more):
        if handin.key == "ana":
            raise ZeroDivisionError("float division by zero")
        return grade(handin, *more)

    monkeypatch.setattr(gradebook, "regrade", broken)
    book = read_folder(folder)
    assert book.unread == ["'handin_0.json': its answers can't be graded (float division by zero)."]
    assert [one.standings.get(QUANTITY.id) is not None for one in book.learners] == [False, True]


def test_one_design_with_the_same_numbers_is_simulated_once_for_the_class(folder, monkeypatch):
    from mechbench.course import handin

    challenge = next(exercise for exercise in registry.exercises() if isinstance(exercise, Challenge))
    names = [f"learner {number}" for number in range(20)]
    for name in names:
        hand_in(folder, learner(name), [attempt(challenge, answer(pose(challenge, name))) for answer in (wrong, right)])
    graded = []
    grade = handin.grade_posed
    monkeypatch.setattr(handin, "grade_posed", lambda posed, raw: graded.append(posed) or grade(posed, raw))
    book = read_folder(folder)
    rows = len({tuple(pose(challenge, name).texts.items()) for name in names})
    assert 1 < rows < len(names) and len(graded) == 2 * rows
    assert {one.standings[challenge.id].state for one in book.learners} == {RIGHT}
    assert {one.standings[challenge.id].tries for one in book.learners} == {2}


def test_very_many_designs_do_not_hold_up_the_class(folder):
    challenge = next(exercise for exercise in registry.exercises() if isinstance(exercise, Challenge))
    hand_in(folder, learner("ana"), [attempt(challenge, f"nonsense = {number}") for number in range(400)])
    book = read_folder(folder)
    standing = book.learners[0].standings[challenge.id]
    assert standing.raw == "nonsense = 399" and standing.tries == 0  # a design that can't be read is no try
    assert f"Only {gradebook.MOST_DESIGNS} designs" in book.odd[0]
    assert f"{400 - gradebook.MOST_DESIGNS} were not" in book.odd[0]


def test_a_design_that_was_right_is_not_lost_behind_later_ones(folder):
    challenge = next(exercise for exercise in registry.exercises() if isinstance(exercise, Challenge))
    works = attempt(challenge, right(pose(challenge, "ana")), RIGHT)
    later = [attempt(challenge, f"nonsense = {number}") for number in range(2 * gradebook.MOST_DESIGNS)]
    hand_in(folder, learner("ana"), [works, *later])
    assert read_folder(folder).learners[0].standings[challenge.id].state == RIGHT


def test_designs_that_a_file_says_are_right_are_graded_all_the_same(folder):
    challenge = next(exercise for exercise in registry.exercises() if isinstance(exercise, Challenge))
    lies = [attempt(challenge, f"nonsense = {number}", RIGHT) for number in range(2 * gradebook.MOST_DESIGNS)]
    hand_in(folder, learner("ana"), lies)
    assert read_folder(folder).learners[0].standings[challenge.id].state == NOT_TRIED  # none of them can be read


def test_more_files_than_one_gradebook_reads_is_said(folder, monkeypatch, capsys):
    for name in ("ana", "bo", "cleo"):
        hand_in(folder, learner(name), [attempt(QUANTITY, "1 N")])
    monkeypatch.setattr(gradebook, "MOST_FILES", 3)
    assert read_folder(folder).unread == []
    monkeypatch.setattr(gradebook, "MOST_FILES", 2)
    book = read_folder(folder)
    assert [one.name for one in book.learners] == ["ana", "bo"]
    (said,) = book.unread
    assert said.startswith("There are more than 2 files") and "a second gradebook" in said


def test_the_limits_are_said_in_the_help(capsys):
    with pytest.raises(SystemExit):
        gradebook_command.command(["--help"])
    told = " ".join(capsys.readouterr().out.split())
    for limit in (gradebook.MOST_FILES, handin_file.MOST_BYTES // 1024, handin_file.MOST_ATTEMPTS):
        assert f" {limit} " in told


def test_how_far_it_has_come_is_told_of_every_file_and_nothing_stays_on_the_screen(folder, capsys):
    for name in ("ana", "bo"):
        hand_in(folder, learner(name), [attempt(QUANTITY, "1 N")])
    told = []
    book = read_folder(folder, say=told.append)
    assert [re.search(r"\d+", text).group() for text in told] == ["1", "2"]
    gradebook_command.write(book, folder.parent, say=told.append)
    assert any("page" in text for text in told) and any("table" in text for text in told)
    assert run(folder) == 0 and capsys.readouterr().err == "", "a screen that is no terminal is left alone"


# --- hostile files -------------------------------------------------------------------------------------------------

NAMES = [
    "../../etc/passwd",
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    '=HYPERLINK("http://x","y")',
    "+1+1",
    "-2+3",
    "@SUM(A1)",
    "＝1+1",
    "Ana\u202eM",
    "\u2066bo\u2069",
    "C:\\Windows\\x",
    "tab\tname",
    "x" * 60,
    "{shown}",
    "%s%n",
]


def plant(folder):
    """Put one of each kind of bad file into a folder; give how many there are."""
    good = hand_in(
        folder, learner("good one"), [attempt(QUANTITY, right(pose(QUANTITY, "good one")))], "good.json"
    ).read_bytes()
    data = json.loads(good)
    put = lambda name, content: (folder / name).write_bytes(content)
    put("cut.json", good[: len(good) // 2])
    put("empty.json", b"")
    put("letter.txt", b"dear mentor")
    put("notebook.ipynb", b'{"nbformat": 4, "cells": []}')
    put("deep.json", b'{"a": ' + b"[" * 200_000)
    put("integer.json", good.replace(b'"hints": 0', b'"hints": ' + b"9" * 5000))
    put("nan.json", good.replace(b'"hints": 0', b'"hints": NaN'))
    put("types.json", json.dumps({**data, "attempts": {"exercise": 7}}).encode())
    put("surrogate.json", json.dumps({**data, "shown": "\ud800"}).encode("ascii"))
    put("newer.json", json.dumps({**data, "schema": 99}).encode())
    put("pickle.json", b"cos\nsystem\n(S'touch executed'\ntR.")
    put("program.py", b"open('executed', 'w')\n")
    with open(folder / "huge.json", "wb") as file:
        file.truncate(100_000_000)
    with zipfile.ZipFile(folder / "packed.json", "w") as archive:
        archive.writestr("handin.json", good)
    count = 14
    if sys.platform != "win32":
        (folder / "link.json").symlink_to(folder / "good.json")
        (folder / "link to folder").symlink_to(folder.parent, target_is_directory=True)
        os.mkfifo(folder / "pipe.json")
        put(os.fsdecode(b"\xff\xfe name.json"), b"not ours")
        count += 4
    return count


def tree(place):
    """Every path below a place with size and time of change."""
    return {path: (path.lstat().st_size, path.lstat().st_mtime_ns) for path in place.rglob("*")}


def test_bad_files_never_stop_the_rest_and_each_gets_one_line(folder, capsys, monkeypatch):
    monkeypatch.chdir(folder.parent)
    count = plant(folder)
    for number, name in enumerate(NAMES):
        hostile = hand_in(
            folder,
            learner("mallory"),
            [attempt(QUANTITY, f"={number}+cmd|' /C calc'!A0")],
            f"name-{number:02}.json",
            shown=name,
        )
        assert hostile.exists()
    before = tree(folder.parent)
    page, rows = made(folder)
    said = capsys.readouterr().out
    unread = said.split("Not read or not graded:\n")[1].split("Worth a look:")[0].strip().splitlines()
    assert len(unread) == count and all(line.strip().startswith("'") and line.endswith(".") for line in unread)
    assert len({line.split("'")[1] for line in unread}) == count, "one line each"
    good = next(row for row in rows if row[0] == "good one" and row[-1] == QUANTITY.id)
    assert good[3] == RIGHT and len({row[0] for row in rows[1:]}) == 1 + len(NAMES)
    assert all(line.strip()[:30] in html.unescape(page) for line in unread)
    outside = {
        path: state for path, state in tree(folder.parent).items() if folder.parent / "out" not in (path, path.parent)
    }
    assert outside == before, "nothing outside the output folder is written"
    assert sorted(path.name for path in (folder.parent / "out").iterdir()) == [gradebook.TABLE, gradebook.PAGE]


@POSIX
def test_a_pipe_does_not_wait_for_a_writer(folder):
    hand_in(folder, learner("ana"), [attempt(QUANTITY, "1 N")])
    os.mkfifo(folder / "pipe.json")
    found = []
    thread = threading.Thread(target=lambda: found.append(read_folder(folder)), daemon=True)
    thread.start()
    thread.join(10)
    assert found and found[0].unread == ["'pipe.json' is a pipe or a device, not a file."]


class Reader(html.parser.HTMLParser):
    """Collects tags, attributes and text of a page."""

    def __init__(self, page):
        super().__init__()
        self.tags, self.attributes, self.text = set(), [], []
        self.feed(page)

    def handle_starttag(self, tag, attributes):
        self.tags.add(tag)
        self.attributes += attributes

    def handle_data(self, data):
        self.text.append(data)


@pytest.fixture
def hostile_page(folder):
    for name in NAMES:
        hand_in(folder, learner("mallory"), [attempt(QUANTITY, "<b>=1</b>\t\u202e")], shown=name)
    (folder / "<img src=x onerror=alert(1)>.json" if sys.platform != "win32" else folder / "plain.json").write_text("x")
    return made(folder)


def test_names_are_text_in_the_page(hostile_page):
    read = Reader(hostile_page[0])
    assert read.tags <= set(
        "html head meta title style body header h1 h2 h3 dl div dt dd nav a p ol ul li span strong q table "
        "thead tbody tr th td small footer".split()
    )
    assert all(
        key in ("class", "id", "href", "scope", "lang", "charset", "http-equiv", "content", "name", "aria-label")
        for key, _ in read.attributes
    )
    assert all(value.startswith("#") for key, value in read.attributes if key == "href")
    text = " ".join(read.text)
    assert "<script>alert(1)</script>" in text and "../../etc/passwd" in text and "AnaM" in text
    assert not any("\u202a" <= mark <= "\u202e" or "\u2066" <= mark <= "\u2069" for mark in hostile_page[0])


def test_the_page_has_a_strict_policy_and_no_address(hostile_page):
    page = hostile_page[0]
    policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]*)"', page).group(1)
    style = re.search(r"<style>(.*?)</style>", page, re.DOTALL).group(1)
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    assert policy == f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    assert page.index("Content-Security-Policy") < page.index("<style>")
    assert not re.search(r"(https?:)?//|url\(|@import|style=", page.replace("http://x", ""))


# What a spreadsheet runs as a formula where a cell begins with it, and every character that Unicode holds to be the
# same in another form (Unicode Standard Annex 15, compatibility decomposition); U+2212 is the minus sign proper.
SIGNS = {"\t", "\r", "\u2212"} | {
    chr(code)
    for code in range(sys.maxunicode + 1)
    if unicodedata.normalize("NFKC", chr(code))[0] in ("=", "+", "-", "@", "\u2212")
}
# A mentor opens the table with whatever separator the spreadsheet takes, which need not be the one that it has.
SEPARATORS = (",", ";", "\t", "|")


def readings(table):
    """Every field of a table, as each separator reads it, with its quotes and without."""
    for separator in SEPARATORS:
        for quoting in (csv.QUOTE_MINIMAL, csv.QUOTE_NONE):
            for row in csv.reader(io.StringIO(table, newline=""), delimiter=separator, quoting=quoting):
                yield from row


def formulas(table):
    """The fields that a spreadsheet would run, also if it leaves out spaces or a lone quote at their beginning."""
    return {field for field in readings(table) if field.lstrip(' "')[:1] in SIGNS}


def test_no_cell_of_the_table_is_a_formula_and_numbers_stay_numbers(hostile_page):
    _, (head, *rows) = hostile_page
    assert head == list(gradebook_csv.HEAD) and all(len(row) == len(head) for row in rows)
    for row in rows:
        assert not any(cell[:1] in SIGNS or re.search(r"[\t\r\n\u202e]", cell) for cell in row), row
        assert row[4].isdigit() and row[5].isdigit()
    assert any(cell.startswith("'=HYPERLINK") for row in rows for cell in row)


LIVE = "bo;=cmd|'/c calc'!a0;x"


@pytest.mark.parametrize("more", [(), ("--semicolons",)])
def test_no_separator_makes_a_formula_of_a_name_or_an_answer(folder, more):
    forms = (LIVE, "a,=1,b", 'a;"=1', "a\t=1", "a; =1", "a\n=1;=2")
    texts = [form.replace("=", sign) for sign in sorted(SIGNS - {"\t", "\r"}) for form in forms]
    for text in texts:
        hand_in(folder, learner("mallory"), [attempt(QUANTITY, text)], shown=text)
    if sys.platform != "win32":
        hand_in(folder, learner("eve"), [attempt(QUANTITY, "1 N")], "c;=1,-2.json")
    made(folder, *more)
    assert not formulas((folder.parent / "out" / gradebook.TABLE).read_text(encoding="utf-8-sig"))


def test_no_text_of_any_kind_makes_a_formula_with_any_separator():
    rng = random.Random(11)
    for _ in range(tries(3000, thorough=100_000)):
        cells = ["".join(rng.choices("=-＝@+'\";,|\t\r\n a1\u2028", k=rng.randrange(8))) for _ in range(4)]
        for separator in (",", ";"):
            table = "".join(gradebook_csv.line([*cells, 3], separator) for _ in range(2))
            assert not formulas(table), cells
            back = list(csv.reader(io.StringIO(table, newline=""), delimiter=separator))
            assert len(back) == 2 and all(len(row) == 5 and row[-1] == "3" for row in back)


def test_the_readers_of_this_test_see_a_formula_that_is_there():
    assert "=cmd" in str(formulas(f'"1","{LIVE}"\r\n')) and not formulas('"1","a=b"\r\n')
    assert formulas('"a","=1"\r\n') and formulas("a\t-1\r\n") and formulas('"1","a;""=1"\r\n')


def test_a_negative_number_of_ours_stays_a_number():
    (row,) = csv.reader([gradebook_csv.line(["-3 N", -3, -2.5])])
    assert row == ["'-3 N", "-3", "-2.5"]


@pytest.mark.parametrize("text", ["=1", "+1", "-3.2 N", "−3", "@x", "\t=1", "\r=1", " =1", "\u200b=1", "＝1", "\x00-1"])
def test_formulas_are_made_text(text):
    assert gradebook_csv.harmless(text).startswith("'")


@pytest.mark.parametrize("text", ["3.2 N·m", "ana", "'x", "1=1", "", "–", "a = 1; b = -2", "a; b, c", "1e-3"])
def test_other_cells_stay_as_they_are(text):
    assert gradebook_csv.harmless(text) == text


def test_the_table_opens_as_utf_8_with_commas_or_semicolons(folder):
    hand_in(folder, learner('Zoë, "Z"; Ш'), [attempt(QUANTITY, "1 N·m")])
    for more, separator in (((), ","), (("--semicolons",), ";")):
        made(folder, *more)
        content = (folder.parent / "out" / gradebook.TABLE).read_bytes()
        assert content.startswith(b'\xef\xbb\xbf"learner"' + separator.encode())
        rows = list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline=""), delimiter=separator))
        assert {row[0] for row in rows[1:]} == {'Zoë, "Z"; Ш'} and len(rows) == 1 + len(registry.exercises())


# --- folders and files ---------------------------------------------------------------------------------------------


def test_the_default_is_a_new_folder_beside_the_hand_ins_each_time(folder):
    hand_in(folder, learner("ana"), [attempt(QUANTITY, "1 N")])
    for _ in range(3):
        assert run(folder) == 0
    places = sorted(path for path in folder.iterdir() if path.is_dir())
    assert len(places) == 3 and all(place.name.startswith("gradebook_") for place in places)
    assert read_folder(folder).unread == [], "earlier gradebooks are no hand-ins"
    if sys.platform != "win32":
        assert {path.stat().st_mode & 0o077 for place in places for path in (place, *place.iterdir())} == {0}


def test_a_folder_that_was_named_is_written_again(folder):
    hand_in(folder, learner("ana"), [attempt(QUANTITY, "1 N")])
    out = folder.parent / "out"
    out.mkdir()
    (out / "notes.txt").write_text("mine")
    (out / gradebook.PAGE).write_text("old")
    made(folder)
    made(folder)
    assert (out / "notes.txt").read_text() == "mine" and "Gradebook" in (out / gradebook.PAGE).read_text()
    assert len(list(out.iterdir())) == 3
    assert run(folder, "--to", str(folder)) == 0
    assert read_folder(folder).unread == [], "page and table among the hand-ins are passed over"


@POSIX
def test_a_link_in_place_of_the_page_is_replaced_not_followed(folder):
    hand_in(folder, learner("ana"), [attempt(QUANTITY, "1 N")])
    out, precious = folder.parent / "out", folder.parent / "precious"
    out.mkdir()
    precious.write_text("precious")
    (out / gradebook.PAGE).symlink_to(precious)
    made(folder)
    assert precious.read_text() == "precious" and not (out / gradebook.PAGE).is_symlink()


def test_folders_one_level_down_are_looked_into_and_deeper_ones_are_named(folder):
    for place in ("laptop 1", "laptop 2", "laptop 2/deeper"):
        (folder / place).mkdir()
        hand_in(folder / place, learner(place), [attempt(QUANTITY, right(pose(QUANTITY, place)))], "handin.json")
    (folder / "laptop 1" / "broken.json").write_text("{")
    (folder / ".hidden").write_text("x")
    (folder / "Thumbs.db").write_text("x")
    book = read_folder(folder)
    assert [one.files for one in book.learners] == [("laptop 1/handin.json",), ("laptop 2/handin.json",)]
    assert book.unread == [
        "In 'laptop 1': 'broken.json' is cut off or damaged: ask for the file again.",
        "In 'laptop 2': 'deeper' is a folder two levels down: give it a gradebook of its own.",
    ]
    assert book.passed_over == 2


@pytest.mark.parametrize(
    "make", [lambda place: None, lambda place: place.write_text("a file"), lambda place: place.mkdir()]
)
def test_nothing_to_read_is_a_sentence_and_nothing_is_written(tmp_path, make, capsys):
    place = tmp_path / "class"
    make(place)
    before = tree(tmp_path)
    assert run(place) == 1
    said = capsys.readouterr()
    assert said.out == "" and said.err.count("\n") == 1 and tree(tmp_path) == before


def test_a_place_that_can_not_be_written_is_a_sentence(folder, capsys):
    hand_in(folder, learner("ana"), [attempt(QUANTITY, "1 N")])
    (folder.parent / "taken").write_text("a file")
    assert run(folder, "--to", str(folder.parent / "taken")) == 1
    assert "name another folder with --to" in capsys.readouterr().err


def test_half_a_page_is_never_left(folder, monkeypatch):
    hand_in(folder, learner("ana"), [attempt(QUANTITY, "1 N")])
    out = folder.parent / "out"

    def broken(*_):
        yield "half"
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(gradebook_command.gradebook_page, "page", broken)
    assert run(folder, "--to", str(out)) == 1 and list(out.iterdir()) == []


def test_the_command_needs_no_screen():
    line = (
        "import sys, mechbench.course.gradebook_command; "
        "sys.exit(any(name in sys.modules for name in ('ipywidgets', 'matplotlib', 'IPython')))"
    )
    assert subprocess.run([sys.executable, "-c", line]).returncode == 0


# --- words and looks -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("took", "stuck", "words"),
    [
        (1, 0, "1 of 9 learners, right by now"),
        (1, 1, "1 of 9 learners, not right yet"),
        (4, 0, "4 of 9 learners, all of them have it right by now"),
        (4, 4, "4 of 9 learners, none of them has it right yet"),
        (4, 1, "4 of 9 learners, 1 of them does not have it right yet"),
        (4, 3, "4 of 9 learners, 3 of them do not have it right yet"),
    ],
)
def test_a_trouble_in_words(took, stuck, words):
    trouble = gradebook.Trouble(QUANTITY, "x", ("n",) * took, ("n",) * stuck, 9)
    assert gradebook_command.gradebook_page.counted(trouble) == words


def colours(block):
    return dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6})", block))


def test_words_stand_out_from_the_paper_in_light_dark_and_print():
    style = (printed_page.OWN / "page.css").read_text(encoding="utf-8")
    light, dark, printed = (colours(part) for part in re.split(r"@media", style)[:3])
    for look in (light, dark, printed):
        for ink in ("ink", "quiet", "right", "yet", "noted"):
            assert contrast(look[ink], look["paper"]) >= 4.5
        for ink, ground in (("yet", "yet-tint"), ("quiet", "yet-tint"), ("ink", "tint"), ("quiet", "tint")):
            assert contrast(look[ink], look[ground]) >= 4.5


def test_states_are_told_by_a_sign_and_a_word(folder):
    hand_in(folder, learner("ana"), [attempt(QUANTITY, right(pose(QUANTITY, "ana")), hints=1)])
    page, _ = made(folder)
    assert (
        '<td class="right">✓ right<small>1 try, 1 hint</small></td>' in page
        and '<td class="none">– not tried</td>' in page
    )


def test_lessons_that_nobody_began_do_not_fill_the_page(folder):
    hand_in(folder, learner("ana"), [attempt(QUANTITY, right(pose(QUANTITY, "ana")))])
    page, rows = made(folder)
    detail = page[page.index('id="exercises"') :]
    for lesson in registry.lessons():
        title = lessons.lesson(lesson).heading
        assert f">{title}</th>" in page and (f"<h3>{title}</h3>" in detail) == (lesson == QUANTITY.lesson)
    assert len(rows) == 1 + len(registry.exercises())

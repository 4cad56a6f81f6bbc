"""An answer belongs to the numbers that were asked: another number in the kit resets nothing that did not ask it.

The expectation is the plain one of a learner: what I answered stays answered, until I am asked something else.
"""

import csv
import itertools
import json
import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from collections import Counter
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

import mechbench
from mechbench.course import ask as asking
from mechbench.course import database, gradebook, gradebook_command, handin, handin_file, old_store, progress, registry
from mechbench.course.ask import ask, current_learner
from mechbench.course.exercise import Challenge, Choice, Quantity
from mechbench.course.gradebook import read_folder
from mechbench.course.grading import NOT_TRIED, NOT_YET, RECORDED, RIGHT, grade_posed
from mechbench.course.learner_numbers import pose, posed
from mechbench.course.posed_numbers import Question, is_fixed, is_same, own_kit, question
from mechbench.course.vetting import answers_to_try
from mechbench.kits import copy_kit, kit
from mechbench.kits.load import SETTING
from tests.course import hardship, old_edition
from tests.course.classroom import right, wrong
from tests.course.samples import CHALLENGE, KITS, TORQUE
from tests.tries import tries

KILLS = tries(20, thorough=100)
RECORDER = Path(__file__).with_name("recorder.py")
POSIX = pytest.mark.skipif(sys.platform == "win32", reason="Windows has no fork")
_OWN = own_kit().battery
GRAMS = 1000 * _OWN.mass
BATTERY = (f'mass = "{GRAMS:g} g"', f'mass = "{GRAMS + 1:g} g"')
OWN_VOLTS, *VOLTS = (f'open_circuit = "{_OWN.open_circuit + more:g} V"' for more in (0, 0.1, 1.0))
SENTENCE = "Asked with other numbers before; your old answer was right"


@pytest.fixture(autouse=True)
def team(tmp_path, monkeypatch):
    """A team's own kit in force, no answers yet, and the learner ana in this notebook."""
    copy_kit(tmp_path / "kit")
    edit(tmp_path, OWN_VOLTS, VOLTS[0])  # the course's own kit is always at hand; this one may be lost
    monkeypatch.setenv(SETTING, str(tmp_path / "kit"))
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path / "home"))
    progress._store_of.cache_clear()
    monkeypatch.setitem(asking._notebook, "learner", progress.store().learner("ana"))
    return tmp_path


def edit(folder, old, new):
    """Change one place of the team's kit."""
    path = folder / "kit" / "parts.toml"
    text = path.read_text("utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")


def change(folder, old, new):
    """Change one number of the team's kit."""
    before = kit().digest
    edit(folder, old, new)
    assert kit().digest != before


def answered(exercises):
    """Answer exercises rightly and give their states."""
    return {one.id: ask(one.id).answer(right(pose(one, "ana"))).state for one in exercises}


def rows(exercise):
    return pose(exercise, "ana").texts


def handed_in(folder):
    place = folder / "class"
    place.mkdir(exist_ok=True)
    return handin.write(current_learner(), place)


def table(folder):
    out = folder / "out"
    assert gradebook_command.command([str(folder / "class"), "--to", str(out)]) == 0
    with open(out / gradebook.TABLE, encoding="utf-8-sig", newline="") as file:
        return {row[-1]: row for row in csv.reader(file)}


def number_asked(id):
    """An exercise of the course by id, with what it asks for, so that a renamed one is noticed."""
    found = registry.exercise(id)
    assert isinstance(found, Quantity)
    return found


SAG = number_asked("power-sag")
LINE = number_asked("motors-line")
DESIGN = registry.exercise("motors-design")


# --- what stays ----------------------------------------------------------------------------------------------------


def test_the_batterys_mass_resets_no_exercise_that_does_not_ask_it(team):
    designs = [one for one in registry.exercises() if isinstance(one, Challenge)]
    asked = [one for one in registry.exercises() if one not in designs] + designs[::-4]  # a whole robot with them
    before, texts = answered(asked), {one.id: rows(one) for one in asked}
    assert set(before.values()) == {RIGHT, RECORDED} and len(asked) > 150
    change(team, *BATTERY)
    assert {one.id: rows(one) for one in asked} == texts
    after = {one.id: ask(one.id) for one in asked}
    assert {id: one.state for id, one in after.items()} == before
    assert not any(one.asked_before for one in after.values())
    again = after[LINE.id].answer(right(pose(LINE, "ana")))
    assert again.tries == 1 and len(progress.store().attempts(current_learner(), LINE.id)) == 1


def test_correct_save_resets_no_exercise_that_does_not_ask_what_was_measured(team):
    answered([SAG, LINE])
    slide = registry.exercise("motors-design")
    answered([slide])
    lengths = [100 + 10 * step for step in range(9)]
    part = kit().table("extension_springs").names[0]
    sheet = {"length [mm]": lengths, "force [N]": [1.0 + 0.2 * step for step in range(9)]}
    before = kit().digest
    mechbench.correct("spring", sheet, part=part).save(team / "kit")
    assert kit().digest != before
    assert [ask(one.id).state for one in (SAG, LINE, slide)] == [RIGHT] * 3


def test_a_part_that_a_design_does_not_name_resets_it_as_little_and_one_that_it_names_does(team):
    for name in kit().table("motors").names[:2]:
        raw = f"motor = {name}; count = 1"
        ask(DESIGN.id).answer(raw)
    first, second = progress.store().attempts(current_learner(), DESIGN.id)
    asked, name = rows(DESIGN), kit().table("motors").names[0]
    change(team, thermal(name), thermal(name).replace('= "', '= "1'))
    now = pose(DESIGN, "ana")
    assert now.texts == asked and is_same(second, now) and not is_same(first, now)
    assert ask(DESIGN.id).asked_before


def thermal(name):
    """The lines of a motor's heat, as the kit's file has them."""
    row = kit().table("motors").row(name)
    return f'heat_capacity = "{row["heat_capacity"]:g} J/K"\nthermal_resistance = "{row["thermal_resistance"]:g} K/W"'


def test_other_names_of_parts_are_no_other_numbers(team):
    state = answered([LINE])
    motors = kit().table("motors")
    edit(team, f'label = "{motors.labels[motors.usual]}"', 'label = "our best motor"')
    assert {LINE.id: ask(LINE.id).state} == state and not ask(LINE.id).asked_before


@pytest.mark.parametrize("used", KITS.values(), ids=KITS.keys())
def test_texts_of_a_row_that_follows_a_kit_decide_nothing(used):
    """So the digest may leave them out: no answer and no slip changes with them, and no two rows differ in them
    alone.
    """
    for exercise in registry.exercises():
        table = exercise.table(used)
        told = [question(posed(exercise, row, used)) for row in table]
        assert len({one.digest for one in told}) == len(table), exercise.id
        assert max(len(one.row) for one in told) < progress.POSED_LIMIT / 4
        if not (callable(exercise.rows) and isinstance(exercise, Quantity)):
            continue
        for row in table:
            one = posed(exercise, row, used).si
            other = posed(exercise, {k: "?" if isinstance(v, str) else v for k, v in row.items()}, used).si
            for formula in (exercise.answer, *(slip.formula for slip in exercise.slips)):
                assert formula(one) == formula(other), exercise.id


def test_a_design_is_judged_by_its_kit_even_where_its_row_follows_none():
    assert is_fixed(TORQUE) and not is_fixed(CHALLENGE) and not is_fixed(SAG)


# --- what is asked anew --------------------------------------------------------------------------------------------


def test_a_changed_number_that_is_asked_is_said_and_both_answers_count(team):
    first = right(pose(SAG, "ana"))
    ask(SAG.id).answer(wrong(pose(SAG, "ana"))).answer(first)
    change(team, *VOLTS)
    again = ask(SAG.id)
    assert (again.state, again.tries, again.shown_grade()) == (NOT_TRIED, 0, None)
    assert f"{SENTENCE}, and it still counts." in again.panel().feedback.value
    assert again.answer(first).grade.state == NOT_YET, "the old answer must not fit the new numbers"
    assert ask(SAG.id).answer(right(pose(SAG, "ana"))).state == RIGHT
    assert SENTENCE in ask(SAG.id).panel().feedback.value
    handed_in(team)
    row = table(team)[SAG.id]
    assert row[3:5] == [RIGHT, "4"]
    change(team, *reversed(VOLTS))
    back = ask(SAG.id)
    assert (back.state, back.tries, back.past.raw) == (RIGHT, 2, first)


@pytest.mark.parametrize(("answer", "said"), [(wrong, "was not right yet"), (right, "was right, and it still counts")])
def test_what_became_of_the_old_answer_is_said(team, answer, said):
    ask(SAG.id).answer(answer(pose(SAG, "ana")))
    change(team, *VOLTS)
    assert ask(SAG.id).asked_before == f"Asked with other numbers before; your old answer {said}."
    assert "numbers before" not in repr(ask(SAG.id))  # stored texts of a notebook are the same on every run


# --- the gradebook, without the kit of then ------------------------------------------------------------------------


def test_the_gradebook_grades_by_the_numbers_that_were_asked(team):
    told = answered([SAG, LINE])
    ask(SAG.id).another().answer(right(pose(SAG, "ana", 1)))
    path = handed_in(team)
    change(team, *VOLTS)
    change(team, *BATTERY)
    graded = handin.regrade(handin.read(path))
    assert [(one.state, one.from_file) for one in graded] == [(RIGHT, True), (RIGHT, False), (RIGHT, True)]
    book = read_folder(team / "class")
    assert {id: one.state for id, one in book.learners[0].standings.items()} == told and book.unread == []
    assert len(book.odd) == 1 and "2 of 3 answers were asked with other numbers" in book.odd[0]


def test_answers_of_quite_another_kit_are_graded_by_their_own_numbers():
    """What is checked of a row must let every honest kit pass."""
    counts = Counter()
    for exercise in registry.exercises():
        if isinstance(exercise, Challenge):
            continue
        one = pose(exercise, "ana", kit=KITS["second"])
        for raw in (right(one), wrong(one)):
            state = grade_posed(one, raw).state
            found = regraded(attempt_at(one, raw, state))
            assert (found.state, found.note) == (state, "")
            counts[state, found.from_file] += 1
    assert counts[RIGHT, True] > 40 and counts[NOT_YET, True] > 40


def attempt_at(posed, raw, state, **more):
    asked = question(posed, raw)
    made = progress.Attempt(posed.exercise.id, posed.exercise.revision, posed.kit.digest, raw, state)
    return replace(made, posed_digest=asked.digest, posed=asked.row, practice=posed.practice, **more)


def regraded(*attempts, key="ana"):
    learner = progress.Learner("d" * 32, key, key)
    attempts = [replace(one, at=old_edition.AT) for one in attempts]
    data = json.loads(handin_file.text_of(learner, attempts))
    found = handin.regrade(handin_file._handin("file.json", data))
    return found[0] if len(found) == 1 else found


def test_a_design_of_other_parts_counts_where_it_is_certain(team):
    one = pose(DESIGN, "ana")
    raws = {grade_posed(one, raw).state: raw for raw in reversed(list(answers_to_try(one)))}
    before = [attempt_at(one, raws[state], state) for state in (RIGHT, NOT_YET)]
    change(team, *BATTERY)
    lying = replace(before[1], state=RIGHT)
    assert [found.state for found in regraded(*before, lying)] == [RIGHT, NOT_YET, NOT_YET]
    name = raws[RIGHT].partition("motor = ")[2].partition(";")[0]
    change(team, thermal(name), 'heat_capacity = "5 J/K"\nthermal_resistance = "90 K/W"')
    right_then, wrong_then = regraded(*before)
    assert (right_then.state, wrong_then.state) == (handin.NOT_GRADED, NOT_YET)
    assert "Its parts are of another kit" in right_then.note and "grade it with that kit" in right_then.note


# --- rows that were never asked ------------------------------------------------------------------------------------


def forged(change=None, text=None, **more):
    """An answer to SAG from a kit that nobody has, its row changed and its digest made to fit."""
    one = pose(SAG, "ana")
    row = {**one.row, **(change or {"source": (13.6, "V")})}
    row = {name: given for name, given in row.items() if given is not None}
    made = attempt_at(replace(one, row=row), "5 V", RIGHT)
    return replace(made, **{"kit_digest": "f" * 12, **({"posed": text} if text is not None else {}), **more})


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"source": (14.1, "A")}, "source is in 'A', but it must be in V"),
        ({"source": (14.1, "nonsense")}, "source is in 'nonsense'"),
        ({"source": (1e9, "V")}, f"source is 1e+09, but it must be from {_OWN.open_circuit / 100:g} to "),
        ({"source": (-14.1, "V")}, "source is -14.1, but"),
        ({"source": (float("nan"), "V")}, "source must be a number and a unit"),
        ({"source": (float("inf"), "V")}, "source must be a number and a unit"),
        ({"count": (2.5, "")}, "count is 2.5, but it must be a whole number"),
        ({"source": None}, "'source' is missing"),
        ({"bonus": (1.0, "V")}, "'bonus' is too much"),
        ({"source": "14.1 V"}, "source must be a number and a unit"),
        (
            {"source": (14.1, "V"), "inner": (0.5, "ohm"), "count": (4, ""), "each": (5.0, "A"), "others": (8.2, "A")},
            "no answer",
        ),
    ],
)
def test_a_row_that_the_exercise_could_never_have_asked_is_refused(change, said):
    found = regraded(forged(change))
    assert found.state == handin.NOT_GRADED and said in found.note, found.note
    assert found.note.startswith("power-sag could never have asked these numbers: ") and found.note.endswith(".")


@pytest.mark.parametrize("text", ["", "[]", "{", "null", "[" * 1900, '{"source":[' + "9" * 1500 + ',"V"]}', '{"a":{}}'])
def test_a_row_that_is_none_is_refused(text):
    found = regraded(forged(text=text))
    assert found.state == handin.NOT_GRADED and "could never have asked these numbers" in found.note


def test_a_digest_that_does_not_fit_its_row_is_refused():
    honest = forged({"source": (13.6, "V")})
    found = regraded(replace(honest, posed=honest.posed.replace("13.6", "13.8")))
    assert found.state == handin.NOT_GRADED and "don't fit their digest" in found.note
    assert regraded(honest).state == NOT_YET


def test_with_its_kit_at_hand_a_row_must_be_the_learners_own_to_the_last_digit():
    honest = attempt_at(pose(SAG, "ana"), "5 V", NOT_YET)
    other = next(key for key in "bcdefgh" if pose(SAG, key).texts != pose(SAG, "ana").texts)
    never = "power-sag never asked this learner these numbers"
    assert regraded(honest).state == NOT_YET and never in regraded(honest, key=other).note
    assert never in regraded(forged({"source": (13.4, "V")}, kit_digest=kit().digest)).note


def test_an_exercise_that_asks_the_same_with_every_kit_takes_no_numbers_from_a_file():
    exercise = next(one for one in registry.exercises() if one.id == "robot-ten-cycles")
    one = pose(exercise, "ana")
    row = {**one.row, "true": (one.row["true"][0] + 0.1, "s")}
    made = attempt_at(replace(one, row=row), f"{row['true'][0]} s", RIGHT, kit_digest="f" * 12)
    assert "never asked this learner these numbers" in regraded(made).note


def test_one_forged_row_leaves_the_other_answers_alone(team):
    honest = attempt_at(pose(LINE, "ana"), right(pose(LINE, "ana")), RIGHT)
    assert [one.state for one in regraded(forged({"source": (1e9, "V")}), honest)] == [handin.NOT_GRADED, RIGHT]


# --- stores and hand-ins of the first edition ----------------------------------------------------------------------


def old_answers(key="ana"):
    """Of every kind: (name, exercise, raw, state, practice)."""
    found = [(key, one, right(pose(one, key)), RIGHT, 0) for one in (SAG, LINE, DESIGN, CHOICE)]
    found.append((key, SAG, right(pose(SAG, key, 2)), RIGHT, 2))
    return [*found, (key, replace(SAG, id="power-gone"), "1 V", RIGHT, 0), ("", LINE, "1 V", NOT_YET, 0)]


CHOICE = next(one for one in registry.exercises() if isinstance(one, Choice) and one.rows == ({},))


def fresh(folder):
    """A store as the next kernel sees it."""
    progress._store_of.cache_clear()
    asking._notebook["learner"] = None
    return progress.Store(folder)


def kept(keeper, name="ana"):
    return [(one.exercise, one.raw, one.state, one.practice) for one in keeper.attempts(keeper.find(name), strict=True)]


@pytest.fixture
def old_home(team):
    shutil.rmtree(team / "home")
    old_edition.write_store(team / "home", old_answers(), kit().digest)
    keeper = fresh(team / "home")
    return team / "home", keeper


@pytest.fixture
def expected(team):
    """What an old store holds of ana."""
    return [(one.id, raw, state, practice) for _, one, raw, state, practice in old_answers()[:-1]]


def test_an_old_store_is_carried_over_and_its_answers_outlive_a_changed_kit(team, old_home, expected):
    folder, keeper = old_home
    assert kept(keeper) == expected and schema(folder) == "2" and sound(folder)
    change(team, *BATTERY)
    asking._notebook["learner"] = fresh(folder).learner("ana")
    assert [ask(one.id).state for one in (SAG, LINE, DESIGN, CHOICE)] == [RIGHT] * 4
    change(team, *VOLTS)
    assert [ask(one.id).state for one in (SAG, LINE, CHOICE)] == [NOT_TRIED, RIGHT, RIGHT]
    assert SENTENCE in ask(SAG.id).asked_before and ask(LINE.id).answer(right(pose(LINE, "ana"))).tries == 1
    book_of = handin.regrade(handin.read(handed_in(team)))
    assert {one.attempt.exercise: one.state for one in book_of if one.state != RIGHT} == {
        "power-gone": handin.NOT_GRADED
    }


def test_an_old_store_of_a_kit_that_is_gone_loses_nothing(team, expected):
    shutil.rmtree(team / "home")
    old_edition.write_store(team / "home", old_answers(), "0" * 12)
    keeper = fresh(team / "home")
    assert kept(keeper) == expected
    asking._notebook["learner"] = keeper.learner("ana")
    assert ask(CHOICE.id).state == RIGHT  # it asks the same with every kit
    assert [ask(one.id).state for one in (SAG, LINE, DESIGN)] == [RIGHT] * 3  # right by today's numbers as well
    change(team, *VOLTS)
    assert (ask(SAG.id).state, ask(LINE.id).state) == (NOT_TRIED, RIGHT) and SENTENCE in ask(SAG.id).asked_before


def schema(folder):
    with closing(sqlite3.connect(folder / database.NAME)) as connection:
        return connection.execute("SELECT value FROM meta").fetchone()[0]


def sound(folder):
    with closing(sqlite3.connect(folder / database.NAME)) as connection:
        tables = {sql for (sql,) in connection.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL")}
        return tables == set(database.TABLES) and connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]


def test_an_old_store_that_may_not_be_written_is_read(team, old_home, monkeypatch, expected):
    folder, keeper = old_home
    monkeypatch.setattr(database, "BUSY_SECONDS", 0.2)
    with hardship.locked(folder / database.NAME, "IMMEDIATE"):
        assert kept(keeper) == expected
        receipt = keeper.record(keeper.find("ana"), attempt_at(pose(LINE, "ana"), "7 N·m", NOT_YET))
        assert receipt.pending and kept(keeper)[-1][1] == "7 N·m"
    assert schema(folder) == "1" and keeper.record(keeper.find("ana"), attempt_at(pose(LINE, "ana"), "8 N·m", NOT_YET))
    assert kept(keeper)[:-2] == expected and kept(keeper)[-2][1] == "7 N·m" and schema(folder) == "2" and sound(folder)


def test_an_old_answer_that_waits_moves_in_with_its_numbers(team, old_home):
    folder, keeper = old_home
    old_edition.waiting_file(folder, "ana", SAG, right(pose(SAG, "ana")), RIGHT, kit().digest)
    keeper.record(keeper.find("ana"), attempt_at(pose(LINE, "ana"), "7 N·m", NOT_YET))
    assert not list(folder.glob("pending-*"))
    moved = keeper.attempts(keeper.find("ana"))[-2]
    assert (moved.exercise, question(pose(SAG, "ana"))) == (SAG.id, Question(moved.posed_digest, moved.posed))


def test_a_damaged_old_store_is_carried_over_with_its_numbers(team):
    shutil.rmtree(team / "home")
    many = [("ana", SAG, f"{number} V", NOT_YET) for number in range(400)]
    old_edition.write_store(team / "home", many, kit().digest)
    path = team / "home" / database.NAME
    content = path.read_bytes()
    path.write_bytes(content[:-4096] + b"\xa5" * 4096)
    keeper = fresh(team / "home")
    carried = len(keeper.attempts(keeper.learner("ana")))
    keeper = fresh(team / "home")
    found = keeper.attempts(keeper.learner("ana"))
    assert len(found) == carried > 300 and {one.posed_digest for one in found} == {question(pose(SAG, "ana")).digest}
    assert sound(team / "home") and list(path.parent.glob("damaged-*"))


def statements(folder):
    """Every SQL statement of the migration, in order."""
    told = []
    with closing(database.connect(folder / database.NAME)) as connection:
        connection.set_trace_callback(told.append)
        connection.execute("BEGIN IMMEDIATE")
        database._check_schema(connection)
        connection.execute("ROLLBACK")
    return told


@POSIX
def test_a_kill_at_any_statement_of_the_migration_loses_nothing(team, old_home, expected):
    folder, _ = old_home
    original = (folder / database.NAME).read_bytes()
    count = len(statements(folder))
    assert count > 15 and schema(folder) == "1"
    after = []
    for number in itertools.count():
        (folder / database.NAME).write_bytes(original)
        child = os.fork()
        if child == 0:
            _migrate_until(folder, number)
        ended = os.waitpid(child, 0)[1]
        assert ended in (0, signal.SIGKILL)
        after.append(schema(folder))
        assert kept(fresh(folder)) == expected and schema(folder) == "2" and sound(folder), number
        assert not list(folder.glob("damaged-*"))
        if ended == 0:
            break
    assert after == ["1"] * number + ["2"] and number >= count


def _migrate_until(folder, number=None):
    """In a process of its own: migrate, and be killed right before the statement of that number."""
    seen = itertools.count()
    connect = database.connect

    def connected(path):
        connection = connect(path)
        connection.execute("PRAGMA cache_size = 1")  # so that pages, and the journal before them, go to the disk
        connection.set_trace_callback(
            lambda sql: os.kill(os.getpid(), signal.SIGKILL) if next(seen) == number else None
        )
        return connection

    database.connect = connected
    with database.writing(folder):
        pass
    os._exit(0)


@POSIX
def test_a_kill_at_any_moment_of_the_migration_loses_nothing(team):
    rng = random.Random(20261129)
    shutil.rmtree(team / "home")
    many = [("ana", SAG, f"{number} V", NOT_YET) for number in range(400)]
    old_edition.write_store(team / "home", many, kit().digest)
    folder, original = team / "home", (team / "home" / database.NAME).read_bytes()
    old_store.numbers_of(SAG.id, SAG.revision, kit().digest, 0, "ana")  # made once, here, and not in each process
    cut_short, tried, seconds = 0, 0, _seconds_of_a_migration(folder)
    # A busy machine takes now longer, now shorter: it goes on until enough of the kills fell into the migration.
    while tried < KILLS or (cut_short <= KILLS // 5 and tried < 50 * KILLS):
        tried += 1
        for path in folder.iterdir():
            path.unlink()
        (folder / database.NAME).write_bytes(original)
        child = os.fork()
        if child == 0:
            _migrate_until(folder)
        time.sleep(rng.uniform(0, seconds))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        if (folder / (database.NAME + "-journal")).exists():
            cut_short += 1
        else:
            seconds *= 0.9 if schema(folder) == "2" else 1.1  # it came too late, or too early
        assert [raw for _, raw, *_ in kept(fresh(folder))] == [raw for _, _, raw, _ in many]
        assert schema(folder) == "2" and sound(folder) and not list(folder.glob("damaged-*"))
    assert cut_short > KILLS // 5, "the kills did not fall into the migration"


def _seconds_of_a_migration(folder):
    begun, child = time.perf_counter(), os.fork()
    if child == 0:
        _migrate_until(folder)
    os.waitpid(child, 0)
    return time.perf_counter() - begun


def test_several_kernels_that_meet_an_old_store_at_once_lose_nothing(team, old_home, expected):
    folder, _ = old_home
    children = [
        subprocess.Popen(
            [sys.executable, str(RECORDER), str(folder), f"writer{number}", "10"], stdout=subprocess.PIPE, text=True
        )
        for number in range(3)
    ]
    confirmed = [line.split()[0] for child in children for line in child.communicate()[0].splitlines()]
    found = kept(fresh(folder))
    assert len(confirmed) == 30 and found[: len(expected)] == expected
    assert sorted(raw for _, raw, *_ in found[len(expected) :]) == sorted(confirmed) and sound(folder)


def test_an_edition_older_than_the_store_says_its_sentence_and_keeps_the_answer(team, monkeypatch):
    ask(LINE.id).answer("7 N·m")
    before = (team / "home" / database.NAME).read_bytes()
    monkeypatch.setattr(database, "SCHEMA", 1)
    monkeypatch.setattr(database, "TABLES", old_edition.TABLES)
    keeper = fresh(team / "home")
    receipt = keeper.record(keeper.learner("ana"), attempt_at(pose(LINE, "ana"), "8 N·m", NOT_YET))
    assert receipt.pending and receipt.message.startswith("The file with the answers was made by a newer edition")
    assert (team / "home" / database.NAME).read_bytes() == before


def test_an_old_hand_in_is_read_and_graded_and_counts_once_beside_a_new_one(team):
    place = team / "class"
    place.mkdir()
    answers = [(one, right(pose(one, "ana")), RIGHT) for one in (SAG, LINE, DESIGN, CHOICE)]
    old = place / "old.json"
    old.write_text(old_edition.hand_in_text("ana", answers, kit().digest), encoding="utf-8")
    found = handin.read(old)
    assert [one.state for one in handin.regrade(found)] == [RIGHT] * 4 and found.notes == ()
    data = [attempt_at(pose(one, "ana"), raw, state, at=old_edition.AT) for one, raw, state in answers]
    learner = progress.Learner(found.uid, "ana", "ana")
    (place / "new.json").write_text(handin_file.text_of(learner, data), encoding="utf-8")
    book = read_folder(place)
    assert len(book.learners) == 1 and {one.tries for one in book.learners[0].standings.values()} == {1}


def test_an_old_hand_in_of_the_courses_own_kit_is_graded_whatever_kit_is_in_force(team):
    change(team, *VOLTS)
    answers = [(one, right(pose(one, "ana", kit=own_kit())), RIGHT) for one in (SAG, LINE, DESIGN, CHOICE)]
    path = team / "old.json"
    path.write_text(old_edition.hand_in_text("ana", answers, own_kit().digest), encoding="utf-8")
    assert [one.state for one in handin.regrade(handin.read(path))] == [RIGHT] * 4
    path.write_text(old_edition.hand_in_text("ana", answers, "f" * 12), encoding="utf-8")
    graded = handin.regrade(handin.read(path))
    assert [one.state for one in graded] == [*[handin.NOT_GRADED] * 3, RIGHT] and "another kit" in graded[0].note


def test_an_old_hand_in_with_a_field_of_a_new_one_is_refused(team):
    data = json.loads(old_edition.hand_in_text("ana", [(LINE, "7 N·m", NOT_YET)], kit().digest))
    path = team / "file.json"
    path.write_text(json.dumps({**data, "rows": {}}), encoding="utf-8")
    with pytest.raises(handin.HandInError, match="a field that hand-ins do not have: 'rows'"):
        handin.read(path)


@pytest.mark.parametrize("rows", [{"a": {}}, {"a": 1}, {"a": "x" * 2001}, {"x" * 201: "{}"}, {"a": "\ud800"}])
def test_rows_of_a_hand_in_that_are_none_are_refused(team, rows):
    ask(LINE.id).answer("7 N·m")
    path = handed_in(team)
    data = json.loads(path.read_text("utf-8"))
    path.write_text(json.dumps({**data, "rows": rows}), encoding="utf-8")
    with pytest.raises(handin.HandInError, match="'rows'"):
        handin.read(path)


def test_the_numbers_of_an_answer_go_there_and_back(team):
    answered([SAG, LINE, DESIGN, CHOICE])
    attempts = tuple(progress.store().attempts(current_learner()))
    assert all(one.posed and one.posed_digest for one in attempts)
    assert handin.read(handed_in(team)).attempts == tuple(replace(one, value=None, unit="") for one in attempts)
    assert len(json.loads(handed_in(team).read_text("utf-8"))["rows"]) == 4

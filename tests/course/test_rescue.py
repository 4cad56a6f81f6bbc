"""Damage and loss: what can be read is carried over first, what can't is told at each start, copies bring it back.

Outside check: SQLite's own integrity check (sqlite.org, "PRAGMA integrity_check") passes after all of it.
"""

import os
import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from mechbench.course import database, earlier, pending, progress, rescue
from mechbench.launch import start
from tests.course import hardship
from tests.course.test_progress import POSIX, answer, kept_answers, raws, sound, waiting_row
from tests.tries import tries

ENDER = Path(__file__).with_name("ender.py")
FEW, PAGE = 60, 4096
DAYS = [f"2026-03-{day:02}" for day in range(1, 11)]


def on(monkeypatch, day):
    """Let it be that day."""
    monkeypatch.setattr(rescue, "_today", lambda: day)
    monkeypatch.setattr(progress, "now", lambda: f"{day}T10:00Z")


def spoil(path, first=-PAGE, length=PAGE):
    """Write over a part of a file."""
    content = bytearray(path.read_bytes())
    first %= len(content)
    content[first : first + length] = b"\xa5" * length
    path.write_bytes(content)


def store_of(folder, count=FEW):
    """A file with answers "0" to "count - 1" by ana, and one by ben."""
    keeper = kept_answers(folder, count)
    with database.writing(folder) as connection:
        progress._add_attempt(connection, waiting_row("his", name="ben", uid="b" * 32))
    return keeper


def numbers(count=FEW):
    return [str(number) for number in range(count)]


def names(folder, kind):
    return sorted(path.name for path in folder.glob(kind))


# --- daily copies --------------------------------------------------------------------------------------------------


def test_the_first_answer_of_a_day_leaves_a_copy_and_seven_days_stay(tmp_path, monkeypatch):
    keeper = progress.Store(tmp_path)
    for number, day in enumerate(DAYS):
        on(monkeypatch, day)
        for word in "ab":
            assert keeper.record(keeper.learner("ana"), answer(f"{number}{word}")).message == "Saved."
    assert names(tmp_path, "copy-*") == [f"copy-{day}.sqlite" for day in DAYS[-7:]]
    assert [one.answers for one in rescue.copies(tmp_path)] == [19, 17, 15, 13, 11, 9, 7]
    for path in tmp_path.glob("copy-*"):
        with closing(sqlite3.connect(path)) as connection:
            assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert sys.platform == "win32" or path.stat().st_mode & 0o777 == 0o600
    assert rescue.notices(tmp_path) == [] and not names(tmp_path, "ma*")


def test_a_copy_with_answers_that_are_nowhere_else_is_not_thinned_out(tmp_path, monkeypatch):
    on(monkeypatch, "2026-02-01")
    progress.Store(tmp_path).record(progress.Learner("a" * 32, "ana", "ana"), answer("only there"))
    (tmp_path / database.NAME).unlink()
    keeper = progress.Store(tmp_path)
    for day in DAYS:
        on(monkeypatch, day)
        keeper.record(keeper.learner("ana"), answer(day))
    assert names(tmp_path, "copy-*") == [f"copy-{day}.sqlite" for day in ("2026-02-01", *DAYS[-7:])]


def test_a_damaged_file_is_never_copied(tmp_path):
    store_of(tmp_path)
    spoil(tmp_path / database.NAME)
    with pytest.raises((database.Damaged, sqlite3.DatabaseError)):
        rescue.copy_of_the_day(tmp_path)
    assert names(tmp_path, "copy-*") == [] and not names(tmp_path, "ma*")


def test_a_copy_that_cannot_be_made_is_said_once_and_harms_no_answer(tmp_path, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    keeper = progress.Store(tmp_path)
    monkeypatch.setattr(rescue, "_copy", full)
    told = [keeper.record(keeper.learner("ana"), answer(raw)).message for raw in "12"]
    assert told == [
        "Saved. Today's copy of the answers could not be made: The disk is full: make room on it.",
        "Saved.",
    ]
    monkeypatch.undo()
    keeper.record(keeper.learner("ana"), answer("3"))
    assert raws(keeper) == ["1", "2", "3"] and len(names(tmp_path, "copy-*")) == 1


# --- damage --------------------------------------------------------------------------------------------------------


def test_answers_behind_a_page_that_cannot_be_read_are_carried_over_too(tmp_path):
    store_of(tmp_path, 400)
    path = tmp_path / database.NAME
    found = path.read_bytes().find(b"200not yet")  # a leaf in the middle of the table
    spoil(path, found // PAGE * PAGE)
    keeper = progress.Store(tmp_path)
    message = keeper.record(keeper.learner("ana"), answer("new")).message
    carried = raws(keeper)[:-1]
    assert {"0", "399"} <= set(carried) and "200" not in carried and len(carried) > 350
    assert f"and {len(carried) + 1} earlier answers could be carried over" in message  # ben's one is among them


def pages_with(path, word):
    """The numbers of the pages that hold a word, from 0."""
    content = path.read_bytes()
    return [number for number in range(len(content) // PAGE) if word in content[number * PAGE : (number + 1) * PAGE]]


@pytest.mark.parametrize("also_in_indexes", [False, True])
def test_answers_of_a_learner_whose_name_cannot_be_read_are_carried_over(tmp_path, also_in_indexes):
    store_of(tmp_path)
    path = tmp_path / database.NAME
    places = [number for number in pages_with(path, b"ana") if number not in pages_with(path, b"gearing-ratio")]
    assert len(places) == 2  # the table of learners and the index of their names
    for number in places if also_in_indexes else [max(places, key=lambda n: pages_with(path, b"f" * 32).count(n))]:
        spoil(path, number * PAGE)
    keeper = progress.Store(tmp_path)
    message = keeper.record(keeper.learner("ana"), answer("new")).message
    assert f"and {FEW + 1} earlier answers could be carried over" in message
    if also_in_indexes:
        assert "they are under: lost name ffffffff, lost name bbbbbbbb" in message
        assert raws(keeper) == ["new"] and raws(keeper, "lost name ffffffff") == numbers()
    else:
        assert raws(keeper) == [*numbers(), "new"] and raws(keeper, "ben") == ["his"]


def test_daily_copies_fill_the_gaps_of_a_damaged_file(tmp_path):
    store_of(tmp_path, 400)
    rescue.copy_of_the_day(tmp_path)
    spoil(tmp_path / database.NAME, PAGE, 10 * PAGE)
    keeper = progress.Store(tmp_path)
    assert "came from the daily copies" in keeper.record(keeper.learner("ana"), answer("new")).message
    assert sorted(raws(keeper)[:-1], key=int) == numbers(400) and raws(keeper, "ben") == ["his"]


@pytest.mark.parametrize("copied", [True, False])
def test_a_file_of_zero_bytes_is_a_damaged_one(tmp_path, copied):
    store_of(tmp_path)
    if copied:
        rescue.copy_of_the_day(tmp_path)
    (tmp_path / database.NAME).write_bytes(b"")
    pending.keep(tmp_path, waiting_row("waited"))
    keeper = progress.Store(tmp_path)
    message = keeper.record(keeper.learner("ana"), answer("new")).message
    (aside,) = names(tmp_path, "damaged-*")
    assert f"was empty (0 bytes): it is kept as {aside}" in message and "1 answer that waited moved in" in message
    assert raws(keeper) == [*(numbers() if copied else []), "waited", "new"] and sound(tmp_path)
    assert (f"{FEW + 1} answers came from the daily copies" in message) is copied


def test_a_file_is_never_seen_half_made(tmp_path, monkeypatch):
    """An ended process used to leave a file without tables, which is a damaged one now."""

    def stop(connection):
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(database, "_make_tables", stop)
        with pytest.raises(KeyboardInterrupt):
            progress.Store(tmp_path).learner("ana")
    assert names(tmp_path, "*.sqlite*") == [] and progress.Store(tmp_path).learner("ana").key == "ana"


@contextmanager
def full(folder):
    """A full disk, or a limit on the length of files where this account may not mount one."""
    with hardship.full_disk(folder, "1m") as fill:
        yield fill


@POSIX
def test_damage_on_a_full_disk_loses_no_answer_and_hides_none(tmp_path):
    home = tmp_path / "disk"
    with full(home) as fill:
        store_of(home, 401)
        spoil(home / database.NAME)
        readable = {row["raw"] for row in rescue.readable(home / database.NAME, "attempt")}
        if fill:
            fill()
        with hardship.no_file_longer_than(10 * PAGE):
            keeper = progress.Store(home)
            receipt = keeper.record(keeper.learner("ana"), answer("new"))
            meanwhile = {*raws(keeper), *raws(keeper, "ben")}
        assert receipt.message.startswith(("The file with the answers is damaged, and", "NOT SAVED. The file with"))
        assert not receipt.confirmed and meanwhile - {"new"} == readable and len(readable) > 370
        assert names(home, "damaged-*") == names(home, "ma*") == []
        (home / "ballast").unlink(missing_ok=True)
        later = progress.Store(home)
        assert f"and {len(readable)} earlier answers could" in later.record(later.learner("ana"), answer("2")).message
        assert readable <= {*raws(later), *raws(later, "ben")} and sound(home)


def test_damage_in_a_file_that_is_locked_waits_until_it_can_be_read(tmp_path, monkeypatch):
    monkeypatch.setattr(database, "BUSY_SECONDS", 0.2)
    store_of(tmp_path, 400)
    spoil(tmp_path / database.NAME)
    keeper = progress.Store(tmp_path)
    with hardship.locked(tmp_path / database.NAME):
        with monkeypatch.context() as patch:  # that it is damaged was seen before it was locked
            patch.setattr(database, "healthy", lambda folder: False)
            with pytest.raises(sqlite3.OperationalError, match="locked"):
                rescue.set_aside(tmp_path)
        assert names(tmp_path, "damaged-*") == names(tmp_path, "ma*") == []
    assert keeper.record(keeper.learner("ana"), answer("new")).confirmed and len(raws(keeper)) > 370


@pytest.mark.parametrize("work", [database.writing, database.reading])
def test_no_file_is_replaced_while_another_process_works_on_it(tmp_path, monkeypatch, work):
    monkeypatch.setattr(database, "BUSY_SECONDS", 0.2)
    store_of(tmp_path)
    with work(tmp_path):
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            rescue.copy_of_the_day(tmp_path)
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            rescue.set_aside(tmp_path)
    rescue.copy_of_the_day(tmp_path)


def test_an_answer_waits_while_another_process_replaces_the_file(tmp_path, monkeypatch):
    monkeypatch.setattr(database, "BUSY_SECONDS", 0.2)
    keeper = store_of(tmp_path)
    with hardship.locked(tmp_path / database.LOCK):
        receipt = keeper.record(keeper.learner("ana"), answer("new"))
    assert receipt.pending and "locked for more than" in receipt.message
    assert keeper.record(keeper.learner("ana"), answer("2")).confirmed and raws(keeper)[-2:] == ["new", "2"]


def test_what_stands_in_the_lock_stops_nobody(tmp_path):
    keeper = store_of(tmp_path)
    (tmp_path / database.LOCK).write_bytes(b"no lock at all" * 100)
    assert keeper.record(keeper.learner("ana"), answer("new")).confirmed and rescue.set_aside(tmp_path) == ""


def test_an_answer_that_is_in_several_copies_is_told_once(tmp_path, monkeypatch):
    keeper = progress.Store(tmp_path)
    for day in DAYS[:3]:
        on(monkeypatch, day)
        keeper.record(keeper.learner("ana"), answer(day))
    (tmp_path / database.NAME).unlink()
    (told,) = rescue.notices(tmp_path)
    assert told.startswith(
        "copy-2026-03-03.sqlite is a copy with answers: 3 answers in it are not among those kept now"
    )


def test_going_back_over_a_file_of_a_newer_edition_is_refused(two_days, capsys):
    with closing(sqlite3.connect(two_days.folder / database.NAME)) as newer:
        newer.execute("UPDATE meta SET value = '99'")
        newer.commit()
    before = (two_days.folder / database.NAME).read_bytes()
    assert earlier.command(["2026-03-01"]) == 1 and "newer edition" in capsys.readouterr().out
    assert (two_days.folder / database.NAME).read_bytes() == before


# --- told until it is dealt with -----------------------------------------------------------------------------------


@pytest.fixture
def aside(tmp_path, monkeypatch):
    """Answers of which some are only in a damaged file: an earlier edition moved it away first and was ended then."""
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path))
    store_of(tmp_path)
    name = "damaged-2026-03-01-01234567.sqlite"
    os.rename(tmp_path / database.NAME, tmp_path / name)
    keeper = progress.Store(tmp_path)
    keeper.record(keeper.learner("ana"), answer("after"))
    return name


def test_what_is_only_in_a_damaged_file_is_told_at_each_start_until_it_is_dealt_with(tmp_path, aside, capsys):
    for _ in range(2):
        keeper = progress.Store(tmp_path)
        keeper.learner("ana")
        (told,) = keeper.news()
        assert told.startswith(f"{aside} is a damaged file with answers: {FEW + 1} answers in it are not among those")
        assert keeper.news() == [] and start.about_answers() == [told]
    assert earlier.command([aside.removesuffix(".sqlite")]) == 0
    assert f"{FEW + 1} answers of {aside} came back." in capsys.readouterr().out
    assert sorted(raws(progress.Store(tmp_path))) == sorted([*numbers(), "after"])
    assert "each answer that can be read of it is kept elsewhere" in start.about_answers()[0]
    assert earlier.command([aside, "--drop"]) == 0 and start.about_answers() == []
    assert not (tmp_path / aside).exists() and len(raws(progress.Store(tmp_path))) == FEW + 1


def test_a_deleted_file_is_told_and_its_answers_come_back_from_a_copy(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path))
    store_of(tmp_path)
    rescue.copy_of_the_day(tmp_path)
    (tmp_path / database.NAME).unlink()
    keeper = progress.Store(tmp_path)
    keeper.record(keeper.learner("ana"), answer("after"))
    (told,) = start.about_answers()
    day = rescue.short(rescue.copies(tmp_path)[0].name)
    assert f"{FEW + 1} answers in it are not among those kept now" in told and f"earlier {day} brings them back" in told
    assert earlier.command([day]) == 0
    assert f"with {FEW + 1} answers; 1 that was not in it stayed" in capsys.readouterr().out
    assert raws(progress.Store(tmp_path)) == [*numbers(), "after"] and start.about_answers() == []


def test_a_waiting_answer_that_cannot_be_read_is_told_and_can_be_dropped(tmp_path, monkeypatch):
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path))
    progress.store().learner("ana")
    (tmp_path / "pending-0.jsonl").write_bytes(b"\xff\n")
    (told,) = start.about_answers()
    assert told.startswith("pending-0.jsonl held an answer that waited, and can't be read.")
    assert earlier.command(["pending-0.jsonl", "--drop"]) == 0 and start.about_answers() == []


# --- going back ------------------------------------------------------------------------------------------------------


@pytest.fixture
def two_days(tmp_path, monkeypatch):
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path / "home"))
    keeper = progress.store()
    for day in DAYS[:2]:
        on(monkeypatch, day)
        for word in "ab":
            keeper.record(keeper.learner("ana"), answer(f"{day}{word}"))
    return keeper


def test_earlier_lists_what_there_is(two_days, capsys):
    assert earlier.command([]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == f"Answers are kept in {two_days.folder}."
    assert [line.split() for line in lines[1:4]] == [
        "now 4 answers by 1 learner".split(),
        "2026-03-02 3 answers by 1 learner".split(),
        "2026-03-01 1 answer by 1 learner".split(),
    ]
    assert "earlier 2026-03-02 goes back to the newest copy" in lines[4] and len(lines) == 5


def test_earlier_where_nobody_answered(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path / "none"))
    assert earlier.command([]) == 0 and "There are none yet" in capsys.readouterr().out
    assert earlier.command(["2026-03-01"]) == 1
    assert "no copy of the answers called '2026-03-01'; there are: none yet" in capsys.readouterr().out
    assert not (tmp_path / "none").exists()


def test_going_back_keeps_what_is_newer_and_a_copy_of_what_was_there(two_days, capsys):
    before = raws(two_days)
    assert earlier.command(["2026-03-01"]) == 0
    told = capsys.readouterr().out
    assert "Back at copy-2026-03-01.sqlite, with 1 answer; 3 that were not in it stayed." in told
    (kept,) = [one for one in rescue.copies(two_days.folder) if one.name.count("-") == 4]
    assert f"What was there before is kept as {kept.name}." in told and kept.answers == 4
    assert raws(two_days) == before and raws(progress.Store(two_days.folder)) == before and sound(two_days.folder)


def test_going_back_undoes_a_change_and_can_be_undone(two_days):
    with closing(sqlite3.connect(two_days.folder / database.NAME)) as other:
        other.execute("DROP TRIGGER answers_stay")
        other.execute("UPDATE attempt SET raw = 'changed'")
        other.execute(database.TABLES[3])
        other.commit()
    assert set(raws(two_days)) == {"changed"}
    rescue.go_back(two_days.folder, "2026-03-02")
    assert raws(two_days) == ["2026-03-01a", "2026-03-01b", "2026-03-02a", "changed"]
    rescue.go_back(two_days.folder, next(n for n in names(two_days.folder, "copy-*") if n.count("-") == 4))
    assert set(raws(two_days)) == {"changed"}


def test_two_files_in_which_the_same_place_is_taken_give_all_answers(tmp_path):
    one, other = progress.Store(tmp_path), progress.Store(tmp_path / "other")
    for keeper, raw in ((one, "1"), (one, "2"), (other, "3"), (other, "4")):
        keeper.record(keeper.learner("ana"), answer(raw))
    shutil.copy(tmp_path / "other" / database.NAME, tmp_path / "copy-2026-03-01.sqlite")
    rescue.go_back(tmp_path, "2026-03-01")
    assert sorted(raws(one)) == ["1", "2", "3", "4"] and raws(one)[:2] == ["3", "4"] and len(one.learners()) == 1


def test_an_unknown_copy_is_refused_with_those_that_there_are(two_days, capsys):
    for line in (["2026-03-09"], ["../x", "--drop"], [database.NAME, "--drop"]):
        assert earlier.command(line) == 1
        assert "there are: 2026-03-02, 2026-03-01." in capsys.readouterr().out
    with pytest.raises(SystemExit):
        earlier.command(["--drop"])


# --- forgetting ------------------------------------------------------------------------------------------------------


def traces(folder, *words):
    """Names of the files that hold one of some words."""
    return [path.name for path in folder.iterdir() if any(word in path.read_bytes() for word in words)]


def test_forget_covers_copies_and_damaged_files(tmp_path):
    store_of(tmp_path)
    rescue.copy_of_the_day(tmp_path)
    shutil.copy(tmp_path / database.NAME, tmp_path / "damaged-2026-03-01-0.sqlite")
    told = progress.Store(tmp_path).forget("ana")
    cleaned = ", ".join([*names(tmp_path, "copy-*"), "damaged-2026-03-01-0.sqlite"])
    assert told == f"Deleted: {FEW} answers of 'ana'. Cleaned as well: {cleaned}. Hand-in files were not touched."
    assert traces(tmp_path, b"f" * 32) == []
    assert raws(progress.Store(tmp_path), "ben") == ["his"] and [one.answers for one in rescue.copies(tmp_path)] == [1]


def test_forget_lists_what_it_cannot_clean(tmp_path):
    store_of(tmp_path, 400)
    hurt = tmp_path / "damaged-2026-03-01-0.sqlite"
    shutil.copy(tmp_path / database.NAME, hurt)
    spoil(hurt, PAGE, 4 * PAGE)
    told = progress.Store(tmp_path).forget("ana")
    assert f"could not be cleaned, delete them by hand in {tmp_path}: {hurt.name}." in told
    assert traces(tmp_path, b"f" * 32) == [hurt.name]


def test_whoever_is_only_in_a_copy_can_be_forgotten(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path))
    store_of(tmp_path)
    rescue.copy_of_the_day(tmp_path)
    (tmp_path / database.NAME).unlink()
    assert progress.forget_command(["ana", "--yes"]) == 0 and "Deleted: 0 answers" in capsys.readouterr().out
    assert traces(tmp_path, b"f" * 32) == [] and [one.answers for one in rescue.copies(tmp_path)] == [1]


# --- ended in the middle ---------------------------------------------------------------------------------------------


@contextmanager
def ender():
    line = [sys.executable, str(ENDER)]
    with subprocess.Popen(line, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:

        def ended(task, folder, moment):
            print(task, folder, moment, file=process.stdin, flush=True)
            return process.stdout.readline().strip()

        yield ended
        process.stdin.close()


def begun(folder, task, count=4):
    """Make what a task finds when it begins; give the answers that must outlive it."""
    store_of(folder, count)
    if task in ("back", "forget"):
        rescue.copy_of_the_day(folder)
    if task.endswith("answer"):
        spoil(folder / database.NAME)
    return {row["raw"] for row in rescue.readable(folder / database.NAME, "attempt")}


def endings(folder, task):
    """Give (folder, the call before which the task was ended) for many moments, each in a folder of its own.

    Every call that changes a name or waits for the disk, and a part of the others; with --thorough each of them.
    """
    with ender() as ended:
        shutil.copytree(folder / "model", folder / "whole")
        done, *calls = ended(task, folder / "whole", 0).split()
        assert done == "done"
        often = {"open", "connect", "execute", "close"}
        for moment, call in enumerate(calls, 1):
            if call not in often or moment % tries(5, thorough=1) == 0:
                shutil.copytree(folder / "model", folder / str(moment))
                assert ended(task, folder / str(moment), moment) == f"killed at {call}"
                yield folder / str(moment), call
                shutil.rmtree(folder / str(moment))


@POSIX
@pytest.mark.parametrize("task", ["answer", "unlinked_answer", "copy", "back"])
def test_an_end_at_any_moment_leaves_every_answer(tmp_path, task):
    expected, calls = begun(tmp_path / "model", task), []
    for folder, call in endings(tmp_path, task):
        calls.append(call)
        shown = progress.Store(folder)
        assert expected <= {*raws(shown), *raws(shown, "ben")}, calls
        assert shown.record(shown.learner("ana"), answer("last")).confirmed, calls
        found = [*raws(shown), *raws(shown, "ben")]
        assert expected <= set(found) and len(found) == len(set(found)) and sound(folder), calls
        assert not names(folder, "ma*") and len(names(folder, "damaged-*")) == task.endswith("answer"), calls
        assert len(rescue.notices(folder)) == task.endswith("answer"), calls
    assert {"execute", "replace"} <= set(calls)
    print(f"{task}: ended at {len(calls)} moments")


@POSIX
def test_forgetting_that_was_ended_can_be_done_again_and_leaves_no_trace(tmp_path):
    begun(tmp_path / "model", "forget")
    moments = 0
    for folder, call in endings(tmp_path, "forget"):
        moments += 1
        keeper = progress.Store(folder)
        assert raws(keeper, "ben") == ["his"], call
        if traces(folder, b"f" * 32):
            assert keeper.knows("ana")
            keeper.forget("ana")
        assert traces(folder, b"f" * 32) == [] and raws(keeper, "ben") == ["his"], call
    assert moments > 10
    print(f"forget: ended at {moments} moments")

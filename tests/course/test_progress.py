"""Answers are kept: through kills, crowds, read-only folders, full disks, locks, damage and clocks that go back.

Outside check: SQLite's own integrity check (sqlite.org, "PRAGMA integrity_check") passes after all of it.
"""

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
import tomllib
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mechbench.course import database, pending, progress, rescue
from tests.course import hardship
from tests.tries import tries

RECORDER = Path(__file__).with_name("recorder.py")
KILLS = tries(100, thorough=500)
POSIX = pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such file rights, limits or mounts")


def answer(raw, exercise="gearing-ratio", **more):
    return progress.Attempt(exercise, 1, "0123456789ab", raw, "not yet", **more)


def raws(keeper, name="ana"):
    return [attempt.raw for attempt in keeper.attempts(keeper.learner(name))]


def recorder(*words):
    line = [sys.executable, str(RECORDER), *map(str, words)]
    return subprocess.Popen(line, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)


def confirmed_by_all(children):
    """Wait for processes to end; give the answers that they saw confirmed and how long each took."""
    lines = [line.split() for child in children for line in child.communicate()[0].splitlines()]
    return [raw for raw, _ in lines], [float(seconds) for _, seconds in lines]


def sound(folder):
    with closing(sqlite3.connect(folder / database.NAME)) as connection:
        return connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]


@pytest.fixture
def keeper(tmp_path):
    return progress.Store(tmp_path / "home")


@pytest.fixture
def impatient(monkeypatch):
    monkeypatch.setattr(database, "BUSY_SECONDS", 0.2)


# What is kept


def test_a_learner_is_the_same_by_name_and_the_book_has_none(keeper):
    ana, again, book = keeper.learner("Ana  M"), progress.Store(keeper.folder).learner("ana m "), keeper.learner("")
    assert ana == again and (ana.shown, ana.key) == ("Ana M", "ana m")
    assert (book.shown, book.key) == ("", "") and book.uid != ana.uid and len(ana.uid) == 32
    assert keeper.learners() == [ana, book] and keeper.find("ben") is None


def test_another_machine_gives_another_id(tmp_path):
    assert progress.Store(tmp_path / "a").learner("ana").uid != progress.Store(tmp_path / "b").learner("ana").uid


def test_a_name_that_cannot_be_is_refused(keeper):
    with pytest.raises(ValueError, match="1 to 60"):
        keeper.learner("x" * 61)


def test_answers_come_back_whole_and_in_order(keeper):
    ana = keeper.learner("ana")
    first = answer("5:1", slip="upside down", hints=2, practice=3, value=0.2, unit="-")
    receipt = keeper.record(ana, first)
    assert (receipt.confirmed, receipt.pending, receipt.message) == (True, False, "Saved.")
    keeper.record(ana, answer("1", exercise="motor-heat"))
    keeper.record(keeper.learner("ben"), answer("2"))
    found = keeper.attempts(ana)
    assert [attempt.raw for attempt in found] == ["5:1", "1"]
    assert found[0] == progress.Attempt(**{**vars(first), "at": found[0].at}) and found[0].at.endswith("Z")
    assert [attempt.raw for attempt in keeper.attempts(ana, "motor-heat")] == ["1"]


@given(st.text(max_size=progress.RAW_LIMIT))
@settings(max_examples=30, deadline=None)
def test_any_text_comes_back_as_it_was(tmp_path_factory, raw):
    keeper = progress.Store(tmp_path_factory.mktemp("any"))
    assert keeper.record(keeper.learner("ana"), answer(raw)).confirmed
    assert raws(keeper) == [raw]


def test_half_a_surrogate_pair_becomes_a_question_mark(keeper):
    assert keeper.record(keeper.learner("ana"), answer("5 \ud800 kg")).confirmed
    assert raws(keeper) == ["5 ? kg"]


def test_a_very_long_answer_is_cut_and_that_is_said(keeper):
    receipt = keeper.record(keeper.learner("ana"), answer("9" * 10_000))
    assert receipt.confirmed and "first 200 characters" in receipt.message
    assert raws(keeper) == ["9" * 199 + "…"]


def test_a_text_of_the_course_that_is_too_long_is_an_error(keeper):
    with pytest.raises(ValueError, match="slip has 201 characters: give at most 200"):
        keeper.record(keeper.learner("ana"), answer("1", slip="x" * 201))


def test_answers_can_be_added_but_not_changed(keeper):
    keeper.record(keeper.learner("ana"), answer("1"))
    with database.writing(keeper.folder) as connection:
        with pytest.raises(sqlite3.IntegrityError, match="never changed"):
            connection.execute("UPDATE attempt SET state = 'right'")


def test_the_file_is_in_the_safest_mode_that_sqlite_has(keeper):
    keeper.learner("ana")
    with database.reading(keeper.folder) as connection:
        found = {
            name: connection.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("journal_mode", "synchronous", "secure_delete", "foreign_keys")
        }
    assert found == {"journal_mode": "delete", "synchronous": 3, "secure_delete": 1, "foreign_keys": 1}
    assert database.BUSY_SECONDS == 5


@POSIX
def test_files_are_private_to_the_account(keeper):
    keeper.record(keeper.learner("ana"), answer("1"))
    pending.keep(keeper.folder, waiting_row("2"))
    rights = {path.suffix: path.stat().st_mode & 0o777 for path in keeper.folder.iterdir()}
    assert keeper.folder.stat().st_mode & 0o777 == 0o700 and {".sqlite", ".jsonl", ".lock"} == set(rights)
    assert set(rights.values()) == {0o600} and list(keeper.folder.glob("copy-*.sqlite"))


def test_the_folder_is_the_setting_or_the_place_of_the_system():
    home = Path.home()
    assert progress.folder({"MECHBENCH_HOME": "/data/answers"}) == Path("/data/answers").absolute()
    assert progress.folder({}, "linux") == home / ".local" / "share" / "mechbench"
    assert progress.folder({"XDG_DATA_HOME": "/data"}, "linux") == Path("/data/mechbench")
    assert progress.folder({}, "darwin") == home / "Library" / "Application Support" / "mechbench"
    assert progress.folder({"LOCALAPPDATA": "/local"}, "win32") == Path("/local/mechbench")


def test_store_follows_the_setting(monkeypatch, tmp_path):
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path / "one"))
    assert progress.store().folder == tmp_path / "one" and progress.store() is progress.store()
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path / "two"))
    assert progress.store().folder == tmp_path / "two"


def test_the_edition_is_that_of_the_project():
    project = tomllib.loads(Path(progress.__file__).parents[2].joinpath("pyproject.toml").read_text("utf-8"))
    assert progress.EDITION == project["project"]["version"]


# Killed, and crowded


class Writer:
    """A process that records without end; when it is ended, the next one can begin."""

    def __init__(self, name):
        self.starter, self.name, self.runs, self.confirmed, self.process = recorder(), name, 0, [], None

    def begin(self, folder):
        """Start a process."""
        self.runs += 1
        print(f"{self.name}.{self.runs}", folder, file=self.starter.stdin, flush=True)
        self.process = int(self.starter.stdout.readline().split()[1])

    def wait(self):
        """Wait until the process saw an answer confirmed."""
        self._take(self.starter.stdout.readline())

    def kill(self):
        """End the process where it stands."""
        os.kill(self.process, signal.SIGKILL)
        self.process = None

    def collect(self):
        """Take the answers that an ended process saw confirmed."""
        for line in itertools.takewhile(lambda line: line != "ended\n", self.starter.stdout):
            self._take(line)

    def _take(self, line):
        self.confirmed.append(line.split()[0])


@pytest.fixture
def writers():
    """Four of them."""
    four = [Writer(f"writer{number}") for number in range(4)]
    yield four
    end([writer for writer in four if writer.process])
    for writer in four:
        writer.starter.communicate()


def end(writers):
    """Kill processes at the same time, and take what each saw confirmed."""
    for writer in writers:
        writer.kill()
    for writer in writers:
        writer.collect()


def begin(writers, folder):
    """Start processes at the same time, and wait until each saw an answer confirmed."""
    for writer in writers:
        writer.begin(folder)
    for writer in writers:
        writer.wait()


def confirmed_of(writers):
    return {raw for writer in writers for raw in writer.confirmed}


@POSIX
def test_every_confirmed_answer_outlives_kills_while_four_write_at_once(tmp_path, writers):
    rng = random.Random(20260301)
    kills = cut_short = all_at_once = 0
    begin(writers, tmp_path)
    while kills < KILLS:
        time.sleep(rng.uniform(0, 0.02))  # The next answers are being committed meanwhile.
        victims = writers if rng.random() < 0.2 else [rng.choice(writers)]
        end(victims)
        kills += len(victims)
        if len(victims) == 4:  # With nobody left to undo it, a commit that was cut short is seen.
            all_at_once += 1
            cut_short += (tmp_path / (database.NAME + "-journal")).exists()
        begin(victims, tmp_path)
    end(writers)
    confirmed, found = confirmed_of(writers), raws(progress.Store(tmp_path))
    assert len(confirmed) >= KILLS and cut_short >= 1, "the kills did not fall into commits"
    assert confirmed <= set(found) and len(found) == len(set(found))
    assert sound(tmp_path) and not list(tmp_path.glob("damaged-*"))
    print(
        f"{len(confirmed)} confirmed, none lost in {kills} kills; {cut_short} of {all_at_once} of all inside a commit"
    )


@POSIX
def test_kills_while_a_damaged_file_is_set_aside_before_four_writers_lose_nothing(tmp_path, writers):
    rng = random.Random(20260302)
    kills = 0
    for number in range(tries(8, thorough=60)):
        folder = tmp_path / str(number)
        kept_answers(folder)
        (folder / database.NAME).write_bytes(damaged_at_the_end(folder / database.NAME))
        readable = {row["raw"] for row in rescue.readable(folder / database.NAME, "attempt")}
        for writer in writers:
            writer.confirmed = []
            writer.begin(folder)
        time.sleep(rng.uniform(0, 0.15))
        victims = rng.sample(writers, rng.randint(1, 3))
        end(victims)
        others = [writer for writer in writers if writer not in victims]
        for writer in others:
            writer.wait()
        end(others)
        kills += len(victims)
        found = raws(progress.Store(folder))
        assert len(readable) > 30 and readable | confirmed_of(writers) <= set(found) and sound(folder), number
        assert len(list(folder.glob("damaged-*"))) == 1 and len(found) == len(set(found)), number
    print(f"none lost in {kills} kills while a file was set aside")


def damaged_at_the_end(path):
    return path.read_bytes()[:-4096] + b"\xa5" * 4096


@pytest.mark.parametrize(("writers", "count"), [(2, 100), (4, 100)])
def test_nothing_is_lost_when_many_write_at_once(tmp_path, writers, count):
    children = [recorder(tmp_path, f"writer{number}", count) for number in range(writers)]
    confirmed, seconds = confirmed_by_all(children)
    found = raws(progress.Store(tmp_path))
    assert sorted(confirmed) == sorted(found) and len(found) == writers * count and sound(tmp_path)
    for number in range(writers):
        word = f"writer{number}-"
        assert [raw for raw in found if raw.startswith(word)] == [f"{word}{n}" for n in range(count)]
    print(f"{writers} x {count}: {len(confirmed)} confirmed at once, the longest took {max(seconds):.3f} s")


# Where the progress file cannot be written


def waiting_row(raw, name="ana", **more):
    learner = progress.Learner("f" * 32, name, name)
    return {**progress._row(learner, answer(raw)), **more}


@POSIX
@pytest.mark.parametrize("begun", [False, True])
def test_a_read_only_folder_is_said_and_nothing_is_called_saved(begun):
    with hardship.reachable_folder() as folder:
        keeper = progress.Store(folder)
        if begun:
            keeper.record(keeper.learner("ana"), answer("before"))
        with hardship.read_only(folder):
            ana = keeper.learner("ana")
            receipt = keeper.record(ana, answer("1"))
            found = [attempt.raw for attempt in keeper.attempts(ana)]
        assert (receipt.confirmed, receipt.pending) == (False, False)
        assert receipt.message.startswith("NOT SAVED. mechbench may not write in the folder")
        assert "MECHBENCH_HOME" in receipt.message and found == ["before"] * begun


@POSIX
def test_a_read_only_file_in_a_folder_that_is_not_leaves_the_answer_waiting():
    with hardship.reachable_folder() as folder:
        keeper = progress.Store(folder)
        keeper.record(keeper.learner("ana"), answer("before"))
        with hardship.read_only(folder):
            os.chmod(folder, 0o700)
            receipt = keeper.record(keeper.learner("ana"), answer("1"))
            meanwhile = raws(keeper)
        assert (receipt.confirmed, receipt.pending) == (False, True) and "may not write" in receipt.message
        receipt = keeper.record(keeper.learner("ana"), answer("2"))
        assert receipt.confirmed and meanwhile == ["before", "1"] and raws(keeper) == ["before", "1", "2"]


@pytest.mark.parametrize("kind", ["EXCLUSIVE", "IMMEDIATE"])
def test_a_locked_file_leaves_the_answer_waiting_until_later(keeper, impatient, kind):
    ana = keeper.learner("ana")
    keeper.record(ana, answer("1"))
    with hardship.locked(keeper.folder / database.NAME, kind):
        receipt = keeper.record(ana, answer("2"))
        meanwhile = [attempt.raw for attempt in keeper.attempts(ana)]
        if kind == "EXCLUSIVE":
            assert "locked" in keeper.trouble and meanwhile == ["1", "2"]  # the first one from the copy of the day
            with pytest.raises(progress.ProgressError, match="locked"):
                keeper.attempts(ana, strict=True)
    assert receipt == progress.Receipt(False, True, receipt.message) and "locked for more than" in receipt.message
    receipt = keeper.record(ana, answer("3"))
    assert receipt.message == "Saved. 1 answer that waited moved in."
    assert raws(keeper) == ["1", "2", "3"] and keeper.trouble == "" and not list(keeper.folder.glob("pending-*"))


def test_a_new_learner_on_a_locked_file_keeps_one_id_and_gets_the_answers(keeper, impatient):
    keeper.learner("ana")
    with hardship.locked(keeper.folder / database.NAME):
        ben = keeper.learner("ben")
        assert ben == keeper.learner("Ben") and keeper.record(ben, answer("1")).pending
        other = progress.Store(keeper.folder)
        assert other.record(other.learner("ben"), answer("2")).pending
    assert keeper.learner("ben").key == ben.key
    assert sorted(raws(keeper, "ben")) == ["1", "2"] and raws(other, "ben") == raws(keeper, "ben")
    assert [learner.key for learner in keeper.learners()] == ["ana", "ben"]


def test_a_waiting_answer_moves_in_once_however_often_it_is_met(keeper):
    pending.keep(keeper.folder, row := waiting_row("1"))
    path = next(keeper.folder.glob("pending-*.jsonl"))
    shutil.copy(path, keeper.folder / "pending-copy.jsonl")
    assert raws(keeper) == ["1"]
    pending.keep(keeper.folder, row)
    assert [attempt.raw for attempt in keeper.attempts(keeper.learner("ana"))] == ["1"]
    keeper.record(keeper.learner("ana"), answer("2"))
    assert raws(keeper) == ["1", "2"] and not list(keeper.folder.glob("pending-*"))


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b'{"id": "1"',
        b"{}\n",
        b"[]\n",
        b"[" * 60_000 + b"\n",
        b"\xff\n",
        b"NaN\n",
        json.dumps(waiting_row("1", hints="two")).encode() + b"\n",
        json.dumps(waiting_row("1", extra=1)).encode() + b"\n",
    ],
)
def test_a_broken_waiting_file_stops_nothing_and_stays(keeper, content):
    keeper.folder.mkdir()
    (keeper.folder / "pending-broken.jsonl").write_bytes(content)
    told = keeper.record(keeper.learner("ana"), answer("2")).message
    assert told.startswith("Saved. pending-broken.jsonl held an answer that waited, and can't be read.")
    assert keeper.record(keeper.learner("ana"), answer("2")).message == "Saved."
    assert raws(keeper) == ["2", "2"] and (keeper.folder / "pending-broken.jsonl").read_bytes() == content


@POSIX
def test_a_full_disk_is_said_and_earlier_answers_stay(tmp_path):
    with hardship.full_disk(tmp_path / "disk") as fill:
        keeper = progress.Store(tmp_path / "disk")
        ana = keeper.learner("ana")
        keeper.record(ana, answer("before"))
        if fill is None:
            with hardship.no_file_longer_than(0):
                receipt = keeper.record(ana, answer("1"))
        else:
            fill()
            receipt = keeper.record(ana, answer("1"))
            (tmp_path / "disk" / "ballast").unlink()
        assert (receipt.confirmed, receipt.pending) == (False, False)
        assert receipt.message.startswith("NOT SAVED. The disk is full") or fill is None
        assert raws(keeper) == ["before"] and sound(keeper.folder) and not list(keeper.folder.glob("pending-*"))
        assert keeper.record(ana, answer("2")).confirmed
    print("full disk: a small disk of its own" if fill else "full disk: a limit on the length of files")


@POSIX
def test_a_quota_on_the_file_leaves_answers_waiting(keeper):
    ana = keeper.learner("ana")
    keeper.record(ana, answer("x" * 190))
    size = (keeper.folder / database.NAME).stat().st_size
    with hardship.no_file_longer_than(size):
        receipts = [keeper.record(ana, answer(f"{number} " + "x" * 190)) for number in range(40)]
    assert {(receipt.confirmed, receipt.pending) for receipt in receipts[-3:]} == {(False, True)}
    assert "full" in receipts[-1].message
    assert len(raws(keeper)) == 41 and sound(keeper.folder)
    assert [raw.split()[0] for raw in raws(keeper)[1:]] == [str(number) for number in range(40)]


def test_what_cannot_be_read_back_is_not_called_confirmed(keeper, monkeypatch):
    ana, write = keeper.learner("ana"), progress.Store._write

    def write_and_lose(self, task):
        done = write(self, task)
        (self.folder / database.NAME).unlink()
        return done

    monkeypatch.setattr(progress.Store, "_write", write_and_lose)
    receipt = keeper.record(ana, answer("1"))
    assert (receipt.confirmed, receipt.pending) == (False, True) and "read back" in receipt.message
    monkeypatch.undo()
    assert raws(keeper) == ["1"]


# Damage, other editions, the clock


def kept_answers(folder, count=60):
    keeper = progress.Store(folder)
    with database.writing(folder) as connection:
        for number in range(count):
            progress._add_attempt(connection, waiting_row(f"{number}"))
    return keeper


@pytest.mark.parametrize("seed", range(40))
def test_flipped_bytes_never_lose_a_new_answer_nor_the_damaged_file(tmp_path, seed):
    kept_answers(tmp_path)
    rng = random.Random(seed)
    damaged = hardship.flip(tmp_path / database.NAME, rng, rng.choice((1, 3, 30, 300)))
    keeper = progress.Store(tmp_path)
    receipt = keeper.record(keeper.learner("ana"), answer("new"))
    assert receipt.confirmed or receipt.pending
    assert raws(keeper)[-1] == "new" and raws(progress.Store(tmp_path))[-1] == "new"
    aside = list(tmp_path.glob("damaged-*.sqlite"))
    if aside:
        assert aside[0].stat().st_size == len(damaged)
        assert aside[0].name in receipt.message and "could be carried over" in receipt.message
    if receipt.confirmed:
        assert sound(tmp_path)


@pytest.mark.parametrize(
    "content", [b"not a database at all, but long enough to be looked at" * 20, b"\0" * 8192, b"SQLite"]
)
def test_a_file_that_is_no_database_is_set_aside_as_it_is(tmp_path, content):
    (tmp_path / database.NAME).write_bytes(content)
    keeper = progress.Store(tmp_path)
    receipt = keeper.record(keeper.learner("ana"), answer("1"))
    assert receipt.confirmed and "0 earlier answers could be carried over" in receipt.message
    assert [path.read_bytes() for path in tmp_path.glob("damaged-*.sqlite")] == [content]
    assert keeper.record(keeper.learner("ana"), answer("2")).message == "Saved."


def test_answers_on_sound_pages_are_carried_over(tmp_path):
    kept_answers(tmp_path, 400)
    path = tmp_path / database.NAME
    content = bytearray(path.read_bytes())
    content[-4096:] = b"\xa5" * 4096
    path.write_bytes(content)
    keeper = progress.Store(tmp_path)
    receipt = keeper.record(keeper.learner("ana"), answer("new"))
    carried = raws(keeper)[:-1]
    assert receipt.confirmed and f"and {len(carried)} earlier answers" in receipt.message
    assert len(carried) >= 300 and set(carried) <= {str(number) for number in range(400)}


def test_the_tables_of_another_program_are_set_aside(tmp_path):
    with closing(sqlite3.connect(tmp_path / database.NAME)) as other:
        other.execute("CREATE TABLE attempt (something)")
        other.execute("INSERT INTO attempt VALUES (1)")
        other.commit()
    keeper = progress.Store(tmp_path)
    assert keeper.record(keeper.learner("ana"), answer("1")).confirmed
    assert raws(keeper) == ["1"] and len(list(tmp_path.glob("damaged-*.sqlite"))) == 1


@pytest.mark.parametrize("content", [b"x" * 4096, b""])
def test_the_journal_of_a_damaged_file_does_not_get_into_the_new_one(tmp_path, content):
    journal = tmp_path / (database.NAME + "-journal")
    (tmp_path / database.NAME).write_bytes(content)
    journal.write_bytes(hot_journal(tmp_path / "other"))
    keeper = progress.Store(tmp_path)
    assert keeper.record(keeper.learner("ana"), answer("1")).confirmed
    assert raws(keeper) == ["1"] and not journal.exists() and sound(tmp_path)


def hot_journal(folder):
    """A journal as a killed process leaves it in the middle of a commit."""
    kept_answers(folder, 400)
    with closing(sqlite3.connect(folder / database.NAME, isolation_level=None)) as other:
        other.execute("PRAGMA cache_size = 1")  # so that pages go to the disk, and the journal before them
        other.execute("BEGIN IMMEDIATE")
        other.execute("DELETE FROM attempt")
        content = (folder / (database.NAME + "-journal")).read_bytes()
    assert content.startswith(bytes.fromhex("d9d505f920a163d7")) and len(content) > 4096  # SQLite's file format, 3
    return content


def test_another_process_in_the_middle_of_an_answer_does_not_harm_the_new_file(tmp_path):
    kept_answers(tmp_path, 400)
    path = tmp_path / database.NAME
    path.write_bytes(path.read_bytes()[:-4096] + b"\xa5" * 4096)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        other.execute("UPDATE meta SET value = ?", (str(database.SCHEMA),))
        keeper = progress.Store(tmp_path)
        assert keeper.record(keeper.learner("ana"), answer("new")).confirmed
        other.execute("COMMIT")
    assert raws(progress.Store(tmp_path))[-1] == "new" and sound(tmp_path)


def test_a_sound_file_is_never_set_aside(tmp_path):
    keeper = kept_answers(tmp_path)
    assert rescue.set_aside(tmp_path) == "" and len(raws(keeper)) == 60 and not list(tmp_path.glob("damaged-*"))


def test_damage_met_by_several_at_once_is_set_aside_once(tmp_path):
    kept_answers(tmp_path)
    path = tmp_path / database.NAME
    path.write_bytes(path.read_bytes()[:100] + b"\xa5" * 4000 + path.read_bytes()[4100:])
    children = [recorder(tmp_path, f"writer{number}", 20) for number in range(3)]
    confirmed, _ = confirmed_by_all(children)
    found = raws(progress.Store(tmp_path))
    assert len(list(tmp_path.glob("damaged-*.sqlite"))) == 1 and sound(tmp_path)
    assert set(confirmed) <= set(found)
    assert {f"writer{w}-{n}" for w in range(3) for n in range(20)} <= set(found)


def test_a_file_of_a_newer_edition_is_left_as_it_is(keeper):
    keeper.record(keeper.learner("ana"), answer("1"))
    path = keeper.folder / database.NAME
    with closing(sqlite3.connect(path)) as newer:
        newer.execute("UPDATE meta SET value = ?", (str(database.SCHEMA + 1),))
        newer.execute("ALTER TABLE attempt ADD COLUMN mood TEXT")
        newer.commit()
    before = path.read_bytes()
    later = progress.Store(keeper.folder)
    receipt = later.record(later.learner("ana"), answer("2"))
    assert (receipt.confirmed, receipt.pending) == (False, True) and "newer edition" in receipt.message
    assert path.read_bytes() == before and not list(keeper.folder.glob("damaged-*"))
    with pytest.raises(progress.ProgressError, match="newer edition"):
        later.forget("ana")


def test_a_clock_that_was_set_back_is_said_once_and_the_order_stays(keeper, monkeypatch):
    ana = keeper.learner("ana")
    messages = []
    for raw, at in (("1", "2026-03-02T10:00Z"), ("2", "2019-01-01T00:00Z"), ("3", "2019-01-01T00:01Z")):
        monkeypatch.setattr(progress, "now", lambda at=at: at)
        messages.append(keeper.record(ana, answer(raw)).message)
    assert raws(keeper) == ["1", "2", "3"]
    assert [("clock" in message) for message in messages] == [False, True, False] and "2026-03-02T10:00Z" in messages[1]


# Forgetting


def test_forget_leaves_no_trace_of_the_learner_and_keeps_the_others(keeper):
    keeper.record(keeper.learner("Zephyrina"), answer("quicksilver 7"))
    keeper.record(keeper.learner("ben"), answer("8"))
    pending.keep(keeper.folder, waiting_row("9 quicksilver", name="zephyrina"))
    (copy,) = keeper.folder.glob("copy-*.sqlite")
    assert keeper.forget(" ZEPHYRINA ") == (
        f"Deleted: 2 answers of 'zephyrina'. Cleaned as well: {copy.name}. Hand-in files were not touched."
    )
    left = b"".join(path.read_bytes() for path in keeper.folder.iterdir()).lower()
    assert b"zephyrina" not in left and b"quicksilver" not in left
    assert raws(keeper, "ben") == ["8"] and keeper.find("zephyrina") is None


def test_a_learner_who_comes_back_is_a_new_one(keeper):
    before = keeper.learner("ana")
    keeper.forget("ana")
    assert keeper.learner("ana").uid != before.uid and raws(keeper) == []


@pytest.fixture
def home(monkeypatch, tmp_path):
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path / "home"))
    keeper = progress.store()
    keeper.record(keeper.learner("Ana"), answer("1"))
    return keeper


@pytest.mark.parametrize(
    ("said", "gone"),
    [
        (["yes", "ana"], True),
        (["YES ", " Ana"], True),
        (["no"], False),
        (["yes", "ben"], False),
        (["yes", ""], False),
        ([""], False),
        ([], False),
    ],
)
def test_the_forget_command_asks_twice(home, capsys, said, gone):
    answers = iter(said)

    def ask(question):
        try:
            return next(answers)
        except StopIteration:
            raise EOFError from None

    assert progress.forget_command(["ana"], ask) == (0 if gone else 1)
    assert (home.find("ana") is None) is gone
    assert capsys.readouterr().out.startswith("Deleted: 1 answer of 'ana'." if gone else "Nothing was deleted.")


def test_the_forget_command_can_be_told_yes_and_knows_nobody(home, capsys):
    assert progress.forget_command(["bert"]) == 1
    assert (
        capsys.readouterr().out == "Nobody called 'bert' has answered on this computer: there are answers by 'ana'.\n"
    )
    assert progress.forget_command(["--yes", "ANA"]) == 0 and home.find("ana") is None
    assert progress.forget_command(["x" * 61, "--yes"]) == 1

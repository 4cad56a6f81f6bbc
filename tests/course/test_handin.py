"""Hand-ins are written whole, read without trust, and graded again from what was typed.

The kinds of bad file follow RFC 8259 (JSON: section 4 on names that come twice, 6 on numbers, 8.2 on half surrogate
pairs, 9 on limits that a reader sets) and Unicode Technical Report 36 (hidden and bidirectional characters).
"""

import copy
import json
import os
import stat
import subprocess
import sys
import threading
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mechbench.course import grading, handin, handin_file, progress, registry
from mechbench.course.exercise import Quantity
from mechbench.course.learner_numbers import canonical, pose
from mechbench.kits import kit
from tests.course import hardship

POSIX = pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such links, pipes and limits")
ASKED = next(exercise for exercise in registry.exercises() if isinstance(exercise, Quantity) and exercise.slips)


def answered(key, give, practice=0, **more):
    """An attempt at ASKED; `give` says what is typed, in SI, from the exercise with the learner's numbers."""
    posed = pose(ASKED, key, practice)
    raw = f"{give(posed):.8g} {SI[ASKED.kind]}"
    return progress.Attempt(ASKED.id, ASKED.revision, kit().digest, raw, "not yet", practice=practice, **more)


SI = {"speed": "m/s", "length": "m", "force": "N", "torque": "N m", "mass": "kg", "time": "s", "energy": "J"}


def truth(posed):
    return posed.exercise.answer(posed.si)


def first_slip(posed):
    return posed.exercise.slips[0].formula(posed.si)


@pytest.fixture
def keeper(monkeypatch, tmp_path):
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path / "home"))
    return progress.store()


@pytest.fixture
def ana(keeper):
    learner = keeper.learner("Ana M")
    keeper.record(learner, answered("ana m", first_slip, slip="something"))
    keeper.record(learner, answered("ana m", truth, hints=2))
    return learner


@pytest.fixture
def written(ana, tmp_path):
    return handin.write(ana, tmp_path)


@pytest.fixture
def good(written):
    return json.loads(written.read_text("utf-8"))


def saved(folder, data):
    path = folder / "file.json"
    path.write_bytes(data if isinstance(data, bytes) else json.dumps(data).encode("ascii"))
    return path


def refusal(path):
    """Read a bad file; give the one sentence that says why not, after checking that it is one."""
    with pytest.raises(handin.HandInError) as caught:
        handin.read(path)
    sentence = str(caught.value)
    assert sentence.startswith("'") and sentence.endswith(".") and sentence.isprintable() and len(sentence) < 250
    return sentence


# Writing


def test_what_is_written_is_read_again(ana, keeper, written):
    found = handin.read(written)
    assert (found.uid, found.shown, found.key) == (ana.uid, "Ana M", "ana m")
    assert (found.edition, found.kit, found.left_out) == (progress.EDITION, kit().digest, 0)
    assert list(found.attempts) == keeper.attempts(ana) and len(found.attempts) == 2
    assert found.notes == () and found.unknown == () and found.file == written.name


def test_the_file_says_nothing_about_computer_account_or_folder(written, tmp_path):
    import getpass
    import platform

    content = written.read_text("utf-8")
    for secret in (platform.node(), str(tmp_path), str(Path.home()), platform.python_version()):
        assert secret not in content
    assert getpass.getuser() not in json.dumps([*handin_file.TOP, *json.loads(content)["attempts"]])


def test_a_file_that_is_there_is_never_touched(ana, written, tmp_path):
    before = written.read_bytes()
    second, third = handin.write(ana, tmp_path), handin.write(ana, tmp_path)
    assert written.read_bytes() == before and len({written, second, third}) == 3
    assert second.name == written.name.replace(".json", "-2.json") and third.name.endswith("-3.json")
    assert written.name.startswith("handin_ana-m_20")


@pytest.mark.parametrize(
    ("name", "part"),
    [
        ("../../etc/passwd", "etc-passwd"),
        ("C:\\con", "c-con"),
        ("=cmd()", "cmd"),
        ("..", "learner"),
        ("žofie 7", "žofie-7"),
        ("a/b\u202e\u200bgnp.exe", "a-bgnp-exe"),
        ("<b>", "b"),
        ("", "book"),
        ("x" * 60, "x" * 30),
        ("-rf *", "rf"),
    ],
)
def test_a_name_cannot_lead_the_file_elsewhere(keeper, tmp_path, name, part):
    learner = keeper.learner(name)
    keeper.record(learner, answered(learner.key, truth))
    place = tmp_path / "class"
    place.mkdir()
    path = handin.write(learner, place)
    assert path.parent == place and path.name == f"handin_{part}_{progress.now()[:10]}.json"
    assert handin.read(path).key == learner.key and set(tmp_path.iterdir()) == {tmp_path / "home", place}


def test_nothing_to_hand_in_is_said(keeper, tmp_path):
    with pytest.raises(handin.HandInError, match="answer an exercise first"):
        handin.write(keeper.learner("ben"), tmp_path)


def test_a_folder_that_is_not_there_is_made(ana, tmp_path):
    path = handin.write(ana, tmp_path / "class" / "monday")
    assert path.parent == tmp_path / "class" / "monday" and handin.read(path).key == ana.key


def test_a_folder_that_can_not_be_made_is_said(ana, tmp_path):
    (tmp_path / "missing").touch()
    with pytest.raises(handin.HandInError, match="missing .*name another folder"):
        handin.write(ana, tmp_path / "missing")


@POSIX
def test_no_half_file_stays_on_a_full_disk(ana, tmp_path):
    with hardship.no_file_longer_than(100):
        with pytest.raises(handin.HandInError, match="No file could be written"):
            handin.write(ana, tmp_path)
    assert not list(tmp_path.glob("handin_*"))


def test_answers_that_cannot_be_read_are_not_silently_left_out(ana, keeper, monkeypatch, tmp_path):
    monkeypatch.setattr(progress.database, "BUSY_SECONDS", 0.2)
    with hardship.locked(keeper.folder / progress.database.NAME):
        with pytest.raises(handin.HandInError, match="locked"):
            handin.write(ana, tmp_path)


@pytest.mark.parametrize("raw", ["1", "\x01" * 200, "é" * 200])
def test_of_very_many_answers_the_last_ones_are_handed_in(keeper, monkeypatch, tmp_path, raw):
    many = [replace(answered("ana", truth), raw=raw, hints=n, at="2026-03-02T10:00Z") for n in range(6000)]
    monkeypatch.setattr(progress.Store, "attempts", lambda *_, **__: many)
    path = handin.write(keeper.learner("ana"), tmp_path)
    found = handin.read(path)
    assert found.attempts[-1] == many[-1] and found.attempts[0] == many[found.left_out]
    assert found.left_out == 6000 - len(found.attempts) and len(found.attempts) <= handin_file.MOST_ATTEMPTS
    assert (
        len(found.attempts) > 600 and "did not fit" in found.notes[-1] and path.stat().st_size <= handin_file.MOST_BYTES
    )


def test_waiting_answers_are_handed_in_too(ana, keeper, monkeypatch, tmp_path):
    monkeypatch.setattr(progress.database, "BUSY_SECONDS", 0.2)
    with hardship.locked(keeper.folder / progress.database.NAME, "IMMEDIATE"):
        assert keeper.record(ana, answered("ana m", truth)).pending
        assert len(handin.read(handin.write(ana, tmp_path)).attempts) == 3


# Grading again


def test_grades_are_made_again_from_what_was_typed(ana, written, good, tmp_path):
    wrong, right = handin.regrade(handin.read(written))
    assert (wrong.state, wrong.slip, right.state, right.slip) == ("not yet", ASKED.slips[0].name, "right", "")
    for attempt in good["attempts"]:
        attempt.update(state="right", slip="", hints=0)
    claimed = handin.regrade(handin.read(saved(tmp_path, good)))
    assert [(one.state, one.slip) for one in claimed] == [(one.state, one.slip) for one in (wrong, right)]


def test_everyone_is_graded_by_their_own_numbers(ana, good, tmp_path):
    others = [
        name for name in map("learner {}".format, range(30)) if truth(pose(ASKED, name)) != truth(pose(ASKED, "ana m"))
    ]
    good.update(shown=others[0], key=canonical(others[0]))
    assert [one.state for one in handin.regrade(handin.read(saved(tmp_path, good)))] != ["not yet", "right"]


def test_practice_is_graded_by_its_own_numbers(keeper, tmp_path):
    ana = keeper.learner("ana")
    keeper.record(ana, answered("ana", truth, practice=2))
    assert handin.regrade(handin.read(handin.write(ana, tmp_path)))[0].state == "right"


def test_another_kit_is_said_and_not_guessed(good, tmp_path):
    """Of an answer of the first edition, whose numbers only that kit has."""
    follows = next(one for one in registry.exercises() if isinstance(one, Quantity) and callable(one.rows))
    for attempt in good["attempts"]:
        attempt.update(exercise=follows.id, revision=follows.revision, kit="ffffffffffff")
    graded = handin.regrade(handin.read(saved(tmp_path, good)))
    assert {one.state for one in graded} == {handin.NOT_GRADED}
    assert f"another kit (ffffffffffff, not {kit().digest})" in graded[0].note


@pytest.mark.parametrize(
    ("field", "value", "note"),
    [
        ("exercise", "arm-no-such-thing", "is no exercise"),
        ("exercise", "", "is no exercise"),
        ("revision", 99, "revision=99"),
    ],
)
def test_what_this_edition_does_not_have_is_kept_and_said(good, tmp_path, field, value, note):
    good["attempts"][0][field] = value
    found = handin.read(saved(tmp_path, good))
    first, second = handin.regrade(found)
    assert (
        (first.state, second.state) == (handin.NOT_GRADED, "right") and note in first.note and first.note.isprintable()
    )
    assert found.unknown == ((value,) if field == "exercise" else ()) and len(found.attempts) == 2


@pytest.mark.parametrize(
    "raw",
    [
        "__import__('os').system('touch broken')",
        "9**9**9 m",
        "{0.__class__}",
        "=1+1",
        "<script>",
        "\u202e",
        "\0",
        "1e999999 m",
        "%s%n",
        "a" * 200,
    ],
)
def test_nothing_that_was_typed_is_run(good, tmp_path, monkeypatch, raw):
    monkeypatch.chdir(tmp_path)
    before = set(tmp_path.rglob("*"))
    attempts = [
        {**good["attempts"][0], "exercise": exercise.id, "revision": exercise.revision, "raw": raw}
        for exercise in registry.exercises()
    ]
    graded = handin.regrade(handin.read(saved(tmp_path, {**good, "attempts": attempts})))
    assert len(graded) == len(attempts) and "right" not in {one.state for one in graded}
    assert set(tmp_path.rglob("*")) == before | {tmp_path / "file.json"}


def test_whatever_can_be_right_fits_into_a_hand_in():
    assert progress.RAW_LIMIT >= grading.LONGEST_RAW and handin_file.RAW_LIMIT == progress.RAW_LIMIT


# Files that are no hand-ins


@pytest.fixture
def pipe(tmp_path):
    """A pipe that nobody writes to; after two seconds somebody does, so that a reader who waits is late but comes
    back.
    """
    path = tmp_path / "pipe.json"
    os.mkfifo(path)
    late = threading.Timer(2.0, lambda: os.close(os.open(path, os.O_RDWR | os.O_NONBLOCK)))
    late.start()
    yield path
    late.cancel()


@POSIX
def test_a_pipe_does_not_hang_the_reader(pipe):
    assert "is a pipe or a device" in refusal(pipe)


@POSIX
def test_a_file_exchanged_for_a_pipe_meanwhile_does_not_hang_either(pipe, monkeypatch, written):
    monkeypatch.setattr(handin_file.os, "lstat", lambda path: os.stat(written))
    assert "is a pipe or a device" in refusal(pipe)


@POSIX
def test_a_file_exchanged_for_a_link_meanwhile_is_not_followed(tmp_path, monkeypatch, written):
    (tmp_path / "link.json").symlink_to(written)
    monkeypatch.setattr(handin_file.os, "lstat", lambda path: os.stat(written))
    assert "cannot be opened" in refusal(tmp_path / "link.json")


def test_without_those_flags_an_exchanged_file_is_noticed(tmp_path, monkeypatch, written):
    for name in ("O_NOFOLLOW", "O_NONBLOCK", "O_CLOEXEC"):
        monkeypatch.delattr(handin_file.os, name, raising=False)
    assert handin.read(written).key == "ana m"
    other = saved(tmp_path, b"{}")
    monkeypatch.setattr(handin_file.os, "lstat", lambda path: os.stat(other))
    assert "exchanged while" in refusal(written)


@POSIX
@pytest.mark.parametrize("target", ["written", "nowhere", "itself"])
def test_a_link_is_refused_wherever_it_leads(tmp_path, written, target):
    link = tmp_path / "link.json"
    link.symlink_to({"written": written, "nowhere": tmp_path / "none", "itself": link}[target])
    assert "is a link" in refusal(link)


@POSIX
def test_a_device_is_refused():
    assert stat.S_ISCHR(os.stat("/dev/zero").st_mode) and "is a pipe or a device" in refusal("/dev/zero")


def test_a_huge_file_is_refused_without_opening_it(tmp_path, monkeypatch):
    with open(tmp_path / "huge.json", "wb") as file:
        file.truncate(100_000_000)
    monkeypatch.setattr(handin_file.os, "open", lambda *_: pytest.fail("opened"))
    assert "longer than 1024 kB" in refusal(tmp_path / "huge.json")


def test_a_file_that_grew_meanwhile_is_read_to_the_limit_only(tmp_path, monkeypatch):
    path = saved(tmp_path, b"{" + b" " * handin_file.MOST_BYTES)
    monkeypatch.setattr(handin_file, "_check_kind", lambda state: None)
    assert "longer than" in refusal(path)


def test_a_folder_and_a_missing_file_are_refused(tmp_path):
    assert "is a folder" in refusal(tmp_path)
    assert "cannot be opened (No such file" in refusal(tmp_path / "none.json")


@pytest.mark.parametrize("name", ["a\0b", "x" * 5000, "a\nb\u202e.json", "\udcff"])
def test_a_name_that_no_file_has_is_refused(tmp_path, name):
    refusal(str(tmp_path / name))


@POSIX
def test_a_file_that_may_not_be_read_is_refused(written):
    with hardship.reachable_folder() as folder:
        (folder / "mine.json").write_bytes(written.read_bytes())
        with hardship.read_only(folder):
            os.chmod(folder / "mine.json", 0)
            assert "Permission denied" in refusal(folder / "mine.json")


def test_a_zip_is_not_ours(tmp_path, written):
    with zipfile.ZipFile(tmp_path / "handin.json", "w") as archive:
        archive.write(written, written.name)
    assert "looks like a zip archive" in refusal(tmp_path / "handin.json")


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty"),
        (b" \n\t", "is empty"),
        (b"\0" * 4096, "is empty"),
        (b"%PDF-1.7\n", "a PDF"),
        (b"\x89PNG\r\n\x1a\n", "a picture"),
        (b"\xff\xd8\xff\xe0", "a picture"),
        (b"SQLite format 3\0", "a database"),
        (b"\x7fELF\x02", "a program"),
        (b"MZ\x90", "a program"),
        (b"\x1f\x8b\x08", "a packed file"),
        (b"<html>", "a web page"),
        (b"dear mentor", "is not a hand-in"),
        (b"[]", "is not a hand-in"),
        (b"null", "is not a hand-in"),
        (b"{}", "is not a hand-in"),
        (b'{"format": "something else"}', "is not a hand-in"),
        (b'{"nbformat": 4, "cells": []}', "is a notebook"),
        (b"{\xff}", "UTF-8"),
        ('{"a": "é"}'.encode("latin-1"), "UTF-8"),
        ('{"format": "mechbench hand-in"}'.encode("utf-16"), "is not a hand-in"),
        (b"{", "cut off"),
        (b'{"a": 1} more', "cut off"),
        (b'{"a": 1,}', "cut off"),
        (b"{'a': 1}", "cut off"),
        (b'{"a": 01}', "cut off"),
        (b'{"a": "\x01"}', "cut off"),
    ],
)
def test_other_files_are_not_ours(tmp_path, content, words):
    assert words in refusal(saved(tmp_path, content))


def test_every_cut_of_a_good_file_is_refused(tmp_path, written):
    content = written.read_bytes().rstrip()
    for length in range(0, len(content), 7):
        refusal(saved(tmp_path, content[:length]))


@pytest.mark.parametrize(
    "content",
    [
        b'{"a": ' + b"[" * 500_000,
        b'{"a":' * 100_000,
        b'{"a": ' + b"[" * 5000 + b"]" * 5000 + b"}",
    ],
)
def test_deep_nesting_is_refused(tmp_path, content):
    assert "brackets inside brackets" in refusal(saved(tmp_path, content))


@pytest.mark.parametrize(
    "number", ["9" * 5000, "-" + "9" * 5000, "1234567", "1.5", "1e5", "1e999", "-0.0", "NaN", "Infinity", "-Infinity"]
)
def test_numbers_that_hand_ins_do_not_have_are_refused(tmp_path, good, number):
    content = json.dumps(good).replace('"hints": 0', f'"hints": {number}')
    assert number not in ("", "0") and "holds " in refusal(saved(tmp_path, content.encode("ascii")))


def test_a_field_that_comes_twice_is_refused(tmp_path, good):
    content = json.dumps(good).replace('"hints": 0', '"hints": 0, "hints": 1')
    assert "the same field twice" in refusal(saved(tmp_path, content.encode("ascii")))


@pytest.mark.parametrize("schema", [handin_file.SCHEMA + 1, 99])
def test_a_newer_hand_in_asks_for_the_newer_edition(tmp_path, good, schema):
    assert "newer edition" in refusal(saved(tmp_path, {**good, "schema": schema}))


@pytest.mark.parametrize("schema", [0, -1, "1", None, True, [1]])
def test_a_hand_in_of_no_known_kind_is_refused(tmp_path, good, schema):
    assert "which kind of hand-in" in refusal(saved(tmp_path, {**good, "schema": schema}))


VALUES = ["text", 7, -1, True, None, [], {}, [[]], {"a": {}}, "x" * 201, "\ud800"]


@pytest.mark.parametrize("field", [*handin_file.TOP])
def test_wrong_types_at_the_top_are_refused(tmp_path, good, field):
    for value in VALUES:
        if type(value) is not handin_file.TOP[field] or value in (-1, "x" * 201, "\ud800", [[]]):
            refusal(saved(tmp_path, {**good, field: value}))


@pytest.mark.parametrize("field", [*handin_file.ATTEMPT])
def test_wrong_types_in_an_answer_are_refused(tmp_path, good, field):
    for value in VALUES:
        if type(value) is not handin_file.ATTEMPT[field] or value in (-1, "x" * 201, "\ud800"):
            data = copy.deepcopy(good)
            data["attempts"][1][field] = value
            assert "in answer 2" in refusal(saved(tmp_path, data))


@pytest.mark.parametrize("field", [*handin_file.TOP])
def test_a_missing_field_is_named(tmp_path, good, field):
    del good[field]
    sentence = refusal(saved(tmp_path, good))
    assert field in ("format", "schema") or f"no field: '{field}'" in sentence


def test_a_field_too_many_is_named(tmp_path, good):
    assert "'score'" in refusal(saved(tmp_path, {**good, "score": 100}))
    good["attempts"][0]["code\u202e"] = "print()"
    assert "in answer 1 a field that hand-ins do not have: 'code'" in refusal(saved(tmp_path, good))


def test_more_answers_than_anyone_gives_are_refused(tmp_path, good):
    assert "5001 answers" in refusal(saved(tmp_path, {**good, "attempts": [{}] * 5001}))


@pytest.mark.parametrize("uid", ["", "x" * 32, "A" * 32, "0" * 31, "../" * 10 + "aa", "0" * 32 + "\n"])
def test_an_id_that_was_not_made_here_is_refused(tmp_path, good, uid):
    assert "id of the learner" in refusal(saved(tmp_path, {**good, "uid": uid}))


@pytest.mark.parametrize(
    "at",
    [
        "",
        "today",
        "2026-02-30T10:00Z",
        "2026-03-02T25:00Z",
        "2026-03-02T10:00",
        "2026-3-2T1:00Z",
        "２０２６-03-02T10:00Z",
        "2026-03-02T10:00Z\n",
        "0000-01-01T00:00Z",
    ],
)
def test_a_time_that_is_none_is_refused(tmp_path, good, at):
    good["attempts"][1]["at"] = at
    assert "as a time" in refusal(saved(tmp_path, good))


# Odd, but readable: kept and said


@pytest.mark.parametrize(
    ("shown", "left"),
    [
        ("Ana\u202eM", "AnaM"),
        ("\u200bAna M\u2066", "Ana M"),
        ("Ana\x00\x1b[2J M", "Ana[2J M"),
        ("Ana\u2028M", "Ana M"),
    ],
)
def test_hidden_characters_are_taken_out_of_the_name_and_that_is_said(tmp_path, good, shown, left):
    found = handin.read(saved(tmp_path, {**good, "shown": shown}))
    assert found.shown == left and "hidden characters" in found.notes[0]


def test_hidden_characters_in_the_canonical_name_are_refused(tmp_path, good):
    assert "hidden characters" in refusal(saved(tmp_path, {**good, "key": "ana\u202em"}))


@pytest.mark.parametrize(
    "shown", ["../../etc/passwd", "<script>alert(1)</script>", "=HYPERLINK(1)", "ben", "x" * 100, ""]
)
def test_a_name_that_does_not_belong_to_the_numbers_is_said(tmp_path, good, shown):
    found = handin.read(saved(tmp_path, {**good, "shown": shown}))
    assert found.shown == shown and "The numbers are those of 'ana m'" in found.notes[0] and found.key == "ana m"


def test_dates_in_the_future_are_said(tmp_path, good):
    good["attempts"][0]["at"] = "9999-12-31T23:59Z"
    found = handin.read(saved(tmp_path, good))
    assert "1 of 2 answers carry a date in the future" in found.notes[0] and len(found.attempts) == 2


def test_another_edition_is_said(tmp_path, good):
    found = handin.read(saved(tmp_path, {**good, "edition": "9.9\u202e"}))
    assert found.notes == (f"It was made with edition 9.9 of the course; this is edition {progress.EDITION}.",)


def test_unknown_exercises_are_listed(tmp_path, good):
    good["attempts"][0]["exercise"] = "motors-\u202ewings"
    found = handin.read(saved(tmp_path, good))
    assert found.unknown == ("motors-\u202ewings",) and found.notes == ("This edition has no exercise 'motors-wings'.",)


def test_thousands_of_unknown_exercises_are_listed(tmp_path, good):
    attempts = [{**good["attempts"][0], "exercise": f"gearing-{n}-{'x' * 20}"} for n in range(4000)]
    found = handin.read(saved(tmp_path, {**good, "attempts": attempts}))
    graded = handin.regrade(found)
    assert len(found.unknown) == 4000 and {one.state for one in graded} == {handin.NOT_GRADED}


def test_a_mark_at_the_start_that_other_programs_add_is_no_hindrance(tmp_path, written):
    assert handin.read(saved(tmp_path, b"\xef\xbb\xbf" + written.read_bytes())).key == "ana m"


# Whatever comes

JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.sampled_from([*handin_file.TOP, *handin_file.ATTEMPT]) | st.text(), inner)
    ),
    max_leaves=12,
)
TEXT = st.text(max_size=200)
FIELDS = {
    str: TEXT,
    int: st.integers(0, 999_999),
    list: st.lists(JSON, max_size=3),
    dict: st.dictionaries(TEXT, TEXT, max_size=3),
}


def only_hand_in_errors(folder, content):
    try:
        notes = handin.read(saved(folder, content)).notes
        assert all(note.isprintable() and note.endswith(".") for note in notes)
    except handin.HandInError as error:
        assert str(error).isprintable() and len(str(error)) < 250


@given(JSON)
@settings(max_examples=150, deadline=None)
def test_any_json_is_read_or_refused(tmp_path_factory, data):
    only_hand_in_errors(tmp_path_factory.getbasetemp(), json.dumps(data).encode("ascii"))


@given(
    st.fixed_dictionaries({name: FIELDS[kind] | JSON for name, kind in handin_file.TOP.items()}),
    st.lists(st.fixed_dictionaries({name: FIELDS[kind] for name, kind in handin_file.ATTEMPT.items()}), max_size=3),
)
@settings(max_examples=150, deadline=None)
def test_nearly_a_hand_in_is_read_or_refused(tmp_path_factory, top, attempts):
    data = {**top, "format": handin_file.FORMAT, "schema": handin_file.SCHEMA, "attempts": attempts}
    only_hand_in_errors(tmp_path_factory.getbasetemp(), json.dumps(data).encode("ascii"))


@given(st.binary(max_size=200).map(lambda tail: b"{" + tail) | st.binary(max_size=200))
@settings(max_examples=150, deadline=None)
def test_any_bytes_are_refused(tmp_path_factory, content):
    with pytest.raises(handin.HandInError):
        handin.read(saved(tmp_path_factory.getbasetemp(), content))


def takes(name):
    try:
        return bool(canonical(name))
    except ValueError:
        return False


ATTEMPTS = st.builds(
    progress.Attempt,
    TEXT,
    st.integers(0, 999_999),
    TEXT,
    TEXT,
    TEXT,
    TEXT,
    st.integers(0, 999_999),
    st.integers(0, 999_999),
    at=st.datetimes().map(lambda time: time.strftime("%Y").zfill(4) + time.strftime("-%m-%dT%H:%MZ")),
)


@given(st.text(max_size=70).filter(takes), st.lists(ATTEMPTS, max_size=5))
@settings(max_examples=150, deadline=None)
def test_any_learner_and_any_answers_go_there_and_back(tmp_path_factory, name, attempts):
    learner = progress.Learner("0" * 32, progress._shown(name), canonical(name))
    text = handin_file.text_of(learner, attempts).encode("utf-8")
    found = handin.read(saved(tmp_path_factory.getbasetemp(), text))
    assert (found.shown, found.key, found.attempts) == (learner.shown, learner.key, tuple(attempts))
    assert not any("The numbers are those" in note for note in found.notes)


# The button and the command


def test_the_button_writes_beside_the_notebook_and_says_so(ana, monkeypatch, tmp_path):
    from mechbench.course import ask

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(ask, "current_learner", lambda: ana)
    form = handin.HandInForm(ana)
    bundle = form._repr_mimebundle_()
    assert bundle["text/plain"] == handin.ABOUT and "application/vnd.jupyter.widget-view+json" in bundle
    form.button.click()
    (path,) = tmp_path.glob("handin_*.json")
    assert f"Written: {path.name}, with 2 answers by &#x27;Ana M&#x27; to 1 exercise. It is beside" in form.told.value
    assert handin.read(path).key == "ana m" and str(tmp_path) not in form.told.value


def test_the_button_says_when_there_is_nothing_to_hand_in(keeper, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    form = handin.HandInForm(keeper.learner(""))
    form.press()
    assert "answer an exercise first" in form.told.value and not list(tmp_path.glob("handin_*"))


def test_hints_alone_are_nothing_to_hand_in_and_no_answers(ana, keeper, tmp_path):
    bo = keeper.learner("Bo")
    opened = replace(answered("bo", truth), raw="", state="not tried", hints=1)
    keeper.record(bo, opened)
    with pytest.raises(handin.HandInError, match="answer an exercise first"):
        handin.write(bo, tmp_path)
    keeper.record(ana, opened)
    path = handin.write(ana, tmp_path)
    assert len(handin.read(path).attempts) == 3 and "with 2 answers by" in handin._written(ana, path, "here")


def test_hand_in_is_for_the_learner_of_the_notebook(ana, monkeypatch):
    from mechbench.course import ask

    monkeypatch.setattr(ask, "current_learner", lambda: ana)
    assert handin.hand_in().learner == ana


def test_the_command_writes_where_it_is_told(ana, tmp_path, capsys):
    place = tmp_path / "class"
    place.mkdir()
    assert handin.command(["ana m", "--to", str(place)]) == 0
    (path,) = place.iterdir()
    assert str(place) in capsys.readouterr().out and handin.read(path).uid == ana.uid


def test_the_command_says_what_is_wrong(ana, tmp_path, capsys):
    assert handin.command(["bert"]) == 1 and handin.command(["x" * 61]) == 1
    (tmp_path / "none").touch()
    assert handin.command(["ana m", "--to", str(tmp_path / "none")]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 3 and "there are answers by 'ana m'" in lines[0] and "name another folder" in lines[2]


def test_the_reader_needs_no_screen():
    line = "import sys, mechbench.course.handin; sys.exit('ipywidgets' in sys.modules or 'matplotlib' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", line]).returncode == 0

"""The kit beside the packages of `start --wheels`: brought to the work folder, never over one that a person changed."""

import pytest

from mechbench import kit_folder
from mechbench.launch import carried_kit, start
from mechbench.launch.places import Places


@pytest.fixture
def where(tmp_path):
    found = Places(tmp_path / "clone", tmp_path / "clone" / ".venv", tmp_path / "work")
    found.lessons.mkdir(parents=True)
    found.own.mkdir(parents=True)
    return found


@pytest.fixture
def stick(tmp_path):
    (tmp_path / "stick" / "kit").mkdir(parents=True)
    return tmp_path / "stick"


def carry(stick, text):
    (stick / "kit" / "game.toml").write_text(text)


def ours(where):
    return (where.work / "kit" / "game.toml").read_text()


def beside(where):
    return sorted(path.name for path in where.work.glob("kit-*"))


def test_it_is_brought_once(where, stick):
    carry(stick, "one")
    (stick / "kit" / "parts.toml").write_text("parts")
    assert carried_kit.bring(where, stick) == [f"kit: brought from {stick / 'kit'}"]
    assert ours(where) == "one" and (where.work / "kit" / "parts.toml").read_text() == "parts"
    assert carried_kit.bring(where, stick) == [] and beside(where) == []


def test_a_newer_one_takes_the_place_of_what_was_brought_and_the_old_is_kept(where, stick):
    carry(stick, "one")
    carried_kit.bring(where, stick)
    carry(stick, "two")
    said = carried_kit.bring(where, stick)
    (kept,) = beside(where)
    assert ours(where) == "two" and (where.work / kept / "game.toml").read_text() == "one" and kept in said[1]


@pytest.mark.parametrize("brought_before", [True, False])
def test_one_that_a_person_changed_stays_and_it_is_said(where, stick, brought_before):
    carry(stick, "one")
    if brought_before:
        carried_kit.bring(where, stick)
    else:
        (where.work / "kit").mkdir()
    (where.work / "kit" / "game.toml").write_text("mine")
    carry(stick, "two")
    for _ in range(2):
        (said,) = carried_kit.bring(where, stick)
        assert "was changed here, so it stays in force" in said and f"kit use {stick / 'kit'}" in said
    assert ours(where) == "mine" and beside(where) == []


@pytest.mark.parametrize("wheels", [True, False])
def test_without_a_kit_beside_the_packages_nothing_is_done(where, stick, wheels):
    assert carried_kit.bring(where, stick if wheels else None) == []
    assert not (where.work / "kit").exists()


def test_a_damaged_note_of_what_was_brought_changes_nothing_of_a_person(where, stick):
    carry(stick, "one")
    carried_kit.bring(where, stick)
    (where.own / carried_kit.BROUGHT).write_text("{")
    carry(stick, "two")
    assert "was changed here" in carried_kit.bring(where, stick)[0] and ours(where) == "one"


def test_a_dry_start_says_so_and_does_nothing(where, stick):
    carry(stick, "one")
    _, said = carried_kit.plan(where, stick)
    assert said == f"kit: brought from {stick / 'kit'}" and not (where.work / "kit").exists()


def test_a_name_with_the_day_is_never_given_twice(tmp_path):
    kept = []
    for text in ("one", "two", "three"):
        (tmp_path / "kit").mkdir()
        (tmp_path / "kit" / "game.toml").write_text(text)
        kept.append(kit_folder.set_aside(tmp_path / "kit", "2026-05-04").name)
    assert kept == ["kit-2026-05-04", "kit-2026-05-04-2", "kit-2026-05-04-3"]
    assert kit_folder.set_aside(tmp_path / "kit") is None


def test_start_brings_it(tmp_path, monkeypatch):
    """The line of start --dry names it, by the words that start itself says."""
    (tmp_path / "stick" / "kit").mkdir(parents=True)
    (tmp_path / "stick" / "kit" / "game.toml").write_text("x")
    (tmp_path / "stick" / "any.whl").write_text("")
    monkeypatch.setenv("MECHBENCH_WORK", str(tmp_path / "work"))
    told = []
    monkeypatch.setattr(start, "say", told.append)
    assert start.command(["--dry", "--wheels", str(tmp_path / "stick")]) == 0
    assert f"  kit: brought from {tmp_path / 'stick' / 'kit'}" in told[0].splitlines()

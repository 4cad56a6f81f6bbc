import json
import sys
from pathlib import Path

import pytest

from mechbench.launch import workfolder
from mechbench.launch.places import Places

NAME = "02_gearing.ipynb"


def notebook(*sources, outputs=()):
    cells = [
        {
            "cell_type": "code",
            "id": f"c{i}",
            "source": source,
            "metadata": {},
            "outputs": list(outputs),
            "execution_count": None,
        }
        for i, source in enumerate(sources)
    ]
    return json.dumps({"cells": cells, "metadata": {}, "nbformat": 4, "nbformat_minor": 5})


@pytest.fixture
def where(tmp_path):
    (tmp_path / "clone" / "lessons").mkdir(parents=True)
    found = Places(tmp_path / "clone", tmp_path / "clone" / ".venv", tmp_path / "work")
    found.own.mkdir(parents=True)
    return found


def publish(where, *sources, name=NAME):
    (where.lessons / name).write_text(notebook(*sources))


def mine(where, name=NAME):
    return (where.work / name).read_text()


def files(where):
    return sorted(file.name for file in where.work.glob("*.ipynb"))


def bring(where):
    return [(copy.target.name, copy.why) for copy in workfolder.bring(where)]


def test_a_lesson_is_copied_once(where):
    publish(where, "1")
    assert bring(where) == [(NAME, workfolder.NEW)]
    assert mine(where) == notebook("1")
    assert bring(where) == []


def test_an_unchanged_copy_is_replaced_by_a_newer_edition(where):
    publish(where, "1")
    bring(where)
    publish(where, "1", "2")
    assert bring(where) == [(NAME, workfolder.NEWER)]
    assert mine(where) == notebook("1", "2")


def test_running_a_lesson_or_adding_an_empty_cell_is_no_change(where):
    publish(where, "1")
    bring(where)
    (where.work / NAME).write_text(
        notebook("1", "", outputs=[{"output_type": "stream", "name": "stdout", "text": "x"}])
    )
    publish(where, "2")
    assert bring(where) == [(NAME, workfolder.NEWER)]


def test_a_changed_copy_is_kept_and_the_newer_edition_goes_beside_it(where):
    publish(where, "1")
    bring(where)
    (where.work / NAME).write_text(notebook("my own"))
    assert bring(where) == []
    publish(where, "2")
    assert bring(where) == [("02_gearing.new-edition.ipynb", workfolder.BESIDE)]
    assert mine(where) == notebook("my own")
    assert mine(where, "02_gearing.new-edition.ipynb") == notebook("2")


def test_the_same_edition_is_offered_once_even_when_it_was_thrown_away(where):
    publish(where, "1")
    bring(where)
    (where.work / NAME).write_text(notebook("my own"))
    publish(where, "2")
    bring(where)
    (where.work / "02_gearing.new-edition.ipynb").unlink()
    assert bring(where) == []


def test_an_untouched_new_edition_is_replaced_and_a_changed_one_is_kept(where):
    publish(where, "1")
    bring(where)
    (where.work / NAME).write_text(notebook("my own"))
    publish(where, "2")
    bring(where)
    publish(where, "3")
    assert bring(where) == [("02_gearing.new-edition.ipynb", workfolder.BESIDE)]
    (where.work / "02_gearing.new-edition.ipynb").write_text(notebook("mine too"))
    publish(where, "4")
    assert bring(where) == [("02_gearing.new-edition-2.ipynb", workfolder.BESIDE)]
    assert mine(where, "02_gearing.new-edition.ipynb") == notebook("mine too")


def test_a_file_that_was_there_before_is_never_overwritten(where):
    publish(where, "1")
    (where.work / NAME).write_text(notebook("from elsewhere"))
    assert bring(where) == [("02_gearing.new-edition.ipynb", workfolder.BESIDE)]
    assert mine(where) == notebook("from elsewhere")


def test_a_thrown_away_lesson_comes_back_fresh(where):
    publish(where, "1")
    bring(where)
    (where.work / NAME).unlink()
    assert bring(where) == [(NAME, workfolder.NEW)]


@pytest.mark.parametrize("ledger", ["", "[]", "{}", '{"copied": 3, "seen": {}}', '{"copied": {"'])
def test_with_a_broken_ledger_nothing_of_the_learners_is_lost(where, ledger):
    publish(where, "1")
    bring(where)
    (where.work / NAME).write_text(notebook("my own"))
    (where.own / workfolder.LEDGER).write_text(ledger)
    publish(where, "2")
    bring(where)
    assert mine(where) == notebook("my own")


def test_a_lesson_of_zero_bytes_is_repaired(where):
    publish(where, "1")
    bring(where)
    (where.work / NAME).write_text("")
    assert bring(where) == [(NAME, workfolder.EMPTY)] and mine(where) == notebook("1")
    assert bring(where) == []


def test_a_link_and_what_it_leads_to_are_left_and_a_newer_edition_goes_beside_it(where, tmp_path):
    publish(where, "1")
    bring(where)
    link, elsewhere = where.work / NAME, tmp_path / "cloud.ipynb"
    link.rename(elsewhere)
    link.symlink_to(elsewhere)
    assert bring(where) == []
    publish(where, "2")
    assert bring(where) == [("02_gearing.new-edition.ipynb", workfolder.BESIDE)]
    assert link.is_symlink() and elsewhere.read_text() == notebook("1") and bring(where) == []


@pytest.mark.parametrize("content", [None, ""])
def test_a_link_to_nothing_is_left(where, tmp_path, content):
    elsewhere = tmp_path / "stick.ipynb"
    (where.work / NAME).symlink_to(elsewhere)
    if content is not None:
        elsewhere.write_text(content)
    publish(where, "1")
    bring(where)
    assert (where.work / NAME).is_symlink()
    assert not elsewhere.exists() if content is None else elsewhere.read_text() == content


def test_a_lesson_that_is_no_notebook_any_more_counts_as_changed(where):
    publish(where, "1")
    bring(where)
    (where.work / NAME).write_bytes(b"\xff half a file")
    publish(where, "2")
    bring(where)
    assert (where.work / NAME).read_bytes() == b"\xff half a file"


def test_lessons_from_a_read_only_clone_can_be_changed(where):
    publish(where, "1")
    (where.lessons / NAME).chmod(0o444)
    bring(where)
    assert (where.work / NAME).stat().st_mode & 0o200


def test_a_plan_changes_nothing(where):
    publish(where, "1")
    copies, _ = workfolder.plan(where)
    assert [copy.why for copy in copies] == [workfolder.NEW]
    assert files(where) == [] and not (where.own / workfolder.LEDGER).exists()


def doors(folder):
    return folder.stat().st_mode & 0o777


@pytest.mark.skipif(sys.platform == "win32", reason="a home folder there is closed by its own lists of rights")
def test_nobody_else_on_this_computer_reads_the_work_folder(where):
    where.work.chmod(0o755)
    publish(where, "1")
    bring(where)
    assert doors(where.work) == 0o700
    where.work.chmod(0o755)  # as an earlier edition made it
    bring(where)
    assert doors(where.work) == 0o700


@pytest.mark.skipif(sys.platform == "win32", reason="a home folder there is closed by its own lists of rights")
@pytest.mark.parametrize("home", ["work", "work/ana", "elsewhere"])
def test_a_folder_that_was_there_before_keeps_its_doors(where, monkeypatch, home):
    monkeypatch.setattr(Path, "home", lambda: where.work.parent / home)
    (where.work / "cat.txt").touch()
    where.work.chmod(0o755)
    publish(where, "1")
    for _ in range(2):
        bring(where)
        assert doors(where.work) == 0o755

"""`start` for real, from a bare project to a server that answers: a real .venv, a real pip, real processes."""

import os
import shutil
import signal
import sys

import pytest

from tests.launch.stand_in import PATIENCE, Project, address, end, until_open


@pytest.fixture(scope="module")
def first(tmp_path_factory):
    """A project after its first start, and what that start said."""
    project = Project(tmp_path_factory.mktemp("project"))
    project.make()
    process = project.begin()
    said = until_open(process)
    end(process)
    return project, said


@pytest.fixture
def project(first):
    return first[0]


def test_the_first_start_makes_everything_and_gives_the_address(first):
    project, said = first
    assert "there is none yet" in said and "00_start_here.ipynb: new" in said
    assert address(said)
    assert (project.root / ".venv" / "ready.json").exists()
    assert (project.home / "mechbench-work" / "00_start_here.ipynb").exists()


def test_the_clone_stays_clean(project):
    seen = {path.name for path in project.root.iterdir()}
    ours = {name for name in seen if name.startswith(".venv")}  # which .gitignore names
    assert seen - ours == {".packages", "lessons", "mechbench", "pyproject.toml", "requirements.txt"}
    assert ours == {".venv", ".venv.lock", ".venv.log"}


def test_a_kit_beside_the_packages_comes_into_the_work_folder(project):
    kit = project.wheels / "kit"
    kit.mkdir()
    (kit / "game.toml").write_text("the game")
    process = project.begin()
    said = until_open(process)
    end(process)
    shutil.rmtree(kit)
    ours = project.home / "mechbench-work" / "kit"
    assert f"kit: brought from {kit}" in said and (ours / "game.toml").read_text() == "the game"
    shutil.rmtree(ours)


def seen_in(venv):
    # The lock alone is written by each start: it tells who uses .venv.
    return {path: path.stat().st_mtime_ns for path in venv.iterdir() if path.name != "mechbench.lock"}


def test_a_second_start_makes_nothing_and_a_third_finds_the_server(project):
    made = seen_in(project.venv)
    process = project.begin()
    said = until_open(process)
    assert seen_in(project.venv) == made
    assert "Making" not in said and "new" not in said
    third = project.begin()
    answer, _ = third.communicate(timeout=PATIENCE)
    end(process)
    assert third.returncode == 0
    assert "running already" in answer and address(answer) == address(said)


def test_after_a_crash_a_start_works_again(project):
    process = project.begin()
    said = until_open(process)
    os.kill(int(address(said).rpartition("=t")[2]), signal.SIGTERM if sys.platform == "win32" else signal.SIGKILL)
    process.communicate(timeout=PATIENCE)
    assert list((project.home / "mechbench-work" / ".mechbench" / "runtime").glob("jpserver-*.json"))
    again = project.begin()
    assert address(until_open(again)) != address(said)
    end(again)


def test_a_moved_project_is_made_anew_and_of_two_starts_at_once_one_opens_and_the_other_says_why_not(project):
    elsewhere = Project(project.root.parent)
    elsewhere.root = project.root.with_name("moved")
    os.rename(project.root, elsewhere.root)
    both = [elsewhere.begin(), elsewhere.begin()]
    said = {process: until_open(process) for process in both}
    (opened,) = (process for process in both if "wait until" not in said[process])
    (told,) = (process for process in both if process is not opened)
    assert "it was moved or copied" in said[opened] and address(said[opened]) and opened.poll() is None
    assert f"start (process {opened.pid}) is making or opening" in said[told] and told.wait() == 1
    end(opened)
    os.rename(elsewhere.root, project.root)


def test_a_missing_wheel_is_named(project):
    (pillow,) = project.wheels.glob("pillow-*.whl")
    pillow.rename(project.wheels / "away")
    shutil.rmtree(project.venv)
    answer, _ = (process := project.begin()).communicate(timeout=PATIENCE)
    (project.wheels / "away").rename(pillow)
    assert process.returncode == 1
    assert (
        answer.splitlines()[-1]
        == f"The folder {project.wheels} holds no package pillow for this machine and this Python: add it there."
    )
    assert not project.venv.exists() and not list(project.root.glob(".venv.*[dw]")), "nothing half is left"

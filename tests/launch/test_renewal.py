"""A .venv that must be made anew: without network, under a running JupyterLab, and killed in between.

The old one goes on working until a new one has been tried, whatever happens.
"""

import os
import re
import shutil
import signal
import subprocess
import sys
import time
import urllib.request

import pytest

from mechbench.launch import environment, making, places
from mechbench.launch.places import Places
from mechbench.launch.problem import Problem
from tests.launch.stand_in import PATIENCE, Project, address, end, make_wheel, until_open

NO_NETWORK = {"PIP_CONFIG_FILE": os.devnull, "PIP_FIND_LINKS": "", "PIP_INDEX_URL": "http://127.0.0.1:9/"}
NO_NETWORK["PIP_RETRIES"] = "1"  # pip tells of a network that does not answer when it tries again
NEWER = "numpy>=2.9,<3"
KILL = signal.SIGTERM if sys.platform == "win32" else signal.SIGKILL


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    project = Project(tmp_path_factory.mktemp("renewal"))
    project.make()
    process = project.begin()
    until_open(process)
    end(process)
    for folder in (project.venv, project.wheels):
        shutil.copytree(folder, saved(project, folder), symlinks=True)
    return project


def saved(project, folder):
    """Where a copy of its first .venv or wheels lies: to put it back takes no time."""
    return project.root.parent / "saved" / folder.name


@pytest.fixture
def project(made):
    """A project with a .venv that is ready; afterwards its lists and its packages are as before."""
    if environment.not_ready(where(made), "learner"):
        shutil.rmtree(made.venv, ignore_errors=True)
        shutil.copytree(saved(made, made.venv), made.venv, symlinks=True)
    assert environment.not_ready(where(made), "learner") == ""
    files = ("pyproject.toml", ".packages/learner.txt", ".venv/ready.json")
    kept = {made.root / name: (made.root / name).read_bytes() for name in files}
    before = place(made)
    yield made
    if not made.venv.exists() or place(made) != before:
        del kept[made.venv / "ready.json"]
    for path, content in kept.items():
        path.write_bytes(content)
    shutil.rmtree(made.wheels)
    shutil.copytree(saved(made, made.wheels), made.wheels)


def where(project):
    return Places(project.root, project.venv, project.home / "mechbench-work")


def ask_for_a_newer_numpy(project):
    file = project.root / "pyproject.toml"
    file.write_text(re.sub(r"numpy>=[^\"]*", NEWER, file.read_text("utf-8")), "utf-8")


def bring_the_newer_numpy(project):
    for wheel in project.wheels.glob("numpy-*"):
        wheel.unlink()
    make_wheel(project.wheels, "numpy", "2.9.1")
    project.write_exact_list()


def place(project):
    """Which folder .venv is: another one after it was replaced."""
    return (project.venv / "pyvenv.cfg").stat().st_ino


def answers(said):
    url = address(said).partition("lab/")[0]
    with urllib.request.build_opener(urllib.request.ProxyHandler({})).open(f"{url}api/status", timeout=20) as answer:
        return answer.status == 200


def start_without_network(project, **environ):
    return project.type("start", "--no-browser", **NO_NETWORK, **environ)


def test_without_network_the_old_one_goes_on_and_what_it_lacks_is_said(project):
    ask_for_a_newer_numpy(project)
    before = place(project)
    process = start_without_network(project)
    said = until_open(process)
    end(process)
    assert "the network does not answer" in said and f"it lacks {NEWER}." in said
    assert address(said) and place(project) == before and "Traceback" not in said


def test_without_network_another_python_leaves_the_old_one(project):
    marker = project.venv / "ready.json"
    marker.write_text(marker.read_text().replace(f'"{sys.version_info[0]}.{sys.version_info[1]}"', '"3.99"'))
    before = place(project)
    process = start_without_network(project)
    said = until_open(process)
    end(process)
    assert "it belongs to Python 3.99" in said and "it lacks nothing that is asked for" in said
    assert address(said) and place(project) == before


def test_with_no_old_one_a_start_without_network_leaves_nothing(project):
    shutil.rmtree(project.venv)
    answer, _ = (process := start_without_network(project)).communicate(timeout=PATIENCE)
    assert process.returncode == 1 and answer.splitlines()[-1].startswith("The packages can't be fetched because")
    assert not project.venv.exists() and not places.beside(project.venv, "new").exists()


@pytest.mark.parametrize("network", [True, False])
def test_under_a_running_jupyterlab_nothing_is_replaced_and_the_next_start_does_it(project, network):
    process = project.begin()
    said = until_open(process)
    before = place(project)
    ask_for_a_newer_numpy(project)
    bring_the_newer_numpy(project)
    second = project.begin() if network else start_without_network(project)
    told, _ = second.communicate(timeout=PATIENCE)
    assert second.returncode == 0 and address(told) == address(said) and answers(said) and place(project) == before
    end(process)
    (line,) = (line for line in told.splitlines() if "must be made anew" in line)
    assert re.match(
        r"\.venv must be made anew \(the list .* changed\), but a program .*, JupyterLab \(process \d+\): end", line
    )
    assert line.endswith(f"Until then the .venv of before goes on; it lacks {NEWER}.")
    if network:
        third = project.begin()
        told = until_open(third)
        end(third)
        assert "Making" in told and place(project) != before


@pytest.mark.skipif(sys.platform == "win32", reason="there the files of a running program can't be moved")
def test_a_jupyterlab_whose_start_was_killed_is_known_from_another_work_folder_until_it_ends(project, tmp_path):
    process = project.begin()
    said = until_open(process)
    before = place(project)
    process.kill()
    process.communicate(timeout=PATIENCE)
    assert answers(said), "JupyterLab outlives the start that was killed"
    ask_for_a_newer_numpy(project)
    bring_the_newer_numpy(project)
    other = {"MECHBENCH_WORK": str(tmp_path / "other")}
    second = project.type("start", "--no-browser", "--wheels", str(project.wheels), **other)
    told = until_open(second)
    end(second)
    assert "a program still runs from it" in told and place(project) == before and answers(said)
    os.kill(int(address(said).rpartition("=t")[2]), KILL)
    third = project.type("start", "--no-browser", "--wheels", str(project.wheels), **other)
    told = until_open(third)
    end(third)
    assert "Making" in told and place(project) != before


def test_killed_while_it_builds_the_old_one_is_there_and_the_next_start_clears_up(project):
    ask_for_a_newer_numpy(project)
    bring_the_newer_numpy(project)
    before, new = place(project), places.beside(project.venv, "new")
    process = project.begin()
    deadline = time.monotonic() + PATIENCE
    while not places.python_of(new).exists() and time.monotonic() < deadline:
        time.sleep(0.01)
    process.kill()
    process.communicate(timeout=PATIENCE)
    assert place(project) == before and new.exists()
    assert not environment.import_fault(where(project), "learner", project.root)
    again = project.begin()
    assert address(until_open(again))
    end(again)
    assert place(project) != before and not new.exists() and not places.beside(project.venv, "old").exists()


def test_programs_in_the_new_one_know_where_it_stands(project):
    pip = places.python_of(project.venv).with_name("pip.exe" if sys.platform == "win32" else "pip")
    done = subprocess.run([pip, "--version"], capture_output=True, text=True, env=environment.surroundings(os.environ))
    assert str(project.venv) in done.stdout, done.stderr
    named = [file for file in pip.parent.iterdir() if not file.is_symlink() and b".venv.new" in file.read_bytes()]
    assert not named and ".venv.new" not in (project.venv / "pyvenv.cfg").read_text("utf-8")


def test_a_package_with_another_checksum_is_refused_and_the_old_one_goes_on(project):
    ask_for_a_newer_numpy(project)
    bring_the_newer_numpy(project)
    (wheel,) = project.wheels.glob("numpy-*")
    with open(wheel, "ab") as file:
        file.write(b"\0")
    before = place(project)
    process = project.begin()
    said = until_open(process)
    end(process)
    assert "The package numpy is not the one in the exact list" in said and place(project) == before
    assert "without checksums" not in said


def test_where_the_exact_list_is_no_help_the_bounds_are_taken_and_said(project):
    make_wheel(project.wheels, "numpy", "2.1.1")
    (older,) = project.wheels.glob("numpy-1*")
    older.unlink()
    shutil.rmtree(project.venv)
    process = project.begin()
    said = until_open(process)
    end(process)
    assert "without checksums, because the numpy of .packages/learner.txt can't be had for this machine" in said
    assert address(said)


# What was left behind


@pytest.fixture
def bare(tmp_path):
    """A project without .venv."""
    root = tmp_path / "clone"
    root.mkdir()
    shutil.copy(places.ROOT / "pyproject.toml", root)
    return Places(root, root / ".venv", tmp_path / "work")


def folder(path, text, *files):
    path.mkdir()
    for name in (environment.LOCK, *files):
        (path / name).write_text(text)


def text_of(path):
    return (path / environment.LOCK).read_text()


@pytest.mark.parametrize("tried", [True, False])
def test_killed_between_the_two_steps_of_replacing_it_is_brought_to_an_end(bare, tried):
    new, old = places.beside(bare.venv, "new"), places.beside(bare.venv, "old")
    folder(old, "old", environment.MARKER)
    folder(new, "new", *([environment.MARKER] if tried else []))
    making.put_right(bare)
    assert text_of(bare.venv) == ("new" if tried else "old") and not new.exists() and not old.exists()


def test_what_was_replaced_goes_and_what_is_there_stays(bare):
    folder(bare.venv, "here")
    folder(places.beside(bare.venv, "old"), "old", environment.MARKER)
    folder(places.beside(bare.venv, "new"), "new", environment.MARKER)
    making.put_right(bare)
    assert text_of(bare.venv) == "here" and [path.name for path in bare.root.glob(".venv*")] == [".venv"]


def test_where_the_new_one_can_not_be_moved_the_old_one_is_back(bare, monkeypatch):
    new = places.beside(bare.venv, "new")
    folder(bare.venv, "old")
    folder(new, "new")
    rename = os.rename

    def refused(source, target):
        if source == new:
            raise PermissionError(13, "Permission denied", str(source))
        rename(source, target)

    monkeypatch.setattr(making.os, "rename", refused)
    with pytest.raises(PermissionError):
        making.replace_by(new, bare.venv)
    assert text_of(bare.venv) == "old"


def test_a_folder_of_yours_that_has_the_name_of_what_would_be_built_is_never_deleted(bare):
    mine = places.beside(bare.venv, "new")
    mine.mkdir()
    (mine / "a.jpg").touch()
    with pytest.raises(Problem, match="did not make"):
        making.ensure(bare, "learner", "start", print)
    assert (mine / "a.jpg").exists()

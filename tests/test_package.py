"""mechbench built as a package and installed into an empty folder: what it needs of its own files is in it, and what it
lacks is said.

A real pip and the real builder, without a network: nothing is fetched, the packages that mechbench needs are those of
the tests.
"""

import os
import subprocess
import sys
import tomllib
import zipfile
from email.parser import HeaderParser

import pytest
from packaging.requirements import Requirement

from mechbench.launch import commands
from mechbench.launch.places import ROOT

PIP = [sys.executable, "-m", "pip", "--disable-pip-version-check", "--no-input"]
WITH_FOLDER = sorted(
    name for name, command in commands.COMMANDS.items() if command.needs_folder or not command.needs_packages
)


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    """The package as one file, built from the tree."""
    place = tmp_path_factory.mktemp("wheel")
    line = [
        *PIP,
        "wheel",
        "--quiet",
        "--no-deps",
        "--no-build-isolation",
        "--no-index",
        f"--wheel-dir={place}",
        str(ROOT),
    ]
    done = subprocess.run(line, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    (path,) = place.glob("*.whl")
    return path


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory):
    """An empty folder in which the package was installed."""
    place = tmp_path_factory.mktemp("installed")
    done = subprocess.run(
        [*PIP, "install", "--quiet", "--no-deps", "--no-index", f"--target={place}", str(wheel)],
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    return place


@pytest.fixture
def run(installed, tmp_path, monkeypatch):
    """Run a line of Python's own words as whoever installed the package would, in a folder of their own."""
    monkeypatch.delenv("MECHBENCH_VENV", raising=False)
    environ = {
        **os.environ,
        "PYTHONPATH": str(installed),
        "HOME": str(tmp_path),
        "USERPROFILE": str(tmp_path),
        "MECHBENCH_KIT": "",
    }
    return lambda *words: subprocess.run(
        [sys.executable, *words], cwd=tmp_path, env=environ, capture_output=True, text=True
    )


def test_the_package_holds_the_library_with_its_data_files_and_nothing_else(wheel):
    files = {
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "mechbench").rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    with zipfile.ZipFile(wheel) as archive:
        inside = {name for name in archive.namelist() if ".dist-info/" not in name}
    assert inside == files
    assert {path.rpartition(".")[2] for path in files} == {"py", "toml", "json", "html", "css"}


def test_the_package_needs_what_the_project_says(wheel):
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    with zipfile.ZipFile(wheel) as archive:
        (path,) = [name for name in archive.namelist() if name.endswith(".dist-info/METADATA")]
        said = HeaderParser().parsestr(archive.read(path).decode("utf-8"))
    needs = [Requirement(line) for line in said.get_all("Requires-Dist")]
    assert {str(need) for need in needs if need.marker is None} == {
        str(Requirement(line)) for line in project["dependencies"]
    }
    assert (said["Name"], said["Version"], said["Requires-Python"]) == (
        project["name"],
        project["version"],
        project["requires-python"],
    )


def test_it_is_the_installed_one_that_answers(run, installed):
    done = run(
        "-c",
        "import mechbench as mb; print(mb.__file__); print(mb.kit().name); print(mb.ask('arm-level').numbers.length"
        " > 0)",
    )
    assert done.returncode == 0, done.stderr
    file, kit, answer = done.stdout.splitlines()
    assert file == str(installed / "mechbench" / "__init__.py") and kit and answer == "True"


def test_one_number_in_seconds_with_the_parts_of_its_own_kit(run):
    done = run("-m", "mechbench", "size", "arm", "payload=0.5kg", "--record", "arm.html")
    assert (
        done.returncode in (0, 1)
        and done.stderr == ""
        and "motor=slim" in done.stdout
        and "The record is arm.html." in done.stdout
    )


def test_papers_are_made_from_its_own_templates(run, tmp_path):
    done = run("-m", "mechbench", "handout", "motors")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "handout_01_motors.html").stat().st_size > 10_000


@pytest.mark.parametrize("name", WITH_FOLDER)
def test_what_needs_the_projects_folder_says_so_and_makes_nothing(run, name, installed, tmp_path):
    before = sorted(installed.iterdir())
    done = run("-m", "mechbench", name)
    assert done.returncode == 1 and done.stdout == ""
    assert done.stderr == f"{commands.without_folder(name)}\n"
    assert sorted(installed.iterdir()) == before and not list(tmp_path.iterdir())


def test_these_are_the_commands_that_need_it():
    assert WITH_FOLDER == ["check", "published", "refresh", "renew", "start", "test", "wheels"]

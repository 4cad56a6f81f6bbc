"""`start` for real, from a bare project to a server that answers: a real .venv, a real pip, real processes.

Only the packages are stand-ins, small ones in a folder of wheels, so that no network is needed. The stand-in for
JupyterLab writes its address where the real one does and answers the same question.
"""

import os
import re
import shutil
import signal
import subprocess
import sys
import zipfile

import pytest
from packaging.requirements import Requirement

from mechbench.launch import environment
from mechbench.launch.places import ROOT

JUPYTERLAB = """
import http.server, json, os, pathlib
class Handler(http.server.BaseHTTPRequestHandler):
    def do_GET(self):
        self.send_response(200)
        self.end_headers()
    def log_message(self, *_):
        pass
if __name__ == "__main__":
    web = http.server.HTTPServer(("127.0.0.1", 0), Handler)
    info = {"pid": os.getpid(), "url": f"http://127.0.0.1:{web.server_port}/", "token": "t" + str(os.getpid())}
    pathlib.Path(os.environ["JUPYTER_RUNTIME_DIR"], f"jpserver-{os.getpid()}.json").write_text(json.dumps(info))
    web.serve_forever()
"""
PATIENCE = 300  # s; ends only what hangs
# Of each package the oldest that is asked for.
VERSIONS = {
    need.name: bound.version
    for need in map(Requirement, environment.learner_packages(ROOT))
    for bound in need.specifier
    if bound.operator == ">="
}


def make_wheel(folder, name, version):
    name = name.replace("-", "_")
    info = f"{name}-{version}.dist-info"
    files = {
        f"{name}/__init__.py": "",
        f"{name}/paths.py": "SYSTEM_CONFIG_PATH, SYSTEM_JUPYTER_PATH = [], []" if name == "jupyter_core" else "",
        f"{name}/__main__.py": JUPYTERLAB if name == "jupyterlab" else "",
        f"{info}/METADATA": f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n",
        f"{info}/WHEEL": "Wheel-Version: 1.0\nGenerator: tests\nRoot-Is-Purelib: true\nTag: py3-none-any\n",
    }
    record = "".join(f"{path},,\n" for path in files) + f"{info}/RECORD,,\n"
    with zipfile.ZipFile(folder / f"{name}-{version}-py3-none-any.whl", "w") as wheel:
        for path, text in {**files, f"{info}/RECORD": record}.items():
            wheel.writestr(path, text)


class Project:
    """A clone, a home folder and a folder of wheels, all in one place."""

    def __init__(self, folder):
        self.root, self.home, self.wheels = folder / "clone", folder / "home", folder / "wheels"

    def make(self):
        (self.root / "mechbench").mkdir(parents=True)
        for path in (ROOT / "requirements.txt", ROOT / "pyproject.toml", *(ROOT / "mechbench").glob("*.py")):
            shutil.copy(path, self.root / path.relative_to(ROOT))
        shutil.copytree(ROOT / "mechbench" / "launch", self.root / "mechbench" / "launch")
        (self.root / "lessons").mkdir()
        (self.root / "lessons" / "00_start_here.ipynb").write_text('{"cells": []}')
        self.home.mkdir()
        self.wheels.mkdir()
        for name, version in VERSIONS.items():
            make_wheel(self.wheels, name, version)

    def begin(self, *more):
        return subprocess.Popen(
            [sys.executable, "-m", "mechbench", "start", "--no-browser", "--wheels", str(self.wheels), *more],
            cwd=self.root,
            env={**os.environ, "HOME": str(self.home), "USERPROFILE": str(self.home)},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )


def until_open(process):
    """Read what start says until it stays, or until it ends."""
    said = ""
    for line in process.stdout:
        said += line
        if line.startswith("Your notebooks are in"):
            break
    return said


def address(said):
    return re.search(r"http://127\.0\.0\.1:\d+/lab/tree/00_start_here\.ipynb\?token=t\d+", said).group()


def end(process):
    process.send_signal(signal.SIGTERM)
    process.communicate(timeout=PATIENCE)


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
    assert seen == {".venv", "lessons", "mechbench", "pyproject.toml", "requirements.txt"}


def test_a_second_start_makes_nothing_and_a_third_finds_the_server(project):
    made = {path: path.stat().st_mtime_ns for path in (project.root / ".venv").iterdir()}
    process = project.begin()
    said = until_open(process)
    assert {path: path.stat().st_mtime_ns for path in (project.root / ".venv").iterdir()} == made
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


def test_a_server_that_runs_from_a_venv_which_must_be_made_anew_is_named(project):
    process = project.begin()
    until_open(process)
    marker = project.root / ".venv" / "ready.json"
    text = marker.read_text()
    marker.write_text("{}")
    answer, _ = (second := project.begin()).communicate(timeout=PATIENCE)
    end(process)
    marker.write_text(text)
    assert second.returncode == 1
    assert re.fullmatch(r"\.venv must be made anew, but JupyterLab still runs from it \(process \d+\): .*\n", answer)


def test_a_moved_project_is_made_anew_and_of_two_starts_at_once_one_opens_and_the_other_says_why_not(project):
    elsewhere = Project(project.root.parent)
    elsewhere.root = project.root.with_name("moved")
    os.rename(project.root, elsewhere.root)
    both = [elsewhere.begin(), elsewhere.begin()]
    said = {process: until_open(process) for process in both}
    (opened,) = (process for process in both if "Another" not in said[process])
    (told,) = (process for process in both if process is not opened)
    assert "it was moved or copied" in said[opened] and address(said[opened]) and opened.poll() is None
    assert "Another" in said[told] and told.wait() == 1
    end(opened)
    os.rename(elsewhere.root, project.root)


def test_a_missing_wheel_is_named(project):
    (pillow,) = project.wheels.glob("pillow-*.whl")
    pillow.rename(project.wheels / "away")
    (project.root / ".venv" / "ready.json").unlink(missing_ok=True)
    answer, _ = (process := project.begin()).communicate(timeout=PATIENCE)
    (project.wheels / "away").rename(pillow)
    assert process.returncode == 1
    assert (
        answer.splitlines()[-1]
        == f"The folder {project.wheels} holds no package pillow for this machine and this Python: add it there."
    )
    assert not (project.root / ".venv" / "ready.json").exists()

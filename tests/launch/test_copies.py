"""`forget` for real: what Jupyter and IPython keep of a learner's cells beside the notebook; what stays, and is named.

A cell with a telling word is run by IPython itself, which keeps it in its history; a notebook is saved, and set down as
a checkpoint, by Jupyter's own manager of files. Then the command runs, and the whole home folder is searched for the
word, byte by byte.
"""

import json
import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from jupyter_client.manager import KernelManager
from jupyter_server.services.contents.filemanager import FileContentsManager

from mechbench.course import progress
from mechbench.launch import copies, server, workfolder
from mechbench.launch.places import ROOT, Places

SECRET = "zinnober"
PATIENCE = 120  # s; ends only what hangs
IPYTHON = [sys.executable, "-m", "IPython", "--simple-prompt"]


def notebook(*sources):
    cells = [
        {"cell_type": "code", "metadata": {}, "outputs": [], "execution_count": None, "source": s} for s in sources
    ]
    return {"cells": cells, "metadata": {}, "nbformat": 4, "nbformat_minor": 4}


def save(folder, name, text):
    """Save a notebook as JupyterLab does, twice, and set down a checkpoint between."""
    manager = FileContentsManager(root_dir=str(folder))
    manager.save({"type": "notebook", "format": "json", "content": notebook(text)}, name)
    manager.create_checkpoint(name)
    manager.save({"type": "notebook", "format": "json", "content": notebook(text)}, name)


class Home:
    """A home folder in which ana has answered, and the work folder in it."""

    def __init__(self, folder):
        self.folder = folder
        self.work = folder / "mechbench-work"
        self.environ = {
            name: value for name, value in os.environ.items() if name not in ("IPYTHONDIR", "MECHBENCH_KIT")
        }
        self.environ |= {"HOME": str(folder), "USERPROFILE": str(folder), "MECHBENCH_HOME": str(folder / "answers")}
        self.environ |= {"MECHBENCH_WORK": str(self.work)}
        self.where = Places(ROOT, folder / ".venv", self.work)
        workfolder.for_its_owner_alone(self.where)
        self.store = progress.Store(folder / "answers")
        for name in ("ana", "bo"):
            attempt = progress.Attempt("start-1", 1, "digest", f"7 {SECRET}" if name == "ana" else "8", "wrong")
            assert self.store.record(self.store.learner(name), attempt).confirmed

    def type(self, *cells, environ=()):
        """Type into IPython, which keeps it."""
        environ = {**self.environ, **dict(environ)}
        text = "\n".join([*cells, "exit", ""])
        subprocess.run(IPYTHON, input=text, text=True, env=environ, cwd=self.folder, check=True, capture_output=True)

    def forget(self, name="ana"):
        line = [sys.executable, "-m", "mechbench", "forget", name, "--yes"]
        done = subprocess.run(line, cwd=ROOT, env=self.environ, capture_output=True, text=True)
        assert "Traceback" not in done.stderr
        return done

    def traces(self, word=SECRET):
        """Name every file in the home folder that holds the word."""
        files = (path for path in self.folder.rglob("*") if path.is_file())
        return {path.relative_to(self.folder).as_posix() for path in files if word.encode() in path.read_bytes()}


@pytest.fixture
def home(tmp_path):
    return Home(tmp_path)


def test_every_copy_goes_and_what_is_left_is_named(home):
    save(home.work, "02_gearing.ipynb", f"import mechbench as mb  # {SECRET}")
    (home.work / "mine").mkdir()
    save(home.work / "mine", "arm.ipynb", SECRET)
    home.type("import mechbench as mb", f"answer = '{SECRET}'")
    home.type(f"'{SECRET} in a terminal'", environ={"IPYTHONDIR": str(home.where.own / "ipython")})
    line = [sys.executable, "-m", "mechbench", "handin", "ana", "--to", str(home.work)]
    subprocess.run(line, cwd=ROOT, env=home.environ, check=True, capture_output=True)
    (handin,) = home.work.glob("handin_ana_*.json")
    before = home.traces()
    assert {
        "mechbench-work/.ipynb_checkpoints/02_gearing-checkpoint.ipynb",
        "mechbench-work/mine/.ipynb_checkpoints/arm-checkpoint.ipynb",
        ".ipython/profile_default/history.sqlite",
        "mechbench-work/.mechbench/ipython/profile_default/history.sqlite",
    } <= before
    done = home.forget()
    assert done.returncode == 0
    kept = {"mechbench-work/02_gearing.ipynb", "mechbench-work/mine/arm.ipynb", f"mechbench-work/{handin.name}"}
    assert home.traces() == kept
    deleted, copied, left = done.stdout.splitlines()
    assert deleted.startswith("Deleted: 1 answer of 'ana'.")
    assert copied == "Deleted too: 2 copies of notebooks that JupyterLab made, and what IPython kept of lessons' cells."
    assert left == (
        f"Not deleted: the notebooks in {home.work}; {handin}; what was thrown away in JupyterLab, which lies in "
        "this computer's trash. Delete by hand what nobody needs."
    )


def test_another_learner_and_what_a_person_typed_elsewhere_stay(home):
    home.type("import mechbench", f"'{SECRET}'")
    home.type("'my own sums'")
    assert home.forget().returncode == 0
    assert home.traces("my own sums") == {".ipython/profile_default/history.sqlite"} and home.traces() == set()
    assert [attempt.raw for attempt in home.store.attempts(home.store.find("bo"))] == ["8"]


def test_without_copies_there_is_no_word_of_them(home):
    said = home.forget().stdout
    assert "Deleted too" not in said and f"Not deleted: the notebooks in {ROOT / 'lessons'};" in said


@pytest.mark.parametrize("said, asked", [(["no"], False), (["yes", "bo"], False), (["yes", "ana"], True)])
def test_the_copies_go_after_the_questions_and_before_the_answers(home, monkeypatch, capsys, said, asked):
    monkeypatch.setenv("MECHBENCH_HOME", str(home.folder / "answers"))
    answers = iter(said)
    there = []

    def copies_of(name):
        there.append((name, home.store.find("ana") is not None))
        return ["A sentence on copies."]

    code = progress.forget_command(["ana"], lambda question: next(answers), copies=copies_of)
    assert (code, there) == ((0, [("ana", True)]) if asked else (1, []))
    assert ("A sentence on copies." in capsys.readouterr().out) is asked


def test_nobody_of_that_name_costs_nothing(home):
    save(home.work, "02_gearing.ipynb", SECRET)
    assert home.forget("carla").returncode == 1
    assert "mechbench-work/.ipynb_checkpoints/02_gearing-checkpoint.ipynb" in home.traces()


def test_a_history_that_can_not_be_cleaned_is_named_and_the_answers_go_all_the_same(home):
    home.type("import mechbench", f"'{SECRET}'")
    history = home.folder / ".ipython" / "profile_default" / "history.sqlite"
    history.write_bytes(b"no database " + SECRET.encode())
    done = home.forget()
    assert done.returncode == 0 and home.traces() == {".ipython/profile_default/history.sqlite"}
    assert f"Could not be cleaned: {history} (file is not a database): delete it by hand." in done.stdout


def test_a_busy_history_is_waited_for_and_then_named(home, monkeypatch):
    home.type("import mechbench")
    history = home.folder / ".ipython" / "profile_default" / "history.sqlite"
    monkeypatch.setattr(copies, "PATIENCE", 0.1)
    with sqlite3.connect(history) as busy:
        busy.execute("BEGIN EXCLUSIVE")
        report = copies.delete(home.where, {}, home.folder)
        busy.rollback()
    busy.close()
    assert report.failed == {history: "database is locked"}


# Where the debugger writes cells down: in a folder of temporary files, one for each notebook's Python.


def test_cells_for_the_debugger_go_with_the_notebooks_python(tmp_path, monkeypatch):
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path))
    manager = KernelManager(shutdown_wait_time=PATIENCE)
    manager.kernel_spec.argv[:] = [sys.executable, str(server.OWN_JUPYTER), "kernel", "-f", "{connection_file}"]
    manager.start_kernel()
    client = manager.blocking_client()
    client.start_channels()
    try:
        client.wait_for_ready(timeout=PATIENCE)
        asked = {"folder": "__import__('ipykernel.compiler').compiler.get_tmp_directory()"}
        reply = client.execute("", user_expressions=asked, reply=True, timeout=PATIENCE)
        folder = Path(reply["content"]["user_expressions"]["folder"]["data"]["text/plain"].strip("'"))
        folder.mkdir(mode=0o700)
        (folder / "1.py").write_text(SECRET)
    finally:
        client.stop_channels()
        manager.shutdown_kernel()
    assert folder.name.startswith("ipykernel_") and not folder.exists()


@pytest.mark.skipif(sys.platform == "win32", reason="a process can't be looked for there without ending it")
def test_cells_for_the_debugger_of_a_notebooks_python_that_was_killed_go_too(home, monkeypatch):
    monkeypatch.setattr(copies.tempfile, "gettempdir", lambda: str(home.folder))
    with subprocess.Popen([sys.executable, "-c", ""]) as ended:
        pass
    for name in (ended.pid, os.getpid(), "word"):
        (folder := home.folder / f"ipykernel_{name}").mkdir()
        (folder / "1.py").write_text(SECRET)
    copies.delete(home.where, {}, home.folder)
    assert home.traces() >= {f"ipykernel_{os.getpid()}/1.py", "ipykernel_word/1.py"}
    assert not (home.folder / f"ipykernel_{ended.pid}").exists()


# What a crash leaves while a notebook is saved: a copy beside it, which may be the only whole one.


@pytest.mark.parametrize("whole, stays", [(True, False), (False, True)])
def test_the_copy_beside_a_notebook_goes_only_where_the_notebook_is_whole(home, whole, stays):
    (home.work / ".~a.ipynb").write_text(json.dumps(notebook(SECRET)))
    (home.work / "a.ipynb").write_text(json.dumps(notebook("1")) if whole else '{"cells": [')
    copies.delete(home.where, {}, home.folder)
    assert (home.work / ".~a.ipynb").exists() is stays


def test_in_a_folder_that_is_a_persons_own_only_the_lessons_copies_go(home):
    (home.where.own / workfolder.WAS_HERE).touch()
    (home.where.own / workfolder.LEDGER).write_text('{"copied": {"02_gearing.ipynb": "x"}, "seen": {}}')
    save(home.work, "02_gearing.ipynb", SECRET)
    save(home.work, "thesis.ipynb", SECRET)
    (home.work / "deep").mkdir()
    save(home.work / "deep", "02_gearing.ipynb", SECRET)
    copies.delete(home.where, {}, home.folder)
    kept = {path for path in home.traces() if "checkpoint" in path}
    assert kept == {
        "mechbench-work/.ipynb_checkpoints/thesis-checkpoint.ipynb",
        "mechbench-work/deep/.ipynb_checkpoints/02_gearing-checkpoint.ipynb",
    }


def test_a_folder_that_no_start_has_used_is_not_searched(home):
    other = Places(ROOT, home.folder / ".venv", home.folder / "documents")
    (other.work / "deep").mkdir(parents=True)
    save(other.work, "thesis.ipynb", SECRET)
    save(other.work / "deep", "thesis.ipynb", SECRET)
    assert copies.delete(other, {}, home.folder) == copies.Report()
    assert len([path for path in home.traces() if "checkpoint" in path]) == 2


def test_a_history_set_aside_as_damaged_is_named_and_an_empty_one_is_nothing(home):
    (folder := home.folder / ".ipython" / "profile_default").mkdir(parents=True)
    (folder / "history.sqlite").touch()
    (aside := folder / "history-corrupt20260301.sqlite").write_bytes(b"no database " + SECRET.encode())
    report = copies.delete(home.where, {}, home.folder)
    assert not report.history and report.failed == {aside: "file is not a database"}


@pytest.mark.skipif(sys.platform == "win32", reason="links need a right of their own there")
def test_a_link_out_of_the_work_folder_is_not_followed(home):
    (elsewhere := home.folder / "elsewhere").mkdir()
    save(elsewhere, "thesis.ipynb", SECRET)
    (home.work / "link").symlink_to(elsewhere, target_is_directory=True)
    (home.work / ".ipynb_checkpoints").symlink_to(elsewhere / ".ipynb_checkpoints", target_is_directory=True)
    copies.delete(home.where, {}, home.folder)
    assert (elsewhere / ".ipynb_checkpoints" / "thesis-checkpoint.ipynb").exists()

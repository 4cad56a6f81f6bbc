"""What Jupyter and IPython keep of a learner's cells beside the notebook, and deleting it.

Checkpoints (the notebook as it was last saved), what a crash leaves while a notebook is saved, cells written down for
the debugger, and IPython's history of what was typed. A JupyterLab that `start` opens keeps no history, but one that
was started by hand does, and so did earlier editions. None of them says whose it is, so all of them go: each is a copy,
and the notebooks stay.
"""

import json
import os
import shutil
import sqlite3
import sys
import tempfile
from contextlib import closing, suppress
from dataclasses import dataclass, field
from pathlib import Path

from . import workfolder

CHECKPOINTS = ".ipynb_checkpoints"
BESIDE = ".~"  # before the name of a notebook, while it is saved
HISTORY = "history*.sqlite"  # IPython sets a damaged one aside, under a longer name
PATIENCE = 5  # s, for another program that writes to the same history
OF_LESSONS = "SELECT session FROM history WHERE source_raw LIKE '%mechbench%' OR source LIKE '%mechbench%'"


@dataclass
class Report:
    """What was deleted: the number of copies of notebooks, whether there was a history; file -> why it was not."""

    copies: int = 0
    history: bool = False
    failed: dict = field(default_factory=dict)


def delete(where, environ, home):
    """Delete every copy of a learner's cells that programs made by themselves; give the Report."""
    report = Report()
    for file in _of_notebooks(where):
        report.copies += _tried(file, report, Path.unlink) or 0
        if file.parent.name == CHECKPOINTS:
            with suppress(OSError):  # it holds more
                file.parent.rmdir()
    for folder in _of_debuggers():
        shutil.rmtree(folder, ignore_errors=True)
    for file in where.own.glob(f"ipython/profile_*/{HISTORY}*"):  # ours, of IPython in JupyterLab's terminal
        report.history |= bool(_tried(file, report, Path.unlink))
    named = environ.get("IPYTHONDIR", "").strip()
    theirs = Path(os.path.expanduser(named)) if named else Path(home, ".ipython")
    for file in theirs.glob(f"profile_*/{HISTORY}"):
        report.history |= bool(_tried(file, report, _forget_lessons))
    return report


def _tried(file, report, task):
    """Do a task on a file; give 1 where it did something, 0 where there was nothing to do or it failed."""
    try:
        return 0 if task(file) is False else 1
    except (OSError, sqlite3.Error) as error:
        report.failed[file] = getattr(error, "strerror", None) or str(error)
        return 0


def _of_notebooks(where):
    """List the copies of notebooks: in a work folder of ours all, in a folder that is a person's own the lessons'."""
    ours = workfolder.is_ours(where)
    known = workfolder.read_ledger(where)["copied"].keys() | {path.name for path in where.lessons.glob("*.ipynb")}
    folders = [where.lessons, where.work, *(_below(where.work) if ours else ())]
    for folder in folders:
        everything = ours and folder != where.lessons
        names = (lambda name: True) if everything else known.__contains__
        if not (folder / CHECKPOINTS).is_symlink():
            for file in sorted((folder / CHECKPOINTS).glob("*-checkpoint.*")):
                if names(file.name.replace("-checkpoint.", ".")):
                    yield file
        for file in sorted(folder.glob(f"{BESIDE}*.ipynb")):
            # After a crash it may be the only one that is whole.
            if names(file.name.removeprefix(BESIDE)) and _whole(folder / file.name.removeprefix(BESIDE)):
                yield file


def _of_debuggers():
    """List the folders with the cells that a debugger wrote down, of notebooks' Pythons that have ended."""
    if sys.platform == "win32":  # there a process can't be looked for without ending it
        return
    for folder in Path(tempfile.gettempdir()).glob("ipykernel_*"):
        number = folder.name.removeprefix("ipykernel_")
        try:
            if number.isdecimal() and not folder.is_symlink() and folder.stat().st_uid == os.getuid():
                os.kill(int(number), 0)
        except ProcessLookupError:
            yield folder
        except (OSError, OverflowError):  # somebody else's, gone already, or no number of a process
            continue


def _below(folder):
    for path, names, _ in os.walk(folder):  # it follows no links
        names[:] = [name for name in names if not name.startswith(".")]
        yield from (Path(path, name) for name in names if not Path(path, name).is_symlink())


def _whole(notebook):
    try:
        return bool(json.loads(notebook.read_bytes())["cells"])
    except (OSError, ValueError, LookupError, TypeError):
        return False


def _forget_lessons(history):
    """Take what was typed beside mechbench out of IPython's history for good; give False where there was none."""
    if not history.stat().st_size:
        return False
    with closing(sqlite3.connect(f"{history.absolute().as_uri()}?mode=rw", timeout=PATIENCE, uri=True)) as connection:
        connection.execute("PRAGMA secure_delete = ON")  # what is deleted is overwritten
        with connection:
            sessions = {session for (session,) in connection.execute(OF_LESSONS)}
            for session in sessions:
                for table in ("history", "output_history"):
                    connection.execute(f"DELETE FROM {table} WHERE session = ?", (session,))
        return bool(sessions)

"""The command `check`: can this laptop run the course? One line for each thing, "ok" or a sentence that says what to
do.

This half looks at Python, .venv and the folders with the standard library alone; `course/notebook_check.py` goes on
inside .venv. Nothing is installed and nothing is left behind.
"""

import os
import platform
import subprocess
import sys
import tempfile
from pathlib import Path

from mechbench.command_line import Parser, typed

from . import environment, places, server
from .problem import Problem

OTHER_HALF = "mechbench.course.notebook_check"


def command(arguments):
    """Check this laptop; give 0 when all is well, else 1."""
    Parser(
        "check", description="Look whether this laptop can run the course; nothing is installed and nothing changed."
    ).parse_args(arguments)
    where = places.find(os.environ, places.home())
    checks = (
        ("Python", lambda: python()),
        ("Work folder", lambda: work_folder(where)),
        ("Lessons", lambda: lessons(where)),
        ("Packages", lambda: str(python_with_packages(where))),
    )
    passed = [told(name, look) for name, look in checks]
    if passed[-1]:
        passed.append(_other_half(where))
    good = all(passed)
    print(
        "This laptop is ready." if good else f"This laptop is not ready: do what the lines with {NOT_OK.strip()} say.",
        flush=True,
    )
    return 0 if good else 1


OK, NOT_OK = "ok    ", "NOT OK"


def told(name, look):
    """Show one line, and tell whether all is well; `look` gives a fact or raises Problem."""
    try:
        sign, words = OK, look()
    except Problem as fault:
        sign, words = NOT_OK, str(fault)
    print(f"{sign}  {name}: {words}", flush=True)
    return sign == OK


def python(bits=sys.maxsize.bit_length() + 1):
    """Give version and kind of this Python; most packages are made for 64 bit only."""
    if bits < 64:
        raise Problem(
            f"this is a Python of {bits} bit, for which there are no packages: install a 64-bit one from python.org."
        )
    return f"{platform.python_version()}, {bits} bit, {platform.system()} {platform.machine()}"


def work_folder(where):
    """Write a file where the lessons are copied to, or where that folder will be made."""
    place = next(folder for folder in (where.own, *where.own.parents) if folder.is_dir())
    try:
        with tempfile.TemporaryFile(dir=place) as file:
            file.write(b"check")
    except OSError as error:
        raise Problem(
            f"{place} can't be written to ({error.strerror}): set MECHBENCH_WORK to a folder of your own."
        ) from None
    return f"{where.work} can be written to"


def lessons(where):
    """Count the lessons of the project."""
    count = len(list(where.lessons.glob("*.ipynb")))
    if not count:
        raise Problem(f"there is none in {where.lessons}: copy the whole project again.")
    return f"{count} notebooks in {where.lessons}"


def python_with_packages(where):
    """Give the Python that the lessons run in: the one of .venv, or this one where the packages were installed by
    hand.
    """
    from .commands import packages_here

    if packages_here(where):
        return Path(sys.executable)
    reason = environment.not_ready(where, "learner")
    if reason:
        raise Problem(
            f"{where.venv} can't be used ({reason}): type {typed()} start, or without network start --wheels FOLDER."
        )
    return places.python_of(where.venv)


def _other_half(where):
    python = python_with_packages(where)
    line = [str(python), "-m", OTHER_HALF, *environment.learner_packages(where.root)]
    # The same surroundings as those of JupyterLab and its notebooks, in a folder that goes with the check.
    with tempfile.TemporaryDirectory(prefix="mechbench-check-", ignore_cleanup_errors=True) as own:
        server.prepare(python, Path(own))
        return subprocess.run(line, cwd=where.root, env=server.settings(Path(own), os.environ)).returncode == 0

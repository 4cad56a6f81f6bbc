"""The project's .venv: what goes into it, is it ready, does it work, who uses it; how it is made: making.py.

A .venv is ready when ready.json in it says so: that file is written last and in one stroke.
"""

import hashlib
import json
import locale
import os
import subprocess
import sys
import tomllib
from pathlib import Path

from . import exact, lock, places
from .problem import Problem

LOCK = "mechbench.lock"  # says that we made this folder, and is locked by whoever uses it
MARKER = "ready.json"
PATH_FILE = "mechbench.pth"
IMPORTS = {"learner": "numpy, matplotlib, ipywidgets, jupyterlab, mechbench"}
IMPORTS["test"] = f"{IMPORTS['learner']}, pytest, xdist, nbval"

# A person's settings that would let foreign packages in, or send ours elsewhere.
NOT_PASSED_ON = ("PYTHONHOME", "PYTHONPATH", "PIP_TARGET", "PIP_PREFIX", "PIP_USER", "PIP_REQUIRE_VIRTUALENV")
FOLDERS = ("MECHBENCH_KIT", "MECHBENCH_HOME")  # settings that name a folder
# How a program is run that asks nothing, and whose words, complaints among them, are read here.
READ_HERE = {
    "stdin": subprocess.DEVNULL,
    "stdout": subprocess.PIPE,
    "stderr": subprocess.STDOUT,
    "text": True,
    "encoding": "utf-8",
    "errors": "replace",
}


def sets(root):
    """Read the two sets of packages from pyproject.toml, by name: what a learner needs, and what the tests add."""
    project = tomllib.loads((root / "pyproject.toml").read_text("utf-8"))["project"]
    return {"learner": project["dependencies"], "test": project["optional-dependencies"]["test"]}


def learner_packages(root):
    """Give what a learner needs; mechbench itself is left out: point_at() sees to it."""
    return sets(root)["learner"]


def distribution(package):
    """Give the bare name of a package: "numpy" of "numpy>=1.26,<3".

    Nothing that reads all that may stand in such a line is there before anything is installed. So every line of ours is
    NAME>=LOWEST,<TOO_HIGH; a test holds them to that.
    """
    return package.partition(">=")[0]


def surroundings(environ):
    """Give the environment for the programs that the launcher runs: the person's, less what would break .venv.

    A setting that names a folder from here is passed on as a whole path, because notebooks run in a folder of their
    own.
    """
    given = {name: value for name, value in environ.items() if name not in NOT_PASSED_ON}
    folders = {name: given[name].strip() for name in FOLDERS if given.get(name, "").strip()}
    return {**given, **{name: os.path.abspath(os.path.expanduser(folder)) for name, folder in folders.items()}}


# Is it ready?


def marker_for(where, names):
    """Give what ready.json says about a .venv with these sets of packages in it."""
    return {
        "python": "{}.{}".format(*sys.version_info),
        "path": str(where.venv),
        "packages": {name: _digest(where.root, name) for name in sorted(names)},
    }


def not_ready(where, name):
    """Say why the set of packages of this name can't be used yet; an empty text when it can."""
    if not where.venv.is_dir() or all(child.name == LOCK for child in where.venv.iterdir()):
        return "there is none yet"
    if not places.python_of(where.venv).exists():
        return "it was not finished, or the Python that it was made with has gone"
    try:
        found = json.loads((where.venv / MARKER).read_text("utf-8"))
    except (OSError, ValueError):
        return "it was not finished, or not made by this command"
    wanted = marker_for(where, ["learner", name])
    if not isinstance(found, dict) or found.get("path") != wanted["path"]:
        return "it was moved or copied"
    if found.get("python") != wanted["python"]:
        return f"it belongs to Python {found.get('python')} and this is Python {wanted['python']}"
    for key, digest in wanted["packages"].items():
        have = found.get("packages", {}).get(key)
        if have is None:
            return ADD
        if have != digest:
            return "the list of packages has changed"
    return ""


ADD = "the packages for the tests are not in it yet"


def _digest(root, name):
    listed = exact.file(root, name)
    # Bounds that move and an exact list that stays are a change too: the list may be gone, or be no help here.
    lines = [*sorted(sets(root)[name]), listed.read_text("utf-8") if listed.exists() else ""]
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()


def replace_text(path, text):
    """Write a file so that it is there whole or not at all."""
    part = path.with_name(path.name + ".part")
    with open(part, "w", encoding="utf-8") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    os.replace(part, path)


# Does it work?


def use(where, words):
    """Use .venv until this process ends: it is not made anew under us; give what hands that on to a program."""
    return lock.handed_on(lock.hold(where.venv / LOCK, words))


def point_at(where):
    """Let every program in .venv import mechbench from its own folder, whatever the current folder is."""
    version = python_version(where.venv)
    path_file = places.packages_of(where.venv, version=version) / PATH_FILE
    # Python reads these files in the language of the machine up to 3.12, and as UTF-8 from 3.13 on.
    encoding = "utf-8" if tuple(map(int, version.split("."))) >= (3, 13) else locale.getencoding()
    try:
        line = f"{where.root}\n".encode(encoding)
    except UnicodeEncodeError:
        raise Problem(
            f"The path {where.root} has letters that this machine's Python can't store: "
            "move the project to a folder whose path has plain letters only."
        ) from None
    if not path_file.exists() or path_file.read_bytes() != line:
        path_file.write_bytes(line)


def python_version(venv):
    """Give the Python of a .venv, "3.12": who types a command may have another one."""
    for line in (venv / "pyvenv.cfg").read_text("utf-8").splitlines():
        name, _, value = line.partition("=")
        if name.strip() == "version":
            return ".".join(value.strip().split(".")[:2])
    return "{}.{}".format(*sys.version_info)


def import_fault(where, name, folder):
    """Try what is used of a set of packages, from a folder; say what went wrong, or give an empty text."""
    tried = _inside(where, folder, "-c", f"import {IMPORTS[name]}")
    return "" if tried.returncode == 0 else (tried.stderr.strip().splitlines() or ["no message"])[-1]


def lacking(where, name):
    """Give the lines of pyproject.toml that what is in .venv does not satisfy."""
    packages = sets(where.root)
    lines = [line for key in dict.fromkeys(("learner", name)) for line in packages[key]]
    return _inside(where, where.venv, str(Path(__file__).with_name("lacking.py")), *lines).stdout.splitlines()


def _inside(where, folder, *words):
    return subprocess.run(
        [str(places.python_of(where.venv)), *words],
        cwd=folder,
        env=surroundings(os.environ),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        errors="replace",
    )

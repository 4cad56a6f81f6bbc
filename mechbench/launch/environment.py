"""The project's .venv: is it ready, making it, what goes into it.

A .venv is ready when ready.json in it says so: that file is written last and in one stroke. Everything else is made
anew.
"""

import hashlib
import json
import locale
import os
import shutil
import subprocess
import sys
import tomllib
from importlib.util import find_spec

from . import places
from .lock import only_one
from .problem import Problem, explain_pip, explain_venv

LOCK = "mechbench.lock"
MARKER = "ready.json"
LOG = "install.log"
PATH_FILE = "mechbench.pth"

# A person's settings that would let foreign packages in, or send ours elsewhere.
NOT_PASSED_ON = ("PYTHONHOME", "PYTHONPATH", "PIP_TARGET", "PIP_PREFIX", "PIP_USER", "PIP_REQUIRE_VIRTUALENV")
FOLDERS = ("MECHBENCH_KIT", "MECHBENCH_HOME")  # settings that name a folder


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
    packages = sets(where.root)
    return {
        "python": "{}.{}".format(*sys.version_info),
        "path": str(where.venv),
        "packages": {name: _digest(packages[name]) for name in sorted(names)},
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


def _digest(packages):
    return hashlib.sha256("\n".join(sorted(packages)).encode()).hexdigest()


# Making it


def ensure(where, name, typed, say, wheels=None):
    """See to it that .venv holds the set of packages of this name ("learner" or "test")."""
    if not_ready(where, name):
        refuse_what_is_not_ours(where)
        where.venv.mkdir(parents=True, exist_ok=True)
        with only_one(where.venv / LOCK, typed):
            reason = not_ready(where, name)
            if reason:
                _make(where, name, reason, say, wheels)
    point_at(where)


def refuse_what_is_not_ours(where):
    """Never empty a folder that this command did not make: MECHBENCH_VENV may name any folder."""
    venv = where.venv
    if venv.exists() and not venv.is_dir():
        raise Problem(f"{venv} is in the way of the folder of that name: move or delete it, then try again.")
    if not venv.exists() or (venv / LOCK).exists() or not any(venv.iterdir()):
        return
    default = venv == where.root / ".venv"
    if not (default and (venv / "pyvenv.cfg").exists()):
        raise Problem(
            f"{venv} holds something that this command did not make: "
            "delete it, or set MECHBENCH_VENV to an empty folder, then try again."
        )


def _make(where, name, reason, say, wheels):
    marker = where.venv / MARKER
    marker.unlink(missing_ok=True)
    if reason == ADD:
        say("Adding the packages for the tests to .venv.")
    else:
        size = "450 MB" if name == "learner" else "700 MB"
        say(f"Making {where.venv} ({reason}): about {size} and one to three minutes, this once.")
        refuse_long_path(where.venv)
        empty(where.venv)
        create(where.venv)
    names = sorted({"learner", name})
    packages = sets(where.root)
    install(where, [package for key in names for package in packages[key]], say, wheels)
    point_at(where)
    try_imports(where)
    replace_text(marker, json.dumps(marker_for(where, names), indent=1) + "\n")


def refuse_long_path(venv):
    """Stop before Windows refuses a path, half-way through an install."""
    if sys.platform == "win32" and places.too_long(venv, sys.platform, places.long_paths_on()):
        raise Problem(
            f"{venv} is too long a path for Windows: move this project to a short folder such as C:\\mechbench, "
            "or set MECHBENCH_VENV to a short folder."
        )


def empty(venv):
    """Delete everything in a .venv but the lock."""
    for child in venv.iterdir():
        if child.name == LOCK:
            continue
        if child.is_dir() and not child.is_symlink():
            shutil.rmtree(child)
        else:
            child.unlink()


def create(venv):
    """Make the bare .venv."""
    # Inside a virtual environment sys.executable is that environment's own, which may be the one just emptied.
    python = getattr(sys, "_base_executable", None) or sys.executable
    made = subprocess.run(
        [python, "-m", "venv", str(venv)],
        env=surroundings(os.environ),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
    )
    if made.returncode != 0 or not places.python_of(venv).exists():
        free = shutil.disk_usage(venv).free
        raise Problem(explain_venv(made.stdout, sys.version_info, find_spec("ensurepip") is not None, free))


def install(where, packages, say, wheels):
    """Install packages with pip; everything that pip says goes to install.log."""
    command = [str(places.python_of(where.venv)), "-m", "pip", "install", "--disable-pip-version-check", "--no-input"]
    command += ["--progress-bar=off", "--only-binary=:all:"]
    if wheels is not None:
        command += ["--no-index", "--find-links", str(wheels)]
    log = where.venv / LOG
    try:
        code, said = _run_and_record(command + packages, where.root, log, say)
    finally:
        say("")
    if code != 0:
        raise Problem(explain_pip(said, wheels, log))


def _run_and_record(command, folder, log, say):
    lines = []
    with (
        open(log, "w", encoding="utf-8") as record,
        subprocess.Popen(
            command,
            cwd=folder,
            env=surroundings(os.environ),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
            errors="replace",
        ) as program,
    ):
        for line in program.stdout:
            record.write(line)
            lines.append(line)
            if line.startswith(("Collecting", "Processing", "Installing")):
                say(".", end="")
    return program.returncode, "".join(lines)


def point_at(where):
    """Let every program in .venv import mechbench from its own folder, whatever the current folder is."""
    path_file = places.packages_of(where.venv) / PATH_FILE
    # Python reads these files in the language of the machine up to 3.12, and as UTF-8 from 3.13 on.
    encoding = "utf-8" if sys.version_info >= (3, 13) else locale.getencoding()
    try:
        line = f"{where.root}\n".encode(encoding)
    except UnicodeEncodeError:
        raise Problem(
            f"The path {where.root} has letters that this machine's Python can't store: "
            "move the project to a folder whose path has plain letters only."
        ) from None
    if not path_file.exists() or path_file.read_bytes() != line:
        path_file.write_bytes(line)


def try_imports(where):
    """Prove that what was installed can be used, from a folder that is not the project's."""
    python = places.python_of(where.venv)
    tried = subprocess.run(
        [str(python), "-c", "import numpy, matplotlib, ipywidgets, jupyterlab, mechbench"],
        cwd=where.venv,
        env=surroundings(os.environ),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        errors="replace",
    )
    if tried.returncode != 0:
        last = (tried.stderr.strip().splitlines() or ["no message"])[-1]
        raise Problem(
            f"The packages were installed, but they can't be used ({last}): delete {where.venv} and try again."
        )


def replace_text(path, text):
    """Write a file so that it is there whole or not at all."""
    part = path.with_name(path.name + ".part")
    with open(part, "w", encoding="utf-8") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    os.replace(part, path)

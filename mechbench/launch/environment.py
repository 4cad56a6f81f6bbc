"""The project's .venv: is it ready, making it, what goes into it.

A .venv is ready when ready.json in it says so: that file is written last and in one stroke. Everything else is made anew.
"""

import hashlib
import json
import locale
import os
import re
import shutil
import subprocess
import sys
from importlib.util import find_spec

from . import places as where
from .lock import only_one
from .problem import Problem

LOCK = "mechbench.lock"
MARKER = "ready.json"
LOG = "install.log"
PATH_FILE = "mechbench.pth"
OURSELVES = "-e ."

# A person's settings that would let foreign packages in, or send ours elsewhere.
NOT_PASSED_ON = ("PYTHONHOME", "PYTHONPATH", "PIP_TARGET", "PIP_PREFIX", "PIP_USER", "PIP_REQUIRE_VIRTUALENV")


def learner_packages(root):
    """Read what a learner needs from requirements.txt; mechbench itself is left out: point_at() sees to it."""
    lines = (line.partition("#")[0].strip() for line in (root / "requirements.txt").read_text("utf-8").splitlines())
    return [line for line in lines if line and line != OURSELVES]


def test_packages(root):
    """Read what the tests add from pyproject.toml."""
    import tomllib

    project = tomllib.loads((root / "pyproject.toml").read_text("utf-8"))["project"]
    return project["optional-dependencies"]["test"]


def sets(root):
    """Give the two sets of packages by name."""
    return {"learner": learner_packages(root), "test": test_packages(root)}


def distribution(package):
    """Give the bare name of a package: "numpy" of "numpy>=1.26,<3"."""
    return re.match(r"[A-Za-z0-9._-]+", package).group()


def surroundings(environ):
    """Give the environment for the programs that the launcher runs: the person's, less what would break .venv."""
    return {name: value for name, value in environ.items() if name not in NOT_PASSED_ON}


# Is it ready?


def marker_for(places, names):
    """Give what ready.json says about a .venv with these sets of packages in it."""
    packages = sets(places.root)
    return {
        "python": "{}.{}".format(*sys.version_info),
        "path": str(places.venv),
        "packages": {name: _digest(packages[name]) for name in sorted(names)},
    }


def not_ready(places, name):
    """Say why the set of packages of this name can't be used yet; an empty text when it can."""
    if not places.venv.is_dir() or all(child.name == LOCK for child in places.venv.iterdir()):
        return "there is none yet"
    if not where.python_of(places.venv).exists():
        return "it was not finished, or the Python that it was made with has gone"
    try:
        found = json.loads((places.venv / MARKER).read_text("utf-8"))
    except (OSError, ValueError):
        return "it was not finished, or not made by this command"
    wanted = marker_for(places, ["learner", name])
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


def ensure(places, name, typed, say, wheels=None):
    """See to it that .venv holds the set of packages of this name ("learner" or "test")."""
    if not_ready(places, name):
        refuse_what_is_not_ours(places)
        places.venv.mkdir(parents=True, exist_ok=True)
        with only_one(places.venv / LOCK, typed):
            reason = not_ready(places, name)
            if reason:
                _make(places, name, reason, say, wheels)
    point_at(places)


def refuse_what_is_not_ours(places):
    """Never empty a folder that this command did not make: MECHBENCH_VENV may name any folder."""
    venv = places.venv
    if venv.exists() and not venv.is_dir():
        raise Problem(f"{venv} is in the way of the folder of that name: move or delete it, then try again.")
    if not venv.exists() or (venv / LOCK).exists() or not any(venv.iterdir()):
        return
    default = venv == places.root / ".venv"
    if not (default and (venv / "pyvenv.cfg").exists()):
        raise Problem(
            f"{venv} holds something that this command did not make: "
            "delete it, or set MECHBENCH_VENV to an empty folder, then try again."
        )


def _make(places, name, reason, say, wheels):
    marker = places.venv / MARKER
    marker.unlink(missing_ok=True)
    if reason == ADD:
        say("Adding the packages for the tests to .venv.")
    else:
        size = "450 MB" if name == "learner" else "700 MB"
        say(f"Making {places.venv} ({reason}): about {size} and one to three minutes, this once.")
        refuse_long_path(places.venv)
        empty(places.venv)
        create(places.venv)
    names = sorted({"learner", name})
    packages = sets(places.root)
    install(places, [package for key in names for package in packages[key]], say, wheels)
    point_at(places)
    try_imports(places)
    replace_text(marker, json.dumps(marker_for(places, names), indent=1) + "\n")


def refuse_long_path(venv):
    """Stop before Windows refuses a path, half-way through an install."""
    if sys.platform == "win32" and where.too_long(venv, sys.platform, where.long_paths_on()):
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
    if made.returncode != 0 or not where.python_of(venv).exists():
        free = shutil.disk_usage(venv).free
        raise Problem(explain_venv(made.stdout, sys.version_info, find_spec("ensurepip") is not None, free))


def install(places, packages, say, wheels):
    """Install packages with pip; everything that pip says goes to install.log."""
    command = [str(where.python_of(places.venv)), "-m", "pip", "install", "--disable-pip-version-check", "--no-input"]
    command += ["--progress-bar=off", "--only-binary=:all:"]
    if wheels is not None:
        command += ["--no-index", "--find-links", str(wheels)]
    log = places.venv / LOG
    try:
        code, said = _run_and_record(command + packages, places.root, log, say)
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
            if line.startswith(("Collecting", "Installing")):
                say(".", end="")
    return program.returncode, "".join(lines)


def point_at(places):
    """Let every program in .venv import mechbench from its own folder, whatever the current folder is."""
    path_file = where.packages_of(places.venv) / PATH_FILE
    # Python reads these files in the language of the machine up to 3.12, and as UTF-8 from 3.13 on.
    encoding = "utf-8" if sys.version_info >= (3, 13) else locale.getencoding()
    try:
        line = f"{places.root}\n".encode(encoding)
    except UnicodeEncodeError:
        raise Problem(
            f"The path {places.root} has letters that this machine's Python can't store: "
            "move the project to a folder whose path has plain letters only."
        ) from None
    if not path_file.exists() or path_file.read_bytes() != line:
        path_file.write_bytes(line)


def try_imports(places):
    """Prove that what was installed can be used, from a folder that is not the project's."""
    python = where.python_of(places.venv)
    tried = subprocess.run(
        [str(python), "-c", "import numpy, matplotlib, ipywidgets, pint, jupyterlab, mechbench"],
        cwd=places.venv,
        env=surroundings(os.environ),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        errors="replace",
    )
    if tried.returncode != 0:
        last = (tried.stderr.strip().splitlines() or ["no message"])[-1]
        raise Problem(f"The packages were installed, but they can't be used ({last}): delete {places.venv} and try again.")


def replace_text(path, text):
    """Write a file so that it is there whole or not at all."""
    part = path.with_name(path.name + ".part")
    with open(part, "w", encoding="utf-8") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    os.replace(part, path)


# Sentences for what venv and pip say


# When the disk is full, `python -m venv` does not say so: it says that ensurepip failed.
ROOM_FOR_PIP = 30_000_000
DISK_IS_FULL = "The disk is full: free about 1 GB, then type the command again."
NETWORK = (
    "NewConnectionError",
    "ConnectTimeoutError",
    "ReadTimeoutError",
    "Read timed out",
    "Max retries exceeded",
    "Failed to establish a new connection",
    "Temporary failure in name resolution",
    "Name or service not known",
    "getaddrinfo failed",
    "Network is unreachable",
    "ProxyError",
    "SSLError",
    "CERTIFICATE_VERIFY_FAILED",
    "RemoteDisconnected",
    "ConnectionResetError",
    "ConnectionRefusedError",
)
DISK_FULL = ("No space left on device", "[Errno 28]", "[WinError 112]", "Disk quota exceeded")
LONG_PATH = ("Windows Long Path support",)
CLOSED = ("[Errno 13]", "[WinError 5]", "[WinError 32]", "Read-only file system")
NOT_FOUND = re.compile(r"No matching distribution found for ([A-Za-z0-9._-]+)")


def explain_venv(said, version, has_ensurepip, free):
    """Put the failure of `python -m venv` into one sentence; free is the room left on the disk, in bytes."""
    if _has(said, DISK_FULL) or free < ROOM_FOR_PIP:
        return DISK_IS_FULL
    if not has_ensurepip or "No module named venv" in said or "ensurepip is not available" in " ".join(said.split()):
        return (
            "This Python comes without the part that makes .venv: on Debian and Ubuntu type "
            "`sudo apt install python{}.{}-venv`, elsewhere install Python from python.org, then try again.".format(*version)
        )
    return f"Python could not make .venv ({_last(said)}): install Python anew from python.org, then try again."


def explain_pip(said, wheels, log):
    """Put the failure of `pip install` into one sentence."""
    missing = NOT_FOUND.search(said)
    if _has(said, DISK_FULL):
        return DISK_IS_FULL
    if _has(said, LONG_PATH):
        return "A path got too long for Windows: set MECHBENCH_VENV to a short folder such as C:\\mechbench, then try again."
    if _has(said, NETWORK):
        return (
            "The packages can't be fetched because the network does not answer: connect to the internet and try again, "
            "or take them from a folder (start --wheels FOLDER)."
        )
    if missing and wheels is not None:
        return f"The folder {wheels} holds no package {missing.group(1)} for this machine and this Python: add it there."
    if missing:
        return (
            f"There is no ready-made package {missing.group(1)} for this machine and this Python: "
            "use another Python from 3.11 on, or another machine."
        )
    if _has(said, CLOSED):
        return f"A file of .venv can't be written: close the programs that use it, then try again; the record is {log}."
    return f"The packages could not be installed ({_last(said)}): the whole record is {log}."


def _has(said, signs):
    return any(sign in said for sign in signs)


def _last(said):
    lines = [line.strip() for line in said.splitlines() if line.strip()]
    errors = [line for line in lines if line.lower().startswith("error")]
    return (errors or lines or ["it said nothing"])[-1].rstrip(".")

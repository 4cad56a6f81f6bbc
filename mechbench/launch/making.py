"""Making .venv: the new one is built beside the old one, tried, and only then put in its place.

What stands beside .venv: .venv.new while it is built, .venv.old while it is replaced, .venv.lock, and .venv.log, which
keeps what pip said last. Where no new one can be had, the old one goes on working, and what it lacks is said. It is
never replaced under a program that runs from it.
"""

import json
import os
import shutil
import subprocess
import sys
from contextlib import contextmanager, suppress
from dataclasses import replace
from importlib.util import find_spec

from . import environment, exact, lock, places, problem, server
from .environment import ADD, LOCK, MARKER, READ_HERE, surroundings
from .problem import Problem


def ensure(where, name, typed, say, wheels=None):
    """See to it that .venv holds the set of packages of this name ("learner" or "test"), or can go on without."""
    guard = places.beside(where.venv, "lock")
    if environment.not_ready(where, name):
        refuse_what_is_not_ours(where)
        where.venv.parent.mkdir(parents=True, exist_ok=True)
        with lock.only_one(guard, typed):
            put_right(where)
            reason = environment.not_ready(where, name)
            if reason:
                _renew(where, name, reason, say, wheels)
    elif places.beside(where.venv, "old").exists():
        with suppress(Problem), lock.only_one(guard, typed):
            put_right(where)
    environment.point_at(where)


def refuse_what_is_not_ours(where):
    """Never delete a folder that this command did not make: MECHBENCH_VENV may name any folder."""
    venv = where.venv
    if venv.exists() and not venv.is_dir():
        raise Problem(f"{venv} is in the way of the folder of that name: move or delete it, then try again.")
    for folder in (venv, places.beside(venv, "new"), places.beside(venv, "old")):
        default = folder == where.root / ".venv" and (folder / "pyvenv.cfg").exists()
        if not (default or _ours(folder)):
            raise Problem(
                f"{folder} holds something that this command did not make: "
                "delete it, or set MECHBENCH_VENV to an empty folder, then try again."
            )


def _ours(folder):
    return not folder.exists() or (folder / LOCK).exists() or not any(folder.iterdir())


def put_right(where):
    """Bring to an end what a start that was killed left beside .venv; before that nothing of it counts."""
    new, old = (places.beside(where.venv, word) for word in ("new", "old"))
    if not where.venv.exists():
        # It was killed between the two steps of replace_by().
        for folder in (new if (new / MARKER).exists() else old, old):
            if folder.exists() and not where.venv.exists():
                os.rename(folder, where.venv)
    for folder in (new, old):
        shutil.rmtree(folder, ignore_errors=True)


# With an old one at hand


def _renew(where, name, reason, say, wheels):
    works = places.python_of(where.venv).exists() and not environment.import_fault(where, name, where.root)
    try:
        with _nobody_uses(where, reason):
            pass  # before minutes are spent; it is asked again when all is ready
        if reason == ADD:
            _add(where, name, reason, say, wheels, works)
        else:
            _build(where, name, reason, say, wheels, works)
    except (Problem, OSError) as fault:
        if not works:
            raise
        told = fault if isinstance(fault, Problem) else problem.sentence(fault, where.venv, where.work)
        say(f"{told} {_goes_on(environment.lacking(where, name))}")


def _goes_on(lacking):
    lacks = f"lacks {' and '.join(lacking)}" if lacking else "lacks nothing that is asked for"
    return f"Until then the .venv of before goes on; it {lacks}."


@contextmanager
def _nobody_uses(where, reason):
    """Keep everybody from .venv for a while, or say who uses it; the file of the lock goes with the folder."""
    with lock.unused(where.venv / LOCK) as user:
        running = server.running(where.own)
        if user or running:
            who = f"JupyterLab (process {running.pid})" if running else user
            raise Problem(
                f".venv must be made anew ({reason}), but a program still runs from it, {who}: "
                "end it (in JupyterLab: File, then Shut Down), then type the command again."
            )
        yield


# Making it


def _build(where, name, reason, say, wheels, works):
    """Build a .venv beside the one that is there, try it, and put it in its place."""
    draft = replace(where, venv=places.beside(where.venv, "new"))
    size = "420 MB" if name == "learner" else "800 MB"
    say(f"Making {where.venv} ({reason}): about {size} and one to three minutes, this once.")
    refuse_long_path(draft.venv)
    try:
        draft.venv.mkdir()
        (draft.venv / LOCK).touch()
        create(draft.venv, where.venv.name)
        install(draft, name, say, wheels, works, places.beside(where.venv, "log"))
        environment.point_at(draft)
        prove(draft, name)
        settle(draft.venv, where.venv)
        _mark(draft.venv, where, name)
        with _nobody_uses(where, reason):
            replace_by(draft.venv, where.venv)
    except BaseException:
        shutil.rmtree(draft.venv, ignore_errors=True)
        raise


def _add(where, name, reason, say, wheels, works):
    """Add the packages for the tests to a .venv in which nothing else changes."""
    say("Adding the packages for the tests to .venv.")
    with _nobody_uses(where, reason):
        install(where, name, say, wheels, works, places.beside(where.venv, "log"))
        prove(where, name)
        _mark(where.venv, where, name)


def _mark(venv, where, name):
    marker = environment.marker_for(where, dict.fromkeys(("learner", name)))
    environment.replace_text(venv / MARKER, json.dumps(marker, indent=1) + "\n")


def replace_by(new, venv):
    """Put a new .venv in the place of the old one."""
    old = places.beside(venv, "old")
    if venv.exists():
        os.rename(venv, old)
    try:
        os.rename(new, venv)
    except OSError:
        if old.exists():
            os.rename(old, venv)
        raise
    shutil.rmtree(old, ignore_errors=True)


def settle(new, venv):
    """Write the path that a .venv will have into the programs that name the path at which it was built."""
    here, there = os.fsencode(new), os.fsencode(venv)
    for file in (new / "pyvenv.cfg", *places.python_of(new).parent.iterdir()):
        if file.is_file() and not file.is_symlink() and here in (content := file.read_bytes()):
            file.write_bytes(content.replace(here, there))


def refuse_long_path(venv):
    """Stop before Windows refuses a path, half-way through an install."""
    if sys.platform == "win32" and places.too_long(venv, sys.platform, places.long_paths_on()):
        raise Problem(
            f"{venv} is too long a path for Windows: move this project to a short folder such as C:\\mechbench, "
            "or set MECHBENCH_VENV to a short folder."
        )


def create(venv, prompt):
    """Make the bare .venv; prompt is what a terminal shows where a person has gone into it."""
    # Inside a virtual environment sys.executable is that environment's own, which may be the one to be replaced.
    python = getattr(sys, "_base_executable", None) or sys.executable
    made = subprocess.run(
        [python, "-m", "venv", f"--prompt={prompt}", str(venv)], env=surroundings(os.environ), **READ_HERE
    )
    if made.returncode != 0 or not places.python_of(venv).exists():
        free = shutil.disk_usage(venv).free
        raise Problem(problem.explain_venv(made.stdout, sys.version_info, find_spec("ensurepip") is not None, free))


# Installing


def install(where, name, say, wheels, in_a_hurry, log):
    """Install a set of packages with pip: the exact list with its checksums, or where that is no help, what
    pyproject.toml allows. Everything that pip says goes to the file log.

    in_a_hurry : an old .venv works, so that a network that does not answer is not waited for
    """
    log.unlink(missing_ok=True)
    command = _pip(where, wheels, in_a_hurry)
    listed = exact.file(where.root, name)
    shown = f"{exact.FOLDER}/{listed.name}"
    why = f"there is no {shown}"
    if listed.exists():
        code, said = _run_and_record([*command, "--require-hashes", "-r", str(listed)], where.root, log, say)
        if code == 0:
            return
        missing = problem.only_missing(said)
        if not missing:
            raise Problem(problem.explain_pip(said, wheels, log))
        why = f"the {missing} of {shown} can't be had for this machine and this Python"
    say(f"Taking what pyproject.toml allows, without checksums, because {why}.")
    packages = environment.sets(where.root)
    bounds = [line for key in dict.fromkeys(("learner", name)) for line in packages[key]]
    code, said = _run_and_record(command + bounds, where.root, log, say)
    if code != 0:
        raise Problem(problem.explain_pip(said, wheels, log))


def _pip(where, wheels, in_a_hurry):
    line = [str(places.python_of(where.venv)), "-m", "pip", "install", "--disable-pip-version-check", "--no-input"]
    line += ["--progress-bar=off", "--only-binary=:all:"]
    line += ["--retries=1"] if in_a_hurry else []
    return line + (["--no-index", "--find-links", str(wheels)] if wheels is not None else [])


def _run_and_record(command, folder, log, say):
    lines = []
    with (
        open(log, "a", encoding="utf-8") as record,
        subprocess.Popen(command, cwd=folder, env=surroundings(os.environ), **READ_HERE) as program,
    ):
        for line in program.stdout:
            record.write(line)
            lines.append(line)
            if line.startswith(("Collecting", "Processing", "Installing")):
                say(".", end="")
    say("")
    return program.returncode, "".join(lines)


def prove(where, name):
    """Prove that what was installed can be used, from a folder that is not the project's."""
    fault = environment.import_fault(where, name, where.venv)
    lacking = environment.lacking(where, name)
    if fault or lacking:
        told = fault or f"there is no {' and no '.join(lacking)}"
        raise Problem(f"The packages were installed, but they can't be used ({told}): try again.")

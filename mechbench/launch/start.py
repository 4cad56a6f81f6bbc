"""The command `start`: from whatever state the machine is in to the first lesson, open in JupyterLab.

It alone needs a server, a network and copies of lessons; so it is loaded only when it was typed.
"""

import argparse
import importlib
import os
import signal
import sys
from pathlib import Path

from mechbench.command_line import Parser, typed

from . import carried_kit, environment, making, places, server, workfolder
from .commands import COMMANDS, say
from .lock import only_one
from .problem import Problem

ABOUT_ANSWERS = "mechbench.course.rescue"  # it needs no package


def command(arguments):
    """Open the lessons in JupyterLab, from whatever state the machine is in."""
    wanted = _read_start(arguments)
    where = places.find(os.environ, places.home())
    if wanted.wheels is not None and not any(wanted.wheels.glob("*.whl")):
        raise Problem(
            f"The folder {wanted.wheels} holds no packages (files ending in .whl): give the folder that does."
        )
    if wanted.dry:
        say("\n".join(intentions(where, wanted)))
        return 0
    where.own.mkdir(mode=0o700, parents=True, exist_ok=True)
    # Whoever ends this program ends JupyterLab with it: the signal becomes an exception, which passes by every
    # `finally`.
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))
    with only_one(where.own / "start.lock", f"{typed()} start"):
        process, found = _open(where, wanted)
    try:
        _show(found.address(where.first_lesson), wanted)
        for sentence in about_answers():
            say(sentence)
        if process:
            say(f"Your notebooks are in {where.work}. Leave this window open; Ctrl+C here ends JupyterLab.")
            process.wait()
    except KeyboardInterrupt:
        say("JupyterLab is ending.")
    finally:
        if process and process.poll() is None:
            process.terminate()
            process.wait()
    return 0


def _read_start(arguments):
    fill = f"To fill FOLDER where there is a network, for other kinds of laptops too: {typed()} wheels FOLDER"
    reader = Parser(
        "start", description=COMMANDS["start"].help, epilog=fill, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    reader.add_argument("--dry", action="store_true", help="say what would be done and do nothing")
    reader.add_argument("--no-browser", action="store_true", help="print the address and open no browser")
    reader.add_argument(
        "--wheels",
        type=_folder,
        metavar="FOLDER",
        help="take packages, and a kit if one is in it, from this folder, not the network",
    )
    return reader.parse_args(arguments)


def _folder(text):
    # Not Path.expanduser: it ends in an error where `~name` is nobody here; so it stays a name like any other.
    return Path(os.path.expanduser(text)).absolute()


def intentions(where, wanted):
    """Give the lines of `start --dry`."""
    reason = environment.not_ready(where, "learner")
    source = f"the folder {wanted.wheels}" if wanted.wheels else "the network"
    yield f".venv: {where.venv}"
    yield f"  would be made, because {reason}; packages from {source}:" if reason else "  is ready"
    if reason:
        yield from (f"    {package}" for package in environment.learner_packages(where.root))
    yield f"work folder: {where.work}"
    copies, _ = workfolder.plan(where)
    yield from (f"  would write {copy.target.name} ({copy.why})" for copy in copies)
    if not copies:
        yield "  has every lesson"
    _, about_kit = carried_kit.plan(where, wanted.wheels)
    yield from (f"  {line}" for line in [about_kit] if line)
    found = server.running(where.own)
    if found:
        yield f"JupyterLab: is running: {found.address(where.first_lesson)}"
    else:
        line = server.command(places.python_of(where.venv), where.work, as_root=False)
        yield f"JupyterLab: would be started: {' '.join(line)}"


def _open(where, wanted):
    words = f"{typed()} start"
    found = server.running(where.own)
    making.ensure(where, "learner", words, say, wanted.wheels)
    for copy in workfolder.bring(where):
        say(f"{copy.target.name}: {copy.why}")
    for sentence in carried_kit.bring(where, wanted.wheels):
        say(sentence)
    if found:
        say("JupyterLab is running already.")
        return None, found
    # JupyterLab keeps .venv from being made anew for as long as it runs, longer than we do where we are killed.
    return server.begin(places.python_of(where.venv), where, **environment.use(where, words))


def about_answers():
    """List what is not in order with the files of the answers; what can't be looked at stops no start."""
    try:
        return importlib.import_module(ABOUT_ANSWERS).at_start()
    except (OSError, ImportError, RuntimeError):
        return []


def _show(address, wanted):
    opened = not wanted.no_browser and server.open_browser(address)
    say("The first lesson is open in your browser. Its address:" if opened else "Open this address in a browser:")
    say(f"  {address}")

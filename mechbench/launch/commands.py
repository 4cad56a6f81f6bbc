"""The commands of ``python3 -m mechbench``."""

import importlib
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from mechbench.command_line import typed
from mechbench.wording import closest, quoted

from . import environment, places, problem
from .problem import Problem


@dataclass(frozen=True)
class Command:
    """One command: a line of help, "module:function" that takes the arguments and gives the exit code, and whether
    it needs the installed packages; such a command runs inside .venv, which is made first if need be.

    A command that needs no packages, or `needs_folder`, is about the project's folder: its lessons, its tests, its
    .venv.
    """

    help: str
    target: str
    needs_packages: bool = True
    needs_folder: bool = False


COMMANDS = {
    "start": Command(
        "make .venv, bring the lessons to your work folder, open JupyterLab", "mechbench.launch.start:command", False
    ),
    "test": Command(
        "run the tests; what follows goes to pytest: test tests/physics -q", "mechbench.launch.run_tests:command", False
    ),
    "published": Command(
        "hold the physics against published values and print them as a table: published [topic]",
        "mechbench.launch.run_tests:published",
        False,
    ),
    "size": Command(
        "one number in seconds: size arm payload=0.5kg; size alone lists every sizing",
        "mechbench.desk.size_command:command",
    ),
    "convert": Command("one quantity in another unit: convert 35 ozf·in N·m", "mechbench.desk.convert_units:command"),
    "correct": Command(
        "from measurement to model: readings in a CSV file correct a part of your kit", "mechbench.desk.correct:command"
    ),
    "kit": Command(
        "your game and parts: kit new FOLDER makes a kit step by step, kit use FOLDER puts it in force; kit --help",
        "mechbench.desk.kit_command:command",
    ),
    "review": Command(
        "the design review of a whole robot, on paper: review ROBOT [--to FILE]", "mechbench.desk.review:command"
    ),
    "check": Command(
        "look whether this laptop can run the course; nothing is installed",
        "mechbench.launch.laptop_check:command",
        False,
    ),
    "wheels": Command(
        "fetch all packages for other laptops into a folder: wheels FOLDER [--for windows] [--python 3.12]",
        "mechbench.wheels:command",
        needs_folder=True,
    ),
    "handin": Command(
        "write one learner's answers into a file for the mentor: handin NAME [--to FOLDER]",
        "mechbench.course.handin:command",
    ),
    "gradebook": Command(
        "for mentors: grade a folder of hand-ins again: gradebook FOLDER [--to FOLDER]",
        "mechbench.course.gradebook_command:command",
    ),
    "handout": Command(
        "for mentors: a lesson's exercises on paper: handout LESSON [--name NAME]... [--to FOLDER]",
        "mechbench.course.handout:command",
    ),
    "forget": Command(
        "delete all that is kept of one learner on this computer: forget NAME",
        "mechbench.forget:command",
    ),
    "earlier": Command(
        "list the daily copies of the answers, or go back to one; what is newer stays: earlier [DAY]",
        "mechbench.course.earlier:command",
    ),
    "renew": Command(
        "for authors: renew the exact list of packages, .packages; --check: does it still hold?",
        "mechbench.renew:command",
        needs_folder=True,
    ),
    "refresh": Command(
        "for authors: derive every lesson from solutions/, run both, store them",
        "mechbench.course.refresh:command",
        needs_folder=True,
    ),
}


def main(arguments):
    """Run the command that was typed; give its exit code."""
    for stream in (sys.stdout, sys.stderr):
        # A path may hold letters that this screen can't show.
        stream.reconfigure(errors="backslashreplace")
    try:
        where = places.find(os.environ, places.home())
    except Problem as error:
        return _complain(str(error))
    try:
        return _run(arguments, where)
    except Problem as error:
        return _complain(str(error))
    except OSError as error:
        return _complain(problem.sentence(error, where.venv, where.work))
    except KeyboardInterrupt:
        return 130
    except Exception as error:
        if getattr(error, "for_people", False):  # a whole sentence already, such as a fault in a kit's files
            return _complain(str(error))
        if sys.flags.dev_mode:
            raise
        return _complain(problem.unforeseen(error))


def _run(arguments, where):
    if not arguments or arguments[0] in ("-h", "--help", "help"):
        say(help_text())
        return 0
    name, rest = arguments[0], arguments[1:]
    if name not in COMMANDS:
        return _complain(unknown(name), code=2)
    command = COMMANDS[name]
    if not where.has_project and (command.needs_folder or not command.needs_packages):
        raise Problem(without_folder(name))
    if command.needs_packages and not packages_here(where):
        return _run_inside(name, rest, where)
    module, _, function = command.target.partition(":")
    return getattr(importlib.import_module(module), function)(rest) or 0


def _run_inside(name, rest, where):
    from . import making  # a new .venv may need much; who is inside it already waits for none of that

    words = f"{typed()} {name}"
    making.ensure(where, "learner", words, say_aside)
    line = [str(places.python_of(where.venv)), "-m", "mechbench", name, *rest]
    more = environment.use(where, words)
    return subprocess.run(line, env=environment.surroundings(os.environ), **more).returncode


def packages_here(where):
    """Tell whether this Python has the packages: it is .venv's, or they came with mechbench, or someone installed
    them by hand.
    """
    if not where.has_project or Path(os.path.realpath(sys.prefix)) == where.venv:
        return True
    return all(_installed(environment.distribution(package)) for package in environment.learner_packages(where.root))


def _installed(name):
    from importlib import metadata  # slow to load, and .venv needs no such look

    try:
        metadata.version(name)
    except metadata.PackageNotFoundError:
        return False
    return True


def help_text():
    """Give the help for all commands."""
    width = max(map(len, COMMANDS))
    lines = [f"  {name:<{width}}  {command.help}" for name, command in COMMANDS.items()]
    head = f"Type {typed()} COMMAND; {typed()} COMMAND --help tells more."
    tail = "MECHBENCH_VENV and MECHBENCH_WORK put .venv and the work folder elsewhere."
    return "\n".join([head, "", *lines, "", tail])


def unknown(name):
    """Say that there is no such command, and which one is nearest."""
    near = closest(name, COMMANDS)
    way_out = f"did you mean {near}?" if near else f"there are: {', '.join(COMMANDS)}."
    return f"There is no command {quoted(name)}; {way_out}"


def without_folder(name):
    """Say why a command can't be used where mechbench was installed as a package."""
    return (
        f"The command {name} needs the project's folder with its lessons and tests, and mechbench was installed here"
        f" without it: get the whole folder, and type {typed()} {name} in it."
    )


def say(text, end="\n"):
    """Show a line at once."""
    print(text, end=end, flush=True)


def say_aside(text, end="\n"):
    """Show a line beside the output of a command."""
    print(text, end=end, file=sys.stderr, flush=True)


def _complain(text, code=1):
    print(text, file=sys.stderr)
    return code

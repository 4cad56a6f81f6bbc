"""The command `renew`: the exact list of packages, with a checksum of each file, for every kind of laptop of `wheels`.

Contents: command, resolved, pins, differences. The lists: launch/exact.py. The program uv writes such lists; it is put
into a folder of its own for the while, so that no .venv grows.
"""

import os
import subprocess
import sys
import tempfile
import venv
from pathlib import Path

from mechbench.command_line import Parser, typed
from mechbench.launch import environment, exact, places
from mechbench.launch.problem import Problem, explain_pip
from mechbench.wheels import PLATFORMS

UV = "uv>=0.13,<0.14"
OLDEST = "3.11"
HEAD = "# Written by `python3 -m mechbench renew`: the exact packages that {}, each file with its checksum.\n"
FOR = {"learner": "`start` installs", "test": "`test` installs besides"}
FIRST = "-r learner.txt\n"


def command(arguments):
    """Renew the lists, or with --check tell in one line whether they still hold; give the exit code."""
    parser = Parser(
        "renew", description="Renew the exact list of packages from pyproject.toml, with the newest; needs the network."
    )
    told = "change nothing; say in one line whether each package can still be had and is what pyproject.toml asks for"
    parser.add_argument("--check", action="store_true", help=told)
    chosen = parser.parse_args(arguments)
    root = places.find(os.environ, places.home()).root
    files = {name: exact.file(root, name) for name in FOR}
    try:
        texts = resolved(root, {name: _read(file) for name, file in files.items()} if chosen.check else {})
    except Problem as fault:
        print(f"The exact list of packages could not be {'checked' if chosen.check else 'renewed'}: {fault}")
        return 1
    changes = differences(pins(_read(file) for file in files.values()), pins(texts.values()))
    if chosen.check:
        print(_verdict(changes))
        return 1 if changes else 0
    for name, file in files.items():
        file.parent.mkdir(exist_ok=True)
        environment.replace_text(file, texts[name])
    print("\n".join([*changes, f"{len(changes)} lines of {exact.FOLDER} changed: run the tests."]))
    return 0


def _verdict(changes):
    if not changes:
        return "The exact list of packages holds: each can be had, and is what pyproject.toml asks for."
    return (
        f"The exact list of packages does not hold any more ({'; '.join(changes)}): type {typed()} renew, and run the"
        " tests."
    )


def _read(file):
    return file.read_text("utf-8") if file.exists() else ""


# --- what uv says --------------------------------------------------------------------------------------------------


def resolved(root, before):
    """Give the text of each list; before: lists whose versions are kept where that can be."""
    with tempfile.TemporaryDirectory(prefix="renew-") as scratch:
        folder = Path(scratch)
        (folder / "pyproject.toml").write_text(_project(environment.sets(root)), "utf-8")
        learner, both = folder / "learner.txt", folder / "both.txt"
        for file, names in ((learner, ["learner"]), (both, ["learner", "test"])):
            file.write_text("".join(before.get(name, "").replace(FIRST, "") for name in names), "utf-8")
        uv = _uv(folder / "uv")
        _compile(uv, folder, learner)
        _compile(uv, folder, both, "--extra=test", f"--constraint={learner}")
        blocks = {name: exact.blocks(file.read_text("utf-8")) for name, file in (("learner", learner), ("both", both))}
    if missing := [pin for pin in blocks["learner"] if pin not in blocks["both"]]:
        raise Problem(f"the tests do not go with {missing[0]}; loosen a bound in pyproject.toml.")
    added = {pin: block for pin, block in blocks["both"].items() if pin not in blocks["learner"]}
    return {"learner": _text("learner", blocks["learner"]), "test": _text("test", added, FIRST)}


def _text(name, blocks, first=""):
    return HEAD.format(FOR[name]) + first + "".join(blocks.values())


def _project(sets):
    """Give a pyproject.toml of these packages alone, with the kinds of laptops that each package must be made for."""
    kinds = [f"sys_platform == '{is_['sys_platform']}' and platform_machine == '{is_['platform_machine']}'"
             for _, is_ in PLATFORMS.values()]  # fmt: skip
    return (
        f'[project]\nname = "exact"\nversion = "0"\nrequires-python = ">={OLDEST}"\n'
        f"dependencies = {sets['learner']!r}\noptional-dependencies = {{ test = {sets['test']!r} }}\n"
        f"[tool.uv]\nrequired-environments = {kinds!r}\n".replace("\\'", "'")
    )


def _uv(folder):
    venv.create(folder, with_pip=True)
    line = [str(places.python_of(folder)), "-m", "pip", "install", "--disable-pip-version-check", "-q", UV]
    done = _run(line, folder)
    if done.returncode:
        raise Problem(explain_pip(done.stdout, None, "what pip said above"))
    return places.python_of(folder).with_name("uv.exe" if sys.platform == "win32" else "uv")


def _compile(uv, folder, file, *more):
    line = [str(uv), "pip", "compile", "--universal", "--generate-hashes", "--only-binary=:all:", "--no-header"]
    line += ["--no-annotate", "--no-emit-index-url", "--no-emit-find-links", f"--python-version={OLDEST}", "--quiet"]
    done = _run([*line, *more, "pyproject.toml", f"--output-file={file}"], folder)
    if done.returncode:
        raise Problem(" ".join(done.stdout.split()) or "it said nothing")


def _run(line, folder):
    return subprocess.run(line, cwd=folder, env=environment.surroundings(os.environ), **environment.READ_HERE)


# --- what differs --------------------------------------------------------------------------------------------------


def pins(texts):
    """Give the packages of some lists, each as "numpy==2.4.6 ; python_full_version < '3.12'", without checksums."""
    return {pin for text in texts for pin in exact.blocks(text)}


def differences(before, after):
    """Give in words what differs between two sets of pins."""
    return [f"without {pin}" for pin in sorted(before - after)] + [f"with {pin}" for pin in sorted(after - before)]

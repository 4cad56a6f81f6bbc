"""The commands `test` and `published`: pytest inside .venv, in the same surroundings as a learner's.

Contents: command, runs (which runs of pytest a line of arguments means), other_kits, worst; published, published_table.

What a run chooses among (tests or benchmarks, which kit for the notebooks) is done by mechbench/pytest_plugin.py.
"""

import argparse
import json
import os
import subprocess
import tempfile
from pathlib import Path

from mechbench.command_line import Parser, typed

from . import chromium, environment, making, places
from .commands import say

NOTEBOOKS = ("lessons", "solutions")
BENCHMARKS = ("tests/benchmarks",)
THOROUGH = "MECHBENCH_THOROUGH"
NOTHING_COLLECTED = 5

HELP = """Run the tests: the functions, the examples in them, every notebook, and JupyterLab in a real browser where
Chromium is found. What follows goes to pytest, so that one folder or one test can be run alone:
  {0} test tests/physics -q
  {0} test -k gearing"""
WORDS = {
    "--thorough": (
        "more of everything: many random tries, long fuzz, many kills; then the notebooks with the other kits"
    ),
    "--kits": "only every notebook with each of the other kits, the folders in tests/kits",
    "--benchmarks": "only what measures time, one by one: ratios of two things timed in one run",
}


def command(arguments):
    """Run tests, notebooks with other kits, or benchmarks; give the exit code of the first run that fails."""
    wanted, rest = read(arguments)
    where = places.find(os.environ, places.home())
    making.ensure(where, "test", f"{typed()} test", say)
    environment.use(where, f"{typed()} test")
    browser = chromium.find()
    left_out = "" if browser or wanted.kits else f"What needs a browser is left out: {browser.missing()}"
    if left_out:
        say(left_out)
    more = {THOROUGH: "1"} if wanted.thorough else {}
    codes = []
    for title, line in runs(where.root, wanted, rest):
        say(f"{title}:")
        codes.append(_pytest(where, line, **more))
    if left_out:
        say(left_out)
    return worst(codes)


def read(arguments):
    """Give the words of our own, and what is left for pytest."""
    reader = Parser(
        "test",
        usage="%(prog)s [--thorough] [--kits | --benchmarks] [what goes to pytest]",
        description=HELP.format(typed()),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    for word, told in WORDS.items():
        reader.add_argument(word, action="store_true", help=told)
    wanted, rest = reader.parse_some(arguments)
    if wanted.kits and wanted.benchmarks:
        reader.refuse("--kits and --benchmarks are different runs; type one of the two.")
    return wanted, rest


def runs(root, wanted, rest):
    """Give the runs of pytest, each with a title: what was asked for, all of it where `rest` names no file."""
    named = _names_a_file(root, rest)
    if wanted.benchmarks:
        return [("Benchmarks, one by one", ["--benchmarks", "-n", "0", *(() if named else BENCHMARKS), *rest])]
    with_kits = [_notebooks_with(root, kit, rest if named else [*NOTEBOOKS, *rest]) for kit in other_kits(root)]
    if wanted.kits:
        return with_kits
    tests = [("Tests", ["--durations=20", *rest])]
    return tests + with_kits if wanted.thorough and not named else tests


def _names_a_file(root, rest):
    words = [word for before, word in zip(["", *rest], rest) if before not in ("-k", "-m") and not word.startswith("-")]
    return any((root / word.partition("::")[0]).exists() for word in words if word)


def _notebooks_with(root, kit, what):
    # What is stored in a notebook was shown with the course's own kit: with another one it has to run, that is all.
    return f"Notebooks with the kit {kit.relative_to(root).as_posix()}", ["--nbval-lax", f"--kit={kit}", *what]


def other_kits(root):
    """The folders of the kits that the course has to run with besides its own: a new folder in tests/kits is one
    more.
    """
    return sorted(file.parent for file in (root / "tests" / "kits").glob("*/game.toml"))


def _pytest(where, line, **more):
    environ = {**environment.surroundings(os.environ), **more}
    return subprocess.run(
        [str(places.python_of(where.venv)), "-m", "pytest", *line], cwd=where.root, env=environ
    ).returncode


def worst(codes):
    """Give one exit code for several runs: a run without any test counts only when no run had one."""
    failures = [code for code in codes if code not in (0, NOTHING_COLLECTED)]
    if failures:
        return failures[0]
    return 0 if 0 in codes else NOTHING_COLLECTED


# published


def published(arguments):
    """Run the tests of the physics and print every value that they held against a published one."""
    told = "Run the tests of the physics and print every value that they held against a published one:"
    reader = Parser("published", description=f"{told} what, expected, got, how it is known, and the source.")
    only = "print its part alone, such as motor; several may be named"
    reader.add_argument("topics", nargs="*", metavar="TOPIC", help=only)
    chosen = reader.parse_args(arguments)
    where = places.find(os.environ, places.home())
    making.ensure(where, "test", f"{typed()} published", say)
    environment.use(where, f"{typed()} published")
    with tempfile.TemporaryDirectory() as scratch:
        table = Path(scratch) / "checks"
        line = ["-q", "--no-header", "-m", "not browser", "tests/physics", "tests/test_quantity.py"]
        code = _pytest(where, line, MECHBENCH_CHECKS_TABLE=str(table))
        rows = [json.loads(row) for row in table.read_text(encoding="utf-8").splitlines()] if table.exists() else []
    for text in published_table(rows, chosen.topics):
        say(text)
    return code


def published_table(rows, topics=()):
    """The lines of the table: topic and what, expected, got, how known, source; sorted, each once."""
    chosen = [row for row in rows if not topics or row["topic"] in topics]
    for row in sorted({json.dumps(row, sort_keys=True) for row in chosen}):
        row = json.loads(row)
        yield f"{row['topic']}: {row['what']}"
        yield (
            f"    expected {row['expected']:.6g}, got {row['got']:.6g} (within {row['rtol']:g}); {row['known']}:"
            f" {row['source']}"
        )
    topics_seen = sorted({row["topic"] for row in chosen})
    yield (
        f"{len({json.dumps(row, sort_keys=True) for row in chosen})} checks in {len(topics_seen)} topics:"
        f" {', '.join(topics_seen)}"
    )

"""Break formulas on purpose and see whether the tests notice: `python -m tests.mutate arm motor` (no name: all
physics).

A name with a dot is of another folder: `engine.judge`, `course.grading`; `mechanisms.arm` is that mechanism's sizing.

Each change is one slip of a pen: a sign, a term left out, times for divided by, sine for cosine, a square forgotten, a
2 that should be a 4, a comparison the wrong way round. For each, a child process puts the broken code in place of the
good one and runs the topic's own test file until the first failure. Nothing is written to the tree. `--most 40` tries
at most that many of a file, spread evenly; `--lines 145,194` only those of these lines; `--tests PATH` (again for more)
runs these tests in place of the topic's own: `python -m tests.mutate whole_robot.work --tests tests/whole_robot`.
"""

import argparse
import ast
import copy
import importlib
import io
import os
import sys
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

import hypothesis
import pytest

ROOT = Path(__file__).resolve().parents[1]
SWAPS = {ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult}
TWINS = {
    "sin": "cos",
    "cos": "sin",
    "tan": "sin",
    "arcsin": "arccos",
    "arccos": "arcsin",
    "maximum": "minimum",
    "minimum": "maximum",
    "max": "min",
    "min": "max",
}
TURNED = {ast.Lt: ast.Gt, ast.Gt: ast.Lt, ast.LtE: ast.GtE, ast.GtE: ast.LtE, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq}
SECONDS = 120
PROFILE = "one failure"
# What tests import at length: loaded once here, every child has it already.
AT_LENGTH = ("nbval.plugin", "scipy.integrate", "scipy.optimize", "scipy.stats", "sympy")
# Where a file has no test file of its own name.
SOLVER = ("motion_events", "motion")
TESTED_BY = {
    "_march": SOLVER,
    "_march_battery": SOLVER,
    "_march_between": SOLVER,
    "_march_braking": SOLVER,
    "_march_diary": SOLVER,
    "_march_energy": SOLVER,
    "_march_events": SOLVER,
    "_march_law": SOLVER,
    "_march_layout": SOLVER,
    "_march_state": SOLVER,
    "motion": SOLVER,
    "_cord": ("lift", "winch"),
}


def changes(tree):
    """Every single change, as (line, what, place, change); code of functions only, docstrings and checks left alone."""
    return [
        (node.lineno, f"{what} in {ast.unparse(node)[:60]}", place, change)
        for place, node in enumerate(_code(tree))
        for what, change in _of(node)
    ]


def broken_by(tree, place, change):
    """A copy of the tree with one change."""
    broken = copy.deepcopy(tree)
    change(_code(broken)[place])
    return broken


def _code(tree):
    """The parts of all functions in a fixed order, each once."""
    functions = [f for f in ast.walk(tree) if isinstance(f, ast.FunctionDef) and f.name != "__post_init__"]
    return list({id(n): n for f in functions for n in ast.walk(f)}.values())


def _of(node):
    """The changes of one part, as (what, change)."""
    if isinstance(node, ast.BinOp) and type(node.op) in SWAPS and not _is_text(node.left):
        new = SWAPS[type(node.op)]
        yield f"{type(node.op).__name__} to {new.__name__}", lambda n: setattr(n, "op", new())
        if isinstance(node.op, ast.Add | ast.Sub):
            yield "term left out", _leave_out
    if isinstance(node, ast.BinOp) and isinstance(node.op, ast.Pow):
        yield "power dropped", lambda n: setattr(n, "right", ast.Constant(1))
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        yield "minus dropped", lambda n: setattr(n, "op", ast.UAdd())
    if isinstance(node, ast.Attribute) and node.attr in TWINS:
        yield f"{node.attr} to {TWINS[node.attr]}", lambda n: setattr(n, "attr", TWINS[n.attr])
    if isinstance(node, ast.Constant) and type(node.value) in (int, float) and node.value in (2, 0.5, 3, 4, 8, 12):
        yield f"{node.value} doubled", lambda n: setattr(n, "value", n.value * 2)
    if isinstance(node, ast.Compare) and type(node.ops[0]) in TURNED:
        new = TURNED[type(node.ops[0])]
        yield f"{type(node.ops[0]).__name__} to {new.__name__}", lambda n: n.ops.__setitem__(0, new())


def _is_text(node):
    return isinstance(node, ast.JoinedStr) or (isinstance(node, ast.Constant) and isinstance(node.value, str))


def _leave_out(node):
    """Make a + b, or a - b, an a."""
    node.op, node.right = ast.Mult(), ast.Constant(1)


def caught(module, broken, tests):
    """Whether the tests fail with the broken code, in a child of this process."""
    child = os.fork()
    if child:
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) != 0
    code = 1
    try:
        import signal

        signal.alarm(SECONDS)  # a change may make a loop endless: that is noticed, too
        _forget_who_uses(module)
        exec(compile(ast.fix_missing_locations(broken), module.__file__, "exec"), module.__dict__)
        with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
            code = int(
                pytest.main(["-q", "-x", "-n0", "-p", "no:cacheprovider", f"--hypothesis-profile={PROFILE}", *tests])
            )
    finally:
        os._exit(min(code, 100))


def _forget_who_uses(module):
    """Let all other files of ours be loaded again: they may hold functions and classes of the good code by name."""
    for name in [name for name in sys.modules if name.startswith("mechbench.") and name != module.__name__]:
        if not hasattr(sys.modules[name], "__path__"):
            folder, _, file = name.rpartition(".")
            del sys.modules[name]
            vars(sys.modules[folder]).pop(file, None)


def one_file(name, most, lines=(), tests=()):
    """Print the survivors of one file; give (caught, tried). A name with a dot is of another folder: course.grading."""
    module = importlib.import_module(module_of(name))
    source = Path(module.__file__).read_text(encoding="utf-8")
    tree, tests = ast.parse(source), tests or tests_of(name)
    if caught(module, ast.parse(source), tests):
        raise SystemExit(f"{name}: {' '.join(tests)} fail with the good code already; mend that first.")
    every = [one for one in changes(tree) if not lines or one[0] in lines]
    step = max(1.0, len(every) / most)
    chosen = [every[int(i * step)] for i in range(min(most, len(every)))]
    found = 0
    for line, what, place, change in chosen:
        if caught(module, broken_by(tree, place, change), tests):
            found += 1
        else:
            print(f"  survivor: {name}.py:{line}: {what}", flush=True)
    print(f"{name}: {found} caught of {len(chosen)} tried", flush=True)
    return found, len(chosen)


def module_of(name):
    """The module that a name on the command line means."""
    if (ROOT / "mechbench" / name.replace(".", "/") / "sizing.py").exists():
        return f"mechbench.{name}.sizing"
    return f"mechbench.{name}" if "." in name else f"mechbench.physics.{name}"


def tests_of(name):
    """The test files of a file: those of the same name, those that TESTED_BY names, or all of a mechanism's folder."""
    folder, _, file = name.rpartition(".")
    if folder == "mechanisms" and (ROOT / "tests" / folder / file).is_dir():
        return [str(ROOT / "tests" / folder / file)]
    named = TESTED_BY.get(name, (file.lstrip("_"),))
    return [str(ROOT / "tests" / (folder or "physics") / f"test_{one}.py") for one in named]


def main(arguments):
    """Run over the named files; the exit code is 0 when nothing survived."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument(
        "names",
        nargs="*",
        help="files of mechbench/physics, without .py; or of another folder: engine.judge, mechanisms.arm",
    )
    parser.add_argument("--most", type=int, default=40, help="changes tried in one file at most")
    parser.add_argument("--lines", default="", help="only the changes in these lines: 145,194")
    parser.add_argument("--tests", action="append", help="tests to run in place of the topic's own; again for more")
    options = parser.parse_args(arguments)
    for library in AT_LENGTH:
        importlib.import_module(library)
    # One failure is enough: nobody wants its smallest example, and slowness is no failure here.
    phases = hypothesis.Phase.explicit, hypothesis.Phase.generate
    hypothesis.settings.register_profile(PROFILE, phases=phases, database=None, deadline=None)
    lines = {int(line) for line in options.lines.split(",") if line}
    every = sorted(p.stem for p in (ROOT / "mechbench" / "physics").glob("*.py") if p.stem not in ("__init__", "check"))
    total = [one_file(name, options.most, lines, options.tests) for name in options.names or every]
    print(f"all: {sum(c for c, _ in total)} caught of {sum(t for _, t in total)} tried")
    return int(any(c < t for c, t in total))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""How long one number takes from a cold start, beside Python's own way of loading numpy and matplotlib, in one run.

Both are compiled beforehand, as on a laptop from the second start on: packages come compiled, and Python compiles ours
at the first. A setting that forbids Python to keep what it compiled would let ours alone be compiled at every start.
"""

import os
import resource
import subprocess
import sys

import pytest

from mechbench.desk.pit_questions import QUESTIONS, QUICK
from tests.benchmarks.ratios import at_most

pytestmark = pytest.mark.benchmark
ALONE = ["-c", "import numpy, matplotlib"]
LINES = ("motor", "arm payload=0.5kg", "lift", "winch --help")
BOUND, GOAL = 3.0, 1.5
PIT_BOUND, PIT_GOAL = 6.0, 3.0  # one number in twenty seconds, on a laptop that loads these two within three
PIT = sorted({line for question in (*QUESTIONS, *QUICK) for line in question.lines})


def cold(arguments, folder, tries):
    """Seconds of processor time, the least of some tries: the load of other programs counts least there.

    What Python compiles is kept in `folder`; one try more is made, for the first may have to compile.
    """
    took, environ = [], {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    environ.pop("PYTHONDONTWRITEBYTECODE", None)
    environ["PYTHONPYCACHEPREFIX"] = str(folder / "compiled")
    for _ in range(1 + tries):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        done = subprocess.run([sys.executable, *arguments], cwd=folder, env=environ, capture_output=True)
        assert done.returncode in (0, 1), done.stderr
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        took.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return min(took)


@pytest.mark.parametrize(
    "lines, bound, goal, tries",
    [(LINES, BOUND, GOAL, 5), (PIT, PIT_BOUND, PIT_GOAL, 1)],
    ids=["a number", "a question in a pit"],
)
def test_cold_start(lines, bound, goal, tries, tmp_path, hold):
    def measure():
        base = cold(ALONE, tmp_path, 5)
        took = {line: cold(["-m", "mechbench", "size", *line.split()], tmp_path, tries) for line in lines}
        return [
            at_most(f"size {line}, beside loading numpy and matplotlib", one / base, bound, goal)
            for line, one in took.items()
        ]

    hold(measure)

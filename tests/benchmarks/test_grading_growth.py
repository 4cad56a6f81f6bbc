"""How the gradebook grows: ten times as many hand-ins, every exercise answered in each, beside the smaller number in
one run.
"""

import random
import subprocess
import sys

import pytest

from mechbench.course import registry
from tests.benchmarks.ratios import at_most
from tests.course.classroom import Classroom, planted_slips
from tests.tries import tries

pytestmark = pytest.mark.benchmark
FEW = tries(60, thorough=300)
MOST_EACH, MOST_MEMORY = 1.5, 4.0
MEASURE = """
import pathlib, re, resource, sys, time
from mechbench.course import gradebook_command

def megabytes():
    # Linux counts in ru_maxrss the memory of the process that started this one; its own peak stands in /proc.
    own = pathlib.Path("/proc/self/status")
    peak = re.search(r"VmHWM:\\s*(\\d+) kB", own.read_text()) if own.exists() else None
    return (int(peak.group(1)) if peak else resource.getrusage(resource.RUSAGE_SELF).ru_maxrss) / 1024

began = time.process_time()
code = gradebook_command.command([sys.argv[1], "--to", sys.argv[2]])
print(time.process_time() - began, megabytes(), code)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="Windows tells no peak of memory")
def test_time_and_memory_grow_in_a_straight_line(tmp_path, tmp_path_factory, hold):
    exercises, counts = len(registry.exercises()), (FEW, 10 * FEW)
    for count in counts:
        Classroom(count, count, planted_slips(random.Random(1), 10), honest=False).write(tmp_path / str(count))

    def graded(count):
        """Seconds for one hand-in, and megabytes."""
        line = [sys.executable, "-c", MEASURE, str(tmp_path / str(count)), str(tmp_path_factory.mktemp("out") / "book")]
        out = subprocess.run(line, capture_output=True, text=True, check=True).stdout
        seconds, memory, code = map(float, out.splitlines()[-1].split())
        assert code == 0 and f"{count} learners, {exercises} exercises" in out
        return seconds / count, memory

    def measure():
        (few, little), (many, much) = map(graded, counts)
        return [
            at_most(
                f"time of one of {counts[1]} hand-ins beside one of {FEW}",
                many / few,
                MOST_EACH,
                1.0,
                f"{1000 * many:.0f} ms each",
            ),
            at_most(
                f"memory for {counts[1]} hand-ins beside that for {FEW}",
                much / little,
                MOST_MEMORY,
                2.0,
                f"{much:.0f} MB",
            ),
        ]

    hold(measure)

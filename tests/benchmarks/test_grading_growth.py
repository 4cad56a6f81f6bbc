"""How the gradebook grows: ten times as many hand-ins, every exercise answered in each, beside the smaller number in
one run.
"""

import random
import subprocess
import sys

import pytest

from mechbench.course import registry
from tests.course.classroom import Classroom, planted_slips
from tests.tries import tries

pytestmark = pytest.mark.benchmark
FEW = tries(60, thorough=300)
MOST_EACH = 1.5  # times what one of the few takes
MEGABYTES = 600
MEASURE = """
import pathlib, re, resource, sys, time
from mechbench.course import gradebook_command

def megabytes():
    # Linux counts in ru_maxrss the memory of the process that started this one; its own peak stands in /proc.
    own = pathlib.Path("/proc/self/status")
    peak = re.search(r"VmHWM:\\s*(\\d+) kB", own.read_text()) if own.exists() else None
    return (int(peak.group(1)) if peak else resource.getrusage(resource.RUSAGE_SELF).ru_maxrss) / 1024

begun = time.perf_counter()
code = gradebook_command.command([sys.argv[1], "--to", sys.argv[2]])
print(time.perf_counter() - begun, megabytes(), code)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="Windows tells no peak of memory")
def test_time_and_memory_grow_in_a_straight_line(tmp_path, capsys):
    each, memory, exercises = {}, {}, len(registry.exercises())
    for count in (FEW, 10 * FEW):
        Classroom(count, count, planted_slips(random.Random(1), 10), honest=False).write(tmp_path / str(count))
        line = [sys.executable, "-c", MEASURE, str(tmp_path / str(count)), str(tmp_path / f"out {count}")]
        out = subprocess.run(line, capture_output=True, text=True, check=True).stdout
        seconds, memory[count], code = map(float, out.splitlines()[-1].split())
        assert code == 0 and f"{count} learners, {exercises} exercises" in out
        each[count] = seconds / count
    ratio = each[10 * FEW] / each[FEW]
    with capsys.disabled():
        print(
            f"\ngrading: {10 * FEW} hand-ins x {exercises} exercises, {1000 * each[10 * FEW]:.0f} ms each, {ratio:.2f}"
            f" times one of {FEW} (fails at {MOST_EACH}); {memory[10 * FEW]:.0f} MB"
        )
    assert ratio < MOST_EACH and memory[10 * FEW] < MEGABYTES

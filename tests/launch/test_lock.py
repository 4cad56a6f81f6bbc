import subprocess
import sys

import pytest

from mechbench.launch.lock import only_one
from mechbench.launch.places import ROOT
from mechbench.launch.problem import Problem

HOLD = """
import sys, time
from mechbench.launch.lock import only_one
with only_one(sys.argv[1], "start"):
    print("held", flush=True)
    time.sleep(600)
"""


@pytest.fixture
def holder(tmp_path):
    path = tmp_path / "a.lock"
    process = subprocess.Popen([sys.executable, "-c", HOLD, str(path)], cwd=ROOT, stdout=subprocess.PIPE, text=True)
    assert process.stdout.readline() == "held\n"
    yield path, process
    process.kill()
    process.communicate()


def test_a_second_start_is_told_who_holds_the_lock(holder):
    path, process = holder
    with (
        pytest.raises(Problem, match=f"Another py start \\(process {process.pid}\\).*wait"),
        only_one(path, "py start"),
    ):
        pass


def test_the_lock_of_a_killed_process_is_taken_over(holder):
    path, process = holder
    process.kill()
    process.wait()
    with only_one(path, "start"):
        pass


def test_the_lock_is_free_again_afterwards_even_after_an_error(tmp_path):
    path = tmp_path / "a.lock"
    with pytest.raises(KeyError), only_one(path, "start"):
        raise KeyError
    with only_one(path, "start"):
        pass


GRAB = """
import sys
from mechbench.launch.lock import only_one
from mechbench.launch.problem import Problem
input()
try:
    with only_one(sys.argv[1], "start"):
        print("won", flush=True)
        input()
except Problem:
    print("lost")
"""


def test_of_many_at_once_after_a_crash_exactly_one_wins(holder):
    path, process = holder
    process.kill()
    process.wait()
    line = [sys.executable, "-c", GRAB, str(path)]
    crowd = [
        subprocess.Popen(line, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) for _ in range(6)
    ]
    for one in crowd:
        one.stdin.write("now\n")
        one.stdin.flush()
    # Whoever wins holds the lock until all have answered.
    answers = sorted(one.stdout.readline().strip() for one in crowd)
    for one in crowd:
        one.communicate("done\n")
    assert answers == ["lost"] * 5 + ["won"]

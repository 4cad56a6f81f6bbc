import os
import signal
import subprocess
import sys
import time
from contextlib import suppress

import pytest

from mechbench.launch.lock import handed_on, hold, only_one, unused
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
        pytest.raises(Problem, match=f"start \\(process {process.pid}\\) is making.*wait"),
        only_one(path, "py size"),
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


# Many who use one thing

USE = """
import subprocess, sys, time
from mechbench.launch.lock import handed_on, hold
more = handed_on(hold(sys.argv[1], "py start"))
line = [sys.executable, "-c", "import time; time.sleep(600)"]
program = subprocess.Popen(line, stdout=subprocess.DEVNULL, **more)
print(program.pid, flush=True)
time.sleep(600)
"""


@pytest.fixture
def user(tmp_path):
    path = tmp_path / "mechbench.lock"
    process = subprocess.Popen([sys.executable, "-c", USE, str(path)], cwd=ROOT, stdout=subprocess.PIPE, text=True)
    program = int(process.stdout.readline())
    yield path, process, program
    process.kill()
    process.communicate()
    with suppress(ProcessLookupError, PermissionError):
        os.kill(program, signal.SIGTERM)


def used_by(path):
    with unused(path) as user:
        return user


def test_what_nobody_uses_is_unused(tmp_path):
    assert used_by(tmp_path / "none") == ""
    (tmp_path / "a").touch()
    assert used_by(tmp_path / "a") == "" and used_by(tmp_path / "a") == ""


def test_who_uses_it_is_told_and_others_may_use_it_too(user):
    path, process, _ = user
    assert used_by(path) == f"py start (process {process.pid})"
    mine = hold(path, "py size")
    assert mine is not None and used_by(path) == f"py start (process {process.pid})", "the first one is told"
    os.close(mine)
    assert used_by(path)


def test_nobody_begins_to_use_what_somebody_has_alone(tmp_path):
    path = tmp_path / "a"
    path.touch()
    with unused(path) as user:
        assert user == "" and (sys.platform == "win32" or hold(path, "py size") is None)


@pytest.mark.skipif(sys.platform == "win32", reason="there a lock can't be handed on")
def test_a_program_keeps_the_lock_of_the_start_that_was_killed_and_no_longer_than_it_runs(user):
    path, process, program = user
    process.kill()
    process.wait()
    assert used_by(path)
    os.kill(program, signal.SIGKILL)
    deadline = time.monotonic() + 60
    while used_by(path) and time.monotonic() < deadline:
        time.sleep(0.01)
    assert used_by(path) == ""


def test_where_the_file_can_not_be_opened_there_is_no_lock(tmp_path):
    assert hold(tmp_path / "no folder" / "a", "py size") is None and handed_on(None) == {}

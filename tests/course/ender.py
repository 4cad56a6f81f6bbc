"""Run as a process of its own: do a task on the answers in a process that ends itself in the middle, again and again.

    python ender.py

For each line "TASK FOLDER MOMENT" that comes in, a new process begins the task and kills itself right before the
call with that number, of those that reach the disk; no time is left to tidy up. The line that comes out
is "killed at CALL"; for the moment 0 it is "done" and the names of all such calls, in their order.
"""

import os
import signal
import sys
from pathlib import Path

from mechbench.course import database, progress, rescue

# Built-in functions after which something else may stand on the disk, or another process may see something else.
CALLS = {"open", "connect", "execute", "backup", "fsync", "link", "rename", "replace", "unlink", "truncate", "close"}


def kill_at(moment):
    """End this process right before the call with that number; give the list that fills with the calls."""
    met = []

    def look(frame, event, called):
        if event != "c_call" or called.__name__ not in CALLS:
            return
        met.append(called.__name__)
        if len(met) == moment:
            os.write(1, f"killed at {called.__name__}\n".encode("ascii"))
            os.kill(os.getpid(), signal.SIGKILL)

    sys.setprofile(look)
    return met


def answer(folder):
    """Record an answer, with all that comes before and after it: setting aside, the daily copy."""
    keeper = progress.Store(folder)
    keeper.record(keeper.learner("ana"), progress.Attempt("gearing-ratio", 1, "0123456789ab", "new", "not yet"))


def copy(folder):
    """Make the copy of the day."""
    rescue.copy_of_the_day(folder)


def back(folder):
    """Go back to the newest copy."""
    rescue.go_back(folder, rescue.copies(folder)[0].name)


def forget(folder):
    """Delete a learner."""
    progress.Store(folder).forget("ana")


def unlinked_answer(folder):
    """Record an answer where a file can't have two names."""

    def refuse(*names):
        raise OSError("a file has one name here")

    os.link = refuse
    answer(folder)


def main():
    """Do what is asked, line by line."""
    database.BUSY_SECONDS = 60
    tasks = {task.__name__: task for task in (answer, copy, back, forget, unlinked_answer)}
    for line in sys.stdin:
        task, folder, moment = line.split()
        child = os.fork()
        if child == 0:
            met = kill_at(int(moment))
            tasks[task](Path(folder))
            sys.setprofile(None)
            os.write(1, (" ".join(["done", *met]) + "\n").encode("ascii"))
            os._exit(0)
        _, status = os.waitpid(child, 0)
        if not os.WIFSIGNALED(status) and os.WEXITSTATUS(status):
            os.write(1, b"failed\n")


if __name__ == "__main__":
    main()

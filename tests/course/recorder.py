"""Run as a process of its own: record answers one after the other and say each one on the pipe once it is confirmed.

    python recorder.py FOLDER WORD COUNT     record WORD-0, WORD-1 ... and end
    python recorder.py                       for each "WORD FOLDER" that comes in, a process that records without end

The second way loads the library once for many processes. It says "started PID" for each, and "ended" when it is gone.
"""

import itertools
import os
import sys
import time
from pathlib import Path

from mechbench.course import database, progress


def say(*words):
    """Say a line whole or not at all, whenever this process is killed; print may write it in pieces."""
    os.write(1, (" ".join(map(str, words)) + "\n").encode("ascii"))


def record(folder, word, numbers):
    """Record as the learner ana; say "WORD-NUMBER SECONDS" for each answer that was confirmed."""
    keeper = progress.Store(Path(folder))
    learner = keeper.learner("ana")
    for number in numbers:
        answer = progress.Attempt("gearing-ratio", 1, "0123456789ab", f"{word}-{number}", "not yet")
        begun = time.perf_counter()
        if keeper.record(learner, answer).confirmed:
            say(answer.raw, f"{time.perf_counter() - begun:.6f}")


def record_for_each(lines):
    """Start one process after the other; each is ended from outside."""
    for line in lines:
        word, folder = line.split()
        child = os.fork()
        if child == 0:
            say("started", os.getpid())
            record(folder, word, itertools.count())
        os.waitpid(child, 0)
        say("ended")


if __name__ == "__main__":
    # Among busy writers on a busy machine one may wait long; what happens when it gives up has tests of its own.
    database.BUSY_SECONDS = 300
    if sys.argv[2:]:
        record(sys.argv[1], sys.argv[2], range(int(sys.argv[3])))
    else:
        record_for_each(sys.stdin)

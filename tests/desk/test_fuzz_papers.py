"""Random words after the commands that write papers and files: one sentence or a file, never a trace, never a file
changed.
"""

import contextlib
import io
import os
import random
import sys
from functools import lru_cache
from pathlib import Path

import pytest

from mechbench.course import gradebook_command, handin, handout, progress
from mechbench.desk import correct, review
from mechbench.kits import copy_kit
from tests.course import hardship

LINES = 150
NOISE = (
    "",
    " ",
    "=",
    "-",
    "---",
    "--x",
    "-h",
    "\udcff",
    "\u202e",
    "a" * 300,
    "../..",
    "/dev/null",
    "/dev/full",
    "/",
    ".",
    "*",
    "'",
    "%s",
    "{0.x}",
    "~",
    "~nobody-of-that-name/x.html",
    "nan",
    "inf",
    "1e999",
    "٣",
    "½",
    "hands",
    "empty",
    "file.txt/x.html",
    "no/such/c.md",
    "loop",
    "@file.txt",
    "x.html",
    "x.md",
    "x.pdf",
    ".html",
    "ana",
    "90",
    "-5",
    "301",
)
COMMANDS = {
    "review": (review.command, ("wren", "wern", "Stork"), ("--to", "--points", "--to=", "--points=")),
    "gradebook": (
        gradebook_command.command,
        ("hands", "empty", "file.txt"),
        ("--to", "--kit", "--semicolons", "--kit="),
    ),
    "handout": (handout.command, ("1", "motors", "x"), ("--to", "--name", "--name=")),
    "handin": (handin.command, ("ana", "ben", ""), ("--to", "--to=")),
}


@pytest.fixture
def place(tmp_path, monkeypatch):
    """A folder with a hand-in, a file and a link that leads to itself; the review of a robot is found once only."""
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path / "home"))
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    for name in ("hands", "empty"):
        Path(name).mkdir()
    Path("file.txt").write_text("mine", encoding="utf-8")
    with contextlib.suppress(OSError):  # Windows allows it to few
        os.symlink("loop", "loop")
    ana = progress.store().learner("ana")
    progress.store().record(ana, progress.Attempt("gearing-ratio", 1, "0123456789ab", "5", "not yet"))
    handin.write(ana, "hands")
    found, once = review.found, lru_cache(review.found)
    monkeypatch.setattr(
        review, "found", lambda name, kit, points: once(name) if points in (None, 90) else found(name, kit, points)
    )
    return Path.cwd()


def words_of(random_, first, options):
    words = [random_.choice(first)] if random_.random() < 0.9 else []
    for _ in range(random_.choice((0, 1, 1, 2, 3))):
        noise, option = random_.choice(NOISE), random_.choice(options)
        words += [noise] if random_.random() < 0.3 else [option + noise] if option.endswith("=") else [option, noise]
    return words


def said_by(command, words):
    """Exit code and what stood on the screen; a line that can't be read ends the program."""
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            code = command(words)
        except SystemExit as end:
            code = end.code
    return code, out.getvalue(), err.getvalue().splitlines()


@pytest.mark.parametrize("name", COMMANDS)
def test_random_words_make_a_file_or_one_sentence(name, place):
    command, first, options = COMMANDS[name]
    random_, codes = random.Random(name), set()
    for _ in range(LINES):
        words = words_of(random_, first, options)
        code, out, complaints = said_by(command, words)
        codes.add(code)
        assert code in (0, 1, 2) and (out.strip() or complaints), words
        assert len(complaints) <= (code != 0), (words, complaints)
    assert len(codes) > 1 and 0 in codes, codes
    assert (place / "file.txt").read_text(encoding="utf-8") == "mine"


FRICTION = "press [N],pull [N]\n5,1\n10,2.1\n20,3.9\n40,8.1\n"
ON_A_FULL_DISK = {
    "handout": (handout.command, ["1"]),
    "handin": (handin.command, ["ana"]),
    "gradebook": (gradebook_command.command, ["hands", "--to", "empty"]),
    "review": (review.command, ["wren"]),
    "correct": (correct.command, ["friction", "pull.csv", "part=slide_rail", "--yes", "--kit", "kit"]),
    "correct with a new kit": (correct.command, ["friction", "pull.csv", "part=slide_rail", "--yes", "--kit", "new"]),
}


def files_in(place):
    return {path: path.read_bytes() for path in place.rglob("*") if path.is_file()}


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such limits")
@pytest.mark.parametrize("name", ON_A_FULL_DISK)
def test_no_half_file_stays_on_a_full_disk(name, place):
    command, words = ON_A_FULL_DISK[name]
    (place / "pull.csv").write_text(FRICTION, encoding="utf-8")
    copy_kit(place / "kit")
    before = files_in(place)
    with hardship.no_file_longer_than(100):
        code, _, complaints = said_by(command, words)
    assert code in (1, 2) and files_in(place) == before and len(complaints) <= 1

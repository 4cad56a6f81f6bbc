"""The line that says how far a command has come: only on a terminal, only after a while, and gone at the end."""

import io

import pytest

from mechbench.desk import waiting


class Terminal(io.StringIO):
    """A stream that says that it is a terminal, and shows what a reader sees in the end: \\r writes a line over."""

    def isatty(self):
        return True

    def seen(self):
        line = ""
        for piece in self.getvalue().split("\r"):
            line = piece + line[len(piece) :]
        return line.rstrip()


@pytest.fixture
def clock():
    now = [0.0]
    tell = lambda: now[0]
    tell.goes = lambda seconds: now.__setitem__(0, now[0] + seconds)
    return tell


def test_what_is_quick_says_nothing(clock):
    out = Terminal()
    line = waiting.Waiting(out, clock)
    clock.goes(waiting.PATIENCE / 2)
    line.say("1 file read")
    line.end()
    assert out.getvalue() == ""


def test_after_a_while_the_newest_text_stands_there_and_is_taken_away(clock):
    out = Terminal()
    line = waiting.Waiting(out, clock)
    clock.goes(waiting.PATIENCE)
    line.say("1000 files read, writing")
    assert out.seen() == "1000 files read, writing"
    line.say("too early")
    assert out.seen() == "1000 files read, writing"
    clock.goes(waiting.PAUSE * 1.01)
    line.say("page written")
    assert out.seen() == "page written"
    line.end()
    assert out.seen() == "" and "\n" not in out.getvalue()


def test_where_no_terminal_is_it_is_quiet(clock):
    out = io.StringIO()
    line = waiting.Waiting(out, clock)
    clock.goes(100)
    line.say("1 file read")
    line.end()
    assert out.getvalue() == ""


def test_without_a_stream_of_errors_it_is_quiet(clock, monkeypatch):
    monkeypatch.setattr("sys.stderr", None)
    line = waiting.Waiting(None, clock)
    clock.goes(100)
    line.say("1 file read")
    line.end()

"""A line that says how far a long command has come, for those who sit in front of it.

Contents: Waiting.
"""

import sys
import time

PATIENCE = 1.5  # s; what is quicker than this says nothing
PAUSE = 0.2  # s between two changes of the line


class Waiting:
    """One line on the screen of errors, written over and over; quiet where no terminal is there to show it.

    stream : where it is written; the screen of errors when left out
    clock : gives seconds
    """

    def __init__(self, stream=None, clock=time.monotonic):
        self._stream, self._clock = stream or sys.stderr, clock
        self._shown = 0
        self._next = clock() + PATIENCE if self._stream and self._stream.isatty() else float("inf")

    def say(self, text):
        """Show a text in place of the one before, unless it is too early for another one."""
        now = self._clock()
        if now >= self._next:
            self._next = now + PAUSE
            self._write(text)

    def end(self):
        """Take the line away."""
        if self._shown:
            self._write("")
            self._stream.write("\r")
            self._stream.flush()

    def _write(self, text):
        self._stream.write(f"\r{text:{self._shown}}")
        self._stream.flush()
        self._shown = len(text)

"""Ratios of two things timed in one run, and the one place that says when a ratio fails.

Contents: Ratio, at_most, at_least, held, processor_time.

A ratio may have a goal and a bound. A missed goal is only said. What misses its bound is measured anew, because a
machine may be
busy for a moment; it fails when it misses ROUNDS times in a row. The bounds stay as they are.
"""

import time
from dataclasses import dataclass

import pytest

ROUNDS = 3


@dataclass(frozen=True)
class Ratio:
    """One ratio: what it is of, its value, how it was found (`told`), and its limits; None for a limit that it has
    not.
    """

    what: str
    value: float
    limit: str  # "at most" or "at least"
    bound: float | None
    goal: float | None
    told: str

    def meets(self, limit):
        """Tell whether the value is within a goal or a bound."""
        return limit is None or (self.value <= limit if self.limit == "at most" else self.value >= limit)

    def line(self):
        """Say the ratio with its limits, and which of them it misses."""
        limits = [
            f"{name} {self.limit} {limit:g}{'' if self.meets(limit) else ': missed'}"
            for name, limit in (("goal", self.goal), ("bound", self.bound))
            if limit is not None
        ]
        return f"{self.what}: {self.value:.3g} times ({'; '.join(limits) or 'no limit'}). {self.told}".rstrip()


def at_most(what, value, bound, goal=None, told=""):
    """A ratio that should be small."""
    return Ratio(what, value, "at most", bound, goal, told)


def at_least(what, value, bound, goal=None, told=""):
    """A ratio that should be large."""
    return Ratio(what, value, "at least", bound, goal, told)


def held(measure, say=print):
    """Let measure() give its ratios, and say them, until each has met its bound once; fail after ROUNDS rounds."""
    missed = None
    for _ in range(ROUNDS):
        ratios = measure()
        for ratio in ratios:
            say(ratio.line())
        now = {ratio.what for ratio in ratios if not ratio.meets(ratio.bound)}
        missed = now if missed is None else missed & now
        if not missed:
            return
    pytest.fail(f"missed the bound {ROUNDS} times in a row: {', '.join(sorted(missed))}", pytrace=False)


def processor_time(task, times=1):
    """Give the least processor time of this process, in seconds, that a task took of several times."""
    took = []
    for _ in range(times):
        began = time.process_time()
        task()
        took.append(time.process_time() - began)
    return min(took)

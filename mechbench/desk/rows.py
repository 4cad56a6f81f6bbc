"""Several answers of one sizing, used as numbers: column by column, and row by row, each as mb.size gives it.

Contents: Columned, Rows, Columns, filled_in.
"""

from functools import cached_property

import numpy as np

from mechbench.desk.sized import NoSuchFinding, by_dot, not_found


class Columned:
    """Base of what holds several reports of one sizing. A subclass has `sizing`, and gives `judged()`."""

    def judged(self):
        """The reports, in the order shown."""
        raise NotImplementedError

    def __len__(self):
        return len(self.judged())

    def __getitem__(self, name):
        """A column by the name of a finding (on a good day) or of an input."""
        if any(name == f.name for f in self.sizing.FINDINGS):
            return self.good[name]
        if any(name == f.name for f in self.sizing.FIELDS):
            return np.array([report.values[name] for report in self.judged()])
        raise NoSuchFinding(not_found(self.sizing, name))

    def __getattr__(self, name):
        return by_dot(self, name)

    @property
    def good(self):
        """Findings on a good day, a column each: found.good["time"]."""
        return Columns(self.sizing, [report.good for report in self.judged()])

    @property
    def bad(self):
        """Findings on a bad day, a column each."""
        return Columns(self.sizing, [report.bad for report in self.judged()])

    @property
    def days_in_100(self):
        """On how many of 100 days each of them works."""
        return np.array([report.days_in_100 for report in self.judged()], dtype=int)

    def __dir__(self):
        return sorted(name for name in super().__dir__() if not name.startswith("_"))

    def _ipython_key_completions_(self):
        return [one.name for one in (*self.sizing.FINDINGS, *self.sizing.FIELDS)]


class Rows(Columned):
    """The same where each is an answer as mb.size gives it. A subclass gives `answers()`, too."""

    def answers(self):
        """The answers, each a Sized, made anew."""
        raise NotImplementedError

    @cached_property
    def rows(self):
        """The answers, each as mb.size gives it."""
        return tuple(self.answers())

    def __iter__(self):
        return iter(self.rows)

    def __getitem__(self, asked):
        """A column by its name, or a row by its place."""
        return super().__getitem__(asked) if isinstance(asked, str) else self.rows[asked]


class Columns:
    """Numbers of several answers on one day: by the name of a finding an array, one number a row, in SI units."""

    def __init__(self, sizing, days):
        self.sizing, self._days = sizing, days

    def __getitem__(self, name):
        if not self.sizing.has(name):
            raise NoSuchFinding(not_found(self.sizing, name))
        return np.array([day[name] for day in self._days], dtype=float)

    def __getattr__(self, name):
        return by_dot(self, name)

    def __iter__(self):
        return iter(self.keys())

    def keys(self):
        """Names of the findings."""
        return [f.name for f in self.sizing.FINDINGS]

    def _ipython_key_completions_(self):
        return self.keys()


def filled_in(answers):
    """What was taken from which part of the kit for parts, battery and fuse that were given by figures, in sentences;
    answers: has `tables`.
    """
    return getattr(answers.tables, "said", [])

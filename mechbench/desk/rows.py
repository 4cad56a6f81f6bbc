"""Several answers of one sizing: gone through row by row, each as mb.size gives it, and column by column.

Contents: Rows, Columns.
"""

from functools import cached_property

import numpy as np

from mechbench.desk.sized import NoSuchFinding, not_found


class Rows:
    """Base of what holds several answers. A subclass has `sizing`, and gives `answers()`."""

    def answers(self):
        """The answers, each a Sized, made anew."""
        raise NotImplementedError

    @cached_property
    def rows(self):
        """The answers, each as mb.size gives it."""
        return tuple(self.answers())

    def __iter__(self):
        return iter(self.rows)

    def __len__(self):
        return len(self.rows)

    def __getitem__(self, asked):
        """A column by the name of a finding (on a good day) or an input, or a row by its place."""
        if not isinstance(asked, str):
            return self.rows[asked]
        if any(asked == f.name for f in self.sizing.FINDINGS):
            return self.good[asked]
        if any(asked == f.name for f in self.sizing.FIELDS):
            return np.array([row.values[asked] for row in self.rows])
        raise NoSuchFinding(not_found(self.sizing, asked))

    @property
    def good(self):
        """Findings on a good day, a column each: found.good["time"]."""
        return Columns(self.sizing, [row.good for row in self.rows])

    @property
    def bad(self):
        """Findings on a bad day, a column each."""
        return Columns(self.sizing, [row.bad for row in self.rows])

    @property
    def days_in_100(self):
        """On how many of 100 days each row works."""
        return np.array([row.days_in_100 for row in self.rows], dtype=int)

    def __dir__(self):
        return sorted(name for name in super().__dir__() if not name.startswith("_"))

    def _ipython_key_completions_(self):
        return [one.name for one in (*self.sizing.FINDINGS, *self.sizing.FIELDS)]


class Columns:
    """Numbers of several answers on one day: by the name of a finding an array, one number a row, in SI units."""

    def __init__(self, sizing, days):
        self.sizing, self._days = sizing, days

    def __getitem__(self, name):
        if not self.sizing.has(name):
            raise NoSuchFinding(not_found(self.sizing, name))
        return np.array([day[name] for day in self._days], dtype=float)

    def __iter__(self):
        return iter(self.keys())

    def keys(self):
        """Names of the findings."""
        return [f.name for f in self.sizing.FINDINGS]

    def _ipython_key_completions_(self):
        return self.keys()

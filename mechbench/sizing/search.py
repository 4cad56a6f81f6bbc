"""The sizing turned round: every combination of parts judged, the ones that work ranked, the nearest miss told.

Contents: Candidate, Ranking, search.
"""

from dataclasses import dataclass
from types import SimpleNamespace

import numpy as np

from mechbench.sizing import size
from mechbench.sizing.days import Tables, columns, complete, day_fractions, spread_columns
from mechbench.sizing.describe import Pick
from mechbench.sizing.judge import bad_row, score

SEARCH_DAYS = 64  # days a finalist is judged on; the shown ones are judged on all days by judge()
FINALISTS = 500


@dataclass(frozen=True)
class Candidate:
    """One combination: what varies, its findings on a good day, and its least margin on a good and on a bad day."""

    choice: dict
    good: dict
    good_margin: float
    bad_margin: float
    weakest: str

    @property
    def works(self):
        """Everything asked is met on a good day."""
        return self.good_margin >= 0

    @property
    def works_on_bad_day(self):
        """Everything asked is met on a bad day too."""
        return self.bad_margin >= 0


@dataclass(frozen=True)
class Ranking:
    """Candidates, the best first; `tried` counts all combinations."""

    sizing: type
    values: dict
    candidates: tuple
    tried: int

    @property
    def fitting(self):
        """Those that work on a good and on a bad day."""
        return tuple(c for c in self.candidates if c.works_on_bad_day and c.works)

    @property
    def nearest_miss(self):
        """The candidate that misses by least, or None when some fit."""
        if self.fitting or not self.candidates:
            return None
        return max(self.candidates, key=lambda c: (min(c.good_margin, c.bad_margin), c.good_margin))


def _grid(sizing, vary, tables):
    """All combinations of what varies: name -> column of values, in a fixed order (the last name runs fastest)."""
    lists = []
    for name, given in vary.items():
        field = sizing.field(name)
        if isinstance(field, Pick):
            options = field.options(tables) if given is None else tuple(field.read(v, tables) for v in given)
        else:
            if given is None:
                raise ValueError(f"{name} is a number: give the values to try, for example a list of five.")
            options = tuple(field.read(v) for v in given)
        lists.append(np.arange(len(options)))
        vary[name] = options
    mesh = np.meshgrid(*lists, indexing="ij")
    return {name: [vary[name][i] for i in m.ravel()] for name, m in zip(vary, mesh)}


def _judge_days(sizing, x, rows, tables, days):
    """Solve the given rows on all days at once; return their least margin on the bad day [rows]."""
    dimensions = len(sizing.SPREADS)
    fractions = np.tile(day_fractions(dimensions, days), (len(rows), 1))
    many = _take(x, np.repeat(rows, days))
    day = spread_columns(sizing, many, tables, fractions)
    _, least, goodness = score(sizing, day, sizing.solve(day))
    least, goodness = least.reshape(len(rows), days), goodness.reshape(len(rows), days)
    return least[np.arange(len(rows)), bad_row(goodness)]


def _take(x, rows):
    """The given rows of a namespace of columns; columns of one row stand for all."""
    def pick(column):
        return column[rows] if len(column) > 1 else np.repeat(column, len(rows), axis=0)

    return SimpleNamespace(
        **{k: SimpleNamespace(**{c: pick(a) for c, a in vars(v).items()}) if isinstance(v, SimpleNamespace) else pick(v) for k, v in vars(x).items()}
    )


def search(sizing, values=None, vary=None, kit=None, finalists=FINALISTS, days=SEARCH_DAYS):
    """Judge every combination of `vary` (pick name -> part names, or None for the whole table; field -> values).

    All combinations are solved on a good day; the best `finalists` of them on the days. Order: works on a bad day,
    works on a good day, then the findings named in RANK, then the order of the kit, so it is stable.
    """
    sizing = size(sizing)
    tables = Tables(sizing, kit)
    values = complete(sizing, {k: v for k, v in (values or {}).items() if k not in (vary or {})}, tables)
    grid = _grid(sizing, dict(vary or {}), tables)
    tried = len(next(iter(grid.values()))) if grid else 1
    x = columns(sizing, {**values, **grid}, tables)
    found = {k: np.broadcast_to(np.asarray(v, dtype=float), (tried,)) for k, v in sizing.solve(x).items()}
    margins, least, _ = score(sizing, x, found)
    keys = [found[r.lstrip("-")] * (-1 if r.startswith("-") else 1) for r in sizing.RANK]
    order = np.lexsort([np.arange(tried), *keys[::-1], -np.minimum(least, 0.0)])[:finalists]
    bad = _judge_days(sizing, x, order, tables, days)
    key = np.lexsort([order, *[k[order] for k in keys[::-1]], -np.minimum(least[order], 0), -np.minimum(bad, 0)])
    names = list(margins)
    table = np.array([margins[n] for n in names]).reshape(len(names), tried)
    candidates = tuple(
        Candidate(
            choice={n: grid[n][row] for n in grid},
            good={k: float(v[row]) for k, v in found.items()},
            good_margin=float(least[row]),
            bad_margin=float(bad[i]),
            weakest=names[int(np.argmin(table[:, row]))] if names else "",
        )
        for i, row in zip(key, order[key])
    )
    return Ranking(sizing, values, candidates, tried)

"""Words in two columns beside a drawing, each joined to its place by a straight line; no two lines cross.

Contents: split, rows_of.

All is in pixels. Where two lines of one side cross, changing their rows makes both together shorter; so an order of the
shortest lines has no crossing. Between the sides there is none, as each side takes the places that are nearer to it.
"""

import numpy as np

NEAR = 7.0  # pixels that a line keeps away from the end of another one
CROSSES, TOUCHES = 1e5, 1e3  # pixels that a fault counts as
ROUNDS = 200


def split(places):
    """Whether each place [N,2] has its words at the left: half of them, those furthest left."""
    order = np.argsort(places[:, 0], kind="stable")
    left = np.zeros(len(places), bool)
    left[order[: (len(places) + 1) // 2]] = True
    return left


def rows_of(places, edge, rows):
    """A row for each place of one side: lines go from the edge of the words (x) at the rows (y) to the places [N,2]."""
    count, rows = len(places), np.asarray(rows, float)
    if count == 0:
        return np.zeros(0, int)
    chosen = np.zeros(count, int)
    spread = np.round(np.linspace(0, len(rows) - 1, count + 2)[1:-1]).astype(int) if len(rows) > count else None
    chosen[np.argsort(places[:, 1], kind="stable")] = np.arange(count) if spread is None else _apart(spread, len(rows))
    best = _cost(places, edge, rows[chosen])
    for _ in range(ROUNDS):
        trials = list(_changes(chosen, len(rows)))
        costs = [_cost(places, edge, rows[trial]) for trial in trials]
        if not costs or min(costs) >= best - 1e-6:
            break
        best = min(costs)
        chosen = trials[int(np.argmin(costs))]
    return chosen


def _apart(spread, count):
    """Rows in rising order, no two alike."""
    for i in range(1, len(spread)):
        spread[i] = max(spread[i], spread[i - 1] + 1)
    over = spread[-1] - (count - 1)
    return np.arange(len(spread)) if over > 0 else spread


def _changes(chosen, count):
    """Every order that differs by one word in a free row, or by two words that change places."""
    free = sorted(set(range(count)) - set(chosen.tolist()))
    for i in range(len(chosen)):
        for row in free:
            yield np.r_[chosen[:i], row, chosen[i + 1 :]]
        for j in range(i):
            trial = chosen.copy()
            trial[i], trial[j] = chosen[j], chosen[i]
            yield trial


def _cost(places, edge, rows):
    """How long all lines are together; a crossing, and a line that runs into another one's end, count as very long."""
    starts = np.column_stack([np.full(len(places), edge), rows])
    along = places - starts
    long = np.hypot(*along.T)
    total = float(long.sum())
    i, j = np.triu_indices(len(places), 1)
    cross = lambda a, b: a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    other = cross(along[i], starts[j] - starts[i]) * cross(along[i], places[j] - starts[i]) < 0
    own = cross(along[j], starts[i] - starts[j]) * cross(along[j], places[i] - starts[j]) < 0
    to = places[None, :, :] - starts[:, None, :]
    share = np.clip(np.einsum("ijk,ik->ij", to, along) / np.maximum(long, 1e-9)[:, None] ** 2, 0, 1)
    apart = np.hypot(*np.moveaxis(to - share[..., None] * along[:, None, :], -1, 0))
    np.fill_diagonal(apart, np.inf)
    return total + CROSSES * np.count_nonzero(own & other) + TOUCHES * np.count_nonzero(apart < NEAR)

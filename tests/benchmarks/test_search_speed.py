"""How much quicker the search for trains is than nested loops over the same kit; ratios only, both in one run."""

import itertools
import statistics
import time

import numpy as np
import pytest

from mechbench.kit import kit
from mechbench.physics.train_search import Gearbox, Wheels, every_pair, find_trains

pytestmark = pytest.mark.benchmark
TARGET, TOLERANCE = 100.0, 0.0213  # no ratio of the kit lies on the edge
LEAST = 1.5


def parts():
    tables = {name: kit().table(name) for name in ("spur_gears", "pulleys", "sprockets", "gearboxes")}
    wheels = [
        Wheels(name, kind, every_pair(sorted(set(tables[table].columns["teeth"].astype(int)))), 0.95, 0.003)
        for name, kind, table in (("gear", "spur", "spur_gears"), ("belt", "belt", "pulleys"), ("chain", "chain", "sprockets"))
    ]
    boxes = tables["gearboxes"].columns
    gearboxes = [Gearbox(n, r, e) for n, r, e in zip(tables["gearboxes"].names, boxes["ratio"], boxes["efficiency"])]
    return wheels, gearboxes


def by_loops(wheels, gearboxes):
    """Ratios only, the least that loops can do: every gearbox with every one or two pairs, in any kinds."""
    pairs = [b / a for kind in wheels for a, b in kind.pairs]
    found = 0
    for box in gearboxes:
        for first in pairs:
            found += abs(box.ratio * first / TARGET - 1) <= TOLERANCE
        for first, second in itertools.combinations_with_replacement(pairs, 2):
            found += abs(box.ratio * first * second / TARGET - 1) <= TOLERANCE
        found += abs(box.ratio / TARGET - 1) <= TOLERANCE
    return found


def test_search_against_nested_loops(capsys):
    wheels, gearboxes = parts()
    ours = find_trains(wheels, gearboxes, TARGET, TOLERANCE, max_pairs=2, most=10**6)
    assert np.size(ours.mass) == by_loops(wheels, gearboxes), "both find the same trains, or the ratio means nothing"
    ratios = []
    for _ in range(5):
        start = time.perf_counter()
        find_trains(wheels, gearboxes, TARGET, TOLERANCE, max_pairs=2, most=200)
        one = time.perf_counter() - start
        start = time.perf_counter()
        by_loops(wheels, gearboxes)
        ratios.append((time.perf_counter() - start) / one)
    with capsys.disabled():
        print(f"\nsearch: {statistics.median(ratios):.0f} times quicker than loops that only multiply ratios (fails under {LEAST})")
    assert statistics.median(ratios) > LEAST

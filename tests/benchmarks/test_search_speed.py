"""How much quicker searches are than doing the same one by one; ratios only, both in one run.

The search for trains beside nested loops over the same kit; the search of a sizing beside judging the same parts
singly.
"""

import itertools
import statistics
import time

import numpy as np
import pytest

from mechbench.catalog import judge, search, sizing_of
from mechbench.engine.inputs import Tables
from mechbench.kits import kit
from mechbench.physics.train_search import Gearbox, Wheels, every_pair, find_trains

pytestmark = pytest.mark.benchmark
TARGET, TOLERANCE = 100.0, 0.0213  # no ratio of the kit lies on the edge
LEAST = 1.5
LEAST_OF_SIZINGS = 4
SAMPLE = 40  # combinations that are judged one by one; the others are reckoned to take as long
SEARCHES = [
    ("train", ("motor", "gearbox", "last_stage")),
    ("arm", ("motor", "gearbox", "last_stage")),
    ("lift", ("motor", "gearbox", "drum")),
    ("lift", ("motor", "gearbox", "drum", "last_stage")),
    ("drivetrain", ("motor", "gearbox", "wheel")),
]


def parts():
    tables = {name: kit().table(name) for name in ("spur_gears", "pulleys", "sprockets", "gearboxes")}
    wheels = [
        Wheels(name, kind, every_pair(sorted(set(tables[table].columns["teeth"].astype(int)))), 0.95, 0.003)
        for name, kind, table in (
            ("gear", "spur", "spur_gears"),
            ("belt", "belt", "pulleys"),
            ("chain", "chain", "sprockets"),
        )
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
        print(
            f"\nsearch: {statistics.median(ratios):.0f} times quicker than loops that only multiply ratios (fails under"
            f" {LEAST})"
        )
    assert statistics.median(ratios) > LEAST


@pytest.mark.parametrize("name, vary", SEARCHES, ids=[f"{name}, {len(vary)} parts" for name, vary in SEARCHES])
def test_a_sizing_over_the_whole_kit_against_one_by_one(name, vary, capsys):
    sizing, tables = sizing_of(name), Tables(sizing_of(name))
    search(sizing, {}, {vary[0]: None})  # loads what is loaded once
    began = time.process_time()
    ranking = search(sizing, {}, dict.fromkeys(vary))
    together = time.process_time() - began
    sample = list(itertools.product(*(sizing.field(pick).options(tables) for pick in vary)))[
        :: max(1, ranking.tried // SAMPLE)
    ]
    began = time.process_time()
    for combination in sample:
        judge(sizing, dict(zip(vary, combination)))
    alone = (time.process_time() - began) / len(sample) * ranking.tried
    with capsys.disabled():
        print(
            f"\n{name}: {ranking.tried} combinations in {together:.2f} s, {alone / together:.0f} times quicker than one"
            f" by one (fails under {LEAST_OF_SIZINGS})"
        )
    assert ranking.candidates and alone / together > LEAST_OF_SIZINGS

"""How much quicker searches are than doing the same one by one; ratios only, both in one run.

The search for trains beside nested loops over the same kit; the search of a sizing beside judging the same parts
singly.
"""

import itertools

import numpy as np
import pytest

from mechbench.catalog import judge, search, sizing_of
from mechbench.engine.inputs import Tables
from mechbench.engine.opening import plain
from mechbench.engine.pairs import go_together
from mechbench.kits import kit
from mechbench.physics.train_search import Gearbox, Wheels, every_pair, find_trains
from tests.benchmarks.ratios import at_least, processor_time

pytestmark = pytest.mark.benchmark
TARGET, TOLERANCE = 100.0, 0.0213  # no ratio of the kit lies on the edge
BOUND = 1.5
BOUND_OF_SIZINGS = 4
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


def test_search_against_nested_loops(hold):
    wheels, gearboxes = parts()
    ours = find_trains(wheels, gearboxes, TARGET, TOLERANCE, max_pairs=2, most=10**6)
    assert np.size(ours.mass) == by_loops(wheels, gearboxes), "both find the same trains, or the ratio means nothing"

    def measure():
        one = processor_time(lambda: find_trains(wheels, gearboxes, TARGET, TOLERANCE, max_pairs=2, most=200), 5)
        loops = processor_time(lambda: by_loops(wheels, gearboxes), 5)
        return [at_least("loops that only multiply ratios, beside the search for trains", loops / one, BOUND)]

    hold(measure)


def some_that_go_together(sizing, vary, tables):
    """Combinations of parts, evenly spread over all; none of a motor with the gears built into another."""
    usual = plain(sizing, tables)
    every = [dict(zip(vary, parts)) for parts in itertools.product(*(sizing.field(p).options(tables) for p in vary))]
    possible = [parts for parts in every if go_together(sizing, {**usual, **parts}, tables)]
    return possible[:: max(1, len(possible) // SAMPLE)]


@pytest.mark.parametrize("name, vary", SEARCHES, ids=[f"{name}, {len(vary)} parts" for name, vary in SEARCHES])
def test_a_sizing_over_the_whole_kit_against_one_by_one(name, vary, hold):
    sizing, tables = sizing_of(name), Tables(sizing_of(name))
    search(sizing, {}, {vary[0]: None})  # loads what is loaded once
    ranking = search(sizing, {}, dict.fromkeys(vary))
    assert ranking.candidates
    sample = some_that_go_together(sizing, vary, tables)

    def measure():
        together = processor_time(lambda: search(sizing, {}, dict.fromkeys(vary)))
        alone = processor_time(lambda: [judge(sizing, parts) for parts in sample]) / len(sample) * ranking.tried
        told = f"{ranking.tried} combinations in {together:.2f} s"
        return [
            at_least(
                f"judging each {name} with {len(vary)} parts, beside the search",
                alone / together,
                BOUND_OF_SIZINGS,
                told=told,
            )
        ]

    hold(measure)

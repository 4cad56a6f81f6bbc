"""Differences: rounding is nothing, and what is more than rounding stays."""

from fractions import Fraction

import numpy as np
import pytest

from mechbench.physics.rounding import difference
from tests.tries import tries


def test_sums_in_another_order_differ_by_nothing():
    """The true difference is 0, by exact fractions; plain subtraction leaves crumbs in some."""
    rng, crumbs = np.random.default_rng(4), 0
    for _ in range(tries(300, thorough=3_000)):
        steps = [float(one) for one in rng.uniform(0.01, 9.0, 12)]
        up, down = 0.0, 0.0
        for one in steps:
            up += one
        for one in reversed(steps):
            down += one
        assert sum(map(Fraction, steps)) == sum(map(Fraction, reversed(steps)))
        crumbs += up != down
        assert difference(up, down, steps=2 * len(steps)) == 0.0
    assert crumbs > 0


@pytest.mark.parametrize("size", [1e-12, 1.0, 1e9])
def test_what_is_more_than_rounding_stays(size):
    """However small beside 1: only the size of the two numbers counts."""
    apart = difference(size, size * (1 - 1e-14))
    assert apart == pytest.approx(size * 1e-14, rel=0.1) and apart > 0
    assert difference(size * 1e-20, 0.0) == size * 1e-20
    assert difference(size, size * (1 - 4e-16)) == 0.0


def test_a_large_number_on_the_way_makes_more_of_it_rounding():
    assert difference(1e-13, 0.0) == 1e-13 and difference(1e-13, 0.0, largest=250.0) == 0.0


def test_without_end():
    found = difference([np.inf, np.inf, -np.inf, 3.0], [np.inf, 1.0, np.inf, -np.inf])
    assert list(found) == [0.0, np.inf, -np.inf, np.inf]

"""How much quicker 100,000 matches at once are, a match, than the same model event by event in simpy; ratios only."""

import numpy as np
import pytest

from mechbench.physics.match import Robot, simulate
from tests.benchmarks.ratios import at_least, processor_time
from tests.physics.reference_match import GAME, play

pytestmark = pytest.mark.benchmark
MATCHES, IN_SIMPY = 100_000, 1500
GOAL, BOUND = 100, 30
ROBOT = Robot(
    cycle=(6.0, 8.0, 14.0),
    capacity=2,
    success=0.9,
    traffic=(0.0, 1.0, 4.0),
    jam=0.1,
    jam_time=(2.0, 6.0, 9.0),
    goals=(2, 1, 0),
    goal_time=(1.0, 0.5, 0.0),
    pair_chance=0.5,
    neighbour_chance=0.3,
    start_pieces=2,
    start_success=0.8,
    start_time=(4.0, 8.0, 14.0),
    leave=20.0,
    end_trip=(2.0, 3.0, 5.0),
    tries=2,
    try_time=(5.0, 7.0, 10.0),
    try_chance=0.6,
)


def test_matches_at_once_against_event_by_event(hold):
    points = np.array([match.points for match in play(GAME, ROBOT, IN_SIMPY, seed=5)], dtype=float)
    ours = simulate(GAME, ROBOT, MATCHES, seed=5).points
    error = np.hypot(points.std(ddof=1) / np.sqrt(points.size), ours.std(ddof=1) / np.sqrt(ours.size))
    assert abs(points.mean() - ours.mean()) < 3.5 * error, "the same model, or the ratio means nothing"

    def measure():
        one = processor_time(lambda: simulate(GAME, ROBOT, MATCHES, seed=6), 3) / MATCHES
        alone = processor_time(lambda: play(GAME, ROBOT, IN_SIMPY // 3, seed=6), 3) / (IN_SIMPY // 3)
        told = f"means {ours.mean():.2f} and {points.mean():.2f}, standard error {error:.2f}"
        return [at_least("a match in simpy, beside one of many at once", alone / one, BOUND, GOAL, told)]

    hold(measure)

"""Trips in a match by hand, in the game of the kit by hand: 115 s driven, of which the last 30 s are for closing."""

import pytest

from mechbench.catalog import judge
from tests.mechanisms.by_hand_swing import KIT, agrees, at_least, judged

# tests/whole_robot/by_hand_kit/game.toml: [phases.driven] time, closing; [goals.roof] points, [goals.sill] points
FETCHING = 115.0 - 30.0
ROOF, SILL = 9, 4


def test_two_pieces_a_trip_onto_the_roof():
    """18 points a trip; 85 s hold 85 / 8.5 = 10 trips of 11.0 - 2.5 s, and 85 / 11 slower ones."""
    report = judge(
        "trips",
        {
            "trip_time": "11 s",
            "saved": "2.5 s",
            "points_wanted": 150.0,
            "goal": "roof",
            "pieces": "2",
        },
        KIT,
    )
    before = 2 * ROOF * FETCHING / 11.0
    agrees(report, {"points": 180.0, "before": before, "gain": 180.0 - before, "trips": 10.0})
    judged(report, {"points": 150.0}, {"points": 0.2})


def test_nothing_saved_gains_nothing():
    report = judge(
        "trips",
        {
            "trip_time": "17 s",
            "saved": "0 s",
            "points_wanted": 80.0,
            "goal": "sill",
            "pieces": "3",
        },
        KIT,
    )
    points = 3 * SILL * FETCHING / 17.0
    assert points == pytest.approx(60.0)
    agrees(report, {"points": points, "before": points, "gain": 0.0, "trips": 5.0})
    judged(report, {"points": 80.0}, {"points": at_least(points, 80.0)})

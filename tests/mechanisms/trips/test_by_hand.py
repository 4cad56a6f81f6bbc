"""Trips in a match by hand, in the game of the kit by hand: 115 s driven, of which the last 30 s are for closing."""

import numpy as np
import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.report_text import verdict
from tests.drawing.read_back import pictured
from tests.mechanisms.by_hand_swing import KIT, agrees, at_least, judged
from tests.mechanisms.sweeps import placed

# tests/whole_robot/by_hand_kit/game.toml: [phases.driven] time, closing; [goals.roof] points, [goals.sill] points
FETCHING = 115.0 - 30.0
ROOF, SILL = 9, 4
SILL_TAKES = 14  # [goals.sill] capacity; any number fits onto the roof


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
            "trips_wanted": 8,
        },
        KIT,
    )
    before = 2 * ROOF * FETCHING / 11.0
    agrees(
        report,
        {
            "points": 180.0,
            "before": before,
            "gain": 180.0 - before,
            "trips": 10.0,
            "trips_before": FETCHING / 11.0,
            "trip_allowed": FETCHING / 8,
            "filled": 0.0,
        },
    )
    judged(report, {"points": 150.0, "trips": 8.0}, {"points": 0.2, "trips": 0.25})


def test_no_more_pieces_count_than_the_goal_takes():
    """Three pieces a trip: 5 trips of 17 s bring 15 to the sill, which takes 14; nothing saved, nothing gained."""
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
    points = SILL_TAKES * SILL
    agrees(
        report,
        {
            "points": points,
            "before": points,
            "gain": 0.0,
            "trips": 5.0,
            "trips_before": 5.0,
            "trip_allowed": FETCHING / 4,  # a trip in 20 s, as usual: 85 / 20 is 4
            "filled": 15.0 / SILL_TAKES,
        },
    )
    judged(report, {"points": 80.0, "trips": 4.0}, {"points": at_least(points, 80.0), "trips": 0.25})
    assert verdict(report) == (
        "Does not work: score with the quicker trip is 56 points (at least 80 points); the goal is full before the end."
    )


def test_where_the_goal_gets_full_the_time_saved_is_worth_what_room_is_left():
    """Two pieces a trip: 5 trips of 17 s bring 10 to the sill, 85 / (17 - 5) trips bring more than 14."""
    found = judge("trips", {"trip_time": "17 s", "saved": "3 s", "goal": "sill", "pieces": "2"}, KIT).good
    brought = 2 * FETCHING / 14.0
    assert 10 < brought < SILL_TAKES
    assert found["before"] == pytest.approx(10 * SILL) and found["points"] == pytest.approx(brought * SILL)
    found = judge("trips", {"trip_time": "15 s", "saved": "3 s", "goal": "sill", "pieces": "2"}, KIT).good
    before = 2 * FETCHING / 15.0 * SILL
    assert found["points"] == SILL_TAKES * SILL and found["gain"] == pytest.approx(SILL_TAKES * SILL - before)


def test_the_curve_goes_no_higher_than_what_the_goal_takes():
    values = {"trip_time": "15 s", "saved": "3 s", "goal": "sill", "pieces": "2"}
    time, points = pictured("trips", values, KIT)[0].curve.get_data()
    assert points.max() == SILL_TAKES * SILL and points[0] == points.max() > points[-1]
    assert points[-1] == pytest.approx(2 * FETCHING / time[-1] * SILL)
    assert np.all(points <= SILL_TAKES * SILL)


def test_a_goal_that_gets_full_is_told_beside_the_numbers():
    sizing = sizing_of("trips")
    told = lambda **values: sizing.note(judge("trips", values, KIT).values, Tables(sizing, KIT))
    assert told(trip_time="17 s", saved="0 s", goal="sill", pieces="3") == (
        "5 trips of 17 s in 85 s. This goal takes 14 pieces in one match; what these trips bring beyond that counts"
        " nothing."
    )
    assert told(trip_time="17 s", saved="0 s", goal="sill", pieces="2") == "5 trips of 17 s in 85 s."
    # 85 / 11 = 7.727, 85 / 9 = 9.444
    assert told(trip_time="11 s", saved="2 s", goal="roof", pieces="3") == (
        "7.73 trips of 11 s in 85 s; with 2 s saved in each 9.44."
    )


def test_a_game_without_goals_fills_none():
    """Its one goal in the table takes nothing and gives nothing: no share of nothing is a number without end."""
    sizing = sizing_of("trips")
    tables = Tables(sizing, KIT)
    x = columns(sizing, complete(sizing, {}, tables), tables)
    found = sizing.solve(placed(placed(x, "goal.capacity", 0.0), "goal.points", 0.0))
    assert found["filled"] == found["points"] == found["gain"] == 0


def test_a_trip_of_nine_seconds_is_counted_as_it_is_and_a_second_quicker():
    """125 s of trips: 13.9 of 9 s, and 15.6 of 8 s, where a second is saved in each."""
    found = judge("trips", {"driving_time": "125 s", "trip_time": "9 s", "saved": "1 s"}, KIT).good
    assert found["trips_before"] == pytest.approx(13.89, abs=0.005)
    assert found["trips"] == pytest.approx(15.625, abs=1e-9)
    names = [one.name for one in sizing_of("trips").FINDINGS]
    assert names.index("trips_before") < names.index("trips")


def test_how_long_one_trip_may_be():
    """12 trips in 165 s: 13.75 s for each."""
    report = judge("trips", {"driving_time": "165 s", "trips_wanted": 12, "trip_time": "14 s", "saved": "0 s"}, KIT)
    assert report.good["trip_allowed"] == pytest.approx(13.75, rel=1e-12)
    assert report.good["trips"] == pytest.approx(165 / 14) and report.good_margin["trips"] < 0
    quicker = judge("trips", {"driving_time": "165 s", "trips_wanted": 12, "trip_time": "13.7 s", "saved": "0 s"}, KIT)
    assert quicker.good_margin["trips"] > 0


def test_the_driving_time_is_that_of_the_game():
    assert judge("trips", {}, KIT).values["driving_time"] == FETCHING

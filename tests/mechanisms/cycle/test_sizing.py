"""The cycle sizing: times by hand, and points near those of matches played one by one."""

import numpy as np
import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.engine import report_text
from mechbench.kits import kit, read_kit
from mechbench.physics.match import Robot, Rules, simulate

SIZING = sizing_of("cycle")
BY_HAND = "tests/whole_robot/by_hand_kit"


def test_times_by_hand():
    people = kit().roles.people
    find, line_up, held_up = people.find.likely, people.line_up.likely, people.held_up.likely
    jam = 0.1 * people.clear_jam.likely
    series = judge(SIZING, {"raising": "after"}).good
    assert series["time"] == pytest.approx(2 * (find + 0.5 + 0.4) + 2 * 1.6 + held_up + 1.2 + line_up + jam)
    assert series["may_wait"] == pytest.approx(0.0)
    during = judge(SIZING, {"raising": "during"}).good
    assert during["time"] == pytest.approx(series["time"] - 1.2)
    assert during["may_wait"] == pytest.approx(1.6 + held_up + line_up - 1.2)
    slow = judge(SIZING, {"raising": "during", "raise_time": "6 s"}).good
    assert slow["may_wait"] == 0.0 and slow["time"] == pytest.approx(
        series["time"] - 1.2 + 6.0 - (1.6 + held_up + line_up)
    )
    one = judge(SIZING, {"raising": "after", "pieces": "1"}).good
    assert series["time"] - one["time"] == pytest.approx(find + 0.5 + 0.4)
    assert one["people"] == pytest.approx((find + line_up + held_up) / one["time"])


def test_a_step_with_other_pieces_is_none_of_this_cycle():
    """A felt is handed over, a bobbin is not."""
    hand_over = kit().game.human["hand_over"]
    assert hand_over.likely == 1.8 and hand_over.pieces == ("felt",) and kit().roles.piece.name == "bobbin"
    assert kit().roles.people.more_piece.likely == 0.0


def test_points_are_near_those_of_played_matches():
    """On average parts of a cycle count, in a match whole ones only: half a cycle apart; and one place may stay
    empty.
    """
    roles, goals = kit().roles, kit().table("goals")
    rules = Rules(
        roles.match.self_driving,
        roles.match.driven,
        roles.match.closing,
        tuple(goals.columns["points"]),
        tuple(goals.columns["capacity"]),
        pair_bonus=roles.bonus.pair,
        self_driving_factor=1.5,
        tried_points=roles.ending.tried_points,
        left_points=roles.ending.left_points,
    )
    for given, served in (
        ({}, (1, 0)),
        ({"goal": "rafter"}, (3, 0)),
        ({"pieces": "1", "goal": "hamper"}, (0,)),
    ):
        report = judge(SIZING, given)
        v, good = report.values, report.good
        time = good["time"]
        robot = Robot(
            cycle=(0.8 * time, time, 1.2 * time),
            capacity=int(v["pieces"]),
            success=v["success"],
            goals=served,
            pair_chance=v["pair_chance"],
            start_pieces=1,
            start_success=1.0,
            leave=v["leave"],
            tries=1,
            try_chance=v["closing_chance"],
        )
        played = simulate(rules, robot, 20_000).points.mean()
        half_a_cycle = 0.5 * int(v["pieces"]) * v["success"] * goals.row(v["goal"])["points"]
        assert good["points"] == pytest.approx(played, abs=half_a_cycle + 6.0), given
        assert good["points"] > played


def test_full_goals_send_pieces_on_or_lose_them():
    kept = judge(SIZING, {"goal": "loom_east", "next_goal": "hamper"}).good
    lost = judge(SIZING, {"goal": "loom_east", "next_goal": "loom_east"}).good
    assert kept["first"] == lost["first"] == 10.0 and lost["then"] == 0.0
    assert kept["points"] - lost["points"] == pytest.approx(2.0 * kept["then"])


def test_who_leaves_too_late_can_not_hang_or_not_even_park():
    """The way to the bar is as long as the way to the goal; hanging needs all of its time."""
    ending = kit().roles.ending
    robot = {"closing_chance": "50 %", "closing_time": "12 s", "drive_time": "2 s"}
    in_half = 0.5 * ending.tried_points + 0.5 * ending.left_points
    for leave, end in (
        (30, in_half),
        (12, in_half),
        (11.9, ending.left_points),
        (2, ending.left_points),
        (1.9, 0),
        (0, 0),
    ):
        found = judge(SIZING, {**robot, "leave": f"{leave} s"}).good
        assert found["end"] == pytest.approx(end), leave
        unable = judge(SIZING, {**robot, "leave": f"{leave} s", "closing_chance": "0 %"}).good
        assert found["points"] - unable["points"] == pytest.approx(end - unable["end"])
    points = [judge(SIZING, {**robot, "leave": f"{leave} s"}).good["points"] for leave in (0, 12, 20)]
    assert points[1] == max(points), "leave as late as hanging allows"


def test_a_second_is_worth_what_saving_it_gives():
    good = judge(SIZING, {"goal": "hamper"}).good
    quicker = judge(SIZING, {"goal": "hamper", "drive_time": "1.1 s"}).good
    assert good["second"] == pytest.approx(quicker["points"] - good["points"])


def test_the_game_sets_how_many_may_be_carried():
    with pytest.raises(ValueError, match="kit does not have"):
        judge(SIZING, {"pieces": "4"})
    other = judge(SIZING, {"pieces": "3", "goal": "step"}, read_kit(BY_HAND))
    assert np.isfinite(list(other.good.values())).all()


def test_words_name_the_step_that_hurts():
    assert report_text.hurts(judge(SIZING)) == "What hurts most on a bad day is the step 'held up'."

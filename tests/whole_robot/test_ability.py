"""What a robot can do, and what it then scores: it scores only what it can do, and its verdict names what is missing.

Chances by hand from the definition (even growth between the least that works and what is sure); heights by hand from
the plan. That less ability never brings more points is common sense, no source.
"""

from types import SimpleNamespace

import numpy as np
import pytest

from mechbench.catalog import judge
from mechbench.engine import report_text
from mechbench.engine.spec import TAKES, Finding, Need
from mechbench.kits import kit
from mechbench.whole_robot.ability import able
from mechbench.whole_robot.build import build, kit_with, robots
from mechbench.whole_robot.compare import league, outcome, versus
from mechbench.whole_robot.score import cycle_of
from mechbench.whole_robot.work import Days, Work
from tests.mechanisms.by_hand_handling import KIT as BY_HAND

MOST = Finding("used", "share used", "%", "", "at most", 40.0)
LEAST = Finding("grip", "grip", "x", "", "at least", 1.5)


def report_of(name, kit=None, **changes):
    """A robot with changes, such as lift__stages="1", judged."""
    robot = build(name, kit, {key.replace("__", "."): value for key, value in changes.items()})
    return judge("robot", {"which": name}, kit_with(robot))


# --- a need ---------------------------------------------------------------------------------------------------------


def test_a_chance_grows_evenly_from_the_least_that_works():
    x = SimpleNamespace(safety=np.array([1.25]))
    grip = Need(TAKES, "grip", 1.0)
    assert grip.chance(LEAST, [0.2, 1.0, 1.25, 1.5, 9.0, np.inf], x) == pytest.approx([0, 0, 0.5, 1, 1, 1])
    used = Need(TAKES, "used", 100.0)
    assert used.chance(MOST, [0.1, 0.4, 0.55, 0.7, 1.0, np.inf], x) == pytest.approx([1, 1, 0.75, 0.5, 0, 0])
    sure = Need(TAKES, "grip", lambda x: 1 / x.safety, 2.0)
    assert sure.chance(LEAST, [0.8, 1.4, 2.0], x) == pytest.approx([0, 0.5, 1])


def test_it_can_or_it_cant_where_both_ends_are_one():
    step = Need(TAKES, "grip")
    assert step.chance(LEAST, [1.4999, 1.5 - 1e-9, 1.5, 2.0], None).tolist() == [0, 1, 1, 1]
    beyond = Need(TAKES, "used", 30.0)  # the least that works can't be better than what is sure
    assert beyond.chance(MOST, [0.35, 0.4, 0.41], None).tolist() == [1, 1, 0]


# --- what the robots of the course can do ---------------------------------------------------------------------------


def test_the_robots_of_the_kit_can_do_all_that_they_are_planned_for():
    for robot in robots():
        can = able(Work(robot, Days.spread(256)))
        assert (can.takes == 1).all() and (can.holds == 1).all() and (can.drives == 1).all(), robot.name
        assert (can.room >= 0).all() and (can.closes == (robot.value("tries") > 0)).all(), robot.name


def test_a_lift_raises_by_its_stages():
    """Each stage has 230 mm of way, at 70 degrees from level: 216 mm higher."""
    way = kit().table("slides").row("slide_300")["stage_travel"] * np.sin(np.radians(70))
    for stages in (1, 2, 3):
        heron = build("heron", changes={"lift.stages": str(stages)})
        room = able(Work(heron, Days.good())).room[0]
        high = 0.202 + stages * way
        assert room == pytest.approx([high - 0.725, high - 0.475, high - 0.225])


ONE_THING_LESS = {
    "one stage": ("heron", {"lift.stages": "1"}, "the lift rises 216 mm of 523 mm for the high shelf"),
    "two stages": ("heron", {"lift.stages": "2"}, "the lift rises 432 mm of 523 mm for the high shelf"),
    "weak fingers": (
        "heron",
        {"fingers.squeeze": 1.0},
        "the fingers' squeeze over the squeeze needed is 0.284 (at least 1)",
    ),
    "weak jaws": ("magpie", {"jaws.squeeze": 1.2}, "the jaws' squeeze over the squeeze needed is 0.341 (at least 1)"),
    "a servo at its stall": (
        "magpie",
        {"jaws.squeeze": 20.0},
        "the jaws' share of the servo's stall torque is 102 % (at most 40 %)",
    ),
    "an intake that rubs": (
        "heron",
        {"intake.squeeze": 0.009},
        "the intake's friction over friction needed is 0.858 (at least 1.1 to be sure)",
    ),
    "a slow intake": (
        "heron",
        {"intake.drive": "small_planetary_64"},
        "the intake's piece taken in over driving speed is 0.473 (at least 1.5)",
    ),
    "a short hook": ("heron", {"hook.arm": 0.1}, "the hook gets 497 mm of 625 mm high at the bar"),
    "hangs too low": (
        "heron",
        {"winch.lift_height": 0.02},
        "the winch's clear under the lowest wheel is 9.85 mm (at least 20 mm)",
    ),
    "a winch that stalls": ("heron", {"winch.gearbox": "planetary_12"}, "the winch's torque to spare is -0.931 N·m"),
    "an arm that stalls": ("wren", {"arm.gearbox": "planetary_12"}, "the arm never gets up"),
    "a short arm": ("wren", {"arm.length": 0.22}, "the arm rises 358 mm of 463 mm for the middle shelf"),
    "wheels that do not turn": (
        "wren",
        {"drive.free_wheel": "traction_90", "track": 0.15},
        "the drive's share of the push used to turn is 267 % (at most 100 %)",
    ),
    "tries without a winch": ("wren", {"tries": 2}, "nothing of it lifts the robot at the bar"),
}


@pytest.mark.parametrize("name, changes, said", ONE_THING_LESS.values(), ids=ONE_THING_LESS)
def test_what_is_missing_costs_points_and_is_named(name, changes, said):
    planned = judge("robot", {"which": name})
    less = report_of(name, **{key.replace(".", "__"): value for key, value in changes.items()})
    assert report_text.verdict(less).startswith(f"Does not work: {said}")
    assert not less.works and less.days_in_100 == 0
    costs = 0 if "tries" in changes else 10  # points; it never hung before
    assert less.good["points"] <= planned.good["points"] - costs
    assert less.bad["points"] <= planned.bad["points"] - costs


def test_points_are_named_where_nothing_else_is_missing():
    report = judge("robot", {"which": "wren", "points_wanted": 300.0})
    cycle = cycle_of(Work(build("wren"), Days.good()))
    driving = [
        time for step, time in zip(cycle.steps, cycle.times[0]) if step.kind in ("scoop", "way", "let_go", "back")
    ]
    assert sum(driving) > cycle.time[0] / 3
    assert report_text.verdict(report) == (
        "Does not work: points a match is 52.3 points (at least 300 points);"
        f" of each cycle of {cycle.time[0]:.3g} s the drive takes {sum(driving):.3g} s."
    )
    both = report_of("wren", arm__gearbox="planetary_12")
    assert both.good_margin["points"] < 0 and both.weakest(bad=False) != "points"


def test_on_a_bad_day_the_mechanism_is_named():
    """Jaws that hold on a good day; the thirteenth worst of 256 days has 0.884 of the squeeze that is asked."""
    report = report_of("magpie", jaws__squeeze=4.0)
    assert report.works and not report.works_on_bad_day
    said = report_text.verdict(report)
    assert said.startswith(
        "Works on a good day, but only on 82 of 100 days. On a bad day the jaws' squeeze over the squeeze"
    )
    assert "is 0.884 (at least 1)" in said
    # 0.884 lies at (0.884 - 1 / 1.5) / (1 - 1 / 1.5) between the least that works and what is sure.
    assert report.bad["holds"] == pytest.approx((0.8836 - 2 / 3) / (1 / 3), abs=2e-3)


# --- no less ability brings more points -------------------------------------------------------------------------------

SWEPT = {
    ("heron", "lift.stages"): ["3", "2", "1"],
    ("heron", "fingers.squeeze"): [5.0, 3.6, 3.2, 2.8, 2.4, 2.0, 1.0],
    ("heron", "intake.squeeze"): [0.004, 0.005, 0.0055, 0.006, 0.0065, 0.007, 0.009],
    ("heron", "hook.arm"): [0.2, 0.18, 0.16, 0.14, 0.12, 0.1],
    ("heron", "winch.lift_height"): [0.08, 0.06, 0.04, 0.03, 0.02],
    ("magpie", "jaws.squeeze"): [6.0, 5.0, 4.0, 3.5, 3.0, 2.5, 2.0],
    ("magpie", "held_at"): [0.282, 0.2, 0.1],  # its own links say where the piece ends
    ("wren", "held_at"): [0.012, 0.0],
    ("heron", "held_at"): [0.202, 0.1, 0.05, 0.0],
}


@pytest.mark.parametrize("name, path", SWEPT)
def test_less_ability_never_gains_a_point(name, path):
    found = [report_of(name, **{path.replace(".", "__"): value}) for value in SWEPT[name, path]]
    for day in ("good", "bad"):
        points = [getattr(one, day)["points"] for one in found]
        assert all(later <= earlier + 0.35 for earlier, later in zip(points, points[1:])), points
    assert found[0].good["points"] >= found[-1].good["points"]


@pytest.mark.parametrize("times", [0.2, 0.5, 1.0])
def test_a_one_stage_lift_never_gains_a_point(times):
    """Whatever it lifts, as long as all stages can: with one stage fewer it reaches less, and scores less."""
    for extra in ({}, {"carries": 1}, {"lift.payload": 0.71 * times}):
        points = [
            report_of(
                "heron", **{key.replace(".", "__"): value for key, value in extra.items()}, lift__stages=stages
            ).good["points"]
            for stages in ("3", "2", "1")
        ]
        assert points[0] > points[1] + 5 and points[1] > points[2] + 5, points


def test_a_robot_that_cannot_drive_scores_nothing():
    good = report_of("wren", drive__free_wheel="traction_90", track=0.15).good
    assert good["drives"] == good["points"] == good["cycles"] == good["end_points"] == 0


def test_strength_warns_and_costs_nothing():
    """A load near the end of what the arm's train may carry: it is named, and points go by time alone."""
    planned, heavy = judge("robot", {"which": "magpie"}), report_of("magpie", arm__payload=2.0)
    arm = judge("chained", build("magpie", changes={"arm.payload": 2.0}).mechanisms["arm"].values)
    assert planned.good["strength"] < 1 < heavy.good["strength"] == pytest.approx(arm.good["strength"])
    assert "Does not work: the arm's share of the train's strength is" in report_text.verdict(heavy)
    assert all(heavy.good[one] == planned.good[one] for one in ("takes", "holds", "reaches", "closes", "drives"))
    lost = planned.good["points"] - heavy.good["points"]
    assert 0 <= lost < 15


# --- other faces ------------------------------------------------------------------------------------------------------


def test_the_league_and_versus_count_what_a_robot_can_do():
    whole, half = build("heron"), build("heron", changes={"lift.stages": "1"})
    found = versus(whole, half)
    assert found.difference > 20 and found.low > 15 and found.wins > 0.9
    assert found.points[1] == pytest.approx(outcome(half).points.mean())
    spoiled = league(kit_with(half))
    assert [robot.name for robot, _ in spoiled][0] == "magpie"


def test_on_another_kit_a_piece_is_the_one_of_its_game():
    crane = build("crane", BY_HAND)
    assert crane.mechanisms["hand"].values["piece_mass"] == BY_HAND.roles.piece.mass
    assert crane.mechanisms["hand"].values["piece_width"] == BY_HAND.roles.piece.width
    assert "closes" in report_of("crane", BY_HAND).good

"""What a robot can do, and what it then scores: it scores only what it can do, and its verdict names what is missing.

Chances by hand from the definition (even growth between the least that works and what is sure); heights by hand from
the plan. That less ability never brings more points is common sense, no source.
"""

import re
from types import SimpleNamespace

import numpy as np
import pytest

from mechbench.catalog import judge
from mechbench.engine import report_text
from mechbench.engine.spec import TAKES, Finding, Need
from mechbench.kits import copy_kit, read_kit
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
    """On 19 of 20 days surely, and never by less than 9 in 10."""
    for robot in robots():
        can = able(Work(robot, Days.spread(256)))
        for chance in (can.takes, can.holds):
            assert np.mean(chance == 1) >= 0.95 and chance.min() > 0.9, robot.name
        assert (can.drives == 1).all(), robot.name
        assert (can.room >= 0).all() and (can.closes == (robot.value("tries") > 0)).all(), robot.name


def test_a_lift_raises_by_its_stages():
    """Each stage has 183 mm of way, straight up; a tray at 185 mm; over rim and 10 mm: 714, 452, 452 and 170 mm."""
    for stages in (1, 2, 3):
        stork = build("stork", changes={"lift.stages": str(stages)})
        room = able(Work(stork, Days.good())).room[0]
        high = 0.185 + stages * 0.183
        assert room == pytest.approx([high - 0.714, high - 0.452, high - 0.452, high - 0.170])


# Robot, changes, what is said with {} for a number, and the finding of a mechanism that is this number.
ONE_THING_LESS = {
    "one stage": ("stork", {"lift.stages": "1"}, "the lift rises 183 mm of 529 mm for the rafter", ""),
    "two stages": ("stork", {"lift.stages": "2"}, "the lift rises 366 mm of 529 mm for the rafter", ""),
    "a weak tray": (
        "stork",
        {"tray.squeeze": 1.0},
        "the tray's squeeze over the squeeze needed is {} (at least 1)",
        "tray.holds",
    ),
    "a weak jaw": (
        "swift",
        {"jaw.squeeze": 0.8},
        "the jaw's squeeze over the squeeze needed is {} (at least 1)",
        "jaw.holds",
    ),
    "a servo past its stall": (
        "swift",
        {"jaw.squeeze": 60.0},
        "the jaw's share of the servo's stall torque is {} (at most 35 %)",
        "jaw.share",
    ),
    "an intake that rubs": (
        "stork",
        {"intake.squeeze": 0.009},
        "the intake's friction available / friction needed is {} (at least 1",
        "intake.nip",
    ),
    "a slow intake": (
        "stork",
        {"intake.drive": "slim_planetary_97"},
        "the intake's speed going in / driving speed is {} (at least",
        "intake.ratio",
    ),
    "a low hook": ("stork", {"hook_at": 0.01}, "the hook gets 559 mm of 572 mm high at the bar", ""),
    "hangs too low": (
        "stork",
        {"winch.lift_height": 0.02},
        "the winch's clear under the lowest wheel is {} (at least 30 mm)",
        "winch.clear",
    ),
    "a winch that stalls": (
        "stork",
        {"winch.gearbox": "planetary_4_6"},
        "the winch's torque to spare is {}",
        "winch.spare",
    ),
    "an arm that stalls": ("wren", {"arm.gearbox": "planetary_4_6"}, "the arm never gets up", ""),
    # 220 mm from 40 degrees under level to 95 over it; 452 mm over the floor from 10 mm on.
    "a short arm": ("wren", {"arm.length": 0.22}, "the arm rises 361 mm of 442 mm for the west loom", ""),
    "wheels that do not turn": (
        "wren",
        {"drive.free_wheel": "traction_80", "track": 0.15},
        "it can't turn on the spot: turning needs {} of the drive's push",
        "drive.turns",
    ),
    "tries without a winch": ("wren", {"tasks": ("hoist",)}, "nothing of it lifts the robot at the bar", ""),
}


@pytest.mark.parametrize("name, changes, said, of", ONE_THING_LESS.values(), ids=ONE_THING_LESS)
def test_what_is_missing_costs_points_and_is_named(name, changes, said, of):
    planned = judge("robot", {"which": name})
    less = report_of(name, **{key.replace(".", "__"): value for key, value in changes.items()})
    if of:
        mechanism, _, finding = of.partition(".")
        robot = build(name, changes=changes)
        value = float(np.ravel(Work(robot, Days.good()).findings(mechanism)[finding])[0])
        said = said.format(report_text.number(robot.mechanisms[mechanism].sizing.finding(finding), value))
    assert report_text.verdict(less).startswith(f"Does not work: {said}"), report_text.verdict(less)
    assert not less.works and less.days_in_100 == 0
    costs = 0 if "tasks" in changes else 10  # points; the ramp is as good as lost
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
        f"Does not work: {report.good['points']:.3g} points a match (at least 300 points);"
        f" of each cycle of {cycle.time[0]:.3g} s the drive takes {sum(driving):.3g} s."
    )
    both = report_of("wren", arm__gearbox="planetary_4_6")
    assert both.good_margin["points"] < 0 and both.weakest(bad=False) != "points"


def test_on_a_bad_day_the_mechanism_is_named(tmp_path):
    """A jaw that squeezes 1.05 times as hard as it must on a good day. On a bad day a piece may be 12 % heavier and
    its grip 25 % less: 1.05 * 0.75 / 1.12 = 0.70 is the least. All else is far from its limit: fuse and guard too.
    """
    copy_kit(tmp_path / "kit")
    parts = tmp_path / "kit" / "parts.toml"
    text = parts.read_text(encoding="utf-8")
    for of, firm in (('rating = "15 A"', 'rating = "60 A"'), ('reset_level = "11.0 V"', 'reset_level = "6.0 V"')):
        assert of in text
        text = text.replace(of, firm)
    parts.write_text(text, encoding="utf-8")
    strong = read_kit(tmp_path / "kit")
    needed = Work(build("swift", strong), Days.good()).findings("jaw")["needed"][0]
    robot = build("swift", strong, {"jaw.squeeze": 1.05 * float(needed)})
    report = judge("robot", {"which": "swift", "points_wanted": 0.0}, kit_with(robot))
    assert report.works and not report.works_on_bad_day
    said = report_text.verdict(report)
    assert re.match(
        r"Works on a good day, but only on \d+ of 100 days\. On a bad day the jaw's squeeze over the squeeze needed is"
        r" 0\.[789]\d* \(at least 1\)",
        said,
    ), said
    # It holds by where the thirteenth worst of 256 days lies between the least that works and what is sure.
    days = np.sort(Work(robot, Days.spread(256)).findings("jaw")["holds"])
    least = 1 / robot.mechanisms["jaw"].values["safety"]
    assert report.bad["holds"] == pytest.approx((days[12] - least) / (1 - least), abs=2e-3)


# --- no less ability brings more points -------------------------------------------------------------------------------

SWEPT = {
    ("stork", "lift.stages"): ["3", "2", "1"],
    ("stork", "tray.squeeze"): [5.0, 3.6, 3.2, 2.8, 2.4, 2.0, 1.0],
    ("stork", "intake.squeeze"): [0.003, 0.004, 0.005, 0.006, 0.007, 0.009, 0.012],
    ("stork", "winch.lift_height"): [0.08, 0.06, 0.04, 0.03, 0.02],
    ("swift", "jaw.squeeze"): [4.0, 3.0, 2.5, 2.0, 1.5, 1.0, 0.5],
    ("swift", "held_at"): [0.3, 0.2, 0.1, 0.0],
    ("wren", "held_at"): [0.01, 0.0],
    ("stork", "held_at"): [0.185, 0.1, 0.05, 0.0],
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
    for extra in ({}, {"carries": 1}, {"lift.payload": 0.81 * times}):
        points = [
            report_of(
                "stork", **{key.replace(".", "__"): value for key, value in extra.items()}, lift__stages=stages
            ).good["points"]
            for stages in ("3", "2", "1")
        ]
        assert points[0] > points[1] + 5 and points[1] > points[2] + 5, points


def test_a_robot_that_cannot_drive_scores_nothing():
    good = report_of("wren", drive__free_wheel="traction_80", track=0.15).good
    assert good["drives"] == good["points"] == good["cycles"] == good["end_points"] == 0


def test_strength_warns_and_costs_nothing():
    """A load near the end of what the arm's train may carry: it is named, and points go by time alone."""
    given = {"arm__payload": 2.0, "arm__length": 0.45, "arm__gearbox": "planetary_116"}
    planned, heavy = judge("robot", {"which": "wren"}), report_of("wren", **given)
    arm = judge(
        "arm", build("wren", changes={k.replace("__", "."): v for k, v in given.items()}).mechanisms["arm"].values
    )
    assert planned.good["strength"] < 1 < heavy.good["strength"] == pytest.approx(arm.good["strength"])
    assert "Does not work: the arm's share of the gears' strength is" in report_text.verdict(heavy)
    assert all(heavy.good[one] == planned.good[one] for one in ("takes", "holds", "closes", "drives"))
    lost = planned.good["points"] - heavy.good["points"]
    assert 0 <= lost < 15


# --- other faces ------------------------------------------------------------------------------------------------------


def test_the_league_and_versus_count_what_a_robot_can_do():
    whole, half = build("stork"), build("stork", changes={"lift.stages": "1"})
    found = versus(whole, half)
    assert found.difference > 20 and found.low > 15 and found.wins > 0.9
    assert found.points[1] == pytest.approx(outcome(half).points.mean())
    spoiled = league(kit_with(half))
    assert [robot.name for robot, _ in spoiled][0] == "swift"


def test_on_another_kit_a_piece_is_the_one_of_its_game():
    crane = build("crane", BY_HAND)
    assert crane.mechanisms["hand"].values["piece_mass"] == BY_HAND.roles.piece.mass
    assert crane.mechanisms["hand"].values["piece_width"] == BY_HAND.roles.piece.width
    assert "closes" in report_of("crane", BY_HAND).good

"""A whole robot: its sums beside sums by hand, the chain from one gear to the match score, and the planted
conflicts.
"""

import math
import re
import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.engine import report_text
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.spec import DRIVES
from mechbench.kits import copy_kit, kit
from mechbench.kits.load import read_kit
from mechbench.kits.robots import FILE, read_robots
from mechbench.mechanisms.chained.sizing import pair_of
from mechbench.physics import chained, match
from mechbench.whole_robot import sizing as whole
from mechbench.whole_robot.ability import able
from mechbench.whole_robot.body import FOLDED, RAISED, body_of, counts
from mechbench.whole_robot.build import build, kit_with, robots
from mechbench.whole_robot.compare import counts_most, league, versus
from mechbench.whole_robot.score import cycle_of, play, rules_of
from mechbench.whole_robot.sizing import DURING, raise_when
from mechbench.whole_robot.work import Days, Work, power
from tests.published import RECOMPUTED, check

HAND = "sums by hand from the plan: masses, levers, chords and Ohm's law as in OpenStax University Physics"


def printed_masses(name):
    """Masses of a robot's parts as its file prints them, in kg, read apart."""
    text = (Path(kit().folder) / "robots.toml").read_text(encoding="utf-8")
    for part in tomllib.loads(text)["robots"][name]["parts"].values():
        number, unit = part["mass"].split()
        yield float(number) * {"kg": 1.0, "g": 1e-3}[unit]


@pytest.fixture
def stork():
    return build("stork")


def good(robot):
    return Work(robot, Days.good())


# --- beside sums by hand --------------------------------------------------------------------------------------------


def test_mass_and_centre_are_the_weighted_mean_of_the_parts(stork):
    parts = stork.plan.parts.values()
    centre = body_of(stork).stance.centre
    mass = sum(part["mass"] for part in parts)
    check(
        "balance",
        "whole robot: height of the centre of gravity [m]",
        centre.z,
        sum(p["mass"] * p["at"][2] for p in parts) / mass,
        1e-12,
        HAND,
        RECOMPUTED,
    )
    assert centre.mass == pytest.approx(sum(printed_masses("stork")))
    assert centre.mass_sd == pytest.approx(np.sqrt(sum((p["mass_off"] * p["mass"]) ** 2 for p in parts)))


def test_braking_raised_is_g_times_lever_over_height(stork):
    stance = body_of(stork, RAISED).stance
    lever = stork.value("wheelbase") / 2 - abs(stance.centre.x)  # ahead or back, the shorter one
    check(
        "balance",
        "whole robot: braking before it tips [m/s2]",
        stance.braking,
        9.80665 * lever / stance.centre.z,
        1e-9,
        HAND,
        RECOMPUTED,
    )
    assert stance.braking < body_of(stork, FOLDED).stance.braking


def test_sag_is_current_times_resistance(stork):
    work = good(stork)
    cycle = cycle_of(work)
    found = power(work, cycle.steps, cycle.times)
    battery = kit().battery
    check(
        "battery",
        "whole robot: sag at the highest current [V]",
        battery.open_circuit - found.volts[0],
        battery.resistance * found.peak[0],
        1e-12,
        HAND,
        RECOMPUTED,
    )
    motors = sum(float(np.ravel(one)[0]) for one in found.draws.values())
    assert found.all_on[0] == pytest.approx(motors + found.rest[0]) and found.rest[0] > kit().controller.electronics
    assert found.peak[0] < found.all_on[0]


def test_two_that_run_at_once_add_their_currents():
    """The simplest one, which has no servos: drive, arm and electronics."""
    plain = build("wren")
    both = plain.with_changes(raise_when(plain, DURING))
    apart, together = (
        power(work, c.steps, c.times) for work, c in ((w, cycle_of(w)) for w in (good(plain), good(both)))
    )
    assert set(together.together) == {"way", "raise"}
    work, way = good(both), both.plan.steps["way"]
    drive, arm = work.run(work.way(way), way["pose"])[1][0], float(np.ravel(together.draws["arm"])[0])
    always = kit().controller.electronics + plain.value("more_current")
    assert together.peak[0] == pytest.approx(drive + arm + always, rel=0.02)
    assert drive <= float(np.ravel(together.draws["drive"])[0]), "raised, its driver does not drive harder"
    assert together.volts[0] < apart.volts[0]


def limited(folder, amps):
    """The course's own kit, each drive of its robots limited to so much a motor."""
    copy_kit(folder)
    file = folder / FILE
    plan = re.sub(r"start_limit = .*", "", file.read_text(encoding="utf-8"))
    file.write_text(
        plan.replace('sizing = "drivetrain"\n', f'sizing = "drivetrain"\nstart_limit = "{amps} A"\n'), "utf-8"
    )
    return read_kit(folder)


def test_a_plan_may_limit_the_current_of_its_drive_motors(tmp_path):
    """3 A a motor, in the robots' file: its runs draw less, sag less and take longer."""
    kits = limited(tmp_path / "free", 10), limited(tmp_path / "held", 3)
    for planned in kit().robots:
        robots_of = [build(planned.name, one) for one in kits]
        (drive,) = robots_of[1].of_role(DRIVES)
        assert drive.values["start_limit"] == 3.0
        before, after = (whole.judged(robot, Days.good()) for robot in robots_of)
        number = int(drive.values["count"])
        assert after["drive_draws"][0] <= 3.0 * number * (1 + 1e-9) < before["drive_draws"][0]
        assert after["volts"][0] >= before["volts"][0] and after["time"][0] > before["time"][0]


def test_the_cycle_is_the_longest_way_through_its_steps(stork):
    cycle = cycle_of(good(stork))
    time = dict(zip([step.name for step in cycle.steps], cycle.times[0]))
    first = sum(time[f"{name}{piece}"] for name in ("find", "take", "hand_on") for piece in ("", " (2)", " (3)"))
    first += time["way"] + time["traffic"]
    last = sum(time[name] for name in ("let_go", "let_go (2)", "let_go (3)", "lower", "back"))
    by_hand = first + max(time["raise"], time["line_up"]) + last
    # Drawn, people's steps vary: where raising is sometimes the longer one, the mean is a little above the sum of the
    # means.
    check("cycle", "whole robot: mean time of a cycle [s]", cycle.time[0], by_hand, 0.03, HAND, RECOMPUTED)
    alone = cycle_of(good(stork), people=False)
    raised = sum(alone.times[0]) - min(
        dict(zip([s.name for s in alone.steps], alone.times[0]))[name] for name in ("raise", "line_up")
    )
    assert alone.time[0] == pytest.approx(raised)


def test_steps_get_their_times_from_the_mechanisms(stork):
    """A lift moves at 0.75 of the quickest pace, as a program plans it; every move settles for 0.2 s; pieces stream."""
    cycle = cycle_of(good(stork))
    times = dict(zip([step.name for step in cycle.steps], cycle.times[0]))
    lift = stork.mechanisms["lift"]
    assert times["raise"] == pytest.approx(judge("lift", lift.values).good["time"] / 0.75 + 0.2)
    assert times["lower"] == pytest.approx(judge("lift", lift.values).good["time_down"] / 0.75 + 0.2)
    tray, intake = (judge(stork.mechanisms[one].sizing, stork.mechanisms[one].values) for one in ("tray", "intake"))
    assert times["let_go"] == pytest.approx(tray.good["time"] + 0.2)
    assert times["hand_on"] == pytest.approx(intake.good["period"])
    drive = stork.mechanisms["drive"].values | {
        "mass": body_of(stork).stance.centre.mass,
        "height": body_of(stork).stance.centre.z,
        "wheelbase": stork.value("wheelbase"),
        "track": stork.value("track"),
        "distance": stork.plan.steps["way"]["drive"],
    }
    assert times["way"] == pytest.approx(judge("drivetrain", drive).good["time"] + 0.2, rel=0.02)


# --- the chain ------------------------------------------------------------------------------------------------------


def test_one_gear_of_the_lift_changes_the_match_score(stork):
    def points(box):
        report = judge("robot", {"which": "stork", "raise_gearbox": box})
        return report.good["points"], report.good["time"]

    quick, slow = points("planetary_12"), points("planetary_56")
    assert points("as_planned") == quick
    assert slow[1] > quick[1] + 0.5
    assert slow[0] < quick[0] - 3


def test_a_stalling_arm_scores_nothing_but_the_start_and_the_end():
    found = judge("robot", {"which": "wren", "raise_gearbox": "planetary_4_6"}).good
    assert found["spare"] < 0 and found["time"] == np.inf
    assert found["points"] == pytest.approx(found["end_points"])


def test_every_row_of_the_sizing_is_one_robot_on_one_day():
    report = judge("robot", {"which": "swift"})
    again = judge("robot", {"which": "swift"})
    assert report.good == again.good and report.bad == again.bad
    assert report.bad["points"] < report.good["points"]


def test_what_is_kept_is_what_would_be_found_anew():
    kept = judge("robot", {"which": "swift", "points_wanted": 100})
    again = judge("robot", {"which": "swift", "points_wanted": 110})
    whole._found.cache_clear()
    fresh = judge("robot", {"which": "swift", "points_wanted": 110})
    assert again.good == fresh.good == kept.good and again.bad == fresh.bad
    assert judge("robot", {"which": "swift", "tries": "0"}).good["points"] != fresh.good["points"]


# --- planted conflicts ----------------------------------------------------------------------------------------------


def test_the_footbridge_sends_the_tall_the_long_way_round():
    """310 mm are clear. Two are lower, folded; one is not, and its plan goes where no footbridge is."""
    under = {robot.name: good(robot).passes(kit().roles.low.name, FOLDED) for robot in robots()}
    assert under == {"wren": True, "stork": True, "swift": False}
    low, tall = build("wren"), build("wren", changes={"way.pose": RAISED})
    way = low.plan.steps["way"]
    assert good(low).way(way) == pytest.approx(way["drive"])
    assert good(tall).way(tall.plan.steps["way"]) == pytest.approx(way["drive"] + 2.3)


def test_a_raised_robot_must_brake_gently_and_goes_round_the_footbridge(stork):
    both = stork.with_changes(raise_when(stork, DURING))
    assert both.plan.steps["way"]["pose"] == RAISED
    assert good(both).way(both.plan.steps["way"]) > good(stork).way(stork.plan.steps["way"])
    work = good(stork)
    assert work.run(2.0, RAISED)[0][0] > work.run(2.0, FOLDED)[0][0]


def test_raising_while_driving_saves_no_more_than_the_raising():
    """Nothing else may slip past the way to the goal: who waited for the raised arm still waits for the drive and
    the traffic.
    """
    for robot in robots():
        raising = next(step for step in cycle_of(good(robot)).steps if step.name == "raise")
        both = robot.with_changes(raise_when(robot, DURING))
        apart, together = (cycle_of(good(one), people=False) for one in (robot, both))
        time = dict(zip([step.name for step in apart.steps], apart.times[0]))[raising.name]
        slower = good(both).step(both.plan.steps["way"])[0][0] - good(robot).step(robot.plan.steps["way"])[0][0]
        assert together.time[0] >= apart.time[0] + slower - time - 1e-9, robot.name


def test_everything_at_once_on_a_tired_battery_resets_the_electronics():
    """All is as it was but for what always draws: so much that the level lies between both ways to raise."""
    ways, level = ("as_planned", "during"), kit().controller.reset_level
    alone, both = (judge("robot", {"which": "wren", "raising": way}).bad["volts"] for way in ways)
    assert alone > both + 0.2
    amps = ((alone + both) / 2 - level) / kit().battery.resistance_worn
    assert amps > 0
    hungry = kit_with(build("wren", changes={"more_current": float(amps)}))
    planned, at_once = (judge("robot", {"which": "wren", "raising": way, "points_wanted": 0}, hungry) for way in ways)
    assert planned.bad["volts"] > level > at_once.bad["volts"]
    assert not at_once.works_on_bad_day


def test_the_chained_arm_is_hardest_where_it_is_folded():
    chain = sizing_of("chained")
    tables = Tables(chain)
    given = {"start_angle": "2 deg", "end_angle": "175 deg", "second_angle": "274 deg", "payload": "0.72 kg"}
    given |= {"base": "chain_18", "elbow": "chain_9"}  # for each degree up the second link turns one back
    values = complete(chain, given, tables)
    x = columns(chain, values, tables)
    pair, found = pair_of(x), chain.solve(x)
    # The second link, at 274 deg + k a, points back along the first where that is a + 180 deg.
    level, further = (np.degrees(chained.angles(pair, np.radians(a))[1])[0, 0] for a in (0.0, 10.0))
    folded = (274 - 180) / (1 - (further - level) / 10)
    assert level == pytest.approx(274) and 20 < folded < 100
    assert np.degrees(chained.angles(pair, np.radians(folded))[1])[0, 0] == pytest.approx(180 + folded)
    there = chained.torque(pair, np.radians(folded))[0, 0]
    at_the_ends = [chained.torque(pair, values[end])[0, 0] for end in ("start_angle", "end_angle")]
    assert there > 0.97 * found["worst_torque"][0] and there > 1.2 * max(np.abs(at_the_ends))


def test_all_that_is_on_counts_in_the_sag(tmp_path):
    """Of the battery's sag on a good day a part is electronics, intake and servos, which once were left out: more than
    the electronics alone, and less than all that is on but the drive.
    """
    copy_kit(tmp_path / "kit")
    parts = tmp_path / "kit" / "parts.toml"  # with a guard that acts at once: it sees each instant
    parts.write_text(re.sub(r"reset_after = .*", "", parts.read_text(encoding="utf-8")), "utf-8")
    report = judge("robot", {"which": "stork"}, read_kit(tmp_path / "kit")).good
    motors_alone = kit().battery.open_circuit - kit().battery.resistance * report["drive_draws"]
    others = report["all_on"] - report["drive_draws"]
    more = (motors_alone - report["volts"]) / kit().battery.resistance
    assert kit().controller.electronics < more < others
    assert report["all_on"] == pytest.approx(
        sum(report[one] for one in ("drive_draws", "raise_draws", "hang_draws", "others_draw", "rest_draws"))
    )


def test_what_runs_beside_a_step_is_named_rightly(stork):
    with pytest.raises(ValueError, match="beside has 'intak', which is no mechanism that runs beside; .*intake"):
        stork.with_changes({"take.beside": ("intak",)})
    with pytest.raises(ValueError, match="beside has 'drive'"):
        stork.with_changes({"take.beside": ("drive",)})


def test_a_motor_too_many_is_flagged(stork):
    more = stork.with_changes({"lift.count": "2"})
    assert counts(stork).motors == kit().roles.limits.motors == 7
    assert counts(more).motors == 8
    assert judge("robot", {"which": "stork"}).good_margin["motors"] > 0


def test_no_hanging_when_the_winch_does_not_hold(stork):
    loose = stork.with_changes({"winch.ratchet": "none"})
    assert able(good(stork)).closes[0] == 1 and able(good(loose)).closes[0] == 0


# --- matches --------------------------------------------------------------------------------------------------------


def test_groups_of_matches_have_the_same_luck():
    rules, robot = (
        match.Rules(30.0, 150.0, 30.0, (4.0,), (math.inf,), tried_points=20.0),
        match.Robot(cycle=(6.0, 8.0, 14.0), capacity=2, success=0.8, jam=0.2, jam_time=(3.0, 5.0, 9.0), leave=5.0),
    )
    one = match.simulate(rules, robot, 500, seed=4)
    three = match.simulate(rules, robot, 1500, seed=4, groups=3)
    assert np.array_equal(three.points.reshape(3, 500), np.tile(one.points, (3, 1)))
    with pytest.raises(ValueError, match="multiple of groups"):
        match.simulate(rules, robot, 1000, groups=3)


def test_a_slower_robot_scores_less_in_every_league():
    table = league()
    means = [outcome.points.mean() for _, outcome in table]
    assert means == sorted(means, reverse=True) and len(table) == len(kit().robots)


def test_a_paired_comparison_is_fair_and_the_same_every_time(stork):
    same = versus(stork, stork)
    assert same.difference == 0 and same.draws == 1
    first, second = versus("stork", "wren"), versus("wren", "stork")
    assert first.difference == pytest.approx(-second.difference)
    assert first.low < first.difference < first.high
    assert versus("stork", "wren").wins == first.wins


def test_what_counts_most_is_sorted_and_each_input_moves_the_right_way(stork):
    found = counts_most(stork, matches=400)
    assert [one.width for one in found] == sorted((one.width for one in found), reverse=True)
    by_name = {one.name: one for one in found}
    assert by_name["pieces that end in the goal"].low < by_name["pieces that end in the goal"].high
    find = by_name[f"people: {kit().roles.people.find.label}"]
    assert find.low > find.high


def test_rules_are_those_of_the_game():
    rules = rules_of(build("stork"))
    assert (rules.driven, rules.closing, rules.tried_points, rules.left_points) == (165.0, 40.0, 19.0, 6.0)
    assert rules.goal_points == (2.0, 5.0, 4.0, 7.0, 4.0, 1.0)
    assert rules.goal_caps == (np.inf, 14.0, 10.0, 9.0, 12.0, 1.0)


def test_days_agree_with_one_day_at_a_time(stork):
    days = Days.spread(3)
    together = play(Work(stork, days), 100)[1].points.reshape(3, 100)
    for row in range(3):
        alone = play(Work(stork, Days(days.fractions[row])), 100)[1].points
        assert np.array_equal(alone, together[row])


def test_the_sizing_is_listed():
    assert sizing_of("robot").NAME == "robot"


ON_A_SERVO = """
[robots.probe]
label = "Probe"
wheelbase = "300 mm"
track = "340 mm"
mass = "7 kg"
goals = ["hamper"]
[robots.probe.mechanisms.drive]
sizing = "drivetrain"
[robots.probe.mechanisms.hook]
sizing = "scissor"
drive = "strong"
load = "0.1 kg"
cells = 2
[robots.probe.steps]
way = { drive = "2 m" }
up = { mechanism = "hook", after = ["way"] }
"""


def test_a_mechanism_on_servos_that_never_arrives_draws_nothing_from_the_battery(tmp_path):
    """The scissor's servo stalls under 5 kg: its time is "never", and the sums of currents stay numbers."""
    (tmp_path / FILE).write_text(ON_A_SERVO, encoding="utf-8")
    probe = build("probe", replace(kit(), robots=read_robots(tmp_path), digest="on a servo"))
    stuck = probe.with_changes({"hook.load": 5.0})
    work = Work(stuck, Days.good())
    assert np.isfinite(good(probe).findings("hook")["time"]).all()
    assert not np.isfinite(work.findings("hook")["time"]).any()
    found, usual = whole.judged(stuck, Days.good()), whole.judged(probe, Days.good())
    assert found["all_on"] == pytest.approx(usual["all_on"]) and found["others_draw"] == pytest.approx(
        usual["others_draw"]
    )


@pytest.mark.parametrize("which, good, bad", [("stork", True, True), ("swift", True, True), ("wren", True, False)])
def test_what_is_asked_of_a_match_as_usual_tells_robots_apart(which, good, bad):
    """The plainest robot makes that on a good day alone, the others on a bad day too."""
    report = judge("robot", {"which": which})
    assert (report.good_margin["points"] >= 0, report.bad_margin["points"] >= 0) == (good, bad)


@pytest.mark.parametrize("which", ["stork", "wren"])
def test_what_can_not_be_better_is_not_called_near_to_its_limit(which):
    """All pieces are taken in and held: 100 % of at least 90 %, the least margin of all, and nothing to worry about."""
    report = judge("robot", {"which": which, "points_wanted": 0.0})
    assert report.bad["takes"] == report.bad["holds"] == 1
    full = pytest.approx((1 - 0.9) / 0.9)
    assert report.bad_margin["takes"] == report.bad_margin["holds"] == full
    named = report.weakest()
    others = [margin for name, margin in report.bad_margin.items() if name not in ("takes", "holds")]
    assert named not in ("takes", "holds") and report.bad_margin[named] == min(others)
    assert "pieces" not in report_text.verdict(report) and "pieces" not in report_text.bad_day_line(report)

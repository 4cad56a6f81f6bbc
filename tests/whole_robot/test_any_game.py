"""What a game may have besides shelves, a beam and a bar, by hand: ramps, launch goals, bonuses, obstacles, no limits.

The robots are those of test_by_hand, the game is that of by_hand_kit with other tables. What the drivetrain's own
sizing finds (its steepest slope, the time of a run) is held elsewhere; here the game's numbers are set beside it.
"""

import copy
import math
import re

import numpy as np
import pytest

from mechbench import quantity
from mechbench.benches import page
from mechbench.desk import review
from mechbench.engine import report_text
from mechbench.kits import KitError
from mechbench.whole_robot.ability import able
from mechbench.whole_robot.build import build
from mechbench.whole_robot.reasons import reason
from mechbench.whole_robot.score import play, rules_of
from mechbench.whole_robot.together import Together
from mechbench.whole_robot.work import Days, Work
from tests.desk.asked import ask
from tests.mechanisms.by_hand_handling import BY_HAND, altered_kit, judged, some_agree
from tests.whole_robot.test_by_hand import BALL, BARROW, DRIVEN, IDLE, PARK, PROBE, ROUND, alone, changed, file_of

GAME = (BY_HAND / "game.toml").read_text(encoding="utf-8")
FOLDED = 0.25  # m: the barrow's balls end there
STEADY_CYCLE = 1.4 + 1.3  # s, of IDLE: find and line up, always as usual
USUAL = re.compile(r'low = ".*"\nlikely = (".*")\nhigh = ".*"')
STEADY = USUAL.sub(r"low = \1\nlikely = \1\nhigh = \1", GAME)


def without(text, *tables):
    """A game's text without these tables and all their entries."""
    for name in tables:
        text = re.sub(rf"(?ms)^\[{name}[\].].*?(?=^\[(?!{name}[\].])|\Z)", "", text)
        assert f"[{name}" not in text
    return text


def entry(table, name, **values):
    """One entry as game.toml has it; numbers stay numbers, texts get their quotes."""
    shown = lambda one: (
        f'"{one}"'
        if isinstance(one, str)
        else f"[{', '.join(map(shown, one))}]"
        if isinstance(one, list)
        else repr(one)
    )
    lines = [f"{key} = {shown(value)}" for key, value in ({"label": name} | values).items()]
    return "\n".join([f"[{table}.{name}]", *lines]) + "\n"


@pytest.fixture
def kit_of(tmp_path):
    """Give a function that makes a kit with this game and these robots."""

    def make(game, **plans):
        folder = tmp_path / str(len(list(tmp_path.iterdir())))
        folder.mkdir()
        return altered_kit(folder, game=game, robots=file_of(**plans))

    return make


def good(kit, which="one", **given):
    return judged("robot", kit, which=which, points_wanted=0.0, **given).good


def why(kit, finding):
    """The reason that is told where a finding fails."""
    return reason(Work(build("one", kit), Days.good()), finding)


def no_nan(report):
    numbers = [*report.good.values(), *report.bad.values(), *report.good_margin.values(), *report.bad_margin.values()]
    numbers += [report.joint_margin, *(number for _, number in report.hurts), *report.missed_days.values()]
    return not np.isnan(numbers).any()


# --- closing tasks --------------------------------------------------------------------------------------------------


TRIES = changed(BARROW, tries=1, closing_chance=1.0)
NO_CLOSING = without(STEADY, "closing")
ZONE = entry("closing", "park", kind="zone", points=5, way="1.4 m", instead_of=["slope"])


def slope_of(plan, kit):
    """The steepest slope of a plan's drivetrain, folded, as its own sizing has it for the plan's mass and balance."""
    here = Work(build("one", kit), Days.good()).bodies["folded"].stance.centre
    wheels = {key: value for key, value in plan["mechanisms"]["wheels"].items() if key != "sizing"}
    own = {key: plan["values"][key] for key in ("wheelbase", "track")}
    return alone("drivetrain", kit, **wheels, **own, mass=here.mass, height=here.z)["slope"]


def ramp(degrees, **more):
    return entry("closing", "slope", kind="ramp", points=12, way="1.4 m", slope=f"{degrees!r} deg", **more)


def test_a_ramp_is_climbed_up_to_the_drivetrains_steepest_slope(kit_of):
    most = math.degrees(slope_of(TRIES, kit_of(GAME, one=TRIES)))
    assert 1 < most < 50
    for share, closes, end in ((0.99, 1.0, 12.0), (1.01, 0.0, 0.0)):
        found = good(kit_of(NO_CLOSING + ramp(share * most), one=TRIES))
        assert (found["closes"], found["end_points"]) == (closes, end), share


def test_what_is_left_where_the_ramp_is_too_steep(kit_of):
    game = NO_CLOSING + ramp(59.0) + ZONE
    assert good(kit_of(game, one=TRIES))["end_points"] == 5.0
    assert good(kit_of(game, one=changed(TRIES, tasks=("slope",))))["end_points"] == 0.0
    kit = kit_of(game, one=TRIES)
    assert why(kit, "closes") == f"it does not climb {quantity.show(math.radians(59), 'deg')}"
    assert no_nan(judged("robot", kit, which="one", points_wanted=0.0))


@pytest.mark.parametrize("clear, closes", [(0.251, 1.0), (0.249, 0.0)])
def test_a_ramp_under_something_asks_for_a_low_robot(clear, closes, kit_of):
    game = NO_CLOSING + ramp(2.0, clear_height=f"{1000 * clear:g} mm")
    kit = kit_of(game, one=TRIES)
    assert good(kit)["closes"] == closes and good(kit)["end_points"] == 12 * closes
    said = f"it is {1000 * FOLDED:g} mm high, and over the ramp there are {1000 * clear:g} mm"
    assert closes or why(kit, "closes") == said


def test_each_day_climbs_by_its_own_grip_and_each_robot_by_its_own_gears(kit_of):
    """A slope between the least and the most of all days: some days climb it. Robots solved together are each alone."""
    kit = kit_of(GAME, one=TRIES)
    days = Days.spread(16)
    slopes = Work(build("one", kit), days).findings("wheels")["slope"]
    assert slopes.min() < slopes.max()
    between = math.degrees((slopes.min() + slopes.max()) / 2)
    kit = kit_of(NO_CLOSING + ramp(between), one=TRIES)
    robots = [
        build("one", kit, changes) for changes in ({}, {"wheels.gearbox": "turn_5"}, {"wheels.gearbox": "turn_14"})
    ]
    alone_each = [able(Work(robot, days)).closes for robot in robots]
    assert 0 < alone_each[0].sum() < 16
    assert np.array_equal(able(Together(robots, days)).closes, np.concatenate(alone_each))


def test_what_counts_besides_is_added(kit_of):
    flag = entry("closing", "flag", kind="zone", points=3, way="1 m")
    game = NO_CLOSING + ramp(2.0) + ZONE + flag
    both = changed(TRIES, besides="flag", besides_chance=1.0)
    assert good(kit_of(game, one=both))["end_points"] == 12 + 3
    assert good(kit_of(game, one=changed(both, closing_chance=0.0)))["end_points"] == 5 + 3
    assert good(kit_of(game, one=changed(both, besides_chance=0.0)))["end_points"] == 12
    with pytest.raises(KitError, match="besides is 'park', which the game does not score besides 'slope'"):
        build("one", kit_of(game, one=changed(TRIES, tasks=("slope", "flag"), besides="park")))
    with pytest.raises(KitError, match="besides is 'flag', which the game does not score besides 'flag'"):
        build("one", kit_of(game, one=changed(TRIES, tasks=("slope", "flag"), besides="flag")))


def test_one_task_is_never_counted_twice(kit_of):
    """The best that is left is the one that is done besides: then the next best is left."""
    flag = entry("closing", "flag", kind="zone", points=9, way="1 m")
    game = NO_CLOSING + ramp(59.0) + ZONE.replace('instead_of = ["slope"]\n', "") + flag
    both = changed(TRIES, besides="flag", besides_chance=1.0)
    assert good(kit_of(game, one=TRIES))["end_points"] == 9
    assert good(kit_of(game, one=both))["end_points"] == 9


def test_tries_that_are_picked_do_not_change_what_it_can_do(kit_of):
    """The same robot with and without tries, asked one after the other, either way."""
    for order in (("1", "0"), ("0", "1")):
        kit = kit_of(GAME.replace('"Lantern Yard"', f'"{order}"'), one=PROBE)
        found = {tries: good(kit, tries=tries) for tries in order}
        assert found["0"]["closes"] == found["1"]["closes"] == 1
        assert (found["0"]["end_points"], found["1"]["end_points"]) == (PARK, 18)


def test_without_closing_tasks_nothing_is_scored_at_the_end(kit_of):
    kit = kit_of(NO_CLOSING, one=TRIES, two=BARROW)
    report = judged("robot", kit, which="one", points_wanted=0.0)
    assert report.good["end_points"] == good(kit, "two")["end_points"] == 0
    assert why(kit, "closes") == "the game has no closing task for it to try" and no_nan(report)
    assert judged("robot", kit, which="two", points_wanted=0.0).good_margin["closes"] == 1


# --- goals and bonuses ----------------------------------------------------------------------------------------------


TOWER = entry(
    "goals", "tower", kind="launch", height="100 mm", points=9, way="1.4 m", distance=["0.5 m", "3 m"]
)  # lower than any robot here raises


def test_a_launch_goal_brings_nothing_to_a_robot_that_launches_nothing(kit_of):
    kit = kit_of(
        STEADY + TOWER,
        one=changed(PROBE, goals=("tower",)),
        step=changed(PROBE, goals=("step",)),
        both=changed(PROBE, goals=("tower", "step")),
    )
    report = judged("robot", kit, which="one", points_wanted=0.0)
    assert report.good["pieces"] == 0 and report.good["points"] == report.good["end_points"]
    assert report.good["reaches"] == -math.inf and not report.works and no_nan(report)
    said = "pieces are launched into the tower, and nothing of the robot launches"
    assert report_text.verdict(report) == f"Does not work: {said}."
    step, both = good(kit, "step"), judged("robot", kit, which="both", points_wanted=0.0)
    assert both.good["points"] == step["points"] and both.good["pieces"] == step["pieces"] > 0
    assert said in report_text.verdict(both)


def test_two_goals_of_one_height_fill_one_after_the_other(kit_of):
    """38 cycles of 2.7 s fit into 105 s; 20 pieces fill the step at 2 points, the next 10 its twin at 5."""
    assert math.floor((DRIVEN - 10) / STEADY_CYCLE) == 38
    twin = entry("goals", "twin", kind="shelf", height="150 mm", rim="20 mm", points=5, capacity=10, way="1 m")
    kit = kit_of(STEADY + twin, one=changed(IDLE, goals=("step", "twin")), two=changed(IDLE, goals=("twin", "step")))
    for which in ("one", "two"):
        some_agree(judged("robot", kit, which=which), {"pieces": 30, "points": 20 * 2 + 10 * 5 + PARK, "cycles": 30})
    roof = entry("goals", "attic", kind="shelf", height="810 mm", points=10, way="1 m")
    assert kit_of(STEADY + roof, one=IDLE).roles.highest.name == "attic", "of two as high, the one with more points"
    assert kit_of(STEADY + roof.replace("10", "9", 1), one=IDLE).roles.highest.height == 0.81


SETS = entry("bonuses", "colours", kind="set", goals=["step"], points=4, need=3)
ENOUGH = entry("bonuses", "enough", kind="threshold", goals=["step", "sill"], points=7, need=20)
EACH = entry("bonuses", "each", kind="each", goals=["step", "sill"], points=3, need=6)
MORE = entry("bonuses", "more", kind="factor", goals=["step"], factor=1.5, need=10)


@pytest.mark.parametrize(
    "game, values, extra",
    [
        (SETS, dict(sorted=1.0), 6 * 4),  # 20 pieces, each of a colour that its set lacks: 6 sets of 3
        (SETS, dict(sorted=0.0), 0),
        (ENOUGH, {}, 7),
        (ENOUGH.replace("need = 20", "need = 21"), {}, 0),
        (EACH, {}, 3 * 3),  # 20 pieces: three times six
        (EACH.replace("need = 6", "need = 21"), {}, 0),
        (MORE, {}, 0.5 * 20 * 2),
        (MORE.replace("need = 10", "need = 20"), {}, 0.5 * 20 * 2),
        (MORE.replace('goals = ["step"]', 'goals = ["roof"]'), {}, 0),
        (SETS + ENOUGH + EACH + MORE, dict(sorted=1.0), 24 + 7 + 9 + 20),
    ],
)
def test_bonuses_in_a_whole_robots_points(game, values, extra, kit_of):
    """The robot of people alone fills the step with 20 pieces of 2 points, and parks."""
    kit = kit_of(STEADY + game, one=changed(IDLE, **values))
    found = good(kit)
    assert found["pieces"] == 20 and found["points"] == pytest.approx(20 * 2 + extra + PARK, rel=1e-12)


def test_a_factor_counts_on_what_was_doubled_already(kit_of):
    """4 pieces while self-driving at 1.5 times 2 points, 16 later: all of it times 1.5."""
    kit = kit_of(STEADY + MORE, one=changed(IDLE, start_pieces=4, start_success=1.0))
    assert good(kit)["points"] == pytest.approx(1.5 * (4 * 1.5 * 2 + 16 * 2) + PARK, rel=1e-12)


# --- pieces and people ----------------------------------------------------------------------------------------------


BRICK = entry("pieces", "brick", shape="box", length="120 mm", width="58 mm", height="40 mm", mass="90 g", count=8)
PILE = entry("places", "pile", kind="stack", pieces=["brick"], way="1 m")
GRIPS = copy.deepcopy(IDLE)
GRIPS["mechanisms"]["hand"] = dict(sizing="gripper")


def test_a_robot_may_take_another_piece_than_the_usual_one(kit_of):
    """Its jaws get the brick's size and mass; of 8 bricks no more than 8 are scored."""
    kit = kit_of(STEADY + BRICK + PILE, one=GRIPS, two=changed(GRIPS, pieces=("brick",)))
    hands = [build(which, kit).mechanisms["hand"].values for which in ("one", "two")]
    assert [hand["piece_mass"] for hand in hands] == [BALL["piece_mass"], 0.090]
    assert [hand["piece_width"] for hand in hands] == [BALL["piece_diameter"], 0.058]
    assert rules_of(build("one", kit)).pieces == 60 and rules_of(build("two", kit)).pieces == 8
    assert good(kit, "two")["pieces"] == 8 * good(kit, "two")["holds"]
    balls_only = STEADY.replace('label = "first step"\n', 'label = "first step"\ntakes = ["ball"]\n')
    with pytest.raises(KitError, match="goals has 'step', which takes ball, but the robot takes brick"):
        build("two", kit_of(balls_only + BRICK + PILE, two=changed(GRIPS, pieces=("brick",))))


def test_a_game_without_pieces_is_played_for_its_closing_task(kit_of):
    game = without(STEADY, "pieces", "places", "goals", "bonuses")
    plan = changed(IDLE, goals=(), carries=1)
    report = judged("robot", kit_of(game, one=plan), which="one", points_wanted=0.0)
    assert report.good["pieces"] == report.good["cycles"] == 0 and report.good["points"] == PARK
    assert report.good["reaches"] == math.inf and no_nan(report) and report.works


def test_in_a_game_of_closing_tasks_alone_a_robot_tries_the_one_and_is_left_with_the_other(kit_of):
    """Of 4 tries 3 work, for 12 points; else 5 are left: 0.75 x 12 + 0.25 x 5 on average. No other role is there."""
    game = without(STEADY, "pieces", "places", "goals", "bonuses", "closing", "obstacles")
    game += entry("closing", "slope", kind="ramp", points=12, way="1.5 m", slope="9 deg", length="0.9 m")
    game += entry("closing", "mat", kind="zone", points=5, way="1.2 m")
    plan = changed(BARROW, goals=(), tries=1, closing_chance=0.75, leave=20.0)
    plan |= {"steps": {"way": dict(drive=1.0)}, "closing": {"up": dict(drive=1.0)}}
    kit = kit_of(game, one=plan)
    roles, robot = kit.roles, build("one", kit)
    assert {roles.piece, roles.best, roles.first, roles.highest, roles.hang, roles.pair} == {None}
    assert (robot.tried.name, robot.left.name) == (roles.ramp.name, roles.zone.name) == ("slope", "mat")
    report = judged("robot", kit, which="one", points_wanted=0.0)
    off = (12 - 5) * math.sqrt(0.75 * 0.25 / 4000)  # one standard deviation of the mean of 4000 matches
    points = play(Work(robot, Days.good()), 4000)[1].points
    assert set(points) == {5.0, 12.0} and points.mean() == pytest.approx(0.75 * 12 + 0.25 * 5, abs=4 * off)
    assert report.good["pieces"] == 0 and report.good["closes"] == 1 and no_nan(report)


def test_a_robot_that_serves_no_goal_scores_no_piece(kit_of):
    found = good(kit_of(STEADY, one=changed(IDLE, goals=())))
    assert found["pieces"] == 0 and found["points"] == PARK


def test_a_game_without_steps_of_people(kit_of):
    """Cycles are as long as the moves; a jam costs no time that anybody has measured."""
    game = without(GAME, "human")
    turns = {**IDLE, "mechanisms": {"flap": PROBE["mechanisms"]["flap"]}, "steps": {"turn": dict(mechanism="flap")}}
    kit = kit_of(game, one=turns, two=changed(turns, jam=0.5))
    usual, jammed = good(kit), good(kit, "two")
    flap = alone("linkage", kit, drive=PROBE["mechanisms"]["flap"]["drive"])
    assert usual["time"] == jammed["time"] == pytest.approx(flap["time"], rel=1e-7)
    assert usual["points"] == jammed["points"] == 20 * 2 + PARK
    assert no_nan(judged("robot", kit, which="two", points_wanted=0.0))
    with pytest.raises(KitError, match="find"):
        build("one", kit_of(game, one=PROBE))


# --- obstacles ------------------------------------------------------------------------------------------------------


NO_BEAM = without(STEADY, "obstacles")
RADIUS, GRIP = 0.042, 1.1  # m, and sticky wheels on carpet: [wheels.sticky_84], [friction]


def on_the_way(kind, **values):
    return NO_BEAM + entry("obstacles", "thing", kind=kind, way_round=f"{ROUND} m", **values)


def goes(kit_of, game):
    """The barrow with the thing on its way: its findings, and how far it drives."""
    plan = copy.deepcopy(BARROW)
    plan["steps"]["way"]["passes"] = "thing"
    kit = kit_of(game, one=plan)
    work = Work(build("one", kit), Days.good())
    return good(kit), work.way(work.robot.plan.steps["way"])


@pytest.fixture
def limits(kit_of):
    """What the barrow just passes: height, slope, and the height of a step by its wheels' friction."""
    # At the step's edge the wheel pushes at the angle of friction to its radius: r - r cos(atan mu) is left below it.
    step = RADIUS - RADIUS / math.sqrt(1 + GRIP**2)
    return {"low": FOLDED, "ramp": slope_of(BARROW, kit_of(GAME, one=BARROW)), "step": step}


@pytest.mark.parametrize(
    "kind, key, of, passes",
    [
        ("low", "clear_height", 1.01, True),
        ("low", "clear_height", 0.99, False),
        ("ramp", "slope", 0.99, True),
        ("ramp", "slope", 1.01, False),
        ("step", "height", 0.99, True),
        ("step", "height", 1.01, False),
    ],
)
def test_what_is_in_the_way_is_passed_or_gone_round(kind, key, of, passes, kit_of, limits):
    most = of * limits[kind]
    told = f"{math.degrees(most)!r} deg" if kind == "ramp" else f"{1000 * most!r} mm"
    found, way = goes(kit_of, on_the_way(kind, **{key: told}))
    assert found["passes"] == float(passes) and way == pytest.approx(1.0 if passes else 1.0 + ROUND)
    clear, _ = goes(kit_of, on_the_way("line", height="3 mm"))
    assert (found["time"] == pytest.approx(clear["time"], rel=1e-9)) == passes and found["time"] >= clear["time"] - 1e-9


@pytest.mark.parametrize("of", [1.01, 0.99])
def test_where_there_is_no_way_round_it_must_pass_or_never_gets_there(of, kit_of, limits):
    """An obstacle without way_round: passed, all is as with one that has it; not passed, no cycle ever ends."""
    high = {"clear_height": f"{1000 * of * FOLDED!r} mm"}
    bare = NO_BEAM + entry("obstacles", "thing", kind="low", **high)
    found, way = goes(kit_of, bare)
    if of > 1:
        assert (found, way) == goes(kit_of, on_the_way("low", **high))
        return
    assert found["passes"] == 0 and found["cycles"] == 0 and found["pieces"] == 0 and found["time"] == math.inf
    assert not any(math.isnan(value) for value in found.values())
    plan = copy.deepcopy(BARROW)
    plan["steps"]["way"]["passes"] = "thing"
    kit = kit_of(bare, one=plan)
    assert why(kit, "points") == "it does not pass the thing, and there is no way round it"


def test_a_closing_task_behind_such_an_obstacle_is_not_done(kit_of):
    bare = NO_BEAM + entry("obstacles", "thing", kind="low", clear_height="0.1 m")
    plan = changed(BARROW, tries=1, closing_chance=1.0)
    plan["closing"] = {"up": dict(drive=1.0, passes="thing")}
    found = good(kit := kit_of(bare, one=plan))
    assert found["closes"] == 0 and found["end_points"] == 0 and found["cycles"] > 0
    assert why(kit, "closes") == "it does not pass the thing, and there is no way round it"


def test_a_line_is_always_passed(kit_of):
    found, way = goes(kit_of, on_the_way("line", height="2 m"))
    assert found["passes"] == 1 and way == 1.0


def test_raised_it_climbs_less(kit_of):
    """The same slope, folded and with the arm up: the higher centre of gravity tips over first."""
    kit = kit_of(GAME, one=PROBE)
    work = Work(build("one", kit), Days.good())
    slopes = np.radians(np.arange(0.5, 60, 0.5))
    most = {pose: max(slope for slope in slopes if work.climbs_usually(slope, pose)) for pose in ("folded", "raised")}
    assert most["raised"] < most["folded"]


def test_an_obstacle_that_the_game_has_not_is_named(kit_of):
    plan = copy.deepcopy(BARROW)
    plan["steps"]["way"]["passes"] = "thing"
    with pytest.raises(KitError, match="passes is 'thing', which is no obstacle of the game"):
        build("one", kit_of(NO_BEAM, one=plan))


# --- limits ---------------------------------------------------------------------------------------------------------


FREE = without(STEADY, "limits")
BOUNDLESS = re.compile(r"\binf\b|\bnan\b|unlimited", re.IGNORECASE)


def test_what_the_game_does_not_limit_is_not_asked(kit_of):
    report = judged("robot", kit_of(FREE, one=PROBE), which="one", points_wanted=0.0)
    assert no_nan(report)
    told = {finding.name: report_text.asked(report, finding) for finding in report.sizing.FINDINGS}
    for name in ("mass", "motors", "servos", "motors_and_servos"):
        assert told[name] == "no limit" and report.good_margin[name] == math.inf
    limited = judged("robot", kit_of(STEADY, one=PROBE), which="one", points_wanted=0.0)
    assert report.good["points"] == limited.good["points"] and report.good["mass"] == limited.good["mass"]
    assert limited.good["motors"] > limited.bounds["motors"] and not limited.works and report.works


def test_no_limit_is_said_in_words(kit_of, monkeypatch, tmp_path):
    kit = kit_of(FREE, one=PROBE, two=BARROW)
    monkeypatch.setenv("MECHBENCH_KIT", kit.folder)
    said = ask(f"robot which=one --record {tmp_path / 'one.md'}")
    assert said.err == "" and "no limit" in said.out
    report = judged("robot", kit, which="one")
    paper = (tmp_path / "one.md").read_text(encoding="utf-8").partition("```json")[0]
    found = review.found("one", kit)
    faces = {
        "size": said.out,
        "record": paper,
        "bench": page.table(report, "metric").replace("<tr>", "\n"),
        "verdict": report_text.verdict(report),
        "review": review.in_words(found),
        "balance": ask("balance").out,
        "reopened": ask(f"--reopen {tmp_path / 'one.md'}").out,
    }
    for face, text in faces.items():
        bounds = [
            line for line in text.replace("\xa0", " ").splitlines() if BOUNDLESS.search(line) and "at least" not in line
        ]
        assert not bounds, (face, bounds)
        assert face == "verdict" or "no limit" in text.replace("\xa0", " "), face
    assert not re.search(r"\binf\b|\bnan\b", review.html(found).partition("base64")[0])


@pytest.mark.parametrize("most, works", [(4, True), (3, False)])
def test_motors_and_servos_may_be_limited_together(most, works, kit_of):
    """Two motors at the wheels and two at the intake."""
    kit = kit_of(STEADY.replace("[limits]\n", f"[limits]\ndrives = {most}\n"), one=BARROW)
    report = judged("robot", kit, which="one", points_wanted=0.0)
    assert report.good["motors_and_servos"] == 4 and report.bounds["motors_and_servos"] == most
    assert (report.good_margin["motors_and_servos"] >= 0) == works
    assert report.good_margin["motors_and_servos"] == pytest.approx(0.99 / 4 if works else -1 / 3)


@pytest.mark.parametrize(
    "box, room",
    [
        ((410, 370, 300), 0.010),
        ((370, 410, 300), 0.010),  # turned by a quarter
        ((390, 390, 300), -0.010),
        ((410, 350, 300), -0.010),
        ((900, 900, 245), -0.005),
    ],
)
def test_the_robot_may_stand_either_way_round_in_the_start_box(box, room, kit_of):
    """The barrow is 400 by 360 mm and 250 mm high."""
    told = ", ".join(f'"{side} mm"' for side in box)
    kit = kit_of(STEADY.replace('["480 mm", "480 mm", "480 mm"]', f"[{told}]"), one=BARROW)
    assert good(kit)["start_box"] == pytest.approx(room, abs=1e-12)

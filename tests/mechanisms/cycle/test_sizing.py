"""The cycle sizing: times by hand, and points near those of matches played one by one."""

import shutil
import tomllib
from pathlib import Path

import numpy as np
import pytest

from mechbench.benches.bench import bench
from mechbench.catalog import judge, sizing_of
from mechbench.engine import report_text
from mechbench.engine.inputs import Tables, complete
from mechbench.kits import kit, read_kit
from mechbench.physics.cycle import series_spread, total_spread, total_time
from mechbench.physics.match import Robot, Rules, simulate
from tests.mechanisms.by_hand_handling import altered_kit

SIZING = sizing_of("cycle")
FOLDERS = {
    "own": "mechbench/kits/weavers_yard",
    "second": "tests/kits/second_kit",
    "flat": "tests/kits/flat",
    "bare": "tests/kits/bare",
}
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


# --- the mean of a cycle --------------------------------------------------------------------------------------------


def _said_by_the_game(folder, which):
    """Of each of these steps of people, by how often it happens: the sum of quickest, usual, slowest or their mean, as
    the file of the game gives them for its usual piece.
    """
    game = tomllib.loads((Path(folder) / "game.toml").read_text(encoding="utf-8"))
    usual = game["pieces"].get(
        "usual", max((one for one in game["pieces"] if one != "usual"), key=lambda name: game["pieces"][name]["count"])
    )
    sums = {"piece": 0.0, "trip": 0.0, "jam": 0.0, "once": 0.0}
    for step in game.get("human", {}).values():
        if usual in step.get("pieces", [usual]):
            three = [float(step[key].removesuffix(" s")) for key in ("low", "likely", "high")]
            usually = {"find": "piece", "clear_jam": "jam"}.get(step.get("stands_for"), "trip")
            sums[step.get("when", usually)] += which(three)
    return sums


USUAL, MEAN = (lambda three: three[1]), (lambda three: sum(three) / 3)
VARIANCE = lambda abc: (sum(t**2 for t in abc) - abc[0] * abc[1] - abc[0] * abc[2] - abc[1] * abc[2]) / 18
CHOSEN = {"pieces": "2", "drive_time": 2.3, "raise_time": 1.7, "grab_time": 0.6, "place_time": 0.35, "jam_chance": 0.15}


def _in_series(people):
    """A cycle of two pieces, all one after the other, raised after driving."""
    return 2 * (people["piece"] + 0.6 + 0.35) + 2 * 2.3 + people["trip"] + 1.7 + 0.15 * people["jam"]


@pytest.mark.parametrize("name", FOLDERS)
def test_the_mean_of_a_cycle_has_all_steps_of_people(name):
    """As what the bench calls usual, with the mean of quickest, usual and slowest in place of the usual time."""
    here = read_kit(FOLDERS[name])
    report = judge(SIZING, {**CHOSEN, "raising": "after"}, here)
    usual = _in_series(_said_by_the_game(FOLDERS[name], USUAL))
    assert report.good["time"] == pytest.approx(usual, rel=1e-12)
    steps = SIZING.steps(report.values, here)
    mean, sd = series_spread(steps)
    assert mean == pytest.approx(_in_series(_said_by_the_game(FOLDERS[name], MEAN)), rel=1e-12)
    assert total_time(steps) == pytest.approx(mean, rel=1e-12)
    drawn = total_spread(steps)
    assert drawn.mean == pytest.approx(mean, rel=2e-3) and drawn.sd == pytest.approx(sd, rel=0.05, abs=1e-12)


@pytest.mark.parametrize("name", FOLDERS)
def test_the_longest_way_at_mean_times(name):
    """Raised beside driving it costs nothing while it is quicker than driving, being held up and lining up."""
    here, people = read_kit(FOLDERS[name]), _said_by_the_game(FOLDERS[name], MEAN)
    beside = 2.3 + people["trip"]
    opened = judge(SIZING, {**CHOSEN, "raising": "during"}, here).values
    for rise in (0.9 * beside, 1.2 * beside):
        values = {**opened, "raise_time": rise}
        by_hand = _in_series(people) - 1.7 - beside + max(rise, beside)
        assert total_time(SIZING.steps(values, here)) == pytest.approx(by_hand, rel=1e-12)


def test_steps_of_people_differ_each_for_itself():
    """Untangling and waiting for the ferryman are apart from the rest: variances add."""
    folder = FOLDERS["flat"]
    people = _said_by_the_game(folder, VARIANCE)
    values = judge(SIZING, {**CHOSEN, "jam_chance": 0.0, "raising": "after"}, read_kit(folder)).values
    _, sd = series_spread(SIZING.steps(values, read_kit(folder)))
    assert sd == pytest.approx(np.sqrt(2 * people["piece"] + people["trip"]), rel=1e-12)


# --- a game with other rules ----------------------------------------------------------------------------------------


def _two_pieces(tmp_path):
    """The kit by hand with a second piece, which alone counts in the goal that is the most handy one."""
    cube = '[pieces.cube]\nlabel = "cube"\nshape = "box"\nlength = "90 mm"\nwidth = "80 mm"\nheight = "70 mm"\n'
    shed = '[places.shed]\nlabel = "shed"\nkind = "open"\npieces = ["cube"]\nway = "1 m"\n\n'
    more = f'{cube}mass = "200 g"\ncount = 12\n\n{shed}[places.open]'
    return altered_kit(tmp_path, game={"[places.open]": more, "[goals.sill]": '[goals.sill]\ntakes = ["cube"]'})


@pytest.mark.parametrize("name", FOLDERS)
@pytest.mark.parametrize("sizing", ["cycle", "trips"])
def test_it_opens_with_goals_in_which_the_usual_piece_counts(name, sizing):
    here = read_kit(FOLDERS[name])
    values = judge(sizing, {}, here).values
    for pick in ("goal", "next_goal"):
        assert here.roles.piece.name in here.game.goals[values.get(pick, values["goal"])].takes


def test_a_goal_of_another_piece_is_not_opened_with(tmp_path):
    """The sill, 380 mm high, is nearest to a robot's own height; but it takes cubes, and balls are what is usual."""
    here = _two_pieces(tmp_path)
    assert here.roles.piece.name == "ball" and here.game.goals["sill"].takes == ("cube",)
    values = judge("cycle", {}, here).values
    assert "sill" not in (values["goal"], values["next_goal"])
    assert judge("cycle", {}, read_kit(BY_HAND)).values["goal"] == "sill"
    assert "sill" in sizing_of("cycle").field("goal").options(Tables(sizing_of("cycle"), here)), "it may be chosen"


@pytest.mark.parametrize("name", FOLDERS)
def test_a_bench_has_no_slider_for_what_the_game_lacks(name):
    here = read_kit(FOLDERS[name])
    controls = bench("cycle", kit=here)._controls
    game = here.game
    kinds = lambda table: {one.kind for one in getattr(game, table).values()}
    assert ("pair_chance" in controls) == ("pair" in kinds("bonuses"))
    assert ("start_pieces" in controls) == ("self_driving" in kinds("phases"))
    assert ("closing_chance" in controls) == ("leave" in controls) == bool(kinds("closing") - {"place"})
    assert ("next_goal" in controls) == (len(game.goals) > 1)
    assert {"drive_time", "raise_time", "pieces", "goal", "success"} <= controls.keys()


def test_some_game_lacks_each_and_some_game_has_it():
    lists = [bench("cycle", kit=read_kit(FOLDERS[name]))._controls.keys() for name in FOLDERS]
    for name in ("pair_chance", "start_pieces", "closing_chance", "next_goal"):
        assert {name in one for one in lists} == {True, False}, name


@pytest.mark.parametrize("sizing", ["cycle", "trips"])
def test_no_more_pieces_than_the_game_lets_a_robot_hold(sizing, tmp_path):
    for name in FOLDERS:
        most = read_kit(FOLDERS[name]).roles.limits.hold
        counts = bench(sizing, kit=read_kit(FOLDERS[name])).tables("carried").columns["number"]
        assert max(counts) == min(most, 4.0), name
    two = altered_kit(tmp_path, game={"hold = 3": "hold = 2"})
    assert bench(sizing, kit=two).tables("carried").names == ("1", "2")
    with pytest.raises(ValueError, match="pieces is '3', which the kit does not have"):
        judge(sizing, {"pieces": "3"}, two)


STEPS = """
[human.hand]
label = "hand it over"
low = "1 s"
likely = "2 s"
high = "4 s"
when = "piece"
pieces = ["{piece}"]
"""


@pytest.mark.parametrize(
    ("piece", "goal", "told"),
    [
        ("hoop", "spindle_west", "'hand it over' is not counted"),
        ("crate", "spindle_west", "'hand it over' is counted"),
        ("cushion", "spindle_west", ""),
        ("hoop", "hold", ""),
        ("hoop", "oven", ""),
    ],
)
def test_steps_that_people_do_for_other_pieces_are_told(tmp_path, piece, goal, told):
    """The goal of one kind takes hoops, the usual piece is a crate: a step for hoops alone is in no sum here."""
    second = Path(__file__).parents[2] / "kits" / "second_kit"
    shutil.copytree(second, tmp_path / "kit")
    path = tmp_path / "kit" / "game.toml"
    path.write_text(path.read_text(encoding="utf-8") + STEPS.format(piece=piece), encoding="utf-8")
    tables = Tables(SIZING, read_kit(tmp_path / "kit"))
    note = SIZING.note(complete(SIZING, {"goal": goal}, tables), tables)
    assert told in note and bool(told) == bool(note)
    assert not note or (note.startswith("This goal takes no crates") and "'Taking one piece in'" in note)

"""Whatever kit a mentor writes: every sizing, picture, command, search and review works on it and says nothing odd.

The kits are the course's own and every folder in tests/kits; at the end games that lack even more. A number that nobody
has is told in words ("never", "no limit"): no sentence holds what Python writes for it.
"""

import json
import math
import re
import warnings
from functools import cache
from pathlib import Path

import pytest

import mechbench as mb
from mechbench.catalog import NAMES, ROBOT, judge, sizing_of
from mechbench.desk import answer, kit_command, pit_questions, record, review
from mechbench.desk.find import find
from mechbench.desk.find import text_of as text_of_search
from mechbench.desk.kit_outline import of_table
from mechbench.desk.quick_reference import Reference, formulas, rules_of_thumb
from mechbench.desk.quick_reference import pit_questions as questions_answered
from mechbench.engine.inputs import Tables
from mechbench.engine.spec import Pick
from mechbench.kits import read_kit
from mechbench.kits.load import SETTING
from mechbench.kits.own import OWN_FOLDER
from tests.desk.asked import ask
from tests.drawing.read_back import pictured

FOLDERS = {
    "own": OWN_FOLDER,
    **{file.parent.name: file.parent for file in sorted(Path(__file__).parent.glob("*/game.toml"))},
}
# "None works", "None of them" are English.
NOT_WORDS = re.compile(r"\b(nan|NaN|inf|Infinity)\b|\bNone\b(?! works| of )")

every_kit = pytest.mark.parametrize("folder", FOLDERS)
every_sizing = pytest.mark.parametrize("name", NAMES)


@cache
def opened(folder):
    """The kit of a folder, read once."""
    return read_kit(FOLDERS[folder])


@pytest.fixture
def in_force(monkeypatch, folder):
    """The kit of the folder is the one in force."""
    monkeypatch.setenv(SETTING, str(FOLDERS[folder]))
    return opened(folder)


def says_no_oddity(text):
    """No text holds what Python writes for a number that is none."""
    odd = NOT_WORDS.search(text)
    assert not odd, text[max(0, odd.start() - 120) : odd.end() + 60]


@every_kit
def test_it_opens_and_every_number_is_one(folder):
    """But what a label need not print and no rule tells."""
    kit = opened(folder)
    for table in kit.tables():
        for column, values in kit.table(table).columns.items():
            not_known = table == "motors" and column in ("counts_per_turn", "shaft_diameter")
            assert not_known or not any(math.isnan(value) for value in values), (table, column)
    says_no_oddity(" ".join(kit.notes))
    assert kit.table("goals").names


@every_kit
@every_sizing
def test_a_sizing_is_judged_told_and_drawn(folder, name):
    kit, sizing = opened(folder), sizing_of(name)
    with warnings.catch_warnings():
        warnings.simplefilter("error", RuntimeWarning)
        picture, report, now = pictured(name, {}, kit)
    numbers = {**report.good, **report.bad, **report.good_margin, **report.bad_margin, **report.bounds}
    assert not [key for key, value in numbers.items() if math.isnan(value)]
    shown = [text.get_text() for text in picture.figure.findobj(match=lambda one: hasattr(one, "get_text"))]
    says_no_oddity("\n".join(shown))
    for system in ("metric", "us"):
        design = record.design(sizing, {}, Tables(sizing, kit), system)
        says_no_oddity(answer.text_of(design))


@every_kit
@every_sizing
def test_a_sizing_is_asked_by_command(folder, name, in_force):
    for line in (name, f"{name} --help"):
        said = ask(line)
        assert said.code in (0, 1) and not said.err, said.err
        says_no_oddity(said.out)


@every_kit
@every_sizing
def test_a_sizing_is_searched(folder, name):
    kit, sizing = opened(folder), sizing_of(name)
    picks = [field.name for field in sizing.FIELDS if isinstance(field, Pick)][:1]
    for pick in picks:
        says_no_oddity(text_of_search(find(name, pick, kit=kit)))


@every_kit
@every_sizing
def test_a_bench_opens_and_speaks(folder, name):
    bench = mb.bench(name, kit=opened(folder))
    says_no_oddity(repr(bench))
    says_no_oddity(bench.sentence)


@every_kit
def test_every_whole_robot_is_judged_and_reviewed(folder):
    kit = opened(folder)
    for plan in kit.robots:
        report = judge(ROBOT, {"which": plan.name}, kit)
        assert not [key for key, value in {**report.good, **report.bad}.items() if math.isnan(value)], plan.name
        told = review.found(plan.name, kit)
        says_no_oddity(review.in_words(told))
        says_no_oddity(re.sub(r"base64,[^\"']*", "", review.html(told)))


@every_kit
def test_whole_robots_are_of_the_kit_or_else_the_courses_own_and_that_is_said(folder, in_force):
    """A game alone has no robots: the course's own are judged in the course's own game, and the list says so."""
    report = judge(ROBOT, {}, in_force)
    elsewhere = not in_force.robots
    of = opened("own") if elsewhere else in_force
    assert report.values["which"] in [plan.name for plan in of.robots]
    assert report.values == judge(ROBOT, {}, of).values and report.good == judge(ROBOT, {}, of).good
    stood = json.loads(ask("--json").out)
    assert [one["name"] for one in stood["sizings"] if "instead" in one] == [ROBOT] * elsewhere


@every_kit
def test_the_quick_reference_answers(folder, in_force):
    for page in (questions_answered(), formulas(), rules_of_thumb()):
        says_no_oddity(repr(page))
    reference = Reference()
    for question in (*pit_questions.QUESTIONS, *pit_questions.QUICK):
        assert reference.ask(question.asked).bench.report is not None
        says_no_oddity(repr(reference))


@every_kit
def test_the_list_of_all_sizings_is_told(folder, in_force):
    said = ask("")
    assert said.code == 0 and not said.err
    says_no_oddity(said.out)


@every_kit
def test_the_kit_in_force_is_told(folder, in_force, capsys):
    assert kit_command.command([]) == 0
    said = capsys.readouterr().out
    assert in_force.game.label in said and all(of_table(table) in said for table in in_force.borrowed)
    assert all(of_table(table) in said for table in in_force.without)
    says_no_oddity(said)


# --- games that lack even more ---------------------------------------------------------------------------------------

NOTHING_SCORES_BUT_THE_END = """
[game]
label = "Only a Dock"
[phases.sail]
kind = "driven"
time = "80 s"
closing = "20 s"
[closing.dock]
label = "dock"
kind = "zone"
points = 7
way = "1 m"
"""
SLED = """
[robots.sled]
label = "Sled"
idea = "pushes"
wheelbase = "280 mm"
track = "330 mm"
carries = 1
goals = ["basket"]
success = 0.8
[robots.sled.parts]
body = { mass = "6 kg", at = ["0 mm", "0 mm", "90 mm"], size = ["400 mm", "380 mm", "150 mm"] }
[robots.sled.mechanisms.wheels]
sizing = "drivetrain"
[robots.sled.steps]
way = { drive = "1.4 m" }
back = { drive = "1.4 m", after = ["way"] }
"""


@pytest.fixture(scope="module")
def no_goal(tmp_path_factory):
    """A game without pieces, places and goals: one closing task is all that scores."""
    folder = tmp_path_factory.mktemp("no_goal")
    (folder / "game.toml").write_text(NOTHING_SCORES_BUT_THE_END, encoding="utf-8")
    return read_kit(folder)


@pytest.mark.parametrize("name", [name for name in NAMES if name != ROBOT])
def test_without_piece_and_goal_every_sizing_works_on_figures_of_its_own(no_goal, name):
    assert no_goal.roles.piece is None and no_goal.roles.first is None
    picture, report, _ = pictured(name, {}, no_goal)
    assert not [key for key, value in {**report.good, **report.bad}.items() if math.isnan(value)]
    says_no_oddity(answer.text_of(record.design(sizing_of(name), {}, Tables(sizing_of(name), no_goal), "metric")))


def test_where_no_piece_scores_a_cycle_is_worth_what_the_end_is_worth(no_goal):
    """By hand: no goal gives points; the dock gives 7 on a share of the tries that work, and nothing is left else."""
    report = judge("cycle", {"closing_chance": 0.5, "closing_time": 10.0, "leave": 15.0}, no_goal)
    assert report.good["points"] == pytest.approx(0.5 * 7) == report.good["end"]
    assert judge("trips", {}, no_goal).good["points"] == 0


def test_a_robot_of_a_game_without_limits_has_room_without_end_and_its_review_says_so(tmp_path):
    (tmp_path / "game.toml").write_bytes((FOLDERS["bare"] / "game.toml").read_bytes())
    (tmp_path / "robots.toml").write_text(SLED, encoding="utf-8")
    kit = read_kit(tmp_path)
    report = judge(ROBOT, {}, kit)
    assert report.good["reach"] == report.good["start_box"] == math.inf and report.good["mass"] == pytest.approx(6.0)
    assert not [key for key, value in {**report.good, **report.bad, **report.bad_margin}.items() if math.isnan(value)]
    pictured(ROBOT, {}, kit)
    told = review.in_words(review.found("sled", kit))
    says_no_oddity(told)
    assert "| mass | no limit |" in told and "at most unlimited" not in told and "| raised | no limit |" in told


def test_a_team_without_a_kind_of_part_is_shown_the_courses_own_or_none():
    """Where a sizing must show such a part it is the course's own, and says so; where it can do without it, it does."""
    kit = opened("flat")
    assert not kit.table("sprockets").names and not kit.table("ratchets").names
    chained = judge("chained", {}, kit)
    labels = Tables(sizing_of("chained"), kit)("sprockets").labels
    assert labels[chained.values["base"]].endswith("(course's own)")
    assert judge("winch", {}, kit).values["ratchet"] == "none" == judge("lift", {}, kit).values["spring"]

"""Records from before a game had entries of any name: they open by the names of today, with the numbers they had.

old_records/before_any_game: written by the last state of this project that knew one piece, shelves, a beam and a bar.
"""

import copy
from pathlib import Path

import pytest

from mechbench.desk import old_form
from mechbench.desk import reopen as reopening
from mechbench.kits import kit
from tests.desk.asked import ask, is_one_sentence
from tests.desk.test_old_records import data_in, reopened

BEFORE = Path(__file__).parent / "old_records" / "before_any_game"
ALONE = ("balance", "cycle", "trips")  # a whole robot comes from the kit in force
ALL = (*ALONE, "robot")


def data_of(name):
    return data_in(f"before_any_game/{name}.md")


def opened(folder, name):
    """A record of the old form, opened; the robot's for a robot of the kit in force, which alone can build one."""
    data = data_of(name)
    if name == "robot":
        data["inputs"]["which"]["part"] = kit().robots[-1].name
    return reopened(folder, data)


def test_a_robot_that_the_kit_no_longer_has_is_refused_with_those_that_it_has():
    said = ask(f"--reopen {BEFORE / 'robot'}.md")
    assert said.code != 0 and is_one_sentence(said.err) and "'heron', which the kit does not have" in said.err
    assert all(plan.name in said.err for plan in kit().robots)


@pytest.mark.parametrize("name", ALL)
def test_the_files_are_of_the_old_form(name):
    data = data_of(name)
    assert any(path.startswith("game.") for path in data["records"])
    assert not any(path.startswith("roles.") for path in data["records"])


@pytest.mark.parametrize("name", [name for name in ALONE if name != "trips"])
def test_every_number_comes_out_as_it_was(name):
    was, again = data_of(name)["findings"], reopening.reopen(BEFORE / f"{name}.md")
    assert again.differences == {} and set(was) == set(again.report.good)
    for finding, one in was.items():
        assert again.report.good[finding] == pytest.approx(float(one["good"]), rel=1e-9)
        assert again.report.bad[finding] == pytest.approx(float(one["bad"]), rel=1e-9)


def test_trips_bring_no_more_than_the_goal_of_the_record_takes():
    """It had 2 pieces a trip for a shelf that takes 8: 6 points each, and what goes beyond was counted then."""
    was, again = data_of("trips")["findings"], reopening.reopen(BEFORE / "trips.md")
    assert set(again.differences) == {"points", "before", "gain"} and set(was) < set(again.report.good)
    assert (again.report.good["points"], again.report.good["before"]) == (8 * 6, 8 * 6)
    assert again.report.good["trips"] == pytest.approx(float(was["trips"]["good"]), rel=1e-9)
    assert again.report.bad["trips"] == pytest.approx(float(was["trips"]["bad"]), rel=1e-9)


@pytest.mark.parametrize("name", ALL)
def test_it_is_said_once_in_a_sentence(name, tmp_path):
    again = opened(tmp_path, name)
    told = [note for note in again.notes if "entries of any name" in note]
    assert len(told) == 1 and all(is_one_sentence(note + "\n") for note in again.notes)
    assert not any("does not tell" in note or "no longer" in note for note in again.notes), again.notes
    said = ask(f"--reopen {tmp_path / 'a.md'}")
    assert said.err == "" and told[0].partition(" was made")[2] in said.out


def test_what_has_another_name_is_told(tmp_path):
    (told,) = [one for one in reopening.reopen(BEFORE / "cycle.md").notes if "entries of any name" in one]
    for old, new in (("shelf", "goal"), ("next_shelf", "next_goal"), ("bar_time", "closing_time")):
        assert f"{old} is read as {new}" in told
    (told,) = [one for one in opened(tmp_path, "robot").notes if "entries of any name" in one]
    for old, new in (("hangs", "closes"), ("cube", "start_box"), ("under", "passes")):
        assert f"{old} is read as {new}" in told


def test_a_robots_findings_are_compared_under_their_new_names(tmp_path):
    """It is another robot: each number that differs is told under today's name, with what the record has."""
    was, again = data_of("robot")["findings"], opened(tmp_path, "robot")
    for old, new in (("hangs", "closes"), ("cube", "start_box"), ("under", "passes"), ("mass", "mass")):
        before = float(was[old]["good"])
        if again.report.good[new] == pytest.approx(before, rel=1e-9):
            assert new not in again.differences
        else:
            assert (again.differences[new].was, again.differences[new].now) == (before, again.report.good[new])
    assert {"start_box", "mass"} <= set(again.differences)


def test_a_game_of_another_size_keeps_its_own_numbers(tmp_path):
    """Not the kit in force: a bar of 30 points and a pair of 7 count as the record has them. Hand sums: the end is
    0.7 of 30 and 0.3 of 4.
    """
    data = data_of("cycle")
    usual = reopened(tmp_path, data).report
    data["records"]["game.closing"]["hang_points"] = 30.0
    again = reopened(tmp_path, data).report
    assert usual.good["end"] == pytest.approx(0.7 * 24 + 0.3 * 4)
    assert again.good["end"] == pytest.approx(0.7 * 30 + 0.3 * 4)
    assert again.good["points"] - usual.good["points"] == pytest.approx(0.7 * 6)


def test_the_same_shelf_twice_is_one_goal(tmp_path):
    """What does not fit the first shelf goes nowhere where the next one is the same, as it was then."""
    data = data_of("cycle")
    data["inputs"]["next_shelf"] = copy.deepcopy(data["inputs"]["shelf"])
    assert reopened(tmp_path, data).report.good["then"] == 0


def test_a_part_measured_is_kept(tmp_path):
    data = data_of("robot")
    data["inputs"]["which"]["part"] = kit().robots[-1].name
    data["measured"] = {"cube": 0.012}
    assert reopened(tmp_path, data).design.measured == {"start_box": 0.012}


@pytest.mark.parametrize("table", ["inputs", "records", "findings", "measured"])
@pytest.mark.parametrize("wrong", [None, 3, "x", [1]])
def test_a_damaged_table_is_refused_in_a_sentence(table, wrong, tmp_path):
    with pytest.raises(ValueError) as refused:
        reopened(tmp_path, data_of("cycle") | {table: wrong})
    assert is_one_sentence(f"{refused.value}\n") and "damaged" in str(refused.value)


@pytest.mark.parametrize("record", ["game.match", "game.closing", "game.bonus", "game.human.find"])
def test_a_record_that_is_missing_comes_from_the_kit_and_is_told(record, tmp_path):
    data = data_of("cycle")
    del data["records"][record]
    again = reopened(tmp_path, data)
    assert any("taken from the kit" in note for note in again.notes)


def test_a_record_of_today_is_left_as_it_is():
    data = {"records": {"roles.match": {"driven": 1.0}}, "inputs": {"shelf": 1}}
    assert old_form.renamed(data) == (data, "")

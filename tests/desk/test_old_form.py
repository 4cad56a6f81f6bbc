"""Records from before a game had entries of any name: they open by the names of today, with the numbers they had.

old_records/before_any_game: written by the last state of this project that knew one piece, shelves, a beam and a bar.
"""

import copy
from pathlib import Path

import pytest

from mechbench.desk import old_form
from mechbench.desk import reopen as reopening
from tests.desk.asked import ask, is_one_sentence
from tests.desk.test_old_records import data_in, reopened

BEFORE = Path(__file__).parent / "old_records" / "before_any_game"
ALONE = ("balance", "cycle", "trips")  # a whole robot comes from the kit in force
ALL = (*ALONE, "robot")


def data_of(name):
    return data_in(f"before_any_game/{name}.md")


@pytest.mark.parametrize("name", ALL)
def test_the_files_are_of_the_old_form(name):
    data = data_of(name)
    assert any(path.startswith("game.") for path in data["records"])
    assert not any(path.startswith("roles.") for path in data["records"])


@pytest.mark.parametrize("name", ALONE)
def test_every_number_comes_out_as_it_was(name):
    was, again = data_of(name)["findings"], reopening.reopen(BEFORE / f"{name}.md")
    assert again.differences == {} and set(was) == set(again.report.good)
    for finding, one in was.items():
        assert again.report.good[finding] == pytest.approx(float(one["good"]), rel=1e-9)
        assert again.report.bad[finding] == pytest.approx(float(one["bad"]), rel=1e-9)


@pytest.mark.parametrize("name", ALL)
def test_it_is_said_once_in_a_sentence(name):
    again = reopening.reopen(BEFORE / f"{name}.md")
    told = [note for note in again.notes if "entries of any name" in note]
    assert len(told) == 1 and all(is_one_sentence(note + "\n") for note in again.notes)
    assert not any("does not tell" in note or "no longer" in note for note in again.notes), again.notes
    said = ask(f"--reopen {BEFORE / name}.md")
    assert said.err == "" and told[0] in said.out


def test_what_has_another_name_is_told():
    (told,) = [one for one in reopening.reopen(BEFORE / "cycle.md").notes if "entries of any name" in one]
    for old, new in (("shelf", "goal"), ("next_shelf", "next_goal"), ("bar_time", "closing_time")):
        assert f"{old} is read as {new}" in told
    (told,) = [one for one in reopening.reopen(BEFORE / "robot.md").notes if "entries of any name" in one]
    for old, new in (("hangs", "closes"), ("cube", "start_box"), ("under", "passes")):
        assert f"{old} is read as {new}" in told


def test_a_robots_findings_are_compared_under_their_new_names():
    """The course's own robot still stands as it stood: what it can do and where it fits is as the record has it."""
    was, again = data_of("robot")["findings"], reopening.reopen(BEFORE / "robot.md")
    for old, new in (("hangs", "closes"), ("cube", "start_box"), ("under", "passes"), ("mass", "mass")):
        assert again.report.good[new] == pytest.approx(float(was[old]["good"]), rel=1e-9)
        assert new not in again.differences


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

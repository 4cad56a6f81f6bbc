"""Which part first on a notebook's page, in a window of letters and as data: one answer in three forms."""

import json

import pytest

import mechbench as mb
from mechbench.catalog import sizing_of
from mechbench.desk import first_change, review
from mechbench.desk.text_table import WIDTH
from mechbench.engine.inputs import Tables, complete
from mechbench.whole_robot import part_first as search
from mechbench.whole_robot import part_first_words as words
from tests.desk.asked import ask


@pytest.fixture(autouse=True)
def few(monkeypatch):
    """A few changes are tried, so that a test takes a second; what was found before is forgotten."""
    every = search.changes_of
    few = lambda robot: [one for one in every(robot) if one.path in ("drive.gearbox", "arm.gearbox", "lift.gearbox")]
    monkeypatch.setattr(search, "changes_of", few)
    monkeypatch.setattr(search, "_answers", type(search._answers)())


def test_on_a_notebooks_page_it_is_a_table_with_the_same_in_plain_text():
    shown = mb.part_first("wren")
    bundle = shown._repr_mimebundle_()
    assert set(bundle) == {"text/markdown", "text/plain"} and bundle["text/plain"] == repr(shown)
    told = bundle["text/markdown"]
    assert told.startswith("**Wren.** Change first: drive: gearbox, from 16.1 : 1 planetary to 12.3 : 1 planetary: +")
    assert "| Change | Gain on a bad day | Mass | Highest current | Balance |" in told
    flat = " ".join(repr(shown).split())
    for row in words.rows(shown.found):
        assert all(cell in told and cell in flat for cell in row)
    for sentence in words.more(shown.found):
        assert sentence in flat
    assert all(len(line) <= WIDTH for line in repr(shown).splitlines())


def test_a_robot_with_changes_may_be_asked():
    changed = mb.robot("wren").with_changes({"drive.gearbox": "planetary_12"})
    assert "drive: gearbox" not in " ".join(row[0] for row in words.rows(mb.part_first(changed).found))
    assert mb.part_first(changed).markdown.startswith("**Wren (changed).** ")
    with pytest.raises(ValueError, match='did you mean "wren"'):
        mb.part_first("wern")


def test_the_command_says_it_and_gives_data_in_either_system():
    said, us = ask("robot which=wren --first"), ask("robot which=wren --first --us")
    assert said.code == us.code == 0 and "Change first: drive: gearbox" in said.out
    assert " m/s²" in said.out and " ft/s²" in us.out and " m/s²" not in us.out
    data = json.loads(ask("robot which=wren --first --json").out)
    assert data["robot"] == "wren" and data["verdict"] in " ".join(said.out.split()) and data["tried"] == 18
    best = data["found"][0]
    assert best["changes"][0] | {"said": ""} == {
        "path": "drive.gearbox",
        "from": "planetary_16",
        "to": "planetary_12",
        "said": "",
    }
    assert best["gain"] == pytest.approx(best["points_bad_day"][1] - best["points_bad_day"][0]) and best["mass"] == 0
    assert "--first" in ask("robot --help").out


def test_what_was_chosen_in_the_sizing_counts():
    """With the quicker gearbox chosen already, it is not offered again."""
    data = json.loads(ask("robot which=wren drive_gearbox=12 --first --json").out)
    assert all(one["changes"][0]["to"] != "planetary_12" for one in data["found"])


def test_only_a_robot_is_a_machine():
    robot, lift = (sizing_of(name) for name in ("robot", "lift"))
    tables = Tables(robot)
    values = complete(robot, {"tries": "3"}, tables)
    assert robot.machine(values, tables).name == values["which"] and robot.machine(values, tables).value("tries") == 3
    assert lift.machine(complete(lift, {}, Tables(lift)), Tables(lift)) is None


def test_the_review_has_the_same_words():
    found = review.found("wren")
    part = next(part for part in found.parts if part.heading == "Which part first")
    alone = mb.part_first("wren", 90.0).found
    assert part.says[0] == words.verdict(alone) and part.rows == words.rows(alone) and part.heads == words.HEADS


def test_what_was_found_is_kept(monkeypatch):
    first = mb.part_first("wren").found
    monkeypatch.setattr(search, "part_first", None)
    assert mb.part_first("wren").found is first


def test_how_far_the_search_is_stands_on_one_line_that_goes_at_the_end(monkeypatch):
    told = []

    class Line:
        def say(self, text):
            told.append(text)

        def end(self):
            told.append("")

    def search_that_fails(robot, points_wanted, pairs, progress):
        progress("5 of 9")
        raise ValueError("no such thing")

    monkeypatch.setattr(first_change, "Waiting", Line)
    monkeypatch.setattr(first_change, "remembered", search_that_fails)
    with pytest.raises(ValueError, match="no such thing"):
        first_change.look("wren")
    assert told == ["5 of 9", ""]

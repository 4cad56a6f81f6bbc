"""Records that older states of this project wrote, opened with today's: what is told about each thing that changed.

In old_records/, as they were written: an arm from the first state that wrote records; a winch from the last state in
which one sampled day gave all bad values; an intake judged by today's rule, from before its number was written down.
"""

import json
import re
from pathlib import Path

import pytest

from mechbench.catalog import NAMES, judge, sizing_of
from mechbench.desk import reopen as reopening
from mechbench.desk.record import data_of, design
from mechbench.engine.inputs import Tables
from mechbench.engine.judge import JUDGING
from mechbench.kits import copy_kit, kit
from tests.desk.asked import ask, is_one_sentence

OLD = Path(__file__).parent / "old_records"
ONE_BAD_DAY = ("arm_first.md", "winch_before_the_rule.md")
ALL = tuple(path.name for path in sorted(OLD.glob("*.md")))
RULE = "rule of a bad day"


def data_in(name):
    return json.loads(reopening.data_in_text((OLD / name).read_text(encoding="utf-8")))


def new_data(name="arm", **values):
    tables = Tables(sizing_of(name), kit())
    return data_of(design(sizing_of(name), values, tables))


def reopened(folder, data):
    """A record with this data, opened."""
    path = folder / "a.md"
    path.write_text(f"```json mechbench-record\n{json.dumps(data)}\n```\n", encoding="utf-8")
    return reopening.reopen(path)


def test_the_files_are_what_they_are_said_to_be():
    assert len(ALL) == 3
    assert all("joint_margin" not in data_in(name) for name in ONE_BAD_DAY)
    assert "joint_margin" in data_in("intake_without_a_rule.md")
    assert all("judging" not in data_in(name) for name in ALL)


@pytest.mark.parametrize("name", ALL)
def test_an_old_record_opens_and_tells_each_change_in_a_sentence(name):
    again = reopening.reopen(OLD / name)
    assert again.notes and all(is_one_sentence(note + "\n") for note in again.notes)
    said = ask(f"--reopen {OLD / name}")
    assert said.err == "" and all(note in said.out for note in again.notes)


@pytest.mark.parametrize("name", ALL)
def test_a_record_older_than_the_rule_of_a_bad_day_says_so_once(name):
    told = [note for note in reopening.reopen(OLD / name).notes if RULE in note]
    assert len(told) == (name in ONE_BAD_DAY)
    assert all("although the inputs are the same" in note and "19 of 20 days" in note for note in told)


@pytest.mark.parametrize("name", NAMES)
def test_a_new_record_writes_the_rule_and_says_nothing_of_it(name, tmp_path):
    data = new_data(name)
    assert data["judging"] == JUDGING
    again = reopened(tmp_path, data)
    assert again.notes == () and again.differences == {}


def test_a_rule_that_is_newer_than_this_mechbench_is_told(tmp_path):
    (note,) = reopened(tmp_path, new_data() | {"judging": JUDGING + 1}).notes
    assert f"the rule {JUDGING + 1} of a bad day" in note and note.endswith("get a newer mechbench.")


@pytest.mark.parametrize("judging", [None, "two", True, 1.5, [2], {}, -3])
def test_a_rule_that_is_no_rule_is_refused(judging, tmp_path):
    with pytest.raises(ValueError, match="its judging is no"):
        reopened(tmp_path, new_data() | {"judging": judging})


@pytest.mark.parametrize("name", ALL)
def test_the_version_of_the_sizing_is_told_as_it_was_and_is(name):
    data = data_in(name)
    sizing = sizing_of(data["sizing"])
    told = [note for note in reopening.reopen(OLD / name).notes if "version" in note]
    assert len(told) == 1
    assert f"version {data['version']} of {sizing.NAME}" in told[0] and f"has version {sizing.VERSION}" in told[0]


@pytest.mark.parametrize("version", [None, "x", True, 1.5, [2]])
def test_a_version_that_is_no_version_is_unknown(version, tmp_path):
    (note,) = reopened(tmp_path, new_data() | {"version": version}).notes
    assert "with an unknown version of arm" in note


@pytest.mark.parametrize("name", ALL)
def test_what_comes_out_otherwise_is_told_with_both_numbers_and_its_day(name):
    was, again = data_in(name)["findings"], reopening.reopen(OLD / name)
    assert again.differences
    for finding, one in again.differences.items():
        assert one.was == float(was[finding][one.day]) and one.now == getattr(again.report, one.day)[finding]
        assert one.was != one.now
        if one.day == "bad":
            assert float(was[finding]["good"]) == pytest.approx(again.report.good[finding], rel=1e-8)
    for finding in set(was) & set(again.report.good) - set(again.differences):
        assert float(was[finding]["bad"]) == pytest.approx(again.report.bad[finding], rel=1e-8)


def changed(folder, finding, **numbers):
    data = new_data()
    data["findings"][finding] |= numbers
    return repr(reopened(folder, data))


def test_numbers_that_differ_are_shown_with_digits_that_differ_and_by_how_much(tmp_path):
    time = judge("arm").good["time"]
    text = changed(tmp_path, "time", good=time / 1.00004)
    was, now, share = re.search(r"was (\S+) s and is (\S+) s \((.+?)\)", text).groups()
    assert was != now and float(was) == pytest.approx(time / 1.00004, rel=2e-5) and share == "under 0.1 % more"
    assert "(25 % more)" in changed(tmp_path, "time", good=time / 1.25)
    assert "(20 % less)" in changed(tmp_path, "time", good=time * 1.25)
    assert "(1.5 % more)" in changed(tmp_path, "time", good=time / 1.015)


@pytest.mark.parametrize("was", [0.0, "inf", "-inf"])
def test_no_share_is_told_where_there_is_none(was, tmp_path):
    text = changed(tmp_path, "time", good=was)
    assert "time for the swing, at best was" in text and "more)" not in text and "less)" not in text


def test_a_good_day_and_a_bad_day_are_told_apart(tmp_path):
    good, bad = changed(tmp_path, "time", good=9.0), changed(tmp_path, "time", bad=9.0)
    assert "On a good day" in good and "On a bad day only" not in good
    assert "On a bad day only" in bad and "On a good day" not in bad
    assert "because formulas have changed since" in good and "because formulas have changed since" in bad


def test_bad_values_of_an_older_rule_differ_by_the_rule(tmp_path):
    data = new_data()
    del data["judging"], data["joint_margin"]
    data["findings"]["time"]["bad"] = 9.0
    text = repr(reopened(tmp_path, data))
    assert (
        "On a bad day only, not all numbers are as they were, because the rule or formulas have changed since" in text
    )


def test_on_how_many_days_it_works_is_told_where_it_differs(tmp_path):
    days = judge("arm").days_in_100
    data = new_data()
    assert "It worked on" not in repr(reopened(tmp_path, data))
    assert f"It worked on {days - 7} of 100 days and works on {days}." in repr(
        reopened(tmp_path, data | {"days_in_100": days - 7})
    )
    assert "It worked on" not in repr(reopened(tmp_path, data | {"days_in_100": "many"}))


def test_numbers_of_one_record_that_it_lacks_are_told_in_one_sentence(tmp_path):
    data = new_data()
    for key in ("resistance", "open_circuit"):
        del data["records"]["battery"][key]
    (note,) = reopened(tmp_path, data).notes
    assert "does not tell open_circuit and resistance of battery: they are taken from the kit." in note


def test_a_drivetrain_from_before_its_current_limit_takes_that_of_its_own_controller(tmp_path):
    """Whatever the kit in force lets through: what was judged then comes out again."""
    data = new_data("drivetrain")
    del data["inputs"]["start_limit"]
    data["version"] = 3
    again = reopened(tmp_path, data)
    assert any("before start_limit was an input: 10 A is taken" in note for note in again.notes)
    assert any("with version 3 of drivetrain" in note for note in again.notes) and again.differences == {}
    data["records"]["controller"]["output_limit"] = 40.0  # of another kit
    data["made"]["kit"]["digest"] = "another"
    again = reopened(tmp_path, data)
    assert again.design.report.values["start_limit"] == 40.0
    assert any("before start_limit was an input: 40 A is taken" in note for note in again.notes)


def test_a_part_with_a_number_that_is_refused_today_says_that_it_is_the_records(tmp_path):
    data = new_data("lift")
    data["records"]["fuse"]["patience"] = -1.0  # as it once was counted
    with pytest.raises(ValueError, match=r"^The record of .* can't be judged: patience is -1.* size it anew\.$"):
        reopened(tmp_path, data)


def test_a_robot_is_built_from_the_kit_in_force_and_says_so(tmp_path, monkeypatch):
    robots = [plan.name for plan in kit().robots]
    data = new_data("robot", which=robots[-1])
    copy_kit(tmp_path / "kit")
    parts = tmp_path / "kit" / "parts.toml"
    parts.write_text(
        parts.read_text(encoding="utf-8").replace('resistance = "0.11 ohm"', 'resistance = "0.16 ohm"'),
        encoding="utf-8",
    )
    monkeypatch.setenv("MECHBENCH_KIT", str(tmp_path / "kit"))
    # Places in a list that another session filled, and another battery, tell nothing of today's kit.
    data["inputs"]["which"]["numbers"] |= {"kit": 7.0, "number": 0.0}
    data["records"]["battery"]["resistance"] *= 2
    again = reopened(tmp_path, data)
    assert again.report.good == judge("robot", {"which": robots[-1]}).good
    assert any("built from the kit as it is now" in note for note in again.notes)
    assert not any("its own parts" in note for note in again.notes)
    assert again.differences and "because the kit or formulas have changed since" in repr(again)


def test_a_robot_that_the_kit_does_not_have_is_refused(tmp_path):
    data = new_data("robot")
    data["inputs"]["which"]["part"] = "zeppelin"
    with pytest.raises(ValueError, match="which is 'zeppelin', which the kit does not have"):
        reopened(tmp_path, data)

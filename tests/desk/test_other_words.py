"""Other words for sizings, inputs and findings: no word means two things by mistake, and none hides a name."""

import pytest

from mechbench.catalog import NAMES, sizing_of
from mechbench.desk.arguments import plain
from mechbench.desk.common_words import ASKS_WHICH, CHANGES, LABEL, RECORDS, SAYS_NOTHING, TURNED
from mechbench.engine.spec import Pick

# Words that mean several inputs of one sizing, so that these are listed to whoever types one of them.
SEVERAL = {
    "arm": {"angle"},
    "servo_arm": {"angle"},
    "chained": {"angle", "length", "arm_mass"},
    "intake": {"diameter"},
    "linkage": {"length", "links", "bars"},
    "gripper": {"acceleration"},
}
# Words that open several sizings: what else the line says settles which, or they are listed.
OPENS_SEVERAL = {
    "battery", "chain", "chains", "cycle_time", "cycles", "fuse", "gear", "points", "score", "stall", "capacity",
    "servo", "servos",
}  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_another_word_for_an_input_is_clear_and_hides_no_name(name):
    fields = sizing_of(name).FIELDS
    names, words = {one.name for one in fields}, [word for one in fields for word in one.also]
    assert not names & set(words), "a word is the name of another input"
    assert {word for word in words if words.count(word) > 1} == SEVERAL.get(name, set())


@pytest.mark.parametrize("name", NAMES)
def test_words_are_written_as_they_are_looked_up(name):
    sizing = sizing_of(name)
    for one in (*sizing.FIELDS, *sizing.FINDINGS):
        assert len(set(one.also)) == len(one.also) and one.name not in one.also, one.name
        assert all(word == plain(word) for word in one.also), one.name
        assert set(one.also) & SAYS_NOTHING <= {"number", "down", "stops", "stopped", "robot"}, one.name
    assert all(word == plain(word) for word in sizing.ALSO)


def test_another_word_for_a_sizing_is_no_name_and_opens_one_but_for_those_that_are_meant_to():
    words = [word for name in NAMES for word in sizing_of(name).ALSO]
    assert not set(words) & set(NAMES)
    assert {word for word in words if words.count(word) > 1} <= OPENS_SEVERAL
    assert all(sizing_of(name).ALSO for name in NAMES), "each has one"


def test_the_common_words_speak_of_what_there_is():
    inputs = {field.name for name in NAMES for field in sizing_of(name).FIELDS}
    also = {word for name in NAMES for field in sizing_of(name).FIELDS for word in field.also}
    assert all(word in inputs | also for turned in TURNED.values() for word in turned.of)
    for (name, asked), (instead, change) in CHANGES.items():
        assert any(one.name == asked for one in (*sizing_of(name).FIELDS, *sizing_of(name).FINDINGS))
        assert sizing_of(instead).field(change)
    records = {record for name in NAMES for record in sizing_of(name).RECORDS}
    assert set(RECORDS) <= records
    assert set(LABEL.values()) == {"free speed", "stall torque"}
    parts = {f.name for name in NAMES for f in sizing_of(name).FIELDS if isinstance(f, Pick)} | {"springs"}
    words = {word for name in NAMES for f in sizing_of(name).FIELDS if isinstance(f, Pick) for word in f.also}
    assert set(ASKS_WHICH) <= parts | words | {"servos"}

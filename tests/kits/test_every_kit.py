"""Whatever kit a mentor writes: every sizing, picture, command, search and review works on it and says nothing odd.

The kits are the course's own and every folder in tests/kits. A number that nobody has is told in words ("never", "no
limit"): no sentence holds what Python writes for it.
"""

import math
import re
import warnings
from functools import cache
from pathlib import Path

import pytest

import mechbench as mb
from mechbench.catalog import NAMES, ROBOT, judge, sizing_of
from mechbench.desk import answer, pit_questions, record, review
from mechbench.desk.find import find
from mechbench.desk.find import text_of as text_of_search
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


def has_robots(folder):
    """Whether the kit has whole robots; without them the sizing of whole robots has nothing to judge."""
    return bool(opened(folder).robots)


def left_out(folder, name):
    """A whole robot of a kit without robots is refused in one sentence, and nothing more is asked of it."""
    if name == ROBOT and not has_robots(folder):
        with pytest.raises(ValueError, match="no whole robots; copy robots.toml"):
            judge(name, {}, opened(folder))
        return True
    return False


def says_no_oddity(text):
    """No text holds what Python writes for a number that is none."""
    odd = NOT_WORDS.search(text)
    assert not odd, text[max(0, odd.start() - 120) : odd.end() + 60]


@every_kit
def test_it_opens_and_every_number_is_one(folder):
    kit = opened(folder)
    for table in kit.tables():
        for column, values in kit.table(table).columns.items():
            assert not any(math.isnan(value) for value in values), (table, column)
    says_no_oddity(" ".join(kit.notes))
    assert kit.table("goals").names


@every_kit
@every_sizing
def test_a_sizing_is_judged_told_and_drawn(folder, name):
    if left_out(folder, name):
        return
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
    if left_out(folder, name):
        said = ask(name)
        assert said.code == 2 and said.err.count("\n") == 1 and "no whole robots" in said.err
        return
    for line in (name, f"{name} --help"):
        said = ask(line)
        assert said.code in (0, 1) and not said.err, said.err
        says_no_oddity(said.out)


@every_kit
@every_sizing
def test_a_sizing_is_searched(folder, name):
    if left_out(folder, name):
        return
    kit, sizing = opened(folder), sizing_of(name)
    picks = [field.name for field in sizing.FIELDS if isinstance(field, Pick)][:1]
    for pick in picks:
        says_no_oddity(text_of_search(find(name, pick, kit)))


@every_kit
@every_sizing
def test_a_bench_opens_and_speaks(folder, name):
    if left_out(folder, name):
        return
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
def test_the_quick_reference_answers(folder, in_force):
    for page in (questions_answered(), formulas(), rules_of_thumb()):
        says_no_oddity(repr(page))
    reference = Reference()
    for question in (*pit_questions.QUESTIONS, *pit_questions.QUICK):
        if ROBOT in question.answers and not has_robots(folder):
            assert question.asked not in repr(questions_answered())
            continue
        assert reference.ask(question.asked).bench.report is not None
        says_no_oddity(repr(reference))


@every_kit
def test_the_list_of_all_sizings_is_told(folder, in_force):
    said = ask("")
    assert said.code == 0 and not said.err
    says_no_oddity(said.out)

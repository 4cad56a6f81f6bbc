"""Forty questions of a pit, and the lines that two readers typed first, before they saw any help: what is answered.

Source: first_guesses.toml, which says who typed; they had seen three lines about the command `size` and no help.
"""

import shlex
import tomllib
from pathlib import Path

import pytest

from tests.desk.asked import ask

QUESTIONS = tomllib.loads(Path(__file__).with_name("first_guesses.toml").read_text(encoding="utf-8"))["questions"]
LONG = "--first"  # a search over all parts of a robot: asked in its own tests
GUESSES = [pair for one in QUESTIONS for pair in zip(one["typed"], one["before"]) if LONG not in pair[0]]


def test_there_are_forty_questions_each_typed_by_two():
    assert len(QUESTIONS) == 40 and all(len(one["typed"]) == len(one["before"]) == 2 for one in QUESTIONS)


@pytest.mark.parametrize("typed, before", GUESSES, ids=[typed for typed, _ in GUESSES])
def test_a_first_guess_is_answered_or_refused_in_one_sentence(typed, before):
    words = shlex.split(typed)
    said = ask([*words[1:], "--json"] if words[0] == "size" else words)
    assert said.code in (0, 1, 2) and (said.code == 2) == (said.out == "") == (said.err != "")
    if before == "answered":
        assert said.code < 2, "what was answered once stays answered"
    if said.code == 2:
        assert said.err.count("\n") == 1 and len(said.err) < 400, said.err


@pytest.mark.parametrize("line", [one["exact"] for one in QUESTIONS if "exact" in one and LONG not in one["exact"]])
def test_the_same_asked_in_the_calculators_own_words_is_answered(line):
    assert ask(line).code in (0, 1)

"""Forty questions of a pit, and the lines that two readers typed first, before they saw any help: what is answered.
And 25 more, typed by a third reader later, a student in a hurry: the second round; 25 of others are the third.

Source: first_guesses.toml, which says who typed; they had seen three lines about the command `size` and no help. What
a line must give is found apart from how a line is read: see guessed.py.
"""

import re
import shlex

import pytest

from tests.desk.asked import ask
from tests.desk.guessed import ANSWERED, OUTCOMES, QUESTIONS, REFUSED, SECOND, THIRD, exact_of, judged, outcome

LONG = "--first"  # a search over all parts of a robot: asked in its own tests
GOAL = 32  # of forty, for each reader
WAS = {"refused", "answered", "answered, but not the question"}  # before lines were read as people type them
GUESSES = [(question, at) for question in QUESTIONS for at in (0, 1) if LONG not in question["typed"][at]]
NAMED = [f"{at}-{question['typed'][at]}" for question, at in GUESSES]


def test_there_are_forty_questions_each_typed_by_two():
    assert len(QUESTIONS) == 40
    for one in QUESTIONS:
        assert len(one["typed"]) == len(one["before"]) == len(one["after"]) == 2 and one["exact"]
        assert set(one["before"]) <= WAS and set(one["after"]) <= set(OUTCOMES)


@pytest.mark.parametrize("at", [0, 1], ids=["student", "rookie"])
def test_four_of_five_first_guesses_are_answered(at):
    assert sum(one["after"][at] == ANSWERED for one in QUESTIONS) >= GOAL


@pytest.mark.parametrize("question, at", GUESSES, ids=NAMED)
def test_what_comes_of_a_first_guess_is_as_good_as_was_written_down(question, at):
    came = outcome(question, at)
    assert OUTCOMES.index(came) >= OUTCOMES.index(question["after"][at]), f"{came}; it was {question['after'][at]}"


@pytest.mark.parametrize("question, at", GUESSES, ids=NAMED)
def test_a_first_guess_is_answered_or_refused_in_one_sentence(question, at):
    words = shlex.split(question["typed"][at])
    said = ask([*words[words[0] == "size" :], "--json"])
    assert said.code in (0, 1, 2) and (said.code == 2) == (said.out == "") == (said.err != "")
    if said.code == 2:
        assert said.err.count("\n") == 1 and len(said.err) < 400, said.err


@pytest.mark.parametrize("line", [exact for q in QUESTIONS for exact in {exact_of(q, 0), exact_of(q, 1)}])
def test_the_same_in_the_calculators_own_words_is_answered_without_a_word_on_how_it_was_read(line):
    if LONG not in line:
        said = ask(line)
        assert said.code in (0, 1) and "taken as" not in said.out and "Typed in full" not in said.out, said.err


# --- a second round: the first lines of another reader --------------------------------------------------------------


def test_the_second_round_has_twenty_five_lines_of_one_reader():
    assert len(SECOND) == 25 and all(len(one["typed"]) == 1 and one["exact"] for one in SECOND)
    assert {one["before"] for one in SECOND} | {one["after"] for one in SECOND} <= set(OUTCOMES)


@pytest.mark.parametrize("question", SECOND, ids=[one["typed"][0] for one in SECOND])
def test_what_comes_of_a_line_of_the_second_round_is_as_good_as_was_written_down(question):
    came = outcome(question, 0)
    assert OUTCOMES.index(came) >= OUTCOMES.index(question["after"]), f"{came}; it was {question['after']}"


@pytest.mark.parametrize("question", SECOND, ids=[one["typed"][0] for one in SECOND])
def test_what_a_refused_line_lacks_is_said_with_what_was_typed(question):
    """A line that can't be answered leads there: its sentence holds a figure of the line, and no other part's."""
    words = shlex.split(question["typed"][0])
    said = ask(words[1:])
    if outcome(question, 0) == REFUSED:
        values = [(word.partition("=")[2] or word).replace("kgcm", "kgfcm") for word in words[2:]]
        assert said.err.count("\n") == 1 and any(value in said.err for value in values), said.err
        assert "did you mean" not in said.err


# --- a third round: what can't be answered leads on -----------------------------------------------------------------

REFUSED_NOW = [one for one in THIRD if one["after"] == REFUSED]


def lines_offered(sentence):
    """The lines after `size` that a sentence tells to type."""
    told = sentence.partition("type")[2]
    parts = re.split(r"(?:python3? -m mechbench )?\bsize ", told)[1:]
    return [re.sub(r"\s*(\(.*|\bor\b.*|for the most.*)$", "", part).strip(" .\n") for part in parts]


@pytest.mark.parametrize("question", THIRD, ids=[one["typed"][0] for one in THIRD])
def test_what_comes_of_a_line_of_the_third_round_is_as_good_as_was_written_down(question):
    assert {question["before"], question["after"]} <= set(OUTCOMES)
    came = outcome(question, 0)
    assert OUTCOMES.index(came) >= OUTCOMES.index(question["after"]), f"{came}; it was {question['after']}"


@pytest.mark.parametrize("question", REFUSED_NOW, ids=[one["typed"][0] for one in REFUSED_NOW])
def test_a_refused_line_leads_to_a_line_that_works_or_to_a_bound(question):
    """Or, where nothing here answers it, to the list of what does."""
    said = ask(shlex.split(question["typed"][0])[1:])
    assert said.code == 2 and said.err.count("\n") == 1
    lines = lines_offered(said.err)
    for line in lines:
        assert ask(line).code in (0, 1), f"{line}: {ask(line).err}"
    if not lines:
        says = "must be from .+ to " if question["finds"] else "is not a sizing; choose from"
        assert re.search(says, said.err), said.err


def test_another_figure_is_not_taken_for_the_answer():
    """The judge of the lines must be able to say no: other inputs, another sizing, a figure told further down."""
    question = {"typed": ["size lift stages=2 height"] * 2, "exact": "lift stages=3", "finds": ["lift.rise"]}
    assert outcome(question, 0) == "answered, but not the question"
    assert outcome({**question, "typed": ["size arm"] * 2}, 0) == "answered, but not the question"
    assert outcome({**question, "typed": ["size lift stages=3 temperature"] * 2}, 0) == "answered, further down"
    assert outcome({**question, "typed": ["size lift stages=3 height"] * 2}, 0) == ANSWERED
    most = {"typed": ["size lift heaviest"] * 2, "exact": "lift --least time_wanted", "finds": ["lift.payload"]}
    assert outcome(most, 0) == "answered, but not the question"
    assert judged("lift", ()).good["rise"] > 0

"""What came of a line that was typed first, held against the same asked in the calculator's own words.

The exact line is read here, by cutting it at its blanks and equals signs; the engine and the searches are asked
straight. So the reading of a line, which is what is judged, has no part in what it is judged by.

Contents: QUESTIONS, SECOND, THIRD, OUTCOMES, ANSWERED, exact_of, outcome; as a program, prints what comes of every line
today: python3 -m tests.desk.guessed
"""

import json
import shlex
import tomllib
from functools import cache
from pathlib import Path

import pytest

from mechbench.catalog import sizing_of
from mechbench.desk import find, most
from mechbench.desk.command_words import CANT
from mechbench.desk.record import number
from mechbench.engine.inputs import Tables
from mechbench.engine.judge import judge_with
from tests.desk.asked import ask

READ = tomllib.loads(Path(__file__).with_name("first_guesses.toml").read_text(encoding="utf-8"))
QUESTIONS = READ["questions"]
# One line each, of other readers.
SECOND, THIRD = ([one | {"typed": [one["typed"]]} for one in READ[name]] for name in ("second_round", "third_round"))
REFUSED, OTHER, BELOW, ANSWERED = "refused", "answered, but not the question", "answered, further down", "answered"
OUTCOMES = (REFUSED, OTHER, BELOW, ANSWERED)  # from bad to good
BESIDE = ("said", "asked_for", "made")  # of an answer's data: how it was read, what is told first, when


def exact_of(question, at):
    """The exact line for one of the two that were typed."""
    exact = question["exact"]
    return exact if isinstance(exact, str) else exact[at]


def outcome(question, at):
    """What comes of one of the two lines: one of OUTCOMES."""
    words = shlex.split(question["typed"][at])
    said = ask([*words[words[0] == "size" :], "--json"])
    if said.code == CANT:
        return REFUSED
    return _held_against(json.loads(said.out), exact_of(question, at), question["finds"])


def _held_against(data, exact, finds):
    if not exact:  # nothing here answers it
        return OTHER
    name, *words = exact.split()
    if name == "convert":
        return ANSWERED if data.get("in") and _same_quantity(data, words) else OTHER
    if data.get("sizing", name) != name:
        return OTHER
    given = dict(word.split("=", 1) for word in words if "=" in word and "--" not in word and word not in _after(words))
    option, text = _option(words)
    if option:
        wanted = reference(name, tuple(given.items()), option, text)
        return ANSWERED if _without(data) == json.loads(json.dumps(_without(wanted))) else OTHER
    return _judged(data, judged(name, tuple(given.items())), [one.partition(".")[2] for one in finds])


def _after(words):
    """What stands behind an option."""
    return [word for before, word in zip(words, words[1:]) if before.startswith("--")]


def _option(words):
    at = next((i for i, word in enumerate(words) if word.startswith("--")), None)
    return (None, "") if at is None else (words[at], words[at + 1] if at + 1 < len(words) else "")


def _judged(data, report, finds):
    """Whether the figures are those of the engine, and whether they are told first."""
    same = lambda day, name: data["findings"][name][day] == number(getattr(report, day)[name])
    if "findings" not in data or not all(same(day, name) for name in finds for day in ("good", "bad")):
        return OTHER
    first = [one["finding"] for one in data.get("asked_for", ())]
    first = first or [one.name for one in report.sizing.judged()]
    return ANSWERED if set(finds) <= set(first) else BELOW


def _same_quantity(data, words):
    *left, unit = words
    expected = {"N·m": 35 * 0.028349523125 * 9.80665 * 0.0254, "mm": 14 * 25.4}[unit]
    return data["in"].get(unit) == pytest.approx(expected, rel=1e-12)


def _without(data):
    return {key: value for key, value in data.items() if key not in BESIDE}


@cache
def judged(name, given):
    """A sizing judged with text for its inputs, and figures for its records."""
    sizing, tables = sizing_of(name), Tables(sizing_of(name))
    return judge_with(sizing, _values(sizing, dict(given), tables), tables)


def _values(sizing, given, tables):
    values = {}
    for name, text in given.items():
        if name in sizing.RECORDS:
            tables.add(name, text)
        else:
            values[name] = sizing.field(name).read(text, tables)
    return values


@cache
def reference(name, given, option, text):
    """The data of a search, a turned question or two designs, from the function that does it."""
    sizing = sizing_of(name)
    tables = Tables(sizing)
    values = _values(sizing, dict(given), tables)
    if option == "--find":
        return find.data_of(find.look(sizing, text, values, tables))
    if option in ("--most", "--least"):
        return most.data_of(most.look(sizing, option.lstrip("-"), text, values, tables))
    if option == "--against":
        from mechbench.desk import against

        return against.data_of(against.look(sizing, text, values, tables))
    raise ValueError(f"{option} has no reference here; add one.")


def main():
    """Print what comes of every line today."""
    count = [0, 0]
    for question in QUESTIONS:
        if "--first" in question["typed"][0]:
            came = [ANSWERED, ANSWERED]
        else:
            came = []
            for at in (0, 1):
                try:
                    came.append(outcome(question, at))
                except Exception as wrong:  # a part that is not there yet
                    came.append(f"{type(wrong).__name__}: {str(wrong)[:80]}")
        print(came, question["typed"])
        count = [n + (one == ANSWERED) for n, one in zip(count, came)]
    print("answered:", count)
    for name, questions in (("second", SECOND), ("third", THIRD)):
        came = [outcome(question, 0) for question in questions]
        for question, one in zip(questions, came):
            print([one], question["typed"])
        print(f"answered in the {name} round:", came.count(ANSWERED), "of", len(came))


if __name__ == "__main__":
    main()

"""A note where a sizing takes more motors or servos than the team has (`have` in parts.toml)."""

import json

import pytest

import mechbench as mb
from tests.desk.asked import ask
from tests.kits import gearmotor_kit


@pytest.fixture
def two_of_a_kind(monkeypatch, tmp_path):
    """A kit with two of one gearmotor in force; of the other one nobody says how many."""
    labels = gearmotor_kit.LABELS.replace("[gearmotors.ox]\n", "[gearmotors.ox]\nhave = 2\n")
    folder = gearmotor_kit.write(tmp_path / "kit", labels=labels)
    monkeypatch.setenv("MECHBENCH_WORK", str(tmp_path / "work"))
    monkeypatch.setenv("MECHBENCH_KIT", str(folder))


NOTE = "This takes 4 of ox gearmotor, but your team has 2."


def test_the_answer_says_it(two_of_a_kind):
    line = "drivetrain motor=ox gearbox=ox count=4"
    assert NOTE in " ".join(ask(line).out.split())
    assert json.loads(ask(f"{line} --json").out)["note"] == NOTE


@pytest.mark.parametrize("line", ["motor=ox gearbox=ox count=2", "motor=hare gearbox=hare count=4"])
def test_it_says_nothing_where_there_are_enough_or_nobody_says_how_many(two_of_a_kind, line):
    said = ask(f"drivetrain {line}").out
    assert "this takes" not in said.lower() and "note" not in json.loads(ask(f"drivetrain {line} --json").out)


def test_the_bench_says_it_as_long_as_it_is_so(two_of_a_kind):
    bench = mb.bench("drivetrain", values={"motor": "ox", "gearbox": "ox", "count": "4"})
    assert NOTE in bench._verdict.value and NOTE in bench.sentence
    bench.set(count="2")
    assert "This takes" not in bench._verdict.value and "This takes" not in bench.sentence

"""A kit without robots is told with those of the course's own, in the course's own game: every face says so first."""

import json
from pathlib import Path

import pytest

import mechbench as mb
from mechbench.desk import record, review
from mechbench.kits.load import own_kit, robot_instead
from tests.desk.asked import ask

FLAT = Path(__file__).parents[1] / "kits" / "flat"
OWN = own_kit()
LABELS = {plan.name: plan.label for plan in OWN.robots}
FIRST, OTHER = list(LABELS)[:2]


@pytest.fixture
def none_of_its_own(monkeypatch, tmp_path):
    """Put a kit without robots in force; what is written goes to the folder given."""
    monkeypatch.setenv("MECHBENCH_WORK", str(tmp_path / "work"))
    monkeypatch.setenv("MECHBENCH_KIT", str(FLAT))
    return tmp_path


def _says(text, label):
    """Whose robot, in which game, and where one's own belong."""
    flat = " ".join(text.split())
    return all(
        word in flat
        for word in ("no robots", f"{label} of the course's own", OWN.game.label, "robots.toml in your kit")
    )


@pytest.mark.parametrize("name", [FIRST, OTHER])
def test_the_command_begins_with_it(none_of_its_own, name):
    head, _, rest = ask(f"size robot which={name}".removeprefix("size ")).out.partition("\n\n")
    assert _says(head, LABELS[name]) and "no robots" not in rest
    data = json.loads(ask(f"robot which={name} --json").out)
    assert _says(data["instead"], LABELS[name])


@pytest.mark.parametrize("line", ["robot --sweep which", "robot --find which", "robot --help"])
def test_where_many_robots_are_told_none_is_named(none_of_its_own, line):
    first = " ".join(ask(line).out.partition("\n\n")[0].split())
    assert first.startswith("Your kit has no robots: these robots are the course's own") and OWN.game.label in first


def test_a_sweep_of_a_number_names_the_robot(none_of_its_own):
    line = "robot --sweep points_wanted=50..60 --steps 2"
    shown = " ".join(ask(line).out.partition("\n\n")[0].split())
    data = json.loads(ask(f"{line} --json").out)
    assert shown.startswith(data["instead"]) and any(_says(shown, label) for label in LABELS.values())


def test_the_list_says_it_of_the_robot_alone(none_of_its_own):
    listed = json.loads(ask("--json").out)["sizings"]
    assert [one["name"] for one in listed if "instead" in one] == ["robot"]


def test_bench_record_and_reopened_record_say_it(none_of_its_own):
    bench = mb.bench("robot", values={"which": FIRST})
    assert _says(bench.sentence, LABELS[FIRST]) and _says(bench._verdict.value.replace("&#x27;", "'"), LABELS[FIRST])
    bench.set(which=OTHER)
    assert _says(bench._verdict.value.replace("&#x27;", "'"), LABELS[OTHER])
    for name in ("one.html", "one.md"):
        path = none_of_its_own / name
        record.record(bench, path)
        assert _says(path.read_text(encoding="utf-8").replace("&#39;", "'"), LABELS[OTHER])
        assert _says(ask(["--reopen", str(path)]).out, LABELS[OTHER])


def test_the_review_says_it_on_paper_on_the_page_and_in_the_window(none_of_its_own, capsys):
    assert _says(review.review(FIRST).markdown.partition("\n\n")[0], LABELS[FIRST])
    path = none_of_its_own / "review.html"
    assert review.command([FIRST, "--to", str(path)]) == 0
    assert _says(capsys.readouterr().out.partition("\n")[0], LABELS[FIRST])
    assert _says(path.read_text(encoding="utf-8").replace("&#39;", "'"), LABELS[FIRST])


def test_a_kit_with_robots_says_nothing(monkeypatch):
    monkeypatch.setenv("MECHBENCH_KIT", str(FLAT.parent / "second_kit"))
    assert robot_instead(mb.kit()) == "" and "no robots" not in ask("robot").out
    assert "instead" not in json.loads(ask("robot --json").out)

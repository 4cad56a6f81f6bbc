"""The commands `test` and `published`: which runs of pytest a line means; and the plugin, in runs of pytest on small
files.
"""

import os
import subprocess
import sys
from types import SimpleNamespace

import pytest

from mechbench.launch import commands, run_tests
from mechbench.launch.places import ROOT


def lines(*typed):
    return [line for _, line in run_tests.runs(ROOT, *run_tests.read(list(typed)))]


def test_help_installs_nothing_and_names_every_word(capsys, monkeypatch):
    monkeypatch.setattr(run_tests.making, "ensure", lambda *_: pytest.fail("no need"))
    with pytest.raises(SystemExit) as end:
        commands.main(["test", "--help"])
    said = capsys.readouterr().out
    assert end.value.code == 0 and "tests/physics -q" in said and all(word in said for word in run_tests.WORDS)


def test_alone_it_is_one_run_of_tests_and_the_slowest_are_named():
    assert lines() == [["--durations=20"]]
    assert lines("tests/physics", "-q", "-m", "browser") == [["--durations=20", "tests/physics", "-q", "-m", "browser"]]


def test_benchmarks_run_one_by_one_in_their_folder_or_in_the_file_that_is_named():
    assert lines("--benchmarks", "-k", "lift") == [["--benchmarks", "-n", "0", "tests/benchmarks", "-k", "lift"]]
    named = "tests/benchmarks/test_latency.py::test_new_picture_comes_almost_as_fast_as_an_echo"
    assert lines("-q", "--benchmarks", named) == [["--benchmarks", "-n", "0", "-q", named]]


def test_every_other_kit_has_a_run_of_its_own_with_all_notebooks():
    kits = run_tests.other_kits(ROOT)
    assert ROOT / "tests" / "kits" / "second_kit" in kits
    assert lines("--kits") == [["--nbval-lax", f"--kit={kit}", "lessons", "solutions"] for kit in kits]
    assert lines("--kits", "lessons/01_motors.ipynb", "-x")[0][2:] == ["lessons/01_motors.ipynb", "-x"]
    assert lines("--kits", "-k", "lessons")[0][2:] == [
        "lessons",
        "solutions",
        "-k",
        "lessons",
    ], "a word of -k is no file"


def test_a_folder_more_is_a_kit_more(tmp_path):
    for name in ("beta", "alpha", "no_kit"):
        (tmp_path / "tests" / "kits" / name).mkdir(parents=True)
    for name in ("beta", "alpha"):
        (tmp_path / "tests" / "kits" / name / "game.toml").touch()
    assert [kit.name for kit in run_tests.other_kits(tmp_path)] == ["alpha", "beta"]


def test_thorough_brings_the_kits_unless_a_file_is_named():
    assert lines("--thorough") == [["--durations=20"], *lines("--kits")]
    assert lines("--thorough", "tests/course") == [["--durations=20", "tests/course"]]


def test_two_words_for_different_runs_are_refused(capsys):
    with pytest.raises(SystemExit) as end:
        run_tests.read(["--kits", "--benchmarks"])
    assert end.value.code == 2 and "type one of the two" in capsys.readouterr().err


@pytest.fixture
def ran(monkeypatch):
    """What would have been run, and with which words in the environment; each run gives the next exit code."""
    found = SimpleNamespace(lines=[], codes=[], thorough=[])

    def run(line, cwd, env):
        found.lines.append(line[3:])
        found.thorough.append(env.get(run_tests.THOROUGH))
        return SimpleNamespace(returncode=found.codes.pop(0))

    monkeypatch.delenv(run_tests.THOROUGH, raising=False)
    monkeypatch.setattr(run_tests.making, "ensure", lambda *_: None)
    monkeypatch.setattr(run_tests.environment, "use", lambda *_: {})
    monkeypatch.setattr(run_tests.subprocess, "run", run)
    return found


def test_thorough_is_told_to_everything_below(ran, capsys):
    ran.codes = [0, 3, *[0] * len(run_tests.other_kits(ROOT))]
    assert commands.main(["test", "--thorough"]) == 3
    assert ran.lines == lines("--thorough") and set(ran.thorough) == {"1"}
    assert "Notebooks with the kit tests/kits/second_kit:" in capsys.readouterr().out


def test_every_day_it_is_not_thorough(ran):
    ran.codes = [1]
    assert commands.main(["test", "-q"]) == 1 and ran.thorough == [None]


def test_what_is_left_out_without_a_browser_is_said_first_and_last(ran, monkeypatch, capsys):
    monkeypatch.setattr(run_tests.chromium, "find", lambda: run_tests.chromium.Chromium("", ""))
    ran.codes = [0]
    assert commands.main(["test"]) == 0
    said = capsys.readouterr().out.splitlines()
    assert said[0] == said[-1] and said[0].startswith(
        "What needs a browser is left out: Chromium and chromedriver were not found"
    )


@pytest.mark.parametrize(
    "codes, code", [([0, 0], 0), ([0, 5], 0), ([5, 0], 0), ([5, 5], 5), ([1, 5], 1), ([0, 1], 1), ([2, 1], 2)]
)
def test_one_exit_code_for_several_runs(codes, code):
    assert run_tests.worst(codes) == code


# The plugin

FILE = """
import os, tempfile
import pytest

@pytest.mark.benchmark
def test_slow():
    pass

def test_one(tmp_path):
    (tmp_path / "kept").write_text("no")
    print("kit:", os.environ["MECHBENCH_KIT"], "home:", os.environ["MECHBENCH_HOME"], "temp:", tempfile.mkdtemp())

def test_two():
    from hypothesis import settings
    assert settings().deadline is None
"""


def pytest_on(folder, *words):
    """A run of pytest on small tests, with the plugin and its own temporary folder; give what it said."""
    (folder / "test_small.py").write_text(FILE)
    (folder / "pytest.ini").write_text(
        "[pytest]\naddopts = -p mechbench.pytest_plugin -p no:nbval -p no:cacheprovider\nmarkers = benchmark\n"
    )
    (folder / "temporary").mkdir(exist_ok=True)
    line = [sys.executable, "-m", "pytest", "-rA", *words, str(folder)]
    env = {
        **os.environ,
        "TMPDIR": str(folder / "temporary"),
        "MECHBENCH_HOME": "the learner's own",
        "MECHBENCH_KIT": "the learner's own",
    }
    return subprocess.run(line, cwd=ROOT, env=env, capture_output=True, text=True).stdout


def test_tests_run_alone_in_surroundings_of_their_own_and_leave_nothing(tmp_path):
    said = pytest_on(tmp_path, "-n", "2")
    assert "2 passed" in said and "test_slow" not in said
    assert "kit:  home:" in said and "the learner's own" not in said
    assert f"temp: {tmp_path / 'temporary'}" in said and list((tmp_path / "temporary").iterdir()) == []


def test_benchmarks_run_alone_and_a_kit_is_handed_on(tmp_path):
    said = pytest_on(tmp_path, "-n", "0", "--benchmarks")
    assert "1 passed, 2 deselected" in said and "PASSED" in said and "test_slow" in said
    said = pytest_on(tmp_path, "-n", "0", "--kit", "tests/kits/second_kit")
    assert f"kit: {ROOT / 'tests' / 'kits' / 'second_kit'} home:" in said
    assert list((tmp_path / "temporary").iterdir()) == []


# published


def test_the_table_of_checks_is_made_from_rows_each_once():
    row = {
        "topic": "motor",
        "what": "back-EMF [V]",
        "got": 100.0,
        "expected": 100.0,
        "rtol": 1e-9,
        "source": "a book",
        "known": "read",
    }
    said = list(run_tests.published_table([row, dict(row), {**row, "topic": "belt"}]))
    assert said[0] == "belt: back-EMF [V]" and said[2] == "motor: back-EMF [V]"
    assert said[1] == "    expected 100, got 100 (within 1e-09); read: a book"
    assert said[-1] == "2 checks in 2 topics: belt, motor"
    assert list(run_tests.published_table([row], ["belt"])) == ["0 checks in 0 topics: "]

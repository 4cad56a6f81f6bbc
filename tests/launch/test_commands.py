import subprocess
import sys

import pytest

from mechbench.launch import commands, start
from mechbench.launch.places import ROOT, Places


def test_alone_or_with_help_the_commands_are_listed(capsys):
    for arguments in ([], ["--help"], ["-h"], ["help"]):
        assert commands.main(arguments) == 0
        said = capsys.readouterr().out
        assert all(f"  {name} " in said for name in commands.COMMANDS)


@pytest.mark.parametrize("typed, near", [("strat", "start"), ("tests", "test"), ("Start", "start")])
def test_an_unknown_command_is_answered_with_the_nearest(typed, near, capsys):
    assert commands.main([typed]) == 2
    assert capsys.readouterr().err == f"There is no command '{typed}'; did you mean {near}?\n"


def test_an_unknown_command_without_a_neighbour_lists_them(capsys):
    assert commands.main(["xyzzy"]) == 2
    assert "there are: start, test" in capsys.readouterr().err


def test_a_number_waits_for_nothing_that_another_command_or_answer_needs():
    others = (
        "mechbench.launch.start",
        "mechbench.launch.server",
        *(f"mechbench.desk.{one}" for one in ("find", "sweep", "overview", "reopen", "pictures")),
    )
    line = "import sys; from mechbench.launch import commands; commands.main(['size', 'motor']); print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", line], cwd=ROOT, capture_output=True, text=True, check=True)
    loaded = done.stdout.split("\n")[-2].split()
    assert "mechbench.desk.size_command" in loaded and not set(others) & set(loaded)


def test_a_wrong_option_of_start_is_named(capsys):
    with pytest.raises(SystemExit) as end:
        commands.main(["start", "--dyr"])
    assert end.value.code == 2 and "--dyr" in capsys.readouterr().err


def test_a_wheel_folder_without_wheels_is_refused(tmp_path, capsys):
    assert commands.main(["start", "--wheels", str(tmp_path)]) == 1
    assert capsys.readouterr().err.startswith(f"The folder {tmp_path} holds no packages")


def test_errors_of_the_system_become_one_sentence(capsys, monkeypatch):
    def full(_):
        raise OSError(28, "No space left on device", "/x")

    monkeypatch.setattr(start, "command", full)
    assert commands.main(["start"]) == 1
    said = capsys.readouterr()
    assert said.err == "The disk is full (/x): free about 1 GB, then type the command again.\n" and said.out == ""


def test_what_nobody_foresaw_is_one_line_without_a_trace(capsys, monkeypatch):
    def fault(_):
        raise KeyError("two\nlines")

    monkeypatch.setattr(start, "command", fault)
    assert commands.main(["start"]) == 1
    said = capsys.readouterr().err
    assert said.count("\n") == 1 and said.startswith("This is a fault of mechbench (KeyError in commands.py, line ")


@pytest.mark.parametrize(
    "line", [["start", "--dry", "--wheels", "~nobody-of-that-name"], ["wheels", "~nobody-of-that-name\0"]]
)
def test_the_home_of_nobody_is_a_name_like_any_other(line, capsys, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("MECHBENCH_WORK", "~nobody-of-that-name/work")
    assert commands.main(line) == 1
    said = capsys.readouterr().err
    assert said.count("\n") == 1 and "Traceback" not in said


# Commands that need the installed packages


@pytest.fixture
def echo(monkeypatch):
    """A command `echo` that needs packages."""
    calls = []
    monkeypatch.setitem(commands.COMMANDS, "echo", commands.Command("say it", f"{__name__}:echoed"))
    monkeypatch.setattr(commands, "_run_inside", lambda name, rest, where: calls.append((name, rest)) or 7)
    monkeypatch.setattr(
        commands.importlib, "import_module", lambda name: type("M", (), {"echoed": lambda rest: calls.append(rest)})
    )
    return calls


def test_a_command_with_its_packages_here_runs_here(echo, monkeypatch):
    monkeypatch.setattr(commands, "packages_here", lambda where: True)
    assert commands.main(["echo", "a", "--help"]) == 0
    assert echo == [["a", "--help"]]


def test_a_command_without_its_packages_runs_inside_venv(echo, monkeypatch):
    monkeypatch.setattr(commands, "packages_here", lambda where: False)
    assert commands.main(["echo", "a"]) == 7
    assert echo == [("echo", ["a"])]


def test_packages_are_here_when_they_were_installed_by_hand(tmp_path, monkeypatch):
    where = Places(ROOT, tmp_path / ".venv", tmp_path)
    assert commands.packages_here(where)
    monkeypatch.setattr(
        commands.environment, "learner_packages", lambda root: ["numpy>=1", "no-such-package-at-all>=1"]
    )
    assert not commands.packages_here(where)


def test_packages_are_here_inside_venv(tmp_path, monkeypatch):
    monkeypatch.setattr(commands.environment, "learner_packages", lambda root: ["no-such-package-at-all>=1"])
    monkeypatch.setattr(commands.sys, "prefix", str(tmp_path))
    assert commands.packages_here(Places(ROOT, tmp_path, tmp_path))

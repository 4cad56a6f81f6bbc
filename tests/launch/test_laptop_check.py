"""The half of `check` that needs nothing installed."""

import subprocess
import sys

import pytest

from mechbench.launch import commands, laptop_check
from mechbench.launch.places import ROOT, Places
from mechbench.launch.problem import Problem


@pytest.fixture
def where(tmp_path):
    return Places(ROOT, tmp_path / ".venv", tmp_path / "work")


def at(monkeypatch, where):
    monkeypatch.setattr(laptop_check.places, "find", lambda *_: where)
    return where


def problem_of(look, *arguments):
    with pytest.raises(Problem) as error:
        look(*arguments)
    return str(error.value)


def test_all_is_well(monkeypatch, where, capfd):
    at(monkeypatch, where)
    monkeypatch.setattr(laptop_check.environment, "learner_packages", lambda root: ["numpy>=1.26", "ipywidgets>=8.1"])
    assert laptop_check.command([]) == 0
    said = capfd.readouterr().out.splitlines()
    lines = [line for line in said if not line.startswith(" ")]  # of each check the first
    assert (
        len(lines) == 11
        and lines[-1] == "This laptop is ready."
        and all(line.startswith("ok  ") for line in lines[:-1])
    )
    assert not where.work.exists() and not where.venv.exists(), "nothing is installed and nothing left behind"


def test_nothing_is_left_in_the_home_folder_of_ipython(monkeypatch, where, tmp_path, capfd):
    at(monkeypatch, where)
    for name in ("IPYTHONDIR", "XDG_DATA_HOME", "MECHBENCH_HOME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setattr(laptop_check.environment, "learner_packages", lambda root: ["numpy>=1.26"])
    assert laptop_check.command([]) == 0
    assert "Slider: moved" in capfd.readouterr().out
    kept = {path.name for path in (tmp_path / "home").rglob("*") if path.is_file()}
    assert not {name for name in kept if "history" in name or name.startswith("jpserver")}
    assert not (tmp_path / "home" / ".ipython").exists() and not where.work.exists()


def test_without_packages_it_says_so_and_installs_nothing(monkeypatch, where, capsys):
    at(monkeypatch, where)
    monkeypatch.setattr(commands, "packages_here", lambda where: False)
    assert laptop_check.command([]) == 1
    said = capsys.readouterr().out
    assert (
        "NOT OK  Packages:" in said
        and "there is none yet" in said
        and "start --wheels FOLDER" in said
        and "Slider" not in said
    )
    assert "This laptop is not ready" in said and not where.venv.exists()


def test_a_fault_of_the_other_half_counts(monkeypatch, where, capfd):
    at(monkeypatch, where)
    monkeypatch.setattr(laptop_check, "OTHER_HALF", "no_such_module")
    assert laptop_check.command([]) == 1
    assert "not ready" in capfd.readouterr().out


def test_a_python_of_32_bit_is_refused():
    assert "64 bit" in laptop_check.python() and "64-bit" in problem_of(laptop_check.python, 32)


def test_a_work_folder_that_can_not_be_written_is_said(where, monkeypatch):
    assert "can be written to" in laptop_check.work_folder(where)

    def refused(**_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(laptop_check.tempfile, "TemporaryFile", refused)
    assert "MECHBENCH_WORK" in problem_of(laptop_check.work_folder, where)


def test_lessons_are_counted(tmp_path, where):
    assert "notebooks in" in laptop_check.lessons(where)
    assert "there is none" in problem_of(laptop_check.lessons, Places(tmp_path, tmp_path, tmp_path))


def test_help_looks_at_nothing(capsys):
    with pytest.raises(SystemExit) as end:
        commands.main(["check", "--help"])
    assert end.value.code == 0 and "nothing is installed" in capsys.readouterr().out


def test_there_is_nothing_to_choose(capsys):
    with pytest.raises(SystemExit) as end:
        commands.main(["check", "all"])
    assert end.value.code == 2 and capsys.readouterr().err.startswith("'all' is one word too many; ")


def test_it_runs_on_a_bare_python(tmp_path):
    code = (
        f"import sys; sys.path.insert(0, {str(ROOT)!r}); from mechbench.launch import laptop_check;"
        " print(laptop_check.python())"
    )
    done = subprocess.run([sys.executable, "-S", "-c", code], capture_output=True, text=True, cwd=tmp_path)
    assert done.returncode == 0 and "bit" in done.stdout

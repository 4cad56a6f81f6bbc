import ast
import os
import subprocess
import sys

import pytest

from mechbench import __main__ as door
from mechbench.launch.places import ROOT


def test_an_old_python_is_told_which_newer_one_to_type():
    said = door.too_old((3, 9, 6), "linux", "/usr/bin/python3", "python3.12")
    assert (
        said == "This Python is 3.9 (/usr/bin/python3), and mechbench needs 3.11 or newer: "
        "type python3.12 -m mechbench start, because that one is new enough."
    )


@pytest.mark.parametrize(
    "platform, command",
    [("linux", "python3.12 -m mechbench start"), ("darwin", "python3.12 -m"), ("win32", "py -m mechbench start")],
)
def test_where_there_is_no_newer_python_the_way_to_one_is_named(platform, command):
    said = door.too_old((3, 8, 0), platform, "python", "")
    assert "python.org" in said and command in said and "\n" not in said


def test_a_newer_python_counts_only_when_it_runs(tmp_path, monkeypatch):
    broken, good = tmp_path / "python-broken", tmp_path / "python-good"
    broken.write_text("#!/bin/sh\nexit 127\n")
    broken.chmod(0o755)
    good.symlink_to(sys.executable)
    names = [str(tmp_path / "python-absent"), str(broken), str(good)]
    assert door.newer_python(names) == str(good)
    assert door.newer_python(names[:2]) == ""


@pytest.mark.parametrize("file", ["mechbench/__init__.py", "mechbench/__main__.py"])
def test_what_an_old_python_reads_has_nothing_new_in_it(file):
    tree = ast.parse((ROOT / file).read_text("ascii"))
    for node in ast.walk(tree):
        assert not isinstance(node, (ast.JoinedStr, ast.AnnAssign, ast.NamedExpr, ast.Match, ast.AsyncFunctionDef))
        if isinstance(node, ast.FunctionDef):
            assert node.returns is None and not node.args.kwonlyargs and not node.args.posonlyargs
            assert all(argument.annotation is None for argument in node.args.args)


def bare(code, home):
    """Run code in a Python that has nothing but the standard library."""
    return subprocess.run(
        [sys.executable, "-I", "-S", "-c", code],
        env={**os.environ, "HOME": str(home), "USERPROFILE": str(home), "MECHBENCH_WORK": ""},
        capture_output=True,
        text=True,
    )


def test_start_dry_runs_with_nothing_installed_and_changes_nothing(tmp_path):
    code = f"""
import importlib.util, runpy, sys
sys.dont_write_bytecode = True
assert importlib.util.find_spec("numpy") is None, "this Python is not bare"
sys.path.insert(0, {str(ROOT)!r})
sys.argv = ["mechbench", "start", "--dry"]
runpy.run_module("mechbench", run_name="__main__")
"""
    done = bare(code, tmp_path)
    assert done.returncode == 0, done.stderr
    assert f"work folder: {tmp_path / 'mechbench-work'}" in done.stdout
    assert "JupyterLab: would be started" in done.stdout
    assert list(tmp_path.iterdir()) == []


def test_importing_mechbench_loads_nothing_that_must_be_installed(tmp_path):
    code = f"import sys; sys.path.insert(0, {str(ROOT)!r}); import mechbench; print(len(dir(mechbench)))"
    done = bare(code, tmp_path)
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) > 10


@pytest.mark.skipif(sys.platform == "win32", reason="accounts are told of elsewhere")
@pytest.mark.parametrize("command", ["start", "check", "size"])
def test_an_account_without_home_and_without_an_entry_gets_a_sentence(command):
    code = f"""
import os, pwd, runpy, sys
def nobody(_):
    raise KeyError("getpwuid(): uid not found")
pwd.getpwuid = nobody
del os.environ["HOME"]
sys.dont_write_bytecode = True
sys.path.insert(0, {str(ROOT)!r})
sys.argv = ["mechbench", {command!r}]
runpy.run_module("mechbench", run_name="__main__")
"""
    done = bare(code, "/")
    assert done.returncode == 1 and done.stdout == ""
    assert done.stderr == (
        "This account has no home folder, where the lessons and your answers would be kept: set HOME to a folder that"
        " you may write to, then type the command again.\n"
    )

import ast
import json
import os
import subprocess
import sys
import textwrap
import tomllib
from importlib import metadata

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from mechbench.launch import environment, exact, lacking, making, places
from mechbench.launch.places import Places
from mechbench.launch.problem import Problem

PROJECT = """
[project]
name = "x"
version = "1"
dependencies = [
    "numpy>=1,<3",   # sums
    "pint>=0.24",
]
[project.optional-dependencies]
test = [
    "pytest>=8",  # runs
]
"""


@pytest.fixture
def where(tmp_path):
    root = tmp_path / "clone"
    root.mkdir()
    (root / "pyproject.toml").write_text(PROJECT)
    return Places(root, root / ".venv", tmp_path / "work")


@pytest.fixture
def made(where):
    """A real .venv without pip, with the marker that says it is ready for a learner."""
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(where.venv)], check=True)
    mark(where, ["learner"])
    return where


def mark(where, names, **changes):
    marker = environment.marker_for(where, names) | changes
    environment.replace_text(where.venv / environment.MARKER, json.dumps(marker))


def test_the_lists_of_packages_are_read(where):
    assert environment.sets(where.root) == {"learner": ["numpy>=1,<3", "pint>=0.24"], "test": ["pytest>=8"]}


LISTS = environment.sets(places.ROOT)
LEARNER, TEST = ([Requirement(line) for line in LISTS[name]] for name in ("learner", "test"))


def imported(folder, but=()):
    """The packages that the files of a folder import, as they are called there; some files may be left out."""
    paths = [path for path in (places.ROOT / folder).rglob("*.py") if path.name not in but]
    trees = [ast.parse(path.read_text(encoding="utf-8")) for path in paths]
    nodes = [node for tree in trees for node in ast.walk(tree)]
    names = [alias.name for node in nodes if isinstance(node, ast.Import) for alias in node.names]
    names += [node.module for node in nodes if isinstance(node, ast.ImportFrom) and not node.level]
    return {name.partition(".")[0] for name in names} - sys.stdlib_module_names - {"mechbench", "tests"}


def installed_as(names):
    """The packages that bring what is imported under these names."""
    brings = metadata.packages_distributions()
    return {canonicalize_name(package) for name in names for package in brings[name]}


def test_what_we_import_is_what_a_learner_installs():
    # JupyterLab is started as a program, its page is asked for by the browser alone; pytest_plugin.py is for the tests.
    assert installed_as(imported("mechbench", but=["pytest_plugin.py"])) | {"jupyterlab"} == {
        need.name for need in LEARNER
    }


def test_what_the_tests_import_is_installed_with_them():
    assert installed_as(imported("tests")) <= {need.name for need in (*LEARNER, *TEST)}
    assert not {need.name for need in LEARNER} & {need.name for need in TEST}


def test_every_package_has_a_lower_and_an_upper_bound_and_no_conditions():
    """So that the name can be told before anything is installed that reads conditions."""
    for line in (*LISTS["learner"], *LISTS["test"]):
        need = Requirement(line)
        assert [bound.operator for bound in sorted(need.specifier, key=str)] == ["<", ">="], line
        assert need.marker is None and need.url is None and not need.extras, line
        assert environment.distribution(line) == need.name == canonicalize_name(need.name), line


def test_the_list_for_installing_by_hand_is_the_same_one():
    lines = [line.partition("#") for line in (places.ROOT / "requirements.txt").read_text("utf-8").splitlines() if line]
    assert all(comment.strip() for _, _, comment in lines), "every package says what it is for"
    given = [line.strip() for line, _, _ in lines if line.strip()]
    assert given[-1] == "-e ." and sorted(map(str, map(Requirement, given[:-1]))) == sorted(map(str, LEARNER))


def test_what_builds_the_package_is_what_the_tests_build_it_with():
    with open(places.ROOT / "pyproject.toml", "rb") as file:
        (builder,) = tomllib.load(file)["build-system"]["requires"]
    assert Requirement(builder) in TEST


def test_every_package_says_what_it_is_for():
    lines = (places.ROOT / "pyproject.toml").read_text("utf-8").splitlines()
    told = [line for line in lines if line.strip().startswith('"') and ">=" in line]
    assert len(told) == len(LEARNER) + len(TEST) and all(line.partition("#")[2].strip() for line in told)


# Is it ready?


def test_a_marked_venv_is_ready(made):
    assert environment.not_ready(made, "learner") == ""


def test_there_is_none_yet(where):
    assert environment.not_ready(where, "learner") == "there is none yet"
    where.venv.mkdir()
    (where.venv / environment.LOCK).touch()
    assert environment.not_ready(where, "learner") == "there is none yet"


def test_half_made_without_a_python(where):
    (where.venv / "bin").mkdir(parents=True)
    assert environment.not_ready(where, "learner").startswith("it was not finished")


def test_the_python_it_was_made_with_has_gone(made):
    python = places.python_of(made.venv)
    python.unlink()
    python.symlink_to(made.root / "no-such-python")
    assert "has gone" in environment.not_ready(made, "learner")


def test_made_without_the_marker(made):
    (made.venv / environment.MARKER).unlink()
    assert "not finished" in environment.not_ready(made, "learner")


@pytest.mark.parametrize("text", ["", "{", "[]", "3", "{}"])
def test_a_broken_marker_does_not_count(made, text):
    (made.venv / environment.MARKER).write_text(text)
    assert environment.not_ready(made, "learner")


def test_moved(made):
    moved = Places(made.root, made.root / "elsewhere", made.work)
    os.rename(made.venv, moved.venv)
    assert environment.not_ready(moved, "learner") == "it was moved or copied"


def test_another_python(made):
    mark(made, ["learner"], python="3.9")
    assert "belongs to Python 3.9" in environment.not_ready(made, "learner")


def test_changed_requirements(made):
    (made.root / "pyproject.toml").write_text(PROJECT.replace("numpy>=1", "numpy>=2"))
    assert environment.not_ready(made, "learner") == "the list of packages has changed"


def test_a_changed_exact_list(made):
    file = exact.file(made.root, "learner")
    file.parent.mkdir()
    file.write_text("numpy==1.0\n")
    assert environment.not_ready(made, "learner") == "the list of packages has changed"


def test_changed_comments_or_order_change_nothing(made):
    both = ('    "numpy>=1,<3",   # sums\n', '    "pint>=0.24",\n')
    (made.root / "pyproject.toml").write_text(
        PROJECT.replace("".join(both), "".join(reversed(both)).replace("sums", "arrays"))
    )
    assert environment.not_ready(made, "learner") == ""


def test_the_packages_for_the_tests_are_asked_for_apart(made):
    assert environment.not_ready(made, "test") == environment.ADD
    mark(made, ["learner", "test"])
    assert environment.not_ready(made, "test") == ""
    (made.root / "pyproject.toml").write_text(PROJECT.replace("pytest>=8", "pytest>=9"))
    assert environment.not_ready(made, "test") == "the list of packages has changed"
    assert environment.not_ready(made, "learner") == ""


# Does it work?


def test_the_python_of_a_venv_is_read_there(made):
    assert environment.python_version(made.venv) == "{}.{}".format(*sys.version_info)
    (made.venv / "pyvenv.cfg").write_text("home = /usr/bin\nversion = 3.9.18\n")
    assert environment.python_version(made.venv) == "3.9"


def test_what_a_venv_lacks_is_named(made):
    (made.root / "pyproject.toml").write_text(PROJECT.replace("pint", "no-such-package"))
    packages = places.packages_of(made.venv)
    (packages / "numpy-1.9.dist-info").mkdir()
    (packages / "numpy-1.9.dist-info" / "METADATA").write_text("Metadata-Version: 2.1\nName: numpy\nVersion: 1.9\n")
    assert environment.lacking(made, "learner") == ["no-such-package>=0.24"]


@pytest.mark.parametrize(
    "version, good",
    [("1", True), ("1.0.0", True), ("2.10", True), ("0.9.9", False), ("3", False), ("3.0", False), ("10.1", False)]
    + [("2.9.1rc1", True), ("3.0.dev1", False), ("1.post1", True)],
)
def test_bounds_are_read_as_packaging_reads_them(version, good):
    """Against PEP 440, by the reader of the package `packaging`; versions before a release count as that release."""
    assert lacking.satisfied("numpy>=1,<3", version) is good
    assert Requirement("numpy>=1,<3").specifier.contains(version, prereleases=True) is good


# Making it


def test_a_ready_venv_is_left_alone(made):
    making.ensure(made, "learner", "start", lambda *_, **__: pytest.fail("nothing to say"))
    assert not (made.venv / environment.LOCK).exists()


def test_mechbench_can_be_imported_from_anywhere_in_the_venv(made, tmp_path):
    (made.root / "mechbench").mkdir()
    (made.root / "mechbench" / "__init__.py").write_text("here = True\n")
    environment.point_at(made)
    line = [str(places.python_of(made.venv)), "-c", "import mechbench; print(mechbench.here)"]
    done = subprocess.run(line, cwd=tmp_path, env=environment.surroundings(os.environ), capture_output=True, text=True)
    assert done.stdout == "True\n", done.stderr


def test_a_folder_with_letters_of_any_language_can_be_pointed_at(tmp_path):
    root = tmp_path / "Jos\u00e9 \u6a5f\u68b0"
    (root / "mechbench").mkdir(parents=True)
    (root / "mechbench" / "__init__.py").write_text("here = True\n")
    where = Places(root, root / ".venv", tmp_path)
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(where.venv)], check=True)
    environment.point_at(where)
    line = [str(places.python_of(where.venv)), "-c", "import mechbench; print(mechbench.here)"]
    assert (
        subprocess.run(line, cwd=tmp_path, env=environment.surroundings(os.environ), capture_output=True).stdout
        == b"True\n"
    )


def test_a_folder_that_is_not_ours_is_never_emptied(where):
    where = Places(where.root, where.root / "my photos", where.work)
    where.venv.mkdir()
    (where.venv / "a.jpg").touch()
    with pytest.raises(Problem, match="did not make"):
        making.ensure(where, "learner", "start", print)
    assert [file.name for file in where.venv.iterdir()] == ["a.jpg"]


def test_a_venv_of_another_project_is_never_emptied(made, tmp_path):
    elsewhere = Places(made.root, tmp_path / "theirs", made.work)
    os.rename(made.venv, elsewhere.venv)
    with pytest.raises(Problem, match="did not make"):
        making.ensure(elsewhere, "learner", "start", print)
    assert (elsewhere.venv / "pyvenv.cfg").exists()


def test_a_file_in_the_way(where):
    where.venv.write_text("")
    with pytest.raises(Problem, match="in the way"):
        making.ensure(where, "learner", "start", print)


def test_replacing_does_not_follow_links(where, tmp_path):
    outside, new = tmp_path / "outside", places.beside(where.venv, "new")
    for folder in (outside, where.venv, new):
        folder.mkdir()
    (outside / "kept").touch()
    (where.venv / "lib64").symlink_to(outside)
    making.replace_by(new, where.venv)
    assert not any(where.venv.iterdir()) and (outside / "kept").exists()
    assert [path.name for path in where.root.glob(".venv*")] == [".venv"]


def test_a_file_is_written_whole_or_not_at_all(tmp_path):
    path = tmp_path / "ready.json"
    path.write_text("old")
    with pytest.raises(UnicodeEncodeError):
        environment.replace_text(path, "new \ud800")
    assert path.read_text() == "old"


def test_settings_that_would_break_the_venv_are_not_passed_on():
    assert environment.surroundings({"PYTHONPATH": "/a", "PIP_USER": "1", "PIP_INDEX_URL": "u", "PATH": "p"}) == {
        "PIP_INDEX_URL": "u",
        "PATH": "p",
    }


def test_a_folder_named_from_here_is_named_as_a_whole_for_programs_that_run_elsewhere(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setenv("USERPROFILE", str(tmp_path / "home"))
    passed = environment.surroundings(
        {"MECHBENCH_KIT": "../our_kit ", "MECHBENCH_HOME": "~/answers", "MECHBENCH_UNITS": "us"}
    )
    assert passed == {
        "MECHBENCH_KIT": str(tmp_path.parent / "our_kit"),
        "MECHBENCH_HOME": str(tmp_path / "home" / "answers"),
        "MECHBENCH_UNITS": "us",
    }
    assert environment.surroundings({"MECHBENCH_KIT": "  "}) == {"MECHBENCH_KIT": "  "}


FAKE_VENV = """
    import pathlib, sys
    pathlib.Path(sys.argv[-1], "bin").mkdir(parents=True, exist_ok=True)
    pathlib.Path(sys.argv[-1], "pyvenv.cfg").touch()
    print("ensurepip is not\\navailable")
    sys.exit(1)
"""


def test_a_python_without_ensurepip_leaves_no_half_venv(where, tmp_path, monkeypatch):
    modules = tmp_path / "modules"
    modules.mkdir()
    (modules / "venv.py").write_text(textwrap.dedent(FAKE_VENV))
    monkeypatch.setattr(making, "surroundings", lambda environ: {**environ, "PYTHONPATH": str(modules)})
    monkeypatch.setattr(making, "find_spec", lambda name: None)
    with pytest.raises(Problem, match="apt install"):
        making.ensure(where, "learner", "start", lambda *_, **__: None)
    assert [path.name for path in where.root.glob(".venv*")] == [".venv.lock"]

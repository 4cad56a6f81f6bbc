"""Filling a folder of packages for other laptops: a real pip, small packages in a folder of their own, no network."""

import sys
import zipfile

import pytest
from packaging.markers import default_environment

from mechbench import wheels
from mechbench.launch.places import Places
from mechbench.wheels import Target, fill

WINDOWS, LINUX, MAC = Target("windows", "3.12"), Target("linux", "3.12"), Target("mac", "3.13")


def make(folder, name, version="1.0", needs=(), tag="py3-none-any", asks=""):
    """Write a small package as a wheel."""
    info = f"{name}-{version}.dist-info"
    lines = [f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}", *(f"Requires-Dist: {need}" for need in needs)]
    lines += [f"Requires-Python: {asks}"] if asks else []
    with zipfile.ZipFile(folder / f"{name}-{version}-{tag}.whl", "w") as wheel:
        wheel.writestr(f"{info}/METADATA", "\n".join(lines) + "\n")
        wheel.writestr(f"{info}/WHEEL", f"Wheel-Version: 1.0\nGenerator: tests\nRoot-Is-Purelib: true\nTag: {tag}\n")
        wheel.writestr(f"{info}/RECORD", "")


@pytest.fixture
def shop(tmp_path, monkeypatch):
    """A folder that pip takes all packages from."""
    place = tmp_path / "shop"
    place.mkdir()
    for name in ("PIP_EXTRA_INDEX_URL", "PIP_INDEX_URL", "PIP_CONSTRAINT"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("PIP_CONFIG_FILE", "/dev/null" if sys.platform != "win32" else "nul")
    monkeypatch.setenv("PIP_NO_INDEX", "1")
    monkeypatch.setenv("PIP_FIND_LINKS", str(place))
    return place


@pytest.fixture
def stick(tmp_path):
    place = tmp_path / "stick"
    place.mkdir()
    return place


def names(folder):
    return sorted(path.name.split("-")[0] for path in folder.glob("*.whl"))


def filled(stick, target, *packages):
    return fill(stick, target, packages, sys.executable)


def test_each_kind_of_laptop_gets_what_it_needs_and_nothing_else(shop, stick):
    make(
        shop,
        "lab",
        needs=[
            'onlywin; os_name == "nt"',
            'onlymac; platform_system == "Darwin"',
            'unixy; sys_platform != "win32"',
            'old; python_version < "3.12"',
            'dev; extra == "test"',
        ],
    )
    for name, tag in (
        ("onlywin", "cp312-cp312-win_amd64"),
        ("onlymac", "py3-none-any"),
        ("unixy", "py3-none-any"),
        ("dev", "py3-none-any"),
    ):
        make(shop, name, tag=tag)
    for target, more in ((WINDOWS, ["onlywin"]), (LINUX, ["unixy"]), (MAC, ["onlymac", "unixy"])):
        place = stick / target.platform
        place.mkdir()
        count, size, gaps = filled(place, target, "lab>=1,<2")
        assert (names(place), gaps) == (sorted(["lab", *more]), []) and count == 1 + len(more) and size > 0
        assert not [path for path in place.iterdir() if path.suffix != ".whl"]


def test_only_packages_made_for_that_python_and_system_are_taken(shop, stick):
    for tag in (
        "cp312-cp312-win_amd64",
        "cp311-cp311-win_amd64",
        "cp312-cp312-manylinux_2_28_x86_64",
        "cp312-cp312-macosx_11_0_arm64",
    ):
        make(shop, "fast", tag=tag)
    filled(stick, WINDOWS, "fast")
    filled(stick, LINUX, "fast")
    assert {path.name for path in stick.iterdir()} == {
        "fast-1.0-cp312-cp312-win_amd64.whl",
        "fast-1.0-cp312-cp312-manylinux_2_28_x86_64.whl",
    }
    assert filled(stick, MAC, "fast")[2] == ["fast"]


def test_what_is_needed_by_what_is_needed_and_what_an_extra_brings(shop, stick):
    make(shop, "a", needs=["b[more]>=1"])
    make(shop, "b", needs=['c; extra == "more"', 'd; extra == "other"'])
    make(shop, "c", needs=["a", "Big_Name.x"])  # a ring
    make(shop, "big_name_x")
    assert filled(stick, LINUX, "a")[2] == [] and names(stick) == ["a", "b", "big_name_x", "c"]


def test_bounds_that_come_later_are_kept_too(shop, stick):
    for version in ("1.0", "2.0", "3.0"):
        make(shop, "base", version)
    make(shop, "a", needs=["b"])
    make(shop, "b", needs=["base<3", "base>=1.5"])
    assert filled(stick, LINUX, "a", "base>=1")[2] == []
    assert [path.name for path in stick.glob("base*")] == ["base-2.0-py3-none-any.whl"]


def test_what_does_not_exist_is_a_gap_and_nothing_half_is_left(shop, stick):
    make(shop, "a", needs=["missing", "b"])
    make(shop, "b", needs=["missing2>=2"])
    assert filled(stick, LINUX, "a", "toonew>=9")[2] == ["toonew", "missing", "missing2"] and not list(stick.iterdir())


def test_a_package_for_a_newer_python_is_not_taken(shop, stick):
    make(shop, "a", "2.0", asks=">=3.13")
    make(shop, "a", "1.0", asks=">=3.9")
    filled(stick, WINDOWS, "a")
    filled(stick, MAC, "a")
    assert {path.name for path in stick.iterdir()} == {"a-1.0-py3-none-any.whl", "a-2.0-py3-none-any.whl"}


@pytest.mark.parametrize("platform", wheels.PLATFORMS)
def test_nothing_of_this_machine_is_taken_for_the_other_ones(platform):
    assert set(default_environment()) < set(Target(platform, "3.12").machine()), (
        "what is left out is that of this machine"
    )


@pytest.mark.parametrize(
    "need, says", [("b ~~ 3", "could not be installed"), ("b @ file:///b.whl", "an address of its own")]
)
def test_a_need_that_can_not_be_followed_is_said_and_not_guessed(shop, stick, need, says):
    make(shop, "a", needs=[need])
    with pytest.raises(wheels.Problem, match=says):
        filled(stick, LINUX, "a")
    assert not list(stick.iterdir())


@pytest.fixture
def project(tmp_path, monkeypatch):
    (tmp_path / "clone").mkdir()
    lists = 'dependencies = ["a>=1,<2", "b>=1,<2"]\noptional-dependencies = { test = [] }'
    (tmp_path / "clone" / "pyproject.toml").write_text(f"[project]\n{lists}\n")
    where = Places(tmp_path / "clone", tmp_path / ".venv", tmp_path / "work")
    monkeypatch.setattr(wheels.places, "find", lambda *_: where)
    return where


def test_the_command_prints_size_and_gaps(shop, project, tmp_path, capsys):
    make(shop, "a")
    make(shop, "b", tag="cp312-cp312-win_amd64")
    stick = tmp_path / "new" / "stick"
    code = wheels.command([str(stick), "--for", "windows", "--for", "mac", "--python", "3.12"])
    first, second, last = capsys.readouterr().out.splitlines()
    assert code == 1
    assert first == "windows, Python 3.12: complete, 2 packages, 0 MB."
    assert second == "mac, Python 3.12: GAP: there is no ready-made package b; use another Python on these laptops."
    assert last.startswith(f"{stick}: 2 files, 0 MB.") and "start --wheels stick" in last and names(stick) == ["a", "b"]


def test_left_out_it_is_the_kind_of_this_laptop(shop, project, stick, capsys):
    make(shop, "a")
    make(shop, "b")
    assert wheels.command([str(stick)]) == 0
    assert f"{wheels.this_kind()}: complete" in capsys.readouterr().out and wheels.this_kind().python == "{}.{}".format(
        *sys.version_info
    )


@pytest.mark.parametrize(
    "arguments", [["--for", "toaster"], ["--python", "2.7"], ["--python", "3.10"], ["--python", "new"]]
)
def test_unknown_laptops_and_pythons_are_refused(tmp_path, arguments, capsys):
    with pytest.raises(SystemExit):
        wheels.command([str(tmp_path), *arguments])
    assert capsys.readouterr().err


def test_a_python_without_pip_is_a_sentence(project, monkeypatch):
    monkeypatch.setattr(wheels.sys, "executable", sys.executable)
    monkeypatch.setattr(wheels.subprocess, "run", lambda *_, **__: type("Done", (), {"returncode": 1}))
    with pytest.raises(wheels.Problem, match="has no pip"):
        wheels.command([str(project.root / "stick")])

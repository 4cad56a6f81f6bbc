"""Filling a folder of packages for other laptops: a real pip, small packages in a folder of their own, no network."""

import hashlib
import sys
import zipfile

import pytest
from packaging.markers import default_environment

from mechbench import wheels
from mechbench.launch.places import Places
from mechbench.wheels import Target, fill

WINDOWS, LINUX, MAC = Target("windows", "3.12"), Target("linux", "3.12"), Target("mac", "3.13")


def make(folder, name, version="1.0", tag="py3-none-any", asks=""):
    """Write a small package as a wheel."""
    info = f"{name}-{version}.dist-info"
    lines = [f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}"]
    lines += [f"Requires-Python: {asks}"] if asks else []
    with zipfile.ZipFile(folder / f"{name}-{version}-{tag}.whl", "w") as wheel:
        wheel.writestr(f"{info}/METADATA", "\n".join(lines) + "\n")
        wheel.writestr(f"{info}/WHEEL", f"Wheel-Version: 1.0\nGenerator: tests\nRoot-Is-Purelib: true\nTag: {tag}\n")
        wheel.writestr(f"{info}/RECORD", "")


def listed(shop, *pins):
    """An exact list: each line, such as "lab==1.0 ; os_name == 'nt'", with the checksums of what is in the shop."""
    text = ""
    for pin in pins:
        name, version = pin.partition(";")[0].strip().split("==")
        files = sorted(shop.glob(f"{name.replace('-', '_')}-{version}-*.whl"))
        sums = [hashlib.sha256(file.read_bytes()).hexdigest() for file in files] or ["0" * 64]
        text += pin + "".join(f" \\\n    --hash=sha256:{one}" for one in sums) + "\n"
    return text


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


def filled(stick, target, text):
    return fill(stick, target, text, sys.executable)


def test_each_kind_of_laptop_gets_what_it_needs_and_nothing_else(shop, stick):
    make(shop, "lab")
    make(shop, "onlywin", tag="cp312-cp312-win_amd64")
    for name in ("onlymac", "unixy", "old"):
        make(shop, name)
    text = listed(
        shop,
        "lab==1.0",
        "onlywin==1.0 ; os_name == 'nt'",
        "onlymac==1.0 ; platform_system == 'Darwin'",
        "unixy==1.0 ; sys_platform != 'win32'",
        "old==1.0 ; python_full_version < '3.12'",
    )
    for target, more in ((WINDOWS, ["onlywin"]), (LINUX, ["unixy"]), (MAC, ["onlymac", "unixy"])):
        place = stick / target.platform
        place.mkdir()
        count, size, gaps = filled(place, target, text)
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
    text = listed(shop, "fast==1.0")
    filled(stick, WINDOWS, text)
    filled(stick, LINUX, text)
    assert {path.name for path in stick.iterdir()} == {
        "fast-1.0-cp312-cp312-win_amd64.whl",
        "fast-1.0-cp312-cp312-manylinux_2_28_x86_64.whl",
    }
    assert filled(stick, MAC, text)[2] == ["fast"]


def test_the_version_of_the_list_is_taken_and_no_newer_one(shop, stick):
    for version in ("1.0", "2.0", "3.0"):
        make(shop, "base", version)
    assert filled(stick, LINUX, listed(shop, "base==2.0"))[2] == []
    assert [path.name for path in stick.iterdir()] == ["base-2.0-py3-none-any.whl"]


def test_what_an_early_and_a_late_edition_of_a_python_need_is_both_taken(shop, stick):
    make(shop, "soup", "1.0")
    make(shop, "soup", "2.0")
    pins = "soup==1.0 ; python_full_version < '3.12.5'", "soup==2.0 ; python_full_version >= '3.12.5'"
    assert filled(stick, LINUX, listed(shop, *pins))[2] == []
    assert [path.name for path in sorted(stick.iterdir())] == ["soup-1.0-py3-none-any.whl", "soup-2.0-py3-none-any.whl"]


def test_what_does_not_exist_is_a_gap_and_nothing_half_is_left(shop, stick):
    make(shop, "a")
    text = listed(shop, "a==1.0", "missing==1.0", "too-new==9.0")
    assert filled(stick, LINUX, text)[2] == ["missing", "too-new"] and not list(stick.iterdir())


def test_a_package_for_a_newer_python_is_a_gap(shop, stick):
    make(shop, "a", asks=">=3.13")
    text = listed(shop, "a==1.0")
    assert filled(stick, WINDOWS, text)[2] == ["a"] and filled(stick, MAC, text)[2] == []


def test_a_package_with_another_checksum_is_refused_and_named(shop, stick):
    make(shop, "a")
    make(shop, "b")
    text = listed(shop, "a==1.0", "b==1.0")
    with open(shop / "b-1.0-py3-none-any.whl", "ab") as file:
        file.write(b"\0")
    with pytest.raises(wheels.Problem, match="The package b is not the one in the exact list"):
        filled(stick, LINUX, text)
    assert not list(stick.iterdir())


@pytest.mark.parametrize("platform", wheels.PLATFORMS)
def test_nothing_of_this_machine_is_taken_for_the_other_ones(platform):
    assert set(default_environment()) < set(Target(platform, "3.12").machine()), (
        "what is left out is that of this machine"
    )


@pytest.fixture
def project(tmp_path, monkeypatch):
    (tmp_path / "clone" / ".packages").mkdir(parents=True)
    where = Places(tmp_path / "clone", tmp_path / ".venv", tmp_path / "work")
    monkeypatch.setattr(wheels.places, "find", lambda *_: where)
    return where


def write_list(shop, project):
    (project.root / ".packages" / "learner.txt").write_text(listed(shop, "a==1.0", "b==1.0"))


def test_the_command_prints_size_and_gaps(shop, project, tmp_path, capsys):
    make(shop, "a")
    make(shop, "b", tag="cp312-cp312-win_amd64")
    write_list(shop, project)
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
    write_list(shop, project)
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


def test_a_project_without_the_list_is_a_sentence(project, stick):
    with pytest.raises(wheels.Problem, match="There is no .*learner.txt.* get the whole folder"):
        wheels.command([str(stick)])


def test_a_python_without_pip_is_a_sentence(shop, project, monkeypatch):
    write_list(shop, project)
    monkeypatch.setattr(wheels.sys, "executable", sys.executable)
    monkeypatch.setattr(wheels.subprocess, "run", lambda *_, **__: type("Done", (), {"returncode": 1}))
    with pytest.raises(wheels.Problem, match="has no pip"):
        wheels.command([str(project.root / "stick")])

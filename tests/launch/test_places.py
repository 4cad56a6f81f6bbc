from pathlib import Path, PurePosixPath, PureWindowsPath

import pytest

from mechbench.launch import places


def test_without_settings_everything_has_its_usual_place(tmp_path):
    found = places.find({}, tmp_path, root=tmp_path / "clone")
    assert found.venv == tmp_path / "clone" / ".venv"
    assert found.work == tmp_path / "mechbench-work"
    assert found.lessons == tmp_path / "clone" / "lessons"
    assert found.own == tmp_path / "mechbench-work" / ".mechbench"


def test_settings_put_things_elsewhere(tmp_path):
    settings = {"MECHBENCH_VENV": str(tmp_path / "v"), "MECHBENCH_WORK": str(tmp_path / "w" / ".." / "work")}
    found = places.find(settings, "/home/ana")
    assert (found.venv, found.work) == (tmp_path / "v", tmp_path / "work")


def test_a_setting_may_start_with_the_home_sign(monkeypatch, tmp_path):
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    assert places.find({"MECHBENCH_WORK": "~/robots"}, tmp_path).work == tmp_path / "robots"


def test_an_empty_setting_is_no_setting(tmp_path):
    assert places.find({"MECHBENCH_WORK": "  "}, tmp_path).work == tmp_path / "mechbench-work"


def test_a_relative_setting_counts_from_the_current_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert places.find({"MECHBENCH_VENV": "here"}, tmp_path).venv == tmp_path / "here"


@pytest.mark.parametrize(
    "venv, platform, scheme, python",
    [
        (PurePosixPath("/home/ana/m/.venv"), "linux", "posix_venv", "/home/ana/m/.venv/bin/python"),
        (PurePosixPath("/Users/ana/m/.venv"), "darwin", "posix_venv", "/Users/ana/m/.venv/bin/python"),
        (PureWindowsPath(r"C:\Users\Ana M\m\.venv"), "win32", "nt_venv", r"C:\Users\Ana M\m\.venv\Scripts\python.exe"),
    ],
)
def test_the_python_of_a_venv_on_three_platforms(venv, platform, scheme, python):
    assert places.python_of(venv, platform, scheme) == type(venv)(python)


def test_the_packages_of_a_venv_on_windows():
    venv = PureWindowsPath(r"D:\m\.venv")
    assert places.packages_of(venv, "nt_venv") == PureWindowsPath(r"D:\m\.venv\Lib\site-packages")


def test_the_packages_of_a_venv_elsewhere():
    found = places.packages_of(PurePosixPath("/m/.venv"), "posix_venv")
    assert found.parts[:4] == ("/", "m", ".venv", "lib") and found.name == "site-packages"


def test_a_path_is_too_long_on_windows_only_and_only_without_long_paths():
    longest = places.WINDOWS_PATH - places.LONGEST_INSIDE_VENV - 1
    just_right = PureWindowsPath("C:\\" + "m" * (longest - 3))
    one_more = PureWindowsPath("C:\\" + "m" * (longest - 2))
    assert not places.too_long(just_right, "win32", long_paths_on=False)
    assert places.too_long(one_more, "win32", long_paths_on=False)
    assert not places.too_long(one_more, "win32", long_paths_on=True)
    assert not places.too_long(PurePosixPath("/" + "m" * 300), "linux", long_paths_on=False)


def test_the_root_is_the_folder_that_holds_the_requirements():
    assert Path(places.ROOT, "requirements.txt").is_file()

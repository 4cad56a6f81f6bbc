"""The command kit as people type it: what is in force, check, use, back to the course's own, and words that it does not
know. A kit that is in the way is kept, always.
"""

import shutil
from pathlib import Path

import pytest

from mechbench import kit_folder
from mechbench.desk import correct, kit_command
from mechbench.kits import copy_kit, kit, read_kit
from mechbench.kits.load import OWN_FOLDER
from tests.desk.asked import ask

SECOND, FLAT = (Path(__file__).parents[1] / "kits" / name for name in ("second_kit", "flat"))


@pytest.fixture(autouse=True)
def work(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("MECHBENCH_WORK", str(tmp_path / "work"))
    monkeypatch.setenv("MECHBENCH_KIT", "")
    return tmp_path / "work"


def asked(line):
    return ask(line, kit_command)


def refused(line, capsys):
    with pytest.raises(SystemExit) as end:
        kit_command.command(line.split())
    assert end.value.code == 2
    return capsys.readouterr().err


def names(folder):
    return sorted(path.name for path in folder.iterdir())


@pytest.mark.parametrize(
    ("typed", "near"),
    [("make", "new"), ("create", "new"), ("nwe", "new"), ("set", "use"), ("chek", "check"), ("Use", "use")],
)
def test_what_people_type_first_is_answered_with_what_there_is(typed, near, capsys):
    said = refused(f"{typed} ours", capsys)
    assert f"kit {near}'?" in said and "new, check, use, convert" in said and said.count("\n") == 1


def test_a_folder_alone_or_a_word_that_nothing_is_near(capsys, tmp_path):
    assert "kit check ." in refused(".", capsys)
    assert refused("xyzzy", capsys) == (
        "kit can't do 'xyzzy'; there are: new, check, use, convert; kit --help tells more.\n"
    )
    assert "needs a folder" in refused("new", capsys) and "needs the folder" in refused("convert", capsys)
    assert "needs your kit's folder" in refused("use --wheels x", capsys)


def test_help_lists_every_command(capsys):
    with pytest.raises(SystemExit) as end:
        kit_command.command(["--help"])
    said = capsys.readouterr().out
    assert end.value.code == 0 and all(f"  kit {name} " in said for name in kit_command.COMMANDS)
    assert set(kit_command.MEANT.values()) <= set(kit_command.COMMANDS) == set(kit_command.HELP)


def test_check_tells_all_at_once_and_ends_with_what_is_fine(tmp_path):
    folder = shutil.copytree(SECOND, tmp_path / "ours")
    said = asked("check ours")
    assert said.code == 0 and said.out.splitlines()[-1].startswith("Fine: ") and "5 goals" in said.out
    text = (folder / "game.toml").read_text(encoding="utf-8")
    text = text.replace('height = "430 mm"', "height = 430").replace('mass = "92 g"', 'mass = "92 t"')
    (folder / "game.toml").write_text(text.replace('label = "oven"', 'lable = "oven"'), encoding="utf-8")
    said = asked("check ours")
    assert said.code == 1 and said.err == ""
    for part in ("[goals.hold], height is 430", "[pieces.hoop], mass", '[goals.oven] has a key "lable"'):
        assert part in said.out
    assert said.out.splitlines()[-1].startswith("Wrong: ")
    assert int(said.out.rpartition("Wrong: ")[2].split(".")[0]) == len(said.out.splitlines()) - 1


def test_check_tells_what_is_odd_and_what_is_the_courses_own(tmp_path):
    (tmp_path / "ours").mkdir()
    (tmp_path / "ours" / "game.toml").write_text(
        '[game]\nlabel = "x"\n[phases.driven]\nkind = "driven"\ntime = "1 min"\n'
        '[closing.park]\nlabel = "park"\nkind = "zone"\npoints = 0\nway = "1 m"\n'
    )
    said = asked("check ours")
    assert said.code == 0 and said.out.count("Note: ") == 3  # no points, no steps of people, no pieces
    assert "The course's own: motors" in said.out


def test_check_alone_is_of_the_kit_in_force(work):
    assert str(OWN_FOLDER) in asked("check").out
    shutil.copytree(FLAT, work / "kit")
    assert f"in {work / 'kit'}" in asked("check").out
    assert "There is no folder" in asked("check nowhere").err


def test_use_and_back_and_use_again(work):
    said = asked(["use", str(SECOND)])
    assert said.code == 0 and f"in {work / 'kit'}" in said.out
    assert kit().game.label == "Kiln Ferry" and kit_folder.digest(work / "kit") == kit_folder.digest(SECOND)
    assert names(work) == ["kit"] and "already" in asked(["use", str(SECOND)]).out and names(work) == ["kit"]
    asked(["use", str(FLAT)])
    (old,) = (name for name in names(work) if name != "kit")
    assert old.startswith("kit-20") and kit_folder.digest(work / old) == kit_folder.digest(SECOND)
    asked("use own")
    assert kit().folder == str(OWN_FOLDER) and len(names(work)) == 2 and "kit" not in names(work)
    assert asked("use").code == 0 and len(names(work)) == 2
    assert asked(["use", str(work / old)]).code == 0 and kit().game.label == "Kiln Ferry"
    assert len(names(work)) == 3 and kit_folder.holds_kit(work / old)


def test_what_is_in_the_way_is_kept_whatever_it_is(work):
    (work / "kit").mkdir(parents=True)
    (work / "kit" / "notes.txt").write_text("mine")
    asked(["use", str(FLAT)])
    asked(["use", str(SECOND)])
    kept = [name for name in names(work) if name != "kit"]
    assert len(kept) == 2 and any((work / name / "notes.txt").exists() for name in kept)


def test_a_kit_with_faults_is_not_used(work, tmp_path):
    (tmp_path / "bad").mkdir()
    (tmp_path / "bad" / "game.toml").write_text('[game]\nlabel = "x"\n')
    said = asked("use bad")
    assert said.code == 1 and "has no table [phases]" in said.err and not (work / "kit").exists()
    assert asked("use nowhere").code == 1 and not (work / "kit").exists()


def test_a_robot_that_cannot_be_built_is_wrong_and_its_kit_is_not_used(work, tmp_path):
    """Its cord leaves it below its centre of gravity, 107 mm up by its parts: that shows when it is built."""
    folder = shutil.copytree(OWN_FOLDER, tmp_path / "ours")
    text = (folder / "robots.toml").read_text(encoding="utf-8")
    exit_line = next(line for line in text.splitlines() if line.startswith("cord_exit"))
    changed = text.replace(exit_line, 'cord_exit = ["0 mm", "0 mm", "60 mm"]')
    (folder / "robots.toml").write_text(changed, encoding="utf-8")
    checked, used = asked("check ours"), asked("use ours")
    assert checked.code == used.code == 1 and checked.out.splitlines()[-1].startswith("Wrong: 1.")
    for said in (checked.out, used.err):
        assert "[robots.stork]: cord_exit is 60 mm up" in said
    assert not (work / "kit").exists()


def test_a_copy_that_breaks_off_leaves_the_kit_that_was_there(work, monkeypatch):
    asked(["use", str(FLAT)])
    before = kit_folder.digest(work / "kit")
    monkeypatch.setattr(kit_folder.os, "fsync", lambda _: (_ for _ in ()).throw(OSError(28, "No space left")))
    with pytest.raises(OSError):
        kit_command.command(["use", str(SECOND)])
    assert names(work) == ["kit"] and kit_folder.digest(work / "kit") == before


def test_use_with_wheels_puts_the_kit_beside_the_packages(tmp_path):
    (tmp_path / "stick").mkdir()
    said = asked(["use", str(SECOND), "--wheels", "stick"])
    assert "start --wheels" in said.out and read_kit(tmp_path / "stick" / "kit").game.label == "Kiln Ferry"
    assert "There is no folder" in asked(["use", str(SECOND), "--wheels", "nowhere"]).err


def test_the_setting_that_is_passed_over_is_told(monkeypatch):
    monkeypatch.setenv("MECHBENCH_KIT", str(FLAT))
    assert "comes first" in asked(["use", str(SECOND)]).out


def test_convert_without_a_name_takes_a_free_one_beside(tmp_path):
    old = tmp_path / "old"
    old.mkdir()
    (old / "game.toml").write_text("[game]\n[piece]\n[shelves]\n[possession]\n[match]\n")
    said = asked("convert old")
    assert said.code == 1 and "lacks" in said.err and names(tmp_path) == ["old"]


# --- corrected by readings ------------------------------------------------------------------------------------------

PULLS = "press [N],pull [N]\n5,1.06\n10,2.09\n20,4.22\n30,6.27\n"


def test_correct_finds_the_kit_in_force(work, tmp_path):
    (tmp_path / "r.csv").write_text(PULLS)
    copy_kit(tmp_path / "ours")
    asked("use ours")
    said = ask("friction r.csv part=slide_rail --yes", correct)
    assert said.code == 0 and f"Written into {work / 'kit'}" in said.out and "To use this kit" not in said.out
    assert kit().friction("slide_rail") == pytest.approx(0.21, rel=0.02)  # the pulls over the presses
    assert read_kit(tmp_path / "ours").friction("slide_rail") == 0.15


def test_a_pair_that_was_the_courses_own_is_added(work, tmp_path):
    (tmp_path / "r.csv").write_text(PULLS)
    shutil.copytree(FLAT, work / "kit")
    (work / "kit" / "parts.toml").write_text('[kit]\nlabel = "ours"\n')
    said = ask("friction r.csv part=slide_rail --yes", correct)
    assert said.code == 0, said
    assert kit().friction("slide_rail") == pytest.approx(0.21, rel=0.02)
    again = ask("friction r.csv part=slide_rail --yes", correct)
    assert again.code == 0 and (work / "kit" / "parts.toml").read_text().count("[friction.slide_rail]") == 1


def test_a_part_of_the_courses_own_is_not_corrected(work, tmp_path):
    shutil.copytree(FLAT, work / "kit")
    (work / "kit" / "parts.toml").write_text('[kit]\nlabel = "ours"\n')
    sheet = "current [A],voltage [V]\n0,13.2\n5,12.7\n10,12.0\n20,10.9\n"
    (tmp_path / "b.csv").write_text(sheet)
    said = ask("battery b.csv --yes", correct)
    assert said.code != 0 and "leaves [battery] out" in said.err

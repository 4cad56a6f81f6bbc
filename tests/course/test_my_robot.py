"""The learner's own robot: designs of the lessons on a robot of the kit. Its figures are held against the same robot
made another way: by the inputs of the sizing, and by a kit whose robots.toml was edited by hand.
"""

import json
from html import unescape
from pathlib import Path

import pytest

import mechbench
from mechbench.course import ask as asking
from mechbench.course import handin, handin_file, my_robot, own_designs, own_review, own_robot, registry, robot_notes
from mechbench.course.ask import learner
from mechbench.course.card import NOBODY
from mechbench.course.grading import NOT_YET, RIGHT
from mechbench.course.progress import Attempt, store
from mechbench.desk.sized import size
from mechbench.engine.inputs import Tables
from mechbench.kits import copy_kit, kit, read_kit
from mechbench.kits.load import SETTING, with_robots

DRIVE = "motor = slim; count = 2; gearbox = planetary_12; wheel = traction_80"  # Wren's, but for the gearbox
LIFT = "stages = 3; rigging = continuous; gearbox = planetary_16; drum = spool_40"  # Stork's, but for the gearbox
ARM = "motor = slim; gearbox = planetary_4_6; spring = none"  # far too quick a gearbox: it stalls
OTHER_KITS = [Path(__file__).parents[1] / "kits" / name for name in ("second_kit", "flat", "bare")]
FIGURES = ("points", "mass", "start_box", "volts", "peak", "spare", "time", "stands")


@pytest.fixture(autouse=True)
def fresh(tmp_path, monkeypatch):
    """A new progress file, and a notebook of Ana's."""
    monkeypatch.setenv("MECHBENCH_HOME", str(tmp_path / "home"))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setitem(asking._notebook, "learner", None)
    monkeypatch.setattr(asking, "display", lambda note: None)
    learner("ana")


def answered(id, raw, state=RIGHT, practice=0):
    """Keep an answer to a design as one that was found right, or not."""
    one = registry.exercise(id)
    store().record(asking.current_learner(), Attempt(id, one.revision, kit().digest, raw, state, practice=practice))


def starting(name):
    shown = my_robot.my_robot()
    shown._read()
    robot_notes.keep(shown.learner, "", "", robot_notes.START, name)
    shown._read()
    return shown


def row_of(shown, label):
    """The boxes of a mechanism: to tick, where there is one to tick, and for the reason."""
    rows = [one for one in shown.widget.children if "mechbench-choice-of-mine" in one._dom_classes]
    mine = [row.children[1].children[:-1] for row in rows]  # below them stands what became of it
    return next(boxes for boxes in mine if boxes[-1].description == f"Why this {label}?")


def test_notebooks_call_it_by_one_name():
    assert mechbench.my_robot is my_robot.my_robot


# --- the figures ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "robot, id, raw, same",
    [
        ("wren", "drivetrain-design", DRIVE, {"drive_gearbox": "planetary_12"}),
        ("stork", "lift-design", LIFT, {"raise_gearbox": "planetary_16"}),
    ],
)
def test_it_has_the_figures_of_the_same_robot_by_the_inputs_of_its_sizing(robot, id, raw, same):
    answered(id, raw)
    one = starting(robot).own()
    for found, expected in (
        (one.after.report, size("robot", which=robot, **same)),
        (one.before.report, size("robot", which=robot)),
    ):
        assert {name: found.bad[name] for name in FIGURES} == pytest.approx(
            {name: expected.bad[name] for name in FIGURES}
        )
        assert {name: found.good[name] for name in FIGURES} == pytest.approx({n: expected[n] for n in FIGURES})
    assert one.after.report.bad["time"] != one.before.report.bad["time"], "the gearbox does something"


def test_it_has_the_figures_of_the_same_robot_written_into_the_kit_by_hand(tmp_path):
    answered("drivetrain-design", DRIVE.replace("traction_80", "omni_80"))
    answered("arm-design", "motor = slim; gearbox = planetary_116; spring = spring_0_25_70")
    one = starting("wren").own()
    assert one.used == ("drive", "arm")
    copy_kit(tmp_path / "mine")
    path = tmp_path / "mine" / "robots.toml"
    text = path.read_text(encoding="utf-8")
    begins = text.index("[robots.wren]")
    ends = text.index("[robots.stork]", begins)
    wren = text[begins:ends]
    for old, new in (
        ('"planetary_16"', '"planetary_12"'),
        ('"traction_80"', '"omni_80"'),
        ('"planetary_97"', '"planetary_116"\nspring = "spring_0_25_70"'),
    ):
        assert wren.count(old) == 1
        wren = wren.replace(old, new)
    path.write_text(text[:begins] + wren + text[ends:], encoding="utf-8")
    by_hand = size("robot", which="wren", kit=read_kit(tmp_path / "mine"))
    assert {name: one.after.report.bad[name] for name in FIGURES} == pytest.approx(
        {name: by_hand.bad[name] for name in FIGURES}
    )


def test_the_job_stays_the_robots():
    answered("arm-design", "motor = slim; gearbox = planetary_116; spring = none")
    one = starting("wren").own()
    before, after = one.before.robot.mechanisms["arm"].values, one.after.robot.mechanisms["arm"].values
    assert {name for name in before if before[name] != after[name]} == {"gearbox"}


# --- which designs --------------------------------------------------------------------------------------------------


def test_only_what_is_right_counts_and_the_last_of_it():
    answered("drivetrain-design", DRIVE)
    answered("drivetrain-design", DRIVE.replace("planetary_12", "planetary_21"))
    answered("drivetrain-design", DRIVE.replace("planetary_12", "planetary_97"), NOT_YET)
    answered("arm-design", ARM, practice=1)
    [one] = own_designs.kept(store().attempts(asking.current_learner()))
    assert one.chosen["gearbox"] == "planetary_21"


def test_a_learner_without_designs_and_one_without_a_name_are_told_what_to_do():
    shown = my_robot.my_robot()
    assert "lesson 03 Drivetrain" in repr(shown) and "no right design yet" in repr(shown)
    learner("")
    assert repr(shown) == NOBODY
    assert [child.value for child in shown.widget.children][-1].count("nickname") == 1


def test_what_the_robot_lacks_is_kept_and_what_is_open_is_named():
    answered("lift-design", LIFT)
    told = repr(starting("wren"))
    assert "Kept, not on this robot: lesson 08 Slide lift" in told
    assert "arm: As planned. Your design is still open: lesson 06 Arm" in told
    assert "Not solved yet: lesson 03 Drivetrain" in told


def test_a_design_that_is_right_now_stands_there_at_once():
    shown = my_robot.my_robot()
    assert len(shown.widget.children) == 2
    answered("drivetrain-design", DRIVE)
    for one in list(asking.cards_on_screen):
        one.refresh()
    assert len(shown.widget.children) > 5


# --- what fails, and why --------------------------------------------------------------------------------------------


def test_what_fails_is_named_with_the_choice_that_does_it():
    """The arm's gearbox is so quick that the motor stalls; the drive alone does not, as `size` says apart."""
    answered("drivetrain-design", DRIVE)
    answered("arm-design", ARM)
    one = starting("wren").own()
    assert size("robot", which="wren", drive_gearbox="planetary_12").bad["spare"] > 0 > one.after.report.bad["spare"]
    told = [said for said in own_robot.faults(one) if said.startswith("New: ")]
    assert [said for said in told if "torque to spare" in said]
    assert all(said.endswith("It comes from your arm: as planned there, it is met.") for said in told)


def test_what_fails_as_planned_too_is_no_ones_choice():
    answered("drivetrain-design", DRIVE)
    told = own_robot.faults(starting("wren").own())
    assert size("robot", which="wren").bad["points"] < 70, "it makes too little as planned"
    assert [said for said in told if said.startswith("Not met as planned, either: ") and "points a match" in said]


# --- what is kept ---------------------------------------------------------------------------------------------------


def test_reasons_and_ticks_outlive_everything():
    answered("drivetrain-design", DRIVE)
    why, use = row_of(starting("wren"), "drive")[::-1]
    why.value = "It was quicker."
    why.value = "It  was <b>quicker</b>, by 0.4 s"
    use.value = False
    again = my_robot.my_robot()
    why, use = row_of(again, "drive")[::-1]
    assert why.value == "It  was <b>quicker</b>, by 0.4 s" and use.value is False
    assert again.own().used == () and "my design is not in use" in repr(again)
    learner("ben")
    assert again.widget.children[-1].value.count("no right design yet") == 1
    learner("Ana ")
    assert row_of(again, "drive")[-1].value == "It  was <b>quicker</b>, by 0.4 s"
    notes = [one.raw for one in store().attempts(asking.current_learner()) if robot_notes.is_note(one)]
    assert notes == ["wren", "It was quicker.", "It  was <b>quicker</b>, by 0.4 s", "no"], "nothing is lost"


def test_a_reason_typed_in_a_form_of_another_learner_is_that_learners():
    answered("drivetrain-design", DRIVE)
    shown = starting("wren")
    why = row_of(shown, "drive")[-1]
    learner("ben")
    why.value = "Mine"
    assert not [one for one in store().attempts(asking.current_learner()) if one.raw == "Mine"]
    learner("ana")
    assert shown.reason("drive") == "Mine"


def test_another_robot_has_reasons_of_its_own():
    answered("drivetrain-design", DRIVE)
    shown = starting("wren")
    row_of(shown, "drive")[-1].value = "For Wren"
    choice = next(child for child in shown.widget.children if getattr(child, "description", "") == "Start from")
    choice.value = "stork"
    assert row_of(shown, "drive")[-1].value == ""
    assert "from Stork" in repr(my_robot.my_robot())


def test_notes_go_into_the_hand_in_and_are_no_answers():
    shown = starting("wren")
    robot_notes.keep(shown.learner, "wren", "arm", robot_notes.REASON, "It holds.")
    with pytest.raises(handin_file.HandInError, match="nothing to hand in"):
        handin.write(shown.learner)
    answered("arm-design", ARM)
    path = handin.write(shown.learner)
    read = handin.read(path)
    assert [one.exercise for one in read.attempts] == ["arm-design"] and read.unknown == () and read.notes == ()
    assert robot_notes.said(read.own_robot, "wren", "arm", robot_notes.REASON) == "It holds."
    assert "1 answer by 'ana' to 1 exercise" in handin._written(shown.learner, path, "here")
    assert "It holds." in json.dumps(json.loads(path.read_text(encoding="utf-8")))


# --- other kits -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("folder", OTHER_KITS, ids=lambda path: path.name)
def test_with_another_kit_its_robots_are_there_and_lacking_parts_stay_the_plans(folder, monkeypatch):
    monkeypatch.setenv(SETTING, str(folder))
    for exercise in own_designs._of_mechanisms():
        answered(exercise.id, "gearbox = no_such_box; servo = no_such_servo; drive = no_such_drive; wheel = no_wheel")
    names = [plan.name for plan in with_robots(kit()).robots]
    assert names
    for name in names:
        shown = starting(name)
        one = shown.own()
        assert one.changed is False and one.before.report.good == one.after.report.good
        lacking = [line for line in one.lines if line.missing]
        assert lacking and all("This kit lacks" in line.missing and "no_such" in line.missing for line in lacking)
        assert "This kit lacks" in repr(shown) and len(shown.widget.children) > 5


@pytest.mark.parametrize("folder", OTHER_KITS, ids=lambda path: path.name)
def test_with_another_kit_a_part_of_it_is_taken(folder, monkeypatch):
    """Any other gearbox of that kit on the drive, as the sizing's own input puts it there."""
    monkeypatch.setenv(SETTING, str(folder))
    whole = with_robots(kit())
    name = whole.robots[0].name
    drive = mechbench.robot(name).of_role("drives")[0]
    boxes = Tables(drive.sizing, whole)("gearboxes").names
    offered = mechbench.bench("robot").tables("planned_gearboxes").names
    box = next(one for one in boxes if one in offered and one != drive.values["gearbox"])
    answered("drivetrain-design", f"gearbox = {box}")
    one = starting(name).own()
    expected = size("robot", which=name, drive_gearbox=box)
    assert one.used == (drive.name,)
    assert {n: one.after.report.bad[n] for n in FIGURES} == pytest.approx({n: expected.bad[n] for n in FIGURES})


# --- on paper -------------------------------------------------------------------------------------------------------


def test_the_review_has_each_choice_with_its_reason_and_both_robots():
    answered("drivetrain-design", DRIVE)
    shown = starting("wren")
    row_of(shown, "drive")[-1].value = "<script>alert(1)</script> & quicker"
    shown.make()
    shown.make()
    page = Path(my_robot.FILE).read_text(encoding="utf-8")
    assert Path("my_robot_review-2.html").exists(), "what is there is never touched"
    assert "<script>" not in page and "<script>alert(1)</script> & quicker" in unescape(page)
    for heading in (own_review.CHOICES, own_review.BESIDE, own_review.FAILS, "What to measure first"):
        assert f"<h2>{heading}</h2>" in page
    boxes = kit().table("gearboxes").labels
    assert f"Gearbox: {boxes['planetary_16']} → {boxes['planetary_12']}" in page
    for robot in ({}, {"drive_gearbox": "planetary_12"}):
        points = size("robot", which="wren", **robot).bad["points"]
        assert f"{mechbench.quantity.show(points, 'points')}" in page
    assert "my_robot_review-2.html" in shown.link.outputs[0]["data"]["text/html"]

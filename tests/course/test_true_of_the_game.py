"""What exercises tell is true of the game in force: no bar where there is none, no more time than a match has, as much
air as its rules ask, and what no label gives is told as assumed.
"""

import re
from pathlib import Path

import pytest

import mechbench as mb
from mechbench.catalog import sizing_of
from mechbench.course import kit_rows, offered, registry
from mechbench.course.learner_numbers import pose
from mechbench.course.of_game import in_a_match
from mechbench.course.question_text import question, statement
from mechbench.course.vetting import problems
from mechbench.kits import read_kit
from mechbench.kits.load import OWN_FOLDER, own_kit
from mechbench.quantity import to_si
from tests.desk.asked import ask
from tests.kits import four_numbers

FOLDERS = Path(__file__).parents[1] / "kits"
KITS = {"own": own_kit(), **{name: read_kit(FOLDERS / name) for name in ("second_kit", "flat", "bare")}}
TWO_ENDS = '\n[closing.{name}]\nlabel = "{name}"\nkind = "{kind}"\npoints = {points}\nway = "1 m"\n'


def _changed(made, base, change):
    """A kit whose game.toml is another one."""
    (made / "game.toml").write_text(change((base / "game.toml").read_text(encoding="utf-8")), encoding="utf-8")
    if (base / "parts.toml").exists():
        (made / "parts.toml").write_bytes((base / "parts.toml").read_bytes())
    return read_kit(made)


def _words(exercise):
    slips = [slip.feedback for slip in getattr(exercise, "slips", ())]
    return " ".join([exercise.text, *exercise.hints, exercise.explain, *slips]).lower()


# --- a second try --------------------------------------------------------------------------------------------------


def test_a_second_try_needs_two_closing_tasks_and_no_bar(tmp_path):
    tries = registry.exercise("robot-second-try")
    closing = TWO_ENDS.format(name="dock", kind="zone", points=11) + TWO_ENDS.format(name="yard", kind="zone", points=4)
    harbour = _changed(tmp_path, FOLDERS / "bare", lambda text: text + closing)
    assert harbour.roles.hang is None
    assert offered.in_place_of(tries, harbour) is tries and problems(tries, harbour) == []
    assert {(row["hang"], row["park"]) for row in tries.table(harbour)} == {((11.0, "points"), (4.0, "points"))}
    assert offered.in_place_of(tries, KITS["flat"]) is None, "one closing task: nothing easier is left"


def test_the_words_of_a_second_try_name_no_closing_task():
    told = _words(registry.exercise("robot-second-try"))
    assert "harder" in told and "easier" in told
    assert not [
        word for word in ("hang", "park", " bar", "ramp") if word in told.replace("{hang}", "").replace("{park}", "")
    ]


# --- times ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kit", KITS.values(), ids=KITS)
@pytest.mark.parametrize("id", ["robot-bad-day", "cycle-second"])
def test_time_for_cycles_fits_in_a_match(id, kit):
    exercise = registry.exercise(id)
    rows = exercise.table(own_kit() if offered.unmet(exercise, kit) else kit)
    match = (own_kit() if offered.unmet(exercise, kit) else kit).roles.match
    assert all(to_si(*row["time"]) <= match.driven for row in rows)
    assert problems(exercise, kit) == []


def test_times_that_do_not_fit_get_shorter_by_one_share():
    """By hand: of 95 s driven 85.5 s are for cycles. 108 s become these, so 54 s become half as much, 42.75 s."""
    assert KITS["bare"].roles.match.driven == 95.0
    assert in_a_match(KITS["bare"], [108, 54]) == [86, 43]
    assert in_a_match(KITS["bare"], [80, 54]) == [80, 54]


# --- air below a wheel ---------------------------------------------------------------------------------------------


def test_a_tilted_robot_needs_the_air_that_the_game_asks(tmp_path):
    tilt = registry.exercise("winch-tilt")
    higher = _changed(tmp_path, OWN_FOLDER, lambda text: text.replace('clear = "30 mm"', 'clear = "45 mm"'))
    assert {row["clear"] for row in tilt.table(own_kit())} == {(30.0, "mm")}
    assert {row["clear"] for row in tilt.table(higher)} == {(45.0, "mm")}
    assert problems(tilt, higher) == []


def test_where_the_game_asks_for_no_air_the_robot_asks_for_some(tmp_path):
    tilt = registry.exercise("winch-tilt")
    off = _changed(tmp_path, OWN_FOLDER, lambda text: text.replace('clear = "30 mm"', ""))
    assert off.roles.hang.clear == 0.0
    assert all(row["clear"][0] > 10 for row in tilt.table(off)) and problems(tilt, off) == []


def test_the_answers_of_two_rows_are_further_apart_than_what_counts_as_right():
    """Else a neighbour's number would be right. By hand, the row of the book: 30 + 170 x 25 / 200 is 51.25."""
    tilt = registry.exercise("winch-tilt")
    made = [pose(tilt, practice=number, kit=own_kit()) for number in range(len(tilt.table(own_kit())))]
    answers = sorted(tilt.answer(one.si) for one in made)
    assert tilt.answer(made[0].si) == pytest.approx(0.05125)
    assert all(more > less * (1 + tilt.tolerance) for less, more in zip(answers, answers[1:]))


def test_what_was_asked_of_the_tilt_before_stays():
    before = registry.exercise("winch-tilt", 1)
    assert before.table(own_kit())[0]["clear"] == (28, "mm")


# --- what no label gives -------------------------------------------------------------------------------------------

ASSUMED = "The rotor inertia of the brisk motor is assumed: its label does not give it."


@pytest.fixture(scope="module")
def unprinted(tmp_path_factory):
    return read_kit(four_numbers.folder(tmp_path_factory.mktemp("less") / "kit", {}))


def test_an_assumed_inertia_is_told_as_assumed(unprinted):
    inertia = registry.exercise("gearing-inertia")
    places = range(len(kit_rows.table(inertia, unprinted)))
    for place in places:
        asked = kit_rows.settled(inertia, unprinted, place)
        motors = asked.parts.table("motors")
        name = next(name for name, label in motors.labels.items() if label == asked.row["motor"])
        assumed = "rotor_inertia" in motors.assumed.get(name, {})
        assert (f"The rotor inertia of the {asked.row['motor']} is assumed" in asked.note) == assumed
    assert "is assumed: its label does not give it." in question(pose(inertia, kit=unprinted))
    assert "is assumed" in statement(pose(inertia, kit=unprinted))


@pytest.mark.parametrize("kit", KITS.values(), ids=KITS)
def test_a_printed_inertia_is_told_as_it_is(kit):
    asked = pose(registry.exercise("gearing-inertia"), kit=kit)
    assert "assumed" not in statement(asked)


# --- a push --------------------------------------------------------------------------------------------------------


def test_what_tilts_a_robot_is_there_in_every_game():
    """Where nobody plays against, no other robot pushes; a bump may be of a wall or of a robot of the own side."""
    assert "robot" not in sizing_of("balance").field("ramp_wanted").help


# --- places with a gap ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", KITS)
def test_an_intake_tells_of_no_pen(name, monkeypatch):
    """By the files: games without such a place, and others. Its depth is asked only there."""
    if name != "own":
        monkeypatch.setenv("MECHBENCH_KIT", str(FOLDERS / name))
    for line in ("intake", "intake --help"):
        said = ask(line).out
        assert "reach to spare" in said and not re.search(r"\bpens?\b", said)
        assert ("pen_depth" in said) == (KITS[name].roles.reach_in is not None)
    shown = mb.bench("intake", kit=KITS[name])._controls
    assert ("pen_depth" in shown) == ("pen_gap" in shown) == (KITS[name].roles.reach_in is not None)

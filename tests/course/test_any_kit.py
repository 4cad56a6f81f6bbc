"""Every exercise with kits that teams may have: no gearbox, one or many, gears that lose much or little, one part of a
kind; and with games of other forms, and gearmotors. Each day an exercise is tried with two of these kits in turn, a
design with one, and with one of the games; with all of them where MECHBENCH_THOROUGH=1 is set.
"""

from dataclasses import replace
from functools import cache
from itertools import product
from pathlib import Path

import pytest

from mechbench.course import kit_rows, offered, registry
from mechbench.course.exercise import Challenge, Quantity, Slip
from mechbench.course.grading import NOT_YET, RIGHT, answer_text, grade_posed
from mechbench.course.learner_numbers import pose, posed
from mechbench.course.posed_numbers import own_kit, posed_again, question
from mechbench.course.progress import Attempt
from mechbench.course.question_text import inputs, options_of, statement
from mechbench.course.vetting import problems
from mechbench.engine.spec import Pick
from mechbench.kits import read_kit
from tests.course.other_kits import (
    BASES,
    COUNTS,
    EFFICIENCIES,
    NO_BOX,
    boxed,
    folder_with,
    lines_of_one,
)
from tests.course.samples import KITS, TORQUE
from tests.kits import gearmotor_kit as gearmotors
from tests.tries import tries

TABLES = (
    "motors gearboxes servos spur_gears bevel_gears pulleys sprockets wheels rollers slides cords spools"
    " extension_springs constant_springs"
).split()
BOXES = [*product(BASES, COUNTS, EFFICIENCIES)]
MANY = len(BOXES) + 2 * len(BASES)
EXERCISES = registry.everything()
A_DAY, DESIGNS_A_DAY = tries(2, thorough=MANY), tries(1, thorough=MANY)


@pytest.fixture(scope="module")
def kit_of(tmp_path_factory):
    """A function: number -> kit."""

    @cache
    def made(number):
        folder = tmp_path_factory.mktemp(f"kit{number}")
        if number < len(BOXES):
            base, count, efficiency = BOXES[number]
            return boxed(folder, BASES[base], count, efficiency)
        base = [*BASES.values()][number % len(BASES)]
        if number < len(BOXES) + len(BASES):
            return read_kit(folder_with(folder, base, gearboxes=NO_BOX))
        return read_kit(folder_with(folder, base, **{table: lines_of_one(base, table) for table in TABLES}))

    return made


@pytest.mark.parametrize("place", range(len(EXERCISES)), ids=[exercise.id for exercise in EXERCISES])
def test_every_row_with_kits_of_all_sorts(place, kit_of):
    count = DESIGNS_A_DAY if isinstance(EXERCISES[place], Challenge) else A_DAY
    for number in range(count):
        kit = kit_of((A_DAY * place + number) % MANY)
        assert problems(EXERCISES[place], kit) == []


def test_the_kits_are_what_they_should_be(kit_of):
    for number, (_, count, efficiency) in enumerate(BOXES):
        boxes = kit_of(number).table("gearboxes")
        assert len(boxes) == count and set(boxes.columns["efficiency_per_stage"]) == {efficiency}
    assert [kit_of(len(BOXES)).table("gearboxes").columns["ratio"]] == [1.0]
    assert all(len(kit_of(MANY - 1).table(table)) == 1 for table in TABLES)


# --- games of other forms, and gearmotors --------------------------------------------------------------------------

FOLDERS = "second_kit", "flat", "bare"  # real folders: one game has much of everything, one little, one the least
GEARMOTORS = "gearmotors and motors", "gearmotors alone"
FORMS = (*FOLDERS, *GEARMOTORS)
GAMES_A_DAY = tries(1, thorough=len(FORMS))
FEWEST, FEWEST_KINDS = 5, 3


@pytest.fixture(scope="module")
def form_of(tmp_path_factory):
    """A function: name of a form -> kit and the exercises that it is offered."""

    @cache
    def made(name):
        if name in FOLDERS:
            kit = read_kit(Path(__file__).parents[1] / "kits" / name)
        else:
            without = ("motors", "gearboxes") if name == GEARMOTORS[1] else ()
            folder = gearmotors.write(tmp_path_factory.mktemp("gearmotors"), without=without)
            (folder / "robots.toml").unlink()  # whose motors may lack
            kit = read_kit(folder)
        return kit, offered.exercises(kit=kit)

    return made


@pytest.mark.parametrize("place", range(len(EXERCISES)), ids=[exercise.id for exercise in EXERCISES])
def test_every_row_that_other_games_are_offered(place, form_of):
    exercise = EXERCISES[place]
    forms = [name for name in FORMS if exercise in form_of(name)[1]]
    turned = [forms[(place + number) % len(forms)] for number in range(min(GAMES_A_DAY, len(forms)))]
    for name in turned if isinstance(exercise, Challenge) else forms:
        assert problems(exercise, form_of(name)[0]) == [], name


def test_nearly_every_exercise_is_offered_with_one_of_these_games(form_of):
    somewhere = {exercise.id for name in FORMS for exercise in form_of(name)[1]}
    # One is asked where a game has neither sets nor pairs, but a threshold; one where a robot may hold a whole set:
    # none of these games is such a one.
    assert {exercise.id for exercise in EXERCISES} - somewhere == {"cycle-set", "cycle-threshold"}


@pytest.mark.parametrize("lesson", registry.lessons())
@pytest.mark.parametrize("name", FORMS)
def test_every_lesson_has_enough_with_every_game(name, lesson, form_of):
    there = offered.of_lesson(lesson, form_of(name)[0]).exercises
    assert len(there) >= FEWEST and len({type(exercise) for exercise in there}) >= FEWEST_KINDS
    assert sum(exercise.short for exercise in there) >= 3, "later lessons warm up with them"


# --- rows ----------------------------------------------------------------------------------------------------------


def test_rows_of_the_kits_own_parts_come_first_and_the_others_say_so(kit_of):
    kit, torque = kit_of(BOXES.index(("own", 1, 0.88))), registry.exercise("gearing-torque-out")
    rows = kit_rows.table(torque, kit)
    ratio = kit.table("gearboxes").columns["ratio"][0]
    assert len(rows) >= kit_rows.FEWEST_ROWS
    own = [asked for asked in rows if not asked.note]
    assert own and all(asked.row["ratio"][0] == pytest.approx(ratio) for asked in own)
    assert rows[: len(own)] == own
    for asked in rows[len(own) :]:
        told = statement(posed(torque, asked.row, kit, parts=asked.parts, note=asked.note))
        assert "parts of the course's own kit stand in" in told


def test_a_kit_with_enough_is_left_alone():
    for exercise in registry.exercises("gearing"):
        assert {asked.note for asked in kit_rows.table(exercise, KITS["second"])} == {""}


def test_who_asks_again_gets_the_same_question(kit_of):
    kit = kit_of(BOXES.index(("second", 1, 0.6)))
    for exercise in registry.exercises("arm"):
        first = pose(exercise, "ana", kit=kit)
        kit_rows._KEPT.clear()
        again = pose(exercise, "ana", kit=kit)
        assert (first.row, first.note, first.parts.digest) == (again.row, again.note, again.parts.digest)


def test_topped_up_parts_are_told_by_their_labels(kit_of):
    kit = kit_of(BOXES.index(("second", 4, 0.6)))
    both, boxes = kit_rows.topped_up(kit), kit.table("gearboxes")
    table, own = both.table("gearboxes"), own_kit().table("gearboxes")
    assert table.names == (*boxes.names, *own.names)
    assert all(table.row(name) == boxes.row(name) and table.labels[name] == boxes.labels[name] for name in boxes.names)
    assert all(table.row(name) == own.row(name) for name in own.names)
    assert all(table.labels[name] == f"{own.labels[name]} (course's own)" for name in own.names)
    assert both.game is kit.game and both.digest not in (kit.digest, own_kit().digest)


def test_an_answer_to_topped_up_numbers_is_graded_by_them_wherever_it_is_graded(kit_of):
    kit = kit_of(BOXES.index(("second", 1, 0.6)))
    asked = [one for lesson in ("gearing", "power", "drivetrain") for one in registry.exercises(lesson)]
    asked = [one for one in asked if isinstance(one, Quantity) and callable(one.rows)]
    stand_ins = 0
    for exercise in asked:
        one = pose(exercise, "ana", kit=kit)
        stand_ins += bool(one.note)
        told, raw = question(one), answer_text(one)
        asked = {"posed_digest": told.digest, "posed": told.row}
        attempt = Attempt(exercise.id, exercise.revision, kit.digest, raw, RIGHT, **asked)
        for kits, from_file in (({kit.digest: kit}, False), ({own_kit().digest: own_kit()}, None)):
            again, only_file = posed_again(attempt, "ana", kits)
            assert again.si == one.si and grade_posed(again, raw).state == RIGHT
            assert only_file == from_file or from_file is None
    assert stand_ins > 1


def test_what_is_assumed_of_a_part_stays_so_among_the_parts_of_two_kits(form_of):
    kit = form_of("gearmotors and motors")[0]
    both = kit_rows.topped_up(kit).table("motors")
    assert set(both.assumed["ox"]) == {"rotor_inertia", "mass", "heat_capacity", "thermal_resistance"}
    joined = kit_rows._both(own_kit().table("motors"), kit)
    assert dict(joined.assumed["ox"]) == dict(kit.table("motors").assumed["ox"])


def test_a_row_whose_answer_stands_in_a_text_is_left_out_with_another_kit():
    told = replace(TORQUE, hints=("More than -5.886 N·m.", "Multiply."), rows=lambda kit: list(TORQUE.rows))
    assert TORQUE.answer(posed(TORQUE, TORQUE.rows[0], own_kit()).si) == pytest.approx(-5.886)
    assert [asked.row for asked in kit_rows.table(told, KITS["second"])] == list(TORQUE.rows[1:])
    assert problems(told, KITS["second"]) == []
    assert any("tells the answer" in sentence for sentence in problems(told, own_kit())), "its author is told"


@pytest.mark.parametrize("name", GEARMOTORS)
@pytest.mark.parametrize("id", ["motors-line", "motors-heat", "motors-brake-test"])
def test_a_nameplate_is_that_of_a_motor_without_gears(id, name, form_of):
    """A gearmotor's label is of its output shaft: what stands in its row of the motors is printed nowhere."""
    kit = form_of(name)[0]
    motors, own = kit.table("motors"), own_kit().table("motors")
    loose = {motors.labels[motor] for motor in motors.names if motors.row(motor)["geared"] == 0}
    loose |= {label + mark for label in own.labels.values() for mark in ("", f" {kit_rows.MARK}")}
    assert {asked.row["motor"] for asked in kit_rows.table(registry.exercise(id), kit)} <= loose


APART = "drivetrain-slip-current", "arm-ratio", "gearing-lifted-weights", "gearing-inertia"
BOXED = "drivetrain-top-speed", "drivetrain-motor-force", "gearing-speed-out", "gearing-torque-out"


@pytest.mark.parametrize("name", GEARMOTORS)
@pytest.mark.parametrize("id", (*APART, *BOXED))
def test_the_halves_of_a_gearmotor_are_not_asked_apart(id, name, form_of):
    """What its row of the motors and its row of the gearboxes say is printed on no label: 4200 rpm before "a gearbox"
    of ratio 1, gears that pass on 100 %, a stall torque that is more than the label's.
    """
    kit = form_of(name)[0]
    halves = {"ox gearmotor", "hare gearmotor"}
    for asked in kit_rows.table(registry.exercise(id), kit):
        assert not halves & set(map(str, asked.row.values()))
        assert "own gears" not in str(asked.row.get("gearbox", ""))
        assert asked.row.get("ratio", (2.0, ""))[0] > 1 and asked.row.get("efficiency", (50.0, "%"))[0] < 100
        assert asked.note or name == GEARMOTORS[0], "what stands in is told"


@pytest.mark.parametrize("name", FORMS)
def test_an_encoder_has_counts_with_every_kit(name, form_of):
    for asked in kit_rows.table(registry.exercise("power-encoder-step"), form_of(name)[0]):
        assert asked.row["counts"][0] > 0


# --- slips ---------------------------------------------------------------------------------------------------------

NEAR = Slip("half gravity forgotten", lambda r: -10.3 * r.mass * r.out, "Too near to the truth with every row.")
TWIN = Slip("twin", lambda r: -r.mass * r.out * 1.05, "Too near to another slip.")


def test_a_slip_that_can_not_be_told_is_dropped_for_that_row_alone():
    exercise = replace(TORQUE, slips=(*TORQUE.slips, NEAR, TWIN), rows=lambda kit: list(TORQUE.rows))
    one = pose(exercise, kit=KITS["second"])
    assert one.slips == TORQUE.slips
    assert not any("near" in sentence for sentence in problems(exercise, KITS["second"]))
    told = grade_posed(one, f"{NEAR.formula(one.si):.4f} N·m")
    assert (told.state, told.slip) == (NOT_YET, "")
    # Its author is told: with the course's own kit every slip must count.
    assert sum("twin" in sentence or "half gravity" in sentence for sentence in problems(exercise, own_kit())) > 1


def test_of_two_slips_that_are_too_near_the_first_stays():
    exercise = replace(TORQUE, slips=(TWIN, *TORQUE.slips), rows=lambda kit: list(TORQUE.rows))
    one = pose(exercise, kit=KITS["second"])
    assert one.slips[0] is TWIN and "mass for weight" not in {slip.name for slip in one.slips}


# --- designs -------------------------------------------------------------------------------------------------------


def test_a_design_is_eased_until_the_kits_own_parts_can_do_it(kit_of):
    kit, design = kit_of(BOXES.index(("own", 4, 0.6))), registry.exercise("arm-design")
    can = lambda one: any(grade_posed(one, raw).state == RIGHT for raw in kit_rows.found_answers(one))
    eased = 0
    for place, asked in enumerate(kit_rows.table(design, kit)[:3]):
        found = kit_rows.settled(design, kit, place)
        assert can(posed(design, found.row, kit, parts=found.parts))
        assert can(posed(design, asked.row, kit)) == (found.row == asked.row and found.parts is kit)
        if found.parts is not kit:
            assert "stand in" in found.note
        elif found.row != asked.row:
            eased += 1
            assert found.row["time_wanted"] > asked.row["time_wanted"] and found.row["payload"] < asked.row["payload"]
    assert eased


def test_a_design_that_the_course_stands_in_for_tells_so_by_its_labels(kit_of):
    """Weak gears, a single one: the course's own parts stand beside the kit's, and their labels say so."""
    kit, design = kit_of(BOXES.index(("own", 1, 0.6))), registry.exercise("arm-design")
    asked = kit_rows.table(design, kit)[0]
    one = posed(design, asked.row, kit, parts=kit_rows.topped_up(kit), note=kit_rows.SOME_STAND_IN)
    picks = [entry for entry in inputs(one) if isinstance(entry, Pick)]
    assert picks and any("(course's own)" in label for pick in picks for label in options_of(one, pick).values())
    assert "stand in" in statement(one)


def test_where_whatever_is_chosen_is_right_the_question_is_of_the_kits_own_parts_all_the_same(kit_of):
    """One part of each kind leaves nothing that could be chosen wrongly: an easy question, and no fault."""
    kit, design = kit_of(MANY - 2), registry.exercise("gearing-design")
    found = kit_rows.settled(design, kit, 0)
    states = {grade_posed(posed(design, found.row, kit, parts=found.parts), raw).state for raw in _tried(design, found)}
    assert found.note == "" and states == {RIGHT} and not problems(design, kit)


def _tried(design, asked):
    one = posed(design, asked.row, asked.parts, parts=asked.parts)
    return [*kit_rows.found_answers(one), *kit_rows.ends_of_ranges(one)]


def test_easing_makes_the_numbers_easier_step_by_step():
    design = registry.exercise("arm-design")
    row = kit_rows.table(design, own_kit())[0].row
    eased = [kit_rows._eased(design, row, step) for step in range(kit_rows.STEPS)]
    assert eased[0] == row
    for before, after in zip(eased, eased[1:]):
        assert after["time_wanted"][0] > before["time_wanted"][0] and after["payload"][0] < before["payload"][0]
        assert after["hold_time"] == before["hold_time"]


def test_every_design_says_how_it_is_eased_and_only_of_what_is_fixed():
    designs = [one for one in EXERCISES if isinstance(one, Challenge)]
    found_by_rows = {design.id for design in designs if not design.ease}
    assert found_by_rows == {"cycle-design", "cycle-plan", "robot-improve"}
    for design in designs:
        assert set(design.ease) <= set(design.fixed) and all(0.5 < factor < 2 for factor in design.ease.values())

"""What a learner types who takes a wrong path, and what is said to it: the mistake by its name, whichever row it is.

Each wrong number is worked out here from the numbers as they stand in the question, in their own units, by hand's own
steps; the exercise's formulas are not used.
"""

import math

import numpy as np
import pytest

from mechbench import quantity
from mechbench.course import kit_rows, offered, registry
from mechbench.course.exercise import Quantity
from mechbench.course.grading import NOT_YET, RIGHT, grade_posed
from mechbench.course.learner_numbers import posed
from mechbench.course.simulated_readings import columns_in_si, shop_readings
from mechbench.kits.load import own_kit
from tests.course.samples import KITS

G = 9.81
TURN = 2 * math.pi


def _k(r):
    return r["stall_torque"] / (r["stall_current"] - r["free_current"])


# exercise, what is typed (function of the row's numbers, in the units of the question), its unit, words of the feedback
PATHS = [
    ("start-here-rim", lambda r: r["speed"] * r["diameter"] / 2000, "m/s", "as if they were rad/s"),
    ("start-here-rim", lambda r: math.pi * r["diameter"] / 1000 * r["speed"], "m/s", "in one minute"),
    ("start-here-rim", lambda r: math.pi * r["diameter"] / 2000 * r["speed"] / 60, "m/s", "π × radius"),
    ("start-here-hooks", lambda r: r["mass"] * G * r["hooks"], "N", "You multiplied by the hooks"),
    ("start-here-hooks", lambda r: r["mass"] / G / r["hooks"], "N", "You divided by 9.81"),
    ("start-here-spool", lambda r: r["pull"] / (r["diameter"] / 2000), "N·m", "You divided by the radius"),
    ("start-here-spool", lambda r: r["pull"] * math.pi * r["diameter"] / 1000, "N·m", "once around the spool"),
    (
        "start-here-second",
        lambda r: (
            r["points"]
            * (
                int((r["driven"] - r["closing"]) / (r["cycle"] - 1) + 1e-9)
                - int((r["driven"] - r["closing"]) / r["cycle"] + 1e-9)
            )
        ),
        "points",
        "whole trips only",
    ),
    (
        "start-here-second",
        lambda r: (r["driven"] - r["closing"]) / (r["cycle"] - 1) - (r["driven"] - r["closing"]) / r["cycle"],
        "points",
        "how many trips more",
    ),
    (
        "start-here-second",
        lambda r: r["points"] * (r["driven"] - r["closing"]) / r["cycle"] / r["cycle"],
        "points",
        "as long as before",
    ),
    (
        "start-here-second",
        lambda r: r["points"] * (r["driven"] - r["closing"]) / r["cycle"],
        "points",
        "all points of the robot as it was",
    ),
    ("motors-current", lambda r: r["torque"] / _k(r), "A", "You left the free current out"),
    ("motors-current", lambda r: r["torque"] / r["stall_torque"] * r["stall_current"], "A", "the free current out"),
    (
        "motors-current",
        lambda r: r["free_current"] + r["torque"] / r["stall_torque"] * r["stall_current"],
        "A",
        "the free current twice",
    ),
    ("motors-power", lambda r: r["torque"] * r["speed"], "W", "You multiplied by rpm"),
    ("motors-power", lambda r: r["torque"] * r["speed"] * TURN, "W", "a minute has 60 seconds"),
    ("motors-power", lambda r: r["stall_torque"] * r["speed"] * TURN / 60, "W", "You used the stall torque"),
    ("motors-power", lambda r: r["torque"] * r["free_speed"] * TURN / 60, "W", "You used the free speed"),
    ("motors-tired-battery", lambda r: r["stall_torque"] * (1 - r["low"] / r["voltage"]), "N·m", "is lost"),
    ("motors-two", lambda r: r["free_current"] + r["torque"] / _k(r), "A", "the whole load on one motor"),
    ("motors-two", lambda r: r["torque"] / r["stall_torque"] * r["stall_current"], "A", "You left the free current"),
    ("motors-two", lambda r: r["torque"] / _k(r), "A", "You left the free current out"),
    (
        "motors-two",
        lambda r: 2 * r["free_current"] + r["torque"] / r["stall_torque"] * r["stall_current"],
        "A",
        "the free current twice",
    ),
    ("motors-heat", lambda r: r["current"] ** 2 * r["stall_current"] / r["voltage"], "W", "current by voltage"),
    ("gearing-two-pairs", lambda r: r["fourth"] / r["third"], "", "the second pair alone"),
    ("gearing-two-pairs", lambda r: r["second"] / r["first"] * r["third"] / r["fourth"], "", "upside down"),
    ("gearing-speed-out", lambda r: r["speed"] / r["ratio"] / (r["efficiency"] / 100), "rpm", "by the efficiency"),
    ("gearing-play", lambda r: r["play"] / 360 / r["second"] * r["length"], "mm", "a whole turn"),
    ("drivetrain-top-speed", lambda r: r["speed"] / r["ratio"] * r["diameter"] / 2000, "m/s", "as if they were rad/s"),
    ("drivetrain-top-speed", lambda r: r["speed"] / r["ratio"] * math.pi * r["diameter"] / 1e3, "m/s", "in one minute"),
    ("drivetrain-grip", lambda r: r["share"] / 100 * r["mass"] * G / r["mu"], "N", "You divided by the friction"),
    ("drivetrain-grip", lambda r: r["share"] / 100 * r["mass"] * G, "N", "press on the floor"),
    ("drivetrain-grip", lambda r: r["mass"] * G, "N", "the weight of the whole robot"),
    (
        "drivetrain-motor-force",
        lambda r: r["count"] * r["torque"] * r["ratio"] / (r["efficiency"] / 100) / (r["diameter"] / 2000),
        "N",
        "You divided by the efficiency",
    ),
    (
        "drivetrain-motor-force",
        lambda r: r["count"] * r["torque"] / r["ratio"] * r["efficiency"] / 100 / (r["diameter"] / 2000),
        "N",
        "You divided by the ratio",
    ),
    ("drivetrain-stopping", lambda r: r["speed"] ** 2 / (2 * G), "m", "You left the friction out"),
    ("drivetrain-time", lambda r: 2 * r["speed"] / r["acceleration"], "s", "the two ramps"),
    (
        "drivetrain-slip-current",
        lambda r: r["grip"] * r["diameter"] / 2000 / (r["ratio"] * r["efficiency"] / 100 * r["constant"]),
        "A",
        "You left the free current out",
    ),
    (
        "drivetrain-slip-current",
        lambda r: 4 * r["free"] + r["grip"] * r["diameter"] / 2000 / (r["ratio"] * r["constant"]),
        "A",
        "You left the losses out",
    ),
    (
        "drivetrain-slip-current",
        lambda r: r["free"] + r["grip"] * r["diameter"] / 2000 / (r["ratio"] * r["efficiency"] / 100 * r["constant"]),
        "A",
        "There is one free current in your number",
    ),
    (
        "drivetrain-slip-current",
        lambda r: (
            r["free"] + r["grip"] * r["diameter"] / 2000 / (4 * r["ratio"] * r["efficiency"] / 100 * r["constant"])
        ),
        "A",
        "That is one motor",
    ),
    ("drivetrain-pull-test", lambda r: r["mu"] * (r["mass"] + 3.5) / r["mass"], "", "the robot alone"),
    ("intake-surface-speed", lambda r: r["turns"] * r["across"] / 2000, "m/s", "as if they were rad/s"),
    ("intake-surface-speed", lambda r: math.pi * r["across"] / 2000 * r["turns"] / 60, "m/s", "π × radius"),
    ("intake-surface-speed", lambda r: math.pi * r["across"] / 1000 * r["turns"], "m/s", "a minute has 60 seconds"),
    (
        "intake-two-rollers",
        lambda r: r["stiffness"] * (r["piece"] - r["gap"]) / r["grip"],
        "N",
        "You divided by the fr",
    ),
    ("intake-up-the-ramp", lambda r: r["mass"] / 1000 * G, "N", "the weight of the"),
    ("intake-up-the-ramp", lambda r: r["mass"] / 1000 * G * r["way"] / r["rise"] / r["grip"], "N", "upside down"),
    ("gripper-hangs-still", lambda r: r["mass"] / 1000 * G / 2, "N", "half the weight"),
    ("gripper-hangs-still", lambda r: r["mass"] / 1000 * G, "N", "the weight of the piece"),
    ("gripper-moves-up", lambda r: r["safety"] * r["mass"] / 1000 * (G + r["upward"]) / 2, "N", "carries that much"),
    (
        "gripper-which-servo",
        lambda r: r["mass"] / 1000 * (G + r["upward"]) * r["lever"] / 1000 / (r["share"] / 100),
        "N·m",
        "You left the friction out",
    ),
    ("gripper-time-to-close", lambda r: r["sixty"] * r["ratio"] * 60 / r["angle"], "s", "You divided 60 deg"),
    ("arm-level", lambda r: r["piece"] / 1000 * G * r["length"] / 100, "N·m", "You left the gripper out"),
    ("arm-own-mass", lambda r: (r["tube"] / 2 + r["tip"]) / 1000 * r["length"] / 100, "N·m", "kilograms by metres"),
    ("arm-own-mass", lambda r: r["tube"] / 2000 * G * r["length"] / 100, "N·m", "what hangs at the tip"),
    ("arm-at-an-angle", lambda r: r["force"] * r["length"] / 100, "N·m", "You used the whole length"),
    (
        "arm-at-an-angle",
        lambda r: r["force"] * G * r["length"] / 100 * math.cos(math.radians(r["angle"])),
        "N·m",
        "a force already",
    ),
    (
        "intake-nip-angle",
        lambda r: math.degrees(math.acos(1 - r["squeeze"] / 2 / ((r["piece"] + r["roller"]) / 2))),
        "deg",
        "half the squeeze",
    ),
    ("lift-top-speed", lambda r: r["stages"] * r["turns"] * r["across"] / 2000, "m/s", "as if they were rad/s"),
    ("lift-top-speed", lambda r: r["stages"] * math.pi * r["across"] / 1000 * r["turns"], "m/s", "divide by 60"),
    ("winch-layer-torque", lambda r: r["mass"] * G * r["core"] / 2000, "N·m", "the bare drum"),
    ("cycle-points", lambda r: r["pieces"] * r["each"] + r["hangs"] / 100 * r["hang"], "points", "the easier task out"),
    (
        "robot-second-try",
        lambda r: (1 - r["chance"] / 100) * r["chance"] / 100 * r["hang"] - r["time"] * r["rate"],
        "points",
        "You counted the harder task in full",
    ),
    ("arm-ratio", lambda r: r["part"] / 100 * r["stall"] * r["efficiency"] / 100 / r["load"], "", "upside down"),
]
OF_READINGS = [
    # The brake's eight currents are 0.1 to 0.55 of the stall current, in even steps.
    (
        "motors-brake-test",
        lambda r: r["resistance"] * sum(1 / (0.1 + 0.45 * step / 7) for step in range(8)) / 8,
        "ohm",
        "while the motor turned",
    ),
    # Eight weights that take 0.375 to 2.5 A in even steps, and the free current besides.
    (
        "gearing-lifted-weights",
        lambda r: r["efficiency"] * sum(x / (r["free"] + x) for x in (0.375 + 2.125 * n / 7 for n in range(8))) / 8,
        "%",
        "that lifts nothing",
    ),
    ("start-here-stopwatch", lambda r: 1.25 * r["trip"], "s", "the first reading alone"),
    ("start-here-stopwatch", lambda r: 0.78 * r["trip"], "s", "the last reading alone"),
]


def _rows(exercise, kit):
    for place in range(len(kit_rows.table(exercise, kit))):
        asked = kit_rows.settled(exercise, kit, place)
        yield posed(exercise, asked.row, kit, parts=asked.parts)


def _typed(one, wrong, unit):
    numbers = {name: given[0] if isinstance(given, tuple) else given for name, given in one.row.items()}
    return f"{wrong(numbers):.4g} {unit}".strip()


@pytest.mark.parametrize("id, wrong, unit, words", [*PATHS, *OF_READINGS])
def test_a_wrong_path_is_named_in_every_row(id, wrong, unit, words):
    for one in _rows(registry.exercise(id), own_kit()):
        raw = _typed(one, wrong, unit)
        told = grade_posed(one, raw)
        assert told.state == NOT_YET and told.slip, f"{raw}: {told.message}"
        assert words in told.message, f"{raw}: {told.message}"


@pytest.mark.parametrize("kit", [kit for name, kit in KITS.items() if name != "own"])
@pytest.mark.parametrize("id, wrong, unit, words", PATHS)
def test_with_another_kit_it_is_never_called_close(id, wrong, unit, words, kit):
    """There a path may lie too near to another one, or to the answer: then nothing is said of it, and never "close"."""
    exercise = registry.exercise(id)
    if exercise in offered.exercises(kit=kit):
        for one in _rows(exercise, kit):
            raw = _typed(one, wrong, unit)
            assert "Close" not in grade_posed(one, raw).message, raw


def test_the_slope_of_a_line_through_pulls_is_told_what_to_do_instead():
    """What weighs nothing has no grip, so each row alone tells it; a line that need not begin at 0 tells it worse."""
    exercise, told = registry.exercise("drivetrain-pull-test"), []
    for place, one in enumerate(_rows(exercise, own_kit())):
        for number in range(10):
            columns = columns_in_si(shop_readings(one, f"class {place} {number}"))
            slope = np.polyfit((one.si.mass + columns["load"]) * G, columns["pull"], 1)[0]
            if 0.05 < abs(slope / one.si.mu - 1) < 0.1:
                told.append(grade_posed(one, f"{slope:.4g}").message)
    assert len(told) > 20 and all("mean of pull / force" in message for message in told)


QUANTITIES = [exercise for exercise in registry.everything() if isinstance(exercise, Quantity)]


@pytest.mark.parametrize("exercise", QUANTITIES, ids=lambda exercise: exercise.id)
def test_right_digits_with_another_unit_are_told_apart_from_a_wrong_number(exercise):
    """The right number with each other unit of its kind: never right, and what is said speaks of digits or of units,
    or names the path that gives just that.
    """
    for one in _rows(exercise, own_kit()):
        number = f"{quantity.from_si(exercise.answer(one.si), exercise.unit):.4g}"
        for unit in quantity.units_of(exercise.kind):
            if quantity.to_si(1, unit) == pytest.approx(quantity.to_si(1, exercise.unit), rel=0.1):
                continue  # the same unit, or one of the same size
            told = grade_posed(one, f"{number} {quantity.written(unit)}")
            assert told.state != RIGHT, f"{number} {unit}"
            if told.state == NOT_YET and not told.slip:
                assert "The digits fit" in told.message, f"{number} {unit}: {told.message}"


def _of_weights(r, columns):
    """Torque of the motor that the weights ask, in amperes without any loss, and the current that was read."""
    return columns["mass"] * G * r.spool / 2 / (r.ratio * r.constant), columns["current"]


def _of_layers(r, columns):
    """The same of a sandbag on the layers of a drum."""
    return r.mass * G * columns["radius"] / (r.ratio * r.constant), columns["current"]


@pytest.mark.parametrize("id, amperes", [("gearing-lifted-weights", _of_weights), ("winch-current-test", _of_layers)])
def test_an_idle_current_that_is_not_subtracted_is_told_and_never_right(id, amperes):
    """Whichever way a learner takes all the current for that of the load: mean, sums, a line through zero, one row."""
    for place, one in enumerate(_rows(registry.exercise(id), own_kit())):
        for number in range(10):
            asked, read = amperes(one.si, columns_in_si(shop_readings(one, f"class {place} {number}")))
            each = asked / read
            typed = [*each, asked.sum() / read.sum(), (asked * read).sum() / (read * read).sum(), each.mean()]
            told = [grade_posed(one, f"{100 * share:.3g} %") for share in typed]
            assert {grade.state for grade in told} == {NOT_YET}
            assert told[-1].slip and "current" in told[-1].message, told[-1]


def test_one_reading_of_the_stopwatch_is_seldom_enough():
    """Of the thirty readings the first and the last are told by name; the mean of all of them is right."""
    exercise = registry.exercise("start-here-stopwatch")
    for place, one in enumerate(_rows(exercise, own_kit())):
        for number in range(20):
            times = columns_in_si(shop_readings(one, f"class {place} {number}"))["time"]
            first, last, mean = (grade_posed(one, f"{time:.1f} s") for time in (times[0], times[-1], times.mean()))
            assert (first.state, first.slip) == (NOT_YET, "first reading alone")
            assert (last.state, last.slip) == (NOT_YET, "last reading alone")
            assert mean.state == RIGHT

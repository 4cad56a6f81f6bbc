"""Lesson 00's answers, worked out a second time: with pint, a library of units that is not ours, or by counting."""

from fractions import Fraction

import pint
import pytest

from mechbench.course import registry
from mechbench.course.grading import RIGHT, grade, grade_posed
from mechbench.course.learner_numbers import pose
from tests.course.samples import KITS
from tests.mechanisms.by_hand_handling import altered_kit
from tests.published import READ, check

UNITS = pint.UnitRegistry()
NAMES = "piece", "shelf", "points"


def _rows(id):
    """Every row of an exercise with both kits, as pint quantities read from the numbers on screen."""
    exercise = registry.exercise(id)
    for kit in KITS.values():
        for practice in range(8):
            one = pose(exercise, "", practice, kit)
            yield (
                one,
                {
                    name: UNITS.Quantity(text.replace("·", "*"))
                    for name, text in one.texts.items()
                    if text[0].isdigit() and "point" not in text
                },
            )


def test_lever():
    for one, q in _rows("start-here-lever"):
        assert one.exercise.answer(one.si) == pytest.approx((q["force"] * q["length"]).m_as("N*m"))


def test_hooks():
    """Standard gravity is 9.80665 m/s² exactly (NIST SP 811, Appendix B.8); the exercise says 9.81 N/kg."""
    for one, q in _rows("start-here-hooks"):
        force = (q["mass"] * UNITS.standard_gravity / q["hooks"]).m_as("N")
        assert one.exercise.answer(one.si) == pytest.approx(force, rel=5e-4)


def test_spool():
    for one, q in _rows("start-here-spool"):
        assert one.exercise.answer(one.si) == pytest.approx((q["pull"] * q["diameter"] / 2).m_as("N*m"))


def test_rim():
    for one, q in _rows("start-here-rim"):
        around = q["diameter"] * 3.14159265358979
        turns = q["speed"].m_as("turn/min") / 60
        assert one.exercise.answer(one.si) == pytest.approx(around.m_as("m") * turns)


def test_second_by_counting():
    for one, _ in _rows("start-here-second"):
        time = Fraction(one.si.driven - one.si.closing)
        before, after = time / Fraction(one.si.cycle), time / Fraction(one.si.cycle - 1)
        assert one.exercise.answer(one.si) == pytest.approx(float((after - before) * Fraction(one.si.points)))


def test_trips_to_hundredths_are_exact_enough():
    """As the text says: each number of trips to two digits after the point, then the difference, times the points."""
    for one, _ in _rows("start-here-second"):
        time = one.si.driven - one.si.closing
        more = round(time / (one.si.cycle - 1), 2) - round(time / one.si.cycle, 2)
        assert grade_posed(one, f"{more * one.si.points:.2f} points").state == RIGHT
    assert "hundredths" in registry.exercise("start-here-second").text


def test_speeds_are_in_the_order_that_pint_gives():
    spoken = {
        "rpm-20": 20 * UNITS.rpm,
        "deg-180": 180 * UNITS.degree / UNITS.s,
        "turn-1": 1 * UNITS.turn / UNITS.s,
        "rad-10": 10 * UNITS.rad / UNITS.s,
    }
    items = registry.exercise("start-here-speeds").items
    speeds = [spoken[item.name].m_as("rad/s") for item in items]
    assert speeds == sorted(speeds) and len(speeds) == len(spoken)


def test_kgf_cm_is_what_the_explanation_says():
    """1 kgf·cm = 0.0980665 N·m, 'about 0.1 N·m'; NIST SP 811 (2008), Appendix B.8."""
    assert UNITS.Quantity(1, "kgf*cm").m_as("N*m") == pytest.approx(0.0980665)
    assert "about 0.1 N·m" in registry.exercise("start-here-sheet").explain


def test_the_exact_inch_and_pound_are_right_answers():
    torque = 3 / 0.1129848  # N·m in one lbf·in, NIST SP 811
    check(
        "exercises",
        "12 N at 25 cm in lbf·in, seen in the grade [N·m]",
        grade("start-here-lever", "", f"{torque:.4f} lbf·in").value,
        3.0,
        1e-5,
        "NIST SP 811 (2008), Appendix B.8, lbf·in",
        READ,
    )


def test_a_trip_brings_a_piece_to_a_goal_in_which_it_counts(tmp_path):
    """The roof never gets full, but takes cubes alone: balls go to the step, which holds 20 for 2 points each."""
    cube = '[pieces.cube]\nlabel = "cube"\nshape = "box"\nlength = "90 mm"\nwidth = "80 mm"\nheight = "70 mm"\n'
    shed = '[places.shed]\nlabel = "shed"\nkind = "open"\npieces = ["cube"]\nway = "1 m"\n\n'
    more = f'{cube}mass = "200 g"\ncount = 12\n\n{shed}[places.open]'
    kit = altered_kit(tmp_path, game={"[places.open]": more, "[goals.roof]": '[goals.roof]\ntakes = ["cube"]'})
    told = lambda here: {name: pose(registry.exercise("start-here-second"), kit=here).row[name] for name in NAMES}
    assert told(kit) == {"piece": "ball", "shelf": "first step", "points": (2.0, "points")}
    assert told(KITS["second"])["points"] == (9.0, "points"), "all goals take balls there, the roof too"

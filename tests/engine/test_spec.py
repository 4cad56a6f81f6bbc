"""What a sizing is made of: inputs that are read and bounded, findings with their margin, and what it tells a robot."""

from types import SimpleNamespace

import numpy as np
import pytest

from mechbench.engine.inputs import Tables
from mechbench.engine.spec import Field, Finding, Pick, Sizing
from tests.engine.toys import Shelf, toy_kit

REACH = Field("reach", "Reach", "mm", 100, 500, 200, "How far")
TABLES = Tables(Shelf, toy_kit())


# --- a number that is given -----------------------------------------------------------------------------------------


def test_a_field_is_shown_in_its_unit_and_kept_in_si():
    assert REACH.first() == pytest.approx(0.2) and REACH.to_si(250) == pytest.approx(0.25)
    assert (
        REACH.read("30 cm") == pytest.approx(0.3)
        and REACH.read(0.3) == 0.3
        and REACH.read("12 in") == pytest.approx(0.3048)
    )


LARGER = " (larger values exist, but are not calculated here)"
SMALLER = " (smaller values exist, but are not calculated here)"


@pytest.mark.parametrize(
    "given, said",
    [
        (
            "501 mm",
            f"reach is 501 mm, but it must be from 100 mm to 500 mm{LARGER}; choose a value in that range.",
        ),
        (
            0.099,
            f"reach is 99 mm, but it must be from 100 mm to 500 mm{SMALLER}; choose a value in that range.",
        ),
        (
            np.inf,
            f"reach is unlimited, but it must be from 100 mm to 500 mm{LARGER}; choose a value in that range.",
        ),
    ],
)
def test_what_lies_outside_the_range_is_refused_with_both_bounds(given, said):
    with pytest.raises(ValueError) as refused:
        REACH.read(given)
    assert str(refused.value) == said


@pytest.mark.parametrize(
    "unit, low, high, ends, given, said",
    [
        ("mm", 0.0, 9.0, "", "-1 mm", " (below that it means nothing)"),
        ("mm", 0.0, 9.0, "", "10 mm", f"{LARGER}"),
        ("%", 20.0, 100.0, "", "101 %", " (above that it means nothing)"),
        ("%", 20.0, 100.0, "", "19 %", f"{SMALLER}"),
        ("%", 0.0, 90.0, "", "91 %", f"{LARGER}"),
        ("deg", 0.0, 90.0, "high", "-1 deg", f"{SMALLER}"),
        ("deg", 0.0, 90.0, "high", "91 deg", " (above that it means nothing)"),
        ("deg", 5.0, 90.0, "both", "4 deg", " (below that it means nothing)"),
        ("mm", 0.0, 9.0, "none", "-1 mm", f"{SMALLER}"),
    ],
)
def test_it_is_said_whether_the_number_ends_or_only_the_range(unit, low, high, ends, given, said):
    with pytest.raises(ValueError) as refused:
        Field("one", "One", unit, low, high, high, "", ends=ends).read(given)
    assert f"{said}; choose a value in that range." in str(refused.value)


def test_another_kind_of_quantity_is_refused():
    with pytest.raises(ValueError, match="a mass; a length is asked"):
        REACH.read("3 kg")


@pytest.mark.parametrize("text, kept", [("100 mm", 0.1), ("500 mm", 0.5), ("19.6851 in", 0.5), ("3.9370 in", 0.1)])
def test_a_bound_that_was_rounded_in_another_unit_is_the_bound(text, kept):
    """500 mm are 19.68504 in: 19.6851 in is 1.5 um more. 100 mm are 3.93701 in: 3.9370 in is 0.2 um less."""
    assert REACH.read(text) == pytest.approx(kept, rel=1e-15, abs=0)


@pytest.mark.parametrize("value", [0.5000051, 0.0999949])
def test_more_than_a_hundred_thousandth_of_the_larger_end_is_no_rounding(value):
    with pytest.raises(ValueError, match="must be from"):
        REACH.read(value)


@pytest.mark.parametrize("low, high", [(-500, 100), (-100, 500)])
def test_the_slack_is_of_the_larger_end_whatever_its_sign(low, high):
    """A hundred-thousandth of 500 mm is 5 um, at both ends."""
    field = Field("place", "Place", "mm", low, high, 0, "Where")
    assert field.read(low / 1000 - 4e-6) == pytest.approx(low / 1000, rel=1e-12)
    assert field.read(high / 1000 + 4e-6) == pytest.approx(high / 1000, rel=1e-12)
    for outside in (low / 1000 - 6e-6, high / 1000 + 6e-6):
        with pytest.raises(ValueError):
            field.read(outside)


# --- a part that is picked ------------------------------------------------------------------------------------------


def test_a_part_is_read_by_its_name():
    board = Shelf.field("board")
    assert board.options(TABLES) == ("thin", "middle", "thick") and board.read("thick", TABLES) == "thick"
    with pytest.raises(ValueError) as refused:
        board.read("thik", TABLES)
    assert str(refused.value) == "board is 'thik', which the kit does not have; did you mean 'thick'?"


def test_the_first_part_is_the_default_or_what_the_kit_has_instead():
    assert Pick("board", "Board", "boards", "thin", "x").first(TABLES) == "thin"
    assert Pick("board", "Board", "boards", "of_another_kit", "x").first(TABLES) == "middle"


# --- a finding and what is asked of it ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "finding, value, margin",
    [
        (Finding("v", "v", "m/s", "x", "at least", 1.5), 1.8, 0.2),
        (Finding("v", "v", "m/s", "x", "at least", 1.5), 1.2, -0.2),
        (Finding("i", "i", "A", "x", "at most", 15), 12, 0.2),
        (Finding("i", "i", "A", "x", "at most", 15), 18, -0.2),
        (Finding("h", "h", "cm", "x", "at most", 20), 0.15, 0.25),  # 15 of 20 cm
        (Finding("h", "h", "cm", "x", "at least", -4), -0.03, 0.25),  # 1 cm above the lowest, which is 4 cm below 0
        (Finding("h", "h", "m", "x", "at most", 0), 0.3, -0.3),  # of nothing no share can be told
        (Finding("g", "g", "mm", "x", "at least", 0, scale=20), 0.005, 0.25),
        (Finding("g", "g", "mm", "x", "at least", 0, scale=20), -0.005, -0.25),
        (Finding("g", "g", "mm", "x", "at least", 10, scale=20), 0.015, 0.25),
        (Finding("t", "t", "s", "x", "at most", 2), np.inf, -np.inf),
    ],
)
def test_the_margin_is_the_share_of_the_bound_that_is_left(finding, value, margin):
    assert finding.margin(value, None) == pytest.approx(margin, rel=1e-12)


@pytest.mark.parametrize(
    "finding, bound",
    [
        (Finding("i", "i", "A", "x", "at most", 15), 15.0),
        (Finding("v", "v", "V", "x", "at least", 7), 7.0),
        (Finding("h", "h", "mm", "x", "at least", -4), -0.004),
        (Finding("g", "g", "mm", "x", "at least", 10, scale=20), 0.01),
    ],
)
def test_what_equals_its_bound_but_for_rounding_meets_it(finding, bound):
    """Within a millionth of the bound, on either side, nothing is short and nothing is spare."""
    worse = (1 if finding.sense == "at most" else -1) * abs(bound)
    for share in (1e-15, 1.2e-8, 0.9e-6):
        assert finding.margin(bound + share * worse, None) == 0 == finding.margin(bound - share * worse, None)
    for share in (1.1e-6, 1e-5, 0.03):
        assert finding.margin(bound + share * worse, None) < 0 < finding.margin(bound - share * worse, None)


def test_beside_a_bound_of_0_the_scale_says_what_rounding_is():
    spare = Finding("spare", "spare", "N·m", "x", "at least", 0.0, scale=2.0)
    assert spare.margin([-1.9e-6, -2.1e-6, 1.9e-6, 2.1e-6], None) == pytest.approx([0, -1.05e-6, 0, 1.05e-6])


@pytest.mark.parametrize("sense, sign", [("at most", -1), ("at least", 1)])
def test_nothing_is_near_to_a_bound_without_end(sense, sign):
    assert Finding("t", "t", "s", "x", sense, np.inf).margin(3.0, None) == sign * -np.inf


@pytest.mark.parametrize("number, margin", [(3, 1.99 / 4), (4, 0.99 / 4), (5, -1 / 4), (6, -2 / 4)])
def test_exactly_as_many_as_allowed_is_not_nearly_too_many(number, margin):
    """Four motors of at most four leave room up to the fifth: 0.99 of a motor, so that a full count is not "close"."""
    motors = Finding("motors", "motors", "whole", "x", "at most", 4, counted=True)
    assert motors.margin(number, None) == pytest.approx(margin, rel=1e-12)


def test_a_bound_may_be_a_column_of_the_inputs_or_of_a_part():
    x = SimpleNamespace(most=np.array([10.0, 20.0, 40.0]), part=SimpleNamespace(limit=np.array([8.0])))
    found = np.array([5.0, 25.0, 40.0])
    given = Finding("f", "f", "N", "x", "at most", "most")
    assert list(given.bound_si(x)) == [10, 20, 40] and given.margin(found, x) == pytest.approx([0.5, -0.25, 0])
    assert Finding("f", "f", "N", "x", "at least", "part.limit").margin(found, x) == pytest.approx([-0.375, 2.125, 4])
    assert Finding("f", "f", "kN", "x", "at most", 2).bound_si(x) == 2000


# --- the sizing as a whole ------------------------------------------------------------------------------------------


def test_inputs_and_what_is_asked_are_found_by_name():
    assert Shelf.field("load") is Shelf.FIELDS[0]
    assert [finding.name for finding in Shelf.judged()] == ["weight", "sag"]
    with pytest.raises(ValueError) as refused:
        Shelf.field("lod")
    assert str(refused.value) == "'lod' is not an input of shelf; did you mean 'load'?"
    with pytest.raises(TypeError, match="must give its own solve"):
        Sizing.solve(None)


class Turned(Sizing):
    """A part that is turned by a drive, with one bolt."""

    FIELDS = (
        Field("angle", "Angle", "deg", 1, 90, 45, "How far"),
        Pick("bolt", "Bolt", "plain", "bolt", "What holds it"),
        Pick("drive", "Drive", "drives", "wheel", "What turns it"),
        Pick("count", "How many", "counts", "1", "Side by side"),
    )


class ByMotor(Sizing):
    """The same with a motor, of which there is always one."""

    FIELDS = (Pick("motor", "Motor", "drives", "wheel", "What turns it"),)


@pytest.mark.parametrize("amps, margin", [(3.0, 1.0), (15.0, 1.0), (15.0000001, 1.0), (16.5, -0.1)])
def test_what_a_controller_holds_at_its_bound_is_met_with_enough_to_spare(amps, margin):
    """15 A of 15 A is where it is meant to stand: nothing to measure first. 1.5 A too many are 10 %."""
    current = Finding("current", "current", "A", "x", "at most", 15.0, held=True)
    assert current.margin(amps, None) == pytest.approx(margin)


def test_servos_and_motors_are_counted_apart():
    values = {"angle": 0.5, "bolt": "nut", "count": "3"}
    assert not Turned.by_servo({**values, "drive": "wheel"}, TABLES) and Turned.by_servo(
        {**values, "drive": "horn"}, TABLES
    )
    assert Turned.motors_and_servos({**values, "drive": "wheel"}, TABLES) == (3, 0)
    assert Turned.motors_and_servos({**values, "drive": "horn"}, TABLES) == (0, 3)
    assert ByMotor.motors_and_servos({"motor": "wheel"}, TABLES) == (1, 0)
    assert ByMotor.motors_and_servos({"motor": "horn"}, TABLES) == (0, 1)


def test_what_nothing_turns_has_no_motor():
    assert Shelf.motors_and_servos({"board": "thin", "count": "4"}, TABLES) == (0, 0)
    assert Shelf.by_servo({"board": "thin", "count": "4"}, TABLES) is False
    assert Shelf.given(None, None, {}) == {}


def test_the_battery_gives_the_current_that_was_found_or_none():
    current, other = np.array([3.0, 4.0]), np.array([1.0, 2.0])
    assert list(Shelf.battery_current({"other": other, "current": current}, 2)) == [3, 4], "of all motors already"
    assert list(Shelf.battery_current({"other": other}, 2)) == [0, 0]

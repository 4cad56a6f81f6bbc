"""The kit: the scenario's numbers, the sentence of each fault, a mentor's own folder, damaged files."""

import math
import os
import subprocess
import sys
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import constants

from mechbench.kits import Kit, KitError, Spread, copy_kit, kit, read_kit
from mechbench.kits.derived_numbers import DERIVED
from mechbench.kits.load import OWN_FOLDER, SETTING, WORK
from mechbench.kits.schema import SHAPES
from mechbench.quantity import KINDS
from tests.published import COMPANION, check

SECOND_FOLDER = Path(__file__).parent / "second_kit"
FILES = GAME, PARTS, ROBOTS = "game.toml", "parts.toml", "robots.toml"
COURSE = read_kit(OWN_FOLDER)
SECOND = read_kit(SECOND_FOLDER)
both_kits = pytest.mark.parametrize("one", [COURSE, SECOND], ids=["course", "second"])


def write_kit(folder, **texts):
    """Write the course's files into folder, game= or parts= in place of the file of that name."""
    for file in FILES:
        text = texts.get(file.removesuffix(".toml")) or (OWN_FOLDER / file).read_text(encoding="utf-8")
        (folder / file).write_text(text, encoding="utf-8")
    return folder


def edited(folder, file, old, new):
    """Write the course's files into folder with one place changed."""
    text = (OWN_FOLDER / file).read_text(encoding="utf-8")
    assert text.count(old) >= 1, f"{file} no longer holds {old!r}"
    return write_kit(folder, **{file.removesuffix(".toml"): text.replace(old, new, 1)})


def fault(folder):
    with pytest.raises(KitError) as caught:
        read_kit(folder)
    return str(caught.value)


# --- the scenario's numbers ------------------------------------------------------------------------------------------

RPM, DEG = 2 * constants.pi / constants.minute, constants.degree

# table, part, column, SI value
NUMBERS = [
    ("motors", "small", "voltage", 12),
    ("motors", "small", "free_speed", 6170 * RPM),
    ("motors", "small", "free_current", 0.28),
    ("motors", "small", "stall_torque", 0.161),
    ("motors", "small", "stall_current", 9.23),
    ("motors", "small", "rotor_inertia", 8e-6),
    ("motors", "small", "heat_capacity", 20),
    ("motors", "small", "thermal_resistance", 6),
    ("motors", "small", "max_rise", 100),
    ("motors", "small", "copper_coefficient", 0.0039),
    ("motors", "small", "counts_per_turn", 28),
    ("motors", "small", "shaft_diameter", 0.006),
    ("motors", "small", "mass", 0.28),
    ("motors", "small", "size", 0),
    ("motors", "large", "size", 1),
    ("motors", "large", "free_speed", 4750 * RPM),
    ("motors", "large", "stall_torque", 0.443),
    ("motors", "large", "stall_current", 19.35),
    ("motors", "large", "thermal_resistance", 4),
    ("motors", "large", "max_rise", 100),
    ("motors", "large", "shaft_diameter", 0.008),
    ("gearboxes", "planetary_16", "ratio", 16),
    ("gearboxes", "planetary_120", "ratio", 120),
    ("gearboxes", "planetary_192", "ratio", 192),
    ("gearboxes", "planetary_256", "stage_count", 4),
    ("gearboxes", "planetary_30", "efficiency", 0.81),
    ("gearboxes", "planetary_64", "efficiency", 0.729),
    ("gearboxes", "planetary_4", "backlash", 2 * DEG),
    ("gearboxes", "planetary_48", "backlash", 3 * DEG),
    ("gearboxes", "planetary_4", "allowed_small", 3),
    ("gearboxes", "planetary_80", "allowed_large", 20),
    ("gearboxes", "planetary_256", "allowed_small", 12),
    ("gearboxes", "planetary_20", "overhung_moment", 150 * 0.020),
    ("gearboxes", "planetary_80", "mass", 0.09),
    ("servos", "strong", "stall_torque", 2.45),
    ("servos", "strong", "travel", 270 * DEG),
    ("servos", "quick", "free_speed", 60 * DEG / 0.10),
    ("servos", "micro", "mass", 0.013),
    ("servos", "spinner", "free_speed", 130 * RPM),
    ("servos", "spinner", "travel", math.inf),
    ("servos", "spinner", "endless", 1),
    ("servos", "strong", "holding_torque", 0.98),
    ("servos", "strong", "play", 1 * DEG),
    ("spur_gears", "acetal_20", "allowed", 0.66),
    ("spur_gears", "steel_80", "allowed", 13.2),
    ("spur_gears", "brass_36", "pitch_diameter", 0.0288),
    ("spur_gears", "brass_72", "face", 0.008),
    ("bevel_gears", "bevel_1_5_to_1", "ratio", 1.5),
    ("bevel_gears", "bevel_2_to_1", "efficiency", 0.92),
    ("pulleys", "belt_60", "pitch", 0.003),
    ("pulleys", "belt_16", "working_load", 100),
    ("sprockets", "chain_10", "working_load", 400),
    ("sprockets", "chain_32", "efficiency", 0.93),
    ("wheels", "mecanum_100", "along", 0.75),
    ("wheels", "mecanum_100", "across", 0.55),
    ("wheels", "traction_90", "across", 1.0),
    ("wheels", "omni_90", "across", 0.1),
    ("wheels", "omni_90", "rolling", 0.03),
    ("wheels", "omni_90", "diameter", 0.09),
    ("rollers", "soft_60", "stiffness", 1500),
    ("rollers", "hard_30", "grip", 0.35),
    ("slides", "slide_300", "stage_travel", 0.230),
    ("slides", "slide_300", "stage_mass", 0.19),
    ("slides", "slide_300", "drag", 3),
    ("slides", "slide_300", "rail", 0.15),
    ("slides", "slide_300", "most", 4),
    ("cords", "braid_3", "breaking_strength", 1200),
    ("cords", "braid_3", "knotted_strength", 720),
    ("cords", "braid_3", "stretch_at_break", 0.10),
    ("ratchets", "ratchet", "torque", 20),
    ("extension_springs", "spring_1_20_120", "stretch_to", 1.9),
    ("extension_springs", "spring_0_60_80", "longest", 0.2),
    ("constant_springs", "constant_20", "force", 20),
    ("constant_springs", "constant_5", "travel", 0.7),
    ("goals", "high", "height", 0.7),
    ("goals", "middle", "points", 5),
    ("goals", "middle", "capacity", 12),
    ("goals", "low", "capacity", math.inf),
    ("goals", "low", "rim", 0.015),
    ("goals", "low", "way", 1.4),
]


@pytest.mark.parametrize("table, part, column, value", NUMBERS, ids=lambda value: str(value))
def test_a_part_has_the_scenarios_number(table, part, column, value):
    assert COURSE.table(table).row(part)[column] == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("part, resistance, constant", [("small", 1.30, 0.0180), ("large", 0.62, 0.0235)])
def test_motor_constants_follow_from_the_nameplate(part, resistance, constant):
    row = COURSE.table("motors").row(part)
    assert row["resistance"] == pytest.approx(resistance, rel=0.002)
    assert row["torque_constant"] == pytest.approx(constant, rel=0.002)
    assert row["free_current"] == row["free_current"]


def test_all_gearboxes_gears_and_springs_are_there():
    assert list(COURSE.table("gearboxes").columns["ratio"]) == [4, 12, 16, 20, 30, 48, 64, 80, 120, 192, 256]
    teeth = COURSE.table("spur_gears").columns["teeth"]
    assert sorted(teeth) == sorted([20, 24, 30, 36, 40, 48, 60, 72, 80] * 3)
    assert list(COURSE.table("pulleys").columns["teeth"]) == [16, 20, 24, 30, 36, 48, 60]
    assert list(COURSE.table("sprockets").columns["teeth"]) == [10, 12, 14, 16, 20, 24, 32, 40]
    assert len(COURSE.table("extension_springs")) == 16


def test_game_battery_fuse_and_controller():
    game = COURSE.game
    assert (game.label, game.field.width, game.field.robots_a_side) == ("Pantry Rush", 3.6, 2)
    jar, limits, bar = game.pieces["jar"], game.limits, game.closing["hang"]
    assert (jar.diameter, jar.width, jar.length, jar.height, jar.mass, jar.count) == (
        0.084,
        0.084,
        0.084,
        0.096,
        0.16,
        48,
    )
    assert (game.places["pens"].depth, game.places["pens"].gap, game.places["pens"].counts) == (0.25, 0.3, (32,))
    assert (game.obstacles["beam"].clear_height, game.obstacles["beam"].way_round) == (0.33, 1.9)
    assert (limits.start_length, limits.start_width, limits.start_height) == (0.45, 0.45, 0.45)
    assert (limits.mass, limits.motors, limits.servos, limits.drives, limits.hold) == (18, 8, 12, math.inf, 2)
    assert (game.phases["self_driving"].factor, game.phases["driven"].closing) == (2, 25)
    assert (bar.bar_height, bar.bar_diameter, bar.points, game.closing["park"].points) == (0.6, 0.025, 24, 4)
    assert (game.human["line_up"].low, game.human["line_up"].likely, game.human["line_up"].high) == (0.8, 1.5, 4.0)
    assert f"{limits.hold} {jar.plural} of {jar.count}" == "2 jars of 48"
    assert game.goals["middle"].takes == ("jar",) and game.bonuses["pair"].goals == ("low", "middle", "high")
    assert (COURSE.battery.open_circuit, COURSE.battery.resistance, COURSE.battery.capacity) == (13.2, 0.12, 3 * 3600)
    assert (COURSE.fuse.rating, COURSE.fuse.ratio, COURSE.fuse.time) == (25, (1.35, 2.0, 3.5), (600, 5, 0.5))
    # ISO 8820-3, blade fuses: melting times at 135, 200 and 350 % of the rating, from memory
    assert (COURSE.fuse.time_quick, COURSE.fuse.patience) == ((0.75, 0.15, 0.04), 0.5)
    assert (COURSE.controller.output_limit, COURSE.controller.loop_time, COURSE.controller.reset_level) == (15, 0.02, 7)
    assert (COURSE.servo_rail.voltage, COURSE.servo_rail.current_limit) == (6, 5)


def test_spreads():
    assert COURSE.spread("mass") == Spread("relative", -0.15, 0.15)
    assert COURSE.spread("friction") == Spread("relative", -0.20, 0.20)
    assert COURSE.spread("efficiency") == Spread("relative", -0.10, 0.0)
    voltage, resistance = COURSE.spread("battery_voltage"), COURSE.spread("battery_resistance")
    assert (voltage.kind, voltage.high) == ("absolute", 0) and COURSE.battery.open_circuit + voltage.low == 11.8
    assert (resistance.kind, resistance.low) == ("absolute", 0)
    assert COURSE.battery.resistance + resistance.high == pytest.approx(0.17)
    find = COURSE.spread("human_find")
    assert (find.low, find.high) == (pytest.approx(-0.6), pytest.approx(1.8))
    assert COURSE.spread("fuse") == Spread("absolute", -0.5, -0.5), "the quickest on every day but a good one"
    others = (COURSE.spread(name) for name in COURSE.spreads() if name != "fuse")
    assert all(one.low <= 0 <= one.high for one in others)


def test_frictions_by_name():
    assert COURSE.friction("piece_on_plastic") == 0.25 and COURSE.friction("jaw_on_piece") == 0.6
    assert COURSE.table("friction").labels["mecanum_across"] == "mecanum wheel on foam, sideways"


# --- against the outside ---------------------------------------------------------------------------------------------


def test_a_sprocket_of_the_kit_against_a_textbook(tmp_path):
    text = (OWN_FOLDER / PARTS).read_text(encoding="utf-8").replace('pitch = "6.35 mm"', 'pitch = "19.05 mm"')
    folder = write_kit(tmp_path, parts=text.replace("teeth = [10, 12, 14, 16, 20,", "teeth = [17, 20,"))
    check(
        "kit",
        "pitch diameter of a 17-tooth sprocket, 19.05 mm pitch [m]",
        read_kit(folder).table("sprockets").row("chain_17")["pitch_diameter"],
        0.103673741,
        1e-6,
        "Bhandari, Design of Machine Elements, Example 14.4",
        COMPANION,
    )


# A unit of the files -> its size in SI, from scipy.constants and the SI's own definitions, apart from
# mechbench.quantity.
SIZES = {
    "mm": constants.milli,
    "m": 1,
    "g": constants.gram,
    "kg": 1,
    "s": 1,
    "ms": constants.milli,
    "N": 1,
    "kN": constants.kilo,
    "N/mm": constants.kilo,
    "N·m": 1,
    "mN·m": constants.milli,
    "A": 1,
    "V": 1,
    "ohm": 1,
    "rpm": RPM,
    "deg": DEG,
    "kg·m2": 1,
    "J/K": 1,
    "K/W": 1,
    "K": 1,
    "%/K": constants.centi,
    "A·h": constants.hour,
}


def texts_with_units(content, path=()):
    """Give path and text of everything in parsed TOML that starts with a digit and holds a known unit."""
    for key, value in content.items():
        if isinstance(value, dict):
            yield from texts_with_units(value, (*path, key))
        elif isinstance(value, str) and value.partition(" ")[2] in SIZES and value[0].isdigit():
            yield (*path, key), value


@pytest.mark.parametrize("folder, one", [(OWN_FOLDER, COURSE), (SECOND_FOLDER, SECOND)], ids=["course", "second"])
def test_every_quantity_of_the_files_against_scipys_constants(folder, one):
    compared = 0
    for file in (GAME, PARTS):
        content = tomllib.loads((folder / file).read_text(encoding="utf-8"))
        for (table, *part, key), text in texts_with_units(content):
            number, unit = text.split(" ")
            expected = float(number) * SIZES[unit]
            if SHAPES[table].single:
                got = getattr(getattr(one.game if file == "game.toml" else one, table), key)
            elif file == "game.toml":
                got = getattr(getattr(one.game, table)[part[0]], key)
            else:
                columns = one.table(table).columns[key]
                rows = [
                    i
                    for i, name in enumerate(one.table(table).names)
                    if part[0] in ("every", name) or name.startswith(part[0] + "_")
                ]
                got = columns[rows]
                if part[0] == "every":  # a part may give its own instead
                    assert np.any(np.isclose(got, expected, rtol=1e-12)), (table, part, key)
                    compared += 1
                    continue
            np.testing.assert_allclose(got, expected, rtol=1e-12, err_msg=f"{table} {part} {key}")
            compared += 1
    assert compared > 200


# --- what a kit leaves out -------------------------------------------------------------------------------------------


def test_what_a_kit_leaves_out_is_the_courses_own(tmp_path):
    """Whole tables, a friction pair that lessons ask for, and pairs that a borrowed part needs; labels say so."""
    text = (OWN_FOLDER / PARTS).read_text(encoding="utf-8")
    (tmp_path / GAME).write_text((OWN_FOLDER / GAME).read_text(encoding="utf-8"), encoding="utf-8")
    bare = read_kit(tmp_path)  # no parts.toml at all
    assert set(bare.borrowed) == {
        name for name, shape in SHAPES.items() if shape.file == PARTS and name not in _BY_ENTRY
    }
    for name in COURSE.tables():
        if name != "goals":
            np.testing.assert_equal(dict(bare.table(name).columns), dict(COURSE.table(name).columns))
    assert bare.table("motors").labels["small"] == "small motor (course's own)"
    assert bare.battery.label == "12 V NiMH battery (course's own)" and bare.name == "Pantry Rush kit"

    (tmp_path / PARTS).write_text(
        '[kit]\nlabel = "few"\nwithout = ["bevel_gears", "gearboxes"]\n\n[friction]\n'
        'slide_rail = { label = "rail", value = 0.2 }\n',
        encoding="utf-8",
    )
    few = read_kit(tmp_path)
    assert len(few.table("bevel_gears")) == 0 and "bevel_gears" not in few.borrowed
    assert few.friction("slide_rail") == 0.2 and few.friction("piece_on_floor") == 0.5
    assert few.table("friction").labels["mecanum_along"] == "mecanum wheel on foam, ahead (course's own)"
    assert few.digest != bare.digest
    (tmp_path / PARTS).write_text(
        text.replace("slide_rail        = {", "other_rail = {").replace('rail = "slide_rail"', 'rail = "other_rail"'),
        encoding="utf-8",
    )
    assert read_kit(tmp_path).friction("slide_rail") == 0.15


def test_a_table_that_can_not_be_empty_is_not_left_out(tmp_path):
    said = fault(edited(tmp_path, PARTS, "[kit]", '[kit]\nwithout = ["rollers"]'))
    assert said.startswith('In parts.toml, [kit], without, value 1 is "rollers", but it must be one of gearboxes, ')


_BY_ENTRY = ("friction", "spreads", "kit", "gearmotors")


# --- tables ----------------------------------------------------------------------------------------------------------


@both_kits
def test_tables_are_whole_and_finite(one):
    parts = {
        name
        for name, shape in SHAPES.items()
        if shape.file == PARTS and not (shape.single or shape.only or shape.rows_of)
    }
    assert set(one.tables()) == {*parts, "goals"}
    for table in map(one.table, one.tables()):
        assert len(table) == len(table.names) == len(set(table.names)) and table.usual in table.names
        assert set(table.labels) == set(table.names)
        assert set(table.columns) == set(table.kinds) and set(table.kinds.values()) <= set(KINDS)
        assert set(table.help) == set(table.columns) | set(table.texts)
        for column, values in table.columns.items():
            assert values.dtype == np.float64 and values.shape == (len(table),) and not np.isnan(values).any(), column
        assert table.name not in DERIVED or set(DERIVED[table.name].columns) <= set(table.columns)


def test_a_table_cannot_be_changed():
    table = COURSE.table("motors")
    with pytest.raises(ValueError, match="read-only"):
        table.columns["stall_torque"][0] = 1
    with pytest.raises(TypeError):
        table.columns["stall_torque"] = 1
    with pytest.raises(AttributeError, match="change it in the kit's file"):
        COURSE.battery.resistance = 1


def test_rows_and_places():
    table = COURSE.table("motors")
    assert table.names == ("small", "large") and table.index("large") == 1 and table.usual == "small"
    assert table.row("large")["mass"] == 0.48 and table.texts["frame"] == ("small", "large")
    assert COURSE.table("gearboxes").closest("ratio", 70) == "planetary_64"
    assert COURSE.table("gearboxes").texts["stages"][9] == "3, 4, 4, 4"
    assert COURSE.table("spur_gears").labels["acetal_48"] == "acetal gear, 48 teeth"


@pytest.mark.parametrize(
    "ask, sentence",
    [
        (lambda: COURSE.table("motor"), 'The kit has no table "motor"; did you mean "motors"?'),
        (
            lambda: COURSE.table("motors").index("smal"),
            'The kit\'s table motors has no part "smal"; did you mean "small"?',
        ),
        (
            lambda: COURSE.table("motors").row("huge"),
            'The kit\'s table motors has no part "huge"; choose from small, large.',
        ),
        (
            lambda: COURSE.table("motors").closest("speed", 1),
            'The kit\'s table motors has no column "speed"; did you mean "free_speed"?',
        ),
        (
            lambda: COURSE.friction("slide rail"),
            'The kit\'s table friction has no part "slide rail"; did you mean "slide_rail"?',
        ),
        (lambda: COURSE.spread("masses"), 'The kit has no spread "masses"; did you mean "mass"?'),
    ],
)
def test_a_wrong_name_is_answered_with_the_nearest(ask, sentence):
    with pytest.raises(KitError) as caught:
        ask()
    assert str(caught.value) == sentence


def test_a_wrong_attribute_is_answered_with_the_nearest():
    with pytest.raises(AttributeError) as caught:
        COURSE.battery.resistence
    assert str(caught.value) == 'battery has no resistence; did you mean "resistance"?'


# --- faults ----------------------------------------------------------------------------------------------------------

SMALL = "In parts.toml, [motors.small], "
STALL = 'stall_torque = "0.161 N·m"'
COUNTS = "counts_per_turn = 28"
BELT = "teeth = [16, 20, 24, 30, 36, 48, 60]"
NOT_TOML = "is not written as TOML asks: "

FAULTS = {
    "unknown key": (
        PARTS,
        'free_speed = "6170 rpm"',
        'fre_speed = "6170 rpm"',
        'In parts.toml, [motors.small] has a key "fre_speed" that the course does not know; did you mean "free_speed"?',
    ),
    "unknown key for every": (
        PARTS,
        "[motors.every]\n",
        '[motors.every]\nmas = "1 kg"\n',
        'In parts.toml, [motors.every] has a key "mas" that the course does not know; did you mean "mass"?',
    ),
    "missing key": (
        PARTS,
        'free_speed = "6170 rpm"\n',
        "",
        'In parts.toml, [motors.small] has no free_speed (speed without load); add a line free_speed = "... rpm".',
    ),
    "wrong unit": (
        PARTS,
        STALL,
        'stall_torque = "0.161 N"',
        SMALL + "stall_torque: '0.161 N' is a force; a torque is asked, for example in N·m.",
    ),
    "wrong unit for every": (
        PARTS,
        'max_rise = "100 K"',
        'max_rise = "100 W"',
        (
            "In parts.toml, [motors.every], max_rise: '100 W' is a power; a temperature difference is asked, for"
            " example in K."
        ),
    ),
    "no unit": (
        PARTS,
        STALL,
        'stall_torque = "0.161"',
        SMALL + "stall_torque: '0.161' has no unit: write the unit too, for example 3.2 N·m.",
    ),
    "number for text": (
        PARTS,
        STALL,
        "stall_torque = 0.161",
        SMALL + 'stall_torque is 0.161 without a unit; write it with its unit, such as "0.161 mN·m".',
    ),
    "text for number": (
        PARTS,
        COUNTS,
        'counts_per_turn = "28"',
        (
            'In parts.toml, [motors.every], counts_per_turn is "28", but it must be a plain number: write 28 '
            "without quotes."
        ),
    ),
    "true for number": (
        PARTS,
        COUNTS,
        "counts_per_turn = true",
        (
            "In parts.toml, [motors.every], counts_per_turn is true, but it must be a plain number without quotes and "
            "without unit."
        ),
    ),
    "date for number": (
        PARTS,
        COUNTS,
        "counts_per_turn = 1979-05-27",
        (
            "In parts.toml, [motors.every], counts_per_turn is 1979-05-27, but it must be a plain number without quotes"
            " and without unit."
        ),
    ),
    "not a number": (
        PARTS,
        COUNTS,
        "counts_per_turn = nan",
        (
            "In parts.toml, [motors.every], counts_per_turn is nan, but it must be from 1 to 1000000 (encoder counts in"
            " one turn of the motor's own shaft)."
        ),
    ),
    "huge number": (
        PARTS,
        COUNTS,
        "counts_per_turn = 0x" + "f" * 300,
        (
            "In parts.toml, [motors.every], counts_per_turn is a number of more than 19 digits, but it must be from 1"
            " to 1000000 (encoder counts in one turn of the motor's own shaft)."
        ),
    ),
    "outside bounds": (
        PARTS,
        STALL,
        'stall_torque = "161 N·m"',
        SMALL + 'stall_torque is "161 N·m", but it must be from 0.1 mN·m to 100 N·m (torque when held still).',
    ),
    "per cent for a share": (
        PARTS,
        "efficiency_per_stage = 0.9,",
        "efficiency_per_stage = 90,",
        (
            "In parts.toml, [gearboxes.every], efficiency_per_stage is 90, but it must be from 0.05 to 1 (share of the "
            "power that gets through when the motor drives)."
        ),
    ),
    "not whole": (
        GAME,
        "hold = 2",
        "hold = 2.5",
        "In game.toml, [limits], hold is 2.5, but it must be a whole number.",
    ),
    "not a choice": (
        PARTS,
        'frame = "small"',
        'frame = "medium"',
        SMALL + 'frame is "medium", but it must be one of small, large.',
    ),
    "empty label": (
        PARTS,
        'label = "large motor"',
        'label = " "',
        'In parts.toml, [motors.large], label is " ", but it must be 1 to 80 characters on one line.',
    ),
    "number for a label": (
        PARTS,
        'label = "large motor"',
        "label = 2",
        'In parts.toml, [motors.large], label is 2, but it must be text between "double quotes".',
    ),
    "nameplate": (
        PARTS,
        STALL,
        'stall_torque = "0.261 N·m"',
        SMALL + "stall_torque is 62 % above the 0.161 N·m of voltage, free_speed and stall_current, which are trusted, "
        "but a label's rounding and losses explain 10 % below to 3 % above only; look at all figures and their units "
        "again.",
    ),
    "gearmotor among the motors": (
        PARTS,
        STALL,
        'stall_torque = "0.112 N·m"',
        SMALL + "stall_torque is 31 % below the 0.161 N·m of voltage, free_speed and stall_current, which are trusted, "
        "but a label's rounding and losses explain 10 % below to 3 % above only; this looks like a gearmotor: write "
        "its label under [gearmotors], or look at all figures and their units again.",
    ),
    "counts of an output shaft": (
        PARTS,
        "[motors.small]\n",
        "[motors.small]\ncounts_per_turn = 537.7\n",
        "In parts.toml, [motors.small], counts_per_turn is 537.7, but one turn of a motor's own shaft has a whole "
        "number of counts; this looks like one turn of an output shaft: divide by the ratio, or round where the label "
        "did.",
    ),
    "hardly any stall current": (
        PARTS,
        'stall_current = "9.23 A"',
        'stall_current = "0.30 A"',
        SMALL + "stall_current is not even twice free_current; look at the nameplate again.",
    ),
    "same part twice": (PARTS, "[motors.large]", "[motors.small]", "parts.toml " + NOT_TOML + "..."),
    "same label twice": (
        PARTS,
        'label = "large motor"',
        'label = "small motor"',
        'In parts.toml, [motors.small] and [motors.large] both give a part with the label "small motor"; change one.',
    ),
    "same name by expansion": (
        PARTS,
        "brass  = { label",
        (
            'acetal_20 = { label = "odd", allowed_on_20 = "1 N·m", mass_of_20 = "2 g", teeth = [24] }\nacetal_20_24 = {'
            ' label = "even", allowed_on_20 = "1 N·m", mass_of_20 = "2 g", teeth = [24] }\nacetal_20_24_24 = { label ='
            ' "odd", allowed_on_20 = "1 N·m", mass_of_20 = "2 g", teeth = [24] }\nbrass  = { label'
        ),
        (
            "In parts.toml, [spur_gears.acetal_20] and [spur_gears.acetal_20_24_24] both give a part with the label"
            ' "odd, 24 teeth"; change one.'
        ),
    ),
    "unknown table": (
        PARTS,
        "[motors.large]",
        "[motor.large]",
        'parts.toml has a table [motor] that the course does not know; did you mean "motors"?',
    ),
    "missing table": (
        GAME,
        '[game]\nlabel = "Pantry Rush"',
        "",
        'game.toml has no table [game]; add [game] with label = "the name of your game".',
    ),
    "table in the wrong file": (
        GAME,
        "[limits]",
        "[battery]\n[limits]",
        "game.toml has the table [battery], but it belongs in parts.toml; move it there.",
    ),
    "number for a table": (
        PARTS,
        "[ratchets]\nratchet = {",
        "[ratchets]\nratchet = 3 #",
        "In parts.toml, [ratchets.ratchet] is 3, but it must be a table; write [ratchets.ratchet] above its keys.",
    ),
    "odd name": (
        PARTS,
        "[motors.large]",
        "[motors.Large]",
        (
            'In parts.toml, [motors] has a part named "Large"; a name starts with a small letter and has at most 40'
            " small letters a to z, digits and _."
        ),
    ),
    "no part": (
        PARTS,
        'ratchet = { label = "ratchet", torque = "20 N·m", mass = "60 g" }',
        "",
        "In parts.toml, [ratchets] has no part; add at least one, under [ratchets.its_name].",
    ),
    "unknown usual part": (
        PARTS,
        'usual = "belt_20"',
        'usual = "belt_21"',
        'In parts.toml, [pulleys], usual is "belt_21", which is no part of this table; did you mean "belt_24"?',
    ),
    "list not in order": (
        PARTS,
        BELT,
        "teeth = [16, 24, 20]",
        (
            "In parts.toml, [pulleys.belt], teeth must rise from each value to the next; put the list in order, each"
            " value once."
        ),
    ),
    "list with a value twice": (
        PARTS,
        BELT,
        "teeth = [16, 16]",
        (
            "In parts.toml, [pulleys.belt], teeth must rise from each value to the next; put the list in order, each"
            " value once."
        ),
    ),
    "list that must fall": (
        PARTS,
        '"5 s", "0.5 s"]',
        '"5 s", "50 s"]',
        "In parts.toml, [fuse], time must fall from each value to the next; put the list in order, each value once.",
    ),
    "empty list": (
        PARTS,
        BELT,
        "teeth = []",
        "In parts.toml, [pulleys.belt], teeth is a list of 0, but it must be a list of 1 to 60 values.",
    ),
    "long list": (
        PARTS,
        "stages = [4],",
        "stages = [4, 4, 4, 4, 4, 4, 4],",
        "In parts.toml, [gearboxes.planetary_4], stages is a list of 7, but it must be a list of 1 to 6 values.",
    ),
    "no list": (
        PARTS,
        BELT,
        "teeth = 16",
        "In parts.toml, [pulleys.belt], teeth is 16, but it must be a list: values in [ ] with commas between.",
    ),
    "wrong value in a list": (
        PARTS,
        BELT,
        "teeth = [16, 20.5]",
        "In parts.toml, [pulleys.belt], teeth, value 2 is 20.5, but it must be a whole number.",
    ),
    "unit in a list": (
        PARTS,
        '"80 mm", "100 mm"',
        '"80 g", "100 mm"',
        (
            "In parts.toml, [extension_springs.every], free_length, value 2: '80 g' is a mass; a length is asked, for "
            "example in mm."
        ),
    ),
    "servo of two kinds": (
        PARTS,
        'time_per_60_deg = "0.24 s"',
        'time_per_60_deg = "0.24 s"\nfree_speed = "40 rpm"',
        (
            "In parts.toml, [servos.strong], time_per_60_deg and free_speed: one of the two must be there and not both;"
            " a servo that turns without end has free_speed."
        ),
    ),
    "servo without travel": (
        PARTS,
        'travel = "180 deg"\n',
        "",
        (
            "In parts.toml, [servos.micro], travel belongs together with time_per_60_deg; give both, or free_speed"
            " alone for a servo that turns without end."
        ),
    ),
    "unknown friction pair": (
        PARTS,
        'along = "traction_on_floor"',
        'along = "traction_on_flor"',
        (
            'In parts.toml, [wheels.traction_90], along is "traction_on_flor", which is no pair of [friction]; did you'
            ' mean "traction_on_floor"?'
        ),
    ),
    "stages out of order": (
        PARTS,
        "fewest = 1",
        "fewest = 5",
        (
            "In parts.toml, [slides.slide_300], fewest is more than most, but it must be at most that; change one of"
            " the two."
        ),
    ),
    "slide without overlap": (
        PARTS,
        'stage_travel = "230 mm"',
        'stage_travel = "300 mm"',
        (
            "In parts.toml, [slides.slide_300], stage_travel is not less than stage_length, but some of the stage must"
            " stay inside; change one of the two."
        ),
    ),
    "spool without rim": (
        PARTS,
        'flange_diameter = "50 mm"',
        'flange_diameter = "20 mm"',
        (
            "In parts.toml, [spools.spool_24], flange_diameter is not more than diameter, but the rim must keep the"
            " cord on; change one of the two."
        ),
    ),
    "battery fuller when empty": (
        PARTS,
        'open_circuit_empty = "11.8 V"',
        'open_circuit_empty = "14 V"',
        (
            "In parts.toml, [battery], open_circuit_empty is more than open_circuit, but an empty battery gives less"
            " than a full one; change one of the two."
        ),
    ),
    "battery better when worn": (
        PARTS,
        'resistance_worn = "0.17 ohm"',
        'resistance_worn = "20 mohm"',
        (
            "In parts.toml, [battery], resistance is more than resistance_worn, but a worn battery has more resistance"
            " than a good one; change one of the two."
        ),
    ),
    "reset above battery": (
        PARTS,
        'reset_level = "7.0 V"',
        'reset_level = "12 V"',
        (
            "In parts.toml, [controller], reset_level is not below open_circuit_empty of [battery], so the robot would "
            "never start; change one of the two."
        ),
    ),
    "fuse lists of two lengths": (
        PARTS,
        'time = ["600 s", ',
        "time = [",
        "In parts.toml, [fuse], time has 2 values, but ratio has 3; give one time for each ratio.",
    ),
    "quickest fuse of another length": (
        PARTS,
        'time_quick = ["0.75 s", ',
        "time_quick = [",
        "In parts.toml, [fuse], time_quick has 2 values, but time has 3; give one time for each ratio.",
    ),
    "quickest fuse is slower": (
        PARTS,
        'time_quick = ["0.75 s", "0.15 s"',
        'time_quick = ["7.5 s", "6 s"',
        "In parts.toml, [fuse], time_quick is longer than time somewhere; give the quickest fuse the shorter times.",
    ),
    "fuse of one point": (
        PARTS,
        "ratio = [1.35, 2.0, 3.5]",
        "ratio = [1.35]",
        "In parts.toml, [fuse], ratio is a list of 1, but it must be a list of 2 to 60 values.",
    ),
    "fuse melts for ever": (
        PARTS,
        "ratio = [1.35,",
        "ratio = [0.9,",
        "In parts.toml, [fuse], ratio starts at a current that holds says never melts the fuse; start it above holds.",
    ),
    "spread in per cent": (
        PARTS,
        "down = 0.15,",
        "down = 15,",
        (
            "In parts.toml, [spreads.mass], down is 15, but it must be from 0 to 0.9 (how far below the number the real"
            " thing may be, as a share of it)."
        ),
    ),
    "efficiency above one": (
        PARTS,
        "down = 0.10, up = 0 }",
        "down = 0.10, up = 0.10 }",
        (
            "In parts.toml, [spreads.efficiency], up lifts efficiency of [spur_gears.acetal] above 1 on a good day,"
            " which cannot be; make one of the two smaller."
        ),
    ),
    "unknown spread": (
        PARTS,
        "friction   = {",
        "rubbing = {",
        (
            "In parts.toml, [spreads] has rubbing, which the course does not know;"
            " choose from mass, friction, efficiency, people."
        ),
    ),
    "human step out of order": (
        GAME,
        'likely = "1.2 s"',
        'likely = "0.2 s"',
        (
            "In game.toml, [human.find], low is more than likely, but the quickest try cannot be slower than the usual"
            " one; change one of the two."
        ),
    ),
    "human step out of order above": (
        GAME,
        'high = "3.0 s"',
        'high = "1.0 s"',
        (
            "In game.toml, [human.find], likely is more than high, but the usual try cannot be slower than the slowest"
            " one; change one of the two."
        ),
    ),
    "closing time too long": (
        GAME,
        'closing = "25 s"',
        'closing = "250 s"',
        "In game.toml, [phases.driven], closing is 250 s, but the whole phase has 130 s; shorten it.",
    ),
}


@pytest.mark.parametrize("file, old, new, sentence", FAULTS.values(), ids=FAULTS)
def test_each_fault_has_its_sentence(tmp_path, file, old, new, sentence):
    said = fault(edited(tmp_path, file, old, new))
    if sentence.endswith("..."):  # the rest is Python's own, and changes with its version
        assert said.startswith(sentence.removesuffix("..."))
    else:
        assert said == sentence
    assert said.endswith((".", "?")) and "\n" not in said and len(said) < 320


@pytest.mark.parametrize(
    "old, new, line", [('voltage = "12 V"', 'voltage = "12 V', 29), ("[ratchets]", "[ratchets", None)]
)
def test_a_syntax_error_names_file_and_line(tmp_path, old, new, line):
    text = (OWN_FOLDER / PARTS).read_text(encoding="utf-8")
    line = text[: text.index(old)].count("\n") + 1
    said = fault(edited(tmp_path, PARTS, old, new))
    assert said.startswith("parts.toml " + NOT_TOML) and f"line {line}" in said


def test_files_that_cannot_be_read(tmp_path):
    assert (
        fault(tmp_path) == f"The kit folder {tmp_path} has no game.toml; it must have one; parts.toml may be left out."
    )
    write_kit(tmp_path)
    game = (tmp_path / GAME).read_bytes()
    (tmp_path / GAME).write_bytes(game.replace(b'"jars"', b'"jars\xe9"'))
    line = game[: game.index(b'"jars"')].count(b"\n") + 1
    assert fault(tmp_path) == f"game.toml, line {line}, is not UTF-8 text; save the file again with the encoding UTF-8."
    (tmp_path / GAME).write_bytes(b"#" * 200_001)
    assert fault(tmp_path) == "game.toml is 200001 bytes long, but at most 200000; take out what is not of the kit."
    (tmp_path / GAME).write_bytes(b"# one\nx = " + b"[\n" * 50_000)
    assert fault(tmp_path) == "game.toml has brackets inside brackets too often; write each table on its own lines."
    (tmp_path / GAME).write_bytes(b"# one\na" + b".a" * 50_000 + b" = 1")
    assert fault(tmp_path) == "game.toml, line 2, is 100005 bytes long, but at most 500; break it up."
    (tmp_path / GAME).unlink()
    (tmp_path / GAME).mkdir()
    assert fault(tmp_path).startswith(f"game.toml in the kit folder {tmp_path} cannot be read: ")


def test_a_byte_order_mark_and_other_line_ends_do_no_harm(tmp_path):
    write_kit(tmp_path)
    for file in FILES:
        text = (tmp_path / file).read_bytes()
        (tmp_path / file).write_bytes(b"\xef\xbb\xbf" + text.replace(b"\n", b"\r\n"))
    assert read_kit(tmp_path).digest == COURSE.digest


# --- a mentor's own folder -------------------------------------------------------------------------------------------


def test_the_setting_chooses_the_folder(monkeypatch):
    monkeypatch.delenv(SETTING, raising=False)
    assert kit().name == "Pantry Rush kit" and kit().folder == str(OWN_FOLDER)
    monkeypatch.setenv(SETTING, str(SECOND_FOLDER))
    assert kit().name == "Kiln Ferry kit" and kit().table("motors").usual == "oak"
    monkeypatch.setenv(SETTING, "")
    assert kit().name == "Pantry Rush kit"


def test_a_kit_in_the_work_folder_comes_before_the_setting(monkeypatch, tmp_path):
    """A folder without a game is no kit."""
    monkeypatch.setenv(WORK, str(tmp_path))
    monkeypatch.setenv(SETTING, str(SECOND_FOLDER))
    (tmp_path / "kit").mkdir()
    assert kit().digest == SECOND.digest
    copy_kit(tmp_path / "kit")
    assert kit().folder == str(tmp_path / "kit") and kit().digest == COURSE.digest
    monkeypatch.setenv(SETTING, "")
    edited(tmp_path / "kit", GAME, 'label = "Pantry Rush"', 'label = "Ours"')
    assert kit().game.label == "Ours"
    monkeypatch.setenv(WORK, "")
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    assert kit().folder == str(OWN_FOLDER)
    (tmp_path / "mechbench-work").mkdir()
    (tmp_path / "kit").rename(tmp_path / "mechbench-work" / "kit")
    assert kit().game.label == "Ours"


def test_a_wrong_setting_says_so(monkeypatch, tmp_path):
    monkeypatch.setenv(SETTING, str(tmp_path / "nowhere"))
    with pytest.raises(KitError) as caught:
        kit()
    assert (
        str(caught.value) == f"The setting MECHBENCH_KIT names {tmp_path / 'nowhere'}, but there is no such folder; "
        "correct it, or unset it for the course's own kit."
    )


def test_a_changed_file_is_read_again(monkeypatch, tmp_path):
    copy_kit(tmp_path)
    monkeypatch.setenv(SETTING, str(tmp_path))
    first = kit()
    assert kit() is first
    edited(tmp_path, PARTS, 'mass = "0.28 kg"', 'mass = "0.29 kg"')
    assert kit() is not first and kit().table("motors").row("small")["mass"] == 0.29
    edited(tmp_path, PARTS, 'mass = "0.28 kg"', 'mass = "0.29 g kg"')
    for _ in range(2):  # a fault is told again each time
        with pytest.raises(KitError, match="mass"):
            kit()


def test_a_copy_is_made_and_never_over_anything(tmp_path):
    made = copy_kit(tmp_path / "new" / "kit")
    assert sorted(path.name for path in made) == sorted(path.name for path in OWN_FOLDER.glob("*.toml"))
    assert read_kit(tmp_path / "new" / "kit").digest == COURSE.digest
    (tmp_path / GAME).write_text("mine")
    with pytest.raises(KitError, match="already holds game.toml; choose a new folder, nothing was copied"):
        copy_kit(tmp_path)
    assert [path.name for path in tmp_path.glob("*.toml")] == [GAME] and (tmp_path / GAME).read_text() == "mine"


def test_a_copy_to_an_impossible_place(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(KitError, match="cannot be copied to .*; choose another folder"):
        copy_kit(tmp_path / "file" / "kit")


def test_the_digest_follows_numbers_and_names_only(tmp_path):
    def digest(old, new, file=PARTS):
        return read_kit(edited(tmp_path, file, old, new)).digest

    assert COURSE.digest == digest("# The kit of parts.", "# Our parts.")
    assert COURSE.digest == digest('label = "small motor"', 'label = "little motor"')
    assert COURSE.digest == digest(STALL, 'stall_torque = "161 mN·m"')
    assert len(COURSE.digest) == 12 and set(COURSE.digest) <= set("0123456789abcdef")
    changed = [
        digest('mass = "0.28 kg"', 'mass = "0.281 kg"'),
        digest("[motors.large]", "[motors.strong]"),
        digest('usual = "small"\n\n', 'usual = "large"\n\n'),
        digest("lying_share = 0.2", "lying_share = 0.3", GAME),
        digest("teeth = [16, 20,", "teeth = [16, 18, 20,"),
        SECOND.digest,
    ]
    assert len({COURSE.digest, *changed}) == len(changed) + 1


def test_a_part_may_be_added_with_the_units_of_its_nameplate(tmp_path):
    new = """[motors.third]
label = "third motor"
frame = "large"
voltage = "12 V"
free_speed = "79.17 rev/s"
free_current = "500 mA"
stall_torque = "4,517 kgf cm"
stall_current = "19.35 A"
rotor_inertia = "300 g·cm2"
heat_capacity = "45 J/K"
thermal_resistance = "4 K/W"
shaft_diameter = "0.315 in"
mass = "1.06 lb"

"""
    folder = edited(
        tmp_path,
        PARTS,
        "# ------------------------------------------------------------------------------------------- planetary",
        new + "# planetary",
    )
    said = fault(folder)
    assert (
        said
        == "In parts.toml, [motors.third], stall_torque: '4,517 kgf cm' can be read in two ways: write 4517 or 4.517."
    )
    (folder / PARTS).write_text(
        (folder / PARTS).read_text(encoding="utf-8").replace("4,517", "4.517"), encoding="utf-8"
    )
    row = read_kit(folder).table("motors").row("third")
    large = COURSE.table("motors").row("large")
    for key in ("free_speed", "stall_torque", "rotor_inertia", "shaft_diameter", "mass", "torque_constant"):
        assert row[key] == pytest.approx(large[key], rel=0.005), key


def test_the_second_kit_shares_no_part_with_the_course():
    assert isinstance(SECOND, Kit) and SECOND.digest != COURSE.digest
    fixed = {
        "friction": {
            "piece_on_floor",
            "piece_on_plastic",
            "piece_on_piece",
            "jaw_on_piece",
            "slide_rail",
            "wheel_rolling",
        }
    }
    for name in COURSE.tables():
        shared = set(COURSE.table(name).names) & set(SECOND.table(name).names)
        assert shared == fixed.get(name, set()), name


# --- damaged files ---------------------------------------------------------------------------------------------------

TEXTS = {file: (OWN_FOLDER / file).read_text(encoding="utf-8") for file in FILES}
PIECES = st.sampled_from(
    [
        '"',
        "'",
        "[",
        "]",
        "{",
        "}",
        "=",
        "\n",
        ".",
        ",",
        "0",
        "-1",
        "1e999",
        "nan",
        "inf",
        '""',
        '"""',
        "[[",
        "]]",
        "#",
        "\\u0000",
        "\x00",
        "true",
        "0x" + "f" * 5000,
        "9" * 5000,
        "é",
        "\ud7ff",
        "[]",
        "{}",
        '"1 m"',
        "1979-05-27",
        "every",
        "usual",
        "label",
        " = ",
        "07:32:00",
    ]
)
VALUES = st.one_of(
    st.sampled_from(
        [
            "nan",
            "inf",
            "-inf",
            "true",
            "[]",
            "{}",
            '""',
            "1979-05-27T07:32:00Z",
            "[[1], [2]]",
            '["1 m", 2]',
            "{ a = 1 }",
            "0x" + "f" * 400,
            '"1e15 m"',
            '"-1 m"',
            '"0 N·m"',
            '"1/0 s"',
            "-0.0",
        ]
    ),
    st.integers(-(10**30), 10**30).map(str),
    st.floats(allow_nan=False, allow_infinity=False).map(repr),
    st.text('0123456789.,-+eE NmVAkgsrpdoh·/%"', max_size=12).map(lambda text: '"' + text.replace('"', "") + '"'),
)


def reads_or_says_why(folder):
    try:
        one = read_kit(folder)
    except KitError as error:
        said = str(error)
        assert "\n" not in said and len(said) < 700 and said.endswith((".", "?")), said
    else:
        for table in map(one.table, one.tables()):
            for column, values in table.columns.items():
                assert not np.isnan(values).any(), (table.name, column)


@settings(max_examples=120, deadline=None)
@given(st.data())
def test_damaged_text_gives_a_kit_or_one_sentence(tmp_path_factory, data):
    file = data.draw(st.sampled_from(FILES))
    text = TEXTS[file]
    for _ in range(data.draw(st.integers(1, 3))):
        start = data.draw(st.integers(0, len(text)))
        stop = min(len(text), start + data.draw(st.integers(0, 40)))
        text = text[:start] + data.draw(PIECES) + text[stop:]
    folder = write_kit(tmp_path_factory.mktemp("kit"))
    (folder / file).write_bytes(text.encode("utf-8", "surrogatepass"))
    reads_or_says_why(folder)


@settings(max_examples=120, deadline=None)
@given(st.data())
def test_any_value_in_any_place_gives_a_kit_or_one_sentence(tmp_path_factory, data):
    file = data.draw(st.sampled_from(FILES))
    lines = TEXTS[file].split("\n")
    places = [number for number, line in enumerate(lines) if " = " in line and not line.startswith("#")]
    number = data.draw(st.sampled_from(places))
    key, _, rest = lines[number].partition(" = ")
    if rest.startswith("{"):
        before, mark, _ = rest.rpartition(" = ")
        lines[number] = f"{key} = {before}{mark}{data.draw(VALUES)} }}"
    else:
        lines[number] = f"{key} = {data.draw(VALUES)}"
    folder = write_kit(tmp_path_factory.mktemp("kit"))
    (folder / file).write_text("\n".join(lines), encoding="utf-8")
    reads_or_says_why(folder)


# --- what it loads ---------------------------------------------------------------------------------------------------


def test_the_kit_loads_nothing_heavy():
    code = (
        "import sys; from mechbench.kits import kit; kit(); "
        "print([name for name in ('matplotlib', 'ipywidgets', 'pint', 'scipy', 'IPython') if name in sys.modules])"
    )
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=environment, check=True)
    assert run.stdout.strip() == "[]"

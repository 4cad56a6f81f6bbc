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

# table, part, column, SI value: the plan of the scenario, each worked out from what is printed
NUMBERS = [
    ("motors", "slim", "voltage", 16),
    ("motors", "slim", "free_speed", 7400 * RPM),
    ("motors", "slim", "free_current", 0.36),
    ("motors", "slim", "stall_torque", 0.167),
    ("motors", "slim", "stall_current", 8.8),
    ("motors", "slim", "rotor_inertia", 7.4e-6),
    ("motors", "slim", "heat_capacity", 18),
    ("motors", "slim", "thermal_resistance", 7),
    ("motors", "slim", "max_rise", 90),
    ("motors", "slim", "copper_coefficient", 0.0039),
    ("motors", "slim", "counts_per_turn", 34),
    ("motors", "slim", "shaft_diameter", 0.007),
    ("motors", "slim", "mass", 0.26),
    ("motors", "slim", "size", 0),
    ("motors", "stout", "size", 1),
    ("motors", "stout", "free_speed", 5200 * RPM),
    ("motors", "stout", "stall_torque", 0.395),
    ("motors", "stout", "stall_current", 14.6),
    ("motors", "stout", "rotor_inertia", 2.6e-5),
    ("motors", "stout", "thermal_resistance", 4.5),
    ("motors", "stout", "max_rise", 90),
    ("motors", "stout", "shaft_diameter", 0.009),
    ("motors", "slow", "free_speed", 92 * RPM),
    ("motors", "slow", "stall_current", 6.4),
    ("gearboxes", "planetary_12", "ratio", 12.25),
    ("gearboxes", "planetary_16", "ratio", 16.1),
    ("gearboxes", "planetary_116", "ratio", 4.6 * 4.6 * 5.5),
    ("gearboxes", "planetary_259", "stage_count", 4),
    ("gearboxes", "planetary_25", "efficiency", 0.7744),
    ("gearboxes", "planetary_74", "efficiency", 0.681472),
    ("gearboxes", "planetary_4_6", "backlash", 2.5 * DEG),
    ("gearboxes", "planetary_4_6", "allowed_small", 2.5),
    ("gearboxes", "planetary_97", "allowed_large", 17),
    ("gearboxes", "planetary_259", "allowed_small", 11),
    ("gearboxes", "planetary_21", "overhung_moment", 120 * 0.018),
    ("gearboxes", "planetary_74", "mass", 0.105),
    ("servos", "strong", "stall_torque", 2.7),
    ("servos", "strong", "travel", 210 * DEG),
    ("servos", "quick", "free_speed", 60 * DEG / 0.08),
    ("servos", "light", "mass", 0.017),
    ("servos", "turner", "free_speed", 95 * RPM),
    ("servos", "turner", "travel", math.inf),
    ("servos", "turner", "endless", 1),
    ("servos", "strong", "holding_torque", 0.945),
    ("servos", "strong", "play", 1.2 * DEG),
    ("spur_gears", "nylon_18", "allowed", 0.675),
    ("spur_gears", "steel_88", "allowed", 16.72),
    ("spur_gears", "bronze_34", "pitch_diameter", 0.034),
    ("spur_gears", "bronze_70", "face", 0.007),
    ("bevel_gears", "bevel_1_6", "ratio", 1.6),
    ("bevel_gears", "bevel_2_4", "efficiency", 0.9),
    ("pulleys", "belt_60", "pitch", 0.0025),
    ("pulleys", "belt_18", "working_load", 110),
    ("sprockets", "chain_9", "working_load", 520),
    ("sprockets", "chain_34", "efficiency", 0.92),
    ("wheels", "mecanum_115", "along", 0.68),
    ("wheels", "mecanum_115", "across", 0.5),
    ("wheels", "traction_80", "across", 0.9),
    ("wheels", "omni_80", "across", 0.1),
    ("wheels", "omni_80", "rolling", 0.02),
    ("wheels", "omni_80", "diameter", 0.08),
    ("rollers", "soft_50", "stiffness", 1300),
    ("rollers", "hard_25", "grip", 0.35),
    ("slides", "slide_250", "stage_travel", 0.183),
    ("slides", "slide_250", "stage_mass", 0.17),
    ("slides", "slide_250", "drag", 2.5),
    ("slides", "slide_250", "rail", 0.15),
    ("slides", "slide_250", "most", 4),
    ("cords", "braid", "breaking_strength", 1500),
    ("cords", "braid", "knotted_strength", 825),
    ("cords", "braid", "stretch_at_break", 0.09),
    ("ratchets", "ratchet", "torque", 16),
    ("extension_springs", "spring_1_00_110", "stretch_to", 1.8),
    ("extension_springs", "spring_0_50_90", "longest", 0.216),
    ("constant_springs", "constant_18", "force", 18),
    ("constant_springs", "constant_4", "travel", 0.65),
    ("goals", "rafter", "height", 0.68),
    ("goals", "loom_west", "points", 5),
    ("goals", "loom_west", "capacity", 14),
    ("goals", "hamper", "capacity", math.inf),
    ("goals", "rafter", "rim", 0.024),
    ("goals", "loom_east", "way", 1.1),
]


@pytest.mark.parametrize("table, part, column, value", NUMBERS, ids=lambda value: str(value))
def test_a_part_has_the_scenarios_number(table, part, column, value):
    assert COURSE.table(table).row(part)[column] == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("part, resistance, constant", [("slim", 1.818, 0.0198), ("stout", 1.096, 0.0282)])
def test_motor_constants_follow_from_the_nameplate(part, resistance, constant):
    row = COURSE.table("motors").row(part)
    assert row["resistance"] == pytest.approx(resistance, rel=0.002)
    assert row["torque_constant"] == pytest.approx(constant, rel=0.002)
    assert row["free_current"] == row["free_current"]


def test_all_gearboxes_gears_and_springs_are_there():
    a, b, c = 3.5, 4.6, 5.5  # the three stages; a gearmotor without ratio stands as 1 among the gearboxes
    ratios = [b, a * a, a * b, b * b, b * c, a * a * b, a * b * b, b * b * b, b * b * c, a * a * b * b, 1]
    assert list(COURSE.table("gearboxes").columns["ratio"]) == pytest.approx(ratios, rel=1e-12)
    teeth = COURSE.table("spur_gears").columns["teeth"]
    assert sorted(teeth) == sorted([18, 22, 28, 34, 44, 56, 70, 88] * 3)
    assert list(COURSE.table("pulleys").columns["teeth"]) == [18, 22, 28, 36, 48, 60, 72]
    assert list(COURSE.table("sprockets").columns["teeth"]) == [9, 12, 15, 18, 22, 28, 34]
    assert len(COURSE.table("extension_springs")) == 4 * 5


def test_game_battery_fuse_and_controller():
    game = COURSE.game
    assert (game.label, game.field.width, game.field.robots_a_side) == ("Weavers' Yard", 2.8, 3)
    bobbin, limits, bar = game.pieces["bobbin"], game.limits, game.closing["hoist"]
    sizes = (bobbin.diameter, bobbin.width, bobbin.length, bobbin.height, bobbin.mass, bobbin.count)
    assert sizes == pytest.approx((0.072, 0.072, 0.072, 0.128, 0.15, 54), rel=1e-12)
    assert (game.places["bays"].depth, game.places["bays"].gap, game.places["bays"].counts) == (0.21, 0.36, (20,))
    assert (game.obstacles["footbridge"].clear_height, game.obstacles["footbridge"].way_round) == (0.31, 2.3)
    assert (limits.start_length, limits.start_width, limits.start_height) == (0.52, 0.44, 0.405)
    assert (limits.mass, limits.motors, limits.servos, limits.drives, limits.hold) == (14.5, 7, 9, math.inf, 3)
    assert (game.phases["self_driving"].factor, game.phases["driven"].closing) == (1.5, 40)
    assert (bar.bar_height, bar.bar_diameter, bar.points, game.closing["ramp"].points) == (0.54, 0.032, 19, 6)
    assert (game.human["line_up"].low, game.human["line_up"].likely, game.human["line_up"].high) == (0.7, 1.3, 3.6)
    assert f"{limits.hold} {bobbin.plural} of {bobbin.count}" == "3 bobbins of 54"
    assert game.goals["rafter"].takes == ("bobbin",) and game.bonuses["colours"].goals == ("loom_west", "loom_east")
    assert game.goals["loom_west"].takes == ("bobbin", "felt"), "a goal that says nothing takes every piece"
    assert (COURSE.battery.open_circuit, COURSE.battery.resistance, COURSE.battery.capacity) == (16.7, 0.11, 3.3 * 3600)
    assert (COURSE.fuse.rating, COURSE.fuse.ratio, COURSE.fuse.time) == (15, (1.35, 2.0, 3.5), (600, 5, 0.5))
    # ISO 8820-3, blade fuses: melting times at 135, 200 and 350 % of the rating, from memory
    assert (COURSE.fuse.time_quick, COURSE.fuse.patience) == ((0.75, 0.15, 0.04), 0.5)
    controller = COURSE.controller
    assert (controller.output_limit, controller.loop_time, controller.reset_level) == (10, 0.015, 11)
    assert (COURSE.servo_rail.voltage, COURSE.servo_rail.current_limit) == (7, 6.5)


def test_spreads():
    assert COURSE.spread("mass") == Spread("relative", -0.12, 0.12)
    assert COURSE.spread("friction") == Spread("relative", -0.25, 0.25)
    assert COURSE.spread("efficiency") == Spread("relative", -0.12, 0.0)
    voltage, resistance = COURSE.spread("battery_voltage"), COURSE.spread("battery_resistance")
    assert (voltage.kind, voltage.high) == ("absolute", 0)
    assert COURSE.battery.open_circuit + voltage.low == pytest.approx(15.4)
    assert (resistance.kind, resistance.low) == ("absolute", 0)
    assert COURSE.battery.resistance + resistance.high == pytest.approx(0.20)
    find = COURSE.spread("human_find")
    assert (find.low, find.high) == (pytest.approx(-0.7), pytest.approx(2.0))
    assert COURSE.spread("fuse") == Spread("absolute", -0.5, -0.5), "the quickest on every day but a good one"
    others = (COURSE.spread(name) for name in COURSE.spreads() if name != "fuse")
    assert all(one.low <= 0 <= one.high for one in others)


def test_frictions_by_name():
    assert COURSE.friction("piece_on_plastic") == 0.25 and COURSE.friction("jaw_on_piece") == 0.6
    assert COURSE.table("friction").labels["mecanum_across"] == "mecanum wheel on linoleum, sideways"


# --- against the outside ---------------------------------------------------------------------------------------------


def test_a_sprocket_of_the_kit_against_a_textbook(tmp_path):
    text = (OWN_FOLDER / PARTS).read_text(encoding="utf-8").replace('pitch = "8 mm"', 'pitch = "19.05 mm"')
    folder = write_kit(tmp_path, parts=text.replace("teeth = [9, 12, 15,", "teeth = [17,"))
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


def entry_of(name, entries):
    """The entry of the file that made a part: the one of its name, else the longest with which its name begins."""
    return max((one for one in entries if name == one or name.startswith(one + "_")), key=len, default=None)


@pytest.mark.parametrize("folder, one", [(OWN_FOLDER, COURSE), (SECOND_FOLDER, SECOND)], ids=["course", "second"])
def test_every_quantity_of_the_files_against_scipys_constants(folder, one):
    compared = 0
    for file in (GAME, PARTS):
        content = tomllib.loads((folder / file).read_text(encoding="utf-8"))
        for (table, *part, key), text in texts_with_units(content):
            if table == "gearmotors":  # each is read as a motor and its gears: test_scenario.py, test_gearmotors.py
                continue
            number, unit = text.split(" ")
            expected = float(number) * SIZES[unit]
            if SHAPES[table].single:
                got = getattr(getattr(one.game if file == "game.toml" else one, table), key)
            elif file == "game.toml":
                got = getattr(getattr(one.game, table)[part[0]], key)
            else:
                columns = one.table(table).columns[key]
                rows = [i for i, name in enumerate(one.table(table).names) if entry_of(name, content[table]) == part[0]]
                rows = range(len(columns)) if part[0] == "every" else rows
                got = columns[list(rows)]
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
    gearmotors = set(COURSE.table("motors").names) & set(COURSE.table("gearboxes").names)
    assert gearmotors == {"slow"}, "a table that may be missing: a team that names no gearmotor has none"
    for name in COURSE.tables():
        table, whole = bare.table(name), COURSE.table(name)
        rows = [row for row, part in enumerate(whole.names) if part not in gearmotors]
        if name != "goals":
            assert table.names == tuple(whole.names[row] for row in rows)
            expected = {column: values[rows] for column, values in whole.columns.items()}
            np.testing.assert_equal(dict(table.columns), expected)
    assert bare.table("motors").labels["slim"] == "slim motor (course's own)"
    assert bare.battery.label == "16 V lithium iron phosphate battery (course's own)"
    assert bare.name == "Weavers' Yard kit"

    (tmp_path / PARTS).write_text(
        '[kit]\nlabel = "few"\nwithout = ["bevel_gears", "gearboxes"]\n\n[friction]\n'
        'slide_rail = { label = "rail", value = 0.2 }\n',
        encoding="utf-8",
    )
    few = read_kit(tmp_path)
    assert len(few.table("bevel_gears")) == 0 and "bevel_gears" not in few.borrowed
    assert few.friction("slide_rail") == 0.2 and few.friction("piece_on_floor") == 0.4
    assert few.table("friction").labels["mecanum_along"] == "mecanum wheel on linoleum, ahead (course's own)"
    assert few.digest != bare.digest
    (tmp_path / PARTS).write_text(
        text.replace("slide_rail        = {", "other_rail = {").replace('rail = "slide_rail"', 'rail = "other_rail"'),
        encoding="utf-8",
    )
    assert read_kit(tmp_path).friction("slide_rail") == 0.15


def test_a_table_that_can_not_be_empty_is_not_left_out(tmp_path):
    said = fault(edited(tmp_path, PARTS, "[kit]", '[kit]\nwithout = ["wheels"]'))
    assert said.startswith('In parts.toml, [kit], without, value 1 is "wheels", but it must be one of gearboxes, ')


_BY_ENTRY = ("friction", "spreads", "kit", "gearmotors")


# Of these no rule tells anything: a gearmotor's label that leaves them out leaves them not known.
NEVER_ASSUMED = ("counts_per_turn", "shaft_diameter")


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
            assert values.dtype == np.float64 and values.shape == (len(table),), column
            assert not np.isnan(values).any() or column in NEVER_ASSUMED, column
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
    assert table.names == ("slim", "stout", "slow") and table.index("stout") == 1 and table.usual == "slim"
    assert table.row("stout")["mass"] == 0.45 and table.texts["frame"] == ("small", "large", "small")
    assert COURSE.table("gearboxes").closest("ratio", 64) == "planetary_56"
    assert COURSE.table("gearboxes").texts["stages"][9] == "3.5, 3.5, 4.6, 4.6"
    assert COURSE.table("spur_gears").labels["nylon_44"] == "nylon gear, 44 teeth"


@pytest.mark.parametrize(
    "ask, sentence",
    [
        (lambda: COURSE.table("motor"), 'The kit has no table "motor"; did you mean "motors"?'),
        (
            lambda: COURSE.table("motors").index("slm"),
            'The kit\'s table motors has no part "slm"; did you mean "slim"?',
        ),
        (
            lambda: COURSE.table("motors").row("huge"),
            'The kit\'s table motors has no part "huge"; choose from slim, stout, slow.',
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

SLIM = "In parts.toml, [motors.slim], "
STALL = 'stall_torque = "0.167 N·m"'
COUNTS = "counts_per_turn = 34"
BELT = "teeth = [18, 22, 28, 36, 48, 60, 72]"
NOT_TOML = "is not written as TOML asks: "

FAULTS = {
    "unknown key": (
        PARTS,
        'free_speed = "7400 rpm"',
        'fre_speed = "7400 rpm"',
        'In parts.toml, [motors.slim] has a key "fre_speed" that the course does not know; did you mean "free_speed"?',
    ),
    "unknown key for every": (
        PARTS,
        "[motors.every]\n",
        '[motors.every]\nmas = "1 kg"\n',
        'In parts.toml, [motors.every] has a key "mas" that the course does not know; did you mean "mass"?',
    ),
    "missing key": (
        PARTS,
        'free_speed = "7400 rpm"\n',
        "",
        'In parts.toml, [motors.slim] has no free_speed (speed without load); add a line free_speed = "... rpm".',
    ),
    "wrong unit": (
        PARTS,
        STALL,
        'stall_torque = "0.167 N"',
        SLIM + "stall_torque: '0.167 N' is a force; a torque is asked, for example in N·m.",
    ),
    "wrong unit for every": (
        PARTS,
        'max_rise = "90 K"',
        'max_rise = "90 W"',
        (
            "In parts.toml, [motors.every], max_rise: '90 W' is a power; a temperature difference is asked, for"
            " example in K."
        ),
    ),
    "no unit": (
        PARTS,
        STALL,
        'stall_torque = "0.167"',
        SLIM + "stall_torque: '0.167' has no unit: write the unit too, for example 3.2 N·m.",
    ),
    "number for text": (
        PARTS,
        STALL,
        "stall_torque = 0.167",
        SLIM + 'stall_torque is 0.167 without a unit; write it with its unit, such as "0.167 mN·m".',
    ),
    "text for number": (
        PARTS,
        COUNTS,
        'counts_per_turn = "34"',
        (
            'In parts.toml, [motors.every], counts_per_turn is "34", but it must be a plain number: write 34 '
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
        'stall_torque = "167 N·m"',
        SLIM + 'stall_torque is "167 N·m", but it must be from 0.1 mN·m to 100 N·m (torque when held still).',
    ),
    "per cent for a share": (
        PARTS,
        "efficiency_per_stage = 0.88,",
        "efficiency_per_stage = 90,",
        (
            "In parts.toml, [gearboxes.every], efficiency_per_stage is 90, but it must be from 0.05 to 1 (share of the "
            "power that gets through when the motor drives)."
        ),
    ),
    "not whole": (
        GAME,
        "hold = 3 ",
        "hold = 2.5 ",
        "In game.toml, [limits], hold is 2.5, but it must be a whole number.",
    ),
    "not a choice": (
        PARTS,
        'frame = "small"',
        'frame = "medium"',
        SLIM + 'frame is "medium", but it must be one of small, large.',
    ),
    "empty label": (
        PARTS,
        'label = "stout motor"',
        'label = " "',
        'In parts.toml, [motors.stout], label is " ", but it must be 1 to 80 characters on one line.',
    ),
    "number for a label": (
        PARTS,
        'label = "stout motor"',
        "label = 2",
        'In parts.toml, [motors.stout], label is 2, but it must be text between "double quotes".',
    ),
    "nameplate": (
        PARTS,
        STALL,
        'stall_torque = "0.261 N·m"',
        SLIM + "stall_torque is 56 % above the 0.167 N·m of voltage, free_speed and stall_current, which are trusted, "
        "but a label's rounding and losses explain 10 % below to 3 % above only; look at all figures and their units "
        "again.",
    ),
    "gearmotor among the motors": (
        PARTS,
        STALL,
        'stall_torque = "0.112 N·m"',
        SLIM + "stall_torque is 33 % below the 0.167 N·m of voltage, free_speed and stall_current, which are trusted, "
        "but a label's rounding and losses explain 10 % below to 3 % above only; this looks like a gearmotor: write "
        "its label under [gearmotors], or look at all figures and their units again.",
    ),
    "counts of an output shaft": (
        PARTS,
        "[motors.slim]\n",
        "[motors.slim]\ncounts_per_turn = 537.7\n",
        "In parts.toml, [motors.slim], counts_per_turn is 537.7, but one turn of a motor's own shaft has a whole "
        "number of counts; this looks like one turn of an output shaft: divide by the ratio, or round where the label "
        "did.",
    ),
    "hardly any stall current": (
        PARTS,
        'stall_current = "8.80 A"',
        'stall_current = "0.30 A"',
        SLIM + "stall_current is not even twice free_current; look at the nameplate again.",
    ),
    "same part twice": (PARTS, "[motors.stout]", "[motors.slim]", "parts.toml " + NOT_TOML + "..."),
    "same label twice": (
        PARTS,
        'label = "stout motor"',
        'label = "slim motor"',
        'In parts.toml, [motors.slim] and [motors.stout] both give a part with the label "slim motor"; change one.',
    ),
    "same name by expansion": (
        PARTS,
        "bronze = { label",
        (
            'nylon_20 = { label = "odd", allowed_on_20 = "1 N·m", mass_of_20 = "2 g", teeth = [24] }\nnylon_20_24 = {'
            ' label = "even", allowed_on_20 = "1 N·m", mass_of_20 = "2 g", teeth = [24] }\nnylon_20_24_24 = { label ='
            ' "odd", allowed_on_20 = "1 N·m", mass_of_20 = "2 g", teeth = [24] }\nbronze = { label'
        ),
        (
            "In parts.toml, [spur_gears.nylon_20] and [spur_gears.nylon_20_24_24] both give a part with the label"
            ' "odd, 24 teeth"; change one.'
        ),
    ),
    "unknown table": (
        PARTS,
        "[motors.stout]",
        "[motor.stout]",
        'parts.toml has a table [motor] that the course does not know; did you mean "motors"?',
    ),
    "missing table": (
        GAME,
        '[game]\nlabel = "Weavers\' Yard"',
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
        "[motors.stout]",
        "[motors.Stout]",
        (
            'In parts.toml, [motors] has a part named "Stout"; a name starts with a small letter and has at most 40'
            " small letters a to z, digits and _."
        ),
    ),
    "no part": (
        PARTS,
        'ratchet = { label = "ratchet", torque = "16 N·m", mass = "70 g" }',
        "",
        "In parts.toml, [ratchets] has no part; add at least one, under [ratchets.its_name].",
    ),
    "unknown usual part": (
        PARTS,
        'usual = "belt_22"',
        'usual = "blet_22"',
        'In parts.toml, [pulleys], usual is "blet_22", which is no part of this table; did you mean "belt_22"?',
    ),
    "list not in order": (
        PARTS,
        BELT,
        "teeth = [18, 28, 22]",
        (
            "In parts.toml, [pulleys.belt], teeth must rise from each value to the next; put the list in order, each"
            " value once."
        ),
    ),
    "list with a value twice": (
        PARTS,
        BELT,
        "teeth = [18, 18]",
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
        "stages = [4.6],",
        "stages = [4, 4, 4, 4, 4, 4, 4],",
        "In parts.toml, [gearboxes.planetary_4_6], stages is a list of 7, but it must be a list of 1 to 6 values.",
    ),
    "no list": (
        PARTS,
        BELT,
        "teeth = 18",
        "In parts.toml, [pulleys.belt], teeth is 18, but it must be a list: values in [ ] with commas between.",
    ),
    "wrong value in a list": (
        PARTS,
        BELT,
        "teeth = [18, 20.5]",
        "In parts.toml, [pulleys.belt], teeth, value 2 is 20.5, but it must be a whole number.",
    ),
    "unit in a list": (
        PARTS,
        '"70 mm", "90 mm"',
        '"70 g", "90 mm"',
        (
            "In parts.toml, [extension_springs.every], free_length, value 2: '70 g' is a mass; a length is asked, for "
            "example in mm."
        ),
    ),
    "servo of two kinds": (
        PARTS,
        'time_per_60_deg = "0.23 s"',
        'time_per_60_deg = "0.23 s"\nfree_speed = "40 rpm"',
        (
            "In parts.toml, [servos.strong], time_per_60_deg and free_speed: one of the two must be there and not both;"
            " a servo that turns without end has free_speed."
        ),
    ),
    "servo without travel": (
        PARTS,
        'travel = "160 deg"\n',
        "",
        (
            "In parts.toml, [servos.light], travel belongs together with time_per_60_deg; give both, or free_speed"
            " alone for a servo that turns without end."
        ),
    ),
    "unknown friction pair": (
        PARTS,
        'along = "traction_on_floor"',
        'along = "traction_on_flor"',
        (
            'In parts.toml, [wheels.traction_80], along is "traction_on_flor", which is no pair of [friction]; did you'
            ' mean "traction_on_floor"?'
        ),
    ),
    "stages out of order": (
        PARTS,
        "fewest = 1",
        "fewest = 5",
        (
            "In parts.toml, [slides.slide_250], fewest is more than most, but it must be at most that; change one of"
            " the two."
        ),
    ),
    "slide without overlap": (
        PARTS,
        'stage_travel = "183 mm"',
        'stage_travel = "250 mm"',
        (
            "In parts.toml, [slides.slide_250], stage_travel is not less than stage_length, but some of the stage must"
            " stay inside; change one of the two."
        ),
    ),
    "spool without rim": (
        PARTS,
        'flange_diameter = "54 mm"',
        'flange_diameter = "20 mm"',
        (
            "In parts.toml, [spools.spool_28], flange_diameter is not more than diameter, but the rim must keep the"
            " cord on; change one of the two."
        ),
    ),
    "battery fuller when empty": (
        PARTS,
        'open_circuit_empty = "15.4 V"',
        'open_circuit_empty = "17 V"',
        (
            "In parts.toml, [battery], open_circuit_empty is more than open_circuit, but an empty battery gives less"
            " than a full one; change one of the two."
        ),
    ),
    "battery better when worn": (
        PARTS,
        'resistance_worn = "0.20 ohm"',
        'resistance_worn = "20 mohm"',
        (
            "In parts.toml, [battery], resistance is more than resistance_worn, but a worn battery has more resistance"
            " than a good one; change one of the two."
        ),
    ),
    "reset above battery": (
        PARTS,
        'reset_level = "11.0 V"',
        'reset_level = "15.6 V"',
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
        "down = 0.12,",
        "down = 15,",
        (
            "In parts.toml, [spreads.mass], down is 15, but it must be from 0 to 0.9 (how far below the number the real"
            " thing may be, as a share of it)."
        ),
    ),
    "efficiency above one": (
        PARTS,
        "down = 0.12, up = 0 }",
        "down = 0.12, up = 0.10 }",
        (
            "In parts.toml, [spreads.efficiency], up lifts efficiency of [spur_gears.nylon] above 1 on a good day,"
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
        'likely = "1.4 s"',
        'likely = "0.2 s"',
        (
            "In game.toml, [human.find], low is 0.7 s, but the usual try takes 0.2 s: the quickest one cannot take"
            " longer; change one of the two."
        ),
    ),
    "human step out of order above": (
        GAME,
        'high = "3.4 s"',
        'high = "1.0 s"',
        (
            "In game.toml, [human.find], likely is 1.4 s, but the slowest try takes 1 s: the usual one cannot take"
            " longer; change one of the two."
        ),
    ),
    "closing time too long": (
        GAME,
        'closing = "40 s"',
        'closing = "250 s"',
        "In game.toml, [phases.driven], closing is 250 s, but the whole phase has 165 s; shorten it.",
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
    "old, new, line", [('voltage = "16 V"', 'voltage = "16 V', 29), ("[ratchets]", "[ratchets", None)]
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
    (tmp_path / GAME).write_bytes(game.replace(b'"bobbins"', b'"bobbins\xe9"'))
    line = game[: game.index(b'"bobbins"')].count(b"\n") + 1
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
    assert kit().name == "Weavers' Yard kit" and kit().folder == str(OWN_FOLDER)
    monkeypatch.setenv(SETTING, str(SECOND_FOLDER))
    assert kit().name == "Kiln Ferry kit" and kit().table("motors").usual == "oak"
    monkeypatch.setenv(SETTING, "")
    assert kit().name == "Weavers' Yard kit"


def test_a_kit_in_the_work_folder_comes_before_the_setting(monkeypatch, tmp_path):
    """A folder without a game is no kit."""
    monkeypatch.setenv(WORK, str(tmp_path))
    monkeypatch.setenv(SETTING, str(SECOND_FOLDER))
    (tmp_path / "kit").mkdir()
    assert kit().digest == SECOND.digest
    copy_kit(tmp_path / "kit")
    assert kit().folder == str(tmp_path / "kit") and kit().digest == COURSE.digest
    monkeypatch.setenv(SETTING, "")
    edited(tmp_path / "kit", GAME, 'label = "Weavers\' Yard"', 'label = "Ours"')
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
    edited(tmp_path, PARTS, 'mass = "0.26 kg"', 'mass = "0.27 kg"')
    assert kit() is not first and kit().table("motors").row("slim")["mass"] == 0.27
    edited(tmp_path, PARTS, 'mass = "0.26 kg"', 'mass = "0.27 g kg"')
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
    assert COURSE.digest == digest('label = "slim motor"', 'label = "little motor"')
    assert COURSE.digest == digest(STALL, 'stall_torque = "167 mN·m"')
    assert len(COURSE.digest) == 12 and set(COURSE.digest) <= set("0123456789abcdef")
    changed = [
        digest('mass = "0.26 kg"', 'mass = "0.261 kg"'),
        digest("[motors.stout]", "[motors.strong]"),
        digest('usual = "slim"\n\n', 'usual = "stout"\n\n'),
        digest("lying_share = 0.35", "lying_share = 0.3", GAME),
        digest("teeth = [18, 22, 28, 36,", "teeth = [18, 20, 22, 28, 36,"),
        SECOND.digest,
    ]
    assert len({COURSE.digest, *changed}) == len(changed) + 1


def test_a_part_may_be_added_with_the_units_of_its_nameplate(tmp_path):
    new = """[motors.third]
label = "third motor"
frame = "large"
voltage = "16 V"
free_speed = "86.667 rev/s"
free_current = "600 mA"
stall_torque = "4,028 kgf cm"
stall_current = "14.6 A"
rotor_inertia = "260 g·cm2"
heat_capacity = "40 J/K"
thermal_resistance = "4.5 K/W"
shaft_diameter = "0.354 in"
mass = "0.992 lb"

"""
    folder = edited(
        tmp_path,
        PARTS,
        "-- gearmotors\n",
        "-- gearmotors\n" + new,
    )
    said = fault(folder)
    assert (
        said
        == "In parts.toml, [motors.third], stall_torque: '4,028 kgf cm' can be read in two ways: write 4028 or 4.028."
    )
    (folder / PARTS).write_text(
        (folder / PARTS).read_text(encoding="utf-8").replace("4,028", "4.028"), encoding="utf-8"
    )
    row = read_kit(folder).table("motors").row("third")
    stout = COURSE.table("motors").row("stout")
    for key in ("free_speed", "stall_torque", "rotor_inertia", "shaft_diameter", "mass", "torque_constant"):
        assert row[key] == pytest.approx(stout[key], rel=0.005), key


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
                assert not np.isnan(values).any() or column in NEVER_ASSUMED, (table.name, column)


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

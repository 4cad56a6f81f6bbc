"""Parts by their figures: what is read, what the nearest part lends, and that the figures come out again.

Sums by hand are from first principles: a wheel rolls pi d in one turn; a label's speed and torque are those of the
shaft; one kilogram-force is 9.80665 N (exact by definition); pitch diameters of gears are module times teeth (ISO
21771, from memory), of sprockets pitch over the sine of half the angle of a tooth (ISO 606, from memory).
"""

import math
import random
from pathlib import Path

import numpy as np
import pytest

from mechbench.catalog import NAMES, judge, sizing_of
from mechbench.engine.inputs import Tables
from mechbench.engine.judge import judge_with
from mechbench.engine.spec import Pick
from mechbench.kits import by_figures, pairing, read_kit
from mechbench.kits.load import own_kit
from mechbench.kits.own_rows import own_part, own_record
from mechbench.physics import gearmotor, motor
from tests.tries import tries

RPM = 2 * math.pi / 60
KITS = {name: Path(__file__).parent / name for name in ("second_kit", "flat", "bare")}
MOTOR = "275rpm,2.6N·m"
EXAMPLES = {  # input's table -> figures that a part of it may have
    "wheels": "92mm",
    "drive_wheels": "92 mm",
    "gripping_rollers": "54mm",
    "spools": "30mm",
    "drums": "30 mm",
    "gearboxes": "20:1",
    "last_stages": "12:36",
    "pairs": "belt 20:60",
    "motors": MOTOR,
    "servos": "19kgf·cm",
    "shaft_drives": "19kgf·cm",
    "roller_drives": MOTOR,
    "counter_springs": "0.3N/mm",
    "helping_springs": "7N",
    "cords": "2mm",
    "winch_ratchets": "12N·m",
    "pads": "0.6",
}


@pytest.fixture(scope="module")
def kit():
    return own_kit()


def row(kit, table, text):
    """The numbers of an own part in a table of the kit's files."""
    own = own_part(kit, table, text, "it")
    return own.kit.table(by_figures.WAYS[table][0].table).row(own.name)


# --- the grammar ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "table, text, name",
    [
        ("wheels", "92mm", "92mm"),
        ("wheels", " 92  mm ", "92mm"),
        ("wheels", "9,2 cm", "9.2cm"),
        ("wheels", "3 1/2 in", "3.5in"),
        ("wheels", "92 mm mecanum", "92mm,mecanum"),
        ("wheels", "omni, 92mm", "92mm,omni"),
        ("gearboxes", "20", "20:1"),
        ("gearboxes", "20 : 1", "20:1"),
        ("gearboxes", "20,5", "20.5:1"),
        ("gearboxes", "64:3.2", "20:1"),
        ("gearboxes", "1:20", "20:1"),
        ("gearboxes", "15:40", "15:40"),
        ("gearboxes", "40 / 15", "40:15"),
        ("gearboxes", "slow+15:40", "15:40"),
        ("gearboxes", "435rpm,1.2Nm+15:40", "15:40"),
        ("shaft_drives", "stout 15:40", "stout_15:40"),
        ("pads", "60 %", "0.6"),
        ("pads", "0,6", "0.6"),
        ("last_stages", "12:36", "own_gear_12_to_36"),
        ("last_stages", "gears 12 36", "own_gear_12_to_36"),
        ("last_stages", "Chain 10:30", "own_chain_10_to_30"),
        ("last_stages", "belt 20 to 60", "own_belt_20_to_60"),
        ("last_stages", "belt 20:20", "own_belt_20_to_20"),
        ("last_stages", "own_chain_10_to_30", "own_chain_10_to_30"),
        ("last_stages", "12:36 steel", "own_gear_steel_12_to_36"),
        ("last_stages", "12:36,nylon_18", "own_gear_nylon_18_12_to_36"),
        ("motors", "275 rpm, 2,6 N·m, 9 A", "275rpm,2.6Nm,9A"),
        ("motors", "2.6Nm;275rpm;16V", "275rpm,2.6Nm,16V"),
        ("motors", "275rpm,2.6Nm,0.4A,9A", "275rpm,2.6Nm,9A,0.4A"),
        ("motors", "bare 6000rpm,0.2Nm", "bare,6000rpm,0.2Nm"),
        ("servos", "19 kg·cm", "19kgfcm"),
        ("servos", "19kgcm, 0.16 s", "19kgfcm,0.16s"),
        ("shaft_drives", "1.2Nm,95rpm", "95rpm,1.2Nm"),
        ("shaft_drives", "servo 1.2Nm,95rpm,4A", "servo,1.2Nm,95rpm,4A"),
        ("shaft_drives", "stout 20:1", "stout_20:1"),
        ("roller_drives", "20 : 1", "slim_20:1"),
        ("roller_drives", "20 : 1 planetary_74", "slim_20:1,planetary_74"),
        ("counter_springs", "80mm, 0,3 N/mm", "0.3N/mm,80mm"),
    ],
)
def test_one_grammar_for_all(kit, table, text, name):
    """And the name that comes of it can be typed again, and is the same part."""
    own = own_part(kit, table, text, "it")
    assert own.name == name and by_figures.looks_like(table, text, kit)
    for again in (own.name, own.typed):
        twice = own_part(kit, table, again, "it")
        assert twice.name == name and twice.kit.digest == own.kit.digest and by_figures.looks_like(table, again, kit)


@pytest.mark.parametrize(
    "table, text",
    [
        ("wheels", "mecanum"),
        ("gearboxes", "planetary_744"),
        ("gearboxes", "planetary 744"),
        ("drums", "nylon 3"),
        ("last_stages", "nylon_18_to_45"),
        ("counts", "7"),
    ]
    + [("robots", "3"), ("motors", True), ("wheels", ["92mm"]), ("wheels", "")],
)
def test_what_is_no_figure_is_left_to_names(kit, table, text):
    assert not by_figures.looks_like(table, text, kit)


@pytest.mark.parametrize(
    "table, text, says",
    [
        ("wheels", "92", "it: '92' has no unit: write the unit too"),
        ("wheels", "5 kg", "it: '5 kg' is a mass; a length is asked"),
        ("wheels", "1,234mm", "can be read in two ways"),
        ("wheels", "5mm", "it is 5 mm, but its diameter must be from 10 mm to 1 m; write a figure in that range"),
        ("wheels", "-92mm", "it is -92 mm, but its diameter must be from 10 mm to 1 m"),
        ("wheels", "92mm,95mm", "it is '92mm,95mm', which has a figure too many"),
        ("wheels", "92mm mecanum omni", "no part of the kit is mecanum omni"),
        ("gearboxes", "0.05", "it is 0.05 : 1, but its ratio must be from 0.1 : 1 to 10000 : 1"),
        ("gearboxes", "400:6", "it is 0.015 : 1, but its ratio must be from 0.1 : 1 to 10000 : 1"),
        ("pads", "0", "it is 0, but its coefficient of friction must be from 0.01 to 3"),
        ("pads", "-60%", "it is -0.6, but its coefficient of friction must be from 0.01 to 3"),
        ("pads", "0.6N", "it: '0.6N' is no coefficient of friction; write the force"),
        ("gearboxes", "20:0", "'20:0' is no ratio"),
        ("last_stages", "3:20", "it is 3:20 teeth, but its teeth must be from 6 to 400"),
        ("last_stages", "12", "it: '12' is no pair of wheels; write the teeth of both"),
        ("last_stages", "400:6", "it: 400:6 teeth turn 66.7 times as fast, but 10 times is the most"),
        ("pairs", "chain 12", "'12' is no pair of wheels"),
        (
            "motors",
            "1.2Nm",
            "lacks the speed without load; write SPEED,1.2Nm as your label says, such as 275rpm,1.2Nm.",
        ),
        ("motors", "bare 5000rpm", "write bare,5000rpm,TORQUE as your label says, such as bare,5000rpm,0.2Nm."),
        (
            "counter_springs",
            "80mm",
            "it: 80mm lacks the rate; write RATE,80mm as your label says, such as 0.3N/mm,80mm.",
        ),
        ("motors", "275rpm,9Nm,2A", "efficiency of the gears, from torque and speed, is"),
        ("motors", "275rpm,2.6Nm,9A,6A", "not even twice the 6 A without load"),
        ("motors", "bare 6000rpm,2Nm,9A", "it: nameplate mismatch"),
        ("servos", "19Nm,9A,0.01s", "more than a quarter of the 63 W"),
        ("motors", "1000rpm,1000Nm", "would take 332 A without load, but the controller gives 10 A at most"),
        ("shaft_drives", "bare,6000rpm,0.2Nm", "which can't be read; write figures such as 275rpm,2.6Nm or 20:1 or"),
        ("shaft_drives", "5kg", "which can't be read; write figures such as 275rpm,2.6Nm or 20:1 or"),
    ],
)
def test_what_no_part_can_have_is_refused_in_one_sentence(kit, table, text, says):
    with pytest.raises(ValueError) as refused:
        own_part(kit, table, text, "it")
    assert says in str(refused.value) and "\n" not in str(refused.value)


def test_a_list_keeps_the_figures_of_one_part_together(kit):
    names = (*kit.table("motors").names, *kit.table("gearboxes").names)
    apart = lambda table, text: by_figures.one_by_one(table, text, kit, names)
    assert apart("motors", "275rpm,2,6Nm,9A,slim,92rpm,6.6Nm") == ["275rpm,2,6Nm,9A", "slim", "92rpm,6.6Nm"]
    assert apart("gearboxes", "20:1,25,planetary_74") == ["20:1", "25", "planetary_74"]
    assert apart("last_stages", "12:36,chain 10:30") == ["12:36", "chain 10:30"]
    assert apart("wheels", "92mm;80,5mm") == ["92mm", "80,5mm"] and apart("counts", "1,2") == ["1", "2"]


def test_every_table_that_parts_are_picked_from_is_told_or_has_no_figures():
    """The help has an example of each; what is left is made by sizings, or is no part."""
    tables = {f.table for name in NAMES for f in sizing_of(name).FIELDS if isinstance(f, Pick)}
    assert set(EXAMPLES) >= tables & set(by_figures.WAYS) and set(by_figures.WAYS) == set(EXAMPLES)
    for table in by_figures.WAYS:
        assert by_figures.example_of(table) in by_figures.figures_taken(table)
    assert by_figures.figures_taken("counts") == by_figures.example_of("counts") == ""
    assert by_figures.figures_taken("battery") == "figures: 2.8Ah (charge); if known also voltage, resistance inside"


# --- figures come out again -----------------------------------------------------------------------------------------


def test_a_wheel_rolls_pi_d_in_a_turn():
    """Slim motors behind 16 : 1 on a long run: at a steady speed each gives a quarter of the rolling resistance."""
    report = judge("drivetrain", {"wheel": "92mm", "gearbox": "16:1", "motor": "slim", "distance": "6 m"}, own_kit())
    kit, mass, radius = own_kit(), report.values["mass"], 0.092 / 2
    slim, losses = kit.table("motors").row("slim"), 0.88**2  # two stages, as planetary_16
    rolling = 0.02 * mass * 9.80665
    amps = rolling * radius / (4 * 16 * losses * slim["torque_constant"]) + slim["free_current"]
    volts = kit.battery.open_circuit - 4 * amps * kit.battery.resistance
    turns = (volts - slim["resistance"] * amps) / slim["torque_constant"] / (2 * math.pi)
    assert report.good["top_speed"] == pytest.approx(math.pi * 0.092 * turns / 16, rel=0.01)


@pytest.mark.parametrize("text", [MOTOR, MOTOR + ",9A", MOTOR + ",9A,0.3A,12V"])
@pytest.mark.parametrize("name", ["own", *KITS])
def test_a_gearmotor_gives_at_its_shaft_what_its_label_prints(name, text):
    kit = own_kit() if name == "own" else read_kit(KITS[name])
    own = own_part(kit, "motors", text, "motor")
    one, gears = own.kit.table("motors").row(own.name), own.kit.table("gearboxes").row(own.name)
    free = (one["voltage"] - one["resistance"] * one["free_current"]) / one["torque_constant"] / gears["ratio"]
    stall = one["torque_constant"] * (one["stall_current"] - one["free_current"]) * gears["ratio"] * gears["efficiency"]
    assert free / RPM == pytest.approx(275.0, rel=1e-9) and stall == pytest.approx(2.6, rel=1e-9)
    assert pairing.go_together(own.kit.table("motors"), own.name, own.kit.table("gearboxes"), own.name)
    assert not pairing.go_together(own.kit.table("motors"), own.name, own.kit.table("gearboxes"), gears_of(kit))


def gears_of(kit):
    return pairing.loose(kit.table("gearboxes"))[0]


def test_a_motor_at_a_load_is_the_gearmotor_as_its_shaft_shows_it(kit):
    """R = V / I; the voltage that is left turns it: k_f from the free run, k_s from the stall, both as printed."""
    report = judge("motor", {"motor": "275rpm,2.6N·m,9A,0.5A,16V", "load_torque": "0.9 N·m"}, kit)
    ohms, felt = 16 / 9, 2.6 / (9 - 0.5)
    amps = 0.9 / felt + 0.5
    volts = kit.battery.open_circuit - kit.battery.resistance * amps
    speed = (volts - ohms * amps) / ((16 - ohms * 0.5) / (275 * RPM))
    assert report.good["current"] == pytest.approx(amps, rel=1e-9)
    assert report.good["speed"] == pytest.approx(speed, rel=1e-9)
    stalled = min(kit.battery.open_circuit / (ohms + kit.battery.resistance), kit.controller.output_limit)
    assert report.good["spare"] == pytest.approx(felt * (stalled - 0.5) - 0.9, rel=1e-9)


def test_kilogram_force_centimetres_of_a_servo(kit):
    """19 kgf x 9.80665 N/kgf x 0.01 m."""
    assert row(kit, "servos", "19 kgf·cm")["stall_torque"] == pytest.approx(1.8632635, rel=1e-9)
    told = own_part(kit, "servos", "19 kg·cm", "servo")
    assert told.kit.table("servos").row(told.name)["stall_torque"] == pytest.approx(1.8632635, rel=1e-9)
    assert told.said.endswith("kg·cm is read as kgf·cm.")
    assert row(kit, "servos", "19kgfcm,0.16s")["free_speed"] == pytest.approx(math.pi / 3 / 0.16, rel=1e-9)


def test_two_wheels_by_their_teeth(kit):
    own = own_part(kit, "last_stages", "12:36", "last_stage")
    stage = Tables(sizing_of("train"), own.kit)("last_stages").row(own.name)
    module = kit.table("spur_gears").row("nylon_18")["module"]
    sizes = {"ratio": 3.0, "teeth_in": 12.0, "teeth_out": 36.0, "diameter_in": 12 * module, "diameter_out": 36 * module}
    assert {key: stage[key] for key in sizes} == pytest.approx(sizes)
    chain = own_part(kit, "last_stages", "chain 10:30", "last_stage")
    stage = Tables(sizing_of("train"), chain.kit)("last_stages").row(chain.name)
    assert stage["diameter_in"] == pytest.approx(0.008 / math.sin(math.pi / 10)) and stage["kind"] == 3.0
    even = own_part(kit, "last_stages", "belt 20:20", "last_stage")
    assert Tables(sizing_of("train"), even.kit)("last_stages").row(even.name)["ratio"] == 1.0


def test_two_numbers_of_teeth_are_a_gearbox(kit):
    """The driven wheel's teeth over the driving one's: 40 / 15 = 2.667, and 15 / 40 = 0.375; one stage of losses."""
    slow, fast = (own_part(kit, "gearboxes", text, "gearbox") for text in ("15:40", "40:15"))
    numbers = [own.kit.table("gearboxes").row(own.name) for own in (slow, fast)]
    assert [one["ratio"] for one in numbers] == pytest.approx([40 / 15, 15 / 40])
    assert [one["stage_count"] for one in numbers] == [1.0, 1.0]
    assert slow.first == ("gearbox 15 to 40 teeth: 2.67 : 1.",)
    assert fast.first == ("gearbox 40 to 15 teeth: 0.375 : 1, faster than the motor.",)
    turned = own_part(kit, "gearboxes", "1:20", "gearbox")
    assert turned.first == ("gearbox '1:20' is read as 20 : 1, slower than the motor.",)
    assert own_part(kit, "gearboxes", "20:1", "gearbox").first == ()


def test_a_gearbox_faster_than_its_motor_is_judged(kit):
    """By hand: the load's torque over ratio and losses is the motor's; what voltage the current leaves turns it."""
    tables = Tables(sizing_of("train"), kit)
    given = {"gearbox": "40:15", "load_torque": 0.05, "motor": "stout", "last_stage": "none", "speed_wanted": "600 rpm"}
    report = judge_with(sizing_of("train"), given, tables)
    one, gears = tables("motors").row("stout"), tables("gearboxes").row("40:15")
    amps = 0.05 / (15 / 40 * gears["efficiency"]) / one["torque_constant"] + one["free_current"]
    volts = kit.battery.open_circuit - (kit.battery.resistance + one["resistance"]) * amps
    assert report.good["speed"] == pytest.approx(volts / one["torque_constant"] * 40 / 15, rel=1e-6)
    assert not any(map(math.isnan, [*report.good.values(), *report.bad.values()]))


@pytest.mark.parametrize("name", ["own", *KITS])
@pytest.mark.parametrize("text", ["435rpm,1.2N·m,12V", "435rpm,1.2N·m"])
def test_wheels_behind_a_gearmotor(name, text):
    """At the wheel's shaft 435 rpm x 15 / 40 = 163.1 rpm, and 1.2 N·m x 40 / 15 = 3.2 N·m times what one stage of
    the kit's nearest gearbox passes on.
    """
    kit = own_kit() if name == "own" else read_kit(KITS[name])
    drivetrain = sizing_of("drivetrain")
    tables = Tables(drivetrain, kit)
    report = judge_with(drivetrain, {"motor": text, "gearbox": "15:40"}, tables)
    motor_name, box = report.values["motor"], report.values["gearbox"]
    one, gears = tables("motors").row(motor_name), tables("gearboxes").row(box)
    alone = own_part(kit, "gearboxes", "15:40", "it")
    stage = alone.kit.table("gearboxes").row(alone.name)
    free = (one["voltage"] - one["resistance"] * one["free_current"]) / one["torque_constant"] / gears["ratio"]
    stall = one["torque_constant"] * (one["stall_current"] - one["free_current"]) * gears["ratio"] * gears["efficiency"]
    assert free / RPM == pytest.approx(163.125, rel=1e-9)
    assert stall == pytest.approx(3.2 * stage["efficiency"], rel=1e-9) and 0.8 < stage["efficiency"] < 1
    behind = tables("gearboxes").row(motor_name)
    assert gears["mass"] == pytest.approx(behind["mass"] + stage["mass"])
    assert gears["allowed_small"] <= stage["allowed_small"]
    assert "163 rpm without load" in tables.said[-1] and tables.said[-1].startswith("gearbox 15 to 40 teeth: ")
    assert not any(map(math.isnan, [*report.good.values(), *report.bad.values()]))
    again = judge_with(drivetrain, report.values, Tables(drivetrain, tables.kit))
    assert again.good == report.good and again.bad == report.bad


def test_one_wheel_to_one_behind_a_gearmotor_costs_its_losses_alone(kit):
    """20:20 changes no speed: what is found is as with the motor alone, but for one stage's losses, play and mass."""
    own = Tables(sizing_of("drivetrain"), kit)
    values = judge_with(sizing_of("drivetrain"), {"motor": "slow", "gearbox": "20:20"}, own).values
    alone, pair = (own("gearboxes").row(one) for one in ("slow", values["gearbox"]))
    assert values["gearbox"] == "slow+20:20" and pair["ratio"] == pytest.approx(alone["ratio"])
    assert pair["efficiency"] < alone["efficiency"] and pair["backlash"] > alone["backlash"]


def test_a_label_without_a_voltage_says_at_which_it_is_read(kit):
    """At that of the kit's motor which lends the rest, whatever the battery."""
    told = "Label read at 16 V; write 312rpm,2Nm,12V if yours says 12 V."
    assert own_part(kit, "motors", "312rpm,2N·m", "motor").first == (told,)
    assert own_part(kit, "motors", "312rpm,2N·m,12V", "motor").first == ()
    assert own_part(kit, "motors", "312rpm,2N·m slow", "motor").first == (told.replace("12V", "12V,slow"),)
    low = own_record(kit, "battery", "3.3A·h,12V").kit
    assert own_part(low, "motors", "312rpm,2N·m", "motor").first == (told,)
    second = read_kit(KITS["second_kit"])
    own = own_part(second, "motors", "312rpm,2N·m", "motor")
    volts = own.kit.table("motors").row(own.name)["voltage"]
    assert own.first[0].startswith(f"Label read at {volts:g} V; write 312rpm,2Nm,")
    assert f",{volts:g}V if" not in own.first[0], "another voltage than that"


@pytest.mark.parametrize("name", ["own", *KITS])
def test_pads_of_an_own_friction(name):
    """What a pair of pads holds grows with the coefficient: the squeeze needed at 0.6 is half of that at 0.3."""
    kit = own_kit() if name == "own" else read_kit(KITS[name])
    low, high = (judge("gripper", {"pad": one}, kit) for one in ("0.3", "60%"))
    assert high.values["pad"] == "0.6"
    assert high.good["holds"] / low.good["holds"] == pytest.approx(2.0, rel=1e-9)
    assert high.bad["holds"] < high.good["holds"], "friction has its bad day, too"
    part = Tables(sizing_of("gripper"), kit)("pads")
    assert "0.6" not in part.names


def test_springs_drum_and_ratio(kit):
    assert row(kit, "counter_springs", "0.3N/mm")["rate"] == pytest.approx(300.0)
    assert row(kit, "counter_springs", "0.3N/mm,80mm")["free_length"] == pytest.approx(0.08)
    assert row(kit, "helping_springs", "7N")["force"] == 7.0 and row(kit, "gearboxes", "20")["ratio"] == 20.0
    drum = row(kit, "drums", "30mm")
    assert drum["radius"] == pytest.approx(0.015), "30 mm across"


@pytest.mark.parametrize("size", ["5mm", "60mm", "200mm", "900mm"])
def test_the_rim_of_a_drum_is_always_larger_than_the_drum(kit, size):
    drum = row(kit, "spools", size)
    assert drum["flange_diameter"] - drum["diameter"] == pytest.approx(0.026), "as of every spool of this kit"


def test_a_battery_of_less_charge_has_more_resistance(kit):
    """Of cells alike, so many side by side and so many in a row: R goes with voltage over charge, mass with both."""
    own = own_record(kit, "battery", "2.8Ah").kit
    assert own.battery.capacity == pytest.approx(2.8 * 3600) and own.battery.nominal == kit.battery.nominal
    assert own.battery.resistance == pytest.approx(0.11 * 3.3 / 2.8, rel=1e-9)
    assert own.spread("battery_resistance").high == pytest.approx((0.20 - 0.11) * 3.3 / 2.8, rel=1e-9)
    low = own_record(own, "battery", "2.8 A·h, 12 V").kit
    assert low.battery.open_circuit == pytest.approx(16.7 * 12 / 16) and low.controller.reset_level == 8.25
    assert low.spread("battery_voltage").low == pytest.approx((15.4 - 16.7) * 12 / 16)
    back = own_record(low, "battery", "3.3Ah").kit
    assert back.battery.resistance == pytest.approx(0.11) and back.controller.reset_level == 11.0
    assert own_record(kit, "fuse", "20A").kit.fuse.rating == 20.0


# --- what the nearest part lends ------------------------------------------------------------------------------------

# Sizing, input, a part of the course's own kit, its figures.
EQUALS = [
    ("drivetrain", "wheel", "traction_80", "80mm"),
    ("drivetrain", "wheel", "omni_80", "80mm omni"),
    ("drivetrain", "wheel", "mecanum_115", "115mm"),
    ("intake", "roller", "soft_50", "50mm"),
    ("intake", "drive", "turner", "1.2N·m"),
    ("lift", "drum", "spool_28", "28mm"),
    ("lift", "spring", "constant_9", "9N"),
    ("winch", "spool", "spool_52", "52mm"),
    ("winch", "cord", "braid", "2.5mm"),
    ("winch", "ratchet", "ratchet", "16N·m"),
    ("train", "gearbox", "planetary_56", "56.35"),
    ("train", "last_stage", "nylon_22_to_44", "22:44"),
    ("train", "last_stage", "steel_22_to_44", "22:44 steel"),
    ("arm", "last_stage", "chain_9_to_28", "chain 9:28"),
    ("arm", "motor", "slow", "92rpm,6.6N·m"),
    ("arm", "motor", "slow", "92rpm,6.6N·m,6.4A,0.35A,16V"),
    ("arm", "motor", "stout", "bare 5200rpm,0.395N·m"),
    ("arm", "spring", "spring_0_25_70", "0.25N/mm,70mm"),
    ("motor", "motor", "slow", "92rpm,6.6N·m"),
    ("linkage", "drive", "stout_planetary_56", "stout 56.35"),
    ("linkage", "drive", "slow", "92rpm,6.6N·m"),
    ("linkage", "drive", "quick", "0.72N·m"),
    ("gripper", "servo", "light", "0.31N·m"),
]


@pytest.mark.parametrize("name, field, part, text", EQUALS)
def test_the_figures_of_a_part_of_the_kit_find_what_that_part_finds(kit, name, field, part, text):
    as_part, by_text = (judge(name, {field: one}, kit) for one in (part, text))
    assert by_text.good == pytest.approx(as_part.good, rel=1e-9, nan_ok=True)
    assert by_text.bad == pytest.approx(as_part.bad, rel=1e-9, nan_ok=True)
    assert by_text.days_in_100 == as_part.days_in_100 and len(by_text.rests_on) == len(as_part.rests_on)


def test_an_own_part_leaves_the_parts_that_the_course_lends():
    """A team without sprockets: what a sizing shows in their place stays there beside an own one."""
    flat = read_kit(KITS["flat"])
    assert not len(flat.table("sprockets"))
    own = own_part(flat, "last_stages", "chain 10:30", "last_stage").kit
    assert own.filled("sprockets").names == (*flat.filled("sprockets").names, "own_chain_10", "own_chain_30")
    usual = judge("chained", {}, flat)
    assert judge("chained", {"last_stage": "chain 10:30"}, flat).values.keys() == usual.values.keys()


def test_battery_and_fuse_of_the_kit_by_their_figures_change_nothing(kit):
    plain, same = (judge("power", one, kit) for one in ({}, {"battery": "3.3 A·h", "fuse": "15 A"}))
    assert same.good == pytest.approx(plain.good) and same.bad == pytest.approx(plain.bad)


@pytest.mark.parametrize("table, text", EXAMPLES.items())
@pytest.mark.parametrize("name", KITS)
def test_every_kit_has_own_parts_of_each_table(name, table, text):
    """Where the team has none of a kind, the course's own lends the rest; nothing is lost on the way."""
    kit = read_kit(KITS[name])
    own = own_part(kit, table, text, "it")
    more = {
        one: [part for part in own.kit.table(one).names if part not in kit.table(one).names] for one in kit.tables()
    }
    changed = {one: parts for one, parts in more.items() if parts}
    assert len(changed) == (2 if text == MOTOR else 1)
    for one, parts in changed.items():
        numbers = [own.kit.table(one).row(part) for part in parts]
        assert not [key for each in numbers for key, value in each.items() if math.isnan(value) and key not in UNTOLD]
    assert kit.table("wheels").names == read_kit(KITS[name]).table("wheels").names


UNTOLD = ("counts_per_turn", "shaft_diameter")
# Sizing, input, unit, two parts of the kit; between them the lender changes once, at the mean of their factors.
BETWEEN = [
    ("drivetrain", "wheel", "mm", 80.0, 115.0, ("top_speed", "push", "time", "slope")),
    ("lift", "drum", "mm", 28.0, 40.0, ("spare", "time", "strength")),
    ("intake", "roller", "mm", 50.0, 80.0, ("ratio", "nip", "surface")),
    ("train", "gearbox", ":1", 25.3, 56.35, ("speed", "gives", "efficiency")),
    ("gripper", "servo", "N·m", 0.31, 0.72, ("share", "rail", "stall_squeeze")),
    ("lift", "spring", "N", 4.0, 9.0, ("stays_up", "spare", "return_pull")),
]


@pytest.mark.parametrize("name, field, unit, low, high, findings", BETWEEN)
def test_findings_move_without_a_jump_but_where_the_lender_changes(kit, name, field, unit, low, high, findings):
    """In steps of 1 % of the way. What jumps is what the nearest part lends: mass, grip, losses, a servo's speed."""
    sizing, found, said = sizing_of(name), [], []
    for size in np.geomspace(low, high, 101):
        tables = Tables(sizing, kit)
        found.append(judge_with(sizing, {field: f"{size:.9g}{unit}"}, tables).good)
        said.append(tables.said[0].rpartition(" as ")[2])
    changes = [i for i in range(100) if said[i] != said[i + 1]]
    assert len(changes) == 1 and abs(changes[0] - 50) <= 1, "at the mean of the factors of both"
    here = [one for one in findings if one in found[0]]
    assert here
    for one in here:
        values = np.array([each[one] for each in found])
        steps = np.abs(np.diff(values))
        reach = np.ptp(values)
        assert np.all(np.isfinite(values)) and np.max(np.delete(steps, changes)) < 0.05 * reach + 1e-12, one


def test_a_weaker_gearmotor_is_never_better(kit):
    """Less torque at the same speed, as long as one motor lends the rest and no controller limits it."""
    torques = np.geomspace(4.0, 9.0, 12)
    spare = [judge("arm", {"motor": f"90rpm,{torque:.3f}N·m slow"}, kit).good["spare"] for torque in torques]
    assert spare == sorted(spare) and spare[0] < spare[-1]


def test_what_the_gearmotor_reader_assumes_is_assumed_of_an_own_one(kit):
    """Its label gives no mass and no heat: these are assumed as of the kit's own one, in the same bands."""
    own = own_part(kit, "motors", MOTOR, "motor").kit.table("motors")
    assert own.assumed["275rpm,2.6Nm"].keys() == own.assumed["slow"].keys() and own.assumed["slow"]
    read = gearmotor.from_label(16.0, 275 * RPM, 2.6, own.row("275rpm,2.6Nm")["stall_current"])
    assert motor.stall_current(gearmotor.motor_of(read), 16.0) == pytest.approx(
        own.row("275rpm,2.6Nm")["stall_current"]
    )


def test_a_kit_stays_as_it_is_and_knows_what_was_added(kit):
    own = own_part(own_part(kit, "wheels", "92mm", "wheel").kit, "gearboxes", "20:1", "gearbox")
    assert kit.added == () and kit.plain is kit and "92mm" not in kit.table("wheels").names
    assert own.kit.added == ("gearbox: 20:1", "wheel: 92mm") and own.kit.plain is kit
    assert own.kit.digest.startswith(f"{kit.digest}+") and own_part(own.kit, "wheels", "92mm", "wheel").kit is own.kit
    assert own_part(own.kit, "wheels", "93mm", "wheel").said.endswith("as traction_80."), "never as an own part"


PICKED = {  # an input of a sizing for each table
    (name, field.name): EXAMPLES[field.table]
    for name in NAMES
    for field in sizing_of(name).FIELDS
    if isinstance(field, Pick) and field.table in EXAMPLES
}


# What goes with a part that is given: the gears of a motor, the ratio and the distance that two wheels have.
FOLLOWS = {"motor": ("gearbox",), ("pair", "last_stage"): ("ratio_wanted", "distance")}


@pytest.mark.parametrize("name", KITS)
def test_every_input_takes_its_figures_with_every_kit(name):
    """Nothing is lost (NaN), nothing that is not given changes, and the sentence names the input."""
    kit = read_kit(KITS[name])
    assert len(PICKED) > 25
    for (sizing, field), text in PICKED.items():
        tables = Tables(sizing_of(sizing), kit)
        usual = judge_with(sizing_of(sizing), {}, Tables(sizing_of(sizing), kit)).values
        report = judge_with(sizing_of(sizing), {field: text}, tables)
        assert not any(map(math.isnan, [*report.good.values(), *report.bad.values()])), (sizing, field)
        changes = {key for key in usual if usual[key] != report.values[key]}
        assert changes <= {field, *FOLLOWS.get((sizing, field), FOLLOWS.get(field, ()))}, (sizing, field)
        assert tables.said[0].startswith(f"{field} ") and "\n" not in tables.said[0]


PIECES = (
    *("92mm", "12:36", "20:1", "275rpm", "2.6Nm", "9A", "16V", "0.3N/mm", "7N", "0.16s", "19kgcm", "5", "0", "-3mm"),
    *("1e9mm", "1e-9Nm", "nan", "inf", "1/2", "chain", "belt", "bare", "servo", "mecanum", "slim", "steel", "steel_18"),
    *(",", ";", " ", ":", "1:0", "0:5", "12:12", "own_gear_1_to_2", "own_gear__12_to_36", "\x00", "\N{ROCKET}"),
)


def test_any_text_is_a_part_whose_name_gives_it_again_or_one_sentence(kit):
    rng, read = random.Random(3), 0
    for _ in range(tries(1000, thorough=20_000)):
        table = rng.choice(list(by_figures.WAYS))
        text = rng.choice(("", ",")).join(rng.choices(PIECES, k=rng.randrange(1, 6)))
        try:
            own = own_part(kit, table, text, "it")
        except ValueError as wrong:
            assert "\n" not in str(wrong) and len(str(wrong)) < 400
            continue
        read += 1
        for again in (own.name, own.typed):
            assert " " not in again and by_figures.looks_like(table, again, kit)
            assert own_part(kit, table, again, "it").name == own.name
    assert read > 10


@pytest.mark.parametrize("torque", [6, 9, 12, 15, 19, 25])
def test_a_servo_by_its_torque_turns_to_an_angle(torque):
    """One that turns without end is another kind of part; the torque alone does not say that it is one."""
    kit = own_kit()
    made = own_part(kit, "servos", f"{torque}kgf·cm,0.16s", "servo")
    assert np.isfinite(made.kit.table("servos").row(made.name)["travel"])


ENDS = {  # at and beyond what a part can be; a wrong kind, nothing, and no number
    "wheels": ("10mm", "1m", "1e-9mm", "0mm", "-5mm", "1e300mm", "nanmm", "5kg"),
    "spools": ("5mm", "1m", "0mm", "2mm"),
    "gearboxes": ("1:1", "0.1", "10000", "0", "-5", "1e9:1", "6:400", "60:6", "15:40:3", "0:0", "1:0", "5kg"),
    "motors": ("1rpm,0.001Nm", "1000rpm,1000Nm", "0rpm,1Nm", "275rpm,2.6Nm,1e-9A", "275rpm,2.6Nm,1V", "5kg", "bare"),
    "servos": ("0.001Nm", "100Nm", "0Nm", "1Nm,0s", "1Nm,100s", "1Nm,1V", "1Nm,500A"),
    "last_stages": ("6:400", "400:6", "12:12", "chain 6:400", "0:5", "1e3:5"),
    "counter_springs": ("0.0001N/mm", "1000N/mm", "0.3N/mm,1mm", "0N/mm"),
    "helping_springs": ("0.01N", "10000N", "7N,1mm", "0N"),
    "cords": ("0.1mm", "50mm", "2mm,1N", "-2mm"),
    "winch_ratchets": ("0.001Nm", "1e4Nm", "0Nm"),
    "pads": ("0.01", "3", "300%", "0", "-1", "1e9", "nan", "0.6N"),
}
SAME_ENDS = {"drive_wheels": "wheels", "gripping_rollers": "wheels", "drums": "spools", "pairs": "last_stages"}


@pytest.mark.parametrize("name", ["own", *KITS])
def test_the_ends_of_what_a_part_can_be_are_judged_or_refused_in_one_sentence(name):
    kit = own_kit() if name == "own" else read_kit(KITS[name])
    by_table = {sizing_of(one).field(field).table: (one, field) for one, field in PICKED}
    assert set(by_table) == set(by_figures.WAYS)
    judged = 0
    for table, (sizing, field) in by_table.items():
        for text in ENDS.get(SAME_ENDS.get(table, table), ENDS["motors"] + ENDS["servos"] + ENDS["gearboxes"]):
            try:
                report = judge_with(sizing_of(sizing), {field: text}, Tables(sizing_of(sizing), kit))
            except ValueError as wrong:
                assert "\n" not in str(wrong) and str(wrong).endswith((".", "?")), (sizing, field, text)
                continue
            judged += 1
            assert not any(map(math.isnan, [*report.good.values(), *report.bad.values()])), (sizing, field, text)
    assert judged > 20


@pytest.mark.parametrize("name", ["own", "second_kit"])
def test_a_motor_that_goes_by_its_speed_alone_is_as_strong_as_the_usual_one(name):
    """Sum by hand: power of the usual motor, free speed times torque held still, less what the gears lose, at 435 rpm;
    never more than without that loss, nor less than half of it.
    """
    kit = own_kit() if name == "own" else read_kit(KITS[name])
    motors = kit.table("motors")
    row = motors.row(motors.usual)
    assert row["geared"] == 0, "the sum below is of a motor without gears of its own"
    made = own_part(kit, "motors", "435rpm", "motor")
    assert made.name == "435rpm" and made.first[0].startswith("Torque when held still taken as ")
    torque = float(made.first[0].split()[6])
    lossless = row["free_speed"] * row["stall_torque"] / (435 * 2 * math.pi / 60)
    assert lossless / 2 < torque < lossless and f"as of {motors.usual} behind gears" in made.first[0]
    given = own_part(kit, "motors", f"435rpm,{torque}Nm", "motor")
    one, other = (each.kit.table("motors").row(each.name) for each in (made, given))
    assert one["stall_torque"] == pytest.approx(other["stall_torque"], rel=0.01)

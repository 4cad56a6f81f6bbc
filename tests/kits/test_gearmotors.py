"""[gearmotors] of parts.toml: the rows that a label makes, what is assumed of it, and each fault's sentence."""

import math

import numpy as np
import pytest
from scipy import constants

from mechbench.desk.correct import correct
from mechbench.kits import KitError, read_kit
from mechbench.physics import assumed
from mechbench.physics.motor import Motor, temperature_rise
from tests.kits.gearmotor_kit import LABELS, PRINTED, gearmotor_kit, write

RPM = 2 * math.pi / constants.minute
UP = 0.01  # of the kit's efficiency on a good day


@pytest.fixture(scope="module")
def kit(tmp_path_factory):
    return gearmotor_kit(tmp_path_factory.mktemp("gearmotors"))


def test_a_label_without_a_ratio_is_the_motor_as_felt_at_the_output_shaft(kit):
    motor, gears = kit.table("motors").row("ox"), kit.table("gearboxes").row("ox")
    ohms = PRINTED["voltage"] / PRINTED["stall_current"]
    felt = (PRINTED["voltage"] - PRINTED["free_current"] * ohms) / (PRINTED["output_rpm"] * RPM)
    at_stall = PRINTED["output_stall"] / (PRINTED["stall_current"] - PRINTED["free_current"])
    assert motor["resistance"] == pytest.approx(ohms) and motor["torque_constant"] == pytest.approx(felt)
    assert (gears["ratio"], gears["efficiency"]) == (1.0, pytest.approx(at_stall / felt))
    assert motor["free_speed"] == pytest.approx(PRINTED["output_rpm"] * RPM)
    assert motor["stall_torque"] * gears["efficiency"] == pytest.approx(PRINTED["output_stall"])
    assert (motor["geared"], gears["built_in"]) == (1.0, 1.0)


def test_a_label_with_a_ratio_tells_the_motor_and_its_gears(kit):
    motor, gears = kit.table("motors").row("hare"), kit.table("gearboxes").row("hare")
    felt = (14.0 - 0.04 * 14.0) / (310 * RPM)
    assert gears["ratio"] == 19 and motor["torque_constant"] == pytest.approx(felt / 19)
    assert gears["efficiency"] == pytest.approx(2.1 / (0.96 * 7.5) / felt)
    assert gears["allowed_small"] == gears["allowed_large"] == 1.4
    assert gears["backlash"] == pytest.approx(math.radians(1.5))
    assert motor["counts_per_turn"] == 12 and motor["shaft_diameter"] == 0.006
    assert motor["mass"] + gears["mass"] == pytest.approx(0.36)
    assert 0 < gears["efficiency_driven"] < gears["efficiency"]


def test_what_a_label_does_not_print_is_assumed_with_its_band(kit):
    motors, gears = kit.table("motors"), kit.table("gearboxes")
    row = motors.row("ox")
    assert row["rotor_inertia"] == pytest.approx(assumed.rotor_inertia(row["torque_constant"], row["resistance"]))
    assert row["mass"] == pytest.approx(assumed.mass(row["stall_torque"], row["free_speed"]))
    assert row["heat_capacity"] == pytest.approx(assumed.heat_capacity(row["mass"]))
    assert set(motors.assumed["ox"]) == {"rotor_inertia", "mass", "heat_capacity", "thermal_resistance"}
    assert gears.row("ox")["allowed_small"] == pytest.approx(PRINTED["output_stall"])
    assert gears.assumed["ox"]["allowed_small"] == assumed.STRENGTH_BAND and "mass" in gears.assumed["ox"]
    assert "hare" not in gears.assumed and "mass" not in motors.assumed["hare"]


def test_the_other_rows_stay_as_they_are(kit, tmp_path):
    plain = gearmotor_kit(tmp_path, labels="")
    for name in ("motors", "gearboxes"):
        table, other = kit.table(name), plain.table(name)
        assert table.names == (*other.names, "ox", "hare") and table.usual == other.usual
        for part in other.names:
            assert table.row(part) == pytest.approx(other.row(part), nan_ok=True)
            assert table.row(part).get("geared", 0.0) == table.row(part).get("built_in", 0.0) == 0.0
        finite = {key for key, column in table.columns.items() if np.all(np.isfinite(column))}
        assert set(table.columns) - finite <= {"counts_per_turn", "shaft_diameter"}
    assert kit.digest != plain.digest and "gearmotors" not in kit.tables()


def test_two_measured_points_make_the_same_rows(tmp_path, kit):
    amps = [0.35 + t / 6.6 * 6.05 for t in (1.5, 5.0)]
    speeds = [92 * (1 - t / 6.6) for t in (1.5, 5.0)]
    label = f"""
[gearmotors.ox]
label = "ox gearmotor"
voltage = "16 V"
torques = ["1.5 N·m", "5 N·m"]
speeds = ["{speeds[0]} rpm", "{speeds[1]} rpm"]
currents = ["{amps[0]} A", "{amps[1]} A"]
"""
    measured = gearmotor_kit(tmp_path, labels=label)
    for name in ("motors", "gearboxes"):
        assert measured.table(name).row("ox") == pytest.approx(kit.table(name).row("ox"), rel=1e-6, nan_ok=True)


def counts(tmp_path, given):
    label = LABELS.replace('counts_per_turn = 12\ncounts_at = "motor"', given)
    return gearmotor_kit(tmp_path, labels=label).table("motors").row("hare")["counts_per_turn"]


def test_counts_of_the_output_shaft_are_turned_into_those_of_the_motor(tmp_path):
    assert counts(tmp_path, 'counts_per_turn = 228\ncounts_at = "output"') == pytest.approx(12)
    assert math.isnan(counts(tmp_path, ""))


def test_a_gearmotor_may_be_the_usual_motor_and_the_only_gears(tmp_path):
    folder = write(tmp_path, without=["gearboxes"])
    parts = folder / "parts.toml"
    parts.write_text(parts.read_text(encoding="utf-8").replace('usual = "brisk"', 'usual = "ox"'), encoding="utf-8")
    kit = read_kit(folder)
    boxes = kit.table("gearboxes")
    assert kit.table("motors").usual == "ox" and boxes.names == ("none", "ox", "hare") and boxes.usual == "none"
    row = boxes.row("none")
    assert (row["ratio"], row["mass"], row["backlash"], row["built_in"]) == (1, 0, 0, 0)
    assert row["efficiency"] * (1 + UP) == pytest.approx(1.0) and np.isfinite(row["overhung_moment"])


def test_gears_read_as_lossless_stay_below_one_on_a_good_day(tmp_path):
    lossless = LABELS.replace('output_stall = "6.6 N·m"', 'output_stall = "9.6 N·m"')
    eta = gearmotor_kit(tmp_path, labels=lossless).table("gearboxes").row("ox")["efficiency"]
    assert eta * (1 + UP) == pytest.approx(1.0) and eta * (1 + UP) <= 1 + 1e-12


OX, HARE = "In parts.toml, [gearmotors.ox], ", "In parts.toml, [gearmotors.hare], "
FAULTS = {
    "more torque than the speed allows": (
        '"6.6 N·m"',
        '"12 N·m"',
        OX + "output_stall: efficiency of the gears, from torque and speed, is 1.26, but it must be from 0.25 to 1.03; "
        "that is more torque than the free speed allows: is the torque the motor's own? Read the label again.",
    ),
    "hardly any torque": (
        '"6.6 N·m"',
        '"0.66 N·m"',
        OX
        + "output_stall: efficiency of the gears, from torque and speed, is 0.0695, but it must be from 0.25 to 1.03;"
        " is the speed the motor's own, or the torque a rated one? Read the label again.",
    ),
    "no stall torque": (
        'output_stall = "6.6 N·m"\n',
        "",
        OX
        + "output_stall: it lacks output_stall, but it must have either output_speed, output_stall, stall_current as "
        "the label prints them, or torques, speeds, currents at two loads; give one of the two sets whole.",
    ),
    "both ways": (
        'output_stall = "6.6 N·m"\n',
        'output_stall = "6.6 N·m"\ntorques = ["1 N·m", "2 N·m"]\n',
        OX + "output_speed: it has output_speed, output_stall, stall_current, torques, but it must have either "
        "output_speed, output_stall, stall_current as the label prints them, or torques, speeds, currents at two loads;"
        " give one of the two sets whole.",
    ),
    "half stalled": (
        'free_current = "0.35 A"',
        'free_current = "3.5 A"',
        OX + "stall_current is not even twice free_current; look at the label again.",
    ),
    "counts at no shaft": (
        '\ncounts_at = "motor"',
        "",
        HARE + 'counts_at is not there; add counts_at = "motor" or "output": the shaft that counts_per_turn is of.',
    ),
    "counts at the motor without a ratio": (
        "ratio = 19\n",
        "",
        HARE
        + 'counts_at is "motor", but no ratio says how often that shaft turns; add ratio, or count one turn of the '
        'output shaft by hand and write counts_at = "output".',
    ),
    "a part of a count": (
        "counts_per_turn = 12",
        "counts_per_turn = 227.9",
        HARE + "counts_per_turn is 227.9, but one turn of a motor's own shaft has a whole number of counts; this looks "
        "like one turn of an output shaft: divide by the ratio, or round where the label did.",
    ),
    "counts of the motor at the output": (
        'counts_at = "motor"',
        'counts_at = "output"',
        HARE + "counts_per_turn is 12 at the output shaft, which makes 0.63 in one turn of the motor, but it must be 1 "
        'at least; are they counted at the motor? Then write counts_at = "motor".',
    ),
    "inertia without a ratio": (
        'stall_current = "6.4 A"\n',
        'stall_current = "6.4 A"\nrotor_inertia = "7.5e-6 kg·m2"\n',
        OX + "rotor_inertia is of the rotor itself, but no ratio says how the output shaft feels it; add ratio.",
    ),
    "name of a gearbox": (
        "gearmotors.hare",
        "gearmotors.turn_25",
        'In parts.toml, [gearmotors.turn_25], name "turn_25" is that of [gearboxes.turn_25] too; change one.',
    ),
    "label of a motor": (
        '"hare gearmotor"',
        '"stout motor"',
        HARE + 'label "stout motor" is that of [motors.stout] too; change one.',
    ),
    "unknown key": (
        "ratio = 19",
        "ratios = 19",
        'In parts.toml, [gearmotors.hare] has a key "ratios" that the course does not know; did you mean "ratio"?',
    ),
}


@pytest.mark.parametrize("old, new, sentence", FAULTS.values(), ids=FAULTS)
def test_each_fault_has_its_sentence(tmp_path, old, new, sentence):
    assert LABELS.count(old) == 1
    with pytest.raises(KitError) as caught:
        gearmotor_kit(tmp_path, labels=LABELS.replace(old, new))
    assert str(caught.value) == sentence


def test_readings_of_a_gearmotor_go_to_the_lines_of_its_label(tmp_path):
    folder = write(tmp_path / "kit")
    kit = read_kit(folder)
    row = kit.table("motors").row("hare")
    times = np.arange(30.0, 3000.0, 60.0)
    part = Motor(row["resistance"], row["torque_constant"], 0.0, 14.0, 0.0, 30.0, 9.0, 80.0, row["copper_coefficient"])
    rises = [temperature_rise(part, 1.0, t) for t in times]
    sheet = {"time [s]": list(times), "rise [K]": [round(float(rise), 3) for rise in rises]}
    done = correct("warming", sheet, "hare", kit, current="1 A")
    assert set(done.numbers()) == {
        ("gearmotors", "hare", "thermal_resistance"),
        ("gearmotors", "hare", "heat_capacity"),
    }
    done.save(folder)
    again = read_kit(folder).table("motors")
    assert again.row("hare")["thermal_resistance"] == pytest.approx(9.0, rel=0.05)
    assert again.row("hare")["heat_capacity"] == pytest.approx(30.0, rel=0.1)
    assert not {"thermal_resistance", "heat_capacity"} & set(again.assumed["hare"])


def test_readings_of_what_a_label_prints_are_refused_with_the_way_out(kit):
    sheet = {
        "voltage [V]": [14, 14, 14, 14, 14],
        "speed [rad/s]": [610, 612, 500, 400, 300],
        "current [A]": [0.3, 0.31, 1.5, 2.6, 3.7],
        "load": ["free", "free", "loaded", "loaded", "loaded"],
    }
    with pytest.raises(ValueError) as caught:
        correct("motor", sheet, "hare", kit)
    assert str(caught.value) == (
        "free_speed of hare follows from its label, so there is no line to correct; write what was measured into "
        "[gearmotors.hare], as torques, speeds and currents at two loads."
    )

"""Gearmotors: labels made from motors with gears and read back, one read by hand, points, and what is refused."""

import math

import numpy as np
import pytest
from scipy import constants

from mechbench.kits import kit
from mechbench.physics import drive, gearmotor, motor
from mechbench.physics.gearing import efficiency_driven
from tests.published import RECOMPUTED, check

RPM = 2 * math.pi / constants.minute
KIT = kit()


def own_motor(name):
    row = KIT.table("motors").row(name)
    return motor.Motor(row["resistance"], row["torque_constant"], row["free_current"], row["voltage"])


def train_of(ratio):
    """Efficiency of stages of 0.9, each of 4 : 1 to 5 : 1."""
    return 0.9 ** max(1, round(math.log(ratio) / math.log(4.5)))


def shown(part, ratio, eta):
    """What a label would print: the motor running free, and the whole train held fast."""
    line = drive.line(part, ratio, eta, efficiency_driven(eta))
    return {
        "voltage": part.voltage,
        "output_speed": motor.free_speed(part, part.voltage) / ratio,
        "output_stall": drive.stall_torque(line, part.voltage),
        "stall_current": motor.stall_current(part, part.voltage),
        "free_current": part.free_current,
    }


def rounded(label, digits=3):
    return {key: float(f"{float(value):.{digits}g}") for key, value in label.items()}


@pytest.mark.parametrize("ratio", [20, 71, 248])
@pytest.mark.parametrize("name", KIT.table("motors").names)
def test_a_label_made_from_a_motor_and_gears_is_read_back(name, ratio):
    part, eta = own_motor(name), train_of(ratio)
    found = gearmotor.from_label(**shown(part, ratio, eta), ratio=ratio)
    assert gearmotor.motor_of(found).torque_constant == pytest.approx(part.torque_constant, rel=1e-3)
    assert found.resistance == pytest.approx(part.resistance, rel=1e-3)
    assert found.efficiency == pytest.approx(eta, abs=0.002)


@pytest.mark.parametrize("ratio", [20, 71, 248])
def test_a_label_rounded_to_three_digits_is_read_back_to_one_per_cent(ratio):
    part, eta = own_motor(KIT.table("motors").usual), train_of(ratio)
    found = gearmotor.from_label(**rounded(shown(part, ratio, eta)), ratio=ratio)
    assert gearmotor.motor_of(found).torque_constant == pytest.approx(part.torque_constant, rel=0.01)
    assert found.efficiency == pytest.approx(eta, rel=0.01)


def test_without_a_ratio_the_output_shaft_feels_the_same_motor():
    part, eta = own_motor(KIT.table("motors").usual), 0.7
    label = shown(part, 71, eta)
    told, untold = (gearmotor.from_label(**label, ratio=n) for n in (71.0, 1.0))
    for volts, speed in ((12.0, 0.0), (9.0, 3.0), (12.0, 8.0)):
        felt = [
            drive.torque(drive.line(gearmotor.motor_of(one), one.ratio, one.efficiency, 0.5), volts, speed)
            for one in (told, untold)
        ]
        assert felt[0] == pytest.approx(felt[1], rel=1e-12) and felt[0] != 0


def test_a_label_by_hand():
    # R = 16 / 6.4; k_f = (16 - 0.35 * 2.5) / 9.6342; k_s = 6.6 / 6.05; 1.09091 / 1.56993
    slow = gearmotor.from_label(16.0, 92 * RPM, 6.6, 6.4, 0.35)
    known = "four figures of a label", RECOMPUTED
    check("gearmotor", "resistance [ohm]", slow.resistance, 2.5, 1e-9, *known)
    check("gearmotor", "constant at the output shaft [N·m/A]", slow.torque_constant, 1.56993, 1e-5, *known)
    check("gearmotor", "efficiency of its gears", slow.efficiency, 0.695, 1e-3, *known)


def test_a_free_current_that_is_not_printed_is_four_per_cent_of_stall():
    assert gearmotor.from_label(12.0, 10.0, 2.0, 5.0).free_current == pytest.approx(0.2)


def test_two_points_anywhere_on_the_lines_make_the_same_gearmotor():
    whole = gearmotor.from_label(16.0, 92 * RPM, 6.6, 6.4, 0.35, ratio=30.0)
    torque = np.array([1.0, 4.0])
    # From the label alone: straight lines between (0; 92 rpm; 0.35 A) and (6.6 N·m; 0; 6.4 A).
    amps, speed = 0.35 + torque / 6.6 * 6.05, 92 * RPM * (1 - torque / 6.6)
    for order in ([0, 1], [1, 0]):
        found = gearmotor.from_points(16.0, torque[order], speed[order], amps[order], 30.0)
        for key in ("resistance", "torque_constant", "free_current", "efficiency", "ratio"):
            assert getattr(found, key) == pytest.approx(getattr(whole, key), rel=1e-9), key


def test_columns_of_labels_are_read_at_once():
    one = gearmotor.from_label(12.0, np.array([10.0, 12.0]), np.array([2.0, 1.8]), 5.0, 0.2)
    assert one.efficiency.shape == (2,) and one.efficiency[1] == pytest.approx(
        gearmotor.from_label(12.0, 12.0, 1.8, 5.0, 0.2).efficiency
    )


def test_up_to_three_per_cent_above_one_is_rounding():
    just = 12.0 * (5.0 - 0.2) / 5.0 / 10.0 * 4.8  # N·m: the torque at which nothing is lost
    assert gearmotor.from_label(12.0, 10.0, just * 1.029, 5.0, 0.2).efficiency == 1.0
    assert gearmotor.from_label(12.0, 10.0, just * 0.99, 5.0, 0.2).efficiency == pytest.approx(0.99)


@pytest.mark.parametrize(
    "given, says",
    [
        (dict(output_stall=7.0), "is 1.27, but it must be from 0.25 to 1.03; that is more torque than the free speed"),
        (dict(output_stall=0.1), "from 0.25 to 1.03; is the speed the motor's own"),
        (dict(free_current=5.0), "stall_current - free_current is 0, but it must be above 0"),
        (dict(free_current=-0.1), "free_current is -0.1, but it must be 0 or more"),
        (dict(output_speed=0.0), "output_speed is 0, but it must be above 0"),
        (dict(output_stall=math.nan), "output_stall is nan, but it must be finite"),
        (dict(ratio=0.5), "ratio is 0.5, but it must be at least 1"),
        (dict(voltage=0.0), "voltage is 0, but it must be above 0"),
    ],
)
def test_what_no_label_may_say(given, says):
    label = {"voltage": 12.0, "output_speed": 10.0, "output_stall": 2.0, "stall_current": 5.0, "free_current": 0.2}
    with pytest.raises(ValueError, match=r"^[^;]+; .+\.$") as caught:
        gearmotor.from_label(**{**label, **given})
    assert says in str(caught.value)


@pytest.mark.parametrize(
    "points, says",
    [
        (([1.0, 1.1], [8.0, 4.0], [1.0, 4.0]), "torque is 1 and 1.1 at the two loads"),
        (([1.0, 4.0], [4.0, 8.0], [1.0, 4.0]), "speed is 8 and 4 at the two loads, but from the lighter"),
        (([1.0, 4.0], [8.0, 4.0], [4.0, 1.0]), "current is 4 and 1 at the two loads"),
        (([1.0, 4.0, 5.0], [8.0, 4.0, 2.0], [1.0, 4.0, 5.0]), "torque has 3 values, but two loads have 2"),
        (([3.0, 4.0], [8.0, 4.0], [0.1, 4.0]), "free_current is -11.6, but it must be 0 or more"),
        (([0.0, 0.0], [8.0, 4.0], [0.1, 4.0]), "torque is 0 and 0 at the two loads"),
    ],
)
def test_points_that_make_no_gearmotor(points, says):
    with pytest.raises(ValueError, match=r"^[^;]+; .+\.$") as caught:
        gearmotor.from_points(12.0, *points)
    assert says in str(caught.value)


def test_gears_that_lose_much_are_not_called_self_locking():
    # Three stages of 0.9: each keeps 2 - 1 / 0.9 when the load drives.
    assert gearmotor.efficiency_driven(0.9**3) == pytest.approx((2 - 1 / 0.9) ** 3, rel=1e-12)
    etas = np.linspace(gearmotor.LEAST_EFFICIENCY, 1.0, 200)
    driven = gearmotor.efficiency_driven(etas)
    assert np.all(driven > 0) and np.all(np.diff(driven) > 0) and driven[-1] == 1.0
    several = etas <= 0.9
    assert np.all(driven <= etas) and np.all(driven[several] >= efficiency_driven(etas[several]) - 1e-12)

"""A drive at its output shaft against one motor and one gear after the other: Kirchhoff's law, and the power through
the train.
"""

from types import SimpleNamespace

import numpy as np
import pytest
from scipy.optimize import brentq

from mechbench.physics import drive
from tests.published import RECOMPUTED, check

MOTOR = SimpleNamespace(resistance=1.25, torque_constant=0.0175, free_current=0.25, rotor_inertia=7.5e-6)
RATIO, COUNT, FORWARD, BACKWARD, LIMIT = 64.0, 3, 0.729, 0.628, 4.0
LINE = drive.line(MOTOR, RATIO, FORWARD, BACKWARD, COUNT)
LIMITED = drive.line(MOTOR, RATIO, FORWARD, BACKWARD, COUNT, LIMIT)
LOCKED = drive.line(MOTOR, RATIO, FORWARD, 0.0)
SOURCE = "one motor by Kirchhoff's law, the train by the power that goes in and comes out"


def one_motor(volts, speed, limit=np.inf):
    """Current of one motor whose gears turn at speed: what is left of the voltage after the back-EMF drives it."""
    left_over = lambda amps: volts - MOTOR.resistance * amps - MOTOR.torque_constant * RATIO * speed
    return min(brentq(left_over, -100, 100, xtol=1e-13), limit)


def power_out(amps, speed):
    """Power behind the train of all motors at a current each: less on its way out, and more asked on its way in."""
    into_train = COUNT * MOTOR.torque_constant * (amps - MOTOR.free_current) * RATIO * speed
    return into_train * FORWARD if into_train >= 0 else into_train / BACKWARD


@pytest.mark.parametrize("speed", [0.5, 4.0, 9.0, 10.3, 12.0])
@pytest.mark.parametrize("line, limit", [(LINE, np.inf), (LIMITED, LIMIT)])
def test_torque_is_the_power_of_all_motors_behind_the_train(line, limit, speed):
    expected = power_out(one_motor(12.0, speed, limit), speed) / speed
    name = f"torque of three motors, at most {limit} A each, at {speed} rad/s [N·m]"
    check("drive", name, drive.torque(line, 12.0, speed), expected, 1e-12, SOURCE, RECOMPUTED)


def test_torque_at_standstill():
    torque = COUNT * 0.0175 * (12.0 / 1.25 - 0.25) * RATIO * FORWARD
    held = COUNT * 0.0175 * (LIMIT - 0.25) * RATIO * FORWARD
    check("drive", "torque at standstill [N·m]", drive.stall_torque(LINE, 12.0), torque, 1e-12, SOURCE, RECOMPUTED)
    check(
        "drive",
        "torque at standstill, limited [N·m]",
        drive.stall_torque(LIMITED, 12.0),
        held,
        1e-12,
        SOURCE,
        RECOMPUTED,
    )


@pytest.mark.parametrize("torque", [0.0, 3.0, 8.0])
def test_speed_and_current_under_a_torque_agree_with_the_motors(torque):
    """The speed at which the motors' power behind the train is the load's."""
    speed = brentq(lambda w: power_out(one_motor(12.0, w), w) - torque * w, 1.0, 10.5, xtol=1e-13)
    amps = COUNT * one_motor(12.0, speed)
    check(
        "drive", f"speed under {torque} N·m [rad/s]", drive.speed(LINE, 12.0, torque), speed, 1e-10, SOURCE, RECOMPUTED
    )
    check(
        "drive",
        f"current under {torque} N·m [A]",
        drive.current_for_torque(LINE, torque),
        amps,
        1e-10,
        SOURCE,
        RECOMPUTED,
    )


def test_a_line_that_cannot_give_the_torque_stands():
    most = drive.stall_torque(LINE, 12.0)
    assert drive.speed(LINE, 12.0, 1.001 * most) == 0.0 < drive.speed(LINE, 12.0, 0.999 * most)
    held = drive.stall_torque(LIMITED, 12.0)
    assert drive.speed(LIMITED, 12.0, 1.001 * held) == 0.0
    assert drive.speed(LIMITED, 12.0, 0.999 * held) == pytest.approx(drive.speed(LINE, 12.0, 0.999 * held))


def test_a_load_that_drives_is_held_by_current_by_a_short_or_by_friction():
    """Each motor feels the load's share behind the train; its own friction carries a part of that."""
    load = 12.0
    at_motor = load * BACKWARD / RATIO / COUNT
    amps = brentq(lambda i: MOTOR.torque_constant * (i + MOTOR.free_current) - at_motor, 0, 100, xtol=1e-13)
    creep = brentq(lambda w: MOTOR.torque_constant * RATIO * w - MOTOR.resistance * amps, 0, 100, xtol=1e-13)
    friction = COUNT * MOTOR.torque_constant * MOTOR.free_current
    check(
        "drive", "current that holds a load [A]", drive.driven_hold(LINE, load), COUNT * amps, 1e-10, SOURCE, RECOMPUTED
    )
    check("drive", "creep of shorted motors [rad/s]", drive.shorted_creep(LINE, load), creep, 1e-10, SOURCE, RECOMPUTED)
    most = friction * RATIO / BACKWARD
    check("drive", "load that friction holds [N·m]", drive.unpowered_hold(LINE), most, 1e-12, SOURCE, RECOMPUTED)
    assert drive.driven_hold(LINE, 0.999 * most) == drive.shorted_creep(LINE, 0.999 * most) == 0.0
    assert drive.driven_hold(LINE, 1.001 * most) > 0 and drive.shorted_creep(LINE, 1.001 * most) > 0


def test_a_train_that_locks_itself_holds_anything():
    assert drive.unpowered_hold(LOCKED) == np.inf and drive.driven_hold(LOCKED, 1000.0) == 0.0
    assert drive.torque(LOCKED, 12.0, 11.0) == -np.inf, "overrun: nothing can turn it faster than its motor"
    assert drive.torque(LOCKED, 12.0, 4.0) == pytest.approx(drive.torque(LINE, 12.0, 4.0) / COUNT)


def test_energy_of_motion_of_the_rotors_is_that_of_the_turning_motors():
    assert 0.5 * LINE.rotor_inertia * 2.0**2 == pytest.approx(COUNT * 0.5 * MOTOR.rotor_inertia * (RATIO * 2.0) ** 2)


@pytest.mark.parametrize(
    "wrong, says",
    [
        (lambda: drive.line(MOTOR, 0.0, 0.7, 0.6), "ratio is 0"),
        (lambda: drive.line(MOTOR, 64.0, 0.7, 0.6, count=0), "count is 0"),
        (lambda: drive.line(MOTOR, 64.0, 1.2, 0.6), "efficiency is 1.2"),
        (lambda: drive.line(MOTOR, 64.0, 0.7, 0.6, current_limit=0.2), "current_limit is 0.2 A"),
        (lambda: drive.Line(1.25, 1.12, 0.25, 0.0, 0.729, 0.0), "rotor_inertia is 0"),
        (lambda: drive.torque(LINE, -1.0, 0.0), "voltage is -1"),
        (lambda: drive.torque(LINE, 12.0, -1.0), "speed is -1"),
        (lambda: drive.speed(LINE, 12.0, -2.0), "torque is -2"),
        (lambda: drive.driven_hold(LINE, -2.0), "load_torque is -2"),
    ],
)
def test_refusals(wrong, says):
    with pytest.raises(ValueError, match=says):
        wrong()


@pytest.mark.parametrize("count", [1, 2])
def test_a_stage_behind_a_drive_is_a_drive_with_a_longer_train(count):
    """Two trains in a row: ratios and efficiencies multiply, the same motors stand before both (Newton)."""
    one = drive.line(MOTOR, RATIO, FORWARD, BACKWARD, 1, LIMIT)
    whole = drive.line(MOTOR, RATIO * 2.5, FORWARD * 0.9, BACKWARD * 0.8, count, LIMIT)
    made = drive.behind(one, 2.5, 0.9, 0.8, count)
    for name in ("resistance", "torque_constant", "free_current", "rotor_inertia", "efficiency", "efficiency_driven"):
        assert getattr(made, name) == pytest.approx(getattr(whole, name)), name
    assert made.current_limit == pytest.approx(count * LIMIT)


@pytest.mark.parametrize("values, told", [((0.0, 0.9, 0.9, 1), "ratio"), ((2.0, 0.9, 0.9, 0), "count")])
def test_a_stage_of_no_ratio_or_no_drive_is_refused(values, told):
    with pytest.raises(ValueError, match=told):
        drive.behind(LINE, *values)

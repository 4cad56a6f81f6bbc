"""A servo as a drive: its Line gives its nameplate back, and starts in its start time."""

import numpy as np
import pytest

from mechbench.physics import drive, motion, servo_drive

STRONG = dict(voltage=6.0, stall_torque=2.45, stall_current=3.6, free_speed=4.3633)


def test_nameplate_is_given_back():
    line = servo_drive.servo_line(**STRONG)
    assert drive.stall_torque(line, 6.0) == pytest.approx(2.45)
    assert drive.speed(line, 6.0, 0.0) == pytest.approx(4.3633)
    assert drive.current_for_torque(line, 2.45) == pytest.approx(3.6)
    assert drive.speed(line, 6.0, 1.225) == pytest.approx(4.3633 / 2), "half the torque at half the speed"


def test_it_starts_in_its_start_time():
    """Free speed is approached as 1 - exp(-t / start_time): after a long way it is behind by that time."""
    line, way = servo_drive.servo_line(**STRONG, start_time=0.03), 2.0
    done = motion.move(line, motion.Load(np.linspace(0, way, 200), 0.0, 0.0, 1e-9), motion.Bus(6.0, 0.0, 5.0), end="pass")
    assert done.time[0, 0] == pytest.approx(way / 4.3633 + 0.03, rel=2e-3)


def test_arrays_equal_scalars():
    many = servo_drive.servo_line(6.0, np.array([2.45, 0.88]), np.array([3.6, 3.1]), np.array([4.36, 10.47]))
    one = servo_drive.servo_line(6.0, 0.88, 3.1, 10.47)
    for name in ("resistance", "torque_constant", "rotor_inertia", "efficiency"):
        assert getattr(many, name)[1] == pytest.approx(getattr(one, name))


@pytest.mark.parametrize("name", ["voltage", "stall_torque", "stall_current", "free_speed", "start_time"])
def test_bad_input_is_named(name):
    with pytest.raises(ValueError, match=f"^{name} is 0, but it must be above 0; .*\\.$"):
        servo_drive.servo_line(**{**STRONG, name: 0.0})


def test_more_power_out_than_in_is_named():
    with pytest.raises(ValueError, match="^stall_torque is 10 N·m, but it must be at most 4.95 N·m, .*; .*\\.$"):
        servo_drive.servo_line(6.0, 10.0, 3.6, 4.36)

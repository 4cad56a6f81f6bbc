"""Servo: published half-and-half point, a servo that turns step by step, and what all draw together."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from mechbench.physics import drive, motion, motor, servo
from tests.published import READ, check

STRONG = dict(voltage=6.0, stall_torque=2.2, stall_current=3.2, free_speed=4.3633)


@pytest.mark.parametrize(
    "free_rpm, stall, half_rpm, half_torque",
    [(600, 0.325, 300, 0.163), (3750, 0.0722, 1875, 0.0361), (92, 1.6, 46, 0.8)],
)
def test_most_power_at_half_of_both(free_rpm, stall, half_rpm, half_torque):
    source = "MIT, 'Understanding D.C. motor characteristics', page 'motors4'"
    torques = np.linspace(0, stall, 2001)
    power = torques * servo.servo_speed(free_rpm * 2 * np.pi / 60, servo.load_share(stall, torques))
    best = torques[np.argmax(power)]
    check("servo", f"torque of most power, {free_rpm} rpm motor [N·m]", best, half_torque, 4e-3, source, READ)
    check(
        "servo",
        f"speed of most power, {free_rpm} rpm motor [rpm]",
        servo.servo_speed(free_rpm, servo.load_share(stall, best)),
        half_rpm,
        4e-3,
        source,
        READ,
    )


@given(st.floats(0.0, 0.9), st.floats(0.1, 5.0))
def test_line_and_current_are_those_of_an_ideal_motor(share, stall_current):
    """A motor without friction of its own: 6 V, stall current from its resistance."""
    ideal = motor.Motor(resistance=6 / stall_current, torque_constant=1.2, free_current=0.0, voltage=6.0)
    torque = share * motor.stall_torque(ideal, 6.0)
    assert servo.servo_speed(motor.free_speed(ideal, 6.0), share) == pytest.approx(motor.speed(ideal, 6.0, torque))
    assert servo.servo_current(stall_current, share) == pytest.approx(
        motor.current(ideal, 6.0, motor.speed(ideal, 6.0, torque))
    )


@pytest.mark.parametrize("share", [0.0, 0.35, 0.8])
def test_time_of_a_turn_by_integration(share):
    free = np.radians(60) / 0.24
    done = solve_ivp(lambda t, q: [free * (1 - share)], (0, 99), [0.0], events=_at(np.radians(270)), max_step=0.01)
    assert servo.turn_time(free, share, np.radians(270)) == pytest.approx(done.t_events[0][0], rel=1e-6)


def _at(angle):
    def reached(t, q):
        return q[0] - angle

    reached.terminal = True
    return reached


def test_data_sheet_time_is_for_sixty_degrees():
    free = np.radians(60) / 0.24
    assert servo.turn_time(free, 0.0, np.radians(60)) == pytest.approx(0.24)
    assert servo.turn_time(free, 0.0, 2 * np.pi) == pytest.approx(6 * 0.24)


def test_too_heavy_a_load_stalls():
    assert servo.servo_speed(4.0, 1.2) == 0 and servo.turn_time(4.0, 1.0, 1.0) == np.inf
    assert servo.turn_time(4.0, 1.0, 0.0) == 0
    assert servo.servo_current(3.6, 2.0) == servo.servo_current(3.6, 1.0) == 3.6


def test_rail_adds_up_every_servo():
    kinds, counts = np.array([[1.44, 0.7], [3.6, 0.0]]), [2, 3]
    assert servo.rail_current(kinds, counts) == pytest.approx([2 * 1.44 + 3 * 0.7, 7.2])
    assert servo.rail_current([1.44, 0.7], counts) == pytest.approx(4.98)


@pytest.mark.parametrize(
    "name, call",
    [
        ("stall_torque", lambda: servo.load_share(0.0, 1.0)),
        ("torque", lambda: servo.load_share(1.0, -1.0)),
        ("free_speed", lambda: servo.servo_speed(0.0, 0.5)),
        ("share", lambda: servo.servo_speed(1.0, -0.5)),
        ("free_speed", lambda: servo.turn_time(-1.0, 0.5, 1.0)),
        ("share", lambda: servo.turn_time(1.0, np.nan, 1.0)),
        ("angle", lambda: servo.turn_time(1.0, 0.5, -1.0)),
        ("stall_current", lambda: servo.servo_current(0.0, 0.5)),
        ("share", lambda: servo.servo_current(1.0, -0.1)),
        ("currents", lambda: servo.rail_current([-1.0], [1])),
        ("counts", lambda: servo.rail_current([1.0], [1.5])),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but .*; .*\.$"):
        call()


# --- as a drive -----------------------------------------------------------------------------------------------------


def test_nameplate_is_given_back():
    line = servo.servo_line(**STRONG)
    assert drive.stall_torque(line, 6.0) == pytest.approx(2.2)
    assert drive.speed(line, 6.0, 0.0) == pytest.approx(4.3633)
    assert drive.current_for_torque(line, 2.2) == pytest.approx(3.2)
    assert drive.speed(line, 6.0, 1.1) == pytest.approx(4.3633 / 2), "half the torque at half the speed"


def test_it_starts_in_its_start_time():
    """Free speed is approached as 1 - exp(-t / start_time): after a long way it is behind by that time."""
    line, way = servo.servo_line(**STRONG, start_time=0.03), 2.0
    done = motion.move(
        line, motion.Load(np.linspace(0, way, 200), 0.0, 0.0, 1e-9), motion.Bus(6.0, 0.0, 5.0), end="pass"
    )
    assert done.time[0, 0] == pytest.approx(way / 4.3633 + 0.03, rel=2e-3)


def test_lines_of_arrays_equal_those_of_scalars():
    many = servo.servo_line(6.0, np.array([2.2, 0.8]), np.array([3.2, 2.8]), np.array([4.36, 10.0]))
    one = servo.servo_line(6.0, 0.8, 2.8, 10.0)
    for name in ("resistance", "torque_constant", "rotor_inertia", "efficiency"):
        assert getattr(many, name)[1] == pytest.approx(getattr(one, name))


@pytest.mark.parametrize("name", ["voltage", "stall_torque", "stall_current", "free_speed", "start_time"])
def test_a_bad_nameplate_is_named(name):
    with pytest.raises(ValueError, match=f"^{name} is 0, but it must be above 0; .*\\.$"):
        servo.servo_line(**{**STRONG, name: 0.0})


def test_more_power_out_than_in_is_named():
    with pytest.raises(ValueError, match="^stall_torque is 10 N·m, but it must be at most 4.95 N·m, .*; .*\\.$"):
        servo.servo_line(6.0, 10.0, 3.6, 4.36)


def test_the_share_of_a_travel_by_teeth_counted():
    """A wheel of 20 teeth drives one of 50 (common practice, no source): while that turns by 60 deg, 50 / 6 teeth
    pass, and the small one turns by 150 deg. Either way round, row by row; above 1 the servo's end comes first.
    """
    passed = 50 * 60 / 360
    turned = 360 * passed / 20
    for sweep in (60.0, -60.0):
        found = servo.travel_share(np.radians([200.0, 120.0, np.inf]), np.radians(sweep), 50 / 20)
        assert found[:2] == pytest.approx([turned / 200, turned / 120]) and found[2] == np.inf
    assert servo.travel_share(np.radians(180.0), np.radians(90.0)) == pytest.approx(0.5)


@pytest.mark.parametrize(
    "travel, ratio, told", [(0.0, 1.0, "travel is 0"), (-1.0, 1.0, "travel is -1"), (1.0, 0.0, "ratio")]
)
def test_a_travel_or_a_ratio_of_nothing_is_refused(travel, ratio, told):
    with pytest.raises(ValueError, match=told):
        servo.travel_share([3.0, travel], 1.0, ratio)

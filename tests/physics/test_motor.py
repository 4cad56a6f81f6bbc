"""The motor: published worked examples, then laws that hold for every motor, then a numerical reference."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from mechbench.physics import motor as m
from tests.published import COMPANION, READ, RECOMPUTED, check

RPM = 2 * math.pi / 60
OPENSTAX = "OpenStax University Physics, volume 2, Example 13.10"
FITZGERALD = "Fitzgerald, Kingsley & Umans, Electric Machinery, 6th ed. (2003), Example"
DUBEY = "G. K. Dubey, Fundamentals of Electrical Drives, 2nd ed. (2004), Example 4.1 p. 47"
SMALL = m.Motor(
    resistance=1.25,
    torque_constant=0.0175,
    free_current=0.25,
    voltage=12.0,
    rotor_inertia=7.5e-6,
    heat_capacity=20.0,
    thermal_resistance=6.0,
    max_rise=100.0,
    copper_coefficient=0.0039,
)

motors = st.builds(
    m.Motor,
    resistance=st.floats(0.05, 20),
    torque_constant=st.floats(1e-3, 1),
    free_current=st.floats(0, 1),
    voltage=st.floats(3, 60),
    heat_capacity=st.floats(1, 500),
    thermal_resistance=st.floats(0.2, 50),
    max_rise=st.floats(20, 150),
    copper_coefficient=st.sampled_from([0.0, 1e-9, 0.0039]),
)
voltages = st.floats(-60, 60)
speeds = st.floats(-2000, 2000)


# --- published values -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "current, back_emf, power, loss, source_power",
    [(10.0, 100.0, 1000.0, 200.0, 1200.0), (20.0, 80.0, 1600.0, 800.0, 2400.0)],
)
def test_back_emf_of_openstax(current, back_emf, power, loss, source_power):
    frictionless = m.Motor(2.0, 1.0, 0.0, 120.0)  # k = 1, so that the speed is the back-EMF
    speed = brentq(lambda w: m.current(frictionless, 120.0, w) - current, 0.0, 120.0)
    at = m.point(frictionless, 120.0, speed)
    check("motor", f"back-EMF at {current:g} A [V]", at.speed, back_emf, 1e-9, OPENSTAX, READ)
    check("motor", f"mechanical power at {current:g} A [W]", at.power_out, power, 1e-9, OPENSTAX, READ)
    check("motor", f"copper loss at {current:g} A [W]", at.heat, loss, 1e-9, OPENSTAX, READ)
    check("motor", f"source power at {current:g} A [W]", at.power_in, source_power, 1e-9, OPENSTAX, READ)


def test_no_load_test_of_fitzgerald():
    source = f"{FITZGERALD} 7.9 p. 389"
    free = 2100 * RPM
    constant = m.constant_from_free_run(50.0, free, 1.25, 1.03)
    loss = m.idle_loss(m.Motor(1.03, constant, 1.25, 50.0), free)
    check(
        "motor",
        "torque constant from a run without load, to 2 digits [V·s/rad]",
        round(constant, 2),
        0.22,
        1e-9,
        source,
        COMPANION,
    )
    check("motor", "loss without load, to 2 digits [W]", round(loss), 61.0, 1e-9, source, COMPANION)
    # The example goes on with the rounded constant and takes the loss found at 2100 r/min as the same power at
    # 1700 r/min, where our motor keeps the same friction torque: so its loss is taken off the converted power here.
    rounded = m.Motor(1.03, 0.22, 0.0, 50.0)
    check(
        "motor",
        "shaft power at 48 V and 1700 r/min, loss as without load [W]",
        m.power_out(rounded, 48.0, 1700 * RPM) - loss,
        275.05,
        1e-4,
        source,
        COMPANION,
    )


@pytest.mark.parametrize("voltage, expected", [(40.0, 169.2), (50.0, 217.5)])
def test_constant_power_load_of_fitzgerald(voltage, expected):
    frictionless = m.Motor(1.03, 0.22, 0.0, 50.0)
    top = m.free_speed(frictionless, voltage)
    speed = brentq(lambda w: m.power_out(frictionless, voltage, w) - 100.0, top / 2, top)
    check(
        "motor",
        f"speed at a load of 100 W and {voltage:g} V [rad/s]",
        speed,
        expected,
        4e-4,
        f"{FITZGERALD} 11.5 p. 573",
        COMPANION,
    )


@pytest.mark.parametrize(
    "free_rpm, stall, peak_rpm, peak_torque, peak_power",
    [(600, 0.325, 300, 0.163, 5.105), (3750, 0.0722, 1875, 0.0361, 7.088), (92, 1.6, 46, 0.8, 3.854)],
)
def test_most_power_of_three_gearmotors(free_rpm, stall, peak_rpm, peak_torque, peak_power):
    source = "Massachusetts Institute of Technology, Understanding D.C. motor characteristics, page motors4"
    voltage, constant = 12.0, 12.0 / (free_rpm * RPM)  # any voltage gives the same line of torque and speed
    gearmotor = m.from_nameplate(voltage, free_rpm * RPM, 0.0, stall, stall / constant)
    speeds = np.linspace(0, free_rpm * RPM, 20001)
    best = speeds[np.argmax(m.power_out(gearmotor, voltage, speeds))]
    check("motor", f"speed of most power, {free_rpm} r/min free [r/min]", best / RPM, peak_rpm, 4e-3, source, READ)
    check(
        "motor",
        f"torque of most power, {free_rpm} r/min free [N·m]",
        m.torque(gearmotor, voltage, best),
        peak_torque,
        4e-3,
        source,
        READ,
    )
    check(
        "motor",
        f"most power, {free_rpm} r/min free [W]",
        m.peak_power(gearmotor, voltage),
        peak_power,
        2e-4,
        source,
        RECOMPUTED,
    )


def test_best_efficiency():
    source = "standard result for the permanent-magnet motor, (1 - sqrt(I0/Is))^2 at I = sqrt(I0 Is)"
    tested = m.Motor(1.03, 0.22152, 1.25, 50.0)
    check("motor", "stall current [A]", m.stall_current(tested, 50.0), 48.544, 1e-4, source, RECOMPUTED)
    check("motor", "current of best efficiency [A]", m.best_current(tested, 50.0), 7.79, 1e-4, source, RECOMPUTED)
    check("motor", "best efficiency [-]", m.best_efficiency(tested, 50.0), 0.70481, 1e-4, source, RECOMPUTED)
    searched = m.efficiency(tested, 50.0, np.linspace(1.0, 220.0, 200001))
    np.testing.assert_allclose(searched.max(), m.best_efficiency(tested, 50.0), rtol=1e-8)
    np.testing.assert_allclose(m.efficiency(tested, 50.0, m.best_speed(tested, 50.0)), searched.max(), rtol=1e-8)


def test_duty_cycle_of_dubey():
    # Time constant 60 s; 10 s of load and 20 s of rest; rest alone would settle at 15 K, and each rest ends at 40 K.
    clutch = m.Motor(1.0, 0.02, 0.0, 12.0, heat_capacity=10.0, thermal_resistance=6.0, copper_coefficient=0.0)
    rest = math.sqrt(15.0 / 6.0)
    load = brentq(lambda i: m.duty_rise(clutch, i, 10.0, 20.0, rest)[0] - 40.0, rest, 20.0)
    check(
        "motor",
        "highest rise of the duty cycle [K]",
        m.duty_rise(clutch, load, 10.0, 20.0, rest)[1],
        49.9,
        1e-3,
        DUBEY,
        COMPANION,
    )
    check("motor", "rise when the load stays on [K]", m.steady_rise(clutch, load), 104.4, 1e-3, DUBEY, COMPANION)
    history = m.rise_over(clutch, [0.0, 10.0, 30.0], [load, rest, rest], start_rise=40.0)
    np.testing.assert_allclose(history, [40.0, 49.9, 40.0], rtol=1e-3)


def test_time_constant_from_two_readings():
    # Rise 20 K after 30 min and 30 K after 60 min: a lump that settles at 40 K with 43.28 min.
    casing = m.Motor(1.0, 0.02, 0.0, 12.0, heat_capacity=43.28 * 60 / 4, thermal_resistance=4.0, copper_coefficient=0.0)
    source = "J. B. Gupta, Elements of Electric Drives, Example 54 p. 149"
    current = math.sqrt(10.0)
    for minutes, rise in ((30, 20.0), (60, 30.0)):
        check(
            "motor",
            f"rise after {minutes} min [K]",
            m.temperature_rise(casing, current, minutes * 60.0),
            rise,
            1e-4,
            source,
            COMPANION,
        )


# --- laws -----------------------------------------------------------------------------------------------------------


@given(motors, voltages, speeds)
def test_power_balances(motor, voltage, speed):
    lost = m.heat(motor, m.current(motor, voltage, speed)) + m.idle_loss(motor, speed)
    taken = m.power_in(motor, voltage, speed)
    scale = abs(taken) + lost + abs(voltage * motor.torque_constant * speed / motor.resistance)
    assert abs(taken - m.power_out(motor, voltage, speed) - lost) <= 1e-9 * (scale + 1e-12)


@given(motors, voltages, speeds)
def test_torque_and_speed_are_each_other_turned_round(motor, voltage, speed):
    again = m.speed(motor, voltage, m.torque(motor, voltage, speed))
    friction = motor.resistance * motor.free_current / motor.torque_constant
    scale = abs(speed) + (abs(voltage) + friction) / motor.torque_constant
    assert abs(again - speed) <= 1e-9 * scale


@given(motors, voltages, speeds)
def test_both_ways_round_alike(motor, voltage, speed):
    assert m.torque(motor, -voltage, -speed) == -m.torque(motor, voltage, speed)
    assert m.efficiency(motor, -voltage, -speed) == m.efficiency(motor, voltage, speed)


@given(motors, voltages, speeds)
def test_efficiency_is_a_fraction(motor, voltage, speed):
    reached = m.efficiency(motor, voltage, speed)
    assert 0 <= reached <= 1
    if voltage > 0:
        assert reached <= m.best_efficiency(motor, voltage) * (1 + 1e-9) + 1e-12


def test_a_voltage_too_small_for_any_current_has_efficiency_0():
    frictionless = m.Motor(2.0, 1.0, 0.0, 3.0)
    assert m.best_efficiency(frictionless, 5e-324) == 0.0
    np.testing.assert_array_equal(m.best_efficiency(frictionless, np.array([5e-324, 12.0])), [0.0, 1.0])


def test_scaling_with_voltage():
    frictionless = m.Motor(1.25, 0.0175, 0.0, 12.0)
    for quantity, power in ((m.free_speed, 1), (m.stall_torque, 1), (m.stall_current, 1), (m.peak_power, 2)):
        np.testing.assert_allclose(quantity(frictionless, 6.0), quantity(frictionless, 12.0) / 2**power)


def test_standstill_and_what_friction_holds():
    starting = SMALL.resistance * SMALL.free_current  # V: all torque goes into the motor's own friction
    assert m.torque(SMALL, 0.9 * starting, 0.0) == 0 and m.free_speed(SMALL, 0.9 * starting) == 0
    assert m.best_efficiency(SMALL, 0.9 * starting) == 0 and m.best_speed(SMALL, 0.9 * starting) == 0
    assert m.free_speed(SMALL, 1.1 * starting) > 0
    stall = m.stall_torque(SMALL, 12.0)
    friction = SMALL.torque_constant * SMALL.free_current
    assert m.speed(SMALL, 12.0, stall + 0.5 * friction) == 0  # held, neither way
    assert m.speed(SMALL, 12.0, stall + 2.5 * friction) < 0  # driven back by the load
    assert m.torque(SMALL, 0.0, 100.0) < 0 and m.torque(SMALL, 0.0, -100.0) > 0  # a shorted motor brakes


def test_figures_of_a_nameplate_come_back():
    plate = dict(voltage=12.0, free_speed=6380 * RPM, free_current=0.25, stall_torque=0.164, stall_current=9.6)
    motor = m.from_nameplate(**plate)
    half = abs(m.nameplate_mismatch(**plate)) / 2 + 1e-12
    np.testing.assert_allclose(m.stall_torque(motor, 12.0), 0.164, rtol=1.01 * half)
    np.testing.assert_allclose(m.free_speed(motor, 12.0), 6380 * RPM, rtol=1.01 * half)
    np.testing.assert_allclose(m.stall_current(motor, 12.0), 9.6)
    np.testing.assert_allclose(m.current(motor, 12.0, m.free_speed(motor, 12.0)), 0.25)


def test_mismatch_is_zero_for_a_perfect_nameplate():
    plate = (12.0, m.free_speed(SMALL, 12.0), 0.25, m.stall_torque(SMALL, 12.0), m.stall_current(SMALL, 12.0))
    assert abs(m.nameplate_mismatch(*plate)) < 1e-12
    more_torque = plate[:3] + (1.02 * plate[3], plate[4])
    np.testing.assert_allclose(m.nameplate_mismatch(*more_torque), 0.02 / 1.01)


def test_several_on_one_shaft():
    three = m.shared(SMALL, 3)
    speed = np.linspace(-100, 700, 9)
    for quantity in (m.torque, m.current, m.power_in, m.power_out):
        np.testing.assert_allclose(quantity(three, 11.0, speed), 3 * quantity(SMALL, 11.0, speed))
    np.testing.assert_allclose(m.efficiency(three, 11.0, speed), m.efficiency(SMALL, 11.0, speed))
    np.testing.assert_allclose(three.rotor_inertia, 3 * SMALL.rotor_inertia)
    np.testing.assert_allclose(m.time_to_limit(three, 15.0), m.time_to_limit(SMALL, 5.0))
    np.testing.assert_allclose(m.stall_time_to_limit(three, 12.0), m.stall_time_to_limit(SMALL, 12.0))
    assert m.shared(m.Motor(1.25, 0.0175, 0.25, 12.0), 2).heat_capacity is None


def test_columns_equal_plain_numbers():
    resistances, times = np.array([0.62, 1.25, 3.0]), np.array([1.0, 20.0, 400.0])
    column = m.Motor(resistances, 0.0175, 0.25, 12.0, 0.0, np.array([45.0, 20.0, 8.0]), 6.0, 100.0)
    plain = [m.Motor(r, 0.0175, 0.25, 12.0, 0.0, c, 6.0, 100.0) for r, c in zip(resistances, (45.0, 20.0, 8.0))]
    cases = (
        lambda motor: m.torque(motor, 12.0, 300.0),
        lambda motor: m.speed(motor, 12.0, 0.05),
        lambda motor: m.efficiency(motor, 12.0, 300.0),
        lambda motor: m.best_speed(motor, 12.0),
        lambda motor: m.steady_rise(motor, 3.0),
        lambda motor: m.time_to_limit(motor, 6.0),
        lambda motor: m.stall_time_to_limit(motor, 9.0),
        lambda motor: m.duty_rise(motor, 4.0, 2.0, 8.0)[1],
        m.continuous_current,
        lambda motor: m.warmed(motor, 50.0).resistance,
    )
    for case in cases:
        np.testing.assert_array_equal(case(column), [case(one) for one in plain])
        assert np.ndim(case(plain[0])) == 0 and not isinstance(case(plain[0]), np.ndarray)
    grid = m.temperature_rise(m.Motor(resistances[:, None], 0.0175, 0.25, 12.0, 0.0, 20.0, 6.0), 5.0, times)
    assert grid.shape == (3, 3)
    histories = m.rise_over(column, times, [5.0, 2.0, 0.0])
    assert histories.shape == (3, 3)
    np.testing.assert_array_equal(histories[1], m.rise_over(plain[1], times, [5.0, 2.0, 0.0]))
    np.testing.assert_array_equal(m.torque(SMALL, 12.0, [0.0, 300.0]), [m.torque(SMALL, 12.0, w) for w in (0.0, 300.0)])


# --- winding temperature against an adaptive solver -----------------------------------------------------------------


def solved_rise(motor, made, time, start):
    """Rise by an adaptive solver; made(T) is the heat at a rise T."""

    def slope(_, rise):
        return (made(rise[0]) - rise[0] / motor.thermal_resistance) / motor.heat_capacity

    return solve_ivp(slope, (0.0, time), [start], method="DOP853", rtol=1e-11, atol=1e-11).y[0, -1]


@pytest.mark.parametrize("current", [0.0, 2.0, 4.0, 6.0, 9.0])
@pytest.mark.parametrize("start", [0.0, 60.0])
def test_rise_against_solver(current, start):
    def made(rise):
        return current**2 * SMALL.resistance * (1 + SMALL.copper_coefficient * rise)

    np.testing.assert_allclose(
        m.temperature_rise(SMALL, current, 75.0, start), solved_rise(SMALL, made, 75.0, start), rtol=1e-8
    )


@pytest.mark.parametrize("voltage", [7.0, 9.0, 12.0, 24.0])
@pytest.mark.parametrize("copper", [0.0, 1e-10, 0.0039, 0.05])
@pytest.mark.parametrize("start", [0.0, 40.0])
def test_stall_against_solver(voltage, copper, start):
    motor = m.Motor(1.25, 0.0175, 0.25, 12.0, 0.0, 20.0, 6.0, 100.0, copper)
    time = m.stall_time_to_limit(motor, voltage, start)

    def made(rise):
        return voltage**2 / (motor.resistance * (1 + copper * rise))

    if np.isinf(time):
        assert solved_rise(motor, made, 1e5, start) <= 100.0 + 1e-6
    else:
        np.testing.assert_allclose(solved_rise(motor, made, time, start), 100.0, rtol=1e-7)


def test_some_stalls_reach_the_limit_and_some_never():
    motor = m.Motor(1.25, 0.0175, 0.25, 12.0, 0.0, 20.0, 6.0, 100.0, 0.0039)
    settles = math.sqrt(100.0 * (1 + 0.39) * 1.25 / 6.0)  # V: heat at the limit equals what the air takes
    assert np.isinf(m.stall_time_to_limit(motor, 0.999 * settles)) and np.isfinite(
        m.stall_time_to_limit(motor, 1.001 * settles)
    )
    assert m.stall_time_to_limit(motor, 12.0) > m.time_to_limit(motor, m.stall_current(motor, 12.0))


@given(motors, st.floats(0, 200), st.floats(0, 100))
def test_time_to_limit_is_the_time_of_that_rise(motor, current, start):
    time = m.time_to_limit(motor, current, start)
    if start >= motor.max_rise:
        assert time == 0
    elif np.isinf(time):
        assert m.steady_rise(motor, current) <= motor.max_rise * (1 + 1e-9)
    else:
        reached = m.temperature_rise(motor, current, time, start)
        np.testing.assert_allclose(reached, motor.max_rise, rtol=1e-6)


def test_runaway_is_handled_exactly():
    edge = math.sqrt(1 / (SMALL.resistance * SMALL.thermal_resistance * SMALL.copper_coefficient))
    exact = m.Motor(1.0, 0.02, 0.0, 12.0, 0.0, 10.0, 0.5, 100.0, 0.5)  # 2 A: I^2 R a = 1 / R_th without rounding
    assert m.temperature_rise(exact, 2.0, 7.0) == 4.0 / 10.0 * 7.0 and m.time_to_limit(exact, 2.0) == 250.0
    assert np.isinf(m.steady_rise(exact, 2.0)) and np.isinf(m.steady_rise(SMALL, 1.001 * edge))
    assert np.isfinite(m.steady_rise(SMALL, 0.999 * edge))
    rises = m.temperature_rise(SMALL, edge * np.array([1 - 1e-9, 1.0, 1 + 1e-9]), 100.0)
    np.testing.assert_allclose(rises, rises[1], rtol=1e-7)
    assert np.isinf(m.temperature_rise(SMALL, 50.0, 1e9))
    assert m.duty_rise(SMALL, 50.0, 10.0, 1.0) == (np.inf, np.inf)
    assert m.duty_rise(SMALL, 1000.0, 10.0, 1e5) == (np.inf, np.inf)


def test_continuous_current_just_reaches_the_limit():
    current = m.continuous_current(SMALL)
    np.testing.assert_allclose(m.steady_rise(SMALL, current), 100.0)
    assert np.isinf(m.time_to_limit(SMALL, 0.999 * current)) and np.isfinite(m.time_to_limit(SMALL, 1.001 * current))


def test_histories_join():
    time, current = np.array([0.0, 3.0, 3.0, 11.0, 12.5]), np.array([5.0, 1.0, 8.0, -2.0, 0.0])
    whole = m.rise_over(SMALL, time, current, start_rise=10.0)
    first = m.rise_over(SMALL, time[:3], current[:3], start_rise=10.0)
    np.testing.assert_array_equal(whole[:3], first)
    np.testing.assert_array_equal(whole[2:], m.rise_over(SMALL, time[2:], current[2:], start_rise=first[-1]))
    steady = m.rise_over(SMALL, np.linspace(0, 30, 7), np.full(7, 4.0))
    np.testing.assert_allclose(steady[-1], m.temperature_rise(SMALL, 4.0, 30.0), rtol=1e-12)


def test_many_short_cycles_settle_where_duty_rise_says():
    time = np.cumsum(np.tile([2.0, 8.0], 500))
    current = np.tile([0.0, 5.0], 500)
    history = m.rise_over(SMALL, np.concatenate(([0.0], time)), np.concatenate(([5.0], current)))
    np.testing.assert_allclose((history[-1], history[-2]), m.duty_rise(SMALL, 5.0, 2.0, 8.0), rtol=1e-9)


# --- constants from readings ----------------------------------------------------------------------------------------


def test_fit_finds_a_motor_and_its_intervals_hold():
    rng = np.random.default_rng(11)
    voltage = rng.uniform(8.0, 12.0, 12)
    speed = rng.uniform(0.0, 0.9, 12) * voltage / SMALL.torque_constant
    clean = m.current(SMALL, voltage, speed)
    exact = m.fit(voltage, speed, clean, [0.25, 0.25])
    np.testing.assert_allclose(
        [exact.resistance.value, exact.torque_constant.value, exact.free_current.value], [1.25, 0.0175, 0.25]
    )
    held, trials = np.zeros(3), 400
    for _ in range(trials):
        found = m.fit(voltage, speed, clean + rng.normal(0, 0.05, 12), 0.25 + rng.normal(0, 0.02, 4))
        for j, (guess, truth) in enumerate(
            ((found.resistance, 1.25), (found.torque_constant, 0.0175), (found.free_current, 0.25))
        ):
            held[j] += guess.low <= truth <= guess.high
    assert np.all(np.abs(held / trials - 0.95) < 3 * math.sqrt(0.95 * 0.05 / trials))


def test_fit_at_one_voltage_is_the_straight_line():
    speed, current = np.array([0.0, 150.0, 300.0, 450.0, 600.0]), np.array([9.1, 7.2, 5.0, 3.1, 0.9])
    found, line = m.fit(12.0, speed, current, [0.27, 0.29]), np.polyfit(speed, current, 1)
    np.testing.assert_allclose(found.resistance.value, 12.0 / line[1])
    np.testing.assert_allclose(found.torque_constant.value, -line[0] * 12.0 / line[1])


def test_fit_torque_finds_both_constants_and_its_intervals_hold():
    rng = np.random.default_rng(12)
    current = np.linspace(1.0, 6.0, 8)
    clean = 0.0175 * (current - 0.25)
    constant, idle = m.fit_torque(current, clean)
    np.testing.assert_allclose([constant.value, idle.value], [0.0175, 0.25])
    held, trials = np.zeros(2), 400
    for _ in range(trials):
        constant, idle = m.fit_torque(current, clean + rng.normal(0, 0.001, 8))
        held += constant.low <= 0.0175 <= constant.high, idle.low <= 0.25 <= idle.high
    assert np.all(np.abs(held / trials - 0.95) < 3 * math.sqrt(0.95 * 0.05 / trials))


def test_fit_torque_gives_the_scatter_of_the_idle_current():
    rng = np.random.default_rng(13)
    current = np.linspace(3.0, 6.0, 8)
    clean = 0.0175 * (current - 2.0)  # a large idle current, so that slope and intercept erring together counts
    found = [m.fit_torque(current, clean + rng.normal(0, 2e-4, 8))[1] for _ in range(800)]
    scatter = np.std([idle.value for idle in found])
    np.testing.assert_allclose(np.sqrt(np.mean([idle.error**2 for idle in found])), scatter, rtol=0.1)


# --- bad input ------------------------------------------------------------------------------------------------------

BARE = m.Motor(1.25, 0.0175, 0.25, 12.0)


@pytest.mark.parametrize(
    "call, says",
    [
        (lambda: m.Motor(0.0, 0.0175, 0.25, 12.0), "^resistance is 0"),
        (lambda: m.Motor(1.25, -1.0, 0.25, 12.0), "^torque_constant is -1"),
        (lambda: m.Motor(1.25, 0.0175, -0.1, 12.0), "^free_current is -0.1"),
        (lambda: m.Motor(1.25, 0.0175, 0.25, 0.0), "^voltage is 0"),
        (lambda: m.Motor(None, 0.0175, 0.25, 12.0), "^resistance is"),
        (lambda: m.Motor(1.25, 0.0175, 0.25, 12.0, -1e-6), "^rotor_inertia is"),
        (lambda: m.Motor(1.25, 0.0175, 0.25, 12.0, heat_capacity=0.0), "^heat_capacity is 0"),
        (lambda: m.Motor(1.25, 0.0175, 0.25, 12.0, thermal_resistance=[1.0, 0.0]), "^thermal_resistance is 1, 0"),
        (lambda: m.Motor(1.25, 0.0175, 0.25, 12.0, max_rise=-5.0), "^max_rise is -5"),
        (lambda: m.Motor(1.25, 0.0175, 0.25, 12.0, copper_coefficient=-0.1), "^copper_coefficient is"),
        (
            lambda: m.from_nameplate(12.0, 6380.0, 0.25, 0.164, 9.6),
            "^nameplate mismatch of free_speed.*check the unit",
        ),
        (lambda: m.from_nameplate(12.0, 668.0, 0.25, 1.64, 9.6), "^nameplate mismatch"),
        (lambda: m.from_nameplate(12.0, 668.0, 9.9, 0.164, 9.6), "^stall_current - free_current is"),
        (lambda: m.from_nameplate("12 V", 668.0, 0.25, 0.164, 9.6), "^voltage is '12 V'"),
        (lambda: m.constant_from_stall(0.0, 9.6, 0.25), "^stall_torque is 0"),
        (lambda: m.constant_from_stall(0.16, 9.6, -0.25), "^free_current is"),
        (lambda: m.constant_from_free_run(12.0, 0.0, 0.25, 1.25), "^free_speed is 0"),
        (lambda: m.constant_from_free_run(12.0, 668.00, 28.0, 1.25), "^voltage - free_current"),
        (lambda: m.constant_from_free_run(12.0, 668.00, 0.25, 0.0), "^resistance is 0"),
        (lambda: m.shared(SMALL, 0), "^count is 0"),
        (lambda: m.shared(SMALL, 1.5), "^count is 1.5"),
        (lambda: m.warmed(SMALL, -1.0), "^rise is -1"),
        (lambda: m.current(SMALL, np.nan, 1.0), "^voltage is nan"),
        (lambda: m.torque(SMALL, 12.0, np.inf), "^speed is inf"),
        (lambda: m.speed(SMALL, 12.0, "x"), "^torque is 'x'"),
        (lambda: m.heat(SMALL, np.nan), "^current is nan"),
        (lambda: m.best_efficiency(SMALL, 0.0), "^voltage is 0"),
        (lambda: m.temperature_rise(SMALL, 1.0, -1.0), "^time is -1"),
        (lambda: m.temperature_rise(SMALL, 1.0, 1.0, -1.0), "^start_rise is -1"),
        (lambda: m.temperature_rise(BARE, 1.0, 1.0), "^heat_capacity of the motor is not given"),
        (lambda: m.steady_rise(BARE, 1.0), "^heat_capacity of the motor is not given"),
        (lambda: m.continuous_current(BARE), "^thermal_resistance of the motor is not given"),
        (lambda: m.time_to_limit(m.Motor(1.25, 0.0175, 0.25, 12.0, 0.0, 20.0, 6.0), 5.0), "^max_rise of the motor"),
        (lambda: m.stall_time_to_limit(SMALL, 12.0, -1.0), "^start_rise is -1"),
        (lambda: m.rise_over(SMALL, [0.0, 2.0, 1.0], [1.0, 1.0, 1.0]), "^step of time is 2, -1"),
        (lambda: m.duty_rise(SMALL, 5.0, 0.0, 1.0), "^time_on is 0"),
        (lambda: m.duty_rise(SMALL, 5.0, 1.0, -1.0), "^time_off is -1"),
        (lambda: m.fit(12.0, [0.0, 300.0], [9.0, 5.0], [0.3, 0.3]), "^voltage has shape"),
        (lambda: m.fit(12.0, [0.0, 300.0, 600.0], [9.0, 5.0], [0.3, 0.3]), "^current has shape"),
        (lambda: m.fit(12.0, [0.0, 300.0, 600.0], [1.0, 5.0, 9.0], [0.3, 0.3]), "^fall of current with speed is"),
        (lambda: m.fit(12.0, [0.0, 300.0, 600.0], [9.0, 5.0, 1.0], [0.3]), "^readings has shape"),
        (lambda: m.fit_torque([1.0, 2.0, 3.0], [3.0, 2.0, 1.0]), "^rise of torque with current is -1"),
    ],
)
def test_refusals(call, says):
    with pytest.raises(ValueError, match=says) as refusal:
        call()
    assert "\n" not in str(refusal.value) and str(refusal.value).endswith(".")

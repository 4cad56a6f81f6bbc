"""Moves under control: published peaks of the shapes, then an adaptive solver and quadrature as references."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from mechbench.physics import battery, control, drive, motion, motor
from tests.published import MEMORY, PRACTICE, READ, check

CAMS = "Rothbart (ed.), Cam Design Handbook (2004), chapter 2, basic curves"
OPENSTAX = "OpenStax University Physics, volume 2, Example 10.1"
SMALL = motor.Motor(1.25, 0.0175, 0.25, 12.0, 7.5e-6, 20.0, 6.0, 100.0, 0.0039)
LINE = drive.line(SMALL, 64.0, 0.729, 0.628)
JUMPS = {"trapezoid": (1 / 3, 2 / 3), "triangle": (0.5,), "half_cosine": (), "cycloidal": ()}


# --- published values -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "shape, speed, push", [("triangle", 2.0, 4.0), ("half_cosine", 1.571, 4.935), ("cycloidal", 2.0, 6.283)]
)
def test_peaks_of_the_basic_curves(shape, speed, push):
    found = control.peaks(shape, 1.0, 1.0)
    check("control", f"highest speed, {shape} [h/T]", found[0], speed, 3e-4, CAMS, MEMORY)
    check("control", f"highest acceleration, {shape} [h/T2]", found[1], push, 3e-4, CAMS, MEMORY)


def test_a_trapezoid_of_thirds():
    speed, push = control.peaks("trapezoid", 1.0, 1.0)
    check(
        "control",
        "highest speed, trapezoid of thirds [h/T]",
        speed,
        1.5,
        1e-9,
        "the 1/3-1/3-1/3 profile of motor sizing",
        PRACTICE,
    )
    check(
        "control",
        "highest acceleration, trapezoid of thirds [h/T2]",
        push,
        4.5,
        1e-9,
        "the 1/3-1/3-1/3 profile of motor sizing",
        PRACTICE,
    )


def test_a_battery_under_a_power():
    for inner, power, amps, volts in ((0.100, 200.0, 20.0, 10.0), (0.500, 72.0, 12.0, 6.0)):
        found = control.supply(12.0, inner, power)
        check("control", f"current for {power:.0f} W at {inner} ohm [A]", found[1], amps, 1e-4, OPENSTAX, READ)
        check("control", f"voltage at {power:.0f} W and {inner} ohm [V]", found[0], volts, 1e-4, OPENSTAX, READ)


def test_rms_of_the_mains():
    wave = 170.0 * np.sin(np.arange(360) * np.pi / 180)
    check(
        "control",
        "rms of a sine with a peak of 170 [A]",
        control.rms_current(np.ones(360), wave),
        120.0,
        5e-3,
        "OpenStax University Physics, volume 2, section 15.1",
        MEMORY,
    )


def test_steps_of_an_encoder():
    check(
        "control",
        "one count of 28 a turn behind 64:1 [deg]",
        np.degrees(control.encoder_step(28, 64)),
        360 / 1792,
        1e-9,
        "counts of a turn of the output: counts times ratio",
        PRACTICE,
    )
    check(
        "control",
        "way between two looks, 1.5 m/s and 20 ms [m]",
        control.loop_error(1.5, 0.02),
        0.03,
        1e-9,
        "speed times time",
        PRACTICE,
    )


# --- profiles -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("shape", control.SHAPES)
@pytest.mark.parametrize("distance, time", [(1.0, 1.0), (2.4, 0.8)])
def test_place_is_the_area_under_speed_and_speed_the_area_under_push(shape, distance, time):
    """By quadrature, stopped at each jump; the highest are those of peaks."""
    at = lambda t: control.profile(shape, distance, time, t)
    jumps = [share * time for share in JUMPS[shape]]
    for end in (0.2 * time, 0.45 * time, 0.9 * time, time):
        points = [jump for jump in jumps if jump < end]
        assert at(end)[0] == pytest.approx(quad(lambda t: at(t)[1], 0, end, points=points or None)[0], rel=1e-7)
        assert at(end)[1] == pytest.approx(quad(lambda t: at(t)[2], 0, end, points=points or None)[0], abs=1e-7)
    assert at(time)[0] == pytest.approx(distance) and at(time)[1] == pytest.approx(0, abs=1e-12)
    _, speed, push = at(np.linspace(0, time, 2401))
    assert (speed.max(), push.max()) == pytest.approx(control.peaks(shape, distance, time), rel=1e-5)
    assert push.min() == pytest.approx(-push.max(), rel=1e-5)


def test_a_trapezoid_is_that_of_motion():
    for shape, distance, time in (("trapezoid", 2.0, 3.0), ("triangle", 0.7, 1.1)):
        speed, push = control.peaks(shape, distance, time)
        assert motion.trapezoid(distance, speed, push)[0] == pytest.approx(time)


@given(st.sampled_from(control.SHAPES), st.floats(0.01, 100), st.floats(0.01, 50), st.floats(0.01, 500))
def test_the_quickest_move_just_keeps_to_its_bounds(shape, distance, speed, push):
    time = control.quickest(shape, distance, speed, push)
    found = control.peaks(shape, distance, time)
    assert found[0] <= speed * (1 + 1e-9) and found[1] <= push * (1 + 1e-9)
    assert max(found[0] / speed, found[1] / push) == pytest.approx(1)


def test_before_and_after_it_stands_still():
    place, speed, push = control.profile("half_cosine", 2.0, 1.0, [-1.0, 1.5])
    assert list(place) == [0.0, 2.0] and not speed.any() and not push.any()


# --- the drive ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("shape", ["half_cosine", "cycloidal"])
def test_a_motor_fed_with_the_voltage_follows_the_profile(shape):
    """The motor's own differential equation under that voltage, solved by an adaptive solver: does it arrive on
    time?
    """
    distance, time, load, inertia = 2.4, 0.9, 1.4, 0.06

    def needed(t):
        _, speed, push = control.profile(shape, distance, time, t)
        return control.drive_needs(LINE, load + inertia * push, speed, push)

    def change(t, state):
        amps = (needed(t)[1] - LINE.torque_constant * state[1]) / LINE.resistance
        driving = LINE.torque_constant * (amps - LINE.free_current)
        push = (LINE.efficiency * driving - load) / (inertia + LINE.efficiency * LINE.rotor_inertia)
        braking = (driving / LINE.efficiency_driven - load) / (inertia + LINE.rotor_inertia / LINE.efficiency_driven)
        return [state[1], push if load + inertia * push >= 0 else braking]

    end = solve_ivp(change, (0, time), [0.0, 0.0], rtol=1e-9, atol=1e-10, max_step=0.005).y[:, -1]
    assert end[0] == pytest.approx(distance, rel=1e-5) and end[1] == pytest.approx(0, abs=1e-4)


@given(st.floats(0.0, 4.0), st.floats(0.0, 6.0))
def test_at_a_steady_speed_it_is_the_line_of_the_drive(torque, speed):
    amps, volts = control.drive_needs(LINE, torque, speed, 0.0)
    assert amps == pytest.approx(drive.current_for_torque(LINE, torque))
    assert drive.torque(LINE, volts, speed) == pytest.approx(torque, abs=1e-9)


def test_a_load_that_drives_is_held_as_drive_has_it():
    amps, _ = control.drive_needs(LINE, -3.0, 1.0, 0.0)
    back = drive.torque(LINE, max(LINE.torque_constant * 1.0 + LINE.resistance * amps, 0), 1.0)
    assert back == pytest.approx(-3.0) or amps < -LINE.torque_constant / LINE.resistance


# --- the battery ----------------------------------------------------------------------------------------------------


@given(st.floats(6, 20), st.floats(0.01, 0.4), st.floats(0, 150), st.floats(0, 15))
def test_a_supply_keeps_kirchhoff_and_gives_the_power(source, inner, power, others):
    volts, amps = control.supply(source, inner, power, others)
    left = source - inner * others
    if left <= 0 or 4 * inner * power > left**2:
        assert volts == 0
        return
    assert volts == pytest.approx(source - inner * amps, abs=1e-9) and volts * (amps - others) == pytest.approx(
        power, abs=1e-6
    )
    if power > 0.1 and 4.01 * inner * power < left**2:
        most = left / (2 * inner)
        root = brentq(lambda i: (left - inner * i) * i - power, 0, most)
        assert amps - others == pytest.approx(root, rel=1e-6)
    cell = battery.Battery(left, inner)
    assert amps - others == pytest.approx(battery.current_for_power(cell, power), rel=1e-9, abs=1e-12)


def test_a_supply_without_resistance_never_sags():
    assert control.supply(12.0, 0.0, 60.0, 2.0) == pytest.approx((12.0, 7.0))


# --- heat -----------------------------------------------------------------------------------------------------------


def test_the_rms_current_warms_as_the_whole_history_does():
    """Moves of 1 s with 5 A and pauses of 3 s over 150 s, step by step; at the end of a move it is a little warmer."""
    cycles = 37
    time = np.concatenate(
        [np.stack([4.0 * np.arange(cycles), 4.0 * np.arange(cycles) + 1], axis=-1).ravel(), [4.0 * cycles]]
    )
    amps = np.append(np.tile([5.0, 0.0], cycles), 0.0)
    whole = motor.rise_over(SMALL, time, amps)[-1]
    rms = control.rms_current([1.0, 3.0], [5.0, 0.0])
    assert motor.temperature_rise(SMALL, rms, 4.0 * cycles) == pytest.approx(whole, rel=0.03)
    mean = 5.0 * 1.0 / 4.0
    assert motor.temperature_rise(SMALL, mean, 4.0 * cycles) < 0.3 * whole, "the mean current says far too little"


@given(st.lists(st.tuples(st.floats(0.01, 10), st.floats(-20, 20)), min_size=1, max_size=6))
def test_rms_is_never_less_than_the_mean(parts):
    duration, amps = np.array(parts).T
    assert control.rms_current(duration, amps) >= abs(np.sum(duration * amps)) / duration.sum() - 1e-9


# --- bad input ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "call, says",
    [
        (lambda: control.profile("s_curve", 1, 1, 0), "shape is 's_curve', but it must be one of trapezoid"),
        (lambda: control.peaks("cycloidal", 0, 1), "distance is 0"),
        (lambda: control.drive_needs(LINE, 1, -1, 0), "speed is -1"),
        (lambda: control.supply(12, 0.1, -5), "power is -5"),
        (lambda: control.rms_current([0.0, 0.0], [1.0, 2.0]), "sum of duration is 0"),
        (lambda: control.encoder_step(0.5, 4), "counts is 0.5"),
        (lambda: control.loop_error(1, 0), "loop_time is 0"),
    ],
)
def test_bad_input_is_one_sentence(call, says):
    with pytest.raises(ValueError, match=says):
        call()

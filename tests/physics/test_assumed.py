"""Assumed numbers: against the sums they come from, made apart, and what a larger motor may not have less of."""

import math

import numpy as np
import pytest

from mechbench.physics import assumed
from mechbench.physics.motor import MISMATCH, Motor, nameplate_mismatch


def test_a_motor_alone_reaches_63_per_cent_of_its_free_speed_in_20_ms():
    """Stepped apart: J dw/dt = k (V - k w) / R, from rest, without friction."""
    k, resistance, voltage = 0.031, 0.8, 12.0
    inertia, speed, step = assumed.rotor_inertia(k, resistance), 0.0, 1e-6
    for _ in range(20_000):
        speed += step * k * (voltage - k * speed) / resistance / inertia
    assert speed / (voltage / k) == pytest.approx(1 - math.exp(-1), rel=1e-4)


def test_free_current_is_4_per_cent_where_the_label_closes_with_it():
    assert assumed.free_current(12.0, 660.0, 0.164, 9.6) == pytest.approx(0.04 * 9.6)


@pytest.mark.parametrize("share", np.linspace(0.0, assumed.MOST_FREE, 26))
def test_free_current_of_labels_made_apart(share):
    """A motor of k 0.02, made with a known free current: the label always closes, and the share is between."""
    volts, ohms, k = 12.0, 1.2, 0.02
    stall = volts / ohms
    free = share * stall
    speed, torque = (volts - free * ohms) / k, k * (stall - free)
    found = assumed.free_current(volts, speed, torque, stall)
    assert min(share, 0.04) * stall - 1e-9 <= found <= max(share, 0.04) * stall + 1e-9
    assert abs(nameplate_mismatch(volts, speed, found, torque, stall)) <= MISMATCH


def test_free_current_never_jumps_and_falls_as_the_label_promises_more():
    torques = np.linspace(0.08, 0.30, 2001)
    found = assumed.free_current(12.0, 600.0, torques, 12.0)
    assert np.all(np.diff(found) <= 1e-12) and np.max(-np.diff(found)) < 0.01
    assert found[0] == assumed.MOST_FREE * 12.0 and found[-1] == 0.0


def test_mass_by_hand():
    """100 W at half the free speed: 2 N·m, 100 rad/s: the most of T w is 1 N·m at 100 rad/s."""
    speeds = np.linspace(0, 200, 20_001)
    power = np.max(2.0 * (1 - speeds / 200) * speeds)
    assert assumed.mass(2.0, 200.0) == pytest.approx(0.0095 * power, rel=1e-9)
    assert assumed.mass(2.0, 200.0) == pytest.approx(0.95)


def test_heat_by_hand():
    assert assumed.heat_capacity(0.4) == pytest.approx(30.0)
    # Eight times the mass of the usual motor is twice as long every way: four times the surface.
    assert assumed.thermal_resistance(8 * 0.28) == pytest.approx(12.0 / 4)


@pytest.mark.parametrize("grow", [1.001, 1.5, 40.0])
def test_a_larger_motor_never_gets_less(grow):
    masses = np.geomspace(0.005, 20, 200)
    assert np.all(assumed.heat_capacity(masses * grow) > assumed.heat_capacity(masses))
    assert np.all(assumed.thermal_resistance(masses * grow) < assumed.thermal_resistance(masses))
    torques = np.geomspace(1e-3, 10, 200)
    assert np.all(assumed.mass(torques * grow, 500.0) > assumed.mass(torques, 500.0))
    assert np.all(assumed.mass(0.2, 50 * torques * grow) > assumed.mass(0.2, 50 * torques))
    constants = np.geomspace(1e-3, 1, 200)
    assert np.all(assumed.rotor_inertia(constants * grow, 1.25) > assumed.rotor_inertia(constants, 1.25))
    assert np.all(assumed.rotor_inertia(0.02, constants * grow) < assumed.rotor_inertia(0.02, constants))


def test_two_motors_on_one_shaft_are_assumed_like_one_of_twice_the_size():
    """Side by side the resistance is half and all else twice: what is assumed of the pair is that of both."""
    assert assumed.rotor_inertia(0.0175, 0.625) == pytest.approx(2 * assumed.rotor_inertia(0.0175, 1.25))
    assert assumed.mass(0.328, 668.0) == pytest.approx(2 * assumed.mass(0.164, 668.0))
    assert assumed.heat_capacity(0.50) == pytest.approx(2 * assumed.heat_capacity(0.25))


def test_bands_hold_the_assumed_number_and_make_a_motor():
    for low, high in (assumed.INERTIA_BAND, assumed.MASS_BAND, assumed.HEAT_BAND):
        assert 0 < low < 1 < high < 3
    weight = assumed.mass(0.164, 668.0)
    for share in (*assumed.INERTIA_BAND, 1.0):
        motor = Motor(
            1.25,
            0.0175,
            0.25,
            12.0,
            share * assumed.rotor_inertia(0.0175, 1.25),
            assumed.heat_capacity(weight),
            assumed.thermal_resistance(weight),
            assumed.ALLOWED_RISE,
            assumed.COPPER,
        )
        assert motor.rotor_inertia > 0


@pytest.mark.parametrize(
    "function, given, named",
    [
        (assumed.free_current, (0.0, 600.0, 0.2, 9.0), "voltage"),
        (assumed.rotor_inertia, (0.0, 1.0), "torque_constant"),
        (assumed.rotor_inertia, (0.1, -1.0), "resistance"),
        (assumed.mass, (0.0, 1.0), "stall_torque"),
        (assumed.mass, (0.1, math.nan), "free_speed"),
        (assumed.heat_capacity, (0.0,), "mass"),
        (assumed.thermal_resistance, (-1.0,), "mass"),
    ],
)
def test_bad_arguments_are_named(function, given, named):
    with pytest.raises(ValueError, match=named):
        function(*given)


def test_gears_bear_the_motor_held_fast():
    """By power: what the motor gives at its shaft in one turn, N times, less what the gears lose."""
    assert assumed.strength(0.2, 50.0, 0.8) == pytest.approx(8.0)
    assert assumed.STRENGTH_BAND[1] == 1.0, "more than the stall torque nobody has tried"
    ratios = np.geomspace(1, 500, 50)
    assert np.all(np.diff(assumed.strength(0.2, ratios, 0.8)) > 0)
    with pytest.raises(ValueError, match="efficiency"):
        assumed.strength(0.2, 50.0, 1.2)


# Motors of university laboratories, whose constants are published for their courses: ohm, N·m/A, rotor in kg·m2.
LABORATORY = {
    # measured on a motor of the undergraduate controls laboratory; a control tutorial of two universities (read where
    # others repeat it, the page itself not seen)
    "tutorial": (4.0, 0.0274, 3.2284e-6),
    # the motor of a rotary pendulum that many laboratories have (read in published course work)
    "pendulum": (8.4, 0.042, 4.0e-6),
}


@pytest.mark.parametrize("name", LABORATORY)
def test_rotors_of_laboratory_motors_lie_well_within_the_band(name):
    ohms, constant, rotor = LABORATORY[name]
    share = rotor / assumed.rotor_inertia(constant, ohms)
    assert assumed.INERTIA_BAND[0] < 0.8 < share < 1.0 < assumed.INERTIA_BAND[1]


def test_teeth_of_a_gear_of_20_by_hand():
    """Lewis with Y = 0.322 (Shigley, Table 14-2, from memory): 30 MPa on 10 mm x 1.5 mm, at 15 mm."""
    assert assumed.tooth_strength(0.0015, 0.010) == pytest.approx(30e6 * 0.010 * 0.0015 * 0.322 * 0.015, rel=1e-3)


def test_resistance_of_a_battery_by_hand():
    """2 A·h at 10 V: 2 A for an hour drop 0.3 V."""
    assert assumed.battery_resistance(10.0, 7200.0) == pytest.approx(0.15)
    sizes = assumed.battery_resistance(10.0, np.geomspace(100, 1e6, 50))
    assert np.all(np.diff(sizes) < 0)


def test_voltage_of_an_empty_battery_mirrors_that_of_a_full_one():
    full = np.linspace(8.0, 14.0, 601)
    empty = assumed.empty_voltage(10.0, full)
    inside = (full >= 10.5) & (full <= 12.0)
    assert np.allclose(empty[inside], 20.0 - full[inside])
    assert np.all(empty <= full) and np.all(empty >= 8.0) and np.max(np.abs(np.diff(empty))) < 0.011

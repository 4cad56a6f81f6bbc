"""Assumed numbers: against the sums they come from, made apart, and what a larger motor may not have less of."""

import math

import numpy as np
import pytest

from mechbench.physics import assumed
from mechbench.physics.motor import Motor


def test_a_motor_alone_reaches_63_per_cent_of_its_free_speed_in_35_ms():
    """Stepped apart: J dw/dt = k (V - k w) / R, from rest, without friction."""
    k, resistance, voltage = 0.031, 0.8, 12.0
    inertia, speed, step = assumed.rotor_inertia(k, resistance), 0.0, 1e-6
    for _ in range(35_000):
        speed += step * k * (voltage - k * speed) / resistance / inertia
    assert speed / (voltage / k) == pytest.approx(1 - math.exp(-1), rel=1e-4)


def test_mass_by_hand():
    """100 W at half the free speed: 2 N·m, 100 rad/s: the most of T w is 1 N·m at 100 rad/s."""
    speeds = np.linspace(0, 200, 20_001)
    power = np.max(2.0 * (1 - speeds / 200) * speeds)
    assert assumed.mass(2.0, 200.0) == pytest.approx(0.0095 * power, rel=1e-9)
    assert assumed.mass(2.0, 200.0) == pytest.approx(0.95)


def test_heat_by_hand():
    assert assumed.heat_capacity(0.4) == pytest.approx(30.0)
    # Eight times the mass of the usual motor is twice as long every way: four times the surface.
    assert assumed.thermal_resistance(8 * 0.28) == pytest.approx(6.0 / 4)


@pytest.mark.parametrize("grow", [1.001, 1.5, 40.0])
def test_a_larger_motor_never_gets_less(grow):
    masses = np.geomspace(0.005, 20, 200)
    assert np.all(assumed.heat_capacity(masses * grow) > assumed.heat_capacity(masses))
    assert np.all(assumed.thermal_resistance(masses * grow) < assumed.thermal_resistance(masses))
    torques = np.geomspace(1e-3, 10, 200)
    assert np.all(assumed.mass(torques * grow, 500.0) > assumed.mass(torques, 500.0))
    assert np.all(assumed.mass(0.2, 50 * torques * grow) > assumed.mass(0.2, 50 * torques))
    constants = np.geomspace(1e-3, 1, 200)
    assert np.all(assumed.rotor_inertia(constants * grow, 1.3) > assumed.rotor_inertia(constants, 1.3))
    assert np.all(assumed.rotor_inertia(0.02, constants * grow) < assumed.rotor_inertia(0.02, constants))


def test_two_motors_on_one_shaft_are_assumed_like_one_of_twice_the_size():
    """Side by side the resistance is half and all else twice: what is assumed of the pair is that of both."""
    assert assumed.rotor_inertia(0.018, 0.65) == pytest.approx(2 * assumed.rotor_inertia(0.018, 1.3))
    assert assumed.mass(0.322, 646.1) == pytest.approx(2 * assumed.mass(0.161, 646.1))
    assert assumed.heat_capacity(0.56) == pytest.approx(2 * assumed.heat_capacity(0.28))


def test_bands_hold_the_assumed_number_and_make_a_motor():
    for low, high in (assumed.INERTIA_BAND, assumed.MASS_BAND, assumed.HEAT_BAND):
        assert 0 < low < 1 < high < 3
    weight = assumed.mass(0.161, 646.1)
    for share in (*assumed.INERTIA_BAND, 1.0):
        motor = Motor(
            1.3,
            0.018,
            0.28,
            12.0,
            share * assumed.rotor_inertia(0.018, 1.3),
            assumed.heat_capacity(weight),
            assumed.thermal_resistance(weight),
            assumed.ALLOWED_RISE,
            assumed.COPPER,
        )
        assert motor.rotor_inertia > 0


@pytest.mark.parametrize(
    "function, given, named",
    [
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

"""Planetary and other epicyclic sets: published values and the laws of torque and power."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from mechbench.physics import planetary
from tests.published import COMPANION, READ, check

KHURMI = "Khurmi & Gupta, Theory of Machines, 14th ed., Example "


def test_ferguson_paradox():
    for teeth, turns in [(101, 0.0099), (99, -0.0101)]:
        check(
            "planetary",
            f"Ferguson's paradox, {teeth} teeth (turns)",
            planetary.epicyclic_speed(100 / teeth, 1.0),
            turns,
            0.003,
            KHURMI + "13.13 p. 452",
            COMPANION,
        )


def test_wheel_on_a_chained_arm():
    for fixed, moving, speed in [(20, 20, 0.0), (20, 40, 5.0), (40, 20, -10.0)]:
        check(
            "planetary",
            f"chained arm, fixed {fixed}, moving {moving}, arm 10 rpm (rpm)",
            planetary.wheel_on_arm_speed(fixed, moving, 10.0),
            speed,
            1e-9,
            "Digital Mechanism and Gear Library, item 19581023, n4 = n1 (z4 - z2) / z4",
            "formula read; numbers recomputed from first principles",
        )


def test_five_to_one_of_khurmi():
    source = KHURMI + "13.20 p. 465"
    check(
        "planetary",
        "ring held, 16 and 64 teeth, ratio",
        planetary.planetary_ratio(16, 64, "ring", "sun"),
        5.0,
        1e-9,
        source,
        COMPANION,
    )
    check("planetary", "planet teeth", planetary.planet_teeth(16, 64), 24, 1e-9, source, COMPANION)
    torques = planetary.planetary_torques(16, 64, 100.0)
    check("planetary", "ring holding torque (N m)", torques.ring, 400.0, 1e-9, source, COMPANION)
    check("planetary", "carrier torque (N m)", -torques.carrier, 500.0, 1e-9, source, COMPANION)


def test_reducer_of_ljubljana():
    check(
        "planetary",
        "ring held, 21 and 108 teeth, ratio",
        planetary.planetary_ratio(21, 108, "ring", "sun"),
        6.14286,
        1e-6,
        "University of Ljubljana LECAD, Analysis of Planetary Transmissions, test run",
        READ,
    )


def test_two_inputs_of_khurmi():
    source = KHURMI + "13.7 p. 444"
    both = planetary.willis_speeds(40, 90, sun_speed=-1.0, ring_speed=0.5)
    check(
        "planetary",
        "sun -1, ring +1/2: carrier (turns)",
        both.carrier,
        0.04,
        0.05,
        source,
        COMPANION + "; printed to two decimals",
    )
    held = planetary.willis_speeds(40, 90, sun_speed=-1.0, ring_speed=0.0)
    check("planetary", "sun -1, ring held: carrier (turns)", held.carrier, -0.308, 0.002, source, COMPANION)


def test_compound_sets_of_khurmi():
    check(
        "planetary",
        "arm -100 rpm, 64:28 and 26:62 (rpm)",
        planetary.epicyclic_speed(64 / 28 * 26 / 62, -100.0),
        -4.1,
        0.02,
        KHURMI + "13.8 p. 446",
        COMPANION,
    )
    check(
        "planetary",
        "the same, first wheel +10 rpm (rpm)",
        planetary.epicyclic_speed(64 / 28 * 26 / 62, -100.0, 10.0),
        5.4,
        0.01,
        KHURMI + "13.8 p. 446",
        COMPANION,
    )
    check(
        "planetary",
        "gear on arm at 150 rpm, first held, 36:45 (rpm)",
        planetary.epicyclic_speed(-36 / 45, 150.0),
        270.0,
        1e-9,
        KHURMI + "13.4 p. 438",
        COMPANION,
    )
    check(
        "planetary",
        "gear on arm at 150 rpm, first -300 rpm, 36:45 (rpm)",
        planetary.epicyclic_speed(-36 / 45, 150.0, -300.0),
        510.0,
        1e-9,
        KHURMI + "13.4 p. 438",
        COMPANION,
    )


TEETH = st.integers(12, 40)
SPEED = st.floats(-500.0, 500.0)


@given(TEETH, TEETH, SPEED, SPEED)
def test_any_member_can_be_the_unknown(sun_teeth, planet_teeth, sun, ring):
    ring_teeth = sun_teeth + 2 * planet_teeth
    speeds = planetary.willis_speeds(sun_teeth, ring_teeth, sun_speed=sun, ring_speed=ring)
    again = planetary.willis_speeds(sun_teeth, ring_teeth, ring_speed=ring, carrier_speed=speeds.carrier)
    other = planetary.willis_speeds(sun_teeth, ring_teeth, sun_speed=sun, carrier_speed=speeds.carrier)
    assert again.sun == pytest.approx(sun, abs=1e-9) and other.ring == pytest.approx(ring, abs=1e-9)
    torques = planetary.planetary_torques(sun_teeth, ring_teeth, 2.5)
    assert torques.sun + torques.ring + torques.carrier == pytest.approx(0.0, abs=1e-12)
    powers = [torques.sun * speeds.sun, torques.ring * speeds.ring, torques.carrier * speeds.carrier]
    assert sum(powers) == pytest.approx(0.0, abs=1e-9 * (1 + max(map(abs, powers))))


@given(TEETH, TEETH)
def test_the_six_ratios(sun, planet):
    ring = sun + 2 * planet
    ratio = {
        (h, d): planetary.planetary_ratio(sun, ring, h, d)
        for h in planetary.MEMBERS
        for d in planetary.MEMBERS
        if h != d
    }
    assert ratio["ring", "sun"] == pytest.approx(1 + ring / sun)
    assert ratio["sun", "ring"] == pytest.approx(1 + sun / ring)
    assert ratio["carrier", "sun"] == pytest.approx(-ring / sun)
    for held in planetary.MEMBERS:
        first, second = [m for m in planetary.MEMBERS if m != held]
        assert ratio[held, first] * ratio[held, second] == pytest.approx(1.0)
        speeds = planetary.willis_speeds(sun, ring, **{f"{first}_speed": 1.0, f"{held}_speed": 0.0})
        assert ratio[held, first] == pytest.approx(1.0 / getattr(speeds, second))


@given(st.floats(-3.0, 3.0), SPEED)
def test_everything_locked_turns_as_one(train_value, speed):
    assume(abs(train_value - 1) > 1e-6)
    assert planetary.epicyclic_speed(train_value, speed, speed) == pytest.approx(speed)


def test_equal_planets_that_can_be_assembled():
    np.testing.assert_array_equal(planetary.planets_fit(16, 64, [2, 3, 4, 5]), [True, False, True, True])


def test_arrays_equal_scalars():
    speeds = planetary.willis_speeds([16, 21], [64, 108], sun_speed=[[1.0], [2.0]], ring_speed=0.0)
    assert speeds.sun.shape == speeds.ring.shape == speeds.carrier.shape == (2, 2)
    one = planetary.willis_speeds(16, 64, sun_speed=2.0, ring_speed=0.0)
    assert speeds.carrier[1, 0] == pytest.approx(one.carrier, rel=1e-12)


@pytest.mark.parametrize(
    "name, call",
    [
        ("sun_teeth", lambda: planetary.willis_speeds(0, 64, 1.0, 0.0)),
        ("ring_teeth", lambda: planetary.willis_speeds(30, 20, 1.0, 0.0)),
        ("sun_speed, ring_speed, carrier_speed", lambda: planetary.willis_speeds(16, 64, 1.0)),
        ("sun_speed, ring_speed, carrier_speed", lambda: planetary.willis_speeds(16, 64, 1.0, 0.0, 0.2)),
        ("ring_speed", lambda: planetary.willis_speeds(16, 64, 1.0, np.inf)),
        ("held", lambda: planetary.planetary_ratio(16, 64, "planet", "sun")),
        ("driver", lambda: planetary.planetary_ratio(16, 64, "ring", "ring")),
        ("ring_teeth", lambda: planetary.planet_teeth(16, 65)),
        ("planets", lambda: planetary.planets_fit(16, 64, 0)),
        ("sun_torque", lambda: planetary.planetary_torques(16, 64, np.nan)),
        ("train_value", lambda: planetary.epicyclic_speed(np.inf, 1.0)),
        ("fixed_teeth", lambda: planetary.wheel_on_arm_speed(0, 20, 1.0)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} (is|are) .*, but .* must be .*; .*\.$"):
        call()

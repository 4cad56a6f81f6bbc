"""Worm and lead screw: published torques and efficiencies, then the laws."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from mechbench.physics import gearing, screw
from tests.published import COMPANION, MEMORY, check

STORED = "program output stored beside the example's data; the book's title is inferred, not named there"
BHANDARI = "Bhandari, Design of Machine Elements, Example "
SHIGLEY = "Shigley's Mechanical Engineering Design, Example 8-1"


def test_square_thread_of_shigley():
    # 32 mm over the threads, 4 mm pitch, two starts, friction 0.08 in thread and collar, collar 40 mm, 6.4 kN.
    thread = dict(
        load=6400.0, lead=0.008, mean_diameter=0.030, friction=0.08, collar_friction=0.08, collar_diameter=0.040
    )
    up, down = screw.torque_to_raise(**thread), screw.torque_to_lower(**thread)
    check("screw", "square thread: torque to raise (N m)", up, 26.18, 0.001, SHIGLEY, MEMORY)
    check("screw", "square thread: torque to lower (N m)", down, 9.77, 0.001, SHIGLEY, MEMORY)
    check(
        "screw",
        "square thread: overall efficiency",
        6400 * screw.lead_radius(0.008) / up,
        0.311,
        0.002,
        SHIGLEY,
        MEMORY,
    )


def test_three_start_screw_of_bhandari():
    thread = dict(
        load=15000.0,
        lead=0.024,
        mean_diameter=0.046,
        friction=0.15,
        collar_friction=0.15,
        collar_diameter=(0.100 + 0.065) / 2,
    )
    check(
        "screw",
        "three starts: torque to raise (N m)",
        screw.torque_to_raise(**thread),
        204.644140833,
        1e-8,
        BHANDARI + "6.1",
        STORED,
    )
    check(
        "screw",
        "three starts: torque to lower (N m)",
        screw.torque_to_lower(**thread),
        87.401514671,
        1e-8,
        BHANDARI + "6.1",
        STORED,
    )


def test_trapezoid_thread_of_bhandari():
    up = screw.torque_to_raise(2000.0, 0.008, 0.048, 0.15, np.radians(15), 0.12, 0.080)
    check(
        "screw",
        "trapezoid thread at 30 rpm: power (W)",
        up * 30 * 2 * np.pi / 60,
        61.838,
        1e-5,
        BHANDARI + "6.6",
        STORED,
    )
    check(
        "screw",
        "trapezoid thread with collar: efficiency",
        2000 * screw.lead_radius(0.008) / up,
        0.12937099,
        1e-7,
        BHANDARI + "6.6",
        STORED,
    )


def test_worm_of_wentzell():
    lead = screw.worm_lead(10.0 / 60, 1)
    angle = screw.lead_angle(lead, 2.0)
    check(
        "screw",
        "worm, 60 teeth on 10 in, worm 2 in: lead angle (deg)",
        np.degrees(angle),
        4.76,
        0.001,
        "T. H. Wentzell, Machine Design, Example 13.4 p. 288",
        COMPANION,
    )
    check(
        "screw",
        "worm ratio",
        screw.worm_ratio(1, 60),
        60.0,
        1e-12,
        "T. H. Wentzell, Machine Design, Example 13.4 p. 288",
        COMPANION,
    )
    check(
        "screw",
        "worm, friction 0.03: efficiency",
        screw.thread_efficiency(angle, 0.03),
        0.73,
        0.005,
        "T. H. Wentzell, Machine Design, Example 13.6 p. 294",
        COMPANION + "; printed to two digits",
    )


def test_worms_of_jindal():
    angle = screw.lead_angle(screw.worm_lead(0.005, 2), 8 * 0.005)
    check(
        "screw",
        "worm 2 starts, q = 8, friction 0.032, 20 deg: power out of 1.2 kW (kW)",
        1.2 * screw.thread_efficiency(angle, 0.032, np.radians(20)),
        1.047,
        0.0005,
        "U. C. Jindal, Machine Design (2010), Example 28-4 p. 728",
        COMPANION,
    )
    angle = screw.lead_angle(screw.worm_lead(0.008, 2), 10 * 0.008)
    check(
        "screw",
        "worm 2 starts, q = 10, friction 0.028, 20 deg: efficiency",
        screw.thread_efficiency(angle, 0.028, np.radians(20)),
        0.865,
        0.001,
        "U. C. Jindal, Machine Design (2010), Example 28-5 p. 729",
        COMPANION,
    )


ANGLE = st.floats(0.02, 0.7)
FRICTION = st.floats(0.01, 0.3)
HALF = st.floats(0.0, 0.5)


@given(ANGLE, FRICTION, HALF)
def test_locking_is_one_fact_told_three_ways(angle, friction, half):
    slope = screw.friction_angle(friction, half)
    assume(abs(angle - slope) > 1e-6)
    locks = screw.self_locking(angle, friction, half)
    assert locks == (angle < slope)
    assert locks == (screw.thread_efficiency_driven(angle, friction, half) == 0.0)
    lead, diameter = np.pi * 0.01 * np.tan(angle), 0.01
    assert locks == (screw.torque_to_lower(100.0, lead, diameter, friction, half) > 0)


@given(st.floats(0.01, 0.2), FRICTION, HALF)
def test_self_locking_screws_waste_more_than_half(angle, friction, half):
    if screw.self_locking(angle, friction, half):
        assert screw.thread_efficiency(angle, friction, half) <= 0.5


@given(ANGLE, FRICTION, HALF, st.floats(1.0, 5000.0))
def test_power_in_is_power_out_and_loss(angle, friction, half, load):
    diameter = 0.01
    lead = np.pi * diameter * np.tan(angle)
    up = screw.torque_to_raise(load, lead, diameter, friction, half)
    assert load * lead == pytest.approx(2 * np.pi * up * screw.thread_efficiency(angle, friction, half))
    down = screw.torque_to_lower(load, lead, diameter, friction, half)
    driven = screw.thread_efficiency_driven(angle, friction, half)
    if driven > 0:
        assert -2 * np.pi * down == pytest.approx(driven * load * lead)
    collar = screw.torque_to_raise(load, lead, diameter, friction, half, 0.1, 0.02) - up
    assert collar == pytest.approx(0.1 * load * 0.01)


@given(st.floats(0.03, 0.12), st.floats(0.01, 0.1))
def test_the_rule_for_driven_efficiency_holds_at_small_angles(angle, friction):
    driven = screw.thread_efficiency_driven(angle, friction)
    assert driven == pytest.approx(gearing.efficiency_driven(screw.thread_efficiency(angle, friction)), abs=0.03)


def test_no_friction_no_loss():
    assert screw.thread_efficiency(0.2, 0.0) == pytest.approx(1.0)
    assert screw.thread_efficiency_driven(0.2, 0.0) == pytest.approx(1.0)
    assert screw.torque_to_raise(100.0, 0.008, 0.01, 0.0) == pytest.approx(100 * 0.008 / (2 * np.pi))


def test_arrays_equal_scalars():
    friction = np.array([0.05, 0.1, 0.2])
    up, down = (f(500.0, 0.002, 0.007, friction, 0.26) for f in (screw.torque_to_raise, screw.torque_to_lower))
    for i, f in enumerate(friction):
        assert up[i] == pytest.approx(screw.torque_to_raise(500.0, 0.002, 0.007, f, 0.26), rel=1e-12)
        assert down[i] == pytest.approx(screw.torque_to_lower(500.0, 0.002, 0.007, f, 0.26), rel=1e-12)


@pytest.mark.parametrize(
    "name, call",
    [
        ("lead", lambda: screw.lead_angle(0.0, 0.01)),
        ("mean_diameter", lambda: screw.lead_angle(0.002, -0.01)),
        ("friction", lambda: screw.friction_angle(-0.1)),
        ("half_angle", lambda: screw.friction_angle(0.1, 15.0)),
        ("lead_angle", lambda: screw.thread_efficiency(0.0, 0.1)),
        ("friction", lambda: screw.thread_efficiency(1.5, 0.3)),
        ("lead_angle", lambda: screw.thread_efficiency_driven(2.0, 0.1)),
        ("load", lambda: screw.torque_to_raise(-1.0, 0.002, 0.01, 0.1)),
        ("friction", lambda: screw.torque_to_raise(1.0, 0.2, 0.01, 0.3)),
        ("collar_friction", lambda: screw.torque_to_lower(1.0, 0.002, 0.01, 0.1, collar_friction=-0.1)),
        ("collar_diameter", lambda: screw.torque_to_lower(1.0, 0.002, 0.01, 0.1, collar_diameter=-0.1)),
        ("starts", lambda: screw.worm_ratio(0, 30)),
        ("wheel_teeth", lambda: screw.worm_ratio(1, 30.5)),
        ("module", lambda: screw.worm_lead(0.0, 1)),
        ("lead", lambda: screw.lead_radius(-0.002)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but it must be .*; .*\.$"):
        call()

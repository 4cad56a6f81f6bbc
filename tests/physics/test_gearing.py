"""Trains: published values, then the laws that every train keeps."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mechbench.physics import gearing
from mechbench.physics.gearing import Stage, train
from tests.published import COMPANION, RECOMPUTED, check

BEVAN = "T. Bevan, The Theory of Machines, 3rd ed., Chapter 2 Example 10 p. 48"
GEARS = st.integers(12, 90)
EFFICIENCY = st.floats(0.55, 1.0)


def hoist_acceleration(efficiency_driven):
    """Bevan's hoist in feet and pounds of mass: the weight is 150 g poundals on 8 in."""
    arm = 8 / 12
    return arm * gearing.geared_acceleration(
        motor_inertia=15.0,
        load_inertia=200 + 150 * arm**2,
        ratio=5.0,
        motor_torque=0.0,
        load_torque=-150 * 32.2 * arm,
        efficiency_driven=efficiency_driven,
    )


def test_hoist_of_bevan():
    check(
        "gearing",
        "falling load, reflected inertia, no loss (ft/s2)",
        hoist_acceleration(1.0),
        3.35,
        0.002,
        BEVAN,
        COMPANION,
    )
    check(
        "gearing", "falling load, gear efficiency 0.9 (ft/s2)", hoist_acceleration(0.9), 3.14, 0.002, BEVAN, COMPANION
    )


def test_ratio_for_most_acceleration():
    ratio = gearing.best_ratio(0.002, 0.08)
    source = "standard inertia matching result, N = sqrt(J_load / J_motor)"
    known = RECOMPUTED
    check("gearing", "best ratio", ratio, 6.32456, 1e-5, source, known)
    best = gearing.geared_acceleration(0.002, 0.08, ratio, 0.1, 0.0)
    check("gearing", "acceleration at the best ratio (rad/s2)", best, 3.95285, 1e-5, source, known)
    around = gearing.geared_acceleration(0.002, 0.08, np.linspace(2, 20, 500), 0.1, 0.0)
    assert np.all(around <= best)


def test_compound_train_of_khurmi():
    stages = [Stage("spur", gearing.teeth_ratio(a, b), 1.0) for a, b in [(20, 50), (25, 75), (26, 65)]]
    whole = train(stages)
    check(
        "gearing",
        "compound train 20:50, 25:75, 26:65 at 975 rpm (rpm)",
        gearing.output_speed(975.0, whole.ratio),
        52.0,
        1e-9,
        "Khurmi & Gupta, Theory of Machines, 14th ed., Example 13.1 p. 432",
        COMPANION,
    )
    assert whole.direction == -1


@given(EFFICIENCY, st.floats(0.5, 300.0), st.floats(-2.0, 2.0), st.floats(-300.0, 300.0))
def test_power_in_is_power_out_and_loss(efficiency, ratio, motor_torque, speed):
    power_in = motor_torque * speed
    power_out = gearing.output_torque(motor_torque, ratio, efficiency) * gearing.output_speed(speed, ratio)
    assert power_out == pytest.approx(efficiency * power_in, rel=1e-12, abs=1e-12)
    assert abs(power_out) <= abs(power_in) + 1e-12


@given(EFFICIENCY, st.floats(0.5, 300.0), st.floats(0.01, 20.0))
def test_driving_then_driven(efficiency, ratio, load):
    up = gearing.motor_torque(load, ratio, efficiency)
    down = gearing.holding_torque(load, ratio, gearing.efficiency_driven(efficiency))
    assert gearing.output_torque(up, ratio, efficiency) == pytest.approx(load)
    assert down <= load / ratio * (1 + 1e-12) and load / ratio <= up * (1 + 1e-12)
    # The rule 2 - 1/efficiency says that the same friction torque is lost both ways.
    assert up + down == pytest.approx(2 * load / ratio)


def test_self_locking_at_half():
    np.testing.assert_allclose(gearing.efficiency_driven([0.3, 0.5, 0.6, 0.9, 1.0]), [0, 0, 1 / 3, 8 / 9, 1])
    locked = train([Stage("planetary", 4.0, 0.9), Stage("worm", 30.0, 0.45)])
    assert locked.efficiency_driven == 0.0
    assert gearing.holding_torque(5.0, locked.ratio, locked.efficiency_driven) == 0.0
    # A load on a self-locked train at rest does not move; a driven motor moves as if the load were not there.
    assert gearing.geared_acceleration(1e-5, 0.1, 30.0, 0.0, -3.0, 0.45, 0.0) == 0.0


@given(st.floats(0.6, 1.0), st.floats(0.5, 50.0), st.floats(-1.0, 1.0), st.floats(-5.0, 5.0))
def test_acceleration_keeps_the_power_law(efficiency, ratio, motor_torque, load_torque):
    motor_inertia, load_inertia = 3e-4, 0.2
    driven = gearing.efficiency_driven(efficiency)
    a = gearing.geared_acceleration(motor_inertia, load_inertia, ratio, motor_torque, load_torque, efficiency, driven)
    into_train = ratio * (motor_torque - motor_inertia * ratio * a)
    out_of_train = load_torque + load_inertia * a
    if into_train >= 0:
        assert out_of_train == pytest.approx(efficiency * into_train, abs=1e-9)
    else:
        assert into_train == pytest.approx(driven * out_of_train, abs=1e-9)


@given(st.lists(GEARS, min_size=2, max_size=6))
def test_direction_of_a_chain_of_meshes(teeth):
    stages = [Stage("spur", gearing.teeth_ratio(a, b), 0.95) for a, b in zip(teeth, teeth[1:])]
    assert train(stages).direction == (-1) ** (len(teeth) - 1) == gearing.mesh_direction(len(teeth) - 1)


@given(GEARS, GEARS, GEARS)
def test_idler_turns_the_direction_and_keeps_the_ratio(first, idler, last):
    with_idler = train(
        [Stage("spur", gearing.teeth_ratio(first, idler), 0.95), Stage("spur", gearing.teeth_ratio(idler, last), 0.95)]
    )
    without = train([Stage("spur", gearing.teeth_ratio(first, last), 0.95)])
    assert with_idler.ratio == pytest.approx(without.ratio)
    assert with_idler.direction == -without.direction
    assert with_idler.efficiency == pytest.approx(without.efficiency**2)


def test_train_by_hand():
    whole = train(
        [
            Stage("planetary", 12.0, 0.81, backlash=0.035, allowed_torque=6.0, inertia=1e-5),
            Stage("chain", 2.0, 0.93, backlash=0.01, allowed_torque=20.0, inertia=2e-4),
        ]
    )
    assert whole.ratio == 24.0 and whole.direction == 1
    assert whole.efficiency == pytest.approx(0.81 * 0.93)
    assert whole.efficiency_driven == pytest.approx((2 - 1 / 0.81) * (2 - 1 / 0.93))
    assert whole.play == pytest.approx(0.035 / 2 + 0.01)
    assert whole.allowed_torque == pytest.approx(6 * 2 * 0.93)
    assert whole.inertia == pytest.approx(1e-5 * 4 + 2e-4)
    assert gearing.tip_drop(whole.play, 0.35) == pytest.approx(0.35 * 0.0275)


def test_arrays_equal_scalars():
    ratios, efficiencies = np.array([2.0, 3.0, 5.0]), np.array([[0.95], [0.4]])
    many = train(
        [
            Stage("planetary", 16.0, 0.81, backlash=0.03, allowed_torque=6.0),
            Stage("belt", ratios, efficiencies, backlash=0.01, allowed_torque=ratios),
        ]
    )
    assert many.ratio.shape == many.efficiency_driven.shape == (2, 3)
    for i, j in np.ndindex(2, 3):
        one = train(
            [
                Stage("planetary", 16.0, 0.81, backlash=0.03, allowed_torque=6.0),
                Stage("belt", ratios[j], efficiencies[i, 0], backlash=0.01, allowed_torque=ratios[j]),
            ]
        )
        for name in ("ratio", "direction", "efficiency", "efficiency_driven", "play", "allowed_torque", "inertia"):
            assert getattr(many, name)[i, j] == pytest.approx(getattr(one, name))
    torques = np.array([0.1, -0.2])
    a = gearing.geared_acceleration(1e-4, 0.1, 20.0, torques, 0.5, 0.9, 0.88)
    for torque, value in zip(torques, a):
        one = gearing.geared_acceleration(1e-4, 0.1, 20.0, torque, 0.5, 0.9, 0.88)
        assert value == pytest.approx(one, rel=1e-12)


def test_inertia_seen_from_both_ends():
    assert gearing.inertia_at_output(7.5e-6, 60.0) == pytest.approx(0.027)
    assert gearing.inertia_at_motor(gearing.inertia_at_output(7.5e-6, 60.0), 60.0) == pytest.approx(7.5e-6)


@pytest.mark.parametrize(
    "name, call",
    [
        ("driver_teeth", lambda: gearing.teeth_ratio(0, 40)),
        ("driven_teeth", lambda: gearing.teeth_ratio(20, 40.5)),
        ("external_meshes", lambda: gearing.mesh_direction(-1)),
        ("efficiency", lambda: gearing.efficiency_driven(1.2)),
        ("efficiency", lambda: gearing.efficiency_driven(0.0)),
        ("ratio", lambda: gearing.output_speed(100.0, 0.0)),
        ("ratio", lambda: gearing.output_torque(0.1, -3.0, 0.9)),
        ("efficiency", lambda: gearing.motor_torque(1.0, 3.0, 0.0)),
        ("efficiency_driven", lambda: gearing.holding_torque(1.0, 3.0, -0.1)),
        ("motor_inertia", lambda: gearing.inertia_at_output(-1.0, 3.0)),
        ("load_inertia", lambda: gearing.inertia_at_motor(-1.0, 3.0)),
        ("motor_inertia", lambda: gearing.best_ratio(0.0, 1.0)),
        ("load_inertia", lambda: gearing.geared_acceleration(1e-5, 0.0, 3.0, 0.1, 0.0)),
        ("motor_torque", lambda: gearing.geared_acceleration(1e-5, 0.1, 3.0, np.nan, 0.0)),
        ("play", lambda: gearing.tip_drop(3.2, 0.4)),
        ("length", lambda: gearing.tip_drop(0.02, -0.4)),
        ("kind", lambda: Stage("rope", 2.0, 0.9)),
        ("ratio", lambda: Stage("spur", 0.0, 0.9)),
        ("efficiency", lambda: Stage("spur", 2.0, 1.1)),
        ("efficiency_driven", lambda: Stage("spur", 2.0, 0.9, efficiency_driven=1.1)),
        ("direction", lambda: Stage("spur", 2.0, 0.9, direction=0)),
        ("backlash", lambda: Stage("spur", 2.0, 0.9, backlash=-0.1)),
        ("allowed_torque", lambda: Stage("spur", 2.0, 0.9, allowed_torque=0.0)),
        ("allowed_torque", lambda: Stage("spur", 2.0, 0.9, allowed_torque=np.nan)),
        ("inertia", lambda: Stage("spur", 2.0, 0.9, inertia=-1e-6)),
        ("stages", lambda: train([])),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but it must be .*; .*\.$"):
        call()

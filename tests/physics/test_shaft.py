"""Round shafts in bending and twist: published values and laws."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mechbench.physics import shaft
from tests.published import COMPANION, RECOMPUTED, check

INCH, POUND = 0.0254, 4.4482216152605


def test_chain_shaft_of_wentzell():
    # 20 hp at 500 rpm, sprocket of 8 in in the middle of 12 in between bearings: moment F L / 4 = F times 3 in.
    torque = 63000 * 20 / 500
    stress = shaft.shaft_stress(torque * INCH * POUND, torque / 4 * POUND, 3 * INCH, 1.25 * INCH)
    source = "T. H. Wentzell, Machine Design, Example 4.4 p. 71"
    check(
        "shaft",
        "sprocket shaft 1.25 in: bending stress (psi)",
        stress.bending * INCH**2 / POUND,
        9856.7075,
        1e-6,
        source,
        COMPANION,
    )
    check(
        "shaft",
        "sprocket shaft 1.25 in: largest tension (psi)",
        (stress.bending / 2 + stress.max_shear) * INCH**2 / POUND,
        13142.28,
        1e-6,
        source,
        COMPANION,
    )


def test_torsion_of_wentzell():
    stress = shaft.shaft_stress(63000 / 300 * 50 * INCH * POUND, 0.0, 0.0, INCH)
    force = 63000 / 300 * 50 / 5
    check(
        "shaft",
        "1 in shaft, 50 hp at 300 rpm: twist and direct shear (psi)",
        stress.torsion * INCH**2 / POUND + force / (np.pi / 4),
        56149.86,
        1e-6,
        "T. H. Wentzell, Machine Design, Example 4.3 p. 68",
        COMPANION,
    )


def test_overhung_spool():
    for diameter, stress in [(0.006, 250e6), (0.008, 105e6)]:
        check(
            "shaft",
            f"176 N at 30 mm on {1000 * diameter:.0f} mm: bending stress (Pa)",
            shaft.shaft_stress(0.0, 176.0, 0.030, diameter).bending,
            stress,
            0.01,
            "bending of a round bar, 32 M / (pi d3)",
            RECOMPUTED,
        )


@given(st.floats(0.0, 20.0), st.floats(0.0, 300.0), st.floats(0.0, 0.05), st.floats(0.003, 0.02))
def test_stress_and_back(torque, force, overhang, diameter):
    stress = shaft.shaft_stress(torque, force, overhang, diameter)
    assert stress.max_shear <= stress.von_mises * (1 + 1e-12)
    assert stress.von_mises <= 2 * stress.max_shear * (1 + 1e-12)
    assert stress.von_mises >= stress.bending * (1 - 1e-12)
    left = shaft.shaft_torque(force, overhang, diameter, stress.von_mises * 1.0000001 + 1.0)
    assert left == pytest.approx(torque, abs=1e-3 * (1 + torque + force * overhang))


@given(st.floats(0.1, 20.0), st.floats(0.003, 0.02))
def test_pure_twist(torque, diameter):
    stress = shaft.shaft_stress(torque, 0.0, 0.0, diameter)
    assert stress.bending == 0 and stress.max_shear == pytest.approx(stress.torsion)
    assert stress.von_mises == pytest.approx(np.sqrt(3) * stress.torsion)
    assert shaft.shaft_torque(0.0, 0.0, diameter, stress.von_mises) == pytest.approx(torque)


def test_nothing_left_for_twist_when_bending_is_too_much():
    assert shaft.shaft_torque(176.0, 0.030, 0.006, 200e6) == 0.0
    assert shaft.shaft_torque(176.0, 0.030, 0.008, 200e6) > 0.0


def test_arrays_equal_scalars():
    diameters = np.array([0.005, 0.006, 0.008])
    many = shaft.shaft_stress(2.0, 150.0, 0.020, diameters)
    torques = shaft.shaft_torque(150.0, 0.020, diameters, 200e6)
    for i, d in enumerate(diameters):
        assert many.von_mises[i] == pytest.approx(shaft.shaft_stress(2.0, 150.0, 0.020, d).von_mises, rel=1e-12)
        assert torques[i] == pytest.approx(shaft.shaft_torque(150.0, 0.020, d, 200e6), rel=1e-12)


@pytest.mark.parametrize(
    "name, call",
    [
        ("torque", lambda: shaft.shaft_stress(np.inf, 1.0, 0.03, 0.006)),
        ("overhung_force", lambda: shaft.shaft_stress(1.0, -1.0, 0.03, 0.006)),
        ("overhang", lambda: shaft.shaft_stress(1.0, 1.0, -0.03, 0.006)),
        ("diameter", lambda: shaft.shaft_stress(1.0, 1.0, 0.03, 0.0)),
        ("allowed_stress", lambda: shaft.shaft_torque(1.0, 0.03, 0.006, 0.0)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but it must be .*; .*\.$"):
        call()

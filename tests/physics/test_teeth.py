"""Gear teeth: published geometry and strength, then the laws."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mechbench.physics import teeth
from tests.published import COMPANION, MEMORY, READ, check

INCH, POUND = 0.0254, 4.4482216152605


def test_contact_of_khurmi():
    source = "Khurmi & Gupta, Theory of Machines, 14th ed., Example 12.3 p. 398"
    contact = teeth.contact(0.012, 30, 80, np.radians(20), addendum=0.010)
    check("teeth", "path of contact, 30/80 teeth, module 12 mm (m)", contact.path, 0.0523, 0.001, source, COMPANION)
    check("teeth", "arc of contact (m)", contact.arc, 0.05561, 0.001, source, COMPANION)
    check("teeth", "contact ratio", contact.ratio, 1.475, 0.001, source, COMPANION)


def test_bevel_of_jindal():
    source = "U. C. Jindal, Machine Design (2010), Example 27-3 p. 712"
    cones = teeth.bevel_cones(0.006, 30, 45)
    check("teeth", "bevel 30/45: pinion cone (deg)", np.degrees(cones.driver), 33.7, 0.001, source, COMPANION)
    check("teeth", "bevel 30/45: wheel cone (deg)", np.degrees(cones.driven), 56.3, 0.001, source, COMPANION)
    check("teeth", "bevel 30/45: cone distance (m)", cones.distance, 0.16225, 0.001, source, COMPANION)


def test_diameters_of_ljubljana():
    source = "University of Ljubljana LECAD, Analysis of Planetary Transmissions, test run"
    for count, diameter in [(21, 0.03675), (43, 0.07525), (108, 0.189)]:
        check(
            "teeth",
            f"pitch diameter, {count} teeth, module 1.75 mm (m)",
            teeth.pitch_diameter(0.00175, count),
            diameter,
            1e-6,
            source,
            READ,
        )
    check(
        "teeth",
        "centre distance 21/43, module 1.75 mm (m)",
        teeth.centre_distance(0.00175, 21, 43),
        0.056,
        1e-9,
        source,
        "recomputed: the page's 56.8 mm is for shifted profiles",
    )


def test_exact_centre_distance_of_khurmi():
    check(
        "teeth",
        "38/114 teeth, circular pitch 25 mm: shafts (m)",
        teeth.centre_distance(0.025 / np.pi, 38, 114),
        0.60479,
        1e-5,
        "Khurmi & Gupta, Theory of Machines, 14th ed., Example 13.2 p. 433",
        COMPANION,
    )


def test_lewis_strength_of_wentzell():
    torque = teeth.tooth_torque(INCH / 16, 1.0 * INCH, 24, 47500 * POUND / INCH**2)
    check(
        "teeth",
        "24 teeth, 16 per inch, 1 in wide, 47.5 kpsi: allowed force (lbf)",
        torque / (teeth.pitch_diameter(INCH / 16, 24) / 2) / POUND,
        1000.47,
        1e-5,
        "T. H. Wentzell, Machine Design, Example 12.7 p. 270",
        COMPANION,
    )


def test_lewis_factors():
    known = {12: 0.245, 17: 0.303, 20: 0.322, 30: 0.359, 50: 0.409, 100: 0.447}
    for count, factor in known.items():
        check(
            "teeth",
            f"Lewis form factor, {count} teeth, 20 deg full depth",
            teeth.lewis_factor(count),
            factor,
            1e-9,
            "Shigley's Mechanical Engineering Design, Table 14-2",
            MEMORY,
        )
    counts = np.arange(12, 400)
    assert np.all(np.diff(teeth.lewis_factor(counts)) > 0)


@given(st.integers(18, 120), st.integers(18, 120))
def test_contact_does_not_depend_on_who_drives(first, second):
    one, other = teeth.contact(0.0015, first, second), teeth.contact(0.0015, second, first)
    assert one.ratio == pytest.approx(other.ratio)
    assert 1.5 < one.ratio < 1.99
    assert one.ratio == pytest.approx(teeth.contact(0.002, first, second).ratio)


@given(st.integers(12, 80), st.integers(12, 80))
def test_cones_fill_the_shaft_angle(first, second):
    cones = teeth.bevel_cones(0.0015, first, second)
    assert cones.driver + cones.driven == pytest.approx(np.pi / 2)
    assert cones.distance == pytest.approx(0.00075 * np.hypot(first, second))
    assert 2 * cones.distance * np.sin(cones.driver) == pytest.approx(teeth.pitch_diameter(0.0015, first))


def test_arrays_equal_scalars():
    counts = np.array([20, 24, 80])
    contact = teeth.contact(0.0015, counts, 40)
    cones, torques = teeth.bevel_cones(0.0015, counts, 40), teeth.tooth_torque(0.0015, 0.008, counts, 4e7)
    for i, count in enumerate(counts):
        assert contact.ratio[i] == pytest.approx(teeth.contact(0.0015, count, 40).ratio, rel=1e-12)
        assert cones.driver[i] == pytest.approx(teeth.bevel_cones(0.0015, count, 40).driver, rel=1e-12)
        assert torques[i] == pytest.approx(teeth.tooth_torque(0.0015, 0.008, count, 4e7), rel=1e-12)


@pytest.mark.parametrize(
    "name, call",
    [
        ("module", lambda: teeth.pitch_diameter(0.0, 20)),
        ("teeth", lambda: teeth.pitch_diameter(0.0015, 3)),
        ("driver_teeth", lambda: teeth.centre_distance(0.0015, 20.5, 40)),
        ("driven_teeth", lambda: teeth.centre_distance(0.0015, 20, -40)),
        ("pressure_angle", lambda: teeth.contact(0.0015, 20, 40, 20.0)),
        ("addendum", lambda: teeth.contact(0.0015, 20, 40, addendum=0.0)),
        ("addendum", lambda: teeth.contact(0.0015, 12, 80)),
        ("shaft_angle", lambda: teeth.bevel_cones(0.0015, 20, 40, 0.0)),
        ("teeth", lambda: teeth.lewis_factor(11)),
        ("face_width", lambda: teeth.tooth_torque(0.0015, 0.0, 20, 4e7)),
        ("allowed_stress", lambda: teeth.tooth_torque(0.0015, 0.008, 20, -4e7)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but it must be .*; .*\.$"):
        call()

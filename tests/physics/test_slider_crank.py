"""Slider-crank: published speeds, torques and a toggle clamp; a four-bar of endless output link; laws of power."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import fsolve

from mechbench.physics import linkage, slider_crank
from mechbench.physics.slider_crank import SliderCrank
from tests.published import COMPANION, READ, check

KHURMI = "Khurmi & Gupta, Theory of Machines, 14th ed., Example "
ANGLE = st.floats(-3.1, 3.1)


def test_toggle_clamp():
    """Lever pin and roller lie 24 and 7 from the shaft's wall: crank and link are 25 long, the wall is the guide."""
    source = "Baker & Haynes, Engineering Statics, chapter 6, example 'Toggle Clamp'"
    clamp, angle = SliderCrank(25.0, 25.0), -np.arctan2(7, 24)
    torque = 40 * np.cos(np.radians(60)) + 16 * np.sin(np.radians(60))
    squeeze = slider_crank.slider_force(clamp, angle, torque)
    check("slider_crank", "clamp force over handle force", squeeze, 2.42, 2e-3, source, READ)
    forces = slider_crank.slider_forces(clamp, angle, squeeze)
    check("slider_crank", "link force over handle force", forces.rod, 2.52, 2e-3, source, READ)
    assert forces.torque == pytest.approx(torque)


def test_speed_of_a_piston_from_klein_construction():
    """The rod's measured share of the speed, 173 mm of 200 mm, fits a crank at 30 degrees."""
    source, known = KHURMI + "15.1 p. 521 (crank at 30 deg)", COMPANION + "; measured in a drawing"
    engine, angle = SliderCrank(0.200, 0.700), np.radians(30)
    lean = slider_crank.slider_pose(engine, angle).lean
    check(
        "slider_crank",
        "turning speed of the rod [rad/s]",
        120 * 0.2 * np.cos(angle) / (0.7 * np.cos(lean)),
        29.66,
        0.02,
        source,
        known,
    )
    check(
        "slider_crank",
        "speed of the piston [m/s]",
        -120 * slider_crank.slider_rate(engine, angle),
        15.24,
        0.02,
        source,
        known,
    )


def test_speed_of_a_slider_at_sixty_degrees():
    source, known = KHURMI + "15.2 p. 522 (crank at 60 deg)", COMPANION + "; measured in a drawing"
    speed = -2 * np.pi * 450 / 60 * slider_crank.slider_rate(SliderCrank(0.150, 0.600), np.radians(60))
    check("slider_crank", "speed of the slider [m/s]", speed, 6.833, 0.02, source, known)


def test_thrusts_and_turning_moment_of_khurmi():
    effort = (np.round(0.5 * np.pi / 4 * 300**2) - 180 * 36 - 600) / 1000
    forces = slider_crank.slider_forces(SliderCrank(0.3, 4.5 * 0.3), np.radians(30), -effort)
    source = KHURMI + "15.10 p. 536"
    check("slider_crank", "turning moment [kN m]", forces.torque, 5.06, 2e-3, source, COMPANION)
    check("slider_crank", "thrust on the shaft's bearing [kN]", -forces.shaft, 22.9, 2e-3, source, COMPANION)


def test_turning_moment_of_a_steam_engine():
    area, rod = np.pi / 4 * 0.25**2, np.pi / 4 * 0.05**2
    speed, ratio, at = 2 * np.pi * 2, 3.0, np.radians(45)
    effort = 550e3 * area - 70e3 * (area - rod) - 60 * speed**2 * 0.2 * (np.cos(at) + np.cos(2 * at) / ratio)
    forces = slider_crank.slider_forces(SliderCrank(0.2, 0.6), at, -effort)
    source = KHURMI + "15.12 p. 538"
    check("slider_crank", "steam engine, turning moment [N m]", forces.torque, 3929.026139, 1e-6, source, COMPANION)
    check(
        "slider_crank",
        "steam engine, thrust on the bearings [kN]",
        -forces.shaft / 1000,
        11.98,
        1e-3,
        source,
        COMPANION,
    )


def test_guide_and_rod_of_an_oil_engine():
    speed, at = 2 * np.pi * 250 / 60, np.radians(60)
    effort = 0.35 * np.pi / 4 * 500**2 - 250 * speed**2 * 0.3 * (np.cos(at) + np.cos(2 * at) / 4)
    forces = slider_crank.slider_forces(SliderCrank(0.3, 1.2), at, -effort / 1000)
    source = KHURMI + "15.7 p. 533"
    check("slider_crank", "force of the guide [kN]", -forces.guide, 10.97, 1e-3, source, COMPANION)
    check("slider_crank", "thrust in the rod [kN]", -forces.rod, 50.65, 1e-3, source, COMPANION)
    check("slider_crank", "turning moment [kN m]", forces.torque, 14.491, 1e-3, source, COMPANION)


@given(st.floats(0.02, 0.2), st.floats(0.05, 0.5), st.floats(-0.1, 0.1), ANGLE)
def test_pose_against_a_blind_root_search_and_the_crank_back(r, l, offset, angle):
    part = SliderCrank(r, l, offset)
    here = slider_crank.slider_pose(part, angle)
    assume(here.assembles and np.cos(here.lean) > 0.05 and np.hypot(here.position, offset) > 1e-6)
    root = fsolve(
        lambda x: (x - r * np.cos(angle)) ** 2 + (offset - r * np.sin(angle)) ** 2 - l**2, here.position + 0.01
    )
    assert here.position == pytest.approx(root[0], abs=1e-7)
    h = 1e-6
    slope = (
        slider_crank.slider_pose(part, angle + h).position - slider_crank.slider_pose(part, angle - h).position
    ) / (2 * h)
    assert slider_crank.slider_rate(part, angle) == pytest.approx(slope, abs=1e-6)
    back, assembles = slider_crank.crank_angle(part, here.position)
    assert assembles
    left = here.position * r * np.sin(angle) - offset * r * np.cos(angle) > 1e-4
    if left:
        assert np.exp(1j * back) == pytest.approx(np.exp(1j * angle), abs=1e-5)
    assert slider_crank.slider_pose(part, back).position == pytest.approx(
        here.position, abs=1e-7
    ) or here.position < r * np.cos(back)


@given(st.floats(0.02, 0.2), st.floats(0.25, 0.5), ANGLE, st.floats(-50, 50))
def test_balance_of_slider_and_crank(r, l, angle, force):
    """Forces on the slider add to 0; the moment of the rod's force about the shaft is the torque."""
    part = SliderCrank(r, l, 0.02)
    forces, here = slider_crank.slider_forces(part, angle, force), slider_crank.slider_pose(part, angle)
    push = forces.rod * np.array([np.cos(here.lean), -np.sin(here.lean)])
    assert push[0] == pytest.approx(force, abs=1e-9) and push[1] + forces.guide == pytest.approx(0.0, abs=1e-9)
    pin = r * np.array([np.cos(angle), np.sin(angle)])
    assert pin[0] * push[1] - pin[1] * push[0] == pytest.approx(forces.torque, abs=1e-9)
    assert push @ pin / r == pytest.approx(forces.shaft, abs=1e-9)
    assume(abs(slider_crank.slider_rate(part, angle)) > 1e-4)
    assert slider_crank.slider_force(part, angle, forces.torque) == pytest.approx(force, rel=1e-9, abs=1e-9)


def test_a_slider_is_an_output_link_of_endless_length():
    """The far pivot lies straight below the shaft, so that the guide is the top of a very large circle."""
    angle, far = np.linspace(-3, 3, 13), 1e5
    pose = linkage.pose(linkage.Fourbar(0.05, 0.15, far, far), angle + np.pi / 2, 1)
    position = 0.05 * np.cos(angle) + 0.15 * np.cos(pose.coupler_angle - np.pi / 2)
    np.testing.assert_allclose(position, slider_crank.slider_pose(SliderCrank(0.05, 0.15), angle).position, atol=1e-5)


def test_a_full_stroke_takes_twice_the_crank():
    position = slider_crank.slider_pose(SliderCrank(0.05, 0.15), np.array([0.0, np.pi])).position
    assert position[0] - position[1] == pytest.approx(0.10)
    assert slider_crank.slider_force(SliderCrank(0.05, 0.15), 0.0, 1.0) == np.inf


def test_where_it_can_not_reach_nothing_is_nan():
    part, angle = SliderCrank(0.2, 0.1, 0.05), np.linspace(-np.pi, np.pi, 61)
    here = slider_crank.slider_pose(part, angle)
    assert here.assembles.any() and not here.assembles.all()
    assert np.isfinite(here.position).all() and np.isfinite(here.lean).all()
    rate = slider_crank.slider_rate(part, angle)
    forces = slider_crank.slider_forces(part, angle, 1.0)
    assert np.array_equal(np.isfinite(rate), here.assembles)
    assert not np.isnan([rate, forces.torque, forces.rod, forces.guide, forces.shaft]).any()
    assert np.all(slider_crank.slider_force(part, angle, 1.0)[~here.assembles] == 0)
    assert not slider_crank.crank_angle(part, 0.4)[1] and not slider_crank.crank_angle(SliderCrank(0.2, 0.1), 0.0)[1]


@given(ANGLE, st.floats(0.1, 20.0))
def test_scaling(angle, size):
    one, big = SliderCrank(0.05, 0.15, 0.01), SliderCrank(0.05 * size, 0.15 * size, 0.01 * size)
    assert slider_crank.slider_pose(big, angle).position == pytest.approx(
        size * slider_crank.slider_pose(one, angle).position
    )
    assert slider_crank.slider_rate(big, angle) == pytest.approx(size * slider_crank.slider_rate(one, angle), abs=1e-12)


def test_arrays_equal_scalars():
    part = SliderCrank(np.array([[0.05], [0.08]]), 0.15)
    angle = np.linspace(0, 3, 4)
    assert slider_crank.slider_rate(part, angle).shape == (2, 4)
    assert slider_crank.slider_rate(part, angle)[1, 2] == pytest.approx(
        slider_crank.slider_rate(SliderCrank(0.08, 0.15), angle[2])
    )
    assert slider_crank.crank_angle(part, 0.14)[0].shape == (2, 1)


@pytest.mark.parametrize(
    "name, call",
    [
        ("crank", lambda: SliderCrank(0.0, 0.1)),
        ("rod", lambda: SliderCrank(0.1, -0.1)),
        ("offset", lambda: SliderCrank(0.1, 0.1, np.nan)),
        ("angle", lambda: slider_crank.slider_pose(SliderCrank(0.1, 0.2), np.inf)),
        ("position", lambda: slider_crank.crank_angle(SliderCrank(0.1, 0.2), np.nan)),
        ("torque", lambda: slider_crank.slider_force(SliderCrank(0.1, 0.2), 0.5, np.nan)),
        ("force", lambda: slider_crank.slider_forces(SliderCrank(0.1, 0.2), 0.5, np.nan)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but it must be .*; .*\.$"):
        call()

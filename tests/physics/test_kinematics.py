"""Wheel speeds and motion: against the published matrix and its tests, printed answers, and the laws of rolling."""

import numpy as np
import pytest

from mechbench.physics import kinematics
from tests.published import READ, RECOMPUTED, check

BASE = (0.0475, 0.235, 0.15)  # radius, half length, half width of the published base
MODERN = (
    "Lynch & Park, Modern Robotics, section 13.2.1; tests of the Northwestern 'Mobile Manipulation Capstone' page, "
    "milestone 1, in public solutions that quote it"
)
QUIZ = (
    "CSCE 452/752 Robotics and Spatial Intelligence, Fall 2025, homework 3, printed solutions (jokane.net/x52/hw03/sol)"
)


def test_mecanum_base_driven_for_one_second():
    ahead = kinematics.mecanum_motion(*BASE, [10, 10, 10, 10])
    left = kinematics.mecanum_motion(*BASE, [-10, 10, -10, 10])
    turn = kinematics.mecanum_motion(*BASE, [-10, 10, 10, -10])
    limited = kinematics.mecanum_motion(*BASE, kinematics.normalise([10, 10, 10, 10], 5.0))
    check("kinematics", "mecanum ahead, 1 s [m]", ahead[0], 0.475, 4e-4, MODERN, READ)
    check("kinematics", "mecanum to the left, 1 s [m]", left[1], 0.475, 4e-4, MODERN, READ)
    check("kinematics", "mecanum turning, 1 s [rad]", turn[2], 1.234, 4e-4, MODERN, READ)
    check("kinematics", "mecanum ahead with wheels limited to 5 rad/s, 1 s [m]", limited[0], 0.2375, 4e-4, MODERN, READ)
    for motion, moves in ((ahead, 0), (left, 1), (turn, 2)):
        rest = [value for place, value in enumerate(motion) if place != moves]
        assert np.allclose(rest, 0.0, atol=1e-12), "a pure motion has no share of the others"


def test_differential_drive_against_printed_answers():
    ahead, turn = kinematics.differential_motion(1.0, 0.10, 0.05, 0.05)  # radius 1 m: wheel speeds are rim speeds
    check("kinematics", "differential drive, both sides 5 cm/s for 5 s [m]", 5 * ahead, 0.25, 1e-9, QUIZ, READ)
    assert turn == 0
    _, right = kinematics.differential_wheels(1.0, 0.10, 0.0, np.pi / 4)
    check(
        "kinematics",
        "wheel speed for half a turn in 4 s, wheels 10 cm apart [cm/s]",
        100 * right,
        5 * np.pi / 4,
        1e-9,
        QUIZ,
        READ,
    )
    track = 36 / np.pi / 100
    _, turn = kinematics.differential_motion(1.0, track, 0.03, -0.03)
    check("kinematics", "a quarter turn to the right in 3 s at 36/pi cm [rad]", 3 * turn, -np.pi / 2, 1e-9, QUIZ, READ)


def test_roller_geometry_gives_the_matrix():
    """Each wheel from first principles: the hub's speed along the axis of the roller on the floor equals the rim's."""
    r, l, b = BASE
    places = [(l, b), (l, -b), (-l, -b), (-l, b)]
    axes = [(1, -1), (1, 1), (1, -1), (1, 1)]  # of the roller on the floor: ahead, left
    rng = np.random.default_rng(3)
    for ahead, left, turn in rng.normal(size=(20, 3)):
        wheels = kinematics.mecanum_wheels(r, l, b, ahead, left, turn)
        for (x, y), axis, speed in zip(places, axes, wheels):
            hub = np.array([ahead - turn * y, left + turn * x])
            assert hub @ axis == pytest.approx(r * speed * axis[0], rel=1e-9, abs=1e-12)
    check(
        "kinematics",
        "wheel speed of the front left wheel, from the rollers' geometry [rad/s]",
        kinematics.mecanum_wheels(r, l, b, 0.3, 0.2, 0.5)[0],
        (0.3 - 0.2 - 0.5 * (l + b)) / r,
        1e-12,
        "rolling without slip",
        RECOMPUTED,
    )


def test_forward_of_inverse_is_the_same_motion():
    rng = np.random.default_rng(5)
    ahead, left, turn = rng.normal(size=(3, 50))
    wheels = kinematics.mecanum_wheels(*BASE, ahead, left, turn)
    back = kinematics.mecanum_motion(*BASE, wheels)
    assert np.allclose(back[:3], (ahead, left, turn)) and np.allclose(back[3], 0.0, atol=1e-12)
    sides = kinematics.differential_wheels(0.05, 0.4, ahead, turn)
    assert np.allclose(kinematics.differential_motion(0.05, 0.4, *sides), (ahead, turn))


def test_wheels_that_fight_do_not_move_the_robot():
    ahead, left, turn, fight = kinematics.mecanum_motion(*BASE, [8.0, 8.0, -8.0, -8.0])
    assert np.allclose((ahead, left, turn), 0.0, atol=1e-12) and fight == pytest.approx(8.0 * BASE[0])


def test_mirror_symmetry():
    """The mirror image of a motion has the wheel speeds of the two sides exchanged."""
    wheels = kinematics.mecanum_wheels(*BASE, 0.7, 0.3, 0.9)
    mirrored = kinematics.mecanum_wheels(*BASE, 0.7, -0.3, -0.9)
    assert np.allclose(mirrored, wheels[[1, 0, 3, 2]])
    left, right = kinematics.differential_wheels(0.05, 0.4, 0.7, 0.9)
    assert np.allclose(kinematics.differential_wheels(0.05, 0.4, 0.7, -0.9), (right, left))


def test_power_at_the_wheels_is_power_of_the_robot():
    """Virtual work: the matrix turned over gives forces from torques, so an ideal mecanum loses nothing sideways."""
    matrix, torque = kinematics.mecanum_matrix(*BASE), np.array([1.0, -0.5, 2.0, 0.3])
    motion = np.array([0.4, 0.9, -0.6])
    assert torque @ (matrix @ motion) == pytest.approx((matrix.T @ torque) @ motion)
    forces = matrix.T @ np.ones(4)
    assert forces[1] == pytest.approx(4 / BASE[0]) and np.allclose(forces[[0, 2]], 0)


def test_top_speed_in_every_direction():
    for direction in np.linspace(-np.pi, np.pi, 33):
        speed = kinematics.mecanum_top_speed(BASE[0], 30.0, direction)
        wheels = kinematics.mecanum_wheels(*BASE, speed * np.cos(direction), speed * np.sin(direction), 0.0)
        assert np.max(np.abs(wheels)) == pytest.approx(30.0)


def test_normalising_keeps_the_path():
    asked = kinematics.mecanum_wheels(*BASE, np.array([2.0, 0.1]), np.array([1.0, 0.05]), np.array([3.0, 0.1]))
    given = kinematics.normalise(asked, 30.0)
    assert np.max(np.abs(given[0])) == pytest.approx(30.0) and np.array_equal(given[1], asked[1])
    before, after = (np.array(kinematics.mecanum_motion(*BASE, w[0])[:3]) for w in (asked, given))
    assert np.allclose(after / after[0], before / before[0])
    assert np.array_equal(kinematics.normalise(np.zeros(4), 1.0), np.zeros(4))
    assert np.allclose(kinematics.normalise(asked, np.array([30.0, 2.0]))[1], kinematics.normalise(asked[1], 2.0))


@pytest.mark.parametrize(
    "wrong, says",
    [
        (lambda: kinematics.differential_wheels(0.0, 0.4, 1.0, 0.0), "radius is 0"),
        (lambda: kinematics.differential_motion(0.05, -0.4, 1.0, 0.0), "track is -0.4"),
        (lambda: kinematics.mecanum_matrix(0.05, 0.0, 0.2), "half_length is 0"),
        (lambda: kinematics.mecanum_matrix(0.05, 0.2, [0.2, 0.3]), "half_width"),
        (lambda: kinematics.mecanum_motion(0.05, 0.2, 0.2, [1.0, 2.0]), "wheel_speed has the shape"),
        (lambda: kinematics.mecanum_top_speed(0.05, -1.0, 0.0), "wheel_speed is -1"),
        (lambda: kinematics.normalise([1.0], 0.0), "limit is 0"),
    ],
)
def test_bad_input_is_one_sentence_that_names_it(wrong, says):
    with pytest.raises(ValueError, match=says):
        wrong()

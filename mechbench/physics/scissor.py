r"""Scissor: crossed arms that rise when their feet are drawn together: height, force over the stroke, and the steep
start.

        o=========o   platform with the load       n cells of two crossed arms, each arm of length L, at the angle
         \       /                                 of the arms above level:
           \   /
             x        cell 2                           height       h = n L sin(angle)
           /   \                                       foot width   x = L cos(angle)
         /       \
        o         o                                One foot is held on the frame, the other slides; so do the ends
         \       /                                 at the platform. The same drive lifts everything: by virtual work
           \   /                                   its force does not depend on where the load sits.
             x        cell 1
           /   \
         /       \                                 At the start cot(angle) is large: that is the steep start.
        o ------> o <=== sliding foot, pushed inwards
      held

Contents
    Scissor, height, angle_at                        the arms, and how high they reach
    weight_torque, inertia_felt, slide_friction      what a shaft at the held foot feels that turns the lowest arm
    foot_force, start_angle, steepness               a push at the sliding foot; where it can start; how steep the start
    is
    cylinder_length, cylinder_force                  a cylinder or screw from the frame to the lowest arm
    play                                             how far the top can be rocked: play adds up cell by cell

The ways of drives over the stroke, and the Load that they feel, are in scissor_load. A lead screw at the foot:
foot_force
is its load (screw.torque_to_raise). A shaft that turns the lowest arm itself feels weight_torque.
A scissor pinches between all of its arms: hands stay out while it can move, also with the power off.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check
from mechbench.physics.constants import GRAVITY


@dataclass(frozen=True)
class Scissor:
    """Hold a scissor of equal cells; arrays broadcast.

    Fields
    ------
    cells : [whole] crossings one above the other, at least 1
    arm : [m] length of one arm, from end pin to end pin, > 0
    load : [kg] raised, with the platform, >= 0
    cell_mass : [kg] of all arms and pins of one cell, spread evenly along the arms, >= 0

    Valid: rigid arms that cross in their middle; the load goes straight up.
    Source: common practice, no source.
    """

    cells: int
    arm: float
    load: float
    cell_mass: float = 0.0

    def __post_init__(self):
        object.__setattr__(self, "cells", check.whole("cells", self.cells, 1))
        object.__setattr__(self, "arm", check.positive("arm", self.arm))
        object.__setattr__(self, "load", check.not_negative("load", self.load))
        object.__setattr__(self, "cell_mass", check.not_negative("cell_mass", self.cell_mass))


def _angle(angle):
    """Return the angle; refuse level and upright arms."""
    numbers = check.finite("angle", angle)
    if np.any((np.asarray(numbers) <= 0) | (np.asarray(numbers) >= np.pi / 2)):
        raise ValueError(
            f"angle is {np.min(numbers):g} to {np.max(numbers):g} rad, but it must be above 0 and below pi/2; "
            "start with the arms a little raised, level arms can't be pushed up."
        )
    return numbers


def height(scissor, angle):
    """Give the height of the platform's pins above the foot pins.

    Equation: h = n L sin(angle)

    Parameters
    ----------
    scissor : [part] a Scissor
    angle : [rad] of the arms above level, above 0 and below pi/2

    Returns
    -------
    height : [m] pin to pin; the thickness of arms and platform comes on top

    Valid: rigid arms.
    Raises: ValueError when angle is out of its range.
    Source: plane geometry.

    >>> print(f"{height(Scissor(3, 0.2, 0.5), np.radians(60)):.3f}")
    0.520
    """
    return scissor.cells * scissor.arm * np.sin(_angle(angle))


def angle_at(scissor, height):
    """Give the angle of the arms at a height.

    Equation: angle = asin(h / (n L))

    Parameters
    ----------
    scissor : [part] a Scissor
    height : [m] of the platform's pins above the foot pins, above 0 and below n L

    Returns
    -------
    angle : [rad] of the arms above level

    Valid: rigid arms.
    Raises: ValueError when height is not above 0 or the arms are too short for it.
    Source: plane geometry.

    >>> print(f"{np.degrees(angle_at(Scissor(3, 0.2, 0.5), 0.52)):.0f} deg")
    60 deg
    """
    share = check.positive("height", height) / (scissor.cells * scissor.arm)
    if np.any(np.asarray(share) >= 1):
        raise ValueError(
            f"height is {np.max(height):g} m, but it must be below {np.min(scissor.cells * scissor.arm):g} m, all "
            "arms end to end; take more cells or longer arms."
        )
    return np.arcsin(share)


# --- what a shaft feels that turns the lowest arm -------------------------------------------------------------------


def weight_torque(scissor, angle):
    """Give the torque of all weights on a shaft at the held foot that turns the lowest arm.

    Equation: T = g (m_load + n m_cell / 2) n L cos(angle), by virtual work

    Parameters
    ----------
    scissor : [part] a Scissor
    angle : [rad] of the arms above level

    Returns
    -------
    torque : [N·m] that the shaft must give to hold them

    Valid: at rest or moving slowly, no friction. The arms' own weight counts half: their middle rises half as far.
    Raises: ValueError when angle is out of its range.
    Source: principle of virtual work; Beer, Johnston et al., Vector Mechanics for Engineers: Statics, 9th ed., section
        10.3
        (from memory).

    >>> print(f"{weight_torque(Scissor(3, 0.2, 0.5, 0.1), np.radians(20)):.2f}")
    3.59
    """
    mass = scissor.load + scissor.cells * scissor.cell_mass / 2
    return GRAVITY * mass * scissor.cells * scissor.arm * np.cos(_angle(angle))


def inertia_felt(scissor, angle):
    """Give the inertia of load and arms on a shaft at the held foot that turns the lowest arm.

    Equation: J = m_load (n L cos)^2 + m_cell L^2 n (sin^2 / 4 + (4 n^2 - 1) cos^2 / 12 + 1/12)

    Parameters
    ----------
    scissor : [part] a Scissor
    angle : [rad] of the arms above level

    Returns
    -------
    inertia : [kg·m2] it falls as the scissor rises

    Valid: one foot held, the other sliding, so the middles of all arms move sideways by half the foot's way.
    Raises: ValueError when angle is out of its range.
    Source: kinetic energy of plane motion, OpenStax University Physics Vol. 1, section 11.1; sum over the cells of the
        squares of the middles' heights: n (4 n^2 - 1) / 12.

    >>> print(f"{inertia_felt(Scissor(3, 0.2, 0.5, 0.1), np.radians(20)):.3f}")
    0.191
    """
    n, cosine, sine = scissor.cells, np.cos(_angle(angle)), np.sin(angle)
    arms = scissor.cell_mass * scissor.arm**2 * n * (sine**2 / 4 + (4 * n**2 - 1) / 12 * cosine**2 + 1 / 12)
    return scissor.load * (n * scissor.arm * cosine) ** 2 + arms


def slide_friction(scissor, angle, friction):
    """Give the torque of friction at both sliding ends on a shaft that turns the lowest arm.

    Equation: T = mu g (m_load + n m_cell / 2) L sin(angle): half of all weight at the foot, half of the load on top

    Parameters
    ----------
    scissor : [part] a Scissor
    angle : [rad] of the arms above level
    friction : [-] coefficient of friction at foot and platform, >= 0

    Returns
    -------
    torque : [N·m] always against the motion

    Valid: the load in the middle of the platform; friction in the pins left out; what a slanting drive adds to the
        weight on the foot left out.
    Raises: ValueError when angle is out of its range or friction is negative.
    Source: principle of virtual work with friction; common practice, no source.

    >>> print(f"{slide_friction(Scissor(3, 0.2, 0.5, 0.1), np.radians(20), 0.2):.3f}")
    0.087
    """
    mass = scissor.load + scissor.cells * scissor.cell_mass / 2
    return check.not_negative("friction", friction) * GRAVITY * mass * scissor.arm * np.sin(_angle(angle))


# --- a push at the sliding foot -------------------------------------------------------------------------------------


def foot_force(scissor, angle):
    """Give the level push at the sliding foot that holds the scissor.

    Equation: F = g n (m_load + n m_cell / 2) / tan(angle)

    Parameters
    ----------
    scissor : [part] a Scissor
    angle : [rad] of the arms above level

    Returns
    -------
    force : [N] inwards; without bound as the arms come to lie level

    Valid: at rest or moving slowly, no friction.
    Raises: ValueError when angle is out of its range.
    Source: principle of virtual work; H. M. Spackman, Mathematical Analysis of Scissor Lifts, Naval Ocean Systems
        Center TD 1550 (1989) (formula from memory).

    >>> print(f"{foot_force(Scissor(3, 0.2, 50.0 / 9.80665), np.radians(20)):.1f}")
    412.1
    """
    return weight_torque(scissor, angle) / (scissor.arm * np.sin(angle))


def start_angle(scissor, force):
    """Give the least angle of the arms from which a push at the foot can lift.

    Equation: angle = atan(g n (m_load + n m_cell / 2) / F)

    Parameters
    ----------
    scissor : [part] a Scissor
    force : [N] that the drive can give at the sliding foot, > 0

    Returns
    -------
    angle : [rad] below it the scissor stays down

    Valid: no friction; leave room for it.
    Raises: ValueError when force is not above 0.
    Source: foot_force, solved for the angle.

    >>> print(f"{np.degrees(start_angle(Scissor(3, 0.2, 0.5, 0.1), 100.0)):.1f} deg")
    10.8 deg
    """
    mass = scissor.load + scissor.cells * scissor.cell_mass / 2
    return np.arctan(GRAVITY * scissor.cells * mass / check.positive("force", force))


def steepness(start, end):
    """Give how many times harder the foot must be pushed at the start of the stroke than at its end.

    Equation: tan(end) / tan(start)

    Parameters
    ----------
    start : [rad] angle of the arms where the stroke begins, above 0 and below pi/2
    end : [rad] angle where it ends

    Returns
    -------
    steepness : [-] more than 1 where the stroke goes up

    Valid: a level push at the foot; the same for any number of cells.
    Raises: ValueError when an angle is out of its range.
    Source: foot_force.

    >>> print(f"{steepness(np.radians(10), np.radians(60)):.1f}")
    9.8
    """
    return np.tan(_angle(end)) / np.tan(_angle(start))


# --- a cylinder from the frame to the lowest arm --------------------------------------------------------------------


def cylinder_length(scissor, angle, base, along):
    """Give the length of a cylinder or screw between a point on the frame and the arm that is pinned at the held foot.

    Equation: s^2 = base^2 + along^2 - 2 base along cos(angle)

    Parameters
    ----------
    scissor : [part] a Scissor
    angle : [rad] of the arms above level
    base : [m] of the point on the frame, level from the held foot towards the sliding one, > 0
    along : [m] of the point on the arm, from the held foot, above 0 and at most the arm's length

    Returns
    -------
    length : [m] from point to point; it grows as the scissor rises

    Valid: point on the frame at the height of the foot pins.
    Raises: ValueError when a number is out of its range.
    Source: law of cosines; Beer, Johnston et al., Vector Mechanics for Engineers: Statics, 9th ed., Sample Problem
        10.3.

    >>> print(f"{cylinder_length(Scissor(1, 1.4, 500.0), np.radians(60), 3.20, 0.70):.2f}")
    2.91
    """
    base, along = check.positive("base", base), check.positive("along", along)
    if np.any(np.asarray(along) > np.asarray(scissor.arm)):
        raise ValueError(
            f"along is {np.max(along):g} m, but it must be at most the arm's length of {np.min(scissor.arm):g} m; "
            "put the pin on the arm."
        )
    return np.sqrt(base**2 + along**2 - 2 * base * along * np.cos(_angle(angle)))


def cylinder_force(scissor, angle, base, along):
    """Give the push of a cylinder or screw between frame and lowest arm that holds the scissor.

    Equation: F = T s / (base along sin(angle)), T of weight_torque

    Parameters
    ----------
    scissor : [part] a Scissor
    angle : [rad] of the arms above level
    base : [m] of the point on the frame from the held foot, > 0
    along : [m] of the point on the arm from the held foot, above 0 and at most the arm's length

    Returns
    -------
    force : [N] along the cylinder

    Valid: at rest or moving slowly, no friction, cylinder without weight.
    Raises: ValueError when a number is out of its range.
    Source: Beer, Johnston et al., Vector Mechanics for Engineers: Statics, 9th ed., Sample Problem 10.3.

    >>> print(f"{cylinder_force(Scissor(1, 1.4, 500.0), np.radians(60), 3.20, 0.70) / 1000:.2f} kN")
    5.15 kN
    """
    length = cylinder_length(scissor, angle, base, along)
    return weight_torque(scissor, angle) * length / (base * along * np.sin(angle))


# --- play -----------------------------------------------------------------------------------------------------------


def play(scissor, angle, foot_play, pin_play):
    """Give how far the top of a scissor can be rocked up and down at most while its drive stands.

    Equation: h = n F cot + P (n^2 cot + 2 sum over k = 0..n of sqrt((k cot)^2 + 1/4)), cot of the angle

    Parameters
    ----------
    scissor : [part] a Scissor
    angle : [rad] of the arms above level
    foot_play : [m] F, that the sliding foot can move while the drive stands, >= 0
    pin_play : [m] P, that each pin can move in its hole from side to side, >= 0

    Returns
    -------
    play : [m] from the lowest to the highest place of the platform's middle

    Valid: play small against the arms; every pin at its worst at the same time, so an upper limit. It grows with the
        square of the cells: the play of a lower pin spreads all cells above it.
    Raises: ValueError when angle is out of its range or a play is negative.
    Source: derivatives of the pins' places, plane geometry; common practice, no source.

    >>> for cells in (1, 2, 4):
    ...     print(f"{1000 * play(Scissor(cells, 0.2, 0.5), np.radians(20), 0.0, 0.0002):.1f} mm")
    1.9 mm
    5.7 mm
    20.0 mm
    """
    cot, n = 1 / np.tan(_angle(angle)), np.asarray(scissor.cells)
    ends = 0.0
    for k in range(int(np.max(n)) + 1):
        ends = ends + np.where(k <= n, np.sqrt((k * cot) ** 2 + 0.25), 0.0)
    pins = check.not_negative("pin_play", pin_play) * (n**2 * cot + 2 * ends)
    return n * check.not_negative("foot_play", foot_play) * cot + pins

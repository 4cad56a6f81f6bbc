r"""Chained pair: two links on one motor, the second one turned by a chain from a sprocket that is fixed to the frame.

               o tip
              /                      The elbow sprocket (z_e teeth) is fixed to the second link, and chained to the base
             /  angle2               sprocket (z_b teeth), which is fixed to the FRAME:
      elbow o-----------
           /                             angle2 = offset + (1 - z_b / z_e) angle1
          /
         /  angle1                   All angles are absolute: from level, counted from the front, in rad. Only the elbow
   base o-----------                 joint sees the relative angle, and nothing here uses it.

Contents
    Pair                     two links and their sprockets
    second_rate, angles      how far the second link turns, and where it points
    pose                     places of elbow and tip
    torque, inertia          what one motor at the base feels, by virtual work
    tip_rate                 how far the tip moves for each radian of the first link
    ratio                    the sprockets that turn the second link as wanted
    path                     the path of the tip over a swing, and which way the second link points
    Reach, reach             how far elbow and tip go over a swing

The torque of a chained pair is NOT the sum of the torques at its two joints: one motor moves both links, and each does
work in proportion to how far it really turns. The swing itself, and a counter-spring, are in arm.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check
from mechbench.physics.constants import GRAVITY

_STEPS = (
    720  # places looked at over a swing: the farthest one is missed by less than 2e-5 of the links in one whole turn
)


@dataclass(frozen=True)
class Pair:
    """Hold two links, the second kept by a chain from a sprocket that is fixed to the frame.

    Fields
    ------
    first_length : [m] pivot to elbow, > 0
    second_length : [m] elbow to tip, > 0
    first_mass : [kg] of the first link, spread evenly, >= 0
    second_mass : [kg] of the second link, spread evenly, >= 0
    elbow_mass : [kg] at the elbow (sprocket, shaft), >= 0
    tip_mass : [kg] at the tip (gripper, payload), >= 0
    base_teeth : [whole] of the sprocket fixed to the frame, at least 1
    elbow_teeth : [whole] of the sprocket fixed to the second link, at least 1
    offset : [rad] absolute angle of the second link when the first is level

    Valid: rigid links, tight chain.
    Source: common practice, no source; the chain: DMG-Lib item 19581023, n4 = n1 (z4 - z2) / z4.
    """

    first_length: float
    second_length: float
    first_mass: float
    second_mass: float
    elbow_mass: float
    tip_mass: float
    base_teeth: int
    elbow_teeth: int
    offset: float

    def __post_init__(self):
        for name in ("first_length", "second_length"):
            check.positive(name, getattr(self, name))
        for name in ("first_mass", "second_mass", "elbow_mass", "tip_mass"):
            check.not_negative(name, getattr(self, name))
        for name in ("base_teeth", "elbow_teeth"):
            check.whole(name, getattr(self, name), 1)
        check.finite("offset", self.offset)


def second_rate(pair):
    """Give how far the second link turns, absolutely, for each radian of the first.

    Equation: d(angle2) / d(angle1) = 1 - z_b / z_e

    Parameters
    ----------
    pair : [part] a Pair

    Returns
    -------
    rate : [-] 0 keeps the second link's direction; -1 turns it the other way as fast

    Valid: chain or toothed belt, which does not reverse; the base sprocket does not turn.
    Raises: nothing.
    Source: DMG-Lib item 19581023, n4 = n1 (z4 - z2) / z4.

    >>> print(second_rate(Pair(0.35, 0.35, 0.2, 0.2, 0.0, 0.3, 40, 20, 0.0)))
    -1.0
    """
    return 1 - np.asarray(pair.base_teeth) / np.asarray(pair.elbow_teeth)


def angles(pair, angle):
    """Give the absolute angles of both links.

    Equation: angle2 = offset + (1 - z_b / z_e) angle1

    Parameters
    ----------
    pair : [part] a Pair
    angle : [rad] of the first link above level

    Returns
    -------
    first : [rad] of the first link
    second : [rad] of the second link, absolute as well

    Valid: as second_rate.
    Raises: ValueError when angle is not a finite number.
    Source: as second_rate.

    >>> pair = Pair(0.35, 0.35, 0.2, 0.2, 0.0, 0.3, 40, 20, np.radians(274))
    >>> print(round(np.degrees(angles(pair, np.radians(100))[1])))
    174
    """
    angle = check.finite("angle", angle)
    return angle, pair.offset + second_rate(pair) * angle


def pose(pair, angle):
    """Give the places of elbow and tip, from the pivot: forwards and up.

    Equation: x = l_1 cos a_1 + l_2 cos a_2; y = l_1 sin a_1 + l_2 sin a_2

    Parameters
    ----------
    pair : [part] a Pair
    angle : [rad] of the first link above level

    Returns
    -------
    elbow_x : [m] forwards of the pivot
    elbow_y : [m] above the pivot
    tip_x : [m] forwards of the pivot
    tip_y : [m] above the pivot

    Valid: rigid links.
    Raises: ValueError when angle is not a finite number.
    Source: common practice, no source.

    >>> pair = Pair(0.35, 0.35, 0.2, 0.2, 0.0, 0.3, 40, 20, np.radians(180))
    >>> print([f"{v:.2f}" for v in pose(pair, 0.0)])
    ['0.35', '0.00', '0.00', '0.00']
    """
    first, second = angles(pair, angle)
    elbow_x, elbow_y = pair.first_length * np.cos(first), pair.first_length * np.sin(first)
    return (
        elbow_x,
        elbow_y,
        elbow_x + pair.second_length * np.cos(second),
        elbow_y + pair.second_length * np.sin(second),
    )


def _parts(pair):
    """(mass, share of link 1, share of link 2) of each lump: where along the links its centre of gravity sits."""
    return (
        (pair.first_mass, 0.5, 0.0),
        (pair.second_mass, 1.0, 0.5),
        (pair.elbow_mass, 1.0, 0.0),
        (pair.tip_mass, 1.0, 1.0),
    )


def torque(pair, angle):
    """Give the torque that one motor at the base needs to hold a chained pair.

    Equation: T = sum of m g dy/d(angle1), by virtual work

    Parameters
    ----------
    pair : [part] a Pair
    angle : [rad] of the first link above level

    Returns
    -------
    torque : [N·m] against a growing angle

    Valid: no friction; it is not the sum of the torques at the two joints.
    Raises: ValueError when angle is not a finite number.
    Source: principle of virtual work, Hibbeler & Gupta, Engineering Mechanics, chapter 11 (from memory).

    >>> pair = Pair(0.35, 0.35, 0.2, 0.2, 0.0, 0.3, 40, 20, np.radians(274))
    >>> print(f"{torque(pair, np.radians(20)):.2f}")
    2.31
    """
    first, second = angles(pair, angle)
    rate, torque = second_rate(pair), 0.0
    for mass, on_first, on_second in _parts(pair):
        rise = on_first * pair.first_length * np.cos(first) + on_second * pair.second_length * np.cos(second) * rate
        torque = torque + mass * GRAVITY * rise
    return torque


def inertia(pair, angle):
    """Give the inertia that one motor at the base feels from a chained pair; it changes along the swing.

    Equation: J = sum of m |dp/d(angle1)|^2 + sum of m_link l^2 / 12 (d(angle_link)/d(angle1))^2

    Parameters
    ----------
    pair : [part] a Pair
    angle : [rad] of the first link above level

    Returns
    -------
    inertia : [kg·m2] about the base shaft

    Valid: slender links; lumps at elbow and tip without inertia of their own.
    Raises: ValueError when angle is not a finite number.
    Source: kinetic energy of plane motion, OpenStax University Physics Vol. 1, section 11.1.

    >>> pair = Pair(0.35, 0.35, 0.2, 0.2, 0.0, 0.3, 40, 20, np.radians(180))
    >>> print(f"{inertia(pair, np.radians(90)):.4f}")
    0.0163
    """
    first, second = angles(pair, angle)
    rate = second_rate(pair)
    inertia = pair.first_mass * pair.first_length**2 / 12 + pair.second_mass * pair.second_length**2 / 12 * rate**2
    for mass, on_first, on_second in _parts(pair):
        a, b = on_first * pair.first_length, on_second * pair.second_length * rate
        inertia = inertia + mass * (a**2 + b**2 + 2 * a * b * np.cos(first - second))
    return inertia


def tip_rate(pair, angle):
    """Give how far the tip of a chained pair moves for each radian that the first link turns: for the drop by play.

    Equation: |dp/d(angle1)| = sqrt(l_1^2 + (r l_2)^2 + 2 r l_1 l_2 cos(a_1 - a_2)), r = 1 - z_b / z_e

    Parameters
    ----------
    pair : [part] a Pair
    angle : [rad] of the first link above level

    Returns
    -------
    rate : [m] for each radian; play of the train times this is the way of the tip in its play

    Valid: rigid links, tight chain.
    Raises: ValueError when angle is not a finite number.
    Source: derivative of pose.

    >>> pair = Pair(0.35, 0.35, 0.2, 0.2, 0.0, 0.3, 40, 20, np.pi)
    >>> print(f"{tip_rate(pair, 0.0):.2f} {tip_rate(pair, np.pi / 2):.2f}")
    0.70 0.00
    """
    first, second = angles(pair, angle)
    a, b = pair.first_length, pair.second_length * second_rate(pair)
    return np.sqrt(np.maximum(a**2 + b**2 + 2 * a * b * np.cos(first - second), 0.0))


def ratio(first_turn, second_turn):
    """Give the ratio of sprockets that turns the second link as wanted.

    Equation: z_base / z_elbow = 1 - second_turn / first_turn, both absolute

    Parameters
    ----------
    first_turn : [rad] that the first link turns, not 0
    second_turn : [rad] that the second link must turn in that time, as seen from the frame; 0 keeps its direction

    Returns
    -------
    ratio : [-] teeth of the base sprocket over teeth of the elbow sprocket; 0 or less can't be made with a plain chain

    Valid: chain or toothed belt; the base sprocket is fixed to the frame.
    Raises: ValueError when first_turn is 0 or a number is not finite.
    Source: Digital Mechanism and Gear Library (DMG-Lib), item 19581023, n4 = n1 (z4 - z2) / z4, solved for z2 / z4.

    >>> print(f"{ratio(np.radians(90), np.radians(-90)):.0f}:1")
    2:1
    """
    first = check.finite("first_turn", first_turn)
    if np.any(np.asarray(first) == 0):
        raise ValueError("first_turn is 0, but it must be a turn; give the angle that the first link swings through.")
    return 1 - check.finite("second_turn", second_turn) / first


def path(pair, start, end, points=61):
    """Give the path of a chained pair's tip over a swing, and which way its second link points.

    Equation: as pose; direction = offset + (1 - z_b / z_e) angle1

    Parameters
    ----------
    pair : [part] a Pair
    start : [rad] of the first link above level, where the swing begins
    end : [rad] where it ends
    points : [whole] of the path, at least 2

    Returns
    -------
    x : [m] forwards of the base pivot, last axis the points
    y : [m] above the base pivot
    direction : [rad] absolute angle of the second link

    Valid: rigid links, tight chain.
    Raises: ValueError when start or end is not a finite number or points is below 2.
    Source: as pose.

    >>> straight = Pair(0.3, 0.3, 0.2, 0.2, 0.0, 0.3, 40, 20, np.pi)  # 2:1 and equal links: the tip runs straight up
    >>> x, y, _ = path(straight, 0.0, np.pi / 2, 3)
    >>> print(np.round(np.abs(x), 3), np.round(y, 3))
    [0. 0. 0.] [0.    0.424 0.6  ]
    """
    share = np.linspace(0.0, 1.0, check.whole("points", points, 2))
    start, end = np.asarray(check.finite("start", start))[..., None], np.asarray(check.finite("end", end))[..., None]
    angle = start + (end - start) * share
    _, _, x, y = pose(pair, angle)
    return x, y, angles(pair, angle)[1]


@dataclass(frozen=True)
class Reach:
    """Hold how far a chained pair goes over a swing; elbow and tip count, from the base pivot.

    Fields
    ------
    forward : [m] farthest ahead of the pivot
    backward : [m] farthest behind it, as a number below 0 where it goes there
    up : [m] highest above the pivot
    down : [m] lowest, below 0 where it goes below the pivot
    far : [m] greatest distance of the tip from the pivot
    """

    forward: float
    backward: float
    up: float
    down: float
    far: float


def reach(pair, start, end):
    """Give how far elbow and tip of a chained pair go over a swing: for the start box and the limits of size.

    Equation: the largest and least x and y of elbow and tip over the swing

    Parameters
    ----------
    pair : [part] a Pair
    start : [rad] of the first link above level
    end : [rad] where the swing ends

    Returns
    -------
    reach : [part] a Reach

    Valid: 720 places of the swing are looked at; a maximum between two of them is missed by less than 2e-5 of the links
        where the first link turns once and the second not faster than twice. What sticks out beyond the pins is not
        in it.
    Raises: ValueError when start or end is not a finite number.
    Source: as pose.

    >>> reach = reach(Pair(0.35, 0.35, 0.2, 0.2, 0.0, 0.3, 40, 20, np.radians(274)), 0.0, np.radians(180))
    >>> print(f"{reach.forward:.3f} {reach.backward:.3f} {reach.up:.3f}")
    0.374 -0.512 0.477
    """
    share = np.linspace(0.0, 1.0, _STEPS + 1)
    start, end = np.asarray(check.finite("start", start))[..., None], np.asarray(check.finite("end", end))[..., None]
    elbow_x, elbow_y, x, y = np.broadcast_arrays(*pose(pair, start + (end - start) * share))
    across, high = np.concatenate([elbow_x, x], axis=-1), np.concatenate([elbow_y, y], axis=-1)
    return Reach(
        across.max(axis=-1), across.min(axis=-1), high.max(axis=-1), high.min(axis=-1), np.hypot(x, y).max(axis=-1)
    )

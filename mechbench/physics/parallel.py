r"""Parallel linkage and chained pair: arms that keep, or steer, the direction of what they carry.

     parallel: two equal bars                         chained: the base sprocket is fixed to the frame, a chain turns
                                                      the wheel at the arm's end
        o===========o--.                                     o
   spacing          |  | plate                              / \  second link
        o===========o--'--- x load, ahead of the pins      /   \
       pivots    length                                   o base sprocket

Contents
    parallel_path, parallel_rod_force     where a load on the plate goes; what the second bar feels
    parallel_fourbar                      the same arm as a four-bar, for all of linkage and linkage_load
    chain_ratio                           the sprockets that turn the second link as wanted
    chained_path                          the path of a pair's tip, and which way its second link points
    Reach, chained_reach                  how far elbow and tip go over a swing

The pair itself is in arm (Pair, pair_pose, pair_angles, second_rate, pair_torque); a wheel on an arm in planetary.
The torque that lifts a load on a parallel linkage is arm.link_torque with the bar's length: how far ahead of the pins the
load sits does not matter to the motor, because the plate does not turn. It matters to the bars.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check
from mechbench.physics.arm import pair_angles, pair_pose
from mechbench.physics.constants import GRAVITY
from mechbench.physics.linkage import Fourbar

_STEPS = 720  # places looked at over a swing: the farthest one is missed by less than 2e-5 of the links in one whole turn


def parallel_path(length, angle, ahead=0.0, above=0.0):
    """Give the path of a point on the plate of a parallel linkage; the plate keeps its direction.

    Equation: x = l cos(angle) + ahead; y = l sin(angle) + above

    Parameters
    ----------
    length : [m] of both bars, pin to pin, > 0
    angle : [rad] of the bars above level, counted from the front
    ahead : [m] of the point, forwards of the plate's lower pin
    above : [m] of the point, above the plate's lower pin

    Returns
    -------
    x : [m] forwards of the lower pivot
    y : [m] above the lower pivot

    Valid: bars of equal length, pivots as far apart as the plate's pins, never all four pins in line: there it can fold.
    Raises: ValueError when length is not above 0 or a number is not finite.
    Source: plane geometry of a parallelogram.

    >>> x, y = parallel_path(0.3, np.radians(30), ahead=0.05)
    >>> print(f"{x:.3f} {y:.3f}")
    0.310 0.150
    """
    length, angle = check.positive("length", length), check.finite("angle", angle)
    return length * np.cos(angle) + check.finite("ahead", ahead), length * np.sin(angle) + check.finite("above", above)


def parallel_rod_force(mass, ahead, spacing, angle):
    """Give the pull in the unpowered upper bar of a parallel linkage; it keeps the plate from tipping.

    Equation: S = m g ahead / (spacing cos(angle))

    Parameters
    ----------
    mass : [kg] of plate and load, >= 0
    ahead : [m] of their centre of gravity, forwards of the plate's pins
    spacing : [m] between the plate's two pins, one above the other, > 0
    angle : [rad] of the bars above level; between -85 and 85 degrees

    Returns
    -------
    pull : [N] above 0 where the upper bar is pulled, below 0 where it is pressed

    Valid: the lower bar is the driven one; weights of the bars left out. Near upright the pull grows without bound.
    Raises: ValueError when mass is negative, spacing is not above 0, or angle is beyond 85 degrees.
    Source: balance of moments about the plate's lower pin.

    >>> print(f"{parallel_rod_force(0.5, 0.12, 0.04, 0.0):.1f}")
    14.7
    """
    limit = np.radians(85)
    angle = check.between("angle", angle, -limit, limit, "give radians, and stay within 85 degrees of level")
    weight = check.not_negative("mass", mass) * GRAVITY
    return weight * check.finite("ahead", ahead) / (check.positive("spacing", spacing) * np.cos(angle))


def parallel_fourbar(length, spacing):
    """Give a parallel linkage as a four-bar, with the driven bar below.

    Equation: input = output = length; coupler = ground = spacing; ground line upright, angle = level angle - 90 degrees

    Parameters
    ----------
    length : [m] of both bars, > 0
    spacing : [m] between the pivots, one above the other, > 0

    Returns
    -------
    fourbar : [part] a linkage.Fourbar with tilt 90 degrees: the input's angle is the bar's angle above level less 90
        degrees, and the plate keeps its direction on branch -1 (bars ahead of the pivots)

    Valid: bars between straight down and straight up; at both ends all pins are in line.
    Raises: ValueError when a length is not above 0.
    Source: plane geometry.

    >>> from mechbench.physics.linkage import rates
    >>> print(np.round(rates(parallel_fourbar(0.3, 0.06), np.radians(30) - np.pi / 2, -1), 6))
    [0. 1.]
    """
    length, spacing = check.positive("length", length), check.positive("spacing", spacing)
    return Fourbar(length, spacing, length, spacing, np.pi / 2)


# --- a chained pair -------------------------------------------------------------------------------------------------


def chain_ratio(first_turn, second_turn):
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

    >>> print(f"{chain_ratio(np.radians(90), np.radians(-90)):.0f}:1")
    2:1
    """
    first = check.finite("first_turn", first_turn)
    if np.any(np.asarray(first) == 0):
        raise ValueError("first_turn is 0, but it must be a turn; give the angle that the first link swings through.")
    return 1 - check.finite("second_turn", second_turn) / first


def chained_path(pair, start, end, points=61):
    """Give the path of a chained pair's tip over a swing, and which way its second link points.

    Equation: as arm.pair_pose; direction = offset + (1 - z_b / z_e) angle1

    Parameters
    ----------
    pair : [part] an arm.Pair
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
    Source: as arm.pair_pose.

    >>> from mechbench.physics.arm import Pair
    >>> straight = Pair(0.3, 0.3, 0.2, 0.2, 0.0, 0.3, 40, 20, np.pi)  # 2:1 and equal links: the tip runs straight up
    >>> x, y, _ = chained_path(straight, 0.0, np.pi / 2, 3)
    >>> print(np.round(np.abs(x), 3), np.round(y, 3))
    [0. 0. 0.] [0.    0.424 0.6  ]
    """
    share = np.linspace(0.0, 1.0, check.whole("points", points, 2))
    start, end = np.asarray(check.finite("start", start))[..., None], np.asarray(check.finite("end", end))[..., None]
    angle = start + (end - start) * share
    _, _, x, y = pair_pose(pair, angle)
    return x, y, pair_angles(pair, angle)[1]


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


def chained_reach(pair, start, end):
    """Give how far elbow and tip of a chained pair go over a swing: for the start cube and the limits of size.

    Equation: the largest and least x and y of elbow and tip over the swing

    Parameters
    ----------
    pair : [part] an arm.Pair
    start : [rad] of the first link above level
    end : [rad] where the swing ends

    Returns
    -------
    reach : [part] a Reach

    Valid: 720 places of the swing are looked at; a maximum between two of them is missed by less than 2e-5 of the links
        where the first link turns once and the second not faster than twice. What sticks out beyond the pins is not
        in it.
    Raises: ValueError when start or end is not a finite number.
    Source: as arm.pair_pose.

    >>> from mechbench.physics.arm import Pair
    >>> reach = chained_reach(Pair(0.35, 0.35, 0.2, 0.2, 0.0, 0.3, 40, 20, np.radians(274)), 0.0, np.radians(180))
    >>> print(f"{reach.forward:.3f} {reach.backward:.3f} {reach.up:.3f}")
    0.374 -0.512 0.477
    """
    share = np.linspace(0.0, 1.0, _STEPS + 1)
    start, end = np.asarray(check.finite("start", start))[..., None], np.asarray(check.finite("end", end))[..., None]
    elbow_x, elbow_y, x, y = np.broadcast_arrays(*pair_pose(pair, start + (end - start) * share))
    across, high = np.concatenate([elbow_x, x], axis=-1), np.concatenate([elbow_y, y], axis=-1)
    return Reach(across.max(axis=-1), across.min(axis=-1), high.max(axis=-1), high.min(axis=-1), np.hypot(x, y).max(axis=-1))

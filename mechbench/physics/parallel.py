r"""Parallel linkage: two equal bars, so that what they carry keeps its direction.

        o===========o--.
   spacing          |  | plate
        o===========o--'--- x load, ahead of the pins
       pivots    length

Contents
    parallel_path, parallel_rod_force     where a load on the plate goes; what the second bar feels
    parallel_fourbar                      the same arm as a four-bar, for all of linkage and linkage_load

The torque that lifts a load on it is arm.link_torque with the bar's length: how far ahead of the pins the load sits
does not matter to the motor, because the plate does not turn. It matters to the bars. An arm that keeps, or steers, the
direction by a chain: chained; a wheel on an arm: planetary.
"""

import numpy as np

from mechbench.physics import check
from mechbench.physics.constants import GRAVITY
from mechbench.physics.linkage import Fourbar


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

    Valid: bars of equal length, pivots as far apart as the plate's pins, never all four pins in line: there it can
        fold.
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

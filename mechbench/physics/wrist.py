"""Wrist: the torque that turns a gripper, and the room that it needs to fold.

              .---------.  top          The gripper is a box about the wrist's axis: its corners swing on circles, and
       axis  o|_________|  bottom       on the way they reach further ahead, up and down than at either end of the
              ahead --->                swing.

Contents
    wrist_torque      holding, lifting and swinging the gripper with its piece
    fold_sweep        how far it reaches ahead, up and down while it folds

Whether a servo can give that torque is in servo. It must all fit the start box when folded: see envelope.
"""

import numpy as np

from mechbench.physics import check
from mechbench.physics.constants import GRAVITY

QUARTER_TURN = np.pi / 2


def wrist_torque(mass, reach, angle, upward=0.0, inertia=0.0, turning=0.0):
    """Give the torque that a wrist needs to hold, lift or swing a gripper with its piece.

    Equation: T = m (g + a) r cos(q) + J q''

    Parameters
    ----------
    mass : [kg] of gripper and piece, >= 0
    reach : [m] r from the wrist's axis to their common centre of gravity, >= 0
    angle : [rad] q of the gripper above level; any shape, all arguments broadcast
    upward : [m/s2] acceleration of the wrist itself upwards
    inertia : [kg·m2] J about the wrist's axis, >= 0
    turning : [rad/s2] q'', angular acceleration of the gripper upwards

    Returns
    -------
    torque : [N·m] upwards; below 0 the gripper must be held back

    Valid: a level axis; the frame of the wrist moves straight up or down.
    Raises: ValueError when a number is out of its range.
    Source: moment of a force and Newton's second law for rotation, OpenStax University Physics Vol. 1, section 10.7.

    >>> print(f"{wrist_torque(0.400, 0.100, 0.0):.2f}")
    0.39
    """
    pull = check.not_negative("mass", mass) * (GRAVITY + check.finite("upward", upward))
    weight = pull * check.not_negative("reach", reach) * np.cos(check.finite("angle", angle))
    return weight + check.not_negative("inertia", inertia) * check.finite("turning", turning)


def _highest_cosine(low, high):
    """Largest cosine of all angles from low to high."""
    passes = np.floor(high / (2 * np.pi)) >= np.ceil(low / (2 * np.pi))
    return np.where(passes, 1.0, np.maximum(np.cos(low), np.cos(high)))


def fold_sweep(ahead, above, below, start, end):
    """Give how much room a gripper takes while it folds about its wrist.

    Equation: largest r cos(q + f) and r sin(q + f) over the swing, r and f of each corner of its box

    Parameters
    ----------
    ahead : [m] from the wrist's axis to the front of the gripper, jaws open and piece included, > 0
    above : [m] from the axis to its top, >= 0
    below : [m] from the axis to its underside, >= 0
    start : [rad] angle of the gripper above level at one end of the swing
    end : [rad] at the other end, larger or smaller

    Returns
    -------
    front : [m] furthest ahead of the axis on the way
    top : [m] highest above the axis on the way
    bottom : [m] deepest below the axis on the way, above 0 when it is below

    Valid: a gripper that fits a box, turned about a level axis; on the way its corners reach further than at the ends.
    Raises: ValueError when a number is out of its range.
    Source: plane geometry; common practice, no source.

    >>> print([f"{v * 1000:.0f}" for v in fold_sweep(0.180, 0.040, 0.060, 0.0, np.radians(90))])
    ['190', '184', '60']
    """
    ahead, above = check.positive("ahead", ahead), check.not_negative("above", above)
    below = check.not_negative("below", below)
    low, high = np.minimum(check.finite("start", start), check.finite("end", end)), np.maximum(start, end)
    corners = [(x, z) for x in (0.0 * np.asarray(ahead), ahead) for z in (above, -np.asarray(below))]
    reach = []
    for turned in (0.0, -QUARTER_TURN, QUARTER_TURN):
        furthest = [
            np.hypot(x, z) * _highest_cosine(low + np.arctan2(z, x) + turned, high + np.arctan2(z, x) + turned)
            for x, z in corners
        ]
        reach.append(np.max(np.stack(np.broadcast_arrays(*furthest)), axis=0)[()])
    return tuple(reach)

"""Servo: a small motor with gears that turns to an angle and holds it; speed, current, and what it holds for long.

    speed                        Torque over stall torque is the load share. A servo that is held at more than its
     w_0 |*.                     holding share (a figure of its own, often 40 %) for long gets too hot and gives way.
         |   *.
         |      *.               All servos hang on one rail of constant voltage with a current limit for all together:
         '--------*-- torque     one that is stuck can starve the others.
                  T_s
Contents
    load_share                   torque over stall torque
    servo_speed, turn_time       how fast it turns under load; time for an angle
    servo_current, rail_current  what one draws, and all of them together

A servo jaw pinches: first tries with a short travel, fingers out.
"""

import numpy as np

from mechbench.physics import check


def load_share(stall_torque, torque):
    """Give which share of its stall torque is asked of a servo.

    Equation: share = T / T_s

    Parameters
    ----------
    stall_torque : [N·m] T_s, > 0
    torque : [N·m] asked of the servo, >= 0

    Returns
    -------
    share : [-] above 1 it cannot turn the load; above its holding share it cannot hold it for long

    Valid: at the voltage for which stall_torque is given.
    Raises: ValueError when stall_torque is not above 0 or torque is negative.
    Source: common practice, no source.

    >>> print(f"{load_share(2.45, 0.98):.2f}")
    0.40
    """
    return check.not_negative("torque", torque) / check.positive("stall_torque", stall_torque)


def servo_speed(free_speed, share):
    """Give how fast a servo turns under load.

    Equation: w = w_0 (1 - share), at least 0

    Parameters
    ----------
    free_speed : [rad/s] w_0 without load, > 0
    share : [-] torque over stall torque, >= 0; see load_share

    Returns
    -------
    speed : [rad/s] 0 where the load is too heavy

    Valid: a straight line from free speed to stall, as for any direct-current motor; a data sheet's time per 60
        degrees is without load.
    Raises: ValueError when free_speed is not above 0 or share is negative.
    Source: Hughes & Drury, Electric Motors and Drives, 5th ed., section 3.4 (from memory).

    >>> print(f"{servo_speed(np.radians(60) / 0.24, 0.4):.2f}")
    2.62
    """
    return check.positive("free_speed", free_speed) * np.maximum(1 - check.not_negative("share", share), 0.0)


def turn_time(free_speed, share, angle):
    """Give the time in which a servo turns through an angle.

    Equation: t = angle / (w_0 (1 - share))

    Parameters
    ----------
    free_speed : [rad/s] w_0 without load, > 0
    share : [-] torque over stall torque on the way, >= 0
    angle : [rad] to turn through, >= 0

    Returns
    -------
    time : [s] inf where the load is too heavy

    Valid: no time to get up to speed, so a little short; a full turn is six times 60 degrees.
    Raises: ValueError when free_speed is not above 0 or another number is negative.
    Source: common practice, no source.

    >>> print(f"{turn_time(np.radians(60) / 0.24, 0.0, np.radians(90)):.2f}")
    0.36
    """
    speed, angle = servo_speed(free_speed, share), check.not_negative("angle", angle)
    turns = np.asarray(speed) > 0
    return np.where(turns, angle / np.where(turns, speed, 1.0), np.where(np.asarray(angle) > 0, np.inf, 0.0))[()]


def servo_current(stall_current, share):
    """Give the current that a servo draws under load.

    Equation: I = I_s share, at most I_s

    Parameters
    ----------
    stall_current : [A] I_s, > 0
    share : [-] torque over stall torque, >= 0

    Returns
    -------
    current : [A] one that is asked for more than it can give stands still and draws its stall current

    Valid: the small current without load is left out; friction in the gears helps to hold, so holding draws less.
    Raises: ValueError when stall_current is not above 0 or share is negative.
    Source: torque in proportion to current, Hughes & Drury, Electric Motors and Drives, section 3.4 (from memory).

    >>> print(f"{servo_current(3.6, 0.4):.2f}")
    1.44
    """
    return check.positive("stall_current", stall_current) * np.minimum(check.not_negative("share", share), 1.0)


def rail_current(currents, counts):
    """Give the current of all servos together on their rail.

    Equation: I = sum of n_i I_i

    Parameters
    ----------
    currents : [A] of one servo of each kind, on the last axis, >= 0
    counts : [whole] how many of each kind draw it at the same time, >= 0

    Returns
    -------
    current : [A] of the rail

    Valid: all at the same moment, which is what a limit has to bear.
    Raises: ValueError when a current is negative or a count is not a whole number of at least 0.
    Source: Kirchhoff's current law.

    >>> print(f"{rail_current([1.44, 0.7], [2, 3]):.2f}")
    4.98
    """
    return np.sum(check.not_negative("currents", currents) * check.whole("counts", counts, 0), axis=-1)[()]

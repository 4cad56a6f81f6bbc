"""Servo: a small motor with gears that turns to an angle and holds it; speed, current, what it holds for long; as a
drive.

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
    travel_share                 which share of a servo's travel a swing behind gears takes
    servo_line                   a servo as a drive.Line, so that it moves a load through the same solver as a geared
    motor

A servo jaw pinches: first tries with a short travel, fingers out.
"""

import numpy as np

from mechbench.physics import check
from mechbench.physics.drive import Line


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

    >>> print(f"{load_share(2.0, 0.8):.2f}")
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

    >>> print(f"{servo_speed(np.radians(60) / 0.20, 0.4):.2f}")
    3.14
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

    >>> print(f"{turn_time(np.radians(60) / 0.20, 0.0, np.radians(90)):.2f}")
    0.30
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

    >>> print(f"{servo_current(3.0, 0.4):.2f}")
    1.20
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

    >>> print(f"{rail_current([1.2, 0.5], [2, 3]):.2f}")
    3.90
    """
    return np.sum(check.not_negative("currents", currents) * check.whole("counts", counts, 0), axis=-1)[()]


def travel_share(travel, sweep, ratio=1.0):
    """Give which share of its travel a servo turns while what it swings goes through an angle.

    Equation: share = N |sweep| / travel

    Parameters
    ----------
    travel : [rad] from end to end, > 0; inf for a servo that turns without end
    sweep : [rad] angle through which the load swings, either way
    ratio : [-] N, servo's turn over the load's, > 0

    Returns
    -------
    share : [-] above 1 the servo comes to its end first; inf for one without ends, which knows no angle and stops at
        none

    Valid: rigid gears; play takes nothing from the travel.
    Raises: ValueError when travel or ratio is not above 0.
    Source: the definition of a gear ratio, Bevan, The Theory of Machines, 3rd ed., chapter 11 (from memory).

    >>> print(f"{travel_share(np.radians(200), np.radians(-60), 2.5):.2f}")
    0.75
    """
    if np.any(~(np.asarray(travel) > 0)):
        raise ValueError(f"travel is {np.min(travel):g} rad, but it must be above 0; give the servo's whole turn.")
    turned = check.positive("ratio", ratio) * np.abs(check.finite("sweep", sweep))
    endless = np.isinf(travel)
    return np.where(endless, np.inf, turned / np.where(endless, 1.0, travel))[()]


def servo_line(voltage, stall_torque, stall_current, free_speed, start_time=0.02):
    """Give a servo's Line from its nameplate.

    Equation: R = V / I_s; k = V / w_0; efficiency = T_s w_0 / (V I_s); J = start_time V I_s / w_0^2

    Parameters
    ----------
    voltage : [V] at which the nameplate holds, > 0
    stall_torque : [N·m] at standstill, > 0
    stall_current : [A] at standstill, > 0
    free_speed : [rad/s] without load, > 0
    start_time : [s] in which it comes to 63 % of its free speed without load, > 0; measure it: nameplates don't say

    Returns
    -------
    line : [part] a drive.Line at the servo's output shaft

    Valid: a straight line from free speed to stall at its nameplate's voltage; give motion a Bus of that voltage. All
        losses are put into one efficiency. How a servo loses when its load drives it no nameplate says: taken equal, so
        don't count on a servo that holds without power.
    Raises: ValueError when a number is not above 0 or the nameplate gives out more power than it takes in.
    Source: as drive.line; the shares of losses: common practice, no source. The start time of 20 ms is a guess.

    >>> from mechbench.physics.drive import stall_torque
    >>> print(f"{stall_torque(servo_line(5.0, 2.0, 3.0, 5.0), 5.0):.2f} N·m")
    2.00 N·m
    """
    voltage, stall_current = check.positive("voltage", voltage), check.positive("stall_current", stall_current)
    most = voltage * stall_current / check.positive("free_speed", free_speed)
    if np.any(np.asarray(check.positive("stall_torque", stall_torque)) > most):
        raise ValueError(
            f"stall_torque is {np.max(stall_torque):g} N·m, but it must be at most {np.min(most):.3g} N·m, "
            "voltage times stall current over free speed; read the nameplate again, its units too."
        )
    efficiency = stall_torque / most
    inertia = check.positive("start_time", start_time) * voltage * stall_current / free_speed**2
    return Line(voltage / stall_current, voltage / free_speed, 0.0 * voltage, inertia, efficiency, efficiency)

"""A servo seen as a drive, so that it moves a load through the same solver as a geared motor.

Contents
    servo_line    the Line of a servo from its nameplate: it runs on the servo rail's fixed voltage, not on the battery

What a servo does at one load (speed, current, share of its stall torque) is in servo.
"""

import numpy as np

from mechbench.physics import check
from mechbench.physics.drive import Line


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

    Valid: a straight line from free speed to stall at its nameplate's voltage; give motion a Bus of that voltage. All losses
        are put into one efficiency. How a servo loses when its load drives it no nameplate says: taken equal, so don't
        count on a servo that holds without power.
    Raises: ValueError when a number is not above 0 or the nameplate gives out more power than it takes in.
    Source: as drive.line; the shares of losses: common practice, no source. The start time of 20 ms is a guess.

    >>> from mechbench.physics.drive import stall_torque
    >>> print(f"{stall_torque(servo_line(6.0, 2.45, 3.6, 4.36), 6.0):.2f} N·m")
    2.45 N·m
    """
    voltage, stall_current = check.positive("voltage", voltage), check.positive("stall_current", stall_current)
    most = voltage * stall_current / check.positive("free_speed", free_speed)
    if np.any(np.asarray(check.positive("stall_torque", stall_torque)) > most):
        raise ValueError(f"stall_torque is {np.max(stall_torque):g} N·m, but it must be at most {np.min(most):.3g} N·m, "
                         "voltage times stall current over free speed; read the nameplate again, its units too.")
    efficiency = stall_torque / most
    inertia = check.positive("start_time", start_time) * voltage * stall_current / free_speed**2
    return Line(voltage / stall_current, voltage / free_speed, 0.0 * voltage, inertia, efficiency, efficiency)

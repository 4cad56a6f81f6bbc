"""Worm and lead screw: a thread is a slope wound round a shaft, and friction decides whether a load slides down it.

      |\\                              lead: how far one turn moves the nut or the worm wheel's rim
      | \\  slope = lead angle         lead angle L: tan L = lead / (pi mean diameter)
      |  \\                            friction angle f: tan f = friction / cos(half angle of the thread)
      +---\\   one turn                raising: as if the slope were L + f; lowering: L - f
Contents
    lead_angle, friction_angle, self_locking                 the slope, and whether it holds by itself
    thread_efficiency, thread_efficiency_driven              of a screw or a worm, without collar and bearings
    torque_to_raise, torque_to_lower, lead_radius            lead screw under a load
    worm_ratio, worm_lead                                    worm and wheel

The half angle is 0 for a square thread, 15 degrees for a metric trapezoid thread, and for a worm its pressure angle.
In a train a lead screw is a Stage of ratio 1 with the screw's two efficiencies; what follows is a drum without loss of
radius lead_radius(lead).
"""

import numpy as np

from mechbench.physics import check

_STEEP = np.pi / 2 * (1 - 1e-9)


def lead_angle(lead, mean_diameter):
    """Give the lead angle of a thread.

    Equation: tan L = l / (pi d)

    Parameters
    ----------
    lead : [m] way in one turn, > 0: pitch times number of starts; both broadcast
    mean_diameter : [m] between the thread's outside and its root, > 0; for a worm its pitch diameter

    Returns
    -------
    lead_angle : [rad] slope of the thread

    Valid: any thread.
    Raises: ValueError when lead or mean_diameter is not above 0.
    Source: Shigley's Mechanical Engineering Design, section 8-2 (from memory).

    >>> print(f"{np.degrees(lead_angle(0.008, 0.030)):.2f} deg")
    4.85 deg
    """
    return np.arctan(check.positive("lead", lead) / (np.pi * check.positive("mean_diameter", mean_diameter)))


def friction_angle(friction, half_angle=0.0):
    """Give the friction angle of a thread: the steepest slope that still holds a load by itself.

    Equation: tan f = mu / cos(half angle)

    Parameters
    ----------
    friction : [-] coefficient of friction in the thread, >= 0; both broadcast
    half_angle : [rad] between the thread's flank and the square to the shaft, 0 to 1.2

    Returns
    -------
    friction_angle : [rad] steepest slope that holds

    Valid: lead angles up to about 30 degrees (the flank's angle is taken along the shaft).
    Raises: ValueError when friction is below 0 or half_angle is not 0 to 1.2.
    Source: Shigley's Mechanical Engineering Design, section 8-2 (from memory).

    >>> print(f"{np.degrees(friction_angle(0.15)):.2f} {np.degrees(friction_angle(0.15, np.radians(15))):.2f}")
    8.53 8.83
    """
    half = check.between("half_angle", half_angle, 0.0, 1.2, "give radians, 15 degrees is 0.262")
    return np.arctan(check.not_negative("friction", friction) / np.cos(half))


def _slopes(lead_angle, friction, half_angle):
    slope = check.positive("lead_angle", lead_angle)
    check.between("lead_angle", slope, 0.0, 1.5, "give radians, 10 degrees is 0.175")
    angle_of_friction = friction_angle(friction, half_angle)
    _refuse_jam(friction, slope, angle_of_friction)
    return slope, angle_of_friction


def _refuse_jam(friction, slope, angle_of_friction):
    if np.any(np.asarray(slope) + angle_of_friction >= _STEEP):
        raise ValueError(
            f"friction is {friction}, but it must be so low that lead angle and friction angle stay under "
            "90 degrees together; at more the thread jams: take less friction or a smaller lead."
        )


def self_locking(lead_angle, friction, half_angle=0.0):
    """Tell whether a thread holds any load by itself.

    Equation: L <= f

    Parameters
    ----------
    lead_angle : [rad] slope of the thread, above 0 to 1.5; all arguments broadcast
    friction : [-] coefficient of friction in the thread, >= 0
    half_angle : [rad] of the thread, 0 to 1.2; for a worm its pressure angle

    Returns
    -------
    self_locking : [yes/no] whether the load stays where it is

    Valid: at rest, without shaking. Grease and shaking lower the friction: do not trust it where a fall can hurt.
    Raises: ValueError when an argument is out of bounds or the thread jams.
    Source: Shigley's Mechanical Engineering Design, section 8-2 (from memory).

    >>> print(self_locking(lead_angle(0.002, 0.007), 0.15), self_locking(lead_angle(0.008, 0.007), 0.15))
    True False
    """
    slope, angle_of_friction = _slopes(lead_angle, friction, half_angle)
    return slope <= angle_of_friction


def thread_efficiency(lead_angle, friction, half_angle=0.0):
    """Give the efficiency of a screw or worm that drives its load.

    Equation: eta = tan L / tan(L + f)

    Parameters
    ----------
    lead_angle : [rad] slope of the thread, above 0 to 1.5; all arguments broadcast
    friction : [-] coefficient of friction in the thread, >= 0
    half_angle : [rad] of the thread, 0 to 1.2; for a worm its pressure angle

    Returns
    -------
    efficiency : [-] power out over power in

    Valid: the thread alone, without collar and bearings.
    Raises: ValueError when an argument is out of bounds or the thread jams.
    Source: U. C. Jindal, Machine Design (2010), Examples 28-4 and 28-5 (worm); Shigley, section 8-2 (from memory).

    >>> print(f"{thread_efficiency(0.19739, 0.028, np.radians(20)):.3f}")
    0.865
    """
    slope, angle_of_friction = _slopes(lead_angle, friction, half_angle)
    return np.tan(slope) / np.tan(slope + angle_of_friction)


def thread_efficiency_driven(lead_angle, friction, half_angle=0.0):
    """Give the efficiency of a screw or worm that is driven backwards by its load.

    Equation: eta_driven = tan(L - f) / tan L; 0 where L <= f (self-locking)

    Parameters
    ----------
    lead_angle : [rad] slope of the thread, above 0 to 1.5; all arguments broadcast
    friction : [-] coefficient of friction in the thread, >= 0
    half_angle : [rad] of the thread, 0 to 1.2; for a worm its pressure angle

    Returns
    -------
    efficiency_driven : [-] power out over power in; 0 means that the load can't turn the screw

    Valid: the thread alone, without collar and bearings.
    Raises: ValueError when an argument is out of bounds or the thread jams.
    Source: follows from torque_to_lower.

    >>> print(f"{thread_efficiency_driven(0.35, 0.1):.2f} {thread_efficiency_driven(0.05, 0.1):.0f}")
    0.70 0
    """
    slope, angle_of_friction = _slopes(lead_angle, friction, half_angle)
    return np.maximum(np.tan(slope - angle_of_friction), 0.0) / np.tan(slope)


def _torque(load, lead, mean_diameter, friction, half_angle, collar_friction, collar_diameter, way):
    """Give the torque of thread and collar; way is +1 raising and -1 lowering."""
    slope, angle_of_friction = lead_angle(lead, mean_diameter), friction_angle(friction, half_angle)
    _refuse_jam(friction, slope, angle_of_friction)
    collar = check.not_negative("collar_friction", collar_friction) * check.not_negative(
        "collar_diameter", collar_diameter
    )
    return check.not_negative("load", load) * (mean_diameter * np.tan(angle_of_friction + way * slope) + collar) / 2


def torque_to_raise(load, lead, mean_diameter, friction, half_angle=0.0, collar_friction=0.0, collar_diameter=0.0):
    """Give the torque on a lead screw that raises a load.

    Equation: T = F d tan(L + f) / 2 + F mu_c d_c / 2

    Parameters
    ----------
    load : [N] along the screw, >= 0; all arguments broadcast
    lead : [m] way in one turn, > 0
    mean_diameter : [m] of the thread, > 0
    friction : [-] coefficient of friction in the thread, >= 0
    half_angle : [rad] of the thread, 0 to 1.2
    collar_friction : [-] coefficient of friction where the screw presses on its seat, >= 0; 0 with a thrust bearing
    collar_diameter : [m] mean diameter of that seat, >= 0

    Returns
    -------
    torque : [N·m] on the screw

    Valid: steady speed.
    Raises: ValueError when an argument is out of bounds or the thread jams.
    Source: Shigley's Mechanical Engineering Design, Example 8-1 (from memory).

    >>> print(f"{torque_to_raise(6400.0, 0.008, 0.030, 0.08, 0.0, 0.08, 0.040):.2f}")
    26.18
    """
    return _torque(load, lead, mean_diameter, friction, half_angle, collar_friction, collar_diameter, 1)


def torque_to_lower(load, lead, mean_diameter, friction, half_angle=0.0, collar_friction=0.0, collar_diameter=0.0):
    """Give the torque on a lead screw that lowers a load.

    Equation: T = F d tan(f - L) / 2 + F mu_c d_c / 2

    Parameters
    ----------
    load : [N] along the screw, >= 0; all arguments broadcast
    lead : [m] way in one turn, > 0
    mean_diameter : [m] of the thread, > 0
    friction : [-] coefficient of friction in the thread, >= 0
    half_angle : [rad] of the thread, 0 to 1.2
    collar_friction : [-] coefficient of friction where the screw presses on its seat, >= 0; 0 with a thrust bearing
    collar_diameter : [m] mean diameter of that seat, >= 0

    Returns
    -------
    torque : [N·m] on the screw, downwards; negative when the load runs down by itself and must be braked

    Valid: steady speed.
    Raises: ValueError when an argument is out of bounds or the thread jams.
    Source: Shigley's Mechanical Engineering Design, Example 8-1 (from memory).

    >>> print(f"{torque_to_lower(6400.0, 0.008, 0.030, 0.08, 0.0, 0.08, 0.040):.2f}")
    9.77
    """
    return _torque(load, lead, mean_diameter, friction, half_angle, collar_friction, collar_diameter, -1)


def lead_radius(lead):
    """Give the radius of a drum that moves its cord as far in one turn as the screw moves its nut.

    Equation: r = l / (2 pi)

    Parameters
    ----------
    lead : [m] way in one turn, > 0; any shape

    Returns
    -------
    radius : [m] of the drum

    Valid: any thread; force = torque / radius without loss.
    Raises: ValueError when lead is not above 0.
    Source: common practice, no source.

    >>> print(f"{1000 * lead_radius(0.008):.3f} mm")
    1.273 mm
    """
    return check.positive("lead", lead) / (2 * np.pi)


def worm_ratio(starts, wheel_teeth):
    """Give the ratio of a worm and its wheel.

    Equation: N = z_wheel / starts

    Parameters
    ----------
    starts : [whole] threads that wind side by side round the worm, >= 1; both broadcast
    wheel_teeth : [whole] teeth of the wheel, >= 4

    Returns
    -------
    ratio : [-] worm speed over wheel speed

    Valid: the worm drives.
    Raises: ValueError when starts or wheel_teeth is out of bounds.
    Source: T. H. Wentzell, Machine Design, Example 13.4.

    >>> print(f"{worm_ratio(2, 40):.0f}")
    20
    """
    return check.whole("wheel_teeth", wheel_teeth, 4) / check.whole("starts", starts, 1)


def worm_lead(module, starts):
    """Give the lead of a worm from the module of its wheel.

    Equation: l = pi m starts

    Parameters
    ----------
    module : [m] of the wheel: its pitch diameter over its teeth, > 0; both broadcast
    starts : [whole] threads that wind side by side round the worm, >= 1

    Returns
    -------
    lead : [m] way of the wheel's rim in one turn of the worm; lead_angle makes the angle of it

    Valid: shafts at 90 degrees.
    Raises: ValueError when module is not above 0 or starts is out of bounds.
    Source: T. H. Wentzell, Machine Design, Example 13.4.

    >>> print(f"{1000 * worm_lead(0.005, 2):.2f} mm")
    31.42 mm
    """
    return np.pi * check.positive("module", module) * check.whole("starts", starts, 1)

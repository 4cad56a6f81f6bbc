"""Planetary and other epicyclic gears: wheels that turn while their own axles go round.

        ring  (inside teeth)          The Willis equation: seen from the carrier, sun and ring are plain gears.
      .--------------.
     (   o planet     )               (w_ring - w_carrier) = e (w_sun - w_carrier),   e = - z_sun / z_ring
     |  /             |
     | @ sun          |               Hold any one of sun, ring and carrier, drive any other: six ratios.
     (  \\  carrier    )
      '--------------'
Contents
    MEMBERS, Speeds, Torques
    willis_speeds, planetary_ratio, planetary_torques     the simple set: sun, planets, ring, carrier
    planet_teeth, planets_fit                             whether it can be built
    epicyclic_speed, wheel_on_arm_speed                   any epicyclic train; a wheel chained to the frame on an arm

Turning directions: one direction is positive for all members. A negative ratio means against the driver.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check
from mechbench.wording import quoted

MEMBERS = ("sun", "ring", "carrier")


@dataclass(frozen=True)
class Speeds:
    """Hold the speeds of the three members of a planetary set.

    Fields
    ------
    sun : [rad/s] of the sun; or turns, where turns were given
    ring : [rad/s] of the ring
    carrier : [rad/s] of the carrier, which holds the planets' axles
    """

    sun: float
    ring: float
    carrier: float


@dataclass(frozen=True)
class Torques:
    """Hold the torques that act from outside on the three members; they add up to 0.

    Fields
    ------
    sun : [N·m] on the sun
    ring : [N·m] on the ring
    carrier : [N·m] on the carrier
    """

    sun: float
    ring: float
    carrier: float


def _train_value(sun_teeth, ring_teeth):
    """Give e = - z_sun / z_ring: how often the ring turns while the sun turns once and the carrier is held."""
    sun, ring = check.whole("sun_teeth", sun_teeth, 4), check.whole("ring_teeth", ring_teeth, 4)
    return -sun / check.at_least("ring_teeth", ring, sun + 1, "the ring goes round the sun and has more teeth")


def willis_speeds(sun_teeth, ring_teeth, sun_speed=None, ring_speed=None, carrier_speed=None):
    """Give the speeds of all three members of a planetary set from any two of them.

    Equation: w_ring - w_carrier = - (z_sun / z_ring) (w_sun - w_carrier)

    Parameters
    ----------
    sun_teeth : [whole] teeth of the sun, >= 4; all arguments broadcast
    ring_teeth : [whole] teeth of the ring, above sun_teeth
    sun_speed : [rad/s] speed of the sun; leave out the one that is asked
    ring_speed : [rad/s] speed of the ring; 0 when held
    carrier_speed : [rad/s] speed of the carrier

    Returns
    -------
    speeds : [part] Speeds of sun, ring and carrier, in the unit of the given speeds

    Valid: one row of planets, each meshing with sun and ring.
    Raises: ValueError when not exactly two speeds are given, or the teeth make no planetary set.
    Source: Willis equation; Khurmi & Gupta, Theory of Machines, 14th ed., section 13.8 and Example 13.7.

    >>> print(f"{willis_speeds(16, 64, sun_speed=100.0, ring_speed=0.0).carrier:.0f}")
    20
    """
    e = _train_value(sun_teeth, ring_teeth)
    given = {"sun_speed": sun_speed, "ring_speed": ring_speed, "carrier_speed": carrier_speed}
    known = {name: check.finite(name, value) for name, value in given.items() if value is not None}
    if len(known) != 2:
        raise ValueError(
            f"sun_speed, ring_speed, carrier_speed are {len(known)} given values, but there must be two; "
            "leave out the one that is asked, and give 0 for a member that is held."
        )
    sun, ring, carrier = (known.get(name) for name in given)
    if carrier is None:
        carrier = (ring - e * sun) / (1 - e)
    elif ring is None:
        ring = carrier + e * (sun - carrier)
    else:
        sun = carrier + (ring - carrier) / e
    return Speeds(*(part[()] for part in np.broadcast_arrays(sun, ring, carrier)))


def planetary_ratio(sun_teeth, ring_teeth, held, driver):
    """Give the ratio of a planetary set with one member held.

    Equation: N = w_driver / w_output from the Willis equation; ring held, sun drives: N = 1 + z_ring / z_sun

    Parameters
    ----------
    sun_teeth : [whole] teeth of the sun, >= 4; both numbers broadcast
    ring_teeth : [whole] teeth of the ring, above sun_teeth
    held : [text] the member that stands still: sun, ring or carrier
    driver : [text] the member that the motor turns: another one; the third is the output

    Returns
    -------
    ratio : [-] driver speed over output speed; negative when the output turns against the driver

    Valid: one row of planets. In a Stage put the size into ratio and the sign into direction.
    Raises: ValueError when held or driver is no member, both are the same, or the teeth make no planetary set.
    Source: Khurmi & Gupta, Theory of Machines, 14th ed., Example 13.20.

    >>> print(f"{planetary_ratio(16, 64, 'ring', 'sun'):.1f} {planetary_ratio(16, 64, 'carrier', 'sun'):.1f}")
    5.0 -4.0
    """
    if held not in MEMBERS:
        raise ValueError(
            f"held is {quoted(held)}, but it must be one of {', '.join(MEMBERS)}; name the member that stands."
        )
    if driver not in MEMBERS or driver == held:
        others = " or ".join(member for member in MEMBERS if member != held)
        raise ValueError(f"driver is {quoted(driver)}, but it must be {others}; name the member that the motor turns.")
    (output,) = set(MEMBERS) - {held, driver}
    speeds = willis_speeds(sun_teeth, ring_teeth, **{f"{driver}_speed": 1.0, f"{held}_speed": 0.0})
    return 1.0 / getattr(speeds, output)


def planetary_torques(sun_teeth, ring_teeth, sun_torque):
    """Give the torques on all members of a planetary set without loss.

    Equation: T_ring = T_sun z_ring / z_sun; T_carrier = - (T_sun + T_ring)

    Parameters
    ----------
    sun_teeth : [whole] teeth of the sun, >= 4; all arguments broadcast
    ring_teeth : [whole] teeth of the ring, above sun_teeth
    sun_torque : [N·m] torque from outside on the sun

    Returns
    -------
    torques : [part] Torques from outside on sun, ring and carrier; the load's torque on an output is negative

    Valid: steady speed, no loss, whichever member is held.
    Raises: ValueError when the teeth make no planetary set or sun_torque is not a finite number.
    Source: Khurmi & Gupta, Theory of Machines, 14th ed., Example 13.20.

    >>> print(f"{planetary_torques(16, 64, 100.0).ring:.0f} N m hold the ring")
    400 N m hold the ring
    """
    sun = check.finite("sun_torque", sun_torque)
    ring = sun / -_train_value(sun_teeth, ring_teeth)
    return Torques(*(part[()] for part in np.broadcast_arrays(sun, ring, -(sun + ring))))


def planet_teeth(sun_teeth, ring_teeth):
    """Give the teeth of the planets that fit between sun and ring.

    Equation: z_planet = (z_ring - z_sun) / 2

    Parameters
    ----------
    sun_teeth : [whole] teeth of the sun, >= 4; both broadcast
    ring_teeth : [whole] teeth of the ring, above sun_teeth by an even number

    Returns
    -------
    planet_teeth : [whole] teeth of each planet

    Valid: plain teeth; shifted teeth allow one more or one less.
    Raises: ValueError when the teeth make no planetary set or the planet's teeth come out as a half.
    Source: Khurmi & Gupta, Theory of Machines, 14th ed., Example 13.20.

    >>> print(planet_teeth(16, 64))
    24
    """
    _train_value(sun_teeth, ring_teeth)
    double = np.asarray(ring_teeth) - np.asarray(sun_teeth)
    if np.any(double % 2 != 0):
        raise ValueError(
            f"ring_teeth is {ring_teeth}, but it must be sun_teeth ({sun_teeth}) and an even number; "
            "add or take one tooth."
        )
    return np.asarray(double // 2, dtype=int)[()]


def planets_fit(sun_teeth, ring_teeth, planets):
    """Tell whether a number of planets can be put in at equal distances.

    Equation: (z_sun + z_ring) / planets is a whole number

    Parameters
    ----------
    sun_teeth : [whole] teeth of the sun, >= 4; all arguments broadcast
    ring_teeth : [whole] teeth of the ring, above sun_teeth
    planets : [whole] number of planets, >= 1

    Returns
    -------
    fit : [yes/no] whether the teeth meet

    Valid: whether the teeth meet; whether neighbours touch is not looked at.
    Raises: ValueError when planets is not a whole number of at least 1 or the teeth make no planetary set.
    Source: Norton, Design of Machinery, chapter on gear trains (from memory).

    >>> print(planets_fit(16, 64, 4), planets_fit(16, 64, 3))
    True False
    """
    _train_value(sun_teeth, ring_teeth)
    return (np.asarray(sun_teeth) + np.asarray(ring_teeth)) % check.whole("planets", planets, 1) == 0


def epicyclic_speed(train_value, arm_speed, first_speed=0.0):
    """Give the speed of the last wheel of any train that is carried on a turning arm.

    Equation: w_last = w_arm + e (w_first - w_arm)

    Parameters
    ----------
    train_value : [-] e: turns of the last wheel for one turn of the first with the arm held; negative when against it
    arm_speed : [rad/s] speed of the arm; all arguments broadcast
    first_speed : [rad/s] speed of the first wheel; 0 when it is fixed to the frame

    Returns
    -------
    last_speed : [rad/s] speed of the last wheel as seen from the frame

    Valid: any gears, belts or chains on one arm; also turns or angles in place of speeds.
    Raises: ValueError when an argument is not a finite number.
    Source: Khurmi & Gupta, Theory of Machines, 14th ed., Example 13.13 (Ferguson's paradox).

    >>> print(f"{epicyclic_speed(100 / 101, 1.0):.4f} {epicyclic_speed(100 / 99, 1.0):.4f}")
    0.0099 -0.0101
    """
    arm = check.finite("arm_speed", arm_speed)
    return arm + check.finite("train_value", train_value) * (check.finite("first_speed", first_speed) - arm)


def wheel_on_arm_speed(fixed_teeth, wheel_teeth, arm_speed):
    """Give the speed of a wheel at the end of an arm that a chain or belt ties to a wheel fixed to the frame.

    Equation: w_wheel = w_arm (1 - z_fixed / z_wheel)

    Parameters
    ----------
    fixed_teeth : [whole] teeth of the wheel that is fixed to the frame at the arm's pivot, >= 4; all broadcast
    wheel_teeth : [whole] teeth of the wheel at the arm's end, >= 4
    arm_speed : [rad/s] speed of the arm

    Returns
    -------
    wheel_speed : [rad/s] speed of the wheel as seen from the frame; 0 when both are equal: what it carries stays level

    Valid: chain, belt, or two gears with one idler between them; also angles in place of speeds.
    Raises: ValueError when a number of teeth is not a whole number of at least 4.
    Source: Digital Mechanism and Gear Library (DMG-Lib), item 19581023, n4 = n1 (z4 - z2) / z4.

    >>> print(f"{wheel_on_arm_speed(20, 20, 10.0):.0f} {wheel_on_arm_speed(40, 20, 10.0):.0f}")
    0 -10
    """
    return epicyclic_speed(
        check.whole("fixed_teeth", fixed_teeth, 4) / check.whole("wheel_teeth", wheel_teeth, 4), arm_speed
    )

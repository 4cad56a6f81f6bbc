r"""Arm: what holds a swinging arm, what lifts and stops it, and what a counter-spring buys.

                     payload
                    O
                  /                    All angles are absolute: from level, counted from the front, in rad.
         mass   /          spring
              x           pin --.
            /                   /`-/
          /   angle           /  /
        o------------       x  o------------
      pivot              anchor

Contents
    link_torque, link_inertia            one link: weight and inertia about the pivot
    Spring, spring_torque, spring_length an extension spring from an anchor on the frame to a pin on the arm
    slack_angles                         where such a spring hangs loose
    band_torque                          a constant-force spring on a drum at the pivot
    best_spring                          the spring of a kit that leaves the least torque over the swing
    swing                                a Load for motion.move, up or down
    tip_bending, tube_stiffness          how far the tip sinks by bending (by play: gearing.tip_drop)
    drop_energy                          energy of a raised arm that falls on its stop

Two links on one motor: chained.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check
from mechbench.physics.constants import GRAVITY
from mechbench.physics.motion import Load


def link_torque(mass, length, angle):
    """Give the torque of a weight about the pivot, against a growing angle.

    Equation: T = m g l cos(angle)

    Parameters
    ----------
    mass : [kg] of the link or the payload, >= 0
    length : [m] from the pivot to its centre of gravity, >= 0
    angle : [rad] above level, counted from the front; any shape

    Returns
    -------
    torque : [N·m] that a motor must give to hold it; below 0 behind the pivot

    Valid: at rest or moving slowly.
    Raises: ValueError when mass or length is negative.
    Source: Hibbeler & Gupta, Engineering Mechanics, section 4.2 (from memory).

    >>> print(f"{link_torque(0.5, 0.3, np.radians(60)):.3f}")
    0.735
    """
    check.not_negative("mass", mass)
    return np.asarray(mass) * GRAVITY * check.not_negative("length", length) * np.cos(check.finite("angle", angle))


def link_inertia(mass, length, tip_mass):
    """Give the inertia about the pivot of a slender link with a mass at its tip.

    Equation: J = m l^2 / 3 + m_tip l^2

    Parameters
    ----------
    mass : [kg] of the link, spread evenly, >= 0
    length : [m] of the link, > 0
    tip_mass : [kg] at the tip, >= 0

    Returns
    -------
    inertia : [kg·m2] about the pivot

    Valid: a link thin against its length; a tip mass small against its distance.
    Raises: ValueError when a mass is negative or length is not above 0.
    Source: OpenStax University Physics Vol. 1, Example 11.6.

    >>> print(f"{link_inertia(2.0, 1.0, 1.0):.2f}")
    1.67
    """
    length = check.positive("length", length)
    return (check.not_negative("mass", mass) / 3 + check.not_negative("tip_mass", tip_mass)) * length**2


# --- springs --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Spring:
    """Hold an extension spring between an anchor on the frame and a pin on the arm.

    Fields
    ------
    rate : [N/m] force for each metre of stretch, >= 0; 0: no spring
    free_length : [m] between the hooks without load, >= 0
    initial_tension : [N] before it begins to stretch, >= 0
    longest : [m] allowed length between the hooks, above free_length
    anchor_x : [m] of the anchor, forwards of the pivot
    anchor_y : [m] of the anchor, above the pivot
    pin : [m] from the pivot to the pin along the arm, > 0
    pin_angle : [rad] of the pin, ahead of the arm's own angle

    Valid: a straight-line spring; below its free length it hangs loose and gives nothing.
    Source: Shigley's Mechanical Engineering Design, section 10-10, extension springs (from memory).
    """

    rate: float
    free_length: float
    initial_tension: float
    longest: float
    anchor_x: float
    anchor_y: float
    pin: float
    pin_angle: float = 0.0

    def __post_init__(self):
        check.not_negative("rate", self.rate)
        check.positive("pin", self.pin)
        for name in ("free_length", "initial_tension"):
            check.not_negative(name, getattr(self, name))
        for name in ("anchor_x", "anchor_y", "pin_angle"):
            check.finite(name, getattr(self, name))
        if np.any(np.asarray(self.longest) <= np.asarray(self.free_length)):
            raise ValueError(
                f"longest is {np.min(self.longest):g} m, but it must be above free_length; give the length it may be"
                " pulled to."
            )


def spring_length(spring, angle):
    """Give the distance from anchor to pin, and whether the spring may be pulled that long.

    Equation: s = |pin - anchor|

    Parameters
    ----------
    spring : [part] a Spring
    angle : [rad] of the arm above level

    Returns
    -------
    length : [m] between the hooks
    allowed : [yes/no] not longer than the spring's longest length

    Valid: anchor and pin in one plane, the spring straight between them.
    Raises: ValueError when angle is not a finite number.
    Source: plane geometry.

    >>> spring = Spring(400.0, 0.08, 4.0, 0.20, -0.10, 0.0, 0.08)
    >>> length, allowed = spring_length(spring, 0.0)
    >>> print(f"{length:.2f} {allowed}")
    0.18 True
    """
    at = check.finite("angle", angle) + spring.pin_angle
    length = np.hypot(spring.pin * np.cos(at) - spring.anchor_x, spring.pin * np.sin(at) - spring.anchor_y)
    return length, length <= spring.longest


def spring_torque(spring, angle):
    """Give the torque of an extension spring about the pivot, towards a growing angle.

    Equation: T = F d, F = F_0 + c (s - s_0) where s > s_0, else 0; d the distance of the spring's line from the pivot

    Parameters
    ----------
    spring : [part] a Spring
    angle : [rad] of the arm above level

    Returns
    -------
    torque : [N·m] above 0 where the spring helps to raise the arm

    Valid: within the longest length (see spring_length); the lever is the perpendicular distance, not the pin's.
    Raises: ValueError when angle is not a finite number.
    Source: Shigley's Mechanical Engineering Design, section 10-10 (from memory); moment of a force about a point.

    >>> spring = Spring(400.0, 0.08, 4.0, 0.20, 0.0, 0.10, 0.08)
    >>> print(f"{spring_torque(spring, 0.0):.2f}")
    1.45
    """
    at = angle + spring.pin_angle
    length, _ = spring_length(spring, angle)
    force = np.where(
        length > spring.free_length, spring.initial_tension + spring.rate * (length - spring.free_length), 0.0
    )
    pin_x, pin_y = spring.pin * np.cos(at), spring.pin * np.sin(at)
    cross = pin_x * (spring.anchor_y - pin_y) - pin_y * (spring.anchor_x - pin_x)
    safe = np.where(length > 0, length, 1.0)
    return np.where(length > 0, force * cross / safe, 0.0)[()]


def slack_angles(spring):
    """Give the angles of the arm between which an extension spring hangs loose.

    Equation: angle = angle of the anchor - pin_angle -+ acos((pin^2 + anchor^2 - s_0^2) / (2 pin anchor)), so s = s_0

    Parameters
    ----------
    spring : [part] a Spring

    Returns
    -------
    first : [rad] beyond which it hangs loose, with the anchor ahead; inf where it is never loose, or always
    last : [rad] beyond which it pulls again, with the anchor behind; inf in the same cases

    Valid: as spring_length. At these angles its torque jumps by that of its initial tension.
    Raises: nothing.
    Source: law of cosines, plane geometry.

    >>> first, last = slack_angles(Spring(400.0, 0.08, 4.0, 0.20, 0.0, 0.10, 0.08))
    >>> print(f"{np.degrees(first):.0f} to {np.degrees(last):.0f} deg")
    39 to 141 deg
    """
    far = np.hypot(spring.anchor_x, spring.anchor_y)
    pin, loose = np.asarray(spring.pin), np.asarray(spring.free_length)
    reach = 2 * pin * far
    cosine = (pin**2 + far**2 - loose**2) / np.where(reach > 0, reach, 1.0)
    there = (reach > 0) & (np.abs(cosine) < 1)
    gap = np.arccos(np.where(there, cosine, 0.0))
    middle = np.arctan2(spring.anchor_y, spring.anchor_x) - spring.pin_angle
    return np.where(there, middle - gap, np.inf)[()], np.where(there, middle + gap, np.inf)[()]


def band_torque(force, drum_radius):
    """Give the torque of a constant-force spring that pulls on a drum at the pivot.

    Equation: T = F r

    Parameters
    ----------
    force : [N] of the spring, the same over its whole travel, >= 0
    drum_radius : [m] where it pulls, > 0

    Returns
    -------
    torque : [N·m] the same at every angle

    Valid: within the spring's travel.
    Raises: ValueError when force is negative or drum_radius is not above 0.
    Source: moment of a force.

    >>> print(band_torque(20.0, 0.05))
    1.0
    """
    return check.not_negative("force", force) * check.positive("drum_radius", drum_radius)


def best_spring(springs, angle, torque):
    """Find the spring that leaves the least torque over a swing, within every spring's stretch.

    Equation: the least of max over the swing of |T_load - T_spring|

    Parameters
    ----------
    springs : [part] list of Spring, at least one
    angle : [rad] of the arm along the swing, at least 2 values
    torque : [N·m] of the load at these angles, against a growing angle

    Returns
    -------
    place : [whole] in the list; -1 when none may be stretched that far
    left : [N·m] largest torque left for the motor, for each spring; inf where it would be pulled too long

    Valid: the whole swing is used in both directions.
    Raises: ValueError when springs is empty.
    Source: common practice, no source.

    >>> angle = np.radians(np.linspace(-40, 80, 25))
    >>> load = link_torque(0.6, 0.4, angle)
    >>> kit = [Spring(c, 0.08, 4.0, 0.20, 0.0, 0.10, 0.06) for c in (100.0, 200.0, 400.0)]
    >>> place, left = best_spring(kit, angle, load)
    >>> print(place, f"{left[place]:.2f} N·m left of {load.max():.2f}")
    1 1.80 N·m left of 2.35
    """
    if not springs:
        raise ValueError("springs is empty, but there must be at least one to choose from; give a list of Spring.")
    left = []
    for spring in springs:
        _, allowed = spring_length(spring, angle)
        worst = np.max(np.abs(torque - spring_torque(spring, angle)))
        left.append(worst if np.all(allowed) else np.inf)
    left = np.array(left)
    return (int(np.argmin(left)) if np.isfinite(left).any() else -1), left


# --- the swing ------------------------------------------------------------------------------------------------------


def swing(angle, torque, inertia, friction_torque=0.0):
    """Make the Load of a swing from tables over the arm's angle, whichever way it goes.

    Equation: q = |angle - angle_0|; the pull changes sign when the angle falls

    Parameters
    ----------
    angle : [rad] along the swing, last axis the points, in each row rising (up) or falling (down); a point may repeat
    torque : [N·m] of weight and springs, against a growing angle, at these angles
    inertia : [kg·m2] at these angles, > 0
    friction_torque : [N·m] of bearing friction, >= 0

    Returns
    -------
    load : [part] a motion.Load for the arm's own shaft

    Valid: as motion.Load.
    Raises: ValueError when the angles neither rise nor fall all along.
    Source: common practice, no source.

    >>> up = np.radians(np.linspace(-30, 90, 5))
    >>> down = swing(up[::-1], link_torque(0.5, 0.3, up[::-1]), 0.06)
    >>> print(f"{down.q[-1]:.3f} {down.load_torque[0]:.3f} {down.load_torque[-1]:.3f}")
    2.094 -0.000 -1.274
    """
    angle = np.asarray(check.finite("angle", angle))
    way = np.sign(angle[..., -1:] - angle[..., :1])
    if not (np.all(way != 0) and np.all(way * np.diff(angle, axis=-1) >= 0)):
        raise ValueError(
            "angle turns back along the swing, but it must only rise or only fall; split it in two swings."
        )
    return Load(
        q=way * (angle - angle[..., :1]),
        load_torque=way * np.asarray(torque),
        friction_torque=friction_torque,
        inertia=inertia + 0 * angle,
    )


def drop_energy(mass, height):
    """Give the energy with which a raised part lands when nothing holds it.

    Equation: E = m g h

    Parameters
    ----------
    mass : [kg] of what falls, >= 0
    height : [m] that its centre of gravity falls, >= 0

    Returns
    -------
    energy : [J] at the stop, less what friction and gears take on the way

    Valid: an upper bound. A falling arm can break a finger: rope it while hands are near.
    Raises: ValueError when mass or height is negative.
    Source: OpenStax University Physics Vol. 1, section 8.1.

    >>> print(f"{drop_energy(0.8, 0.5):.1f}")
    3.9
    """
    return check.not_negative("mass", mass) * GRAVITY * check.not_negative("height", height)


def tube_stiffness(modulus, outer, wall):
    """Give the bending stiffness of a square tube.

    Equation: E I = E (a^4 - (a - 2 w)^4) / 12

    Parameters
    ----------
    modulus : [Pa] of elasticity, > 0 (aluminium about 70e9, steel about 205e9)
    outer : [m] side of the square, > 0
    wall : [m] thickness, above 0 and at most half of outer

    Returns
    -------
    stiffness : [N·m2] E I

    Valid: bending along a side; no holes.
    Raises: ValueError when a number is out of its range.
    Source: Gere & Timoshenko, Mechanics of Materials, appendix D (from memory).

    >>> print(f"{tube_stiffness(70e9, 0.025, 0.0015):.0f}")
    912
    """
    outer, wall = check.positive("outer", outer), check.positive("wall", wall)
    if np.any(np.asarray(wall) > np.asarray(outer) / 2):
        raise ValueError(f"wall is {np.max(wall):g} m, but it must be at most half of outer; give a thinner wall.")
    return check.positive("modulus", modulus) * (outer**4 - (outer - 2 * wall) ** 4) / 12


def tip_bending(force, length, stiffness):
    """Give how far the tip of a link sinks under a force at its end.

    Equation: d = F l^3 / (3 E I)

    Parameters
    ----------
    force : [N] across the link at its end, >= 0
    length : [m] of the link, > 0
    stiffness : [N·m2] E I of its section, > 0

    Returns
    -------
    drop : [m] at the tip

    Valid: small bending of a slender link that is held stiffly at the pivot.
    Raises: ValueError when a number is out of its range.
    Source: Gere & Timoshenko, Mechanics of Materials, appendix G, cantilever (from memory).

    >>> print(f"{tip_bending(10.0, 0.4, 912.0) * 1000:.2f} mm")
    0.23 mm
    """
    return (
        check.not_negative("force", force)
        * check.positive("length", length) ** 3
        / (3 * check.positive("stiffness", stiffness))
    )

"""What the drive of a scissor feels: its way over the stroke, and the Load for motion.move.

Contents
    foot_drive, cylinder_drive, horn_drive    way and rate of a drive over the stroke
    lift                                      the Load, up or down, for any of these drives

A drive is known by its way q (how far its shaft has turned) and its rate dq/d(angle) at each angle of the arms; virtual
work does the rest, so lift needs no more than these two. A lead screw at the foot: foot_drive with
screw.lead_radius(lead). A shaft that turns the lowest arm itself: way is the angle, rate is 1. Geometry, forces and
play are in scissor.
"""

import numpy as np

from mechbench.physics import check
from mechbench.physics.arm import swing
from mechbench.physics.scissor import _angle, cylinder_length, inertia_felt, slide_friction, weight_torque
from mechbench.physics.slider_crank import SliderCrank, crank_angle, slider_rate


def foot_drive(scissor, angle, radius):
    """Give the way of a drum, pinion or screw that draws the sliding foot inwards.

    Equation: q = - L cos(angle) / r; dq/d(angle) = L sin(angle) / r

    Parameters
    ----------
    scissor : [part] a scissor.Scissor
    angle : [rad] of the arms above level, along the stroke
    radius : [m] of drum or pinion, > 0; screw.lead_radius(lead) for a lead screw

    Returns
    -------
    way : [rad] of the drive's shaft, counted from nowhere: only differences matter
    rate : [-] rad of the shaft for each rad of the arms

    Valid: a cord that stays tight, no slip.
    Raises: ValueError when angle is out of its range or radius is not above 0.
    Source: plane geometry.

    >>> from mechbench.physics.scissor import Scissor
    >>> way, _ = foot_drive(Scissor(3, 0.2, 0.5), np.radians([10, 60]), 0.012)
    >>> print(f"{way[1] - way[0]:.2f}")
    8.08
    """
    radius = check.positive("radius", radius)
    angle = _angle(angle)
    return -scissor.arm * np.cos(angle) / radius, scissor.arm * np.sin(angle) / radius


def cylinder_drive(scissor, angle, base, along, radius):
    """Give the way of a screw, rack or cord that makes a diagonal between frame and lowest arm longer.

    Equation: q = s / r; dq/d(angle) = base along sin(angle) / (s r)

    Parameters
    ----------
    scissor : [part] a scissor.Scissor
    angle : [rad] of the arms above level, along the stroke
    base : [m] of the point on the frame from the held foot, > 0
    along : [m] of the point on the arm from the held foot, above 0 and at most the arm's length
    radius : [m] of pinion, > 0; screw.lead_radius(lead) for a screw, 1 for a cylinder whose way is a length

    Returns
    -------
    way : [rad] of the drive's shaft; only differences matter
    rate : [-] rad of the shaft for each rad of the arms

    Valid: as cylinder_length.
    Raises: ValueError when a number is out of its range.
    Source: derivative of cylinder_length.

    >>> from mechbench.physics.scissor import Scissor
    >>> way, _ = cylinder_drive(Scissor(3, 0.2, 0.5), np.radians([10, 60]), 0.25, 0.1, 1.0)
    >>> print(f"{1000 * (way[1] - way[0]):.0f} mm")
    65 mm
    """
    length, radius = cylinder_length(scissor, angle, base, along), check.positive("radius", radius)
    return length / radius, base * along * np.sin(angle) / (length * radius)


def horn_drive(scissor, angle, horn, rod, shaft):
    """Give the way of a servo arm (horn) that draws the sliding foot inwards through a rod.

    Equation: crank and slider (slider_crank): the foot at L cos(angle) - shaft from the servo's shaft

    Parameters
    ----------
    scissor : [part] a scissor.Scissor
    angle : [rad] of the arms above level, along the stroke
    horn : [m] of the servo arm, from shaft to pin, > 0
    rod : [m] from the servo arm's pin to the foot's pin, > 0
    shaft : [m] of the servo's shaft, level from the held foot towards the sliding one, any sign

    Returns
    -------
    way : [rad] of the servo, 0 with horn and rod stretched, growing as the foot comes in
    rate : [-] rad of the servo for each rad of the arms; inf where horn and rod are in line, and where it does not
        reach
    reaches : [yes/no] whether horn and rod reach the foot, and still draw it inwards

    Valid: the servo's shaft on the line of the foot pins, on the held foot's side of the sliding one. Near stretched
        the horn pulls hardest: that helps the steep start.
    Raises: ValueError when a number is out of its range.
    Source: slider_crank.slider_pose, turned round.

    >>> from mechbench.physics.scissor import Scissor
    >>> way, _, reaches = horn_drive(Scissor(3, 0.2, 0.5), np.radians([15, 60]), 0.05, 0.10, 0.046)
    >>> print(np.round(np.degrees(way)), reaches.all())
    [ 16. 148.] True
    """
    position = scissor.arm * np.cos(_angle(angle)) - check.finite("shaft", shaft)
    part = SliderCrank(check.positive("horn", horn), check.positive("rod", rod))
    way, reaches = crank_angle(part, position)
    # A rod that points back at the servo would push the foot out again.
    ahead = reaches & (position > 0) & (position > part.crank * np.cos(way))
    slide = np.where(ahead, slider_rate(part, way), 0.0)
    reaches = ahead & (slide < 0)
    rate = scissor.arm * np.sin(angle) / np.where(reaches, -slide, 1.0)
    return way, np.where(reaches, rate, np.inf), reaches


def lift(scissor, angle, way, rate, friction=0.0, shaft_inertia=1e-6):
    """Make the Load of a scissor for the shaft of its drive, up or down.

    Equation: pull = T / (dq/d(angle)); J = J_arm / (dq/d(angle))^2; q = way of the drive

    Parameters
    ----------
    scissor : [part] a scissor.Scissor
    angle : [rad] of the arms along the stroke, last axis the points; all rising (up) or all falling (down)
    way : [rad] of the drive's shaft at these angles: from foot_drive, cylinder_drive or horn_drive; angle itself for a
        shaft that turns the lowest arm
    rate : [-] rad of the drive's shaft for each rad of the arms; 1 for a shaft that turns the lowest arm
    friction : [-] coefficient of friction at the sliding ends, >= 0
    shaft_inertia : [kg·m2] of what turns with the drive's shaft besides, > 0

    Returns
    -------
    load : [part] a motion.Load over the drive's way

    Valid: as motion.Load; evenly spaced angles put more points where the start is steep.
    Raises: ValueError when rate is not above 0 and finite everywhere, or the angles turn back.
    Source: principle of virtual work and energy of motion, as weight_torque and inertia_felt.

    >>> from mechbench.physics.scissor import Scissor
    >>> part, up = Scissor(3, 0.2, 0.5, 0.1), np.radians(np.linspace(10, 60, 31))
    >>> load = lift(part, up, *foot_drive(part, up, 0.012))
    >>> print(f"{load.q[-1]:.2f} rad, pull {load.load_torque[0]:.2f} to {load.load_torque[-1]:.2f} N m")
    8.08 rad, pull 1.30 to 0.13 N m
    """
    rate = check.positive("rate", rate, "keep the drive away from where its rate is 0 or without bound")
    inertia = inertia_felt(scissor, angle) / rate**2 + check.positive("shaft_inertia", shaft_inertia)
    sliding = slide_friction(scissor, angle, friction) / rate
    return swing(check.finite("way", way), weight_torque(scissor, angle) / rate, inertia, sliding)

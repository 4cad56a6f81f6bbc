r"""Slider-crank: a turning arm that pushes something along a straight guide, or is pushed by it.

                 A                          The crank turns about O; the rod joins its pin A to the slider's pin B.
       crank  .-'o-.
          .-'       '-.  rod                Position of the slider: x = r cos(angle) + sqrt(l^2 - (r sin(angle) -
          offset)^2)
     O  o              '-.
                           [ B ]====> x     Guide: a line at the height offset above O, along x.
    - - - - - - - - - - - - - - - - -

Contents
    SliderCrank, SliderPose, slider_pose    where the slider is, and whether it can be put together
    slider_rate                             how far the slider goes for each radian of the crank
    crank_angle                             the other way round: the crank's angle for a place of the slider
    slider_force                            what the slider pushes with for a torque on the crank
    SliderForces, slider_forces             torque, rod and guide for a force at the slider

Where crank and rod are in line the slider stands: a dead point, the toggle of a clamp. It holds any load without
torque, and it snaps: keep fingers out. Positions that can't be reached are answered as in linkage: assembles is no.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check


@dataclass(frozen=True)
class SliderCrank:
    """Hold the lengths of a slider-crank, pin to pin; arrays broadcast.

    Fields
    ------
    crank : [m] from the shaft to the pin A, > 0
    rod : [m] from pin A to the slider's pin B, > 0
    offset : [m] of the guide above the shaft, any sign

    Valid: rigid parts in one plane.
    Source: common practice, no source.
    """

    crank: float
    rod: float
    offset: float = 0.0

    def __post_init__(self):
        object.__setattr__(self, "crank", check.positive("crank", self.crank))
        object.__setattr__(self, "rod", check.positive("rod", self.rod))
        object.__setattr__(self, "offset", check.finite("offset", self.offset))


@dataclass(frozen=True)
class SliderPose:
    """Hold where a slider-crank is.

    Fields
    ------
    position : [m] of the slider along the guide, from the shaft
    lean : [rad] of the rod from the guide, above 0 where it comes down towards the slider; -pi/2 to pi/2
    assembles : [yes/no] whether the rod reaches the guide; else it stands square to it
    """

    position: float
    lean: float
    assembles: bool


def slider_pose(slider_crank, angle):
    """Give the place of the slider for an angle of the crank.

    Equation: sin(lean) = (r sin(angle) - offset) / l; x = r cos(angle) + l cos(lean)

    Parameters
    ----------
    slider_crank : [part] a SliderCrank
    angle : [rad] of the crank, from the guide's direction

    Returns
    -------
    pose : [part] a SliderPose

    Valid: the slider ahead of the crank's pin. The mirror image (behind it) has the rod's cosine below 0.
    Raises: ValueError when angle is not a finite number.
    Source: Khurmi & Gupta, Theory of Machines, 14th ed., section 15.8 (from memory).

    >>> print(f"{slider_pose(SliderCrank(0.15, 0.60), np.radians(60)).position:.4f}")
    0.6608
    """
    angle = check.finite("angle", angle)
    sine = (slider_crank.crank * np.sin(angle) - slider_crank.offset) / slider_crank.rod
    lean = np.arcsin(np.clip(sine, -1.0, 1.0))
    position = slider_crank.crank * np.cos(angle) + slider_crank.rod * np.cos(lean)
    return SliderPose(position, lean, np.abs(sine) <= 1.0)


def slider_rate(slider_crank, angle):
    """Give how far the slider goes for each radian of the crank; times the crank's speed: the slider's speed.

    Equation: dx/d(angle) = - r sin(angle + lean) / cos(lean)

    Parameters
    ----------
    slider_crank : [part] a SliderCrank
    angle : [rad] of the crank, from the guide's direction

    Returns
    -------
    rate : [m] for each rad, below 0 where the slider comes back; inf where the rod stands square to the guide or can't
        reach

    Valid: as slider_pose.
    Raises: ValueError when angle is not a finite number.
    Source: Khurmi & Gupta, Theory of Machines, 14th ed., section 15.5 and Example 15.1.

    >>> print(f"{slider_rate(SliderCrank(0.15, 0.60), np.radians(60)):.4f}")
    -0.1465
    """
    here = slider_pose(slider_crank, angle)
    turns = here.assembles & (np.cos(here.lean) > 1e-9)
    rate = -slider_crank.crank * np.sin(angle + here.lean) / np.where(turns, np.cos(here.lean), 1.0)
    return np.where(turns, rate, np.inf)[()]


def crank_angle(slider_crank, position):
    """Give the angle of the crank that puts the slider at a place.

    Equation: cos(angle - atan2(offset, x)) = (x^2 + offset^2 + r^2 - l^2) / (2 r sqrt(x^2 + offset^2))

    Parameters
    ----------
    slider_crank : [part] a SliderCrank
    position : [m] of the slider along the guide, from the shaft

    Returns
    -------
    angle : [rad] the one with pin A on the left of the line from shaft to slider, where there are two
    assembles : [yes/no] whether crank and rod reach there; else the angle is that of crank and rod in line

    Valid: a slider that lies apart from the shaft.
    Raises: ValueError when position is not a finite number.
    Source: law of cosines.

    >>> print(f"{np.degrees(crank_angle(SliderCrank(0.15, 0.60), 0.6608)[0]):.1f} deg")
    60.0 deg
    """
    position = check.finite("position", position)
    away = np.hypot(position, slider_crank.offset)
    apart = away > 1e-12 * slider_crank.rod
    cosine = (away**2 + slider_crank.crank**2 - slider_crank.rod**2) / (
        2 * slider_crank.crank * np.where(apart, away, 1.0)
    )
    angle = np.arctan2(slider_crank.offset, position) + np.arccos(np.clip(cosine, -1.0, 1.0))
    return angle[()], (apart & (np.abs(cosine) <= 1 + 1e-12))


def slider_force(slider_crank, angle, torque):
    """Give the force of the slider for a torque on the crank.

    Equation: F = T / (dx/d(angle)), power in equals power out

    Parameters
    ----------
    slider_crank : [part] a SliderCrank
    angle : [rad] of the crank, from the guide's direction
    torque : [N·m] on the crank, towards a growing angle

    Returns
    -------
    force : [N] that the slider gives, above 0 outwards along the guide; inf at a dead point, 0 where it does not
        assemble

    Valid: at rest or moving slowly, no friction. Near a dead point play and bending decide, not this equation.
    Raises: ValueError when angle or torque is not a finite number.
    Source: Baker & Haynes, Engineering Statics, chapter 6, example Toggle Clamp.

    >>> clamp = SliderCrank(25.0, 25.0)
    >>> print(f"{slider_force(clamp, -np.arctan2(7, 24), 33.86):.2f}")
    2.42
    """
    rate, torque = slider_rate(slider_crank, angle), check.finite("torque", torque)
    return np.where(rate == 0, np.inf, torque / np.where(rate == 0, 1.0, rate))[()]


@dataclass(frozen=True)
class SliderForces:
    """Hold the forces in a slider-crank.

    Fields
    ------
    torque : [N·m] that the crank must give, towards a growing angle
    rod : [N] in the rod, above 0 where it is pressed together
    guide : [N] of the guide on the slider, square to it, above 0 upwards
    shaft : [N] of the crank on its shaft along the crank, above 0 towards the shaft
    """

    torque: float
    rod: float
    guide: float
    shaft: float


def slider_forces(slider_crank, angle, force):
    """Give crank torque, rod force and guide force for a force that the slider gives.

    Equation: T = F dx/d(angle); rod = F / cos(lean); guide = F tan(lean); shaft = F cos(angle + lean) / cos(lean)

    Parameters
    ----------
    slider_crank : [part] a SliderCrank
    angle : [rad] of the crank, from the guide's direction
    force : [N] that the slider gives to what it moves, above 0 outwards along the guide

    Returns
    -------
    forces : [part] SliderForces; inf where the rod stands square to the guide or can't reach

    Valid: at rest or moving slowly, no friction, weights left out.
    Raises: ValueError when angle or force is not a finite number.
    Source: Khurmi & Gupta, Theory of Machines, 14th ed., section 15.11 and Examples 15.7 and 15.10.

    >>> print(f"{abs(slider_forces(SliderCrank(0.3, 1.35), np.radians(30), 28.263).torque):.2f}")
    5.06
    """
    force, here, rate = check.finite("force", force), slider_pose(slider_crank, angle), slider_rate(slider_crank, angle)
    turns = np.isfinite(rate)
    cosine = np.where(turns, np.cos(here.lean), 1.0)
    values = (
        force * np.where(turns, rate, 1.0),
        force / cosine,
        force * np.tan(np.where(turns, here.lean, 0.0)),
        force * np.cos(angle + here.lean) / cosine,
    )
    return SliderForces(*(np.where(turns, value, np.inf)[()] for value in values))

r"""Gripper: how hard two jaws must squeeze, and what squeeze a servo gives through its jaws.

       pivot jaws                  parallel jaws              a  jaw angle: of a lever, outwards from straight ahead
      \         /                 |             |             a pivot jaw carries its pad on the lever: the pad tilts
       \  gap  / pad              |<--  gap  -->|
     l  \     /               l   /             \             a parallel jaw carries it on two equal levers: the pad
         o   o pivots            o               o            stays square
       -->| |<-- straight gap: between the pads when the levers point straight ahead; gap = straight gap + 2 l sin(a)

Contents
    carried_force                            weight and acceleration together
    squeeze_needed, held_force               friction at two pads: from force to squeeze and back
    disc_lever, line_lever, twist_factor     a piece that is held off its centre twists in the pads
    Jaws, jaw_angle, pad_tilt                pivot and parallel jaws: where they stand at a gap
    squeeze_given, tilted_friction           from torque to squeeze; what a tilted pad leaves of the friction
    geared_torque, rod_drive                 from servo to jaw: gears for both jaws, or horn and rod up to over-centre
    unbalance                                two independent jaws at a middle plate, after one has let go

Servo speed, current and share of stall are in servo; the wrist that turns the gripper is in wrist.

A jaw pinches: first tries at a short travel, fingers out.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check, gearing, linkage
from mechbench.physics.constants import GRAVITY
from mechbench.physics.rounding import difference

QUARTER_TURN = np.pi / 2

# --- what holds a piece ---------------------------------------------------------------------------------------------


def carried_force(mass, upward=0.0, level=0.0):
    """Give the force along the pads that carries a piece while the robot accelerates.

    Equation: F = m sqrt((g + a_up)^2 + a_level^2)

    Parameters
    ----------
    mass : [kg] of the piece, > 0
    upward : [m/s2] acceleration upwards; below 0 when it starts to go down or stops going up
    level : [m/s2] acceleration in the level direction along the pads, either way

    Returns
    -------
    force : [N] on both pads together

    Valid: acceleration along the pads. Across the pads it presses one more and the other less, and the sum stays.
    Raises: ValueError when mass is not above 0 or an acceleration is not a finite number.
    Source: Newton's second law.

    >>> print(f"{carried_force(0.200, 3.0, 5.0):.2f}")
    2.75
    """
    up, level = check.finite("upward", upward), check.finite("level", level)
    return check.positive("mass", mass) * np.hypot(GRAVITY + up, level)


def squeeze_needed(force, friction, safety_factor=1.0, twist=1.0):
    """Give the squeeze that holds a piece between two pads by friction.

    Equation: N = S k F / (2 mu)

    Parameters
    ----------
    force : [N] F along the pads, >= 0; see carried_force
    friction : [-] mu between pad and piece, >= 0; see tilted_friction for pads that are not square
    safety_factor : [-] S, at least 1
    twist : [-] k, at least 1; see twist_factor

    Returns
    -------
    squeeze : [N] of each jaw; inf without friction

    Valid: two pads, each pressed as hard as the other: one jaw's push is the other's support, not a second squeeze.
    Raises: ValueError when force or friction is negative or another number is below 1.
    Source: Coulomb friction, OpenStax University Physics Vol. 1, section 6.2; two fingers in Groover, Industrial
        Robotics, chapter on end effectors (from memory).

    >>> print(f"{squeeze_needed(2.75, 0.5, 2.0):.2f}")
    5.50
    """
    asked = check.not_negative("force", force) * check.at_least("safety_factor", safety_factor, 1.0, "1 is none")
    asked = asked * check.at_least("twist", twist, 1.0, "1 is held at its centre")
    friction = np.asarray(check.not_negative("friction", friction))
    grips = friction > 0
    return np.where(grips, asked / np.where(grips, 2 * friction, 1.0), np.where(asked > 0, np.inf, 0.0))[()]


def held_force(squeeze, friction):
    """Give the force along two pads at which a squeezed piece slips.

    Equation: F = 2 mu N

    Parameters
    ----------
    squeeze : [N] of each jaw, >= 0
    friction : [-] between pad and piece, >= 0

    Returns
    -------
    force : [N] of both pads together

    Valid: as squeeze_needed, the piece held at its centre.
    Raises: ValueError when a number is negative.
    Source: as squeeze_needed.

    >>> print(f"{held_force(6.0, 0.6):.1f}")
    7.2
    """
    return 2 * check.not_negative("friction", friction) * check.not_negative("squeeze", squeeze)


def disc_lever(radius):
    """Give the lever at which the friction of a round pad resists twisting.

    Equation: rho = 2 r / 3

    Parameters
    ----------
    radius : [m] r of the pad's contact, > 0

    Returns
    -------
    lever : [m] so that a pad resists the twist mu N rho

    Valid: even pressure.
    Raises: ValueError when radius is not above 0.
    Source: flat pivot with uniform pressure, Khurmi & Gupta, Theory of Machines, section 10.29, Example 10.16.

    >>> print(f"{disc_lever(0.012) * 1000:.0f} mm")
    8 mm
    """
    return 2 * check.positive("radius", radius) / 3


def line_lever(length):
    """Give the lever at which friction along a line of contact resists twisting: a flat pad on a round piece.

    Equation: rho = l / 4

    Parameters
    ----------
    length : [m] l of the line, > 0

    Returns
    -------
    lever : [m] so that a pad resists the twist mu N rho

    Valid: even pressure along the line.
    Raises: ValueError when length is not above 0.
    Source: mean distance from the middle of a line; recomputed from first principles.

    >>> print(f"{line_lever(0.040) * 1000:.0f} mm")
    10 mm
    """
    return check.positive("length", length) / 4


def twist_factor(offset, lever):
    """Give how many times more squeeze a piece takes that is held off its centre.

    Equation: k = sqrt(1 + (e / rho)^2)

    Parameters
    ----------
    offset : [m] e, level distance from the pads to the piece's centre of gravity, >= 0
    lever : [m] rho of the pads, > 0; see disc_lever and line_lever

    Returns
    -------
    factor : [-] 1 when it is held at its centre

    Valid: an ellipse through sliding alone and twisting alone. The true limit is at most 7 % below it for a round pad,
        never below it for a line along the force, at most 14 % below it for a line across the force.
    Raises: ValueError when offset is negative or lever is not above 0.
    Source: ellipse as a limit of friction, Howe & Cutkosky (1996), from memory.

    >>> print(f"{twist_factor(0.020, line_lever(0.040)):.2f}")
    2.24
    """
    return np.hypot(1.0, check.not_negative("offset", offset) / check.positive("lever", lever))


# --- jaws -----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Jaws:
    """Hold the measures of two jaws that close against each other, one like the other.

    Fields
    ------
    lever : [m] from pivot to pad (pivot jaws), or between the pins of the levers that carry a pad (parallel), > 0
    straight_gap : [m] between the pads when the levers point straight ahead; below 0 the levers cross before that
    pivots : [yes/no] pivot jaws, whose pads tilt with the levers; no for parallel jaws
    square_gap : [m] at which the pads of pivot jaws are parallel to each other; parallel jaws do not use it

    Valid: rigid, without play.
    Source: common practice, no source.
    """

    lever: float
    straight_gap: float
    pivots: bool = False
    square_gap: float = 0.0

    def __post_init__(self):
        object.__setattr__(self, "lever", check.positive("lever", self.lever))
        for name in ("straight_gap", "square_gap"):
            object.__setattr__(self, name, check.finite(name, getattr(self, name)))


def jaw_angle(jaws, gap):
    """Give the angle at which the jaws' levers stand at a gap.

    Equation: sin(a) = (gap - straight gap) / (2 l)

    Parameters
    ----------
    jaws : [part] Jaws
    gap : [m] between the pads

    Returns
    -------
    angle : [rad] of each lever, outwards from straight ahead

    Valid: up to a quarter turn either way: there the levers are over-centre, and closing further opens the jaws again.
    Raises: ValueError when the jaws can't reach that gap.
    Source: plane geometry.

    >>> print(f"{np.degrees(jaw_angle(Jaws(0.080, 0.060), 0.140)):.0f} deg")
    30 deg
    """
    sine = (check.finite("gap", gap) - jaws.straight_gap) / (2 * np.asarray(jaws.lever))
    if np.any(np.abs(sine) > 1):
        raise ValueError(
            f"gap is {np.max(gap):g} m, but these jaws reach from straight_gap - 2 lever to straight_gap + "
            "2 lever; choose longer levers or another straight_gap."
        )
    return np.arcsin(sine)


def pad_tilt(jaws, gap):
    """Give how far each pad is from square to the line on which the jaws squeeze.

    Equation: t = a(gap) - a(square gap) for pivot jaws, 0 for parallel jaws

    Parameters
    ----------
    jaws : [part] Jaws
    gap : [m] between the pads

    Returns
    -------
    tilt : [rad] above 0 the pads open towards the front and push a round piece out

    Valid: as jaw_angle.
    Raises: ValueError when pivot jaws can't reach the gap or their square gap.
    Source: plane geometry.

    >>> print(f"{np.degrees(pad_tilt(Jaws(0.080, 0.060, True, 0.060), 0.140)):.0f} deg")
    30 deg
    """
    square = np.where(jaws.pivots, jaws.square_gap, gap)
    return difference(jaw_angle(jaws, gap), jaw_angle(jaws, square), QUARTER_TURN)


def squeeze_given(jaws, torque, gap):
    """Give the squeeze of two jaws from the torque on each jaw's levers.

    Equation: N = T / (l cos(a)), by virtual work: 2 T da = N d(gap)

    Parameters
    ----------
    jaws : [part] Jaws
    torque : [N·m] T on the lever of each jaw, >= 0
    gap : [m] between the pads

    Returns
    -------
    squeeze : [N] along the line between the jaws; inf at over-centre

    Valid: without friction in the pins. How far a parallel jaw's pad stands ahead of its levers does not count, but it
        makes the pins rub. At over-centre stiffness sets the squeeze, and the jaws stay shut with the power off.
    Raises: ValueError when torque is negative or the jaws can't reach the gap.
    Source: principle of virtual work, Hibbeler & Gupta, Engineering Mechanics, chapter 11 (from memory).

    >>> print(f"{squeeze_given(Jaws(0.080, 0.060), 0.400, 0.100):.2f}")
    5.16
    """
    across = np.asarray(jaws.lever) * np.cos(jaw_angle(jaws, gap))
    moves = across > 1e-9 * np.asarray(jaws.lever)
    torque = check.not_negative("torque", torque)
    return np.where(moves, torque / np.where(moves, across, 1.0), np.inf)[()]


def tilted_friction(friction, tilt):
    """Give the friction that is left to carry a piece where the pads are tilted.

    Equation: mu' = sqrt(mu^2 cos(t)^2 - sin(t)^2); 0 where tan(|t|) > mu: the piece is pushed out

    Parameters
    ----------
    friction : [-] mu between pad and piece, >= 0
    tilt : [rad] t of each pad, within a quarter turn either way; see pad_tilt

    Returns
    -------
    friction : [-] mu', over the squeeze along the line between the jaws

    Valid: a round piece between two pads that open like a V; the rest of the friction keeps it from being pushed out.
    Raises: ValueError when friction is negative or tilt is out of its range.
    Source: equilibrium within the cone of friction; recomputed from first principles.

    >>> print(f"{tilted_friction(0.6, np.radians(20)):.2f} {tilted_friction(0.6, np.radians(35)):.0f}")
    0.45 0
    """
    tilt = check.between("tilt", tilt, -QUARTER_TURN, QUARTER_TURN, "give it in rad, up to a quarter turn")
    left = (check.not_negative("friction", friction) * np.cos(tilt)) ** 2 - np.sin(tilt) ** 2
    return np.sqrt(np.maximum(left, 0.0))


# --- from servo to jaw ----------------------------------------------------------------------------------------------


def geared_torque(servo_torque, ratio=1.0, efficiency=1.0, driven=2):
    """Give the torque on each jaw's lever when a servo drives one jaw or both through gears.

    Equation: T_jaw = T_servo N eta / n

    Parameters
    ----------
    servo_torque : [N·m] of the servo, >= 0
    ratio : [-] servo speed over jaw speed, > 0
    efficiency : [-] of the gears, above 0 and at most 1
    driven : [whole] n, jaws that this servo drives: 2 when both are geared together, 1 when each has its own servo

    Returns
    -------
    torque : [N·m] on the lever of each jaw

    Valid: both jaws take the same share, as they do when the piece is free to move to the middle.
    Raises: ValueError when a number is out of its range.
    Source: gearing.output_torque, shared; common practice, no source.

    >>> print(f"{geared_torque(0.80, 1.0, 0.90):.2f}")
    0.36
    """
    asked = check.not_negative("servo_torque", servo_torque)
    return gearing.output_torque(asked, ratio, efficiency) / check.whole("driven", driven, 1)


def rod_drive(fourbar, angle, branch=1):
    """Give what a servo's horn does to a jaw through a rod, and how far it is from over-centre.

    Equation: T_jaw / T_servo = |w_horn / w_jaw|; over-centre where horn and rod are in line

    Parameters
    ----------
    fourbar : [part] linkage.Fourbar: horn (input), rod (coupler), the jaw's own arm (output), pivot to pivot (ground)
    angle : [rad] of the horn from the ground line
    branch : [whole] +1 open, -1 crossed, as in linkage

    Returns
    -------
    advantage : [-] torque on the jaw over the servo's; inf at over-centre
    to_go : [rad] from here to the nearest over-centre of the horn; inf where there is none

    Valid: without friction. Just past over-centre the jaw holds a piece with the servo off; it opens with a snap.
    Raises: ValueError when angle is not a finite number or branch is not +1 or -1.
    Source: linkage.mechanical_advantage and linkage.dead_points.

    >>> from mechbench.physics.linkage import Fourbar
    >>> print("{:.2f} {:.2f}".format(*rod_drive(Fourbar(0.020, 0.050, 0.030, 0.060), np.radians(60))))
    2.07 0.61
    """
    advantage = np.abs(linkage.mechanical_advantage(fourbar, angle, branch))
    stretched, folded, has_stretched, has_folded = linkage.dead_points(fourbar, branch)
    away = [
        np.where(has, np.abs((angle - place + np.pi) % (2 * np.pi) - np.pi), np.inf)
        for place, has in ((stretched, has_stretched), (folded, has_folded))
    ]
    return advantage, np.minimum(*away)[()]


# --- two at once ----------------------------------------------------------------------------------------------------


def unbalance(spacing, left_mass, right_mass, left_squeeze, right_squeeze, upward=0.0):
    """Give what two independent jaws, each pressing a piece on a middle plate, leave when one has let go.

    Equation: F = N_left - N_right; T = (m_left - m_right) (g + a) s / 2

    Parameters
    ----------
    spacing : [m] s between the centres of the two pieces, > 0
    left_mass : [kg] of the left piece, 0 once it is let go
    right_mass : [kg] of the right piece, >= 0
    left_squeeze : [N] of the left jaw, 0 once it has let go
    right_squeeze : [N] of the right jaw, >= 0
    upward : [m/s2] acceleration upwards

    Returns
    -------
    plate_push : [N] that bends the middle plate, above 0 towards the right
    roll_torque : [N·m] about the wrist's long axis, above 0 when the left side is heavier

    Valid: each jaw has a servo of its own, so the other squeeze stays. Jaws that share one servo let both pieces go.
    Raises: ValueError when spacing is not above 0 or another number is negative.
    Source: equilibrium of the middle plate.

    >>> print("{:.1f} {:.3f}".format(*unbalance(0.100, 0.0, 0.200, 0.0, 6.0)))
    -6.0 -0.098
    """
    arm = check.positive("spacing", spacing) / 2 * (GRAVITY + check.finite("upward", upward))
    push = check.not_negative("left_squeeze", left_squeeze) - check.not_negative("right_squeeze", right_squeeze)
    return push, (check.not_negative("left_mass", left_mass) - check.not_negative("right_mass", right_mass)) * arm

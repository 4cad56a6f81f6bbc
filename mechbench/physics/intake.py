r"""Intake: will a roller pull the piece in at driving speed, what does that cost, and does the intake get at the piece?

         .---.                     s  squeeze: how much more the piece fills the gap than there is room for
        /  R  \   roller           b  nip angle: from the line straight across the gap to the line that joins the
        \  |b  /                      two centres when roller and piece first touch
         '-|-'.---.                   cos b = 1 - s / (R + r)
           |  /  r  \
     in <-    \    b/  piece       The roller pushes the piece out by its normal force and pulls it in by friction:
       ========'---'=======        the steeper the nip, the more friction it takes.
              wall

Contents
    surface_speed, rolling_speed, speed_ratio     how fast the roller takes a piece in, against the driving speed
    nip_angle                                     how steeply the roller meets the piece
    sliding_nip, rolling_nip, driven_nip          friction it takes: one roller and a wall, or two driven rollers
    deepest_squeeze                               the most squeeze at which the piece is still pulled in
    press_force, roller_torque, slip_torque       from squeeze to force, to torque while carrying and when jammed
    reach_needed, heading_limit                   into a gap that is narrower than the robot
    funnel_mouth, funnel_run                      side plates that bring a piece to the middle

The current follows from the torque through the roller's own drive: see drive.current_for_torque. What happens behind
the first roller (ramps, stages handing on) is in transfer.

Never reach into a running roller, and unplug before hands go in; a piece can be thrown out: cover the eyes.
"""

import numpy as np

from mechbench.physics import check
from mechbench.physics.rounding import difference

QUARTER_TURN = np.pi / 2


def _tangent(angle):
    """Tangent of an angle of friction; inf from a quarter turn on, where no friction is enough."""
    steep = angle >= QUARTER_TURN - 1e-12
    return np.where(steep, np.inf, np.tan(np.where(steep, 0.0, angle)))[()]


# --- speed ----------------------------------------------------------------------------------------------------------


def surface_speed(diameter, speed):
    """Give the speed of a roller's surface.

    Equation: v = w d / 2

    Parameters
    ----------
    diameter : [m] of the roller, not its radius, > 0
    speed : [rad/s] of the roller; any shape, all arguments broadcast

    Returns
    -------
    surface_speed : [m/s] at its rim

    Valid: a roller that is hardly squeezed; a soft one runs a little smaller where it is pressed.
    Raises: ValueError when diameter is not above 0 or speed is not a finite number.
    Source: Wentzell, Machine Design, Example 12.2.

    >>> print(f"{surface_speed(0.050, 60.0):.2f}")
    1.50
    """
    return check.finite("speed", speed) * check.positive("diameter", diameter) / 2


def rolling_speed(surface_speed, other_speed=0.0):
    """Give the speed of a round piece that rolls between the roller and another surface.

    Equation: v = (v_1 + v_2) / 2

    Parameters
    ----------
    surface_speed : [m/s] of the roller's surface, inwards
    other_speed : [m/s] of the surface on the piece's other side, inwards, seen from the robot: 0 for a wall that is
        part of the robot, the driving speed for the floor

    Returns
    -------
    piece_speed : [m/s] of the piece's middle, inwards, seen from the robot

    Valid: no slip on either side. A piece that slides along the wall instead moves as fast as the roller's surface.
    Raises: ValueError when a speed is not a finite number.
    Source: velocity of rolling without slip, OpenStax University Physics Vol. 1, section 11.1.

    >>> print(f"{rolling_speed(1.6):.1f} {rolling_speed(1.6, 1.0):.1f}")
    0.8 1.3
    """
    return (check.finite("surface_speed", surface_speed) + check.finite("other_speed", other_speed)) / 2


def speed_ratio(piece_speed, ground_speed):
    """Give how many times faster a piece is taken in than the robot drives onto it.

    Equation: q = v_in / v_ground

    Parameters
    ----------
    piece_speed : [m/s] at which the roller takes the piece in, seen from the robot, >= 0
    ground_speed : [m/s] of the robot towards the piece, >= 0

    Returns
    -------
    ratio : [-] below 1 the robot pushes the piece away; inf while the robot stands

    Valid: a piece that lies still. At least 1.5 is common practice (no source): it leaves time to get hold of it.
    Raises: ValueError when a speed is negative.
    Source: common practice, no source.

    >>> print(f"{speed_ratio(1.6, 1.0):.1f}")
    1.6
    """
    piece, ground = check.not_negative("piece_speed", piece_speed), check.not_negative("ground_speed", ground_speed)
    stands = np.asarray(ground) == 0
    return np.where(stands, np.inf, piece / np.where(stands, 1.0, ground))[()]


# --- the nip --------------------------------------------------------------------------------------------------------


def nip_angle(roller_radius, piece_radius, squeeze):
    """Give the nip angle: how far from straight across the gap the roller first touches the piece.

    Equation: cos(b) = 1 - s / (R + r)

    Parameters
    ----------
    roller_radius : [m] R, > 0
    piece_radius : [m] r, >= 0; 0 for the edge of a flat plate
    squeeze : [m] s of this roller, 0 to less than R + r; with two rollers each takes half of the whole squeeze

    Returns
    -------
    nip_angle : [rad] 0 to a quarter turn

    Valid: round roller and round piece at the moment they first touch; that is the hardest moment, since later the
        contact moves in.
    Raises: ValueError when a number is negative, roller_radius is 0, or squeeze is R + r or more.
    Source: geometry of crushing rolls, Coulson & Richardson, Chemical Engineering Vol. 2, Example 2.2; of metal
        rolling with r = 0.

    >>> print(f"{np.degrees(nip_angle(0.040, 0.035, 0.006)):.1f} deg")
    23.1 deg
    """
    reach = check.positive("roller_radius", roller_radius) + check.not_negative("piece_radius", piece_radius)
    squeeze = check.not_negative("squeeze", squeeze)
    if np.any(np.asarray(squeeze) >= reach):
        raise ValueError(
            f"squeeze is {np.max(squeeze):g} m, but it must be below both radii together "
            f"({np.min(reach):g} m); open the gap."
        )
    return np.arccos(1 - squeeze / reach)


def _nip(angle):
    return check.between("nip_angle", angle, 0.0, QUARTER_TURN, "give it in rad, 0 to a quarter turn")


def sliding_nip(nip_angle, wall_friction):
    """Give the friction that one driven roller needs to pull in a piece that slides along a wall.

    Equation: mu_roller = tan(b + atan(mu_wall))

    Parameters
    ----------
    nip_angle : [rad] b, 0 to a quarter turn
    wall_friction : [-] between piece and wall, >= 0

    Returns
    -------
    roller_friction : [-] the least between roller and piece; inf where no friction is enough

    Valid: the piece does not turn, the wall drags it back; slow, its weight small against the press.
    Raises: ValueError when nip_angle is out of its range or wall_friction is negative.
    Source: equilibrium of two forces at their angles of friction; common practice, no source.

    >>> print(f"{sliding_nip(np.radians(23.1), 0.3):.2f} {sliding_nip(np.radians(16.0), 0.3):.2f}")
    0.83 0.64
    """
    return _tangent(_nip(nip_angle) + np.arctan(check.not_negative("wall_friction", wall_friction)))


def rolling_nip(nip_angle):
    """Give the friction that one driven roller needs, and the wall as well, when the piece rolls along the wall.

    Equation: mu = tan(b / 2)

    Parameters
    ----------
    nip_angle : [rad] b, 0 to a quarter turn

    Returns
    -------
    friction : [-] the least at the roller and at the wall

    Valid: a round piece that is free to turn: both forces lie on the line through the two contacts. It moves at half
        the roller's surface speed (see rolling_speed). Slow, its weight small against the press.
    Raises: ValueError when nip_angle is out of its range.
    Source: two-force body; the same as the angle of nip of jaw crushers (common practice, no source).

    >>> print(f"{rolling_nip(np.radians(23.1)):.2f}")
    0.20
    """
    return _tangent(_nip(nip_angle) / 2)


def driven_nip(nip_angle):
    """Give the friction that two driven rollers, one on each side, need to pull a piece in.

    Equation: mu = tan(b)

    Parameters
    ----------
    nip_angle : [rad] b of each roller, 0 to a quarter turn

    Returns
    -------
    friction : [-] the least between either roller and the piece; inf at a quarter turn

    Valid: equal rollers with equal surface speed; slow, its weight small against the press.
    Raises: ValueError when nip_angle is out of its range.
    Source: bite condition of rolling; Groover, Fundamentals of Modern Manufacturing, flat rolling (from memory).

    >>> print(f"{driven_nip(np.radians(16.0)):.2f}")
    0.29
    """
    return _tangent(_nip(nip_angle))


def deepest_squeeze(roller_radius, piece_radius, roller_friction, wall_friction=0.0, rolls=False):
    """Give the most squeeze at which a roller still pulls a piece in.

    Equation: s = (R + r) (1 - cos(b)); sliding b = atan(mu_roller) - atan(mu_wall); rolling b = 2 atan(smaller of both)

    Parameters
    ----------
    roller_radius : [m] R, > 0
    piece_radius : [m] r, >= 0
    roller_friction : [-] between roller and piece, >= 0
    wall_friction : [-] between piece and wall, >= 0; 0 where the other side is driven as well
    rolls : [yes/no] whether the piece rolls along the wall

    Returns
    -------
    squeeze : [m] of this roller; 0 where the wall holds a sliding piece better than the roller; both radii where a
        rolling piece could be taken in from any side

    Valid: as sliding_nip and rolling_nip; with two driven rollers the whole squeeze is twice this.
    Raises: ValueError when a number is negative or roller_radius is 0.
    Source: as nip_angle, sliding_nip and rolling_nip.

    >>> print(f"{deepest_squeeze(0.040, 0.035, 0.8, 0.3) * 1000:.1f} mm")
    5.4 mm
    """
    reach = check.positive("roller_radius", roller_radius) + check.not_negative("piece_radius", piece_radius)
    roller = np.arctan(check.not_negative("roller_friction", roller_friction))
    wall = np.arctan(check.not_negative("wall_friction", wall_friction))
    angle = np.where(rolls, 2 * np.minimum(roller, wall), np.maximum(roller - wall, 0.0))
    return reach * (1 - np.cos(np.minimum(angle, QUARTER_TURN)))


# --- force and torque -----------------------------------------------------------------------------------------------


def press_force(stiffness, squeeze):
    """Give the force with which a soft roller presses on a piece.

    Equation: N = c s

    Parameters
    ----------
    stiffness : [N/m] of the roller, > 0
    squeeze : [m] of this roller, >= 0; with two rollers each takes half of the whole squeeze, and both press alike

    Returns
    -------
    press_force : [N] across the gap; the other side pushes back as hard

    Valid: a straight-line spring, a few millimetres; measure your own roller. A stiff piece.
    Raises: ValueError when stiffness is not above 0 or squeeze is negative.
    Source: Hooke's law.

    >>> print(f"{press_force(1200.0, 0.005):.1f}")
    6.0
    """
    return check.positive("stiffness", stiffness) * check.not_negative("squeeze", squeeze)


def roller_torque(radius, press_force, wall_friction, along=0.0):
    """Give the torque that a roller needs to carry a piece along a wall.

    Equation: T = (mu_wall N + F) R

    Parameters
    ----------
    radius : [m] R of the roller, > 0
    press_force : [N] across the gap, >= 0
    wall_friction : [-] between piece and wall, >= 0; 0 where the piece rolls or the other side is driven
    along : [N] what else holds the piece back, such as its weight on a ramp (transfer.ramp_force), >= 0; half of that
        where the piece rolls

    Returns
    -------
    torque : [N·m] on the roller's shaft; of two driven rollers together

    Valid: steady speed, no bearing friction; only while it is below slip_torque. A piece that rolls is pulled by roller
        and wall alike, or it would turn faster and faster: half of the force comes from the roller, whose surface runs
        twice as fast as the piece.
    Raises: ValueError when radius is not above 0 or another number is negative.
    Source: equilibrium of the piece along the wall, and of its turning.

    >>> print(f"{roller_torque(0.025, 8.0, 0.25, 0.8):.3f}")
    0.070
    """
    drag = check.not_negative("wall_friction", wall_friction) * check.not_negative("press_force", press_force)
    return (drag + check.not_negative("along", along)) * check.positive("radius", radius)


def slip_torque(radius, press_force, roller_friction):
    """Give the torque at which a roller slips on a piece: what a jammed piece asks of the motor.

    Equation: T = mu_roller N R

    Parameters
    ----------
    radius : [m] R of the roller, > 0
    press_force : [N] across the gap, >= 0
    roller_friction : [-] between roller and piece, >= 0

    Returns
    -------
    torque : [N·m] on the roller's shaft; a drive with less stalls on a jam, one with more spins the roller

    Valid: one piece under the roller; add up what presses at the same time.
    Raises: ValueError when radius is not above 0 or another number is negative.
    Source: Coulomb friction, OpenStax University Physics Vol. 1, section 6.2.

    >>> print(f"{slip_torque(0.025, 10.0, 0.8):.3f}")
    0.200
    """
    grip = check.not_negative("roller_friction", roller_friction) * check.not_negative("press_force", press_force)
    return grip * check.positive("radius", radius)


# --- getting at the piece -------------------------------------------------------------------------------------------


def reach_needed(depth, piece_radius, roller_radius, nip_angle):
    """Give how far past the mouth of a pen the roller's axis must get to nip a piece at the back wall.

    Equation: x = D - r - (R + r) sin(b)

    Parameters
    ----------
    depth : [m] D of the pen, from its mouth to its back wall, >= 0
    piece_radius : [m] r, >= 0
    roller_radius : [m] R, > 0
    nip_angle : [rad] b, 0 to a quarter turn

    Returns
    -------
    reach : [m] past the mouth; below 0 the roller stays in front of it

    Valid: the piece touches the back wall; the pen is square to the robot.
    Raises: ValueError when a number is out of its range.
    Source: plane geometry; common practice, no source.

    >>> print(f"{reach_needed(0.200, 0.035, 0.025, np.radians(16.0)) * 1000:.0f} mm")
    148 mm
    """
    piece = check.not_negative("piece_radius", piece_radius)
    ahead = (check.positive("roller_radius", roller_radius) + piece) * np.sin(_nip(nip_angle))
    return check.not_negative("depth", depth) - piece - ahead


def heading_limit(gap, width, length):
    """Give how far from straight an intake may point and still enter a gap.

    Equation: w cos(a) + l sin(a) = gap, so a = asin(gap / h) - atan(w / l), h = sqrt(w^2 + l^2)

    Parameters
    ----------
    gap : [m] between the posts, > 0
    width : [m] w of the intake, > 0
    length : [m] l of the part that must get past the gap, >= 0

    Returns
    -------
    heading : [rad] either way; 0 where it is as wide as the gap or wider, a quarter turn where any heading fits

    Valid: a rectangular intake between two posts, driven to the middle of the gap; on the safe side for thin posts.
    Raises: ValueError when gap or width is not above 0 or length is negative.
    Source: plane geometry; common practice, no source.

    >>> print(f"{np.degrees(heading_limit(0.280, 0.220, 0.180)):.0f} deg")
    29 deg
    """
    gap, width = check.positive("gap", gap), check.positive("width", width)
    length = check.not_negative("length", length)
    across = np.hypot(width, length)
    first = difference(np.arcsin(np.minimum(gap / across, 1.0)), np.arctan2(width, length), QUARTER_TURN)
    return np.where(gap >= across, QUARTER_TURN, np.maximum(first, 0.0))[()]


def _plate(angle):
    return check.between(
        "angle", check.positive("angle", angle), 0.0, QUARTER_TURN, "give it in rad, below a quarter turn"
    )


def funnel_mouth(throat, length, angle):
    """Give how wide a funnel of two side plates is in front.

    Equation: mouth = throat + 2 l tan(a)

    Parameters
    ----------
    throat : [m] width between the plates at their rear, > 0
    length : [m] l of the plates, ahead, >= 0
    angle : [rad] a between a plate and the direction of travel, above 0 and below a quarter turn

    Returns
    -------
    mouth : [m] a piece comes in as long as its middle is between the tips

    Valid: straight plates, the same on both sides.
    Raises: ValueError when a number is out of its range.
    Source: plane geometry.

    >>> print(f"{funnel_mouth(0.100, 0.120, np.radians(30)) * 1000:.0f} mm")
    239 mm
    """
    return check.positive("throat", throat) + 2 * check.not_negative("length", length) * _tangent(_plate(angle))


def funnel_run(offset, angle, friction):
    """Give how far the robot drives until a side plate has brought a piece to the middle.

    Equation: x = e cos(f) / (sin(a) cos(a + f)), f = atan(mu)

    Parameters
    ----------
    offset : [m] e that the piece must move sideways, >= 0
    angle : [rad] a between plate and direction of travel, above 0 and below a quarter turn
    friction : [-] between piece and plate, >= 0

    Returns
    -------
    run : [m] that the robot drives meanwhile; inf where a + f is a quarter turn or more: the plate only pushes ahead

    Valid: a piece that slides on a level floor and along the plate, pushed slowly: it then moves the way the plate's
        force points. The shortest run is at a = 45 degrees - f / 2. A piece that rolls comes to the middle sooner.
    Raises: ValueError when a number is out of its range.
    Source: quasi-static pushing: floor friction is opposite to the piece's velocity; recomputed from first principles.

    >>> print(f"{funnel_run(0.040, np.radians(30), 0.25) * 1000:.0f} mm")
    108 mm
    """
    angle, slip = _plate(angle), np.arctan(check.not_negative("friction", friction))
    offset = check.not_negative("offset", offset)
    side = np.sin(angle) * np.cos(angle + slip)
    stuck = side <= 1e-12
    return np.where(stuck, np.inf, offset * np.cos(slip) / np.where(stuck, 1.0, side))[()]

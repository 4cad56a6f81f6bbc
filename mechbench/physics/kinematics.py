r"""Kinematics of wheels on the floor: how fast each wheel must turn for a wanted motion, and the other way round.

                 ahead (x)
                    ^                    Seen from above. Three numbers say how a robot moves: `ahead`, `left` [m/s] and
          FL [\]    |    [/] FR          `turn` [rad/s], counted to the left (anticlockwise).
                    |                    Mecanum wheels come in the order FL, FR, RR, RL (round the robot): front left,
    left <----------+   half_length      front right, rear right, rear left. The slashes are the rollers as seen from
                                         above; on the floor they lie the other way round.
          RL [/]         [\] RR
                half_width

Contents
    differential_wheels, differential_motion        two driven sides, no motion sideways
    mecanum_matrix                                  the published matrix, motion to wheel speeds
    mecanum_wheels, mecanum_motion                  both ways
    mecanum_top_speed                               top speed in any direction
    normalise                                       slow all wheels down alike, so that none is asked too much
"""

import numpy as np

from mechbench.physics import check


def differential_wheels(radius, track, ahead, turn):
    """Give the wheel speeds of both sides of a differential drive for a wanted motion.

    Equation: w_left = (v - turn b / 2) / r; w_right = (v + turn b / 2) / r

    Parameters
    ----------
    radius : [m] of the wheels, > 0; all arguments broadcast
    track : [m] b, from the left wheels to the right ones, > 0
    ahead : [m/s] v, forwards
    turn : [rad/s] to the left

    Returns
    -------
    left : [rad/s] of the wheels on the left
    right : [rad/s] of the wheels on the right

    Valid: wheels that roll without slipping. With four wheels that grip sideways the real track is wider than
        measured, since they must scrub: find it by turning on the spot and counting wheel turns.
    Raises: ValueError when radius or track is not above 0.
    Source: Lynch & Park, Modern Robotics, section 13.3.1, two-wheeled robot (from memory).

    >>> left, right = differential_wheels(0.05, 0.40, 1.0, 2.0)
    >>> print(f"{left:.0f} {right:.0f}")
    12 28
    """
    half = check.positive("track", track) / 2 * check.finite("turn", turn)
    radius, ahead = check.positive("radius", radius), check.finite("ahead", ahead)
    return (ahead - half) / radius, (ahead + half) / radius


def differential_motion(radius, track, left, right):
    """Give the motion of a differential drive from the wheel speeds of both sides.

    Equation: v = r (w_right + w_left) / 2; turn = r (w_right - w_left) / b

    Parameters
    ----------
    radius : [m] of the wheels, > 0; all arguments broadcast
    track : [m] b, from the left wheels to the right ones, > 0
    left : [rad/s] of the wheels on the left
    right : [rad/s] of the wheels on the right

    Returns
    -------
    ahead : [m/s] forwards
    turn : [rad/s] to the left

    Valid: as differential_wheels.
    Raises: ValueError when radius or track is not above 0.
    Source: Lynch & Park, Modern Robotics, section 13.3.1, two-wheeled robot (from memory).

    >>> ahead, turn = differential_motion(0.05, 0.40, 12.0, 28.0)
    >>> print(f"{ahead:.1f} m/s, {turn:.1f} rad/s")
    1.0 m/s, 2.0 rad/s
    """
    radius, track = check.positive("radius", radius), check.positive("track", track)
    left, right = check.finite("left", left), check.finite("right", right)
    return radius * (left + right) / 2, radius * (right - left) / track


def mecanum_matrix(radius, half_length, half_width):
    """Give the matrix that turns a motion into the four wheel speeds of a mecanum drive.

    Equation: w = H (turn, ahead, left); rows of r H: (-(l + b), 1, -1), (l + b, 1, 1), (l + b, 1, -1), (-(l + b), 1, 1)

    Parameters
    ----------
    radius : [m] r of the wheels, > 0
    half_length : [m] l, from the robot's middle to the axles, > 0
    half_width : [m] b, from the robot's middle to the wheels, > 0

    Returns
    -------
    matrix : [any] shape [4, 3]: rows FL, FR, RR, RL; columns turn (no unit), ahead and left (per metre)

    Valid: rollers at 45 degrees, mounted so that from above they point at the robot's middle; no slipping.
    Raises: ValueError when a length is not above 0 or not a plain number.
    Source: Lynch & Park, Modern Robotics, section 13.2.1, equation of the four-mecanum-wheel robot.

    >>> print(mecanum_matrix(0.05, 0.2, 0.2)[0])
    [ -8.  20. -20.]
    """
    lever = check.positive("half_length", half_length) + check.positive("half_width", half_width)
    if np.ndim(lever) or np.ndim(radius):
        raise ValueError(
            "radius, half_length or half_width is a row of numbers, but each must be one number; give one robot."
        )
    rows = [(-lever, 1.0, -1.0), (lever, 1.0, 1.0), (lever, 1.0, -1.0), (-lever, 1.0, 1.0)]
    return np.array(rows) / check.positive("radius", radius)


def mecanum_wheels(radius, half_length, half_width, ahead, left, turn):
    """Give the four wheel speeds of a mecanum drive for a wanted motion.

    Equation: w = H (turn, ahead, left), H from mecanum_matrix

    Parameters
    ----------
    radius : [m] of the wheels, > 0
    half_length : [m] from the robot's middle to the axles, > 0
    half_width : [m] from the robot's middle to the wheels, > 0
    ahead : [m/s] forwards; the three broadcast
    left : [m/s] sideways to the left
    turn : [rad/s] to the left

    Returns
    -------
    wheel_speed : [rad/s] shape [..., 4], in the order FL, FR, RR, RL

    Valid: as mecanum_matrix.
    Raises: ValueError when a length is not above 0.
    Source: as mecanum_matrix.

    >>> print(mecanum_wheels(0.05, 0.2, 0.2, 0.0, 0.5, 0.0))
    [-10.  10. -10.  10.]
    """
    wanted = np.broadcast_arrays(check.finite("turn", turn), check.finite("ahead", ahead), check.finite("left", left))
    return np.stack(wanted, axis=-1) @ mecanum_matrix(radius, half_length, half_width).T


def mecanum_motion(radius, half_length, half_width, wheel_speed):
    """Give the motion of a mecanum drive from its four wheel speeds, and by how much the wheels fight each other.

    Equation: (turn, ahead, left) = H+ w, the best fit; fight = r (w_FL + w_FR - w_RR - w_RL) / 4

    Parameters
    ----------
    radius : [m] of the wheels, > 0
    half_length : [m] from the robot's middle to the axles, > 0
    half_width : [m] from the robot's middle to the wheels, > 0
    wheel_speed : [rad/s] shape [..., 4], in the order FL, FR, RR, RL

    Returns
    -------
    ahead : [m/s] forwards
    left : [m/s] sideways to the left
    turn : [rad/s] to the left
    fight : [m/s] speed that no motion can give to all four: the wheels slip by this much; 0 where they agree

    Valid: as mecanum_matrix; what a real robot does sideways is less, by a share that must be measured.
    Raises: ValueError when a length is not above 0 or wheel_speed has not four numbers a row.
    Source: as mecanum_matrix; the best fit is its pseudo-inverse.

    >>> ahead, left, turn, fight = mecanum_motion(0.05, 0.2, 0.2, [-10.0, 10.0, -10.0, 10.0])
    >>> print(f"{ahead:.1f} {left:.1f} {turn:.1f} {fight:.1f}")
    0.0 0.5 0.0 0.0
    """
    wheel_speed = np.asarray(check.finite("wheel_speed", wheel_speed))
    if wheel_speed.ndim == 0 or wheel_speed.shape[-1] != 4:
        raise ValueError(
            f"wheel_speed has the shape {wheel_speed.shape}, but a mecanum drive has four wheels; "
            "give FL, FR, RR, RL along the last axis."
        )
    motion = wheel_speed @ np.linalg.pinv(mecanum_matrix(radius, half_length, half_width)).T
    fight = radius / 4 * (wheel_speed @ np.array([1.0, 1.0, -1.0, -1.0]))
    return motion[..., 1], motion[..., 2], motion[..., 0], fight


def mecanum_top_speed(radius, wheel_speed, direction):
    """Give the top speed of a mecanum drive in a direction, without turning.

    Equation: v = r w / (|cos d| + |sin d|)

    Parameters
    ----------
    radius : [m] of the wheels, > 0; all arguments broadcast
    wheel_speed : [rad/s] the most that a wheel can turn, >= 0
    direction : [rad] d, from straight ahead to the left

    Returns
    -------
    speed : [m/s] the same ahead and sideways; 0.71 of that at 45 degrees, where two wheels stand still

    Valid: geometry alone. Sideways the rollers lose more: by a share that must be measured, see drivetrain.sideways.
    Raises: ValueError when radius is not above 0 or wheel_speed is negative.
    Source: follows from mecanum_matrix.

    >>> print(f"{mecanum_top_speed(0.05, 40.0, 0.0):.2f} {mecanum_top_speed(0.05, 40.0, np.radians(45)):.2f}")
    2.00 1.41
    """
    direction = check.finite("direction", direction)
    rim = check.positive("radius", radius) * check.not_negative("wheel_speed", wheel_speed)
    return rim / (np.abs(np.cos(direction)) + np.abs(np.sin(direction)))


def normalise(wheel_speed, limit):
    """Slow all wheels down alike, so that none is asked for more than it can give.

    Equation: w limit / max(|w|) where max(|w|) > limit, else w

    Parameters
    ----------
    wheel_speed : [rad/s] wanted, the wheels along the last axis; torques or powers just as well
    limit : [rad/s] the most that one wheel can do, > 0; one number, or one a row

    Returns
    -------
    wheel_speed : [rad/s] the same shape: the motion is slower, but its direction and its path are kept

    Valid: cutting off each wheel by itself would bend the path: a robot asked to drive and to turn would turn less.
    Raises: ValueError when limit is not above 0.
    Source: common practice, no source.

    >>> print(normalise([30.0, 10.0, 30.0, -10.0], 15.0))
    [15.  5. 15. -5.]
    """
    wheel_speed = np.asarray(check.finite("wheel_speed", wheel_speed))
    largest = np.max(np.abs(wheel_speed), axis=-1, keepdims=True)
    limit = np.asarray(check.positive("limit", limit))
    share = np.minimum(1.0, (limit[..., None] if limit.ndim else limit) / np.where(largest > 0, largest, 1.0))
    return wheel_speed * share

r"""Moves under control: how a move is shaped over time, what it asks of drive and battery, how well its place is known.

  speed
    |      ______            triangle     speeds up for half the time, slows down for the other half
    |     /      \           trapezoid    a third of the time speeding up, a third even, a third slowing down
    |    /        \          half_cosine  the speed is half a wave of a sine; the push still starts at once
    |   /          \         cycloidal    the push is one whole wave of a sine: it starts and ends softly, and costs the
    +--+------------+-- time              highest peak
       0            T
Contents
    SHAPES                          names of the shapes above
    profile, peaks, quickest        place, speed and acceleration over time; the highest of them; the shortest time
    drive_needs                     current and voltage that a drive needs to follow
    supply                          the battery while a drive takes a power and others take a current
    rms_current                     the constant current that heats as much
    loop_error, encoder_step        how far off a place may be by the time of a program's loop, and by the encoder

A profile plans the place for every instant; a controller follows it only if the drive has current and voltage to spare.
"""

import numpy as np

from mechbench.physics import check
from mechbench.wording import quoted

RAMP = 1 / 3  # share of the time that a trapezoid speeds up; as much slows down


def _ramped(u, ramp):
    """Place, speed and acceleration of a trapezoid (ramp below 1/2) or triangle (1/2), distance and time being 1."""
    top = 1 / (1 - ramp)
    push = top / ramp
    place = np.where(
        u < ramp, push * u**2 / 2, np.where(u < 1 - ramp, top * (u - ramp / 2), 1 - push * (1 - u) ** 2 / 2)
    )
    speed = np.where(u < ramp, push * u, np.where(u < 1 - ramp, top, push * (1 - u)))
    return place, speed, np.where(u < ramp, push, np.where(u < 1 - ramp, 0.0, -push))


def _half_cosine(u):
    return (1 - np.cos(np.pi * u)) / 2, np.pi / 2 * np.sin(np.pi * u), np.pi**2 / 2 * np.cos(np.pi * u)


def _cycloidal(u):
    turn = 2 * np.pi * u
    return u - np.sin(turn) / (2 * np.pi), 1 - np.cos(turn), 2 * np.pi * np.sin(turn)


# name -> (the shape for distance 1 in time 1, its highest speed, its highest acceleration)
_SHAPES = {
    "trapezoid": (lambda u: _ramped(u, RAMP), 1 / (1 - RAMP), 1 / (1 - RAMP) / RAMP),
    "triangle": (lambda u: _ramped(u, 0.5), 2.0, 4.0),
    "half_cosine": (_half_cosine, np.pi / 2, np.pi**2 / 2),
    "cycloidal": (_cycloidal, 2.0, 2 * np.pi),
}
SHAPES = tuple(_SHAPES)


def _shape(name):
    if name not in SHAPES:
        raise ValueError(f"shape is {quoted(name)}, but it must be one of {', '.join(SHAPES)}; choose one of them.")
    return _SHAPES[name]


# --- profiles -------------------------------------------------------------------------------------------------------


def profile(shape, distance, time, at):
    """Give place, speed and acceleration of a move from rest to rest at an instant.

    Equation: x = h s(t / T); v = h s'(t / T) / T; a = h s''(t / T) / T^2

    Parameters
    ----------
    shape : [text] one of SHAPES; s is that shape for a distance of 1 in a time of 1
    distance : [m] h to go, > 0; or an angle, with speed and acceleration to match; all but shape broadcast
    time : [s] T of the whole move, > 0
    at : [s] t since the start; before 0 and after T it stands still

    Returns
    -------
    position : [m] gone so far
    speed : [m/s] at that instant
    acceleration : [m/s2] above 0 speeding up, below 0 slowing down; the one after the jump where it jumps

    Valid: the move as it is planned; whether the drive can follow is told by drive_needs.
    Raises: ValueError when shape is not known, distance or time is not above 0, or at is not finite.
    Source: Rothbart (ed.), Cam Design Handbook (2004), chapter 2: constant acceleration, simple harmonic and cycloidal
        curve; trapezoid: Biagiotti & Melchiorri, Trajectory Planning (2008), section 3.2 (both from memory).

    >>> place, speed, push = profile("cycloidal", 2.0, 4.0, 1.0)
    >>> print(f"{place:.3f} m, {speed:.2f} m/s, {push:.3f} m/s2")
    0.182 m, 0.50 m/s, 0.785 m/s2
    """
    made, _, _ = _shape(shape)
    distance, time = check.positive("distance", distance), check.positive("time", time)
    share = np.asarray(check.finite("at", at)) / time
    place, speed, push = made(np.clip(share, 0.0, 1.0))
    moving = (share >= 0) & (share <= 1)
    return (
        (distance * place)[()],
        np.where(moving, distance / time * speed, 0.0)[()],
        np.where(moving, np.asarray(distance) / np.asarray(time) ** 2 * push, 0.0)[()],
    )


def peaks(shape, distance, time):
    """Give the highest speed and the highest acceleration of a move from rest to rest.

    Equation: v = c_v h / T; a = c_a h / T^2; c_v, c_a: trapezoid 3/2, 9/2; triangle 2, 4; half_cosine pi/2, pi^2/2;
        cycloidal 2, 2 pi

    Parameters
    ----------
    shape : [text] one of SHAPES
    distance : [m] h to go, > 0; or an angle, with speed and acceleration to match; both broadcast
    time : [s] T of the whole move, > 0

    Returns
    -------
    speed : [m/s] highest, in the middle of the move
    acceleration : [m/s2] highest; as much slows it down

    Valid: as profile.
    Raises: ValueError when shape is not known, or distance or time is not above 0.
    Source: Rothbart (ed.), Cam Design Handbook (2004), chapter 2 (from memory); trapezoid: first principles.

    >>> speed, acceleration = peaks("cycloidal", 2.0, 4.0)
    >>> print(f"{speed:.1f} m/s, {acceleration:.3f} m/s2")
    1.0 m/s, 0.785 m/s2
    """
    _, speed, acceleration = _shape(shape)
    distance, time = check.positive("distance", distance), check.positive("time", time)
    return speed * distance / time, acceleration * distance / np.asarray(time) ** 2


def quickest(shape, distance, most_speed, most_acceleration):
    """Give the shortest time of a move that keeps to a highest speed and a highest acceleration.

    Equation: T = max(c_v h / v, sqrt(c_a h / a)), with c_v and c_a of peaks

    Parameters
    ----------
    shape : [text] one of SHAPES
    distance : [m] h to go, > 0; or an angle, with speed and acceleration to match; all but shape broadcast
    most_speed : [m/s] allowed at most, > 0
    most_acceleration : [m/s2] allowed at most, > 0

    Returns
    -------
    time : [s] of the whole move

    Valid: as profile. A trapezoid with ramps of any length is quicker still: motion.trapezoid.
    Raises: ValueError when shape is not known, or a number is not above 0.
    Source: peaks, solved for the time.

    >>> print(f"{quickest('triangle', 2.0, 10.0, 0.5):.1f} s")
    4.0 s
    """
    _, speed, acceleration = _shape(shape)
    distance = np.asarray(check.positive("distance", distance))
    by_speed = speed * distance / check.positive("most_speed", most_speed)
    by_push = np.sqrt(acceleration * distance / check.positive("most_acceleration", most_acceleration))
    return np.maximum(by_speed, by_push)[()]


# --- drive and battery ----------------------------------------------------------------------------------------------


def drive_needs(line, torque, speed, acceleration):
    """Give the current and the voltage that a drive needs to move a load just so.

    Equation: X = T / eta where T >= 0, eta_driven T below; I = (X + J a) / k + I_0; V = k w + R I

    Parameters
    ----------
    line : [part] a Line; J is its rotor_inertia
    torque : [N·m] T that the load asks at the output shaft, its own acceleration included; any shape, all broadcast
    speed : [rad/s] w of the output shaft, >= 0
    acceleration : [rad/s2] a of the output shaft, below 0 slowing down

    Returns
    -------
    current : [A] through all motors together, below 0 where they brake
    voltage : [V] at the motors; the controllers make it from the battery's, so it can't be more

    Valid: linear motor; the line's controller limit is not looked at.
    Raises: ValueError when speed is below 0 or an argument is not finite.
    Source: the equation of motion.move solved for the current: common practice, no source.

    >>> from mechbench.physics.drive import Line
    >>> amps, volts = drive_needs(Line(2.0, 1.25, 0.5, 0.025, 0.7, 0.57), 2.0, 3.0, 10.0)
    >>> print(f"{amps:.2f} A, {volts:.2f} V")
    2.99 A, 9.72 V
    """
    torque, acceleration = check.finite("torque", torque), check.finite("acceleration", acceleration)
    speed = check.not_negative("speed", speed)
    inner = np.where(np.asarray(torque) >= 0, torque / line.efficiency, np.multiply(line.efficiency_driven, torque))
    amps = (inner + line.rotor_inertia * acceleration) / line.torque_constant + line.free_current
    return amps[()], (line.torque_constant * speed + line.resistance * amps)[()]


def supply(open_circuit, resistance, power, other_current=0.0):
    """Give a battery's voltage and current while drives take a power from it and others take a current.

    Equation: I = I_x + 2 P / (E' + sqrt(E'^2 - 4 R P)) with E' = E - R I_x; V = E - R I

    Parameters
    ----------
    open_circuit : [V] E without load, > 0; any shape, all arguments broadcast
    resistance : [ohm] R of battery, wires and switch, >= 0
    power : [W] P that controllers take for their motors, >= 0
    other_current : [A] I_x of everything else, >= 0

    Returns
    -------
    voltage : [V] of the battery; 0 where it breaks down, because no current gives that power
    current : [A] of all together; where it breaks down, the one at which it gives its most

    Valid: controllers that chop the voltage and lose nothing; what braking could give back is left out (careful side).
    Raises: ValueError when an argument is out of its bound.
    Source: OpenStax University Physics, volume 2, Example 10.1, solved for the current.

    >>> volts, amps = supply(15.0, 0.1, 60.0, 15.0)
    >>> print(f"{volts:.2f} V, {amps:.2f} A")
    13.04 V, 19.60 A
    """
    source, inner = check.positive("open_circuit", open_circuit), check.not_negative("resistance", resistance)
    power, others = check.not_negative("power", power), check.not_negative("other_current", other_current)
    left = np.maximum(source - np.multiply(inner, others), 0.0)
    under_root = left**2 - 4 * np.multiply(inner, power)
    below = left + np.sqrt(np.maximum(under_root, 0.0))
    given = np.divide(
        2 * np.asarray(power),
        below,
        out=np.zeros(np.broadcast_shapes(np.shape(power), np.shape(below))),
        where=below > 0,
    )
    breaks = (under_root < 0) | (left <= 0)
    most = np.divide(left, 2 * np.asarray(inner), out=np.zeros_like(given), where=np.asarray(inner) > 0)
    amps = others + np.where(breaks, most, given)
    return np.where(breaks, 0.0, source - inner * amps)[()], amps[()]


def rms_current(duration, current):
    """Give the constant current that heats a winding as much as a history of currents: its root mean square.

    Equation: I_rms = sqrt(sum of t I^2 / sum of t)

    Parameters
    ----------
    duration : [s] t of each part of the history, >= 0 and not all 0; shape [N] or [S, N]
    current : [A] I in each part, either sign; shape [N] or [S, N]

    Returns
    -------
    current : [A] shape [S] or a plain number

    Valid: cycles that are short against the minutes in which a winding warms.
    Raises: ValueError when a duration is below 0, all of them are 0, or an argument is not finite.
    Source: OpenStax University Physics, volume 2, section 15.1 (from memory).

    >>> print(f"{rms_current([1.0, 3.0], [6.0, 0.0]):.1f} A")
    3.0 A
    """
    duration, current = np.broadcast_arrays(check.not_negative("duration", duration), check.finite("current", current))
    whole = check.positive("sum of duration", duration.sum(axis=-1), "give at least one part that lasts")
    return np.sqrt((duration * current**2).sum(axis=-1) / whole)[()]


# --- how well the place is known ------------------------------------------------------------------------------------


def loop_error(speed, loop_time):
    """Give how far a drive moves between two looks of its program.

    Equation: x = v dt

    Parameters
    ----------
    speed : [m/s] v, >= 0; or a turning speed, for an angle; both broadcast
    loop_time : [s] dt from one look of the program to the next, > 0

    Returns
    -------
    error : [m] the program may know and correct the place only so well

    Valid: a program that looks once in each loop and does not look ahead.
    Raises: ValueError when speed is below 0 or loop_time is not above 0.
    Source: common practice, no source.

    >>> print(f"{loop_error(1.5, 0.01) * 1000:.0f} mm")
    15 mm
    """
    return check.not_negative("speed", speed) * check.positive("loop_time", loop_time)


def encoder_step(counts, ratio):
    """Give the smallest angle of the output shaft that an encoder on the motor can tell.

    Equation: b = 2 pi / (n N)

    Parameters
    ----------
    counts : [-] n of the encoder in one turn of the motor's own shaft, at least 1; no whole number where it was counted
        behind gears
    ratio : [-] N, motor speed over output speed, > 0

    Returns
    -------
    angle : [rad] of the output shaft for one count

    Valid: the encoder sits on the motor, so it does not see the play of the gears behind it.
    Raises: ValueError when counts is below 1, or ratio is not above 0.
    Source: common practice, no source.

    >>> import math
    >>> print(f"{math.degrees(encoder_step(40, 50)):.2f} deg")
    0.18 deg
    """
    counts = check.at_least("counts", counts, 1.0, "count again, over one whole turn")
    return 2 * np.pi / (counts * check.positive("ratio", ratio))

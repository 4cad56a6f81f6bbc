"""Transfer: carrying pieces on behind the intake, up ramps and from stage to stage.

      stage 1 (slower)          stage 2 (faster)         c  place of the piece's middle along the path
    |=========o========|  gap  |=========o=======>       A stage drives a piece while it grips at least a certain
                 ( piece )                               length of it; between two stages nothing may drive it.
              |<-- w -->|

Contents
    ramp_force, ramp_press, steepest_ramp     force up a ramp; how hard a roller must press; how steep it climbs
    coast_length, coast_time                  how far a piece slides on by itself; how long it takes for a way
    stall_zone                                the part of the path where neither of two stages drives the piece
    Stages, Passage, hand_on                  a chain of stages: faster each time? where does a piece stop?
    next_gap, piece_period                    spacing behind a faster stage; time between two pieces

Force and torque of a roller that carries are in intake.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check
from mechbench.physics.constants import GRAVITY

QUARTER_TURN = np.pi / 2


# --- ramps ----------------------------------------------------------------------------------------------------------


def _slope(slope):
    return check.between("slope", slope, -QUARTER_TURN, QUARTER_TURN, "give it in rad, up to a quarter turn up or down")


def _drag(slope, friction):
    """Force against sliding up, as a share of the weight."""
    return np.sin(slope) + check.not_negative("friction", friction) * np.cos(slope)


def ramp_force(mass, slope, friction):
    """Give the force along a ramp that slides a piece up it steadily; level floor with slope 0.

    Equation: F = m g (sin(a) + mu cos(a))

    Parameters
    ----------
    mass : [kg] of the piece, > 0
    slope : [rad] a of the ramp, a quarter turn down to a quarter turn up; any shape, all arguments broadcast
    friction : [-] between piece and ramp, >= 0

    Returns
    -------
    force : [N] along the ramp; below 0 the piece slides down by itself and must be held back

    Valid: only its own weight presses the piece on the ramp; a roller's press adds wall friction
        (intake.roller_torque).
    Raises: ValueError when a number is out of its range.
    Source: OpenStax University Physics Vol. 1, section 6.2; Khurmi & Gupta, Theory of Machines, Example 10.2.

    >>> print(f"{ramp_force(0.200, np.radians(20), 0.25):.2f}")
    1.13
    """
    return check.positive("mass", mass) * GRAVITY * _drag(_slope(slope), friction)


def ramp_press(mass, slope, roller_friction, ramp_friction):
    """Give how hard a roller must press a piece on a ramp to pull it up.

    Equation: N = m g (sin(a) + mu_ramp cos(a)) / (mu_roller - mu_ramp), at least 0

    Parameters
    ----------
    mass : [kg] of the piece, > 0
    slope : [rad] a of the ramp
    roller_friction : [-] between roller and piece, >= 0
    ramp_friction : [-] between piece and ramp, >= 0; 0 where the piece rolls or the ramp is a driven belt

    Returns
    -------
    press : [N] across the ramp; inf where the ramp holds the piece back better than the roller pulls

    Valid: steady speed; the press adds to what the ramp feels, so a hard press alone does not help on a rough ramp.
    Raises: ValueError when a number is out of its range.
    Source: equilibrium along and across the ramp; common practice, no source.

    >>> print(f"{ramp_press(0.200, np.radians(20), 0.8, 0.25):.2f}")
    2.06
    """
    asked = np.maximum(ramp_force(mass, slope, check.not_negative("ramp_friction", ramp_friction)), 0.0)
    spare = check.not_negative("roller_friction", roller_friction) - np.asarray(ramp_friction)
    can = spare > 0
    return np.where(can, asked / np.where(can, spare, 1.0), np.where(asked > 0, np.inf, 0.0))[()]


def steepest_ramp(mass, pull, friction):
    """Give the steepest ramp that a pull along it still slides a piece up.

    Equation: sin(a) + mu cos(a) = F / (m g), so a = asin(F / (m g sqrt(1 + mu^2))) - atan(mu)

    Parameters
    ----------
    mass : [kg] of the piece, > 0
    pull : [N] F along the ramp, >= 0: for a roller its friction on the piece less the ramp's friction under its press
    friction : [-] between piece and ramp, >= 0

    Returns
    -------
    slope : [rad] below 0 it slides only downwards; a quarter turn where it climbs anything

    Valid: as ramp_force.
    Raises: ValueError when mass is not above 0 or another number is negative.
    Source: ramp_force solved for its slope.

    >>> print(f"{np.degrees(steepest_ramp(0.200, 1.4, 0.25)):.0f} deg")
    30 deg
    """
    share = check.not_negative("pull", pull) / (check.positive("mass", mass) * GRAVITY)
    friction = check.not_negative("friction", friction)
    most = np.hypot(1.0, friction)  # the worst slope asks for this share of the weight; steeper ones ask for less
    slope = np.arcsin(np.minimum(share / most, 1.0)) - np.arctan(friction)
    return np.where(share >= most, QUARTER_TURN, slope)[()]


def coast_length(speed, slope, friction):
    """Give how far a piece slides on by itself when nothing drives it any more.

    Equation: x = v^2 / (2 g (sin(a) + mu cos(a)))

    Parameters
    ----------
    speed : [m/s] v at the start, >= 0
    slope : [rad] a, above 0 uphill
    friction : [-] between piece and path, >= 0

    Returns
    -------
    length : [m] until it stops; inf where the path goes down steeply enough to keep it sliding

    Valid: sliding, not rolling or tumbling.
    Raises: ValueError when a number is out of its range.
    Source: energy and friction work, OpenStax University Physics Vol. 1, section 7.3.

    >>> print(f"{coast_length(1.0, 0.0, 0.25) * 1000:.0f} mm")
    204 mm
    """
    drag = _drag(_slope(slope), friction)
    stops = drag > 1e-12
    energy = check.not_negative("speed", speed) ** 2 / (2 * GRAVITY)
    return np.where(stops, energy / np.where(stops, drag, 1.0), np.where(energy > 0, np.inf, 0.0))[()]


def coast_time(speed, slope, friction, distance):
    """Give how long a piece that nothing drives any more takes for a distance.

    Equation: t = 2 x / (v + v_1), v_1 = sqrt(v^2 - 2 g (sin(a) + mu cos(a)) x)

    Parameters
    ----------
    speed : [m/s] v at the start, >= 0
    slope : [rad] a, above 0 uphill
    friction : [-] between piece and path, >= 0
    distance : [m] x along the path, >= 0

    Returns
    -------
    time : [s] inf where it stops before; 0 for no distance
    end_speed : [m/s] v_1; 0 where it stops before

    Valid: sliding, not rolling or tumbling; one that rests and would slide down starts at once.
    Raises: ValueError when a number is out of its range.
    Source: even deceleration, OpenStax University Physics Vol. 1, section 3.4.

    >>> time, end_speed = coast_time(1.0, 0.0, 0.25, 0.1)
    >>> print(f"{time:.4f} s, {end_speed:.3f} m/s")
    0.1167 s, 0.714 m/s
    """
    speed, way = check.not_negative("speed", speed), check.not_negative("distance", distance)
    left = np.asarray(speed) ** 2 - 2 * GRAVITY * _drag(_slope(slope), friction) * way
    end = np.sqrt(np.maximum(left, 0.0))
    whole = speed + end
    never = (left < -1e-12) | ((whole == 0) & (np.asarray(way) > 0))
    time = np.where(never, np.inf, 2 * np.asarray(way) / np.where(whole > 0, whole, 1.0))
    return time[()], np.where(never, 0.0, end)[()]


# --- stages ---------------------------------------------------------------------------------------------------------


def stall_zone(gap, piece_length, grip_length):
    """Give how long the part of the path is where neither of two stages drives a piece.

    Equation: z = gap + 2 g - w, at least 0

    Parameters
    ----------
    gap : [m] from the end of one stage to the start of the next; below 0 they overlap
    piece_length : [m] w of the piece along the path, > 0
    grip_length : [m] g of the piece that must lie on a stage to be driven, 0 to piece_length

    Returns
    -------
    stall_zone : [m] 0 where one stage takes over before the other lets go

    Valid: which grip_length holds is yours to measure: 0 for rollers that drive what they touch; half the length
        where the stage must be under the piece's middle (a round piece on a belt at its side); the whole length to be
        sure. So stages that overlap by less than the piece's length may leave it standing.
    Raises: ValueError when a number is out of its range.
    Source: plane geometry; common practice, no source.

    >>> print([f"{stall_zone(0.020, 0.080, grip) * 1000:.0f}" for grip in (0.0, 0.040, 0.080)])
    ['0', '20', '100']
    """
    length = check.positive("piece_length", piece_length)
    grip = check.not_negative("grip_length", grip_length)
    if np.any(np.asarray(grip) > length):
        raise ValueError(
            f"grip_length is {np.max(grip):g} m, but it must be at most piece_length; "
            "give the part of the piece that is gripped."
        )
    return np.maximum(check.finite("gap", gap) + 2 * grip - length, 0.0)


@dataclass(frozen=True)
class Stages:
    """Hold a chain of stages along one path, the first one first on the last axis.

    Fields
    ------
    start : [m] where each stage begins, along the path; rising
    end : [m] where each stage ends, not before its start; a single roller begins and ends at its axis
    speed : [m/s] of each stage's surface, > 0

    Valid: one path, driven all the time.
    Source: common practice, no source.
    """

    start: np.ndarray
    end: np.ndarray
    speed: np.ndarray

    def __post_init__(self):
        for name in ("start", "end", "speed"):
            object.__setattr__(self, name, np.atleast_1d(check.finite(name, getattr(self, name))))
        check.positive("speed", self.speed)
        check.at_least("end", self.end, self.start, "let each stage end after its start")
        if np.any(np.diff(self.start, axis=-1) <= 0):
            raise ValueError(
                f"start is {self.start.ravel()[0]:g} m at the first stage, but it must be rising from stage "
                "to stage; list them in the order in which a piece meets them."
            )


@dataclass(frozen=True)
class Passage:
    """Hold what happens to a piece between each stage and the next, one less than there are stages.

    Fields
    ------
    speed_up : [-] speed of the next stage over that of this one; below 1 pieces run into each other
    stall_zone : [m] part of the path where nothing drives the piece
    coast : [m] how far it slides on by itself from there
    stuck_at : [m] where the middle of the first piece that stops comes to rest, along the path; inf where none stops

    Every field but stuck_at has the stages on its last axis.
    """

    speed_up: np.ndarray
    stall_zone: np.ndarray
    coast: np.ndarray
    stuck_at: np.ndarray


def hand_on(stages, piece_length, grip_length, friction, slope=0.0):
    """Give how a chain of stages hands a piece on, and where it stops.

    Equation: q = v_2 / v_1; it stops where v_1^2 / (2 g (sin(a) + mu cos(a))) is less than the stall zone

    Parameters
    ----------
    stages : [part] Stages
    piece_length : [m] of the piece along the path, > 0
    grip_length : [m] of the piece that must lie on a stage to be driven, 0 to piece_length
    friction : [-] between piece and path where it coasts, >= 0
    slope : [rad] of the path there, above 0 uphill

    Returns
    -------
    passage : [part] Passage

    Valid: the piece leaves a stage at that stage's speed and is not pushed by the piece behind it.
    Raises: ValueError when a number is out of its range.
    Source: as stall_zone and coast_length.

    >>> way = hand_on(Stages([0.0, 0.24], [0.10, 0.40], [0.8, 1.2]), 0.080, 0.0, 0.25)
    >>> print(f"x {way.speed_up[0]:.1f}, {way.stall_zone[0] * 1000:.0f} mm to coast, stuck at {way.stuck_at} m")
    x 1.5, 60 mm to coast, stuck at inf m
    """
    leaving = stages.speed[..., :-1]
    zone = stall_zone(stages.start[..., 1:] - stages.end[..., :-1], piece_length, grip_length)
    coast = np.broadcast_to(coast_length(leaving, slope, friction), zone.shape)
    rest = np.where(coast < zone, stages.end[..., :-1] + piece_length / 2 - grip_length + coast, np.inf)
    return Passage(stages.speed[..., 1:] / leaving, zone, coast, np.min(rest, axis=-1, initial=np.inf))


def next_gap(gap, piece_length, speed_up):
    """Give the gap between two pieces once the next stage has both of them.

    Equation: gap_2 = (gap_1 + w) q - w

    Parameters
    ----------
    gap : [m] from the rear of one piece to the front of the next on the slower stage, >= 0
    piece_length : [m] w of a piece along the path, > 0
    speed_up : [-] q, speed of the next stage over that of this one, > 0

    Returns
    -------
    gap : [m] on the next stage; below 0 they push each other: the stage is too slow

    Valid: the time between two pieces stays the same, so their spacing grows with the speed.
    Raises: ValueError when a number is out of its range.
    Source: common practice, no source.

    >>> print(f"{next_gap(0.0, 0.080, 1.5) * 1000:.0f} mm")
    40 mm
    """
    length = check.positive("piece_length", piece_length)
    return (check.not_negative("gap", gap) + length) * check.positive("speed_up", speed_up) - length


def piece_period(speed, piece_length, gap):
    """Give the time between two pieces that follow each other; one over it is the throughput.

    Equation: T = (w + gap) / v

    Parameters
    ----------
    speed : [m/s] v of the pieces, >= 0
    piece_length : [m] w of a piece along the path, > 0
    gap : [m] from the rear of one piece to the front of the next, >= 0; a stage that hands on needs one

    Returns
    -------
    period : [s] from one piece to the next; inf when nothing moves

    Valid: steady flow. Along a chain of stages it is the same everywhere.
    Raises: ValueError when speed or gap is negative or piece_length is not above 0.
    Source: common practice, no source.

    >>> print(f"{piece_period(0.8, 0.080, 0.040):.3f}")
    0.150
    """
    speed = check.not_negative("speed", speed)
    pitch = check.positive("piece_length", piece_length) + check.not_negative("gap", gap)
    moves = np.asarray(speed) > 0
    return np.where(moves, pitch / np.where(moves, speed, 1.0), np.inf)[()]

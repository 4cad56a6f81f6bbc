"""Motion: how a drive moves a load through a travel, and how long it takes, stopped at the end or passing.

Contents
    Load         what the output shaft feels along its travel, as tables over position
    Bus          the battery that all drives share
    Move         the answer: time, speed, current, heat, energy, headroom, and why it ended
    move         solve one or several drives on one battery
    let_go       how a load moves a drive whose power is off
    place_at, rotor_at, end_time  where one drive is over time, how far its rotor has turned, when it ends
    lasting_volts  the battery's lowest voltage that lasts as long as its reset waits
    trapezoid    time of a speed profile with given acceleration and top speed

The equation, on the output shaft (q position, w speed, J inertia of the load, X torque before the gear losses):

    J w' + 1/2 J' w^2 = T - load_torque - friction_torque        J' = dJ/dq: the load's inertia changes along the travel
    T = efficiency X                          where the motor drives (X >= 0)
    X = efficiency_driven T                   where the load drives
    X = k (I - I_0) - J_rotor w'              I from battery, back-EMF k w, controller limit
    |T| <= torque_limit + limit_slope w'                 grip of wheels; the second term is weight transfer

Wheels that slip pass on T = torque_limit + limit_slope w'; the rotor has a speed u of its own, and back-EMF k u:

    J_rotor u' = k (I - I_0) - T / efficiency            until u = w: the wheels grip again

A move starts at rest at the first point and runs towards larger q; a lowering lift or arm is written with q growing
downwards and a negative load_torque. Friction (`friction_torque`) has no sign of its own: it is always against the
motion.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from mechbench.physics import check
from mechbench.physics._march import March
from mechbench.physics.battery import lasting_voltage
from mechbench.physics.drive import Line
from mechbench.wording import quoted


@dataclass(frozen=True)
class Load:
    """Hold what the output shaft feels along its travel; tables, not functions. S cases, N points, or just N points.

    Fields
    ------
    q : [rad] position of the output shaft [S,N], not falling; a repeated point is a jump
    load_torque : [N·m] of weight and springs, signed: above 0 it is against larger q [S,N]
    friction_torque : [N·m] of friction, >= 0, always against the motion [S,N]
    inertia : [kg·m2] of the load [S,N], > 0
    torque_limit : [N·m] that can be passed on at most, for example by the grip of wheels; inf where there is no limit
        [S,N]
    limit_slope : [kg·m2] how torque_limit grows with the acceleration w' (weight transfer); below the inertia at each
        point; below 0, as with driven front wheels, as far as it likes [S,N]
    braking_limit : [N·m] allowed at most while braking, for example so as not to tip; inf without a limit [S,N]

    Valid: rigid parts; values run straight between two points. Where the inertia jumps up, parts are picked up
    without bouncing (momentum is kept but for what the gears lose of the rotors', energy is lost); where it jumps
    down, parts are let go.
    Source: common practice, no source.
    """

    q: ArrayLike
    load_torque: ArrayLike
    friction_torque: ArrayLike
    inertia: ArrayLike
    torque_limit: ArrayLike = np.inf
    limit_slope: ArrayLike = 0.0
    braking_limit: ArrayLike = np.inf

    def __post_init__(self):
        check.finite("q", self.q)
        check.finite("load_torque", self.load_torque)
        check.not_negative("friction_torque", self.friction_torque)
        check.positive("inertia", self.inertia)
        if np.ndim(self.q) == 0 or np.shape(self.q)[-1] < 2:
            raise ValueError("q has fewer than 2 points, but a travel needs a start and an end; give at least 2.")
        if np.any(np.diff(self.q, axis=-1) < 0) or np.any(np.asarray(self.q)[..., -1] <= np.asarray(self.q)[..., 0]):
            raise ValueError(
                "q falls along the travel, but it must grow; turn the table round and the sign of load_torque."
            )
        for name in ("torque_limit", "braking_limit"):
            if np.any(~(np.asarray(getattr(self, name), dtype=float) >= 0)):
                raise ValueError(f"{name} is below 0 or not a number, but it must be 0 or more; use inf for no limit.")
        # Both run straight between two points, so that where one is above the other it is so at a point.
        if np.any(np.asarray(check.finite("limit_slope", self.limit_slope)) >= np.asarray(self.inertia)):
            raise ValueError(
                "limit_slope is as large as the inertia, so the wheels would lift; lower the centre of gravity."
            )


@dataclass(frozen=True)
class Bus:
    """Hold the battery that all drives of a case share.

    Fields
    ------
    open_circuit : [V] without current
    resistance : [ohm] of battery, wiring and switch together
    reset_level : [V] below which the electronics reset; braking is planned to work down to this voltage
    reset_after : [s] how long it must stay below that level until they do; 0: at once

    Valid: voltage falls straight with current; the charge does not change during a move.
    Source: OpenStax University Physics Vol. 2, section 10.1.
    """

    open_circuit: ArrayLike
    resistance: ArrayLike
    reset_level: ArrayLike = 7.0
    reset_after: ArrayLike = 0.0

    def __post_init__(self):
        check.positive("open_circuit", self.open_circuit)
        check.not_negative("resistance", self.resistance)
        check.positive("reset_level", self.reset_level)
        check.not_negative("reset_after", self.reset_after)
        if np.any(np.asarray(self.reset_level) >= np.asarray(self.open_circuit)):
            raise ValueError("reset_level is not below open_circuit, so nothing would run; charge the battery.")


@dataclass(frozen=True)
class Move:
    """Hold the answer of a move. S cases, D drives, N points, K parts.

    Fields
    ------
    q : [rad] position [S,D,N]
    t : [s] when each point is reached [S,D,N]; inf where it is not
    speed : [rad/s] at each point [S,D,N]
    current : [A] through the motors at each point, below 0 while braking [S,D,N]
    volts : [V] of the battery when the point is reached [S,D,N]
    gives : [N·m] most that the drive gives from rest, within its limits [S,D,N]
    headroom : [N·m] that the drive could give from rest beyond what moving on asks [S,D,N]
    headroom_back : [N·m] the same for moving back [S,D,N]
    time : [s] to the end of the travel [S,D]; inf where it never arrives
    why : [text] "arrived", "stalled", "slipped" or "limited" (cannot be stopped in time) [S,D]
    where : [rad] the position where it ended or stuck, or from which it cannot be stopped in time [S,D]
    stop_current : [A] of braking that would stop it surely: it holds the load at its worst place; inf where wheels or
        braking_limit do not let it; 0 where it can be stopped [S,D]
    peak_current : [A] through the motors [S,D]
    slip_time : [s] with the wheels slipping, until it stands if it does [S,D]
    slip_current : [A] highest current while slipping, 0 without slip [S,D]
    end_energy : [J] of motion left at the end, of load and rotor, for a hard stop to take [S,D]
    bus_current : [A] highest of all drives together [S]
    volts_min : [V] lowest of the battery [S]
    low_time : [s] with the battery below its reset level [S]; the electronics would restart; inf where it stays there
    low_from : [s] when it is first below that level [S]; inf where it never is
    part_time : [s] how long each part of the move is, within which nothing abrupt happens, in order [S,D,K]; 0 behind
        the last one
    part_from : [rad/s] speed of the rotors at the begin of each part, as speed of the output; wheels that slip turn
        with it [S,D,K]
    part_to : [rad/s] the same at its end [S,D,K]
    part_bend : [-] how far the rotors near their steady speed in it: what is left to it falls to exp(-part_bend)
        [S,D,K]
    part_held : [A] that controllers hold through the motors in it, below 0 while braking; 0 at full voltage [S,D,K]
    march : [part] that found all this; it goes once more when `heat`, `energy` or `balance_error` are asked

    Valid: as Load and Line.
    Source: common practice, no source.
    """

    q: np.ndarray
    t: np.ndarray
    speed: np.ndarray
    current: np.ndarray
    volts: np.ndarray
    gives: np.ndarray
    headroom: np.ndarray
    headroom_back: np.ndarray
    time: np.ndarray
    why: np.ndarray
    where: np.ndarray
    stop_current: np.ndarray
    peak_current: np.ndarray
    slip_time: np.ndarray
    slip_current: np.ndarray
    end_energy: np.ndarray
    bus_current: np.ndarray
    volts_min: np.ndarray
    low_time: np.ndarray
    low_from: np.ndarray
    part_time: np.ndarray
    part_from: np.ndarray
    part_to: np.ndarray
    part_bend: np.ndarray
    part_held: np.ndarray
    march: March = field(repr=False, compare=False)

    @cached_property
    def _account(self):
        return self.march.account()

    @property
    def heat(self):
        """Give the heat in the windings, in J [S,D]."""
        return self._account["heat"]

    @property
    def energy(self):
        """Give the energy taken from the battery's terminals, less what braking gave back, in J [S,D]."""
        return self._account["energy"]

    @property
    def balance_error(self):
        """Give by how much the energy law is missed, as a share of all energy that changed hands [S,D]."""
        return self._account["balance_error"]


OPEN = 1e9  # [ohm] in a circuit that is open: no current that matters
NO_POWER = Bus(1e-3, 0.0, 1e-4)


def move(
    lines: Line | Sequence[Line],
    loads: Load | Sequence[Load],
    bus: Bus,
    end: str = "rest",
    brake: ArrayLike = 1.0,
    after: str = "idle",
) -> Move:
    """Move loads through their travels, all drives at once on one battery, from rest as fast as they can.

    Equation: J w' + 1/2 J' w^2 = T - load_torque - friction_torque, J the inertia of drive and load, J' its slope over
        the travel

    Parameters
    ----------
    lines : [part] a Line, or a list of D of them
    loads : [part] a Load, or a list of D of them with equal N
    bus : [part] a Bus
    end : [text] "rest" (brakes in time and arrives at rest) or "pass" (arrives at full speed)
    brake : [-] share of the braking current that is used, above 0 and at most 1
    after : [text] "idle" or "hold": what a drive does when it has arrived and others still run

    Returns
    -------
    move : [part] a Move with axes [S,D,N]

    Valid: full voltage until the braking point, then a constant braking current (shorted or reversed motor, as
        needed): the controller's limit, or what the motor takes at standstill on a battery at its reset level,
        whichever is less; less still where that would pull the battery under this level. Wheels that slip where
        braking begins are stopped from spinning at once. Where several drives together leave a brake less current
        than it plans on, its row is "limited" from there, and what it does after is shown as planned. Steps run from
        point to point of the load's table and end where wheels slip or grip, a limit ends or the load takes over: one
        drive under an unchanging load is exact with any points, else 60 give about 0.1 %. Two things are less sure: the
        time of a move that nearly stalls, and the speed at a point where a strong motor has its steady speed while the
        inertia changes, by up to a quarter of what the inertia changes by from point to point.
    Raises: ValueError when tables do not fit together or an argument is out of its range.
    Source: exact exponential of a linear line under a frozen load within each step; common practice, no source.

    >>> from mechbench.physics.drive import Line
    >>> drive = Line(2.0, 1.25, 0.5, 0.025, 0.7, 0.57)
    >>> swing = Load(q=np.linspace(0, 1.5, 61), load_torque=1.0, friction_torque=0.1, inertia=0.12)
    >>> done = move(drive, swing, Bus(15.0, 0.1))
    >>> print(done.why[0, 0], f"{done.time[0, 0]:.2f} s")
    arrived 0.42 s
    """
    lines = [lines] if isinstance(lines, Line) else list(lines)
    loads = [loads] if isinstance(loads, Load) else list(loads)
    if len(lines) != len(loads):
        raise ValueError(f"loads has {len(loads)} entries, but lines has {len(lines)}; give one load a line.")
    if end not in ("rest", "pass"):
        raise ValueError(f"end is {quoted(end)}, but it must be 'rest' or 'pass'; choose one of them.")
    if after not in ("idle", "hold"):
        raise ValueError(f"after is {quoted(after)}, but it must be 'idle' or 'hold'; choose one of them.")
    check.fraction("brake", brake)
    march = March(lines, loads, bus, end, brake, after)
    return Move(**march.run(), march=march)


def let_go(line, load):
    """Move a load that turns a drive without power, from rest at the first point to the last.

    Equation: (J + J_rotor / eta_driven) w' + 1/2 J' w^2 = -load_torque - friction_torque - k I_0 / eta_driven

    Parameters
    ----------
    line : [part] a Line
    load : [part] a Load written the way it falls, so that its load_torque is below 0

    Returns
    -------
    move : [part] a Move; "stalled" where friction holds it, "arrived" where it falls to the end

    Valid: the motor's leads are open, so nothing but friction brakes; shorted leads brake more (drive.shorted_creep).
    Raises: nothing.
    Source: Newton's second law; common practice, no source.

    >>> from mechbench.physics.drive import Line
    >>> fall = Load(q=np.linspace(0, 50, 31), load_torque=-0.4, friction_torque=0.0, inertia=0.001)
    >>> done = let_go(Line(2.0, 1.0, 0.15, 0.0015, 0.8, 0.75), fall)
    >>> print(done.why[0, 0], f"{done.time[0, 0]:.2f} s")
    arrived 1.22 s
    """
    return move(replace(line, resistance=OPEN), load, NO_POWER, end="pass")


def place_at(move, time):
    """Give where the first drive of the first case is over time, as a picture shows it.

    Equation: q(t) between two points by the cubic that has their places and speeds

    Parameters
    ----------
    move : [part] a Move
    time : [s] since the start, >= 0; any shape

    Returns
    -------
    q : [rad] position; where it ended, arrived or stuck, it stays

    Valid: exact where the acceleration is the same all the way between two points, within about a thousandth of their
        distance where it changes evenly.
    Raises: ValueError when a time is below 0.
    Source: cubic Hermite interpolation; Press et al., Numerical Recipes, section 3.3 (from memory).

    >>> from mechbench.physics.drive import Line
    >>> drive = Line(2.0, 1.25, 0.5, 0.025, 0.7, 0.57)
    >>> swing = Load(q=np.linspace(0, 1.5, 61), load_torque=1.0, friction_torque=0.1, inertia=0.12)
    >>> done = move(drive, swing, Bus(15.0, 0.1))
    >>> print(np.round(place_at(done, [0.0, done.time[0, 0], 2.0]), 3))
    [0.  1.5 1.5]
    """
    check.not_negative("time", time)
    t, q, w = (table[0, 0] for table in (move.t, move.q, move.speed))
    there = np.isfinite(t)
    t, q, w = t[there], q[there], w[there]
    if not np.isfinite(move.time[0, 0]):  # from the last point on it went a little further, and stands
        t, q, w = np.r_[t, end_time(move)], np.r_[q, move.where[0, 0]], np.r_[w, 0.0]
    first = np.r_[True, np.diff(t) > 0]
    t, q, w = t[first], q[first], w[first]
    if t.size == 1:
        return q[0] + np.zeros(np.shape(time))
    time = np.clip(time, 0.0, t[-1])
    i = np.clip(np.searchsorted(t, time, side="right") - 1, 0, t.size - 2)
    step, way = t[i + 1] - t[i], q[i + 1] - q[i]
    s = (time - t[i]) / step
    bent = s * (s - 1) * ((s - 1) * (w[i] * step - way) + s * (w[i + 1] * step - way))
    return np.clip(q[i] + s * way + bent, q[i], q[i + 1])


def end_time(move):
    """Give when the first drive of the first case arrives, or stands for good.

    Equation: t = sum of the times of its parts

    Parameters
    ----------
    move : [part] a Move

    Returns
    -------
    time : [s] its time where it arrives; else until it stands or can't be braked any more

    Valid: as Move.
    Raises: nothing.
    Source: sum of times.

    >>> from mechbench.physics.drive import Line
    >>> drive = Line(2.0, 1.25, 0.5, 0.025, 0.7, 0.57)
    >>> swing = Load(q=np.linspace(0, 1.5, 61), load_torque=1.0, friction_torque=0.1, inertia=0.12)
    >>> done = move(drive, swing, Bus(15.0, 0.1))
    >>> print(f"{end_time(done) - done.time[0, 0]:.3f}")
    0.000
    """
    return float(np.sum(move.part_time[0, 0]))


def rotor_at(move, time, parts=16):
    """Give how far the rotor of the first drive of the first case has turned, as turn of the output.

    Equation: integral of the rotor's speed over time

    Parameters
    ----------
    move : [part] a Move
    time : [s] since the start, >= 0; any shape
    parts : [whole] of each part of the move over which it is summed up in trapezoids, at least 1

    Returns
    -------
    angle : [rad] the place itself where nothing slips; wheels that slip turn further than the robot goes

    Valid: as Move.
    Raises: ValueError when a time is below 0 or parts is below 1.
    Source: common practice, no source.

    >>> from mechbench.physics.drive import Line
    >>> drive = Line(2.0, 1.25, 0.5, 0.025, 0.7, 0.57)
    >>> swing = Load(q=np.linspace(0, 1.5, 61), load_torque=1.0, friction_torque=0.1, inertia=0.12)
    >>> done = move(drive, swing, Bus(15.0, 0.1))
    >>> print(f"{rotor_at(done, done.time[0, 0]):.3f}")
    1.500
    """
    check.not_negative("time", time)
    share = np.linspace(0.0, 1.0, check.whole("parts", parts, 1) + 1)
    first, last, bend, lasts = (
        part[0, 0][:, None] for part in (move.part_from, move.part_to, move.part_bend, move.part_time)
    )
    curved = bend > 1e-6
    gone = np.where(curved, np.expm1(-bend * share) / np.expm1(-np.where(curved, bend, 1.0)), share)
    speed = first + (last - first) * gone
    turned = np.cumsum((speed[:, 1:] + speed[:, :-1]) / 2 * lasts / parts)
    when = np.cumsum(np.repeat(lasts[:, 0] / parts, parts))
    return np.interp(time, np.r_[0.0, when], np.r_[0.0, turned])


def lasting_volts(move, bus):
    """Give the lowest voltage of the battery in a move of one drive that lasts as long as its reset waits.

    Equation: V = min over s of max of V(t), s <= t <= s + reset_after

    Parameters
    ----------
    move : [part] a Move of one drive
    bus : [part] the Bus of that move

    Returns
    -------
    volts : [V] of the battery [S]; volts_min where the reset does not wait, and where the drive never arrives, for it
        stands on at its highest current; open_circuit where the move is over sooner than the reset comes

    Valid: voltage straight between the points of the table, at the lowest of them volts_min; before and after the move
        nothing is drawn. A voltage that comes back bends the other way, so few points give less, on the careful side.
    Raises: ValueError when the move has several drives.
    Source: battery.lasting_voltage.

    >>> from mechbench.physics.drive import Line
    >>> drive = Line(2.0, 1.25, 0.5, 0.025, 0.7, 0.57)
    >>> swing = Load(q=np.linspace(0, 1.5, 61), load_torque=1.0, friction_torque=0.1, inertia=0.12)
    >>> bus = Bus(15.0, 0.1, 11.0, 0.1)
    >>> done = move(drive, swing, bus)
    >>> print(f"{done.volts_min[0]:.2f} V, {lasting_volts(done, bus)[0]:.2f} V for 0.1 s")
    14.29 V, 14.46 V for 0.1 s
    """
    if move.t.shape[1] != 1:
        raise ValueError(f"move has {move.t.shape[1]} drives, but only one is looked at; give a move of one drive.")
    wait, arrived = np.asarray(bus.reset_after, dtype=float), np.isfinite(move.time[:, 0])
    waits = arrived & (wait > 0)
    if not waits.any():  # what a reset at once costs, every search pays
        return move.volts_min
    time, volts, lowest = np.where(arrived[:, None], move.t[:, 0], 0.0), move.volts[:, 0], move.volts_min[:, None]
    volts = np.where(volts == volts.min(axis=-1, keepdims=True), np.minimum(volts, lowest), volts)
    return np.where(waits, lasting_voltage(time, volts, wait, bus.open_circuit), move.volts_min)


def trapezoid(distance, top_speed, acceleration, start_speed=0.0, end_speed=0.0):
    """Give the time of a speed profile: speed up evenly, cruise, slow down evenly.

    Equation: T = T_a + T_c + T_d; v_peak = sqrt((2 a h + v_0^2 + v_1^2) / 2) where the cruise is not reached

    Parameters
    ----------
    distance : [m] to go, > 0; or an angle, with speeds and acceleration to match
    top_speed : [m/s] of the cruise, > 0
    acceleration : [m/s2] speeding up and slowing down, > 0
    start_speed : [m/s] at the start, 0 to top_speed
    end_speed : [m/s] at the end, 0 to top_speed

    Returns
    -------
    time : [s] of the whole profile
    peak_speed : [m/s] that is reached
    cruise_time : [s] at the top speed, 0 where it is not reached

    Valid: acceleration steps from one value to the next (no softening).
    Raises: ValueError when a number is out of range, or the distance is too short to change from start_speed to
        end_speed.
    Source: Biagiotti & Melchiorri, Trajectory Planning for Automatic Machines and Robots (2008), section 3.2.

    >>> time, peak, cruise = trapezoid(2.0, 1.5, 3.0)
    >>> print(f"{time:.2f} s, peak {peak:.1f} m/s")
    1.83 s, peak 1.5 m/s
    """
    check.positive("distance", distance)
    check.positive("acceleration", acceleration)
    check.positive("top_speed", top_speed)
    for name, value in (("start_speed", start_speed), ("end_speed", end_speed)):
        if np.any(np.asarray(check.not_negative(name, value)) > np.asarray(top_speed)):
            raise ValueError(f"{name} is {np.max(value):g}, but it must be at most the top speed; raise top_speed.")
    v0, v1 = np.asarray(start_speed, dtype=float), np.asarray(end_speed, dtype=float)
    if np.any(np.abs(v1**2 - v0**2) > 2 * np.asarray(acceleration) * np.asarray(distance) * (1 + 1e-12)):
        raise ValueError("distance is too short to change from start_speed to end_speed; raise acceleration.")
    peak = np.minimum(top_speed, np.sqrt((2 * np.asarray(acceleration) * distance + v0**2 + v1**2) / 2))
    ramps = (2 * peak**2 - v0**2 - v1**2) / (2 * np.asarray(acceleration))
    cruise = np.maximum(np.asarray(distance) - ramps, 0.0) / peak
    return ((2 * peak - v0 - v1) / acceleration + cruise)[()], peak[()], cruise[()]

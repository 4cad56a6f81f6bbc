"""Drivetrain: how fast across the field and stopped, how hard it pushes, when wheels slip, what the battery sees.

              o  centre of gravity              Speeding up moves weight to the rear wheels, braking to the front ones:
              |                                 m a h / L. Only the weight on DRIVEN wheels grips:
              | h                                   force <= friction x weight on the driven wheels
        (o)---+------(o)  ---> ahead
         |<---- L ---->|                        The shaft of the drive is the wheels' axle: q = distance / radius.
        rear          front

Contents
    Chassis                          mass, wheels, grip, where the weight is
    axle_loads, drive_force          weight on each axle; force that a speed-up on a slope needs
    friction_force                   sticks or slides
    grip_force, top_acceleration, steepest_slope      what the driven wheels pass on at most
    sprint                           a Load for motion.move: straight over a distance, flat or up a slope
    motor_acceleration, held_back, highest_speed      what motors can do at the start; a gentler driver; the peak
    sideways                         a drive as mecanum rollers leave it when going sideways
    push                             against a wall: stall or spin, how hard, at what current
    scrub, spin                      wheels dragged sideways in a turn; a Load for turning on the spot
    sprint_by_ratio                  time, and current of a push, over the gear ratio

What each wheel must turn at is in kinematics; how hard balance lets a robot brake is balance.braking_limit.
First runs: robot on blocks, feet and fingers clear, one hand at the switch.
"""

from dataclasses import dataclass, replace

import numpy as np

from mechbench.physics import check, drive, gearing, motion
from mechbench.physics.constants import GRAVITY

POINTS = 31
TINY = 1e-12
HALVINGS = 60  # of the span in which a speed is looked for: down to rounding
NEAR_END = 1e-6  # of the way: the last stretch of a run's table, so short that there it brakes


@dataclass(frozen=True)
class Chassis:
    """Hold a robot as its drivetrain feels it.

    Fields
    ------
    mass : [kg] of the whole robot with what it carries, > 0
    wheel_radius : [m] of the driven wheels, > 0
    friction : [-] of driven wheels on the floor in the direction of travel, > 0
    rolling : [-] resistance of all wheels as a share of the weight, >= 0
    driven_share : [-] of the weight on driven wheels, standing on level floor, above 0 and at most 1
    driven_end : [whole] 0 all wheels driven, 1 the rear ones, -1 the front ones
    height : [m] of the centre of gravity over the floor, >= 0
    wheelbase : [m] from the front axle to the rear axle, > 0
    wheel_inertia : [kg·m2] of all driven wheels together, >= 0

    Valid: level floor side to side; both sides carry the same. Numbers, or arrays [S] of cases.
    Source: common practice, no source.
    """

    mass: float
    wheel_radius: float
    friction: float
    rolling: float
    driven_share: float
    driven_end: int
    height: float
    wheelbase: float
    wheel_inertia: float = 0.0

    def __post_init__(self):
        for name in ("mass", "wheel_radius", "friction", "wheelbase"):
            check.positive(name, getattr(self, name))
        for name in ("rolling", "height", "wheel_inertia"):
            check.not_negative(name, getattr(self, name))
        check.fraction("driven_share", self.driven_share)
        check.between(
            "driven_end", check.whole("driven_end", self.driven_end, -1), -1, 1, "give 0 all, 1 rear, -1 front"
        )


# --- weight and grip --------------------------------------------------------------------------------------------------


def axle_loads(mass, wheelbase, height, ahead_of_rear, acceleration=0.0, slope=0.0):
    """Give the weight on the front and the rear axle of a robot that speeds up or brakes, also on a slope.

    Equation: N_front = m (g c cos s - h (a + g sin s)) / L; N_rear = m g cos s - N_front

    Parameters
    ----------
    mass : [kg] of the robot, > 0; all arguments broadcast
    wheelbase : [m] L, between the axles, > 0
    height : [m] h, of the centre of gravity over the floor, >= 0
    ahead_of_rear : [m] c, from the rear axle forwards to the centre of gravity, 0 to wheelbase
    acceleration : [m/s2] a, forwards; below 0 while braking
    slope : [rad] s, of the floor, above 0 uphill

    Returns
    -------
    front : [N] on both front wheels; below 0 where they would have to be held down: the robot tips
    rear : [N] on both rear wheels

    Valid: stiff robot, no push from outside. For three or more wheels anywhere see footing.wheel_loads.
    Raises: ValueError when a number is out of its range.
    Source: Meriam & Kraige, Engineering Mechanics: Dynamics, Sample Problem 6/1 (from memory).

    >>> front, rear = axle_loads(12.0, 0.30, 0.10, 0.15, 3.0)
    >>> print(f"{front:.0f} N front, {rear:.0f} N rear")
    47 N front, 71 N rear
    """
    mass, wheelbase = check.positive("mass", mass), check.positive("wheelbase", wheelbase)
    ahead = np.asarray(check.not_negative("ahead_of_rear", ahead_of_rear))
    if np.any(ahead > wheelbase):
        raise ValueError(
            f"ahead_of_rear is {np.max(ahead):g} m, but it must be at most the wheelbase; measure from the rear axle."
        )
    down, along = GRAVITY * np.cos(slope), acceleration + GRAVITY * np.sin(slope)
    front = mass * (down * ahead - check.not_negative("height", height) * along) / wheelbase
    return front, mass * down - front


def drive_force(mass, acceleration, slope=0.0, rolling=0.0):
    """Give the force at the floor that speeds a robot up on a slope.

    Equation: F = m a + m g (sin s + c_r cos s)

    Parameters
    ----------
    mass : [kg] of the robot, > 0; all arguments broadcast
    acceleration : [m/s2] a, forwards
    slope : [rad] s, above 0 uphill
    rolling : [-] c_r, resistance as a share of the weight, >= 0

    Returns
    -------
    force : [N] forwards, at the driven wheels together

    Valid: moving forwards; air drag is nothing at these speeds.
    Raises: ValueError when mass is not above 0 or rolling is negative.
    Source: Meriam & Kraige, Engineering Mechanics: Dynamics, Sample Problem 6/1 (from memory).

    >>> print(f"{drive_force(12.0, 3.0, rolling=0.02):.1f}")
    38.4
    """
    weight = check.positive("mass", mass) * GRAVITY
    return mass * acceleration + weight * (np.sin(slope) + check.not_negative("rolling", rolling) * np.cos(slope))


def friction_force(asked, normal, static, kinetic):
    """Give the friction that answers a force, and whether the surfaces slide.

    Equation: f = asked while |asked| <= mu_s N; mu_k N beyond

    Parameters
    ----------
    asked : [N] that would be needed to keep them together; any shape, all arguments broadcast
    normal : [N] N, that presses the surfaces together, >= 0
    static : [-] mu_s, while they stick, >= 0
    kinetic : [-] mu_k, while they slide, 0 to static

    Returns
    -------
    force : [N] of friction, in the direction of asked
    slides : [yes/no] asked was more than it can hold

    Valid: dry surfaces; rubber on foam follows this roughly and wears in.
    Raises: ValueError when a number is negative or kinetic is above static.
    Source: OpenStax University Physics Vol. 1, section 6.2, Examples 6.10 and 6.13.

    >>> force, slides = friction_force(80.0, 100.0, 0.7, 0.6)
    >>> print(f"{force:.0f} {slides}")
    60 True
    """
    normal, static = check.not_negative("normal", normal), check.not_negative("static", static)
    check.at_least(
        "static", static, check.not_negative("kinetic", kinetic), "friction that slides is never the larger one"
    )
    slides = np.abs(check.finite("asked", asked)) > static * normal
    return np.where(slides, np.sign(asked) * kinetic * normal, asked)[()], slides[()]


def grip_force(chassis, acceleration=0.0, slope=0.0):
    """Give the largest force that the driven wheels can put on the floor, forwards or backwards.

    Equation: F = mu N; N = m g cos s share + e m (a + g sin s) h / L, at least 0 and at most m g cos s;
        e = 1 rear, -1 front, 0 all wheels

    Parameters
    ----------
    chassis : [part] a Chassis; arrays broadcast
    acceleration : [m/s2] a, forwards; below 0 while braking
    slope : [rad] s, above 0 uphill

    Returns
    -------
    force : [N] of all driven wheels together, at least 0

    Valid: where one axle has left the floor the other one carries all; where that is the driven one, nothing grips.
    Raises: nothing.
    Source: friction times the axle's load, Hibbeler & Gupta, Engineering Mechanics, section 17.3 (from memory).

    >>> robot = Chassis(12.0, 0.04, 0.9, 0.02, 0.60, 1, 0.10, 0.30)
    >>> print(f"{grip_force(robot):.0f} N standing, {grip_force(robot, 5.0):.0f} N at 5 m/s2")
    64 N standing, 82 N at 5 m/s2
    """
    weight = chassis.mass * GRAVITY * np.cos(slope)
    moved = (
        chassis.driven_end
        * chassis.mass
        * (acceleration + GRAVITY * np.sin(slope))
        * chassis.height
        / chassis.wheelbase
    )
    return chassis.friction * np.clip(weight * np.asarray(chassis.driven_share) + moved, 0.0, weight)


def _at_grip(chassis, slope, way):
    """Acceleration at which the driven wheels are about to slip, pushing ahead (way 1) or braking (way -1).

    Between no weight and all the weight on them the grip grows straight with the acceleration.
    """
    weight, drag = chassis.mass * GRAVITY * np.cos(slope), drive_force(chassis.mass, 0.0, slope, chassis.rolling)
    gain = 1 - way * np.asarray(chassis.driven_end) * chassis.friction * np.asarray(chassis.height) / chassis.wheelbase
    moves = way * grip_force(chassis, 0.0, slope) - drag
    straight = moves / np.maximum(gain, TINY) / chassis.mass  # without end where each push presses the wheels down more
    alone, all_of_it = -drag / chassis.mass, (way * chassis.friction * weight - drag) / chassis.mass
    return np.clip(straight, np.minimum(alone, all_of_it), np.maximum(alone, all_of_it))[()]


def top_acceleration(chassis, slope=0.0):
    """Give the acceleration at which the driven wheels are just about to slip.

    Equation: a = (F_grip(0) - m g (sin s + c_r cos s)) / (m (1 - e mu h / L)), at most (mu - c_r) g cos s - g sin s

    Parameters
    ----------
    chassis : [part] a Chassis; arrays broadcast
    slope : [rad] s, above 0 uphill

    Returns
    -------
    acceleration : [m/s2] forwards, however strong the motors are; below 0 where it slides back

    Valid: however high the robot. Where its front wheels lift before rear wheels slip, all weight is on these, and more
        than friction times that is not to be had; whether it falls over first is asked of balance.braking_limit.
    Raises: nothing.
    Source: Hibbeler & Gupta, Engineering Mechanics, Example 17.5, rear wheels always slipping (from memory).

    >>> print(f"{top_acceleration(Chassis(12.0, 0.04, 0.9, 0.02, 0.60, 1, 0.10, 0.30)):.2f}")
    7.28
    """
    return _at_grip(chassis, slope, 1)


def steepest_slope(chassis):
    """Give the steepest slope that the driven wheels can hold and climb slowly.

    Equation: tan s = (mu share - c_r) / (1 - e mu h / L), at most mu - c_r

    Parameters
    ----------
    chassis : [part] a Chassis; arrays broadcast

    Returns
    -------
    slope : [rad] uphill, front first; below 0 where it can't even start on level floor

    Valid: as top_acceleration; whether the motors are strong enough, and the robot stays upright, are other questions.
    Raises: nothing.
    Source: follows from grip_force and drive_force at no acceleration.

    >>> print(f"{np.degrees(steepest_slope(Chassis(12.0, 0.06, 0.7, 0.02, 1.0, 0, 0.10, 0.30))):.1f}")
    34.2
    """
    level = top_acceleration(replace(chassis, mass=1.0))
    return np.arctan(level / GRAVITY)


# --- going straight ---------------------------------------------------------------------------------------------------


def sprint(chassis, distance, slope=0.0, most_braking=np.inf, points=POINTS):
    """Make the Load of a straight run over a distance, as the wheels' axle feels it.

    Equation: q = x / r; J = m r^2 + J_wheels; load torque = m g r sin s; friction torque = c_r m g r cos s;
        torque limit + limit slope a / r = J a / r + load and friction torque, at the accelerations a at which the
        wheels slip, ahead and braking

    Parameters
    ----------
    chassis : [part] a Chassis; numbers or arrays [S]
    distance : [m] to go, > 0; broadcasts
    slope : [rad] above 0 uphill
    most_braking : [m/s2] that is allowed, for example balance.braking_limit; inf without a limit
    points : [whole] of the table, at least 4; the last two lie close together

    Returns
    -------
    load : [part] a motion.Load with tables [S,points]: grip with weight transfer in torque_limit and limit_slope,
        most_braking in braking_limit

    Valid: straight ahead. The grip is a limit of the axle's torque, and the wheels' own inertia is allowed for in it.
        A driver who speeds up more gently is in held_back. Nothing changes along the way, so times and currents do not
        depend on the number of points.
    Raises: ValueError when distance or most_braking is not above 0, or points is below 4.
    Source: common practice, no source.

    >>> robot = Chassis(12.0, 0.06, 0.7, 0.02, 1.0, 0, 0.10, 0.30, 1e-3)
    >>> load = sprint(robot, 2.0)
    >>> print(f"{load.q[-1]:.0f} rad, {load.inertia[0]:.4f} kg·m2, grip {load.torque_limit[0]:.2f} N·m")
    33 rad, 0.0442 kg·m2, grip 5.05 N·m
    """
    radius, mass = np.asarray(chassis.wheel_radius), chassis.mass
    inertia = mass * radius**2 + chassis.wheel_inertia
    pull = mass * GRAVITY * np.sin(slope) * radius
    rolling = chassis.rolling * mass * GRAVITY * np.cos(slope) * radius
    limit = _allowed("most_braking", most_braking, "braking")
    braking_limit = np.maximum(inertia * limit / radius - pull - rolling, 0.0)
    grip, gain = _grip_line(chassis, slope, inertia, pull + rolling)
    share = np.linspace(0, 1, int(check.whole("points", points, 4)) - 1)
    parts = (check.positive("distance", distance) / radius, pull, rolling, inertia, grip, gain, braking_limit)
    share = np.insert(share, -1, 1 - NEAR_END)
    q, *rest = (
        np.asarray(part)[..., None] * (share if place == 0 else np.ones_like(share)) for place, part in enumerate(parts)
    )
    return motion.Load(q, *rest)


def _allowed(name, value, what):
    """An acceleration that is allowed; inf passes."""
    none = np.isposinf(value)
    check.positive(name, np.where(none, 1.0, value), f"give the {what} that balance allows, inf for no limit")
    return np.asarray(value, dtype=float)


def _grip_line(chassis, slope, inertia, drag):
    """Torque limit of the axle, and how it grows with the acceleration: straight through both borders of slipping.

    Ahead the floor's push and the wheels' own inertia ask for torque on the same side, braking on opposite sides: so
    no one factor is right for both. A robot that can't set off at all only needs a limit below its drag; one that runs
    away downhill, none that could hold it.
    """
    ahead, back = (way * _at_grip(chassis, slope, way) / chassis.wheel_radius for way in (1, -1))
    least = TINY * inertia
    push, brake = np.maximum(inertia * ahead + drag, least), np.maximum(inertia * back - drag, least)
    stuck, most = ahead <= 0, inertia * (1 - TINY)
    gain = np.where(stuck, 0.0, np.clip((push - brake) / np.maximum(ahead + back, TINY), -most, most))
    still = grip_force(chassis, 0.0, slope) * chassis.wheel_radius
    return np.where(stuck, np.minimum(still, np.maximum(drag, 0.0)), np.maximum(push - gain * ahead, 0.0)), gain


def motor_acceleration(line, bus, load):
    """Give how fast the motors could speed up from rest, at full voltage, if the wheels gripped.

    Equation: w' = (eta k (I - I_0) - T_drag) / (J + eta J_rotor), I = min(E / (R + R_b), I_limit)

    Parameters
    ----------
    line : [part] a drive.Line of all motors, at the wheels' axle
    bus : [part] a motion.Bus
    load : [part] of sprint

    Returns
    -------
    acceleration : [rad/s2] of the axle, shape [S]; times the radius it is that of the robot; below 0 it stands

    Valid: the first moment, before the motors turn.
    Raises: nothing.
    Source: Newton's law for turning, the rotors' inertia behind the gears.

    >>> line = drive.Line(0.5, 0.375, 2.0, 0.009, 0.8, 0.75)
    >>> load = sprint(Chassis(12.0, 0.06, 0.7, 0.02, 1.0, 0, 0.10, 0.30, 1e-3), 2.0)
    >>> print(f"{0.06 * motor_acceleration(line, motion.Bus(15.0, 0.1), load):.1f} m/s2")
    7.9 m/s2
    """
    free, _, held, _ = _laws(line, bus, load)
    return np.minimum(free, held)


def held_back(line, load, most):
    """Give the drive of a driver who speeds up no harder than given: controllers hold the motors' current.

    Equation: I = (T / eta + J_rotor w') / k + I_0, T = J w' + T_drag

    Parameters
    ----------
    line : [part] a drive.Line of all motors, at the wheels' axle
    load : [part] of sprint
    most : [rad/s2] of the axle, that is allowed, shape [S], > 0; inf without a limit

    Returns
    -------
    line : [part] a drive.Line with that limit of the current, or its own where that is lower

    Valid: a load that stays the same along the way. The limit holds for braking too, where the same current slows down
        more than it speeds up, because all losses help.
    Raises: ValueError when most is not above 0.
    Source: Newton's law for turning, the rotors' inertia behind the gears.

    >>> line = drive.Line(0.5, 0.375, 2.0, 0.009, 0.8, 0.75)
    >>> load = sprint(Chassis(12.0, 0.06, 0.7, 0.02, 1.0, 0, 0.36, 0.30, 1e-3), 2.0)
    >>> print(f"{held_back(line, load, 4.0 / 0.06).current_limit:.1f} A")
    13.9 A
    """
    most = _allowed("most", most, "speeding up")
    free, most = np.isposinf(most), np.where(np.isposinf(most), 0.0, most)
    drag = load.load_torque[..., 0] + load.friction_torque[..., 0]
    torque = (load.inertia[..., 0] * most + drag) / line.efficiency + line.rotor_inertia * most
    amps = torque / line.torque_constant + line.free_current
    return replace(line, current_limit=np.minimum(line.current_limit, np.where(free, np.inf, amps)))


def _laws(line, bus, load):
    """Acceleration at full voltage from rest, its fall with speed, and what controllers and grip hold it to."""
    drag = load.load_torque[..., 0] + load.friction_torque[..., 0]
    inertia, eta, k = load.inertia[..., 0], line.efficiency, line.torque_constant
    whole, turned = line.resistance + np.asarray(bus.resistance), inertia + eta * line.rotor_inertia
    free = (eta * k * (bus.open_circuit / whole - line.free_current) - drag) / turned
    held = (eta * k * (line.current_limit - line.free_current) - drag) / turned
    grip = (load.torque_limit[..., 0] - drag) / (inertia - load.limit_slope[..., 0])
    return free, eta * k**2 / (whole * turned), held, grip


def highest_speed(line, bus, load, done):
    """Give the highest speed of a run: where it stops speeding up and begins to brake.

    Equation: way to speed up to w + w^2 / (2 b) = way; speeding up evenly while wheels slip, then with
        min(held, A - B w), braking with b

    Parameters
    ----------
    line : [part] a drive.Line of all motors, at the wheels' axle
    bus : [part] a motion.Bus
    load : [part] of sprint
    done : [part] the motion.Move of that load, ending at rest

    Returns
    -------
    speed : [rad/s] of the axle, shape [S]; 0 where it never arrives

    Valid: a load that stays the same along the way, as that of sprint. On a long way it comes near A / B: even driving
        on a battery that sags.
    Raises: nothing.
    Source: v dv / dx = a, Meriam & Kraige, Engineering Mechanics: Dynamics, section 2/2 (from memory).

    >>> line, bus = drive.Line(0.5, 0.375, 2.0, 0.009, 0.8, 0.75), motion.Bus(15.0, 0.1)
    >>> load = sprint(Chassis(12.0, 0.06, 0.7, 0.02, 1.0, 0, 0.10, 0.30, 1e-3), 2.0)
    >>> print(f"{0.06 * highest_speed(line, bus, load, motion.move(line, load, bus))[0]:.2f} m/s")
    2.12 m/s
    """
    free, fall, held, grip = _laws(line, bus, load)
    most = np.minimum(free, held)
    moves = np.isfinite(done.time[:, 0]) & (most > 0) & (grip > 0)
    free, most, grip = (np.where(moves, part, 1.0) for part in (free, most, grip))
    slipped = grip * np.where(moves, done.slip_time[:, 0], 0.0)  # the speed at which wheels grip again
    knee = np.maximum((free - most) / fall, slipped)  # up to there controllers hold the current
    left = np.maximum(free - fall * knee, TINY)
    q = done.q[:, 0]
    brakes = np.where(moves, done.speed[:, 0, -2] ** 2 / (q[:, -1] - q[:, -2]), 1.0)
    low, high = np.zeros_like(free), np.maximum(free / fall, slipped)
    twice_grip, twice_most, square, bend, whole = 2 * grip, 2 * most, slipped**2, free / fall**2, q[:, -1] - q[:, 0]
    for _ in range(HALVINGS):
        w = 0.5 * (low + high)
        evenly = np.maximum(np.minimum(w, knee), slipped)
        way = np.minimum(w, slipped) ** 2 / twice_grip + (evenly**2 - square) / twice_most
        over = np.maximum(w - knee, 0.0)
        way = way - over / fall - bend * np.log1p(-np.minimum(fall * over / left, 1 - TINY))
        short = way + w**2 / brakes < whole
        low, high = np.where(short, w, low), np.where(short, high, w)
    return np.where(moves, high, 0.0)


def _from_battery(line, bus, amps, speed):
    """Current of a battery whose controllers hold the motors at a current: (E - R_b I_b) I_b = I (R I + k w)."""
    power = amps * (line.resistance * amps + line.torque_constant * speed)
    room = np.asarray(bus.open_circuit) ** 2 - 4 * np.asarray(bus.resistance) * power
    return 2 * power / (bus.open_circuit + np.sqrt(np.maximum(room, 0.0)))


def sideways(line, share):
    """Give a mecanum drive as it works when going sideways: the rollers lose a share of the torque.

    Equation: eta = eta_train share; driven: eta_driven (2 - 1 / share)

    Parameters
    ----------
    line : [part] a drive.Line
    share : [-] of the force ahead that is left going sideways, above 0 and at most 1; it must be MEASURED

    Returns
    -------
    line : [part] a drive.Line with lower efficiencies

    Valid: as far as the measured share goes: soft floor, worn rollers and uneven weight change it. Measure it with a
        pull scale: pull against the scale going sideways over pull going ahead, both at the same low voltage.
    Raises: ValueError when share is not above 0 and at most 1.
    Source: common practice, no source; no formula gives the share.

    >>> print(f"{sideways(drive.Line(0.5, 0.375, 2.0, 0.009, 0.8, 0.75), 0.8).efficiency:.3f}")
    0.640
    """
    lost = gearing.efficiency_driven(check.fraction("share", share))
    return replace(line, efficiency=line.efficiency * share, efficiency_driven=line.efficiency_driven * lost)


def push(line, bus, wheel_radius, grip):
    """Give how hard a robot pushes against something that does not move, and whether wheels spin or motors stall.

    Equation: spins where T_stall > F_grip r; I = F_grip r / (eta k) + I_0 then, else min(E / (R + R_b), I_limit)

    Parameters
    ----------
    line : [part] a drive.Line of all motors, at the wheels' axle
    bus : [part] a motion.Bus
    wheel_radius : [m] r, > 0; all arguments broadcast
    grip : [N] most force that the driven wheels can pass on, see grip_force, > 0

    Returns
    -------
    force : [N] on the floor
    spins : [yes/no] the wheels slip before the motors stall; stalled motors are too hot within seconds
    current : [A] of all motors together
    battery_current : [A] through the fuse; less where the controllers hold the motors back
    slip_speed : [m/s] of the wheels' rims over the floor, 0 where the motors stall

    Valid: full voltage, one friction for sticking and sliding; the push lasts long enough to be steady.
    Raises: ValueError when wheel_radius or grip is not above 0.
    Source: common practice, no source.

    >>> line = drive.Line(0.5, 0.375, 2.0, 0.009, 0.8, 0.75)
    >>> force, spins, current, *_ = push(line, motion.Bus(15.0, 0.1), 0.06, 82.4)
    >>> print(f"{force:.0f} N, spins: {spins}, {current:.1f} A")
    82 N, spins: True, 18.5 A
    """
    radius, grip = check.positive("wheel_radius", wheel_radius), check.positive("grip", grip)
    whole = line.resistance + np.asarray(bus.resistance)
    stall = np.minimum(bus.open_circuit / whole, line.current_limit)
    strength = line.efficiency * line.torque_constant * (stall - line.free_current)
    spins = strength > grip * radius
    current = np.where(spins, drive.current_for_torque(line, grip * radius), stall)
    slip_speed = np.where(spins, (bus.open_circuit - whole * current) / line.torque_constant * radius, 0.0)
    held_back = _from_battery(line, bus, stall, 0.0)
    battery_current = np.where(spins | (stall >= bus.open_circuit / whole), current, held_back)
    return np.where(spins, grip, strength / radius)[()], spins[()], current[()], battery_current[()], slip_speed[()]


def sprint_by_ratio(motor, count, ratio, efficiency, efficiency_driven, chassis, distance, bus, current_limit=np.inf):
    """Give time of a run and current of a push for many gear ratios: the time is flat, so the fuse chooses.

    Equation: motion.move and push with drive.line for each ratio

    Parameters
    ----------
    motor : [part] with resistance, torque_constant, free_current and rotor_inertia
    count : [whole] driving motors, at least 1
    ratio : [-] motor speed over wheel speed, > 0, shape [S]
    efficiency : [-] of the train, driving; one number, or one a ratio
    efficiency_driven : [-] of the train, driven
    chassis : [part] a Chassis
    distance : [m] from rest to rest, > 0
    bus : [part] a motion.Bus
    current_limit : [A] of one motor output, inf without a limit

    Returns
    -------
    time : [s] for each ratio; inf where it never arrives
    current : [A] from the battery while it pushes against a wall, for each ratio
    volts : [V] of the battery while it pushes

    Valid: as motion.move and push. The highest current of the run itself tells little: motors that start from rest draw
        all they can for a moment, whatever the ratio.
    Raises: ValueError as drive.line, sprint and motion.move.
    Source: common practice, no source.

    >>> from types import SimpleNamespace
    >>> made_up = SimpleNamespace(resistance=2.0, torque_constant=0.025, free_current=0.5, rotor_inertia=1e-5)
    >>> robot = Chassis(12.0, 0.06, 0.7, 0.02, 1.0, 0, 0.10, 0.30, 1e-3)
    >>> ratios, bus = np.array([10.0, 20.0]), motion.Bus(15.0, 0.1)
    >>> time, current, _ = sprint_by_ratio(made_up, 4, ratios, 0.8, 0.75, robot, 2.0, bus, 10.0)
    >>> print([f"{t:.2f} s, {i:.0f} A" for t, i in zip(time, current)])
    ['1.31 s, 25 A', '1.52 s, 14 A']
    """
    ratio = np.atleast_1d(check.positive("ratio", ratio))
    line = drive.line(motor, ratio, efficiency, efficiency_driven, count, current_limit)
    done = motion.move(line, sprint(chassis, distance), bus)
    amps = push(line, bus, chassis.wheel_radius, grip_force(chassis))[3]
    return done.time[:, 0], amps, bus.open_circuit - bus.resistance * amps


# --- turning ----------------------------------------------------------------------------------------------------------


def scrub(friction, wheel_load, ahead):
    """Give the turning moment that wheels resist with when they are dragged sideways in a turn on the spot.

    Equation: M = sum of mu N |x - x_0|; x_0 where half of the sum of mu N lies on either side

    Parameters
    ----------
    friction : [-] mu of each wheel sideways, >= 0 (small for omni wheels), wheels along the last axis
    wheel_load : [N] N on each wheel, >= 0
    ahead : [m] x of each wheel's contact, forwards of any one line across the robot

    Returns
    -------
    moment : [N·m] that both sides must overcome together, each with M / track
    centre : [m] x_0 about which the robot turns: it picks the place that resists least, often the gripping axle

    Valid: wheels that roll along their own direction and slide across it; wheels that also spin need less, mecanum
        wheels roll: no scrub. Four alike with L / track above 1 can't turn without spinning. A long row of wheels
        comes to mu W L / 4, the moment of a track.
    Raises: ValueError when friction or wheel_load is negative.
    Source: Wong, Theory of Ground Vehicles, chapter 6, tracks with even pressure: M = mu W L / 4 (from memory).

    >>> moment, centre = scrub([1.0, 1.0, 0.1, 0.1], [44.0, 44.0, 29.0, 29.0], [0.0, 0.0, 0.3, 0.3])
    >>> print(f"{moment:.2f} N·m about x = {centre:.2f} m")
    1.74 N·m about x = 0.00 m
    """
    hold = check.not_negative("friction", friction) * np.asarray(check.not_negative("wheel_load", wheel_load))
    hold, ahead = np.broadcast_arrays(hold, check.finite("ahead", ahead))
    order = np.argsort(ahead, axis=-1, kind="stable")
    held = np.cumsum(np.take_along_axis(hold, order, axis=-1), axis=-1)
    middle = np.argmax(held >= 0.5 * held[..., -1:] * (1 - 1e-12), axis=-1)[..., None]
    centre = np.take_along_axis(np.take_along_axis(ahead, order, axis=-1), middle, axis=-1)
    return np.sum(hold * np.abs(ahead - centre), axis=-1)[()], centre[..., 0][()]


def spin(chassis, turning_inertia, lever, angle, moment=0.0, points=POINTS):
    """Make the Load of a turn on the spot, as the wheels' axle feels it.

    Equation: q = angle b / r; J = I (r / b)^2 + J_wheels; friction torque = (M + c_r m g b) r / b

    Parameters
    ----------
    chassis : [part] a Chassis; numbers or arrays [S]
    turning_inertia : [kg·m2] I, of the robot about an upright line through its middle, > 0
    lever : [m] b, half the track; for mecanum half_length + half_width
    angle : [rad] to turn, > 0
    moment : [N·m] M, of scrub, >= 0
    points : [whole] of the table, at least 2

    Returns
    -------
    load : [part] a motion.Load with tables [S,points]

    Valid: both sides driven alike, against each other; wheels that do not spin.
    Raises: ValueError when a number is out of its range.
    Source: common practice, no source; a slab turns with I = m (l^2 + b^2) / 12.

    >>> load = spin(Chassis(12.0, 0.06, 0.7, 0.02, 1.0, 0, 0.10, 0.30), 0.40, 0.35, np.radians(90))
    >>> print(f"{load.q[-1]:.2f} rad, {load.friction_torque[0]:.3f} N·m")
    9.16 rad, 0.141 N·m
    """
    radius, lever = chassis.wheel_radius, check.positive("lever", lever)
    gain = radius / np.asarray(lever)
    share = np.linspace(0, 1, int(check.whole("points", points, 2)))
    drag = check.not_negative("moment", moment) + chassis.rolling * chassis.mass * GRAVITY * lever
    inertia = check.positive("turning_inertia", turning_inertia) * gain**2 + chassis.wheel_inertia
    q = np.asarray(check.positive("angle", angle) / gain)[..., None] * share
    return motion.Load(q, 0.0, np.asarray(drag * gain)[..., None] + 0 * q, np.asarray(inertia)[..., None] + 0 * q)

"""Drivetrain: published examples of grip, axle loads and traction, an independent solver for the sprint, and laws."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import simpson, solve_ivp
from scipy.optimize import brentq, minimize_scalar

from mechbench.physics import balance, drive, drivetrain, kinematics, motion
from mechbench.physics.constants import GRAVITY
from mechbench.physics.drivetrain import Chassis
from mechbench.physics.motion import Bus, move
from tests.physics.reference_motion import Drive, Piece, flat, run
from tests.published import MEMORY, READ, check

BUS = Bus(14.0, 0.12)
TALL = Chassis(13.0, 0.05, 0.7, 0.025, 1.0, 0, 0.12, 0.30, 1e-3)
WREN = Chassis(10.0, 0.045, 1.0, 0.03, 0.60, 1, 0.12, 0.30, 1.1e-4)


def line_at(ratio, count=4):
    return drive.Line(1.25 / count, 0.0175 * ratio, 0.25 * count, 7.5e-6 * count * ratio**2, 0.81, 0.79, 15.0 * count)


# ---- published -------------------------------------------------------------------------------------------------------


def test_rear_drive_up_a_grade():
    source = "Meriam & Kraige, Engineering Mechanics: Dynamics, Sample Problem 6/1 (inputs read, answers from memory)"
    slope, a, mass = np.arctan(0.10), 44.0**2 / (2 * 200.0), 3220 / 32.2  # ft, slug
    scale = GRAVITY / 32.2  # our gravity is 9.80665 m/s2: lengths in ft times this make it 32.2
    force = drivetrain.drive_force(mass, a * scale, slope) / scale
    front, rear = drivetrain.axle_loads(mass, 120.0, 24.0, 60.0, a * scale, slope)
    check("drivetrain", "tractive force up a 10 % grade [lb]", force, 804, 1e-3, source, MEMORY)
    check("drivetrain", "front axle load of the same [lb]", front / scale, 1441, 1e-3, source, MEMORY)
    check("drivetrain", "rear axle load of the same [lb]", rear / scale, 1763, 1e-3, source, MEMORY)


def test_block_on_an_accelerating_bed():
    source = "OpenStax University Physics Vol. 1, Example 6.13"
    normal = 50.0 * 9.80
    for a, force, slips in ((2.00, 100.0, False), (5.00, 147.0, True)):
        friction, slides = drivetrain.friction_force(50.0 * a, normal, 0.400, 0.300)
        check("drivetrain", f"friction on a bed at {a} m/s2 [N]", friction, force, 1e-3, source, READ)
        assert slides == slips
    check("drivetrain", "acceleration of the sliding block [m/s2]", friction / 50.0, 2.94, 1e-3, source, READ)
    check("drivetrain", "the same, as seen from the bed [m/s2]", friction / 50.0 - 5.00, -2.06, 1e-3, source, READ)


def test_friction_under_a_growing_push():
    source = "OpenStax University Physics Vol. 1, Example 6.10"
    for push, expected in ((20.0, 20.0), (30.0, 30.0), (120.0, 120.0), (180.0, 118.0)):
        friction, slides = drivetrain.friction_force(push, 20.0 * 9.80, 0.700, 0.600)
        check("drivetrain", f"friction against a push of {push} N [N]", friction, expected, 4e-3, source, READ)
        assert slides == (push > 137.2)
    check("drivetrain", "acceleration once it slides [m/s2]", (180.0 - friction) / 20.0, 3.1, 1e-2, source, READ)
    border = brentq(lambda p: drivetrain.friction_force(p, 20.0 * 9.80, 0.7, 0.6)[1] - 0.5, 100, 180, xtol=1e-9)
    check("drivetrain", "push at which it begins to slide [N]", border, 137, 4e-3, source, READ)


def test_top_acceleration_of_published_cars():
    hibbeler = "Hibbeler & Gupta, Engineering Mechanics: Dynamics, Example 17.5, rear wheels always slipping"
    car = Chassis(2000.0, 0.3, 0.25, 0.0, 1.25 / 2.0, 1, 0.30, 2.0)  # centre of gravity 1.25 m behind the front axle
    a = drivetrain.top_acceleration(car) * 9.81 / GRAVITY
    check("drivetrain", "rear-driven car with weight transfer [m/s2]", a, 1.59, 3e-3, hibbeler, MEMORY)
    front, rear = drivetrain.axle_loads(2000.0, 2.0, 0.30, 0.75, drivetrain.top_acceleration(car))
    check("drivetrain", "its front axle load [kN]", front * 9.81 / GRAVITY / 1000, 6.88, 2e-3, hibbeler, MEMORY)
    check("drivetrain", "its rear axle load [kN]", rear * 9.81 / GRAVITY / 1000, 12.7, 4e-3, hibbeler, MEMORY)
    school = "worked answer: rear-wheel drive, 48 % of the weight, friction 0.60 (wyzant.com, question 5249)"
    flat = Chassis(1200.0, 0.3, 0.60, 0.0, 0.48, 0, 0.0, 2.5)
    check(
        "drivetrain",
        "48 % of the weight on driven wheels [m/s2]",
        drivetrain.top_acceleration(flat),
        2.82,
        2e-3,
        school,
        READ,
    )


def test_a_long_row_of_wheels_turns_like_a_track():
    source = "Wong, Theory of Ground Vehicles, chapter 6: M = mu W L / 4 for tracks with even pressure"
    x = (np.arange(200) + 0.5) / 200 * 2.0
    moment, centre = drivetrain.scrub(0.6, 5000.0 / 200, x)
    check(
        "drivetrain",
        "turning moment of a track, mu 0.6, 5 kN, 2 m [N m]",
        moment,
        0.6 * 5000.0 * 2.0 / 4,
        1e-3,
        source,
        MEMORY,
    )
    assert centre == pytest.approx(1.0, abs=0.01)


# ---- the sprint against an independent solver ------------------------------------------------------------------------


def reference_of(chassis, line, distance, slope=0.0, points_cap=True):
    """The same run written apart: forces at the floor in newtons, then turned to the axle by the other solver's own
    means.
    """
    r, m = chassis.wheel_radius, chassis.mass
    lever = chassis.friction * chassis.driven_end * m * chassis.height / chassis.wheelbase
    at_rest = (
        chassis.friction
        * m
        * GRAVITY
        * (
            chassis.driven_share * np.cos(slope)
            + chassis.driven_end * np.sin(slope) * chassis.height / chassis.wheelbase
        )
    )
    pull = m * GRAVITY * np.sin(slope) * r, chassis.rolling * m * GRAVITY * np.cos(slope) * r
    values = *pull, m * r**2, 0.0, at_rest * r, lever * r**2
    return Drive(line, [Piece(0.0, distance / r, *(flat(value) for value in values))])


@pytest.mark.parametrize(
    "chassis, ratio, count, slope", [(TALL, 16, 4, 0.0), (WREN, 12, 2, 0.0), (WREN, 12, 2, np.radians(8))]
)
def test_sprint_against_a_second_solver(chassis, ratio, count, slope):
    chassis, line = replace(chassis, wheel_inertia=0.0), line_at(ratio, count)
    ours = move(line, drivetrain.sprint(chassis, 2.0, slope), BUS)
    ref = run([reference_of(chassis, line, 2.0, slope)], BUS.open_circuit, BUS.resistance, BUS.reset_level)
    source, known = "second solver: adaptive steps, root search on torques and on Kirchhoff's law", "recomputed here"
    name = f"{chassis.mass:.0f} kg, {ratio}:1, slope {np.degrees(slope):.0f} deg"
    check("drivetrain", f"sprint over 2 m, stopped: {name} [s]", ours.time[0, 0], ref["time"][0], 1e-3, source, known)
    check("drivetrain", f"highest current: {name} [A]", ours.bus_current[0], ref["peak"], 1e-2, source, known)
    assert ours.balance_error.max() < 1e-3
    assert ours.slip_time[0, 0] == pytest.approx(ref["slip_time"][0], rel=0.03, abs=2e-3)


def test_wheels_that_must_speed_up_too():
    """Grip-limited start with heavy wheels: force on the floor, not torque at the axle, is what friction limits."""
    heavy = replace(WREN, wheel_inertia=1e-3)  # as if 5 % of the robot
    load = drivetrain.sprint(heavy, 1.0)
    strong = drive.Line(0.01, 1.0, 0.0, 0.0, 1.0, 1.0, np.inf)
    done = move(strong, load, Bus(500.0, 0.0), end="pass")
    a = 2 * 1.0 / done.time[0, 0] ** 2
    assert a == pytest.approx(drivetrain.top_acceleration(heavy), rel=3e-3)


def test_braking_allowed_by_balance_is_kept_and_costs_time():
    """The raised robot of the course: half base 0.16 m, centre 0.30 m up, may brake at 5.2 m/s2."""
    limit = balance.braking_limit(0.16, 0.30)
    assert limit == pytest.approx(5.23, abs=0.01)
    free, held = (
        move(line_at(16), drivetrain.sprint(TALL, 2.0, most_braking=b, points=121), BUS) for b in (np.inf, 3.0)
    )
    w, t = held.speed[0, 0], held.t[0, 0]
    assert (np.diff(w) / np.diff(t)).min() * TALL.wheel_radius == pytest.approx(-3.0, rel=1e-3)
    assert held.time[0, 0] > free.time[0, 0]
    barely = drivetrain.sprint(TALL, 2.0, most_braking=0.1)
    assert np.all(barely.braking_limit == 0), "rolling alone slows it more than that"


def test_time_is_flat_over_the_ratio_and_the_current_of_a_push_is_not():
    some = type("some", (), dict(resistance=1.25, torque_constant=0.0175, free_current=0.25, rotor_inertia=7.5e-6))
    ratios = np.array([8.0, 10.0, 12.0, 14.0, 16.0, 20.0, 30.0])
    time, current, volts = drivetrain.sprint_by_ratio(some, 4, ratios, 0.81, 0.79, TALL, 2.0, BUS, 15.0)
    best = np.argmin(time)
    assert 0 < best < ratios.size - 1, "too short a ratio is slow to speed up, too tall a one slow at the top"
    near = np.abs(time / time[best] - 1) < 0.13
    assert ratios[near].max() / ratios[near].min() >= 2 and current[near].max() / current[near].min() > 1.15
    assert np.all(np.diff(current) < 1e-9) and np.all(np.diff(volts) > -1e-9)
    start = BUS.open_circuit / (1.25 / 4 + BUS.resistance)
    assert current[0] == pytest.approx(start), "wheels that grip: the motors stand still at full voltage"
    grip = 0.7 * 13.0 * GRAVITY * 0.05 / (0.81 * 0.0175 * 20) + 4 * 0.25
    assert current[5] == pytest.approx(grip), "wheels that spin: the motors give what the floor takes"
    assert volts[5] == pytest.approx(BUS.open_circuit - BUS.resistance * grip)
    assert time[4] == pytest.approx(move(line_at(16.0), drivetrain.sprint(TALL, 2.0), BUS).time[0, 0])


def slips_at(chassis, way, slope=0.0):
    """The hardest acceleration, ahead or braking, that friction can give: by Newton's law and moments about one axle.

    An axle that would have to be held down carries nothing, the other one all.
    """
    weight = chassis.mass * GRAVITY * np.cos(slope)
    drag = chassis.mass * GRAVITY * (np.sin(slope) + chassis.rolling * np.cos(slope))

    def short(hard):
        a = way * hard
        moved = chassis.mass * (a + GRAVITY * np.sin(slope)) * chassis.height / chassis.wheelbase
        presses = weight * chassis.driven_share + chassis.driven_end * moved
        return chassis.friction * min(max(presses, 0.0), weight) - way * drag - chassis.mass * hard

    hard = np.linspace(60.0, -1.0, 601)
    first = next(i for i, one in enumerate(hard) if short(one) >= 0)
    return way * brentq(short, hard[first], hard[first - 1], xtol=1e-13)


@pytest.mark.parametrize("slope", [0.0, 0.1])
@pytest.mark.parametrize("wheels", [0.0, 2e-3])
@pytest.mark.parametrize("height", [0.05, 0.30, 0.50])
@pytest.mark.parametrize("end, share", [(0, 1.0), (1, 0.6), (-1, 0.6)])
def test_the_axle_passes_on_what_the_floor_takes_both_ways(end, share, height, wheels, slope):
    """Heavy wheels, high robots, two driven wheels: the limit of the axle's torque is right ahead and braking."""
    one = Chassis(9.0, 0.045, 0.9, 0.04, share, end, height, 0.30, wheels)
    load = drivetrain.sprint(one, 2.0, slope)
    drag = one.mass * GRAVITY * (np.sin(slope) + one.rolling * np.cos(slope)) * one.wheel_radius
    for way in (1, -1):
        a = slips_at(one, way, slope)
        axle = (one.mass * one.wheel_radius + wheels / one.wheel_radius) * a + drag
        allowed = load.torque_limit[0] + load.limit_slope[0] * a / one.wheel_radius
        assert way * axle == pytest.approx(allowed, rel=1e-9)
    assert drivetrain.top_acceleration(one, slope) == pytest.approx(slips_at(one, 1, slope), rel=1e-9)


def test_a_driver_who_holds_back_speeds_up_just_so():
    """Even, as far as full voltage would give more; and without a limit it is the drive as it was."""
    strong, bus = drive.Line(0.5, 1.0, 0.2, 0.004, 0.8, 0.7, np.inf), Bus(500.0, 0.01)
    load = drivetrain.sprint(TALL, 1.0, most_braking=5.0)
    gentle = drivetrain.held_back(strong, load, 3.0 / 0.05)
    passing = move(gentle, load, bus, end="pass")
    assert 2 * 1.0 / passing.time[0, 0] ** 2 == pytest.approx(3.0, rel=1e-5) and passing.slip_time[0, 0] == 0
    done = move(gentle, load, bus)
    top = np.sqrt(2 * 1.0 / (1 / 3.0 + 1 / 5.0))  # v^2 / 2 a and v^2 / 2 b together are the way
    assert done.time[0, 0] == pytest.approx(top / 3.0 + top / 5.0, rel=1e-5)
    assert drivetrain.highest_speed(gentle, bus, load, done)[0] * 0.05 == pytest.approx(top, rel=1e-9)
    assert drivetrain.held_back(strong, load, np.inf) == strong
    assert drivetrain.held_back(replace(strong, current_limit=1.5), load, 3.0 / 0.05).current_limit == 1.5


@pytest.mark.parametrize("limit", [np.inf, 9.0])
@pytest.mark.parametrize("distance", [0.05, 0.6, 2.0, 3.0])
def test_highest_speed_against_quadrature(distance, limit):
    """Way to speed up, the integral of v dv / a, and way to brake: together the distance."""
    line = replace(line_at(16), current_limit=limit)
    load = drivetrain.sprint(TALL, distance)
    done = move(line, load, BUS)
    top = drivetrain.highest_speed(line, BUS, load, done)[0]
    drag, whole = load.friction_torque[0], line.resistance + BUS.resistance
    heavy = load.inertia[0] + line.efficiency * line.rotor_inertia

    grip = slips_at(TALL, 1) / 0.05
    gripped = grip * done.slip_time[0, 0]  # until then it speeds up evenly
    w = np.linspace(gripped, top, 40_001)
    amps = np.minimum((BUS.open_circuit - line.torque_constant * w) / whole, limit)
    by_motor = (line.efficiency * line.torque_constant * (amps - line.free_current) - drag) / heavy
    assert np.all(by_motor < grip * (1 + 1e-9))
    way = gripped**2 / 2 / grip + simpson(w / by_motor, x=w)
    back = done.speed[0, 0, -2] ** 2 / 2 / (done.q[0, 0, -1] - done.q[0, 0, -2])
    assert way + top**2 / 2 / back == pytest.approx(distance / 0.05, rel=1e-6)
    assert drivetrain.motor_acceleration(line, BUS, load) == pytest.approx(
        (line.efficiency * line.torque_constant * (min(14.0 / whole, limit) - line.free_current) - drag) / heavy
    )


def test_highest_speed_of_a_long_way_is_even_driving():
    """E - (R + R_b) I = k w with the current that rolling drag asks; and a drive too weak to set off has none."""
    line, load = line_at(16), drivetrain.sprint(TALL, 60.0)
    amps = load.friction_torque[0] / (line.efficiency * line.torque_constant) + line.free_current
    even = (BUS.open_circuit - (line.resistance + BUS.resistance) * amps) / line.torque_constant
    assert drivetrain.highest_speed(line, BUS, load, move(line, load, BUS))[0] == pytest.approx(even, rel=1e-9)
    weak = replace(line, current_limit=1.2)
    assert drivetrain.motor_acceleration(weak, BUS, load) < 0
    assert drivetrain.highest_speed(weak, BUS, load, move(weak, load, BUS))[0] == 0.0


# ---- slope, push, sideways -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("chassis", [TALL, WREN, replace(WREN, driven_end=-1)])
def test_steepest_slope_is_where_grip_equals_need(chassis):
    slope = drivetrain.steepest_slope(chassis)
    assert drivetrain.grip_force(chassis, 0.0, slope) == pytest.approx(
        drivetrain.drive_force(chassis.mass, 0.0, slope, chassis.rolling)
    )
    assert drivetrain.top_acceleration(chassis, slope) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("end, share, degrees", [(0, 1.0, 34.0), (-1, 0.6, 17.15), (1, 0.6, 28.75)])
def test_slope_of_the_usual_robot_by_statics(end, share, degrees):
    """Moments about the lower contact, front first uphill: the slope moves m g sin(s) h / L to the rear axle."""

    def left(slope):
        rear = 0.4 * np.cos(slope) + np.sin(slope) * 0.12 / 0.30 if end < 0 else 0.0
        rear = rear if end < 0 else share * np.cos(slope) + end * np.sin(slope) * 0.12 / 0.30
        presses = np.cos(slope) - rear if end < 0 else rear
        return 0.7 * presses - np.sin(slope) - 0.025 * np.cos(slope)

    slope = brentq(left, 0.0, 1.5)
    assert np.degrees(slope) == pytest.approx(degrees, abs=0.05)
    robot = Chassis(13.0, 0.05, 0.7, 0.025, share, end, 0.12, 0.30)
    assert drivetrain.steepest_slope(robot) == pytest.approx(slope)


def test_push_spins_with_a_short_gear_and_stalls_with_a_tall_one():
    grip = drivetrain.grip_force(TALL)
    spin, stall = (drivetrain.push(line_at(ratio), BUS, TALL.wheel_radius, grip) for ratio in (16, 4))
    assert spin[1] and spin[0] == pytest.approx(grip) and spin[4] > 0
    assert not stall[1] and stall[0] < grip and stall[4] == 0
    sagged = BUS.open_circuit - BUS.resistance * stall[3]
    assert stall[0] * TALL.wheel_radius == pytest.approx(drive.stall_torque(line_at(4), sagged))
    for (_, _, amps, battery, slip), ratio in ((spin, 16), (stall, 4)):
        line = line_at(ratio)
        power_in = (BUS.open_circuit - BUS.resistance * battery) * battery
        power = line.resistance * amps**2 + line.torque_constant * slip / TALL.wheel_radius * amps
        assert power_in == pytest.approx(power, rel=1e-9), "power in = heat + power on"
    limited = replace(line_at(4), current_limit=8.0)
    _, _, amps, battery, _ = drivetrain.push(limited, BUS, TALL.wheel_radius, grip)
    assert amps == 8.0 > battery and battery * (BUS.open_circuit - BUS.resistance * battery) == pytest.approx(
        limited.resistance * 64.0
    )


def test_push_agrees_with_the_solver_against_a_wall():
    """The same answer from motion.move: a load that asks more than the grip, and one that creeps along under it."""
    grip, line = drivetrain.grip_force(TALL), line_at(16)
    torque = grip * TALL.wheel_radius
    assert move(line, motion.Load([0.0, 1.0], 1000.0, 0.0, 1.0, torque_limit=torque), BUS).why[0, 0] == "slipped"
    creeps = move(line, motion.Load([0.0, 1.0], 0.999 * torque, 0.0, 1.0, torque_limit=torque), BUS, end="pass")
    assert creeps.slip_time[0, 0] == creeps.time[0, 0] > 10
    assert creeps.current[0, 0, -1] == pytest.approx(drivetrain.push(line, BUS, TALL.wheel_radius, grip)[2])


def test_sideways_loses_what_was_measured():
    line, share = line_at(16), 0.8
    lossy = drivetrain.sideways(line, share)
    assert drive.stall_torque(lossy, 12.0) == pytest.approx(share * drive.stall_torque(line, 12.0))
    across = drivetrain.sprint(replace(TALL, friction=0.55), 2.0)
    ahead, strafe = (move(a, b, BUS).time[0, 0] for a, b in ((line, drivetrain.sprint(TALL, 2.0)), (lossy, across)))
    assert strafe > ahead
    assert drivetrain.sideways(line, 1.0) == line


# ---- turning ---------------------------------------------------------------------------------------------------------


def test_scrub_finds_the_place_that_resists_least():
    rng = np.random.default_rng(2)
    for _ in range(20):
        mu, load, x = rng.uniform(0, 1, 6), rng.uniform(1, 50, 6), rng.uniform(-0.3, 0.3, 6)
        moment, centre = drivetrain.scrub(mu, load, x)
        least = minimize_scalar(
            lambda c: np.sum(mu * load * np.abs(x - c)), bounds=(-0.3, 0.3), method="bounded", options=dict(xatol=1e-9)
        )
        assert moment == pytest.approx(least.fun, rel=1e-5)
        assert drivetrain.scrub(mu, load, -x)[0] == pytest.approx(moment), "mirror image"
    with_omni, centre = drivetrain.scrub([1.0, 1.0, 0.1, 0.1], [44.0, 44.0, 29.0, 29.0], [-0.15, -0.15, 0.15, 0.15])
    assert (
        centre == -0.15
        and with_omni < 0.15 * drivetrain.scrub(1.0, 36.5, np.array([-0.15, -0.15, 0.15, 0.15]))[0] * 1.2
    )


def test_turn_on_the_spot_against_newton():
    """A light integration of I psi'' = drive - scrub, with the motors' straight line."""
    line, inertia, lever, moment = line_at(16), 0.40, 0.20, 5.0
    load = drivetrain.spin(TALL, inertia, lever, np.radians(180), moment)
    done = move(line, load, BUS, end="pass")
    r = TALL.wheel_radius
    drag = moment + TALL.rolling * TALL.mass * GRAVITY * lever
    rotors = line.rotor_inertia * line.efficiency + TALL.wheel_inertia

    def rhs(t, y):
        wheel = y[1] * lever / r
        amps = (BUS.open_circuit - line.torque_constant * wheel) / (line.resistance + BUS.resistance)
        torque = line.efficiency * line.torque_constant * (amps - line.free_current)
        return [y[1], (torque * lever / r - drag) / (inertia + rotors * (lever / r) ** 2)]

    there = lambda t, y: y[0] - np.pi
    there.terminal = True
    ref = solve_ivp(rhs, (0, 5), [0.0, 0.0], events=there, rtol=1e-10, atol=1e-12)
    check(
        "drivetrain",
        "half a turn on the spot with scrub, passing [s]",
        done.time[0, 0],
        ref.t[-1],
        1e-3,
        "Newton's law for turning, integrated by scipy",
        "recomputed here",
    )
    assert done.balance_error.max() < 1e-3
    left, right = kinematics.differential_wheels(r, 2 * lever, 0.0, 1.0)
    assert load.q[-1] == pytest.approx(np.pi * right) and left == -right


# ---- laws ------------------------------------------------------------------------------------------------------------


def test_mirror_symmetry_of_the_axles():
    """Front drive speeding up is rear drive braking: turned round, the robot has the same loads."""
    front, rear = drivetrain.axle_loads(12.0, 0.3, 0.2, 0.1, 2.0, 0.1)
    assert drivetrain.axle_loads(12.0, 0.3, 0.2, 0.2, -2.0, -0.1) == pytest.approx((rear, front))
    assert drivetrain.grip_force(WREN, 2.0, 0.1) == pytest.approx(
        drivetrain.grip_force(replace(WREN, driven_end=-1), -2.0, -0.1)
    )
    assert front + rear == pytest.approx(12.0 * GRAVITY * np.cos(0.1))


def test_grip_is_friction_times_the_driven_axle():
    front, rear = drivetrain.axle_loads(WREN.mass, WREN.wheelbase, WREN.height, 0.4 * WREN.wheelbase, 2.0, 0.15)
    assert drivetrain.grip_force(WREN, 2.0, 0.15) == pytest.approx(WREN.friction * rear)
    ahead = replace(WREN, driven_end=-1, driven_share=0.4)
    assert drivetrain.grip_force(ahead, 2.0, 0.15) == pytest.approx(WREN.friction * front)


def test_scalars_equal_arrays():
    masses, ends, slopes = np.array([8.0, 12.0, 16.0]), np.array([0, 1, -1]), np.array([0.0, 0.1, 0.05])
    many = Chassis(masses, 0.05, 0.7, 0.025, np.array([1.0, 0.6, 0.4]), ends, 0.12, 0.30, 1e-3)
    load = drivetrain.sprint(many, 2.0, slopes, np.array([np.inf, 4.0, 3.0]))
    done = move(line_at(16), load, BUS)
    for i, (share, limit) in enumerate(zip((1.0, 0.6, 0.4), (np.inf, 4.0, 3.0))):
        one = Chassis(masses[i], 0.05, 0.7, 0.025, share, int(ends[i]), 0.12, 0.30, 1e-3)
        single = move(line_at(16), drivetrain.sprint(one, 2.0, slopes[i], limit), BUS)
        assert single.time[0, 0] == pytest.approx(done.time[i, 0], rel=1e-9)
        assert drivetrain.top_acceleration(one, slopes[i]) == drivetrain.top_acceleration(many, slopes)[i]


@pytest.mark.parametrize(
    "wrong, says",
    [
        (lambda: replace(TALL, mass=0.0), "mass is 0"),
        (lambda: replace(TALL, driven_share=1.2), "driven_share is 1.2"),
        (lambda: replace(TALL, driven_end=2), "driven_end is 2"),
        (lambda: replace(TALL, rolling=-0.1), "rolling is -0.1"),
        (lambda: drivetrain.axle_loads(10.0, 0.3, 0.1, 0.4), "ahead_of_rear is 0.4"),
        (lambda: drivetrain.friction_force(1.0, 1.0, 0.3, 0.4), "static is 0.3"),
        (lambda: drivetrain.held_back(line_at(16), drivetrain.sprint(TALL, 1.0), -1.0), "most is -1"),
        (lambda: drivetrain.sprint(TALL, 0.0), "distance is 0"),
        (lambda: drivetrain.sprint(TALL, 1.0, most_braking=0.0), "most_braking is 0"),
        (lambda: drivetrain.sprint(TALL, 1.0, points=3), "points is 3"),
        (lambda: drivetrain.sideways(line_at(16), 0.0), "share is 0"),
        (lambda: drivetrain.push(line_at(16), BUS, 0.05, 0.0), "grip is 0"),
        (lambda: drivetrain.scrub(-0.1, 1.0, [0.0, 1.0]), "friction is -0.1"),
        (lambda: drivetrain.spin(TALL, 0.0, 0.2, 1.0), "turning_inertia is 0"),
        (lambda: drivetrain.spin(TALL, 0.4, 0.2, -1.0), "angle is -1"),
        (lambda: drivetrain.spin(TALL, 0.4, 0.2, 1.0, points=1), "points is 1"),
    ],
)
def test_bad_input_is_one_sentence_that_names_it(wrong, says):
    with pytest.raises(ValueError, match=says):
        wrong()

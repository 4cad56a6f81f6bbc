"""What several tests by hand share: the numbers of their kit as printed, and plain physics of motors.

Nothing here asks mechbench for a formula. The parts are those of tests/whole_robot/by_hand_kit/parts.toml, in SI units.
"""

import math
from dataclasses import dataclass

import pytest
from scipy.integrate import quad, solve_ivp

from tests.mechanisms.by_hand_handling import KIT as KIT

# m/s2, standard acceleration of free fall: 3rd General Conference on Weights and Measures, 1901 (from memory)
G = 9.80665

# [battery] open_circuit, resistance; [controller] output_limit, reset_level
BATTERY_VOLTS, BATTERY_OHMS = 15.8, 0.10
MOST_AMPS, RESET_VOLTS = 18.0, 8.2
# [motors] every = max_rise, copper_coefficient
MOST_RISE, COPPER = 90.0, 0.00393
# [gearboxes] efficiency_per_stage; [spur_gears], [pulleys], [sprockets] efficiency
GEARBOX_STAGE, GEAR, BELT, CHAIN = 0.92, 0.94, 0.96, 0.92
# [pulleys.wide], [sprockets.link] pitch, working_load, play, mass_of_20
WIDE_PITCH, WIDE_LOAD, WIDE_PLAY, WIDE_OF_20 = 0.005, 170.0, 0.00008, 0.014
LINK_PITCH, LINK_LOAD, LINK_PLAY, LINK_OF_20 = 0.008, 500.0, 0.0004, 0.038


@dataclass(frozen=True)
class Motor:
    """A motor's data sheet: volts, rpm and amps running free, N·m and amps stalled, rotor [kg·m2], J/K, K/W, kg."""

    volts: float
    free_rpm: float
    idle: float
    stall_torque: float
    stall_current: float
    rotor: float
    capacity: float
    to_air: float
    mass: float

    @property
    def ohms(self):
        """At standstill nothing but the winding holds the current back."""
        return self.volts / self.stall_current

    @property
    def constant(self):
        """N·m/A and V·s/rad are one number; a rounded data sheet gives it twice, and the mean is taken."""
        from_stall = self.stall_torque / (self.stall_current - self.idle)
        from_free_run = (self.volts - self.idle * self.ohms) / (self.free_rpm * 2 * math.pi / 60)
        return (from_stall + from_free_run) / 2


# [motors.feather], [motors.brisk], [motors.stout]
FEATHER = Motor(14, 10823, 0.10, 0.0408, 3.5, 2.1e-6, 9, 11, 0.12)
BRISK = Motor(14, 5431, 0.20, 0.187, 8.0, 9.5e-6, 24, 5.5, 0.31)
STOUT = Motor(14, 4205, 0.60, 0.725, 24, 4.2e-5, 60, 3.2, 0.62)


def pulley(teeth):
    """Pitch diameter of a wide pulley: the belt's cords go round in as many pitches as there are teeth."""
    return WIDE_PITCH * teeth / math.pi


def sprocket(teeth):
    """Pitch diameter of a link sprocket: the pins lie on the corners of a polygon with sides of one pitch."""
    return LINK_PITCH / math.sin(math.pi / teeth)


def wheels(mass_of_20, first, second):
    """Mass of two wheels, by teeth squared from one of 20 teeth."""
    return mass_of_20 * ((first / 20) ** 2 + (second / 20) ** 2)


def driven_backwards(efficiency):
    """Efficiency of one stage that the load drives: the same friction torque is lost both ways.

    Driving, 1 goes in and e comes out: 1 - e is lost where e comes out, so (1 - e) / e for each 1 of the load's side.
    Driven, 1 goes in on the load's side, and 1 - (1 - e) / e = 2 - 1 / e is left.
    """
    return 2 - 1 / efficiency


def seconds_until_too_hot(motor, amps, start_rise=0.0):
    """Time from one rise of the winding to the highest allowed one, at a constant current.

    C dT/dt = I^2 R (1 + a T) - T / R_th, so the time is the integral of C dT over the right side. That side is
    straight in T: where it is not above 0 at both ends, the winding never gets there.
    """

    def warming(rise):
        return (amps**2 * motor.ohms * (1 + COPPER * rise) - rise / motor.to_air) / motor.capacity

    if min(warming(start_rise), warming(MOST_RISE)) <= 0:
        return math.inf
    return quad(lambda rise: 1 / warming(rise), start_rise, MOST_RISE, epsabs=0, epsrel=1e-12)[0]


def stalled_amps(motor, count):
    """Current of one of several motors that stand, on a battery that sags: E = I_all (R / n + R_battery)."""
    return BATTERY_VOLTS / (motor.ohms / count + BATTERY_OHMS) / count


def starting_amps(motor, count):
    """The same where the controller lets no more than its limit through."""
    return min(stalled_amps(motor, count), MOST_AMPS)


def jammed(motor, count, torque_ratio, carried):
    """Held fast: each of the motors stands and pushes k (I - I_0) times the torque ratio; the gears bear `carried`."""
    amps = starting_amps(motor, count)
    return {
        "jam": count * motor.constant * (amps - motor.idle) * torque_ratio / carried,
        "safe_current": carried / count / torque_ratio / motor.constant + motor.idle,
    }


def sagged(amps_of_all):
    """Battery voltage while a current flows."""
    return BATTERY_VOLTS - BATTERY_OHMS * amps_of_all


class Swing:
    """A swing between two angles in degrees: motors, gears and a counter-spring, and what follows from them.

    A subclass gives weight(angle), the torque against a growing angle, inertia(angle) and its slope bend(angle). `last`
    is the efficiency of the last stage; spring is rate, free length, initial tension, height of the anchor above the
    pivot, and distance of the pin from the pivot.
    """

    def __init__(self, motor, count, stages, ratio, start, end, spring=None, last=1.0):
        self.motor, self.count, self.spring = motor, count, spring
        self.efficiency = GEARBOX_STAGE**stages * last
        self.driven = driven_backwards(GEARBOX_STAGE) ** stages * driven_backwards(last)
        self.start, self.end = math.radians(start), math.radians(end)
        self.constant, self.rotors = motor.constant * ratio, motor.rotor * count * ratio**2

    def spring_length(self, angle):
        """From anchor to pin, by the rule of cosines: the angle between them is 90 degrees less the arm's."""
        high, pin = self.spring[-2:]
        return math.sqrt(high**2 + pin**2 - 2 * high * pin * math.sin(angle))

    def torque(self, angle):
        """Weight less spring; twice the triangle's area over the spring is the spring's distance from the pivot."""
        if self.spring is None:
            return self.weight(angle)
        rate, free, first, high, pin = self.spring
        length = self.spring_length(angle)
        force = first + rate * (length - free) if length > free else 0.0
        return self.weight(angle) - force * high * pin * math.cos(angle) / length

    def findings(self, worst, most, carried):
        """Findings that need no motion; known are the worst torque either way and the highest against the swing."""
        amps = starting_amps(self.motor, self.count)
        # to hold, gears and the motors' own friction help
        holding = max(self.driven * worst / self.constant - self.count * self.motor.idle, 0.0) / self.count
        return {
            "spare": self.efficiency * self.constant * self.count * (amps - self.motor.idle) - most,
            "current": amps,
            "strength": worst / carried,
            "hot_after": seconds_until_too_hot(self.motor, holding),
            "hold_current": holding,
            "worst_torque": worst,
            "holds": self.constant * self.count * self.motor.idle / self.driven,
            "volts": sagged(self.count * amps),
            **jammed(self.motor, self.count, self.efficiency * self.constant / self.motor.constant, carried),
        }

    def faster(self, gone, speed, amps):
        """J a + J' w^2 / 2 + torque is what the gears pass on of k (I - I_0) - J_rotors a, with losses either way."""
        way = math.copysign(1.0, self.end - self.start)
        angle = self.start + way * gone
        inner = self.constant * (amps - self.motor.idle * self.count)
        asked, inertia = way * (self.torque(angle) + self.bend(angle) * speed**2 / 2), self.inertia(angle)
        driving = (self.efficiency * inner - asked) / (inertia + self.efficiency * self.rotors)
        if inner - self.rotors * driving >= 0:
            return driving
        return (inner - self.driven * asked) / (self.driven * inertia + self.rotors)

    def seconds(self):
        """From rest to rest, by adaptive steps with exact torque and inertia.

        That is how mechbench drives: full voltage first, then a constant braking current from where it just leads to
        rest at the end: the controller's limit, or what standing motors take at the battery's reset level, the lesser.
        """
        ohms, most, whole = self.motor.ohms / self.count, MOST_AMPS * self.count, abs(self.end - self.start)
        brake = -min(most, RESET_VOLTS / ohms)

        def full(gone, speed):
            return self.faster(gone, speed, min((BATTERY_VOLTS - self.constant * speed) / (ohms + BATTERY_OHMS), most))

        def must_brake(t, state):
            return state[1] ** 2 - squares.sol(state[0])[0]

        def stands(t, state):
            return state[1]

        must_brake.terminal = stands.terminal = True
        must_brake.direction, stands.direction = 1, -1
        exact = {"rtol": 1e-9, "atol": 1e-11, "max_step": 0.02}
        squares = solve_ivp(
            lambda gone, y: [2 * self.faster(gone, math.sqrt(max(y[0], 0.0)), brake)],
            (whole, 0.0),
            [0.0],
            dense_output=True,
            **exact,
        )
        away = solve_ivp(lambda t, y: (y[1], full(*y)), (0.0, 20.0), (0.0, 0.0), events=must_brake, **exact)
        there = away.y[:, -1]
        stop = solve_ivp(lambda t, y: (y[1], self.faster(*y, brake)), (0.0, 20.0), there, events=stands, **exact)
        assert stop.y[0, -1] == pytest.approx(whole, rel=1e-5), "it comes to rest at the end"
        return away.t[-1] + stop.t[-1]


def at_most(value, bound):
    """How far a value is below its bound, as a share of the bound."""
    return (bound - value) / bound


def at_least(value, bound):
    """How far a value is above its bound, as a share of the bound."""
    return (value - bound) / bound


def agrees(report, by_hand, loose=(), rel=1e-9, loosely=1.5e-3, without=()):
    """Compare all findings of a report with those by hand: none may be left out, but those that `without` names.

    Those that `loose` names come out of a table of some 30 to 40 places over a swing, exact to about 0.1 %.
    """
    assert set(by_hand) | set(without) == set(report.good), "each finding has its value by hand"
    for name, value in by_hand.items():
        assert report.good[name] == pytest.approx(value, rel=loosely if name in loose else rel), name


def judged(report, bounds, margins, loose=(), loosely=3e-3, without=()):
    """Compare all bounds, and all margins of a good day but those that `without` names, with those by hand."""
    assert report.bounds == pytest.approx(bounds, rel=1e-12)
    assert set(margins) | set(without) == set(report.good_margin), "each finding that is judged has its margin by hand"
    for name, margin in margins.items():
        assert report.good_margin[name] == pytest.approx(margin, rel=loosely if name in loose else 1e-9), name

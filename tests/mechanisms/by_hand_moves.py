"""Motors, gears, battery and moves from first principles, apart from mechbench: what the tests by hand share.

The numbers of parts are those printed in tests/whole_robot/by_hand_kit/parts.toml. A move is integrated in time by
scipy's adaptive solver; its braking is integrated backwards in time, from rest at the end. Nothing here calls the
physics of mechbench.

Sources: the motor's straight lines, Hughes & Drury, Electric Motors and Drives, chapter 3 (from memory); circuits, Ohm
and Kirchhoff; moves, Newton; that a stage rubs alike both ways, so that eta_driven = 2 - 1 / eta: common practice, no
source.
"""

from dataclasses import dataclass, field, replace
from math import inf, pi, sqrt

import numpy as np
from pytest import approx
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from tests.mechanisms.by_hand_handling import KIT as KIT
from tests.mechanisms.by_hand_handling import fuse_seconds

GRAVITY = 9.80665  # m/s2, standard gravity (BIPM, The International System of Units, from memory)
EXACT = 1e-9  # statics: the same sums in another order
FINE = dict(method="DOP853", rtol=1e-10, atol=1e-12, dense_output=True)
QUICK = FINE | dict(rtol=1e-7, atol=1e-9)  # enough where loads are curves
SAMPLES = 100
HELD = "held"
COUNTED = "counted"
MELTED = 0.05  # mechbench sums up over some 30 points of the way, a little too much


# --- the parts of that kit -------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Motor:
    """One motor, from the figures on its plate."""

    resistance: float  # ohm
    constant: float  # N·m/A and V·s/rad
    idle: float  # A
    rotor: float  # kg·m2
    heat_capacity: float  # J/K
    to_air: float  # K/W


def on_plate(rpm, free_current, stall_torque, stall_current, rotor, heat_capacity, to_air, volts=14.0):
    """R = V / I_s; a plate gives the constant twice, at standstill and running free, and the mean of both is taken."""
    resistance = volts / stall_current
    standing = stall_torque / (stall_current - free_current)
    running = (volts - free_current * resistance) / (rpm * 2 * pi / 60)
    return Motor(resistance, (standing + running) / 2, free_current, rotor, heat_capacity, to_air)


BRISK = on_plate(5431, 0.20, 0.187, 8.0, 9.5e-6, 24.0, 5.5)  # [motors.brisk], a small frame
STOUT = on_plate(4205, 0.60, 0.725, 24.0, 4.2e-5, 60.0, 3.2)  # [motors.stout], a large frame
HOT, COPPER = 90.0, 0.00393  # max_rise K, copper_coefficient 1/K
STAGE = 0.92  # efficiency_per_stage of the gearboxes
OUTPUT_LIMIT, RESET = 18.0, 8.2  # [controller] A of one motor, V
FUSE = 25.0  # [fuse] rating, A


def losses(each, stages=1):
    """Efficiency of some equal stages, driving and driven by the load: the same friction both ways, so 2 - 1 / eta."""
    return each**stages, (2 - 1 / each) ** stages


@dataclass(frozen=True)
class Shaft:
    """Some motors and their gears as the output shaft feels them."""

    resistance: float  # of all motors side by side
    constant: float
    idle: float
    rotor: float
    driving: float  # efficiency of the gears
    driven: float
    limit: float = inf  # A of all motors

    @property
    def friction_holds(self):
        """Load that friction in motor and gears holds: its torque behind the gears is k I_0."""
        return self.constant * self.idle / self.driven


def geared(motor, count, ratio, driving, driven, limit=OUTPUT_LIMIT):
    """Motors side by side: currents, inertias and torques add up; torque grows by the ratio, inertia by its square."""
    return Shaft(
        motor.resistance / count,
        motor.constant * ratio,
        motor.idle * count,
        motor.rotor * count * ratio**2,
        driving,
        driven,
        limit * count,
    )


@dataclass(frozen=True)
class Supply:
    """What the drive runs on: volts without current, resistance, and the lowest volts that braking may count on."""

    volts: float = 15.8  # [battery] open_circuit
    resistance: float = 0.10  # [battery] resistance
    reset: float = RESET

    def chopped(self, power):
        """Volts and current where a controller takes a power: V I = P and V = E - R I."""
        volts = (self.volts + sqrt(self.volts**2 - 4 * self.resistance * power)) / 2
        return volts, power / volts

    def stall(self, shaft):
        """Current of motors that stand, at full voltage or at the controllers' limit."""
        return min(self.volts / (shaft.resistance + self.resistance), shaft.limit)


BATTERY = Supply()
SERVO_RAIL = Supply(7.2, 0.0, 0.9 * 7.2)  # [servo_rail]; a servo brakes down to 90 % of it: common practice, no source


def on_servo_plate(stall_torque, stall_current, time_per_60_deg, volts=7.2, limit=6.5, start_time=0.020):
    """A servo's shaft: all its losses in one efficiency, both ways, so that its plate's torque and speed come out.

    How quickly a servo starts no plate says: 20 ms to 63 % of its free speed is a guess, which the sizings tell.
    """
    free = pi / 3 / time_per_60_deg
    efficiency = stall_torque * free / (volts * stall_current)
    rotor = start_time * volts * stall_current / free**2
    return Shaft(volts / stall_current, volts / free, 0.0, rotor, efficiency, efficiency, limit)


HEAVY = on_servo_plate(2.9, 3.9, 0.21)  # [servos.heavy] on an output of [servo_rail] of 6.5 A


def through(shaft, driving, driven):
    """A drive with a further stage of these efficiencies behind it, such as a thread."""
    return replace(shaft, driving=shaft.driving * driving, driven=shaft.driven * driven)


def held_for_ever(shaft, motor):
    """Torque that one motor holds without getting too hot: I^2 R (1 + a T) = T / R_air; friction helps to hold."""
    amps = (HOT / (motor.to_air * motor.resistance * (1 + COPPER * HOT))) ** 0.5
    return shaft.constant * (amps + shaft.idle) / shaft.driven


def strongest(shaft, supply=BATTERY):
    """Torque at standstill: T = eta k (I - I_0)."""
    return shaft.driving * shaft.constant * (supply.stall(shaft) - shaft.idle)


def time_to_hot(motor, current):
    """Time in which one motor's winding comes to its limit: C dT/dt = I^2 R (1 + a T) - T / R_air."""
    made = current**2 * motor.resistance
    rate = lambda rise: (made * (1 + COPPER * rise) - rise / motor.to_air) / motor.heat_capacity
    if rate(0.0) <= 0 or rate(HOT) <= 0:  # a straight line between: it settles below
        return inf
    return quad(lambda rise: 1 / rate(rise), 0.0, HOT, epsabs=0, epsrel=1e-12)[0]


# --- moves -----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Piece:
    """A stretch of the shaft's way; pull, rub and inertia are functions of the angle from the start of the move."""

    length: float  # rad
    pull: object  # N·m against the motion, signed
    rub: object  # N·m of friction
    inertia: object  # kg·m2 without the rotors

    def bend(self, q):
        """dJ/dq by a central difference."""
        return (self.inertia(q + 1e-5) - self.inertia(q - 1e-5)) / 2e-5


def steady(length, pull, rub, inertia):
    """A stretch along which nothing changes."""
    return Piece(length, lambda q: pull, lambda q: rub, lambda q: inertia)


@dataclass(frozen=True)
class Grip:
    """What the floor passes on to the wheels at most, as torque of the axle: still + grows * acceleration, either way.

    The axle gives more than the floor takes, because the wheels themselves speed up. `braking` is the most that the
    axle may brake with.
    """

    still: float = inf
    grows: float = 0.0
    wheels: float = 0.0  # kg·m2 of the wheels, which are in the inertia of the load too
    braking: float = inf

    def forwards(self, inertia, drag):
        """Acceleration at which the wheels are about to slip: J a + drag - J_wheels a = still + grows a."""
        return (self.still - drag) / (inertia - self.wheels - self.grows)

    def backwards(self, inertia, drag):
        """The same while braking, where the floor pushes back: J a + drag - J_wheels a = -(still + grows a)."""
        return -(self.still + drag) / (inertia - self.wheels + self.grows)


@dataclass
class Moved:
    """What came of a move from rest to rest."""

    time: float = inf
    motor_peak: float = 0.0  # A of all motors, either sign
    battery_peak: float = -inf  # A
    lowest: float = inf  # V
    top_speed: float = 0.0  # rad/s
    slipped: float = 0.0  # s
    drawn: list = field(default_factory=list)  # (A of the battery at even instants, s) of each stretch
    passing: list = field(default_factory=list)  # rad/s at the end of each piece that it runs through at full voltage

    def melted(self, rating=FUSE):
        """Share of the fuse used up: dt over the time that it lasts at the current, summed up in trapezoids."""
        total = 0.0
        for amps, seconds in self.drawn:
            rates = [1 / fuse_seconds(abs(one) * FUSE / rating) for one in amps]
            total += (sum(rates) - (rates[0] + rates[-1]) / 2) * seconds / (len(rates) - 1)
        return total


def _acceleration(shaft, piece, q, w, amps):
    """J a + J' w^2 / 2 + pull + rub = T; T = eta X driving, X = eta_driven T driven; X = k (I - I_0) - J_rotor a."""
    inertia, drag = piece.inertia(q), piece.pull(q) + piece.rub(q) + 0.5 * piece.bend(q) * w * w
    electric = shaft.constant * (amps - shaft.idle)
    a = (shaft.driving * electric - drag) / (inertia + shaft.driving * shaft.rotor)
    if electric - shaft.rotor * a < 0:
        a = (electric - shaft.driven * drag) / (shaft.driven * inertia + shaft.rotor)
    return a, inertia, drag


def _at_full_voltage(shaft, supply, u):
    """Current at the speed u of the rotors, and whether controllers hold it."""
    amps = (supply.volts - shaft.constant * u) / (shaft.resistance + supply.resistance)
    return min(amps, shaft.limit), amps > shaft.limit


def _going(shaft, supply, piece, grip, q, w):
    """Acceleration at full voltage; whether controllers hold the current; and by how much the wheels ask too much."""
    amps, held = _at_full_voltage(shaft, supply, w)
    a, inertia, drag = _acceleration(shaft, piece, q, w, amps)
    return a, held, (inertia - grip.wheels) * a + drag - grip.still - grip.grows * a


def _slipping(shaft, supply, piece, grip, q, w, u):
    """Accelerations of the load, which the floor pushes with all its grip, and of the rotors, which run ahead of it."""
    amps, held = _at_full_voltage(shaft, supply, u)
    inertia, drag = piece.inertia(q), piece.pull(q) + piece.rub(q) + 0.5 * piece.bend(q) * w * w
    a = grip.forwards(inertia, drag)
    return a, (shaft.constant * (amps - shaft.idle) - (inertia * a + drag) / shaft.driving) / shaft.rotor, held


def _braking(shaft, supply, piece, grip, q, w):
    """Acceleration and current while braking, eased where wheels or balance take no more."""
    amps = -min(shaft.limit, supply.reset / shaft.resistance)
    a, inertia, drag = _acceleration(shaft, piece, q, w, amps)
    gentlest = max(a, -(grip.braking + drag) / inertia, grip.backwards(inertia, drag))
    if gentlest > a:
        force = inertia * gentlest + drag
        electric = (force / shaft.driving if force > 0 else force * shaft.driven) + shaft.rotor * gentlest
        amps = electric / shaft.constant + shaft.idle
    return gentlest, amps


def _back_from_rest(shaft, supply, pieces, grip, how, kept):
    """Braking of each piece, backwards in time from rest at the end: solutions (q, w) over that time."""
    ends = np.cumsum([piece.length for piece in pieces])
    runs, state = [], [ends[-1], 0.0]
    for place in reversed(range(len(pieces))):
        piece, start = pieces[place], ends[place] - pieces[place].length

        def back(t, y, piece=piece):
            return [-y[1], -_braking(shaft, supply, piece, grip, *y)[0]]

        gone = lambda t, y, start=start: y[0] - start
        gone.terminal = True
        runs.append(solve_ivp(back, (0, 600), state, events=gone, **how))
        assert runs[-1].status == 1, "it can be braked along the whole way"
        state = [start, runs[-1].y[1, -1]]
        if place:
            state[1] /= kept[place - 1] if kept else min(1.0, _kept(shaft, pieces[place - 1], piece, start))
    return runs[::-1]


def _kept(shaft, before, after, q):
    """Share of the speed that is left when inertia is picked up.

    Of the rotors' impulse J_rotor (w - w') the gears pass on their share eta: J' w' - J w = eta J_rotor (w - w').
    """
    rotor = shaft.driving * shaft.rotor
    return (before.inertia(q) + rotor) / (after.inertia(q) + rotor)


def move(shaft, supply, pieces, grip=Grip(), how=FINE, kept=None):
    """From rest to rest as fast as can be: at full voltage until the last moment to brake; never braking too late.

    kept: share of the speed that is left after each piece, where not each of them picks up or lets go.
    """
    brakes, done = _back_from_rest(shaft, supply, pieces, grip, how, kept), Moved()
    t, end, state = 0.0, 0.0, [0.0, 0.0]  # angle and speed, and the speed of the rotors while the wheels slip
    for place, piece in enumerate(pieces):
        end += piece.length
        while state[0] < end - 1e-12:
            run, slips = _phase(shaft, supply, piece, grip, state, end, how)
            if run is None:
                return done
            meets = _crossing(run, brakes[place])
            last = run.t[-1] if meets is None else meets[0]
            _note_going(done, shaft, supply, run, last, slips)
            t, state = t + last, list(run.sol(last))
            if meets is not None:
                done.top_speed = max(done.top_speed, state[1])
                done.time = t + meets[1] + sum(brake.t[-1] for brake in brakes[place + 1 :])
                for later, brake in enumerate(brakes[place:]):
                    long = brake.t[-1] if later else meets[1]
                    _note_braking(done, shaft, supply, pieces[place + later], grip, brake, long)
                return done
            if slips and state[2] <= state[1] + 1e-12:
                state = state[:2]
            elif not slips and state[0] < end - 1e-12:
                state = [*state, state[1]]
        done.passing.append(state[1])
        share = kept[place] if kept else min(1.0, _kept(shaft, piece, pieces[place + 1], end))
        state = [end, *(speed * share for speed in state[1:])]
    return done


def _phase(shaft, supply, piece, grip, state, end, how):
    """On from a state until the piece ends, or wheels begin to slip, or grip again; and whether they slip meanwhile.

    The run is None where it stands for good.
    """
    arrives = lambda t, y: y[0] - end
    arrives.terminal = True
    a, _, too_much = _going(shaft, supply, piece, grip, *state[:2])
    if len(state) == 3 or too_much > 1e-9:
        if grip.forwards(piece.inertia(state[0]), piece.pull(state[0]) + piece.rub(state[0])) <= 0 and state[1] == 0:
            return None, True
        grips = lambda t, y: y[2] - y[1] if t > 0 else 1.0
        grips.terminal, grips.direction = True, -1
        held = lambda t, y: _slipping(shaft, supply, piece, grip, *y)[2] - 0.5
        start = state if len(state) == 3 else [*state, state[1]]
        ahead = lambda t, y: [y[1], *_slipping(shaft, supply, piece, grip, *y)[:2]]
        run = solve_ivp(ahead, (0, 600), start, events=[arrives, grips, held], **how)
        return (run if run.status == 1 else None), True
    if a <= 0 and state[1] == 0:
        return None, False
    slips = lambda t, y: _going(shaft, supply, piece, grip, *y)[2] if grip.still < inf else -1.0
    slips.terminal, slips.direction = True, 1
    held = lambda t, y: _going(shaft, supply, piece, grip, *y)[1] - 0.5
    ahead = lambda t, y: [y[1], _going(shaft, supply, piece, grip, *y)[0]]
    run = solve_ivp(ahead, (0, 600), state, events=[arrives, slips, held], **how)
    return (run if run.status == 1 else None), False


def _crossing(run, brake):
    """When a run meets the braking, and how long that takes in this piece; None where the piece ends before."""

    def to_end(q):
        if q <= brake.y[0, -1]:
            return brake.t[-1]
        if q >= brake.y[0, 0]:
            return 0.0
        return brentq(lambda back: brake.sol(back)[0] - q, 0.0, brake.t[-1], xtol=1e-14)

    over = lambda t: run.sol(t)[1] - brake.sol(to_end(run.sol(t)[0]))[1]
    if over(run.t[-1]) < 0:
        return None
    at = brentq(over, 0.0, run.t[-1], xtol=1e-14)
    return at, to_end(run.sol(at)[0])


def _note_going(done, shaft, supply, run, last, slips):
    """Peaks at full voltage, also where the limit of the current ends; and the time with slipping wheels."""
    kinks, drawn = [t for t in run.t_events[2] if t < last], []
    for t in (*np.linspace(0.0, last, SAMPLES), *kinks):
        state = run.sol(t)
        u = state[2] if slips else state[1]
        amps, held = _at_full_voltage(shaft, supply, u)
        volts, draw = supply.volts - supply.resistance * amps, amps
        if held:
            volts, draw = supply.chopped(amps * (shaft.resistance * amps + shaft.constant * u))
        _note(done, amps, volts, draw)
        drawn.append(draw)
        done.top_speed = max(done.top_speed, state[1])
    done.drawn.append((drawn[:SAMPLES], last))
    done.slipped += last if slips else 0.0


def _note_braking(done, shaft, supply, piece, grip, brake, long):
    """Peaks while braking: the controller takes a power, or gives it back."""
    drawn = []
    for back in np.linspace(0.0, long, SAMPLES):
        q, w = brake.sol(back)
        _, amps = _braking(shaft, supply, piece, grip, q, w)
        _note(done, amps, *supply.chopped(amps * (shaft.resistance * amps + shaft.constant * w)))
        drawn.append(supply.chopped(amps * (shaft.resistance * amps + shaft.constant * w))[1])
    done.drawn.append((drawn, long))


def _note(done, amps, volts, draw):
    done.motor_peak = max(done.motor_peak, abs(amps))
    done.battery_peak, done.lowest = max(done.battery_peak, draw), min(done.lowest, volts)


# --- comparing -------------------------------------------------------------------------------------------------------


def jammed(shaft, carried, count=1, supply=BATTERY):
    """Held fast, the motors give what they give standing; the gears bear `carried`."""
    torque = shaft.driving * shaft.constant  # for each ampere beyond the idle current
    return {
        "jam": torque * (supply.stall(shaft) - shaft.idle) / carried,
        "safe_current": (carried / torque + shaft.idle) / count,
    }


def agree(report, by_hand, left_out=()):
    """Each finding is as by hand: a number, or an approx of its own. Every one is there, or left out by name.

    One test of each mechanism gives what a jam does; the others leave it out without a word.
    """
    left_out = [*left_out, *({"jam", "safe_current"} & report.good.keys() - by_hand.keys())]
    assert by_hand.keys() | set(left_out) == report.good.keys() and not by_hand.keys() & set(left_out)
    for name, value in by_hand.items():
        near = approx(value, rel=EXACT) if isinstance(value, (int, float)) else value
        assert report.good[name] == near, f"{name} is {report.good[name]!r}, by hand {value!r}"


def asks(report, wanted):
    """All that is asked: name -> (sense, bound) or (sense, bound, size). A margin is the room left over that size.

    The size HELD is for what a controller holds at its bound: what meets it has all the room that is needed. COUNTED is
    for whole numbers: at the bound there is room up to nearly the next one, 0.99.
    """
    assert report.bounds.keys() == report.good_margin.keys() == wanted.keys()
    for name, (sense, bound, *size) in wanted.items():
        room = report.good[name] - bound if sense == "at least" else bound - report.good[name]
        assert report.bounds[name] == approx(bound, rel=EXACT), name
        if size == [HELD]:
            assert room >= -1e-6 * bound and report.good_margin[name] == 1.0, name
        elif size == [COUNTED]:
            assert room >= 0 and report.good_margin[name] == approx((room + 0.99) / bound, rel=EXACT), name
        else:
            assert report.good_margin[name] == approx(room / (size[0] if size else bound), rel=EXACT), name

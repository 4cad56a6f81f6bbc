"""A second, independent solver for tests: adaptive steps of scipy, stopped where things change; energy by quadrature.

It shares no line with mechbench.physics._march: whether the motor drives or the load is tried out, the battery voltage
is a root search on Kirchhoff's law, wheels that slip and their rotor are two bodies, and the braking point comes from a
braking curve that scipy integrates on its own. It is slow, and that is its use.
"""

from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

NEAR = 1e-9  # of a piece's length: just behind its start, just before its end


def straight(first, last, start, end):
    """A straight line over position from one value to another, as a plain function."""
    slope = (last - first) / (end - start)
    return lambda q: first + slope * (q - start)


def flat(value):
    """The same value everywhere."""
    return lambda q: value


@dataclass
class Piece:
    """A part of the travel on which the load changes smoothly: functions of position. At its start loads may jump."""

    start: float
    end: float
    load_torque: object
    friction_torque: object
    inertia: object
    inertia_slope: object = field(default_factory=lambda: flat(0.0))
    torque_limit: object = field(default_factory=lambda: flat(np.inf))
    limit_slope: object = field(default_factory=lambda: flat(0.0))
    braking_limit: object = field(default_factory=lambda: flat(np.inf))
    inertia_before: float | None = None  # that counts at its start, where it is another than that of the piece before

    def jump(self, before):
        """Inertia before and after its start."""
        came = before.inertia(self.start) if self.inertia_before is None else self.inertia_before
        return came, self.inertia(self.start)

    def drag(self, q, w):
        """Torque that the load asks without any acceleration."""
        return self.load_torque(q) + self.friction_torque(q) + 0.5 * self.inertia_slope(q) * w * w


class Drive:
    """One motor group with its gears, and the pieces of its travel."""

    def __init__(self, line, pieces):
        names = "resistance", "torque_constant", "free_current", "rotor_inertia", "efficiency", "efficiency_driven"
        self.r, self.k, self.i0, self.jr, self.eta, self.eta_driven = (float(getattr(line, name)) for name in names)
        self.limit, self.pieces = float(line.current_limit), pieces

    def acceleration(self, inertia, drag, amps):
        """With wheels that grip: tried with the motor driving, then with the load driving."""
        electric = self.k * (amps - self.i0)
        a = (self.eta * electric - drag) / (inertia + self.eta * self.jr)
        if electric - self.jr * a >= 0:
            return a
        return (electric - self.eta_driven * drag) / (self.jr + self.eta_driven * inertia)

    def brake(self, piece, q, w, amps):
        """Acceleration and current of a brake with so much current, or eased off to what the wheels may take."""
        inertia, drag = piece.inertia(q), piece.drag(q, w)
        a = self.acceleration(inertia, drag, -amps)
        limit, slope, most = piece.torque_limit(q), piece.limit_slope(q), piece.braking_limit(q)
        if -(inertia * a + drag) <= min(limit + slope * a, most):
            return a, -amps
        by_grip = -(limit + drag) / (inertia + slope) if inertia + slope > 0 else -np.inf
        a = max(by_grip, -(most + drag) / inertia)
        torque = inertia * a + drag
        inner = (torque / self.eta if torque >= 0 else torque * self.eta_driven) + self.jr * a
        return a, inner / self.k + self.i0

    def braking_curves(self, amps):
        """Speed squared over position from which braking ends at rest at the end, a function for each piece.

        And the place from which even a drive at rest could not be stopped; None where it always can.
        """
        curves, lost, y = [], None, 0.0
        for place, piece in reversed(list(enumerate(self.pieces))):
            rhs = lambda q, y, piece=piece: [2 * self.brake(piece, q, np.sqrt(max(y[0], 0.0)), amps)[0]]
            at_rest = lambda q, y: y[0] + 1e-9
            at_rest.terminal, at_rest.direction = True, -1
            way = piece.end, piece.start
            found = solve_ivp(rhs, way, [y], rtol=1e-9, atol=1e-12, dense_output=True, events=at_rest)
            if rhs(piece.end, [y])[0] > 0 and y == 0.0 or found.t_events[0].size:
                return curves, piece.end if not found.t_events[0].size else found.t[-1]
            curves.insert(0, lambda q, sol=found.sol: float(sol(q)[0]))
            y = found.y[0, -1]
            if place:
                before, after = piece.jump(self.pieces[place - 1])
                y *= max((after + self.eta * self.jr) / (before + self.eta * self.jr), 1.0) ** 2
        return curves, lost


class Creeps(RuntimeError):
    """A move so near to a stall that the last digits of its load decide how long it takes."""


class Run:
    """All drives from rest to rest (or past their end) on one battery."""

    def __init__(self, drives, volts, resistance, reset, end="rest", brake=1.0, tight=1e-8):
        self.drives, self.volts, self.resistance, self.reset, self.tight = drives, volts, resistance, reset, tight
        self.n = len(drives)
        power = reset * (volts - reset) / max(resistance, 1e-12)  # that a battery at its reset level has
        self.most = [brake * min(d.limit, reset / d.r, np.sqrt(power / d.r)) for d in drives]
        self.short, self.room = [False] * self.n, [np.inf] * self.n
        self.stops = end == "rest"
        plans = [d.braking_curves(b) if self.stops else ([], None) for d, b in zip(drives, self.most)]
        self.curves = [curves for curves, _ in plans]
        self.lost = [lost for _, lost in plans]
        self.mode = ["go" if lost is None else "limited" for lost in self.lost]
        self.slips, self.rests, self.place = [False] * self.n, [False] * self.n, [0] * self.n
        self.guess = volts
        # q, w, u, heat of each drive, then energy of all
        self.t, self.y = 0.0, np.zeros(4 * self.n + 1)
        self.y[: self.n] = [d.pieces[0].start for d in drives]
        self.arrived, self.slip_time = [np.inf] * self.n, [0.0] * self.n
        self.peak, self.bus, self.low = [0.0] * self.n, 0.0, volts
        self.low_time, self.low_from, self.end_speed = 0.0, np.inf, [0.0] * self.n

    # --- what holds at one moment

    def piece(self, i):
        return self.drives[i].pieces[self.place[i]]

    def currents(self, y, v):
        """Current of each motor and what it takes from the battery at this voltage."""
        for i, d in enumerate(self.drives):
            u = y[2 * self.n + i]
            if self.mode[i] in ("done", "limited"):
                yield 0.0, 0.0
            elif self.mode[i] == "brake":
                _, amps = d.brake(self.piece(i), y[i], y[self.n + i], self.most[i])
                all_it_has = (v + d.k * u) / d.r  # the motor reversed at full voltage
                yield (-all_it_has, all_it_has) if -amps > all_it_has else (amps, amps * (d.r * amps + d.k * u) / v)
            else:
                amps = (v - d.k * u) / d.r
                yield (d.limit, d.limit * (d.r * d.limit + d.k * u) / v) if amps > d.limit else (amps, amps)

    def kirchhoff(self, y):
        """Voltage of the battery, the highest that fits; then currents and draws."""
        gap = lambda v: self.volts - self.resistance * sum(draw for _, draw in self.currents(y, v)) - v
        high, low = self.guess * 1.001, self.guess * 0.999
        if "brake" in self.mode:  # a chopper fits two voltages, so the search comes from above
            high, low = 1.05 * self.volts, 1.05 * self.volts
        while gap(high) > 0:
            high *= 1.02
        while gap(low) < 0:
            high, low = low, low * 0.98
            assert low > 1e-3, "more power is asked than the battery has"
        self.guess = brentq(gap, low, high, xtol=1e-13)
        return self.guess, list(self.currents(y, self.guess))

    def moves(self, i, y, amps):
        """Accelerations of load and rotor, and what the wheels would have to pass on beyond their grip."""
        d, piece, q, w = self.drives[i], self.piece(i), y[i], y[self.n + i]
        inertia, drag, limit, slope = piece.inertia(q), piece.drag(q, w), piece.torque_limit(q), piece.limit_slope(q)
        if self.mode[i] == "brake":
            a, asked = d.brake(piece, q, w, self.most[i])
            a = a if amps <= asked else d.acceleration(inertia, drag, amps)
            return a, a, -1.0
        if not self.slips[i]:
            a = d.acceleration(inertia, drag, amps)
            return a, a, inertia * a + drag - limit - slope * a
        a = (limit - drag) / (inertia - slope)
        torque = limit + slope * a
        if torque < 0:
            a, torque = -drag / inertia, 0.0
        return a, (d.k * (amps - d.i0) - torque / d.eta) / d.jr, -1.0

    def rhs(self, t, y):
        n = self.n
        v, flows = self.kirchhoff(y)
        out = np.zeros_like(y)
        for i, (amps, _) in enumerate(flows):
            if self.mode[i] in ("done", "limited"):
                continue
            a, b, _ = self.moves(i, y, amps)
            resting = self.rests[i] or (y[n + i] <= 0 and a < 0)
            out[i], out[n + i] = max(y[n + i], 0.0), 0.0 if resting else a
            out[2 * n + i] = b if self.slips[i] else out[n + i]
            out[3 * n + i] = self.drives[i].r * amps**2
        out[4 * n] = v * sum(draw for _, draw in flows)
        return out

    # --- from one change to the next

    def event(self, i, what):
        n = self.n

        def value(t, y):
            if what == "piece":
                return y[i] - self.piece(i).end
            if what == "brake":
                return max(y[n + i], 0.0) ** 2 - self.curves[i][self.place[i]](y[i])
            if what == "stop":
                return y[n + i]
            if what == "grip":
                return y[2 * n + i] - y[n + i] + 1e-9  # above 0 where it has just begun to slip
            _, flows = self.kirchhoff(y)
            a, _, beyond = self.moves(i, y, flows[i][0])
            return a if what == "start" else beyond

        value.terminal, value.direction, value.what = True, -1 if what in ("stop", "grip") else 1, (i, what)
        return value

    def events(self):
        for i in range(self.n):
            if self.mode[i] in ("done", "limited"):
                continue
            yield from (self.event(i, what) for what in ("piece", "start" if self.rests[i] else "stop"))
            if self.mode[i] == "go":
                if self.stops and not self.rests[i]:
                    yield self.event(i, "brake")
                if self.slips[i]:
                    yield self.event(i, "grip")
                elif np.isfinite(self.piece(i).torque_limit(self.y[i])):
                    yield self.event(i, "slip")

    def settle(self):
        """At a moment: wheels that can't grip slip, rows that can't move rest."""
        for _ in range(3 * self.n):
            _, flows = self.kirchhoff(self.y)
            for i, (amps, _) in enumerate(flows):
                if self.mode[i] != "go":
                    continue
                a, _, beyond = self.moves(i, self.y, amps)
                if beyond > 1e-7 * (1 + abs(self.piece(i).torque_limit(self.y[i]))):  # surely, not by the last digits
                    self.slips[i] = True
                a, _, _ = self.moves(i, self.y, amps)
                self.rests[i] = self.y[self.n + i] <= 0 and a < -1e-7
        self.see(self.y)

    def see(self, y):
        v, flows = self.kirchhoff(y)
        if all(mode in ("done", "limited") for mode in self.mode):
            return
        self.bus, self.low = max(self.bus, sum(draw for _, draw in flows)), min(self.low, v)
        self.peak = [max(p, abs(amps)) for p, (amps, _) in zip(self.peak, flows)]
        for i, (amps, _) in enumerate(flows):
            if self.mode[i] == "brake":
                asked = self.drives[i].brake(self.piece(i), y[i], y[self.n + i], self.most[i])[1]
                self.short[i] |= amps > asked + 1e-9
                if asked < 0:  # how much of it the motor, reversed at full voltage, would take
                    most = (v + self.drives[i].k * y[2 * self.n + i]) / self.drives[i].r
                    self.room[i] = min(self.room[i], -most / asked)

    def settled(self):
        """Nothing more will happen."""
        return all(self.mode[i] in ("done", "limited") or self.rests[i] for i in range(self.n))

    def go(self):
        for i in range(self.n):
            if self.mode[i] == "go" and self.stops and self.curves[i][0](self.y[i]) <= 0:
                self.mode[i] = "limited"
        self.settle()
        for _ in range(400):
            if self.settled():
                return self.found()
            below = lambda t, y: self.kirchhoff(y)[0] - self.reset
            below.what = (None, "low")
            events = [*self.events(), below]
            part = solve_ivp(
                self.rhs, (self.t, self.t + 60), self.y, events=events, rtol=self.tight, atol=1e-11, max_step=0.05
            )
            if part.status != 1:
                if not any(self.short):
                    raise Creeps("nothing happened for a minute")
                return self.found()
            for y in part.y.T:
                self.see(y)
            self.below_reset(part)
            for i in range(self.n):
                self.slip_time[i] += (part.t[-1] - self.t) * (self.slips[i] and not self.rests[i])
            self.t, self.y = part.t[-1], part.y[:, -1].copy()
            for one, when in zip(events, part.t_events):
                if one.terminal if hasattr(one, "terminal") else False:
                    if when.size and when[-1] == self.t:
                        self.happens(*one.what)
            self.settle()
        raise AssertionError("no end")

    def below_reset(self, part):
        """Time with the battery below its reset level."""
        times = np.r_[part.t[0], part.t_events[-1], part.t[-1]]
        for a, b in pairwise(times):
            middle = np.array([np.interp(0.5 * (a + b), part.t, row) for row in part.y])
            if b - a > 1e-12 and self.kirchhoff(middle)[0] < self.reset:
                self.low_time, self.low_from = self.low_time + b - a, min(self.low_from, a)

    def happens(self, i, what):
        n, d = self.n, self.drives[i]
        w = self.y[n + i]
        if what == "slip":
            self.slips[i] = True
        elif what == "grip":
            self.slips[i], self.y[2 * n + i] = False, w
        elif what == "start":
            self.rests[i] = False
        elif what == "brake":
            self.mode[i], self.slips[i], self.y[2 * n + i] = "brake", False, w
        elif what == "stop":
            self.y[n + i] = 0.0
            if not self.slips[i]:
                self.y[2 * n + i] = 0.0
            if self.mode[i] == "brake":
                self.arrive(i)
        elif self.place[i] == len(d.pieces) - 1:
            self.arrive(i)
        else:
            before, after = d.pieces[self.place[i] + 1].jump(d.pieces[self.place[i]])
            rotor = 0.0 if self.slips[i] else d.eta * d.jr  # what the gears pass on of its impulse
            self.y[n + i] *= min((before + rotor) / (after + rotor), 1.0)
            if not self.slips[i]:
                self.y[2 * n + i] = self.y[n + i]
            self.place[i] += 1

    def arrive(self, i):
        self.mode[i], self.arrived[i], self.slips[i] = "done", self.t, False
        self.end_speed[i], self.y[self.n + i], self.y[2 * self.n + i] = self.y[self.n + i], 0.0, 0.0

    def found(self):
        n = self.n
        stuck = ["slipped" if slips else "stalled" for slips in self.slips]
        names = {"done": "arrived", "limited": "limited"}
        return {
            "time": [np.inf if short else t for t, short in zip(self.arrived, self.short)],
            "why": ["limited" if self.short[i] else names.get(mode, stuck[i]) for i, mode in enumerate(self.mode)],
            "room": self.room,
            "where": self.y[:n],
            "peak": self.bus,
            "peak_current": self.peak,
            "low": self.low,
            "low_time": self.low_time,
            "low_from": self.low_from,
            "heat": self.y[3 * n : 4 * n],
            "energy": self.y[4 * n],
            "slip_time": self.slip_time,
            "end_speed": self.end_speed,
        }


def run(drives, volts, resistance, reset, **how):
    """Move all drives; give what was found."""
    return Run(drives, volts, resistance, reset, **how).go()

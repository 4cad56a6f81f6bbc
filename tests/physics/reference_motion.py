"""A second, independent solver for tests: adaptive steps, root finding instead of closed forms, energy by quadrature.

It shares no line with mechbench.physics._march: the acceleration is found by a bracketing root search on the residual
of the torque chain, the battery voltage by a root search on Kirchhoff's law, the braking point from a braking curve
that scipy integrates on its own. It is slow, and that is its use.
"""

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq


class Drive:
    """One motor group with gears and a load given by plain functions of position."""

    def __init__(
        self,
        r,
        k,
        i0,
        jr,
        eta,
        eta_driven,
        limit,
        inertia,
        inertia_slope,
        load_torque,
        friction_torque,
        end,
        torque_limit=None,
        limit_slope=0.0,
        jumps=(),
    ):
        self.r, self.k, self.i0, self.jr, self.eta, self.eta_driven, self.limit = r, k, i0, jr, eta, eta_driven, limit
        self.inertia, self.inertia_slope, self.load_torque, self.friction_torque, self.end = (
            inertia,
            inertia_slope,
            load_torque,
            friction_torque,
            end,
        )
        self.torque_limit, self.limit_slope, self.jumps = torque_limit, limit_slope, list(jumps)

    def asked(self, q, w, a):
        """Torque that the load asks on the output shaft."""
        return self.inertia(q) * a + 0.5 * self.inertia_slope(q) * w * w + self.load_torque(q) + self.friction_torque(q)

    def acceleration(self, q, w, electric):
        """Root of: what the gears pass on minus what the load asks, when the motors make `electric` (lossless)."""

        def residual(a):
            inner = electric - self.jr * a
            out = self.asked(q, w, a)
            if inner >= 0:
                return self.eta * inner - out
            return inner - self.eta_driven * out

        return brentq(residual, -1e5, 1e5, xtol=1e-13)

    def step(self, q, w, amps):
        """Acceleration, whether the wheels slip, and the rotor's electric torque."""
        a = self.acceleration(q, w, self.k * (amps - self.i0))
        if self.torque_limit is None or abs(self.asked(q, w, a)) <= self.torque_limit + self.limit_slope * a:
            return a, False
        sign = 1.0 if self.asked(q, w, a) > 0 else -1.0
        return (
            brentq(lambda b: self.asked(q, w, b) - sign * (self.torque_limit + self.limit_slope * b), -1e4, 1e4),
            True,
        )

    def slip_current(self, a):
        """Current that keeps slipping wheels turning steadily."""
        return (self.torque_limit + self.limit_slope * a) / (self.eta * self.k) + self.i0

    def braking_curve(self, amps):
        """Speed squared over position from which braking ends at rest at the end; integrated backwards by scipy."""

        def rhs(q, y):
            a, _ = self.step(q, np.sqrt(max(y[0], 0.0)), -amps)
            return [2 * a]

        knots = [self.end, *sorted((j[0] for j in self.jumps), reverse=True), 0.0]
        pieces, y = [], 0.0
        for hi, lo in zip(knots, knots[1:]):
            sol = solve_ivp(rhs, (hi - 1e-12, lo + 1e-12), [y], rtol=1e-10, atol=1e-12, dense_output=True)
            pieces.append((lo, hi, sol.sol))
            y = sol.y[0, -1]
            for place, before, after in self.jumps:
                if place == lo:
                    y *= ((after + self.jr) / (before + self.jr)) ** 2
        return lambda q: next(
            float(f(min(max(q, lo + 1e-12), hi - 1e-12))[0]) for lo, hi, f in pieces if q >= lo - 1e-9
        )


def run(drives, volts, resistance, reset):
    """All drives from rest to rest on one battery. Gives arrival times, peak total current, least voltage, energies."""
    n = len(drives)
    brake = [min(d.limit, reset / d.r) for d in drives]
    curves = [d.braking_curve(b) for d, b in zip(drives, brake)]
    mode = ["go"] * n

    def circuit(state):
        """Battery voltage, battery and motor currents, slips and accelerations.

        Wheels grip as long as a gripping state exists: the currents are first solved with all wheels gripping, and only
        those that can't grip then are let slip.
        """
        q, w = state[:n], state[n : 2 * n]

        def one(i, v, slipping):
            d = drives[i]
            if mode[i] == "done":
                return 0.0, 0.0, False, 0.0
            if mode[i] == "brake":
                amp = -brake[i]
                a, slip = d.step(q[i], w[i], amp)
                if slip:  # the controller eases off to what the wheels can hold
                    out = d.asked(q[i], w[i], a)
                    amp = ((out / d.eta if out >= 0 else out * d.eta_driven) + d.jr * a) / d.k + d.i0
                return amp * (d.r * amp + d.k * w[i]) / v, amp, slip, a
            amp = (v - d.k * w[i]) / d.r
            capped = amp > d.limit
            amp = min(amp, d.limit)
            bus = amp * (d.r * amp + d.k * w[i]) / v if capped else amp
            a, slip = d.step(q[i], w[i], amp)
            if slipping:
                amp = d.slip_current(a)
                return amp, amp, True, a
            return bus, amp, slip, a

        slipping = [False] * n
        while True:
            v = brentq(
                lambda v: volts - resistance * sum(one(i, v, slipping[i])[0] for i in range(n)) - v,
                2.0,
                volts + 8.0,
                xtol=1e-12,
            )
            found = [one(i, v, slipping[i]) for i in range(n)]
            now = [slipping[i] or (mode[i] == "go" and found[i][2]) for i in range(n)]
            if now == slipping:
                return (v, *map(list, zip(*found)))
            slipping = now

    def rhs(t, state):
        v, draw, amps, slips, acc = circuit(state)
        w = state[n : 2 * n]
        acc = [0.0 if (mode[i] == "done" or (w[i] <= 0 and acc[i] < 0)) else acc[i] for i in range(n)]
        heat = [drives[i].r * amps[i] ** 2 for i in range(n)]
        return np.concatenate([w, acc, heat, [v * sum(draw)]])

    state, t, arrived = np.zeros(3 * n + 1), 0.0, [np.inf] * n
    peak, low, slipped = 0.0, volts, [0.0] * n
    pending = [list(d.jumps) for d in drives]
    while any(m != "done" for m in mode):
        events, owners = [], []
        for i in range(len(drives)):
            if mode[i] == "go":
                events.append(lambda t, y, i=i: y[n + i] ** 2 - curves[i](y[i]) if y[i] > 0 else -1.0)
                owners.append((i, "brake"))
            if mode[i] == "brake":
                events.append(lambda t, y, i=i: y[n + i] - 1e-7)
                owners.append((i, "done"))
            if pending[i]:
                events.append(lambda t, y, i=i: y[i] - pending[i][0][0])
                owners.append((i, "jump"))
        for e, (_, what) in zip(events, owners):
            e.terminal, e.direction = True, -1 if what == "done" else 1
        sol = solve_ivp(rhs, (t, t + 10), state, events=events, rtol=1e-8, atol=1e-10, max_step=0.02)
        for y in sol.y.T:
            v, draw, amps, slips, _ = circuit(y)
            peak, low = max(peak, sum(draw)), min(low, v)
        for a, b, y in zip(sol.t, sol.t[1:], sol.y.T):
            for i, s in enumerate(circuit(y)[3]):
                slipped[i] += (b - a) * (s and mode[i] == "go")
        state, t = sol.y[:, -1].copy(), sol.t[-1]
        i, what = next(o for o, te in zip(owners, sol.t_events) if te.size)
        if what == "jump":
            _, before, after = pending[i].pop(0)
            state[n + i] *= (before + drives[i].jr) / (after + drives[i].jr)
            state[i] += 1e-12
        elif what == "done":
            mode[i], arrived[i], state[n + i] = "done", t, 0.0
        else:
            mode[i] = "brake"
    return {
        "time": arrived,
        "peak": peak,
        "low": low,
        "heat": state[2 * n : 3 * n],
        "energy": state[3 * n],
        "q": state[:n],
        "slip_time": slipped,
    }

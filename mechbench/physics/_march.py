"""The solver behind motion.move. motion.py says what it solves.

Rows are pairs (case, drive), so R = S D. Each row walks along its own table of positions, segment by segment. Within a
step the load is frozen at the middle of the step and the drive is a straight line of torque over speed, so speed and
travel are exact exponentials of time. What changes abruptly ends a step:

    the next point of the table, the braking curve, standing still.

With one drive a step runs from event to event. With several, a step of a case runs to the nearest event of any of
them, and is taken twice: first to predict the middle of the step, then with loads and battery voltage taken there.

Changing inertia: within a step the inertia is frozen, and between steps the energy of motion is kept
(w -> w sqrt(A_before / A_after)), which is the exact solution of A w' + 1/2 A' w^2 = 0.
"""

from types import SimpleNamespace

import numpy as np

GO, BRAKE, DONE = 0, 1, 2
Q, PULL, RUB, INERTIA, CAP, SLOPE, BRAKE_CAP = range(7)
LOAD_NAMES = ("q", "pull", "rub", "inertia", "cap", "cap_slope", "brake_cap")
LINE_NAMES = ("resistance", "torque_constant", "idle_current", "rotor_inertia", "efficiency", "efficiency_driven", "current_limit")
BIG = 1e30  # stands for "no limit" inside, so that straight lines between points stay finite
NEWTON = 8


def travel(w0, a0, rate, t):
    """Distance and speed after t, where w' = a0 - rate (w - w0)."""
    z = np.maximum(rate * t, 1e-6)  # below this the exponential is a parabola to 2e-7
    h1 = -np.expm1(-z) / z
    return w0 * t + a0 * t * t * (1.0 - h1) / z, w0 + a0 * t * h1


def time_to_stop(w0, a0, rate):
    """Time until the speed is 0; inf where it never is."""
    slowing = a0 < 0
    fall = rate * w0 / np.where(slowing, a0, -1.0)  # -1 where the steady speed is exactly 0
    with np.errstate(divide="ignore", invalid="ignore"):
        curved = -np.log1p(np.maximum(fall, -1.0)) / rate
    straight = -w0 / np.where(slowing, a0, -1.0)
    return np.where(slowing & (fall > -1), np.where(fall < -1e-6, curved, straight), np.inf)


def time_to(distance, w0, a0, rate):
    """Time to cover a distance; inf where the speed falls to 0 before."""
    b = 0.5 * rate * distance
    w1 = np.sqrt(np.maximum(b * b + w0 * w0 + 2 * (a0 * distance), 0.0)) - b
    mean = 0.5 * (w0 + np.maximum(w1, 0.0))
    moving = (w0 > 0) | (a0 > 0)
    t = np.where(moving, distance / np.maximum(mean, 1e-12), 0.0)
    stop = np.inf
    if (a0 < 0).any():
        stop = time_to_stop(w0, a0, rate)
        ends = np.isfinite(stop)
        furthest = np.where(ends, travel(w0, a0, rate, np.where(ends, stop, 0.0))[0], np.inf)
        moving &= furthest >= distance
        t = np.minimum(t, stop)
    for _ in range(NEWTON):
        s, w = travel(w0, a0, rate, t)
        change = (s - distance) / np.maximum(w, 1e-9)
        t = np.minimum(np.maximum(t - change, 0.0), stop)
        if (np.abs(change) <= 1e-13 + 1e-10 * t).all():
            break
    return np.where(moving, t, np.inf)


def mean_square(w0, w1, wm, a0, rate, distance, t):
    """Integral of w^2 over a step: exactly from the energy of the step, by Simpson where the decay is small."""
    simpson = t / 6 * (w0 * w0 + 4 * wm * wm + w1 * w1)
    steep = rate * t > 0.3
    exact = ((a0 + rate * w0) * distance - 0.5 * (w1 * w1 - w0 * w0)) / np.where(steep, rate, 1.0)
    return np.where(steep, exact, simpson)


def finer_ends(table):
    """Split the first and the last segment, where speed grows like a root of the distance; also which points to keep."""
    first, last = table[:, :, :1], table[:, :, -1:]
    starts = [first + part * (table[:, :, 1:2] - first) for part in (1 / 64, 1 / 16, 1 / 4)]
    ends = [last + part * (table[:, :, -2:-1] - last) for part in (1 / 4, 1 / 16, 1 / 64)]
    inner = table[:, :, 1:-1]
    fine = np.concatenate([first, *starts, inner, *ends, last], axis=2)
    return fine, np.r_[0, 4 : 4 + inner.shape[2], fine.shape[2] - 1]


class March:
    """One run: tables, state and sums of all rows."""

    def __init__(self, lines, loads, bus, end, brake, after):
        self.D, self.hold = len(lines), after == "hold"
        self.lay_out(lines, loads, bus)
        reset = self.per_row([bus.reset_level] * self.D)
        self.brake_amps_most = brake * np.minimum(self.limit, reset / self.r)
        self.plan_braking(end)
        self.start()

    # ---- tables ---------------------------------------------------------------------------------------------------

    def lay_out(self, lines, loads, bus):
        """Lay lines [R], loads [7,R,N] and battery [R] out in rows."""
        self.N, self.S = _points(loads), _cases(lines, loads, bus)
        self.R = self.S * self.D
        self.case, self.rows = np.repeat(np.arange(self.S), self.D), np.arange(self.R)
        constants = [self.per_row([getattr(line, name) for line in lines]) for name in LINE_NAMES]
        self.r, self.k, self.i0, self.jr, self.ef, self.eb, self.limit = constants
        self.volts_open = self.per_row([bus.open_circuit] * self.D)
        self.rb = self.per_row([bus.resistance] * self.D)
        wide = (self.S, self.N)
        stack = [[np.broadcast_to(np.asarray(getattr(load, n), dtype=float), wide) for load in loads] for n in LOAD_NAMES]
        table = np.minimum(np.array(stack).transpose(0, 2, 1, 3).reshape(7, self.R, self.N), BIG)
        self.table, self.kept = finer_ends(table)
        self.N = self.table.shape[2]
        self.step = np.diff(self.table, axis=2)
        self.grips = bool((self.table[CAP] < BIG).any())

    def per_row(self, parts):
        """One value a drive (numbers or [S]) as one value a row [R]."""
        columns = [np.broadcast_to(np.asarray(p, dtype=float), (self.S,)) for p in parts]
        return np.stack(columns, axis=1).reshape(self.S * self.D)

    def view(self):
        """Look up each row's present segment: left values and rises [7,R], its length, dJ/dq."""
        self.left, self.rise = self.table[:, self.rows, self.seg], self.step[:, self.rows, self.seg]
        self.gap = np.where(self.rise[Q] > 0, self.rise[Q], 1.0)
        self.bend = 0.5 * self.rise[INERTIA] / self.gap
        self.low, self.high = self.brake_square[self.rows, self.seg], self.brake_square[self.rows, self.seg + 1]
        self.brake_amps = self.brake_plan[self.rows, self.seg]

    # ---- braking, planned backwards from rest ---------------------------------------------------------------------

    def plan_braking(self, end):
        """Square of the speed from which the end can be reached at rest [R,N], and the braking current [R,N-1].

        A square below 0 marks a point from which the move can no longer be stopped.
        """
        self.brake_square = np.full((self.R, self.N), np.inf)
        self.brake_plan = np.repeat(-self.brake_amps_most[:, None], self.N - 1, axis=1)
        self.runaway = np.full(self.R, -1)
        if end == "pass":
            return
        square = np.zeros(self.R)
        self.brake_square[:, -1] = 0.0
        for n in range(self.N - 2, -1, -1):
            square = self.braking_before(n, square)
            self.runaway[(square < 0) & (self.runaway < 0)] = n
            self.brake_square[:, n] = square

    def braking_before(self, n, square):
        """Speed squared at point n from that at point n + 1, under braking."""
        left, rise = self.table[:, :, n], self.step[:, :, n]
        gap = rise[Q]
        bend = 0.5 * rise[INERTIA] / np.where(gap > 0, gap, 1.0) * np.maximum(square, 0.0)
        a, base, share, self.brake_plan[:, n] = self.braking(left + 0.5 * rise, bend)
        before, middle, after = (base + share * (left[INERTIA] + part * rise[INERTIA]) for part in (0.0, 0.5, 1.0))
        here = (square * after / middle - 2 * a * gap) * middle / before
        jump = np.maximum(1 + rise[INERTIA] / (left[INERTIA] + self.jr), 1.0)
        return np.where(gap > 0, here, square * jump**2)

    def braking(self, load, bend):
        """Acceleration (below 0) under braking, the inertia that counts (base + share J), and the current used.

        The controller eases off where the wheels, or a limit set on braking, can take no more.
        """
        inertia, drag = load[INERTIA], load[PULL] + load[RUB]
        inner = -self.k * (self.brake_amps_most + self.i0)
        driving = inner * inertia + self.jr * (drag + bend) >= 0
        gain, back = np.where(driving, self.ef, 1.0), np.where(driving, 1.0, self.eb)
        base = np.where(driving, self.ef, 1.0) * self.jr
        a = (gain * inner - back * drag) / (base + back * inertia)
        amps = -self.brake_amps_most
        grip = np.minimum(load[CAP] + load[SLOPE] * a, load[BRAKE_CAP])
        eased = -(inertia * a + drag + bend) > grip
        if not eased.any():
            return a, base, back, amps
        slope = np.where(load[BRAKE_CAP] < load[CAP] + load[SLOPE] * a, 0.0, load[SLOPE])
        a_held = -(np.minimum(load[BRAKE_CAP], load[CAP]) + drag) / (inertia + slope)
        force = inertia * a_held + drag
        amps_held = (np.where(force >= 0, force / self.ef, force * self.eb) + self.jr * a_held) / self.k + self.i0
        a, base, back = np.where(eased, a_held, a), np.where(eased, slope, base), np.where(eased, 1.0, back)
        return a, base, back, np.where(eased, amps_held, amps)

    # ---- state ----------------------------------------------------------------------------------------------------

    def start(self):
        """Everything at rest at the first point."""
        self.seg, self.x, self.w = np.zeros(self.R, dtype=int), np.zeros(self.R), np.zeros(self.R)
        self.w_before, self.t = np.zeros(self.R), np.zeros(self.R)
        self.mode = np.where(self.runaway >= 0, DONE, GO)
        self.volts, self.amps = self.volts_open, np.zeros(self.R)
        fills = (("t", np.inf), ("speed", 0.0), ("current", 0.0), ("volts", 0.0))
        self.out = {name: np.full((self.R, self.N), fill) for name, fill in fills}
        names = ("heat", "energy", "idle", "mesh", "slip", "rotor", "load", "pull", "rub", "impact", "slip_time")
        self.sums = {name: np.zeros(self.R) for name in names}
        self.peak, self.slip_peak, self.slipping = np.zeros(self.R), np.zeros(self.R), np.zeros(self.R, dtype=bool)
        self.bus_peak, self.volts_low = np.zeros(self.R), np.array(self.volts_open)

    def over_jumps(self):
        """Step over repeated points: pick parts up (momentum kept) or let them go (speed kept)."""
        while True:
            repeated = self.step[Q, self.rows, self.seg] == 0
            rows = np.nonzero(repeated & (self.x == 0.0) & (self.mode != DONE))[0]
            if rows.size == 0:
                return
            before, after = (self.table[INERTIA, rows, self.seg[rows] + n] for n in (0, 1))
            w = self.w[rows] * np.minimum((before + self.jr[rows]) / (after + self.jr[rows]), 1.0)
            rotor = 0.5 * self.jr[rows] * (w**2 - self.w[rows] ** 2)
            moved = 0.5 * (after * w**2 - before * self.w[rows] ** 2)
            for name, value in (("rotor", rotor), ("load", moved), ("impact", -rotor - moved)):
                self.sums[name][rows] += value
            self.w[rows] = w
            self.reach(rows)

    def reach(self, rows):
        """Rows come to the next point of their table; on the last one they are done."""
        self.seg[rows] += 1
        self.x[rows] = 0.0
        self.record(rows)
        ended = rows[self.seg[rows] >= self.N - 1]
        self.mode[ended] = DONE
        self.seg[ended], self.x[ended] = self.N - 2, 1.0

    def record(self, rows):
        """Write down what is known where rows stand on a point of their table."""
        for name, value in (("t", self.t), ("speed", self.w), ("current", self.amps), ("volts", self.volts)):
            self.out[name][rows, self.seg[rows]] = value[rows]

    # ---- electricity ----------------------------------------------------------------------------------------------

    def total(self, values):
        """Sum over the drives of each case, given back to every row."""
        return values.reshape(self.S, self.D).sum(axis=1)[self.case] if self.D > 1 else values

    def fixed_amps(self):
        """Current of rows that do not run at full voltage: braking, holding or at rest; the limit of the others."""
        amps = np.where(self.mode == BRAKE, self.brake_amps, np.minimum(self.limit, BIG))
        rests = self.mode == DONE
        if not rests.any():
            return amps
        pull = np.maximum(self.left[PULL] + self.rise[PULL] * self.x, 0.0)
        held = np.maximum(self.eb * pull / self.k - self.i0, 0.0) if self.hold else 0.0
        return np.where(rests, np.where(self.runaway < 0, held, 0.0), amps)

    def battery(self, w, slip_amps):
        """Voltage, motor current and battery current of every row at speeds w; slip_amps is nan without slip."""
        capped, slips = self.fixed_amps(), ~np.isnan(slip_amps)
        power = capped * (self.r * capped + self.k * w)
        chopped = self.mode != GO  # a chopping controller draws power; a full-on one draws along its line
        for _ in range(self.D + 1):
            line = ~chopped & ~slips
            a = 1 + self.rb * self.total(np.where(line, 1 / self.r, 0.0))
            emf = np.where(line, self.k * w / self.r, 0.0) - np.where(slips, np.nan_to_num(slip_amps), 0.0)
            b = self.volts_open + self.rb * self.total(emf)
            c = self.rb * self.total(np.where(chopped & ~slips, power, 0.0))
            # below 0 more power is asked than the battery has: the voltage of most power is the best there is
            volts = (b + np.sqrt(np.maximum(b * b - 4 * a * c, 0.0))) / (2 * a)
            now = chopped | ((volts - self.k * w) / self.r > capped)
            if (now == chopped).all():
                break
            chopped = now
        amps = np.where(slips, slip_amps, np.where(chopped, capped, (volts - self.k * w) / self.r))
        return volts, amps, np.where(chopped & ~slips, power / volts, amps)

    def settle(self, x, w):
        """Law, voltage and currents that agree with each other at places x and speeds w."""
        source = self.volts_open
        if self.D == 1:
            law = self.law(source, x, w)
            return law, *self.battery(w, law.slip_amps)
        for _ in range(2):
            law = self.law(source, x, w)
            volts, amps, draw = self.battery(w, law.slip_amps)
            source = self.volts_open - self.rb * (self.total(draw) - draw)  # what one row sees: less the others' sag
        return self.law(source, x, w), volts, amps, draw

    # ---- one step -------------------------------------------------------------------------------------------------

    def law(self, source, x, w):
        """How each going row accelerates, frozen at x and w: w' = (force - drag - fall w) / (base + share J)."""
        load = self.left + self.rise * x
        inertia, drag = load[INERTIA], load[PULL] + load[RUB]
        bend = self.bend * w * w
        whole = self.r + self.rb
        limited = source - self.k * w > self.limit * whole
        amps0, amps1 = np.where(limited, self.limit, source / whole), np.where(limited, 0.0, self.k / whole)
        inner = self.k * (amps0 - self.i0 - amps1 * w)
        driving = inner * inertia + self.jr * (drag + bend) >= 0
        gain, share = np.where(driving, self.ef, 1.0), np.where(driving, 1.0, self.eb)
        law = SimpleNamespace(
            base=gain * self.jr, share=share, force=gain * self.k * (amps0 - self.i0), fall=gain * self.k * amps1,
            drag=share * drag, inertia=inertia, driving=driving, limited=limited, amps0=amps0, amps1=amps1,
            source=source, whole=whole, slips=np.zeros(self.R, dtype=bool), slip_amps=np.full(self.R, np.nan), grip=0.0,
        )
        law.weight = law.base + share * inertia
        if self.grips:
            self.slip(law, load, (gain * inner - share * (drag + bend)) / law.weight, drag, bend)
        return law

    def slip(self, law, load, a, drag, bend):
        """Where the wheels can't pass the torque on: they push with their grip, and their motors turn faster."""
        slips = (law.inertia * a + drag + bend > load[CAP] + load[SLOPE] * a) & (load[CAP] < BIG)
        if not slips.any():
            return
        a_slip = (load[CAP] - drag - bend) / (law.inertia - load[SLOPE])
        law.slips, law.grip = slips, np.where(slips, load[CAP] + load[SLOPE] * a_slip, 0.0)
        law.slip_amps = np.where(slips, law.grip / (self.ef * self.k) + self.i0, np.nan)
        law.base, law.share = np.where(slips, -load[SLOPE], law.base), np.where(slips, 1.0, law.share)
        law.weight = law.base + law.share * law.inertia
        law.force, law.fall = np.where(slips, load[CAP], law.force), np.where(slips, 0.0, law.fall)
        law.drag = np.where(slips, drag, law.drag)
        law.amps0 = np.where(slips, law.grip / (self.ef * self.k) + self.i0, law.amps0)
        law.amps1 = np.where(slips, 0.0, law.amps1)

    def weight_at(self, law, x):
        """The inertia that counts at share x of the segment."""
        return law.base + law.share * (self.left[INERTIA] + self.rise[INERTIA] * x)

    def pace(self, law):
        """Speed into the step (energy of motion kept), acceleration there, and decay rate; kept on the law."""
        law.w0 = self.w * np.sqrt(self.weight_at(law, self.x) / law.weight)
        law.rate = law.fall / law.weight
        law.a0 = (law.force - law.drag) / law.weight - law.rate * law.w0

    def events(self, law):
        """Time to each row's next event [R], how far that is, whether it begins braking, whether it stands still."""
        self.pace(law)
        going, rest = self.mode == GO, (1 - self.x) * self.gap
        t = time_to(rest, law.w0, law.a0, law.rate)
        there = np.where(np.isfinite(t), t, 0.0)
        square = travel(law.w0, law.a0, law.rate, there)[1] ** 2 * law.weight / self.weight_at(law, np.ones(self.R))
        brakes = going & np.isfinite(t) & (square > self.high)
        ahead = rest
        if brakes.any():
            low, high = np.where(brakes, self.low, 0.0), np.where(brakes, self.high, 1.0)
            here = low + self.x * (high - low)
            closing = (square - self.w**2) - (high - here)
            share = np.clip((here - self.w**2) / np.where(closing > 0, closing, 1.0), 0.0, 1.0)
            ahead = np.where(brakes, share * rest, rest)
            t = np.where(brakes, np.where(share > 0, time_to(ahead, law.w0, law.a0, law.rate), 0.0), t)
        stands = going & (self.w > 0) & ~np.isfinite(t)
        if stands.any():
            t = np.where(stands, time_to_stop(law.w0, law.a0, law.rate), t)
        mean = 0.5 * (self.w + np.sqrt(np.where(self.mode == BRAKE, self.high, 0.0)))
        braking = np.where(mean > 0, rest / np.maximum(mean, 1e-12), np.inf)
        t = np.where(going, t, np.where(self.mode == BRAKE, braking, np.inf))
        return t, ahead, brakes, stands & np.isfinite(t)

    def part_way(self, law, t):
        """Distance and speed of every row after t, without moving it."""
        s, w = travel(law.w0, law.a0, law.rate, t)
        still = (self.w <= 0) & (law.a0 <= 0)
        s, w = np.where(still, 0.0, np.maximum(s, 0.0)), np.where(still, 0.0, np.maximum(w, 0.0))
        if (self.mode == GO).all():
            return s, w
        braking = self.mode == BRAKE
        slope = np.where(braking, self.high - self.low, 0.0) / (2 * self.gap) if braking.any() else 0.0
        s = np.where(self.mode == GO, s, np.where(braking, self.w * t + 0.5 * slope * t * t, 0.0))
        return s, np.where(self.mode == GO, w, np.where(braking, np.maximum(self.w + slope * t, 0.0), 0.0))

    def take(self):
        """One step of every case to the nearest event of its drives. False when all rows rest."""
        if self.D == 1:
            guess = np.maximum(1.5 * self.w - 0.5 * self.w_before, 0.0)
            law = self.law(self.volts_open, 0.5 * (self.x + 1), guess)
        else:
            law = self.settle(0.5 * (self.x + 1), self.w)[0]
        t, ahead, brakes, stands = self.events(law)
        if self.D > 1:
            dt = self.nearest(t)
            s, _ = self.part_way(law, dt)
            _, w_mid = self.part_way(law, 0.5 * dt)
            law = self.settle(np.minimum(self.x + 0.5 * s / self.gap, 0.5 * (self.x + 1)), w_mid)[0]
            t, ahead, brakes, stands = self.events(law)
        dt = self.nearest(t)
        if not np.isfinite(t).any():
            self.slipping = law.slips
            return False
        self.advance(law, dt, np.isfinite(t) & (t <= dt), ahead, brakes, stands)
        return True

    def nearest(self, t):
        """The least time of each case's drives [R]; 0 for a case in which nothing more happens."""
        least = t.reshape(self.S, self.D).min(axis=1)[self.case] if self.D > 1 else t
        return np.where(np.isfinite(least), least, 0.0)

    def advance(self, law, t, fired, ahead, brakes, stands):
        """Move every row by t, add up energies, and put rows whose event fired exactly on it."""
        going = self.mode == GO
        s, w = self.part_way(law, t)
        arrives = fired & ~stands & ~brakes
        s = np.where(arrives | (fired & brakes), ahead, s)
        x = np.where(arrives, 1.0, np.minimum(self.x + s / self.gap, 1.0))
        w = np.where(going, w * np.sqrt(law.weight / self.weight_at(law, x)), w)
        w = np.where(arrives & (self.mode == BRAKE), np.sqrt(np.maximum(np.where(np.isfinite(self.high), self.high, 0.0), 0.0)), w)
        w = np.where(fired & stands, 0.0, w)
        self.account(law, t, s, x, w)
        self.w_before, self.w, self.x, self.t = self.w, w, x, self.t + t
        self.mode = np.where(fired & brakes & going, BRAKE, self.mode)
        self.slipping = law.slips & (self.mode == GO)
        moved = np.nonzero(arrives & (self.mode != DONE))[0]
        self.note(law)
        if moved.size:
            self.reach(moved)
            self.over_jumps()
        self.view()

    def note(self, law=None):
        """Voltage and currents at the present state, and their extremes so far."""
        if law is None or self.D > 1:
            law, self.volts, self.amps, draw = self.settle(self.x, self.w)
        else:
            chopped = (self.mode == BRAKE) | law.limited
            self.amps = np.where(self.mode == BRAKE, self.brake_amps, law.amps0 - law.amps1 * self.w)
            power = self.amps * (self.r * self.amps + self.k * self.w)
            root = np.sqrt(np.maximum(self.volts_open**2 - 4 * self.rb * power, 0.0))
            self.volts = np.where(chopped & ~law.slips, 0.5 * (self.volts_open + root), self.volts_open - self.rb * self.amps)
            draw = np.where(chopped & ~law.slips, power / self.volts, self.amps)
            first = np.where(chopped, 0.0, law.amps0 - law.amps1 * self.w_before)
            draw, self.peak = np.maximum(draw, first), np.maximum(self.peak, first)  # speeding up, a step draws most at its start
        active = self.mode != DONE
        total = self.total(draw)
        running = self.total(active.astype(float)) > 0
        self.bus_peak = np.where(running, np.maximum(self.bus_peak, total), self.bus_peak)
        self.volts_low = np.where(running, np.minimum(self.volts_low, self.volts), self.volts_low)
        self.peak = np.where(active, np.maximum(self.peak, np.abs(self.amps)), self.peak)
        slipping = law.slips & (self.mode == GO)
        self.slip_peak = np.where(slipping, np.maximum(self.slip_peak, law.amps0), self.slip_peak)

    # ---- energy ---------------------------------------------------------------------------------------------------

    def account(self, law, t, s, x1, w1):
        """Add up where the energy went in this step; each term from its own formula, none by difference."""
        going, slips = self.mode == GO, law.slips & (self.mode == GO)
        half, end = travel(law.w0, law.a0, law.rate, 0.5 * t), travel(law.w0, law.a0, law.rate, t)
        square = np.where(s > 0, mean_square(law.w0, end[1], half[1], law.a0, law.rate, end[0], t), 0.0)
        i0, i1 = law.amps0, law.amps1
        charge = np.where(going, i0 * t - i1 * s, self.brake_amps * t)
        squared = np.where(going, i0 * i0 * t - 2 * i0 * i1 * s + i1 * i1 * square, self.brake_amps**2 * t)
        free = np.maximum((law.source - law.whole * i0) / self.k, self.w) if slips.any() else 0.0
        spin = np.where(slips, free * t, s)  # the angle that the rotors turn, on the output side
        work = self.k * np.where(going & ~slips, i0 * s - i1 * square, np.where(slips, i0, self.brake_amps) * spin)
        full_on = going & ~law.limited
        supplied = np.where(full_on, law.source * charge - self.rb * squared, self.r * squared + work)
        self.add(going | (self.mode == BRAKE), law, t, s, x1, w1, spin, slips, self.r * squared, supplied)

    def add(self, live, law, t, s, x1, w1, spin, slips, heat, supplied):
        """The mechanical terms of a step, and all of them onto the sums."""
        middle = 0.5 * (self.x + x1)
        pull, rub = ((self.left[n] + self.rise[n] * middle) * s for n in (PULL, RUB))
        j0, j1 = (self.left[INERTIA] + self.rise[INERTIA] * x for x in (self.x, x1))
        kinetic = 0.5 * (j1 * w1 * w1 - j0 * self.w * self.w)
        out = kinetic + pull + rub
        passed = np.where(slips, law.grip * spin, out)
        forward = np.where(self.mode == GO, law.driving, out >= 0)
        terms = {
            "heat": heat, "energy": supplied, "idle": self.k * self.i0 * spin,
            "mesh": np.where(forward, 1 / self.ef - 1, self.eb - 1) * passed, "load": kinetic, "pull": pull, "rub": rub,
            "rotor": np.where(slips, 0.0, 0.5 * self.jr * (w1 * w1 - self.w * self.w)),
            "slip": np.where(slips, law.grip * (spin - s), 0.0), "slip_time": np.where(slips, t, 0.0),
        }
        for name, value in terms.items():
            self.sums[name] += np.where(live, value, 0.0)

    # ---- the run --------------------------------------------------------------------------------------------------

    def run(self):
        """March until every row has arrived or rests for good; return the fields of a Move."""
        self.view()
        self.note()
        self.record(np.nonzero(self.mode != DONE)[0])
        self.over_jumps()
        self.view()
        most = 6 * self.D * self.N + 60
        for _ in range(most):
            if not self.take():
                return self.result()
        raise RuntimeError(f"the march took more than {most} steps; this is a fault of mechbench, please report it")

    def result(self):
        """Shape the rows into [S,D,N] and say why each row ended."""
        per_point, per_row = (self.S, self.D, self.kept.size), (self.S, self.D)
        arrived = (self.mode == DONE) & (self.runaway < 0)
        stuck = np.where(self.slipping, "slipped", "stalled")
        why = np.where(arrived, "arrived", np.where(self.runaway >= 0, "limited", stuck))
        place = self.table[Q, self.rows, self.seg] + self.step[Q, self.rows, self.seg] * self.x
        place = np.where(self.runaway >= 0, self.table[Q, self.rows, np.maximum(self.runaway, 0)], place)
        stall_amps = np.minimum(self.volts_open / (self.r + self.rb), self.limit)
        give = np.minimum((self.ef * self.k * (stall_amps - self.i0))[:, None], self.table[CAP])
        left = 0.5 * (self.table[INERTIA, :, -1] + self.jr) * self.w**2
        points = self.out | {
            "q": self.table[Q],
            "headroom": give - self.table[PULL] - self.table[RUB],
            "headroom_back": give + self.table[PULL] - self.table[RUB],
        }
        rows = {
            "time": np.where(arrived, self.out["t"][:, -1], np.inf), "why": why, "where": place,
            "heat": self.sums["heat"], "energy": self.sums["energy"], "peak_current": self.peak,
            "slip_time": self.sums["slip_time"], "slip_current": self.slip_peak,
            "end_energy": np.where(arrived, left, 0.0), "balance_error": self.balance_error(),
        }
        cases = {"bus_current": self.bus_peak, "volts_min": self.volts_low}
        return (
            {n: v[:, self.kept].reshape(per_point) for n, v in points.items()}
            | {n: v.reshape(per_row) for n, v in rows.items()}
            | {n: v.reshape(per_row)[:, 0] for n, v in cases.items()}
        )

    def balance_error(self):
        """What is missing in the energy law, as a share of all energy that changed hands."""
        spent = ("heat", "idle", "mesh", "slip", "rotor", "load", "pull", "rub", "impact")
        missing = self.sums["energy"] - sum(self.sums[n] for n in spent)
        return np.abs(missing) / (sum(np.abs(self.sums[n]) for n in (*spent, "energy")) + 1e-12)


def _points(loads):
    """The number of points that all loads share."""
    points = {np.shape(load.q)[-1] for load in loads}
    if len(points) > 1:
        raise ValueError(f"loads have {sorted(points)} points, but all must have the same number; resample them.")
    count = points.pop()
    for load in loads:
        for name in LOAD_NAMES:
            shape = np.shape(getattr(load, name))
            if shape and shape[-1] not in (1, count):
                raise ValueError(f"{name} has {shape[-1]} points, but q has {count}; give one value a point.")
    return count


def _cases(lines, loads, bus):
    """The number of cases that lines, loads and battery share."""
    shapes = [np.shape(getattr(line, name)) for line in lines for name in LINE_NAMES]
    shapes += [np.shape(getattr(load, name))[:-1] for load in loads for name in LOAD_NAMES]
    shapes += [np.shape(getattr(bus, name)) for name in ("open_circuit", "resistance", "reset_level")]
    try:
        (cases,) = np.broadcast_shapes((1,), *shapes)
    except ValueError:
        raise ValueError("lines, loads and bus have different numbers of cases; give one value, or one a case.") from None
    return cases

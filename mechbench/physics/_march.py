"""The solver behind motion.move. motion.py says what it solves.

Rows are pairs (case, drive), so R = S D. Each row walks along its own table of positions, segment by segment. Within a
step the load is frozen at the middle of the step and the drive is a straight line of torque over speed, so speed and
travel are exact exponentials of time. What changes abruptly ends a step:

    the next point of the table; the braking curve; standing still; wheels that slip, or grip again; a current limit
    that begins, or ends; a load that begins to drive the motor, or stops.

The last three are levels of current: at full voltage a motor's current falls evenly with speed, so each of them lies at
one speed, and the step ends there. One drive under an unchanging load: the points of the table don't matter.

With one drive a step runs from event to event. With several, a step of a case runs to the nearest event of any of
them, and is taken twice: first to predict the middle of the step, then with loads and battery voltage taken there.

Changing inertia: within a step the inertia is frozen, and between steps the energy of motion is kept
(w -> w sqrt(A_before / A_after)), which is the exact solution of A w' + 1/2 A' w^2 = 0.
"""

from types import SimpleNamespace

import numpy as np

from mechbench.physics._exponential import NEWTON, mean_square, time_share, time_to, time_to_speed, time_to_stop, travel

GO, BRAKE, DONE = 0, 1, 2
Q, PULL, RUB, INERTIA, CAP, SLOPE, BRAKE_CAP = range(7)
LOAD_NAMES = ("q", "load_torque", "friction_torque", "inertia", "torque_limit", "limit_slope", "braking_limit")
SUMS = ("heat", "energy", "idle", "mesh", "slip", "rotor", "load", "pull", "rub", "impact", "slip_time")
LINE_NAMES = ("resistance", "torque_constant", "free_current", "rotor_inertia", "efficiency", "efficiency_driven", "current_limit")
BIG = 1e30  # stands for "no limit" inside, so that straight lines between points stay finite


def finer_ends(table, always):
    """Split the first and the last segment where loads change in them; also which points to keep.

    There the speed grows like a root of the distance. Under an unchanging load steps are exact as they are.
    """
    first, second, before, last = (table[:, :, n : n + 1] for n in (0, 1, table.shape[2] - 2, table.shape[2] - 1))
    starts = [first + (second - first) / 9] if always or not np.allclose(first[1:], second[1:], 1e-12, 0) else []
    ends = [last + (before - last) / 9] if always or not np.allclose(before[1:], last[1:], 1e-12, 0) else []
    inner = table[:, :, 1:-1]
    fine = np.concatenate([first, *starts, inner, *ends, last], axis=2)
    return fine, np.r_[0, 1 + len(starts) + np.arange(inner.shape[2]), fine.shape[2] - 1]


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
        self.nowhere, self.no_amps = np.zeros(self.R, dtype=bool), np.full(self.R, np.nan)
        constants = [self.per_row([getattr(line, name) for line in lines]) for name in LINE_NAMES]
        self.r, self.k, self.i0, self.jr, self.ef, self.eb, self.limit = constants
        self.volts_open = self.per_row([bus.open_circuit] * self.D)
        self.rb = self.per_row([bus.resistance] * self.D)
        self.whole = self.r + self.rb
        wide = (self.S, self.N)
        stack = [[np.broadcast_to(np.asarray(getattr(load, n), dtype=float), wide) for load in loads] for n in LOAD_NAMES]
        table = np.minimum(np.array(stack).transpose(0, 2, 1, 3).reshape(7, self.R, self.N), BIG)
        self.table, self.kept = finer_ends(table, always=self.D > 1)  # several drives also feel each other's sag
        self.N = self.table.shape[2]
        self.step = np.diff(self.table, axis=2)
        self.lefts, self.rises = self.table[:, :, :-1].reshape(7, -1), self.step.reshape(7, -1)
        self.jumps, self.bends = bool((self.step[Q] == 0).any()), bool(self.step[INERTIA].any())
        self.grips = bool((self.table[CAP] < BIG).any())

    def per_row(self, parts):
        """One value a drive (numbers or [S]) as one value a row [R]."""
        columns = [np.broadcast_to(np.asarray(p, dtype=float), (self.S,)) for p in parts]
        return np.stack(columns, axis=1).reshape(self.S * self.D)

    def view(self):
        """Look up each row's present segment: left values and rises [7,R], its length, dJ/dq."""
        here = self.rows * (self.N - 1) + self.seg
        self.left, self.rise = self.lefts.take(here, axis=1), self.rises.take(here, axis=1)
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
        self.brake_base = self.brake_share = np.zeros((self.R, self.N - 1))
        self.runaway = np.full(self.R, -1)
        if end == "pass":
            return
        middle, gap = self.table[:, :, :-1] + 0.5 * self.step, self.step[Q]
        bend = np.zeros_like(gap)
        for _ in range(2 if self.bends else 1):  # a changing inertia asks a torque that hangs on the speed
            a, self.brake_base, self.brake_share, self.brake_plan = self.braking(middle, bend)
            self.back_from_rest(a, middle[INERTIA])
            square = np.maximum(self.brake_square, 0.0)
            bend = 0.25 * self.step[INERTIA] / np.where(gap > 0, gap, 1.0) * (square[:, 1:] + square[:, :-1])
        lost = self.brake_square < 0
        self.runaway = np.where(lost.any(axis=1), self.N - 1 - np.argmax(lost[:, ::-1], axis=1), -1)

    def back_from_rest(self, a, inertia):
        """Fill in the braking curve from its end: each square from the next one, at accelerations a of the segments."""
        gap, rise, before = self.step[Q], self.step[INERTIA], self.table[INERTIA, :, :-1]
        weight, half = self.brake_base + self.brake_share * inertia, 0.5 * self.brake_share * rise
        jump = np.maximum(1 + rise / (before + self.jr[:, None]), 1.0)
        grows = np.where(gap > 0, (weight + half) / (weight - half), jump**2)
        more = -2 * a * gap * weight / (weight - half)
        self.brake_square[:, -1] = 0.0
        for n in range(self.N - 2, -1, -1):
            self.brake_square[:, n] = self.brake_square[:, n + 1] * grows[:, n] + more[:, n]

    def braking(self, load, bend):
        """Acceleration (below 0) under braking, the inertia that counts (base + share J), and the current used.

        The controller eases off where the wheels, or a limit set on braking, can take no more. The acceleration is the
        one without bend, the torque of a changing inertia: back_from_rest has that in its energy of motion.
        """
        parts = self.k, self.i0, self.jr, self.ef, self.eb, self.brake_amps_most
        k, i0, jr, ef, eb, most = (part[:, None] for part in parts)
        inertia, drag = load[INERTIA], load[PULL] + load[RUB]
        inner = -k * (most + i0)
        driving = inner * inertia + jr * (drag + bend) >= 0
        gain, back = np.where(driving, ef, 1.0), np.where(driving, 1.0, eb)
        base = gain * jr
        weight = base + back * inertia
        a, amps = (gain * inner - back * drag) / weight, np.broadcast_to(-most, drag.shape)
        whole = a - back * bend / weight
        eased = -(inertia * whole + drag + bend) > np.minimum(load[CAP] + load[SLOPE] * whole, load[BRAKE_CAP])
        if not eased.any():
            return a, base, back, amps
        by_limit = -(load[BRAKE_CAP] + drag + bend) / inertia
        by_grip = -(load[CAP] + drag + bend) / (inertia + load[SLOPE])
        slope = np.where(by_limit > by_grip, 0.0, load[SLOPE])
        whole = np.maximum(by_limit, by_grip)
        a_held = whole + bend / (inertia + slope)
        force = inertia * whole + drag + bend
        amps_held = (np.where(force >= 0, force / ef, force * eb) + jr * whole) / k + i0
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
        self.all_sums = np.zeros((len(SUMS), self.R))
        self.sums = dict(zip(SUMS, self.all_sums))
        self.peak, self.slip_peak, self.slipping = np.zeros(self.R), np.zeros(self.R), np.zeros(self.R, dtype=bool)
        self.bus_peak, self.volts_low = np.zeros(self.R), np.array(self.volts_open)
        # the sides of the current levels (see law) on which rows stand that have just passed one
        self.passed, self.side = np.zeros((2, self.R), dtype=bool), np.zeros((2, self.R), dtype=bool)

    def over_jumps(self):
        """Step over repeated points: pick parts up (momentum kept) or let them go (speed kept)."""
        while self.jumps:
            repeated = self.step[Q, self.rows, self.seg] == 0
            rows = np.nonzero(repeated & (self.x == 0.0) & (self.mode != DONE))[0]
            if rows.size == 0:
                return
            before, after = (self.table[INERTIA, rows, self.seg[rows] + n] for n in (0, 1))
            share = (before + self.jr[rows]) / (after + self.jr[rows])
            w = self.w[rows] * np.minimum(share, 1.0)
            rotor = 0.5 * self.jr[rows] * (w**2 - self.w[rows] ** 2)
            moved = 0.5 * (after * w**2 - before * self.w[rows] ** 2)
            # Lost in the jolt of picking up, or gone with the part that is let go; by its own formula, not by difference.
            lost = np.where(share < 1, (before + self.jr[rows]) * (1 - share), before - after)
            for name, value in (("rotor", rotor), ("load", moved), ("impact", 0.5 * lost * self.w[rows] ** 2)):
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
        """How each going row accelerates, frozen at x and w: w' = (force - drag - fall w) / (base + share J).

        Which law holds depends on the motor's current at full voltage, now. Over the first of two levels the current is
        held, by slipping wheels or by the controller; under the second the load drives the motor.
        """
        load = self.left + self.rise * x
        inertia, drag = load[INERTIA], load[PULL] + load[RUB]
        if self.bends:  # energies stay right whatever the inertia that is frozen, so take the one that is right for time
            place = self.x + 2 * (x - self.x) * time_share(self.w, np.maximum(2 * w - self.w, 0.0))
            inertia = self.left[INERTIA] + self.rise[INERTIA] * place
        asked = drag + self.bend * w * w
        law = SimpleNamespace(source=source, sagged=source, slips=self.nowhere, slip_amps=self.no_amps, grip=0.0)
        most, turn = self.limit, self.i0 - self.jr * asked / (self.k * inertia)
        if self.grips:
            a_slip = (load[CAP] - asked) / (inertia - load[SLOPE])
            law.grip = load[CAP] + load[SLOPE] * a_slip
            most = np.minimum((law.grip / self.ef + self.jr * a_slip) / self.k + self.i0, self.limit)
        law.levels = np.array((most, np.where(turn > most, np.inf, turn)))
        law.over = (source - self.k * self.w) / self.whole > law.levels
        if self.passed.any():
            law.over = np.where(self.passed, self.side, law.over)
        held, law.driving = law.over
        law.amps0, law.amps1 = np.where(held, self.limit, source / self.whole), np.where(held, 0.0, self.k / self.whole)
        gain, law.share = np.where(law.driving, self.ef, 1.0), np.where(law.driving, 1.0, self.eb)
        law.base, law.force = gain * self.jr, gain * self.k * (law.amps0 - self.i0)
        law.fall, law.drag = gain * self.k * law.amps1, law.share * drag
        if self.grips:
            self.slip(law, load, held & (most < self.limit), drag)
        law.weight = law.base + law.share * inertia
        law.limited = held & ~law.slips
        return law

    def slip(self, law, load, slips, drag):
        """Where the wheels can't pass the torque on: they push with their grip, and their motors turn faster."""
        if not slips.any():
            return
        law.slips, law.slip_amps = slips, np.where(slips, law.grip / (self.ef * self.k) + self.i0, np.nan)
        law.base, law.share = np.where(slips, -load[SLOPE], law.base), np.where(slips, 1.0, law.share)
        law.force, law.fall = np.where(slips, load[CAP], law.force), np.where(slips, 0.0, law.fall)
        law.drag, law.amps0 = np.where(slips, drag, law.drag), np.where(slips, law.slip_amps, law.amps0)

    def weight_at(self, law, x):
        """The inertia that counts at share x of the segment."""
        return law.base + law.share * (self.left[INERTIA] + self.rise[INERTIA] * x)

    def pace(self, law):
        """Speed into the step (energy of motion kept), acceleration there, and decay rate; kept on the law."""
        law.w0 = self.w * np.sqrt(self.weight_at(law, self.x) / law.weight)
        law.rate = law.fall / law.weight
        law.a0 = (law.force - law.drag) / law.weight - law.rate * law.w0

    def events(self, law):
        """Time to each row's next event, kept on the law with what it is: braking, standing, a level passed, or the end."""
        self.pace(law)
        going, rest = self.mode == GO, (1 - self.x) * self.gap
        t = time_to(rest, law.w0, law.a0, law.rate)
        ends = np.isfinite(t)
        w = travel(law.w0, law.a0, law.rate, np.where(ends, t, 0.0))[1]
        law.ahead, law.brakes = rest, going & ends & (w**2 * law.weight / self.weight_at(law, 1.0) > self.high)
        if law.brakes.any():
            t = self.to_braking(law, t, w)
        law.stands = going & (self.w > 0) & ~ends
        if law.stands.any():
            t, w = np.where(law.stands, time_to_stop(law.w0, law.a0, law.rate), t), np.where(law.stands, 0.0, w)
            law.stands &= np.isfinite(t)
        law.passes = ((law.sagged - self.k * w) / self.whole > law.levels) != law.over
        law.passes &= going & ~self.passed
        if law.passes.any():
            t = self.to_level(law, t)
        if going.all():
            law.t = t
            return
        law.t = np.where(going, t, np.where(self.mode == BRAKE, rest / np.maximum(self.brake_speed(), 1e-12), np.inf))

    def brake_speed(self):
        """Mean speed from here to the next point of rows that brake, over time."""
        brakes = self.mode == BRAKE
        w0, w1 = self.w, np.sqrt(np.where(brakes, np.maximum(self.high, 0.0), 0.0))
        if not self.bends:
            return 0.5 * (w0 + w1)
        base = np.where(brakes, self.brake_base[self.rows, self.seg], 1.0)
        share = np.where(brakes, self.brake_share[self.rows, self.seg], 0.0)
        places = self.x, 1.0, self.x + (1 - self.x) * time_share(w0, w1)
        here, there, middle = (base + share * (self.left[INERTIA] + self.rise[INERTIA] * x) for x in places)
        return 0.5 * (w0 * np.sqrt(here / middle) + w1 * np.sqrt(there / middle))

    def to_braking(self, law, t, w):
        """Times t with those of rows that brake within the segment: where their speed meets the braking curve."""
        low, high = np.where(law.brakes, self.low, 0.0), np.where(law.brakes, self.high, 1.0)
        grade = (high - low) / self.gap
        here = low + self.x * (high - low)
        short = here - self.w**2
        closing = w**2 * law.weight / self.weight_at(law, 1.0) - high + short
        share = np.clip(short / np.where(closing > 0, closing, 1.0), 0.0, 1.0)
        found = time_to(share * law.ahead, law.w0, law.a0, law.rate)  # as if both curves were straight over distance
        found = np.where(law.brakes & (share > 0), found, 0.0)
        for _ in range(NEWTON):
            s, w = travel(law.w0, law.a0, law.rate, found)
            part = law.weight / self.weight_at(law, self.x + s / self.gap)
            pull = law.a0 - law.rate * (w - law.w0)
            change = (w * w * part - here - grade * s) / np.maximum(w * (2 * pull * part - grade), 1e-9)
            change = np.where(found > 0, change, 0.0)
            found = np.clip(found - change, 0.0, t)
            if (np.abs(change) <= 1e-9 * found).all():
                break
        law.ahead = np.where(law.brakes, travel(law.w0, law.a0, law.rate, found)[0], law.ahead)
        return np.where(law.brakes, found, t)

    def to_level(self, law, t):
        """Times t with those of rows whose current passes a level (see law) before."""
        change = np.where(law.passes, (law.sagged - self.whole * law.levels) / self.k - law.w0, 0.0)
        wait = time_to_speed(change, law.a0, law.rate)
        wait = np.where(law.passes, np.where(np.isfinite(wait), wait, 0.0), np.inf)
        first = wait.min(axis=0)
        law.passes &= (wait == first) & (first < t)
        law.brakes, law.stands = law.brakes & ~(first < t), law.stands & ~(first < t)
        return np.minimum(t, first)

    def part_way(self, law, t):
        """Distance and speed of every row after t, without moving it; the law's own are kept on it."""
        law.s1, law.w1 = s, w = travel(law.w0, law.a0, law.rate, t)
        moves = (self.mode == GO) & ((self.w > 0) | (law.a0 > 0))
        s, w = np.where(moves, np.maximum(s, 0.0), 0.0), np.where(moves, np.maximum(w, 0.0), 0.0)
        braking = self.mode == BRAKE
        if not braking.any():
            return s, w
        slope = np.where(braking, self.high - self.low, 0.0) / (2 * self.gap)
        s = np.where(braking, self.w * t + 0.5 * slope * t * t, s)
        return s, np.where(braking, np.maximum(self.w + slope * t, 0.0), w)

    def take(self):
        """One step of every case to the nearest event of its drives. False when all rows rest."""
        if self.D == 1:
            guess = np.maximum(1.5 * self.w - 0.5 * self.w_before, 0.0)
            law = self.law(self.volts_open, 0.5 * (self.x + 1), guess)
        else:
            law = self.settle(0.5 * (self.x + 1), self.w)[0]
        self.events(law)
        if self.D > 1:
            dt = self.nearest(law.t)
            s, _ = self.part_way(law, dt)
            _, w_mid = self.part_way(law, 0.5 * dt)
            law = self.settle(np.minimum(self.x + 0.5 * s / self.gap, 0.5 * (self.x + 1)), w_mid)[0]
            self.events(law)
            if law.passes.any():  # a level lies where it is with the sag of that moment, not of the middle of the step
                s, w = self.part_way(law, self.nearest(law.t))
                law.sagged = self.settle(np.minimum(self.x + s / self.gap, 1.0), w)[0].source
                self.events(law)
        happens = np.isfinite(law.t)
        if not happens.any():
            self.slipping = law.slips & (law.amps0 <= law.source / self.whole)  # standing: can it turn the wheels at all?
            return False
        dt = self.nearest(law.t)
        self.advance(law, dt, happens & (law.t <= dt))
        return True

    def nearest(self, t):
        """The least time of each case's drives [R]; 0 for a case in which nothing more happens."""
        least = t.reshape(self.S, self.D).min(axis=1)[self.case] if self.D > 1 else t
        return np.where(np.isfinite(least), least, 0.0)

    def advance(self, law, t, fired):
        """Move every row by t, add up energies, and put rows whose event fired exactly on it."""
        going = self.mode == GO
        brakes, stands, passes = fired & law.brakes, fired & law.stands, fired & law.passes
        arrives = fired & ~brakes & ~stands & ~passes.any(axis=0)
        s, w = self.part_way(law, t)
        s = np.where(arrives | brakes, law.ahead, s)
        x = np.where(arrives, 1.0, np.minimum(self.x + s / self.gap, 1.0))
        w = np.where(going, w * np.sqrt(law.weight / self.weight_at(law, x)), w)
        if not going.all():  # braking rows end where the plan says; after a "pass" nothing brakes
            there = np.where(self.mode == BRAKE, np.maximum(self.high, 0.0), 0.0)
            w = np.where(arrives & (self.mode == BRAKE), np.sqrt(there), w)
        w = np.where(stands, 0.0, w)
        self.account(law, t, s, x, w)
        self.w_before, self.w, self.x, self.t = self.w, w, x, self.t + t
        self.passed, self.side = passes, law.over
        self.note(law)
        self.side = ~law.over
        self.mode = np.where(brakes & going, BRAKE, self.mode)
        self.slipping = law.slips & (self.mode == GO)
        if self.D > 1 and (passes.any() or brakes.any()):  # what the case draws now; one drive's next step tells it alone
            self.note(law)
        moved = np.nonzero(arrives & (self.mode != DONE))[0]
        if moved.size:
            self.reach(moved)
            self.over_jumps()
        self.view()

    def note(self, law=None):
        """Voltage and currents at the present state, and their extremes so far."""
        if law is None or self.D > 1:
            law, self.volts, self.amps, draw = self.settle(self.x, self.w)
        else:
            draw = self.note_alone(law)
        active = self.mode != DONE
        total = self.total(draw)
        running = self.total(active.astype(float)) > 0 if self.D > 1 else active
        low = np.minimum(self.volts, self.volts_open - self.rb * total)
        self.bus_peak = np.where(running, np.maximum(self.bus_peak, total), self.bus_peak)
        self.volts_low = np.where(running, np.minimum(self.volts_low, low), self.volts_low)
        self.peak = np.where(active, np.maximum(self.peak, np.abs(self.amps)), self.peak)
        if self.grips:
            slipping = law.slips & (self.mode == GO)
            self.slip_peak = np.where(slipping, np.maximum(self.slip_peak, law.amps0), self.slip_peak)

    def note_alone(self, law):
        """One drive: voltage and current at the end of a step under its law; gives the most it drew in it."""
        brakes = self.mode == BRAKE
        line = law.amps0 - law.amps1 * self.w
        self.amps, chopped = np.where(brakes, self.brake_amps, line), brakes | law.limited
        self.volts, draw = self.volts_open - self.rb * self.amps, self.amps
        if chopped.any():
            power = self.amps * (self.r * self.amps + self.k * self.w)
            root = np.sqrt(np.maximum(self.volts_open**2 - 4 * self.rb * power, 0.0))
            self.volts = np.where(chopped, 0.5 * (self.volts_open + root), self.volts)
            draw = np.where(chopped, power / self.volts, draw)
        most = law.amps0 - law.amps1 * np.minimum(self.w, self.w_before)  # a step draws most at its slower end
        most = np.where((self.mode == GO) & ~law.limited, most, 0.0)
        self.peak = np.maximum(self.peak, most)
        return np.maximum(draw, most)

    # ---- energy ---------------------------------------------------------------------------------------------------

    def account(self, law, t, s, x1, w1):
        """Add up where the energy went in this step; each term from its own formula, none by difference."""
        going = self.mode == GO
        square = np.where(s > 0, mean_square(law.w0, law.w1, law.a0, law.rate, law.s1, t), 0.0)
        i0, i1 = law.amps0, law.amps1
        charge, spent = i0 * t - i1 * s, i0 * s - i1 * square
        squared, spin = i0 * charge - i1 * spent, s
        slips = law.slips & going
        if slips.any():
            free = (law.source - self.whole * i0) / self.k
            spin = np.where(slips, free * t, s)  # the angle that the rotors turn, on the output side
            spent = np.where(slips, i0 * spin, spent)
        full_on = going & ~law.limited
        if not going.all():
            charge, squared = np.where(going, charge, 0.0), np.where(going, squared, self.brake_amps**2 * t)
            spent = np.where(going, spent, self.brake_amps * s)
        heat = self.r * squared
        supplied = np.where(full_on, law.source * charge - self.rb * squared, heat + self.k * spent)
        self.add(going, law, t, s, x1, w1, spin, slips, heat, supplied)

    def add(self, going, law, t, s, x1, w1, spin, slips, heat, supplied):
        """The mechanical terms of a step, and all of them onto the sums."""
        middle = 0.5 * (self.x + x1)
        pull, rub = (self.left[PULL : RUB + 1] + self.rise[PULL : RUB + 1] * middle) * s
        square0, square1 = self.w * self.w, w1 * w1
        j0 = self.left[INERTIA] + self.rise[INERTIA] * self.x
        j1 = self.left[INERTIA] + self.rise[INERTIA] * x1
        kinetic = 0.5 * (j1 * square1 - j0 * square0)
        rotor, passed = 0.5 * self.jr * (square1 - square0), kinetic + pull + rub
        forward = np.where(going, law.driving, passed >= 0)
        slip = slip_time = np.zeros(self.R)
        if slips.any():
            rotor, passed = np.where(slips, 0.0, rotor), np.where(slips, law.grip * spin, passed)
            slip, slip_time = np.where(slips, law.grip * (spin - s), 0.0), np.where(slips, t, 0.0)
        mesh = np.where(forward, 1 / self.ef - 1, self.eb - 1) * passed
        terms = np.array((heat, supplied, self.k * self.i0 * spin, mesh, slip, rotor, kinetic, pull, rub, 0 * s, slip_time))
        rests = self.mode == DONE
        self.all_sums += np.where(rests, 0.0, terms) if rests.any() else terms

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

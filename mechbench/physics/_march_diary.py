"""What a march writes down on its way, and its answer. Nothing of it decides how the march goes on."""

import numpy as np
from numpy import count_nonzero

from mechbench.physics._march_energy import SUMS, balance_error
from mechbench.physics._march_layout import FRICTION_TORQUE, INERTIA, LOAD_TORQUE, POSITION, TORQUE_LIMIT
from mechbench.physics._march_state import REFUSED

# What is kept of every step, by the names of Move.
STRETCHES = ("part_time", "part_from", "part_to", "part_bend", "part_held")


class Diary:
    """Values at the points of the tables, sums, and extremes. The one thing of a march that is written into."""

    def __init__(self, layout, accounts):
        """Nothing has happened yet; accounts: whether it is written down where the energy goes."""
        wide, zero = (layout.row_count, layout.point_count), np.zeros(layout.row_count)
        self.points = {"t": np.full(wide, np.inf)} | {name: np.zeros(wide) for name in ("speed", "current", "volts")}
        self.stretches = []  # of each step: as STRETCHES
        self.accounts, self.sums = accounts, {name: zero.copy() for name in SUMS if accounts}
        self.slip_time = zero
        self.peak_current, self.slip_current, self.bus_current = zero, zero, zero
        self.end_energy = zero.copy()
        self.volts_low = layout.battery.open_circuit
        self.low_time, self.low_from = zero.copy(), np.full(layout.row_count, np.inf)
        self.short_at = np.full(layout.row_count, np.nan)  # where a brake first got less current than it asked for

    def at_points(self, rows, segment, state, supply):
        """Write down what is known where rows stand at the first point of a segment."""
        values = (("t", state.time), ("speed", state.speed), ("current", supply.current), ("volts", supply.volts))
        here = rows * self.points["t"].shape[1] + segment[rows]
        for name, value in values:
            self.points[name].ravel()[here] = value[rows]

    def at_end(self, layout, rows, state):
        """Write down the energy of motion that rows have at the end of their travel."""
        load, rotor = layout.tables.values[INERTIA, rows, -1], layout.drives.rotor_inertia[rows]
        self.end_energy[rows] = 0.5 * (load * state.speed[rows] ** 2 + rotor * state.rotor[rows] ** 2)

    def add(self, terms):
        """Add the energies of a step."""
        for name, part in terms.items():
            self.sums[name] += part

    def add_stretch(self, layout, state, view, law, rate, stretch):
        """Write a step down: how long it is, the rotors' speed from and to, how that bends, the current held."""
        if count_nonzero(law.slips):
            slips = law.slips & state.modes.going & (stretch.distance > 0)
            self.slip_time = self.slip_time + np.where(slips, stretch.time, 0.0)
        bend, held = rate * stretch.time, np.where(law.limited, layout.drives.current_limit, 0.0)
        if not state.modes.all_going:
            braking = state.modes.braking
            bend, held = np.where(braking, 0.0, bend), np.where(braking, view.braking_current, held)
        self.stretches.append((stretch.time, state.rotor, stretch.rotor_speed, bend, held))

    def add_jolt(self, rows, **parts):
        """Add what a jump of the inertia changed in some rows."""
        for name, value in parts.items():
            self.sums[name][rows] += value

    def add_spin(self, layout, rows, stretch):
        """Add what rotors of slipping wheels lose when braking begins, before it does."""
        if not self.accounts:
            return
        spin = 0.5 * layout.drives.rotor_inertia * (stretch.rotor_speed**2 - stretch.speed**2)
        for name, sign in (("rotor", -1), ("slip", 1)):
            self.sums[name][rows] += sign * spin[rows]

    def add_low(self, part):
        """Add the time of a step below the reset level, if there is any."""
        if part is not None:
            self.low_time = self.low_time + part[0]
            self.low_from = np.minimum(self.low_from, part[1])

    def extremes(self, layout, state, law, supply):
        """Keep the highest currents and the lowest voltage so far."""
        active, total = state.modes.active, layout.total(supply.draw)
        running = active if layout.alone else layout.total(active.astype(float)) > 0
        low = np.minimum(supply.volts, layout.battery.open_circuit - layout.battery.resistance * total)
        if count_nonzero(supply.short):
            first = supply.short & state.modes.braking & np.isnan(self.short_at)
            self.short_at = np.where(first, layout.place(state), self.short_at)
        self.bus_current = np.where(running, np.maximum(self.bus_current, total), self.bus_current)
        self.volts_low = np.where(running, np.minimum(self.volts_low, low), self.volts_low)
        self.peak_current = np.where(active, np.maximum(self.peak_current, supply.peak), self.peak_current)
        if layout.tables.has_torque_limit:
            slips = law.slips & state.modes.going
            self.slip_current = np.where(slips, np.maximum(self.slip_current, supply.peak), self.slip_current)


def answer(layout, marched, plan, state, diary, slips):
    """The fields of a Move in its shapes; `slips` are the rows that stand with slipping wheels.

    marched: the layout that was marched over, with fewer points where those between don't matter (see _march_between).
    """
    per_point, per_row = (layout.case_count, layout.drive_count, -1), (layout.case_count, layout.drive_count)
    points, rows = _at_points(layout, diary), _of_rows(marched, plan, state, diary, slips)
    cases = {"bus_current": diary.bus_current, "volts_min": diary.volts_low}
    cases |= {"low_time": diary.low_time, "low_from": diary.low_from}
    parts = np.array(diary.stretches).reshape(-1, len(STRETCHES), layout.row_count).transpose(1, 2, 0)
    return (
        {name: value[:, layout.tables.kept].reshape(per_point) for name, value in points.items()}
        | {name: value.reshape(per_point) for name, value in zip(STRETCHES, parts)}
        | {name: value.reshape(per_row) for name, value in rows.items()}
        | {name: value.reshape(per_row)[:, 0] for name, value in cases.items()}
    )


def _at_points(layout, diary):
    """What a Move tells at every point [R,N]."""
    drives, table = layout.drives, layout.tables.values
    stall_current = np.minimum(layout.battery.open_circuit / layout.loop_resistance, drives.current_limit)
    stall_torque = drives.efficiency * drives.torque_constant * (stall_current - drives.free_current)
    give = np.minimum(stall_torque[:, None], table[TORQUE_LIMIT])
    return diary.points | {
        "q": table[POSITION],
        "gives": give,
        "headroom": give - table[LOAD_TORQUE] - table[FRICTION_TORQUE],
        "headroom_back": give + table[LOAD_TORQUE] - table[FRICTION_TORQUE],
    }


def _of_rows(layout, plan, state, diary, slips):
    """What a Move tells once a row [R]."""
    short = ~np.isnan(diary.short_at)
    arrived, limited = state.modes.arrived & ~short, (state.modes.mode == REFUSED) | short
    stuck = np.where(slips, "slipped", "stalled")
    planned = -plan.segments[2].reshape(layout.row_count, -1).min(axis=1)  # braking current, at its highest
    return {
        "time": np.where(arrived, diary.points["t"][:, -1], np.inf),
        "why": np.where(arrived, "arrived", np.where(limited, "limited", stuck)),
        "where": np.where(short, diary.short_at, layout.place(state)),
        "stop_current": np.where(limited, np.where(short, planned, plan.stop_current), 0.0),
        "peak_current": diary.peak_current,
        "slip_time": diary.slip_time,
        "slip_current": diary.slip_current,
        "end_energy": diary.end_energy,
    }


def account(layout, diary):
    """Where the energy went: the fields of an Account in the shape of rows."""
    found = {"heat": diary.sums["heat"], "energy": diary.sums["energy"], "balance_error": balance_error(diary.sums)}
    return {name: value.reshape(layout.case_count, layout.drive_count) for name, value in found.items()}

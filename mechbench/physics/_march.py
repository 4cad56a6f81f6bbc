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

How a run goes, and where each part stands:

    _march_layout    lay_out        lines, loads and battery in rows; fixed for the whole run
    _march_braking   plan_braking   how each segment can be braked, backwards from rest; fixed, too
    _march_state     start          State: where each row is between two steps; View: the segment it is in
    then, step by step:
    _march_law       law_at         Law: how each row accelerates under its frozen load; Pace: the exponential of it
    _march_battery   settle         Supply: voltage and currents of all drives of a case on one battery
    _march_events    next_events    Events: what happens next in each row, and when
    here             advance        a new State at that time
    _march_energy    step_energy    where the energy of the step went, if that is asked
    _march_diary     Diary, answer  what was seen on the way, and the fields of a Move
    _march_between   ends_alone     under an unchanging load: points that a march goes by without a step

Whether anything happens in any row is asked by count_nonzero: dozens of times a step, and any() takes longer.

All records are frozen. A step makes a new State and changes nothing in the old one; the Diary alone is written into,
and nothing reads it before the end.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy import count_nonzero

from mechbench.physics._exponential import travel
from mechbench.physics._march_battery import Supply, low_at_last, low_part, settle, steady_time, supply_alone
from mechbench.physics._march_between import ends_alone, write_between
from mechbench.physics._march_braking import plan_braking
from mechbench.physics._march_diary import Diary, account, answer
from mechbench.physics._march_energy import Stretch, step_energy
from mechbench.physics._march_events import Events, next_events
from mechbench.physics._march_law import Law, Pace, follow, law_at, pace_of, rotor_pace
from mechbench.physics._march_layout import INERTIA, lay_out
from mechbench.physics._march_state import ARRIVED, BRAKE, REFUSED, State, look_up, start

INSTANT = 1e-9  # [s] a step so short is no time


@dataclass(frozen=True)
class Step:
    """How every row goes on from where it is: its law, the pace of it, and what happens next."""

    law: Law
    pace: Pace
    rotor: Pace
    events: Events
    now: Supply | None  # as the step begins; of one drive alone it is seldom asked for
    braking_current: np.ndarray
    longest: (
        np.ndarray
    )  # time after which the battery's voltage is another one; inf for one drive, which needs no such limit

    def time(self, layout):
        """How long it takes: to the nearest event of the case, but not too long; 0 where nothing more happens."""
        return np.minimum(layout.nearest(self.events.time), self.longest)


class March:
    """One run: what is given, and the plan of braking."""

    def __init__(self, lines, loads, bus, end, brake, after):
        self.layout = lay_out(lines, loads, bus, holds=after == "hold")
        self.ends = ends_alone(self.layout)
        self.plan = plan_braking(self.ends, end, brake)

    def run(self):
        """March until every row has arrived or rests for good; return the fields of a Move."""
        return self._marched(Diary(self.ends, accounts=False))

    def account(self):
        """March once more to add up where the energy goes, which is seldom asked; return heat, energy and how exactly
        the sums agree.
        """
        diary = Diary(self.ends, accounts=True)
        self._marched(diary)
        return account(self.ends, diary)

    def _marched(self, diary):
        """The fields of a Move, from a march that writes into this diary."""
        layout, plan, taken = self.ends, self.plan, []
        state = _begin(layout, plan, diary)
        most = (8 * layout.point_count + (60 if layout.alone else 1000)) * layout.drive_count
        for _ in range(most):
            view = look_up(layout, plan, state.segment)
            step = next_step(layout, view, state)
            if not layout.alone:  # another drive may just have stopped, so that this one takes more
                diary.extremes(layout, state, step.law, step.now)
            if not count_nonzero(np.isfinite(step.events.time)):
                if count_nonzero(state.modes.active):
                    now = step.now or supply_alone(layout, view, state, step.law, state.rotor)
                    diary.add_low(low_at_last(layout, view, state, replace(step, now=now)))
                if self.layout is not layout:
                    write_between(self.layout, layout, view, taken, diary)
                return answer(self.layout, layout, plan, state, diary, step.law.slips)
            before, (state, stretch) = state, advance(layout, plan, view, state, step, diary)
            if self.layout is not layout:
                taken.append((before, step, stretch))
        raise RuntimeError(f"the march took more than {most} steps; this is a fault of mechbench, please report it")


def _begin(layout, plan, diary):
    """Write down the start; go over jumps that lie there."""
    state = start(layout, plan)
    law, supply = settle(layout, look_up(layout, plan, state.segment), state, state.x, state.speed, state.rotor)
    diary.extremes(layout, state, law, supply)
    diary.at_points(np.nonzero(state.modes.active)[0], state.segment, state, supply)
    refused = np.nonzero(plan.runaway == 0)[0]
    if refused.size:  # at rest it already brakes with all it has, and that is not enough
        braked = replace(state, modes=state.modes.after(refused, BRAKE))
        law, supply = settle(layout, look_up(layout, plan, state.segment), braked, state.x, state.speed, state.rotor)
        diary.extremes(layout, braked, law, supply)
    return over_jumps(layout, plan, state, supply, diary)


# ---- the next step ---------------------------------------------------------------------------------------------------


def next_step(layout, view, state):
    """The law of every row to its next event, with its load taken in the middle of the step."""
    middle = 0.5 * (state.x + 1)
    if layout.alone:
        guess = np.maximum(1.5 * state.speed - 0.5 * state.speed_before, 0.0)
        law = law_at(layout, view, state, layout.battery.open_circuit, middle, guess)
        return _step(layout, view, state, law, None)
    law, now = settle(layout, view, state, middle, state.speed, state.rotor)
    first = _step(layout, view, state, law, now)
    t = first.time(layout)
    s, _, _ = part_way(view, state, first, t)
    _, w, u = part_way(view, state, first, 0.5 * t)
    law, _ = settle(layout, view, state, np.minimum(state.x + 0.5 * s / view.length, middle), w, u)
    step = _step(layout, view, state, law, now)
    if not count_nonzero(step.events.passes):
        return step
    # A level of current lies where it is with the sag of that moment, not of the middle of the step.
    s, w, u = part_way(view, state, step, step.time(layout))
    then, _ = settle(layout, view, state, np.minimum(state.x + s / view.length, 1.0), w, u)
    return replace(step, events=next_events(layout, view, state, law, step.pace, step.rotor, then.source))


def _step(layout, view, state, law, now):
    """A step under a law."""
    pace = pace_of(layout, view, state, law)
    rotor = rotor_pace(layout, state, law, pace)
    events = next_events(layout, view, state, law, pace, rotor, law.source)
    longest = np.inf if layout.alone else steady_time(layout, view, state, law, rotor)
    return Step(law, pace, rotor, events, now, view.braking_current, longest)


def part_way(view, state, step, t):
    """Distance and speed of every row at time t of a step, and the speed of its rotor."""
    s, w = follow(view, state, t, step.pace, travel(*step.pace, t))
    return s, w, np.where(step.law.slips, travel(*step.rotor, t)[1], w) if count_nonzero(step.law.slips) else w


# ---- taking it -------------------------------------------------------------------------------------------------------


def advance(layout, plan, view, state, step, diary):
    """Move every row to the nearest event of its case; rows whose event it is are put exactly on it.

    Gives what each row covers, too.
    """
    law, t = step.law, step.time(layout)
    happens = step.events.within(t)
    stretch = _stretch(layout, view, state, step, happens, t)
    if diary.accounts:
        diary.add(step_energy(layout, view, state, law, step.rotor, stretch))
    diary.add_stretch(layout, state, view, law, step.rotor.rate, stretch)
    modes = state.modes.after(happens.brakes, BRAKE) if count_nonzero(happens.brakes) else state.modes
    slipping = law.slips & ~happens.grips & modes.going if count_nonzero(law.slips) else layout.nowhere
    still = t <= INSTANT
    passed = happens.passes | (state.passed & still) if count_nonzero(still) else happens.passes
    gripped = happens.grips | (state.gripped & still)
    over = law.over ^ happens.passes
    if count_nonzero(happens.grips):
        passed, over = passed.copy(), over.copy()
        passed[0, happens.grips], over[0, happens.grips] = True, False
    moved = State(
        segment=state.segment,
        x=stretch.x,
        speed=stretch.speed,
        rotor=np.where(slipping, stretch.rotor_speed, stretch.speed) if count_nonzero(slipping) else stretch.speed,
        speed_before=state.speed,
        time=state.time + t,
        modes=modes,
        slipping=slipping,
        passed=passed,
        gripped=gripped,
        over=over,
        still=still,
    )
    if count_nonzero(law.slips & happens.brakes):
        diary.add_spin(layout, np.nonzero(law.slips & happens.brakes)[0], stretch)
    supply = _look_back(layout, view, state, moved, step, stretch, diary)
    rows = np.nonzero(happens.arrives)[0]
    if not rows.size:
        return moved, stretch
    return over_jumps(layout, plan, reach(layout, plan, moved, rows, supply, diary), supply, diary), stretch


def _stretch(layout, view, state, step, happens, t):
    """What each row covers in time t."""
    law, arrives = step.law, happens.arrives
    by_law = travel(*step.pace, t)
    rotor_by_law = travel(*step.rotor, t) if count_nonzero(law.slips) else by_law
    s, w = follow(view, state, t, step.pace, by_law)
    s = np.where(arrives | happens.brakes, step.events.ahead, s)
    x = np.where(arrives, 1.0, np.minimum(state.x + s / view.length, 1.0))
    if layout.tables.inertia_changes:  # the energy of motion is kept
        w = np.where(state.modes.going, w * np.sqrt(law.inertia / law.inertia_at(view, x)), w)
    if not state.modes.all_going:  # braking rows end where the plan says; after a "pass" nothing brakes
        planned = np.sqrt(np.where(state.modes.braking, np.maximum(view.square_last, 0.0), 0.0))
        w = np.where(arrives & state.modes.braking, planned, w)
    w = np.where(happens.stands, 0.0, w)
    u = np.where(law.slips & ~happens.grips, np.maximum(rotor_by_law[1], w), w) if count_nonzero(law.slips) else w
    return Stretch(t, s, x, w, u, *rotor_by_law)


def _look_back(layout, view, state, moved, step, stretch, diary):
    """Voltage and currents at the end of a step, before its events change anything, and their extremes."""
    if layout.alone:  # its next step begins with what it draws after them
        supply = supply_alone(layout, view, state, step.law, stretch.rotor_speed)
        diary.extremes(layout, state, step.law, supply)
        battery = layout.battery
        if count_nonzero(battery.open_circuit - battery.resistance * supply.draw < battery.reset_level):
            step = replace(step, now=supply_alone(layout, view, state, step.law, state.rotor))
            diary.add_low(low_part(layout, state, step, stretch, supply))
        return supply
    law, rotor = step.law, stretch.rotor_speed
    before = replace(moved, modes=state.modes, rotor=rotor, slipping=law.slips & state.modes.going, over=law.over)
    law, supply = settle(layout, view, before, before.x, before.speed, before.rotor)
    diary.extremes(layout, before, law, supply)
    diary.add_low(low_part(layout, state, step, stretch, supply))
    return supply


def reach(layout, plan, state, rows, supply, diary):
    """Rows come to the next point of their table; on the last one, or where nothing stops them, they are done."""
    segment, x, modes = state.segment.copy(), state.x.copy(), state.modes
    segment[rows] += 1
    x[rows] = 0.0
    diary.at_points(rows, segment, state, supply)
    ended = rows[segment[rows] > layout.point_count - 2]
    lost = rows[segment[rows] == plan.runaway[rows]]
    if not (ended.size or lost.size):
        return replace(state, segment=segment, x=x)
    diary.at_end(layout, ended, state)
    segment[ended], x[ended], modes = layout.point_count - 2, 1.0, modes.after(ended, ARRIVED).after(lost, REFUSED)
    slipping, rotor = state.slipping & modes.active, np.where(modes.active, state.rotor, state.speed)
    return replace(state, segment=segment, x=x, modes=modes, slipping=slipping, rotor=rotor)


def over_jumps(layout, plan, state, supply, diary):
    """Step over repeated points: pick parts up (momentum is kept) or let them go (speed is kept).

    A rotor that is slowed down pushes the load through its gears, which pass on their share of its impulse, too.
    """
    tables, rotor_inertia = layout.tables, layout.drives.rotor_inertia
    while tables.has_jumps:
        repeated = tables.repeats[layout.rows * (layout.point_count - 1) + state.segment]
        rows = np.nonzero(repeated & (state.x == 0.0) & state.modes.active)[0]
        if rows.size == 0:
            break
        before, after = (tables.values[INERTIA, rows, state.segment[rows] + n] for n in (0, 1))
        slips, w0 = state.slipping[rows], state.speed[rows]
        rotor = np.where(slips, 0.0, rotor_inertia[rows])  # of slipping wheels it keeps its own speed
        geared = layout.drives.efficiency[rows] * rotor
        share = (before + geared) / (after + geared)
        w1 = w0 * np.minimum(share, 1.0)
        if diary.accounts:
            # Lost in the jolt of picking up, or gone with the part that is let go; by its own formula, no difference.
            in_gears = (rotor - geared) * (1 - np.minimum(share, 1.0) ** 2)
            lost = np.where(share < 1, (before + geared) * (1 - share), before - after) + in_gears
            moved = 0.5 * (after * w1**2 - before * w0**2)
            diary.add_jolt(rows, rotor=0.5 * rotor * (w1**2 - w0**2), load=moved, impact=0.5 * lost * w0**2)
        speed, spin = state.speed.copy(), state.rotor.copy()
        speed[rows] = w1
        spin[rows] = np.where(slips, spin[rows], w1)
        state = reach(layout, plan, replace(state, speed=speed, rotor=spin), rows, supply, diary)
    return state

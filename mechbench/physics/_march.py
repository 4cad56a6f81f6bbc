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
    _march_energy    step_energy    where the energy of the step went
    _march_diary     Diary, answer  what was seen on the way, and the fields of a Move

All records are frozen. A step makes a new State and changes nothing in the old one; the Diary alone is written into,
and nothing reads it before the end.
"""

from dataclasses import dataclass, replace

import numpy as np

from mechbench.physics._exponential import travel
from mechbench.physics._march_battery import settle, supply_alone
from mechbench.physics._march_braking import plan_braking
from mechbench.physics._march_diary import Diary, answer
from mechbench.physics._march_energy import Stretch, step_energy
from mechbench.physics._march_events import Events, next_events
from mechbench.physics._march_law import Law, Pace, follow, law_at, pace_of, part_way
from mechbench.physics._march_layout import INERTIA, POSITION, lay_out
from mechbench.physics._march_state import ARRIVED, BRAKE, State, look_up, start


@dataclass(frozen=True)
class Step:
    """How every row goes on from where it is: its law, the pace of it, and what happens next."""

    law: Law
    pace: Pace
    events: Events


class March:
    """One run: what is given, and the plan of braking."""

    def __init__(self, lines, loads, bus, end, brake, after):
        self.layout = lay_out(lines, loads, bus, holds=after == "hold")
        self.plan = plan_braking(self.layout, end, brake)

    def run(self):
        """March until every row has arrived or rests for good; return the fields of a Move."""
        layout, plan, diary = self.layout, self.plan, Diary(self.layout)
        state = _begin(layout, plan, diary)
        most = 6 * layout.drive_count * layout.point_count + 60
        for _ in range(most):
            view = look_up(layout, plan, state.segment)
            step = next_step(layout, view, state)
            if not np.isfinite(step.events.time).any():
                # Wheels that stand and slip: could the motor turn them at all?
                slips = step.law.slips & (step.law.current <= step.law.source / layout.loop_resistance)
                return answer(layout, plan, state, diary, slips)
            state = advance(layout, view, state, step, diary)
        raise RuntimeError(f"the march took more than {most} steps; this is a fault of mechbench, please report it")


def _begin(layout, plan, diary):
    """Write down the start; go over jumps that lie there."""
    state = start(layout, plan)
    law, supply = settle(layout, look_up(layout, plan, state.segment), state, state.x, state.speed)
    diary.extremes(layout, state, law, supply)
    diary.at_points(np.nonzero(state.modes.active)[0], state.segment, state, supply)
    return over_jumps(layout, state, supply, diary)


# ---- the next step ---------------------------------------------------------------------------------------------------


def next_step(layout, view, state):
    """The law of every row to its next event, with its load taken in the middle of the step."""
    middle = 0.5 * (state.x + 1)
    if layout.alone:
        guess = np.maximum(1.5 * state.speed - 0.5 * state.speed_before, 0.0)
        law = law_at(layout, view, state, layout.battery.open_circuit, middle, guess)
        return _step(layout, view, state, law)
    law, _ = settle(layout, view, state, middle, state.speed)
    first = _step(layout, view, state, law)
    t = layout.nearest(first.events.time)
    s, _ = part_way(view, state, first.pace, t)
    _, w = part_way(view, state, first.pace, 0.5 * t)
    law, _ = settle(layout, view, state, np.minimum(state.x + 0.5 * s / view.length, middle), w)
    step = _step(layout, view, state, law)
    if not step.events.passes.any():
        return step
    # A level of current lies where it is with the sag of that moment, not of the middle of the step.
    s, w = part_way(view, state, step.pace, layout.nearest(step.events.time))
    then, _ = settle(layout, view, state, np.minimum(state.x + s / view.length, 1.0), w)
    return replace(step, events=next_events(layout, view, state, law, step.pace, then.source))


def _step(layout, view, state, law):
    """A step under a law."""
    pace = pace_of(layout, view, state, law)
    return Step(law, pace, next_events(layout, view, state, law, pace, law.source))


# ---- taking it -------------------------------------------------------------------------------------------------------


def advance(layout, view, state, step, diary):
    """Move every row to the nearest event of its case; rows whose event it is are put exactly on it."""
    law, t = step.law, layout.nearest(step.events.time)
    happens = step.events.within(t)
    stretch = _stretch(layout, view, state, step, happens, t)
    diary.add(step_energy(layout, view, state, law, step.pace, stretch))
    modes = state.modes.after(happens.brakes, BRAKE) if happens.brakes.any() else state.modes
    moved = State(
        segment=state.segment,
        x=stretch.x,
        speed=stretch.speed,
        speed_before=state.speed,
        time=state.time + t,
        modes=modes,
        passed=happens.passes,
        over=~law.over,
    )
    supply = _look_back(layout, view, state, moved, law, diary)
    rows = np.nonzero(happens.arrives)[0]
    return over_jumps(layout, reach(layout, moved, rows, supply, diary), supply, diary) if rows.size else moved


def _stretch(layout, view, state, step, happens, t):
    """What each row covers in time t."""
    law, arrives = step.law, happens.arrives
    by_law = travel(*step.pace, t)
    s, w = follow(view, state, t, step.pace, by_law)
    s = np.where(arrives | happens.brakes, step.events.ahead, s)
    x = np.where(arrives, 1.0, np.minimum(state.x + s / view.length, 1.0))
    if layout.tables.inertia_changes:  # the energy of motion is kept
        w = np.where(state.modes.going, w * np.sqrt(law.inertia / law.inertia_at(view, x)), w)
    if not state.modes.all_going:  # braking rows end where the plan says; after a "pass" nothing brakes
        planned = np.sqrt(np.where(state.modes.braking, np.maximum(view.square_last, 0.0), 0.0))
        w = np.where(arrives & state.modes.braking, planned, w)
    return Stretch(t, s, x, np.where(happens.stands, 0.0, w), *by_law)


def _look_back(layout, view, state, moved, law, diary):
    """Voltage and currents at the end of a step, and their extremes: before its events change anything, and after."""
    if layout.alone:  # its next step begins with what it draws after them
        supply = supply_alone(layout, view, state, law, moved.speed)
        diary.extremes(layout, state, law, supply)
        return supply
    before = replace(moved, modes=state.modes, over=law.over)
    law, supply = settle(layout, view, before, before.x, before.speed)
    diary.extremes(layout, before, law, supply)
    if moved.passed.any() or moved.modes is not state.modes:
        law, supply = settle(layout, view, moved, moved.x, moved.speed)
        diary.extremes(layout, moved, law, supply)
    return supply


def reach(layout, state, rows, supply, diary):
    """Rows come to the next point of their table; on the last one they are done."""
    segment, x, modes = state.segment.copy(), state.x.copy(), state.modes
    segment[rows] += 1
    x[rows] = 0.0
    diary.at_points(rows, segment, state, supply)
    ended = rows[segment[rows] > layout.point_count - 2]
    if ended.size:
        segment[ended], x[ended], modes = layout.point_count - 2, 1.0, modes.after(ended, ARRIVED)
    return State(segment, x, state.speed, state.speed_before, state.time, modes, state.passed, state.over)


def over_jumps(layout, state, supply, diary):
    """Step over repeated points: pick parts up (momentum is kept) or let them go (speed is kept)."""
    tables, rotor_inertia = layout.tables, layout.drives.rotor_inertia
    while tables.has_jumps:
        repeated = tables.steps[POSITION, layout.rows, state.segment] == 0
        rows = np.nonzero(repeated & (state.x == 0.0) & state.modes.active)[0]
        if rows.size == 0:
            break
        before, after = (tables.values[INERTIA, rows, state.segment[rows] + n] for n in (0, 1))
        rotor, w0 = rotor_inertia[rows], state.speed[rows]
        share = (before + rotor) / (after + rotor)
        w1 = w0 * np.minimum(share, 1.0)
        # Lost in the jolt of picking up, or gone with the part that is let go; by its own formula, not by difference.
        lost = np.where(share < 1, (before + rotor) * (1 - share), before - after)
        moved = 0.5 * (after * w1**2 - before * w0**2)
        diary.add_jolt(rows, rotor=0.5 * rotor * (w1**2 - w0**2), load=moved, impact=0.5 * lost * w0**2)
        speed = state.speed.copy()
        speed[rows] = w1
        state = reach(layout, replace(state, speed=speed), rows, supply, diary)
    return state

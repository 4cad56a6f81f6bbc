"""Voltage and currents of a march: Kirchhoff's law for all drives of a case on one battery.

A drive at full voltage draws along its line, I = (V - k w) / R. A controller that chops (it holds a current, or brakes)
draws the power that its motor takes. A motor turns with its load, but where wheels slip.
"""

from dataclasses import dataclass

import numpy as np
from numpy import count_nonzero

from mechbench.physics._exponential import LONG, time_to_speed, travel
from mechbench.physics._march_energy import Stretch
from mechbench.physics._march_law import law_at
from mechbench.physics._march_layout import LOAD_TORQUE, NO_LIMIT

LEAST = 1e-9  # in place of 0, to divide by
STEADY = 0.01  # of the battery's voltage: so little one row may change it in a step
SURELY = 1 + 1e-9  # a current that is there but for its last digits is there


@dataclass(frozen=True)
class Supply:
    """Voltage and currents of each row [R]."""

    volts: np.ndarray  # of the battery
    current: np.ndarray  # through the motors
    draw: np.ndarray  # of this row from the battery, at its highest
    peak: np.ndarray  # through the motors, at its highest
    short: np.ndarray  # a brake, or what holds a load, gets less current than it asks for: the battery has no more


def settle(layout, view, state, x, w, rotor):
    """The law of rows at places x and speeds w, and the voltage and currents that agree with the rotors' speeds."""
    supply = supply_at(layout, view, state, rotor)
    source = layout.battery.open_circuit if layout.alone else _source(layout, supply)
    return law_at(layout, view, state, source, x, w), supply


def _source(layout, supply):
    """Voltage that each row sees as its source: that of the battery less the sag of the case's other drives."""
    return layout.battery.open_circuit - layout.battery.resistance * (layout.total(supply.draw) - supply.draw)


def supply_at(layout, view, state, rotor):
    """Voltage and currents of every row at these speeds of the rotors."""
    drives, emf = layout.drives, layout.drives.torque_constant * rotor
    fixed = _fixed_current(layout, view, state)
    power = fixed * (drives.resistance * fixed + emf)
    # Against the motion the battery and the motor's own voltage push together.
    against = np.where(state.modes.braking, -emf, emf)
    chopped, short = ~state.modes.going, layout.nowhere
    for _ in range(2 * layout.drive_count + 2):  # until it is known which controllers hold their current
        volts, enough = _volts(layout, against, chopped, power)
        line = (volts - against) / drives.resistance
        now = (chopped | (line > fixed)) & ~short
        if (now == chopped).all():
            lacks = ~(enough & (line * SURELY > np.abs(fixed))) & chopped & ~state.modes.going & (power > 0)
            if not count_nonzero(lacks):
                break
            short, now = short | lacks, chopped & ~lacks
        chopped = now
    line = np.where(state.modes.braking, -np.clip(line, 0.0, np.abs(fixed)), line)
    current = np.where(chopped, fixed, line)
    draw = np.where(chopped, power / np.maximum(volts, LEAST), np.where(short, np.abs(line), line))
    return Supply(volts, current, draw, np.abs(current), short)


def _volts(layout, against, chopped, power):
    """Voltage of the battery, the higher root of a V^2 - b V + c = 0, and whether it has so much power at all."""
    battery, resistance = layout.battery, layout.drives.resistance
    a = 1 + battery.resistance * layout.total(np.where(chopped, 0.0, 1 / resistance))
    b = battery.open_circuit + battery.resistance * layout.total(np.where(chopped, 0.0, against / resistance))
    c = battery.resistance * layout.total(np.where(chopped, power, 0.0))
    root = b * b - 4 * a * c
    return np.maximum((b + np.sqrt(np.maximum(root, 0.0))) / (2 * a), 0.0), root >= 0


def _fixed_current(layout, view, state):
    """Current of rows that do not run at full voltage: braking, holding or at rest; the limit of the others."""
    current = np.where(state.modes.braking, view.braking_current, np.minimum(layout.drives.current_limit, NO_LIMIT))
    if state.modes.active.all():
        return current
    held = 0.0
    if layout.holds:
        drives = layout.drives
        load_torque = np.maximum(view.left[LOAD_TORQUE] + view.rise[LOAD_TORQUE] * state.x, 0.0)
        needed = drives.efficiency_driven * load_torque / drives.torque_constant - drives.free_current
        held = np.where(state.modes.arrived, np.maximum(needed, 0.0), 0.0)
    return np.where(state.modes.active, current, held)


def supply_alone(layout, view, state, law, w):
    """One drive a case whose rotor has speed w at the end of a step from `state`; highest currents are those of the
    whole step.
    """
    drives, battery = layout.drives, layout.battery
    # A step ends where the controller begins to hold the current, but for the last digits.
    current, chopped = np.minimum(law.current - law.current_fall * w, drives.current_limit), law.limited
    if not state.modes.all_going:
        current, chopped = np.where(state.modes.braking, view.braking_current, current), chopped | state.modes.braking
    volts, draw = battery.open_circuit - battery.resistance * current, current
    if count_nonzero(chopped):
        power = current * (drives.resistance * current + drives.torque_constant * w)
        root = np.sqrt(np.maximum(battery.open_circuit**2 - 4 * battery.resistance * power, 0.0))
        volts = np.where(chopped, 0.5 * (battery.open_circuit + root), volts)
        draw = np.where(chopped, power / volts, draw)
    most = law.current - law.current_fall * np.minimum(state.rotor, w)  # at the slower end of the step
    most = np.where(state.modes.going & ~law.limited, np.minimum(most, drives.current_limit), 0.0)
    return Supply(volts, current, np.maximum(draw, most), np.maximum(np.abs(current), most), layout.nowhere)


def steady_time(layout, view, state, law, rotor):
    """Time in which no row changes the battery's voltage by more than a small part of it, as far as its speed goes."""
    drives, battery, braking = layout.drives, layout.battery, state.modes.braking
    held = np.where(braking, view.braking_current, np.where(law.limited, drives.current_limit, 0.0))
    by_speed = np.where(law.limited | braking, np.abs(held) / battery.open_circuit, 1 / drives.resistance)
    change = STEADY * battery.open_circuit / np.maximum(battery.resistance * drives.torque_constant * by_speed, LEAST)
    first, last = (np.where(braking, square, 0.0) for square in (view.square_first, view.square_last))
    slows = (first - last) / (2 * view.length)
    braked = change / np.maximum(slows, LEAST)
    t = time_to_speed(np.copysign(change, rotor.acceleration), rotor.acceleration, rotor.rate)
    moves = state.modes.going & ((state.speed > 0) | (rotor.acceleration > 0))
    least = layout.nearest(np.where(braking, braked, np.where(moves, t, np.inf)))
    return np.where(least > 0, least, np.inf)


def low_part(layout, state, step, stretch, supply):
    """How long of a step the battery is below its reset level, and when that begins; inf where it never does."""
    t, level = stretch.time, layout.battery.reset_level
    begins, ends = step.now.volts < level, supply.volts < level
    if not (count_nonzero(begins) or count_nonzero(ends)):
        return None
    share = (step.now.volts - level) / np.where(
        begins == ends, 1.0, step.now.volts - supply.volts
    )  # several drives: short steps
    passes = np.clip(share, 0.0, 1.0) * t
    if layout.alone:
        found = _to_reset_level(layout, state, step, stretch)
        passes = np.where(np.isfinite(found), np.clip(found, 0.0, t), passes)
    until, since = np.where(ends, t, passes), np.where(begins, 0.0, passes)
    low = begins | ends
    return np.where(low, until - since, 0.0), np.where(low, state.time + since, np.inf)


def low_at_last(layout, view, state, step):
    """The same when nothing more happens: what stalls stays as it is, wheels that slip on turn evenly at last."""
    level, rotor = layout.battery.reset_level, state.rotor
    if count_nonzero(step.law.slips):
        rotor = np.where(step.law.slips, np.maximum(travel(*step.rotor, LONG)[1], 0.0), rotor)
    active = layout.total((state.modes.active).astype(float)) > 0
    begins, ends = (active & (volts < level) for volts in (step.now.volts, supply_at(layout, view, state, rotor).volts))
    lasts = np.where(ends, np.inf, 0.0)
    if layout.alone:
        passes = begins & ~ends
        found = _to_reset_level(layout, state, step, Stretch(LONG, *[state.speed] * 6))
        lasts = np.where(passes & np.isfinite(found), found, lasts)
    return lasts, np.where(begins, state.time, np.inf)


def _to_reset_level(layout, state, step, stretch):
    """Time until the rotor has the speed at which one drive alone pulls the battery to its reset level."""
    drives, battery, law = layout.drives, layout.battery, step.law
    most = (battery.open_circuit - battery.reset_level) / np.maximum(battery.resistance, LEAST)
    held = np.where(state.modes.braking, step.braking_current, law.current)
    chops = law.limited | state.modes.braking
    fall, held = np.where(chops, 1.0, law.current_fall), np.where(chops, held, 1.0)
    by_power = (battery.reset_level * most / held - drives.resistance * held) / drives.torque_constant
    change = np.where(chops, by_power, (law.current - most) / fall) - state.rotor
    evenly = change / np.where(stretch.speed == state.speed, 1.0, stretch.speed - state.speed) * stretch.time
    return np.where(state.modes.braking, evenly, time_to_speed(change, step.rotor.acceleration, step.rotor.rate))

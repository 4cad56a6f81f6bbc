"""Voltage and currents of a march: Kirchhoff's law for all drives of a case on one battery.

A drive at full voltage draws along its line, I = (V - k w) / R. A controller that chops (it holds a current, or brakes)
draws the power that its motor takes. Slipping wheels fix the current of their motors.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics._march_law import law_at
from mechbench.physics._march_layout import LOAD_TORQUE, NO_LIMIT


@dataclass(frozen=True)
class Supply:
    """Voltage and currents of each row [R]."""

    volts: np.ndarray  # of the battery
    current: np.ndarray  # through the motors
    draw: np.ndarray  # of this row from the battery, at its highest
    peak: np.ndarray  # through the motors, at its highest


def settle(layout, view, state, x, w):
    """The law of rows at places x and speeds w, and the voltage and currents that agree with it."""
    if layout.alone:
        law = law_at(layout, view, state, layout.battery.open_circuit, x, w)
        return law, supply_at(layout, view, state, w, law.slip_current)
    source, slip_current = layout.battery.open_circuit, layout.no_current
    if layout.tables.has_torque_limit:  # wheels that slip fix a current, and whether they do depends on the sag
        slip_current = law_at(layout, view, state, source, x, w).slip_current
        source = _source(layout, supply_at(layout, view, state, w, slip_current))
        slip_current = law_at(layout, view, state, source, x, w).slip_current
    supply = supply_at(layout, view, state, w, slip_current)
    return law_at(layout, view, state, _source(layout, supply), x, w), supply


def _source(layout, supply):
    """Voltage that each row sees as its source: that of the battery less the sag of the case's other drives."""
    return layout.battery.open_circuit - layout.battery.resistance * (layout.total(supply.draw) - supply.draw)


def supply_at(layout, view, state, w, slip_current):
    """Voltage and currents of every row at speeds w; slip_current is nan where no wheels slip."""
    drives, back_emf = layout.drives, layout.drives.torque_constant * w
    fixed, slips = _fixed_current(layout, view, state), ~np.isnan(slip_current)
    power = fixed * (drives.resistance * fixed + back_emf)
    chopped = ~state.modes.going
    for _ in range(layout.drive_count + 1):  # until it is known which controllers hold their current
        volts = _volts(layout, back_emf, slip_current, slips, chopped, power)
        now = chopped | ((volts - back_emf) / drives.resistance > fixed)
        if (now == chopped).all():
            break
        chopped = now
    current = np.where(slips, slip_current, np.where(chopped, fixed, (volts - back_emf) / drives.resistance))
    return Supply(volts, current, np.where(chopped & ~slips, power / volts, current), np.abs(current))


def _volts(layout, back_emf, slip_current, slips, chopped, power):
    """Voltage of the battery: the higher root of a V^2 - b V + c = 0."""
    battery, resistance = layout.battery, layout.drives.resistance
    on_line, by_power = ~chopped & ~slips, chopped & ~slips
    fixed = np.where(on_line, back_emf / resistance, 0.0) - np.where(slips, slip_current, 0.0)
    a = 1 + battery.resistance * layout.total(np.where(on_line, 1 / resistance, 0.0))
    b = battery.open_circuit + battery.resistance * layout.total(fixed)
    c = battery.resistance * layout.total(np.where(by_power, power, 0.0))
    # Below 0 more power is asked than the battery has; the voltage of most power is the best there is.
    return (b + np.sqrt(np.maximum(b * b - 4 * a * c, 0.0))) / (2 * a)


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
    """One drive a case, at speed w at the end of a step from `state`; highest currents are those of the whole step."""
    drives, battery = layout.drives, layout.battery
    current, chopped = law.current - law.current_fall * w, law.limited
    if not state.modes.all_going:
        current, chopped = np.where(state.modes.braking, view.braking_current, current), chopped | state.modes.braking
    volts, draw = battery.open_circuit - battery.resistance * current, current
    if chopped.any():
        power = current * (drives.resistance * current + drives.torque_constant * w)
        root = np.sqrt(np.maximum(battery.open_circuit**2 - 4 * battery.resistance * power, 0.0))
        volts = np.where(chopped, 0.5 * (battery.open_circuit + root), volts)
        draw = np.where(chopped, power / volts, draw)
    most = law.current - law.current_fall * np.minimum(state.speed, w)  # at the slower end of the step
    most = np.where(state.modes.going & ~law.limited, most, 0.0)
    return Supply(volts, current, np.maximum(draw, most), np.maximum(np.abs(current), most))

"""Where the energy of a step went. Each term has its own formula, none is a difference: so their sum is a check."""

from dataclasses import dataclass

import numpy as np
from numpy import count_nonzero

from mechbench.physics._exponential import mean_square
from mechbench.physics._march_layout import FRICTION_TORQUE, LOAD_TORQUE

# Sums of each row, in [J]. What the battery gave is `energy`; SPENT is what became of it.
SPENT = ("heat", "idle", "mesh", "slip", "rotor", "load", "load_torque", "friction", "impact")
SUMS = ("energy", *SPENT)


@dataclass(frozen=True)
class Stretch:
    """What each row covers in one step [R]."""

    time: np.ndarray
    distance: np.ndarray
    x: np.ndarray  # where it ends in its segment
    speed: np.ndarray  # with which it ends
    rotor_speed: np.ndarray  # the same of the rotor
    law_distance: np.ndarray  # of the rotor by the law alone, whatever the row does
    law_speed: np.ndarray


def step_energy(layout, view, state, law, pace, stretch):
    """The terms of a step by their names in SUMS [R]; what is left out is 0. `pace` is that of the rotors."""
    slips, drives = law.slips & state.modes.going, layout.drives
    spin = np.where(slips, stretch.law_distance, stretch.distance) if count_nonzero(slips) else stretch.distance
    heat, energy = _electric(layout, view, state, law, pace, stretch, spin)
    rotor, load, load_torque, friction = _mechanical(layout, view, state, stretch)
    through = load + load_torque + friction  # what the gears pass on
    forward = np.where(state.modes.going, law.driving, through >= 0)
    slipping = {}
    if count_nonzero(slips):
        own = 0.5 * drives.rotor_inertia * (stretch.rotor_speed**2 - state.rotor**2)
        rotor, through = np.where(slips, own, rotor), np.where(slips, law.slip_torque * spin, through)
        slipping["slip"] = np.where(slips, law.slip_torque * (spin - stretch.distance), 0.0)
    mesh = np.where(forward, 1 / drives.efficiency - 1, drives.efficiency_driven - 1) * through
    idle = drives.torque_constant * drives.free_current * spin
    moving = {"load": load, "load_torque": load_torque, "friction": friction, "rotor": rotor}
    terms = {"energy": energy, "heat": heat, "idle": idle, "mesh": mesh, **moving, **slipping}
    if state.modes.all_going:
        return terms
    return {name: np.where(state.modes.active, part, 0.0) for name, part in terms.items()}


def _electric(layout, view, state, law, pace, stretch, s):
    """Heat of the windings; energy out of the battery; s is the angle that the rotors turn, as seen at the output."""
    drives, going, t = layout.drives, state.modes.going, stretch.time
    square = mean_square(pace.speed, stretch.law_speed, pace.acceleration, pace.rate, stretch.law_distance, t)
    square = np.where(s > 0, square, 0.0)  # integral of the speed squared
    charge = law.current * t - law.current_fall * s
    current_angle = law.current * s - law.current_fall * square  # integral of current times speed
    squared = law.current * charge - law.current_fall * current_angle
    if not state.modes.all_going:
        charge = np.where(going, charge, 0.0)
        squared = np.where(going, squared, view.braking_current**2 * t)
        current_angle = np.where(going, current_angle, view.braking_current * s)
    heat = drives.resistance * squared
    at_full_voltage = law.source * charge - layout.battery.resistance * squared
    chopped = heat + drives.torque_constant * current_angle
    return heat, np.where(going & ~law.limited, at_full_voltage, chopped)


def _mechanical(layout, view, state, stretch):
    """Energy of motion gained by rotor and load, work against the load torque, and friction."""
    torques = slice(LOAD_TORQUE, FRICTION_TORQUE + 1)
    middle = 0.5 * (state.x + stretch.x)
    load_torque, friction = (view.left[torques] + view.rise[torques] * middle) * stretch.distance
    before, after = state.speed * state.speed, stretch.speed * stretch.speed
    load = 0.5 * (view.load_inertia(stretch.x) * after - view.load_inertia(state.x) * before)
    return 0.5 * layout.drives.rotor_inertia * (after - before), load, load_torque, friction


def balance_error(sums):
    """What is missing in the energy law, as a share of all energy that changed hands."""
    missing = sums["energy"] - sum(sums[name] for name in SPENT)
    return np.abs(missing) / (sum(np.abs(sums[name]) for name in (*SPENT, "energy")) + 1e-12)

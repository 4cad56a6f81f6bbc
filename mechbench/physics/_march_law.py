"""The law of a step: how each row accelerates while its load is frozen, and where that takes it.

The torque on the load is, with w the speed, J the load's inertia and drag its load torque and friction torque together:

    J w' + drag = efficiency M                     where the motor drives, M = k (I - I_0) - J_rotor w'
    efficiency_driven (J w' + drag) = M            where the load drives the motor
    J w' + drag = torque limit + limit slope w'    where wheels slip

All three are  w' = (force - drag - fall w) / inertia  with other constants; inertia is own_inertia + load_share J.

Which law holds depends on the motor's current at full voltage. That current falls evenly with speed, so a current is a
speed, and there are two levels: over the first the current is held, by the controller or by wheels that slip; under
the second the load drives the motor.
"""

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from mechbench.physics._exponential import time_share, travel
from mechbench.physics._march_layout import FRICTION_TORQUE, INERTIA, LIMIT_SLOPE, LOAD_TORQUE, TORQUE_LIMIT


@dataclass(frozen=True)
class Law:
    """How each going row accelerates in a step [R]. Rows that brake or rest have a law, too, and do not follow it."""

    source: np.ndarray  # voltage of the battery without this row's own sag, but with that of the case's other drives
    levels: np.ndarray  # the two levels of current [2,R]
    over: np.ndarray  # whether the current at full voltage is over them [2,R]
    limited: np.ndarray  # the controller holds the current
    slips: np.ndarray  # the wheels slip
    slip_current: np.ndarray  # nan where they do not
    slip_torque: np.ndarray  # that slipping wheels pass on
    current: np.ndarray  # at speed 0
    current_fall: np.ndarray  # with speed
    force: np.ndarray  # at speed 0
    fall: np.ndarray  # of the force with speed
    drag: np.ndarray  # as it counts in the law
    own_inertia: np.ndarray
    load_share: np.ndarray
    inertia: np.ndarray  # own_inertia + load_share J

    @property
    def driving(self):
        """Whether the motor drives the load; else the load drives the motor."""
        return self.over[1]

    def inertia_at(self, view, x):
        """The inertia of the law at place x of the segment."""
        return self.own_inertia + self.load_share * view.load_inertia(x)


class Pace(NamedTuple):
    """The motion under a law, in the order that _exponential takes: w' = acceleration - rate (w - speed)."""

    speed: np.ndarray
    acceleration: np.ndarray
    rate: np.ndarray


def law_at(layout, view, state, source, x, w):
    """The law of rows at `state` with their loads frozen at place x and speed w."""
    drives, load = layout.drives, view.left + view.rise * x
    drag, inertia = load[LOAD_TORQUE] + load[FRICTION_TORQUE], load[INERTIA]
    if layout.tables.inertia_changes:
        inertia = _inertia_for_time(view, state, x, w)
    levels, slip_torque = _levels(layout, load, drag + view.half_slope * w * w, inertia)
    over = (source - drives.torque_constant * state.speed) / layout.loop_resistance > levels
    if state.passed.any():
        over = np.where(state.passed, state.over, over)
    held, driving = over
    gain, share = np.where(driving, drives.efficiency, 1.0), np.where(driving, 1.0, drives.efficiency_driven)
    current = np.where(held, drives.current_limit, source / layout.loop_resistance)
    current_fall = np.where(held, 0.0, drives.torque_constant / layout.loop_resistance)
    own, constant = gain * drives.rotor_inertia, gain * drives.torque_constant
    law = Law(
        source=source,
        levels=levels,
        over=over,
        limited=held,
        slips=layout.nowhere,
        slip_current=layout.no_current,
        slip_torque=slip_torque,
        current=current,
        current_fall=current_fall,
        force=constant * (current - drives.free_current),
        fall=constant * current_fall,
        drag=share * drag,
        own_inertia=own,
        load_share=share,
        inertia=own + share * inertia,
    )
    if not layout.tables.has_torque_limit:
        return law
    slips = held & (levels[0] < drives.current_limit)
    return _with_slip(layout, law, slips, load, drag, inertia) if slips.any() else law


def _inertia_for_time(view, state, x, w):
    """The load's inertia at the place where the row is in the middle of the time, not of the distance.

    Energies come out right with any inertia that is frozen; with this one the time does, too.
    """
    end_speed = np.maximum(2 * w - state.speed, 0.0)
    return view.load_inertia(state.x + 2 * (x - state.x) * time_share(state.speed, end_speed))


def _levels(layout, load, asked, inertia):
    """The two levels of current, and the torque that wheels pass on while they slip; `asked` is the load's torque."""
    drives = layout.drives
    k, idle, rotor, most = drives.torque_constant, drives.free_current, drives.rotor_inertia, drives.current_limit
    turns, slip_torque = idle - rotor * asked / (k * inertia), 0.0
    if layout.tables.has_torque_limit:
        acceleration = (load[TORQUE_LIMIT] - asked) / (inertia - load[LIMIT_SLOPE])  # of wheels that slip
        slip_torque = load[TORQUE_LIMIT] + load[LIMIT_SLOPE] * acceleration
        most = np.minimum((slip_torque / drives.efficiency + rotor * acceleration) / k + idle, most)
    # Where the current is held before the motor begins to drive, the load always drives.
    return np.array((most, np.where(turns > most, np.inf, turns))), slip_torque


def _with_slip(layout, law, slips, load, drag, inertia):
    """The law where the wheels can't pass the torque on: they push with their grip, their motors turn faster."""
    drives = layout.drives
    slip_current = law.slip_torque / (drives.efficiency * drives.torque_constant) + drives.free_current
    own, share = np.where(slips, -load[LIMIT_SLOPE], law.own_inertia), np.where(slips, 1.0, law.load_share)
    return replace(
        law,
        limited=law.limited & ~slips,
        slips=slips,
        slip_current=np.where(slips, slip_current, np.nan),
        current=np.where(slips, slip_current, law.current),
        force=np.where(slips, load[TORQUE_LIMIT], law.force),
        fall=np.where(slips, 0.0, law.fall),
        drag=np.where(slips, drag, law.drag),
        own_inertia=own,
        load_share=share,
        inertia=own + share * inertia,
    )


def pace_of(layout, view, state, law):
    """Set off under a law. Where its inertia is another than before, the energy of motion is kept, not the speed."""
    speed = state.speed
    if layout.tables.inertia_changes:
        speed = speed * np.sqrt(law.inertia_at(view, state.x) / law.inertia)
    rate = law.fall / law.inertia
    return Pace(speed, (law.force - law.drag) / law.inertia - rate * speed, rate)


def part_way(view, state, pace, t):
    """Distance and speed of every row at time t of a step."""
    return follow(view, state, t, pace, travel(*pace, t))


def follow(view, state, t, pace, by_law):
    """Distance and speed at time t, given those by the law: braking rows follow their plan, resting rows rest."""
    modes = state.modes
    moves = modes.going & ((state.speed > 0) | (pace.acceleration > 0))
    s, w = (np.where(moves, np.maximum(value, 0.0), 0.0) for value in by_law)
    if not modes.any_braking:
        return s, w
    slows = np.where(modes.braking, view.square_last - view.square_first, 0.0) / (2 * view.length)
    s = np.where(modes.braking, state.speed * t + 0.5 * slows * t * t, s)
    return s, np.where(modes.braking, np.maximum(state.speed + slows * t, 0.0), w)

"""The law of a step: how each row accelerates while its load is frozen, and where that takes it.

The torque on the load is, with w the speed, J the load's inertia and drag its load torque and friction torque together:

    J w' + drag = efficiency M                     where the motor drives, M = k (I - I_0) - J_rotor w'
    efficiency_driven (J w' + drag) = M            where the load drives the motor
    J w' + drag = torque limit + limit slope w'    where wheels slip; their rotor then has a speed u of its own:
    J_rotor u' = k (I - I_0) - (torque limit + limit slope w') / efficiency

The first three are  w' = (force - drag - fall w) / inertia  with other constants; inertia is own_inertia +
load_share J.

Which law holds depends on the motor's current at full voltage. That current falls evenly with the rotor's speed, so a
current is a speed, and there are two levels: over the first the controller holds the current, or wheels that grip
begin to slip, whichever is lower; under the second the load drives the motor. Wheels that slip grip again when
their rotor has no more speed than the load.
"""

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy import count_nonzero

from mechbench.physics._exponential import time_share
from mechbench.physics._march_layout import FRICTION_TORQUE, INERTIA, LIMIT_SLOPE, LOAD_TORQUE, TORQUE_LIMIT

SURELY = 1 + 1e-9  # a current over a limit not by its last digits alone
LEAST = 1e-9  # of the load's inertia: a rotor without any would come up to speed in no time


@dataclass(frozen=True)
class Law:
    """How each going row accelerates in a step [R]. Rows that brake or rest have a law, too, and do not follow it."""

    source: np.ndarray  # voltage of the battery without this row's own sag, but with that of the case's other drives
    levels: np.ndarray  # the two levels of current [2,R]
    over: np.ndarray  # whether the current at full voltage is over them [2,R]
    limited: np.ndarray  # the controller holds the current
    slips: np.ndarray  # the wheels slip
    slip_torque: np.ndarray  # that slipping wheels pass on
    current: np.ndarray  # at speed 0
    current_fall: np.ndarray  # with the speed of the rotor
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
        """The inertia of the law at place x of the segment, by which the energy of motion is kept (see _march)."""
        inertia = self.own_inertia + self.load_share * view.load_inertia(x)
        if not (count_nonzero(self.slips) and count_nonzero(view.rise[LIMIT_SLOPE])):
            return inertia
        return np.where(self.slips, self._slipping(view, x), inertia)

    def _slipping(self, view, x):
        """The same where wheels slip: A w' + 1/2 J' w^2 = 0, A = J - limit slope, both straight over the segment.

        So the logarithm of w^2 falls by the integral of J' / A; where the limit slope does not change, by that of A.
        """
        load = view.load_inertia(x)
        slope = np.where(self.own_inertia == 0, 0.0, view.left[LIMIT_SLOPE] + view.rise[LIMIT_SLOPE] * x)
        share = np.where(self.slips, (load - slope) / self.inertia - 1, 0.0)
        bend = np.where(np.abs(share) > 1e-6, np.log1p(share) / np.where(share == 0, 1.0, share), 1 - 0.5 * share)
        return self.inertia * np.exp((load - (self.inertia - self.own_inertia)) / self.inertia * bend)


class Pace(NamedTuple):
    """The motion under a law, in the order that _exponential takes: w' = acceleration - rate (w - speed)."""

    speed: np.ndarray
    acceleration: np.ndarray
    rate: np.ndarray


class Grip(NamedTuple):
    """What wheels pass on while they slip, and the current over which they do [R]; no limit: a current without end."""

    level: np.ndarray
    torque: np.ndarray
    force: np.ndarray  # the torque without acceleration
    slope: np.ndarray  # and how it grows with the acceleration


def law_at(layout, view, state, source, x, w):
    """The law of rows at `state` with their loads frozen at place x and speed w."""
    drives, load = layout.drives, view.left + view.rise * x
    if layout.tables.inertia_changes:
        place = _place_for_time(state, x, w)
        for one in (INERTIA, LIMIT_SLOPE) if layout.tables.has_torque_limit else (INERTIA,):
            load[one] = view.left[one] + view.rise[one] * place
    drag, inertia = load[LOAD_TORQUE] + load[FRICTION_TORQUE], load[INERTIA]
    asked = drag + view.half_slope * w * w
    grip = _grip(layout, load, asked, inertia) if layout.tables.has_torque_limit else None
    levels = _levels(layout, state, grip, asked, inertia)
    full = (source - drives.torque_constant * state.rotor) / layout.loop_resistance
    over = full > levels
    if not count_nonzero(state.passed):
        return _law(layout, state, source, full, levels, over, grip, drag, inertia)
    kept, held = np.where(state.passed, state.over, over), layout.nowhere
    if grip is not None:  # wheels that have just gripped may be held by the controller, too
        held = state.gripped & (full > drives.current_limit * SURELY) & (grip.level >= drives.current_limit)
        kept[0] |= held
    law = _law(layout, state, source, full, levels, kept, grip, drag, inertia)
    if not layout.alone:  # the sag of other drives may move it over a level, too
        return law
    led = _led(layout, state, law, grip, full > levels, kept, held)
    return law if led is kept else _law(layout, state, source, full, levels, led, grip, drag, inertia)


def _led(layout, state, law, grip, over, kept, held):
    """On which side of a level that they stand on rows go on: a rotor that slows down takes more current.

    Both sides accelerate alike there. Wheels that grip again slip once more only where they have too much current, too;
    where the controller holds it (`held`), they stand on no level.
    """
    slows = rotor_pace(layout, state, law, _at(state.speed, law)).acceleration < 0
    side = np.array((slows, slows))
    if grip is not None:
        gripped = ~state.slipping & ~kept[0] & (grip.level < layout.drives.current_limit)
        side[0] &= ~gripped | over[0]
        side[0] |= held
    side = np.where(state.passed & ~state.still & state.modes.going, side, kept)
    return kept if (side == kept).all() else side


def _law(layout, state, source, full, levels, over, grip, drag, inertia):
    """The law of rows that are over the levels, or not."""
    drives, slips = layout.drives, layout.nowhere
    if grip is not None:
        starts = over[0] & ~state.slipping & (grip.level < drives.current_limit) & state.modes.going
        slips = state.slipping | starts
        if count_nonzero(starts):
            levels = np.array((np.where(starts, drives.current_limit, levels[0]), np.where(starts, -np.inf, levels[1])))
            over = np.array((np.where(starts, full > levels[0], over[0]), over[1] | starts))
    held, driving = over
    if grip is not None:  # the level of wheels that grip is not the controller's, where it is lower
        held = np.where(~slips & (grip.level < drives.current_limit), full > drives.current_limit, held)
    gain, share = np.where(driving, drives.efficiency, 1.0), np.where(driving, 1.0, drives.efficiency_driven)
    current = np.where(held, drives.current_limit, source / layout.loop_resistance)
    current_fall = np.where(held, 0.0, drives.torque_constant / layout.loop_resistance)
    own, constant = gain * drives.rotor_inertia, gain * drives.torque_constant
    law = Law(
        source=source,
        levels=levels,
        over=over,
        limited=held,
        slips=slips,
        slip_torque=0.0 if grip is None else grip.torque,
        current=current,
        current_fall=current_fall,
        force=constant * (current - drives.free_current),
        fall=constant * current_fall,
        drag=share * drag,
        own_inertia=own,
        load_share=share,
        inertia=own + share * inertia,
    )
    return _with_slip(law, slips, grip, drag, inertia) if count_nonzero(slips) else law


def _place_for_time(state, x, w):
    """The place where the row is in the middle of the time, not of the distance: there the inertia is taken.

    Energies come out right with any inertia that is frozen; with this one the time does, too.
    """
    end_speed = np.maximum(2 * w - state.speed, 0.0)
    return state.x + 2 * (x - state.x) * time_share(state.speed, end_speed)


def _grip(layout, load, asked, inertia):
    """What the wheels pass on, if they slip; `asked` is the load's torque. Wheels that leave the floor push no more."""
    drives, force, slope = layout.drives, load[TORQUE_LIMIT], load[LIMIT_SLOPE]
    lifts = force * inertia < slope * asked
    force, slope = np.where(lifts, 0.0, force), np.where(lifts, 0.0, slope)
    acceleration = (force - asked) / (inertia - slope)
    torque = force + slope * acceleration
    inner = torque / drives.efficiency + drives.rotor_inertia * acceleration
    return Grip(inner / drives.torque_constant + drives.free_current, torque, force, slope)


def _levels(layout, state, grip, asked, inertia):
    """The two levels of current [2,R]; `asked` is the load's torque."""
    drives = layout.drives
    k, idle, rotor, most = drives.torque_constant, drives.free_current, drives.rotor_inertia, drives.current_limit
    turns = idle - rotor * asked / (k * inertia)
    if grip is not None:
        most = np.where(state.slipping, most, np.minimum(grip.level, most))
        turns = np.where(state.slipping, -np.inf, turns)  # slipping wheels are driven
    # Where the current is held before the motor begins to drive, the load always drives.
    return np.array((most, np.where(turns > most, np.inf, turns)))


def _with_slip(law, slips, grip, drag, inertia):
    """The law where the wheels can't pass the torque on: they push with their grip, their motors turn faster."""
    own, share = np.where(slips, -grip.slope, law.own_inertia), np.where(slips, 1.0, law.load_share)
    return replace(
        law,
        force=np.where(slips, grip.force, law.force),
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
    return _at(speed, law)


def _at(speed, law):
    """The pace of a law at a speed."""
    rate = law.fall / law.inertia
    return Pace(speed, (law.force - law.drag) / law.inertia - rate * speed, rate)


def rotor_pace(layout, state, law, pace):
    """The motion of the rotors: that of their loads, but where wheels slip.

    J_rotor u' = k (I - I_0) - slip torque / efficiency
    """
    if not count_nonzero(law.slips):
        return pace
    drives = layout.drives
    inertia = np.maximum(drives.rotor_inertia, LEAST * law.inertia)
    force = drives.torque_constant * (law.current - drives.free_current) - law.slip_torque / drives.efficiency
    rate = drives.torque_constant * law.current_fall / inertia
    own = state.rotor, force / inertia - rate * state.rotor, rate
    return Pace(*(np.where(law.slips, mine, common) for mine, common in zip(own, pace)))


def follow(view, state, t, pace, by_law):
    """Distance and speed at time t, given those by the law: braking rows follow their plan, resting rows rest."""
    modes = state.modes
    moves = modes.going & ((state.speed > 0) | (pace.acceleration > 0))
    s, w = (np.where(moves, np.maximum(value, 0.0), 0.0) for value in by_law)
    if not modes.any_braking:
        return s, w
    first, last = (np.where(modes.braking, square, 0.0) for square in (view.square_first, view.square_last))
    slows = (last - first) / (2 * view.length)
    s = np.where(modes.braking, state.speed * t + 0.5 * slows * t * t, s)
    return s, np.where(modes.braking, np.maximum(state.speed + slows * t, 0.0), w)

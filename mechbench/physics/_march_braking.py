"""Braking of a march, planned before it begins: how fast each row may be at each point, so as to end at rest.

The plan is made backwards from rest at the end, segment by segment. Within a segment the load is frozen at its middle
and the current is constant, so the square of the speed falls straight over the distance. A going row that meets this
curve brakes, and follows it to the end.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics._march_layout import (
    BRAKING_LIMIT,
    FRICTION_TORQUE,
    INERTIA,
    LIMIT_SLOPE,
    LOAD_TORQUE,
    NO_LIMIT,
    POSITION,
    TORQUE_LIMIT,
)


@dataclass(frozen=True)
class BrakingPlan:
    """The plan of all rows."""

    # Five values of each segment, rows and segments in one axis [5,R(N-1)]: the last five fields of View, in order.
    segments: np.ndarray
    runaway: np.ndarray  # point from which on a row can no longer be stopped, -1 where it always can [R]
    stop_current: np.ndarray  # that would hold every row at rest at its worst place [R]


@dataclass(frozen=True)
class Braking:
    """How the segments are braked [R,N-1]. The inertia that counts is own_inertia + load_share J, J of the load."""

    acceleration: np.ndarray  # below 0; without the torque of a changing inertia, which back_from_rest adds
    own_inertia: np.ndarray
    load_share: np.ndarray
    current: np.ndarray  # through the motors; below 0 where it slows them down


def plan_braking(layout, end, brake):
    """Plan the braking of every row, with a share `brake` of the current that a battery at its reset level can give."""
    tables = layout.tables
    most = brake * _most_braking(layout)
    if end == "pass":
        return _without_braking(layout, most)
    middle, gap = tables.values[:, :, :-1] + 0.5 * tables.steps, tables.steps[POSITION]
    half_slope, inertia_torque = 0.25 * tables.steps[INERTIA] / np.where(gap > 0, gap, 1.0), np.zeros_like(gap)
    # A changing inertia adds a torque that depends on the speed. The first pass finds the speed, the second uses it.
    for _ in range(2 if tables.inertia_changes else 1):
        braking = brake_segments(layout, most, middle, inertia_torque)
        squares = back_from_rest(layout, braking, middle[INERTIA])
        real = np.maximum(squares, 0.0)
        inertia_torque = half_slope * (real[:, 1:] + real[:, :-1])
    lost = squares < 0  # no speed is low enough there
    runaway = np.full(layout.row_count, -1)
    if lost.any():
        runaway = _first_lost(lost, back_from_rest(layout, braking, middle[INERTIA], anywhere=True) < 0)
    # Up to there nothing is braked: does it get there, or does it stall before?
    squares = np.where(np.arange(layout.point_count) <= runaway[:, None], np.inf, squares)
    parts = squares[:, :-1], squares[:, 1:], braking.current, braking.own_inertia, braking.load_share
    return BrakingPlan(np.array(parts).reshape(5, -1), runaway, _stop_current(layout, middle))


def _first_lost(lost, runs):
    """The first point from which a row that runs on is never stopped again; -1 where none is lost [R].

    lost: from rest there it is not at rest at the end; runs: nor anywhere else on its way. Both hold at the last one.
    """
    number = np.arange(lost.shape[1])
    last = np.max(np.where(lost, number, -1), axis=1)
    return np.where(last < 0, -1, np.max(np.where(~runs & (number < last[:, None]), number, -1), axis=1) + 1)


def _stop_current(layout, load):
    """Braking current that holds each row at rest at its worst place; inf where its wheels, or a limit, do not."""
    drives, falls = layout.drives, -(load[LOAD_TORQUE] + load[FRICTION_TORQUE])
    most = np.minimum(load[TORQUE_LIMIT], load[BRAKING_LIMIT])
    worst = np.max(np.where(falls > most, np.inf, falls), axis=1)
    through = np.where(np.isinf(worst), np.inf, drives.efficiency_driven * np.minimum(np.maximum(worst, 0.0), NO_LIMIT))
    return np.maximum(through / drives.torque_constant - drives.free_current, 0.0)


def _most_braking(layout):
    """The controller's limit, or what the motor takes at standstill on a battery at its reset level, if that is less.

    A battery that would then be below its reset level is asked for less: for the power that it has at this level.
    """
    drives, battery = layout.drives, layout.battery
    push = (battery.open_circuit - battery.reset_level) / np.maximum(battery.resistance, 1e-12)
    by_power = np.sqrt(battery.reset_level * push / drives.resistance)
    return np.minimum(np.minimum(drives.current_limit, battery.reset_level / drives.resistance), by_power)


def _without_braking(layout, most):
    """The plan of a move that passes its end: no speed is too high, no row ever brakes."""
    segments = np.zeros((5, layout.row_count * (layout.point_count - 1)))
    segments[:2], segments[2] = np.inf, np.repeat(-most, layout.point_count - 1)
    return BrakingPlan(segments, np.full(layout.row_count, -1), np.zeros(layout.row_count))


def back_from_rest(layout, braking, inertia, anywhere=False):
    """Square of the highest speed at each point [R,N]; below 0 where even a row at rest could not be stopped.

    Stopped at the end, or, where `anywhere` is asked, at any point further on. Energy of motion is kept where the
    inertia changes over a distance, momentum where it jumps up (that of the rotors by the share that gears pass on).
    """
    steps, before = layout.tables.steps, layout.tables.values[INERTIA, :, :-1]
    gap, rise = steps[POSITION], steps[INERTIA]
    counts, half = braking.own_inertia + braking.load_share * inertia, 0.5 * braking.load_share * rise
    geared = (layout.drives.efficiency * layout.drives.rotor_inertia)[:, None]
    jump = np.maximum(1 + rise / (before + geared), 1.0)
    grows = np.where(gap > 0, (counts + half) / (counts - half), jump**2)
    more = -2 * braking.acceleration * gap * counts / (counts - half)
    squares = np.zeros((layout.row_count, layout.point_count))
    for n in range(layout.point_count - 2, -1, -1):
        after = np.maximum(squares[:, n + 1], 0.0) if anywhere else squares[:, n + 1]
        squares[:, n] = after * grows[:, n] + more[:, n]
    return squares


def brake_segments(layout, most, load, inertia_torque):
    """Brake every segment with the current `most` under a load frozen in its middle; less where that is too much."""
    drives = layout.drives
    k, idle, rotor = (part[:, None] for part in (drives.torque_constant, drives.free_current, drives.rotor_inertia))
    efficiency, driven = drives.efficiency[:, None], drives.efficiency_driven[:, None]
    most, drag, inertia = most[:, None], load[LOAD_TORQUE] + load[FRICTION_TORQUE], load[INERTIA]
    inner = -k * (most + idle)  # torque of the motor before its rotor's inertia
    driving = inner * inertia + rotor * (drag + inertia_torque) >= 0  # friction may slow the load before its rotor
    gain, share = np.where(driving, efficiency, 1.0), np.where(driving, 1.0, driven)
    own = gain * rotor
    counts = own + share * inertia
    full = Braking((gain * inner - share * drag) / counts, own, share, np.broadcast_to(-most, drag.shape))
    whole = full.acceleration - share * inertia_torque / counts
    grip = np.minimum(load[TORQUE_LIMIT] + load[LIMIT_SLOPE] * whole, load[BRAKING_LIMIT])
    eased = -(inertia * whole + drag + inertia_torque) > grip
    if not eased.any():
        return full
    held = _ease_off(layout, load, drag, inertia_torque)
    return Braking(
        np.where(eased, held.acceleration, full.acceleration),
        np.where(eased, held.own_inertia, full.own_inertia),
        np.where(eased, held.load_share, full.load_share),
        np.where(eased, held.current, full.current),
    )


def _ease_off(layout, load, drag, inertia_torque):
    """Brake with all that the wheels, or a limit set on braking, can take, and with the current that this needs."""
    drives, inertia = layout.drives, load[INERTIA]
    by_limit = -(load[BRAKING_LIMIT] + drag + inertia_torque) / inertia
    grips = inertia + load[LIMIT_SLOPE]  # below 0 braking presses the wheels down by more than it asks of them
    by_grip = -(load[TORQUE_LIMIT] + drag + inertia_torque) / np.where(grips > 0, grips, np.nan)
    by_grip = np.where(grips > 0, by_grip, -np.inf)
    own = np.where(by_limit > by_grip, 0.0, load[LIMIT_SLOPE])
    whole = np.maximum(by_limit, by_grip)
    torque = inertia * whole + drag + inertia_torque
    efficiency, driven = drives.efficiency[:, None], drives.efficiency_driven[:, None]
    through_gears = np.where(torque >= 0, torque / efficiency, torque * driven)
    inner = through_gears + drives.rotor_inertia[:, None] * whole
    current = inner / drives.torque_constant[:, None] + drives.free_current[:, None]
    return Braking(whole + inertia_torque / (inertia + own), own, np.ones_like(own), current)

"""Moves drawn at random, as tables for mechbench and as pieces for the second solver: both are the same machine."""

from types import SimpleNamespace

import numpy as np

from mechbench.physics.drive import Line
from mechbench.physics.motion import Bus, Load
from tests.physics.reference_motion import Drive, Piece, flat, straight

NAMES = "load_torque", "friction_torque", "inertia", "torque_limit", "limit_slope", "braking_limit"


def random_line(rng):
    """One to four motors of some size behind some gears; often with a controller's limit."""
    count, ratio, eta = rng.integers(1, 5), np.exp(rng.uniform(np.log(6), np.log(90))), rng.uniform(0.65, 0.98)
    r, k, idle = rng.uniform(0.25, 1.6) / count, rng.uniform(0.012, 0.022) * ratio, rng.uniform(0.1, 0.6) * count
    limit = rng.choice([np.inf, rng.uniform(2.0, 25.0) * count])
    return Line(r, k, idle, count * rng.uniform(4e-6, 4e-5) * ratio**2, eta, max(2 - 1 / eta, 0.0), limit)


def random_load(rng, line, volts, points, pieces):
    """Tables on equal steps of each piece, values straight within it; in jumps from one piece to the next."""
    stall = (
        line.efficiency * line.torque_constant * (min(volts / line.resistance, line.current_limit) - line.free_current)
    )
    top = volts / line.torque_constant
    length = top * np.exp(rng.uniform(np.log(0.15), np.log(2.5)))
    knots = length * np.r_[0, np.sort(rng.uniform(0.15, 0.85, pieces - 1)), 1]
    grips = rng.random() < 0.5
    ends = lambda low, high: (
        rng.uniform(low, high) * np.ones((pieces, 2)) + (rng.random() < 0.6) * rng.uniform(low, high, (pieces, 2)) * 0.3
    )
    inertia = line.rotor_inertia * np.exp(rng.uniform(np.log(0.3), np.log(20))) * ends(0.7, 1.3)
    values = {
        "load_torque": stall * ends(0.0, 0.25) if grips else stall * ends(-0.1, 0.35),
        "friction_torque": stall * ends(0.01, 0.15),
        "inertia": inertia,
        "torque_limit": stall * ends(0.3, 1.0) if grips else np.full((pieces, 2), np.inf),
        "limit_slope": rng.choice([0.0, rng.uniform(-3.0, 0.6)]) * inertia * grips,
        "braking_limit": stall * ends(0.3, 1.0) if rng.random() < 0.3 else np.full((pieces, 2), np.inf),
    }
    spread = lambda table: np.concatenate(
        [np.linspace(*pair, points) if np.isfinite(pair).all() else np.full(points, np.inf) for pair in table]
    )
    load = Load(spread(np.c_[knots[:-1], knots[1:]]), *(spread(values[name]) for name in NAMES))

    def piece(n):
        start, end = knots[n], knots[n + 1]
        line = lambda name: (
            straight(*values[name][n], start, end) if np.isfinite(values[name][n]).all() else flat(np.inf)
        )
        slope = (values["inertia"][n][1] - values["inertia"][n][0]) / (end - start)
        parts = {name: line(name) for name in NAMES}
        return Piece(start, end, inertia_slope=flat(slope), **parts)

    return load, [piece(n) for n in range(pieces)]


def random_machine(seed, points=30, most=3):
    """One to three drives on one battery."""
    rng = np.random.default_rng([17, seed])
    volts = rng.uniform(9.5, 14.0)
    bus = Bus(volts, rng.choice([rng.uniform(0.0, 0.05), rng.uniform(0.05, 0.3)]), rng.uniform(5.5, 8.0))
    pieces = int(rng.integers(1, 4))
    lines = [random_line(rng) for _ in range(rng.integers(1, most + 1))]
    loads, parts = zip(*(random_load(rng, line, volts, points, pieces) for line in lines))
    drives = [Drive(line, part) for line, part in zip(lines, parts)]
    end = rng.choice(["rest", "rest", "pass"])
    return SimpleNamespace(lines=lines, loads=list(loads), bus=bus, drives=drives, end=str(end))


def numbers_of(done):
    """All numbers of a Move, with those that are added up only when they are asked for."""
    values = [*(value for name, value in vars(done).items() if name != "march"), done.heat, done.energy]
    return [value for value in values if getattr(value, "dtype", None) is not None and value.dtype.kind == "f"]

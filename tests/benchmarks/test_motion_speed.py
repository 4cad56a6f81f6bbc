"""How much quicker one sweep of 200 drives is than an adaptive solver that takes them one by one, at equal accuracy.

Two sets: plain (a constant load, passing the end), and hard (a sagging battery, grip that grows with acceleration, an
inertia that changes, stopped at the end). Both are given as little to do as keeps their times within 0.1 % of scipy's
tight ones: scipy the loosest tolerance, the sweep the fewest points. scipy is given closed formulas, no root search.
Ratios only: both are timed in one run.
"""

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from mechbench.physics.drive import Line
from mechbench.physics.motion import Bus, Load, move
from tests.benchmarks.ratios import at_least, processor_time

pytestmark = pytest.mark.benchmark
COUNT, ONE_BY_ONE = 200, 12
GOAL, BOUND = 100, 20


def cases(hard):
    """Columns of 200 different drives, spread evenly."""
    share = np.linspace(0, 1, COUNT)
    case = {
        "ratio": 12 + 8 * share,
        "volts": 12.0 + share,
        "friction_torque": 0.05 + 0.1 * share,
        "end": 12.0 + 4 * share,
    }
    case["sag"] = 0.05 + 0.15 * share if hard else np.zeros(COUNT)
    case["torque_limit"] = (1.0 + 0.4 * share) if hard else np.full(COUNT, np.inf)
    case["limit_slope"] = np.full(COUNT, 0.004 if hard else 0.0)
    case["grow"] = np.full(COUNT, 0.5 if hard else 0.0)
    return case


def line_of(case):
    ratio = case["ratio"]
    return Line(1.25 / 2, 0.0175 * ratio, 0.5, 2 * 7.5e-6 * ratio**2, 0.81, 0.765, 30.0)


def inertia(case, q):
    return 0.03 * (1 + case["grow"] * np.sin(q / 8))


def sweep(case, hard, points):
    """All of them at once."""
    q = case["end"][:, None] * np.linspace(0, 1, points)
    wide = {k: v[:, None] for k, v in case.items()}
    load = Load(
        q,
        0.0,
        wide["friction_torque"],
        inertia(wide, q),
        torque_limit=wide["torque_limit"],
        limit_slope=wide["limit_slope"],
    )
    return move(line_of(case), load, Bus(case["volts"], case["sag"]), end="rest" if hard else "pass").time[:, 0]


def alone(case, i, hard, rtol):
    """One of them by scipy: forwards to the braking curve, which is integrated backwards, then along it."""
    one = {k: float(v[i]) for k, v in case.items()}
    line = Line(*(float(np.broadcast_to(getattr(line_of(case), f), (COUNT,))[i]) for f in Line.__dataclass_fields__))
    k, eta, jr = line.torque_constant, line.efficiency, line.rotor_inertia

    def bend(q, w):
        return 0.5 * 0.03 * one["grow"] / 8 * np.cos(q / 8) * w * w

    def forwards(q, w):
        amps = min((one["volts"] - k * w) / (line.resistance + one["sag"]), line.current_limit)
        j, drag = inertia(one, q), one["friction_torque"] + bend(q, w)
        a = (eta * k * (amps - line.free_current) - drag) / (j + eta * jr)
        slipping = j * a + drag > one["torque_limit"] + one["limit_slope"] * a
        return (one["torque_limit"] - drag) / (j - one["limit_slope"]) if slipping else a

    def backwards(q, w):
        amps = min(line.current_limit, 7.0 / line.resistance) + line.free_current
        j, drag = inertia(one, q), one["friction_torque"] + bend(q, w)
        a = (-k * amps - line.efficiency_driven * drag) / (line.efficiency_driven * j + jr)
        slipping = -(j * a + drag) > one["torque_limit"] + one["limit_slope"] * a
        return -(one["torque_limit"] + drag) / (j + one["limit_slope"]) if slipping else a

    def reached(t, y):
        return y[0] - one["end"]

    reached.terminal = True
    if not hard:
        return solve_ivp(lambda t, y: (y[1], forwards(*y)), (0, 30), (0, 0), events=reached, rtol=rtol, atol=1e-9).t[-1]
    curve = solve_ivp(
        lambda q, s: [2 * backwards(q, np.sqrt(max(s[0], 0)))],
        (one["end"], 0),
        [0.0],
        rtol=rtol,
        atol=1e-9,
        dense_output=True,
    ).sol

    def brakes(t, y):
        return y[1] ** 2 - curve(min(y[0], one["end"]))[0]

    brakes.terminal, brakes.direction = True, 1
    up = solve_ivp(lambda t, y: (y[1], forwards(*y)), (0, 30), (0, 0), events=brakes, rtol=rtol, atol=1e-9)

    def still(t, y):
        return y[1] - 1e-6

    still.terminal = True
    down = solve_ivp(lambda t, y: (y[1], backwards(*y)), (0, 30), up.y[:, -1], events=still, rtol=rtol, atol=1e-9)
    return up.t[-1] + down.t[-1]


def loosest(case, hard, some):
    """The loosest tolerance that keeps scipy within 0.1 % of its own tight answer."""
    tight = [alone(case, i, hard, 1e-9) for i in some]
    for rtol in (1e-2, 5e-3, 2e-3, 1e-3, 5e-4, 2e-4, 1e-4, 1e-5, 1e-6):
        if np.max(np.abs(np.array([alone(case, i, hard, rtol) for i in some]) / tight - 1)) < 1e-3:
            return rtol, np.array(tight)
    raise AssertionError("scipy never came within 0.1 % of itself")


def fewest(case, hard, some, tight):
    """The fewest points that keep the sweep within 0.1 % of scipy's tight answer."""
    for points in (2, 3, 4, 5, 6, 8, 11, 16, 31, 61):
        if np.max(np.abs(sweep(case, hard, points)[some] / tight - 1)) < 1e-3:
            return points
    raise AssertionError("the sweep never came within 0.1 % of scipy")


@pytest.mark.parametrize("hard", [False, True], ids=["plain", "hard"])
def test_200_drives_at_once_against_one_by_one(hard, hold):
    case, some = cases(hard), np.linspace(0, COUNT - 1, ONE_BY_ONE).astype(int)
    rtol, tight = loosest(case, hard, some)
    points = fewest(case, hard, some, tight)

    def measure():
        at_once = processor_time(lambda: sweep(case, hard, points), 5) / COUNT
        one_by_one = processor_time(lambda: [alone(case, i, hard, rtol) for i in some], 5) / ONE_BY_ONE
        what = f"a {'hard' if hard else 'plain'} drive by scipy, beside one of {COUNT} at once"
        return [at_least(what, one_by_one / at_once, BOUND, GOAL, f"{points} points against rtol {rtol:g}")]

    hold(measure)

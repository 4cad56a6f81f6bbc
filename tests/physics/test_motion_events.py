"""What changes inside a step of a move: wheels grip again or slip, the current limit ends, the load drives the motor.

Each is tried on tables so coarse that it lies far from any point, against scipy, which is stopped where it happens.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from tests.physics.test_motion import G, Slice, small_line
from tests.published import RECOMPUTED, check

from mechbench.physics.motion import Bus, Load, move

RADIUS, MASS, VOLTS, SAG = 0.045, 12.0, 13.0, 0.12
ROBOT = dict(rub=0.05 * MASS * G * RADIUS, inertia=MASS * RADIUS**2, cap=0.48 * MASS * G * RADIUS, cap_slope=0.006)
SOURCE = "second solver: scipy, stopped where wheels grip or slip"


def by_events(line, end, rub, inertia, cap=1e9, cap_slope=0.0, pull=0.0, start=(0.0, 0.0)):
    """One drive under an unchanging load, from start to end or to a stop: what it took, and where it ended."""
    k, jr = line.torque_constant, line.rotor_inertia
    a_slip = (cap - rub - pull) / (inertia - cap_slope)
    slip_amps = (cap + cap_slope * a_slip) / (line.efficiency * k) + line.idle_current

    def grip(w):
        amps = min((VOLTS - k * w) / (line.resistance + SAG), line.current_limit)
        inner = k * (amps - line.idle_current)
        if inner * inertia + jr * (rub + pull) >= 0:  # torque goes from the motor to the load
            return (line.efficiency * inner - rub - pull) / (inertia + line.efficiency * jr), amps
        return (inner - line.efficiency_driven * (rub + pull)) / (jr + line.efficiency_driven * inertia), amps

    def rhs(t, y):
        a, amps = (a_slip, slip_amps) if slips else grip(y[1])
        held = amps == line.current_limit
        power = amps * (line.resistance * amps + k * y[1]) if held else (VOLTS - SAG * amps) * amps
        return y[1], a, line.resistance * amps**2, power

    def changes(t, y):
        return a_slip - grip(y[1])[0]

    def arrives(t, y):
        return y[0] - end

    def stands(t, y):
        return y[1]

    changes.terminal = arrives.terminal = stands.terminal = True
    stands.direction = -1
    now, state, peak, slip_time = 0.0, np.array([*start, 0.0, 0.0]), 0.0, 0.0
    slips = grip(start[1])[0] > a_slip
    while True:
        changes.direction = 1 if slips else -1
        part = solve_ivp(rhs, (0, 100), state, events=(changes, arrives, stands), rtol=1e-9, atol=1e-11, max_step=0.05)
        amps = [slip_amps] if slips else [grip(part.y[1, n])[1] for n in (0, -1)]
        now, state, slip_time = now + part.t[-1], part.y[:, -1], slip_time + slips * part.t[-1]
        peak = max(peak, *amps)
        if not part.t_events[0].size:
            found = dict(zip(("where", "speed", "heat", "energy"), state))
            return found | dict(time=now, slip_time=slip_time, peak=peak)
        slips = not slips


@pytest.mark.parametrize("points", [4, 9, 31])
@pytest.mark.parametrize("ratio", [12, 16, 30])
def test_where_slip_ends_does_not_depend_on_the_points(ratio, points):
    line, end, name = small_line(ratio, 4), 40.0, f"slips, then grips, {ratio}:1, {points} points"
    done = move(line, Load(np.linspace(0, end, points), 0.0, **ROBOT), Bus(VOLTS, SAG), end="pass")
    ref = by_events(line, end, **ROBOT)
    assert 0.02 < ref["slip_time"] < 0.9 * ref["time"], "it must slip and then grip, or it proves nothing"
    check("motion", f"{name}: highest current", done.peak_current[0, 0], ref["peak"], 1e-4, SOURCE, RECOMPUTED)
    check("motion", f"{name}: time", done.time[0, 0], ref["time"], 1e-5, SOURCE, RECOMPUTED)
    check("motion", f"{name}: winding heat", done.heat[0, 0], ref["heat"], 1e-4, SOURCE, RECOMPUTED)
    check("motion", f"{name}: energy", done.energy[0, 0], ref["energy"], 1e-4, SOURCE, RECOMPUTED)
    check("motion", f"{name}: time with slip", done.slip_time[0, 0], ref["slip_time"], 1e-4, SOURCE, RECOMPUTED)
    assert done.speed[0, 0, -1] == pytest.approx(ref["speed"], rel=1e-6)
    assert done.bus_current[0] == pytest.approx(done.peak_current[0, 0])
    assert done.volts_min[0] == pytest.approx(VOLTS - SAG * done.bus_current[0])
    assert done.balance_error[0, 0] < 1e-5


@pytest.mark.parametrize("points", [2, 15])
def test_wheels_that_grip_slip_where_the_robot_has_slowed_down_enough(points):
    """On the flat, then up a slope that is too steep for its grip but not for its motors: slips, and stands."""
    line, flat, steep = small_line(16, 4), 30.0, dict(ROBOT, rub=ROBOT["rub"] + 2.6)
    first = by_events(line, flat, **dict(ROBOT, cap=1e9))
    ref = by_events(line, 100.0, **steep, start=(flat, first["speed"]))
    assert 0.1 < ref["slip_time"] < 0.9 * ref["time"] and ref["where"] < 99
    rub, cap = np.repeat([ROBOT["rub"], steep["rub"]], points), np.repeat([1e9, ROBOT["cap"]], points)
    q = np.r_[np.linspace(0, flat, points), np.linspace(flat, 100.0, points)]
    done = move(line, Load(q, 0.0, rub, ROBOT["inertia"], cap, ROBOT["cap_slope"]), Bus(VOLTS, SAG), end="pass")
    assert done.why[0, 0] == "slipped" and np.isinf(done.time[0, 0])
    name, heat = f"grips, then slips, {points} points", first["heat"] + ref["heat"]
    check("motion", f"{name}: place", done.where[0, 0], ref["where"], 1e-5, SOURCE, RECOMPUTED)
    check("motion", f"{name}: time with slip", done.slip_time[0, 0], ref["slip_time"], 1e-4, SOURCE, RECOMPUTED)
    check("motion", f"{name}: winding heat", done.heat[0, 0], heat, 1e-4, SOURCE, RECOMPUTED)
    assert done.slip_current[0, 0] == pytest.approx(ref["peak"]) and done.balance_error[0, 0] < 1e-5


@pytest.mark.parametrize("points", [2, 5])
@pytest.mark.parametrize(
    "what, line, load",
    [
        ("the limit ends", small_line(16, 4, limit=2.5), dict(pull=0.0, rub=0.2, inertia=0.024)),
        ("the load takes over", small_line(64), dict(pull=-1.5, rub=0.1, inertia=0.12)),
        ("the limit ends, the load takes over", small_line(64, limit=1.5), dict(pull=-1.5, rub=0.1, inertia=0.12)),
    ],
)
def test_limit_and_driving_load_end_inside_a_step(what, line, load, points):
    ref = by_events(line, 9.0, **load)
    done = move(line, Load(np.linspace(0, 9.0, points), **load), Bus(VOLTS, SAG), end="pass")
    source = "second solver: scipy with tight steps"
    for name, got in (("time", done.time), ("heat", done.heat), ("energy", done.energy)):
        check("motion", f"{what}, {points} points: {name}", got[0, 0], ref[name], 1e-4, source, RECOMPUTED)
    assert done.balance_error[0, 0] < 1e-5


@pytest.mark.parametrize("end", ["rest", "pass"])
def test_under_an_unchanging_load_four_points_are_as_good_as_sixty_one(end):
    rng = np.random.default_rng(7)
    ranges = (10, 40), (8, 60), (-0.5, 2), (0, 0.2), (0.8, 4)
    ratio, limit, pull, rub, cap = (rng.uniform(low, high, 100) for low, high in ranges)
    line = replace(small_line(ratio, 4), current_limit=np.where(limit > 40, np.inf, limit))
    load = [part[:, None] for part in (pull, rub, rng.uniform(0.01, 0.05, 100), cap, rng.uniform(-0.002, 0.004, 100))]
    length = rng.uniform(2, 40, 100)[:, None]
    coarse, fine = (move(line, Load(length * np.linspace(0, 1, n), *load), Bus(12.8, 0.12), end) for n in (4, 61))
    assert (coarse.why == fine.why).all() and (coarse.why == "arrived").sum() > 80
    assert ((fine.slip_time > 0) & (fine.slip_time < 0.8 * fine.time)).sum() > 20, "enough of them slip and grip"
    for name in ("time", "peak_current", "heat", "energy", "slip_time", "bus_current", "volts_min"):
        assert getattr(coarse, name) == pytest.approx(getattr(fine, name), rel=1e-5, abs=1e-9), name
    assert max(coarse.balance_error.max(), fine.balance_error.max()) < 1e-5


def test_two_drives_on_one_battery_find_the_same_highest_current_on_coarse_tables():
    case = Slice()
    fine = case.ours(200)
    for points in (8, 30):
        coarse = case.ours(points)
        assert coarse.peak_current[0] == pytest.approx(fine.peak_current[0], rel=5e-4)
        assert coarse.time[0] == pytest.approx(fine.time[0], rel=5e-4)
        assert coarse.balance_error.max() < 1e-5


@pytest.mark.parametrize("limits", [dict(cap=0.5, cap_slope=0.004), dict(brake_cap=0.3)])
def test_braking_that_is_eased_off_keeps_its_energies_while_the_inertia_changes(limits):
    """The torque of a changing inertia is part of what the wheels take, and so of the braking current."""
    q = np.linspace(0, 20, 241)
    done = move(small_line(16, 4), Load(q, 0.0, 0.1, 0.03 * (1 + 0.6 * np.sin(q / 3)), **limits), Bus(VOLTS, SAG))
    assert done.why[0, 0] == "arrived" and done.balance_error[0, 0] < 1e-3

"""What changes inside a step of a move: wheels grip again or slip, the current limit ends, the load drives the motor.

Each is tried on tables so coarse that it lies far from any point, against scipy, which is stopped where it happens.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from mechbench.physics.motion import Bus, Load, move
from tests.physics.random_moves import numbers_of
from tests.physics.reference_motion import Drive, Piece, flat, run, straight
from tests.physics.test_motion import SMALL, G, Slice, small_line
from tests.published import RECOMPUTED, check

RADIUS, MASS, VOLTS, SAG = 0.045, 12.0, 13.0, 0.12
ROBOT = dict(
    friction_torque=0.05 * MASS * G * RADIUS,
    inertia=MASS * RADIUS**2,
    torque_limit=0.48 * MASS * G * RADIUS,
    limit_slope=0.006,
)
SOURCE = "second solver: scipy, stopped where wheels grip or slip"


def by_events(line, *pieces):
    """One drive under loads that do not change on each (length, load): what it took, and where it ended."""
    values = {"load_torque": 0.0, "torque_limit": np.inf, "limit_slope": 0.0}
    ends = np.cumsum([0.0, *(length for length, _ in pieces)])
    parts = [{name: flat(value) for name, value in {**values, **load}.items()} for _, load in pieces]
    drive = Drive(line, [Piece(*way, **part) for way, part in zip(zip(ends, ends[1:]), parts)])
    found = run([drive], VOLTS, SAG, 7.0, end="pass")
    one = {name: value[0] for name, value in found.items() if np.ndim(value)}
    return one | {"energy": found["energy"], "peak": found["peak_current"][0], "speed": found["end_speed"][0]}


@pytest.mark.parametrize("points", [4, 9, 31])
@pytest.mark.parametrize("ratio", [12, 16, 30])
def test_where_slip_ends_does_not_depend_on_the_points(ratio, points):
    line, end, name = small_line(ratio, 4), 40.0, f"slips, then grips, {ratio}:1, {points} points"
    done = move(line, Load(np.linspace(0, end, points), 0.0, **ROBOT), Bus(VOLTS, SAG), end="pass")
    ref = by_events(line, (end, ROBOT))
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
    line, level, steep = small_line(16, 4), 30.0, dict(ROBOT, friction_torque=ROBOT["friction_torque"] + 2.6)
    ref = by_events(line, (level, dict(ROBOT, torque_limit=1e9)), (100.0 - level, steep))
    assert 0.1 < ref["slip_time"] < 0.9 * ref["time"] and ref["where"] < 99
    friction_torque, torque_limit = (
        np.repeat([ROBOT["friction_torque"], steep["friction_torque"]], points),
        np.repeat([1e9, ROBOT["torque_limit"]], points),
    )
    q = np.r_[np.linspace(0, level, points), np.linspace(level, 100.0, points)]
    done = move(
        line,
        Load(q, 0.0, friction_torque, ROBOT["inertia"], torque_limit, ROBOT["limit_slope"]),
        Bus(VOLTS, SAG),
        end="pass",
    )
    assert done.why[0, 0] == "slipped" and np.isinf(done.time[0, 0])
    name, heat = f"grips, then slips, {points} points", ref["heat"]
    check("motion", f"{name}: place", done.where[0, 0], ref["where"], 1e-5, SOURCE, RECOMPUTED)
    check("motion", f"{name}: time with slip", done.slip_time[0, 0], ref["slip_time"], 1e-4, SOURCE, RECOMPUTED)
    check("motion", f"{name}: winding heat", done.heat[0, 0], heat, 1e-4, SOURCE, RECOMPUTED)
    slows = (ROBOT["torque_limit"] - steep["friction_torque"]) / (ROBOT["inertia"] - ROBOT["limit_slope"])
    grip = ROBOT["torque_limit"] + ROBOT["limit_slope"] * slows
    steady = grip / (line.efficiency * line.torque_constant) + line.free_current  # once the wheels turn evenly
    assert done.slip_current[0, 0] == pytest.approx(steady, rel=1e-6)
    assert done.balance_error[0, 0] < 1e-5


@pytest.mark.parametrize("points", [2, 5])
@pytest.mark.parametrize(
    "what, line, load",
    [
        ("the limit ends", small_line(16, 4, limit=2.5), dict(load_torque=0.0, friction_torque=0.2, inertia=0.024)),
        ("the load takes over", small_line(64), dict(load_torque=-1.5, friction_torque=0.1, inertia=0.12)),
        (
            "the limit ends, the load takes over",
            small_line(64, limit=1.5),
            dict(load_torque=-1.5, friction_torque=0.1, inertia=0.12),
        ),
    ],
)
def test_limit_and_driving_load_end_inside_a_step(what, line, load, points):
    ref = by_events(line, (9.0, load))
    done = move(line, Load(np.linspace(0, 9.0, points), **load), Bus(VOLTS, SAG), end="pass")
    source = "second solver: scipy with tight steps"
    for name, got in (("time", done.time), ("heat", done.heat), ("energy", done.energy)):
        check("motion", f"{what}, {points} points: {name}", got[0, 0], ref[name], 1e-4, source, RECOMPUTED)
    assert done.balance_error[0, 0] < 1e-5


@pytest.mark.parametrize("end", ["rest", "pass"])
def test_under_an_unchanging_load_four_points_are_as_good_as_sixty_one(end):
    rng = np.random.default_rng(7)
    ranges = (10, 40), (8, 60), (-0.5, 2), (0, 0.2), (0.8, 4)
    ratio, limit, load_torque, friction_torque, torque_limit = (rng.uniform(low, high, 100) for low, high in ranges)
    line = replace(small_line(ratio, 4), current_limit=np.where(limit > 40, np.inf, limit))
    load = [
        part[:, None]
        for part in (
            load_torque,
            friction_torque,
            rng.uniform(0.01, 0.05, 100),
            torque_limit,
            rng.uniform(-0.002, 0.004, 100),
        )
    ]
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


@pytest.mark.parametrize("limits", [dict(torque_limit=0.5, limit_slope=0.004), dict(braking_limit=0.3)])
def test_braking_that_is_eased_off_keeps_its_energies_while_the_inertia_changes(limits):
    """The torque of a changing inertia is part of what the wheels take, and so of the braking current."""
    q = np.linspace(0, 20, 241)
    done = move(small_line(16, 4), Load(q, 0.0, 0.1, 0.03 * (1 + 0.6 * np.sin(q / 3)), **limits), Bus(VOLTS, SAG))
    assert done.why[0, 0] == "arrived" and done.balance_error[0, 0] < 1e-3


def braking_segments(limits, seed, cases=200, points=121):
    """Moves of a random robot whose load grows or shrinks on its way; what its brakes did in each segment, by Newton's
    law.

    The force on the wheels is told by the answer alone: what the energy of motion lost over a segment, per radian.
    """
    rng = np.random.default_rng(seed)
    column = lambda low, high: rng.uniform(low, high, (cases, 1))
    line, length = small_line(16, 4), column(15, 40)
    q = length * np.linspace(0, 1, points)
    load_torque, friction_torque, inertia = column(0, 1), column(0, 0.3), 0.03 * (1 + column(-0.6, 1.5) * q / length)
    torque_limit, slope, braking_limit = limits(column)
    done = move(
        line, Load(q, load_torque, friction_torque, inertia, torque_limit, slope, braking_limit), Bus(VOLTS, SAG)
    )
    assert (done.why == "arrived").all()
    speed, amps = done.speed[:, 0], done.current[:, 0]
    brakes = (amps[:, 1:] < 0) & (amps[:, :-1] < 0)
    force = -(np.diff(0.5 * inertia * speed**2) / np.diff(q) + load_torque + friction_torque)[brakes]
    most = np.minimum(torque_limit + slope * np.diff(speed**2) / (2 * np.diff(q)), braking_limit + 0 * q[:, 1:])[brakes]
    share = -amps[:, 1:][brakes] / (
        7.0 / line.resistance
    )  # of the current at standstill on a battery at its reset level
    return force, most, share


@pytest.mark.parametrize(
    "what, limits",
    [
        ("grip with weight transfer", lambda column: (column(2, 9), column(-0.006, 0.006), np.inf)),
        ("a limit on braking", lambda column: (1e9, 0.0, column(2, 9))),
        ("both", lambda column: (column(2, 9), column(-0.006, 0.006), column(2, 9))),
    ],
)
def test_a_brake_gives_all_of_its_current_or_all_that_the_wheels_may_take(what, limits):
    force, most, share = braking_segments(limits, seed=1)
    full = share > 1 - 1e-9
    assert min(full.sum(), (~full).sum()) > 200, "both must happen often"
    assert share.max() < 1 + 1e-9 and (force <= most * (1 + 1e-9)).all()
    assert force[~full] == pytest.approx(most[~full], rel=1e-9)


@pytest.mark.parametrize("slope", [-0.006, 0.006])
@pytest.mark.parametrize("margin", [0.97, 1.03])
def test_weight_transfer_decides_whether_a_brake_is_eased_off(slope, margin):
    """Grip just below, and just above, what all of the braking current asks of the wheels."""
    line, friction_torque, inertia = small_line(16, 4), 0.2, 0.03
    inner = line.torque_constant * (7.0 / line.resistance + line.free_current)
    hard = -(inner + line.efficiency_driven * friction_torque) / (line.rotor_inertia + line.efficiency_driven * inertia)
    torque_limit = -margin * (inertia * hard + friction_torque) - slope * hard
    done = move(
        line, Load(np.linspace(0, 30, 121), 0.0, friction_torque, inertia, torque_limit, slope), Bus(VOLTS, SAG)
    )
    speed, times, amps = done.speed[0, 0], done.t[0, 0], done.current[0, 0]
    slows = (np.diff(speed) / np.diff(times))[-3:]
    expected = hard if margin > 1 else -(torque_limit + friction_torque) / (inertia + slope)
    source = "Newton's law on wheels that take as much as they can, and on the motor with its gears driven by the load"
    check(
        "motion",
        f"braking, weight transfer {slope}, grip {margin} of what is asked [rad/s2]",
        slows.mean(),
        expected,
        1e-9,
        source,
        RECOMPUTED,
    )
    assert (amps[-3:] == pytest.approx(-7.0 / line.resistance)) == (margin > 1)


@pytest.mark.parametrize("brake", [0.1, 0.3])
def test_a_brake_and_its_load_agree_through_the_gears_whichever_of_them_drives(brake):
    """Much friction stops the load before its rotor, which a weak brake lets run on: then the motor drives while it
    slows down.

    From the answer alone: the load's torque by Newton's law and its energy, the motor's by its current and its rotor.
    """
    rng = np.random.default_rng(3)
    column = lambda low, high: rng.uniform(low, high, (300, 1))
    line, length = small_line(64), column(1, 4)
    q = length * np.linspace(0, 1, 121)
    load_torque, friction_torque, inertia = column(0, 0.5), column(0, 3), 0.012 * (1 + column(-0.6, 1.5) * q / length)
    done = move(line, Load(q, load_torque, friction_torque, inertia), Bus(VOLTS, SAG), brake=brake)
    assert (done.why == "arrived").all()
    speed, amps = done.speed[:, 0], done.current[:, 0]
    brakes = (amps[:, 1:] < 0) & (amps[:, :-1] < 0)
    assert amps[:, 1:][brakes] == pytest.approx(-brake * 7.0 / line.resistance)
    slows = np.diff(speed**2) / (2 * np.diff(q))
    torque = np.diff(0.5 * inertia * speed**2) / np.diff(q) + load_torque + friction_torque
    inner = line.torque_constant * (amps[:, 1:] - line.free_current) - line.rotor_inertia * slows
    drives = inner >= 0
    assert min((brakes & drives).sum(), (brakes & ~drives).sum()) > 500, "both must happen often"
    assert torque[brakes & drives] == pytest.approx(line.efficiency * inner[brakes & drives], abs=1e-9)
    assert inner[brakes & ~drives] == pytest.approx(line.efficiency_driven * torque[brakes & ~drives], abs=1e-9)


def test_parts_that_are_picked_up_while_braking_are_allowed_for():
    """Twice on the way to the end. Backwards from rest: v^2 = 2 a d under Newton's law, and each jolt keeps
    momentum.
    """
    line, friction_torque, inertias, lengths = small_line(16, 4), 0.1, (0.02, 0.03, 0.05), (24.0, 1.5, 2.0)
    places = np.cumsum((0.0, *lengths))
    q = np.concatenate([np.linspace(low, high, 41) for low, high in zip(places, places[1:])])
    done = move(line, Load(q, 0.0, friction_torque, np.repeat(inertias, 41)), Bus(VOLTS, SAG), brake=0.15)
    assert done.why[0, 0] == "arrived" and done.balance_error[0, 0] < 1e-6
    source, speed = "Newton's law and momentum, backwards from rest", 0.0
    inner = line.torque_constant * (0.15 * 7.0 / line.resistance + line.free_current)
    for part in (2, 1):
        slows = (inner + line.efficiency_driven * friction_torque) / (
            line.rotor_inertia + line.efficiency_driven * inertias[part]
        )
        after = np.sqrt(speed**2 + 2 * slows * lengths[part])
        geared = line.efficiency * line.rotor_inertia  # what the gears pass on of a rotor that is slowed down
        speed = after * (inertias[part] + geared) / (inertias[part - 1] + geared)
        got_before, got_after = done.speed[0, 0, 41 * part - 1 : 41 * part + 1]
        check("motion", f"braking, speed before jolt {part} [rad/s]", got_before, speed, 1e-9, source, RECOMPUTED)
        check("motion", f"braking, speed after jolt {part} [rad/s]", got_after, after, 1e-9, source, RECOMPUTED)


@pytest.mark.parametrize("change", [2.0, -0.7])
def test_speeding_up_and_braking_while_the_inertia_changes_against_the_second_solver(change):
    """A limit on current that is low, so that half of the time is braking."""
    line, friction_torque, length, points = small_line(16, 4, limit=1.5), 0.1, 12.0, 31
    inertia = lambda q: 0.03 * (1 + change * q / length)
    slope = flat(0.03 * change / length)
    drive = Drive(line, [Piece(0.0, length, flat(0.0), flat(friction_torque), inertia, slope)])
    ref = run([drive], VOLTS, SAG, 7.0)
    q = np.linspace(0, length, points)
    done = move(line, Load(q, 0.0, friction_torque, inertia(q)), Bus(VOLTS, SAG))
    source = "second solver: adaptive steps, braking curve integrated backwards by scipy"
    brakes = np.diff(done.t[0, 0])[done.current[0, 0, 1:] < 0].sum()
    assert brakes > 0.2 * done.time[0, 0]
    pairs = (
        ("time [s]", done.time, ref["time"][0], 2e-4),
        ("heat [J]", done.heat, ref["heat"][0], 2e-4),
        ("energy [J]", done.energy, ref["energy"], 1e-3),
    )
    for name, got, expected, near in pairs:
        what = f"there and to rest, inertia changes by {change}: {name}"
        check("motion", what, got[0, 0], expected, near, source, RECOMPUTED)


def test_the_battery_gives_the_power_that_a_chopping_controller_takes_and_no_more():
    """At a limit and while braking: voltage times what is left of it over the battery's resistance is the motor's
    power.
    """
    line = small_line(16, 4, limit=2.5)
    done = move(line, Load(np.linspace(0, 40.0, 81), 0.0, 0.2, 0.024), Bus(VOLTS, SAG))
    speed, amps, volts = done.speed[0, 0, 1:], done.current[0, 0, 1:], done.volts[0, 0, 1:]
    chops = np.isclose(amps, 4 * 2.5, rtol=1e-9) | (amps < 0)
    drawn = (VOLTS - volts) / SAG
    power = amps * (line.resistance * amps + line.torque_constant * speed)
    assert min((amps < 0).sum(), (chops & (amps > 0)).sum(), (~chops).sum()) > 5, "braking, at the limit, and neither"
    assert (volts * drawn)[chops] == pytest.approx(power[chops], rel=1e-9, abs=1e-9)
    assert drawn[~chops] == pytest.approx(amps[~chops], rel=1e-9)
    assert drawn.max() * (1 - 1e-9) <= done.bus_current[0] < 1.02 * drawn.max()
    assert done.volts_min[0] == pytest.approx(VOLTS - SAG * done.bus_current[0], rel=1e-9)


def test_an_arm_and_a_growing_load_at_once_on_one_battery_against_the_second_solver():
    """Two drives whose loads change along the way: steps take them at their middle."""
    arm, reel = small_line(64), small_line(16, 2, limit=8.0)
    weight, grows = lambda q: 3.0 * np.cos(q), lambda q: 0.02 * (1 + q / 5)
    drives = [
        Drive(arm, [Piece(0.0, 1.5, weight, flat(0.1), flat(0.12))]),
        Drive(reel, [Piece(0.0, 10.0, flat(0.2), flat(0.1), grows, flat(0.004))]),
    ]
    ref = run(drives, VOLTS, SAG, 7.0)
    swing, turn = np.linspace(0, 1.5, 61), np.linspace(0, 10.0, 61)
    loads = [Load(swing, weight(swing), 0.1, 0.12), Load(turn, 0.2, 0.1, grows(turn))]
    done = move([arm, reel], loads, Bus(VOLTS, SAG))
    source = "second solver: adaptive steps, root search on the torque chain and on Kirchhoff's law"
    for place, name in enumerate(("arm", "reel")):
        pairs = ("time [s]", done.time, ref["time"], 1e-4), ("heat [J]", done.heat, ref["heat"], 4e-4)
        for what, got, expected, near in pairs:
            check(
                "motion",
                f"arm and reel at once, {name}: {what}",
                got[0, place],
                expected[place],
                near,
                source,
                RECOMPUTED,
            )
    check(
        "motion",
        "arm and reel at once: highest current [A]",
        done.bus_current[0],
        ref["peak"],
        1e-4,
        source,
        RECOMPUTED,
    )
    check("motion", "arm and reel at once: energy [J]", done.energy.sum(), ref["energy"], 1e-4, source, RECOMPUTED)


@pytest.mark.parametrize("limit, torque_limit", [(np.inf, np.inf), (4.0, np.inf), (np.inf, 4.0)])
def test_headroom_is_what_is_left_at_standstill_forwards_and_back(limit, torque_limit):
    """One motor at standstill by Kirchhoff's law, through gears that lose, no more than the limit or the grip."""
    line, q = small_line(64, limit=limit), np.linspace(0, 1.5, 11)
    load_torque, friction_torque = 2.0 * np.cos(q), 0.3
    done = move(line, Load(q, load_torque, friction_torque, 0.12, torque_limit), Bus(VOLTS, SAG))
    amps = min(brentq(lambda i: VOLTS - (SAG + SMALL["resistance"]) * i, 0, 100), limit)
    most = min(0.81 * 64 * SMALL["torque_constant"] * (amps - SMALL["free_current"]), torque_limit)
    assert done.headroom[0, 0] == pytest.approx(most - (load_torque + friction_torque), rel=1e-9)
    assert done.headroom_back[0, 0] == pytest.approx(most - (friction_torque - load_torque), rel=1e-9)


def test_what_is_left_at_the_end_is_the_energy_of_all_that_moves():
    line = small_line(16, 4)
    done = move(line, Load(np.linspace(0, 20.0, 11), 0.0, 0.1, 0.03), Bus(VOLTS, SAG), end="pass")
    motors = 4 * 0.5 * SMALL["rotor_inertia"] * (16 * done.speed[0, 0, -1]) ** 2
    assert done.end_energy[0, 0] == pytest.approx(motors + 0.5 * 0.03 * done.speed[0, 0, -1] ** 2)


def test_loads_with_different_numbers_of_points_are_refused():
    line = small_line(20)
    short, long = (
        Load(q=np.linspace(0, 1, points), load_torque=0.1, friction_torque=0.0, inertia=0.01) for points in (5, 9)
    )
    with pytest.raises(ValueError, match=r"loads have \[5, 9\] points, but all must have the same number"):
        move([line, line], [short, long], Bus(12.0, 0.1))


@pytest.mark.parametrize("motors, limit", [(4, np.inf), (4, 6.0), (2, np.inf)])
def test_wheels_that_slip_from_the_start_draw_what_rotors_at_rest_draw(motors, limit):
    """At rest a motor has no voltage of its own: Ohm's law, or the controller's limit, whatever the wheels do."""
    line = small_line(30, motors, limit=limit)
    done = move(line, Load(np.linspace(0, 40.0, 11), 0.0, **ROBOT), Bus(VOLTS, SAG))
    assert done.slip_time[0, 0] > 0.02
    volts_left = [VOLTS / (line.resistance + SAG)]
    if limit < np.inf:  # it chops: the battery gives the power I^2 R at a voltage a little higher
        amps = motors * limit
        v = brentq(lambda v: v * (VOLTS - v) / SAG - amps**2 * line.resistance, VOLTS / 2, VOLTS)
        volts_left = [amps, (VOLTS - v) / SAG]
    assert done.peak_current[0, 0] == done.slip_current[0, 0] == pytest.approx(volts_left[0], rel=1e-9)
    if limit == np.inf:
        assert done.bus_current[0] == pytest.approx(volts_left[-1], rel=1e-9)
        assert done.volts_min[0] == pytest.approx(VOLTS - SAG * volts_left[-1], rel=1e-9)
    else:
        assert done.bus_current[0] > volts_left[-1]


def test_how_long_wheels_slip_under_a_current_limit_by_hand():
    """A held current: load and rotor both speed up evenly, and never meet while the rotor is quicker.

    The rotor then passes the speed at which full voltage gives less than the limit; all of it in closed form.
    """
    line, amps = small_line(30, 4, limit=6.0), 24.0
    load = dict(ROBOT, friction_torque=0.1)
    a = (load["torque_limit"] - load["friction_torque"]) / (load["inertia"] - load["limit_slope"])
    torque = load["torque_limit"] + load["limit_slope"] * a
    rotor = (line.torque_constant * (amps - line.free_current) - torque / line.efficiency) / line.rotor_inertia
    assert rotor > a
    turned = (VOLTS - (line.resistance + SAG) * amps) / line.torque_constant  # rad/s, where the limit ends
    until = turned / rotor
    end = 0.5 * a * until**2
    done = move(line, Load(np.linspace(0, end, 7), 0.0, **load), Bus(VOLTS, SAG), end="pass")
    assert done.time[0, 0] == pytest.approx(until, rel=1e-6) == pytest.approx(done.slip_time[0, 0], rel=1e-6)
    energy = 0.5 * load["inertia"] * (a * until) ** 2 + 0.5 * line.rotor_inertia * turned**2
    assert done.end_energy[0, 0] == pytest.approx(energy, rel=1e-6)
    assert done.heat[0, 0] == pytest.approx(amps**2 * line.resistance * until, rel=1e-6)
    assert done.balance_error[0, 0] < 1e-6


# ---- a limit in force is never exceeded ------------------------------------------------------------------------------


@pytest.mark.parametrize("count", [1, 2])
def test_a_limit_in_force_is_met_and_never_exceeded(count):
    """Loads that grow along the way, so that a motor that has left its limit comes back to it. One drive, and two."""
    rng = np.random.default_rng(23)
    rows, met = 400, 0
    column = lambda low, high: rng.uniform(low, high, (rows, 1))
    q = np.linspace(0, 1, 21)
    lines = [small_line(rng.uniform(16, 80, rows), limit=rng.uniform(2.0, 9.0, rows)) for _ in range(count)]
    loads = []
    for line in lines:
        hold = line.efficiency * line.torque_constant * (line.current_limit - line.free_current)
        weight = hold[:, None] * (column(0.0, 0.6) + column(0.0, 0.8) * q + column(-0.3, 0.3) * np.sin(9 * q))
        length = column(0.5, 6.0) / (line.torque_constant[:, None])
        loads.append(Load(length * q, weight, 0.05, 3 * line.rotor_inertia[:, None] * (1 + column(-0.5, 2) * q)))
    done = move(lines, loads, Bus(VOLTS, 0.06), end="pass")
    for n, line in enumerate(lines):
        most = np.minimum(line.current_limit, VOLTS / line.resistance)
        assert (done.peak_current[:, n] <= most).all() and (done.current[:, n].max(axis=-1) <= most).all()
        met += (done.peak_current[:, n] == line.current_limit).sum()
    assert met > 0.3 * rows * count


# ---- a battery that is pulled down -----------------------------------------------------------------------------------


def until_above_reset(line, bus, inertia, torque):
    """Ohm's and Newton's laws at full voltage: when a motor that speeds up against a torque takes little enough."""
    k, whole = line.torque_constant, line.resistance + bus.resistance
    most = (bus.open_circuit - bus.reset_level) / bus.resistance
    turns = (bus.open_circuit - whole * most) / k
    steady = (bus.open_circuit - whole * (torque / k + line.free_current)) / k
    return -inertia * whole / k**2 * np.log1p(-turns / steady)


def test_how_long_the_battery_is_below_its_reset_level_by_hand():
    line, bus = small_line(16, 4, efficiency=1.0), Bus(13.0, 0.4, 7.5)
    done = move(line, Load(np.linspace(0, 60.0, 9), 0.0, 0.2, 0.03), bus, end="pass")
    expected = until_above_reset(line, bus, 0.03 + line.rotor_inertia, 0.2)
    source = "exponential of a motor that speeds up, Ohm's law"
    check("motion", "time below the reset level [s]", done.low_time[0], expected, 1e-9, source, RECOMPUTED)
    assert done.low_from[0] == 0 and done.volts_min[0] == pytest.approx(
        13.0 * line.resistance / (line.resistance + 0.4)
    )


def test_wheels_that_slip_pull_the_battery_down_until_their_rotors_turn():
    line, bus = small_line(16, 4), Bus(13.0, 0.4, 7.5)
    done = move(line, Load(np.linspace(0, 60.0, 9), 0.0, 0.1, 0.03, torque_limit=1.2), bus, end="pass")
    expected = until_above_reset(line, bus, line.rotor_inertia, 1.2 / line.efficiency)
    check("motion", "time below the reset level, slipping [s]", done.low_time[0], expected, 1e-6, SOURCE, RECOMPUTED)
    assert done.slip_time[0, 0] > expected


def test_wheels_that_spin_on_the_spot_pull_the_battery_down_until_their_rotors_turn():
    line, bus = small_line(16, 4), Bus(13.0, 0.4, 7.5)
    done = move(line, Load(np.linspace(0, 60.0, 9), 0.0, 1.3, 0.03, torque_limit=1.2), bus, end="pass")
    expected = until_above_reset(line, bus, line.rotor_inertia, 1.2 / line.efficiency)
    assert done.why[0, 0] == "slipped" and done.low_time[0] == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("sag, low", [(0.2, 0.0), (0.4, np.inf)])
def test_a_stalled_motor_keeps_the_battery_down(sag, low):
    line = small_line(16, 4)
    done = move(line, Load(np.linspace(0, 60.0, 9), 30.0, 0.1, 0.03), Bus(13.0, sag, 7.5))
    assert done.why[0, 0] == "stalled" and done.low_time[0] == low
    assert done.low_from[0] == (0.0 if low else np.inf)
    assert done.volts_min[0] == pytest.approx(13.0 * line.resistance / (line.resistance + sag))


def test_a_brake_asks_for_no_more_than_the_battery_has_at_its_reset_level():
    """A weak battery: at standstill the brake takes the power that the battery gives at this level, and not more."""
    line, bus = small_line(16, 4), Bus(13.0, 1.0, 7.0)
    done = move(line, Load(np.linspace(0, 60.0, 61), 0.0, 0.1, 0.03), bus)
    amps = np.sqrt(7.0 * (13.0 - 7.0) / 1.0 / line.resistance)  # I^2 R = V (E - V) / R_b
    assert amps < 7.0 / line.resistance, "else the battery would not be too weak"
    assert done.current[0, 0].min() == pytest.approx(-amps, rel=1e-9)
    assert done.volts[0, 0, -1] == pytest.approx(7.0, rel=1e-9)
    assert done.why[0, 0] == "arrived" and done.volts_min[0] >= 0


def test_the_voltage_is_never_below_0_and_what_the_battery_cannot_brake_is_told():
    """Two drives: one begins to brake while the other one, heavy, still takes nearly all that a weak battery has."""
    quick, heavy = small_line(16, 4), small_line(40, 4)
    loads = [Load(np.linspace(0, 12.0, 41), 0.0, 0.1, 0.03), Load(np.linspace(0, 30.0, 41), 0.5, 0.5, 8.0)]
    done = move([quick, heavy], loads, Bus(13.0, 0.6, 7.0))
    assert done.why[0, 0] == "limited" and np.isinf(done.time[0, 0]) and 0 < done.where[0, 0] < 12.0
    assert done.volts_min[0] > 0 and done.low_time[0] > 0
    pieces = [[Piece(0.0, 12.0, flat(0.0), flat(0.1), flat(0.03))], [Piece(0.0, 30.0, flat(0.5), flat(0.5), flat(8.0))]]
    ref = run([Drive(*pair) for pair in zip((quick, heavy), pieces)], 13.0, 0.6, 7.0)
    assert ref["why"] == list(done.why[0])
    assert done.volts_min[0] == pytest.approx(ref["low"], rel=0.05)  # the brake is followed as planned


# ---- what cannot be braked in time -----------------------------------------------------------------------------------


def test_what_falls_however_hard_it_is_braked_says_so_with_the_current_that_would_hold_it():
    """A load that pulls from the start: the brake gives its all, and the current that would do follows from statics."""
    line = small_line(4, 1, limit=8.0)
    done = move(line, Load(np.linspace(0, 30.0, 21), -1.0, 0.1, 0.02), Bus(VOLTS, SAG))
    assert done.why[0, 0] == "limited" and done.where[0, 0] == 0 and np.isinf(done.time[0, 0])
    brake = min(8.0, 7.0 / line.resistance)
    assert done.peak_current[0, 0] == pytest.approx(brake, rel=1e-12)
    held = brentq(lambda amps: line.torque_constant * (amps + line.free_current) - line.efficiency_driven * 0.9, 0, 99)
    assert brake < held == pytest.approx(done.stop_current[0, 0], rel=1e-9)


@pytest.mark.parametrize("share, stops", [(0.999, False), (1.001, True)])
def test_with_the_current_that_would_do_it_is_stopped(share, stops):
    bus, load = Bus(VOLTS, 0.001, 12.0), Load(np.linspace(0, 3.0, 21), -1.5, 0.1, 0.02)
    needed = move(small_line(8, 1, limit=2.0), load, bus).stop_current[0, 0]
    done = move(small_line(8, 1, limit=share * needed), load, bus)
    assert (done.why[0, 0] == "arrived") == stops
    assert (done.stop_current[0, 0] == 0) == stops


def test_it_is_told_from_where_a_load_that_grows_cannot_be_stopped():
    """It moves there and draws what it draws; backwards from rest: the work of what pulls is that of the brake."""
    line, q = small_line(8, 1, limit=3.0), np.linspace(0, 10.0, 201)
    pulls = np.where(q <= 6.0, 0.1, -3.0)
    done = move(line, Load(q, pulls, 0.05, 0.02), Bus(VOLTS, SAG))
    assert done.why[0, 0] == "limited" and 5.99 < done.where[0, 0] < 6.06
    assert done.peak_current[0, 0] == 3.0 and done.heat[0, 0] > 0 and np.isfinite(done.t[0, 0, 100])


def test_what_stalls_before_it_could_run_away_stalls():
    line, q = small_line(16), np.linspace(0, 10.0, 101)
    pulls = np.where(q <= 6.0, 5.0, -30.0)
    done = move(line, Load(q, pulls, 0.05, 0.02), Bus(VOLTS, SAG))
    assert done.why[0, 0] == "stalled" and done.where[0, 0] == 0 and done.stop_current[0, 0] == 0
    assert done.peak_current[0, 0] == pytest.approx(VOLTS / (line.resistance + SAG), rel=1e-12)


def test_no_current_stops_what_its_wheels_do_not_hold():
    done = move(small_line(16), Load(np.linspace(0, 10.0, 11), -0.6, 0.05, 0.02, torque_limit=0.5), Bus(VOLTS, SAG))
    assert done.why[0, 0] == "limited" and np.isinf(done.stop_current[0, 0])


# ---- weight transfer -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("slope", [-0.024, -0.03, -0.1, -1.0])
@pytest.mark.parametrize("end", ["rest", "pass"])
def test_driven_front_wheels_may_lose_any_weight(slope, end):
    """However much they lose, they pass on some torque: (limit J - slope drag) / (J - slope). Braking presses them."""
    line, load = small_line(16, 4), dict(ROBOT, limit_slope=slope)
    done = move(line, Load(np.linspace(0, 30.0, 31), 0.0, **load), Bus(VOLTS, SAG), end=end)
    pieces = [Piece(0.0, 30.0, **{name: flat(value) for name, value in {"load_torque": 0.0, **load}.items()})]
    ref = run([Drive(line, pieces)], VOLTS, SAG, 7.0, end=end)
    assert done.why[0, 0] == "arrived" and done.slip_time[0, 0] > 0.05
    check(
        "motion",
        f"driven front wheels, {slope}, to {end}: time [s]",
        done.time[0, 0],
        ref["time"][0],
        1e-4,
        SOURCE,
        RECOMPUTED,
    )
    a = (load["torque_limit"] - load["friction_torque"]) / (load["inertia"] - slope)
    assert a > 0
    assert done.speed[0, 0, 1] == pytest.approx(np.sqrt(2 * a * 1.0), rel=1e-6), "it slips over the first radian"


def test_weight_transfer_up_to_the_inertia_point_by_point():
    """Both change along the way, at each point just below, also where they jump about: a number, whatever it is."""
    rng = np.random.default_rng(11)
    q = np.linspace(0, 20.0, 25)
    for rough in np.repeat([0.0, 1.0], 100):
        smooth = 0.02 * (1 + rng.uniform(0, 0.6) * np.sin(q / rng.uniform(2, 9)))
        inertia = smooth + rough * (rng.uniform(0.003, 0.05, q.size) - smooth)
        share = rng.uniform(0.9, 1 - 1e-9, q.size)
        load = Load(q, 0.0, 0.1, inertia, rng.uniform(0.3, 2.0), share * inertia)
        done = move(small_line(16, 4), load, Bus(VOLTS, SAG), end=str(rng.choice(["rest", "pass"])))
        numbers = numbers_of(done)
        assert done.why[0, 0] == "arrived" and not any(np.isnan(value).any() for value in numbers)


@pytest.mark.parametrize("share", [-2.0, -0.5, 0.3, 0.6])
@pytest.mark.parametrize("strength", [0.5, 1.0, 1.5, 2.0, 3.0])
def test_wheels_that_slip_under_an_inertia_that_changes_with_its_weight_transfer(share, strength):
    """Stronger motors, of more torque and less speed, near the speed of the load slowly: then a hair of its speed
    decides when the wheels grip again. Within a step the march takes the inertia in its middle, which shifts the speed;
    taken for the true one it put that moment off by 0.5 % (now by 0.12 % at most, with points four times as close by
    0.01 %).
    """
    line, length, end = small_line(16, 2), 30.0, "pass"
    line = replace(line, torque_constant=strength * line.torque_constant)
    grows, slope = straight(0.02, 0.03, 0.0, length), straight(share * 0.02, share * 0.03, 0.0, length)
    q = np.linspace(0, length, 31)
    done = move(line, Load(q, 0.0, 0.1, grows(q), 0.35, slope(q)), Bus(VOLTS, SAG), end=end)
    parts = flat(0.0), flat(0.1), grows, flat(0.01 / length), flat(0.35), slope
    ref = run([Drive(line, [Piece(0.0, length, *parts)])], VOLTS, SAG, 7.0, end=end)
    assert ref["slip_time"][0] > 0.1 or strength < 1
    what = f"slips while the inertia grows, weight transfer {share}, motor {strength}"
    check("motion", f"{what}: time [s]", done.time[0, 0], ref["time"][0], 2e-4, SOURCE, RECOMPUTED)
    check("motion", f"{what}: time with slip [s]", done.slip_time[0, 0], ref["slip_time"][0], 2e-3, SOURCE, RECOMPUTED)
    assert (
        done.speed[0, 0, -1] == pytest.approx(ref["end_speed"][0], rel=3e-3 if strength > 1 else 1e-3)
        and done.balance_error[0, 0] < 1e-3
    )

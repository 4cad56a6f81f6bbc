"""The battery: published worked examples, then laws, then a general linear solution as reference."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mechbench.physics import battery as b
from tests.published import READ, check
from tests.tries import tries

OPENSTAX = "OpenStax University Physics, volume 2, Example 10.1"
TIRED = b.Battery(12.5, 0.2, 10800.0)
BLADE = b.Fuse(20.0, (1.35, 2.0, 3.5), (60.0, 5.0, 0.5))

batteries = st.builds(b.Battery, st.floats(1, 60), st.floats(0, 1))


# --- published values -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "state, inner, load, current, volts, power",
    [
        ("light", 0.100, 10.00, 1.188, None, None),
        ("heavy", 0.100, 0.500, 20.0, 10.0, 200.0),
        ("aged", 0.500, 0.500, 12.0, 6.0, 72.0),
    ],
)
def test_loads_of_openstax(state, inner, load, current, volts, power):
    cell = b.Battery(12.00, inner)
    terminal = b.shared_voltage(cell, load)
    check("battery", f"current, {state} [A]", terminal / load, current, 6e-4, OPENSTAX, READ)
    if volts is not None:
        check("battery", f"terminal voltage, {state} [V]", b.voltage(cell, current), volts, 6e-4, OPENSTAX, READ)
        check("battery", f"load power, {state} [W]", terminal**2 / load, power, 6e-4, OPENSTAX, READ)
        check(
            "battery",
            f"current for that power, {state} [A]",
            b.current_for_power(cell, power),
            current,
            6e-4,
            OPENSTAX,
            READ,
        )
    if state == "aged":
        check("battery", "most power, aged [W]", b.max_power(cell), power, 6e-4, OPENSTAX, READ)


@pytest.mark.parametrize("gauge, millimetres, ohm_per_1000_ft", [(6, 4.1153, 0.3951), (0, 8.2513, 0.0983)])
def test_wire_gauge(gauge, millimetres, ohm_per_1000_ft):
    source = "gauge law of ASTM B258 (a table on an open page; the standard itself not seen)"
    check("battery", f"diameter of gauge {gauge} [mm]", b.wire_diameter(gauge) * 1000, millimetres, 1e-3, source, READ)
    check(
        "battery",
        f"resistance of 1000 ft of gauge {gauge} [ohm]",
        b.wire_resistance(gauge, 304.8),
        ohm_per_1000_ft,
        1e-3,
        source,
        READ,
    )


# --- sag ------------------------------------------------------------------------------------------------------------


@given(batteries, st.floats(-500, 2000))
def test_current_for_power_gives_that_power(battery, power):
    current = b.current_for_power(battery, power)
    if power > b.max_power(battery) * (1 + 1e-9):
        assert np.isinf(current)
    elif np.isfinite(current):
        np.testing.assert_allclose(current * b.voltage(battery, current), power, rtol=1e-6, atol=1e-9)
        assert b.voltage(battery, current) >= battery.open_circuit_voltage / 2 * (1 - 1e-6)


@given(batteries, st.lists(st.tuples(st.floats(0.05, 10), st.floats(-10, 14)), min_size=1, max_size=5), st.floats(0, 5))
def test_shared_voltage_against_nodal_solution(battery, loads, other):
    # One unknown voltage and one unknown current for each load, solved as plain simultaneous equations.
    count = len(loads)
    table, right = np.zeros((count + 1, count + 1)), np.zeros(count + 1)
    for j, (resistance, back) in enumerate(loads):
        table[j, 0], table[j, j + 1], right[j] = 1.0, -resistance, back
    table[count, 0], table[count, 1:] = 1.0, battery.resistance
    right[count] = battery.open_circuit_voltage - battery.resistance * other
    expected = np.linalg.solve(table, right)[0]
    resistances, backs = zip(*loads)
    np.testing.assert_allclose(b.shared_voltage(battery, resistances, backs, other), expected, rtol=1e-9, atol=1e-9)


def test_each_load_lowers_the_voltage_of_the_others():
    alone, together = b.shared_voltage(TIRED, [1.25]), b.shared_voltage(TIRED, [1.25, 1.25])
    assert together < alone < TIRED.open_circuit_voltage
    assert b.shared_voltage(b.Battery(6.0, 0.0), [1.25, 0.6]) == 6.0  # a regulated supply does not sag
    assert np.isinf(b.max_power(b.Battery(6.0, 0.0))) and b.current_for_power(b.Battery(6.0, 0.0), 600.0) == 100.0


def test_columns_equal_plain_numbers():
    pair = b.Battery(np.array([14.0, 12.5]), np.array([0.12, 0.2]), 10800.0)
    plain = [b.Battery(14.0, 0.12, 10800.0), b.Battery(12.5, 0.2, 10800.0)]
    loads, backs = np.array([[1.25, 0.62], [1.25, 1.25]]), np.array([[3.0, 0.0], [0.0, 9.0]])
    np.testing.assert_allclose(
        b.shared_voltage(pair, loads, backs), [b.shared_voltage(plain[j], loads[j], backs[j]) for j in (0, 1)]
    )
    cases = (
        lambda one: b.voltage(one, 20.0),
        lambda one: b.current_for_power(one, 250.0),
        b.max_power,
        lambda one: b.run_time(one, 20.0),
        lambda one: b.shared_voltage(one, [1.25, 0.62], [2.0, 5.0]),
    )
    for case in cases:
        np.testing.assert_array_equal(case(pair), [case(one) for one in plain])
        assert np.ndim(case(plain[0])) == 0 and not isinstance(case(plain[0]), np.ndarray)


def test_charge():
    assert b.run_time(TIRED, 10.0) == 1080.0 and np.isinf(b.run_time(TIRED, 0.0))
    time, current = np.linspace(0, 1080, 10), np.full(10, 10.0)
    np.testing.assert_allclose(b.charge_used(time, current)[-1], TIRED.capacity)
    assert b.charge_used([0.0], [5.0]) == [0.0]


def test_reset():
    np.testing.assert_allclose(b.reset_margin([9.6, 6.5], 7.0), [2.6, -0.5])
    np.testing.assert_array_equal(b.resets([9.6, 7.0, 6.5], 7.0), [False, False, True])


# --- fuse -----------------------------------------------------------------------------------------------------------


def test_fuse_goes_through_its_points_in_a_straight_log_log_line():
    np.testing.assert_allclose(b.time_to_blow(BLADE, [27.0, 40.0, 70.0, -40.0]), [60.0, 5.0, 0.5, 5.0])
    between = np.sqrt(27.0 * 40.0)
    np.testing.assert_allclose(b.time_to_blow(BLADE, between), np.sqrt(60.0 * 5.0))
    beyond = 70.0 * 70.0 / 40.0  # as far beyond the last point as the last is beyond the one before
    np.testing.assert_allclose(b.time_to_blow(BLADE, beyond), 0.5 * 0.5 / 5.0)


def test_fuse_holds_its_rating_for_ever_and_less_above_it():
    np.testing.assert_array_equal(b.time_to_blow(BLADE, [0.0, 10.0, 20.0]), np.inf)
    times = b.time_to_blow(BLADE, np.linspace(20.01, 120.0, 400))
    assert np.all(np.isfinite(times)) and np.all(np.diff(times) < 0)
    pair = b.Fuse(np.array([20.0, 30.0]), BLADE.ratio, BLADE.time)
    np.testing.assert_allclose(b.time_to_blow(pair, 40.0)[0], 5.0)
    np.testing.assert_allclose(b.time_to_blow(b.Fuse(20.0, BLADE.ratio, BLADE.time, holds=1.1), 22.0), np.inf)


# ISO 8820-3, blade fuses: each melts between these times at 135, 200 and 350 % of its rating (from memory).
STANDARD = {1.35: (0.75, 600.0), 2.0: (0.15, 5.0), 3.5: (0.04, 0.5)}


def test_every_patience_lies_in_the_standards_band():
    for ratio, (quickest, slowest) in STANDARD.items():
        rows = b.Fuse(
            20.0,
            tuple(STANDARD),
            tuple(slow for _, slow in STANDARD.values()),
            1.0,
            tuple(quick for quick, _ in STANDARD.values()),
            np.array([0.0, 0.3, 0.5, 1.0]),
        )
        times = b.time_to_blow(rows, 20.0 * ratio)
        assert np.all(np.diff(times) > 0)
        np.testing.assert_allclose(times[[0, 2, 3]], [quickest, np.sqrt(quickest * slowest), slowest])


def test_just_above_what_it_carries_for_ever_only_the_heat_beyond_that_counts():
    """As a current comes down to the one that is carried, the time grows without end, and nothing jumps."""
    holding = b.Fuse(20.0, BLADE.ratio, BLADE.time, holds=1.1)
    near = b.time_to_blow(holding, 22.0 * (1 + 10.0 ** -np.arange(2, 9)))
    assert np.all(np.diff(near) > 0) and near[-1] > 1e6 * near[0] / 2
    line = 60.0 * (5.0 / 60.0) ** (np.log(24.0 / 27.0) / np.log(40.0 / 27.0))
    share = (24.0**2 - 22.0**2) / (27.0**2 - 22.0**2)
    np.testing.assert_allclose(b.time_to_blow(holding, 24.0), line / share)


@given(st.floats(20.5, 100))
def test_fuse_is_used_up_when_its_time_is_over(current):
    time = np.linspace(0, b.time_to_blow(BLADE, current), 7)
    used = b.fuse_used(BLADE, time, np.full(7, current))
    np.testing.assert_allclose(used, np.linspace(0, 1, 7), atol=1e-9)


def test_fuse_adds_up_and_never_recovers():
    used = b.fuse_used(BLADE, [0.0, 2.5, 100.0, 100.25], [40.0, 15.0, 70.0, 0.0])
    np.testing.assert_allclose(used, [0.0, 0.5, 0.5, 1.0])
    rows = b.fuse_used(BLADE, [0.0, 2.5, 5.0], [[40.0, 40.0, 0.0], [70.0, 10.0, 0.0]])
    np.testing.assert_allclose(rows, [[0.0, 0.5, 1.0], [0.0, 5.0, 5.0]])


# --- a guard that waits ---------------------------------------------------------------------------------------------


def test_a_voltage_that_lasts_by_hand():
    """Straight lines, as on paper: a dip that rises evenly lasts as long as its line is below a level."""
    ramp = [0.0, 1.0], [8.0, 12.0]  # 4 V a second
    assert b.lasting_voltage(*ramp, 0.0, 13.0) == 8.0
    assert b.lasting_voltage(*ramp, 0.25, 13.0) == pytest.approx(9.0, rel=1e-12)
    assert b.lasting_voltage(*ramp, 1.0, 13.0) == pytest.approx(12.0, rel=1e-12)
    assert b.lasting_voltage(*ramp, 1.001, 13.0) == 13.0, "shorter than the guard waits: it does not count"
    valley = [0.0, 1.0, 3.0], [12.0, 8.0, 12.0]  # 4 V/s down, 2 V/s up: 0.75 s wide for each volt
    assert b.lasting_voltage(*valley, 1.5, 13.0) == pytest.approx(10.0, rel=1e-12)
    two_dips = [0.0, 0.0, 0.3, 0.3, 0.4, 0.4, 0.7, 0.7], [12.0, 8.0, 8.0, 12.0, 12.0, 9.0, 9.0, 12.0]
    assert b.lasting_voltage(*two_dips, 0.29, 13.0) == pytest.approx(8.0, rel=1e-12)
    assert b.lasting_voltage(*two_dips, 0.31, 13.0) == pytest.approx(12.0, rel=1e-12), "it comes back between them"


def test_a_voltage_that_lasts_is_never_above_that_at_rest():
    """What braking pushes back into a battery does not hide that it rests lower."""
    assert b.lasting_voltage([0.0, 1.0, 2.0], [14.0, 14.5, 14.0], 0.5, 13.0) == 13.0


def on_a_grid(time, voltage, wait, points=20001):
    """The least of the highest in windows on a fine grid, and how far such a grid may be off."""
    grid = np.linspace(time[0], time[-1], points)
    found = np.interp(grid, time, voltage)
    step, wide = grid[1] - grid[0], int(np.floor(wait / (grid[1] - grid[0])))
    windows = np.lib.stride_tricks.sliding_window_view(found, wide + 1)
    slack = 2 * step * np.max(np.abs(np.diff(voltage) / np.diff(time)))
    return windows.max(axis=-1).min(), slack


@pytest.mark.parametrize("seed", range(tries(12, thorough=300)))
def test_a_voltage_that_lasts_is_that_of_a_fine_grid(seed):
    chance = np.random.default_rng(seed)
    time = np.cumsum(chance.uniform(0.02, 0.3, (3, 12)), axis=-1)
    voltage = chance.uniform(7.0, 13.0, time.shape)
    wait = chance.uniform(0.05, 0.6, 3)
    found = b.lasting_voltage(time, voltage, wait, 20.0)
    for row in range(3):
        low, slack = on_a_grid(time[row], voltage[row], wait[row])
        assert found[row] == pytest.approx(low, abs=slack)


@pytest.mark.parametrize("seed", range(tries(6, thorough=100)))
def test_a_longer_wait_never_gives_a_lower_voltage_and_begins_without_a_jump(seed):
    chance = np.random.default_rng(seed)
    steps = np.where(chance.random(19) < 0.2, 0.0, chance.uniform(0.001, 0.2, 19))
    time, place = np.unique(np.cumsum([0.0, *steps]), return_inverse=True)
    voltage, time = chance.uniform(7.0, 13.0, time.size)[place], time[place]  # instants are repeated, nothing jumps
    waits = np.concatenate([[0.0], np.geomspace(1e-9, 2 * (time[-1] - time[0]), 400)])
    found = b.lasting_voltage(time, voltage, waits, 14.0)
    assert np.all(np.isfinite(found)) and np.all(np.diff(found) >= -1e-9)
    assert found[0] == voltage.min() and found[1] == pytest.approx(found[0], abs=1e-5) and found[-1] == 14.0


@pytest.mark.parametrize("seed", range(tries(12, thorough=300)))
def test_what_is_even_in_parts_is_the_same_without_slopes(seed):
    """The history twice, each part as two instants: what the general function says of it."""
    chance = np.random.default_rng(seed)
    edges = np.cumsum(chance.uniform(0.02, 0.4, (3, 9)), axis=-1)
    edges -= edges[:, :1].copy()  # from 0 on, where nothing is rounded as it is repeated
    level, rest = chance.uniform(7.0, 13.0, (3, 8)), np.full(3, 12.5)
    once = np.repeat(edges, 2, axis=-1)[:, 1:-1]
    times = np.concatenate([once, once + edges[:, -1:]], axis=-1)
    volts, whole = np.tile(np.repeat(level, 2, axis=-1), 2), edges[:, -1]
    for wait in (0.0, 0.01, 0.3, 0.77, 9.0):
        found = b.lasting_level(edges, level, wait, rest)
        assert found == pytest.approx(b.lasting_voltage(times, volts, np.minimum(wait, whole), rest), rel=1e-12)


def test_a_part_that_begins_where_the_wait_ends_is_not_waited_for():
    edges, level = np.array([[0.0, 0.2, 1.0]]), np.array([[9.0, 12.0]])
    assert b.lasting_level(edges, level, 0.2, np.array([13.0])) == 9.0
    assert b.lasting_level(edges, level, 0.21, np.array([13.0])) == 12.0


# --- bad input ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "call, says",
    [
        (lambda: b.Battery(0.0, 0.1), "^open_circuit_voltage is 0"),
        (lambda: b.Battery(12.0, -0.1), "^resistance is -0.1"),
        (lambda: b.Battery(12.0, 0.1, 0.0), "^capacity is 0"),
        (lambda: b.voltage(TIRED, np.nan), "^current is nan"),
        (lambda: b.current_for_power(TIRED, np.inf), "^power is inf"),
        (lambda: b.shared_voltage(TIRED, [1.25, 0.0]), "^load_resistance is 1.25, 0"),
        (lambda: b.shared_voltage(TIRED, [1.25], [np.nan]), "^back_voltage is nan"),
        (lambda: b.shared_voltage(TIRED, [1.25], 0.0, "x"), "^other_current is 'x'"),
        (lambda: b.run_time(TIRED, -1.0), "^current is -1"),
        (lambda: b.run_time(b.Battery(12.0, 0.1), 1.0), "^capacity of the battery is not given"),
        (lambda: b.charge_used([0.0, -1.0], [1.0, 1.0]), "^step of time is -1"),
        (lambda: b.charge_used([0.0, 1.0], [np.nan, 1.0]), "^current is nan"),
        (lambda: b.reset_margin(9.0, 0.0), "^reset_level is 0"),
        (lambda: b.lasting_voltage([0.0, 1.0], [9.0, 9.0], -1.0, 12.0), "^wait is -1"),
        (lambda: b.lasting_voltage([1.0, 0.0], [9.0, 9.0], 1.0, 12.0), "^step of time is -1"),
        (lambda: b.lasting_voltage([0.0, np.inf], [9.0, 9.0], 1.0, 12.0), "^time is"),
        (lambda: b.lasting_voltage([0.0, 1.0], [9.0, np.nan], 1.0, 12.0), "^voltage is"),
        (lambda: b.Fuse(0.0, (2.0, 3.0), (5.0, 1.0)), "^rating is 0"),
        (lambda: b.Fuse(20.0, (2.0, 2.0), (5.0, 1.0)), "^step of ratio is 1, 0"),
        (lambda: b.Fuse(20.0, (1.0, 2.0), (5.0, 1.0)), "^step of ratio is 0, 1"),
        (lambda: b.Fuse(20.0, (2.0, 3.0), (5.0, 5.0)), "^fall of time is"),
        (lambda: b.Fuse(20.0, (2.0, 3.0), (np.inf, 5.0)), "^time is inf"),
        (lambda: b.Fuse(20.0, (2.0,), (5.0,)), "^ratio and time have shapes"),
        (lambda: b.Fuse(20.0, (2.0, 3.0), (5.0,)), "^ratio and time have shapes"),
        (lambda: b.Fuse(20.0, (2.0, 3.0), (5.0, 1.0), 1.0, (4.0,)), "^quick has shape"),
        (lambda: b.Fuse(20.0, (2.0, 3.0), (5.0, 1.0), 1.0, (4.0, 4.0)), "^fall of quick is"),
        (lambda: b.Fuse(20.0, (2.0, 3.0), (5.0, 1.0), 1.0, (6.0, 1.0)), "^time less quick is -1"),
        (lambda: b.Fuse(20.0, (2.0, 3.0), (5.0, 1.0), patience=2.0), "^patience is 2"),
        (lambda: b.time_to_blow(BLADE, np.nan), "^current is nan"),
        (lambda: b.fuse_used(BLADE, [1.0, 0.0], [1.0, 1.0]), "^step of time is -1"),
        (lambda: b.wire_diameter(41), "^gauge is 41"),
        (lambda: b.wire_diameter(-4), "^gauge is -4"),
        (lambda: b.wire_diameter(12.5), "^gauge is 12.5"),
        (lambda: b.wire_resistance(12, -1.0), "^length is -1"),
    ],
)
def test_refusals(call, says):
    with pytest.raises(ValueError, match=says) as refusal:
        call()
    assert "\n" not in str(refusal.value) and str(refusal.value).endswith(".")

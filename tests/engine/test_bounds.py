"""What a drive reaches at its very best: by hand, and never worse than the move itself."""

import numpy as np
import pytest

from mechbench.engine.bounds import most_spare, quickest
from mechbench.physics.drive import Line
from mechbench.physics.motion import Bus, Load, move

VOLTS = 12.0
BUS = Bus(VOLTS, 0.0)  # a battery that does not sag
DRIVE = Line(1.0, 2.0, 0.5, 0.01, 0.5, 1.0)  # 1 ohm, 2 N·m/A, 0.5 A idle, half of the torque is lost, none when driven
WITHOUT_IDLE = Line(1.0, 2.0, 0.0, 0.01, 0.5, 1.0)


def load(load_torque, to=13.0):
    return Load(q=np.linspace(1.0, to, 3), load_torque=load_torque, friction_torque=0.0, inertia=0.1)


def test_by_hand_a_load_that_resists_does_not_make_it_quicker():
    """Unloaded (12 V - 1 ohm 0.5 A) / 2 V·s = 5.75 rad/s; 11.5 rad take 2 s."""
    assert quickest(DRIVE, load([3.0, 0.0, 1.0], to=12.5), BUS) == pytest.approx(2.0, rel=1e-12)


def test_by_hand_a_load_that_helps_adds_the_creep_of_a_shorted_motor():
    """Without idle current 12 V / 2 V·s = 6 rad/s; 4 N·m help: 1 ohm (4 N·m / 2 N·m/A) / 2 V·s = 1 rad/s more."""
    assert quickest(WITHOUT_IDLE, load([-4.0, 2.0, -1.0], to=15.0), BUS) == pytest.approx(2.0, rel=1e-12)


def test_by_hand_the_heaviest_place_leaves_least():
    """At stall half of 2 N·m/A (12 A - 0.5 A) = 11.5 N·m; where 3 N·m are asked 8.5 are left. With 4 A at most: 0.5."""
    assert most_spare(DRIVE, load([-9.0, 3.0, 1.0]), VOLTS) == pytest.approx(8.5, rel=1e-12)
    limited = Line(1.0, 2.0, 0.5, 0.01, 0.5, 1.0, current_limit=4.0)
    assert most_spare(limited, load([-9.0, 3.0, 1.0]), VOLTS) == pytest.approx(0.5, rel=1e-12)


def test_each_row_has_its_own():
    both = Load(np.array([[0, 12.0], [0, 14.0]]), np.array([[3.0, 0.0], [-4.0, 2.0]]), 0.0, np.full((2, 2), 0.1))
    assert quickest(WITHOUT_IDLE, both, BUS) == pytest.approx([2.0, 2.0], rel=1e-12)
    assert most_spare(DRIVE, both, VOLTS) == pytest.approx([8.5, 9.5], rel=1e-12)


@pytest.mark.parametrize("end", ["rest", "pass"])
def test_no_move_is_better(end):
    """80 drives and loads drawn at random, with friction: a move that arrives takes longer, and has less to spare."""
    random, rows = np.random.default_rng(3), 80
    drive = Line(
        random.uniform(0.5, 2, rows),
        random.uniform(1, 4, rows),
        0.0,
        random.uniform(0.01, 0.1, rows),
        random.uniform(0.5, 0.9, rows),
        random.uniform(0.3, 0.9, rows),
        random.choice([5.0, np.inf], rows),
    )
    torque = random.uniform(-6, 4, (rows, 1)) + random.uniform(-3, 3, (rows, 9))
    table = Load(
        np.linspace(0, random.uniform(1, 20, rows), 9).T,
        torque,
        np.full((rows, 9), random.uniform(0, 0.5, (rows, 1))),
        np.full((rows, 9), 0.05),
    )
    done = move(drive, table, Bus(VOLTS, 0.0), end)
    time, arrived = done.time[:, 0], done.why[:, 0] == "arrived"
    best = quickest(drive, table, BUS)
    helped = torque.min(axis=-1) < 0
    assert np.sum(arrived & helped) > 20 and np.sum(arrived & ~helped) > 5, "both kinds are among them"
    assert np.all(best <= time * (1 + 1e-9)) and np.all(best > 0)
    assert np.all(most_spare(drive, table, VOLTS) >= done.headroom[:, 0].min(axis=-1) - 1e-9)


@pytest.mark.parametrize("idle, battery, top", [(0.0, 0.0, 7.0), (0.5, 0.0, 6.75), (0.0, 0.2, 7.2), (3.0, 0.2, 5.4)])
def test_no_move_is_quicker_where_the_load_pushes_all_the_way(idle, battery, top):
    """Where the load's 4 N·m and the motor balance: I = I_0 - 4 N·m / k, w = (V - (R + R_battery) I) / k."""
    drive = Line(1.0, 2.0, idle, 0.01, 0.5, 1.0)
    pushed = Load(np.linspace(0, 500, 41), -4.0, 0.0, 0.1)
    done = move(drive, pushed, Bus(VOLTS, battery), "pass")
    assert done.speed.max() == pytest.approx((VOLTS - (1.0 + battery) * (idle - 2.0)) / 2.0, rel=1e-6)
    assert done.speed.max() == pytest.approx(top, rel=1e-6)
    bound = quickest(drive, Load(pushed.q, np.full(41, -4.0), 0.0, 0.1), Bus(VOLTS, battery))
    assert done.time[0, 0] >= bound


def test_a_long_way_on_a_stiff_battery_comes_near_to_it():
    """Speeding up matters less and less: over 2000 rad a move without load is within 1 % of the quickest."""
    far = load([0.0] * 3, to=2001.0)
    done = move(DRIVE, far, Bus(VOLTS, 0.0), "pass")
    assert done.time[0, 0] == pytest.approx(quickest(DRIVE, far, BUS), rel=0.01)
    assert done.headroom.min() == pytest.approx(most_spare(DRIVE, far, VOLTS), rel=1e-9)


def test_a_load_that_draws_its_arms_in_turns_faster_than_the_motor_would():
    """Without torque (J_rotor + eta_driven J) w^2 is kept: from 0.01 + 4 to 0.01 + 0.02 kg·m2 up to 11.56 times.

    Sources: energy of a turning body; geared shafts (from memory). The inertia falls over the second rad.
    """
    falling = Load(np.array([0.0, 20.0, 21.0, 22.0]), 0.0, 0.0, np.array([4.0, 4.0, 0.02, 0.02]))
    done = move(WITHOUT_IDLE, falling, BUS, "pass")
    kept = np.sqrt((0.01 + 4.0) / (0.01 + 0.02))
    assert done.speed.max() > 1.2 * VOLTS / 2.0, "faster than free"
    assert quickest(WITHOUT_IDLE, falling, BUS) == pytest.approx(20 / 6 + 2 / (6 * kept), rel=1e-12)
    assert done.time[0, 0] > quickest(WITHOUT_IDLE, falling, BUS)


def test_parts_that_are_let_go_make_nothing_faster():
    """The inertia jumps down: what is left keeps its speed, so 20 rad at 6 rad/s are the quickest."""
    dropped = Load(np.array([0.0, 10.0, 10.0, 20.0]), 0.0, 0.0, np.array([4.0, 4.0, 0.02, 0.02]))
    assert quickest(WITHOUT_IDLE, dropped, BUS) == pytest.approx(20 / 6, rel=1e-12)

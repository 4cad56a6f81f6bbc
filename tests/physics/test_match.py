"""Points of a match: sums by hand, the same match event by event in simpy, and the laws of comparing."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mechbench.physics import cycle
from mechbench.physics.chance import within_tries
from mechbench.physics.duration import Drawn, shorter
from mechbench.physics.match import BATCH, Bonus, Robot, Rules, compare, leave_curve, simulate, worth_of_second
from tests.physics.reference_match import GAME as RULES
from tests.physics.reference_match import play
from tests.published import RECOMPUTED, check

PLAIN = Robot(cycle=10.0, leave=10.0)  # 14 cycles of one piece, 4 points each; never at the bar in time
BUSY = Robot(
    cycle=(6.0, 8.0, 14.0),
    capacity=2,
    success=0.9,
    traffic=(0.0, 1.0, 4.0),
    jam=0.1,
    jam_time=(2.0, 6.0, 9.0),
    goals=(2, 1, 0),
    goal_time=(1.0, 0.5, 0.0),
    pair_chance=0.5,
    neighbour_chance=0.3,
    start_pieces=2,
    start_success=0.8,
    start_time=(4.0, 8.0, 14.0),
    leave=20.0,
    end_trip=(2.0, 3.0, 5.0),
    tries=2,
    try_time=(5.0, 7.0, 10.0),
    try_chance=0.6,
)
WITH_BONUSES = replace(
    RULES,
    pair_goals=(1,),
    besides_points=7.0,
    bonuses=(
        Bonus("set", (0, 1), need=3, points=6.0),
        Bonus("threshold", (0, 1, 2), need=15, points=11.0),
        Bonus("factor", (2,), need=4, factor=1.5),
        Bonus("each", (0, 1), need=4, points=5.0),
    ),
)
SORTING = replace(BUSY, sorted=0.7, left_chance=0.6, besides_chance=0.4)
SHORT_OF_PIECES = replace(BUSY, capacity=3, goals=(0, 2), goal_time=(0.0, 2.0), start_pieces=3, leave=35.0)
SIMPLE = Robot(
    cycle=(9.0, 11.0, 16.0), success=0.97, traffic=(0.0, 1.0, 4.0), goals=(1, 0), leave=8.0, end_trip=(3.0, 4.0, 6.0)
)


# --- rules ----------------------------------------------------------------------------------------------------------


def test_rules_know_no_game():
    """What every game gives must be given; what a game may lack counts for nothing."""
    with pytest.raises(TypeError, match="'self_driving', 'driven', 'closing', 'goal_points', and 'goal_caps'"):
        Rules()
    bare = Rules(0.0, 100.0, 0.0, (1.0,), (np.inf,))
    everything = Robot(
        cycle=10.0, capacity=2, pair_chance=1.0, neighbour_chance=1.0, sorted=1.0, tries=1, try_chance=1.0, leave=10.0
    )
    one = simulate(bare, replace(everything, start_pieces=1, start_success=1.0, besides_chance=1.0), 3)
    np.testing.assert_array_equal(one.points, 1 + 9 * 2)
    np.testing.assert_array_equal(one.bonus_points + one.end_points, 0.0)


# --- by hand --------------------------------------------------------------------------------------------------------


def test_a_match_without_luck():
    one = simulate(RULES, PLAIN, 10)
    np.testing.assert_array_equal(one.points, 56.0 + 5.0)  # the trip takes no time: it parks
    np.testing.assert_array_equal(one.cycles, 14)
    two = simulate(RULES, replace(PLAIN, capacity=2, end_trip=11.0), 10)
    np.testing.assert_array_equal(two.points, 112.0)
    np.testing.assert_array_equal(simulate(RULES, replace(PLAIN, cycle=10.01), 10).cycles, 13)


def test_where_the_points_come_from():
    robot = replace(
        PLAIN,
        capacity=2,
        goals=(1,),
        pair_chance=1.0,
        start_pieces=1,
        start_success=1.0,
        leave=30.0,
        end_trip=4.0,
        tries=1,
        try_time=6.0,
        try_chance=1.0,
    )
    one = simulate(RULES, robot, 5)
    for what, got, expected in (
        ("one piece at three times its points", one.start_points[0], 18),
        ("9 pieces up to the cap", one.piece_points[0], 54),
        ("4 pairs, the fifth cycle has room for one", one.bonus_points[0], 12),
        ("hanging", one.end_points[0], 20),
        ("all", one.points[0], 104),
    ):
        check(
            "match",
            f"match without luck: {what}",
            got,
            expected,
            1e-9,
            "an invented game, counted by hand",
            RECOMPUTED,
        )
    assert one.pieces[0] == 10


def test_neighbours_make_pairs_of_singles():
    robot = replace(PLAIN, neighbour_chance=1.0)
    np.testing.assert_array_equal(simulate(RULES, robot, 5).bonus_points, 3.0 * 7)
    two_pairs = replace(PLAIN, capacity=4, pair_chance=1.0)
    np.testing.assert_array_equal(simulate(RULES, two_pairs, 5).bonus_points, 3.0 * 2 * 14)


def test_bonuses_without_luck():
    """14 cycles of one piece, at most 10 in goal 1: 10 // 4 sets, a threshold at 10 and not at 11, 1.5
    times 60 points; 10 are 3 times three, 2 times four and five, and once all ten."""
    robot = replace(PLAIN, goals=(1,), sorted=1.0)
    for bonus, expected in (
        (Bonus("set", (1,), need=4, points=4.0), 8.0),
        (Bonus("set", (0, 2), need=4, points=4.0), 0.0),
        (Bonus("threshold", (1,), need=10, points=9.0), 9.0),
        (Bonus("threshold", (1,), need=11, points=9.0), 0.0),
        (Bonus("threshold", (0, 1), need=10, points=9.0), 9.0),
        (Bonus("each", (1,), need=3, points=10.0), 30.0),
        (Bonus("each", (1,), need=4, points=10.0), 20.0),
        (Bonus("each", (0, 1), need=5, points=10.0), 20.0),
        (Bonus("each", (1,), need=10, points=10.0), 10.0),
        (Bonus("each", (1,), need=11, points=10.0), 0.0),
        (Bonus("factor", (1,), need=10, factor=1.5), 30.0),
        (Bonus("factor", (1,), need=11, factor=1.5), 0.0),
    ):
        one = simulate(replace(RULES, bonuses=(bonus,)), robot, 5)
        np.testing.assert_array_equal(one.bonus_points, expected, err_msg=str(bonus))
        np.testing.assert_array_equal(one.points, 60.0 + expected + 5.0, err_msg=str(bonus))
    unsorted = simulate(
        replace(RULES, bonuses=(Bonus("set", (1,), need=2, points=4.0),)), replace(robot, sorted=0.0), 5
    )
    np.testing.assert_array_equal(unsorted.bonus_points, 0.0)


def test_what_is_scored_by_itself_is_multiplied_first():
    """Two pieces at 3 x 6 points and 8 at 6 points make 84; half as much again is 42 more."""
    robot = replace(PLAIN, goals=(1,), start_pieces=2, start_success=1.0)
    rules = replace(RULES, bonuses=(Bonus("factor", (1,), need=1, factor=1.5),))
    np.testing.assert_array_equal(simulate(rules, robot, 5).bonus_points, 42.0)


def test_pairs_count_in_their_goals_alone():
    robot = replace(PLAIN, capacity=2, pair_chance=1.0, goals=(1, 0))  # 10 pieces in goal 1, then 18 in goal 0
    np.testing.assert_array_equal(simulate(replace(RULES, pair_goals=(1,)), robot, 5).bonus_points, 15.0)
    np.testing.assert_array_equal(simulate(RULES, robot, 5).bonus_points, 42.0)


def test_what_is_left_and_what_counts_besides():
    robot = replace(PLAIN, leave=20.0, end_trip=4.0, tries=1, try_time=5.0, try_chance=0.0)
    rules = replace(RULES, besides_points=7.0)
    end = lambda **other: simulate(rules, replace(robot, **other), 40_000).end_points
    np.testing.assert_array_equal(end(besides_chance=1.0), 12.0)
    np.testing.assert_array_equal(end(besides_chance=1.0, try_chance=1.0), 27.0)
    np.testing.assert_array_equal(end(left_chance=0.0), 0.0)
    np.testing.assert_array_equal(end(end_trip=21.0, besides_chance=1.0), 0.0)
    assert end(besides_chance=0.3).mean() == pytest.approx(5.0 + 0.3 * 7.0, abs=0.05)


def test_what_is_late_does_not_count():
    robot = replace(PLAIN, start_pieces=3, start_success=1.0, start_time=12.0)
    np.testing.assert_array_equal(simulate(RULES, robot, 5).start_points, 2 * 3 * 4.0)  # 36 s are more than 30 s
    bar = replace(PLAIN, leave=12.0, end_trip=4.0, tries=3, try_time=5.0, try_chance=0.5)
    hangs = simulate(RULES, bar, 40_000).end_points == 20.0
    assert hangs.mean() == pytest.approx(0.5, abs=0.01)  # time for one try, not three
    early = replace(bar, leave=60.0, end_trip=1.0)  # there long before closing time: 30 s are time for 6 tries
    assert np.mean(simulate(RULES, early, 40_000).end_points == 20.0) == pytest.approx(within_tries(0.5, 3), abs=0.01)
    assert np.all(simulate(RULES, replace(bar, leave=3.0), 10).end_points == 0.0)


def test_hanging_follows_the_chance_of_several_tries():
    for tries in (1, 2, 3):
        robot = replace(PLAIN, leave=25.0, tries=tries, try_time=5.0, try_chance=0.6)
        end = simulate(RULES, robot, 50_000).end_points
        p = within_tries(0.6, tries)
        check(
            "match",
            f"mean end points, {tries} tries at 0.6",
            end.mean(),
            20 * p + 5 * (1 - p),
            0.01,
            "20 points with 1 - (1 - p)^n, else 5",
            RECOMPUTED,
        )


def test_pieces_scored_are_binomial():
    """14 cycles of 2 pieces at 0.9, no caps: mean and standard deviation of the binomial distribution."""
    one = simulate(RULES, replace(PLAIN, capacity=2, success=0.9), 50_000, 3)
    check(
        "match", "pieces of 28 at 0.9: mean", one.pieces.mean(), 25.2, 0.002, "binomial distribution, n p", RECOMPUTED
    )
    check(
        "match",
        "pieces of 28 at 0.9: sd",
        one.pieces.std(),
        np.sqrt(28 * 0.9 * 0.1),
        0.02,
        "binomial distribution",
        RECOMPUTED,
    )
    pairs = simulate(RULES, replace(PLAIN, capacity=2, success=0.9, pair_chance=1.0), 50_000, 3).bonus_points / 3
    check(
        "match",
        "pairs of 14 cycles at 0.9 a piece",
        pairs.mean(),
        14 * 0.81,
        0.005,
        "both pieces: p squared",
        RECOMPUTED,
    )


# --- event by event -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name, rules, robot, matches",
    [
        ("all kinds of luck", RULES, BUSY, 3000),
        ("pieces run out", replace(RULES, pieces=16, goal_caps=(6.0, 0.0, 5.0)), SHORT_OF_PIECES, 2000),
        ("the simple robot", RULES, SIMPLE, 2000),
        ("every kind of bonus", WITH_BONUSES, SORTING, 3000),
    ],
)
def test_means_and_spreads_equal_simpys(name, rules, robot, matches):
    events, ours = play(rules, robot, matches), simulate(rules, robot, 40_000)
    for what in ("points", "pieces", "cycles"):
        theirs = np.array([getattr(one, what) for one in events], dtype=float)
        mine = getattr(ours, what)
        error = np.hypot(theirs.std() / np.sqrt(matches), mine.std() / np.sqrt(len(mine)))
        assert abs(theirs.mean() - mine.mean()) < 4 * error + 1e-9, what
        assert mine.std() == pytest.approx(theirs.std(), rel=0.1, abs=0.02), what
        check(
            "match",
            f"{name}: mean {what} a match",
            mine.mean(),
            theirs.mean(),
            0.02,
            "the same match event by event in simpy",
            "reference library",
        )


# --- laws -----------------------------------------------------------------------------------------------------------


ROBOTS = st.builds(
    Robot,
    cycle=st.sampled_from([8.0, (6.0, 8.0, 14.0), (4.0, 15.0, 40.0)]),
    capacity=st.integers(1, 4),
    success=st.floats(0, 1),
    traffic=st.sampled_from([0.0, (0.0, 1.0, 4.0)]),
    jam=st.floats(0, 1),
    jam_time=st.just((2.0, 6.0, 9.0)),
    goals=st.sampled_from([(0,), (1,), (2, 1), (1, 2, 0)]),
    pair_chance=st.floats(0, 1),
    neighbour_chance=st.floats(0, 1),
    start_pieces=st.integers(0, 4),
    start_success=st.floats(0, 1),
    leave=st.floats(0, 150),
    end_trip=st.just((1.0, 3.0, 6.0)),
    tries=st.integers(0, 3),
    try_time=st.just((5.0, 7.0, 10.0)),
    try_chance=st.floats(0, 1),
)


@settings(deadline=None, max_examples=60)
@given(ROBOTS, st.integers(0, 30), st.integers(0, 5), st.integers(0, 1000))
def test_caps_hold_and_points_add_up(robot, pieces, cap, seed):
    rules = replace(RULES, pieces=pieces, goal_caps=(np.inf, float(cap), 7.0))
    one = simulate(rules, robot, 200, seed)
    for column in (
        one.points,
        one.start_points,
        one.piece_points,
        one.bonus_points,
        one.end_points,
        one.pieces,
        one.cycles,
    ):
        assert column.shape == (200,) and np.all(column >= 0) and np.all(np.isfinite(column))
    np.testing.assert_allclose(one.points, one.start_points + one.piece_points + one.bonus_points + one.end_points)
    assert np.all(one.pieces <= pieces)
    served = [rules.goal_caps[shelf] for shelf in robot.goals]
    assert np.all(one.pieces <= sum(served))
    assert np.all(one.bonus_points <= rules.pair_bonus * one.pieces / 2 + 1e-9)
    assert np.all(one.cycles <= (rules.driven - robot.leave) / robot.cycle.low + 1e-9)
    assert set(one.end_points) <= {0.0, 5.0, 20.0}
    best = max(rules.goal_points[shelf] for shelf in robot.goals)
    assert np.all(one.start_points + one.piece_points <= 3 * best * one.pieces + 1e-9)


@settings(deadline=None, max_examples=30)
@given(ROBOTS, st.integers(0, 1000))
def test_the_same_seed_gives_the_same_matches(robot, seed):
    first, again = simulate(RULES, robot, 100, seed), simulate(RULES, robot, 100, seed)
    np.testing.assert_array_equal(first.points, again.points)
    drawn = [simulate(RULES, robot, 100, np.random.default_rng(seed)).points for _ in range(2)]
    np.testing.assert_array_equal(*drawn)


def test_batches_join_without_a_seam():
    few, many = simulate(RULES, BUSY, BATCH), simulate(RULES, BUSY, BATCH + 500)
    assert many.points.shape == many.cycles.shape == (BATCH + 500,) and simulate(RULES, BUSY, 2).points.shape == (2,)
    np.testing.assert_array_equal(many.points[:BATCH], few.points)
    rest = many.points[BATCH:]
    assert not np.array_equal(rest, few.points[:500])  # a batch of its own luck
    assert rest.mean() == pytest.approx(few.points.mean(), abs=5 * few.points.std() / np.sqrt(500))


def test_twice_the_points_for_twice_the_pieces():
    robot = replace(BUSY, goals=(0,), goal_time=(), start_pieces=0, pair_chance=0.0, neighbour_chance=0.0, capacity=1)
    one, two = simulate(RULES, robot, 20_000), simulate(RULES, replace(robot, capacity=2), 20_000)
    assert two.piece_points.mean() == pytest.approx(2 * one.piece_points.mean(), rel=0.01)
    np.testing.assert_array_equal(one.cycles, two.cycles)  # the same luck on the way
    np.testing.assert_array_equal(one.end_points, two.end_points)


@settings(deadline=None, max_examples=25)
@given(ROBOTS, st.floats(0.1, 3.0), st.integers(0, 100))
def test_a_quicker_or_surer_cycle_never_brings_less(robot, saved, seed):
    """On a shelf without a cap, in every single match: the luck is the same."""
    robot = replace(robot, goals=(0,), leave=min(robot.leave, 100.0))
    plain = simulate(RULES, robot, 300, seed)
    quick = simulate(RULES, replace(robot, cycle=shorter(robot.cycle, saved)), 300, seed)
    sure = simulate(RULES, replace(robot, success=1.0), 300, seed)
    assert np.all(quick.cycles >= plain.cycles) and np.all(quick.pieces >= plain.pieces)
    assert np.all(sure.pieces >= plain.pieces) and np.all(sure.cycles == plain.cycles)


def test_drawn_cycles_go_into_a_match():
    steps = cycle.series(
        [cycle.Step("find", (0.5, 1.0, 3.5)), cycle.Step("drive", 4.0), cycle.Step("line up", (1.0, 2.0, 4.0))]
    )
    totals = cycle.schedule(steps, cycle.sample(steps, 5000)).total
    one = simulate(RULES, replace(PLAIN, cycle=Drawn(totals)), 20_000)
    rate = cycle.piece_rate(1, totals.mean())
    # Renewals: in a long time t there are t / mean cycles, less about half a cycle for the one that is not finished.
    expected = 140 * rate + (totals.var() / totals.mean() ** 2 - 1) / 2
    check(
        "match",
        "cycles in 140 s of drawn cycles",
        one.cycles.mean(),
        expected,
        0.003,
        "renewal theory, mean of N(t) = t/m + (s^2/m^2 - 1)/2; Cox, Renewal Theory (from memory)",
        "from memory",
    )


# --- comparing ------------------------------------------------------------------------------------------------------


def test_pairing_makes_a_difference_surer():
    slow, quick = simulate(RULES, BUSY, 20_000), simulate(RULES, replace(BUSY, cycle=(5.5, 7.5, 13.5)), 20_000)
    other = simulate(RULES, replace(BUSY, cycle=(5.5, 7.5, 13.5)), 20_000, 99)
    paired, apart = compare(quick, slow), compare(other, slow)
    assert paired.error < 0.7 * paired.error_unpaired
    assert apart.error == pytest.approx(apart.error_unpaired, rel=0.03)
    assert paired.difference == pytest.approx(apart.difference, abs=4 * apart.error)
    assert paired.difference > 10 * paired.error


def test_the_error_is_the_spread_of_repeated_comparisons():
    quicker = replace(BUSY, cycle=(5.5, 7.5, 13.5))
    results = [compare(simulate(RULES, quicker, 400, seed), simulate(RULES, BUSY, 400, seed)) for seed in range(120)]
    assert np.std([one.difference for one in results]) == pytest.approx(
        np.mean([one.error for one in results]), rel=0.2
    )
    truth = compare(simulate(RULES, quicker, 60_000, 1000), simulate(RULES, BUSY, 60_000, 1000)).wins
    assert np.mean([one.wins_low <= truth <= one.wins_high for one in results]) == pytest.approx(0.95, abs=0.06)


def test_comparing_is_fair():
    one, two = simulate(RULES, BUSY, 2000), simulate(RULES, SIMPLE, 2000)
    there, back = compare(one, two), compare(two, one)
    assert there.difference == -back.difference and there.error == pytest.approx(back.error)
    assert there.wins + there.draws + back.wins == pytest.approx(1.0)
    same = compare(one, one)
    assert (same.difference, same.error, same.wins, same.draws) == (0.0, 0.0, 0.0, 1.0)
    assert there.wins_low <= there.wins <= there.wins_high


def test_leaving_in_time_pays():
    robot = replace(BUSY, tries=1)
    leaves = np.array([0.0, 4.0, 8.0, 12.0, 16.0, 25.0, 60.0])
    points = leave_curve(RULES, robot, leaves, 4000)
    assert leaves[np.argmax(points)] in (12.0, 16.0)
    assert points[0] == simulate(RULES, replace(robot, leave=0.0), 4000).points.mean()
    np.testing.assert_allclose(
        leave_curve(RULES, robot, leaves, 500, np.random.default_rng(1)),
        leave_curve(RULES, robot, leaves, 500, np.random.default_rng(1)),
    )


def test_a_second_saved():
    """Without luck: 14 cycles of 10 s become 15 of 9 s; traffic and jams that don't exist give nothing."""
    gain = worth_of_second(RULES, PLAIN, 1.0, 100)
    assert dict(zip(gain.names, gain.points)) == {
        "cycle": 4.0,
        "traffic": 0.0,
        "jam_time": 0.0,
        "end_trip": 0.0,
        "try_time": 0.0,
    }
    busy = worth_of_second(RULES, BUSY, 1.0, 4000, np.random.default_rng(2))
    worth = dict(zip(busy.names, busy.points))
    assert worth["cycle"] > worth["traffic"] > worth["jam_time"] > 0 and np.all(busy.errors >= 0)
    assert worth["try_time"] > 0  # time for the second try more often


@pytest.mark.parametrize(
    "name, call",
    [
        ("driven", lambda: replace(RULES, driven=0.0)),
        ("closing", lambda: replace(RULES, closing=200.0)),
        ("pair_bonus", lambda: replace(RULES, pair_bonus=-1.0)),
        ("kind", lambda: Bonus("heap", (0,))),
        ("factor", lambda: Bonus("factor", (0,), factor=0.5)),
        ("need", lambda: Bonus("set", (0,), need=0)),
        ("goals of a bonus", lambda: replace(RULES, bonuses=(Bonus("set", (3,)),))),
        ("goal_points", lambda: replace(RULES, goal_points=(1.0, -1.0, 1.0))),
        ("goal_caps", lambda: replace(RULES, goal_caps=(1.0, 2.0))),
        ("goal_caps", lambda: replace(RULES, goal_caps=(1.0, -2.0, np.inf))),
        ("pieces", lambda: replace(RULES, pieces=-1)),
        ("cycle", lambda: Robot(cycle=0.0)),
        ("likely", lambda: Robot(cycle=(3.0, 2.0, 4.0))),
        ("success", lambda: Robot(cycle=1.0, success=1.1)),
        ("try_chance", lambda: Robot(cycle=1.0, try_chance=-0.1)),
        ("capacity", lambda: Robot(cycle=1.0, capacity=0)),
        ("capacity", lambda: Robot(cycle=1.0, capacity=5)),
        ("tries", lambda: Robot(cycle=1.0, tries=1.5)),
        ("start_pieces", lambda: Robot(cycle=1.0, start_pieces=-1)),
        ("leave", lambda: Robot(cycle=1.0, leave=-1.0)),
        ("goals", lambda: Robot(cycle=1.0, goals=(-1,))),
        ("goal_time", lambda: Robot(cycle=1.0, goals=(0, 1), goal_time=(1.0,))),
        ("goal_time", lambda: Robot(cycle=1.0, goal_time=(-1.0,))),
        ("goals", lambda: simulate(RULES, Robot(cycle=1.0, goals=(3,)), 10)),
        ("leave", lambda: simulate(RULES, Robot(cycle=1.0, leave=151.0), 10)),
        ("matches", lambda: simulate(RULES, PLAIN, 1)),
        ("seed", lambda: simulate(RULES, PLAIN, 10, -1)),
        ("matches", lambda: compare(simulate(RULES, PLAIN, 10), simulate(RULES, PLAIN, 11))),
        ("confidence", lambda: compare(simulate(RULES, PLAIN, 10), simulate(RULES, PLAIN, 10), 1.5)),
        ("leaves", lambda: leave_curve(RULES, PLAIN, [-1.0], 10)),
        ("saving", lambda: worth_of_second(RULES, PLAIN, 0.0, 10)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} (is|are) .*, but .* must be .*; .*\.$"):
        call()


def test_groups_have_the_same_luck_and_equal_each_day_alone():
    """Three days, one group each: what each gives is what the same matches give by themselves."""
    days = np.array([0.6, 0.8, 1.0])
    robot = Robot(cycle=(6.0, 8.0, 14.0), capacity=2, success=np.repeat(days, 400), leave=20.0, end_trip=3.0)
    together = simulate(RULES, robot, 1200, seed=4, groups=3).points.reshape(3, 400)
    for group, success in zip(together, days):
        alone = simulate(RULES, replace(robot, success=float(success)), 400, seed=4)
        np.testing.assert_array_equal(group, alone.points)
    assert together[0].mean() < together[1].mean() < together[2].mean()
    with pytest.raises(ValueError, match="matches are 1000, but they must be a multiple of groups = 3"):
        simulate(RULES, replace(robot, success=0.8), 1000, groups=3)

"""Cycle time: a printed project, every way through by brute force, exact sums, and a simpy model of the same steps."""

import numpy as np
import pytest
import simpy
from hypothesis import given, settings
from hypothesis import strategies as st

from mechbench.physics import cycle
from mechbench.physics.cycle import (
    Step,
    critical_path,
    for_pieces,
    sample,
    schedule,
    series,
    series_spread,
    total_spread,
    total_time,
    worth,
)
from mechbench.physics.duration import pert_mean
from tests.published import RECOMPUTED, check

JAM = (2.0, 6.0, 9.0)
PIECES = [
    Step("find", (0.5, 1.0, 3.5), each=True),
    Step("grab", 0.5, "find", trouble=0.1, recovery=JAM, each=True),
    Step("drive", 1.6, "grab"),
    Step("traffic", (0.0, 1.0, 4.0), "drive"),
    Step("raise", (1.0, 1.4, 2.2), "grab"),
    Step("line up", (1.0, 2.0, 4.0), "traffic"),
    Step("place", 0.4, ("line up", "raise"), each=True),
    Step("back", 1.6, "place"),
]


# --- published ------------------------------------------------------------------------------------------------------


def test_a_printed_project():
    source = "PERT assignment with printed solution (wizedu question 717873)"
    known = "printed to two decimals on the page named"
    three = {
        "A": (5, 5, 7),
        "B": (1, 2, 5),
        "C": (5, 5, 5),
        "D": (4, 8, 13),
        "E": (1, 10, 17),
        "F": (1, 5, 7),
        "G": (2, 6, 9),
        "H": (4, 4, 6),
        "I": (2, 7, 10),
        "J": (2, 4, 7),
        "K": (6, 10, 13),
        "L": (2, 6, 6),
        "M": (2, 2, 3),
        "N": (7, 7, 12),
    }
    waits = {
        "C": "A",
        "D": "A",
        "E": "BC",
        "F": "D",
        "G": "D",
        "H": "EF",
        "I": "GH",
        "J": "I",
        "K": "I",
        "L": "J",
        "M": "K",
        "N": "LM",
    }
    steps = [Step(name, pert_mean(*times), tuple(waits.get(name, ""))) for name, times in three.items()]
    plan = schedule(steps)
    rows = {
        "A": (0.0, 5.33, 0.0),
        "B": (0.0, 2.33, 8.0),
        "C": (5.33, 10.33, 0.0),
        "D": (5.33, 13.50, 1.83),
        "E": (10.33, 20.00, 0.0),
        "F": (13.50, 18.17, 1.83),
    }
    for name, (start, finish, slack) in rows.items():
        i = list(three).index(name)
        assert plan.start[i] == pytest.approx(start, abs=0.006) and plan.slack[i] == pytest.approx(slack, abs=0.006)
        check("cycle", f"early finish of activity {name} (days)", plan.finish[i], finish, 0.002, source, known)
        if slack:
            check("cycle", f"slack of activity {name} (days)", plan.slack[i], slack, 0.003, source, known)
    path = critical_path(steps)
    assert path == ("A", "C", "E", "H", "I", "K", "M", "N")
    assert plan.total == pytest.approx(sum(pert_mean(*three[name]) for name in path))


def test_littles_law_of_the_wine_cellar():
    source = "Little & Graves, Little's Law, ch. 5 in Building Intuition (Springer, 2008), wine-cellar example"
    known = "read on a page that tells the chapter's example in other words"
    check(
        "cycle", "160 bottles, 96 a year: years in the cellar", cycle.time_inside(160, 96), 1.67, 0.003, source, known
    )
    check("cycle", "the same in months", cycle.time_inside(160, 96 / 12), 20, 0.003, source, known)


# --- schedule against brute force -----------------------------------------------------------------------------------


def all_ways(steps):
    """Every way through, as lists of places, by walking back from every step."""
    places = {step.name: i for i, step in enumerate(steps)}

    def back(i):
        return [[*way, i] for name in steps[i].after for way in back(places[name])] or [[i]]

    return [way for i in range(len(steps)) for way in back(i)]


NETWORK = st.integers(1, 7).flatmap(
    lambda n: st.tuples(
        st.lists(st.floats(0.0, 9.0), min_size=n, max_size=n),
        st.lists(st.tuples(st.integers(0, n - 1), st.integers(0, n - 1)), max_size=10),
    )
)


def network(times, pairs):
    waits = {
        i: sorted({min(pair) for pair in pairs if max(pair) == i and pair[0] != pair[1]}) for i in range(len(times))
    }
    return [Step(str(i), time, tuple(map(str, waits[i]))) for i, time in enumerate(times)]


@settings(deadline=None)
@given(NETWORK)
def test_total_is_the_longest_of_all_ways(case):
    times, steps = np.array(case[0]), network(*case)
    ways = all_ways(steps)
    lengths = [times[way].sum() for way in ways]
    plan = schedule(steps)
    assert plan.total == pytest.approx(max(lengths))
    path = [int(name) for name in critical_path(steps)]
    assert path in ways and times[path].sum() == pytest.approx(plan.total)
    for i in range(len(steps)):
        longest = max(length for way, length in zip(ways, lengths) if i in way)
        assert plan.slack[i] == pytest.approx(plan.total - longest, abs=1e-9)  # the longest way that goes through it


@settings(deadline=None)
@given(NETWORK, st.floats(0.01, 5.0))
def test_a_longer_step_lengthens_the_whole_beyond_its_slack(case, more):
    times, steps = np.array(case[0]), network(*case)
    plan = schedule(steps)
    for i in range(len(steps)):
        longer = times.copy()
        longer[i] += more
        assert schedule(steps, longer).total == pytest.approx(plan.total + max(more - plan.slack[i], 0.0))


def test_many_cycles_at_once_equal_them_one_by_one():
    times = sample(PIECES, 50, 3)
    many = schedule(PIECES, times)
    np.testing.assert_array_equal(total_time(PIECES, times), many.total)
    assert many.total.shape == (50,) and many.slack.shape == (50, len(PIECES))
    for i in (0, 17, 49):
        one = schedule(PIECES, times[i])
        assert one.total == many.total[i]
        np.testing.assert_array_equal(one.slack, many.slack[i])


# --- spread ---------------------------------------------------------------------------------------------------------


def test_series_is_exact_and_draws_agree():
    steps = series(PIECES)
    mean, sd = series_spread(steps)
    drawn = total_spread(steps, 50_000, 2)
    assert mean == pytest.approx(sum(cycle.step_mean(step) for step in steps))
    assert drawn.mean == pytest.approx(mean, abs=drawn.error)
    assert drawn.sd == pytest.approx(sd, rel=0.02)


def test_two_equal_ways_are_late_more_often_than_one():
    """The later of two even times from 0 to 1 is 2/3 on average; triangular ones are near."""
    steps = [Step("left", (1.0, 2.0, 3.0)), Step("right", (1.0, 2.0, 3.0))]
    u = (np.arange(2000) + 0.5) / 2000
    at = steps[0].time.at(u)
    exact = np.mean(np.maximum(at[:, None], at))
    check(
        "cycle",
        "later of two triangular times 1, 2, 3 (s)",
        total_spread(steps, 100_000).mean,
        exact,
        0.001,
        "mean of the maximum over a fine grid of both shares",
        RECOMPUTED,
    )
    assert exact > schedule(steps).total


def test_simpy_runs_the_same_cycle():
    """Each step is a simpy process that waits for the others' events."""
    rng = np.random.default_rng(11)
    steps = for_pieces(PIECES, 2)

    def one_cycle():
        env = simpy.Environment()
        done = {step.name: env.event() for step in steps}

        def run(step):
            yield env.all_of([done[name] for name in step.after])
            time = step.time.at(rng.random())
            if rng.random() < step.trouble:
                time += step.recovery.at(rng.random())
            yield env.timeout(time)
            done[step.name].succeed()

        for step in steps:
            env.process(run(step))
        env.run()
        return env.now

    simulated = np.array([one_cycle() for _ in range(1500)])
    ours = total_spread(steps, 20_000)
    error = np.hypot(simulated.std() / np.sqrt(1500), ours.error)
    check(
        "cycle",
        "two pieces, mean cycle (s)",
        ours.mean,
        simulated.mean(),
        0.02,
        "the same steps as simpy processes",
        "reference library",
    )
    assert abs(ours.mean - simulated.mean()) < 4 * error
    assert ours.sd == pytest.approx(simulated.std(), rel=0.1)


def test_the_same_seed_gives_the_same_cycles():
    np.testing.assert_array_equal(sample(PIECES, 100, 7), sample(PIECES, 100, 7))
    np.testing.assert_array_equal(sample(PIECES, 100, 7), sample(PIECES, 100, np.random.default_rng(7)))
    assert not np.array_equal(sample(PIECES, 100, 7), sample(PIECES, 100, 8))


def test_even_draws_are_surer_than_plain_ones():
    means = [sample([Step("find", (0.5, 1.0, 3.5))], 200, seed).mean() for seed in range(40)]
    assert np.std(means) < 0.1 * PIECES[0].time.sd / np.sqrt(200)


# --- what a second is worth -----------------------------------------------------------------------------------------


def test_in_series_every_second_counts():
    gain = worth(series([Step("find", (2.0, 3.0, 4.0)), Step("drive", 2.0)]), 1.0, 500)
    np.testing.assert_allclose(gain.saved, 1.0)
    np.testing.assert_allclose(gain.critical, 1.0)
    assert gain.names == ("find", "drive")


def test_a_second_beside_the_critical_path_is_worth_nothing():
    steps = [Step("drive", 5.0), Step("raise", 1.2), Step("place", 0.5, ("drive", "raise"))]
    gain = worth(steps, 1.0, 50)
    np.testing.assert_allclose(gain.saved, [1.0, 0.0, 0.5])  # place lasts half a second only
    np.testing.assert_array_equal(gain.critical, [1.0, 0.0, 1.0])


def test_trouble_counts_when_the_longest_way_is_looked_for():
    """The left way is shorter, but always jams for 4 s: a second saved there counts, one on the right does not."""
    steps = [Step("left", 2.0, trouble=1.0, recovery=4.0), Step("right", 3.5), Step("end", 1.0, ("left", "right"))]
    gain = worth(steps, 1.0, 50)
    np.testing.assert_allclose(gain.saved, [1.0, 0.0, 1.0])
    np.testing.assert_array_equal(gain.critical, [1.0, 0.0, 1.0])
    assert critical_path(steps) == ("left", "end")


def test_of_equal_ways_the_one_listed_first_is_named():
    steps = [Step("left", 2.0), Step("right", 2.0), Step("end", 1.0, ("right", "left"))]
    assert critical_path(steps) == ("left", "end")
    assert sample(steps, 2).shape == (2, 3)


def test_small_savings_are_worth_their_criticality():
    steps = [Step("left", (1.0, 2.0, 3.0)), Step("right", (1.5, 2.0, 4.0)), Step("end", 1.0, ("left", "right"))]
    gain = worth(steps, 0.001, 40_000)
    np.testing.assert_allclose(gain.saved / 0.001, gain.critical, atol=0.002)
    assert gain.critical[0] + gain.critical[1] == pytest.approx(1.0, abs=1e-6)
    assert 0 < gain.critical[0] < 0.5 < gain.critical[1] < 1 and gain.critical[2] == 1.0


# --- pieces ---------------------------------------------------------------------------------------------------------


def test_two_pieces_share_the_way():
    one, two = schedule(for_pieces(PIECES, 1)).total, schedule(for_pieces(PIECES, 2)).total
    assert one < two < 2 * one
    assert cycle.piece_rate(2, two) > cycle.piece_rate(1, one)
    shared = sum(cycle.step_mean(step) for step in PIECES if not step.each and step.name != "raise")
    assert 2 * one - two == pytest.approx(shared)


def test_rate_and_littles_law_in_a_run_of_cycles():
    """Pieces go in at the end of grab and out at the end of place; their mean stay times the rate is the mean number
    inside.
    """
    steps = for_pieces(PIECES, 2)
    times = sample(steps, 4000, 5)
    plan = schedule(steps, times)
    place = {step.name: i for i, step in enumerate(steps)}
    stay = [
        plan.finish[:, place[out]] - plan.finish[:, place[into]]
        for into, out in (("grab", "place"), ("grab (2)", "place (2)"))
    ]
    total_time = plan.total.sum()
    inside = sum(one.sum() for one in stay) / total_time
    rate = cycle.piece_rate(2, plan.total.mean())
    assert rate == pytest.approx(2 * 4000 / total_time)
    assert cycle.time_inside(inside, rate) == pytest.approx(np.mean(stay))


def test_misses_and_pieces_scale_the_rate():
    assert cycle.piece_rate(2, 10.0, 0.5) == pytest.approx(cycle.piece_rate(1, 10.0))
    np.testing.assert_allclose(cycle.piece_rate([1, 2], 10.0), [0.1, 0.2])
    check(
        "cycle",
        "2 pieces in 12 s at 90 %: a minute",
        60 * cycle.piece_rate(2, 12.0, 0.9),
        9.0,
        1e-9,
        "arithmetic",
        RECOMPUTED,
    )


@pytest.mark.parametrize(
    "name, call",
    [
        ("steps", lambda: schedule([])),
        ("after of 'a'", lambda: schedule([Step("a", 1.0, "b")])),
        ("times", lambda: schedule(PIECES, [1.0, 2.0])),
        ("times", lambda: schedule(PIECES, 1.0)),
        ("times", lambda: schedule([Step("a", 1.0)], [-1.0])),
        ("after of 'b'", lambda: series_spread([Step("a", 1.0), Step("b", 1.0)])),
        ("samples", lambda: sample(PIECES, 1)),
        ("samples", lambda: total_spread(PIECES, 2.5)),
        ("saving", lambda: worth(PIECES, 0.0)),
        ("pieces", lambda: cycle.piece_rate(-1, 2.0)),
        ("cycle_time", lambda: cycle.piece_rate(1, 0.0)),
        ("success", lambda: cycle.piece_rate(1, 1.0, 1.1)),
        ("pieces_inside", lambda: cycle.time_inside(-1, 1.0)),
        ("rate", lambda: cycle.time_inside(1, 0.0)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} (is|are) .*, but .* must be .*; .*\.$"):
        call()

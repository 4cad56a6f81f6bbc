"""What a robot at work finds once and keeps: never another robot's, and the same as found anew."""

import numpy as np
import pytest

from mechbench.kits import kit
from mechbench.physics.duration import Duration
from mechbench.whole_robot import score, work
from mechbench.whole_robot.build import robots
from mechbench.whole_robot.score import cycle_of
from mechbench.whole_robot.sizing import DURING, judged, raise_when
from mechbench.whole_robot.work import Days, Work

DAYS = Days.spread(6)


@pytest.fixture(autouse=True)
def anew():
    work._kept.clear()
    yield
    work._kept.clear()


def changes(robot):
    """Changes of a robot, each of another kind: the match alone, what it draws, what it carries, a gear, its steps."""
    box = kit().table("gearboxes").names[0]
    geared = [f"{one.name}.gearbox" for one in robot.mechanisms.values() if "gearbox" in one.values]
    return [
        {},
        {"leave": robot.value("leave") + 5.0},
        {"tries": 3},
        {"success": 0.5},
        {"more_current": 40.0},
        {"carries": 1},
        {"wheelbase": robot.value("wheelbase") + 0.02},
        *({path: box} for path in geared),
        raise_when(robot, DURING),
    ]


@pytest.mark.parametrize("place", range(len(robots())))
def test_what_is_kept_of_other_robots_changes_nothing(place):
    every = [robots()[place].with_changes(one) for one in changes(robots()[place])]
    anew = []
    for robot in every:
        work._kept.clear()
        anew.append(judged(robot, DAYS))
    for robot, alone in list(zip(every, anew))[::-1] + list(zip(every, anew)):
        after_others = judged(robot, DAYS)
        for name, value in alone.items():
            assert np.array_equal(after_others[name], value), f"{name} of {robot.changes}"


def test_a_robot_that_only_leaves_sooner_makes_no_new_cycle(monkeypatch):
    robot = robots()[0]
    first = judged(robot, DAYS)
    for module, name in ((score, "_cycle"), (work, "_melted")):
        monkeypatch.setattr(module, name, lambda *given: pytest.fail("made anew"))
    sooner = judged(robot.with_changes({"leave": robot.value("leave") + 20.0}), DAYS)
    assert np.array_equal(sooner["time"], first["time"]) and np.array_equal(sooner["fuse"], first["fuse"])
    assert not np.array_equal(sooner["cycles"], first["cycles"])


def test_other_people_make_another_cycle():
    for robot in robots():
        step = next(one["human"] for one in robot.plan.steps.values() if one["human"])
        usual, slow, usual_again = (
            cycle_of(Work(robot, DAYS, people)).time for people in ({}, {step: Duration(50.0, 60.0, 70.0)}, {})
        )
        assert np.array_equal(usual, usual_again) and np.all(slow > usual + 20)


def test_other_days_make_another_cycle():
    robot = robots()[0]
    on = [cycle_of(Work(robot, days)).time for days in (DAYS, Days.good(), Days.spread(3), DAYS)]
    assert [len(one) for one in on] == [6, 1, 3, 6] and np.array_equal(on[0], on[3])
    assert on[2] == pytest.approx(on[0][:3], rel=1e-12) and np.ptp(on[0]) > 0


@pytest.mark.parametrize("number", [1, 2, 3, 4, 7, 8, 9])
def test_a_current_holds_until_its_end(number):
    """Beside a loop that follows the currents one by one."""
    rng = np.random.default_rng(number)
    ends = np.cumsum(rng.integers(0, 3, (5, number)), axis=-1) / 4  # some last no time at all
    amps = rng.random((5, number))
    row = np.repeat(np.arange(5), 60)
    times = np.tile(np.linspace(-0.25, 14.5, 60), 5)
    times[::7] = np.round(times[::7] * 4) / 4  # many of them are an end to the last digit

    def by_hand(time, row):
        return next((one for one, end in zip(amps[row], ends[row]) if end > time), 0.0)

    found = work._at(times, row, ends, amps)
    assert np.array_equal(found, [by_hand(*one) for one in zip(times, row)]) and np.isin(times, ends).sum() > 5


def test_runs_that_are_solved_at_once_are_those_solved_alone():
    """Both poses, and a distance that no step drives."""
    for robot in (one.with_changes(raise_when(one, DURING)) for one in robots()):
        together = Work(robot, DAYS)
        steps = [step for step in robot.plan.steps.values() if step["drive"] is not None]
        for distance, pose in [(together.way(step), step["pose"]) for step in steps] + [(0.77, "folded")]:
            ((time, amps, (ends, drawn)),) = Work(robot, DAYS)._runs(((distance, pose),)).values()
            got = together.run(distance, pose)
            assert got[0] == pytest.approx(time, rel=1e-12) and got[1] == pytest.approx(amps, rel=1e-12)
            assert got[2][0] == pytest.approx(ends, rel=1e-12) and got[2][1] == pytest.approx(drawn, rel=1e-9)


def test_the_places_between_two_times_of_each_row():
    """Beside a comparison of every place with both times."""
    rng = np.random.default_rng(1)
    moments = np.sort(rng.integers(0, 9, (40, 12)), axis=-1)
    begin = rng.integers(-1, 11, (40, 3))
    end = begin + rng.integers(0, 6, (40, 3))
    first, last = work._places(moments, begin), work._places(moments, end)
    for i in range(3):
        inside = (moments >= begin[:, i, None]) & (moments < end[:, i, None])
        assert np.array_equal(work._between(first[:, i], last[:, i]), np.nonzero(inside))

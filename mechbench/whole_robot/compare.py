"""Which robot is better, by how much and how surely; and which input moves a robot's score most.

Contents: versus (two robots), Versus, league (all robots of the kit), counts_most (inputs, the strongest first),
Influence.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import match
from mechbench.physics.duration import Duration
from mechbench.whole_robot.build import build, robots
from mechbench.whole_robot.score import play
from mechbench.whole_robot.work import SPREADS, Days, Work

DAYS, MATCHES = 64, 250  # days, and matches on each
SURE = 1.96  # standard errors to each side hold 95 of 100
QUICK, SLOW = 0.1, 0.9  # people's steps: quicker than 9 of 10 tries, slower than 9 of 10
BY_HAND = 0.05  # a chance that was counted over some 100 tries may be off by this much
NAMES = {
    "mass": "mass",
    "friction": "friction",
    "efficiency": "efficiency of gears",
    "battery_voltage": "battery: voltage",
    "battery_resistance": "battery: resistance",
}
CHANCES = {
    "success": "pieces that end in the goal",
    "jam": "cycles with a jam or drop",
    "closing_chance": "tries at the closing task that work",
    "start_success": "pieces while self-driving",
}


@dataclass(frozen=True)
class Versus:
    """Two robots in the same matches: mean points of each, their difference with its interval of 95 %, and who wins
    how often.
    """

    first: object
    second: object
    points: tuple
    difference: float
    low: float
    high: float
    wins: float
    draws: float
    wins_low: float
    wins_high: float


def _robot(one, kit=None):
    return build(one, kit) if isinstance(one, str) else one


def outcome(robot, days=DAYS, matches=MATCHES, seed=1):
    """Matches of a robot on many different days, each match with luck of its own; the same seed brings the same
    matches.
    """
    return play(Work(_robot(robot), Days.spread(days)), matches, seed, same_luck=False)[1]


def versus(first, second, seed=1):
    """Compare two robots (names, or robots with changes) match by match: same day, same luck for both."""
    pair = tuple(_robot(one) for one in (first, second))
    played = [outcome(one, seed=seed) for one in pair]
    found = match.compare(*played)
    return Versus(
        *pair,
        tuple(float(one.points.mean()) for one in played),
        found.difference,
        found.difference - SURE * found.error,
        found.difference + SURE * found.error,
        found.wins,
        found.draws,
        found.wins_low,
        found.wins_high,
    )


def league(kit=None, seed=1):
    """All robots of the kit, the one with most points first, each with its Outcome."""
    listed = [(robot, outcome(robot, seed=seed)) for robot in robots(kit)]
    return sorted(listed, key=lambda one: -one[1].points.mean())


# --- what counts most -----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Influence:
    """One input: the mean points of a match at its low and at its high end, all else as usual."""

    name: str
    low: float
    high: float
    usual: float

    @property
    def width(self):
        """How much the points move."""
        return max(self.low, self.high, self.usual) - min(self.low, self.high, self.usual)


def counts_most(robot, matches=2000, seed=1):
    """What each input alone does to a robot's points, the strongest first: spreads of the kit, people's steps,
    chances.
    """
    robot = _robot(robot)
    ends = np.full((1 + 2 * len(NAMES), len(SPREADS)), np.nan)
    for i, name in enumerate(NAMES):  # a fuse scores nothing, and of people each step is asked by itself
        ends[1 + 2 * i : 3 + 2 * i, SPREADS.index(name)] = 0.0, 1.0
    usual, *points = _points(Work(robot, Days(ends)), matches, seed)
    found = [Influence(label, *points[2 * i : 2 * i + 2], usual) for i, label in enumerate(NAMES.values())]
    good = lambda changed, people=None: float(_points(Work(changed, Days.good(), people), matches, seed)[0])
    for name, label in _people(robot):
        time = Work(robot, Days.good()).human(name)
        quick, slow = (Duration(*[float(time.at(share))] * 3) for share in (QUICK, SLOW))
        found.append(Influence(f"people: {label}", good(robot, {name: quick}), good(robot, {name: slow}), usual))
    for key, label in CHANCES.items():
        if robot.value(key) > 0:
            low, high = (float(np.clip(robot.value(key) + shift, 0.0, 1.0)) for shift in (-BY_HAND, BY_HAND))
            found.append(Influence(label, *(good(robot.with_changes({key: value})) for value in (low, high)), usual))
    return sorted(found, key=lambda one: -one.width)


def _people(robot):
    """Names and labels of the steps of people that the robot's plan has, and clearing a jam."""
    human = robot.kit.game.human
    used = {step["human"] for kind in (robot.plan.steps, robot.plan.closing) for step in kind.values() if step["human"]}
    return [
        (name, step.label)
        for name, step in human.items()
        if name in used or (step.stands_for == "clear_jam" and robot.value("jam") > 0)
    ]


def _points(work, matches, seed):
    """Mean points on each day."""
    played = play(work, matches, seed)[1].points
    return played.reshape(work.days.rows, -1).mean(axis=-1)

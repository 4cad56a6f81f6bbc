"""From the steps of a cycle to the points of a match, on each day.

Contents: OfDays, ThreeOfDays (times that differ from day to day), Cycle, cycle_of, rules_of, player, play.

    steps (times of the mechanisms' own moves, people's steps drawn) -> longest way -> time of a cycle -> match ->
    points
"""

from dataclasses import dataclass
from types import SimpleNamespace

import numpy as np

from mechbench.physics import match
from mechbench.physics import steps as timing
from mechbench.physics.cycle import total_time
from mechbench.physics.duration import Drawn, triangular_at
from mechbench.whole_robot.ability import able
from mechbench.whole_robot.work import NEVER

DRAWS = 64  # cycles drawn for each day: what people do differs from one to the next
SEED = 11
# Stands where a game has no goal at all: nothing counts there.
NO_GOAL = SimpleNamespace(name="", points=0.0, capacity=0.0)


@dataclass(frozen=True)
class OfDays(Drawn):
    """Times drawn for several days, values [days, draws]; matches come in as many groups, one a day, all of one
    size.
    """

    def __post_init__(self):
        object.__setattr__(self, "values", np.sort(self.values, axis=-1))

    @property
    def low(self):
        """The quickest of all days."""
        return float(self.values.min())

    @property
    def high(self):
        """The slowest of all days."""
        return float(self.values.max())

    def at(self, share):
        """The time that this share of a day's tries does not exceed; share is [matches]."""
        days, draws = self.values.shape
        each = np.reshape(share, (days, -1))
        place = np.minimum((each * draws).astype(int), draws - 1)
        return np.take_along_axis(self.values, place, axis=-1).ravel()


@dataclass(frozen=True)
class ThreeOfDays(OfDays):
    """Low, likely and high of several days, values [days, 3]; matches come in as many groups, one a day."""

    def at(self, share):
        """The time that this share of a day's tries does not exceed; share is [matches]."""
        each = np.reshape(share, (len(self.values), -1))
        return triangular_at(each, *self.values.T[:, :, None]).ravel()


@dataclass(frozen=True)
class Cycle:
    """A robot's cycle on some days: timing steps (pieces counted), mean times [days, n], totals drawn [days, draws]."""

    steps: tuple
    times: np.ndarray
    totals: np.ndarray

    @property
    def time(self):
        """Mean time of a cycle on each day."""
        return np.minimum(self.totals.mean(axis=-1), NEVER)


def _steps(work, kind):
    """The plan's steps as timing has them: what people do as low, likely, high; the rest gets its time later."""
    return [
        timing.Step(
            name, work.human(step["human"]) if step["human"] else 0.0, step["after"], each=step["each"] == "piece"
        )
        for name, step in getattr(work.robot.plan, kind).items()
    ]


def cycle_of(work, kind="steps", people=True, pieces=None):
    """The cycle (kind="closing": what is done in a closing task) on the work's days; people=False leaves people's
    times out.
    """
    pieces = pieces or work.robot.value("carries")
    key = ("cycle", kind, people, pieces)
    return work.once(key, lambda: work.shared(key, lambda: _cycle(work, kind, people, pieces)))


def _cycle(work, kind, people, pieces):
    steps, own = work.once(("own times", kind, pieces), lambda: _own_times(work, kind, pieces))
    if not people:  # one cycle is as long as the other
        return Cycle(steps, own, np.repeat(total_time(steps, own)[:, None], DRAWS, axis=-1))
    slow = work.slowness
    mean = np.array([step.time.mean for step in steps]) * slow[:, None]
    luck = _spread_luck(len(steps))
    drawn = np.stack([step.time.at(luck[:, i]) for i, step in enumerate(steps)])
    # Step by step in memory: so they are added up much quicker, to the same sums.
    times = np.moveaxis(own.T[:, :, None] + drawn[:, None, :] * slow[:, None], 0, -1)
    return Cycle(steps, own + mean, total_time(steps, times))


def _spread_luck(steps):
    """The luck of each step in each cycle drawn [DRAWS, steps], 0 to 1: one number out of each of as many equal slices,
    in an order of its own for each step. So the mean of what is drawn lies at the mean of what may come, which few
    draws at random miss (Latin hypercube sampling: McKay, Beckman, Conover, Technometrics 21 (1979); from memory).
    """
    random = np.random.default_rng(SEED)
    slices = random.permuted(np.tile(np.arange(DRAWS), (steps, 1)), axis=1).T
    return (slices + random.random((DRAWS, steps))) / DRAWS


def _own_times(work, kind, pieces):
    """The timing steps, and the times of the mechanisms' own moves on each day [days, n]."""
    steps = tuple(timing.for_pieces(_steps(work, kind), pieces))
    plan = getattr(work.robot.plan, kind)
    return steps, np.stack([work.step(plan[step.kind])[0] for step in steps], axis=-1)


# --- the match ------------------------------------------------------------------------------------------------------


def rules_of(robot):
    """The game of a robot's kit as the simulation has it, for what this robot brings and does."""
    game, roles = robot.kit.game, robot.kit.roles
    goals = list(game.goals.values()) or [NO_GOAL]
    place = {goal.name: number for number, goal in enumerate(goals)}
    brought = robot.value("pieces") or ([roles.piece.name] if roles.piece else [])
    where = lambda bonus: tuple(place[name] for name in bonus.goals)
    pairs = [bonus for bonus in game.bonuses.values() if bonus.kind == "pair"]
    besides = game.closing.get(robot.value("besides"))
    return match.Rules(
        roles.match.self_driving,
        roles.match.driven,
        roles.match.closing,
        tuple(roles.match.driven_factor * goal.points for goal in goals),
        tuple(float(goal.capacity) for goal in goals),
        float(sum(game.pieces[name].count for name in brought)) or np.inf,
        max((bonus.points for bonus in pairs), default=0.0),
        roles.match.factor / roles.match.driven_factor,
        _worth(robot.tried),
        _worth(robot.left),
        _worth(besides),
        tuple(sorted({number for bonus in pairs for number in where(bonus)})),
        tuple(
            match.Bonus(bonus.kind, where(bonus), bonus.need or 1, bonus.points or 0.0, bonus.factor or 1.0)
            for bonus in game.bonuses.values()
            if bonus.kind != "pair"
        ),
    )


def _worth(task):
    return 0.0 if task is None else float(task.points)


def player(work, cycle, matches):
    """What the robot does in a match on each of the work's days; `matches` of them a day, one group a day."""
    robot, can = work.robot, able(work)
    goals, served = tuple(robot.kit.game.goals), robot.value("goals")
    in_matches = lambda column: np.repeat(column, matches, axis=0)
    driven = lambda times: OfDays(np.where(can.drives[:, None] > 0, times, NEVER))
    placed = in_matches(can.takes * can.holds)
    trip, tries = _at_the_end(work)
    return match.Robot(
        cycle=driven(cycle.totals),
        capacity=robot.value("carries"),
        success=robot.value("success") * placed,
        jam=robot.value("jam"),
        jam_time=ThreeOfDays(work.slowness[:, None] * _jam(work)),
        goals=tuple(goals.index(name) for name in served) or (0,),
        reached=tuple(in_matches(can.room >= 0).T) if served else (0.0,),
        pair_chance=robot.value("pair_chance"),
        sorted=robot.value("sorted"),
        start_pieces=robot.value("start_pieces"),
        start_success=robot.value("start_success") * placed,
        start_time=driven(cycle_of(work, people=False).totals),
        leave=robot.value("leave"),
        end_trip=driven(trip),
        tries=robot.value("tries"),
        try_time=OfDays(tries),
        try_chance=in_matches(robot.value("closing_chance") * can.closes),
        left_chance=in_matches(can.left),
        besides_chance=robot.value("besides_chance"),
    )


def _jam(work):
    """Low, likely and high of clearing a jam; nothing where the game has no such step."""
    step = work.robot.kit.roles.people.clear_jam
    return work.three(step.name) if step.label else np.zeros(3)


def _at_the_end(work):
    """Times of the way to the closing task and of one try, drawn, each [days, draws]."""
    robot, rows = work.robot, work.days.rows
    nothing = np.zeros((rows, DRAWS))
    if not robot.plan.closing:
        return nothing, nothing
    whole = cycle_of(work, "closing", pieces=1)
    trip = sum(work.step(step)[0] for step in robot.plan.closing.values() if step["drive"] is not None)
    trip = np.broadcast_to(np.reshape(trip, (-1, 1)), (rows, DRAWS))
    return trip, np.maximum(whole.totals - trip, 0.0)


def play(work, matches, seed=1, same_luck=True):
    """Play `matches` matches on each day; gives the cycle and an Outcome, day after day.

    same_luck: every day brings the same luck, so that days can be told apart; else each match has luck of its own.
    """
    cycle = cycle_of(work)
    rows = work.days.rows
    groups = rows if same_luck else 1
    return cycle, match.simulate(rules_of(work.robot), player(work, cycle, matches), rows * matches, seed, groups)

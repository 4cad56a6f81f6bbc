"""Match: what a robot scores, how much that varies, when to leave for the end, and which of two robots is better.

    |- self-driving -|------------- driven: cycle, cycle, cycle ... -----------|- leave -|- tries at the bar -|
                       each cycle: time, traffic, a jam now and then;                       done, or what is left
                       each piece: scored or missed; goals fill up

Contents
    Rules, Bonus, Robot          plain numbers of a game and of what one robot does in it
    Outcome, simulate            many matches at once: points of each, and where they come from
    Comparison, compare          which of two is better, by how much, how surely
    leave_curve                  mean points for several times of leaving for the closing task
    Gain, worth_of_second        what a second saved on each part of a match is worth in points

Mean and quantiles of any column of an Outcome: duration.spread_of.

Two robots that are simulated with the same seed play the same matches: the same draws decide on traffic, jams and
misses. Their difference then varies far less than the points themselves.
"""

from dataclasses import dataclass, replace

import numpy as np

from mechbench.physics import check
from mechbench.physics.chance import success_interval
from mechbench.physics.duration import Duration, duration, shorter

MATCHES = 10_000
ENDLESS = 1_000_000  # pieces, where the rules have no limit: more than any match can hold
BATCH = 16_384  # matches worked on at once, so that a million of them need no more memory
# Each kind of luck has draws of its own, so that one more try at the bar does not shift the luck of the cycles.
_KINDS = (
    "start",
    "start time",
    "start pair",
    "start neighbour",
    "cycle",
    "traffic",
    "jam",
    "jam time",
    "piece",
    "piece pair",
    "piece neighbour",
    "bar trip",
    "bar time",
    "bar",
    "left",
    "besides",
    "start colour",
    "piece colour",
)


SET, THRESHOLD, EACH, FACTOR = KINDS = "set", "threshold", "each", "factor"


@dataclass(frozen=True)
class Bonus:
    """Hold points that a game gives besides those of single pieces and pairs.

    Fields
    ------
    kind : [text] "set": points for so many pieces of different colours in one goal, again and again; "threshold":
        points once, when so many pieces are in its goals together; "each": points for each so many pieces there, again
        and again; "factor": the points of all pieces in its goals are
        multiplied when so many are there
    goals : [whole] in which it counts, counted from 0
    need : [whole] pieces of a set, for each how many, or from how many on, at least 1
    points : [-] for a set, for each so many, or once, >= 0
    factor : [-] by which points are multiplied, >= 1
    """

    kind: str
    goals: tuple
    need: int = 1
    points: float = 0.0
    factor: float = 1.0

    def __post_init__(self):
        if self.kind not in KINDS:
            raise ValueError(
                f"kind is {self.kind!r}, but it must be {', '.join(KINDS[:-1])} or {FACTOR}; choose one of them."
            )
        check.whole("need", self.need, 1)
        check.whole("goals", self.goals, 0)
        check.not_negative("points", self.points)
        if self.factor < 1:
            raise ValueError(f"factor is {self.factor}, but it must be at least 1; a bonus takes nothing away.")


@dataclass(frozen=True)
class Rules:
    """Hold what a game gives points for. What a game may lack counts for nothing unless it is given.

    Fields
    ------
    self_driving : [s] the robot drives itself, >= 0
    driven : [s] people drive it, > 0
    closing : [s] the last part of the driven time, in which the closing task counts, 0 to driven
    goal_points : [-] points for a piece, one number a goal
    goal_caps : [-] pieces that count in a match, one number a goal; inf for no limit; less what partners put there
    pieces : [-] that this robot can find in a match; inf for no limit
    pair_bonus : [-] points for two pieces of one colour that touch, >= 0
    self_driving_factor : [-] on the points of pieces scored while self-driving, >= 0
    tried_points : [-] for the closing task that is tried, such as hanging, >= 0
    left_points : [-] for what is left where that fails, such as standing under the bar, >= 0
    besides_points : [-] for a closing task that counts besides both, >= 0
    pair_goals : [whole] the goals in which pairs count, counted from 0; nothing: in all
    bonuses : [part] Bonus, for sets, thresholds, each so many and factors; any number of them
    """

    self_driving: float
    driven: float
    closing: float
    goal_points: tuple
    goal_caps: tuple
    pieces: float = np.inf
    pair_bonus: float = 0.0
    self_driving_factor: float = 1.0
    tried_points: float = 0.0
    left_points: float = 0.0
    besides_points: float = 0.0
    pair_goals: tuple = ()
    bonuses: tuple = ()

    def __post_init__(self):
        for name in (
            "self_driving",
            "pair_bonus",
            "self_driving_factor",
            "tried_points",
            "left_points",
            "besides_points",
        ):
            check.not_negative(name, getattr(self, name))
        check.positive("driven", self.driven)
        check.between("closing", self.closing, 0.0, self.driven)
        check.not_negative("goal_points", self.goal_points)
        for name, values in (("goal_caps", self.goal_caps), ("pieces", (self.pieces,))):
            check.not_negative(name, [0.0 if one == np.inf else one for one in values], "give inf for no limit")
        if not len(self.goal_caps) == len(self.goal_points) > 0:
            raise ValueError(
                f"goal_caps are {len(self.goal_caps)}, but they must be one for each of the "
                f"{len(self.goal_points)} goals; give inf for a goal without a limit."
            )
        for goals in (self.pair_goals, *(bonus.goals for bonus in self.bonuses)):
            check.between("goals of a bonus", goals, 0, len(self.goal_points) - 1, "count goals from 0")


_CHANCES = (
    "success",
    "jam",
    "pair_chance",
    "neighbour_chance",
    "start_success",
    "try_chance",
    "left_chance",
    "besides_chance",
    "sorted",
)


@dataclass(frozen=True)
class Robot:
    """Hold what a robot does in a match.

    Times are a number, or three: low, likely, high; they are kept as Durations. Drawn or measured times are given as
    Drawn.

    Fields
    ------
    cycle : [s] of one cycle, human steps in, traffic and jams not
    capacity : [whole] pieces carried in a cycle, 1 to 4
    success : [-] chance that a piece of a cycle is scored, 0 to 1
    traffic : [s] held up by others, each cycle
    jam : [-] chance that a cycle jams or drops a piece and costs jam_time, 0 to 1
    jam_time : [s] to clear it
    goals : [whole] places in goal_points, the goal that it serves first at the front; others are not served
    goal_time : [s] more for a cycle, one number for each of these goals, >= 0; nothing: none
    reached : [-] 1 where it gets a piece to each of these goals, else 0; a number, or one a match, for each;
        nothing: it reaches all
    pair_chance : [-] that two pieces scored in one cycle are of one colour and touch, 0 to 1
    neighbour_chance : [-] that a single piece is put against a single one of its colour, 0 to 1
    start_pieces : [whole] tried while self-driving, 0 or more
    start_success : [-] chance that each of these is scored, 0 to 1
    start_time : [s] for each of these; what is late for the self-driving time is not scored
    leave : [s] before the end at which it stops and leaves for the closing task, 0 to driven
    end_trip : [s] to the closing task
    tries : [whole] at the closing task, as far as time allows, 0 or more
    try_time : [s] of one try
    try_chance : [-] that a try works, and holds until it is judged, 0 to 1
    left_chance : [-] that it can do what is left where the tries fail, 0 to 1
    besides_chance : [-] that it does what counts besides both, 0 to 1
    sorted : [-] chance that a scored piece has a colour that its set still lacks, 0 to 1
    """

    cycle: Duration
    capacity: int = 1
    success: float = 1.0
    traffic: Duration = 0.0
    jam: float = 0.0
    jam_time: Duration = 0.0
    goals: tuple = (0,)
    goal_time: tuple = ()
    reached: tuple = ()
    pair_chance: float = 0.0
    neighbour_chance: float = 0.0
    start_pieces: int = 0
    start_success: float = 0.0
    start_time: Duration = 0.0
    leave: float = 0.0
    end_trip: Duration = 0.0
    tries: int = 0
    try_time: Duration = 0.0
    try_chance: float = 0.0
    left_chance: float = 1.0
    besides_chance: float = 0.0
    sorted: float = 0.0

    def __post_init__(self):
        for name in ("cycle", "traffic", "jam_time", "start_time", "end_trip", "try_time"):
            object.__setattr__(self, name, duration(getattr(self, name)))
        check.positive("cycle", self.cycle.high, "a cycle takes time")
        for name in _CHANCES:
            check.between(name, getattr(self, name), 0.0, 1.0, "give a fraction, 0.9 for 90 %")
        check.between("capacity", check.whole("capacity", self.capacity, 1), 1, 4)
        check.not_negative("leave", self.leave)
        for name in ("start_pieces", "tries"):
            check.whole(name, getattr(self, name), 0)
        check.whole("goals", self.goals, 0)
        check.not_negative("goal_time", self.goal_time)
        if not self.goals or len(self.goal_time) not in (0, len(self.goals)):
            raise ValueError(
                f"goal_time are {len(self.goal_time)} numbers, but they must be one for each of the "
                f"{len(self.goals)} goals served; name at least one goal."
            )
        if len(self.reached) not in (0, len(self.goals)):
            raise ValueError(
                f"reached are {len(self.reached)} numbers, but they must be one for each of the "
                f"{len(self.goals)} goals served; leave them out where it reaches all."
            )
        for one in self.reached:
            check.between("reached", one, 0.0, 1.0, "give 1 for a goal that it reaches, else 0")


@dataclass(frozen=True)
class Outcome:
    """Hold what many matches brought, one value a match, shape [S].

    Fields
    ------
    points : [-] in all
    start_points : [-] of pieces scored while self-driving
    piece_points : [-] of pieces scored while driven
    bonus_points : [-] of pairs, sets, thresholds, each so many and factors
    end_points : [-] of closing tasks
    pieces : [-] scored and counted
    cycles : [-] finished while driven
    """

    points: np.ndarray
    start_points: np.ndarray
    piece_points: np.ndarray
    bonus_points: np.ndarray
    end_points: np.ndarray
    pieces: np.ndarray
    cycles: np.ndarray


class _Luck:
    """Draws from 0 to 1, one a match. The n-th draw of a kind is the same for every robot with the same seed."""

    def __init__(self, seed, batch, matches, groups=1):
        self.seed, self.batch, self.matches, self.groups, self.streams = seed, batch, matches, groups, {}

    def draw(self, kind, piece=0):
        """The next draws of this kind; each piece of a cycle has its own, so that more pieces don't shift the
        others.
        """
        if (kind, piece) not in self.streams:
            self.streams[kind, piece] = np.random.default_rng([self.seed, self.batch, _KINDS.index(kind), piece])
        draws = self.streams[kind, piece].random(self.matches // self.groups)
        return np.tile(draws, self.groups) if self.groups > 1 else draws

    def happens(self, kind, chance):
        """Whether something with that chance happens; what is sure, or never happens, needs no draw."""
        if np.all(np.asarray(chance) >= 1) or np.all(np.asarray(chance) <= 0):
            return np.broadcast_to(np.asarray(chance) > 0, self.matches)
        return self.draw(kind) < chance

    def time(self, kind, duration):
        """Times drawn from a duration; one that never varies needs no draw."""
        return duration.at(self.draw(kind)) if np.any(duration.high > duration.low) else duration.high


class _Goals:
    """What stands in the goals that a robot serves, in all matches at once: one row a goal, in the robot's order."""

    def __init__(self, rules, robot, luck):
        served = list(robot.goals)
        self.rules, self.robot, self.luck, self.rows = rules, robot, luck, np.arange(luck.matches)
        self.worth = np.array(rules.goal_points, dtype=float)[served]
        caps = np.floor(np.minimum(rules.goal_caps, ENDLESS)).astype(int)
        self.room = np.repeat(caps[served, None], luck.matches, axis=1)
        for goal, reached in enumerate(robot.reached):
            self.room[goal] *= np.asarray(reached) > 0
        self.single = np.zeros(self.room.shape, dtype=bool)
        self.left = np.full(luck.matches, int(min(rules.pieces, ENDLESS)))  # that can still be found
        self.piece_points, self.bonus_points = np.zeros(luck.matches), np.zeros(luck.matches)
        self.pieces = np.zeros(luck.matches, dtype=int)
        pairs = [goal for goal in served if not rules.pair_goals or goal in rules.pair_goals]
        self.pairs_count = np.isin(served, pairs)
        # What bonuses count, where there are any: pieces of each goal, those that fit a set, and points of pieces.
        self.bonuses = rules.bonuses
        self.counted, self.fitting, self.earned = (np.zeros(self.room.shape) for _ in range(3))

    def choose(self, carried):
        """The first goal with room for all that is carried, else the first with any room; and whether there is one."""
        goals = len(self.room)
        wish = np.full(len(self.rows), 2 * goals, dtype=np.int16)  # goals with room for all, then goals with any
        for goal in range(goals):
            room = (self.room[goal] >= carried).astype(np.int16) + (self.room[goal] >= 1)
            wish = np.minimum(wish, goal + goals * (2 - room))
        return np.tile(np.arange(goals), 3).take(wish), (wish < 2 * goals) & (carried > 0)

    def place(self, which, carried, scored, kind, factor=1.0):
        """Put what was scored in the goals, count pairs too, and give the points of the pieces alone;
        factor multiplies them."""
        room, cell = self.room.reshape(-1), which * len(self.rows) + self.rows  # of its goal in its match
        here = room.take(cell)
        counted = np.minimum(scored, here)
        room[cell] = here - counted
        self.left -= carried
        self.pieces += counted
        most = int(carried.max(initial=0))
        self._pairs(which, cell, counted, most, kind)
        points = factor * counted * self.worth.take(which)
        if self.bonuses:
            self._count(cell, counted, points, most, kind)
        return points

    def _count(self, cell, counted, points, most, kind):
        """Keep what bonuses count: pieces, those with a colour that was lacking, and points, goal by goal."""
        fits = np.zeros(len(self.rows), dtype=int)
        for piece in range(most):
            fits += (counted > piece) & (self.luck.draw(f"{kind} colour", piece) < self.robot.sorted)
        for sums, more in ((self.counted, counted), (self.fitting, fits), (self.earned, points)):
            sums.reshape(-1)[cell] += more

    def finish(self):
        """Add the bonuses that are known at the end: sets, thresholds, each so many, factors."""
        served = np.array(self.robot.goals)
        for bonus in self.bonuses:
            here = np.isin(served, bonus.goals)
            if bonus.kind == SET:
                self.bonus_points += bonus.points * np.sum(self.fitting[here] // bonus.need, axis=0)
                continue
            there = np.sum(self.counted[here], axis=0)
            if bonus.kind == EACH:
                self.bonus_points += bonus.points * (there // bonus.need)
                continue
            enough = there >= bonus.need
            more = bonus.points if bonus.kind == THRESHOLD else (bonus.factor - 1) * np.sum(self.earned[here], axis=0)
            self.bonus_points += np.where(enough, more, 0.0)

    def _pairs(self, which, cell, counted, most, kind):
        worth = (self.rules.pair_bonus * self.pairs_count).take(which)
        if self.robot.pair_chance > 0:
            for pair in range(most // 2):
                touch = self.luck.draw(f"{kind} pair", pair) < self.robot.pair_chance
                self.bonus_points += worth * (touch & (counted >= 2 * pair + 2))
        if self.robot.neighbour_chance > 0:
            near = self.luck.draw(f"{kind} neighbour") < self.robot.neighbour_chance
            odd, single = (counted & 1).astype(bool), self.single.reshape(-1)
            before = single.take(cell)
            met = odd & before & near
            single[cell] = (odd & ~met) | (before & ~odd)
            self.bonus_points += worth * met


def simulate(rules, robot, matches=MATCHES, seed=1, groups=1):
    """Play many matches of one robot.

    Equation: points = start pieces x factor + pieces of the cycles finished before it leaves + bonuses + closing tasks

    Parameters
    ----------
    rules : [part] Rules
    robot : [part] Robot
    matches : [whole] how many, S, at least 2
    seed : [any] a whole number of at least 0, or a numpy Generator; the same number gives the same matches
    groups : [whole] the matches are so many groups with the same luck, one group after the other; then chances and
        times of robot may be arrays [S], such as those of other days

    Returns
    -------
    outcome : [part] Outcome

    Valid: luck of one cycle doesn't depend on that of another. A cycle not finished when it is time to leave counts for
        nothing. A cycle goes to the first goal of the robot's order with room for all that is carried. Tries at the
        closing task begin in closing time at the earliest, and end before the match does.
    Raises: ValueError when matches, seed, a goal or the time of leaving does not fit the rules.
    Source: common practice, no source; reference: an event-by-event model of the same match.

    >>> rules = Rules(30.0, 150.0, 30.0, goal_points=(4.0,), goal_caps=(np.inf,))  # an invented game
    >>> one = simulate(rules, Robot(cycle=(6.0, 8.0, 14.0), capacity=2, success=0.9, leave=20.0), 2000)
    >>> print(f"{one.points.mean():.0f} points, {one.cycles.mean():.1f} cycles")
    97 points, 13.4 cycles
    """
    count = check.whole("matches", matches, 2)
    seed = _number(seed)
    check.between("leave", robot.leave, 0.0, rules.driven, "leave after the driven time has begun")
    check.between("goals", robot.goals, 0, len(rules.goal_points) - 1, "count goals from 0")
    if check.whole("groups", groups, 1) > 1:
        if count % groups:
            raise ValueError(
                f"matches are {count}, but they must be a multiple of groups = {groups}; give each group as many."
            )
        return Outcome(*_play(rules, robot, _Luck(seed, 0, count, groups)))
    batches = [_play(rules, robot, _Luck(seed, start, min(BATCH, count - start))) for start in range(0, count, BATCH)]
    return Outcome(*(np.concatenate(column) for column in zip(*batches)))


def _play(rules, robot, luck):
    """One batch of matches: the columns of an Outcome."""
    goals = _Goals(rules, robot, luck)
    start_points = _self_driving(rules, robot, goals, luck)
    cycles = _drive(rules, robot, goals, luck)
    goals.finish()
    end_points = _end(rules, robot, luck)
    points = start_points + goals.piece_points + goals.bonus_points + end_points
    return points, start_points, goals.piece_points, goals.bonus_points, end_points, goals.pieces, cycles


def _number(seed):
    """A seed as a whole number; a Generator gives its next one."""
    return int(seed.integers(2**32)) if isinstance(seed, np.random.Generator) else check.whole("seed", seed, 0)


def _self_driving(rules, robot, goals, luck):
    tried = np.minimum(robot.start_pieces, goals.left)
    which, _ = goals.choose(tried)
    clock, scored = np.zeros(luck.matches), np.zeros(luck.matches, dtype=int)
    for piece in range(robot.start_pieces):
        clock += luck.time("start time", robot.start_time)
        scored += (clock <= rules.self_driving) & (tried > piece) & (luck.draw("start", piece) < robot.start_success)
    return goals.place(which, tried, scored, "start", rules.self_driving_factor)


def _drive(rules, robot, goals, luck):
    """Cycles until it is time to leave, nothing is left to find, or every goal that it serves is full."""
    more = np.array(robot.goal_time or (0.0,) * len(robot.goals))
    clock, going = np.zeros(luck.matches), np.ones(luck.matches, dtype=bool)
    cycles = np.zeros(luck.matches, dtype=int)
    while True:
        carried = np.minimum(robot.capacity, goals.left)
        which, useful = goals.choose(carried)
        clock += luck.time("cycle", robot.cycle) + luck.time("traffic", robot.traffic) + more.take(which)
        if robot.jam > 0:
            jammed = np.flatnonzero(luck.draw("jam") < robot.jam)
            clock[jammed] += np.broadcast_to(luck.time("jam time", robot.jam_time), clock.shape)[jammed]
        going &= useful & (clock <= rules.driven - robot.leave)
        if not going.any():
            return cycles
        cycles += going
        carried *= going
        scored = sum((carried > piece) & (luck.draw("piece", piece) < robot.success) for piece in range(robot.capacity))
        goals.piece_points += goals.place(which, carried, scored, "piece")


def _end(rules, robot, luck):
    """Points at the end: the closing task by one of the tries, else what is left where it got there; and besides."""
    arrived = rules.driven - robot.leave + luck.time("bar trip", robot.end_trip)
    clock, hangs = np.maximum(arrived, rules.driven - rules.closing), np.zeros(luck.matches, dtype=bool)
    for _ in range(robot.tries):
        clock = clock + luck.time("bar time", robot.try_time)
        hangs |= (clock <= rules.driven) & (luck.draw("bar") < robot.try_chance)
    there = arrived <= rules.driven
    left = rules.left_points * (there & luck.happens("left", robot.left_chance))
    besides = rules.besides_points * (there & luck.happens("besides", robot.besides_chance))
    return np.where(hangs, rules.tried_points, left) + besides


# --- comparing ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Comparison:
    """Hold which of two robots is better, by how much, and how surely.

    Fields
    ------
    difference : [-] mean points of the first less those of the second
    error : [-] standard error of that difference, from match to match
    error_unpaired : [-] what the error would be with matches of their own for each
    wins : [-] share of matches in which the first has more points
    draws : [-] share with equal points
    wins_low : [-] lower end of the interval of wins
    wins_high : [-] upper end of the interval of wins
    """

    difference: float
    error: float
    error_unpaired: float
    wins: float
    draws: float
    wins_low: float
    wins_high: float


def compare(first, second, confidence=0.95):
    """Compare two robots, match by match.

    Equation: mean and standard error of (points of the first - points of the second); Wilson interval of the wins

    Parameters
    ----------
    first : [part] Outcome of one robot
    second : [part] Outcome of the other, of as many matches; with the same seed the comparison is paired and surer
    confidence : [-] of the interval of wins, above 0 and below 1

    Returns
    -------
    comparison : [part] Comparison

    Valid: wins are for both robots in matches with the same luck; two robots in matches of their own win more evenly.
    Raises: ValueError when the numbers of matches differ.
    Source: common random numbers: Law, Simulation Modeling and Analysis (from memory); interval:
        chance.success_interval.

    >>> rules = Rules(30.0, 150.0, 30.0, goal_points=(4.0,), goal_caps=(np.inf,))  # an invented game
    >>> sure, unsure = (simulate(rules, Robot(cycle=10.0, success=p), 20_000) for p in (0.6, 0.5))
    >>> result = compare(sure, unsure)
    >>> print(f"{result.difference:.0f} points; error {result.error:.2f} paired, {result.error_unpaired:.2f} unpaired")
    6 points; error 0.03 paired, 0.08 unpaired
    """
    a, b = np.asarray(first.points), np.asarray(second.points)
    if a.shape != b.shape:
        raise ValueError(
            f"matches are {a.size} and {b.size}, but they must be as many for both; simulate both with one number."
        )
    wins, count = int(np.sum(a > b)), a.size
    low, high = success_interval(wins, count, confidence)
    return Comparison(
        float(np.mean(a - b)),
        float(np.std(a - b, ddof=1) / np.sqrt(count)),
        float(np.sqrt((np.var(a, ddof=1) + np.var(b, ddof=1)) / count)),
        wins / count,
        float(np.mean(a == b)),
        float(low),
        float(high),
    )


def leave_curve(rules, robot, leaves, matches=MATCHES, seed=1):
    """Give the mean points for several times of leaving for the closing task.

    Equation: mean of simulate(...).points for each time, over the same matches

    Parameters
    ----------
    rules : [part] Rules
    robot : [part] Robot; its own leave is not used
    leaves : [s] before the end, shape [L]
    matches : [whole] how many, at least 2
    seed : [any] as simulate

    Returns
    -------
    points : [-] mean, shape [L]

    Valid: as simulate.
    Raises: ValueError as simulate.
    Source: as simulate.

    >>> rules = Rules(30.0, 150.0, 30.0, goal_points=(4.0,), goal_caps=(np.inf,), tried_points=20.0)  # invented
    >>> robot = Robot(cycle=10.0, end_trip=4.0, tries=1, try_time=8.0, try_chance=0.5)
    >>> print(leave_curve(rules, robot, [0.0, 6.0, 12.0], 1000).round())
    [60. 56. 62.]
    """
    times, seed = np.atleast_1d(check.not_negative("leaves", leaves)), _number(seed)
    return np.array([simulate(rules, replace(robot, leave=float(time)), matches, seed).points.mean() for time in times])


@dataclass(frozen=True)
class Gain:
    """Hold what a second saved is worth, one value for each part of a match.

    Fields
    ------
    names : [text] of the parts: cycle, traffic, jam_time, end_trip, try_time
    points : [-] mean points more in a match
    errors : [-] standard errors of these
    """

    names: tuple
    points: np.ndarray
    errors: np.ndarray


def worth_of_second(rules, robot, saving=1.0, matches=MATCHES, seed=1):
    """Give what a second saved on each part of a match is worth in points.

    Equation: mean points with that part shorter - mean points, over the same matches

    Parameters
    ----------
    rules : [part] Rules
    robot : [part] Robot
    saving : [s] taken off each time, as far as it lasts so long, > 0
    matches : [whole] how many, at least 2
    seed : [any] as simulate

    Returns
    -------
    gain : [part] Gain

    Valid: as simulate. The time of leaving stays: a quicker trip to the bar pays only where it allows one more try.
    Raises: ValueError as simulate, or when saving is not above 0 or leaves nothing of the cycle.
    Source: as compare.

    >>> rules = Rules(30.0, 150.0, 30.0, goal_points=(4.0,), goal_caps=(np.inf,))  # an invented game
    >>> gain = worth_of_second(rules, Robot(cycle=10.0), matches=10)  # 16 cycles of 9 s fit, 15 of 10 s
    >>> print(dict(zip(gain.names, gain.points.round(1)))["cycle"])
    4.0
    """
    check.positive("saving", saving)
    names = ("cycle", "traffic", "jam_time", "end_trip", "try_time")
    seed = _number(seed)
    base = simulate(rules, robot, matches, seed)
    results = [
        compare(simulate(rules, replace(robot, **{name: shorter(getattr(robot, name), saving)}), matches, seed), base)
        for name in names
    ]
    return Gain(names, np.array([one.difference for one in results]), np.array([one.error for one in results]))

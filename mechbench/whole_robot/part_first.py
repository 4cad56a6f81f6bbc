"""Which one part to change first: what gains most points on a bad day, over the whole kit, and what that costs.

Contents: part_first, remembered (the same, found once), PartFirst, Change, Pair, Effect, Fault, Pairs, changes_of,
further_of, weighed.

Every change of one input is tried: each part of the kit's tables in each place, each count and each chosen number one
step up and down. All of them play on a good day and on 16 others, those that help on one of these on 64; the best dozen
are judged on all 256 days, and only these numbers are told. All robots meet the same days and the same luck, so that
differences are of the robots alone.

Where the robot misses something besides points, changes that mend it are looked for first, chosen numbers in wider
steps too.

What two changes bring together isn't the sum of what each brings: the best pair is known only where pairs were tried.
"""

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any

import numpy as np

from mechbench import quantity
from mechbench.engine import report_text
from mechbench.engine.columns import columns
from mechbench.engine.days import DAYS
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.judge import Report, judge, on_a_bad_day
from mechbench.engine.pairs import that_fit
from mechbench.engine.spec import CHOICE, Field, Pick
from mechbench.whole_robot.build import Robot, build, kit_with
from mechbench.whole_robot.score import play
from mechbench.whole_robot.sizing import MATCHES, WholeRobot, all_of, standing
from mechbench.whole_robot.together import Together, alike
from mechbench.whole_robot.work import Days

FIRST_DAYS = 16  # for all changes: what helps on none of these and not on a good day can't help on a bad one
SIEVE_DAYS = 64  # for what is left
FINALISTS = 12  # are judged on all days
ENOUGH = 5  # inputs whose change gains; more are not looked for once the finalists are judged
MOST_UNLOCK = 24  # changes that gain nothing alone, in pairs
REMEMBERED = 16  # answers
AT_ONCE = 100  # robots that are solved in one call
STEP = 0.1  # of a number without a step of its own
# A gain counts where it is above 3 of its standard errors: of some 800 changes that do nothing, one would be by luck.
SURE = 3.0
LEAST = 0.05  # points; less is shown as 0
FURTHER = (0.75, 0.5, 0.35, 0.25, 1.5, 2.0)  # times a number, where something is to be mended
OF_EACH = 3  # changes of one input among those that may mend
COSTS = {"peak": "more", "volts": "less", "stands": "less"}  # finding -> which way is worse


@dataclass(frozen=True)
class Effect:
    """What a change does. points_good, points_bad: before and after, on a good and on a bad day; error: standard error
    of the gain on a bad day, from luck in the matches.

    mass in kg, None where the kit does not say; peak (A), volts (V) and stands (m/s2) are how much more there is on a
    bad day of the highest current, of the lowest battery voltage and of the braking that balance allows. breaks, meets:
    what is asked of the robot or of a mechanism, and is now no longer met, or newly. mended: where the robot misses
    something, its value and its margin on a bad day, with the change; left: what the robot misses then.
    """

    points_good: tuple[float, float]
    points_bad: tuple[float, float]
    error: float
    mass: float | None
    peak: float
    volts: float
    stands: float
    breaks: tuple[str, ...] = ()
    meets: tuple[str, ...] = ()
    mended: tuple[float, float] | None = None
    left: tuple[str, ...] = ()

    @property
    def gain(self) -> float:
        """Points more on a bad day."""
        return self.points_bad[1] - self.points_bad[0]

    @property
    def gains(self) -> bool:
        """More points on a bad day, and more than luck alone would tell."""
        return self.gain > max(LEAST, SURE * self.error)


@dataclass(frozen=True)
class Change:
    """One input of one mechanism other than before: path ("lift.gearbox"), was and becomes (names, or SI numbers)."""

    path: str
    mechanism: Any  # of the robot before
    field: Field | Pick
    was: Any
    becomes: Any
    effect: Effect | None = None

    @property
    def label(self) -> str:
        """The input as people read it: "lift: gearbox"."""
        return f"{self.mechanism.label}: {self.field.label[0].lower()}{self.field.label[1:]}"

    def told(self, value: Any, system: str = "metric") -> str:
        """A value of this input as people read it."""
        if isinstance(self.field, Pick):
            return self.mechanism.tables(self.field.table).labels[value]
        return quantity.show(value, self.field.unit, system=system)

    @property
    def changes(self) -> tuple["Change", ...]:
        """Itself, as a pair has two."""
        return (self,)


@dataclass(frozen=True)
class Pair:
    """Two changes of different inputs together."""

    changes: tuple[Change, Change]
    effect: Effect | None = None


@dataclass(frozen=True)
class Pairs:
    """What pairs bring: all that gain, the best first; how many were tried, and of which single changes.

    best: of the best single changes; broken: of those that gain points but break something alone; unlock: of the
    `unlocking` changes that alone gain nothing but newly meet what is asked. more: the best pair surely gains more than
    the best single change.
    """

    found: tuple[Pair, ...]
    tried: int
    best: int
    broken: int
    unlock: int
    unlocking: int
    more: bool = False


@dataclass(frozen=True)
class Fault:
    """What the robot misses, a cause before its effect, and what mends it.

    said: the verdict's words; finding and report: of the robot as it is; mends: the changes that mend it on a bad day
    and break nothing of the robot, the best of each input first; nearest: where there is none, the one that comes
    nearest, or None where none brings it nearer.
    """

    said: str
    finding: Any
    report: Report
    mends: tuple[Change, ...] = ()
    nearest: Change | None = None


@dataclass(frozen=True)
class PartFirst:
    """What one change brings: all that surely gain and break nothing, the best first.

    tried: so many changes; broken: so many gain points but break something; impossible: so many can't be built;
    as_good: the best changes of other inputs that luck can't tell from the first; fault: what it misses besides points;
    wanted: points that are asked on average.
    """

    robot: Robot
    found: tuple[Change, ...]
    tried: int
    broken: int
    impossible: int
    as_good: tuple[Change, ...] = ()
    pairs: Pairs | None = None
    fault: Fault | None = None
    wanted: float = 0.0

    @property
    def inputs(self) -> tuple[Change, ...]:
        """The best change of each input, the best first."""
        return _of_each_input(self.found)


def part_first(
    robot: Robot | str,
    points_wanted: float | None = None,
    pairs: bool | int = False,
    kit: Any = None,
    progress: Callable[[str], None] | None = None,
) -> PartFirst:
    """Which change of one part gains most points on a bad day; robot: its name, or one with changes.

    points_wanted: what is asked of a match. pairs: True or a number of changes: two at once are tried too, all pairs
    of so many of the best. progress is told how far it is, in words.
    """
    if pairs is not True and pairs != 0 and int(pairs) < 2:
        raise ValueError(f"pairs is {pairs}, but two changes at once need at least 2 to choose from; give 2 or more.")
    robot = build(robot, kit) if isinstance(robot, str) else robot
    hunt = _Hunt(robot, points_wanted, progress or (lambda words: None))
    singles = changes_of(robot)
    fault = hunt.mended(singles)
    found, broken = hunt.best(singles)
    impossible = hunt.impossible
    two = hunt.pairs(singles, found, broken, FINALISTS if pairs is True else int(pairs)) if pairs else None
    as_good = tuple(one for one in _of_each_input(found)[1:] if not hunt.is_more(found[0], one))
    return PartFirst(
        robot, found, len(singles), len(broken), impossible, as_good, two, fault, hunt.report.values["points_wanted"]
    )


_answers: OrderedDict[Any, PartFirst] = OrderedDict()


def remembered(
    robot: Robot,
    points_wanted: float | None = None,
    pairs: bool | int = False,
    progress: Callable[[str], None] | None = None,
) -> PartFirst:
    """What part_first finds; a robot that was asked before is answered at once."""
    key = (robot.kit.digest, repr(robot.plan), points_wanted, pairs)
    if key not in _answers:
        _answers[key] = part_first(robot, points_wanted, pairs, progress=progress)
        if len(_answers) > REMEMBERED:
            _answers.popitem(last=False)
    return _answers[key]


# --- what can be changed ----------------------------------------------------------------------------------------------


def changes_of(robot: Robot) -> list[Change]:
    """Every change of one input that is chosen: other parts, and counts and numbers one step down and up."""
    return [
        Change(f"{name}.{field.name}", mechanism, field, mechanism.values[field.name], value)
        for name, mechanism in robot.mechanisms.items()
        for field in mechanism.sizing.FIELDS
        if field.group == CHOICE and field.name not in mechanism.sizing.GIVEN
        for value in _others(mechanism, field)
    ]


def further_of(robot: Robot) -> list[Change]:
    """Changes of chosen numbers by more than one step, where something is to be mended."""
    return [
        Change(f"{name}.{field.name}", mechanism, field, mechanism.values[field.name], value)
        for name, mechanism in robot.mechanisms.items()
        for field in mechanism.sizing.FIELDS
        if field.group == CHOICE and field.name not in mechanism.sizing.GIVEN and not isinstance(field, Pick)
        for value in _inside(field.at(mechanism.tables), mechanism.values[field.name], FURTHER)
    ]


def _inside(field, now, shares):
    """So many times a number, as far as its range goes; itself left out."""
    values = (min(max(now * share, field.to_si(field.low)), field.to_si(field.high)) for share in shares)
    return [value for value in dict.fromkeys(values) if value != now]


def _others(mechanism, field):
    """Other values of an input."""
    now = mechanism.values[field.name]
    if not isinstance(field, Pick):
        field = field.at(mechanism.tables)
        low, high, whole = field.to_si(field.low), field.to_si(field.high), field.to_si(field.high - field.low)
        step = field.to_si(field.step) if field.step else STEP * abs(now or whole)
        beside = (min(max(value, low), high) for value in (now - step, now + step))
        return [value for value in beside if value != now]
    names = that_fit(mechanism.sizing, mechanism.values, field, mechanism.tables)
    if field.table == "counts":
        place = names.index(now)
        return [*names[max(place - 1, 0) : place], *names[place + 1 : place + 2]]
    return [name for name in names if name != now]


def weighed(before: Robot, after: Robot) -> tuple[Robot, dict[str, float]]:
    """The changed robot with the masses of its other parts, and how much heavier each mechanism is.

    Where the plan does not say in which part a mechanism sits, or takes off more than that part weighs, the mass is
    spread over all parts as they are, so that the centre of gravity stays. after must hold the plan's own masses.
    """
    heavier = {name: _picked(after, name) - _picked(before, name) for name in after.mechanisms}
    heavier = {name: mass for name, mass in heavier.items() if abs(mass) > 1e-12}
    parts = dict(after.plan.parts)
    for name, mass in heavier.items():
        own = after.plan.mechanisms[name].part
        whole = sum(one["mass"] for one in parts.values())
        if own and parts[own]["mass"] + mass > 0:
            parts[own] = _with_mass(parts[own], parts[own]["mass"] + mass)
        else:
            parts = {key: _with_mass(one, one["mass"] * (1 + mass / whole)) for key, one in parts.items()}
    return (replace(after, plan=replace(after.plan, parts=parts)) if heavier else after), heavier


def _picked(robot, name):
    one = robot.mechanisms[name]
    return sum(mass or 0.0 for mass in one.sizing.picked_mass(one.values, one.tables).values())


def _with_mass(part, mass):
    """A part with another mass, known as well as before: what is added was weighed."""
    off = part["mass_off"] * part["mass"] / mass if mass > 0 else 0.0
    return {**part, "mass": mass, "mass_off": off}


# --- what it does -----------------------------------------------------------------------------------------------------


class _Hunt:
    """One search: the robot as it is, on few days and on all, and what changes do."""

    def __init__(self, robot, points_wanted, progress):
        self.robot, self.progress = robot, progress
        self.impossible, self._weighed, self._known = 0, {}, {}
        tables = Tables(WholeRobot, robot.kit)
        asked = {"which": robot.name} | ({} if points_wanted is None else {"points_wanted": points_wanted})
        self.x = columns(WholeRobot, complete(WholeRobot, asked, tables), tables)
        good = Days.good().fractions
        self.days = {n: Days(np.vstack([good, Days.spread(n).fractions])) for n in (FIRST_DAYS, SIEVE_DAYS, DAYS)}
        self.before = {n: self._judged([robot], n)[0] for n in self.days}
        self.played = {n: {} for n in self.days}  # points of the matches on so many days, by change
        report = judge(WholeRobot, asked, kit_with(robot))
        self.fault = None if report.works_on_bad_day else report.weakest(bad=report.works)
        self.report = report

    def mended(self, changes):
        """What the robot misses besides points, and which changes mend it; None where it misses nothing."""
        points = [f.name for f in WholeRobot.FINDINGS if f.effect]
        if self.fault is None or self.fault in points or self.report.bad_margin[self.fault] >= 0:
            return None
        fault = Fault(report_text.verdict(self.report), WholeRobot.finding(self.fault), self.report)
        was = self.before[FIRST_DAYS]["bad"][self.fault][1]
        some = self._effects([*changes, *further_of(self.robot)], FIRST_DAYS)
        some = [one for one in some if one.effect.mended[1] > was and not self._breaks(one)]
        self.progress(f"judging what mends best on {DAYS} days")
        judged = self._effects(list(_few_of_each(sorted(some, key=_rank_of_mends)))[:FINALISTS], DAYS)
        judged = sorted((one for one in judged if not self._breaks(one)), key=_rank_of_mends)
        mends = [one for one in judged if one.effect.mended[1] >= 0]
        if mends:
            return replace(fault, mends=_of_each_input(mends))
        nearer = [one for one in judged if one.effect.mended[1] > self.report.bad_margin[self.fault]]
        return replace(fault, nearest=max(nearer, key=lambda one: one.effect.mended[1], default=None))

    def _breaks(self, one):
        """Whether the robot itself misses something newly; what its mechanisms wish by themselves is left to them."""
        return bool({f.label for f in WholeRobot.judged()} & set(one.effect.breaks))

    def best(self, changes):
        """Those that surely gain and break nothing, judged on all days, and those that gain but break something as far
        as was seen; the best first.
        """
        sieved = sorted(self._sieve(changes), key=_rank)
        left = [one for one in sieved if not one.effect.breaks]
        judged = [one for one in sieved if one.effect.breaks]
        found = []
        while left and len({_paths(one) for one in found}) < ENOUGH:
            self.progress(f"judging the best {FINALISTS} on {DAYS} days")
            some, left = self._effects(left[:FINALISTS], DAYS), left[FINALISTS:]
            gaining = [one for one in some if one.effect.gains and not one.effect.breaks]
            judged += [one for one in some if one.effect.breaks]
            found += gaining
            if not gaining:  # those that follow seemed to gain still less
                break
        broken = [one for one in judged if one.effect.gains]
        return tuple(sorted(found, key=_rank)), sorted(broken, key=_rank)

    def _sieve(self, changes):
        """All changes after which a bad day has more points, judged on some days."""
        helps = lambda now, before: (now.mean(axis=-1) > before.mean(axis=-1)).any()
        better = lambda now, before: _bad(now) > _bad(before)
        left = self._played(changes, FIRST_DAYS, helps)
        return self._effects(self._played(left, SIEVE_DAYS, better), SIEVE_DAYS)

    def _played(self, changes, days, good):
        """Those changes whose matches on these days are good, beside those of the robot as it is."""
        before, known, played = self.before[days]["matches"], self.played[days], []
        new = [one for one in changes if _key(one) not in known]
        robots = [self._changed(one)[0] for one in new]
        for start in range(0, len(robots), AT_ONCE):
            self.progress(f"{start} of {len(robots)} changes played on {days} days")
            played += self._each(robots[start : start + AT_ONCE], days, _matches)
        self.impossible += sum(one is None for one in played)
        found = known | {_key(one): now for one, now in zip(new, played) if now is not None}
        return [one for one in changes if _key(one) in found and good(found[_key(one)], before)]

    def pairs(self, singles, found, broken, number):
        """All pairs of different inputs among the best single changes, and those that mend or need mending."""
        known = {(one.path, one.becomes) for one in (*found, *broken)}
        others = [one for one in singles if (one.path, one.becomes) not in known]
        others = sorted(self._effects(others, SIEVE_DAYS), key=_rank_of_points)
        unlock = [one for one in others if one.effect.meets]
        rest = [one for one in others if not one.effect.meets and not one.effect.breaks]
        best, broken, some = [*found, *rest][:number], broken[:number], unlock[:MOST_UNLOCK]
        two = [Pair((a, b)) for a, b in combinations([*best, *broken, *some], 2) if a.path != b.path]
        pairs = self.best(two)[0]
        more = bool(pairs) and (not found or self.is_more(pairs[0], found[0]))
        return Pairs(pairs, len(two), len(best), len(broken), len(some), len(unlock), more)

    def is_more(self, one, other):
        """Whether the first surely brings more points on a bad day than the other; both were judged on all days."""
        first, second = (self.played[DAYS][_key(change)] for change in (one, other))
        return float(_bad(first) - _bad(second)) > max(LEAST, SURE * _error(second, first))

    # one change -------------------------------------------------------------------------------------------------------

    def _changed(self, change):
        """The robot with one or two changes made, weighed; and how much heavier its mechanisms are."""
        after = self.robot.with_changes({one.path: one.becomes for one in change.changes})
        heavy, heavier = weighed(self.robot, after)
        # Robots that weigh the same share their parts, and so their bodies.
        parts = self._weighed.setdefault(tuple(sorted(heavier.items())), heavy.plan.parts)
        return replace(heavy, plan=replace(heavy.plan, parts=parts)), heavier

    def _effects(self, changes, days):
        """The changes with what they do on these days; those that can't be built are left out."""
        made = [self._changed(one) for one in changes]
        told = []
        for start in range(0, len(made), AT_ONCE):
            self.progress(f"{start} of {len(made)} changes judged on {days} days")
            told += self._judged([robot for robot, _ in made[start : start + AT_ONCE]], days)
        self.played[days] |= {_key(one): now["matches"] for one, now in zip(changes, told) if now is not None}
        return [
            replace(change, effect=self._effect(change, heavier, now, self.before[days]))
            for change, (_, heavier), now in zip(changes, made, told)
            if now is not None
        ]

    def _effect(self, change, heavier, now, before):
        known = all(self._mass_known(one) for one in change.changes)
        both = before["matches"], now["matches"]
        return Effect(
            points_good=tuple(float(one[0].mean()) for one in both),
            points_bad=tuple(float(_bad(one)) for one in both),
            error=_error(*both),
            mass=float(sum(heavier.values())) if known else None,
            **{name: now["costs"][name] - before["costs"][name] for name in COSTS},
            breaks=_names(now["missed"] - before["missed"]),
            meets=_names(before["missed"] - now["missed"]),
            mended=now["bad"].get(self.fault),
            left=tuple(f.label for f in WholeRobot.judged() if (f.label, "bad") in now["missed"]),
        )

    def _mass_known(self, change):
        """Whether the kit tells what a change weighs: the part itself, or others of which it brings more; a setting of
        a program weighs nothing.
        """
        key, settings = _key(change), [number for number, _ in change.mechanism.sizing.MENDS.values()]
        if change.field.name in settings:
            return True
        if key not in self._known:
            own = change.mechanism.sizing.picked_mass(change.mechanism.values, change.mechanism.tables)
            self._known[key] = own.get(change.field.name) is not None or bool(self._changed(change)[1])
        return self._known[key]

    # many robots at once ----------------------------------------------------------------------------------------------

    def _judged(self, robots, days):
        return self._each(robots, days, self._found)

    def _found(self, together):
        """For each robot: points of its matches, what they cost, and what is missed on a good or on a bad day."""
        shape = (len(together.works), together.each.rows)
        found = {key: np.broadcast_to(value, (together.days.rows,)) for key, value in all_of(together).items()}
        found = {key: np.array(value, dtype=float).reshape(shape) for key, value in found.items()}
        for i, work in enumerate(together.works):
            for key, value in standing(work).items():
                found[key][i] = value
        margins = {f.label: f.margin(found[f.name], self.x) for f in WholeRobot.judged()}
        own = [(f, margins[f.label]) for f in WholeRobot.judged()]
        for name, one in together.robot.mechanisms.items():
            labels = {f.name: f"{one.label}: {f.label}" for f in one.sizing.judged()}
            margins |= {labels[key]: value for key, value in together.margins(name).items()}
        costs = {key: _worse(found[key], worse) for key, worse in COSTS.items()}
        return [
            {
                "matches": matches,
                "costs": {key: float(value[i]) for key, value in costs.items()},
                "missed": frozenset(_missed(margins, i)),
                "bad": {f.name: (_bad_value(f, found[f.name][i]), float(_worse(margin[i]))) for f, margin in own},
            }
            for i, matches in enumerate(_matches(together))
        ]

    def _each(self, robots, days, ask):
        """What ask() tells of each robot on these days, None of those that can't be built."""
        groups = {}
        for place, robot in enumerate(robots):
            groups.setdefault(alike(robot), []).append(place)
        told = [None] * len(robots)
        for places in groups.values():
            for place, one in zip(places, self._asked([robots[place] for place in places], days, ask)):
                told[place] = one
        return told

    def _asked(self, robots, days, ask):
        try:
            return ask(Together(robots, self.days[days]))
        except ValueError:
            if len(robots) == 1:
                return [None]
            half = len(robots) // 2
            return [*self._asked(robots[:half], days, ask), *self._asked(robots[half:], days, ask)]


def _rank(one):
    """The most points first; of equals the lighter one, and last those whose mass is not known."""
    mass = one.effect.mass
    return -one.effect.gain, np.inf if mass is None else mass


def _rank_of_points(one):
    """The most points on a bad day first; of equals the most on a good day."""
    return -one.effect.gain, one.effect.points_good[0] - one.effect.points_good[1]


def _rank_of_mends(one):
    """What mends first; of these what asks nothing of a mechanism that it misses newly, then the most points on a bad
    day, then what leaves more to spare; of what does not mend, what comes nearest.
    """
    value, margin = one.effect.mended
    points = round(one.effect.points_bad[1], 6)  # what differs by rounding is as many
    return (0, bool(one.effect.breaks), -points, -margin) if margin >= 0 else (1, False, 0.0, -margin)


def _few_of_each(found):
    """The first few changes of each input, in order."""
    number = {}
    for one in found:
        number[one.path] = number.get(one.path, 0) + 1
        if number[one.path] <= OF_EACH:
            yield one


def _of_each_input(found):
    """The first change of each input."""
    best = {}
    for one in found:
        best.setdefault(one.path, one)
    return tuple(best.values())


def _key(one):
    return tuple((change.path, change.becomes) for change in one.changes)


def _paths(one):
    return tuple(change.path for change in one.changes)


def _matches(together):
    """Points of each match [days, matches], for each robot."""
    points = np.asarray(play(together, MATCHES)[1].points, dtype=float)
    return list(points.reshape(len(together.works), together.each.rows, MATCHES))


def _worse(values, worse="less"):
    """A number on a bad day, never better than on the good one, which is the first of the days [..., days]."""
    bad = on_a_bad_day(values[..., 1:], worse)
    return np.maximum(bad, values[..., 0]) if worse == "more" else np.minimum(bad, values[..., 0])


def _bad_value(finding, values):
    """A finding on a bad day."""
    return float(_worse(values, finding.worse_way))


def _bad(matches):
    """Points on a bad day, from the points of each match [days, matches]."""
    return _worse(matches.mean(axis=-1))


def _error(before, after):
    """Standard error of the points gained on a bad day: the jackknife over matches, each with its luck left out once.

    B. Efron, The Jackknife, the Bootstrap and Other Resampling Plans (1982), chapter 3; from memory.
    """
    number = before.shape[-1]
    without = [(one.sum(axis=-1, keepdims=True) - one) / (number - 1) for one in (before, after)]
    gains = _worse(without[1].T) - _worse(without[0].T)
    return float(np.sqrt((number - 1) / number * np.sum((gains - gains.mean()) ** 2)))


def _missed(margins, place):
    """What is missed, each with the day: a bad day, or a good one too."""
    for label, margin in margins.items():
        if _worse(margin[place]) < 0:
            yield label, "bad"
        if margin[place][0] < 0:
            yield label, "good"


def _names(some):
    """What some tell, each name once, in order."""
    return tuple(sorted({label for label, _ in some}))

"""What the mechanisms do on each day: findings, times of the steps, and who draws how much current at once.

Contents: Days (which days), NEVER, Work (a robot on some days), Power, power, battery_on.

A day is one set of spreads (mass, friction, efficiency, battery, people) that holds for the whole robot: on a day with
a tired battery all mechanisms have a tired battery.
"""

from collections import OrderedDict
from dataclasses import dataclass
from functools import cached_property
from statistics import NormalDist

import numpy as np

from mechbench.engine.columns import columns
from mechbench.engine.days import day_fractions, spread_columns
from mechbench.engine.spec import DRIVES, HANGS, RAISES, Finding, Need
from mechbench.physics import battery as cells
from mechbench.physics import control
from mechbench.physics.cycle import schedule
from mechbench.physics.duration import Duration
from mechbench.whole_robot.body import FOLDED, body_of

SPREADS = ("mass", "friction", "efficiency", "battery_voltage", "battery_resistance", "fuse", "people")
# Where in a stretch of time its current is looked up. Half of it is often just where one part of a run ends and the
# next begins, and rounding alone would decide between them.
MIDDLE = 0.5 + 1e-6
FIRST, THEN = 32, 8  # of a run the first parts are added up as they are, for motors that stand take most; then each 8th
INSTANT = 1e-9  # s: what is shorter takes no time
NEVER = 1e5  # s, stands for a step that is never done: longer than any match
LEAST_BRAKING = 0.05  # m/s2: below it a robot falls over when it stops
OF_THE_MATCH = ("leave", "tries")  # values of a robot that change no cycle and no current


MOST_SURE = 0.995  # of a guess's normal spread, at the end of a day's
MOST_KEPT = 256
_kept, _kept_bodies = OrderedDict(), OrderedDict()  # bodies apart: a search meets hundreds, what is solved outlasts it


def kept(key, make, among=_kept):
    """What was found for this key before, or else what make() gives now; the newest are kept.

    Robots that differ in one gear share all their other mechanisms: a slider or a search then solves only what differs.
    """
    if key not in among:
        among[key] = make()
        if len(among) > MOST_KEPT:
            among.popitem(last=False)
    among.move_to_end(key)
    return among[key]


def assumed_name(mechanism, path):
    """What a number that was assumed is called in a robot: its mechanism, input and column."""
    return f"{mechanism}/{path.replace('.', '/')}"


class Days:
    """Days for a whole robot: the good day, days spread evenly, or any; `fractions` is [rows, 7] from 0 to 1, nan as
    usual.

    assumed names numbers of its mechanisms that no label gives, "lift/motor/rotor_inertia"; then `fractions` has a
    column more for each, its place in its band from 0 to 1. Without it all are as assumed.
    """

    def __init__(self, fractions, assumed=()):
        self.fractions, self.assumed = np.atleast_2d(np.asarray(fractions, dtype=float)), tuple(assumed)
        self.rows = len(self.fractions)

    @classmethod
    def good(cls):
        """One day on which everything is as the kit says."""
        return cls(np.full((1, len(SPREADS)), np.nan))

    @classmethod
    def spread(cls, number):
        """So many different days."""
        return cls(day_fractions(len(SPREADS), number))

    def for_sizing(self, sizing):
        """The fractions in the order of a sizing's own spreads; a spread that is not the robot's stays as usual."""
        whole = np.full((self.rows, len(sizing.SPREADS)), np.nan)
        for i, name in enumerate(sizing.SPREADS.values()):
            if name in SPREADS:
                whole[:, i] = self.fractions[:, SPREADS.index(name)]
        return whole

    def for_bands(self, mechanism, bands):
        """The same for the bands of a mechanism's inputs, to stand beside `for_sizing`."""
        whole = np.full((self.rows, len(bands)), np.nan)
        for i, path in enumerate(bands.paths):
            name = assumed_name(mechanism, path)
            if name in self.assumed:
                whole[:, i] = self.fractions[:, len(SPREADS) + self.assumed.index(name)]
        return whole

    def shift(self, kit, name):
        """How far a spread of the kit moves its number on each day; 0 on a usual day."""
        spread, share = kit.spread(name), self.fractions[:, SPREADS.index(name)]
        return np.where(np.isnan(share), 0.0, spread.low + share * (spread.high - spread.low))


@dataclass(frozen=True)
class Met:
    """One need of a mechanism: the finding that it is about, its value, the chance that the robot can, and from which
    value on it surely can; each [rows].
    """

    need: Need
    finding: Finding
    value: np.ndarray
    chance: np.ndarray
    full: np.ndarray


class Work:
    """A robot at work on some days; every number is found when it is first asked for."""

    def __init__(self, robot, days, people=None):
        self.robot, self.days, self.people = robot, days, people or {}
        self._found = {}

    def human(self, name):
        """How long a step of people takes: as the game says, or as `people` says for some of them."""
        one = self.robot.kit.game.human[name]
        return self.people.get(name) or Duration(one.low, one.likely, one.high)

    def three(self, name):
        """The same as an array: low, likely, high."""
        time = self.human(name)
        return np.array([time.low, time.likely, time.high])

    @property
    def slowness(self):
        """How much longer than usual people take on these days, 1 on a usual day [rows]."""
        return 1 + self.days.shift(self.robot.kit, "people")

    @cached_property
    def bodies(self):
        """The robot in each pose in which it works: folded, raised, and its own ones."""
        plan, poses = self.robot.plan, self.robot.poses
        made_of = "bodies", repr(plan.parts), plan.values["wheelbase"], plan.values["track"], poses
        return kept(made_of, lambda: {pose: body_of(self.robot, pose) for pose in poses}, _kept_bodies)

    @property
    def working(self):
        """The robot in the poses in which it works, by name; in the folded one where it has no other."""
        return {pose: body for pose, body in self.bodies.items() if pose != FOLDED} or self.bodies

    @property
    def bad_guess(self):
        """How many standard deviations guesses are to the bad side on these days, 0 on a good day [rows].

        Masses are what is guessed with them: on a day on which they come out high, guesses come out badly. In a kit
        whose masses are sure, another spread tells the days apart. No day is better than the guess itself.
        """
        spreads = {name: self.robot.kit.spread(name) for name in SPREADS}
        vary = [name for name, one in spreads.items() if one.high > one.low]
        share = self.days.fractions[:, SPREADS.index(vary[0] if vary else SPREADS[0])]
        high = np.where(np.isnan(share), 0.5, np.clip(share, 0.5, MOST_SURE))
        return np.array([NormalDist().inv_cdf(one) for one in high])

    def inputs(self, mechanism, times=1, **more):
        """Columns of a mechanism's inputs on these days, so many times over, with what the robot itself gives."""
        values = {**mechanism.values, **self.given(mechanism), **more}
        x, bands = columns(mechanism.sizing, values, mechanism.tables), mechanism.bands
        days = np.hstack([self.days.for_sizing(mechanism.sizing), self.days.for_bands(mechanism.name, bands)])
        return spread_columns(mechanism.sizing, x, mechanism.tables, np.tile(days, (times, 1)), bands)

    def given(self, mechanism, pose="folded"):
        """What the robot itself gives to a mechanism: mass, balance, wheels."""
        return mechanism.sizing.given(self.robot, self.bodies[pose], mechanism.values)

    def findings(self, name):
        """All findings of a mechanism by name, each [rows]."""
        mechanism = self.robot.mechanisms[name]
        return self.once(name, lambda: self._kept(mechanism, (), lambda: self._solved(mechanism)))

    def needs(self, name):
        """What a mechanism needs so that the robot can do its work (its NEEDS), as Met, one each."""
        mechanism = self.robot.mechanisms[name]
        if not mechanism.sizing.NEEDS:
            return ()
        return self.once(("needs", name), lambda: self._kept(mechanism, ("needs",), lambda: self._met(mechanism)))

    def without_a_run(self, driving, pose=FOLDED):
        """Findings of a drivetrain that ask for no run, in that pose, by name, each [rows]: a run costs far more."""
        given = self.given(driving, pose)
        find = lambda: driving.sizing.needed(self.inputs(driving, **given))
        return self._kept(driving, ("needed", repr(given)), find)

    def margin(self, name, finding_name):
        """How far a finding of a mechanism is inside what is asked of it, as a share of it [rows]."""
        finding = self.robot.mechanisms[name].sizing.finding(finding_name)
        margin = finding.margin(self.findings(name)[finding_name], self.inputs(self.robot.mechanisms[name]))
        return np.broadcast_to(margin, (self.days.rows,))

    def raised_to(self, name, before, below=0.0):
        """How high a mechanism raises what was `before` [rows]; no higher than before where it can't raise at all."""
        mechanism, found = self.robot.mechanisms[name], self.findings(name)
        make = lambda: mechanism.sizing.raised_to(self.inputs(mechanism), found, before, below)
        what = "raised", before, below
        height = self.once((name, *what), lambda: self._kept(mechanism, what, make))
        can = least([one.chance for one in self.needs(name) if one.need.does == RAISES], self.days.rows)
        return np.where(np.isfinite(found["time"]) & (can > 0), height, before)

    def once(self, key, make):
        """What make() gives; made when it is first asked for under this key."""
        if key not in self._found:
            self._found[key] = make()
        return self._found[key]

    def _met(self, mechanism):
        sizing, x = mechanism.sizing, self.inputs(mechanism)
        found = self.findings(mechanism.name) if sizing.ROLE != DRIVES else self.without_a_run(mechanism)
        met = []
        for need in sizing.NEEDS:
            finding, value = sizing.finding(need.finding), found[need.finding]
            columns_of = value, need.chance(finding, value, x), need.end(need.full, finding, x)
            met.append(Met(need, finding, *(np.broadcast_to(one, (self.days.rows,)) for one in columns_of)))
        return tuple(met)

    def shared(self, key, make):
        """What make() gives, kept for every robot that differs from this one in its match alone; where people have
        times of their own, it is made anew.
        """
        return make() if self.people else kept((*key, *self._whole), make)

    @cached_property
    def _whole(self):
        """What cycles and currents depend on: kit, all of the plan that is not of the match alone, and days."""
        robot = self.robot
        values = {key: value for key, value in robot.plan.values.items() if key not in OF_THE_MATCH}
        mechanisms = {name: (one.sizing.NAME, one.values) for name, one in robot.mechanisms.items()}
        planned = repr((values, mechanisms, robot.plan.parts, robot.plan.steps, robot.plan.closing))
        return robot.kit.digest, planned, self.days.fractions.tobytes()

    def _solved(self, mechanism):
        found = mechanism.sizing.solve(self.inputs(mechanism))
        return {key: np.broadcast_to(np.asarray(value, dtype=float), (self.days.rows,)) for key, value in found.items()}

    def _kept(self, mechanism, more, make):
        """What make() gives of a mechanism, kept for every robot that has the same one."""
        return kept(self._key(mechanism, *more), make)

    def _key(self, mechanism, *more):
        """What a mechanism's findings depend on: kit, inputs, what the robot gives, days."""
        given = tuple(float(value) for value in self.given(mechanism).values())
        return (
            self.robot.kit.digest,
            mechanism.sizing.NAME,
            tuple(mechanism.values.items()),
            given,
            self.days.fractions.tobytes(),
            *more,
        )

    # driving ---------------------------------------------------------------------------------------------------------

    def run(self, distance, pose):
        """Time of a run from rest to rest, no harder, ahead or back, than balance allows in that pose; its highest
        current; and its parts, in order: when each ends, since the run's begin, and its amperes [rows, n].
        """
        one = distance, pose
        return self._runs(self._planned if one in self._planned else (one,))[one]

    @cached_property
    def _planned(self):
        """The runs of all steps, of the closing task too, each once."""
        steps = (*self.robot.plan.steps.values(), *self.robot.plan.closing.values())
        return tuple(dict.fromkeys((self.way(step), step["pose"]) for step in steps if step["drive"] is not None))

    def _runs(self, asked):
        """Several runs, each a distance and a pose -> what run gives."""
        return self.once(("runs", asked), lambda: self._kept_runs(asked))

    def _kept_runs(self, asked):
        (mechanism,) = self.robot.of_role(DRIVES)
        stands = tuple((self.bodies[pose].braking, float(self.bodies[pose].stance.centre.z)) for _, pose in asked)
        return self._kept(mechanism, (asked, stands), lambda: self._driven(mechanism, asked))

    def _driven(self, mechanism, asked):
        """The runs as rows of one move, one block of days after the other: much quicker than one by one."""
        number, rows = len(asked), self.days.rows
        each = [{**self.given(mechanism, pose), "distance": distance} for distance, pose in asked]
        x = self.inputs(mechanism, number, **{key: np.repeat([one[key] for one in each], rows) for key in each[0]})
        braking = np.repeat([self.bodies[pose].braking for _, pose in asked], rows)
        done = mechanism.sizing.run(x, np.maximum(braking, LEAST_BRAKING))
        time = np.where(braking < LEAST_BRAKING, NEVER, _ends(done.time[:, 0], number * rows))
        seconds, amps = mechanism.sizing.drawn(x, done)
        found = (
            np.broadcast_to(one, (number * rows, *one.shape[1:])).reshape(number, rows, *one.shape[1:])
            for one in (time, done.bus_current, np.cumsum(seconds, axis=-1), amps)
        )
        return {one: (*its[:2], its[2:]) for one, *its in zip(asked, *found)}

    def passes(self, obstacle, pose):
        """Whether the robot passes an obstacle of the game in that pose, as its kit says: under it, or over it."""
        one = self.robot.kit.game.obstacles[obstacle]
        if one.kind == "low":
            return bool(self.bodies[pose].extent.z_high <= one.clear_height)
        if one.kind == "ramp":
            return self.climbs_usually(one.slope, pose)
        return one.kind == "line" or bool(one.height <= self.step_height())

    def climbs_usually(self, slope, pose):
        """Whether the robot climbs a slope in that pose on a usual day: what is on its way, it passes on all."""
        usual, driving = Work(self.robot, Days.good()), self.robot.of_role(DRIVES)
        if not driving:
            return False
        return bool(np.ravel(usual.without_a_run(driving[0], pose)["slope"])[0] >= slope)

    def step_height(self):
        """How high a step its driven wheels climb without a push: r (1 - cos(atan mu)).

        At that step's edge the push stands at the angle of friction to the wheel's radius; common practice, no source.
        """
        driving = self.robot.of_role(DRIVES)
        if not driving:
            return 0.0
        part = driving[0].tables("drive_wheels").row(driving[0].values["wheel"])
        return part["radius"] * (1 - np.cos(np.arctan(part["along"])))

    def way(self, step):
        """How far a step drives: longer where the robot must go round an obstacle."""
        return step["drive"] + (self._around(step) or 0.0)

    def stuck(self, step):
        """Whether a step never gets there: it does not pass an obstacle, and there is no way round."""
        return self._around(step) is None

    def _around(self, step):
        """How much longer a step's way is for an obstacle that the robot does not pass; None: there is no way round."""
        if not step["passes"] or self.passes(step["passes"], step["pose"]):
            return 0.0
        return self.robot.kit.game.obstacles[step["passes"]].way_round

    # steps -----------------------------------------------------------------------------------------------------------

    def step(self, step):
        """Time and highest battery current of its motors [rows] of one step of a plan; 0 s for what people do."""
        return self.once(("step", *_told(step)), lambda: self._step(step))

    def _step(self, step):
        rows = self.days.rows
        time, amps = np.zeros(rows), np.zeros(rows)
        if step["drive"] is not None:
            time, amps, _ = self.run(self.way(step), step["pose"])
            time = _ends(NEVER if self.stuck(step) else time + self.robot.kit.controller.settle, rows)
        elif step["mechanism"]:
            found, mechanism = self.findings(step["mechanism"]), self.robot.mechanisms[step["mechanism"]]
            time, amps = self._controlled(mechanism, found[step["finding"]]), mechanism.battery_current(found)
        return time, amps + sum(self._own(name)[0] for name in step["beside"])

    def _controlled(self, mechanism, time):
        """A time at best as a program lets it become: planned, and settled [rows].

        A servo follows its own controller, and a winch is fully on until it hangs: both only settle. Pieces that stream
        through an intake do not stop.
        """
        controller, role = self.robot.kit.controller, mechanism.sizing.ROLE
        planned = time / controller.pace if role == RAISES and not mechanism.by_servo else time
        stops = role in (RAISES, HANGS) or mechanism.by_servo
        return _ends(planned + controller.settle * stops, self.days.rows)

    def history(self, step):
        """The currents of a step's motors, in order: when each ends, since the step's begin, and its amperes [rows, n].
        Those of a run; else the highest all the time.
        """
        return self.once(("history", *_told(step)), lambda: self._history(step))

    def _history(self, step):
        time, amps = self.step(step)
        if step["drive"] is None:
            return time[:, None], amps[:, None]
        _, highest, (ends, drawn) = self.run(self.way(step), step["pose"])
        return ends, drawn + (amps - highest)[:, None]

    def servos(self, step):
        """Current on the servo rail while a step runs, beyond that of servos at rest [rows]."""
        moved = [name for name in (step["mechanism"], *step["beside"]) if name]
        rest_and_move = [self._own(name)[1] for name in moved]
        return np.zeros(self.days.rows) + sum(moving - rest for rest, moving in rest_and_move)

    def always(self):
        """Battery current of what no step switches [rows], and current on the servo rail of servos at rest [rows]."""
        kit, rows = self.robot.kit, self.days.rows
        rest = sum((self._own(name)[1][0] for name in self.robot.mechanisms), np.zeros(rows))
        return np.full(rows, kit.controller.electronics + self.robot.value("more_current")), rest

    def _own(self, name):
        """Battery current of a mechanism's motors, and current of its servos on their rail at rest and moving."""
        return self.once(("own", name), lambda: self._drawn(name))

    def _drawn(self, name):
        mechanism = self.robot.mechanisms[name]
        if mechanism.sizing.ROLE == DRIVES:
            return np.zeros(self.days.rows), (np.zeros(self.days.rows),) * 2
        found = self.findings(name)
        return mechanism.battery_current(found), mechanism.rail_current(found)


def climbs(work, slope):
    """On which days the robot, folded, climbs a slope [rows]: by what grip, motors and balance allow."""
    driving = work.robot.of_role(DRIVES)
    found = [work.without_a_run(one)["slope"] >= slope for one in driving]
    return np.broadcast_to(found[0] if found else False, (work.days.rows,))


def least(chances, rows):
    """The least of some chances, each [rows]: what a robot does is as sure as the weakest part of it. 1 where there is
    none.
    """
    return np.min([np.ones(rows), *chances], axis=0)


def _told(step):
    """What a step's time and currents depend on, besides the robot and its days."""
    return tuple(step[key] for key in ("drive", "pose", "passes", "mechanism", "finding")) + tuple(step["beside"])


def _ends(time, rows):
    """A time that is never reached stands as a very long one, so that sums stay numbers."""
    return np.broadcast_to(np.where(np.isfinite(time), np.minimum(time, NEVER), NEVER), (rows,))


# --- who draws what -------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Power:
    """Current of the battery: the highest at once in a cycle, who draws it, and what it does. Each [rows].

    draws: name of a mechanism -> highest current of its own [rows]; rest: electronics, servos and all that is always
    on; together: the steps that run at once at the peak; volts: then; lasting: the lowest that lasts as long as the
    reset waits; fuse_share: of the fuse, used up in one cycle.
    """

    draws: dict
    rest: np.ndarray
    together: tuple
    peak: np.ndarray
    volts: np.ndarray
    lasting: np.ndarray
    fuse_share: np.ndarray
    all_on: np.ndarray


def power(work, steps, times, kind="steps"):
    """Who draws what in a cycle (kind="closing": in a closing task): timing steps, and their times [rows, n] on these
    days.
    """
    order = tuple((step.name, step.kind, step.after) for step in steps)
    return work.shared(("power", kind, order, times.tobytes()), lambda: _power(work, steps, times, kind))


def _power(work, steps, times, kind):
    robot, rows = work.robot, work.days.rows
    plan, plans = schedule(steps, times), [getattr(robot.plan, kind)[step.kind] for step in steps]
    amps = np.stack([work.step(one)[1] for one in plans], axis=-1)
    rail = np.stack([work.servos(one) for one in plans], axis=-1)
    # The highest sum is met at some step's begin: what runs then is added up.
    on = (plan.start[:, None, :] <= plan.start[:, :, None] + 1e-9) & (
        plan.finish[:, None, :] > plan.start[:, :, None] + 1e-9
    )
    sums = _all_of_it(work, np.sum(on * amps[:, None, :], axis=-1), np.sum(on * rail[:, None, :], axis=-1))
    at = np.argmax(sums, axis=-1)
    here, peak = on[np.arange(rows), at], sums[np.arange(rows), at]
    volts, resistance = battery_on(work)
    draws = _draws(work)
    moving = sum((work.servos({"mechanism": name, "beside": ()}) for name in robot.mechanisms), np.zeros(rows))
    all_on = _all_of_it(work, sum(draws.values(), np.zeros(rows))[:, None], moving[:, None])[:, 0]
    together = tuple(step.name for step, runs, one in zip(steps, here[0], (amps + rail)[0]) if runs and one > 0)
    rest = all_on - sum(draws.values())
    over_time = _OverTime(work, plan, plans)
    lowest = volts - resistance * peak
    lasting, melted = _lasting(work, over_time, lowest), _melted(work, over_time, peak)
    return Power(draws, rest, together, peak, lowest, lasting, melted, all_on)


def _all_of_it(work, amps, rail):
    """Battery current [rows, n] of motors (amperes) and servos (amperes on their rail), and of all that is always on.

    The converter of the rail takes a power: the lower the battery sags, the more current. Where no current gives that
    power, it takes what the battery gives at most.
    """
    always, rest = work.always()
    volts, resistance = (np.reshape(one, (-1, 1)) for one in battery_on(work))
    kit = work.robot.kit.servo_rail
    asked = kit.voltage * np.minimum(rail + rest[:, None], kit.current_limit) / kit.efficiency
    return control.supply(volts, resistance, asked, amps + always[:, None])[1]


class _OverTime:
    """What is drawn over one cycle: every step at its place in time, all currents added up, even in each part.

    What braking gives back is left out.
    """

    def __init__(self, work, plan, plans):
        self.work, self.plan, self.plans = work, plan, plans

    @cached_property
    def edges(self):
        """Times between which currents are taken as even [rows, n + 1]."""
        total = np.minimum(np.max(self.plan.finish, axis=-1), NEVER)[:, None]
        return _edges(self.work, self.plan, self.plans, total)

    @cached_property
    def long(self):
        """How long each part is."""
        return np.diff(self.edges, axis=-1)

    @cached_property
    def amps(self):
        """Current of the battery in each part."""
        moments = self.edges[:, :-1] + MIDDLE * np.diff(self.edges, axis=-1)
        amps, rail = np.zeros(moments.shape), np.zeros(moments.shape)
        start, first, last = self.plan.start, *(_places(moments, at) for at in (self.plan.start, self.plan.finish))
        for place, step in enumerate(self.plans):
            (ends, drawn), servos = self.work.history(step), self.work.servos(step)
            if not drawn.any() and not servos.any():
                continue  # what people do
            row, when = _between(first[:, place], last[:, place])  # a small part of all moments
            amps[row, when] += np.maximum(_at(moments[row, when] - start[row, place], row, ends, drawn), 0.0)
            rail[row, when] += servos[row]
        return _all_of_it(self.work, amps, rail)


def _melted(work, over_time, peak):
    """Share of the fuse that one cycle uses up [rows]."""
    kit = work.robot.kit.fuse
    patience = (kit.patience + work.days.shift(work.robot.kit, "fuse"))[:, None]
    fuse = cells.Fuse(kit.rating, kit.ratio, kit.time, kit.holds, kit.time_quick, patience)
    if not np.isfinite(cells.time_to_blow(fuse, peak[:, None])).any():
        return np.zeros(work.days.rows)
    return np.sum(over_time.long / cells.time_to_blow(fuse, over_time.amps), axis=-1)


def _lasting(work, over_time, lowest):
    """The lowest voltage that lasts as long as the reset waits [rows], one cycle after the other; `lowest` is that of
    an instant, and stands in the part that comes nearest to it.
    """
    wait = work.robot.kit.controller.reset_after
    if wait == 0:
        return lowest
    volts, resistance = (one[:, None] for one in battery_on(work))
    none = np.zeros((work.days.rows, 1))
    rest = (volts - resistance * _all_of_it(work, none, none))[:, 0]
    sags, long, edges = volts - resistance * over_time.amps, over_time.long, over_time.edges
    # What takes no time neither lasts nor ends what does.
    least = np.min(np.where(long < INSTANT, np.inf, sags), axis=-1, keepdims=True)
    sags = np.where((sags == least) | (long < INSTANT), lowest[:, None], sags)
    return cells.lasting_level(edges, sags, wait, rest)


def _places(moments, times):
    """Where in its row of moments, in rising order, each time of a row stands: at the first that is not before it."""
    return np.stack([row.searchsorted(when) for row, when in zip(moments, times)])


def _between(first, last):
    """All places from first up to last, without it, of each row: rows and places, one after the other."""
    counts = last - first
    row, begun = np.repeat(np.arange(len(counts)), counts), np.cumsum(counts) - counts
    return row, np.arange(len(row)) - (begun - first)[row]


def _edges(work, plan, plans, total):
    """Times between which currents are taken as even [rows, n]: where steps begin and end, and along each run."""
    rows = len(total)
    edges = [np.zeros((rows, 1)), total]
    for place, step in enumerate(plans):
        ends = work.history(step)[0]
        chosen = np.union1d(np.arange(min(FIRST, ends.shape[-1])), np.arange(THEN - 1, ends.shape[-1], THEN))
        begin, end = plan.start[:, place, None], plan.finish[:, place, None]
        edges += [np.minimum(one, total) for one in (begin, end, begin + ends[:, chosen])]
    return np.sort(np.concatenate(edges, axis=-1), axis=-1)


def _at(times, row, ends, amps):
    """Currents at some times, each in a row of its own [m]: of those that follow each other [rows, n], the first that
    ends later; 0 after the last. All times are looked up at once, each time in half of what was left before.
    """
    number = amps.shape[-1]
    stride = 1 << (number.bit_length() - 1)
    never = np.full((len(ends), 2 * stride - 1 - number), np.inf)
    whole = np.concatenate([ends, never], axis=-1).ravel()
    first = row * (2 * stride - 1)
    place = first - 1  # of the last one that has ended
    while stride:
        place, stride = place + stride * (whole[place + stride] <= times), stride // 2
    passed = place - first + 1
    return np.where(passed < number, amps[row, np.minimum(passed, number - 1)], 0.0)


def _draws(work):
    draws = {}
    for name, mechanism in work.robot.mechanisms.items():
        if mechanism.sizing.ROLE == DRIVES:
            ways = [step for step in work.robot.plan.steps.values() if step["drive"] is not None]
            runs = [work.run(work.way(step), step["pose"])[1] for step in ways]
            draws[name] = np.max(runs, axis=0) if runs else work.findings(name)["current"]
        else:
            draws[name] = mechanism.battery_current(work.findings(name))
    return draws


def battery_on(work):
    """Open-circuit voltage and resistance of the battery on these days."""
    kit, days = work.robot.kit, work.days
    return (
        kit.battery.open_circuit + days.shift(kit, "battery_voltage"),
        kit.battery.resistance + days.shift(kit, "battery_resistance"),
    )

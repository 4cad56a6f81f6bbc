r"""Cycle: the seconds from one piece to the next, what may happen at the same time, and which second is worth saving.

    find ---> grab ---> drive ---> line up ---> place ---> drive back
                   \--> raise ----------------/                  A step begins when every step that it waits for is done.
                                                                 The longest way through is the critical path: only
                                                                 a second saved on it shortens the cycle.

Contents
    Step, series, for_pieces              steps of a cycle, one after the other or at the same time; with several pieces
    step_mean, step_sd                    one step with its troubles (drops, jams)
    Schedule, schedule, critical_path     when each step begins and ends, how long it may wait, the longest way through
    series_spread, sample, total_spread   how much the cycle's time varies: exactly in series, by drawn cycles in general
    Worth, worth                          what a second saved on each step is worth
    piece_rate, time_inside               pieces per second; how long a piece stays inside (Little's law)

Times are low-likely-high estimates (see duration). What cycles are worth in a match is in match.
"""

import difflib
from dataclasses import dataclass, replace

import numpy as np

from mechbench.physics import check
from mechbench.physics.duration import Duration, duration, spread_of

SAMPLES = 10_000


@dataclass(frozen=True)
class Step:
    """Hold one step of a cycle.

    Fields
    ------
    name : [text] what is done; each name once
    time : [s] a number, or three: low, likely, high; kept as a Duration
    after : [text] names of the steps that must be done before this one begins; one name or several; none: at the start
    trouble : [-] chance that something goes wrong (a drop, a jam) and costs the recovery time, 0 to 1
    recovery : [s] time that it then costs: a number, or low, likely, high; kept as a Duration
    each : [yes/no] done once for each piece of a cycle, not once a cycle (see for_pieces)
    """

    name: str
    time: Duration
    after: tuple = ()
    trouble: float = 0.0
    recovery: Duration = 0.0
    each: bool = False

    def __post_init__(self):
        object.__setattr__(self, "time", duration(self.time))
        object.__setattr__(self, "recovery", duration(self.recovery))
        object.__setattr__(self, "after", (self.after,) if isinstance(self.after, str) else tuple(self.after))
        check.between(f"trouble of {self.name!r}", self.trouble, 0.0, 1.0, "give a fraction, 0.05 for 1 of 20")


def series(steps):
    """Put steps one after the other: each waits for the one before it.

    Equation: total = sum of the times

    Parameters
    ----------
    steps : [part] list of Step, in the order in which they are done

    Returns
    -------
    steps : [part] list of Step

    Valid: nothing is done at the same time.
    Raises: nothing.
    Source: common practice, no source.

    >>> print([step.after for step in series([Step("find", 1.0), Step("grab", 0.5), Step("drive", 2.0)])])
    [(), ('find',), ('grab',)]
    """
    steps = list(steps)
    return [replace(step, after=(before.name,)) if before else replace(step, after=())
            for before, step in zip([None, *steps[:-1]], steps)]


def for_pieces(steps, pieces):
    """Give the steps of a cycle in which several pieces are carried: steps marked `each` are done once for each piece.

    Equation: find, grab (each), drive, place (each) -> find, grab, find (2), grab (2), drive, place, place (2)

    Parameters
    ----------
    steps : [part] list of Step; some with each=True
    pieces : [whole] carried at once, >= 1

    Returns
    -------
    steps : [part] list of Step

    Valid: `each` steps that wait for each other are one group; the group is done for one piece, then for the next. A step
        that waits for an `each` step waits for it with every piece.
    Raises: ValueError when pieces is not a whole number of at least 1, or the steps don't fit together.
    Source: common practice, no source.

    >>> steps = series([Step("grab", 1.0, each=True), Step("drive", 3.0), Step("place", 0.5, each=True)])
    >>> print([step.name for step in for_pieces(steps, 2)], schedule(for_pieces(steps, 2)).total)
    ['grab', 'grab (2)', 'drive', 'place', 'place (2)'] 6.0
    """
    steps, copies = list(steps), check.whole("pieces", pieces, 1)
    by_name = {step.name: step for step in steps}
    ordered = [by_name[name] for name in _order(steps)]
    group = _groups(ordered)
    last = {name: _copy(name, copies) for name in group}
    made = []
    for step in ordered:
        members = [one for one in ordered if step.each and group.get(one.name) == group[step.name]]
        if not step.each:
            made.append(replace(step, after=tuple(last.get(one, one) for one in step.after)))
        elif step is members[0]:
            made += _repeated(members, copies, last)
    return made


def _copy(name, k):
    return name if k == 1 else f"{name} ({k})"


def _groups(ordered):
    """Number the groups of `each` steps that wait for each other: name -> number."""
    group = {}
    for step in ordered:
        if step.each:
            met = {group[one] for one in step.after if one in group}
            number = min(met, default=len(group))
            group.update({one: number for one in group if group[one] in met})
            group[step.name] = number
    return group


def _repeated(members, copies, last):
    """One group done `copies` times: its first steps wait until its last steps are done with the piece before."""
    names = [step.name for step in members]
    ends = [name for name in names if not any(name in step.after for step in members)]
    made = []
    for k in range(1, copies + 1):
        for step in members:
            inside = [_copy(one, k) for one in step.after if one in names]
            if not inside and k > 1:
                inside = [_copy(one, k - 1) for one in ends]
            outside = [last.get(one, one) for one in step.after if one not in names]
            made.append(replace(step, name=_copy(step.name, k), after=tuple(inside + outside)))
    return made


# --- the order of steps ---------------------------------------------------------------------------------------------


def _order(steps):
    """Names in an order in which each step comes after those it waits for; refuses steps that can't be done."""
    if not steps:
        raise ValueError("steps is empty, but it must be a list of at least one Step; list what a cycle consists of.")
    names = [step.name for step in steps]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise ValueError(f"name is {twice!r} for two steps, but it must be different for each; rename one of them.")
    for step in steps:
        for one in step.after:
            if one not in names:
                near = difflib.get_close_matches(one, names, n=1)
                way_out = f"did you mean {near[0]!r}" if near else "add that step, or leave it out"
                raise ValueError(f"after of {step.name!r} is {one!r}, but it must be the name of a step; {way_out}.")
    waits, done = {step.name: set(step.after) for step in steps}, []
    while len(done) < len(steps):
        ready = [name for name in names if name not in done and waits[name] <= set(done)]
        if not ready:
            raise ValueError(_circle({name: sorted(waits[name] - set(done)) for name in names if name not in done}))
        done += ready
    return done


def _circle(waits):
    """Name the steps that wait for each other in a circle."""
    path = [next(iter(waits))]
    while path[-1] not in path[:-1]:
        path.append(waits[path[-1]][0])
    circle = path[path.index(path[-1]):]
    return (f"after of {circle[0]!r} is {circle[1]!r}, but it must not lead back to {circle[0]!r} "
            f"(each waits for the next: {', '.join(circle)}); take out one of these.")


# --- one step -------------------------------------------------------------------------------------------------------


def step_mean(step):
    """Give the mean time of a step with its troubles.

    Equation: mean time + chance of trouble x mean recovery time

    Parameters
    ----------
    step : [part] Step

    Returns
    -------
    mean : [s] of many cycles

    Valid: trouble comes at most once each time the step is done.
    Raises: nothing.
    Source: expected value; OpenStax Introductory Statistics 2e, section 4.2.

    >>> print(f"{step_mean(Step('grab', 1.0, trouble=0.1, recovery=(3.0, 5.0, 10.0))):.1f}")
    1.6
    """
    return step.time.mean + step.trouble * step.recovery.mean


def step_sd(step):
    """Give the standard deviation of the time of a step with its troubles.

    Equation: var = var(time) + p (var(recovery) + mean(recovery)^2) - (p mean(recovery))^2

    Parameters
    ----------
    step : [part] Step

    Returns
    -------
    sd : [s] of single cycles

    Valid: time, trouble and recovery don't depend on each other.
    Raises: nothing.
    Source: variance of a mixture; OpenStax Introductory Statistics 2e, section 4.2 (from memory).

    >>> print(f"{step_sd(Step('grab', 1.0, trouble=0.1, recovery=(3.0, 5.0, 10.0))):.2f}")
    1.86
    """
    p, recovery = step.trouble, step.recovery
    return np.sqrt(step.time.sd**2 + p * (recovery.sd**2 + recovery.mean**2) - (p * recovery.mean) ** 2)


# --- all steps ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Schedule:
    """Hold when each step begins and ends; steps in the order of the list given, n of them.

    Fields
    ------
    start : [s] when each step begins, shape [..., n]
    finish : [s] when it is done, shape [..., n]
    slack : [s] how much longer it may take before the whole takes longer, shape [..., n]
    total : [s] of the cycle, shape [...]
    """

    start: np.ndarray
    finish: np.ndarray
    slack: np.ndarray
    total: np.ndarray


def schedule(steps, times=None):
    """Give when each step begins and ends, and how long it may wait.

    Equation: start = max(finish of the steps it waits for); finish = start + time; slack = latest finish - finish

    Parameters
    ----------
    steps : [part] list of Step, n of them
    times : [s] of each step, shape [..., n], each >= 0; left out: the means, with troubles

    Returns
    -------
    schedule : [part] Schedule

    Valid: a step begins as soon as it may; enough hands and motors for all that goes on at once.
    Raises: ValueError when a step waits for itself or for an unknown step, or times are not n for each case.
    Source: Kelley & Walker, Critical-path planning and scheduling (1959) (from memory).

    >>> steps = [Step("drive", 2.0), Step("raise", 1.2), Step("place", 0.5, after=("drive", "raise"))]
    >>> print(f"{schedule(steps).total:.1f} s, raise may wait {schedule(steps).slack[1]:.1f} s")
    2.5 s, raise may wait 0.8 s
    """
    steps = list(steps)
    order = [[step.name for step in steps].index(name) for name in _order(steps)]
    times = np.array([step_mean(step) for step in steps]) if times is None else np.asarray(check.not_negative("times", times))
    if times.ndim == 0 or times.shape[-1] != len(steps):
        raise ValueError(f"times are of shape {list(times.shape)}, but the last axis must be {len(steps)} long; give one a step.")
    before = {i: [j for j in order if steps[j].name in steps[i].after] for i in order}
    finish = np.zeros(times.shape)
    for i in order:
        finish[..., i] = times[..., i] + (finish[..., before[i]].max(axis=-1) if before[i] else 0.0)
    total = finish.max(axis=-1)
    latest = np.repeat(total[..., None], len(steps), axis=-1)
    for i in reversed(order):
        for j in before[i]:
            latest[..., j] = np.minimum(latest[..., j], latest[..., i] - times[..., i])
    return Schedule(finish - times, finish, latest - finish, total[()])


def critical_path(steps, times=None):
    """Give the names of the steps on the longest way through a cycle.

    Equation: from the last step to finish, back through the step that each one had to wait for

    Parameters
    ----------
    steps : [part] list of Step, n of them
    times : [s] of each step, shape [n]; left out: the means, with troubles

    Returns
    -------
    names : [text] tuple of names, from the first to the last; of equal ways, the one listed first

    Valid: as schedule.
    Raises: ValueError as schedule.
    Source: as schedule.

    >>> steps = [Step("drive", 2.0), Step("raise", 1.2), Step("place", 0.5, after=("drive", "raise"))]
    >>> print(critical_path(steps))
    ('drive', 'place')
    """
    steps = list(steps)
    finish = schedule(steps, times).finish
    by_name = {step.name: i for i, step in enumerate(steps)}
    path = [steps[int(np.argmax(finish))].name]
    while steps[by_name[path[0]]].after:
        waited = sorted(by_name[name] for name in steps[by_name[path[0]]].after)
        path.insert(0, steps[max(waited, key=lambda i: (finish[i], -i))].name)
    return tuple(path)


def series_spread(steps):
    """Give the exact mean and standard deviation of a cycle whose steps are done one after the other.

    Equation: mean = sum of means; sd^2 = sum of sd^2

    Parameters
    ----------
    steps : [part] list of Step, each of which waits for the one before

    Returns
    -------
    mean : [s] of the cycle
    sd : [s] of the cycle

    Valid: steps whose times don't depend on each other.
    Raises: ValueError when two steps may be done at the same time.
    Source: OpenStax Introductory Statistics 2e, section 4.2; sums of variances.

    >>> print("{:.1f} {:.2f}".format(*series_spread(series([Step("find", (0.6, 1.2, 3.0)), Step("drive", 2.0)]))))
    3.6 0.51
    """
    steps = list(steps)
    by_name = {step.name: step for step in steps}
    order = _order(steps)
    for before, name in zip(order, order[1:]):
        if before not in by_name[name].after:
            raise ValueError(f"after of {name!r} is {', '.join(by_name[name].after) or 'nothing'}, but it must be {before!r} "
                             "in a series; use total_spread for steps that overlap.")
    return float(sum(map(step_mean, steps))), float(np.sqrt(sum(step_sd(step) ** 2 for step in steps)))


def _shares(rng, samples):
    """Shares from 0 to 1 in a drawn order, one from each of `samples` equal strips, so that all of the range is covered."""
    return (np.argsort(rng.random(samples)) + rng.random(samples)) / samples


def _draw(steps, samples, seed):
    """Times of the steps alone and of their troubles, both [samples, n]."""
    rng, count = np.random.default_rng(seed), check.whole("samples", samples, 2)
    own, extra = np.empty((count, len(steps))), np.empty((count, len(steps)))
    for i, step in enumerate(steps):
        own[:, i] = step.time.at(_shares(rng, count))
        extra[:, i] = (_shares(rng, count) < step.trouble) * step.recovery.at(_shares(rng, count))
    return own, extra


def sample(steps, samples=SAMPLES, seed=1):
    """Give the times of all steps in many drawn cycles.

    Equation: time at a drawn share + recovery at a drawn share where trouble is drawn

    Parameters
    ----------
    steps : [part] list of Step, n of them
    samples : [whole] how many cycles, S, at least 2
    seed : [any] a whole number, or a numpy Generator; the same number gives the same cycles

    Returns
    -------
    times : [s] shape [S,n]; put into schedule for the cycles' totals

    Valid: times that don't depend on each other. Shares cover their range evenly (Latin hypercube), so that means are
        surer than those of plain draws.
    Raises: ValueError when samples is not a whole number of at least 2.
    Source: McKay, Beckman & Conover, Technometrics 21 (1979) 239-245 (from memory).

    >>> print(sample([Step("find", (0.6, 1.2, 3.0))], 1000).mean().round(2))
    1.6
    """
    own, extra = _draw(list(steps), samples, seed)
    return own + extra


def total_spread(steps, samples=SAMPLES, seed=1):
    """Give mean, standard deviation and quantiles of the cycle's time, also with steps that overlap.

    Equation: schedule over drawn cycles

    Parameters
    ----------
    steps : [part] list of Step
    samples : [whole] how many cycles are drawn, at least 2
    seed : [any] a whole number, or a numpy Generator; the same number gives the same result

    Returns
    -------
    spread : [part] Spread in s; its error is for plain draws, which is more than that of these even ones

    Valid: as sample. With overlaps the mean is longer than the critical path at mean times: now one step is late, now another.
    Raises: ValueError as schedule and sample.
    Source: as sample; Malcolm, Roseboom, Clark & Fazar, Operations Research 7 (1959) (from memory).

    >>> steps = [Step("left", (1.0, 2.0, 3.0)), Step("right", (1.0, 2.0, 3.0))]
    >>> print(f"{total_spread(steps).mean:.1f}")
    2.2
    """
    steps = list(steps)
    return spread_of(schedule(steps, sample(steps, samples, seed)).total)


@dataclass(frozen=True)
class Worth:
    """Hold what saving time on each step is worth.

    Fields
    ------
    names : [text] of the steps
    saved : [s] that the cycle gets shorter on average, one a step
    critical : [-] share of cycles in which the step is on the longest way, one a step
    """

    names: tuple
    saved: np.ndarray
    critical: np.ndarray


def worth(steps, saving=1.0, samples=SAMPLES, seed=1):
    """Give what a second saved on each step is worth: how much shorter the whole cycle gets.

    Equation: mean(total) - mean(total with max(time - saving, 0) for that step), over the same drawn cycles

    Parameters
    ----------
    steps : [part] list of Step, n of them
    saving : [s] taken off that step in every cycle, as far as it lasts so long, > 0
    samples : [whole] how many cycles are drawn, at least 2
    seed : [any] a whole number, or a numpy Generator; the same number gives the same result

    Returns
    -------
    worth : [part] Worth

    Valid: as sample. A small saving is worth the saving times `critical`.
    Raises: ValueError as schedule and sample, or when saving is not above 0.
    Source: criticality index: Van Slyke, Operations Research 11 (1963) 839-860 (from memory).

    >>> steps = [Step("drive", 2.0), Step("raise", 1.2), Step("place", 0.5, after=("drive", "raise"))]
    >>> print(worth(steps, samples=10).saved.round(2))
    [0.8 0.  0.5]
    """
    steps = list(steps)
    check.positive("saving", saving)
    own, extra = _draw(steps, samples, seed)
    base = schedule(steps, own + extra)
    saved = []
    for i in range(len(steps)):
        quicker = own.copy()
        quicker[:, i] = np.maximum(own[:, i] - saving, 0.0)
        saved.append(np.mean(base.total - schedule(steps, quicker + extra).total))
    critical = np.mean(base.slack <= 1e-9 * base.total[:, None], axis=0)
    return Worth(tuple(step.name for step in steps), np.array(saved), critical)


# --- pieces ---------------------------------------------------------------------------------------------------------


def piece_rate(pieces, cycle_time, success=1.0):
    """Give how many pieces a second are scored in the long run.

    Equation: pieces x success / mean cycle time

    Parameters
    ----------
    pieces : [-] carried in a cycle, >= 0; all arguments broadcast
    cycle_time : [s] mean time of a cycle, > 0
    success : [-] chance that a piece ends where it should, 0 to 1

    Returns
    -------
    rate : [Hz] pieces a second; times 60 for pieces a minute

    Valid: many cycles. Use the mean time: the mean of 1 / time is more, and wrong.
    Raises: ValueError when cycle_time is not above 0 or success is not 0 to 1.
    Source: renewal-reward theorem; Ross, Introduction to Probability Models (from memory).

    >>> print(f"{60 * piece_rate(2, 12.0, 0.9):.0f} a minute")
    9 a minute
    """
    return (check.not_negative("pieces", pieces) * check.between("success", success, 0.0, 1.0)
            / check.positive("cycle_time", cycle_time))


def time_inside(pieces_inside, rate):
    """Give how long a piece stays inside on average, from how many are inside and how many come out.

    Equation: W = L / lambda (Little's law)

    Parameters
    ----------
    pieces_inside : [-] on average over time, >= 0; both broadcast
    rate : [Hz] pieces that come out (and in), > 0

    Returns
    -------
    time : [s] from in to out; in the unit of time of the rate

    Valid: in the long run; as many come in as go out. The order of pieces and the shape of the spread don't matter.
    Raises: ValueError when pieces_inside is below 0 or rate is not above 0.
    Source: Little & Graves, Little's Law, chapter 5 of Building Intuition (Springer, 2008).

    >>> print(f"{time_inside(1.5, 0.25):.0f} s")
    6 s
    """
    return check.not_negative("pieces_inside", pieces_inside) / check.positive("rate", rate)

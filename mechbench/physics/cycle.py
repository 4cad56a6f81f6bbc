r"""Cycle: the seconds from one piece to the next, how much they vary, and which second is worth saving.

    find ---> grab ---> drive ---> line up ---> place ---> drive back
                   \--> raise ----------------/                 The longest way through is the critical path: only a
                                                                second saved on it shortens the cycle.

Contents
    Schedule, schedule, critical_path     when each step begins and ends, how long it may wait, the longest way through
    total_time                            how long the whole takes
    series_spread, sample, total_spread   its spread: exactly in series, by drawn cycles in general
    Worth, worth                          what a second saved on each step is worth
    piece_rate, time_inside               pieces per second; how long a piece stays inside (Little's law)

Steps, and what waits for what, are in steps; times are low-likely-high estimates (see duration). What cycles bring in a
match is in match.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check
from mechbench.physics.duration import spread_of
from mechbench.physics.rounding import difference

# Step, series and for_pieces stand here too, so that a lesson on cycles needs one name.
from mechbench.physics.steps import Step, for_pieces, in_order, series, step_mean, step_sd  # noqa: F401
from mechbench.wording import quoted

SAMPLES = 10_000


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
    steps, before, times, finish = _finish(steps, times)
    total = finish.max(axis=-1)
    latest = np.repeat(total[..., None], len(steps), axis=-1)
    for i in reversed(before):
        for j in before[i]:
            latest[..., j] = np.minimum(latest[..., j], latest[..., i] - times[..., i])
    slack = difference(latest, finish, total[..., None], steps=2 * len(steps))  # a sum there, and a sum back
    return Schedule(finish - times, finish, slack, total[()])


def total_time(steps, times=None):
    """Give how long a cycle takes: of many cases quicker than a whole schedule.

    Equation: start = max(finish of the steps it waits for); finish = start + time; total = the last finish

    Parameters
    ----------
    steps : [part] list of Step, n of them
    times : [s] of each step, shape [..., n], each >= 0; left out: the means, with troubles

    Returns
    -------
    total : [s] of the cycle, shape [...]

    Valid: as schedule.
    Raises: ValueError as schedule.
    Source: as schedule.

    >>> steps = [Step("drive", 2.0), Step("raise", 1.2), Step("place", 0.5, after=("drive", "raise"))]
    >>> print(f"{total_time(steps):.1f} s")
    2.5 s
    """
    return _finish(steps, times)[-1].max(axis=-1)[()]


def _finish(steps, times):
    """The steps as a list, what each waits for (in an order in which they can be done), their times, their ends."""
    steps = list(steps)
    order = [[step.name for step in steps].index(name) for name in in_order(steps)]
    times = (
        np.array([step_mean(step) for step in steps])
        if times is None
        else np.asarray(check.not_negative("times", times))
    )
    if times.ndim == 0 or times.shape[-1] != len(steps):
        raise ValueError(
            f"times are of shape {list(times.shape)}, but the last axis must be {len(steps)} long; give one a step."
        )
    before = {i: [j for j in order if steps[j].name in steps[i].after] for i in order}
    finish = np.zeros_like(times)
    for i in order:
        finish[..., i] = times[..., i] + (finish[..., before[i]].max(axis=-1) if before[i] else 0.0)
    return steps, before, times, finish


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

    >>> print("{:.1f} {:.2f}".format(*series_spread(series([Step("find", (1.0, 2.0, 5.0)), Step("drive", 2.0)]))))
    4.7 0.85
    """
    steps = list(steps)
    by_name = {step.name: step for step in steps}
    order = in_order(steps)
    for before, name in zip(order, order[1:]):
        if before not in by_name[name].after:
            raise ValueError(
                f"after of {quoted(name)} is {', '.join(by_name[name].after) or 'nothing'}, but it must be "
                f"{quoted(before)} in a series; use total_spread for steps that overlap."
            )
    return float(sum(map(step_mean, steps))), float(np.sqrt(sum(step_sd(step) ** 2 for step in steps)))


def _shares(rng, samples):
    """Shares from 0 to 1 in a drawn order, one from each of `samples` equal strips, so that all of the range is
    covered.
    """
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

    >>> print(sample([Step("find", (1.0, 2.0, 5.0))], 1000).mean().round(1))
    2.7
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

    Valid: as sample. With overlaps the mean is longer than the critical path at mean times: now one step is late, now
        another.
    Raises: ValueError as schedule and sample.
    Source: as sample; Malcolm, Roseboom, Clark & Fazar, Operations Research 7 (1959) (from memory).

    >>> steps = [Step("left", (1.0, 2.0, 3.0)), Step("right", (1.0, 2.0, 3.0))]
    >>> print(f"{total_spread(steps).mean:.1f}")
    2.2
    """
    steps = list(steps)
    return spread_of(total_time(steps, sample(steps, samples, seed)))


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
        saved.append(np.mean(base.total - total_time(steps, quicker + extra)))
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
    return (
        check.not_negative("pieces", pieces)
        * check.between("success", success, 0.0, 1.0)
        / check.positive("cycle_time", cycle_time)
    )


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

"""Steps: what a cycle consists of, what waits for what, and what is done once more for each further piece.

    find ---> grab ---> drive ---> line up ---> place          A step begins when every step that it waits for is done.
                   `--> raise ----------------^                Steps that don't wait for each other go on at the same
                   time.

Contents
    Step, series, in_order      steps, one after the other or at the same time; the order in which they can be done
    for_pieces                  the steps of a cycle with several pieces
    step_mean, step_sd          how long one step takes with its troubles (drops, jams)

When each step begins, how long the whole takes and which second counts is in cycle.
"""

from dataclasses import dataclass, replace

import numpy as np

from mechbench.physics import check
from mechbench.physics.duration import Duration, duration
from mechbench.wording import closest, quoted


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
    kind : [text] what is done, the same for each further piece: "grab" of "grab (2)"; the name where none is given
    """

    name: str
    time: Duration | float | tuple
    after: tuple = ()
    trouble: float = 0.0
    recovery: Duration | float | tuple = 0.0
    each: bool = False
    kind: str = ""

    def __post_init__(self):
        object.__setattr__(self, "kind", self.kind or self.name)
        object.__setattr__(self, "time", duration(self.time))
        object.__setattr__(self, "recovery", duration(self.recovery))
        object.__setattr__(self, "after", (self.after,) if isinstance(self.after, str) else tuple(self.after))
        check.between(f"trouble of {quoted(self.name)}", self.trouble, 0.0, 1.0, "give a fraction, 0.05 for 1 of 20")


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
    return [
        replace(step, after=(before.name,)) if before else replace(step, after=())
        for before, step in zip([None, *steps[:-1]], steps)
    ]


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

    Valid: `each` steps that wait for each other are one group; the group is done for one piece, then for the next. A
        step that waits for an `each` step waits for it with every piece.
    Raises: ValueError when pieces is not a whole number of at least 1, or the steps don't fit together.
    Source: common practice, no source.

    >>> steps = series([Step("grab", 1.0, each=True), Step("drive", 3.0), Step("place", 0.5, each=True)])
    >>> print([step.name for step in for_pieces(steps, 2)])
    ['grab', 'grab (2)', 'drive', 'place', 'place (2)']
    """
    steps, copies = list(steps), check.whole("pieces", pieces, 1)
    by_name = {step.name: step for step in steps}
    ordered = [by_name[name] for name in in_order(steps)]
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


def in_order(steps):
    """Give the names of the steps in an order in which they can be done: each after all that it waits for.

    Equation: again and again, take the steps that wait for nothing that is not yet done

    Parameters
    ----------
    steps : [part] list of Step

    Returns
    -------
    names : [text] list of names

    Valid: any steps that don't wait for each other in a circle.
    Raises: ValueError when the list is empty, two steps have one name, or a step waits for itself or for an unknown
        step.
    Source: Kahn, Communications of the ACM 5 (1962) 558-562 (from memory).

    >>> print(in_order([Step("place", 0.5, after="drive"), Step("drive", 2.0)]))
    ['drive', 'place']
    """
    steps = list(steps)
    if not steps:
        raise ValueError("steps is empty, but it must be a list of at least one Step; list what a cycle consists of.")
    names = [step.name for step in steps]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise ValueError(
            f"name is {quoted(twice)} for two steps, but it must be different for each; rename one of them."
        )
    for step in steps:
        for one in step.after:
            if one not in names:
                near = closest(one, names)
                way_out = f"did you mean {quoted(near)}" if near else "add that step, or leave it out"
                raise ValueError(
                    f"after of {quoted(step.name)} is {quoted(one)}, but it must be the name of a step; {way_out}."
                )
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
    circle = path[path.index(path[-1]) :]
    return (
        f"after of {circle[0]!r} is {circle[1]!r}, but it must not lead back to {circle[0]!r} "
        f"(each waits for the next: {', '.join(circle)}); take out one of these."
    )


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

    >>> print(f"{step_mean(Step('grab', 1.0, trouble=0.1, recovery=(2.0, 4.0, 9.0))):.1f}")
    1.5
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

    >>> print(f"{step_sd(Step('grab', 1.0, trouble=0.1, recovery=(2.0, 4.0, 9.0))):.2f}")
    1.57
    """
    p, recovery = step.trouble, step.recovery
    return np.sqrt(step.time.sd**2 + p * (recovery.sd**2 + recovery.mean**2) - (p * recovery.mean) ** 2)

"""Many changed robots on the same days, solved together: one call for all of them, as if their days were so many more.

Contents: Together, alike.

The robots have one plan of steps; they differ in the inputs of their mechanisms and in the masses of their parts. What
is the same for several of them is solved once. Each row comes out as it does for its robot alone.
"""

import numpy as np

from mechbench.engine.columns import columns, take
from mechbench.engine.days import spread_columns
from mechbench.engine.spec import DRIVES
from mechbench.whole_robot.work import LEAST_BRAKING, NEVER, Days, Work, _ends


def alike(robot):
    """What robots that are solved together must share: what a mechanism tells without solving, servos and counts; and
    what they pass, for that makes their ways longer.
    """
    told = tuple((one.name, one.by_servo, one.values.get("count")) for one in robot.mechanisms.values())
    return told, tuple(_passed(robot, step) for step in robot.plan.steps.values() if step["passes"])


def _passed(robot, step):
    """Whether a robot passes what is in a step's way; None where it can't be told."""
    try:
        return Work(robot, Days.good()).passes(step["passes"], step["pose"])
    except ValueError:
        return None


class Together(Work):
    """Robots at work: the rows of the first robot's days, then those of the second, and so on.

    Its body is that of the first robot: what depends on a body by itself must be asked of each of `works`.
    """

    def __init__(self, robots, days):
        super().__init__(robots[0], Days(np.tile(days.fractions, (len(robots), 1))))
        self.each, self.works = days, [Work(robot, days) for robot in robots]

    def findings(self, name):
        """All findings of a mechanism by name, robot after robot."""
        return self.once(name, lambda: self._findings(name))

    def inputs(self, mechanism, times=1, **more):
        """Columns of a mechanism's inputs, robot after robot, each on all its days."""
        return self._columns(self.works, mechanism.name, "folded")

    def shared(self, key, make):
        """What make() gives: many robots at once are met only once."""
        return make()

    def _kept(self, mechanism, more, make):
        return make()  # for the same reason

    def margins(self, name):
        """Margins of all that a mechanism's own sizing asks, by finding [robots, days]."""
        found, sizing = self.findings(name), self.robot.mechanisms[name].sizing
        x = self._columns(self.works, name, "folded")
        whole = lambda margin: np.broadcast_to(margin, (self.days.rows,)).reshape(len(self.works), -1)
        return {f.name: whole(f.margin(found[f.name], x)) for f in sizing.judged()}

    def _findings(self, name):
        first, rows = self._different([work._key(work.robot.mechanisms[name]) for work in self.works])
        found = self.robot.mechanisms[name].sizing.solve(self._columns(first, name, "folded"))
        return {key: self._spread(value, len(first))[rows] for key, value in found.items()}

    def _kept_runs(self, asked):
        (mechanism,) = self.robot.of_role(DRIVES)
        sizing, keys = mechanism.sizing, []
        for work in self.works:
            stands = tuple((work.bodies[pose].braking, float(work.bodies[pose].stance.centre.z)) for _, pose in asked)
            keys.append(work._key(work.robot.mechanisms[mechanism.name], stands))
        first, rows = self._different(keys)
        found = {}
        for distance, pose in asked:
            braking = np.repeat([work.bodies[pose].braking for work in first], self.each.rows)
            x = self._columns(first, mechanism.name, pose, distance=distance)
            done = sizing.run(x, np.maximum(braking, LEAST_BRAKING))
            time = np.where(braking < LEAST_BRAKING, NEVER, _ends(done.time[:, 0], len(braking)))
            seconds, amps = (np.broadcast_to(one, (len(braking), one.shape[-1])) for one in sizing.drawn(x, done))
            highest = np.broadcast_to(done.bus_current, (len(braking),))
            found[distance, pose] = time[rows], highest[rows], (np.cumsum(seconds, axis=-1)[rows], amps[rows])
        return found

    def _different(self, keys):
        """The first robot of each key, and for all rows of all robots their place among the rows of these."""
        place = {key: number for number, key in enumerate(dict.fromkeys(keys))}
        first = dict(zip(reversed(keys), reversed(self.works)))
        starts = np.array([place[key] for key in keys]) * self.each.rows
        return [first[key] for key in place], (starts[:, None] + np.arange(self.each.rows)).ravel()

    def _spread(self, column, robots):
        return np.broadcast_to(np.asarray(column, dtype=float), (robots * self.each.rows,))

    def _columns(self, works, name, pose, **more):
        """Columns of a mechanism's inputs, robot after robot, each on all its days."""
        made = [work.robot.mechanisms[name] for work in works]
        given = [{**one.values, **work.given(one, pose), **more} for one, work in zip(made, works)]
        sizing, tables = made[0].sizing, made[0].tables
        x = columns(sizing, {key: [one[key] for one in given] for key in given[0]}, tables)
        x = take(x, np.repeat(np.arange(len(works)), self.each.rows))
        return spread_columns(sizing, x, tables, np.tile(self.each.for_sizing(sizing), (len(works), 1)))

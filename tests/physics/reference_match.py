"""The same match event by event in simpy, one match at a time: a second road to the numbers of physics/match."""

import random

import simpy

from mechbench.physics.match import Rules

# An invented game with three goals: one without a limit, two that fill up; pairs, and a closing task.
GAME = Rules(
    self_driving=30.0,
    driven=150.0,
    closing=30.0,
    goal_points=(4.0, 6.0, 9.0),
    goal_caps=(float("inf"), 10.0, 7.0),
    pair_bonus=3.0,
    self_driving_factor=3.0,
    tried_points=20.0,
    left_points=5.0,
)
LATE = 1e-6  # s: what is finished with the last second counts


def tri(rng, time):
    """Draw from low-likely-high with Python's own generator."""
    return time.low if time.low == time.high else rng.triangular(time.low, time.high, time.likely)


class Match:
    """One match. Processes of one robot on a clock; what it scores is booked piece by piece."""

    def __init__(self, rules, robot, seed):
        self.rules, self.robot, self.rng = rules, robot, random.Random(seed)
        self.env = simpy.Environment()
        self.standing = [0] * len(rules.goal_points)
        self.lonely = [False] * len(rules.goal_points)
        self.came = []
        self.left, self.points, self.pieces, self.cycles, self.hung, self.at_bar = rules.pieces, 0.0, 0, 0, False, False

    def run(self):
        self.drive_itself()
        driver = self.env.process(self.drive())
        self.env.process(self.call_to_leave(driver))
        self.env.run(until=self.rules.driven + LATE)
        if self.hung:
            self.points += self.rules.tried_points
        elif self.at_bar and self.rng.random() < self.robot.left_chance:
            self.points += self.rules.left_points
        if self.at_bar and self.rng.random() < self.robot.besides_chance:
            self.points += self.rules.besides_points
        self.points += sum(self.bonus(one) for one in self.rules.bonuses)
        return self

    def bonus(self, one):
        """What one bonus brings, from the list of pieces in the order in which they came."""
        there = [piece for piece in self.came if piece["goal"] in one.goals]
        if one.kind == "set":
            sets = 0
            for goal in one.goals:
                waiting = 0
                for piece in there:
                    if piece["goal"] == goal and piece["fits"]:
                        waiting += 1
                        if waiting == one.need:
                            sets, waiting = sets + 1, 0
            return sets * one.points
        if one.kind == "each":
            return one.points * sum(number % one.need == 0 for number, _ in enumerate(there, 1))
        if len(there) < one.need:
            return 0.0
        return one.points if one.kind == "threshold" else (one.factor - 1) * sum(piece["points"] for piece in there)

    def drive_itself(self):
        carried, now, scored = min(self.robot.start_pieces, self.left), 0.0, 0
        for _ in range(int(carried)):
            now += tri(self.rng, self.robot.start_time)
            scored += now <= self.rules.self_driving and self.rng.random() < self.robot.start_success
        self.bring(carried, scored, self.rules.self_driving_factor)

    def call_to_leave(self, driver):
        yield self.env.timeout(self.rules.driven - self.robot.leave + LATE / 2)
        driver.interrupt()

    def drive(self):
        try:
            while True:
                goal = self.goal_for(min(self.robot.capacity, self.left))
                if goal is None:
                    yield self.env.timeout(1e9)
                more = dict(zip(self.robot.goals, self.robot.goal_time)).get(goal, 0.0)
                yield self.env.timeout(tri(self.rng, self.robot.cycle) + more)
                yield self.env.timeout(tri(self.rng, self.robot.traffic))
                if self.rng.random() < self.robot.jam:
                    yield self.env.timeout(tri(self.rng, self.robot.jam_time))
                self.cycles += 1
                carried = min(self.robot.capacity, self.left)
                self.bring(carried, sum(self.rng.random() < self.robot.success for _ in range(int(carried))), 1.0)
        except simpy.Interrupt:
            yield from self.hang()

    def hang(self):
        yield self.env.timeout(tri(self.rng, self.robot.end_trip))
        self.at_bar = self.env.now <= self.rules.driven + LATE
        opens = self.rules.driven - self.rules.closing
        if self.env.now < opens:
            yield self.env.timeout(opens - self.env.now)
        for _ in range(self.robot.tries):
            yield self.env.timeout(tri(self.rng, self.robot.try_time))
            if self.rng.random() < self.robot.try_chance:
                self.hung = True
                return

    def room(self, goal):
        return self.rules.goal_caps[goal] - self.standing[goal]

    def goal_for(self, carried):
        if carried <= 0:
            return None
        for wanted in (carried, 1):
            for goal in self.robot.goals:
                if self.room(goal) >= wanted:
                    return goal
        return None

    def bring(self, carried, scored, factor):
        goal = self.goal_for(carried)
        if goal is None:
            return
        self.left -= carried
        scored = min(scored, self.room(goal))
        self.standing[goal] += scored
        self.pieces += scored
        self.points += factor * scored * self.rules.goal_points[goal]
        for _ in range(int(scored)):
            fits, worth = self.rng.random() < self.robot.sorted, factor * self.rules.goal_points[goal]
            self.came.append({"goal": goal, "fits": fits, "points": worth})
        pair_bonus = self.rules.pair_bonus if goal in (self.rules.pair_goals or (goal,)) else 0.0
        for _ in range(int(scored) // 2):
            if self.rng.random() < self.robot.pair_chance:
                self.points += pair_bonus
        if scored % 2:
            if self.lonely[goal] and self.rng.random() < self.robot.neighbour_chance:
                self.points += pair_bonus
                self.lonely[goal] = False
            else:
                self.lonely[goal] = True


def play(rules, robot, matches, seed=0):
    """Play matches one by one."""
    return [Match(rules, robot, seed * 1_000_003 + number).run() for number in range(matches)]

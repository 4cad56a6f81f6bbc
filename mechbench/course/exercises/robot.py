"""Exercises of lesson 13: which robot would you build, how would you improve it, and can you defend it with numbers?"""

from dataclasses import replace
from functools import lru_cache

import numpy as np

from mechbench.catalog import judge
from mechbench.course.exercise import (
    Challenge,
    Choice,
    Item,
    Option,
    Order,
    Prediction,
    Quantity,
    Shop,
    Shown,
    Slip,
    rows_of,
)
from mechbench.course.learner_numbers import in_unit, rounded
from mechbench.course.of_game import GOALS_ELSEWHERE, HANGS_ELSEWHERE, in_a_match, mass_limit, usual_points
from mechbench.course.on_bench import found, opened
from mechbench.kits.pairing import loose
from mechbench.physics.constants import GRAVITY
from mechbench.whole_robot.build import build
from mechbench.whole_robot.sizing import PLANNED

# --- predict, then slide -------------------------------------------------------------------------------------------


def _gear_shown(kit):
    """Points of a match as planned, and with the next smaller ratio on the drive."""
    which = opened("robot", kit)["which"]
    robot = build(which, kit)
    boxes = robot.kit.table("gearboxes")
    ratio = lambda name: boxes.row(name)["ratio"]
    planned = robot.of_role("drives")[0].values["gearbox"]
    smaller = [name for name in loose(boxes) if name != planned and ratio(name) < ratio(planned)]
    if not smaller:
        because = (
            "Your kit has no smaller ratio for {robot}. As a rule a cycle is more than driving, and driving is"
            " more than top speed."
        )
        return Shown("few", because, {"robot": robot.label})
    box = max(smaller, key=ratio)
    at = found("robot", kit, "drive_gearbox", (PLANNED, box), which=which)
    was, now = map(float, at.points)
    grown = now / was - 1 if was > 0 else 0.0
    numbers = {"robot": robot.label, "box": boxes.labels[box], "was": (was, "points"), "now": (now, "points")}
    because = (
        "With {box} on the drive {robot} makes {now} instead of {was}. Driving is only a part of a cycle, and top"
        " speed helps only as long as the robot is neither starting nor braking."
    )
    return Shown("third" if grown > 0.2 else "tenth" if grown > 0.05 else "few", because, numbers)


PREDICT = Prediction(
    id="robot-one-gear",
    lesson="robot",
    title="One gear, how many points?",
    text=(
        "The drive of a whole robot gets the next smaller ratio: its top speed grows by about a third. All else stays."
        " What happens to the points of a match?"
    ),
    options=(
        Option(
            "third",
            "They grow by about a third, too.",
            "It is true that the top speed grows by a third. The surprise: most of a cycle is not spent at top speed.",
        ),
        Option(
            "tenth",
            "They grow by about a tenth.",
            "It is true that only a part of the speed comes through. The surprise is how small that part is.",
        ),
        Option(
            "few",
            "They grow by a few in a hundred, or not at all.",
            "A good thought: people and other steps take most of the cycle.",
        ),
    ),
    hints=(),
    explain="Now change the drive gearbox on the bench, and look at the cycle at the right of the picture.",
    shows=_gear_shown,
)


# --- the chain -----------------------------------------------------------------------------------------------------

CHAIN = Quantity(
    id="robot-chain",
    lesson="robot",
    title="From a gear to points",
    text=(
        "A lift is up in {up} with a ratio of {old}:1. While it goes up, the driver lines up, which takes {line}; then"
        " the piece is let go. With a ratio of {new}:1 the lift has strength enough, and its time goes with the ratio."
        " One second less in each cycle is worth {second} in a match. How many points does the new gearbox bring?"
    ),
    kind="points",
    unit="points",
    rows=tuple(
        {"up": (up, "s"), "line": (line, "s"), "old": (old, ""), "new": (new, ""), "second": (second, "points")}
        for up, line, old, new, second in (
            (2.4, 1.9, 20, 12, 7),
            (3.0, 2.2, 30, 20, 6),
            (2.8, 2.3, 16, 12, 8),
            (1.9, 1.5, 80, 48, 9),
            (3.6, 2.6, 64, 30, 5),
            (2.2, 1.6, 30, 16, 6.5),
            (2.5, 1.8, 48, 30, 7.5),
            (3.2, 2.7, 20, 16, 8.5),
        )
    ),
    answer=lambda r: (max(r.up, r.line) - max(r.up * r.new / r.old, r.line)) * r.second,
    slips=(
        Slip(
            "whole step saved",
            lambda r: (r.up - r.up * r.new / r.old) * r.second,
            "You counted all that the lift saves. But the piece can be let go only when the driver has lined up as"
            " well: then the lift waits.",
        ),
        Slip(
            "ratio upside down",
            lambda r: (r.up - r.up * r.old / r.new) * r.second,
            "Your lift gets slower. A smaller ratio turns the spool faster.",
        ),
        Slip(
            "seconds for points",
            lambda r: max(r.up, r.line) - max(r.up * r.new / r.old, r.line),
            "These are the seconds saved in each cycle. What is each of them worth?",
        ),
        Slip(
            "new time for what is saved",
            lambda r: r.up * r.new / r.old * r.second,
            "You took the lift's new time. What counts is how much shorter the cycle gets.",
        ),
        Slip(
            "new time of the lift",
            lambda r: r.up * r.new / r.old,
            "That is how long the new lift takes, in seconds. How much shorter is the cycle, and what is that worth?",
        ),
    ),
    hints=(
        (
            "How long does the lift take with the new ratio? Which of the two, lift or driver, does the robot then wait"
            " for?"
        ),
        "Longest way before, minus longest way after: the seconds saved. Times what a second is worth.",
    ),
    explain=(
        "Gear, time of the step, longest way, points: {answer}. Below the time for lining up a quicker lift brings"
        " nothing more."
    ),
    short=True,
)


# --- the list of parts ---------------------------------------------------------------------------------------------


def _parts_rows(kit):
    """A robot of which all is known but the winch; the masses go with what the game allows."""
    limit, rows = mass_limit(kit), []
    for frame, drive, lift, count, motor, room in (
        (4.2, 3.1, 1.9, 4, 0.37, 2.9),
        (3.8, 2.4, 1.7, 2, 0.51, 3.2),
        (4.6, 3.5, 2.2, 4, 0.34, 2.6),
        (3.5, 2.9, 1.6, 4, 0.40, 3.4),
        (4.0, 2.2, 2.0, 2, 0.54, 2.8),
        (4.4, 3.3, 1.5, 4, 0.31, 2.4),
        (3.9, 2.5, 2.1, 2, 0.47, 2.5),
        (4.1, 3.0, 1.8, 4, 0.42, 3.1),
    ):
        known = {
            name: round(mass * limit / 18, 2)
            for name, mass in (("frame", frame), ("drive", drive), ("lift", lift), ("motor", motor))
        }
        rest = round(limit * (1 - room / 18) - known["frame"] - known["drive"] - known["lift"], 2)
        rows.append(
            {
                **{name: (mass, "kg") for name, mass in known.items()},
                "rest": (rest, "kg"),
                "count": (count, ""),
                "limit": in_unit(limit, "kg"),
            }
        )
    return rows


def _so_far(r):
    return r.frame + r.drive + r.lift + r.rest


PARTS = Quantity(
    id="robot-parts",
    lesson="robot",
    needs=("mass_limit",),
    elsewhere="In another game the rules say how heavy a robot may be.",
    title="What is left for the winch",
    text=(
        "A team weighs its parts: frame {frame}; drive {drive}, its {count} motors in it; lift {lift}, its motor in it;"
        " all the rest {rest}. Each of the motors weighs {motor}. The rules allow {limit} in all. How much may the"
        " winch weigh, with its own motor?"
    ),
    kind="mass",
    unit="kg",
    rows=_parts_rows,
    answer=lambda r: r.limit - _so_far(r),
    slips=(
        Slip(
            "all motors counted twice",
            lambda r: r.limit - _so_far(r) - (r.count + 1) * r.motor,
            "You added the motors once more. They were on the scale with drive and lift: each part counts once.",
        ),
        Slip(
            "drive motors counted twice",
            lambda r: r.limit - _so_far(r) - r.count * r.motor,
            "You added the {count} motors of the drive once more. They were weighed with it.",
        ),
        Slip(
            "winch's motor taken off",
            lambda r: r.limit - _so_far(r) - r.motor,
            "You took the winch's motor off. Asked is what the winch may weigh with its motor in it.",
        ),
        Slip(
            "mass so far",
            _so_far,
            "That is what the robot weighs so far. Asked is what is left.",
        ),
        Slip(
            "the rest forgotten",
            lambda r: r.limit - _so_far(r) + r.rest,
            "You left out the rest of the robot, {rest}.",
        ),
    ),
    hints=(
        "Which of these numbers has the motors in it already?",
        "Add up what was weighed, and subtract it from what the rules allow.",
    ),
    explain="Each part counts once: {answer} are left. Keep some of it: parts weigh more in the end than on the list.",
    short=True,
)


# --- a bad day -----------------------------------------------------------------------------------------------------


def _bad_day_rows_1(kit):
    return _bad_day_cases(
        kit,
        (9.0, 1.4, 1.0, 104, 85, 12),
        (8.5, 1.5, 0.8, 98, 80, 10),
        (10.0, 1.8, 0.9, 106, 90, 13),
        (7.5, 1.2, 0.7, 95, 75, 11),
        (9.5, 1.7, 1.1, 100, 88, 12),
        (8.0, 1.4, 0.6, 102, 78, 13),
        (11.0, 2.0, 1.2, 108, 82, 9),
        (8.8, 1.6, 0.7, 96, 86, 11),
    )


def _bad_day_rows(kit):
    """The last cycle of a bad day is never done to its end: who counts whole cycles is told."""
    return _bad_day_cases(
        kit,
        (9.0, 1.4, 1.0, 102, 85, 13),
        (8.5, 1.5, 0.8, 85, 80, 12),
        (10.0, 1.8, 0.9, 101, 90, 14),
        (7.5, 1.2, 0.7, 84, 75, 11),
        (9.5, 1.7, 1.1, 97, 88, 13),
        (8.0, 1.4, 0.6, 79, 78, 12),
        (11.0, 2.0, 1.2, 97, 82, 12),
        (8.8, 1.6, 0.7, 88, 86, 13),
    )


def _bad_day_cases(kit, *cases):
    usual = usual_points(kit)
    times = in_a_match(kit, [case[3] for case in cases])
    return [
        {
            "cycle": (cycle, "s"),
            "way": (way, "s"),
            "up": (up, "s"),
            "time": (time, "s"),
            "success": (success, "%"),
            "each": (usual, "points"),
            "end": (end, "points"),
        }
        for (cycle, way, up, _, success, end), time in zip(cases, times)
    ]


def _promised(r, cycle):
    return r.time / cycle * 2 * r.success * r.each + r.end


# As it was asked before: who counted whole cycles was not told.
_BAD_DAY_1 = Quantity(
    id="robot-bad-day",
    lesson="robot",
    needs=("goal",),
    elsewhere=GOALS_ELSEWHERE,
    title="What you may promise",
    text=(
        "A robot has {time} for cycles and carries two pieces in each. {success} of them score, for {each}"
        " each; the end of a match brings {end} more. On a good day a cycle takes {cycle}. On a bad day the battery is"
        " tired: there and back each take {way} longer, and raising, which is on the longest way, {up} longer. How many"
        " points may the team promise for a bad day?"
    ),
    kind="points",
    unit="points",
    rows=_bad_day_rows_1,
    answer=lambda r: _promised(r, r.cycle + 2 * r.way + r.up),
    slips=(
        Slip(
            "good day",
            lambda r: _promised(r, r.cycle),
            "These are the points of a good day. You don't know which day you will have in the next match.",
        ),
        Slip(
            "one way only",
            lambda r: _promised(r, r.cycle + r.way + r.up),
            "You made only one of the two ways longer. It drives there, and it drives back.",
        ),
        Slip(
            "end left out",
            lambda r: _promised(r, r.cycle + 2 * r.way + r.up) - r.end,
            "You left out the end of the match, or you took each lost second for its worth on a good day. That is a"
            " first guess for small changes: count the cycles of the bad day anew, and put the end on top.",
        ),
    ),
    hints=(
        "How long is a cycle on the bad day?",
        "Time / time of a cycle × pieces × share × points of a piece, and the end on top.",
    ),
    explain=(
        "First the bad day's cycle, then the points: {answer}. Promise what you make on a bad day; on other days you"
        " make more."
    ),
)

BAD_DAY = replace(
    _BAD_DAY_1,
    revision=2,
    text=_BAD_DAY_1.text.replace("promise for a bad day", "promise for a bad day, on average")
    + " Count parts of a cycle, too: this is an average over many matches.",
    rows=_bad_day_rows,
    slips=(
        *_BAD_DAY_1.slips,
        Slip(
            "whole cycles",
            lambda r: _promised(r, r.time / (r.time // (r.cycle + 2 * r.way + r.up))),
            "You counted whole cycles only. In one match that is so; on average over many matches parts of a cycle"
            " count, too.",
        ),
        Slip(
            "one piece a cycle",
            lambda r: _promised(r, 2 * (r.cycle + 2 * r.way + r.up)),
            "You counted one piece in a cycle. It carries two.",
        ),
    ),
    earlier=(_BAD_DAY_1,),
)


# --- who draws what, when ------------------------------------------------------------------------------------------

SAG = Quantity(
    id="robot-sag",
    lesson="robot",
    needs=("goal", "hang"),
    elsewhere=HANGS_ELSEWHERE,
    title="Not all at once",
    text=(
        "A robot's drive draws {drive} at most, and its intake {intake}; both run while it drives to the pieces. At the"
        " goal it stands, and the lift draws {lift}. In the last seconds it stands under the bar, and the winch draws"
        " {winch}. Battery and wires together have {resistance}. By how much does the voltage sag at most?"
    ),
    kind="voltage",
    unit="V",
    rows=rows_of(
        {"drive": "A", "intake": "A", "lift": "A", "winch": "A", "resistance": "ohm"},
        (
            (18, 6, 11, 13, 0.14),
            (16, 5, 12, 14, 0.18),
            (21, 7, 9, 15, 0.12),
            (17, 8, 13, 12, 0.16),
            (15, 4, 10, 16, 0.20),
            (19, 6, 14, 17, 0.13),
            (20, 5, 12, 18, 0.17),
            (14, 7, 9, 11, 0.19),
        ),
    ),
    answer=lambda r: max(r.drive + r.intake, r.lift, r.winch) * r.resistance,
    slips=(
        Slip(
            "all currents added",
            lambda r: (r.drive + r.intake + r.lift + r.winch) * r.resistance,
            "You added all currents. They never flow at the same time: go through the match, and add only what runs"
            " together.",
        ),
        Slip(
            "strongest alone",
            lambda r: r.drive * r.resistance,
            "You took the strongest one alone. Something else runs while it drives.",
        ),
        Slip(
            "lift in the same column",
            lambda r: (r.drive + r.intake + r.lift) * r.resistance,
            "You added the lift to drive and intake. It runs at the goal, when these two stand still.",
        ),
        Slip(
            "winch alone",
            lambda r: r.winch * r.resistance,
            "You took the winch alone. Is there a moment in which more flows?",
        ),
    ),
    hints=(
        "Make three columns: driving to the pieces, at the goal, under the bar. What runs in each?",
        "Sag = current × resistance, for the column with the largest sum.",
    ),
    explain=(
        "The largest sum of what runs together, times the resistance: {answer}. A program that lets two more things"
        " overlap adds their currents."
    ),
    short=True,
)


# --- raised, it must brake gently ------------------------------------------------------------------------------------

RAISED = Quantity(
    id="robot-raised-stop",
    lesson="robot",
    title="Stop, but not too soon",
    text=(
        "A robot drives with everything raised. Its centre of gravity is then {height} up, and {lever} behind the line"
        " where its front wheels stand. It drives {speed}, and brakes evenly until it stands. How long must it brake at"
        " least, so that it does not tip?"
    ),
    kind="time",
    unit="s",
    rows=tuple(
        {"height": (height, "mm"), "lever": (lever, "mm"), "speed": (speed, "m/s")}
        for height, lever, speed in (
            (420, 130, 1.4),
            (380, 110, 1.6),
            (460, 140, 1.2),
            (350, 90, 1.5),
            (500, 120, 1.3),
            (440, 150, 1.7),
            (400, 100, 1.1),
            (370, 120, 1.8),
        )
    ),
    answer=lambda r: r.speed * r.height / (GRAVITY * r.lever),
    slips=(
        Slip(
            "lever and height swapped",
            lambda r: r.speed * r.lever / (GRAVITY * r.height),
            "You swapped height and lever. A higher centre of gravity must brake more gently, so it needs more time.",
        ),
        Slip(
            "g left out",
            lambda r: r.speed * r.height / r.lever,
            "You left out g. Braking before it tips = g × lever / height.",
        ),
        Slip(
            "full g",
            lambda r: r.speed / GRAVITY,
            "You braked with g itself. It may brake only with the share lever / height of it.",
        ),
        Slip(
            "way, not time",
            lambda r: r.speed**2 * r.height / (2 * GRAVITY * r.lever),
            "That is how far it goes until it stands, in metres. Asked is the time: speed over braking.",
        ),
        Slip(
            "braking, not time",
            lambda r: GRAVITY * r.lever / r.height,
            "That is how hard it may brake: so much speed it loses each second. How long until nothing is left?",
        ),
    ),
    hints=(
        "How hard may it brake? Lesson 10: braking = g × lever / height.",
        "Each second it loses that much speed. How long until nothing is left?",
    ),
    explain=(
        "It loses at most g × lever / height of speed each second, so it needs {answer}. Folded it may stop sooner: one"
        " more step of the chain."
    ),
)


# --- a second try at the bar ---------------------------------------------------------------------------------------


def _tries_rows(kit):
    """A second try that pays, or does not: its time is chosen so that it costs `share` of what it brings."""
    end, rows = kit.roles.ending, []
    for chance, rate, share in (
        (60, 0.8, 0.5),
        (50, 0.7, 1.5),
        (70, 0.9, 0.6),
        (40, 0.8, 1.6),
        (55, 0.6, 0.6),
        (65, 0.7, 1.4),
        (45, 0.9, 0.5),
        (75, 0.6, 1.7),
    ):
        won = end.tried_points - end.left_points
        brings = (1 - chance / 100) * chance / 100 * won
        # A forgotten parking would give what "time costs nothing" gives.
        if abs(end.tried_points / won - share - 1) < 0.1:
            share += 0.15
        rows.append(
            {
                "chance": (chance, "%"),
                "hang": (end.tried_points, "points"),
                "park": (end.left_points, "points"),
                "rate": (rate, "points"),
                "time": (round(share * brings / rate, 1), "s"),
            }
        )
    return rows


def _second(r, points):
    """What comes of a second try, where the first one failed."""
    return (1 - r.chance) * r.chance * points


TRIES = Quantity(
    id="robot-second-try",
    lesson="robot",
    needs=("two_ends",),
    title="A second try",
    text=(
        "A try at the harder closing task works in {chance} of all tries and brings {hang}; a robot that fails does the"
        " easier one, for {park}. To have time for a second try, should the first one fail, it must leave {time} sooner"
        " for the closing tasks, in every match. Its cycles bring {rate} each second. How many points more does this"
        " plan bring, on average? (Fewer is a number below 0.)"
    ),
    kind="points",
    unit="points",
    rows=_tries_rows,
    answer=lambda r: _second(r, r.hang - r.park) - r.time * r.rate,
    slips=(
        Slip(
            "time costs nothing",
            lambda r: _second(r, r.hang - r.park),
            "You let the time cost nothing. In every match it leaves {time} sooner, and scores nothing meanwhile.",
        ),
        Slip(
            "second try in every match",
            lambda r: r.chance * (r.hang - r.park) - r.time * r.rate,
            "You counted a second try in every match. It comes only where the first one failed.",
        ),
        Slip(
            "parking forgotten",
            lambda r: _second(r, r.hang) - r.time * r.rate,
            "You counted the harder task in full. Without the second try the robot would have done the easier one: only"
            " the difference is won.",
        ),
        Slip(
            "points of the harder task in all matches",
            lambda r: r.chance * r.hang - r.time * r.rate,
            "You counted the harder task in full, and in every match. A second try comes only where the first one"
            " failed, and wins only what is more than the easier task.",
        ),
    ),
    hints=(
        "Think of 100 matches: in how many does the first try fail? In how many of these does the second one work?",
        "Points won: that share × (harder minus easier task). Points lost: time × points each second, in every match.",
    ),
    explain=(
        "What it wins, minus what the time costs: {answer}. Where the time is there anyway, a second try costs nothing."
    ),
)


# --- how sure is a lead? -------------------------------------------------------------------------------------------

LEAD = Quantity(
    id="robot-lead",
    lesson="robot",
    title="How sure is the lead?",
    text=(
        "Two robots were simulated in the same {matches} matches. The first one made {lead} more, on average. From"
        " match to match this difference varies by {spread}. A mean of many matches may be off by about 2 × variation /"
        " √matches. How many points is the first one ahead at least?"
    ),
    kind="points",
    unit="points",
    rows=tuple(
        {"lead": (lead, "points"), "spread": (spread, "points"), "matches": (matches, "")}
        for lead, spread, matches in (
            (5, 6, 16),
            (7, 10, 25),
            (6.5, 12, 36),
            (6, 16, 64),
            (4.5, 5, 16),
            (8, 9, 9),
            (5.5, 7, 25),
            (7.5, 15, 36),
        )
    ),
    answer=lambda r: r.lead - 2 * r.spread / r.matches**0.5,
    slips=(
        Slip(
            "mean alone",
            lambda r: r.lead,
            "You took the mean as it is. With so few matches it may be off by some points: subtract these first.",
        ),
        Slip(
            "root forgotten",
            lambda r: r.lead - 2 * r.spread / r.matches,
            "You divided by the number of matches. Divide by its square root: luck averages out only slowly.",
        ),
        Slip(
            "one match",
            lambda r: r.lead - 2 * r.spread,
            "One match may be that far off. The mean of {matches} matches is surer.",
        ),
        Slip(
            "upper end",
            lambda r: r.lead + 2 * r.spread / r.matches**0.5,
            "That is how far it may be ahead at most. Asked is the other end.",
        ),
        Slip(
            "the 2 forgotten",
            lambda r: r.lead - r.spread / r.matches**0.5,
            "You left out the 2: the mean may be off by twice variation ÷ √matches.",
        ),
    ),
    hints=(
        "What is the square root of {matches}? (Which number times itself gives it?)",
        "Mean minus 2 × variation / that root.",
    ),
    explain="At least {answer} ahead. Four times as many matches would make the uncertainty half as large.",
)


# --- a winner from means -------------------------------------------------------------------------------------------

WINNER = Choice(
    id="robot-who-wins",
    lesson="robot",
    title="Seven matches each",
    text=(
        "Two robots of a team played seven matches each, all of them different. One made 84 points on average,"
        " the other 79. Of each robot the points varied from about 60 to 105. Which robot should the team take to the"
        " tournament?"
    ),
    options=(
        Option(
            "first",
            "The one with 84: it made more points.",
            "The points of one match vary far more than these two means differ. Seven other matches may show the"
            " opposite.",
        ),
        Option(
            "same",
            "They are equally good: take any.",
            "That is not known either. The means differ; only it is not yet sure that the robots do.",
        ),
        Option(
            "more",
            "Not yet known: compare them in the same matches, many more, and look at the differences.",
            "Yes. In the same match both have the same traffic and the same luck. The difference then varies much less"
            " than the points.",
            right=True,
        ),
        Option(
            "best",
            "The one that had the best single match.",
            "One lucky match says little. The mean of many says more, and how sure it is says even more.",
        ),
    ),
    hints=(
        "How much do the points vary from one match to the next? How far apart are the two means?",
        "What is different from match to match, besides the robot?",
    ),
    explain="A mean without its spread is half a number. Say how many points it is ahead, plus or minus how many.",
    short=True,
)


# --- raise while driving -------------------------------------------------------------------------------------------

BEAM = Choice(
    id="robot-under-the-beam",
    lesson="robot",
    needs=("low",),
    title="Raise it on the way?",
    text=(
        "A robot raises its lift when it stands at the goal, which takes 1.1 s of each cycle. A learner proposes:"
        " raise it while driving. But then the robot is too high to pass below something low on its way. The way round"
        " takes 1.3 s longer, and the raised robot must brake more gently, which takes 0.3 s longer. What does the"
        " proposal bring?"
    ),
    options=(
        Option(
            "saves",
            "1.1 s less in each cycle: what overlaps costs nothing.",
            "The raising does cost nothing then. But what became longer because of it?",
        ),
        Option(
            "same",
            "Nothing: it is the same work in another order.",
            "The order matters. Add up the longest way before and after.",
        ),
        Option(
            "loses",
            "Each cycle takes 0.5 s longer.",
            "Yes. 1.1 s are saved, 1.6 s are lost on the same way. Look at all that a change moves.",
            right=True,
        ),
        Option(
            "tips",
            "The robot tips, whatever it does.",
            "Not if it brakes gently enough. That costs time, and the question says how much.",
        ),
    ),
    hints=(
        "What gets shorter on the longest way, and what gets longer?",
        "Add up: minus 1.1 s, plus 1.3 s, plus 0.3 s.",
    ),
    explain=(
        "A robot that is too high anyway goes round in any case. It would lose only the 0.3 s, and"
        " would win. So the same idea is good for one robot and bad for another."
    ),
    short=True,
)


# --- it restarts ---------------------------------------------------------------------------------------------------

RESTART = Choice(
    id="robot-restart",
    lesson="robot",
    title="It restarts in the last minute",
    text=(
        "The lift is raised after driving, while the driver lines up, and lining up takes longer. To look quick, a team"
        " now starts the lift half a second before the robot has stopped. Since then, with a tired battery, the"
        " electronics restart in the last minute. Which change is best?"
    ),
    options=(
        Option(
            "fuse",
            "A larger fuse.",
            "The fuse has not blown, and until it melts a fuse limits nothing: the same current flows with a larger"
            " one. The"
            " voltage sags below what the electronics need.",
        ),
        Option(
            "back",
            "Start the lift when the robot stands, as before.",
            "Yes. Driving and lifting no longer draw current together, and the cycle is as long as it was: the robot"
            " waits for the driver anyway.",
            right=True,
        ),
        Option(
            "motor",
            "A second motor on the lift.",
            "Two motors draw more current, weigh more, and one of the motors that the rules allow is used up. The lift"
            " was not the slow one.",
        ),
        Option(
            "leave",
            "Leave out the last cycles of each match.",
            "That costs points in every match. Something else costs none.",
        ),
    ),
    hints=(
        "Which two draw current at the same time now, and did not before?",
        "Is the lift on the longest way? What does the early start bring?",
    ),
    explain="A change that brings nothing on the longest way is a risk for nothing.",
    short=True,
)


# --- in order ------------------------------------------------------------------------------------------------------

ORDER = Order(
    id="robot-which-change",
    lesson="robot",
    needs=("goal",),
    elsewhere=GOALS_ELSEWHERE,
    title="Which change brings most?",
    text=(
        "In each cycle a robot finds two pieces, one after the other, drives to the goal and back, and raises its lift"
        " while the driver lines up. Lining up takes longer than the lift. Four changes are proposed. Think of the"
        " seconds that a cycle gets shorter."
    ),
    scale="from the one that brings least to the one that brings most",
    items=(
        Item("lift", "the lift is up 1 s sooner"),
        Item(
            "line-up",
            "lining up takes 0.3 s less",
            "Lining up is on the longest way. What does the quicker lift bring, which already waits for the driver?",
        ),
        Item(
            "find",
            "finding a piece takes 0.2 s less",
            "A piece is found twice in each cycle: twice 0.2 s. Lining up is done once.",
        ),
        Item(
            "way", "each of the two ways takes 0.3 s less", "There and back: twice 0.3 s. The pieces save twice 0.2 s."
        ),
    ),
    hints=(
        "Which of the four steps does the robot wait for?",
        "How often is each step done in one cycle?",
    ),
    explain="0 s, 0.3 s, 0.4 s, 0.6 s. The largest number in the list brings nothing.",
    short=True,
)


# --- a design ------------------------------------------------------------------------------------------------------

SURE = 0.985  # of what the best robot makes on a bad day
SHARES = (0.4, 0.5, 0.3, 0.6)  # of the way from the best as planned to the best with one change
WORTH = 0.01  # of the points: a change that brings less is no improvement that could be asked for
NEAR = 0.8  # of the best as planned: a robot that makes less is not improved so far by one change
MORE_TRIES = ("2", "3")


def _sure_points(kit, **choice):
    """What a robot makes on a bad day; nothing where something fails then."""
    report = judge("robot", {**choice, "points_wanted": 0.0}, kit)
    return report.bad["points"] * report.works_on_bad_day


def _next_boxes(kit, plan):
    """The next smaller and the next larger gearbox for a robot's drive, of those that may be chosen."""
    boxes = kit.table("gearboxes")
    ratios = {name: boxes.row(name)["ratio"] for name in loose(boxes)}
    drive = next((one for one in build(plan.name, kit).of_role("drives")), None)
    planned = ratios.get(drive.values["gearbox"]) if drive else None
    if planned is None:  # a gearmotor: its gears are its own
        return []
    smaller = [name for name in ratios if ratios[name] < planned]
    larger = [name for name in ratios if ratios[name] > planned]
    return [*sorted(smaller, key=ratios.get)[-1:], *sorted(larger, key=ratios.get)[:1]]


def wanted(planned, improved):
    """Points to ask for, from those that the best robot makes as planned, and the best with one change."""
    gap = improved - planned
    if planned > 0 and gap >= WORTH * planned:
        return [rounded(planned + share * gap) for share in SHARES]
    sure = float(np.floor(SURE * (planned or improved)))
    return [sure - less for less in (1, 0, 2, 3) if sure > less]


@lru_cache(maxsize=4)
def _design_rows(kit):
    """More than any robot of the kit makes as planned on a bad day, where one change of a robot brings enough; else a
    few less than the best makes."""
    planned = [_sure_points(kit, which=plan.name) for plan in kit.robots]
    best, improved = max(planned, default=0.0), 0.0
    for plan, points in zip(kit.robots, planned):
        if points < NEAR * best:
            continue
        changes = [{"tries": tries} for tries in MORE_TRIES]
        changes += [{"drive_gearbox": box} for box in _next_boxes(kit, plan)]
        improved = max(improved, *(_sure_points(kit, which=plan.name, **change) for change in changes))
    return [{"points_wanted": (points, "points")} for points in wanted(best, improved)]


@lru_cache(maxsize=4)
def _design_rows_1(kit):
    """A little less than the best robot makes on a bad day, as planned or with a second try."""
    choices = [{"which": plan.name, "tries": tries} for plan in kit.robots for tries in ("as_planned", "2")]
    best = max((_sure_points(kit, **choice) for choice in choices), default=0.0)
    return [{"points_wanted": (points, "points")} for points in wanted(best, best)]


# As it was asked before: one robot was enough as planned.
_DESIGN_1 = Challenge(
    id="robot-improve",
    lesson="robot",
    needs=("goal",),
    elsewhere=GOALS_ELSEWHERE,
    title="Build one, and improve it",
    text=(
        "The team wants {points_wanted} in a match on average, on a bad day too. Choose one of the robots. As planned"
        " it may not be enough: then choose another gearbox for its drive, or another number of tries at its closing"
        " task. All else stays as it is planned."
    ),
    sizing="robot",
    rows=_design_rows_1,
    fixed=("points_wanted",),
    choose=("which", "drive_gearbox", "tries"),
    require=(
        "At least {points_wanted}, and nothing fails: the start box, the limits, the motors, the balance, the voltage,"
        " every mechanism; all on a bad day too."
    ),
    advice={
        "points": (
            "Too few points. Which step on the longest way could be shorter? What does one more try at the"
            " closing task bring, and is there time for it?"
        ),
        "takes": "Pieces stay out: its intake or its jaws do not take them in. Choose another robot.",
        "holds": "Pieces drop: its jaws squeeze too little. Choose another robot.",
        "reaches": "It does not get a piece into a goal that it should serve. Choose another robot.",
        "drives": "It can't turn on the spot: its motors are too weak for its wheels. Try a larger ratio of the drive.",
        "closes": (
            "It can't do its closing task. To hang, the hook must be high enough, the winch strong enough, and it must"
            " not sink with the power off. Choose another robot."
        ),
        "strength": (
            "One of its mechanisms carries more than its gears bear. A lift or arm with another gearbox may bear it."
        ),
        "mass": "Too heavy: another robot of the kit is lighter.",
        "start_box": "It does not fit the start box: choose another robot.",
        "reach": "Raised, it is too high or too long: choose another robot.",
        "motors": "It has more motors than the rules allow: choose another robot.",
        "servos": "It has more servos than the rules allow: choose another robot.",
        "motors_and_servos": "It has more motors and servos together than the rules allow: choose another robot.",
        "volts": (
            "The battery sags so far that the electronics restart. Motors take the most where they start from rest,"
            " with any gearbox: choose a robot with fewer motors, or smaller ones."
        ),
        "fuse": "The fuse blows. A larger ratio of the drive takes less current.",
        "stands": "Raised, it tips even when it hardly brakes: choose another robot.",
        "spare": (
            "One of its mechanisms stalls on that day. A slower drive does not help it: look which robot has torque to"
            " spare."
        ),
    },
    hints=(
        "Put the points into the bench, and try the robots as planned. Which of them comes near?",
        "Then one change at a time: the drive's gearbox up and down, or one more try. Keep what brings points.",
    ),
    explain=(
        "Enough, and nothing fails, on a bad day too. Which change brought most, and along which step of the chain?"
    ),
)


def _design_rows_2(kit):
    """Made as now. What was asked with it, while luck was not drawn evenly, was a little more than robots can make; an
    answer brings the points that it was asked for.
    """
    return _design_rows(kit)


_DESIGN_2 = replace(_DESIGN_1, revision=2, rows=_design_rows_2)
DESIGN = replace(_DESIGN_2, revision=3, rows=_design_rows, earlier=(_DESIGN_1, _DESIGN_2))


# --- shop at home: ten cycles by stopwatch ---------------------------------------------------------------------------

CYCLES = 10
STEPS = ("take", "way", "raise", "let_go", "back")
UNEVEN, THUMB = 0.015, 0.02  # how unevenly a machine runs (share), and a thumb presses (s)


def _ten_cycles(r, noise):
    """Ten cycles, each step timed from a film."""
    found = {}
    for name in STEPS:
        true = r.true if name == r.off else getattr(r, name)
        times = true * (1 + UNEVEN * noise.standard_normal(CYCLES)) + THUMB * noise.standard_normal(CYCLES)
        found[name] = (np.maximum(times, 0.1).round(2), "s")
    return found


def _worst_step(columns, r):
    """The mean of the step that lies farthest from the model, as a share of the model."""
    means = {name: float(columns[name].mean()) for name in STEPS}
    return means[max(STEPS, key=lambda name: abs(means[name] / getattr(r, name) - 1))]


SHOP = Quantity(
    id="robot-ten-cycles",
    lesson="robot",
    needs=("goal",),
    elsewhere=GOALS_ELSEWHERE,
    title="Ten cycles",
    text=(
        f"You film {CYCLES} cycles of your robot, and read the time of each step from the film. The model says: take a"
        " piece {take}, way to the goal {way}, raise {raise}, let go {let_go}, way back {back}. One of"
        " these steps is off: something rubs. How long does this step take in truth? (It is hidden, and each learner's"
        " robot has another one.)"
    ),
    kind="time",
    unit="s",
    rows=tuple(
        {
            "take": (take, "s"),
            "way": (way, "s"),
            "raise": (up, "s"),
            "let_go": (go, "s"),
            "back": (back, "s"),
            "off": off,
            "true": (true, "s"),
        }
        for take, way, up, go, back, off, true in (
            (0.9, 1.8, 1.3, 0.6, 1.7, "raise", 2.1),
            (1.1, 1.6, 1.4, 0.5, 1.6, "way", 2.3),
            (0.8, 1.9, 1.2, 0.6, 1.8, "back", 2.6),
            (1.2, 1.7, 1.5, 0.7, 1.6, "take", 2.0),
            (1.0, 2.0, 1.6, 0.6, 1.9, "raise", 2.5),
            (0.9, 1.5, 1.1, 0.8, 1.5, "way", 2.2),
            (1.0, 1.7, 1.4, 0.7, 1.6, "let_go", 1.3),
            (1.1, 1.8, 1.2, 0.5, 1.7, "raise", 1.9),
        )
    ),
    answer=lambda r: r.true,
    shop=Shop(
        about=f"{CYCLES} cycles of a robot, each step timed from a film.",
        measure=_ten_cycles,
        fit=_worst_step,
    ),
    slips=(
        Slip(
            "the model's time",
            lambda r: getattr(r, r.off),
            "That is what the model says for this step. You found the step; now take the mean of its ten readings.",
        ),
        Slip(
            "difference from the model",
            lambda r: r.true - getattr(r, r.off),
            "That is how much longer the step takes than the model says. Asked is how long it takes.",
        ),
        Slip(
            "whole cycle",
            lambda r: sum(getattr(r, name) for name in STEPS) + r.true - getattr(r, r.off),
            "That is the whole cycle. Which of its steps differs from the model?",
        ),
    ),
    hints=(
        "The mean of each column: add ten readings, divide by ten. Put the model's time beside each mean.",
        "One column differs by much more than the others. Its mean is the answer.",
    ),
    explain=(
        "In truth it takes {answer}. Put that into the model first, then ask what rubs: with the old model you would"
        " promise too much."
    ),
)


EXERCISES = (PREDICT, CHAIN, PARTS, BAD_DAY, SAG, RAISED, TRIES, LEAD, WINNER, BEAM, RESTART, ORDER, DESIGN, SHOP)

"""Exercises of lesson 12: how long is a cycle with the driver's steps in, what overlaps, and what is a second worth?"""

import math
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
from mechbench.course.of_game import GOALS_ELSEWHERE, TWO_ELSEWHERE, goals, in_a_match, usual_points
from mechbench.course.on_bench import found, opened
from mechbench.physics.duration import triangular_at, triangular_mean

# --- predict, then slide -------------------------------------------------------------------------------------------


def _lift_shown(kit):
    """The time of a cycle with the lift as it is, and up in half the time."""
    up = opened("cycle", kit)["raise_time"]
    at = found("cycle", kit, "raise_time", (up, up / 2))
    won = float(at.time[0] - at.time[1])
    numbers = {"up": (up, "s"), "half": (up / 2, "s"), "now": (at.time[0], "s"), "then": (at.time[1], "s")}
    numbers["wait"] = (max(float(at.may_wait[0]), 0.0), "s")
    told = "Up in {half} instead of {up}, the lift changes the cycle from {now} to {then}. "
    if won < 0.001:
        because = (
            "Up in {half} instead of {up}, the cycle takes {now} either way: the lift goes up while the robot drives,"
            " which takes longer. Raising could even take {wait} longer than now."
        )
        return Shown("same", because, numbers)
    if won > 0.99 * up / 2:
        return Shown(
            "half", told + "Here nothing else goes on while it goes up, so each tenth of a second counts.", numbers
        )
    return Shown("some", told + "A part of its way is hidden behind driving, and only the rest counts.", numbers)


PREDICT = Prediction(
    id="cycle-quicker-lift",
    lesson="cycle",
    needs=("goal",),
    elsewhere=GOALS_ELSEWHERE,
    title="A quicker lift",
    text=(
        "A robot raises its lift while it drives to the goal. The team builds the lift anew: now it is up in half "
        "the time. What does that do to the time from piece to piece?"
    ),
    options=(
        Option(
            "half",
            "It gets shorter by as much as the lift got quicker.",
            (
                "It would, if the robot stood and waited for the lift. The surprise: it drives at the same time, and"
                " driving takes longer."
            ),
        ),
        Option(
            "some",
            "It gets shorter, but by less.",
            (
                "It is true that not all of it counts. The surprise is how little: what goes on beside something"
                " longer costs no time at all."
            ),
        ),
        Option("same", "It stays the same.", "A good thought: only the longest way through the cycle counts."),
    ),
    hints=(),
    explain="Now take the slider of raising on the bench and look at the longest way through.",
    shows=_lift_shown,
)


# --- what overlaps -------------------------------------------------------------------------------------------------

# As it was asked before: with numbers in which two mistakes came out alike.
_OVERLAP_1 = Quantity(
    id="cycle-overlap",
    lesson="cycle",
    needs=("goal",),
    elsewhere=GOALS_ELSEWHERE,
    title="Two things at once",
    text=(
        "One cycle of a robot: find a piece {find}, take it in {take}, drive to the goal {there}, line up {line_up},"
        " let go {let_go}, drive back {there}. The lift starts when the piece is in, and it is up after {up}; it runs"
        " while the robot drives and lines up. How long is the cycle?"
    ),
    kind="time",
    unit="s",
    rows=rows_of(
        {"find": "s", "take": "s", "there": "s", "line_up": "s", "up": "s", "let_go": "s"},
        (
            (1.4, 0.6, 1.8, 1.6, 1.9, 0.5),
            (2.1, 0.4, 1.5, 1.2, 4.1, 0.6),
            (1.6, 0.5, 2.2, 1.4, 2.0, 0.4),
            (1.3, 0.7, 1.6, 1.9, 1.7, 0.3),
            (1.2, 0.5, 1.4, 1.3, 4.4, 0.5),
            (1.7, 0.6, 2.0, 1.7, 2.2, 0.6),
            (1.5, 0.4, 1.9, 1.1, 1.6, 0.7),
            (1.8, 0.3, 1.7, 1.5, 1.8, 0.5),
        ),
    ),
    answer=lambda r: r.find + r.take + max(r.there + r.line_up, r.up) + r.let_go + r.there,
    slips=(
        Slip(
            "added in series",
            lambda r: r.find + r.take + r.there + r.line_up + r.up + r.let_go + r.there,
            "You added all steps. But the lift runs while the robot drives and lines up: of two things at once, "
            "only one makes you wait.",
        ),
        Slip(
            "shorter way counted",
            lambda r: r.find + r.take + min(r.there + r.line_up, r.up) + r.let_go + r.there,
            "You took the quicker of the two things that go on at once. The piece can be let go only when both are "
            "done.",
        ),
        Slip(
            "driver's steps left out",
            lambda r: r.take + max(r.there, r.up) + r.let_go + r.there,
            "You counted what the machine does. Finding and lining up are steps too: the robot stands there while "
            "the driver looks.",
        ),
    ),
    hints=(
        "Which steps go on at the same time? Draw them as bars, one below the other.",
        (
            "From the piece taken in to the piece let go there are two ways: drive and line up, or raise. Which one "
            "takes longer?"
        ),
    ),
    explain=(
        "Of the two ways that go on at once only the longer one counts: {answer} in all. What overlaps costs nothing."
    ),
)

OVERLAP = replace(
    _OVERLAP_1,
    revision=2,
    rows=rows_of(
        {"find": "s", "take": "s", "there": "s", "line_up": "s", "up": "s", "let_go": "s"},
        (
            (1.2, 0.7, 1.3, 2.0, 2.5, 0.4),
            (2.2, 0.7, 1.6, 1.3, 3.9, 0.3),
            (1.6, 0.5, 1.9, 2.4, 3.3, 0.7),
            (2.3, 0.3, 1.6, 2.1, 4.7, 0.3),
            (2.1, 0.7, 2.0, 2.2, 3.2, 0.7),
            (2.4, 0.5, 1.6, 1.7, 4.3, 0.3),
            (1.8, 0.3, 1.2, 1.7, 2.1, 0.4),
            (2.1, 0.3, 1.5, 1.5, 3.9, 0.6),
        ),
    ),
    slips=(
        *_OVERLAP_1.slips,
        Slip(
            "way back forgotten",
            lambda r: r.find + r.take + max(r.there + r.line_up, r.up) + r.let_go,
            "You left out the way back. A cycle is from piece to piece.",
        ),
        Slip(
            "lining up after the lift",
            lambda r: r.find + r.take + max(r.there, r.up) + r.line_up + r.let_go + r.there,
            "You let the lift run beside driving alone. It runs while the driver lines up, too.",
        ),
    ),
    earlier=(_OVERLAP_1,),
)


# --- low, likely, high ---------------------------------------------------------------------------------------------

# As it was asked before: all four times divided by 3 came out as the usual time does.
_MEAN_1 = Quantity(
    id="cycle-mean",
    lesson="cycle",
    title="What is usual is not the mean",
    text=(
        "The machine's part of a cycle always takes {machine}. The driver's part was timed in many tries: quickest "
        "{low}, usual {likely}, slowest {high}. All is done one after the other. How long is a cycle on average?"
    ),
    kind="time",
    unit="s",
    rows=rows_of(
        {"machine": "s", "low": "s", "likely": "s", "high": "s"},
        (
            (3.2, 1.6, 2.4, 9.2),
            (2.8, 1.2, 2.0, 8.8),
            (3.5, 1.8, 2.6, 10.0),
            (2.4, 1.5, 2.1, 8.1),
            (3.0, 1.4, 2.2, 9.9),
            (3.6, 2.0, 2.8, 10.8),
            (2.6, 1.3, 1.9, 8.2),
            (3.3, 1.7, 2.5, 10.2),
        ),
    ),
    answer=lambda r: r.machine + triangular_mean(r.low, r.likely, r.high),
    slips=(
        Slip(
            "usual time",
            lambda r: r.machine + r.likely,
            "You planned with the usual time. Slow tries are much slower than usual, quick ones only a little "
            "quicker: the mean lies above it.",
        ),
        Slip(
            "middle of the ends",
            lambda r: r.machine + (r.low + r.high) / 2,
            "You took the middle between the quickest and the slowest. The slowest is rare: let the usual time "
            "count as much as each of the two.",
        ),
        Slip(
            "slowest time",
            lambda r: r.machine + r.high,
            "You planned with the slowest try. That is a bad cycle, not the mean of many.",
        ),
        Slip(
            "driver left out",
            lambda r: r.machine,
            "You left out the driver, who takes a large part of this cycle.",
        ),
    ),
    hints=(
        "First the driver's mean: quickest, usual and slowest, added, then divided by how many they are.",
        "Add the machine's part.",
    ),
    explain=(
        "The mean of the three is (quickest + usual + slowest) / 3. With the machine's part: {answer}, more "
        "than with the usual time."
    ),
)

MEAN = replace(
    _MEAN_1,
    revision=2,
    rows=rows_of(
        {"machine": "s", "low": "s", "likely": "s", "high": "s"},
        (
            (3.5, 1.1, 2.4, 12.7),
            (6.6, 1.6, 2.0, 11.2),
            (3.1, 1.7, 3.2, 12.5),
            (3.7, 1.4, 2.2, 12.8),
            (6.7, 1.5, 2.4, 11.6),
            (3.8, 1.5, 2.2, 12.1),
            (2.7, 1.7, 2.5, 10.3),
            (6.9, 1.3, 2.1, 12.0),
        ),
    ),
    slips=(
        *_MEAN_1.slips,
        Slip(
            "machine left out",
            lambda r: (r.low + r.likely + r.high) / 3,
            "That is the driver's mean. The machine's part comes on top of it in every cycle.",
        ),
        Slip(
            "sum not divided",
            lambda r: r.machine + r.low + r.likely + r.high,
            "You added the three times. They are three tries of one step: take their mean.",
        ),
        Slip(
            "machine in the mean",
            lambda r: (r.machine + r.low + r.likely + r.high) / 3,
            "You divided the machine's part as well. It always takes its whole time: first the driver's mean, then add"
            " the machine.",
        ),
        Slip(
            "mean of all four",
            lambda r: (r.machine + r.low + r.likely + r.high) / 4,
            "You took the mean of all four times. Only the driver's three are tries of the same step; the machine's"
            " part"
            " comes on top.",
        ),
    ),
    earlier=(_MEAN_1,),
)


# --- jams ----------------------------------------------------------------------------------------------------------


# As it was asked before: where the jams were whole, or near to that, who counted whole ones was not told.
_JAMS_1 = Quantity(
    id="cycle-jams",
    lesson="cycle",
    title="What jams cost",
    text=(
        "A robot begins {cycles} cycles in a match. In {share} of them a piece jams or drops. Clearing it takes "
        "{low} to {high}, usually {likely}. How much time does a match lose to jams, on average?"
    ),
    kind="time",
    unit="s",
    rows=rows_of(
        {"cycles": "", "share": "%", "low": "s", "likely": "s", "high": "s"},
        (
            (12, 15, 2, 4, 12),
            (10, 20, 3, 5, 16),
            (14, 10, 2, 5, 14),
            (11, 25, 3, 4, 14),
            (13, 15, 2, 3, 10),
            (9, 30, 2, 4, 15),
            (16, 10, 3, 5, 13),
            (15, 20, 2, 4, 12),
        ),
    ),
    answer=lambda r: r.cycles * r.share * triangular_mean(r.low, r.likely, r.high),
    slips=(
        Slip(
            "every cycle jams",
            lambda r: r.cycles * triangular_mean(r.low, r.likely, r.high),
            "You let every cycle jam. Only {share} of them do.",
        ),
        Slip(
            "usual time",
            lambda r: r.cycles * r.share * r.likely,
            "You took the usual time to clear a jam. Some jams take very long; use the mean of the three times.",
        ),
        Slip(
            "cycles without a jam",
            lambda r: r.cycles * (1 - r.share) * triangular_mean(r.low, r.likely, r.high),
            "You counted the cycles that go well. Time is lost in the others.",
        ),
        Slip(
            "one cycle only",
            lambda r: r.share * triangular_mean(r.low, r.likely, r.high),
            "That is what jams add to one cycle, on average. Asked is the whole match.",
        ),
    ),
    hints=(
        "How many cycles jam, on average? (It need not be a whole number.)",
        "Times the mean time to clear one: (quickest + usual + slowest) / 3.",
    ),
    explain=(
        "Cycles, times the share that jams, times the mean time of a jam: {answer}. Compare that with the time "
        "of a whole cycle."
    ),
    short=True,
)

JAMS = replace(
    _JAMS_1,
    revision=2,
    rows=rows_of(
        {"cycles": "", "share": "%", "low": "s", "likely": "s", "high": "s"},
        (
            (13, 20, 2, 3, 15),
            (12, 10, 2, 4, 13),
            (11, 12, 3, 3.5, 15),
            (10, 16, 3, 4, 9),
            (12, 12, 3, 4, 12),
            (8, 16, 3, 4, 15),
            (10, 15, 2, 5, 13),
            (8, 15, 2, 3, 14),
        ),
    ),
    slips=(
        *_JAMS_1.slips,
        Slip(
            "whole jams, rounded up",
            lambda r: math.ceil(r.cycles * r.share) * triangular_mean(r.low, r.likely, r.high),
            "You rounded the number of jams up to a whole one. On average over many matches it need not be whole.",
        ),
        Slip(
            "whole jams, rounded down",
            lambda r: math.floor(r.cycles * r.share) * triangular_mean(r.low, r.likely, r.high),
            "You rounded the number of jams down to a whole one. On average over many matches it need not be whole.",
        ),
        Slip(
            "middle of the ends",
            lambda r: r.cycles * r.share * (r.low + r.high) / 2,
            "You took the middle between the quickest and the slowest. Let the usual time count as much as each of the"
            " two.",
        ),
        Slip(
            "sum not divided",
            lambda r: r.cycles * r.share * (r.low + r.likely + r.high),
            "You added the three times to clear a jam. They are three cases of one: take their mean.",
        ),
    ),
    earlier=(_JAMS_1,),
)


# --- pieces a match ------------------------------------------------------------------------------------------------

# As it was asked before: who counted whole cycles was not told.
_PIECES_1 = Quantity(
    id="cycle-pieces",
    lesson="cycle",
    title="Pieces in a match",
    text=(
        "A made-up game: the robot drives itself for {itself}, then people drive for {driven}. The robot leaves "
        "for its closing task {leave} before the end. A cycle takes {cycle}, and the robot carries {carried} pieces in "
        "each. {success} of them score. How many pieces does it score while people drive, on average?"
    ),
    kind="number",
    unit="",
    rows=rows_of(
        {"itself": "s", "driven": "s", "leave": "s", "cycle": "s", "carried": "", "success": "%"},
        (
            (15, 120, 30, 9, 2, 80),
            (14, 140, 40, 11, 2, 80),
            (16, 125, 35, 8, 3, 78),
            (12, 110, 26, 7.5, 2, 70),
            (18, 150, 45, 10, 3, 75),
            (16, 132, 32, 12, 2, 70),
            (13, 115, 28, 8.5, 2, 70),
            (17, 135, 33, 9.5, 3, 70),
        ),
    ),
    answer=lambda r: (r.driven - r.leave) / r.cycle * r.carried * r.success,
    slips=(
        Slip(
            "closing task's time counted",
            lambda r: r.driven / r.cycle * r.carried * r.success,
            "You used all the time that people drive. In the last {leave} the robot is on its way to the closing task,"
            " or at it.",
        ),
        Slip(
            "self-driving added",
            lambda r: (r.itself + r.driven - r.leave) / r.cycle * r.carried * r.success,
            "You added the time in which the robot drives itself. Asked is what it scores while people drive.",
        ),
        Slip(
            "one piece a cycle",
            lambda r: (r.driven - r.leave) / r.cycle * r.success,
            "You counted cycles, not pieces. It carries {carried} in each cycle.",
        ),
        Slip(
            "all pieces score",
            lambda r: (r.driven - r.leave) / r.cycle * r.carried,
            "You let all pieces score. Only {success} of them do.",
        ),
    ),
    hints=(
        "How much time is left for cycles?",
        "Pieces = time left / time of a cycle × pieces carried × share that scores.",
    ),
    explain=("Time left / time of a cycle, times pieces carried, times the share that scores: {answer} pieces."),
    short=True,
)

PIECES = replace(
    _PIECES_1,
    revision=2,
    text=f"{_PIECES_1.text} Count parts of a cycle, too.",
    rows=rows_of(
        {"itself": "s", "driven": "s", "leave": "s", "cycle": "s", "carried": "", "success": "%"},
        (
            (15, 125, 42, 10.4, 3, 78),
            (13, 115, 36, 11.6, 3, 78),
            (14, 145, 45, 12.7, 2, 80),
            (12, 110, 36, 12.6, 2, 75),
            (16, 110, 36, 12.7, 2, 75),
            (13, 115, 45, 10.2, 2, 76),
            (14, 125, 33, 11.6, 3, 80),
            (12, 120, 39, 12, 3, 75),
        ),
    ),
    slips=(
        *_PIECES_1.slips,
        Slip(
            "whole cycles",
            lambda r: (r.driven - r.leave) // r.cycle * r.carried * r.success,
            "You counted whole cycles only. In one match that is so; on average over many matches parts of a cycle"
            " count, too.",
        ),
        Slip(
            "cycles, not pieces",
            lambda r: (r.driven - r.leave) / r.cycle,
            "That is the number of cycles. In each it carries {carried} pieces, and {success} of them score.",
        ),
    ),
    earlier=(_PIECES_1,),
)


# --- what a second is worth ----------------------------------------------------------------------------------------


def _second_rows(kit):
    usual = usual_points(kit)
    cases = (
        (9.0, 0.8, 100, 80),
        (10.0, 1.0, 105, 90),
        (8.0, 0.7, 95, 85),
        (11.0, 1.1, 110, 75),
        (9.5, 0.9, 98, 88),
        (12.0, 1.3, 108, 82),
        (8.5, 0.9, 102, 78),
        (10.5, 1.2, 96, 84),
    )
    units = {"cycle": "s", "saved": "s", "time": "s", "success": "%", "each": "points"}
    times = in_a_match(kit, [case[2] for case in cases])
    return rows_of(
        units, [(cycle, saved, time, success, usual) for (cycle, saved, _, success), time in zip(cases, times)]
    )


SECOND = Quantity(
    id="cycle-second",
    lesson="cycle",
    needs=("goal", "two"),
    elsewhere=TWO_ELSEWHERE,
    title="What is it worth?",
    text=(
        "A robot carries two pieces in each cycle of {cycle}, and finds them one after the other. There are {time} "
        "for cycles; {success} of the pieces score, worth {each} each. With practice the driver finds each "
        "piece {saved} sooner. How many points more is that in a match, on average? Count parts of a cycle, too."
    ),
    kind="points",
    unit="points",
    rows=_second_rows,
    answer=lambda r: r.time * 2 * r.success * r.each * (1 / (r.cycle - 2 * r.saved) - 1 / r.cycle),
    slips=(
        Slip(
            "saved once a cycle",
            lambda r: r.time * 2 * r.success * r.each * (1 / (r.cycle - r.saved) - 1 / r.cycle),
            "You saved the time once in a cycle. Two pieces are found in each, so it is saved twice.",
        ),
        Slip(
            "share of the old cycle",
            lambda r: r.time * 2 * r.success * r.each * 2 * r.saved / r.cycle**2,
            "You took that share of the points which is saved of the old cycle. But the time won is filled with the "
            "new, shorter cycles. Find the points before and after, with parts of a cycle, and take the difference.",
        ),
        Slip(
            "one piece a cycle",
            lambda r: r.time * r.success * r.each * (1 / (r.cycle - 2 * r.saved) - 1 / r.cycle),
            "You counted one piece in a cycle. It carries two.",
        ),
        Slip(
            "all points",
            lambda r: r.time * 2 * r.success * r.each / (r.cycle - 2 * r.saved),
            "That is all the points that it now makes with pieces. Asked is how many more than before.",
        ),
        Slip(
            "share that scores left out",
            lambda r: r.time * 2 * r.each * (1 / (r.cycle - 2 * r.saved) - 1 / r.cycle),
            "You let all pieces score. Only {success} of them do. (And parts of a cycle count, too.)",
        ),
        Slip(
            "pieces, not points",
            lambda r: r.time * 2 * r.success * (1 / (r.cycle - 2 * r.saved) - 1 / r.cycle),
            "That is how many pieces more it scores. What is each of them worth?",
        ),
    ),
    hints=(
        "How long is the new cycle?",
        (
            "Points = time / time of a cycle × pieces × share × points of a piece. Before, and after: what is the "
            "difference?"
        ),
    ),
    explain="A step that is done for each piece counts twice here: {answer} more. Nothing was built for it.",
)


# --- which step ----------------------------------------------------------------------------------------------------

STEP = Choice(
    id="cycle-which-step",
    lesson="cycle",
    needs=("goal",),
    elsewhere=GOALS_ELSEWHERE,
    title="One week left",
    text=(
        "On your robot the lift goes up while it drives. It is up long before the robot stands in front of the "
        "goal. There is one week left. What makes the cycle shorter?"
    ),
    options=(
        Option(
            "motor",
            "A stronger motor for the lift.",
            "The lift then waits longer at the top. The cycle stays as it is.",
        ),
        Option(
            "line-up",
            "Two evenings of practice in lining up at the goal.",
            "Yes. Lining up is on the longest way, so each second saved there is a second saved in every cycle.",
            right=True,
        ),
        Option(
            "earlier",
            "A program that starts the lift half a second earlier.",
            "It is up in time anyway. It would only be raised for longer, and a raised robot tips sooner.",
        ),
        Option(
            "light",
            "A lighter bucket, so that the lift is quicker.",
            "Less mass up high is good against tipping. But the lift already waits for the robot.",
        ),
    ),
    hints=(
        "Draw the steps as bars. Which of them must the next step wait for?",
        "What waits for what: does the robot wait for the lift, or the lift for the robot?",
    ),
    explain=(
        "Only a second on the longest way shortens the cycle. Practice is cheaper than a motor, and lining up "
        "is done in every cycle."
    ),
    short=True,
)


# --- the mean of a ratio -------------------------------------------------------------------------------------------

UNEVEN = Quantity(
    id="cycle-uneven",
    lesson="cycle",
    title="Now quick, now slow",
    text=(
        "Every other cycle of a robot is held up by traffic. A free one takes {quick}, a held-up one {slow}. How "
        "many cycles does it make in {time}, on average?"
    ),
    kind="number",
    unit="",
    rows=rows_of(
        {"quick": "s", "slow": "s", "time": "s"},
        ((6, 14, 100), (5, 12, 102), (7, 17, 108), (6, 15, 105), (8, 18, 104), (5, 13, 99), (7, 15, 110), (8, 20, 112)),
    ),
    answer=lambda r: r.time / ((r.quick + r.slow) / 2),
    slips=(
        Slip(
            "mean of the ratios",
            lambda r: (r.time / r.quick + r.time / r.slow) / 2,
            "You found the cycles of a quick match and of a slow match, and took the middle. But the slow cycles "
            "take more of the time. First the mean time, then divide.",
        ),
        Slip(
            "all quick",
            lambda r: r.time / r.quick,
            "That would be so if no cycle was held up.",
        ),
        Slip(
            "all slow",
            lambda r: r.time / r.slow,
            "That would be so if every cycle was held up.",
        ),
        Slip(
            "pairs, not cycles",
            lambda r: r.time / (r.quick + r.slow),
            "You counted pairs: one quick and one slow cycle together. Each pair is two cycles.",
        ),
        Slip(
            "both added",
            lambda r: r.time / r.quick + r.time / r.slow,
            "You gave the whole time to the quick cycles, and again to the slow ones. They share it.",
        ),
    ),
    hints=(
        "How long do one quick and one slow cycle take together?",
        "How often does that pair fit into the time? Each pair is two cycles.",
    ),
    explain=(
        "Two cycles take {quick} + {slow} together, so the mean is half of that, and {answer} of them fit. "
        "Always divide by the mean time."
    ),
    short=True,
)


# --- a set of colours ----------------------------------------------------------------------------------------------


def _set_rows(kit):
    """So many colours make a set: in the game of the kit, or 3 for 6 points where it has no such rule."""
    found = kit.roles.set
    need, bonus = (3, 6) if found is None else (int(found.need), found.points)
    cases = ((5, 80), (4, 85), (6, 75), (7, 78), (5, 88), (8, 76), (6, 82), (4, 90))
    return rows_of(
        {"cycles": "", "success": "%", "need": "", "bonus": "points"},
        [(*case, need, bonus) for case in cases],
    )


SET = Quantity(
    id="cycle-set",
    lesson="cycle",
    needs=("set", "set_at_once"),
    instead="cycle-pair",
    title="All of them must stay",
    text=(
        "In each of {cycles} cycles a robot brings {need} pieces, each of another colour, to one goal. Each piece stays"
        " there in {success} of all tries, whatever the others do. {need} colours together bring {bonus} more. How many"
        " points more is that in a match, on average?"
    ),
    kind="points",
    unit="points",
    rows=_set_rows,
    answer=lambda r: r.cycles * r.success**r.need * r.bonus,
    slips=(
        Slip(
            "share counted once",
            lambda r: r.cycles * r.success * r.bonus,
            "You counted the chance once. But all of the pieces must stay: each next one stays in only {success} of the"
            " cycles in which those before it do.",
        ),
        Slip(
            "share × share, for one pair",
            lambda r: r.cycles * r.success**2 * r.bonus,
            "You took share × share: that is the chance of two pieces. Here all {need} must stay.",
        ),
        Slip(
            "all sets complete",
            lambda r: r.cycles * r.bonus,
            "You let every set be complete. Now and then a piece falls, and the whole bonus is gone.",
        ),
        Slip(
            "bonus for each piece",
            lambda r: r.need * r.cycles * r.success**r.need * r.bonus,
            "You gave the bonus to each piece. It is given once for the set.",
        ),
        Slip(
            "share divided",
            lambda r: r.cycles * r.success / r.need * r.bonus,
            "You divided the share by the number of pieces. Each piece more is one more thing that must go well: what"
            " share of the share is left?",
        ),
        Slip(
            "sets that fail",
            lambda r: r.cycles * (1 - r.success) ** r.need * r.bonus,
            "You took the share of pieces that fall. {success} of them stay.",
        ),
        Slip(
            "share times pieces",
            lambda r: r.cycles * r.success * r.need * r.bonus,
            "You multiplied the share by the number of pieces. Each piece more is one more thing that must go well:"
            " the chance gets smaller.",
        ),
        Slip(
            "sets, not points",
            lambda r: r.cycles * r.success**r.need,
            "That is how many sets are complete. Each brings {bonus} more.",
        ),
    ),
    hints=(
        "Think of 100 cycles: in how many does the first piece stay? In how many of these does the second one stay?",
        "Chance of the set = share × share × ..., once for each piece. Then times cycles, times bonus.",
    ),
    explain=(
        "The share counts once for each piece, and that makes {answer}. A bonus that needs several lucky things at once"
        " is rarer than you think."
    ),
    short=True,
)


# --- all points of a match -----------------------------------------------------------------------------------------


def _points_rows_1(kit):
    end, usual = kit.roles.ending, usual_points(kit)
    cases = ((5.0, 60), (4.2, 50), (6.1, 55), (3.4, 45), (5.5, 40), (4.6, 58), (2.8, 52), (3.9, 48))
    units = {"pieces": "", "hangs": "%", "each": "points", "hang": "points", "park": "points"}
    return rows_of(units, [(*case, usual, end.tried_points, end.left_points) for case in cases])


def _points_rows(kit):
    """The same: of the easier task alone a few points may be missing, and the tolerance tells them apart."""
    return _points_rows_1(kit)


_POINTS_1 = Quantity(
    id="cycle-points",
    lesson="cycle",
    needs=("goal", "two_ends"),
    title="Points with the end",
    text=(
        "A slow robot scores {pieces} pieces a match on average, each worth {each}. At the end it tries the harder"
        " closing task. That works in {hangs} of its matches and brings {hang}. In the others it does the easier one,"
        " for {park}. How many points is that in a match, on average?"
    ),
    kind="points",
    unit="points",
    rows=_points_rows_1,
    answer=lambda r: r.pieces * r.each + r.hangs * r.hang + (1 - r.hangs) * r.park,
    slips=(
        Slip(
            "works for certain",
            lambda r: r.pieces * r.each + r.hang,
            "You counted the harder task as if it always worked. It works in {hangs} of the matches.",
        ),
        Slip(
            "both at once",
            lambda r: r.pieces * r.each + r.hang + r.park,
            "You gave it the points for the harder and for the easier task in the same match.",
        ),
        Slip(
            "end left out",
            lambda r: r.pieces * r.each,
            "You counted the pieces alone. The end of the match brings points too.",
        ),
        Slip(
            "end alone",
            lambda r: r.hangs * r.hang + (1 - r.hangs) * r.park,
            "That is what the end of a match brings. The pieces bring points, too.",
        ),
    ),
    hints=(
        "Think of 100 matches: in how many does the harder task work, in how many does it do the easier one?",
        "Pieces × points, plus share × points of the harder task, plus the rest of the matches × points of the easier.",
    ),
    explain="Each kind of end counts with its own share of the matches: {answer}.",
)

POINTS = replace(
    _POINTS_1,
    revision=2,
    tolerance=0.02,
    rows=_points_rows,
    slips=(
        *_POINTS_1.slips,
        Slip(
            "easier task left out",
            lambda r: r.pieces * r.each + r.hangs * r.hang,
            "You left the easier task out. In the matches in which the harder one fails, it still brings {park}.",
        ),
    ),
    earlier=(_POINTS_1,),
)


# --- when to leave -------------------------------------------------------------------------------------------------

LEAVE = Choice(
    id="cycle-leave",
    lesson="cycle",
    title="Go now, or one more cycle?",
    text=(
        "A made-up game has two closing tasks, a harder one and an easier one. A robot is in front of the goal, 22 s"
        " before the end. One more cycle takes 12 s and brings 5 points on average. Both closing tasks are at the same"
        " place, and the way there takes 6 s. For the easier one it is enough to be there; the harder one takes another"
        " 12 s. That works in half of the tries and then"
        " brings 13 points more than the easier one. What is best, on average?"
    ),
    options=(
        Option(
            "cycle",
            "One more cycle, and then the harder task.",
            "12 s, 6 s and 12 s are more than 22 s: it would be too late for the harder task.",
        ),
        Option(
            "park",
            "One more cycle, and then the easier task.",
            "In 22 s one cycle and the way fit, 12 s and 6 s; a second cycle does not. That is 5 points more than"
            " leaving"
            " now for the easier task. Half of 13 is more.",
        ),
        Option(
            "bar",
            "Leave for the harder task now.",
            "Yes. Half of 13 points is 6.5 points more than the easier task; the cycle would bring 5.",
            right=True,
        ),
        Option(
            "wait",
            "Wait 4 s, and leave so that it just fits.",
            "In these 4 s nothing is scored. Leave at once, and keep them for the case that something goes wrong.",
        ),
    ),
    hints=(
        "What fits into 22 s? Cycle and harder task together, or only one of them?",
        "What does the harder task bring on average: its points times the share of tries that work?",
    ),
    explain=(
        "Compare points on average, and what fits. If the harder task worked in a third of the tries only, one more "
        "cycle would be better."
    ),
    short=True,
)


# --- in order ------------------------------------------------------------------------------------------------------

ORDER = Order(
    id="cycle-order",
    lesson="cycle",
    title="From the shortest cycle",
    text=(
        "Four teams have the same steps: find a piece 1 s, take it in 1 s, drive 4 s, raise 2 s, let a piece go 1 s,"
        " drive back 4 s. Some carry one piece, some two (found, taken in and let go one after the other). Some raise"
        " while driving, some when they stand."
    ),
    scale="from the shortest cycle to the longest",
    items=(
        Item("one-while", "one piece, raised while driving"),
        Item(
            "one-after",
            "one piece, raised when it stands",
            "Raising when it stands costs its whole 2 s; while driving it costs nothing.",
        ),
        Item(
            "two-while",
            "two pieces, raised while driving",
            "A second piece costs finding, taking in and letting go once more: 3 s.",
        ),
        Item("two-after", "two pieces, raised when it stands", "It pays for both: the second piece and the raising."),
    ),
    hints=(
        "With one piece and raising while driving: which steps are added?",
        "What does the second piece add? What does raising add when the robot stands?",
    ),
    explain=(
        "11, 13, 14 and 16 s. But the two-piece teams score twice as much in a cycle: their cycle is longer, "
        "and they win."
    ),
    short=True,
)


# --- a design ------------------------------------------------------------------------------------------------------

_PLANS = ((1.6, 1.2, 50), (2.2, 1.5, 70), (1.3, 2.0, 40), (1.9, 0.9, 60), (2.5, 1.8, 30), (1.4, 1.6, 80))
ENOUGH = 0.9  # of what the best plan brings on a bad day


@lru_cache(maxsize=4)
def _design_rows(kit):
    """For each robot, as many points as a good plan brings on a bad day with the game of this kit."""
    names, rows = goals(kit).names, []
    for drive, up, hangs in _PLANS:
        robot = {"drive_time": drive, "raise_time": up, "closing_chance": hangs / 100}
        plans = [{**robot, "goal": first, "next_goal": then} for first in names for then in names]
        wanted = np.floor(ENOUGH * max(judge("cycle", plan, kit).bad["points"] for plan in plans))
        rows.append((float(wanted), drive, up, hangs))
    return rows_of({"points_wanted": "points", "drive_time": "s", "raise_time": "s", "hang_chance": "%"}, rows)


DESIGN = Challenge(
    id="cycle-design",
    lesson="cycle",
    needs=("goal", "hang"),
    instead="cycle-plan",
    title="A plan for the match",
    text=(
        "A robot drives {drive_time} from the pieces to the goal. It is raised in {raise_time}, and it hangs in "
        "{hang_chance} of its matches. All else is as on the bench when you open it. The team wants {points_wanted} in "
        "a match, on a bad day too. Choose how many pieces it carries, when it is raised, which goal it serves first, "
        "and which one after that. (A goal that takes other pieces gets those, in the same times.)"
    ),
    sizing="cycle",
    rows=_design_rows,
    fixed=("points_wanted", "drive_time", "raise_time", "hang_chance"),
    choose=("pieces", "raising", "goal", "next_goal"),
    require=(
        "At least {points_wanted} in a match on average, also on a bad day, when drivers are slow and traffic is dense."
    ),
    advice={
        "points": (
            "Too few points. What does a piece more in each cycle cost in seconds, and what does it bring? Which "
            "goal brings most, and what happens when it is full?"
        ),
    },
    hints=(
        "Look at 'All numbers' of the bench: how many pieces come to the first goal, and how many to the next one?",
        "On a bad day there are fewer cycles. Is the first goal still filled then?",
    ),
    explain="Enough, on a bad day too. Which of your choices brought most? Try the others, one at a time.",
)


# --- shop at home: a stopwatch beside the driver ---------------------------------------------------------------------

TRIES = 24
STOPWATCH = 0.04  # s, how unevenly a thumb presses


def _tries(low, likely, high, noise):
    """Times of a step in many tries, as they came. They cover evenly what can happen, so that one evening is enough."""
    shares = (noise.permutation(TRIES) + noise.random(TRIES)) / TRIES
    return np.maximum(triangular_at(shares, low, likely, high) + STOPWATCH * noise.standard_normal(TRIES), 0.1).round(2)


def _stopwatch(r, noise):
    """Finding a piece, and lining up at the goal."""
    return {
        "find": (_tries(r.find_low, r.find_likely, r.find_high, noise), "s"),
        "line_up": (_tries(r.line_low, r.line_likely, r.line_high, noise), "s"),
    }


def _hidden(r):
    """The cycle's mean: the machine, two pieces found, one lining up."""
    lining_up = triangular_mean(r.line_low, r.line_likely, r.line_high)
    return r.machine + 2 * triangular_mean(r.find_low, r.find_likely, r.find_high) + lining_up


# Seconds of the machine; then how much slower than in the game's file the driver is at finding and at lining up.
_DRIVERS = (
    (4.6, 1.0, 1.1),
    (4.2, 1.2, 0.9),
    (5.0, 0.9, 1.2),
    (4.4, 1.1, 1.3),
    (5.2, 1.3, 1.0),
    (4.8, 0.8, 0.9),
    (4.1, 0.9, 1.0),
    (5.4, 1.2, 1.2),
)


def _shop_rows(kit):
    """Drivers round about the people of this kit's game: some quicker, some slower."""
    human, rows = kit.roles.people, []
    for machine, find, line in _DRIVERS:
        row = {"machine": (machine, "s")}
        for name, step, factor in (("find", human.find, find), ("line", human.line_up, line)):
            for which in ("low", "likely", "high"):
                row[f"{name}_{which}"] = in_unit(rounded(factor * getattr(step, which), 2), "s")
        rows.append(row)
    return rows


SHOP = Quantity(
    id="cycle-stopwatch",
    lesson="cycle",
    needs=("goal", "people", "two"),
    elsewhere=TWO_ELSEWHERE,
    title="Your driver's cycle",
    text=(
        f"You stand beside your driver with a stopwatch: {TRIES} times finding a piece, {TRIES} times lining up at the"
        " goal. In each cycle two pieces are found, one after the other, and the robot lines up once. The machine's"
        " part of the cycle takes {machine}, and nothing overlaps. How long is a cycle of this driver on average?"
        " Take the mean of all tries, not of three of them. (The driver is hidden, and each learner's is another one.)"
    ),
    kind="time",
    unit="s",
    rows=_shop_rows,
    answer=_hidden,
    shop=Shop(
        about=f"{TRIES} tries of finding a piece, and {TRIES} of lining up at the goal, by stopwatch.",
        measure=_stopwatch,
        fit=lambda columns, r: r.machine + 2 * columns["find"].mean() + columns["line_up"].mean(),
    ),
    near=(
        f"Take the mean of all {TRIES} tries of each step: add them up, and divide by {TRIES}. The mean of quickest,"
        f" usual"
        " and slowest is only near to it."
    ),
    slips=(
        Slip(
            "found once a cycle",
            lambda r: _hidden(r) - triangular_mean(r.find_low, r.find_likely, r.find_high),
            "You counted finding once. Two pieces are found in each cycle.",
        ),
        Slip(
            "quickest tries",
            lambda r: r.machine + 2 * r.find_low + r.line_low,
            "You used the quickest tries. A match is made of all of them: take the mean.",
        ),
        Slip(
            "driver left out",
            lambda r: r.machine,
            "That is the machine alone. Add what the driver does.",
        ),
    ),
    hints=(
        "The mean of each column: add all tries, and divide by how many there are.",
        "Machine + 2 × mean of finding + mean of lining up.",
    ),
    explain=(
        "With this driver a cycle takes {answer} on average. The driver's share of it can be trained; the "
        "machine's can't."
    ),
)


# --- games of another form ------------------------------------------------------------------------------------------


def _pair_rows(kit):
    """So much for a pair: as in the game of the kit, or 2 points where it has no such rule."""
    pair = kit.roles.pair
    bonus = 2 if pair is None else pair.points
    cases = ((12, 80), (10, 76), (14, 75), (9, 85), (16, 65), (11, 82), (13, 66), (15, 78))
    return rows_of({"cycles": "", "success": "%", "bonus": "points"}, [(*case, bonus) for case in cases])


PAIR = Quantity(
    id="cycle-pair",
    lesson="cycle",
    needs=("pair", "two"),
    instead="cycle-threshold",
    title="Both must stand",
    text=(
        "In each of {cycles} cycles a robot puts two pieces of one colour beside each other. Each piece stays "
        "there in {success} of all tries, whatever the other one does. Two that touch bring {bonus} more. How many "
        "points more is that in a match, on average?"
    ),
    kind="points",
    unit="points",
    rows=_pair_rows,
    answer=lambda r: r.cycles * r.success**2 * r.bonus,
    slips=(
        Slip(
            "share counted once",
            lambda r: r.cycles * r.success * r.bonus,
            "You counted the chance once. But both pieces must stand: the second one stands in only {success} of "
            "the cycles in which the first one does.",
        ),
        Slip(
            "all pairs stand",
            lambda r: r.cycles * r.bonus,
            "You let every pair stand. Now and then one of the two falls.",
        ),
        Slip(
            "bonus for each piece",
            lambda r: 2 * r.cycles * r.success**2 * r.bonus,
            "You gave the bonus to each piece. It is given once for the pair.",
        ),
    ),
    hints=(
        (
            "Think of 100 cycles: in how many does the first piece stand? In how many of these does the second one "
            "stand too?"
        ),
        "Chance of the pair = share × share. Then times cycles, times bonus.",
    ),
    explain=(
        "Both stand in share × share of the cycles: {answer}. A bonus that needs two lucky things at once is "
        "rarer than you think."
    ),
    short=True,
)


def _threshold_rows(kit):
    """So many pieces bring points at once: in the game of the kit, or 20 of them where it has no such rule."""
    threshold = kit.roles.threshold
    need, time = (20 if threshold is None else int(threshold.need)), kit.roles.match.driven
    most = math.inf if threshold is None else kit.roles.limits.hold
    cases = ((2, 70, 20), (3, 65, 22), (2, 62, 18), (4, 68, 20), (3, 60, 24), (2, 66, 15), (4, 64, 16), (3, 69, 17))
    return rows_of(
        {"need": "", "time": "s", "carried": "", "success": "%", "leave": "s"},
        [(need, time, min(carried, most), success, leave) for carried, success, leave in cases],
    )


THRESHOLD = Quantity(
    id="cycle-threshold",
    lesson="cycle",
    needs=("threshold",),
    title="Enough pieces in time",
    text=(
        "From {need} pieces on a robot gets more points. People drive for {time}; the last {leave} are for something"
        " else. The robot carries {carried} pieces in each cycle, and {success} of them stay where they were put. How"
        " long may a cycle be at most, so that {need} pieces are there in time, on average? Count parts of a cycle,"
        " too."
    ),
    kind="time",
    unit="s",
    rows=_threshold_rows,
    answer=lambda r: (r.time - r.leave) * r.carried * r.success / r.need,
    slips=(
        Slip(
            "all pieces stay",
            lambda r: (r.time - r.leave) * r.carried / r.need,
            "You let all pieces stay. Only {success} of them do, so more have to be brought.",
        ),
        Slip(
            "one piece a cycle",
            lambda r: (r.time - r.leave) * r.success / r.need,
            "That is the time for one piece. A cycle brings {carried}.",
        ),
        Slip(
            "all of the time",
            lambda r: r.time * r.carried * r.success / r.need,
            "You used all the time that people drive. In the last {leave} the robot does something else.",
        ),
        Slip(
            "share upside down",
            lambda r: (r.time - r.leave) * r.carried / r.success / r.need,
            "You divided by the share that stays. Pieces that fall down leave less time for a cycle, not more.",
        ),
    ),
    near="Perhaps you rounded the number of cycles: on average it need not be whole.",
    hints=(
        "How many pieces stay from one cycle? Then: how many cycles are needed?",
        "Time left divided by the number of cycles.",
    ),
    explain=(
        "Time left × pieces that stay in a cycle / pieces needed: {answer}. One piece less and all of that bonus is"
        " lost: plan for a bad day, not for the average."
    ),
)


@lru_cache(maxsize=4)
def _plan_rows(kit):
    """For each robot, as many points as a good plan brings on a bad day; of the end all is as on the bench."""
    names, rows = goals(kit).names, []
    for drive, up, _ in _PLANS:
        plans = [
            {"drive_time": drive, "raise_time": up, "goal": first, "next_goal": then}
            for first in names
            for then in names
        ]
        wanted = np.floor(ENOUGH * max(judge("cycle", plan, kit).bad["points"] for plan in plans))
        rows.append((float(wanted), drive, up))
    return rows_of({"points_wanted": "points", "drive_time": "s", "raise_time": "s"}, rows)


PLAN = replace(
    DESIGN,
    id="cycle-plan",
    needs=("goal",),
    instead="",
    text=(
        "A robot drives {drive_time} from the pieces to where they score, and it is raised in {raise_time}. All else is"
        " as on the bench when you open it. The team wants {points_wanted} in a match, on a bad day too. Choose how"
        " many pieces it carries, when it is raised, where it scores first, and where after that. (A goal"
        " that takes other pieces gets those, in the same times.)"
    ),
    rows=_plan_rows,
    fixed=("points_wanted", "drive_time", "raise_time"),
    advice={
        "points": (
            "Too few points. What does a piece more in each cycle cost in seconds, and what does it bring? Where does a"
            " piece bring most, and what happens when it is full there?"
        ),
    },
    hints=(
        "Look at 'All numbers' of the bench: how many pieces come to the first goal, and how many to the next one?",
        "On a bad day there are fewer cycles. Is the first goal still filled then?",
    ),
)

STAND_INS = (PAIR, THRESHOLD, PLAN)
EXERCISES = (PREDICT, OVERLAP, MEAN, JAMS, PIECES, SECOND, STEP, UNEVEN, SET, POINTS, LEAVE, ORDER, DESIGN, SHOP)

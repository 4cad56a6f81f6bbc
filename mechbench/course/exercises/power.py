"""Exercises of lesson 11: sag, heat and fuse over a match, and how fast a move may be under control."""

import math
from dataclasses import replace

import numpy as np

from mechbench.course.exercise import Challenge, Choice, Item, Option, Order, Prediction, Quantity, Shop, Shown, Slip
from mechbench.course.learner_numbers import in_unit, rounded
from mechbench.course.on_bench import found, opened
from mechbench.kits.pairing import loose, reducing

# --- predict, then slide -------------------------------------------------------------------------------------------


def _shape_shown(kit):
    """The highest current of one motor with both plans."""
    corners, soft = found("power", kit, "profile", ("trapezoid", "cycloidal")).current
    numbers = {"corners": (corners, "A"), "soft": (soft, "A"), "time": (opened("power", kit)["time_wanted"], "s")}
    because = (
        "For a move of {time} the trapezoid needs up to {corners}, the soft plan up to {soft}. Soft ends take time, so"
        " the middle has to be quicker, and to get there the push is higher."
    )
    close = abs(soft / corners - 1) < 0.01
    return Shown("same" if close else "soft" if soft > corners else "corners", because, numbers)


PREDICT = Prediction(
    id="power-which-shape",
    lesson="power",
    title="Soft or with corners?",
    text=(
        "A move of an arm is planned in two ways: the same angle in the same time. In the first plan the speed is a"
        " trapezoid: it speeds up evenly, runs evenly, slows down evenly. The second plan is cycloidal: it starts and"
        " ends so softly that nothing jerks. Which plan needs the higher current?"
    ),
    options=(
        Option(
            "corners",
            "The trapezoid, because of its sudden start.",
            (
                "It is true that a sudden start shakes the arm. The surprise: the push of a trapezoid is even, and an"
                " even push has a low peak."
            ),
        ),
        Option("soft", "The soft one.", "A good thought: who starts softly has to catch up."),
        Option(
            "same",
            "Both the same: same angle, same time.",
            (
                "It is true that angle and time are the same. The surprise: how the push is spread over the time"
                " makes its peak."
            ),
        ),
    ),
    hints=(),
    explain="Now choose the two shapes on the bench, and read the highest current of each.",
    shows=_shape_shown,
)


# --- sag -----------------------------------------------------------------------------------------------------------


def _sag_rows_1(kit):
    source, inner = in_unit(kit.battery.open_circuit, "V"), in_unit(kit.battery.resistance, "ohm")
    cases = ((4, 5.5, 6), (4, 6.5, 4), (3, 8, 5), (4, 7.5, 3), (3, 7.5, 8), (4, 6, 7), (3, 9, 3.5), (4, 7, 2))
    return [
        {"source": source, "inner": inner, "count": (n, ""), "each": (each, "A"), "others": (others, "A")}
        for n, each, others in cases
    ]


def _sag_rows(kit):
    """The same numbers as before, judged more strictly."""
    return _sag_rows_1(kit)


# As it was asked before: with 3 % a current that was left out was not seen, because the battery sags so little.
_SAG_1 = Quantity(
    id="power-sag",
    lesson="power",
    title="What is left of the battery",
    text=(
        "A battery has {source} with nothing switched on. Battery and wires have {inner}. Now {count} drive motors take"
        " {each} each, and everything else together takes {others}. All are fully switched on. What is the voltage of"
        " the battery?"
    ),
    kind="voltage",
    unit="V",
    rows=_sag_rows_1,
    answer=lambda r: r.source - r.inner * (r.count * r.each + r.others),
    slips=(
        Slip(
            "one motor only",
            lambda r: r.source - r.inner * r.each,
            "You took the current of one motor. Every ampere flows through the same battery: add up all of them first.",
        ),
        Slip(
            "resistance doubled",
            lambda r: r.source - 2 * r.inner * (r.count * r.each + r.others),
            "You counted the resistance twice. The number given holds the whole way already: battery, and wires there"
            " and back.",
        ),
        Slip(
            "sag only",
            lambda r: r.inner * (r.count * r.each + r.others),
            "That is how much the voltage falls. Asked is how much is left.",
        ),
    ),
    near=(
        "Perhaps one of the currents is missing, or counted too often: {count} motors take {each} each, and all else"
        " {others} together."
    ),
    hints=(
        "How many amperes flow through the battery, all together?",
        "Resistance times that current is what the voltage falls. Subtract it from the voltage without load.",
    ),
    explain=(
        "All currents together, times the resistance, is lost inside the battery. {answer} are left, for every motor"
        " on it."
    ),
)

SAG = replace(_SAG_1, revision=2, rows=_sag_rows, tolerance=0.01, earlier=(_SAG_1,))


# --- rms -----------------------------------------------------------------------------------------------------------

# As it was asked before: with a lift that moves for 1 s, so that a step that is left out changed nothing.
_RMS_1 = Quantity(
    id="power-heating-current",
    lesson="power",
    title="A current that heats as much",
    text=(
        "A lift motor takes {high} for {moving}, then holds its load with {low} for {waiting}. Again and again. Which"
        " constant current would heat its winding just as much?"
    ),
    kind="current",
    unit="A",
    rows=tuple(
        {"high": (high, "A"), "moving": (moving, "s"), "low": (low, "A"), "waiting": (waiting, "s")}
        for high, moving, low, waiting in (
            (7, 1, 1, 3),
            (8, 1, 1.5, 4),
            (6, 1.5, 0.8, 4),
            (9, 1, 1.2, 5),
            (7.5, 0.8, 0.9, 2.8),
            (6.5, 1.2, 1.1, 5),
            (8.5, 0.6, 1.4, 3),
            (9.5, 0.9, 1.6, 6),
        )
    ),
    answer=lambda r: np.sqrt((r.high**2 * r.moving + r.low**2 * r.waiting) / (r.moving + r.waiting)),
    slips=(
        Slip(
            "mean current",
            lambda r: (r.high * r.moving + r.low * r.waiting) / (r.moving + r.waiting),
            "That is the mean current. It tells how soon the battery is empty. Heat goes with the square: square each"
            " current before you take the mean.",
        ),
        Slip(
            "highest current",
            lambda r: r.high,
            "You let the highest current flow all the time. It flows only while the lift moves.",
        ),
        Slip(
            "root forgotten",
            lambda r: (r.high**2 * r.moving + r.low**2 * r.waiting) / (r.moving + r.waiting),
            "That is the mean of the squares. Its unit is ampere squared: one step is missing.",
        ),
    ),
    hints=(
        "How much does each part count? Square of the current, times how long it flows.",
        "Add both parts, divide by the whole time of one round, then take the square root.",
    ),
    explain=(
        "Squares, their mean over the time, and the root: {answer}. It is more than the mean current, because high"
        " currents count so much."
    ),
)

RMS = replace(
    _RMS_1,
    revision=2,
    rows=tuple(
        {"high": (high, "A"), "moving": (moving, "s"), "low": (low, "A"), "waiting": (waiting, "s")}
        for high, moving, low, waiting in (
            (8.5, 0.5, 1.8, 4),
            (9, 0.5, 2, 3.5),
            (9, 0.6, 1.8, 5),
            (6.5, 0.6, 1.5, 3.5),
            (7, 0.7, 2.2, 5),
            (6.5, 0.7, 2, 6),
            (7, 0.5, 1.6, 3),
            (7.5, 0.8, 2.2, 6),
        )
    ),
    slips=(
        *_RMS_1.slips,
        Slip(
            "times not counted",
            lambda r: np.sqrt((r.high**2 + r.low**2) / 2),
            "You gave both currents the same weight. The low one flows much longer: multiply each square by its time.",
        ),
        Slip(
            "not divided by the time",
            lambda r: np.sqrt(r.high**2 * r.moving + r.low**2 * r.waiting),
            "You took the root of the sum. Divide it by the whole time of one round first.",
        ),
        Slip(
            "low current left out",
            lambda r: np.sqrt(r.high**2 * r.moving / (r.moving + r.waiting)),
            "You left out the low current. It is small, but it flows for a long time.",
        ),
        Slip(
            "plain mean of the currents",
            lambda r: (r.high + r.low) / 2,
            "You took the middle of the two currents. Heat goes with the square, and each current flows for another"
            " time.",
        ),
    ),
    earlier=(_RMS_1,),
)


# --- heat in a match -----------------------------------------------------------------------------------------------


def _match(kit):
    return kit.roles.match.self_driving + kit.roles.match.driven


def _heat_rows_1(kit):
    cases = ((5, 1.5, 6), (6, 1.2, 5), (4.5, 1.6, 8), (7, 1.2, 6), (5.5, 1.4, 7), (6.5, 1, 8), (4, 2, 7), (7.5, 0.8, 5))
    return _heat_cases(kit, cases)


def _heat_rows(kit):
    """Cycles that fit a whole number of times into the match: who counts whole cycles is right, too."""
    cases = (
        (5, 1.5, 6.25),
        (6, 1.2, 5),
        (4.5, 1.6, 8),
        (7, 1.2, 6.25),
        (5.5, 1.4, 5),
        (6.5, 1, 8),
        (4, 2, 10),
        (7.5, 1, 5),
    )
    return _heat_cases(kit, [(amps, on, _that_fits(_match(kit), whole)) for amps, on, whole in cases])


def _that_fits(match, whole):
    """The time of a cycle near to `whole`, a hair too short rather than too long."""
    return math.floor(100 * match / max(round(match / whole), 1)) / 100


def _heat_cases(kit, cases):
    table = kit.table("motors")
    inner = in_unit(rounded(table.row(table.usual)["resistance"], 3), "ohm")
    return [
        {
            "amps": (amps, "A"),
            "moving": (on, "s"),
            "round": (whole, "s"),
            "inner": inner,
            "match": in_unit(_match(kit), "s"),
        }
        for amps, on, whole in cases
    ]


# As it was asked before: where the last cycle of a match is cut off, who counted whole cycles was wrong.
_HEAT_1 = Quantity(
    id="power-heat-of-a-match",
    lesson="power",
    title="Heat of a whole match",
    text=(
        "The winding of an arm's motor has {inner}. Each cycle of {round} the arm moves for {moving}, and {amps} flow;"
        " the rest of the cycle no current flows. How much heat does the winding make in a match of {match}?"
    ),
    kind="energy",
    unit="J",
    rows=_heat_rows_1,
    answer=lambda r: r.amps**2 * r.inner * r.match * r.moving / r.round,
    slips=(
        Slip(
            "not squared",
            lambda r: r.amps * r.inner * r.match * r.moving / r.round,
            "You multiplied current and resistance: that is a voltage. Heat in each second is current squared times"
            " resistance.",
        ),
        Slip(
            "whole match",
            lambda r: r.amps**2 * r.inner * r.match,
            "You let the current flow for the whole match. In each cycle it flows for {moving} only.",
        ),
        Slip(
            "mean current squared",
            lambda r: (r.amps * r.moving / r.round) ** 2 * r.inner * r.match,
            "You took the mean current and squared it. Square first, then take the mean: otherwise the rest hides the"
            " heat of the move.",
        ),
    ),
    hints=(
        "How many seconds of the match does the arm move?",
        "Heat in each of these seconds: current × current × resistance, in watt. One watt for one second is one joule.",
    ),
    explain="Heat of one second, times the seconds in which current flows: {answer}.",
)

HEAT = replace(
    _HEAT_1,
    revision=2,
    rows=_heat_rows,
    slips=(
        *_HEAT_1.slips,
        Slip(
            "one cycle",
            lambda r: r.amps**2 * r.inner * r.moving,
            "That is the heat of one cycle. How many cycles are in a match?",
        ),
        Slip(
            "the rest of the cycle",
            lambda r: r.amps**2 * r.inner * r.match * (1 - r.moving / r.round),
            "You let the current flow while the arm rests. It flows for {moving} of each cycle.",
        ),
        Slip(
            "resistance squared",
            lambda r: r.amps * r.inner**2 * r.match * r.moving / r.round,
            "You squared the resistance. It is the current that counts twice: current × current × resistance.",
        ),
    ),
    earlier=(_HEAT_1,),
)


# --- energy in the battery -----------------------------------------------------------------------------------------


def _energy_rows(kit):
    charge = in_unit(kit.battery.capacity, "A·h")
    nominal = rounded(kit.battery.open_circuit * 0.88, 3)
    cases = ((180, 40), (220, 35), (150, 65), (260, 30), (200, 45), (240, 55), (160, 60), (300, 25))
    return [
        {"charge": charge, "volts": in_unit(nominal, "V"), "power": (power, "W"), "share": (share, "%")}
        for power, share in cases
    ]


ENERGY = Quantity(
    id="power-how-long",
    lesson="power",
    title="How long does the battery last?",
    text=(
        "A battery holds {charge}. While it is used its voltage is about {volts}. The robot takes {power} while it"
        " drives, and it drives {share} of the time; the rest of the time it takes nothing worth counting. After how"
        " many minutes is the battery empty?"
    ),
    kind="time",
    unit="min",
    rows=_energy_rows,
    answer=lambda r: r.charge * r.volts / (r.power * r.share),
    slips=(
        Slip(
            "voltage forgotten",
            lambda r: r.charge / (r.power * r.share),
            "You divided charge by power. Charge is no energy yet: ampere-hours times volts are watt-hours.",
        ),
        Slip(
            "driving all the time",
            lambda r: r.charge * r.volts / r.power,
            "You let it drive all the time. It drives {share} of the time.",
        ),
        Slip(
            "rest for drive",
            lambda r: r.charge * r.volts / (r.power * (1 - r.share)),
            "You took the share of the time in which it rests.",
        ),
        Slip(
            "hours for minutes",
            lambda r: r.charge * r.volts / (r.power * r.share) / 60,
            "Look at your unit: no battery is empty so soon. An hour has 60 minutes, and a minute 60 seconds.",
        ),
        Slip(
            "times the share",
            lambda r: r.charge * r.volts / r.power * r.share,
            "You made it last less long because it rests. It takes power for a share of the time only, so it lasts"
            " longer: divide by the share.",
        ),
    ),
    hints=(
        "How many watt-hours are in the battery? Ampere-hours times volts.",
        "What is the mean power? Then: hours = watt-hours / watt, and an hour has 60 minutes.",
    ),
    explain="Energy in the battery divided by mean power: {answer}. A cold or old battery gives less.",
)


# --- shape of a move -----------------------------------------------------------------------------------------------

TOP_SPEED = Quantity(
    id="power-top-speed",
    lesson="power",
    title="How fast in the middle?",
    text=(
        "An arm turns through {angle} in {time}, from rest to rest. Its speed is a trapezoid of thirds: a third of the"
        " time it speeds up, a third it runs evenly, a third it slows down. How fast does it turn in the middle?"
    ),
    kind="turning-speed",
    unit="deg/s",
    rows=tuple(
        {"angle": (angle, "deg"), "time": (time, "s")}
        for angle, time in (
            (150, 1.2),
            (110, 0.8),
            (170, 1.1),
            (95, 0.6),
            (130, 0.9),
            (160, 1.4),
            (85, 0.7),
            (125, 1.3),
        )
    ),
    answer=lambda r: 1.5 * r.angle / r.time,
    slips=(
        Slip(
            "mean speed",
            lambda r: r.angle / r.time,
            "That is the mean speed. At the start and at the end the arm is slower, so in the middle it must be"
            " faster.",
        ),
        Slip(
            "as a triangle",
            lambda r: 2 * r.angle / r.time,
            "You treated it as a triangle, which speeds up for half of the time. Here a third of the time runs evenly"
            " at the highest speed.",
        ),
        Slip(
            "only the middle third",
            lambda r: 3 * r.angle / r.time,
            "You let it turn in the middle third alone. In the other two thirds it turns as well, at half of that speed"
            " on average.",
        ),
        Slip(
            "two thirds for three halves",
            lambda r: r.angle / r.time / 1.5,
            "You took two thirds of the mean speed. In the middle the arm is faster than the mean: divide by two"
            " thirds.",
        ),
        Slip(
            "four thirds",
            lambda r: r.angle / r.time * 4 / 3,
            "The thirds count 1/2 + 1 + 1/2, which is 2 of 3. Speed × two thirds of the time is the angle.",
        ),
    ),
    hints=(
        "In the first and in the last third the mean speed is half of the highest.",
        "So the three thirds count 1/2 + 1 + 1/2 = 2: the angle is the highest speed times two thirds of the time.",
    ),
    explain="The angle is highest speed × 2/3 of the time, so the highest speed is 3/2 × angle / time: {answer}.",
    short=True,
)


def _loop_rows(kit):
    loop = in_unit(kit.controller.loop_time, "ms")
    cases = ((150, 5), (110, 4), (170, 6), (95, 3), (130, 3.5), (160, 4.5), (120, 2.5), (140, 5.5))
    return [{"angle": (angle, "deg"), "loop": loop, "error": (error, "deg")} for angle, error in cases]


LOOP = Quantity(
    id="power-shortest-time",
    lesson="power",
    title="As fast as the program can watch",
    text=(
        "A program looks at its arm once every {loop}. Between two looks the arm must not turn further than {error}."
        " The arm must turn through {angle}, as a trapezoid of thirds. What is the shortest time for that?"
    ),
    kind="time",
    unit="s",
    rows=_loop_rows,
    answer=lambda r: 1.5 * r.angle * r.loop / r.error,
    slips=(
        Slip(
            "mean speed",
            lambda r: r.angle * r.loop / r.error,
            "You let the arm turn at its highest speed all the way. It has to speed up and slow down, so it takes"
            " longer.",
        ),
        Slip(
            "as a triangle",
            lambda r: 2 * r.angle * r.loop / r.error,
            "You treated it as a triangle. A trapezoid of thirds is at its highest speed for a third of the time, so it"
            " is quicker than that.",
        ),
        Slip(
            "only the middle third",
            lambda r: 3 * r.angle * r.loop / r.error,
            "You let it turn in the middle third alone. It turns in the other two thirds as well.",
        ),
        Slip(
            "two thirds for three halves",
            lambda r: r.angle * r.loop / r.error / 1.5,
            "You took two thirds of the time at full speed. The arm speeds up and slows down, so it takes longer"
            " than that, not shorter.",
        ),
        Slip(
            "number of looks",
            lambda r: r.angle / r.error,
            "That is how often the program looks on the way at full speed. Each time it takes {loop}.",
        ),
    ),
    hints=(
        "How fast may it turn at most? The angle between two looks, divided by the time between them.",
        "In a trapezoid of thirds the highest speed is 3/2 × angle / time. Solve for the time.",
    ),
    explain=(
        "Highest speed allowed, then 3/2 × angle divided by that speed: {answer}. If the drive needs longer, the drive"
        " limits; if not, the program."
    ),
)


# --- encoder -------------------------------------------------------------------------------------------------------


def _counts(motors):
    """Counts of the usual motor's encoder, else of the first motor that has one; a gearmotor's may sit elsewhere."""
    counts = (motors.row(name)["counts_per_turn"] for name in (motors.usual, *motors.names) if name in loose(motors))
    return next(count for count in counts if np.isfinite(count))


def _encoder_rows(kit):
    motors, boxes = kit.table("motors"), kit.table("gearboxes")
    counts = _counts(motors)
    ratios = [boxes.row(name)["ratio"] for name in reducing(boxes)]
    places = [place for place in (4, 3, 5, 2, 6, 1, 7) if place < len(ratios)]
    return [{"counts": (counts, ""), "ratio": (rounded(ratios[place], 4), "")} for place in places]


ENCODER = Quantity(
    id="power-encoder-step",
    lesson="power",
    title="One step of the encoder",
    text=(
        "An encoder on a motor gives {counts} counts in one turn of the motor. Between motor and arm is a gearbox of"
        " {ratio}:1. Which angle of the arm is one count?"
    ),
    kind="angle",
    unit="deg",
    rows=_encoder_rows,
    answer=lambda r: 2 * np.pi / (r.counts * r.ratio),
    slips=(
        Slip(
            "gearbox forgotten",
            lambda r: 2 * np.pi / r.counts,
            "That is one count at the motor. The arm turns less: the motor makes {ratio} turns for one turn of the"
            " arm.",
        ),
        Slip(
            "gearbox upside down",
            lambda r: 2 * np.pi / r.counts * r.ratio,
            "You multiplied by the ratio. The motor turns {ratio} times for one turn of the arm, so there are more"
            " counts in a turn of the arm.",
        ),
        Slip(
            "counts of one degree",
            lambda r: np.radians(r.counts * r.ratio / 360),
            "That is how many counts there are in one degree of the arm. Asked is how many degrees one count is.",
        ),
        Slip(
            "share of a turn",
            lambda r: np.radians(1 / (r.counts * r.ratio)),
            "That is which share of a turn one count is. A turn has 360 deg.",
        ),
        Slip(
            "counts of a turn",
            lambda r: np.radians(r.counts * r.ratio),
            "That is how many counts a whole turn of the arm has. A turn is 360 deg: how much of it is one count?",
        ),
    ),
    hints=(
        "How many turns does the motor make for one turn of the arm? How many counts are that?",
        "One turn is 360 deg. Divide it by that number of counts.",
    ),
    explain=(
        "One count is {answer} of the arm. The play of a gearbox is often several times as much, and the encoder on the"
        " motor does not see it."
    ),
    short=True,
)


# --- reasons -------------------------------------------------------------------------------------------------------

RESET = Choice(
    id="power-reset",
    lesson="power",
    title="It restarts when the arm starts",
    text=(
        "Whenever the arm starts, the battery sags so far that the electronics restart. Which change helps for certain?"
    ),
    options=(
        Option(
            "time",
            "Plan the same shape, but give the move more time.",
            "Yes. Twice the time is half the speed and a quarter of the push. Less push is less current, and less"
            " current is less sag.",
            right=True,
        ),
        Option(
            "soft",
            "A cycloidal shape in the same time.",
            "Its start is softer, but its highest push is higher: the same angle has to be done in the same time, and"
            " the soft ends take time.",
        ),
        Option(
            "charge",
            "A battery with more ampere-hours and the same resistance.",
            "It lasts longer, but it sags just as much: sag is resistance times current.",
        ),
        Option(
            "fuse",
            "A larger fuse.",
            "A fuse does not hold the voltage up. A fuse larger than the wires and the rules allow lets the wires"
            " burn.",
        ),
    ),
    hints=(
        "The voltage falls by resistance × current. Which of the four changes makes one of the two smaller?",
        "In half the time the same move takes four times the push.",
    ),
    explain="Less current at the worst moment is the way out: more time, or not everything at the same moment.",
    short=True,
)

FUSE = Choice(
    id="power-fuse",
    lesson="power",
    title="The fuse melts near the end",
    text="The fuse melts in the last half minute, though no current was much higher than what is printed on it. Why?",
    options=(
        Option(
            "patience",
            "A small overload uses up its patience slowly.",
            "Yes. A little above its rating it lasts for some time, far above it only for a moment. Shares of that"
            " add up.",
            right=True,
        ),
        Option(
            "average",
            "Its mean current over the match was too high.",
            "A mean below the rating does not save it: what counts is how long the current was above the rating, and"
            " how far.",
        ),
        Option(
            "voltage",
            "The battery's voltage was low by then.",
            "A fuse feels current and the time that it flows, not voltage.",
        ),
        Option(
            "broken",
            "It was a bad one. Put in a larger one.",
            "Then the wires are what melts next. Find out who draws the current.",
        ),
    ),
    hints=(
        "How long does a fuse last at a third above its rating (the current printed on it)? And at twice its rating?",
        "What warms up in a fuse, and what makes it cool again?",
    ),
    explain=(
        "A fuse is a thin wire that melts: the more current is too much, the sooner. How soon differs from fuse to"
        " fuse; count on a quick one."
    ),
    short=True,
)

ORDER = Order(
    id="power-heat-order",
    lesson="power",
    title="From cool to hot",
    text="The same motor is used in four ways, for two minutes each. In the pauses no current flows.",
    scale="from the least heat to the most",
    items=(
        Item("one", "1 A all the time"),
        Item(
            "short",
            "4 A for one second in ten",
            "Square it: 16 for a tenth of the time is 1.6, more than 1 all the time, though less charge flows.",
        ),
        Item("two", "2 A all the time", "Twice the current all the time is four times the heat of 1 A."),
        Item(
            "half",
            "4 A for five seconds in ten",
            "16 for half of the time is 8. The mean current is 2 A, but the heat is twice that of 2 A all the time.",
        ),
    ),
    hints=(
        "Square each current, and multiply by the share of the time in which it flows.",
        "1 A all the time counts 1.",
    ),
    explain="They count 1, 1.6, 4 and 8. The mean currents are 1 A, 0.4 A, 2 A and 2 A: they would say something else.",
    short=True,
)


# --- a design ------------------------------------------------------------------------------------------------------

DESIGN = Challenge(
    id="power-design",
    lesson="power",
    title="A drive that keeps up",
    text=(
        "A drive must turn through {angle} in {time_wanted}, against {load_torque}, again and again for a whole match."
        " Everything else on the robot takes {other_current} all the time. Choose the motor, the gearbox and the shape"
        " of the move."
    ),
    sizing="power",
    rows=tuple(
        {
            "angle": (angle, "deg"),
            "time_wanted": (time, "s"),
            "load_torque": (torque, "N·m"),
            "other_current": (amps, "A"),
        }
        for angle, time, torque, amps in (
            (140, 0.8, 1.8, 8),
            (120, 0.7, 1.5, 11),
            (150, 0.9, 2.2, 9),
            (110, 0.7, 2.0, 10),
            (160, 1.0, 2.6, 12),
            (130, 0.8, 2.4, 10),
        )
    ),
    fixed=("angle", "time_wanted", "load_torque", "other_current"),
    ease={"time_wanted": 1.2, "load_torque": 0.85, "other_current": 0.85},
    choose=("motor", "gearbox", "profile"),
    require=(
        "Motor, controller, gearbox, battery, fuse and program all keep up, and nothing gets too hot: on a bad day too."
    ),
    advice={
        "room": (
            "The motor has too little voltage left to follow. If its speed is the trouble, take a smaller ratio; if its"
            " current is, a larger one or the larger motor."
        ),
        "current": "The controller can't give so much current. A larger ratio makes it easier for the motor.",
        "volts": "The battery sags too far: less current helps. A larger ratio, or a shape with a lower peak.",
        "fuse_used": "The fuse melts before the end. A larger ratio takes current away.",
        "rise": "The winding gets too hot. A larger ratio takes current away, and the larger motor stands more heat.",
        "off": "The program can't watch such a speed: choose a shape with a lower highest speed.",
        "strength": (
            "The gearbox is too weak for this push. Take one with more stages or for the larger motor, or a shape with"
            " less push."
        ),
    },
    hints=(
        "Begin with the trapezoid. Which bar is the longest?",
        "Try the next gearbox up and down, and watch speed and current together. Then try another shape.",
    ),
    explain="All keep up, on a bad day too. Which bar is the longest now? That is what you would improve next.",
)


# --- shop at home: the resistance of your battery --------------------------------------------------------------------

AMPS = np.array([0.0, 4.0, 8.0, 12.0, 16.0, 20.0, 24.0])  # A, that are set with lamps or motors


def _battery_test(r, noise):
    """A meter at the battery while more and more is switched on."""
    amps = AMPS + np.where(AMPS > 0, 0.15 * noise.standard_normal(AMPS.size), 0.0)
    volts = r.source - r.inner * amps + 0.02 * noise.standard_normal(AMPS.size)
    return {"current": (amps.round(1), "A"), "voltage": (volts.round(2), "V")}


# As it was asked before its battery was that of the kit.
_SHOP_1 = Quantity(
    id="power-battery-test",
    lesson="power",
    title="How good is your battery?",
    text=(
        "The label of a battery says 12 V. You switch on more and more lamps and motors, and each time read the current"
        " through the battery and its voltage at the same moment. The voltage falls in a straight line. What is the"
        " resistance of your battery with its wires? (It is hidden, and each learner's battery is another one. You may"
        " be further off than usual.)"
    ),
    kind="resistance",
    unit="ohm",
    rows=tuple(
        {"source": (source, ""), "inner": (inner, "")}
        for source, inner in (
            (13.0, 0.142),
            (12.9, 0.163),
            (13.1, 0.128),
            (12.8, 0.185),
            (13.2, 0.151),
            (13.1, 0.204),
            (13.0, 0.174),
            (12.9, 0.135),
        )
    ),
    answer=lambda r: r.inner,
    tolerance=0.06,
    shop=Shop(
        about=f"{AMPS.size} readings of a battery while more and more is switched on.",
        measure=_battery_test,
        fit=lambda columns, r: float(-np.polyfit(columns["current"], columns["voltage"], 1)[0]),
    ),
    slips=(
        Slip(
            "voltage over current",
            lambda r: (r.source - r.inner * AMPS[-1]) / AMPS[-1],
            "You divided a voltage by its current: that is the resistance of the lamps and motors. Asked is how much"
            " the voltage falls for each ampere.",
        ),
        Slip(
            "from the label",
            lambda r: (12.0 - (r.source - r.inner * AMPS[-1])) / AMPS[-1],
            "You counted from the 12 V of the label. Count from the voltage that you read with nothing switched on.",
        ),
    ),
    hints=(
        "By how much did the voltage fall from the first reading to the last? And by how much did the current rise?",
        "Better: a straight line through all points. Its slope, without the minus sign, is the resistance.",
    ),
    explain=(
        "It is {answer}: for each ampere the voltage falls by that many volts. Plugs and thin wires are often half of"
        " that, and they can be made better."
    ),
)


def _battery_rows(kit):
    """Batteries with the label of the kit's own one, a little less than full, and each with wires of its own."""
    full = kit.battery.open_circuit
    cases = (
        (0.2, 0.142),
        (0.3, 0.163),
        (0.1, 0.128),
        (0.4, 0.185),
        (0.0, 0.151),
        (0.1, 0.204),
        (0.2, 0.174),
        (0.3, 0.135),
    )
    label = in_unit(kit.battery.nominal, "V")
    return [{"label": label, "source": (rounded(full - less), ""), "inner": (inner, "")} for less, inner in cases]


SHOP = replace(
    _SHOP_1,
    revision=2,
    text=_SHOP_1.text.replace("12 V", "{label}"),
    rows=_battery_rows,
    slips=(
        _SHOP_1.slips[0],
        Slip(
            "not for each ampere",
            lambda r: r.inner * AMPS[-1],
            "That is how far the voltage falls from the first reading to the last. Asked is how far it falls for each"
            " ampere.",
        ),
    ),
    earlier=(_SHOP_1,),
)


EXERCISES = (PREDICT, SAG, RMS, HEAT, ENERGY, TOP_SPEED, LOOP, ENCODER, RESET, FUSE, ORDER, DESIGN, SHOP)

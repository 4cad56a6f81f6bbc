"""Exercises of lesson 07: parallel, chained and four-bar. Where does the end go, which way does it point, how hard
does it push?
"""

import math
from dataclasses import replace

import numpy as np

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
from mechbench.course.of_game import PIECES_ELSEWHERE
from mechbench.course.on_bench import found

G = 9.81


# --- predict, then slide -------------------------------------------------------------------------------------------


def _chain_shown(kit):
    """How far the second link turns for each turn of the first, with equal sprockets as the bench has."""
    same = kit.filled("sprockets").usual
    swing = {"second_angle": "0 deg", "start_angle": "-30 deg", "end_angle": "60 deg"}
    at = found("chained", kit, base=same, elbow=same, **swing)
    numbers = {
        "turns": in_unit(float(at.turns[0]) * math.pi / 2 + 0.0, "deg"),
        "end": in_unit(float(at.second_at_end[0]) + 0.0, "deg"),
        "teeth": f"{kit.filled('sprockets').row(same)['teeth']:.0f}",
    }
    because = (
        "With {teeth} teeth on both, the second link turns by {turns} while the first one swings by 90 deg: it ends"
        " {end} from level, as it began. Seen from the first link, the chain turns it back just as far as that link"
        " goes up."
    )
    turned = float(at.turns[0])
    return Shown("along" if turned > 0.5 else "against" if turned < -0.5 else "keeps", because, numbers)


PREDICT = Prediction(
    id="linkages-same-teeth",
    lesson="linkages",
    title="Two equal sprockets",
    text=(
        "One sprocket is fixed to the frame and never turns. The other one is fixed to the second link, at the elbow."
        " Both have the same number of teeth, and a chain joins them. The motor swings the first link up by 90 deg."
        " What does the second link do, seen by somebody who stands beside the robot?"
    ),
    options=(
        Option(
            "along",
            "It turns up by 90 deg, together with the first link.",
            (
                "It would, if it were fixed to the first link. The surprise: the chain holds on to the frame, which"
                " does not turn."
            ),
        ),
        Option("keeps", "It keeps its direction.", "A good thought: the chain ties its direction to the frame."),
        Option(
            "against",
            "It turns by 90 deg the other way.",
            (
                "It is true that it turns back by 90 deg, seen from the first link. The surprise: seen from beside"
                " the robot the two turns cancel."
            ),
        ),
    ),
    hints=(),
    explain='Now move the slider "Along the swing" on the bench, and watch the second link.',
    shows=_chain_shown,
)


# --- parallel: how hard do the bars pull ---------------------------------------------------------------------------


def _pull_rows_1(kit):
    return _pull_cases(
        kit,
        (0.24, 140, 50),
        (0.20, 160, 40),
        (0.30, 120, 60),
        (0.26, 150, 45),
        (0.18, 180, 55),
        (0.32, 130, 40),
        (0.22, 170, 65),
        (0.28, 110, 30),
    )


def _pull_rows(kit):
    """No lever is twice the other one, and no holder makes the piece alone weigh what the levers would."""
    return _pull_cases(
        kit,
        (0.24, 140, 50),
        (0.20, 160, 40),
        (0.30, 120, 45),
        (0.26, 150, 45),
        (0.18, 180, 55),
        (0.32, 150, 40),
        (0.22, 170, 60),
        (0.28, 110, 30),
    )


def _pull_cases(kit, *cases):
    piece, label = kit.roles.piece, kit.roles.piece.label
    return [
        {
            "piece": in_unit(piece.mass, "g"),
            "holder": in_unit(holder, "g"),
            "label": label,
            "ahead": (ahead, "mm"),
            "spacing": (spacing, "mm"),
        }
        for holder, ahead, spacing in cases
    ]


# As it was asked before: half the pull, or the pull of the piece alone, could be what another mistake gives.
_PULL_1 = Quantity(
    id="linkages-bar-pull",
    lesson="linkages",
    needs=("piece",),
    elsewhere=PIECES_ELSEWHERE,
    title="The upper bar pulls",
    text=(
        "Two level bars of equal length carry a plate, one bar {spacing} above the other. On the plate sits a holder of"
        " {holder} with one {label} of {piece}; their middle is {ahead} in front of the plate's pins. The weight wants"
        " to tip the plate. Only the upper bar stops that. With how many newtons is the upper bar pulled?"
    ),
    kind="force",
    unit="N",
    rows=_pull_rows_1,
    answer=lambda r: (r.holder + r.piece) * G * r.ahead / r.spacing,
    slips=(
        Slip(
            "lever upside down",
            lambda r: (r.holder + r.piece) * G * r.spacing / r.ahead,
            "You turned the levers round. The weight has the long lever, so the bar, with the short one, must pull"
            " harder than the weight.",
        ),
        Slip(
            "weight only",
            lambda r: (r.holder + r.piece) * G,
            "That is the weight. It tips the plate with a longer lever than the one that the upper bar has.",
        ),
        Slip(
            "piece forgotten",
            lambda r: r.holder * G * r.ahead / r.spacing,
            "You left out what the holder holds.",
        ),
        Slip(
            "mass for weight",
            lambda r: (r.holder + r.piece) * r.ahead / r.spacing,
            "You used kilograms. One kilogram weighs almost 10 N.",
        ),
    ),
    hints=(
        (
            "Take the plate's lower pin as the point about which it wants to tip. Which torque does the weight have"
            " about it?"
        ),
        "The upper bar must give the same torque, with the distance between the pins as its lever.",
    ),
    explain=(
        "Weight × distance in front = pull × distance between the pins. The pull is {answer}, and the lower bar is"
        " pressed as hard."
    ),
)

PULL = replace(
    _PULL_1,
    revision=2,
    rows=_pull_rows,
    slips=(
        *_PULL_1.slips,
        Slip(
            "holder forgotten",
            lambda r: r.piece * G * r.ahead / r.spacing,
            "You left the holder out. It weighs, too, and sits as far in front as the piece.",
        ),
        Slip(
            "shared by both bars",
            lambda r: (r.holder + r.piece) * G * r.ahead / r.spacing / 2,
            "You gave half to each bar. Both feel the whole: one is pulled, the other one is pressed as hard.",
        ),
        Slip(
            "distances added",
            lambda r: (r.holder + r.piece) * G * (r.ahead + r.spacing) / r.spacing,
            "You added the distance between the pins to the weight's lever. The lever is what the weight lies in front"
            " of the pins, nothing more.",
        ),
    ),
    earlier=(_PULL_1,),
)


# --- parallel: what does the motor feel ----------------------------------------------------------------------------

FURTHER = Choice(
    id="linkages-further-out",
    lesson="linkages",
    title="The same piece, further out",
    text=(
        "Two parallel bars of equal length carry a plate. Now the piece is moved: it sits 10 cm further in front of the"
        " plate than before. The motor turns the lower bar slowly. What changes?"
    ),
    options=(
        Option(
            "motor",
            "The motor needs more torque: the lever is longer.",
            "How much higher does the piece come when the bars swing up? Has that changed?",
        ),
        Option(
            "bars",
            "The motor needs as much as before, but the bars and pins are pulled harder.",
            "Yes. The plate does not turn, so the piece rises as much as the pins do, wherever it sits. The pins have"
            " to stop it from tipping.",
            right=True,
        ),
        Option(
            "nothing",
            "Nothing at all.",
            "For the motor that is true. But what stops the plate from tipping forward?",
        ),
        Option(
            "less",
            "The motor needs less torque.",
            "The same piece still rises by the same height. Where would the help come from?",
        ),
    ),
    hints=(
        "The plate keeps its direction. How high does each point of it rise?",
        "The motor pays for height. Which parts must hold against the tipping?",
    ),
    explain=(
        "The motor lifts the weight by the same height, so it needs the same torque. The bars feel the tipping, the"
        " motor does not."
    ),
    short=True,
)


# --- chained: which way does it point ------------------------------------------------------------------------------

# As it was asked before: with rows in which two mistakes gave one direction.
_ANGLE_1 = Quantity(
    id="linkages-chain-angle",
    lesson="linkages",
    title="Which way does it point?",
    text=(
        "The sprocket on the frame has {base} teeth, the one at the elbow has {elbow}. When the first link is level,"
        " the second link points {start} from level. Now the first link swings up to {angle}. Which way does the second"
        " link point, measured from level?"
    ),
    kind="angle",
    unit="deg",
    direction=True,
    rows=tuple(
        {"base": (base, ""), "elbow": (elbow, ""), "start": (start, "deg"), "angle": (angle, "deg")}
        for base, elbow, start, angle in (
            (32, 16, 180, 50),
            (30, 20, 130, 60),
            (12, 16, 70, 80),
            (36, 12, 270, 45),
            (15, 20, 50, 60),
            (40, 16, 240, 60),
            (45, 18, 200, 40),
            (21, 14, 150, 80),
        )
    ),
    answer=lambda r: r.start + r.angle * (1 - r.base / r.elbow),
    slips=(
        Slip(
            "relative for absolute",
            lambda r: r.start - r.angle * r.base / r.elbow,
            "That is how far the second link turned against the first link. But the first link has turned too, and"
            " carried it along.",
        ),
        Slip(
            "ratio upside down",
            lambda r: r.start + r.angle * (1 - r.elbow / r.base),
            "You divided the teeth the wrong way round. n = teeth on the frame / teeth at the elbow: a small sprocket"
            " at the elbow turns far.",
        ),
        Slip(
            "wrong way round",
            lambda r: r.start - r.angle * (1 - r.base / r.elbow),
            "Look at the sign: n below 1 turns the second link up with the first one, n above 1 turns it the other"
            " way.",
        ),
    ),
    hints=(
        "What is n, the teeth on the frame divided by the teeth at the elbow?",
        "Seen from the frame, the second link turns (1 - n) times as far as the first one. Add that to where it began.",
    ),
    explain=(
        "The first link carries it along, and the chain turns it back n times as far. Together: {answer} from level."
    ),
    short=True,
)

ANGLE = replace(
    _ANGLE_1,
    revision=2,
    rows=tuple(
        {"base": (base, ""), "elbow": (elbow, ""), "start": (start, "deg"), "angle": (angle, "deg")}
        for base, elbow, start, angle in (
            (32, 20, 80, 70),
            (30, 20, 70, 80),
            (12, 16, 110, 80),
            (36, 12, 60, 40),
            (15, 20, 90, 80),
            (40, 16, 40, 60),
            (45, 18, 50, 70),
            (21, 14, 60, 70),
        )
    ),
    slips=(
        *_ANGLE_1.slips,
        Slip(
            "start angle forgotten",
            lambda r: r.angle * (1 - r.base / r.elbow),
            "That is how far the second link turns. Add it to where it pointed at the beginning, {start}.",
        ),
        Slip(
            "as one stiff arm",
            lambda r: r.start + r.angle,
            "You let the second link turn as far as the first one, as if they were one stiff bar. The chain turns it"
            " back.",
        ),
        Slip(
            "does not turn",
            lambda r: r.start,
            "You let the second link keep its direction. It does so only with as many teeth on both sprockets.",
        ),
    ),
    earlier=(_ANGLE_1,),
)


# --- chained: in order ---------------------------------------------------------------------------------------------

ORDER = Order(
    id="linkages-chain-order",
    lesson="linkages",
    title="Four pairs of sprockets",
    text=(
        "Four chained arms, with other sprockets each. All second links point level when the first link is level. Now"
        " all first links swing up by 60 deg. Where do the second links point?"
    ),
    scale="from the one that points lowest to the one that points highest",
    items=(
        Item("double", "40 teeth on the frame, 20 at the elbow"),
        Item(
            "more",
            "30 teeth on the frame, 20 at the elbow",
            "The more teeth on the frame, the further the chain turns the second link back.",
        ),
        Item(
            "equal",
            "20 teeth on the frame, 20 at the elbow",
            "With the same number of teeth on both the second link keeps its direction. More teeth on the frame turn it"
            " down.",
        ),
        Item(
            "half",
            "10 teeth on the frame, 20 at the elbow",
            "With few teeth on the frame the chain turns the second link back by only a part, and the rest goes up with"
            " the first link.",
        ),
    ),
    hints=(
        "What is n of each? And 1 - n?",
        "60 deg × (1 - n): below 0 it points down, above 0 it points up.",
    ),
    explain="60 deg down, 30 deg down, level, 30 deg up.",
    short=True,
)


# --- chained: which sprockets --------------------------------------------------------------------------------------

RATIO = Quantity(
    id="linkages-which-ratio",
    lesson="linkages",
    title="Which sprockets?",
    text=(
        "While the first link swings up by {first}, the second link must turn by {second} the other way, seen from the"
        " frame. Which ratio n is needed: teeth on the frame / teeth at the elbow? (A plain number.)"
    ),
    kind="number",
    unit="",
    rows=tuple(
        {"first": (first, "deg"), "second": (second, "deg")}
        for first, second in ((120, 30), (100, 80), (80, 120), (150, 60), (90, 180), (110, 33), (140, 112), (60, 78))
    ),
    answer=lambda r: 1 + r.second / r.first,
    slips=(
        Slip(
            "relative for absolute",
            lambda r: r.second / r.first,
            "You divided the two turns. But n tells how far the second link turns against the first link, which itself"
            " turns the other way: how far apart do they turn?",
        ),
        Slip(
            "same way",
            lambda r: abs(1 - r.second / r.first),
            "You let both links turn the same way. The second one turns the other way, so its turn is below 0.",
        ),
        Slip(
            "ratio upside down",
            lambda r: 1 / (1 + r.second / r.first),
            "That is the teeth at the elbow divided by those on the frame. Asked is the other way round.",
        ),
        Slip(
            "fraction turned round",
            lambda r: 1 + r.first / r.second,
            "You divided the first turn by the second one. Divide the second turn by the first one, then add 1.",
        ),
    ),
    hints=(
        "turn of the second link = turn of the first link × (1 - n). The other way round means: below 0.",
        "1 - n = - second turn / first turn. What is n?",
    ),
    explain=(
        "Against the first link the second one turns by both angles together. Over the first link's turn that is"
        " {answer}."
    ),
    short=True,
)


# --- chained: how high ---------------------------------------------------------------------------------------------

# As it was asked before: where n is 0.5, n and 1 - n are alike, and a mistake was not seen.
_HEIGHT_1 = Quantity(
    id="linkages-tip-height",
    lesson="linkages",
    title="How high is the tip?",
    text=(
        "A chained arm has a first link of {first} and a second link of {second}, and n = {ratio}. When the first link"
        " is level, the second one points {start} from level. Now the first link points {angle} up. How much higher"
        " than the pivot is the tip? (First find which way the second link points. Then read the upward share of both"
        " angles, the sine, from the disc.)"
    ),
    kind="length",
    unit="mm",
    rows=rows_of(
        {"first": "mm", "second": "mm", "ratio": "", "start": "deg", "angle": "deg"},
        (
            (300, 240, 2, 75, 30),
            (360, 200, 2, 60, 15),
            (320, 300, 1.5, 60, 30),
            (340, 200, 2, 45, 30),
            (460, 340, 0.5, -15, 60),
            (500, 240, 2.5, 60, 30),
            (300, 240, 1.5, 45, 60),
        ),
    ),
    answer=lambda r: r.first * np.sin(r.angle) + r.second * np.sin(r.start + r.angle * (1 - r.ratio)),
    slips=(
        Slip(
            "second link never turned",
            lambda r: r.first * np.sin(r.angle) + r.second * np.sin(r.start),
            "You let the second link point where it pointed at the beginning. The chain has turned it.",
        ),
        Slip(
            "relative for absolute",
            lambda r: r.first * np.sin(r.angle) + r.second * np.sin(r.start - r.angle * r.ratio),
            "You used the turn against the first link for the second link's direction. Measure both links from level.",
        ),
        Slip(
            "both links in one line",
            lambda r: (r.first + r.second) * np.sin(r.angle),
            "You let both links point the same way. The second one has a direction of its own.",
        ),
        Slip(
            "cosine for sine",
            lambda r: r.first * np.cos(r.angle) + r.second * np.cos(r.start + r.angle * (1 - r.ratio)),
            "You used the sideways share, the cosine. Asked is the height.",
        ),
    ),
    hints=(
        "Direction of the second link from level: where it began + {angle} × (1 - n).",
        (
            "Height of the elbow: {first} × sine of {angle}. On top of it comes the second link × the sine of its own"
            " direction."
        ),
    ),
    explain="Elbow first, then the second link with its own direction from level: {answer} above the pivot.",
)

# As it was asked before: in the last row the tip was 5 mm up, less than what the disc's two digits may be off.
_HEIGHT_2 = replace(
    _HEIGHT_1,
    revision=2,
    rows=rows_of(
        {"first": "mm", "second": "mm", "ratio": "", "start": "deg", "angle": "deg"},
        (
            (280, 340, 2, 45, 30),
            (280, 360, 2, 60, 15),
            (300, 300, 1.5, 60, 30),
            (280, 360, 2.5, 60, 30),
            (460, 260, 3, 15, 30),
            (380, 340, 2, 45, 60),
            (300, 360, 2.5, 45, 60),
        ),
    ),
    slips=(
        *_HEIGHT_1.slips,
        Slip(
            "start angle forgotten",
            lambda r: r.first * np.sin(r.angle) + r.second * np.sin(r.angle * (1 - r.ratio)),
            "You took only the turn of the second link. It began {start} from level: add the turn to that.",
        ),
        Slip(
            "elbow only",
            lambda r: r.first * np.sin(r.angle),
            "That is how high the elbow is. The second link goes on from there.",
        ),
        Slip(
            "n for 1 - n",
            lambda r: r.first * np.sin(r.angle) + r.second * np.sin(r.start + r.angle * r.ratio),
            "You turned the second link by n times {angle}. Seen from the frame it turns by 1 - n times as much.",
        ),
    ),
    earlier=(_HEIGHT_1,),
)

HEIGHT = replace(
    _HEIGHT_2,
    revision=3,
    rows=(
        *_HEIGHT_2.rows[:-1],
        {"first": (400, "mm"), "second": (260, "mm"), "ratio": (2.5, ""), "start": (45, "deg"), "angle": (60, "deg")},
    ),
    earlier=(_HEIGHT_1, _HEIGHT_2),
)


# --- chained: what the motor feels ---------------------------------------------------------------------------------

# As it was asked before: where n is 0.5, n and 1 - n are alike, and a mistake was not seen.
_TORQUE_1 = Quantity(
    id="linkages-chain-torque",
    lesson="linkages",
    title="What does the one motor feel?",
    text=(
        "The first link of a chained arm is level and {first} long. The second link also points level to the front, and"
        " is {second} long. At the tip hang {force}; leave the links' own weight out. The chain has n = {ratio}. How"
        " much torque does the motor at the pivot need? (The second link turns 1 - n times as far as the first one, so"
        " its length counts 1 - n times.)"
    ),
    kind="torque",
    unit="N·m",
    rows=tuple(
        {"first": (first, "mm"), "second": (second, "mm"), "force": (force, "N"), "ratio": (ratio, "")}
        for first, second, force, ratio in (
            (400, 250, 6, 1.5),
            (450, 200, 5, 2),
            (350, 250, 8, 0.5),
            (500, 300, 4, 1.25),
            (420, 240, 7, 1.5),
            (380, 300, 5.5, 0.5),
            (480, 260, 6.5, 1.5),
            (360, 180, 9, 1.6),
        )
    ),
    answer=lambda r: r.force * (r.first + (1 - r.ratio) * r.second),
    slips=(
        Slip(
            "both joints added",
            lambda r: r.force * (r.first + 2 * r.second),
            "You added the torque at the elbow to the torque at the pivot. But one motor moves both: it pays for the"
            " height that the weight gains, nothing else.",
        ),
        Slip(
            "as one stiff arm",
            lambda r: r.force * (r.first + r.second),
            "That would be a stiff arm. Here the chain turns the second link by another angle than the first.",
        ),
        Slip(
            "second link forgotten",
            lambda r: r.force * r.first,
            "You left the second link out. That is right only for n = 1, where it does not turn.",
        ),
        Slip(
            "relative for absolute",
            lambda r: r.force * abs(r.first - r.ratio * r.second),
            "You let the second link's length count n times. That is how far it turns against the first link. Seen from"
            " the frame it turns 1 - n times as far.",
        ),
    ),
    hints=(
        (
            "Swing the first link up a little. How much does the elbow rise? Does the second link turn up with it, or"
            " down?"
        ),
        "Torque = weight × (first length + (1 - n) × second length), while both are level.",
    ),
    explain=(
        "The motor pays for height: the first link lifts the weight, the second one adds 1 - n times its length."
        " Together {answer}."
    ),
)

TORQUE = replace(
    _TORQUE_1,
    revision=2,
    rows=tuple(
        {"first": (first, "mm"), "second": (second, "mm"), "force": (force, "N"), "ratio": (ratio, "")}
        for first, second, force, ratio in (
            (400, 250, 6, 1.5),
            (450, 200, 5, 1.6),
            (350, 250, 8, 0.4),
            (500, 300, 4, 1.25),
            (420, 240, 7, 1.4),
            (380, 300, 5.5, 0.75),
            (480, 270, 6.5, 1.75),
            (360, 180, 9, 1.6),
        )
    ),
    slips=(
        *_TORQUE_1.slips,
        Slip(
            "n for 1 - n",
            lambda r: r.force * (r.first + r.ratio * r.second),
            "You added n times the second length. Seen from the frame the second link turns 1 - n times as far: count"
            " its length so often.",
        ),
        Slip(
            "second link the wrong way",
            lambda r: r.force * (r.first - (1 - r.ratio) * r.second),
            "Look at the sign of 1 - n. Above 0 the second link goes up with the first one and adds to the torque;"
            " below 0 it goes down and takes from it.",
        ),
    ),
    earlier=(_TORQUE_1,),
)


# --- four-bar: how hard does it push -------------------------------------------------------------------------------

FORCE = Quantity(
    id="linkages-tip-force",
    lesson="linkages",
    title="How hard does it push?",
    text=(
        "A four-bar: while the drive turns the input link by {turn_in}, the output link turns by {turn_out}. The drive"
        " gives {torque}. An arm of {length} sits on the output link. With which force does its tip push, if nothing is"
        " lost?"
    ),
    kind="force",
    unit="N",
    rows=rows_of(
        {"turn_in": "deg", "turn_out": "deg", "torque": "N·m", "length": "mm"},
        (
            (12, 5, 0.8, 300),
            (9, 6, 1.2, 250),
            (6, 10, 1.5, 200),
            (14, 4, 0.6, 350),
            (8, 5, 0.9, 280),
            (5, 8, 1.8, 240),
            (15, 6, 0.7, 320),
            (7, 4, 1.1, 260),
        ),
    ),
    answer=lambda r: r.torque * r.turn_in / r.turn_out / r.length,
    slips=(
        Slip(
            "advantage upside down",
            lambda r: r.torque * r.turn_out / r.turn_in / r.length,
            "You turned the ratio round. The link that turns less is the one with more torque.",
        ),
        Slip(
            "torque as if direct",
            lambda r: r.torque / r.length,
            "You let the output have the drive's own torque. It turns by another angle than the input, so its torque"
            " is another one.",
        ),
        Slip(
            "torque times length",
            lambda r: r.torque * r.turn_in / r.turn_out * r.length,
            "You multiplied the torque by the arm's length. A longer arm pushes less: divide.",
        ),
        Slip(
            "length left out",
            lambda r: r.torque * r.turn_in / r.turn_out,
            "That is the torque of the output. Asked is the force at the arm's tip: divide by its length in metres.",
        ),
    ),
    hints=(
        "No work is lost: torque × angle is the same at input and output. Which one turns less?",
        "Torque of the output, divided by the arm's length in metres.",
    ),
    explain=(
        "Torque grows as the angle shrinks: torque × turn of the input / turn of the output. Over the arm's length:"
        " {answer}."
    ),
)


# --- four-bar: do the links meet -----------------------------------------------------------------------------------


def _diagonal_squared(r):
    """The square of the distance from the end of the input link to the other pivot, by the law of cosines."""
    return r.input**2 + r.ground**2 - 2 * r.input * r.ground * np.cos(r.angle)


DIAGONAL = Quantity(
    id="linkages-diagonal",
    lesson="linkages",
    title="Do the links meet?",
    text=(
        "A four-bar has an input link of {input}. Its two pivots are {ground} apart. The input link stands at {angle}"
        " from the line between the pivots. How far is the end of the input link from the other pivot? Coupler and"
        " output link together must be longer than that. (Draw it to scale and measure, or use distance² = input² +"
        " ground² - 2 × input × ground × cos(angle); cos stands in the disc.)"
    ),
    kind="length",
    unit="mm",
    rows=tuple(
        {"input": (first, "mm"), "ground": (ground, "mm"), "angle": (angle, "deg")}
        for first, ground, angle in (
            (90, 120, 60),
            (80, 150, 45),
            (110, 140, 60),
            (100, 130, 30),
            (70, 110, 60),
            (120, 160, 45),
            (85, 100, 60),
            (95, 145, 45),
        )
    ),
    answer=lambda r: np.sqrt(_diagonal_squared(r)),
    slips=(
        Slip(
            "plus for minus",
            lambda r: np.sqrt(r.input**2 + r.ground**2 + 2 * r.input * r.ground * np.cos(r.angle)),
            "You added where you should subtract. Check with a small angle: then the end comes near to the other"
            " pivot.",
        ),
        Slip(
            "as if a right angle",
            lambda r: np.sqrt(r.input**2 + r.ground**2),
            "You left out the part with the cosine. Without it the formula holds for 90 deg only.",
        ),
        *(
            Slip(
                f"root forgotten, in {unit}",
                # A number of square millimetres, written as millimetres.
                lambda r, per_metre=per_metre: per_metre * _diagonal_squared(r),
                "You forgot the square root: the formula gives the square of the distance.",
            )
            for unit, per_metre in (("m", 1), ("cm", 100), ("mm", 1000))
        ),
        Slip(
            "the 2 forgotten",
            lambda r: np.sqrt(_diagonal_squared(r) + r.input * r.ground * np.cos(r.angle)),
            "You left the 2 out: 2 × input × ground × cos is subtracted.",
        ),
        Slip(
            "lengths subtracted",
            lambda r: r.ground - r.input,
            "You subtracted the lengths. That is so only while the input link lies on the line between the pivots.",
        ),
    ),
    hints=(
        (
            "On paper: the line between the pivots, then the angle, then the input link. Measure from its end to the"
            " other pivot."
        ),
        "With the formula: find the three parts first, add and subtract, and take the square root at the end.",
    ),
    explain=(
        "The distance is {answer}. If coupler and output are shorter together, they can't meet: the linkage can't reach"
        " this position. At other angles of the input link it may work."
    ),
)


# --- four-bar: stuck -----------------------------------------------------------------------------------------------

STUCK = Choice(
    id="linkages-toggle",
    lesson="linkages",
    title="Coupler and output in one line",
    text=(
        "The drive turns the input link of a four-bar further and further. Coupler and output link come nearer and"
        " nearer to one straight line. What happens?"
    ),
    options=(
        Option(
            "strong",
            "The output gets stronger and stronger, so it is a good place for a lift.",
            "The coupler now pulls almost along the output link. Which part of its pull still turns the output?",
        ),
        Option(
            "stuck",
            "The drive needs more and more torque, the pins are pulled very hard, and it jams.",
            "Yes. The coupler then pulls along the output link, not across it. Or it snaps through. So stay above about"
            " 40 deg between them.",
            right=True,
        ),
        Option(
            "slow",
            "The output turns more slowly, and that is all.",
            "For each degree of the input it even turns faster. What does that cost? Look at the torque that is asked"
            " near that place, on the bench.",
        ),
        Option(
            "turns",
            "Nothing special: every four-bar can turn all the way round.",
            "Only some can: Grashof, among all numbers of the bench, tells which. But look at the pull in the coupler"
            " near"
            " one straight line: which part of it still turns the output?",
        ),
    ),
    hints=(
        "Push a door at its edge, straight towards the hinges. Does it turn?",
        "Only the part of the coupler's pull that stands square to the output link turns it.",
    ),
    explain=(
        "The angle between coupler and output is called the transmission angle. 90 deg pushes best; in one line is a"
        " toggle."
    ),
    short=True,
)


# --- a design ------------------------------------------------------------------------------------------------------


def _design_rows_1(kit):
    return _design_cases(kit, (0.06, 350, 1.2), (0.10, 300, 1.0), (0.04, 400, 1.4), (0.12, 260, 1.2), (0.08, 320, 1.1))


def _design_rows(kit):
    """Higher than the linkage lifts with which the bench opens."""
    return _design_cases(kit, (0.06, 420, 1.2), (0.10, 400, 1.0), (0.04, 440, 1.4), (0.12, 410, 1.2), (0.08, 430, 1.1))


def _design_cases(kit, *cases):
    piece = kit.roles.piece.mass
    return [
        {"payload": (rounded(piece + holder, 3), "kg"), "rise_wanted": (rise, "mm"), "time_wanted": (time, "s")}
        for holder, rise, time in cases
    ]


# As it was asked before: what the bench opens with was enough.
_DESIGN_1 = Challenge(
    id="linkages-design",
    lesson="linkages",
    needs=("piece",),
    elsewhere=PIECES_ELSEWHERE,
    title="A four-bar that lifts",
    text=(
        "A four-bar carries an arm on its output link, and {payload} at the arm's tip. The tip must end {rise_wanted}"
        " higher than it begins, within {time_wanted}, and stop there. Choose the drive, the input link and the arm's"
        " length."
    ),
    sizing="linkage",
    rows=_design_rows_1,
    fixed=("payload", "rise_wanted", "time_wanted"),
    ease={"time_wanted": 1.2, "payload": 0.9, "rise_wanted": 0.94},
    choose=("drive", "input", "arm_length"),
    require="High enough, within {time_wanted}, nothing overloaded, never near to being stuck: all on a bad day too.",
    advice={
        "time": (
            "Too slow, or it never arrives. If there is torque to spare take a quicker drive; if not, a stronger one or"
            " a shorter arm. Look whether the links meet on the whole way."
        ),
        "rise": "Not high enough: a longer arm, or links that turn the output further.",
        "transmission": "Coupler and output come too near to one line. Change the input link a little.",
        "spare": (
            "The drive is too weak at the worst place: a stronger one, a shorter arm or a shorter input link helps."
        ),
        "strength": "The load is too much for the gears: a shorter arm, or a drive that may give more.",
        "holding": "It gets too hot while it holds: a stronger drive or a shorter arm.",
        "current": "Too much current when it starts or brakes: another drive.",
        "travel": "The servo can't turn so far: take one that turns further, or a geared motor.",
    },
    hints=(
        (
            "First make the links meet on the whole way and keep the transmission angle above its limit. Then look at"
            " the rise."
        ),
        "Rise comes from the arm's length and from how far the output turns. Torque asks for the opposite.",
    ),
    explain=(
        "It rises far enough, in time, and does not jam, on a bad day too. What would you check first when you"
        " build it?"
    ),
)

DESIGN = replace(
    _DESIGN_1,
    revision=2,
    rows=_design_rows,
    asks=("time", "rise", "transmission", "spare", "strength", "current", "travel"),
    earlier=(_DESIGN_1,),
)


# --- shop at home: angles from a photo -----------------------------------------------------------------------------

FIRST = np.array([-30.0, -10.0, 10.0, 30.0, 50.0, 70.0, 90.0, 110.0])  # deg, where the first link is held
OFF = 1.0  # deg, how well an angle is read from a photo


def _photo_test(r, noise):
    """Photos from the side: the angle of both links from level, as a phone's picture shows them."""
    first = FIRST + OFF * noise.standard_normal(FIRST.size)
    second = np.degrees(r.start) + (1 - r.ratio) * FIRST + OFF * noise.standard_normal(FIRST.size)
    return {"first": (first.round(1), "deg"), "second": (second.round(1), "deg")}


SHOP = Quantity(
    id="linkages-photo-test",
    lesson="linkages",
    title="Which sprockets are really on it?",
    text=(
        "Somebody has changed a sprocket of your chained arm. You hold the arm at several places, take a photo from the"
        " side each time, and read the angle of both links from level. What is n, teeth on the frame / teeth at the"
        " elbow? (It is hidden, and each learner's arm is another one. The answer is a plain number. You may be further"
        " off than usual.)"
    ),
    kind="number",
    unit="",
    rows=tuple(
        {"ratio": (ratio, ""), "start": (start, "deg")}
        for ratio, start in (
            (1.5, 140),
            (2.0, 175),
            (1.333, 120),
            (2.5, 210),
            (1.25, 95),
            (2.286, 190),
            (1.2, 80),
            (1.429, 160),
        )
    ),
    answer=lambda r: r.ratio,
    tolerance=0.05,
    shop=Shop(
        about=f"{FIRST.size} photos: angles of both links, from level.",
        measure=_photo_test,
        fit=lambda columns, r: 1 - float(np.polyfit(columns["first"], columns["second"], 1)[0]),
    ),
    slips=(
        Slip(
            "slope for ratio, with its sign",
            lambda r: 1 - r.ratio,
            "That is the slope of the line: how far the second link turns for each degree of the first. It is 1 - n."
            " Asked is n.",
        ),
        Slip(
            "slope for ratio",
            lambda r: abs(1 - r.ratio),
            "That is how far the second link turns for each degree of the first, seen from the frame. It is 1 - n."
            " Asked is n.",
        ),
        Slip(
            "ratio upside down",
            lambda r: 1 / r.ratio,
            "That is the teeth at the elbow divided by those on the frame. Asked is the other way round.",
        ),
    ),
    hints=(
        (
            "Draw the second angle over the first one. The points lie on a line. By how many degrees does it fall for"
            " each degree of the first link?"
        ),
        "The slope of that line is 1 - n. A line that falls has a slope below 0.",
    ),
    explain=(
        "n = {answer}. Where the line stands at 0 deg tells how the chain was laid on: one tooth further moves it by a"
        " whole step."
    ),
)


EXERCISES = (PREDICT, FURTHER, PULL, ANGLE, ORDER, RATIO, HEIGHT, TORQUE, FORCE, STUCK, DIAGONAL, DESIGN, SHOP)

"""Exercises of lesson 09: layers on a drum, cord and knot, slack, tilt, holding without power; and a scissor's steep
start.
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
from mechbench.course.learner_numbers import in_unit
from mechbench.course.of_game import HANGS_ELSEWHERE
from mechbench.course.on_bench import found, opened
from mechbench.quantity import to_si

G = 9.81


# --- predict, then slide -------------------------------------------------------------------------------------------

HEIGHT = "240 mm"  # that the bench lifts: far enough for another layer
CORDS = np.arange(0.0, 2.0, 0.02)  # m, that may lie on the drum before


def _opens(kit):
    """A lift in which about the last third of the cord comes to lie on top of other cord, for some lies on the drum
    before. Where there is no other layer, as on a belt's pulley, nothing lies there.
    """
    inputs = opened("winch", kit, lift_height=HEIGHT)
    layers = found("winch", kit, "before", CORDS, lift_height=HEIGHT).layers
    if layers.max() < 2 or layers[0] > 1:
        return {"lift_height": HEIGHT}
    wound = inputs["slack"] + float(inputs["falls"]) * inputs["lift_height"]
    before = CORDS[int(np.argmax(layers > 1))] + wound / 3
    return {"lift_height": HEIGHT, "before": f"{100 * before:.0f} cm"}


def _layer_shown(kit):
    """The torque on the drum at the first turn and at the last."""
    at = found("winch", kit, **_opens(kit))
    bare = found("winch", kit, **_opens(kit) | {"before": "0 m"})
    first, last = bare.hangs_with[0], at.hangs_with[0]
    numbers = {
        "pull": (at.pull[0], "N"),
        "first": (first, "N·m"),
        "last": (last, "N·m"),
        "layer": f"{at.layers[0]:.0f}",
    }
    if last <= first * 1.001:
        because = "The pull of {pull} asks {first} from start to end: here no cord lies on top of itself."
        return Shown("same", because, numbers)
    because = (
        "The cord pulls with {pull} all the time. On the bare drum that asks {first}, on layer {layer} it asks {last}:"
        " there the cord runs further out, which is a longer lever."
    )
    return Shown("end", because, numbers)


PREDICT = Prediction(
    id="winch-which-layer",
    lesson="winch",
    needs=("hang",),
    elsewhere=HANGS_ELSEWHERE,
    title="First turn or last turn?",
    text=(
        "A winch pulls a robot up. The cord winds onto a narrow drum, so it soon lies on top of itself. The robot"
        " weighs the same all the time. When does the motor have to push hardest?"
    ),
    options=(
        Option(
            "start",
            "At the start, on the bare drum.",
            (
                "It is true that a start from rest is a hard moment for a motor. The surprise: this load grows on the"
                " way, with each layer of cord."
            ),
        ),
        Option("end", "At the end, on top of the cord.", "A good thought: on top of cord the lever is longer."),
        Option(
            "same",
            "All the time the same: the robot weighs the same.",
            (
                "It is true that the robot weighs the same all the time. The surprise: torque is force times lever,"
                " and the lever grows with each layer."
            ),
        ),
    ),
    hints=(),
    explain='Now move the slider "Wound" on the bench, and watch the mark on the curve of torque.',
    shows=_layer_shown,
    opens=_opens,
)


# --- torque on a layer ---------------------------------------------------------------------------------------------


def _layer(r, number):
    """Radius of the middle of the cord on a layer."""
    return r.core / 2 + (number - 0.5) * r.cord


# As it was asked before: with thinner cords, so that whole cords could not be told from the answer.
_TORQUE_1 = Quantity(
    id="winch-layer-torque",
    lesson="winch",
    title="Torque on a layer",
    text=(
        "A winch lifts {mass}. The bare drum is {core} across (its diameter). The cord is {cord} thick. How much torque"
        " does the drum need while it winds layer number {layer}?"
    ),
    kind="torque",
    unit="N·m",
    rows=tuple(
        {"mass": (mass, "kg"), "core": (core, "mm"), "cord": (cord, "mm"), "layer": (layer, "")}
        for mass, core, cord, layer in (
            (13, 26, 3, 3),
            (16, 22, 3, 3),
            (11, 28, 4, 3),
            (15, 30, 4, 4),
            (17, 20, 2.5, 3),
            (12, 24, 4, 4),
            (14.5, 21, 3, 4),
            (9.5, 32, 5, 3),
        )
    ),
    answer=lambda r: r.mass * G * _layer(r, r.layer),
    slips=(
        Slip(
            "bare drum",
            lambda r: r.mass * G * r.core / 2,
            "You used the radius of the bare drum. On layer {layer} the cord lies on other cord, so its middle is"
            " further out.",
        ),
        Slip(
            "diameter for radius",
            lambda r: r.mass * G * 2 * _layer(r, r.layer),
            "You used a diameter as the lever. The lever is the radius: half of it.",
        ),
        Slip(
            "one side only",
            lambda r: r.mass * G * (r.core + (r.layer - 0.5) * r.cord) / 2,
            "You made the diameter grow by one cord for each layer. There is cord on both sides: the radius grows by a"
            " whole cord.",
        ),
        Slip(
            "mass for weight",
            lambda r: r.mass * _layer(r, r.layer),
            "You multiplied kilograms by metres. Torque is a force times a lever, and one kilogram weighs 9.81 N.",
        ),
    ),
    hints=(
        (
            "How far from the middle of the drum is the middle of the cord? Half of the drum, then whole cords, then"
            " half a cord."
        ),
        "Radius = half the drum + (layer − ½) × cord. Then torque = weight × radius, in metres.",
    ),
    explain="Half the drum, the layers below, and half a cord: that is the radius. Times the weight: {answer}.",
)

# As it was asked before: with a row in which half a cord could not be told from a whole one.
_TORQUE_2 = replace(
    _TORQUE_1,
    revision=2,
    rows=tuple(
        {"mass": (mass, "kg"), "core": (core, "mm"), "cord": (cord, "mm"), "layer": (layer, "")}
        for mass, core, cord, layer in (
            (13, 20, 4, 3),
            (16, 24, 5, 3),
            (11, 18, 4, 3),
            (15, 26, 4, 2),
            (17, 22, 4.5, 3),
            (12, 30, 5, 2),
            (14.5, 16, 3.5, 3),
            (9.5, 15, 5, 4),
        )
    ),
    slips=(
        *_TORQUE_1.slips,
        Slip(
            "core not halved",
            lambda r: r.mass * G * (r.core + (r.layer - 0.5) * r.cord),
            "You took the bare drum as far as it is across. The lever begins in its middle: only half of it counts.",
        ),
        Slip(
            "whole cords",
            lambda r: r.mass * G * (r.core / 2 + r.layer * r.cord),
            "You added {layer} whole cords. The lever ends in the middle of the cord that is being wound: half a cord"
            " less.",
        ),
    ),
)

TORQUE = replace(
    _TORQUE_2,
    revision=3,
    rows=tuple(
        {"mass": (mass, "kg"), "core": (core, "mm"), "cord": (cord, "mm"), "layer": (layer, "")}
        for mass, core, cord, layer in (
            (13, 20, 5, 3),
            (16, 24, 5, 2),
            (11, 18, 4, 3),
            (15, 26, 5, 2),
            (17, 22, 4.5, 2),
            (12, 30, 6, 2),
            (14.5, 16, 3.5, 3),
            (9.5, 16, 6, 4),
        )
    ),
    slips=(
        *_TORQUE_2.slips,
        Slip(
            "half a cord forgotten",
            lambda r: r.mass * G * (r.core / 2 + (r.layer - 1) * r.cord),
            "You stopped at the layers below. The lever ends in the middle of the cord that is being wound: half a cord"
            " more.",
        ),
    ),
    earlier=(_TORQUE_1, _TORQUE_2),
)


# --- the last layer ------------------------------------------------------------------------------------------------


def _last_layer(r):
    return np.ceil(r.wound / r.turns)


# As it was asked before: with thinner cords, so that half a cord could not be told.
_LAST_1 = Quantity(
    id="winch-last-layer",
    lesson="winch",
    needs=("hang",),
    elsewhere=HANGS_ELSEWHERE,
    title="What is left at the end",
    text=(
        "Your motor and gearbox stall when the drum asks for more than {stall}. The bare drum is {core} across, the"
        " cord is {cord} thick, and one layer has {turns} turns. You wind {wound} turns in all. How heavy may the robot"
        " be, so that the winch does not stall before the end?"
    ),
    kind="mass",
    unit="kg",
    rows=rows_of(
        {"stall": "N·m", "core": "mm", "cord": "mm", "turns": "", "wound": ""},
        (
            (3.4, 24, 3, 4, 10),
            (2.9, 20, 3, 5, 13),
            (4.1, 28, 4, 3, 8),
            (3.8, 22, 4, 3, 11),
            (3.1, 26, 3, 4, 15),
            (2.6, 18, 3, 5, 12),
            (3.6, 25, 5, 4, 9),
            (4.6, 30, 4, 3, 10),
        ),
    ),
    answer=lambda r: r.stall / (G * _layer(r, _last_layer(r))),
    slips=(
        Slip(
            "first layer",
            lambda r: r.stall / (G * _layer(r, 1)),
            "So heavy a robot leaves the ground, on the first layer. But the winch stalls later, when the cord lies on"
            " top of itself.",
        ),
        Slip(
            "layer before",
            lambda r: r.stall / (G * _layer(r, np.floor(r.wound / r.turns))),
            "You took the last layer that is full. The last turns lie on one layer more, and it has only begun.",
        ),
        Slip(
            "diameter for radius",
            lambda r: r.stall / (G * 2 * _layer(r, _last_layer(r))),
            "You divided by a diameter. The lever is the radius: half of it.",
        ),
    ),
    hints=(
        "On which layer does the last turn lie? Divide the turns by the turns of one layer.",
        (
            "Torque = weight × radius of the last layer. Turn it round: weight = torque ÷ radius. Then divide by 9.81"
            " N/kg."
        ),
    ),
    explain="The last layer decides, because its radius is the largest: {answer}.",
)

LAST = replace(
    _LAST_1,
    revision=2,
    rows=rows_of(
        {"stall": "N·m", "core": "mm", "cord": "mm", "turns": "", "wound": ""},
        (
            (2.6, 16, 4, 4, 11),
            (2.2, 15, 5, 5, 13),
            (3.1, 18, 5, 4, 9),
            (2.4, 15, 4, 5, 12),
            (2.9, 16, 4.5, 3, 8),
            (2.7, 18, 4.5, 5, 11),
            (2.5, 15, 4.5, 4, 10),
            (3.3, 20, 5, 5, 12),
        ),
    ),
    slips=(
        *_LAST_1.slips,
        Slip(
            "bare drum",
            lambda r: r.stall / (G * r.core / 2),
            "You used the radius of the bare drum. The last turns lie on other cord, so their lever is longer.",
        ),
        Slip(
            "half a cord forgotten",
            lambda r: r.stall / (G * (r.core / 2 + (_last_layer(r) - 1) * r.cord)),
            "You stopped at the layers below the last one. The lever ends in the middle of the cord that is being"
            " wound:"
            " half a cord more.",
        ),
        Slip(
            "whole cords",
            lambda r: r.stall / (G * (r.core / 2 + _last_layer(r) * r.cord)),
            "You added whole cords. The lever ends in the middle of the last one: half a cord less.",
        ),
        Slip(
            "one side only",
            lambda r: r.stall / (G * (r.core + (_last_layer(r) - 0.5) * r.cord) / 2),
            "You made the diameter grow by one cord for each layer. There is cord on both sides: the radius grows by a"
            " whole cord.",
        ),
        Slip(
            "newtons for kilograms",
            lambda r: r.stall / _layer(r, _last_layer(r)),
            "That is the weight, in newtons. Asked is how many kilograms weigh that much.",
        ),
    ),
    earlier=(_LAST_1,),
)


# --- slack ---------------------------------------------------------------------------------------------------------

SLACK = Quantity(
    id="winch-slack",
    lesson="winch",
    needs=("hang",),
    elsewhere=HANGS_ELSEWHERE,
    title="When the slack runs out",
    text=(
        "A motor winds slack cord at {speed}. Then the cord is suddenly tight, with a robot of {mass} on it. The cord"
        " stretches like a stiff spring: its stiffness is {stiff} (newtons for each metre of stretch). The highest"
        " pull, the snatch load, is then weight + speed × √(stiffness × mass), with speed in m/s, stiffness in N/m and"
        " mass in kg. How large is it?"
    ),
    kind="force",
    unit="N",
    rows=tuple(
        {"speed": (speed, "m/s"), "mass": (mass, "kg"), "stiff": (stiff, "N/m")}
        for speed, mass, stiff in (
            (0.12, 13, 24000),
            (0.16, 12, 20000),
            (0.15, 14, 28000),
            (0.25, 11, 30000),
            (0.18, 16, 25000),
            (0.11, 10, 32000),
            (0.13, 15, 36000),
            (0.35, 13, 18000),
        )
    ),
    answer=lambda r: r.mass * G + r.speed * np.sqrt(r.stiff * r.mass),
    slips=(
        Slip(
            "twice the weight",
            lambda r: 2 * r.mass * G,
            "You took twice the weight. That is right for a load that is dropped into a tight cord. Here the speed of"
            " the cord counts.",
        ),
        Slip(
            "weight alone",
            lambda r: r.mass * G,
            "That is the steady pull. When the slack runs out, the moving drum adds to it.",
        ),
        Slip(
            "snatch alone",
            lambda r: r.speed * np.sqrt(r.stiff * r.mass),
            "You left the weight out. The robot hangs on the cord as well.",
        ),
        Slip(
            "root forgotten",
            lambda r: r.mass * G + r.speed * r.stiff * r.mass,
            "You forgot the square root: first multiply stiffness by mass, then take the root of it.",
        ),
        Slip(
            "mass outside the root",
            lambda r: r.mass * G + r.speed * np.sqrt(r.stiff) * r.mass,
            "You took the root of the stiffness alone. Multiply first, then take the root of both.",
        ),
        Slip(
            "mass for weight",
            lambda r: r.mass + r.speed * np.sqrt(r.stiff * r.mass),
            "You added kilograms to newtons. First turn the mass into a weight.",
        ),
        Slip(
            "speed left out",
            lambda r: r.mass * G + np.sqrt(r.stiff * r.mass),
            "You left the speed out: the root is multiplied by it.",
        ),
    ),
    hints=(
        "First the weight in newtons: mass × 9.81 N/kg.",
        "Multiply stiffness by mass, take the square root (the √ key), times the speed. Then add the weight.",
    ),
    explain=(
        "The weight, and what the moving drum adds: the snatch load is {answer}. Wind the last slack slowly, and the"
        " second part almost vanishes."
    ),
)


# --- cord and knot -------------------------------------------------------------------------------------------------

# As it was asked before: with knots that keep half, where what is lost is as much.
_KNOT_1 = Quantity(
    id="winch-knot",
    lesson="winch",
    needs=("hang",),
    elsewhere=HANGS_ELSEWHERE,
    title="How strong is a knot?",
    text=(
        "A straight cord breaks at {strength}. At a knot it keeps {keeps} of that. A robot of {mass} hangs on it, and"
        " the snatch load, the pull when the slack runs out, is {times} times the robot's weight. How many times"
        " stronger than this pull is the cord?"
    ),
    kind="number",
    unit="",
    rows=tuple(
        {"strength": (strength, "N"), "keeps": (keeps, "%"), "mass": (mass, "kg"), "times": (times, "")}
        for strength, keeps, mass, times in (
            (1500, 55, 12, 1.7),
            (1800, 60, 14, 1.8),
            (900, 65, 9, 1.9),
            (1300, 50, 11, 1.6),
            (2200, 58, 16, 1.4),
            (1600, 62, 13, 2.4),
            (1100, 70, 10, 1.7),
            (2000, 52, 15, 1.6),
        )
    ),
    answer=lambda r: r.strength * r.keeps / (r.times * r.mass * G),
    slips=(
        Slip(
            "knot not counted",
            lambda r: r.strength / (r.times * r.mass * G),
            "You took the strength of a straight cord. It breaks at the knot, and there it keeps only {keeps}.",
        ),
        Slip(
            "snatch load not counted",
            lambda r: r.strength * r.keeps / (r.mass * G),
            "You divided by the weight alone. The worst pull is {times} times as large.",
        ),
        Slip(
            "mass for weight",
            lambda r: r.strength * r.keeps / (r.times * r.mass),
            "You divided newtons by kilograms. First turn the mass into a weight.",
        ),
    ),
    hints=(
        "What is the strength at the knot? What is the worst pull?",
        "Divide one by the other, both in newtons.",
    ),
    explain=(
        "Strength at the knot ÷ the worst pull: {answer}. For a robot overhead ask for at least 3, and for what your"
        " event's rules say."
    ),
    short=True,
)

KNOT = replace(
    _KNOT_1,
    revision=2,
    rows=tuple(
        {"strength": (strength, "N"), "keeps": (keeps, "%"), "mass": (mass, "kg"), "times": (times, "")}
        for strength, keeps, mass, times in (
            (1500, 55, 12, 1.7),
            (1800, 60, 14, 1.8),
            (900, 65, 9, 1.9),
            (1300, 70, 11, 1.6),
            (2200, 58, 16, 1.4),
            (1600, 62, 13, 2.4),
            (1100, 70, 10, 1.7),
            (2000, 56, 15, 1.6),
        )
    ),
    slips=(
        *_KNOT_1.slips,
        Slip(
            "what the knot takes away",
            lambda r: r.strength * (1 - r.keeps) / (r.times * r.mass * G),
            "You took what the knot takes away. It keeps {keeps}: count with what is left.",
        ),
        Slip(
            "neither knot nor snatch",
            lambda r: r.strength / (r.mass * G),
            "You divided the strength of a straight cord by the weight. It breaks at the knot, and the worst pull is"
            " {times} times the weight.",
        ),
        Slip(
            "upside down",
            lambda r: r.times * r.mass * G / (r.strength * r.keeps),
            "You divided the pull by the strength. Asked is how many times the strength is the pull.",
        ),
    ),
    earlier=(_KNOT_1,),
)


# --- tilt ----------------------------------------------------------------------------------------------------------

# As it was asked before: of each robot another height, whatever the game asks.
_TILT_1 = Quantity(
    id="winch-tilt",
    lesson="winch",
    needs=("hang",),
    instead="winch-ramp-hold",
    elsewhere=HANGS_ELSEWHERE,
    title="It hangs tilted",
    text=(
        "A robot hangs on one hook. Its centre of gravity is {ahead} ahead of the hook and {below} below the place"
        " where the cord leaves the robot. So it tilts, and a wheel ahead of the hook sinks. A rule for small tilts: it"
        " sinks by (wheel ahead) × (centre ahead) ÷ (centre below). The front wheel is {wheel} ahead of the hook, and"
        " {clear} of air must be below it. How high must the winch lift?"
    ),
    kind="length",
    unit="mm",
    rows=tuple(
        {"ahead": (ahead, "mm"), "below": (below, "mm"), "wheel": (wheel, "mm"), "clear": (clear, "mm")}
        for ahead, below, wheel, clear in (
            (25, 200, 170, 28),
            (30, 240, 180, 25),
            (18, 150, 190, 18),
            (35, 260, 150, 18),
            (40, 310, 200, 30),
            (22, 190, 210, 28),
            (28, 180, 140, 17),
            (33, 230, 160, 26),
        )
    ),
    answer=lambda r: r.clear + r.wheel * r.ahead / r.below,
    slips=(
        Slip(
            "tilt forgotten",
            lambda r: r.clear,
            "That lifts it high enough if it hangs level. It tilts, and the front wheel sinks.",
        ),
        Slip(
            "air forgotten",
            lambda r: r.wheel * r.ahead / r.below,
            "So far the front wheel sinks. With this lift it just leaves the floor: the air below it is missing.",
        ),
        Slip(
            "upside down",
            lambda r: r.clear + r.wheel * r.below / r.ahead,
            "You turned the fraction round. The deeper the centre of gravity hangs, the less the robot tilts.",
        ),
        Slip(
            "subtracted",
            lambda r: abs(r.clear - r.wheel * r.ahead / r.below),
            "You subtracted. The lift must pay for both: what the wheel sinks, and the air below it.",
        ),
    ),
    hints=(
        (
            "How far does the front wheel sink? Its distance ahead of the hook, times ahead ÷ below of the centre of"
            " gravity."
        ),
        "The lift must pay for both: what the wheel sinks, and the air below it.",
    ),
    explain=(
        "What the wheel sinks and the air below it: {answer}. A hook straight above the centre of gravity saves the"
        " first part."
    ),
)


def _tilt_rows(kit):
    """Each as high over the floor as the game asks; as it wishes itself, where the game only asks it off the floor."""
    asked = kit.roles.hang.clear
    return [
        {
            "ahead": (ahead, "mm"),
            "below": (below, "mm"),
            "wheel": (wheel, "mm"),
            "clear": in_unit(asked, "mm") if asked else (wished, "mm"),
        }
        for ahead, below, wheel, wished in (
            (25, 200, 170, 28),
            (30, 150, 180, 25),
            (18, 190, 150, 18),
            (35, 260, 130, 20),
            (40, 210, 200, 30),
            (32, 150, 200, 28),
            (28, 180, 160, 17),
            (33, 230, 190, 26),
        )
    ]


TILT = replace(_TILT_1, revision=2, rows=_tilt_rows, earlier=(_TILT_1,))


# --- power off -----------------------------------------------------------------------------------------------------

RATCHET = Choice(
    id="winch-ratchet-place",
    lesson="winch",
    needs=("hang",),
    elsewhere=HANGS_ELSEWHERE,
    title="Where does the ratchet go?",
    text=(
        "Motor, gearbox, chain, drum: in this order they lift the robot. A ratchet must hold it when the power goes"
        " off. On which shaft do you put it?"
    ),
    options=(
        Option(
            "motor",
            "On the motor's shaft: there the torque is smallest.",
            "It would hold, with a small ratchet. But when the chain comes off, nothing holds the drum, and the robot"
            " falls.",
        ),
        Option(
            "between",
            "On the shaft between gearbox and chain.",
            "Then the robot still hangs on the chain. Which shaft holds it even when the chain is gone?",
        ),
        Option(
            "drum",
            "On the drum's own shaft.",
            "Yes. There the ratchet needs the most torque, but nothing that can come off lies between it and the drum.",
            right=True,
        ),
        Option(
            "none",
            "Nowhere: the controller brakes the motor.",
            "The controller brakes a motor by joining its two wires. That slows the fall, but it only brakes while the"
            " motor turns: the robot creeps down.",
        ),
    ),
    hints=(
        "Take each part between ratchet and cord away, one after another. Does the robot still hang?",
        "The fewer parts between ratchet and cord, the better.",
    ),
    explain=(
        "Each part between the ratchet and the cord is one more part that must not fail. The cord itself remains:"
        " beside it hangs a catch strap, a second, loose strap that catches the load when the cord breaks."
    ),
    short=True,
)


# --- the first lift, in order --------------------------------------------------------------------------------------

ORDER = Order(
    id="winch-first-lift",
    lesson="winch",
    needs=("hang",),
    elsewhere=HANGS_ELSEWHERE,
    title="The first lift",
    text=(
        "A winch is new. It has a catch strap: a second, loose strap that catches the load when the cord breaks. In"
        " which order do you try the winch?"
    ),
    scale="from the first try to the last",
    items=(
        Item("look", "unplugged: look at cord, knots and ratchet"),
        Item(
            "light",
            "lift a light sandbag a hand's width above foam",
            "Before anything hangs: with the plug out, is there a cut in the cord?",
        ),
        Item(
            "heavy",
            "lift a sandbag as heavy as the robot a hand's width above foam",
            "A light sandbag tells the same about the ratchet, and does less harm when it falls.",
        ),
        Item(
            "robot",
            "lift the robot a hand's width above foam",
            "First something as heavy that may fall. A sandbag does not break.",
        ),
        Item("high", "lift the robot as high as in a match", "Low first: from a hand's width it does not fall far."),
    ),
    hints=(
        "What does the least harm if it goes wrong?",
        "First nothing hangs, then something light, then something heavy, then the robot: each time low before high.",
    ),
    explain="Each step tries one thing more, and only when the step before went well. Nobody is ever below the load.",
)


# --- a design ------------------------------------------------------------------------------------------------------

# As it was asked before robots were lighter.
_DESIGN_1 = Challenge(
    id="winch-design",
    lesson="winch",
    needs=("hang",),
    elsewhere=HANGS_ELSEWHERE,
    title="A winch for the bar",
    text=(
        "A robot of {mass} must hang from the bar within {time_wanted}. Its centre of gravity is {ahead} ahead of the"
        " hook. Choose gearbox, drum (spool), ratchet, how high to lift, and the falls: with 2 falls the cord runs"
        " round a pulley on the hook, so it is pulled half as hard, and the winch winds twice as much."
    ),
    sizing="winch",
    rows=tuple(
        {"mass": (mass, "kg"), "ahead": (ahead, "mm"), "time_wanted": (time, "s")}
        for mass, ahead, time in (
            (13.5, 32, 3.5),
            (15.5, 24, 4),
            (12, 45, 3.5),
            (14, 38, 4.5),
            (11.5, 28, 3),
            (16, 35, 5),
        )
    ),
    fixed=("mass", "ahead", "time_wanted"),
    ease={"time_wanted": 1.25, "mass": 0.94},
    choose=("gearbox", "spool", "ratchet", "lift_height", "falls"),
    require=(
        "Clear of the floor in time, the cord three times stronger than the snatch load, no part overloaded, and it"
        " hangs without power: all on a bad day too."
    ),
    advice={
        "time": "Too slow. Lift no higher than you must, or take a smaller ratio or a larger drum.",
        "spare": "The winch is too weak. A larger ratio, a smaller drum or one fall more helps.",
        "holds": "With the power off it does not stay up. What holds without any current?",
        "clear": "Too little air below the lowest wheel. Remember what the tilt costs, and lift higher.",
        "factor": (
            "The snatch load, when the slack runs out, is too large for the knot. A larger ratio winds the slack more"
            " slowly; two falls in place of one halve the pull."
        ),
        "strength": "The gearbox is too weak for this torque. A smaller drum or one fall more helps.",
        "full": "The cord does not fit on the drum. Lift less high, take fewer falls or a larger drum.",
        "fuse_used": "The fuse melts: a larger ratio or a smaller drum makes it easier for the motor.",
        "volts": "The battery sags too far: less current helps.",
    },
    hints=(
        (
            "First the height: air, tilt, and a little for the stretch of the cord. Then the ratchet. Then look at time"
            " and cord together."
        ),
        "A large ratio is slow and gentle to the cord, a small one quick and rough. Is there time left?",
    ),
    explain="It hangs, in time and without power, on a bad day too. What would you try first with a sandbag?",
)

# As it was asked before: what the bench opens with was quick enough.
_DESIGN_2 = replace(
    _DESIGN_1,
    revision=2,
    rows=tuple(
        {"mass": (mass, "kg"), "ahead": (ahead, "mm"), "time_wanted": (time, "s")}
        for mass, ahead, time in (
            (12.5, 32, 3.5),
            (14.5, 24, 4),
            (11.5, 45, 3.5),
            (13, 38, 4.5),
            (10.5, 28, 3),
            (14, 35, 5),
        )
    ),
)

DESIGN = replace(
    _DESIGN_2,
    revision=3,
    rows=tuple(
        {"mass": (mass, "kg"), "ahead": (ahead, "mm"), "time_wanted": (time, "s")}
        for mass, ahead, time in (
            (12.5, 32, 1.3),
            (14, 24, 1.3),
            (11.5, 45, 1.3),
            (13, 38, 1.35),
            (10.5, 28, 1.2),
            (13.5, 35, 1.35),
        )
    ),
    earlier=(_DESIGN_1, _DESIGN_2),
)


# --- the scissor ---------------------------------------------------------------------------------------------------

START = Quantity(
    id="winch-scissor-start",
    lesson="winch",
    title="The start of a scissor",
    text=(
        "A scissor of {cells} cells lies folded: its arms are {angle} above level. On top are {load}. All arms together"
        " are {arms}; of them half counts, because on average they rise half as far. How hard must the sliding foot be"
        " pushed to start? (tan {angle} stands in the reading table.)"
    ),
    kind="force",
    unit="N",
    rows=tuple(
        {"cells": (cells, ""), "angle": (angle, "deg"), "load": (load, "kg"), "arms": (arms, "kg")}
        for cells, angle, load, arms in (
            (3, 15, 0.4, 0.3),
            (4, 20, 0.3, 0.24),
            (2, 10, 0.5, 0.36),
            (3, 20, 0.6, 0.5),
            (4, 25, 0.35, 0.28),
            (2, 15, 0.7, 0.56),
            (3, 10, 0.25, 0.2),
            (4, 15, 0.45, 0.4),
        )
    ),
    answer=lambda r: r.cells * (r.load + r.arms / 2) * G / np.tan(r.angle),
    slips=(
        Slip(
            "tangent the wrong way",
            lambda r: r.cells * (r.load + r.arms / 2) * G * np.tan(r.angle),
            "You multiplied by the tangent. The flatter the arms lie, the harder the push: so divide by it.",
        ),
        Slip(
            "cells forgotten",
            lambda r: (r.load + r.arms / 2) * G / np.tan(r.angle),
            "You forgot the cells. With {cells} cells the top rises {cells} times as far as with one, and you pay for"
            " it in push.",
        ),
        Slip(
            "arms left out",
            lambda r: r.cells * r.load * G / np.tan(r.angle),
            "You left the arms out. Half of their mass counts.",
        ),
        Slip(
            "arms counted whole",
            lambda r: r.cells * (r.load + r.arms) * G / np.tan(r.angle),
            "You counted the whole mass of the arms. The lowest of them hardly rise: on average it is half.",
        ),
        Slip(
            "mass for weight",
            lambda r: r.cells * (r.load + r.arms / 2) / np.tan(r.angle),
            "You used kilograms. Turn them into a weight first: one kilogram weighs 9.81 N.",
        ),
        Slip(
            "weight alone",
            lambda r: r.cells * (r.load + r.arms / 2) * G,
            "You left the angle out. The flatter the arms lie, the harder the push: divide by the tangent.",
        ),
    ),
    hints=(
        "What has to be lifted? The load, and half of the arms. Turn that into a weight in newtons.",
        "Push = cells × weight ÷ tan(angle).",
    ),
    explain="Cells × weight ÷ tangent: {answer}, far more than the weight itself. That is the steep start.",
)

EASIER = Choice(
    id="winch-scissor-easier",
    lesson="winch",
    title="Help it off the ground",
    text=(
        "A scissor of four cells begins at 10 deg, and its servo can't start it. One of these changes makes the first"
        " push about half as large. Which one?"
    ),
    options=(
        Option(
            "angle",
            "Begin at 20 deg instead of 10 deg.",
            "Yes. The tangent is about twice as large, so the push is about half. The price: it folds less flat.",
            right=True,
        ),
        Option(
            "cells",
            "Three cells instead of four.",
            "That takes away one quarter of the push, and one quarter of the height.",
        ),
        Option(
            "arms",
            "Arms twice as long, of the same mass.",
            "The length of the arms is not in the formula. The top rises further for it, but the foot also moves"
            " further.",
        ),
        Option(
            "load",
            "A load that is one third lighter.",
            "At best that takes away one third of the push.",
        ),
    ),
    hints=(
        "Push = cells × weight ÷ tan(angle). What does each change do to it?",
        "Look up the two tangents in the reading table.",
    ),
    explain=(
        "Flat arms are the problem. A few degrees more at the start, or a spring that pushes only at the start, helps"
        " most."
    ),
    short=True,
)


# --- shop at home: how much your winch's gears lose ----------------------------------------------------------------

LAYERS = np.repeat([1, 2, 3, 4], 3)
NOISE = 0.004  # share of a reading


def _current_test(r, noise):
    """Current while a sandbag rises steadily, on four layers: idle current, and what the torque on the drum asks."""
    radius = _layer(r, LAYERS)
    steady = r.idle + r.mass * G * radius / (r.constant * r.ratio * r.efficiency)
    return {
        "layer": (LAYERS, ""),
        "radius": ((1000 * radius).round(1), "mm"),
        "current": ((steady * (1 + NOISE * noise.standard_normal(LAYERS.size))).round(3), "A"),
    }


def _with_idle(r, layer):
    """The efficiency that comes of all the current on one layer."""
    load = r.mass * G * _layer(r, layer)
    return r.efficiency / (1 + r.idle * r.constant * r.ratio * r.efficiency / load)


def _efficiency(torque, current, felt):
    """Efficiency from the slope of current over torque; what does not grow with the torque is idle current."""
    slope, _ = np.polyfit(torque, current, 1)
    return float(1 / (slope * felt))


def _current_rows(cases):
    units = {"mass": "kg", "ratio": "", "constant": "N·m/A", "core": "mm", "cord": "mm", "efficiency": "%", "idle": "A"}
    return rows_of(units, [(mass, ratio, 0.02, *rest) for mass, ratio, *rest in cases])


_SHOP_1 = Quantity(
    id="winch-current-test",
    lesson="winch",
    title="What do the gears lose?",
    text=(
        "Your winch lifts a sandbag of {mass}, three times on each layer. You read the current while it rises steadily."
        " The motor gives {constant}, and the gearbox is {ratio}:1. A part of the current is always there, even without"
        " a load. How large is the efficiency of your gears? (It is hidden, and each learner's winch is another one."
        " You may be further off than usual.)"
    ),
    kind="fraction",
    unit="%",
    rows=_current_rows(
        (
            (6, 48, 24, 4, 68, 0.7),
            (7, 60, 20, 5, 71, 0.75),
            (5, 40, 22, 4, 70, 0.8),
            (8, 72, 26, 5, 73, 0.65),
            (6.5, 52, 18, 4, 72, 0.7),
            (7.5, 80, 28, 5, 66, 0.6),
            (5.5, 56, 24, 5, 75, 0.6),
            (9, 90, 20, 4, 69, 0.65),
        )
    ),
    answer=lambda r: r.efficiency,
    tolerance=0.05,
    shop=Shop(
        about=f"{LAYERS.size} lifts of a sandbag: radius to the middle of the cord, and current.",
        measure=_current_test,
        fit=lambda columns, r: _efficiency(r.mass * G * columns["radius"], columns["current"], r.constant * r.ratio),
    ),
    slips=(
        Slip(
            "idle current counted as load",
            lambda r: _with_idle(r, 1),
            "You took the whole current of the first layer. A part of it flows without any load. Only what grows with"
            " the torque tells the efficiency.",
        ),
        Slip(
            "idle current counted as load, last layer",
            lambda r: _with_idle(r, LAYERS[-1]),
            "You took the whole current of the last layer. A part of it flows without any load. Only what grows with"
            " the torque tells the efficiency.",
        ),
        Slip(
            "what is lost",
            lambda r: 1 - r.efficiency,
            "That is the share that gets lost. The efficiency is the share that arrives.",
        ),
    ),
    hints=(
        (
            "Make a column of torques: weight of the sandbag × radius. Draw current over torque: do the points lie on a"
            " line?"
        ),
        (
            "Without any loss the line would rise by 1 ÷ (N·m per ampere × ratio) for each N·m. Yours is steeper."
            " Efficiency = that ÷ your slope."
        ),
    ),
    explain=(
        "{answer} of the motor's torque arrives at the drum. Where the line meets torque 0 you can read the idle"
        " current."
    ),
)

SHOP = replace(
    _SHOP_1,
    revision=2,
    # So small drums, and so thick cords, that first layer, last layer and the mean of all are told apart.
    rows=_current_rows(
        (
            (6, 48, 18, 5, 68, 0.8),
            (7, 60, 20, 6, 71, 0.85),
            (5, 40, 16, 5, 70, 0.8),
            (8, 72, 20, 6, 73, 0.8),
            (6.5, 52, 16, 5, 72, 0.85),
            (7.5, 80, 20, 6, 66, 0.65),
            (5.5, 56, 18, 5, 75, 0.65),
            (9, 90, 18, 5, 69, 0.75),
        )
    ),
    slips=(
        *_SHOP_1.slips,
        Slip(
            "idle current counted as load, mean of all layers",
            lambda r: sum(_with_idle(r, layer) for layer in LAYERS) / LAYERS.size,
            "You took the whole current on each layer, and the mean of all. A part of the current flows without any"
            " load. Only what grows with the torque tells the efficiency.",
        ),
    ),
    earlier=(_SHOP_1,),
)


# --- a game with a ramp at the end, and no bar -----------------------------------------------------------------------


def _ramp_rows(kit):
    """The ramp of the game, or one of 12 deg, and robots with wheels of the kit on it."""
    ramp, wheels = kit.roles.ramp, kit.table("wheels")
    slope = to_si(12, "deg") if ramp is None else ramp.slope
    across = [wheels.row(name)["diameter"] for name in wheels.names]
    cases = ((11.0, 0), (9.5, 1), (13.0, 2), (8.0, 0), (12.0, 1), (10.0, 2), (14.5, 0), (7.5, 1))
    return [
        {
            "slope": in_unit(slope, "deg"),
            "mass": (mass, "kg"),
            "diameter": in_unit(across[place % len(across)], "mm"),
        }
        for mass, place in cases
    ]


RAMP_HOLD = Quantity(
    id="winch-ramp-hold",
    lesson="winch",
    needs=("ramp",),
    title="It stays on the ramp",
    text=(
        "A robot of {mass} stands on a ramp of {slope} and looks up it. The power goes off. Its wheels are {diameter}"
        " across and don't slip. Which torque must the gearboxes hold, all driven wheels together, so that it does not"
        " roll down? (The share of the weight that pulls along the ramp is the sine of the slope: read it between two"
        " columns of the disc of lesson 08.)"
    ),
    kind="torque",
    unit="N·m",
    rows=_ramp_rows,
    answer=lambda r: r.mass * G * math.sin(r.slope) * r.diameter / 2,
    slips=(
        # On a ramp for robots the two are a few in a hundred apart.
        Slip(
            "the whole weight, or the cosine",
            lambda r: r.mass * G * r.diameter / 2,
            "That is the whole weight, or the share that presses on the ramp, the cosine. Only the share along the ramp"
            " pulls.",
        ),
        Slip(
            "diameter for radius",
            lambda r: r.mass * G * math.sin(r.slope) * r.diameter,
            "You took the diameter as the lever. The wheel touches the ramp one radius away from its shaft.",
        ),
        Slip(
            "mass for weight",
            lambda r: r.mass * math.sin(r.slope) * r.diameter / 2,
            "Kilograms are no newtons: 1 kg weighs 9.81 N.",
        ),
    ),
    hints=(
        "How hard does the robot pull down along the ramp? Weight times the sine of the slope.",
        "That force acts at the rim of the wheels. What is its lever to the wheels' shaft?",
    ),
    explain=(
        "Weight × sine of the slope × radius: {answer}. A motor without power holds next to nothing: gears that can't"
        " be turned from behind, a brake or a ratchet must hold it. Try it with the power off before the event."
    ),
)

STAND_INS = (RAMP_HOLD,)
EXERCISES = (PREDICT, TORQUE, LAST, SLACK, KNOT, TILT, RATCHET, ORDER, DESIGN, START, EASIER, SHOP)

"""Exercises of lesson 06: what holds a swinging arm, what lifts and stops it, and what a counter-spring buys."""

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
from mechbench.course.on_bench import found, opened
from mechbench.kits.figures import output_limit
from mechbench.kits.pairing import loose, reducing, usual_of

G = 9.81


# --- predict, then slide -------------------------------------------------------------------------------------------

PLACES = {"bottom": (-90.0, -80.0), "level": (-5.0, 5.0), "top": (80.0, 90.0)}  # deg from level


def _hardest_shown(kit):
    """The highest torque of three short swings: at the bottom, about level, at the top."""
    needs = {
        name: float(found("arm", kit, start_angle=f"{low} deg", end_angle=f"{high} deg", spring="none").worst_torque[0])
        for name, (low, high) in PLACES.items()
    }
    because = (
        "Within 5 deg of level this arm needs up to {level}. Within 10 deg of straight down it needs {bottom} at"
        " most, and within 10 deg of straight up {top}. Weight pulls straight down, and its lever is how far it is"
        " out to the side."
    )
    return Shown(max(needs, key=needs.get), because, {name: (need, "N·m") for name, need in needs.items()})


PREDICT = Prediction(
    id="arm-hardest-place",
    lesson="arm",
    title="Where is it hardest?",
    text=(
        "An arm swings from pointing down, past level, to straight up. Where does the motor have to push hardest to"
        " hold it?"
    ),
    options=(
        Option(
            "bottom",
            "At the bottom, where the swing begins.",
            (
                "It is true that the whole lift still lies before it there. The surprise: an arm that hangs straight"
                " down needs nothing to be held."
            ),
        ),
        Option("level", "Where the arm is level.", "A good thought: level is where the weight is furthest out."),
        Option(
            "top",
            "Near the top, where it is highest.",
            (
                "It is true that most work is done by then. The surprise: straight up the weight stands on the pivot,"
                " and nothing has to hold it."
            ),
        ),
    ),
    hints=(),
    explain='Now move the slider "Along the swing" on the bench, and watch the mark on the curve of torque.',
    shows=_hardest_shown,
)


# --- torque of a level arm -----------------------------------------------------------------------------------------


def _piece(kit):
    return kit.roles.piece.mass


def _level_rows(kit):
    grippers, lengths = (0.25, 0.30, 0.20, 0.35, 0.28, 0.22, 0.33, 0.26), (40, 45, 50, 35, 55, 42, 38, 48)
    return [
        {
            "piece": in_unit(_piece(kit), "g"),
            "gripper": in_unit(gripper, "g"),
            "length": (length, "cm"),
            "label": kit.roles.piece.label,
        }
        for gripper, length in zip(grippers, lengths)
    ]


LEVEL = Quantity(
    id="arm-level",
    lesson="arm",
    needs=("piece",),
    elsewhere=PIECES_ELSEWHERE,
    title="Holding it level",
    text=(
        "An arm is {length} long. At its tip is a gripper of {gripper} that holds one {label} of {piece}. Leave the"
        " arm's own mass out. How much torque holds it level?"
    ),
    kind="torque",
    unit="N·m",
    rows=_level_rows,
    answer=lambda r: (r.gripper + r.piece) * G * r.length,
    slips=(
        Slip(
            "mass for weight",
            lambda r: (r.gripper + r.piece) * r.length,
            "You multiplied kilograms by metres. Torque is a force times a lever, and one kilogram weighs almost 10 N.",
        ),
        Slip(
            "gripper forgotten",
            lambda r: r.piece * G * r.length,
            "You left the gripper out. It hangs at the tip too, also when it holds nothing.",
        ),
        Slip(
            "piece forgotten",
            lambda r: r.gripper * G * r.length,
            "You left out what the gripper holds.",
        ),
    ),
    hints=(
        "What hangs at the tip altogether? How many newtons is that?",
        "Times the lever, in metres.",
    ),
    explain="All that hangs at the tip, times 9.81 N/kg, times the lever: {answer}.",
    short=True,
)


# --- at an angle ---------------------------------------------------------------------------------------------------

ANGLE = Quantity(
    id="arm-at-an-angle",
    lesson="arm",
    title="Holding it at an angle",
    text=(
        "The same kind of arm: {force} of weight at its tip, {length} from the pivot. Now it points {angle} above"
        " level. How much torque holds it there? (Read the sideways share of the angle from the disc: it is the"
        " cosine.)"
    ),
    kind="torque",
    unit="N·m",
    rows=tuple(
        {"force": (force, "N"), "length": (length, "cm"), "angle": (angle, "deg")}
        for force, length, angle in (
            (6, 40, 60),
            (8, 35, 30),
            (5, 50, 65),
            (9, 30, 33),
            (7, 45, 55),
            (4, 60, 70),
            (10, 38, 35),
            (6.5, 42, 62),
        )
    ),
    answer=lambda r: r.force * r.length * np.cos(r.angle),
    slips=(
        Slip(
            "sine for cosine",
            lambda r: r.force * r.length * np.sin(r.angle),
            "You used the share that points up, the sine. What counts is how far the tip is sideways from the pivot:"
            " nothing when the arm points straight up.",
        ),
        Slip(
            "as if level",
            lambda r: r.force * r.length,
            "You used the whole length. At {angle} the tip is not so far out sideways.",
        ),
        Slip(
            "degrees for radians",
            lambda r: r.force * r.length * np.cos(np.degrees(r.angle)),
            "Your calculator took {angle} for radians. Switch it to degrees, or use the reading disc.",
        ),
        Slip(
            "force taken for mass",
            lambda r: G * r.force * r.length * np.cos(r.angle),
            "You multiplied by 9.81 too. That makes a weight out of kilograms, but {force} is a force already.",
        ),
    ),
    hints=(
        "How far out sideways is the tip? Draw the arm, and drop a line from its tip.",
        "Sideways distance = length × cos(angle). The weight pulls straight down on that lever.",
    ),
    explain="Only the sideways distance counts: length times the cosine of the angle. That gives {answer}.",
    short=True,
)


# --- the arm's own mass --------------------------------------------------------------------------------------------

OWN = Quantity(
    id="arm-own-mass",
    lesson="arm",
    title="The arm weighs something too",
    text=(
        "A level arm is {length} long. The tube has a mass of {tube}, spread evenly. At the tip hang {tip}. How much"
        " torque holds it?"
    ),
    kind="torque",
    unit="N·m",
    rows=tuple(
        {"length": (length, "cm"), "tube": (tube, "g"), "tip": (tip, "g")}
        for length, tube, tip in (
            (40, 400, 300),
            (50, 350, 250),
            (35, 500, 360),
            (45, 300, 200),
            (60, 450, 320),
            (38, 420, 260),
            (55, 380, 220),
            (48, 520, 340),
        )
    ),
    answer=lambda r: (r.tube / 2 + r.tip) * G * r.length,
    slips=(
        Slip(
            "tube at the tip",
            lambda r: (r.tube + r.tip) * G * r.length,
            "You let the whole tube hang at the tip. It is spread evenly, so on average it is only half as far out.",
        ),
        Slip(
            "tube forgotten",
            lambda r: r.tip * G * r.length,
            "You left the tube out.",
        ),
        Slip(
            "everything at half",
            lambda r: (r.tube + r.tip) / 2 * G * r.length,
            "You put both at half the length. The tip's mass is really at the tip.",
        ),
        Slip(
            "mass for weight",
            lambda r: (r.tube / 2 + r.tip) * r.length,
            "You multiplied kilograms by metres. Torque is a force times a lever, and one kilogram weighs almost 10 N.",
        ),
        Slip(
            "tip forgotten",
            lambda r: r.tube / 2 * G * r.length,
            "You left out what hangs at the tip.",
        ),
    ),
    hints=(
        "Where would you put one finger under the tube so that it balances?",
        "Two torques: the tube at half the length, and the tip at the whole length. Add them.",
    ),
    explain="A tube that is spread evenly acts at its middle. Both torques together: {answer}.",
)


# --- which ratio ---------------------------------------------------------------------------------------------------


def _ratio_rows(kit):
    motors, boxes = kit.table("motors"), kit.table("gearboxes")
    name = usual_of(motors, loose(motors))
    motor, efficiency = motors.row(name), boxes.row(usual_of(boxes, reducing(boxes)))["efficiency"]
    return [
        {
            "motor": motors.labels[name],
            "part": (part, "%"),
            "stall": in_unit(motor["stall_torque"], "N·m"),
            "efficiency": (rounded(100 * efficiency, 2), "%"),
            "load": (load, "N·m"),
        }
        for load, part in ((1.8, 25), (2.4, 30), (1.2, 25), (3.0, 35), (1.5, 20), (2.7, 30), (2.1, 40), (3.3, 25))
    ]


RATIO = Quantity(
    id="arm-ratio",
    lesson="arm",
    title="Which ratio lifts it?",
    text=(
        "An arm needs up to {load} at its pivot. The {motor} stalls with {stall}; so that it stays cool and quick it"
        " should give at most {part} of that. The gears pass on {efficiency}. What is the smallest ratio that is"
        " just enough? (A plain number, before you choose a gearbox from the kit.)"
    ),
    kind="number",
    unit="",
    rows=_ratio_rows,
    answer=lambda r: r.load / (r.part * r.stall * r.efficiency),
    slips=(
        Slip(
            "losses the wrong way",
            lambda r: r.load * r.efficiency / (r.part * r.stall),
            "You multiplied by the efficiency. Losses make the motor's task harder, so the ratio must be larger:"
            " divide.",
        ),
        Slip(
            "losses forgotten",
            lambda r: r.load / (r.part * r.stall),
            "You left the losses out. The gears pass on only {efficiency}.",
        ),
        Slip(
            "the whole stall torque",
            lambda r: r.load / (r.stall * r.efficiency),
            "You let the motor give all its stall torque. Then it stands still, and burns. It may give {part} of it.",
        ),
        Slip(
            "upside down",
            lambda r: r.part * r.stall * r.efficiency / r.load,
            "Your fraction is upside down. The load is larger than what the motor gives: the ratio is more than 1.",
        ),
    ),
    hints=(
        "How much torque may the motor give, in N·m?",
        "Behind the gears that becomes torque × ratio × efficiency. It must be at least {load}.",
    ),
    explain=(
        "{load} divided by what the motor may give and by what the gears pass on: {answer}. Then take the next larger"
        " ratio that there is."
    ),
)


# --- a counter-spring ----------------------------------------------------------------------------------------------

SPRING = Quantity(
    id="arm-spring",
    lesson="arm",
    title="A spring that helps",
    text=(
        "An extension spring has a free length of {free} (nothing pulls on it then) and a rate of {rate}: that much"
        " more force for each mm it is longer. It pulls with {start} as soon as it begins to stretch. Now it is"
        " {length} long, and its line passes the pivot at a distance of {lever}. How much torque does it give?"
    ),
    kind="torque",
    unit="N·m",
    rows=rows_of(
        {"free": "mm", "rate": "N/mm", "start": "N", "length": "mm", "lever": "mm"},
        (
            (80, 0.5, 6, 130, 50),
            (60, 0.4, 5, 120, 45),
            (100, 0.3, 6, 190, 60),
            (80, 0.6, 8, 135, 40),
            (120, 0.25, 5, 230, 55),
            (60, 0.7, 7, 110, 40),
            (100, 0.45, 9, 170, 52),
            (80, 0.35, 5, 160, 44),
        ),
    ),
    answer=lambda r: (r.start + r.rate * (r.length - r.free)) * r.lever,
    slips=(
        Slip(
            "whole length for stretch",
            lambda r: (r.start + r.rate * r.length) * r.lever,
            "You multiplied the rate by the whole length. Only the stretch counts: how much longer it is than when"
            " free.",
        ),
        Slip(
            "first pull forgotten",
            lambda r: r.rate * (r.length - r.free) * r.lever,
            "You left out the {start} with which the spring begins.",
        ),
        Slip(
            "spring's length as lever",
            lambda r: (r.start + r.rate * (r.length - r.free)) * r.length,
            "You used the spring's length as the lever. The lever is the distance from the pivot to the spring's line.",
        ),
    ),
    hints=(
        "By how many mm is the spring stretched?",
        "Force = the first pull + rate × stretch. Torque = force × lever, the lever in metres.",
    ),
    explain="The stretch gives the force, the distance of its line from the pivot gives the lever: {answer}.",
)


# --- three kinds of holding ----------------------------------------------------------------------------------------

HOLDING = Choice(
    id="arm-power-cut",
    lesson="arm",
    title="The power goes",
    text=(
        "An arm is held up by its motor. The robot's main switch is turned off. What happens, if friction in the gears"
        " is small?"
    ),
    options=(
        Option(
            "stays",
            "It stays where it is: a motor without power is blocked.",
            "Turn the shaft of an unplugged motor with your fingers: it turns.",
        ),
        Option(
            "falls",
            "It falls, at first slowly, then quickly, with the gears turning the motor.",
            "Yes. Nothing holds it but friction. Rope it before hands go in.",
            right=True,
        ),
        Option(
            "brake",
            "It stays: controllers join the motor's two wires when the power goes, and that holds it.",
            "A motor with joined wires (it is shorted) slows the fall, but it does not hold: it only resists while it"
            " turns, so the arm creeps down.",
        ),
        Option(
            "up",
            "It goes up a little, then stays.",
            "Where would the energy for that come from?",
        ),
    ),
    hints=(
        "Which force is left when no current flows?",
        "A motor pushes only while current flows. What can hold without current?",
    ),
    explain=(
        "Three words, and they are never mixed up: a driven hold needs current all the time; a shorted motor creeps;"
        " only friction, a ratchet (a catch that lets a shaft turn one way only) or a self-locking screw (one that the"
        " load can't turn) holds with the power off."
    ),
    short=True,
)


# --- in order ------------------------------------------------------------------------------------------------------

ORDER = Order(
    id="arm-torque-order",
    lesson="arm",
    title="From easy to hard",
    text="The same arm with the same load, in four positions.",
    scale="from the least torque to the most",
    items=(
        Item("up", "straight up, 90 deg above level"),
        Item(
            "sixty",
            "60 deg above level",
            "Straight up the weight pulls through the pivot, so it takes no torque at all.",
        ),
        Item(
            "thirty",
            "30 deg below level",
            "The nearer to level, the further out is the tip. Above or below makes no difference.",
        ),
        Item("level", "level", "Nothing is further out sideways than a level arm."),
    ),
    hints=(
        "How far sideways from the pivot is the tip?",
        "Up or down does not matter for holding. Only the sideways distance does.",
    ),
    explain="The sideways share is 0, then 0.5, then 0.87, then 1.",
    short=True,
)


# --- a design ------------------------------------------------------------------------------------------------------


def _design_rows_1(kit):
    cases = (0.30, 500, 0.9), (0.25, 600, 1.0), (0.40, 450, 0.8), (0.20, 700, 1.2), (0.35, 550, 1.0), (0.28, 650, 1.1)
    return _swings(kit, cases)


def _design_rows(kit):
    """So quick that what the bench opens with is too slow; what limits the parts is told."""
    usual = opened("arm", kit)
    given = {
        "droop_allowed": in_unit(usual["droop_allowed"], "mm"),
        "limit": in_unit(output_limit(kit), "A"),
    }
    cases = (
        (0.30, 500, 0.61),
        (0.25, 600, 0.72),
        (0.40, 450, 0.58),
        (0.20, 700, 0.77),
        (0.35, 550, 0.72),
        (0.28, 650, 0.79),
    )
    return [{**row, **given} for row in _swings(kit, cases)]


def _swings(kit, cases):
    piece = _piece(kit)
    return [
        {
            "payload": (rounded(piece + gripper, 3), "kg"),
            "length": (length, "mm"),
            "time_wanted": (time, "s"),
            "hold_time": (20, "s"),
        }
        for gripper, length, time in cases
    ]


_DESIGN_1 = Challenge(
    id="arm-design",
    lesson="arm",
    needs=("piece",),
    elsewhere=PIECES_ELSEWHERE,
    title="An arm that swings up",
    text=(
        "An arm of {length} carries {payload} at its tip. It must swing up within {time_wanted}, stop there, and hold"
        " for {hold_time} without getting too hot. Choose motor, gearbox and spring."
    ),
    sizing="arm",
    rows=_design_rows_1,
    fixed=("payload", "length", "time_wanted", "hold_time"),
    ease={"time_wanted": 1.2, "payload": 0.9, "length": 0.92},
    choose=("motor", "gearbox", "spring"),
    require=(
        "Up and stopped within {time_wanted}, no part overloaded, the tip drops no further than allowed: all on a bad"
        " day too."
    ),
    advice={
        "time": (
            "Too slow. If there is much torque to spare, take a smaller ratio; if there is little, a larger one or the"
            " larger motor."
        ),
        "spare": "The drive is too weak at the worst place. A larger ratio, the larger motor or a spring helps.",
        "current": "Too much current for one motor when it starts or brakes: a smaller motor draws less.",
        "strength": "The gearbox is too weak for this load. Take one with more stages, or let a spring carry a part.",
        "hot_after": "It gets too hot while it holds. A larger ratio or a spring takes current away.",
        "droop": "Too much play for this length: look for a gearbox with less play.",
        "stretch": "The spring would be pulled too long. Take a longer one.",
        "volts": (
            "The battery sags too far. A motor draws the most where it starts from rest, whatever the ratio: a smaller"
            " motor draws less."
        ),
    },
    hints=(
        "Begin without a spring. Which finding is nearest to its limit on a bad day?",
        "Then try the next ratio up and down, and look at time and torque to spare together.",
    ),
    explain="It swings, stops and holds, on a bad day too. What would you measure first on the real arm?",
)


DESIGN = replace(
    _DESIGN_1,
    revision=2,
    rows=_design_rows,
    asks=("time", "spare", "current", "strength", "hot_after", "droop", "stretch"),
    ease={"time_wanted": 1.32, "payload": 0.9, "length": 0.92},
    fixed=("payload", "length", "time_wanted", "hold_time", "droop_allowed"),
    require=(
        "Up and stopped within {time_wanted}. The motor draws {limit} at most, more its controller does not give. The"
        " gearbox is strong enough, the spring is not pulled too long, and play lets the tip drop by {droop_allowed} at"
        " most: all on a bad day too."
    ),
    advice={
        **_DESIGN_1.advice,
        "time": (
            "Too slow. If there is much torque to spare, take a smaller ratio; if there is little, a larger one. Or"
            " try another motor, or a spring."
        ),
        "spare": "The drive is too weak at the worst place. A larger ratio, a stronger motor or a spring helps.",
        "current": (
            "Too much current when it starts or brakes: a motor with less stall current, or a spring that carries a"
            " part."
        ),
    },
    earlier=(_DESIGN_1,),
)


# --- shop at home: the mass that is really there ---------------------------------------------------------------------

ANGLES = np.linspace(-60, 75, 8).round(0)  # deg, at which the scale is read


def _holding_test(r, noise):
    """A luggage scale pulls at the tip, at a right angle to the arm, while the arm is held at several angles."""
    pull = r.moment * G * np.cos(np.radians(ANGLES)) / r.length
    pull = pull * (1 + 0.02 * noise.standard_normal(ANGLES.size)) + 0.03 * noise.standard_normal(ANGLES.size)
    return {"angle": (ANGLES, "deg"), "pull": (pull.round(2), "N")}


SHOP = Quantity(
    id="arm-holding-test",
    lesson="arm",
    title="What your arm really weighs",
    text=(
        "You hang a luggage scale on the tip of your arm, {length} from the pivot, pull at a right angle to the arm,"
        " and read the force that just holds it, at several angles. How much torque does the arm need when it is level?"
        " (It is hidden, and each learner's arm is another one: screws and wires weigh more than anyone thinks. You may"
        " be further off than usual.)"
    ),
    kind="torque",
    unit="N·m",
    rows=tuple(
        {"length": (length, "mm"), "moment": (moment, "")}
        for length, moment in (
            (400, 0.212),
            (450, 0.264),
            (350, 0.187),
            (500, 0.301),
            (420, 0.238),
            (480, 0.279),
            (380, 0.203),
            (530, 0.322),
        )
    ),
    answer=lambda r: r.moment * G,
    tolerance=0.05,
    shop=Shop(
        about=f"{ANGLES.size} readings of a scale that holds an arm at several angles.",
        measure=_holding_test,
        fit=lambda columns, r: float(
            np.sum(columns["pull"] * np.cos(columns["angle"])) / np.sum(np.cos(columns["angle"]) ** 2) * r.length
        ),
    ),
    slips=(
        Slip(
            "mean of all angles",
            lambda r: r.moment * G * np.cos(np.radians(ANGLES)).mean(),
            "It looks like the mean of your readings. At the other angles the arm needs less: divide each reading by"
            " the sideways share of its angle first.",
        ),
        Slip(
            "force for torque",
            lambda r: r.moment * G / r.length,
            "That is the pull at the tip. The torque at the pivot is that pull times the length.",
        ),
    ),
    hints=(
        "The pull is torque × cos(angle) / length. So pull × length / cos(angle) should be the same in every row.",
        (
            "Make that column and take its mean. In Python write first: import numpy as np. Then"
            " np.cos(np.radians(data.angle)) is the column of cosines."
        ),
    ),
    explain=(
        "Level, the arm needs {answer}. If the sum on paper gave less, weigh the gripper, the wires and the screws."
    ),
)


EXERCISES = (PREDICT, LEVEL, ANGLE, OWN, RATIO, SPRING, HOLDING, ORDER, DESIGN, SHOP)

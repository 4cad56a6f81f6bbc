"""Exercises of lesson 04: how fast a roller takes a piece in, whether it grips it at all, and how it hands it on."""

import math
from dataclasses import replace

import numpy as np

from mechbench.course.exercise import Challenge, Choice, Item, Option, Order, Prediction, Quantity, Shop, Shown, Slip
from mechbench.course.learner_numbers import in_unit, rounded
from mechbench.course.of_game import PIECES_ELSEWHERE
from mechbench.course.on_bench import found, opened

G = 9.81


def _piece(kit):
    return kit.roles.piece


def _usual_roller(kit):
    rollers = kit.table("rollers")
    return rollers.row(rollers.usual)


def _grip(kit):
    """Friction coefficient between the piece and the kit's usual roller."""
    rollers = kit.table("rollers")
    return kit.friction(rollers.texts["grip"][rollers.index(rollers.usual)])


def _rollers(kit, count):
    """Label and numbers of the kit's rollers, over and over."""
    rollers = kit.table("rollers")
    names = [rollers.names[i % len(rollers.names)] for i in range(count)]
    return [(rollers.labels[name], rollers.row(name)) for name in names]


# --- predict, then slide -------------------------------------------------------------------------------------------


def _squeeze_shown(kit):
    """The friction that there is over that which is needed, from little squeeze to much."""
    squeezes = np.linspace(0.0005, 0.012, 24)
    at, now = found("intake", kit, "squeeze", squeezes, other="wall"), found("intake", kit, other="wall")
    start = opened("intake", kit)["squeeze"]
    numbers = {
        "start": in_unit(start, "mm"),
        "deepest": in_unit(float(now.deepest[0]), "mm"),
        "there": f"{now.nip[0]:.2f}",
        "deep": f"{at.nip[-1]:.2f}",
        "most": in_unit(float(squeezes[-1]), "mm"),
    }
    because = (
        "At a squeeze of {start} the roller has {there} times the friction that it needs; at {most} only {deep} times."
        " From {deepest} on it is too little. The narrower the gap, the more the roller's push points backwards, out of"
        " the gap."
    )
    if at.nip[-1] < at.nip[0]:
        return Shown("out", because, numbers)
    return Shown(
        "same" if at.nip[-1] == at.nip[0] else "better", "With {most} there is {deep} times the friction.", numbers
    )


PREDICT = Prediction(
    id="intake-squeeze-harder",
    lesson="intake",
    title="Squeeze harder?",
    text=(
        "A soft roller turns above a fixed plate. The gap between them is a little narrower than the piece, and "
        "the roller pulls the piece in. Now you make the gap narrower and narrower. What happens?"
    ),
    options=(
        Option(
            "better",
            "The narrower the gap, the harder the roller grips: it pulls better and better.",
            (
                "It is true that the roller presses harder, and so it pulls more. The surprise: its push also points"
                " more and more backwards, and from some squeeze on that pushes out more than the roller pulls in."
            ),
        ),
        Option(
            "out",
            "From a certain gap on, the roller only rubs, and the piece stays out.",
            "A good thought: the roller then pushes the piece out more than it pulls it in.",
        ),
        Option(
            "same",
            "Nothing changes: only the speed of the roller counts.",
            (
                "It is true that the speed of the roller does not depend on the gap. The surprise: whether the roller"
                " grips at all does."
            ),
        ),
    ),
    hints=(),
    explain='Now move the slider "Squeeze" on the bench, and watch the picture and the curves.',
    shows=_squeeze_shown,
)


# --- surface speed -------------------------------------------------------------------------------------------------


def _speed_rows(kit):
    turns = (420, 560, 900, 350, 480, 1100, 610, 390)
    return [
        {"across": in_unit(row["diameter"], "mm"), "turns": (speed, "rpm")}
        for (_, row), speed in zip(_rollers(kit, len(turns)), turns)
    ]


SPEED = Quantity(
    id="intake-surface-speed",
    lesson="intake",
    title="How fast is the surface?",
    text="A roller is {across} across and turns at {turns}. How fast does its surface run?",
    kind="speed",
    unit="m/s",
    rows=_speed_rows,
    answer=lambda r: r.turns * r.across / 2,
    slips=(
        Slip(
            "pi forgotten",
            lambda r: r.turns / (2 * math.pi) * r.across,
            "You multiplied turns by the diameter. In one turn the surface runs once round the roller: that is more "
            "than three diameters.",
        ),
        Slip(
            "diameter for radius",
            lambda r: r.turns * r.across,
            "Twice too fast: you put the diameter where the radius belongs. Once round is π × diameter, or 2 × π × "
            "radius.",
        ),
        Slip(
            "minute for second",
            lambda r: 60 * r.turns * r.across / 2,
            "That is how far the surface runs in a minute. rpm counts turns in a minute, and a minute has 60 seconds.",
        ),
        Slip(
            "rpm taken for rad/s",
            lambda r: 60 / (2 * math.pi) * r.turns * r.across / 2,
            "You used rpm as if they were rad/s. Turns in a second are rpm / 60, and each turn runs once round the"
            " roller.",
        ),
        Slip(
            "radius for diameter",
            lambda r: r.turns * r.across / 4,
            "You multiplied turns by π × radius. Once round is π × diameter, or 2 × π × radius.",
        ),
    ),
    hints=(
        "How far does the surface run in one turn? And how many turns are there in one second?",
        "Speed = π × diameter × turns in a second, with the diameter in metres.",
    ),
    explain="Once round is π × diameter. Times the turns in a second: {answer}.",
    short=True,
)


# --- too slow for a moving robot -----------------------------------------------------------------------------------

SLOW = Choice(
    id="intake-moving-robot",
    lesson="intake",
    title="Good on the table, bad on the field",
    text=(
        "An intake takes pieces in on the table, one after the other. On the driving robot it pushes most pieces "
        "away. Battery and pieces are good. What is most likely the reason?"
    ),
    options=(
        Option(
            "slow",
            "The roller's surface is slower than the robot drives.",
            "Yes. Seen from the robot, the piece comes faster than the surface runs, so the roller brakes it and "
            "pushes it away.",
            right=True,
        ),
        Option(
            "weak",
            "The motor is too weak: it stands still when a piece comes.",
            "Then it would stand still on the table too.",
        ),
        Option(
            "smooth",
            "The pieces are too smooth.",
            "They are the same pieces as on the table, and there they came in.",
        ),
        Option(
            "heavy",
            "The pieces become heavier when the robot drives.",
            "Their mass stays the same. What is different is how fast they come.",
        ),
    ),
    hints=(
        (
            "Sit on the robot: how fast does a piece come to you? How fast does the roller's surface run away from you,"
            " inwards?"
        ),
        "On the table the driving speed is 0, so any roller is fast enough.",
    ),
    explain=("The surface must be faster than the robot drives. Many builders take 1.5 times as fast."),
    short=True,
)


# --- how much faster than the piece --------------------------------------------------------------------------------


def _spare_rows(kit):
    across = in_unit(_usual_roller(kit)["diameter"], "mm")
    cases = ((300, 0.65), (360, 0.80), (420, 0.92), (450, 1.00), (480, 1.05), (520, 1.15), (560, 1.25), (600, 1.30))
    return [
        {"across": across, "turns": (turns, "rpm"), "ground": (ground, "m/s"), "label": _piece(kit).label}
        for turns, ground in cases
    ]


SPARE = Quantity(
    id="intake-speed-to-spare",
    lesson="intake",
    needs=("piece",),
    elsewhere=PIECES_ELSEWHERE,
    title="Faster than the piece comes",
    text=(
        "A robot drives at {ground} towards a {label} that lies still. Its roller is {across} across and turns at "
        "{turns}; where it touches the {label}, its surface runs inwards. By how much is the surface faster than the "
        "{label} comes, seen from the robot?"
    ),
    kind="speed",
    unit="m/s",
    rows=_spare_rows,
    answer=lambda r: r.turns * r.across / 2 - r.ground,
    slips=(
        Slip(
            "driving speed forgotten",
            lambda r: r.turns * r.across / 2,
            "That is how fast the surface runs, seen from the robot. But the {label} comes too, with the driving "
            "speed: subtract that.",
        ),
        Slip(
            "speeds added",
            lambda r: r.turns * r.across / 2 + r.ground,
            "You added the two speeds. Surface and {label} both move inwards, seen from the robot: what counts is "
            "how much faster one is.",
        ),
        Slip(
            "diameter for radius",
            lambda r: r.turns * r.across - r.ground,
            "Your surface runs twice too fast: you put the diameter where the radius belongs.",
        ),
    ),
    hints=(
        "First the speed of the surface: π × diameter × turns in a second.",
        "Seen from the robot, how fast does the {label} come? Which way does the surface run there?",
    ),
    explain="Surface speed minus driving speed: {answer}. Below 0 the robot would push the piece away.",
)


# --- the nip angle -------------------------------------------------------------------------------------------------


def _nip_rows(kit):
    piece, squeezes = _piece(kit), (3, 4, 2.5, 5, 6, 1.5, 3.5, 7)
    return [
        {
            "roller": in_unit(row["diameter"], "mm"),
            "piece": in_unit(piece.narrow, "mm"),
            "squeeze": (squeeze, "mm"),
            "label": piece.label,
        }
        for (_, row), squeeze in zip(_rollers(kit, len(squeezes)), squeezes)
    ]


NIP = Quantity(
    id="intake-nip-angle",
    lesson="intake",
    needs=("piece",),
    elsewhere=PIECES_ELSEWHERE,
    title="The nip angle",
    text=(
        "The piece is a {label}, {piece} across. A roller of {roller} across turns above a plate, and the gap is "
        "{squeeze} narrower than the piece. How large is the nip angle, when roller and piece first touch? (Read it "
        "from the table of nip angles, or with a calculator: its cosine is 1 - squeeze / both radii together.)"
    ),
    kind="angle",
    unit="deg",
    rows=_nip_rows,
    answer=lambda r: math.acos(1 - r.squeeze / ((r.roller + r.piece) / 2)),
    slips=(
        Slip(
            "diameters for radii",
            lambda r: math.acos(1 - r.squeeze / (r.roller + r.piece)),
            "You divided by both diameters, or took half the squeeze. Take both radii; a plate takes no squeeze.",
        ),
        Slip(
            "roller alone",
            lambda r: math.acos(1 - r.squeeze / (r.roller / 2)),
            "You took the roller's radius alone. The piece is round too: add its radius.",
        ),
        Slip(
            "sine for cosine",
            lambda r: math.asin(1 - r.squeeze / ((r.roller + r.piece) / 2)),
            "You turned the sine back into an angle. It must be the cosine; on most calculators that key is cos⁻¹.",
        ),
    ),
    hints=(
        "Both radii together, in mm. Which share of that is the squeeze, in per cent?",
        "Look the share up in the table of nip angles. Between two columns, go the same part of the way in both rows.",
    ),
    near=(
        "Between two columns the nearest one is not good enough: how far is your share from one column to the next? Go"
        " the same part of the way from angle to angle."
    ),
    explain=(
        "The squeeze as a share of both radii gives the angle: {answer}. More squeeze, or smaller rollers, make "
        "it steeper."
    ),
)


# --- against a wall ------------------------------------------------------------------------------------------------

_WALL_1 = Quantity(
    id="intake-against-a-wall",
    lesson="intake",
    title="Against a wall",
    text=(
        "A roller meets a piece at a nip angle of {nip}. On its other side the piece slides along a wall; the "
        "friction coefficient there is {wall}. Which friction coefficient must the roller have at least, so that it "
        "pulls the piece in? (A plain number. Read friction angles from the table, or take tan and tan⁻¹ of a "
        "calculator.)"
    ),
    kind="number",
    unit="",
    rows=tuple(
        {"nip": (nip, "deg"), "wall": (wall, "")}
        for nip, wall in ((20, 0.3), (16, 0.4), (24, 0.3), (18, 0.4), (30, 0.2), (22, 0.3), (26, 0.3), (15, 0.4))
    ),
    answer=lambda r: math.tan(r.nip + math.atan(r.wall)),
    slips=(
        Slip(
            "wall forgotten",
            lambda r: math.tan(r.nip),
            "That would do with a second driven roller in place of the wall. The wall holds the piece back: add its "
            "friction angle.",
        ),
        Slip(
            "coefficients added",
            lambda r: math.tan(r.nip) + r.wall,
            "You added coefficients. Add the angles first, then turn the sum into a coefficient.",
        ),
        Slip(
            "wall helps",
            lambda r: math.tan(r.nip - math.atan(r.wall)),
            "You subtracted the wall's angle. The wall does not help: it drags the piece back.",
        ),
    ),
    hints=(
        "Which friction angle belongs to {wall}?",
        (
            "The roller's friction angle must be at least nip angle + friction angle of the wall. Which coefficient "
            "belongs to that?"
        ),
    ),
    explain=(
        "Nip angle and friction angle of the wall together make the friction angle that the roller must have: {answer}."
    ),
)


def _together(row):
    """The two angles of a row, added."""
    nip, wall = row["nip"][0], row["wall"][0]
    return {**row, "together": (rounded(nip + math.degrees(math.atan(wall)), 3), "deg")}


WALL = replace(
    _WALL_1,
    revision=2,
    rows=tuple(_together(row) for row in _WALL_1.rows),
    text=(
        "A roller meets a piece at a nip angle of {nip}. On its other side the piece slides along a wall; the "
        "friction coefficient there is {wall}. Which friction coefficient must the roller have at least, so that it "
        "pulls the piece in? (A coefficient has no unit: type the number alone. Read the table of friction angles, "
        "there and back, or take tan⁻¹ and tan of a calculator.)"
    ),
    slips=(
        Slip(
            "angle for coefficient",
            lambda r: math.degrees(r.nip + math.atan(r.wall)),
            "That is the angle, and it is right. Now read the coefficient that belongs to it: the table backwards.",
        ),
        *_WALL_1.slips,
    ),
    hints=(
        "Which friction angle belongs to {wall}? Add it to the nip angle.",
        "Now find that sum in the row of friction angles. Which coefficient stands above it, between two columns?",
    ),
    near=(
        "Between two columns neither the nearest one nor midway is good enough: how far is your sum from one angle to"
        " the next? Go the same part of the way from coefficient to coefficient."
    ),
    explain=("Nip angle and friction angle of the wall together: {together}, which is a coefficient of {answer}."),
    earlier=(_WALL_1,),
)


# --- two rollers share the squeeze ---------------------------------------------------------------------------------


def _two_rows(kit):
    piece, row, grip = _piece(kit), _usual_roller(kit), rounded(_grip(kit), 3)
    return [
        {
            "label": piece.label,
            "piece": in_unit(piece.narrow, "mm"),
            "gap": in_unit(rounded(piece.narrow - squeeze / 1000, 4), "mm"),
            "stiffness": in_unit(row["stiffness"], "N/mm"),
            "grip": (grip, ""),
        }
        for squeeze in (6, 8, 5, 10, 7, 9, 4, 11)
    ]


TWO = Quantity(
    id="intake-two-rollers",
    lesson="intake",
    needs=("piece",),
    elsewhere=PIECES_ELSEWHERE,
    title="Two rollers share it",
    text=(
        "The piece is a {label}, {piece} across. It goes between two soft rollers, both driven. The gap between them "
        "is {gap}. Each roller pushes with {stiffness}: that much for each mm by which that roller is squeezed. The "
        "friction coefficient is {grip}. With how much force can both rollers together pull the piece at most?"
    ),
    kind="force",
    unit="N",
    rows=_two_rows,
    answer=lambda r: 2 * r.grip * r.stiffness * (r.piece - r.gap) / 2,
    slips=(
        Slip(
            "squeeze not shared",
            lambda r: 2 * r.grip * r.stiffness * (r.piece - r.gap),
            "You let each roller take the whole squeeze. Two rollers share it: half for each.",
        ),
        Slip(
            "one roller only",
            lambda r: r.grip * r.stiffness * (r.piece - r.gap) / 2,
            "That is the pull of one roller. Both push and both are driven.",
        ),
        Slip(
            "friction forgotten",
            lambda r: 2 * r.stiffness * (r.piece - r.gap) / 2,
            "That is how hard they push. The pull is the push times the friction coefficient.",
        ),
        Slip(
            "divided by friction",
            lambda r: 2 * r.stiffness * (r.piece - r.gap) / 2 / r.grip,
            "You divided by the friction coefficient. Only a share of the push becomes pull: multiply.",
        ),
    ),
    hints=(
        "By how many mm is the piece larger than the gap? How much of that does each roller take?",
        "Push of one roller = its share of the squeeze × push for each mm. Pull = push × friction coefficient. Then "
        "count both rollers.",
    ),
    explain="Each roller takes half of the squeeze, and both pull: {answer}.",
)


# --- in order ------------------------------------------------------------------------------------------------------

ORDER = Order(
    id="intake-friction-order",
    lesson="intake",
    title="Who needs the most grip?",
    text=(
        "Four intakes with rollers of the same size, and the same piece. Where there is a wall, the piece slides "
        "along it."
    ),
    scale="from the least friction needed at the roller to the most",
    items=(
        Item("two-small", "two driven rollers, the gap 3 mm narrower than the piece"),
        Item(
            "two-large",
            "two driven rollers, the gap 6 mm narrower than the piece",
            "More squeeze makes the nip angle steeper, also with two rollers.",
        ),
        Item(
            "wall-small",
            "one driven roller and a wall, the gap 3 mm narrower",
            "Here one roller takes 3 mm, just as each of two rollers does that share 6 mm. But the wall drags the "
            "piece back besides.",
        ),
        Item(
            "wall-large",
            "one driven roller and a wall, the gap 6 mm narrower",
            "One roller takes the whole squeeze here, and the wall drags besides. Nothing is harder.",
        ),
    ),
    hints=(
        "How much squeeze does each roller take? Two share it.",
        "Friction angle needed = nip angle, and against a wall the wall's friction angle on top.",
    ),
    explain=(
        "Two driven rollers share the squeeze and nothing drags. A wall costs twice: the whole squeeze on one "
        "roller, and its drag."
    ),
    short=True,
)


# --- up the ramp ---------------------------------------------------------------------------------------------------


def _ramp_rows(kit):
    piece, grip = _piece(kit), rounded(_grip(kit), 3)
    return [
        {
            "label": piece.label,
            "mass": in_unit(piece.mass, "g"),
            "rise": (rise, "mm"),
            "way": (way, "mm"),
            "grip": (grip, ""),
        }
        for rise, way in ((90, 240), (120, 260), (70, 250), (110, 200), (60, 180), (150, 240), (80, 170), (130, 310))
    ]


RAMP = Quantity(
    id="intake-up-the-ramp",
    lesson="intake",
    needs=("piece",),
    elsewhere=PIECES_ELSEWHERE,
    title="Up the ramp",
    text=(
        "A roller pulls a {label} of {mass} up a smooth ramp. For each {way} along the ramp the {label} "
        "comes {rise} higher. So the roller has to pull only with the share rise / way of its weight. "
        "The friction coefficient between roller and {label} is {grip}. How hard must the roller push on it at "
        "least, so that it does not slip?"
    ),
    kind="force",
    unit="N",
    rows=_ramp_rows,
    answer=lambda r: r.mass * G * r.rise / r.way / r.grip,
    slips=(
        Slip(
            "mass for weight",
            lambda r: r.mass * r.rise / r.way / r.grip,
            "You used kilograms as a force. One kilogram weighs almost 10 N.",
        ),
        Slip(
            "multiplied by friction",
            lambda r: r.mass * G * r.rise / r.way * r.grip,
            "You multiplied by the friction coefficient. Only a share of the push becomes pull, so the push must "
            "be larger than the pull.",
        ),
        Slip(
            "pull for press",
            lambda r: r.mass * G * r.rise / r.way,
            "That is the pull that it needs. Which push gives that much pull?",
        ),
        Slip(
            "whole weight",
            lambda r: r.mass * G / r.grip,
            "You let the roller lift the whole weight. A part of it rests on the ramp.",
        ),
        Slip(
            "bare weight",
            lambda r: r.mass * G,
            "That is the weight of the {label}. Which share of it pulls down the ramp? And which push gives that pull?",
        ),
        Slip(
            "share upside down",
            lambda r: r.mass * G * r.way / r.rise / r.grip,
            "You turned the share upside down. It is rise / way: on a flat ramp next to nothing pulls back.",
        ),
    ),
    hints=(
        "How many newtons does the {label} weigh? Which share of that pulls it down the ramp?",
        "Pull = push × friction coefficient. So push = pull / friction coefficient.",
    ),
    explain=(
        "Weight × rise / way gives the pull. Divided by the friction coefficient it is the push: {answer}. A "
        "rough ramp asks for more."
    ),
)


# --- time for a piece ----------------------------------------------------------------------------------------------


def _period_rows(kit):
    piece = _piece(kit)
    cases = ((40, 1.2), (55, 0.9), (30, 1.5), (60, 0.8), (45, 1.7), (35, 1.1), (50, 1.4), (65, 1.3))
    return [
        {"label": piece.label, "piece": in_unit(piece.narrow, "mm"), "gap": (gap, "mm"), "speed": (speed, "m/s")}
        for gap, speed in cases
    ]


PERIOD = Quantity(
    id="intake-time-for-a-piece",
    lesson="intake",
    needs=("piece",),
    elsewhere=PIECES_ELSEWHERE,
    title="One after the other",
    text=(
        "Pieces come in at {speed}, one {label} after another. Each is {piece} across, and from the rear of one to "
        "the front of the next there are {gap}. How long does it take from one {label} to the next?"
    ),
    kind="time",
    unit="s",
    rows=_period_rows,
    answer=lambda r: (r.piece + r.gap) / r.speed,
    slips=(
        Slip(
            "gap forgotten",
            lambda r: r.piece / r.speed,
            "You left the gap out. Until the next one is at the same place, the {label} and the gap behind it must "
            "pass.",
        ),
        Slip(
            "gap only",
            lambda r: r.gap / r.speed,
            "In that time only the gap passes. The {label} itself has to pass too.",
        ),
        Slip(
            "upside down",
            lambda r: r.speed / (r.piece + r.gap),
            "You divided speed by distance: that tells how many come in a second. Asked is the time for one.",
        ),
    ),
    hints=(
        "Look at the front of one {label}. How far away is the front of the next?",
        "Time = distance / speed, with the distance in metres.",
    ),
    explain="{piece} and {gap} pass at {speed}: {answer}. 1 divided by this time tells how many come in a second.",
    short=True,
)


# --- the second stage ----------------------------------------------------------------------------------------------


def _gap_rows(kit):
    piece = _piece(kit)
    cases = (
        (60, 1.0, 1.5),
        (45, 0.8, 1.0),
        (50, 1.2, 1.6),
        (70, 1.0, 1.4),
        (55, 1.5, 2.0),
        (65, 0.9, 1.3),
        (40, 1.6, 2.0),
        (48, 1.1, 1.5),
    )
    return [
        {
            "label": piece.label,
            "piece": in_unit(piece.narrow, "mm"),
            "gap": (gap, "mm"),
            "first": (first, "m/s"),
            "second": (second, "m/s"),
        }
        for gap, first, second in cases
    ]


GAP = Quantity(
    id="intake-second-stage",
    lesson="intake",
    needs=("piece",),
    elsewhere=PIECES_ELSEWHERE,
    title="The second stage",
    text=(
        "On the first stage, at {first}, the gap between two pieces is {gap}; a {label} is {piece} across. The "
        "second stage runs at {second} and takes them over. How large is the gap there?"
    ),
    kind="length",
    unit="mm",
    rows=_gap_rows,
    answer=lambda r: (r.gap + r.piece) * r.second / r.first - r.piece,
    slips=(
        Slip(
            "ratio upside down",
            lambda r: (r.gap + r.piece) * r.first / r.second - r.piece,
            "You divided the first speed by the second. The second stage is faster, so the pieces must come further "
            "apart.",
        ),
        Slip(
            "gap stretched alone",
            lambda r: r.gap * r.second / r.first,
            "You stretched the gap only. What grows is the distance from front to front, which holds a {label} and "
            "a gap.",
        ),
        Slip(
            "piece not taken off",
            lambda r: (r.gap + r.piece) * r.second / r.first,
            "That is the distance from front to front. The {label} itself fills a part of it.",
        ),
    ),
    hints=(
        "How far is it from the front of one {label} to the front of the next, on the first stage?",
        "That distance grows as the speed does. The {label} stays as it is: subtract it again at the end.",
    ),
    explain=(
        "Front to front grows with the speed, the {label} does not: {answer}. A slower second stage would push "
        "them together, and jam."
    ),
)


# --- a design ------------------------------------------------------------------------------------------------------


def _design_rows_1(kit):
    return _pens(kit, ((0.8, 20, 2.1), (1.0, 30, 2.6), (1.2, 15, 3.0), (0.7, 35, 2.0), (1.1, 25, 2.8), (0.9, 40, 2.4)))


def _design_rows(kit):
    return _pens(kit, ((0.8, 25, 2.1), (1.0, 30, 2.6), (1.2, 15, 3.0), (0.7, 35, 2.0), (1.1, 25, 2.8), (0.9, 40, 2.4)))


def _pens(kit, cases):
    piece, pen = _piece(kit), kit.roles.reach_in
    given = {
        "piece_diameter": in_unit(piece.narrow, "mm"),
        "piece_mass": in_unit(piece.mass, "g"),
        "pen_depth": in_unit(pen.depth, "mm"),
        "pen_gap": in_unit(pen.gap, "mm"),
        "reach": in_unit(pen.depth - piece.narrow / 2, "mm"),
    }
    return [
        {**given, "ground_speed": (ground, "m/s"), "slope": (slope, "deg"), "next_speed": (onward, "m/s")}
        for ground, slope, onward in cases
    ]


_DESIGN_1 = Challenge(
    id="intake-design",
    lesson="intake",
    needs=("piece", "reach_in"),
    instead="intake-corner",
    elsewhere="In another game pieces lie in pens.",
    title="An intake that reaches in",
    text=(
        "A robot drives at {ground_speed} onto one piece after another, each {piece_diameter} across and "
        "{piece_mass}. Behind the roller is a ramp of {slope}, then a stage that runs at {next_speed}. Some pieces lie "
        "at the back of a pen: a place {pen_depth} deep that is open at its front alone, through a mouth {pen_gap} "
        "wide. The intake reaches {reach} out of the robot, into the pen. Choose drive, roller, what it works against, "
        "and the squeeze."
    ),
    sizing="intake",
    rows=_design_rows_1,
    fixed=("ground_speed", "slope", "next_speed", "piece_diameter", "piece_mass", "pen_depth", "pen_gap", "reach"),
    ease={"ground_speed": 0.85, "next_speed": 0.85, "slope": 0.8},
    choose=("drive", "roller", "other", "squeeze"),
    require=(
        "Taken in 1.5 times as fast as the robot drives, not faster than the next stage, gripped at first "
        "touch and on the ramp: all on a bad day too."
    ),
    advice={
        "ratio": (
            "Too slow for this driving speed: a smaller ratio, or a larger roller. A piece that rolls moves at "
            "half the surface speed."
        ),
        "nip": (
            "The roller only rubs: less squeeze, a roller with more grip or a larger one, or a second driven "
            "roller in place of the wall."
        ),
        "climbs": "The roller slips on the ramp: it pushes too little, or its friction is too small.",
        "period": "It takes too long from piece to piece: a faster roller.",
        "jam": "Held fast, the drive breaks its own gears: a smaller ratio, or a stronger gearbox.",
        "jam_current": "On a jam the drive draws too much current: a larger ratio, a smaller roller or less squeeze.",
        "strength": "A jam can break the drive: less squeeze, or a gearbox that may give more.",
        "reaches": "It does not reach the piece at the back of the pen.",
        "enters": "It is too wide for the mouth of the pen, or reaches in too far for a crooked start.",
        "run": "The side plates bring the piece to the middle too slowly.",
        "hands_on": "The roller is faster than the next stage, so pieces would run into each other: a slower roller.",
        "coasts": "The piece stops between roller and next stage: a faster roller.",
    },
    hints=(
        (
            "First the speeds: the roller must be faster than the robot, and slower than the next stage. Which drive "
            "and roller give that?"
        ),
        "Then the squeeze: little enough that it grips at first touch, large enough that it does not slip on the ramp.",
    ),
    explain="It grips, climbs and hands on, on a bad day too. What would you measure first on the real intake?",
)


DESIGN = replace(
    _DESIGN_1,
    revision=2,
    rows=_design_rows,
    asks=("ratio", "hands_on", "nip", "climbs"),
    advice={
        **_DESIGN_1.advice,
        "reaches": "It does not reach the piece at the back of the pen. That is given; nothing on this list helps.",
        "enters": "It gets into the pen only if it comes in straight. That is given; nothing on this list helps.",
        "run": "The side plates bring the piece to the middle too slowly. Nothing on this list helps.",
    },
    earlier=(_DESIGN_1,),
)


# --- shop at home: the speed that is left under load -----------------------------------------------------------------

SQUEEZES = np.arange(0.0, 7.0)  # mm, at which the roller was filmed
RATE, TURNS = 240.0, 4  # pictures a second of the film; turns that are counted


def _film_test(r, noise):
    """Pictures of a film during some turns, with more and more squeeze: speed falls in a straight line."""
    speed = r.empty * (1 - SQUEEZES / r.stall) * (1 + 0.008 * noise.standard_normal(SQUEEZES.size))
    return {"squeeze": (SQUEEZES, "mm"), "pictures": ((RATE * TURNS * math.pi * r.across / speed).round(0), "")}


def _film_fit(columns, r):
    """Speeds from the pictures, a straight line through them, and its place at the squeeze that is asked for."""
    slope, empty = np.polyfit(columns["squeeze"], RATE * TURNS * math.pi * r.across / columns["pictures"], 1)
    return float(empty + slope * r.squeeze)


def _left(r):
    """Surface speed with the squeeze that is asked for; the row's `stall` is in mm."""
    return r.empty * (1 - 1000 * r.squeeze / r.stall)


SHOP = Quantity(
    id="intake-film-test",
    lesson="intake",
    title="The speed that is left",
    text=(
        "You paint a mark on your roller, {across} across, and film it with 240 pictures a second: empty, then "
        "while it pulls a long strip of wood through, with more and more squeeze. Each time you count the pictures "
        "during four turns. How fast does the surface run with a squeeze of {squeeze}? (It is hidden, and each "
        "learner's roller is another one.)"
    ),
    kind="speed",
    unit="m/s",
    rows=tuple(
        {"across": (across, "mm"), "squeeze": (squeeze, "mm"), "empty": (empty, ""), "stall": (stall, "")}
        for across, squeeze, empty, stall in (
            (62, 4.5, 1.71, 29),
            (58, 5.5, 1.48, 34),
            (91, 3.5, 2.23, 24),
            (64, 5.5, 1.92, 31),
            (88, 4.5, 2.41, 27),
            (56, 5.5, 1.36, 36),
            (72, 4.5, 1.83, 26),
            (66, 5.5, 2.07, 33),
        )
    ),
    answer=_left,
    shop=Shop(
        about=f"{SQUEEZES.size} films of a roller, 240 pictures a second: pictures during four turns.",
        measure=_film_test,
        fit=_film_fit,
    ),
    slips=(
        Slip(
            "empty roller",
            lambda r: r.empty,
            "That is the speed of the empty roller. With a piece in it is slower: follow the line to {squeeze}.",
        ),
        Slip(
            "pi forgotten",
            lambda r: _left(r) / math.pi,
            "You multiplied turns by the diameter. In one turn the surface runs π × diameter.",
        ),
        Slip(
            "four turns as one",
            lambda r: _left(r) / TURNS,
            "You took the pictures for those of one turn. They were counted during four turns.",
        ),
        Slip(
            "radius for diameter",
            lambda r: _left(r) / 2,
            "You multiplied turns by π × radius. Once round is π × diameter.",
        ),
    ),
    hints=(
        "Seconds for four turns = pictures / 240. Surface speed = 4 × π × diameter / seconds. Make that column.",
        "Speed falls in a straight line as the squeeze grows. Draw it, and read it at {squeeze}.",
    ),
    explain=(
        "With {squeeze} of squeeze the surface still runs {answer}. That is the speed to compare with the "
        "driving speed, not the empty one."
    ),
)


# --- a game without pens: a piece in a corner of the field ------------------------------------------------------------


def _corner_rows(kit):
    """Fronts so wide that the way to the piece can be told from half of the front."""
    piece = _piece(kit)
    return [
        {
            "label": piece.label,
            "piece": in_unit(piece.width, "mm"),
            "front": in_unit(rounded(times * piece.width, 3), "mm"),
        }
        for times in (4.2, 4.8, 3.9, 5.2, 4.5, 5.4, 3.6, 3.4)
    ]


def _into_the_corner(r):
    return r.front / 2 - r.piece / math.sqrt(2)


CORNER = Quantity(
    id="intake-corner",
    lesson="intake",
    needs=("piece",),
    elsewhere=PIECES_ELSEWHERE,
    title="A piece in the corner",
    text=(
        "A {label}, {piece} across, lies in a corner of the field and touches both walls. A robot comes straight at the"
        " corner, half way between the walls. Its front is straight and {front} wide, and it goes on until both ends of"
        " the front touch a wall. How far must its intake reach out of the front, to the middle of the {label}? (Then"
        " the front is half its width away from the corner. The diagonal of a square is 1.414 times its side.)"
    ),
    kind="length",
    unit="mm",
    rows=_corner_rows,
    answer=_into_the_corner,
    slips=(
        Slip(
            "to the corner itself",
            lambda r: r.front / 2,
            "That reaches into the corner itself. The middle of the {label} lies in front of it.",
        ),
        Slip(
            "radius without the diagonal",
            lambda r: r.front / 2 - r.piece / 2,
            "You took off one radius. The middle is one radius away from each wall: from the corner it is the diagonal"
            " of a square with that side.",
        ),
        Slip(
            "diameter for radius",
            lambda r: r.front / 2 - math.sqrt(2) * r.piece,
            "You took the diagonal of a square as large as the {label}. Its middle is one radius away from the walls.",
        ),
        Slip(
            "whole front",
            lambda r: r.front - r.piece / math.sqrt(2),
            "You took the whole front. Draw it: corner and front make a triangle with two sides alike, and the front is"
            " only half as far from the corner as it is wide.",
        ),
    ),
    hints=(
        "Draw it from above: two walls, the front of the robot across the corner, the {label} in the corner.",
        "How far is the middle of the {label} from the corner? It is one radius away from each wall.",
    ),
    explain=(
        "Half of the front, less radius × 1.414: {answer}. A narrow front gets closer; a wide one needs an intake that"
        " swings out."
    ),
)

STAND_INS = (CORNER,)
EXERCISES = (PREDICT, SPEED, SLOW, SPARE, NIP, WALL, TWO, ORDER, RAMP, PERIOD, GAP, DESIGN, SHOP)

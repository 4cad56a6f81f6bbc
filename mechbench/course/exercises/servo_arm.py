"""Further exercises of lesson 05: an arm on a servo. What it has to hold, how far it swings, how long that takes."""

import numpy as np

from mechbench.course.exercise import Challenge, Quantity, Shop, Slip, rows_of
from mechbench.course.learner_numbers import in_unit, rounded
from mechbench.course.on_bench import opened

G = 9.81
KGF_CM = 0.0980665  # N·m


# --- what the servo has to hold -------------------------------------------------------------------------------------

TORQUE = Quantity(
    id="gripper-arm-torque",
    lesson="gripper",
    title="What the arm asks",
    text=(
        "An arm sits on a servo's shaft. It is {length} long and weighs {arm}, spread evenly along it. At its tip it"
        " holds {tip}. Now it points {angle} above level. Which torque must the servo give to hold it there?"
    ),
    kind="torque",
    unit="N·m",
    rows=rows_of(
        {"length": "mm", "arm": "g", "tip": "g", "angle": "deg"},
        (
            (240, 90, 180, 60),
            (310, 130, 260, 54),
            (180, 110, 220, 64),
            (270, 75, 150, 55),
            (350, 120, 240, 57),
            (220, 100, 200, 62),
            (290, 140, 280, 58),
            (200, 80, 160, 53),
        ),
    ),
    answer=lambda r: (r.tip + r.arm / 2) * G * r.length * np.cos(r.angle),
    slips=(
        Slip(
            "arm's mass at the tip",
            lambda r: (r.tip + r.arm) * G * r.length * np.cos(r.angle),
            "You put the whole mass of the arm at its tip. It is spread along the arm: its middle is at half the"
            " length.",
        ),
        Slip(
            "arm's own mass forgotten",
            lambda r: r.tip * G * r.length * np.cos(r.angle),
            "You left out the arm's own mass. The servo holds that, too.",
        ),
        Slip(
            "both at half the length",
            lambda r: (r.tip + r.arm) / 2 * G * r.length * np.cos(r.angle),
            "You put both masses at half the length. Only the arm's own middle is there; what it holds is at the tip.",
        ),
        Slip(
            "angle forgotten",
            lambda r: (r.tip + r.arm / 2) * G * r.length,
            "That is what it takes when the arm is level. At {angle} the tip is nearer to the pivot, sideways.",
        ),
        Slip(
            "sine for cosine",
            lambda r: (r.tip + r.arm / 2) * G * r.length * np.sin(r.angle),
            "You took how high the tip is. What counts is how far out it is sideways: the cosine of the angle.",
        ),
        Slip(
            "mass for weight",
            lambda r: (r.tip + r.arm / 2) * r.length * np.cos(r.angle),
            "You multiplied kilograms by metres. A torque is a force times a distance: one kilogram weighs 9.81 N.",
        ),
    ),
    hints=(
        "How far out sideways is the tip, and how far out is the middle of the arm?",
        "Torque = weight × distance sideways, for the tip and for the arm's middle; then add both.",
    ),
    explain="Weight times distance sideways, of what it holds and of the arm at its middle: {answer}.",
)


# --- how much a servo holds for long --------------------------------------------------------------------------------


def _hold_rows(kit):
    """The usual servo, its stall torque as shops tell it."""
    table = kit.table("servos")
    known = {
        "servo": table.labels[table.usual],
        "stall": (rounded(table.row(table.usual)["stall_torque"] / KGF_CM, 3), "kgf·cm"),
        "share": in_unit(table.row(table.usual)["holding_share"], "%"),
    }
    stall, share = known["stall"][0] * KGF_CM, table.row(table.usual)["holding_share"]
    rows = []
    for length, part in (
        (200, 0.2),
        (260, 0.24),
        (160, 0.3),
        (230, 0.18),
        (180, 0.26),
        (280, 0.22),
        (140, 0.28),
        (250, 0.32),
    ):
        level = share * stall / (G * length / 1000)  # kg at the tip that it could hold without an arm
        rows.append({**known, "length": (length, "mm"), "arm": (rounded(1000 * 2 * part * level, 2), "g")})
    return rows


HOLDS = Quantity(
    id="gripper-arm-holds",
    lesson="gripper",
    title="How heavy a piece?",
    text=(
        "The data sheet of the {servo} says {stall} at stall, and for long it can hold {share} of that. Its arm is"
        " {length} long and weighs {arm}, spread evenly. What mass can it hold at the tip for long, when the arm is"
        " level? (One kgf·cm is 0.0981 N·m: a kilogram's weight at a lever of one centimetre.)"
    ),
    kind="mass",
    unit="g",
    rows=_hold_rows,
    answer=lambda r: r.share * r.stall / (G * r.length) - r.arm / 2,
    slips=(
        Slip(
            "all of the stall torque",
            lambda r: r.stall / (G * r.length) - r.arm / 2,
            "You took all of the stall torque. With that the servo stands still and gets too hot. For long it holds"
            " {share} of it.",
        ),
        Slip(
            "arm's own mass forgotten",
            lambda r: r.share * r.stall / (G * r.length),
            "You left out the arm's own mass: the servo holds that, too, at half the length.",
        ),
        Slip(
            "arm's mass at the tip",
            lambda r: r.share * r.stall / (G * r.length) - r.arm,
            "You took off the whole mass of the arm. Its middle is at half the length, so only half of it counts at the"
            " tip.",
        ),
        Slip(
            "kgf·cm read as N·m",
            lambda r: r.share * r.stall / KGF_CM / (G * r.length) - r.arm / 2,
            "You took {stall} for as many N·m. One kgf·cm is 0.0981 N·m.",
        ),
        Slip(
            "kgf·cm read as N·cm",
            lambda r: r.share * r.stall / G / (G * r.length) - r.arm / 2,
            "You took {stall} for as many N·cm. One kgf·cm is 9.81 N·cm.",
        ),
    ),
    hints=(
        "How much torque may the servo give for long, in N·m?",
        "Torque / (9.81 × length) is the mass at the tip that asks so much. Half of the arm's mass comes off it.",
    ),
    explain="The torque that lasts, over g and the length, less half of the arm's mass: {answer}.",
)


# --- how far it swings ----------------------------------------------------------------------------------------------

TRAVEL = Quantity(
    id="gripper-arm-travel",
    lesson="gripper",
    title="How far does the arm swing?",
    text=(
        "A servo turns {travel} from end to end. On its shaft sits a gear of {small} teeth, which drives one of {large}"
        " teeth on the arm. Through which angle can the arm swing?"
    ),
    kind="angle",
    unit="deg",
    rows=rows_of(
        {"travel": "deg", "small": "", "large": ""},
        (
            (180, 20, 32),
            (270, 16, 40),
            (200, 24, 36),
            (160, 18, 27),
            (300, 15, 45),
            (220, 22, 48),
            (190, 25, 35),
            (240, 14, 42),
        ),
    ),
    answer=lambda r: r.travel * r.small / r.large,
    slips=(
        Slip(
            "ratio the wrong way",
            lambda r: r.travel * r.large / r.small,
            "You multiplied by the ratio. The larger wheel turns less far: the arm swings less than the servo turns.",
        ),
        Slip(
            "gears forgotten",
            lambda r: r.travel,
            "So far the servo turns. The arm has the larger gear, so it turns less.",
        ),
        Slip(
            "what is left",
            lambda r: r.travel * (1 - r.small / r.large),
            "That is how much less the arm swings than the servo turns. Asked is how far the arm swings.",
        ),
    ),
    hints=(
        "Both gears pass by the same number of teeth.",
        "Angle of the arm = angle of the servo × {small} / {large}.",
    ),
    explain="The servo's turn over the ratio: {answer}. Gears give torque, and take turn and speed for it.",
    short=True,
)


# --- how long that takes --------------------------------------------------------------------------------------------

TIME = Quantity(
    id="gripper-arm-time",
    lesson="gripper",
    title="How long does it take?",
    text=(
        "A servo's data sheet says {sixty} for 60 deg, without load. Through gears of {ratio} : 1, which make the arm"
        " slower, it swings an arm by {angle}. On the way the arm asks {share} of the servo's stall torque. A servo's"
        " speed falls with the torque, down to 0 at stall. How long does the swing take? Leave out the time to get up"
        " to speed."
    ),
    kind="time",
    unit="s",
    rows=rows_of(
        {"sixty": "s", "ratio": "", "angle": "deg", "share": "%"},
        (
            (0.16, 2, 90, 35),
            (0.21, 1.8, 110, 34),
            (0.13, 3, 75, 33),
            (0.19, 2.8, 100, 32),
            (0.24, 1.9, 130, 36),
            (0.17, 2.2, 80, 38),
            (0.15, 2.1, 95, 37),
            (0.22, 1.3, 120, 33),
        ),
    ),
    answer=lambda r: r.sixty * r.ratio * r.angle / np.radians(60) / (1 - r.share),
    slips=(
        Slip(
            "without load",
            lambda r: r.sixty * r.ratio * r.angle / np.radians(60),
            "That is the time without load. With {share} of its stall torque the servo turns slower, by just that"
            " share.",
        ),
        Slip(
            "quicker by the share",
            lambda r: r.sixty * r.ratio * r.angle / np.radians(60) * (1 - r.share),
            "You made the time shorter by {share}. The speed is less by that share, so the time is longer: divide.",
        ),
        Slip(
            "longer by the share",
            lambda r: r.sixty * r.ratio * r.angle / np.radians(60) * (1 + r.share),
            "You made the time longer by {share}. It is the speed that is less by {share}: what is left of it divides"
            " the time.",
        ),
        Slip(
            "share for what is left of the speed",
            lambda r: r.sixty * r.ratio * r.angle / np.radians(60) / r.share,
            "You took {share} for the share of the speed that is left. It is what the torque takes from the speed.",
        ),
        Slip(
            "ratio forgotten",
            lambda r: r.sixty * r.angle / np.radians(60) / (1 - r.share),
            "You let the arm turn as fast as the servo. The gears make it slower.",
        ),
        Slip(
            "ratio the wrong way",
            lambda r: r.sixty * r.angle / np.radians(60) / r.ratio / (1 - r.share),
            "You divided by the ratio. The servo has to turn further than the arm, so it takes longer.",
        ),
    ),
    hints=(
        "By how many degrees does the servo turn, and how long does that take without load?",
        "Without load the speed is whole; with {share} of the stall torque the rest of it is left. Divide the time by"
        " that.",
    ),
    explain="Without load, over what is left of the speed: {answer}.",
)


# --- a design -------------------------------------------------------------------------------------------------------


def _design_rows(kit):
    usual = opened("servo_arm", kit)
    return [
        {
            "payload": (rounded(1000 * usual["payload"] * more, 2), "g"),
            "length": (length, "mm"),
            "end_angle": (end, "deg"),
            "time_wanted": (time, "s"),
        }
        for more, length, end, time in (
            (1.8, 260, 75, 1.5),
            (2.1, 240, 70, 1.6),
            (1.6, 300, 60, 1.4),
            (2.5, 210, 80, 1.7),
            (1.9, 280, 65, 1.6),
            (1.9, 250, 85, 1.7),
        )
    ]


DESIGN = Challenge(
    id="gripper-arm-design",
    lesson="gripper",
    title="An arm that a servo holds",
    text=(
        "An arm of {length} carries {payload} at its tip. A servo must swing it from 20 deg below level to {end_angle}"
        " above level, within {time_wanted}, and hold it anywhere on its way for a whole match. Choose the servo and"
        " the gears between servo and arm."
    ),
    sizing="servo_arm",
    rows=_design_rows,
    asks=("time", "spare", "share", "travel", "strength"),
    fixed=("payload", "length", "end_angle", "time_wanted"),
    ease={"time_wanted": 1.2, "payload": 0.8},
    choose=("servo", "last_stage"),
    require=(
        "It arrives in time, the servo turns no further than it can and does not get too hot, and the gears are strong"
        " enough: all on a bad day too."
    ),
    advice={
        "time": "Too slow: a quicker servo, or gears with a smaller ratio.",
        "spare": "It stalls: a stronger servo, or gears with a larger ratio.",
        "share": "The servo gets too hot while it holds: a stronger servo, or gears with a larger ratio.",
        "travel": "The servo comes to its end before the arm does: gears with a smaller ratio.",
        "strength": "The gears are too weak: steel or bronze, or wheels with more teeth.",
        "droop": "The tip drops too far by play: wheels with more teeth, or a belt.",
        "current": "Too much current for the rail: a servo that draws less.",
    },
    hints=(
        "First the torque at level, and what each servo can hold for long. Which ratio is missing?",
        "Then the other side: ratio × swing must stay within the servo's turn, and the time within the job's.",
    ),
    explain=(
        "It holds, it arrives, and it does not run into the servo's end, on a bad day too. With the power off it falls:"
        " a servo is no brake."
    ),
)


# --- measured at home -----------------------------------------------------------------------------------------------

MASSES = np.array([0.0, 150.0, 300.0, 450.0, 600.0, 750.0, 900.0])  # g, on a cord round a wheel


def _speed_test(r, noise):
    """Seconds for a quarter turn, from a film; the wheel's radius makes a torque of each mass."""
    torque = MASSES / 1000 * G * r.radius
    speed = 90 / (r.sixty * 1.5) * (1 - torque / r.hidden)
    return {
        "mass": (MASSES, "g"),
        "time": ((90 / speed * (1 + 0.01 * noise.standard_normal(MASSES.size))).round(3), "s"),
    }


def _stall_found(columns, r):
    """Where the straight line of speed over torque comes to 0."""
    torque = columns["mass"] * G * r.radius
    slope, free = np.polyfit(torque, 1 / columns["time"], 1)
    return float(-free / slope)


def _test_rows(kit):
    return [
        {"radius": (radius, "mm"), "sixty": (sixty, "s"), "hidden": (hidden, "N·m")}
        for radius, sixty, hidden in (
            (60, 0.18, 1.1),
            (80, 0.21, 1.5),
            (50, 0.16, 0.9),
            (90, 0.24, 1.7),
            (70, 0.19, 1.3),
            (65, 0.22, 1.2),
            (75, 0.17, 1.4),
            (85, 0.2, 1.6),
        )
    ]


SPEED_TEST = Quantity(
    id="gripper-arm-speed-test",
    lesson="gripper",
    title="The stall torque, without a stall",
    text=(
        "A wheel of {radius} radius sits on your servo's shaft, and a cord round it lifts masses. A film tells how long"
        " a quarter turn takes with each of them. Speed falls with torque in a straight line: at which torque would it"
        " come to 0? (The servo is never stalled for it. The number is hidden, and each learner's servo is another one."
        " You may be further off than usual.)"
    ),
    kind="torque",
    unit="N·m",
    rows=_test_rows,
    answer=lambda r: r.hidden,
    tolerance=0.08,
    shop=Shop(
        about=f"{MASSES.size} readings of how long a servo takes for a quarter turn while it lifts a mass on a cord.",
        measure=_speed_test,
        fit=_stall_found,
    ),
    slips=(
        Slip(
            "mass for weight",
            lambda r: r.hidden / G,
            "You multiplied kilograms by the radius. A torque is a force times a distance: one kilogram weighs 9.81 N.",
        ),
        Slip(
            "diameter for radius",
            lambda r: 2 * r.hidden,
            "You took the wheel's diameter. The cord pulls at its radius.",
        ),
    ),
    hints=(
        "Speed is 90 deg over the time. Torque is mass × 9.81 × radius.",
        "A straight line through speed over torque: mb.fit.fit_line(torque, speed) has a slope and an intercept.",
    ),
    explain=(
        "The line comes to 0 at {answer}. A data sheet may promise more: take your own number into the next design."
    ),
)


EXERCISES = (TORQUE, HOLDS, TRAVEL, TIME, DESIGN, SPEED_TEST)

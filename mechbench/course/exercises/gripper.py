"""Exercises of lesson 05: how hard two jaws must squeeze while the robot accelerates, and which servo squeezes so
hard.
"""

from dataclasses import replace

import numpy as np

from mechbench.course.exercise import Challenge, Choice, Item, Option, Order, Prediction, Quantity, Shop, Shown, Slip
from mechbench.course.exercises import servo_arm
from mechbench.course.learner_numbers import in_unit, rounded
from mechbench.course.of_game import PIECES_ELSEWHERE
from mechbench.course.on_bench import found, nearest_of, opened
from mechbench.quantity import to_si

G = 9.81


# --- predict, then slide -------------------------------------------------------------------------------------------


def _start_shown(kit):
    """The squeeze that is needed, hanging still and at the start upwards."""
    still, start = found("gripper", kit, "upward", (0.0, 9.8), level="0 m/s2", offset="0 mm").needed
    numbers = {"still": (still, "N"), "start": (start, "N")}
    because = (
        "Still, each jaw has to squeeze with {still}; at 9.8 m/s² with {start}. Friction carries the weight and, on"
        " top of it, pushes the piece upwards. At 9.8 m/s², which is about g, that push is as large as the weight."
    )
    return Shown(nearest_of({"same": 1.0, "little": 1.1, "double": 2.0, "four": 4.0}, start / still), because, numbers)


PREDICT = Prediction(
    id="gripper-start-upwards",
    lesson="gripper",
    title="A start upwards",
    text=(
        "Two jaws hold a piece that hangs still in the air. Then a lift starts upwards with an acceleration of 9.8"
        " m/s². How hard must the jaws squeeze now, so that the piece does not slip?"
    ),
    options=(
        Option(
            "same",
            "As hard as before: the piece did not get heavier.",
            (
                "It is true that the piece did not get heavier. The surprise: to speed it up takes a force, too, and"
                " only friction can give it."
            ),
        ),
        Option(
            "little",
            "A little harder, about a tenth more.",
            "It is true that it takes more. The surprise is how much: 9.8 m/s² is as much as gravity pulls.",
        ),
        Option("double", "Twice as hard.", "A good thought: the push that speeds it up comes on top of its weight."),
        Option(
            "four",
            "Four times as hard.",
            "It is true that it takes more. The surprise: weight and push add up; they do not multiply.",
        ),
    ),
    hints=(),
    explain=(
        'Now move the slider "Acceleration upwards" on the bench to 9.8 m/s², and watch the squeeze that is needed.'
    ),
    shows=_start_shown,
)


# --- standing still ------------------------------------------------------------------------------------------------


def _piece(kit):
    return kit.roles.piece.mass


STILL = Quantity(
    id="gripper-hangs-still",
    lesson="gripper",
    title="It hangs still",
    text=(
        "Two jaws hold a piece of {mass}. It hangs still. The coefficient of friction between pad and piece is"
        " {friction}. How hard must each jaw squeeze, so that the piece just does not slip?"
    ),
    kind="force",
    unit="N",
    rows=tuple(
        {"mass": (mass, "g"), "friction": (friction, "")}
        for mass, friction in (
            (240, 0.6),
            (310, 0.7),
            (180, 0.45),
            (420, 0.65),
            (260, 0.4),
            (350, 0.55),
            (150, 0.35),
            (390, 0.75),
        )
    ),
    answer=lambda r: r.mass * G / (2 * r.friction),
    slips=(
        Slip(
            "one jaw takes all friction",
            lambda r: r.mass * G / r.friction,
            "You let one pad carry the whole weight. There are two pads, and each of them rubs: each carries half.",
        ),
        Slip(
            "mass for weight",
            lambda r: r.mass / (2 * r.friction),
            "You divided kilograms. The pads must carry a weight, and one kilogram weighs almost 10 N.",
        ),
        Slip(
            "multiplied by the friction",
            lambda r: r.mass * G * r.friction / 2,
            "You multiplied by the coefficient of friction. On smoother pads the jaws must squeeze harder, so divide"
            " by it.",
        ),
        Slip(
            "friction forgotten",
            lambda r: r.mass * G / 2,
            "That is half the weight: what each pad has to carry. How hard must a jaw press, so that friction carries"
            " that much?",
        ),
        Slip(
            "bare weight",
            lambda r: r.mass * G,
            "That is the weight of the piece. Two pads share it, and friction carries only a share of what presses"
            " them.",
        ),
    ),
    hints=(
        "How many newtons does the piece weigh? How much of that does each pad carry?",
        "A pad that is pressed with N can carry up to friction × N.",
    ),
    explain="Each pad carries half of the weight, and it can carry friction times squeeze: {answer} from each jaw.",
    short=True,
)


# --- the robot accelerates -------------------------------------------------------------------------------------------


def _moving_rows_1(kit):
    cases = (
        (4, 0.5, 1.6),
        (5, 0.6, 1.8),
        (6, 0.45, 1.4),
        (3.5, 0.65, 1.6),
        (7, 0.55, 1.4),
        (4.5, 0.7, 1.7),
        (5.5, 0.4, 1.4),
        (6.5, 0.52, 1.45),
    )
    return _starts(kit, cases)


def _moving_rows(kit):
    """Such frictions that one forgotten is told from a forgotten acceleration and from a forgotten safety factor."""
    cases = (
        (4, 0.5, 1.6),
        (5, 0.6, 1.8),
        (6, 0.45, 1.4),
        (3.5, 0.55, 1.6),
        (7, 0.48, 1.4),
        (4.5, 0.5, 1.7),
        (5.5, 0.4, 1.4),
        (6.5, 0.52, 1.45),
    )
    return _starts(kit, cases)


def _starts(kit, cases):
    piece = in_unit(_piece(kit), "g")
    return [
        {
            "label": kit.roles.piece.label,
            "mass": piece,
            "upward": (upward, "m/s2"),
            "friction": (friction, ""),
            "safety": (safety, ""),
        }
        for upward, friction, safety in cases
    ]


_MOVING_1 = Quantity(
    id="gripper-moves-up",
    lesson="gripper",
    needs=("piece",),
    elsewhere=PIECES_ELSEWHERE,
    title="The lift starts",
    text=(
        "Two jaws hold one {label} of {mass}. A lift starts upwards with {upward}. The coefficient of friction is"
        " {friction}. Take a safety factor of {safety}. How hard must each jaw squeeze?"
    ),
    kind="force",
    unit="N",
    rows=_moving_rows_1,
    answer=lambda r: r.safety * r.mass * (G + r.upward) / (2 * r.friction),
    slips=(
        Slip(
            "acceleration forgotten",
            lambda r: r.safety * r.mass * G / (2 * r.friction),
            "You left the acceleration out. While the lift starts, the pads must carry the weight and push the piece"
            " upwards too.",
        ),
        Slip(
            "acceleration taken away",
            lambda r: r.safety * r.mass * (G - r.upward) / (2 * r.friction),
            "You subtracted the acceleration from g. In a lift that starts upwards you feel heavier, not lighter.",
        ),
        Slip(
            "one jaw takes all friction",
            lambda r: r.safety * r.mass * (G + r.upward) / r.friction,
            "You let one pad carry everything. Both pads rub: each carries half.",
        ),
        Slip(
            "safety twice",
            lambda r: r.safety**2 * r.mass * (G + r.upward) / (2 * r.friction),
            "The safety factor is in your sum twice: on the squeeze, and once more on the friction. Once is enough.",
        ),
        Slip(
            "safety forgotten",
            lambda r: r.mass * (G + r.upward) / (2 * r.friction),
            "With that squeeze it just does not slip. Dust or a knock, and it falls. Where is the safety factor of"
            " {safety}?",
        ),
    ),
    hints=(
        "What must both pads carry together? In a lift that starts upwards everything weighs more: m × (g + a).",
        "Squeeze = safety × m × (g + a) / (2 × friction). The mass goes in as kilograms.",
    ),
    explain="The acceleration adds to g, two pads share, and the safety factor counts once: {answer}.",
)


MOVING = replace(
    _MOVING_1,
    revision=2,
    rows=_moving_rows,
    slips=(
        *_MOVING_1.slips,
        Slip(
            "friction forgotten",
            lambda r: r.safety * r.mass * (G + r.upward) / 2,
            "That is what each pad has to carry. How hard must a jaw press, so that friction carries that much?",
        ),
    ),
    earlier=(_MOVING_1,),
)


# --- which way helps -------------------------------------------------------------------------------------------------

BRAKE = Choice(
    id="gripper-stops-below",
    lesson="gripper",
    title="On the way down",
    text="A lift brings a piece down, and brakes hard at the bottom. When does the piece slip most easily?",
    options=(
        Option(
            "start",
            "When the lift starts downwards.",
            "Then the floor of a lift drops away under your feet: you feel lighter, and so does the piece.",
        ),
        Option(
            "middle",
            "On the way, when it moves down evenly and fast.",
            "Speed alone asks for nothing. Only a change of speed does.",
        ),
        Option(
            "bottom",
            "When it brakes at the bottom.",
            "Yes. To stop something that moves down, it must be pushed upwards: the acceleration points up and adds"
            " to g.",
            right=True,
        ),
        Option(
            "never",
            "It is the same all the way: its weight does not change.",
            "Its weight does not, but the pads must also change its speed.",
        ),
    ),
    hints=(
        "Think of a fast lift in a tall house: when do you feel heavy?",
        "Which way must the pads push the piece to start it, and which way to stop it?",
    ),
    explain="Braking on the way down and starting on the way up are the same to the pads: both push the piece upwards.",
    short=True,
)


# --- what a servo gives for long -------------------------------------------------------------------------------------


def _servo(kit):
    table = kit.table("servos")
    return table.labels[table.usual], table.row(table.usual)


def _long_rows(kit):
    label, servo = _servo(kit)
    known = {
        "servo": label,
        "stall": in_unit(servo["stall_torque"], "N·m"),
        "share": in_unit(servo["holding_share"], "%"),
    }
    return [{**known, "lever": (lever, "mm")} for lever in (75, 65, 90, 55, 110, 85, 70, 125)]


LONG = Quantity(
    id="gripper-for-long",
    lesson="gripper",
    title="Squeeze that lasts",
    text=(
        "Each jaw has a {servo} of its own. It stalls with {stall}, and for long it can hold {share} of that. The jaw's"
        " lever is {lever} from pivot to pad and points straight ahead. How hard can each jaw squeeze for long?"
    ),
    kind="force",
    unit="N",
    rows=_long_rows,
    answer=lambda r: r.share * r.stall / r.lever,
    slips=(
        Slip(
            "all of the stall torque",
            lambda r: r.stall / r.lever,
            "You took all of the stall torque. With that the servo stands still and gets too hot. For long it holds"
            " {share} of it.",
        ),
        Slip(
            "torque times lever",
            lambda r: r.share * r.stall * r.lever,
            "You multiplied by the lever. Torque is force × lever, so the force is torque / lever: a longer jaw"
            " squeezes less.",
        ),
        Slip(
            "halved for two jaws",
            lambda r: r.share * r.stall / (2 * r.lever),
            "You halved the torque. That is right where one servo drives both jaws. Here each jaw has its own.",
        ),
    ),
    hints=(
        "How much torque may the servo give for long?",
        "Force = torque / lever, the lever in metres.",
    ),
    explain="The torque that it can hold for long, divided by the lever: {answer}.",
    short=True,
)


# --- which servo: friction, lever and holding share together ----------------------------------------------------------


def _which_rows_1(kit):
    cases = (
        (450, 4, 0.6, 80),
        (520, 5, 0.55, 70),
        (380, 6, 0.5, 95),
        (600, 3.5, 0.7, 85),
        (410, 4.5, 0.45, 60),
        (560, 6.5, 0.65, 100),
        (480, 5.5, 0.4, 65),
        (640, 3, 0.58, 75),
    )
    return _squeezed(kit, cases)


def _which_rows(kit):
    """Such frictions that one forgotten is told from one jaw alone, and from a forgotten acceleration."""
    cases = (
        (450, 4, 0.6, 80),
        (520, 5, 0.55, 70),
        (380, 6, 0.43, 95),
        (600, 3.5, 0.66, 85),
        (410, 4.5, 0.45, 60),
        (560, 6.5, 0.54, 100),
        (480, 5.5, 0.4, 65),
        (640, 3, 0.58, 75),
    )
    return _squeezed(kit, cases)


def _squeezed(kit, cases):
    share = in_unit(_servo(kit)[1]["holding_share"], "%")
    return [
        {
            "mass": (mass, "g"),
            "upward": (upward, "m/s2"),
            "friction": (friction, ""),
            "lever": (lever, "mm"),
            "share": share,
        }
        for mass, upward, friction, lever in cases
    ]


_WHICH_1 = Quantity(
    id="gripper-which-servo",
    lesson="gripper",
    title="Which servo?",
    text=(
        "One servo drives both jaws through a pair of equal gears; leave their losses out. Each lever is {lever} long"
        " and"
        " points straight ahead. The jaws hold a piece of {mass} while it goes up with an acceleration of {upward}."
        " Friction {friction}, no safety factor. For long, the servo holds {share} of its stall torque. What is the"
        " smallest stall torque that will do?"
    ),
    kind="torque",
    unit="N·m",
    rows=_which_rows_1,
    answer=lambda r: r.mass * (G + r.upward) / r.friction * r.lever / r.share,
    slips=(
        Slip(
            "one jaw only",
            lambda r: r.mass * (G + r.upward) / (2 * r.friction) * r.lever / r.share,
            "You have the torque of one jaw. This servo drives both: each jaw asks for squeeze × lever.",
        ),
        Slip(
            "all of the stall torque",
            lambda r: r.mass * (G + r.upward) / r.friction * r.lever,
            "Your servo would work at its stall torque all the time. It can hold only {share} of that for long.",
        ),
        Slip(
            "share the wrong way",
            lambda r: r.mass * (G + r.upward) / r.friction * r.lever * r.share,
            "You multiplied by the share. The servo must be stronger than what it holds, so divide.",
        ),
        Slip(
            "acceleration forgotten",
            lambda r: r.mass * G / r.friction * r.lever / r.share,
            "You left the acceleration out: that servo holds the piece only while it hangs still.",
        ),
    ),
    hints=(
        "Three steps. First: how hard must each jaw squeeze?",
        (
            "Second: squeeze × lever is the torque of one jaw; the servo drives two. Third: that may be {share} of its"
            " stall torque."
        ),
    ),
    explain="Squeeze, times the lever, times two jaws, divided by the share that it can hold: {answer}.",
)


WHICH = replace(
    _WHICH_1,
    revision=2,
    rows=_which_rows,
    slips=(
        *_WHICH_1.slips,
        Slip(
            "friction forgotten",
            lambda r: r.mass * (G + r.upward) * r.lever / r.share,
            "You left the friction out: you let each jaw press with half of what there is to carry. Friction carries"
            " only a share of that.",
        ),
    ),
    earlier=(_WHICH_1,),
)


# --- how quick -------------------------------------------------------------------------------------------------------


def _time_rows(kit):
    label, servo = _servo(kit)
    sixty = (rounded(to_si(60, "deg") / servo["free_speed"], 3), "s")
    return [
        {"servo": label, "sixty": sixty, "angle": (angle, "deg"), "ratio": (ratio, "")}
        for angle, ratio in ((35, 2), (28, 3), (50, 1.5), (42, 2), (65, 1.5), (25, 3), (55, 2), (33, 1.8))
    ]


TIME = Quantity(
    id="gripper-time-to-close",
    lesson="gripper",
    title="Time to close",
    text=(
        "The data sheet of the {servo} says {sixty} for 60 deg. A pair of gears makes the jaws {ratio} times slower"
        " than the servo, and stronger. To close, the jaws turn {angle}. How long does that take, without load?"
    ),
    kind="time",
    unit="s",
    rows=_time_rows,
    answer=lambda r: r.sixty * r.ratio * r.angle / np.radians(60),
    slips=(
        Slip(
            "time of a whole turn",
            lambda r: r.sixty * r.ratio * r.angle / np.radians(360),
            "You took {sixty} for a whole turn. It is for 60 deg, a sixth of a turn.",
        ),
        Slip(
            "ratio forgotten",
            lambda r: r.sixty * r.angle / np.radians(60),
            "You let the jaws turn as fast as the servo. The gears make them slower.",
        ),
        Slip(
            "ratio the wrong way",
            lambda r: r.sixty * r.angle / np.radians(60) / r.ratio,
            "You divided by the ratio. The servo has to turn further than the jaws, so it takes longer.",
        ),
        Slip(
            "60 deg and angle swapped",
            lambda r: r.sixty * r.ratio * np.radians(60) / r.angle,
            "You divided 60 deg by the angle. A larger angle takes longer, so the angle stands on top.",
        ),
    ),
    hints=(
        "By how many degrees does the servo turn while the jaws turn {angle}?",
        "Time = time for 60 deg × that angle / 60 deg.",
    ),
    explain="The servo turns further than the jaws; each 60 deg take it {sixty}: {answer}. With a load it is slower.",
    short=True,
)


# --- the rail -------------------------------------------------------------------------------------------------------


def _rail_rows(kit):
    label, servo = _servo(kit)
    known = {"servo": label, "stall_current": in_unit(servo["stall_current"], "A")}
    return [
        {**known, "jaws": (jaws, ""), "share": (share, "%"), "others": (others, ""), "each": (each, "A")}
        for jaws, share, others, each in (
            (2, 35, 4, 0.6),
            (4, 30, 2, 0.6),
            (2, 25, 4, 0.3),
            (3, 32, 2, 0.5),
            (4, 22, 3, 0.35),
            (2, 38, 2, 0.3),
            (3, 28, 4, 0.25),
            (4, 26, 2, 0.55),
        )
    ]


RAIL = Quantity(
    id="gripper-rail",
    lesson="gripper",
    title="All servos on one supply",
    text=(
        "{jaws} jaws, each with a {servo} of its own, hold at {share} of their stall torque. This servo draws"
        " {stall_current} at stall, and current grows as torque does. {others} more servos draw {each} each. How much"
        " current does the servo rail (the supply of all servos) give?"
    ),
    kind="current",
    unit="A",
    rows=_rail_rows,
    answer=lambda r: r.jaws * r.share * r.stall_current + r.others * r.each,
    slips=(
        Slip(
            "stall current",
            lambda r: r.jaws * r.stall_current + r.others * r.each,
            "You counted the jaw servos at stall. They hold at {share} of their torque, so they draw {share} of that"
            " current.",
        ),
        Slip(
            "only one jaw",
            lambda r: r.share * r.stall_current + r.others * r.each,
            "You counted one jaw servo. All {jaws} of them hold at the same time.",
        ),
        Slip(
            "others forgotten",
            lambda r: r.jaws * r.share * r.stall_current,
            "You left the other servos out. They get their current from the same rail.",
        ),
    ),
    hints=(
        "What does one jaw servo draw at {share} of its torque?",
        "Add all of them, and the others.",
    ),
    explain=(
        "All at the same moment: {answer}. Compare it with the limit of your rail. One servo that is stuck draws its"
        " stall current, and the others get too little."
    ),
)


# --- letting go of one of two ----------------------------------------------------------------------------------------

LET_GO = Choice(
    id="gripper-one-of-two",
    lesson="gripper",
    title="One of two lets go",
    text=(
        "A gripper holds two pieces side by side. In the middle is a fixed plate. From the left a jaw presses one piece"
        " against it, from the right another jaw presses the other. Each jaw has a servo of its own. Now the left jaw"
        " lets go. What happens?"
    ),
    options=(
        Option(
            "both",
            "The right piece falls too: nothing presses from the left.",
            "The plate is fixed to the gripper. It presses back on the right piece, whatever happens on the left.",
        ),
        Option(
            "harder",
            "The right jaw squeezes twice as hard: it no longer shares.",
            "It has a servo of its own, so it never shared. Its squeeze stays.",
        ),
        Option(
            "twist",
            "The right piece stays held, but plate and wrist now feel a force on one side only.",
            "Yes: the plate a push, the wrist a weight. The plate must be stiff enough for one jaw alone, and the wrist"
            " for a weight on one side.",
            right=True,
        ),
        Option(
            "nothing",
            "Nothing else changes.",
            "For the right piece nothing changes. But before, two pushes on the plate balanced, and so did two"
            " weights.",
        ),
    ),
    hints=(
        "Draw all forces on the middle plate, before and after.",
        "And the weights: where is the centre of gravity before, and where after?",
    ),
    explain=(
        "With one servo for both jaws you can't let go of one alone. With two you can, and plate and wrist must"
        " bear it."
    ),
    short=True,
)


# --- in order ------------------------------------------------------------------------------------------------------

ORDER = Order(
    id="gripper-squeeze-order",
    lesson="gripper",
    title="From light to hard",
    text=(
        "The same piece in the same jaws, four times. Slippery pads have half the friction of good ones. "
        "Each start is equally quick. How hard must the jaws squeeze?"
    ),
    scale="from the least squeeze to the most",
    items=(
        Item("down", "a lift starts downwards; good pads"),
        Item(
            "still",
            "it hangs still; good pads",
            "Starting downwards makes it lighter in the jaws; hanging still does not.",
        ),
        Item("upwards", "a lift starts upwards; good pads", "The acceleration upwards adds to g."),
        Item(
            "slippery",
            "a lift starts upwards; slippery pads",
            "With half the friction the jaws must squeeze twice as hard.",
        ),
    ),
    hints=(
        "When does the piece feel lighter in the jaws, and when heavier?",
        "The two that start upwards carry the same. Which of them slips more easily?",
    ),
    explain="m × (g − a), m × g, m × (g + a), and the last one again with half the friction.",
    short=True,
)


# --- a design ------------------------------------------------------------------------------------------------------


def _design_rows_1(kit):
    return _carried(kit)


def _design_rows(kit):
    usual = opened("gripper", kit)
    given = {
        "level": in_unit(usual["level"], "m/s2"),
        "offset": in_unit(usual["offset"], "mm"),
        "safety": (rounded(usual["safety"]), ""),
        "squeeze_allowed": in_unit(usual["squeeze_allowed"], "N"),
    }
    return [{**row, **given} for row in _carried(kit)]


def _carried(kit):
    piece = _piece(kit)
    return [
        {
            "piece_mass": (rounded(1000 * (piece + more), 3), "g"),
            "upward": (upward, "m/s2"),
            "room": (room, "mm"),
            "time_wanted": (time, "s"),
        }
        for more, upward, room, time in (
            (0.12, 4, 40, 0.30),
            (0.18, 3, 50, 0.30),
            (0.08, 6, 45, 0.25),
            (0.15, 5, 35, 0.25),
            (0.22, 3.5, 40, 0.35),
            (0.10, 4.5, 60, 0.30),
        )
    ]


_DESIGN_1 = Challenge(
    id="gripper-design",
    lesson="gripper",
    needs=("piece",),
    elsewhere=PIECES_ELSEWHERE,
    title="A gripper that does not drop it",
    text=(
        "One servo drives two parallel jaws. They hold a piece of {piece_mass}, a little off its centre, "
        "while a lift accelerates upwards "
        "with {upward} and the robot drives off. They must open {room} further than the piece, "
        "close within {time_wanted}, and hold for a whole match. Choose the servo, the "
        "squeeze, the lever and the ratio of the gears."
    ),
    sizing="gripper",
    rows=_design_rows_1,
    fixed=("piece_mass", "upward", "room", "time_wanted"),
    ease={"time_wanted": 1.15, "upward": 0.85},
    choose=("servo", "squeeze", "lever", "ratio"),
    require="Holds with its safety factor, opens and closes as asked, and no servo gets too hot: all on a bad day too.",
    advice={
        "holds": "It may slip: squeeze harder.",
        "squeeze_set": "The piece does not bear so much squeeze: squeeze less.",
        "share": (
            "The servo gets too hot: a stronger servo, a shorter lever, a larger ratio, or less squeeze if the piece"
            " allows it."
        ),
        "time": "Too slow: a quicker servo, a smaller ratio, or a longer lever, which has to turn less.",
        "opens": "The jaws do not open far enough: take a longer lever.",
        "turn": "The servo can't turn that far: a smaller ratio, or a longer lever.",
        "pair": "Too much current for one output of the rail: a larger ratio, a shorter lever or less squeeze.",
        "rail": "Too much current for the rail: a shorter lever, a larger ratio or less squeeze.",
        "between": "Two open jaws meet. The distance of the grippers is given here; nothing on this list helps.",
        "wrist_share": "Too heavy for the wrist, which you can't choose here; nothing on this list helps.",
        "fold_front": "It hits something when it folds. That is given here; nothing on this list helps.",
    },
    hints=(
        "First find a squeeze that holds on a bad day. Then ask what the servo has to give for it.",
        (
            "A shorter lever and a larger ratio help the servo. But the jaws must still open far enough, and close in"
            " time."
        ),
    ),
    explain=(
        "It holds, it opens, and the servo stays cool, on a bad day too. What would you measure first on the real"
        " gripper?"
    ),
)


DESIGN = replace(
    _DESIGN_1,
    revision=2,
    text=(
        "One servo drives two parallel jaws. They hold a piece of {piece_mass}, whose centre of gravity may be {offset}"
        " beside the middle of the pads, while a lift accelerates upwards with {upward} and the robot drives off with"
        " {level}. The piece bears a squeeze of {squeeze_allowed} at most. The jaws must open {room} further than the"
        " piece, close within {time_wanted}, and hold for a whole match. Choose the servo, the squeeze, the lever and"
        " the ratio of the gears."
    ),
    rows=_design_rows,
    asks=("holds", "squeeze_set", "share", "time", "opens", "turn"),
    fixed=("piece_mass", "upward", "room", "time_wanted", "level", "offset", "safety", "squeeze_allowed"),
    require=(
        "It holds with a safety factor of {safety}, opens and closes as asked, the servo turns no further than it can,"
        " and does not get too hot: all on a bad day too."
    ),
    earlier=(_DESIGN_1,),
)


# --- shop at home: what share of the servo's torque reaches the jaws --------------------------------------------------

OPENINGS = np.array([50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 110.0])  # mm, between the pads
STRAIGHT = 60.0  # mm between the pads where the levers point straight ahead


def _scale_test(r, noise):
    """The jaws squeeze board, scale and block together; the wider they stand, the less far ahead of the pivots are
    the pads.
    """
    half = (OPENINGS - STRAIGHT) / 2
    ahead = np.sqrt((1000 * r.lever) ** 2 - half**2).round()
    squeeze = r.hidden * r.stall / (2 * ahead / 1000)
    grams = 1000 * squeeze / G * (1 + 0.015 * noise.standard_normal(OPENINGS.size))
    return {"opening": (OPENINGS, "mm"), "ahead": (ahead, "mm"), "reading": ((grams / 5).round() * 5, "g")}


def _shop_rows(kit):
    label, servo = _servo(kit)
    return [
        {"servo": label, "stall": in_unit(servo["stall_torque"], "N·m"), "lever": (lever, "mm"), "hidden": (hidden, "")}
        for lever, hidden in (
            (70, 0.74),
            (80, 0.68),
            (65, 0.81),
            (75, 0.63),
            (90, 0.77),
            (85, 0.66),
            (60, 0.71),
            (95, 0.84),
        )
    ]


def _share_found(columns, r):
    """Torque of both jaws over the servo's stall torque, the mean of all openings."""
    return float(np.mean(2 * columns["reading"] * G * columns["ahead"]) / r.stall)


SHOP = Quantity(
    id="gripper-scale-test",
    lesson="gripper",
    title="What reaches the jaws?",
    text=(
        "One {servo} drives both jaws of your gripper; on paper it stalls with {stall}. A kitchen scale stands on a"
        " board. The jaws squeeze board, scale and a block together, for two seconds at full force. The scale shows"
        " grams. You do it at several openings, with other blocks, and each time you measure with a ruler how far ahead"
        " of the pivots the pads stand. Which share of the stall torque reaches the jaws? (It is hidden, and each"
        " learner's gripper is another one. You may be further off than usual.)"
    ),
    kind="fraction",
    unit="%",
    rows=_shop_rows,
    answer=lambda r: r.hidden,
    tolerance=0.05,
    shop=Shop(
        about=f"{OPENINGS.size} readings of a kitchen scale between two jaws that one servo closes.",
        measure=_scale_test,
        fit=_share_found,
    ),
    slips=(
        Slip(
            "kilograms for newtons",
            lambda r: r.hidden / G,
            "You multiplied kilograms by the lever. The scale shows a mass; its weight is the force: times 9.81 N/kg.",
        ),
        Slip(
            "one jaw only",
            lambda r: r.hidden / 2,
            "You counted one jaw. The scale shows the squeeze of each jaw, and the servo drives two.",
        ),
    ),
    hints=(
        "In each row: squeeze in N, times how far ahead the pads stand, is the torque of one jaw.",
        "Two jaws: 2 * data.reading / 1000 * 9.81 * data.ahead / 1000. Divide its mean by the stall torque on paper.",
    ),
    explain=(
        "{answer} reaches the jaws; the rest is lost in gears, pins and bending, or the servo never gave it. Use your"
        " own number in the next design."
    ),
)


EXERCISES = (PREDICT, STILL, MOVING, BRAKE, LONG, WHICH, TIME, RAIL, LET_GO, ORDER, DESIGN, SHOP, *servo_arm.EXERCISES)

"""Exercises of lesson 08: stages, rigging and spool of a slide lift; does it stay up, does it bind?"""

import math
from dataclasses import replace

import numpy as np

from mechbench.course.exercise import Challenge, Choice, Item, Option, Order, Prediction, Quantity, Shop, Shown, Slip
from mechbench.course.learner_numbers import in_unit, rounded
from mechbench.course.of_game import PIECES_ELSEWHERE
from mechbench.course.on_bench import found, opened

G = 9.81


# --- predict, then slide -------------------------------------------------------------------------------------------


def _rigging_shown(kit):
    """The torque to spare and the time of one lift, rigged both ways."""
    at = found("lift", kit, "rigging", ("cascade", "continuous"), spring="none")
    less = float(at.spare[1] - at.spare[0])
    numbers = {"stages": opened("lift", kit)["stages"], "more": (abs(less), "N·m")}
    numbers |= {"cascade": (at.time[0], "s"), "continuous": (at.time[1], "s")}
    because = (
        "With {stages} moving stages the cascade takes {more} more on the spool. There all stages go up at once, so"
        " the top rises {stages} times as far as the spool winds, and what is won in way is paid in torque. It is"
        " quicker for it: {cascade} at best, and {continuous} with continuous rigging."
    )
    if less > 0:
        return Shown("cascade", because, numbers)
    return Shown("continuous" if less < 0 else "same", "The difference here is {more} on the spool.", numbers)


PREDICT = Prediction(
    id="lift-which-rigging",
    lesson="lift",
    title="Which rigging pulls harder?",
    text=(
        "The same lift with several moving stages is built twice. In the first (cascade) all stages move at once. In"
        " the second (continuous) one stage moves after another, the top one first. Motor, spool and load are the same."
        " Which one needs more torque on the spool?"
    ),
    options=(
        Option("cascade", "The cascade.", "A good thought: who moves further with each turn has to pull harder."),
        Option(
            "continuous",
            "The continuous one.",
            (
                "It is true that its spool winds more cord. The surprise: with more cord to wind it has a longer way"
                " for the same work, so it pulls less."
            ),
        ),
        Option(
            "same",
            "Both the same: the load is the same.",
            (
                "It is true that the load and the rise are the same. The surprise: the spool does the same work in a"
                " shorter way, so it has to pull harder."
            ),
        ),
    ),
    hints=(),
    explain="Now look at the two curves on the bench, and choose the other rigging there.",
    shows=_rigging_shown,
)


# --- how high ------------------------------------------------------------------------------------------------------

RISE = Quantity(
    id="lift-rise",
    lesson="lift",
    title="How much higher?",
    text=(
        "An upright lift has one slide fixed to the robot and {stages} slides that move. Each slide is {length} long,"
        " and {rest} of each moving slide must stay inside the slide below. How much higher does the top come?"
    ),
    kind="length",
    unit="mm",
    rows=tuple(
        {"stages": (stages, ""), "length": (length, "mm"), "rest": (rest, "mm")}
        for stages, length, rest in (
            (3, 320, 55),
            (2, 350, 70),
            (4, 280, 80),
            (3, 400, 65),
            (2, 260, 52),
            (3, 360, 60),
            (2, 330, 82),
            (4, 450, 130),
        )
    ),
    answer=lambda r: r.stages * (r.length - r.rest),
    slips=(
        Slip(
            "fixed slide counted",
            lambda r: (r.stages + 1) * (r.length - r.rest),
            "You counted the slide that is fixed to the robot. It does not move, so it gives no rise.",
        ),
        Slip(
            "one stage short",
            lambda r: (r.stages - 1) * (r.length - r.rest),
            "You counted one stage too few. All {stages} slides move, each one against the slide below it.",
        ),
        Slip(
            "whole length",
            lambda r: r.stages * r.length,
            "You let each slide come out with its whole length. Then it would fall off: {rest} must stay inside.",
        ),
    ),
    hints=(
        "How far can one slide move against the slide below it?",
        "Rise = number of moving slides × travel of one slide.",
    ),
    explain="Each moving slide adds its travel: length minus what stays inside. Together that is {answer}.",
    short=True,
)


# --- leaning -------------------------------------------------------------------------------------------------------

# As it was asked before: with angles that stand in no table of the lesson.
_LEAN_1 = Quantity(
    id="lift-leaning",
    lesson="lift",
    title="A lift that leans",
    text=(
        "A lift with {stages} moving stages leans: its rails point {lean} above level. Each stage travels {travel}"
        " along the rails. How much higher does the top come, straight up? (The upward share of {lean} stands in the"
        " reading disc: it is the sine.)"
    ),
    kind="length",
    unit="mm",
    rows=tuple(
        {"stages": (stages, ""), "travel": (travel, "mm"), "lean": (lean, "deg")}
        for stages, travel, lean in (
            (3, 240, 60),
            (2, 260, 50),
            (2, 220, 55),
            (3, 210, 52),
            (4, 190, 60),
            (2, 280, 48),
            (3, 250, 63),
            (4, 170, 58),
        )
    ),
    answer=lambda r: r.stages * r.travel * np.sin(r.lean),
    slips=(
        Slip(
            "cosine for sine",
            lambda r: r.stages * r.travel * np.cos(r.lean),
            "You used the sideways share, the cosine. That is how far the top comes forward. Asked is how much higher"
            " it comes.",
        ),
        Slip(
            "as if upright",
            lambda r: r.stages * r.travel,
            "That is the way along the rails. The rails lean, so not all of it goes up.",
        ),
        Slip(
            "one stage only",
            lambda r: r.travel * np.sin(r.lean),
            "That is the rise of one stage. There are {stages} that move.",
        ),
    ),
    hints=(
        "How long is the way of the top along the rails?",
        "Rise = way along the rails × sin(angle).",
    ),
    explain="The way along the rails, times its upward share: {answer}.",
)

LEAN = replace(
    _LEAN_1,
    revision=2,
    text=_LEAN_1.text.replace("reading disc", "table of angles"),
    rows=tuple(
        {"stages": (stages, ""), "travel": (travel, "mm"), "lean": (lean, "deg")}
        for stages, travel, lean in (
            (2, 260, 60),
            (3, 240, 30),
            (4, 190, 60),
            (2, 220, 60),
            (3, 210, 30),
            (4, 170, 60),
            (2, 280, 60),
            (3, 250, 30),
        )
    ),
    slips=(
        *_LEAN_1.slips,
        Slip(
            "fixed slide counted",
            lambda r: (r.stages + 1) * r.travel * np.sin(r.lean),
            "You counted the slide that is fixed to the robot, too. {stages} of them move.",
        ),
        Slip(
            "divided by the share",
            lambda r: r.stages * r.travel / np.sin(r.lean),
            "You divided by the upward share. The rise is less than the way along the rails: multiply.",
        ),
    ),
    earlier=(_LEAN_1,),
)


# --- pull in the cord of a cascade ---------------------------------------------------------------------------------


def _usual(kit, table):
    parts = kit.table(table)
    return parts.row(parts.usual)


MOST_STAGES_AT_TOP = 3.5  # masses of a stage, with two stages


def _pull_rows(kit):
    piece, stage = kit.roles.piece.mass, _usual(kit, "slides")["stage_mass"]
    cases = ((3, 0.42), (2, 0.50), (3, 0.35), (2, 0.47), (3, 0.52), (2, 0.38), (3, 0.48), (2, 0.45))
    rows = []
    for n, bucket in cases:
        # At a heavy top nobody could tell how often a light stage was counted: so much less is in the bucket.
        less = 0.10 if n == 2 and bucket + piece > MOST_STAGES_AT_TOP * stage else 0.0
        top = in_unit(rounded(bucket - less + piece, 3), "kg")
        rows.append({"stages": (n, ""), "top": top, "stage": in_unit(stage, "kg")})
    return rows


PULL = Quantity(
    id="lift-cascade-pull",
    lesson="lift",
    needs=("piece",),
    elsewhere=PIECES_ELSEWHERE,
    title="Pull in a cascade",
    text=(
        "An upright cascade has {stages} moving stages of {stage} each. At the top are {top}: bucket and piece. Leave"
        " friction out. What is the pull in the cord that the motor winds?"
    ),
    kind="force",
    unit="N",
    rows=_pull_rows,
    answer=lambda r: (r.stages * r.top + r.stages * (r.stages + 1) / 2 * r.stage) * G,
    slips=(
        Slip(
            "plain weight",
            lambda r: (r.top + r.stages * r.stage) * G,
            "That is the weight of everything. But the top moves further than the cord that you wind, so its weight"
            " counts more than once.",
        ),
        Slip(
            "each stage once",
            lambda r: (r.stages * r.top + r.stages * r.stage) * G,
            "You counted each stage once. Stage 2 moves twice as far as the cord, so it counts twice, and so on.",
        ),
        Slip(
            "all like the top",
            lambda r: r.stages * (r.top + r.stages * r.stage) * G,
            "You let every stage count as often as the top. Stage 1 moves only as far as the cord.",
        ),
        Slip(
            "mass for weight",
            lambda r: r.stages * r.top + r.stages * (r.stages + 1) / 2 * r.stage,
            "You added kilograms. Asked is a pull: one kilogram weighs 9.81 N.",
        ),
        Slip(
            "stages left out",
            lambda r: r.stages * r.top * G,
            "You left out the stages themselves. They are lifted, too.",
        ),
    ),
    hints=(
        "How far does each stage move when you wind 1 cm of cord?",
        (
            "Stage 1 counts once, stage 2 twice ... and what is at the top counts like the last stage. Then times 9.81"
            " N/kg."
        ),
    ),
    explain="Stage i counts i times, the load at the top as often as the last stage: {answer}.",
)


# --- torque on the spool, continuous -------------------------------------------------------------------------------


def _torque_rows(kit):
    spools, stage = kit.table("spools"), _usual(kit, "slides")["stage_mass"]
    cord = _usual(kit, "cords")["diameter"]
    found = []
    for n, top, which in (
        (3, 0.60, 0),
        (2, 0.90, 1),
        (3, 0.75, 2),
        (2, 0.70, 0),
        (3, 0.52, 1),
        (2, 0.80, 2),
        (3, 0.85, 1),
        (2, 1.00, 0),
    ):
        spool = spools.row(spools.names[which % len(spools.names)])
        found.append(
            {
                "stages": (n, ""),
                "top": in_unit(top, "kg"),
                "stage": in_unit(stage, "kg"),
                "across": in_unit(rounded(spool["diameter"] + cord, 3), "mm"),
            }
        )
    return found


TORQUE = Quantity(
    id="lift-continuous-torque",
    lesson="lift",
    title="Torque on the spool",
    text=(
        "Now an upright lift with continuous rigging: one cord, one stage after another. It has {stages} moving stages"
        " of {stage} each, and {top} at the top. The middle of the cord runs on a circle of {across} (its diameter)."
        " Without friction: how much torque does the spool need at the end of the way, when all stages move?"
    ),
    kind="torque",
    unit="N·m",
    rows=_torque_rows,
    answer=lambda r: (r.top + r.stages * r.stage) * G * r.across / 2,
    slips=(
        Slip(
            "as in a cascade",
            lambda r: (r.stages * r.top + r.stages * (r.stages + 1) / 2 * r.stage) * G * r.across / 2,
            "That is the torque of a cascade. In continuous rigging a stage that moves goes as far as the cord, so each"
            " weight counts once.",
        ),
        Slip(
            "diameter for radius",
            lambda r: (r.top + r.stages * r.stage) * G * r.across,
            "You used the diameter as the lever. The lever is the radius, half of it.",
        ),
        Slip(
            "top only",
            lambda r: r.top * G * r.across / 2,
            "That is the first part of the way, when the last stage has only begun to move and you left its mass out."
            " Asked is the end: all stages move.",
        ),
        Slip(
            "mass for weight",
            lambda r: (r.top + r.stages * r.stage) * r.across / 2,
            "You multiplied kilograms by metres. Torque is a force times a lever, and one kilogram weighs 9.81 N.",
        ),
        Slip(
            "pull, not torque",
            lambda r: (r.top + r.stages * r.stage) * G,
            "That is the pull in the cord, in newtons. Torque is the pull times the radius on which the cord runs.",
        ),
        Slip(
            "one stage only",
            lambda r: (r.top + r.stage) * G * r.across / 2,
            "You counted one stage. At the end of the way all {stages} of them move.",
        ),
    ),
    hints=(
        "How often does each weight count in continuous rigging?",
        "Torque = pull × radius of the circle on which the cord runs, in metres.",
    ),
    explain=(
        "All weights once, times the radius: {answer}. The price is a longer way: the spool winds {stages} times as"
        " much cord."
    ),
)


# --- speed of the top ----------------------------------------------------------------------------------------------


def _speed_rows(kit):
    spools, cord = kit.table("spools"), _usual(kit, "cords")["diameter"]
    found = []
    for n, turns, which in (
        (3, 200, 1),
        (2, 310, 0),
        (4, 150, 1),
        (3, 240, 0),
        (2, 270, 2),
        (4, 130, 2),
        (3, 180, 2),
        (2, 350, 1),
    ):
        spool = spools.row(spools.names[which % len(spools.names)])
        found.append(
            {"stages": (n, ""), "turns": (turns, "rpm"), "across": in_unit(rounded(spool["diameter"] + cord, 3), "mm")}
        )
    return found


SPEED = Quantity(
    id="lift-top-speed",
    lesson="lift",
    title="How fast is the top?",
    text=(
        "The spool of a cascade turns at {turns}. The middle of the cord runs on a circle of {across} (its diameter)."
        " {stages} stages move. How fast does the top move along the rails?"
    ),
    kind="speed",
    unit="m/s",
    rows=_speed_rows,
    answer=lambda r: r.stages * r.turns * r.across / 2,
    slips=(
        Slip(
            "cord's speed",
            lambda r: r.turns * r.across / 2,
            "That is the speed of the cord, and of stage 1. The top of a cascade of {stages} stages is faster.",
        ),
        Slip(
            "diameter for radius",
            lambda r: r.stages * r.turns * r.across,
            "Twice too fast: you used the diameter for the radius. One turn winds π × diameter of cord.",
        ),
        Slip(
            "turns for radians",
            lambda r: r.stages * r.turns / (2 * math.pi) * r.across / 2,
            "You multiplied turns by the radius. One turn winds a whole round of cord: π × diameter.",
        ),
        Slip(
            "turns a minute taken for a second",
            lambda r: 60 * r.stages * r.turns * r.across / 2,
            "You let it turn {turns} in one second. rpm is turns in one minute: divide by 60.",
        ),
        Slip(
            "rpm taken for rad/s",
            lambda r: 60 * r.stages * r.turns / (2 * math.pi) * r.across / 2,
            "You used rpm as if they were rad/s. Turn them into rad/s first: times 2π, divided by 60.",
        ),
        Slip(
            "neither 60 nor π",
            lambda r: 60 * r.stages * r.turns / (2 * math.pi) * r.across,
            "You multiplied turns in one minute by the diameter. One turn winds π × diameter, and a minute has 60"
            " seconds.",
        ),
    ),
    hints=(
        "How much cord does one turn wind? How many turns are there in one second?",
        "The speed of the cord, times the number of stages that move.",
    ),
    explain="One turn winds π × diameter of cord. The top of the cascade moves {stages} times as fast: {answer}.",
    short=True,
)


# --- does it bind? -------------------------------------------------------------------------------------------------


def _bind_rows(kit):
    slide = _usual(kit, "slides")
    return [
        {
            "offset": (offset, "mm"),
            "length": in_unit(slide["stage_length"], "mm"),
            "travel": in_unit(slide["stage_travel"], "mm"),
            "friction": (rounded(factor * slide["rail"], 3), ""),
        }
        for offset, factor in ((80, 1), (60, 2), (120, 1), (45, 2), (150, 1), (70, 2), (100, 1.5), (110, 1))
    ]


BIND = Quantity(
    id="lift-binding",
    lesson="lift",
    title="Like a drawer that jams",
    text=(
        "A load hangs {offset} in front of its rail: that is its offset. The slide is {length} long and is out by its"
        " travel, {travel}: only the rest guides it. Slide on rail has a friction coefficient of {friction}. How large"
        " is the friction, as a share of the load's own weight? (At 100 % the slide jams on its way down. Share = 2 ×"
        " friction coefficient × offset / guided length.)"
    ),
    kind="fraction",
    unit="%",
    rows=_bind_rows,
    answer=lambda r: 2 * r.friction * r.offset / (r.length - r.travel),
    slips=(
        Slip(
            "whole slide guides",
            lambda r: 2 * r.friction * r.offset / r.length,
            "You let the whole slide guide. Only the part that is still inside the slide below does.",
        ),
        Slip(
            "travel for guide",
            lambda r: 2 * r.friction * r.offset / r.travel,
            "You divided by the travel. That part is out; the part that is still inside guides.",
        ),
        Slip(
            "one side only",
            lambda r: r.friction * r.offset / (r.length - r.travel),
            "You left out the 2: the slide presses at both ends of its guide, one way at the top and the other way at"
            " the bottom.",
        ),
        Slip(
            "friction coefficient left out",
            lambda r: 2 * r.offset / (r.length - r.travel),
            "You left the friction coefficient out. The two lengths tell how hard the slide presses; of that,"
            " friction is a share.",
        ),
    ),
    hints=(
        "How many mm of the slide are still inside?",
        "Put it into the formula of the question, all lengths in the same unit.",
    ),
    explain="The guided rest is short, so the load presses hard on its ends: friction takes {answer} of the weight.",
)


# --- what a cord can't do ------------------------------------------------------------------------------------------

DOWN = Choice(
    id="lift-comes-down",
    lesson="lift",
    title="It does not come down",
    text="A light lift is up. The motor lets out its cord, the cord hangs loose, but the stages stay up. What helps?",
    options=(
        Option(
            "stronger",
            "A stronger motor.",
            "It would let out the same loose cord. A cord can pull, but it can't push.",
        ),
        Option(
            "return",
            "A second cord, a return line, that pulls it down.",
            "Yes. The same shaft winds it in while it lets the first one out, so no cord gets loose.",
            right=True,
        ),
        Option(
            "faster",
            "Let the cord out faster.",
            "Then even more cord is loose, and it jumps off the spool.",
        ),
        Option(
            "thicker",
            "A thicker cord.",
            "It would be loose too.",
        ),
    ),
    hints=(
        "Which force is there that moves the stages down? What holds against it?",
        "Friction in the rails is larger than their weight along the rails. What could add a pull downwards?",
    ),
    explain=(
        "A cord only pulls. Where friction can hold the stages up, something must pull them down: a return line. On a"
        " bad day this happens often."
    ),
    short=True,
)


# --- power off -----------------------------------------------------------------------------------------------------

POWER = Choice(
    id="lift-power-off",
    lesson="lift",
    title="It must stay up",
    text=(
        "A lift is up, and the robot is switched off. It must stay up for as long as you like. Which change does that"
        " for certain?"
    ),
    options=(
        Option(
            "bigger",
            "A motor with twice the stall torque.",
            "A motor pushes only while current flows. Switched off, it does not hold.",
        ),
        Option(
            "short",
            "A controller that joins the motor's wires when off.",
            "A motor with joined wires slows the fall, but it only resists while it turns: the lift creeps down.",
        ),
        Option(
            "ratchet",
            "A ratchet: a catch that lets the spool turn one way only.",
            "Yes. It holds without any current, as long as its parts hold. To come down, the catch must be lifted.",
            right=True,
        ),
        Option(
            "oil",
            "Clean and oiled rails.",
            "Less friction lets it sink more easily.",
        ),
    ),
    hints=(
        "Driven hold, shorted creep, unpowered hold: which of them needs no current and does not move?",
        "Which of the four is a lock made of solid parts?",
    ),
    explain=(
        "Solid parts hold for certain without current: a ratchet, or a pin through the slides. Rails and a"
        " self-locking screw"
        " hold by friction, which may let go when it is shaken."
    ),
    short=True,
)


# --- in order ------------------------------------------------------------------------------------------------------

ORDER = Order(
    id="lift-pull-order",
    lesson="lift",
    title="From light to heavy",
    text=(
        "Four upright lifts raise the same load. Their stages are so light that they don't count, and nothing rubs. In"
        " one of them a spring on the top stage takes half of the load. Think of the pull in the cord that the motor"
        " winds."
    ),
    scale="from the least pull to the most",
    items=(
        Item("spring", "four stages, continuous, spring takes half"),
        Item(
            "continuous",
            "four stages, continuous, no spring",
            "In continuous rigging the number of stages does not matter: the load counts once. The spring takes half of"
            " it away.",
        ),
        Item(
            "two",
            "two stages, cascade",
            "In a cascade of two, the load moves twice as far as the cord, so it counts twice.",
        ),
        Item("three", "three stages, cascade", "The more stages in a cascade, the more often the load counts."),
    ),
    hints=(
        "How far does the load move when you wind 1 cm of cord?",
        "A load that moves twice as far as the cord pulls twice as hard on it.",
    ),
    explain="Half the load, the load, twice the load, three times the load.",
    short=True,
)


# --- a design ------------------------------------------------------------------------------------------------------


def _design_rows(kit):
    piece = kit.roles.piece.mass
    return [
        {"payload": (rounded(piece + bucket, 3), "kg"), "rise_wanted": (rise, "mm"), "time_wanted": (time, "s")}
        for bucket, rise, time in (
            (0.45, 430, 0.8),
            (0.60, 350, 0.8),
            (0.50, 500, 1.0),
            (0.80, 420, 0.9),
            (0.70, 480, 1.0),
            (0.55, 380, 0.7),
        )
    ]


DESIGN = Challenge(
    id="lift-design",
    lesson="lift",
    needs=("piece",),
    elsewhere=PIECES_ELSEWHERE,
    title="A lift for the high goal",
    text=(
        "The rails of a lift point 70 deg above level. Its top carries {payload}. It must come {rise_wanted} higher"
        " within {time_wanted}, and stop there. Choose the stages, the rigging, the gearbox and the spool."
    ),
    sizing="lift",
    rows=_design_rows,
    fixed=("payload", "rise_wanted", "time_wanted"),
    ease={"time_wanted": 1.2, "payload": 0.9, "rise_wanted": 0.94},
    choose=("stages", "rigging", "gearbox", "drum"),
    asks=(
        "time",
        "time_down",
        "rise",
        "stages",
        "spare",
        "binds",
        "cord_used",
        "strength",
        "fuse_used",
        "volts",
    ),
    require="High enough, up and down within {time_wanted}, no part overloaded, nothing jams: all on a bad day too.",
    advice={
        "rise": "Not high enough: another stage adds its travel.",
        "stages": "The slide can't be built with so many stages.",
        "time": (
            "Too slow. If there is much torque to spare, take a smaller ratio or a larger spool; if there is little,"
            " the other way round."
        ),
        "time_down": "Too slow on the way down: a smaller ratio or a larger spool makes it faster.",
        "spare": "The drive is too weak. A larger ratio, a smaller spool or continuous rigging helps.",
        "fuse_used": "The fuse melts: a larger ratio or a smaller spool makes it easier for the motor.",
        "strength": "The gearbox is too weak for this torque. A smaller spool helps.",
        "volts": "The battery sags too far: less current helps.",
        "cord_used": "The cord or belt is pulled too hard: fewer stages in a cascade, or continuous rigging.",
        "hot_after": "It gets too hot while it holds: a larger ratio or a smaller spool takes current away.",
        "binds": "It jams on its way down. The load would have to sit nearer to its rail.",
        "spring_used": "The helping spring is too short for this way.",
        "tip": "The top moves too far by play: fewer stages.",
    },
    hints=(
        "First the rise: how many stages does it take? Then look at time and torque to spare together.",
        "Try the next gearbox up and down, and the next spool. Each of them changes speed and torque in opposite ways.",
    ),
    explain=(
        "It is high enough, quick enough and stays whole, on a bad day too. What would you measure first on the real"
        " lift?"
    ),
)


# --- shop at home: what the lift can raise at most -------------------------------------------------------------------

ADDED = np.array([0.0, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0])  # kg, put into the bucket
MARKS = 0.40  # m between two marks on the rail


def _lift_test(r, noise):
    """Time between two marks with more and more mass in the bucket: at a fixed voltage speed falls in a straight
    line.
    """
    speed = r.empty * (1 - ADDED / r.stall)
    return {
        "mass": (ADDED, "kg"),
        "time": ((MARKS / speed * (1 + 0.008 * noise.standard_normal(ADDED.size))).round(3), "s"),
    }


SHOP = Quantity(
    id="lift-time-test",
    lesson="lift",
    title="What stops your lift?",
    text=(
        "Two marks on the rail of your lift are 400 mm apart. You film it with a phone, empty and with more and more"
        " mass in the bucket, and read the time between the marks. Speed falls in a straight line as the mass grows."
        " With how much mass in the bucket does the lift stand still? (It is hidden, and each learner's lift is another"
        " one. You may be further off than usual.)"
    ),
    kind="mass",
    unit="kg",
    rows=tuple(
        {"empty": (empty, ""), "stall": (stall, "")}
        for empty, stall in (
            (0.82, 4.6),
            (0.95, 4.1),
            (0.71, 5.0),
            (1.05, 4.4),
            (0.88, 4.9),
            (0.64, 5.1),
            (1.12, 4.2),
            (0.77, 4.7),
        )
    ),
    answer=lambda r: r.stall,
    tolerance=0.06,
    shop=Shop(
        about=f"{ADDED.size} lifts between two marks 400 mm apart, with more and more mass in the bucket.",
        measure=_lift_test,
        fit=lambda columns, r: _where_it_stops(columns["mass"], MARKS / columns["time"]),
    ),
    slips=(
        Slip(
            "heaviest reading",
            lambda r: ADDED[-1],
            "That is the heaviest mass of your readings. With that mass it still moves. Go on along the line until the"
            " speed is 0.",
        ),
        Slip(
            "half speed",
            lambda r: r.stall / 2,
            "With that mass the lift still runs at half its empty speed. Asked is where it stands still.",
        ),
    ),
    hints=(
        (
            "Make a column of speeds: 0.4 m divided by the time. Draw the speeds over the masses: do the points lie on"
            " a line?"
        ),
        (
            "The line begins at the empty speed and falls by a fixed step for each kilogram. After how many kilograms"
            " is it 0?"
        ),
    ),
    explain=(
        "With {answer} in the bucket it stands still. A good design works at less than half of that, where it is quick"
        " and stays cool."
    ),
)


def _where_it_stops(mass, speed):
    """The mass at which a straight line through the speeds comes to 0."""
    slope, empty = np.polyfit(mass, speed, 1)
    return float(-empty / slope)


EXERCISES = (PREDICT, RISE, LEAN, PULL, TORQUE, SPEED, BIND, DOWN, POWER, ORDER, DESIGN, SHOP)

"""Exercises of lesson 02: ratio, torque, losses and play of gear trains, and choosing one from the kit."""

from dataclasses import replace

import numpy as np

from mechbench.course.exercise import Challenge, Choice, Item, Option, Order, Prediction, Quantity, Shop, Shown, Slip
from mechbench.course.learner_numbers import in_unit, rounded, shown_ratio
from mechbench.course.on_bench import found, opened
from mechbench.course.rows_apart import told_apart
from mechbench.kits.pairing import loose, reducing, usual_of

G = 9.81


def _spread(values, count):
    """`count` values out of a list, from its start to its end, repeats allowed."""
    return [values[round(i * (len(values) - 1) / max(count - 1, 1))] for i in range(count)]


def _teeth(kit):
    """The numbers of teeth of the kit's spur gears, each once."""
    return sorted({int(teeth) for teeth in kit.table("spur_gears").columns["teeth"]})


def _boxes(kit, least=10.0, most=150.0):
    """Gearboxes of the kit that stand by themselves, as numbers: (label, ratio, stages, efficiency of the whole)."""
    table = kit.table("gearboxes")
    rows = [(table.labels[name], table.row(name)) for name in reducing(table)]
    return [(label, row) for label, row in rows if least <= row["ratio"] <= most and row["stage_count"] > 1]


# --- predict, then slide -------------------------------------------------------------------------------------------


def _ratio_shown(kit):
    """The bench's gearbox beside the one whose ratio is nearest to twice as much, or to half."""
    boxes, mine = kit.table("gearboxes"), opened("train", kit)["gearbox"]
    ratio = lambda name: found("train", kit, gearbox=name).ratio[0]
    alone = loose(boxes) if mine in loose(boxes) else ()  # a motor with gears of its own takes no others
    others = [name for name in alone if abs(np.log(ratio(name) / ratio(mine))) > np.log(1.2)]
    easier = "The output gives the same torque either way. A larger ratio multiplies more, so the motor gives less"
    if not others:
        return Shown("easier", f"{easier}, draws less current, and turns more often for one turn of the output.")
    other = min(others, key=lambda name: abs(abs(np.log(ratio(name) / ratio(mine))) - np.log(2.0)))
    low, high = sorted((mine, other), key=ratio)
    at = found("train", kit, "gearbox", (low, high))
    numbers = {"low": boxes.labels[low], "high": boxes.labels[high]}
    for place, end in enumerate(("few", "many")):
        numbers |= {f"{end}_current": (at.current[place], "A"), f"{end}_speed": in_unit(at.speed[place], "rpm")}
    told = " With the {low} one motor draws {few_current} and the output turns at {few_speed}"
    told += "; with the {high} it draws {many_current}, and the output turns at {many_speed}."
    option = "easier" if at.current[1] < at.current[0] else "same" if at.current[1] == at.current[0] else "harder"
    return Shown(option, f"{easier}.{told}", numbers)


PREDICT = Prediction(
    id="gearing-bigger-ratio",
    lesson="gearing",
    title="A bigger ratio",
    text=(
        "A motor drives a load through a gearbox. You change to a gearbox with twice the ratio, and keep the motor and"
        " the load. What happens to the motor?"
    ),
    options=(
        Option(
            "harder",
            "It works harder: it has to turn more gears.",
            (
                "It is true that each pair of gears takes a share by friction. The surprise: that is little beside"
                " what the ratio gives."
            ),
        ),
        Option(
            "easier",
            "It works more easily, and the output turns more slowly.",
            "A good thought: a ratio gives torque and takes speed.",
        ),
        Option(
            "same",
            "Nothing: the load is the same.",
            (
                "It is true that the load stays the same. The surprise: the motor feels only its share of it, the"
                " load over the ratio."
            ),
        ),
    ),
    hints=(),
    explain=(
        "Now choose other gearboxes on the bench, and watch the motor's torque, its current and the output's speed."
    ),
    shows=_ratio_shown,
)


# --- ratio of two pairs --------------------------------------------------------------------------------------------


def _ratio_rows_1(kit):
    trains = _trains(kit)
    return _spread(trains, min(6, len(trains)))


def _ratio_rows(kit):
    """Such trains that each wrong path shows."""
    trains = told_apart(RATIO, _trains(kit))
    return _spread(trains, min(6, len(trains)))


def _trains(kit):
    """Two reductions whose sum is far from their product, so that adding shows."""
    pairs = [(first, second) for first in _teeth(kit) for second in _teeth(kit) if second >= 1.5 * first]
    return [
        {"first": (a, "whole"), "second": (b, "whole"), "third": (c, "whole"), "fourth": (d, "whole")}
        for a, b in pairs
        for c, d in pairs
        if abs((b / a + d / c) / (b / a * d / c) - 1) > 0.12 and (a, b) != (c, d)
    ]


_RATIO_1 = Quantity(
    id="gearing-two-pairs",
    lesson="gearing",
    title="Two pairs in a row",
    text=(
        "A gear with {first} teeth drives one with {second}. On the same shaft as that one sits a gear with {third}"
        " teeth, and it drives one with {fourth}. What is the ratio of the whole train? (Ratio: turns of the first"
        " shaft for one turn of the last. A plain number is enough.)"
    ),
    kind="number",
    unit="",
    rows=_ratio_rows_1,
    answer=lambda r: r.second / r.first * r.fourth / r.third,
    slips=(
        Slip(
            "added",
            lambda r: r.second / r.first + r.fourth / r.third,
            "You added the two ratios. The second pair makes a slow shaft slower still: the ratios multiply.",
        ),
        Slip(
            "upside down",
            lambda r: r.first / r.second * r.third / r.fourth,
            "You divided the driver by the driven gear. Small drives large, so the first shaft makes several turns for"
            " one: the ratio is more than 1.",
        ),
        Slip(
            "first pair only",
            lambda r: r.second / r.first,
            "That is the first pair alone. The second pair slows down once more.",
        ),
    ),
    hints=(
        "The ratio of one pair: teeth of the driven gear, divided by teeth of the driver.",
        "The second pair slows down what is slow already. Do two such numbers add or multiply?",
    ),
    explain="Each pair slows down what comes from the pair before. So the ratios multiply: {answer}.",
    short=True,
)


RATIO = replace(
    _RATIO_1,
    revision=2,
    rows=_ratio_rows,
    slips=(
        *_RATIO_1.slips,
        Slip(
            "second pair only",
            lambda r: r.fourth / r.third,
            "That is the second pair alone. The first pair slows down too: multiply the two ratios.",
        ),
        Slip(
            "one pair upside down",
            lambda r: r.second / r.first / (r.fourth / r.third),
            "You turned one of the two pairs upside down. In both a small gear drives a large one, so both ratios are"
            " more than 1.",
        ),
    ),
    earlier=(_RATIO_1,),
)


# --- speed behind a gearbox ----------------------------------------------------------------------------------------


def _speed_rows(kit):
    speeds = (4800, 4200, 5100, 3600, 4500, 3900)
    return [
        {
            "gearbox": label,
            "ratio": (shown_ratio(row["ratio"]), ""),
            "efficiency": (rounded(100 * row["efficiency"], 2), "%"),
            "speed": (speed, "rpm"),
        }
        for speed, (label, row) in zip(speeds, _spread(_boxes(kit), 6))
    ]


SPEED = Quantity(
    id="gearing-speed-out",
    lesson="gearing",
    title="Speed behind a gearbox",
    text=(
        "A motor turns at {speed} in front of a gearbox with a ratio of {ratio}. Of the power that goes in,"
        " {efficiency} comes out. How fast does the output shaft turn?"
    ),
    kind="turning-speed",
    unit="rpm",
    rows=_speed_rows,
    answer=lambda r: r.speed / r.ratio,
    slips=(
        Slip(
            "losses taken from the speed",
            lambda r: r.speed / r.ratio * r.efficiency,
            "You let the losses slow the output down. Teeth can't slip: the speed follows from counting teeth alone."
            " What is lost is torque.",
        ),
        Slip(
            "multiplied",
            lambda r: r.speed * r.ratio,
            "You multiplied. A ratio of more than 1 slows down: the output turns less often than the motor.",
        ),
        Slip(
            "losses make it faster",
            lambda r: r.speed / r.ratio / r.efficiency,
            "You divided by the efficiency. Teeth can't slip: the speed follows from counting teeth alone. What is"
            " lost is torque.",
        ),
    ),
    hints=(
        "For one turn of the output the motor makes {ratio} turns.",
        "Does friction change how many teeth pass?",
    ),
    explain="{speed} divided by {ratio} is {answer}. At the same motor speed losses change the torque alone.",
    short=True,
)


# --- torque behind a gearbox ---------------------------------------------------------------------------------------


def _torque_rows(kit):
    torques = (0.04, 0.03, 0.05, 0.06, 0.035, 0.045)
    lossy = [box for box in _boxes(kit) if box[1]["efficiency"] < 0.9 * box[1]["efficiency_per_stage"] + 1e-9]
    return [
        {
            "gearbox": label,
            "ratio": (shown_ratio(row["ratio"]), ""),
            "stages": (int(row["stage_count"]), "whole"),
            "stage": (rounded(100 * row["efficiency_per_stage"], 2), "%"),
            "torque": (torque, "N·m"),
        }
        for torque, (label, row) in zip(torques, _spread(lossy, 6))
    ]


TORQUE = Quantity(
    id="gearing-torque-out",
    lesson="gearing",
    title="Torque behind a gearbox",
    text=(
        "A motor gives {torque} to a gearbox with a ratio of {ratio}. It has {stages} stages, and each stage passes"
        " {stage} of the power on. How much torque does the output shaft give?"
    ),
    kind="torque",
    unit="N·m",
    rows=_torque_rows,
    answer=lambda r: r.torque * r.ratio * r.stage**r.stages,
    slips=(
        Slip(
            "loss counted once",
            lambda r: r.torque * r.ratio * r.stage,
            "You counted the loss once. There are {stages} stages, and each one takes its share of what is left.",
        ),
        Slip(
            "no loss",
            lambda r: r.torque * r.ratio,
            "That is the torque without any friction. Each stage keeps a part of it.",
        ),
        Slip(
            "divided by the ratio",
            lambda r: r.torque / r.ratio,
            "You divided. A gearbox that slows down makes the torque larger.",
        ),
        Slip(
            "divided by the losses",
            lambda r: r.torque * r.ratio / r.stage**r.stages,
            "You found more torque than without friction. Losses make it smaller: multiply by the share that passes.",
        ),
    ),
    hints=(
        "Without friction the torque grows by the ratio.",
        "After one stage {stage} is left. After the next, {stage} of that. And so on, {stages} times.",
    ),
    explain="The ratio multiplies the torque, and each of {stages} stages passes {stage} of it on: {answer}.",
    short=True,
)


# --- which way -----------------------------------------------------------------------------------------------------

DIRECTION = Choice(
    id="gearing-idler",
    lesson="gearing",
    title="A gear in between",
    text=(
        "Between a driver of 20 teeth and a driven gear of 60 teeth you put a third gear of 40 teeth, on a shaft of its"
        " own. It only passes the motion on: an idler. What changes?"
    ),
    options=(
        Option(
            "ratio",
            "The ratio: there are two pairs now, so it is 2 times 1.5.",
            "Work it out: 40/20 times 60/40. The 40 is there twice, and cancels. Look for another change.",
        ),
        Option(
            "both",
            "The ratio and the direction.",
            "Half right. For the ratio, work out 40/20 times 60/40.",
        ),
        Option(
            "direction",
            "The direction in which the output turns; the ratio stays 3.",
            "Yes. Each pair of gears reverses the direction, and the idler's 40 teeth cancel in the ratio.",
            right=True,
        ),
        Option(
            "nothing",
            "Nothing at all.",
            "Follow the teeth with a finger: two gears that touch turn against each other. How often does that happen"
            " now?",
        ),
    ),
    hints=(
        "Two gears that touch turn opposite ways. Count the touches.",
        "Write both pair ratios down and multiply them.",
    ),
    explain="An idler also bridges a distance. It costs one more loss.",
    short=True,
)


# --- play ----------------------------------------------------------------------------------------------------------


def _play_rows(kit):
    lengths = (400, 350, 300, 450, 500, 320)
    ratios = (2, 3, 2.5, 4, 2, 3)
    return [
        {"play": in_unit(row["backlash"], "deg"), "second": (ratio, ""), "length": (length, "mm")}
        for length, ratio, (_, row) in zip(lengths, ratios, _spread(_boxes(kit), 6))
    ]


PLAY = Quantity(
    id="gearing-play",
    lesson="gearing",
    title="Play at the tip",
    text=(
        "While the motor stands still, the output of a gearbox can be turned back and forth by {play} in all: its play."
        " Behind it is a chain with a ratio of {second} (ignore its own play), and on the last shaft sits an arm"
        " {length} long. How far can the tip of the arm move in all?"
    ),
    kind="length",
    unit="mm",
    rows=_play_rows,
    answer=lambda r: r.play / r.second * r.length,
    slips=(
        Slip(
            "ratio forgotten",
            lambda r: r.play * r.length,
            "You forgot the chain. It makes every turn smaller by its ratio, and play is a small turn.",
        ),
        Slip(
            "ratio multiplied",
            lambda r: r.play * r.second * r.length,
            "You multiplied by the ratio. Behind a chain that slows down, the shaft turns less: divide.",
        ),
        Slip(
            "degrees taken for radians",
            lambda r: np.degrees(r.play) / r.second * r.length,
            "You multiplied degrees by a length. First turn degrees into radians: times π, divided by 180.",
        ),
        Slip(
            "turns taken for radians",
            lambda r: r.play / (2 * np.pi) / r.second * r.length,
            "You took a share of a whole turn, times the length. In a whole turn the tip goes 2π × length. Degrees"
            " into radians: times π, divided by 180.",
        ),
    ),
    hints=(
        "How far can the last shaft turn? The chain divides what happens in front of it by {second}.",
        "The tip moves by angle times length, with the angle in radians: degrees times π, divided by 180.",
    ),
    explain=(
        "Behind the chain the play is smaller by its ratio. Times the arm's length, the tip moves {answer}. So put the"
        " largest ratio last: it makes all play before it small."
    ),
)


# --- inertia -------------------------------------------------------------------------------------------------------


def _inertia_rows(kit):
    motors, rows = kit.table("motors"), []
    names = loose(motors)
    for i, (_, row) in enumerate(_spread(_boxes(kit), 6)):
        name = names[i % len(names)]
        inertia = in_unit(motors.row(name)["rotor_inertia"], "g·cm2")
        rows.append({"motor": motors.labels[name], "inertia": inertia, "ratio": (shown_ratio(row["ratio"]), "")})
    return rows


def _told_inertia(row, kit):
    """The rotor inertia that a row tells is of the motor that it names."""
    labels = kit.table("motors").labels
    name = next((name for name, label in labels.items() if label == row["motor"]), None)
    return name and ("motors", name, "rotor_inertia")


INERTIA = Quantity(
    id="gearing-inertia",
    lesson="gearing",
    title="The rotor, felt at the output",
    text=(
        "The rotor of the {motor} has an inertia of {inertia}. Inertia tells how hard it is to speed up a turning"
        " thing. Behind the motor is a gearbox with a ratio of {ratio}. You turn its output shaft by hand: how large"
        " does the rotor's inertia seem there? Ignore losses."
    ),
    kind="inertia",
    unit="kg·m2",
    rows=_inertia_rows,
    rests_on=_told_inertia,
    answer=lambda r: r.inertia * r.ratio**2,
    slips=(
        Slip(
            "ratio once",
            lambda r: r.inertia * r.ratio,
            "You used the ratio once. The rotor speeds up more than your hand, by the ratio. And the gears make the"
            " torque that it needs larger for your hand, by the ratio again.",
        ),
        Slip(
            "not carried over",
            lambda r: r.inertia,
            "That is the rotor's own inertia. Through the gears it feels far larger.",
        ),
        Slip(
            "divided",
            lambda r: r.inertia / r.ratio**2,
            "You divided. That is how large a load at the output seems to the motor.",
        ),
    ),
    hints=(
        "When the output speeds up a little, how much does the rotor have to speed up?",
        "And the torque that the rotor needs for it: how much larger is it at the output?",
    ),
    explain=(
        "The ratio counts twice, once for the speed and once for the torque: {answer}. That is why an arm with a large"
        " ratio is slow to start and hard to stop."
    ),
)


# --- where the shafts go -------------------------------------------------------------------------------------------


def _centre_rows(kit):
    teeth, module = _teeth(kit), kit.table("spur_gears").columns["module"][0]
    return [
        {"module": in_unit(module, "mm"), "first": (teeth[i % 3], "whole"), "second": (teeth[-1 - i % 4], "whole")}
        for i in range(6)
    ]


CENTRE = Quantity(
    id="gearing-centre",
    lesson="gearing",
    title="Where to drill",
    text=(
        "Two spur gears have {first} and {second} teeth and a module of {module}. (The module says how large a tooth"
        " is: the diameter of a gear is module times teeth.) How far apart do the two shafts have to be?"
    ),
    kind="length",
    unit="mm",
    rows=_centre_rows,
    answer=lambda r: r.module * (r.first + r.second) / 2,
    slips=(
        Slip(
            "diameters added",
            lambda r: r.module * (r.first + r.second),
            "You added the diameters. Two gears touch at their rims, so the shafts are two radii apart.",
        ),
        Slip(
            "subtracted",
            lambda r: r.module * (r.second - r.first) / 2,
            "You subtracted. That would be right for a small gear inside a ring.",
        ),
        Slip(
            "one gear only",
            lambda r: r.module * r.second / 2,
            "That is the radius of the larger gear. The smaller one needs room too.",
        ),
    ),
    hints=(
        "Diameter is module times teeth. What is the radius?",
        "Draw two circles that touch. How far apart are their middles?",
    ),
    explain=(
        "One radius plus the other: {answer}. Half a millimetre too far, and the teeth may jump. Too near, and they"
        " jam."
    ),
    short=True,
)


# --- in order ------------------------------------------------------------------------------------------------------

ORDER = Order(
    id="gearing-torque-order",
    lesson="gearing",
    title="Which train pulls hardest?",
    text="The same motor stalls behind four trains. Each stage or pair passes 90 % of the power on.",
    scale="from the least output torque to the most",
    items=(
        Item("direct", "no gears at all"),
        Item(
            "pair-3",
            "one pair, ratio 3",
            "A ratio of 3 gives nearly three times the torque, even with its loss.",
        ),
        Item(
            "two-12",
            "two stages, 3 and 4",
            "Ratios multiply: 3 times 4 is 12. Two losses of 10 % are small against that.",
        ),
        Item(
            "three-36",
            "three stages, 3, 3 and 4",
            "Ratios multiply: 3 times 3 times 4 is 36.",
        ),
    ),
    hints=(
        "Multiply the ratios of each train first.",
        "Then multiply by 0.9 for each stage. Does it change the order?",
    ),
    explain="1, 2.7, 9.7 and 26: the ratio counts far more than the loss. But each stage costs mass, money and play.",
    short=True,
)


# --- a design ------------------------------------------------------------------------------------------------------


def _design_rows(kit):
    boxes, motors = kit.table("gearboxes"), kit.table("motors")
    motor = motors.row(motors.usual)
    largest = float(np.max(boxes.columns["allowed_large"]))
    rows = []
    for strength, share, part in ((0.25, 0.3, 1), (0.2, 0.25, 1), (0.3, 0.3, 1), (0.22, 0.35, 1)):
        load = rounded(strength * largest, 2)
        speed = share * motor["free_speed"] * motor["stall_torque"] / (4 * load)
        rows.append(
            {
                "load_torque": (load, "N·m"),
                "speed_wanted": (rounded(speed * 30 / np.pi, 2), "rpm"),
                "play_allowed": (4, "deg"),
                "run_time": (60 * part, "s"),
            }
        )
    return rows


DESIGN = Challenge(
    id="gearing-design",
    lesson="gearing",
    title="A turntable",
    text=(
        "A turntable resists turning with {load_torque}. Choose motor, gearbox and last stage. Try it without a last"
        " stage first."
    ),
    sizing="train",
    rows=_design_rows,
    asks=("speed", "torque_used", "hot_after", "play"),
    fixed=("load_torque", "speed_wanted", "play_allowed", "run_time"),
    ease={"speed_wanted": 0.8, "load_torque": 0.85, "play_allowed": 1.25},
    choose=("motor", "gearbox", "last_stage"),
    require=(
        "It must turn with at least {speed_wanted} for {run_time}. No part may carry too much, the motor must not get"
        " too hot, and the play may be {play_allowed} at most."
    ),
    advice={
        "speed": (
            "Too slow: the ratio is too large, or so small that the motor almost stalls. Try a larger and a smaller"
            " one."
        ),
        "torque_used": (
            "The gearbox or the last stage is too weak for this load. Is it too much without a last stage as well? Then"
            " the gearbox is too weak: a last stage that slows down takes load off it. If not, the last stage is too"
            " weak: take another one, or none."
        ),
        "current": "Too much current: a larger ratio makes it easier for the motor.",
        "hot_after": "Too hot too soon: a larger ratio, or the larger motor.",
        "play": "Too much play. A last stage that slows down makes the play before it smaller.",
    },
    hints=(
        (
            "How much power does the load need? Torque times speed in rad/s, and the losses come on top. Which motor"
            " gives more?"
        ),
        "Then choose the ratio so that the motor turns at half to three quarters of its free speed.",
    ),
    explain=(
        "It works, on a bad day too. Is there a lighter train that works as well? And what if the turntable gets stuck:"
        " do the gears bear that? On the bench of this lesson, All numbers shows both."
    ),
)


# --- shop at home: efficiency from lifted weights --------------------------------------------------------------------

WEIGHTS = 8
_EXTRA = 2.5 * np.linspace(0.15, 1.0, WEIGHTS)  # A, more than the free current


def _shop_rows(kit):
    motors, spools = kit.table("motors"), kit.table("spools")
    name = usual_of(motors, loose(motors))
    motor = motors.row(name)
    # So far from 0.71 that a diameter taken for the radius (2 x) and a fraction upside down (1 /) can be told apart.
    hidden = (0.64, 0.76, 0.61, 0.59, 0.65, 0.62, 0.58, 0.6)
    return [
        {
            "motor": motors.labels[name],
            "constant": in_unit(motor["torque_constant"], "N·m/A"),
            "free": in_unit(motor["free_current"], "A"),
            "ratio": (shown_ratio(row["ratio"]), ""),
            "spool": in_unit(spools.columns["diameter"][i % len(spools)], "mm"),
            "efficiency": (rounded(100 * eta, 3), "%"),
        }
        for i, (eta, (_, row)) in enumerate(zip(hidden, _spread(_boxes(kit, 15.0), len(hidden))))
    ]


def _lifted(r, noise):
    """Weights are hung on a cord round the spool; the ammeter shows 0.01 A, and friction differs a little each time."""
    mass = _EXTRA * r.constant * r.ratio * r.efficiency / (G * r.spool / 2)
    most = mass[-1]
    mass = mass.round(2 if most < 20 else 1)
    torque = mass * G * r.spool / 2
    amps = r.free + torque / (r.efficiency * r.ratio * r.constant)
    amps = (amps * (1 + 0.012 * noise.standard_normal(WEIGHTS))).round(2)
    return {"mass": (mass, "kg"), "current": (amps, "A")}


def _efficiency_by_fit(columns, r):
    """Current over load torque is a straight line; its slope is 1 / (efficiency x ratio x constant)."""
    slope = np.polyfit(columns["mass"] * G * r.spool / 2, columns["current"], 1)[0]
    return float(1 / (slope * r.ratio * r.constant))


SHOP = Quantity(
    id="gearing-lifted-weights",
    lesson="gearing",
    title="The efficiency of your own gearbox",
    text=(
        "Your {motor} with a gearbox winds up a cord. The gearbox has a ratio of {ratio}, the spool a diameter of"
        " {spool}. You hang weights on the cord, one after the other, and read the current while they rise slowly and"
        " evenly. The motor's constant is {constant}: it gives that much torque for each ampere above its free current"
        " of {free}. What share of the power does the gearbox pass on? (It is hidden. Each learner has another one.)"
    ),
    kind="fraction",
    unit="%",
    rows=_shop_rows,
    answer=lambda r: r.efficiency,
    tolerance=0.05,
    shop=Shop(
        about=f"{WEIGHTS} weights lifted through a gearbox, and the current of the motor.",
        measure=_lifted,
        fit=_efficiency_by_fit,
    ),
    slips=(
        Slip(
            "diameter for radius",
            lambda r: 2 * r.efficiency,
            "You used the spool's diameter. The cord pulls at its radius. And more than 100 % can't come out of any"
            " gearbox.",
        ),
        Slip(
            "upside down",
            lambda r: 1 / r.efficiency,
            "More power out than in? That can't be. Your fraction is upside down: the slope without loss is the smaller"
            " one.",
        ),
        Slip(
            "mass for weight",
            lambda r: r.efficiency / G,
            "You used kilograms as if they were newtons. The weight is mass times 9.81 N/kg.",
        ),
        Slip(
            "free current not subtracted",
            lambda r: r.efficiency * (_EXTRA / (r.free + _EXTRA)).mean(),
            "It looks like the mean of torque divided by current. Without any weight the motor draws {free} already:"
            " that lifts nothing. Subtract it first, or use the slope of the line.",
        ),
    ),
    hints=(
        (
            "The torque of a weight at the spool is mass × 9.81 × radius. In code, for all weights at once: torque ="
            " data.mass * 9.81 * radius, with the radius in metres."
        ),
        (
            "Current against torque is a straight line. mb.fit.fit_line(torque, data.current).slope.value tells how"
            " many amperes each N·m needs."
        ),
        (
            "Without loss, each N·m would need 1 / (ratio × constant) amperes. The efficiency is that, divided by your"
            " slope."
        ),
    ),
    explain=(
        "The hidden efficiency is {answer}. Your own gearbox has another one. Grease, dirt and wear change it: measure,"
        " then size."
    ),
)


EXERCISES = (PREDICT, RATIO, SPEED, TORQUE, DIRECTION, PLAY, INERTIA, CENTRE, ORDER, DESIGN, SHOP)

"""Exercises of lesson 03: how fast, how hard it pushes, when wheels slip, how it stops, and what the fuse says."""

from dataclasses import replace

import numpy as np

from mechbench.course.exercise import Challenge, Choice, Item, Option, Order, Prediction, Quantity, Shop, Shown, Slip
from mechbench.course.learner_numbers import in_unit, rounded, shown_ratio
from mechbench.course.of_game import mass_limit
from mechbench.course.on_bench import found, opened
from mechbench.kits.pairing import loose, reducing, usual_of
from mechbench.quantity import rad_s_to_rpm, show

G = 9.81


def _wheel(kit, case):
    """One of the kit's wheels: each row takes the next."""
    wheels = kit.table("wheels")
    name = wheels.names[case % len(wheels)]
    return wheels.labels[name], wheels.row(name)


def _boxes(kit):
    """Gearboxes that a drivetrain may have; LookupError where the kit has none apart from its motors."""
    table = kit.table("gearboxes")
    names = reducing(table)
    fitting = [row for row in map(table.row, names) if 8 <= row["ratio"] <= 40]
    return fitting or [table.row(usual_of(table, names))]


# --- predict, then slide -------------------------------------------------------------------------------------------


SIZES = {
    "smallest": "It is the smallest ratio that there is. With ever smaller ones the push would run short.",
    "middle": (
        "A smaller ratio has a higher top speed, but pushes too little to get there. A larger one pushes more than the"
        " tyres or the current limit let through, and then runs out of speed."
    ),
    "largest": "It is the largest ratio that there is: the motors need all of it to get this robot up to speed.",
}
WHEELS = " (Your kit has a single gearbox, so wheels were compared: a larger wheel does what a smaller ratio does.)"


def _quickest_shown(kit):
    """The time of the bench's run with each gearbox; with each wheel, where the kit has a single gearbox."""
    table, along = kit.table("gearboxes"), "gearbox"
    order = sorted(loose(table), key=lambda name: table.row(name)["ratio"])
    if len(order) < 2:  # a smaller wheel does what a larger ratio does
        table, along = kit.table("wheels"), "wheel"
        order = sorted(table.names, key=lambda name: -table.row(name)["diameter"])
    time = found("drivetrain", kit, along, order).time
    best = int(np.argmin(time))
    beside = [place for place in (best - 1, best + 1) if 0 <= place < len(order) and np.isfinite(time[place])]
    distance = opened("drivetrain", kit)["distance"]
    numbers = {"best": table.labels[order[best]], "time": (time[best], "s"), "distance": (distance, "m")}
    numbers["others"] = "; ".join(f"{table.labels[order[place]]}, {show(time[place], 's')}" for place in beside)
    because = "For {distance} none is quicker here than {best}: {time} at best."
    because += " Beside it: {others}." if beside else ""
    ends = {0: "smallest", len(order) - 1: "largest"}
    option = ends.get(best, "middle")
    return Shown(option, f"{because} {SIZES[option]}{WHEELS if along == 'wheel' else ''}", numbers)


PREDICT = Prediction(
    id="drivetrain-quickest-ratio",
    lesson="drivetrain",
    title="Which gearbox is quickest?",
    text=(
        "A robot drives a short way, from rest to rest. You try gearboxes from a small ratio to a large one. Which one"
        " is quickest?"
    ),
    options=(
        Option(
            "smallest",
            "The smallest ratio: the wheels turn fastest.",
            (
                "It is true that the wheels could turn fastest with it. The surprise: on a short run a robot never"
                " gets near that speed."
            ),
        ),
        Option(
            "middle",
            "One in the middle: some speed and some pull.",
            "A good thought: a short run needs both, push and speed.",
        ),
        Option(
            "largest",
            "The largest ratio: it pulls hardest.",
            (
                "It is true that it pulls hardest. The surprise: more pull than the wheels can hold on the"
                " floor is of no use, and its top speed is low."
            ),
        ),
    ),
    hints=(),
    explain="Now try the gearboxes on the bench. Watch two numbers: the time, and the current of a push.",
    shows=_quickest_shown,
)


# --- top speed -----------------------------------------------------------------------------------------------------


def _top_rows(kit):
    boxes = _boxes(kit)
    rows = []
    for case, speed in enumerate((4200, 3900, 4500, 4800, 3600, 4000)):
        label, wheel = _wheel(kit, case)
        ratio = boxes[case % len(boxes)]["ratio"]
        rows.append(
            {
                "wheel": label,
                "diameter": in_unit(wheel["diameter"], "mm"),
                "speed": (speed, "rpm"),
                "ratio": (shown_ratio(ratio), ""),
            }
        )
    return rows


TOP = Quantity(
    id="drivetrain-top-speed",
    lesson="drivetrain",
    title="How fast does it roll?",
    text=(
        "The motors of a robot turn at {speed}. Their gearboxes have a ratio of {ratio}, and the wheels are {diameter}"
        " across. How fast does the robot drive?"
    ),
    kind="speed",
    unit="m/s",
    rows=_top_rows,
    answer=lambda r: r.speed / r.ratio * r.diameter / 2,
    slips=(
        Slip(
            "diameter for radius",
            lambda r: r.speed / r.ratio * r.diameter,
            "You multiplied rad/s by the diameter. With rad/s it is the radius that counts.",
        ),
        Slip(
            "turns times diameter",
            lambda r: rad_s_to_rpm(r.speed) / 60 / r.ratio * r.diameter,
            "You let the wheel go one diameter in each turn. In one turn it rolls once around: π diameters.",
        ),
        Slip(
            "ratio forgotten",
            lambda r: r.speed * r.diameter / 2,
            "You let the wheels turn as fast as the motors. The gearbox slows them down.",
        ),
        Slip(
            "rpm taken for rad/s",
            lambda r: rad_s_to_rpm(r.speed) / r.ratio * r.diameter / 2,
            "You used rpm as if they were rad/s. Turn them into rad/s first: times 2π, divided by 60.",
        ),
        Slip(
            "way in one minute",
            lambda r: 60 * r.speed / r.ratio * r.diameter / 2,
            "That is how far it drives in one minute. rpm counts turns in a minute, and a minute has 60 seconds.",
        ),
        Slip(
            "radius for diameter",
            lambda r: r.speed / r.ratio * r.diameter / 4,
            "You multiplied turns by π × radius. Once around is π × diameter, or 2 × π × radius.",
        ),
        Slip(
            "multiplied by the ratio",
            lambda r: r.speed * r.ratio * r.diameter / 2,
            "You multiplied by the ratio. The gearbox makes the wheels slower than the motors: divide.",
        ),
    ),
    hints=(
        "How fast do the wheels turn? Divide by the ratio.",
        "In rad/s (times 2π, divided by 60), times the radius of the wheel in metres.",
    ),
    explain="Wheel speed times radius: {answer}. The robot reaches it only when nothing holds it back.",
    short=True,
)


# --- grip ----------------------------------------------------------------------------------------------------------

_GRIP_1 = Quantity(
    id="drivetrain-grip",
    lesson="drivetrain",
    title="How hard can wheels push?",
    text=(
        "A robot of {mass} has two driven wheels, which carry {share} of its weight. Between wheel and floor the"
        " coefficient of friction is {mu}: that many newtons of push for each newton that presses the wheel down. How"
        " hard can the robot push before its wheels slip?"
    ),
    kind="force",
    unit="N",
    rows=tuple(
        {"mass": (mass, "kg"), "share": (share, "%"), "mu": (mu, "")}
        for mass, share, mu in (
            (12, 60, 0.9),
            (15, 55, 0.8),
            (10, 70, 0.75),
            (14, 65, 1.1),
            (16, 50, 0.85),
            (11, 62, 0.7),
            (13, 58, 1.2),
            (17, 68, 0.8),
        )
    ),
    answer=lambda r: r.mu * r.share * r.mass * G,
    slips=(
        Slip(
            "mass for weight",
            lambda r: r.mu * r.share * r.mass,
            "You used kilograms as newtons. Friction comes from the weight: mass times 9.81 N/kg.",
        ),
        Slip(
            "all the weight",
            lambda r: r.mu * r.mass * G,
            "You counted the whole weight. Only the driven wheels push, and they carry {share} of it.",
        ),
        Slip(
            "divided by friction",
            lambda r: r.share * r.mass * G / r.mu**2,
            "You divided by the friction. More friction means more push: multiply.",
        ),
    ),
    hints=(
        "How many newtons press the driven wheels down?",
        "Push = coefficient of friction × that force.",
    ),
    explain=(
        "Only what presses on the driven wheels counts, times the friction: {answer}. More motor does not push harder"
        " than that."
    ),
    short=True,
)


GRIP = replace(
    _GRIP_1,
    revision=2,
    rows=tuple(
        {"mass": (mass, "kg"), "share": (share, "%"), "mu": (mu, "")}
        for mass, share, mu in (
            (12, 60, 0.9),
            (15, 55, 0.8),
            (10, 70, 0.75),
            (14, 65, 1.12),
            (16, 50, 0.85),
            (11, 62, 0.7),
            (13, 58, 1.2),
            (17, 74, 0.8),
        )
    ),
    slips=(
        *_GRIP_1.slips[:2],
        Slip(
            "divided by friction",
            lambda r: r.share * r.mass * G / r.mu,
            "You divided by the friction. More friction means more push: multiply.",
        ),
        Slip(
            "friction forgotten",
            lambda r: r.share * r.mass * G,
            "That is how hard the driven wheels press on the floor. How many newtons of push does each of these newtons"
            " give?",
        ),
        Slip(
            "bare weight",
            lambda r: r.mass * G,
            "That is the weight of the whole robot. Two things are left: the driven wheels carry {share} of it, and the"
            " friction makes a push of that.",
        ),
    ),
    earlier=(_GRIP_1,),
)


# --- force of the motors -------------------------------------------------------------------------------------------


def _force_rows(kit):
    boxes = _boxes(kit)
    rows = []
    for case, torque in enumerate((0.08, 0.06, 0.10, 0.07, 0.09, 0.05)):
        _, wheel = _wheel(kit, case)
        box = boxes[case % len(boxes)]
        rows.append(
            {
                "count": (4 if case % 2 == 0 else 3, "whole"),
                "torque": (torque, "N·m"),
                "ratio": (shown_ratio(box["ratio"]), ""),
                "efficiency": (rounded(100 * box["efficiency"], 2), "%"),
                "diameter": in_unit(wheel["diameter"], "mm"),
            }
        )
    return rows


FORCE = Quantity(
    id="drivetrain-motor-force",
    lesson="drivetrain",
    title="What the motors can do",
    text=(
        "{count} motors drive a robot, each gives {torque}. The gearboxes have a ratio of {ratio} and pass on"
        " {efficiency} of the power. The wheels are {diameter} across. With how much force do all wheels together push"
        " the floor back?"
    ),
    kind="force",
    unit="N",
    rows=_force_rows,
    answer=lambda r: r.count * r.torque * r.ratio * r.efficiency / (r.diameter / 2),
    slips=(
        Slip(
            "one motor",
            lambda r: r.torque * r.ratio * r.efficiency / (r.diameter / 2),
            "That is one motor. There are {count}.",
        ),
        Slip(
            "diameter for radius",
            lambda r: r.count * r.torque * r.ratio * r.efficiency / r.diameter,
            "You divided by the diameter. The floor pushes at one radius from the axle.",
        ),
        Slip(
            "losses forgotten",
            lambda r: r.count * r.torque * r.ratio / (r.diameter / 2),
            "You left the losses out. The gearboxes pass on only {efficiency}.",
        ),
        Slip(
            "divided by the losses",
            lambda r: r.count * r.torque * r.ratio / r.efficiency / (r.diameter / 2),
            "You divided by the efficiency. Losses make the force smaller: multiply.",
        ),
        Slip(
            "divided by the ratio",
            lambda r: r.count * r.torque / r.ratio * r.efficiency / (r.diameter / 2),
            "You divided by the ratio. A gearbox that slows down makes the torque larger: multiply.",
        ),
        Slip(
            "multiplied by the radius",
            lambda r: r.count * r.torque * r.ratio * r.efficiency * r.diameter / 2,
            "You multiplied by the radius. Torque is force × radius, so the force is torque divided by radius.",
        ),
    ),
    hints=(
        "Torque at one wheel = motor torque × ratio × efficiency.",
        "Force = torque / radius. Then count the motors.",
    ),
    explain=(
        "All motors together: {answer}. Compare with the grip: the smaller of the two is what the robot can really"
        " push."
    ),
)


# --- stall or spin? ------------------------------------------------------------------------------------------------

_SPIN_1 = Choice(
    id="drivetrain-stall-or-spin",
    lesson="drivetrain",
    title="Stall or spin?",
    text=(
        "Robot A could push with 180 N if its wheels held, but they slip at 110 N. Robot B could push with 90 N, and"
        " its wheels slip at 130 N. Both push against a wall for ten seconds. Which one is in danger of burning its"
        " motors?"
    ),
    options=(
        Option(
            "robot-a",
            "Robot A: spinning wheels make heat.",
            "They make heat, but the motors turn, and draw much less current than a motor that stands still.",
        ),
        Option(
            "robot-b",
            "Robot B: its motors stand still under full voltage.",
            "Yes. Its wheels hold, so the motors stall, and draw the most current there is.",
            right=True,
        ),
        Option(
            "both",
            "Both in the same way.",
            "In one of them the motors turn. In which?",
        ),
        Option(
            "none",
            "Neither: ten seconds are short.",
            "A stalled motor burns within some twenty seconds, and the fuse may be quicker.",
        ),
    ),
    hints=(
        "Which comes first: wheels that slip, or motors that stand still?",
        "A motor that turns draws less current than one that stands.",
    ),
    explain=(
        "A drivetrain that spins its wheels before the motors stall protects its motors and its fuse. That is a reason"
        " for a larger ratio."
    ),
    short=True,
)


_OPTIONS = {option.name: option for option in _SPIN_1.options}
SPIN = replace(
    _SPIN_1,
    revision=2,
    text=_SPIN_1.text.replace("for ten seconds", "for half a minute"),
    options=(
        *(_OPTIONS[name] for name in ("robot-a", "robot-b", "both")),
        Option(
            "none",
            "Neither: half a minute is short.",
            "It is long for a motor that stands still: many are too hot after some twenty seconds, and the fuse may be"
            " quicker.",
        ),
    ),
    earlier=(_SPIN_1,),
)


# --- stopping ------------------------------------------------------------------------------------------------------

STOPPING = Quantity(
    id="drivetrain-stopping",
    lesson="drivetrain",
    title="How far to stop?",
    text=(
        "A robot drives at {speed} and brakes with all wheels as hard as the floor allows. The coefficient of friction"
        " is {mu}. How far does it still go?"
    ),
    kind="length",
    unit="m",
    rows=tuple(
        {"speed": (speed, "m/s"), "mu": (mu, "")}
        for speed, mu in (
            (1.6, 0.75),
            (2.2, 0.7),
            (1.4, 0.55),
            (2.6, 0.9),
            (1.9, 0.6),
            (3.1, 0.8),
            (2.4, 0.65),
            (2.8, 0.85),
        )
    ),
    answer=lambda r: r.speed**2 / (2 * r.mu * G),
    slips=(
        Slip(
            "the 2 forgotten",
            lambda r: r.speed**2 / (r.mu * G),
            "You left the 2 out. While it brakes, its speed is on average only half of what it was.",
        ),
        Slip(
            "speed not squared",
            lambda r: r.speed / (2 * r.mu * G),
            "You used the speed once. That is half of the time it needs. Twice the speed takes four times the"
            " distance.",
        ),
        Slip(
            "9.81 forgotten",
            lambda r: r.speed**2 / (2 * r.mu),
            "You left 9.81 m/s² out. The floor can slow the robot down by friction times 9.81 m/s².",
        ),
        Slip(
            "friction forgotten",
            lambda r: r.speed**2 / (2 * G),
            "You left the friction out. The floor slows the robot down by friction × 9.81 m/s².",
        ),
    ),
    hints=(
        "How fast does it lose speed? Friction × 9.81 m/s².",
        "Distance = speed × speed / (2 × that).",
    ),
    explain="It still goes {answer}. Twice as fast means four times as far. The mass does not matter.",
    short=True,
)


# --- time from rest to rest ----------------------------------------------------------------------------------------

TIME = Quantity(
    id="drivetrain-time",
    lesson="drivetrain",
    title="There, and stopped",
    text=(
        "A robot has to go {distance}, from rest to rest. It speeds up and brakes with {acceleration}, and drives with"
        " {speed} in between. How long does it take?"
    ),
    kind="time",
    unit="s",
    rows=tuple(
        {"distance": (distance, "m"), "acceleration": (a, "m/s2"), "speed": (v, "m/s")}
        for distance, a, v in (
            (2.4, 3.5, 1.6),
            (3.0, 4.0, 2.0),
            (1.8, 3.0, 1.5),
            (4.0, 5.0, 2.2),
            (2.8, 2.5, 1.7),
            (3.5, 3.2, 2.1),
            (2.0, 4.5, 1.9),
            (5.0, 3.8, 2.4),
        )
    ),
    answer=lambda r: r.distance / r.speed + r.speed / r.acceleration,
    slips=(
        Slip(
            "full speed all the way",
            lambda r: r.distance / r.speed,
            "You let it drive at full speed from the first moment. It has to speed up first, and to stop at the end.",
        ),
        Slip(
            "stopping forgotten",
            lambda r: r.distance / r.speed + r.speed / (2 * r.acceleration),
            "You let it speed up, but not stop. A robot that does not stop hits the goal.",
        ),
        Slip(
            "ramps on top of the whole way",
            lambda r: r.distance / r.speed + 2 * r.speed / r.acceleration,
            "You added both ramps to the time of the whole way. But while it speeds up and brakes, it goes some of the"
            " way too.",
        ),
        Slip(
            "ramps only",
            lambda r: 2 * r.speed / r.acceleration,
            "That is the time of the two ramps: speeding up and braking. In between it drives at full speed.",
        ),
    ),
    hints=(
        "How long does it take to speed up? Speed / acceleration. The same again to brake.",
        "On each ramp its mean speed is half. So a ramp goes half as far as full speed would in that time.",
        "Time = distance / speed + one ramp's time.",
    ),
    explain=(
        "Full speed all the way, and once the time of a ramp on top: {answer}. The shorter the way, the larger the"
        " share of the ramps."
    ),
)


# --- current while the wheels slip ---------------------------------------------------------------------------------


def _slip_rows_1(kit):
    return _slipping(kit, (0.44, 0.35, 0.42, 0.4, 0.3, 0.38))


def _slip_rows_2(kit):
    return _slipping(kit, (0.4, 0.33, 0.38, 0.36, 0.3, 0.35))


def _slip_rows(kit):
    """So small a grip that forgotten free currents show, all four and three of them."""
    return _slip_rows_2(kit)


def _slipping(kit, shares):
    """Grip as a share of what four stalled motors push."""
    motors, boxes = kit.table("motors"), _boxes(kit)
    name = usual_of(motors, loose(motors))
    motor = motors.row(name)
    rows = []
    for case, share in enumerate(shares):
        label, wheel = _wheel(kit, case)
        box = boxes[case % len(boxes)]
        force = share * 4 * motor["stall_torque"] * box["ratio"] * box["efficiency"] / (wheel["diameter"] / 2)
        rows.append(
            {
                "motor": motors.labels[name],
                "grip": (rounded(force, 2), "N"),
                "diameter": in_unit(wheel["diameter"], "mm"),
                "ratio": (shown_ratio(box["ratio"]), ""),
                "efficiency": (rounded(100 * box["efficiency"], 2), "%"),
                "constant": in_unit(motor["torque_constant"], "N·m/A"),
                "free": in_unit(motor["free_current"], "A"),
                "stall": in_unit(motor["stall_current"], "A"),
            }
        )
    return rows


_CURRENT_1 = Quantity(
    id="drivetrain-slip-current",
    lesson="drivetrain",
    title="What does the fuse see?",
    text=(
        "Four motors of one kind, {motor}, drive a robot whose wheels slip when all together push with {grip}. Wheels"
        " {diameter} across, gearboxes with ratio {ratio} that pass on {efficiency}. A motor gives {constant} for each"
        " ampere beyond its free current of {free}. How much current do all four draw together while the wheels slip?"
    ),
    kind="current",
    unit="A",
    rows=_slip_rows_1,
    answer=lambda r: 4 * r.free + r.grip * r.diameter / 2 / (r.ratio * r.efficiency * r.constant),
    slips=(
        Slip(
            "stall current",
            lambda r: 4 * r.stall,
            "You took the stall current. These motors turn: the wheels slip before the motors stall.",
        ),
        Slip(
            "one motor",
            lambda r: r.free + r.grip * r.diameter / 2 / (4 * r.ratio * r.efficiency * r.constant),
            "That is one motor. The fuse feeds four.",
        ),
        Slip(
            "losses the wrong way",
            lambda r: 4 * r.free + r.grip * r.diameter / 2 * r.efficiency / (r.ratio * r.constant),
            "You multiplied by the efficiency. The motors must give more than what arrives at the wheels: divide.",
        ),
        Slip(
            "diameter for radius",
            lambda r: 4 * r.free + r.grip * r.diameter / (r.ratio * r.efficiency * r.constant),
            "You used the diameter as lever. The floor pushes at one radius from the axle.",
        ),
    ),
    hints=(
        "What torque do all wheels together give? Force × radius.",
        "In front of the gearboxes it is smaller: divide by ratio and by efficiency.",
        "Each ampere gives {constant}. And each of the four motors needs its free current on top.",
    ),
    explain=(
        "From grip to torque, through the gears, to amperes: {answer}. Compare with the fuse: up to its rating it"
        " carries for ever. With a little more, a quick fuse may blow within seconds."
    ),
)


_CURRENT_2 = replace(
    _CURRENT_1,
    revision=2,
    tolerance=0.02,
    rows=_slip_rows_2,
    slips=(
        *_CURRENT_1.slips,
        Slip(
            "free current forgotten",
            lambda r: r.grip * r.diameter / 2 / (r.ratio * r.efficiency * r.constant),
            "You left the free current out. Each of the four motors draws {free} for its own friction, whatever it"
            " pushes: add it.",
        ),
        Slip(
            "losses forgotten",
            lambda r: 4 * r.free + r.grip * r.diameter / 2 / (r.ratio * r.constant),
            "You left the losses out. The gearboxes pass on only {efficiency}, so the motors must give more: divide by"
            " it.",
        ),
    ),
)


CURRENT = replace(
    _CURRENT_2,
    revision=3,
    tolerance=0.01,
    rows=_slip_rows,
    slips=(
        *_CURRENT_2.slips,
        Slip(
            "one free current",
            lambda r: r.free + r.grip * r.diameter / 2 / (r.ratio * r.efficiency * r.constant),
            "There is one free current in your number. Each of the four motors has its own friction, so each draws"
            " {free} besides what the push needs.",
        ),
    ),
    hints=(*_CURRENT_2.hints[:2], f"{_CURRENT_2.hints[2]} Keep three digits or more: here a small mistake shows."),
    earlier=(_CURRENT_1, _CURRENT_2),
)


# --- in order of current -------------------------------------------------------------------------------------------

ORDER = Order(
    id="drivetrain-current-order",
    lesson="drivetrain",
    title="What costs current?",
    text="The same robot in four states, all at full voltage.",
    scale="from the least current to the most",
    items=(
        Item("cruise", "rolling straight on at its highest speed"),
        Item(
            "scrub",
            "turning on the spot, its wheels dragging sideways",
            "Dragging wheels sideways needs much more push than rolling.",
        ),
        Item(
            "spin",
            "pushing a wall, its wheels spinning",
            "Spinning wheels push with all the grip there is, more than turning needs.",
        ),
        Item(
            "stall", "pushing a wall, its wheels stuck to the floor", "Nothing draws more than motors that stand still."
        ),
    ),
    hints=(
        "Current follows torque. In which state do the motors push least?",
        "Wheels that slip limit the torque. What if they do not slip?",
    ),
    explain=(
        "Rolling costs little; turning on the spot drags the wheels; slipping is limited by grip; stalling is limited"
        " by nothing but the winding."
    ),
    short=True,
)


# --- a design ------------------------------------------------------------------------------------------------------


def _design_rows_1(kit):
    return _across(kit)


def _design_rows(kit):
    push = opened("drivetrain", kit)["push_time"]
    return [{**row, "push_time": in_unit(push, "s")} for row in _across(kit)]


def _across(kit):
    most = mass_limit(kit)
    return [
        {
            "distance": (distance, "m"),
            "mass": (rounded(share * most, 3), "kg"),
            "time_wanted": (time, "s"),
            "height": (height, "mm"),
        }
        for distance, share, time, height in (
            (2.0, 0.8, 1.8, 120),
            (2.5, 0.75, 2.1, 110),
            (1.5, 0.85, 1.5, 130),
            (3.0, 0.7, 2.4, 100),
            (2.2, 0.9, 2.1, 115),
        )
    ]


_DESIGN_1 = Challenge(
    id="drivetrain-design",
    lesson="drivetrain",
    title="Across the field",
    text=(
        "A robot of {mass}, its centre of gravity {height} over the floor, has to go {distance} and stop within"
        " {time_wanted}. It may also get stuck at a wall, and push it for some seconds. Choose motors, gearbox and"
        " wheels."
    ),
    sizing="drivetrain",
    rows=_design_rows_1,
    fixed=("distance", "mass", "time_wanted", "height"),
    ease={"time_wanted": 1.15, "mass": 0.92},
    choose=("motor", "count", "gearbox", "wheel"),
    require=(
        "There and stopped within {time_wanted}; pushing blows no fuse and burns no motor within the time it pushes;"
        " nothing tips or breaks: on a bad day too."
    ),
    advice={
        "time": (
            "Too slow. Is it grip, or the motors? Wheels with more grip help the first, more motors or another ratio"
            " the second."
        ),
        "fuse_lasts": "The fuse blows while it pushes. A larger ratio lets the wheels slip at less current.",
        "fuse_used": (
            "The fuse blows while the robot speeds up. A larger ratio needs the high current for a shorter time; fewer"
            " motors draw less."
        ),
        "hot_after": (
            "A motor gets too hot while it pushes: a larger ratio, so that the wheels spin before the motors stall."
        ),
        "stays_down": "It would tip over backwards when it speeds up: less push, or a lower centre of gravity.",
        "turns": "It can hardly turn on the spot: wheels that roll sideways, or more push.",
        "strength": "Grip can break the gearbox: the larger motor's gearbox is stronger, or use more motors.",
        "volts": (
            "The battery sags below the level at which the electronics reset. Motors take the most where they start"
            " from rest, whatever the ratio: fewer motors, or smaller ones."
        ),
        "push_volts": (
            "While it pushes, the battery stays below the level at which the electronics reset or a guard cuts it off."
            " A larger ratio lets the wheels slip at less current."
        ),
    },
    hints=(
        "Begin with four motors. Which finding is nearest to its limit on a bad day? Does a gearbox change it?",
        "Now the next gearbox up, and down. Where the time hardly changes: what does?",
    ),
    explain=(
        "It goes, stops and pushes, on a bad day too. Somebody else took other parts: ask for the current of"
        " a push. There the choices differ."
    ),
)


DESIGN = replace(
    _DESIGN_1,
    revision=2,
    text=(
        "A robot of {mass}, its centre of gravity {height} over the floor, has to go {distance} and stop within"
        " {time_wanted}. It may also get stuck at a wall, and push it for {push_time}. Choose motors, gearbox and"
        " wheels."
    ),
    rows=_design_rows,
    asks=("time", "fuse_lasts", "fuse_used", "hot_after", "stays_down", "strength"),
    fixed=("distance", "mass", "time_wanted", "height", "push_time"),
    require=(
        "There and stopped within {time_wanted}. The fuse holds while it speeds up and while it pushes, no motor gets"
        " too hot in that time, no gearbox breaks, and it does not tip backwards: on a bad day too."
    ),
    advice={
        **_DESIGN_1.advice,
        "stays_down": (
            "It would tip over backwards when it speeds up: less push. Fewer motors or a smaller ratio push less."
        ),
        "turns": "Its wheels drag when it turns on the spot. Wheels that roll sideways turn easily; more push helps.",
        "strength": (
            "Grip can break the gearbox. Wheels with less grip, smaller wheels or more motors take load off it; or"
            " choose a stronger gearbox."
        ),
    },
    explain=(
        "It goes, stops and pushes, on a bad day too. Somebody else took other parts: ask how long the fuse lasts"
        " while that robot pushes. There the choices differ."
    ),
    earlier=(_DESIGN_1,),
)


# --- shop at home: the grip of your own wheels -----------------------------------------------------------------------

PULLS = 8


def _pull_test(r, noise):
    """A luggage scale pulls the robot, wheels blocked, until it slides; weights are put on it one after the other."""
    load = np.linspace(0, 7, PULLS).round(0)
    pull = r.mu * (r.mass + load) * G * (1 + 0.03 * noise.standard_normal(PULLS))
    return {"load": (load, "kg"), "pull": (pull.round(0), "N")}


SHOP = Quantity(
    id="drivetrain-pull-test",
    lesson="drivetrain",
    title="The grip of your own wheels",
    text=(
        "You block the wheels of a robot of {mass}, pull it with a luggage scale until it just slides, put weights on"
        " it, and pull again. What is the coefficient of friction of its wheels on this floor? (It is hidden, and each"
        " learner's floor is another one. A plain number. You may be further off than usual.)"
    ),
    kind="number",
    unit="",
    rows=tuple(
        {"mass": (mass, "kg"), "mu": (mu, "")}
        for mass, mu in ((12, 0.83), (10, 0.71), (14, 0.92), (11, 0.64), (13, 0.97), (15, 0.78), (9, 0.88), (16, 0.69))
    ),
    answer=lambda r: r.mu,
    tolerance=0.05,
    shop=Shop(
        about=f"{PULLS} pulls at a robot with blocked wheels, with weights put on it.",
        measure=_pull_test,
        fit=lambda columns, r: float(np.mean(columns["pull"] / ((r.mass + columns["load"]) * G))),
    ),
    slips=(
        Slip(
            "robot's mass forgotten",
            lambda r: r.mu * (r.mass + 3.5) / 3.5,
            "You divided by the weights that you put on, and forgot the robot under them.",
        ),
        Slip(
            "kilograms for newtons",
            lambda r: r.mu * G,
            "You divided newtons by kilograms. A coefficient of friction is a force divided by a force: turn the mass"
            " into newtons first.",
        ),
        Slip(
            "weights forgotten",
            lambda r: r.mu * (r.mass + 3.5) / r.mass,
            "You divided every pull by the weight of the robot alone. The weights on it press on the floor too.",
        ),
    ),
    hints=(
        "What presses on the floor? The robot and the weights, in newtons.",
        (
            "Divide each pull by that force: the result should be the same in every row. Make that column, and take its"
            " mean."
        ),
    ),
    near=(
        "If you took the slope of a line: what weighs nothing has no grip, so the line must begin at 0. Take the mean"
        " of pull / force instead."
    ),
    explain=(
        "The hidden friction is {answer}. Dust, wear and rain change it: measure on the field that you will play on."
    ),
)


EXERCISES = (PREDICT, TOP, GRIP, FORCE, SPIN, STOPPING, TIME, CURRENT, ORDER, DESIGN, SHOP)

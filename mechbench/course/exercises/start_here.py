"""Exercises of lesson 00: units, how an exercise works, and what one second is worth."""

import math
from dataclasses import replace

from mechbench.course.exercise import Challenge, Choice, Item, Option, Order, Prediction, Quantity, Shop, Shown, Slip
from mechbench.course.learner_numbers import in_unit, rounded
from mechbench.course.of_game import GOALS_ELSEWHERE, goals, mass_limit
from mechbench.course.on_bench import found
from mechbench.course.rows_apart import told_apart
from mechbench.kits.figures import of_usual_piece
from mechbench.quantity import from_si, rad_s_to_rpm

G = 9.81


# --- a roller's rim: rpm, rad/s, diameter and radius ---------------------------------------------------------------


def _rim_rows(kit):
    diameters = kit.table("rollers").columns["diameter"]
    speeds = (300, 240, 420, 180, 500, 360, 270, 450)
    return [
        {"diameter": in_unit(diameters[i % len(diameters)], "mm"), "speed": (speed, "rpm")}
        for i, speed in enumerate(speeds)
    ]


RIM = Quantity(
    id="start-here-rim",
    lesson="start_here",
    title="How fast is the rim?",
    text="A roller of {diameter} diameter turns at {speed}. How fast does its rim, the outer edge, move?",
    kind="speed",
    unit="m/s",
    rows=_rim_rows,
    answer=lambda r: r.speed * r.diameter / 2,
    slips=(
        Slip(
            "rpm taken for rad/s",
            lambda r: rad_s_to_rpm(r.speed) * r.diameter / 2,
            "You used rpm as if they were rad/s. rpm are turns in one minute; the formula wants radians in one second.",
        ),
        Slip(
            "turns per second taken for rad/s",
            lambda r: rad_s_to_rpm(r.speed) / 60 * r.diameter / 2,
            "You went from minutes to seconds, but kept counting turns. One turn is 2π radians, a little more than 6.",
        ),
        Slip(
            "diameter for radius",
            lambda r: r.speed * r.diameter,
            "You used the whole diameter. The rim is only one radius, half a diameter, away from the axle.",
        ),
        Slip(
            "turns per second times diameter",
            lambda r: rad_s_to_rpm(r.speed) / 60 * r.diameter,
            "You let the rim move one diameter in each turn. In one turn it goes once around: π diameters.",
        ),
        Slip(
            "rpm taken for rad/s, diameter for radius",
            lambda r: rad_s_to_rpm(r.speed) * r.diameter,
            "Two things: first turn rpm into rad/s, and then use the radius. It is half the diameter.",
        ),
        Slip(
            "way in one minute",
            lambda r: r.speed * 60 * r.diameter / 2,
            "That is how far the rim moves in one minute. How far does it move in one second?",
        ),
        Slip(
            "radius for diameter",
            lambda r: r.speed * r.diameter / 4,
            "You multiplied turns by π × radius. Once around is π × diameter, or 2 × π × radius.",
        ),
    ),
    hints=(
        "Turn rpm into radians in one second: times 2π (radians in a turn), divided by 60 (seconds in a minute).",
        "The rim's speed is that number times the radius. The radius is half the diameter; write it in metres.",
    ),
    explain=(
        "The rim moves at turning speed (in rad/s) times radius: {answer}. The arc of one radian is as long as the"
        " radius. So this formula needs no 2π of its own."
    ),
    short=True,
)


# --- a lever: centimetres and metres -------------------------------------------------------------------------------

LEVER = Quantity(
    id="start-here-lever",
    lesson="start_here",
    title="Pull on a lever",
    text=(
        "A lever {length} long sits on a shaft. You pull its end with a luggage scale, at a right angle, with {force}. "
        "How large is the torque on the shaft?"
    ),
    kind="torque",
    unit="N·m",
    rows=tuple(
        {"force": (force, "N"), "length": (length, "cm")}
        for force, length in ((12, 25), (20, 35), (8, 15), (14, 40), (30, 12), (9, 55), (16, 30), (25, 18))
    ),
    answer=lambda r: r.force * r.length,
    slips=(
        Slip(
            "cm taken for m",
            lambda r: r.force * r.length * 100,
            "You used {length} as if it were metres. Write the length in metres first, then multiply.",
        ),
        Slip(
            "divided by 100 twice",
            lambda r: r.force * r.length / 100,
            "You divided by 100 twice. Turn {length} into metres once.",
        ),
        Slip(
            "divided by the length",
            lambda r: r.force / r.length,
            "You divided by the length. A longer lever gives more torque, so the length multiplies.",
        ),
        Slip(
            "divided by the length in cm",
            lambda r: r.force / (r.length * 100),
            "You divided by the length, in centimetres. A longer lever gives more torque, so the length multiplies, in"
            " metres.",
        ),
        Slip(
            "force taken for mass",
            lambda r: r.force * r.length * G,
            "You multiplied by 9.81 too. That makes a weight out of kilograms, but {force} is a force already.",
        ),
    ),
    hints=(
        "Write the length in metres: 100 cm are 1 m.",
        "Multiply the force in N by the length in m. The unit of the result is N·m, newton times metre.",
    ),
    explain=(
        "Torque is force times lever. With {length} written in metres, {force} times the lever gives {answer}. The same"
        " pull twice as far out gives twice the torque."
    ),
    short=True,
)


# --- hooks: mass and weight ----------------------------------------------------------------------------------------


def _hook_rows(kit):
    limit = mass_limit(kit)
    shares = ((1.0, 2), (0.9, 3), (0.8, 2), (0.75, 4), (0.85, 3), (0.7, 2), (0.95, 4), (0.65, 3))
    return [{"mass": (rounded(limit * share, 3), "kg"), "hooks": (hooks, "whole")} for share, hooks in shares]


HOOKS = Quantity(
    id="start-here-hooks",
    lesson="start_here",
    title="A robot on its hooks",
    text=(
        "A robot of {mass} hangs still from {hooks} hooks. Each hook carries the same share. How large is the force on"
        " one hook?"
    ),
    kind="force",
    unit="N",
    rows=_hook_rows,
    answer=lambda r: r.mass * G / r.hooks,
    slips=(
        Slip(
            "mass for weight",
            lambda r: r.mass / r.hooks,
            "You divided the kilograms by the hooks. A kilogram is how much stuff there is; the force on a hook is how"
            " hard the Earth pulls on it, in newtons.",
        ),
        Slip(
            "not shared",
            lambda r: r.mass * G,
            "That is the weight of the whole robot. There are {hooks} hooks.",
        ),
        Slip(
            "mass for weight, not shared",
            lambda r: r.mass,
            "Those are the robot's kilograms, written as newtons. First find how hard the Earth pulls on them, then"
            " share that between the hooks.",
        ),
        Slip(
            "multiplied by the hooks",
            lambda r: r.mass * G * r.hooks,
            "You multiplied by the hooks. The hooks share the weight: more hooks, less force on each.",
        ),
        Slip(
            "divided by 9.81",
            lambda r: r.mass / G / r.hooks,
            "You divided by 9.81. Each kilogram weighs 9.81 N, so multiply.",
        ),
    ),
    hints=(
        "The Earth pulls on each kilogram with 9.81 N. Find the pull on the whole robot first.",
        "Each of the {hooks} hooks carries the same share of that force.",
    ),
    explain=(
        "The weight of {mass} is its mass times 9.81 N/kg. Each of {hooks} hooks carries its share, {answer}. "
        "Scales show kilograms, but hooks, cords and motors feel newtons."
    ),
    short=True,
)


# --- a spool: millimetres, diameter and radius ---------------------------------------------------------------------


def _spool_rows(kit):
    diameters = kit.table("spools").columns["diameter"]
    pulls = (40, 60, 25, 90, 35, 75, 50, 110)
    return [
        {"pull": (pull, "N"), "diameter": in_unit(diameters[i % len(diameters)], "mm")} for i, pull in enumerate(pulls)
    ]


SPOOL = Quantity(
    id="start-here-spool",
    lesson="start_here",
    title="A cord on a spool",
    text=(
        "A cord is wound on a spool of {diameter} diameter and is pulled with {pull}. How large is the torque on the "
        "spool's shaft? The cord is so thin that you can ignore its thickness."
    ),
    kind="torque",
    unit="N·m",
    rows=_spool_rows,
    answer=lambda r: r.pull * r.diameter / 2,
    slips=(
        Slip(
            "diameter for radius",
            lambda r: r.pull * r.diameter,
            "You used the whole diameter. The cord leaves the spool one radius, half a diameter, away from the shaft.",
        ),
        Slip(
            "mm taken for m",
            lambda r: r.pull * r.diameter / 2 * 1000,
            "You used millimetres as if they were metres. Write the radius in metres first.",
        ),
        Slip(
            "diameter for radius, mm taken for m",
            lambda r: r.pull * r.diameter * 1000,
            "Two things: the lever is half the diameter, and it has to be written in metres.",
        ),
        Slip(
            "force taken for mass",
            lambda r: r.pull * r.diameter / 2 * G,
            "You multiplied by 9.81 too. That makes a weight out of kilograms, but {pull} is a force already.",
        ),
        Slip(
            "divided by the radius",
            lambda r: r.pull / (r.diameter / 2),
            "You divided by the radius. A larger spool needs more torque for the same pull, so the radius multiplies.",
        ),
        Slip(
            "once around for radius",
            lambda r: r.pull * math.pi * r.diameter,
            "You multiplied by the way once around the spool. The lever is the distance from the middle to the cord:"
            " the radius.",
        ),
    ),
    hints=(
        "Look at the end of the shaft: how far from its middle does the cord pull?",
        "Torque is pull times that distance. Write the distance in metres: 1000 mm are 1 m.",
    ),
    explain=(
        "The cord pulls at one radius from the shaft, so the torque is {pull} times half of {diameter}: {answer}."
        " Wheels, spools and rollers are sold by diameter, but all torques need the radius."
    ),
    short=True,
)


# --- what one second is worth --------------------------------------------------------------------------------------


def _second_rows_1(kit):
    return _trips(kit, (10, 12, 9, 14, 8, 11, 15, 13))


def _second_rows_2(kit):
    """Such trips that whole ones give another number than parts of trips, and than each other wrong path."""
    rows = _trips(kit, (10, 9.5, 9, 8.8, 8, 7.6, 7.2, 11.5, 12.5, 6.8, 6.4, 14, 8.4, 11, 13, 9.8, 7, 6))
    return told_apart(_SECOND_2, rows)[:8] or rows[:8]


def _second_rows(kit):
    """The same, and so short that trips as long as before give another number for the time saved."""
    rows = _trips(kit, (10, 9.5, 9, 7.5, 6.4, 10.5, 6, 9.2, 8.4, 8.2, 8.6, 7.8, 8.8, 6.8, 5.6, 9.7, 7.2, 10.2))
    return told_apart(SECOND, rows)[:8] or rows[:8]


def _trips(kit, cycles):
    table = goals(kit)
    # A goal of that piece which never gets full, so that every piece counts.
    goal = max(of_usual_piece(table, kit), key=lambda name: table.row(name)["capacity"])
    return [
        {
            "cycle": (cycle, "s"),
            "piece": kit.roles.piece.label,
            "shelf": table.labels[goal],
            "points": (table.row(goal)["points"], "points"),
            "driven": in_unit(kit.roles.match.driven, "s"),
            "closing": in_unit(kit.roles.match.closing, "s"),
        }
        for cycle in cycles
    ]


def _cycling_time(r):
    return r.driven - r.closing


_SECOND_1 = Quantity(
    id="start-here-second",
    lesson="start_here",
    needs=("piece", "goal", "closing"),
    elsewhere=GOALS_ELSEWHERE,
    title="What is one second worth?",
    text=(
        "Your robot needs {cycle} to fetch one {piece} and bring it to the {shelf}. That gives {points}. People drive"
        " for {driven}. In the last {closing} of this time, the closing time, the robot makes no trips. Before that it"
        " makes one trip after the other. Now you make every trip 1 s shorter. How many points more is that in one"
        " match? Count parts of a trip too: over many matches they add up."
    ),
    kind="points",
    unit="points",
    rows=_second_rows_1,
    answer=lambda r: r.points * _cycling_time(r) * (1 / (r.cycle - 1) - 1 / r.cycle),
    slips=(
        Slip(
            "closing time counted",
            lambda r: r.points * r.driven * (1 / (r.cycle - 1) - 1 / r.cycle),
            "You used the whole {driven}. In the closing time, the last {closing}, your robot does something else.",
        ),
        Slip(
            "one second a match",
            lambda r: r.points / r.cycle,
            "You found what one second more in the whole match is worth. You save a second in every trip, and there are"
            " many trips.",
        ),
        Slip(
            "all points, not the points more",
            lambda r: r.points * _cycling_time(r) / (r.cycle - 1),
            "Those are all points of the quicker robot. Subtract what it had before.",
        ),
        Slip(
            "one second slower",
            lambda r: r.points * _cycling_time(r) * (1 / r.cycle - 1 / (r.cycle + 1)),
            "You compared with a trip that is 1 s longer. Compare {cycle} with a trip that is 1 s shorter.",
        ),
    ),
    hints=(
        "For how long does the robot make trips? Subtract the closing time from the time in which people drive.",
        "Number of trips is that time divided by the time of one trip. Find it for {cycle}, and for one second less.",
        "The difference between the two, times the points for one {piece}, is what the second is worth.",
    ),
    explain=(
        "One second saved in every trip is worth {answer} a match. That is why we size mechanisms: one that saves a "
        "second saves it again in every trip."
    ),
)


def _whole_trips(r):
    """Points more where a part of a trip counts nothing; 1e-9 for a quotient that is whole but for rounding."""
    whole = lambda trip: math.floor(_cycling_time(r) / trip + 1e-9)
    return r.points * (whole(r.cycle - 1) - whole(r.cycle))


_SECOND_2 = replace(
    _SECOND_1,
    revision=2,
    rows=_second_rows_2,
    slips=(
        *_SECOND_1.slips,
        Slip(
            "whole trips only",
            _whole_trips,
            "You counted whole trips only. In one match that is so, but over many matches the parts add up: keep the"
            " digits after the point.",
        ),
        Slip(
            "trips, not points",
            lambda r: _cycling_time(r) * (1 / (r.cycle - 1) - 1 / r.cycle),
            "That is how many trips more. Each of them brings {points}.",
        ),
        Slip(
            "points before",
            lambda r: r.points * _cycling_time(r) / r.cycle,
            "Those are all points of the robot as it was. Find those of the quicker robot too, and subtract.",
        ),
    ),
    earlier=(_SECOND_1,),
)
SECOND = replace(
    _SECOND_2,
    revision=3,
    text=_SECOND_2.text.replace("a trip too:", "a trip too, to hundredths:"),
    rows=_second_rows,
    slips=(
        *_SECOND_2.slips,
        Slip(
            "saved time filled with old trips",
            lambda r: r.points * _cycling_time(r) / r.cycle**2,
            "You filled the saved seconds with trips as long as before. Now every trip is 1 s shorter, those too.",
        ),
    ),
    earlier=(_SECOND_1, _SECOND_2),
)


# --- what a data sheet means ---------------------------------------------------------------------------------------


def _sheet_rows(kit):
    servos = kit.table("servos")
    stall = servos.row(servos.usual)["stall_torque"]
    return [{"servo": servos.labels[servos.usual], "number": rounded(from_si(stall, "kgf·cm"), 2)}]


SHEET = Choice(
    id="start-here-sheet",
    lesson="start_here",
    title="Read a data sheet",
    text=(
        "A servo is a motor that turns an arm to an angle and holds it there. The data sheet (the maker's list of"
        " numbers) of the {servo} says: torque {number} kg·cm. What does that mean?"
    ),
    rows=_sheet_rows,
    options=(
        Option(
            "any-arm",
            "It holds up {number} kg, however long the arm on it is.",
            "A longer arm turns the servo back more easily: try to hold a bag with your arm stretched out. Torque is"
            " force times distance, so the centimetres matter.",
        ),
        Option(
            "weight-at-1-cm",
            "It can just hold up {number} kg hung 1 cm from its axle.",
            "Yes: the weight of {number} kg, times 1 cm.",
            right=True,
        ),
        Option(
            "newtons-at-1-cm",
            "It can just push with {number} N at 1 cm from its axle.",
            "Almost. But the sheet means the weight of so many kilograms, and one kilogram weighs almost 10 N.",
        ),
        Option(
            "each-centimetre",
            "It holds up {number} kg more for each centimetre of arm.",
            "It is the other way round: at twice the distance only half the weight can be held. Force times distance"
            " stays the same.",
        ),
    ),
    hints=(
        "kg·cm means: something in kg times something in cm.",
        "Think of a door: where do you push to turn it easily, and where is it hard?",
    ),
    explain=(
        "Data sheets of servos write kg·cm and mean the weight of so many kilograms. The correct unit is kgf·cm"
        " (kilogram-force). 1 kgf·cm is 9.81 N times 0.01 m, about 0.1 N·m. At 10 cm the servo holds only a tenth of"
        " the weight."
    ),
    short=True,
)


# --- turning speeds in order ---------------------------------------------------------------------------------------

SPEEDS = Order(
    id="start-here-speeds",
    lesson="start_here",
    title="Which turns faster?",
    text="Four shafts turn. Their speeds are written in four units.",
    scale="from the slowest to the fastest",
    items=(
        Item("rpm-20", "20 rpm (turns in one minute)"),
        Item(
            "deg-180",
            "180 deg/s (degrees in one second)",
            "A whole turn is 360 degrees. How many turns a minute are 180 degrees a second?",
        ),
        Item(
            "turn-1",
            "1 turn in one second",
            "One turn in a second is 360 degrees in a second.",
        ),
        Item(
            "rad-10",
            "10 rad/s (radians in one second)",
            "A turn is a little more than 6 radians, so 10 radians are more than one turn.",
        ),
    ),
    hints=(
        "Turn all four into one unit, for example turns in one second.",
        "One turn is 360 degrees, or 2π radians (about 6.28), and a minute has 60 seconds.",
    ),
    explain=(
        "In turns a second: 20 rpm is 0.33, 180 deg/s is 0.5, then 1, and 10 rad/s is 1.6. The bare numbers stand in"
        " another order: 1, 10, 20, 180. Without its unit a number says nothing."
    ),
    short=True,
)


# --- predict, then slide -------------------------------------------------------------------------------------------


def _opens(kit):
    """The goal that takes most pieces, for one that gets full would hide what a second is worth; and no more points
    wanted than its trips bring.
    """
    table = goals(kit)
    if not table.names:
        return {}
    roomiest = {"goal": table.names[int(table.columns["capacity"].argmax())]}
    brought = found("trips", kit, **roomiest).points[0]
    return roomiest | {"points_wanted": f"{math.floor(0.7 * brought)} points"}


def _second_shown(kit):
    """What a second is worth with a long and with a short trip."""
    slow, quick = found("trips", kit, "trip_time", (20.0, 8.0), saved="1 s", **_opens(kit)).gain
    numbers = {"slow": (slow, "points"), "quick": (quick, "points")}
    if abs(quick - slow) < 0.005:
        return Shown("same", "In this game both gain {quick}: pieces bring no points, or the goal is full.", numbers)
    because = "With 20 s for a trip the second brings {slow}, with 8 s {quick}. "
    if slow > quick:
        return Shown(
            "slow-robot", because + "For the quick robot the goal of this game is full before the end.", numbers
        )
    because += "The quick robot makes more trips, so it saves the second more often, and it is a larger part of a trip."
    return Shown("quick-robot", because, numbers)


WHICH_SECOND = Prediction(
    id="start-here-which-second",
    lesson="start_here",
    title="Which second is worth more?",
    text=(
        "One robot needs 20 s for a trip, another one 8 s. Both get 1 s quicker in every trip. Which of them gains more"
        " points in a match?"
    ),
    options=(
        Option(
            "slow-robot",
            "The slow one: it has more to gain.",
            (
                "It is true that the slow one has more time left to save. The surprise: the second counts once in"
                " each trip, and the slow one makes few."
            ),
        ),
        Option(
            "quick-robot", "The quick one.", "A good thought: it makes more trips, so the second is saved more often."
        ),
        Option(
            "same",
            "Both gain the same: a second is a second.",
            (
                "A second is a second in one trip. The surprise: it counts in each trip, and the two make different"
                " numbers of trips."
            ),
        ),
    ),
    hints=(),
    explain=(
        "Now test it on the bench below. Set the time of one trip to 20 s, then to 8 s. Read the points gained, beside"
        " the two marks: are they the same?"
    ),
    shows=_second_shown,
    opens=_opens,
)


# --- a first design ------------------------------------------------------------------------------------------------


def _design_rows_1(kit):
    return _loads(kit, ((0.6, 0.5), (0.7, 0.4), (0.5, 0.6), (0.6, 0.4), (0.7, 0.5), (0.7, 0.6)))


def _design_rows(kit):
    # Of the course's motors, one to four of each, three or four choices in twelve do it.
    return _loads(kit, ((0.8, 0.5), (0.45, 0.6), (1.1, 0.3), (0.9, 0.5), (1.2, 0.4), (1.0, 0.5)))


def _loads(kit, shares):
    """Shares of the usual motor's stall torque and free speed: too much for one of it, not for every choice."""
    motors = kit.table("motors")
    motor = motors.row(motors.usual)
    return [
        {
            "load_torque": (rounded(load * motor["stall_torque"], 3), "N·m"),
            "speed_wanted": (rounded(rad_s_to_rpm(speed * motor["free_speed"]), 3), "rpm"),
            "run_time": (60, "s"),
        }
        for load, speed in shares
    ]


_FIRST_DESIGN_1 = Challenge(
    id="start-here-first-design",
    lesson="start_here",
    title="Your first design",
    text=(
        "A roller resists turning with {load_torque}. Choose a motor, and how many of them turn the roller's shaft"
        " together. You need not know motors yet: choose, test, read which line is NOT met, and choose again."
    ),
    sizing="motor",
    rows=_design_rows_1,
    fixed=("load_torque", "speed_wanted", "run_time"),
    ease={"load_torque": 0.85, "speed_wanted": 0.9},
    choose=("motor", "count"),
    require="The roller must turn with at least {speed_wanted} for {run_time}.",
    advice={
        "speed": "Too slow: each motor is loaded too much. A stronger motor, or one more that shares the load, helps.",
        "current": "Too much current for one motor: share the load between more motors.",
        "hot_after": "The motor gets too hot too soon: heat comes from current, and current from load. Share the load.",
    },
    hints=(
        "Try one motor of each kind first. Which line is NOT met, and by how much?",
        "Motors on one shaft share the load: each of two motors turns half of it.",
    ),
    explain=(
        "It works, on a bad day too. Other choices work as well. The best of them has few motors, little mass and"
        " little current."
    ),
)


FIRST_DESIGN = replace(
    _FIRST_DESIGN_1, revision=2, rows=_design_rows, asks=("speed", "hot_after"), earlier=(_FIRST_DESIGN_1,)
)


# --- shop at home: a stopwatch -------------------------------------------------------------------------------------

TRIPS_1, TRIPS = 20, 30
SLOW, QUICK = 1.25, 0.78  # the first trip and the last one, as shares of the true time


def _timings_1(r, noise):
    """A person's stopwatch: trips differ by 8 %, and the thumb comes 0.1 s early or late; it shows tenths of a
    second.
    """
    times = r.trip * (1 + 0.08 * noise.standard_normal(TRIPS_1)) + 0.1 * noise.standard_normal(TRIPS_1)
    return {"trip": (range(1, TRIPS_1 + 1), "whole"), "time": (times.round(1), "s")}


def _timings(r, noise):
    """The same with more trips. On the first the driver still looks for the way, on the last one nothing stands in it:
    so neither of them alone is near the mean.
    """
    share = 1 + 0.08 * noise.standard_normal(TRIPS)
    share[0], share[-1] = SLOW, QUICK
    times = r.trip * share + 0.1 * noise.standard_normal(TRIPS)
    return {"trip": (range(1, TRIPS + 1), "whole"), "time": (times.round(1), "s")}


_STOPWATCH_1 = Quantity(
    id="start-here-stopwatch",
    lesson="start_here",
    title="Time the trips",
    text=(
        "A friend drove the same trip many times, and you measured the times with a stopwatch. No two trips are the"
        " same, and your thumb is a little early or late. How long does a trip of this robot take? (Its true time is"
        " hidden, and nobody can find it exactly. So you may be further off than usual.)"
    ),
    kind="time",
    unit="s",
    rows=tuple({"trip": (trip, "s")} for trip in (9.4, 12.6, 7.8, 14.2, 10.7, 8.6, 13.3, 11.5)),
    answer=lambda r: r.trip,
    tolerance=0.08,
    shop=Shop(
        about=f"Stopwatch readings of {TRIPS_1} trips of one robot.",
        measure=_timings_1,
        fit=lambda columns, r: columns["time"].mean(),
    ),
    slips=(
        Slip(
            "added, not divided",
            lambda r: r.trip * TRIPS_1,
            "You added all times. Divide by how many trips there were.",
        ),
    ),
    hints=(
        "One reading can be far off. All of them together are better than any one of them.",
        "The mean is all times added, divided by how many there are. In code: data.time.mean()",
    ),
    explain=(
        "The true time is {answer}. The mean of many readings comes near it, because long and short readings balance"
        " each other. One reading alone can be off by much more. With four times as many readings the mean is twice as"
        " sure."
    ),
)


STOPWATCH = replace(
    _STOPWATCH_1,
    revision=2,
    tolerance=0.06,
    shop=Shop(
        about=f"Stopwatch readings of {TRIPS} trips of one robot.",
        measure=_timings,
        fit=lambda columns, r: columns["time"].mean(),
    ),
    slips=(
        Slip(
            "added, not divided",
            lambda r: r.trip * TRIPS,
            "You added all times. Divide by how many trips there were.",
        ),
        Slip(
            "first reading alone",
            lambda r: r.trip * SLOW,
            "That looks like the first reading alone. One trip can be far from the usual one: use all of them.",
        ),
        Slip(
            "last reading alone",
            lambda r: r.trip * QUICK,
            "That looks like the last reading alone. One trip can be far from the usual one: use all of them.",
        ),
    ),
    earlier=(_STOPWATCH_1,),
)


EXERCISES = (WHICH_SECOND, LEVER, HOOKS, SPOOL, RIM, SPEEDS, SHEET, SECOND, FIRST_DESIGN, STOPWATCH)

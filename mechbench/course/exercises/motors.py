"""Exercises of lesson 01: what a motor gives at a load, what it draws, and how long before it is too hot."""

from dataclasses import replace

import numpy as np

from mechbench.course.exercise import Challenge, Choice, Item, Option, Order, Prediction, Quantity, Shop, Shown, Slip
from mechbench.course.learner_numbers import in_unit, rounded
from mechbench.course.on_bench import found, opened
from mechbench.kits.pairing import loose
from mechbench.quantity import from_si, rad_s_to_rpm, to_si

CASES = 8  # rows of each exercise


def _motor(kit, case):
    """The kit's motors, and the name of one that stands by itself: a gearmotor's label is that of its output shaft."""
    motors = kit.table("motors")
    names = loose(motors)
    return motors, names[case % len(names)]


def _nameplate(kit, case):
    """The nameplate of one of the kit's motors, as it is shown: each row takes the next motor."""
    motors, name = _motor(kit, case)
    row = motors.row(name)
    units = {
        "voltage": "V",
        "free_speed": "rpm",
        "free_current": "A",
        "stall_torque": "N·m",
        "stall_current": "A",
    }
    return {"motor": motors.labels[name], **{key: in_unit(row[key], unit) for key, unit in units.items()}}


def _constant(r):
    """Torque for each ampere, from the two ends of the nameplate."""
    return r.stall_torque / (r.stall_current - r.free_current)


def _without_free_current(r):
    """What people find who leave the free current out; in the middle of the two ways to do that, which lie 3 %
    apart.
    """
    return r.torque / r.stall_torque * (r.stall_current - r.free_current / 2)


_FREE_CURRENT_FORGOTTEN = tuple(
    Slip(
        name,
        formula,
        "You left the free current out. Without any load a motor draws {free_current} already, for its own friction:"
        " the"
        " line begins there.",
    )
    for name, formula in (
        ("free current forgotten", lambda r: r.torque / _constant(r)),
        ("free current forgotten, share of the stall current", lambda r: r.torque / r.stall_torque * r.stall_current),
    )
)


# --- torque on the line --------------------------------------------------------------------------------------------


def _line_rows(kit):
    shares = (0.7, 0.25, 0.8, 0.3, 0.65, 0.2, 0.75, 0.35)
    rows = []
    for case, share in enumerate(shares):
        plate = _nameplate(kit, case)
        rows.append({**plate, "speed": (round(share * plate["free_speed"][0], -1), "rpm")})
    return rows


LINE = Quantity(
    id="motors-line",
    lesson="motors",
    title="Torque at a speed",
    text=(
        "The nameplate of the {motor} says: stall torque {stall_torque}, free speed {free_speed}, both at {voltage}."
        " How much torque does it give while it turns at {speed}?"
    ),
    kind="torque",
    unit="N·m",
    rows=_line_rows,
    answer=lambda r: r.stall_torque * (1 - r.speed / r.free_speed),
    slips=(
        Slip(
            "rising line",
            lambda r: r.stall_torque * r.speed / r.free_speed,
            "Your line goes up with the speed. A motor gives most torque when it stands, and none at its free speed.",
        ),
        Slip(
            "stall torque at any speed",
            lambda r: r.stall_torque,
            "That is the stall torque, and the motor gives it only while it stands. At {speed} it gives less.",
        ),
        Slip(
            "divided by what is left",
            lambda r: r.stall_torque / (1 - r.speed / r.free_speed),
            "You divided by the share of speed that is left. The torque gets smaller with speed, so that share"
            " multiplies.",
        ),
    ),
    hints=(
        "Draw the two ends: stall torque at speed 0, and no torque at {free_speed}. Between them the line is straight.",
        "What share of the free speed is {speed}? The same share of the stall torque is gone.",
    ),
    explain="{speed} is a share of the free speed. The same share of the stall torque is gone, and {answer} is left.",
    short=True,
)


# --- current at a load ---------------------------------------------------------------------------------------------


def _current_rows_1(kit):
    return _loaded(kit, (0.2, 0.18, 0.15, 0.19, 0.22, 0.16, 0.17, 0.14))  # so small that a forgotten free current shows


def _current_rows(kit):
    return _loaded(kit, (0.35, 0.3, 0.4, 0.28, 0.32, 0.38, 0.25, 0.33))


def _loaded(kit, shares):
    rows = []
    for case, share in enumerate(shares):
        plate = _nameplate(kit, case)
        rows.append({**plate, "torque": (rounded(share * plate["stall_torque"][0], 2), "N·m")})
    return rows


_CURRENT_1 = Quantity(
    id="motors-current",
    lesson="motors",
    title="Current at a load",
    text=(
        "The {motor} stalls with {stall_torque} at {stall_current}, and draws {free_current} when it runs free. How"
        " much current does it draw while it turns a load of {torque}?"
    ),
    kind="current",
    unit="A",
    rows=_current_rows_1,
    answer=lambda r: r.free_current + r.torque / _constant(r),
    slips=(
        Slip(
            "stall current always",
            lambda r: r.stall_current,
            "That is the stall current. The motor draws it only when it stands still, with a load far larger than"
            " {torque}.",
        ),
        Slip(
            "free current forgotten",
            lambda r: _without_free_current(r),
            "You began at 0 A. Without any load the motor draws {free_current} already: the line begins there.",
        ),
        Slip(
            "taken off instead of added",
            lambda r: r.torque / _constant(r) - r.free_current,
            "You subtracted the free current. The motor needs it for its own friction, so it is added to what the load"
            " needs.",
        ),
        Slip(
            "the share that is left",
            lambda r: r.stall_current * (1 - r.torque / r.stall_torque),
            "Your current falls when the load grows. It is the other way: more load, more current.",
        ),
    ),
    hints=(
        (
            "Two points are known: no load at {free_current}, and {stall_torque} at {stall_current}. Between them the"
            " line is straight."
        ),
        (
            "What share of the stall torque is {torque}? Go the same share of the way from {free_current} to"
            " {stall_current}."
        ),
    ),
    explain=(
        "The current grows in a straight line with the torque, from {free_current} without load: at {torque} it is"
        " {answer}. The load decides the current."
    ),
    short=True,
)


# One per cent: the free current counted twice makes a difference of three to four.
CURRENT = replace(
    _CURRENT_1,
    revision=2,
    tolerance=0.01,
    rows=_current_rows,
    slips=(
        *(slip for slip in _CURRENT_1.slips if slip.name != "free current forgotten"),
        *_FREE_CURRENT_FORGOTTEN,
        Slip(
            "free current counted twice",
            lambda r: r.free_current + r.torque / r.stall_torque * r.stall_current,
            "You counted the free current twice. It is a part of the stall current already: only the rest, stall"
            " current minus free current, grows with the load.",
        ),
    ),
    hints=(*_CURRENT_1.hints, "Keep three digits or more: here a small mistake shows."),
    earlier=(_CURRENT_1,),
)


# --- power ---------------------------------------------------------------------------------------------------------


def _power_rows(kit):
    return [
        {
            **_nameplate(kit, case),
            "torque": (rounded(share * _nameplate(kit, case)["stall_torque"][0], 3), "N·m"),
            "speed": (round((1 - share) * _nameplate(kit, case)["free_speed"][0], -1), "rpm"),
        }
        for case, share in enumerate((0.3, 0.6, 0.4, 0.7, 0.25, 0.55, 0.35, 0.65))
    ]


POWER = Quantity(
    id="motors-power",
    lesson="motors",
    title="Power out",
    text=(
        "The {motor} turns at {speed} and gives {torque}. How much power comes out of its shaft? Power is torque times"
        " turning speed, with the speed in rad/s."
    ),
    kind="power",
    unit="W",
    rows=_power_rows,
    answer=lambda r: r.torque * r.speed,
    slips=(
        Slip(
            "rpm taken for rad/s",
            lambda r: r.torque * rad_s_to_rpm(r.speed),
            "You multiplied by rpm. The speed has to be in rad/s first: times 2π, divided by 60.",
        ),
        Slip(
            "turns per second taken for rad/s",
            lambda r: r.torque * rad_s_to_rpm(r.speed) / 60,
            "You used turns in one second. Use radians in one second: one turn is 2π radians, a little more than 6.",
        ),
        Slip(
            "radians in a minute",
            lambda r: 60 * r.torque * r.speed,
            "You used radians in one minute. Divide by 60: a minute has 60 seconds.",
        ),
        Slip(
            "both ends of the line at once",
            lambda r: r.stall_torque * r.free_speed,
            "You multiplied the stall torque by the free speed. The motor never has both at once.",
        ),
        Slip(
            "stall torque for torque",
            lambda r: r.stall_torque * r.speed,
            "You used the stall torque. At {speed} the motor gives only {torque}.",
        ),
        Slip(
            "free speed for speed",
            lambda r: r.torque * r.free_speed,
            "You used the free speed. With this load the motor turns at {speed}.",
        ),
    ),
    hints=(
        "Turn {speed} into radians in one second: times 2π (radians in a turn), divided by 60 (seconds in a minute).",
        "Then multiply by the torque. N·m times rad/s gives watts.",
    ),
    explain=(
        "{torque} at {speed} is {answer}. A motor that stands still gives torque but no power. A motor that runs free"
        " gives speed but no power."
    ),
    short=True,
)


# --- a tired battery -----------------------------------------------------------------------------------------------


def _tired_rows(kit):
    volts = (10.0, 10.5, 9.6, 9.0, 10.2, 9.3, 8.7, 9.9)
    scale = kit.table("motors").columns["voltage"]
    return [
        {**_nameplate(kit, case), "low": (rounded(v / 12 * scale[case % len(scale)], 3), "V")}
        for case, v in enumerate(volts)
    ]


TIRED = Quantity(
    id="motors-tired-battery",
    lesson="motors",
    title="A tired battery",
    text=(
        "At {voltage} the {motor} stalls with {stall_torque}. Late in the match the battery gives it only {low}. How"
        " large is the stall torque now?"
    ),
    kind="torque",
    unit="N·m",
    rows=_tired_rows,
    answer=lambda r: r.stall_torque * r.low / r.voltage,
    slips=(
        Slip(
            "unchanged",
            lambda r: r.stall_torque,
            "You kept the stall torque. Less voltage drives less current through the motor, and torque comes from"
            " current.",
        ),
        Slip(
            "squared",
            lambda r: r.stall_torque * (r.low / r.voltage) ** 2,
            "You used the share of the voltage twice. Use it once: half the voltage, half the torque.",
        ),
        Slip(
            "upside down",
            lambda r: r.stall_torque * r.voltage / r.low,
            "You found more torque than before. With less voltage it must be less: swap the two voltages.",
        ),
        Slip(
            "what is lost",
            lambda r: r.stall_torque * (1 - r.low / r.voltage),
            "That is how much torque is lost. How much is left?",
        ),
    ),
    hints=(
        "When the motor stands still, current is voltage divided by resistance. Half the voltage, half the current.",
        "Torque comes from current. So what share of the torque is left at {low}?",
    ),
    explain="At {low} the stall torque is only {answer}. Size for the tired battery, not for the full one.",
)


# --- two on one shaft ----------------------------------------------------------------------------------------------


def _two_rows_1(kit):
    return _shared(kit, (0.5, 0.45, 0.42, 0.35, 0.44, 0.4, 0.38, 0.3))  # so that a forgotten free current shows


def _two_rows(kit):
    return _shared(kit, (0.6, 0.5, 0.52, 0.45, 0.55, 0.57, 0.48, 0.53))


def _shared(kit, shares):
    return [
        {**_nameplate(kit, case), "torque": (rounded(share * _nameplate(kit, case)["stall_torque"][0], 2), "N·m")}
        for case, share in enumerate(shares)
    ]


_TWO_1 = Quantity(
    id="motors-two",
    lesson="motors",
    title="Two on one shaft",
    text=(
        "Two motors of one kind turn one shaft together: {motor}, stall {stall_torque} at {stall_current}, free"
        " current {free_current}. The load is {torque}, and each motor takes half of it. How much current do the two"
        " draw from the battery together?"
    ),
    kind="current",
    unit="A",
    rows=_two_rows_1,
    answer=lambda r: 2 * r.free_current + r.torque / _constant(r),
    slips=(
        Slip(
            "one motor only",
            lambda r: r.free_current + r.torque / 2 / _constant(r),
            "That is the current of one of the two. The battery feeds both.",
        ),
        Slip(
            "free current forgotten",
            lambda r: _without_free_current(r),
            "You left the free current out. Each of the two motors draws {free_current} for its own friction.",
        ),
        Slip(
            "whole load on each",
            lambda r: 2 * (r.free_current + r.torque / _constant(r)),
            "You put the whole load on each motor. They share it: each has half of {torque}.",
        ),
        Slip(
            "stall current of both",
            lambda r: 2 * r.stall_current,
            "That is what two stalled motors draw. These two turn, with a load far below their stall torque.",
        ),
    ),
    hints=(
        "What torque does one of the two give? Find its current as in the exercise before.",
        "The battery feeds both motors.",
    ),
    explain=(
        "Each motor gives half the torque and draws its own free current: {answer} together. So a second motor saves no"
        " current. It saves heat: each winding has half the load, and heat grows with the square of the current."
    ),
)


# One per cent: with the whole load on one motor, one free current is missing, and that makes four to six.
TWO = replace(
    _TWO_1,
    revision=2,
    tolerance=0.01,
    rows=_two_rows,
    slips=(
        *(slip for slip in _TWO_1.slips if slip.name != "free current forgotten"),
        *_FREE_CURRENT_FORGOTTEN,
        Slip(
            "whole load on one motor",
            lambda r: r.free_current + r.torque / _constant(r),
            "There is one free current in your number: you put the whole load on one motor, or left the free"
            " current of one motor out. Take half the load for each motor, find its current, and take it twice.",
        ),
        Slip(
            "free current counted twice",
            lambda r: 2 * r.free_current + r.torque / r.stall_torque * r.stall_current,
            "You counted the free current twice. It is a part of the stall current already: only the rest, stall"
            " current minus free current, grows with the load.",
        ),
    ),
    hints=("What torque does one of the two give? Find its current as in the exercise before, with three digits.",)
    + _TWO_1.hints[1:],
    earlier=(_TWO_1,),
)


# --- heat ----------------------------------------------------------------------------------------------------------


def _heat_rows(kit):
    shares = (0.3, 0.4, 0.45, 0.35, 0.5, 0.28, 0.55, 0.42)
    rows = []
    for case, share in enumerate(shares):
        plate = _nameplate(kit, case)
        rows.append({**plate, "current": (rounded(share * plate["stall_current"][0], 2), "A")})
    return rows


HEAT = Quantity(
    id="motors-heat",
    lesson="motors",
    title="Heat in the winding",
    text=(
        "Stalled at {voltage}, the {motor} draws {stall_current}: that gives the resistance of its winding. Now it"
        " works with {current}. How much power turns to heat in the winding?"
    ),
    kind="power",
    unit="W",
    rows=_heat_rows,
    answer=lambda r: r.current**2 * r.voltage / r.stall_current,
    slips=(
        Slip(
            "all power in",
            lambda r: r.voltage * r.current,
            "That is all the power the motor takes in. While it turns, a part of it comes out at the shaft. The heat in"
            " the winding is current times current times resistance.",
        ),
        Slip(
            "not squared",
            lambda r: r.current * r.voltage / r.stall_current,
            "You used the current once. That gives a voltage. Heat is current times current times resistance.",
        ),
        Slip(
            "heat of a stalled motor",
            lambda r: r.voltage * r.stall_current,
            "That is the heat of a stalled motor. At {current} it is far less.",
        ),
        Slip(
            "resistance upside down",
            lambda r: r.current**2 * r.stall_current / r.voltage,
            "You divided current by voltage. Resistance is voltage divided by current, both at stall.",
        ),
    ),
    hints=(
        "Resistance is voltage divided by current, both taken at stall.",
        "Heat is current times current times resistance. Twice the current makes four times the heat.",
    ),
    explain=(
        "The heat in the winding is {answer}. Twice the current makes four times the heat: that is why a motor that"
        " almost stalls can burn."
    ),
    short=True,
)


# --- what burns a motor --------------------------------------------------------------------------------------------

BURNS = Choice(
    id="motors-burns",
    lesson="motors",
    title="Which one is in danger?",
    text="Four motors of the same kind run for one minute. Which one is most likely to burn?",
    options=(
        Option(
            "free-run",
            "The one that spins fastest, without any load.",
            "It turns fast, but almost without current. Heat comes from current, not from speed.",
        ),
        Option(
            "half-speed",
            "The one at half its free speed, where it gives the most power.",
            "It gives the most power and makes much heat too: about half the stall current flows. One of the others is"
            " worse.",
        ),
        Option(
            "stalled",
            "The one that pushes against a wall and stands still.",
            "Yes. It draws the most current, none of the power comes out at the shaft, and all of it heats the"
            " winding.",
            right=True,
        ),
        Option(
            "light-load",
            "The one with a light load, near its free speed.",
            "A light load needs little current. This is where motors live long.",
        ),
    ),
    hints=(
        "Heat comes from current. Which motor draws the most?",
        "Where does the power go that does not come out at the shaft?",
    ),
    explain=(
        "Small motors that stand still at full voltage burn within some twenty seconds. So such tests are short: two"
        " seconds, then a rest."
    ),
    short=True,
)


# --- in order of heat ----------------------------------------------------------------------------------------------

ORDER = Order(
    id="motors-heat-order",
    lesson="motors",
    title="Put them in order of heat",
    text="The same motor at the same voltage, in four jobs.",
    scale="from the least heat to the most",
    items=(
        Item("free", "running free, no load"),
        Item(
            "quarter",
            "turning a load of a quarter of its stall torque",
            "A load needs current, so it makes more heat than running free.",
        ),
        Item(
            "half",
            "turning a load of half its stall torque",
            "More torque, more current, more heat: compare half with a quarter.",
        ),
        Item(
            "stall",
            "standing still, pushing with all its torque",
            "Nothing draws more current than a motor that stands still at full voltage.",
        ),
    ),
    hints=(
        "Heat comes from current, and current grows with torque.",
        "How much torque does the motor give in each of the four jobs?",
    ),
    explain=(
        "Torque sets the current and current sets the heat. From a quarter to a half the torque doubles, and the heat"
        " grows almost four times."
    ),
    short=True,
)


# --- predict, then slide -------------------------------------------------------------------------------------------

SHARES = np.linspace(0.05, 0.95, 19)  # of the load at which the motor stands still


def _power_shown(kit):
    """Where on the bench the power is largest: loads from light to heavy, as far as the slider goes."""
    now, values = found("motor", kit), opened("motor", kit)
    stall, count = float(now.spare[0]) + values["load_torque"], float(values["count"])
    loads = SHARES * stall
    loads = loads[loads <= to_si(0.5, "N·m")]
    if not loads.size:  # a gearmotor so strong that the slider ends near its free speed
        return Shown(
            "middle",
            "Power is torque times speed. On the motor's straight line it is largest where both are half. The slider"
            " of this bench ends before: this motor is stronger than its loads.",
        )
    at = found("motor", kit, "load_torque", loads)
    free = float(found("motor", kit, load_torque=0.0).speed[0])
    best = int(np.argmax(at.power))
    share = float(at.speed[best]) / free
    numbers = {
        "most": (float(at.power[best]) / count, "W"),
        "speed": in_unit(float(at.speed[best]), "rpm"),
        "free": in_unit(free, "rpm"),
        "light": (float(at.power[0]) / count, "W"),
    }
    because = (
        "Power is torque times speed. On this bench it is largest, {most}, at {speed}; without a load the motor"
        " turns at {free}. With a light load it turns fast but hardly pushes ({light}). Near standing still it"
        " pushes hard but hardly turns."
    )
    return Shown("near-free" if share > 0.75 else "near-stall" if share < 0.25 else "middle", because, numbers)


PREDICT = Prediction(
    id="motors-most-power",
    lesson="motors",
    title="Where does it give the most power?",
    text=(
        "A motor turns a load, and you make the load heavier and heavier until the motor stands still. Where on the way"
        " does the most power come out of its shaft?"
    ),
    options=(
        Option(
            "near-free",
            "Near its free speed, where it turns fastest.",
            (
                "It is true that the motor is quickest there. The surprise: a quick shaft that hardly pushes carries"
                " little power."
            ),
        ),
        Option(
            "middle",
            "In the middle, at about half its free speed.",
            "A good thought: both torque and speed have to be there.",
        ),
        Option(
            "near-stall",
            "Near standing still, where it pushes hardest.",
            "It is true that the motor pushes hardest there. The surprise: a push without movement carries no power.",
        ),
    ),
    hints=(),
    explain="Now move the slider of the load, and watch the mark on the curve of power.",
    shows=_power_shown,
)


# --- a design ------------------------------------------------------------------------------------------------------


def _design_rows_1(kit):
    cases = (0.55, 0.3, 150), (0.5, 0.35, 120), (0.45, 0.45, 150), (0.6, 0.3, 100), (0.5, 0.4, 150), (0.55, 0.4, 120)
    return _jobs(kit, cases)


def _design_rows(kit):
    # Of the course's motors, one to four of each, three or four choices in twelve do it.
    cases = (0.7, 0.4, 200), (0.8, 0.3, 150), (0.45, 0.6, 150), (0.9, 0.3, 100), (1.0, 0.3, 150), (0.9, 0.5, 150)
    return _jobs(kit, cases)


def _jobs(kit, cases):
    """Shares of the usual motor's stall torque and free speed, and a time in s."""
    motors = kit.table("motors")
    usual = motors.row(motors.usual)
    rows = []
    for load, speed, time in cases:
        rows.append(
            {
                "load_torque": (rounded(load * usual["stall_torque"], 2), "N·m"),
                "speed_wanted": (rounded(from_si(speed * usual["free_speed"], "rpm"), 2), "rpm"),
                "run_time": (time, "s"),
            }
        )
    return rows


_DESIGN_1 = Challenge(
    id="motors-design",
    lesson="motors",
    title="A roller that never rests",
    text=(
        "A roller resists turning with {load_torque} and runs for {run_time} without a rest. Choose a motor, and how"
        " many of them share the shaft."
    ),
    sizing="motor",
    rows=_design_rows_1,
    fixed=("load_torque", "speed_wanted", "run_time"),
    ease={"load_torque": 0.85, "speed_wanted": 0.9},
    choose=("motor", "count"),
    require="It must turn with at least {speed_wanted}, and no motor may get too hot before {run_time} are over.",
    advice={
        "speed": "Too slow at this load. Choose a stronger motor, or one more, so that each has less to do.",
        "current": "One motor draws too much. Share the load.",
        "hot_after": (
            "Too hot too soon. Heat grows with the square of the current: with half the load a motor makes about a"
            " quarter of the heat."
        ),
    },
    hints=(
        "Try one of each motor. Which line fails first: speed, or heat?",
        "When two motors share the load, each of them makes about a quarter of the heat.",
    ),
    explain=(
        "It works for {run_time}, on a bad day too. If others work on it too, compare: who has less mass, who draws"
        " less current? On the bench of this lesson, All numbers shows the mass."
    ),
)


DESIGN = replace(_DESIGN_1, revision=2, rows=_design_rows, asks=("speed", "hot_after"), earlier=(_DESIGN_1,))


# --- shop at home: the constants of a motor from readings -----------------------------------------------------------

READINGS = 8


def _shop_rows(kit):
    worn = (1.12, 0.88, 1.2, 0.9, 1.15, 1.25, 0.86, 1.18)  # so far from 1 that the nameplate's own is no right answer
    rows = []
    for case, factor in enumerate(worn):
        motors, name = _motor(kit, case)
        row = motors.row(name)
        rows.append(
            {
                **_nameplate(kit, case),
                "resistance": (rounded(factor * row["resistance"], 3), "ohm"),
                "constant": (rounded(row["torque_constant"], 3), "V·s/rad"),
            }
        )
    return rows


# Current at each setting of the brake, as a share of the stall current.
BRAKED = np.linspace(0.1, 0.55, READINGS)


def _brake_test(r, noise):
    """A brake on the shaft, tightened step by step; an ammeter shows 0.01 A, a voltmeter 0.01 V, a tachometer 10
    rpm.
    """
    amps = BRAKED * r.voltage / r.resistance
    amps = (amps * (1 + 0.01 * noise.standard_normal(READINGS))).round(2)
    volts = (r.voltage * (1 + 0.004 * noise.standard_normal(READINGS))).round(2)
    speed = rad_s_to_rpm((volts - r.resistance * amps) / r.constant) * (1 + 0.004 * noise.standard_normal(READINGS))
    return {"voltage": (volts, "V"), "current": (amps, "A"), "speed": (speed.round(-1), "rpm")}


def _resistance_by_fit(columns, r):
    """V = R I + k w, so V / w = R (I / w) + k: a straight line whose slope is R."""
    x, y = columns["current"] / columns["speed"], columns["voltage"] / columns["speed"]
    return float(np.polyfit(x, y, 1)[0])


def _voltage_over_current(which, share):
    """The slip of those who forget the voltage that a turning motor makes: from one reading, or from a mean of
    readings.
    """
    return Slip(
        f"back-EMF forgotten, {which}",
        lambda r: r.resistance / share,
        "You divided voltage by current while the motor turned. A turning motor makes a voltage of its own against the "
        "battery. Only the rest drives the current through the winding.",
    )


SHOP = Quantity(
    id="motors-brake-test",
    lesson="motors",
    title="The resistance of your own motor",
    text=(
        "You clamp your {motor} to the table, press a block of wood against a disc on its shaft, harder and"
        " harder, and read voltage, current and speed. Find the resistance of this motor's winding and wires. (It is"
        " hidden. It is not the one of the nameplate: motors differ, and they wear.)"
    ),
    kind="resistance",
    unit="ohm",
    rows=_shop_rows,
    answer=lambda r: r.resistance,
    shop=Shop(
        about=f"{READINGS} readings of a motor with a brake on its shaft.",
        measure=_brake_test,
        fit=_resistance_by_fit,
    ),
    slips=(
        _voltage_over_current("first reading", BRAKED[0]),
        _voltage_over_current("mean of all", BRAKED.mean()),
        _voltage_over_current("mean of the quotients", 1 / (1 / BRAKED).mean()),
        _voltage_over_current("last reading", BRAKED[-1]),
        Slip(
            "nameplate",
            lambda r: r.voltage / r.stall_current,
            "That is the resistance by the nameplate. Your motor has another one: find it from the readings.",
        ),
    ),
    hints=(
        "Voltage = resistance × current + constant × speed. Two things are unknown, and you have many readings.",
        (
            "Divide everything by the speed: voltage/speed = resistance × (current/speed) + constant. That is a"
            " straight line."
        ),
        (
            "In code: x = data.current / data.speed, then y = data.voltage / data.speed, then mb.fit.fit_line(x,"
            " y).slope.value. The unit of the speed does not matter here."
        ),
    ),
    explain=(
        "The hidden resistance is {answer}. It decides the stall torque that this motor really has: voltage divided by "
        "resistance, times the torque for each ampere."
    ),
)


EXERCISES = (PREDICT, LINE, CURRENT, POWER, TIRED, TWO, HEAT, BURNS, ORDER, DESIGN, SHOP)

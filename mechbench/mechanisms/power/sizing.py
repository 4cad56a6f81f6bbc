"""Sizing: power and motion. A move again and again over a match: battery, fuse, heat, control. Which of them limits
it?
"""

from dataclasses import fields, replace
from types import SimpleNamespace

import numpy as np

from mechbench.engine.spec import CHOICE, JOB, Field, Finding, Pick, Sizing
from mechbench.kits import Table, figures
from mechbench.mechanisms import words
from mechbench.mechanisms.powertrain import (
    ARM_SPEED,
    JAM,
    bus_of,
    column,
    fuse_lasts,
    gearbox_carries,
    jammed,
    lowest_voltage,
    turning,
)
from mechbench.physics import battery, control, drive, motor

PARTS = 12  # of a move; the trapezoid jumps at thirds, the triangle at the half, the cycloidal push peaks at quarters
TIMES = np.geomspace(0.05, 60.0, 12)  # s, that are tried when the shortest time is looked for
HALVINGS = 6  # of the step between two of TIMES: 1 %
MELTS = 1000.0  # K, about where copper melts: a winding that would get warmer than this is called endlessly warm
LIMITS = ("drive", "battery", "fuse", "heat", "loop")


def unit_moves(parts):
    """Instants of a move as shares of its time, and place, speed and push of each shape then, for a move of 1 in a time
    of 1.

    Both ends of each part, just inside it, because the push may jump from part to part: arrays [instant], [shape, 3,
    instant].
    """
    ends = np.linspace(0, 1, parts + 1)
    instants = np.stack([ends[:-1] + 1e-9, ends[1:] - 1e-9], axis=-1).ravel()
    return instants, np.stack([control.profile(shape, 1.0, 1.0, instants) for shape in control.SHAPES])


INSTANTS, UNITS = unit_moves(PARTS)


def profiles(kit):
    """The shapes of a move that a program can follow."""
    labels = {
        "trapezoid": "trapezoid: thirds",
        "triangle": "triangle: halves",
        "half_cosine": "half cosine",
        "cycloidal": "cycloidal: softest",
    }
    return Table(
        "profiles", control.SHAPES, "trapezoid", labels, {"number": np.arange(len(control.SHAPES), dtype=float)}
    )


def pauses(kit):
    """What the motor does between two moves."""
    labels = {"holds": "holds the load by current", "rests": "rests without current"}
    return Table("pauses", tuple(labels), "rests", labels, {"holds": np.array([1.0, 0.0])})


class Power(Sizing):
    """A drive that turns through an angle from rest to rest, pauses, and does it again, while others use the battery
    too.
    """

    NAME = "power"
    ALSO = ("battery", "fuse", "motion", "heat")
    VERSION = 2  # 2: jam; braking against the battery takes current
    TITLE = "Power and motion"
    QUESTION = "Sag, fuse and heat over a match; how fast may it move under control?"
    FIELDS = (
        Field(
            "angle",
            "Angle of a move",
            "deg",
            10.0,
            3600.0,
            140.0,
            "how far the output shaft turns, from rest to rest",
            JOB,
            also=("turn",),
        ),
        Field(
            "time_wanted",
            "Time of a move",
            "s",
            0.1,
            5.0,
            1.0,
            "the program plans the move to take just so long",
            JOB,
            also=words.TIME_WANTED,
        ),
        Field(
            "pause",
            "Pause between moves",
            "s",
            0.0,
            60.0,
            2.0,
            "then the next move begins, as heavy as the one before",
            JOB,
        ),
        Field(
            "run_time",
            "For how long",
            "s",
            10.0,
            600.0,
            200.0,
            "moves and pauses together, a whole match for example",
            JOB,
            more=True,
            follows=figures.match_time,
            also=("run", "match"),
        ),
        Field(
            "load_torque",
            "Torque of the load",
            "N·m",
            0.0,
            20.0,
            1.5,
            "weight and friction, against the motion all the way",
            JOB,
            also=("torque", "load"),
        ),
        Field(
            "mass",
            "Mass that is moved",
            "kg",
            0.05,
            20.0,
            0.49,
            "that has to be brought to speed and stopped again",
            JOB,
            more=True,
            follows=figures.exactly(figures.held_mass, plus=0.19),
            also=("weight", "payload"),
        ),
        Field(
            "radius",
            "Distance from the shaft",
            "mm",
            5.0,
            900.0,
            350.0,
            "of that mass: an arm's length, or a spool's radius",
            JOB,
            more=True,
            also=("length", "distance", "arm"),
        ),
        Field(
            "other_current",
            "Current of everything else",
            "A",
            0.0,
            60.0,
            6.0,
            "other motors, servos, electronics, all the time",
            JOB,
            also=("current", "amps", "load_current"),
        ),
        Field(
            "error_allowed",
            "Place may be off by",
            "deg",
            0.1,
            45.0,
            8.0,
            "how far off the program may be at full speed",
            JOB,
            more=True,
            also=("error",),
        ),
        Pick("profile", "Shape of the move", "profiles", "trapezoid", "how the speed rises and falls"),
        Pick("motor", "Motor", "motors", None, "which motor of the kit"),
        Pick(
            "gearbox",
            "Gearbox",
            "gearboxes",
            turning(ARM_SPEED),
            "planetary gearbox on the motor",
            also=words.GEARBOX,
        ),
        Pick(
            "count",
            "How many motors",
            "counts",
            "1",
            "motors side by side on the output shaft",
            more=True,
            also=words.COUNT,
        ),
        Pick("between", "In the pause", "pauses", "rests", "what the motor does between two moves", more=True),
        Field(
            "start_rise",
            "Warm already by",
            "K",
            0.0,
            90.0,
            0.0,
            "how much warmer than the air the motor is at the start (1 K more is 1 °C more)",
            CHOICE,
            more=True,
            also=("warm",),
        ),
    )
    FINDINGS = (
        Finding(
            "room",
            "voltage to spare at the motor",
            "V",
            "battery's voltage less what the motor needs, at the worst moment, warm",
            "at least",
            0.0,
            scale=5.0,
            also=("spare",),
        ),
        Finding(
            "current",
            "highest current of one motor",
            "A",
            "while it speeds up",
            "at most",
            "controller.output_limit",
            also=words.CURRENT,
        ),
        lowest_voltage("with all currents together (it sags while current flows): V = E - R I"),
        Finding(
            "fuse_used",
            "share of the fuse used up",
            "%",
            "at the end; it melts at 100 %; 0 %: it carries this for ever",
            "at most",
            100.0,
            also=("fuse", "blow", "blows", "breaker"),
        ),
        Finding(
            "rise",
            "winding's rise at the end",
            "K",
            "how much warmer than the air the motor's wire (its winding) is; heat goes with current squared",
            "at most",
            "motor.max_rise",
            also=("temperature", "temp", "hot", "heat", "warm", "overheats", "burns"),
        ),
        Finding(
            "off",
            "moved between two looks",
            "deg",
            "highest speed times the program's loop time",
            "at most",
            "error_allowed",
        ),
        Finding(
            "strength",
            "share of the gearbox's strength",
            "%",
            "highest torque of the load over what the gearbox may carry",
            "at most",
            100.0,
            also=("break", "breaks", "strip", "strips"),
        ),
        Finding(
            "rms",
            "heating current of one motor",
            "A",
            "the constant current that heats as much (rms), moves and pauses together",
            worse="more",
        ),
        Finding(
            "all_current",
            "highest current of everything",
            "A",
            "through the fuse",
            worse="more",
            also=words.CURRENT,
        ),
        Finding(
            "charge",
            "share of the battery's charge",
            "%",
            "taken at the end, everything together",
            worse="more",
            also=("battery", "capacity", "runtime", "hours", "lasts"),
        ),
        Finding(
            "step",
            "one step of the encoder",
            "deg",
            "at the output shaft",
            lacks="no counts_per_turn",
        ),
        Finding("play", "play of the gearbox", "deg", "the encoder on the motor does not see it", worse="more"),
        Finding(
            "top_speed", "highest speed", "rpm", "of the output shaft", worse="more", also=("speed", "rpm", "fast")
        ),
        Finding(
            "least_drive",
            "drive allows",
            "s",
            "shortest time of a move that motor, gearbox and controller can follow",
            worse="more",
        ),
        Finding(
            "least_battery",
            "battery allows",
            "s",
            "shortest time of a move without a reset; 0 where it does not limit",
            worse="more",
        ),
        Finding(
            "least_fuse",
            "fuse allows",
            "s",
            "shortest time of a move without a melted fuse; 0 where it does not limit",
            worse="more",
        ),
        Finding(
            "least_heat",
            "heat allows",
            "s",
            "shortest time of a move that ends cool enough; 0 where it does not limit",
            worse="more",
            also=("heat",),
        ),
        Finding(
            "least_loop",
            "program allows",
            "s",
            "shortest time of a move in which the place is known well enough",
            worse="more",
        ),
        Finding(
            "least",
            "shortest time of a move",
            "s",
            "the longest of these five: what limits it",
            worse="more",
            also=("time", "quickest", "quick"),
        ),
        *JAM,
    )
    LESS = ("load_torque", "mass")
    RECORDS = ("battery", "controller", "fuse")
    TABLES = {"profiles": profiles, "pauses": pauses}
    SPREADS = {
        "load_torque": "friction",
        "mass": "mass",
        "gearbox.efficiency": "efficiency",
        "battery.open_circuit": "battery_voltage",
        "battery.resistance": "battery_resistance",
        "fuse.patience": "fuse",
    }
    RANK = ("rise",)
    USES = (
        control.profile,
        control.drive_needs,
        control.supply,
        control.rms_current,
        control.loop_error,
        control.encoder_step,
        battery.voltage,
        battery.fuse_used,
        motor.temperature_rise,
    )

    @staticmethod
    def solve(x):
        """Ask of drive, battery and motor what the planned move needs; then look how short it could be."""
        done = planned(x, x.time_wanted)
        least = shortest(x)
        return {
            **_used(x, done),
            "all_current": done.peak_amps,
            "charge": done.charge / x.battery.capacity,
            "step": _encoder_step(x.motor.counts_per_turn, x.gearbox.ratio),
            "play": x.gearbox.backlash,
            "top_speed": np.max(done.speed, axis=-1),
            **{f"least_{limit}": time for limit, time in least.items()},
            "least": np.max(np.broadcast_arrays(*least.values()), axis=0),
            **_stuck(x),
        }

    @staticmethod
    def pictured(x):
        """What the picture's lines and bars read: of the move as it is wanted, without looking for a shorter one."""
        return _used(x, planned(x, x.time_wanted))


def _used(x, done):
    """What a planned move uses of that which drive, battery, fuse, winding and program allow."""
    return {
        "room": done.room,
        "current": done.current,
        "volts": done.lasting,
        "fuse_used": done.fuse_used,
        "rise": done.rise,
        "off": control.loop_error(np.max(done.speed, axis=-1), x.controller.loop_time),
        "strength": done.strength,
        "rms": done.rms,
    }


def _encoder_step(counts, ratio):
    """One step of the encoder at the output shaft; without end where nobody gives its counts."""
    known = np.isfinite(counts)
    return np.where(known, control.encoder_step(np.where(known, counts, 1.0), ratio), np.inf)


def _stuck(x):
    """The findings of a jam: each motor has a gearbox of its own, and all have one battery."""
    count, box = x.count.number, x.gearbox
    line = drive.line(x.motor, box.ratio, box.efficiency, box.efficiency_driven, count, x.controller.output_limit)
    return jammed(line, count * gearbox_carries(x), bus_of(x), count)


def planned(x, time, units=UNITS, ample=np.inf):
    """The move in a time, as its program plans it: columns [S, instants] over the move, and what is found from them
    [S]. Where the battery always has at least `ample` volts, how long it has less is not asked.
    """
    line = drive.line(x.motor, x.gearbox.ratio, x.gearbox.efficiency, x.gearbox.efficiency_driven, x.count.number)
    _, unit_speed, unit_push = np.moveaxis(units[x.profile.number.astype(int)], 1, 0)
    done = SimpleNamespace(speed=column(x.angle / time) * unit_speed, push=column(x.angle / time**2) * unit_push)
    done.torque = column(x.load_torque) + column(x.mass * x.radius**2) * done.push
    done.amps, _ = control.drive_needs(_columns(line), done.torque, done.speed, done.push)
    done.hold = x.between.holds * drive.driven_hold(line, x.load_torque)
    done.current = np.max(np.abs(done.amps), axis=-1) / x.count.number
    done.strength = np.max(np.abs(done.torque), axis=-1) / x.count.number / gearbox_carries(x)
    _warm(x, done, time, _given(x, done, _columns(line)))
    waiting = _burden(x, done, time, _columns(_warmed(x, line, done.rise)))
    done.lasting = _lasting(x, done, time, waiting, ample)
    return done


def _columns(line):
    """A drive's constants [S] as columns [S,1], to stand against instants."""
    return drive.Line(**{field.name: column(getattr(line, field.name)) for field in fields(line)})


def _given(x, done, line):
    """The current that the drive gets: what it asks, but no more than the controllers let through either way; driving,
    than it takes stalled; braking, than what it makes itself and the battery that works against it drive through it.
    """
    left, limit = _left(x), column(x.controller.output_limit * x.count.number)
    whole, back_emf = line.resistance + column(x.battery.resistance), line.torque_constant * done.speed
    braking = np.maximum((left + back_emf) / whole, back_emf / line.resistance)
    return np.clip(done.amps, -np.minimum(braking, limit), np.minimum(left / whole, limit))


def _left(x):
    """What everything else leaves of the battery's voltage."""
    return np.maximum(column(x.battery.open_circuit) - column(x.battery.resistance) * column(x.other_current), 0.0)


def _longer(asked, given):
    """How many times longer a drive pushes that gets less current than it asks, until it has pushed as much."""
    return np.divide(asked, given, out=np.ones(np.shape(given)), where=given > 0)


def _braking(x, line, given, back_emf):
    """The most that braking takes from the battery: on the way to rest it comes through all lower speeds.

    At rest it takes the power of its resistance; where that is more than the battery gives, it is fully on at some
    speed: never more than its own current, and than what both voltages drive through it.
    """
    push, others = np.maximum(-given, 0.0), column(x.other_current)
    stands = _left(x) / (line.resistance + column(x.battery.resistance))
    power = line.resistance * np.minimum(push, stands) ** 2
    _, amps = control.supply(column(x.battery.open_circuit), column(x.battery.resistance), power, others)
    on = (_left(x) + back_emf) / (line.resistance + column(x.battery.resistance))
    return np.where((push > stands) & (_left(x) > 0), others + np.minimum(push, on), amps)


def _warm(x, done, time, given):
    """The current that heats as much as moves and pauses, and how warm the winding gets by it."""
    pushes = np.abs(given) * np.sqrt(_longer(done.amps, given))
    amps, hold, moving, waiting = np.broadcast_arrays(
        pushes, column(done.hold), column(time / done.amps.shape[-1]), column(x.pause)
    )
    durations = np.concatenate([moving, waiting[:, :1]], axis=-1)
    done.rms = control.rms_current(durations, np.concatenate([amps, hold[:, :1]], axis=-1)) / x.count.number
    with np.errstate(over="ignore"):  # a runaway may be more than a float can hold
        rise = motor.temperature_rise(x.motor, done.rms, x.run_time, x.start_rise)
    done.rise = np.where(rise < MELTS, rise, np.inf)


def _warmed(x, line, rise):
    """The drive with the resistance that its winding has at the end; a winding that is too hot counts as just
    allowed.
    """
    grown = 1 + x.motor.copper_coefficient * np.minimum(rise, x.motor.max_rise)
    return replace(line, resistance=line.resistance * grown)


def _burden(x, done, time, line):
    """What battery and fuse feel: the drive and everything else, in the move and in the pause; gives the voltage of the
    pause.
    """
    _, done.motor_volts = control.drive_needs(line, done.torque, done.speed, done.push)
    source, inner, others = column(x.battery.open_circuit), column(x.battery.resistance), column(x.other_current)
    given, back_emf = _given(x, done, line), line.torque_constant * done.speed
    needs = back_emf + line.resistance * given
    volts, amps = control.supply(source, inner, np.maximum(needs * given, 0.0), others)
    # A drive that would need more than all of the voltage is fully on and lags: its current comes straight from the
    # battery. Braking harder than shorted, it is connected the other way round and takes power too.
    fully_on = (_left(x) * line.resistance + inner * back_emf) / (line.resistance + inner)
    lags = needs > fully_on
    done.battery_amps = np.where(lags, others + np.maximum(given, 0.0), amps)
    done.volts = np.where(lags, np.maximum(source - inner * done.battery_amps, 0.0), volts)
    most = np.minimum(_left(x) / (line.resistance + inner), column(x.controller.output_limit * x.count.number))
    holding = line.resistance * np.minimum(column(done.hold), most) ** 2  # no more than it gets standing
    waiting_volts, waiting = control.supply(source, inner, holding, others)
    done.room = np.min(done.volts - np.abs(done.motor_volts), axis=-1)
    done.peak_amps = np.max(np.maximum(done.battery_amps, _braking(x, line, given, back_emf)), axis=-1)
    sagged = np.maximum(x.battery.open_circuit - x.battery.resistance * done.peak_amps, 0.0)
    done.lowest = np.minimum(np.minimum(np.min(done.volts, axis=-1), sagged), waiting_volts[:, 0])
    longer = _longer(done.amps, given)
    moves, melting = x.run_time / (time + x.pause), time * np.mean(longer / fuse_lasts(x, done.battery_amps), axis=-1)
    done.fuse_used = moves * (melting + x.pause / fuse_lasts(x, waiting[:, 0]))
    done.charge = moves * (time * np.mean(longer * done.battery_amps, axis=-1) + x.pause * waiting[:, 0])
    return waiting_volts[:, 0]


def _lasting(x, done, time, waiting, ample):
    """The lowest voltage that lasts as long as the reset waits [S]: a move, the pause, and the next move.

    A reset that waits longer than a move and its pause sees the highest of both. The lowest voltage stands where the
    program's instants have theirs: braking comes near it between two of them.
    """
    asked = np.flatnonzero((x.controller.reset_after > 0) & (done.lowest < ample))
    if not asked.size:
        return done.lowest
    rest = np.maximum(x.battery.open_circuit - x.battery.resistance * x.other_current, 0.0)
    given = x.controller.reset_after, time, x.pause, waiting, rest
    wait, long, pause, waiting, rest = (np.broadcast_to(one, done.lowest.shape)[asked] for one in given)
    volts, lowest = done.volts[asked], column(done.lowest[asked])
    moving = np.where(volts == np.min(volts, axis=-1, keepdims=True), lowest, volts)
    ends = np.linspace(0, 1, volts.shape[-1] // 2 + 1)
    moves = column(long) * np.stack([ends[:-1], ends[1:]], axis=-1).ravel()
    period = long + pause
    times = np.concatenate([moves, column(long), column(period), column(period) + moves], axis=-1)
    volts = np.concatenate([moving, column(waiting), column(waiting), moving], axis=-1)
    lasts = done.lowest.copy()
    lasts[asked] = battery.lasting_voltage(times, volts, np.minimum(wait, period), rest)
    return lasts


# --- how short the move could be ------------------------------------------------------------------------------------


def shortest(x):
    """The shortest time of a move that each of LIMITS allows [S]: 0 where it does not limit, inf where no time will do.

    All TIMES are tried at once, as rows more; then the step from the last that fails to the first that works is halved.
    """
    names, rows = LIMITS[:-1], max(np.shape(part)[0] for part in _parts(x))
    works = np.swapaxes(
        _keeps(_again(x, rows, len(TIMES)), np.repeat(TIMES, rows), names, rows), 1, 0
    )  # [time, limit, S]
    first, never = _first_that_works(works)
    low, high = TIMES[np.maximum(first - 1, 0)], TIMES[first]
    asked = np.flatnonzero(np.any((first > 0) & ~never, axis=-1))  # the others limit nothing, or everything
    each, left = _again(x, rows, len(asked)), [names[limit] for limit in asked]
    for _ in range(HALVINGS if len(asked) else 0):
        middle = np.sqrt(low[asked] * high[asked])
        keeps = np.einsum("iis->is", _keeps(each, middle.ravel(), left, rows))
        low[asked], high[asked] = np.where(keeps, low[asked], middle), np.where(keeps, middle, high[asked])
    least = np.where(never, np.inf, np.where(first == 0, 0.0, high))
    in_a_second = x.angle * np.max(UNITS[x.profile.number.astype(int), 1], axis=-1)
    by_loop = control.loop_error(in_a_second, x.controller.loop_time) / x.error_allowed
    return {**dict(zip(names, least)), LIMITS[-1]: by_loop}


def _first_that_works(works):
    """The place of the first of TIMES that works, and whether there is none [limit, S].

    A move that is far too quick for its drive may be easy for battery or fuse, because it never happens: so a limit's
    times that work have to go on without a gap to those that the drive can follow.
    """
    places = np.arange(len(works))[:, None, None]
    follows = np.where(np.any(works[:, :1], axis=0), np.argmax(works[:, :1], axis=0), len(works) - 1)
    fails_before = np.max(np.where(works | (places > follows), -1, places), axis=0)
    later = works & (places > follows)
    first = np.where(np.take_along_axis(works, follows[None], axis=0)[0], fails_before + 1, np.argmax(later, axis=0))
    return first, ~np.any(works & (places >= follows), axis=0)


def _keeps(x, time, names, rows):
    """Whether moves in these times keep within each limit but that of the program's loop [limit, time, S]."""
    done = planned(x, time, ample=x.controller.reset_level)
    keeps = {
        "drive": (done.room >= 0) & (done.current <= x.controller.output_limit) & (done.strength <= 1),
        "battery": done.lasting >= x.controller.reset_level,
        "fuse": done.fuse_used <= 1,
        "heat": done.rise <= x.motor.max_rise,
    }
    return np.array([keeps[name].reshape(-1, rows) for name in names])


def _parts(x):
    """All columns of the inputs, those of parts and records too."""
    return [
        column
        for part in vars(x).values()
        for column in (vars(part).values() if isinstance(part, SimpleNamespace) else (part,))
    ]


def _again(x, rows, times):
    """The same inputs several times over, one block of rows after the other."""

    def again(part):
        whole = np.broadcast_to(part, (rows, *np.shape(part)[1:]))
        return np.tile(whole, (times, *[1] * (whole.ndim - 1)))

    return SimpleNamespace(
        **{
            name: (
                SimpleNamespace(**{key: again(one) for key, one in vars(part).items()})
                if isinstance(part, SimpleNamespace)
                else again(part)
            )
            for name, part in vars(x).items()
        }
    )

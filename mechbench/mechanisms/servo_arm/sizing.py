"""Sizing: an arm on servos. Does a servo lift it and hold it, does it turn far enough, and what does it draw?"""

from dataclasses import replace

import numpy as np

from mechbench.engine.bounds import most_spare, quickest
from mechbench.engine.spec import HOLDS, RAISES, Finding, Need, Pick, Sizing
from mechbench.kits import figures
from mechbench.mechanisms import single_arm, words
from mechbench.mechanisms.powertrain import NONE, column, last_stages, most_torque, runaway
from mechbench.mechanisms.shaft_drives import RAIL_RESERVE
from mechbench.mechanisms.swing import must_swing, swung
from mechbench.physics import arm, drive, gearing, motion, servo
from mechbench.physics._peaks import places_of_most, with_places

POINTS = 31
PAIR = 2  # servos that share one output of the rail


def with_an_angle(table, tables):
    """The usual servo, or the first that turns to an angle where the usual one turns without end."""
    ends = [name for name, travel in zip(table.names, table.columns["travel"]) if np.isfinite(travel)]
    return table.usual if table.usual in ends or not ends else ends[0]


class ServoArm(Sizing):
    """A single arm with a payload at its tip, swung by one or more servos, with or without gears behind them."""

    NAME = "servo_arm"
    ALSO = ("servo", "servos", "servoarm", "arm_servo", "flipper", "small_arm")
    TITLE = "An arm on servos"
    QUESTION = "Does a servo lift it and hold it, does it turn far enough, and what does it draw?"
    FIELDS = (
        replace(single_arm.PAYLOAD, default=0.21, follows=figures.exactly(figures.piece_mass, plus=0.06)),
        replace(single_arm.START, default=-20.0),
        replace(single_arm.END, default=90.0),
        single_arm.TIME_WANTED,
        replace(single_arm.DROOP_ALLOWED, default=15.0),
        replace(single_arm.LENGTH, high=800.0, default=220.0),
        replace(single_arm.ARM_MASS, default=0.05),
        Pick("servo", "Servo", "servos", with_an_angle, "which servo of the kit", also=("motor", "drive")),
        Pick(
            "last_stage",
            "Last stage",
            "last_stages",
            NONE,
            "gears, belt or chain between servo and arm; with none the arm sits on the servo's shaft",
            also=(*words.LAST_STAGE, "ratio", "gear_ratio", "gear"),
        ),
        Pick(
            "count",
            "How many servos",
            "counts",
            "1",
            "side by side on the arm's shaft, set to the same angle: else they push against each other",
            more=True,
            also=(*words.COUNT, "servos"),
        ),
    )
    FINDINGS = (
        Finding(
            "time",
            "time for the swing, at best",
            "s",
            "from rest to rest at the end; never where it stalls",
            "at most",
            "time_wanted",
            also=(*words.SPEED, "swing_time"),
        ),
        Finding(
            "spare",
            "torque to spare",
            "N·m",
            "at the worst place of the swing, from rest, with all that the servo gives",
            "at least",
            0.0,
            scale=0.5,
            also=("torque", "margin", "enough", "strong", "weak", "lifts", "lift"),
        ),
        Finding(
            "share",
            "share of the servo's stall torque",
            "%",
            "at the worst place, all the time while it holds there",
            "at most",
            "servo.holding_share",
            also=("servo", "hold", "hot", "stall", "holding"),
        ),
        Finding(
            "travel",
            "share of the servo's travel",
            "%",
            "turn of the servo for the whole swing; unlimited: it turns without end, so it can't stop at an angle",
            "at most",
            100.0,
            also=("turn", "sweep", "range"),
        ),
        Finding(
            "current",
            "highest current of its servos",
            "A",
            "of all together, when they start or brake; the rail gives no more",
            "at most",
            "servo_rail.current_limit",
            held=True,
            also=(*words.CURRENT, "rail"),
        ),
        Finding(
            "strength",
            "share of the gears' strength",
            "%",
            "worst torque of the load over what the gears behind the servo may carry; 0 without such gears",
            "at most",
            100.0,
            also=("break", "breaks", "strip", "strips"),
        ),
        Finding(
            "droop",
            "drop of the tip by play",
            "mm",
            "the arm can sag this far while the servo stands",
            "at most",
            "droop_allowed",
            also=("drop", "drops", "sag", "sags", "play", "backlash"),
        ),
        single_arm.WORST_TORQUE,
        Finding(
            "hold_current",
            "current to hold",
            "A",
            "of all its servos, at the worst place",
            worse="more",
            also=("current", *words.CURRENT, *words.HOLD_TIME, "level"),
        ),
        Finding(
            "jam",
            "stuck: share of the gears' strength",
            "%",
            "arm held fast, servos push with all they have, and no program can make that less: above 100 % the gears"
            " behind them break",
            worse="more",
            also=("jammed", "jams", "stuck", "stalls", "stalled"),
        ),
        single_arm.FALLS_WITH,
    )
    DRAWN = ("gives",)
    RECORDS = ("servo_rail",)
    TABLES = {"last_stages": last_stages}
    SPREADS = {
        "payload": "mass",
        "arm_mass": "mass",
        "servo.stall_torque": "efficiency",
    }
    RANK = ("time",)
    ROLE = RAISES
    # A servo asked for more than it holds for long gives way in time, asked for its stall torque at once.
    NEEDS = (Need(RAISES, "travel"), Need(HOLDS, "share", 100.0))
    TRIES = {"length": ("180 mm", "140 mm", "100 mm"), "time_wanted": ("1.5 s", "3 s")}
    LESS = ("payload",)
    USES = (
        arm.link_torque,
        arm.link_inertia,
        servo.load_share,
        servo.servo_line,
        servo.travel_share,
        drive.behind,
        motion.move,
        gearing.tip_drop,
    )

    @classmethod
    def by_servo(cls, values, tables):
        """Servos alone turn it."""
        return True

    @classmethod
    def motors_and_servos(cls, values, tables):
        """All servos on its shaft."""
        return 0, int(values["count"])

    @classmethod
    def picked_mass(cls, values, tables):
        """Each servo on its shaft weighs."""
        found = super().picked_mass(values, tables)
        return {**found, "servo": int(values["count"]) * found["servo"]}

    @classmethod
    def rail_current(cls, found, number):
        """It holds with current all the time, and starts with the most that the rail gives."""
        return found["hold_current"], found["current"]

    @classmethod
    def lumps(cls, values, tables, share, moving=()):
        """Servos at the pivot, the arm, and what is at its tip."""
        return (
            *super().lumps(values, tables, share, moving),
            *single_arm.link_and_tip(values, swung(values, share)),
        )

    @classmethod
    def raised_to(cls, x, found, before, below=0.0):
        """The tip moves on a circle about the pivot."""
        return single_arm.tip_raised(x, before)

    @classmethod
    def power_off(cls, report, system="metric"):
        """A servo without power is no brake: what its gears rub holds no arm for sure."""
        needed = cls._on_a_bad_day(report, "worst_torque", system)[1]
        return False, f"a servo without power holds nothing that one can count on, and {needed} is needed on a bad day"

    @staticmethod
    def solve(x):
        """Swing from rest to rest through the one solver; holding, travel and play from statics."""
        line, load, bus = line_of(x), swing(x), bus_of(x)
        done = motion.move(line, load, bus)
        return {
            **_statics(x, line, bus, load),
            "time": done.time[:, 0],
            "spare": np.min(done.headroom[:, 0], axis=-1),
            "gives": np.max(done.gives[:, 0], axis=-1),
            "current": done.peak_current[:, 0],
            **runaway(done),
        }

    @staticmethod
    def run(x):
        """The swing, from rest to rest."""
        return motion.move(line_of(x), swing(x), bus_of(x))

    @staticmethod
    def pictured(x):
        """What the picture reads: the torque that the servos give from rest."""
        must_swing(x)
        return {"gives": most_torque(line_of(x), bus_of(x))}

    @staticmethod
    def at_best(x):
        """What statics tell, and what no servo could better."""
        line, load, bus = line_of(x), swing(x), bus_of(x)
        return {
            **_statics(x, line, bus, load),
            "time": quickest(line, load, bus),
            "spare": most_spare(line, load, bus.open_circuit),
        }


def _statics(x, line, bus, load):
    """The findings that need no motion."""
    worst = np.max(np.abs(load.load_torque), axis=-1)
    last, number = x.last_stage, x.count.number
    share = servo.load_share(number * x.servo.stall_torque * last.ratio * last.efficiency, worst)
    return {
        "share": share,
        "travel": servo.travel_share(x.servo.travel, x.end_angle - x.start_angle, last.ratio),
        "strength": worst / last.allowed,
        "droop": gearing.tip_drop(x.servo.play / last.ratio + last.backlash, x.length),
        "worst_torque": worst,
        "hold_current": number * servo.servo_current(x.servo.stall_current, share),
        "jam": drive.stall_torque(line, bus.open_circuit) / last.allowed,
        "falls_with": single_arm.falls_with(x),
    }


def line_of(x):
    """All servos with the gears behind them; two share an output of the rail, all share the rail."""
    part, last, number = x.servo, x.last_stage, x.count.number
    most = np.minimum(x.servo_rail.pair_limit / np.minimum(number, PAIR), x.servo_rail.current_limit / number)
    one = servo.servo_line(part.voltage, part.stall_torque, part.stall_current, part.free_speed)
    return drive.behind(replace(one, current_limit=most), last.ratio, last.efficiency, last.efficiency_driven, number)


def bus_of(x):
    """The servo rail: the same voltage whatever it gives."""
    rail = x.servo_rail.voltage
    return motion.Bus(rail, 0.0 * rail, RAIL_RESERVE * rail)


def swing(x):
    """The swing as a Load: angles evenly spread, and where the weight pulls most either way."""
    must_swing(x)
    weight = lambda angle: single_arm.weight_torque(x, angle)
    start, end = column(x.start_angle), column(x.end_angle)
    peaks = places_of_most(lambda angle: np.multiply.outer((1.0, -1.0), weight(angle)), start, end)
    angle = with_places(start, end, POINTS, np.concatenate(np.hsplit(peaks, 2), axis=-1))
    return arm.swing(angle, weight(angle), single_arm.inertia(x))

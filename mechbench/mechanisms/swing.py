"""What swings an arm, whatever its links: inputs and findings in common, the counter-spring, and the swing itself.

Contents: SWUNG_BY, SWING; counter_springs, spring_of, swung, must_swing; Swing, swing_of, pictured.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.engine.bounds import most_spare, quickest
from mechbench.engine.spec import CHOICE, Field, Finding, Pick
from mechbench.mechanisms import words
from mechbench.mechanisms.powertrain import (
    ARM_SPEED,
    JAM,
    NONE,
    bus_of,
    carried,
    column,
    jammed,
    most_torque,
    runaway,
    turning,
    whole_train,
    with_none,
)
from mechbench.physics import arm, drive, gearing, motion, motor
from mechbench.physics._peaks import place_of_most, places_of_most, with_places

BESIDE = 1e-9  # rad from where a spring becomes slack: its torque jumps there, and both sides are looked at

# What every arm is swung by, and what every swing is judged by.
SWUNG_BY = (
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
        "last_stage",
        "Last stage",
        "last_stages",
        NONE,
        "gears, belt or chain after the gearbox",
        more=True,
        also=words.LAST_STAGE,
    ),
    Pick(
        "count",
        "How many motors",
        "counts",
        "1",
        "motors side by side on the arm's shaft",
        more=True,
        also=words.COUNT,
    ),
    Pick(
        "spring",
        "Counter-spring",
        "counter_springs",
        NONE,
        "an extension spring that helps to lift",
        also=("counter_spring", "counterspring", "helper", "rubber", "rubber_band", "bungee"),
    ),
    Field(
        "anchor_height",
        "Spring anchor above pivot",
        "mm",
        20.0,
        300.0,
        100.0,
        "where the spring is hooked to the frame",
        CHOICE,
        more=True,
        also=("spring_height",),
    ),
    Field(
        "pin_distance",
        "Spring pin from pivot",
        "mm",
        10.0,
        200.0,
        60.0,
        "where the spring is hooked to the arm",
        CHOICE,
        more=True,
        also=("spring_distance",),
    ),
)
SWING = (
    Finding(
        "time",
        "time for the swing, at best",
        "s",
        "from rest to rest at the end; never where it stalls",
        "at most",
        "time_wanted",
        also=("speed", "fast", "quick", "quicker", "slow", "slower", "swing_time"),
    ),
    Finding(
        "spare",
        "torque to spare",
        "N·m",
        "at the worst place of the swing, from rest, with the motor's full torque",
        "at least",
        0.0,
        scale=1.0,
        also=("torque", "margin", "enough", "strong", "weak", "lifts", "lift"),
    ),
    Finding(
        "current",
        "highest current of one motor",
        "A",
        "when it starts or brakes",
        "at most",
        "controller.output_limit",
        held=True,
        also=words.CURRENT,
    ),
    Finding(
        "strength",
        "share of the gears' strength",
        "%",
        "worst torque of the load over what the gears may carry",
        "at most",
        100.0,
        also=("break", "breaks", "strip", "strips", "gears_strength"),
    ),
    Finding(
        "hot_after",
        "time until too hot, holding",
        "s",
        "held by current in the worst position, from cold",
        "at least",
        "hold_time",
        also=("temperature", "temp", "hot", "heat", "warm", "overheats", "burns", "hold"),
    ),
    Finding(
        "droop",
        "drop of the tip by play",
        "mm",
        "the arm can sag this far while the motor stands",
        "at most",
        "droop_allowed",
        also=("drop", "drops", "sag", "sags", "play", "backlash"),
    ),
    Finding(
        "stretch",
        "spring length used",
        "%",
        "longest length in the swing over the longest allowed",
        "at most",
        100.0,
        also=("spring_length", "stretched"),
    ),
    Finding(
        "hold_current",
        "current of one motor to hold",
        "A",
        "in the worst position; 0 where friction alone holds",
        worse="more",
        also=("current", *words.CURRENT, *words.HOLD_TIME, "level"),
    ),
    *JAM,
)


def counter_springs(kit):
    """The kit's extension springs, and none: a spring without any rate, which may be as long as it likes."""
    return with_none(kit.table("extension_springs"), "counter_springs", "no spring", longest=np.inf)


def spring_of(x):
    """The chosen spring between an anchor straight above the pivot and a pin on the arm."""
    return arm.Spring(
        column(x.spring.rate),
        column(x.spring.free_length),
        column(x.spring.initial_tension),
        column(x.spring.longest),
        0.0,
        column(x.anchor_height),
        column(x.pin_distance),
    )


def swung(values, share):
    """The angle at a share of the swing, from a plan's inputs."""
    return values["start_angle"] + share * (values["end_angle"] - values["start_angle"])


def must_swing(x):
    """Refuse an arm that has no way to swing."""
    if np.any(x.start_angle == x.end_angle):
        raise ValueError("end_angle is the same as start_angle, but the arm must swing; choose another end_angle.")


@dataclass(frozen=True)
class Swing:
    """A swing from rest to rest: what turns it, what it feels at which angles, the findings that need no motion."""

    angle: np.ndarray
    line: drive.Line
    load: motion.Load
    found: dict

    def run(self, x):
        """The swing itself."""
        return motion.move(self.line, self.load, bus_of(x))

    def solve(self, x):
        """The findings of SWING and the lowest voltage, through the one solver."""
        done = self.run(x)
        return {
            "time": done.time[:, 0],
            "spare": np.min(done.headroom[:, 0], axis=-1),
            "gives": np.max(done.gives[:, 0], axis=-1),
            "current": done.peak_current[:, 0] / x.count.number,
            **self.found,
            "holds": drive.unpowered_hold(self.line),
            "volts": motion.lasting_volts(done, bus_of(x)),
            **runaway(done),
        }

    def at_best(self, x):
        """What statics tell, and what no motor could better."""
        return {
            **self.found,
            "time": quickest(self.line, self.load, bus_of(x)),
            "spare": most_spare(self.line, self.load, x.battery.open_circuit),
        }


def swing_of(x, points, weight, inertia, rate):
    """The swing from x.start_angle to x.end_angle: functions of the angle [S,N] give the torque of all weights against
    a growing angle, the inertia of the links, and how far the tip moves for each radian. It may go either way round.
    """
    (train, line), spring, count = _turned_by(x), spring_of(x), x.count.number
    left = lambda angle: weight(angle) - arm.spring_torque(spring, angle)
    start, end = column(x.start_angle), column(x.end_angle)
    angle = _places(start, end, points, left, arm.slack_angles(spring))
    load = arm.swing(angle, left(angle), inertia(angle))
    worst = np.max(np.abs(load.load_torque), axis=-1)
    holding = drive.driven_hold(line, worst) / count
    found = {
        "strength": worst / carried(x, count),
        "hot_after": motor.time_to_limit(x.motor, holding),
        "hold_current": holding,
        "droop": gearing.tip_drop(train.play, rate(place_of_most(rate, start, end))[:, 0]),
        "stretch": np.max(arm.spring_length(spring, angle)[0], axis=-1) / x.spring.longest,
        "worst_torque": worst,
        **jammed(line, carried(x, count), bus_of(x), count),
    }
    return Swing(angle, line, load, found)


def pictured(x):
    """What the picture of a swing reads: the torque that the drive gives from rest."""
    return {"gives": most_torque(_turned_by(x)[1], bus_of(x))}


def _turned_by(x):
    """Train and drive, of an arm that has some way to swing."""
    must_swing(x)
    train, limit = whole_train(x.gearbox, x.last_stage), x.controller.output_limit
    return train, drive.line(x.motor, train.ratio, train.efficiency, train.efficiency_driven, x.count.number, limit)


def _places(start, end, points, left, slack):
    """Angles to look at: evenly spread, with the largest torque either way and both sides of where the spring is slack.

    Beside such a place the torque may be the worst, too: the peaks' finder comes near it, these come on it.
    """
    peaks = places_of_most(lambda angle: np.multiply.outer((1.0, -1.0), left(angle)), start, end)
    kinks = [kink + side for kink in slack for side in (-BESIDE, BESIDE)]
    more = np.broadcast_arrays(*np.hsplit(peaks, 2), *kinks)
    return with_places(start, end, points, np.concatenate(more, axis=-1))

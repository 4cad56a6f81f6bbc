"""What swings an arm, whatever its links: inputs and findings in common, the counter-spring, and the swing itself.

Contents: SWUNG_BY, SWING; counter_springs, spring_of; Swing, swing_of.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.engine.bounds import most_spare, quickest
from mechbench.engine.spec import CHOICE, Field, Finding, Pick
from mechbench.mechanisms.powertrain import JAM, NONE, bus_of, carried, column, jammed, whole_train, with_none
from mechbench.physics import arm, drive, gearing, motion, motor

# What every arm is swung by, and what every swing is judged by.
SWUNG_BY = (
    Pick("motor", "Motor", "motors", "small", "which motor of the kit"),
    Pick("gearbox", "Gearbox", "gearboxes", "planetary_64", "planetary gearbox on the motor"),
    Pick("last_stage", "Last stage", "last_stages", NONE, "gears, belt or chain after the gearbox", more=True),
    Pick("count", "How many motors", "counts", "1", "motors side by side on the arm's shaft", more=True),
    Pick("spring", "Counter-spring", "counter_springs", NONE, "an extension spring that helps to lift"),
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
    ),
    Finding(
        "spare",
        "torque to spare",
        "N·m",
        "at the worst place of the swing, from rest, with the motor's full torque",
        "at least",
        0.0,
        scale=1.0,
    ),
    Finding(
        "current", "highest current of one motor", "A", "when it starts or brakes", "at most", "controller.output_limit"
    ),
    Finding(
        "strength",
        "share of the train's strength",
        "%",
        "worst torque of the load over what the train may carry",
        "at most",
        100.0,
    ),
    Finding(
        "hot_after",
        "time until too hot, holding",
        "s",
        "held by current in the worst position, from cold",
        "at least",
        "hold_time",
    ),
    Finding(
        "droop",
        "drop of the tip by play",
        "mm",
        "the arm can sag this far while the motor stands",
        "at most",
        "droop_allowed",
    ),
    Finding(
        "stretch", "spring length used", "%", "longest length in the swing over the longest allowed", "at most", 100.0
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


@dataclass(frozen=True)
class Swing:
    """A swing from rest to rest: what turns it, what it feels, and the findings that need no motion."""

    line: drive.Line
    load: motion.Load
    found: dict

    def solve(self, x):
        """The findings of SWING and the lowest voltage, through the one solver."""
        done = motion.move(self.line, self.load, bus_of(x))
        return {
            "time": done.time[:, 0],
            "spare": np.min(done.headroom[:, 0], axis=-1),
            "gives": np.max(done.gives[:, 0], axis=-1),
            "current": done.peak_current[:, 0] / x.count.number,
            **self.found,
            "holds": drive.unpowered_hold(self.line),
            "volts": done.volts_min,
        }

    def at_best(self, x):
        """What statics tell, and what no motor could better."""
        volts = x.battery.open_circuit
        return {
            **self.found,
            "time": quickest(self.line, self.load, volts),
            "spare": most_spare(self.line, self.load, volts),
        }


def swing_of(x, angle, weight, inertia, reach):
    """The swing over these angles [S,N]: weight [S,N] against a growing angle, inertia of the links [S,N], reach of
    the tip [S].
    """
    train, spring = whole_train(x.motor.size, x.gearbox, x.last_stage), spring_of(x)
    count = x.count.number
    line = drive.line(x.motor, train.ratio, train.efficiency, train.efficiency_driven, count, x.controller.output_limit)
    load = arm.swing(angle, weight - arm.spring_torque(spring, angle), inertia + column(train.inertia))
    worst = np.max(np.abs(load.load_torque), axis=-1)
    found = {
        "strength": worst / carried(x, train, count),
        "hot_after": motor.time_to_limit(x.motor, drive.driven_hold(line, worst) / count),
        "droop": gearing.tip_drop(train.play, reach),
        "stretch": np.max(arm.spring_length(spring, angle)[0], axis=-1) / x.spring.longest,
        "worst_torque": worst,
        **jammed(line, carried(x, train, count), bus_of(x), count),
    }
    return Swing(line, load, found)

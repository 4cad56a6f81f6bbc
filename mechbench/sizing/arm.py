"""Sizing: a single swinging arm. What holds it, what lifts it and stops it, and how much does a counter-spring help?"""

import numpy as np

from mechbench.kit import Table
from mechbench.physics import arm, drive, gearing, motion, motor
from mechbench.sizing.describe import CHOICE, JOB, Field, Finding, Pick, Sizing
from mechbench.sizing.gearing import NONE, carried, last_stages, whole_train
from mechbench.sizing.hopes import most_spare, quickest

POINTS = 31


def counter_springs(kit):
    """The kit's extension springs with "none" first (a spring so weak that it does not count)."""
    springs = kit.table("extension_springs")
    keys = ("rate", "free_length", "initial_tension", "longest", "mass")
    none = {"rate": 1e-9, "free_length": 0.06, "initial_tension": 0.0, "longest": 10.0, "mass": 0.0}
    columns = {key: np.r_[none[key], springs.columns[key]] for key in keys}
    labels = {NONE: "no spring", **springs.labels}
    return Table("counter_springs", (NONE, *springs.names), NONE, labels, columns, {}, {}, {})


def bus_of(x):
    """The battery and reset level of the kit, as motion wants them."""
    return motion.Bus(x.battery.open_circuit, x.battery.resistance, x.controller.reset_level)


def column(values):
    """[S] as [S,1], to stand against points of a travel."""
    return np.atleast_1d(values)[:, None]


# What every arm is swung by, and what every swing is judged by.
SWUNG_BY = (
    Pick("motor", "Motor", "motors", "small", "which motor of the kit"),
    Pick("gearbox", "Gearbox", "gearboxes", "planetary_64", "planetary gearbox on the motor"),
    Pick("last_stage", "Last stage", "last_stages", NONE, "gears, belt or chain after the gearbox", more=True),
    Pick("count", "How many motors", "counts", "1", "motors side by side on the arm's shaft", more=True),
    Pick("spring", "Counter-spring", "counter_springs", NONE, "an extension spring that helps to lift"),
    Field("anchor_height", "Spring anchor above pivot", "mm", 20.0, 300.0, 100.0, "where the spring is hooked to the frame",
          CHOICE, more=True),
    Field("pin_distance", "Spring pin from pivot", "mm", 10.0, 200.0, 60.0, "where the spring is hooked to the arm", CHOICE, more=True),
)
SWING = (
    Finding("time", "time for the swing", "s", "from rest to rest at the end; never where it stalls", "at most", "time_wanted"),
    Finding("spare", "torque to spare", "N·m", "at the worst place of the swing, from rest, with the motor's full torque",
            "at least", 0.0, scale=1.0),
    Finding("current", "highest current of one motor", "A", "when it starts or brakes", "at most", "controller.output_limit"),
    Finding("strength", "share of the train's strength", "%", "worst torque of the load over what the train may carry", "at most", 100.0),
    Finding("hot_after", "time until too hot, holding", "s", "held by current in the worst position, from cold", "at least", "hold_time"),
    Finding("droop", "drop of the tip by play", "mm", "the arm can sag this far while the motor stands", "at most", "droop_allowed"),
    Finding("stretch", "spring length used", "%", "longest length in the swing over the longest allowed", "at most", 100.0),
)


class Arm(Sizing):
    """A single arm with a payload at its tip, swung by one or more motors, with or without a counter-spring."""

    NAME = "arm"
    TITLE = "A swinging arm"
    QUESTION = "What holds it, what lifts it and stops it, and how much does a counter-spring help?"
    FIELDS = (
        Field("payload", "Mass at the tip", "kg", 0.05, 2.0, 0.36, "piece and gripper together", JOB),
        Field("start_angle", "Start angle", "deg", -80.0, 80.0, -40.0, "of the arm, from level; below 0 is downwards", JOB),
        Field("end_angle", "End angle", "deg", 81.0, 180.0, 100.0, "of the arm, from level; 90 is straight up", JOB),
        Field("time_wanted", "Time for the swing", "s", 0.2, 5.0, 1.2, "from rest to rest", JOB),
        Field("hold_time", "Time it must hold", "s", 1.0, 150.0, 10.0, "in the worst position of the swing", JOB, more=True),
        Field("droop_allowed", "Tip may drop", "mm", 1.0, 100.0, 40.0, "by play in the train", JOB, more=True),
        Field("length", "Arm length", "mm", 100.0, 900.0, 400.0, "from pivot to tip"),
        Field("arm_mass", "Mass of the arm", "kg", 0.05, 2.0, 0.25, "spread evenly along it", more=True),
        *SWUNG_BY,
    )
    FINDINGS = (
        *SWING,
        Finding("worst_torque", "worst torque of the load", "N·m", "weight less spring, at the worst place of the swing"),
        Finding("holds", "torque held with the power off", "N·m", "by friction in motor and gears alone; not to be trusted with hands near"),
        Finding("falls_with", "energy of a fall", "J", "if the power goes while the arm is up; rope it before hands go in"),
        Finding("volts", "lowest battery voltage", "V", "while the arm swings alone", "at least", "controller.reset_level"),
    )
    RECORDS = ("battery", "controller")
    TABLES = {"last_stages": last_stages, "counter_springs": counter_springs}
    SPREADS = {
        "payload": "mass",
        "arm_mass": "mass",
        "gearbox.efficiency": "efficiency",
        "battery.open_circuit": "battery_voltage",
        "battery.resistance": "battery_resistance",
    }
    RANK = ("time",)
    USES = (arm.link_torque, arm.link_inertia, arm.spring_torque, motion.move, drive.driven_hold, gearing.tip_drop)

    @staticmethod
    def solve(x):
        """Swing from rest to rest through the one solver; holding, strength and play from statics."""
        train, line, load, found = _at_rest(x)
        done = motion.move(line, load, bus_of(x))
        rise = x.length * (1 - np.sin(x.start_angle))
        return {
            "time": done.time[:, 0],
            "spare": np.min(done.headroom[:, 0], axis=-1),
            "current": done.peak_current[:, 0] / x.count.number,
            **found,
            "holds": drive.unpowered_hold(line),
            "falls_with": arm.drop_energy(x.payload, rise) + arm.drop_energy(x.arm_mass, rise / 2),
            "volts": done.volts_min,
        }

    @staticmethod
    def at_best(x):
        """What statics tell, and what no motor could better."""
        _, line, load, found = _at_rest(x)
        volts = x.battery.open_circuit
        return {**found, "time": quickest(line, load, volts), "spare": most_spare(line, load, volts)}


def _at_rest(x):
    """Train, drive and load of the swing, and the findings that need no motion."""
    count = x.count.number
    train = whole_train(x.motor.size, x.gearbox, x.last_stage)
    line = drive.line(x.motor, train.ratio, train.efficiency, train.efficiency_driven, count, x.controller.output_limit)
    angle = column(x.start_angle) + column(x.end_angle - x.start_angle) * np.linspace(0, 1, POINTS)
    spring = spring_of(x)
    load = arm.swing(angle, weight_torque(x, angle) - arm.spring_torque(spring, angle), column(arm.link_inertia(x.arm_mass, x.length, x.payload) + train.inertia))
    worst = np.max(np.abs(load.pull), axis=-1)
    return train, line, load, {
        "strength": worst / carried(x, train, count),
        "hot_after": motor.time_to_limit(x.motor, drive.driven_hold(line, worst) / count),
        "droop": gearing.tip_drop(train.play, x.length),
        "stretch": np.max(arm.spring_length(spring, angle)[0], axis=-1) / x.spring.longest,
        "worst_torque": worst,
    }


def weight_torque(x, angle):
    """Torque of payload and arm about the pivot [S,N], against a growing angle."""
    payload = arm.link_torque(column(x.payload), column(x.length), angle)
    return payload + arm.link_torque(column(x.arm_mass), column(x.length) / 2, angle)


def spring_of(x):
    """The chosen spring between an anchor straight above the pivot and a pin on the arm."""
    return arm.Spring(
        column(x.spring.rate), column(x.spring.free_length), column(x.spring.initial_tension), column(x.spring.longest),
        0.0, column(x.anchor_height), column(x.pin_distance),
    )


SIZINGS = {"arm": Arm}

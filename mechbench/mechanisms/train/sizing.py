"""Sizing: a gear train for a load. Which gearbox and last stage let this motor turn that load, and what do they
cost?
"""

from mechbench.engine.spec import CHOICE, JOB, Field, Finding, Pick, Sizing
from mechbench.mechanisms import words
from mechbench.mechanisms.powertrain import (
    ARM_SPEED,
    JAM,
    NONE,
    at_load,
    bus_of,
    carried,
    jammed,
    last_stages,
    stalled,
    turning,
    whole_train,
)
from mechbench.physics import drive, gearing, motor


class TrainForLoad(Sizing):
    """A motor, a gearbox and a last stage that turn a load at a wanted speed."""

    NAME = "train"
    ALSO = ("ratio", "gearbox", "gearing", "reduction", "gear_train", "gear")
    VERSION = 3  # 2: speed and torque at standstill within the controller's limit; 3: jam
    TITLE = "A gear train for a load"
    QUESTION = "Ratio, torque, losses, play: which train from the kit?"
    FIELDS = (
        Field(
            "load_torque",
            "Torque of the load",
            "N·m",
            0.05,
            20.0,
            2.0,
            "how hard the load resists turning",
            JOB,
            also=("torque", "load"),
        ),
        Field(
            "speed_wanted",
            "Speed wanted",
            "rpm",
            1.0,
            600.0,
            40.0,
            "how fast the output must turn at that load",
            JOB,
            also=("rpm",),
        ),
        Field(
            "play_allowed",
            "Play allowed",
            "deg",
            0.5,
            15.0,
            5.0,
            "how far the output may turn freely while the motor stands",
            JOB,
            also=("backlash",),
        ),
        Field(
            "run_time",
            "Time it must run",
            "s",
            1.0,
            600.0,
            60.0,
            "how long the load lasts without a rest",
            JOB,
            more=True,
            also=("time", "hold", "duration", "run"),
        ),
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
            "gears, belt or chain after the gearbox: driver to driven teeth",
            also=words.LAST_STAGE,
        ),
        Pick(
            "count",
            "How many motors",
            "counts",
            "1",
            "motors side by side, each with its gearbox, on one output",
            CHOICE,
            more=True,
            also=words.COUNT,
        ),
    )
    FINDINGS = (
        Finding(
            "speed",
            "speed at the load",
            "rpm",
            "0 when the load is too heavy and the motor stalls",
            "at least",
            "speed_wanted",
            also=("rpm", "fast", "quick", "turns", "turn"),
        ),
        Finding(
            "torque_used",
            "share of the gears' strength",
            "%",
            "the load's torque as a share of what gearbox and last stage may carry",
            "at most",
            100.0,
            also=("strength", "strong", "breaks", "break", "strip", "strips", "stripped"),
        ),
        Finding(
            "current",
            "current of one motor",
            "A",
            "that the load asks; over the controller's limit the motor stalls. Heat grows with its square",
            "at most",
            "controller.output_limit",
            also=words.CURRENT,
        ),
        Finding(
            "hot_after",
            "time until too hot",
            "s",
            "from cold until the winding (the motor's wire) is as much warmer as it may be",
            "at least",
            "run_time",
            also=words.HOT,
        ),
        Finding(
            "play",
            "play at the output",
            "deg",
            "each stage's play (how far it turns before it drives), made smaller by the ratio after it",
            "at most",
            "play_allowed",
            also=("backlash", "slop", "loose"),
        ),
        Finding(
            "ratio", "ratio", "x", "turns of the motor for one turn of the output", also=("reduction", "gear_ratio")
        ),
        Finding(
            "efficiency",
            "efficiency of the gears",
            "%",
            "share of the power that comes through all stages",
            worse="less",
            also=("losses", "loss"),
        ),
        Finding(
            "stall_torque",
            "torque at standstill",
            "N·m",
            "the most that motor and gears give before they stall, within the controller's limit",
            worse="less",
            also=("torque", "stall", "stalled"),
        ),
        Finding(
            "holds",
            "torque held with the power off",
            "N·m",
            "by friction in motor and gears alone; not to be trusted with people below",
            worse="less",
            also=("hold", "holding", "stay", "stays", "unpowered", "power_off", "backdrive", "backdrives"),
        ),
        Finding(
            "mass",
            "mass of motors and gears",
            "kg",
            "motors, gearboxes and last stage",
            worse="more",
            also=("weight", "heavy"),
        ),
        *JAM,
    )
    LESS = ("load_torque",)
    RECORDS = ("battery", "controller")
    TABLES = {"last_stages": last_stages}
    SPREADS = {
        "load_torque": "friction",
        "gearbox.efficiency": "efficiency",
        "battery.open_circuit": "battery_voltage",
        "battery.resistance": "battery_resistance",
    }
    RANK = ("mass", "current")
    USES = (gearing.train, drive.current_for_torque, drive.speed, drive.unpowered_hold, motor.time_to_limit)

    @staticmethod
    def solve(x):
        """Motor line through the train against the load, on a sagging battery."""
        count = x.count.number
        train = whole_train(x.gearbox, x.last_stage)
        limit = x.controller.output_limit
        line = drive.line(x.motor, train.ratio, train.efficiency, train.efficiency_driven, count, limit)
        asked = gearing.motor_torque(x.load_torque, train.ratio, train.efficiency)
        volts, amps, motor_speed = at_load(x.motor, count, asked, x.battery, limit)
        return {
            "speed": motor_speed / train.ratio,
            "torque_used": x.load_torque / carried(x, count),
            "current": amps,
            "hot_after": motor.time_to_limit(x.motor, amps),
            "play": train.play,
            "ratio": train.ratio,
            "efficiency": train.efficiency,
            "stall_torque": stalled(line, bus_of(x)),
            "holds": drive.unpowered_hold(line),
            "mass": count * (x.motor.mass + x.gearbox.mass) + x.last_stage.mass,
            **jammed(line, carried(x, count), bus_of(x), count),
        }

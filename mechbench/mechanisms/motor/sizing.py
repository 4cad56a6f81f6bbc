"""Sizing: a motor at a load, without gears. What does it give, what does it draw, how long before it is too hot?

The motor's line (speed over torque) is met with the load's torque on a battery that sags with the current.
"""

import numpy as np

from mechbench.engine.spec import CHOICE, JOB, Field, Finding, Pick, Sizing
from mechbench.kits import Table, figures, pairing
from mechbench.mechanisms import words
from mechbench.mechanisms.powertrain import at_load
from mechbench.physics import motor


def at_the_shaft(kit):
    """The kit's motors, each gearmotor as its output shaft shows it; `passes` is the share of the torque that its gears
    pass on.
    """
    motors, boxes = kit.table("motors"), kit.table("gearboxes")
    bare = pairing.loose(motors)
    gears = [{"ratio": 1.0, "efficiency": 1.0, "mass": 0.0} if n in bare else boxes.row(n) for n in motors.names]
    ratio, passes, mass = (np.array([one[key] for one in gears]) for key in ("ratio", "efficiency", "mass"))
    own = motors.columns
    columns = {
        **own,
        "free_speed": own["free_speed"] / ratio,
        "stall_torque": own["stall_torque"] * ratio * passes,
        "torque_constant": own["torque_constant"] * ratio,
        "rotor_inertia": own["rotor_inertia"] * ratio**2,
        "counts_per_turn": own["counts_per_turn"] * ratio,
        "mass": own["mass"] + mass,
        "passes": passes,
    }
    return Table("motors", motors.names, motors.usual, motors.labels, columns, assumed=motors.assumed, have=motors.have)


class MotorAtLoad(Sizing):
    """One or several motors on one shaft, turning a load directly; a gearmotor by its output shaft."""

    NAME = "motor"
    ALSO = ("motors", "stall", "engine")
    # 2: speed and torque to spare within the controller's limit; 3: a gearmotor is what its output shaft gives
    VERSION = 3
    TITLE = "A motor at a load"
    QUESTION = "What does this motor give at my load, and for how long before it is too hot?"
    FIELDS = (
        Field(
            "load_torque",
            "Torque of the load",
            "N·m",
            0.0,
            0.5,
            0.035,
            "how hard the load resists turning",
            JOB,
            follows=figures.of_motor("stall_torque", 0.21),
            also=("torque", "load", "needed"),
        ),
        Field(
            "speed_wanted",
            "Speed wanted",
            "rpm",
            0.0,
            7000.0,
            3600.0,
            "how fast the shaft must turn at that load",
            JOB,
            follows=figures.of_motor("free_speed", 0.49),
            also=("rpm",),
        ),
        Field(
            "run_time",
            "Time it must run",
            "s",
            1.0,
            600.0,
            200.0,
            "how long the load lasts without a rest",
            JOB,
            follows=figures.match_time,
            also=("time", "hold", "duration", "run"),
        ),
        Pick("motor", "Motor", "motors", None, "which motor of the kit"),
        Pick(
            "count",
            "How many motors",
            "counts",
            "1",
            "motors side by side on one shaft, sharing the load",
            more=True,
            also=words.COUNT,
        ),
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
            also=("warm", "temperature"),
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
            "from the start until the winding (the motor's wire) is as much warmer as it may be",
            "at least",
            "run_time",
            also=(
                "temperature",
                "temp",
                "hot",
                "heat",
                "warm",
                "overheats",
                "burns",
                "hold",
                "overheat",
                "burn",
                "too_hot",
            ),
        ),
        Finding(
            "spare",
            "torque to spare",
            "N·m",
            "stall torque, within the controller's limit, less the torque of the load",
            worse="less",
            also=("torque", "margin", "enough", "stall", "strong", "stalls"),
        ),
        Finding("power", "power out", "W", "torque times speed", worse="less", also=("watts", "watt", "w")),
        Finding(
            "efficiency",
            "efficiency",
            "%",
            "power out over power in; the rest is heat",
            worse="less",
            also=("losses", "loss"),
        ),
        Finding(
            "volts",
            "battery voltage",
            "V",
            "the battery's voltage while this current flows",
            worse="less",
            also=("voltage", "battery", "brownout", "reset", "resets", "sag", "sags"),
        ),
        Finding(
            "mass", "mass of the motors", "kg", "of all motors on the shaft", worse="more", also=("weight", "heavy")
        ),
    )
    DRAWN = ("gives",)
    LESS = ("load_torque",)
    RECORDS = ("battery", "controller")
    TABLES = {"motors": at_the_shaft}
    SPREADS = {
        "load_torque": "friction",
        "battery.open_circuit": "battery_voltage",
        "battery.resistance": "battery_resistance",
    }
    RANK = ("mass", "current")
    USES = (motor.speed, motor.current, motor.time_to_limit)

    @classmethod
    def reach(cls, tables):
        """Up to what the strongest and the quickest motor give that were given by figures."""
        motors, known = tables("motors"), tables.kit.plain.table("motors").names
        own = [motors.row(name) for name in motors.names if name not in known]
        most = len(tables("counts"))
        return {
            "load_torque": max((most * one["stall_torque"] for one in own), default=0.0),
            "speed_wanted": max((one["free_speed"] for one in own), default=0.0),
        }

    @staticmethod
    def solve(x):
        """Motor line against load torque, on a sagging battery."""
        count = x.count.number
        limit = x.controller.output_limit
        volts, amps, speed = at_load(x.motor, count, x.load_torque / x.motor.passes, x.battery, limit)
        stalled = x.battery.open_circuit / (x.motor.resistance + count * x.battery.resistance)
        gives = count * x.motor.passes * x.motor.torque_constant * (np.minimum(stalled, limit) - x.motor.free_current)
        power = np.where(speed > 0, x.load_torque * speed, 0.0)
        return {
            "speed": speed,
            "current": amps,
            "hot_after": motor.time_to_limit(x.motor, amps, x.start_rise),
            "spare": gives - x.load_torque,
            "gives": gives,
            "power": power,
            "efficiency": power / (volts * amps * count),
            "volts": volts,
            "mass": count * x.motor.mass,
        }

"""Sizing: a single swinging arm. What holds it, what lifts it and stops it, and how much does a counter-spring help?"""

import numpy as np

from mechbench.engine.spec import JOB, RAISES, Field, Finding, Lump, Sizing
from mechbench.kits import figures
from mechbench.mechanisms import words
from mechbench.mechanisms.outline import HELD, rod
from mechbench.mechanisms.powertrain import column, last_stages, lowest_voltage
from mechbench.mechanisms.swing import SWING, SWUNG_BY, counter_springs, pictured, swing_of, swung
from mechbench.physics import arm, drive, gearing, motion

POINTS = 31


class Arm(Sizing):
    """A single arm with a payload at its tip, swung by one or more motors, with or without a counter-spring."""

    NAME = "arm"
    ALSO = ("swing", "swinging", "pivot", "shoulder", "spring", "counterspring")
    VERSION = 3  # 2: a fall to the lower end of the swing, wherever that is; 3: jam; a held current has enough to spare
    TITLE = "A swinging arm"
    QUESTION = "What holds it, what lifts it and stops it, and how much does a counter-spring help?"
    FIELDS = (
        Field(
            "payload",
            "Mass at the tip",
            "kg",
            0.01,
            6.0,
            0.35,
            "piece and gripper together",
            JOB,
            follows=figures.exactly(figures.piece_mass, plus=0.2),
            also=words.TIP_MASS,
        ),
        Field(
            "start_angle",
            "Start angle",
            "deg",
            -90.0,
            270.0,
            -40.0,
            "of the arm, from level, counted from the front; below 0 is downwards",
            JOB,
            also=("angle", "from_angle"),
        ),
        Field(
            "end_angle",
            "End angle",
            "deg",
            -90.0,
            270.0,
            100.0,
            "of the arm, from level, counted from the front; 90 is straight up, less than the start swings down",
            JOB,
            also=("angle", "to_angle"),
        ),
        Field(
            "time_wanted",
            "Time for the swing",
            "s",
            0.1,
            15.0,
            0.8,
            "from rest to rest",
            JOB,
            also=words.TIME_WANTED,
        ),
        Field(
            "hold_time",
            "Time it must hold",
            "s",
            1.0,
            150.0,
            10.0,
            "in the worst position of the swing",
            JOB,
            more=True,
            also=words.HOLD_TIME,
        ),
        Field(
            "droop_allowed",
            "Tip may drop",
            "mm",
            1.0,
            100.0,
            40.0,
            "by play in the gears (droop: gears turn a little before they drive)",
            JOB,
            more=True,
            also=("drop", "sag", "play", "backlash"),
        ),
        Field(
            "length",
            "Arm length",
            "mm",
            50.0,
            1200.0,
            400.0,
            "from pivot to tip",
            also=("arm_length", "reach", "radius", "distance", "lever", "bar", "arm_size"),
        ),
        Field(
            "arm_mass",
            "Mass of the arm",
            "kg",
            0.01,
            5.0,
            0.25,
            "spread evenly along it",
            more=True,
            also=("arm_weight", "own_mass", "own_weight", "bar_mass"),
        ),
        *SWUNG_BY,
    )
    FINDINGS = (
        *SWING,
        Finding(
            "worst_torque",
            "worst torque of the load",
            "N·m",
            "weight less spring, at the worst place of the swing",
            worse="more",
            also=("torque", "load_torque", "needed", "required"),
        ),
        Finding(
            "holds",
            "torque held with the power off",
            "N·m",
            "by friction in motor and gears alone; not to be trusted with hands near",
            worse="less",
            also=words.HOLDS,
        ),
        Finding(
            "falls_with",
            "energy of a fall",
            "J",
            "if the power goes at the highest place and the arm falls to the lower end; rope it before hands go in",
            worse="more",
            also=("fall", "energy", "danger", "falls", "falling"),
        ),
        lowest_voltage("while the arm swings alone"),
    )
    DRAWN = ("gives",)
    LESS = ("payload",)
    RECORDS = ("battery", "controller")
    TABLES = {"last_stages": last_stages, "counter_springs": counter_springs}
    SPREADS = {
        "payload": "mass",
        "arm_mass": "mass",
        "gearbox.efficiency": "efficiency",
        "battery.open_circuit": "battery_voltage",
        "battery.resistance": "battery_resistance",
    }
    ROLE = RAISES
    POWER_OFF = ("holds", "worst_torque")
    RANK = ("time",)
    USES = (arm.link_torque, arm.link_inertia, arm.spring_torque, motion.move, drive.driven_hold, gearing.tip_drop)

    @staticmethod
    def solve(x):
        """Swing from rest to rest through the one solver; holding, strength and play from statics."""
        fall = x.length * _deepest_fall(x.start_angle, x.end_angle)
        return {
            **_swing(x).solve(x),
            "falls_with": arm.drop_energy(x.payload, fall) + arm.drop_energy(x.arm_mass, fall / 2),
        }

    @staticmethod
    def run(x):
        """The swing, from rest to rest."""
        return _swing(x).run(x)

    pictured = staticmethod(pictured)

    @staticmethod
    def at_best(x):
        """What statics tell, and what no motor could better."""
        return _swing(x).at_best(x)

    @classmethod
    def lumps(cls, values, tables, share, moving=()):
        """Motors at the pivot, the arm, and what is at its tip."""
        angle, length = swung(values, share), values["length"]
        tip = length * np.cos(angle), length * np.sin(angle)
        middle, size = rod((0.0, 0.0), tip)
        return (
            *super().lumps(values, tables, share, moving),
            Lump("link", values["arm_mass"], middle, size, ("arm_mass",)),
            Lump("tip", values["payload"], (tip[0], 0.0, tip[1]), HELD, ("payload",), holds=True),
        )

    @classmethod
    def raised_to(cls, x, found, before, below=0.0):
        """The tip moves on a circle about the pivot."""
        return before + x.length * (np.sin(x.end_angle) - np.sin(x.start_angle))

    @classmethod
    def battery_current(cls, found, number):
        """All motors together: the finding tells the current of one."""
        return found["current"] * number


def _swing(x):
    """The swing of the arm with its payload."""
    inertia = column(arm.link_inertia(x.arm_mass, x.length, x.payload))
    steady = lambda value: lambda angle: value + 0.0 * angle
    return swing_of(x, POINTS, lambda angle: weight_torque(x, angle), steady(inertia), steady(column(x.length)))


def _deepest_fall(start, end):
    """From the highest place of a swing to the lower one of its ends, for an arm of length 1."""
    over_the_top = (np.minimum(start, end) < np.pi / 2) & (np.maximum(start, end) > np.pi / 2)
    ends = np.sin(start), np.sin(end)
    return np.where(over_the_top, 1.0, np.maximum(*ends)) - np.minimum(*ends)


def weight_torque(x, angle):
    """Torque of payload and arm about the pivot [S,N], against a growing angle."""
    payload = arm.link_torque(column(x.payload), column(x.length), angle)
    return payload + arm.link_torque(column(x.arm_mass), column(x.length) / 2, angle)

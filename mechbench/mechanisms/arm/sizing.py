"""Sizing: a single swinging arm. What holds it, what lifts it and stops it, and how much does a counter-spring help?"""

from mechbench.engine.spec import JOB, RAISES, Field, Finding, Sizing
from mechbench.mechanisms import single_arm, words
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
        single_arm.PAYLOAD,
        single_arm.START,
        single_arm.END,
        single_arm.TIME_WANTED,
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
        single_arm.DROOP_ALLOWED,
        single_arm.LENGTH,
        single_arm.ARM_MASS,
        *SWUNG_BY,
    )
    FINDINGS = (
        *SWING,
        single_arm.WORST_TORQUE,
        Finding(
            "holds",
            "torque held with the power off",
            "N·m",
            "by friction in motor and gears alone; not to be trusted with hands near",
            worse="less",
            also=words.HOLDS,
        ),
        single_arm.FALLS_WITH,
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
        return {**_swing(x).solve(x), "falls_with": single_arm.falls_with(x)}

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
        return (
            *super().lumps(values, tables, share, moving),
            *single_arm.link_and_tip(values, swung(values, share)),
        )

    @classmethod
    def raised_to(cls, x, found, before, below=0.0):
        """The tip moves on a circle about the pivot."""
        return single_arm.tip_raised(x, before)

    @classmethod
    def battery_current(cls, found, number):
        """All motors together: the finding tells the current of one."""
        return found["current"] * number


def _swing(x):
    """The swing of the arm with its payload."""
    steady = lambda value: lambda angle: value + 0.0 * angle
    weight = lambda angle: single_arm.weight_torque(x, angle)
    return swing_of(x, POINTS, weight, steady(single_arm.inertia(x)), steady(column(x.length)))

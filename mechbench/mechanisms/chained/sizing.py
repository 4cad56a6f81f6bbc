"""Sizing: a chained arm of two links on one motor. Where does the tip go, what lifts it, and where in the swing is
it hardest?
"""

import numpy as np

from mechbench.engine.columns import columns
from mechbench.engine.spec import CHOICE, JOB, RAISES, Field, Finding, Lump, Nearest, Pick, Sizing
from mechbench.kits import figures
from mechbench.mechanisms import words
from mechbench.mechanisms.outline import HELD, rod
from mechbench.mechanisms.powertrain import ARM_SPEED, column, last_stages, lowest_voltage, turning
from mechbench.mechanisms.swing import SWING, SWUNG_BY, counter_springs, pictured, swing_of, swung
from mechbench.physics import arm, chained, drive, motion
from mechbench.physics._peaks import place_of_most
from mechbench.physics.rounding import difference

POINTS = 41
FRAME = Nearest("teeth", 40, log=True)


def half_the_frames(table, tables):
    """The sprocket with about half as many teeth as that on the frame: the second link turns back as far as the first
    one turns.
    """
    frame = FRAME(table, tables)
    return frame and Nearest("teeth", table.row(frame)["teeth"] / 2, log=True)(table, tables)


class ChainedArm(Sizing):
    """Two links, the second turned by a chain from a sprocket fixed to the frame; one motor swings both."""

    NAME = "chained"
    ALSO = ("chain", "chains", "double_arm", "two_links", "elbow")
    # 2: the tip drops by what it moves for each radian of the first link; 3: jam; a held current has enough to spare
    VERSION = 3
    TITLE = "A chained arm of two links"
    QUESTION = "Where does the tip go, what lifts it, and where in the swing is it hardest?"
    FIELDS = (
        Field(
            "payload",
            "Mass at the tip",
            "kg",
            0.01,
            6.0,
            0.48,
            "pieces and gripper together",
            JOB,
            follows=figures.exactly(figures.held_mass, plus=0.18),
            also=words.TIP_MASS,
        ),
        Field(
            "start_angle",
            "Start angle, first link",
            "deg",
            -90.0,
            270.0,
            2.0,
            "from level, counted from the front; below 0 is downwards",
            JOB,
            also=("angle", "from_angle"),
        ),
        Field(
            "end_angle",
            "End angle, first link",
            "deg",
            -90.0,
            270.0,
            175.0,
            "from level, counted from the front",
            JOB,
            also=("angle", "to_angle"),
        ),
        Field(
            "time_wanted",
            "Time for the swing",
            "s",
            0.2,
            8.0,
            1.8,
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
            150.0,
            60.0,
            "by play in the gears, both links together",
            JOB,
            more=True,
            also=("drop", "sag", "play", "backlash"),
        ),
        Field(
            "first_length",
            "First link",
            "mm",
            100.0,
            700.0,
            350.0,
            "from the pivot to the elbow",
            also=("length", "arm_length", "first_arm", "upper_arm"),
        ),
        Field(
            "second_length",
            "Second link",
            "mm",
            100.0,
            700.0,
            350.0,
            "from the elbow to the tip",
            also=("length", "second_arm", "forearm"),
        ),
        Field(
            "pivot_height",
            "Pivot over the floor",
            "mm",
            0.0,
            700.0,
            380.0,
            "of the first link",
            CHOICE,
            more=True,
            also=("height",),
        ),
        Field(
            "second_angle",
            "Second link when the first is level",
            "deg",
            -180.0,
            360.0,
            274.0,
            "its own angle from level",
            CHOICE,
            more=True,
        ),
        Pick(
            "base",
            "Frame sprocket",
            "sprockets",
            FRAME,
            "fixed to the frame: the chain runs over it, but it never turns",
            more=True,
            also=("first_sprocket",),
        ),
        Pick(
            "elbow",
            "Elbow sprocket",
            "sprockets",
            half_the_frames,
            "fixed to the second link; fewer teeth turn it further",
            more=True,
            also=("second_sprocket",),
        ),
        Field(
            "first_mass",
            "Mass of the first link",
            "kg",
            0.01,
            5.0,
            0.20,
            "spread evenly along it",
            CHOICE,
            more=True,
            also=("arm_mass",),
        ),
        Field(
            "second_mass",
            "Mass of the second link",
            "kg",
            0.01,
            5.0,
            0.15,
            "spread evenly along it",
            CHOICE,
            more=True,
            also=("arm_mass",),
        ),
        Field(
            "elbow_mass", "Mass at the elbow", "kg", 0.0, 1.0, 0.08, "sprocket, shaft and bearing", CHOICE, more=True
        ),
        Pick("motor", "Motor", "motors", None, "which motor of the kit"),
        Pick("gearbox", "Gearbox", "gearboxes", turning(ARM_SPEED / 2), "planetary gearbox on the motor"),
        *SWUNG_BY[2:],
    )
    FINDINGS = (
        *SWING,
        Finding(
            "worst_torque",
            "worst torque of the load",
            "N·m",
            "weight less spring: it is not the sum of the torques at both joints",
            worse="more",
            also=("torque", "load_torque", "needed", "required"),
        ),
        Finding("worst_angle", "first link's angle there", "deg", "where in the swing the torque is worst"),
        Finding("turns", "second link turns", "x", "for one turn of the first; below 0 it turns the other way"),
        Finding("end_ahead", "tip ahead of the pivot at the end", "mm", "below 0 it is behind", also=("reach",)),
        Finding("end_height", "tip over the floor at the end", "mm", "middle of what is held", also=("height",)),
        Finding(
            "highest", "highest point of the swing", "mm", "of elbow and tip, over the floor", also=("height", "top")
        ),
        Finding("second_at_end", "second link's angle at the end", "deg", "its own angle from level"),
        Finding(
            "holds",
            "torque held with the power off",
            "N·m",
            "by friction in motor and gears alone; not to be trusted with hands near",
            worse="less",
            also=words.HOLDS,
        ),
        lowest_voltage("while the arm swings alone"),
    )
    DRAWN = ("gives",)
    LESS = ("payload",)
    RECORDS = ("battery", "controller")
    TABLES = {"last_stages": last_stages, "counter_springs": counter_springs}
    SPREADS = {
        "payload": "mass",
        "first_mass": "mass",
        "second_mass": "mass",
        "gearbox.efficiency": "efficiency",
        "battery.open_circuit": "battery_voltage",
        "battery.resistance": "battery_resistance",
    }
    ROLE = RAISES
    POWER_OFF = ("holds", "worst_torque")
    MOUNT_HEIGHT = "pivot_height"
    RANK = ("time",)
    USES = (
        chained.angles,
        chained.torque,
        chained.inertia,
        chained.tip_rate,
        arm.spring_torque,
        motion.move,
        drive.driven_hold,
    )

    @staticmethod
    def solve(x):
        """Swing from rest to rest through the one solver; holding, strength, places and play from statics."""
        swing, places = _swing(x)
        return {**swing.solve(x), **places}

    @staticmethod
    def run(x):
        """The swing, from rest to rest."""
        return _swing(x)[0].run(x)

    pictured = staticmethod(pictured)

    @staticmethod
    def at_best(x):
        """What statics tell, and what no motor could better."""
        swing, places = _swing(x)
        return {**swing.at_best(x), **places}

    @classmethod
    def lumps(cls, values, tables, share, moving=()):
        """Motors at the pivot, both links, what is at the elbow, and what is at the tip."""
        places = chained.pose(pair_of(columns(cls, values, tables)), swung(values, share))
        x, z, x_tip, z_tip = (float(np.ravel(place)[0]) for place in places)
        first, second = rod((0.0, 0.0), (x, z)), rod((x, z), (x_tip, z_tip))
        return (
            *super().lumps(values, tables, share, moving),
            Lump("first_link", values["first_mass"], *first, ("first_mass",)),
            Lump("second_link", values["second_mass"], *second, ("second_mass",)),
            Lump("elbow", values["elbow_mass"], *rod((x, z), (x, z)), ("elbow_mass",)),
            Lump("tip", values["payload"], (x_tip, 0.0, z_tip), HELD, ("payload",), holds=True),
        )

    @classmethod
    def raised_to(cls, x, found, before, below=0.0):
        """Its own pivot and links say where the tip ends, wherever it was before."""
        return found["end_height"] - below

    @classmethod
    def battery_current(cls, found, number):
        """All motors together: the finding tells the current of one."""
        return found["current"] * number


def _swing(x):
    """The swing of both links, and the findings that tell where they are."""
    pair, start, end = pair_of(x), column(x.start_angle), column(x.end_angle)
    of_pair = lambda function: lambda angle: function(pair, angle)
    swing = swing_of(x, POINTS, of_pair(chained.torque), of_pair(chained.inertia), of_pair(chained.tip_rate))
    here = np.argmax(np.abs(swing.load.load_torque), axis=-1)[:, None]
    _, _, ahead, up = chained.pose(pair, end)
    highest = _top(pair, place_of_most(of_pair(_top), start, end))
    straight = x.pivot_height + x.first_length + x.second_length
    return swing, {
        "worst_angle": np.take_along_axis(swing.angle, here, axis=-1)[:, 0],
        "turns": chained.second_rate(pair)[:, 0],
        "end_ahead": difference(ahead[:, 0], 0.0, straight),
        "end_height": difference(x.pivot_height, -up[:, 0], straight),
        "highest": difference(x.pivot_height, -highest[:, 0], straight),
        "second_at_end": chained.angles(pair, end)[1][:, 0],
    }


def _top(pair, angle):
    """Height of elbow or tip over the pivot, whichever is higher."""
    _, elbow_up, _, up = chained.pose(pair, angle)
    return np.maximum(elbow_up, up)


def pair_of(x):
    """The two links as physics has them, as columns against the points of a swing."""
    return chained.Pair(
        column(x.first_length),
        column(x.second_length),
        column(x.first_mass),
        column(x.second_mass),
        column(x.elbow_mass),
        column(x.payload),
        column(np.round(x.base.teeth)),
        column(np.round(x.elbow.teeth)),
        column(x.second_angle),
    )

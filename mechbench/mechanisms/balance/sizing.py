"""Sizing: a robot on four wheels with something raised. How hard may it brake, and how steep may a ramp be?"""

import numpy as np

from mechbench.engine.columns import columns
from mechbench.engine.spec import CHOICE, JOB, Field, Finding, Pick, Sizing
from mechbench.kits import figures
from mechbench.mechanisms import words
from mechbench.physics import balance, footing
from mechbench.physics.balance import Part
from mechbench.physics.constants import GRAVITY
from mechbench.quantity import show


class Balance(Sizing):
    """Two lumps, the robot and what it has raised, on the four corners of a rectangle of wheels."""

    NAME = "balance"
    ALSO = (
        "ramp",
        "tipping",
        "tip",
        "tips",
        "topple",
        "stopping",
        "stop",
        "brake",
        "brakes",
        "stability",
        "slope",
        *words.CENTRE,
    )
    TITLE = "A robot on its wheels"
    QUESTION = "With its arm up, how hard may it brake before it tips, and how steep may a ramp be?"
    FIELDS = (
        Field(
            "braking_wanted",
            "Braking wanted",
            "m/s2",
            0.5,
            10.0,
            5.0,
            "how hard the driver wants to brake with the load raised",
            JOB,
            also=("brake", "deceleration"),
        ),
        Field(
            "ramp_wanted",
            "Tilt it must stand",
            "deg",
            0.0,
            45.0,
            15.0,
            "a ramp, an edge of the floor, or a bump",
            JOB,
            also=("angle", "slope", "incline"),
        ),
        Field(
            "speed",
            "Driving speed",
            "m/s",
            0.1,
            4.0,
            1.2,
            "speed from which it brakes",
            JOB,
            more=True,
            also=("drive", "driving", "velocity"),
        ),
        Field(
            "raised_height",
            "Height of what is raised",
            "mm",
            50.0,
            1000.0,
            670.0,
            "its centre over the floor: arm, gripper and piece together",
            follows=figures.even(figures.height_limit, 0.75, step=0.01),
            also=("arm_height", "raised", "lifted"),
        ),
        Field(
            "raised_mass",
            "Mass of what is raised",
            "kg",
            0.0,
            6.0,
            1.6,
            "arm, gripper and piece together",
            follows=figures.even(figures.mass_limit, 1 / 9, step=0.1),
            also=("arm_mass", "lifted_mass"),
        ),
        Field(
            "wheelbase",
            "Wheelbase",
            "mm",
            100.0,
            450.0,
            350.0,
            "front to rear, between the points where the wheels touch the floor",
            follows=figures.even(figures.start_length, 0.667, step=0.01),
            also=("base", "wheel_base", "axles"),
        ),
        Field(
            "raised_forward",
            "How far ahead it is raised",
            "mm",
            -400.0,
            400.0,
            100.0,
            "from the middle between the wheels; below 0 is behind",
            CHOICE,
            more=True,
            also=("arm_out", "arm_reach", "arm_forward", "reach"),
        ),
        Field(
            "mass",
            "Mass without what is raised",
            "kg",
            1.0,
            30.0,
            8.0,
            "of the robot alone; what is raised comes on top",
            CHOICE,
            more=True,
            follows=figures.even(figures.mass_limit, 5 / 9, step=0.5),
            also=("weight", "robot_mass"),
        ),
        Field(
            "height",
            "Height of the rest",
            "mm",
            5.0,
            500.0,
            130.0,
            "its centre of gravity over the floor",
            CHOICE,
            more=True,
            follows=figures.even(figures.start_length, 0.244, step=0.01),
            also=("centre_height", *words.CENTRE),
        ),
        Field(
            "forward",
            "How far ahead the rest is",
            "mm",
            -200.0,
            200.0,
            0.0,
            "its centre of gravity, from the middle between the wheels",
            CHOICE,
            more=True,
        ),
        Field(
            "track",
            "Track",
            "mm",
            100.0,
            450.0,
            310.0,
            "left to right, between the points where the wheels touch the floor",
            CHOICE,
            more=True,
            follows=figures.even(figures.start_width, 0.711, step=0.01),
            also=("width",),
        ),
        Pick(
            "wheels",
            "Wheels",
            "wheels",
            None,
            "they set how hard it can brake at all",
            CHOICE,
            more=True,
            also=("wheel",),
        ),
    )
    FINDINGS = (
        Finding(
            "braking",
            "braking before it tips",
            "m/s2",
            "harder than this, the rear wheels lift; below 0 it falls by itself",
            "at least",
            "braking_wanted",
            also=("brake", "brakes", "tip", "tips", "tipping", "topple", "stability", "fall", "falls"),
        ),
        Finding(
            "grip",
            "braking that the wheels can give",
            "m/s2",
            "friction times gravity; if this is less, it slides before it tips",
            "at least",
            "braking_wanted",
            also=("slip", "slips", "slide"),
        ),
        Finding(
            "tilt",
            "tilt before it tips",
            "deg",
            "the steepest ramp, standing on it any way round",
            "at least",
            "ramp_wanted",
            also=(
                "ramp",
                "slope",
                "angle",
                "steep",
                "incline",
                "tip",
                "tips",
                "tipping",
                "topple",
                "stability",
                "lean",
                "leans",
            ),
        ),
        Finding(
            "total",
            "mass of the whole robot",
            "kg",
            "with what is raised",
            "at most",
            "limits.mass",
            also=("mass", "weight", "heavy"),
        ),
        Finding(
            "speeding_up",
            "speeding up before it tips",
            "m/s2",
            "harder than this, the front wheels lift",
            worse="less",
            also=("acceleration", "accelerate"),
        ),
        Finding(
            "sideways",
            "sideways before it tips",
            "m/s2",
            "in a bend or driving sideways",
            worse="less",
            also=("turning", "turn", "corner", "bend"),
        ),
        Finding(
            "way",
            "distance to stop",
            "mm",
            "from the driving speed, as hard as tipping and grip allow; never where it falls",
            worse="more",
            also=(
                "stopping",
                "stop",
                "stopping_distance",
                "distance",
                "stopping_way",
                "braking_distance",
                "brake_distance",
                "roll",
                "stops",
                "stopped",
            ),
        ),
        Finding(
            "centre_height",
            "height of the centre of gravity",
            "mm",
            "of the whole robot over the floor",
            worse="more",
            also=("height", "centre", *words.CENTRE),
        ),
        Finding("centre_forward", "centre of gravity ahead by", "mm", "from the middle between the wheels"),
        Finding("front", "weight on the front wheels", "%", "at rest; the rear wheels carry the rest"),
        Finding("one_front", "load on one front wheel", "N", "at rest; wheels and floor give way equally"),
    )
    RECORDS = ("roles.limits",)
    SPREADS = {"raised_mass": "mass", "mass": "mass", "wheels.along": "friction"}
    RANK = ("-braking",)
    USES = (balance.centre_of_gravity, balance.braking_limit, balance.tilt_limit, footing.room, footing.wheel_loads)

    @classmethod
    def note(cls, values, tables):
        """What the whole robot weighs, where something is raised."""
        if values["raised_mass"] <= 0:
            return ""
        found = cls.solve(columns(cls, values, tables))
        total, high = show(float(found["total"][0]), "kg"), show(float(found["centre_height"][0]), "mm")
        raised = show(values["raised_mass"], "kg")
        return f"With {raised} raised the whole robot weighs {total}, its centre of gravity {high} high."

    @staticmethod
    def solve(x):
        """Centre of gravity of both lumps, then the room to each side of the rectangle."""
        centre = balance.centre_of_gravity(
            [
                Part("rest", x.mass, x.forward, 0.0, x.height),
                Part("raised", x.raised_mass, x.raised_forward, 0.0, x.raised_height),
            ]
        )
        ahead, back, side = x.wheelbase / 2 - centre.x, x.wheelbase / 2 + centre.x, x.track / 2
        braking, grip = balance.braking_limit(ahead, centre.z), GRAVITY * x.wheels.along
        hardest = np.minimum(braking, grip)
        front = np.clip(back / x.wheelbase, 0.0, 1.0)  # fallen over, it lies on one pair
        return {
            "braking": braking,
            "grip": grip,
            "tilt": balance.tilt_limit(np.minimum(np.minimum(ahead, back), side), centre.z),
            "total": centre.mass,
            "speeding_up": balance.braking_limit(back, centre.z),
            "sideways": balance.braking_limit(side, centre.z),
            "way": np.where(hardest > 0, x.speed**2 / (2 * np.where(hardest > 0, hardest, 1.0)), np.inf),
            "centre_height": centre.z,
            "centre_forward": centre.x,
            "front": front,
            "one_front": centre.mass * GRAVITY * front / 2,
        }

"""What arms of one link have in common, whatever turns them: inputs, weights, the fall, and what a whole robot sees.

Contents: PAYLOAD, START, END, TIME_WANTED, DROOP_ALLOWED, LENGTH, ARM_MASS (fields); WORST_TORQUE, FALLS_WITH
(findings); weight_torque, inertia, falls_with, link_and_tip, tip_raised.
"""

import numpy as np

from mechbench.engine.spec import JOB, Field, Finding, Lump
from mechbench.kits import figures
from mechbench.mechanisms import words
from mechbench.mechanisms.outline import HELD, rod
from mechbench.mechanisms.powertrain import column
from mechbench.physics import arm

PAYLOAD = Field(
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
)
START = Field(
    "start_angle",
    "Start angle",
    "deg",
    -90.0,
    270.0,
    -40.0,
    "of the arm, from level, counted from the front; below 0 is downwards",
    JOB,
    also=("angle", "from_angle"),
)
END = Field(
    "end_angle",
    "End angle",
    "deg",
    -90.0,
    270.0,
    100.0,
    "of the arm, from level, counted from the front; 90 is straight up, less than the start swings down",
    JOB,
    also=("angle", "to_angle"),
)
TIME_WANTED = Field(
    "time_wanted",
    "Time for the swing",
    "s",
    0.1,
    15.0,
    0.8,
    "from rest to rest",
    JOB,
    also=words.TIME_WANTED,
)
DROOP_ALLOWED = Field(
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
)
LENGTH = Field(
    "length",
    "Arm length",
    "mm",
    50.0,
    1200.0,
    400.0,
    "from pivot to tip",
    also=("arm_length", "reach", "radius", "distance", "lever", "bar", "arm_size"),
)
ARM_MASS = Field(
    "arm_mass",
    "Mass of the arm",
    "kg",
    0.01,
    5.0,
    0.25,
    "spread evenly along it",
    more=True,
    also=("arm_weight", "own_mass", "own_weight", "bar_mass"),
)
WORST_TORQUE = Finding(
    "worst_torque",
    "worst torque of the load",
    "N·m",
    "weight less spring, at the worst place of the swing",
    worse="more",
    also=("torque", "load_torque", "needed", "required"),
)
FALLS_WITH = Finding(
    "falls_with",
    "energy of a fall",
    "J",
    "if the power goes at the highest place and the arm falls to the lower end; rope it before hands go in",
    worse="more",
    also=("fall", "energy", "danger", "falls", "falling"),
)


def weight_torque(x, angle):
    """Torque of payload and arm about the pivot [S,N], against a growing angle."""
    payload = arm.link_torque(column(x.payload), column(x.length), angle)
    return payload + arm.link_torque(column(x.arm_mass), column(x.length) / 2, angle)


def inertia(x):
    """Inertia of arm and payload about the pivot [S,1]."""
    return column(arm.link_inertia(x.arm_mass, x.length, x.payload))


def falls_with(x):
    """Energy of a fall from the highest place of the swing to the lower one of its ends."""
    fall = x.length * _deepest_fall(x.start_angle, x.end_angle)
    return arm.drop_energy(x.payload, fall) + arm.drop_energy(x.arm_mass, fall / 2)


def _deepest_fall(start, end):
    """From the highest place of a swing to the lower one of its ends, for an arm of length 1."""
    over_the_top = (np.minimum(start, end) < np.pi / 2) & (np.maximum(start, end) > np.pi / 2)
    ends = np.sin(start), np.sin(end)
    return np.where(over_the_top, 1.0, np.maximum(*ends)) - np.minimum(*ends)


def link_and_tip(values, angle):
    """The arm and what is at its tip at an angle, as lumps of a whole robot, from a plan's inputs."""
    length = values["length"]
    tip = length * np.cos(angle), length * np.sin(angle)
    middle, size = rod((0.0, 0.0), tip)
    return (
        Lump("link", values["arm_mass"], middle, size, ("arm_mass",)),
        Lump("tip", values["payload"], (tip[0], 0.0, tip[1]), HELD, ("payload",), holds=True),
    )


def tip_raised(x, before):
    """How high the tip gets what was `before`: it moves on a circle about the pivot."""
    return before + x.length * (np.sin(x.end_angle) - np.sin(x.start_angle))

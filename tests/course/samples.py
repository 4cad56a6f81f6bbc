"""Small exercises for the tests of the engine, one of each kind, the two kits that everything must run with, and the
names of the weakest and the strongest motor without gears of the course's own kit.
"""

from pathlib import Path

import numpy as np

from mechbench.course.exercise import Challenge, Choice, Item, Option, Order, Prediction, Quantity, Shop, Shown, Slip
from mechbench.kits import kit, read_kit
from mechbench.kits.pairing import loose

KITS = {"own": kit(), "second": read_kit(Path(__file__).parents[1] / "whole_robot" / "by_hand_kit")}
_MOTORS = KITS["own"].table("motors")
SMALL, *_, LARGE = sorted(loose(_MOTORS), key=lambda name: _MOTORS.row(name)["stall_torque"])

COMMON = {
    "lesson": "arm",
    "title": "A sample",
    "hints": ("Think of {mass}.", "Then multiply."),
    "explain": "It is {answer}.",
}

# The weight pulls backwards: the answer is negative.
TORQUE = Quantity(
    **COMMON,
    id="arm-sample-torque",
    text="A mass of {mass} sits {out} out; what torque does it give, forwards counted positive?",
    kind="torque",
    unit="N·m",
    rows=tuple(
        {"mass": (mass, "kg"), "out": (out, "cm")}
        for mass, out in ((2, 30), (1.5, 24), (3.2, 18), (0.9, 45), (2.4, 21))
    ),
    answer=lambda r: -9.81 * r.mass * r.out,
    slips=(
        Slip("mass for weight", lambda r: -r.mass * r.out, "Kilograms are no newtons."),
        Slip("cm taken for m", lambda r: -9.81 * r.mass * r.out * 100, "{out} are not metres."),
    ),
    short=True,
)

WORDS = {**COMMON, "hints": ("Look.", "Look again."), "explain": "So it is."}

CHOICE = Choice(
    **WORDS,
    id="arm-sample-choice",
    text="Which one holds?",
    options=(
        Option("brake", "the brake", "A shorted motor creeps."),
        Option("worm", "the worm", "Friction holds it.", right=True),
        Option("hope", "hope", "Hope does not hold."),
    ),
)

ORDER = Order(
    **WORDS,
    id="arm-sample-order",
    text="Which is longer?",
    scale="from short to long",
    items=(
        Item("thumb", "an inch"),
        Item("hand", "10 cm", "An inch is 2.54 cm."),
        Item("foot", "a foot", "A foot is 12 inches."),
        Item("step", "a metre", "A metre is more than 3 feet."),
    ),
)

PREDICTION = Prediction(
    **WORDS,
    id="arm-sample-prediction",
    text="Slower or faster?",
    options=(Option("slower", "It slows down.", "Half of it is true."), Option("faster", "It speeds up.", "Nearly.")),
    shows=lambda kit: Shown("faster", "It gains {more}.", {"more": (2.0, "m/s")}),
)

GUESS = Prediction(
    **WORDS,
    id="arm-sample-guess",
    text="How long?",
    kind="time",
    unit="s",
    shows=lambda kit: Shown(4.0, "It falls {far}.", {"far": (0.5, "m")}),
)

CHALLENGE = Challenge(
    **{**WORDS, "explain": "Works with {load_torque}."},
    id="arm-sample-challenge",
    text="Turn {load_torque} at {speed_wanted}.",
    sizing="motor",
    rows=tuple(
        {"load_torque": (load, "N·m"), "speed_wanted": (2500, "rpm"), "run_time": (60, "s")}
        for load in (0.1, 0.11, 0.12, 0.105)
    ),
    fixed=("load_torque", "speed_wanted", "run_time"),
    choose=("motor", "count", "start_rise"),
    require="At least {speed_wanted}.",
    advice={"speed": "Stronger.", "current": "Share it.", "hot_after": "Cooler."},
)


def _pulls(r, noise):
    """Pulls over slide plastic with a luggage scale that shows 0.1 N."""
    mass = np.linspace(0.5, 5, 12)
    return {"mass": (mass, "kg"), "force": ((r.friction * 9.81 * mass + 0.3 * noise.standard_normal(12)).round(1), "N")}


def _slope(columns, r):
    weight = 9.81 * columns["mass"]
    return float(weight @ columns["force"] / (weight @ weight))


SHOP = Quantity(
    **{**COMMON, "hints": ("Plot it.", "Fit a line.")},
    id="arm-sample-shop",
    text="How large is the friction?",
    kind="number",
    unit="",
    tolerance=0.08,
    rows=tuple({"friction": friction} for friction in (0.25, 0.31, 0.38, 0.44, 0.52)),
    answer=lambda r: r.friction,
    shop=Shop("A scale pulls a box.", _pulls, _slope),
    slips=(
        Slip(
            "friction of the force, not of the weight",
            lambda r: r.friction * 9.81,
            "Divide by the weight, not by the mass.",
        ),
    ),
)

ALL = (TORQUE, CHOICE, ORDER, PREDICTION, GUESS, CHALLENGE, SHOP)

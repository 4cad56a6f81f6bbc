"""The drivetrain by hand: grip and balance from statics, electricity from Ohm and Kirchhoff, runs integrated apart.

Left out: current and voltage of a run in which wheels slip at the start.
"""

from dataclasses import dataclass, replace
from math import atan, cos, inf, log, pi, sin, sqrt

import numpy as np
from pytest import approx
from scipy.optimize import brentq

from mechbench.catalog import judge
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables, complete
from mechbench.mechanisms.drivetrain.sizing import Drivetrain
from tests.mechanisms.by_hand_handling import altered_kit, fuse_seconds
from tests.mechanisms.by_hand_moves import (
    BATTERY,
    BRISK,
    EXACT,
    FUSE,
    GRAVITY,
    KIT,
    MELTED,
    RESET,
    STAGE,
    STOUT,
    Grip,
    agree,
    asks,
    geared,
    jammed,
    losses,
    move,
    steady,
    through,
    time_to_hot,
)

RUN = 1e-6  # of times and speeds: both solvers are exact under a load that does not change


@dataclass(frozen=True)
class Wheel:
    """Four wheels, from [wheels] and [friction] of the kit by hand; each a disc of its mass."""

    radius: float
    mass: float
    along: float
    across: float
    rolling: float = 0.04

    @property
    def four(self):
        """Inertia of all four: 4 m r^2 / 2."""
        return 2 * self.mass * self.radius**2


STICKY, SIDE, SLANT = Wheel(0.042, 0.095, 1.1, 1.1), Wheel(0.042, 0.120, 0.85, 0.12), Wheel(0.048, 0.190, 0.70, 0.50)
ONE_STAGE = losses(STAGE)  # turn_5


def straight(shaft, wheel, mass, distance, braking, share=1.0, transfer=0.0, friction=None, tips=inf):
    """A run from rest to rest: mass and wheels speed up, rolling drags, the driven share of the weight grips.

    transfer is e h / L: speeding up puts m a h / L more on rear wheels (e = 1), less on front ones (e = -1). tips is
    the acceleration at which the front wheels lift: the driver lets the motors have no more current than it takes.
    """
    radius, weight, friction = wheel.radius, mass * GRAVITY, friction or wheel.along
    inertia, drag = mass * radius**2 + wheel.four, wheel.rolling * weight * radius
    axle_brakes = inertia * braking / radius - drag
    grip = Grip(friction * share * weight * radius, friction * transfer * mass * radius**2, wheel.four, axle_brakes)
    if tips < inf:
        electric = (inertia * tips / radius + drag) / shaft.driving + shaft.rotor * tips / radius
        shaft = replace(shaft, limit=min(shaft.limit, electric / shaft.constant + shaft.idle))
    return move(shaft, BATTERY, [steady(distance / radius, 0.0, drag, inertia)], grip)


def full_throttle(shaft, wheel, mass, share=1.0, transfer=0.0):
    """Acceleration in the first moment, driver's foot down: what motors and grip give, the less of both."""
    amps = min(15.8 / (shaft.resistance + 0.10), shaft.limit)
    push = shaft.driving * shaft.constant * (amps - shaft.idle) / wheel.radius
    heavy = mass + (wheel.four + shaft.driving * shaft.rotor) / wheel.radius**2
    by_motors = (push - wheel.rolling * mass * GRAVITY) / heavy
    by_grip = (wheel.along * share - wheel.rolling) * GRAVITY / (1 - wheel.along * transfer)
    return min(by_motors, by_grip)


def steepest(shaft, wheel, mass, wheelbase, height, behind, driven="all"):
    """Slope at which the first of these ends: motors' strength, grip of the driven wheels, weight on the front wheels.

    Moments about the front axle's contact give the load on the rear axle; behind is from the rear axle to the centre.
    """
    amps = min(15.8 / (shaft.resistance + 0.10), shaft.limit)
    strength, weight = shaft.driving * shaft.constant * (amps - shaft.idle) / wheel.radius, mass * GRAVITY

    def left(slope):
        rear = weight * ((wheelbase - behind) * cos(slope) + height * sin(slope)) / wheelbase
        front = weight * cos(slope) - rear
        presses = {"all": rear + front, "rear": rear, "front": front}[driven]
        asks = weight * (sin(slope) + wheel.rolling * cos(slope))
        return min(strength - asks, wheel.along * presses - asks, front)

    return brentq(left, 0.0, pi / 2, xtol=1e-14)


def even(shaft, wheel, mass):
    """Speed at which rolling drag takes all that the motors give: E - (R + R_b) I = k w."""
    amps = shaft.idle + wheel.rolling * mass * GRAVITY * wheel.radius / (shaft.driving * shaft.constant)
    return (15.8 - (shaft.resistance + 0.10) * amps) / shaft.constant * wheel.radius


def free(shaft, wheel):
    """The same with wheels that drag nothing: the idle current alone flows."""
    return (15.8 - (shaft.resistance + 0.10) * shaft.idle) / shaft.constant * wheel.radius


def sideways(shaft, share):
    """Rollers lose a share of the torque: one more stage of that efficiency."""
    return through(shaft, *losses(share))


def test_two_small_motors_stall_before_mecanum_wheels_spin():
    report = judge(
        "drivetrain",
        {
            "motor": "brisk",
            "count": "2",
            "gearbox": "turn_5",
            "wheel": "slant_96",
            "distance": "3.1 m",
            "mass": "9 kg",
            "height": "150 mm",
            "wheelbase": "260 mm",
            "track": "330 mm",
            "sideways_share": "70 %",
            "push_time": "20 s",
            "time_wanted": "1.9 s",
        },
        KIT,
    )
    shaft, weight = geared(BRISK, 2, 5, *ONE_STAGE), 9 * GRAVITY
    run = straight(shaft, SLANT, 9, 3.1, GRAVITY * 0.130 / 0.150)
    aside = straight(sideways(shaft, 0.70), SLANT, 9, 3.1, GRAVITY * 0.165 / 0.150, friction=0.50)
    stalled = 15.8 / (BRISK.resistance / 2 + 0.10)
    push = ONE_STAGE[0] * 5 * BRISK.constant * (stalled - 2 * 0.20) / 0.048
    agree(
        report,
        {
            "time": approx(run.time, rel=RUN),
            "fuse_lasts": inf,  # 16 A through 25 A
            "fuse_used": approx(run.melted(), rel=MELTED),
            "hot_after": time_to_hot(BRISK, stalled / 2),
            "stays_down": GRAVITY * 0.130 / 0.150 / full_throttle(shaft, SLANT, 9),  # the rear axle is 130 mm behind
            "turns": 0.0,  # rollers roll
            "strength": 0.70 * weight * 0.048 / 2 / 3.5,  # turn_5 behind a small motor: 3.5 N·m
            **jammed(shaft, 2 * 3.5, 2),
            "volts": approx(15.8 - 0.10 * stalled, rel=RUN),  # lowest at the start
            "current": approx(stalled, rel=RUN),
            "spins": push / (0.70 * weight),
            "push": push,
            "push_current": stalled,
            "push_volts": 15.8 - 0.10 * stalled,
            "slips": 0.0,
            "braking": GRAVITY * 0.130 / 0.150,
            "sideways_time": approx(aside.time, rel=RUN),
            "sideways_speed": approx(aside.top_speed * 0.048, rel=RUN),
            "top_speed": approx(run.top_speed * 0.048, rel=RUN),
            "even_speed": even(shaft, SLANT, 9),
            "free_speed": free(shaft, SLANT),
            "slope": steepest(shaft, SLANT, 9, 0.260, 0.150, 0.130),
        },
    )
    assert run.slipped == aside.slipped == 0 and run.battery_peak == approx(stalled)
    asks(
        report,
        {
            "time": ("at most", 1.9),
            "fuse_lasts": ("at least", 20.0),
            "fuse_used": ("at most", 1.0),
            "hot_after": ("at least", 20.0),
            "stays_down": ("at least", 1.0),
            "turns": ("at most", 1.0),
            "strength": ("at most", 1.0),
            "volts": ("at least", RESET),
            "push_volts": ("at least", RESET),
        },
    )


def test_four_large_motors_spin_gripping_wheels_until_the_fuse_blows():
    report = judge(
        "drivetrain",
        {
            "motor": "stout",
            "count": "4",
            "gearbox": "turn_5",
            "wheel": "sticky_84",
            "distance": "2.2 m",
            "mass": "14 kg",
            "height": "90 mm",
            "wheelbase": "280 mm",
            "track": "310 mm",
        },
        KIT,
    )
    shaft, push = geared(STOUT, 4, 5, *ONE_STAGE), 1.1 * 14 * GRAVITY
    run = straight(shaft, STICKY, 14, 2.2, GRAVITY * 0.140 / 0.090)
    amps = push * 0.042 / (ONE_STAGE[0] * 5 * STOUT.constant) + 4 * 0.60
    assert 1.4 * FUSE < amps < 2.2 * FUSE and run.slipped > 0.05
    agree(
        report,
        {
            "time": approx(run.time, rel=RUN),
            "fuse_lasts": fuse_seconds(amps),
            "hot_after": time_to_hot(STOUT, amps / 4),
            "stays_down": GRAVITY * 0.140 / 0.090 / ((1.1 - 0.04) * GRAVITY),
            "turns": (
                1.1 * 14 * GRAVITY * 0.280 / 2 / 0.310 / (push / 2)
            ),  # half of the weight on each axle, 280 mm apart
            "strength": push * 0.042 / 4 / 7.0,  # behind a large motor: 7 N·m
            "spins": ONE_STAGE[0] * 5 * STOUT.constant * (15.8 / (STOUT.resistance / 4 + 0.10) - 2.40) / (push * 0.042),
            "push": push,
            "push_current": amps,
            "push_volts": 15.8 - 0.10 * amps,
            "slips": approx(run.slipped, rel=RUN),
            "fuse_used": approx(run.melted(), rel=MELTED),
            "braking": GRAVITY * 0.140 / 0.090,
            "sideways_time": inf,
            "top_speed": approx(run.top_speed * 0.042, rel=RUN),
            "sideways_speed": 0.0,
            "even_speed": even(shaft, STICKY, 14),
            "free_speed": free(shaft, STICKY),
            "slope": atan(1.1 - 0.04),
        },
        left_out=["volts", "current"],
    )


def test_high_mecanum_robot_speeds_up_and_brakes_as_gently_as_balance_allows():
    """At full throttle it would tip over; sideways with another friction and the track for the wheelbase."""
    good = judge(
        "drivetrain",
        {
            "motor": "stout",
            "count": "4",
            "gearbox": "turn_5",
            "wheel": "slant_96",
            "distance": "2.2 m",
            "mass": "14 kg",
            "height": "400 mm",
            "wheelbase": "260 mm",
            "track": "330 mm",
            "sideways_share": "80 %",
        },
        KIT,
    ).good
    shaft = geared(STOUT, 4, 5, *ONE_STAGE)
    tips, over = GRAVITY * 0.130 / 0.400, GRAVITY * 0.165 / 0.400
    run = straight(shaft, SLANT, 14, 2.2, tips, tips=tips)
    aside = straight(sideways(shaft, 0.80), SLANT, 14, 2.2, over, friction=0.50, tips=over)
    assert good["time"] == approx(run.time, rel=RUN)
    assert good["sideways_time"] == approx(aside.time, rel=RUN)
    assert good["sideways_speed"] == approx(aside.top_speed * 0.048, rel=RUN)
    assert good["braking"] == approx(GRAVITY * 0.130 / 0.400, rel=1e-9)
    assert good["stays_down"] == approx(0.130 / 0.400 / (0.70 - 0.04), rel=1e-9)
    assert good["slips"] == 0.0 and good["top_speed"] == approx(run.top_speed * 0.048, rel=RUN)
    assert run.slipped == aside.slipped == 0
    assert (good["current"], good["volts"]) == (approx(run.battery_peak, rel=RUN), approx(run.lowest, rel=RUN))
    assert good["current"] < 36, "far less than these motors draw at full throttle"


def test_controllers_hold_the_current():
    """36 A flow through two motors at first, less through the fuse: a controller that chops takes the power."""
    report = judge(
        "drivetrain",
        {
            "motor": "stout",
            "count": "2",
            "gearbox": "turn_5",
            "wheel": "sticky_84",
            "distance": "2.2 m",
            "mass": "18 kg",
            "height": "90 mm",
            "wheelbase": "280 mm",
            "track": "310 mm",
        },
        KIT,
    )
    shaft, weight = geared(STOUT, 2, 5, *ONE_STAGE), 18 * GRAVITY
    run = straight(shaft, STICKY, 18, 2.2, GRAVITY * 0.140 / 0.090)
    push = ONE_STAGE[0] * 5 * STOUT.constant * (36 - 2 * 0.60) / 0.042
    power = STOUT.resistance / 2 * 36**2
    amps = (15.8 - (15.8**2 - 4 * 0.10 * power) ** 0.5) / (2 * 0.10)  # (E - R I) I = P
    assert 1.1 * FUSE < amps < 1.4 * FUSE and run.slipped == 0
    agree(
        report,
        {
            "time": approx(run.time, rel=RUN),
            "fuse_lasts": fuse_seconds(amps),
            "fuse_used": approx(run.melted(), rel=MELTED),
            "hot_after": time_to_hot(STOUT, 18.0),
            "stays_down": GRAVITY * 0.140 / 0.090 / full_throttle(shaft, STICKY, 18),
            "turns": 1.1 * weight * 0.280 / 2 / 0.310 / (push / 2),
            "strength": 1.1 * weight * 0.042 / 2 / 7.0,
            "volts": approx(15.8 - 0.10 * 36, rel=RUN),  # where the limit ends, all of it flows through the battery
            "current": approx(36.0, rel=RUN),
            "spins": push / (1.1 * weight),
            "push": push,
            "push_current": amps,
            "push_volts": 15.8 - 0.10 * amps,
            "slips": 0.0,
            "braking": GRAVITY * 0.140 / 0.090,
            "sideways_time": inf,
            "top_speed": approx(run.top_speed * 0.042, rel=RUN),
            "sideways_speed": 0.0,
            "even_speed": even(shaft, STICKY, 18),
            "free_speed": free(shaft, STICKY),
            "slope": steepest(shaft, STICKY, 18, 0.280, 0.090, 0.140),
        },
    )
    assert run.battery_peak == approx(36.0) and run.lowest == approx(15.8 - 3.6)


def test_the_program_limits_the_current_of_each_motor():
    """9 A a motor in place of 18 A: in the run, braking too, and pushing; nothing else changes."""
    given = {"motor": "stout", "count": "2", "gearbox": "turn_5", "wheel": "slant_96", "distance": "2.2 m"}
    given |= {"mass": "18 kg", "height": "90 mm", "wheelbase": "280 mm", "track": "310 mm", "sideways_share": "80 %"}
    report = judge("drivetrain", given | {"start_limit": "9 A"}, KIT)
    shaft, weight = geared(STOUT, 2, 5, *ONE_STAGE, limit=9.0), 18 * GRAVITY
    run = straight(shaft, SLANT, 18, 2.2, GRAVITY * 0.140 / 0.090)
    aside = straight(sideways(shaft, 0.80), SLANT, 18, 2.2, GRAVITY * 0.155 / 0.090, friction=0.50)
    push = ONE_STAGE[0] * 5 * STOUT.constant * (18 - 2 * 0.60) / 0.048
    power = STOUT.resistance / 2 * 18**2
    amps = (15.8 - (15.8**2 - 4 * 0.10 * power) ** 0.5) / (2 * 0.10)  # (E - R I) I = P
    found = report.good
    assert found["time"] == approx(run.time, rel=RUN) and found["sideways_time"] == approx(aside.time, rel=RUN)
    assert found["top_speed"] == approx(run.top_speed * 0.048, rel=RUN) and found["slips"] == run.slipped == 0
    # It brakes before the limit ends: controllers chop, and less than 18 A flow through the battery.
    assert (found["current"], found["volts"]) == (approx(run.battery_peak, rel=RUN), approx(run.lowest, rel=RUN))
    assert (found["push"], found["push_current"]) == (approx(push, rel=1e-9), approx(amps, rel=1e-9))
    assert found["spins"] == approx(push / (0.70 * weight), rel=1e-9)
    assert found["hot_after"] == approx(time_to_hot(STOUT, 9.0), rel=1e-9)
    whole = judge("drivetrain", given, KIT)
    assert whole.good == judge("drivetrain", given | {"start_limit": "18 A"}, KIT).good, "the controller's own limit"
    assert whole.good == judge("drivetrain", given | {"start_limit": "30 A"}, KIT).good, "it lets no more through"
    assert whole.good["time"] < found["time"] and whole.good["push"] > found["push"]


def test_a_limit_below_the_idle_current_lets_it_stand():
    """A motor that turns itself with 1.5 A is given 1.2 A: it stands, which is a result and no fault."""
    tables = Tables(Drivetrain, KIT)
    x = columns(Drivetrain, complete(Drivetrain, {"motor": "stout", "start_limit": "1.2 A"}, tables), tables)
    x.motor.free_current = np.array([1.5])
    found = {name: float(np.ravel(value)[0]) for name, value in Drivetrain.solve(x).items()}
    assert found["time"] == inf and found["top_speed"] == approx(0.0, abs=1e-3)
    assert found["push"] == approx(0.0, abs=1e-6) and found["slope"] == 0.0
    assert not any(np.isnan(value) for value in found.values())


def test_front_wheels_drive_and_omni_wheels_follow():
    """70 % of the weight stand on the front axle, less while it speeds up; it turns about that axle."""
    report = judge(
        "drivetrain",
        {
            "motor": "stout",
            "count": "2",
            "gearbox": "turn_5",
            "wheel": "sticky_84",
            "driven": "front",
            "driven_share": "70 %",
            "free_wheel": "side_84",
            "distance": "2.2 m",
            "mass": "13 kg",
            "height": "90 mm",
            "wheelbase": "280 mm",
            "track": "310 mm",
        },
        KIT,
    )
    shaft, weight = geared(STOUT, 2, 5, *ONE_STAGE), 13 * GRAVITY
    ahead, behind = 0.30 * 0.280, 0.70 * 0.280  # of the centre of gravity to the axles
    run = straight(shaft, STICKY, 13, 2.2, GRAVITY * ahead / 0.090, share=0.70, transfer=-0.090 / 0.280)
    push = 1.1 * 0.70 * weight
    amps = push * 0.042 / (ONE_STAGE[0] * 5 * STOUT.constant) + 2 * 0.60
    assert run.slipped > 0.2
    agree(
        report,
        {
            "time": approx(run.time, rel=RUN),
            "fuse_lasts": fuse_seconds(amps),
            "hot_after": time_to_hot(STOUT, amps / 2),
            "stays_down": GRAVITY * behind / 0.090 / full_throttle(shaft, STICKY, 13, 0.70, -0.090 / 0.280),
            "turns": 0.12 * 0.30 * weight * 0.280 / 0.310 / (push / 2),
            "strength": push * 0.042 / 2 / 7.0,
            "spins": ONE_STAGE[0] * 5 * STOUT.constant * (36 - 2 * 0.60) / (push * 0.042),
            "push": push,
            "push_current": amps,
            "push_volts": 15.8 - 0.10 * amps,
            "slips": approx(run.slipped, rel=RUN),
            "fuse_used": approx(run.melted(), abs=1e-4),  # only the crest is above what it carries for ever
            "braking": GRAVITY * ahead / 0.090,
            "sideways_time": inf,
            "top_speed": approx(run.top_speed * 0.042, rel=RUN),
            "sideways_speed": 0.0,
            "even_speed": even(shaft, STICKY, 13),
            "free_speed": free(shaft, STICKY),
            "slope": steepest(shaft, STICKY, 13, 0.280, 0.090, behind, "front"),
        },
        left_out=["volts", "current"],
    )


def test_rear_wheels_drive():
    """Braking takes weight off them: they slide before it tips over its front, which is the braking of the run."""
    report = judge(
        "drivetrain",
        {
            "motor": "stout",
            "count": "2",
            "gearbox": "turn_5",
            "wheel": "sticky_84",
            "driven": "rear",
            "driven_share": "60 %",
            "free_wheel": "side_84",
            "distance": "2.2 m",
            "mass": "13 kg",
            "height": "90 mm",
            "wheelbase": "280 mm",
            "track": "310 mm",
        },
        KIT,
    )
    shaft, weight, push = geared(STOUT, 2, 5, *ONE_STAGE), 13 * GRAVITY, 1.1 * 0.60 * 13 * GRAVITY
    run = straight(shaft, STICKY, 13, 2.2, GRAVITY * 0.60 * 0.280 / 0.090, share=0.60, transfer=0.090 / 0.280)
    amps = push * 0.042 / (ONE_STAGE[0] * 5 * STOUT.constant) + 2 * 0.60
    assert run.slipped == 0 and amps < 1.1 * FUSE
    throttle = full_throttle(shaft, STICKY, 13, 0.60, 0.090 / 0.280)
    strong = ONE_STAGE[0] * 5 * STOUT.constant * (36 - 2 * 0.60)
    more = push + 1.1 * 13 * throttle * 0.090 / 0.280
    assert push * 0.042 < strong < more * 0.042
    agree(
        report,
        {
            "time": approx(run.time, rel=RUN),
            "fuse_lasts": inf,
            "hot_after": time_to_hot(STOUT, amps / 2),
            "turns": 0.12 * 0.40 * weight * 0.280 / 0.310 / (push / 2),
            "stays_down": GRAVITY * 0.40 * 0.280 / 0.090 / throttle,
            "strength": min(more * 0.042, strong) / 2 / 7.0,  # speeding up presses the driven wheels down
            "volts": approx(15.8 - 0.10 * 36, rel=RUN),
            "current": approx(36.0, rel=RUN),
            "spins": ONE_STAGE[0] * 5 * STOUT.constant * (36 - 2 * 0.60) / (push * 0.042),
            "push": push,
            "push_current": amps,
            "push_volts": 15.8 - 0.10 * amps,
            "slips": 0.0,
            "fuse_used": approx(run.melted(), rel=MELTED),
            "braking": GRAVITY * 0.60 * 0.280 / 0.090,
            "sideways_time": inf,
            "top_speed": approx(run.top_speed * 0.042, rel=RUN),
            "sideways_speed": 0.0,
            "even_speed": even(shaft, STICKY, 13),
            "free_speed": free(shaft, STICKY),
            "slope": steepest(shaft, STICKY, 13, 0.280, 0.090, 0.40 * 0.280, "rear"),
        },
        left_out=[],
    )


def test_it_turns_about_the_axle_that_holds_more():
    """Omni wheels in front are dragged where gripping wheels hold the rear; mecanum wheels are never dragged."""
    given = {
        "motor": "stout",
        "gearbox": "turn_56",
        "driven": "front",
        "driven_share": "60 %",
        "mass": "8 kg",
        "wheelbase": "300 mm",
        "track": "250 mm",
    }
    omni, rolling = (
        judge("drivetrain", given | wheels, KIT).good
        for wheels in (
            {"wheel": "side_84", "free_wheel": "sticky_84"},
            {"wheel": "sticky_84", "free_wheel": "slant_96"},
        )
    )
    push = 0.85 * 0.60 * 8 * GRAVITY
    assert omni["push"] == approx(push, rel=1e-9)
    assert omni["turns"] == approx(0.12 * 0.60 * 8 * GRAVITY * 0.300 / 0.250 / (push / 2), rel=1e-9)
    assert rolling["turns"] == 0.0


def test_top_speed_of_a_long_run_is_that_of_even_driving():
    good = judge(
        "drivetrain",
        {"motor": "brisk", "count": "2", "gearbox": "turn_25", "wheel": "slant_96", "distance": "6 m", "mass": "4 kg"},
        KIT,
    ).good
    shaft = geared(BRISK, 2, 25, *losses(STAGE, 2))
    evenly = even(shaft, SLANT, 4)
    assert straight(shaft, SLANT, 4, 6.0, inf).top_speed * 0.048 == approx(evenly, rel=RUN), (
        "it comes to driving evenly"
    )
    assert good["top_speed"] == approx(evenly, rel=RUN) and good["even_speed"] == approx(evenly, rel=1e-9)
    assert good["free_speed"] == approx(free(shaft, SLANT), rel=1e-9) and good["free_speed"] > evenly


def test_a_high_robot_falls_over_before_its_wheels_or_motors_give_up_on_a_slope():
    """It tips about its rear wheels: tan(slope) = way back to them over height."""
    high = {
        "motor": "stout",
        "count": "4",
        "gearbox": "turn_14",
        "wheel": "sticky_84",
        "free_wheel": "side_84",
        "mass": "9 kg",
        "height": "480 mm",
        "wheelbase": "200 mm",
        "driven_share": "60 %",
    }
    all_wheels, rear = (judge("drivetrain", high | {"driven": end}, KIT).good for end in ("all", "rear"))
    assert all_wheels["slope"] == approx(atan(0.100 / 0.480), rel=1e-9)
    assert rear["slope"] == approx(atan(0.40 * 0.200 / 0.480), rel=1e-9)


def test_a_motor_that_rolling_drag_stops_goes_nowhere():
    """[motors.feather] gives 0.04 N·m times 5: 4.5 N at the wheels' rims, and 20 kg drag with 7.8 N."""
    good = judge(
        "drivetrain", {"motor": "feather", "count": "1", "gearbox": "turn_5", "wheel": "slant_96", "mass": "20 kg"}, KIT
    ).good
    assert good["push"] < 0.04 * 20 * GRAVITY
    assert (good["time"], good["sideways_time"], good["slope"], good["top_speed"]) == (inf, inf, 0.0, 0.0)
    assert good["even_speed"] == good["sideways_speed"] == 0.0 < good["free_speed"]


def test_on_a_good_day_the_fuse_is_as_most_and_on_a_bad_day_as_the_quickest(tmp_path):
    """Its type melts in 1 to 45 s at 1.4 times and in 0.2 to 4 s at 2.2 times 25 A: the middle of the logarithms."""
    quick = 'time = ["45 s", "4 s", "0.4 s"]\ntime_quick = ["1 s", "0.2 s", "0.05 s"]'
    kit = altered_kit(tmp_path, parts={'time = ["45 s", "4 s", "0.4 s"]': quick})
    report = judge(
        "drivetrain",
        {
            "motor": "stout",
            "count": "4",
            "gearbox": "turn_5",
            "wheel": "sticky_84",
            "mass": "11.2 kg",
            "push_time": "4 s",
        },
        kit,
    )

    def quickest(amps):
        assert 1.4 <= amps / 25 <= 2.2
        return 0.2 ** (log(amps / 25 / 1.4) / log(2.2 / 1.4))

    good, bad = report.good["push_current"], report.bad["push_current"]
    assert report.good["fuse_lasts"] == approx(sqrt(fuse_seconds(good) * quickest(good)), rel=EXACT)
    assert report.bad["fuse_lasts"] == approx(quickest(bad), rel=EXACT)
    assert report.good_margin["fuse_lasts"] > 0 > report.bad_margin["fuse_lasts"] and report.days_in_100 == 0

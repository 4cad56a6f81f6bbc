"""The winch by hand: weight and layers from statics, the snatch of two bodies on a spring, the way up integrated apart.

The pull of a tackle is summed part by part, and held against a published formula.
"""

from math import atan, atan2, cos, degrees, hypot, inf, pi, sin

import numpy as np
from pytest import approx, mark
from scipy.integrate import solve_ivp

from mechbench.catalog import judge
from tests.mechanisms.by_hand_moves import (
    BATTERY,
    BRISK,
    FINE,
    GRAVITY,
    KIT,
    MELTED,
    RESET,
    STAGE,
    STOUT,
    agree,
    asks,
    geared,
    jammed,
    losses,
    move,
    steady,
    strongest,
)

RUN = 1e-6  # of times and peaks: nothing changes along a stretch
STEPS = 2e-4  # of the snatch load: by fixed steps
TWINE_2, TWINE_4 = (700.0, 0.08), (1900.0, 0.12)  # [cords] N at the break, stretch there


def wind(shaft, radius, turning, slack, lifted, pull, mass):
    """Slack first, then the load: at the drum's shaft pull r and mass r^2; (J + J_rotor) w is kept when it hangs on."""
    loose = steady(slack / radius, 0.0, 0.0, turning)
    tight = steady(lifted / radius, pull * radius, 0.0, mass * radius**2 + turning)
    return move(shaft, BATTERY, [loose, tight])


def snatch(shaft, weight, mass, speed, spring, radius, turning):
    """Highest pull when a turning drum makes the cord tight, its motor pulling on: the load stays until it is borne.

    What the gears pass on of the motor's torque, less what speeds its rotor up, turns the drum against the cord:
    J_drum a = eta (k (I - I_0) - J_rotor a) - T r. mass: kg as it feels at the cord; spring: N/m. Over time.
    """

    def rhs(t, y):
        tension, w = spring * (y[0] * radius - y[1]), y[2]
        amps = min((BATTERY.volts - shaft.constant * w) / (shaft.resistance + BATTERY.resistance), shaft.limit)
        a = shaft.driving * shaft.constant * (amps - shaft.idle) - tension * radius
        lifts = (tension - weight) / mass if tension > weight or y[3] > 0 else 0.0
        return [w, y[3], a / (turning + shaft.driving * shaft.rotor), lifts]

    tightest = lambda t, y: y[2] * radius - y[3]
    tightest.terminal, tightest.direction = True, -1
    run = solve_ivp(rhs, (0, 10), [0.0, 0.0, speed / radius, 0.0], events=tightest, max_step=2e-4, **FINE)
    return spring * (run.y[0, -1] * radius - run.y[1, -1])


def stiffness(cord, length):
    """N/m: at the break the whole length is longer by its share."""
    return cord[0] / (cord[1] * length)


def hangs(ahead, below, wheel_ahead, wheel_below):
    """Tilt that puts the centre of gravity below the hook, and how much lower the wheel hangs for it."""
    tilt = atan(ahead / below)
    return tilt, hypot(wheel_ahead, wheel_below) * cos(atan2(wheel_ahead, wheel_below) - tilt) - wheel_below


def test_light_robot_on_one_fall_held_by_friction_alone():
    report = judge(
        "winch",
        {
            "mass": "6 kg",
            "lift_height": "150 mm",
            "clear_wanted": "30 mm",
            "time_wanted": "0.8 s",
            "motor": "brisk",
            "count": "2",
            "gearbox": "turn_14",
            "spool": "drum_22",
            "ratchet": "none",
            "cord": "twine_4",
            "slack": "60 mm",
            "cord_length": "300 mm",
            "ahead": "35 mm",
            "below": "190 mm",
            "wheel_ahead": "140 mm",
            "wheel_below": "270 mm",
            "pulley_efficiency": "80 %",
            "factor_wanted": 2.5,
        },
        KIT,
    )
    shaft, weight = geared(BRISK, 2, 14, *losses(STAGE, 2)), 6 * GRAVITY
    radius = 0.011 + 0.002  # drum_22 and half of a 4 mm cord
    turning, spring = 0.013 * 0.011**2 / 2, stiffness(TWINE_4, 0.300)
    run = wind(shaft, radius, turning, 0.060, 0.150, weight, 6.0)
    highest = snatch(shaft, weight, 6.0, run.passing[0] * radius, spring, radius, turning)
    tilt, drop = hangs(0.035, 0.190, 0.140, 0.270)
    assert drop == approx(0.270 * (cos(tilt) - 1) + 0.140 * sin(tilt)) and degrees(tilt) > 10
    agree(
        report,
        {
            "time": approx(run.time, rel=RUN),
            "spare": strongest(shaft) - weight * radius,
            "holds": shaft.friction_holds - weight * radius,
            "held": shaft.friction_holds,
            "hangs_with": weight * radius,
            "clear": 0.150 - drop - weight / spring,
            "factor": approx(1900 * 0.5 / highest, rel=STEPS),
            "strength": weight * radius / (2 * 7.0),
            **jammed(shaft, 2 * 7.0, 2),
            "full": (
                0.210 / (3 * 2 * pi * (0.013 + 0.017 + 0.021))
            ),  # 3 turns in 14 mm, 3 layers below a flange of 24 mm
            "fuse_used": approx(run.melted(), rel=MELTED, abs=1.5e-4),
            "current": approx(run.battery_peak, rel=RUN),
            "volts": approx(run.lowest, rel=RUN),
            "pull": weight,
            "snatch": approx(highest, rel=STEPS),
            "side_load": weight / 180,
            "tilt": tilt,
            "tilt_costs": drop,
            "layers": 1,
            "friction_holds": shaft.friction_holds,
        },
    )
    assert report.good["snatch"] > 1.5 * weight and report.good["holds"] < 0
    asks(
        report,
        {
            "time": ("at most", 0.8),
            "spare": ("at least", 0.0, 2.0),
            "holds": ("at least", 0.0, 2.0),
            "clear": ("at least", 0.030),
            "factor": ("at least", 2.5),
            "strength": ("at most", 1.0),
            "full": ("at most", 1.0),
            "fuse_used": ("at most", 1.0),
            "volts": ("at least", RESET),
        },
    )


def test_heavy_robot_on_two_falls_on_the_second_layer_behind_a_chain():
    """Two falls share the weight, and the cord goes twice as far: a quarter of the mass is felt."""
    report = judge(
        "winch",
        {
            "mass": "14 kg",
            "lift_height": "150 mm",
            "motor": "stout",
            "count": "2",
            "gearbox": "turn_5",
            "last_stage": "link_11_to_22",
            "spool": "drum_30",
            "ratchet": "catch",
            "cord": "twine_2",
            "falls": "2",
            "pulley_efficiency": "100 %",
            "slack": "90 mm",
            "before": "750 mm",
            "cord_length": "500 mm",
            "ahead": "15 mm",
            "below": "240 mm",
            "wheel_ahead": "170 mm",
            "wheel_below": "330 mm",
        },
        KIT,
    )
    (first, first_back), (last, last_back) = losses(STAGE), losses(0.92)
    shaft, pull = geared(STOUT, 2, 10, first * last, first_back * last_back), 14 * GRAVITY / 2
    radius = 0.015 + 0.003  # drum_30 and one and a half of a 2 mm cord
    turning, spring = 0.020 * 0.015**2 / 2, stiffness(TWINE_2, 0.500)
    run = wind(shaft, radius, turning, 0.090, 0.300, pull, 14 / 4)
    highest = snatch(shaft, pull, 14 / 4, run.passing[0] * radius, spring, radius, turning)
    tilt, drop = hangs(0.015, 0.240, 0.170, 0.330)
    assert 7 * 2 * pi * 0.016 < 0.750 and 0.750 + 0.390 < 7 * 2 * pi * (0.016 + 0.018), "all on the second layer"
    agree(
        report,
        {
            "time": approx(run.time, rel=RUN),
            "spare": first * last * 10 * STOUT.constant * (36 - 2 * 0.60) - pull * radius,
            "holds": 26.0 - pull * radius,
            "held": 26.0,
            "hangs_with": pull * radius,
            "clear": 0.150 - drop - pull / spring / 2,
            "factor": approx(700 * 0.55 / highest, rel=STEPS),
            "strength": (
                pull * radius / (500 * 0.008 / (2 * sin(pi / 22)))
            ),  # the chain: boxes bear 7 N·m * 2 * 0.92 each
            "full": 1.140 / (7 * 2 * pi * (0.016 + 0.018 + 0.020 + 0.022 + 0.024 + 0.026 + 0.028)),
            "fuse_used": approx(run.melted(), rel=MELTED, abs=1.5e-4),
            "current": approx(36.0, rel=RUN),  # the controllers hold it
            "volts": approx(run.lowest, rel=RUN),
            "pull": pull,
            "snatch": approx(highest, rel=STEPS),
            "side_load": pull / 180,
            "tilt": tilt,
            "tilt_costs": drop,
            "layers": 2,
            "friction_holds": shaft.friction_holds,
        },
    )
    assert run.battery_peak == approx(36.0) and report.good["factor"] < 5


@mark.parametrize("falls", [1, 2, 3])
def test_each_pulley_on_the_way_loses_a_share(falls):
    """The winch hangs on its own cord: that carries 1, behind the pulley on the hook 0.8, behind one on the robot 0.64.

    Source: API Recommended Practice 9B, (K^n - 1) / (K^s n (K - 1)) with n parts over s = n - 1 pulleys, K = 1 / 0.8.
    """
    given = {"mass": "10 kg", "falls": str(falls), "pulley_efficiency": "80 %", "before": "40 mm"}
    pull = judge("winch", given, KIT).good["pull"]
    assert pull == approx(10 * GRAVITY / sum(0.8**n for n in range(falls)), rel=1e-9)
    k = 1 / 0.8
    assert pull == approx(10 * GRAVITY / falls / ((k**falls - 1) / (k ** (falls - 1) * falls * (k - 1))), rel=1e-9)


def test_without_slack_the_motor_makes_the_snatch():
    """It starts at once with all its torque, and the cord, still loose, feels a load put on suddenly."""
    given = {"mass": "12 kg", "motor": "brisk", "gearbox": "turn_56", "spool": "drum_30", "cord": "twine_4"}
    good = judge("winch", given | {"slack": "0 mm", "cord_length": "600 mm"}, KIT).good
    shaft, radius, weight = geared(BRISK, 1, 56, *losses(STAGE, 3)), 0.015 + 0.002, 12 * GRAVITY
    highest = snatch(shaft, weight, 12.0, 0.0, stiffness(TWINE_4, 0.600), radius, 0.020 * 0.015**2 / 2)
    assert highest > 1.3 * weight
    assert good["snatch"] == approx(highest, rel=STEPS)
    assert good["factor"] == approx(1900 * 0.5 / highest, rel=STEPS)


def test_a_drum_that_hardly_turns_gives_no_more_than_the_steady_pull():
    """1 mm of slack, a stiff short cord: the drum would stop before the robot is borne; its motor winds on."""
    good = judge(
        "winch",
        {
            "mass": "14 kg",
            "slack": "1 mm",
            "motor": "brisk",
            "gearbox": "turn_5",
            "spool": "drum_50",
            "cord": "twine_4",
            "cord_length": "100 mm",
        },
        KIT,
    ).good
    shaft, radius = geared(BRISK, 1, 5, *losses(STAGE)), 0.025 + 0.002
    turning, spring = 0.041 * 0.025**2 / 2, stiffness(TWINE_4, 0.100)
    speed = wind(shaft, radius, turning, 1e-3, 0.1, 0.0, 0.0).passing[0] * radius
    assert snatch(shaft, 1e9, 14.0, speed, spring, radius, turning) < 14 * GRAVITY, "against a wall"
    assert good["time"] == inf and good["snatch"] == approx(14 * GRAVITY, rel=1e-9)
    assert good["holds"] == approx(26.0 - 14 * GRAVITY * radius, rel=1e-9), "by the kit's usual ratchet"


def test_onto_the_second_layer_on_the_way():
    """3 turns of 4 mm in 14 mm hold 320 mm. There the cord's pull P slows what turns, J (w2 - w1) = -P r2, and makes
    the load faster, m (w2 r2 - w1 r1) = P: so w2 = w1 (J + m r1 r2) / (J + m r2^2).
    """
    given = {"mass": "3 kg", "lift_height": "400 mm", "motor": "stout", "gearbox": "turn_5", "cord": "twine_4"}
    good = judge("winch", given | {"spool": "drum_30", "slack": "0 mm", "before": "200 mm"}, KIT).good
    shaft, weight, turning = geared(STOUT, 1, 5, *losses(STAGE)), 3 * GRAVITY, 0.020 * 0.015**2 / 2
    inner, outer = 0.015 + 0.002, 0.015 + 0.006
    first = 3 * 2 * pi * inner - 0.200
    assert 0.400 - first < 3 * 2 * pi * outer, "two layers"
    stretches = [
        steady(length / radius, weight * radius, 0.0, 3.0 * radius**2 + turning)
        for length, radius in ((first, inner), (0.400 - first, outer))
    ]
    kept = (shaft.rotor + turning + 3.0 * inner * outer) / (shaft.rotor + turning + 3.0 * outer**2)
    assert good["time"] == approx(move(shaft, BATTERY, stretches, kept=[kept]).time, rel=5e-4)


def test_last_layer_bears_the_weight_at_the_end():
    """7 turns of 2 mm hold 528 mm; of 800 mm the last wind at 11 + 3 mm. What needs no move is compared."""
    good = judge(
        "winch",
        {
            "mass": "5 kg",
            "lift_height": "500 mm",
            "motor": "brisk",
            "count": "2",
            "gearbox": "turn_25",
            "spool": "drum_22",
            "ratchet": "none",
            "cord": "twine_2",
            "slack": "200 mm",
            "before": "100 mm",
        },
        KIT,
    ).good
    shaft, weight = geared(BRISK, 2, 25, *losses(STAGE, 2)), 5 * GRAVITY
    assert 7 * 2 * pi * 0.012 < 0.800 < 7 * 2 * pi * (0.012 + 0.014) and good["layers"] == 2
    assert good["holds"] == approx(shaft.friction_holds - weight * 0.014, rel=1e-9)
    assert good["spare"] == approx(strongest(shaft) - weight * 0.014, rel=1e-9)
    assert good["strength"] == approx(weight * 0.014 / (2 * 7.0), rel=1e-9)
    fits = 7 * 2 * pi * (0.012 + 0.014 + 0.016 + 0.018 + 0.020 + 0.022)  # 6 layers below a flange of 24 mm
    assert good["full"] == approx(0.800 / fits, rel=1e-9)


def test_a_cord_that_is_thicker_than_the_rim_is_high_does_not_fit():
    """No layer fits, so the spool is more than full, whatever the length; nothing is divided by 0 on the way."""
    with np.errstate(divide="raise"):
        report = judge("winch", {"cord": "30 mm"}, KIT)
    assert report.good["full"] == inf and not report.works

"""The winch by hand: weight and layers from statics, the snatch of two bodies on a spring, the way up integrated apart.

Left out: moves where the cord climbs onto another layer on the way, and slack 0 (both known). With pulleys that lose
something, the pull of two falls is only held between that of one pulley, the one on the hook, and that of two.
"""

from math import atan, atan2, cos, degrees, hypot, inf, pi, sin

from pytest import approx, mark
from scipy.integrate import solve_ivp

import mechbench as mb
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
TWINE_2, TWINE_4 = (700.0, 0.08), (1900.0, 0.12)  # [cords] N at the break, stretch there


def wind(shaft, radius, turning, slack, lifted, pull, mass):
    """Slack first, then the load: at the drum's shaft pull r and mass r^2; (J + J_rotor) w is kept when it hangs on."""
    loose = steady(slack / radius, 0.0, 0.0, turning)
    tight = steady(lifted / radius, pull * radius, 0.0, mass * radius**2 + turning)
    return move(shaft, BATTERY, [loose, tight])


def snatch(weight, mass, speed, spring, drum):
    """Highest pull when a mass that turns a drum makes the cord tight: the load stays on the floor until it is borne.

    drum and mass: kg as they feel at the cord; spring: N/m. The drum's way and the load's way, integrated over time.
    """

    def rhs(t, y):
        tension = spring * (y[0] - y[1])
        return [y[2], y[3], -tension / drum, (tension - weight) / mass if tension > weight or y[3] > 0 else 0.0]

    tightest = lambda t, y: y[2] - y[3]
    tightest.terminal, tightest.direction = True, -1
    run = solve_ivp(rhs, (0, 10), [0.0, 0.0, speed, 0.0], events=tightest, max_step=2e-4, **FINE)
    return spring * (run.y[0, -1] - run.y[1, -1])


def stiffness(cord, length):
    """N/m: at the break the whole length is longer by its share."""
    return cord[0] / (cord[1] * length)


def hangs(ahead, below, wheel_ahead, wheel_below):
    """Tilt that puts the centre of gravity below the hook, and how much lower the wheel hangs for it."""
    tilt = atan(ahead / below)
    return tilt, hypot(wheel_ahead, wheel_below) * cos(atan2(wheel_ahead, wheel_below) - tilt) - wheel_below


def test_light_robot_on_one_fall_held_by_friction_alone():
    report = mb.judge(
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
    highest = snatch(weight, 6.0, run.passing[0] * radius, spring, (shaft.rotor + turning) / radius**2)
    tilt, drop = hangs(0.035, 0.190, 0.140, 0.270)
    assert drop == approx(0.270 * (cos(tilt) - 1) + 0.140 * sin(tilt)) and degrees(tilt) > 10
    agree(
        report,
        {
            "time": approx(run.time, rel=RUN),
            "spare": strongest(shaft) - weight * radius,
            "holds": shaft.friction_holds - weight * radius,
            "clear": 0.150 - drop - weight / spring,
            "factor": approx(1900 * 0.5 / highest, rel=RUN),
            "strength": weight * radius / (2 * 7.0),
            **jammed(shaft, 2 * 7.0, 2),
            "full": (
                0.210 / (3 * 2 * pi * (0.013 + 0.017 + 0.021))
            ),  # 3 turns in 14 mm, 3 layers below a flange of 24 mm
            "fuse_used": approx(run.melted(), rel=MELTED, abs=1.5e-4),
            "current": approx(run.battery_peak, rel=RUN),
            "volts": approx(run.lowest, rel=RUN),
            "pull": weight,
            "snatch": approx(highest, rel=RUN),
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
    report = mb.judge(
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
    highest = snatch(pull, 14 / 4, run.passing[0] * radius, spring, (shaft.rotor + turning) / radius**2)
    tilt, drop = hangs(0.015, 0.240, 0.170, 0.330)
    assert 7 * 2 * pi * 0.016 < 0.750 and 0.750 + 0.390 < 7 * 2 * pi * (0.016 + 0.018), "all on the second layer"
    agree(
        report,
        {
            "time": approx(run.time, rel=RUN),
            "spare": first * last * 10 * STOUT.constant * (36 - 2 * 0.60) - pull * radius,
            "holds": 26.0 - pull * radius,
            "clear": 0.150 - drop - pull / spring / 2,
            "factor": approx(700 * 0.55 / highest, rel=RUN),
            "strength": (
                pull * radius / (500 * 0.008 / (2 * sin(pi / 22)))
            ),  # the chain: boxes bear 7 N·m * 2 * 0.92 each
            "full": 1.140 / (7 * 2 * pi * (0.016 + 0.018 + 0.020 + 0.022 + 0.024 + 0.026 + 0.028)),
            "fuse_used": approx(run.melted(), rel=MELTED, abs=1.5e-4),
            "current": approx(36.0, rel=RUN),  # the controllers hold it
            "volts": approx(run.lowest, rel=RUN),
            "pull": pull,
            "snatch": approx(highest, rel=RUN),
            "side_load": pull / 180,
            "tilt": tilt,
            "tilt_costs": drop,
            "layers": 2,
            "friction_holds": shaft.friction_holds,
        },
    )
    assert run.battery_peak == approx(36.0) and report.good["factor"] < 5


@mark.parametrize("falls, most, least", [("2", 1 + 0.8, 0.8 + 0.8**2), ("3", 1 + 0.8 + 0.8**2, 0.8 + 0.8**2 + 0.8**3)])
def test_each_pulley_loses_a_share(falls, most, least):
    """Behind each pulley a fall pulls 0.8 times as hard: 1, 0.8, 0.64 ...; or all behind one pulley more."""
    pull = mb.judge("winch", {"mass": "10 kg", "falls": falls, "pulley_efficiency": "80 %"}, KIT).good["pull"]
    assert 10 * GRAVITY / most * (1 - 1e-9) <= pull <= 10 * GRAVITY / least * (1 + 1e-9)


def test_a_drum_that_hardly_turns_gives_no_more_than_the_steady_pull():
    """1 mm of slack, a stiff short cord: the drum would stop before the robot is borne; its motor winds on."""
    good = mb.judge(
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
    assert snatch(1e9, 14.0, speed, spring, (shaft.rotor + turning) / radius**2) < 14 * GRAVITY, "against a wall"
    assert good["time"] == inf and good["snatch"] == approx(14 * GRAVITY, rel=1e-9)
    assert good["holds"] == approx(26.0 - 14 * GRAVITY * radius, rel=1e-9), "by the kit's usual ratchet"


def test_last_layer_bears_the_weight_at_the_end():
    """7 turns of 2 mm hold 528 mm; of 800 mm the last wind at 11 + 3 mm. What needs no move is compared."""
    good = mb.judge(
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

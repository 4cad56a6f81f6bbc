"""A swinging arm by hand, with parts of the kit by hand.

Up without a spring, at the controller's limit, over the top with a spring, with a spring that hangs loose, and stalled.
The arm is a slender rod with a mass at its tip. Times come out of a table of places.
"""

import math

import pytest

from mechbench.catalog import judge, sizing_of
from mechbench.engine.inputs import Tables
from tests.mechanisms.by_hand_swing import (
    BATTERY_VOLTS,
    BRISK,
    CHAIN,
    FEATHER,
    KIT,
    LINK_LOAD,
    LINK_PLAY,
    MOST_AMPS,
    RESET_VOLTS,
    STOUT,
    G,
    Swing,
    agrees,
    at_least,
    at_most,
    judged,
    sprocket,
    stalled_amps,
)

DEG = math.pi / 180
COIL_0_5_110 = (500.0, 0.110, 5.0)  # [extension_springs.coil_0_5] rate, one of its lengths, initial_tension
STRETCH_TO = 2.2  # [extension_springs] every


class Arm(Swing):
    """A rod with a mass at its tip."""

    def __init__(self, payload, mass, length, *drive, **more):
        super().__init__(*drive, **more)
        self.moment, self.about_pivot = (payload + mass / 2) * length, (payload + mass / 3) * length**2

    def weight(self, angle):
        return self.moment * G * math.cos(angle)

    def inertia(self, angle):
        return self.about_pivot

    def bend(self, angle):
        return 0.0


def test_up_by_two_motors_through_a_chain():
    """From -30 to 120 degrees, worst when level; each motor has its gearbox (turn_14: 7 N·m), both share the chain."""
    report = judge(
        "arm",
        {
            "payload": "0.95 kg",
            "arm_mass": "0.42 kg",
            "length": "360 mm",
            "start_angle": "-30 deg",
            "end_angle": "120 deg",
            "time_wanted": "1.5 s",
            "hold_time": "20 s",
            "droop_allowed": "30 mm",
            "motor": "brisk",
            "gearbox": "turn_14",
            "last_stage": "link_15_to_18",
            "count": "2",
        },
        KIT,
    )
    arm = Arm(0.95, 0.42, 0.36, BRISK, 2, 2, 14 * 1.2, -30, 120, last=CHAIN)
    worst = (0.95 + 0.42 / 2) * 0.36 * G
    carried = LINK_LOAD * sprocket(18) / 2
    assert carried < 2 * 7.0 * 1.2 * CHAIN
    droop = (2.2 * DEG / 1.2 + LINK_PLAY / (sprocket(18) / 2)) * 0.36  # [gearboxes] turn_14: backlash
    hand = arm.findings(worst, worst, carried) | {
        "time": arm.seconds(),
        "droop": droop,
        # from straight up to 30 degrees below level: half a length more than the whole
        "falls_with": 0.95 * G * 1.5 * 0.36 + 0.42 * G * 1.5 * 0.18,
    }
    assert 20.0 < hand["hot_after"] < math.inf
    agrees(report, hand, loose=("time",), without=("stretch",))
    bounds = {
        "time": 1.5,
        "spare": 0.0,
        "current": MOST_AMPS,
        "strength": 1.0,
        "hot_after": 20.0,
        "droop": 0.030,
        "stretch": 1.0,
        "volts": RESET_VOLTS,
    }
    judged(
        report,
        bounds,
        {
            "time": at_most(hand["time"], 1.5),
            "spare": hand["spare"] / 1.0,
            "current": 1.0,  # its controller holds it at the limit: met with enough to spare
            "strength": at_most(hand["strength"], 1.0),
            "hot_after": at_least(hand["hot_after"], 20.0),
            "droop": at_most(droop, 0.030),
            "volts": at_least(hand["volts"], 8.2),
        },
        loose=("time",),
        without=("stretch",),
    )


def test_large_motors_start_at_the_controllers_limit():
    """Two stalled on this battery would draw 20 A each; the controller lets 18 A through until they turn."""
    report = judge(
        "arm",
        {
            "payload": "1.5 kg",
            "arm_mass": "0.8 kg",
            "length": "600 mm",
            "start_angle": "-45 deg",
            "end_angle": "105 deg",
            "motor": "stout",
            "gearbox": "turn_14",
            "count": "2",
        },
        KIT,
    )
    assert stalled_amps(STOUT, 2) > 20.0
    arm = Arm(1.5, 0.8, 0.6, STOUT, 2, 2, 14.0, -45, 105)
    worst = (1.5 + 0.4) * 0.6 * G
    hand = arm.findings(worst, worst, 2 * 14.0) | {  # [gearboxes] turn_14: allowed_large, backlash
        "time": arm.seconds(),
        "droop": 2.2 * DEG * 0.6,
        "falls_with": (1.5 + 0.4) * G * 0.6 * (1 + math.sqrt(0.5)),
    }
    assert hand["current"] == 18.0
    agrees(report, hand, loose=("time",), without=("stretch",), rel=1e-6)


def test_over_the_top_with_a_spring_the_load_drives_at_the_end():
    """Worst at 160 degrees, where the weight, less the spring, turns the motors; least to spare is at the start."""
    report = judge(
        "arm",
        {
            "payload": "0.8 kg",
            "arm_mass": "0.4 kg",
            "length": "400 mm",
            "start_angle": "30 deg",
            "end_angle": "160 deg",
            "motor": "brisk",
            "gearbox": "turn_14",
            "count": "2",
            "spring": "coil_0_5_110",
            "anchor_height": "140 mm",
            "pin_distance": "50 mm",
        },
        KIT,
    )
    arm = Arm(0.8, 0.4, 0.4, BRISK, 2, 2, 14.0, 30, 160, spring=(*COIL_0_5_110, 0.140, 0.050))
    start, end = arm.torque(30 * DEG), arm.torque(160 * DEG)
    assert -end > start > 0
    assert arm.spring_length(90 * DEG) < 0.110 < arm.spring_length(30 * DEG), "loose on top, it pulls at both ends"
    stretch = arm.spring_length(160 * DEG) / (STRETCH_TO * 0.110)
    hand = arm.findings(-end, start, 2 * 7.0) | {
        "time": arm.seconds(),
        "droop": 2.2 * DEG * 0.4,
        "stretch": stretch,
        "falls_with": (0.8 + 0.4 / 2) * G * 0.4 * (1 - math.sin(160 * DEG)),  # the end is lower than the start
    }
    assert hand["hot_after"] < math.inf
    agrees(report, hand, loose=("time",))
    assert report.good_margin["stretch"] == pytest.approx(1 - stretch)


def test_a_spring_that_is_longer_than_its_way_gives_nothing():
    """From 30 degrees on, anchor and pin are nearer to each other than the hooks of the loose spring."""
    report = judge(
        "arm",
        {
            "payload": "0.6 kg",
            "arm_mass": "0.3 kg",
            "length": "300 mm",
            "start_angle": "30 deg",
            "end_angle": "120 deg",
            "motor": "brisk",
            "gearbox": "turn_14",
            "count": "2",
            "spring": "coil_0_5_110",
            "anchor_height": "120 mm",
            "pin_distance": "40 mm",
        },
        KIT,
    )
    arm = Arm(0.6, 0.3, 0.3, BRISK, 2, 2, 14.0, 30, 120, spring=(*COIL_0_5_110, 0.120, 0.040))
    longest = arm.spring_length(30 * DEG)
    assert longest < 0.110
    arm.spring = None
    worst = (0.6 + 0.15) * 0.3 * G * math.cos(30 * DEG)
    hand = arm.findings(worst, worst, 2 * 7.0) | {
        "time": arm.seconds(),
        "droop": 2.2 * DEG * 0.3,
        "falls_with": (0.6 + 0.15) * G * 0.3 * 0.5,
        "stretch": longest / (STRETCH_TO * 0.110),
    }
    assert hand["hot_after"] == math.inf
    agrees(report, hand, loose=("time",))


def test_a_weak_motor_stalls_at_once():
    """It stands with all the current that winding and battery let through, and never arrives."""
    report = judge(
        "arm",
        {
            "payload": "0.5 kg",
            "arm_mass": "0.2 kg",
            "length": "300 mm",
            "start_angle": "0 deg",
            "end_angle": "90 deg",
            "motor": "feather",
            "gearbox": "turn_14",
            "count": "1",
        },
        KIT,
    )
    worst = (0.5 + 0.1) * 0.3 * G
    hand = Arm(0.5, 0.2, 0.3, FEATHER, 1, 2, 14.0, 0, 90).findings(worst, worst, 7.0) | {
        "time": math.inf,
        "droop": 2.2 * DEG * 0.3,
        "falls_with": 0.5 * G * 0.3 + 0.2 * G * 0.15,
    }
    assert hand["spare"] < 0 and hand["current"] == pytest.approx(BATTERY_VOLTS / (14 / 3.5 + 0.10))
    agrees(report, hand, without=("stretch",))
    assert report.good_margin["time"] == -math.inf and report.good_margin["spare"] == pytest.approx(hand["spare"])


# Spring; start, end; payload, mass, length; anchor above pivot, pin from pivot; whether it is worst where the spring
# goes slack.
SWINGS = (
    ("coil_0_5_110", -49.6, 118.0, 1.02, 0.163, 0.214, 0.0709, 0.1693, True),
    ("coil_0_2_110", 31.8, 125.4, 0.309, 0.312, 0.520, 0.1095, 0.1620, True),
    ("coil_1_0_110", -17.2, 129.8, 1.28, 0.155, 0.471, 0.0960, 0.1771, True),
    ("coil_1_0_90", -49.9, 119.3, 0.335, 0.565, 0.576, 0.0792, 0.0570, False),
    ("none", -53.0, 87.3, 0.154, 0.189, 0.256, 0.1390, 0.1670, False),
)
COILS = {"0_2": (200.0, 3.0), "0_5": (500.0, 5.0), "1_0": (1000.0, 7.0)}  # [extension_springs] rate, initial_tension


@pytest.mark.parametrize("spring, start, end, payload, mass, length, anchor, pin, slackens", SWINGS)
def test_the_worst_torque_lies_where_it_lies(spring, start, end, payload, mass, length, anchor, pin, slackens):
    """Between places of a table as well, and on either side of where a spring goes slack: 20 001 places by hand."""
    given = {
        "payload": payload,
        "arm_mass": mass,
        "length": length,
        "start_angle": start * DEG,
        "end_angle": end * DEG,
        "motor": "stout",
        "gearbox": "turn_56",
        "spring": spring,
        "anchor_height": anchor,
        "pin_distance": pin,
    }
    good = judge("arm", given, KIT).good
    coil = None
    if spring != "none":
        rate, tension = COILS[spring[5:8]]
        coil = (rate, int(spring[9:]) / 1000, tension, anchor, pin)
    arm = Arm(payload, mass, length, STOUT, 1, 3, 56.0, start, end, spring=coil)
    angles = [arm.start + (arm.end - arm.start) * n / 20_000 for n in range(20_001)]
    torques = [arm.torque(angle) for angle in angles]
    worst, most = max(map(abs, torques)), max(torques)
    if slackens:
        at = angles[max(range(len(torques)), key=lambda n: abs(torques[n]))]
        assert arm.spring_length(at) == pytest.approx(coil[1], rel=2e-4)
    hand = arm.findings(worst, most, 22.0)  # [gearboxes] turn_56: allowed_large
    for name in ("worst_torque", "strength", "spare"):
        assert good[name] == pytest.approx(hand[name], rel=2e-4), name
    assert good["worst_torque"] >= worst * (1 - 1e-5)


@pytest.mark.parametrize(
    "start, end, top, low", [(80, 180, 1.0, 0.0), (-40, 170, 1.0, -0.6427876), (-70, 85, 0.9961947, -0.9396926)]
)
def test_a_fall_goes_from_the_highest_place_to_the_lower_end(start, end, top, low):
    """Sines from a table. Straight up is the top where the swing passes it; else its higher end."""
    given = {"payload": 0.9, "arm_mass": 0.4, "length": 0.35, "start_angle": start * DEG, "end_angle": end * DEG}
    falls = judge("arm", given, KIT).good["falls_with"]
    assert falls == pytest.approx((0.9 + 0.4 / 2) * 0.35 * G * (top - low), rel=1e-6)


@pytest.mark.parametrize("spring", ["none", None])
@pytest.mark.parametrize("start, end", [(60, -30), (-30, 60), (45, 200), (170, 20), (-80, 80), (80, 81), (0, 190)])
def test_an_arm_in_a_mirror_is_the_same_arm(start, end, spring):
    """Anchor and pivot stand one above the other, so left and right are alike: what goes up on one side with growing
    angles goes up on the other with falling ones. First principles.
    """
    springs = Tables(sizing_of("arm"), KIT)("counter_springs").names
    values = {"spring": springs[-1] if spring is None else spring, "time_wanted": "3 s"}
    one, other = (
        judge("arm", values | {"start_angle": f"{first} deg", "end_angle": f"{last} deg"}, KIT).good
        for first, last in ((start, end), (180 - start, 180 - end))
    )
    for name, value in one.items():
        assert other[name] == pytest.approx(value, rel=1e-6, abs=1e-9), name


def test_an_arm_that_goes_down_needs_less_torque_than_one_that_goes_up():
    """Down from 60 to -30 degrees the weight helps all the way; only a stop and its inertia are left."""
    up, down = (
        judge("arm", {"start_angle": first, "end_angle": last, "spring": "none"}, KIT).good
        for first, last in (("-30 deg", "60 deg"), ("60 deg", "-30 deg"))
    )
    assert down["spare"] > up["spare"] and down["worst_torque"] == pytest.approx(up["worst_torque"])
    assert down["falls_with"] == pytest.approx(up["falls_with"])


def test_a_swing_of_no_angle_is_refused_in_a_sentence():
    with pytest.raises(ValueError, match="end_angle is the same as start_angle, but the arm must swing"):
        judge("arm", {"start_angle": "20 deg", "end_angle": "20 deg"}, KIT)

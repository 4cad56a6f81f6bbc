"""A chained arm by hand, with parts of the kit by hand.

Up with 2:1 sprockets, down with 1:2 and a spring, at the controller's limit with a second link that keeps its
direction, and stalled. Two slender rods, masses at elbow and tip. The second link turns 1 - z_base / z_elbow as far as
the first: seen from the first link the frame, and the sprocket on it, turns backwards, and the chain turns the elbow's
sprocket z_base / z_elbow as far. Worst places stand among those that are looked at.
"""

import math

import pytest
from scipy.optimize import minimize_scalar

from mechbench.catalog import judge
from tests.mechanisms.by_hand_swing import (
    BATTERY_VOLTS,
    BELT,
    BRISK,
    FEATHER,
    KIT,
    MOST_AMPS,
    RESET_VOLTS,
    STOUT,
    WIDE_LOAD,
    WIDE_PLAY,
    G,
    Swing,
    agrees,
    at_least,
    at_most,
    judged,
    pulley,
    stalled_amps,
)

DEG = math.pi / 180
COIL_0_5_70 = (500.0, 0.070, 5.0)  # [extension_springs.coil_0_5] rate, one of its lengths, initial_tension
STRETCH_TO = 2.2  # [extension_springs] every
L1, L2, PIVOT = 0.32, 0.28, 0.41
M1, M2, AT_ELBOW = 0.25, 0.18, 0.10
LINKS = {
    "first_length": "320 mm",
    "second_length": "280 mm",
    "pivot_height": "410 mm",
    "first_mass": "0.25 kg",
    "second_mass": "0.18 kg",
    "elbow_mass": "0.1 kg",
}


class TwoLinks(Swing):
    """The second link turns `turns` times as far as the first, from `offset` degrees where the first is level."""

    def __init__(self, payload, turns, offset, *drive, **more):
        super().__init__(*drive, **more)
        self.payload, self.turns, self.offset = payload, turns, offset * DEG
        # first moments along the links: all beyond the elbow hangs on the first link, too
        self.on_first, self.on_second = (M1 / 2 + M2 + AT_ELBOW + payload) * L1, (M2 / 2 + payload) * L2

    def second(self, angle):
        return self.offset + self.turns * angle

    def weight(self, angle):
        """Virtual work: the slope of the weights' energy over the first link's angle."""
        return G * (self.on_first * math.cos(angle) + self.on_second * self.turns * math.cos(self.second(angle)))

    def inertia(self, angle):
        """Twice the kinetic energy where the first link turns with 1 rad/s: rods about an end, lumps, cross term."""
        first = L1**2 * (M1 / 3 + M2 + AT_ELBOW + self.payload)
        second = self.turns**2 * L2**2 * (M2 / 3 + self.payload)
        return first + second + 2 * self.turns * L1 * self.on_second * math.cos(angle - self.second(angle))

    def bend(self, angle):
        """Slope of the inertia over the first link's angle."""
        return -2 * self.turns * L1 * self.on_second * math.sin(angle - self.second(angle)) * (1 - self.turns)

    def heights(self, angle):
        """Of elbow and tip over the floor."""
        elbow = PIVOT + L1 * math.sin(angle)
        return elbow, elbow + L2 * math.sin(self.second(angle))

    def places(self, worst_angle):
        """Findings that tell where things are."""
        second = self.second(self.end)
        return {
            "worst_angle": worst_angle,
            "turns": self.turns,
            "end_ahead": L1 * math.cos(self.end) + L2 * math.cos(second),
            "end_height": PIVOT + L1 * math.sin(self.end) + L2 * math.sin(second),
            "second_at_end": second,
        }


def test_up_with_the_second_link_turning_the_other_way():
    """36 to 18 teeth: 1 - 2 = -1. Folded back (180 degrees) when level, both links straight up at 90 degrees.

    Level is the worst place. In a play d the tip moves d times its way for each radian of the first link, the most
    where the links lie on each other: there both push it the same way, as far as the straight arm would.
    """
    report = judge(
        "chained",
        LINKS
        | {
            "payload": "0.62 kg",
            "start_angle": "-30 deg",
            "end_angle": "120 deg",
            "second_angle": "180 deg",
            "base": "link_36",
            "elbow": "link_18",
            "motor": "brisk",
            "gearbox": "turn_14",
            "last_stage": "wide_25_to_40",
            "count": "2",
            "time_wanted": "2 s",
            "hold_time": "15 s",
            "droop_allowed": "40 mm",
        },
        KIT,
    )
    arm = TwoLinks(0.62, -1.0, 180.0, BRISK, 2, 2, 14 * 1.6, -30, 120, last=BELT)
    worst = G * (0.62 * (L1 + L2) + M1 * L1 / 2 + M2 * (L1 + L2 / 2) + AT_ELBOW * L1)
    carried = WIDE_LOAD * pulley(40) / 2
    assert carried < 2 * 7.0 * 1.6 * BELT  # [gearboxes] turn_14: allowed_small, backlash
    droop = (2.2 * DEG / 1.6 + WIDE_PLAY / (pulley(40) / 2)) * (L1 + L2)
    hand = (
        arm.findings(worst, worst, carried)
        | arm.places(0.0)
        | {
            "time": arm.seconds(),
            "droop": droop,
            "highest": PIVOT + L1 + L2,
        }
    )
    assert hand["second_at_end"] == pytest.approx(60 * DEG) and 15.0 < hand["hot_after"] < math.inf
    agrees(report, hand, loose=("time",), without=("stretch",))
    bounds = {
        "time": 2.0,
        "spare": 0.0,
        "current": MOST_AMPS,
        "strength": 1.0,
        "hot_after": 15.0,
        "droop": 0.040,
        "stretch": 1.0,
        "volts": RESET_VOLTS,
    }
    judged(
        report,
        bounds,
        {
            "time": at_most(hand["time"], 2.0),
            "spare": hand["spare"] / 1.0,
            "current": 1.0,  # its controller holds it at the limit: met with enough to spare
            "strength": at_most(hand["strength"], 1.0),
            "hot_after": at_least(hand["hot_after"], 15.0),
            "droop": at_most(droop, 0.040),
            "volts": at_least(hand["volts"], 8.2),
        },
        loose=("time",),
        without=("stretch",),
    )


def test_the_play_shows_most_where_the_links_lie_on_each_other():
    """They lie folded where this swing begins, at -30 degrees, and straight at 60 degrees, ahead of the pivot."""
    report = judge(
        "chained",
        LINKS
        | {
            "start_angle": "-30 deg",
            "end_angle": "120 deg",
            "second_angle": "120 deg",
            "base": "link_36",
            "elbow": "link_18",
            "motor": "brisk",
            "gearbox": "turn_18",
            "count": "2",
        },
        KIT,
    )
    assert report.good["droop"] == pytest.approx(2.2 * DEG * (L1 + L2))  # [gearboxes] turn_18: backlash


def test_down_with_a_spring_the_load_drives_at_the_end():
    """15 to 30 teeth: half as far, the same way. The weight first asks, then drives, and drives most at the end."""
    report = judge(
        "chained",
        LINKS
        | {
            "payload": "0.72 kg",
            "start_angle": "150 deg",
            "end_angle": "25 deg",
            "second_angle": "40 deg",
            "base": "link_15",
            "elbow": "link_30",
            "motor": "brisk",
            "gearbox": "turn_14",
            "count": "2",
            "spring": "coil_0_5_70",
            "anchor_height": "120 mm",
            "pin_distance": "40 mm",
        },
        KIT,
    )
    arm = TwoLinks(0.72, 0.5, 40.0, BRISK, 2, 2, 14.0, 150, 25, spring=(*COIL_0_5_70, 0.120, 0.040))
    start, end = arm.torque(150 * DEG), arm.torque(25 * DEG)
    assert end > -start > 0
    assert arm.spring_length(90 * DEG) > 0.070, "it pulls all the way"
    stretch = arm.spring_length(25 * DEG) / (STRETCH_TO * 0.070)
    top = minimize_scalar(lambda a: -arm.heights(a)[1], bounds=(25 * DEG, 150 * DEG), method="bounded")
    hand = (
        arm.findings(end, -start, 2 * 7.0)
        | arm.places(25 * DEG)
        | {
            "time": arm.seconds(),
            "highest": -top.fun,
            "stretch": stretch,
        }
    )
    assert hand["hot_after"] < math.inf
    agrees(report, hand, loose=("time", "highest"), without=("droop",))
    assert report.good_margin["stretch"] == pytest.approx(1 - stretch)


def test_large_motors_and_a_second_link_that_keeps_its_direction():
    """18 to 18 teeth: the second link hangs straight down all the way and weighs on the elbow, which is highest."""
    report = judge(
        "chained",
        LINKS
        | {
            "payload": "1.6 kg",
            "start_angle": "-30 deg",
            "end_angle": "120 deg",
            "second_angle": "-90 deg",
            "base": "link_18",
            "elbow": "link_18",
            "motor": "stout",
            "gearbox": "turn_14",
            "count": "2",
        },
        KIT,
    )
    assert stalled_amps(STOUT, 2) > MOST_AMPS
    arm = TwoLinks(1.6, 0.0, -90.0, STOUT, 2, 2, 14.0, -30, 120)
    worst = G * (M1 / 2 + M2 + AT_ELBOW + 1.6) * L1
    hand = arm.findings(worst, worst, 2 * 14.0) | arm.places(0.0) | {"time": arm.seconds(), "highest": PIVOT + L1}
    assert hand["hot_after"] == math.inf
    agrees(report, hand, loose=("time",), without=("droop", "stretch"), rel=1e-6)


def test_a_weak_motor_stalls_at_once():
    """It stands with all the current that winding and battery let through, and never arrives."""
    report = judge(
        "chained",
        LINKS
        | {
            "payload": "0.5 kg",
            "start_angle": "0 deg",
            "end_angle": "60 deg",
            "second_angle": "180 deg",
            "base": "link_22",
            "elbow": "link_11",
            "motor": "feather",
            "gearbox": "turn_14",
            "count": "1",
        },
        KIT,
    )
    arm = TwoLinks(0.5, -1.0, 180.0, FEATHER, 1, 2, 14.0, 0, 60)
    worst = G * (0.5 * (L1 + L2) + M1 * L1 / 2 + M2 * (L1 + L2 / 2) + AT_ELBOW * L1)
    hand = (
        arm.findings(worst, worst, 7.0)
        | arm.places(0.0)
        | {
            "time": math.inf,
            "highest": PIVOT + (L1 + L2) * math.sin(60 * DEG),
        }
    )
    assert hand["spare"] < 0 and hand["current"] == pytest.approx(BATTERY_VOLTS / (14 / 3.5 + 0.10))
    agrees(report, hand, without=("droop", "stretch"))
    assert report.good_margin["time"] == -math.inf and report.good_margin["spare"] == pytest.approx(hand["spare"])


@pytest.mark.parametrize(
    "base, elbow, offset, start, end", [(18, 18, -90, -30, 120), (36, 18, 175, 40, 110), (15, 30, 40, 150, 25)]
)
def test_play_moves_the_tip_by_its_way_for_each_radian(base, elbow, offset, start, end):
    """Both places of the tip, the first link turned by a little: 4 001 places of the swing, by differences."""
    given = {"second_angle": offset * DEG, "base": f"link_{base}", "elbow": f"link_{elbow}"}
    swing = {"start_angle": start * DEG, "end_angle": end * DEG, "motor": "brisk", "gearbox": "turn_18", "payload": 0.5}
    good = judge("chained", LINKS | given | swing, KIT).good
    arm = TwoLinks(0.5, 1 - base / elbow, offset, BRISK, 1, 2, 18.0, start, end)
    tip = lambda a: (L1 * math.cos(a) + L2 * math.cos(arm.second(a)), arm.heights(a)[1])
    angles = [arm.start + (arm.end - arm.start) * n / 4000 for n in range(4001)]
    ways = [math.dist(tip(a + 1e-6), tip(a - 1e-6)) / 2e-6 for a in angles]
    assert good["droop"] == pytest.approx(2.2 * DEG * max(ways), rel=1e-6)  # [gearboxes] turn_18: backlash
    assert good["highest"] == pytest.approx(max(max(arm.heights(a)) for a in angles), abs=1e-6)
    torques = [arm.torque(a) for a in angles]
    assert good["worst_torque"] == pytest.approx(max(map(abs, torques)), rel=1e-5)
    assert arm.torque(good["worst_angle"]) == pytest.approx(max(torques, key=abs), rel=1e-5)

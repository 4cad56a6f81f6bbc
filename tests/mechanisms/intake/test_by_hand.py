"""Every finding of the intake sizing by hand: one contact's equilibrium, the motor on a sagging battery, geometry.

Sources: Coulomb friction, Hooke's and Ohm's law as in OpenStax University Physics (from memory); the nip, the funnel
and the crooked way into the pen are derived beside each sum. No function of mechbench is used.
"""

import math

import pytest
from scipy.optimize import brentq

from tests.mechanisms.by_hand_handling import (
    G,
    agree,
    altered_kit,
    at_least,
    at_most,
    bounds_agree,
    constants,
    held_at,
    judged,
    rows_agree,
    some_agree,
)

# tests/whole_robot/by_hand_kit/parts.toml. Motors: volts, rpm, free A, stall N·m, stall A; then 1 for a large frame.
MOTORS = {
    "feather": ((14.0, 10823, 0.10, 0.0408, 3.5), 0),
    "brisk": ((14.0, 5431, 0.20, 0.187, 8.0), 0),
    "stout": ((14.0, 4205, 0.60, 0.725, 24.0), 1),
}
GEARBOXES = {
    "turn_5": (5.0, 1, (3.5, 7.0)),
    "turn_14": (14.0, 2, (7.0, 14.0)),
    "turn_25": (25.0, 2, (7.0, 14.0)),
}  # ratio, stages, allowed N·m
STAGE = 0.92
ROLLERS = {
    "tube_25": (0.025, 25e3, 0.4),
    "sponge_50": (0.050, 1.2e3, 0.9),
    "sponge_70": (0.070, 1.1e3, 0.9),
}  # m, N/m, friction
CHUTE = 0.22  # ball on chute
OPEN_CIRCUIT, INNER, OUTPUT_LIMIT = 15.8, 0.10, 18.0
# The servo without end: stall N·m, stall A, rad/s; the rail's 7.2 V is its own voltage.
TURNER = (1.1, 3.4, 110 * 2 * math.pi / 60)


def motor_at(drive, count, torque, limit=OUTPUT_LIMIT):
    """Current and speed of one of several motors that share a torque, all on one battery; stalled it stands."""
    name, box = drive.split("_", 1)
    (plate, _), (ratio, stages, _) = MOTORS[name], GEARBOXES[box]
    resistance, constant = constants(*plate)
    asked = torque / count / (constant * ratio * STAGE**stages) + plate[2]
    stalled = OPEN_CIRCUIT / (resistance + count * INNER)
    amps = min(asked, stalled, limit)
    turning = (OPEN_CIRCUIT - count * INNER * amps - resistance * amps) / (constant * ratio)
    return amps, turning if asked < min(stalled, limit) else 0.0


def servo_at(_, count, torque, limit=None):
    """Current and speed of one of several servos on the rail: a straight line from free speed to stall."""
    stall, stall_amps, free = TURNER
    share = min(torque / count / stall, 1.0)
    return share * stall_amps, free * (1 - share)


def stuck(drive, count, limit):
    """The rollers are held fast: a servo gives its stall torque, which is what it may; motors stand."""
    if drive == "turner":
        return {"jam": 1.0, "safe_current": TURNER[1]}
    name, box = drive.split("_", 1)
    (plate, _), (ratio, stages, _) = MOTORS[name], GEARBOXES[box]
    each = constants(*plate)[1] * ratio * STAGE**stages  # N·m for an ampere
    amps = min(OPEN_CIRCUIT / (constants(*plate)[0] + count * INNER), limit)
    return {"jam": each * (amps - plate[2]) / allowed(drive), "safe_current": allowed(drive) / each + plate[2]}


def allowed(drive):
    """What gearbox or servo may give."""
    if drive == "turner":
        return TURNER[0]
    name, box = drive.split("_", 1)
    return GEARBOXES[box][2][MOTORS[name][1]]


def friction_needed(angle, wall):
    """One contact on the nip angle b: normal force N, friction F; the wall holds back by mu (N cos b + F sin b).

    Inwards F cos b must be N sin b and that: F / N = (tan b + mu) / (1 - mu tan b).
    """
    return (math.tan(angle) + wall) / (1 - wall * math.tan(angle))


def rolling_needed(angle):
    """On a ball free to turn both forces lie on the line through its two contacts, half the nip angle off each."""
    return (1 - math.cos(angle)) / math.sin(angle)


def by_hand(v, limit=OUTPUT_LIMIT):
    """All findings of one state.

    A rolling piece is pulled by roller and wall alike, or its turning would speed up: each contact gives half of what
    holds it back. So the roller's torque is half, at twice the piece's speed: the power is the same.
    """
    diameter, stiffness, sticky = ROLLERS[v["roller"]]
    big, small = diameter / 2, v["piece_diameter"] / 2
    wall, rolls, driven = v["other"] == "wall", v["other"] == "rolling", v["other"] == "roller"
    squeeze = v["squeeze"] / 2 if driven else v["squeeze"]
    press = stiffness * squeeze
    angle = math.acos((big + small - squeeze) / (big + small))
    grip = min(sticky, CHUTE) if rolls else sticky
    drag = CHUTE if wall else 0.0  # what the other side holds back with
    needed = rolling_needed(angle) if rolls else friction_needed(angle, drag)
    weight = v["piece_mass"] * G
    back = weight * (math.sin(v["slope"]) + drag * math.cos(v["slope"]))
    # It climbs if its contacts pull what weight, its own drag on the ramp, and the drag under the press hold back.
    spare = grip - drag
    climbs = math.inf if back == 0 else (1 if wall else 2) * press * spare / back
    at = servo_at if v["drive"] == "turner" else motor_at
    amps, turning = at(v["drive"], v["count"], (drag * press + (back / 2 if rolls else back)) * big, limit)
    jam = sticky * press * big * (2 if driven else 1)
    surface = turning * big
    speed = surface / 2 if rolls else surface
    drag_alone = math.sin(v["slope"]) + CHUTE * math.cos(v["slope"])
    # Its middle is (R + r) sin b past the axis when the roller lets go; the next stage has it when enough of it lies
    # there.
    let_go = (big + small) * math.sin(angle)
    taken = v["next_start"] + v["next_grip"] * v["piece_diameter"] - small
    return {
        "ratio": speed / v["ground_speed"],
        "nip": grip / needed,
        "climbs": climbs,
        "period": (v["piece_diameter"] + v["gap"]) / speed if speed else math.inf,
        "jam_current": at(v["drive"], v["count"], jam, limit)[0],
        "strength": jam / v["count"] / allowed(v["drive"]),
        "reaches": v["reach"] - (v["pen_depth"] - small - let_go),
        "enters": heading_that_fits(v),
        "run": run_to_the_middle(v),
        "hands_on": v["next_speed"] / speed if speed else 0.0,
        "coasts": speed**2 / (2 * G * drag_alone) - max(taken - let_go, 0.0),
        "surface": surface,
        "roller_speed": 2 * math.pi * surface / (math.pi * diameter),
        "roller_needed": 2 * math.pi * 1.5 * v["ground_speed"] * (2 if rolls else 1) / (math.pi * diameter),
        "press": press,
        "nip_angle": angle,
        "deepest": deepest(v, big + small, sticky),
        "current": amps,
        **stuck(v["drive"], v["count"], limit),
    }


def heading_that_fits(v):
    """Turned by a, a box of width w and length l takes w cos a + l sin a of the mouth."""
    if math.hypot(v["width"], v["reach"]) <= v["pen_gap"]:
        return math.pi / 2
    if v["width"] >= v["pen_gap"]:
        return 0.0
    steepest = math.atan(v["reach"] / v["width"])  # from here on it would take less again
    return brentq(
        lambda a: v["width"] * math.cos(a) + v["reach"] * math.sin(a) - v["pen_gap"], 0.0, steepest, xtol=1e-14
    )


def run_to_the_middle(v):
    """On the floor the piece moves as the plate's force points: a quarter turn less plate and friction angle.

    Aside by e it goes e tan(a + f) ahead, and slides back along the plate by e / tan(a): the robot drives both.
    """
    force = v["plate_angle"] + math.atan(CHUTE)
    if force >= math.pi / 2:
        return math.inf
    return v["offset"] * (math.tan(force) + 1 / math.tan(v["plate_angle"]))


def deepest(v, radii, sticky):
    """The squeeze at which the friction needed is all there is; of two rollers each takes half."""
    if v["other"] == "rolling":
        return radii * (1 - math.cos(2 * math.atan(min(sticky, CHUTE))))
    drag = CHUTE if v["other"] == "wall" else 0.0
    steepest = brentq(
        lambda b: friction_needed(b, drag) - sticky, 0.0, math.pi / 2 - math.atan(drag) - 1e-6, xtol=1e-15
    )
    return radii * (1 - math.cos(steepest)) * (2 if v["other"] == "roller" else 1)


USUAL = dict(
    ground_speed=0.7,
    piece_diameter=0.076,
    piece_mass=0.11,
    slope=math.radians(24),
    period_wanted=0.25,
    pen_depth=0.31,
    pen_gap=0.34,
    heading=math.radians(8),
    offset=0.052,
    run_allowed=0.2,
    drive="brisk_turn_14",
    count=2,
    roller="sponge_50",
    other="wall",
    squeeze=0.0064,
    reach=0.245,
    width=0.25,
    plate_angle=math.radians(34),
    gap=0.027,
    next_speed=1.7,
    next_start=0.093,
    next_grip=0.6,
)
STATES = {
    "two motors, against a wall": {},
    "two motors, a second roller": {"other": "roller", "drive": "feather_turn_25", "squeeze": 0.0092},
    "one large motor, a narrow intake": {
        "count": 1,
        "drive": "stout_turn_5",
        "roller": "tube_25",
        "squeeze": 0.0011,
        "width": 0.12,
        "reach": 0.33,
    },
    "a short intake enters at any heading, the next stage is near": {
        "reach": 0.2,
        "width": 0.26,
        "next_start": 0.01,
        "next_grip": 0.1,
    },
    "an intake as wide as the pen, plates too blunt": {"width": 0.36, "plate_angle": math.radians(79)},
    "two servos": {"drive": "turner", "squeeze": 0.003},
    "a servo stalled by a jam": {"drive": "turner", "count": 1, "roller": "tube_25", "squeeze": 0.012},
    "motors stalled by the piece": {
        "drive": "feather_turn_5",
        "roller": "tube_25",
        "squeeze": 0.012,
        "piece_mass": 0.9,
    },
    "rolling on the level": {"other": "rolling", "slope": 0.0, "roller": "sponge_70", "drive": "brisk_turn_25"},
    "rolling up a ramp": {"other": "rolling", "squeeze": 0.005},
    "rolling up a steep ramp, stalled": {
        "other": "rolling",
        "slope": math.radians(70),
        "piece_mass": 1.0,
        "roller": "sponge_70",
        "drive": "feather_turn_5",
        "count": 1,
    },
    "rolling on the level, four motors": {
        "other": "rolling",
        "slope": 0.0,
        "count": 4,
        "roller": "tube_25",
        "drive": "feather_turn_14",
        "squeeze": 0.0006,
        "next_start": 0.3,
    },
}


@pytest.mark.parametrize("name", STATES)
def test_every_finding(name):
    state = USUAL | STATES[name]
    agree(judged("intake", **state | {"count": str(state["count"])}), by_hand(state))


def test_the_states_meet_what_they_are_named_for():
    found = {name: by_hand(USUAL | change) for name, change in STATES.items()}
    stalled = found["motors stalled by the piece"]
    assert stalled["surface"] == 0
    assert stalled["current"] == stalled["jam_current"] == pytest.approx(15.8 / (4.0 + 2 * 0.10))
    assert found["a servo stalled by a jam"]["jam_current"] == 3.4 > found["a servo stalled by a jam"]["current"]
    usual = found["two motors, against a wall"]
    assert usual["current"] < usual["jam_current"] < 15.8 / (1.75 + 2 * 0.10), "on a jam it slips"
    short = found["a short intake enters at any heading, the next stage is near"]
    assert short["enters"] == math.pi / 2 and short["coasts"] > 0
    blunt = found["an intake as wide as the pen, plates too blunt"]
    assert blunt["enters"] == 0 and blunt["run"] == math.inf
    assert 0 < usual["enters"] < math.pi / 2


def test_a_rolling_piece_on_a_ramp_pulls_with_both_contacts():
    """Each contact takes half the weight along the ramp."""
    state = USUAL | {"other": "rolling", "squeeze": 0.005}
    report = judged("intake", **state | {"count": "2"})
    press = 1.2e3 * 0.005
    half = 0.11 * G * math.sin(math.radians(24)) / 2
    level = by_hand(state | {"slope": 0.0})
    alike = ("nip", "jam_current", "strength", "reaches", "enters", "run", "press", "nip_angle", "deepest")
    some_agree(report, {"climbs": press * CHUTE / half, **{name: level[name] for name in alike}})


def test_a_wall_rougher_than_the_roller_keeps_the_piece_out(tmp_path):
    """Then it is pulled in at no squeeze, and climbs no ramp."""
    printed = '"ball on chute",                 value = '
    kit = altered_kit(tmp_path, parts={printed + "0.22": printed + "0.5"})
    good = judged("intake", kit, roller="tube_25", other="wall").good
    assert good["deepest"] == 0 and good["climbs"] == 0 and good["nip"] < 1


def test_a_ball_rolls_as_the_smoother_of_both_sides_lets_it(tmp_path):
    """A wall rougher than the roller does not help a rolling ball: the tube's 0.4 counts on both sides."""
    printed = '"ball on chute",                 value = '
    kit = altered_kit(tmp_path, parts={printed + "0.22": printed + "0.5"})
    report = judged("intake", kit, **USUAL | {"count": "2", "roller": "tube_25", "other": "rolling", "squeeze": 0.003})
    radii = 0.0125 + 0.038
    half = 0.11 * G * math.sin(math.radians(24)) / 2
    some_agree(
        report,
        {
            "nip": 0.4 / rolling_needed(math.acos(1 - 0.003 / radii)),
            "climbs": 25e3 * 0.003 * 0.4 / half,
            "deepest": radii * (1 - math.cos(2 * math.atan(0.4))),
        },
    )


def test_on_a_level_ramp_a_second_roller_is_held_back_by_nothing():
    good = judged("intake", other="roller", slope=0.0).good
    assert good["climbs"] == math.inf and good["ratio"] == good["surface"] / 0.9


def test_a_controller_that_limits_the_current_stands_on_a_jam(tmp_path):
    """The kit by hand has no roller so hard that a motor would reach 18 A: here the controller lets 1.1 A through."""
    kit = altered_kit(tmp_path, parts={'output_limit = "18 A"': 'output_limit = "1.1 A"'})
    state = USUAL | {"squeeze": 0.0118, "count": 1, "drive": "brisk_turn_5"}
    report, found = judged("intake", kit, **state | {"count": "1"}), by_hand(state, limit=1.1)
    agree(report, found)
    assert found["jam_current"] == 1.1 and found["current"] < 1.1 and found["surface"] > 0
    assert report.bounds["jam_current"] == 1.1
    stands = judged(
        "intake", kit, **state | {"count": "1", "piece_mass": 1.0, "slope": "70 deg", "roller": "sponge_70"}
    ).good
    assert stands["current"] == 1.1 and stands["surface"] == 0.0 and stands["period"] == math.inf


def test_many_at_once():
    """Sliding, rolling and between two rollers; servos and motors side by side."""
    state = USUAL | {"slope": math.radians(31)}
    values = {name: value for name, value in state.items() if name not in ("other", "roller", "drive", "count")}
    vary = {
        "other": ["wall", "rolling", "roller"],
        "roller": ["sponge_50", "tube_25"],
        "drive": ["turner", "feather_turn_5", "stout_turn_14"],
        "count": ["1", "3"],
    }
    rows_agree("intake", values, vary, lambda choice: by_hand(state | choice | {"count": int(choice["count"])}))


def test_bounds():
    bounds_agree(
        judged("intake", **USUAL | {"count": "2"}),
        {
            "ratio": at_least(1.5),
            "nip": at_least(1.0),
            "climbs": at_least(1.0),
            "period": at_most(0.25),
            "jam_current": at_most(OUTPUT_LIMIT),
            "strength": at_most(1.0),
            "jam": held_at(1.0),
            "reaches": at_least(0.0, whole=0.050),
            "enters": at_least(math.radians(8)),
            "run": at_most(0.2),
            "hands_on": at_least(1.0),
            "coasts": at_least(0.0, whole=0.050),
        },
    )


def test_servos_are_held_to_the_limit_of_their_rail():
    report = judged("intake", drive="turner")
    assert report.bounds["jam_current"] == 6.5

"""Every finding of the gripper sizing by hand: friction of two pads, virtual work of the jaws, a servo's straight line.

Sources: Newton's second law and Coulomb friction, OpenStax University Physics, volume 1, chapters 5 and 6 (from
memory); a pad in the cone of friction, a line of contact and a turning box recomputed here from first principles; twist
and slide together on an ellipse, as Howe & Cutkosky (1996) take it (from memory). No function of mechbench is used.
"""

import math

import pytest

from tests.mechanisms.by_hand_handling import (
    EXACT,
    KIT,
    G,
    agree,
    altered_kit,
    at_least,
    at_most,
    bounds_agree,
    judged,
    rows_agree,
)

# tests/whole_robot/by_hand_kit/parts.toml: servos as stall torque N·m, stall current A, free speed rad/s, travel rad.
SIXTY = math.radians(60)
SERVOS = {
    "heavy": (2.9, 3.9, SIXTY / 0.21, math.radians(240)),
    "nimble": (0.70, 2.4, SIXTY / 0.09, math.radians(240)),
    "tiny": (0.18, 0.6, SIXTY / 0.10, math.radians(160)),
    "turner": (1.1, 3.4, 110 * 2 * math.pi / 60, math.inf),  # turns without end
}
HOLDING_SHARE, RAIL_LIMIT, PAIR_LIMIT = 0.35, 7.0, 6.5
GEARS = 0.94  # one pair of spur gears
FRICTION = {"jaw_on_piece": 0.7, "piece_on_sponge": 0.9, "piece_on_tube": 0.4, "piece_on_plastic": 0.22}


def squeeze_that_holds(v, friction):
    """The squeeze of each jaw: weight, acceleration and twist of the piece, carried by the friction of two pads."""
    force = v["piece_mass"] * math.sqrt((G + v["upward"]) ** 2 + v["level"] ** 2)
    # On a line of contact of length l friction acts at l/4 from the middle on average. Sliding and twisting share on
    # an ellipse: (F / 2 mu N)^2 + (F e / (2 mu N l / 4))^2 = 1.
    alone = force / (2 * friction)
    twisting = force * v["offset"] / (2 * friction * v["pad_length"] / 4)
    return v["safety"] * math.sqrt(alone**2 + twisting**2)


def left_to_carry(friction, tilt):
    """Friction that carries, over the squeeze S: a pad's normal force is S cos t; S sin t of friction keeps it in."""
    left = (friction * math.cos(tilt)) ** 2 - math.sin(tilt) ** 2
    return math.sqrt(left)


def furthest_ahead(front, half):
    """Of a box that turns from level to straight up: its lower front corner swings through level, furthest ahead."""
    corners = [(0.0, half), (0.0, -half), (front, half), (front, -half)]
    turns = [math.pi / 2 * i / 20000 for i in range(20001)]
    scanned = max(x * math.cos(t) - z * math.sin(t) for x, z in corners for t in turns)
    exact = math.sqrt(front**2 + half**2)
    assert scanned == pytest.approx(exact, rel=1e-8), "no other corner comes further"
    return exact


def by_hand(v):
    """All findings of one state."""
    stall, stall_amps, free_speed, travel = SERVOS[v["servo"]]
    pivot, own = v["jaws"] == "pivot", v["drive"] == "own"
    tilt = v["grip_angle"] - v["square_angle"] if pivot else 0.0
    friction = left_to_carry(FRICTION[v["pad"]], tilt)
    needed = squeeze_that_holds(v, friction)
    # Gears: one pair between the jaws where they share a servo, one more pair where the servo is geared.
    gears = (1.0 if own else GEARS) * (1.0 if v["ratio"] == 1 else GEARS)
    jaw_torque = stall * v["ratio"] * gears / (1 if own else 2)
    # Virtual work of one jaw: it turns by da, its pad moves in by l cos(a) da.
    at_stall = jaw_torque / (v["lever"] * math.cos(v["grip_angle"]))
    share = v["squeeze"] / at_stall
    servos = v["count"] * (2 if own else 1)
    # Each pad moves out by l (sin(open) - sin(now)); at most to a quarter turn.
    reach = 2 * v["lever"] * (1 - math.sin(v["grip_angle"]))
    sine = math.sin(v["grip_angle"]) + min(v["room"], reach) / 2 / v["lever"]
    turn = v["ratio"] * (math.asin(min(sine, 1.0)) - v["grip_angle"])
    mass = v["gripper_mass"] + v["count"] * v["piece_mass"]
    return {
        "holds": v["squeeze"] / needed,
        "squeeze_set": v["squeeze"],
        "share": share,
        "time": turn / free_speed,
        "opens": reach,
        "turn": math.inf if travel == math.inf else turn / travel,
        "rail": servos * stall_amps * min(share, 1.0) + v["other_current"],
        "wrist_share": mass * (G + v["upward"]) * v["reach"] / SERVOS[v["wrist"]][0],
        "wrist_torque": mass * (G + v["upward"]) * v["reach"],
        "fold_front": furthest_ahead(v["front"], v["height"] / 2),
        # Each of the two open jaws that face one another stands half the asked room beyond its piece.
        # Two jaws face one another, each 15 mm thick.
        "between": v["spacing"] - v["piece_width"] - v["room"] - 2 * 0.015 if v["count"] >= 2 else math.inf,
        "needed": needed,
        "tilt": tilt,
        "stall_squeeze": at_stall,
        "pair": min(servos, 2) * stall_amps * min(share, 1.0),
        "rail_stuck": servos * stall_amps + v["other_current"],
        "roll": v["piece_mass"] * (G + v["upward"]) * v["spacing"] / 2 if v["count"] >= 2 else 0.0,
    }


USUAL = dict(
    piece_mass=0.23,
    piece_width=0.071,
    upward=2.2,
    level=3.7,
    time_wanted=0.6,
    room=0.031,
    squeeze_allowed=33.0,
    other_current=0.8,
    clear_ahead=0.21,
    servo="heavy",
    drive="shared",
    jaws="parallel",
    squeeze=9.5,
    lever=0.068,
    grip_angle=math.radians(14),
    square_angle=math.radians(6),
    ratio=1.0,
    safety=1.8,
    pad="jaw_on_piece",
    pad_length=0.034,
    offset=0.011,
    count=2,
    spacing=0.118,
    wrist="nimble",
    gripper_mass=0.31,
    reach=0.077,
    front=0.165,
    height=0.092,
)
STATES = {
    "two pieces, jaws geared together": {},
    "two pieces, a servo for each jaw, geared, pads that tilt": {
        "drive": "own",
        "jaws": "pivot",
        "servo": "tiny",
        "ratio": 2.4,
        "squeeze": 4.2,
        "pad": "piece_on_sponge",
        "wrist": "heavy",
    },
    "one piece, shared and geared faster": {
        "count": 1,
        "ratio": 0.7,
        "pad": "piece_on_tube",
        "upward": 0.0,
        "wrist": "turner",
    },
    "pads that tilt inwards, held at its centre": {
        "jaws": "pivot",
        "grip_angle": math.radians(-9),
        "square_angle": math.radians(5),
        "offset": 0.0,
        "count": 4,
    },
    "asked to open further than it can": {"room": 0.15, "lever": 0.041},
    "a servo without end, stuck": {"servo": "turner", "squeeze": 60.0, "lever": 0.19, "count": 1, "level": 0.0},
}


@pytest.mark.parametrize("name", STATES)
def test_every_finding(name):
    state = USUAL | STATES[name]
    agree(judged("gripper", **state | {"count": str(state["count"])}), by_hand(state))


def test_the_states_meet_what_they_are_named_for():
    found = {name: by_hand(USUAL | change) for name, change in STATES.items()}
    stuck = found["a servo without end, stuck"]
    assert stuck["share"] > 1 and stuck["rail"] == stuck["rail_stuck"] == 3.4 + 0.8
    far = found["asked to open further than it can"]
    assert far["opens"] < 0.15 and far["time"] == pytest.approx((math.pi / 2 - math.radians(14)) * 0.21 / SIXTY)


def test_pads_that_tilt_too_far_push_the_piece_out():
    """Beyond the angle of friction, atan 0.7 = 35 degrees, no squeeze holds."""
    beyond, within = (
        judged("gripper", jaws="pivot", grip_angle=f"{angle} deg", pad="jaw_on_piece").good for angle in (35.1, 34.9)
    )
    assert math.degrees(math.atan(0.7)) == pytest.approx(35, abs=0.01)
    assert beyond["needed"] == math.inf and beyond["holds"] == 0.0
    assert within["needed"] < math.inf and within["tilt"] == pytest.approx(math.radians(34.9), rel=EXACT)


def test_many_at_once():
    values = {name: value for name, value in USUAL.items() if name not in ("drive", "jaws", "count", "ratio", "servo")}
    vary = {
        "drive": ["shared", "own"],
        "jaws": ["parallel", "pivot"],
        "count": ["1", "3"],
        "ratio": [1.0, 1.6],
        "servo": ["heavy", "turner"],
    }
    rows_agree("gripper", values, vary, lambda choice: by_hand(USUAL | choice | {"count": int(choice["count"])}))


def test_the_worst_gears_of_the_kit_count(tmp_path):
    """Which gears drive the jaws is not asked: the lossiest of the kit are taken."""
    printed = 'nylon  = { label = "nylon gear",'
    kit = altered_kit(tmp_path, parts={printed: printed + " efficiency = 0.9,"})
    usual, worse = (judged("gripper", one, drive="shared", ratio=1.0).good["stall_squeeze"] for one in (KIT, kit))
    assert worse / usual == pytest.approx(0.9 / GEARS, rel=EXACT)


def test_only_what_touches_the_piece_is_a_pad():
    for name in ("piece_on_floor", "piece_on_piece", "slide_rail"):
        with pytest.raises(ValueError, match="pad is"):
            judged("gripper", pad=name)


def test_bounds():
    state = USUAL | {"count": "3"}
    bounds_agree(
        judged("gripper", **state),
        {
            "holds": at_least(1.0),
            "squeeze_set": at_most(33.0),
            "share": at_most(HOLDING_SHARE),
            "time": at_most(0.6),
            "opens": at_least(0.031),
            "turn": at_most(1.0),
            "rail": at_most(RAIL_LIMIT),
            "pair": at_most(PAIR_LIMIT),
            "wrist_share": at_most(HOLDING_SHARE),
            "fold_front": at_most(0.21),
            "between": at_least(0.0, whole=0.020),
        },
    )


def test_each_servo_is_held_to_a_share_of_its_own(tmp_path):
    """The wrist's servo may have another holding share than the jaws'."""
    kit = altered_kit(tmp_path, parts={'"240 deg", mass = "48 g"': '"240 deg", holding_share = 0.22, mass = "48 g"'})
    bounds = judged("gripper", kit, servo="heavy", wrist="nimble").bounds
    assert bounds["share"] == HOLDING_SHARE and bounds["wrist_share"] == 0.22


def test_a_servo_that_holds_a_piece_away_from_its_shaft():
    """300 g and nothing else, 150 mm out, at rest: 0.3 kg times 9.80665 m/s2 times 0.15 m = 0.441 N·m."""
    held = {"piece_mass": "300 g", "gripper_mass": "0 g", "reach": "150 mm", "upward": "0 m/s2"}
    for name, (stall, *_) in SERVOS.items():
        found = judged("gripper", **held, wrist=name).good
        assert found["wrist_torque"] == pytest.approx(0.44129925, rel=1e-9)
        assert found["wrist_share"] == pytest.approx(0.44129925 / stall, rel=1e-9)

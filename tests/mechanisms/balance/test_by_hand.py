"""Every finding of the balance sizing by hand: moments about the wheels of two lumps, in plain sums.

Source: D'Alembert's principle and the centre of gravity of lumps, OpenStax University Physics, volume 1, chapters 9
and 12 (from memory). Places in m ahead of the middle between the wheels.
"""

import math

import pytest

from tests.mechanisms.by_hand_handling import G, agree, at_least, at_most, bounds_agree, judged, rows_agree

# The kit by hand: friction ahead of the sticky, side-roller and slant wheel; the game's mass limit.
STICKY, SIDE, SLANT, MASS_LIMIT = 1.1, 0.85, 0.7, 16.0


def by_hand(mass, x, z, raised, raised_x, raised_z, wheelbase, track, friction, speed):
    """All findings of a robot whose centre of gravity is between the wheels."""
    total = mass + raised
    ahead = (mass * x + raised * raised_x) / total
    high = (mass * z + raised * raised_z) / total
    # On the point of tipping all the floor's push is at one pair: total g room = total a height.
    room_front, room_rear, room_side = wheelbase / 2 - ahead, wheelbase / 2 + ahead, track / 2
    braking, grip = G * room_front / high, friction * G
    # The rear pair is the origin of these moments: front load times wheelbase = weight times distance.
    on_front = total * G * room_rear / wheelbase
    return {
        "braking": braking,
        "grip": grip,
        "tilt": min(math.atan(room / high) for room in (room_front, room_rear, room_side)),
        "total": total,
        "speeding_up": G * room_rear / high,
        "sideways": G * room_side / high,
        "way": speed**2 / (2 * min(braking, grip)),
        "centre_height": high,
        "centre_forward": ahead,
        "front": on_front / (total * G),
        "one_front": on_front / 2,
    }


STATES = {
    # Low and long: the wheels slide before it tips, and it falls over sideways first.
    "slides": dict(
        mass=8.3,
        x=0.012,
        z=0.095,
        raised=1.4,
        raised_x=0.06,
        raised_z=0.41,
        wheelbase=0.38,
        track=0.21,
        wheels="slant_96",
    ),
    # Raised far ahead: it tips over its front before it slides.
    "tips ahead": dict(
        mass=9.1,
        x=-0.02,
        z=0.13,
        raised=3.2,
        raised_x=0.21,
        raised_z=0.82,
        wheelbase=0.31,
        track=0.36,
        wheels="sticky_84",
    ),
    # Almost over: less than 1 m/s2 of braking tips it.
    "nearly falls": dict(
        mass=6.0, x=0.03, z=0.1, raised=4.1, raised_x=0.31, raised_z=0.77, wheelbase=0.34, track=0.33, wheels="side_84"
    ),
    # Raised behind: the rear is the nearest edge.
    "tips back": dict(
        mass=7.2,
        x=0.01,
        z=0.12,
        raised=2.1,
        raised_x=-0.26,
        raised_z=0.66,
        wheelbase=0.29,
        track=0.34,
        wheels="side_84",
    ),
}
FRICTION = {"sticky_84": STICKY, "side_84": SIDE, "slant_96": SLANT}


def typed(state, speed):
    """The state as inputs of the sizing."""
    names = dict(
        mass="mass",
        x="forward",
        z="height",
        raised="raised_mass",
        raised_x="raised_forward",
        raised_z="raised_height",
        wheelbase="wheelbase",
        track="track",
        wheels="wheels",
    )
    return {names[key]: value for key, value in state.items()} | {"speed": speed}


@pytest.mark.parametrize("name", STATES)
def test_every_finding(name):
    state = dict(STATES[name])
    report = judged("balance", **typed(state, 1.7))
    found = by_hand(friction=FRICTION[state.pop("wheels")], speed=1.7, **state)
    agree(report, found)
    edges = {"slides": "sideways", "tips ahead": "braking", "nearly falls": "braking", "tips back": "speeding_up"}
    nearest = min(("sideways", "braking", "speeding_up"), key=found.get)
    assert nearest == edges[name], "what limits them differs"
    assert (found["grip"] < found["braking"]) == (name == "slides")
    assert (found["braking"] < 1) == (name == "nearly falls")


def test_many_at_once():
    state = dict(STATES["tips ahead"])
    values = typed(state, 1.1)
    del state["wheels"], state["mass"], state["raised_z"], values["wheels"], values["mass"], values["raised_height"]
    vary = {"wheels": list(FRICTION), "mass": [6.0, 11.0], "raised_height": [0.3, 0.9]}
    rows_agree(
        "balance",
        values,
        vary,
        lambda choice: by_hand(
            mass=choice["mass"],
            raised_z=choice["raised_height"],
            friction=FRICTION[choice["wheels"]],
            speed=1.1,
            **state,
        ),
    )


def test_a_centre_ahead_of_the_front_wheels_falls_over():
    """Beyond the front axle no braking is needed: it lies on its front pair, and never stops on its wheels."""
    report = judged(
        "balance",
        mass=2.0,
        forward=0.05,
        height=0.1,
        raised_mass=5.0,
        raised_forward=0.3,
        raised_height=0.7,
        wheelbase=0.24,
        track=0.3,
        wheels="side_84",
        speed=0.9,
    )
    ahead, high = (2.0 * 0.05 + 5.0 * 0.3) / 7.0, (2.0 * 0.1 + 5.0 * 0.7) / 7.0
    room = 0.12 - ahead
    assert room < 0
    agree(
        report,
        {
            "braking": G * room / high,
            "grip": SIDE * G,
            "tilt": math.atan(room / high),
            "total": 7.0,
            "speeding_up": G * (0.12 + ahead) / high,
            "sideways": G * 0.15 / high,
            "way": math.inf,
            "centre_height": high,
            "centre_forward": ahead,
            "front": 1.0,
            "one_front": 7.0 * G / 2,
        },
    )


def test_a_centre_behind_the_rear_wheels_leaves_nothing_on_the_front():
    report = judged(
        "balance",
        mass=2.0,
        forward=-0.05,
        height=0.1,
        raised_mass=5.0,
        raised_forward=-0.3,
        raised_height=0.7,
        wheelbase=0.24,
        track=0.3,
    )
    assert report.good["front"] == 0.0 and report.good["one_front"] == 0.0
    assert report.good["speeding_up"] == pytest.approx(G * (0.12 - 1.6 / 7.0) / (3.7 / 7.0), rel=1e-9)


def test_bounds():
    report = judged("balance", braking_wanted=3.7, ramp_wanted="11 deg", wheels="side_84")
    bounds_agree(
        report,
        {
            "braking": at_least(3.7),
            "grip": at_least(3.7),
            "tilt": at_least(math.radians(11)),
            "total": at_most(MASS_LIMIT),
        },
    )

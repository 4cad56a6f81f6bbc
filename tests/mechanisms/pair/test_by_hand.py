"""A pair of gears, of pulleys with a belt, or of sprockets with a chain by hand, with wheels of the kit by hand."""

import math

import pytest
from scipy.optimize import brentq

from mechbench.catalog import judge
from mechbench.mechanisms.pair.sizing import pairs
from tests.mechanisms.by_hand_swing import (
    BELT,
    CHAIN,
    GEAR,
    KIT,
    LINK_LOAD,
    LINK_OF_20,
    LINK_PITCH,
    WIDE_LOAD,
    WIDE_OF_20,
    WIDE_PITCH,
    agrees,
    at_most,
    judged,
    pulley,
    sprocket,
    wheels,
)

# tests/whole_robot/by_hand_kit/parts.toml: [spur_gears] module; [spur_gears.bronze] allowed_on_20, mass_of_20
MODULE, BRONZE_ON_20, BRONZE_OF_20 = 0.001, 2.9, 0.027
FINE = {"xtol": 1e-15, "rtol": 1e-14}  # of roots


def belt_length(small, large, centre):
    """Two straight parts and two arcs; the straight parts lean by the angle whose sine is (R - r) / C."""
    lean = math.asin((large - small) / 2 / centre)
    return 2 * centre * math.cos(lean) + large / 2 * (math.pi + 2 * lean) + small / 2 * (math.pi - 2 * lean)


def wrapped(teeth, small, large, centre):
    """Teeth of the small wheel that the belt or chain touches: half a turn less the lean on each side."""
    return teeth * (math.pi - 2 * math.asin((large - small) / 2 / centre)) / (2 * math.pi)


def belt_centre(few, many, teeth):
    """Centre distance at which a belt of so many teeth is straight."""
    small, large = pulley(few), pulley(many)
    return brentq(lambda c: belt_length(small, large, c) - teeth * WIDE_PITCH, (small + large) / 2, 1.0, **FINE)


def chain_links(first, second, centre):
    """ANSI/ISO: X = 2 C/p + (z1 + z2)/2 + ((z2 - z1)/(2 pi))^2 p/C.

    Bhandari, Design of Machine Elements, Example 14.3 (from memory).
    """
    wider = (second - first) / (2 * math.pi)
    return 2 * centre / LINK_PITCH + (first + second) / 2 + wider**2 * LINK_PITCH / centre


def chain_centre(first, second, links):
    """Centre distance at which the formula gives so many links."""
    touching = (sprocket(first) + sprocket(second)) / 2
    return brentq(lambda c: chain_links(first, second, c) - links, touching, 1.0, **FINE)


def test_gears_have_one_exact_distance():
    """25 and 70 teeth of 1 mm: their pitch circles touch at 47.5 mm. Every gear bears the same force on a tooth."""
    report = judge(
        "pair",
        {
            "ratio_wanted": 3.0,
            "off_allowed": "8 %",
            "distance": "50 mm",
            "moved_allowed": "4 mm",
            "load_torque": "2 N·m",
            "last_stage": "bronze_25_to_70",
        },
        KIT,
    )
    strength = 2.0 / (BRONZE_ON_20 * 70 / 20)
    agrees(
        report,
        {
            "off": 0.2 / 3,
            "moved": 0.0025,
            "strength": strength,
            "torque_out": 0.0,
            "torque_in": 2.0 / 2.8 / GEAR,
            "ratio": 2.8,
            "centre": (25 + 70) * MODULE / 2,
            "loop": 0.0,
            "teeth": 0,
            "in_mesh": 1.0,
            "mass": wheels(BRONZE_OF_20, 25, 70),
        },
    )
    margins = {"off": at_most(0.2 / 3, 0.08), "moved": 1.5 / 4, "strength": at_most(strength, 1.0)}
    judged(report, {"off": 0.08, "moved": 0.004, "strength": 1.0}, margins)


def test_gears_that_speed_up():
    report = judge(
        "pair",
        {
            "ratio_wanted": 0.32,
            "distance": "40 mm",
            "load_torque": "0.3 N·m",
            "last_stage": "bronze_70_to_25",
        },
        KIT,
    )
    agrees(
        report,
        {
            "off": 25 / 70 / 0.32 - 1,
            "moved": 0.0075,
            "strength": 0.3 / (BRONZE_ON_20 * 25 / 20),
            "torque_out": 0.0,
            "torque_in": 0.3 / (25 / 70) / GEAR,
            "ratio": 25 / 70,
            "centre": 0.0475,
            "loop": 0.0,
            "teeth": 0,
            "in_mesh": 1.0,
            "mass": wheels(BRONZE_OF_20, 25, 70),
        },
    )


def test_torque_that_comes_out_of_gears():
    """0.9 N·m on 25 teeth: 2.8 times that on 70, less the losses of one mesh; more than the load asks, so it counts."""
    values = {"load_torque": "2 N·m", "first_torque": "0.9 N·m", "last_stage": "bronze_25_to_70"}
    found, out = judge("pair", values, KIT).good, 0.9 * 2.8 * GEAR
    assert 2.0 < out == pytest.approx(found["torque_out"], rel=1e-12)
    assert found["strength"] == pytest.approx(out / (BRONZE_ON_20 * 70 / 20), rel=1e-12)
    values["load_torque"] = "3 N·m"
    assert judge("pair", values, KIT).good["strength"] == pytest.approx(3.0 / (BRONZE_ON_20 * 70 / 20), rel=1e-12)


def test_who_gives_the_wheels_alone_asks_for_no_other_ratio():
    """Of gears for no other distance either; a wish that is given stays."""
    asked = lambda **values: judge("pair", values, KIT).values
    gears = asked(last_stage="bronze_25_to_70")
    assert (gears["ratio_wanted"], gears["distance"]) == pytest.approx((70 / 25, (25 + 70) * MODULE / 2))
    belt = asked(last_stage="wide_18_to_40")
    assert (belt["ratio_wanted"], belt["distance"]) == pytest.approx((40 / 18, 0.1))
    told = asked(last_stage="bronze_25_to_70", ratio_wanted=3.0, distance="60 mm")
    assert (told["ratio_wanted"], told["distance"]) == pytest.approx((3.0, 0.06))
    assert asked(ratio_wanted=3.0)["distance"] == pytest.approx(0.1)


@pytest.mark.parametrize("first, second", [(18, 40), (40, 18)])
def test_a_belt_of_whole_teeth(first, second):
    """Wished 140 mm; the belt of whole teeth that comes nearest in length, and the distance at which it is straight."""
    report = judge(
        "pair",
        {
            "ratio_wanted": 2.0,
            "off_allowed": "25 %",
            "distance": "140 mm",
            "moved_allowed": "3 mm",
            "load_torque": "1.4 N·m",
            "last_stage": f"wide_{first}_to_{second}",
        },
        KIT,
    )
    teeth = round(belt_length(pulley(18), pulley(40), 0.140) / WIDE_PITCH)
    centre = belt_centre(18, 40, teeth)
    off, strength = abs(second / first - 2.0) / 2.0, 1.4 / (WIDE_LOAD * pulley(second) / 2)
    moved = abs(centre - 0.140)
    assert 0.001 < moved < 0.0025 and teeth == 85  # 2 x 140 / 5 + (18 + 40) / 2, and a little for the lean
    agrees(
        report,
        {
            "off": off,
            "moved": moved,
            "strength": strength,
            "ratio": second / first,
            "centre": centre,
            "torque_out": 0.0,
            "torque_in": 1.4 * first / second / BELT,
            "loop": 85 * WIDE_PITCH,
            "teeth": 85,
            "in_mesh": wrapped(18, pulley(18), pulley(40), centre),
            "mass": wheels(WIDE_OF_20, 18, 40),
        },
    )
    margins = {"off": at_most(off, 0.25), "moved": at_most(moved, 0.003), "strength": at_most(strength, 1.0)}
    judged(report, {"off": 0.25, "moved": 0.003, "strength": 1.0}, margins)


@pytest.mark.parametrize("first, second", [(11, 30), (30, 11)])
def test_a_chain_of_an_even_number_of_links(first, second):
    """Wished 434 mm. 500 N on 30 teeth, passed on to 11 without losses, are a bit less than 500 N on their circle."""
    report = judge(
        "pair",
        {
            "ratio_wanted": 2.5,
            "off_allowed": "20 %",
            "distance": "434 mm",
            "moved_allowed": "9 mm",
            "load_torque": "3 N·m",
            "last_stage": f"link_{first}_to_{second}",
        },
        KIT,
    )
    wished = chain_links(11, 30, 0.434)
    links = 2 * round(wished / 2)
    assert links == 130 and round(wished) == 129, "the nearest whole number is odd, and not taken"
    centre = chain_centre(11, 30, links)
    allowed = LINK_LOAD * (sprocket(30) / 2 if second == 30 else sprocket(30) / 2 * 11 / 30)
    off, strength, moved = abs(second / first - 2.5) / 2.5, 3.0 / allowed, abs(centre - 0.434)
    assert allowed <= LINK_LOAD * sprocket(second) / 2 and 0.0001 < moved < 0.008
    agrees(
        report,
        {
            "off": off,
            "moved": moved,
            "strength": strength,
            "ratio": second / first,
            "centre": centre,
            "torque_out": 0.0,
            "torque_in": 3.0 * first / second / CHAIN,
            "loop": links * LINK_PITCH,
            "teeth": links,
            "in_mesh": wrapped(11, sprocket(11), sprocket(30), centre),
            "mass": wheels(LINK_OF_20, 11, 30),
        },
    )
    margins = {"off": at_most(off, 0.20), "moved": at_most(moved, 0.009), "strength": at_most(strength, 1.0)}
    judged(report, {"off": 0.20, "moved": 0.009, "strength": 1.0}, margins)


def test_a_wish_that_is_too_near_gets_the_shortest_belt_that_goes_round():
    """10 mm, but pulleys of 25 and 40 teeth touch at 51.7 mm: the first whole number of teeth that is long enough."""
    report = judge(
        "pair",
        {
            "ratio_wanted": 2.5,
            "distance": "10 mm",
            "last_stage": "wide_25_to_40",
            "load_torque": "0.6 N·m",
        },
        KIT,
    )
    touching = (pulley(25) + pulley(40)) / 2
    teeth = math.ceil(belt_length(pulley(25), pulley(40), touching) / WIDE_PITCH)
    centre = belt_centre(25, 40, teeth)
    assert centre > 1.005 * touching
    agrees(
        report,
        {
            "off": 0.9 / 2.5,
            "moved": centre - 0.010,
            "strength": 0.6 / (WIDE_LOAD * pulley(40) / 2),
            "ratio": 1.6,
            "centre": centre,
            "torque_out": 0.0,
            "torque_in": 0.6 * 25 / 40 / BELT,
            "loop": teeth * WIDE_PITCH,
            "teeth": teeth,
            "in_mesh": wrapped(25, pulley(25), pulley(40), centre),
            "mass": wheels(WIDE_OF_20, 25, 40),
        },
    )


def test_a_wish_that_is_too_near_gets_the_shortest_chain_that_goes_round():
    """10 mm, but sprockets of 13 and 22 teeth touch at 44.8 mm: the first even number of links that is long enough."""
    report = judge(
        "pair",
        {
            "ratio_wanted": 2.5,
            "distance": "10 mm",
            "last_stage": "link_13_to_22",
            "load_torque": "0.6 N·m",
        },
        KIT,
    )
    touching = (sprocket(13) + sprocket(22)) / 2
    links = 2 * math.ceil(chain_links(13, 22, touching) / 2)
    centre = chain_centre(13, 22, links)
    assert centre > 1.005 * touching
    agrees(
        report,
        {
            "off": 1 - 22 / 13 / 2.5,
            "moved": centre - 0.010,
            "strength": 0.6 / (LINK_LOAD * sprocket(22) / 2),
            "ratio": 22 / 13,
            "centre": centre,
            "torque_out": 0.0,
            "torque_in": 0.6 * 13 / 22 / CHAIN,
            "loop": links * LINK_PITCH,
            "teeth": links,
            "in_mesh": wrapped(13, sprocket(13), sprocket(22), centre),
            "mass": wheels(LINK_OF_20, 13, 22),
        },
    )


def test_the_usual_pair_is_a_belt_by_what_it_is_not_by_its_name():
    """The kit by hand calls its pulleys wide; of them the pair nearest to 2.5 to 1."""
    names, kinds, ratios = (pairs(KIT).names, pairs(KIT).columns["kind"], pairs(KIT).columns["ratio"])
    assert not any(name.startswith("belt") for name in names)
    usual = names.index(pairs(KIT).usual)
    assert names[usual].startswith("wide") and kinds[usual] == 2.0, "2: belt"
    assert abs(ratios[usual] - 2.5) == min(abs(r - 2.5) for name, r in zip(names, ratios) if name.startswith("wide"))
    assert judge("pair", {}, KIT).good["teeth"] > 0


@pytest.mark.parametrize("wanted", [0.11, 75.0, 180.0])
def test_a_ratio_that_no_pair_has_is_a_wish_like_any_other(wanted):
    """Nothing in the sums ends there: it is how far off the pair is."""
    good = judge("pair", {"ratio_wanted": wanted}, KIT).good
    assert good["off"] == pytest.approx(abs(good["ratio"] / wanted - 1), rel=1e-12)

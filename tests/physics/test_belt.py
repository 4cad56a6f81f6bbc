"""Belts and chains: published lengths and distances, then the laws."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mechbench.physics import belt
from tests.published import COMPANION, check

BHANDARI = "Bhandari, Design of Machine Elements, Example "
STORED = "program output stored beside the example's data; the book's title is inferred, not named there"


def test_open_belt_of_wentzell():
    source = "T. H. Wentzell, Machine Design, Example 14.2 p. 310"
    distance = belt.belt_centre_distance(4.0, 6.0, 54.0)
    check(
        "belt",
        "54 in belt on 4 and 6 in: centre distance (in)",
        distance,
        19.12,
        0.001,
        source,
        COMPANION + "; it uses the short formula with 1.57 for pi/2",
    )
    check(
        "belt",
        "wrap on the small pulley (deg)",
        np.degrees(belt.wrap_angle(4.0, 6.0, distance)),
        174.01,
        0.001,
        source,
        COMPANION,
    )


def test_chain_of_bhandari():
    source = BHANDARI + "14.3"
    exact = belt.chain_links(0.0127, 21, 63, 0.500)
    check("belt", "links for 21/63 teeth, 12.7 mm, 500 mm", exact, 121.875097, 1e-8, source, STORED)
    chain = belt.nearest_chain(0.0127, 21, 63, 0.500)
    check("belt", "even number of links", chain.links, 122, 1e-8, source, STORED)
    check("belt", "corrected centre distance (m)", chain.centre_distance, 0.500804717, 1e-8, source, STORED)


def test_sprockets_of_bhandari():
    for teeth, diameter in [(17, 0.103673741), (34, 0.206462975)]:
        check(
            "belt",
            f"sprocket of {teeth} teeth, 19.05 mm pitch: pitch diameter (m)",
            belt.sprocket_diameter(0.01905, teeth),
            diameter,
            1e-8,
            BHANDARI + "14.4",
            STORED,
        )


def test_chain_strength_of_the_standard():
    source = "ANSI/ASME B29.1, table of dimensions, minimum ultimate tensile strength"
    known = "read in an open page that reproduces the table"
    for number, inches, pounds in [(25, 0.250, 780), (35, 0.375, 1760)]:
        pitch, strength = belt.STANDARD_CHAINS[number]
        check("belt", f"chain no. {number}: pitch (m)", pitch, inches * 0.0254, 1e-9, source, known)
        check("belt", f"chain no. {number}: strength (N)", strength, pounds * 4.4482216, 1e-5, source, known)


def test_belt_force_of_wentzell():
    radius_torque = belt.belt_torque(1.0, np.pi * 6.0 / 40, 40)
    check(
        "belt",
        "2 hp at 2450 rpm on a 6 in pulley: torque for 17.14 lbf (in lbf)",
        17.14 * radius_torque,
        51.43,
        0.001,
        "T. H. Wentzell, Machine Design, Example 14.1 p. 306",
        COMPANION,
    )


SIZE = st.floats(0.01, 0.2)
TEETH = st.integers(10, 60)


@given(SIZE, SIZE, st.floats(1.0, 20.0))
def test_belt_length_and_back(first, second, spacing):
    distance = (first + second) / 2 * spacing
    length = belt.belt_length(first, second, distance)
    assert length == pytest.approx(belt.belt_length(second, first, distance))
    assert belt.belt_centre_distance(first, second, length) == pytest.approx(distance, rel=1e-9)
    # Wrapped arcs and two straight sides, written as a walk round the belt.
    straight = np.sqrt(distance**2 - ((first - second) / 2) ** 2)
    around = (belt.wrap_angle(first, second, distance) * first + belt.wrap_angle(second, first, distance) * second) / 2
    assert length == pytest.approx(2 * straight + around)
    assert belt.wrap_angle(first, second, distance) + belt.wrap_angle(second, first, distance) == pytest.approx(
        2 * np.pi
    )


@given(SIZE, st.floats(1.0, 20.0))
def test_equal_pulleys(diameter, spacing):
    distance = diameter * spacing
    assert belt.belt_length(diameter, diameter, distance) == pytest.approx(np.pi * diameter + 2 * distance)
    assert belt.wrap_angle(diameter, diameter, distance) == pytest.approx(np.pi)


@given(TEETH, TEETH, st.floats(1.05, 8.0))
def test_nearest_belt_is_nearest(first, second, spacing):
    pitch = 0.003
    wanted = spacing * pitch * (first + second) / (2 * np.pi)
    found = belt.nearest_belt(pitch, first, second, wanted)
    assert found.length == pytest.approx(found.pitches * pitch)
    big, small = (belt.pulley_diameter(pitch, t) for t in (first, second))
    assert belt.belt_length(big, small, found.centre_distance) == pytest.approx(found.length)
    assert found.centre_distance >= (big + small) / 2 * (1 - 1e-9)
    assert abs(found.length - belt.belt_length(big, small, wanted)) <= pitch * 1.0001
    assert found.teeth_in_mesh == pytest.approx(
        min(first, second) * belt.wrap_angle(min(big, small), max(big, small), found.centre_distance) / (2 * np.pi)
    )


@given(TEETH, TEETH, st.floats(1.1, 8.0))
def test_nearest_chain_is_even_and_nearest(first, second, spacing):
    pitch = 0.00635
    wanted = spacing * (belt.sprocket_diameter(pitch, first) + belt.sprocket_diameter(pitch, second)) / 2
    found = belt.nearest_chain(pitch, first, second, wanted)
    assert found.links % 2 == 0
    assert belt.chain_links(pitch, first, second, found.centre_distance) == pytest.approx(found.links, rel=1e-12)
    assert abs(found.links - belt.chain_links(pitch, first, second, wanted)) <= 2.0


@pytest.mark.parametrize("first, second", [(16, 16), (20, 24), (16, 48), (11, 30)])
def test_wheels_that_touch_get_the_next_longer_one(first, second):
    diameters = [belt.pulley_diameter(0.003, teeth) for teeth in (first, second)]
    found = belt.nearest_belt(0.003, first, second, sum(diameters) / 2)
    assert found.pitches == np.ceil(belt.belt_length(*diameters, sum(diameters) / 2) / 0.003)
    touching = sum(belt.sprocket_diameter(0.00635, teeth) for teeth in (first, second)) / 2
    found = belt.nearest_chain(0.00635, first, second, touching)
    assert found.centre_distance >= touching and found.links - belt.chain_links(0.00635, first, second, touching) < 2


def test_chain_formula_against_the_exact_belt():
    # The chain formula is the belt's with the sine and the root cut after their first terms: near 1:1 they meet.
    pitch = 0.00635
    for first, second, distance, rel in [(20, 24, 0.30, 1e-6), (10, 40, 0.053, 0.003), (16, 40, 0.10, 0.001)]:
        exact = belt.belt_length(belt.pulley_diameter(pitch, first), belt.pulley_diameter(pitch, second), distance)
        assert belt.chain_links(pitch, first, second, distance) == pytest.approx(exact / pitch, rel=rel)


def test_arrays_equal_scalars():
    wanted = np.array([0.06, 0.10, 0.15])
    many, chains = belt.nearest_belt(0.003, 16, 48, wanted), belt.nearest_chain(0.00635, 10, 20, wanted)
    for i, distance in enumerate(wanted):
        one = belt.nearest_belt(0.003, 16, 48, distance)
        assert many.pitches[i] == one.pitches
        assert many.centre_distance[i] == pytest.approx(one.centre_distance, rel=1e-12)
        assert chains.links[i] == belt.nearest_chain(0.00635, 10, 20, distance).links


@pytest.mark.parametrize(
    "name, call",
    [
        ("pitch", lambda: belt.pulley_diameter(0.0, 20)),
        ("teeth", lambda: belt.sprocket_diameter(0.00635, 2)),
        ("diameter", lambda: belt.wrap_angle(-1.0, 1.0, 4.0)),
        ("centre_distance", lambda: belt.wrap_angle(4.0, 6.0, 1.0)),
        ("centre_distance", lambda: belt.belt_length(4.0, 6.0, 4.9)),
        ("length", lambda: belt.belt_centre_distance(4.0, 6.0, 20.0)),
        ("driver_teeth", lambda: belt.chain_links(0.00635, 2, 20, 0.1)),
        ("driven_teeth", lambda: belt.nearest_belt(0.003, 20, 2.5, 0.1)),
        ("centre_distance", lambda: belt.nearest_belt(0.003, 48, 60, 0.04)),
        ("centre_distance", lambda: belt.nearest_chain(0.00635, 40, 40, 0.05)),
        ("tension", lambda: belt.belt_torque(0.0, 0.003, 20)),
        ("tension", lambda: belt.chain_torque(-1.0, 0.00635, 20)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but it must be .*; .*\.$"):
        call()

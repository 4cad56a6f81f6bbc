"""The search over a kit: equal to plain nested loops, in a stable order, with its misses explained."""

from itertools import combinations_with_replacement, product
from math import comb

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mechbench.physics import gearing
from mechbench.physics.train_search import NO_GEARBOX, Gearbox, Wheels, every_pair, find_trains
from tests.published import RECOMPUTED, check

PLANETARY = [
    NO_GEARBOX,
    Gearbox("12:1", 12.0, 0.81, 0.035, 6.0, 0.34, stages=2),
    Gearbox("20:1", 20.0, 0.81, 0.035, 6.0, 0.34, stages=2),
]


def kit(gears, pulleys, sprockets):
    return [
        Wheels("gear", "spur", every_pair(gears), 0.95, np.pi * 0.0008, 82.5, 0.006, 0.0004),
        Wheels("belt", "belt", every_pair(pulleys), 0.95, 0.003, 100.0, 0.0, 0.0005),
        Wheels("chain", "chain", every_pair(sprockets), 0.93, 0.00635, 400.0, 0.01, 0.002),
    ]


def nested_loops(wheels, gearboxes, target, tolerance, max_pairs):
    """Build every train stage by stage; return (|error|, stages, mass, name, train) of those that fit, in order."""
    options = [
        (kind, driver, driven)
        for kind in wheels
        for driver, driven in sorted(kind.pairs, key=lambda pair: (pair[1] / pair[0], pair))
    ]
    fits = []
    for box, count in product(gearboxes, range(max_pairs + 1)):
        for chosen in combinations_with_replacement(options, count):
            stages = [box.stage()] + [
                gearing.Stage(
                    kind.kind,
                    driven / driver,
                    kind.efficiency,
                    backlash=kind.backlash,
                    allowed_torque=kind.allowed_force * kind.pitch * driven / (2 * np.pi),
                )
                for kind, driver, driven in chosen
            ]
            whole = gearing.train(stages)
            error = abs(whole.ratio / target - 1)
            if error <= tolerance + 1e-9:
                mass = box.mass + sum(kind.mass_per_tooth * (a + b) for kind, a, b in chosen)
                name = ", ".join([box.name] + [f"{kind.name} {a}:{b}" for kind, a, b in chosen])
                fits.append((round(error, 9), box.stages + count, round(mass, 9), name, whole))
    return fits


TEETH = st.lists(st.sampled_from([10, 12, 16, 20, 24, 30, 36, 40, 60]), max_size=3, unique=True)


@settings(max_examples=40, deadline=None)
@given(TEETH, TEETH, TEETH, st.floats(0.3, 150.0), st.floats(0.0, 0.3), st.integers(0, 2))
def test_equals_nested_loops(gears, pulleys, sprockets, target, tolerance, max_pairs):
    wheels = kit(gears, pulleys, sprockets)
    expected = nested_loops(wheels, PLANETARY, target, tolerance, max_pairs)
    found = find_trains(wheels, PLANETARY, target, tolerance, max_pairs, most=100_000)
    assert sorted(found.names) == sorted(row[3] for row in expected)
    by_name = {row[3]: row for row in expected}
    keys = [by_name[name][:3] for name in found.names]
    assert keys == sorted(keys)
    for i, name in enumerate(found.names):
        error, stages, mass, _, whole = by_name[name]
        assert (found.stages[i], found.mass[i]) == (stages, pytest.approx(mass))
        for field, value in vars(whole).items():
            assert getattr(found.train, field)[i] == pytest.approx(value), field


def test_three_pairs_equal_nested_loops():
    wheels = kit([20, 60], [16, 48], [10, 40])
    expected = nested_loops(wheels, PLANETARY, 36.0, 0.02, 3)
    found = find_trains(wheels, PLANETARY, 36.0, 0.02, 3)
    assert sorted(found.names) == sorted(row[3] for row in expected) and len(found) > 10


def test_every_train_of_the_kit_was_tried():
    wheels = kit([20, 40, 60], [], [10, 20])  # 6 pairs of gears and 2 of sprockets
    assert find_trains(wheels, PLANETARY, 5.0, max_pairs=2).tried == 3 * (1 + 8 + 8 * 9 // 2)
    assert find_trains(wheels, PLANETARY, 5.0).tried == 3 * (1 + 8 + 8 * 9 // 2), "two pairs, where nothing is said"


@pytest.mark.parametrize("max_pairs", [3, 4])
def test_too_many_trains_are_counted_before_they_are_tried(max_pairs):
    """With repeats, n options fill k places in C(n + k - 1, k) ways; 40 wheels make 40 x 39 pairs."""
    ways = sum(comb(40 * 39 + count - 1, count) for count in range(max_pairs + 1))
    with pytest.raises(ValueError, match=f"^max_pairs is {max_pairs}, which makes {3 * ways} trains"):
        find_trains(kit(range(10, 50), [], []), PLANETARY, 5.0, max_pairs=max_pairs)


@given(TEETH, st.floats(0.5, 100.0))
@settings(max_examples=40, deadline=None)
def test_nearest_below_and_above(teeth, target):
    wheels = kit(teeth, [], [10, 40])
    ratios = np.array([row[4].ratio for row in nested_loops(wheels, PLANETARY, 1.0, 1e9, 2)])
    found = find_trains(wheels, PLANETARY, target, tolerance=0.0, max_pairs=2)
    below, above = ratios[ratios <= target * (1 + 1e-9)], ratios[ratios >= target * (1 - 1e-9)]
    np.testing.assert_allclose(found.below, below.max() if below.size else np.nan, rtol=1e-9)
    np.testing.assert_allclose(found.above, above.min() if above.size else np.nan, rtol=1e-9)


@pytest.mark.parametrize("pairs", [((10, 14), (14, 30)), ((12, 14), (14, 36))])
def test_a_ratio_that_differs_by_rounding_is_the_nearest_on_both_sides(pairs):
    assert pairs[0][1] / pairs[0][0] * (pairs[1][1] / pairs[1][0]) != 3.0, "not 3 to the last digit, but to a builder"
    found = find_trains([Wheels("gear", "spur", pairs, 0.95)], [NO_GEARBOX], 3.0, 0.0, 2)
    assert (found.below, found.above) == (pytest.approx(3.0), pytest.approx(3.0))
    assert found.explanation == "1 train within 0 % of 3:1; best first."


def test_columns_of_pairs_name_wheels_and_teeth_and_minus_one_where_there_is_none():
    found = find_trains(kit([20, 40], [16, 48], []), PLANETARY, 12.0, 0.0, 2)
    assert found.names[:2] == ("12:1", "12:1, gear 40:20, gear 20:40")
    assert found.pairs[0].tolist() == [[-1, -1, -1]] * 2 and found.gearbox[0] == 1
    assert found.pairs[1].tolist() == [[0, 40, 20], [0, 20, 40]]


def test_a_closed_gearbox_loses_the_same_friction_in_each_stage_whichever_side_drives():
    """Of 1 N·m at a stage's output the motor brings 1 / 0.9: the rest is friction, and a driving load has to bear
    it, too.
    """
    friction = 1 / 0.9 - 1
    stage = Gearbox("box", 64.0, 0.9**3, stages=3).stage()
    source = "friction torque the same whichever side drives, in each of three stages"
    check(
        "train_search",
        "driven efficiency of three stages",
        stage.efficiency_driven,
        (1 - friction) ** 3,
        1e-12,
        source,
        RECOMPUTED,
    )
    assert Gearbox("box", 64.0, 0.9, efficiency_driven=0.5, stages=3).stage().efficiency_driven == 0.5


def test_order_is_stable_and_says_what_it_is():
    wheels = kit([20, 24, 30, 40, 60], [16, 24, 36, 48], [10, 16, 20, 40])
    once, again = (find_trains(wheels, PLANETARY, 36.0, 0.03, 2) for _ in range(2))
    assert once.names == again.names
    rows = list(zip(np.round(abs(once.error), 9), once.stages, np.round(once.mass, 9)))
    assert rows == sorted(rows)
    # Three trains are exact with one pair; the lightest of them comes first.
    assert once.names[0] == "12:1, gear 20:60" and once.error[0] == 0.0 and once.stages[0] == 3


def test_an_exact_ratio_needs_no_tolerance():
    found = find_trains(kit([20, 60], [16, 48], []), PLANETARY, 12.0, 0.0, 2)
    assert found.names[0] == "12:1" and len(found) == 5
    assert 12.0 * (22 / 36 * (36 / 22)) != 12.0, "not 12 to the last digit, but it is 12 to a builder"
    found = find_trains(kit([22, 36], [], []), PLANETARY, 12.0, 0.0, 2)
    assert found.names == ("12:1", "12:1, gear 36:22, gear 22:36")


def test_stages_count_before_mass():
    heavy = Gearbox("heavy 4:1", 4.0, 0.9, mass=5.0)
    found = find_trains(kit([20, 40], [], []), [NO_GEARBOX, heavy], 4.0, 0.001, 2)
    assert found.names[:2] == ("heavy 4:1", "no gearbox, gear 20:40, gear 20:40")


def test_the_larger_reduction_stands_last():
    found = find_trains(kit([20, 40, 60], [], []), [NO_GEARBOX], 6.0, 0.001, 2)
    assert found.names == ("no gearbox, gear 20:40, gear 20:60",)
    assert found.train.direction[0] == 1
    other_way = gearing.train(
        [
            Wheels("gear", "spur", ((1, 3),), 0.95, backlash=0.006).stage(3.0),
            Wheels("gear", "spur", ((1, 2),), 0.95, backlash=0.006).stage(2.0),
        ]
    )
    assert found.train.play[0] < other_way.play


def test_a_miss_is_explained():
    found = find_trains(kit([20, 60], [], []), [Gearbox("12:1", 12.0, 0.81)], 50.0, 0.05, 1)
    assert len(found) == 0 and found.error.shape == (0,) and found.train.ratio.shape == (0,)
    assert (
        found.explanation == "No train of this kit comes within 5 % of 50:1. The nearest below is 36:1 "
        "(12:1, gear 20:60). There is none above it."
    )
    assert found.below == 36.0 and np.isnan(found.above)


def test_a_miss_names_the_simplest_of_the_nearest():
    found = find_trains(kit([20, 40], [], []), PLANETARY, 15.0, 0.05, 2)
    assert found.explanation.endswith("The nearest below is 12:1 (12:1). The nearest above is 20:1 (20:1).")


def test_only_the_best_are_given_back():
    wheels = kit([20, 24, 30, 40, 60], [16, 24, 36, 48], [10, 16, 20, 40])
    many, few = find_trains(wheels, PLANETARY, 30.0, 0.2, 2, most=5000), find_trains(wheels, PLANETARY, 30.0, 0.2, 2, 5)
    assert few.names == many.names[:5] and len(few.train.play) == 5
    assert few.explanation == many.explanation


def test_repeated_and_equal_wheels_count_once():
    assert every_pair([20, 40, 20]) == every_pair([40, 20])
    assert every_pair([4, 5]) == ((4, 5), (5, 4)), "four teeth are enough"
    doubled = Wheels("bevel", "bevel", ((20, 30), (20, 30), (20, 20)), 0.92)
    assert find_trains([doubled], [NO_GEARBOX], 1.5, 0.01, 2).names == ("no gearbox, bevel 20:30",)


def test_the_whole_kit_of_the_scenario():
    wheels = kit([20, 24, 30, 36, 40, 48, 60, 72, 80], [16, 20, 24, 30, 36, 48, 60], [10, 12, 14, 16, 20, 24, 32, 40])
    found = find_trains(wheels, PLANETARY, 64.0, 0.01, 2)
    assert found.tried == 3 * (1 + 170 + 170 * 171 // 2) and len(found) > 100
    assert np.all(abs(found.error) <= 0.01 + 1e-9)


@pytest.mark.parametrize(
    "name, call",
    [
        ("target_ratio", lambda: find_trains([], PLANETARY, 0.0)),
        ("tolerance", lambda: find_trains([], PLANETARY, 5.0, tolerance=5.0)),
        ("max_pairs", lambda: find_trains([], PLANETARY, 5.0, max_pairs=5)),
        ("max_pairs", lambda: find_trains(kit(range(10, 30), [], []), PLANETARY, 5.0, max_pairs=4)),
        ("most", lambda: find_trains([], PLANETARY, 5.0, most=0)),
        ("gearboxes", lambda: find_trains([], [], 5.0)),
        ("teeth", lambda: every_pair([20, 0])),
        ("teeth", lambda: every_pair([20, 3])),
        ("pairs", lambda: Wheels("gear", "spur", ((20, 0),), 0.95)),
        ("kind", lambda: Wheels("gear", "rope", ((20, 30),), 0.95)),
        ("efficiency", lambda: Wheels("gear", "spur", ((20, 30),), 95.0)),
        ("pitch", lambda: Wheels("gear", "spur", ((20, 30),), 0.95, pitch=0.0)),
        ("allowed_torque", lambda: Wheels("gear", "spur", ((20, 30),), 0.95, allowed_force=-1.0)),
        ("mass_per_tooth", lambda: Wheels("gear", "spur", ((20, 30),), 0.95, mass_per_tooth=-1.0)),
        ("mass", lambda: Gearbox("box", 4.0, 0.9, mass=-1.0)),
        ("stages", lambda: Gearbox("box", 4.0, 0.9, stages=1.5)),
        ("ratio", lambda: Gearbox("box", -4.0, 0.9)),
        ("efficiency", lambda: Gearbox("box", 4.0, 90.0)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but it must be .*; .*\.$"):
        call()

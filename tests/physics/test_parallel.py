"""Parallel and chained arms: the published chain law, statics of the plate, and paths that must be straight or round."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mechbench.physics import arm, linkage, linkage_load, parallel
from mechbench.physics.linkage_load import Lump
from tests.published import check

G = 9.80665
LEVEL = np.radians(np.array([-60.0, -20.0, 0.0, 35.0, 80.0]))


def test_direction_of_a_chained_link():
    """The arm at 10 rpm for a minute: the second link's direction against the published speeds."""
    source = "Digital Mechanism and Gear Library, item 19581023, n4 = n1 (z4 - z2) / z4"
    for fixed, moving, turns in [(20, 20, 0.0), (20, 40, 5.0), (40, 20, -10.0)]:
        pair = arm.Pair(0.3, 0.2, 0, 0, 0, 0, fixed, moving, 0.1)
        direction = parallel.chained_path(pair, 0.0, 20 * np.pi, 5)[2]
        got = (direction[-1] - direction[0]) / (2 * np.pi)
        if turns:
            check("parallel", f"turns of the second link in 10 turns of the arm, {fixed}:{moving}", got, turns, 1e-9, source,
                  "formula read; numbers recomputed from first principles")
        else:
            assert got == 0.0, "equal sprockets keep the direction"
        ratio = parallel.chain_ratio(20 * np.pi, turns * 2 * np.pi)
        check("parallel", f"ratio of sprockets that turns it so, {fixed}:{moving}", ratio, fixed / moving, 1e-9, source,
              "formula read; numbers recomputed from first principles")


def test_a_parallel_linkage_is_a_four_bar_that_keeps_its_plate():
    fourbar = parallel.parallel_fourbar(0.3, 0.06)
    here = linkage.pose(fourbar, LEVEL - np.pi / 2, -1)
    np.testing.assert_allclose(here.coupler_angle + fourbar.tilt, np.pi / 2, err_msg="the plate stands upright")
    np.testing.assert_allclose(np.exp(1j * (here.output_angle + fourbar.tilt)), np.exp(1j * LEVEL), atol=1e-9)
    lump = Lump("coupler", 0.02, -0.12, 0.5)  # to the right of the upright plate is ahead of it
    x, y, assembles = linkage_load.lump_position(fourbar, lump, LEVEL - np.pi / 2, -1)
    assert assembles.all()
    np.testing.assert_allclose((x, y), parallel.parallel_path(0.3, LEVEL, ahead=0.12, above=0.02), atol=1e-9)
    torque = linkage_load.weight_torque(fourbar, [lump], LEVEL - np.pi / 2, -1)
    np.testing.assert_allclose(torque, arm.link_torque(0.5, 0.3, LEVEL), rtol=1e-9)


def test_force_in_the_upper_bar_against_the_four_bar():
    fourbar, lump = parallel.parallel_fourbar(0.3, 0.06), Lump("coupler", 0.02, -0.12, 0.5)
    forces = linkage_load.pin_forces(fourbar, [lump], LEVEL - np.pi / 2, -1)
    towards_tip = np.exp(1j * (LEVEL - fourbar.tilt))
    on_bar = (forces.output_pin[:, 0] + 1j * forces.output_pin[:, 1]) / towards_tip
    pull = parallel.parallel_rod_force(0.5, 0.12, 0.06, LEVEL)
    np.testing.assert_allclose(on_bar.real, pull, rtol=1e-9)
    np.testing.assert_allclose(on_bar.imag, 0.0, atol=1e-9)
    assert np.all(pull > 0), "a load ahead of the pins pulls the upper bar"


def test_equal_links_at_two_to_one_run_straight():
    """The tip of the second link is then a point on the rim of a circle that rolls inside one of twice its size."""
    pair = arm.Pair(0.3, 0.3, 0, 0, 0, 0, 40, 20, np.pi + 0.8)
    x, y, _ = parallel.chained_path(pair, -1.0, 2.0, 41)
    along = np.exp(0.4j)
    np.testing.assert_allclose(((x + 1j * y) / along).real, 0.0, atol=1e-12)


def test_equal_sprockets_move_the_tip_on_a_circle():
    pair = arm.Pair(0.3, 0.2, 0, 0, 0, 0, 24, 24, 0.5)
    x, y, direction = parallel.chained_path(pair, -1.0, 2.0)
    np.testing.assert_allclose(direction, 0.5)
    np.testing.assert_allclose((x, y), parallel.parallel_path(0.3, np.linspace(-1, 2, 61), 0.2 * np.cos(0.5), 0.2 * np.sin(0.5)))


@given(st.floats(0.1, 0.5), st.floats(0.1, 0.5), st.integers(10, 40), st.integers(10, 40), st.floats(-3, 3), st.floats(-2, 2), st.floats(0.2, 3))
def test_reach_holds_the_whole_path(first, second, base, elbow, offset, start, swing):
    pair = arm.Pair(first, second, 0, 0, 0, 0, base, elbow, offset)
    reach = parallel.chained_reach(pair, start, start + swing)
    x, y, _ = parallel.chained_path(pair, start, start + swing, 5001)
    elbow_x, elbow_y, *_ = arm.pair_pose(pair, np.linspace(start, start + swing, 5001))
    slack = 1e-4 * (first + second)
    for ends, values in (((reach.backward, reach.forward), np.r_[x, elbow_x]), ((reach.down, reach.up), np.r_[y, elbow_y])):
        assert ends == pytest.approx((values.min(), values.max()), abs=slack)
    assert reach.far == pytest.approx(np.hypot(x, y).max(), abs=slack)
    assert reach.far <= first + second + 1e-12


def test_two_points_of_a_path_are_its_ends():
    pair = arm.Pair(0.3, 0.2, 0, 0, 0, 0, 40, 20, 0.5)
    x, y, direction = parallel.chained_path(pair, 0.1, 1.0, 2)
    _, _, tip_x, tip_y = arm.pair_pose(pair, np.array([0.1, 1.0]))
    np.testing.assert_allclose((x, y), (tip_x, tip_y))
    np.testing.assert_allclose(direction, arm.pair_angles(pair, np.array([0.1, 1.0]))[1])


def test_arrays_equal_scalars():
    pair = arm.Pair(0.3, np.array([[0.2], [0.25]]), 0, 0, 0, 0, 40, 20, 0.5)
    x, y, direction = parallel.chained_path(pair, np.array([0.1, 0.2]), 1.0, 7)
    assert x.shape == y.shape == direction.shape == (2, 7)
    one = parallel.chained_path(arm.Pair(0.3, 0.25, 0, 0, 0, 0, 40, 20, 0.5), 0.2, 1.0, 7)
    np.testing.assert_allclose(x[1], one[0])
    assert parallel.chained_reach(pair, 0.1, 1.0).up.shape == (2,)
    assert parallel.parallel_rod_force([0.5, 0.6], 0.1, 0.05, [[0.0], [0.5]]).shape == (2, 2)


@pytest.mark.parametrize("name, call", [
    ("length", lambda: parallel.parallel_path(0.0, 0.5)),
    ("angle", lambda: parallel.parallel_path(0.3, np.nan)),
    ("ahead", lambda: parallel.parallel_path(0.3, 0.5, np.inf)),
    ("above", lambda: parallel.parallel_path(0.3, 0.5, 0.0, np.inf)),
    ("mass", lambda: parallel.parallel_rod_force(-1.0, 0.1, 0.05, 0.0)),
    ("spacing", lambda: parallel.parallel_rod_force(1.0, 0.1, 0.0, 0.0)),
    ("angle", lambda: parallel.parallel_rod_force(1.0, 0.1, 0.05, 1.55)),
    ("length", lambda: parallel.parallel_fourbar(0.0, 0.05)),
    ("first_turn", lambda: parallel.chain_ratio(0.0, 1.0)),
    ("second_turn", lambda: parallel.chain_ratio(1.0, np.nan)),
    ("points", lambda: parallel.chained_path(arm.Pair(0.3, 0.2, 0, 0, 0, 0, 40, 20, 0), 0, 1, 1)),
    ("end", lambda: parallel.chained_reach(arm.Pair(0.3, 0.2, 0, 0, 0, 0, 40, 20, 0), 0, np.inf)),
])
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but it must be .*; .*\.$"):
        call()

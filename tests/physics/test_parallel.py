"""Parallel linkage: against the four-bar that it is, its path and the force in its bar."""

import numpy as np
import pytest

from mechbench.physics import arm, linkage, linkage_load, parallel
from mechbench.physics.linkage_load import Lump

LEVEL = np.radians(np.array([-60.0, -20.0, 0.0, 35.0, 80.0]))


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


def test_arrays_equal_scalars():
    assert parallel.parallel_rod_force([0.5, 0.6], 0.1, 0.05, [[0.0], [0.5]]).shape == (2, 2)


@pytest.mark.parametrize(
    "name, call",
    [
        ("length", lambda: parallel.parallel_path(0.0, 0.5)),
        ("angle", lambda: parallel.parallel_path(0.3, np.nan)),
        ("ahead", lambda: parallel.parallel_path(0.3, 0.5, np.inf)),
        ("above", lambda: parallel.parallel_path(0.3, 0.5, 0.0, np.inf)),
        ("mass", lambda: parallel.parallel_rod_force(-1.0, 0.1, 0.05, 0.0)),
        ("spacing", lambda: parallel.parallel_rod_force(1.0, 0.1, 0.0, 0.0)),
        ("angle", lambda: parallel.parallel_rod_force(1.0, 0.1, 0.05, 1.55)),
        ("length", lambda: parallel.parallel_fourbar(0.0, 0.05)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but it must be .*; .*\.$"):
        call()

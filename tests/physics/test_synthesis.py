"""Synthesis: linkages that are known are found again from three of their positions."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from mechbench.physics import linkage, synthesis
from mechbench.physics.linkage import Fourbar


@given(
    st.floats(0.3, 3.0),
    st.floats(0.5, 3.0),
    st.floats(0.3, 3.0),
    st.sampled_from([1, -1]),
    st.floats(0.3, 2.0),
    st.floats(0.2, 0.6),
)
def test_three_positions_give_back_the_linkage_that_made_them(a, b, c, branch, start, step):
    made = Fourbar(a, b, c, 1.0)
    inputs = start + step * np.arange(3)
    pose = linkage.pose(made, inputs, branch)
    assume(pose.assembles.all() and np.min(linkage.transmission_angle(made, inputs)) > 0.2)
    table = np.column_stack([np.cos(pose.output_angle), -np.cos(inputs), np.ones(3)])
    assume(np.linalg.cond(table) < 1e3)
    found, where = synthesis.three_positions(inputs, pose.output_angle, 1.0)
    assert [found.input, found.coupler, found.output, found.ground] == pytest.approx([a, b, c, 1.0], rel=1e-6)
    assert where == branch


def test_a_designed_linkage_passes_its_three_positions():
    inputs, outputs = np.radians([40, 65, 90]), np.radians([70, 85, 105])
    fourbar, branch = synthesis.three_positions(inputs, outputs, 0.18)
    assert branch != 0
    got = linkage.pose(fourbar, inputs, branch)
    assert got.assembles.all()
    np.testing.assert_allclose(got.output_angle, outputs, atol=1e-9)


def test_positions_on_two_branches_are_named():
    made = Fourbar(0.4, 0.9, 0.7, 1.0)
    inputs = np.array([0.5, 1.0, 1.5])
    outputs = [linkage.pose(made, i, s).output_angle for i, s in zip(inputs, (1, -1, 1))]
    found, branch = synthesis.three_positions(inputs, outputs, 1.0)
    assert branch == 0
    assert [found.input, found.coupler, found.output] == pytest.approx([0.4, 0.9, 0.7])


@pytest.mark.parametrize(
    "name, call",
    [
        ("input_angles", lambda: synthesis.three_positions([0.1, 0.2], [0.1, 0.2], 1.0)),
        ("input_angles", lambda: synthesis.three_positions([0.1, 0.2, np.nan], [0.1, 0.2, 0.4], 1.0)),
        ("ground", lambda: synthesis.three_positions(np.radians([40, 65, 90]), np.radians([70, 85, 105]), 0.0)),
        ("input_angles", lambda: synthesis.three_positions([0.1, 0.2, 0.3], [0.1, 0.2, 0.3], 1.0)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} (is|are) .*, but .*; .*\.$"):
        call()


def test_a_link_on_the_far_side_of_its_pivot_is_named():
    made = Fourbar(0.4, 0.9, 0.7, 1.0)
    inputs = np.array([0.5, 1.0, 1.5])
    outputs = linkage.pose(made, inputs).output_angle
    with pytest.raises(ValueError, match="^input_angles .* 180"):
        synthesis.three_positions(inputs + np.pi, outputs, 1.0)
    with pytest.raises(ValueError, match="^output_angles .* 180"):
        synthesis.three_positions(inputs, outputs + np.pi, 1.0)

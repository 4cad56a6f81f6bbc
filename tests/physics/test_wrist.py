"""Wrist: torque against Lagrange's equation, sweep against a box that is really turned."""

import numpy as np
import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st

from mechbench.physics import arm, wrist
from tests.published import READ, check


def test_torque_to_turn_an_arm_with_a_payload():
    """Level gripper, but its weight left out: only the inertia is turned, as in the example."""
    torque = wrist.wrist_torque(0.0, 1.0, 0.0, inertia=arm.link_inertia(2.0, 1.0, 1.0), turning=0.1 * np.pi / 0.1)
    check(
        "wrist",
        "torque to reach 0.1 pi rad/s in 0.1 s [N·m]",
        torque,
        5.236,
        3e-3,
        "OpenStax University Physics Vol. 1, Example 11.6",
        READ,
    )


def test_torque_by_lagrange():
    """A lump on a massless bar whose pivot moves straight up; energies by sympy."""
    t, m, r, g = sympy.symbols("t m r g")
    q, height = sympy.Function("q")(t), sympy.Function("h")(t)
    place = sympy.Matrix([r * sympy.cos(q), height + r * sympy.sin(q)])
    energy = m * place.diff(t).dot(place.diff(t)) / 2 - m * g * place[1]
    torque = energy.diff(q.diff(t)).diff(t) - energy.diff(q)
    values = {q.diff(t, 2): 7.0, q.diff(t): 1.3, height.diff(t, 2): 2.5, q: 0.4, m: 0.41, r: 0.11, g: 9.80665}
    expected = float(sympy.simplify(torque).subs(values))
    assert wrist.wrist_torque(0.41, 0.11, 0.4, 2.5, 0.41 * 0.11**2, 7.0) == pytest.approx(expected)


def test_weight_alone_is_that_of_an_arm():
    angle = np.radians(np.linspace(-90, 90, 7))
    assert wrist.wrist_torque(0.4, 0.1, angle) == pytest.approx(arm.link_torque(0.4, 0.1, angle))


@given(st.floats(0.02, 0.4), st.floats(0.0, 0.2), st.floats(0.0, 0.2), st.floats(-7.0, 7.0), st.floats(0.0, 6.0))
def test_sweep_of_a_box_that_is_turned(ahead, above, below, start, swing):
    corners = np.array([[0, 0, ahead, ahead], [above, -below, above, -below]])
    turn = np.linspace(start, start + swing, 4001)
    x = np.cos(turn)[:, None] * corners[0] - np.sin(turn)[:, None] * corners[1]
    z = np.sin(turn)[:, None] * corners[0] + np.cos(turn)[:, None] * corners[1]
    swept = wrist.fold_sweep(ahead, above, below, start, start + swing)
    assert swept == pytest.approx((x.max(), z.max(), -z.min()), abs=2e-6)
    assert wrist.fold_sweep(ahead, above, below, start + swing, start) == pytest.approx(swept)


def test_on_the_way_it_reaches_further_than_at_the_ends():
    front, top, bottom = wrist.fold_sweep(0.18, 0.04, 0.06, 0.0, np.pi / 2)
    assert front == pytest.approx(np.hypot(0.18, 0.06)) and front > 0.18
    assert top == pytest.approx(np.hypot(0.18, 0.04)) and bottom == pytest.approx(0.06)
    assert wrist.fold_sweep(0.18, 0.04, 0.06, 0.0, 0.0) == pytest.approx((0.18, 0.04, 0.06))


def test_arrays_equal_scalars():
    ahead = np.array([0.1, 0.2])
    many = wrist.fold_sweep(ahead, 0.04, 0.06, 0.0, 1.0)
    for i in range(2):
        assert [v[i] for v in many] == pytest.approx(wrist.fold_sweep(ahead[i], 0.04, 0.06, 0.0, 1.0))


@pytest.mark.parametrize(
    "name, call",
    [
        ("mass", lambda: wrist.wrist_torque(-1.0, 0.1, 0.0)),
        ("reach", lambda: wrist.wrist_torque(1.0, -0.1, 0.0)),
        ("angle", lambda: wrist.wrist_torque(1.0, 0.1, np.nan)),
        ("upward", lambda: wrist.wrist_torque(1.0, 0.1, 0.0, np.nan)),
        ("inertia", lambda: wrist.wrist_torque(1.0, 0.1, 0.0, 0.0, -1.0)),
        ("turning", lambda: wrist.wrist_torque(1.0, 0.1, 0.0, 0.0, 1.0, np.nan)),
        ("ahead", lambda: wrist.fold_sweep(0.0, 0.1, 0.1, 0.0, 1.0)),
        ("above", lambda: wrist.fold_sweep(0.1, -0.1, 0.1, 0.0, 1.0)),
        ("below", lambda: wrist.fold_sweep(0.1, 0.1, -0.1, 0.0, 1.0)),
        ("start", lambda: wrist.fold_sweep(0.1, 0.1, 0.1, np.nan, 1.0)),
        ("end", lambda: wrist.fold_sweep(0.1, 0.1, 0.1, 0.0, np.inf)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but .*; .*\.$"):
        call()

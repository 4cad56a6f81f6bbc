"""Weights, pins and Load of a four-bar: the whole system of balance equations, power, Lagrange's equation, energy."""

import numpy as np
import pytest
import sympy
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.interpolate import CubicSpline
from scipy.optimize import brentq, fsolve

from mechbench.physics import linkage, linkage_load, motion
from mechbench.physics.drive import Line
from mechbench.physics.linkage import Fourbar
from mechbench.physics.linkage_load import Lump
from tests.physics.reference_motion import Drive
from tests.published import RECOMPUTED, check

G = 9.80665
TILT = -1.0
ROCKER = Fourbar(0.040, 0.120, 0.080, 0.100, TILT)
LUMPS = [
    linkage_load.bar("input", 0.040, 0.03),
    linkage_load.bar("coupler", 0.120, 0.05),
    Lump("coupler", 0.07, 0.04, 0.20),
    linkage_load.bar("output", 0.250, 0.10),
    Lump("output", 0.250, -0.03, 0.36, 0.001),
]
LINE = Line(1.25, 0.0175 * 120, 0.25, 7.5e-6 * 120**2, 0.729, 0.628)


# ---- statics of three moving links --------------------------------------------------------------------------------


def nine_equations(fourbar, lumps, angle, branch, output_torque):
    """Forces of all pins and the input torque from 3 x 3 balance equations solved at once, written apart from ours."""
    here = linkage.pose(fourbar, angle, branch)
    tips = {
        "input": (0.0, here.input_angle, fourbar.input),
        "output": (fourbar.ground, here.output_angle, fourbar.output),
    }
    origin = {"input": 0j, "coupler": fourbar.input * np.exp(1j * here.input_angle), "output": fourbar.ground + 0j}
    turn = {"input": here.input_angle, "coupler": here.coupler_angle, "output": here.output_angle}
    a = origin["coupler"]
    b = tips["output"][0] + tips["output"][2] * np.exp(1j * tips["output"][1])
    down = -G * np.exp(1j * (np.pi / 2 - fourbar.tilt))
    matrix, right = np.zeros((9, 9)), np.zeros(9)
    # unknowns: O on input (0, 1), A on coupler (2, 3), B on output (4, 5), Q on output (6, 7), torque on input (8)
    pushes = {
        "input": [(0, 1, 0j), (2, -1, a)],
        "coupler": [(2, 1, a), (4, -1, b)],
        "output": [(4, 1, b), (6, 1, fourbar.ground + 0j)],
    }
    for row, link in enumerate(pushes):
        for column, sign, at in pushes[link]:
            matrix[3 * row, column] += sign
            matrix[3 * row + 1, column + 1] += sign
            matrix[3 * row + 2, column] -= sign * at.imag
            matrix[3 * row + 2, column + 1] += sign * at.real
        for lump in lumps:
            if lump.link == link:
                at, weight = origin[link] + (lump.along + 1j * lump.across) * np.exp(1j * turn[link]), lump.mass * down
                right[3 * row : 3 * row + 3] -= [weight.real, weight.imag, (np.conj(at) * weight).imag]
    matrix[2, 8] = 1.0
    right[8] += output_torque
    return np.linalg.solve(matrix, right)


@pytest.mark.parametrize("branch", [1, -1])
@pytest.mark.parametrize("angle", [-2.5, -1.0, 0.3, 1.0, 2.7])
def test_pin_forces_against_nine_equations_at_once(branch, angle):
    got = linkage_load.pin_forces(ROCKER, LUMPS, angle, branch, 0.7)
    expected = nine_equations(ROCKER, LUMPS, angle, branch, 0.7)
    flat = np.concatenate([got.input_pivot, got.input_pin, got.output_pin, got.output_pivot, [got.input_torque]])
    np.testing.assert_allclose(flat, expected, rtol=1e-9, atol=1e-9)


@given(st.floats(-3.1, 3.1), st.sampled_from([1, -1]), st.floats(-3, 3))
def test_power_in_is_power_out(angle, branch, torque):
    forces = linkage_load.pin_forces(ROCKER, LUMPS, angle, branch, torque)
    _, output = linkage.rates(ROCKER, angle, branch)
    weights = linkage_load.weight_torque(ROCKER, LUMPS, angle, branch)
    assert forces.input_torque == pytest.approx(weights + torque * output, rel=1e-9, abs=1e-9)


def test_the_frame_bears_all_weights():
    forces = linkage_load.pin_forces(ROCKER, LUMPS, np.linspace(-3, 3, 31), 1, 0.4)
    total = forces.input_pivot + forces.output_pivot
    weight = G * sum(lump.mass for lump in LUMPS)
    np.testing.assert_allclose(
        total, np.broadcast_to([weight * np.sin(TILT), weight * np.cos(TILT)], (31, 2)), rtol=1e-9
    )


def test_without_weights_the_coupler_is_pushed_along_itself():
    angle = np.linspace(-3, 3, 31)
    forces = linkage_load.pin_forces(ROCKER, [], angle, -1, 1.0)
    here = linkage.pose(ROCKER, angle, -1)
    across = forces.output_pin[:, 1] * np.cos(here.coupler_angle) - forces.output_pin[:, 0] * np.sin(here.coupler_angle)
    np.testing.assert_allclose(across, 0.0, atol=1e-9)
    size = np.hypot(*forces.output_pin.T)
    expected = 1.0 / (0.080 * np.sin(linkage.transmission_angle(ROCKER, angle)))
    np.testing.assert_allclose(size, expected, rtol=1e-9, err_msg="F = T / (c sin(transmission angle))")
    np.testing.assert_allclose(forces.largest, size)


def test_a_bar_is_many_small_pieces():
    places = (np.arange(2000) + 0.5) / 2000 * 0.3
    pieces, whole = [Lump("output", place, 0.0, 0.2 / 2000) for place in places], [linkage_load.bar("output", 0.3, 0.2)]
    for function in (linkage_load.weight_torque, linkage_load.inertia_felt):
        assert function(ROCKER, whole, 1.0) == pytest.approx(function(ROCKER, pieces, 1.0), rel=1e-6)


def test_the_largest_pin_force_is_the_largest_of_the_four():
    forces = linkage_load.pin_forces(ROCKER, LUMPS, np.linspace(-3, 3, 31), 1, 0.4)
    sizes = [np.hypot(*pin.T) for pin in (forces.input_pivot, forces.input_pin, forces.output_pin, forces.output_pivot)]
    np.testing.assert_allclose(forces.largest, np.max(sizes, axis=0))
    assert np.ptp(sizes, axis=0).min() > 0.1, "with weights the four differ, or this proves nothing"


def test_what_turns_with_the_shaft_is_added():
    angle = np.linspace(0.7, 2.0, 5)
    load = linkage_load.lift(ROCKER, LUMPS, angle, shaft_inertia=0.01)
    np.testing.assert_allclose(load.inertia, linkage_load.inertia_felt(ROCKER, LUMPS, angle) + 0.01)


def test_a_lump_on_the_pin_weighs_the_same_on_both_links():
    angle = np.linspace(0.2, 2.8, 9)
    for one, other in [
        (Lump("input", 0.040, 0, 0.5), Lump("coupler", 0.0, 0, 0.5)),
        (Lump("coupler", 0.120, 0, 0.5), Lump("output", 0.080, 0, 0.5)),
    ]:
        for function in (linkage_load.weight_torque, linkage_load.inertia_felt):
            np.testing.assert_allclose(function(ROCKER, [one], angle), function(ROCKER, [other], angle), rtol=1e-9)


# ---- virtual work against Lagrange's equation ---------------------------------------------------------------------


def by_lagrange(fourbar, lumps, branch):
    """Energies of all lumps as functions of the input angle, by sympy with the loop solved in half-angle form."""
    t, w = sympy.symbols("t w")
    a, b, c, d = fourbar.input, fourbar.coupler, fourbar.output, fourbar.ground
    k1, k2, k3 = d / a, d / c, (a**2 - b**2 + c**2 + d**2) / (2 * a * c)
    p = sympy.cos(t) - k1 - k2 * sympy.cos(t) + k3
    q, r = -2 * sympy.sin(t), k1 - (k2 + 1) * sympy.cos(t) + k3
    out = 2 * sympy.atan((-q - branch * sympy.sqrt(q**2 - 4 * p * r)) / (2 * p))
    a_x, a_y, b_x, b_y = a * sympy.cos(t), a * sympy.sin(t), d + c * sympy.cos(out), c * sympy.sin(out)
    mid = sympy.atan2(b_y - a_y, b_x - a_x)
    starts = {"input": (0, 0, t), "coupler": (a_x, a_y, mid), "output": (d, 0, out)}
    kinetic = potential = 0
    for lump in lumps:
        x, y, turn = starts[lump.link]
        x, y = (
            x + lump.along * sympy.cos(turn) - lump.across * sympy.sin(turn),
            y + lump.along * sympy.sin(turn) + lump.across * sympy.cos(turn),
        )
        kinetic += (
            lump.mass * ((x.diff(t) * w) ** 2 + (y.diff(t) * w) ** 2) / 2
            + lump.inertia * (sympy.diff(turn, t) * w) ** 2 / 2
        )
        potential += lump.mass * G * (x * sympy.sin(fourbar.tilt) + y * sympy.cos(fourbar.tilt))
    inertia = kinetic.diff(w, 2)
    return [sympy.lambdify(t, wanted, cse=True) for wanted in (potential.diff(t), inertia, inertia.diff(t))]


@pytest.mark.parametrize("branch", [1, -1])
def test_torque_and_inertia_against_lagrange(branch):
    torque, inertia, _ = by_lagrange(ROCKER, LUMPS, branch)
    angle = np.linspace(-2.9, 2.9, 59)
    np.testing.assert_allclose(
        linkage_load.weight_torque(ROCKER, LUMPS, angle, branch), torque(angle), rtol=1e-8, atol=1e-9
    )
    np.testing.assert_allclose(linkage_load.inertia_felt(ROCKER, LUMPS, angle, branch), inertia(angle), rtol=1e-8)


def test_torque_is_the_slope_of_the_height():
    lump, angle, h = LUMPS[-1], np.linspace(-2.9, 2.9, 59), 1e-6
    height = lambda at: linkage_load.lump_position(ROCKER, lump, at)[1]
    slope = lump.mass * G * (height(angle + h) - height(angle - h)) / (2 * h)
    np.testing.assert_allclose(linkage_load.weight_torque(ROCKER, [lump], angle), slope, rtol=1e-5, atol=1e-7)


@pytest.mark.parametrize("way", [1, -1])
def test_a_lift_moves_as_lagrange_says(way):
    angle = np.radians(np.linspace(35, 125, 61))[::way]
    grid = np.radians(np.linspace(34, 126, 4001))
    torque, inertia, slope = (CubicSpline(grid, function(grid)) for function in by_lagrange(ROCKER, LUMPS, 1))
    by_equation, at = Drive(LINE, []), lambda q: angle[0] + way * q
    drag = lambda q, w: 0.5 * way * slope(at(q)) * w * w + way * torque(at(q)) + 0.02
    volts, sag = 12.6, 0.12

    def rhs(t, y):
        amps = (volts - LINE.torque_constant * y[1]) / (LINE.resistance + sag)
        return [y[1], by_equation.acceleration(inertia(at(y[0])) + 1e-6, drag(*y), amps)]

    arrive = lambda t, y: y[0] - abs(angle[-1] - angle[0])
    arrive.terminal = True
    ref = solve_ivp(rhs, (0, 20), [0.0, 0.0], events=arrive, rtol=1e-10, atol=1e-12)
    ours = motion.move(
        LINE, linkage_load.lift(ROCKER, LUMPS, angle, friction_torque=0.02), motion.Bus(volts, sag), end="pass"
    )
    source, name = "Lagrange's equation by sympy, integrated by scipy", "up" if way > 0 else "down"
    check("linkage_load", f"time of a four-bar lift {name} [s]", ours.time[0, 0], ref.t[-1], 1e-3, source, RECOMPUTED)
    check(
        "linkage_load", f"speed at its end {name} [rad/s]", ours.speed[0, 0, -1], ref.y[1, -1], 1e-3, source, RECOMPUTED
    )
    assert ours.balance_error.max() < 1e-3


def test_a_lift_stopped_at_rest_keeps_its_energy_law():
    angle = np.radians(np.linspace(35, 125, 31))
    done = motion.move(LINE, linkage_load.lift(ROCKER, LUMPS, angle), motion.Bus(12.6, 0.12))
    assert done.why[0, 0] == "arrived" and done.balance_error.max() < 1e-3
    load = linkage_load.lift(ROCKER, LUMPS, np.radians(np.linspace(35, 125, 2001)))
    work = np.trapezoid(load.load_torque, load.q)
    rise = sum(
        lump.mass
        * G
        * np.subtract(*[linkage_load.lump_position(ROCKER, lump, np.radians(deg))[1] for deg in (125, 35)])
        for lump in LUMPS
    )
    assert work == pytest.approx(rise, rel=1e-6), "the pull over the way is the weight's rise"


# ---- known cases --------------------------------------------------------------------------------------------------


def test_a_parallelogram_carries_as_if_on_one_arm():
    """The plate keeps its direction, so a weight anywhere on it is lifted alike; the pins feel where it is."""
    fourbar = Fourbar(0.3, 0.06, 0.3, 0.06, tilt=-np.pi / 2)
    level = np.radians(np.array([-40.0, 0.0, 55.0]))
    for along, across in [(0.0, 0.0), (0.03, 0.1), (0.2, -0.1)]:
        torque = linkage_load.weight_torque(fourbar, [Lump("coupler", along, across, 0.5)], level + np.pi / 2)
        np.testing.assert_allclose(torque, 0.5 * G * 0.3 * np.cos(level), rtol=1e-9)
        inertia = linkage_load.inertia_felt(fourbar, [Lump("coupler", along, across, 0.5, 7.0)], level + np.pi / 2)
        np.testing.assert_allclose(inertia, 0.5 * 0.3**2, rtol=1e-9)
    far = linkage_load.pin_forces(fourbar, [Lump("coupler", 0.0, 0.2, 0.5)], np.pi / 2)
    near = linkage_load.pin_forces(fourbar, [Lump("coupler", 0.0, 0.1, 0.5)], np.pi / 2)
    assert far.largest > 1.7 * near.largest


def test_scaling():
    angle = np.linspace(0.3, 2.8, 9)
    big = Fourbar(0.080, 0.240, 0.160, 0.200, TILT)
    lumps = [Lump(u.link, 2 * u.along, 2 * u.across, u.mass, 4 * u.inertia) for u in LUMPS]
    heavy = [Lump(u.link, u.along, u.across, 3 * u.mass, 3 * u.inertia) for u in LUMPS]
    for function, power in ((linkage_load.weight_torque, 1), (linkage_load.inertia_felt, 2)):
        one = function(ROCKER, LUMPS, angle)
        np.testing.assert_allclose(function(big, lumps, angle), 2**power * one, rtol=1e-9)
        np.testing.assert_allclose(function(ROCKER, heavy, angle), 3 * one, rtol=1e-9)


def test_where_it_is_stuck_nothing_is_nan():
    fourbar = Fourbar(0.10, 0.06, 0.09, 0.08)
    lumps = [Lump("output", 0.2, 0.0, 0.0), Lump("coupler", 0.03, 0.01, 0.1)]
    angle = np.linspace(-np.pi, np.pi, 41)
    assembles = linkage.pose(fourbar, angle).assembles
    forces = linkage_load.pin_forces(fourbar, lumps, angle)
    for values in (
        linkage_load.weight_torque(fourbar, lumps, angle),
        linkage_load.inertia_felt(fourbar, lumps, angle),
        forces.largest,
    ):
        assert np.isfinite(values[assembles]).all() and np.isposinf(values[~assembles]).all()


def test_arrays_equal_scalars():
    angle = np.linspace(0.5, 2.5, 5)
    fourbar = Fourbar(np.array([[0.04], [0.03]]), 0.120, 0.080, 0.100)
    lumps = [Lump("output", np.array([[0.25], [0.2]]), 0.0, 0.36)]
    load = linkage_load.lift(fourbar, lumps, angle)
    assert load.load_torque.shape == (2, 5)
    forces = linkage_load.pin_forces(fourbar, lumps, angle)
    assert forces.input_pin.shape == (2, 5, 2) and forces.input_torque.shape == (2, 5)
    one = linkage_load.lift(Fourbar(0.03, 0.120, 0.080, 0.100), [Lump("output", 0.2, 0.0, 0.36)], angle)
    np.testing.assert_allclose(load.load_torque[1], one.load_torque, rtol=1e-12)
    np.testing.assert_allclose(load.inertia[1], one.inertia, rtol=1e-12)


@given(st.floats(-3.0, 3.0), st.floats(-0.2, 0.4), st.floats(-0.2, 0.2))
def test_position_against_a_blind_root_search(angle, along, across):
    def loop(unknown):
        return [
            0.04 * np.cos(angle) + 0.12 * np.cos(unknown[0]) - 0.08 * np.cos(unknown[1]) - 0.1,
            0.04 * np.sin(angle) + 0.12 * np.sin(unknown[0]) - 0.08 * np.sin(unknown[1]),
        ]

    root, _, good, _ = fsolve(loop, [0.4, 1.2], full_output=True)
    assume(good == 1 and np.sin(root[1] - root[0]) > 0)
    at = 0.1 + (along + 1j * across) * np.exp(1j * root[1])
    x, y, _ = linkage_load.lump_position(ROCKER, Lump("output", along, across, 0.1), angle)
    assert x + 1j * y == pytest.approx(at * np.exp(1j * TILT), abs=1e-7)


def test_holding_angle_by_root_search():
    """Where the torque of the weights is 0 the heights stand still."""
    there = brentq(lambda t: linkage_load.weight_torque(ROCKER, LUMPS, t), 0.2, 1.0)
    height = lambda t: sum(u.mass * linkage_load.lump_position(ROCKER, u, t)[1] for u in LUMPS)
    assert abs(height(there + 1e-4) - height(there - 1e-4)) < 1e-9


@pytest.mark.parametrize(
    "name, call",
    [
        ("link", lambda: Lump("ground", 0.1, 0.0, 0.1)),
        ("along", lambda: Lump("input", np.nan, 0.0, 0.1)),
        ("across", lambda: Lump("input", 0.1, np.inf, 0.1)),
        ("mass", lambda: Lump("input", 0.1, 0.0, -0.1)),
        ("inertia", lambda: Lump("input", 0.1, 0.0, 0.1, -1.0)),
        ("length", lambda: linkage_load.bar("input", 0.0, 0.1)),
        ("mass", lambda: linkage_load.bar("input", 0.1, -0.1)),
        ("output_torque", lambda: linkage_load.pin_forces(ROCKER, [], 0.5, 1, np.inf)),
        ("shaft_inertia", lambda: linkage_load.lift(ROCKER, LUMPS, [0.5, 0.6], shaft_inertia=0.0)),
        ("angle", lambda: linkage_load.lift(Fourbar(0.10, 0.06, 0.09, 0.08), LUMPS, [1.0, 3.0])),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but .*; .*\.$"):
        call()

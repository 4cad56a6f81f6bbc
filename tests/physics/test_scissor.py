"""Scissor: published forces, heights and play from the places of all pins, energy over the stroke."""

import numpy as np
import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import fsolve

from mechbench.physics import scissor
from mechbench.physics.scissor import Scissor
from tests.published import COMPANION, MEMORY, READ, RECOMPUTED, check

G = 9.80665
ANGLE = st.floats(0.05, 1.5)
CELLS = st.integers(1, 6)
PART = Scissor(3, 0.24, 0.6, 0.12)
STROKE = np.radians(np.linspace(8, 65, 4001))


# ---- published ----------------------------------------------------------------------------------------------------


def test_hydraulic_table_of_beer_and_johnston():
    """A crate of 1000 kg on two linkages; each has arms of 2 a, its cylinder pushes at their middle."""
    source = "Beer, Johnston et al., Vector Mechanics for Engineers: Statics, 9th ed., Sample Problem 10.3 p. 501"
    table, angle = Scissor(1, 2 * 0.70, 500.0), np.radians(60)
    check(
        "scissor",
        "cylinder length [m]",
        scissor.cylinder_length(table, angle, 3.20, 0.70),
        2.91,
        2e-3,
        source,
        COMPANION,
    )
    force = scissor.cylinder_force(table, angle, 3.20, 0.70) / 1000
    check("scissor", "cylinder force, companion [kN]", force, 5.16, 3e-3, source, COMPANION)
    check("scissor", "cylinder force, printed book [kN]", force, 5.15, 2e-3, source, MEMORY)
    check(
        "scissor",
        "cylinder force by W (s / L) cot(angle) [kN]",
        force,
        9.80665 * 2.9140 / 3.20 / np.tan(angle),
        1e-4,
        source,
        RECOMPUTED,
    )


def test_push_at_the_foot():
    source = "virtual work with h = n L sin(angle), x = L cos(angle): F = n W / tan(angle)"
    for weight, degrees, cells, expected in [(500.0, 45, 1, 500.0), (50.0, 20, 3, 412.12)]:
        force = scissor.foot_force(Scissor(cells, 0.3, weight / G), np.radians(degrees))
        check(
            "scissor",
            f"push at the foot, {cells} cells at {degrees} deg [N]",
            force,
            expected,
            1e-4,
            source,
            RECOMPUTED,
        )


def test_lazy_tongs_of_one_cell_and_a_half():
    """A scissor that ends in a point, pushed at both feet: P / W = 3/2 cot. Half of three cells asks the same."""
    source = (
        "open solution of problem 37 of a mechanics course (drdrang/mechanics), by free bodies: P / W = 3/2 cot(angle)"
    )
    for degrees in (15, 45, 70):
        angle = np.radians(degrees)
        check(
            "scissor",
            f"push over weight at {degrees} deg",
            scissor.foot_force(Scissor(3, 0.2, 0.5 / G), angle),
            1.5 / np.tan(angle),
            1e-9,
            source,
            READ,
        )


def test_own_weight_counts_half():
    source = "F = (W + W_arms / 2) / tan(angle), by moments about the crossing; several open pages"
    force = scissor.foot_force(Scissor(1, 0.3, 80 / G, 20 / G), np.radians(30))
    check(
        "scissor",
        "push at the foot with the arms' weight [N]",
        force,
        90 / np.tan(np.radians(30)),
        1e-9,
        source,
        "formula read; numbers recomputed from first principles",
    )


# ---- all pins, place by place -------------------------------------------------------------------------------------


def pins(cells, arm, angle):
    """Places of the lower ends of all arms and of their crossings, from plane geometry."""
    x, h = arm * np.cos(angle), arm * np.sin(angle)
    ends = [(side * x, level * h) for level in range(cells + 1) for side in (0, 1)]
    return ends, [(x / 2, (level + 0.5) * h) for level in range(cells)]


@given(CELLS, st.floats(0.05, 0.5), st.floats(0.0, 5.0), st.floats(0.0, 1.0), ANGLE)
def test_torque_inertia_and_force_from_the_places_of_all_parts(cells, arm, load, cell_mass, angle):
    part, h = Scissor(cells, arm, load, cell_mass), 1e-6
    ahead, behind = (pins(cells, arm, angle + s * h) for s in (1, -1))
    rates = [((a[0] - b[0]) / (2 * h), (a[1] - b[1]) / (2 * h)) for a, b in zip(ahead[1], behind[1])]
    top = (ahead[0][-1][1] - behind[0][-1][1]) / (2 * h)
    torque = G * (load * top + cell_mass * sum(y for _, y in rates))
    inertia = load * top**2 + cell_mass * sum(x * x + y * y for x, y in rates) + cells * cell_mass * arm**2 / 12
    assert scissor.weight_torque(part, angle) == pytest.approx(torque, rel=1e-6, abs=1e-9)
    assert scissor.inertia_felt(part, angle) == pytest.approx(inertia, rel=1e-6, abs=1e-12)
    foot = (ahead[0][1][0] - behind[0][1][0]) / (2 * h)
    assert scissor.foot_force(part, angle) == pytest.approx(torque / -foot, rel=1e-6, abs=1e-9)
    assert scissor.height(part, angle) == pytest.approx(pins(cells, arm, angle)[0][-1][1])


def test_inertia_by_sympy():
    n, arm, m, c, t, w = (
        3,
        sympy.Rational(24, 100),
        sympy.Rational(6, 10),
        sympy.Rational(12, 100),
        *sympy.symbols("t w"),
    )
    kinetic = m * (sympy.diff(n * arm * sympy.sin(t), t) * w) ** 2 / 2
    for level in range(n):
        x, y = arm * sympy.cos(t) / 2, (level + sympy.Rational(1, 2)) * arm * sympy.sin(t)
        kinetic += c * ((x.diff(t) * w) ** 2 + (y.diff(t) * w) ** 2) / 2 + c * arm**2 / 24 * w**2
    inertia = sympy.lambdify(t, kinetic.diff(w, 2))
    np.testing.assert_allclose(scissor.inertia_felt(PART, STROKE), inertia(STROKE), rtol=1e-12)


@given(ANGLE, st.floats(0.02, 1.0), st.floats(0.05, 1.0))
def test_cylinder_is_the_distance_of_its_ends(angle, base, share):
    part = Scissor(2, 0.3, 0.5, 0.1)
    at = share * 0.3 * np.exp(1j * angle)
    assert scissor.cylinder_length(part, angle, base, share * 0.3) == pytest.approx(abs(at - base))
    h = 1e-6
    slope = (
        abs(share * 0.3 * np.exp(1j * (angle + h)) - base) - abs(share * 0.3 * np.exp(1j * (angle - h)) - base)
    ) / (2 * h)
    torque = scissor.cylinder_force(part, angle, base, share * 0.3) * slope
    assert torque == pytest.approx(scissor.weight_torque(part, angle), rel=1e-3), (
        "whatever drives it, the work is the same"
    )


# ---- energy and laws ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("what", ["torque", "foot", "cylinder"])
def test_work_over_the_stroke_is_the_weights_rise(what):
    rise = scissor.height(PART, STROKE[-1]) - scissor.height(PART, STROKE[0])
    expected = G * (PART.load + PART.cells * PART.cell_mass / 2) * rise
    if what == "torque":
        work = np.trapezoid(scissor.weight_torque(PART, STROKE), STROKE)
    elif what == "foot":
        work = np.trapezoid(scissor.foot_force(PART, STROKE), -PART.arm * np.cos(STROKE))
    else:
        work = np.trapezoid(
            scissor.cylinder_force(PART, STROKE, 0.30, 0.12), scissor.cylinder_length(PART, STROKE, 0.30, 0.12)
        )
    assert work == pytest.approx(expected, rel=1e-5)


def test_work_of_friction_is_force_times_slide():
    """Half of all weight slides at the foot, half of the load at the platform, both by the foot's way."""
    slide = PART.arm * (np.cos(STROKE[0]) - np.cos(STROKE[-1]))
    expected = 0.2 * G * ((PART.load + 3 * PART.cell_mass) / 2 + PART.load / 2) * slide
    assert np.trapezoid(scissor.slide_friction(PART, STROKE, 0.2), STROKE) == pytest.approx(expected, rel=1e-6)


@given(ANGLE, st.floats(0.1, 10.0))
def test_scaling(angle, size):
    big, heavy = Scissor(3, 0.24 * size, 0.6, 0.12), Scissor(3, 0.24, 0.6 * size, 0.12 * size)
    assert scissor.foot_force(big, angle) == pytest.approx(scissor.foot_force(PART, angle)), (
        "the arms' length does not matter"
    )
    assert scissor.weight_torque(big, angle) == pytest.approx(size * scissor.weight_torque(PART, angle))
    assert scissor.inertia_felt(big, angle) == pytest.approx(size**2 * scissor.inertia_felt(PART, angle))
    for function in (scissor.foot_force, scissor.inertia_felt):
        assert function(heavy, angle) == pytest.approx(size * function(PART, angle))


@given(st.floats(1.0, 5000.0))
def test_start_angle_is_where_the_push_is_enough(force):
    angle = scissor.start_angle(PART, force)
    assert scissor.foot_force(PART, angle) == pytest.approx(force, rel=1e-9)
    assert scissor.foot_force(PART, 0.9 * angle) > force


def test_the_start_is_steep():
    start, end = np.radians(8), np.radians(65)
    assert scissor.steepness(start, end) == pytest.approx(
        scissor.foot_force(PART, start) / scissor.foot_force(PART, end)
    )
    assert scissor.steepness(start, end) > 15


@given(CELLS, ANGLE)
def test_height_and_back(cells, angle):
    part = Scissor(cells, 0.24, 0.6)
    assert scissor.angle_at(part, scissor.height(part, angle)) == pytest.approx(angle, rel=1e-6)


# ---- play: a scissor with every pin moved in its hole, put together by root search ---------------------------------


def middle_height(cells, arm, angle, gaps):
    """Height of the platform's middle when pins are off their places; gaps: name of the pin -> (x, y) off.

    Built from the foot upwards: each cell is two arms whose lower ends are given and whose crossings must meet.
    """
    off = lambda *name: np.array(gaps.get(name, (0.0, 0.0)))
    left, right = np.zeros(2) + off("end", 0, 0), np.array([arm * np.cos(angle), 0.0]) + off("end", 0, 1)
    for level in range(cells):
        along = lambda turn: np.array([np.cos(turn), np.sin(turn)])

        def apart(turns, left=left, right=right, level=level, along=along):
            return left + arm / 2 * along(turns[0]) - (right + arm / 2 * along(turns[1])) - off("middle", level)

        rising, falling = fsolve(apart, [angle, np.pi - angle], xtol=1e-12)
        left, right = right + arm * along(falling), left + arm * along(rising)
        left, right = left + off("end", level + 1, 0), right + off("end", level + 1, 1)
    return (left[1] + right[1]) / 2


def steepest(cells, arm, angle, name, h=1e-5):
    """How much the middle rises at most for a small shift of one pin, in its best direction."""
    slopes = [
        (middle_height(cells, arm, angle, {name: d}) - middle_height(cells, arm, angle, {name: -d})) / (2 * h)
        for d in (np.array([h, 0.0]), np.array([0.0, h]))
    ]
    return np.hypot(*slopes)


@pytest.mark.parametrize("cells", [1, 2, 3, 4])
@pytest.mark.parametrize("degrees", [15, 40])
def test_play_against_a_scissor_put_together_with_loose_pins(cells, degrees):
    angle, arm = np.radians(degrees), 0.2
    names = [("end", level, side) for level in range(cells + 1) for side in (0, 1)] + [
        ("middle", level) for level in range(cells)
    ]
    expected = sum(steepest(cells, arm, angle, name) for name in names)
    assert scissor.play(Scissor(cells, arm, 0.5), angle, 0.0, 1.0) == pytest.approx(expected, rel=1e-4)
    h = 1e-5
    foot = (
        scissor.height(Scissor(cells, arm, 0.5), np.arccos(np.cos(angle) - h / arm))
        - scissor.height(Scissor(cells, arm, 0.5), angle)
    ) / h
    assert scissor.play(Scissor(cells, arm, 0.5), angle, 1.0, 0.0) == pytest.approx(foot, rel=1e-3)


def test_play_of_a_column_of_cells():
    many = scissor.play(Scissor([1, 2, 4], 0.2, 0.5), 0.3, 0.001, 0.0002)
    assert many == pytest.approx([scissor.play(Scissor(n, 0.2, 0.5), 0.3, 0.001, 0.0002) for n in (1, 2, 4)])


# ---- arrays and bad input -----------------------------------------------------------------------------------------


def test_arrays_equal_scalars():
    part = Scissor(np.array([[1], [3]]), np.array([[0.2], [0.3]]), 0.5, 0.1)
    angle = np.linspace(0.2, 1.0, 4)
    for function in (scissor.height, scissor.weight_torque, scissor.inertia_felt, scissor.foot_force):
        got = function(part, angle)
        assert got.shape == (2, 4)
        np.testing.assert_allclose(got[1], function(Scissor(3, 0.3, 0.5, 0.1), angle), rtol=1e-12)


@pytest.mark.parametrize(
    "name, call",
    [
        ("cells", lambda: Scissor(0, 0.2, 0.5)),
        ("cells", lambda: Scissor(1.5, 0.2, 0.5)),
        ("arm", lambda: Scissor(1, 0.0, 0.5)),
        ("load", lambda: Scissor(1, 0.2, -0.5)),
        ("cell_mass", lambda: Scissor(1, 0.2, 0.5, -0.1)),
        ("angle", lambda: scissor.height(PART, 0.0)),
        ("angle", lambda: scissor.foot_force(PART, np.pi / 2)),
        ("angle", lambda: scissor.weight_torque(PART, np.nan)),
        ("height", lambda: scissor.angle_at(PART, 0.72)),
        ("height", lambda: scissor.angle_at(PART, 0.0)),
        ("friction", lambda: scissor.slide_friction(PART, 0.5, -0.1)),
        ("force", lambda: scissor.start_angle(PART, 0.0)),
        ("angle", lambda: scissor.steepness(0.0, 1.0)),
        ("base", lambda: scissor.cylinder_length(PART, 0.5, 0.0, 0.1)),
        ("along", lambda: scissor.cylinder_length(PART, 0.5, 0.2, 0.25)),
        ("along", lambda: scissor.cylinder_force(PART, 0.5, 0.2, 0.0)),
        ("foot_play", lambda: scissor.play(PART, 0.5, -1.0, 0.0)),
        ("pin_play", lambda: scissor.play(PART, 0.5, 0.0, -1.0)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but it must be .*; .*\.$"):
        call()

"""What a scissor's drive feels: ways against geometry, moves against Lagrange's equation, energy of every move."""

import numpy as np
import pytest
import sympy
from scipy.integrate import solve_ivp
from scipy.interpolate import CubicSpline

from mechbench.physics import motion, scissor, scissor_load, screw
from mechbench.physics.drive import Line
from mechbench.physics.scissor import Scissor
from tests.physics.reference_motion import Drive
from tests.published import RECOMPUTED, check

G = 9.80665
PART = Scissor(3, 0.24, 0.6, 0.12)
RADIUS = 0.012
DRIVES = {
    "foot": lambda angle: scissor_load.foot_drive(PART, angle, RADIUS),
    "arm": lambda angle: (angle, 1.0 + 0 * angle),
    "cylinder": lambda angle: scissor_load.cylinder_drive(PART, angle, 0.30, 0.12, 0.004),
    "horn": lambda angle: scissor_load.horn_drive(PART, angle, 0.07, 0.11, 0.06)[:2],
}


def line(ratio):
    return Line(1.25, 0.0175 * ratio, 0.25, 7.5e-6 * ratio**2, 0.729, 0.628)


LINES = {"foot": line(16), "arm": line(192), "cylinder": line(12), "horn": line(192)}


# ---- ways ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", DRIVES)
def test_rate_is_the_slope_of_the_way(name):
    angle, h = np.radians(np.linspace(12, 62, 21)), 1e-6
    slope = (DRIVES[name](angle + h)[0] - DRIVES[name](angle - h)[0]) / (2 * h)
    np.testing.assert_allclose(DRIVES[name](angle)[1], slope, rtol=1e-6)
    assert np.all(slope > 0), "the shaft turns on while the scissor rises"


def test_a_horn_is_as_long_as_it_is_and_so_is_its_rod():
    angle = np.radians(np.linspace(12, 62, 21))
    way, _, reaches = scissor_load.horn_drive(PART, angle, 0.07, 0.11, 0.06)
    assert reaches.all()
    pin = 0.06 + 0.07 * np.exp(1j * way)
    np.testing.assert_allclose(np.abs(PART.arm * np.cos(angle) - pin), 0.11)


def test_a_horn_that_is_too_short_says_so():
    angle = np.radians([10.0, 40.0, 80.0])
    _, rate, reaches = scissor_load.horn_drive(PART, angle, 0.02, 0.12, 0.06)
    assert list(reaches) == [False, True, False]
    assert np.isposinf(rate[~reaches]).all() and np.isfinite(rate[reaches]).all()


def test_a_horn_longer_than_its_rod_stops_where_the_rod_stands_square():
    """There the pin can go no further round: beyond it the same turn would push the foot out again."""
    angle = np.radians(np.linspace(20, 80, 601))
    way, rate, reaches = scissor_load.horn_drive(PART, angle, 0.10, 0.06, 0.10)
    foot = PART.arm * np.cos(angle) - 0.10
    square = np.sqrt(0.10**2 - 0.06**2)
    np.testing.assert_array_equal(reaches, (foot > square) & (foot < 0.16))
    assert 10 < reaches.sum() < 590
    assert np.all(np.diff(way[reaches]) > 0) and np.isposinf(rate[~reaches]).all()


def test_a_horn_near_stretched_starts_easier_than_a_drum_of_the_same_turn():
    angle = np.radians(np.linspace(12, 62, 51))
    way, rate = DRIVES["horn"](angle)
    horn = scissor_load.lift(PART, angle, way, rate)
    radius = PART.arm * (np.cos(angle[0]) - np.cos(angle[-1])) / (way[-1] - way[0])
    drum = scissor_load.lift(PART, angle, *scissor_load.foot_drive(PART, angle, radius))
    assert horn.q[-1] == pytest.approx(drum.q[-1])
    assert horn.load_torque[0] < 0.7 * drum.load_torque[0]


def test_foot_drive_is_drum_and_screw():
    angle = np.radians(np.linspace(12, 62, 5))
    pull = scissor_load.lift(PART, angle, *scissor_load.foot_drive(PART, angle, RADIUS)).load_torque
    np.testing.assert_allclose(pull, scissor.foot_force(PART, angle) * RADIUS, rtol=1e-12)
    lead, diameter, friction = 0.004, 0.008, 0.15
    load = scissor_load.lift(PART, angle, *scissor_load.foot_drive(PART, angle, screw.lead_radius(lead)))
    efficiency = screw.thread_efficiency(screw.lead_angle(lead, diameter), friction)
    np.testing.assert_allclose(
        load.load_torque / efficiency,
        screw.torque_to_raise(scissor.foot_force(PART, angle), lead, diameter, friction),
        rtol=1e-9,
    )


# ---- Load against Lagrange's equation and energy ------------------------------------------------------------------


def by_lagrange(name, start):
    """Inertia, weight and friction over the drive's way, from the energies over the angle, by sympy and the chain
    rule.
    """
    t, w = sympy.symbols("t w")
    kinetic = PART.load * (sympy.diff(PART.cells * PART.arm * sympy.sin(t), t) * w) ** 2 / 2
    potential = PART.load * G * PART.cells * PART.arm * sympy.sin(t)
    for level in range(PART.cells):
        x, y = PART.arm * sympy.cos(t) / 2, (level + sympy.Rational(1, 2)) * PART.arm * sympy.sin(t)
        kinetic += PART.cell_mass * ((x.diff(t) * w) ** 2 + (y.diff(t) * w) ** 2 + PART.arm**2 / 12 * w**2) / 2
        potential += PART.cell_mass * G * y
    foot = PART.arm * sympy.cos(t)
    if name == "foot":
        way = -foot / RADIUS
    elif name == "arm":
        way = t
    elif name == "cylinder":
        way = sympy.sqrt((0.12 * sympy.cos(t) - 0.30) ** 2 + (0.12 * sympy.sin(t)) ** 2) / 0.004
    else:
        away = foot - 0.06
        way = sympy.acos((away**2 + 0.07**2 - 0.11**2) / (2 * 0.07 * away))
    rate = way.diff(t)
    inertia = kinetic.diff(w, 2) / rate**2
    wanted = (
        way,
        inertia,
        inertia.diff(t) / rate,
        potential.diff(t) / rate,
        G * 0.1 * (PART.load + 1.5 * PART.cell_mass) * -foot.diff(t) / rate,
    )
    grid = np.radians(np.linspace(11.5, 62.5, 8001))
    q, *values = (np.broadcast_to(sympy.lambdify(t, f)(grid), grid.shape) for f in wanted)
    q = q - CubicSpline(grid, q)(start)
    return [CubicSpline(q, value) for value in values]


@pytest.mark.parametrize("way", ["up", "down"])
@pytest.mark.parametrize("name", DRIVES)
def test_a_move_is_as_lagrange_says(name, way):
    angle = np.radians(np.linspace(12, 62, 61))
    sign = 1 if way == "up" else -1
    angle = angle[::sign]
    inertia, slope, weight, rub = by_lagrange(name, angle[0])
    load = scissor_load.lift(PART, angle, *DRIVES[name](angle), friction=0.1)
    drive = LINES[name]
    by_equation = Drive(drive, [])
    drag = lambda q, w: 0.5 * sign * slope(sign * q) * w * w + sign * weight(sign * q) + rub(sign * q)
    volts, sag = 12.6, 0.12

    def rhs(t, y):
        amps = (volts - drive.torque_constant * y[1]) / (drive.resistance + sag)
        return [y[1], by_equation.acceleration(inertia(sign * y[0]) + 1e-6, drag(*y), amps)]

    arrive = lambda t, y: y[0] - load.q[-1]
    arrive.terminal = True
    ref = solve_ivp(rhs, (0, 60), [0.0, 0.0], events=arrive, rtol=1e-9, atol=1e-11)
    done = motion.move(drive, load, motion.Bus(volts, sag), end="pass")
    source = "Lagrange's equation by sympy, integrated by scipy"
    check("scissor_load", f"time {way}, drive at the {name} [s]", done.time[0, 0], ref.t[-1], 1e-3, source, RECOMPUTED)
    check(
        "scissor_load",
        f"speed at the end {way}, drive at the {name} [rad/s]",
        done.speed[0, 0, -1],
        ref.y[1, -1],
        2e-3,
        source,
        RECOMPUTED,
    )
    assert done.balance_error.max() < 1e-3


@pytest.mark.parametrize("name", DRIVES)
def test_a_stopped_move_keeps_its_energy_law(name):
    angle = np.radians(np.linspace(12, 62, 31))
    for stroke in (angle, angle[::-1]):
        load = scissor_load.lift(PART, stroke, *DRIVES[name](stroke), friction=0.1)
        done = motion.move(LINES[name], load, motion.Bus(12.6, 0.12))
        assert done.why[0, 0] == "arrived" and done.balance_error.max() < 1e-3


@pytest.mark.parametrize("name", DRIVES)
def test_work_of_every_drive_is_the_same(name):
    angle = np.radians(np.linspace(12, 62, 4001))
    load = scissor_load.lift(PART, angle, *DRIVES[name](angle))
    rise = G * (PART.load + 1.5 * PART.cell_mass) * 3 * 0.24 * (np.sin(angle[-1]) - np.sin(angle[0]))
    assert np.trapezoid(load.load_torque, load.q) == pytest.approx(rise, rel=1e-5)
    energy = 0.5 * load.inertia * 2.0**2
    height_rate = 3 * 0.24 * np.cos(angle) / DRIVES[name](angle)[1] * 2.0
    assert np.all(energy > 0.5 * PART.load * height_rate**2), "the load's energy of motion is the greater part"


def test_leaving_the_changing_inertia_out_would_shift_the_time():
    """The inertia at the foot's drive falls by a factor of hundred over the stroke: its slope must count."""
    angle = np.radians(np.linspace(12, 62, 61))
    load = scissor_load.lift(PART, angle, *scissor_load.foot_drive(PART, angle, RADIUS))
    assert load.inertia[0] / load.inertia[-1] > 50


def test_arrays_equal_scalars():
    part = Scissor(np.array([[2], [3]]), 0.24, 0.6, 0.12)
    angle = np.radians(np.linspace(12, 62, 7))
    for name, arguments in (
        ("foot_drive", (RADIUS,)),
        ("cylinder_drive", (0.3, 0.12, 0.004)),
        ("horn_drive", (0.07, 0.11, 0.06)),
    ):
        drive = getattr(scissor_load, name)
        load = scissor_load.lift(part, angle, *drive(part, angle, *arguments)[:2])
        one = scissor_load.lift(
            Scissor(3, 0.24, 0.6, 0.12), angle, *drive(Scissor(3, 0.24, 0.6, 0.12), angle, *arguments)[:2]
        )
        assert load.load_torque.shape == (2, 7)
        np.testing.assert_allclose(load.load_torque[1], one.load_torque, rtol=1e-12)


@pytest.mark.parametrize(
    "name, call",
    [
        ("radius", lambda: scissor_load.foot_drive(PART, 0.5, 0.0)),
        ("angle", lambda: scissor_load.foot_drive(PART, 0.0, 0.01)),
        ("radius", lambda: scissor_load.cylinder_drive(PART, 0.5, 0.3, 0.1, 0.0)),
        ("horn", lambda: scissor_load.horn_drive(PART, 0.5, 0.0, 0.1, 0.0)),
        ("rod", lambda: scissor_load.horn_drive(PART, 0.5, 0.1, 0.0, 0.0)),
        ("shaft", lambda: scissor_load.horn_drive(PART, 0.5, 0.1, 0.1, np.nan)),
        ("rate", lambda: scissor_load.lift(PART, [0.5, 0.6], [0.5, 0.6], [1.0, np.inf])),
        ("rate", lambda: scissor_load.lift(PART, [0.5, 0.6], [0.5, 0.6], [1.0, 0.0])),
        ("friction", lambda: scissor_load.lift(PART, [0.5, 0.6], [0.5, 0.6], 1.0, friction=-0.1)),
        ("shaft_inertia", lambda: scissor_load.lift(PART, [0.5, 0.6], [0.5, 0.6], 1.0, shaft_inertia=0.0)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but it must be .*; .*\.$"):
        call()

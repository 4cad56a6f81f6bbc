"""Intake: published rollers and nips, the nip against free bodies, the funnel against a piece that is really pushed."""

import numpy as np
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from mechbench.physics import drive, intake
from tests.published import COMPANION, MEMORY, check

FRICTION = st.floats(0.0, 1.5)
ANGLE = st.floats(0.01, 1.2)

# ---- published ----------------------------------------------------------------------------------------------------


def test_surface_speed_of_a_roller():
    source = "T. H. Wentzell, Machine Design, Example 12.2 p. 256"
    speed = intake.surface_speed(2.5 * 0.0254, 1725 * 2 * np.pi / 60)
    check("intake", "surface speed, 2.5 in at 1725 rpm [ft/min]", speed * 60 / 0.3048, 1129.01, 1e-4, source, COMPANION)
    check("intake", "surface speed, 2.5 in at 1725 rpm [m/s]", speed, 5.735, 1e-4, source, COMPANION)


def test_largest_piece_for_crushing_rolls():
    """Rolls of 1 m, 12.5 mm apart, 31 degrees between their two faces: each roll has half of both."""

    def too_steep(radius):
        return 2 * intake.nip_angle(0.5, radius, radius - 0.0125 / 2) - np.radians(31)

    check(
        "intake",
        "radius of the largest piece [mm, printed without decimals]",
        np.floor(1000 * brentq(too_steep, 0.007, 0.1)),
        25.0,
        1e-9,
        "Coulson & Richardson, Chemical Engineering Vol. 2, Example 2.2",
        COMPANION,
    )


def test_most_draft_of_a_rolling_mill():
    """A plate has no radius: its edge meets the roll. The book rounds small angles, mu^2 R."""
    draft = 2 * intake.deepest_squeeze(250.0, 0.0, 0.12)
    check(
        "intake",
        "most draft, rolls of 250 mm radius, friction 0.12 [mm]",
        draft,
        3.6,
        0.015,
        "Groover, Fundamentals of Modern Manufacturing, example on flat rolling",
        MEMORY,
    )


# ---- the nip as a free body ---------------------------------------------------------------------------------------


def sliding_by_equilibrium(angle, wall):
    """Friction over normal force at the roller when the piece just moves in, dragging on the wall. Unknown: both."""
    equations = [[np.cos(angle), -wall], [-np.sin(angle), 1.0]]  # along the gap; across it (roller's normal force is 1)
    return np.linalg.solve(equations, [np.sin(angle), np.cos(angle)])[0]


@given(ANGLE, st.floats(0.0, 0.3))
def test_sliding_nip_by_equilibrium(angle, wall):
    assert intake.sliding_nip(angle, wall) == pytest.approx(sliding_by_equilibrium(angle, wall), rel=1e-9)


@given(ANGLE)
def test_rolling_nip_by_equilibrium(angle):
    """Unknown: friction at the roller, friction and normal force at the wall; forces along, across, and the moment."""
    equations = [[np.cos(angle), 1.0, 0.0], [-np.sin(angle), 0.0, 1.0], [1.0, -1.0, 0.0]]
    roller, wall, normal = np.linalg.solve(equations, [np.sin(angle), np.cos(angle), 0.0])
    assert intake.rolling_nip(angle) == pytest.approx(roller, rel=1e-9)
    assert intake.rolling_nip(angle) == pytest.approx(wall / normal, rel=1e-9)


@given(ANGLE)
def test_two_driven_rollers_are_a_wall_without_friction(angle):
    assert intake.driven_nip(angle) == pytest.approx(np.sin(angle) / np.cos(angle))
    assert intake.driven_nip(angle) == pytest.approx(intake.sliding_nip(angle, 0.0))
    assert intake.rolling_nip(angle) < intake.driven_nip(angle) < intake.sliding_nip(angle, 0.1)


@given(st.floats(0.01, 0.2), st.floats(0.0, 0.2), st.floats(0.0, 0.95))
def test_nip_angle_places_the_circles_so_that_they_touch(roller, piece, share):
    squeeze = share * (roller + piece)
    angle = intake.nip_angle(roller, piece, squeeze)
    centre = np.array([(roller + piece) * np.sin(angle), (roller + piece) * np.cos(angle)])
    assert np.hypot(*centre) == pytest.approx(roller + piece)
    assert roller + piece - centre[1] == pytest.approx(squeeze, abs=1e-12), "the gap is narrower by the squeeze"


def test_the_contrast_that_lessons_show():
    """Roller 80, piece 72 mm, 6 mm: one roller and a wall of 0.3 is hopeless, two driven rollers are easy."""
    one, half = intake.nip_angle(0.040, 0.036, 0.006), intake.nip_angle(0.040, 0.036, 0.003)
    assert [round(np.degrees(a), 1) for a in (one, half)] == [22.9, 16.2]
    assert [
        round(v, 2) for v in (intake.sliding_nip(one, 0.3), intake.sliding_nip(half, 0.3), intake.driven_nip(half))
    ] == [0.83, 0.65, 0.29]


@given(st.floats(0.01, 0.2), st.floats(0.0, 0.2), st.floats(0.05, 1.4), FRICTION)
def test_deepest_squeeze_is_where_friction_is_just_enough(roller, piece, grip, wall):
    squeeze = intake.deepest_squeeze(roller, piece, grip, wall)
    if grip <= wall:
        assert squeeze == 0
    elif grip - wall > 1e-3:
        assert intake.sliding_nip(intake.nip_angle(roller, piece, squeeze), wall) == pytest.approx(grip, rel=1e-5)
        assert intake.deepest_squeeze(2 * roller, 2 * piece, grip, wall) == pytest.approx(2 * squeeze), (
            "everything twice as large"
        )


@given(st.floats(0.01, 0.2), st.floats(0.0, 0.2), st.floats(0.05, 0.95), st.floats(0.05, 0.95))
def test_deepest_squeeze_of_a_rolling_piece(roller, piece, grip, wall):
    squeeze = intake.deepest_squeeze(roller, piece, grip, wall, rolls=True)
    assert intake.rolling_nip(intake.nip_angle(roller, piece, squeeze)) == pytest.approx(min(grip, wall), rel=1e-5)
    assert intake.deepest_squeeze(roller, piece, 1.2, 1.1, rolls=True) == pytest.approx(roller + piece)


def test_where_no_friction_is_enough():
    assert intake.sliding_nip(np.radians(80), 0.3) == np.inf
    assert intake.driven_nip(np.pi / 2) == np.inf and intake.driven_nip(0.0) == 0.0


# ---- speed, force, torque -----------------------------------------------------------------------------------------


@given(st.floats(-3, 3), st.floats(-3, 3), st.floats(0.01, 0.1))
def test_a_rolling_piece_keeps_up_with_both_surfaces(first, second, radius):
    middle, turning = intake.rolling_speed(first, second), (first - second) / (2 * radius)
    assert middle + turning * radius == pytest.approx(first, abs=1e-12)
    assert middle - turning * radius == pytest.approx(second, abs=1e-12)


def test_speed_ratio():
    assert intake.speed_ratio(1.5, 1.0) == 1.5 and intake.speed_ratio(1.5, 0.0) == np.inf
    assert list(intake.speed_ratio(1.0, [0.0, 0.5, 2.0])) == [np.inf, 2.0, 0.5]


def test_power_of_the_roller_goes_into_drag_and_height():
    """Carrying up a ramp at the roller's surface speed: torque times speed is friction's heat and the weight's rise."""
    radius, press, wall, slope, speed = 0.030, 6.0, 0.25, np.radians(20), 40.0
    along = 0.16 * 9.80665 * np.sin(slope)
    power = intake.roller_torque(radius, press, wall, along) * speed
    v = intake.surface_speed(2 * radius, speed)
    assert power == pytest.approx(wall * press * v + 0.16 * 9.80665 * v * np.sin(slope))


def test_carrying_asks_less_than_slipping_exactly_where_the_roller_grips_better():
    for grip in (0.2, 0.3, 0.8):
        carries = intake.roller_torque(0.03, 5.0, 0.25) < intake.slip_torque(0.03, 5.0, grip)
        assert carries == (grip > 0.25)


def test_squeeze_to_current():
    """3 mm on a 1.5 N/mm roller through 12:1: force, torque, current; each step in proportion."""
    line = drive.line(
        type("M", (), dict(resistance=1.25, torque_constant=0.0175, free_current=0.25, rotor_inertia=7.5e-6)),
        12,
        0.81,
        0.79,
    )
    press = intake.press_force(1500.0, 0.003)
    jam = intake.slip_torque(0.030, press, 0.8)
    assert press == pytest.approx(4.5) and jam == pytest.approx(0.108)
    assert drive.current_for_torque(line, jam) == pytest.approx(0.108 / (0.0175 * 12 * 0.81) + 0.25)
    assert intake.press_force(1500.0, 0.006) == 2 * press


# ---- getting at the piece -----------------------------------------------------------------------------------------


@given(st.floats(0.05, 0.5), st.floats(0.02, 0.3), st.floats(0.0, 0.6))
@example(0.05, 0.05, 1e-6)
def test_heading_limit_of_a_rectangle_that_is_turned(gap, width, length):
    # A diagonal a hair longer than the gap is in the way for less than one step of the turn: the steps miss it.
    assume(not 0 < np.hypot(width, length) / gap - 1 < 1e-8)
    turn = np.linspace(0, np.pi / 2, 20001)
    corners = np.array([[0, width, 0, width], [0, 0, length, length]])
    across = np.cos(turn)[:, None] * corners[0] + np.sin(turn)[:, None] * corners[1]
    wide = np.ptp(across, axis=1) > gap
    limit = intake.heading_limit(gap, width, length)
    assert limit == pytest.approx(turn[np.argmax(wide)] if wide.any() else np.pi / 2, abs=2e-4)


def test_an_intake_as_wide_as_the_gap_does_not_enter():
    assert intake.heading_limit(0.3, 0.3, 0.2) == pytest.approx(0, abs=1e-12)
    assert intake.heading_limit(0.3, 0.35, 0.2) == 0
    assert intake.heading_limit(0.3, 0.1, 0.1) == np.pi / 2


@given(st.floats(0.1, 0.4), st.floats(0.02, 0.05), st.floats(0.015, 0.05), st.floats(0.0, 0.01))
def test_reach_brings_the_roller_just_to_the_piece(depth, piece, roller, squeeze):
    angle = intake.nip_angle(roller, piece, squeeze)
    axis = np.array([intake.reach_needed(depth, piece, roller, angle), piece + roller - squeeze])
    middle = np.array([depth - piece, 0.0])
    assert np.hypot(*(middle - axis)) == pytest.approx(roller + piece, rel=1e-9)


def pushed_aside(angle, friction, offset, speed=0.02, mass=0.16):
    """Drive of the robot until a sliding piece has moved aside by offset: Newton's law with a springy plate.

    The plate moves along x at a low speed; the floor's friction is against the velocity, the plate's against the
    slip along it, both smoothed at very low speed.
    """
    normal, along = np.array([np.sin(angle), np.cos(angle)]), np.array([np.cos(angle), -np.sin(angle)])

    def motion(t, state):
        place, velocity = state[:2], state[2:]
        slip = velocity - np.array([speed, 0.0])
        depth = -((place - np.array([speed * t, 0.0])) @ normal)
        press = max(4e3 * depth - 40.0 * (slip @ normal), 0.0) if depth > 0 else 0.0
        rub = -friction * press * np.tanh((slip @ along) / 2e-4) * along
        floor = -0.5 * mass * 9.80665 * velocity / np.hypot(np.hypot(*velocity), 1e-5)
        return np.concatenate([velocity, (press * normal + rub + floor) / mass])

    def there(t, state):
        return state[1] - offset

    there.terminal = True
    done = solve_ivp(motion, (0, 60), [0.0, 0.0, 0.0, 0.0], "LSODA", events=there, rtol=1e-7, atol=1e-9)
    return speed * done.t_events[0][0] if done.t_events[0].size else np.inf


@pytest.mark.parametrize("degrees, friction", [(20, 0.25), (30, 0.0), (30, 0.25), (45, 0.4), (60, 0.25)])
def test_funnel_against_a_piece_that_is_pushed(degrees, friction):
    run = intake.funnel_run(0.030, np.radians(degrees), friction)
    assert run == pytest.approx(pushed_aside(np.radians(degrees), friction, 0.030), rel=0.01)


def test_a_blunt_funnel_only_pushes_ahead():
    edge = np.pi / 2 - np.arctan(0.25)
    assert intake.funnel_run(0.03, edge + 0.01, 0.25) == np.inf > intake.funnel_run(0.03, edge - 0.01, 0.25)
    angles = np.radians(np.linspace(5, 75, 1401))
    best = angles[np.argmin(intake.funnel_run(0.03, angles, 0.25))]
    assert best == pytest.approx(np.pi / 4 - np.arctan(0.25) / 2, abs=1e-3)
    assert intake.funnel_run(0.06, 0.5, 0.25) == pytest.approx(2 * intake.funnel_run(0.03, 0.5, 0.25))


def test_mouth_of_a_funnel():
    assert intake.funnel_mouth(0.1, 0.12, np.radians(45)) == pytest.approx(0.34)
    assert intake.funnel_mouth(0.1, 0.0, 1.0) == 0.1


def test_arrays_equal_scalars():
    radii, walls = np.array([0.015, 0.03, 0.045]), np.array([[0.0], [0.3]])
    angle = intake.nip_angle(radii, 0.040, 0.004)
    many = intake.sliding_nip(angle, walls)
    assert many.shape == (2, 3)
    for i, j in np.ndindex(2, 3):
        assert many[i, j] == pytest.approx(intake.sliding_nip(intake.nip_angle(radii[j], 0.040, 0.004), walls[i, 0]))
        assert intake.deepest_squeeze(radii, 0.040, 0.8, walls)[i, j] == pytest.approx(
            intake.deepest_squeeze(radii[j], 0.040, 0.8, walls[i, 0])
        )
    assert intake.heading_limit(0.3, radii + 0.2, 0.1)[1] == pytest.approx(intake.heading_limit(0.3, 0.23, 0.1))
    assert intake.funnel_run(0.03, np.array([0.3, 1.4]), 0.25)[1] == intake.funnel_run(0.03, 1.4, 0.25)


@pytest.mark.parametrize(
    "name, call",
    [
        ("diameter", lambda: intake.surface_speed(0.0, 10.0)),
        ("speed", lambda: intake.surface_speed(0.1, np.nan)),
        ("surface_speed", lambda: intake.rolling_speed(np.inf)),
        ("other_speed", lambda: intake.rolling_speed(1.0, np.nan)),
        ("piece_speed", lambda: intake.speed_ratio(-1.0, 1.0)),
        ("ground_speed", lambda: intake.speed_ratio(1.0, -1.0)),
        ("roller_radius", lambda: intake.nip_angle(0.0, 0.04, 0.001)),
        ("piece_radius", lambda: intake.nip_angle(0.03, -0.04, 0.001)),
        ("squeeze", lambda: intake.nip_angle(0.03, 0.04, -0.001)),
        ("squeeze", lambda: intake.nip_angle(0.03, 0.04, 0.07)),
        ("nip_angle", lambda: intake.sliding_nip(-0.1, 0.3)),
        ("wall_friction", lambda: intake.sliding_nip(0.1, -0.3)),
        ("nip_angle", lambda: intake.rolling_nip(1.6)),
        ("nip_angle", lambda: intake.driven_nip(1.6)),
        ("roller_radius", lambda: intake.deepest_squeeze(0.0, 0.04, 0.8)),
        ("piece_radius", lambda: intake.deepest_squeeze(0.03, -0.04, 0.8)),
        ("roller_friction", lambda: intake.deepest_squeeze(0.03, 0.04, -0.8)),
        ("wall_friction", lambda: intake.deepest_squeeze(0.03, 0.04, 0.8, -0.1)),
        ("stiffness", lambda: intake.press_force(0.0, 0.001)),
        ("squeeze", lambda: intake.press_force(1500.0, -0.001)),
        ("radius", lambda: intake.roller_torque(0.0, 1.0, 0.3)),
        ("press_force", lambda: intake.roller_torque(0.03, -1.0, 0.3)),
        ("wall_friction", lambda: intake.roller_torque(0.03, 1.0, -0.3)),
        ("along", lambda: intake.roller_torque(0.03, 1.0, 0.3, -1.0)),
        ("radius", lambda: intake.slip_torque(-0.03, 1.0, 0.3)),
        ("press_force", lambda: intake.slip_torque(0.03, -1.0, 0.3)),
        ("roller_friction", lambda: intake.slip_torque(0.03, 1.0, -0.3)),
        ("depth", lambda: intake.reach_needed(-0.1, 0.04, 0.03, 0.3)),
        ("piece_radius", lambda: intake.reach_needed(0.1, -0.04, 0.03, 0.3)),
        ("roller_radius", lambda: intake.reach_needed(0.1, 0.04, 0.0, 0.3)),
        ("nip_angle", lambda: intake.reach_needed(0.1, 0.04, 0.03, 2.0)),
        ("gap", lambda: intake.heading_limit(0.0, 0.2, 0.1)),
        ("width", lambda: intake.heading_limit(0.3, 0.0, 0.1)),
        ("length", lambda: intake.heading_limit(0.3, 0.2, -0.1)),
        ("throat", lambda: intake.funnel_mouth(0.0, 0.1, 0.5)),
        ("length", lambda: intake.funnel_mouth(0.1, -0.1, 0.5)),
        ("angle", lambda: intake.funnel_mouth(0.1, 0.1, 0.0)),
        ("offset", lambda: intake.funnel_run(-0.1, 0.5, 0.25)),
        ("angle", lambda: intake.funnel_run(0.1, 1.6, 0.25)),
        ("friction", lambda: intake.funnel_run(0.1, 0.5, -0.25)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but .*; .*\.$"):
        call()

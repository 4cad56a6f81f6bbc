"""Transfer: published ramps and slides, stages against a piece that is pushed along them step by step."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from mechbench.physics import transfer
from mechbench.physics.constants import GRAVITY
from mechbench.physics.transfer import Stages
from tests.published import COMPANION, READ, check

SLOPE = st.floats(-1.4, 1.4)
FRICTION = st.floats(0.0, 1.2)

# ---- published ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("degrees, expected", [(12, 1500.0), (15, 1720.0)])
def test_effort_up_a_plane(degrees, expected):
    """The book asks for weight and friction from two efforts; here the efforts from its answers."""
    check(
        "transfer",
        f"effort along a plane of {degrees} deg [N]",
        transfer.ramp_force(4462 / GRAVITY, np.radians(degrees), 0.131),
        expected,
        1e-3,
        "Khurmi & Gupta, Theory of Machines, 14th ed., Example 10.2 p. 268",
        COMPANION,
    )


@pytest.mark.parametrize("friction, expected", [(0.7, 137.0), (0.6, 118.0)])
def test_push_of_a_crate_on_a_level_floor(friction, expected):
    check(
        "transfer",
        f"push of a 20 kg crate at mu = {friction} [N]",
        transfer.ramp_force(20.0, 0.0, friction),
        expected,
        4e-3,
        "OpenStax University Physics Vol. 1, Example 6.10",
        READ,
    )


def test_friction_of_a_skier():
    source = "OpenStax College Physics, Example 5.1 (62 kg, 25 deg, 45.0 N)"
    down = np.radians(-25)
    share = transfer.ramp_force(62.0, down, 0.082) - transfer.ramp_force(62.0, down, 0.0)
    check("transfer", "friction of a skier at mu = 0.082 [N]", share, 45.0, 5e-3, source, COMPANION)


def test_slide_of_a_player():
    friction = 450 / (65 * GRAVITY)
    check(
        "transfer",
        "slide from 6.00 m/s against 450 N [m]",
        transfer.coast_length(6.0, 0.0, friction),
        2.60,
        1e-3,
        "OpenStax College Physics, Example 7.9",
        COMPANION,
    )
    slope = np.radians(5)
    check(
        "transfer",
        "the same up a slope of 5 deg [m]",
        transfer.coast_length(6.0, slope, friction / np.cos(slope)),
        2.31,
        2e-3,
        "OpenStax College Physics, Example 7.10",
        COMPANION,
    )


# ---- ramps --------------------------------------------------------------------------------------------------------


@given(SLOPE, FRICTION, st.floats(0.05, 2.0))
def test_ramp_force_by_components(slope, friction, mass):
    """Weight turned into the ramp's own axes by a rotation matrix."""
    turn = np.array([[np.cos(slope), np.sin(slope)], [-np.sin(slope), np.cos(slope)]])
    along, across = turn @ np.array([0.0, -mass * GRAVITY])
    assert transfer.ramp_force(mass, slope, friction) == pytest.approx(-along + friction * -across, abs=1e-12)


@given(st.floats(0.0, 1.4), st.floats(0.0, 0.5), st.floats(0.55, 1.2))
def test_press_by_equilibrium(slope, ramp, roller):
    """Unknown: the press and the ramp's normal force; along and across the ramp."""
    weight = 0.16 * GRAVITY
    press, _ = np.linalg.solve([[roller, -ramp], [-1.0, 1.0]], [weight * np.sin(slope), weight * np.cos(slope)])
    assert transfer.ramp_press(0.16, slope, roller, ramp) == pytest.approx(press)


def test_a_ramp_rougher_than_the_roller_is_hopeless():
    assert transfer.ramp_press(0.16, 0.3, 0.25, 0.25) == np.inf == transfer.ramp_press(0.16, 0.3, 0.2, 0.3)
    assert transfer.ramp_press(0.16, -1.2, 0.2, 0.3) == 0.0, "it slides down by itself"


@given(st.floats(-0.8, 1.2), FRICTION)
def test_steepest_ramp_turns_ramp_force_round(slope, friction):
    pull = transfer.ramp_force(0.16, slope, friction)
    if pull >= 0 and slope < np.pi / 2 - np.arctan(friction) - 1e-3:
        assert transfer.steepest_ramp(0.16, pull, friction) == pytest.approx(slope, abs=1e-6)


def test_a_strong_pull_climbs_anything():
    assert transfer.steepest_ramp(0.16, 5.0, 0.25) == np.pi / 2
    most = max(transfer.ramp_force(0.16, np.linspace(0, np.pi / 2, 9001), 0.25))
    assert (
        transfer.steepest_ramp(0.16, 1.0001 * most, 0.25)
        == np.pi / 2
        > transfer.steepest_ramp(0.16, 0.999 * most, 0.25)
    )


@given(st.floats(0.01, 3.0), SLOPE, FRICTION)
def test_coasting_spends_the_energy_of_motion(speed, slope, friction):
    length, force = transfer.coast_length(speed, slope, friction), transfer.ramp_force(1.0, slope, friction)
    if force > 1e-6:
        assert length * force == pytest.approx(speed**2 / 2, abs=1e-12)
    elif force < -1e-6 and speed > 0:
        assert length == np.inf


# ---- stages -------------------------------------------------------------------------------------------------------


def driven(middle, length, grip, start, end):
    """Whether at least the gripped length of the piece lies on the stage (a roller: whether it touches)."""
    on = np.minimum(middle + length / 2, end) - np.maximum(middle - length / 2, start)
    return on >= grip - 1e-12 if grip > 0 else on >= -1e-12


@given(st.floats(-0.15, 0.15), st.floats(0.03, 0.1), st.floats(0.0, 1.0))
def test_stall_zone_by_stepping_along_the_path(gap, length, share):
    grip, path = share * length, np.linspace(-0.25, 0.35, 6001)
    first, second = driven(path, length, grip, -1.0, 0.0), driven(path, length, grip, gap, gap + 1.0)
    zone = transfer.stall_zone(gap, length, grip)
    assert np.sum(~(first | second)) * 1e-4 == pytest.approx(zone, abs=2.1e-4)


def pushed_along(stages, length, grip, friction):
    """Where a piece stops that is stepped along the stages: driven at the later stage's speed, else slowed down."""
    place, speed, step = stages.start[0] + max(grip - length / 2, 0.0) + 1e-6, stages.speed[0], 2e-5
    while place < stages.end[-1]:
        holding = [i for i in range(stages.start.size) if driven(place, length, grip, stages.start[i], stages.end[i])]
        speed = stages.speed[holding[-1]] if holding else speed - friction * GRAVITY * step
        if speed <= 0:
            return place
        place += speed * step
    return np.inf


@pytest.mark.parametrize(
    "start, end, speed, grip",
    [
        ([0.0, 0.24], [0.10, 0.40], [0.8, 1.2], 0.0),
        ([0.0, 0.24], [0.10, 0.40], [0.3, 1.2], 0.0),
        ([0.0, 0.15, 0.40], [0.14, 0.30, 0.6], [0.5, 0.7, 1.0], 0.040),
        ([0.0, 0.10, 0.40], [0.14, 0.39, 0.6], [0.3, 0.7, 1.0], 0.060),
        ([0.0, 0.05, 0.35], [0.16, 0.45, 0.6], [0.3, 0.4, 1.0], 0.080),
    ],
)
def test_where_a_piece_stops_by_stepping_it_along(start, end, speed, grip):
    stages = Stages(start, end, speed)
    way = transfer.hand_on(stages, 0.080, grip, 0.25)
    assert way.stuck_at == pytest.approx(pushed_along(stages, 0.080, grip, 0.25), abs=3e-4)


def test_stages_that_overlap_by_the_whole_piece_never_stall():
    assert transfer.stall_zone(-0.080, 0.080, 0.080) == 0 < transfer.stall_zone(-0.075, 0.080, 0.080)
    assert transfer.stall_zone(0.080, 0.080, 0.0) == 0 < transfer.stall_zone(0.085, 0.080, 0.0)


def test_rows_of_chains_equal_them_one_by_one():
    rows = Stages(
        [[0.0, 0.2, 0.4], [0.0, 0.3, 0.5]], [[0.1, 0.3, 0.6], [0.1, 0.4, 0.6]], [[0.5, 0.4, 1.0], [0.2, 1.0, 1.0]]
    )
    many = transfer.hand_on(rows, 0.080, 0.040, 0.25, 0.1)
    for i in range(2):
        one = transfer.hand_on(Stages(rows.start[i], rows.end[i], rows.speed[i]), 0.080, 0.040, 0.25, 0.1)
        assert many.stuck_at[i] == one.stuck_at and many.speed_up[i] == pytest.approx(one.speed_up)
        assert many.stall_zone[i] == pytest.approx(one.stall_zone)
    alone = transfer.hand_on(Stages(0.0, 0.1, 1.0), 0.080, 0.0, 0.25)
    assert alone.stuck_at == np.inf and alone.speed_up.size == 0


@given(st.floats(0.0, 0.2), st.floats(0.02, 0.1), st.floats(0.2, 3.0), st.floats(0.1, 2.0))
def test_spacing_follows_the_speed_and_time_does_not(gap, length, speed_up, speed):
    after = transfer.next_gap(gap, length, speed_up)
    before = transfer.piece_period(speed, length, gap)
    if after >= 0:
        assert transfer.piece_period(speed * speed_up, length, after) == pytest.approx(before)
    assert transfer.next_gap(gap, length, 1.0) == pytest.approx(gap, abs=1e-15)


def test_throughput_and_standstill():
    assert 1 / transfer.piece_period(0.8, 0.080, 0.040) == pytest.approx(0.8 / 0.120)
    assert transfer.piece_period(0.0, 0.080, 0.04) == np.inf
    assert transfer.next_gap(0.0, 0.080, 0.5) < 0, "a slower stage: they run into each other"


@pytest.mark.parametrize(
    "name, call",
    [
        ("mass", lambda: transfer.ramp_force(0.0, 0.1, 0.2)),
        ("slope", lambda: transfer.ramp_force(1.0, 1.6, 0.2)),
        ("friction", lambda: transfer.ramp_force(1.0, 0.1, -0.2)),
        ("roller_friction", lambda: transfer.ramp_press(1.0, 0.1, -0.8, 0.2)),
        ("ramp_friction", lambda: transfer.ramp_press(1.0, 0.1, 0.8, -0.2)),
        ("pull", lambda: transfer.steepest_ramp(1.0, -1.0, 0.2)),
        ("mass", lambda: transfer.steepest_ramp(-1.0, 1.0, 0.2)),
        ("friction", lambda: transfer.steepest_ramp(1.0, 1.0, -0.2)),
        ("speed", lambda: transfer.coast_length(-1.0, 0.0, 0.2)),
        ("slope", lambda: transfer.coast_length(1.0, -2.0, 0.2)),
        ("gap", lambda: transfer.stall_zone(np.nan, 0.08, 0.0)),
        ("piece_length", lambda: transfer.stall_zone(0.0, 0.0, 0.0)),
        ("grip_length", lambda: transfer.stall_zone(0.0, 0.08, -0.01)),
        ("grip_length", lambda: transfer.stall_zone(0.0, 0.08, 0.09)),
        ("start", lambda: Stages([0.2, 0.1], [0.3, 0.3], [1.0, 1.0])),
        ("end", lambda: Stages([0.0, 0.1], [-0.1, 0.3], [1.0, 1.0])),
        ("speed", lambda: Stages([0.0, 0.1], [0.1, 0.3], [0.0, 1.0])),
        ("friction", lambda: transfer.hand_on(Stages([0.0, 0.1], [0.1, 0.3], [1.0, 1.0]), 0.08, 0.0, -0.1)),
        ("gap", lambda: transfer.next_gap(-0.1, 0.08, 1.0)),
        ("piece_length", lambda: transfer.next_gap(0.1, 0.0, 1.0)),
        ("speed_up", lambda: transfer.next_gap(0.1, 0.08, 0.0)),
        ("speed", lambda: transfer.piece_period(-1.0, 0.08, 0.0)),
        ("piece_length", lambda: transfer.piece_period(1.0, 0.0, 0.0)),
        ("gap", lambda: transfer.piece_period(1.0, 0.08, -0.1)),
    ],
)
def test_bad_input_is_named(name, call):
    with pytest.raises(ValueError, match=rf"^{name} is .*, but .*; .*\.$"):
        call()


def test_a_piece_slows_down_evenly_while_nothing_drives_it():
    """On the level with 0.25: 2.4517 m/s2, so 1 m/s is gone after 0.4079 s and 0.2039 m."""
    way = 1.0 / (2 * 0.25 * 9.80665)
    time, speed = transfer.coast_time(1.0, 0.0, 0.25, way * (1 - 1e-12))
    assert time == pytest.approx(1 / (0.25 * 9.80665), rel=1e-5) and speed == pytest.approx(0, abs=1e-5)
    assert transfer.coast_time(1.0, 0.0, 0.25, 1.01 * way)[0] == np.inf
    assert transfer.coast_time(1.0, 0.0, 0.0, 3.0) == (3.0, 1.0)
    assert transfer.coast_time(0.0, 0.0, 0.25, 0.0)[0] == 0 and transfer.coast_time(0.0, 0.0, 0.25, 0.1)[0] == np.inf
    faster = transfer.coast_time(1.0, -np.pi / 2, 0.0, 0.5)[1]
    assert faster == pytest.approx(np.sqrt(1 + 2 * 9.80665 * 0.5))

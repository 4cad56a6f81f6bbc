"""The winch's picture fills its drum layer by layer to scale, hangs the robot as the sizing finds it, and shows its
torques.
"""

import numpy as np
import pytest

from mechbench import quantity
from mechbench.kits import read_kit
from mechbench.mechanisms.winch.sizing import drum_of
from mechbench.physics import winch
from tests.drawing.read_back import corners, motion_of, pictured

# 139 N: 2.96 N·m on the first layer, 21.25 mm, and 3.31 N·m on the second, 23.75 mm. Stalled it gets 8.66 A from
# battery and wiring: (8.66 - 0.36) x 0.0198 x 25.3 x 0.88^2 = 3.22 N·m. Five turns of cord, 0.67 m, fill a layer.
WEAK = {"motor": "slim", "gearbox": "planetary_25", "mass": 14.2}
NARROW = "tests/whole_robot/by_hand_kit"  # whose spools hold less


def drawn(wound=1.0, off=0.0, **values):
    return pictured("winch", values, wound=wound, off=off)


def centres(path, radius):
    """Middles of the circles above the axis."""
    found = [ring[:-1].mean(axis=0) for ring in path.to_polygons(closed_only=False) if len(ring) > 3]
    return np.array([middle for middle in found if middle[1] > 0]).reshape(-1, 2)


def all_turns(picture, now):
    radius = now.cord.diameter / 2
    return np.vstack([centres(part.get_path(), radius) for part in (picture.turns, picture.newest)])


def tilt(picture):
    """How far the body is turned, read from its drawn outline."""
    beam = corners(picture.body)
    along = max(np.diff(beam, axis=0), key=np.linalg.norm)
    return abs(np.arctan(along[1] / along[0]))


def lowest(picture):
    """The lowest point that stood on the floor; a turned wheel is round and reaches a little lower than that."""
    points = np.vstack([corners(wheel) for wheel in picture.wheels])
    size = np.ptp(corners(picture.wheels[0])[:, 0]) / 2
    return points[:, 1].min() + size * (1 - np.cos(tilt(picture)))


@pytest.mark.parametrize("before", [0.0, 0.3, 0.9, 1.4, 2.0])
@pytest.mark.parametrize("wound", [0.4, 1.0])
def test_the_turns_drawn_hold_the_cord_that_is_wound(before, wound):
    picture, _, now = drawn(wound, before=before)
    turns = all_turns(picture, now)
    length = before + wound * (now.slack + now.lift_height)
    held = 2 * np.pi * turns[:, 1]
    assert held.sum() - held[-1] - 1e-9 <= length <= held.sum() + 1e-9, (
        "the last turn drawn is the one that is being wound"
    )


def test_turns_lie_beside_each_other_and_on_top_without_overlap():
    picture, _, now = drawn(before=1.6)
    turns = all_turns(picture, now)
    apart = np.hypot(*(turns[:, None] - turns[None]).transpose(2, 0, 1)) + np.eye(len(turns))
    assert apart.min() == pytest.approx(now.cord.diameter)
    assert np.abs(turns[:, 0]).max() + now.cord.diameter / 2 <= drum_of(now).width / 2 + 1e-9
    assert turns[0, 1] == pytest.approx(drum_of(now).core_radius + now.cord.diameter / 2)


def test_the_layer_and_its_radius_are_told():
    picture, report, now = drawn(before=1.2)
    layer = int(report.good["layers"])
    assert layer > 1 and picture.layer.get_text().startswith(f"layer {layer}")
    assert picture.radius.text.get_text() == f"radius\n{1000 * winch.layer_radius(drum_of(now), layer):.3g} mm"


def test_it_says_where_the_motor_stalls_and_where_the_drum_overflows():
    assert "stalls" not in drawn(**WEAK)[0].layer.get_text()
    assert "stalls" in drawn(before=0.6, **WEAK)[0].layer.get_text()
    overflown = pictured("winch", {"before": 2.0, "slack": 0.5}, read_kit(NARROW), wound=1.0)[0]
    assert "overflows" in overflown.layer.get_text()


def test_a_winch_that_stalls_lifts_no_further():
    """The picture and the words of the move name the same place."""
    picture, report, now = drawn(before=0.6, **WEAK)
    assert picture.told.get_text().splitlines()[1] == "it stands on the floor"
    wound = picture.here.get_data()[0][0] / 1000
    assert wound == pytest.approx(now.slack)
    assert f"It stalls at {quantity.show(wound, 'mm')} of cord" in picture.motion(report, now).told
    assert picture.here.get_data()[1][0] > picture.can.get_data()[1][0]


def test_a_winch_that_stalls_on_a_later_layer_leaves_the_robot_in_the_air():
    values = {**WEAK, "slack": 0.1, "lift_height": 0.6}
    picture, report, now = drawn(**values)
    drum = drum_of(now)
    first_layer = winch.layer_jumps(drum, 0.0, now.slack + now.lift_height)[1][0]
    assert report.good["spare"] < 0 < report.good["spare"] + report.good["pull"] * drum.cord_diameter
    wound = picture.here.get_data()[0][0] / 1000
    assert wound == pytest.approx(first_layer)
    assert f"It stalls at {quantity.show(wound, 'mm')} of cord" in picture.motion(report, now).told
    assert 0 < lowest(picture) < report.good["clear"]


@pytest.mark.parametrize("before", [0.0, 0.4, 1.5])
def test_torques_are_those_of_the_sizing(before):
    picture, report, now = drawn(before=before)
    way, asked = picture.asked.get_data()
    assert way[-1] / 1000 == pytest.approx(now.slack + now.lift_height)
    assert asked[0] == 0 and asked[-1] == pytest.approx(
        report.good["pull"] * winch.layer_radius(drum_of(now), int(report.good["layers"]))
    )
    assert picture.can.get_data()[1][0] - asked.max() == pytest.approx(report.good["spare"])
    assert picture.here.get_data()[1][0] == pytest.approx(asked[-1])
    assert np.max(picture.bare.get_data()[1]) == pytest.approx(
        report.good["pull"] * (now.spool.radius + now.cord.diameter / 2)
    )


@pytest.mark.parametrize(
    "values", [{}, {"ahead": 0.08}, {"falls": "2"}, {"ahead": 0.0}, {"lift_height": 0.3, "below": 0.12}]
)
def test_at_the_end_the_robot_hangs_as_the_sizing_says(values):
    picture, report, now = drawn(1.0, **values)
    assert lowest(picture) == pytest.approx(report.good["clear"], abs=2e-4)
    assert np.degrees(tilt(picture)) == pytest.approx(np.degrees(report.good["tilt"]), abs=0.01)


def test_the_centre_of_gravity_hangs_straight_below_the_hook():
    picture, _, _ = drawn(1.0, ahead=0.06)
    assert picture.centre.get_data()[0][0] == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("wound", [0.0, 0.3, 0.62, 0.7, 1.0])
def test_no_wheel_goes_below_the_floor_on_the_way(wound):
    picture, _, _ = drawn(wound, ahead=0.05)
    assert lowest(picture) >= -3e-4


def test_it_stands_level_while_the_cord_is_slack():
    picture, _, _ = drawn(0.2)
    feet = [corners(wheel)[:, 1].min() for wheel in picture.wheels]
    assert feet == pytest.approx([0, 0], abs=2e-4)
    x, _ = picture.cord.get_data()
    assert np.nanmin(x) < -0.05, "slack cord hangs out"
    x, _ = drawn(1.0)[0].cord.get_data()
    assert np.nanmax(np.abs(x)) < 1e-9


@pytest.mark.parametrize(
    "values",
    [
        {"wheel_ahead": 0.4, "wheel_below": 0.8, "cord_length": 2.0},
        {"ahead": 0.15, "below": 0.02},
        {"lift_height": 0.6, "cord_length": 0.1},
        {"wheel_below": 0.05, "below": 0.6},
        {"wheel_ahead": 0.05, "wheel_below": 0.8},
    ],
)
@pytest.mark.parametrize("wound", [0.0, 1.0])
def test_robot_bar_and_drum_stay_in_view(values, wound):
    picture, _, now = drawn(wound, **values)
    points = np.vstack([corners(part) for part in (*picture.wheels, picture.body, picture.bar)])
    (left, right), (low, high) = picture.side.get_xlim(), picture.side.get_ylim()
    assert (
        left < points[:, 0].min()
        and points[:, 0].max() < right
        and low < points[:, 1].min()
        and points[:, 1].max() < high
    )
    turns = all_turns(picture, now)
    assert turns[:, 1].max() + now.cord.diameter / 2 < picture.cut.get_ylim()[1]


def test_with_a_ratchet_it_stays_up_and_without_it_sinks_to_the_floor():
    kept, report, _ = motion_of("winch")
    assert report.good["holds"] > 0 and kept.extra["wound"][-1] == pytest.approx(1)
    assert kept.told.endswith("With the power off it stays: the ratchet holds it.")
    sinks, report, now = motion_of("winch", {"ratchet": "none"})
    assert report.good["holds"] < 0 and "it sinks in" in sinks.told
    floor = now.slack / (now.slack + now.falls.number * now.lift_height)
    assert sinks.extra["wound"][-1] == pytest.approx(floor, abs=0.01)


def test_it_sinks_as_newton_has_it():
    """On one layer: s = a t^2 / 2. (m r^2 / n^2 + J_spool + J_rotor / eta_driven) w' = F r - k I_0 / eta_driven."""
    moves, report, now = motion_of("winch", {"ratchet": "none"})
    assert report.good["layers"] == 1
    off = int(np.argmax(moves.extra["off"]))
    motor, box, last = now.motor, now.gearbox, now.last_stage
    ratio, driven = box.ratio * last.ratio, box.efficiency_driven * last.efficiency_driven
    radius = now.spool.radius + now.cord.diameter / 2
    count, falls = now.count.number, now.falls.number
    held = count * motor.torque_constant * ratio * motor.free_current / driven
    felt = now.mass / falls**2 * radius**2 + now.spool.mass * now.spool.radius**2 / 2
    felt += count * motor.rotor_inertia * ratio**2 / driven
    speeds_up = (report.good["pull"] * radius - held) / felt
    seconds = np.sqrt(2 * falls * now.lift_height / radius / speeds_up)
    assert moves.times[-1] - moves.times[off] == pytest.approx(seconds, rel=0.02)


def test_words_in_the_picture_say_that_the_power_is_off():
    picture, *_ = drawn(off=1.0)
    assert picture.told.get_text().endswith("power off")
    assert "power" not in drawn(off=0.0)[0].told.get_text()


def test_it_winds_slack_and_load_in_the_time_found():
    moves, report, _ = motion_of("winch")
    arrived = int(np.argmax(moves.extra["wound"] >= 1 - 1e-9))
    assert moves.times[arrived] == pytest.approx(report.good["time"], abs=0.006)
    assert np.all(np.diff(moves.extra["wound"]) >= -1e-12)

"""The gear train's picture turns as the train turns, and is to scale."""

import math

import numpy as np
import pytest

from mechbench.mechanisms.train.picture import BAND
from tests.drawing.read_back import pictured


def drawn(turn=0.0, **values):
    """The picture of a state with the motor turned by an angle [rad]."""
    return pictured("train", values, turn=turn)[0]


def angle(picture, part):
    """How far a part is turned on the page."""
    matrix = (part.patch.get_transform() - picture.view.transData).get_matrix()
    return math.atan2(matrix[1, 0], matrix[0, 0])


def turned(part, picture_before, picture_after, which):
    before, after = (angle(p, getattr(p, part)[which]) for p in (picture_before, picture_after))
    return (after - before + math.pi) % (2 * math.pi) - math.pi


@pytest.mark.parametrize("part", ["wheels", "hands"])
@pytest.mark.parametrize(
    "last, ratio, way", [("nylon_22_to_88", 4, -1), ("belt_72_to_36", 1 / 2, 1), ("chain_12_to_34", 34 / 12, 1)]
)
def test_each_wheel_turns_at_its_ratio_and_its_way(part, last, ratio, way):
    motor = 2.0
    start, end = (
        drawn(0.0, last_stage=last, gearbox="planetary_16"),
        drawn(motor, last_stage=last, gearbox="planetary_16"),
    )
    assert turned(part, start, end, 0) == pytest.approx(motor / 16.1)
    assert turned(part, start, end, 1) == pytest.approx(way * motor / 16.1 / ratio)


def test_gears_stand_at_their_centre_distance_and_touch():
    picture = drawn(last_stage="bronze_28_to_88")
    assert picture.centres[1][0] == pytest.approx(0.001 * (28 + 88) / 2)
    assert sum(picture.radii) == pytest.approx(picture.centres[1][0])


def test_page_is_to_scale():
    """A millimetre is as long across as up, and a wheel is as large as its pitch circle says."""
    picture = drawn(last_stage="nylon_22_to_56")
    box = picture.view.get_window_extent()
    wide, high = np.ptp(picture.view.get_xlim()), np.ptp(picture.view.get_ylim())
    assert box.width / wide == pytest.approx(box.height / high, rel=1e-6)
    circle = picture.pitch_circles[1].patch.get_window_extent()
    assert circle.width / (box.width / wide) == pytest.approx(0.001 * 56, rel=0.01)


@pytest.mark.parametrize("last", ["nylon_18_to_88", "nylon_88_to_18", "belt_18_to_72", "chain_34_to_9", "none"])
def test_everything_is_inside_the_view(last):
    picture = drawn(last_stage=last)
    box = picture.view.get_window_extent()
    for part in (*picture.wheels, picture.band):
        if part.patch.get_visible():
            extent = part.patch.get_window_extent()
            assert box.x0 <= extent.x0 and extent.x1 <= box.x1 and box.y0 <= extent.y0 and extent.y1 <= box.y1


def test_belt_moves_by_one_tooth_for_one_tooth_of_the_wheel():
    picture = drawn(0.0, last_stage="belt_18_to_60", gearbox="planetary_4_6")
    offset = lambda turn: drawn(
        turn, last_stage="belt_18_to_60", gearbox="planetary_4_6"
    ).links.patch._unscaled_dash_pattern[0]
    tooth = 2 * math.pi / 18 * 4.6
    assert offset(tooth) == pytest.approx(offset(0.0), abs=1e-9)
    # Offsets are kept within one dash; three quarters forward is one quarter back, which moves the dashes on.
    assert offset(0.25 * tooth) == pytest.approx(0.75 * picture.pitch_points / BAND)


def test_words_tell_speeds_and_torques_along_the_train():
    picture = drawn(last_stage="nylon_22_to_88", gearbox="planetary_74", load_torque=2.0)
    # By hand: after the gearbox 2 N·m / 4 / 0.94 = 0.532 N·m; before it 0.532 / 74.06 / 0.88^3 = 0.0105 N·m.
    assert "0.532 N·m" in picture.box_after.get_text() and "0.0105 N·m" in picture.motor_words.get_text()
    assert "opposite ways" in picture.caption.get_text() and "centre distance 55 mm" in picture.apart.text.get_text()


def test_without_last_stage_one_drum_is_drawn():
    picture = drawn(last_stage="none")
    assert [w.patch.get_visible() for w in picture.wheels] == [True, False]
    assert "turns the load itself" in picture.caption.get_text() and picture.apart.text.get_text() == ""


@pytest.mark.parametrize("last", ["none", "nylon_22_to_88"])
def test_a_train_that_stands_still_shows_no_way_of_turning(last):
    shown = lambda picture: (
        {turn.line.get_visible() for turn in picture.turns[: len(picture.radii)]}
        | {picture.rotor_turn.line.get_visible()}
    )
    assert shown(drawn(last_stage=last, gearbox="planetary_74", load_torque=2.0)) == {True}
    stalled = drawn(last_stage=last, gearbox="planetary_4_6", load_torque=10.0)
    assert "stalled" in stalled.motor_words.get_text() and shown(stalled) == {False}


def test_a_labelled_train_names_its_ways_of_turning_even_where_the_load_is_too_heavy():
    import mechbench as mb

    words = repr(mb.labelled("train", gearbox="planetary_4_6", load_torque="10 N·m", last_stage="nylon_22_to_88"))
    assert "driver turns" in words and "driven turns" in words

"""The intake's picture is to scale, stops the piece where the sizing says so, and draws its friction and speeds."""

import numpy as np
import pytest

import mechbench as mb
from mechbench.catalog import sizing_of
from mechbench.drawing.palette import LIGHT
from mechbench.drawing.picture import Screen
from mechbench.mechanisms.intake.picture import IntakePicture
from tests.drawing.read_back import corners, motion_of, pictured, state


def drawn(place=0.0, **values):
    picture, report, now = pictured("intake", values, place=place)
    return picture, report.good, now


def middle(part, picture):
    return corners(part)[:-1].mean(axis=0)  # the last corner is the first one again


def away(picture, point):
    """Where a point is along the ramp, and how far above it."""
    c, s = np.cos(picture.slope), np.sin(picture.slope)
    return point @ np.array([[c, -s], [s, c]])


STATES = [
    {},
    {"squeeze": 0.008},
    {"slope": np.radians(70)},
    {"other": "roller", "squeeze": 0.012},
    {"roller": "hard_25", "piece_diameter": 0.02},
]


@pytest.mark.parametrize("values", STATES)
def test_roller_and_piece_touch_at_first_and_the_gap_is_narrower_by_the_squeeze(values):
    picture, good, now = drawn(0.0, **values)
    roller, piece = middle(picture.rollers[0], picture), middle(picture.piece, picture)
    assert np.hypot(*(piece - roller)) == pytest.approx((now.roller.diameter + now.piece_diameter) / 2, rel=1e-6)
    along, up = away(picture, piece) - away(picture, roller)
    assert np.arctan2(-along, -up) == pytest.approx(good["nip_angle"], rel=1e-6)
    low = corners(picture.rollers[1]) if now.other.driven == 1 else np.zeros((1, 2))
    gap = away(picture, corners(picture.rollers[0]))[:, 1].min() - away(picture, low)[:, 1].max()
    assert gap == pytest.approx(now.piece_diameter - now.squeeze, abs=2e-4)  # rollers are drawn with 90 corners


@pytest.mark.parametrize(
    "values, words, place",
    [
        ({}, "handed on", None),
        ({"squeeze": 0.010}, "stays out", "start"),
        ({"ground_speed": 3.0}, "pushes the piece away", "start"),
        ({"slope": np.radians(70), "squeeze": 0.0005}, "slips", "roller"),
        ({"next_start": 0.4, "drive": "slim_planetary_56", "ground_speed": 0.3}, "stops before", "between"),
        ({"next_speed": 1.0}, "run together", None),
        ({"ground_speed": 1.3}, "hardly faster", None),
    ],
)
def test_the_piece_stops_where_it_gets_stuck_and_the_words_say_why(values, words, place):
    picture, good, now = drawn(1.0, **values)
    assert words in picture.told.get_text()
    along = away(picture, middle(picture.piece, picture))[0]
    start = (now.roller.diameter + now.piece_diameter) / 2 * np.sin(good["nip_angle"])
    if place == "between":
        assert start <= along < now.next_start
    else:
        handed_on = now.next_start + 0.4 * now.piece_diameter
        assert along == pytest.approx({"start": -start, "roller": 0.0, None: handed_on}[place])


@pytest.mark.parametrize("other, line", [("wall", "slides"), ("rolling", "rolls"), ("roller", "driven")])
@pytest.mark.parametrize("squeeze", [0.0005, 0.006, 0.012])
def test_friction_needed_is_that_of_the_sizing(other, line, squeeze):
    picture, good, _ = drawn(other=other, squeeze=squeeze)
    (at,), (needed,) = picture.here.get_data()
    assert at == pytest.approx(1000 * squeeze)
    assert picture.has.get_data()[1][0] / needed == pytest.approx(good["nip"])
    curve = getattr(picture, line).get_data()
    assert np.interp(at, *curve) == pytest.approx(needed, rel=0.1)  # straight lines between the curve's points


def test_bars_are_the_three_speeds_and_a_piece_that_rolls_is_half_as_fast():
    for values, share in (({}, 1.0), ({"other": "rolling"}, 0.5)):
        picture, good, now = drawn(**values)
        expected = [now.ground_speed, share * good["surface"], now.next_speed]
        assert [bar.get_width() for bar in picture.bars] == pytest.approx(expected)
    assert drawn(ground_speed=0.0)[0].bars[1].get_width() > 1


def test_rollers_pull_inwards_and_a_wall_drags_outwards_but_where_the_piece_rolls_it_holds():
    for other, way in (("wall", -1), ("roller", 1), ("rolling", 1)):
        picture, _, _ = drawn(other=other)
        pull, second = (away(picture, grip.patch.get_xy()) for grip in picture.grips)
        assert np.ptp(pull[:, 0]) > 0 and pull[:, 0].max() - pull[0, 0] > 0.02
        assert np.sign(second[3, 0] - second[0, 0]) == way


@pytest.mark.parametrize("slope", [0.0, 70.0])
@pytest.mark.parametrize("piece, roller", [(0.02, "soft_80"), (0.02, "hard_25"), (0.2, "soft_80")])
@pytest.mark.parametrize("start", [0.0, 0.4])
def test_all_stays_in_view_at_the_ends_of_the_sliders(slope, piece, roller, start):
    values = {
        "slope": np.radians(slope),
        "piece_diameter": piece,
        "roller": roller,
        "next_start": start,
        "squeeze": 0.001,
    }
    found, screen = state(sizing_of("intake"), values), Screen(IntakePicture, LIGHT)
    for place in (0.0, 1.0):
        screen.image(*found, {"place": place})
        picture = screen.picture
        parts = [picture.rollers[0], picture.piece, picture.stage, *(picture.pushes if place == 0 else [])]
        points = np.vstack([corners(part) for part in parts])
        (left, right), (low, high) = picture.side.get_xlim(), picture.side.get_ylim()
        assert left <= points[:, 0].min() and points[:, 0].max() <= right
        assert low <= points[:, 1].min() and points[:, 1].max() <= high


def test_the_view_comes_back_when_a_large_intake_was_looked_at():
    bench = mb.bench("intake")
    screen = Screen(IntakePicture, LIGHT)
    heights = []
    for values in ({}, {"next_start": 0.4}, {"next_start": 0.07}):
        bench.set(**values)
        screen.image(bench.report, bench._now, {"place": 0.0})
        low, high = screen.picture.side.get_ylim()
        heights.append(high - low)
    assert heights[0] == pytest.approx(heights[2]) and heights[1] > 1.4 * heights[0]


def test_a_piece_goes_in_at_the_speeds_of_roller_and_next_stage():
    """By hand, on the level with a near stage: the way under the roller at its speed, the rest at the next one's."""
    moves, report, now = motion_of("intake", {"slope": 0.0, "next_start": 0.0, "next_speed": 1.0})
    good = report.good
    reach = (now.roller.diameter + now.piece_diameter) / 2 * np.sin(good["nip_angle"])
    behind = 0.4 * now.piece_diameter  # as far as the picture lets it go on the next stage
    assert moves.seconds == pytest.approx(2 * reach / good["surface"] + behind / 1.0, rel=1e-6)
    place = moves.extra["place"]
    assert place[0] == 0 and place[-1] == pytest.approx(1) and np.all(np.diff(place) >= 0)
    assert moves.extra["turned"] == pytest.approx(good["surface"] * moves.times)


def test_a_piece_that_nothing_drives_slides_to_a_stop():
    """Between roller and stage it slows down by g (sin a + mu cos a): v / that is how long it takes."""
    values = {"next_start": 0.4, "drive": "slim_planetary_56", "ground_speed": 0.3}
    moves, report, now = motion_of("intake", values)
    speed = report.good["surface"]
    reach = (now.roller.diameter + now.piece_diameter) / 2 * np.sin(report.good["nip_angle"])
    slows = 9.80665 * (np.sin(now.slope) + now.other.friction * np.cos(now.slope))
    assert moves.seconds == pytest.approx(2 * reach / speed + speed / slows, rel=1e-3)
    assert moves.told.startswith("It stops before the next stage drives it.")


def test_a_piece_that_rolls_goes_half_as_fast_as_the_roller():
    moves, report, now = motion_of("intake", {"other": "rolling", "ground_speed": 0.3, "slope": 0.0, "next_start": 0.0})
    reach = (now.roller.diameter + now.piece_diameter) / 2 * np.sin(report.good["nip_angle"])
    under = moves.times <= 2 * reach / (report.good["surface"] / 2)
    whole = 2 * reach + 0.4 * now.piece_diameter
    assert moves.extra["place"][under] * whole == pytest.approx(moves.extra["turned"][under] / 2)


@pytest.mark.parametrize("values", [{"squeeze": 0.010}, {"ground_speed": 3.0}])
def test_a_piece_that_stays_out_stays_out_while_the_roller_turns(values):
    moves, report, now = motion_of("intake", values)
    assert set(moves.extra["place"]) == {0.0}
    assert moves.extra["turned"][-1] == pytest.approx(report.good["surface"] * moves.seconds) and moves.seconds > 1
    spokes = [pictured("intake", values, place=0.0, turned=turned)[0].spokes.get_data() for turned in (0.0, 0.01)]
    # a tenth of the way round at 5 spokes is no turn that looks like none
    assert not np.allclose(np.nan_to_num(spokes[0]), np.nan_to_num(spokes[1]))


def test_a_roller_that_slips_on_the_ramp_leaves_the_piece_below_it():
    moves, _, _ = motion_of("intake", {"slope": np.radians(70), "squeeze": 0.0005})
    assert moves.told == "Too little press: the roller slips on the ramp."
    assert moves.extra["place"][-1] == moves.extra["place"][-2] == 1 and moves.times[-1] - moves.times[-2] > 1


def test_on_a_level_wall_the_push_points_backwards_and_the_pull_inwards():
    """By hand: the roller's middle is ahead of the piece's by (R + r) sin(nip angle), so its push has that share of
    its length backwards; the wall pushes straight up.
    """
    picture, good, now = drawn(slope=0.0)
    push, of_the_wall = (arrow.patch.get_xy() for arrow in picture.pushes)
    way = push[3] - (push[0] + push[6]) / 2  # from the middle of its end to its point
    assert -way[0] / np.hypot(*way) == pytest.approx(np.sin(good["nip_angle"]), rel=1e-6)
    assert [arrow.text.get_text() for arrow in picture.pushes] == ["push", "push of the wall"]
    assert of_the_wall[3, 0] == pytest.approx((of_the_wall[0, 0] + of_the_wall[6, 0]) / 2)
    assert picture.grips[0].text.get_text() == "pull" and picture.angle_word.get_visible()
    assert not drawn(1.0, slope=0.0)[0].angle_word.get_visible()

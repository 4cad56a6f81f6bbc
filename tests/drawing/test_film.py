"""A film has the motion's frames and true delays, its start stays faint behind, and it is written as a still, too."""

import io

import numpy as np
import pytest
from PIL import Image

from mechbench.catalog import NAMES, picture_of, sizing_of
from mechbench.drawing.behind import screen, start_behind
from mechbench.drawing.film import FRAMES, LONGEST, QUICK, SEEN, SLOW_LONGEST, film, pace_of
from mechbench.drawing.motion import Motion
from mechbench.drawing.palette import DARK, LIGHT, faint
from mechbench.drawing.picture import Screen, encoded
from tests.drawing.read_back import state


def filmed(slowly=False, name="arm", look=LIGHT, pinned=None):
    """A film, and the report of the design that moves there."""
    report, now = state(sizing_of(name), {})
    on = screen(picture_of(name), look, "metric", pinned)
    return film(on, report, now, on.picture.motion(report, now), slowly), report


def frames_of(png):
    """All frames as arrays, and their delays in ms, as Pillow reads them."""
    image = Image.open(io.BytesIO(png))
    frames, delays = [], []
    for number in range(getattr(image, "n_frames", 1)):
        image.seek(number)
        delays.append(image.info.get("duration"))
        frames.append(np.asarray(image.convert("RGB")))
    return frames, delays, image


@pytest.mark.parametrize("slowly", [False, True])
def test_it_has_all_its_frames_with_their_delays_and_plays_once(slowly):
    made, report = filmed(slowly)
    frames, delays, image = frames_of(made.png)
    seconds = report.good["time"] / made.pace
    assert made.seconds == pytest.approx(seconds) and image.info["loop"] == 1
    assert len(frames) == round(seconds * FRAMES) + 1
    # the last frame stays; all before it last as long as the move
    assert sum(delays[:-1]) == pytest.approx(1000 * seconds, abs=1)
    assert max(delays) < 1000 / 20 and max(delays) - min(delays) <= 1


def test_each_frame_shows_where_the_arm_is_then():
    """The mark on the curve, a square in the colour of what is asked, wanders to the right by its share of the way."""
    made, _ = filmed()
    frames, _, _ = frames_of(made.png)
    own = Screen(picture_of("arm"), LIGHT)
    own.image(*state(sizing_of("arm"), {}), {"place": 0.0})
    (left, _), (right, _) = (own.picture.torques.transAxes.transform(at) for at in ((0, 0), (1, 0)))
    for number in (0, len(frames) // 2, len(frames) - 1):
        time = number / (len(frames) - 1) * made.seconds
        expected = left + made.motion.at(time)["place"] * (right - left)
        assert mark_at(frames[number], own) == pytest.approx(expected, abs=2.5)


def mark_at(frame, own):
    """Middle of the mark along the picture: rows of its colour at least as wide as a mark are no dashes of a line."""
    colour = [int(LIGHT.colour("ask")[i : i + 2], 16) for i in (1, 3, 5)]
    x0 = int(own.picture.torques.transAxes.transform((0, 0))[0]) - 8
    top = frame.shape[0] - int(own.picture.torques.transAxes.transform((0, 1))[1])
    same = np.all(np.abs(frame[top:, x0:].astype(int) - colour) < 12, axis=-1)
    columns = np.flatnonzero(np.sum(same, axis=0) >= 9)
    return x0 + columns.mean()


@pytest.mark.parametrize("look", [LIGHT, DARK], ids=["light", "dark"])
def test_the_start_stays_faint_behind_what_moves(look):
    """Pixels of the one faint colour: none in the still picture, many as soon as the arm has left its start."""
    made, report = filmed(look=look)
    frames, _, _ = frames_of(made.png)
    colour = [int(faint(look).ink[i : i + 2], 16) for i in (1, 3, 5)]
    count = lambda frame: int(np.sum(np.all(np.abs(frame.astype(int) - colour) <= 3, axis=-1)))
    alone = np.asarray(Screen(picture_of("arm"), look).image(*state(sizing_of("arm"), {}), made.motion.at(99.0)))
    assert count(frames[-1]) > count(alone) + 150
    assert count(frames[-1]) > count(frames[0]) + 100


def test_its_still_is_its_last_frame():
    made, _ = filmed()
    (still,), _, _ = frames_of(made.still)
    assert np.array_equal(still, frames_of(made.png)[0][-1])


def test_a_pinned_design_stays_behind_in_place_of_the_ghost():
    """A, twice as long, stands behind at the start of the swing, and its own curves are there, too."""
    long = state(sizing_of("arm"), {"length": 0.6})
    alone, both = filmed()[0], filmed(pinned=long)[0]
    assert not np.array_equal(frames_of(alone.png)[0][0], frames_of(both.png)[0][0])
    assert both.motion.told == alone.motion.told and both.seconds == alone.seconds


@pytest.mark.parametrize(
    "seconds, slowly, pace",
    [
        (0.44, False, 1),
        (8.0, False, 1),
        (8.1, False, 2),
        (20.0, False, 3),
        (20.0, True, 3),
        (0.4, True, 1 / 10),
        (0.41, True, 1 / 5),
        (0.03, True, 1 / 100),
        (0.3, False, 1),
        (0.29, False, 1 / 5),
        (0.06, False, 1 / 20),
        (0.01, False, 1 / 100),
        (0.005, False, 1 / 100),
        (3.0, True, 1 / 2),
        (4.0, True, 1 / 2),
        (5.0, True, 1),
    ],
)
def test_a_long_move_runs_faster_and_a_short_one_slower(seconds, slowly, pace):
    assert pace_of(seconds, slowly) == pytest.approx(pace)
    assert seconds / pace <= (SLOW_LONGEST if slowly and pace < 0.5 else LONGEST)


@pytest.mark.parametrize(
    "seconds, slowly, words",
    [
        (20.0, False, "It arrives. Shown 3 times as fast."),
        (1.0, False, "It arrives."),
        (1.0, True, "It arrives. Shown 2 times slower."),
        (0.1, False, "It arrives. That is too quick for the eye: shown 10 times slower."),
        (0.1, True, "It arrives. That is too quick for the eye: shown 20 times slower."),
    ],
)
def test_it_says_how_fast_it_is_shown(seconds, slowly, words):
    assert (seconds < QUICK) == ("too quick" in words)
    motion = Motion(np.array([0.0, seconds]), {"place": np.array([0.0, 1.0])}, "It arrives.")
    on = screen(picture_of("arm"), LIGHT, "metric")
    assert film(on, *state(sizing_of("arm"), {}), motion, slowly).told == words


def test_what_is_quick_lasts_long_enough_to_be_seen():
    """Down to a hundredth of the time in which it is seen, which no machine of ours falls below."""
    for seconds in np.linspace(SEEN / 100, QUICK, 50, endpoint=False):
        assert SEEN <= seconds / pace_of(seconds, slowly=False) <= 2.5 * SEEN


def test_the_screen_is_as_before_when_the_film_is_made():
    """The start is behind the film only: the next still picture has none."""
    report, now = state(sizing_of("arm"), {})
    on = screen(picture_of("arm"), LIGHT, "metric")
    before = np.asarray(on.image(report, now, {"place": 0.3}))
    film(on, report, now, on.picture.motion(report, now))
    assert np.array_equal(on.image(report, now, {"place": 0.3}), before)


MOVING = [name for name in NAMES if picture_of(name).moves()]


@pytest.mark.parametrize("name", MOVING)
def test_every_frame_is_the_picture_that_the_screen_draws_then(name):
    """Read back by another program, point by point, at even steps of time; what stands for a while is one frame."""
    made, _ = filmed(name=name)
    frames, _, _ = frames_of(made.png)
    report, now = state(sizing_of(name), {})
    on, every = screen(picture_of(name), LIGHT, "metric"), []
    with start_behind(on, report, now, made.motion.at(0.0)):
        for time in np.linspace(0.0, made.seconds, max(round(made.seconds * FRAMES), 1) + 1):
            png = encoded(on.image(report, now, made.at(time)), on.colours)
            drawn = np.asarray(Image.open(io.BytesIO(png)).convert("RGB"))
            if not every or np.any(drawn != every[-1]):
                every.append(drawn)
    assert len(frames) == len(every) > 2
    assert all(np.array_equal(frame, drawn) for frame, drawn in zip(frames, every))

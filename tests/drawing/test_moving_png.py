"""A moving PNG, read back by Pillow, which has its own reader: frames, times, and what of each frame is in the file."""

import io
import itertools
import struct
import zlib

import numpy as np
import pytest
from PIL import Image

from mechbench.drawing.moving_png import CLEAR, LONGEST, packed
from mechbench.drawing.palette import DRAWN, LOOKS
from mechbench.drawing.picture import colours, in_look

COLOURS = bytes(value for place in range(256) for value in (place, 255 - place, place // 2))


def read(png):
    """Frames as places in the list of colours (red is the place), their delays, and how often it plays."""
    image = Image.open(io.BytesIO(png))
    frames, delays = [], []
    for number in range(getattr(image, "n_frames", 1)):
        image.seek(number)
        frames.append(np.asarray(image.convert("RGB"))[..., 0])
        delays.append(image.info["duration"])
    return frames, delays, image.info["loop"]


def parts(png):
    """Kind and data of each part, its checksum seen to (PNG, 5.3)."""
    at, found = 8, []
    while at < len(png):
        size = struct.unpack(">I", png[at : at + 4])[0]
        kind, data = png[at + 4 : at + 8], png[at + 8 : at + 8 + size]
        assert struct.unpack(">I", png[at + 8 + size : at + 12 + size])[0] == zlib.crc32(kind + data)
        found.append((kind.decode(), data))
        at += 12 + size
    return found


def pictures(count, seed=1):
    """Pictures of 20 by 30 points of which some, at random places, change from each to the next."""
    random = np.random.default_rng(seed)
    every = [random.integers(0, CLEAR, (20, 30), dtype=np.uint8)]
    for _ in range(count - 1):
        now = every[-1].copy()
        rows, columns = random.integers(0, 20, 5), random.integers(0, 30, 5)
        now[rows, columns] = (now[rows, columns] + 1 + random.integers(0, 200, 5)) % CLEAR
        every.append(now)
    return every


def test_every_frame_comes_back_with_its_time():
    given, delays = pictures(12), list(range(20, 32))
    frames, times, plays = read(packed(given, delays, COLOURS))
    assert plays == 1 and times == delays
    for frame, picture in zip(frames, given, strict=True):
        assert np.array_equal(frame, picture)


def test_what_is_the_same_as_before_lasts_longer():
    one, two = pictures(2)
    frames, times, _ = read(packed([one, one, one.copy(), two, two], [10, 20, 30, 40, 50], COLOURS))
    assert times == [60, 90] and np.array_equal(frames[0], one) and np.array_equal(frames[1], two)


def test_of_a_frame_only_the_rectangle_that_changed_is_in_the_file():
    """One point that moves by a step: a rectangle of two points, at its place (fcTL, APNG: wide, high, left, top)."""
    one, two = np.zeros((20, 30), np.uint8), np.zeros((20, 30), np.uint8)
    one[7, 11] = two[7, 12] = 5
    kinds = parts(packed([one, two], [40, 40], COLOURS))
    first, second = (struct.unpack(">IIIIIHHBB", data) for kind, data in kinds if kind == "fcTL")
    assert first[1:5] == (30, 20, 0, 0) and second[1:5] == (2, 1, 11, 7)


def test_the_parts_stand_in_order_and_count_on():
    """acTL and the list of colours before the picture, one row of numbers through fcTL and fdAT (APNG; PNG, 5.6)."""
    every = parts(packed(pictures(4), [40] * 4, COLOURS))
    kinds = [kind for kind, _ in every]
    assert kinds == ["IHDR", "PLTE", "tRNS", "acTL", "fcTL", "IDAT", *["fcTL", "fdAT"] * 3, "IEND"]
    numbers = [struct.unpack(">I", data[:4])[0] for kind, data in every if kind in ("fcTL", "fdAT")]
    assert numbers == list(range(len(numbers)))
    assert struct.unpack(">II", dict(every)["acTL"]) == (4, 1)


@pytest.mark.parametrize("look", [*LOOKS.values(), DRAWN], ids=lambda look: look.name)
def test_no_drawing_uses_the_clear_colour(look):
    """Each of 4096 colours, evenly apart, and all of the list: none is taken for the place that is clear."""
    steps = np.array(list(itertools.product(range(0, 256, 17), repeat=3)), np.uint8)
    every = np.vstack([steps, np.frombuffer(bytes(colours(look).getpalette()), np.uint8).reshape(-1, 3)])
    image = Image.fromarray(every[None]).quantize(palette=colours(look), dither=Image.Dither.NONE)
    assert np.asarray(image).max() < CLEAR


def test_another_look_has_other_colours_and_the_same_frames():
    given = [picture % 8 for picture in pictures(3)]
    png = packed(given, [40] * 3, bytes(colours(DRAWN).getpalette()))
    for look in LOOKS.values():
        other = in_look(png, look)
        listed = np.frombuffer(dict(parts(other))["PLTE"], np.uint8).reshape(-1, 3)
        assert [kind for kind, _ in parts(other)] == [kind for kind, _ in parts(png)]
        image = Image.open(io.BytesIO(other))
        for number, picture in enumerate(given):
            image.seek(number)
            assert np.array_equal(np.asarray(image.convert("RGB")), listed[picture])


def test_a_frame_lasts_no_longer_than_two_bytes_tell():
    one, two = pictures(2)
    assert read(packed([one, two], [LONGEST + 5, 40], COLOURS))[1] == [LONGEST, 40]

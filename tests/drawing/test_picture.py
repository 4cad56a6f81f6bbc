"""The quick way of drawing gives the same picture as the plain way, and axes stand still."""

import io
import zlib
from functools import cache

import numpy as np
import pytest
from PIL import Image

from mechbench.catalog import NAMES, picture_of, sizing_of
from mechbench.drawing.margins import MarginsPicture
from mechbench.drawing.palette import DARK, DRAWN, LIGHT, LOOKS
from mechbench.drawing.picture import DOTS_PER_INCH, FONTS, SHRINK, Screen, colours, encoded, in_look, stepped
from mechbench.engine.spec import Field
from tests.benches.pendulum import Pendulum
from tests.drawing.read_back import state
from tests.tries import tries

STATES = {
    "motor": [
        {"load_torque": 0.02},
        {"load_torque": 0.11},
        {"load_torque": 0.3},
        {"motor": "stout"},
        {"start_rise": 40},
        {},
    ],
    "train": [
        {"last_stage": "nylon_22_to_70"},
        {"last_stage": "nylon_18_to_70"},
        {"load_torque": 5},
        {"last_stage": "belt_22_to_72"},
        {"last_stage": "chain_34_to_18"},
        {},
    ],
    "drivetrain": [
        {"height": 0.5},
        {"height": 0.02, "mass": 2.0},
        {"wheelbase": 0.42, "wheel": "traction_80"},
        {"wheelbase": 0.15},
        {},
    ],
    "gripper": [
        {"squeeze": 30},
        {"count": "2", "spacing": 0.16},
        {"jaws": "pivot", "grip_angle": 0.6},
        {"lever": 0.2},
        {"servo": "light"},
        {},
    ],
    "intake": [
        {"squeeze": 0.008},
        {"other": "roller"},
        {"slope": 1.2},
        {"roller": "hard_25", "piece_diameter": 0.02},
        {"other": "rolling"},
        {},
    ],
    "winch": [
        {"before": 1.2, "gearbox": "planetary_21"},
        {"ahead": 0.15, "below": 0.05},
        {"before": 2.0, "slack": 0.5, "falls": "4"},
        {"mass": 2.0},
        {"motor": "stout"},
        {},
    ],
    "scissor": [
        {"load": 2.0},
        {"cells": "4", "arm": 0.5},
        {"placement": "screw"},
        {"placement": "horn"},
        {"arm": 0.06},
        {},
    ],
    "balance": [
        {"raised_height": 0.95},
        {"wheelbase": 0.12},
        {"raised_mass": 0.0, "height": 0.02},
        {"forward": 0.2},
        {"raised_forward": -0.4},
        {},
    ],
    "power": [
        {"time_wanted": 0.3},
        {"load_torque": 12.0},
        {"profile": "cycloidal", "other_current": 20.0},
        {"time_wanted": 5.0},
        {},
    ],
    "linkage": [
        {"input": 0.15, "output": 0.15},
        {"coupler": 0.02},
        {"arm_length": 0.6},
        {"payload": 2.0},
        {"turn": 4.7},
        {},
    ],
    "chained": [
        {"base": "chain_22"},
        {"first_length": 0.7},
        {"start_angle": 2.6, "end_angle": -0.3},
        {"payload": 2.0},
        {},
    ],
    "cycle": [
        {"pieces": "1"},
        {"raising": "after"},
        {"raise_time": 10.0},
        {"success": 0.1, "closing_chance": 0.0, "points_wanted": 200.0},
        {"drive_time": 0.3},
        {},
    ],
    "robot": [
        {"which": "wren"},
        {"which": "swift", "raising": "during"},
        {"which": "wren", "raise_gearbox": "planetary_4_6"},
        {"carries": "1"},
        {},
    ],
    "pendulum": [{"mass": 2.0}, {"torque": 12.0}, {}],
}
SIZINGS = {**{name: sizing_of(name) for name in NAMES}, "pendulum": Pendulum}


MOST_NUMBERS = tries(4, thorough=100)


def ends(sizing):
    """The first numbers of a sizing, each at its lowest and at its highest, and the defaults last."""
    numbers = [field for field in sizing.FIELDS if isinstance(field, Field)][:MOST_NUMBERS]
    return [{field.name: field.to_si(end)} for field in numbers for end in (field.low, field.high)] + [{}]


# A sizing for which nobody has chosen states is tried at the ends of its inputs.
STATES = {**{name: ends(SIZINGS[name]) for name in NAMES if name not in STATES}, **STATES}


def shown(name, values, turn=0.0):
    """What a picture's update needs, for some values."""
    return *state(SIZINGS[name], values), {field.name: turn for field in picture_of(name).EXTRA}


OWN_SCALES = ("size", "scale")  # of some pictures, which stand still while they serve, as axes do


@cache
def one_after_the_other(name, look):
    """One screen through all states: each image, what was shown, and the limits of the axes and the scale then."""
    kept, seen = Screen(picture_of(name), look), []
    for i, values in enumerate(STATES[name]):
        now = shown(name, values, turn=0.17 * i % 1)
        image = kept.image(*now)
        limits = [(axes.get_xlim(), axes.get_ylim()) for axes in kept.figure.axes]
        own = {name: value for name, value in vars(kept.picture).items() if name in OWN_SCALES}
        seen.append((image, now, (limits, own)))
    return seen


@pytest.mark.parametrize("name", STATES)
def test_moving_parts_over_a_kept_background_give_the_same_picture_as_a_fresh_one(name):
    for quick, now, (limits, own) in one_after_the_other(name, LIGHT):
        fresh = Screen(picture_of(name), LIGHT)
        vars(fresh.picture).update(own)
        for axes, (across, up) in zip(fresh.figure.axes, limits):
            axes.set(xlim=across, ylim=up)
            axes.stepped_x = axes.stepped_y = True
        off = np.abs(np.asarray(quick, dtype=int) - np.asarray(fresh.image(*now), dtype=int))
        assert off.max() == 0, now[0].values


def test_png_is_a_picture_of_the_stated_size_on_its_paper_without_any_note_in_it():
    for look in LOOKS.values():
        picture = Image.open(io.BytesIO(Screen(MarginsPicture, look).png(*shown("pendulum", {}))))
        assert picture.format == "PNG" and picture.info == {}
        assert picture.size == tuple(round(DOTS_PER_INCH * inches) for inches in MarginsPicture.SIZE)
        assert picture.convert("RGB").getpixel((1, 1)) == tuple(int(look.paper[i : i + 2], 16) for i in (1, 3, 5))


def test_same_state_gives_the_same_bytes():
    one, two = Screen(picture_of("motor"), LIGHT), Screen(picture_of("motor"), LIGHT)
    assert one.png(*shown("motor", {})) == two.png(*shown("motor", {})) == one.png(*shown("motor", {}))


def test_an_axis_end_is_round_and_reaches():
    for needed in np.geomspace(1e-4, 1e6, 300):
        end = stepped(needed)
        assert needed < end <= 1.3 * needed
        assert float(f"{end:.2g}") == pytest.approx(end, rel=1e-12)


def test_an_axis_stands_still_while_it_serves():
    end = stepped(1.0)
    jumps = 0
    for needed in 1.0 + 0.4 * np.sin(np.linspace(0, 60, 500)):
        now = stepped(needed, end)
        jumps += now != end
        end = now
    assert jumps <= 2
    assert stepped(SHRINK * end * 0.9, end) < end and stepped(end * 1.01, end) > end


def test_smallest_words_stay_readable_in_a_narrow_window():
    smallest = min(size for key, size in FONTS.items() if key.endswith("size"))
    for name in SIZINGS:
        shown_width, made_width = 450, picture_of(name).SIZE[0] * DOTS_PER_INCH
        assert smallest / 72 * DOTS_PER_INCH * shown_width / made_width >= 8.9


@pytest.mark.parametrize("name", STATES)
def test_no_words_are_cut_or_overlap(name):
    for system in ("metric", "us"):
        screen = Screen(picture_of(name), LIGHT, system)
        for values in STATES[name]:
            screen.image(*shown(name, values))
            renderer = screen.figure.canvas.get_renderer()
            boxes = {t: t.get_window_extent(renderer) for t in words_of(screen.figure)}
            page = screen.figure.bbox
            numbers = {t: t.get_window_extent(renderer) for t in numbers_of(screen.figure)}
            for text, box in {**boxes, **numbers}.items():
                assert page.x0 <= box.x0 and box.x1 <= page.x1 and page.y0 <= box.y0 and box.y1 <= page.y1, (
                    values,
                    text.get_text(),
                )
            pairs = [
                (a.get_text(), b.get_text())
                for a in boxes
                for b, other in (boxes | numbers).items()
                if (b in numbers or id(a) < id(b)) and boxes[a].padded(-1.5).overlaps(other.padded(-1.5))
            ]
            assert not pairs, (values, pairs)


def numbers_of(figure):
    """The numbers that stand at the axes as they are drawn now."""
    ticks = (
        tick
        for axes in figure.axes
        if axes.axison
        for which in (axes.xaxis, axes.yaxis)
        for tick in which._update_ticks()  # matplotlib tells in no other way which ticks lie inside the axis
    )
    return [tick.label1 for tick in ticks if tick.label1.get_visible() and tick.label1.get_text().strip()]


def words_of(figure):
    from matplotlib.text import Text

    ticks = {
        label
        for axes in figure.axes
        for which in (axes.xaxis, axes.yaxis)
        for label in which.get_ticklabels(which="both")
    }
    found = [t for t in figure.findobj(Text) if t.get_visible() and t.get_text().strip()]
    return [
        t
        for t in found
        if t not in ticks and (t.axes is None or t.axes.axison or t not in (t.axes.xaxis.label, t.axes.yaxis.label))
    ]


@pytest.mark.parametrize("look", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("name", STATES)
def test_one_drawing_serves_both_looks(name, look):
    """Drawn once, with another list of colours for each look: what is drawn in one of the look's own colours has it
    exactly, and nearly every other point is near the colour that it has where it is drawn in that look.
    """
    for (true, _, _), (drawn, _, _) in zip(one_after_the_other(name, look), one_after_the_other(name, DRAWN)):
        png = in_look(encoded(drawn, colours(DRAWN)), look)
        told, true = (np.asarray(one, dtype=int) for one in (Image.open(io.BytesIO(png)).convert("RGB"), true))
        for one, other in zip(DRAWN.every_colour, look.every_colour):
            there = np.all(np.asarray(drawn) == _channels(one), axis=-1)
            assert np.all(told[there] == _channels(other)), other
        off = np.abs(true - told).max(axis=-1)
        assert np.mean(off > 45) < 0.001 and off.mean() < 1.0


def _channels(colour):
    return [int(colour[i : i + 2], 16) for i in (1, 3, 5)]


def test_the_list_of_colours_is_all_that_differs_between_looks():
    """Chunks of PNG by hand: 8 bytes of signature, then length, name, data and checksum of each."""
    pngs = Screen(picture_of("motor"), DRAWN).in_looks(*shown("motor", {}))
    pieces = {name: _pieces(png) for name, png in pngs.items()}
    assert pngs.keys() == LOOKS.keys() and [kind for kind, _ in pieces["light"]][:2] == [b"IHDR", b"PLTE"]
    for light, dark in zip(*pieces.values(), strict=True):
        assert light[0] == dark[0] and (light[1] == dark[1]) == (light[0] != b"PLTE")


def _pieces(png):
    at, found = 8, []
    while at < len(png):
        size, kind = int.from_bytes(png[at : at + 4], "big"), png[at + 4 : at + 8]
        data, told = png[at + 8 : at + 8 + size], png[at + 8 + size : at + 12 + size]
        assert zlib.crc32(kind + data) == int.from_bytes(told, "big")
        found.append((kind, data))
        at += 12 + size
    return found


@pytest.mark.parametrize("look", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("name", STATES)
def test_few_colours_are_enough(name, look):
    """Own colours exact, every other point of the page near its true colour."""
    for colour in look.every_colour:
        flat = Image.new("RGB", (4, 4), colour).quantize(palette=colours(look), dither=0).convert("RGB")
        assert "#{:02X}{:02X}{:02X}".format(*flat.getpixel((0, 0))) == colour
    for true, _, _ in one_after_the_other(name, look):
        told = Image.open(io.BytesIO(encoded(true, colours(look)))).convert("RGB")
        off = np.abs(np.asarray(true, dtype=int) - np.asarray(told, dtype=int))
        assert off.max() <= 45 and off.mean() < 1.0

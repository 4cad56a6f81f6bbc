"""Drawings with the names of parts: every name can be read, and its line ends on the part that is meant.

What a point lies on is asked of matplotlib's own hit test, and whether lines cross of its paths: neither is used to
draw.
"""

import io
import tomllib
from functools import cache
from itertools import combinations

import numpy as np
import pytest
from matplotlib.backend_bases import MouseEvent
from matplotlib.lines import Line2D
from matplotlib.path import Path
from matplotlib.text import Text
from PIL import Image

import mechbench as mb
from mechbench.catalog import NAMES, drawings_of, picture_of, sizing_of
from mechbench.desk.arguments import BadQuestion
from mechbench.drawing.labelled import Labelled, twin
from mechbench.drawing.leaders import rows_of, split
from mechbench.drawing.palette import DARK, LIGHT, contrast
from mechbench.drawing.picture import DOTS_PER_INCH
from mechbench.drawing.shapes import Arrow
from tests.drawing.read_back import corners, state
from tests.kits.test_every_kit import FOLDERS, NOT_WORDS, opened

DRAWINGS = [(name, view) for name in NAMES for view in drawings_of(name)]
NARROWEST, SMALLEST = 450, 9  # pixels: a drawing in a small window, and a letter that can be read


@cache
def drawn(name, view, folder="own", look="light", system="metric"):
    """A labelled drawing, and its image."""
    drawing = drawings_of(name)[view]
    found = Labelled(drawing, LIGHT if look == "light" else DARK, system)
    png = found.png(*state(sizing_of(name), {}, opened(folder), drawing.RECORDS))
    return found, Image.open(io.BytesIO(png)).convert("RGB")


every_drawing = pytest.mark.parametrize("name, view", DRAWINGS)
every_kit = pytest.mark.parametrize("folder", FOLDERS)


@every_kit
@every_drawing
def test_words_stand_apart_from_each_other_and_from_the_machine(name, view, folder):
    found, image = drawn(name, view, folder)
    assert len(found.boxes) == len(found.labels) > 2
    for one, other in combinations(found.boxes, 2):
        assert not one.overlaps(other)
    for box in found.boxes:
        assert 0 <= box.x0 and box.x1 <= image.width and 0 <= box.y0 and box.y1 <= image.height
        assert box.x1 <= found.room.x0 or box.x0 >= found.room.x1


@every_kit
@every_drawing
def test_no_two_lines_cross_and_each_ends_on_its_part(name, view, folder):
    found, _ = drawn(name, view, folder)
    lines = [Path(np.array([start, place])) for start, place in zip(found.starts, found.places)]
    for one, other in combinations(lines, 2):
        assert not one.intersects_path(other, filled=False)
    for label, place in zip(found.labels, found.places):
        event = MouseEvent("button_press_event", found.figure.canvas, *place)
        near = {} if isinstance(label.artist, Line2D) or label.artist.get_facecolor()[3] else {"radius": 6}
        assert label.artist.contains(event, **near)[0], label.name
        if isinstance(label.artist, Line2D) and label.artist.get_linestyle() in ("None", "none"):
            continue  # an arrow may begin on a mark, which is wider than the arrow
        assert not _hides(found, label.artist, event), f"{label.name} is hidden where its line ends"


@every_drawing
def test_the_head_of_an_arrow_is_seen(name, view):
    """A dot on it would hide which way it points; an arrow that is all head has no other place."""
    found, _ = drawn(name, view)
    for label, place in zip(found.labels, found.places):
        if not isinstance(label.part, Arrow):
            continue
        tail_left, neck, _, tip, _, other_neck, *_ = label.artist.get_transform().transform(label.artist.get_xy())
        along, long = tip - (neck + other_neck) / 2, np.hypot(*(neck - tail_left))
        assert (place - tip) @ along < -(along @ along) or long < 1, label.name


@every_drawing
def test_no_line_of_a_label_lies_over_an_arrow(name, view):
    """A line runs on beneath an arrow that it meets: of the middle of its head all pixels have its colour."""
    found, image = drawn(name, view)
    for label in found.labels:
        if not isinstance(label.part, Arrow):
            continue
        _, neck, left, tip, right, other_neck, *_ = label.artist.get_transform().transform(label.artist.get_xy())
        head = np.array([left, tip, right])
        inner = head.mean(axis=0) + 0.4 * (head - head.mean(axis=0))
        if np.hypot(*(inner[1] - inner[0])) < 3:
            continue
        colour = tuple(round(255 * part) for part in label.artist.get_facecolor()[:3])
        for share in np.random.default_rng(1).dirichlet(np.ones(3), 40):
            x, y = share @ inner
            seen = image.getpixel((int(x), image.height - 1 - int(y)))
            assert max(abs(one - other) for one, other in zip(seen, colour)) < 60, label.name


def _hides(found, artist, event):
    """What is drawn later over a point."""
    moving = [one for one in found.picture.moving if not isinstance(one, Text | Line2D) and one.get_visible()]
    if artist not in found.picture.moving:
        return [one for one in moving if one.axes is found.axes and one.get_fill() and one.contains(event)[0]]
    later = found.picture.moving[found.picture.moving.index(artist) + 1 :]
    solid = [one for one in later if one in moving and one.axes is found.axes and one.get_facecolor()[3] > 0]
    return [one for one in solid if one.contains(event)[0]]


@every_drawing
def test_words_are_seen_on_light_and_on_dark_paper_at_the_same_places(name, view):
    (light, on_light), (dark, on_dark) = (drawn(name, view, look=look) for look in ("light", "dark"))
    assert [label.words for label in light.labels] == [label.words for label in dark.labels]
    np.testing.assert_allclose(light.places, dark.places)
    for found, image in ((light, on_light), (dark, on_dark)):
        paper = tuple(int(found.look.paper[i : i + 2], 16) for i in (1, 3, 5))
        assert image.getpixel((0, 0)) == paper and contrast(found.look.paper, found.look.ink) > 7
        for box in found.boxes:
            place = (int(box.x0), int(image.height - box.y1), int(np.ceil(box.x1)), int(image.height - box.y0))
            assert _inked(image.crop(place), paper) > 0.05


def _inked(image, paper):
    """Which share of an image is not paper."""
    return float((np.abs(np.array(image, int) - paper).max(axis=2) > 60).mean())


@every_drawing
def test_letters_can_be_read_in_a_small_window(name, view):
    found, image = drawn(name, view)
    for text in found.texts:
        assert text.get_fontsize() * DOTS_PER_INCH / 72 * NARROWEST / image.width >= SMALLEST


@every_kit
@every_drawing
def test_the_same_in_words_has_every_label_and_no_oddity(name, view, folder):
    found, _ = drawn(name, view, folder)
    words = twin(found.shows, found.labels)
    assert found.shows.endswith(".") and words.startswith(found.shows)
    for label in found.labels:
        assert f"\n- {label.name}" in words and label.told in words and label.number in words
        assert label.told and not label.told.endswith(".")
    assert len({label.name for label in found.labels}) == len(found.labels)
    assert not NOT_WORDS.search(words)


@every_drawing
def test_it_is_as_long_along_as_across(name, view):
    found, _ = drawn(name, view)
    (x0, y0), (x1, y1) = found.axes.transData.transform([(0, 0), (1, 1)])
    assert x1 - x0 == pytest.approx(y1 - y0, rel=0.01)


@every_drawing
def test_american_units_go_through(name, view):
    found, _ = drawn(name, view, system="us")
    numbers = [label.number.split() for label in found.labels if "paper" not in label.number]  # people draw in cm
    assert not {"mm", "m", "kg", "N", "cm"} & {word for number in numbers for word in number}


# --- rows -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(20))
def test_lines_to_places_at_random_do_not_cross(seed):
    draw = np.random.default_rng(seed)
    places = draw.uniform((150, 20), (600, 400), (12, 2))
    rows, left = np.linspace(20, 400, 14), split(places)
    lines = []
    for side, edge in ((left, 120.0), (~left, 640.0)):
        chosen = rows_of(places[side], edge, rows)
        assert len(set(chosen.tolist())) == side.sum() == 6
        lines += [Path([(edge, rows[row]), place]) for row, place in zip(chosen, places[side])]
    assert not any(one.intersects_path(other, filled=False) for one, other in combinations(lines, 2))


# --- the call -------------------------------------------------------------------------------------------------------


def test_the_call_gives_both_drawings_and_the_words():
    found = mb.labelled("intake")._repr_mimebundle_()
    assert found["text/plain"].startswith("An intake from the side") and "- roller (" in found["text/plain"]
    page = found["text/html"]
    assert page.count("<img ") == 2 and page.count("data:image/png;base64,") == 2
    first, second = (part.partition('"')[0] for part in page.split("base64,")[1:])
    assert first != second
    assert page.count("nip angle") >= 3  # in both descriptions, and in the list


def test_the_drawing_follows_inputs_units_and_kit():
    assert "squeeze (5 mm)" in repr(mb.labelled("intake", squeeze="5 mm"))
    assert "squeeze (5.08 mm)" in repr(mb.labelled("intake", squeeze="0.2 in"))
    assert " in)" in repr(mb.labelled("intake", system="us"))
    assert "second roller: " in repr(mb.labelled("intake", other="roller"))
    kit = opened("second_kit")
    across = mb.quantity.show(mb.size("intake", kit=kit).values["piece_diameter"], "mm")
    assert f"piece ({across})" in repr(mb.labelled("intake", kit=kit)) and across != "72 mm"


def test_another_word_lists_the_drawings_that_there_are():
    with pytest.raises(BadQuestion, match="'nip' is no drawing of intake; name 'from the side' or 'friction angle'"):
        mb.labelled("intake", "nip")
    with pytest.raises(BadQuestion, match="has no drawing with names"):
        mb.labelled("pair")
    with pytest.raises(BadQuestion, match="Inputs are given by name"):
        mb.labelled("intake", "friction angle", 3)


# --- numbers read back from drawings, against others ------------------------------------------------------------------


def _angle(points):
    """The angle at the middle one of three points, in degrees."""
    first, last = points[0] - points[1], points[2] - points[1]
    return np.degrees(np.arccos(first @ last / np.hypot(*first) / np.hypot(*last)))


@pytest.mark.parametrize("share, angle", [(0.02, 11.5), (0.05, 18.2), (0.12, 28.4)])
def test_the_nip_angle_is_drawn_as_the_table_of_the_lesson_has_it(share, angle):
    """The table of lesson 04: squeeze over both radii together, and the angle."""
    found = Labelled(picture_of("intake"), LIGHT)
    _, now = state(sizing_of("intake"), {})
    squeeze = share * (now.roller.diameter + now.piece_diameter) / 2
    found.png(*state(sizing_of("intake"), {"squeeze": squeeze}))
    assert _angle(np.column_stack(found.picture.across.get_data())) == pytest.approx(angle, abs=0.05)


def test_the_friction_angle_is_that_of_a_ruler():
    """Pull over push as drawn is the coefficient, and the slanted line leans by its arc tangent: 0.8 -> 38.7 deg
    (table of lesson 04).
    """
    found, _ = drawn("intake", "friction angle")
    (x0, x1), (y0, y1) = found.picture.slanted.get_data()
    assert (x1 - x0) / (y0 - y1) == pytest.approx(0.8) and y0 - y1 == pytest.approx(0.1)
    assert {label.name: label.number for label in found.labels}["friction angle"] == "38.7 deg"


@pytest.mark.parametrize("folder", FOLDERS)
def test_a_planetary_stage_meshes_and_has_the_ratio_of_its_teeth(folder):
    """Ratio 1 + ring / sun (the ring held); ring = sun + 2 planets; three planets fit where sun + ring divides by 3:
    textbooks of machine elements, from memory. Teeth of a planet lie in gaps of the ring: no corner is outside them.
    """
    found, _ = drawn("train", "planetary stage", folder)
    _, now = state(sizing_of("train"), {}, opened(folder))
    numbers = {label.name: label.number for label in found.labels}
    sun, planet, ring = (int(numbers[name].split()[0]) for name in ("sun", "planet", "ring"))
    assert ring == sun + 2 * planet and (sun + ring) % 3 == 0
    assert float(numbers["carrier"].split()[0]) == pytest.approx(1 + ring / sun, rel=0.005)
    assert 1 + ring / sun == pytest.approx(now.gearbox.ratio ** (1 / now.gearbox.stage_count), rel=0.06)
    free = Path(corners(found.picture.inside))
    for wheel in found.picture.planets:
        outline = corners(wheel)
        towards = outline[np.hypot(*outline.T) > np.hypot(*wheel.centre)]  # nearer to the ring
        outside = towards[~free.contains_points(towards, radius=0.12)]
        assert len(outside) == 0, f"{len(outside)} corners of a planet lie in the ring's teeth"


# --- the field from above ---------------------------------------------------------------------------------------------


def _in_file(folder):
    """The game of a kit as its file has it."""
    return tomllib.loads((FOLDERS[folder] / "game.toml").read_text("utf-8"))


def _lengths(entry, key):
    """Lengths of the entries of a game's table, in m."""
    return [mb.quantity.read(one[key]).value for one in entry.values() if key in one]


@every_kit
@pytest.mark.parametrize("name", ["trips", "cycle"])
def test_the_field_is_drawn_as_the_game_has_it(name, folder):
    """Read anew from the file: the sides of the field; pieces and goal as far from the middle as their ways are."""
    found, _ = drawn(name, "field from above", folder)
    game, picture = _in_file(folder), found.picture
    long, wide = np.ptp(corners(picture.field), axis=0)
    if "field" in game:
        sides = [mb.quantity.read(game["field"][key]).value for key in ("length", "width") if key in game["field"]]
        assert (long, wide) == pytest.approx((sides[0], sides[-1]))
    goal = corners(picture.goal)[:4]  # an outline ends where it began, and would count that corner twice
    front = goal[np.argsort(np.hypot(*goal.T))[:2]].mean(axis=0)
    assert any(np.hypot(*front) == pytest.approx(way, abs=1e-6) for way in _lengths(game["goals"], "way"))
    places, usual = game.get("places", {}), game["pieces"].get("usual")
    mine = {key: one for key, one in places.items() if usual is None or usual in one["pieces"]} or places
    if mine:
        assert np.hypot(*corners(picture.heap[0]).T).min() == pytest.approx(min(_lengths(mine, "way")), abs=1e-4)
    else:
        assert {label.name: label.number for label in found.labels}["pieces"] == ""
    arrow = corners(picture.drive)
    assert np.hypot(*arrow[3]) < np.hypot(*front) + 0.5 and arrow[3] @ front > 0  # its tip is on the goal's side


@every_kit
def test_steps_one_after_another_take_as_long_as_the_cycle(folder):
    """With one piece, raised after driving, nothing overlaps: the times beside the steps add up to the cycle."""
    kit = opened(folder)
    labels = mb.labelled("cycle", kit=kit, pieces="1", raising="after").labels
    seconds = {label.name: float(label.number.split()[0]) for label in labels if label.number.endswith(" s")}
    cycle = seconds.pop("cycle")
    assert sum(seconds.values()) == pytest.approx(cycle, rel=0.01) and len(seconds) >= 5
    assert cycle == pytest.approx(mb.size("cycle", kit=kit, pieces="1", raising="after")["time"], rel=0.01)


def test_the_lift_is_raised_on_the_way_where_it_overlaps():
    at = {}
    for raising in ("after", "during"):
        found = Labelled(drawings_of("cycle")["field from above"], LIGHT)
        found.png(*state(sizing_of("cycle"), {"raising": raising}, records=("roles.seen",)))
        label = next(one for one in found.labels if one.name == "raise")
        at[raising] = label.artist.get_xydata()[0], "overlap" in label.told
    (after, told_after), (during, told_during) = at["after"], at["during"]
    assert not told_after and told_during and after[0] > during[0]


# --- wires, plans, ratchet --------------------------------------------------------------------------------------------


@every_kit
def test_the_wires_carry_what_makes_the_battery_sag(folder):
    """V = E - R I, with the numbers beside battery, resistance and thick wire; the fuse is that of the kit."""
    found, _ = drawn("power", "wiring", folder)
    number = {label.name: label.number.split()[0] for label in found.labels if label.number}
    battery, ohms, all_current = (float(number[name]) for name in ("battery", "resistance", "thick wire"))
    volts = mb.size("power", kit=opened(folder))["volts"]
    assert battery - ohms * all_current == pytest.approx(volts, rel=0.01)
    assert float(number["motor wire"]) <= all_current <= 2 * float(number["fuse"])


def test_all_plans_go_as_far_in_the_same_time():
    """The room below a line of speed is the way. Highest speed over the mean one, in the order of the lesson: 3/2, 2,
    pi/2, 2: textbooks of cams, from memory.
    """
    found, _ = drawn("power", "shapes of a plan")
    for hill, peak in zip(found.picture.hills.values(), (1.5, 2.0, np.pi / 2, 2.0)):
        x, y = hill.get_data()
        mean = np.trapezoid(y - y.min(), x) / np.ptp(x)
        assert mean == pytest.approx(0.9, rel=0.01) and np.ptp(y) / mean == pytest.approx(peak, rel=0.01)


def test_a_ratchet_stops_one_way_only():
    """Every steep side lies along a radius and looks with the clock; the lever stands between one and its pivot."""
    found, _ = drawn("winch", "ratchet")
    wheel, lever = corners(found.picture.wheel)[:-1], corners(found.picture.lever)
    turned = lambda degrees: Path(wheel @ _turning(np.radians(degrees)).T)
    inner, outer = wheel[0::2], wheel[1::2]
    np.testing.assert_allclose(inner[:, 0] * outer[:, 1], inner[:, 1] * outer[:, 0], atol=1e-12)
    ahead = lever[1] + (0.02, -0.1)  # in the lever, near its end
    assert not turned(0).contains_point(ahead) and turned(-3).contains_point(ahead)
    assert not turned(3).contains_point(ahead)
    assert lever[:2, 0] == pytest.approx([0, 0], abs=1e-12) and found.picture.pivot.patch.get_xy()[:, 0].min() > 1


def _turning(angle):
    return np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])

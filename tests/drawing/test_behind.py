"""A design faint behind another one: in its place on the same axes, in the look's colours, quick as without it."""

import numpy as np
import pytest
from PIL import Image

from mechbench.catalog import NAMES, picture_of, sizing_of
from mechbench.drawing.behind import Pinned, screen
from mechbench.drawing.palette import DARK, LIGHT, LOOKS, contrast, faint
from mechbench.drawing.picture import Screen, encoded
from tests.drawing.read_back import state
from tests.drawing.test_picture import STATES


def extra_of(name, **turns):
    return {f.name: f.to_si(f.default) for f in picture_of(name).EXTRA} | turns


def pinned(name, values, look=LIGHT):
    """A screen with the design of these values behind."""
    return Pinned(picture_of(name), look, "metric", *state(sizing_of(name), values))


def drawn(on, name, values, **turns):
    return np.asarray(on.image(*state(sizing_of(name), values), extra_of(name, **turns)))


@pytest.mark.parametrize("look", LOOKS.values(), ids=LOOKS)
def test_the_faint_colour_is_seen_and_lies_between_paper_and_the_quiet_one(look):
    """WCAG 2.2, criterion 1.4.11: 3 to 1 for the parts of a graph."""
    colour = faint(look).ink
    assert set(faint(look).colours.values()) == {colour} and faint(look).paper == look.paper
    assert 3 <= contrast(colour, look.paper) < contrast(look.quiet, look.paper)


@pytest.mark.parametrize("name", [name for name in NAMES if name in STATES])
def test_every_picture_bears_another_design_behind(name):
    """It is seen: the picture differs from that of the design in front alone; and its axes hold both."""
    others = [values for values in STATES[name] if values]
    for values in others:
        both = pinned(name, {})
        picture = drawn(both, name, values)
        alone = drawn(Screen(picture_of(name), LIGHT), name, values)
        assert (picture != alone).any(), values
        for axes, front, back, beside in zip(both.picture.figure.axes, both._ends, both._other_ends, both._beside):
            now = (axes.get_xlim(), axes.get_ylim())
            for ends, own, other in zip(now, front, back):
                inside = (*own, *other) if beside else own
                assert min(ends) <= min(inside) + 1e-9 and max(inside) <= max(ends) + 1e-9


# Inputs near to each other, so that no axis takes other ends.
NEAR = {
    "arm": ({"payload": 0.30}, {"payload": 0.31}),
    "lift": ({"payload": 0.30}, {"payload": 0.31}),
    "motor": ({"load_torque": 0.050}, {"load_torque": 0.051}),
}


@pytest.mark.parametrize("name", NEAR)
def test_what_is_drawn_over_the_kept_background_is_what_is_drawn_anew(name):
    first, second = NEAR[name]
    moved = pinned(name, {})
    before, after = drawn(moved, name, first), drawn(moved, name, second)
    assert (after == drawn(pinned(name, {}), name, second)).all() and (before != after).any()


def test_one_unit_stays_as_long_along_as_across():
    both = pinned("lift", {})
    drawn(both, "lift", {"stages": "1", "rise_wanted": 0.2})
    axes = both.picture.side
    (left, right), (low, high) = axes.get_xlim(), axes.get_ylim()
    assert axes.bbox.width / (right - left) == pytest.approx(axes.bbox.height / (high - low), rel=1e-9)
    assert axes.get_ylim()[0] == min(both._ends[0][1][0], both._other_ends[0][1][0]), "the floor stays where it was"


def test_a_curve_behind_stands_where_its_own_numbers_say():
    """The weight's torque of A at 0 deg, by hand: mass times gravity times length (and nothing of the beam)."""
    both = pinned("arm", {"payload": 0.4})
    drawn(both, "arm", {"payload": 1.5})
    front, back = both.picture, both._behind
    assert front.torques.get_ylim() == back.torques.get_ylim() and front.torques.get_xlim() == back.torques.get_xlim()
    at = lambda picture: float(np.interp(0.0, *picture.alone.get_data()))
    length = both._given[1].length
    assert at(front) - at(back) == pytest.approx((1.5 - 0.4) * 9.80665 * length, rel=1e-3)
    where = front.torques.transData.transform((0.0, at(back)))
    assert back.torques.transData.transform((0.0, at(back))) == pytest.approx(where)


def test_a_slider_in_front_leaves_the_kept_background(monkeypatch):
    both = pinned("arm", {})
    drawn(both, "arm", {"payload": 0.30})
    drawings = []
    monkeypatch.setattr(both, "draw_behind", lambda: drawings.append(1))
    drawn(both, "arm", {"payload": 0.31})
    assert drawings == []
    drawn(both, "arm", {"payload": 0.31}, place=0.9)  # a slider of the picture moves both
    assert drawings == [1]


def test_its_png_holds_the_colours_of_the_look_alone():
    both = pinned("arm", {}, DARK)
    png = encoded(Image.fromarray(drawn(both, "arm", {"payload": 1.0})), both.colours)
    assert png == both.png(*state(sizing_of("arm"), {"payload": 1.0}), extra_of("arm"))


def test_bars_whose_rows_bear_other_names_are_not_drawn_behind():
    both = pinned("robot", {})
    drawn(both, "robot", {"which": "wren"})  # its cycle has other steps
    assert both._beside == [True, False]
    drawn(both, "robot", {})
    assert both._beside == [True, True]


def test_screen_is_a_plain_one_without_a_design_behind():
    made = screen(picture_of("arm"), LIGHT, "metric")
    assert type(made) is Screen
    assert isinstance(screen(picture_of("arm"), LIGHT, "metric", state(sizing_of("arm"), {})), Pinned)

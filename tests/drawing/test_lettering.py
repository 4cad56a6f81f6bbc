"""Words written by mechbench.drawing.lettering stand where matplotlib, which knows nothing of it, puts the same
words.
"""

import itertools

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from PIL import Image

from mechbench.drawing.lettering import written
from mechbench.drawing.picture import DOTS_PER_INCH, FONTS, image_of

PLACES = list(itertools.product(("left", "center", "right"), ("top", "center", "bottom", "baseline")))
PIXELS = 2  # rounding of places and of the height of lines


def figure_with(words, **how):
    figure = Figure(figsize=(4, 3), dpi=DOTS_PER_INCH)
    return FigureCanvasAgg(figure), figure.text(0.5, 0.5, words, family=FONTS["font.family"], **how)


def by_matplotlib(canvas):
    canvas.draw()
    return np.asarray(image_of(canvas)).astype(int)


def by_lettering(canvas, text):
    empty = Image.new("RGB", canvas.get_width_height(), "white")
    return np.asarray(written(empty, [text])).astype(int)


def edges(image, differs_by=100):
    """Left, right, top and bottom of what is not paper."""
    ink = (255 - image).max(axis=2) > differs_by
    return np.concatenate([np.flatnonzero(ink.any(axis=0))[[0, -1]], np.flatnonzero(ink.any(axis=1))[[0, -1]]])


@pytest.mark.parametrize("across, up", PLACES)
@pytest.mark.parametrize("words", ["load: 12 rpm", "4699 rpm\n0.32 N·m", "one\n\nthree lines\nand a gap"])
@pytest.mark.parametrize("more", [{}, {"linespacing": 1.3, "fontsize": 11}], ids=["plain", "spaced"])
def test_words_stand_where_matplotlib_puts_them(across, up, words, more):
    canvas, text = figure_with(words, ha=across, va=up, **more)
    assert np.abs(edges(by_lettering(canvas, text)) - edges(by_matplotlib(canvas))).max() <= PIXELS * len(
        words.split("\n")
    )


def test_colour_and_weight_are_those_of_the_text():
    canvas, text = figure_with("mmmmmm", color="#1f5fa8", fontweight="bold", fontsize=30)
    own, reference = by_lettering(canvas, text), by_matplotlib(canvas)
    assert (own.reshape(-1, 3) == (0x1F, 0x5F, 0xA8)).all(axis=1).any()
    assert (255 - own).sum() == pytest.approx((255 - reference).sum(), rel=0.05)


def test_paper_behind_the_words_covers_what_is_below():
    canvas, text = figure_with(
        "12 N", ha="center", va="center", bbox={"facecolor": "#ffffff", "edgecolor": "none", "pad": 1}
    )
    found = np.asarray(written(Image.new("RGB", canvas.get_width_height(), "#888888"), [text])).astype(int)
    left, right, top, bottom = edges(by_lettering(canvas, text))
    middle = found[top - 1 : bottom + 2, left - 1 : right + 2]
    assert (middle == 255).all(axis=2).mean() > 0.3
    assert tuple(found[0, 0]) == (0x88,) * 3


def test_hidden_and_empty_words_write_nothing():
    canvas, text = figure_with("hidden")
    text.set_visible(False)
    assert (by_lettering(canvas, text) == 255).all()
    assert (by_lettering(*figure_with("")) == 255).all()

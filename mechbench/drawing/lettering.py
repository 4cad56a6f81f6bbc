"""Words that change at every redraw, written on an image in the place that matplotlib would give them.

Contents: written.

matplotlib draws a changed line of words letter by letter; Pillow, with the same font, takes about a tenth of that time.
"""

from functools import cache

from matplotlib.colors import to_hex
from matplotlib.font_manager import FontProperties, findfont
from PIL import ImageDraw, ImageFont

ABOVE = 0.76  # share of a line's height that stands above the foot of its letters (DejaVu Sans: the height of l)
USUAL_SPACING = 1.2
SIDES = {"left": "l", "center": "m", "right": "r"}


def written(image, texts):
    """Write texts of a matplotlib figure on an image of that figure, and give the image back."""
    pen = ImageDraw.Draw(image)
    for text in texts:
        if text.get_visible() and text.get_text():
            _write(pen, image.height, text)
    return image


def _write(pen, bottom, text):
    size = text.get_fontsize() * text.figure.dpi / 72
    font = _font(tuple(text.get_fontfamily()), text.get_fontweight(), size)
    lines = text.get_text().split("\n")
    pitch = size * _spacing(text, lines)
    tall = len(lines) * pitch
    x, y = text.get_transform().transform(text.get_unitless_position())
    foot = (pitch - size) / 2 + ABOVE * size  # of the letters of a line, below the line's top
    above = {"top": 0, "center": tall / 2, "bottom": tall, "baseline": tall - pitch + foot}
    x, first = round(x), bottom - y - above[text.get_verticalalignment()] + foot
    side = SIDES[text.get_horizontalalignment()]
    places = [(x, round(first + i * pitch)) for i in range(len(lines))]
    if text.get_bbox_patch():
        _paper(pen, text, [pen.textbbox(place, line, font, side + "s") for place, line in zip(places, lines)])
    for place, line in zip(places, lines):
        pen.text(place, line, to_hex(text.get_color()), font, side + "s")


def _spacing(text, lines):
    """From line to line, as a multiple of the size of the font."""
    given = text.get_linespacing() if hasattr(text, "get_linespacing") else None
    usual = USUAL_SPACING if len(lines) > 1 else 1.0
    return given if isinstance(given, (int, float)) else usual


def _paper(pen, text, boxes):
    """A patch of paper behind the words, so that no line runs through them."""
    patch = text.get_bbox_patch()
    around = patch.get_boxstyle().pad * text.get_fontsize() * text.figure.dpi / 72
    lefts, tops, rights, bottoms = zip(*boxes)
    corners = (min(lefts) - around, min(tops) - around, max(rights) + around, max(bottoms) + around)
    pen.rectangle(corners, fill=to_hex(patch.get_facecolor()))


@cache
def _font(family, weight, size):
    return ImageFont.truetype(findfont(FontProperties(family=list(family), weight=weight)), size)

"""Words that change at every redraw, written on an image in the place that matplotlib would give them.

Contents: written.

matplotlib draws a changed line of words letter by letter; Pillow, with the same font, takes about a tenth of that time.
Most lines are the same at the next redraw: what was written once is kept as a stamp.
"""

import math
from functools import cache, lru_cache

from matplotlib.colors import to_hex
from matplotlib.font_manager import FontProperties, findfont
from PIL import Image, ImageDraw, ImageFont

ABOVE = 0.76  # share of a line's height that stands above the foot of its letters (DejaVu Sans: the height of l)
USUAL_SPACING = 1.2
STAMPS = 500  # that are kept: those of many pictures
SIDES = {"left": "l", "center": "m", "right": "r"}


def written(image, texts):
    """Write texts of a matplotlib figure on an image of that figure, and give the image back."""
    pen = ImageDraw.Draw(image)
    for text in texts:
        if text.get_visible() and text.get_text():
            _write(pen, image.height, text)
    return image


def _write(pen, page_foot, text):
    size = text.get_fontsize() * text.figure.dpi / 72
    font = _font(tuple(text.get_fontfamily()), text.get_fontweight(), size)
    lines = text.get_text().split("\n")
    pitch = size * _spacing(text, lines)
    tall = len(lines) * pitch
    x, y = text.get_transform().transform(text.get_unitless_position())
    foot = (pitch - size) / 2 + ABOVE * size  # of the letters of a line, below the line's top
    above = {"top": 0, "center": tall / 2, "bottom": tall, "baseline": tall - pitch + foot}
    x, first = round(x), page_foot - y - above[text.get_verticalalignment()] + foot
    side = SIDES[text.get_horizontalalignment()]
    boxes, stamps = [], []
    for number, line in enumerate(lines):
        (left, top, right, bottom), stamp = _stamp(line, font, side)
        y = round(first + number * pitch)
        boxes.append((x + left, y + top, x + right, y + bottom))
        stamps.append(stamp)
    if text.get_bbox_patch():
        _paper(pen, text, boxes)
    for box, stamp in zip(boxes, stamps):
        if stamp:
            pen.bitmap(box[:2], stamp, to_hex(text.get_color()))


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


@lru_cache(STAMPS)
def _stamp(line, font, side):
    """A line of words as shades, and its box about the place where it is put; no shades where nothing is seen."""
    left, top, right, bottom = font.getbbox(line, anchor=side + "s")
    box = math.floor(left), math.floor(top), math.ceil(right), math.ceil(bottom)
    size = box[2] - box[0], box[3] - box[1]
    if min(size) <= 0:
        return box, None
    stamp = Image.new("L", size)
    ImageDraw.Draw(stamp).text((-box[0], -box[1]), line, 255, font, side + "s")
    return box, stamp


@cache
def _font(family, weight, size):
    return ImageFont.truetype(findfont(FontProperties(family=list(family), weight=weight)), size)

"""The still twin of a bench, for paper and for places without a kernel: the same picture, with its sentence below.

Contents: still, captioned.
"""

import textwrap

from matplotlib import rc_context
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from PIL import Image

from mechbench.drawing.behind import screen
from mechbench.drawing.palette import LIGHT
from mechbench.drawing.picture import DOTS_PER_INCH, SMALLEST, colours, encoded, image_of, style
from mechbench.quantity import unbroken

LETTERS_PER_INCH = 12.5  # of the sentence
LINE = 0.19  # inch


def still(picture_class, report, now, extra, sentence, system="metric", pinned=None, look=LIGHT):
    """The picture with the sentence that tells what you should see, as PNG bytes; on light paper, if not on another.

    pinned: report and inputs of a design that is drawn faint behind it.
    """
    picture = screen(picture_class, look, system, pinned).image(report, now, extra)
    return encoded(captioned(picture, sentence, look), colours(look), SMALLEST)


def captioned(picture, sentence, look=LIGHT):
    """An image with a sentence below it."""
    words = _caption(sentence, picture.width / DOTS_PER_INCH, look)
    whole = Image.new("RGB", (picture.width, picture.height + words.height), look.paper)
    whole.paste(picture, (0, 0))
    whole.paste(words, (0, picture.height))
    return whole


def _caption(sentence, width, look):
    lines = textwrap.wrap(unbroken(sentence), int(width * LETTERS_PER_INCH))
    height = LINE * (len(lines) + 0.6)
    with rc_context(style(look)):
        figure = Figure(figsize=(width, height), dpi=DOTS_PER_INCH)
        canvas = FigureCanvasAgg(figure)
        figure.text(0.01, 1 - 0.2 * LINE / height, "\n".join(lines), va="top", linespacing=1.25)
        canvas.draw()
    return image_of(canvas)

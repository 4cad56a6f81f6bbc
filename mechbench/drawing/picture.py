"""The live picture: one figure whose moving parts alone are drawn again, given as PNG.

Contents: Picture (base of all pictures in draw/), Screen (keeps one picture and gives its PNG), on_paper, stepped,
fitted, style, colours, in_look, image_of, encoded, plain.

Drawing a whole figure takes about ten times as long as drawing the moving parts over a kept background. So a picture
builds its axes once, names its moving parts, and `update` only changes them. When the axes themselves must change
(another range, another part), the picture says so by `stale` and the background is drawn anew. Moving words are written
by lettering.py.
"""

import io
import itertools
import math
import zlib
from functools import cache
from types import SimpleNamespace

import numpy as np
from matplotlib import rc_context
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text
from PIL import Image

from mechbench import quantity
from mechbench.drawing.lettering import written
from mechbench.drawing.palette import DRAWN, LOOKS

DOTS_PER_INCH = 110
QUICKEST, SMALLEST = 1, 9  # of PNG's levels; the smallest, for pictures in files, are slow to make
OWN_ROOM = 12  # of 255, kept free around each of a look's own colours
STEPS = (1.0, 1.2, 1.5, 1.8, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0)
SHRINK = 0.35  # an axis is made shorter only when less than this share of it is used
# A view of a machine has so much room to spare when it is new, and when it had to become larger: a slider that goes on
# must not change it at every place. It is made smaller when less than that share is used.
SPARE, GROWS, LOOSE = 1.04, 1.2, 0.6

# Sizes in points. In a window 900 pixels wide with its list of files open, a picture is shown 450 pixels wide: the
# smallest text then still has 9 pixels.
FONTS = {
    "font.family": ["DejaVu Sans"],
    "font.size": 10.5,
    "axes.titlesize": 11,
    "axes.labelsize": 10.5,
    "xtick.labelsize": 10,
    "ytick.labelsize": 10,
    "legend.fontsize": 10,
}


def style(look):
    """Settings of matplotlib for a look."""
    return FONTS | {
        "text.color": look.ink,
        "axes.edgecolor": look.quiet,
        "axes.labelcolor": look.ink,
        "axes.titlecolor": look.ink,
        "xtick.color": look.ink,
        "ytick.color": look.ink,
        "axes.facecolor": look.paper,
        "figure.facecolor": look.paper,
        "grid.color": look.grid,
        "axes.spines.top": False,
        "axes.spines.right": False,
        "axes.titlelocation": "left",
        "axes.grid": True,
        "axes.axisbelow": True,
        "lines.solid_capstyle": "round",
    }


def stepped(needed, now=None):
    """The end of an axis that must reach `needed`: a round number that stays where it is while it still serves well."""
    if now is not None and SHRINK * now <= needed <= now:
        return now
    if needed <= 0:
        return now or 1.0
    power = 10.0 ** math.floor(math.log10(needed))
    return next(step * power for step in (*STEPS, 12.0) if step * power >= needed * 1.02)


def fitted(needed, now=None):
    """The size of a machine's view that must hold `needed`: just that at first, for nobody reads its ends; then it
    stays as it is while it serves well.
    """
    if now is not None and LOOSE * now <= needed <= now:
        return now
    return needed * (GROWS if now is not None and needed > now else SPARE)


class Picture:
    """Base of all pictures.

    A picture is made once, on an empty figure; `update` then changes its moving parts. Subclasses give `build` and
    `update`; they read numbers, never the kit or widgets.

    SIZE is in inches. EXTRA are Fields that belong to the picture alone (for example how far the motor is turned).

    What is asked for a drawing with the names of the parts (labelled.py): VIEW, what it is called ("from the side"),
    none where there is none; SHOWS, what it shows in a sentence; MACHINE, which axes; LABELLED_AT, values of EXTRA that
    are other than usual; LABELLED_HIGH, in inches; RECORDS of the kit whose numbers `now` must have besides those of
    the sizing; BESIDES, the files with further drawings of the same mechanism; and `labels`.
    """

    SIZE = (7.0, 3.8)
    EXTRA = ()
    VIEW, SHOWS, MACHINE = "", "", "side"
    LABELLED_AT: dict = {}
    LABELLED_HIGH = 4.2
    RECORDS: tuple = ()
    BESIDES: tuple = ()

    def __init__(self, figure, look, system="metric"):
        self.figure, self.look, self.system = figure, look, system
        self.moving = []
        self.stale = True
        self._kept = {}
        self.build()

    def build(self):
        """Make axes, fixed parts and moving parts."""
        raise NotImplementedError

    def update(self, report, now, extra):
        """Change the moving parts.

        report is the sizing's Report; now holds every input as a plain number (`now.load_torque`,
        `now.motor.resistance`); extra holds a number in SI for each field of EXTRA, by name.
        """
        raise NotImplementedError

    def motion(self, report, now):
        """How the picture's extras go over time as the machine moves: a `Motion`; None where nothing moves."""
        return None

    @classmethod
    def moves(cls):
        """Whether what is drawn has a move at all."""
        return cls.motion is not Picture.motion

    def described(self, now):
        """What a labelled drawing shows, where that depends on the inputs."""
        return self.SHOWS

    def labels(self, report, now, marks):
        """A Label for each part that is shown; what is hidden is left out later. marks: draws lengths and angles."""
        raise NotImplementedError

    def move(self, artist):
        """Name a moving part, and give it back; parts are drawn in the order in which they were named, words last."""
        artist.set_animated(True)
        self.moving.append(artist)
        return artist

    def reach(self, axes, which, needed, start=0.0):
        """Let an axis ("x" or "y") run from start to at least `needed`, without jumping at every change."""
        low, high = getattr(axes, f"get_{which}lim")()
        end = stepped(needed, high if getattr(axes, f"stepped_{which}", False) else None)
        setattr(axes, f"stepped_{which}", True)
        if (low, high) != (start, end):
            getattr(axes, f"set_{which}lim")(start, end)
            self.stale = True

    def room(self, axes, needed, below):
        """Let a drawing of equal scale reach up to at least `needed`, and down to `below` times that; tell whether
        it changed.
        """
        now = axes.get_ylim()[1] if getattr(axes, "stepped_y", False) else None
        end = fitted(needed, now)
        axes.stepped_y = True
        if end == now:
            return False
        axes.set_ylim(-below * end, end)
        self.stale = True
        return True

    def kept(self, name, given, make):
        """What follows from one object alone (a report, say): made when another one is given, and kept while it moves
        along.
        """
        if name not in self._kept or self._kept[name][0] is not given:
            self._kept[name] = given, make()
        return self._kept[name][1]

    def words(self, artist, text):
        """Change a fixed text (title, label of an axis); the background is drawn anew only when it is another text."""
        if artist.get_text() != text:
            artist.set_text(text)
            self.stale = True

    def shown(self, si, unit):
        """A number or array in SI as numbers in the unit that the reader chose."""
        return quantity.from_si(si, quantity.in_system(unit, self.system))

    def unit(self, unit):
        """That unit as it is written."""
        return quantity.written(quantity.in_system(unit, self.system))

    def said(self, si, unit):
        """A number in SI as text with its unit."""
        return quantity.show(si, unit, system=self.system)


class Screen:
    """One picture with its figure and its kept background."""

    def __init__(self, picture_class, look, system="metric"):
        self._style, self.colours = style(look), colours(look)
        self.picture = on_paper(picture_class, look, system)
        self.figure, self._canvas = self.picture.figure, self.picture.figure.canvas
        self._axes = self._background = None  # the axes alone, and with what is drawn behind the moving parts
        self._under = ()

    def png(self, report, now, extra):
        """Update the picture and give it as PNG."""
        return encoded(self.image(report, now, extra), self.colours)

    def in_looks(self, report, now, extra):
        """Update a picture that is DRAWN, and give it as PNG in each look, by the look's name."""
        return _in_looks(self.png(report, now, extra))

    def image(self, report, now, extra):
        """Update the picture and give it."""
        self.update(report, now, extra)
        if self.picture.stale:
            with rc_context(self._style):
                self._canvas.draw()
            self._axes, self._background = self._canvas.copy_from_bbox(self.figure.bbox), None
            self.picture.stale = False
        if self._background is None:
            self._canvas.restore_region(self._axes)
            self.draw_behind()
            self._background = self._canvas.copy_from_bbox(self.figure.bbox)
        else:
            self._canvas.restore_region(self._background)
        texts = []
        for artist in self.picture.moving:
            texts.append(artist) if isinstance(artist, Text) else self.figure.draw_artist(artist)
        return written(image_of(self._canvas), texts)

    def update(self, report, now, extra):
        """Change the picture's moving parts."""
        self.picture.update(report, now, extra)

    def put_under(self, artists):
        """Let artists stand behind the moving parts, until others are given."""
        self._under, self._background = tuple(artists), None

    def draw_behind(self):
        """Draw what belongs to the kept background besides the axes."""
        for artist in self._under:
            self.figure.draw_artist(artist)

    def empty(self):
        """Paper of the picture's size with nothing on it, as PNG in each look."""
        paper = Image.new("RGB", self._canvas.get_width_height(), self.picture.look.paper)
        return _in_looks(encoded(paper, self.colours))


def _in_looks(png):
    return {name: in_look(png, look) for name, look in LOOKS.items()}


def on_paper(picture_class, look, system):
    """A picture on a figure of its own, which has a canvas."""
    with rc_context(style(look)):
        figure = Figure(figsize=picture_class.SIZE, dpi=DOTS_PER_INCH)
        FigureCanvasAgg(figure)
        return picture_class(figure, look, system)


def image_of(canvas):
    """What a canvas shows."""
    return Image.frombytes("RGB", canvas.get_width_height(), canvas.buffer_rgba(), "raw", "RGBX", 0, 1)


@cache
def colours(look):
    """The 256 colours of a look's PNG files: its own, and even mixes of each two of them, as edges of drawn lines have.

    With a fixed list the quickest encoding takes a quarter of the time and of the bytes, and a colour never flickers.
    """
    holder = Image.new("P", (1, 1))
    holder.putpalette(_listed(look, _mixes(look)))
    return holder


def _own(look):
    """A look's own colours as numbers of three channels."""
    return np.array([[int(colour[i : i + 2], 16) for i in (1, 3, 5)] for colour in look.every_colour], dtype=float)


def _mixes(look):
    """What of a look is mixed in its list of colours: places of two of its own, and the share of the second.

    A mix too near to one of its own colours would be taken for it.
    """
    own = _own(look)
    steps = lambda one: 5 if one else 9  # more of them on paper, which is behind nearly all
    pairs = itertools.combinations(range(len(own)), 2)
    every = [(one, two, i / steps(one)) for one, two in pairs for i in range(1, steps(one))]
    return [mix for mix in every if np.abs(_mixed(own, *mix) - own).max(axis=1).min() >= OWN_ROOM]


def _mixed(own, one, two, share):
    return (own[one] + (own[two] - own[one]) * share).round()


def _listed(look, mixes):
    """A list of 256 colours as bytes: a look's own, these mixes of them, and paper at the end."""
    own = _own(look)
    found = np.vstack([own, *(_mixed(own, *mix) for mix in mixes)])[:256]
    return np.vstack([found, np.tile(own[0], (256 - len(found), 1))]).astype(np.uint8).tobytes()


@cache
def _list_of(look, drawn):
    """The list of colours in which a picture that was drawn in one look is shown in another one."""
    return _listed(look, _mixes(drawn))


def in_look(png, look, drawn=DRAWN):
    """The PNG of a picture that was drawn in one look, as it is in another one: its list of colours alone is another.

    The list is the second piece of such a file, after the header of 33 bytes: length, "PLTE", colours, checksum (W3C,
    Portable Network Graphics specification, 5.3 and 11.2.2).
    """
    size = int.from_bytes(png[33:37], "big")
    piece = b"PLTE" + _list_of(look, drawn)[:size]
    return png[:37] + piece + zlib.crc32(piece).to_bytes(4, "big") + png[45 + size :]


def encoded(image, few_colours, level=QUICKEST):
    """An image as PNG bytes in a look's colours, without the clock or any name in them."""
    out = io.BytesIO()
    # Runs of one colour, which fill a picture, are quicker to look for than repeated pieces.
    seek = zlib.Z_RLE if level == QUICKEST else zlib.Z_DEFAULT_STRATEGY
    image.quantize(palette=few_colours, dither=Image.Dither.NONE).save(
        out, "PNG", compress_level=level, compress_type=seek
    )
    return out.getvalue()


def plain(x):
    """Columns of one row as plain numbers, for pictures; where a row is itself a list of numbers, it stays one."""
    return SimpleNamespace(**{name: _row(column) for name, column in vars(x).items()})


def _row(column):
    if isinstance(column, SimpleNamespace):
        return plain(column)
    return float(column[0]) if np.ndim(column[0]) == 0 else column[0]

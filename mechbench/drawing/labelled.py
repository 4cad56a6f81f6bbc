"""A machine alone, larger than on its bench and to the same scale along and across, with the names of its parts.

Contents: Label, Marks, Labelled, twin.

The words stand in two columns beside the machine, so that none lies on it. Each is joined to a point of its part that
nothing else hides; `leaders.py` finds the rows. A picture says what its parts are called by `labels` (see Picture),
with lengths and angles that are drawn for the occasion by `Marks`.
"""

import textwrap
from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib import rc_context
from matplotlib.colors import to_rgba
from matplotlib.lines import Line2D
from matplotlib.path import Path
from matplotlib.text import Text
from matplotlib.transforms import Bbox

from mechbench.drawing.leaders import rows_of, split
from mechbench.drawing.lettering import written
from mechbench.drawing.picture import DOTS_PER_INCH, SMALLEST, colours, encoded, image_of, on_paper, style
from mechbench.drawing.shapes import Arrow, Dimension

WIDE, HIGH = 7.0, 4.2  # inches; as wide as a bench's picture, so that words are as large
LETTERS = 17  # of a line of words
LINE = 1.25  # from line to line, in sizes of the font
SPACE = 6.0  # pixels between two words
BORDER, GAP, NEAR = 8.0, 26.0, 5.0  # pixels: at the rim; between words and machine; between a word and its line
FITS = 3  # rounds: what is measured in points grows less than the machine
APART = 16.0  # pixels between two points, where there is a choice
RIM = 4.0  # pixels, for the width of lines at the rim of the machine's room
GRID, STEP = 26, 2.0  # points tried in a part, along and across; pixels between those along a line
COARSE = 6.0  # pixels between points of an edge, from which a part's point should be away
DEEP, SHARE = 9.0, 0.8  # pixels from the edge that are enough; where a part is thinner, this share of the most there is


@dataclass(frozen=True)
class Label:
    """What a part is called, the part as it is drawn, what it is in a few words, and a number that belongs to it."""

    name: str
    part: Any  # what a Picture draws: Part, Arrow, Dimension, a line or a patch of matplotlib
    told: str
    number: str = ""

    @property
    def artist(self):
        """The part as matplotlib has it."""
        return getattr(self.part, "patch", None) or getattr(self.part, "line", None) or self.part

    @property
    def words(self):
        """Name and number in lines of a column."""
        lines = textwrap.wrap(self.name, LETTERS)
        if self.number and len(lines[-1]) + 1 + len(self.number) <= LETTERS:
            lines[-1] += f" {self.number}"
        elif self.number:
            lines.append(self.number)
        return "\n".join(lines)

    @property
    def sentence(self):
        """The same for those who don't see it."""
        return f"{self.name}{f' ({self.number})' * bool(self.number)}: {self.told}"


class Marks:
    """Lengths and angles that a labelled drawing has besides what its bench draws; each is made once, by name."""

    def __init__(self, picture, axes):
        self._picture, self._axes, self._made = picture, axes, {}

    def length(self, name, start, end):
        """A length between two points of the axes, with strokes at its ends."""
        if name not in self._made:
            self._made[name] = Dimension(self._picture, self._axes)
        made = self._made[name]
        made.place(start, end, name)
        made.text.set_visible(False)
        return made

    def point(self, name, at):
        """A small ring around a point of the axes."""
        if name not in self._made:
            look = self._picture.look
            how = {"marker": "o", "markersize": 9, "markerfacecolor": "none", "markeredgecolor": look.ink}
            self._made[name] = self._picture.move(self._axes.plot([], [], linestyle="none", zorder=6, **how)[0])
        self._made[name].set_data(*np.asarray(at, float)[:, None])
        return self._made[name]

    def angle(self, name, centre, radius, first, last):
        """An arc from one direction to another one [rad] about a point of the axes."""
        angles = np.linspace(first, last, 40)
        points = np.asarray(centre, float)[:, None] + radius * np.array([np.cos(angles), np.sin(angles)])
        return self.line(name, points.T)

    def line(self, name, points, quiet=False):
        """A thin line through points of the axes; quiet: dashed, to measure from."""
        look = self._picture.look
        if name not in self._made:
            how = {"linestyle": (0, (5, 3)), "color": look.quiet} if quiet else {"color": look.ink}
            self._made[name] = self._picture.move(
                self._axes.plot([], [], linewidth=1.1 if quiet else 1.6, zorder=5, **how)[0]
            )
        self._made[name].set_data(*np.asarray(points, float).T)
        return self._made[name]


def twin(shows, labels):
    """A labelled drawing in words: what it shows, and its parts, in the order in which the picture names them."""
    return "\n".join([shows, *(f"- {label.sentence}" for label in labels)])


class Labelled:
    """One picture's machine with its labels. After `png`, for each of the `labels` that were drawn, in pixels from the
    lower left corner: the box of its words in `boxes`, where its line starts and ends in `starts` and `places`; `room`
    is what the machine has for itself. `shows` tells what is seen.
    """

    def __init__(self, picture_class, look, system="metric"):
        self._style, self.look = style(look), look
        self.picture = on_paper(picture_class, look, system)
        self.figure, self._canvas = self.picture.figure, self.picture.figure.canvas
        self.axes = getattr(self.picture, self.picture.MACHINE)
        for axes in self.figure.axes:
            axes.set_visible(axes is self.axes)
        for text in self.figure.texts:
            text.set_visible(False)
        # A picture may fit its view to the shape of its axes once alone: they keep the one that they have on the bench.
        self._shape = self.axes.get_position(original=True).size * picture_class.SIZE
        self._marks = Marks(self.picture, self.axes)
        self._extents = {}
        self._resize(picture_class.LABELLED_HIGH)
        self.shows = ""
        self.room, self.labels, self.texts, self.boxes, self._leaders = None, [], [], [], []
        self.starts = self.places = np.zeros((0, 2))

    @property
    def _size(self):
        return np.array(self._canvas.get_width_height(), float)

    def png(self, report, now):
        """Draw the machine in one state, name its parts, and give it as PNG."""
        picture = self.picture
        extra = {f.name: f.to_si(f.default) for f in picture.EXTRA} | picture.LABELLED_AT
        widths = [0.24 * self._size[0]] * 2
        for _ in range(2):  # the second time with columns as wide as their words
            self._fit(report, now, extra, widths)
            self.places = self._found()
            left = split(self.places)
            widths = [self._width(left), self._width(~left)]
            self._lower(left, widths)
        self._fit(report, now, extra, widths)
        self.places = self._found()
        self._write(left, widths)
        self.shows = picture.described(now)
        *lines, dots = self._leaders
        arrows = [label.artist for label in self.labels if isinstance(label.part, Arrow)]
        # An arrow that a line runs along would lose its shape: it lies over all lines, and below its dot.
        for artist in (*lines, *arrows, dots):
            self.figure.draw_artist(artist)
        return encoded(written(image_of(self._canvas), self.texts), colours(self.look), SMALLEST)

    # --- the machine as large as the room between the words ----------------------------------------------------------

    def _fit(self, report, now, extra, widths):
        self.room = room = Bbox([[widths[0] + GAP, BORDER], [self._size[0] - widths[1] - GAP, self._size[1] - BORDER]])
        around = self._shape * np.max(room.size / self._shape)
        self.axes.set_position(Bbox([room.min / self._size, (room.min + around) / self._size]))
        for left in reversed(range(FITS)):
            self._draw(report, now, extra, room)
            if left:
                self._enlarge(room)

    def _lower(self, left, widths):
        """Make the paper as low as the machine and the words allow."""
        drawn = self._drawn()
        tall = drawn.height * (self._size[0] - sum(widths) - 2 * GAP) / drawn.width
        words = max(sum(self._tall(label) for label, one in zip(self.labels, side) if one) for side in (left, ~left))
        high = min(max(tall, words) + 2 * (BORDER + RIM), self.picture.LABELLED_HIGH * DOTS_PER_INCH)
        self._resize(np.ceil(high) / DOTS_PER_INCH)

    def _resize(self, high):
        self.picture.SIZE = (WIDE, high)
        self.figure.set_size_inches(self.picture.SIZE)

    def _draw(self, report, now, extra, room):
        """Draw all parts, without words, inside the room."""
        picture, axes = self.picture, self.axes
        with rc_context(self._style):
            picture.update(report, now, extra)
            self._canvas.draw()  # places that are given in points need the axes where they are
            picture.update(report, now, extra)
            self.labels = [
                label for label in filter(None, picture.labels(report, now, self._marks)) if label.artist.get_visible()
            ]
            for text in axes.texts:
                text.set_visible(False)
            if axes.get_legend():
                axes.get_legend().set_visible(False)
            for artist in (*axes.lines, *axes.patches, *axes.collections):
                artist.set_clip_box(room)
            self._canvas.draw()
        for artist in picture.moving:
            if artist.axes is axes and not isinstance(artist, Text):
                self.figure.draw_artist(artist)

    def _enlarge(self, room):
        """Move and scale the axes so that what is drawn fills the room."""
        position = self.axes.get_position(original=True).get_points() * self._size
        drawn, room = self._drawn(), room.padded(-RIM)
        scale = np.min(room.size / drawn.size)
        origin = (room.min + room.max) / 2 + scale * (position[0] - (drawn.min + drawn.max) / 2)
        self.axes.set_position(Bbox([origin / self._size, (origin + scale * (position[1] - position[0])) / self._size]))

    def _drawn(self):
        """The box around all that is seen; of what runs out of the view, such as a floor, only how high it is."""
        view, ranges = self.axes.bbox.padded(1.0), ([], [])
        for artist in self._artists():
            points = _outline(artist)
            points = points[np.isfinite(points).all(axis=1)]
            if len(points) == 0 or np.ptp(points, axis=0).max() == 0:
                continue
            for found, one, low, high in zip(ranges, points.T, view.min, view.max):
                if low <= one.min() and one.max() <= high:
                    found += [one.min(), one.max()]
        return Bbox([[min(ranges[0]), min(ranges[1])], [max(ranges[0]), max(ranges[1])]])

    def _artists(self):
        """All that is seen of the machine, in the order in which it is drawn."""
        moving = [one for one in self.picture.moving if one.axes is self.axes and not isinstance(one, Text)]
        fixed = [one for one in (*self.axes.patches, *self.axes.lines) if not one.get_animated()]
        fixed.sort(key=lambda one: one.get_zorder())
        return [one for one in (*fixed, *moving) if one.get_visible()]

    # --- where a part is seen ----------------------------------------------------------------------------------------

    def _found(self):
        """A point for each part; those that can be pointed at in one place alone choose first."""
        offers = [self._offers(label) for label in self.labels]
        places = np.zeros((len(offers), 2))
        taken = np.zeros((0, 2))
        for i in sorted(range(len(offers)), key=lambda i: len(offers[i])):
            points = offers[i]  # the best one first
            apart = np.hypot(*np.moveaxis(points[:, None, :] - taken, -1, 0)).min(axis=1, initial=np.inf)
            free = apart >= APART
            better = apart[: (len(points) + 1) // 2]  # further out in a small part, but not on its very edge
            places[i] = points[np.argmax(free) if free.any() else np.argmax(better)]
            taken = np.vstack([taken, places[i]])
        return places

    def _offers(self, label):
        """Points of a part that nothing drawn later hides, well inside it, the best one first; in pixels."""
        order, room = self._artists(), self.room.padded(-2.0)
        later = order[order.index(label.artist) + 1 :]
        covers = [path for one in later if _filled(one) for path in _paths(one)]
        points = _inside(label.artist) if _filled(label.artist) else _along(label.artist)
        if isinstance(label.part, Arrow):
            points = _on_shaft(label.artist, points)
        points = points[((room.min <= points) & (points <= room.max)).all(axis=1)]
        if not len(points):
            raise ValueError(f"{label.name} lies outside the drawing; leave its label out there.")
        hidden = np.zeros(len(points), bool)
        for path in covers:
            hidden |= path.contains_points(points)
        for mark in (one for one in later if _hides(one)):
            around = mark.get_markersize() * DOTS_PER_INCH / 144 + 2
            for centre in _along(mark):
                hidden |= np.hypot(*(points - centre).T) < around
        if hidden.all():
            hidden[:] = False
        if not _filled(label.artist):
            runs = np.split(np.arange(len(points)), np.flatnonzero(np.diff(hidden)) + 1)
            longest = max((run for run in runs if not hidden[run[0]]), key=len)
            return points[longest[np.argsort(np.abs(np.arange(len(longest)) - len(longest) // 2), kind="stable")]]
        seen = points[~hidden]
        edges = np.vstack([_resampled(path.vertices, COARSE) for path in (*_paths(label.artist), *covers)])
        deep = np.array([np.hypot(*(edges - point).T).min() for point in seen])
        away = np.hypot(*(seen - points.mean(axis=0)).T)
        return seen[np.argsort(0.01 * away - np.minimum(deep, min(DEEP, SHARE * deep.max())), kind="stable")]

    # --- words -------------------------------------------------------------------------------------------------------

    def _width(self, chosen):
        """How wide the words of one side are, with the rim."""
        words = [label.words for label, one in zip(self.labels, chosen) if one]
        return max((self._extent(text)[0] for text in words), default=0.0) + BORDER

    def _tall(self, label):
        """How much of a column one label takes."""
        return self._extent(label.words)[1] + SPACE

    def _extent(self, words):
        if words not in self._extents:
            self._extents[words] = self._measured(words)
        return self._extents[words]

    def _measured(self, words):
        with rc_context(self._style):
            text = self.figure.text(0, 0, words, linespacing=LINE)
            box = text.get_window_extent(self._canvas.get_renderer())
            text.remove()
        return box.width, (words.count("\n") + 1) * LINE * text.get_fontsize() * DOTS_PER_INCH / 72

    def _write(self, left, widths):
        """Words in their rows, and a line with a dot from each to its part."""
        look, (wide, high) = self.look, self._size
        self.texts, self._leaders, self.boxes = [], [], [None] * len(self.labels)
        ends = [None] * len(self.labels)
        for side, edge, at in ((left, widths[0], "right"), (~left, wide - widths[1], "left")):
            mine = np.flatnonzero(side)
            if not len(mine):
                continue
            sizes = [self._extent(self.labels[i].words) for i in mine]
            pitch = max(tall for _, tall in sizes) + SPACE
            count = max(int((high - 2 * BORDER) / pitch), len(mine))
            rows = high / 2 + ((np.arange(count) - (count - 1) / 2) * (high - 2 * BORDER) / count)
            start = edge + (NEAR if at == "right" else -NEAR)
            for i, row, (long, tall) in zip(mine, rows_of(self.places[mine], start, rows), sizes):
                y, x = rows[row], edge
                ends[i] = (start, y)
                low = x - long if at == "right" else x
                self.boxes[i] = Bbox([[low, y - tall / 2], [low + long, y + tall / 2]])
                words = self.labels[i].words
                self.texts.append(self._text(x, y, words, at))
        self.starts = np.array(ends)
        for start, place in zip(self.starts, self.places):
            self._leaders.append(self._line([start, place], color=look.paper, linewidth=2.6))
            self._leaders.append(self._line([start, place], color=look.ink, linewidth=0.9))
        dots = {"linestyle": "none", "marker": "o", "markersize": 4.5, "color": look.ink, "markeredgecolor": look.paper}
        self._leaders.append(self._line(self.places, **dots))

    def _text(self, x, y, words, side):
        with rc_context(self._style):
            return self.figure.text(x / self._size[0], y / self._size[1], words, ha=side, va="center", linespacing=LINE)

    def _line(self, points, **how):
        line = Line2D(*np.asarray(points, float).T, transform=None, **how)
        line.set_figure(self.figure)
        return line


# --- outlines in pixels ---------------------------------------------------------------------------------------------


def _filled(artist):
    return not isinstance(artist, Line2D) and artist.get_fill() and to_rgba(artist.get_facecolor())[3] > 0


def _is_mark(artist):
    """Whether a line is marks alone, such as pins."""
    return isinstance(artist, Line2D) and artist.get_linestyle() in ("None", "none", "")


def _hides(artist):
    """Whether marks hide what is below them; a ring does not."""
    return _is_mark(artist) and str(artist.get_markerfacecolor()) != "none"


def _paths(artist):
    """Closed outlines of a patch."""
    path = artist.get_path()
    loops = [path.vertices] if path.codes is None else path.to_polygons(closed_only=True)
    transform = artist.get_transform()
    return [Path(transform.transform(loop)) for loop in loops if len(loop) > 2]


def _outline(artist):
    """Points of a part, in pixels."""
    if isinstance(artist, Line2D):
        return artist.get_transform().transform(np.column_stack(artist.get_data(orig=False)).astype(float))
    paths = _paths(artist)
    return np.vstack([path.vertices for path in paths]) if paths else np.zeros((0, 2))


def _resampled(points, step=STEP):
    """Points along a line, so near together that none is missed."""
    found = [points[:1]]
    for start, end in zip(points[:-1], points[1:]):
        count = max(int(np.ceil(np.hypot(*(end - start)) / step)), 1)
        found.append(start + (end - start) * (np.arange(1, count + 1) / count)[:, None])
    return np.vstack(found)


def _inside(artist):
    """Points that lie in a part, as a grid."""
    paths = _paths(artist)
    corners = np.vstack([path.vertices for path in paths])
    axes = [np.linspace(low, high, GRID + 2)[1:-1] for low, high in zip(corners.min(axis=0), corners.max(axis=0))]
    grid = np.column_stack([part.ravel() for part in np.meshgrid(*axes)])
    within = np.any([path.contains_points(grid) for path in paths], axis=0)
    return grid[within] if within.any() else corners.mean(axis=0)[None, :]


def _on_shaft(arrow, points):
    """Points of an arrow behind its head, which tells the way; all of an arrow that is a head alone."""
    _, neck, _, tip, _, other_neck, *_ = _outline(arrow)
    neck = (neck + other_neck) / 2
    behind = (points - neck) @ (tip - neck) < 0
    return points[behind] if behind.any() else points


def _along(artist):
    """Points along a line, or the marks of one that has marks alone; of a hollow part, along its outline."""
    points = _outline(artist)
    if _is_mark(artist):
        return points[np.isfinite(points).all(axis=1)]
    breaks = np.flatnonzero(~np.isfinite(points).all(axis=1))
    runs = [run[np.isfinite(run).all(axis=1)] for run in np.split(points, breaks)]
    return np.vstack([_resampled(run) for run in runs if len(run)])

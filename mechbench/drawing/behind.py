"""Two designs in one picture: one as it is drawn always, the other one faint behind it, on the same axes.

Contents: Pinned, screen, start_behind.

What is behind is the same picture made once more, on a figure of its own, in one quiet colour, its lines thin and its
outlines dashed, without words. Both figures have the same size, so that what is drawn from the other one falls in its
place as soon as their axes have the same ends. It belongs to the kept background: while a slider moves the design in
front, it is not drawn again.

A machine that moves has its own start behind it. That needs no second figure: copies of its own parts stay there.
"""

from contextlib import contextmanager
from copy import copy

from matplotlib.collections import Collection
from matplotlib.colors import to_hex, to_rgba
from matplotlib.lines import Line2D
from matplotlib.patches import Patch
from matplotlib.text import Text
from matplotlib.ticker import ScalarFormatter

from mechbench.drawing.palette import faint
from mechbench.drawing.picture import Screen, on_paper
from mechbench.drawing.shapes import Arrow

THIN, OUTLINE = 0.6, (0, (3, 2))  # width of lines, as a share; dashes of outlines, in widths of the line
EVEN = 0.01  # scales along and across that differ by less are the same


class Pinned(Screen):
    """A screen that draws another design, given as report and inputs, behind its own."""

    def __init__(self, picture_class, look, system, report, now):
        super().__init__(picture_class, look, system)
        self.standing = None  # extras at which the other design stays, whatever the picture's own are
        self._behind, self._paper = on_paper(picture_class, faint(look), system), look.paper
        self._given, self._extra = (report, now), None
        self._ends = self._other_ends = self._common = None
        self._beside = []  # for each pair of axes: their rows bear the same names, so that bars stand beside their own

    def update(self, report, now, extra):
        """Change the picture's moving parts, and those behind where the picture's own sliders moved them too."""
        self._ends = _updated(self.picture, self._ends, report, now, extra)
        other = self.standing or extra
        if other != self._extra:
            self._other_ends = _updated(self._behind, self._other_ends, *self._given, other)
            self._extra, self.picture.stale = dict(other), True
            for artist in (artist for _, axes in self._pairs() for artist in self._drawn(self._behind, axes)):
                _quieten(artist, self._paper)
        if self.picture.stale:
            self._beside = [_names(axes) == _names(behind) for axes, behind in self._pairs()]
        common = [
            _around(one, other, _even(axes)) if beside else one
            for one, other, beside, (axes, _) in zip(self._ends, self._other_ends, self._beside, self._pairs())
        ]
        if common != self._common:
            self._common, self.picture.stale = common, True
        for picture in (self.picture, self._behind):
            _put(picture, common)

    def _pairs(self):
        """The picture's own axes, each with those behind."""
        return list(zip(self.picture.figure.axes, self._behind.figure.axes))

    def draw_behind(self):
        """Draw the other design over the empty axes, before what moves is drawn.

        A picture without moving parts stands there already: then it is drawn once more, over the other one.
        """
        for beside, (axes, behind) in zip(self._beside, self._pairs()):
            behind.apply_aspect()
            over = [] if self.picture.moving else [*self._drawn(self.picture, axes), *axes.texts]
            for artist in (*(self._drawn(self._behind, behind) if beside else ()), *over):
                self.figure.draw_artist(artist)

    @staticmethod
    def _drawn(picture, axes):
        """The moving parts on some axes, but no words; of a picture that has none, all that is drawn there."""
        parts = picture.moving or sorted((*axes.patches, *axes.lines, *axes.collections), key=lambda a: a.get_zorder())
        return [artist for artist in parts if artist.axes is axes and not isinstance(artist, Text)]


def screen(picture_class, look, system, pinned=None):
    """A screen; pinned is report and inputs of the design behind, None for none."""
    return Pinned(picture_class, look, system, *pinned) if pinned else Screen(picture_class, look, system)


@contextmanager
def start_behind(screen, report, now, extra):
    """While it lasts, the machine as it stands with these extras stays faint behind what moves; where another design
    is pinned, that one stays so.
    """
    if isinstance(screen, Pinned):
        screen.standing = extra
    else:
        screen.image(report, now, extra)
        screen.put_under(_faint_machine(screen.picture))
    try:
        yield
    finally:
        screen.standing = None
        screen.put_under(())


def _faint_machine(picture):
    """Faint copies of what a picture shows to scale; no plot, no force, no words."""
    look = picture.look
    paper, quiet = (look.paper, look.grid, look.body), faint(look).ink
    hue = lambda given: "none" if to_rgba(given)[3] == 0 else look.paper if _hex(given) in paper else quiet
    for artist in picture.moving:
        if isinstance(artist, Text) or artist.axes is None or artist.axes.axison or artist.get_gid() == Arrow.GID:
            continue
        one = copy(artist)
        if isinstance(one, Line2D):
            edge, face = hue(one.get_markeredgecolor()), hue(one.get_markerfacecolor())
            one.set(color=hue(one.get_color()), markeredgecolor=edge, markerfacecolor=face)
        else:
            one.set(edgecolor=hue(one.get_edgecolor()), facecolor=hue(one.get_facecolor()))
        _quieten(one, look.paper)
        yield one


def _names(axes):
    """The names that rows of a plot bear; none where they are numbers."""
    if isinstance(axes.yaxis.get_major_formatter(), ScalarFormatter):
        return []
    return [label.get_text() for label in axes.get_yticklabels()]


def _updated(picture, ends, report, now, extra):
    """Change a picture as if its axes still had their own ends, and give these."""
    if ends is not None:
        _put(picture, ends)
    picture.update(report, now, extra)
    return [(axes.get_xlim(), axes.get_ylim()) for axes in picture.figure.axes]


def _put(picture, ends):
    for axes, (x, y) in zip(picture.figure.axes, ends):
        if axes.get_xlim() != x:
            axes.set_xlim(x)
        if axes.get_ylim() != y:
            axes.set_ylim(y)


def _even(axes):
    """Whether one unit is as long along as across, so that it must stay so."""
    if axes.get_aspect() == 1:
        return True
    (left, right), (low, high) = axes.get_xlim(), axes.get_ylim()
    along, across = axes.bbox.width / abs(right - left), axes.bbox.height / abs(high - low)
    return abs(along / across - 1) < EVEN


def _around(own, other, even):
    """Ends of both axes that hold both drawings, in the direction of the first; those of an even scale keep its
    shape.
    """
    both = [_span(one, two) for one, two in zip(own, other)]
    if even and tuple(both) != tuple(own):
        x, y = both
        wide, high = (abs(end - start) for start, end in own)
        scale = max(abs(x[1] - x[0]) / wide, abs(y[1] - y[0]) / high)
        both = [_grown(x, scale * wide, 0.5), _grown(y, scale * high, 1.0)]
    return tuple(both)


def _span(one, two):
    low, high = min(*one, *two), max(*one, *two)
    return (low, high) if one[0] <= one[1] else (high, low)


def _grown(ends, size, share):
    """Ends further apart, `share` of what is added behind the second one: a drawing keeps its floor."""
    more = (size - abs(ends[1] - ends[0])) * (1 if ends[0] <= ends[1] else -1)
    return ends[0] - (1 - share) * more, ends[1] + share * more


def _hex(colour):
    """A colour as a look gives it."""
    return to_hex(colour).upper()


def _quieten(artist, paper):
    """Thin lines, dashed outlines without paper inside; what a picture sets anew at each update is set again."""
    if not hasattr(artist, "full_width"):
        artist.full_width = artist.get_linewidth()
    if isinstance(artist, Line2D):
        artist.set_linewidth(artist.full_width * THIN)
    elif isinstance(artist, (Patch, Collection)):
        artist.set(linestyle=OUTLINE, hatch=None)
    if isinstance(artist, Patch) and _hex(artist.get_facecolor()) == paper:
        artist.set_facecolor("none")  # words of the design in front stay readable

"""The picture of who draws how much current: a bar a user, the fuse and the reset as lines across all of them.

Contents: png, words.
"""

from matplotlib import rc_context
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from mechbench import quantity
from mechbench.desk.current_bars import FUSE, end_of, marks_of, title_of, totals_of, words_of
from mechbench.drawing.palette import LIGHT
from mechbench.drawing.picture import DOTS_PER_INCH, SMALLEST, colours, encoded, image_of, style

WIDTH, ROW, REST = 7.0, 0.29, 1.45  # inches
THICK = 0.66  # of the room of a row
LETTER = 0.085  # inch, of a name at the left
BETWEEN = 0.4  # rows, between the users and their sums


def words(found):
    """The same in words, for those who don't see the picture."""
    rows = [(user.name, user.amps) for user in found.users] + list(totals_of(found))
    told = [f"{name}: {quantity.show(amps, 'A')}." for name, amps in rows]
    return " ".join([f"{title_of(found)}.", *told, *words_of(found)])


def png(found, look=LIGHT):
    """The chart as PNG bytes, on the paper of a look."""
    users, totals = [(user.name, user.amps) for user in found.users], list(totals_of(found))
    rows = users + totals
    places = [at + (BETWEEN if at >= len(users) else 0.0) for at in range(len(rows))]
    with rc_context(style(look)):
        height = ROW * (len(rows) + BETWEEN) + REST
        figure = Figure(figsize=(WIDTH, height), dpi=DOTS_PER_INCH)
        canvas = FigureCanvasAgg(figure)
        left = LETTER * max(len(name) for name, _ in rows) / WIDTH
        axes = figure.add_axes((left, 0.55 / height, 0.97 - left, 1 - REST / height))
        each = LETTER * end_of(found) * 1.08 / (WIDTH * (0.97 - left))  # what a letter of 0.085 inch takes, in A
        beside = [_free(amps, each, [mark[1] for mark in marks_of(found)]) for _, amps in rows]
        _bars(axes, rows, places, beside, len(users), look)
        _lines(axes, found, look)
        axes.set_xlim(0, end_of(found) * 1.08)
        axes.set_ylim(places[-1] + 0.6, -0.6)
        axes.set_yticks(places, [name for name, _ in rows])
        axes.tick_params(axis="y", length=0)
        axes.grid(axis="y", visible=False)
        axes.set_xlabel("current from the battery [A]")
        figure.text(0.01, 1 - 0.08 / height, title_of(found), va="top", fontsize=11)
        canvas.draw()
        return encoded(image_of(canvas), colours(look), SMALLEST)


def _free(amps, each, marks):
    """Where a bar's number begins so that it stands on no mark's line; each: what a letter takes, in A."""
    at, width = amps, each * (len(quantity.show(amps, "A")) + 0.5)
    for mark in sorted(marks):
        if at - each / 2 < mark < at + width:
            at = mark
    return at


def _bars(axes, rows, places, beside, users, look):
    """The bars, each with its number at its end; sums are striped."""
    for number, ((_, amps), place, at) in enumerate(zip(rows, places, beside)):
        summed = number >= users
        axes.barh(
            place,
            amps,
            height=THICK,
            facecolor=look.body,
            edgecolor=look.colour("ask" if summed else "give"),
            linewidth=1.8,
            hatch="////" if summed else None,
        )
        text = axes.annotate(
            quantity.show(amps, "A"), (at, place), (5, 0), textcoords="offset points", va="center", fontsize=10
        )
        text.set(zorder=4, bbox={"facecolor": look.paper, "edgecolor": "none", "pad": 0.6})


def _lines(axes, found, look):
    """The fuse and the reset, each with its own kind of line and its words on top."""
    end = end_of(found)
    for level, (sign, amps, label, _) in enumerate(mark for mark in marks_of(found) if mark[1] <= end):
        axes.axvline(amps, zorder=3, **look.line("limit" if sign == FUSE else "power" if sign == "R" else "share", 2.0))
        axes.annotate(
            f"{label}: {quantity.show(amps, 'A')}",
            (amps, 1.0),
            (0, 3 + 14 * level),
            xycoords=("data", "axes fraction"),
            textcoords="offset points",
            ha="left" if amps < 0.2 * end else "right" if amps > 0.8 * end else "center",
            va="bottom",
            fontsize=10,
        )

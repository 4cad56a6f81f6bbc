"""Pictures for the command and the record, as PNG: the machine to scale, a sweep, readings beside what was predicted.

Contents: machine, machine_alone, against, influences, sweep, readings.
"""

import numpy as np
from matplotlib import rc_context
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from PIL import Image

from mechbench import quantity
from mechbench.catalog import picture_of
from mechbench.drawing import static_image
from mechbench.drawing.palette import LIGHT
from mechbench.drawing.picture import DOTS_PER_INCH, SMALLEST, Screen, colours, encoded, image_of, plain, style
from mechbench.engine import report_text
from mechbench.engine.columns import columns
from mechbench.engine.spec import Pick

WIDTH, PANEL, FOOT = 7.0, 2.1, 0.5  # inches
MOST_TICKS = 12


def machine(design):
    """The machine to scale, with the sentence that says what is to be seen below it."""
    picture, now, turns = _drawable(design)
    return static_image.still(
        picture, design.report, now, turns, report_text.verdict(design.report, design.system), design.system
    )


def machine_alone(design):
    """The machine to scale."""
    picture, now, turns = _drawable(design)
    return encoded(Screen(picture, LIGHT, design.system).image(design.report, now, turns), colours(LIGHT), SMALLEST)


def against(found, look=LIGHT):
    """Designs side by side, with the words that tell which is drawn how: of two, A is faint behind B; of more, each has
    its own picture, A first.
    """
    from mechbench.desk.against import LETTERS, pictured

    drawables = [_drawable(one) for one in found.designs]
    if len(drawables) == 2:
        (_, behind, _), (picture, now, turns) = drawables
        a, b = found.reports
        return static_image.still(picture, b, now, turns, pictured(found), found.system, (a, behind), look)
    images = [
        static_image.captioned(Screen(picture, look, found.system).image(report, now, turns), letter, look)
        for letter, report, (picture, now, turns) in zip(LETTERS, found.reports, drawables)
    ]
    whole = static_image.captioned(_stacked(images, look), pictured(found), look)
    return encoded(whole, colours(look), SMALLEST)


def _stacked(images, look):
    """Pictures one below the other."""
    whole = Image.new("RGB", (images[0].width, sum(image.height for image in images)), look.paper)
    for place, image in enumerate(images):
        whole.paste(image, (0, sum(above.height for above in images[:place])))
    return whole


def _drawable(design):
    picture = picture_of(design.sizing.NAME)
    turns = {f.name: f.to_si(f.default) for f in picture.EXTRA} | design.turns
    return picture, plain(columns(design.sizing, design.report.values, design.tables)), turns


def _figure(panels):
    figure = Figure(figsize=(WIDTH, PANEL * panels + FOOT), dpi=DOTS_PER_INCH, layout="constrained")
    return figure, FigureCanvasAgg(figure)


def _png(canvas, look=LIGHT):
    canvas.draw()
    return encoded(image_of(canvas), colours(look), SMALLEST)


# --- what counts most -----------------------------------------------------------------------------------------------


def influences(found, most=10):
    """Each input as a bar from the points at its low end to those at its high end, the strongest on top."""
    shown = found[:most]
    with rc_context(style(LIGHT)):
        figure, canvas = _figure(0.14 * len(shown) + 0.3)
        axes = figure.subplots()
        for row, one in enumerate(shown):
            for end, role, hatch in ((one.low, "ask", "////"), (one.high, "give", None)):
                axes.barh(
                    row,
                    end - one.usual,
                    left=one.usual,
                    height=0.7,
                    facecolor=LIGHT.body,
                    edgecolor=LIGHT.colour(role),
                    linewidth=1.6,
                    hatch=hatch,
                    label={"ask": "low end", "give": "high end"}[role] if row == 0 else None,
                )
        axes.axvline(shown[0].usual, color=LIGHT.ink, linewidth=1.2)
        axes.set_yticks(range(len(shown)), [one.name for one in shown])
        axes.invert_yaxis()
        axes.grid(axis="y", visible=False)
        axes.set_xlabel("points a match")
        axes.legend(loc="lower right", frameon=False)
        return _png(canvas)


# --- a sweep --------------------------------------------------------------------------------------------------------


def sweep(swept, look=LIGHT):
    """One panel for each finding that is told: a good and a bad day over the input, and what is asked."""
    told = swept.told()
    with rc_context(style(look)):
        figure, canvas = _figure(len(told))
        panels = figure.subplots(len(told), 1, sharex=True, squeeze=False)[:, 0]
        for axes, finding in zip(panels, told):
            _panel(axes, swept, finding, look)
        panels[0].legend(loc="lower left", bbox_to_anchor=(0, 1.12), ncols=3, frameon=False)
        _foot(panels[-1], swept)
        return _png(canvas, look)


def _panel(axes, swept, finding, look):
    unit = quantity.in_system(finding.unit, swept.system)
    shown = lambda si: quantity.from_si(si, unit)
    places = _places(swept)
    for day, role, label in (("good", "give", "good day"), ("bad", "ask", "bad day")):
        found = [getattr(report, day)[finding.name] if report else np.nan for report in swept.reports]
        heights = np.array([shown(value) if np.isfinite(value) else np.nan for value in found])
        axes.plot(
            places, heights, label=label, **(look.line(role) | {"marker": look.mark(role)["marker"], "markersize": 5})
        )
    bounds = [report.bounds[finding.name] for report in swept.reports if report and finding.sense]
    if bounds and np.isfinite(bounds[0]):
        axes.plot(
            places,
            [shown(r.bounds[finding.name]) if r else np.nan for r in swept.reports],
            label="asked",
            **look.line("limit", 1.6),
        )
    asked = f" ({finding.sense} the line 'asked')" if bounds else ""
    axes.set_title(f"{finding.label} [{quantity.written(unit)}]{asked}".replace(" []", ""))


def _places(swept):
    if isinstance(swept.input, Pick):
        return np.arange(len(swept.values))
    return quantity.from_si(np.array(swept.values), quantity.in_system(swept.input.unit, swept.system))


def _foot(axes, swept):
    if isinstance(swept.input, Pick):
        step = -(-len(swept.values) // MOST_TICKS)
        axes.set_xticks(
            range(0, len(swept.values), step),
            [swept.value_text(value) for value in swept.values[::step]],
            rotation=30,
            ha="right",
        )
        axes.set_xlabel(swept.input.label)
    else:
        unit = quantity.written(quantity.in_system(swept.input.unit, swept.system))
        axes.set_xlabel(f"{swept.input.label} [{unit}]".replace(" []", ""))


# --- readings -------------------------------------------------------------------------------------------------------


def readings(x, y, before, after, x_label, y_label):
    """Readings as points, what the kit said as a dashed line, and the curve through the readings.

    x, y : the readings, in the units of the labels; before, after : predicted y at each x
    """
    with rc_context(style(LIGHT)):
        figure, canvas = _figure(1.5)
        axes = figure.subplots()
        order = np.argsort(x)
        axes.plot(x[order], before[order], label="the kit so far", **LIGHT.line("ask"))
        axes.plot(x[order], after[order], label="through the readings", **LIGHT.line("give"))
        axes.plot(x, y, label="measured", **LIGHT.mark("limit", 7))
        axes.set_xlabel(x_label)
        axes.set_ylabel(y_label)
        axes.legend(loc="lower left", bbox_to_anchor=(0, 1.0), ncols=3, frameon=False)
        return _png(canvas)

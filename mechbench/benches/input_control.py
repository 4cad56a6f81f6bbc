"""One input on the screen: a slider with a box beside it for a number, a list for a part.

Contents: Slider, Choice, make.

Both tell the bench by `changed(name, given)`: `given` is an SI number, a part's name, or text that somebody typed.
"""

import math

import ipywidgets as w

from mechbench import quantity
from mechbench.engine.spec import Pick

DIGITS = 4  # of the value beside a slider
NICE = (5.0, 2.5, 2.0, 1.0)
PLACES, MOST_PLACES = 60, 1100  # a slider has at least so many places, and at most, where that can be


def step_of(field):
    """The step of a field's slider: its own, or a round one that meets both the low end and the default.

    A slider counts its places from the low end, so a step that does not fit would move the default off its number.
    """
    if field.step:
        return field.step
    reach = field.high - field.low
    power = 10.0 ** math.floor(math.log10(reach / PLACES))
    steps = [nice * power * down for down in (1.0, 0.1, 0.01) for nice in NICE]
    steps = [step for step in steps if reach / MOST_PLACES <= step <= reach / PLACES]
    whole = lambda number: abs(number - round(number)) < 1e-6
    return next((step for step in steps if whole(field.low / step) and whole(field.default / step)), steps[-1])


def make(field, tables, changed):
    """The control of a Field or a Pick."""
    return Choice(field, tables, changed) if isinstance(field, Pick) else Slider(field, changed)


class Slider:
    """A number: its label and a box with the value and its unit on one line, a slider below.

    The slider counts in the field's own unit in both systems of units, so that a step stays a round number and the
    handle stays where it is when the units are switched; the box shows and reads either.
    """

    def __init__(self, field, changed):
        self.field, self._changed, self._silent, self._exact = field, changed, False, field.default
        self.box = w.Text(description=field.label, continuous_update=False)
        self.slider = w.FloatSlider(
            min=field.low, max=field.high, step=step_of(field), value=field.default, readout=False
        )
        for part in (self.box, self.slider):
            part.tooltip = field.help
        self.view = w.VBox([self.box, self.slider])
        self.view.add_class("mechbench-control")
        self.slider.observe(self._slid, "value")
        self.box.observe(self._typed, "value")

    def _slid(self, change):
        if self._silent or self._only_rounded(change.new):
            return
        self._changed(self.field.name, self.field.to_si(float(f"{change.new:.10g}")))

    def _only_rounded(self, number):
        """Whether nobody moved it: the browser takes a value typed between two places to the nearer one and reports
        that.
        """
        return abs(number - self._exact) <= 0.5 * self.slider.step * (1 - 1e-9)

    def _typed(self, change):
        if not self._silent:
            self._changed(self.field.name, change.new)

    def put(self, value, system):
        """Show an SI value."""
        self._silent = True
        try:
            number = float(f"{quantity.from_si(value, self.field.unit):.10g}")
            self._exact = number
            if abs(number - self.slider.value) > 1e-9 * (self.field.high - self.field.low):
                self.slider.value = number
            self.box.value = quantity.show(value, self.field.unit, digits=DIGITS, system=system)
        finally:
            self._silent = False


class Choice:
    """A part of the kit, chosen from a list."""

    def __init__(self, pick, tables, changed):
        self.field, self._changed, self._silent = pick, changed, False
        labels = tables(pick.table).labels
        options = [(labels.get(name, name), name) for name in pick.options(tables)]
        self.list = w.Dropdown(description=pick.label, options=options, tooltip=pick.help)
        self.view = w.VBox([self.list])
        self.view.add_class("mechbench-control")
        self.list.observe(self._chosen, "value")

    def _chosen(self, change):
        if not self._silent:
            self._changed(self.field.name, change.new)

    def put(self, value, system):
        """Show a part by its name."""
        self._silent = True
        try:
            self.list.value = value
        finally:
            self._silent = False

"""One input on the screen: a slider with a box beside it for a number, a list for a part.

Contents: Slider, Choice, make.

Both tell the bench by `changed(name, given)`: `given` is an SI number, a part's name, or text that somebody typed.
"""

import math

import ipywidgets as w

from mechbench import quantity
from mechbench.sizing.describe import Pick

DIGITS = 4  # of the value beside a slider
NICE = (1, 2, 2.5, 5, 10)


def nice_step(low, high):
    """A round step that cuts a range into about a hundred."""
    rough = (high - low) / 100
    power = 10.0 ** math.floor(math.log10(rough))
    return min((n * power for n in NICE), key=lambda step: abs(math.log(step / rough)))


def make(field, tables, changed):
    """The control of a Field or a Pick."""
    return Choice(field, tables, changed) if isinstance(field, Pick) else Slider(field, changed)


class Slider:
    """A number: its label and a box with the value and its unit on one line, a slider below.

    The slider counts in the field's own unit in both systems of units, so that a step stays a round number and the handle
    stays where it is when the units are switched; the box shows and reads either.
    """

    def __init__(self, field, changed):
        self.field, self._changed, self._silent = field, changed, False
        self.box = w.Text(description=field.label, continuous_update=False)
        self.slider = w.FloatSlider(
            min=field.low, max=field.high, step=field.step or nice_step(field.low, field.high), value=field.default, readout=False
        )
        for part in (self.box, self.slider):
            part.tooltip = field.help
        self.view = w.VBox([self.box, self.slider])
        self.view.add_class("mechbench-control")
        self.slider.observe(self._slid, "value")
        self.box.observe(self._typed, "value")

    def _slid(self, change):
        if not self._silent:
            self._changed(self.field.name, self.field.to_si(float(f"{change.new:.10g}")))

    def _typed(self, change):
        if not self._silent:
            self._changed(self.field.name, change.new)

    def put(self, value, system):
        """Show an SI value."""
        self._silent = True
        try:
            number = float(f"{quantity.from_si(value, self.field.unit):.10g}")
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

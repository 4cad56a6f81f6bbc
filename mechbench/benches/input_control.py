"""One input on the screen: a slider with a box beside it for a number, a list for a part.

Contents: Slider, Choice, make.

Both tell the bench by `changed(name, given)`: `given` is an SI number, a part's name, or text that somebody typed.
"""

import math

import ipywidgets as w
import numpy as np

from mechbench import quantity
from mechbench.engine.spec import Pick
from mechbench.kits import by_figures

DIGITS = 4  # of the value beside a slider
NICE = (5.0, 2.5, 2.0, 1.0)
PLACES, MOST_PLACES = 60, 1100  # a slider has at least so many places, and at most, where that can be
MANY, FEW = 60, 16  # a list of more parts than that begins with so few
# Stand for the others, and for a part that is none of the kit; no part has a name that begins with a space.
MORE, OWN = " more", " own"
OWN_LABEL = "own ... (type its figures)"


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

    waits = False  # as that of a Choice

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
    """A part of the kit, chosen from a list. A long one begins with a few, and a line that shows all. Where a part may
    be given by its figures, the last line opens a box for these.
    """

    def __init__(self, pick, tables, changed):
        self.field, self._changed, self._silent, self._tables = pick, changed, False, tables
        plain = getattr(tables, "plain", tables)  # as the kit says, without what was given by figures
        table = plain(pick.table)
        taken = by_figures.figures_taken(pick.table).removeprefix("figures: ")
        self._own = [(OWN_LABEL, OWN)] if taken else []
        self._all = [(table.labels.get(name, name), name) for name in pick.options(plain)]
        self._first = _over_all_ratios(table, [name for _, name in self._all])
        self.list = w.Dropdown(description=pick.label, options=self._few(""), tooltip=pick.help)
        self.box = w.Text(description=f"Own: {pick.label}", placeholder=taken, continuous_update=False)
        self.box.tooltip = by_figures.figures_taken(pick.table)
        self.box.layout.display = "none"
        self.view = w.VBox([self.list, *([self.box] if taken else [])])
        self.view.add_class("mechbench-control")
        self._value = self.list.value
        self.list.observe(self._chosen, "value")
        self.box.observe(self._typed, "value")

    def _few(self, chosen):
        """What the list begins with: a few parts, the chosen one, and how many more there are."""
        few = [(label, name) for label, name in self._all if name in self._first or name == chosen]
        more = len(self._all) - len(few)
        return [*few, *([(f"{more} more: show them all", MORE)] if more else []), *self._own]

    def _chosen(self, change):
        if self._silent:
            return
        if change.new == MORE:
            self._show(self._value, [*self._all, *self._own])
        elif change.new == OWN:
            self.box.layout.display = None
        else:
            self._value = change.new
            self._changed(self.field.name, change.new)

    def _typed(self, change):
        if not self._silent and change.new.strip():
            self._changed(self.field.name, change.new)

    @property
    def waits(self):
        """Whether its box is open for figures, and what is chosen is none of the list's parts."""
        return self.list.value == OWN

    def put(self, value, system):
        """Show a part by its name; one that was given by its figures, with these in its box."""
        own = self._tables.own_of({self.field.name: value}).get(self.field.name)
        there = value in [name for _, name in self.list.options]
        if value in [name for _, name in self._all]:
            options = None if there else self._few(value)
        else:
            few = [one for one in self._few("") if one not in self._own]
            options = [*few, (self._tables(self.field.table).labels[value], value), *self._own]
        self._show(value, options, own.typed if own else "")
        self.box.layout.display = None if own else "none"

    def _show(self, value, options=None, typed=""):
        """Choose a part, of other options where they are given; nothing is told."""
        self._silent = True
        try:
            if options is not None:
                self.list.options = options
            self.list.value = self._value = value
            self.box.value = typed
        finally:
            self._silent = False


def _over_all_ratios(table, names):
    """All of them; of many, the first and those nearest to a few ratios between the least and the largest."""
    if len(names) <= MANY or "ratio" not in table.columns:
        return set(names)
    ratios = np.log([table.row(name)["ratio"] for name in names])
    wanted = np.linspace(ratios.min(), ratios.max(), FEW)
    return {names[0], *(names[int(np.argmin(np.abs(ratios - ratio)))] for ratio in wanted)}

"""One input on the screen: a slider with a box beside it for a number, a list for a part.

Contents: Slider, Choice, Wheels (three lists for one part), make.

All tell the bench by `changed(name, given)`: `given` is an SI number, a part's name, or text that somebody typed.
"""

import math

import ipywidgets as w

from mechbench import quantity
from mechbench.engine.spec import Pick
from mechbench.kits import by_figures, two_wheels

DIGITS = 4  # of the value beside a slider
NICE = (5.0, 2.5, 2.0, 1.0)
PLACES, MOST_PLACES = 60, 1100  # a slider has at least so many places, and at most, where that can be
OWN = " own"  # stands for a part that is none of the kit; no part has a name that begins with a space
OWN_LABEL = "own ... (type its figures)"
# What the lists of two wheels are called, behind the input's label.
KIND, DRIVER, DRIVEN = "kind", "driver teeth", "driven teeth"
TEETH_HELP = {DRIVER: "of the wheel that drives", DRIVEN: "of the wheel that is driven"}


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
    if not isinstance(field, Pick):
        return Slider(field, changed)
    pairs = two_wheels.is_pairs(getattr(tables, "plain", tables)(field.table))
    return (Wheels if pairs else Choice)(field, tables, changed)


class Slider:
    """A number: its label and a box with the value and its unit on one line, a slider below.

    The slider counts in the field's own unit in both systems of units, so that a step stays a round number and the
    handle stays where it is when the units are switched; the box shows and reads either.
    """

    waits = False  # as that of a Choice

    def __init__(self, field, changed):
        self.field, self._changed, self._silent, self._exact = field, changed, False, field.default
        self._unit = field.unit
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
        that, or reports the place where it stands anyway.
        """
        step, off = self.slider.step, abs(number - self._exact)
        return off < 0.5 * step * (1 - 1e-9) or abs(number - self._place(self._exact)) < 1e-6 * step

    def _typed(self, change):
        if not self._silent:
            self._changed(self.field.name, self._in_its_unit(change.new))

    def _in_its_unit(self, text):
        """A text with the unit that the box showed, where somebody typed a number alone over it."""
        try:
            quantity.read(text, quantity.kind_of(self.field.unit))
        except quantity.UnreadableQuantity as wrong:
            if wrong.reason == "no unit":
                return f"{text} {self._unit}"
        return text

    def put(self, value, system):
        """Show an SI value."""
        self._silent, self._unit = True, quantity.in_system(self.field.unit, system)
        try:
            number = float(f"{quantity.from_si(value, self.field.unit):.10g}")
            self._exact = number
            place = self._place(number)
            if abs(place - self.slider.value) > 1e-9 * (self.field.high - self.field.low):
                self.slider.value = place
            self.box.value = quantity.show(value, self.field.unit, digits=DIGITS, system=system)
        finally:
            self._silent = False

    def _place(self, number):
        """The slider's place nearest to a number. A number just between two places would else be moved by the browser,
        and what it reports looked like a hand's move.
        """
        low, step = self.slider.min, self.slider.step
        return min(float(f"{low + step * round((number - low) / step):.10g}"), self.slider.max)


class Choice:
    """A part of the kit, chosen from a list. Where a part may be given by its figures, the last line opens a box for
    these.
    """

    def __init__(self, pick, tables, changed):
        self.field, self._changed, self._silent, self._tables = pick, changed, False, tables
        plain = getattr(tables, "plain", tables)  # as the kit says, without what was given by figures
        taken = by_figures.figures_taken(pick.table).removeprefix("figures: ")
        self._own = [(OWN_LABEL, OWN)] if taken else []
        self._all = self._listed(plain(pick.table), pick.options(plain))
        self.list = w.Dropdown(description=self._said, options=[*self._all, *self._own], tooltip=pick.help)
        self.box = w.Text(description=f"Own: {pick.label}", placeholder=taken, continuous_update=False)
        self.box.tooltip = by_figures.figures_taken(pick.table)
        self.box.layout.display = "none"
        self.view = w.VBox([self.list, *self._beside(), *([self.box] if taken else [])])
        self.view.add_class("mechbench-control")
        self._value = self.list.value
        self.list.observe(self._chosen, "value")
        self.box.observe(self._typed, "value")

    @property
    def _said(self):
        """The label of the list."""
        return self.field.label

    def _listed(self, table, names):
        """What the list offers, each with its label."""
        return [(table.labels.get(name, name), name) for name in names]

    def _beside(self):
        """Other lists that stand below the first."""
        return []

    def _chosen(self, change):
        if self._silent:
            return
        if change.new == OWN:
            self.box.layout.display = None
        elif change.new != self._value:
            self._take(change.new)

    def _take(self, chosen):
        """Tell which part is chosen."""
        self._value = chosen
        self._changed(self.field.name, chosen)

    def _typed(self, change):
        if not self._silent and change.new.strip():
            self._changed(self.field.name, change.new)

    def call(self, words):
        """Other words for parts of the list: name -> words."""
        self._all = [(words.get(name, label), name) for label, name in self._all]

    @property
    def waits(self):
        """Whether its box is open for figures, and what is chosen is none of the list's parts."""
        return self.list.value == OWN

    def put(self, value, system):
        """Show a part by its name; one that was given by its figures, with these in its box."""
        own = self._tables.own_of({self.field.name: value}).get(self.field.name)
        options = list(self._all)
        if value not in [name for _, name in options]:
            options.append((self._tables(self.field.table).labels[value], value))
        self._show(value, [*options, *self._own], own.typed if own else "")
        self.box.layout.display = None if own else "none"

    def _show(self, value, options, typed=""):
        """Choose one of these options; nothing is told."""
        self._silent = True
        try:
            _fill(self.list, options, value)
            self._value, self.box.value = value, typed
        finally:
            self._silent = False


class Wheels(Choice):
    """A part that is two wheels, chosen from three lists: what they are, the driving one's teeth, the driven one's.

    All three stand for one value, the part's name. The driving wheels are those of the chosen kind, the driven ones
    those that a part has with the driving one; what a change makes impossible gives way to the nearest in ratio.
    """

    @property
    def _said(self):
        return f"{self.field.label}: {KIND}"

    def _listed(self, table, names):
        self._pairs, self._part = two_wheels.Pairs(table, names), ""
        return [(words, family) for family, words in self._pairs.families.items()]

    def _beside(self):
        self.teeth = {}
        for which in (DRIVER, DRIVEN):
            teeth = w.Dropdown(description=f"{self.field.label}: {which}", tooltip=TEETH_HELP[which])
            teeth.observe(lambda change, which=which: self._teeth_chosen(which, change.new), "value")
            self.teeth[which] = teeth
        self._rows = {which: w.VBox([one]).add_class("mechbench-control") for which, one in self.teeth.items()}
        return self._rows.values()

    def _take(self, chosen):
        super()._take(self._pairs.with_kind(chosen, *self._now()))

    def _now(self):
        """Teeth and ratio of the part that is chosen."""
        row = self._tables(self.field.table).row(self._part)
        return (round(row[two_wheels.DRIVER]), round(row[two_wheels.DRIVEN])), row[two_wheels.RATIO]

    def _teeth_chosen(self, which, teeth):
        if self._silent:
            return
        (driver, driven), ratio = self._now()
        family = self._pairs.place(self._part)[0]
        if which == DRIVEN:
            part = self._pairs.named(family, driver, teeth)
        elif driven in self._pairs.driven(family, teeth):
            part = self._pairs.named(family, teeth, driven)
        else:
            part = self._pairs.nearest(family, ratio, teeth)
        self._changed(self.field.name, part)

    def put(self, value, system):
        """Show a part in all three lists; of what is no pair, or was given by its figures, there are no teeth."""
        self._part = value
        family, drivers, shown = value, [], {DRIVER: None, DRIVEN: None}
        if value in self._pairs:
            family, driver, driven = self._pairs.place(value)
            drivers, shown = self._pairs.drivers(family), {DRIVER: driver, DRIVEN: driven}
        super().put(family if value in self._pairs else value, system)
        self._silent = True
        try:
            for which, teeth in self.teeth.items():
                of = {DRIVER: drivers, DRIVEN: self._pairs.driven(family, shown[DRIVER]) if drivers else []}[which]
                _fill(teeth, [(str(number), number) for number in of], shown[which] if of else None)
                teeth.layout.display = self._rows[which].layout.display = None if of else "none"
        finally:
            self._silent = False


def _fill(choices, options, value):
    """Put other options into a list where they are others, and choose one."""
    if tuple(choices.options) != tuple(options):
        choices.options = options
    choices.value = value

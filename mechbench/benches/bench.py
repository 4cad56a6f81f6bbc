"""A bench: a sizing on the screen, with sliders, a picture and one verdict sentence.

Contents: bench, Bench.

How a slider moves the picture: everything is done inside the slider's own callback. The browser has one message of a
slider under way and holds back the newest position until the kernel has said that it is idle, so positions that come
faster than redraws are dropped there and the last one always arrives. Measured with a redraw of 30 ms: 60 key presses
within 0.5 s made 12 redraws, the last one 70 ms after the last key. A queue of our own (the kernel's loop, call_soon or
call_later) made no difference, so there is none.

Where the picture needs no move, it is drawn and sent before the days are judged, and the verdict follows within the
same callback: the browser holds the next position back until both are there. On a slow laptop the old verdict is grey
meanwhile.
"""

import os
import threading
from base64 import b64encode
from collections.abc import Mapping
from functools import wraps
from html import escape

import ipywidgets as w

from mechbench import quantity
from mechbench.benches import best_parts, page, page_theme, player
from mechbench.benches.input_control import make
from mechbench.catalog import picture_of, sizing_of
from mechbench.drawing import static_image
from mechbench.drawing.behind import screen
from mechbench.drawing.film import film
from mechbench.drawing.palette import DRAWN, LOOKS
from mechbench.drawing.picture import plain
from mechbench.engine import power_off, report_text, side_by_side
from mechbench.engine.columns import columns
from mechbench.engine.inputs import Tables, changed, complete, supplies
from mechbench.engine.judge import judge_with, pictured
from mechbench.engine.opening import as_opened
from mechbench.engine.owned import note_of, read_as
from mechbench.engine.spec import CHOICE, JOB, Pick, Sizing, in_game
from mechbench.wording import together

HEADS = {JOB: "The job asks", CHOICE: "You choose"}
REST = {JOB: "More that the job asks", CHOICE: "More to choose"}
PIN, UNPIN = "Pin as A", "Unpin A"
PIN_HELP = "Keep this design as A, faint in the picture, and compare with it what you make next"
FIND_HELP = "Tries all parts of the lists that you see, and offers the three best"


def bench(name_or_class, values=None, show=None, fixed=None, kit=None, picture=None, system=None, **inputs):
    """Open a sizing on the screen, as the last line of a notebook's cell: mb.bench("arm", payload="0.5 kg").

    name_or_class: "motor", "train" ... or a subclass of Sizing. inputs: what to start from (text with unit, SI
    numbers, names of parts); values: the same as a dictionary. show: names of the inputs that are seen at first; the
    others wait behind "More". fixed: inputs, with their values, that are not shown at all. What the kit's game lacks
    has no slider either. kit: another kit than the one in force. picture: another subclass of Picture. system:
    "metric" or "us".
    """
    sizing = (
        name_or_class
        if isinstance(name_or_class, type) and issubclass(name_or_class, Sizing)
        else sizing_of(name_or_class)
    )
    if values is not None and not isinstance(values, Mapping):
        raise ValueError(f'Inputs are given by name: mb.bench("{sizing.NAME}", {sizing.FIELDS[0].name}=...).')
    return Bench(sizing, {**(values or {}), **inputs}, show, fixed, kit, picture, system)


# Notebooks may run what two clicks ask for in two threads. A picture in the making, and matplotlib's settings, bear
# only one.
_one_at_a_time = threading.RLock()


def _alone(method):
    """A method that waits until no other bench is at work."""

    @wraps(method)
    def waiting(*args, **kwargs):
        with _one_at_a_time:
            return method(*args, **kwargs)

    return waiting


class Bench:
    """A sizing on the screen. In code cells: `values` (SI numbers and names of parts), `report` (None while `problem`
    is a sentence on what is wrong with the inputs), `set(load_torque="0.5 N·m")`, `pin()` and `unpin()` (`pinned` is
    the report of A, or None), and of a whole robot `part_first()`.
    """

    # The units that were chosen last hold for the benches that are opened after.
    _chosen = {"system": os.environ.get("MECHBENCH_UNITS") or "metric"}

    @_alone
    def __init__(self, sizing, values=None, show=None, fixed=None, kit=None, picture=None, system=None):
        self.sizing = sizing
        if system:
            self._chosen = {**self._chosen, "system": _known(system)}  # of this bench alone
        self.system = self._chosen["system"]
        self.tables = Tables(sizing, kit)
        self.kit = self.tables.kit
        fixed = dict(fixed or {})
        self._fixed = tuple(fixed)
        here = [f for f in in_game(as_opened(sizing, self.tables), self.kit) if f.name not in fixed]
        self._shown = tuple(name for name in _shown(sizing, show, fixed) if name in {f.name for f in here})
        self._picture_class = picture or picture_of(sizing.NAME)
        self.values = complete(sizing, {**(values or {}), **fixed}, self.tables)
        self.report, self.problem, self._now, self._called = None, "", None, {}
        self._controls = {f.name: make(f, self.tables, self._changed) for f in here}
        self._extra = {f.name: make(f, self.tables, self._turned) for f in self._picture_class.EXTRA}
        self.turns = {f.name: f.to_si(f.default) for f in self._picture_class.EXTRA}
        self._refused = set()
        self._behind = None  # report and inputs of the design that is pinned as A
        self._screen = self._new_screen()
        self._player = player.Player(self._film, self._stand)
        self._solve()
        self._build()
        self._show_everything()

    @_alone
    def set(self, **values):
        """Change inputs as a hand on the sliders would; all or none: a value that is refused changes nothing."""
        supplied = {one.name for one in supplies(self.sizing)}  # battery and fuse: the tables have them, no input does
        read = {name: self._read(name, given) for name, given in values.items() if name not in supplied}
        complete(self.sizing, {name: values[name] for name in supplied & set(values)}, self.tables)
        self._put_in(read)
        self._forget_searches()
        return self

    def _put_in(self, read):
        self.values = self._with(read)
        self._solve()
        self._show_everything()

    @_alone
    def pin(self):
        """Keep the present design as A: it stays faint in the picture, and "All numbers" compares with it."""
        if self.report is None:
            raise ValueError(f"This design can't be pinned: {self.problem}")
        self._pin((self.report, self._now))
        return self

    @_alone
    def unpin(self):
        """Let A go."""
        self._pin(None)
        return self

    @property
    def pinned(self):
        """The report of the design that is pinned as A; None while none is."""
        return self._behind[0] if self._behind else None

    def _pin(self, behind):
        self._behind = behind
        self._screen = self._new_screen()
        self._pin_button.description = UNPIN if behind else PIN
        self._show_everything()

    @_alone
    def _pin_clicked(self, _):
        self._pin(None if self._behind else (self.report, self._now) if self.report else None)

    def number(self, name, bad_day=False):
        """An input or a finding as text: "4699 rpm", "slim motor"; for sentences about this bench."""
        finding = next((f for f in self.sizing.FINDINGS if f.name == name), None)
        if finding is not None:
            found = self.report.bad if bad_day else self.report.good
            return report_text.number(finding, found[name], self.system)
        return self._text_of(self.sizing.field(name), self.values[name])

    @property
    def sentence(self):
        """What you should see, in one or two sentences."""
        if self.problem:
            return self.problem
        seen = report_text.should_see(self.report, self._shown, self._labels, self.system)
        read = " ".join(read_as(self.values, self.tables))
        return " ".join(filter(None, (self.tables.instead(self.values), read, seen, self._note, self._beside_a)))

    @property
    def settings(self):
        """The inputs that are seen at first, as they are now: what a sentence about this bench holds with."""
        return report_text.settings(self.report, self._shown, self._labels, self.system)

    @property
    def _labels(self):
        """The words for the part that each list has chosen."""
        picks = [f for f in self.sizing.FIELDS if isinstance(f, Pick)]
        now = {pick.name: self.values[pick.name] for pick in picks}
        return {p.name: self._called.get(p.name, {}).get(now[p.name]) or self._text_of(p, now[p.name]) for p in picks}

    @property
    def _note(self):
        """What is told beside the verdict: what is left out or lacking, and what falls with the power off."""
        falls = power_off.sentence(self.report, self.system) if self.report else ""
        return " ".join(filter(None, (note_of(self.sizing, self.values, self.tables), falls)))

    @property
    def _beside_a(self):
        """What the picture shows of A, and how it compares; empty while nothing is pinned."""
        if not self.pinned:
            return ""
        if self.report is None:
            return "A is pinned."
        reports = (self.pinned, self.report)
        told = "; ".join(self._both(name, *reports) for name in side_by_side.differing(reports))
        differs = f"A, pinned, is thin and grey: {told}." if told else "A, pinned, is this design; change something."
        return f"{differs} {side_by_side.sentence(reports, self.system)}" if told else differs

    def _both(self, name, one, other):
        """'payload 0.3 kg (B: 0.5 kg)'."""
        field = self.sizing.field(name)
        texts = [self._text_of(field, report.values[name]) for report in (one, other)]
        return f"{field.label[0].lower()}{field.label[1:]} {texts[0]} (B: {texts[1]})"

    def _text_of(self, field, value):
        if isinstance(field, Pick):
            return self.tables(field.table).labels[value]
        return quantity.show(value, field.unit, system=self.system)

    def __repr__(self):
        return self.sentence

    @_alone
    def _repr_mimebundle_(self, include=None, exclude=None):
        bundle = {"text/plain": self.sentence}
        if self.report is not None:
            still = static_image.still(
                self._picture_class, self.report, self._now, self.turns, self.sentence, self.system, self._behind
            )
            bundle["image/png"] = b64encode(still).decode()
        return bundle | {k: v for k, v in self.view._repr_mimebundle_().items() if k != "text/plain"}

    @_alone
    def part_first(self):
        """Which change of one part gains most points on a bad day, in plain words; for whole robots."""
        if self._machine() is None:
            raise ValueError(f"{self.sizing.NAME} is no whole robot; open the bench of one to ask for its first part.")
        return "\n".join(_words_of_first().plain(self._search_first(lambda said: None), self.system))

    # what happens when something moves ------------------------------------------------------------------------------

    @_alone
    def _changed(self, name, given):
        before = self.values
        self._close_lists(self._controls[name])
        try:
            self.values = self._with({name: self._read(name, given)})
        except ValueError as wrong:
            self._refuse(self._controls[name], wrong)
            return
        drawn = self._draw_first()
        self._solve()
        if not drawn:
            self._draw()
        followed = {self._controls[other] for other in self._controls if self.values[other] != before[other]}
        called = {self._controls[other] for other in self._called if other in self._controls}
        for control in {self._controls[name], *followed, *called, *self._refused}:
            self._put(control)
        self._tell()
        self._forget_searches()

    @_alone
    def _turned(self, name, given):
        self._close_lists(self._extra[name])
        field = next(f for f in self._picture_class.EXTRA if f.name == name)
        try:
            self.turns[name] = field.read(given)
        except ValueError as wrong:
            self._refuse(self._extra[name], wrong)
            return
        self._draw()
        self._put(self._extra[name])
        if self._refused:
            self._show_everything()

    def _read(self, name, given):
        """One input as an SI number or a part's name; ValueError where it is not one."""
        return complete(self.sizing, {name: given}, self.tables)[name]

    def _with(self, read):
        """All inputs with some of them changed; ValueError where a motor and a gearbox would not go together."""
        return changed(self.sizing, self.values, read, self.tables, self._fixed)

    def _refuse(self, control, wrong):
        """Say what is wrong with a text; it stays in its box to be mended until something else is moved."""
        self._refused.add(control)
        field, sentence = control.field, str(wrong)
        if sentence.startswith(f"{field.name} "):  # on the screen it goes by its label
            sentence = field.label + sentence.removeprefix(field.name)
        self._verdict.value = page.problem(sentence)

    def _close_lists(self, moved):
        """Put lists back that wait for figures of a part while something else is moved."""
        for control in self._controls.values():
            if control is not moved and control.waits:
                self._put(control)

    def _put(self, control):
        self._refused.discard(control)
        if words := self._called.get(control.field.name):
            control.call(words)
        control.put({**self.values, **self.turns}[control.field.name], self.system)

    def _solve(self):
        try:
            self.report, self.problem = judge_with(self.sizing, self.values, self.tables), ""
        except ValueError as wrong:
            self.report, self.problem = None, str(wrong)
        else:
            self._now = plain(columns(self.sizing, self.values, self.tables))
            self._called = self.sizing.called(self.values, self.tables)

    def _draw_first(self):
        """Show the new picture before all days are judged, where it needs nothing of that; whether it was shown.

        What is told waits for its own numbers: where that takes a while, it is seen to wait (page.STYLE).
        """
        try:
            report = pictured(self.sizing, self.values, self.tables)
            if report is None:
                return False
            now = plain(columns(self.sizing, self.values, self.tables))
            pngs = self._screen.in_looks(report, now, self.turns)
        except ValueError:
            return False  # judging says what is wrong
        self._seen.add_class(page.WAITS)
        self._show_picture(pngs)
        self._player.leave()
        return True

    def _machine(self):
        return self.sizing.machine(self.values, self.tables)

    def _search_first(self, progress):
        from mechbench.whole_robot.part_first import remembered

        return remembered(self._machine(), self.values.get("points_wanted"), progress=progress)

    def _draw(self):
        self._draw_still()
        self._player.leave()

    def _draw_still(self):
        if self.report is not None:
            self._show_picture(self._screen.in_looks(self.report, self._now, self.turns))

    def _show_picture(self, pngs):
        """Give the page the picture in each look; it shows the one that goes with its theme, which is sent first."""
        seen = page_theme.look()
        for name in sorted(pngs, key=lambda name: name != seen):
            self._images[name].value = page.address(pngs[name])

    @_alone
    def _film(self, slowly):
        """The film of the machine's move; None where there is none."""
        if self._refused:
            self._show_everything()
        motion = self._screen.picture.motion(self.report, self._now) if self.report else None
        if motion is None:
            return None
        return film(self._screen, self.report, self._now, motion, slowly)

    @_alone
    def _stand(self, extra, back):
        """Put the picture's own sliders to where its machine stands, and draw it there; back: leave the film, too."""
        self.turns = {name: extra[name] for name in self.turns}
        for control in self._extra.values():
            self._put(control)
        self._draw_still()
        if back:
            self._player.leave()

    def _tell(self):
        told = page.verdict(self.report, self.system) if self.report else page.problem(self.problem)
        self._verdict.value = page.beside(self.tables.instead(self.values)) + told + page.beside(self._note)
        self._seen.remove_class(page.WAITS)
        self._beside.value = page.told(self._beside_a)
        if self._numbers.value and self.report:
            both = (self.pinned, self.report)
            self._table.value = page.compared(both, self.system) if both[0] else page.table(self.report, self.system)

    def _forget_searches(self):
        """What was found by searching was found for other inputs."""
        self._first.value = self._found.value = ""
        self._offers.children = ()

    def _show_everything(self):
        self._draw()
        for control in (*self._controls.values(), *self._extra.values()):
            self._put(control)
        self._tell()

    def _new_screen(self):
        return screen(self._picture_class, DRAWN, self.system, self._behind)

    # the page -------------------------------------------------------------------------------------------------------

    def _build(self):
        classes = {name: f"mb-on-{name}" for name in LOOKS}
        self._images = {name: w.Image(format="url").add_class("mb-picture").add_class(classes[name]) for name in LOOKS}
        self._show_picture(self._screen.empty())
        self._verdict, self._table, self._first = w.HTML().add_class("mb-said"), w.HTML(), w.HTML()
        self._beside, self._found, self._offers = w.HTML(), w.HTML(), w.VBox().add_class("mb-offers")
        what = "A good and a bad day beside what is asked, and what hurts most"
        self._numbers = w.ToggleButton(description="All numbers", tooltip=what)
        self._numbers.observe(self._open_numbers, "value")
        units = w.ToggleButtons(description="Units", options=[("metric", "metric"), ("US", "us")], value=self.system)
        units.observe(lambda change: self._switch(change.new), "value")
        _only(self._table, False)
        self._more = {}
        groups = w.HBox([g for g in (self._group(JOB), self._group(CHOICE)) if g]).add_class("mb-groups")
        self._pin_button = w.Button(description=PIN, tooltip=PIN_HELP)
        self._pin_button.on_click(self._pin_clicked)
        asks = (*self._finds(), self._pin_button, *self._asks_first())
        moves = self._picture_class.moves()
        row = w.HBox([*(self._player.buttons if moves else ()), self._numbers, *asks, units]).add_class("mb-row")
        films = self._player.films.values() if moves else ()
        stage = w.VBox([*self._images.values(), *films]).add_class("mb-stage")
        below = [*([self._player.said] if moves else ()), *(control.view for control in self._extra.values())]
        style = w.HTML(page.STYLE + player.STYLE + page.FOCUS, layout={"display": "none"})
        # On a low screen what a button answers is seen beside the button: both stand above the picture.
        asked = [row, self._beside, self._found, self._offers, self._first]
        self._seen = w.VBox([self._verdict, *asked, stage, *below, self._table]).add_class("mb-seen")
        self.view = w.VBox([style, groups, self._seen]).add_class("mechbench").add_class("mechbench-focus")

    def _asks_first(self):
        """The button that asks which part to change first, where the sizing is a whole robot; nothing else is one."""
        if self._machine() is None:
            return []
        what = "Tries every part of the kit in its place; that takes some ten seconds"
        button = w.Button(description=_words_of_first().QUESTION, tooltip=what)
        button.on_click(lambda _: self._tell_first())
        return [button]

    @_alone
    def _tell_first(self):
        if self._refused:
            self._show_everything()
        tell = lambda said: setattr(self._first, "value", page.waiting(said))
        try:
            self._first.value = page.first(self._search_first(tell), _words_of_first(), self.system)
        except ValueError as wrong:
            self._first.value = page.problem(str(wrong))

    def _finds(self):
        """The button that searches the lists on screen, where there is one to search; whole robots ask otherwise."""
        if self._machine() is not None or not best_parts.on_screen(map(self.sizing.field, self._controls), self.tables):
            return []
        button = w.Button(description="Find", tooltip=FIND_HELP)
        button.on_click(lambda _: self._tell_best())
        return [button]

    def _on_screen(self):
        """The inputs that are seen now: those of the beginning, and those of an opened "More"."""
        opened = {group for group, button in self._more.items() if button.value}
        fields = (self.sizing.field(name) for name in self._controls)
        return [f for f in fields if f.name in self._shown or f.group in opened]

    @_alone
    def _tell_best(self):
        if self._refused:
            self._show_everything()
        self._forget_searches()
        picks = best_parts.on_screen(self._on_screen(), self.tables)
        if not picks:
            self._found.value = page.status("No list of parts is on screen; open 'More to choose' first.")
            return
        labels = {pick.name: f"{pick.label[0].lower()}{pick.label[1:]}" for pick in picks}
        self._found.value = page.waiting(f"Find tries all of: {', '.join(labels.values())}")
        try:
            answer = best_parts.look(self.sizing, picks, self.values, self.tables)
        except ValueError as wrong:
            self._found.value = page.problem(str(wrong))
            return
        self._found.value = page.status(best_parts.summary(answer, labels, self.tables, self.system))
        self._offers.children = tuple(self._offer(one) for one in answer.best)

    def _offer(self, one):
        """A button that sets one of the best, and its numbers beside it."""
        button = w.Button(
            description=together(best_parts.words_of(self.sizing, one.choice, self.tables)),
            tooltip="Sets these parts",
        )
        button.on_click(lambda _: self._take(one.choice))
        told = w.HTML(page.beside(together(best_parts.numbers_of(one.report, self.system))))
        return w.HBox([button, told]).add_class("mb-row")

    @_alone
    def _take(self, choice):
        """Set the parts that were offered; the offers stay, so that the next one can be tried too."""
        self._put_in(choice)

    def _group(self, group):
        """One group of controls, those that wait behind "More" below; None when it has none."""
        here = [f for f in self.sizing.FIELDS if f.group == group and f.name in self._controls]
        first = [self._controls[f.name].view for f in here if f.name in self._shown]
        rest = [self._controls[f.name].view for f in here if f.name not in self._shown]
        if not here:
            return None
        parts = [w.HTML(f'<div class="mb-head">{escape(HEADS[group])}</div>'), *first]
        if rest:
            button = w.ToggleButton(
                description=f"{REST[group]} ({len(rest)})", tooltip="Inputs that are changed less often"
            )
            hidden = w.VBox(rest)
            _only(hidden, False)
            button.observe(lambda change: _only(hidden, change.new), "value")
            self._more[group] = button
            parts += [w.HBox([button]).add_class("mb-row"), hidden]
        return w.VBox(parts).add_class("mb-group")

    @_alone
    def _open_numbers(self, change):
        _only(self._table, change.new)
        if self._refused:
            self._show_everything()
        else:
            self._tell()

    @_alone
    def _switch(self, system):
        self._chosen["system"] = self.system = system
        self._screen = self._new_screen()
        self._show_everything()
        self._forget_searches()


def _known(system):
    """ "metric" or "us", in any case."""
    low = str(system).lower()
    quantity.in_system("mm", low)  # refuses what is neither
    return low


def _only(part, shown):
    part.layout.display = None if shown else "none"


def _shown(sizing, show, fixed):
    """Names of the inputs that are seen at first, in the sizing's order; wrong names are refused."""
    for name in (*fixed, *(show or ())):
        sizing.field(name)
    if both := set(show or ()) & set(fixed):
        name = sorted(both)[0]
        raise ValueError(f"{name!r} is both in show and in fixed; what is fixed is not shown, so take it out of one.")
    names = show or [f.name for f in sizing.FIELDS if not f.more]
    return tuple(f.name for f in sizing.FIELDS if f.name in names and f.name not in fixed)


def _words_of_first():
    """Words for the part to change first; with them come whole robots, which no other bench needs."""
    from mechbench.whole_robot import part_first_words

    return part_first_words

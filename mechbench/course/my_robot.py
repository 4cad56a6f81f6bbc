"""The learner's own robot: the right designs of all lessons on one robot of the kit, with reasons, before and after.

    mb.my_robot()    as the last line of a cell

Contents: my_robot, MyRobot.

It follows whoever is the learner of the notebook, and each design as it becomes right. What is ticked and typed is kept
at once among the learner's answers (robot_notes.py). As stored text it is the same for everybody.
"""

import html
from pathlib import Path

import ipywidgets as widgets

from mechbench.benches import page
from mechbench.course import ask as asking
from mechbench.course import own_review, robot_notes
from mechbench.course.card import NOBODY
from mechbench.course.own_designs import elsewhere, kept, lines_of, still_open
from mechbench.course.own_robot import NAMES, faults, own, told_names
from mechbench.course.progress import store
from mechbench.course.robot_notes import REASON, START, USE
from mechbench.desk.against import table_of
from mechbench.desk.safe_write import write_new
from mechbench.engine import side_by_side
from mechbench.kits import kit as kit_in_force
from mechbench.kits.load import robot_instead, with_robots
from mechbench.whole_robot.build import build
from mechbench.wording import together

ABOUT = "Here your own robot grows: your right designs of all lessons on one robot, with your reasons."
NONE_YET = (
    "You have no right design yet. Each lesson about a mechanism has one under More, 'A design': as soon as it is"
    " right, it stands here. Begin with {first}."
)
NONE_TO_DO = "You have no right design yet, and this game asks for none."
FILE = "my_robot_review.html"
MAKE = "Make my design review"
YES, NO = "yes", "no"
KEPT = "Your reasons are kept with your answers, and go into your hand-in file."


class MyRobot:
    """The own robot of whoever is the learner of the notebook now. Shown live; `print` tells it."""

    def __init__(self):
        self._widget, self._shown, self.learner = None, None, None
        asking.cards_on_screen.add(self)

    # --- what holds now ---

    def _read(self):
        """Read what is kept of the learner: which robot, which designs, which of them are used."""
        self.learner, self.kit = asking.current_learner(), with_robots(kit_in_force())
        self.attempts = store().attempts(self.learner)
        self.designs, self.open = kept(self.attempts), still_open(self.attempts)
        names = [plan.name for plan in self.kit.robots]
        start = robot_notes.said(self.attempts, "", "", START)
        self.start = start if start in names else names[0]

    def own(self):
        """The robot with the designs that are in use."""
        designs = [*self.designs, *self.open]
        lines = lines_of(build(self.start, self.kit), designs)
        used = [line.name for line in lines if self._note(line.name, USE) != NO]
        return own(self.start, self.kit, designs, used)

    def _note(self, mechanism, about):
        return robot_notes.said(self.attempts, self.start, mechanism, about)

    def reason(self, mechanism):
        """Why, as it was typed; empty where nothing was."""
        return self._note(mechanism, REASON) or ""

    def _first_words(self):
        """A sentence where there is nothing to show yet; else empty."""
        if not self.learner.key:
            return NOBODY
        if self.designs:
            return ""
        return NONE_YET.format(first=self.open[0].called) if self.open else NONE_TO_DO

    def _besides(self):
        """Sentences on designs that are not on this robot, and on those that are open."""
        made = with_names(elsewhere(self.own().before.robot, self.designs))
        still = with_names(self.open)
        instead = robot_instead(kit_in_force(), self.start)
        return [
            *filter(None, [instead]),
            *([f"Kept, not on this robot: {made}."] if made else []),
            *([f"Not solved yet: {still}."] if still else []),
        ]

    # --- in words ---

    def __repr__(self):
        self._read()
        if first := self._first_words():
            return first
        one = self.own()
        lines = [f"My robot, from {one.before.robot.label}", ""]
        for line in one.lines:
            lines += [*_in_words(line, line.name in one.used, self.reason(line.name))]
        lines += ["", *self._besides(), "", "; ".join(NAMES), *_beside(one), ""]
        return "\n".join([*lines, *table_of(one.both, told_names(one))])

    # --- on screen ---

    def _repr_mimebundle_(self, include=None, exclude=None):
        return {**self.widget._repr_mimebundle_(), "text/plain": ABOUT}

    @property
    def widget(self):
        """What stands on screen."""
        if self._widget is None:
            self._widget = widgets.VBox([]).add_class("mechbench-focus")
            self._widget.of_robot = self  # it lives as long as what shows it
        self.refresh()
        return self._widget

    def refresh(self):
        """Show what holds now, where it is on screen; a reason that is just typed stays where nothing else changed."""
        if self._widget is None:
            return
        self._read()
        shown = self.learner.key, self.kit.digest, self.start, str(self.designs), len(self.open)
        if shown != self._shown:
            self._shown = shown
            self._widget.children = self._made()

    def _made(self):
        style = widgets.HTML(page.FOCUS + page.STYLE + STYLE, layout={"display": "none"})
        first = self._first_words()
        if first:
            return [style, _html(_paragraph(first))]
        one = self.own()
        choice = widgets.Dropdown(
            description="Start from",
            options=[(plan.label, plan.name) for plan in self.kit.robots],
            value=self.start,
            style={"description_width": "initial"},
            layout={"width": "auto", "align_self": "flex-start"},
        )
        choice.observe(lambda change: self._choose(change["new"]), "value")
        self.beside = _html()
        self.file, self.link = _html(), widgets.Output()
        make = widgets.Button(description=MAKE, layout={"width": "auto", "align_self": "flex-start"})
        make.on_click(lambda _: self.make())
        besides = _html("".join(map(_paragraph, self._besides())))
        rows = [self._row(line, line.name in one.used) for line in one.lines]
        self._show_beside()
        head = _html(f"<strong>My robot</strong> ({html.escape(self.learner.shown)}). {html.escape(KEPT)}")
        return [style, head, choice, *rows, besides, self.beside, make, self.file, self.link]

    def _row(self, line, used):
        """One mechanism: what the plan and the design have, whether it is used, and why."""
        label, learner, robot = line.mechanism.label, self.learner, self.start
        why = widgets.Text(
            value=self.reason(line.name),
            description=f"Why this {label}?",
            continuous_update=False,
            style={"description_width": "initial"},
            layout={"width": "auto"},
        )
        told = _html()

        def keep(about, text):
            told.value = _status(robot_notes.keep(learner, robot, line.name, about, text).message)

        why.observe(lambda change: keep(REASON, change["new"]), "value")
        mine = [why, told]
        if line.usable:
            use = widgets.Checkbox(value=used, description=f"Use my {label}", indent=False, layout={"width": "auto"})
            use.observe(lambda change: (keep(USE, YES if change["new"] else NO), self._show_beside()), "value")
            mine = [use, why, told]
        right = widgets.VBox(mine, layout={"flex": "1 1 320px", "min_width": "0"})
        left = _html(_line_html(line))
        left.layout.flex, left.layout.min_width = "1 1 420px", "0"
        row = widgets.HBox([left, right], layout={"flex_flow": "row wrap", "align_items": "flex-start"})
        return row.add_class("mechbench-choice-of-mine")

    def _choose(self, robot):
        """Start from another robot."""
        robot_notes.keep(self.learner, "", "", START, robot)
        self.refresh()

    def _show_beside(self):
        """Before and after, as it is now."""
        self._read()
        one = self.own()
        table = page.compared(one.both.reports, "metric", told_names(one)) if one.changed else ""
        said = "".join(map(_paragraph, _beside(one)))
        names = _paragraph(f"{'; '.join(NAMES)}. What is not told is the same in both.") if table else ""
        self.beside.value = f'<div class="mechbench"><div role="status">{said}</div>{names}{table}</div>'

    def make(self):
        """Write the design review into a new file beside the notebook, and link to it."""
        self._read()
        one = self.own()
        reasons = {line.name: self.reason(line.name) for line in one.lines}
        try:
            path = write_new(Path(FILE), own_review.html_of(one, reasons))
        except OSError as error:
            self.file.value = _status(f"No file could be written here ({error.strerror}).")
            return
        self.file.value = _status(f"Written: {path.name}, beside this notebook. Print it: one page.")
        link = f'<a href="{path.name}" target="_blank">Open {path.name}</a>'
        self.link.outputs = (
            {"output_type": "display_data", "data": {"text/html": link, "text/plain": path.name}, "metadata": {}},
        )


STYLE = """<style>
.mechbench-choice-of-mine { border-top: 1px solid var(--jp-border-color2); padding: 4px 0; gap: 0 24px;
  overflow: visible; }
.mechbench-choice-of-mine table { border-collapse: collapse; line-height: 1.35; }
.mechbench-choice-of-mine :is(th, td) { text-align: left; vertical-align: top; font-weight: normal;
  padding: 1px 14px 1px 0; }
.mechbench-choice-of-mine thead th { color: var(--jp-content-font-color2); }
</style>"""


def _html(inside=""):
    return widgets.HTML(inside, layout={"overflow": "visible"})


def _paragraph(said):
    return (
        "<p style='margin:0 0 4px 0;color:var(--jp-content-font-color1);line-height:1.45;max-width:62em'>"
        f"{html.escape(together(said))}</p>"
    )


def _status(said):
    return f"<div role='status'>{_paragraph(said)}</div>"


def with_names(designs):
    """Designs in a row, by lesson and title."""
    return "; ".join(one.called for one in designs)


def _beside(one):
    """Sentences on both: what holds each back first, which of them works, what fails now and why."""
    if one.problem:
        return [one.problem]
    if not one.changed:
        return [f"No design of yours is in use. {one.first(False)}"]
    stands = f"The robot as a whole: {side_by_side.sentence(one.both.reports)}"
    return [f"As planned: {one.first(False)}", f"With my designs: {one.first(True)}", stands, *faults(one)]


def _line_html(line):
    lesson = f", {html.escape(line.design.called)}" if line.usable else ""
    head = f"<strong>{html.escape(line.mechanism.label.capitalize())}</strong>{lesson}"
    said = "".join(map(_paragraph, filter(None, (line.stays, line.missing))))
    if not line.usable:
        return head + said
    cells = "".join(
        f"<tr><th scope='row'>{html.escape(one.label)}</th><td>{html.escape(one.planned)}</td>"
        f"<td>→ {html.escape(one.mine)}</td></tr>"
        for one in line.differing
    )
    heads = "".join(f"<th scope='col'>{words}</th>" for words in ("What", "As planned", "As I designed it"))
    return f"{head}<table><thead><tr>{heads}</tr></thead><tbody>{cells}</tbody></table>{said}"


def _in_words(line, used, reason):
    """A mechanism in lines of text."""
    label = line.mechanism.label
    if line.usable:
        yield f"{label} ({line.design.called}): {'my design is in use' if used else 'my design is not in use'}"
        yield from (f"  {one.label}: {one.planned} -> {one.mine}" for one in line.differing)
    else:
        yield f"{label}: {line.stays}"
    yield from (f"  {said}" for said in (line.missing, f"Why: {reason}" if reason else "") if said)


def my_robot():
    """Show the learner's own robot, as the last line of a cell."""
    return MyRobot()


__all__ = ["MyRobot", "my_robot"]

"""A learner's own designs, from lesson to lesson, and what they make of a robot of the kit.

Contents: Kept, Open, kept, still_open (from the answers); Line, lines_of, elsewhere, changes_of (on a robot).

A design is the last right answer to a Challenge about a mechanism that a robot can have. On a robot it is the inputs
that the exercise let the learner choose; the job stays the robot's. What has the same sizing is the same kind of
mechanism: no name of a mechanism decides.
"""

from dataclasses import dataclass

from mechbench import mechanisms, quantity
from mechbench.catalog import sizing_of
from mechbench.course import offered, registry
from mechbench.course.exercise import Challenge
from mechbench.course.grading import RIGHT
from mechbench.course.lessons import LESSONS, lesson
from mechbench.engine.spec import Pick
from mechbench.wording import quoted


@dataclass(frozen=True)
class Open:
    """A design that is not solved yet."""

    exercise: Challenge

    @property
    def sizing(self):
        """The name of its sizing."""
        return self.exercise.sizing

    @property
    def called(self):
        """'lesson 08 slide lift, 'Up in time''."""
        return f"lesson {lesson(self.exercise.lesson).heading}, {quoted(self.exercise.title)}"


@dataclass(frozen=True)
class Kept(Open):
    """A design as it was answered right: name of an input -> what was typed for it."""

    chosen: dict


@dataclass(frozen=True)
class Input:
    """One input of a mechanism: what people call it, as planned and as designed."""

    label: str
    planned: str
    mine: str

    @property
    def differs(self):
        """Whether the design has something else than the plan."""
        return self.planned != self.mine


@dataclass(frozen=True)
class Line:
    """One mechanism of a robot beside the learner's design of its kind.

    design : a Kept, an Open, or None where the course has no design of that kind
    inputs : the inputs that the design has, an Input each
    changes : of the robot, {"lift.gearbox": "planetary_16"}; empty where the plan has the same
    missing : a sentence on what this kit can't take of the design
    """

    mechanism: object
    design: Open | None
    inputs: tuple = ()
    changes: dict | None = None
    missing: str = ""

    @property
    def name(self):
        """The name of the mechanism in the plan."""
        return self.mechanism.name

    @property
    def usable(self):
        """Whether there is a design that can be used."""
        return bool(self.changes)

    @property
    def differing(self):
        """The inputs that the design has otherwise than the plan."""
        return tuple(one for one in self.inputs if one.differs)

    @property
    def stays(self):
        """Why there is nothing to use; empty where there is."""
        if self.usable:
            return ""
        if self.design is None:
            return "As planned: no lesson has a design of this kind."
        if not isinstance(self.design, Kept):
            return f"As planned. Your design is still open: {self.design.called}."
        return "As planned." if self.missing else f"Your design has the same as the plan: {self.design.called}."


# --- from the answers ------------------------------------------------------------------------------------------------


def _of_mechanisms():
    """The designs of mechanisms that a robot can have, in the order of the course."""
    for one in LESSONS:
        for exercise in registry.exercises(one.name):
            if isinstance(exercise, Challenge) and exercise.sizing in mechanisms.names():
                sizing = sizing_of(exercise.sizing)
                if sizing.ROLE or sizing.NEEDS:  # else it is a sum about a robot, or a part of a mechanism
                    yield exercise


def kept(attempts):
    """The designs that are right, of each kind of mechanism the last lesson's."""
    found = {}
    for exercise in _of_mechanisms():
        right = [
            one.raw
            for one in attempts
            if (one.exercise, one.practice, one.state) == (exercise.id, 0, RIGHT) and one.raw
        ]
        if right:
            found[exercise.sizing] = Kept(exercise, _chosen(exercise, right[-1]))
    return list(found.values())


def _chosen(exercise, raw):
    """An answer "motor = slim; squeeze = 4 mm" by the names that the inputs have today."""
    pairs = (part.partition("=") for part in raw.split(";"))
    given = {name.strip(): value.strip() for name, _, value in pairs if value.strip()}
    return sizing_of(exercise.sizing).by_todays_names(given)


def still_open(attempts):
    """The designs that the game in force offers and that are not right yet."""
    done = {one.sizing for one in kept(attempts)}
    there = {one.id for known in LESSONS for one in offered.exercises(known.name)}
    return [Open(one) for one in _of_mechanisms() if one.sizing not in done and one.id in there]


# --- on a robot ------------------------------------------------------------------------------------------------------


def lines_of(robot, designs):
    """A Line for each mechanism of a robot as planned, in the order of the plan."""
    by_kind = {one.sizing: one for one in designs}
    return [_line(robot, one, by_kind.get(one.sizing.NAME)) for one in robot.mechanisms.values()]


def elsewhere(robot, designs):
    """The designs of mechanisms that a robot does not have."""
    there = {one.sizing.NAME for one in robot.mechanisms.values()}
    return [one for one in designs if one.sizing not in there]


def _line(robot, mechanism, design):
    if not isinstance(design, Kept):
        return Line(mechanism, design)
    inputs, changes, lacking = [], {}, []
    for name, given in design.chosen.items():
        entry = next((one for one in mechanism.sizing.FIELDS if one.name == name), None)
        if entry is None or name in mechanism.sizing.GIVEN:
            continue
        planned = _read(entry, mechanism.values[name], mechanism)
        try:
            value = entry.read(given, mechanism.tables)
        except ValueError:
            lacking.append(f"{entry.label.lower()} {quoted(given)}")
            inputs.append(Input(entry.label, planned, f"{given}: not in this kit"))
            continue
        inputs.append(Input(entry.label, planned, _read(entry, value, mechanism)))
        if inputs[-1].differs:
            changes[f"{mechanism.name}.{name}"] = value
    missing = f"This kit lacks {', '.join(lacking)} of your design: there the plan's part stays." if lacking else ""
    return _that_can_be_built(robot, Line(mechanism, design, tuple(inputs), changes, missing))


def _that_can_be_built(robot, line):
    """The line; without its changes where the robot can't be built with them, and then with the reason."""
    try:
        robot.with_changes(line.changes)
    except ValueError as wrong:
        why = " ".join(str(wrong).split())
        return Line(line.mechanism, line.design, line.inputs, {}, f"It can't be used on this robot: {why}")
    return line


def _read(entry, value, mechanism):
    """A value of an input as people read it."""
    if isinstance(entry, Pick):
        return mechanism.tables(entry.table).labels.get(value, value)
    return quantity.show(value, entry.unit)


def changes_of(lines, used):
    """The changes of a robot by those lines whose mechanism is used, in the order of the plan."""
    return {key: value for line in lines if line.name in used for key, value in (line.changes or {}).items()}

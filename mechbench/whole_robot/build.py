"""A whole robot, built from its plan: every mechanism is a sizing with its inputs, every step leads to one of them.

Contents: Mechanism, Robot, build (a robot from the kit by name, with changes), kit_with, robots.

Whatever a plan says wrongly is refused in one sentence that names the place in the file.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from mechbench import mechanisms
from mechbench.engine.bands import Bands, bands_of
from mechbench.engine.inputs import Tables, complete, supplies
from mechbench.engine.pairs import geared_inputs
from mechbench.engine.spec import DRIVES, HANGS, RAISES, Findings, Sizing
from mechbench.kits import Kit, pairing
from mechbench.kits import kit as kit_in_force
from mechbench.kits.faults import nearest
from mechbench.kits.load import with_robots
from mechbench.kits.robots import PART_KEYS, POSES, Plan, is_whole, plan_of
from mechbench.physics import steps as timing
from mechbench.quantity import show
from mechbench.whole_robot.lumps import filled, poses_of
from mechbench.wording import listed as listed_names
from mechbench.wording import quoted

HANG = "hang"  # kind of a closing task
SAME_HEIGHT = 1e-3  # m


@dataclass(frozen=True)
class Mechanism:
    """One mechanism: its sizing, and the inputs that its plan gives, checked."""

    name: str
    sizing: type[Sizing]
    values: dict[str, Any]
    tables: Tables

    @property
    def label(self) -> str:
        """Its name as people read it."""
        return self.name.replace("_", " ")

    @property
    def by_servo(self) -> bool:
        """Whether servos turn it, which run on a rail of their own."""
        return self.sizing.by_servo(self.values, self.tables)

    @cached_property
    def bands(self) -> Bands:
        """The bands of its parts' numbers that no label gives."""
        return bands_of(self.sizing, self.values, self.tables)

    def battery_current(self, found: Findings) -> NDArray[np.float64]:
        """The highest current that it draws from the battery, from its findings [rows]: none where servos turn it."""
        if self.by_servo:
            return np.zeros(np.shape(next(iter(found.values()))))
        return self.sizing.battery_current(found, int(self.values.get("count", "1")))

    def rail_current(self, found: Findings) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Current of its servos on their rail, at rest and moving, from its findings [rows]; none of motors."""
        if self.by_servo:
            return self.sizing.rail_current(found, int(self.values.get("count", "1")))
        nothing = np.zeros(np.shape(next(iter(found.values()))))
        return nothing, nothing


@dataclass(frozen=True)
class Robot:
    """One robot: its plan with the changes made to it and all parts whole, its mechanisms by name, and its kit.

    written: the same plan with its parts as they are written.
    """

    plan: Plan
    written: Plan
    kit: Kit
    mechanisms: dict[str, Mechanism]
    changes: dict[str, Any] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """Its name in the file."""
        return self.plan.name

    @property
    def label(self) -> str:
        """The name that people read; it says when something was changed."""
        return self.plan.label + (" (changed)" if self.changes else "")

    def value(self, key: str) -> Any:
        """A value of the plan, such as "carries"."""
        return self.plan.values[key]

    def step_label(self, step: timing.Step, kind: str = "steps") -> str:
        """What people read of a timing step (kind="closing": of a try at the closing task): "take in (2)"."""
        planned = getattr(self.plan, kind)[step.kind]
        return (planned["label"] or step.kind.replace("_", " ")) + step.name.removeprefix(step.kind)

    @property
    def poses(self) -> tuple[str, ...]:
        """The poses in which it is judged, folded first."""
        return poses_of(self.plan)

    def of_role(self, role: str) -> list[Mechanism]:
        """Its mechanisms that do one thing for it: DRIVES, RAISES or HANGS."""
        return [one for one in self.mechanisms.values() if one.sizing.ROLE == role]

    def having(self, finding: str) -> list[Mechanism]:
        """Its mechanisms that have a finding of that name; the drivetrain is judged step by step, so it is left out."""
        return [one for one in self.mechanisms.values() if one.sizing.has(finding) and one.sizing.ROLE != DRIVES]

    @property
    def raiser(self) -> Mechanism | None:
        """The mechanism that raises the pieces: the first such one that the steps of the cycle name, or None."""
        return self._first_raiser(self.plan.steps)

    @property
    def hook_raiser(self) -> Mechanism | None:
        """The mechanism that raises the hook: the first such one that a try at the closing task names, or None."""
        return self._first_raiser(self.plan.closing)

    @property
    def piece(self) -> Any:
        """The piece that it takes, the main one of several; None in a game without pieces."""
        return self.plan.piece(self.kit)

    @property
    def tried(self) -> Any:
        """The closing task that it tries, or would try, or None."""
        return self._task(0)

    @property
    def left(self) -> Any:
        """The closing task that is left where the tried one fails, or is not tried; or None."""
        return self._task(1) if self.value("tries") else self._task(0, but=HANG)

    def _task(self, number: int, but: str = "") -> Any:
        game, ending = self.kit.game, self.kit.roles.ending
        planned = self.value("tasks")
        usual = [name for name in (ending.tried, ending.left) if name and name != self.value("besides")]
        names = usual if planned is None else planned
        tasks = [game.closing[name] for name in names if game.closing[name].kind != but]
        return tasks[number] if number < len(tasks) else None

    def _first_raiser(self, steps):
        named = (self.mechanisms[step["mechanism"]] for step in steps.values() if step["mechanism"])
        return next((one for one in named if one.sizing.ROLE == RAISES), None)

    def with_changes(self, changes: Mapping[str, Any]) -> "Robot":
        """The same robot with other inputs: {"lift.gearbox": "planetary_16", "carries": 1}."""
        return build(self.plan.name, self.kit, {**self.changes, **changes}, self)


def robots(kit: Kit | None = None) -> list[Robot]:
    """All robots of the kit, in the order of the file; those of the course's own where it has none."""
    kit = with_robots(kit or kit_in_force())
    return [build(plan.name, kit) for plan in kit.robots]


def build(
    name: str, kit: Kit | None = None, changes: Mapping[str, Any] | None = None, known: Robot | None = None
) -> Robot:
    """Build a robot of the kit by name; changes are other inputs, "mechanism.input" or a key of the robot itself.

    known: the same robot with other changes; what is the same in both was checked when that one was built.
    """
    kit = with_robots(kit or kit_in_force())
    changes = dict(changes or {})
    plan = _gears_follow(_changed(plan_of(kit.robots, name), changes), changes, kit)
    made = {
        one: known.mechanisms[one]
        if known is not None and known.written.mechanisms[one] == planned
        else _mechanism(plan, one, planned, kit)
        for one, planned in plan.mechanisms.items()
    }
    _check_whole(plan, made, kit)
    for kind in ("steps", "closing"):
        if known is None or getattr(known.plan, kind) != getattr(plan, kind):
            _check_steps(plan, kind, made, kit)
    whole = filled(plan, made, kit, _masses(name, kit, known) if changes and not is_whole(plan) else None)
    _check_part_names(plan, whole)
    return Robot(whole, plan, kit, made, changes)


def _masses(name, kit, known):
    """Masses of the parts of the robot as planned: a change moves parts, and what it weighs is weighed apart."""
    planned = known if known is not None and not known.changes else build(name, kit)
    return {part: one["mass"] for part, one in planned.plan.parts.items()}


def kit_with(robot: Robot) -> Kit:
    """The kit in which this robot's changes are planned: what judges a robot of a kit can then judge a changed one."""
    if not robot.changes:
        return robot.kit
    told = repr(sorted((str(key), str(value)) for key, value in robot.changes.items()))
    digest = hashlib.sha256(f"{robot.kit.digest} {robot.name} {told}".encode()).hexdigest()[:12]
    plan = replace(robot.written, values={**robot.written.values, "label": robot.label})
    if not is_whole(plan):  # what a changed part weighs is weighed apart
        plan = replace(plan, parts={name: _with_mass(robot, name) for name in robot.plan.parts})
    return replace(
        robot.kit, robots=tuple(plan if one.name == plan.name else one for one in robot.kit.robots), digest=digest
    )


def _with_mass(robot, name):
    """A part as it is written, with the mass that it has in the robot."""
    one, written = robot.plan.parts[name], robot.written.parts.get(name, dict.fromkeys(PART_KEYS))
    return {**written, "mass": one["mass"], "mass_off": one["mass_off"]}


def _check_part_names(plan, whole):
    """Every mechanism sits in a part that is there: one of the plan, or one that a mechanism brings."""
    for name, planned in plan.mechanisms.items():
        if planned.part and planned.part not in whole.parts:
            raise plan.fault(
                f"part is {quoted(planned.part)}, which the robot does not have; {nearest(planned.part, whole.parts)}",
                "mechanisms",
                name,
            )


def _changed(plan, changes):
    """The plan with other inputs; a name that is not there is refused with the nearest one."""
    values, mechanisms, steps = dict(plan.values), dict(plan.mechanisms), dict(plan.steps)
    for path, value in changes.items():
        first, _, rest = str(path).partition(".")
        if rest and first in mechanisms:
            planned = mechanisms[first]
            mechanisms[first] = planned._replace(inputs={**planned.inputs, rest: value})
        elif rest and first in steps:
            steps[first] = {**steps[first], rest: value}
        elif not rest and first in values:
            values[first] = value
        else:
            known = [*values, *(f"{one}.{key}" for one, its in mechanisms.items() for key in its.inputs)]
            raise ValueError(f"{quoted(path)} is nothing that {plan.label} has; {nearest(path, known)}")
    return replace(plan, values=values, mechanisms=mechanisms, steps=steps)


def _gears_follow(plan, changes, kit):
    """The plan without those gearboxes that do not go with a motor that was changed: it takes the gears that do."""
    named = dict(plan.mechanisms)
    for name, planned in plan.mechanisms.items():
        kind = mechanisms.part_of(planned.sizing, mechanisms.SIZING) if planned.sizing in mechanisms.names() else None
        inputs = geared_inputs(kind) if kind else None
        if inputs and f"{name}.{inputs[0]}" in changes and f"{name}.{inputs[1]}" not in changes:
            motor, box = (planned.inputs.get(one, "") for one in inputs)
            motors, boxes = kit.table("motors"), kit.table("gearboxes")
            known = motor in motors.names and box in boxes.names
            if known and not pairing.go_together(motors, motor, boxes, box):
                kept = {key: value for key, value in planned.inputs.items() if key != inputs[1]}
                named[name] = planned._replace(inputs=kept)
    return replace(plan, mechanisms=named)


def _mechanism(plan, name, planned, kit):
    """One mechanism with its inputs read by its sizing's own fields."""
    where, (sizing, inputs, _) = ("mechanisms", name), planned
    if sizing not in mechanisms.names():
        known = mechanisms.names()
        raise plan.fault(
            f"sizing is {quoted(sizing)}, which is no sizing of a mechanism; {nearest(sizing, known)}", *where
        )
    kind = mechanisms.part_of(sizing, mechanisms.SIZING)
    for key in (*kind.GIVEN, *(one.name for one in supplies(kind))):
        if key in inputs:
            raise plan.fault(f"{key} is given, but the robot's own parts and steps give it; take the line out.", *where)
    tables = Tables(kind, kit)
    of_game = {key: _of_game(path, plan, kit) for key, path in kind.FROM_GAME.items() if key not in inputs}
    of_game = {key: value for key, value in of_game.items() if value is not None}
    mounted = _mounted_at(plan, name, kind)
    given = {**mounted, **inputs, **of_game}
    try:
        values = complete(kind, given, tables, opened=False)
    except ValueError as wrong:
        key = _unreadable(kind, given, tables)
        raise plan.fault(str(wrong), *where, *([] if str(wrong).startswith(key) else [key])) from None
    for key, height in mounted.items():
        if abs(values[key] - height) > SAME_HEIGHT:
            raise plan.fault(
                f"at is {show(height, 'mm')} up, but {key} is {show(values[key], 'mm')}; take one of them out.", *where
            )
    return Mechanism(name, kind, values, tables)


def _unreadable(kind, given, tables):
    """The name of the first input that can't be read; "" where each can be read."""
    for key, value in given.items():
        try:
            kind.field(key).read(value, tables)
        except ValueError:
            return key
    return ""


def _mounted_at(plan, name, kind):
    """The height of a mechanism as its input, where its place says it."""
    mount = plan.mounts.get(name)
    return {kind.MOUNT_HEIGHT: mount.at[2]} if kind.MOUNT_HEIGHT and mount is not None and mount.at else {}


def _check_whole(plan, made, kit):
    if not plan.parts and plan.weighed is None:
        raise plan.fault(
            "there are no parts; give the mass of the whole robot, or add at least one under parts, with its mass."
        )
    if not plan.steps:
        raise plan.fault("there are no steps; a cycle needs at least one, such as driving.")
    _check_game(plan, kit.game)
    for role in (DRIVES, HANGS):
        several = [one for one in made.values() if one.sizing.ROLE == role]
        if len(several) > 1:
            both, kind = " and ".join(one.name for one in several), several[0].sizing.NAME
            raise plan.fault(f"{both} are both a {kind}, but a robot has one; join them.", "mechanisms")
    if any(mechanism.sizing.ROLE == HANGS for mechanism in made.values()) and plan.values["cord_exit"] is None:
        raise plan.fault(
            "it has a winch but no cord_exit; say where the cord leaves the robot: ahead, to the left, up."
        )


def _check_game(plan, game):
    """What a plan names of the game is there: goals, pieces, closing tasks; and a goal takes what the robot brings."""
    tasks = [name for name in (*(plan.values["tasks"] or ()), plan.values["besides"]) if name]
    for key, listed, known in (
        ("goals", plan.values["goals"], game.goals),
        ("pieces", plan.values["pieces"], game.pieces),
        ("tasks", tasks, game.closing),
    ):
        for name in listed:
            if name not in known:
                raise plan.fault(f"{key} has {quoted(name)}, which the game does not have; {_meant(name, known)}")
    brought = plan.values["pieces"] or ([game.usual_piece.name] if game.usual_piece else [])
    for name in plan.values["goals"]:
        taken = game.goals[name].takes
        if not set(taken) & set(brought):
            raise plan.fault(
                f"goals has {quoted(name)}, which takes {listed_names(taken)}, but the robot takes"
                f" {listed_names(brought)}; name the right piece under pieces, or take the goal out."
            )
    _check_besides(plan, game)
    hold = game.limits.hold
    if plan.values["carries"] > hold:
        raise plan.fault(f"carries is {plan.values['carries']}, but the game lets a robot hold {hold:g} at most.")


def _check_besides(plan, game):
    """What is done besides, the game scores besides the tasks that the plan names."""
    besides = plan.values["besides"]
    for name in (plan.values["tasks"] or ()) if besides else ():
        if name == besides or besides in game.closing[name].instead_of or name in game.closing[besides].instead_of:
            raise plan.fault(
                f"besides is {quoted(besides)}, which the game does not score besides {quoted(name)}; take one of the"
                " two out."
            )


def _meant(name, entries):
    """The entry that was probably meant: by its label, else by its name."""
    by_label = [one for one, its in entries.items() if its.label.lower().replace(" ", "_") == name.lower()]
    return f"did you mean {quoted(by_label[0])}?" if by_label else nearest(name, entries)


def _of_game(path, plan, kit):
    """A number of the game that a mechanism works with, by role: "piece.mass"; None where the game has no such role."""
    role, _, key = path.partition(".")
    entry = plan.piece(kit) if role == "piece" else getattr(kit.roles, role)
    return None if entry is None else getattr(entry, key)


def _check_steps(plan, kind, made, kit):
    """Every step leads to something that is there, and no step waits for itself."""
    steps = getattr(plan, kind)
    for name, step in steps.items():
        if step["human"] and step["human"] not in kit.game.human:
            raise plan.fault(
                f"human is {step['human']!r}, which is no human step of the game;"
                f" {nearest(step['human'], kit.game.human)}",
                kind,
                name,
            )
        if step["passes"] and step["passes"] not in kit.game.obstacles:
            raise plan.fault(
                f"passes is {quoted(step['passes'])}, which is no obstacle of the game;"
                f" {nearest(step['passes'], kit.game.obstacles)}",
                kind,
                name,
            )
        if step["passes"] and step["drive"] is None:
            raise plan.fault(
                f"passes is {quoted(step['passes'])}, but the step does not drive; give it to the step that drives"
                " there, or take it out.",
                kind,
                name,
            )
        if step["pose"] not in (*POSES, *plan.poses):
            known = (*POSES, *plan.poses)
            raise plan.fault(
                f"pose is {quoted(step['pose'])}, which the robot does not have; {nearest(step['pose'], known)}",
                kind,
                name,
            )
        if step["drive"] is not None and not any(one.sizing.ROLE == DRIVES for one in made.values()):
            raise plan.fault(
                f"it drives, but the robot has no mechanism with the sizing {_that_drives()}; add one.", kind, name
            )
        if step["mechanism"]:
            _check_led_to(plan, (kind, name), step, made)
        for beside in step["beside"]:
            if beside not in made or made[beside].sizing.ROLE == DRIVES:
                others = [one for one, its in made.items() if its.sizing.ROLE != DRIVES]
                raise plan.fault(
                    f"beside has {quoted(beside)}, which is no mechanism that runs beside; {nearest(beside, others)}",
                    kind,
                    name,
                )
    if steps:
        try:
            timing.in_order([timing.Step(name, 0.0, step["after"]) for name, step in steps.items()])
        except ValueError as wrong:
            raise plan.fault(str(wrong), kind) from None


def _that_drives():
    """The names of the sizings that drive a robot."""
    every = (mechanisms.part_of(name, mechanisms.SIZING) for name in mechanisms.names())
    return " or ".join(sizing.NAME for sizing in every if sizing.ROLE == DRIVES)


def _check_led_to(plan, where, step, made):
    name, finding = step["mechanism"], step["finding"]
    if name not in made:
        raise plan.fault(f"mechanism is {quoted(name)}, which the robot does not have; {nearest(name, made)}", *where)
    if made[name].sizing.ROLE == DRIVES:
        raise plan.fault(
            f"mechanism is {quoted(name)}, which is the drivetrain; write drive with a distance instead.", *where
        )
    times = [known.name for known in made[name].sizing.FINDINGS if known.unit == "s"]
    if finding not in times:
        raise plan.fault(
            f"finding is {quoted(finding)}, which is no time that {name} gives; {nearest(finding, times)}", *where
        )

"""A whole robot, built from its plan: every mechanism is a sizing with its inputs, every step leads to one of them.

Contents: Mechanism, Robot, build (a robot from the kit by name, with changes), kit_with, robots.

Whatever a plan says wrongly is refused in one sentence that names the place in the file.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from mechbench import mechanisms
from mechbench.engine.inputs import Tables, complete
from mechbench.engine.spec import DRIVES, HANGS, RAISES, Findings, Sizing
from mechbench.kits import Kit
from mechbench.kits import kit as kit_in_force
from mechbench.kits.faults import nearest
from mechbench.kits.robots import Plan, plan_of
from mechbench.physics import steps as timing
from mechbench.wording import listed as listed_names
from mechbench.wording import quoted

HANG = "hang"  # kind of a closing task


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
    """One robot: its plan with the changes made to it, its mechanisms by name, and its kit."""

    plan: Plan
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
        return _piece_of(self.plan, self.kit)

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
    """All robots of the kit, in the order of the file."""
    kit = kit or kit_in_force()
    if not kit.robots:
        plan_of(kit.robots, "")
    return [build(plan.name, kit) for plan in kit.robots]


def build(
    name: str, kit: Kit | None = None, changes: Mapping[str, Any] | None = None, known: Robot | None = None
) -> Robot:
    """Build a robot of the kit by name; changes are other inputs, "mechanism.input" or a key of the robot itself.

    known: the same robot with other changes; what is the same in both was checked when that one was built.
    """
    kit = kit or kit_in_force()
    plan = plan_of(kit.robots, name)
    changes = dict(changes or {})
    plan = _changed(plan, changes)
    made = {
        one: known.mechanisms[one]
        if known is not None and known.plan.mechanisms[one] == planned
        else _mechanism(plan, one, planned, kit)
        for one, planned in plan.mechanisms.items()
    }
    _check_whole(plan, made, kit)
    for kind in ("steps", "closing"):
        if known is None or getattr(known.plan, kind) != getattr(plan, kind):
            _check_steps(plan, kind, made, kit)
    return Robot(plan, kit, made, changes)


def kit_with(robot: Robot) -> Kit:
    """The kit in which this robot's changes are planned: what judges a robot of a kit can then judge a changed one."""
    if not robot.changes:
        return robot.kit
    told = repr(sorted((str(key), str(value)) for key, value in robot.changes.items()))
    digest = hashlib.sha256(f"{robot.kit.digest} {robot.name} {told}".encode()).hexdigest()[:12]
    plan = replace(robot.plan, values={**robot.plan.values, "label": robot.label})
    return replace(
        robot.kit, robots=tuple(plan if one.name == plan.name else one for one in robot.kit.robots), digest=digest
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


def _mechanism(plan, name, planned, kit):
    """One mechanism with its inputs read by its sizing's own fields."""
    where, (sizing, inputs, part) = ("mechanisms", name), planned
    if part and part not in plan.parts:
        raise plan.fault(f"part is {quoted(part)}, which the robot does not have; {nearest(part, plan.parts)}", *where)
    if sizing not in mechanisms.names():
        known = mechanisms.names()
        raise plan.fault(
            f"sizing is {quoted(sizing)}, which is no sizing of a mechanism; {nearest(sizing, known)}", *where
        )
    kind = mechanisms.part_of(sizing, mechanisms.SIZING)
    for key in kind.GIVEN:
        if key in inputs:
            raise plan.fault(f"{key} is given, but the robot's own parts and steps give it; take the line out.", *where)
    tables = Tables(kind, kit)
    of_game = {key: _of_game(path, plan, kit) for key, path in kind.FROM_GAME.items() if key not in inputs}
    of_game = {key: value for key, value in of_game.items() if value is not None}
    try:
        return Mechanism(name, kind, complete(kind, {**inputs, **of_game}, tables), tables)
    except ValueError as wrong:
        raise plan.fault(str(wrong), *where) from None


def _check_whole(plan, made, kit):
    if not plan.parts:
        raise plan.fault("there are no parts; add at least one under parts, with its mass and place.")
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
                raise plan.fault(f"{key} has {quoted(name)}, which the game does not have; {nearest(name, known)}")
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


def _piece_of(plan, kit):
    named = plan.values["pieces"]
    return kit.game.pieces[named[0]] if named else kit.roles.piece


def _of_game(path, plan, kit):
    """A number of the game that a mechanism works with, by role: "piece.mass"; None where the game has no such role."""
    role, _, key = path.partition(".")
    entry = _piece_of(plan, kit) if role == "piece" else getattr(kit.roles, role)
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

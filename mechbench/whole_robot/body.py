"""The robot's body: its mass and centre of gravity, how it stands, whether it fits, and what it is made of.

Contents: FOLDED, RAISED (the poses that every robot has), Body, body_of, Counts, counts.
"""

from dataclasses import dataclass, replace

import numpy as np

from mechbench.kits.robots import FOLDED, RAISED, USUAL_MASS, USUAL_PLACE
from mechbench.physics import balance, envelope
from mechbench.physics.constants import GRAVITY

ROUNDING = 1e-12


@dataclass(frozen=True)
class Body:
    """A robot in one pose: parts, outlines, how it stands (balance.Stance) and how far it reaches (envelope.Extent).

    guessed: the parts, with the standard deviations that are beyond those of parts that were weighed and measured; none
    where every part was. offs: of the ends of the outlines, in the same way.
    """

    parts: tuple
    boxes: tuple
    stance: object
    extent: object
    guessed: tuple = ()
    offs: tuple = ()

    @property
    def braking(self):
        """How hard it may brake before it tips, driving ahead or back, the lesser."""
        return min(float(self.stance.braking), float(self.stance.speeding_up))

    @property
    def unsure(self):
        """Mass and centre with what guesses leave open: a balance.Centre; None where nothing is guessed."""
        return balance.centre_of_gravity(self.guessed) if self.guessed else None

    def sure_braking(self, times):
        """The same as braking, so many standard deviations to the bad side of what is guessed; shape of times."""
        if not self.guessed:
            return self.braking
        centre, off = self.stance.centre, self.unsure
        rooms = (float(limit) * centre.z / GRAVITY for limit in (self.stance.braking, self.stance.speeding_up))
        sure = np.minimum(*(balance.braking_sure(room, centre.z, off.x_sd, off.z_sd, times) for room in rooms))
        return np.where(np.asarray(times) > 0, sure, self.braking)

    def sure_boxes(self, times):
        """The outlines, so many standard deviations larger where their place is guessed."""
        if not any(self.offs):
            return self.boxes
        return tuple(_larger(box, np.asarray(times) * off) for box, off in zip(self.boxes, self.offs))

    def sure_size(self, times):
        """The same as size, with these outlines."""
        return _size(envelope.extent(self.sure_boxes(times))) if any(self.offs) else self.size

    def room_left(self, limits, times):
        """What is left to the game's limits of height and level length, the lesser, with these outlines; infinite where
        the game sets none.
        """
        reach = envelope.extent(self.sure_boxes(times))
        return np.minimum(limits.height - reach.z_high, limits.level - reach.widest)

    @property
    def size(self):
        """How long, wide and high it is."""
        return _size(self.extent)


def _size(extent):
    return extent.x_high - extent.x_low, extent.y_high - extent.y_low, extent.z_high


@dataclass(frozen=True)
class Counts:
    """Motors and servos of a robot."""

    motors: int
    servos: int


def body_of(robot, pose=FOLDED):
    """The robot in a pose, with the pieces that it carries when it is raised (they are parts of the plan)."""
    plan = robot.plan
    outlined = {name: part for name, part in plan.parts.items() if _in_pose(part, "size", pose) is not None}
    boxes = tuple(_box(name, part, pose) for name, part in outlined.items())
    offs = tuple(part.get("outline_off", 0.0) for part in outlined.values())
    parts = tuple(_part(name, part, pose) for name, part in plan.parts.items())
    guessed = _guessed(parts, [part.get("with") or name for name, part in plan.parts.items()])
    half, side = plan.values["wheelbase"] / 2, plan.values["track"] / 2
    wheels = [(half, side), (half, -side), (-half, -side), (-half, side)]
    try:
        return Body(parts, boxes, balance.stance(parts, wheels), envelope.extent(boxes), guessed, offs)
    except ValueError as wrong:
        raise plan.fault(str(wrong), "parts") from None


def _in_pose(part, key, pose):
    other = part[f"raised_{key}"] if pose == RAISED else part.get("in_poses", {}).get(pose, {}).get(key)
    return part[key] if pose == FOLDED or other is None else other


def _guessed(parts, groups):
    """The parts with what is guessed of them; those of one mechanism, whose place is guessed, as one: where it is
    mounted moves all of them alike.
    """
    joined = {}
    for part, group in zip(map(_beyond_usual, parts), groups):
        joined.setdefault(group, []).append(part)
    guessed = tuple(_as_one(group, members) for group, members in joined.items())
    return guessed if any(one.mass_sd or one.place_sd for one in guessed) else ()


def _as_one(name, parts):
    if len(parts) == 1:
        return parts[0]
    centre = balance.centre_of_gravity(parts)
    place_sd = sum(one.mass * one.place_sd for one in parts) / centre.mass
    return balance.Part(name, centre.mass, centre.x, centre.y, centre.z, centre.mass_sd, place_sd)


def _beyond_usual(part):
    """A balance.Part with the standard deviations that are beyond those of a part that was weighed and measured."""
    off = part.mass_sd**2 - (USUAL_MASS * part.mass) ** 2, part.place_sd**2 - USUAL_PLACE**2
    mass_sd, place_sd = (np.sqrt(one) if one > ROUNDING else 0.0 for one in off)
    return replace(part, mass_sd=mass_sd, place_sd=place_sd)


def _larger(box, by):
    names = [f"{axis}_{end}" for axis in "xyz" for end in ("low", "high")]
    return replace(box, **{name: getattr(box, name) + (by if name.endswith("high") else -by) for name in names})


def _part(name, part, pose):
    x, y, z = _in_pose(part, "at", pose)
    return balance.Part(name, part["mass"], x, y, z, part["mass_off"] * part["mass"], part["place_off"])


def _box(name, part, pose):
    middle, widths = _in_pose(part, "at", pose), _in_pose(part, "size", pose)
    ends = [end for centre, width in zip(middle, widths) for end in (centre - width / 2, centre + width / 2)]
    return envelope.Box(name, *ends)


def counts(robot):
    """Motors and servos in all mechanisms, and those that the plan gives besides."""
    turned = [one.sizing.motors_and_servos(one.values, one.tables) for one in robot.mechanisms.values()]
    motors, servos = (sum(numbers) for numbers in zip((0, 0), *turned))
    return Counts(robot.value("more_motors") + motors, robot.value("more_servos") + servos)

"""The robot's body: its mass and centre of gravity, how it stands, whether it fits, and what it is made of.

Contents: POSES, Body, body_of, Counts, counts.
"""

from dataclasses import dataclass

from mechbench.physics import balance, envelope

POSES = FOLDED, RAISED = ("folded", "raised")


@dataclass(frozen=True)
class Body:
    """A robot in one pose: parts, outlines, how it stands (balance.Stance) and how far it reaches (envelope.Extent)."""

    parts: tuple
    boxes: tuple
    stance: object
    extent: object

    @property
    def braking(self):
        """How hard it may brake before it tips, driving ahead or back, the lesser."""
        return min(float(self.stance.braking), float(self.stance.speeding_up))

    @property
    def size(self):
        """How long, wide and high it is."""
        return self.extent.x_high - self.extent.x_low, self.extent.y_high - self.extent.y_low, self.extent.z_high


@dataclass(frozen=True)
class Counts:
    """Motors and servos of a robot."""

    motors: int
    servos: int


def body_of(robot, pose=FOLDED):
    """The robot in a pose, with the pieces that it carries when it is raised (they are parts of the plan)."""
    plan = robot.plan
    boxes = tuple(_box(name, part, pose) for name, part in plan.parts.items())
    parts = tuple(_part(name, part, pose) for name, part in plan.parts.items())
    half, side = plan.values["wheelbase"] / 2, plan.values["track"] / 2
    wheels = [(half, side), (half, -side), (-half, -side), (-half, side)]
    try:
        return Body(parts, boxes, balance.stance(parts, wheels), envelope.extent(boxes))
    except ValueError as wrong:
        raise plan.fault(str(wrong), "parts") from None


def _in_pose(part, key, pose):
    raised = part[f"raised_{key}"]
    return raised if pose == RAISED and raised is not None else part[key]


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

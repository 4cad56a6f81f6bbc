"""All parts of a robot from what its plan gives: what is not given is taken from the mechanisms, or guessed.

Contents: filled (a plan with every part whole), poses_of (in which a robot is judged).

A guess has a band: a standard deviation of place or mass, larger than that of a part that was measured. The balance
carries it (body.py), and what rests on it is told (reasons.py).
"""

from dataclasses import dataclass, replace
from functools import cached_property
from itertools import chain

import numpy as np

from mechbench.engine.spec import DRIVES, HOLDS, RAISES
from mechbench.kits.faults import nearest
from mechbench.kits.robots import FOLDED, IN_POSE, PART_KEYS, POSES, RAISED, USUAL_MASS, USUAL_PLACE, Mount, is_whole
from mechbench.quantity import show
from mechbench.wording import quoted

# A part of which nothing but its mass is known may sit anywhere between the wheels, everywhere alike: the standard
# deviation of an even spread is its width over the root of 12. How high most of a robot sits is common practice, no
# source.
HEIGHT, ANYWHERE = 0.35, 1 / np.sqrt(12)  # of the mean of wheelbase and track
REST = 0.5  # of that deviation: the rest is made of several things, and they are not all on one side
GUESSED_MASS = 0.3  # standard deviation of a mass that a mechanism's input would give, but the plan does not: assumed
FILLS = 1500.0  # kg/m3, of motors with gears and what holds them: common practice, no source
PIECES, OTHERS, BATTERY = "pieces", "rest", "battery"  # names of parts that no mechanism brings
NOTHING = 1e-9  # kg
SURE = 2.0  # standard deviations, by which parts may weigh more than the whole robot


def filled(plan, made, kit, masses=None):
    """The plan with every part whole: mass, place and size, in each pose. made: name -> Mechanism.

    masses: of the parts, where they are known already: those of the robot before something in it was changed.
    """
    known = _Known(plan, made, kit)
    if is_whole(plan):
        parts, sits, own = plan.parts, {}, {}
    else:
        parts = known.parts if masses is None else _weighing(known.parts, masses)
        own, sits = known.own, {name: part for name, part in known.sits.items() if part in parts}
    _check_poses(plan, parts)
    mechanisms = {name: one._replace(part=sits.get(name, one.part)) for name, one in plan.mechanisms.items()}
    parts = {name: one if name in own else _posed(plan, name, one) for name, one in parts.items()}
    return replace(plan, parts=parts, mechanisms=mechanisms, values={**plan.values, "held_at": known.held_at})


def _weighing(parts, masses):
    return {name: {**one, "mass": masses.get(name, one["mass"])} for name, one in parts.items()}


@dataclass(frozen=True)
class _Known:
    """What is known of a robot's parts, from a plan, its mechanisms (name -> Mechanism) and the kit."""

    plan: object
    made: dict
    kit: object

    @cached_property
    def parts(self):
        """Every part with mass, place and size: what is given goes before what a mechanism tells, and that before a
        guess.
        """
        names = dict.fromkeys((*self.plan.parts, *self.own))
        joined = {name: _joined(self.own.get(name), self.plan.parts.get(name), self._guess) for name in names}
        return self._with_the_rest(joined)

    @cached_property
    def sits(self):
        """In which part each mechanism sits that brings its own, or is held by another one."""
        found = {}
        for name in self.made:
            if not self.plan.mechanisms[name].part:
                held = name != self.raiser and self._is_held(name)
                found[name] = self._carrier if held else f"{name}_{self._lumps(name, 0.0)[0].name}"
        return found

    # what the mechanisms bring ----------------------------------------------------------------------------------------

    @cached_property
    def own(self):
        """The parts that the mechanisms bring, and the pieces; their masses may still be guesses."""
        own = {}
        for name, one in self.made.items():
            if self._brings(name) or one.sizing.ROLE == DRIVES:
                own |= self._parts_of(name)
        pieces = self._pieces(own)
        if BATTERY in self.plan.parts and "mass" in self.kit.battery:
            own[BATTERY] = self._guess(mass=self.kit.battery.mass)
        if self.plan.parts.get(OTHERS, {"at": ()})["at"] is None:
            own[OTHERS] = self._rest()
        return self._by_what_sits_in_them() | own | pieces

    def _by_what_sits_in_them(self):
        """Parts without a mass, in a robot that was not weighed whole: as heavy as what is known to sit in them."""
        masses = {}
        for name, planned in self.plan.mechanisms.items():
            part = self.plan.parts.get(planned.part)
            if part is not None and part["mass"] is None and self.plan.weighed is None:
                raised = self._lumps(name, 1.0)
                stays = sum(one.mass for one, up in zip(self._lumps(name, 0.0), raised) if one == up)
                masses[planned.part] = masses.get(planned.part, 0.0) + stays
        return {part: self._guess(mass=mass, mass_off=GUESSED_MASS) for part, mass in masses.items()}

    @cached_property
    def raiser(self):
        """The mechanism that raises the pieces, where it brings its own parts; else None."""
        named = (step["mechanism"] for step in self.plan.steps.values() if step["mechanism"] in self.made)
        first = next((name for name in named if self.made[name].sizing.ROLE == RAISES), None)
        return first if first is not None and self._mounted(first) else None

    @cached_property
    def _carrier(self):
        """The part in which the pieces are raised; "" without one."""
        holding = (lump.name for lump in self._lumps(self.raiser, 0.0) if lump.holds) if self.raiser else ()
        return next((f"{self.raiser}_{name}" for name in holding), "")

    def _mount(self, name):
        return self.plan.mounts.get(name, Mount())

    def _mounted(self, name):
        """Whether its own parts are taken from it: its place is given, or the whole robot was weighed."""
        weighed = self.plan.weighed is not None and not self.plan.mechanisms[name].part
        return self._mount(name).at is not None or weighed

    def _is_held(self, name):
        """Whether it holds the pieces where another one raises them: it is in the mass there."""
        holds = any(need.does == HOLDS for need in self.made[name].sizing.NEEDS)
        return holds and bool(self._carrier) and self._mount(name).at is None

    def _brings(self, name):
        return self._mounted(name) and (name == self.raiser or not self._is_held(name))

    def _lumps(self, name, share):
        """The mechanism's lumps at a share of its way, with what the plan itself gives of its inputs."""
        one, values = self.made[name], self.plan.values
        given = {key: values[key] for key in one.sizing.GIVEN if values.get(key) is not None}
        return one.sizing.lumps({**one.values, **given}, one.tables, share)

    def _parts_of(self, name):
        """The parts that one mechanism brings: each in every pose, with how well its place and mass are known."""
        at, off = self._place(name)
        poses = {pose: self._lumps(name, share) for pose, share in self._shares(name).items()}
        within = bool(self.plan.mechanisms[name].part) or not self._mounted(name)
        found, raised = {}, self._lumps(name, 1.0)
        for i, lump in enumerate(self._lumps(name, 0.0)):
            each = {pose: self._outline(name, at, lumps[i]) for pose, lumps in poses.items()}
            stays = all(one == each[FOLDED] for one in each.values())
            mass = 0.0 if within and lump == raised[i] else lump.mass
            if mass > 0 or lump.size is not None:
                found[f"{name}_{lump.name}"] = {
                    **self._in_poses(each, stays),
                    "mass": mass,
                    "mass_off": self._mass_off(name, lump),
                    "place_off": float(np.hypot(off, lump.place_off)),
                    "outline_off": _beyond(off, USUAL_PLACE),
                    "with": name if off > USUAL_PLACE else "",
                }
        return found

    def _in_poses(self, each, stays):
        """Places and boxes by pose, as a part of a plan has them."""
        at, size = each[FOLDED]
        raised = (None, None) if stays else each[RAISED]
        named = {pose: {"at": one[0], "size": one[1]} for pose, one in each.items() if pose not in POSES}
        return {"at": at, "size": size, "raised_at": raised[0], "raised_size": raised[1], "in_poses": named}

    def _shares(self, name):
        """How far a mechanism is raised in each pose: raised, where the steps of a cycle move it."""
        works = any(step["mechanism"] == name for step in self.plan.steps.values())
        usual = {FOLDED: 0.0, RAISED: float(works)}
        poses = {pose: states.get(name, 0.0) for pose, states in self.plan.poses.items()}
        return {**usual, **poses}

    def _outline(self, name, at, lump):
        """The middle of a lump and the box around it, in the robot."""
        wide, size = self._mount(name).wide, lump.size
        middle = tuple(float(a + b) for a, b in zip(at, lump.at))
        if size is None:
            side = np.cbrt(lump.mass / FILLS)
            size = side, side, min(side, 2 * max(middle[2], 0.0))  # no motor is under the floor
        elif wide is not None:
            size = size[0], wide, size[2]
        return middle, tuple(float(side) for side in size)

    def _mass_off(self, name, lump):
        """A mass that the kit or the plan gives is known as well as is usual."""
        given = self.plan.mechanisms[name].inputs
        return USUAL_MASS if all(one in given for one in lump.made_of) else GUESSED_MASS

    def _place(self, name):
        """Where a mechanism is mounted, and the standard deviation of that."""
        one, at = self.made[name], self._mount(name).at
        if at is not None:
            return at, USUAL_PLACE
        if one.sizing.ROLE == DRIVES:
            return (0.0, 0.0, 0.0), USUAL_PLACE  # its wheels say where it is
        height, folded = one.values.get(one.sizing.MOUNT_HEIGHT), self._lumps(name, 0.0)
        holding = [lump for lump in folded if lump.holds]
        if height is None and holding:
            height = self._held - holding[0].at[2]
        ends = [lump.at[0] + side * (lump.size or (0.0,))[0] / 2 for lump in folded for side in (-1, 1)]
        # Folded it must fit the start box, so it is likely to be over the middle between the wheels.
        return (-(min(ends) + max(ends)) / 2, *self._middle(height)[1:]), ANYWHERE * self._span

    # what is guessed --------------------------------------------------------------------------------------------------

    @property
    def _span(self):
        return (self.plan.values["wheelbase"] + self.plan.values["track"]) / 2

    @property
    def held_at(self):
        """How high the underside of a piece is that is held, folded: as given, or where the raiser is mounted."""
        given, at = self.plan.values["held_at"], self._mount(self.raiser).at
        if given is not None or at is None:
            return given or 0.0
        share = self._shares(self.raiser)[FOLDED]
        tips = [lump.at[2] for lump in self._lumps(self.raiser, share) if lump.holds]
        return max(at[2] + tips[0] - self._half_piece, 0.0) if tips else 0.0

    @property
    def _held(self):
        """How high the middle of a piece is that is held, folded."""
        return self.held_at + self._half_piece

    @property
    def _half_piece(self):
        """Half the height of its piece; nothing in a game without pieces."""
        piece = self.plan.piece(self.kit)
        return piece.height / 2 if piece else 0.0

    def _middle(self, height=None):
        return 0.0, 0.0, HEIGHT * self._span if height is None else max(height, 0.0)

    def _guess(self, share=1.0, **given):
        """A part of which nothing is known but what is given."""
        off = float(share * ANYWHERE * self._span)
        usual = {"at": self._middle(), "mass_off": USUAL_MASS, "place_off": off, "outline_off": 0.0}
        return {**dict.fromkeys(PART_KEYS), **usual, **given}

    def _rest(self):
        """All of which nothing is known, in a box over the wheels."""
        return self._guess(REST, size=(self.plan.values["wheelbase"], self.plan.values["track"], 2 * self._middle()[2]))

    def _pieces(self, own):
        """The pieces that it carries, as a part: taken from the part that holds them, which has their mass too."""
        piece, number = self.plan.piece(self.kit), self.plan.values["carries"]
        if piece is None:
            return {}
        mass, size = number * piece.mass, (piece.length, number * piece.width, piece.height)
        if self._carrier in own:
            holder = own[self._carrier]
            boxes = {"size": size, "raised_size": holder["raised_at"] and size}
            named = {pose: {"at": one["at"], "size": size} for pose, one in holder["in_poses"].items()}
            left = max(holder["mass"] - mass, 0.0)
            own[self._carrier] = {**holder, "mass": left}
            return {PIECES: {**holder, "mass": mass, "mass_off": USUAL_MASS, **boxes, "in_poses": named}}
        if self.plan.weighed is None:
            return {}
        return {PIECES: self._guess(mass=mass, at=self._middle(self._held), size=size)}

    def _with_the_rest(self, parts):
        """The parts with masses: what is left of the weighed mass sits in those without a mass, or in a new one."""
        weighed, light = self.plan.weighed, [name for name, one in parts.items() if one["mass"] is None]
        if weighed is None:
            if light:
                raise self.plan.fault(
                    "has no mass; weigh it, or give the mass of the whole robot, of which it takes the rest.",
                    "parts",
                    light[0],
                )
            return parts
        known = {name: one for name, one in parts.items() if one["mass"] is not None and name != PIECES}
        left = weighed - sum(one["mass"] for one in known.values())
        band = SURE * np.sqrt(sum((one["mass"] * one["mass_off"]) ** 2 for one in known.values()))
        if left < -band:
            raise self.plan.fault(self._too_heavy(weighed, known))
        left = max(left, 0.0)
        if light:
            return {**parts, **self._shared(parts, light, left)}
        return {**parts, OTHERS: {**self._rest(), "mass": left}} if left > NOTHING else parts

    def _shared(self, parts, light, left):
        """The rest, spread over the parts without a mass: by their sizes where all have one."""
        sizes = [parts[name]["size"] for name in light]
        by_size = all(size and np.prod(size) > 0 for size in sizes)
        room = [np.prod(size) for size in sizes] if by_size else np.ones(len(light))
        masses = left * np.asarray(room) / np.sum(room)
        return {name: {**parts[name], "mass": float(mass), "mass_off": USUAL_MASS} for name, mass in zip(light, masses)}

    def _too_heavy(self, weighed, known):
        heavy = sorted(known, key=lambda name: -known[name]["mass"])[:3]
        most = ", ".join(f"{name} {show(known[name]['mass'], 'kg')}" for name in heavy)
        return (
            f"mass is {show(weighed, 'kg')}, but what is known or assumed of it weighs "
            f"{show(sum(one['mass'] for one in known.values()), 'kg')} (most of it: {most}); weigh again, or say with "
            "part in which of the parts a mechanism's motors sit."
        )


def _joined(own, given, guess):
    """What is given of a part, else what a mechanism tells of it, else a guess."""
    given = given or {}
    base = dict(own) if own is not None else guess()
    if given.get("at") is not None:
        base |= {"outline_off": 0.0, "with": ""}
    if given.get("size") is not None:
        base["raised_size"] = None
        base["in_poses"] = {pose: {**one, "size": None} for pose, one in base.get("in_poses", {}).items()}
    poses = {**base.get("in_poses", {})}
    for pose, one in given.get("in_poses", {}).items():
        poses[pose] = {**poses.get(pose, {}), **one}
    said = {key: value for key, value in given.items() if value is not None and key != "in_poses"}
    return {**base, **said, "in_poses": poses}


def _beyond(off, usual):
    """The part of a standard deviation that is beyond the usual one."""
    return float(np.sqrt(max(off**2 - usual**2, 0.0)))


# --- poses ------------------------------------------------------------------------------------------------------------


def poses_of(plan):
    """The poses in which a robot is judged: folded, and those in which it works.

    It is raised while it raises; where the steps of its cycle name poses of their own, only where a step says so.
    """
    named = dict.fromkeys(step["pose"] for step in chain(plan.steps.values(), plan.closing.values()))
    own = any(step["pose"] not in POSES for step in plan.steps.values())
    raised = [RAISED] if RAISED in named or not own else []
    return (FOLDED, *raised, *(pose for pose in named if pose not in POSES))


def _check_poses(plan, parts):
    """Every pose is about parts and mechanisms that are there; a plain part is folded or raised, not between."""
    known = (*plan.mechanisms, *parts)
    for pose, states in plan.poses.items():
        for name, share in states.items():
            if name not in known:
                raise plan.fault(
                    f"{pose} has {quoted(name)}, which the robot does not have; {nearest(name, known)}", "poses"
                )
            if name not in plan.mechanisms and share not in (0.0, 1.0):
                raise plan.fault(
                    f"{pose} has {name} at {share:g} of its way, but a part is folded or raised; give its "
                    f"at_{pose} and size_{pose}.",
                    "poses",
                )
    for name, one in plan.parts.items():
        for pose in one.get("in_poses", {}):
            if pose not in plan.poses:
                raise plan.fault(
                    f"at_{pose} or size_{pose} is given, but the robot has no such pose; {nearest(pose, plan.poses)}",
                    "parts",
                    name,
                )


def _posed(plan, name, part):
    """The part that no mechanism moves, in each pose of the plan: what a pose does not name is folded there."""
    if not plan.poses:
        return part
    folded, raised = ({key: part[f"{state}{key}"] for key in IN_POSE} for state in ("", "raised_"))
    raised = {key: folded[key] if value is None else value for key, value in raised.items()}
    each = {
        pose: (raised if states.get(name) else folded) | part.get("in_poses", {}).get(pose, {})
        for pose, states in plan.poses.items()
    }
    moved = {f"raised_{key}": value for key, value in each.get(RAISED, {}).items()}
    return {**part, **moved, **each.get(FOLDED, {}), "in_poses": each}

"""Whole robots of a kit: robots.toml read and checked as far as a file alone can tell.

Contents: Plan (one robot), PlannedMechanism, Mount, SHAPES (what may stand in the file), read_robots; FOLDED, RAISED;
USUAL_MASS, USUAL_PLACE (how well a part is known that was weighed and measured), is_whole.

What a mechanism's inputs mean is known to its sizing, so they are kept here as they are written; the robot that is
built from a plan checks them, and names the place in the file with `Plan.fault`.
"""

from dataclasses import dataclass, field, replace
from typing import NamedTuple

from mechbench.kits.faults import Faults, KitError, nearest, place, shown
from mechbench.kits.read import NAME, check_is_table, parse, read_part
from mechbench.kits.schema import Entry, Shape
from mechbench.wording import shortened

FILE = "robots.toml"
POSES = FOLDED, RAISED = ("folded", "raised")
USUAL_MASS, USUAL_PLACE = 0.05, 0.01  # standard deviations: a share of the mass, and m
MOST_OF_A_KIND = 60  # parts, mechanisms or steps of one robot


def _length(low, high, help, **more):
    return Entry("length", low, high, help, **more)


def _three(help, **more):
    return _length("-2 m", "2 m", help, many=True, least=3, most=3, **more)


_WAIT = Entry("words", help="names of the steps that must be done before", many=True, default=(), least=0, most=20)
_STEP = {
    "label": Entry("words", help="what people read of it; left out: its name", default=""),
    "human": Entry("words", help="a step that people do, by its name in game.toml", default=""),
    "drive": _length("0 m", "50 m", "how far it drives, from rest to rest", default=None),
    "mechanism": Entry("words", help="the mechanism that does it", default=""),
    "finding": Entry("words", help="which of the mechanism's findings is the time", default="time"),
    "after": _WAIT,
    "beside": Entry(
        "words", help="mechanisms that run meanwhile and take no time", many=True, default=(), least=0, most=20
    ),
    "each": Entry("choice", help="done once a cycle, or for each piece", choices=("cycle", "piece"), default="cycle"),
    "passes": Entry("words", help="an obstacle of game.toml that is in the way, by its name", default=""),
    "pose": Entry("words", help="how it stands meanwhile: folded, raised, or one of its own poses", default=FOLDED),
}

SHAPES = {
    "robot": Shape(
        FILE,
        single=True,
        entries={
            "label": Entry("words", help="the name that people read"),
            "idea": Entry("words", help="what it is for, in one line", default=""),
            "wheelbase": _length("50 mm", "2 m", "from the front axle to the rear axle"),
            "track": _length("50 mm", "2 m", "from the left wheels to the right ones"),
            "cord_exit": _three("where the cord of a winch leaves it: ahead, to the left, up", default=None),
            "more_motors": Entry("count", 0, 50, "motors that are in none of its mechanisms", default=0),
            "more_servos": Entry("count", 0, 50, "servos that are in none of its mechanisms", default=0),
            "more_current": Entry(
                "current", "0 A", "100 A", "of these motors, from the battery, all the time", default=0.0
            ),
            "carries": Entry("count", 1, 4, "pieces carried at once", default=1),
            "pieces": Entry(
                "words",
                help="pieces that it takes, the main one first; left out: the game's usual piece",
                many=True,
                most=10,
                default=(),
            ),
            "goals": Entry(
                "words", help="goals that it serves, the first one first; [] for none", many=True, least=0, most=10
            ),
            "success": Entry("number", 0, 1, "share of its pieces that end in the goal", default=0.9),
            "jam": Entry("number", 0, 1, "share of its cycles with a jam or a drop", default=0.0),
            "pair_chance": Entry(
                "number", 0, 1, "chance that two pieces of one cycle are of one colour and touch", default=0.0
            ),
            "sorted": Entry("number", 0, 1, "chance that a piece has a colour which its set still lacks", default=0.0),
            "start_pieces": Entry("count", 0, 10, "pieces that it tries while it drives itself", default=0),
            "start_success": Entry("number", 0, 1, "share of these that end in the goal", default=0.0),
            "held_at": _length(
                "0 m",
                "2 m",
                "underside of a piece that it holds, folded, over the floor; left out: where what raises it is mounted"
                " says so, else on the floor",
                default=None,
            ),
            "tasks": Entry(
                "words",
                help="closing tasks of game.toml: the one that it tries, then what is left where that fails; left"
                " out: hanging, else the one with most points",
                many=True,
                least=0,
                most=4,
                default=None,
            ),
            "tries": Entry("count", 0, 5, "tries at the closing task", default=0),
            "hook_at": _length(
                "0 m",
                "3 m",
                "its hook for the bar, folded, over the floor; left out: as high as cord_exit",
                default=None,
            ),
            "closing_chance": Entry("number", 0, 1, "chance that one try works", default=0.0),
            "besides": Entry("words", help="a closing task that it does besides, by its name", default=""),
            "besides_chance": Entry("number", 0, 1, "chance that it does that", default=0.0),
            "leave": Entry("time", "0 s", "600 s", "before the end, when it leaves for the closing task", default=0.0),
        },
    ),
    "parts": Shape(
        FILE,
        entries={
            "mass": Entry("mass", "0 g", "100 kg", "its mass", default=None),
            "at": _three("its middle: ahead, to the left, up", default=None),
            "size": _three("of the box around it: along, across, up", default=None),
            "raised_at": _three("its middle when the robot is raised", default=None),
            "raised_size": _three("of the box around it when the robot is raised", default=None),
            "mass_off": Entry("number", 0, 1, "standard deviation of the mass, as a share of it", default=None),
            "place_off": _length("0 mm", "0.5 m", "standard deviation of the place", default=None),
        },
    ),
    "whole": Shape(
        FILE,
        single=True,
        entries={"mass": Entry("mass", "0.1 kg", "100 kg", "of the whole robot, weighed without pieces", default=None)},
    ),
    "mounts": Shape(
        FILE,
        entries={
            "at": _three("where it is mounted: ahead, to the left, up", default=None),
            "wide": _length("1 mm", "2 m", "how wide its moving parts are, across", default=None),
        },
    ),
    "steps": Shape(FILE, entries=_STEP),
    "closing": Shape(FILE, entries=_STEP),
}
PART_KEYS = tuple(SHAPES["parts"].entries)
INSIDE = ("parts", "mechanisms", "steps", "closing")
MORE = ("weighed", "mounts", "poses")  # that a plan may leave out
IN_POSE = ("at", "size")  # at_NAME and size_NAME are those of a part in a pose of that name


class PlannedMechanism(NamedTuple):
    """One mechanism as its file gives it: the name of its sizing, the inputs as they are written, and the part of the
    robot in which it sits, "" where the file does not say.
    """

    sizing: str
    inputs: dict
    part: str = ""


class Mount(NamedTuple):
    """Where a mechanism is mounted (ahead, left, up), and how wide its moving parts are; None: as is usual."""

    at: tuple | None = None
    wide: float | None = None


@dataclass(frozen=True)
class Plan:
    """One robot as its file gives it.

    name, label, idea; values: SI numbers and texts of [robots.name]; parts, steps, closing: name -> values in SI, in
    the order of the file; mechanisms: name -> PlannedMechanism. weighed: the whole robot's mass, None where it was not
    weighed; mounts: mechanism -> Mount, of those whose place is given; poses: name -> part or mechanism -> share of its
    way, 0 is folded and 1 is raised.
    """

    name: str
    values: dict
    parts: dict
    mechanisms: dict
    steps: dict
    closing: dict
    weighed: float | None = None
    mounts: dict = field(default_factory=dict)
    poses: dict = field(default_factory=dict)

    @property
    def label(self):
        """The name that people read."""
        return self.values["label"]

    @property
    def idea(self):
        """What it is for, in one line."""
        return self.values["idea"]

    def piece(self, kit):
        """The piece that it takes, the main one of several, as the kit's game has it; None in a game without pieces."""
        named = self.values["pieces"]
        return kit.game.pieces[named[0]] if named else kit.roles.piece

    def fault(self, sentence, *path):
        """Make the error for a fault of this robot; the path leads to the place, such as "steps", "drive"."""
        return KitError(f"{place(FILE, ('robots', self.name, *path))}: {sentence}")


def read_robots(folder):
    """Read robots.toml of a folder: the plans in the order of the file, none where there is no such file.

    KitError tells all faults of all robots.
    """
    tables, faults, plans = parse(folder, FILE, required=False), Faults(), []
    for name in tables:
        if name != "robots":
            faults.found.append(
                f"{FILE} has a table [{shortened(name)}] that the course does not know; {nearest(name, ['robots'])}"
            )
    found = tables.get("robots", {})
    with faults.caught():
        check_is_table(FILE, ("robots",), found)
        for name, content in found.items():
            with faults.caught():
                plans.append(_plan(name, content))
    faults.tell()
    return tuple(plans)


def _plan(name, content):
    path, faults, inside, more = ("robots", name), Faults(), {}, {}
    with faults.caught():
        _check_name(name, ("robots",))
    with faults.caught():
        check_is_table(FILE, path, content)
        own = {key: value for key, value in content.items() if key not in (*INSIDE, "mass", "poses")}
        with faults.caught():
            values = read_part(name, SHAPES["robot"], path, own, {}).values
        for kind in INSIDE:
            with faults.caught():
                inside[kind] = _inside(path, kind, content.get(kind, {}))
        with faults.caught():
            more["weighed"] = read_part(name, SHAPES["whole"], path, _among(content, "mass"), {}).values["mass"]
        with faults.caught():
            more["mounts"] = _mounts(path, content)
        with faults.caught():
            more["poses"] = _poses((*path, "poses"), content.get("poses", {}))
    faults.tell()
    return Plan(name, values, **inside, **more)


def _among(values, *keys):
    return {key: value for key, value in values.items() if key in keys}


def _mounts(path, content):
    """Of each mechanism what is said of its place."""
    found, faults = {}, Faults()
    named = content.get("mechanisms", {})
    for name, values in named.items() if isinstance(named, dict) else ():
        given = _among(values, *Mount._fields) if isinstance(values, dict) else {}
        if given:
            here = (*path, "mechanisms", name)
            with faults.caught():
                found[name] = Mount(**read_part(name, SHAPES["mounts"], here, given, {}).values)
    faults.tell()
    return found


def _poses(path, content):
    """Poses by name: which parts and mechanisms are raised in each, and how far."""
    check_is_table(FILE, path, content)
    poses, faults = {}, Faults()
    for name, states in content.items():
        with faults.caught():
            _check_name(name, path)
            check_is_table(FILE, (*path, name), states)
            poses[name] = {}
            for key, state in states.items():
                with faults.caught():
                    poses[name][key] = _share(place(FILE, (*path, name), key), state)
    faults.tell()
    return poses


def _share(where, state):
    """How far something is raised: folded, raised, or a number."""
    if isinstance(state, str) and state in POSES:
        return float(POSES.index(state))
    if isinstance(state, bool) or not isinstance(state, (int, float)):
        raise KitError(f"{where} is {shown(state)}, but it must be folded, raised or a number from 0 to 1.")
    if not 0 <= state <= 1:
        raise KitError(f"{where} is {shown(state)}, but it must be from 0 to 1: a share of its way, 1 is raised.")
    return float(state)


def _inside(path, kind, content):
    """Parts, mechanisms, steps, or the steps of a closing task."""
    here = (*path, kind)
    check_is_table(FILE, here, content)
    if len(content) > MOST_OF_A_KIND:
        raise KitError(f"{place(FILE, here)} has {len(content)} entries, but at most {MOST_OF_A_KIND}; join some.")
    read, faults = {}, Faults()
    for name, values in content.items():
        with faults.caught():
            _check_name(name, here)
            check_is_table(FILE, (*here, name), values)
            read[name] = (
                _mechanism((*here, name), values) if kind == "mechanisms" else _checked(kind, (*here, name), values)
            )
    faults.tell()
    return read


def _checked(kind, path, values):
    if kind == "parts":
        return _part(path, values)
    read = read_part(path[-1], SHAPES[kind], path, values, {}).values
    if kind in ("steps", "closing"):
        given = [key for key in ("human", "drive", "mechanism") if read[key] not in ("", None)]
        if len(given) != 1:
            raise KitError(
                f"{place(FILE, path)} has {' and '.join(given) or 'none of human, drive and mechanism'}, but it must "
                "have exactly one of them; it says who takes the time."
            )
    return read


def _part(path, values):
    """A part: what is given of it is known as well as is usual, if nothing else is said."""
    entries = SHAPES["parts"].entries
    posed = [key for key in values if key not in entries and key.partition("_")[0] in IN_POSE and "_" in key]
    read = read_part(path[-1], SHAPES["parts"], path, {k: v for k, v in values.items() if k not in posed}, {}).values
    for key, off, usual in (("mass", "mass_off", USUAL_MASS), ("at", "place_off", USUAL_PLACE)):
        if read[off] is None and read[key] is not None:
            read[off] = usual
    in_poses = {}
    for key in posed:
        what, _, pose = key.partition("_")
        shape = Shape(FILE, entries={key: replace(entries[what], default=None)})
        in_poses.setdefault(pose, {})[what] = read_part(path[-1], shape, path, {key: values[key]}, {}).values[key]
    return {**read, "in_poses": in_poses} if in_poses else read


def is_whole(plan):
    """Whether the plan gives mass, place and size of every part, and leaves nothing to the mechanisms."""
    given = all(one[key] is not None for one in plan.parts.values() for key in ("mass", "at", "size"))
    return given and plan.weighed is None and not plan.mounts


def _mechanism(path, values):
    """The sizing and the inputs, text or plain numbers, as they are written."""
    sizing = values.get("sizing")
    if not isinstance(sizing, str):
        raise KitError(
            f'{place(FILE, path)} has no sizing; add a line sizing = "lift", or another sizing of the course.'
        )
    part = values.get("part", "")
    if not isinstance(part, str):
        raise KitError(f"{place(FILE, path, 'part')} is {shown(part)}, but it must be the name of a part of the robot.")
    inputs = {key: value for key, value in values.items() if key not in ("sizing", "part", *Mount._fields)}
    for key, value in inputs.items():
        if isinstance(value, bool) or not isinstance(value, (str, int, float)):
            raise KitError(
                f"{place(FILE, path, key)} is {shown(value)}, but it must be text with a unit, or a plain number."
            )
    return PlannedMechanism(sizing=sizing, inputs=inputs, part=part)


def _check_name(name, path):
    if not NAME.fullmatch(name):
        raise KitError(
            f"In {FILE}, [{'.'.join(path)}] has something named {shown(name)}; a name starts with a small letter and "
            "has at most 40 small letters a to z, digits and _."
        )


def plan_of(plans, name):
    """The plan of that name; the nearest right one is said for an unknown name."""
    for plan in plans:
        if plan.name == name:
            return plan
    raise KitError(f"{shown(name)} is no robot of this kit; {nearest(name, [plan.name for plan in plans])}")

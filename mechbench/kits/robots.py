"""Whole robots of a kit: robots.toml read and checked as far as a file alone can tell.

Contents: Plan (one robot), PlannedMechanism, SHAPES (what may stand in the file), read_robots.

What a mechanism's inputs mean is known to its sizing, so they are kept here as they are written; the robot that is
built from a plan checks them, and names the place in the file with `Plan.fault`.
"""

from dataclasses import dataclass
from typing import NamedTuple

from mechbench.kits.faults import KitError, nearest, place, shown
from mechbench.kits.read import NAME, check_is_table, parse, read_part
from mechbench.kits.schema import Entry, Shape
from mechbench.wording import shortened

FILE = "robots.toml"
NO_ROBOTS = f"The kit has no whole robots; copy {FILE} of the course's own kit into its folder and fill it in."
MOST_OF_A_KIND = 60  # parts, mechanisms or steps of one robot


def _length(low, high, help, **more):
    return Entry("length", low, high, help, **more)


def _three(help, **more):
    return _length("-2 m", "2 m", help, many=True, least=3, most=3, **more)


_WAIT = Entry("words", help="names of the steps that must be done before", many=True, default=(), least=0, most=20)
_STEP = {
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
    "pose": Entry("choice", help="how it stands meanwhile", choices=("folded", "raised"), default="folded"),
}

SHAPES = {
    "robot": Shape(
        FILE,
        single=True,
        entries={
            "label": Entry("words", help="the name that people read"),
            "idea": Entry("words", help="what it is for, in one line"),
            "wheelbase": _length("50 mm", "2 m", "from the front axle to the rear axle"),
            "track": _length("50 mm", "2 m", "from the left wheels to the right ones"),
            "cord_exit": _three("where the cord of a winch leaves it: ahead, to the left, up", default=None),
            "more_motors": Entry("count", 0, 50, "motors that are in none of its mechanisms", default=0),
            "more_servos": Entry("count", 0, 50, "servos that are in none of its mechanisms", default=0),
            "more_current": Entry(
                "current", "0 A", "100 A", "of these motors, from the battery, all the time", default=0.0
            ),
            "carries": Entry("count", 1, 4, "pieces carried at once"),
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
            "success": Entry("number", 0, 1, "share of its pieces that end in the goal"),
            "jam": Entry("number", 0, 1, "share of its cycles with a jam or a drop", default=0.0),
            "pair_chance": Entry(
                "number", 0, 1, "chance that two pieces of one cycle are of one colour and touch", default=0.0
            ),
            "sorted": Entry("number", 0, 1, "chance that a piece has a colour which its set still lacks", default=0.0),
            "start_pieces": Entry("count", 0, 10, "pieces that it tries while it drives itself", default=0),
            "start_success": Entry("number", 0, 1, "share of these that end in the goal", default=0.0),
            "held_at": _length("0 m", "2 m", "underside of a piece that it holds, folded, over the floor", default=0.0),
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
            "mass": Entry("mass", "0 g", "100 kg", "its mass"),
            "at": _three("its middle: ahead, to the left, up"),
            "size": _three("of the box around it: along, across, up"),
            "raised_at": _three("its middle when the robot is raised", default=None),
            "raised_size": _three("of the box around it when the robot is raised", default=None),
            "mass_off": Entry("number", 0, 1, "standard deviation of the mass, as a share of it", default=0.05),
            "place_off": _length("0 mm", "0.5 m", "standard deviation of the place", default=0.01),
        },
    ),
    "steps": Shape(FILE, entries=_STEP),
    "closing": Shape(FILE, entries=_STEP),
}
INSIDE = ("parts", "mechanisms", "steps", "closing")


class PlannedMechanism(NamedTuple):
    """One mechanism as its file gives it: the name of its sizing, the inputs as they are written, and the part of the
    robot in which it sits, "" where the file does not say.
    """

    sizing: str
    inputs: dict
    part: str = ""


@dataclass(frozen=True)
class Plan:
    """One robot as its file gives it.

    name, label, idea; values: SI numbers and texts of [robots.name]; parts, steps, closing: name -> values in SI, in
    the order of the file; mechanisms: name -> PlannedMechanism.
    """

    name: str
    values: dict
    parts: dict
    mechanisms: dict
    steps: dict
    closing: dict

    @property
    def label(self):
        """The name that people read."""
        return self.values["label"]

    @property
    def idea(self):
        """What it is for, in one line."""
        return self.values["idea"]

    def fault(self, sentence, *path):
        """Make the error for a fault of this robot; the path leads to the place, such as "steps", "drive"."""
        return KitError(f"{place(FILE, ('robots', self.name, *path))}: {sentence}")


def read_robots(folder):
    """Read robots.toml of a folder: the plans in the order of the file, none where there is no such file."""
    tables = parse(folder, FILE, required=False)
    for name in tables:
        if name != "robots":
            raise KitError(
                f"{FILE} has a table [{shortened(name)}] that the course does not know; {nearest(name, ['robots'])}"
            )
    found = tables.get("robots", {})
    check_is_table(FILE, ("robots",), found)
    return tuple(_plan(name, content) for name, content in found.items())


def _plan(name, content):
    path = ("robots", name)
    _check_name(name, ("robots",))
    check_is_table(FILE, path, content)
    own = {key: value for key, value in content.items() if key not in INSIDE}
    values = read_part(name, SHAPES["robot"], path, own, {}).values
    inside = {kind: _inside(path, kind, content.get(kind, {})) for kind in INSIDE}
    return Plan(name, values, **inside)


def _inside(path, kind, content):
    """Parts, mechanisms, steps, or the steps of a closing task."""
    here = (*path, kind)
    check_is_table(FILE, here, content)
    if len(content) > MOST_OF_A_KIND:
        raise KitError(f"{place(FILE, here)} has {len(content)} entries, but at most {MOST_OF_A_KIND}; join some.")
    read = {}
    for name, values in content.items():
        _check_name(name, here)
        check_is_table(FILE, (*here, name), values)
        read[name] = (
            _mechanism((*here, name), values) if kind == "mechanisms" else _checked(kind, (*here, name), values)
        )
    return read


def _checked(kind, path, values):
    read = read_part(path[-1], SHAPES[kind], path, values, {}).values
    if kind in ("steps", "closing"):
        given = [key for key in ("human", "drive", "mechanism") if read[key] not in ("", None)]
        if len(given) != 1:
            raise KitError(
                f"{place(FILE, path)} has {' and '.join(given) or 'none of human, drive and mechanism'}, but it must "
                "have exactly one of them; it says who takes the time."
            )
    return read


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
    inputs = {key: value for key, value in values.items() if key not in ("sizing", "part")}
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
    names = [plan.name for plan in plans]
    if not names:
        raise KitError(NO_ROBOTS)
    raise KitError(f"{shown(name)} is no robot of this kit; {nearest(name, names)}")

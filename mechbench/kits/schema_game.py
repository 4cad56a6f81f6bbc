"""What may stand in game.toml: every table, key, unit, bound and line of help.

Contents: GAME (table name -> Shape); ROLES_OF_PEOPLE.
"""

from mechbench.kits.entry import LABEL, Entry, Shape, count, length, number, words

FILE = "game.toml"
INFINITE = float("inf")
LONGEST_TIME = "1 h"
# What a human step may stand for in the cycle of a robot; a step that stands for nothing is a step of its own.
ROLES_OF_PEOPLE = ("find", "line_up", "held_up", "clear_jam")
ROUND = ("cylinder", "disc", "ball")


def _size(help, of):
    return length("1 mm", "20 m", help, of=of)


def _time(help, **more):
    return Entry("time", "0 s", LONGEST_TIME, help, **more)


def _names(table, help, **more):
    return Entry("name", help=help, names=table, many=True, least=0, most=40, **more)


def _way(help):
    return length("0 m", "20 m", help)


def _points(help, **more):
    return number(0, 1000, help, **more)


GAME = {
    "game": Shape(FILE, single=True, entries={"label": LABEL}),
    "field": Shape(
        FILE,
        single=True,
        absent=True,
        entries={
            "length": length("0.5 m", "20 m", "its longer side", default=4.0),
            "width": length("0.5 m", "20 m", "its shorter side; left out: as long", default=None),
            "floor": words("what the wheels drive on", default="floor"),
            "robots_a_side": count(1, 10, "robots that play together", default=1),
            "opponents": count(0, 10, "robots on the other side", default=0),
        },
    ),
    "pieces": Shape(
        FILE,
        absent=True,
        by="shape",
        entries={
            "label": words("one piece"),
            "plural": words("more than one; left out: with an s", default=""),
            "shape": Entry("choice", help="its shape", choices=("cylinder", "disc", "ball", "box", "soft")),
            "diameter": _size("how wide it is", ROUND),
            "height": _size("how high it stands", ("cylinder", "box", "soft")),
            "thickness": _size("how high it lies", ("disc",)),
            "length": _size("its longer side, lying flat", ("box", "soft")),
            "width": _size("its shorter side, lying flat", ("box", "soft")),
            "stiffness": Entry(
                "stiffness", "0.001 N/mm", "10000 N/mm", "push for each millimetre of squeeze", default=None
            ),
            "floor_grip": number(0, 3, "coefficient of friction on the floor", default=None),
            "mass": Entry("mass", "1 g", "20 kg", "mass of one piece"),
            "count": count(1, 10_000, "how many there are; left out: as many as the places hold", default=None),
            "colours": count(1, 20, "different colours", default=1),
            "bears": Entry("force", "0.01 N", "100 kN", "force that it stands", default=None),
            "lying_share": number(0, 1, "share that lies on its side: 0.2 is one in five", default=0.0),
        },
    ),
    "places": Shape(
        FILE,
        absent=True,
        by="kind",
        entries={
            "label": LABEL,
            "kind": Entry("choice", help="what it is", choices=("open", "pen", "stack", "chute", "person")),
            "pieces": _names("pieces", "which pieces are there"),
            "counts": count(
                0, 10_000, "how many of each; left out: all of them", many=True, least=0, most=40, default=None
            ),
            "way": _way("from the middle of the field"),
            "depth": length("10 mm", "5 m", "how far a robot must reach in", default=None),
            "gap": length("10 mm", "5 m", "width of the opening", default=None),
            "height": length("0 mm", "5 m", "of the pieces over the floor", default=0.0),
        },
    ),
    "goals": Shape(
        FILE,
        absent=True,
        by="kind",
        entries={
            "label": LABEL,
            "kind": Entry("choice", help="what it is", choices=("shelf", "bin", "slot", "peg", "launch")),
            "takes": _names("pieces", "which pieces count there; left out: all", default=None),
            "height": length("0 mm", "5 m", "of its board, edge or sill over the floor"),
            "points": _points("points for one piece"),
            "way": _way("from the middle of the field"),
            "rim": length("0 mm", "1 m", "height of the small wall along its front edge", default=0.0),
            "opening": length(
                "5 mm", "5 m", "width and height of the opening", many=True, least=2, most=2, default=None
            ),
            "depth": length("1 mm", "5 m", "from the front edge to the back", default=None),
            "capacity": number(1, 10_000, "pieces that count there in one match", default=INFINITE),
            "distance": length(
                "0 m", "20 m", "nearest and furthest to launch from", many=True, least=2, most=2, of=("launch",)
            ),
        },
    ),
    "bonuses": Shape(
        FILE,
        absent=True,
        by="kind",
        entries={
            "label": words("the name that people read; left out: what it is", default=""),
            "kind": Entry("choice", help="what it is for", choices=("pair", "set", "threshold", "factor")),
            "goals": _names("goals", "where it counts; left out: everywhere", default=None),
            "points": _points("points for each pair or set, or once", of=("pair", "set", "threshold")),
            "need": count(
                1, 10_000, "pieces of a set, or from how many on", of=("set", "threshold", "factor"), default=None
            ),
            "factor": number(1, 100, "by which the points of these pieces are multiplied", of=("factor",)),
        },
    ),
    "obstacles": Shape(
        FILE,
        absent=True,
        by="kind",
        entries={
            "label": LABEL,
            "kind": Entry("choice", help="what it is", choices=("low", "ramp", "step", "line")),
            "clear_height": length("10 mm", "5 m", "from the floor to its underside", of=("low",)),
            "slope": Entry("angle", "0.1 deg", "80 deg", "how steep it is", of=("ramp",)),
            "height": length("0.1 mm", "2 m", "how high it is", of=("step", "line")),
            "way_round": length("0 m", "100 m", "how much longer the way round it is"),
            "between": words(
                "the place and the goal that it stands between",
                many=True,
                least=2,
                most=2,
                default=None,
                names="places goals",
            ),
        },
    ),
    "limits": Shape(
        FILE,
        single=True,
        absent=True,
        entries={
            "start_box": length(
                "50 mm",
                "5 m",
                "length, width and height in which the robot starts",
                many=True,
                least=3,
                most=3,
                default=(INFINITE,) * 3,
            ),
            "height": length("50 mm", "10 m", "highest point after the start", default=INFINITE),
            "level": length("50 mm", "10 m", "longest level extent after the start", default=INFINITE),
            "mass": Entry("mass", "0.1 kg", "200 kg", "highest mass of the robot", default=INFINITE),
            "motors": count(0, 100, "most motors", default=INFINITE),
            "servos": count(0, 100, "most servos", default=INFINITE),
            "drives": count(0, 200, "most motors and servos together", default=INFINITE),
            "hold": count(1, 100, "most pieces that a robot may hold at once", default=INFINITE),
        },
    ),
    "phases": Shape(
        FILE,
        by="kind",
        entries={
            "label": words("the name that people read; left out: what it is", default=""),
            "kind": Entry("choice", help="who drives", choices=("self_driving", "driven", "pause")),
            "time": _time("how long it lasts"),
            "factor": number(
                1, 100, "by which points of pieces are multiplied", of=("self_driving", "driven"), default=1.0
            ),
            "closing": _time("the last part of it, in which closing tasks count", of=("driven",), default=0.0),
        },
    ),
    "human": Shape(
        FILE,
        absent=True,
        entries={
            "label": LABEL,
            "low": _time("the quickest of many tries"),
            "likely": _time("the usual time"),
            "high": _time("the slowest of many tries"),
            "when": Entry(
                "choice", help="how often it happens", choices=("piece", "trip", "jam", "once"), default=None
            ),
            "stands_for": Entry(
                "choice", help="what it is in a cycle, if it is one of these", choices=ROLES_OF_PEOPLE, default=None
            ),
            "pieces": _names("pieces", "which pieces it is done with; left out: all", default=None),
        },
    ),
    "closing": Shape(
        FILE,
        absent=True,
        by="kind",
        entries={
            "label": LABEL,
            "kind": Entry("choice", help="what the robot must do", choices=("hang", "ramp", "zone", "place")),
            "points": _points("points for it"),
            "way": _way("from the middle of the field"),
            "instead_of": _names("closing", "tasks that it can't be scored besides", default=()),
            "bar_height": length("50 mm", "5 m", "of the bar over the floor", of=("hang",)),
            "bar_diameter": length("1 mm", "0.5 m", "of the bar", of=("hang",)),
            "clear": length("0 mm", "1 m", "least height of each wheel over the floor", of=("hang",), default=0.0),
            "judged_after": _time("from power off to the judgement", of=("hang", "ramp"), default=0.0),
            "slope": Entry("angle", "0.1 deg", "60 deg", "how steep it is", of=("ramp",)),
            "length": length("10 mm", "20 m", "of the slope", of=("ramp",), default=None),
            "clear_height": length("10 mm", "5 m", "under what stands over it", of=("ramp",), default=INFINITE),
            "goal": Entry("name", help="where the piece must be", names="goals", of=("place",)),
            "piece": Entry("name", help="which piece", names="pieces", of=("place",), default=None),
        },
    ),
}

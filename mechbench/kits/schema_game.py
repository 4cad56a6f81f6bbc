"""What may stand in game.toml: every table, key, unit, bound and line of help.

Contents: GAME (table name -> Shape); ROLES_OF_PEOPLE.
"""

from mechbench.kits.entry import LABEL, Entry, Shape, choice, count, length, number, words

FILE = "game.toml"
INFINITE = float("inf")
LONGEST_TIME = "1 h"
# What a human step may stand for in the cycle of a robot; a step that stands for nothing is a step of its own.
STANDS_FOR = {
    "find": "see the next piece and drive up to it",
    "line_up": "line up at a goal",
    "held_up": "wait for other robots",
    "clear_jam": "get something free that is stuck",
}
ROLES_OF_PEOPLE = tuple(STANDS_FOR)
ROUND = ("cylinder", "disc", "ball")


def _size(help, of):
    return length("1 mm", "20 m", help, of=of)


def _time(help, **more):
    return Entry("time", "0 s", LONGEST_TIME, help, **more)


def _names(table, help, **more):
    return Entry("name", help=help, names=table, many=True, least=0, most=40, **more)


def _points(help, **more):
    return number(0, 1000, help, **more)


WAY = length(
    "0 m",
    "20 m",
    "how far it is from the middle of the field; where the rules tell only how far pieces lie from a goal: half each",
    default=None,
    title="way from the middle",
    left_out="a quarter of the field's length",
)

GAME = {
    "game": Shape(FILE, single=True, entries={"label": words("what the game is called", title="name")}),
    "field": Shape(
        FILE,
        single=True,
        absent=True,
        entries={
            "length": length("0.5 m", "20 m", "its longer side", default=4.0, left_out="taken as 4 m"),
            "width": length("0.5 m", "20 m", "its shorter side", default=None, left_out="as long as the other"),
            "floor": words("what the wheels drive on", default="floor", left_out='called "floor"'),
            "robots_a_side": count(
                1,
                10,
                "how many robots play together, yours counted",
                default=1,
                title="robots on your side",
                left_out="1",
            ),
            "opponents": count(0, 10, "how many robots play against you at the same time", default=0, left_out="none"),
        },
    ),
    "pieces": Shape(
        FILE,
        absent=True,
        by="shape",
        entries={
            "label": words("what one piece is called", title="name"),
            "plural": words("what several of them are called", default="", title="more than one", left_out="with an s"),
            "shape": choice(
                "its shape",
                {
                    "cylinder": "round with flat ends, as a can",
                    "disc": "round and flat, as a plate or a ring",
                    "ball": "round all over",
                    "box": "six flat sides",
                    "soft": "gives way, as a bag; measured as a box",
                },
            ),
            "diameter": _size("how wide it is", ROUND),
            "height": _size("how high it stands", ("cylinder", "box", "soft")),
            "thickness": _size("how high it lies", ("disc",)),
            "length": _size("its longer side, lying flat", ("box", "soft")),
            "width": _size("its shorter side, lying flat", ("box", "soft")),
            "stiffness": Entry(
                "stiffness",
                "0.001 N/mm",
                "10000 N/mm",
                "push for each millimetre of squeeze",
                default=None,
                left_out="not known, and no sum needs it",
            ),
            "floor_grip": number(
                0,
                3,
                "coefficient of friction on the floor",
                default=None,
                left_out="not known, and no sum needs it",
            ),
            "mass": Entry("mass", "1 g", "20 kg", "mass of one piece"),
            "count": count(
                1, 10_000, "how many there are in a match", default=None, left_out="as many as the places hold"
            ),
            "colours": count(1, 20, "how many different colours they have", default=1, left_out="1"),
            "bears": Entry(
                "force",
                "0.01 N",
                "100 kN",
                "force that it stands without harm",
                default=None,
                left_out="about 25 times its own weight",
            ),
            "lying_share": number(
                0,
                1,
                "share that lies on its side: 0.2 is one in five",
                default=0.0,
                title="share that lies",
                left_out="none lies",
            ),
        },
    ),
    "places": Shape(
        FILE,
        absent=True,
        by="kind",
        entries={
            "label": LABEL,
            "kind": choice(
                "what it is",
                {
                    "open": "pieces stand or lie free",
                    "pen": "walls around: a robot reaches in through an opening",
                    "stack": "one piece on another",
                    "chute": "pieces come down a slide or a tube",
                    "person": "somebody hands the pieces over",
                },
            ),
            "pieces": _names("pieces", "which pieces are there"),
            "counts": count(
                0,
                10_000,
                "how many of each piece, in the same order",
                many=True,
                least=0,
                most=40,
                default=None,
                title="how many there",
                left_out="all of them",
            ),
            "way": WAY,
            "depth": length(
                "10 mm", "5 m", "how far a robot must reach in, from the opening to the back", default=None
            ),
            "gap": length(
                "10 mm",
                "5 m",
                "how wide the opening is through which a robot reaches in",
                default=None,
                title="opening",
                left_out="as wide as one likes",
            ),
            "height": length("0 mm", "5 m", "of the pieces over the floor", default=0.0, left_out="on the floor"),
        },
    ),
    "goals": Shape(
        FILE,
        absent=True,
        by="kind",
        entries={
            "label": LABEL,
            "kind": choice(
                "what it is",
                {
                    "shelf": "a board: pieces are put on it",
                    "bin": "a box or tray that is open at the top: pieces are dropped in",
                    "slot": "a hole in a wall: pieces are pushed through",
                    "peg": "a rod: pieces are put over it",
                    "launch": "pieces are thrown into it from afar",
                },
            ),
            "takes": _names("pieces", "which pieces count there", default=None, title="pieces", left_out="all"),
            "height": length(
                "0 mm", "5 m", "over the floor: of a shelf's board, a bin's upper edge, a hole's lower edge"
            ),
            "points": _points("points for one piece"),
            "way": WAY,
            "rim": length(
                "0 mm",
                "1 m",
                "height of the small wall along its front edge, over which a piece must be lifted",
                default=0.0,
                title="edge",
                left_out="no such wall",
            ),
            "opening": length(
                "5 mm",
                "5 m",
                "width and height of the opening",
                many=True,
                least=2,
                most=2,
                default=None,
                left_out="wide enough",
            ),
            "depth": length("1 mm", "5 m", "from the front edge to the back", default=None, left_out="deep enough"),
            "capacity": number(
                1,
                10_000,
                "how many pieces of one robot count there in a match; of what robots share, one robot's part",
                default=INFINITE,
                title="most for one robot",
                left_out="no limit",
            ),
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
            "label": words("the name that people read; left out: what it is", default="", title="name"),
            "kind": choice(
                "what it is for",
                {
                    "pair": "two pieces of one colour that touch",
                    "set": "so many pieces of different colours in one goal",
                    "threshold": "points once, from so many pieces on",
                    "each": "points for each so many pieces, again and again",
                    "factor": "from so many pieces on, their points are multiplied",
                },
            ),
            "goals": _names("goals", "in which goals it counts", default=None, left_out="all"),
            "points": _points(
                "points more for each pair or set, for each so many pieces, or once",
                of=("pair", "set", "threshold", "each"),
            ),
            "need": count(
                1,
                10_000,
                "pieces of a set, for each how many, or from how many on",
                of=("set", "threshold", "each", "factor"),
                default=None,
                title="pieces needed",
                left_out="one of each colour",
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
            "kind": choice(
                "what it is",
                {
                    "low": "you drive under it",
                    "ramp": "you drive up a slope",
                    "step": "you drive over it, and the wheels must climb, as over a board, a bump or a hose",
                    "line": "you drive over it, and every robot can, as over a tape or a thin cable",
                },
            ),
            "clear_height": length(
                "10 mm", "5 m", "from the floor to its underside", of=("low",), title="room under it"
            ),
            "slope": Entry("angle", "0.1 deg", "80 deg", "how steep it is", of=("ramp",)),
            "height": length("0.1 mm", "2 m", "how high it is", of=("step", "line")),
            "way_round": length(
                "0 m",
                "100 m",
                "how much longer the way round it is",
                default=None,
                left_out="there is none: a robot must pass it",
            ),
            "between": words(
                "the place and the goal that it stands between",
                many=True,
                least=2,
                most=2,
                default=None,
                names="places goals",
                left_out="between all of them",
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
                "length, width and height in which the robot must fit at the start",
                many=True,
                least=3,
                most=3,
                default=(INFINITE,) * 3,
                left_out="no limit",
            ),
            "height": length("50 mm", "10 m", "highest point after the start", default=INFINITE, left_out="no limit"),
            "level": length(
                "50 mm",
                "10 m",
                "how long or wide the robot may get after the start, seen from above, the longer of the two",
                default=INFINITE,
                title="length or width",
                left_out="no limit",
            ),
            "mass": Entry(
                "mass", "0.1 kg", "200 kg", "highest mass of the robot", default=INFINITE, left_out="no limit"
            ),
            "motors": count(0, 100, "most motors, servos not counted", default=INFINITE, left_out="no limit"),
            "servos": count(0, 100, "most servos", default=INFINITE, left_out="no limit"),
            "drives": count(
                0,
                200,
                "most motors and servos together",
                default=INFINITE,
                title="motors and servos",
                left_out="no limit",
            ),
            "hold": count(
                1,
                100,
                "most pieces that a robot may hold at once",
                default=INFINITE,
                title="pieces held",
                left_out="no limit",
            ),
        },
    ),
    "phases": Shape(
        FILE,
        by="kind",
        entries={
            "label": words("the name that people read; left out: what it is", default="", title="name"),
            "kind": choice(
                "who drives",
                {"self_driving": "the robot drives by itself", "driven": "people drive", "pause": "nothing counts"},
            ),
            "time": _time("how long it lasts"),
            "factor": number(
                1,
                100,
                "by which points of pieces are multiplied: double is 2",
                of=("self_driving", "driven"),
                default=1.0,
                title="points times",
                left_out="not multiplied",
            ),
            "closing": _time(
                "the last seconds of it, in which closing tasks count: what a robot may do at the end, such as hang",
                of=("driven",),
                default=0.0,
                title="closing time",
                left_out="none",
            ),
        },
    ),
    "human": Shape(
        FILE,
        absent=True,
        entries={
            "label": LABEL,
            "low": _time("the quickest of many tries", title="quickest"),
            "likely": _time("the time that it takes as a rule", title="usual time"),
            "high": _time("the slowest of many tries", title="slowest"),
            "when": choice(
                "how often it happens",
                {
                    "piece": "for each piece",
                    "trip": "each time on the way to a goal",
                    "jam": "each time something is stuck",
                    "once": "once in a match",
                },
                default=None,
                left_out="trip, or as usual for what is done",
            ),
            "stands_for": choice(
                "which of these it is, in a cycle: the way to pieces, to a goal and back",
                STANDS_FOR,
                default=None,
                title="what is done",
                left_out="something else",
            ),
            "pieces": _names("pieces", "which pieces it is done with", default=None, left_out="all"),
        },
    ),
    "closing": Shape(
        FILE,
        absent=True,
        by="kind",
        entries={
            "label": LABEL,
            "kind": choice(
                "what the robot must do",
                {
                    "hang": "hold on to a bar, off the floor",
                    "ramp": "stand on a slope",
                    "zone": "stand in a marked place",
                    "place": "put a piece into a certain goal, or a place of its own",
                },
            ),
            "points": _points("points for it"),
            "way": WAY,
            "instead_of": _names(
                "closing",
                "tasks that can't be scored in the same match as this one",
                default=(),
                title="instead of",
                left_out="besides all others",
            ),
            "bar_height": length("50 mm", "5 m", "of the bar over the floor", of=("hang",)),
            "bar_diameter": length("1 mm", "0.5 m", "of the bar", of=("hang",)),
            "clear": length(
                "0 mm",
                "1 m",
                "least height of each wheel over the floor",
                of=("hang",),
                default=0.0,
                title="wheels over the floor",
                left_out="just off the floor",
            ),
            "judged_after": _time(
                "how long after the motors go off it is judged: so long the robot must stay there without power",
                of=("hang", "ramp"),
                default=0.0,
                title="judged later",
                left_out="at once",
            ),
            "slope": Entry("angle", "0.1 deg", "60 deg", "how steep it is", of=("ramp",)),
            "length": length("10 mm", "20 m", "of the slope", of=("ramp",), default=None, left_out="long enough"),
            "clear_height": length(
                "10 mm",
                "5 m",
                "under what stands over it",
                of=("ramp",),
                default=INFINITE,
                title="room over it",
                left_out="nothing stands over it",
            ),
            "goal": Entry(
                "name",
                help="where the piece must be",
                names="goals",
                of=("place",),
                default=None,
                left_out="in a place of its own, no goal",
            ),
            "height": length(
                "0 mm",
                "5 m",
                "of that place over the floor, where it is no goal",
                of=("place",),
                default=None,
                later=True,
                left_out="not known, and no sum needs it",
            ),
            "piece": Entry("name", help="which piece", names="pieces", of=("place",), default=None, left_out="any"),
        },
    ),
}

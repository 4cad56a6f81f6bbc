"""What may stand in a kit's files: every table, key, unit, bound and line of help, in this one place.

Contents: Entry (one key), Shape (one table), SHAPES (all tables by name), FILES (which file holds which table).

The kinds of an entry:

- a kind of quantity ("length", "torque" ...): text with a unit, read by `mechbench.quantity`; bounds are such texts
- "number", "count": a plain number, a whole number
- "words": text for people; "choice": one of `choices`; "pair": the name of a friction pair
"""

from dataclasses import dataclass, field

REQUIRED = object()

REQUIRED_PAIRS = ("piece_on_floor", "piece_on_plastic", "piece_on_piece", "jaw_on_piece", "slide_rail", "wheel_rolling")
HUMAN_STEPS = ("find", "line_up", "held_up", "clear_jam")
SPREADS = ("mass", "friction", "efficiency")
PEOPLE = {"people": {"down": 0.1, "up": 0.25}}  # a spread that a kit may leave out
PLAIN = ("number", "count", "words", "choice", "pair")


@dataclass(frozen=True)
class Entry:
    """One key of a table: its kind, its bounds (both allowed), its help and its value when it is left out.

    With `many` it is a list of `least` to `most` such values, that must "rise" or "fall" where `order` says so.
    """

    kind: str
    low: object = None
    high: object = None
    help: str = ""
    default: object = REQUIRED
    choices: tuple = ()
    many: bool = False
    least: int = 1
    most: int = 60
    order: str = ""

    @property
    def is_quantity(self):
        """True where the value is text with a unit."""
        return self.kind not in PLAIN


@dataclass(frozen=True)
class Shape:
    """One table: `single` holds its keys itself (a record), else it holds parts that each have these keys.

    `expand` names the key whose list makes one part for each of its values, `expanded` how such a part is labelled.
    `must_have` names parts that have to be there; with `only` there may be no others but those of `may_have`.
    """

    file: str
    entries: dict = field(default_factory=dict)
    single: bool = False
    expand: str = ""
    expanded: str = ""
    must_have: tuple = ()
    may_have: tuple = ()
    only: bool = False


def _number(low, high, help, **more):
    return Entry("number", low, high, help, **more)


def _count(low, high, help, **more):
    return Entry("count", low, high, help, **more)


def _share(help, **more):
    return Entry("number", 0.01, 1, help, **more)


def _words(help, **more):
    return Entry("words", help=help, **more)


def _pair(help):
    return Entry("pair", help=help)


LABEL = _words("the name that people read")
MASS = Entry("mass", "0.1 g", "100 kg", "its mass")
MAY_LACK = {"default": None}  # what a label need not print: assumed where a rule is known, else not known
EFFICIENCY = Entry("number", 0.05, 1, "share of the power that gets through when the motor drives")
PLAY = Entry("length", "0 mm", "5 mm", "play at the pitch circle")
TEETH = _count(6, 400, "numbers of teeth, one part for each", order="rise", many=True)
MASS_OF_20 = Entry("mass", "0.01 g", "5 kg", "mass of a wheel of 20 teeth")
VOLTAGE = Entry("voltage", "1 V", "60 V", "voltage of the nameplate")
STALL_TORQUE = Entry("torque", "0.1 mN·m", "100 N·m", "torque when held still")
STALL_CURRENT = Entry("current", "0.01 A", "1000 A", "current when held still")

GAME = {
    "game": Shape("game.toml", single=True, entries={"label": LABEL}),
    "field": Shape(
        "game.toml",
        single=True,
        entries={
            "width": Entry("length", "0.5 m", "100 m", "one side of the square field"),
            "floor": _words("what the wheels drive on"),
            "robots_a_side": _count(1, 10, "robots of one alliance"),
        },
    ),
    "piece": Shape(
        "game.toml",
        single=True,
        entries={
            "label": _words("one piece"),
            "plural": _words("more than one piece"),
            "shape": Entry("choice", help="shape of a piece", choices=("cylinder", "ball", "box")),
            "diameter": Entry("length", "5 mm", "1 m", "how wide it is"),
            "height": Entry("length", "5 mm", "1 m", "how high it stands"),
            "mass": Entry("mass", "1 g", "20 kg", "mass of one piece"),
            "colours": _count(1, 20, "different label colours"),
            "count": _count(1, 10_000, "pieces on the field at the start"),
            "fallen_share": _number(0, 1, "share that lies on its side"),
        },
    ),
    "pens": Shape(
        "game.toml",
        single=True,
        entries={
            "count": _count(0, 100, "corners with pieces in them"),
            "depth": Entry("length", "10 mm", "5 m", "how far a robot must reach in"),
            "gap": Entry("length", "10 mm", "5 m", "width of the opening"),
        },
    ),
    "shelves": Shape(
        "game.toml",
        entries={
            "label": LABEL,
            "height": Entry("length", "0 mm", "5 m", "of the board over the floor"),
            "depth": Entry("length", "10 mm", "5 m", "from the front edge to the wall"),
            "lip": Entry("length", "0 mm", "1 m", "height of the small wall along the front edge"),
            "points": _number(0, 1000, "points for one piece"),
            "capacity": _number(1, 10_000, "pieces that count in one match", default=float("inf")),
        },
    ),
    "bonus": Shape(
        "game.toml",
        single=True,
        entries={
            "same_colour_pair": _number(0, 1000, "points more for two touching pieces of one colour"),
            "self_driving_factor": _number(1, 100, "factor on points scored in the self-driving time"),
        },
    ),
    "beam": Shape(
        "game.toml",
        single=True,
        entries={
            "clear_height": Entry("length", "10 mm", "5 m", "from the floor to the underside of the low beam"),
            "way_round": Entry("length", "0 m", "100 m", "how much longer the way around it is"),
        },
    ),
    "possession": Shape("game.toml", single=True, entries={"limit": _count(1, 100, "pieces a robot may hold at once")}),
    "robot": Shape(
        "game.toml",
        single=True,
        entries={
            "start_cube": Entry("length", "50 mm", "5 m", "edge of the cube in which the robot starts"),
            "height_limit": Entry("length", "50 mm", "10 m", "highest point after the start"),
            "level_limit": Entry("length", "50 mm", "10 m", "longest level extent after the start"),
            "mass_limit": Entry("mass", "0.1 kg", "200 kg", "highest mass of the robot"),
            "motors": _count(1, 100, "most motors"),
            "servos": _count(0, 100, "most servos"),
        },
    ),
    "match": Shape(
        "game.toml",
        single=True,
        entries={
            "self_driving": Entry("time", "0 s", "1 h", "how long the robot drives itself"),
            "driven": Entry("time", "1 s", "1 h", "how long people drive it"),
            "closing": Entry("time", "0 s", "1 h", "the last part of the driven time"),
        },
    ),
    "closing": Shape(
        "game.toml",
        single=True,
        entries={
            "bar_diameter": Entry("length", "1 mm", "0.5 m", "of the bar to hang from"),
            "bar_height": Entry("length", "50 mm", "5 m", "of the bar over the floor"),
            "wheels_clear": Entry("length", "0 mm", "1 m", "least height of each wheel over the floor"),
            "judged_after": Entry("time", "0 s", "1 h", "time from power-off to the judgement"),
            "hang_points": _number(0, 1000, "points for hanging"),
            "park_points": _number(0, 1000, "points for parking"),
        },
    ),
    "human": Shape(
        "game.toml",
        must_have=HUMAN_STEPS,
        only=True,
        entries={
            "label": LABEL,
            "low": Entry("time", "0 s", "1 h", "the quickest of many tries"),
            "likely": Entry("time", "0 s", "1 h", "the usual time"),
            "high": Entry("time", "0 s", "1 h", "the slowest of many tries"),
        },
    ),
}

DRIVES = {
    "motors": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "frame": Entry(
                "choice", help="which torque limits of the gearboxes hold", choices=("small", "large"), default="small"
            ),
            "voltage": VOLTAGE,
            "free_speed": Entry("turning-speed", "10 rpm", "100000 rpm", "speed without load"),
            "free_current": Entry("current", "1 mA", "100 A", "current without load", **MAY_LACK),
            "stall_torque": STALL_TORQUE,
            "stall_current": STALL_CURRENT,
            "rotor_inertia": Entry("inertia", "1e-9 kg·m2", "0.1 kg·m2", "of the rotor, at its own shaft", **MAY_LACK),
            "heat_capacity": Entry(
                "heat-capacity", "0.1 J/K", "10000 J/K", "heat that warms the winding by one kelvin", **MAY_LACK
            ),
            "thermal_resistance": Entry(
                "thermal-resistance", "0.01 K/W", "1000 K/W", "how much warmer than the air for one watt", **MAY_LACK
            ),
            "max_rise": Entry(
                "temperature-difference", "5 K", "300 K", "how much warmer than the air it may be", **MAY_LACK
            ),
            "copper_coefficient": Entry(
                "temperature-coefficient", "0 %/K", "1 %/K", "growth of its resistance for one kelvin", **MAY_LACK
            ),
            "counts_per_turn": _number(1, 1_000_000, "encoder counts in one turn of the motor's own shaft", **MAY_LACK),
            "shaft_diameter": Entry("length", "1 mm", "100 mm", "of the output shaft", **MAY_LACK),
            "mass": Entry("mass", "0.1 g", "100 kg", "of the motor without gearbox", **MAY_LACK),
        },
    ),
    "gearboxes": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "stages": _number(1, 100, "ratio of each stage", many=True, most=6),
            "efficiency_per_stage": EFFICIENCY,
            "backlash": Entry("angle", "0 deg", "30 deg", "play of the output shaft"),
            "allowed_small": Entry(
                "torque", "0.001 N·m", "10000 N·m", "highest output torque with a small motor", **MAY_LACK
            ),
            "allowed_large": Entry(
                "torque", "0.001 N·m", "10000 N·m", "highest output torque with a large motor", **MAY_LACK
            ),
            "overhung_load": Entry("force", "1 N", "100 kN", "highest sideways pull on the output shaft"),
            "overhang": Entry("length", "1 mm", "1 m", "where that pull may act, from the gearbox"),
            "mass_per_stage": Entry("mass", "0.1 g", "10 kg", "mass of one stage, without motor"),
        },
    ),
    "servos": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "voltage": VOLTAGE,
            "stall_torque": STALL_TORQUE,
            "stall_current": STALL_CURRENT,
            "time_per_60_deg": Entry("time", "5 ms", "10 s", "time to turn 60 degrees without load", default=None),
            "free_speed": Entry(
                "turning-speed", "1 rpm", "10000 rpm", "speed without load, if it turns without end", default=None
            ),
            "travel": Entry("angle", "10 deg", "3600 deg", "from end to end", default=None),
            "holding_share": _share("share of the stall torque that it can hold for long"),
            "play": Entry("angle", "0 deg", "20 deg", "at the output shaft"),
            "mass": MASS,
        },
    ),
    "servo_rail": Shape(
        "parts.toml",
        single=True,
        entries={
            "voltage": VOLTAGE,
            "current_limit": Entry("current", "0.1 A", "1000 A", "for all servos together"),
            "pair_limit": Entry(
                "current", "0.1 A", "1000 A", "for two servos that share one output; left out: 1000 A", default=1000.0
            ),
            "efficiency": Entry(
                "number",
                0.3,
                1,
                "share of the battery's power that comes out of the converter; 0.85 is common practice",
                default=0.85,
            ),
        },
    ),
}

TRAINS = {
    "spur_gears": Shape(
        "parts.toml",
        expand="teeth",
        expanded="{label}, {value} teeth",
        entries={
            "label": LABEL,
            "module": Entry("length", "0.1 mm", "20 mm", "pitch diameter over number of teeth"),
            "face": Entry("length", "0.5 mm", "200 mm", "width of the teeth"),
            "teeth": TEETH,
            "allowed_on_20": Entry("torque", "0.001 N·m", "10000 N·m", "highest torque on a wheel of 20 teeth"),
            "efficiency": EFFICIENCY,
            "play": PLAY,
            "mass_of_20": MASS_OF_20,
        },
    ),
    "bevel_gears": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "ratio": _number(1, 20, "turns of the small wheel for one turn of the large one"),
            "small_diameter": Entry("length", "2 mm", "1 m", "pitch diameter of the small wheel"),
            "allowed": Entry("torque", "0.001 N·m", "10000 N·m", "highest torque on the small wheel"),
            "efficiency": EFFICIENCY,
            "play": PLAY,
            "mass": MASS,
        },
    ),
    "pulleys": Shape(
        "parts.toml",
        expand="teeth",
        expanded="{label}, {value} teeth",
        entries={
            "label": LABEL,
            "pitch": Entry("length", "0.5 mm", "50 mm", "from tooth to tooth"),
            "width": Entry("length", "1 mm", "200 mm", "of the belt"),
            "teeth": TEETH,
            "working_load": Entry("force", "1 N", "100 kN", "highest pull in the belt"),
            "efficiency": EFFICIENCY,
            "play": PLAY,
            "mass_of_20": MASS_OF_20,
        },
    ),
    "sprockets": Shape(
        "parts.toml",
        expand="teeth",
        expanded="{label}, {value} teeth",
        entries={
            "label": LABEL,
            "pitch": Entry("length", "1 mm", "100 mm", "from link to link"),
            "teeth": TEETH,
            "working_load": Entry("force", "1 N", "1000 kN", "highest pull in the chain"),
            "efficiency": EFFICIENCY,
            "play": PLAY,
            "mass_of_20": MASS_OF_20,
        },
    ),
}

MECHANISMS = {
    "friction": Shape(
        "parts.toml",
        must_have=REQUIRED_PAIRS,
        entries={
            "label": LABEL,
            "value": _number(0, 3, "coefficient of friction: force that makes it slide over force that presses"),
        },
    ),
    "wheels": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "kind": Entry("choice", help="how it grips sideways", choices=("traction", "omni", "mecanum")),
            "diameter": Entry("length", "10 mm", "1 m", "diameter"),
            "width": Entry("length", "1 mm", "0.5 m", "width"),
            "mass": MASS,
            "stiffness": Entry("stiffness", "0.01 N/mm", "100000 N/mm", "push for each millimetre of squeeze"),
            "along": _pair("friction pair ahead"),
            "across": _pair("friction pair sideways"),
            "rolling": _pair("friction pair of rolling resistance"),
        },
    ),
    "rollers": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "diameter": Entry("length", "5 mm", "1 m", "diameter"),
            "length": Entry("length", "5 mm", "3 m", "length"),
            "stiffness": Entry("stiffness", "0.01 N/mm", "100000 N/mm", "push for each millimetre of squeeze"),
            "grip": _pair("friction pair with the piece"),
            "mass": MASS,
        },
    ),
    "slides": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "stage_length": Entry("length", "20 mm", "3 m", "length of one stage"),
            "stage_travel": Entry("length", "10 mm", "3 m", "how far one stage slides out"),
            "stage_mass": Entry("mass", "1 g", "50 kg", "mass of one moving stage, both sides"),
            "fewest": _count(1, 20, "fewest stages"),
            "most": _count(1, 20, "most stages"),
            "drag": Entry("force", "0 N", "1 kN", "friction of one stage without load"),
            "rail": _pair("friction pair of the slide under load"),
        },
    ),
    "cords": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "diameter": Entry("length", "0.2 mm", "30 mm", "diameter"),
            "breaking_strength": Entry("force", "10 N", "1000 kN", "least pull that breaks it"),
            "stretch_at_break": _number(0.001, 1, "stretch at break, as a share of its length"),
            "knot_keeps": _share("share of the strength that is left at a knot"),
        },
    ),
    "spools": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "diameter": Entry("length", "2 mm", "1 m", "of the bare core"),
            "width": Entry("length", "1 mm", "1 m", "between the flanges"),
            "flange_diameter": Entry("length", "3 mm", "2 m", "of the rim that keeps the cord on"),
            "mass": MASS,
        },
    ),
    "ratchets": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "torque": Entry("torque", "0.01 N·m", "10000 N·m", "highest torque that it holds"),
            "mass": MASS,
        },
    ),
    "extension_springs": Shape(
        "parts.toml",
        expand="free_length",
        expanded="{label}, {value}",
        entries={
            "label": LABEL,
            "rate": Entry("stiffness", "0.001 N/mm", "1000 N/mm", "more force for each millimetre of stretch"),
            "free_length": Entry(
                "length", "5 mm", "2 m", "lengths without load, one part for each", order="rise", many=True
            ),
            "initial_tension": Entry("force", "0 N", "1 kN", "force at which it starts to open"),
            "stretch_to": _number(1.01, 20, "longest allowed length over the free length"),
            "mass": MASS,
        },
    ),
    "constant_springs": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "force": Entry("force", "0.1 N", "10 kN", "its pull, the same everywhere"),
            "travel": Entry("length", "10 mm", "10 m", "how far it can be pulled out"),
            "mass": MASS,
        },
    ),
}

ELECTRICITY = {
    "kit": Shape("parts.toml", single=True, entries={"label": LABEL}),
    "battery": Shape(
        "parts.toml",
        single=True,
        entries={
            "label": LABEL,
            "nominal": Entry("voltage", "1 V", "60 V", "the voltage in its name"),
            "capacity": Entry("charge", "0.05 A·h", "1000 A·h", "what it gives from full to empty"),
            "open_circuit": Entry("voltage", "1 V", "80 V", "full, with nothing switched on"),
            "open_circuit_empty": Entry("voltage", "1 V", "80 V", "near empty, with nothing switched on"),
            "resistance": Entry("resistance", "0.1 mohm", "10 ohm", "inside it, with wiring"),
            "resistance_worn": Entry("resistance", "0.1 mohm", "10 ohm", "the same on the worst of the bad days"),
            "mass": MASS,
        },
    ),
    "fuse": Shape(
        "parts.toml",
        single=True,
        entries={
            "rating": Entry("current", "0.1 A", "1000 A", "rated current"),
            "holds": _number(0.1, 2, "current over rating that it carries for ever"),
            "ratio": _number(0.1, 100, "currents over rating", order="rise", many=True, least=2),
            "time": Entry(
                "time", "1 ms", "10 h", "until the slowest of its type melts", order="fall", many=True, least=2
            ),
            "time_quick": Entry(
                "time",
                "1 ms",
                "10 h",
                "until the quickest melts; left out: as time",
                default=None,
                order="fall",
                many=True,
                least=2,
            ),
        },
    ),
    "controller": Shape(
        "parts.toml",
        single=True,
        entries={
            "output_limit": Entry("current", "0.1 A", "1000 A", "highest current of one motor output"),
            "electronics": Entry(
                "current", "0 A", "20 A", "of controllers, sensors and radio, all the time", default=0.0
            ),
            "loop_time": Entry("time", "0.1 ms", "1 s", "how often the program looks and acts"),
            "reset_level": Entry("voltage", "0.5 V", "60 V", "battery voltage below which the electronics restart"),
            "pace": Entry(
                "number", 0.1, 1, "how quick a planned move is, as a share of the quickest possible", default=1.0
            ),
            "settle": Entry("time", "0 s", "5 s", "after a move, until it rests and the program goes on", default=0.0),
        },
    ),
    "spreads": Shape(
        "parts.toml",
        must_have=SPREADS,
        may_have=tuple(PEOPLE),
        only=True,
        entries={
            "down": _number(0, 0.9, "how far below the number the real thing may be, as a share of it"),
            "up": _number(0, 2, "how far above, as a share of it"),
        },
    ),
}

SHAPES = {**GAME, **DRIVES, **TRAINS, **MECHANISMS, **ELECTRICITY}

# A file that is not required may be missing from the folder.
FILES = {"game.toml": True, "parts.toml": True}

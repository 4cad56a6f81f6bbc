"""What may stand in a kit's files: every table, key, unit, bound and line of help, in this one place.

Contents: SHAPES (all tables by name), FILES (which file holds which table). What an Entry and a Shape are: entry.py;
the tables of game.toml: schema_game.py.
"""

import math
from dataclasses import replace

from mechbench.kits.entry import LABEL, REQUIRED, Entry, Shape
from mechbench.kits.entry import choice as _choice
from mechbench.kits.entry import count as _count
from mechbench.kits.entry import number as _number
from mechbench.kits.entry import share as _share
from mechbench.kits.schema_game import GAME, ROLES_OF_PEOPLE

__all__ = ["FILES", "GAME", "PEOPLE", "REQUIRED", "ROLES_OF_PEOPLE", "SHAPES", "Entry", "Shape"]

REQUIRED_PAIRS = ("piece_on_floor", "piece_on_plastic", "piece_on_piece", "jaw_on_piece", "slide_rail", "wheel_rolling")
SPREADS = ("mass", "friction", "efficiency")
# Tables of which a team may have nothing: what a course needs of the others is the course's own.
MAY_BE_EMPTY = (
    "gearboxes",
    "spur_gears",
    "bevel_gears",
    "pulleys",
    "sprockets",
    "ratchets",
    "extension_springs",
    "constant_springs",
)
# Tables that [kit] may name in `without`. Of the last ones the lessons need a part: the course's own stays there.
MAY_BE_WITHOUT = (*MAY_BE_EMPTY, "rollers", "slides", "cords", "spools")
PEOPLE = {"people": {"down": 0.1, "up": 0.25}}  # a spread that a kit may leave out

# What few labels give: common practice, no source.
WHEEL_STIFFNESS, HOLDING_SHARE, SERVO_PLAY = 5e4, 0.35, math.radians(1.2)  # N/m, share of stall, rad
STAGE_MASS, STAGE_EFFICIENCY, LOOP_TIME = 0.04, 0.9, 0.02  # kg, share, s
WHEEL_EFFICIENCY, GEAR_PLAY, BELT_PLAY, CHAIN_PLAY = 0.92, 0.15e-3, 0.1e-3, 0.4e-3  # share, m
KNOT_KEEPS = 0.5  # share
# Friction pairs ahead and sideways of a wheel that names none, by its kind: those of the course's own kit.
PAIRS_OF_KIND = {
    "traction": ("traction_on_floor", "traction_on_floor"),
    "omni": ("omni_along", "omni_across"),
    "mecanum": ("mecanum_along", "mecanum_across"),
}
MASS = Entry("mass", "0.1 g", "100 kg", "its mass")
ASSUMED = "assumed; what rests on it says so"
PAIR_OF_JAWS = "jaw_on_piece"
MAY_LACK = {"default": None}  # what a label need not print: assumed where a rule is known, else not known
BACKLASH = Entry(
    "angle",
    "0 deg",
    "30 deg",
    "play of the output shaft: how far it turns by hand, from stop to stop, with the motor held",
    default=math.radians(3),
    title="play",
    left_out="3 deg (usual; measure yours)",
)
EFFICIENCY = Entry(
    "number",
    0.05,
    1,
    "share of the power that gets through when the motor drives",
    default=WHEEL_EFFICIENCY,
    title="efficiency",
    left_out="92 % (usual; measure yours)",
)


def _play(metres):
    """Play of toothed wheels, where nobody measured it."""
    left_out = f"{1000 * metres:g} mm (usual; measure yours)"
    return Entry("length", "0 mm", "5 mm", "play at the pitch circle", default=metres, left_out=left_out)


TEETH = _count(6, 400, "numbers of teeth, one part for each", order="rise", many=True)
MASS_OF_20 = Entry(
    "mass",
    "0.01 g",
    "5 kg",
    "mass of a wheel of 20 teeth",
    **MAY_LACK,
    left_out="that of an aluminium disc of its size",
)
VOLTAGE = Entry("voltage", "1 V", "60 V", "voltage of the nameplate, at which its other figures hold")
STALL_TORQUE = Entry("torque", "0.1 mN·m", "100 N·m", "torque when held still")
STALL_CURRENT = Entry("current", "0.01 A", "1000 A", "current when held still")

HAVE = _count(
    1, 1000, "how many of them the team has", default=None, later=True, title="how many", left_out="enough of them"
)

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
            "free_current": Entry(
                "current", "1 mA", "100 A", "current without load", **MAY_LACK, left_out="4 % of the stall current"
            ),
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
            "mass": Entry("mass", "0.1 g", "100 kg", "of the motor without gearbox", **MAY_LACK, left_out=ASSUMED),
            "have": HAVE,
        },
    ),
    "gearboxes": Shape(
        "parts.toml",
        absent=True,
        entries={
            "label": LABEL,
            "stages": _number(1, 100, "ratio of each stage, one after the other; they multiply", many=True, most=6),
            "efficiency_per_stage": replace(
                EFFICIENCY,
                title="efficiency of a stage",
                default=STAGE_EFFICIENCY,
                left_out="90 % (usual; measure yours)",
            ),
            "backlash": BACKLASH,
            "allowed_small": Entry(
                "torque",
                "0.001 N·m",
                "10000 N·m",
                "highest output torque with a small motor; a motor is small unless its frame says large",
                **MAY_LACK,
                title="allowed torque",
                left_out=ASSUMED,
            ),
            "allowed_large": Entry(
                "torque", "0.001 N·m", "10000 N·m", "highest output torque with a large motor", **MAY_LACK
            ),
            "overhung_load": Entry("force", "1 N", "100 kN", "highest sideways pull on the output shaft", **MAY_LACK),
            "overhang": Entry("length", "1 mm", "1 m", "where that pull may act, from the gearbox", **MAY_LACK),
            "mass_per_stage": Entry(
                "mass",
                "0.1 g",
                "10 kg",
                "mass of one stage, without motor",
                default=STAGE_MASS,
                title="mass of a stage",
                left_out="40 g (usual; measure yours)",
            ),
            "have": HAVE,
        },
    ),
    "gearmotors": Shape(
        "parts.toml",
        absent=True,
        rows_of=("motors", "gearboxes"),
        entries={
            "label": LABEL,
            "voltage": VOLTAGE,
            "output_speed": Entry(
                "turning-speed",
                "0.1 rpm",
                "100000 rpm",
                "speed of the output shaft without load",
                default=None,
                left_out="not printed",
            ),
            "output_stall": Entry(
                "torque", "0.1 mN·m", "10000 N·m", "torque of the output shaft when held still", default=None
            ),
            "stall_current": Entry("current", "0.01 A", "1000 A", "current when held still", default=None),
            "free_current": Entry(
                "current",
                "1 mA",
                "100 A",
                "current without load",
                default=None,
                left_out="4 % of the stall current",
            ),
            "torques": Entry(
                "torque",
                "0 N·m",
                "10000 N·m",
                "torque of the output shaft at two loads, instead of output_speed, output_stall and stall_current",
                default=None,
                many=True,
                least=2,
                most=2,
                order="rise",
            ),
            "speeds": Entry(
                "turning-speed",
                "0 rpm",
                "100000 rpm",
                "speed of the output shaft at these two loads",
                default=None,
                many=True,
                least=2,
                most=2,
                order="fall",
            ),
            "currents": Entry(
                "current",
                "0 A",
                "1000 A",
                "current at these two loads",
                default=None,
                many=True,
                least=2,
                most=2,
                order="rise",
            ),
            "ratio": _number(
                1, 10_000, "turns of the motor for one turn of the output shaft", default=None, left_out="not printed"
            ),
            "counts_per_turn": _number(
                1, 10_000_000, "encoder counts in one turn of the shaft named in counts_at", default=None
            ),
            "counts_at": Entry(
                "choice",
                help="which shaft counts_per_turn is of: motor (in front of the gears) or output",
                choices=("motor", "output"),
                default=None,
            ),
            "allowed": Entry(
                "torque",
                "0.001 N·m",
                "10000 N·m",
                "highest torque of the output shaft that its maker allows",
                default=None,
                title="allowed torque",
                left_out="up to its stall torque, which it may not stand",
            ),
            "backlash": BACKLASH,
            "overhung_load": Entry("force", "1 N", "100 kN", "highest sideways pull on the output shaft", default=None),
            "overhang": Entry("length", "1 mm", "1 m", "where that pull may act, from the gears", default=None),
            "rotor_inertia": Entry(
                "inertia", "1e-9 kg·m2", "0.1 kg·m2", "of the rotor, at the motor's own shaft", default=None
            ),
            "heat_capacity": Entry(
                "heat-capacity", "0.1 J/K", "10000 J/K", "heat that warms the winding by one kelvin", default=None
            ),
            "thermal_resistance": Entry(
                "thermal-resistance",
                "0.01 K/W",
                "1000 K/W",
                "how much warmer than the air for one watt",
                default=None,
            ),
            "max_rise": Entry(
                "temperature-difference", "5 K", "300 K", "how much warmer than the air it may be", default=None
            ),
            "copper_coefficient": Entry(
                "temperature-coefficient",
                "0 %/K",
                "1 %/K",
                "growth of its resistance for one kelvin",
                default=None,
            ),
            "shaft_diameter": Entry("length", "1 mm", "100 mm", "of the output shaft", default=None),
            "mass": Entry(
                "mass", "0.1 g", "100 kg", "mass of the whole: motor and gears", default=None, left_out=ASSUMED
            ),
            "have": HAVE,
        },
    ),
    "servos": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "voltage": VOLTAGE,
            "stall_torque": STALL_TORQUE,
            "stall_current": STALL_CURRENT,
            "time_per_60_deg": Entry(
                "time",
                "5 ms",
                "10 s",
                "time to turn 60 degrees without load",
                default=None,
                title="time for 60 degrees",
                left_out="it turns without end",
            ),
            "free_speed": Entry(
                "turning-speed", "1 rpm", "10000 rpm", "speed without load, if it turns without end", default=None
            ),
            "travel": Entry(
                "angle", "10 deg", "3600 deg", "how far it turns, from end to end", default=None, left_out="without end"
            ),
            "holding_share": _share("share of the stall torque that it can hold for long", default=HOLDING_SHARE),
            "play": Entry("angle", "0 deg", "20 deg", "at the output shaft", default=SERVO_PLAY),
            "mass": MASS,
            "have": HAVE,
        },
    ),
    "servo_rail": Shape(
        "parts.toml",
        single=True,
        entries={
            "voltage": VOLTAGE,
            "current_limit": Entry("current", "0.1 A", "1000 A", "for all servos together"),
            "pair_limit": Entry(
                "current",
                "0.1 A",
                "1000 A",
                "for two servos that share one output",
                default=1000.0,
                left_out="1000 A",
            ),
            "efficiency": Entry(
                "number",
                0.3,
                1,
                "share of the battery's power that comes out of the converter; 0.85 is usual",
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
            "allowed_on_20": Entry(
                "torque",
                "0.001 N·m",
                "10000 N·m",
                "highest torque on a wheel of 20 teeth",
                **MAY_LACK,
                title="allowed torque on 20 teeth",
                left_out="what plastic bears at least; what rests on it says so",
            ),
            "efficiency": EFFICIENCY,
            "play": _play(GEAR_PLAY),
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
            "play": _play(GEAR_PLAY),
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
            "play": _play(BELT_PLAY),
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
            "play": _play(CHAIN_PLAY),
            "mass_of_20": replace(MASS_OF_20, left_out="that of a steel disc of its size"),
        },
    ),
}

MECHANISMS = {
    "friction": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "value": _number(0, 3, "coefficient of friction: force that makes it slide over force that presses"),
        },
    ),
    "wheels": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "kind": _choice(
                "how it grips sideways",
                {
                    "traction": "a plain tyre: as well as ahead",
                    "omni": "rollers across its rim: hardly at all",
                    "mecanum": "slanted rollers: the robot can drive sideways",
                },
            ),
            "diameter": Entry("length", "10 mm", "1 m", "diameter"),
            "width": Entry("length", "1 mm", "0.5 m", "width"),
            "mass": MASS,
            "stiffness": Entry(
                "stiffness", "0.01 N/mm", "100000 N/mm", "push for each millimetre of squeeze", default=WHEEL_STIFFNESS
            ),
            "along": Entry(
                "pair",
                help="friction ahead: force that makes it slide over force that presses",
                default=None,
                title="grip",
                left_out="that of its kind",
            ),
            "across": Entry(
                "pair",
                help="the same sideways",
                default=None,
                title="grip sideways",
                left_out="that of its kind, of a traction wheel as ahead",
            ),
            "rolling": Entry("pair", help="friction pair of rolling resistance", default="wheel_rolling"),
        },
    ),
    "rollers": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "diameter": Entry("length", "5 mm", "1 m", "diameter"),
            "length": Entry("length", "5 mm", "3 m", "length"),
            "stiffness": Entry(
                "stiffness",
                "0.01 N/mm",
                "100000 N/mm",
                "push for each millimetre of squeeze",
                **MAY_LACK,
                left_out="1.5 N/mm, as a soft roller; what rests on it says so",
            ),
            "grip": Entry(
                "pair",
                help="friction pair with the piece",
                default=PAIR_OF_JAWS,
                left_out="as that of the jaws",
            ),
            "mass": replace(MASS, **MAY_LACK, left_out="half a gram for each cm3 of its outline"),
        },
    ),
    "slides": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "stage_length": Entry("length", "20 mm", "3 m", "length of one stage"),
            "stage_travel": Entry("length", "10 mm", "3 m", "how far one stage slides out"),
            "stage_mass": Entry("mass", "1 g", "50 kg", "mass of one moving stage, both sides"),
            "fewest": _count(1, 20, "fewest stages", default=1, left_out="1"),
            "most": _count(1, 20, "most stages"),
            "drag": Entry(
                "force",
                "0 N",
                "1 kN",
                "friction of one stage without load",
                **MAY_LACK,
                left_out="3 N; what rests on it says so",
            ),
            "rail": Entry(
                "pair",
                help="friction pair of the slide under load",
                default="slide_rail",
                title="friction",
                left_out="as the course's own slide",
            ),
        },
    ),
    "cords": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "diameter": Entry("length", "0.2 mm", "30 mm", "diameter"),
            "breaking_strength": Entry("force", "10 N", "1000 kN", "least pull that breaks it"),
            "stretch_at_break": _number(
                0.001,
                1,
                "stretch at break, as a share of its length",
                **MAY_LACK,
                left_out="10 %; what rests on it says so",
            ),
            "knot_keeps": _share(
                "share of the strength that is left at a knot",
                default=KNOT_KEEPS,
                left_out="half (usual; measure yours)",
            ),
        },
    ),
    "spools": Shape(
        "parts.toml",
        entries={
            "label": LABEL,
            "diameter": Entry("length", "2 mm", "1 m", "of the bare core"),
            "width": Entry("length", "1 mm", "1 m", "between the flanges"),
            "flange_diameter": Entry(
                "length",
                "3 mm",
                "2 m",
                "of the rim that keeps the cord on",
                **MAY_LACK,
                left_out="20 mm more than the core (usual; measure yours)",
            ),
            "mass": replace(MASS, **MAY_LACK, left_out="that of a printed spool: 0.6 g for each cm3 of its outline"),
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

OWN_CURVE = "as the course's own fuse"
ELECTRICITY = {
    "kit": Shape(
        "parts.toml",
        single=True,
        entries={
            "label": LABEL,
            "without": Entry(
                "choice",
                help="tables of which the team has nothing",
                choices=MAY_BE_WITHOUT,
                many=True,
                least=0,
                default=(),
            ),
        },
    ),
    "battery": Shape(
        "parts.toml",
        single=True,
        entries={
            "label": LABEL,
            "nominal": Entry("voltage", "1 V", "60 V", "the voltage in its name", title="voltage"),
            "capacity": Entry("charge", "0.05 A·h", "1000 A·h", "what it gives from full to empty"),
            "open_circuit": Entry(
                "voltage", "1 V", "80 V", "full, with nothing switched on", title="voltage when full"
            ),
            "open_circuit_empty": Entry(
                "voltage",
                "1 V",
                "80 V",
                "near empty, with nothing switched on",
                **MAY_LACK,
                title="voltage when nearly empty",
                left_out="as far below the voltage in its name as it is above it when full",
            ),
            "resistance": Entry(
                "resistance",
                "0.1 mohm",
                "10 ohm",
                "inside it, with wiring",
                **MAY_LACK,
                left_out="a current that empties it in an hour costs 3 % of its voltage",
            ),
            "resistance_worn": Entry(
                "resistance",
                "0.1 mohm",
                "10 ohm",
                "the same on the worst of the bad days, as of an old battery",
                **MAY_LACK,
                title="resistance when old",
                left_out="twice that (usual; measure yours)",
            ),
            "mass": MASS,
        },
    ),
    "fuse": Shape(
        "parts.toml",
        single=True,
        entries={
            "rating": Entry("current", "0.1 A", "1000 A", "rated current, as printed on it"),
            "holds": _number(0.1, 2, "current over rating that it carries for ever", default=None, left_out=OWN_CURVE),
            "ratio": _number(
                0.1,
                100,
                "currents over rating, at which its data sheet says how long it lasts",
                order="rise",
                many=True,
                least=2,
                default=None,
                title="currents over rating",
                left_out=OWN_CURVE,
            ),
            "time": Entry(
                "time",
                "1 ms",
                "10 h",
                "until the slowest of its type melts, one for each of these currents",
                order="fall",
                many=True,
                least=2,
                default=None,
                left_out=OWN_CURVE,
            ),
            "time_quick": Entry(
                "time",
                "1 ms",
                "10 h",
                "until the quickest melts",
                default=None,
                title="time of the quickest",
                left_out="as the slowest",
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
                "current",
                "0 A",
                "20 A",
                "of controllers, sensors and radio, all the time",
                default=0.0,
                left_out="none",
            ),
            "loop_time": Entry(
                "time",
                "0.1 ms",
                "1 s",
                "how long the program takes from one look at its sensors to the next",
                default=LOOP_TIME,
                left_out="20 ms (usual; measure yours)",
            ),
            "reset_level": Entry(
                "voltage",
                "0.5 V",
                "60 V",
                "battery voltage below which electronics restart or a guard cuts it off",
                title="lowest voltage",
            ),
            "reset_after": Entry(
                "time",
                "0 s",
                "10 s",
                "only when the voltage stays below reset_level that long, as a guard that waits; 0 s: at once",
                default=0.0,
                later=True,
            ),
            "pace": Entry(
                "number", 0.1, 1, "how quick a planned move is, as a share of the quickest possible", default=1.0
            ),
            "settle": Entry("time", "0 s", "5 s", "after a move, until it rests and the program goes on", default=0.0),
        },
    ),
    "spreads": Shape(
        "parts.toml",
        may_have=(*SPREADS, *PEOPLE),
        only=True,
        entries={
            "down": _number(0, 0.9, "how far below the number the real thing may be, as a share of it"),
            "up": _number(0, 2, "how far above, as a share of it"),
        },
    ),
}

SHAPES = {**GAME, **DRIVES, **TRAINS, **MECHANISMS, **ELECTRICITY}

# A file that is not required may be missing from the folder.
FILES = {"game.toml": True, "parts.toml": False}

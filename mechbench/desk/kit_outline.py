"""In which order a kit is made, and what is asked besides the keys that must be there; the keys themselves, their
units, bounds and help are those of `mechbench.kits.schema` alone.

Contents: Asked, GAME_FIRST, PARTS_FIRST, PARTS_MORE, MADE_BY_HAND, ALL, NAMED_BY_OTHERS; keys, entry, asked, needed,
instead, has_own, stands_in, of_table.
"""

from dataclasses import dataclass, field, replace
from functools import cache

from mechbench.kits.schema import SHAPES

ANY = None  # in a condition: whatever was typed, but something
PEN, NO_SPEED, SPEED = {"kind": ("pen",)}, {"output_speed": ("",)}, {"output_speed": ANY}
TO_AN_ANGLE, WITHOUT_END = {"time_per_60_deg": ANY}, {"time_per_60_deg": ("",)}


@dataclass(frozen=True)
class Asked:
    """One table.

    one : a word for one of its entries; about : what the table is, a short sentence
    also : keys that may be left out and are asked all the same
    when : key -> {another key: what must have been typed there; None: anything}
    must : keys that the schema lets one leave out, but not those of whom they are asked; True: whenever asked, else as
        in `when`
    first : keys that are asked before the others
    fixed : name -> what it always is, for entries that nobody names, in the order of a match
    always : of the fixed ones, those that must be there; after : name -> the one without which it is not asked
    gate : a record that may be skipped as a whole
    needs : tables that must have something, or nothing is asked of this one
    other : a table whose parts do instead of these; without any the course's own stand in
    asks : key -> what is asked, where the schema's help is for those who read a file; or kind -> that
    each : key that names other entries of its table -> the question for each of them, where yes leaves it out
    at_once : keys whose values may come in one answer, in this order; of sizes, the longest of the first two first
    """

    one: str
    about: str
    also: tuple = ()
    when: dict = field(default_factory=dict)
    must: dict = field(default_factory=dict)
    first: tuple = ()
    fixed: dict = field(default_factory=dict)
    always: tuple = ()
    after: dict = field(default_factory=dict)
    gate: bool = False
    needs: tuple = ()
    other: str = ""
    asks: dict = field(default_factory=dict)
    each: dict = field(default_factory=dict)
    at_once: tuple = ()


GAME_FIRST = {
    "game": Asked("game", "The game"),
    "phases": Asked(
        "phase",
        "The match: first the robot may drive by itself, then people drive",
        also=("closing", "factor"),
        when={"factor": {"kind": ("self_driving",)}},
        fixed={name: {"kind": name} for name in ("self_driving", "pause", "driven")},
        always=("driven",),
        after={"pause": "self_driving"},
    ),
    "field": Asked(
        "field",
        "The field",
        also=("length", "width", "floor", "robots_a_side", "opponents"),
        at_once=("length", "width"),
    ),
    "limits": Asked(
        "limit",
        "Limits of a robot; each may be skipped",
        also=("start_box", "height", "level", "mass", "motors", "servos", "drives", "hold"),
    ),
    "pieces": Asked(
        "kind of piece",
        "Pieces: what robots collect",
        also=("plural", "count", "colours", "lying_share"),
        when={"lying_share": {"shape": ("cylinder", "disc", "box")}},
        asks={
            "lying_share": {
                "box": "share that lies on its side: 0.2 is one in five, and two in three where they lie on any side"
            }
        },
        at_once=("length", "width", "height"),
    ),
    "places": Asked(
        "place",
        "Places: where pieces lie when a match starts",
        also=("counts", "way", "depth", "gap"),
        when={"depth": PEN, "gap": PEN},
        must={"depth": True},
        needs=("pieces",),
    ),
    "goals": Asked(
        "goal",
        "Goals: where pieces score",
        also=("takes", "way", "rim", "depth", "opening", "capacity"),
        when={
            "rim": {"kind": ("shelf", "slot")},
            "opening": {"kind": ("bin", "slot", "launch")},
            "depth": {"kind": ("shelf", "bin", "slot", "launch")},
        },
        asks={
            "height": {
                "shelf": "of its board over the floor",
                "bin": "of its upper edge over the floor",
                "slot": "of the hole's lower edge over the floor",
                "peg": "of the rod's upper end over the floor",
                "launch": "of the hole's lower edge over the floor",
            }
        },
        needs=("pieces",),
    ),
    "bonuses": Asked(
        "bonus",
        "Bonuses: points for more than one piece",
        also=("need", "goals"),
        must={"need": {"kind": ("threshold", "each")}},
        needs=("goals",),
    ),
    "obstacles": Asked("obstacle", "Obstacles: what stands in the way", also=("way_round", "between")),
    "human": Asked(
        "step",
        "Steps that people do. Time them with a stopwatch: find a piece, line up, wait in traffic, clear a jam",
        also=("stands_for", "when", "pieces"),
        when={"when": {"stands_for": ("",)}, "pieces": {"stands_for": ("",)}},
        first=("label", "stands_for"),
        at_once=("low", "likely", "high"),
        asks={"stands_for": "which of these it is; a cycle is the way to pieces, to a goal and back"},
    ),
    "closing": Asked(
        "closing task",
        "Closing tasks: what a robot may do in the last seconds",
        also=("way", "instead_of", "judged_after", "clear", "length", "clear_height", "goal", "height", "piece"),
        when={"height": {"goal": ("",)}},
        each={"instead_of": "can it be scored besides {other} in the same match?"},
    ),
}
PARTS_FIRST = {
    "motors": Asked(
        "motor",
        "Motors, without gears, as on their labels",
        also=("free_current", "counts_per_turn", "mass", "have"),
        other="gearmotors",
    ),
    "gearmotors": Asked(
        "gearmotor",
        "Motors with gears in one piece, as on their labels",
        also=(
            *("output_speed", "output_stall", "stall_current", "free_current", "torques", "speeds", "currents"),
            *("ratio", "counts_per_turn", "counts_at", "allowed", "mass", "have"),
        ),
        when=dict.fromkeys(("output_stall", "stall_current", "free_current"), SPEED)
        | dict.fromkeys(("torques", "speeds", "currents"), NO_SPEED)
        | {"counts_at": {"counts_per_turn": ANY}},
        must=dict.fromkeys(("output_stall", "stall_current", "torques", "speeds", "currents", "counts_at"), True),
        asks={
            "torques": "torque of the output shaft at two loads, the smaller first; asked as no output speed is told",
            "counts_per_turn": "encoder counts in one turn of a shaft; of which shaft is asked next",
            "counts_at": "of which shaft these counts are: motor (in front of the gears) or output",
        },
    ),
    "gearboxes": Asked(
        "gearbox",
        "Gearboxes, to be put behind motors",
        also=("efficiency_per_stage", "backlash", "allowed_small", "mass_per_stage", "have"),
    ),
    "servos": Asked(
        "servo",
        "Servos, as on their labels",
        also=("time_per_60_deg", "free_speed", "travel", "have"),
        when={"travel": TO_AN_ANGLE, "free_speed": WITHOUT_END},
        must={"travel": True, "free_speed": True},
    ),
    "servo_rail": Asked("supply", "The supply that all servos share", gate=True),
    "wheels": Asked(
        "wheel",
        "Wheels",
        also=("along", "across"),
        when={"across": {"kind": ("omni", "mecanum")}},
        asks={"along": "friction ahead: the pull that makes it slide, divided by the force that presses"},
    ),
    "battery": Asked("battery", "The battery", also=("open_circuit_empty", "resistance", "resistance_worn"), gate=True),
    "fuse": Asked(
        "fuse",
        "The main fuse; its rating alone will do",
        also=("ratio", "holds", "time", "time_quick"),
        when=dict.fromkeys(("holds", "time", "time_quick"), {"ratio": ANY}),
        must={"time": True},
        first=("rating", "ratio"),
        gate=True,
    ),
    "controller": Asked("controller", "The controller", also=("electronics", "loop_time"), gate=True),
}
PARTS_MORE = {
    "spur_gears": Asked("gear", "Spur gears", also=("allowed_on_20",)),
    "bevel_gears": Asked("pair", "Bevel gears"),
    "pulleys": Asked("pulley", "Toothed pulleys and their belt"),
    "sprockets": Asked("sprocket", "Sprockets and their chain"),
    "rollers": Asked(
        "roller",
        "Rollers of an intake",
        also=("stiffness", "grip", "mass"),
        asks={"grip": "its friction on the pieces"},
    ),
    "slides": Asked(
        "slide",
        "Slides of a lift",
        also=("fewest", "drag", "rail"),
        asks={"stage_mass": "mass of one moving stage; with a slide on both sides, of the two slides together"},
    ),
    "cords": Asked("cord", "Cords", also=("stretch_at_break", "knot_keeps")),
    "spools": Asked("spool", "Spools of a winch", also=("flange_diameter", "mass")),
    "ratchets": Asked("ratchet", "Ratchets"),
    "extension_springs": Asked("spring", "Springs that are stretched"),
    "constant_springs": Asked("spring", "Springs of constant force"),
}
# Nobody knows these on the first evening; the file has lines for them, and `correct` writes what was measured.
MADE_BY_HAND = {
    "kit": Asked("kit", "The kit itself"),
    "friction": Asked("pair", "Friction: only pairs that were measured; the rest is the course's own"),
    "spreads": Asked("spread", "How far the real thing may be from the numbers, on good and bad days"),
}
ALL = {**GAME_FIRST, **PARTS_FIRST, **PARTS_MORE, **MADE_BY_HAND}
NAMED_BY_OTHERS = {table for shape in SHAPES.values() for one in shape.entries.values() for table in one.names.split()}


def keys(table):
    """The keys of a table in the order in which they are asked."""
    first = ALL[table].first
    return [*first, *(key for key in SHAPES[table].entries if key not in first)]


@cache
def entry(table, key, kind=""):
    """The schema's entry of a key, with the words in which it is asked of that kind."""
    asks, own = ALL[table].asks.get(key, ""), SHAPES[table].entries[key]
    words = asks.get(kind) if isinstance(asks, dict) else asks
    return replace(own, help=words or own.help)


def _fits(conditions, given):
    texts = ((given.get(other, ""), allowed) for other, allowed in conditions.items())
    return all(bool(text) if allowed is ANY else text in allowed for text, allowed in texts)


def asked(table, key, given):
    """Whether a key that may be left out is asked, after what was typed so far: key -> text."""
    return key in ALL[table].also and _fits(ALL[table].when.get(key, {}), given)


def needed(table, key, given):
    """Whether a key that the schema lets one leave out must be there, after what was typed so far."""
    must = ALL[table].must.get(key)
    return bool(must) and asked(table, key, given) and (must is True or _fits(must, given))


def instead(table, key):
    """The key that would do instead of one that is asked because that was left out; "" where there is none."""
    return next((other for other, allowed in ALL[table].when.get(key, {}).items() if allowed == ("",)), "")


def has_own(table):
    """Whether the course's own parts stand in where a team names none."""
    return table not in GAME_FIRST and not SHAPES[table].rows_of


def stands_in(table):
    """What is said to a team that names none of the parts that every robot has."""
    if ALL[table].other:
        return f"the course's own stand in where you name no {ALL[ALL[table].other].one} either."
    return "every robot has some: the course's own stand in, and their labels say so."


def of_table(table):
    """What people call a table, such as "springs that are stretched"."""
    about = ALL[table].about.partition(",")[0].partition(":")[0].partition(";")[0].partition(".")[0]
    return about[0].lower() + about[1:]

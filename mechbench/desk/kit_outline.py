"""In which order a kit is made, and what is asked besides the keys that must be there; the keys themselves, their
units, bounds and help are those of `mechbench.kits.schema` alone.

Contents: Asked, GAME_FIRST, PARTS_FIRST, PARTS_MORE, MADE_BY_HAND, asked.
"""

from dataclasses import dataclass, field

PEN = {"kind": ("pen",)}
TO_AN_ANGLE, WITHOUT_END = {"time_per_60_deg": None}, {"time_per_60_deg": ("",)}


@dataclass(frozen=True)
class Asked:
    """One table.

    one : a word for one of its entries; about : what the table is, a short sentence
    also : keys that may be left out and are asked all the same
    when : key -> {another key: what must have been typed there; None: anything}
    fixed : name -> what it always is, for entries that nobody names; all but the first may be none
    gate : a record that may be skipped as a whole
    """

    one: str
    about: str
    also: tuple = ()
    when: dict = field(default_factory=dict)
    fixed: dict = field(default_factory=dict)
    gate: bool = False


GAME_FIRST = {
    "game": Asked("game", "The game"),
    "phases": Asked(
        "phase",
        "The match: how long people drive, and how long the robot drives itself",
        also=("closing", "factor"),
        when={"factor": {"kind": ("self_driving",)}},
        fixed={"driven": {"kind": "driven"}, "self_driving": {"kind": "self_driving"}},
    ),
    "field": Asked("field", "The field", also=("length", "width", "floor", "robots_a_side")),
    "limits": Asked(
        "limit",
        "Limits of a robot; each may be skipped",
        also=("start_box", "height", "level", "mass", "motors", "servos", "hold"),
    ),
    "pieces": Asked(
        "kind of piece",
        "Pieces: what robots collect",
        also=("count", "colours", "stiffness", "floor_grip", "lying_share"),
        when={key: {"shape": ("soft",)} for key in ("stiffness", "floor_grip")}
        | {"lying_share": {"shape": ("cylinder", "disc", "box")}},
    ),
    "places": Asked(
        "place",
        "Places: where pieces lie when a match starts",
        also=("counts", "depth", "gap"),
        when={"depth": PEN, "gap": PEN},
    ),
    "goals": Asked(
        "goal",
        "Goals: where pieces score",
        also=("takes", "rim", "depth", "opening", "capacity"),
        when={"rim": {"kind": ("shelf", "slot")}, "opening": {"kind": ("bin", "slot", "launch")}},
    ),
    "bonuses": Asked("bonus", "Bonuses: points for more than one piece", also=("need", "goals")),
    "obstacles": Asked("obstacle", "Obstacles: what stands in the way"),
    "human": Asked(
        "step",
        "People's steps. Time them with a stopwatch: find a piece, line up, wait in traffic, clear a jam",
        also=("when", "stands_for"),
    ),
    "closing": Asked("closing task", "Closing tasks: what a robot may do in the last seconds", also=("judged_after",)),
}
PARTS_FIRST = {
    "motors": Asked("motor", "Motors, without gears, as on their labels", also=("free_current", "mass")),
    "gearmotors": Asked(
        "gearmotor",
        "Motors with gears in one piece, as on their labels",
        also=("output_speed", "output_stall", "stall_current", "free_current", "ratio", "mass"),
    ),
    "gearboxes": Asked("gearbox", "Gearboxes", also=("allowed_small",)),
    "servos": Asked(
        "servo",
        "Servos, as on their labels",
        also=("time_per_60_deg", "free_speed", "travel"),
        when={"travel": TO_AN_ANGLE, "free_speed": WITHOUT_END},
    ),
    "servo_rail": Asked("supply", "The supply that all servos share", gate=True),
    "wheels": Asked("wheel", "Wheels"),
    "battery": Asked("battery", "The battery", gate=True),
    "fuse": Asked("fuse", "The main fuse, from its data sheet", gate=True),
    "controller": Asked("controller", "The controller", also=("electronics",), gate=True),
}
PARTS_MORE = {
    "spur_gears": Asked("gear", "Spur gears"),
    "bevel_gears": Asked("pair", "Bevel gears"),
    "pulleys": Asked("pulley", "Toothed pulleys and their belt"),
    "sprockets": Asked("sprocket", "Sprockets and their chain"),
    "rollers": Asked("roller", "Rollers of an intake"),
    "slides": Asked("slide", "Slides of a lift"),
    "cords": Asked("cord", "Cords"),
    "spools": Asked("spool", "Spools of a winch"),
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


def asked(table, key, given):
    """Whether a key that may be left out is asked, after what was typed so far: key -> text."""
    conditions = ALL[table].when.get(key, {})
    fits = (given.get(other, "") in texts if texts else given.get(other) for other, texts in conditions.items())
    return key in ALL[table].also and all(fits)

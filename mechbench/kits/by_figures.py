"""A part that is no part of the kit, given by its figures where a part's name may stand: "92 mm", "12:36", "275 rpm,
2.6 N·m", "19 kgf·cm". Here the text is read; own_rows.py makes the part.

Contents: Figure, Way, WAYS (what each table takes), RECORDS (the same of battery and fuse), Given, looks_like, read,
family_of, one_by_one (parts of a list), figures_taken and example_of (for a help text).

One grammar for all: figures with commas between, each a number with its unit; a ratio may be bare or "20:1", two
wheels are "12:36", first the driving one, also as a gearbox; friction is a bare number or a share in per cent. A comma
right between two digits is a decimal comma where the number before it has no unit. Besides, a word may say which kind
is meant ("chain 10:30", "92 mm mecanum") or which part of the kit is to lend what the figures leave open.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from mechbench import quantity
from mechbench.kits.pairing import BEHIND
from mechbench.kits.schema import SHAPES
from mechbench.kits.tables import Kit
from mechbench.wording import quoted

RATIO, TEETH, FRICTION = "ratio", "teeth", "friction"  # kinds of figures that have no unit
BARE = "bare"  # a motor without gears


@dataclass(frozen=True)
class Figure:
    """One figure of a part: its kind of quantity, the key of the kit's files that it stands for, and what it is in
    words. `needed`: it must be there. `after` follows the number where people read it. `such`: an example of it, where
    that of the way would not do.
    """

    kind: str
    key: str
    words: str
    needed: bool = False
    after: str = ""
    such: str = ""


@dataclass(frozen=True)
class Way:
    """How figures tell a part of one table of the kit's files.

    `open` names what is taken from the part of the kit that lends it, `shows` numbers of that which are told (key,
    unit, words). `words`: by one of these it is meant; `asked`: only where one of them is there. `only`: a column and
    its value; where the kit has such parts, one of these lends the rest. `also_names` is a table whose parts may be
    named beside the figures.
    """

    what: str
    table: str
    figures: tuple[Figure, ...]
    example: str
    open: str
    shows: tuple[tuple[str, str, str], ...] = ()
    words: tuple[str, ...] = ()
    asked: bool = False
    only: tuple[str, float] | None = None
    also_names: str = ""


def _across(what: str, table: str, example: str, open_: str) -> Way:
    return Way(what, table, (Figure("length", "diameter", "diameter", True, "across"),), example, open_)


WHEEL = _across("wheel", "wheels", "92mm", "mass, width and kind")
ROLLER = _across("roller", "rollers", "54mm", "length, mass, softness and grip")
SPOOL = _across("drum", "spools", "30mm", "width, mass and height of the rim")
GEARBOX = Way(
    "gearbox",
    "gearboxes",
    (Figure(RATIO, "stages", "ratio", needed=True),),
    "20:1",
    "stages, losses, strength and mass",
)
GEARED = replace(
    GEARBOX,
    what="motor with a gearbox",
    figures=(Figure(RATIO, "stages", "ratio, behind the usual motor or one that is named", needed=True),),
    also_names="motors",
)
GEARMOTOR = Way(
    "motor with gears",
    "gearmotors",
    (
        Figure("turning-speed", "output_speed", "speed without load", needed=True),
        Figure("torque", "output_stall", "torque when held still"),
        Figure("current", "stall_current", "current when held still"),
        Figure("current", "free_current", "current without load"),
        Figure("voltage", "voltage", "voltage"),
    ),
    "275rpm,2.6Nm",
    "rotor, heat and mass",
)
BARE_MOTOR = Way(
    "motor without gears",
    "motors",
    (
        Figure("turning-speed", "free_speed", "speed without load", needed=True),
        Figure("torque", "stall_torque", "torque when held still", needed=True),
        *GEARMOTOR.figures[2:],
    ),
    "bare,6000rpm,0.2Nm",
    "rotor, heat and mass",
    words=(BARE,),
    asked=True,
)
SERVO = Way(
    "servo",
    "servos",
    (
        Figure("torque", "stall_torque", "torque when held still", needed=True),
        Figure("time", "time_per_60_deg", "time for 60 degrees"),
        Figure("turning-speed", "free_speed", "speed without load"),
        Figure("current", "stall_current", "current when held still"),
        Figure("voltage", "voltage", "voltage"),
    ),
    "19kgfcm",
    "travel, play and mass",
    (("voltage", "V", ""), ("free_speed", "rpm", "without load"), ("stall_current", "A", "when held still")),
    words=("servo",),
    only=("endless", 0.0),
)

ENDLESS = replace(SERVO, what="servo that turns without end", open="play and mass", only=("endless", 1.0))


def _toothed(what: str, table: str, example: str, open_: str, words: tuple[str, ...], asked: bool = True) -> Way:
    teeth = (Figure(TEETH, "teeth", "teeth, the driving wheel first", needed=True),)
    return Way(what, table, teeth, example, open_, words=words, asked=asked)


STAGES = (
    _toothed("gear", "spur_gears", "12:36", "size of teeth, width and material", ("gear", "gears"), asked=False),
    _toothed("belt", "pulleys", "belt,20:60", "size of teeth and width", ("belt", "belts", "pulley", "pulleys")),
    _toothed("chain", "sprockets", "chain,10:30", "size of links", ("chain", "chains", "sprocket", "sprockets")),
)
EXTENSION = Way(
    "spring",
    "extension_springs",
    (Figure("stiffness", "rate", "rate", needed=True), Figure("length", "free_length", "length without load")),
    "0.3N/mm",
    "longest length and mass",
    (("free_length", "mm", "long without load"), ("initial_tension", "N", "before it opens")),
)
CONSTANT = Way(
    "spring",
    "constant_springs",
    (Figure("force", "force", "pull", needed=True), Figure("length", "travel", "how far it can be pulled out")),
    "7N",
    "mass",
    (("travel", "mm", "of travel"),),
)
CORD = Way(
    "cord",
    "cords",
    (
        Figure("length", "diameter", "diameter", True, "across"),
        Figure("force", "breaking_strength", "least pull that breaks it"),
    ),
    "2mm,800N",
    "stretch and strength at a knot",
    (("breaking_strength", "N", "to break it"),),
)
PAD = Way("pad", "friction", (Figure(FRICTION, "value", "coefficient of friction", needed=True),), "0.6", "")
RATCHET = Way("ratchet", "ratchets", (Figure("torque", "torque", "torque that it holds", needed=True),), "12Nm", "mass")

# Table that an input picks from -> ways to give a part of it by figures; the first that the text fits is taken.
WAYS: Mapping[str, tuple[Way, ...]] = {
    "motors": (GEARMOTOR, BARE_MOTOR),
    "gearboxes": (GEARBOX,),
    "last_stages": STAGES,
    "pairs": STAGES,
    "servos": (SERVO,),
    "shaft_drives": (GEARMOTOR, GEARED, SERVO),
    "roller_drives": (GEARMOTOR, GEARED, ENDLESS),
    "wheels": (WHEEL,),
    "drive_wheels": (WHEEL,),
    "gripping_rollers": (ROLLER,),
    "spools": (SPOOL,),
    "drums": (SPOOL,),
    "counter_springs": (EXTENSION,),
    "helping_springs": (CONSTANT,),
    "cords": (CORD,),
    "winch_ratchets": (RATCHET,),
    "pads": (PAD,),
}
# Record of the kit -> how its figures may be given where a sizing's sums use it.
RECORDS: Mapping[str, Way] = {
    "battery": Way(
        "battery",
        "battery",
        (
            Figure("charge", "capacity", "charge", needed=True),
            Figure("voltage", "nominal", "voltage"),
            Figure("resistance", "resistance", "resistance inside"),
        ),
        "2.8Ah",
        "",
    ),
    "fuse": Way("fuse", "fuse", (Figure("current", "rating", "rating", needed=True),), "15A", ""),
}


@dataclass(frozen=True)
class Given:
    """A part's figures as they were read: key -> SI number (two of them for teeth); `shown` for people; `name` can be
    typed again; `like`: words that say which part of the kit is to lend the rest. `first`: how a figure was read that
    may mean another thing, in sentences; `one_pair`: a ratio was given as two wheels.
    """

    way: Way
    values: dict[str, Any]
    shown: str
    name: str
    like: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    first: tuple[str, ...] = ()
    one_pair: bool = False


@dataclass(frozen=True)
class _Reading:
    """One figure: its value in SI, as text for people, as it can be typed again, and how it was read where that is to
    be said; `notes` are said besides.
    """

    value: Any
    shown: str
    typed: str
    first: str = ""
    notes: tuple[str, ...] = ()
    one_pair: bool = False


class _LacksError(ValueError):
    """What was given can be read, but one more figure is needed."""


# --- reading --------------------------------------------------------------------------------------------------------

_NO_UNIT = re.compile(r"[+-]?[0-9]+")
_STARTS_AS_NUMBER = re.compile(r"[+-]?[.,]?[0-9]")
# As tables of pairs call what own_rows.py makes.
_PAIR_NAME = re.compile(r"^own_([a-z]+)((?:_[a-z]\w*?)?)_([0-9]+)_to_([0-9]+)$")
_PAIR_LABEL = re.compile(r"^own[ _,]([a-z]\w*[ _,].*:[0-9]+)$", re.I)  # as they are read: own chain 16:32
_GEARED_NAME = re.compile(r"^([a-z][a-z0-9_]*)_([0-9.]+:[0-9.]+(?:,\w+)?)$")
_BEHIND_NAME = re.compile(rf"^[a-z0-9][^ ]*{re.escape(BEHIND)}[0-9.]+:[0-9.]+$")
_TEETH = re.compile(r"([0-9]{1,4})(?: ?[:/] ?|_to_| ?to ?| )([0-9]{1,4})")
_RATIO = re.compile(r"([0-9]+(?:[.,][0-9]+)?)(?: ?[:/] ?([0-9]+(?:[.,][0-9]+)?))?")
_COEFFICIENT = re.compile(r"([+-]?[0-9]*[.,]?[0-9]+) ?(%)?")
LEAST_TEETH = int(SHAPES["spur_gears"].entries["teeth"].low)  # of a wheel
# A label's "kg·cm" is a weight's torque. Learners are to tell mass from weight, so it is said.
_KG_CM = re.compile(r"(?i)(?<![a-z])kg[ ·.*-]?cm\b")


def looks_like(table: str, given: Any, kit: Kit) -> bool:
    """Whether what was given for a part of this table may be figures: it has ways, and all but the words that such a
    part may have begins as a number.
    """
    if table not in WAYS or isinstance(given, bool) or not isinstance(given, (str, int, float)):
        return False
    text = _as_typed(str(given))
    if not any(map(str.isdigit, text)):
        return False
    words = {BARE, *(word for way in WAYS[table] for word in (*way.words, *_lenders(kit, way)))}
    rest = [one for one in re.split("[ ,;]+", text) if one.lower() not in words]
    return bool(rest and _STARTS_AS_NUMBER.match(rest[0]))


def _as_typed(text: str) -> str:
    """The text with single blanks; the names that tables of pairs make of own parts as figures again. Of a pair behind
    a motor's own gears the pair alone: it is put behind that motor again.
    """
    tidy = " ".join(text.split()).rpartition(BEHIND)[2] if _BEHIND_NAME.match(text) else " ".join(text.split())
    if hit := _PAIR_NAME.match(tidy):
        return " ".join(filter(None, (hit[1], hit[2][1:], f"{hit[3]}:{hit[4]}")))
    if hit := _PAIR_LABEL.match(tidy):
        return re.sub("[_,](?=[0-9]+:)", " ", hit[1])
    return _GEARED_NAME.sub(r"\1 \2", tidy)


def read(ways: Iterable[Way], given: Any, name: str, kit: Kit) -> Given:
    """Read figures in one of these ways; ValueError says in one sentence what can't be read. name: of the input."""
    text, wrong = _as_typed(str(given)), []
    ways = tuple(ways)
    said = {one.lower() for one in re.split("[ ,;]+", text)}
    meant = [way for way in ways if said & set(way.words)] or [way for way in ways if not way.asked]
    for way in meant:
        words, pieces = _apart(text, {*way.words, *_lenders(kit, way)})
        try:
            return _by(way, words, pieces, text, name)
        except ValueError as fault:
            wrong.append(fault)
    for fault in wrong:
        if len(wrong) == 1 or isinstance(fault, _LacksError):
            raise fault from None
    such = " or ".join(way.example for way in ways)
    raise ValueError(
        f"{name} is {quoted(text)}, which can't be read; write figures such as {such}, or a part of the kit."
    )


def _lenders(kit: Kit, way: Way) -> set[str]:
    """Words that name a part of the kit, or a kind of it."""
    base = {"gearmotors": "motors"}.get(way.table, way.table)
    if not way.open:
        return set()
    here = kit.filled(base)
    kinds = [key for key, entry in SHAPES[base].entries.items() if entry.kind == "choice" and key in here.texts]
    families = {family_of(one) for one in here.names} if SHAPES[base].expand else set()
    beside = kit.filled(way.also_names).names if way.also_names else ()
    return {*here.names, *families, *beside, *(word for key in kinds for word in here.texts[key])}


def family_of(name: str) -> str:
    """The entry of the files of which a part is one size: nylon of nylon_18."""
    return name.rsplit("_", 1)[0]


def _apart(text: str, known: set[str]) -> tuple[tuple[str, ...], list[str]]:
    """Words that are known, and the figures: '92 mm mecanum' -> ('mecanum',), ['92 mm']."""
    words, pieces = [], []
    for block in text.split(";"):
        joined: list[str] = []
        for piece in block.split(","):
            if joined and _NO_UNIT.fullmatch(joined[-1].strip()) and piece[:1].isdigit():
                joined[-1] += f",{piece}"
            else:
                joined.append(piece)
        for piece in joined:
            here = piece.split()
            words += [one.lower() for one in here if one.lower() in known]
            pieces += filter(None, [" ".join(one for one in here if one.lower() not in known)])
    return tuple(dict.fromkeys(words)), pieces


def _by(way: Way, words: tuple[str, ...], pieces: list[str], text: str, name: str) -> Given:
    """The figures of one way; every piece is the first of its kind that has none yet."""
    found: dict[str, _Reading] = {}
    for piece in pieces:
        left = [one for one in way.figures if one.key not in found]
        if not left:
            raise ValueError(f"{name} is {quoted(text)}, which has a figure too many; write {_in_words((way,))}.")
        key, reading = _first_that_reads(left, piece, name)
        found[key] = reading
    kind = [one for one in words if one in way.words][:1]
    like = tuple(one for one in words if one not in way.words)
    if any(one.needed and one.key not in found for one in way.figures):
        raise _LacksError(_lacks(way, kind, found, name))
    found = {one.key: found[one.key] for one in way.figures if one.key in found}
    if {"stall_current", "free_current"} <= set(found) and found["free_current"].value > found["stall_current"].value:
        found["stall_current"], found["free_current"] = found["free_current"], found["stall_current"]
    readings = found.values()
    return Given(
        way,
        {key: one.value for key, one in found.items()},
        ", ".join(one.shown for one in readings),
        ",".join([*kind, *(one.typed for one in readings), *like]),  # without a blank, as a shell wants it
        like,
        tuple(note for one in readings for note in one.notes),
        tuple(one.first for one in readings if one.first),
        any(one.one_pair for one in readings),
    )


def _lacks(way: Way, kind: list[str], found: dict[str, _Reading], name: str) -> str:
    """Say which figure is missing, and show the same line with it: its word in capitals, then with an example."""
    needed = [one for one in way.figures if one.needed]
    lacks = " and the ".join(one.words for one in needed if one.key not in found)
    examples = dict(zip(needed, (one for one in way.example.split(",") if one not in way.words)))
    whole = [one for one in way.figures if one.needed or one.key in found]
    filled = lambda stands: ",".join([*kind, *(found[f.key].typed if f.key in found else stands(f) for f in whole)])
    blank = filled(lambda one: re.split("[ ,]", one.words)[0].upper())
    such = filled(lambda one: one.such or examples[one])
    given = ",".join(one.typed for one in found.values()) or " ".join(kind)
    return f"{name}: {given} lacks the {lacks}; write {blank} as your label says, such as {such}."


def _first_that_reads(figures: list[Figure], piece: str, name: str) -> tuple[str, _Reading]:
    wrong: ValueError | None = None
    for figure in figures:
        try:
            return figure.key, _read_one(figure, piece)
        except ValueError as fault:
            wrong = wrong or fault
    raise ValueError(f"{name}: {wrong}") from None


def _read_one(figure: Figure, piece: str) -> _Reading:
    if figure.kind in _WITHOUT_UNIT:
        return _WITHOUT_UNIT[figure.kind](piece)
    weight = figure.kind == "torque" and _KG_CM.search(piece)
    reading = quantity.read(_KG_CM.sub("kgf·cm", piece) if weight else piece, figure.kind)
    number, unit = f"{reading.number:.12g}", quantity.written(reading.unit)
    shown = f"{number} {unit} {figure.after}".strip()
    notes = ("kg·cm is read as kgf·cm.",) if weight else ()
    return _Reading(reading.value, shown, f"{number}{unit.replace('·', '')}", notes=notes)


def _read_teeth(piece: str) -> _Reading:
    hit = _TEETH.fullmatch(piece)
    if not hit:
        raise ValueError(f"{quoted(piece)} is no pair of wheels; write the teeth of both, the driving first: 12:36.")
    teeth = int(hit[1]), int(hit[2])
    return _Reading(tuple(map(float, teeth)), f"{teeth[0]}:{teeth[1]} teeth", f"{teeth[0]}:{teeth[1]}")


def _read_ratio(piece: str) -> _Reading:
    """ "20:1" and "20" are turns of the motor for one turn of the output; two whole numbers that wheels can have are
    their teeth, the driving first.
    """
    hit = _RATIO.fullmatch(piece)
    first, second = (float(one.replace(",", ".")) if one else 1.0 for one in (hit[1], hit[2])) if hit else (0.0, 1.0)
    if not second or not first:
        raise ValueError(
            f"{quoted(piece)} is no ratio; write turns of the motor for one turn of the output, 20:1, or the teeth of"
            " two wheels, the driving first: 15:40."
        )
    if first >= LEAST_TEETH and second >= LEAST_TEETH and hit and hit[1].isdigit() and hit[2].isdigit():
        ratio, faster = second / first, ", faster than the motor" if second < first else ""
        told = f"{first:.0f} to {second:.0f} teeth: {ratio:.3g} : 1{faster}."
        return _Reading(ratio, f"{first:.0f} to {second:.0f} teeth", f"{first:.0f}:{second:.0f}", told, one_pair=True)
    if first == 1 and second > 1:
        return replace(_ratio(second), first=f"{quoted(piece)} is read as {second:.6g} : 1, slower than the motor.")
    return _ratio(first / second)


def _ratio(ratio: float) -> _Reading:
    return _Reading(ratio, f"{ratio:.6g} : 1", f"{ratio:.12g}:1")


def _read_friction(piece: str) -> _Reading:
    hit = _COEFFICIENT.fullmatch(piece)
    if not hit:
        raise ValueError(
            f"{quoted(piece)} is no coefficient of friction; write the force that makes it slide over the force that"
            " presses, such as 0.6 or 60%."
        )
    value = float(hit[1].replace(",", ".")) / (100 if hit[2] else 1)
    return _Reading(value, f"{value:.6g}", f"{value:.12g}")


_WITHOUT_UNIT: Mapping[str, Callable[[str], _Reading]] = {
    TEETH: _read_teeth,
    RATIO: _read_ratio,
    FRICTION: _read_friction,
}


def one_by_one(table: str, text: str, kit: Kit, names: Iterable[str] = ()) -> list[str]:
    """The parts of a list: '275rpm,2.6Nm,slim' -> ['275rpm,2.6Nm', 'slim']; `names` are parts by themselves.
    Semicolons, where it has some, part them.
    """
    if ";" in text or table not in WAYS:
        return [one.strip() for one in text.split(";" if ";" in text else ",") if one.strip()]
    words, found = [one for one in text.split(",") if one.strip()], []
    while words:
        most = 1 if words[0].strip() in names else len(words)
        ends = [end for end in range(1, most + 1) if _can_be(table, ",".join(words[:end]), kit)]
        end = ends[0] if ends else 1
        for longer in ends[1:]:  # 275rpm alone is a part too, but with 2.6Nm behind it the two are one
            if any(one.strip() in names or _like(one, words[0]) for one in words[end:longer]):
                break
            end = longer
        found.append(",".join(words[:end]).strip())
        words = words[end:]
    return found


def _like(one: str, first: str) -> bool:
    """Whether a piece has the unit that the first one has: then it begins another part, 16,74 or 312rpm,435rpm."""
    unit = lambda text: re.sub(r"[-+0-9.,:/\s]", "", text).casefold()
    return unit(one) == unit(first)


def _can_be(table: str, text: str, kit: Kit) -> bool:
    """Whether a text can be read as the figures of one part."""
    try:
        return looks_like(table, text, kit) and bool(read(WAYS[table], text, "", kit))
    except ValueError:
        return False


# --- for a help text ------------------------------------------------------------------------------------------------


def figures_taken(table: str) -> str:
    """What may stand in place of a part's name, for a help text; "" for a table or record that takes no figures."""
    ways = WAYS.get(table) or tuple(filter(None, [RECORDS.get(table)]))
    return f"figures: {_in_words(ways)}" if ways else ""


def example_of(table: str) -> str:
    """The first example of figures for a table, "92mm"; "" where it takes none."""
    return WAYS[table][0].example if table in WAYS else ""


def _in_words(ways: Iterable[Way]) -> str:
    """'92mm (diameter)'; of several ways each with what it is, and optional figures once."""
    ways = tuple(ways)
    told = [f"{way.example}{f' for a {way.what}' if len(ways) > 1 else ''} ({_needed(way)})" for way in ways]
    more = dict.fromkeys(one.words for way in ways for one in way.figures if not one.needed)
    return "; or ".join(told) + (f"; if known also {', '.join(more)}" if more else "")


def _needed(way: Way) -> str:
    return " and ".join(one.words for one in way.figures if one.needed)

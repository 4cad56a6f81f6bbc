"""A part given by its figures as one more row of the kit's tables, so that all that is made of these has it too.

Contents: Own, own_part, own_record, own_pair_behind (two wheels behind a motor that has gears already).

What the figures leave open is taken from the part of the kit that is nearest by them, on a scale of factors; it is
never one that was itself given by figures. Where that would make a thing that can't be, the open number keeps its
share: a drum's rim stays as high as it is, a servo or a motor draws more where it gives more power, a thicker cord
bears more.
"""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from typing import Any

from mechbench import quantity
from mechbench.kits import by_figures, gearmotors, pairing
from mechbench.kits.by_figures import FRICTION, RATIO, TEETH, Given, family_of
from mechbench.kits.load import battery_spreads, table_of
from mechbench.kits.read import Part
from mechbench.kits.schema import SHAPES
from mechbench.kits.tables import Kit, Record, Table
from mechbench.physics import gearmotor
from mechbench.physics.motor import from_nameplate

OWN = "own"  # how the names of wheels of an own pair begin; their table makes the pair's name of them
LEAST_RATIO, MOST_RATIO = 0.1, 10_000.0
LEAST_FRICTION = 0.01
OTHER_VOLTAGES = 12.0, 6.0  # V; the first that a label was not read at stands in the sentence that asks for its voltage
SAME = 1e-9  # of two distances: parts that are as near
SPEED_COUNTS = 0.1  # a motor is like another one by its power; of equal ones the speed decides


@dataclass(frozen=True)
class Own:
    """A part given by figures: the kit that has it, its name there, its figures as they can be typed again, and one
    sentence on what was taken from which part. first: how the figures were read where they may mean another thing, in
    sentences that come before the answer.
    """

    kit: Kit
    name: str
    typed: str
    said: str
    first: tuple[str, ...] = ()
    one_pair: bool = False  # two wheels given as a gearbox, by their teeth


def own_part(kit: Kit, table: str, text: Any, name: str) -> Own:
    """Add a part to a kit for the table that an input (`name`) picks from; ValueError where it can't be."""
    given = by_figures.read(by_figures.WAYS[table], text, name, kit.plain)
    _check_bounds(given, name)
    with _of_input(name):
        made = _MAKERS.get(given.way.table, _plain)(kit.plain, given)
    part = given.name if made.name is None else made.name
    rows = {base: row for base, parts in made.parts.items() if (row := _rows(kit, base, parts))}
    with_it = kit.with_more(f"{given.way.what}: {part}", rows) if rows else kit
    return Own(with_it, part, given.name, _sentence(name, given, made.told), _first(name, given, made), given.one_pair)


def _first(name: str, given: Given, made: "_Made") -> tuple[str, ...]:
    """How figures were read that may mean another thing: the voltage of a label that names none, a ratio."""
    return (*made.first, *(f"{name} {told}" for told in given.first))


def own_record(kit: Kit, record: str, text: Any) -> Own:
    """Put another battery or fuse into a kit; ValueError where it can't be."""
    way = by_figures.RECORDS[record]
    given = by_figures.read((way,), text, record, kit.plain)
    _check_bounds(given, record)
    changed, spreads, told = _RECORD_MAKERS[record](kit.plain, given)
    what = f"{record} {given.name}"
    with_it = kit if what in kit.added else kit.with_more(what, spreads=spreads, **changed)
    return Own(with_it, given.name, given.name, _sentence(record, given, told))


def _sentence(name: str, given: Given, told: str) -> str:
    return " ".join([f"{name} {given.shown}: {told}.", *given.notes])


@dataclass(frozen=True)
class _Made:
    """Parts by table, what was taken from where, and the part's name where it is not that of the figures."""

    parts: dict[str, list[Part]]
    told: str
    name: str | None = None
    first: tuple[str, ...] = ()


def _rows(kit: Kit, base: str, parts: list[Part]) -> Table | None:
    """Parts as rows of a table of the kit; those that it has already are left out."""
    new = [part for part in parts if part.name not in kit.table(base).names]
    friction = kit.table("friction")
    pairs = dict(zip(friction.names, friction.columns["value"]))
    return table_of(base, new, new[0].name, pairs) if new else None


# --- bounds ---------------------------------------------------------------------------------------------------------


def _check_bounds(given: Given, name: str) -> None:
    for figure in given.way.figures:
        if figure.key not in given.values:
            continue
        value = given.values[figure.key]
        entry = SHAPES[given.way.table].entries[figure.key]
        if figure.kind == RATIO:
            within, shown = LEAST_RATIO <= value <= MOST_RATIO, f"{value:.6g} : 1"
            ends = (f"{LEAST_RATIO:g} : 1", f"{MOST_RATIO:g} : 1")
        elif figure.kind == FRICTION:
            within, shown, ends = (
                LEAST_FRICTION <= value <= entry.high,
                given.shown,
                (f"{LEAST_FRICTION:g}", _ends(entry)[1]),
            )
        elif figure.kind == TEETH:
            within, shown, ends = all(entry.low <= one <= entry.high for one in value), given.shown, _ends(entry)
        else:
            low, high = (quantity.read(end, figure.kind).value for end in _ends(entry))
            within, ends = low <= value <= high, _ends(entry)
            shown = quantity.show(value, ends[0].partition(" ")[2])
        if not within:
            raise ValueError(
                f"{name} is {shown}, but its {figure.words.split(',')[0]} must be from {ends[0]} to {ends[1]}; write a"
                " figure in that range, or a part of the kit."
            )


def _ends(entry: Any) -> tuple[str, str]:
    """Both ends of what a key of the files may be, as texts."""
    return str(entry.low), str(entry.high)


# --- the part that lends the rest -----------------------------------------------------------------------------------


def _lends(table: Table, names: Iterable[str], given: Given, away: Callable[[str], float]) -> str:
    """The nearest of these parts, of those that are meant where a word says so; of equals the one in the middle."""
    names = [one for one in names if _is_meant(table, one, given)]
    if not names:
        raise ValueError(f"no part of the kit is {' '.join(given.like)} and of this kind; leave that word out.")
    far = {one: away(one) for one in names}
    near = [one for one in names if far[one] <= min(far.values()) + SAME]
    return near[(len(near) - 1) // 2 if SHAPES[table.name].expand else 0]


def _is_meant(table: Table, name: str, given: Given) -> bool:
    kinds = {texts[table.index(name)] for texts in table.texts.values()}
    return all(word in (name, family_of(name)) or word in kinds for word in given.like)


def _apart(value: float, other: float) -> float:
    """How far two sizes are from each other, by their factor."""
    return abs(math.log(value / other)) if other > 0 else math.inf


def _values(table: Table, name: str) -> dict[str, Any]:
    """What the files would say of a part that a table has, by key; None for what nobody gives."""
    place, found = table.index(name), {}
    for key, entry in SHAPES[table.name].entries.items():
        if key in table.texts and entry.many and SHAPES[table.name].expand != key:
            found[key] = tuple(map(float, table.texts[key][place].split(", ")))
        elif key in table.texts:
            found[key] = table.texts[key][place]
        else:
            number = float(table.columns[key][place]) if key in table.columns else math.nan
            found[key] = number if math.isfinite(number) else None
    return found


def _part(given: Given, table: Table, like: str, values: dict[str, Any], name: str = "", label: str = "") -> Part:
    """A part with these values, the others as those of the part that lends them; so with what is assumed."""
    name = name or given.name
    label = label or ", ".join([f"own {given.way.what}", given.shown, *given.like])
    bands = {key: band for key, band in table.assumed.get(like, {}).items() if key not in values}
    return Part(name, "", (table.name, name), {**_values(table, like), **values, "label": label}, bands)


# --- parts with one row of one table --------------------------------------------------------------------------------


def _plain(kit: Kit, given: Given) -> _Made:
    way = given.way
    table = kit.filled(way.table)
    column, value = way.only or ("", 0.0)
    names = [one for one in table.names if not way.only or table.row(one)[column] == value] or table.names
    sizes = {key: size for key, size in given.values.items() if key in table.columns}
    like = _lends(table, names, given, lambda one: sum(_apart(v, table.row(one)[k]) for k, v in sizes.items()))
    values = given.values | _ADJUST.get(way.table, lambda *_: {})(given, table.row(like))
    part = _part(given, table, like, values)
    row = {**table.row(like), **{k: v for k, v in values.items() if v is not None}}
    shown = [f"{quantity.show(row[k], unit)} {words}".strip() for k, unit, words in way.shows if k not in given.values]
    return _Made({way.table: [part]}, f"{'; '.join([*filter(None, [', '.join(shown)]), way.open])} as {like}")


def _rim(given: Given, like: dict[str, float]) -> dict[str, Any]:
    """A drum keeps the height of the rim, so that the rim is always larger than the drum."""
    return {"flange_diameter": given.values["diameter"] + like["flange_diameter"] - like["diameter"]}


def _of_servo(given: Given, like: dict[str, float]) -> dict[str, Any]:
    """A servo draws in proportion to the power that it gives."""
    v = given.values
    speed = v.get("free_speed") or (
        math.radians(60) / v["time_per_60_deg"] if "time_per_60_deg" in v else like["free_speed"]
    )
    volts = v.get("voltage", like["voltage"])
    power = v["stall_torque"] * speed / (like["stall_torque"] * like["free_speed"])
    amps = v.get("stall_current", like["stall_current"] * power * like["voltage"] / volts)
    if v["stall_torque"] * speed > volts * amps:
        raise ValueError(
            f"{given.shown} would give {v['stall_torque'] * speed / 4:.3g} W, more than a quarter of the"
            f" {volts * amps:.3g} W that it takes when held still; read the label again."
        )
    endless = {"travel": None} if like["endless"] else {}
    return {"free_speed": speed, "time_per_60_deg": None, "stall_current": amps, **endless}


def _of_cord(given: Given, like: dict[str, float]) -> dict[str, Any]:
    """A cord bears by its cross-section."""
    thick = (given.values["diameter"] / like["diameter"]) ** 2
    return {"breaking_strength": given.values.get("breaking_strength", like["breaking_strength"] * thick)}


_ADJUST: dict[str, Callable[[Given, dict[str, float]], dict[str, Any]]] = {
    "spools": _rim,
    "servos": _of_servo,
    "cords": _of_cord,
}


# --- gears ----------------------------------------------------------------------------------------------------------


def _gearbox(kit: Kit, given: Given) -> _Made:
    """A gearbox of this ratio, with as many stages as the nearest one; where an input picks motor and gearbox as one
    part, behind the motor that is named, else behind the usual one.
    """
    ratio, fronts = given.values["stages"], pairing.loose(kit.table("motors")) if given.way.also_names else ()
    named = [one for one in given.like if one in fronts]
    rest = tuple(one for one in given.like if one not in fronts)
    given = replace(given, name=",".join((given.name.split(",")[0], *rest)), like=rest)
    table = kit.table("gearboxes")
    table = table if pairing.reducing(table) else kit.own_table("gearboxes")
    like = _lends(table, pairing.reducing(table), given, lambda one: _apart(ratio, table.row(one)["ratio"]))
    part = _part(given, table, like, {"stages": (ratio,)}, label=f"{OWN} gearbox, {given.shown}")
    part.values["stage_count"] = 1 if given.one_pair else int(table.row(like)["stage_count"])
    told = f"losses, strength and mass of one stage as {like}" if given.one_pair else f"{given.way.open} as {like}"
    if not fronts:
        return _Made({"gearboxes": [part]}, told)
    motor = named[0] if named else pairing.usual_of(kit.table("motors"), fronts)
    return _Made({"gearboxes": [part]}, f"behind {motor}; {told}", f"{motor}_{part.name}")


def _pair(kit: Kit, given: Given) -> _Made:
    """Two wheels; the table of last stages makes the pair of them."""
    way, teeth = given.way, given.values["teeth"]
    if teeth[1] < LEAST_RATIO * teeth[0]:
        raise ValueError(
            f"{given.shown} turn {teeth[0] / teeth[1]:.3g} times as fast, but {1 / LEAST_RATIO:g} times is the most;"
            f" the driving wheel comes first: {teeth[1]:.0f}:{teeth[0]:.0f}."
        )
    table = kit.filled(way.table)
    names = table.names if given.like else [one for one in table.names if family_of(one) == family_of(table.usual)]
    parts, lent = [], []
    for number, twin in zip(teeth, ("", "b" if teeth[0] == teeth[1] else "")):
        like = _lends(table, names, given, lambda one, number=number: _apart(number, table.row(one)["teeth"]))
        wheel = f"{'_'.join((OWN, way.what, *given.like))}_{number:.0f}{twin}"
        label = f"{OWN} {' '.join((*given.like, way.what))}, {number:.0f} teeth"
        parts.append(_part(given, table, like, {"teeth": number}, wheel, label))
        lent.append(like)
    return _Made({way.table: parts}, f"{way.open} as {lent[0]}", f"{parts[0].name}_to_{teeth[1]:.0f}")


def own_pair_behind(kit: Kit, motor: str, pair: Own) -> Own:
    """Two wheels, which a kit has as a part of its own, behind a motor that has gears: both as the one gearbox that
    goes with that motor.
    """
    table = kit.table("gearboxes")
    gears, wheels = table.row(motor), table.row(pair.name)
    ratio, efficiency = gears["ratio"] * wheels["ratio"], gears["efficiency"] * wheels["efficiency"]
    through = wheels["ratio"] * wheels["efficiency"]
    label = f"{table.labels[motor]}, then {table.labels[pair.name]}"
    mass = gears["mass"] + wheels["mass"]
    values = _values(table, pair.name) | gearmotors.as_stages(label, ratio, efficiency, math.inf, mass)
    values |= {key: min(gears[key] * through, wheels[key]) for key in ("allowed_small", "allowed_large")}
    values |= {"backlash": gears["backlash"] / wheels["ratio"] + wheels["backlash"], "built_in": 1.0}
    own, lent = (table.assumed.get(one, {}) for one in (motor, pair.name))
    bands = {key: (own if gears[key] * through < wheels[key] else lent).get(key) for key in values if "allowed" in key}
    if "mass" in own:
        bands["mass"] = tuple((share * gears["mass"] + wheels["mass"]) / mass for share in own["mass"])
    name = f"{motor}{pairing.BEHIND}{pair.name}"
    part = Part(name, "", ("gearboxes", name), values, {key: band for key, band in bands.items() if band})
    row = _rows(kit, "gearboxes", [part])
    front = kit.table("motors").row(motor)
    speed = quantity.show(front["free_speed"] / ratio, "rpm")
    torque = quantity.show(front["stall_torque"] * ratio * efficiency, "N·m")
    told = f"{pair.said} They stand behind the motor's own gears: {speed} without load, {torque} when held still."
    with_it = kit.with_more(f"gearbox: {name}", {"gearboxes": row}) if row else kit
    return Own(with_it, name, pair.typed, told, pair.first)


# --- motors ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Output:
    """A motor of the kit as its output shaft shows it; ratio and efficiency are those of its own gears."""

    name: str
    row: dict[str, float]
    gears: dict[str, float] | None
    ratio: float
    speed: float
    torque: float


def _outputs(kit: Kit, bare: bool) -> list[_Output]:
    motors, boxes = kit.table("motors"), kit.table("gearboxes")
    free, found = pairing.loose(motors), []
    for name in free if bare and free else motors.names:
        row = motors.row(name)
        gears = None if name in free else boxes.row(name)
        ratio, efficiency = (gears["ratio"], gears["efficiency"]) if gears else (1.0, 1.0)
        found.append(
            _Output(name, row, gears, ratio, row["free_speed"] / ratio, row["stall_torque"] * ratio * efficiency)
        )
    return found


def _like(kit: Kit, given: Given, speed: float, torque: float, bare: bool) -> _Output:
    """The motor of nearest power; of motors that differ in gears alone the one of nearest speed."""
    outputs = {one.name: one for one in _outputs(kit, bare)}

    def away(name: str) -> float:
        one = outputs[name]
        return _apart(speed * torque, one.speed * one.torque) + SPEED_COUNTS * _apart(speed, one.speed)

    return outputs[_lends(kit.table("motors"), outputs, given, away)]


def _electric(kit: Kit, given: Given, like: _Output, power: float) -> dict[str, float]:
    """Voltage and currents; what is open is in proportion to the power that the motor would give."""
    v, row = given.values, like.row
    volts = v.get("voltage", row["voltage"])
    stall = v.get("stall_current", row["stall_current"] * row["voltage"] / volts * power)
    free = v.get("free_current", stall * row["free_current"] / row["stall_current"])
    if stall <= 2 * free:
        raise ValueError(
            f"current when held still is {stall:.3g} A, not even twice the {free:.3g} A without load; read the label"
            " again."
        )
    if free >= kit.controller.output_limit:
        raise ValueError(
            f"{given.shown} would take {free:.3g} A without load, but the controller gives"
            f" {kit.controller.output_limit:.3g} A at most; read the label again."
        )
    return {"voltage": volts, "stall_current": stall, "free_current": free}


def _told_electric(given: Given, electric: dict[str, float]) -> str:
    words = {"voltage": ("V", ""), "stall_current": ("A", "when held still"), "free_current": ("A", "without load")}
    told = [
        f"{quantity.show(electric[key], unit)} {more}".strip()
        for key, (unit, more) in words.items()
        if key not in given.values
    ]
    return ", ".join(told) + "; " if told else ""


def _label_read_at(given: Given, electric: dict[str, float]) -> tuple[str, ...]:
    """Say at which voltage a label was read that names none: a battery of another voltage does not change the label."""
    if "voltage" in given.values:
        return ()
    volts = electric["voltage"]
    other = f"{next(one for one in OTHER_VOLTAGES if not math.isclose(one, volts)):g}"
    whole = ",".join(one for one in given.name.split(",") if one not in given.like)
    typed = ",".join((whole, f"{other}V", *given.like))
    return (f"Label read at {quantity.show(volts, 'V')}; write {typed} if yours says {other} V.",)


def _bare_motor(kit: Kit, given: Given) -> _Made:
    speed, torque = given.values["free_speed"], given.values["stall_torque"]
    like = _like(kit, given, speed, torque, bare=True)
    electric = _electric(kit, given, like, speed * torque / (like.speed * like.torque))
    plate = (electric["voltage"], speed, electric["free_current"], torque, electric["stall_current"])
    from_nameplate(*plate)
    part = _part(given, kit.table("motors"), like.name, given.values | electric)
    told = f"{_told_electric(given, electric)}{given.way.open} as {like.name}"
    return _Made({"motors": [part]}, told, first=_label_read_at(given, electric))


def _gearmotor(kit: Kit, given: Given) -> _Made:
    """A gearmotor: read as one of the kit's own, with the rotor, heat and mass of a motor of its power."""
    given, first = _with_torque(kit, given)
    speed, torque = given.values["output_speed"], given.values["output_stall"]
    like = _like(kit, given, speed, torque, bare=False)
    ratio = like.ratio * like.speed / speed
    lost = _usual_efficiency(kit, ratio) if like.gears is None else 1.0
    electric = _electric(kit, given, like, speed * torque / (like.speed * like.torque * lost))
    ratio = None if ratio < 1 or (like.gears and like.ratio == 1) else ratio
    entries = SHAPES["gearmotors"].entries
    values = {key: entry.default for key, entry in entries.items()} | given.values | electric
    values |= _rest_of_gearmotor(kit, like, ratio, torque)
    values |= {"label": ", ".join([f"own {given.way.what}", given.shown, *given.like])}
    gearmotor.from_label(electric["voltage"], speed, torque, electric["stall_current"], electric["free_current"])
    part = Part(given.name, "", ("gearmotors", given.name), values)
    motor, gears = gearmotors.rows_of(part, gearmotors.most_passed(kit.spread("efficiency").high))
    behind = f" behind {ratio:.3g} : 1" if ratio else ""
    told = f"{_told_electric(given, electric)}{_lent(kit, like)} as {like.name}{behind}"
    return _Made({"motors": [motor], "gearboxes": [gears]}, told, first=(*first, *_label_read_at(given, electric)))


def _with_torque(kit: Kit, given: Given) -> tuple[Given, tuple[str, ...]]:
    """A gearmotor that goes by its speed alone: as strong as the kit's usual motor behind gears to that speed."""
    if "output_stall" in given.values:
        return given, ()
    outputs = {one.name: one for one in _outputs(kit, bare=False)}
    usual = outputs.get(kit.table("motors").usual) or next(iter(outputs.values()))
    speed = given.values["output_speed"]
    lost = _usual_efficiency(kit, usual.ratio * usual.speed / speed) if usual.gears is None else 1.0
    torque = usual.speed * usual.torque * lost / speed
    shown = quantity.show(torque, "N·m")
    told = (
        f"Torque when held still taken as {shown}, as of {usual.name} behind gears to that speed; write"
        f" {given.name},TORQUE as your label says, such as {given.name},{shown.replace(' ', '').replace('·', '')}."
    )
    return replace(given, values={**given.values, "output_stall": torque}), (told,)


def _lent(kit: Kit, like: _Output) -> str:
    """What a motor lends; what is assumed of it is assumed of the own one, too."""
    assumed = kit.table("motors").assumed.get(like.name, {})
    return "rotor, heat and mass assumed," if "mass" in assumed else "rotor, heat and mass"


def _usual_efficiency(kit: Kit, ratio: float) -> float:
    """Of the loose gearbox of the kit that is nearest to a ratio; without one, of a stage for each factor of 4."""
    boxes = kit.table("gearboxes")
    names = pairing.reducing(boxes)
    if not names:
        return gearmotor.STAGE ** max(math.ceil(math.log(max(ratio, 1.0), 4)), 1)
    near = min(names, key=lambda one: _apart(ratio, boxes.row(one)["ratio"]))
    return boxes.row(near)["efficiency"]


def _rest_of_gearmotor(kit: Kit, like: _Output, ratio: float | None, torque: float) -> dict[str, Any]:
    """What a label may leave out, as far as the files give it of the motor that is like it."""
    motors, boxes = kit.table("motors"), kit.table("gearboxes")
    assumed = motors.assumed.get(like.name, {})
    rotor = ("rotor_inertia",) if ratio else ()
    keys = (*rotor, "heat_capacity", "thermal_resistance", "max_rise", "copper_coefficient", "shaft_diameter")
    known = {key: like.row[key] for key in keys if key not in assumed and math.isfinite(like.row[key])}
    if "mass" not in assumed:
        own = like.gears["mass"] if like.gears else gearmotors.GEARS_MASS * like.row["mass"]
        known["mass"] = like.row["mass"] + own
    if math.isfinite(like.row["counts_per_turn"]):
        known |= {"counts_per_turn": like.row["counts_per_turn"] * (ratio or 1.0), "counts_at": "output"}
    if like.gears:
        share = torque / like.torque
        known |= {"backlash": like.gears["backlash"], "overhang": like.gears["overhang"]}
        known["overhung_load"] = like.gears["overhung_load"] * share
        if "allowed_small" not in boxes.assumed.get(like.name, {}):
            known["allowed"] = like.gears["allowed_small"] * share
    return known | {"ratio": ratio}


class _of_input:
    """Begins a sentence that refuses a figure with the name of the input."""

    def __init__(self, name: str):
        self.name = name

    def __enter__(self) -> None:
        return None

    def __exit__(self, kind: Any, wrong: Any, trace: Any) -> bool:
        if isinstance(wrong, ValueError):
            raise ValueError(f"{self.name}: {wrong}") from None
        return False


def _pad(kit: Kit, given: Given) -> _Made:
    """A pad of its own friction, as one more friction pair."""
    part = Part(
        given.name, "", ("friction", given.name), {**given.values, "label": f"{OWN} pad, friction {given.shown}"}
    )
    return _Made({"friction": [part]}, "coefficient of friction, on a bad day as far off as those of the kit")


_MAKERS: dict[str, Callable[[Kit, Given], _Made]] = {
    "gearmotors": _gearmotor,
    "motors": _bare_motor,
    "gearboxes": _gearbox,
    "spur_gears": _pair,
    "pulleys": _pair,
    "sprockets": _pair,
    "friction": _pad,
}


# --- records --------------------------------------------------------------------------------------------------------


def _battery(kit: Kit, given: Given) -> tuple[dict[str, Record], dict[str, Any], str]:
    """Another battery of the same make: voltages in proportion, resistance by voltage over charge, mass by energy."""
    old = {key: getattr(kit.battery, key) for key in kit.battery}
    volts = given.values.get("nominal", old["nominal"]) / old["nominal"]
    charge = given.values["capacity"] / old["capacity"]
    inner = given.values.get("resistance", old["resistance"] * volts / charge) / old["resistance"]
    scaled = {key: old[key] * volts for key in ("nominal", "open_circuit", "open_circuit_empty")}
    scaled |= {key: old[key] * inner for key in ("resistance", "resistance_worn")}
    new = old | scaled | {"mass": old["mass"] * volts * charge, **given.values, "label": f"own battery, {given.shown}"}
    guard = {key: getattr(kit.controller, key) for key in kit.controller}
    guard["reset_level"] *= volts
    more = {"battery": Record("battery", new), "controller": Record("controller", guard)}
    guarded = f"; so is the guard's lowest voltage, {quantity.show(guard['reset_level'], 'V')}" if volts != 1 else ""
    told = [
        f"{quantity.show(new[key], unit)} {words}".strip()
        for key, unit, words in (("nominal", "V", ""), ("resistance", "ohm", "inside"), ("mass", "kg", ""))
        if key not in given.values
    ]
    return more, battery_spreads(new), f"{', '.join(told)}, in proportion to the kit's{guarded}"


def _fuse(kit: Kit, given: Given) -> tuple[dict[str, Record], dict[str, Any], str]:
    """Another rating of the same type."""
    new = {key: getattr(kit.fuse, key) for key in kit.fuse} | given.values
    return {"fuse": Record("fuse", new)}, {}, "it melts as the kit's, at the same shares of its rating"


_RECORD_MAKERS = {"battery": _battery, "fuse": _fuse}

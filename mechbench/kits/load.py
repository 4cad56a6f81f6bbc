"""The kit in force: which folder, read once, built into tables.

Contents: kit, folder_in_force, work_kit, passed_over, own_kit, with_robots, robot_instead, read_kit, look, table_of,
battery_spreads, copy_kit.
"""

import hashlib
import os
from contextlib import suppress
from functools import cache
from pathlib import Path

from mechbench import kit_folder
from mechbench.kits import robots as whole_robots
from mechbench.kits.agree_game import check_game
from mechbench.kits.agree_robots import check_robots, check_sizes
from mechbench.kits.borrowed import check_without, labelled, told_of_own, with_own
from mechbench.kits.consistent import check_parts, odd_parts
from mechbench.kits.convert import is_old
from mechbench.kits.derived_numbers import DERIVED, assume, derived, told_of_assumed
from mechbench.kits.faults import Faults, KitError
from mechbench.kits.game import game_of, goals_table, told_of_ways, with_ways
from mechbench.kits.gearmotors import with_rows
from mechbench.kits.own import OWN_FOLDER, own_parts
from mechbench.kits.read import read_folder
from mechbench.kits.roles import roles_of
from mechbench.kits.schema import FILES, GAME, MAY_BE_EMPTY, PEOPLE, SHAPES
from mechbench.kits.tables import Kit, Record, Spread, Table

SETTING, WORK = "MECHBENCH_KIT", "MECHBENCH_WORK"
NOT_KNOWN = float("nan")  # in a column: a number that nobody gives and no rule tells

_cache = {}


def kit():
    """Give the kit in force: that in the work folder, else of the folder that MECHBENCH_KIT names, else the course's
    own. Read again after a change.

    >>> kit().table("motors").row("slim")["stall_torque"]
    0.167
    """
    folder = folder_in_force()
    stamp = _stamp(folder)
    if _cache.get("stamp") != (folder, stamp):
        _cache.update(kit=read_kit(folder), stamp=(folder, stamp))
    return _cache["kit"]


def work_kit():
    """The folder `kit` in the learner's work folder: where there is one, it is the kit."""
    work = os.environ.get(WORK, "").strip()
    return Path(os.path.expanduser(work) if work else Path.home() / "mechbench-work").absolute() / kit_folder.FOLDER


def folder_in_force():
    """The folder of the kit in force; KitError where the setting names none."""
    with suppress(RuntimeError):  # an account may have no home folder
        folder = work_kit()
        if kit_folder.holds_kit(folder):
            return folder
    setting = os.environ.get(SETTING, "").strip()
    if not setting:
        return OWN_FOLDER
    folder = Path(os.path.expanduser(setting)).absolute()
    if not folder.is_dir():
        raise KitError(
            f"The setting {SETTING} names {folder}, but there is no such folder; "
            "correct it, or unset it for the course's own kit."
        )
    return folder


def passed_over():
    """A sentence where the setting names another kit than that in the work folder, which is in force; else empty."""
    setting = os.environ.get(SETTING, "").strip()
    if not setting or folder_in_force() == Path(os.path.expanduser(setting)).absolute():
        return ""
    return (
        f"The setting {SETTING} names {setting}, but the kit in the work folder comes first; move that one to use it."
    )


def _stamp(folder):
    """Tell one state of the files from another without reading them."""
    return tuple(_file_stamp(folder / file) for file in (*FILES, whole_robots.FILE))


def _file_stamp(path):
    try:
        state = path.stat()
    except OSError:  # reading the file will say what is wrong with it
        return None
    return state.st_mtime_ns, state.st_size, state.st_ino


def read_kit(folder):
    """Read and check the kit in a folder; KitError tells every fault, with file, table, part and key."""
    folder, faults = Path(folder), Faults()
    parts, usual, borrowed, robots, notes = _looked_at(folder, faults)
    faults.tell()
    parts = with_rows(parts)
    usual = {table: name or (parts[table][0].name if parts[table] else "") for table, name in usual.items()}
    game = game_of(parts, usual)
    roles = roles_of(game)
    pairs = {part.name: part.values["value"] for part in parts["friction"]}
    tables = {
        name: table_of(name, parts[name], usual[name], pairs)
        for name, shape in SHAPES.items()
        if not shape.single and not shape.only and not shape.rows_of and name not in GAME
    }
    records = {name: _record(name, parts[name][0]) for name in ("kit", "battery", "fuse", "controller", "servo_rail")}
    return Kit(
        name=records.pop("kit").label,
        digest=_digest(parts, usual, robots),
        folder=str(folder),
        game=game,
        roles=roles,
        **records,
        robots=robots,
        notes=tuple(notes),
        borrowed=borrowed,
        _tables={**tables, "goals": goals_table(game, roles.first)},
        _spreads=_spreads(parts, roles.people),
        without=parts["kit"][0].values["without"],
        _own_tables=_own_tables,
    )


def look(folder, to_come=()):
    """Give all faults of a kit's folder and all notes, as sentences, however many there are.

    to_come : tables that nobody has written yet; what rests on them is no fault
    """
    faults = Faults()
    with faults.caught():
        *_, notes = _looked_at(Path(folder), faults, to_come)
        return KitError(*faults.found).faults, tuple(notes)
    return tuple(faults.found), ()


def _looked_at(folder, faults, to_come=()):
    """Read and check all files of a folder: parts, usual ones, tables of the course's own, robots and notes."""
    found = read_folder(folder, faults)
    if is_old(found.unknown):
        raise KitError(
            f"{folder / 'game.toml'} is of an older form: python3 -m mechbench kit convert {folder} "
            "brings it over into a new folder, and overwrites nothing."
        )
    robots = ()
    with faults.caught():
        robots = whole_robots.read_robots(folder)
    parts, usual, borrowed = with_own(found, folder)
    check_without(found, faults)
    given, parts = parts, assume(with_ways(parts, found.given))
    check_parts(parts, faults, to_come)
    notes = check_game(parts, {**found.broken, **dict.fromkeys(to_come, ("to come",))}, faults)
    notes += told_of_ways(given, found.given)
    if not faults.found:
        notes += [*odd_parts(parts), *told_of_own(found), *told_of_assumed(given, parts)]
    if parts["limits"]:
        check_sizes(parts, parts["limits"][0].values, faults, to_come)
    notes += check_robots(robots, parts, faults)
    return parts, usual, borrowed, robots, notes


@cache
def _own_tables():
    """The course's own tables of what a team may be without; their labels say so."""
    own = own_parts()
    pairs = {part.name: part.values["value"] for part in own.parts["friction"]}
    return {
        name: table_of(name, [labelled(part) for part in own.parts[name]], own.usual[name], pairs)
        for name in MAY_BE_EMPTY
    }


@cache
def own_kit():
    """The course's own kit, which is at hand whatever kit is in force."""
    return read_kit(OWN_FOLDER)


def with_robots(kit):
    """A kit that has whole robots: this one, or the course's own where it has none."""
    return kit if kit.robots else own_kit()


def robot_instead(kit, name=""):
    """Say that the course's own robot, that of this name or each of them, is told in a kit's place; "" where the kit
    has robots. The one place of these words.
    """
    if kit.robots:
        return ""
    own = own_kit()
    label = next((plan.label for plan in own.robots if plan.name == name), "")
    whose = f"this is {label} of the course's own" if label else "these robots are the course's own"
    return (
        f"Your kit has no robots: {whose}, in the course's own game, {own.game.label}. Yours belong in the file"
        " robots.toml in your kit's folder."
    )


def _record(name, part):
    return Record(name, {**part.values, **derived(name, part.values)})


def table_of(name, parts, usual, pairs):
    """Build a table: columns of numbers, columns of texts; a friction pair gives both its name and its value."""
    entries = SHAPES[name].entries
    more = DERIVED[name].columns if name in DERIVED else {}
    columns, texts, kinds, help = {}, {}, {}, {}
    for key, entry in entries.items():
        if key in ("label", "have") or key in more:  # how many a team has is no number of the part
            continue
        values = [part.values[key] for part in parts]
        help[key] = entry.help
        if entry.kind in ("words", "choice", "pair"):
            texts[key] = values
        if entry.many and SHAPES[name].expand != key:
            texts[key] = [", ".join(f"{value:g}" for value in listed) for listed in values]
        elif entry.kind not in ("words", "choice"):
            known = [NOT_KNOWN if value is None else value for value in values]
            columns[key] = [pairs[value] for value in values] if entry.kind == "pair" else known
            kinds[key] = entry.kind if entry.is_quantity else "number"
    rows = [derived(name, part.values) for part in parts]
    for key, column in more.items():
        columns[key], kinds[key], help[key] = [row[key] for row in rows], column.kind, column.help
    labels = {part.name: part.values["label"] for part in parts}
    return Table(
        name=name,
        names=[part.name for part in parts],
        usual=usual,
        labels=labels,
        columns=columns,
        texts=texts,
        kinds=kinds,
        help=help,
        assumed={part.name: part.assumed for part in parts},
        have={part.name: int(part.values["have"]) for part in parts if part.values.get("have") is not None},
    )


def _spreads(parts, people):
    """Collect the spreads: relative ones as given, absolute ones of battery, fuse and human steps."""
    given = PEOPLE | {part.name: part.values for part in parts["spreads"]}
    spreads = {name: Spread(kind="relative", low=-one["down"], high=one["up"]) for name, one in given.items()}
    spreads |= battery_spreads(parts["battery"][0].values)
    # Nobody sees which fuse of a type is quick: on every day but a good one it is as quick as it may be.
    spreads["fuse"] = _off(low=-0.5, high=-0.5)
    for role in people:
        step = getattr(people, role)
        spreads[f"human_{role}"] = _off(low=step.low - step.likely, high=step.high - step.likely)
    return spreads


def battery_spreads(values):
    """The spreads that a battery's own numbers make: from full to nearly empty, from good to old."""
    return {
        "battery_voltage": _off(low=values["open_circuit_empty"] - values["open_circuit"]),
        "battery_resistance": _off(high=values["resistance_worn"] - values["resistance"]),
    }


def _off(low=0.0, high=0.0):
    return Spread(kind="absolute", low=low, high=high)


def _digest(parts, usual, robots):
    """Digest names and numbers, in SI units to 12 digits; labels and comments may change without changing it."""
    lines = [f"usual {table}: {name}" for table, name in usual.items() if parts[table] or not SHAPES[table].absent]
    for table, listed in parts.items():
        entries = SHAPES[table].entries
        for part in listed:
            told = [
                f"{key}={_canonical(value)}" for key, value in part.values.items() if _counts(entries.get(key), value)
            ]
            told += [f"{key} within {_canonical(band)}" for key, band in part.assumed.items()]
            lines.append(f"{table}.{part.name}: " + " ".join(told))
    for plan in robots:
        lines += [
            f"robots.{plan.name}: {_inner(plan.values)}",
            *(f"{plan.name} {_inner(vars(plan)[kind])}" for kind in whole_robots.INSIDE),
            *(f"{plan.name} {kind}={_inner(vars(plan)[kind])}" for kind in whole_robots.MORE if vars(plan)[kind]),
        ]
    return hashlib.sha256("\n".join(lines).encode("utf-8")).hexdigest()[:12]


def _counts(entry, value):
    """Whether a value tells one kit from another: words do not, nor a key that came later and is left out."""
    return entry is None or not (entry.kind == "words" or entry.later and value == entry.default)


def _inner(values):
    """Nested values as one text; labels are left out."""
    if isinstance(values, dict):
        return (
            "{"
            + " ".join(f"{key}={_inner(value)}" for key, value in values.items() if key not in ("label", "idea"))
            + "}"
        )
    return _canonical(values)


def _canonical(value):
    if isinstance(value, tuple):
        return "[" + ",".join(_canonical(one) for one in value) + "]"
    return f"{value:.12g}" if isinstance(value, float) else str(value)


def copy_kit(folder):
    """Copy the course's own kit files into a folder for a mentor to fill; nothing there is ever overwritten.

    Returns the paths of the new files. KitError when one of the files is there already.
    """
    folder = Path(os.path.expanduser(folder)).absolute()
    sources = sorted(OWN_FOLDER.glob("*.toml"))
    for source in sources:
        if (folder / source.name).exists():
            raise KitError(f"{folder} already holds {source.name}; choose a new folder, nothing was copied.")
    made = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for source in sources:
            made.append(_copy_new(source, folder / source.name))
        return made
    except OSError as error:
        for path in made:  # half a kit would be taken for a whole one
            path.unlink()
        raise KitError(f"The kit cannot be copied to {folder}: {error.strerror}; choose another folder.") from None


def _copy_new(source, target):
    file = target.open("xb")
    try:
        with file:
            file.write(source.read_bytes())
    except OSError:
        target.unlink()
        raise
    return target

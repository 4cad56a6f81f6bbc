"""From a kit's TOML files to checked values: every fault is one sentence that names file, table, part and key, and all
of them are told at once.

Contents: read_folder (the files), Found (what it gives), Part (one part with its values), read_value (one value),
as_share, example_line, and for robots.py parse, check_is_table and read_part.
"""

import math
import re
import tomllib
from dataclasses import dataclass, field
from functools import cache

from mechbench.kits.entry import REQUIRED
from mechbench.kits.faults import Faults, KitError, nearest, place, shown
from mechbench.kits.schema import FILES, SHAPES
from mechbench.quantity import UnreadableQuantity, read, units_of
from mechbench.wording import closest, shortened

MOST_BYTES = 200_000
# A key of thousands of dots makes Python's TOML reader fill the memory; no line of a kit comes near this length.
LONGEST_LINE = 500
NAME = re.compile(r"[a-z][a-z0-9_]{0,39}")
RESERVED = ("every", "usual")
GAME_FILE = "game.toml"


@dataclass(frozen=True)
class Part:
    """One part, or one record: its name, its place in the file, and key -> checked value (SI floats, texts, tuples).

    A key that may be left out, and was, has None. assumed holds the bands of what was assumed afterwards: key -> lowest
    and highest share of the value (`derived_numbers.assume`).
    """

    name: str
    file: str
    path: tuple
    values: dict
    assumed: dict = field(default_factory=dict)

    def fault(self, key, sentence):
        """Make the error for a fault of this part."""
        return KitError(f"{place(self.file, self.path, key)}{sentence}")


@dataclass(frozen=True)
class Found:
    """What the files of a folder say.

    parts : table -> list of Part (one for a record; none for a table that is not there and need not be)
    usual : table -> name of the usual part, "" where the file does not say and there is no part
    given : names of the tables that the files have
    broken : table -> names of entries that are there but can't be read
    unknown : names of tables that the files have and the course does not know
    """

    parts: dict
    usual: dict
    given: tuple
    broken: dict
    unknown: tuple


def read_folder(folder, faults):
    """Read all files of a folder; each fault is added to faults, and what can't be read is left out."""
    contents, unread, unknown = {}, set(FILES), []
    for file, required in FILES.items():
        with faults.caught():
            for table, content in parse(folder, file, required).items():
                if table not in SHAPES:
                    unknown.append(table)
                with faults.caught():
                    _check_table_name(file, table)
                    contents[table] = content
            unread.discard(file)
    parts, usual, broken = {}, {}, {}
    for table, shape in SHAPES.items():
        parts[table], usual[table] = [], ""
        if table in contents or (shape.single and shape.absent and shape.file not in unread):
            with faults.caught():
                # A gearmotor is a motor, too: one may be the usual motor.
                gearmotors = contents.get("gearmotors", {}) if table == "motors" else {}
                more = [name for name in gearmotors if name not in RESERVED] if isinstance(gearmotors, dict) else []
                parts[table], usual[table] = _read_table(table, shape, contents.get(table, {}), faults, more)
            broken[table] = _unread(table, shape, contents.get(table, {}), parts[table])
        elif shape.file == GAME_FILE and not shape.absent and GAME_FILE not in unread:
            faults.found.append(f"{shape.file} has no table [{table}]; {_needs(table)}")
    return Found(parts, usual, tuple(contents), broken, tuple(unknown))


def _unread(table, shape, content, parts):
    """Names of entries of a table that are there but could not be read; the table's own where it is a record."""
    there = content if isinstance(content, dict) else ()
    named = {table} if shape.single else {name for name in there if name not in RESERVED}
    return named - {part.path[-1] for part in parts}


def _needs(table):
    """How to begin a table that must be there."""
    if table == "game":
        return 'add [game] with label = "the name of your game".'
    return 'a match needs driven time: add [phases.driven] with kind = "driven" and time = "120 s".'


def parse(folder, file, required):
    """Parse one file into tables; a file that is not required and not there has none."""
    try:
        data = (folder / file).read_bytes()
    except FileNotFoundError:
        if not required:
            return {}
        raise KitError(
            f"The kit folder {folder} has no {file}; it must have one; parts.toml may be left out."
        ) from None
    except OSError as error:
        raise KitError(f"{file} in the kit folder {folder} cannot be read: {error.strerror}.") from None
    if len(data) > MOST_BYTES:
        raise KitError(f"{file} is {len(data)} bytes long, but at most {MOST_BYTES}; take out what is not of the kit.")
    for number, line in enumerate(data.splitlines(), 1):
        if len(line) > LONGEST_LINE:
            raise KitError(
                f"{file}, line {number}, is {len(line)} bytes long, but at most {LONGEST_LINE}; break it up."
            )
    return _toml(data, file)


def _toml(data, file):
    """Parse the bytes of one file."""
    try:
        return tomllib.loads(data.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise KitError(
            f"{file}, line {line}, is not UTF-8 text; save the file again with the encoding UTF-8."
        ) from None
    except RecursionError:
        raise KitError(f"{file} has brackets inside brackets too often; write each table on its own lines.") from None
    except ValueError as error:
        reason = " ".join(str(error).split())[:200].rstrip(".")
        raise KitError(f"{file} is not written as TOML asks: {reason}; {_toml_hint(data, reason)}") from None


def _toml_hint(data, reason):
    """What is probably wrong with the line that the TOML reader names."""
    hit = re.search(r"at line (\d+)", reason)
    lines = data.decode("utf-8-sig").splitlines()
    line = lines[min(int(hit[1]), len(lines)) - 1].strip() if hit and lines else ""
    key, _, value = (one.strip() for one in line.partition("="))
    value = value.partition("#")[0].strip()
    if re.search("[\u201c\u201d\u201e\u2018\u2019\u00ab\u00bb]", line):
        return 'this line has curly quotes; type straight ones: ".'
    if re.fullmatch(r"[+-]?\d+,\d+", value):
        return f"a number has a decimal point: write {key} = {value.replace(',', '.')}."
    if re.fullmatch(r"[+-]?[\d.,]+\s*[^\d\s\"',.\[\]{}].*", value):
        return f'a number with a unit is text: write {key} = "{shortened(value)}".'
    if value.lower() in ("true", "false", "yes", "no"):
        return f'write {key} = "{value}".'
    return 'a line reads name = value, and text stands between "double quotes".'


def _check_table_name(file, table):
    shape = SHAPES.get(table)
    if shape is None:
        here = [name for name, known in SHAPES.items() if known.file == file]
        raise KitError(f"{file} has a table [{shortened(table)}] that the course does not know; {nearest(table, here)}")
    if shape.file != file:
        raise KitError(f"{file} has the table [{table}], but it belongs in {shape.file}; move it there.")


def _read_table(table, shape, content, faults, more=()):
    """Read one table: its parts, and the name of the usual one, which may be one of more."""
    if not isinstance(content, dict):
        raise KitError(
            f"In {shape.file}, {table} is {shown(content)}, but it must be a table; write [{table}] above its keys."
        )
    if shape.single:
        return [read_part(table, shape, (table,), content, {})], ""
    every = content.get("every", {})
    check_is_table(shape.file, (table, "every"), every)
    _check_known(shape, (table, "every"), every)
    for key, value in every.items():
        read_value(place(shape.file, (table, "every"), key), value, shape.entries[key])
    parts, before = [], len(faults.found)
    for name, values in content.items():
        if name not in RESERVED:
            with faults.caught():
                _check_part_name(shape, table, name)
                check_is_table(shape.file, (table, name), values)
                parts += _expand(shape, read_part(name, shape, (table, name), values, every))
    if before == len(faults.found):
        _check_parts(table, shape, parts)
    names = [*(part.name for part in parts), *more]
    return parts, _usual(table, shape, content, names, strict=before == len(faults.found))


def check_is_table(file, path, values):
    if not isinstance(values, dict):
        raise KitError(
            f"{place(file, path)} is {shown(values)}, but it must be a table; write [{'.'.join(path)}] above its keys."
        )


def _check_part_name(shape, table, name):
    if not NAME.fullmatch(name):
        raise KitError(
            f"In {shape.file}, [{table}] has a part named {shown(name)}; a name starts with a small letter "
            "and has at most 40 small letters a to z, digits and _."
        )
    known = (*shape.must_have, *shape.may_have)
    if shape.only and name not in known:
        raise KitError(f"In {shape.file}, [{table}] has {name}, which the course does not know; {nearest(name, known)}")


def _check_known(shape, path, values):
    unknown = [key for key in values if key not in shape.entries]
    if unknown:
        raise KitError(
            *(
                f"{place(shape.file, path)} has a key {shown(key)} that the course does not know; "
                f"{nearest(key, shape.entries)}"
                for key in unknown
            )
        )


def read_part(name, shape, path, values, every):
    """Read the values of one part; what it does not give itself comes from every, then from the schema. KitError
    tells all that is wrong with it.
    """
    faults, checked = Faults(), {}
    mistyped = {closest(key, shape.entries) for key in values if key not in shape.entries}
    with faults.caught():
        _check_known(shape, path, values)
    kind, needs = _kind_of(shape, path, values, every)
    for key, entry in shape.entries.items():
        with faults.caught():
            checked[key] = _read_key(key, entry, shape, path, values, every)
            if kind and not entry.belongs(kind) and key in values:
                raise KitError(
                    f'{place(shape.file, path, key)} is given, but {shape.by} = "{kind}" has no such number'
                    f" ({entry.help}); take the line out, or change {shape.by}."
                )
            if checked[key] is REQUIRED:
                if needs(entry) and key not in mistyped:
                    raise KitError(
                        f"{place(shape.file, path)} has no {key} ({entry.help}); add a line {example_line(key, entry)}."
                    )
                checked[key] = None
    faults.tell()
    return Part(name, shape.file, path, checked)


def _kind_of(shape, path, values, every):
    """The kind or shape of a part, "" where there is no such key or it can't be read; and which entries it needs."""
    kind = ""
    if shape.by:
        quiet = Faults()
        with quiet.caught():
            kind = _read_key(shape.by, shape.entries[shape.by], shape, path, values, every)
        kind = kind if isinstance(kind, str) else ""
    return kind, lambda entry: entry.belongs(kind)


def _read_key(key, entry, shape, path, values, every):
    """The checked value of one key; REQUIRED where it is given nowhere and has no default."""
    if key in values:
        return read_value(place(shape.file, path, key), values[key], entry)
    if key in every:
        return read_value(place(shape.file, (path[0], "every"), key), every[key], entry)
    return entry.default


def example_line(key, entry):
    """A line of a key as a file would have it, with ... where the value goes."""
    if entry.kind == "choice":
        return f'{key} = "{entry.choices[0]}"'
    if entry.kind in ("number", "count"):
        return f"{key} = [..., ...]" if entry.many else f"{key} = ..."
    text = f"... {units_of(entry.kind)[0]}" if entry.is_quantity else "..."
    return f'{key} = ["{text}", "{text}"]' if entry.many else f'{key} = "{text}"'


def read_value(where, value, entry):
    """Check one value against its entry; a list gives a tuple."""
    if not entry.many:
        return _read_one(where, value, entry)
    if not isinstance(value, list):
        raise KitError(f"{where} is {shown(value)}, but it must be a list: values in [ ] with commas between.")
    if not entry.least <= len(value) <= entry.most:
        raise KitError(
            f"{where} is a list of {len(value)}, but it must be a list of {entry.least} to {entry.most} values."
        )
    values = tuple(_read_one(f"{where}, value {number}", one, entry) for number, one in enumerate(value, 1))
    for before, after in zip(values, values[1:]):
        if entry.order and (after <= before if entry.order == "rise" else after >= before):
            raise KitError(
                f"{where} must {entry.order} from each value to the next; put the list in order, each value once."
            )
    return values


def _read_one(where, value, entry):
    if entry.kind in ("words", "choice", "pair", "name"):
        return _read_text(where, value, entry)
    if entry.is_quantity:
        return _read_quantity(where, value, entry)
    return _read_number(where, value, entry)


def _read_text(where, value, entry):
    if not isinstance(value, str):
        raise KitError(f'{where} is {shown(value)}, but it must be text between "double quotes".')
    if value == "" == entry.default:
        return value  # said as it is understood anyway
    if not value.strip() or len(value) > 80 or not value.isprintable():
        raise KitError(f"{where} is {shown(value)}, but it must be 1 to 80 characters on one line.")
    if entry.choices and value not in entry.choices:
        raise KitError(f"{where} is {shown(value)}, but it must be one of {', '.join(entry.choices)}.")
    return value


def _read_number(where, value, entry):
    if isinstance(value, str) and re.fullmatch(r"\s*[+-]?\d+(?:[.,]\d+)?\s*", value):
        plain = value.strip().replace(",", ".")
        raise KitError(f"{where} is {shown(value)}, but it must be a plain number: write {plain} without quotes.")
    if entry.is_share and isinstance(value, str) and (share := as_share(value)) is not None:
        raise KitError(f"{where} is {shown(value)}, but it must be a plain number: write {share:g} without quotes.")
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise KitError(f"{where} is {shown(value)}, but it must be a plain number without quotes and without unit.")
    if not (entry.low <= value <= entry.high):
        raise _out_of_bounds(where, value, entry)
    if entry.kind == "count" and value != math.floor(value):
        raise KitError(f"{where} is {shown(value)}, but it must be a whole number.")
    return int(value) if entry.kind == "count" else float(value)


def as_share(text):
    """The number that a share in per cent is, 0.1 of "10 %"; None where the text is none."""
    try:
        found = read(text, "fraction")
    except UnreadableQuantity:
        return None
    return float(f"{found.value:.12g}") if found.unit == "%" else None


def _read_quantity(where, value, entry):
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        unit = str(entry.low).partition(" ")[2]
        raise KitError(f'{where} is {shown(value)} without a unit; write it with its unit, such as "{value} {unit}".')
    if not isinstance(value, str):
        raise KitError(f'{where} is {shown(value)}, but it must be text with a unit, such as "{entry.low}".')
    try:
        number = read(value, entry.kind).value
    except UnreadableQuantity as error:
        raise KitError(f"{where}: {error}") from None
    if not (_bound(entry.low, entry.kind) <= number <= _bound(entry.high, entry.kind)):
        raise _out_of_bounds(where, value, entry)
    return float(number)


def _out_of_bounds(where, value, entry):
    return KitError(f"{where} is {shown(value)}, but it must be from {entry.low} to {entry.high} ({entry.help}).")


@cache
def _bound(text, kind):
    return read(text, kind).value


def _expand(shape, part):
    """Make one part for each value of the list that the table expands."""
    if not shape.expand:
        return [part]
    entry = shape.entries[shape.expand]
    parts = []
    for value in part.values[shape.expand]:
        size = f"{value * 1000:.4g} mm" if entry.kind == "length" else f"{value:.0f}"
        suffix = re.sub("[^0-9a-z]", "_", size.removesuffix(" mm"))
        label = shape.expanded.format(label=part.values["label"], value=size)
        parts.append(
            Part(f"{part.name}_{suffix}", part.file, part.path, {**part.values, shape.expand: value, "label": label})
        )
    return parts


def _check_parts(table, shape, parts):
    """Check what concerns the parts of a table together: enough of them, all different."""
    if not parts and not shape.absent:
        raise KitError(f"In {shape.file}, [{table}] has no part; add at least one, under [{table}.its_name].")
    for name in shape.must_have:
        if name not in [part.name for part in parts]:
            raise KitError(f"In {shape.file}, [{table}] has no {name}, which the lessons need; add it.")
    for what in ("name", "label"):
        seen = {}
        for part in parts:
            word = part.name if what == "name" else part.values.get("label") or part.name
            if word in seen:
                raise KitError(
                    f"In {shape.file}, [{'.'.join(seen[word].path)}] and [{'.'.join(part.path)}] both give "
                    f"a part with the {what} {shown(word)}; change one."
                )
            seen[word] = part


def _usual(table, shape, content, names, strict):
    usual = content.get("usual", names[0] if names else "")
    if usual not in names and usual and strict:
        raise KitError(
            f"In {shape.file}, [{table}], usual is {shown(usual)}, which is no part of this table; "
            f"{nearest(usual, names)}"
        )
    return usual

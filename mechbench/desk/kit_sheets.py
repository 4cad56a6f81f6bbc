"""A kit from filled tables of a spreadsheet, one CSV file for each table; and the empty tables to fill in.

Contents: write_empty, read_filled, in_sheets.

The first row names the keys, in any order, as the questions of `kit new` call them or as a kit's file does; each row
below is one entry. Two columns more may stand there: the entry's name in the file, and usual, which has any word in
the row of the part that a lesson shows first. Without a column label, name is what people read. A row whose first
cell begins with # is help and is passed over. Of what there is one of, such as battery, the file has the columns key
and value, or one row. Of what the team has none, the file has one row, none. Commas, semicolons or tabs part the
columns, as the spreadsheet of that country writes them.
"""

import csv
import io
import re
from dataclasses import dataclass, field
from itertools import zip_longest
from pathlib import Path

from mechbench.desk import kit_outline as outline
from mechbench.desk.kit_examples import alike, help_line, typed_example
from mechbench.desk.kit_questions import known_names, labels_of, values_at_once
from mechbench.desk.kit_questions import taken as names_taken
from mechbench.desk.readings import HEADING, text_of
from mechbench.desk.safe_write import write_new
from mechbench.kits import as_typed
from mechbench.kits.as_typed import PLAIN_NUMBER, name_of, own_grip, value_of
from mechbench.kits.entry import REQUIRED
from mechbench.kits.faults import Faults, KitError, nearest, shown
from mechbench.kits.read import NAME
from mechbench.kits.schema import MAY_BE_WITHOUT, SHAPES
from mechbench.quantity import units_of

NAME_COLUMN, USUAL_COLUMN, HELP_MARK, PASSED_OVER = "name", "usual", "#", "?"
NAMED = ("friction", "spreads")  # of these the course knows entries by name
PLACE = re.compile(r"^In \S+, \[([^\]]+)\](?:, (\w+))?")
ENTRY = re.compile(r"\[([a-z_]+)\.([a-z0-9_]+)\]")


# --- empty tables ---------------------------------------------------------------------------------------------------


def write_empty(folder, mark=","):
    """Write an empty table for each table of a kit, with a row of help below its keys; give the paths."""
    folder = Path(folder)
    for table in outline.ALL:
        if (folder / f"{table}.csv").exists():
            raise KitError(f"{folder} already holds {table}.csv; choose a new folder, nothing was written.")
    folder.mkdir(parents=True, exist_ok=True)
    return [write_new(folder / f"{table}.csv", _empty(table, mark)) for table in outline.ALL]


def _empty(table, mark):
    """The text of an empty table. A mark at its beginning tells a spreadsheet which letters are meant."""
    entries = {_heading(table, key): _help(outline.entry(table, key)) for key in SHAPES[table].entries}
    if SHAPES[table].single:
        rows = [("key", "value", "what it is"), *((heading, "", help) for heading, help in entries.items())]
    else:
        helps = ({NAME_COLUMN: _names_help(table)} if table in NAMED else {}) | entries
        first, *rest = helps.values()
        rows = [tuple(helps), (f"{HELP_MARK} {first}", *rest)]
    text = io.StringIO()
    csv.writer(text, delimiter=mark, lineterminator="\r\n").writerows(rows)
    return "\ufeff" + text.getvalue()


def _heading(table, key):
    """A key as people call it; where entries are known by name, the label is no name."""
    title = SHAPES[table].entries[key].title
    return key.replace("_", " ") if not title or (key == "label" and table in NAMED) else title


def _help(entry):
    """What goes into a column, in one cell."""
    unit = f"; unit {', '.join(units_of(entry.kind)[:4])}" if entry.is_quantity else ""
    several = "; several values: and or semicolons between" if entry.many else ""
    needed = "; must be there" if entry.default is REQUIRED and not entry.of else ""
    means = "".join(f"; {one} = {what}" for one, what in zip(entry.choices, entry.means))
    alone = f"; for {' and '.join(entry.of)} alone" if entry.of else ""
    return help_line(entry) + means + unit + several + alone + needed


def _names_help(table):
    known = (*SHAPES[table].must_have, *SHAPES[table].may_have)
    return "; ".join(("a name of small letters and _", *([", ".join(known)] if known else [])))


# --- filled tables --------------------------------------------------------------------------------------------------


@dataclass
class _Sheets:
    """What has been read: tables as a TOML file would hold them, and where each entry stands.

    rows : (table, name) -> (file, row); columns: table -> key -> column as the spreadsheet names it
    without : tables of which the team has nothing; notes: what was taken otherwise than it stands there
    """

    tables: dict = field(default_factory=dict)
    rows: dict = field(default_factory=dict)
    columns: dict = field(default_factory=dict)
    without: list = field(default_factory=list)
    notes: list = field(default_factory=list)
    faults: Faults = field(default_factory=Faults)


def read_filled(folder):
    """Read the filled tables of a folder; KitError tells all faults with file, row and column. What contradicts
    another entry is not seen here: see in_sheets.
    """
    folder, sheets = Path(folder), _Sheets()
    files = _files(folder, sheets.faults)
    grids = {}
    for table in sorted(files, key=list(outline.ALL).index):
        with sheets.faults.caught():
            grids[table] = _grid(files[table], sheets)
    # Names first: a table may name entries of one that comes later.
    entries = {table: _entries(table, grid, sheets) for table, grid in grids.items()}
    for table, grid in grids.items():
        _enter_values(table, grid, entries[table], sheets)
    sheets.faults.tell()
    sheets.tables = {table: content for table, content in sheets.tables.items() if content}
    _enter_without(sheets)
    if not sheets.tables:
        raise KitError(f"The tables in {folder} are all empty; fill in game.csv and phases.csv at least.")
    return sheets


def _enter_without(sheets):
    """Name the tables of which the team has nothing, beside those that a table of the kit itself names."""
    if sheets.without and sheets.tables:
        kit = sheets.tables.setdefault("kit", {})
        kit.setdefault("label", f"{sheets.tables.get('game', {}).get('label', 'own')[:70]} kit")
        kit["without"] = list(dict.fromkeys([*kit.get("without", []), *sheets.without]))


def _files(folder, faults):
    """Table -> its file."""
    if not folder.is_dir():
        raise KitError(f"There is no folder {folder}; name the folder with your CSV files.")
    found = {}
    for path in sorted(folder.iterdir()):
        table = path.stem.strip().lower()
        if path.suffix.lower() != ".csv":
            continue
        if table in outline.ALL:
            found[table] = path
        else:
            faults.found.append(f"{path.name} is no table of a kit; {nearest(table, outline.ALL)}")
    if not found and not faults.found:
        raise KitError(f"{folder} holds no CSV file; save each sheet of your spreadsheet as CSV, such as pieces.csv.")
    return found


@dataclass(frozen=True)
class _Grid:
    """The cells of a file: keys with the unit of their heading, and (row, cells) of each row that has some."""

    file: str
    keys: list
    units: list
    rows: list


def _grid(path, sheets):
    try:
        text = text_of(path)
    except (OSError, ValueError) as error:
        raise KitError(f"{path.name} can't be read: {error}") from None
    lines = text.splitlines()
    told = re.fullmatch(r"sep=(.)", lines[0].strip()) if lines else None
    heading = next((line for line in lines[bool(told) :] if line.strip()), "")
    mark = told[1] if told else max(";\t,", key=heading.count)
    try:
        cells = list(csv.reader(io.StringIO(text, newline=""), delimiter=mark))
    except csv.Error as error:
        raise KitError(f"{path.name} is no CSV ({error}); save it again as CSV.") from None
    rows = [(number, [" ".join(cell.split()) for cell in row]) for number, row in enumerate(cells, 1)]
    rows = [(number, row) for number, row in rows if any(row) and not row[0].startswith(HELP_MARK)][bool(told) :]
    if not rows:
        return _Grid(path.name, [], [], [])
    return _headed(path.stem.strip().lower(), path.name, rows, sheets)


def _headed(table, file, rows, sheets):
    """The rows under their keys; a record with the columns key and value becomes one row."""
    (number, heading), *rest = rows
    if SHAPES[table].single and [cell.lower() for cell in heading[:2]] == ["key", "value"]:
        given = [(row, cells) for row, cells in rest if len(cells) > 1 and cells[1]]
        keys, units = _keys(table, file, [(f"row {row}", cells[0]) for row, cells in given], sheets)
        return _Grid(file, keys, units, [([row for row, _ in given], [cells[1] for _, cells in given])] * bool(given))
    named = [(f"row {number}, column {place}", cell) for place, cell in enumerate(heading, 1)]
    keys, units = _keys(table, file, named, sheets)
    if SHAPES[table].single and len(rest) > 1:
        raise KitError(f"{file}, row {rest[1][0]}: there is one {outline.ALL[table].one} alone; take the row out.")
    return _Grid(file, keys, units, rest)


def _keys(table, file, cells, sheets):
    """The keys that cells name, "" for an empty one, and the units behind them in brackets."""
    faults, called = sheets.faults, sheets.columns.setdefault(table, {})
    known = [*SHAPES[table].entries, *([] if SHAPES[table].single else [NAME_COLUMN, USUAL_COLUMN])]
    titles = {_folded(_heading(table, key)): key for key in SHAPES[table].entries}
    keys, units = [], []
    for where, cell in cells:
        hit = HEADING.fullmatch(cell)
        key, unit = (_folded(hit[1]), hit[2]) if hit else (cell, None)
        key = key if key in known else titles.get(key, key)
        if hit and key:
            called.setdefault(key, hit[1])
        if key and key not in known:
            faults.found.append(
                f"{file}, {where}, names {shown(cell)}, which is no key of {table}; {nearest(key, [*known, *titles])}"
            )
        if key and key in keys:
            faults.found.append(f"{file}, {where}, names {key} a second time; take one out.")
        keys.append(key if not key or (key in known and key not in keys) else PASSED_OVER)
        units.append(unit)
    return keys, units


def _folded(heading):
    return heading.strip().lower().replace(" ", "_").replace("-", "_")


def _entries(table, grid, sheets):
    """Give each row its entry, so that others may name it: (its name, values to fill, row, cells)."""
    content, found = sheets.tables.setdefault(table, {}), []
    for row, cells in grid.rows:
        given = dict(zip(grid.keys, cells))
        if "label" not in grid.keys and table not in NAMED:
            given["label"] = given.pop(NAME_COLUMN, "")
        if not SHAPES[table].single and _says_none(given):
            _told_none(table, f"{grid.file}, row {row}", sheets)
            continue
        name, values = "", content
        with sheets.faults.caught():
            if not SHAPES[table].single:
                name = _entry_name(table, grid.file, row, given, sheets.tables)
                values = content[name] = {"label": given["label"]} if given.get("label") else {}
                if given.get(USUAL_COLUMN):
                    content["usual"] = name
            sheets.rows[table, name] = (grid.file, row)
            found.append((name, values, row, cells))
    return found


def _says_none(given):
    """Whether a row says nothing but that there is none."""
    told = [cell for cell in given.values() if cell]
    return len(told) == 1 and as_typed.is_none(given.get("label", "") or given.get(NAME_COLUMN, "") or "-?")


def _told_none(table, where, sheets):
    if table in MAY_BE_WITHOUT:
        sheets.without.append(table)
    elif outline.has_own(table):
        sheets.notes.append(f"{where}: {outline.stands_in(table)}")


def _entry_name(table, file, row, given, tables):
    """The name of a row's entry: its own, or made from its label."""
    name, label = given.get(NAME_COLUMN, ""), given.get("label", "") or given.get("kind", "")
    where = f"{file}, row {row}, column {NAME_COLUMN}, is {shown(name)}"
    if not name and not label:
        raise KitError(f"{file}, row {row}, has no label ({SHAPES[table].entries['label'].help}); fill it in.")
    if given.get("label"):
        as_typed.refuse_as_name(label, f"{file}, row {row}, column {NAME_COLUMN},", alone=False)
    if name and not NAME.fullmatch(name):
        raise KitError(
            f"{where}; a name starts with a small letter and has at most 40 small letters a to z, digits and _."
        )
    if name in tables[table]:
        raise KitError(f"{where} a second time; change one.")
    return name or name_of(label, names_taken(table, tables), outline.ALL[table].one.split()[-1])


def _enter_values(table, grid, entries, sheets):
    """Read the cells of a table."""
    for name, values, row, cells in entries:
        for place, (key, unit, cell) in enumerate(zip_longest(grid.keys, grid.units, cells, fillvalue="")):
            if cell and key not in (NAME_COLUMN, USUAL_COLUMN, PASSED_OVER):
                where = _cell_name(grid.file, row, place, sheets.columns[table].get(key, key))
                for one, text in values_at_once(table, key, cell) or [(key, cell)]:
                    with sheets.faults.caught():
                        _enter(table, name, values, one, _cell(table, one, unit, text, where, sheets), sheets.tables)


def _enter(table, name, values, key, value, tables):
    """Enter what a cell holds, if it holds something."""
    if value is not None and SHAPES[table].entries[key].kind == "pair" and not isinstance(value, str):
        own_grip(tables, table, name, key, value, tables.get("field", {}).get("floor", "floor"))
    elif value is not None:
        values[key] = value


def _cell_name(file, row, place, key):
    if isinstance(row, list):  # of a record: each key has a row of its own
        return f"{file}, row {row[place]}, {key}"
    return f"{file}, row {row}, column {key or place + 1}"


def _cell(table, key, unit, cell, where, sheets):
    """What a TOML file would hold for one cell; None where it says that the key is left out. Where the cell says it in
    other words, a note tells what was taken.
    """
    if not key:
        raise KitError(f"{where}, is {shown(cell)}, but the first row names no key there; name it, or empty the cell.")
    entry, tables = outline.entry(table, key), sheets.tables
    as_typed.refuse_unknown(cell, entry, where, typed_example(table, key))
    if as_typed.left_out(cell, entry, _heading(table, key)) or (entry.of and as_typed.says_nothing(cell, entry)):
        return None
    if as_typed.is_none(cell) and entry.is_quantity and not as_typed.no_time(cell, entry):
        raise KitError(f"{where}, says {cell}, but it must be there ({entry.help}); find it out, or take the row out.")
    if unit and entry.is_quantity:
        parts = re.split(";", cell) if ";" in cell else [cell]
        cell = ";".join(f"{part.strip()} {unit}" if PLAIN_NUMBER.fullmatch(part.strip()) else part for part in parts)
    value = value_of(cell, entry, where, known_names(entry, tables), alike(table, key))
    said = "" if entry.kind == "pair" else as_typed.told(cell, value, entry, labels_of(entry, tables))
    sheets.notes += [f"{where}: taken: {said}"] if said else []
    return value


def in_sheets(sentences, sheets):
    """Faults of the kit that filled tables make, with file, row and column instead of the place in a kit's file."""
    return [_in_sheet(one, sheets) for one in sentences]


def _in_sheet(sentence, sheets):
    hit = PLACE.match(sentence)
    if not hit:
        return sentence
    table, _, name = hit[1].partition(".")
    file, row = sheets.rows.get((table, name), ("", 0))
    if not file:
        return sentence
    at = "" if isinstance(row, list) else f", row {row}"
    called = sheets.columns.get(table, {}).get(hit[2], hit[2])
    key = f", column {called}" if called and at else f", {called}" if called else ""
    return f"{file}{at}{key}{ENTRY.sub(lambda one: _row_of(one, sheets), sentence[hit.end() :])}"


def _row_of(hit, sheets):
    """The row of another entry that a sentence names."""
    file, row = sheets.rows.get((hit[1], hit[2]), ("", 0))
    return f"{file}, row {row}," if file else hit[0]

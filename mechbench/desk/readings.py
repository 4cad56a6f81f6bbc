"""Readings from a CSV file: columns with their units in the heading, every fault told with its line.

    load [N],pull [N]
    5.0,1.1
    10.0,1.9

Contents: Sheet, read_sheet, sheet_of, heading_of, sheet_text, text_of, HEADING.

Commas, semicolons or tabs part the columns; with semicolons or tabs a number may have a decimal comma. Empty lines and
lines that begin with # are skipped. Columns that are not asked for may stand there too.
"""

import csv
import io
import math
import re
import stat
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from mechbench import quantity
from mechbench.wording import nearest, quoted, shortened

MOST_BYTES, MOST_ROWS, LONGEST_CELL = 1_000_000, 10_000, 80
HEADING = re.compile(r"\s*([^\[\]]+?)\s*(?:\[([^\[\]]*)\])?\s*")


@dataclass(frozen=True)
class Sheet:
    """Readings: name -> array in SI, or tuple of words; units as they stood in the heading."""

    columns: dict
    units: dict
    source: str

    def __len__(self):
        return len(next(iter(self.columns.values())))


def read_sheet(path, asked):
    """Read the columns that are asked for: name -> kind of quantity, or a tuple of words that may stand there."""
    path = Path(path)
    return sheet_of(text_of(path), asked, shortened(path.name))


def text_of(path):
    """The text of a CSV file, in whatever way a spreadsheet wrote its letters."""
    state = path.stat()
    if not stat.S_ISREG(state.st_mode):
        raise ValueError(f"{quoted(path.name)} is no file that can be read; give a CSV file with readings.")
    if state.st_size > MOST_BYTES:
        raise ValueError(
            f"{quoted(path.name)} has {state.st_size} bytes, but at most {MOST_BYTES}; leave readings out."
        )
    data = path.read_bytes()
    try:
        return data.decode("utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig")
    except UnicodeDecodeError:
        # Spreadsheets on Windows save so; what stands in a heading's unit may then be lost, and is told there.
        return data.decode("cp1252", errors="replace")


def sheet_of(text, asked, source="the readings"):
    """Read the columns that are asked for from the text of a CSV file."""
    rows = [
        (number, line)
        for number, line in enumerate(text.splitlines(), 1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if len(rows) < 2:
        raise ValueError(
            f"{source} holds no readings; it needs a heading, {heading_of(asked)}, and a line for each reading."
        )
    if len(rows) > MOST_ROWS + 1:
        raise ValueError(f"{source} holds {len(rows) - 1} readings, but at most {MOST_ROWS}; leave some out.")
    mark = max(";\t,", key=rows[0][1].count)
    cells = [(number, _split(line, mark, source, number)) for number, line in rows]
    places, units = _headings(cells[0][1], asked, source)
    columns = {name: [] for name in asked}
    for number, row in cells[1:]:
        for name, place in places.items():
            cell = row[place].strip() if place < len(row) else ""
            columns[name].append(_cell(cell, asked[name], units[name], f"{source}, line {number}, {name}", mark))
    found = {name: tuple(c) if isinstance(asked[name], tuple) else np.array(c) for name, c in columns.items()}
    return Sheet(found, units, source)


def heading_of(asked):
    """The heading that is asked for."""
    return ",".join(
        name if isinstance(kind, tuple) else f"{name} [{quantity.units_of(kind)[0]}]" for name, kind in asked.items()
    )


def _split(line, mark, source, number):
    try:
        return next(csv.reader(io.StringIO(line), delimiter=mark))
    except csv.Error as error:
        raise ValueError(f"{source}, line {number}, is no CSV ({error}); save it again as CSV.") from None


def _headings(cells, asked, source):
    """The place and the unit of each column that is asked for."""
    there = {}
    for place, cell in enumerate(cells):
        hit = HEADING.fullmatch(cell[:LONGEST_CELL])
        if hit:
            there[hit[1].lower().replace(" ", "_")] = (place, hit[2])
    places, units = {}, {}
    for name, kind in asked.items():
        if name not in there:
            raise ValueError(
                f"{source} has no column {quoted(name)}; {nearest(name, there)} The heading reads {heading_of(asked)}."
            )
        places[name], unit = there[name]
        units[name] = "" if isinstance(kind, tuple) else _unit(unit, kind, f"{source}, column {name}")
    return places, units


def _unit(unit, kind, where):
    wanted = f"write {quantity.KINDS[kind]} there, such as [{quantity.units_of(kind)[0]}]"
    if unit is None or not unit.strip():
        raise ValueError(f"{where} has no unit in its heading; {wanted}.")
    try:
        found = quantity.read(f"1 {unit}", kind).unit
    except ValueError:
        raise ValueError(f"{where} has the unit {quoted(unit.strip())}; {wanted}.") from None
    return found


def _cell(cell, kind, unit, where, mark):
    if isinstance(kind, tuple):
        if cell.lower() not in kind:
            raise ValueError(f"{where} is {quoted(cell)}, but it must be {' or '.join(kind)}.")
        return cell.lower()
    plain = cell.replace(",", ".") if mark != "," else cell
    try:
        value = float(plain) if cell.isascii() and len(cell) <= LONGEST_CELL else math.nan
    except ValueError:
        value = math.nan
    if not math.isfinite(value) or abs(value) > quantity.LARGEST:
        raise ValueError(f"{where} is {quoted(cell)}, but it must be a plain number; its unit stands in the heading.")
    return float(quantity.to_si(value, unit))


def sheet_text(asked, rows=6):
    """An empty sheet to print or to fill in."""
    heads = heading_of(asked)
    return heads + "\n" + ("," * heads.count(",") + "\n") * rows

"""From measurement to model: readings correct a part of the team's kit, with an interval, and say so before they do.

Contents: correct, Correction, command.

    mb.correct("friction", "pulls.csv", part="slide_rail")             what the kit says, what the readings say
    mb.correct("friction", "pulls.csv", part="slide_rail").save("our_kit")     ... and into the team's kit
"""

import datetime
import json
import os
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from mechbench import quantity
from mechbench.command_line import typed
from mechbench.desk import kit_file, readings, text_table
from mechbench.desk.arguments import path_named, read_line
from mechbench.desk.command_words import BadQuestion, Option, answered, options_lines
from mechbench.desk.fits import FITS, About, Fit
from mechbench.desk.rich_text import Pictured
from mechbench.desk.safe_write import write_new
from mechbench.kits import copy_kit, pairing, read_kit
from mechbench.kits import kit as kit_in_force
from mechbench.kits.load import OWN_FOLDER, folder_in_force
from mechbench.kits.schema import SHAPES
from mechbench.wording import nearest, quoted

TYPED = f"{typed()} correct"
DIGITS = 4
WITHOUT_UNIT = {"number": "", "fraction": "%"}  # kind of quantity -> how it is shown
MOST_SHOWN = 12  # readings that the text tells
CONFIDENCE = "95 of 100 such intervals hold the true value"
DONE, NOT_WRITTEN = 0, 1
OPTIONS = {
    "--help": Option("", "what can be corrected, and from which columns"),
    "--kit": Option("FOLDER", "your team's kit; where there is none yet, the course's own is copied there first"),
    "--yes": Option("", "write it without asking"),
    "--picture": Option("FILE.png", "readings, what the kit said, and the curve through the readings"),
    "--sheet": Option("FILE.csv", "write an empty sheet with the right headings"),
    "--json": Option("", "print everything as JSON, for another program"),
}


@dataclass(frozen=True)
class Correction(Pictured):
    """What readings say of a part: constants with their intervals, what was predicted and what was measured."""

    fit: Fit
    about: About
    sheet: readings.Sheet
    constants: tuple

    def before(self):
        """The column that is predicted, with the kit's own numbers."""
        return self.fit.predict(self.sheet.columns, self.about, {c.name: c.before for c in self.constants})

    def after(self):
        """The same with the numbers from the readings."""
        return self.fit.predict(self.sheet.columns, self.about, {c.name: c.after.value for c in self.constants})

    def numbers(self):
        """The numbers of the kit that change: (table, part, key) -> SI value."""
        found = self.fit.keys(self.about, {c.name: c.after.value for c in self.constants})
        return {
            (_written_in(self.about.kit, table, part, key), part, key): value
            for (table, part, key), value in found.items()
        }

    def save(self, folder, today=None):
        """Write the numbers into a team's kit and keep the old file beside it; give the path of the old file."""
        return kit_file.save(self.planned(folder, today))

    def planned(self, folder, today=None):
        """What save would write."""
        day = today or datetime.date.today().isoformat()
        remark = f"measured {day}, {len(self.sheet)} readings"
        changes = [
            kit_file.Change(
                table, kit_file.entry_of(folder, table, part) if part else "", key, _as_toml(table, key, value), remark
            )
            for (table, part, key), value in self.numbers().items()
        ]
        return kit_file.plan(folder, changes)

    def __repr__(self):
        return text_of(self)

    def png(self):
        """Readings, what the kit said, and the curve through the readings."""
        return picture(self)


def correct(what, sheet, part="", kit=None, **more):
    """Fit readings and compare them with the kit.

    what : one of FITS: "friction", "slide", "gearbox", "motor", "warming", "spin_up", "battery", "spring"
    sheet : a CSV file, or a table of columns {"press [N]": [5, 10], "pull [N]": [1.1, 1.9]}
    part : name of the part in the kit; not for the battery
    more : what else must be told: motor="small" for a gearbox, current="5 A" for warming
    """
    if what not in FITS:
        raise ValueError(f"{quoted(what)} can't be corrected; {nearest(what, FITS)}")
    fit, known = FITS[what], kit or kit_in_force()
    about = About(known, _part(fit, part, known), _more(fit, more, known))
    read = _from_table(sheet, fit) if isinstance(sheet, dict) else readings.read_sheet(sheet, fit.columns)
    done = Correction(fit, about, read, fit.find(read.columns, about))
    done.numbers()  # says at once where the kit has no line for them
    return done


def _from_table(table, fit):
    """Columns typed in a notebook, read as the same lines of a file would be."""
    lengths = {len(column) for column in table.values()}
    if len(lengths) != 1:
        raise ValueError("The columns are not of one length; give one value of each for every reading.")
    rows = [
        ",".join(f'"{head}"' for head in table),
        *(",".join(str(value) for value in row) for row in zip(*table.values())),
    ]
    return readings.sheet_of("\n".join(rows), fit.columns)


def _part(fit, part, known):
    if SHAPES[fit.table].single:
        if part:
            raise ValueError(f"{fit.name} belongs to the whole kit, not to one part; leave part={quoted(part)} out.")
        return ""
    names = known.table(fit.table).names
    if part in names:
        return part
    if not part:
        raise ValueError(f"Say which part was measured: part=NAME, {nearest('', names)}")
    raise ValueError(f"part={quoted(part)} is not in the kit's table {fit.table}; {nearest(part, names)}")


def _written_in(known, table, part, key):
    """The table in which the file has a number of a part: the rows of a gearmotor come from its label."""
    if table not in ("motors", "gearboxes") or part in pairing.loose(known.table(table)):
        return table
    if key not in SHAPES["gearmotors"].entries:
        raise ValueError(
            f"{key} of {part} follows from its label, so there is no line to correct; write what was measured into"
            f" [gearmotors.{part}], as torques, speeds and currents at two loads."
        )
    return "gearmotors"


def _more(fit, more, known):
    for name in more:
        if name not in fit.more:
            raise ValueError(f"{quoted(name)} is not asked for {fit.name}; {nearest(name, [*fit.more, 'part'])}")
    told = {}
    for name, kind in fit.more.items():
        if name not in more:
            raise ValueError(f"{fit.name} also needs {name}=..., {_for_example(kind, known)}.")
        if kind in known.tables():
            if more[name] not in known.table(kind).names:
                raise ValueError(
                    f"{name}={quoted(more[name])} is not in the kit's table {kind};"
                    f" {nearest(more[name], known.table(kind).names)}"
                )
            told[name] = more[name]
        else:
            told[name] = quantity.read(more[name], kind).value if isinstance(more[name], str) else float(more[name])
    return told


def _for_example(kind, known):
    return (
        f"such as {known.table(kind).names[0]}" if kind in known.tables() else f"such as 5{quantity.units_of(kind)[0]}"
    )


def _as_toml(table, key, value):
    """A number as a kit's file has it: text with its usual unit, or a plain number."""
    kind = SHAPES[table].entries[key].kind
    if not SHAPES[table].entries[key].is_quantity:
        return f"{value:.{DIGITS}g}"
    return f'"{quantity.show(value, quantity.units_of(kind)[0], digits=DIGITS)}"'


# --- showing --------------------------------------------------------------------------------------------------------


def _unit(kind):
    return WITHOUT_UNIT[kind] if kind in WITHOUT_UNIT else quantity.units_of(kind)[0]


def text_of(done):
    """What the kit says, what the readings say, and how far each is from the readings."""
    said = lambda value, kind: quantity.show(value, _unit(kind))
    of = f" of {done.about.part}" if done.about.part else ""
    lines = [f"{done.fit.name}{of}, from {len(done.sheet)} readings", ""]
    rows = [("", "the kit", "measured", "interval", "")]
    for c in done.constants:
        inside = "as the kit says" if c.after.low <= c.before <= c.after.high else "other than the kit says"
        rows.append(
            (
                c.name,
                said(c.before, c.kind),
                said(c.after.value, c.kind),
                f"{said(c.after.low, c.kind)} to {said(c.after.high, c.kind)}",
                inside,
            )
        )
    lines += [*text_table.table(rows), f"  (interval: {CONFIDENCE})", "", *_compared(done)]
    lines += ["", "  In the kit this would read:", *(f"    {line}" for line in _kit_lines(done))]
    return "\n".join(lines)


def _compared(done):
    """Predicted against measured, reading by reading (the first ones), and the typical distance."""
    x, y = done.fit.x, done.fit.y
    unit = {name: done.sheet.units[name] for name in (x, y)}
    said = lambda value, name: quantity.show(value, unit[name])
    table = zip(done.sheet.columns[x], done.sheet.columns[y], done.before(), done.after())
    rows = [(x, f"{y} measured", "the kit said", "corrected")]
    rows += [(said(a, x), said(b, y), said(c, y), said(d, y)) for a, b, c, d in list(table)[:MOST_SHOWN]]
    off = [
        float(np.sqrt(np.mean((predicted - done.sheet.columns[y]) ** 2))) for predicted in (done.before(), done.after())
    ]
    rows.append(("typically off by", "", said(off[0], y), said(off[1], y)))
    return text_table.table(rows, right=(0, 1, 2, 3))


def _kit_lines(done):
    for (table, part, key), value in done.numbers().items():
        yield f"[{table}{f'.{part}' if part else ''}] {key} = {_as_toml(table, key, value)}"


def data_of(done):
    """The correction as plain data, SI."""
    return {
        "what": done.fit.name,
        "part": done.about.part,
        "readings": len(done.sheet),
        "constants": {
            c.name: {"kit": c.before, "measured": c.after.value, "low": c.after.low, "high": c.after.high}
            for c in done.constants
        },
        "measured": [float(v) for v in done.sheet.columns[done.fit.y]],
        "predicted": [float(v) for v in done.before()],
        "corrected": [float(v) for v in done.after()],
        "kit": {
            f"{table}.{part}.{key}".replace("..", "."): value for (table, part, key), value in done.numbers().items()
        },
    }


def picture(done):
    """Readings, what the kit said, and the curve through the readings, as PNG."""
    from mechbench.desk import pictures  # matplotlib, only when a picture is asked for

    x, y = done.fit.x, done.fit.y
    shown_in = lambda values, name: quantity.from_si(np.asarray(values), done.sheet.units[name])
    label = lambda name: f"{name} [{quantity.written(done.sheet.units[name])}]"
    return pictures.readings(
        x=shown_in(done.sheet.columns[x], x),
        y=shown_in(done.sheet.columns[y], y),
        before=shown_in(done.before(), y),
        after=shown_in(done.after(), y),
        x_label=label(x),
        y_label=label(y),
    )


# --- the command ----------------------------------------------------------------------------------------------------


def command(arguments):
    """Answer one line typed after `correct`; give the exit code: 0 done, 1 not written, 2 can't be answered."""
    return answered(_answer, arguments)


def _answer(arguments):
    line = read_line(arguments, OPTIONS, file=True)
    if not line.name:
        print(help_text())
        return DONE
    if line.name not in FITS:
        raise BadQuestion(f"{quoted(line.name)} can't be corrected; {nearest(line.name, FITS)}")
    fit = FITS[line.name]
    if line.has("--sheet"):
        return _empty_sheet(line, fit)
    if line.has("--help") or not line.file:
        print(help_of(fit))
        return DONE
    folder = _folder(line)
    part = line.given.pop("part", "")
    done = correct(
        line.name,
        path_named(line.file),
        part,
        read_kit(folder) if folder and _holds_kit(folder) else None,
        **line.given,
    )
    text = json.dumps(data_of(done), indent=1) if line.has("--json") else text_of(done)
    print(text, flush=True)
    if line.has("--picture"):
        _save_picture(line, done)
    return _offer(line, done, folder)


def _folder(line):
    """The team's kit: the folder named, else that of the kit in force; "" where that is the course's own."""
    named = line.one("--kit")
    if named:
        return str(Path(os.path.expanduser(path_named(named))).absolute())
    folder = folder_in_force()
    return "" if folder == OWN_FOLDER else str(folder)


def _holds_kit(folder):
    return (Path(folder) / kit_file.PARTS).exists()


def _save_picture(line, done):
    path = path_named(line.one("--picture"), (".png",))
    print(f"\nThe picture is {write_new(path, picture(done))}.")


def _empty_sheet(line, fit):
    path = path_named(line.one("--sheet"), (".csv",))
    print(f"The empty sheet is {write_new(path, readings.sheet_text(fit.columns))}.")
    return DONE


def _offer(line, done, folder):
    """Say how the kit would be written, ask, and write it."""
    if not folder:
        if not line.has("--json"):
            print(
                "\nNothing is written: the kit in use is the course's own. With --kit FOLDER it goes into your team's"
                " kit."
            )
        return DONE
    if not _agreed(line, folder):
        print("Nothing is written.", file=sys.stderr)
        return NOT_WRITTEN
    if not _holds_kit(folder):
        copy_kit(folder)
    planned = done.planned(folder)
    old = kit_file.save(planned)
    changed = "\n".join([*(f"  - {text}" for text in planned.taken_out), *(f"  + {text}" for text in planned.put_in)])
    use = "" if Path(folder) == folder_in_force() else f" To use this kit: {typed()} kit use {folder}"
    print(
        f"\nWritten into {folder}:\n{changed}\nThe file as it was is {old.name} beside it.{use}",
        file=sys.stderr if line.has("--json") else sys.stdout,
    )
    return DONE


def _agreed(line, folder):
    if line.has("--yes"):
        return True
    if not sys.stdin or not sys.stdin.isatty():
        print("Nobody can be asked here; add --yes to write it.", file=sys.stderr)
        return False
    copy = "" if _holds_kit(folder) else "copy the course's own kit there and "
    print(f"\nFor {folder}: {copy}write these numbers? The old file is kept. y or n: ", end="", flush=True)
    return sys.stdin.readline().strip().lower() in ("y", "yes")


def help_text():
    """What can be corrected."""
    lines = [f"{TYPED} WHAT FILE.csv part=NAME --kit FOLDER", "", "What can be corrected:"]
    lines += text_table.table([(name, fit.does) for name, fit in FITS.items()])
    return "\n".join([*lines, "", f"{TYPED} WHAT tells the columns.", "", *options_lines(OPTIONS)])


def help_of(fit):
    """How one thing is measured, and which columns are read."""
    part = "" if SHAPES[fit.table].single else " part=NAME"
    more = "".join(f" {name}=..." for name in fit.more)
    lines = [f"{TYPED} {fit.name} FILE.csv{part}{more} --kit FOLDER", "", *text_table.wrapped(f"Corrects {fit.does}.")]
    lines += [
        *text_table.wrapped(fit.how),
        "",
        "  The file's first line reads (other units will do):",
        f"    {readings.heading_of(fit.columns)}",
    ]
    if part:
        lines += [
            "",
            *text_table.wrapped(
                f"part: one of the kit's {fit.table}: {', '.join(kit_in_force().table(fit.table).names)}"
            ),
        ]
    return "\n".join([*lines, "", *options_lines(OPTIONS)])

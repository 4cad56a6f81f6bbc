"""The team's kit file changed by the line: only the numbers that were measured, everything else stays as it was
written.

Contents: Change, Plan, plan, save, entry_of.

The changed text is read by the kit's own reader before anything is written, and compared: a change that would alter
anything else is refused. The file as it was is kept beside the new one, under a name of its own.
"""

import os
import re
import tempfile
import tomllib
from dataclasses import dataclass
from pathlib import Path

from mechbench.desk.safe_write import write_new, write_over
from mechbench.kits import KitError, read_kit
from mechbench.kits.load import OWN_FOLDER
from mechbench.kits.own import own_parts
from mechbench.kits.schema import SHAPES
from mechbench.kits.toml_text import toml

PARTS = "parts.toml"
VALUE = r'"[^"\n]*"|[0-9.eE+-]+'  # of a key that can be measured: text with a unit, or a plain number


@dataclass(frozen=True)
class Change:
    """One number to change: table, part ("" for a record such as battery), key, its new value as TOML, and a remark."""

    table: str
    part: str
    key: str
    value: str
    remark: str = ""


@dataclass(frozen=True)
class Plan:
    """What a file will read, and the lines that change, as they are and as they will be."""

    folder: Path
    text: str
    taken_out: tuple
    put_in: tuple


def plan(folder, changes):
    """Work out the changed parts.toml of a kit folder; nothing is written. KitError or ValueError says why it can't
    be.
    """
    folder = Path(os.path.expanduser(folder)).absolute()
    if folder == OWN_FOLDER:
        raise ValueError("The course's own kit stays as it is; name a folder for your team's kit with --kit FOLDER.")
    before = (folder / PARTS).read_bytes().decode("utf-8-sig")
    # A file saved on Windows ends its lines in two signs; it keeps them.
    text = before.replace("\r\n", "\n")
    for change in changes:
        text = _changed(text, change)
    text = text.replace("\n", "\r\n") if "\r\n" in before else text
    _check(folder, before, text, changes)
    old, new = before.splitlines(), text.splitlines()
    kept, added = set(old), set(new)
    taken_out, put_in = (line for line in old if line not in added), (line for line in new if line not in kept)
    return Plan(folder=folder, text=text, taken_out=tuple(taken_out), put_in=tuple(put_in))


def save(planned):
    """Write the changed file and keep the old one beside it; give the path of the old one."""
    path = planned.folder / PARTS
    old = _keep(path)
    write_over(path, planned.text)
    return old


def _keep(path):
    """Copy a file under the first free name: parts-before.toml, parts-before-2.toml ..."""
    return write_new(path.with_name("parts-before.toml"), path.read_bytes())


# --- the text -------------------------------------------------------------------------------------------------------


def _changed(text, change):
    """The text with one number changed: in the part's own lines, in its braces, or added where `every` gives it."""
    path = f"{change.table}.{change.part}" if change.part else change.table
    header = re.search(rf"^\[{re.escape(path)}\][^\n]*\n", text, re.MULTILINE)
    if header:
        return _in_section(text, header.end(), change)
    table = re.search(rf"^\[{re.escape(change.table)}\][^\n]*\n", text, re.MULTILINE)
    braces = re.compile(rf"^{re.escape(change.part)}[ \t]*=[ \t]*\{{[^\n]*\}}[^\n]*$", re.MULTILINE)
    line = table and braces.search(text, table.end(), _end(text, table.end()))
    if not line and change.table == "friction":
        return _added(text, change)
    if not line and not table:
        raise ValueError(
            f"{PARTS} leaves [{change.table}] out, so that the course's own stand in, and these stay as they are; write"
            f" your team's own into the file first, under [{path}]."
        )
    if not line:
        raise ValueError(
            f"{PARTS} does not write [{path}] in a way that can be changed by the line; write its keys below a line"
            f" [{path}]."
        )
    return text[: line.start()] + _in_braces(line.group(), change) + text[line.end() :]


def _added(text, change):
    """The text with a friction pair that was the course's own so far: a kit may give some pairs alone."""
    label = next(one.values["label"] for one in own_parts().parts[change.table] if one.name == change.part)
    lines = [f"[{change.table}.{change.part}]", f"label = {toml(label)}", f"{change.key} = {change.value}"]
    return text.rstrip("\n") + "\n\n" + "\n".join(lines) + _remark(change) + "\n"


def _end(text, start):
    """Where the section that begins at start ends."""
    following = re.compile(r"^\[", re.MULTILINE).search(text, start)
    return following.start() if following else len(text)


def _in_section(text, start, change):
    end = _end(text, start)
    line = re.compile(rf"^([ \t]*{change.key}[ \t]*=[ \t]*)(?:{VALUE})[ \t]*(#[^\n]*)?$", re.MULTILINE).search(
        text, start, end
    )
    fresh = f"{change.key} = {change.value}{_remark(change)}"
    if line:
        return text[: line.start()] + f"{line[1]}{change.value}{_remark(change)}" + text[line.end() :]
    return f"{text[:start]}{fresh}\n{text[start:]}"


def _in_braces(line, change):
    body, brace, rest = line.rpartition("}")
    mend = re.compile(rf"([{{,][ \t]*{change.key}[ \t]*=[ \t]*)(?:{VALUE})")
    if mend.search(body):
        body = mend.sub(lambda hit: hit[1] + change.value, body, count=1)
    else:
        body = f"{body.rstrip()}, {change.key} = {change.value} "
    return f"{body}{brace}{_remark(change) or rest}"


def _remark(change):
    return f"   # {change.remark}" if change.remark else ""


# --- checking -------------------------------------------------------------------------------------------------------


def _check(folder, before, text, changes):
    """Refuse a text that changes anything but what is to be changed, or that the kit's reader refuses."""
    was, now = tomllib.loads(before), tomllib.loads(text)
    for change in changes:
        holder = now[change.table][change.part] if change.part else now[change.table]
        if change.part and change.part not in was.setdefault(change.table, {}):  # the course's own so far
            was[change.table][change.part] = {"label": holder.get("label")}
        given = holder.pop(change.key)
        if given != tomllib.loads(f"x = {change.value}")["x"]:
            raise ValueError(
                f"{PARTS} could not be changed safely at {change.table}.{change.key}; change it by hand:"
                f" {change.value}."
            )
        (was[change.table][change.part] if change.part else was[change.table]).pop(change.key, None)
    if was != now:
        raise ValueError(
            f"{PARTS} could not be changed safely; change it by hand: "
            + ", ".join(f"{c.key} = {c.value}" for c in changes)
            + "."
        )
    with tempfile.TemporaryDirectory(prefix="mechbench-kit-") as scratch:
        for file in folder.glob("*.toml"):
            if file.name != PARTS and not file.name.startswith("parts-"):
                Path(scratch, file.name).write_bytes(file.read_bytes())
        Path(scratch, PARTS).write_text(text, encoding="utf-8")
        try:
            read_kit(scratch)
        except KitError as wrong:
            raise ValueError(f"With these readings the kit would contradict itself: {wrong}") from None


def entry_of(folder, table, part):
    """The name under which a file writes a part: springs and gears of one entry are many parts."""
    if SHAPES[table].single:
        return ""
    raw = tomllib.loads((Path(folder) / PARTS).read_bytes().decode("utf-8-sig")).get(table, {})
    names = [name for name, value in raw.items() if isinstance(value, dict) and name != "every"]
    fitting = [name for name in names if part == name or (SHAPES[table].expand and part.startswith(f"{name}_"))]
    return max(fitting, key=len) if fitting else part

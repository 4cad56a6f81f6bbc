"""The learner's own copies of the lessons, in a work folder outside the project.

What a learner changed is never overwritten. A lesson counts as changed when the text of its cells changed: running it,
moving a slider or adding an empty cell is not a change. A file of zero bytes is written anew: nothing of a learner's is
in it. A link is the learner's own, wherever it leads: neither it nor what it leads to is written.
"""

import hashlib
import json
import os
from dataclasses import dataclass
from pathlib import Path

from .environment import replace_text

LEDGER = "lessons.json"
WAS_HERE = "the-folder-was-here-before"


@dataclass(frozen=True)
class Copy:
    """One thing to do: write the lesson `source` to `target`, because of `why`."""

    source: Path
    target: Path
    why: str


NEW, NEWER, BESIDE = "new", "a newer edition", "a newer edition, beside yours which you changed"
EMPTY = "written anew, because yours was an empty file"


def plan(where):
    """Give what would be copied, and the ledger as it would be after that, without touching anything."""
    ledger = read_ledger(where)
    copies = []
    for source in sorted(where.lessons.glob("*.ipynb")):
        edition = text_digest(source.read_bytes())
        copy = _step(source, edition, where.work, ledger)
        ledger["seen"][source.name] = edition
        if copy:
            copies.append(copy)
            ledger["copied"][copy.target.name] = edition
    return copies, ledger


def _step(source, edition, work, ledger):
    target = work / source.name
    if target.is_symlink():
        # What it leads to may be away just now, such as a stick that was pulled out.
        offered = edition == ledger["seen"].get(source.name) or _digest_at(target) in (None, edition)
        return None if offered else Copy(source, _free_name(source, work, ledger), BESIDE)
    if not target.exists():
        return Copy(source, target, NEW)
    if target.stat().st_size == 0:
        return Copy(source, target, EMPTY)
    mine = text_digest(target.read_bytes())
    if mine == edition:
        ledger["copied"][target.name] = edition
        return None
    if mine == ledger["copied"].get(target.name):
        return Copy(source, target, NEWER)
    if edition == ledger["seen"].get(source.name):
        return None
    return Copy(source, _free_name(source, work, ledger), BESIDE)


def _digest_at(link):
    try:
        return text_digest(link.read_bytes())
    except OSError:
        return None


def _free_name(source, work, ledger):
    number = 1
    while True:
        name = f"{source.stem}.new-edition{'' if number == 1 else f'-{number}'}.ipynb"
        target = work / name
        if target.is_symlink():
            number += 1
            continue
        if not target.exists() or text_digest(target.read_bytes()) == ledger["copied"].get(name):
            return target
        number += 1


def bring(where):
    """Copy what has to be copied, and say for each what was done."""
    for_its_owner_alone(where)
    copies, ledger = plan(where)
    for copy in copies:
        replace_text(copy.target, copy.source.read_text("utf-8"))
    if ledger != read_ledger(where):
        replace_text(where.own / LEDGER, json.dumps(ledger, indent=1, sort_keys=True) + "\n")
    return copies


def for_its_owner_alone(where):
    """Make the work folder, and let nobody else on this computer read what a learner writes in it.

    A folder that was a person's own before us, or that holds the home folder, stays as open as it is.
    """
    where.work.mkdir(mode=0o700, parents=True, exist_ok=True)
    others = any(path != where.own for path in where.work.iterdir())
    where.own.mkdir(mode=0o700, exist_ok=True)
    if others and not (where.own / LEDGER).exists():
        (where.own / WAS_HERE).touch()
    if is_ours(where):
        where.work.chmod(0o700)


def is_ours(where):
    """Tell whether the work folder was made for the lessons and serves them alone."""
    home = Path(os.path.realpath(Path.home()))
    made = where.own.is_dir() and not (where.own / WAS_HERE).exists()
    return made and where.work not in (home, *home.parents)


def read_ledger(where):
    """Read which edition of each lesson was copied ("copied") and which were already offered ("seen")."""
    try:
        ledger = json.loads((where.own / LEDGER).read_text("utf-8"))
        return {"copied": dict(ledger["copied"]), "seen": dict(ledger["seen"])}
    except (OSError, ValueError, KeyError, TypeError):
        # Without a ledger every copy counts as the learner's own: nothing is overwritten.
        return {"copied": {}, "seen": {}}


def text_digest(raw):
    """Give a digest of the text of a notebook's cells; of the bytes when it is not a notebook."""
    try:
        cells = [(cell["cell_type"], "".join(cell["source"])) for cell in json.loads(raw)["cells"]]
    except (ValueError, KeyError, TypeError):
        return hashlib.sha256(raw).hexdigest()
    text = json.dumps([cell for cell in cells if cell[1].strip()])
    return hashlib.sha256(text.encode()).hexdigest()

"""A kit put into a folder, or taken out of it: what is there is kept beside it, with the day in its name.

Contents: FILES, FOLDER, holds_kit, digest, put, set_aside. The standard library alone: the launcher uses it before
anything is installed.
"""

import datetime
import hashlib
import os
import shutil
from itertools import count
from pathlib import Path

FILES = ("game.toml", "parts.toml", "robots.toml")
FOLDER = "kit"  # of this name in the work folder, and in a folder of packages for other laptops


def holds_kit(folder):
    """Whether a folder holds a kit; parts and robots may be left out."""
    return (Path(folder) / FILES[0]).is_file()


def digest(folder):
    """Tell one state of a kit's files from another, by every byte."""
    told = hashlib.sha256()
    for file in FILES:
        path = Path(folder) / file
        content = path.read_bytes() if path.is_file() else b""
        told.update(f"{file} {path.is_file()} {len(content)} ".encode() + content)
    return told.hexdigest()


def put(source, target, today=None):
    """Copy a kit to the folder `target`; give the folder where what was there is kept now, None where nothing was.

    The new one is whole beside it before the old one makes way.
    """
    source, target = Path(source), Path(target)
    target.parent.mkdir(parents=True, exist_ok=True)
    fresh = _free(target.with_name(f"{target.name}-coming"))
    fresh.mkdir()
    try:
        for file in FILES:
            if (source / file).is_file():
                _copy(source / file, fresh / file)
        kept = set_aside(target, today)
        os.rename(fresh, target)
    except BaseException:
        shutil.rmtree(fresh, ignore_errors=True)
        raise
    return kept


def set_aside(folder, today=None):
    """Give a folder a name with the day in it, kit-2026-05-04; return its new place, None where there is no folder."""
    folder = Path(folder)
    if not os.path.lexists(folder):
        return None
    kept = _free(folder.with_name(f"{folder.name}-{today or datetime.date.today().isoformat()}"))
    os.rename(folder, kept)
    return kept


def _copy(source, target):
    with target.open("xb") as file:
        file.write(source.read_bytes())
        file.flush()
        os.fsync(file.fileno())


def _free(path):
    """The first of kit-2026-05-04, kit-2026-05-04-2 ... that is not there."""
    names = (path if number == 1 else path.with_name(f"{path.name}-{number}") for number in count(1))
    return next(one for one in names if not os.path.lexists(one))

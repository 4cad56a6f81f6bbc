"""The kit that came with a folder of packages, brought into the work folder; never over one that a person changed."""

import json
from pathlib import Path

from mechbench import kit_folder
from mechbench.command_line import typed

from .environment import replace_text

BROUGHT = "kit.json"  # which kit was brought last


def plan(where, wheels):
    """What would be done with the kit beside the packages: (whether it is brought, a sentence); "" where nothing is."""
    theirs, ours = _places(where, wheels)
    if not wheels or not kit_folder.holds_kit(theirs):
        return False, ""
    if not kit_folder.holds_kit(ours):
        return True, f"kit: brought from {theirs}"
    mine, new = kit_folder.digest(ours), kit_folder.digest(theirs)
    if mine == new:
        return False, ""
    if mine == _brought(where):
        return True, f"kit: a newer one, brought from {theirs}"
    return False, (
        f"kit: {ours} was changed here, so it stays in force, and that of {theirs} is not brought; to take that one,"
        f" type {typed()} kit use {theirs}"
    )


def bring(where, wheels):
    """Bring it if need be; give the sentences that say what was done."""
    brings, sentence = plan(where, wheels)
    theirs, ours = _places(where, wheels)
    if not brings:
        return [sentence] if sentence else []
    kept = kit_folder.put(theirs, ours)
    # Until a person changes it, a newer one may take its place.
    replace_text(where.own / BROUGHT, json.dumps({"brought": kit_folder.digest(ours)}) + "\n")
    return [sentence, *([f"kit: the one that was there is kept in {kept}"] if kept else [])]


def _places(where, wheels):
    return Path(wheels or ".", kit_folder.FOLDER), where.work / kit_folder.FOLDER


def _brought(where):
    try:
        return json.loads((where.own / BROUGHT).read_text("utf-8"))["brought"]
    except (OSError, ValueError, KeyError, TypeError):
        return ""

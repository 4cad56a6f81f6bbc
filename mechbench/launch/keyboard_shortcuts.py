"""JupyterLab's keys for cells, kept off the sliders, lists and buttons of a lesson.

While a control in a cell has the focus, JupyterLab takes arrows and letters for the cell: an arrow on a list goes on to
the next cell, and a letter adds, cuts or changes cells. Here they work only while the cell itself has the focus. J and
K (next cell, cell before) stay as they are, and lead out of a long form.
"""

import json
from pathlib import Path

from .environment import replace_text

SCHEMA = Path("share", "jupyter", "lab", "schemas", "@jupyterlab", "notebook-extension", "tracker.json")
OVERRIDES = Path("labconfig", "default_setting_overrides.json")
ANYWHERE = ".jp-Notebook.jp-mod-commandMode:not(.jp-mod-readWrite) :focus"
ON_CELL = ANYWHERE.replace(" :focus", " .jp-Cell:focus")
STAY = {"J", "K"}


def write(config, python):
    """Write the keys into a folder of settings, for a Python's JupyterLab; one that is built otherwise keeps its
    own.
    """
    try:
        known = json.loads((Path(python).parent.parent / SCHEMA).read_text("utf-8"))["jupyter.lab.shortcuts"]
    except (OSError, ValueError, KeyError):
        return
    shortcuts = [change for shortcut in known if _takes_a_key(shortcut) for change in _changes(shortcut)]
    file = Path(config) / OVERRIDES
    file.parent.mkdir(parents=True, exist_ok=True)
    replace_text(file, json.dumps({"@jupyterlab/shortcuts-extension:shortcuts": {"shortcuts": shortcuts}}) + "\n")


def _takes_a_key(shortcut):
    """Whether it takes a plain key, or a key with Shift, from whatever has the focus."""
    keys = shortcut["keys"]
    plain = bool(keys) and bool(keys[0]) and not STAY & set(keys)
    return shortcut["selector"] == ANYWHERE and plain and not keys[0].startswith(("Accel", "Ctrl", "Alt"))


def _changes(shortcut):
    return {**shortcut, "disabled": True}, {**shortcut, "selector": ON_CELL}

"""The mechanisms, one folder each: `sizing.py` (what is asked and found) and `picture.py` (how it looks; may be left
out).

Contents: names (the folders), part_of (the class that one file of a folder gives).

What several mechanisms need stands beside the folders: `powertrain.py` (motor, train, battery, fuse), `shaft_drives.py`
(a servo or a geared motor on a shaft), `swing.py` and `swing_picture.py` (arms), `field_picture.py` (the way of one
trip on the field). No mechanism imports another one.
"""

import importlib
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
SIZING, PICTURE = "sizing", "picture"  # the files of a folder


@lru_cache(maxsize=1)
def names() -> tuple[str, ...]:
    """The mechanisms that there are: every folder with a sizing, in the order of the alphabet."""
    return tuple(sorted(path.parent.name for path in HERE.glob(f"*/{SIZING}.py")))


@cache
def part_of(name: str, file: str) -> Any:
    """The one class that a file of a mechanism's folder defines; None where the folder has no such file."""
    if not (HERE / name / f"{file}.py").exists():
        return None
    module = importlib.import_module(f"{__name__}.{name}.{file}")
    own = [one for one in vars(module).values() if isinstance(one, type) and one.__module__ == module.__name__]
    if len(own) != 1:
        raise TypeError(f"{module.__name__} defines {len(own)} classes, but it must define one; move the others out.")
    return own[0]

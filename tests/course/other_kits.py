"""Kits made out of a kit at hand by rewriting tables of its files: with other gearboxes, with one part of each kind.

folder_with(made, base, gearboxes=lines_of_boxes(4, 0.6))   a folder of kit files with that table instead
boxed(made, base, count, efficiency)   the kit itself
"""

import re
import shutil
import tomllib
from pathlib import Path

from mechbench.kits import read_kit
from mechbench.kits.load import OWN_FOLDER

BASES = {"own": OWN_FOLDER, "second": Path(__file__).parents[1] / "whole_robot" / "by_hand_kit"}
COUNTS = 1, 4, 12
EFFICIENCIES = 0.60, 0.88, 0.95
# Of one to four stages, from 4:1 to 400:1, in an order in which the first 1, 4 and 12 are kits that teams might have.
STAGES = (
    (4, 4),
    (4,),
    (4, 4, 4),
    (5, 5, 4),
    (3, 4),
    (5, 4),
    (5, 5),
    (6, 6),
    (3, 4, 5),
    (5, 5, 6),
    (4, 4, 4, 4),
    (4, 4, 5, 5),
)

# What a kit without any gearbox has: a row that changes next to nothing.
NO_BOX = [
    "[gearboxes.none]",
    'label = "no gearbox"',
    "stages = [1]",
    "efficiency_per_stage = 0.99",  # a good day may lift it by 1 %
    'backlash = "0 deg"',
    'allowed_small = "10000 N·m"',
    'allowed_large = "10000 N·m"',
    'overhung_load = "100 N"',
    'overhang = "10 mm"',
    'mass_per_stage = "0.1 g"',
]


def lines_of_boxes(count, efficiency, stages=STAGES):
    """The table [gearboxes] as it stands in a file."""
    lines = [
        "[gearboxes]",
        f'every = {{ efficiency_per_stage = {efficiency}, overhung_load = "150 N", overhang = "20 mm", '
        'mass_per_stage = "0.03 kg" }',
    ]
    for number, ratios in enumerate(sorted(stages[:count]), 1):
        small, play = 4 + 2 * len(ratios), 1.5 + len(ratios) / 2
        lines.append(
            f'set_{number} = {{ label = "gears no. {number}", stages = {list(ratios)}, backlash = "{play} deg", '
            f'allowed_small = "{small} N·m", allowed_large = "{2 * small} N·m" }}'
        )
    return lines


def folder_with(made, base, **tables):
    """Copy a kit's folder, with other lines in place of some tables of parts.toml; robots are left out."""
    for name in ("game.toml", "parts.toml"):
        shutil.copy(Path(base) / name, made / name)
    if "[gearmotors" in (made / "parts.toml").read_text(encoding="utf-8"):
        tables = {"gearmotors": [], **tables}  # each would be one motor and one gearbox more
    for table, lines in tables.items():
        _replace(made / "parts.toml", table, lines)
    return made


def _replace(path, table, lines):
    """Put lines where a table begins, and take out all that it had."""
    kept, inside, done = [], False, False
    for line in path.read_text(encoding="utf-8").splitlines():
        if head := re.match(r"\[([a-z_]+)[.\]]", line):
            inside = head[1] == table
            if inside and not done:
                kept, done = [*kept, *lines, ""], True
        if not inside:
            kept.append(line)
    assert done, f"{path} has no table {table}"
    path.write_text("\n".join(kept), encoding="utf-8")


def boxed(made, base, count, efficiency):
    """A kit that has that many gearboxes, with that efficiency of one stage."""
    return read_kit(folder_with(made, base, gearboxes=lines_of_boxes(count, efficiency)))


def lines_of_one(base, table):
    """A table of a kit's parts.toml with its usual part alone."""
    content = tomllib.loads((Path(base) / "parts.toml").read_text(encoding="utf-8"))[table]
    every = content.get("every", {})
    parts = {name: values for name, values in content.items() if name not in ("usual", "every")}
    usual = content.get("usual", next(iter(parts)))
    name = next(name for name in parts if usual.startswith(name))
    values = {**every, **parts[name]}
    if isinstance(values.get("teeth"), list):
        teeth = usual.removeprefix(f"{name}_") if usual != name else values["teeth"][0]
        values["teeth"] = [int(teeth)]
    if isinstance(values.get("free_length"), list):
        values["free_length"] = values["free_length"][:1]
    return [f"[{table}.{name}]", *(f"{key} = {_written(value)}" for key, value in values.items())]


def _written(value):
    if isinstance(value, list):
        return f"[{', '.join(map(_written, value))}]"
    return f'"{value}"' if isinstance(value, str) else str(value)

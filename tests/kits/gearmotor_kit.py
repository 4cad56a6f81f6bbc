"""A kit with gearmotors for tests: the one that is checked by hand, with labels of its own under [gearmotors]."""

import json
import shutil
from pathlib import Path

from mechbench.kits import read_kit
from mechbench.kits.schema import MAY_BE_EMPTY

BY_HAND = Path(__file__).parents[1] / "whole_robot" / "by_hand_kit"
# What the label of the first one prints; tests compute with these by hand.
PRINTED = {"voltage": 16.0, "output_rpm": 92.0, "output_stall": 6.6, "stall_current": 6.4, "free_current": 0.35}
LABELS = """
[gearmotors.ox]
label = "ox gearmotor"
voltage = "16 V"
output_speed = "92 rpm"
free_current = "0.35 A"
output_stall = "6.6 N·m"
stall_current = "6.4 A"

[gearmotors.hare]
label = "hare gearmotor"
voltage = "14 V"
output_speed = "310 rpm"
output_stall = "2.1 N·m"
stall_current = "7.5 A"
ratio = 19
counts_per_turn = 12
counts_at = "motor"
allowed = "1.4 N·m"
backlash = "1.5 deg"
mass = "0.36 kg"
shaft_diameter = "6 mm"
"""


def write(folder, labels=LABELS, without=()):
    """Write that kit into a folder with these labels, without some of its tables."""
    shutil.copytree(BY_HAND, folder, dirs_exist_ok=True)
    path = Path(folder) / "parts.toml"
    text = path.read_text(encoding="utf-8") + labels
    for table in without:
        text = "".join(part for part in _tables(text) if not part.startswith((f"[{table}]", f"[{table}.")))
    nothing = [table for table in without if table in MAY_BE_EMPTY]  # of that the team has none
    text = text.replace("[kit]\n", f"[kit]\nwithout = {json.dumps(nothing)}\n", 1)
    path.write_text(text, encoding="utf-8")
    return Path(folder)


def _tables(text):
    """The text in pieces that begin with the head of a table."""
    pieces = ("\n" + text).split("\n[")
    return [f"{pieces[0]}\n", *(f"[{piece}\n" for piece in pieces[1:])]


def gearmotor_kit(folder, **how):
    """The kit itself."""
    return read_kit(write(folder, **how))

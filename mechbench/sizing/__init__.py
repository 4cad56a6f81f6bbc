"""Sizings: each described once, and from that the sliders, the command, the record and the search over the kit."""

import importlib

from mechbench.sizing.describe import nearest

# name -> file that holds it; in the order of the course
NAMES = {"trips": "trips", "motor": "motor", "train": "gearing", "pair": "pair", "arm": "arm", "chained": "chained",
         "drivetrain": "drivetrain",
         "lift": "lift", "winch": "winch", "linkage": "linkage", "scissor": "scissor", "balance": "balance", "cycle": "cycle",
         "intake": "intake", "gripper": "gripper", "power": "power", "robot": "..robot.whole"}


def size(name):
    """The sizing of that name (or the sizing itself); the nearest right name is said for an unknown one."""
    if isinstance(name, type):
        return name
    if name not in NAMES:
        raise ValueError(f"{str(name)[:40]!r} is not a sizing; {nearest(name, NAMES)}")
    path = NAMES[name]
    module = importlib.import_module(path if path.startswith("..") else f".{path}", __name__)
    return module.SIZINGS[name]

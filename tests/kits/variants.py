"""Other kits, made from the one for sums by hand: a team with few or odd parts, or a game with other pieces.

Contents: VARIANTS, made. Every number is invented.
"""

import tomllib
from pathlib import Path

from mechbench.kits import read_kit

BY_HAND = Path(__file__).parents[1] / "whole_robot" / "by_hand_kit"


def one_gearbox(game, parts):
    """A single gearbox of low efficiency."""
    box = {"label": "12:1 worm box", "stages": [12], "efficiency_per_stage": 0.6, "backlash": "2 deg"}
    more = {"allowed_small": "6 N·m", "allowed_large": "12 N·m", "overhung_load": "150 N", "overhang": "20 mm"}
    parts["gearboxes"] = {"lone": {**box, **more, "mass_per_stage": "80 g"}}


def weak_motor(game, parts):
    """A single motor, with a fifth of the torque."""
    parts["motors"] = {"every": parts["motors"]["every"], "feather": parts["motors"]["feather"]}


def high_voltage(game, parts):
    """A battery of 24 V for motors of 14 V."""
    volts = {"nominal": "24 V", "open_circuit": "26 V", "open_circuit_empty": "23 V"}
    parts["battery"] |= {**volts, "resistance": "0.1 ohm", "resistance_worn": "0.15 ohm"}


def heavy_pieces(game, parts):
    """Pieces of 2.5 kg, 240 mm wide."""
    for piece in list(game.get("pieces", {"": game.get("piece")}).values()):
        piece |= {"diameter": "240 mm", "mass": "2.5 kg"} | ({"height": "240 mm"} if "height" in piece else {})


def small_pieces(game, parts):
    """Pieces of 4 g, 12 mm wide."""
    for piece in list(game.get("pieces", {"": game.get("piece")}).values()):
        piece |= {"diameter": "12 mm", "mass": "4 g"} | ({"height": "12 mm"} if "height" in piece else {})


def one_servo(game, parts):
    """A single servo, the smallest."""
    parts["servos"] = {"every": parts["servos"]["every"], "tiny": parts["servos"]["tiny"]}


def omni_wheels(game, parts):
    """Wheels that roll sideways, and no others."""
    parts["wheels"] = {"side_84": parts["wheels"]["side_84"]}


def short_slide(game, parts):
    """A single slide, of one stage."""
    parts["slides"] = {"lone": {**parts["slides"]["track_260"], "fewest": 1, "most": 1}}


def other_order(game, parts):
    """The same parts in the opposite order, the same ones usual."""
    for name, table in parts.items():
        parts[name] = dict(reversed(table.items()))
    for table in ("slides", "cords", "ratchets", "constant_springs"):
        parts[table] = {"usual": next(key for key in reversed(parts[table]) if key != "every"), **parts[table]}


VARIANTS = (
    one_gearbox,
    weak_motor,
    high_voltage,
    heavy_pieces,
    small_pieces,
    one_servo,
    omni_wheels,
    short_slide,
    other_order,
)


def made(folder, change):
    """The kit for sums by hand with a change, written to a folder and read from there; without robots."""
    game, parts = (tomllib.loads((BY_HAND / name).read_text("utf-8")) for name in ("game.toml", "parts.toml"))
    change(game, parts)
    for name, data in (("game.toml", game), ("parts.toml", parts)):
        lines = [
            f"[{table}]\n" + "".join(f"{key} = {_written(v)}\n" for key, v in data[table].items()) for table in data
        ]
        (folder / name).write_text("\n".join(lines), "utf-8")
    return read_kit(folder)


def _written(value):
    """A value as TOML writes it."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_written(one)}" for key, one in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_written(one) for one in value) + "]"
    return f'"{value}"' if isinstance(value, str) else str(value).lower()

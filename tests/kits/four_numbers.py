"""The kit for sums by hand with less printed: motors give four numbers, gearboxes no strength.

What is left out can be put back.

Contents: folder (write such a kit), ASSUMED (what is left out and has a band), UNITS.
"""

import pathlib
import shutil
import tomllib

BY_HAND = pathlib.Path(__file__).parents[1] / "whole_robot" / "by_hand_kit"
FOUR = ("voltage", "free_speed", "stall_torque", "stall_current")
UNITS = {
    "rotor_inertia": "kg·m2",
    "mass": "kg",
    "heat_capacity": "J/K",
    "thermal_resistance": "K/W",
    "allowed_small": "N·m",
    "allowed_large": "N·m",
}
ASSUMED = {"motors": tuple(UNITS)[:4], "gearboxes": tuple(UNITS)[4:]}


def folder(path, printed=None):
    """Write the kit into a new folder; printed: (table, part) -> key -> number in SI, or text as the file has it."""
    path.mkdir(parents=True)
    for file in BY_HAND.glob("*.toml"):
        shutil.copy(file, path / file.name)
    data = tomllib.loads((BY_HAND / "parts.toml").read_text(encoding="utf-8"))
    every = data["motors"].pop("every")
    for name, part in data["motors"].items():
        if name != "usual":
            data["motors"][name] = {key: {**every, **part}[key] for key in ("label", *FOUR)}
    for box in data["gearboxes"].values():
        if isinstance(box, dict):
            for key in ASSUMED["gearboxes"]:
                box.pop(key, None)
    for (table, part), numbers in (printed or {}).items():
        for key, value in numbers.items():
            data[table][part][key] = value if isinstance(value, str) else f"{value!r} {UNITS[key]}"
    lines = [line for table, content in data.items() for line in _lines((table,), content)]
    (path / "parts.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def _lines(path, content):
    yield f"[{'.'.join(path)}]"
    for key, value in content.items():
        if not isinstance(value, dict):
            yield f"{key} = {_text(value)}"
    for key, value in content.items():
        if isinstance(value, dict):
            yield from _lines((*path, key), value)


def _text(value):
    if isinstance(value, list):
        return "[" + ", ".join(map(_text, value)) + "]"
    return f'"{value}"' if isinstance(value, str) else repr(value)

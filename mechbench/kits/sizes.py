"""How large a piece of the game is, whatever its shape.

Contents: sides, volume.
"""

import math


def sides(values):
    """Shorter side, longer side and height of a piece as it stands or lies flat, from its checked values."""
    across = values["diameter"]
    if across is not None:
        return across, across, {"ball": across, "disc": values["thickness"]}.get(values["shape"], values["height"])
    return min(values["width"], values["length"]), max(values["width"], values["length"]), values["height"]


def volume(values):
    """Its volume, as if it were solid."""
    width, length, height = sides(values)
    if values["shape"] == "ball":
        return math.pi / 6 * width**3
    return (math.pi / 4 if values["diameter"] is not None else 1.0) * width * length * height

"""Figures of the game in force that a default may follow: functions of a kit, in SI; None where the game has none.

Contents: piece_mass, piece_width; held, carried; bears; highest, first_goal, second_goal, worth; pen_depth, pen_gap;
bar_height, clear; match_time, closing_time; mass_limit, height_limit, motors_limit, start_length, way; even.

Nothing here names an entry of one game: all of it comes from the game's roles and limits.
"""

import math
from collections.abc import Callable
from typing import Any

Figure = Callable[[Any], float | None]
TWO = 2  # pieces that a mechanism holds at once, where the game allows as many: more are carried in a store


def even(figure: Figure, share: float = 1.0, step: float = 0.0, plus: float = 0.0) -> Figure:
    """So many times a figure, and some more, to the next whole step; without a step, to two digits."""

    def of(kit: Any) -> float | None:
        value = figure(kit)
        if value is None or not math.isfinite(value):
            return None
        value = share * value + plus
        return max(round(value / step), 1) * step if step and value else float(f"{value:.2g}")

    return of


def exactly(figure: Figure, share: float = 1.0, plus: float = 0.0) -> Figure:
    """So many times a figure, and some more, as it comes."""

    def of(kit: Any) -> float | None:
        value = figure(kit)
        return None if value is None or not math.isfinite(value) else share * value + plus

    return of


def where(role: str, present: Any, absent: Any) -> Figure:
    """One value where the game has a role, another where it lacks it; None leaves the field's own figure."""

    def of(kit: Any) -> float | None:
        found = getattr(kit.roles, role)
        return absent if found is None else present(kit) if callable(present) else present

    return of


def _of_role(role: str, key: str) -> Figure:
    def of(kit: Any) -> float | None:
        return _number(getattr(kit.roles, role), key)

    return of


def _number(record: Any, key: str) -> float | None:
    """A number of a record, or None where record, key or number is missing."""
    value = getattr(record, key, None) if record is not None else None
    return None if value is None else float(value)


piece_mass = _of_role("piece", "mass")
piece_width = _of_role("piece", "width")
highest = _of_role("highest", "height")
pen_depth = _of_role("reach_in", "depth")
pen_gap = _of_role("reach_in", "gap")
bar_height = _of_role("hang", "bar_height")
clear = _of_role("hang", "clear")
closing_time = _of_role("match", "closing")
worth = _of_role("first", "points")


def bears(kit: Any) -> float | None:
    """The force that a piece stands: as the game says, else what presses it 25 times as hard as its own weight."""
    told = _number(kit.roles.piece, "bears")
    return told if told is not None else float(f"{250.0 * kit.roles.piece.mass:.2g}")


def match_time(kit: Any) -> float | None:
    """Self-driving and driven time together."""
    return kit.roles.match.self_driving + kit.roles.match.driven


def held(kit: Any) -> float:
    """Pieces that a mechanism holds at once: two, or what the game allows."""
    most = _number(getattr(kit.game, "limits", None), "hold") or _number(getattr(kit.game, "possession", None), "limit")
    return min(TWO, most or TWO)


def held_mass(kit: Any) -> float | None:
    """Mass of what is held at once."""
    return held(kit) * kit.roles.piece.mass


def _limit(kit: Any, *keys: str) -> float | None:
    """A limit of the game by the first key that it has."""
    for owner in (getattr(kit.game, "limits", None), getattr(kit.game, "robot", None)):
        for key in keys:
            if (value := _limit_in(owner, key)) is not None:
                return value
    return None


def _limit_in(owner: Any, key: str) -> float | None:
    value = getattr(owner, key, None) if owner is not None else None
    value = value[0] if isinstance(value, tuple) and value else value
    return float(value) if isinstance(value, (int, float)) and math.isfinite(value) else None


def mass_limit(kit: Any) -> float | None:
    """The most that a robot may weigh."""
    return _limit(kit, "mass", "mass_limit")


def height_limit(kit: Any) -> float | None:
    """How high a robot may be after the start."""
    return _limit(kit, "height", "height_limit")


def start_length(kit: Any) -> float | None:
    """Length of the box in which a robot starts."""
    return _limit(kit, "start_box", "start_cube")


def motors_limit(kit: Any) -> float | None:
    """How many motors a robot may have."""
    return _limit(kit, "motors", "drives")


def free_speed(kit: Any) -> float:
    """Speed of the usual motor without load, on the kit's battery."""
    motors = kit.table("motors")
    row = motors.row(motors.usual)
    return row["free_speed"] * kit.battery.nominal / row["voltage"]


def of_motor(column: str, share: float) -> Figure:
    """So much of a number of the usual motor, to two digits; of a speed, in turns a minute."""
    unit = math.pi / 30 if column.endswith("speed") else 1.0

    def of(kit: Any) -> float:
        motors = kit.table("motors")
        return float(f"{share * motors.row(motors.usual)[column] / unit:.2g}") * unit

    return of


def started(pieces: float) -> Figure:
    """So many pieces where the match begins with a self-driving time, else none."""
    return lambda kit: pieces if kit.roles.match.self_driving else 0.0


def reach_past_pen(kit: Any) -> float | None:
    """How far a roller reaches into a pen to draw a piece from its wall, to 10 mm; nothing where there is no pen."""
    depth = pen_depth(kit)
    return 0.0 if depth is None else max(round((depth - 0.6 * kit.roles.piece.width) / 0.01) * 0.01, 0.0)


def field_side(kit: Any) -> float | None:
    """The shorter side of the field."""
    sides = [_number(kit.game.field, key) for key in ("length", "width")]
    return min((side for side in sides if side), default=None)

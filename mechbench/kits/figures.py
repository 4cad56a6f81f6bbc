"""Figures of the game in force that a default may follow: functions of a kit, in SI; None where the game has none.

Contents: piece_mass, piece_width, piece_across, held_mass, bears; highest, handy_goal, goal_after, of_usual_piece,
worth (goals); of_plain_match; pen_depth, pen_gap, reach_past_pen; bar_height, clear; match_time, trips_time,
closing_time, started, if_closing; mass_limit, height_limit, start_length, start_width, motors_limit; field_side;
battery_capacity, fuse_rating; free_speed, of_motor, output_limit; even, exactly, at_most, where; has, has_closing,
has_next_goal (whether a game has what a field is about).

Nothing here names an entry of one game: all of it comes from the game's roles and limits.
"""

import math
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

from mechbench.kits.roles import time_for_one
from mechbench.physics.duration import triangular_mean

Figure = Callable[[Any], float | None]
HANDY = 0.45  # m over the floor, about where a robot that does not raise itself puts a piece
MOST_DRAWN = 60.0  # A
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


def at_most(figure: Figure) -> Figure:
    """A figure down to a number that people would wish: fives from 50 on, else whole ones; below 1, to two digits."""

    def of(kit: Any) -> float | None:
        value = figure(kit)
        if value is None or not math.isfinite(value):
            return None
        if value < 1:
            return math.floor(100 * value) / 100
        step = 5 if value >= 50 else 1
        return float(math.floor(value / step) * step)

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
    """A number of a record, or None where record, key or number is missing, or where it has no bound."""
    value = getattr(record, key, None)
    return None if value is None or not math.isfinite(value) else float(value)


piece_mass = _of_role("piece", "mass")
piece_width = _of_role("piece", "width")
piece_across = _of_role("piece", "narrow")
highest = _of_role("highest", "height")
pen_depth = _of_role("reach_in", "depth")
pen_gap = _of_role("reach_in", "gap")
bar_height = _of_role("hang", "bar_height")
clear = _of_role("hang", "clear")
closing_time = _of_role("match", "closing")
mass_limit = _of_role("limits", "mass")
height_limit = _of_role("limits", "height")
start_length = _of_role("limits", "start_length")
start_width = _of_role("limits", "start_width")
motors_limit = _of_role("limits", "motors")


def handy_goal(table: Any, tables: Any = None) -> str:
    """The goal about as high as a robot puts a piece by itself, of equals the first one; table: the goals. With a game
    it is one in which the usual piece counts.
    """
    names = of_usual_piece(table, getattr(tables, "kit", None))
    return min(names, key=lambda name: abs(table.row(name)["height"] - HANDY))


def goal_after(table: Any, tables: Any = None) -> str:
    """Where these pieces go once that one is full: the lowest of their other goals; the same, where there is none."""
    first = handy_goal(table, tables)
    others = [name for name in of_usual_piece(table, getattr(tables, "kit", None)) if name != first]
    return min(others, key=lambda name: table.row(name)["height"]) if others else first


def of_usual_piece(table: Any, kit: Any) -> list[str]:
    """Goals in which the usual piece of the game counts; all goals where it counts in none, or no game is known."""
    piece = None if kit is None or kit.roles is None else kit.roles.piece
    if piece is None:
        return list(table.names)
    takes = {name: goal.takes for name, goal in kit.game.goals.items()}
    return [name for name in table.names if piece.name in takes.get(name, ())] or list(table.names)


def worth(kit: Any) -> float:
    """Points for one piece in the handy goal."""
    goals = kit.table("goals")
    return goals.row(handy_goal(goals, SimpleNamespace(kit=kit)))["points"]


def bears(kit: Any) -> float | None:
    """The force that a piece stands: as the game says, else what presses it some 25 times as hard as its own weight."""
    told, mass = _number(kit.roles.piece, "bears"), piece_mass(kit)
    return told if told is not None or mass is None else float(f"{250.0 * mass:.2g}")


def match_time(kit: Any) -> float:
    """Self-driving and driven time together."""
    return kit.roles.match.self_driving + kit.roles.match.driven


def trips_time(kit: Any) -> float:
    """Time in which people drive, without the closing time."""
    return kit.roles.match.driven - kit.roles.match.closing


def of_plain_match(kit: Any) -> float:
    """Points of a match in which a plain robot brings one usual piece after another into the handy goal, and what that
    does not take into the goal after it; people take as long as they do on average.
    """
    goals, game = kit.table("goals"), SimpleNamespace(kit=kit)
    left, time = _number(kit.roles.piece, "count"), match_time(kit)
    left, points = math.inf if left is None else left, 0.0
    for name in dict.fromkeys((handy_goal(goals, game), goal_after(goals, game))):
        if not goals.row(name)["points"]:  # so it is with the one goal in the table of a game that has none
            continue
        goal = kit.game.goals[name]
        each = time_for_one(kit.game, goal, lambda step: triangular_mean(step.low, step.likely, step.high))
        pieces = min(time / each, left, float(goal.capacity))
        left, time, points = left - pieces, time - pieces * each, points + pieces * goal.points
    return points


def held_mass(kit: Any) -> float | None:
    """Mass of what a mechanism holds at once: two pieces, or as many as the game allows."""
    mass, most = piece_mass(kit), _number(kit.roles.limits, "hold")
    return None if mass is None else min(TWO, most or TWO) * mass


def battery_capacity(kit: Any) -> float:
    """The charge on the battery's label."""
    return float(kit.battery.capacity)


def fuse_rating(kit: Any) -> float:
    """The current printed on the main fuse."""
    return float(kit.fuse.rating)


def output_limit(kit: Any) -> float:
    """The highest current of one motor output, as far as a motor of a small robot draws it."""
    return min(float(kit.controller.output_limit), MOST_DRAWN)


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
    depth, across = pen_depth(kit), piece_across(kit)
    return 0.0 if depth is None or across is None else max(round((depth - 0.6 * across) / 0.01) * 0.01, 0.0)


def if_closing(chance: float) -> Figure:
    """A chance where the game has a closing task to try, else none."""
    return lambda kit: chance if kit.roles.ending.tried else 0.0


def has(role: str) -> Callable[[Any], bool]:
    """Whether a game has a role."""
    return lambda kit: getattr(kit.roles, role) is not None


def has_closing(kit: Any) -> bool:
    """Whether a game has a closing task to try."""
    return bool(kit.roles.ending.tried)


def has_next_goal(kit: Any) -> bool:
    """Whether a game has more than one goal."""
    return len(kit.table("goals")) > 1


def field_side(kit: Any) -> float | None:
    """The shorter side of the field."""
    sides = [_number(kit.game.field, key) for key in ("length", "width")]
    return min((side for side in sides if side), default=None)

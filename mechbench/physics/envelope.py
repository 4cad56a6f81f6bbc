r"""Envelope: does the robot fit the start box, how far does it reach, and which part sticks out by how much.

              o end            A part is a box that lies square to the robot, or a link that pivots in the plane of
             /  link           x and z (an arm). Give each link its angle folded, and again out: the same list with
      .-----o pivot            other angles. An angle may also be an array: then the whole swing is looked at, and
      | box |                  the worst of it counts.
      '-o-o-'  -> ahead        x ahead, y to the left, z up from the floor.

Contents
    Box, Link, link_end         parts as shapes; where the next link is pivoted
    Extent, extent              how far a list of shapes reaches each way, and its widest level length
    StickOut, sticking_out      which part sticks out of a cube (or any upright block) and by how much
    reach_spare                 what is left to the limits on height and level length
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check

ROUNDING = 1e-9  # m: a robot that is exactly as long as the cube fits it


@dataclass(frozen=True)
class Box:
    """Hold a part as a box that lies square to the robot.

    Fields
    ------
    name : [text] what it is
    x_low : [m] its back
    x_high : [m] its front
    y_low : [m] its right side
    y_high : [m] its left side
    z_low : [m] its underside, up from the floor
    z_high : [m] its top

    Numbers may be arrays.
    """

    name: str
    x_low: float
    x_high: float
    y_low: float
    y_high: float
    z_low: float
    z_high: float

    def __post_init__(self):
        for axis in "xyz":
            low, high = (
                check.finite(f"{axis}_{end} of {self.name}", getattr(self, f"{axis}_{end}")) for end in ("low", "high")
            )
            check.at_least(f"{axis}_high of {self.name}", high, low, "give the lower end first")
            object.__setattr__(self, f"{axis}_low", low)
            object.__setattr__(self, f"{axis}_high", high)


@dataclass(frozen=True)
class Link:
    """Hold a part as a straight bar with round ends that pivots in the plane of x and z.

    Fields
    ------
    name : [text] what it is
    x : [m] of its pivot, ahead
    z : [m] of its pivot, up from the floor
    length : [m] from the pivot to the middle of its far end, >= 0
    angle : [rad] above level, counted from the front, of the link itself and not against the link before
    thickness : [m] across the bar; its ends are half circles of this width, >= 0
    y_low : [m] its right side
    y_high : [m] its left side

    Numbers may be arrays.
    """

    name: str
    x: float
    z: float
    length: float
    angle: float
    thickness: float
    y_low: float
    y_high: float

    def __post_init__(self):
        for name in ("x", "z", "angle", "y_low", "y_high"):
            object.__setattr__(self, name, check.finite(f"{name} of {self.name}", getattr(self, name)))
        for name in ("length", "thickness"):
            object.__setattr__(self, name, check.not_negative(f"{name} of {self.name}", getattr(self, name)))
        check.at_least(f"y_high of {self.name}", self.y_high, self.y_low, "give the lower end first")


def link_end(link):
    """Give the middle of a link's far end, where the next link may be pivoted.

    Equation: x + l cos(angle), z + l sin(angle)

    Parameters
    ----------
    link : [part] Link

    Returns
    -------
    x : [m] ahead
    z : [m] up from the floor

    Valid: a straight, stiff link.
    Raises: nothing.
    Source: common practice, no source (geometry).

    >>> print("{:.2f} {:.2f}".format(*link_end(Link("arm", 0.0, 0.3, 0.4, np.radians(30), 0.03, -0.02, 0.02))))
    0.35 0.50
    """
    return link.x + link.length * np.cos(link.angle), link.z + link.length * np.sin(link.angle)


def _ends(shape):
    """Low and high end on each axis, in the order x, y, z."""
    if isinstance(shape, Box):
        return (shape.x_low, shape.x_high), (shape.y_low, shape.y_high), (shape.z_low, shape.z_high)
    x, z = link_end(shape)
    half = shape.thickness / 2
    return (
        (np.minimum(shape.x, x) - half, np.maximum(shape.x, x) + half),
        (shape.y_low, shape.y_high),
        (np.minimum(shape.z, z) - half, np.maximum(shape.z, z) + half),
    )


def _table(shapes):
    """Names, and the ends of all shapes as one array [shapes, axis, end, ...]."""
    shapes = list(shapes)
    if not shapes:
        raise ValueError(
            "shapes is empty, but it must be a list of at least one Box or Link; list what sticks out furthest."
        )
    numbers = np.broadcast_arrays(*[end for shape in shapes for axis in _ends(shape) for end in axis])
    return [shape.name for shape in shapes], np.reshape(numbers, (len(shapes), 3, 2, *np.shape(numbers[0])))


@dataclass(frozen=True)
class Extent:
    """Hold how far a list of shapes reaches.

    Fields
    ------
    x_low : [m] furthest back
    x_high : [m] furthest ahead
    y_low : [m] furthest to the right
    y_high : [m] furthest to the left
    z_low : [m] lowest
    z_high : [m] highest
    widest : [m] the longest level distance between any two of its points, also across a corner
    """

    x_low: float
    x_high: float
    y_low: float
    y_high: float
    z_low: float
    z_high: float
    widest: float


def extent(shapes):
    """Give how far a list of shapes reaches each way.

    Equation: min and max of the ends of all shapes; widest = max over pairs of corners of sqrt(dx^2 + dy^2)

    Parameters
    ----------
    shapes : [part] list of Box and Link; their numbers broadcast

    Returns
    -------
    extent : [part] Extent; each field has the shape of the numbers broadcast together

    Valid: shapes that hold the whole part, screws and cables too.
    Raises: ValueError when the list is empty.
    Source: common practice, no source (geometry).

    >>> frame = Box("frame", -0.2, 0.2, -0.2, 0.2, 0.0, 0.3)
    >>> arm = Link("arm", 0.0, 0.28, 0.40, np.radians([0, 90]), 0.04, -0.02, 0.02)
    >>> print(extent([frame, arm]).x_high, extent([frame, arm]).z_high)
    [0.42 0.2 ] [0.3 0.7]
    """
    _, ends = _table(shapes)
    low, high = ends[:, :, 0].min(axis=0), ends[:, :, 1].max(axis=0)
    x = np.concatenate([ends[:, 0, 0], ends[:, 0, 0], ends[:, 0, 1], ends[:, 0, 1]])
    y = np.concatenate([ends[:, 1, 0], ends[:, 1, 1], ends[:, 1, 0], ends[:, 1, 1]])
    widest = np.hypot(x[:, None] - x, y[:, None] - y).max(axis=(0, 1))
    return Extent(low[0], high[0], low[1], high[1], low[2], high[2], widest)


@dataclass(frozen=True)
class StickOut:
    """Hold one part that sticks out.

    Fields
    ------
    name : [text] of the part
    axis : [text] x, y or z
    end : [text] low or high: the back, right side or underside, or the front, left side or top
    by : [m] how much it must be drawn in at that end
    """

    name: str
    axis: str
    end: str
    by: float


def sticking_out(shapes, x_limit, y_limit, z_limit):
    """Give the parts that stick out of a cube, or any upright block, on the floor.

    Equation: high end - (lowest end of all + limit); lowest end: highest end of all - limit - low end

    Parameters
    ----------
    shapes : [part] list of Box and Link; of arrays (a swing) the worst case counts
    x_limit : [m] inner length of the block, > 0
    y_limit : [m] inner width of the block, > 0
    z_limit : [m] inner height of the block, from the floor, > 0

    Returns
    -------
    parts : [part] tuple of StickOut, the worst first; empty when the robot fits

    Valid: the block may be pushed along the floor but not turned. In x and y it is pushed to the opposite end, so where
        both ends are named, drawing in the parts at one of them is enough. "z low" is below the floor.
    Raises: ValueError when the list is empty or a limit is not above 0.
    Source: common practice, no source (geometry).

    >>> frame = Box("frame", -0.21, 0.2, -0.2, 0.2, 0.0, 0.3)
    >>> roller = Box("roller", 0.2, 0.26, -0.15, 0.15, 0.02, 0.08)
    >>> for part in sticking_out([frame, roller], 0.44, 0.44, 0.44):
    ...     print(f"{part.name} {part.axis} {part.end}: {1000 * part.by:.0f} mm")
    roller x high: 30 mm
    frame x low: 30 mm
    """
    names, ends = _table(shapes)
    limits = [check.positive(f"{axis}_limit", limit) for axis, limit in zip("xyz", (x_limit, y_limit, z_limit))]
    lowest, highest = ends[:, :, 0].min(axis=0), ends[:, :, 1].max(axis=0)
    found = []
    for i, (axis, limit) in enumerate(zip("xyz", limits)):
        start = np.zeros_like(lowest[2]) if axis == "z" else lowest[i]
        finish = limit if axis == "z" else highest[i]
        over = {"high": ends[:, i, 1] - (start + limit), "low": (finish - limit) - ends[:, i, 0]}
        for end, by in over.items():
            worst = by.reshape(len(names), -1).max(axis=1)
            found += [StickOut(name, axis, end, float(most)) for name, most in zip(names, worst) if most > ROUNDING]
    return tuple(sorted(found, key=lambda part: (-round(part.by, 9), part.axis, part.end, part.name)))


def reach_spare(shapes, height_limit, level_limit):
    """Give what is left to the limits on height and on the level length in any direction.

    Equation: limit - highest end; limit - widest

    Parameters
    ----------
    shapes : [part] list of Box and Link; their numbers broadcast
    height_limit : [m] over the floor, > 0
    level_limit : [m] longest level distance between any two points of the robot, > 0

    Returns
    -------
    height_spare : [m] below 0 is too high by so much
    level_spare : [m] below 0 is too long by so much

    Valid: as extent. Where the event measures along and across only, look at extent.
    Raises: ValueError when the list is empty or a limit is not above 0.
    Source: common practice, no source (geometry).

    >>> arm = Link("arm", 0.0, 0.38, 0.70, np.radians(60), 0.04, -0.02, 0.02)
    >>> print("{:.3f} {:.3f}".format(*reach_spare([arm], 0.9, 0.9)))
    -0.106 0.508
    """
    reach = extent(shapes)
    return (
        check.positive("height_limit", height_limit) - reach.z_high,
        check.positive("level_limit", level_limit) - reach.widest,
    )

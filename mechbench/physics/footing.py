r"""Footing: the line around all wheels, where the floor pushes, and how the wheels share it.

                 front
             o----------o       The footprint is the smallest polygon without dents around all wheels (o).
             |  .       |       The pressure point (x) is where one push of the floor would do the same as all wheels
             |  r\      |       together. At rest it lies below the centre of gravity (.); braking, a ramp or pushing
             |    x     |       against something moves it. Inside the footprint the robot stands; outside it tips.
             o----------o

Contents
    Footprint, footprint            the line around all wheels
    room, nearest_edge              from a point to the edge: in one direction, and the nearest way
    FloorPush, floor_push           what the floor gives, and where: braking, ramp, pushing
    WheelLoads, wheel_loads         the load on each wheel
    first_lift                      the braking at which the first wheel leaves the floor

Places: x ahead, y to the left, from any origin. Directions: 0 ahead, pi/2 to the left, pi back.
The limits that follow (tilt, braking, turning) are in balance.
"""

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from mechbench.physics import check
from mechbench.physics.constants import GRAVITY

LIFTED = 1e-9  # share of the weight that counts as nothing; rounding leaves about 1e-15
IN_LINE = 1e-6  # of the size of the footprint: wheels that are less off a line count as in one line
GRID = 1e-7  # m: places that differ by less are one
MOST_WHEELS = 8  # every set of wheels that may stand is tried, and there are 2 to this power


# --- the footprint --------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Footprint:
    """Hold the line around all points where wheels touch the floor: the smallest polygon without dents.

    Fields
    ------
    corners : [m] x and y of its corners, shape [K,2], turning to the left
    normals : [-] the direction out of each edge, shape [K,2]; edge k runs from corner k to the next
    offsets : [m] how far each edge is from the origin along its normal, shape [K]
    """

    corners: np.ndarray
    normals: np.ndarray
    offsets: np.ndarray


def _spots(wheels):
    spots = np.atleast_2d(check.finite("wheels", wheels))
    if spots.ndim != 2 or spots.shape[1] != 2 or len(spots) < 3:
        raise ValueError(
            f"wheels are an array of shape {list(np.shape(wheels))}, but they must be at least 3 rows of x and y; "
            "give the place where each wheel touches the floor."
        )
    return spots


def _turn(first, second, third):
    """Twice the area of a triangle; above 0 where the way round it turns to the left."""
    (ax, ay), (bx, by) = second - first, third - first
    return ax * by - ay * bx


def _half_hull(spots, order):
    """Go along one side of the points in the given order, and keep those where the way turns to the left."""
    kept = []
    for i in order:
        while len(kept) > 1 and _turn(spots[kept[-2]], spots[kept[-1]], spots[i]) <= 0:
            kept.pop()
        kept.append(i)
    return kept[:-1]


def footprint(wheels):
    """Give the line around all points where wheels touch the floor.

    Equation: the convex hull of the points

    Parameters
    ----------
    wheels : [m] x and y of each wheel's contact, shape [W,2], W at least 3

    Returns
    -------
    footprint : [part] Footprint

    Valid: level or evenly sloping floor; contacts small against their distances. A castor's contact moves: give it
        twice.
    Raises: ValueError when fewer than 3 places are given or all are in one line.
    Source: A. M. Andrew, Information Processing Letters 9 (1979) 216-219 (monotone chain; from memory).

    >>> around = footprint([(0.15, 0.16), (0.15, -0.16), (-0.15, 0.16), (-0.15, -0.16), (0.0, 0.0)])
    >>> print(len(around.corners))
    4
    """
    spots = _spots(wheels)
    # On whole steps of the grid sums and products are exact, so that rounding never bends a straight side.
    steps, first = np.unique(np.round(spots / GRID), axis=0, return_index=True)
    order = list(range(len(steps)))
    corners = spots[first[_half_hull(steps, order) + _half_hull(steps, order[::-1])]]
    across = np.linalg.svd(corners - corners.mean(axis=0), compute_uv=False)
    if len(corners) < 3 or across[-1] < IN_LINE * across[0]:
        raise ValueError(
            "wheels are all in one line, but they must be the corners of an area; check x and y of each wheel."
        )
    edges = np.roll(corners, -1, axis=0) - corners
    normals = np.column_stack([edges[:, 1], -edges[:, 0]]) / np.hypot(*edges.T)[:, None]
    return Footprint(corners, normals, np.sum(normals * corners, axis=1))


def _edge_distances(around, x, y):
    """Distance of points from each edge, inwards [..., K]."""
    points = np.stack(np.broadcast_arrays(check.finite("x", x), check.finite("y", y)), axis=-1)
    return around.offsets - points @ around.normals.T


def room(around, x, y, direction):
    """Give how far it is from the point below the centre of gravity to the edge of the footprint, in one direction.

    Equation: r = min over the edges ahead of (distance from the edge) / cos(direction - the edge's normal)

    Parameters
    ----------
    around : [part] Footprint
    x : [m] of the centre of gravity; any shape, x, y and direction broadcast
    y : [m] of the centre of gravity
    direction : [rad] 0 ahead, pi/2 to the left

    Returns
    -------
    room : [m] to the edge; where the point is outside (the robot falls over at rest), how far outside, below 0

    Valid: as footprint.
    Raises: ValueError when an argument is not a finite number.
    Source: common practice, no source (geometry).

    >>> around = footprint([(0.15, 0.16), (0.15, -0.16), (-0.15, 0.16), (-0.15, -0.16)])
    >>> print(f"{room(around, 0.05, 0.0, 0.0):.2f} ahead, {room(around, 0.05, 0.0, np.pi):.2f} back")
    0.10 ahead, 0.20 back
    """
    distances = _edge_distances(around, x, y)
    angle = np.asarray(check.finite("direction", direction))
    facing = np.stack([np.cos(angle), np.sin(angle)], axis=-1) @ around.normals.T
    ahead = np.where(facing > 1e-12, distances / np.where(facing > 1e-12, facing, 1.0), np.inf).min(axis=-1)
    least = distances.min(axis=-1)
    return np.where(least < 0, least, ahead)[()]


def nearest_edge(around, x, y):
    """Give the distance to the nearest edge of the footprint, and the direction in which it lies.

    Equation: d = min over the edges of (offset - normal . (x, y))

    Parameters
    ----------
    around : [part] Footprint
    x : [m] of the centre of gravity; both broadcast
    y : [m] of the centre of gravity

    Returns
    -------
    distance : [m] the least room of all directions; below 0 outside
    direction : [rad] in which it is, -pi to pi

    Valid: as footprint.
    Raises: ValueError when an argument is not a finite number.
    Source: common practice, no source (geometry).

    >>> around = footprint([(0.15, 0.16), (0.15, -0.16), (-0.15, 0.16), (-0.15, -0.16)])
    >>> distance, direction = nearest_edge(around, -0.05, 0.0)
    >>> print(f"{distance:.2f} m at {np.degrees(abs(direction)):.0f} degrees")
    0.10 m at 180 degrees
    """
    distances = _edge_distances(around, x, y)
    which = np.argmin(distances, axis=-1)
    angles = np.arctan2(around.normals[:, 1], around.normals[:, 0])
    return np.min(distances, axis=-1)[()], angles[which][()]


# --- what the floor gives -------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class FloorPush:
    """Hold what the floor gives to all wheels together, in one upright plane.

    Fields
    ------
    normal : [N] square to the floor
    along : [N] along the floor, ahead; below 0 when it brakes
    place : [m] of the pressure point, ahead
    """

    normal: float
    along: float
    place: float


def floor_push(
    mass, x, height, acceleration=0.0, slope=0.0, push_ahead=0.0, push_down=0.0, push_x=0.0, push_height=0.0
):
    """Give the push of the floor on a robot that speeds up, stands on a ramp or is pushed, and where it acts.

    Equation: N = m g cos(slope) + P_down; F = m a + m g sin(slope) - P_ahead;
        N x_p = m g (x cos(slope) - h sin(slope)) - m a h + P_ahead h_P + P_down x_P

    Parameters
    ----------
    mass : [kg] of the robot, > 0; all arguments broadcast
    x : [m] of the centre of gravity, ahead (or to the left, with all other arguments in that plane)
    height : [m] of the centre of gravity over the floor, >= 0
    acceleration : [m/s2] ahead; below 0 when braking
    slope : [rad] of the floor, rising ahead
    push_ahead : [N] of something else on the robot, along the floor, ahead
    push_down : [N] of something else on the robot, onto the floor
    push_x : [m] where it pushes, ahead
    push_height : [m] where it pushes, over the floor

    Returns
    -------
    push : [part] FloorPush

    Valid: no turning over, no turning round; x, height and places are along and square to the sloping floor.
    Raises: ValueError when mass is not above 0, height is below 0, or the robot would be lifted off the floor.
    Source: Meriam & Kraige, Dynamics, Sample Problem 6/1; Hibbeler & Gupta, Engineering Mechanics, Example 8.1.

    >>> push = floor_push(10.0, 0.0, 0.3, acceleration=-4.0)
    >>> print(f"{push.along:.0f} N, {push.place:.3f} m ahead")
    -40 N, 0.122 m ahead
    """
    mass, height = check.positive("mass", mass), check.not_negative("height", height)
    a, tilt, x = (
        check.finite(name, value) for name, value in (("acceleration", acceleration), ("slope", slope), ("x", x))
    )
    ahead, down, at_x, at_height = (
        check.finite(name, value)
        for name, value in (
            ("push_ahead", push_ahead),
            ("push_down", push_down),
            ("push_x", push_x),
            ("push_height", push_height),
        )
    )
    weight = mass * GRAVITY
    normal = weight * np.cos(tilt) + down
    if np.any(normal <= 0):
        raise ValueError(
            f"push_down is {np.min(down):g}, but it must be above minus the weight on the floor "
            f"({np.min(weight * np.cos(tilt)):g}); a smaller pull leaves the robot on its wheels."
        )
    turning = weight * (x * np.cos(tilt) - height * np.sin(tilt)) - mass * a * height + ahead * at_height + down * at_x
    along = mass * a + weight * np.sin(tilt) - ahead
    return FloorPush(*(one[()] for one in np.broadcast_arrays(normal, along, turning / normal)))


# --- wheels ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class WheelLoads:
    """Hold the load on each wheel.

    Fields
    ------
    loads : [N] of each wheel, shape [W] or [..., W]; 0 for a wheel that is off the floor
    tips : [yes/no] whether the pressure point is outside the footprint, so that the robot turns over the edge
    """

    loads: np.ndarray
    tips: np.ndarray


def wheel_loads(wheels, normal, x, y):
    """Give the load on each wheel.

    Equation: load_i = a + b x_i + c y_i with sum(load) = N, sum(load x) = N x_p, sum(load y) = N y_p; no load below 0

    Parameters
    ----------
    wheels : [m] x and y of each wheel's contact, shape [W,2], W from 3 to 8
    normal : [N] push of the floor on all wheels together, > 0; any shape, normal, x and y broadcast
    x : [m] of the pressure point (below the centre of gravity at rest), ahead
    y : [m] of the pressure point, to the left

    Returns
    -------
    loads : [part] WheelLoads

    Valid: 3 wheels: exact. 4 and more: statics alone can't tell; here all wheels and the floor below them give way
        equally (one stiffness) and the frame is rigid. Foam does this well; on a hard floor one short wheel can hang
        in the air. Where the robot tips, the loads are those on the edge that it turns about.
    Raises: ValueError when not 3 to 8 places are given, all are in one line, or normal is not above 0.
    Source: Euler, De pressione ponderis in planum cui incumbit (1773): legs that give way in proportion to their load
        (from memory); the law is that of least squares.

    >>> four = [(0.15, 0.16), (0.15, -0.16), (-0.15, 0.16), (-0.15, -0.16)]
    >>> print(np.round(wheel_loads(four, 100.0, 0.05, 0.0).loads, 1))
    [33.3 33.3 16.7 16.7]
    """
    spots = _spots(wheels)
    if len(spots) > MOST_WHEELS:
        raise ValueError(
            f"wheels are {len(spots)}, but they must be at most {MOST_WHEELS}; join wheels that stand side by side."
        )
    around = footprint(spots)
    normal, x, y = np.broadcast_arrays(check.positive("normal", normal), check.finite("x", x), check.finite("y", y))
    points = np.column_stack([x.ravel(), y.ravel()])
    tips = _edge_distances(around, *points.T).min(axis=-1) < -LIFTED * np.ptp(spots, axis=0).max()
    points[tips] = _on_the_edge(around.corners, points[tips])
    loads = normal[..., None] * _shares(spots, points).reshape(*x.shape, len(spots))
    return WheelLoads(loads, tips.reshape(x.shape)[()])


def _on_the_edge(corners, points):
    """Bring points from outside to the nearest place on the edge [S,2]."""
    along = np.roll(corners, -1, axis=0) - corners
    from_corner = points[:, None, :] - corners
    share = np.clip(np.sum(from_corner * along, axis=-1) / np.sum(along**2, axis=-1), 0.0, 1.0)
    feet = corners + share[..., None] * along
    nearest = np.argmin(np.sum((points[:, None, :] - feet) ** 2, axis=-1), axis=1)
    return feet[np.arange(len(points)), nearest]


def _shares(spots, points):
    """Share of the weight on each wheel [S,W].

    Which wheels stand is not known beforehand, so every set is tried. In the right one every wheel that stands is
    pressed down, and every other one hangs above the floor (the plane of the loads is below 0 there).
    """
    middle, size = spots.mean(axis=0), np.ptp(spots, axis=0).max()
    rows = np.column_stack([np.ones(len(spots)), (spots - middle) / size])
    wanted = np.column_stack([np.ones(len(points)), (points - middle) / size])
    shares, fault = np.zeros((len(points), len(spots))), np.full(len(points), np.inf)
    for count in range(len(spots), 2, -1):
        for standing in combinations(range(len(spots)), count):
            on = np.isin(np.arange(len(spots)), standing)
            if np.linalg.matrix_rank(rows[on], tol=IN_LINE) < 3:
                continue
            pressed = wanted @ np.linalg.inv(rows[on].T @ rows[on]) @ rows.T
            wrong = np.where(on, -pressed, pressed).max(axis=1)
            better = wrong < fault - LIFTED
            fault[better], shares[better] = wrong[better], np.where(on, pressed[better], 0.0)
    return np.maximum(shares, 0.0)  # only what rounding left below 0


def first_lift(wheels, x, y, height, direction):
    """Give the braking at which the first wheel leaves the floor; with 4 wheels the robot need not tip yet.

    Equation: load_i(a) = 0, loads linear in a as the pressure point moves by a height / g in the direction

    Parameters
    ----------
    wheels : [m] x and y of each wheel's contact, shape [W,2], W at least 3
    x : [m] of the centre of gravity, ahead; x, y, height and direction broadcast
    y : [m] of the centre of gravity, to the left
    height : [m] of the centre of gravity over the floor, > 0
    direction : [rad] of travel while braking: 0 ahead; speeding up ahead is braking back, pi

    Returns
    -------
    acceleration : [m/s2] of the braking; 0 when a wheel is off the floor at rest already

    Valid: level floor; all wheels give way equally (see wheel_loads). Braking harder than this up to
        balance.braking_limit rocks the robot onto its other wheels.
    Raises: ValueError when the wheels make no footprint or height is not above 0.
    Source: as wheel_loads.

    >>> four = [(0.15, 0.16), (0.15, -0.16), (-0.15, 0.16), (-0.15, -0.16)]
    >>> print(f"{first_lift(four, 0.0, 0.0, 0.30, 0.0):.2f} {first_lift(four, 0.0, 0.05, 0.30, 0.0):.2f}")
    4.90 3.37
    """
    spots = _spots(wheels)
    footprint(spots)
    x, y, height, angle = np.broadcast_arrays(
        check.finite("x", x),
        check.finite("y", y),
        check.positive("height", height),
        check.finite("direction", direction),
    )
    rows = np.column_stack([np.ones(len(spots)), spots])
    shares = np.linalg.pinv(rows.T)  # share of each wheel = shares @ (1, x, y)
    at_rest = np.stack([np.ones(x.shape), x, y], axis=-1) @ shares.T
    growth = np.stack([np.zeros(x.shape), np.cos(angle), np.sin(angle)], axis=-1) @ shares.T
    sinks = growth < -1e-12 * np.abs(shares).max()
    moved = np.where(sinks, at_rest / np.where(sinks, -growth, 1.0), np.inf).min(axis=-1)
    return np.where(at_rest.min(axis=-1) < -LIFTED, 0.0, GRAVITY / height * moved)[()]

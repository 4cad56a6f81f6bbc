"""The load of a shaft that winds cord, at points along a travel with jumps in it; as many points in every row. For
lift and winch.
"""

import numpy as np

from mechbench.physics.motion import Load

CLIMB = 1e-6  # share of the travel on which the cord climbs: so short that it takes no time


def with_jumps(end, jumps, points):
    """Places from 0 to end [..., points + 2 K], each of the K jumps as a point twice; and which jumps lie behind [...,
    K].

    end [...], jumps [..., K]. A jump outside the travel is laid in its middle, where nothing changes: then every row
    has the same number of points, however many jumps it has.
    """
    end, jumps = np.asarray(end, dtype=float), np.asarray(jumps, dtype=float)
    shape = np.broadcast_shapes(end.shape, jumps.shape[:-1])
    end, jumps = np.broadcast_to(end, shape)[..., None], np.broadcast_to(jumps, (*shape, jumps.shape[-1]))
    inside = (jumps > 0) & (jumps < end)
    place = np.where(inside, jumps, 0.5 * end)
    places = np.concatenate([end * np.linspace(0, 1, points), place, place], axis=-1)
    order = np.argsort(places, axis=-1, kind="stable")  # of a jump's two points the first copy comes first
    rank = np.argsort(order, axis=-1)[..., points + jumps.shape[-1] :]
    behind = np.arange(places.shape[-1])[:, None] >= rank[..., None, :]
    return np.take_along_axis(places, order, axis=-1), behind & inside[..., None, :]


def climbing(places, layers):
    """Places [..., N] with room to climb: where the cord comes onto another layer, the second point lies CLIMB later.

    layers [..., N]: layers climbed so far. On the way there the radius grows evenly and the cord stays tight, so the
    energy of motion is kept. A radius that jumps is no part that is picked up: the cord's pull P on the load,
    m (v2 - v1) = P, and on the drum, J (w2 - w1) = -P r2, give w2 = w1 (J + m r1 r2) / (J + m r2^2), which is the same
    but for the square of the radius's step.
    """
    arrives = np.diff(layers, axis=-1, prepend=layers[..., :1]) > 0
    later = places + CLIMB * places[..., -1:] * arrives
    return np.minimum(later, np.concatenate([places[..., 1:], places[..., -1:]], axis=-1))


def cord_load(places, pull, friction, mass, radius, drum_inertia):
    """A Load for a shaft that winds cord: tables over the cord wound, turned into tables over the shaft's angle.

    places [..., N]; pull and friction [N], mass [kg] as felt in the cord; radius [m], growing evenly between places.
    """
    radius = np.broadcast_to(radius, places.shape)
    steps = np.diff(places, axis=-1) / (0.5 * (radius[..., 1:] + radius[..., :-1]))
    angle = np.concatenate([np.zeros_like(places[..., :1]), np.cumsum(steps, axis=-1)], axis=-1)
    return Load(angle, pull * radius, friction * radius, mass * radius**2 + drum_inertia)

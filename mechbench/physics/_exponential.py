"""Motion under a torque that falls straight with speed: w' = a0 - rate (w - w0). For _march, on whole arrays.

Times are inf where a thing never happens; nothing here raises.
"""

import numpy as np
from numpy import count_nonzero

NEWTON = 8
LONG = 1e9  # [s] as good as never: a speed has then become the one that it keeps


def travel(w0, a0, rate, t):
    """Distance and speed after t."""
    z = np.maximum(rate * t, 1e-6)  # below this the exponential is a parabola to 2e-7
    h1 = -np.expm1(-z) / z
    gain = a0 * t
    return t * (w0 + gain * ((1.0 - h1) / z)), w0 + gain * h1


def time_to_speed(change, a0, rate):
    """Time until the speed has changed so much; inf where it never does."""
    moves = change * a0 > 0
    straight = np.where(moves, change, 0.0) / np.where(moves, a0, 1.0)
    part = rate * straight  # 1 where it is the steady speed itself
    with np.errstate(divide="ignore", invalid="ignore"):
        curved = -np.log1p(np.maximum(-part, -1.0)) / rate
    t = np.where(part < 1, np.where(np.abs(part) > 1e-6, curved, straight), np.inf)
    return np.where(moves, t, np.where(change == 0, 0.0, np.inf))


def time_to_stop(w0, a0, rate):
    """Time until the speed is 0; inf where it never is."""
    return np.where(a0 < 0, time_to_speed(-w0, a0, rate), np.inf)


def time_to(distance, w0, a0, rate):
    """Time to cover a distance; inf where the speed falls to 0 before."""
    b, square, gain = 0.5 * rate * distance, w0 * w0, 2 * (a0 * distance)
    w1 = np.sqrt(np.maximum(b * b + square + gain, 0.0)) - b
    mean = 0.5 * (w0 + np.maximum(w1, 0.0))
    moving = (w0 > 0) | (a0 > 0)
    t = np.where(moving, distance / np.maximum(mean, 1e-12), 0.0)
    stop = np.inf
    if count_nonzero(square + gain <= 0):  # a speed that falls as fast all the way as at first would be 0 before
        stop = time_to_stop(w0, a0, rate)
        ends = np.isfinite(stop)
        furthest = np.where(ends, travel(w0, a0, rate, np.where(ends, stop, 0.0))[0], np.inf)
        moving &= furthest >= distance
        t = np.minimum(t, stop)
    for _ in range(NEWTON):
        s, w = travel(w0, a0, rate, t)
        w = np.maximum(w, 1e-9)
        change = (s - distance) / w
        bend = 0.5 * change * (a0 - rate * (w - w0)) / w  # the speed changes on the way: Halley's step
        change = change / np.maximum(1.0 - bend, 0.5)
        t = np.minimum(np.maximum(t - change, 0.0), stop)
        if (np.abs(change) <= 1e-13 + 1e-4 * t).all():  # each step leaves a share like its cube
            break
    return np.where(moving, t, np.inf)


def meeting(u0, a0, rate, w0, b, latest):
    """Time until a speed u from above meets another one, w, which grows evenly by b; inf where not before `latest`.

    u - w bends down all the time where u grows, up where it falls. Newton's method never passes the meeting when it
    comes from that side: from later, or from now.
    """
    gap, grows = np.maximum(u0 - w0, 0.0), a0 > 0
    turn = np.where(~grows & (b < 0), a0 / np.where(b < 0, b, 1.0), 1.0)  # where u - w is least, if it has a least
    with np.errstate(divide="ignore", invalid="ignore"):
        least = np.where(turn > 1, np.log(np.maximum(turn, 1.0)) / rate, np.where(~grows & (b < 0), 0.0, np.inf))
        # u grows by at most a0 / rate, and is never above its tangent
        bound = np.where(b > 0, (gap + np.maximum(a0, 0.0) / rate) / np.where(b > 0, b, 1.0), np.inf)
        bound = np.where(b > a0, np.minimum(bound, gap / np.where(b > a0, b - a0, 1.0)), bound)
    end = np.minimum(np.minimum(latest, np.where(grows, bound, least)), LONG)
    apart = gap + travel(0.0, a0, rate, end)[1] - b * end
    meets = (apart < 0) | (grows & (end == bound))
    t = np.where(grows, end, 0.0)
    for _ in range(4 * NEWTON):
        apart = gap + travel(0.0, a0, rate, t)[1] - b * t
        slope = a0 * np.exp(-rate * t) - b
        change = np.where(meets & (slope < 0), apart / np.where(slope < 0, slope, 1.0), 0.0)
        t = np.clip(t - change, 0.0, end)
        if (np.abs(change) <= 1e-13 + 1e-9 * t).all():
            break
    return np.where(meets, t, np.inf)


def time_share(w0, w1):
    """The share of a step's distance that is its mean over time: 1/2 at an even speed, 1/3 from rest, 2/3 to rest."""
    return (2 * w0 + w1 + 1e-9) / (3 * (w0 + w1 + 1e-9))


def mean_square(w0, w1, a0, rate, distance, t):
    """Integral of w^2 over a step: exactly from the energy of the step, by Simpson where the decay is small."""
    middle = 1.5 * distance / np.maximum(t, 1e-30) - 0.25 * (w0 + w1)  # of the parabola that covers the same distance
    simpson = t / 6 * (w0 * w0 + 4 * middle * middle + w1 * w1)
    steep = rate * t > 0.03
    exact = ((a0 + rate * w0) * distance - 0.5 * (w1 * w1 - w0 * w0)) / np.where(steep, rate, 1.0)
    return np.where(steep, exact, simpson)

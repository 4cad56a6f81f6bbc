"""A solved move as the motion of a picture.

Contents: STANDS, over_time, motion_of, still.
"""

import numpy as np

from mechbench.drawing.motion import Motion
from mechbench.physics import motion
from mechbench.quantity import show

STEP = 0.005  # s, between two times of a motion
STANDS = 1.5  # s, shown of what does not move at all


def over_time(seconds):
    """Times from 0 to the end, evenly, close enough that values may go straight between them."""
    return np.linspace(0.0, seconds, max(int(np.ceil(seconds / STEP)), 1) + 1)


def motion_of(done, name, share, place):
    """The motion of one extra, which follows from the drive's position: `share` gives it, `place` says a position in
    words ("43 deg"), for what stalls.
    """
    seconds = motion.end_time(done)
    if seconds == 0:
        return still({name: float(share(done.q[0, 0, 0]))}, _no_start(done))
    times = over_time(seconds)
    return Motion(times, {name: share(motion.place_at(done, times))}, _ending(done, seconds, place))


def still(extra, told):
    """What does not move, for a while."""
    times = np.array([0.0, STANDS])
    return Motion(times, {name: np.full(2, value) for name, value in extra.items()}, told)


def _no_start(done):
    """Why it does not move at all."""
    if done.why[0, 0] == "limited":
        return "It does not start: once it moves, it can't be braked in time."
    if done.why[0, 0] == "slipped":
        return "It does not start: the wheels slip."
    return "It stalls where it starts: the load is too heavy for the drive."


def _ending(done, seconds, place):
    time, where = show(seconds, "s", digits=2), place(done.where[0, 0])
    return {
        "arrived": f"It arrives after {time}.",
        "stalled": f"It stalls at {where}, after {time}.",
        "slipped": f"The wheels slip at {where}, and it stands after {time}.",
        "limited": f"From {where} on it can't be braked in time: it would hit its end.",
    }[str(done.why[0, 0])]

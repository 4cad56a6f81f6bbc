"""A solved move as the motion of a picture.

Contents: STANDS, OFF, over_time, motion_of, then_off, stays, still.
"""

import numpy as np

from mechbench.drawing.motion import Motion, joined
from mechbench.physics import motion
from mechbench.quantity import show

STEP = 0.005  # s, between two times of a motion
STANDS = 1.5  # s, shown of what does not move at all
PAUSE = 0.6  # s at the end of a move, before the power goes off
OFF = "power off"  # said in the picture while it is


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


def then_off(up, done, fall, name, share, until=np.inf, kept="", sure=True, falls="falls"):
    """A motion to the top, and what the load then does with the power off, as `motion.let_go` solves it.

    share gives the extra from the position in that fall, until: the position at which the fall is over, such as on the
    floor. kept: what holds it, besides friction; without that the fall alone decides. sure: it stays by the sizing's
    own verdict, which looks at every place and at a bad day. falls: what it does else, in the verdict's word.
    """
    if done.why[0, 0] != "arrived":
        return up
    up = Motion(up.times, {**up.extra, "off": np.zeros(up.times.shape)}, up.told)
    stays = {**up.at(up.seconds), "off": 1.0}
    seconds = motion.end_time(fall)
    if kept or seconds == 0:
        return joined(_waits(up), still(stays, ""), f"{up.told} {_stays(kept, sure)}")
    times = over_time(seconds)
    places = motion.place_at(fall, times)
    over = np.argmax(places >= until) if np.any(places >= until) else times.size - 1
    times, places = times[: over + 1], np.minimum(places[: over + 1], until)
    sinks = Motion(times, {name: share(places), "off": np.ones(times.shape)}, "")
    lasts = f"{up.told} With the power off it {falls} in {show(times[-1], 's', digits=2)}: keep hands and feet away."
    return joined(_waits(up), sinks, lasts)


def _stays(kept, sure):
    """Why it stays up with the power off, and how far that can be trusted."""
    if kept:
        return f"With the power off it stays: {kept} holds it."
    if sure:
        return "With the power off it stays: friction holds it, and a knock can loosen that."
    return (
        "With the power off friction just holds it here. After a knock, lower down or on a bad day it falls: "
        "keep hands and feet away."
    )


def stays(report):
    """The sizing's own verdict whether it stays up with the power off."""
    told = report.sizing.power_off(report)
    return told is not None and told[0]


def _waits(up):
    """A motion that stands at its end for a moment."""
    return joined(up, Motion(np.array([0.0, PAUSE]), {k: np.full(2, v) for k, v in up.at(up.seconds).items()}, ""), "")


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

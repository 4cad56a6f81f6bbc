"""A motion as a film: one PNG file whose frames play once, with their true delays (APNG; in PNG since its third
edition, W3C 2025).

Contents: Film, film, pace_of.

Frames are drawn by the very screen that draws the still picture: nothing is built, and nothing jumps, when a film
begins. The start stays faint behind them, as a pinned design does. Where a design is pinned as A, that one stays
behind, where the move begins: two faint machines in one picture would be one too many.
"""

import io
import math
import zlib
from dataclasses import dataclass

import numpy as np
from PIL import Image

from mechbench.drawing.behind import start_behind
from mechbench.drawing.motion import Motion
from mechbench.drawing.picture import QUICKEST, encoded

FRAMES = 22  # a second, in slow motion too: 20 look even, and each one is drawn before the first is seen
LONGEST = 8.0  # s, of a film: a longer move runs faster
SLOWER = (100.0, 50.0, 20.0, 10.0, 5.0, 2.0)  # in slow motion: the most that plays no longer than
SLOW_LONGEST = 4.0  # s
QUICK, SEEN = 0.3, 1.0  # s, a move that is over sooner is hardly seen in true time: it then lasts so long at least


@dataclass(frozen=True)
class Film:
    """A film of a motion, and its last frame alone as a still; pace: how much faster than true time it runs."""

    png: bytes
    still: bytes
    motion: Motion
    pace: float

    @property
    def seconds(self):
        """How long it plays."""
        return self.motion.seconds / self.pace

    def at(self, seconds):
        """The picture's extras so many seconds after the film began."""
        return self.motion.at(seconds * self.pace)

    @property
    def told(self):
        """How the motion ends, and how fast it is shown where that is not true time."""
        if self.pace == 1:
            return self.motion.told
        how = f"{self.pace:g} times as fast" if self.pace > 1 else f"{1 / self.pace:g} times slower"
        shown = "That is too quick for the eye: shown" if self.motion.seconds < QUICK else "Shown"
        return f"{self.motion.told} {shown} {how}."


def film(screen, report, now, motion, slowly=False):
    """The film of a motion, in true time or slowly, drawn by the screen that shows that design."""
    pace = pace_of(motion.seconds, slowly)
    moments = _moments(motion.seconds / pace)
    with start_behind(screen, report, now, motion.at(0.0)):
        images = list(_frames(screen, report, now, motion, moments * pace))
    delays = np.diff(np.round(1000 * moments)).astype(int).tolist()
    png = _packed(list(_few(images, screen.colours)), [*delays, delays[-1]])
    return Film(png, encoded(images[-1], screen.colours), motion, pace)


def pace_of(seconds, slowly):
    """How much faster than true time a move is shown: 1; less in slow motion, and where true time is too quick for the
    eye; a whole number above 1 for a long one.
    """
    if seconds > LONGEST:
        return float(math.ceil(seconds / LONGEST - 1e-9))
    if not slowly:
        enough = (times for times in reversed(SLOWER) if seconds * times >= SEEN)
        return 1.0 if seconds >= QUICK else 1.0 / next(enough, SLOWER[0])
    few, many = SLOWER[-1], (times for times in SLOWER if seconds * times <= SLOW_LONGEST)
    return 1.0 / next(many, few if seconds * few <= LONGEST else 1.0)


def _moments(seconds):
    """When each frame is shown: evenly, the last one at the end."""
    return np.linspace(0.0, seconds, max(round(seconds * FRAMES), 1) + 1)


def _frames(screen, report, now, motion, times):
    """A picture at each time; what stands for a while is drawn once."""
    drawn = image = None
    for time in times:
        extra = motion.at(time)
        if extra != drawn:
            drawn, image = extra, screen.image(report, now, extra)
        yield image


def _few(images, colours):
    """Pictures in few colours; the same one again is the same picture."""
    before = few = None
    for image in images:
        if image is not before:
            before, few = image, image.quantize(palette=colours, dither=Image.Dither.NONE)
        yield few


def _packed(frames, delays):
    """Frames of one list of colours as a PNG that plays once; of each only the rectangle that changed is kept."""
    out = io.BytesIO()
    how = {"compress_level": QUICKEST, "compress_type": zlib.Z_RLE}
    frames[0].save(out, "PNG", save_all=True, append_images=frames[1:], duration=delays, loop=1, **how)
    return out.getvalue()

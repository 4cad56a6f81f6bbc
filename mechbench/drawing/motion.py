"""A move of what a picture shows, over true time.

Contents: Motion, joined.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Motion:
    """How the extras of a picture go over time, as the physics has it, and one sentence on how it ends.

    times [s] rise from 0. extra has an array of the same length for each field of the picture's EXTRA, and may have
    more, by names that the picture's `update` knows: what no slider moves, such as how far a roller has turned.
    Between two times values go straight, after the last one they stay.
    """

    times: np.ndarray
    extra: Mapping[str, np.ndarray]
    told: str

    def __post_init__(self):
        if len(self.times) < 2 or self.times[0] != 0 or np.any(np.diff(self.times) < 0):
            raise ValueError("times must be two or more that begin at 0 and do not fall; sort them.")
        if wrong := [name for name, values in self.extra.items() if np.shape(values) != np.shape(self.times)]:
            raise ValueError(f"{wrong[0]} has not one value for each of the {len(self.times)} times; give as many.")

    @property
    def seconds(self):
        """How long it takes."""
        return float(self.times[-1])

    def at(self, time):
        """The extras at one time, as a picture's `update` takes them."""
        return {name: float(np.interp(time, self.times, values)) for name, values in self.extra.items()}


def joined(first, second, told):
    """One motion after another, with a sentence of its own."""
    extra = {name: np.r_[values, second.extra[name]] for name, values in first.extra.items()}
    return Motion(np.r_[first.times, first.times[-1] + second.times], extra, told)

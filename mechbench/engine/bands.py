"""Numbers of parts that nobody printed: they were assumed, and may lie anywhere in a band.

Contents: Bands, bands_of (of a sizing's inputs), NO_BANDS, Assumed (one of them, for a report).

A place in a band runs from -1 (its low end) over 0 (as assumed) to 1 (its high end), evenly on the scale of factors:
half of a number is as far from it as twice the number.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from mechbench.engine.spec import Pick, Sizing


@dataclass(frozen=True)
class Assumed:
    """One number that a report rests on: its place among the inputs ("motor.rotor_inertia"), the assumed value in SI,
    and how far it may lie from that.
    """

    path: str
    value: float
    low: float
    high: float

    @property
    def key(self) -> str:
        """The number's own name, "rotor_inertia"."""
        return self.path.rpartition(".")[2]


@dataclass(frozen=True)
class Bands:
    """The bands of all inputs: where each number stands, its lowest and highest share, [bands, rows].

    In a search the rows are different parts; a part whose number is printed has the band from 1 to 1.
    """

    paths: tuple[str, ...]
    low: NDArray[np.float64]
    high: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.paths)

    def take(self, rows: NDArray[np.intp]) -> "Bands":
        """The same for the given rows; one row stands for all."""
        if not self.paths or self.low.shape[1] == 1:
            return self
        return Bands(self.paths, self.low[:, rows], self.high[:, rows])

    def share(self, number: int, place: NDArray[np.float64]) -> NDArray[np.float64]:
        """By how much a number is multiplied at a place in its band [rows]; nan is as assumed."""
        place = np.where(np.isnan(place), 0.0, place)
        return np.where(place < 0, self.low[number] ** -place, self.high[number] ** place)


NO_BANDS = Bands((), np.ones((0, 1)), np.ones((0, 1)))


def bands_of(sizing: type[Sizing], values: Mapping[str, Any], tables: Any) -> Bands:
    """Collect the bands of the picked parts; a list of names makes one row for each."""
    paths, low, high = [], [], []
    for field in sizing.FIELDS:
        if not isinstance(field, Pick) or not (assumed := tables(field.table).assumed):
            continue
        names = [values[field.name]] if isinstance(values[field.name], str) else list(values[field.name])
        used = [bands for name, bands in assumed.items() if name in set(names)]
        for column in dict.fromkeys(column for bands in used for column in bands):
            ends = [assumed.get(name, {}).get(column, (1.0, 1.0)) for name in names]
            paths.append(f"{field.name}.{column}")
            low.append([end[0] for end in ends])
            high.append([end[1] for end in ends])
    if not paths:
        return NO_BANDS
    rows = max(len(one) for one in low)
    return Bands(tuple(paths), *(np.array([np.broadcast_to(one, rows) for one in ends]) for ends in (low, high)))

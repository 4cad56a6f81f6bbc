"""Two toothed wheels as one part: which wheels they are, the driving one's teeth, the driven one's.

Contents: FAMILY, WHEELS, DRIVER, DRIVEN (where a table has these), words_of (what a wheel is), label_of (what people
read), typed (the same in one word), is_pairs (whether a table holds such parts), Pairs (which of them there are).

A table is one of pairs where its rows say all that. It may also hold what is no pair, such as "no last stage": a family
with one row.
"""

from collections.abc import Iterable
from math import log

from mechbench.kits.borrowed import SUFFIX
from mechbench.kits.tables import Table

OWN = "own"  # begins the label of what was given by figures
FAMILY, WHEELS = "family", "wheels"  # texts: the entry of the files that both wheels are of, and the same in words
DRIVER, DRIVEN, RATIO = "teeth_in", "teeth_out", "ratio"  # columns
SAME = 1e-9  # of logarithms: ratios that are equal but for rounding


def label_of(wheels: str, driver: float, driven: float) -> str:
    """'steel gear 18:56'; whose part it is comes last."""
    plain, borrowed, rest = wheels.partition(SUFFIX)
    return f"{plain} {driver:.0f}:{driven:.0f}{borrowed}{rest}"


def words_of(label: str) -> str:
    """What a wheel is without its teeth: 'steel gear' of 'steel gear, 18 teeth'; whose part it is stays."""
    plain, borrowed, rest = label.partition(SUFFIX)
    return f"{plain.rpartition(', ')[0] or plain}{borrowed}{rest}"


def typed(table: Table, name: str) -> str:
    """A part's name as one word that can be typed: of two wheels their label, steel_gear_18:56, and of those that were
    given by their teeth the figures again, chain,16:32; of anything else its name.
    """
    if not is_pairs(table) or table.labels[name] == table.texts[WHEELS][table.index(name)]:
        return name
    label, _, _ = table.labels[name].partition(SUFFIX)
    own = label.removeprefix(f"{OWN} ")
    return label.replace(" ", "_") if own == label else own.replace(" ", ",")


def is_pairs(table: Table) -> bool:
    """Whether the rows of a table say of which two wheels they are."""
    return {FAMILY, WHEELS} <= set(table.texts) and {DRIVER, DRIVEN, RATIO} <= set(table.columns)


class Pairs:
    """The pairs of a table, or of some of its names: by family, then driver, then driven, each to its name."""

    def __init__(self, table: Table, names: Iterable[str]):
        self._places, self._ratios, self.families = {}, {}, {}
        self._names: dict[str, dict[tuple[int, int], str]] = {}
        for name in names:
            place = table.index(name)
            teeth = round(table.columns[DRIVER][place]), round(table.columns[DRIVEN][place])
            family = table.texts[FAMILY][place]
            self.families[family] = table.texts[WHEELS][place]
            self._places[name] = (family, *teeth)
            self._ratios[name] = float(table.columns[RATIO][place])
            self._names.setdefault(family, {})[teeth] = name

    def __contains__(self, name: str) -> bool:
        return name in self._places

    def place(self, name: str) -> tuple[str, int, int]:
        """Family, driver teeth and driven teeth of a part."""
        return self._places[name]

    def drivers(self, family: str) -> list[int]:
        """Teeth that a driving wheel of this family can have; [] where there is nothing to choose."""
        return sorted({first for first, _ in self._names[family]}) if len(self._names[family]) > 1 else []

    def driven(self, family: str, driver: int) -> list[int]:
        """Teeth that a wheel behind this driving one can have."""
        return sorted(second for first, second in self._names[family] if first == driver)

    def named(self, family: str, driver: int, driven: int) -> str:
        """The part of these teeth."""
        return self._names[family][driver, driven]

    def nearest(self, family: str, ratio: float, driver: int | None = None) -> str:
        """The part of a family, of those with this driving wheel where one is given, whose ratio is nearest, as ratios
        are compared; of equals one that makes slower, then the first.
        """
        ones = [name for teeth, name in self._names[family].items() if driver in (None, teeth[0])]
        away = lambda name: round(abs(log(self._ratios[name] / ratio)) / SAME)
        return min(ones, key=lambda name: (away(name), self._ratios[name] < 1))

    def with_kind(self, family: str, teeth: tuple[int, int], ratio: float) -> str:
        """The part to take of another family: of the same teeth, else the nearest in ratio."""
        return self._names[family].get(teeth) or self.nearest(family, ratio)

"""Every train that a kit can build for a wished ratio: one gearbox, then pairs of gears, pulleys or sprockets.

    gearbox --( pair )--( pair )-- output        ratio = gearbox x pair x pair, all of them tried at once

Contents
    Wheels, every_pair        one kind of wheel in the kit and its pairs
    Gearbox, NO_GEARBOX       a closed gearbox on the motor
    Trains, find_trains       the search; best first, and the nearest misses

The kit has as many of each wheel as a train asks for. A pair of equal wheels is left out: it costs efficiency and
changes nothing. Stages stand in the order in which the kinds are given, and the larger reduction last: that keeps
torque and play in the stages before it small. Give the strongest kind last.
"""

from dataclasses import dataclass, field
from itertools import permutations

import numpy as np

from mechbench.physics import check, gearing

MOST_TRAINS = 12_000_000  # ratios that are tried at once; more would fill the memory of a small computer
_SAME = 1e-9  # ratios closer than this differ by rounding alone


def every_pair(teeth):
    """Give all pairs of different wheels that a list of teeth allows.

    Equation: n wheels make n (n - 1) ordered pairs

    Parameters
    ----------
    teeth : [whole] list of the teeth in the kit; repeats count once

    Returns
    -------
    pairs : [whole] tuple of (driver teeth, driven teeth)

    Valid: any wheel runs with any other, as spur gears of one module, pulleys of one belt, sprockets of one chain do.
    Raises: ValueError when a number of teeth is not a whole number of at least 4.
    Source: counting.

    >>> print(every_pair([20, 40]))
    ((20, 40), (40, 20))
    """
    wheels = np.unique(check.whole("teeth", list(teeth), 4))
    return tuple((int(first), int(second)) for first, second in permutations(wheels, 2))


@dataclass(frozen=True)
class Wheels:
    """One kind of wheel in the kit: what its pairs have in common.

    Fields
    ------
    name : [text] what a reader calls it: "steel gear", "belt"
    kind : [text] a kind of Stage: spur, bevel, belt, chain ...
    pairs : [whole] tuple of (driver teeth, driven teeth); every_pair makes it
    efficiency : [-] of one pair, driving, above 0 and at most 1
    pitch : [m] along the pitch line from tooth to tooth, > 0: belt and chain pitch; pi times the module of gears
    allowed_force : [N] that a tooth, the belt or the chain bears along the pitch line, > 0; inf where there is no limit
    backlash : [rad] of a pair at its driven wheel, >= 0
    mass_per_tooth : [kg] >= 0, so that a larger wheel weighs more
    """

    name: str
    kind: str
    pairs: tuple
    efficiency: float
    pitch: float = 0.003
    allowed_force: float = np.inf
    backlash: float = 0.0
    mass_per_tooth: float = 0.0

    def __post_init__(self):
        check.positive("pitch", self.pitch)
        check.not_negative("mass_per_tooth", self.mass_per_tooth)
        check.whole("pairs", np.asarray(self.pairs, dtype=float), 1)
        self.stage(np.ones(1))

    def stage(self, ratio, driven_teeth=1):
        """Give the Stage of pairs of these wheels.

        Equation: allowed torque = allowed force x pitch x driven teeth / (2 pi)

        Parameters
        ----------
        ratio : [-] of the pairs, > 0; any shape, both broadcast
        driven_teeth : [whole] of the driven wheel, >= 1

        Returns
        -------
        stage : [part] gearing.Stage

        Valid: the force on the pitch line is the limit for every size of wheel.
        Raises: ValueError when a field of these wheels is out of bounds.
        Source: common practice, no source.

        >>> belt = Wheels("belt", "belt", ((20, 60),), 0.95, pitch=0.004, allowed_force=120.0)
        >>> print(f"{belt.stage(3.0, 60).allowed_torque:.2f} N m")
        4.58 N m
        """
        return gearing.Stage(
            self.kind,
            ratio,
            self.efficiency,
            backlash=self.backlash,
            allowed_torque=self.allowed_force * self.pitch * driven_teeth / (2 * np.pi),
        )


@dataclass(frozen=True)
class Gearbox:
    """A closed gearbox that sits on the motor.

    Fields
    ------
    name : [text] what a reader calls it
    ratio : [-] input speed over output speed, > 0
    efficiency : [-] driving, above 0 and at most 1
    backlash : [rad] at its output shaft, >= 0
    allowed_torque : [N·m] at its output shaft, > 0; inf where there is no limit
    mass : [kg] >= 0
    stages : [whole] inside it, >= 0
    efficiency_driven : [-] when the load drives; left out: of each stage inside 2 - 1/efficiency, multiplied
    direction : [whole] +1 when the output turns like the motor, -1 when against it
    """

    name: str
    ratio: float
    efficiency: float
    backlash: float = 0.0
    allowed_torque: float = np.inf
    mass: float = 0.0
    stages: int = 1
    efficiency_driven: float | None = None
    direction: int = 1

    def __post_init__(self):
        check.not_negative("mass", self.mass)
        check.whole("stages", self.stages, 0)
        self.stage()

    def stage(self):
        """Give the gearbox as one Stage of a train.

        Equation: eta_driven = (2 - 1 / eta^(1/n))^n for n equal stages inside

        Returns
        -------
        stage : [part] gearing.Stage

        Valid: equal stages inside, where efficiency_driven is left out.
        Raises: ValueError when a field of the gearbox is out of bounds.
        Source: common practice, no source.

        >>> print(f"{Gearbox('three stages', 125.0, 0.512, stages=3).stage().efficiency_driven:.3f}")
        0.422
        """
        driven = self.efficiency_driven
        if driven is None:
            inside = max(self.stages, 1)
            each = check.fraction("efficiency", self.efficiency) ** (1 / inside)
            driven = gearing.efficiency_driven(each) ** inside
        return gearing.Stage(
            "planetary",
            self.ratio,
            self.efficiency,
            driven,
            self.backlash,
            self.allowed_torque,
            direction=self.direction,
        )


NO_GEARBOX = Gearbox("no gearbox", 1.0, 1.0, stages=0)


@dataclass(frozen=True)
class Trains:
    """The trains that a search found, best first; each column has one row for each train.

    Fields
    ------
    train : [part] gearing.Train whose fields are columns
    error : [-] ratio over the wished ratio, less 1; below 0: faster and weaker than wished
    stages : [whole] stages of the gearbox and pairs after it
    mass : [kg] of gearbox and wheels
    names : [text] each train in words, from the motor on
    explanation : [text] how many were found, or the nearest below and above when none fits
    below : [-] the nearest ratio that is not above the wished one; nan when there is none
    above : [-] the nearest ratio that is not below the wished one; nan when there is none
    gearbox : [whole] place of each train's gearbox in the list that was given
    pairs : [whole] columns (wheels, driver teeth, driven teeth) for each place after the gearbox, -1 where empty
    tried : [whole] how many trains were looked at
    """

    train: gearing.Train
    error: np.ndarray
    stages: np.ndarray
    mass: np.ndarray
    names: tuple
    explanation: str
    below: float
    above: float
    gearbox: np.ndarray = field(repr=False)
    pairs: np.ndarray = field(repr=False)
    tried: int

    def __len__(self):
        return len(self.names)


def find_trains(wheels, gearboxes, target_ratio, tolerance=0.05, max_pairs=2, most=200):
    """Find all trains of a kit whose ratio is near a wished one, best first.

    Equation: N = N_gearbox N_1 N_2 ...; order by |N / N_target - 1|, then number of stages, then mass, then place in
        the kit

    Parameters
    ----------
    wheels : [part] list of Wheels, the strongest kind last
    gearboxes : [part] list of Gearbox; put NO_GEARBOX in it to allow none
    target_ratio : [-] wished motor speed over output speed, > 0
    tolerance : [-] how far off a ratio may be, 0 to 1; 0.05 is 5 %
    max_pairs : [whole] most pairs of wheels after the gearbox, 0 to 4
    most : [whole] most trains to give back, >= 1

    Returns
    -------
    trains : [part] Trains; may be empty: its explanation then names the nearest below and above

    Valid: the kit has enough of each wheel; whether the shafts find room is for the builder.
    Raises: ValueError when an argument is out of bounds, gearboxes is empty, or there are more than 12 million trains.
    Source: counting; the tests compare it with nested loops.

    >>> kit = [Wheels("gear", "spur", every_pair([20, 40, 60]), 0.95)]
    >>> found = find_trains(kit, [NO_GEARBOX, Gearbox("box 4:1", 4.0, 0.9)], 12.0, tolerance=0.01)
    >>> print(found.names[0], found.explanation, sep="; ")
    box 4:1, gear 20:60; 2 trains within 1 % of 12:1; best first.
    """
    target = check.positive("target_ratio", target_ratio)
    check.between("tolerance", tolerance, 0.0, 1.0, "give a fraction, 0.05 for 5 %")
    check.between("max_pairs", check.whole("max_pairs", max_pairs, 0), 0, 4)
    check.whole("most", most, 1)
    wheels, gearboxes = list(wheels), list(gearboxes)
    if not gearboxes:
        raise ValueError("gearboxes is empty, but it must be a list of at least one; give [NO_GEARBOX] for none.")
    options = _options(wheels)
    _refuse_too_many(len(options), len(gearboxes), max_pairs)
    box_ratios = np.array([box.ratio for box in gearboxes], dtype=float)
    option_ratios = options[:, 2] / options[:, 1]
    hits, nearest, tried = [], [], 0
    for count in range(max_pairs + 1):
        places = _combinations(len(options), count)
        ratios = box_ratios[:, None] * np.prod(option_ratios[places], axis=1)
        tried += ratios.size
        hits.append(_rows(np.abs(ratios / target - 1) <= tolerance + _SAME, places, max_pairs))
        nearest += [_rows(ratios == end, places, max_pairs)[:1] for end in _around(ratios, target)]
    rows = np.concatenate(hits)
    misses = _ranked(np.concatenate(nearest), options, wheels, gearboxes, target)
    return _trains(_ranked(rows, options, wheels, gearboxes, target), misses, target, tolerance, tried, int(most))


def _options(wheels):
    """List all pairs of all kinds as rows (kind's place, driver, driven), each kind by growing ratio."""
    rows = [
        (place, first, second)
        for place, kind in enumerate(wheels)
        for first, second in sorted(set(map(tuple, kind.pairs)), key=lambda pair: (pair[1] / pair[0], pair))
        if first != second
    ]
    return np.array(rows, dtype=int).reshape(-1, 3)


def _refuse_too_many(options, gearboxes, max_pairs):
    total, ways = gearboxes, 1
    for count in range(1, max_pairs + 1):
        ways = ways * (options + count - 1) // count
        total += gearboxes * ways
    if total > MOST_TRAINS:
        raise ValueError(
            f"max_pairs is {max_pairs}, which makes {total} trains, but it must be so small that they "
            f"are at most {MOST_TRAINS}; allow fewer pairs or give fewer wheels."
        )


def _combinations(options, count):
    """Give all ways to take count options with repeats, in growing order of place: rows of places."""
    places = np.zeros((1, 0), dtype=np.int32)
    for _ in range(count):
        last = places[:, -1] if places.shape[1] else np.zeros(len(places), dtype=np.int32)
        choices = options - last
        start = np.repeat(last - np.cumsum(choices) + choices, choices)
        places = np.column_stack([np.repeat(places, choices, axis=0), start + np.arange(len(start))])
    return places


def _rows(chosen, places, width):
    """Turn a table of yes and no (gearbox, combination) into rows (gearbox, place, place ..., -1 where empty)."""
    boxes, combinations = np.nonzero(chosen)
    rows = np.full((len(boxes), 1 + width), -1)
    rows[:, 0] = boxes
    rows[:, 1 : 1 + places.shape[1]] = places[combinations]
    return rows


def _around(ratios, target):
    """Give the nearest ratio not above and the nearest not below the target, where there are such."""
    below, above = ratios[ratios <= target * (1 + _SAME)], ratios[ratios >= target * (1 - _SAME)]
    return ([below.max()] if below.size else []) + ([above.min()] if above.size else [])


@dataclass(frozen=True)
class _Ranked:
    """Trains in order: the columns of Trains before the most are cut off."""

    train: gearing.Train
    error: np.ndarray
    stages: np.ndarray
    mass: np.ndarray
    gearbox: np.ndarray
    pairs: np.ndarray
    wheels: list
    gearboxes: list

    def name(self, row):
        parts = [self.gearboxes[self.gearbox[row]].name]
        parts += [f"{self.wheels[kind].name} {first}:{second}" for kind, first, second in self.pairs[row] if kind >= 0]
        return ", ".join(parts)


def _ranked(rows, options, wheels, gearboxes, target):
    boxes, places = rows[:, 0], rows[:, 1:]
    table = np.concatenate([options, [[-1, -1, -1]]])  # place -1 is the empty pair
    pairs = table[places]
    train = _joined(boxes, pairs, wheels, gearboxes)
    weights = np.array([kind.mass_per_tooth for kind in wheels] + [0.0])
    mass = np.array([box.mass for box in gearboxes])[boxes] + np.sum(
        weights[pairs[..., 0]] * (pairs[..., 1] + pairs[..., 2]), axis=1
    )
    stages = np.array([box.stages for box in gearboxes])[boxes] + np.sum(places >= 0, axis=1)
    error = train.ratio / target - 1
    # Rounded, so that trains of one ratio that differ by rounding alone count as equal. Equal ones keep their order.
    order = np.lexsort([np.round(mass, 9), stages, np.round(np.abs(error), 9)])
    train = gearing.Train(**{name: column[order] for name, column in vars(train).items()})
    return _Ranked(train, error[order], stages[order], mass[order], boxes[order], pairs[order], wheels, gearboxes)


def _joined(boxes, pairs, wheels, gearboxes):
    """Join the stages of each row to one train, with neutral stages in the empty places."""
    names = ("ratio", "direction", "efficiency", "efficiency_driven", "backlash", "allowed_torque", "inertia")
    shape = (len(boxes), 1 + pairs.shape[1])
    columns = {name: np.full(shape, value) for name, value in zip(names, (1.0, 1, 1.0, 1.0, 0.0, np.inf, 0.0))}
    for place, box in enumerate(gearboxes):
        stage = box.stage()
        for name in names:
            columns[name][boxes == place, 0] = getattr(stage, name)
    for place, kind in enumerate(wheels):
        here = pairs[..., 0] == place
        stage = kind.stage(pairs[here, 2] / pairs[here, 1], pairs[here, 2])
        for name in names:
            columns[name][:, 1:][here] = getattr(stage, name)
    return gearing.combine(**columns)


def _trains(ranked, misses, target, tolerance, tried, most):
    near = {"below": misses.error <= _SAME, "above": misses.error >= -_SAME}
    first = {side: np.flatnonzero(chosen)[:1] for side, chosen in near.items()}
    count = len(ranked.mass)
    if count:
        words = "1 train" if count == 1 else f"{count} trains"
        explanation = f"{words} within {100 * tolerance:g} % of {target:.10g}:1; best first."
    else:
        explanation = f"No train of this kit comes within {100 * tolerance:g} % of {target:.10g}:1. " + " ".join(
            _miss(misses, side, places) for side, places in first.items()
        )
    cut = slice(0, most)
    return Trains(
        train=gearing.Train(**{name: column[cut] for name, column in vars(ranked.train).items()}),
        error=ranked.error[cut],
        stages=ranked.stages[cut],
        mass=ranked.mass[cut],
        names=tuple(ranked.name(row) for row in range(min(count, most))),
        explanation=explanation,
        **{side: float(misses.train.ratio[places[0]]) if places.size else np.nan for side, places in first.items()},
        gearbox=ranked.gearbox[cut],
        pairs=ranked.pairs[cut],
        tried=tried,
    )


def _miss(misses, side, places):
    if not places.size:
        return f"There is none {side} it."
    row = places[0]
    return f"The nearest {side} is {misses.train.ratio[row]:.4g}:1 ({misses.name(row)})."

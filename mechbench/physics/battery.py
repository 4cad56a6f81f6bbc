"""The battery and what hangs on it: sag, the voltage that several loads share, fuse, electronics' reset, wires.

          R  (cells, wires, plugs, switch)
      +---/\\/\\/---+--------+--------+
      |            |        |        |        Every ampere of every load flows through R, so each load lowers
      E            V      load 1   load 2     the voltage V of all the others: V = E - R (I_1 + I_2 + ...)
      |            |        |        |
      +------------+--------+--------+
Contents
    Battery                                        open-circuit voltage, resistance, charge
    voltage, max_power, current_for_power          at a current; the most it can give; the current for a power
    shared_voltage                                 with motors and resistors on it, in closed form
    run_time, charge_used                          from the charge in it
    reset_margin, resets                           will the electronics restart?
    lasting_voltage, lasting_level                 the lowest voltage that lasts: for a guard that waits
    Fuse, time_to_blow, fuse_used                  how long an overload may last; how much of that is used up
    wire_diameter, wire_resistance                 copper wire by gauge number

Care with batteries: a short circuit throws sparks and burns within a second. Fit the fuse close to the battery, charge
only with the charger meant for it and somebody near, never use a swollen or damaged one; the event's rules and local
codes come first.
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check

COPPER_RESISTIVITY = 1.7241e-8  # ohm·m at 20 degC: annealed copper, IEC 60028 (from memory)
SHORTER = 1 - 1e-12  # of a wait, so that a part that begins where it ends is not in it


@dataclass(frozen=True)
class Battery:
    """Hold a battery as it is now: full or nearly empty, cold or warm.

    Fields
    ------
    open_circuit_voltage : [V] with nothing connected, > 0
    resistance : [ohm] of cells, wires, plugs and switch together, >= 0 (0 for a regulated supply)
    capacity : [A·s] charge in it, > 0 (1 A·h is 3600 A·s); None when not known
    """

    open_circuit_voltage: float
    resistance: float
    capacity: float | None = None

    def __post_init__(self):
        object.__setattr__(
            self, "open_circuit_voltage", check.positive("open_circuit_voltage", self.open_circuit_voltage)
        )
        object.__setattr__(self, "resistance", check.not_negative("resistance", self.resistance))
        if self.capacity is not None:
            object.__setattr__(self, "capacity", check.positive("capacity", self.capacity))


@dataclass(frozen=True)
class Fuse:
    """Hold a fuse as points of its time-current band: how long the slowest and the quickest of one type last.

    Fields
    ------
    rating : [A] printed on it, > 0; may be a column
    ratio : [-] current over rating at each point, rising, the first above holds; shape [P], at least 2
    time : [s] until the slowest one blows at each point, falling, > 0; shape [P]
    holds : [-] ratio that it carries for ever, > 0
    quick : [s] until the quickest one blows, falling, at most time; shape [P]; left out: all last equally long
    patience : [-] of this one: 0 as the quickest, 0.5 in the middle (of the logarithms), 1 as the slowest; may be a
        column
    """

    rating: float
    ratio: tuple
    time: tuple
    holds: float = 1.0
    quick: tuple | None = None
    patience: float = 0.5

    def __post_init__(self):
        object.__setattr__(self, "rating", check.positive("rating", self.rating))
        object.__setattr__(self, "holds", check.positive("holds", self.holds))
        ratio, time = check.positive("ratio", self.ratio), check.positive("time", self.time)
        if np.ndim(ratio) != 1 or np.shape(ratio) != np.shape(time) or np.size(ratio) < 2:
            raise ValueError(
                f"ratio and time have shapes {np.shape(ratio)} and {np.shape(time)}, but they must be two "
                "equal rows of at least 2 points; give one time for each ratio."
            )
        steps = np.diff(ratio, prepend=self.holds)
        check.positive("step of ratio", steps, "give the points in rising order above holds")
        check.positive("fall of time", -np.diff(time), "give a shorter time for each larger ratio")
        quick = time if self.quick is None else check.positive("quick", self.quick)
        if np.shape(quick) != np.shape(time):
            raise ValueError(
                f"quick has shape {np.shape(quick)} and time {np.shape(time)}, but they must be equal rows; give one "
                "time of the quickest fuse for each ratio."
            )
        check.positive("fall of quick", -np.diff(quick), "give a shorter time for each larger ratio")
        check.not_negative("time less quick", np.subtract(time, quick), "give the quickest fuse the shorter times")
        check.between("patience", self.patience, 0.0, 1.0, "give 0 for the quickest, 1 for the slowest")
        for name, points in (("ratio", ratio), ("time", time), ("quick", quick)):
            object.__setattr__(self, name, tuple(map(float, points)))


# --- sag ------------------------------------------------------------------------------------------------------------


def voltage(battery, current):
    """Give the voltage at the battery's terminals at a total current.

    Equation: V = E - R I

    Parameters
    ----------
    battery : [part] Battery
    current : [A] of all loads together; below 0 when charging; any shape, broadcasts with the fields

    Returns
    -------
    voltage : [V] below 0 for a current beyond the short-circuit current, which only another source could force

    Valid: currents that last seconds; at once it sags a little less, after minutes more.
    Raises: ValueError when current is not finite.
    Source: OpenStax University Physics, volume 2, Example 10.1.

    >>> print(f"{voltage(Battery(15.0, 0.1), 25.0):.1f}")
    12.5
    """
    return battery.open_circuit_voltage - battery.resistance * check.finite("current", current)


def max_power(battery):
    """Give the most power that the battery can give to a load; its voltage has then sagged to half.

    Equation: P = E^2 / (4 R)

    Parameters
    ----------
    battery : [part] Battery

    Returns
    -------
    power : [W] inf when the resistance is 0

    Valid: as voltage. As much power heats the battery; no robot should come near it.
    Raises: nothing.
    Source: OpenStax University Physics, volume 2, Example 10.1 (the aged cell is this case).

    >>> print(f"{max_power(Battery(12.0, 0.5)):.0f}")
    72
    """
    with np.errstate(divide="ignore", over="ignore"):
        return (battery.open_circuit_voltage**2 / (4 * np.asarray(battery.resistance)))[()]


def current_for_power(battery, power):
    """Give the current at which the battery gives a power.

    Equation: I = 2 P / (E + sqrt(E^2 - 4 R P)), the smaller root of P = (E - R I) I

    Parameters
    ----------
    battery : [part] Battery
    power : [W] taken by the load; below 0 when charging; any shape, broadcasts with the fields

    Returns
    -------
    current : [A] inf when power is more than max_power: no current gives it

    Valid: as voltage.
    Raises: ValueError when power is not finite.
    Source: OpenStax University Physics, volume 2, Example 10.1.

    >>> print(f"{current_for_power(Battery(12.0, 0.1), 200.0):.1f}")
    20.0
    """
    power = check.finite("power", power)
    under_root = battery.open_circuit_voltage**2 - 4 * battery.resistance * power
    found = 2 * power / (battery.open_circuit_voltage + np.sqrt(np.maximum(under_root, 0.0)))
    return np.where(under_root < 0, np.inf, found)[()]


def shared_voltage(battery, load_resistance, back_voltage=0.0, other_current=0.0):
    """Give the voltage when several motors and resistors hang on one battery.

    Equation: V = (E - R I_x + R sum(E_j / R_j)) / (1 + R sum(1 / R_j))

    Parameters
    ----------
    battery : [part] Battery; columns of shape [S] or plain numbers
    load_resistance : [ohm] R_j of each load, > 0 (a motor's resistance); shape [D] or [S, D]
    back_voltage : [V] E_j of each load (a motor's k w), 0 for a plain resistor; shape [D] or [S, D]
    other_current : [A] I_x of what takes a current of its own, as electronics do; shape [S] or a plain number

    Returns
    -------
    voltage : [V] shape [S] or a plain number; the current of each load is (V - E_j) / R_j

    Valid: every load switched fully on and connected both ways: a motor faster than V / k feeds current back.
    Raises: ValueError when load_resistance is not above 0, or an argument is not finite.
    Source: Kirchhoff's laws: first principles, checked against a general linear solution in the tests.

    >>> print(f"{shared_voltage(Battery(15.0, 0.1), [2.0, 2.0], [0.0, 9.0]):.2f}")
    14.05
    """
    conductance = 1 / np.atleast_1d(check.positive("load_resistance", load_resistance))
    driven = conductance * check.finite("back_voltage", back_voltage)
    taken = check.finite("other_current", other_current) - driven.sum(axis=-1)
    return voltage(battery, taken) / (1 + battery.resistance * conductance.sum(axis=-1))


# --- charge ---------------------------------------------------------------------------------------------------------


def run_time(battery, current):
    """Give how long the charge lasts at a mean current.

    Equation: t = Q / I

    Parameters
    ----------
    battery : [part] Battery with capacity
    current : [A] mean current, >= 0; any shape, broadcasts with the fields

    Returns
    -------
    time : [s] inf at no current

    Valid: mean currents up to some ten times the capacity per hour; beyond that a battery gives less than its label.
    Raises: ValueError when current is below 0, or the battery has no capacity given.
    Source: definition of charge.

    >>> print(f"{run_time(Battery(12.0, 0.1, 9000.0), 10.0) / 60:.0f}")
    15
    """
    if battery.capacity is None:
        raise ValueError(
            "capacity of the battery is not given, but a run time needs a number above 0; make the "
            "battery with capacity=..., from its label."
        )
    with np.errstate(divide="ignore", over="ignore"):
        return (battery.capacity / np.asarray(check.not_negative("current", current)))[()]


def charge_used(time, current):
    """Give the charge taken over a history of currents.

    Equation: Q = sum of I dt

    Parameters
    ----------
    time : [s] instants in rising order; shape [N] or [S, N]
    current : [A] held from each instant to the next (the last one is not used); shape [N] or [S, N]

    Returns
    -------
    charge : [A·s] taken since the first instant, at each instant; shape [N] or [S, N]

    Valid: any history.
    Raises: ValueError when time goes back or an argument is not finite.
    Source: definition of charge.

    >>> print(charge_used([0, 10, 40], [20.0, 2.0, 0.0]))
    [  0. 200. 260.]
    """
    return _added_up(time, check.finite("current", current))


def _added_up(time, rate):
    """Return the running sum of rate times duration; each rate is held from its instant to the next."""
    time, rate = np.broadcast_arrays(np.atleast_1d(check.finite("time", time)), rate)
    steps = check.not_negative("step of time", np.diff(time), "give the instants in rising order")
    total = np.zeros(time.shape)
    total[..., 1:] = np.cumsum(steps * rate[..., :-1], axis=-1)
    return total


# --- reset ----------------------------------------------------------------------------------------------------------


def reset_margin(voltage, reset_level):
    """Give how far the voltage stays above the level at which the electronics restart.

    Equation: V - V_reset

    Parameters
    ----------
    voltage : [V] lowest voltage of the battery; any shape, all arguments broadcast
    reset_level : [V] of the electronics, > 0

    Returns
    -------
    margin : [V] below 0 when they restart

    Valid: sags longer than the electronics can bridge (some thousandths of a second).
    Raises: ValueError when voltage is not finite or reset_level is not above 0.
    Source: common practice, no source.

    >>> print(f"{reset_margin(9.6, 8.0):.1f}")
    1.6
    """
    return check.finite("voltage", voltage) - check.positive("reset_level", reset_level)


def resets(voltage, reset_level):
    """Tell whether the electronics restart.

    Equation: V < V_reset

    Parameters
    ----------
    voltage : [V] lowest voltage of the battery; any shape, all arguments broadcast
    reset_level : [V] of the electronics, > 0

    Returns
    -------
    restart : [yes/no] True when they do

    Valid: as reset_margin.
    Raises: ValueError when voltage is not finite or reset_level is not above 0.
    Source: common practice, no source.

    >>> print(bool(resets(7.8, 8.0)))
    True
    """
    return reset_margin(voltage, reset_level) < 0


def lasting_voltage(time, voltage, wait, rest):
    """Give the lowest voltage that lasts: the battery stays at it or below for the whole time that a guard waits.

    Equation: V = min over s of max of V(t), s <= t <= s + wait; before and after the history V(t) = rest

    Parameters
    ----------
    time : [s] instants in rising order; a repeated one is a jump; shape [N] or [S, N]
    voltage : [V] at the instants, straight between them; shape [N] or [S, N]
    wait : [s] how long the guard waits, >= 0; 0 takes the lowest instant; shape [S] or a plain number
    rest : [V] of the battery before and after; the answer is never more; shape [S] or a plain number

    Returns
    -------
    voltage : [V] shape [S] or a plain number; rest where the whole history is shorter than wait

    Valid: a guard that begins to count anew each time the voltage comes back above its level.
    Raises: ValueError when time goes back, wait is below 0, or an argument is not finite.
    Source: first principles: the least of the highest in a window that slides, checked on a fine grid in the tests.

    >>> print(f"{lasting_voltage([0.0, 0.1, 0.5], [9.0, 10.0, 13.0], 0.2, 15.0):.2f}")
    10.75
    """
    time, voltage = np.broadcast_arrays(check.finite("time", time), check.finite("voltage", voltage))
    check.not_negative("step of time", np.diff(time), "give the instants in rising order")
    wait, rest = check.not_negative("wait", wait), check.finite("rest", rest)
    shape = np.broadcast_shapes(time.shape[:-1], np.shape(wait), np.shape(rest))
    rows = [np.reshape(np.broadcast_to(one, (*shape, time.shape[-1])), (-1, time.shape[-1])) for one in (time, voltage)]
    waits = np.reshape(np.broadcast_to(wait, shape), (-1, 1))
    lasts = np.where(waits[:, 0] > 0, _least_of_highest(*rows, waits), np.min(rows[1], axis=-1))
    return np.minimum(lasts.reshape(shape), rest)[()]


def lasting_level(edges, level, wait, rest):
    """Give the lowest voltage that lasts where it is even in each part of a history that comes again and again.

    Equation: V = min over i of max(V_i ... V_j), j the last part that begins before t_i + wait

    Parameters
    ----------
    edges : [s] where parts begin, and the end of the last one, in rising order; shape [S, N + 1]
    level : [V] in each part; shape [S, N]
    wait : [s] how long the guard waits, >= 0; more than the whole history: as long as that; a plain number
    rest : [V] of the battery when nothing is drawn; the answer is never more; shape [S]

    Returns
    -------
    voltage : [V] shape [S]

    Valid: as lasting_voltage, of which it is the case without slopes: a window that begins with a part is the lowest.
    Raises: ValueError when edges go back, wait is below 0, or an argument is not finite.
    Source: first principles, checked against lasting_voltage in the tests.

    >>> lasting_level(np.array([[0.0, 0.1, 0.5]]), np.array([[9.0, 12.0]]), 0.2, np.array([15.0]))
    array([12.])
    """
    edges, level = check.finite("edges", edges), check.finite("level", level)
    check.not_negative("step of edges", np.diff(edges), "give them in rising order")
    wait, number = np.minimum(check.not_negative("wait", wait), edges[:, -1:] - edges[:, :1]), level.shape[-1]
    twice = np.concatenate([edges[:, :-1], edges[:, :-1] + edges[:, -1:] - edges[:, :1]], axis=-1)
    last = _passed(twice, edges[:, :-1] + wait * SHORTER) - 1
    highest = _highest_between(np.tile(level, 2), np.arange(number) - 1, np.maximum(last, np.arange(number)))
    return np.minimum(np.min(highest, axis=-1), check.finite("rest", rest))


def _least_of_highest(time, voltage, wait):
    """The least of the highest voltage in a window that slides from the first instant to the last [S]; wait is [S, 1].

    While neither end of the window passes an instant, the highest is that of the instants inside or that at one of the
    ends, which change evenly: it is least where such a stretch begins or ends, or where both ends are equally high.
    """
    number, first, last = time.shape[-1], time[:, :1], np.maximum(time[:, -1:] - wait, time[:, :1])
    both = np.concatenate([time, time - wait], axis=-1)  # where its begin passes an instant, and where its end does
    order = np.argsort(both, axis=-1, kind="stable")
    begins = np.clip(_own(both, order), first, last)
    by_begin = np.cumsum(order < number, axis=-1)[:, :-1]
    by_end = np.arange(1, 2 * number) - by_begin
    places = [np.clip(passed - 1, 0, number - 2) for passed in (by_begin, by_end)]
    steps = np.diff(time, axis=-1)
    slopes = np.diff(voltage, axis=-1) / np.where(steps > 0, steps, np.inf)
    slope = [_own(slopes, place) for place in places]
    at_begin = [
        _own(voltage, place) + rise * (at - _own(time, place))
        for place, rise, at in zip(places, slope, (begins[:, :-1], begins[:, :-1] + wait))
    ]
    long, closing = np.diff(begins, axis=-1), slope[0] - slope[1]
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        meets = (at_begin[1] - at_begin[0]) / np.where(closing == 0, 1.0, closing)
    least = np.maximum(*at_begin)
    for after in (long, np.clip(meets, 0.0, long)):
        least = np.minimum(least, np.maximum(*(begin + rise * after for begin, rise in zip(at_begin, slope))))
    # Of instants that come at once only the last one begins a stretch, in which it is known what was passed.
    least = np.min(np.where(long > 0, np.maximum(least, _highest_between(voltage, *places)), np.inf), axis=-1)
    least = np.where(last[:, 0] > first[:, 0], least, np.max(voltage, axis=-1))  # one window alone
    return np.where(time[:, -1] - time[:, 0] < wait[:, 0], np.inf, least)


def _own(values, places):
    """Values of each row at its own places [S, M]; np.take_along_axis takes twice as long for it."""
    return values.ravel().take(places + np.arange(len(values))[:, None] * values.shape[-1])


def _passed(time, at):
    """How many instants of its row each time is not before; both in rising order [S, N], [S, M]."""
    both = np.concatenate([time, at], axis=-1)
    order = np.argsort(both, axis=-1, kind="stable")
    counts = np.empty(order.shape, dtype=int)
    np.put_along_axis(counts, order, np.cumsum(order < time.shape[-1], axis=-1), axis=-1)
    return counts[:, time.shape[-1] :]


def _highest_between(values, first, last):
    """The highest of the values after the place `first` up to `last`, in each row; -inf where there are none.

    Two blocks of 2^k values cover such a stretch; the highest of every block is found by halves.
    """
    many, number = last - first, values.shape[-1]
    sizes = np.log2(np.maximum(np.arange(max(np.max(many), 1) + 1), 1)).astype(int)
    blocks = [values]
    while len(blocks) <= sizes[-1]:
        half = 2 ** (len(blocks) - 1)
        shifted = np.concatenate([blocks[-1][:, half:], np.full((len(values), half), -np.inf)], axis=-1)
        blocks.append(np.maximum(blocks[-1], shifted))
    size = sizes.take(np.maximum(many, 0))
    at = (size * len(values) + np.arange(len(values))[:, None]) * number
    begin, end = np.minimum(first + 1, number - 1), np.maximum(last + 1 - (2 ** np.arange(len(blocks))).take(size), 0)
    table = np.stack(blocks).ravel()
    return np.where(many > 0, np.maximum(table.take(at + begin), table.take(at + end)), -np.inf)


# --- fuse -----------------------------------------------------------------------------------------------------------


def time_to_blow(fuse, current):
    """Give how long a fuse carries a current.

    Equation: ln t = p ln t_slow + (1 - p) ln t_quick, both straight in ln I between the points; the first
        and last stretch go on outwards

    Parameters
    ----------
    fuse : [part] Fuse
    current : [A] either sign; any shape, broadcasts with the rating

    Returns
    -------
    time : [s] inf at and below holds times rating

    Valid: cold start, still air at room temperature. Below the first point only a part of the heat is more than the
        fuse carries off for ever: there 1 / t is that of the line times (I^2 - I_h^2) / (I_1^2 - I_h^2).
    Raises: ValueError when current is not finite.
    Source: common practice, no source: makers print the line on paper with both axes logarithmic; standards for blade
        fuses (ISO 8820-3, SAE J1284) print the quickest and the slowest time at some ratios.

    >>> fuse = Fuse(20.0, (1.35, 2.0, 3.5), (600.0, 5.0, 0.5), 1.0, (0.75, 0.15, 0.04))
    >>> print(f"{time_to_blow(fuse, 40.0):.2f} {time_to_blow(fuse, 20.0)}")
    0.87 inf
    """
    ratio, patience = np.broadcast_arrays(np.abs(check.finite("current", current)) / fuse.rating, fuse.patience)
    blows, lasts = ratio > fuse.holds, np.full(ratio.shape, np.inf)
    lasts[blows] = _blows_after(fuse, ratio[blows], patience[blows])  # mostly a few of a whole history
    return lasts[()]


def _blows_after(fuse, ratio, patience):
    """Time to blow at ratios above what the fuse holds, each with a patience of its own."""
    at, x = np.log(fuse.ratio), np.log(ratio)
    stretch = np.clip(np.searchsorted(at, x) - 1, 0, at.size - 2)
    slow, quick = (_straight(at, np.log(time), stretch, x) for time in (fuse.time, fuse.quick))
    too_much = np.clip((ratio**2 - fuse.holds**2) / (fuse.ratio[0] ** 2 - fuse.holds**2), 0.0, 1.0)
    with np.errstate(divide="ignore"):  # above what it holds by no more than rounding
        return np.exp(patience * slow + (1 - patience) * quick) / too_much


def _straight(at, values, stretch, x):
    """Values on the straight lines between points, each x in its stretch."""
    return values[stretch] + (np.diff(values) / np.diff(at))[stretch] * (x - at[stretch])


def fuse_used(fuse, time, current):
    """Give how much of a fuse's patience a history of currents has used up; it blows at 1.

    Equation: sum of dt / time_to_blow(I)

    Parameters
    ----------
    fuse : [part] Fuse with a plain number as rating
    time : [s] instants in rising order; shape [N] or [S, N]
    current : [A] held from each instant to the next (the last one is not used); shape [N] or [S, N]

    Returns
    -------
    used : [-] at each instant, 0 at first; 1 and more where it has blown; shape [N] or [S, N]

    Valid: a match; cooling between overloads is left out, so it is on the careful side.
    Raises: ValueError when time goes back or an argument is not finite.
    Source: common practice, no source.

    >>> fuse = Fuse(20.0, (1.35, 2.0, 3.5), (60.0, 5.0, 0.5))
    >>> print(fuse_used(fuse, [0, 2, 10, 11], [40.0, 15.0, 40.0, 0.0]).round(2))
    [0.  0.4 0.4 0.6]
    """
    return _added_up(time, 1 / time_to_blow(fuse, current))


# --- wires ----------------------------------------------------------------------------------------------------------


def wire_diameter(gauge):
    """Give the diameter of a solid wire by its American gauge number.

    Equation: d = 0.127 mm * 92^((36 - n) / 39)

    Parameters
    ----------
    gauge : [whole] number n, -3 (which is written 0000) to 40; any shape

    Returns
    -------
    diameter : [m] of the copper alone; a stranded wire of that gauge holds as much copper and is thicker

    Valid: -3 to 40; three numbers more halve the copper.
    Raises: ValueError when gauge is not a whole number from -3 to 40.
    Source: ASTM B258 (the law as printed in an open table; the standard itself not seen).

    >>> print(f"{wire_diameter(12) * 1000:.3f}")
    2.053
    """
    gauge = check.between("gauge", check.whole("gauge", gauge, -3), -3, 40)
    return 0.127e-3 * 92 ** ((36 - gauge) / 39)


def wire_resistance(gauge, length):
    """Give the resistance of a copper wire by its American gauge number.

    Equation: R = rho L / (pi d^2 / 4)

    Parameters
    ----------
    gauge : [whole] number, -3 to 40; any shape, all arguments broadcast
    length : [m] of the wire, >= 0: there and back count as two

    Returns
    -------
    resistance : [ohm] at 20 degC; plugs and switches come on top

    Valid: direct current, 20 degC; 4 % more for each 10 K.
    Raises: ValueError when gauge is not a whole number from -3 to 40, or length is below 0.
    Source: ASTM B258 and IEC 60028 (the law as printed in an open table, the resistivity from memory).

    >>> print(f"{wire_resistance(12, 2.0) * 1000:.1f}")
    10.4
    """
    area = np.pi / 4 * wire_diameter(gauge) ** 2
    return COPPER_RESISTIVITY * check.not_negative("length", length) / area

r"""Duration: how long something takes when nobody knows exactly: the quickest, the usual and the slowest of many tries.

             likely
              /\                  Triangular: the chance rises in a straight line from the quickest to the usual time
             /  ` .               and falls in a straight line to the slowest. Its mean lies between the three: with a
            /       ` .           long slow side it is well above the usual time, and plans made with the usual time
           /            ` .       come out late.
      ----+---+------------+---->
         low             high  time

Contents
    Duration, Drawn, duration, shorter      low, likely, high as one value; or many times that were drawn or measured
    triangular_mean, triangular_sd          mean and standard deviation
    triangular_at                           the time that a given share of the tries beats
    pert_mean, pert_sd                      another rule for the same three numbers
    Spread, spread_of                       mean, standard deviation and quantiles of many drawn values
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check


def _three(low, likely, high):
    low = check.not_negative("low", low)
    likely = check.at_least("likely", likely, low, "give low, likely, high in this order")
    return low, likely, check.at_least("high", high, likely, "give low, likely, high in this order")


def triangular_mean(low, likely, high):
    """Give the mean of a low-likely-high estimate.

    Equation: (a + m + b) / 3

    Parameters
    ----------
    low : [s] the quickest of many tries, >= 0; all arguments broadcast
    likely : [s] the usual one, at least low
    high : [s] the slowest, at least likely

    Returns
    -------
    mean : [s] of many tries

    Valid: triangular distribution.
    Raises: ValueError when the three do not rise or low is below 0.
    Source: any table of common distributions; formula read on the Grist Project Management page.

    >>> print(f"{triangular_mean(1.0, 2.0, 5.0):.1f}")
    2.7
    """
    low, likely, high = _three(low, likely, high)
    return (low + likely + high) / 3


def triangular_sd(low, likely, high):
    """Give the standard deviation of a low-likely-high estimate.

    Equation: sqrt((a^2 + m^2 + b^2 - a m - a b - m b) / 18)

    Parameters
    ----------
    low : [s] the quickest of many tries, >= 0; all arguments broadcast
    likely : [s] the usual one, at least low
    high : [s] the slowest, at least likely

    Returns
    -------
    sd : [s] of single tries; 0 when all three are the same

    Valid: triangular distribution.
    Raises: ValueError when the three do not rise or low is below 0.
    Source: any table of common distributions; formula read on the Grist Project Management page.

    >>> print(f"{triangular_sd(1.0, 2.0, 5.0):.2f}")
    0.85
    """
    low, likely, high = _three(low, likely, high)
    # The same sum of squares written with differences: no rounding below 0 when the three are close.
    return np.sqrt(((high - low) ** 2 + (likely - low) ** 2 + (high - likely) ** 2) / 36)


def triangular_at(share, low, likely, high):
    """Give the time that a given share of the tries does not exceed.

    Equation: a + sqrt(u (b - a) (m - a)) below the likely time; b - sqrt((1 - u) (b - a) (b - m)) above it

    Parameters
    ----------
    share : [-] of the tries, u, 0 to 1; all arguments broadcast; evenly spread shares draw tries
    low : [s] the quickest of many tries, >= 0
    likely : [s] the usual one, at least low
    high : [s] the slowest, at least likely

    Returns
    -------
    time : [s] low for a share of 0, high for a share of 1

    Valid: triangular distribution.
    Raises: ValueError when share is not 0 to 1, the three do not rise or low is below 0.
    Source: inverse of the triangular distribution; reference scipy.stats.triang.

    >>> print(f"{triangular_at(0.95, 1.0, 2.0, 5.0):.2f}")
    4.23
    """
    return _at(check.between("share", share, 0.0, 1.0), *_three(low, likely, high))


def _at(share, low, likely, high):
    width = high - low
    time = np.asarray(high - np.sqrt((1 - share) * (width * (high - likely))))
    # By places: to choose with a mask that nobody can foresee costs a processor twice as much as a second root.
    whole = np.atleast_1d(time)
    below = np.nonzero(np.broadcast_to(share * width < likely - low, whole.shape))  # the likely time
    some = lambda part: np.broadcast_to(part, whole.shape)[below] if np.ndim(part) else part
    whole[below] = some(low) + np.sqrt(some(share) * some(width * (likely - low)))
    return time[()]


def pert_mean(low, likely, high):
    """Give the mean of a low-likely-high estimate by the rule that trusts the usual time more.

    Equation: (a + 4 m + b) / 6

    Parameters
    ----------
    low : [s] the quickest of many tries, >= 0; all arguments broadcast
    likely : [s] the usual one, at least low
    high : [s] the slowest, at least likely

    Returns
    -------
    mean : [s] of many tries

    Valid: a beta distribution with its weight of 4 on the likely time (PERT, planning of projects).
    Raises: ValueError when the three do not rise or low is below 0.
    Source: Malcolm, Roseboom, Clark & Fazar, Operations Research 7 (1959) 646-669 (from memory).

    >>> print(f"{pert_mean(1.0, 2.0, 5.0):.1f}")
    2.3
    """
    low, likely, high = _three(low, likely, high)
    return (low + 4 * likely + high) / 6


def pert_sd(low, high):
    """Give the standard deviation that the PERT rule of thumb says.

    Equation: (b - a) / 6

    Parameters
    ----------
    low : [s] the quickest of many tries, >= 0; both broadcast
    high : [s] the slowest, at least low

    Returns
    -------
    sd : [s] of single tries, by rule of thumb

    Valid: a rule of thumb. The beta distribution that belongs to pert_mean has sqrt((mean - a) (b - mean) / 7), which
        is up to 13 % more with the likely time in the middle and less with it near an end.
    Raises: ValueError when high is below low or low is below 0.
    Source: Malcolm, Roseboom, Clark & Fazar, Operations Research 7 (1959) 646-669 (from memory).

    >>> print(f"{pert_sd(1.0, 5.0):.2f}")
    0.67
    """
    low = check.not_negative("low", low)
    return (check.at_least("high", high, low, "give low first") - low) / 6


# --- as one value ---------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Duration:
    """Hold how long something takes.

    Fields
    ------
    low : [s] the quickest of many tries, >= 0
    likely : [s] the usual one
    high : [s] the slowest
    """

    low: float
    likely: float
    high: float

    def __post_init__(self):
        for name, value in zip(("low", "likely", "high"), _three(self.low, self.likely, self.high)):
            object.__setattr__(self, name, value)

    @property
    def mean(self):
        """Give the mean in s."""
        return triangular_mean(self.low, self.likely, self.high)

    @property
    def sd(self):
        """Give the standard deviation in s."""
        return triangular_sd(self.low, self.likely, self.high)

    def at(self, share):
        """Give the time in s that this share of the tries does not exceed; see triangular_at."""
        return _at(check.between("share", share, 0.0, 1.0), self.low, self.likely, self.high)


@dataclass(frozen=True)
class Drawn:
    """Hold times that were measured with a stopwatch, or drawn (such as the totals of drawn cycles), as they are.

    Fields
    ------
    values : [s] of the tries, at least 2, each >= 0; kept in rising order
    """

    values: np.ndarray

    def __post_init__(self):
        values = np.sort(np.ravel(check.not_negative("values", self.values)))
        if len(values) < 2:
            raise ValueError(f"values are {len(values)}, but they must be at least 2; measure more often.")
        object.__setattr__(self, "values", values)

    @property
    def low(self):
        """Give the quickest in s."""
        return float(self.values[0])

    @property
    def high(self):
        """Give the slowest in s."""
        return float(self.values[-1])

    @property
    def mean(self):
        """Give the mean in s."""
        return float(np.mean(self.values))

    @property
    def sd(self):
        """Give the standard deviation in s."""
        return float(np.std(self.values))

    def at(self, share):
        """Give the time in s that this share of the tries does not exceed."""
        return np.interp(check.between("share", share, 0.0, 1.0), np.linspace(0.0, 1.0, len(self.values)), self.values)


def duration(time):
    """Give a Duration from what is easiest to write: one number, or three.

    Equation: low = likely = high for one number

    Parameters
    ----------
    time : [s] a number (always the same), three numbers (low, likely, high), or a Duration or Drawn, which stays as it
        is

    Returns
    -------
    duration : [part] Duration, or Drawn

    Valid: any unit of time, if it is the same everywhere.
    Raises: ValueError when it is not one or three numbers, or they do not rise.
    Source: common practice, no source.

    >>> print(duration(2.0), f"{duration((1.0, 2.0, 5.0)).mean:.1f}")
    Duration(low=2.0, likely=2.0, high=2.0) 2.7
    """
    if isinstance(time, (Duration, Drawn)):
        return time
    numbers = np.atleast_1d(check.finite("time", time)).tolist()
    if len(numbers) not in (1, 3):
        raise ValueError(f"time is {str(time)[:40]}, but it must be one number or three; give low, likely, high.")
    return Duration(*(numbers * 3)[:3])


def shorter(time, saved):
    """Give a duration made shorter by a number of seconds, but never shorter than nothing.

    Equation: max(t - saved, 0) for low, likely and high, or for each drawn time

    Parameters
    ----------
    time : [part] Duration or Drawn, or what duration takes
    saved : [s] seconds saved, >= 0

    Returns
    -------
    duration : [part] of the same kind

    Valid: each try is quicker by the same time.
    Raises: ValueError when saved is below 0.
    Source: common practice, no source.

    >>> print(shorter((1.0, 2.0, 5.0), 1.0))
    Duration(low=0.0, likely=1.0, high=4.0)
    """
    check.not_negative("saved", saved)
    whole = duration(time)
    if isinstance(whole, Drawn):
        return Drawn(np.maximum(whole.values - saved, 0.0))
    return Duration(*(max(one - saved, 0.0) for one in (whole.low, whole.likely, whole.high)))


# --- of many drawn values -------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Spread:
    """Hold what many drawn values say: of times in s, of points in points.

    Fields
    ------
    mean : [any] of all values
    sd : [any] standard deviation of single values
    error : [any] standard error of the mean: it shrinks with more draws
    low : [any] 1 of 20 is below
    median : [any] half are below
    high : [any] 1 of 20 is above
    """

    mean: float
    sd: float
    error: float
    low: float
    median: float
    high: float


def spread_of(values):
    """Give mean, standard deviation and quantiles of many drawn values.

    Equation: sd^2 = sum((x - mean)^2) / (n - 1); error = sd / sqrt(n)

    Parameters
    ----------
    values : [any] drawn values, shape [S], S at least 2

    Returns
    -------
    spread : [part] Spread

    Valid: values drawn apart from each other.
    Raises: ValueError when there are fewer than 2 values.
    Source: OpenStax Introductory Statistics 2e, chapters 2 and 7.

    >>> print(spread_of([1.0, 2.0, 3.0]).sd)
    1.0
    """
    drawn = np.ravel(check.finite("values", values))
    if len(drawn) < 2:
        raise ValueError(f"values are {len(drawn)}, but they must be at least 2; draw more.")
    sd = np.std(drawn, ddof=1)
    low, median, high = np.quantile(drawn, (0.05, 0.5, 0.95))
    return Spread(*(float(one) for one in (np.mean(drawn), sd, sd / np.sqrt(len(drawn)), low, median, high)))

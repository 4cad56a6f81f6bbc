"""Curves through bench readings, each number with its interval.

    y |           . x        Readings scatter. The fit gives the curve for which the sum of the squared vertical
      |       x .            distances is least, and says how far each number may be off: "95 of 100 such
      |     . x              intervals hold the true value".
      |  x.
      +-------------- x

Contents
    Estimate        a number with its standard error and interval
    LineFit         what fit_line returns
    RiseFit         what fit_rise returns
    paired          columns of readings that belong together, checked
    student_t       how many standard errors an interval reaches to each side
    least_squares   the plain linear fit that all others call
    estimate        an Estimate from a value and its variance
    mean            repeated readings of one number
    fit_line        a straight line, y = intercept + slope x
    fit_rise        a rise that settles, y = final (1 - exp(-t / tau)): warming, spin-up, charging
    rise_from_two   final value and time constant from only two readings

Nothing here knows units of the readings: [any] in a docstring means "follows from the units of the arguments".
"""

from dataclasses import dataclass

import numpy as np

from mechbench.physics import check

CONFIDENCE = 0.95
SINGULAR = 1e-12  # a column that is left with less than this share of its length says nothing new
RISE_STEPS = 100  # steps of Gauss-Newton; a usable set of readings needs fewer than 20
RISE_SETTLED = 1e-10  # relative step at which it stops; rounding of the readings' squares sits not far below


@dataclass(frozen=True)
class Estimate:
    """Hold a fitted number with its standard error and its interval.

    Fields
    ------
    value : [any] best value
    error : [any] standard error
    low : [any] lower end of the interval
    high : [any] upper end of the interval
    """

    value: float
    error: float
    low: float
    high: float


@dataclass(frozen=True)
class LineFit:
    """Hold a fitted straight line.

    Fields
    ------
    slope : [part] Estimate of the slope
    intercept : [part] Estimate of y at x = 0
    residual_sd : [any] standard deviation of the readings about the line
    r_squared : [-] share of the scatter of y that the line explains, 0 to 1
    """

    slope: Estimate
    intercept: Estimate
    residual_sd: float
    r_squared: float


@dataclass(frozen=True)
class RiseFit:
    """Hold a fitted rise that settles.

    Fields
    ------
    final : [part] Estimate of the value reached after a long time
    time_constant : [part] Estimate of the time to 63 % of it
    residual_sd : [any] standard deviation of the readings about the curve
    """

    final: Estimate
    time_constant: Estimate
    residual_sd: float


def student_t(confidence, freedom):
    """Give how many standard errors a two-sided interval reaches to each side.

    Equation: A(t, n) = confidence, with A the finite series in theta = arctan(t / sqrt(n)); solved for theta by halving

    Parameters
    ----------
    confidence : [-] wanted probability, above 0 and below 1 (0.95 for 95 %)
    freedom : [whole] degrees of freedom n: readings less fitted numbers, at least 1

    Returns
    -------
    factor : [-] standard errors to each side

    Valid: plain numbers, not arrays; n up to some thousands (the series has n / 2 terms).
    Raises: ValueError when confidence is not between 0.01 and 0.9999, or freedom is not a whole number of at least 1.
    Source: Abramowitz & Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4 (from memory).

    >>> print(f"{student_t(0.95, 10):.3f}")
    2.228
    """
    confidence = check.between("confidence", confidence, 0.01, 0.9999, "give a fraction such as 0.95")
    freedom = check.whole("freedom", freedom, 1, "take more readings")
    low, high = 0.0, np.pi / 2
    for _ in range(60):  # each halving gives one more binary digit; a double has 53
        middle = (low + high) / 2
        if _inside(middle, freedom) < confidence:
            low = middle
        else:
            high = middle
    return float(np.sqrt(freedom) * np.tan((low + high) / 2))


def _inside(theta, freedom):
    """Return the probability that Student's t lies within sqrt(n) tan(theta) of 0."""
    odd = freedom % 2
    steps = np.arange(2 + odd, freedom, 2)  # factor from one term of the series to the next
    terms = np.concatenate(([1.0], np.cumprod((steps - 1) / steps * np.cos(theta) ** 2)))
    if not odd:
        return np.sin(theta) * terms.sum()
    if freedom == 1:
        return 2 / np.pi * theta
    return 2 / np.pi * (theta + np.sin(theta) * np.cos(theta) * terms.sum())


def paired(least, **readings):
    """Check that columns of readings belong together and give them as arrays.

    Equation: one value of each column for each reading

    Parameters
    ----------
    least : [whole] readings needed
    readings : [any] columns by name; each of shape [N]

    Returns
    -------
    columns : [any] the arrays in the order given; each of shape [N]

    Valid: plain columns.
    Raises: ValueError when a column is not a plain row of finite numbers, is short, or is not as long as the first.
    Source: common practice, no source.

    >>> speed, current = paired(2, speed=[0, 100, 200], current=[9, 8, 7])
    >>> print(speed.size)
    3
    """
    columns = [np.atleast_1d(check.finite(name, column)) for name, column in readings.items()]
    for name, column in zip(readings, columns):
        if column.ndim > 1 or column.size < least:
            raise ValueError(
                f"{name} has shape {column.shape}, but it must be one row of at least {least} readings; "
                "take more readings."
            )
        if column.size != columns[0].size:
            first = next(iter(readings))
            raise ValueError(
                f"{name} has {column.size} readings, but it must have {columns[0].size} as {first} has; "
                "give one of each for every reading."
            )
    return columns


def least_squares(columns, y):
    """Fit y as a weighted sum of columns, with the covariance of the weights.

    Equation: least sum of (y - sum_j b_j x_j)^2, by QR; covariance = s^2 (X^T X)^-1

    Parameters
    ----------
    columns : [any] one column of numbers for each weight; shape [P, N]
    y : [any] readings; shape [N]

    Returns
    -------
    weights : [any] b; shape [P]
    covariance : [any] of the weights; shape [P, P]
    residual_sd : [any] s, standard deviation of the readings about the fit

    Valid: errors sit in y alone, are independent and of one size.
    Raises: ValueError when N is not above P, lengths differ, or a column is a mix of the others (or 0 all over).
    Source: Golub & Van Loan, Matrix Computations, 4th ed., section 5.3 (from memory).

    >>> weights, covariance, residual_sd = least_squares([[1, 1, 1], [0, 1, 2]], [1.0, 3.1, 4.9])
    >>> print(np.round(weights, 2))
    [1.05 1.95]
    """
    unknowns = len(columns)
    named = {f"columns[{j}]": column for j, column in enumerate(columns)}
    *columns, y = paired(unknowns + 1, **named, y=y)
    table, count = np.column_stack(columns), y.size
    q, r = np.linalg.qr(table)
    if np.any(np.abs(np.diag(r)) <= SINGULAR * np.linalg.norm(table, axis=0)):
        raise ValueError(
            "columns hold the same information twice, but each must vary by itself; take readings further apart."
        )
    weights = np.linalg.solve(r, q.T @ y)
    residual_sd = np.sqrt(np.sum((y - table @ weights) ** 2) / (count - unknowns))
    half = np.linalg.inv(r) * residual_sd
    return weights, half @ half.T, float(residual_sd)


def estimate(value, variance, freedom, confidence=CONFIDENCE):
    """Make an Estimate from a value and its variance.

    Equation: value +- t sqrt(variance)

    Parameters
    ----------
    value : [any] best value
    variance : [any] square of the standard error, 0 or more
    freedom : [whole] degrees of freedom, at least 1
    confidence : [-] probability that the interval holds the true value

    Returns
    -------
    estimate : [part] Estimate

    Valid: errors near to normal; for a number that isn't linear in the readings, errors small beside the number.
    Raises: ValueError when variance is below 0, or as student_t.
    Source: Draper & Smith, Applied Regression Analysis, 3rd ed., chapter 1 (from memory).

    >>> print(f"{estimate(5.0, 0.04, 10).low:.2f}")
    4.55
    """
    error = float(np.sqrt(check.not_negative("variance", variance)))
    reach = student_t(confidence, freedom) * error
    return Estimate(float(value), error, float(value - reach), float(value + reach))


def mean(readings, confidence=CONFIDENCE):
    """Give the mean of repeated readings with its interval.

    Equation: mean +- t s / sqrt(N)

    Parameters
    ----------
    readings : [any] readings of one and the same number; shape [N], at least 2
    confidence : [-] probability that the interval holds the true value

    Returns
    -------
    estimate : [part] Estimate

    Valid: independent readings.
    Raises: ValueError when there are fewer than 2 readings.
    Source: Draper & Smith, Applied Regression Analysis, 3rd ed., chapter 1 (from memory).

    >>> print(f"{mean([0.49, 0.50, 0.52, 0.49]).value:.2f}")
    0.50
    """
    (readings,) = paired(2, readings=readings)
    weights, covariance, _ = least_squares([np.ones(readings.size)], readings)
    return estimate(weights[0], covariance[0, 0], readings.size - 1, confidence)


def fit_line(x, y, confidence=CONFIDENCE):
    """Fit a straight line through readings.

    Equation: y = intercept + slope x, least sum of squared vertical distances

    Parameters
    ----------
    x : [any] what was set; shape [N], at least 3 readings, not all the same
    y : [any] what was read; shape [N]
    confidence : [-] probability that each interval holds the true value

    Returns
    -------
    line : [part] LineFit

    Valid: errors sit in y alone, are independent and of one size.
    Raises: ValueError when there are fewer than 3 readings, lengths differ, or all x are the same.
    Source: Draper & Smith, Applied Regression Analysis, 3rd ed., chapter 1 (from memory); certified values of the NIST
        Statistical Reference Datasets, Norris, in the tests.

    >>> print(f"{fit_line([0, 1, 2, 3], [1.1, 2.9, 5.1, 6.9]).slope.value:.2f}")
    1.96
    """
    x, y = paired(3, x=x, y=y)
    weights, covariance, residual_sd = least_squares([np.ones(x.size), x], y)
    freedom = x.size - 2
    scatter = np.sum((y - y.mean()) ** 2)
    explained = 1 - freedom * residual_sd**2 / scatter if scatter > 0 else 1.0
    intercept, slope = (estimate(weights[j], covariance[j, j], freedom, confidence) for j in (0, 1))
    return LineFit(slope, intercept, residual_sd, float(explained))


def fit_rise(time, rise, confidence=CONFIDENCE):
    """Fit a rise that settles, from rest at time 0.

    Equation: y = final (1 - exp(-t / tau)), least squares by Gauss-Newton from the best of a row of trial tau

    Parameters
    ----------
    time : [s] when each reading was taken, above 0; shape [N], at least 3 readings
    rise : [any] what was read, above the value at time 0; shape [N]
    confidence : [-] probability that each interval holds the true value

    Returns
    -------
    fit : [part] RiseFit; time_constant has the unit of time

    Valid: readings long enough to show a bend; errors sit in rise alone, are independent and of one size.
    Raises: ValueError when there are fewer than 3 readings, a time is not above 0, or the readings show no bend.
    Source: Bates & Watts, Nonlinear Regression Analysis, section 2.2 (from memory); certified values of the NIST
        Statistical Reference Datasets, Misra1a, in the tests.

    >>> print(f"{fit_rise([30, 60, 90], [20.0, 30.0, 35.0]).time_constant.value:.2f}")
    43.28
    """
    time, rise = paired(3, time=check.positive("time", time), rise=rise)
    rate, final = _rise_start(time, rise)
    for _ in range(RISE_STEPS):
        step, covariance, residual_sd = least_squares(_rise_slopes(time, final, rate), rise - _rise(time, final, rate))
        final, rate = final + step[0], rate + step[1]
        if abs(step[1]) <= RISE_SETTLED * rate or rate <= 0:
            break
    else:
        rate = 0.0
    if rate <= 0:
        raise ValueError(_NO_BEND)
    freedom = time.size - 2
    return RiseFit(
        estimate(final, covariance[0, 0], freedom, confidence),
        estimate(1 / rate, covariance[1, 1] / rate**4, freedom, confidence),
        residual_sd,
    )


_NO_BEND = (
    "rise shows no settling over the times given, but the curve must bend between the first reading and the "
    "last; take readings for longer, and closer together at the start."
)


def _rise(time, final, rate):
    return -final * np.expm1(-rate * time)


def _rise_slopes(time, final, rate):
    return [-np.expm1(-rate * time), final * time * np.exp(-rate * time)]


def _rise_start(time, rise):
    """Return rate and final value of the best of a row of trials; a trial of the rate leaves a linear fit."""
    rates = np.geomspace(0.02 / time.max(), 20 / time.min(), 200)
    shapes = -np.expm1(-np.outer(rates, time))
    finals = shapes @ rise / np.sum(shapes**2, axis=1)
    squares = np.sum((rise - finals[:, None] * shapes) ** 2, axis=1)
    best = np.argmin(squares)
    if best in (0, rates.size - 1):
        raise ValueError(_NO_BEND)
    return rates[best], finals[best]


def rise_from_two(time, first, second):
    """Give final value and time constant of a rise from two readings, the second at twice the time of the first.

    Equation: final = y1^2 / (2 y1 - y2);  tau = -t / ln((y2 - y1) / y1)

    Parameters
    ----------
    time : [s] time of the first reading from the start, > 0; any shape, all arguments broadcast
    first : [any] rise at that time, > 0
    second : [any] rise at twice that time, above the first and below twice the first

    Returns
    -------
    final : [any] rise after a long time
    time_constant : [s] time to 63 % of it

    Valid: starts from rest; says nothing about its own error, so fit_rise with more readings is better.
    Raises: ValueError when time or first is not above 0, or the second reading is out of its bounds.
    Source: Gupta, Elements of Electric Drives, Example 54 (a published re-solution seen, the printed page not).

    >>> final, time_constant = rise_from_two(30 * 60, 20.0, 30.0)
    >>> print(f"{final:.1f} {time_constant / 60:.2f}")
    40.0 43.28
    """
    time, first = check.positive("time", time), check.positive("first", first)
    gain = check.finite("second", second) / first - 1
    check.between("second / first", gain + 1, 1 + 1e-9, 2 - 1e-9, "read at exactly twice the time, and wait longer")
    return first / (1 - gain), -time / np.log(gain)

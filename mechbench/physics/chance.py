"""Chance: from counted successes to a rate with its interval, and from a rate to what a match may bring.

    tried 25 times, 6 worked      The rate is 24 %. How surely? An interval says: 95 of 100 such intervals hold the true
    [---x----------]              rate. Few tries make a wide one: measure more before you believe a small difference.

Contents
    success_interval                      from counts to an interval: Wilson, plus four, Wald
    expected_successes, successes_sd      mean and standard deviation of the number that works
    at_most                               the chance of at most so many (binomial)
    within_tries                          the chance that one of several tries works
"""

from statistics import NormalDist

import numpy as np

from mechbench.physics import check
from mechbench.wording import quoted

METHODS = ("wilson", "plus four", "wald")


def _tried(tries, chance):
    return check.whole("tries", tries, 0), check.between("chance", chance, 0.0, 1.0, "give a fraction, 0.9 for 90 %")


def success_interval(successes, tries, confidence=0.95, method="wilson"):
    """Give the interval of a success rate from counted tries.

    Equation: Wald p -+ z sqrt(p (1 - p) / n); plus four: the same with 2 successes and 2 failures added;
        Wilson (p + z^2/2n -+ z sqrt(p (1 - p) / n + z^2/4n^2)) / (1 + z^2/n)

    Parameters
    ----------
    successes : [whole] how many worked, 0 to tries; both counts broadcast
    tries : [whole] how many were tried, >= 1
    confidence : [-] share of such intervals that hold the true rate, above 0 and below 1
    method : [text] wilson (good for few tries and for 0 of n), plus four, or wald (the simplest, wrong for few tries)

    Returns
    -------
    low : [-] lower end of the rate
    high : [-] upper end of the rate

    Valid: tries that don't influence each other and have the same chance. Wald and plus four may leave 0 to 1.
    Raises: ValueError when successes are more than tries, confidence is not between 0 and 1, or method is unknown.
    Source: OpenStax Introductory Statistics 2e, section 8.3; Wilson: Newcombe, Statistics in Medicine 17 (1998) 857-872
        (from memory).

    >>> low, high = success_interval(6, 25)
    >>> print(f"{low:.2f} to {high:.2f}")
    0.11 to 0.43
    """
    if method not in METHODS:
        raise ValueError(
            f"method is {quoted(method)}, but it must be one of {', '.join(METHODS)}; wilson is right for most."
        )
    if not 0 < check.finite("confidence", confidence) < 1:
        raise ValueError(f"confidence is {confidence:g}, but it must be above 0 and below 1; give 0.95 for 95 %.")
    k, n = check.whole("successes", successes, 0), check.whole("tries", tries, 1)
    check.at_least("tries", n, k, "count all tries, also those that worked")
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    if method == "plus four":
        k, n = k + 2, n + 4
    p = k / n
    if method == "wilson":
        middle, half = p + z**2 / (2 * n), z * np.sqrt(p * (1 - p) / n + z**2 / (4 * n**2))
        # At 0 of n and n of n the ends are exactly 0 and 1; rounding would miss them.
        return (
            np.where(k == 0, 0.0, (middle - half) / (1 + z**2 / n))[()],
            np.where(k == n, 1.0, (middle + half) / (1 + z**2 / n))[()],
        )
    half = z * np.sqrt(p * (1 - p) / n)
    return p - half, p + half


def expected_successes(tries, chance):
    """Give how many of a number of tries work on average.

    Equation: n p

    Parameters
    ----------
    tries : [whole] how many are tried, >= 0; both broadcast
    chance : [-] that one works, 0 to 1

    Returns
    -------
    mean : [-] of the number that works

    Valid: any tries with the same chance.
    Raises: ValueError when tries is not a whole number of at least 0 or chance is not 0 to 1.
    Source: OpenStax Introductory Statistics 2e, section 4.3.

    >>> print(f"{expected_successes(20, 0.41):.1f}")
    8.2
    """
    tries, chance = _tried(tries, chance)
    return tries * chance


def successes_sd(tries, chance):
    """Give the standard deviation of the number of tries that work.

    Equation: sqrt(n p (1 - p))

    Parameters
    ----------
    tries : [whole] how many are tried, >= 0; both broadcast
    chance : [-] that one works, 0 to 1

    Returns
    -------
    sd : [-] of the number that works

    Valid: tries that don't influence each other.
    Raises: ValueError when tries is not a whole number of at least 0 or chance is not 0 to 1.
    Source: OpenStax Introductory Statistics 2e, section 4.3.

    >>> print(f"{successes_sd(20, 0.41):.1f}")
    2.2
    """
    tries, chance = _tried(tries, chance)
    return np.sqrt(tries * chance * (1 - chance))


def at_most(successes, tries, chance):
    """Give the chance that at most a number of tries work.

    Equation: sum over i = 0 .. k of C(n, i) p^i (1 - p)^(n - i)

    Parameters
    ----------
    successes : [whole] k, 0 to tries; one number
    tries : [whole] n, at least 0; one number
    chance : [-] that one works, 0 to 1; any shape

    Returns
    -------
    probability : [-] shape of chance

    Valid: tries that don't influence each other. At least k: 1 - at_most(k - 1, ...).
    Raises: ValueError when successes are more than tries or chance is not 0 to 1.
    Source: OpenStax Introductory Statistics 2e, section 4.3.

    >>> print(f"{at_most(12, 20, 0.41):.4f}")
    0.9738
    """
    tries, chance = _tried(tries, chance)
    k = check.whole("successes", successes, 0)
    check.at_least("tries", tries, k, "count all tries, also those that worked")
    if k == tries:
        return np.ones(np.shape(chance))[()]
    i = np.arange(1, k + 1)
    logs = np.concatenate([[0.0], np.cumsum(np.log((tries - i + 1) / i))])  # of C(n, i), without overflow
    worked = np.arange(k + 1)
    p = np.clip(np.asarray(chance)[..., None], 1e-300, 1 - 1e-16)  # only for the logarithm; 0 and 1 are put right below
    terms = np.exp(logs + worked * np.log(p) + (tries - worked) * np.log1p(-p))
    total = np.minimum(terms.sum(axis=-1), 1.0)
    return np.where(np.asarray(chance) == 0, 1.0, np.where(np.asarray(chance) == 1, 0.0, total))[()]


def within_tries(chance, tries):
    """Give the chance that at least one of several tries works.

    Equation: 1 - (1 - p)^n

    Parameters
    ----------
    chance : [-] that one works, 0 to 1; both broadcast
    tries : [whole] how many are tried, >= 0

    Returns
    -------
    probability : [-] that one of them works

    Valid: tries that don't influence each other, and time for all of them.
    Raises: ValueError when tries is not a whole number of at least 0 or chance is not 0 to 1.
    Source: OpenStax Introductory Statistics 2e, section 4.4 (complement of all failing).

    >>> print(f"{within_tries(0.6, 2):.2f}")
    0.84
    """
    tries, chance = _tried(tries, chance)
    return 1 - (1 - np.asarray(chance)) ** tries

"""Fits: certified data sets, a reference library, and intervals that hold as often as they say."""

import numpy as np
import pytest
from scipy import optimize, stats

from mechbench.physics import fit
from tests.published import COMPANION, MEMORY, READ, check

NORRIS = "NIST Statistical Reference Datasets, linear regression, Norris"
MISRA = "NIST Statistical Reference Datasets, nonlinear regression, Misra1a"
NORRIS_X = [
    0.2,
    337.4,
    118.2,
    884.6,
    10.1,
    226.5,
    666.3,
    996.3,
    448.6,
    777.0,
    558.2,
    0.4,
    0.6,
    775.5,
    666.9,
    338.0,
    447.5,
    11.6,
    556.0,
    228.1,
    995.8,
    887.6,
    120.2,
    0.3,
    0.3,
    556.8,
    339.1,
    887.2,
    999.0,
    779.0,
    11.1,
    118.3,
    229.2,
    669.1,
    448.9,
    0.5,
]
NORRIS_Y = [
    0.1,
    338.8,
    118.1,
    888.0,
    9.2,
    228.1,
    668.5,
    998.5,
    449.1,
    778.9,
    559.2,
    0.3,
    0.1,
    778.1,
    668.8,
    339.3,
    448.9,
    10.8,
    557.7,
    228.3,
    998.0,
    888.8,
    119.6,
    0.3,
    0.6,
    557.6,
    339.3,
    888.0,
    998.5,
    778.9,
    10.2,
    117.6,
    228.9,
    668.4,
    449.2,
    0.2,
]
MISRA_X = [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0]
MISRA_Y = [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.4, 75.47, 81.78]


def test_straight_line_of_norris():
    line = fit.fit_line(NORRIS_X, NORRIS_Y)
    for what, got, expected in (
        ("intercept", line.intercept.value, -0.262323073774029),
        ("slope", line.slope.value, 1.00211681802045),
        ("standard error of the intercept", line.intercept.error, 0.232818234301152),
        ("standard error of the slope", line.slope.error, 0.000429796848199937),
        ("residual standard deviation", line.residual_sd, 0.884796396144373),
        ("R squared", line.r_squared, 0.999993745883712),
    ):
        check("fit", f"straight line, {what}", got, expected, 1e-11, NORRIS, READ)


def test_rise_of_misra():
    found = fit.fit_rise(MISRA_X, MISRA_Y)
    squares = found.residual_sd**2 * (len(MISRA_X) - 2)
    rate_error = found.time_constant.error / found.time_constant.value**2
    check("fit", "exponential rise, final value", found.final.value, 238.94212918, 1e-7, MISRA, READ)
    check("fit", "exponential rise, rate", 1 / found.time_constant.value, 0.00055015643181, 1e-7, MISRA, READ)
    check("fit", "exponential rise, sum of squares", squares, 0.12455138894, 1e-7, MISRA, READ)
    check(
        "fit",
        "exponential rise, standard error of the final value",
        found.final.error,
        2.7070075241,
        1e-6,
        MISRA,
        MEMORY,
    )
    check("fit", "exponential rise, standard error of the rate", rate_error, 7.2668688436e-06, 1e-6, MISRA, MEMORY)


def test_two_readings_of_gupta():
    final, time_constant = fit.rise_from_two(30.0, 20.0, 30.0)
    source = "J. B. Gupta, Elements of Electric Drives, Example 54 p. 149"
    check("fit", "time constant from two readings [min]", time_constant, 43.28, 1e-4, source, COMPANION)
    check("fit", "final rise from two readings [K]", final, 40.0, 1e-9, source, COMPANION)


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 5, 10, 11, 34, 101, 1000])
@pytest.mark.parametrize("confidence", [0.01, 0.5, 0.9, 0.95, 0.99, 0.9999])
def test_student_t_against_scipy(confidence, freedom):
    np.testing.assert_allclose(
        fit.student_t(confidence, freedom), stats.t.ppf((1 + confidence) / 2, freedom), rtol=1e-11
    )


def test_fit_line_against_scipy():
    rng = np.random.default_rng(3)
    x = rng.uniform(-5, 5, 12)
    y = 2.0 - 0.7 * x + rng.normal(0, 0.3, 12)
    ours, reference = fit.fit_line(x, y, confidence=0.9), stats.linregress(x, y)
    reach = stats.t.ppf(0.95, 10) * reference.stderr
    np.testing.assert_allclose(
        [ours.slope.value, ours.slope.error, ours.slope.low, ours.slope.high],
        [reference.slope, reference.stderr, reference.slope - reach, reference.slope + reach],
    )
    np.testing.assert_allclose(ours.intercept.error, reference.intercept_stderr)


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("length", [0.5, 1.5, 6.0])
def test_fit_rise_against_scipy(seed, length):
    rng = np.random.default_rng(seed)
    time = np.linspace(0.05, 1, 20) * length * 120.0
    rise = 60.0 * (1 - np.exp(-time / 120.0)) + rng.normal(0, 0.2, 20)
    ours = fit.fit_rise(time, rise)
    best, covariance = optimize.curve_fit(
        lambda t, final, tau: final * (1 - np.exp(-t / tau)), time, rise, p0=(60.0, 120.0), xtol=1e-14, ftol=1e-14
    )
    np.testing.assert_allclose([ours.final.value, ours.time_constant.value], best, rtol=1e-6)
    np.testing.assert_allclose([ours.final.error, ours.time_constant.error], np.sqrt(np.diag(covariance)), rtol=1e-4)
    reach = stats.t.ppf(0.975, 18) * ours.final.error
    np.testing.assert_allclose([ours.final.low, ours.final.high], [ours.final.value - reach, ours.final.value + reach])


@pytest.mark.parametrize("time_constant", [0.04, 0.3, 1.5])
def test_a_rise_is_found_where_it_settles_early_or_late_in_the_readings(time_constant):
    time = np.linspace(0.01, 3.0, 40)
    found = fit.fit_rise(time, 60.0 * (1 - np.exp(-time / time_constant)))
    np.testing.assert_allclose([found.final.value, found.time_constant.value], [60.0, time_constant], rtol=1e-8)


def test_intervals_hold_as_often_as_they_say():
    rng = np.random.default_rng(5)
    x, trials = np.linspace(0, 10, 6), 800
    lines = [fit.fit_line(x, 1 + 2 * x + rng.normal(0, 1, 6)) for _ in range(trials)]
    held = np.mean([line.slope.low <= 2 <= line.slope.high for line in lines])
    assert abs(held - 0.95) < 3 * np.sqrt(0.95 * 0.05 / trials)


def test_mean_against_scipy():
    readings = [0.27, 0.28, 0.30, 0.27]
    ours = fit.mean(readings)
    low, high = stats.t.interval(0.95, 3, loc=np.mean(readings), scale=stats.sem(readings))
    np.testing.assert_allclose([ours.value, ours.low, ours.high], [np.mean(readings), low, high])


def test_two_readings_have_a_mean_with_a_wide_interval():
    ours = fit.mean([4.8, 5.2])
    low, high = stats.t.interval(0.95, 1, loc=5.0, scale=stats.sem([4.8, 5.2]))
    np.testing.assert_allclose([ours.value, ours.low, ours.high], [5.0, low, high])


@pytest.mark.parametrize("unit", [1e-13, 1.0, 1e9])
def test_the_unit_of_what_was_set_changes_the_slope_alone(unit):
    x = unit * np.array([0.3, 1.1, 2.3])
    line, reference = fit.fit_line(x, [1.0, 2.0, 4.0]), stats.linregress(x / unit, [1.0, 2.0, 4.0])
    np.testing.assert_allclose([line.slope.value * unit, line.intercept.value], [reference.slope, reference.intercept])
    with pytest.raises(ValueError, match="^columns hold the same information twice"):
        fit.fit_line(unit * np.array([0.1, 0.1, 0.1, 0.1, 0.1]) / 3, [1.0, 2.0, 4.0, 3.0, 5.0])


def test_readings_without_scatter():
    line = fit.fit_line([1.0, 2.0, 4.0], [3.0, 3.0, 3.0])
    np.testing.assert_allclose([line.slope.value, line.intercept.value], [0.0, 3.0], atol=1e-14)
    assert line.r_squared == 1.0 and line.slope.high - line.slope.low < 1e-12


@pytest.mark.parametrize(
    "call, says",
    [
        (lambda: fit.fit_line([1, 2], [1, 2]), r"^x has shape \(2,\).*at least 3"),
        (lambda: fit.least_squares([[1, 1], [0, 1]], [1, 2]), r"^columns\[0\] has shape \(2,\).*at least 3"),
        (lambda: fit.fit_line([1, 2, 3], [1, 2]), r"^y has shape \(2,\)"),
        (lambda: fit.fit_line([1, 2, 3], [1, 2, 3, 4]), "^y has 4 readings, but it must have 3 as x has"),
        (lambda: fit.fit_line([1, 2, np.nan], [1, 2, 3]), "^x is .*finite"),
        (lambda: fit.fit_line([2, 2, 2], [1, 2, 3]), "^columns hold the same information twice"),
        (lambda: fit.fit_line([1, 2, 3], [1, 2, 4], confidence=95), "^confidence is 95"),
        (lambda: fit.fit_rise([0, 1, 2], [0, 1, 2]), "^time is 0"),
        (lambda: fit.fit_rise([1, 2, 3], [1, 2, 3]), "^rise shows no settling"),
        (lambda: fit.fit_rise([1, 2, 3], [1, 4, 9]), "^rise shows no settling"),
        (lambda: fit.fit_rise([1, 2, 3], [5, 5, 5]), "^rise shows no settling"),
        (lambda: fit.fit_rise([1, 2, 3], [6, 5, 4]), "^rise shows no settling"),
        (lambda: fit.rise_from_two(30, 20, 40), "^second / first is 2"),
        (lambda: fit.rise_from_two(30, 20, 20), "^second / first is 1"),
        (lambda: fit.rise_from_two(0, 20, 30), "^time is 0"),
        (lambda: fit.mean([1.0]), r"^readings has shape \(1,\)"),
        (lambda: fit.mean([[1.0, 2.0], [3.0, 4.0]]), r"^readings has shape \(2, 2\).*one row"),
        (lambda: fit.student_t(0.95, 0), "^freedom is 0"),
        (lambda: fit.estimate(1.0, -1.0, 3), "^variance is -1"),
    ],
)
def test_refusals(call, says):
    with pytest.raises(ValueError, match=says):
        call()

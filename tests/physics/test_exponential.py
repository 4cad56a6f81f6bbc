"""Motion under a torque that falls straight with speed, against quadrature by scipy."""

import numpy as np
import pytest
from scipy.integrate import quad, trapezoid

from mechbench.physics import _exponential as exponential


def test_times_and_distances_against_quadrature():
    """Times, distances and the integral of w^2, over decays from 1e-6 to 40 of a step, speeding up and slowing down."""
    rng = np.random.default_rng(3)
    for decay in (1e-6, 1e-3, 0.02, 0.04, 0.5, 5.0, 40.0):
        w0, w_end, t = rng.uniform(0, 5), rng.uniform(0, 9), rng.uniform(0.1, 3)
        rate = decay / t
        start = rate * (w_end - w0) if decay > 1e-2 else rng.uniform(-0.5, 2) * w0 / t
        speed = lambda u: w0 + start * -np.expm1(-rate * u) / rate
        far, square = (quad(f, 0, t, epsabs=0, epsrel=1e-11, limit=200)[0] for f in (speed, lambda u: speed(u) ** 2))
        one = np.ones(1)
        s, w = exponential.travel(w0 * one, start * one, rate * one, t * one)
        assert s == pytest.approx(far, rel=1e-6) and w == pytest.approx(speed(t), rel=1e-6)
        assert exponential.time_to(far, w0 * one, start * one, rate * one) == pytest.approx(t, rel=1e-6)
        assert exponential.mean_square(w0, w, start, rate, s, t) == pytest.approx(square, rel=1e-5)
        if decay < 20:  # later the speed no longer changes
            assert exponential.time_to_speed(speed(t) - w0, start * one, rate) == pytest.approx(t, rel=1e-5)


def test_what_is_never_reached_is_inf():
    one = np.ones(1)
    assert np.isinf(exponential.time_to_speed(2.0, one, 1.0)), "the steady speed is 1 more, so 2 more is never reached"
    assert np.isinf(exponential.time_to_speed(-0.1, one, 1.0)), "it speeds up, so it never is slower"
    assert np.isinf(exponential.time_to(2.0, one, -one, 1e-9 * one)), "it stands after 0.5"
    assert np.isinf(exponential.time_to_stop(one, one, one))
    assert exponential.time_to_stop(one, -one, 1e-9 * one) == pytest.approx(1.0)
    assert exponential.time_to_speed(0.0, one, one) == 0.0, "it is there already"


def test_mean_place_of_an_even_acceleration():
    w0, w1 = np.array([0.0, 1.0, 1.0, 0.5]), np.array([1.0, 1.0, 0.0, 2.0])
    t = np.linspace(0, 1, 100001)[:, None]
    place = w0 * t + 0.5 * (w1 - w0) * t**2
    assert exponential.time_share(w0, w1) == pytest.approx(trapezoid(place, t, axis=0) / place[-1], rel=1e-6)

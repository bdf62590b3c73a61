"""Circular statistics against worked examples and another library."""

import numpy as np
import pytest
from scipy import stats

from analytics.circular import direction, rayleigh_p


# Documentation of pingouin.circ_rayleigh (after Zar and Fisher): z 1.236, p 0.304844.
def test_rayleigh_worked_example() -> None:
    radians = np.array([0.785, 1.570, 3.141, 0.839, 5.934])
    found = direction(np.degrees(radians))
    assert found.n * found.length**2 == pytest.approx(1.236, abs=5e-4)
    assert found.p_even == pytest.approx(0.304844, abs=1e-6)


# scipy.stats.circmean and circvar (Fisher 1993; Mardia & Jupp 2000).
def test_mean_and_variance_agree_with_scipy() -> None:
    bearing = np.random.default_rng(1).uniform(0, 200, 50)
    found = direction(bearing)
    assert found.mean_deg == pytest.approx(stats.circmean(bearing, 360, 0))
    assert 1 - found.length == pytest.approx(stats.circvar(bearing, 360, 0))


# The law itself: evenly spread directions give p below 0.05 one time in twenty.
def test_rayleigh_keeps_its_level() -> None:
    rng = np.random.default_rng(2)
    angles = np.exp(1j * rng.uniform(0, 2 * np.pi, (4000, 20)))
    share = np.mean([rayleigh_p(float(abs(row.mean())), 20) < 0.05 for row in angles])
    assert share == pytest.approx(0.05, abs=0.01)


# Fisher 1993, equation 4.22: the interval covers the planted direction of von Mises samples.
def test_interval_of_the_mean_covers() -> None:
    rng = np.random.default_rng(3)
    inside = 0
    for _ in range(500):
        found = direction(np.degrees(rng.vonmises(0, 1.5, 40)))
        off = (found.mean_deg + 180) % 360 - 180
        inside += abs(off) < found.half_width_deg
    assert inside / 500 == pytest.approx(0.95, abs=0.03)

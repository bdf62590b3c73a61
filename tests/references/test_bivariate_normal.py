"""Circles and joint probabilities of the bivariate normal against closed forms and scipy."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import multivariate_normal, norm, rayleigh

from analytics.bivariate import both_below, radius_holding, share_within


@pytest.mark.parametrize(("share", "radius"), [(0.5, 1.177410), (0.9, 2.145966), (0.95, 2.447747)])
def test_equal_spreads_give_the_rayleigh_factors(share, radius):
    """Rayleigh quantiles sqrt(-2 ln(1 - p)): CEP, R90 and R95 of a circular normal."""
    assert radius_holding(share, 1.0, 1.0) == pytest.approx(radius, abs=1e-6)
    assert radius_holding(share, 2.5, 2.5) == pytest.approx(2.5 * rayleigh.ppf(share), rel=1e-9)


@pytest.mark.parametrize(
    ("minor", "cep", "r90", "r95"),
    [
        (0.75, 1.027091, 1.903349, 2.185802),
        (0.50, 0.870417, 1.737080, 2.035859),
        (0.25, 0.725434, 1.664606, 1.976505),
    ],
)
def test_unequal_spreads_give_the_radii_of_the_exact_integral(minor, cep, r90, r95):
    for share, radius in ((0.5, cep), (0.9, r90), (0.95, r95)):
        assert radius_holding(share, 1.0, minor) == pytest.approx(radius, abs=1e-6)
    handbook = 0.562 * 1.0 + 0.617 * minor  # rule of thumb for CEP, from memory
    assert radius_holding(0.5, 1.0, minor) == pytest.approx(handbook, abs=0.012)


def test_share_within_equals_a_double_integral():
    def strip(x: float) -> float:
        return norm.pdf(x) * (2 * norm.cdf(np.sqrt(1.7**2 - x * x) / 0.4) - 1)

    assert share_within(1.7, 1.0, 0.4) == pytest.approx(quad(strip, -1.7, 1.7)[0], abs=1e-9)
    assert share_within(1.0, 1.0, 0.0) == pytest.approx(norm.cdf(1) - norm.cdf(-1), abs=1e-12)


@pytest.mark.parametrize("rho", [-0.97, -0.5, 0.0, 0.3, 0.9])
@pytest.mark.parametrize("h", [-2.1, -0.4, 0.0, 1.3, 3.0])
@pytest.mark.parametrize("k", [-1.7, 0.0, 0.8, 2.5])
def test_both_below_equals_scipy(h, k, rho):
    expected = multivariate_normal.cdf([h, k], mean=[0, 0], cov=[[1, rho], [rho, 1]])
    assert both_below(h, k, rho) == pytest.approx(expected, abs=1e-7)


def test_both_below_at_the_limits_of_correlation():
    assert both_below(1.0, 0.2, -1.0) == pytest.approx(norm.cdf(1) + norm.cdf(0.2) - 1, abs=1e-5)
    assert both_below(1.0, 0.2, 1.0) == pytest.approx(norm.cdf(0.2), abs=1e-5)

"""Two normal errors at once: chance that both fall right, and circles that hold a share of balls.

Rules
-----
1. The joint probability uses Owen's T function, so a whole column of triples is one call.
2. A circle's radius is found by solving the exact integral, not by a rule of thumb.
"""

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq
from scipy.special import i0e, ndtr, owens_t

from analytics.errors import BadQuestion

Floats = NDArray[np.float64]

ALMOST_ONE = 1.0 - 1e-12
NEVER_ZERO = 1e-12


def both_below(h: ArrayLike, k: ArrayLike, correlation: ArrayLike) -> Floats:
    """Probability that two standard normals with this correlation fall below `h` and `k`.

    Args:
        h, k: limits in standard deviations, any shapes that broadcast.
        correlation: between -1 and 1.
    Returns: probabilities, broadcast shape.
    Source: Owen 1956, Annals of Mathematical Statistics 27, 1075 (the identity with T).
    """
    first, second, rho = np.broadcast_arrays(
        np.asarray(h, float), np.asarray(k, float), np.asarray(correlation, float)
    )
    first, second = np.clip(first, -38, 38), np.clip(second, -38, 38)
    first = np.where(np.abs(first) < NEVER_ZERO, NEVER_ZERO, first)
    second = np.where(np.abs(second) < NEVER_ZERO, NEVER_ZERO, second)
    rho = np.clip(rho, -ALMOST_ONE, ALMOST_ONE)
    root = np.sqrt(1.0 - rho**2)
    tails = owens_t(first, (second / first - rho) / root)
    tails = tails + owens_t(second, (first / second - rho) / root)
    opposite = np.where(first * second < 0, 0.5, 0.0)
    joint = 0.5 * (ndtr(first) + ndtr(second)) - tails - opposite
    return np.asarray(np.clip(joint, 0.0, 1.0), dtype=np.float64)


def share_within(radius: float, sd_major: float, sd_minor: float) -> float:
    """Share of a centred bivariate normal that lies within `radius` of its centre.

    Args:
        radius, sd_major, sd_minor: one length unit; the two deviations along the main axes.
    Source: the Hoyt distribution, with the Bessel function scaled to avoid overflow.
    """
    if sd_minor <= 0:
        return float(2 * ndtr(radius / sd_major) - 1)
    nodes, weights = _gauss_legendre()
    r = 0.5 * radius * (nodes + 1)
    plus = 0.25 * (1 / sd_minor**2 + 1 / sd_major**2)
    minus = 0.25 * (1 / sd_minor**2 - 1 / sd_major**2)
    density = r * np.exp(-(plus - abs(minus)) * r**2) * i0e(minus * r**2) / (sd_major * sd_minor)
    return float(0.5 * radius * np.sum(weights * density))


@cache
def _gauss_legendre() -> tuple[Floats, Floats]:
    """Nodes and weights on [−1, 1]; 200 of them, found once."""
    nodes, weights = np.polynomial.legendre.leggauss(200)
    return nodes, weights


def radius_holding(share: float, sd_major: float, sd_minor: float) -> float:
    """Radius of the circle around the centre that holds `share` of the balls.

    0.5 gives the circular error probable, 0.95 the R95.
    Raises: BadQuestion for a share outside (0, 1) or a spread that is not positive.
    """
    if not 0 < share < 1 or not sd_major > 0 or not 0 <= sd_minor <= sd_major:
        raise BadQuestion(
            f"No circle holds a share of {share} of a spread of {sd_major} by {sd_minor}.",
            "Ask for a share between 0 and 1 and give the larger deviation first.",
        )
    top = 12.0 * sd_major
    return float(
        brentq(lambda r: share_within(r, sd_major, sd_minor) - share, 0.0, top, xtol=1e-12)
    )


def main_axes(covariance: Floats) -> tuple[float, float]:
    """Standard deviations along the long and the short axis of a 2 × 2 covariance."""
    small, large = np.sqrt(np.clip(np.linalg.eigvalsh(covariance), 0.0, None))
    return float(large), float(small)

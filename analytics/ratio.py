"""Ratio of two means with Fieller's interval: never a mean of ratios.

Source: E. C. Fieller, JRSS B 16 (1954) 175. With three or more days the days are what is counted,
because balls of one day share its green and its wind.
"""

from dataclasses import dataclass

import numpy as np
from scipy import special

from analytics.curve_cells import FloatArray, IntArray, total

DAYS_LEAST = 3
"""From this many days on, the interval comes from the days, not from the balls."""


@dataclass(frozen=True)
class Ratio:
    """Mean of the upper over mean of the lower; low and high None when nothing can be said."""

    value: float
    low: float | None
    high: float | None
    n: int
    n_days: int


def ratio_of_means(
    upper: FloatArray, lower: FloatArray, day: IntArray, level: float = 0.9
) -> Ratio:
    """mean(upper) / mean(lower) with its interval.

    Args:
        upper, lower: two measures of the same balls, same unit, shape (n,); lower positive.
        day: day of each ball as a number from 0, shape (n,).
        level: two-sided level.
    """
    n_days = int(day.max()) + 1
    value = float(upper.sum() / lower.sum())
    a, b = upper, lower
    if n_days >= DAYS_LEAST:
        a, b = (total(part, day, n_days) for part in (upper, lower))
    n = len(a)
    if n < 2:
        return Ratio(value, None, None, len(upper), n_days)
    t = float(special.stdtrit(n - 1, 0.5 + level / 2))
    caa, cab, _, cbb = (np.cov(a, b) / n).ravel()
    low, high = fieller((float(a.mean()), float(b.mean())), (caa, cab, cbb), t)
    return Ratio(value, low, high, len(upper), n_days)


def fieller(
    means: tuple[float, float], covariance: tuple[float, float, float], t: float
) -> tuple[float | None, float | None]:
    """All ratios not contradicted by two means with the given (co)variances.

    Args:
        means: of upper and lower.
        covariance: variance of the upper mean, covariance, variance of the lower mean.
        t: quantile of Student's t.

    Returns: (low, high), or (None, None) when the lower mean is not told apart from 0.
    """
    (a, b), (caa, cab, cbb) = means, covariance
    p = b * b - t * t * cbb
    if p <= 0:
        return None, None
    q = a * b - t * t * cab
    root = float(np.sqrt(max(q * q - p * (a * a - t * t * caa), 0.0)))
    return (q - root) / p, (q + root) / p

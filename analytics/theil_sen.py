"""A slope that a few wild points cannot move: the median of all pairwise slopes.

Source: P. K. Sen, JASA 63 (1968) 1379, with its interval from Kendall's tau, ties counted.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from analytics.errors import NothingYet

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class RobustLine:
    """y = level + slope·x by medians, and the interval of the slope."""

    slope: float
    level: float
    low: float
    high: float
    n: int


def theil_sen(x: FloatArray, y: FloatArray, level: float = 0.9) -> RobustLine:
    """The line for points x, y of shape (n,), with a two-sided interval of the slope.

    Raises: NothingYet below three points with different x.
    """
    if len(np.unique(x)) < 3:
        raise NothingYet("A trend needs three different days.", "come back after the third.")
    found = stats.theilslopes(y, x, alpha=level)
    slope, low, high = (float(v) for v in (found.slope, found.low_slope, found.high_slope))
    return RobustLine(slope, float(found.intercept), low, high, len(x))

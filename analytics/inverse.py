"""Reading a line backwards: which x gives a wanted y, with an interval.

Source: E. C. Fieller, JRSS B 16 (1954) 175; Draper and Smith, Applied Regression Analysis, §3.2.
"""

import math
from dataclasses import dataclass

from analytics.errors import BadQuestion


@dataclass(frozen=True)
class Line:
    """y = level + slope·x with the covariance of both: variances and their covariance."""

    level: float
    slope: float
    level_variance: float
    covariance: float
    slope_variance: float

    def variance_at(self, x: float) -> float:
        """Variance of the line's height at x."""
        return self.level_variance + 2 * x * self.covariance + x * x * self.slope_variance


@dataclass(frozen=True)
class Inverse:
    """The x that gives the wanted y and the interval of all x not contradicted."""

    value: float
    low: float
    high: float


def inverse(line: Line, y: float, t: float, extra_variance: float = 0.0) -> Inverse:
    """All x for which `y` lies within t standard errors of the line.

    Args:
        line: fitted line.
        y: wanted height.
        t: quantile of Student's t for the level wanted.
        extra_variance: that of y itself; 0 asks for the mean of many shots.

    Raises: BadQuestion when the slope is not told apart from 0, so that no interval exists.
    """
    g = t * t * line.slope_variance / line.slope**2
    if not g < 1:
        raise BadQuestion(
            "The slope is not told apart from zero: there is no interval of speeds.",
            "hit more balls at other speeds.",
        )
    gap = y - line.level
    a = line.slope**2 - t * t * line.slope_variance
    b = line.slope * gap + t * t * line.covariance
    c = gap * gap - t * t * (line.level_variance + extra_variance)
    root = math.sqrt(max(b * b - a * c, 0.0))
    return Inverse(gap / line.slope, (b - root) / a, (b + root) / a)

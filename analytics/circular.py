"""Directions are averaged as unit vectors, never as numbers: 350° and 10° average to 0°."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

ENOUGH_FOR_INTERVAL = 25


@dataclass(frozen=True)
class Direction:
    """The mean direction of bearings in degrees.

    `mean_deg` is None when there is none (no bearing, or they cancel). `length` is the mean
    resultant length: 1 all alike, 0 spread evenly. `half_width_deg` is half the 95 % interval of
    the mean (None under 25 bearings or when there is none). `p_even` is the chance of so long a
    resultant if every direction were equally likely.
    """

    mean_deg: float | None
    length: float
    half_width_deg: float | None
    p_even: float
    n: int


def direction(bearing_deg: Array) -> Direction:
    """Mean direction, concentration, interval and test against evenly spread directions.

    Args: bearing_deg: degrees, shape (n,).
    Sources: Fisher 1993, Statistical Analysis of Circular Data, equations 2.7 to 2.9 (mean,
    resultant) and 4.22 (interval, n at least 25); Zar 2010, equation 27.4 (Rayleigh p).
    """
    n = int(bearing_deg.size)
    if n == 0:
        return Direction(None, 0.0, None, 1.0, 0)
    vectors = np.exp(1j * np.radians(bearing_deg))
    mean = complex(vectors.mean())
    length = abs(mean)
    if length < 1e-12:
        return Direction(None, 0.0, None, 1.0, n)
    mean_deg = math.degrees(math.atan2(mean.imag, mean.real)) % 360
    return Direction(
        mean_deg, length, _half_width(bearing_deg, length, n), rayleigh_p(length, n), n
    )


def rayleigh_p(length: float, n: int) -> float:
    """Chance of a mean resultant this long among `n` evenly spread directions.

    Source: Zar 2010, Biostatistical Analysis, equation 27.4.
    """
    total = n * length
    return min(1.0, math.exp(math.sqrt(1 + 4 * n + 4 * (n * n - total * total)) - (1 + 2 * n)))


def _half_width(bearing_deg: Array, length: float, n: int) -> float | None:
    """Half the 95 % interval of the mean direction by its circular standard error."""
    if n < ENOUGH_FOR_INTERVAL:
        return None
    second = abs(complex(np.exp(2j * np.radians(bearing_deg)).mean()))
    dispersion = (1 - second) / (2 * length**2)
    sine = 1.96 * math.sqrt(dispersion / n)
    return math.degrees(math.asin(sine)) if sine < 1 else None

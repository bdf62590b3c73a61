"""The sufficient statistics a carry curve is fitted from: one cell per curve and session.

`x` is ln(speed / REFERENCE_MPS); `y` is ln(carry in m) less what the prior says at that speed
(level by loft, exponent PRIOR_EXPONENT), so that every fitted number is a departure from the prior.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
IntArray = NDArray[np.intp]

REFERENCE_MPS = 10.0
"""Speed at which a curve's level is stated."""

PRIOR_EXPONENT = 1.95
"""Exponent before data: flight of a chip under several drag and lift laws gives 1.86 to 2.16."""

LOFT_DEG = (40.0, 45.0, 55.0)
CARRY_AT_REFERENCE_M = (12.5, 11.5, 8.5)
"""Carry at 10 m/s club speed by loft, from simulated impact and flight; good to about 25 %."""

CLUB_LOFT_DEG = {
    "6I": 30.0, "7I": 34.0, "8I": 38.0, "9I": 42.0,
    "PW": 46.0, "GW": 51.0, "SW": 56.0, "LW": 60.0,
}  # fmt: skip
"""Usual loft by kind of club where the source states none: common practice, no source."""


@dataclass(frozen=True)
class Cells:
    """One entry per curve × session with clean balls, sorted by curve; every array shape (k,).

    n: clean balls; mean_x, mean_y: their means; sxx, sxy, syy: sums of squares and products about
    the session's own means.
    """

    curve: IntArray
    n: FloatArray
    mean_x: FloatArray
    mean_y: FloatArray
    sxx: FloatArray
    sxy: FloatArray
    syy: FloatArray

    @property
    def sums(self) -> tuple[FloatArray, ...]:
        """Everything but the curve, in the order of the fields."""
        return self.n, self.mean_x, self.mean_y, self.sxx, self.sxy, self.syy


@dataclass(frozen=True)
class Tree:
    """Who belongs to whom: curve → club (same as curve unless swing lengths are split) → player."""

    club_of_curve: IntArray
    player_of_club: IntArray
    n_players: int
    split: bool

    @property
    def player_of_curve(self) -> IntArray:
        """Player of each curve."""
        return np.asarray(self.player_of_club[self.club_of_curve], dtype=np.intp)


def prior_level(loft_deg: FloatArray) -> FloatArray:
    """ln carry in m at 10 m/s before data, by loft; straight beyond the table's ends.

    Args:
        loft_deg: degrees, shape (n,); NaN where unknown gives that of 45° to 50° (11 m).
    """
    lofts = np.array(LOFT_DEG)
    levels = np.log(np.array(CARRY_AT_REFERENCE_M))
    low = (levels[1] - levels[0]) / (lofts[1] - lofts[0])
    high = (levels[2] - levels[1]) / (lofts[2] - lofts[1])
    inside = np.interp(loft_deg, lofts, levels)
    below = low * np.minimum(loft_deg - lofts[0], 0)
    above = high * np.maximum(loft_deg - lofts[2], 0)
    known = inside + below + above
    return np.asarray(np.where(np.isnan(loft_deg), np.log(11.0), known), dtype=np.float64)


def total(values: FloatArray, index: IntArray, size: int) -> FloatArray:
    """Sums of `values` with the same index, shape (size,)."""
    return np.asarray(np.bincount(index, values, size), dtype=np.float64)

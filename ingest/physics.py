"""Units by physics: which units make the numbers of a file possible at all.

Rules
- Carry against the vacuum range v²·sin2θ/g: for chips and pitches the ratio lies near one
  (0.78–1.09 at 5–20 m/s by published drag and lift); over all shots of golf a median outside
  0.42–2.0 is impossible. A unit counts as proved only when every other one is impossible.
- Ball speed over club speed: 0.7–1.55; at most 1.4 where the ball leaves at 20° or more, and down
  to 0.5 at 35° or more.
- Backswing over downswing equals the stated ratio, so both times share a unit.
- From ten rows on the median decides. With three to nine, a unit is out only when it makes every
  single row impossible. What leaves exactly one unit is certain; what leaves more is asked. Yards
  and metres differ by 1.09 only and are never told apart by this.

Source of the range in vacuum: any mechanics textbook, level ground, no drag.
"""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from ingest.units import UNITS

GRAVITY_MPS2 = 9.80665
MIN_ROWS = 10
FEW_ROWS = 3
CARRY_BAND = (0.42, 2.0)
RATIO_BANDS = ((35.0, 0.5, 1.4), (20.0, 0.7, 1.4), (-90.0, 0.7, 1.55))
"""Median launch angle from which, and the least and greatest possible ball ÷ club speed."""
EQUAL = 0.02

Floats = NDArray[np.float64]


def vacuum_carry_m(speed_mps: Floats, launch_deg: Floats) -> Floats:
    """Range without air, in metres: v²·sin2θ/g. Shapes (n,)."""
    range_m: Floats = speed_mps**2 * np.sin(2 * np.radians(launch_deg)) / GRAVITY_MPS2
    return range_m


def median_ratio(top: Floats, bottom: Floats, min_rows: int = MIN_ROWS) -> float | None:
    """Median of top ÷ bottom over the rows that have both, None for fewer than `min_rows`."""
    both = np.isfinite(top) & np.isfinite(bottom) & (bottom > 0) & (top > 0)
    if both.sum() < min_rows:
        return None
    return float(np.median(top[both] / bottom[both]))


def possible(
    top: Floats, bottom: Floats, scales: Iterable[float], band: tuple[float, float]
) -> list[bool] | None:
    """Whether top ÷ bottom times each scale lies in `band`; None for too few rows.

    The median of ten rows or more decides; of fewer rows, a single one within the band is enough.
    """
    both = np.isfinite(top) & np.isfinite(bottom) & (bottom > 0) & (top > 0)
    if both.sum() < FEW_ROWS:
        return None
    ratios = top[both] / bottom[both]
    judged = ratios if ratios.size < MIN_ROWS else np.median(ratios)
    return [bool(np.any((band[0] <= judged * s) & (judged * s <= band[1]))) for s in scales]


def carry_pairs(
    carry: Floats,
    speed: Floats,
    launch_deg: Floats,
    *,
    carry_units: Iterable[str],
    speed_units: Iterable[str],
    band: tuple[float, float] = CARRY_BAND,
) -> list[tuple[str, str]] | None:
    """The (carry unit, ball speed unit) pairs that physics allows, None when too few rows.

    Args:
        carry, speed: the numbers as written, shape (n,).
        launch_deg: launch angle in degrees, shape (n,).
    """
    usable = (launch_deg > 3) & (launch_deg < 75)
    unit_range = np.where(usable, vacuum_carry_m(speed, launch_deg), np.nan)
    pairs = [(carry_unit, speed_unit) for carry_unit in carry_units for speed_unit in speed_units]
    scales = [UNITS[c].to_si(1.0) / UNITS[s].to_si(1.0) ** 2 for c, s in pairs]
    allowed = possible(carry, unit_range, scales, band)
    if allowed is None:
        return None
    return [pair for pair, holds in zip(pairs, allowed, strict=True) if holds]


def speed_pairs(
    ball: Floats,
    club: Floats,
    ball_units: Iterable[str],
    club_units: Iterable[str],
    launch_deg: Floats | None = None,
) -> list[tuple[str, str]] | None:
    """The (ball speed unit, club speed unit) pairs that an impact allows, None for too few rows."""
    known = launch_deg[np.isfinite(launch_deg)] if launch_deg is not None else np.empty(0)
    launch = float(np.median(known)) if known.size else -90.0
    band = next((low, high) for least, low, high in RATIO_BANDS if launch >= least)
    pairs = [(ball_unit, club_unit) for ball_unit in ball_units for club_unit in club_units]
    scales = [UNITS[b].to_si(1.0) / UNITS[c].to_si(1.0) for b, c in pairs]
    allowed = possible(ball, club, scales, band)
    if allowed is None:
        return None
    return [pair for pair, holds in zip(pairs, allowed, strict=True) if holds]


def agrees(left: Floats, right: Floats, min_rows: int = 2, tolerance: float = EQUAL) -> bool:
    """Whether two columns are equal within `tolerance` (relative) in at least nine rows of ten."""
    both = np.isfinite(left) & np.isfinite(right)
    if both.sum() < min_rows:
        return False
    close = np.abs(left[both] - right[both]) <= tolerance * np.maximum(np.abs(right[both]), 1e-9)
    return bool(close.mean() >= 0.9)

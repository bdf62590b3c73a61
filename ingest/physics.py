"""Units by physics: which units make the numbers of a file possible at all.

Rules
- Carry against the vacuum range v²·sin2θ/g: for chips and pitches the ratio lies near one
  (0.78–1.09 at 5–20 m/s by published drag and lift); over all shots of golf a median outside
  0.42–2.0 is impossible. A unit counts as proved only when every other one is impossible.
- Ball speed over club speed: 0.7–1.55; at most 1.4 where the ball leaves at 20° or more, and down
  to 0.5 at 35° or more.
- Backswing over downswing equals the stated ratio, so both times share a unit.
- At least ten rows are needed. What leaves exactly one unit is certain; what leaves more is asked.
  Yards and metres differ by 1.09 only and are never told apart by this.

Source of the range in vacuum: any mechanics textbook, level ground, no drag.
"""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from ingest.units import UNITS

GRAVITY_MPS2 = 9.80665
MIN_ROWS = 10
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
    ratio = median_ratio(carry, unit_range)
    if ratio is None:
        return None
    allowed = []
    for carry_unit in carry_units:
        for speed_unit in speed_units:
            scale = UNITS[carry_unit].to_si(1.0) / UNITS[speed_unit].to_si(1.0) ** 2
            if band[0] <= ratio * scale <= band[1]:
                allowed.append((carry_unit, speed_unit))
    return allowed


def speed_pairs(
    ball: Floats,
    club: Floats,
    ball_units: Iterable[str],
    club_units: Iterable[str],
    launch_deg: Floats | None = None,
) -> list[tuple[str, str]] | None:
    """The (ball speed unit, club speed unit) pairs that an impact allows, None for too few rows."""
    ratio = median_ratio(ball, club)
    if ratio is None:
        return None
    known = launch_deg[np.isfinite(launch_deg)] if launch_deg is not None else np.empty(0)
    launch = float(np.median(known)) if known.size else -90.0
    low, high = next((low, high) for least, low, high in RATIO_BANDS if launch >= least)
    return [
        (ball_unit, club_unit)
        for ball_unit in ball_units
        for club_unit in club_units
        if low <= ratio * UNITS[ball_unit].to_si(1.0) / UNITS[club_unit].to_si(1.0) <= high
    ]


def agrees(left: Floats, right: Floats, min_rows: int = 5, tolerance: float = EQUAL) -> bool:
    """Whether two columns are equal within `tolerance` (relative) in at least nine rows of ten."""
    both = np.isfinite(left) & np.isfinite(right)
    if both.sum() < min_rows:
        return False
    close = np.abs(left[both] - right[both]) <= tolerance * np.maximum(np.abs(right[both]), 1e-9)
    return bool(close.mean() >= 0.9)

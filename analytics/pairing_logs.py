"""The two logs as they came, and as the pairing reads them.

Rules
-----
1. Times are seconds on each log's own clock, with any origin; only differences are ever used.
2. Nothing is assumed about row order. Rows are sorted stably, so ties keep their file order.
3. A row without a time cannot be paired; a row equal to an earlier one in every value is that
   row written twice. Both are left out and said so.
4. Speeds are compared on a log scale and with unknown scale and power, so their unit is free.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

GRIDS_S = (60.0, 10.0, 1.0, 0.5, 0.25, 0.1)
NO_TIME = "no time"
DOUBLED = "doubled row"


def _no_values() -> Floats:
    return np.empty(0)


@dataclass(frozen=True)
class LaunchLog:
    """Struck balls: time in seconds, shape (n,); speeds in any one unit, nan where unknown."""

    times_s: Floats
    ball_speed_mps: Floats = field(default_factory=_no_values)
    club_speed_mps: Floats = field(default_factory=_no_values)
    carry_m: Floats = field(default_factory=_no_values)


@dataclass(frozen=True)
class SwingLog:
    """Swings a sensor saw: time in seconds, shape (m,); the rest nan where unknown."""

    times_s: Floats
    peak_speed_mps: Floats = field(default_factory=_no_values)
    backswing_s: Floats = field(default_factory=_no_values)
    downswing_s: Floats = field(default_factory=_no_values)


@dataclass(frozen=True)
class Side:
    """One log cleaned and sorted: `row` leads back to the rows as they came."""

    time: Floats
    row: Ints
    log_speed: Floats
    log_backswing: Floats
    log_downswing: Floats
    grid_s: float
    left_out: tuple[tuple[int, str], ...]

    def __len__(self) -> int:
        return len(self.time)


def column(values: Floats, rows: int) -> Floats:
    """The column as floats of shape (rows,); an absent column is all nan."""
    values = np.asarray(values, np.float64)
    return values if len(values) == rows else np.full(rows, np.nan)


def log_of(values: Floats) -> Floats:
    """Natural log where positive, nan elsewhere."""
    positive = np.isfinite(values) & (values > 0)
    return np.where(positive, np.log(np.where(positive, values, 1.0)), np.nan)


def grid_of(times_s: Floats) -> float:
    """The coarsest grid that all stamps lie on, in seconds; 0.0 when finer than 0.1 s.

    Grids over 1 s are believed only when ties show that the stamps are that coarse: shots in an
    even rhythm lie on a grid of their own.
    """
    if len(times_s) < 3:
        return 0.0
    ties = float(np.mean(np.diff(np.sort(times_s)) < 1e-6))
    for grid in GRIDS_S:
        steps = (times_s - times_s.min()) / grid
        if np.all(np.abs(steps - np.round(steps)) < 1e-5) and (grid <= 1 or ties > 0.2):
            return grid
    return 0.0


def launch_side(log: LaunchLog) -> Side:
    """The launch log cleaned; the speed is ball speed, else club speed, else from carry."""
    times = np.asarray(log.times_s, np.float64)
    n = len(times)
    speeds = [
        log_of(column(log.ball_speed_mps, n)),
        log_of(column(log.club_speed_mps, n)),
        0.5 * log_of(column(log.carry_m, n)),  # carry grows with about the square of speed
    ]
    speed = max(speeds, key=lambda values: int(np.isfinite(values).sum() > 0.5 * n))
    values = np.column_stack(speeds) if n else np.empty((0, 3))
    nothing = np.full(n, np.nan)
    return _side(times, values, speed, nothing, nothing)


def swing_side(log: SwingLog) -> Side:
    """The swing log cleaned."""
    times = np.asarray(log.times_s, np.float64)
    n = len(times)
    speed = log_of(column(log.peak_speed_mps, n))
    back, down = log_of(column(log.backswing_s, n)), log_of(column(log.downswing_s, n))
    return _side(times, np.column_stack([speed, back, down]), speed, back, down)


def _side(times: Floats, values: Floats, speed: Floats, back: Floats, down: Floats) -> Side:
    seen: set[bytes] = set()
    keep, left_out = [], []
    rows = np.column_stack([times, np.nan_to_num(values, nan=-1e9)])
    for row in range(len(times)):
        key = rows[row].tobytes()
        if not np.isfinite(times[row]):
            left_out.append((row, NO_TIME))
        elif key in seen:
            left_out.append((row, DOUBLED))
        else:
            seen.add(key)
            keep.append(row)
    kept = np.array(keep, np.int64)
    kept = kept[np.argsort(times[kept], kind="stable")]
    return Side(
        times[kept], kept, speed[kept], back[kept], down[kept], grid_of(times[kept]),
        tuple(left_out),
    )  # fmt: skip

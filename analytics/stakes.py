"""What a finding is worth: by how many metres the usual miss would shrink without it.

Rules
-----
1. An offset adds to the spread in squares: without it a miss of √(s² + m²) becomes s.
2. Of process (bracket, tempo) nobody knows from one player's data what it brings. It is given a
   twenty-fifth of the spread, so that it counts but does not outrank what plainly costs: common
   practice, no source.
3. A mishit costs its usual loss of carry.
"""

import numpy as np
from numpy.typing import NDArray

from analytics.practice import Practice, WindowShots

Floats = NDArray[np.float64]

PROCESS_SHARE = 0.04
MISHIT_LOSS_M = 1.8
"""Carry a mishit loses, about 6 ft: common practice, no source; used while none was seen."""

PROCESS = ("bracket_fit", "bracket_held", "bracket_width", "tempo_drift", "tempo_rehearsal")


def metres_at_stake(key: str, value: float, practice: Practice) -> float:
    """Metres by which the usual miss would shrink if the thing looked at were gone."""
    if not np.isfinite(value):
        return 0.0
    shots = practice.shots
    spread = usual_spread_m(shots)
    if key in PROCESS:
        return PROCESS_SHARE * spread
    if key in ("landing_centre", "start_side"):
        return _offset(key, value, shots, spread)
    if key == "mishit_share":
        return float(np.mean(shots.mishit)) * _mishit_loss_m(shots) if shots.mishit.size else 0.0
    if key in ("landing_spread", "start_spread"):
        return max(value if key == "landing_spread" else _sideways(value, shots), 0.0)
    return 0.0


def usual_spread_m(shots: WindowShots) -> float:
    """Standard deviation of the landing error of clean strikes, 0 where unknown."""
    errors = shots.clean_error_m[np.isfinite(shots.clean_error_m)]
    return float(np.std(errors)) if errors.size > 1 else 0.0


def _offset(key: str, value: float, shots: WindowShots, spread: float) -> float:
    offset = value if key == "landing_centre" else _sideways(value, shots)
    return float(np.hypot(spread, offset) - spread)


def _sideways(degrees: float, shots: WindowShots) -> float:
    known = shots.carry_m[np.isfinite(shots.carry_m)]
    carry = float(np.median(known)) if known.size else 0.0
    return carry * abs(float(np.sin(np.radians(degrees))))


def _mishit_loss_m(shots: WindowShots) -> float:
    missed = shots.error_m[shots.mishit & np.isfinite(shots.error_m)]
    return float(-np.mean(missed)) if missed.size and np.mean(missed) < 0 else MISHIT_LOSS_M

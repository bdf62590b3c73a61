"""Ball and hole: their sizes by the rules, and how fast a ball may arrive and still drop.

Sizes: Rules of Golf, definition "hole", and Equipment Rules part 4 (R&A and USGA).
"""

import math

import numpy as np
from numpy.typing import NDArray

INCH_M = 0.0254
FOOT_M = 0.3048
GRAVITY_MPS2 = 9.80665

BALL_MASS_KG = 1.620 * 0.028349523125
"""Heaviest ball allowed: 1.620 ounces avoirdupois (45.93 g)."""

BALL_RADIUS_M = 1.680 * INCH_M / 2
"""Smallest ball allowed: diameter 1.680 inches (42.67 mm)."""

HOLE_RADIUS_M = 4.25 * INCH_M / 2
"""Hole diameter 4.25 inches (108 mm)."""

HOLE_DEPTH_M = 4 * INCH_M
"""The hole is at least 4 inches (101.6 mm) deep."""

RIM_CAPTURE_MPS = 1.63
"""Fastest dead-centre arrival that the back rim still stops. Holmes 1991, American Journal of
Physics 59; quoted by later papers (read second-hand)."""


def drop_speed_mps() -> float:
    """Fastest dead-centre arrival at which the ball falls one radius while it crosses the hole.

    Source: mechanics, v = (2R - r)·√(g / 2r); no help from the back rim.
    """
    crossing_m = 2 * HOLE_RADIUS_M - BALL_RADIUS_M
    return crossing_m * math.sqrt(GRAVITY_MPS2 / (2 * BALL_RADIUS_M))


def capture_speed_mps(offset_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Fastest arrival that is still captured when the path misses the hole's centre by `offset_m`.

    Args: offset_m: metres, any shape, sign ignored. Returns: m/s, same shape; 0 at and beyond
    the edge. Source: Holmes 1991, 1.63·(1 - (δ/R)²); the form off centre is from memory.
    """
    share = np.minimum(np.abs(offset_m) / HOLE_RADIUS_M, 1.0)
    return np.asarray(RIM_CAPTURE_MPS * (1 - share**2))

"""What an uneven lie or the wind may do to a chip's carry: a stated factor with a wide doubt.

These come from public flight formulas, never from the player; nothing fits them to data. So each
comes with a doubt as large as the effect itself, and a plan shows that they were used.
* Wind: the factor by which the flight formulas change the carry of a middling chip.
* Uneven lie: turning the launch by the slope at the same ball speed makes a chip carry farther
  uphill, while common practice says that an uphill chip flies higher and shorter. The two disagree
  in sign, so the carry is not moved; the size of the effect is its doubt.
"""

import math
from dataclasses import dataclass
from functools import lru_cache

from analytics.errors import BadQuestion
from analytics.flight import Air, Launch, constant_coefficients, fly

STEEPEST_LIE_DEG = 25.0
STRONGEST_WIND_MPS = 12.0
USUAL_LAUNCH = Launch(12.0, 32.0, 3000.0)
"""A middling chip: 12 m/s at 32° with 3000 rev/min."""


@dataclass(frozen=True)
class Adjustment:
    """Factor on carry, standard deviation of its logarithm, and why, in words."""

    factor: float = 1.0
    doubt: float = 0.0
    why: str = ""


def adjustment(lie_slope_deg: float = 0.0, tail_wind_mps: float = 0.0) -> Adjustment:
    """The stated adjustment for an uphill (+) or downhill lie and a tail (+) or head wind.

    Raises: BadQuestion for a lie or wind beyond what the formulas can be asked.
    """
    if abs(lie_slope_deg) > STEEPEST_LIE_DEG or abs(tail_wind_mps) > STRONGEST_WIND_MPS:
        raise BadQuestion(
            f"A lie of {lie_slope_deg:g}° in a wind of {tail_wind_mps:g} m/s is beyond what can be"
            " said.",
            f"give up to {STEEPEST_LIE_DEG:g}° and {STRONGEST_WIND_MPS:g} m/s either way",
        )
    lie, wind = abs(_lie_log(lie_slope_deg)), _wind_log(tail_wind_mps)
    words = []
    if lie_slope_deg:
        words.append(f"lie {lie_slope_deg:+g}°: carry not moved, doubt ±{math.expm1(lie):.0%}")
    if tail_wind_mps:
        words.append(
            f"wind {tail_wind_mps:+.1f} m/s: {math.expm1(wind):+.1%} carry, doubt as large"
        )
    return Adjustment(math.exp(wind), math.hypot(lie, wind), "; ".join(words))


def _lie_log(slope_deg: float) -> float:
    """Ln of the factor when the lie's slope is added to the launch angle at the same speed."""
    usual = math.radians(2 * USUAL_LAUNCH.angle_deg)
    tilted = math.radians(2 * (USUAL_LAUNCH.angle_deg + slope_deg))
    return math.log(math.sin(tilted) / math.sin(usual)) if slope_deg else 0.0


@lru_cache(maxsize=256)
def _wind_log(tail_wind_mps: float) -> float:
    """Ln of the factor of the wind on a middling chip, drag 0.5 and lift 0.1."""
    if not tail_wind_mps:
        return 0.0
    air = constant_coefficients(0.5, 0.1)
    windy = fly(USUAL_LAUNCH, air, Air(tail_wind_mps=tail_wind_mps)).carry_m
    return math.log(windy / fly(USUAL_LAUNCH, air).carry_m)

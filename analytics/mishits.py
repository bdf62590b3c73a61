"""Mishits: a clean core with a heavy tail of failed strikes.

Rules
-----
1. The rule marks a ball whose carry, set against its speed, lies more than CUT robust standard
   deviations from the player's middle with that club (`mishit_rule` says how).
2. A coach's word outranks the rule; both counts are kept and shown.
3. Clean balls make the curve. The share of mishits is a measure of its own, and the band "with
   mishits" is that of the mixture: core with probability 1 − share, tail with probability share.
4. Cutting a normal core at ±CUT takes a little of its own variance away; `core_variance_kept`
   gives it back, and `FALSE_MARK` says how often a clean ball is marked.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import special, stats

FloatArray = NDArray[np.float64]

CUT = 2.8
"""Robust standard deviations from the middle at which the rule marks a mishit."""

FALSE_MARK = float(2 * stats.norm.sf(CUT))
"""Share of clean balls the rule marks, if the core is normal: about 0.5 %."""

TAIL_MEAN = -0.35
TAIL_SD = 0.2
TAIL_WORTH = 4.0
"""Assumed ln carry lost by a mishit, before any was seen; worth this many seen mishits.
Common practice (a fat or thin chip loses about a third of its carry), no source."""

SHARE_BEFORE = 0.05
SHARE_WORTH = 20.0
"""Assumed share of mishits before data, and how many balls that assumption is worth."""


@dataclass(frozen=True)
class Tail:
    """Where mishits land against the clean curve, in ln carry, and how often (0 to 1)."""

    share: float | FloatArray
    mean: float | FloatArray
    sd: float | FloatArray


def core_variance_kept(cut: float = CUT) -> float:
    """Share of a normal variance that is left after cutting at ±cut standard deviations.

    Source: variance of the doubly truncated normal, Johnson, Kotz and Balakrishnan (1994) §13.10.
    """
    inside = float(2 * stats.norm.cdf(cut) - 1)
    return 1 - 2 * cut * float(stats.norm.pdf(cut)) / inside


def tails_of(
    marked: FloatArray,
    balls: FloatArray,
    off_mean: FloatArray,
    off_sd: FloatArray,
    before: tuple[float, float] = (SHARE_BEFORE, SHARE_WORTH),
) -> Tail:
    """Share and place of the mishits of each curve, thin data drawn to what is usual.

    Args (shape (n,)):
        marked: balls marked, by coach or rule; balls: all of them.
        off_mean, off_sd: ln carry of the marked balls against the clean middle.
        before: assumed share, and the balls it is worth.
    """
    share_before, worth = before
    seen = np.maximum(marked - FALSE_MARK * balls, 0.0)
    share = (seen + share_before * worth) / (balls + worth)
    weight = marked / (marked + TAIL_WORTH)
    mean = weight * off_mean + (1 - weight) * TAIL_MEAN
    own = np.where(marked > 1, off_sd**2, TAIL_SD**2)
    variance = weight * own + (1 - weight) * TAIL_SD**2
    return Tail(share, mean, np.sqrt(variance))


def mixture_quantile(
    probability: FloatArray, core_sd: FloatArray, dof: FloatArray, tail: Tail
) -> FloatArray:
    """Quantile of ln carry around the clean curve when mishits count too.

    Args:
        probability: wanted quantiles, 0 to 1, shape (n,).
        core_sd, dof: scale and degrees of freedom of the clean balls (Student's t), shape (n,).
        tail: the mishits (numbers or arrays of shape (n,)): a normal around their mean, widened
            by the core's scale.

    Returns: offsets in ln carry, shape (n,), by bisection to 1e-9.
    """
    spread = np.hypot(tail.sd, core_sd)
    high = 60 * core_sd + np.abs(tail.mean) + 8 * spread
    low = -high
    for _ in range(48):
        middle = (low + high) / 2
        below = (1 - tail.share) * special.stdtr(dof, middle / core_sd)
        below = below + tail.share * special.ndtr((middle - tail.mean) / spread)
        low = np.where(below < probability, middle, low)
        high = np.where(below < probability, high, middle)
    return np.asarray((low + high) / 2)

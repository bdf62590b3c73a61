"""Which putting curve to use for a player: the own putts when there are enough, else a public one.

Rules
-----
1. A putt counts when the leave before it and the strokes to hole out are known (scored tests).
2. Under 40 putts the table of tour professionals is used and named as such.
3. From 40 on, one factor says how much unsteadier than a tour professional the player is, in
   direction and length alike. It is drawn toward 1.58, the factor at which half of the putts from
   5 ft drop, as told of players who shoot 90 (two pages quoting Broadie; second-hand).
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analytics.errors import BadQuestion
from analytics.putting import TOUR, AngleDistanceModel

ENOUGH_PUTTS = 40
USUAL_FACTOR = 1.58
FACTOR_LOG_SD = 0.35

Array = NDArray[np.float64]


@dataclass(frozen=True)
class OwnPutting:
    """The curve to use, and how it compares: unsteadiness against tour with its 90 % interval."""

    model: AngleDistanceModel
    n_putts: int
    own: bool
    factor: float | None = None
    factor_low: float | None = None
    factor_high: float | None = None


def own_putting(leave_m: Array, holed: NDArray[np.bool_]) -> OwnPutting:
    """The putting curve for a player from first putts.

    Args: leave_m: metres before the putt, shape (n,); holed: whether it dropped, shape (n,).
    Raises: BadQuestion when shapes differ or a leave is not above zero.
    """
    if leave_m.shape != holed.shape or np.any(~(leave_m > 0)):
        raise BadQuestion(
            "Each putt needs a leave above zero and whether it dropped.",
            "leave holed chips out; give one leave per putt",
        )
    n_putts = int(leave_m.size)
    if n_putts < ENOUGH_PUTTS:
        return OwnPutting(TOUR, n_putts, own=False)
    mean, low, high = _factor(leave_m, holed)
    label = f"this player's own {n_putts} putts, drawn toward players who shoot about 90"
    return OwnPutting(TOUR.scaled(mean, label), n_putts, True, mean, low, high)


def _factor(leave_m: Array, holed: NDArray[np.bool_]) -> tuple[float, float, float]:
    """Posterior mean and 90 % interval of the factor, on a grid of its logarithm."""
    log_k = np.linspace(math.log(0.5), math.log(6.0), 401)
    loss = ((log_k - math.log(USUAL_FACTOR)) / FACTOR_LOG_SD) ** 2 / 2
    for i, factor in enumerate(np.exp(log_k)):
        p = np.clip(TOUR.scaled(float(factor), "").make(leave_m), 1e-9, 1 - 1e-9)
        loss[i] -= np.where(holed, np.log(p), np.log1p(-p)).sum()
    weight = np.exp(-(loss - loss.min()))
    cumulative = np.cumsum(weight) / weight.sum()
    low, high = np.interp([0.05, 0.95], cumulative, log_k)
    mean = float((weight * log_k).sum() / weight.sum())
    return math.exp(mean), math.exp(float(low)), math.exp(float(high))

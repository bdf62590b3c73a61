"""Bands of many curves at many speeds at once: `CarryCurve.carry` for whole arrays."""

from dataclasses import dataclass

import numpy as np
from scipy import special

from analytics.carry_curve import CurveStack
from analytics.curve_cells import PRIOR_EXPONENT, REFERENCE_MPS, FloatArray, IntArray
from analytics.mishits import Tail, mixture_quantile


@dataclass(frozen=True)
class Bands:
    """ln carry (m): two middles and three bands as (low, high) pairs of arrays, shape (n,).

    middle: of clean balls; any_middle: of balls of any kind, mishits counted in.
    """

    middle: FloatArray
    any_middle: FloatArray
    centre: tuple[FloatArray, FloatArray]
    one_shot: tuple[FloatArray, FloatArray]
    with_mishits: tuple[FloatArray, FloatArray]


def bands(stack: CurveStack, curve: IntArray, speed_mps: FloatArray, level: float = 0.9) -> Bands:
    """Bands of curves `curve` at speeds `speed_mps`, without the refusal of far speeds.

    Args:
        stack: fitted curves.
        curve: index into the stack, shape (n,); speed_mps: m/s, shape (n,).
        level: two-sided level of the bands.
    """
    fit, belief = stack.fit, stack.fit.belief
    x = np.log(speed_mps / REFERENCE_MPS)
    middle = stack.table.prior_level[curve] + belief.level[curve]
    middle = middle + (PRIOR_EXPONENT + belief.exponent[curve]) * x
    cov = belief.covariance.take(curve)
    centre_sd = np.sqrt(cov.aa + 2 * x * cov.ab + x * x * cov.bb)
    shot_sd = np.sqrt(centre_sd**2 + fit.shot_variance[curve] * (1 + fit.day_ratio[curve]))
    dof = fit.dof[curve]
    t = special.stdtrit(dof, 0.5 + level / 2)
    tail = stack.tails()
    picked = Tail(*(np.asarray(part)[curve] for part in (tail.share, tail.mean, tail.sd)))
    low, any_middle, high = (
        middle + mixture_quantile(np.full(len(x), p), shot_sd, dof, picked)
        for p in ((1 - level) / 2, 0.5, (1 + level) / 2)
    )
    return Bands(
        middle,
        any_middle,
        (middle - t * centre_sd, middle + t * centre_sd),
        (middle - t * shot_sd, middle + t * shot_sd),
        (low, high),
    )

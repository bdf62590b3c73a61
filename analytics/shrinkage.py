"""What is left of differences between groups once luck is taken out (empirical Bayes).

Sources: Efron & Morris 1975, JASA 70, and Morris 1983, JASA 78 (shrinkage with its small-sample
factor); DerSimonian & Laird 1986, Controlled Clinical Trials 7 (variance between groups).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analytics.errors import NothingYet

Array = NDArray[np.float64]
FEWEST_GROUPS = 4


@dataclass(frozen=True)
class Shrunken:
    """Group values drawn toward their mean, each as far as its own doubt asks.

    `centre` and `centre_sd` are the pooled mean and its standard error; `between_variance` the
    true variance between groups; `heterogeneity` Cochran's Q; `kept` the share of each group's
    difference that is kept, `value` and `sd` the shrunken values, shape (k,).
    """

    centre: float
    centre_sd: float
    between_variance: float
    heterogeneity: float
    kept: Array
    value: Array
    sd: Array


def shrink(value: Array, variance: Array) -> Shrunken:
    """Shrunken group values.

    Args: value, variance: seen value and its sampling variance, shape (k,).
    Raises: NothingYet with fewer than four groups or a variance that is not above zero.
    """
    k = int(value.size)
    if k < FEWEST_GROUPS or np.any(~(variance > 0)):
        raise NothingYet(
            f"{k} groups cannot be compared with each other.",
            f"score at least {FEWEST_GROUPS} stations, each at least twice",
        )
    weight = 1 / variance
    fixed = float((weight * value).sum() / weight.sum())
    q = float((weight * (value - fixed) ** 2).sum())
    spare = float(weight.sum() - (weight**2).sum() / weight.sum())
    between = max(0.0, (q - (k - 1)) / spare)
    full = 1 / (variance + between)
    centre = float((full * value).sum() / full.sum())
    kept = 1 - _drawn(variance, between, q, k)
    sd = np.sqrt(variance * kept + (1 - kept) ** 2 / full.sum())
    return Shrunken(
        centre=centre,
        centre_sd=float(full.sum() ** -0.5),
        between_variance=between,
        heterogeneity=q,
        kept=kept,
        value=centre + kept * (value - centre),
        sd=sd,
    )


def _drawn(variance: Array, between: float, q: float, k: int) -> Array:
    """Share of each difference that is luck; the factor (k-3)/(k-1) corrects for few groups."""
    if between > 0:
        return np.asarray((k - 3) / (k - 1) * variance / (variance + between))
    return np.full(variance.shape, min(1.0, (k - 3) / q) if q > 0 else 1.0)

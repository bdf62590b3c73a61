"""Day-to-day variance beside shot-to-shot variance, from one row of statistics per day.

Model: y = level + slope·x + day + shot, day ~ N(0, ratio·s²), shot ~ N(0, s²). Two readings of it:
`restricted_likelihood` leaves level and slope free (REML, for one data set); `day_evidence`
takes the slope as known and integrates s² over its prior, for thousands of curves at once.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import optimize

from analytics.curve_cells import Cells, total

FloatArray = NDArray[np.float64]


@dataclass(frozen=True)
class DayFit:
    """REML fit of one data set: fixed effects, both SDs and the maximised log-likelihood."""

    level: float
    slope: float | None
    day_sd: float
    shot_sd: float
    log_likelihood: float


def fit_days(cells: Cells, sloped: bool = True) -> DayFit:
    """Random day intercepts by restricted maximum likelihood.

    Args:
        cells: one curve's cells, one per day; x and y on any scale.
        sloped: whether y also depends on x.

    Source: Pinheiro and Bates, Mixed-Effects Models in S and S-PLUS (2000), §2.2.
    """

    def loss(log_ratio: float) -> float:
        return -restricted_likelihood(cells, float(np.exp(log_ratio)), sloped).log_likelihood

    best = optimize.minimize_scalar(
        loss, bounds=(-12.0, 12.0), method="bounded", options={"xatol": 1e-9}
    )
    free = restricted_likelihood(cells, float(np.exp(best.x)), sloped)
    none = restricted_likelihood(cells, 0.0, sloped)
    return free if free.log_likelihood > none.log_likelihood else none


def restricted_likelihood(cells: Cells, ratio: float, sloped: bool = True) -> DayFit:
    """Fit and restricted log-likelihood at a given day-to-day over shot-to-shot variance."""
    weight = cells.n / (1 + cells.n * ratio)
    mean_x = float(weight @ cells.mean_x / weight.sum())
    mean_y = float(weight @ cells.mean_y / weight.sum())
    dx, dy = cells.mean_x - mean_x, cells.mean_y - mean_y
    sxx = float(cells.sxx.sum() + weight @ dx**2)
    sxy = float(cells.sxy.sum() + weight @ (dx * dy))
    syy = float(cells.syy.sum() + weight @ dy**2)
    slope = sxy / sxx if sloped else 0.0
    dof = float(cells.n.sum()) - (2 if sloped else 1)
    rest = syy - slope * sxy
    variance = rest / dof
    log_det = float(np.log1p(cells.n * ratio).sum() + np.log(weight.sum()))
    log_det += float(np.log(sxx)) if sloped else 0.0
    log_likelihood = -0.5 * (dof * (np.log(2 * np.pi * variance) + 1) + log_det)
    return DayFit(
        mean_y - slope * mean_x,
        slope if sloped else None,
        float(np.sqrt(ratio * variance)),
        float(np.sqrt(variance)),
        float(log_likelihood),
    )


def day_evidence(
    cells: Cells,
    slope: FloatArray,
    prior_variance: FloatArray,
    prior_dof: FloatArray,
    ratios: FloatArray,
) -> FloatArray:
    """Log-likelihood of each day-to-day ratio for each curve, its level free, slope known.

    Args:
        cells: cells of all curves.
        slope, prior_variance, prior_dof: by curve, shape (n,); s² is integrated out over its
            scaled inverse chi-square prior.
        ratios: values to weigh, shape (r,).

    Returns: shape (n, r), up to a constant per curve.
    """
    n_curves = len(slope)
    b = slope[cells.curve]
    rest = cells.mean_y - b * cells.mean_x
    within = total(cells.syy - 2 * b * cells.sxy + b**2 * cells.sxx, cells.curve, n_curves)
    balls = total(cells.n, cells.curve, n_curves)
    evidence = np.zeros((n_curves, len(ratios)))
    for k, ratio in enumerate(ratios):
        weight = cells.n / (1 + cells.n * ratio)
        weights = np.where(balls > 0, total(weight, cells.curve, n_curves), 1.0)
        middle = total(weight * rest, cells.curve, n_curves) / weights
        between = total(weight * (rest - middle[cells.curve]) ** 2, cells.curve, n_curves)
        log_det = total(np.log1p(cells.n * ratio), cells.curve, n_curves) + np.log(weights)
        square = prior_dof * prior_variance + within + between
        evidence[:, k] = -0.5 * (log_det + (prior_dof + balls - 1) * np.log(square))
    return evidence

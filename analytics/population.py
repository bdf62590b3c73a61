"""What is known of players before one of them is looked at: assumed, or learnt from the store.

Rules
-----
1. `ASSUMED` holds where there is no data: exponent N(1.95, 0.08), level good to about 25 %,
   shot-to-shot SD 0.07 of ln carry worth six degrees of freedom, a fifth of the variance from day
   to day. Sources: simulated impact and flight for exponent and level; the noise budget of chips.
2. A store with players teaches its own (`curve_fit.learn`): the assumed numbers then count like
   WORTH further players, so that five players do not overrule them and a hundred do.
"""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy import special

from analytics.mishits import SHARE_BEFORE, SHARE_WORTH
from analytics.pooling import Step

FloatArray = NDArray[np.float64]

WORTH = 6.0
"""How many players (or clubs) each assumed variance is worth once there is data."""

DAY_RATIOS = np.array([0.0, 0.05, 0.1, 0.2, 0.35, 0.6, 1.0, 1.7, 3.0])
"""Day-to-day variance over shot-to-shot variance: the values weighed against each other."""


def _assumed_day_weights() -> FloatArray:
    weights = np.array([2.0, 2.5, 3.5, 4.0, 3.0, 1.3, 0.55, 0.2, 0.05])
    return np.asarray(weights / weights.sum())


@dataclass(frozen=True)
class Population:
    """Everything assumed of an unseen player; variances on the scale of ln carry and exponent.

    level, exponent: departure of the typical player from the prior curve, with variance `root`.
    players, clubs, lengths: variance between players, a player's clubs, a club's swing lengths.
    shot_sd, shot_dof: shot-to-shot SD of ln carry and the degrees of freedom it is worth.
    day_weights: probability of each of DAY_RATIOS.
    mishit_share, mishit_worth: usual share of mishits, and the balls it is worth.
    n_players: players it was learnt from; 0 when assumed. version: of what the store learnt.
    """

    level: float = 0.0
    exponent: float = 0.0
    root: Step = field(default_factory=lambda: Step(0.16**2, 0.04**2))
    players: Step = field(default_factory=lambda: Step(0.15**2, 0.05**2))
    clubs: Step = field(default_factory=lambda: Step(0.10**2, 0.045**2))
    lengths: Step = field(default_factory=lambda: Step(0.05**2, 0.03**2))
    shot_sd: float = 0.07
    shot_dof: float = 6.0
    day_weights: FloatArray = field(default_factory=_assumed_day_weights)
    mishit_share: float = SHARE_BEFORE
    mishit_worth: float = SHARE_WORTH
    n_players: int = 0
    version: str = ""

    @property
    def day_ratio(self) -> float:
        """Expected day-to-day variance over shot-to-shot variance."""
        return float(self.day_weights @ DAY_RATIOS)


ASSUMED = Population()


def pool_variances(
    variance: FloatArray, dof: FloatArray, assumed: Population, worth: float = WORTH
) -> tuple[float, float]:
    """Typical SD of a store's curves and how many degrees of freedom it is worth for a new one.

    Args:
        variance: each curve's own shot-to-shot variance, shape (n,); dof: its degrees of freedom.
        assumed: counts like `worth` further curves.

    Returns: (sd, dof) of the scaled inverse chi-square prior.

    Source: Smyth, Statistical Applications in Genetics and Molecular Biology 3 (2004) 3, §6.2.
    """
    usable = (dof >= 2) & (variance > 0)
    log_variance = np.log(variance[usable])
    half = dof[usable] / 2
    centred = log_variance - special.digamma(half) + np.log(half)
    noise = special.polygamma(1, half)
    prior_half = assumed.shot_dof / 2
    prior_centre = (
        2 * np.log(assumed.shot_sd) - float(special.digamma(prior_half)) + np.log(prior_half)
    )
    prior_spread = float(special.polygamma(1, prior_half))
    weight = 1 / (noise + prior_spread)
    centre = (weight @ centred + worth * prior_centre / prior_spread) / (
        weight.sum() + worth / prior_spread
    )
    excess = (centred - centre) ** 2 - noise
    spread = (weight @ excess + worth) / (weight.sum() + worth / prior_spread)
    half_prior = inverse_trigamma(max(float(spread), 0.02))
    log_prior = centre + float(special.digamma(half_prior)) - np.log(half_prior)
    return float(np.exp(log_prior / 2)), 2 * half_prior


def inverse_trigamma(value: float) -> float:
    """The positive number whose trigamma is `value`, by Newton's rule on the reciprocal.

    Source: Smyth (2004), appendix; trigamma and its slope as Hurwitz zeta functions, Abramowitz
    and Stegun (1964) 6.4.10.
    """
    y = 0.5 + 1 / value
    for _ in range(50):
        tri = float(special.zeta(2, y))
        change = tri * (1 - tri / value) / float(-2 * special.zeta(3, y))
        y += change
        if abs(change) < 1e-12 * y:
            break
    return y

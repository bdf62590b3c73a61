"""One value per session: mean, spread or share, with too thin sessions left out as NaN."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import digamma

from analytics.clustered import Estimate, Ints, change_over_sessions, session_means

Floats = NDArray[np.float64]

LEAST_SHOTS = 5
"""Shots a session needs to give a spread or a mean for comparison: common practice, no source."""


@dataclass(frozen=True)
class PerSession:
    """Values, shape (k,), one per session number 0 … k − 1, and the shots behind them."""

    value: Floats
    n_shots: int


def means(values: Floats, sessions: Ints, k: int, least: int = LEAST_SHOTS) -> PerSession:
    """Mean of each session."""
    found = session_means(values, sessions)
    out = np.full(k, np.nan)
    enough = found.count >= least
    out[found.session[enough]] = found.mean[enough]
    return PerSession(out, int(found.count[enough].sum()))


def log_spreads(values: Floats, sessions: Ints, k: int, least: int = LEAST_SHOTS) -> PerSession:
    """Natural log of each session's standard deviation, unbiased for a normal spread.

    The mean of ln s lies below ln σ by ½(ln(ν/2) − ψ(ν/2)), which is added back.
    """
    out, shots = np.full(k, np.nan), 0
    for label in range(k):
        rows = values[(sessions == label) & np.isfinite(values)]
        if rows.size < least or np.ptp(rows) == 0:
            continue
        half = (rows.size - 1) / 2
        out[label] = np.log(np.std(rows, ddof=1)) + 0.5 * (np.log(half) - digamma(half))
        shots += rows.size
    return PerSession(out, shots)


def change(values: PerSession, days: Floats) -> Estimate:
    """Change from the first to the last session along a straight line over the days."""
    return change_over_sessions(values.value, days, values.n_shots)


def change_of_spread(values: PerSession, days: Floats) -> Estimate:
    """Change of a spread given as logs, in its own unit.

    The test is that of the logs; the ends of the line are taken back, so that a middle spread g
    and a log change c give 2·g·sinh(c/2).
    """
    logs = change(values, days)
    if not logs.known:
        return logs
    middle = float(np.exp(np.nanmean(values.value)))
    return logs.through(lambda c: 2 * middle * float(np.sinh(c / 2)), middle)

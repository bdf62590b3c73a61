"""Answers made of estimates: a level, a spread or a share with its interval, counts and state.

A level is `clear` once its interval is narrow enough to act on (`within`), `leaning` before.
"""

import numpy as np
from scipy.special import chdtri

from analytics.answer import SHARE, SPREAD, Answer, Minimum
from analytics.clustered import LEVEL, Estimate
from analytics.share import wilson

SHARE_WITHIN = 0.15


def level_answer(estimate: Estimate, unit: str, minimum: Minimum, within: float) -> Answer:
    """A mean or the like; `within` is the half-width that is narrow enough, in `unit`."""
    narrow = estimate.known and (estimate.high - estimate.low) / 2 <= within
    return Answer(
        value=_finite(estimate.value),
        low=_finite(estimate.low),
        high=_finite(estimate.high),
        unit=unit,
        n_shots=estimate.n_shots,
        n_sessions=estimate.n_sessions,
        state=minimum.state(estimate.n_shots, estimate.n_sessions, narrow),
        level=estimate.level,
        need=minimum.need(estimate.n_shots, estimate.n_sessions),
    )


def spread_answer(
    sd: float, freedom: int, counts: tuple[int, int], unit: str, level: float = LEVEL
) -> Answer:
    """A standard deviation with its chi-square interval; clear when known to a third."""
    n_shots, n_sessions = counts
    if freedom < 1 or not np.isfinite(sd):
        low = high = float("nan")
    else:
        low, high = (
            sd * float(np.sqrt(freedom / chdtri(freedom, tail)))
            for tail in ((1 - level) / 2, (1 + level) / 2)
        )
    narrow = bool(high <= low * 2)
    return Answer(
        value=_finite(sd),
        low=_finite(low),
        high=_finite(high),
        unit=unit,
        n_shots=n_shots,
        n_sessions=n_sessions,
        state=SPREAD.state(n_shots, n_sessions, narrow),
        level=level,
        need=SPREAD.need(n_shots, n_sessions),
    )


def share_answer(k: int, n: int, n_sessions: int, level: float = LEVEL) -> Answer:
    """A share with its Wilson interval; clear when known to ± 15 points."""
    low, high = wilson(k, n, level)
    return Answer(
        value=k / n if n else None,
        low=low,
        high=high,
        unit="1",
        n_shots=n,
        n_sessions=n_sessions,
        state=SHARE.state(n, n_sessions, (high - low) / 2 <= SHARE_WITHIN),
        level=level,
        need=SHARE.need(n, n_sessions),
    )


def _finite(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None

"""Sessions are compared, not shots: estimates whose doubt comes from day to day.

Rules
-----
1. The unit that is counted is the session. Shots of one day share the day, so pooling them
   makes intervals too narrow and finds changes that are not there.
2. A mean over sessions weights each by what its shots tell, with the between-day variance from
   REML, and takes its interval from the scatter of the sessions themselves (t, sessions − 1).
3. A change is a straight line through one value per session (t, sessions − 2).
4. A slope within sessions is fitted in each, then the slopes are tested.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize_scalar
from scipy.special import stdtr, stdtrit

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

LEVEL = 0.95


@dataclass(frozen=True)
class Estimate:
    """A value with its t interval; `p_value` is two-sided against no effect."""

    value: float
    se: float
    df: float
    low: float
    high: float
    p_value: float
    n_shots: int
    n_sessions: int
    level: float = LEVEL

    @property
    def known(self) -> bool:
        """Whether there was enough to form an interval at all."""
        return bool(np.isfinite(self.se))

    def through(self, rule: Callable[[float], float], slope: float = 1.0) -> "Estimate":
        """The estimate on another scale: its value and ends through an increasing `rule`.

        The test stays that of the first scale. `slope` takes the standard error along.
        """
        value, low, high = (float(rule(v)) for v in (self.value, self.low, self.high))
        return replace(self, value=value, low=low, high=high, se=self.se * slope)

    def of_shots(self, n_shots: int) -> "Estimate":
        """The same estimate, resting on this many shots."""
        return replace(self, n_shots=n_shots)


def with_t_interval(
    value: float, se: float, df: float, counts: tuple[int, int], level: float = LEVEL
) -> Estimate:
    """The estimate with its t interval and p-value; everything unknown where `df` < 1.

    `counts` are shots and sessions.
    """
    n_shots, n_sessions = counts
    if df < 1 or not np.isfinite(value) or not np.isfinite(se):
        nan = float("nan")
        return Estimate(float(value), nan, float(df), nan, nan, nan, n_shots, n_sessions, level)
    half = float(stdtrit(df, 0.5 + level / 2)) * se
    against = 0.0 if value == 0 else np.inf
    p = 2 * float(stdtr(df, -abs(value / se if se > 0 else against)))
    return Estimate(value, se, df, value - half, value + half, p, n_shots, n_sessions, level)


@dataclass(frozen=True)
class SessionMeans:
    """One row per session: its label, mean, count; and the variance within sessions."""

    session: Ints
    mean: Floats
    count: Ints
    within_ss: float


def session_means(values: Floats, sessions: Ints) -> SessionMeans:
    """Mean and count of each session, missing values left out.

    Args:
        values: shape (n,), any unit; NaN is missing.
        sessions: shape (n,), a whole number per session, in order of time.
    """
    kept = np.isfinite(values)
    labels, place = np.unique(sessions[kept], return_inverse=True)
    count = np.bincount(place, minlength=labels.size)
    total = np.bincount(place, weights=values[kept], minlength=labels.size)
    mean = total / np.maximum(count, 1)
    within = float(np.sum((values[kept] - mean[place]) ** 2)) if labels.size else 0.0
    return SessionMeans(labels, mean, count, within)


@dataclass(frozen=True)
class RandomIntercept:
    """Mean with shot-to-shot and day-to-day standard deviation, by REML."""

    mean: float
    within_sd: float
    between_sd: float
    day_weights: Floats


def random_intercept(means: SessionMeans) -> RandomIntercept:
    """Fit value = mean + day + shot by restricted maximum likelihood.

    Source: Pinheiro & Bates 2000, Mixed-Effects Models in S and S-PLUS, chapter 2; profiled over
    the ratio of the two variances.
    """
    n, k = int(means.count.sum()), means.count.size

    def profile(ratio: float) -> tuple[float, float, float]:
        v = 1.0 / means.count + ratio
        centre = float(np.sum(means.mean / v) / np.sum(1 / v))
        spread = means.within_ss + float(np.sum((means.mean - centre) ** 2 / v))
        variance = max(spread / max(n - 1, 1), 1e-300)
        deviance = (n - 1) * np.log(variance) + np.sum(np.log(v)) + np.log(np.sum(1 / v))
        return float(deviance), centre, variance

    def at_log(log_ratio: float) -> float:
        return profile(float(np.exp(log_ratio)))[0]

    best = minimize_scalar(at_log, bounds=(-12, 12), method="bounded", options={"xatol": 1e-9})
    ratio = float(np.exp(best.x)) if best.fun < profile(0.0)[0] and k > 1 else 0.0
    _, centre, variance = profile(ratio)
    weights = 1 / (1.0 / means.count + ratio)
    return RandomIntercept(
        centre, float(np.sqrt(variance)), float(np.sqrt(variance * ratio)), weights
    )


def _weights(means: SessionMeans) -> Floats:
    if np.all(means.count == means.count[0]):
        return np.ones(means.count.size)
    return random_intercept(means).day_weights


def mean_over_sessions(values: Floats, sessions: Ints, level: float = LEVEL) -> Estimate:
    """Mean over sessions, with an interval that knows days differ.

    Args:
        values: shape (n,); NaN is missing. sessions: shape (n,).
    Source: Hartung & Knapp 2001, Statistics in Medicine 20, 3875 (scatter of weighted means).
    """
    means = session_means(values, sessions)
    n, k = int(means.count.sum()), means.count.size
    if k == 0:
        return with_t_interval(float("nan"), float("nan"), 0, (0, 0), level)
    w = _weights(means)
    centre = float(np.sum(w * means.mean) / np.sum(w))
    if k == 1:
        return with_t_interval(centre, float("nan"), 0, (n, 1), level)
    se = float(np.sqrt(np.sum(w * (means.mean - centre) ** 2) / ((k - 1) * np.sum(w))))
    return with_t_interval(centre, se, k - 1, (n, k), level)


def mean_over_shots(values: Floats, sessions: Ints, level: float = LEVEL) -> Estimate:
    """Mean with the day-to-day doubt where there are days, else the shots of the one day.

    For a single session this speaks of that day only.
    """
    estimate = mean_over_sessions(values, sessions, level)
    kept = values[np.isfinite(values)]
    if estimate.n_sessions != 1 or kept.size < 2:
        return estimate
    se = float(np.std(kept, ddof=1) / np.sqrt(kept.size))
    return with_t_interval(float(kept.mean()), se, kept.size - 1, (kept.size, 1), level)


def change_over_sessions(
    per_session: Floats, order: Floats, n_shots: int, level: float = LEVEL
) -> Estimate:
    """Change from the first to the last session along a straight line through one value each.

    Args:
        per_session: shape (k,), NaN is missing; order: shape (k,), weeks or session numbers.
    Returns: last minus first on the fitted line, with t on sessions − 2.
    """
    kept = np.isfinite(per_session)
    y, x = per_session[kept], order[kept].astype(float)
    k = y.size
    if k < 3 or np.ptp(x) == 0:
        nan = float("nan")
        return with_t_interval(nan, nan, 0, (n_shots, k), level)
    x = (x - x.mean()) / np.ptp(x)
    sxx = float(x @ x)
    slope = float(x @ y) / sxx
    rest = y - y.mean() - slope * x
    se = float(np.sqrt(rest @ rest / (k - 2) / sxx))
    return with_t_interval(slope, se, k - 2, (n_shots, k), level)


def slopes_by_session(x: Floats, y: Floats, sessions: Ints, least: int = 5) -> tuple[Ints, Floats]:
    """Least-squares slope of `y` on `x` in each session with `least` complete rows and some spread.

    Returns: session labels (k,), slopes (k,) in units of y per unit of x.
    """
    kept = np.isfinite(x) & np.isfinite(y)
    labels, slopes = [], []
    for label in np.unique(sessions[kept]):
        rows = kept & (sessions == label)
        dx = x[rows] - x[rows].mean()
        sxx = float(dx @ dx)
        if rows.sum() >= least and sxx > 0:
            labels.append(int(label))
            slopes.append(float(dx @ y[rows]) / sxx)
    return np.asarray(labels, dtype=np.int64), np.asarray(slopes, dtype=np.float64)


def mean_of_slopes(slopes: Floats, n_shots: int, level: float = LEVEL) -> Estimate:
    """Mean of one slope per session, tested by t on the slopes.

    Source: Ibragimov & Müller 2010, Journal of Business & Economic Statistics 28, 453: valid with
    few clusters and whatever hangs together within them.
    """
    sessions = np.arange(slopes.size, dtype=np.int64)
    return mean_over_sessions(slopes, sessions, level).of_shots(n_shots)

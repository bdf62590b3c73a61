"""Interval for a share: k of n.

Two rules: Wilson for what is shown (short, honest near 0 and 1), Clopper–Pearson where a share
must never be claimed too boldly (its coverage is at least the level, for every true share).
"""

from dataclasses import dataclass

from scipy import stats

from analytics.errors import BadQuestion


@dataclass(frozen=True)
class ShareInterval:
    """A share `k / n` with its interval, all 0 to 1; `value` is None when n is 0."""

    value: float | None
    low: float
    high: float


def wilson(k: float, n: float, level: float = 0.9) -> tuple[float, float]:
    """Score interval of a share.

    Args:
        k: how many of them, 0 to n.
        n: how many were looked at; 0 gives the interval (0, 1).
        level: two-sided level, between 0 and 1.

    Returns: (low, high), 0 to 1.

    Raises: BadQuestion when k, n or level are out of bounds.

    Source: Wilson, JASA 22 (1927) 209; Newcombe, Statistics in Medicine 17 (1998) 857, method 3.
    """
    _check(k, n, level)
    if n == 0:
        return 0.0, 1.0
    z = float(stats.norm.ppf(0.5 + level / 2))
    share = k / n
    centre = (share + z * z / (2 * n)) / (1 + z * z / n)
    half = z / (1 + z * z / n) * (share * (1 - share) / n + z * z / (4 * n * n)) ** 0.5
    low = 0.0 if k == 0 else max(0.0, centre - half)
    high = 1.0 if k == n else min(1.0, centre + half)
    return low, high


def clopper_pearson(k: float, n: float, level: float = 0.9) -> tuple[float, float]:
    """Exact interval of a share: covers at least `level` whatever the true share.

    Args, returns and raises: as `wilson`.

    Source: Clopper and Pearson, Biometrika 26 (1934) 404, by beta quantiles.
    """
    _check(k, n, level)
    tail = (1 - level) / 2
    low = 0.0 if k == 0 else float(stats.beta.ppf(tail, k, n - k + 1))
    high = 1.0 if k == n else float(stats.beta.ppf(1 - tail, k + 1, n - k))
    return low, high


def share(k: int, n: int, level: float = 0.9) -> ShareInterval:
    """Share with its Wilson interval; without any row the interval is everything."""
    low, high = wilson(k, n, level)
    return ShareInterval(k / n if n else None, low, high)


def _check(k: float, n: float, level: float) -> None:
    if not (0 <= k <= n and 0 < level < 1):
        raise BadQuestion(
            f"A share of {k} in {n} at level {level} does not exist.",
            "Give 0 <= k <= n and a level between 0 and 1.",
        )

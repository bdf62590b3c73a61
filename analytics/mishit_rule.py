"""How far from a curve's middle a ball may lie before the rule calls it a mishit.

Rules
-----
1. The middle of a curve is the median of r (ln carry less the usual exponent times ln speed) over
   the balls a coach has not called mishits.
2. A curve's deviation is taken from the upper half, which fat and thin strikes leave alone, as the
   distance from median to upper quartile in normal standard deviations.
3. Thin data are drawn to what is typical of all curves together, or to what is usual where fewer
   than LEAST_CURVES are there to say.
"""

import numpy as np

from analytics.curve_cells import FloatArray, IntArray

QUARTILE = 0.6745
"""Upper quartile of the standard normal."""

PIECE = 100_000
"""Values looked at at once: about what a processor's own memory holds."""

LEAST_CURVES = 30
LEAST_BALLS = 4
TYPICAL_WORTH = 6.0
"""How many balls the typical deviation is worth."""


def middle_and_reach(
    r: FloatArray, size: IntArray, cut: float, usual_sd: float
) -> tuple[FloatArray, FloatArray]:
    """Middle of each curve, and the distance from it beyond which a ball is a mishit.

    Args:
        r: of all balls not called mishits, those of a curve side by side, shape (balls,).
        size: how many each curve has, 0 and more, shape (n,).
        cut: robust standard deviations; usual_sd: of a curve where the data do not tell.

    Returns: (middle, reach), shape (n,) each; a curve without balls has the middle 0.
    """
    median, upper = median_and_quartile(r, size)
    deviation = (upper - median) / QUARTILE
    telling = deviation[size >= LEAST_BALLS]
    typical = usual_sd if len(telling) < LEAST_CURVES else float(np.sqrt(np.mean(telling**2)))
    weighed = (TYPICAL_WORTH * typical**2 + size * deviation**2) / (TYPICAL_WORTH + size)
    none = size == 0
    return np.where(none, 0.0, median), cut * np.where(none, typical, np.sqrt(weighed))


def median_and_quartile(values: FloatArray, size: IntArray) -> tuple[FloatArray, FloatArray]:
    """Median and upper quartile of each run of values, straight between neighbours.

    Args:
        values: runs side by side, shape (k,); size: length of each, shape (n,).

    Returns: shape (n,) each, NaN where a run is empty.

    Source: Hyndman and Fan, The American Statistician 50 (1996) 361, definition 7.
    """
    start = np.cumsum(size) - size
    median, upper = np.full(len(size), np.nan), np.full(len(size), np.nan)
    for length in np.unique(size[size > 0]):
        same = np.flatnonzero(size == length)
        at_once = max(1, PIECE // int(length))
        for some in np.split(same, np.arange(at_once, len(same), at_once)):
            runs = values[start[some][:, None] + np.arange(length)]
            median[some], upper[some] = _of_equal_runs(runs)
    return median, upper


def _of_equal_runs(runs: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Runs of one length as rows; they are left half sorted, which is enough."""
    last = runs.shape[1] - 1
    low, high = int(last * 0.5), int(last * 0.75)
    runs.partition(high, axis=1)
    upper = _between(runs, high, last * 0.75 - high)
    runs[:, : high + 1].partition(low, axis=1)
    return _between(runs, low, last * 0.5 - low), upper


def _between(runs: FloatArray, place: int, part: float) -> FloatArray:
    """`part` of the way from the value at a place to the next greater one."""
    at = runs[:, place]
    if part == 0:
        return at.copy()
    return np.asarray(at + part * (runs[:, place + 1 :].min(axis=1) - at), dtype=np.float64)

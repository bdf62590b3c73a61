"""Straight lines through series of points by DuckDB, and small least-squares problems safely.

Rules
-----
1. Lines come from DuckDB's own sums about the mean; the line through the origin from the same
   sums, never from raw squares.
2. `least_squares` scales the columns and refuses a design whose columns say all but the same
   thing: no answer is better than a wrong one.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analytics.db import Connection, ask
from analytics.errors import BadQuestion

FloatArray = NDArray[np.float64]

CONDITION_MOST = 1e8
"""Largest condition number of the scaled design; beyond it fewer than eight digits are left."""


@dataclass(frozen=True)
class FittedLine:
    """y = level + slope·x with standard errors; residual_sd has n − 2 degrees of freedom.

    through_origin, through_origin_se, through_origin_sd: y = slope·x, residual SD with n − 1.
    sd_y: standard deviation of y alone.
    """

    series: str
    n: int
    level: float
    slope: float
    level_se: float
    slope_se: float
    residual_sd: float
    r_squared: float
    through_origin: float
    through_origin_se: float
    through_origin_sd: float
    sd_y: float


def lines(con: Connection, points: str) -> list[FittedLine]:
    """A line for each series of a view with columns series, x and y.

    Args:
        con: connection that knows the view; points: its name.

    Returns: one line per series of at least three points with two different x.
    """
    rows = ask(con, "regression", {"points": points}).to_pylist()
    return [_line(row) for row in rows if row["n"] >= 3 and row["sxx"] > 0]


def _line(row: dict[str, float]) -> FittedLine:
    n, sxx, mean_x, mean_y = int(row["n"]), row["sxx"], row["mean_x"], row["mean_y"]
    slope = row["sxy"] / sxx
    residual_sd = (_rest(row, slope) / (n - 2)) ** 0.5
    square = sxx + n * mean_x**2
    origin = (row["sxy"] + n * mean_x * mean_y) / square
    off = n * (mean_y - origin * mean_x) ** 2
    origin_sd = ((_rest(row, origin) + off) / (n - 1)) ** 0.5
    return FittedLine(
        series=str(row["series"]),
        n=n,
        level=row["level"],
        slope=row["slope"],
        level_se=residual_sd * (1 / n + mean_x**2 / sxx) ** 0.5,
        slope_se=residual_sd / sxx**0.5,
        residual_sd=residual_sd,
        r_squared=row["r_squared"],
        through_origin=origin,
        through_origin_se=origin_sd / square**0.5,
        through_origin_sd=origin_sd,
        sd_y=row["sd_y"],
    )


def _rest(row: dict[str, float], slope: float) -> float:
    """Sum of squares about a line of this slope through the means."""
    return max(row["syy"] - 2 * slope * row["sxy"] + slope**2 * row["sxx"], 0.0)


@dataclass(frozen=True)
class Solution:
    """Coefficients with standard errors, shape (k,), and the residual SD."""

    coefficients: FloatArray
    standard_errors: FloatArray
    residual_sd: float


def least_squares(design: FloatArray, y: FloatArray) -> Solution:
    """Least squares by QR of the scaled columns.

    Args:
        design: shape (n, k), n > k; y: shape (n,).

    Raises: BadQuestion when the columns say all but the same thing.

    Source: Golub and Van Loan, Matrix Computations, §5.3; scaling by van der Sluis (1969).
    """
    n, k = design.shape
    size = np.sqrt((design**2).sum(axis=0))
    q, r = np.linalg.qr(design / size)
    if not np.linalg.cond(r) < CONDITION_MOST:
        raise BadQuestion(
            "The columns of this fit say all but the same thing; the answer would be noise.",
            "use fewer columns, or centre and scale them first.",
        )
    scaled = np.linalg.solve(r, q.T @ y)
    rest = y - q @ (q.T @ y)
    residual_sd = float(np.sqrt(rest @ rest / (n - k)))
    inverse = np.linalg.inv(r)
    errors = residual_sd * np.sqrt((inverse**2).sum(axis=1))
    return Solution(scaled / size, errors / size, residual_sd)

"""A curve to look at, drawn from the balls alone: rising, smooth, and never beyond them.

It is a drawing aid beside the carry curve, never the answer: with few balls it is much worse, so
below 30 balls there is none. Pool-adjacent-violators on medians of equal-sized groups of balls,
joined by monotone cubics. `bend` says whether the balls bend away from the power law, as they do
when a player takes loft off with speed; then the curve should not be stretched.

Sources: Barlow et al., Statistical Inference under Order Restrictions (1972); Fritsch and Carlson,
SIAM J. Numerical Analysis 17 (1980) 238.
"""

from dataclasses import dataclass

import numpy as np
from scipy import special
from scipy.interpolate import PchipInterpolator
from scipy.optimize import isotonic_regression

from analytics.curve_cells import REFERENCE_MPS, FloatArray
from analytics.db import Connection, Parameter, ask
from analytics.errors import NothingYet
from analytics.regression import least_squares

BALLS_LEAST = 30
CLEAN_REACH = 0.25
"""ln carry off the club's middle beyond which a ball is left out of a drawing."""
GROUP = 6
"""Balls per group, at least."""


@dataclass(frozen=True)
class DrawnCurve:
    """Points of the drawing: speeds in m/s and carries in m, both rising; n_balls behind it."""

    speed_mps: FloatArray
    carry_m: FloatArray
    n_balls: int


@dataclass(frozen=True)
class Bend:
    """Quadratic term of ln carry in ln speed with its 99 % interval; `told` when 0 is outside."""

    value: float
    low: float
    high: float

    @property
    def told(self) -> bool:
        """Whether the balls bend away from the power law."""
        return self.low > 0 or self.high < 0


def drawing(con: Connection, player_id: str, club: str) -> tuple[DrawnCurve, Bend]:
    """The drawing for one club of a player, and whether its balls bend.

    Raises: NothingYet below 30 clean balls.
    """
    asked: dict[str, Parameter] = {"player_id": player_id, "club": club, "reach": CLEAN_REACH}
    rows = ask(con, "clean_balls", asked, views="strikes")
    speed, carry = (rows[name].to_numpy().astype(float) for name in ("speed_mps", "carry_m"))
    return drawn_curve(speed, carry), bend(speed, carry)


def bend(speed_mps: FloatArray, carry_m: FloatArray) -> Bend:
    """Whether clean balls, shape (n,), bend away from the power law."""
    x = np.log(speed_mps / REFERENCE_MPS)
    x = x - x.mean()
    design = np.column_stack([np.ones(len(x)), x, x**2])
    found = least_squares(design, np.log(carry_m))
    t = float(special.stdtrit(len(x) - 3, 0.995))
    value, error = float(found.coefficients[2]), float(found.standard_errors[2])
    return Bend(value, value - t * error, value + t * error)


def drawn_curve(speed_mps: FloatArray, carry_m: FloatArray, points: int = 40) -> DrawnCurve:
    """The drawing for one club.

    Args:
        speed_mps, carry_m: clean balls, shape (n,); points: how many to draw.

    Raises: NothingYet below 30 balls.
    """
    n = len(speed_mps)
    if n < BALLS_LEAST:
        raise NothingYet(f"{n} of {BALLS_LEAST} balls for a drawing.", "look at the curve instead.")
    order = np.argsort(speed_mps, kind="stable")
    groups = np.array_split(order, max(n // GROUP, 3))
    x = np.array([float(np.median(speed_mps[group])) for group in groups])
    y = np.array([float(np.median(carry_m[group])) for group in groups])
    weight = np.array([float(len(group)) for group in groups])
    keep = np.append(True, np.diff(x) > 0)
    x, y, weight = x[keep], y[keep], weight[keep]
    at = np.linspace(x[0], x[-1], points)
    return DrawnCurve(at, monotone(x, rising(y, weight), at), n)


def rising(y: FloatArray, weight: FloatArray) -> FloatArray:
    """The never-falling values nearest to y by weighted squares, shape (n,)."""
    return np.asarray(isotonic_regression(y, weights=weight).x, dtype=np.float64)


def monotone(x: FloatArray, y: FloatArray, at: FloatArray) -> FloatArray:
    """A smooth curve through the points that rises where they rise; x strictly rising."""
    return np.asarray(PchipInterpolator(x, y)(at), dtype=np.float64)

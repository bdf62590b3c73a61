"""How likely a putt is to drop, and how many putts a leave costs.

Two models of public data:
* `AngleModel`: the putt drops when its start direction is good enough. Gelman & Nolan 2002,
  "A probability model for golf putting", Teaching Statistics 24.
* `AngleDistanceModel`: it must also be hit hard enough to reach and not far past the hole.
  Gelman 2019, Stan case study "Model building and expansion for golf putting"; data of Broadie.
One σ cannot serve both public data sets: the angle-only model misses the larger one badly, so the
default of everything else here is the angle and distance model.

Every table fitted to these data is of TOUR PROFESSIONALS and says so in its label.
"""

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

import numpy as np
from numpy.polynomial.hermite_e import hermegauss
from numpy.typing import NDArray
from scipy.optimize import minimize, minimize_scalar
from scipy.special import ndtr
from scipy.stats import norm

from analytics.errors import BadQuestion
from analytics.hole import FOOT_M

HOLE_RADIUS_FT = 4.25 / 24
BALL_RADIUS_FT = 1.68 / 24
OVERSHOT_FT = 1.0
"""Distance past the hole the model putter aims to reach (case study)."""
DISTANCE_TOLERANCE_FT = 3.0
"""A putt drops when it would stop between the hole and this far past it (case study)."""

Array = NDArray[np.float64]


class MakeModel(Protocol):
    """Anything that gives the chance to hole a putt."""

    @property
    def label(self) -> str:
        """Whose putting this is, in words."""

    def make(self, distance_m: Array) -> Array:
        """Probability to hole a putt of `distance_m` metres (any shape); 1 at 0."""


@dataclass(frozen=True)
class AngleModel:
    """p(x) = 2Φ(asin((R - r) / x) / σ) - 1, with σ in radians."""

    sigma_rad: float
    label: str

    def make(self, distance_m: Array) -> Array:
        """Probability to hole a putt of `distance_m` metres; 1 within the hole."""
        return _angle_share(np.asarray(distance_m) / FOOT_M, self.sigma_rad)


@dataclass(frozen=True)
class AngleDistanceModel:
    """The angle model times the chance that the length is right; σ per foot of length aimed at."""

    sigma_angle_rad: float
    sigma_distance: float
    label: str

    def make(self, distance_m: Array) -> Array:
        """Probability to hole a putt of `distance_m` metres; 1 within the hole."""
        feet = np.asarray(distance_m, dtype=np.float64) / FOOT_M
        both = _angle_share(feet, self.sigma_angle_rad) * _length_share(feet, self.sigma_distance)
        return np.where(feet <= HOLE_RADIUS_FT, 1.0, both)

    def scaled(self, factor: float, label: str) -> "AngleDistanceModel":
        """A putter `factor` times as unsteady in direction and length."""
        return AngleDistanceModel(
            self.sigma_angle_rad * factor, self.sigma_distance * factor, label
        )


TOUR = AngleDistanceModel(
    math.radians(1.019984),
    0.0800665,
    "tour professionals (public data of 1.25 million putts, Broadie 2018); not this player",
)
"""Fitted by `fit_angle_distance` to Broadie's data; a test refits it."""


@dataclass(frozen=True)
class AngleDistanceFit:
    """The fitted model and the extra spread of the shares, per distance, that it leaves."""

    model: AngleDistanceModel
    sigma_share: float


def fit_angle(distance_ft: Array, tries: Array, makes: Array, label: str) -> AngleModel:
    """The angle model of greatest likelihood.

    Args: distance_ft, tries, makes: shape (n,). Raises: BadQuestion for impossible counts.
    """
    _check_counts(distance_ft, tries, makes)

    def loss(log_sigma: float) -> float:
        return -_log_likelihood(_angle_share(distance_ft, math.exp(log_sigma)), tries, makes)

    found = minimize_scalar(loss, bounds=(-7, 0.5), method="bounded", options={"xatol": 1e-10})
    return AngleModel(math.exp(found.x), label)


def fit_angle_distance(
    distance_ft: Array, tries: Array, makes: Array, label: str
) -> AngleDistanceFit:
    """The angle and distance model of greatest likelihood, with σy for what it cannot explain.

    The shares are taken as normal with variance p(1 - p)/n + σy² (case study): with hundreds of
    thousands of putts the binomial variance alone would overrule the shape of the model.
    Args: as `fit_angle`. Raises: BadQuestion for impossible counts.
    """
    _check_counts(distance_ft, tries, makes)
    share = makes / tries

    def loss(log_sigmas: Array) -> float:
        angle, length, extra = np.exp(log_sigmas)
        p = _angle_share(distance_ft, angle) * _length_share(distance_ft, length)
        spread = np.sqrt(p * (1 - p) / tries + extra**2)
        return -float(norm.logpdf(share, p, spread).sum())

    start = np.log([0.02, 0.08, 0.003])
    options = {"xatol": 1e-9, "fatol": 1e-10, "maxiter": 4000, "maxfev": 4000}
    found = minimize(loss, start, method="Nelder-Mead", options=options)
    angle, length, extra = (float(value) for value in np.exp(found.x))
    return AngleDistanceFit(AngleDistanceModel(angle, length, label), extra)


@dataclass(frozen=True)
class PuttCosts:
    """Expected putts and chance of one putt at distances in metres, to be read between them.

    `label` says whose putting it is.
    """

    distance_m: Array
    putts: Array
    make: Array
    label: str

    def expected(self, leave_m: Array) -> Array:
        """Expected putts to hole out from leaves in metres, any shape; 0 for a holed ball."""
        leave = np.asarray(leave_m, dtype=np.float64)
        between = np.interp(leave, self.distance_m, self.putts)
        return np.where(leave <= 0, 0.0, between)

    def one_putt(self, leave_m: Array) -> Array:
        """Chance that no more than one putt is needed, for leaves in metres, any shape."""
        return np.asarray(np.interp(leave_m, self.distance_m, self.make))


@lru_cache(maxsize=64)
def putt_costs(model: AngleDistanceModel, farthest_m: float = 40.0) -> PuttCosts:
    """Expected putts to hole out: 1 + the misses' expected putts from where they stop.

    A missed putt stops where its length and direction errors leave it (the same two σ), so long
    putts carry the risk of a third. Solved by repetition on a grid of distances.
    """
    grid_m = np.concatenate([np.linspace(0.02, 3, 120), np.linspace(3.1, farthest_m, 140)])
    make = model.make(grid_m)
    left_m, weight = _miss_leaves(model, grid_m)
    putts = np.ones_like(grid_m)
    for _ in range(60):
        after = np.interp(left_m, grid_m, putts)
        putts = 1 + (1 - make) * (after * weight).sum(axis=1)
    return PuttCosts(grid_m, putts, make, model.label)


def up_and_down(leave_m: Array, model: MakeModel) -> float:
    """Share of chips expected to be holed with at most one putt; leaves in metres, shape (n,).

    Raises: BadQuestion without a leave.
    """
    if np.size(leave_m) == 0:
        raise BadQuestion("There is no leave to judge.", "enter where at least one ball finished")
    return float(np.mean(model.make(np.asarray(leave_m, dtype=np.float64))))


def _miss_leaves(model: AngleDistanceModel, grid_m: Array) -> tuple[Array, Array]:
    """Distances left by missed putts and their weights, each shape (grid, draws)."""
    z, w = hermegauss(21)
    z_length, z_angle = (part.ravel() for part in np.meshgrid(z, z, indexing="ij"))
    weight = np.outer(w, w).ravel()
    feet = grid_m[:, None] / FOOT_M
    past = OVERSHOT_FT + (feet + OVERSHOT_FT) * model.sigma_distance * z_length
    side = feet * np.tan(model.sigma_angle_rad * z_angle)
    on_line = np.abs(side) < HOLE_RADIUS_FT - BALL_RADIUS_FT
    dropped = on_line & (past > 0) & (past < DISTANCE_TOLERANCE_FT)
    share = np.where(dropped, 0.0, weight)
    total = share.sum(axis=1, keepdims=True)
    share = np.divide(share, total, out=np.zeros_like(share), where=total > 0)
    return np.hypot(past, side) * FOOT_M, share


def _angle_share(feet: Array, sigma_rad: float) -> Array:
    sine = np.minimum((HOLE_RADIUS_FT - BALL_RADIUS_FT) / np.maximum(feet, 1e-9), 1.0)
    return np.asarray(2 * ndtr(np.arcsin(sine) / sigma_rad) - 1)


def _length_share(feet: Array, sigma: float) -> Array:
    spread = (feet + OVERSHOT_FT) * sigma
    far = (DISTANCE_TOLERANCE_FT - OVERSHOT_FT) / spread
    return np.asarray(ndtr(far) - ndtr(-OVERSHOT_FT / spread))


def _log_likelihood(p: Array, tries: Array, makes: Array) -> float:
    inside = np.clip(p, 1e-12, 1 - 1e-12)
    return float((makes * np.log(inside) + (tries - makes) * np.log1p(-inside)).sum())


def _check_counts(distance_ft: Array, tries: Array, makes: Array) -> None:
    bad = (distance_ft <= 0) | (tries < 1) | (makes < 0) | (makes > tries)
    if np.any(bad):
        row = int(np.argmax(bad))
        raise BadQuestion(
            f"Putting row {row + 1}: {makes[row]:g} of {tries[row]:g} holed from"
            f" {distance_ft[row]:g} ft cannot be.",
            "give distances above zero and no more holed than tried",
        )

"""Strikes from uneven lies: how the club meets the turf, and how far its low point may wander.

Rules
-----
1. Attack relative to the turf is the attack angle less the slope of the lie: on an upslope the
   same swing meets the turf more steeply.
2. Near the ball the leading edge moves on a circle. It must meet the ball above the turf and below
   the thin limit, and may not enter the turf more than a little before the ball. What that leaves
   for the low point along the turf is plain geometry, no measurement.
3. What the player's strikes show stands beside it, by lie, with intervals over sessions.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analytics.clustered import Estimate, Ints, mean_over_shots

Floats = NDArray[np.float64]

LEVEL_WITHIN_DEG = 2.0
"""Lies within this of level count as level: common practice, no source."""


@dataclass(frozen=True)
class Arc:
    """The leading edge's circle at the ball; all in metres. Common practice, no source.

    `strike_height_m` is the height above the turf at which a good strike meets the ball,
    `thin_height_m` the height from which it is thin (the ball's middle), `brush_m` how far before
    the ball the club may touch the turf without harm.
    """

    radius_m: float = 1.5
    strike_height_m: float = 0.006
    thin_height_m: float = 0.0213
    brush_m: float = 0.015


GOOD_ARC = Arc()


@dataclass(frozen=True)
class LowPointRoom:
    """How far the low point may move before a strike turns fat (back) or thin (forward), metres.

    Where no low point is both (`playable` false) the swing meets turf first at this approach.
    """

    attack_to_turf_deg: float
    low_point_m: float
    back_m: float
    forward_m: float
    playable: bool

    @property
    def whole_m(self) -> float:
        """Room from the fat to the thin limit."""
        return self.back_m + self.forward_m


def attack_to_turf_deg(attack_deg: Floats, slope_deg: Floats) -> Floats:
    """Attack angle against the turf, degrees: attack (up +) less the slope (uphill +)."""
    return attack_deg - slope_deg


def low_point_room(attack_deg: float, slope_deg: float, arc: Arc = GOOD_ARC) -> LowPointRoom:
    """Room for the low point at this approach, the depth of the arc held fixed.

    Args:
        attack_deg: attack angle at the ball, + up. slope_deg: slope of the lie, + uphill.
    Returns: distances along the turf; the low point itself is + past the ball.
    """
    relative = attack_deg - slope_deg
    low_point = -arc.radius_m * float(np.sin(np.radians(relative)))
    depth = arc.strike_height_m - _rise(low_point, arc.radius_m)
    thin = _reach(arc.thin_height_m - depth, arc.radius_m)
    fat = _reach(-depth, arc.radius_m) - arc.brush_m if depth < 0 else -thin
    back, forward = low_point - fat, thin - low_point
    playable = back >= 0 and forward >= 0
    return LowPointRoom(
        relative, low_point, max(back, 0.0), max(forward, 0.0) if playable else 0.0, playable
    )


def _rise(along_m: float, radius_m: float) -> float:
    """Height of the circle above its low point at a distance along."""
    return float(radius_m - np.sqrt(radius_m**2 - along_m**2))


def _reach(height_m: float, radius_m: float) -> float:
    """Distance along at which the circle stands this high above its low point."""
    return float(np.sqrt(radius_m**2 - (radius_m - height_m) ** 2))


def lie_of(slope_deg: Floats) -> NDArray[np.str_]:
    """`uphill`, `level`, `downhill`, or `unknown` where no slope was noted."""
    names = np.where(slope_deg > LEVEL_WITHIN_DEG, "uphill", "level")
    names = np.where(slope_deg < -LEVEL_WITHIN_DEG, "downhill", names)
    return np.where(np.isnan(slope_deg), "unknown", names)


@dataclass(frozen=True)
class LieStrikes:
    """What the strikes from one kind of lie show."""

    lie: str
    n_shots: int
    n_sessions: int
    n_mishit: int
    attack_to_turf_deg: Estimate
    ball_to_club: Estimate
    carry_residual_ln: Estimate


@dataclass(frozen=True)
class LieShots:
    """Strikes as columns, shape (n,); `carry_residual_ln` against the player's own curve."""

    session: Ints
    slope_deg: Floats
    attack_deg: Floats
    ball_to_club: Floats
    carry_residual_ln: Floats
    mishit: NDArray[np.bool_]


def strikes_by_lie(shots: LieShots) -> list[LieStrikes]:
    """Strikes grouped by lie, those from a level lie first, unknown lies last."""
    lies = lie_of(shots.slope_deg)
    order = ("level", "uphill", "downhill", "unknown")
    return [_one_lie(shots, name, lies == name) for name in order if np.any(lies == name)]


def _one_lie(shots: LieShots, name: str, rows: NDArray[np.bool_]) -> LieStrikes:
    days = shots.session[rows]
    clean = rows & ~shots.mishit
    relative = attack_to_turf_deg(shots.attack_deg, shots.slope_deg)
    return LieStrikes(
        lie=name,
        n_shots=int(rows.sum()),
        n_sessions=int(np.unique(days).size),
        n_mishit=int((rows & shots.mishit).sum()),
        attack_to_turf_deg=mean_over_shots(relative[rows], days),
        ball_to_club=mean_over_shots(shots.ball_to_club[clean], shots.session[clean]),
        carry_residual_ln=mean_over_shots(shots.carry_residual_ln[clean], shots.session[clean]),
    )

"""Where balls start and land: window share, start gate, pull and push, and what a miss is made of.

Rules
-----
1. A share stands beside the best share that the player's own spread allows: a spread of 1.5 ft
   puts at most half of the balls into a window of ± 1 ft, however good the aim.
2. Directions are kept as + right of the target for either hand; pull and push are words for the
   player's own side, so they mirror for a left-hander.
3. A miss is taken apart in the order of a shot: aim, start, carry, run. The parts are vectors and
   sum to the whole; their shares of the squared miss sum to one.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from analytics.clustered import Ints, session_means

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Hand = Literal["right", "left"]

BALL_RADIUS_M = 0.02134
"""Half of the least diameter, 42.67 mm: Equipment Rules, part 4."""

GATE_WIDTH_M = 0.6858
"""27 in between the posts: common practice, no source."""

GATE_PAST_EDGE_M = 0.9144
"""A few feet (here 3) onto the green: common practice, no source."""

WINDOW_HALF_M = 0.3048
"""Half of a landing window that nobody has set (1 ft): common practice, no source."""


def inside(carry_m: Floats, near_m: Floats, far_m: Floats) -> Bools:
    """Which balls landed inside the window, ends included; shapes (n,)."""
    return (carry_m >= near_m) & (carry_m <= far_m)


def best_share(sd: float, near: float, far: float) -> float:
    """Largest share a normal spread of `sd` puts between `near` and `far`, when well centred."""
    if sd <= 0:
        return 1.0
    return float(2 * ndtr((far - near) / (2 * sd)) - 1)


@dataclass(frozen=True)
class Gate:
    """Two posts across the start line: width between them and distance from the ball, metres."""

    width_m: float = GATE_WIDTH_M
    distance_m: float = GATE_PAST_EDGE_M

    @property
    def angle_deg(self) -> float:
        """Largest start angle to either side that passes without touching a post."""
        return float(np.degrees(np.arctan(self.free_m / self.distance_m)))

    @property
    def free_m(self) -> float:
        """Room for the ball's centre to either side of the middle."""
        return max(self.width_m / 2 - BALL_RADIUS_M, 0.0)

    def passed(self, start_right_deg: Floats) -> Bools:
        """Which balls went through, by start direction in degrees, shape (n,)."""
        return np.abs(start_right_deg) <= self.angle_deg

    def best_share(self, sd_deg: float) -> float:
        """Largest share that a spread of `sd_deg` around the middle sends through."""
        return best_share(sd_deg, -self.angle_deg, self.angle_deg)


def push_deg(start_right_deg: Floats, hand: Hand) -> Floats:
    """Start direction from the player's own side: + is a push, − a pull, for either hand."""
    return start_right_deg if hand == "right" else -start_right_deg


def side_word(start_right_deg: float, hand: Hand, dead_deg: float = 0.0) -> str:
    """`push`, `pull` or `straight` (within `dead_deg`)."""
    if abs(start_right_deg) <= dead_deg:
        return "straight"
    return "push" if (start_right_deg > 0) == (hand == "right") else "pull"


@dataclass(frozen=True)
class Misses:
    """Parts of each miss as (right, long) vectors in metres, shape (n, 2)."""

    aim: Floats
    start: Floats
    carry: Floats
    run: Floats

    @property
    def whole(self) -> Floats:
        """The miss itself: the sum of its parts."""
        return self.aim + self.start + self.carry + self.run

    def shares(self) -> dict[str, float]:
        """Each part's share of the mean squared miss; they sum to 1.

        A part's share is its projection on the whole, so a part that works against the rest
        comes out below nought.
        """
        whole = self.whole
        kept = np.isfinite(whole).all(axis=1)
        total = float(np.sum(whole[kept] ** 2))
        parts = {"aim": self.aim, "start": self.start, "carry": self.carry, "run": self.run}
        if total == 0:
            return dict.fromkeys(parts, float("nan"))
        return {
            name: float(np.sum(part[kept] * whole[kept]) / total) for name, part in parts.items()
        }


@dataclass(frozen=True)
class Landed:
    """What a miss is taken apart from, shape (n,): metres and degrees, + right."""

    session: Ints
    start_right_deg: Floats
    carry_m: Floats
    side_m: Floats
    finish_right_m: Floats
    finish_long_m: Floats
    meant_carry_m: Floats
    meant_total_m: Floats


def split_misses(landed: Landed) -> Misses:
    """Take every miss apart into aim, start, carry and run.

    Aim is the session's mean start direction, start what the ball adds to it, carry the landing
    point against the meant one along that line, run all that happens after landing. The meant
    run is the rest of the meant total. Finish is measured from the ball along the target line.
    """
    means = session_means(landed.start_right_deg, landed.session)
    place = np.searchsorted(means.session, landed.session).clip(max=max(means.mean.size - 1, 0))
    aim_deg = means.mean[place] if means.mean.size else np.zeros_like(landed.carry_m)
    meant_run = landed.meant_total_m - landed.meant_carry_m
    straight = _along(np.zeros_like(aim_deg), landed.meant_total_m)
    aimed = _along(aim_deg, landed.meant_total_m)
    started = _along(landed.start_right_deg, landed.meant_total_m)
    long_m = np.sqrt(np.clip(landed.carry_m**2 - landed.side_m**2, 0.0, None))
    landing = np.column_stack([landed.side_m, long_m])
    carried = landing + _along(landed.start_right_deg, meant_run)
    finish = np.column_stack([landed.finish_right_m, landed.finish_long_m])
    return Misses(aimed - straight, started - aimed, carried - started, finish - carried)


def _along(direction_deg: Floats, distance_m: Floats) -> Floats:
    radians = np.radians(direction_deg)
    return np.column_stack([distance_m * np.sin(radians), distance_m * np.cos(radians)])


def finish_from_leave(
    hole_m: Floats, leave_m: Floats, bearing_deg: Floats, fall_line_deg: Floats
) -> tuple[Floats, Floats]:
    """Finish as (right, long) of the ball's start, from its leave around the hole.

    Args:
        hole_m: distance from ball to hole. leave_m: finish from the hole.
        bearing_deg: of the finish seen from the hole, from straight below it, clockwise.
        fall_line_deg: direction of downhill against the target line, clockwise.
    """
    towards = np.radians(bearing_deg + fall_line_deg)
    return leave_m * np.sin(towards), hole_m + leave_m * np.cos(towards)

"""Where chips finish around the hole, and whether that is more than luck.

Rules
-----
1. A finish is a distance and a bearing seen from the hole: 0° is straight below it on the fall
   line, clockwise seen from above. Below the hole means within 90° either side of straight below.
2. The leave zone is within 6 ft and within 60° either side of straight below (common practice, no
   source): the next putt is short and uphill.
3. Sixty degrees either side is a third of the circle, so a third of finishes land in that sector by
   luck alone. That chance line stands beside every share; a share is `clear` when its interval
   leaves it out.
4. A holed ball has no bearing. It counts as a finish in every zone and is counted apart; direction
   statistics leave it out.
5. Distance does not say which putt is left: expected putts come from a putting curve whose label
   says whose putts it was made from.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analytics.answer import FIT_VERSION, SHARE, State
from analytics.circular import Direction, direction
from analytics.errors import BadQuestion
from analytics.hole import FOOT_M
from analytics.putting import MakeModel, PuttCosts, up_and_down
from analytics.share import share

NEAR_M = 6 * FOOT_M
SECTOR_DEG = 60.0
SECTOR_CHANCE = 2 * SECTOR_DEG / 360
BELOW_CHANCE = 0.5
FARTHEST_M = 60.0

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Zones:
    """Which finishes lie where; each shape (n,). A holed ball lies in all of them."""

    holed: Flags
    below: Flags
    near: Flags
    sector: Flags

    @property
    def leave_zone(self) -> Flags:
        """Within 6 ft and within 60° either side of straight below."""
        return self.near & self.sector


@dataclass(frozen=True)
class ZoneShare:
    """A share with its 90 % interval, the share luck alone gives, and whether luck is left out."""

    name: str
    value: float | None
    low: float
    high: float
    by_chance: float | None
    n_shots: int
    n_sessions: int
    state: State
    need: str
    fit_version: str = FIT_VERSION


@dataclass(frozen=True)
class LeaveSummary:
    """All that is said about a set of finishes; `shares` in the order to show them."""

    n_shots: int
    n_sessions: int
    n_holed: int
    median_leave_m: float
    shares: tuple[ZoneShare, ...]
    bearing: Direction
    expected_putts: float
    up_and_down: float
    putting_label: str

    @property
    def below(self) -> ZoneShare:
        """Share below the hole."""
        return self.shares[1]

    @property
    def near(self) -> ZoneShare:
        """Share within 6 ft."""
        return self.shares[2]

    @property
    def leave_zone(self) -> ZoneShare:
        """Share in the leave zone."""
        return self.shares[3]


def zones(leave_m: Array, bearing_deg: Array) -> Zones:
    """Where each finish lies. Args: metres and degrees, shape (n,); bearing of holed balls ignored.

    Raises: BadQuestion for an impossible mark, naming its position.
    """
    holed = leave_m == 0
    bad = ~((leave_m >= 0) & (leave_m <= FARTHEST_M)) | (~holed & ~np.isfinite(bearing_deg))
    if np.any(bad):
        row = int(np.argmax(bad))
        raise BadQuestion(
            f"Finish {row + 1}: {leave_m[row]:g} m at {bearing_deg[row]:g}° cannot be.",
            f"give 0 to {FARTHEST_M:g} m and the bearing from straight below the hole",
        )
    off = off_straight_below_deg(np.where(holed, 0.0, bearing_deg))
    return Zones(holed, off < 90, leave_m <= NEAR_M + 1e-9, off <= SECTOR_DEG)


def off_straight_below_deg(bearing_deg: Array) -> Array:
    """Angle between a bearing and straight below, 0 to 180 degrees either side."""
    return np.asarray(np.abs((bearing_deg + 180) % 360 - 180))


def from_line_of_play(past_m: float, right_m: float, fall_deg: float) -> tuple[float, float]:
    """(leave_m, bearing_deg) of a finish measured past the hole and to its right along the line.

    Args: fall_deg: direction of the fall line against the line of play, clockwise.
    """
    leave = math.hypot(past_m, right_m)
    return leave, (math.degrees(math.atan2(right_m, past_m)) - fall_deg) % 360


def from_clock(hour: float) -> float:
    """Bearing in degrees of an hour on a clock face whose 6 lies straight below the hole.

    Raises: BadQuestion outside 0 to 12.
    """
    if not 0 <= hour <= 12:
        raise BadQuestion(
            f"{hour:g} o'clock is not on the clock face.",
            "give 0 to 12, with 6 straight below the hole",
        )
    return (hour - 6) * 30 % 360


def to_clock(bearing_deg: float) -> float:
    """The hour, above 0 and up to 12, of a bearing in degrees; 6 lies straight below the hole."""
    return (bearing_deg / 30 + 6) % 12 or 12.0


def summarise(
    leave_m: Array, bearing_deg: Array, n_sessions: int, costs: PuttCosts, make: MakeModel
) -> LeaveSummary:
    """Shares, direction and cost of a set of finishes. Raises: BadQuestion without one."""
    if leave_m.size == 0:
        raise BadQuestion("There is no finish to judge.", "enter where the balls finished")
    at = zones(leave_m, bearing_deg)
    near = float(at.near.mean())
    return LeaveSummary(
        n_shots=int(leave_m.size),
        n_sessions=n_sessions,
        n_holed=int(at.holed.sum()),
        median_leave_m=float(np.median(leave_m)),
        shares=(
            _zone_share("within 60° either side of straight below", at.sector, n_sessions, 1 / 3),
            _zone_share("below the hole", at.below, n_sessions, BELOW_CHANCE),
            _zone_share("within 6 ft", at.near, n_sessions, None),
            _zone_share("leave zone", at.leave_zone, n_sessions, near * SECTOR_CHANCE),
        ),
        bearing=direction(bearing_deg[~at.holed]),
        expected_putts=float(costs.expected(leave_m).mean()),
        up_and_down=up_and_down(leave_m, make),
        putting_label=costs.label,
    )


def _zone_share(name: str, hit: Flags, n_sessions: int, chance: float | None) -> ZoneShare:
    n = int(hit.size)
    seen = share(int(hit.sum()), n)
    # Without a chance line a share is decided once its interval is narrower than a quarter.
    decided = (
        not seen.low <= chance <= seen.high if chance is not None else seen.high - seen.low < 0.25
    )
    return ZoneShare(
        name,
        seen.value,
        seen.low,
        seen.high,
        chance,
        n,
        n_sessions,
        SHARE.state(n, n_sessions, decided),
        SHARE.need(n, n_sessions),
    )

"""Which rung of the ladder to hit next, and how many balls until all are clear.

Rules
-----
1. A rung is open while its centre's 90 % band is wider than ±6 %, or below 10 balls over 2 days.
2. The next ball goes where it shrinks the open doubt most: the sum over rungs of the squared
   half-width beyond what is clear. A ball on a rung already hit today helps less, because balls of
   one day share the day; so the advice moves on by itself.
3. Balls that remain are counted at no more than BLOCK balls per rung and day.
4. Nothing here is a reason to hit more than is good for the body: the page says so.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from scipy import special

from analytics.carry_ladder import CELL, CLEAR_HALF_WIDTH, LadderCell, carry_ladder
from analytics.db import Connection

BLOCK = 12
"""Balls per rung and day that a remaining-ball count assumes at most."""
MOST = 400
"""Remaining balls beyond which counting stops."""


@dataclass(frozen=True)
class OpenRung:
    """One rung that may be hit next.

    half_width: of the centre's 90 % band now, as a share of carry; after_block: after six more
    balls today. balls, days: that remain until it is clear (0 when it is). gain: what one more
    ball takes off the open doubt.
    """

    cell: LadderCell
    half_width: float
    after_block: float
    balls: int
    days: int
    gain: float

    @property
    def clear(self) -> bool:
        """Whether nothing remains to be hit."""
        return self.balls == 0


@dataclass(frozen=True)
class NextShot:
    """The rung to hit next (None when all are clear), and all rungs, most useful first."""

    best: OpenRung | None
    rungs: list[OpenRung]
    balls: int
    days: int


def next_best_shot(con: Connection, player_id: str) -> NextShot:
    """Advice for the player's ladder; `con` holds the views of `analytics.db`."""
    return advise(carry_ladder(con, player_id))


def advise(ladder: Sequence[LadderCell], hit_today: dict[str, int] | None = None) -> NextShot:
    """The same from a ladder that is there, and balls hit today that it does not hold yet.

    Args:
        ladder: rungs as they stood this morning.
        hit_today: balls hit since by name of rung.
    """
    today = hit_today or {}
    rungs = [_open(cell, today.get(cell.name, 0)) for cell in ladder]
    rungs.sort(key=lambda rung: (rung.clear, -rung.gain, rung.cell.name))
    still = [rung for rung in rungs if not rung.clear]
    return NextShot(
        still[0] if still else None,
        rungs,
        sum(rung.balls for rung in still),
        max((rung.days for rung in still), default=0),
    )


def _open(cell: LadderCell, today: int) -> OpenRung:
    now = half_width(cell, today)
    short = max(CELL.shots - cell.centre.n_shots - today, 0)
    balls, days = _remaining(cell, today)
    gain = _beyond(now) - _beyond(half_width(cell, today + 1))
    if short:
        gain += CLEAR_HALF_WIDTH**2 / CELL.shots
    return OpenRung(cell, now, half_width(cell, today + 6), balls, days, gain)


def half_width(cell: LadderCell, more: int, days: int = 1) -> float:
    """Half-width of the centre's 90 % band after `more` balls spread over `days` fresh days."""
    t = float(special.stdtrit(cell.dof + more, 0.95))
    precision = cell.log_centre_sd**-2
    if more:
        per_day = more / days
        precision += days / (cell.day_sd**2 + cell.shot_sd**2 / per_day)
    return t / math.sqrt(precision)


def _beyond(width: float) -> float:
    return max(width**2 - CLEAR_HALF_WIDTH**2, 0.0)


def _remaining(cell: LadderCell, today: int) -> tuple[int, int]:
    """Balls and days until the rung is clear; today's balls count as a day of their own."""
    least = max(CELL.shots - cell.centre.n_shots, 0)
    fresh = max(CELL.sessions - cell.centre.n_sessions, 0)
    for more in range(MOST + 1):
        days = max(1, math.ceil(more / BLOCK), fresh)
        if more >= max(least, fresh) and half_width(cell, more, days) <= CLEAR_HALF_WIDTH:
            left = max(more - today, 0)
            return left, days if left else 0
    return MOST, math.ceil(MOST / BLOCK)

"""Whether carry at the same speed drifts from month to month, by a slope no wild day can move.

Rules
-----
1. Each session gives one value per club: its clean balls against the club's curve.
2. The slope is the median over all pairs of sessions (Theil and Sen), its interval from Kendall's
   tau. A drift is a habit: it needs six sessions.
"""

from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from analytics.answer import Answer, Minimum
from analytics.carry_curve import curve_stack
from analytics.db import Connection, ask
from analytics.since_last_fitting import session_values
from analytics.theil_sen import theil_sen

DRIFT = Minimum(0, 6)
MONTH_DAYS = 30.0
LEVEL = 0.95


@dataclass(frozen=True)
class Trend:
    """Change of carry at the same speed per 30 days, as a share (0.01: one percent more)."""

    club: str
    per_month: Answer


def carry_trends(con: Connection, player_id: str) -> list[Trend]:
    """The drift of each club hit on three days or more; `con` holds the views of the player."""
    stack = curve_stack(con)
    days: dict[str, date] = {
        row["session_id"]: row["day"]
        for row in ask(con, "session_days", {"player_id": player_id}).to_pylist()
    }
    if player_id not in stack.table.players or not days:
        return []
    values = session_values(stack, player_id, "carry", days, max(days.values()))
    trends = []
    for club in sorted({value.club for value in values}):
        mine = [value for value in values if value.club == club]
        ordinal = np.array([float(days[value.session_id].toordinal()) for value in mine])
        if len(set(ordinal)) >= 3:
            balls = sum(value.balls for value in mine)
            found = _trend(ordinal, np.array([v.value for v in mine]), balls)
            trends.append(Trend(club, replace(found, fit_version=stack.fit_version)))
    return trends


def _trend(
    ordinal: np.ndarray[tuple[int], np.dtype[np.float64]],
    value: np.ndarray[tuple[int], np.dtype[np.float64]],
    balls: int,
) -> Answer:
    line = theil_sen(ordinal / MONTH_DAYS, value, LEVEL)
    ends = (float(np.expm1(part)) for part in (line.slope, line.low, line.high))
    slope, low, high = ends
    decided = low > 0 or high < 0
    n = len(value)
    state = DRIFT.state(balls, n, decided)
    return Answer(slope, low, high, "1", balls, n, state, LEVEL, DRIFT.need(balls, n))

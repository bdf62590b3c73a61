"""Players simulated down to the rows of a store, with the truth of every rehearsal kept.

Unlike `feedback_players` nothing is handed over: curves, the sensor's scale, the rehearsal bias and
the doubts of all of them are what the product makes of the rows.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np

from analytics.db import Connection, in_memory
from tests.analytics.demo_tables import table

FOOT = 0.3048
EXPONENT = 1.95
START = datetime(2026, 3, 2, 9, tzinfo=UTC)
PLAYER = "sim01"


@dataclass(frozen=True)
class Rows:
    """A connection and, per ball's event id, what the two rehearsals would have carried (m)."""

    connection: Connection
    long_m: dict[str, float]
    short_m: dict[str, float]


def rows_of(rng: np.random.Generator, sensor_sd: float, sessions: int = 5, balls: int = 30) -> Rows:
    """Brackets 4 to 14 ft wide around a window of 5 ft at 24 ft; a rehearsal 4 % too fast."""
    width, centre = rng.uniform(4, 14) * FOOT, (24 + rng.normal(0, 1.5)) * FOOT
    level, bias = rng.normal(np.log(11), 0.08), 1 + rng.normal(0.03, 0.02)
    scale = rng.uniform(0.85, 1.1)
    shots, swings, pairs, days = [], [], [], []
    long_m, short_m = {}, {}

    def speed(carry: float) -> float:
        return float(10 * np.exp((np.log(carry) - level) / EXPONENT))

    for session in range(sessions):
        day = START + timedelta(days=7 * session)
        drift = rng.normal(0, 0.012)
        days.append(_conditions(session, day))
        for ball in range(balls):
            event = f"b{session}-{ball}"
            meant = centre + rng.normal(0, 2.2 * FOOT)
            club = speed(max(meant, 1.0))
            carry = np.exp(level + EXPONENT * np.log(club / 10) + drift + rng.normal(0, 0.06))
            at = day + timedelta(seconds=60 * ball)
            shots.append(
                _shot(event, session, ball, at, club * np.exp(rng.normal(0, 0.007)), carry)
            )
            sides = {
                "rehearse_long": max(centre + width / 2 + rng.normal(0, 1.2 * FOOT), 1.0),
                "rehearse_short": max(centre - width / 2 + rng.normal(0, 1.2 * FOOT), 1.0),
            }
            long_m[event], short_m[event] = (m * float(np.exp(drift)) for m in sides.values())
            truth = {role: speed(m) * bias for role, m in sides.items()} | {"strike": club}
            for number, (role, true_speed) in enumerate(truth.items()):
                swing = f"s{session}-{ball}-{number}"
                peak = scale * true_speed * np.exp(rng.normal(0, sensor_sd))
                when = at - timedelta(seconds=20 - 10 * number)
                swings.append(_swing(swing, session, 3 * ball + number, when, peak))
                pairs.append(_pair(event, swing, day, role))
    connection = in_memory(
        {
            "shots": table("shots", shots),
            "swings": table("swings", swings),
            "pairs": table("pairs", pairs),
            "sessions": table("sessions", days),
        }
    )
    return Rows(connection, long_m, short_m)


def _row(event: str, session: int, line: int) -> dict[str, object]:
    return {
        "player_id": PLAYER, "event_id": event, "content_id": "c", "import_id": f"i{session}",
        "source_line": line + 2, "occurrence": 0,
    }  # fmt: skip


def _shot(event, session, ball, at, club_speed, carry) -> dict[str, object]:
    return _row(event, session, ball) | {
        "device_number": ball, "struck_at_utc": at, "club": "SW", "swing_length": "hip",
        "club_speed_mps": float(club_speed), "carry_m": float(carry),
    }  # fmt: skip


def _swing(event, session, line, at, peak) -> dict[str, object]:
    return _row(event, session, line) | {
        "swung_at_utc": at, "backswing_s": 0.75, "downswing_s": 0.33,
        "peak_speed_mps": float(peak),
    }  # fmt: skip


def _pair(shot, swing, day, role) -> dict[str, object]:
    return {
        "player_id": PLAYER, "session_id": f"{PLAYER}:{day:%Y-%m-%d}", "shot_event_id": shot,
        "swing_event_id": swing, "role": role, "probability": 0.98, "fit_version": "1",
    }  # fmt: skip


def _conditions(session, day) -> dict[str, object]:
    return _row(f"c{session}", session, 0) | {
        "session_id": f"{PLAYER}:{day:%Y-%m-%d}", "day": day.date(),
        "window_near_m": 21.5 * FOOT, "window_far_m": 26.5 * FOOT,
    }  # fmt: skip

"""Where a player's balls finished around the hole, wet greens kept apart."""

from dataclasses import dataclass
from datetime import date

from analytics.db import Connection, ask


@dataclass(frozen=True)
class Finish:
    """One finish: metres from the hole and degrees from straight below it, clockwise."""

    event_id: str
    day: date
    session_id: str
    ball_number: int | None
    leave_m: float
    leave_bearing_deg: float | None
    wet: bool


def finishes(con: Connection, player_id: str) -> list[Finish]:
    """Every marked finish of a player, in order of time."""
    rows = ask(con, "finishes", {"player_id": player_id}).to_pylist()
    return [Finish(**row) for row in rows]

"""The days a player has practised on: balls, clubs, conditions."""

from dataclasses import dataclass
from datetime import date, datetime

from analytics.db import Connection, ask


@dataclass(frozen=True)
class Session:
    """One day of practice; conditions are None where nobody noted them. Instants UTC."""

    session_id: str
    day: date | None
    n_shots: int
    n_mishits_by_coach: int
    clubs: tuple[str, ...]
    first_at_utc: datetime | None
    last_at_utc: datetime | None
    place: str | None
    green_speed_ft: float | None
    slope_deg: float | None
    fall_line_deg: float | None
    wetness: str | None
    surface: str | None
    window_near_m: float | None
    window_far_m: float | None
    edge_m: float | None
    hole_m: float | None


def session_list(connection: Connection) -> list[Session]:
    """The sessions of the player the connection was opened for, oldest first."""
    rows = ask(connection, "session_list").to_pylist()
    return [Session(**(row | {"clubs": tuple(row["clubs"] or ())})) for row in rows]

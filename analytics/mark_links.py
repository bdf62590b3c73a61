"""Marks with the struck ball each belongs to, and the day's conditions."""

from dataclasses import dataclass, fields
from datetime import date, datetime

from analytics.db import Connection, ask


@dataclass(frozen=True)
class LinkedMark:
    """One mark: SI units, bearings in degrees from straight below the hole, clockwise.

    `how` the ball was found: said, number, time, or None when there is none. More than one of
    `n_candidates` means that the ball's number stands twice that day and time decided. `replaced`
    says that the same ball was marked again later; that later mark holds what it did not say anew.
    """

    mark_event_id: str
    session_id: str
    day: date | None
    ball_number: int | None
    marked_at_utc: datetime | None
    land_past_edge_m: float | None
    land_side_m: float | None
    land_error_m: float | None
    leave_m: float | None
    leave_bearing_deg: float | None
    leave_error_m: float | None
    method: str | None
    shot_event_id: str | None
    club: str | None
    carry_m: float | None
    strike: str | None
    how: str | None
    apart_s: int | None
    n_candidates: int
    replaced: bool
    green_speed_ft: float | None
    slope_deg: float | None
    fall_line_deg: float | None
    wetness: str | None
    place: str | None

    @property
    def wet(self) -> bool:
        """Whether the green was wet that day; such marks are kept apart."""
        return self.wetness == "wet"


NAMES = tuple(field.name for field in fields(LinkedMark))


def linked_marks(connection: Connection, player_id: str) -> list[LinkedMark]:
    """Every mark of a player, in order of time, linked by what was said, by number, or by time."""
    rows = ask(connection, "mark_links", {"player_id": player_id}).to_pylist()
    return [LinkedMark(**{name: row[name] for name in NAMES}) for row in rows]

"""Homework of a player: what was given, what came of it, what is still open."""

from dataclasses import dataclass, fields
from datetime import date, datetime

from analytics.db import Connection, ask


@dataclass(frozen=True)
class GivenHomework:
    """One piece of homework with what came of it; `outcome` is None while nothing was reported."""

    homework_id: str
    set_at_utc: datetime
    due_day: date | None
    focus: str | None
    title: str | None
    task: str | None
    club: str | None
    test: str | None
    blocks: int | None
    balls_per_block: int | None
    stop_rule: str | None
    target_text: str | None
    why: str | None
    outcome: str | None
    reported_at_utc: datetime | None
    balls_done: int
    n_reports: int

    @property
    def is_open(self) -> bool:
        """Whether it still waits to be done."""
        return self.outcome in (None, "part")


NAMES = tuple(field.name for field in fields(GivenHomework))


def homework(connection: Connection, player_id: str) -> list[GivenHomework]:
    """Every piece of homework, in the order it was given."""
    rows = ask(connection, "homework", {"player_id": player_id}).to_pylist()
    return [GivenHomework(**{name: row[name] for name in NAMES}) for row in rows]
